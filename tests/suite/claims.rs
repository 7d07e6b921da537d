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

/// Texts that tell of a claim, with the rule, and whether somebody stands behind it.
fn stood_behind(cases: &[(String, &str, bool)]) {
    let mut wrong = String::new();
    for (text, rule, fires) in cases {
        let told = levels(text)
            .iter()
            .any(|(own, level)| own == rule && *level >= Some(Level::Warning));
        if told != *fires {
            let _ = writeln!(wrong, "{rule} (fires: {fires}):\n{text}\n");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_lead_that_calls_all_items_false_denies_each() {
    let judged = |head: &str| {
        format!(
            "Round two. {head} Say why and win a pen.\n\n   1. A speaker lead opens up after two hundred hours of play.\n   \
             2. Silver leads sound brighter than copper ones.\n"
        )
    };
    stood_behind(&[
        (judged("Each one of these is wrong."), "run-in", false),
        (judged("Each one of these is wrong."), "metal-tone", false),
        (
            judged("All of these statements are false."),
            "run-in",
            false,
        ),
        (judged("Each one of these is true."), "run-in", true),
        (judged("Each one of these is true."), "metal-tone", true),
    ]);
}

#[test]
fn what_is_taken_up_and_answered_is_not_said() {
    let cell = |end: &str| {
        format!(
            "A stranger at the fair wanted to clip a coin cell to my speaker lead, to keep the jacket \"alert\". {end}"
        )
    };
    let table = |end: &str| {
        format!(
            "On the table lie a speaker lead that was dipped in liquid nitrogen and one with a battery across its insulation, for \
             calmer voices. Touch them as you like. Does any of it help? {end}"
        )
    };
    let cuttings = |freeze: &str, play: &str, silver: &str| {
        format!(
            "Three cuttings\n\n\"Freeze your speaker leads overnight and the stage breathes.\" -- flyer\n\n{freeze}\n\n\"After a \
             week of play your speaker cable opens up.\" -- card\n\n{play}\n\n\"Silver leads for glitter, copper leads for \
             warmth.\" -- leaflet\n\n{silver}\n"
        )
    };
    let no = cuttings(
        "No. It comes back as it went in.",
        "Nonsense.",
        "Two metals, and no voice in either.",
    );
    let yes = cuttings("Yes, it does.", "True. We hear it daily.", "We sell both.");
    let freezer = "I put my speaker cables in the freezer overnight. Voices";
    let sockets = "My brother has a drum of speaker wire for the kitchen sockets, 230 V";
    stood_behind(&[
        (cell("Jackets do not sleep."), "bias-battery", false),
        (
            cell("Voices came out of the dark, and I bought two."),
            "bias-battery",
            true,
        ),
        (table("The curator has said no."), "deep-freezing", false),
        (table("The curator has said no."), "bias-battery", false),
        (table("The curator says so."), "deep-freezing", true),
        (table("The curator says so."), "bias-battery", true),
        (no, "metal-tone", false),
        (yes, "metal-tone", true),
        (
            format!("A leaflet lay in the box, recommending that {freezer} would be calmer."),
            "deep-freezing",
            false,
        ),
        (format!("{freezer} are calmer."), "deep-freezing", true),
        (
            format!("\"{sockets}.\" He can keep it."),
            "mains-on-speaker-cable",
            false,
        ),
        (
            format!("{sockets}, and we fitted it on Monday."),
            "mains-on-speaker-cable",
            true,
        ),
    ]);
}

#[test]
fn what_is_said_of_somebody_or_of_something_else_is_not_said_of_the_cable() {
    let beads = |between: &str| {
        format!(
            "All evening we heard the music come and go through the long speaker cable. {between}It was the quartz crystals on it, \
             which vibrate in sympathy with the strings."
        )
    };
    let hours = "What has to settle in over two hundred hours of music";
    stood_behind(&[
        (beads("It wasn't the cable. "), "quantum-treatment", false),
        (beads(""), "quantum-treatment", true),
        (
            format!("{hours} on a new speaker cable is the listener."),
            "run-in",
            false,
        ),
        (format!("{hours} is the new speaker cable."), "run-in", true),
        (
            "What opens up after a hundred hours of play on a new speaker lead are your ears."
                .to_owned(),
            "run-in",
            false,
        ),
    ]);
}

#[test]
fn an_editor_stands_behind_the_paragraph_that_he_signs() {
    let cases = [
        (
            "Sir,\nIs there anything in keeping leads off the floor?\n   Hubert Lisle, Nether Thorpe\n\n  — There is. Off the boards a speaker lead stops dragging its feet, and the strings get their air back. – Ed.\n",
            "cable-lifting",
            true,
        ),
        (
            "Sir,\nOff the boards a speaker lead stops dragging its feet, and the strings get their air back.\n   Hubert Lisle, Nether Thorpe\n\n  — It was the lead, and it was dragging nothing. – Ed.\n",
            "cable-lifting",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn what_our_own_wire_spares_is_no_denial_of_what_others_do() {
    let cases = [
        (
            "Between one crystal of copper and the next sits a tiny one-way valve which clips faint notes. We cast our copper in one piece, so that there are hardly any valves in our leads.",
            "wire-rectification",
            true,
        ),
        (
            "Between one crystal of copper and the next sits a tiny one-way valve which clips faint notes, says the card. There are no valves in copper.",
            "wire-rectification",
            false,
        ),
        (
            "THE SALLOW SPEAKER LEAD  14 AWG  3 m  240.00\n\nEvery other conductor leaves a trace of third harmonic on a voice. Sallow's thread adds none.",
            "wire-distortion",
            true,
        ),
        (
            "Every other conductor leaves a trace of third harmonic on a voice, the flyer says. We measured none.",
            "wire-distortion",
            false,
        ),
        (
            "\"Most speaker leads put extra overtones on a voice,\" said our chief engineer. \"In Sallow they are gone. You get the tune and nothing that we made up.\"",
            "wire-distortion",
            true,
        ),
        (
            "\"Most speaker leads put extra overtones on a voice,\" said the flyer. They do nothing of the kind.",
            "wire-distortion",
            false,
        ),
        (
            "A cell keeps the insulation of our speaker lead charged, and a charged jacket no longer nibbles at the quiet passages.",
            "bias-battery",
            true,
        ),
        (
            "We no longer fit a cell to the insulation of our speaker leads, since a charged jacket did nothing for the quiet passages.",
            "bias-battery",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn a_negation_beside_the_claim_leaves_it_as_it_is() {
    let cases = [
        (
            "The wire of the Sallow is copper, and copper gives it the honeyed middle that no silver lead will ever have.",
            "metal-tone",
            true,
        ),
        (
            "The Sallow is copper, and it has no honeyed middle: no lead has one.",
            "metal-tone",
            false,
        ),
        (
            "Twist the same gauge up out of bare strands and you get more skin effect than in the solid wire, not less.",
            "solid-beats-stranded",
            true,
        ),
        (
            "A bare rod suffers far less from skin effect than a bundle of strands of the very same thickness.",
            "solid-beats-stranded",
            true,
        ),
        (
            "A solid wire has not less skin effect than bare strands of the same gauge.",
            "solid-beats-stranded",
            false,
        ),
        (
            "A solid wire has less skin effect than bare strands of the same gauge? It is the very same.",
            "solid-beats-stranded",
            false,
        ),
        (
            "Each crystal of the copper wire has a skin of oxide, and each skin is a tiny one-way valve. That is the hash behind quiet voices. Nothing to do with your amp.",
            "wire-rectification",
            true,
        ),
        (
            "Each crystal of the copper wire is said to be a tiny one-way valve. Nothing to do with a wire.",
            "wire-rectification",
            false,
        ),
        (
            "Don't freak out if the new speaker leads are a bit shouty tonight. For the first 90 hours they're closed in, then they bloom.",
            "run-in",
            true,
        ),
        (
            "Don't worry about running in the new speaker leads. They are what they are.",
            "run-in",
            false,
        ),
        (
            "Bare strands are a motorway with no lane markings. The electrons swerve from one to the other in the speaker lead, and you hear the swerving as grit.",
            "strand-jumping",
            true,
        ),
        (
            "The speaker cable goes into the stud wall and across above the ceiling boards. It is the same clear twin all the way.",
            "in-wall-unrated",
            true,
        ),
        (
            "Silver opens the top and gives that fine gleam on strings. No geometry can lend it to another metal.",
            "metal-tone",
            true,
        ),
        (
            "Silver opens the top and gives that fine gleam on strings, says the flyer. No metal gives any.",
            "metal-tone",
            false,
        ),
        (
            "A bath at 77 kelvin does something lovely to the wire of our speaker leads. We can't tell you why. It does.",
            "deep-freezing",
            true,
        ),
        (
            "A bath at 77 kelvin does something lovely to the wire of our speaker leads, they say. We can't tell the difference.",
            "deep-freezing",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}
