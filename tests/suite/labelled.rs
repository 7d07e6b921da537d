//! Precision and recall on the labelled documents, by rule, printed by the test run (`cargo test -- --nocapture labelled`).
//!
//! Counted as a reviewer would: findings at warning or above against labels of the same rule on a line in common; a note is
//! never wrong nor missed; optional labels excuse an alarm.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Hits, alarms and misses.
#[derive(Debug, Default, Clone, Copy)]
struct Tally {
    hit: u32,
    alarm: u32,
    miss: u32,
}

impl Tally {
    fn precision(self) -> f64 {
        share(self.hit, self.alarm)
    }

    fn recall(self) -> f64 {
        share(self.hit, self.miss)
    }
}

fn share(good: u32, bad: u32) -> f64 {
    if good + bad == 0 {
        1.0
    } else {
        f64::from(good) / f64::from(good + bad)
    }
}

/// What the run over one folder gave.
#[derive(Debug, Default)]
struct Outcome {
    rules: BTreeMap<String, Tally>,
    all: Tally,
    quantities: Tally,
    honest: u32,
    honest_accused: u32,
    lines: Vec<String>,
}

fn documents(folder: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/labelled")
        .join(folder);
    let mut paths: Vec<PathBuf> = std::fs::read_dir(root)
        .expect("a folder of documents")
        .map(|entry| entry.expect("a readable entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    paths.sort();
    paths
}

fn level_counts(finding: &Value) -> bool {
    matches!(
        finding["level"].as_str().unwrap_or("warning"),
        "warning" | "error"
    )
}

fn lines_of(label: &Value) -> BTreeSet<u64> {
    label["lines"]
        .as_array()
        .map(|lines| lines.iter().filter_map(Value::as_u64).collect())
        .unwrap_or_default()
}

fn score(folder: &str) -> Outcome {
    let paths = documents(folder);
    let output = Command::new(env!("CARGO_BIN_EXE_claimgauge"))
        .args(["audit", "--format", "ndjson", "--fail-on", "never"])
        .args(&paths)
        .output()
        .expect("the program runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let reports: Vec<Value> = text
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON line"))
        .collect();
    assert_eq!(
        reports.len(),
        paths.len(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let mut outcome = Outcome::default();
    for (path, report) in paths.iter().zip(&reports) {
        let labels = path.with_extension("labels.json");
        let labels: Value =
            serde_json::from_str(&std::fs::read_to_string(labels).expect("labels")).expect("JSON");
        let name = path
            .file_name()
            .expect("a file name")
            .to_string_lossy()
            .into_owned();
        findings(&name, report, &labels, &mut outcome);
        quantities(&name, report, &labels, &mut outcome);
    }
    outcome
}

fn findings(name: &str, report: &Value, labels: &Value, outcome: &mut Outcome) {
    let labelled = labels["findings"].as_array().cloned().unwrap_or_default();
    let mut wanted: Vec<(&Value, bool)> = labelled
        .iter()
        .filter(|label| level_counts(label))
        .map(|label| (label, false))
        .collect();
    let optional = labels["optional"].as_array().cloned().unwrap_or_default();
    let soft: Vec<&Value> = optional
        .iter()
        .chain(labelled.iter().filter(|label| !level_counts(label)))
        .collect();
    let mut accused = false;
    for finding in report["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter(|finding| level_counts(finding))
    {
        let rule = finding["rule"].as_str().expect("a rule id");
        let lines: BTreeSet<u64> = finding["spans"]
            .as_array()
            .expect("spans")
            .iter()
            .flat_map(|span| {
                span["line"].as_u64().unwrap_or(0)..=span["end_line"].as_u64().unwrap_or(0)
            })
            .collect();
        let meets = |label: &Value| {
            label["rule"] == rule && (lines.is_empty() || !lines_of(label).is_disjoint(&lines))
        };
        let tally = outcome.rules.entry(rule.to_owned()).or_default();
        let mut matched = false;
        for (label, hit) in &mut wanted {
            if meets(label) {
                matched = true;
                if !*hit {
                    *hit = true;
                    tally.hit += 1;
                    outcome.all.hit += 1;
                }
            }
        }
        let excused = soft
            .iter()
            .any(|label| meets(label) || (label["rule"] == rule && lines_of(label).is_empty()));
        if !matched && !excused {
            tally.alarm += 1;
            outcome.all.alarm += 1;
            accused = true;
            outcome.lines.push(format!(
                "alarm {name}:{:?} {rule}: {}",
                lines.first(),
                finding["message"]
            ));
        }
    }
    for (label, _) in wanted.iter().filter(|(_, hit)| !hit) {
        let rule = label["rule"].as_str().expect("a rule id");
        outcome.rules.entry(rule.to_owned()).or_default().miss += 1;
        outcome.all.miss += 1;
        outcome.lines.push(format!(
            "miss  {name}:{:?} {rule}: {}",
            lines_of(label).first(),
            label["why"]
        ));
    }
    if wanted.is_empty() {
        outcome.honest += 1;
        outcome.honest_accused += u32::from(accused);
    }
}

fn key(line: u64, value: &Value) -> (u64, String) {
    (
        line,
        value.as_f64().map_or_else(
            || value.as_str().unwrap_or("").to_owned(),
            |number| format!("{number:.6}"),
        ),
    )
}

fn quantities(name: &str, report: &Value, labels: &Value, outcome: &mut Outcome) {
    if labels["quantities_complete"] != true {
        return;
    }
    let mut have: BTreeMap<(u64, String), u32> = BTreeMap::new();
    for quantity in report["quantities"].as_array().expect("quantities") {
        *have
            .entry(key(
                quantity["line"].as_u64().unwrap_or(0),
                &quantity["value"],
            ))
            .or_default() += 1;
    }
    for wanted in labels["quantities"].as_array().expect("quantities") {
        let line = wanted["line"].as_u64().expect("a line");
        let found = [line, line.saturating_sub(1), line + 1]
            .into_iter()
            .find_map(|line| {
                have.get_mut(&key(line, &wanted["value"]))
                    .filter(|count| **count > 0)
                    .map(|count| *count -= 1)
            });
        if found.is_some() {
            outcome.quantities.hit += 1;
        } else {
            outcome.quantities.miss += 1;
            outcome
                .lines
                .push(format!("unread {name}:{line} {}", wanted["text"]));
        }
    }
    for ((line, value), count) in have.iter().filter(|(_, count)| **count > 0) {
        outcome.quantities.alarm += count;
        outcome.lines.push(format!("surplus {name}:{line} {value}"));
    }
}

#[expect(clippy::print_stdout, reason = "the figures are what the run is for")]
fn print(folder: &str, outcome: &Outcome, details: bool) {
    println!("\n{folder}: {:28} precision recall", "rule");
    for (rule, tally) in &outcome.rules {
        println!(
            "  {rule:28} {:9.2} {:6.2}   hit {:3} alarm {:3} miss {:3}",
            tally.precision(),
            tally.recall(),
            tally.hit,
            tally.alarm,
            tally.miss
        );
    }
    println!(
        "  findings: precision {:.3}, recall {:.3}; honest documents accused: {} of {}; quantities: precision {:.3}, recall {:.3}",
        outcome.all.precision(),
        outcome.all.recall(),
        outcome.honest_accused,
        outcome.honest,
        outcome.quantities.precision(),
        outcome.quantities.recall()
    );
    if details {
        for line in &outcome.lines {
            println!("  {line}");
        }
    }
}

#[test]
fn labelled_documents_that_were_looked_at() {
    let outcome = score("built_with");
    print("built_with", &outcome, true);
    assert!(
        outcome.all.precision() >= 0.97,
        "precision fell: {:.3}",
        outcome.all.precision()
    );
    assert!(
        outcome.all.recall() >= 0.80,
        "recall fell: {:.3}",
        outcome.all.recall()
    );
    assert!(outcome.quantities.precision() >= 0.95 && outcome.quantities.recall() >= 0.95);
}

#[test]
fn labelled_documents_that_were_held_out() {
    let outcome = score("held_out");
    // Totals alone: some of what is missed here is left for later eyes.
    print("held_out", &outcome, false);
    assert!(
        outcome.all.precision() >= 0.93,
        "precision fell: {:.3}",
        outcome.all.precision()
    );
    assert!(
        outcome.all.recall() >= 0.68,
        "recall fell: {:.3}",
        outcome.all.recall()
    );
    assert!(outcome.quantities.precision() >= 0.90 && outcome.quantities.recall() >= 0.90);
}

#[test]
fn labelled_documents_that_were_written_last() {
    let outcome = score("written_last");
    // Totals alone, and bounds that only a fault of the machinery breaks: most of these were never looked at.
    print("written_last", &outcome, false);
    assert!(
        outcome.all.precision() >= 0.60 && outcome.all.recall() >= 0.45,
        "fell: {:.3} / {:.3}",
        outcome.all.precision(),
        outcome.all.recall()
    );
    assert!(outcome.quantities.precision() >= 0.95 && outcome.quantities.recall() >= 0.90);
}
