//! Prints what is weighed in documents, a line of JSON for each, for `tests/scripts/odds.py` to fit the weights of `rules/odds.tsv` to.
//!
//! `cargo run --example odds -- documents FILE…`, or `passages FILE…` for files that are one passage each; `lists` prints the word lists
//! of each rule.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program of its own, whose output is read by another"
)]

use claimgauge::claims::Engine;
use claimgauge::facts;
use claimgauge::input;
use claimgauge::lexicon::{ConceptId, Hits};
use claimgauge::rulebook::{Rule, Rulebook};
use claimgauge::sheet;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let kind = arguments.next().unwrap_or_default();
    let whole = kind == "passages";
    let book = Rulebook::builtin();
    if kind == "lists" {
        println!("{}", serde_json::json!(own_lists(&book)));
        return;
    }
    let engine = Engine::new(&book);
    let lexicon = book.lexicon();
    for path in arguments {
        let Ok(source) = input::from_path(Path::new(&path)) else {
            eprintln!("{path}: left out, it cannot be read");
            continue;
        };
        let sheet = sheet::read(source.text());
        let spans = sheet.sentences.iter().map(|sentence| sentence.span);
        let hits = Hits::read_asked(lexicon, sheet.flow.text(), spans, &facts::asked(lexicon));
        let known = facts::read(&sheet, lexicon, &hits);
        let weighed = engine.weighed(&sheet, &hits, known.kind, || known.names(&sheet), whole);
        let lines: Vec<(usize, usize)> = sheet
            .sentences
            .iter()
            .map(|sentence| {
                let place = source.place(sheet.flow.source(sentence.span));
                (place.line, place.end_line)
            })
            .collect();
        let passages: Vec<serde_json::Value> = weighed
            .passages
            .iter()
            .map(|passage| {
                serde_json::json!({
                    "rule": passage.rule,
                    "sentences": passage.sentences,
                    "values": passage.values.iter().copied().collect::<BTreeMap<_, _>>(),
                    "odds": passage.odds,
                })
            })
            .collect();
        println!(
            "{}",
            serde_json::json!({
                "path": path,
                "lines": lines,
                "sentences": weighed.sentences,
                "passages": passages,
            })
        );
    }
}

/// By rule, the word lists that few other rules ask for.
fn own_lists(book: &Rulebook) -> BTreeMap<&str, BTreeSet<&str>> {
    /// More rules than this have what any text on cables says.
    const FEW: usize = 3;
    let lexicon = book.lexicon();
    let of = |rule: &Rule| -> BTreeSet<ConceptId> {
        let ways = rule.alternatives.iter();
        ways.flat_map(|way| way.all.iter().flatten().copied())
            .collect()
    };
    let mut times: BTreeMap<ConceptId, usize> = BTreeMap::new();
    for rule in book.rules() {
        for list in of(rule) {
            *times.entry(list).or_default() += 1;
        }
    }
    book.rules()
        .iter()
        .map(|rule| {
            let few = of(rule).into_iter().filter(|list| times[list] <= FEW);
            (
                rule.id.as_str(),
                few.map(|list| lexicon.name(list)).collect(),
            )
        })
        .collect()
}
