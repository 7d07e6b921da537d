//! Facts read from whole documents against what a careful reader takes from them; the figures are printed.

use claimgauge::facts::{Cable, Facts};
use claimgauge::lexicon::Hits;
use claimgauge::rulebook::Rulebook;
use claimgauge::sheet;
use serde_json::Value;
use std::path::Path;

/// Right, wrong and missing values of one field.
#[derive(Debug, Default, Clone, Copy)]
struct Tally {
    right: u32,
    wrong: u32,
    missing: u32,
}

impl Tally {
    fn count(&mut self, wanted: Option<bool>) {
        match wanted {
            Some(true) => self.right += 1,
            Some(false) => self.wrong += 1,
            None => self.missing += 1,
        }
    }

    fn precision(self) -> f64 {
        f64::from(self.right) / f64::from((self.right + self.wrong).max(1))
    }

    fn recall(self) -> f64 {
        f64::from(self.right) / f64::from((self.right + self.wrong + self.missing).max(1))
    }
}

fn facts(text: &str, rulebook: &Rulebook) -> Facts {
    let sheet = sheet::read(text);
    let sentences = sheet.sentences.iter().map(|sentence| sentence.span);
    let hits = Hits::read(rulebook.lexicon(), sheet.flow.text(), sentences);
    claimgauge::facts::read(&sheet, rulebook.lexicon(), &hits)
}

/// The cable that the document means by an expected one: by a shared word of the name, else by size.
fn matching<'f>(facts: &'f Facts, wanted: &Value) -> Option<&'f Cable> {
    let name = wanted["name"].as_str().unwrap_or("").to_lowercase();
    let shares = |cable: &&Cable| {
        cable
            .name
            .to_lowercase()
            .split_whitespace()
            .any(|word| word.len() > 2 && name.split_whitespace().any(|part| part == word))
    };
    let sized = |cable: &&Cable| {
        wanted["area_mm2"]
            .as_f64()
            .zip(cable.effective_area())
            .is_some_and(|(area, (own, _))| near(own.0 * 1e6, area))
    };
    facts
        .cables
        .iter()
        .find(|cable| shares(cable) && sized(cable))
        .or_else(|| facts.cables.iter().find(sized))
        .or_else(|| facts.cables.iter().find(shares))
}

fn near(value: f64, wanted: f64) -> bool {
    (value / wanted - 1.0).abs() < 0.02
}

#[test]
#[expect(clippy::print_stdout, reason = "the figures are what the run is for")]
fn facts_of_whole_documents() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/facts");
    let rulebook = Rulebook::builtin();
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    paths.sort();
    assert!(paths.len() >= 40, "documents are missing");
    let [mut area, mut length, mut metal, mut load, mut kind] = [Tally::default(); 5];
    for path in &paths {
        let text = std::fs::read_to_string(path).expect("text");
        let expect =
            std::fs::read_to_string(path.with_extension("expect.json")).expect("expectations");
        let expect: Value = serde_json::from_str(&expect).expect("JSON");
        let facts = facts(&text, &rulebook);
        kind.count(Some(expect["document"] == facts.kind.word()));
        if let Some(ohms) = expect["load_ohm"].as_f64() {
            let own = facts
                .setup
                .loads
                .iter()
                .filter_map(|load| load.value.impedance)
                .map(|load| load.0);
            let own: Vec<f64> = own.collect();
            load.count((!own.is_empty()).then(|| own.iter().any(|own| near(*own, ohms))));
        }
        for wanted in expect["cables"].as_array().into_iter().flatten() {
            let found = matching(&facts, wanted);
            if let Some(square) = wanted["area_mm2"].as_f64() {
                area.count(
                    found
                        .and_then(Cable::effective_area)
                        .map(|(own, _)| near(own.0 * 1e6, square)),
                );
            }
            if let Some(metres) = wanted["length_m"].as_f64() {
                length.count(
                    found
                        .and_then(Cable::length)
                        .map(|own| near(own.value.0, metres)),
                );
            }
            if let Some(name) = wanted["metal"].as_str() {
                let tinned = name.contains("tinned");
                let plain = if name.contains("clad") {
                    "copper-clad-aluminium"
                } else if name.contains("copper") {
                    "copper"
                } else {
                    name
                };
                metal.count(found.and_then(|cable| {
                    let own = cable
                        .metal()
                        .map(|own| own.value)
                        .or(cable.tinned.map(|_| "copper"))?;
                    Some(own == plain && (!tinned || cable.tinned.is_some()))
                }));
            }
        }
    }
    for (what, tally) in [
        ("area", area),
        ("length", length),
        ("metal", metal),
        ("load", load),
        ("kind", kind),
    ] {
        println!(
            "{what:8} precision {:.3} recall {:.3} {tally:?}",
            tally.precision(),
            tally.recall()
        );
    }
    assert!(
        area.precision() >= 0.80 && area.recall() >= 0.60,
        "{area:?}"
    );
    assert!(
        length.precision() >= 0.80 && length.recall() >= 0.45,
        "{length:?}"
    );
    assert!(
        metal.precision() >= 0.85 && metal.recall() >= 0.60,
        "{metal:?}"
    );
}

#[test]
fn so_much_of_a_cable_is_no_run_of_it() {
    let rulebook = Rulebook::builtin();
    let lengths = |text: &str| -> usize {
        let facts = facts(text, &rulebook);
        facts.cables.iter().map(|cable| cable.lengths.len()).sum()
    };
    assert_eq!(
        lengths("A 14 AWG pair. What a metre of the cable weighs is 40 g."),
        0
    );
    assert_eq!(
        lengths("Our cable is 14 AWG. In the corner stood a box a metre long."),
        0
    );
    assert_eq!(lengths("Our 14 AWG cable is a metre long."), 1);
}

#[test]
fn people_who_are_set_side_by_side_are_no_outcome() {
    let rulebook = Rulebook::builtin();
    let text = "Two leads lay on the bench: the Fennel (14 AWG, 4 m) and the Dill (14 AWG, 4 m). \
                Mr Hale said that the sales team were louder than the engineers, and that they did better than finance. \
                The panel preferred the Fennel to the Dill.";
    let told = facts(text, &rulebook);
    let outcome = told
        .comparisons
        .first()
        .and_then(|comparison| comparison.outcome.clone());
    let words = outcome.map(|outcome| {
        let sheet = sheet::read(text);
        outcome.span.of(sheet.flow.text()).to_owned()
    });
    assert_eq!(
        words.as_deref(),
        Some("The panel preferred the Fennel to the Dill.")
    );
}

#[test]
fn who_wins_stands_before_the_bracket() {
    let rulebook = Rulebook::builtin();
    let facts = facts(
        "They say that the Larch (12 AWG, 3 m) beats the Alder (12 AWG, 3 m).",
        &rulebook,
    );
    let winner = facts
        .comparisons
        .first()
        .and_then(|comparison| {
            let winner = comparison.outcome.as_ref()?.winner?;
            comparison.sides.get(winner)
        })
        .and_then(|side| facts.cables.get(side.cable));
    assert_eq!(winner.map(|cable| cable.name.as_str()), Some("Larch"));
}
