//! Short texts by rule: such as must fire it, and near ones that must not. Where the texts and their figures come from stands in the file.

use claimgauge::finding::Level;
use claimgauge::input::Source;
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Auditor, Limits};
use std::collections::BTreeMap;
use std::fmt::Write;

#[derive(serde::Deserialize)]
struct Texts {
    texts: Vec<Text>,
}

#[derive(serde::Deserialize)]
struct Text {
    rule: String,
    fires: bool,
    level: String,
    text: String,
}

#[test]
#[expect(clippy::print_stdout, reason = "the scores are there to be read")]
fn short_texts_fire_their_rule_and_near_ones_do_not() {
    /// So many of those that must fire did when the file was written down; they may only become more.
    const FIRED: usize = 99;
    let file = include_str!("../data/by_rule.json");
    let all: Texts = serde_json::from_str(file).expect("well-formed texts");
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut by_rule: BTreeMap<&str, [usize; 4]> = BTreeMap::new();
    let mut accused = String::new();
    for text in &all.texts {
        let source = Source::decode("text", text.text.as_bytes()).expect("plain text");
        let least = if text.level == "note" {
            Level::Note
        } else {
            Level::Warning
        };
        let found = (auditor.audit(&source).findings.iter())
            .any(|finding| finding.rule == text.rule && finding.level >= Some(least));
        let counts = by_rule.entry(&text.rule).or_default();
        counts[usize::from(!text.fires) * 2 + usize::from(found != text.fires)] += 1;
        if found && !text.fires {
            let _ = writeln!(accused, "{}:\n{}\n", text.rule, text.text);
        }
    }
    for (rule, [fired, missed, quiet, loud]) in &by_rule {
        println!("{rule:26} fired {fired} missed {missed} quiet {quiet} accused {loud}");
    }
    let fired: usize = by_rule.values().map(|counts| counts[0]).sum();
    println!(
        "fired {fired} of {}",
        all.texts.iter().filter(|text| text.fires).count()
    );
    assert!(accused.is_empty(), "{accused}");
    assert!(fired >= FIRED, "only {fired} fire");
}
