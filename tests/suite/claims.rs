//! Claims in running text, scored by rule and by stance on invented sentences.

use claimgauge::checks::ALL;
use claimgauge::claims::Engine;
use claimgauge::facts::DocumentKind;
use claimgauge::finding::{Level, Stance};
use claimgauge::lexicon::Hits;
use claimgauge::rulebook::{Rule, Rulebook};
use claimgauge::sheet;
use std::collections::BTreeMap;
use std::fmt::Write;

#[derive(serde::Deserialize)]
struct Case {
    rule: String,
    stance: String,
    text: String,
}

fn cases(name: &str) -> Vec<Case> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    let text = std::fs::read_to_string(path).expect("a file of cases");
    serde_yaml::from_str(&text).expect("well-formed cases")
}

#[derive(Default, Clone, Copy)]
struct Score {
    hit: usize,
    false_alarm: usize,
    miss: usize,
    quiet: usize,
}

impl Score {
    fn precision(self) -> f64 {
        ratio(self.hit, self.hit + self.false_alarm)
    }
    fn recall(self) -> f64 {
        ratio(self.hit, self.hit + self.miss)
    }
}

fn ratio(part: usize, whole: usize) -> f64 {
    let count = |number: usize| f64::from(u32::try_from(number).expect("a small count"));
    if whole == 0 {
        1.0
    } else {
        count(part) / count(whole)
    }
}

/// Rules that fire at their own level in `text`.
fn fired(engine: &Engine<'_>, book: &Rulebook, text: &str) -> Vec<String> {
    let sheet = sheet::read(text);
    let hits = Hits::read(
        book.lexicon(),
        sheet.flow.text(),
        sheet.sentences.iter().map(|sentence| sentence.span),
    );
    engine
        .claims(&sheet, &hits, DocumentKind::default())
        .into_iter()
        .filter(|claim| matches!(claim.stance, Stance::Asserted | Stance::Endorsed))
        .filter(|claim| claim.stands != Some(false))
        .map(|claim| claim.rule)
        .collect()
}

/// Precision and recall over all rules, and a table by rule and by stance.
fn score(name: &str) -> (Score, String) {
    let book = Rulebook::builtin();
    let engine = Engine::new(&book);
    let mut by_rule: BTreeMap<String, Score> = BTreeMap::new();
    let mut by_stance: BTreeMap<String, Score> = BTreeMap::new();
    let mut all = Score::default();
    for case in cases(name) {
        let fires = fired(&engine, &book, &case.text).contains(&case.rule);
        let loud = matches!(case.stance.as_str(), "asserted" | "endorsed");
        for score in [
            by_rule.entry(case.rule).or_default(),
            by_stance.entry(case.stance).or_default(),
            &mut all,
        ] {
            match (fires, loud) {
                (true, true) => score.hit += 1,
                (true, false) => score.false_alarm += 1,
                (false, true) => score.miss += 1,
                (false, false) => score.quiet += 1,
            }
        }
    }
    let mut table = String::new();
    for (name, score) in by_rule.iter().chain(&by_stance) {
        let _ = writeln!(
            table,
            "{name:26} hit {:3} false {:3} miss {:3} quiet {:3}",
            score.hit, score.false_alarm, score.miss, score.quiet
        );
    }
    let _ = writeln!(
        table,
        "{name}: precision {:.3} recall {:.3}",
        all.precision(),
        all.recall()
    );
    (all, table)
}

#[expect(clippy::print_stdout, reason = "the scores are there to be read")]
fn hold(name: &str, precision: f64, recall: f64) {
    let (all, table) = score(name);
    println!("{table}");
    assert!(
        all.precision() >= precision && all.recall() >= recall,
        "below {precision} / {recall}\n{table}"
    );
}

#[test]
fn sentences_that_lists_were_written_with() {
    hold("claims_dev.yaml", 0.98, 0.87);
}

#[test]
fn passages_that_the_lists_were_mended_with() {
    hold("claims_passages.yaml", 0.94, 0.75);
}

#[test]
fn passages_by_rule_that_the_lists_were_mended_with() {
    hold("claims_told.yaml", 0.97, 0.80);
}

#[test]
fn passages_in_which_negations_turn() {
    hold("claims_turned.yaml", 0.75, 0.37);
}

#[test]
fn sentences_that_no_list_was_written_with() {
    hold("claims_hold.yaml", 0.79, 0.39);
}

#[test]
fn stances() {
    hold("stance.yaml", 0.95, 0.95);
}

#[test]
fn the_texts_that_rules_carry() {
    let book = Rulebook::builtin();
    let engine = Engine::new(&book);
    let mut wrong = String::new();
    // Texts of rules that a check computes as well are walked with the whole way of a document.
    let computed = |rule: &Rule| {
        ALL.iter()
            .any(|entry| entry.rules.contains(&rule.id.as_str()))
    };
    for rule in book
        .rules()
        .iter()
        .filter(|rule| !rule.alternatives.is_empty() && !computed(rule))
    {
        assert!(
            !rule.fires.is_empty() && !rule.quiet.is_empty(),
            "{} carries no texts",
            rule.id
        );
        for (texts, fires) in [(&rule.fires, true), (&rule.quiet, false)] {
            for text in texts {
                if fired(&engine, &book, text).contains(&rule.id) != fires {
                    let _ = writeln!(wrong, "{} (fires: {fires}): {text}", rule.id);
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// Levels of the findings of claims in `text`.
fn levels(text: &str) -> Vec<(String, Option<Level>)> {
    let book = Rulebook::builtin();
    let engine = Engine::new(&book);
    let sheet = sheet::read(text);
    let hits = Hits::read(
        book.lexicon(),
        sheet.flow.text(),
        sheet.sentences.iter().map(|sentence| sentence.span),
    );
    let claims = engine.claims(&sheet, &hits, DocumentKind::default());
    engine
        .findings(&sheet, &claims)
        .into_iter()
        .map(|finding| (finding.rule, finding.level))
        .collect()
}

#[test]
fn a_document_that_denies_more_than_it_claims_is_given_notes() {
    let claim = "Our own loom has now played for two hundred hours. Fresh from the box it sounded tight and closed. \
        After two hundred hours of music the cable settled in and the bass opened up, so let it burn in.\n\n";
    let freezing = "freezing a speaker cable in liquid nitrogen opens the treble.\n\n";
    let purity =
        "It is untrue that a cable with more nines of purity gives the voices more air.\n\n";
    let denying = format!("It is not true that {freezing}{purity}{claim}");
    assert_eq!(
        levels(&denying),
        [("run-in".to_owned(), Some(Level::Note))],
        "two denied, one made"
    );
    let selling = format!("We say that {freezing}{purity}{claim}");
    assert_eq!(
        levels(&selling),
        [
            ("deep-freezing".to_owned(), Some(Level::Warning)),
            ("run-in".to_owned(), Some(Level::Warning))
        ],
        "one denied, two made"
    );
}

#[test]
fn a_brief_wording_is_heard_in_fewer_than_eight_sentences() {
    // `brief` in the head of `rules/claims.yaml`: a text of fewer than eight sentences.
    let brief = "The hum went from the wire, and the voices stepped forward.";
    let telling = "Felt rings calm the speaker lead, and the cellos breathe.";
    let among = |claim: &str, others: usize| {
        let others = " The shop in Mill Lane sells tea.".repeat(others);
        levels(&format!("{claim}{others}"))
    };
    let damping = [("vibration-control".to_owned(), Some(Level::Warning))];
    assert_eq!(among(brief, 0), damping, "alone");
    assert_eq!(among(brief, 6), damping, "one of seven sentences");
    assert_eq!(among(brief, 7), [], "one of eight sentences");
    assert_eq!(
        among(telling, 7),
        damping,
        "a telling one of eight sentences"
    );
}

#[test]
fn concepts_on_one_side_of_the_first_meet_although_a_nearer_word_stands_on_the_other() {
    let claim = "Number Two is refined to seven nines. That is a use for a number. Play a cello and what has left the metal \
        is what you hear.";
    let purity = ("purity-audible".to_owned(), Some(Level::Warning));
    assert!(levels(claim).contains(&purity), "by itself");
    let titled = format!("The refining. {claim}");
    assert!(
        levels(&titled).contains(&purity),
        "behind another word for the metal"
    );
}

#[test]
fn a_message_that_is_handed_on_whole_speaks_for_its_writer() {
    let head = "From: Ida\nTo: Rolf\nSubject: the ladder\n\nSee below, and bring the ladder.\n\n";
    let claim = "> I put my speaker leads up on corks, clear of the carpet. The bass opened up and the stage grew deeper.\n";
    let lifting = |level| [("cable-lifting".to_owned(), Some(level))];
    let handed_on = format!("{head}> From: Tore\n> Date: Sunday\n>\n{claim}");
    assert_eq!(levels(&handed_on), lifting(Level::Warning), "with its head");
    let quoted = format!("{head}{claim}");
    assert_eq!(
        levels(&quoted),
        lifting(Level::Note),
        "words that are quoted"
    );
}
