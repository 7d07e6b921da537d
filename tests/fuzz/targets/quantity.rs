//! Any text: quantities in order, with finite values, inside the text.
#![no_main]

use claimgauge::sheet::quantity::{Context, parse_one, read};
use claimgauge::sheet::{Kind, Value};
use claimgauge::span::Span;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    for context in [
        Context::default(),
        Context::of("resistance").under("conductor"),
        Context::of("gauge").decimal_comma(true),
    ] {
        let mut quantities = Vec::new();
        read(text, Span::new(0, text.len()), &context, &mut quantities);
        for quantity in &quantities {
            assert!(
                text.get(quantity.span.start()..quantity.span.end())
                    .is_some()
            );
            assert!(quantity.si().is_none_or(f64::is_finite));
            assert!(!matches!(quantity.value(), Value::Number(value) if !value.is_finite()));
            assert!(quantity.strand.is_none_or(|strand| strand.0.is_finite()));
        }
        assert!(quantities.is_sorted_by_key(|quantity| quantity.span.start()));
    }
    for kind in [
        Kind::Gauge,
        Kind::Area,
        Kind::Diameter,
        Kind::Strands,
        Kind::Length,
        Kind::Resistance,
        Kind::InductancePerLength,
        Kind::Frequency,
        Kind::Temperature,
        Kind::LevelDb,
    ] {
        if let Ok(quantity) = parse_one(text, kind) {
            assert!(quantity.si().is_none_or(f64::is_finite));
        }
    }
});
