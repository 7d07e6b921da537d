//! Rule files and ledgers of strangers: whatever is in them, one line with a place for each fault, soon, and no more memory
//! than they are worth.

use assert_cmd::Command;
use claimgauge::ledger::Ledger;
use claimgauge::rulebook::{Fault, Rulebook};
use std::fmt::Write;
use std::time::Duration;

/// A rule that is as it should be, with the parts that are to be tried out.
fn house(pattern: &str, entry: &str) -> String {
    format!(
        "sources:\n  - id: house-bench\n    text: House measurement\n    confirmed: computed\n\
         concepts:\n  house.dye: [{entry}]\n\
         rules:\n  - id: house-jacket-colour\n    chapter: claims\n    verdict: no-basis\n    level: warning\n    \
         title: the colour of a jacket heard\n    says: It is said.\n    physics: It is not so.\n    fair: Colours tell the poles apart.\n    \
         evidence: A measurement.\n    help: Ask for it.\n    message: \"“{{quote}}”: no.\"\n    sources: [house-bench]\n    \
         match:\n      - all: [house.dye, sound.any]\n        regex: {pattern}\n    \
         fires: [\"The dyed jacket of this cable sounds warmer.\"]\n    quiet: [\"The jacket of the cable is dyed red.\"]\n"
    )
}

fn faults(text: String) -> Vec<Fault> {
    match Rulebook::with_house(&[("house.yaml".to_owned(), text)]) {
        Ok(_) => Vec::new(),
        Err(faults) => faults,
    }
}

#[test]
fn a_sound_file_is_taken() {
    assert_eq!(faults(house("'jacket'", "dye*")), []);
}

#[test]
fn names_that_stand_for_names_that_stand_for_names() {
    // Each list holds the one before ten times: ten to the twelfth entries when written out.
    let mut text = "concepts:\n  a0: &a0 [word]\n".to_owned();
    for depth in 1..=12 {
        let before = vec![format!("*a{}", depth - 1); 10].join(", ");
        let _ = writeln!(text, "  a{depth}: &a{depth} [{before}]");
    }
    let told = faults(text.clone());
    assert!(!told.is_empty(), "the file is taken");
    assert!(told.iter().all(|fault| fault.line >= 1));
    let mut ledger = Ledger::default();
    assert!(ledger.add("ledger.yaml", &text).is_err());
    // The same in the place of a text, where the kinds fit.
    let mut text = "x0: &x0 {a: b}\n".to_owned();
    for depth in 1..=40 {
        let _ = writeln!(
            text,
            "x{depth}: &x{depth} {{a: *x{0}, b: *x{0}, c: *x{0}}}",
            depth - 1
        );
    }
    assert!(!faults(text).is_empty());
}

#[test]
fn a_name_that_stands_for_itself_and_depth_without_end() {
    for text in [
        "concepts: &a\n  x: *a\n".to_owned(),
        "[".repeat(100_000),
        "{a: ".repeat(100_000),
        "- ".repeat(100_000),
        format!("rules:\n{}", "  - [".repeat(50_000)),
        "? ".repeat(50_000),
        "\"".to_owned(),
        "%YAML 9.9\n---\n".to_owned(),
        "a: !!binary x\n".to_owned(),
        "--- a\n--- b\n".to_owned(),
        "\u{0}".to_owned(),
        "\t- a".to_owned(),
    ] {
        let start: String = text.chars().take(20).collect();
        assert!(!faults(text.clone()).is_empty(), "{start:?} is taken");
        assert!(
            Ledger::default().add("ledger.yaml", &text).is_err(),
            "{start:?} is taken"
        );
    }
}

#[test]
fn patterns_that_grow_when_they_are_made() {
    for pattern in [
        "'(a{1000}){1000}'",
        "'((((((a{20}){20}){20}){20}){20}){20})'",
        "'(\\w{1000}|x){1000}'",
        &format!("'{}a{}'", "(".repeat(1000), ")".repeat(1000)),
        "'(unclosed'",
        "'a**{'",
        "'\\p{Nonsense}'",
        "'(?=look)'",
        "'(a)\\1'",
    ] {
        let told = faults(house(pattern, "dye*"));
        let start: String = pattern.chars().take(30).collect();
        assert_eq!(told.len(), 1, "{start}: {told:?}");
        assert!(told[0].line > 1, "{start}: {told:?}");
    }
}

#[test]
fn a_pattern_that_would_go_back_and_forth_goes_forth() {
    // Quick or not, it ends: the engine takes time in step with the text, whatever the pattern.
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(
        folder.path().join("house.yaml"),
        house("'^(([a-z ])+.)+jacket(.*.*.*.*)*$'", "dye*"),
    )
    .expect("written");
    std::fs::write(
        folder.path().join("a.txt"),
        format!(
            "The dyed jacket of this cable sounds {} warmer!\n",
            "so much ".repeat(2000)
        ),
    )
    .expect("written");
    let output = Command::cargo_bin("claimgauge")
        .expect("the program")
        .args(["audit", "a.txt", "--rules", "house.yaml"])
        .current_dir(folder.path())
        .timeout(Duration::from_secs(60))
        .output()
        .expect("a run");
    assert!(output.status.code().is_some_and(|code| code <= 1));
}

#[test]
fn a_file_beyond_all_measure_is_refused_as_a_whole() {
    let text = format!("# {}\n", "x".repeat(5 << 20));
    let told = faults(text.clone());
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].message.contains("larger than 4 MiB"), "{told:?}");
    let fault = Ledger::default()
        .add("ledger.yaml", &text)
        .expect_err("a fault");
    assert!(fault.message.contains("larger than 4 MiB"), "{fault}");
}

#[test]
fn a_list_of_a_hundred_thousand_entries_is_read() {
    let mut entries = String::from("dye*");
    for number in 0..100_000 {
        let _ = write!(entries, ", word{number}");
    }
    assert_eq!(faults(house("'jacket'", &entries)), []);
}

#[test]
fn entries_that_multiply_fill_no_memory() {
    let choices = ["a|b|c|d|e|f|g|h"; 4].join(" ");
    let mut entries = String::from("dye*");
    for number in 0..20_000 {
        let _ = write!(entries, ", word{number} {choices}");
    }
    let told = faults(house("'jacket'", &entries));
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].message.contains("more than 1200000"), "{told:?}");
}

#[test]
fn parts_that_nobody_knows_are_named_with_their_place() {
    let good = house("'jacket'", "dye*");
    for (from, to, place, says) in [
        ("    fair: ", "    fairly: ", 15, "fairly"),
        ("rules:", "rulez:", 7, "rulez"),
        ("        regex: ", "        regexp: ", 22, "regexp"),
        ("    confirmed: ", "    confirmt: ", 4, "confirmt"),
        ("level: warning", "level: loud", 11, "loud"),
        ("chapter: claims", "chapter: [claims]", 9, "chapter"),
        (
            "house.dye, sound.any",
            "house.die, sound.any",
            21,
            "house.die",
        ),
        ("sources: [house-bench]", "sources: [bench]", 19, "bench"),
    ] {
        assert!(good.contains(from), "{from}");
        let told = faults(good.replacen(from, to, 1));
        assert!(
            told.iter()
                .any(|fault| fault.message.contains(says) && fault.line == place),
            "{to}: {told:?}"
        );
    }
}

#[test]
fn open_brackets_are_counted_and_not_followed() {
    // Four megabytes of them held the reader up for half an hour.
    for piece in ["{a: ", "[", "[{a: "] {
        let text = format!(
            "concepts:\n  {}",
            piece.repeat((4 << 20) / piece.len() - 20)
        );
        let told = faults(text.clone());
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(told[0].line, 2);
        assert!(told[0].message.contains("200 brackets"), "{told:?}");
        let fault = Ledger::default()
            .add("ledger.yaml", &text)
            .expect_err("a fault");
        assert!(fault.message.contains("200 brackets"), "{fault}");
    }
    // Brackets that are closed count for nothing, however many.
    let texts = vec!["\"The dyed jacket of this cable sounds warmer [1] {2}.\""; 300].join(", ");
    let text = house("'jacket'", "dye*").replace(
        "[\"The dyed jacket of this cable sounds warmer.\"]",
        &format!("[{texts}]"),
    );
    assert_eq!(faults(text), []);
}

#[test]
fn each_mistake_of_form_is_told_and_not_the_first_alone() {
    let text = house("'jacket'", "dye*")
        .replace("    title:", "    titel:")
        .replace("    help:", "    hepl:")
        .replace("    sources: [house-bench]", "    sources: house-bench");
    let told = faults(text.clone());
    let line = |part: &str| {
        let at = text.find(part).expect("is there");
        text[..at].matches('\n').count() + 1
    };
    let places: Vec<usize> = told.iter().map(|fault| fault.line).collect();
    assert_eq!(
        places,
        [line("titel"), line("hepl"), line("sources: house")]
    );
    assert!(
        told[0].message.starts_with("there is no “titel” here"),
        "{told:?}"
    );
    assert_eq!(
        told[2].message,
        "“sources”: “house-bench” is given where a list should stand"
    );
}

#[test]
fn a_rule_that_nothing_can_fire_and_a_message_that_is_not_filled_in() {
    use claimgauge::claims::verify::verify;
    let text = house("'jacket'", "dye*");
    assert_eq!(verify("house.yaml", &text).faults, []);
    let message = |text: &str| {
        let told = verify("house.yaml", text).faults;
        told.first().map(|fault| fault.message.clone())
    };
    let stray = message(&text.replace("{quote}", "{qoute}"));
    assert_eq!(
        stray.as_deref(),
        Some("the message holds “{qoute}”; only “{quote}” is replaced")
    );
    let start = text.find("    match:").expect("is there");
    let end = text.find("    fires:").expect("is there");
    let silent = format!("{}{}", &text[..start], &text[end..]);
    let told = message(&silent).unwrap_or_default();
    assert!(told.contains("has no “match”"), "{told}");
}

#[test]
fn a_rule_that_gives_its_level_alone_keeps_the_rest() {
    let text = "rules:\n  - id: cable-lifting\n    level: note\n  - id: damping-under-guide\n    thresholds: {warning_below: 30}\n";
    let book = Rulebook::with_house(&[("house.yaml".to_owned(), text.to_owned())]).expect("sound");
    let plain = Rulebook::builtin();
    let (own, built_in) = (
        book.rule("cable-lifting").expect("a rule"),
        plain.rule("cable-lifting").expect("a rule"),
    );
    assert_eq!(own.level.word(), "note");
    assert_eq!(own.message, built_in.message);
    assert_eq!(own.alternatives.len(), built_in.alternatives.len());
    assert_eq!(own.thresholds, built_in.thresholds);
    let own = book.rule("damping-under-guide").expect("a rule");
    assert!((own.threshold("warning_below") - 30.0).abs() < 1e-9);
    assert!((own.threshold("note_below") - 50.0).abs() < 1e-9);
}

#[test]
fn a_figure_that_no_rule_asks_for_is_told() {
    let text = "rules:\n  - id: damping-under-guide\n    thresholds: {warn_below: 30}\n";
    let told = faults(text.to_owned());
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!((told[0].line, told[0].column), (3, 18));
    assert!(
        told[0]
            .message
            .starts_with("the rule has no threshold “warn_below”; there are warning_below"),
        "{told:?}"
    );
}

#[test]
fn mistakes_of_meaning_are_told_beside_those_of_form() {
    let text = "\
rules:
  - id: cable-lifting
    levle: note
    sources: [nobody]
  - id: other-rule
    chapter: claim
    level: warning
    verdict: no-basis
    match:
      - all: [house.bad, no.list]
  - id: third: x
    says: no
concepts:
  house.bad: word
";
    let told = faults(text.to_owned());
    let places: Vec<(usize, usize)> = told
        .iter()
        .map(|fault| (fault.line, fault.column))
        .collect();
    // Line 10 names two lists: the one that is refused in line 14 is not told again.
    assert_eq!(
        places,
        [(3, 5), (4, 15), (6, 14), (10, 26), (11, 14), (14, 14)],
        "{told:?}"
    );
    assert!(told[5].message.starts_with("“house.bad”"), "{told:?}");
}

#[test]
fn word_lists_that_do_nothing_are_told() {
    use claimgauge::claims::verify::verify;
    let text = house("'jacket'", "dye*").replace(
        "concepts:\n",
        "concepts:\n  house.none: []\n  house.idle: [word]\n",
    );
    let told = verify("house.yaml", &text);
    assert_eq!(told.faults, []);
    let messages: Vec<(usize, &str)> = told
        .warnings
        .iter()
        .map(|warning| (warning.line, &*warning.message))
        .collect();
    assert_eq!(
        messages,
        [
            (6, "the word list “house.none” is empty"),
            (7, "no rule here names the word list “house.idle”")
        ]
    );
}

#[test]
fn the_examples_of_sound_rules_are_tried_beside_mistakes_in_others() {
    use claimgauge::claims::verify::verify;
    let sound = house("'jacket'", "dye*");
    let rule = &sound[sound.find("  - id: house-jacket").expect("is there")..];
    let misspelt = rule
        .replace("id: house-", "id: second-house-")
        .replace("level: warning", "level: warnning");
    let failing = rule
        .replace("id: house-", "id: third-house-")
        .replace("fires: [", "fires: [\"A reel of plain cable.\", ");
    assert_ne!(misspelt, rule);
    assert_ne!(failing, rule);
    let told = verify("house.yaml", &format!("{sound}{misspelt}{failing}"));
    let messages: Vec<&str> = told.faults.iter().map(|fault| &*fault.message).collect();
    assert_eq!(messages.len(), 2, "{messages:?}");
    assert!(
        messages[0].contains("“warnning” is no level"),
        "{messages:?}"
    );
    assert!(
        messages[1].contains("third-house-") && messages[1].contains("own example"),
        "{messages:?}"
    );
    assert_eq!(told.untried.len(), 1, "{:?}", told.untried);
    assert!(told.untried[0].starts_with("second-"), "{:?}", told.untried);
}
