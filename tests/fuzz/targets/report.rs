//! Any bytes: a refusal, or a report in every format that is whole and harmless.
#![no_main]

use claimgauge::input::Source;
use claimgauge::report::{Ending, Format, Look, Scene, View, escape, reading};
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Auditor, Limits};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static RULEBOOK: LazyLock<Rulebook> = LazyLock::new(Rulebook::builtin);
static AUDITOR: LazyLock<Auditor<'static>> =
    LazyLock::new(|| Auditor::new(&RULEBOOK, Limits::default()));

fuzz_target!(|bytes: &[u8]| {
    let Ok(source) = Source::decode("fuzz.txt", bytes) else {
        return;
    };
    let audit = AUDITOR.audit(&source);
    let view = View::new(&source, &audit, &RULEBOOK);
    let look = Look {
        width: 40 + bytes.len() % 80,
        colour: false,
        unicode: bytes.len() % 2 == 0,
        plain: bytes.len() % 3 == 0,
        ..Look::default()
    };
    let scene = Scene {
        look,
        rulebook: &RULEBOOK,
    };
    for format in Format::ALL {
        let renderer = format.renderer();
        let mut out = renderer.head(&scene, &Ending::default());
        out.push_str(&renderer.document(&view, &scene, 0));
        out.push_str(&renderer.tail(&scene, &Ending::default()));
        let hidden = |letter: char| !matches!(letter, '\n' | '\t') && escape::is_hidden(letter);
        assert!(
            !out.contains(hidden),
            "{} passes a control sign on",
            format.word()
        );
        match format.word() {
            "json" | "ndjson" | "sarif" => {
                serde_json::from_str::<serde_json::Value>(&out).expect("JSON");
            }
            "html" => assert!(!out.contains("<script") && out.ends_with("</html>\n")),
            _ => {}
        }
    }
    let read = reading::render(&view, &scene.look);
    assert!(!read.contains('\u{1b}'));
    // Every span leads to bytes of the file, in their order.
    for finding in audit.findings.iter().chain(&audit.confirmed) {
        for mark in &finding.marks {
            assert!(
                audit
                    .sheet
                    .flow
                    .text()
                    .get(mark.span.start()..mark.span.end())
                    .is_some()
            );
            let found = audit.sheet.flow.source(mark.span);
            let place = source.place(found.start..found.end);
            assert!(place.byte_start <= place.byte_end && place.byte_end <= bytes.len());
        }
    }
});
