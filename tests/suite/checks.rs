//! The texts that computed rules carry, through the whole way of a document.

use claimgauge::checks::ALL;
use claimgauge::facts::DocumentKind;
use claimgauge::finding::Level;
use claimgauge::input::Source;
use claimgauge::rulebook::{Rule, Rulebook};
use claimgauge::run::{Audit, Auditor, Limits};
use std::collections::BTreeSet;
use std::fmt::Write;

fn computed(book: &Rulebook) -> Vec<&Rule> {
    let ids: BTreeSet<&str> = ALL.iter().flat_map(|entry| entry.rules).copied().collect();
    ids.into_iter().filter_map(|id| book.rule(id)).collect()
}

fn audit_of(text: &str) -> Audit {
    let book = Rulebook::builtin();
    let source = Source::decode("text", text.as_bytes()).expect("plain text");
    Auditor::new(&book, Limits::default()).audit(&source)
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

/// The two sides of a comparison keep their numbers through the whole working, whichever of them is the heavier.
#[test]
fn the_working_gives_each_side_its_own_voltage() {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut seen = 0;
    for rule in computed(&book) {
        for text in &rule.fires {
            let source = Source::decode("text", text.as_bytes()).expect("plain text");
            for finding in auditor.audit(&source).findings {
                let value = |symbol: &str| {
                    let step = finding.working.iter().find(|step| step.symbol == symbol);
                    step.map(|step| step.value)
                };
                for side in 1..=6 {
                    let voltage = value(&format!("V_{side}/V_0"));
                    let (Some(voltage), Some(load)) = (voltage, value("R_L")) else {
                        continue;
                    };
                    let run = value(&format!("R_{side}")).expect("the side's resistance");
                    assert!(
                        (voltage - load / (load + run)).abs() < 1e-9,
                        "side {side} of: {text}"
                    );
                    seen += 1;
                }
            }
        }
    }
    assert!(seen >= 4, "only {seen} sides with a voltage");
}

/// What a working ends with follows from the steps before it: 20 · log10 |R_L + (k·R′ + jωL′)·l| / R_L, and the difference of two such.
#[test]
fn the_steps_of_a_bound_lead_to_it() {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut seen = 0;
    for rule in computed(&book) {
        for text in rule.fires.iter().chain(&rule.quiet) {
            let source = Source::decode("text", text.as_bytes()).expect("plain text");
            let audit = auditor.audit(&source);
            for finding in audit.findings.iter().chain(&audit.confirmed) {
                let value = |symbol: &str| {
                    let step = finding.working.iter().find(|step| step.symbol == symbol);
                    step.map(|step| step.value)
                };
                let loss = |end: &str, side: usize| {
                    let of = |symbol: &str| value(&format!("{symbol}_{end},{side}"));
                    let stated = of("a")?;
                    let length = value(&format!("l,{side}")).expect("the length of the side");
                    let load = value("R_L").expect("the load");
                    let run = of("R′").expect("the resistance") * 1e-3 * length;
                    let omega = 2.0 * std::f64::consts::PI * value("f").unwrap_or(0.0);
                    let across = omega * of("L′").unwrap_or(0.0) * length;
                    let total = (load + of("k").unwrap_or(1.0) * run).hypot(across);
                    let made = 20.0 * (total / load).log10();
                    assert!((made - stated).abs() < 1e-9, "{made}, {stated} in: {text}");
                    Some(made)
                };
                let ends = (1..=6).filter_map(|side| loss("high", side)).next();
                let least = (1..=6).filter_map(|side| loss("low", side)).next();
                if let (Some(high), Some(low)) = (ends, least) {
                    let apart = value("ΔL_cables").expect("the difference");
                    assert!((high - low - apart).abs() < 1e-9, "{text}");
                    seen += 1;
                }
            }
        }
    }
    assert!(seen >= 4, "only {seen} differences");
}

#[test]
fn what_a_run_loses_at_the_most_is_the_end_of_its_working() {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let text = "Tarn pair, 10 AWG copper.\nRecommended for 8 ohm loudspeakers at up to 2 m.\n";
    let source = Source::decode("text", text.as_bytes()).expect("plain text");
    let audit = auditor.audit(&source);
    let of = |rule: &str| {
        let found = audit.confirmed.iter().find(|finding| finding.rule == rule);
        found.unwrap_or_else(|| panic!("nothing of {rule}"))
    };
    let step = |rule: &str, symbol: &str| {
        let step = of(rule).working.iter().find(|step| step.symbol == symbol);
        step.unwrap_or_else(|| panic!("no {symbol}")).value
    };
    let most = step("loss-over-budget", "a_most");
    assert!(
        of("loss-over-budget")
            .message
            .contains(&format!("{most:.3} dB"))
    );
    let least = step("damping-under-guide", "DF_min");
    assert!(
        of("damping-under-guide")
            .message
            .contains(&format!("{least:.0} or more"))
    );
}

#[test]
fn a_loss_that_is_told_of_several_cables_lacks_its_conditions_once() {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let text = "FLEX FOR LOUDSPEAKERS - WHICH SIZE FOR WHICH RUN?\n\n                 \
                longest run, one way\n  size        4 ohm      8 ohm\n  \
                1    mm2     5.0 m     10   m\n  1.5  mm2     7.5 m     15   m\n  \
                2.5  mm2    12.5 m     25   m\n\n\
                How we came to it: all three with both conductors counted, plain copper at 20 C, cable resistance no more \
                than 5 % of the load. At the\nlimit you lose about 0.4 dB of level.\n";
    let source = Source::decode("text", text.as_bytes()).expect("plain text");
    let audit = auditor.audit(&source);
    let told: Vec<&str> = audit
        .findings
        .iter()
        .filter(|finding| finding.rule == "conditions-unstated")
        .map(|finding| finding.message.as_str())
        .collect();
    assert_eq!(told.len(), 1, "{told:#?}");
    assert!(told[0].contains("0.4 dB"), "{told:#?}");
}

/// What stands far apart in running text, and is joined by no name, need not be said of one cable.
#[test]
fn what_no_name_joins_over_a_long_way_is_a_note() {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let level = |cable: &str, between: &str| {
        let text = format!(
            "An evening about wire\n\n{cable} is 16 AWG copper, and we rolled it out along the wall before anybody came in.\n\n\
             Somebody held up a reel of 12 AWG, which nobody had asked for, and put it away again.\n\n{between}\n\n{cable} had a loop resistance of 4.1 milliohms per metre, which was read out to everybody who \
             had come to the hall.\n"
        );
        let source = Source::decode("text", text.as_bytes()).expect("plain text");
        let audit = auditor.audit(&source);
        let kind = audit.facts.kind;
        assert!(
            matches!(kind, DocumentKind::Article | DocumentKind::Comparison),
            "{kind:?}: {text}"
        );
        let found = audit.findings.iter();
        found
            .filter(|finding| finding.rule == "resistance-below-metal")
            .map(|finding| finding.level)
            .collect::<Vec<_>>()
    };
    let aside = "The rain went on for the whole of that long evening in November. ";
    let far = aside.repeat(10);
    assert_eq!(level("The wire", aside), [Some(Level::Error)]);
    assert_eq!(level("The wire", &far), [Some(Level::Note)]);
    assert_eq!(level("The Tarn Nine cable", &far), [Some(Level::Error)]);
}

/// Sizes and resistances of ASTM B258 at 100 % IACS, 20 °C, as in `tests/bench/texts.rs`.
#[test]
fn confirmations_that_are_kept_are_the_first_of_all() {
    const MOST: usize = 20;
    const NAMES: [&str; 4] = ["Marl", "Heron", "Tarn", "Withy"];
    let book = Rulebook::builtin();
    let mut text = String::new();
    for number in 0..240 {
        let _ = write!(
            text,
            "{} Brook {} loudspeaker cable\n\nConductor size: 14 AWG\nCross-section: 2.08 mm2\nConductor metal: copper\n\
             Resistance, one conductor: 8.29 mohm/m at 20 °C\nInductance: 0.6 µH/m\nCapacitance: 52 pF/m\n\n\n",
            NAMES[number % NAMES.len()],
            1_000 + number * 7,
        );
    }
    let source = Source::decode("text", text.as_bytes()).expect("plain text");
    let audit = |findings| {
        let limits = Limits {
            findings,
            ..Limits::default()
        };
        Auditor::new(&book, limits).audit(&source)
    };
    let (all, few) = (audit(usize::MAX), audit(MOST));
    assert!(all.confirmed.len() > 600, "{}", all.confirmed.len());
    assert_eq!(few.confirmed, all.confirmed[..MOST]);
    let left_out = format!("last {} are left out", all.confirmed.len() - MOST);
    assert!(
        few.remarks.iter().any(|remark| remark.contains(&left_out)),
        "{:?}",
        few.remarks
    );
}

/// Each way to tell something comes in several documents that differ in all else, and in near misses.
#[test]
fn one_construction_is_read_in_every_document_that_has_it() {
    let data: serde_json::Value =
        serde_json::from_str(include_str!("../data/constructions.json")).expect("JSON");
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut wrong = String::new();
    let all = data["constructions"].as_array().expect("a list");
    assert!(!all.is_empty());
    for case in all {
        let text = case["text"].as_str().expect("a text");
        let wanted: BTreeSet<&str> = (case["rules"].as_array().expect("rules").iter())
            .filter_map(|rule| rule.as_str())
            .collect();
        let source = Source::decode("text", text.as_bytes()).expect("plain text");
        let audit = auditor.audit(&source);
        let found: BTreeSet<&str> = (audit.findings.iter())
            .filter(|finding| finding.level >= Some(Level::Warning))
            .map(|finding| finding.rule.as_str())
            .collect();
        if found != wanted {
            let _ = writeln!(wrong, "{}: {found:?} for {wanted:?}:\n{text}", case["way"]);
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// 5 % of the load in the loop lose 20·log10(1.05) = 0.42 dB, more than the budget, in each of the twelve cells.
#[test]
fn a_chart_of_longest_runs_is_told_in_one_finding() {
    let text = "Longest run in feet for a loss of 5 %, one way, copper\n\n\
        Wire     2 ohm    4 ohm    8 ohm\n\
        18 AWG   8        16       32\n\
        16 AWG   12       24       48\n\
        14 AWG   20       40       80\n\
        12 AWG   30       60       120\n";
    let audit = audit_of(text);
    let over: Vec<_> = (audit.findings.iter())
        .filter(|finding| finding.rule == "loss-over-budget")
        .collect();
    let [finding] = over.as_slice() else {
        panic!("{} findings", over.len());
    };
    assert!(
        finding.message.contains("of 12 runs"),
        "{}",
        finding.message
    );
    assert!(finding.help.contains("0.42 dB"), "{}", finding.help);
    let flow = audit.sheet.flow.text();
    let marked = |words: &str| finding.marks.iter().any(|mark| mark.span.of(flow) == words);
    for run in ["8", "32", "12", "48", "20", "80", "30", "120"] {
        assert!(marked(run), "{run}");
    }
}

/// What shines is no loudspeaker: the 8 Ω of the shop's own rule are not what the lamps of a demonstration have.
#[test]
fn lamps_take_no_load_from_what_is_said_of_loudspeakers() {
    let text = "They hung a lamp on the Marlpit and one on bell wire, both off the same 12 V supply. The Marlpit is 10 AWG copper and 2 m \
        long, the bell wire 0.8 mm solid copper and 15 m long. The Marlpit's lamp was half as bright again, thanks to its weave.\n\n\
        Our own rule for 8 ohm loudspeakers: 16 gauge up to 6 m.\n";
    let audit = audit_of(text);
    let sizes: Vec<_> = (audit.findings.iter())
        .filter(|finding| finding.rule == "unequal-gauge")
        .collect();
    assert_eq!(sizes.len(), 1);
    assert!(!sizes[0].message.contains("into 8"), "{}", sizes[0].message);
}
