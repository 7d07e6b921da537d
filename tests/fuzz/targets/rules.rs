//! Any text as a rule file of a house: faults with a place inside it, or a rulebook that audits.
#![no_main]

use claimgauge::input::Source;
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Auditor, Limits};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static SHEET: LazyLock<Source> = LazyLock::new(|| {
    let text = include_bytes!("../../../samples/orrisvane-advertisement.txt");
    Source::decode("sheet.txt", text).expect("text")
});

/// What ends a line for YAML 1.1 (5.4).
const BREAKS: [char; 5] = ['\n', '\r', '\u{85}', '\u{2028}', '\u{2029}'];

fuzz_target!(|text: &str| {
    let files = [("fuzz.yaml".to_owned(), text.to_owned())];
    let alone = Rulebook::from_files(&files);
    // Beside the built-in files, which take a while to read: what stands by itself, and a few of the others.
    let beside = (alone.is_ok() || text.len() % 64 == 0).then(|| Rulebook::with_house(&files));
    for read in [Some(alone.map(|_| None)), beside.map(|read| read.map(Some))] {
        match read {
            Some(Ok(Some(rulebook))) => {
                let audit = Auditor::new(&rulebook, Limits::default()).audit(&SHEET);
                assert!(audit.findings.len() <= Limits::default().findings);
            }
            Some(Err(faults)) => {
                assert!(!faults.is_empty());
                for fault in faults {
                    assert!(fault.line >= 1 && fault.column >= 1, "{fault}");
                    assert!(fault.line <= text.split(BREAKS).count() + 1, "{fault}");
                }
            }
            Some(Ok(None)) | None => {}
        }
    }
});
