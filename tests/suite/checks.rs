//! The texts that computed rules carry, through the whole way of a document.

use claimgauge::checks::ALL;
use claimgauge::finding::Level;
use claimgauge::input::Source;
use claimgauge::rulebook::{Rule, Rulebook};
use claimgauge::run::{Auditor, Limits};
use std::collections::BTreeSet;
use std::fmt::Write;

fn computed(book: &Rulebook) -> Vec<&Rule> {
    let ids: BTreeSet<&str> = ALL.iter().flat_map(|entry| entry.rules).copied().collect();
    ids.into_iter().filter_map(|id| book.rule(id)).collect()
}

/// What a text gives of one rule, at the rule's own level or above.
fn said(auditor: &Auditor<'_>, rule: &Rule, text: &str) -> bool {
    let source = Source::decode("text", text.as_bytes()).expect("plain text");
    let least = rule.level.min(Level::Warning);
    auditor
        .audit(&source)
        .findings
        .iter()
        .any(|finding| finding.rule == rule.id && finding.level >= Some(least))
}

#[test]
fn texts_that_fire_a_rule_and_texts_that_must_not() {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut wrong = String::new();
    for rule in computed(&book) {
        for (texts, fires) in [(&rule.fires, true), (&rule.quiet, false)] {
            for text in texts {
                if said(&auditor, rule, text) != fires {
                    let _ = writeln!(wrong, "{} (fires: {fires}):\n{text}", rule.id);
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_rule_of_the_numbers_carries_three_texts_of_each_kind() {
    let book = Rulebook::builtin();
    for rule in computed(&book) {
        assert!(
            rule.fires.len() >= 3,
            "{} has too few texts that fire it",
            rule.id
        );
        assert!(
            rule.quiet.len() >= 3,
            "{} has too few texts that do not",
            rule.id
        );
    }
}
