//! Reports of anything: whatever a document holds and wherever a finding points, every format is written, whole and
//! harmless.

use claimgauge::finding::{Finding, Level, Mark, Stance, Verdict};
use claimgauge::input::Source;
use claimgauge::report::{Ending, Format, Look, Scene, View, escape};
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Audit, Auditor, Limits};
use claimgauge::sheet::Sentence;
use claimgauge::span::Span;
use proptest::prelude::*;
use std::sync::LazyLock;

static RULEBOOK: LazyLock<Rulebook> = LazyLock::new(Rulebook::builtin);

fn render(source: &Source, audit: &Audit, look: Look) -> Vec<(Format, String)> {
    let scene = Scene {
        look,
        rulebook: &RULEBOOK,
    };
    let view = View::new(source, audit, &RULEBOOK);
    Format::ALL
        .iter()
        .map(|&format| {
            let renderer = format.renderer();
            let mut out = renderer.head(&scene, &Ending::default());
            out.push_str(&renderer.document(&view, &scene, 0));
            out.push_str(&renderer.tail(&scene, &Ending::default()));
            (format, out)
        })
        .collect()
}

fn check(outputs: &[(Format, String)]) {
    for (format, out) in outputs {
        let hidden = out
            .chars()
            .find(|&letter| !matches!(letter, '\n' | '\t') && escape::is_hidden(letter));
        assert_eq!(hidden, None, "{} lets it through", format.word());
        match format.word() {
            "json" | "ndjson" | "sarif" => {
                serde_json::from_str::<serde_json::Value>(out).expect("JSON");
            }
            "html" => assert!(!out.contains("<script") && out.ends_with("</html>\n")),
            _ => {}
        }
    }
}

/// Texts of what breaks renderers.
fn text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        "[a-z ]{1,12}",
        Just("12 AWG".to_owned()),
        Just("\n".to_owned()),
        Just("\r\n".to_owned()),
        Just("\r".to_owned()),
        Just("\t".to_owned()),
        Just("尺寸".to_owned()),
        Just("e\u{301}".to_owned()),
        Just("\u{1f469}\u{200d}\u{1f527}".to_owned()),
        Just("\u{1b}[31m".to_owned()),
        Just("\u{202e}".to_owned()),
        Just("<script>&amp;".to_owned()),
        Just("| *_`[x](y)".to_owned()),
        Just("word ".repeat(60)),
        Just("\n\n".to_owned()),
    ];
    proptest::collection::vec(piece, 1..24).prop_map(|pieces| format!("a{}", pieces.concat()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn marks_may_stand_anywhere(
        text in text(),
        places in proptest::collection::vec((0.0..1.2_f64, 0.0..0.5_f64), 0..9),
        width in 40_usize..120,
        unicode in any::<bool>(),
        plain in any::<bool>(),
    ) {
        let source = Source::decode("a.txt", text.as_bytes()).expect("text");
        let mut audit = Audit::default();
        let text = source.text();
        audit.sheet.flow.push(text, 0);
        audit.sheet.sentences.push(Sentence::new(Span::new(0, text.len()), 0));
        // Offsets on borders of characters, up to beyond the end.
        let borders: Vec<usize> = text.char_indices().map(|(at, _)| at).chain([text.len(), text.len() + 7]).collect();
        let border = |share: f64| {
            let index = (0..borders.len())
                .take_while(|&index| f64::from(u32::try_from(index).expect("small")) < share * f64::from(u32::try_from(borders.len()).expect("small")))
                .count();
            borders.get(index).or(borders.last()).copied().unwrap_or(0)
        };
        let marks: Vec<Mark> = places
            .iter()
            .map(|&(start, length)| Mark {
                span: Span::new(border(start), border(start + length)),
                label: "what it is".to_owned(),
            })
            .collect();
        for (level, marks) in [(Some(Level::Error), marks.clone()), (Some(Level::Note), marks.iter().rev().take(1).cloned().collect()), (None, marks)] {
            let finding = Finding {
                rule: "sample-rule".to_owned(),
                verdict: Verdict::Unequal,
                level,
                stance: Stance::Asserted,
                message: text.to_owned(),
                help: text.to_owned(),
                marks,
                working: Vec::new(),
                sources: Vec::new(),
            };
            if level.is_some() { audit.findings.push(finding) } else { audit.confirmed.push(finding) }
        }
        audit.keep(100);
        let look = Look { width, unicode, plain, ..Look::default() };
        check(&render(&source, &audit, look));
    }

    #[test]
    fn any_bytes_give_a_report_or_a_refusal(bytes in proptest::collection::vec(any::<u8>(), 0..400), text in text()) {
        let auditor = Auditor::new(&RULEBOOK, Limits::default());
        for bytes in [bytes, text.into_bytes()] {
            if let Ok(source) = Source::decode("a.txt", &bytes) {
                let audit = auditor.audit(&source);
                check(&render(&source, &audit, Look::default()));
            }
        }
    }
}
