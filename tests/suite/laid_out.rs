//! Small documents in layouts of real literature: whose each size and length is, and what kind of document it is. The cases lie in
//! `tests/data/laid_out.yaml`.

use crate::records::facts;
use claimgauge::facts::{Cable, DocumentKind, FigureKind};
use std::collections::BTreeMap;

#[derive(serde::Deserialize)]
struct Cases {
    cases: Vec<Case>,
}

#[derive(serde::Deserialize)]
struct Case {
    name: String,
    text: String,
    /// How many cables have anything.
    count: Option<usize>,
    kind: Option<String>,
    #[serde(default)]
    cables: BTreeMap<String, Own>,
}

/// What a cable has; values that come twice count once.
#[derive(serde::Deserialize, PartialEq, Debug, Default)]
#[serde(deny_unknown_fields)]
struct Own {
    #[serde(default)]
    awg: Vec<f64>,
    #[serde(default)]
    mm: Vec<f64>,
    #[serde(default)]
    m: Vec<f64>,
    #[serde(default)]
    mohm: Vec<f64>,
}

/// Area in mm², by the formula of ASTM B258.
fn area(gauge: f64) -> f64 {
    let diameter = 0.127 * 92_f64.powf((36.0 - gauge) / 39.0);
    std::f64::consts::FRAC_PI_4 * diameter * diameter
}

/// Values in thousandths, in order, each once.
fn thousandths(values: impl Iterator<Item = f64>) -> Vec<String> {
    let mut all: Vec<String> = values.map(|value| format!("{value:.3}")).collect();
    all.sort();
    all.dedup();
    all
}

/// Sizes in mm², lengths in m and resistances in mΩ.
fn told(cable: &Cable) -> [Vec<String>; 3] {
    let resistances = (cable.figures.iter()).filter(|figure| figure.kind == FigureKind::Resistance);
    let ohms = resistances.map(|figure| figure.value);
    [
        thousandths(cable.sizes.iter().map(|size| size.area.0 * 1e6)),
        thousandths(cable.lengths.iter().map(|length| length.value.0)),
        thousandths(ohms.map(|ohms| ohms * 1e3)),
    ]
}

fn wanted(own: &Own) -> [Vec<String>; 3] {
    let areas = own.awg.iter().copied().map(area);
    [
        thousandths(areas.chain(own.mm.iter().copied())),
        thousandths(own.m.iter().copied()),
        thousandths(own.mohm.iter().copied()),
    ]
}

#[test]
fn each_value_belongs_to_the_cable_under_which_it_is_laid_out() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/laid_out.yaml");
    let text = std::fs::read_to_string(path).expect("a file of cases");
    let cases: Cases = serde_yaml::from_str(&text).expect("well-formed cases");
    let mut faults = Vec::new();
    for case in &cases.cases {
        let facts = facts(&case.text);
        let all: Vec<(String, [Vec<String>; 3])> = (facts.cables.iter())
            .map(|cable| (cable.name.clone(), told(cable)))
            .filter(|(_, told)| told.iter().any(|values| !values.is_empty()))
            .collect();
        let mut fault = Vec::new();
        if case.count.is_some_and(|count| count != all.len()) {
            fault.push(format!("{} cables", all.len()));
        }
        if case
            .kind
            .as_deref()
            .is_some_and(|kind| kind != name_of(facts.kind))
        {
            fault.push(format!("read as {}", name_of(facts.kind)));
        }
        for (name, own) in &case.cables {
            let wanted = wanted(own);
            let lower = name.to_lowercase();
            let found = (all.iter()).find(|(name, _)| name.to_lowercase().contains(&lower));
            let silent = own.mohm.is_empty();
            let fits = found.is_some_and(|(_, told)| {
                told[..2] == wanted[..2] && (silent || told[2] == wanted[2])
            });
            if !fits {
                fault.push(format!("{name:?} is {:?}", found.map(|(_, told)| told)));
            }
        }
        if !fault.is_empty() {
            faults.push(format!(
                "{}: {}\n    of {all:?}",
                case.name,
                fault.join("; ")
            ));
        }
    }
    assert!(
        faults.is_empty(),
        "{} of {}:\n{}",
        faults.len(),
        cases.cases.len(),
        faults.join("\n")
    );
}

fn name_of(kind: DocumentKind) -> &'static str {
    match kind {
        DocumentKind::Article => "article",
        DocumentKind::Chart => "chart",
        DocumentKind::Comparison => "comparison",
        DocumentKind::Range => "range",
        DocumentKind::Sheet => "sheet",
    }
}
