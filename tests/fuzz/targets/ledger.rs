//! Any text as a file of settled findings: a fault with a place, or entries that are asked after a finding.
#![no_main]

use claimgauge::input::Source;
use claimgauge::ledger::{Ledger, with_entries};
use claimgauge::report::View;
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Audit, Auditor, Limits};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static RULEBOOK: LazyLock<Rulebook> = LazyLock::new(Rulebook::builtin);
static DOCUMENT: LazyLock<(Source, Audit)> = LazyLock::new(|| {
    let text = include_bytes!("../../../samples/orrisvane-advertisement.txt");
    let source = Source::decode("advertisement.txt", text).expect("text");
    let audit = Auditor::new(&RULEBOOK, Limits::default()).audit(&source);
    (source, audit)
});

fuzz_target!(|text: &str| {
    let mut ledger = Ledger::default();
    match ledger.add("fuzz.yaml", text) {
        Ok(()) => {
            let (source, audit) = &*DOCUMENT;
            let mut view = View::new(source, audit, &RULEBOOK);
            view.settle(|item| {
                let index = ledger.answer(source.name(), item)?;
                ledger.settled(index)
            });
            for index in 0..ledger.len() {
                assert!(ledger.stale(index).is_some());
            }
            // What is added stays readable.
            let longer = with_entries(text, &[]);
            assert!(Ledger::default().add("fuzz.yaml", &longer).is_ok());
        }
        Err(fault) => assert!(fault.line >= 1 && fault.column >= 1, "{fault}"),
    }
});
