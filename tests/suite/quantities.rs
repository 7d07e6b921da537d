//! Notations of quantities and phrases that only look like them.

use claimgauge::sheet::quantity::{Context, Kind, Quantity, Value, parse_one, read};
use claimgauge::span::Span;
use proptest::prelude::*;
use serde_json::Value as Json;

fn table(name: &str) -> Json {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    serde_json::from_str(&std::fs::read_to_string(path).expect("a readable table")).expect("JSON")
}

/// Resolves what the running text never has: entities, soft hyphens, ligatures, broken words.
fn running(text: &str) -> String {
    let mut text = text.to_owned();
    for (from, to) in [
        ("&nbsp;", " "),
        ("&ndash;", "–"),
        ("&sup2;", "²"),
        ("&#178;", "²"),
        ("&times;", "×"),
        ("&Oslash;", "Ø"),
        ("&#8242;", "′"),
        ("&Omega;", "Ω"),
        ("&ohm;", "Ω"),
        ("&#937;", "Ω"),
        ("&micro;", "µ"),
        ("&#956;", "μ"),
        ("&deg;", "°"),
        ("\u{FB01}", "fi"),
        ("\u{AD}", ""),
        ("-\n", ""),
    ] {
        text = text.replace(from, to);
    }
    text
}

fn quantities(text: &str) -> Vec<Quantity> {
    let mut found = Vec::new();
    read(
        text,
        Span::new(0, text.len()),
        &Context::default(),
        &mut found,
    );
    found
}

fn shown(quantity: &Quantity, text: &str) -> String {
    format!(
        "{} {:?} [{}] {:?} in {:?}",
        quantity.kind.name(),
        quantity.value(),
        quantity.unit(),
        quantity.si(),
        quantity.span.of(text)
    )
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * a.abs().max(b.abs())
}

fn same_value(value: &Value, want: &Json) -> bool {
    match (value, want) {
        (Value::Number(value), Json::Number(want)) => {
            want.as_f64().is_some_and(|want| close(*value, want))
        }
        (Value::Text(value), Json::String(want)) => **value == **want,
        _ => false,
    }
}

fn fits(quantity: &Quantity, want: &Json) -> bool {
    let value = same_value(&quantity.value(), &want["value"])
        || want["alt"].as_array().is_some_and(|others| {
            others
                .iter()
                .any(|other| same_value(&quantity.value(), other))
        });
    let si = quantity.kind == Kind::Strands
        || match (quantity.si(), want["si"].as_f64()) {
            (Some(si), Some(want)) => close(si, want),
            (None, None) => true,
            _ => false,
        };
    let unit = quantity.unit() == want["unit"].as_str().unwrap_or("") || want["alt"].is_array();
    let score = quantity.score.map_or(want["score"].is_null(), |score| {
        want["score"]
            .as_f64()
            .is_some_and(|want| close(score, want))
    });
    want["kind"].as_str() == Some(quantity.kind.name()) && value && si && unit && score
}

#[test]
#[expect(
    clippy::print_stderr,
    reason = "the figures belong in the log of the run"
)]
fn every_notation_is_read() {
    let table = table("notations.json");
    let entries = table["notations"].as_array().expect("a list");
    assert!(entries.len() >= 300);
    let (mut right, mut wrong, mut missed) = (0, 0, 0);
    let mut faults = String::new();
    for entry in entries {
        let raw = entry["text"].as_str().expect("a text");
        let text = running(raw);
        let found = quantities(&text);
        let wanted = entry["want"].as_array().expect("a list");
        let hits = wanted
            .iter()
            .filter(|want| found.iter().any(|quantity| fits(quantity, want)))
            .count();
        right += hits;
        missed += wanted.len() - hits;
        wrong += found.len().saturating_sub(hits);
        if hits < wanted.len() || found.len() != wanted.len() {
            let found: Vec<String> = found
                .iter()
                .map(|quantity| shown(quantity, &text))
                .collect();
            faults += &format!("{raw:?}\n  wanted {wanted:?}\n  found {found:?}\n");
        }
    }
    eprintln!(
        "notations: {right} right, {wrong} wrong, {missed} missed; precision {:.3}, recall {:.3}",
        f64::from(u32::try_from(right).unwrap_or(0))
            / f64::from(u32::try_from(right + wrong).unwrap_or(1)),
        f64::from(u32::try_from(right).unwrap_or(0))
            / f64::from(u32::try_from(right + missed).unwrap_or(1)),
    );
    assert!(faults.is_empty(), "{faults}");
}

#[test]
fn a_wide_blank_before_a_number_and_a_sign_is_borne() {
    for blank in ['\u{2001}', '\u{2009}', '\u{202F}', '\u{3000}', '\u{A0}'] {
        for sign in ['=', ':'] {
            let text = format!("Reel{blank}3{sign} 2.5 mm²");
            check(&text, Span::new(0, text.len()), &Context::default());
            let mut found = Vec::new();
            read(
                &text,
                Span::new(0, text.len()),
                &Context::default(),
                &mut found,
            );
            assert_eq!(found.len(), 1, "{text:?}");
        }
    }
}

#[test]
fn every_layout_gives_its_units() {
    let table = table("layouts.json");
    let entries = table["layouts"].as_array().expect("a list");
    assert!(entries.len() >= 60);
    let mut faults = String::new();
    for entry in entries {
        let raw = entry["text"].as_str().expect("a text");
        let sheet = claimgauge::sheet::read(raw);
        let text = sheet.flow.text();
        let mut wanted: Vec<&Json> = entry["want"].as_array().expect("a list").iter().collect();
        let mut more = Vec::new();
        for quantity in &sheet.quantities {
            match wanted.iter().position(|want| fits(quantity, want)) {
                Some(at) => {
                    wanted.remove(at);
                }
                None => more.push(shown(quantity, text)),
            }
        }
        if !wanted.is_empty() || !more.is_empty() {
            faults += &format!("{raw}\n  missed {wanted:?}\n  not meant {more:?}\n");
        }
    }
    assert!(faults.is_empty(), "{faults}");
}

#[test]
fn no_lookalike_is_read() {
    let table = table("lookalikes.json");
    let entries = table["lookalikes"].as_array().expect("a list");
    assert!(entries.len() >= 100);
    let mut faults = String::new();
    for entry in entries {
        let text = running(entry.as_str().expect("a text"));
        for quantity in quantities(&text) {
            faults += &format!("{text:?}: {}\n", shown(&quantity, &text));
        }
    }
    assert!(faults.is_empty(), "{faults}");
}

#[test]
fn options_are_read() {
    for (text, kind, si) in [
        ("15m", Kind::Length, 15.0),
        ("50 ft", Kind::Length, 15.24),
        ("2,5mm2", Kind::Area, 2.5e-6),
        ("2.5 mm²", Kind::Area, 2.5e-6),
        ("65x0.25mm", Kind::Strands, 3.190_680_3e-6),
        ("65/0.25", Kind::Strands, 3.190_680_3e-6),
        // ASTM B258.
        ("12AWG", Kind::Gauge, 3.308_772_9e-6),
        ("12", Kind::Gauge, 3.308_772_9e-6),
        ("4/0", Kind::Gauge, 1.072_193e-4),
        ("#12", Kind::Gauge, 3.308_772_9e-6),
        // BS 3737, from memory.
        ("16 SWG", Kind::Gauge, 2.075_473_8e-6),
        ("500kcmil", Kind::Area, 2.533_537_4e-4),
        ("8ohm", Kind::Impedance, 8.0),
        ("0.5ohm", Kind::Impedance, 0.5),
        ("8 Ω", Kind::Impedance, 8.0),
        ("0.2dB", Kind::LevelDb, 0.2),
        ("20C", Kind::Temperature, 20.0),
        ("-5 °C", Kind::Temperature, -5.0),
        ("68F", Kind::Temperature, 20.0),
        ("20kHz", Kind::Frequency, 20_000.0),
        ("5%", Kind::Percent, 5.0),
        ("0.05ohm", Kind::Resistance, 0.05),
        ("12ohm", Kind::Resistance, 12.0),
        ("4mm", Kind::Length, 0.004),
        ("2.05mm", Kind::Diameter, 0.002_05),
        ("0.66", Kind::VelocityFactor, 0.66),
        ("66 %", Kind::VelocityFactor, 0.66),
        ("10A", Kind::Current, 10.0),
        ("100W", Kind::Power, 100.0),
    ] {
        let quantity = parse_one(text, kind).unwrap_or_else(|message| panic!("{text}: {message}"));
        assert_eq!(quantity.kind, kind, "{text}");
        assert!(
            quantity.si().is_some_and(|found| close(found, si)),
            "{text}: {:?}",
            quantity.si()
        );
    }
}

#[test]
fn options_that_are_none_say_what_was_expected() {
    let mut said = String::new();
    for (text, kind) in [
        ("15", Kind::Length),
        ("15 q", Kind::Length),
        ("", Kind::Length),
        ("long", Kind::Length),
        ("15m and more", Kind::Length),
        ("8ohm", Kind::Length),
        ("twelve", Kind::Area),
        ("1e999 m", Kind::Length),
        ("12 13", Kind::Gauge),
        ("99 AWG", Kind::Gauge),
        ("5 m 6 m", Kind::Length),
    ] {
        let message = parse_one(text, kind).expect_err(text);
        assert!(!message.contains('\n'));
        said += &format!("{text:8} {message}\n");
    }
    insta::assert_snapshot!(said);
}

/// What every list of quantities must hold, whatever the text.
fn check(text: &str, span: Span, context: &Context) -> Vec<Quantity> {
    let mut found = Vec::new();
    read(text, span, context, &mut found);
    let mut last = span.start();
    let mut ends = std::collections::HashMap::new();
    for quantity in &found {
        assert!(
            text.get(quantity.span.start()..quantity.span.end())
                .is_some_and(|quote| !quote.is_empty()),
            "{text:?} {quantity:?}"
        );
        assert!(quantity.span.start() >= last && quantity.span.end() <= span.end().min(text.len()));
        last = quantity.span.start();
        if let Value::Number(value) = quantity.value() {
            assert!(value.is_finite(), "{text:?}");
        }
        assert!(quantity.si().is_none_or(f64::is_finite), "{text:?}");
        if let Some(id) = quantity.range {
            *ends.entry(id).or_insert(0) += 1;
        }
    }
    assert!(
        ends.values().all(|ends| *ends == 2),
        "{text:?}: a range has two ends"
    );
    found
}

/// Bits of notations strung together at random.
fn medley() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(vec![
        "12",
        "2.5",
        "2,5",
        "1 000",
        "½",
        "1e-3",
        "1e999",
        "three",
        "a hundred",
        "half a",
        "-",
        "–",
        "−",
        " to ",
        " x ",
        "×",
        "/",
        ", ",
        " and ",
        " of ",
        " out of ",
        "AWG",
        " AWG",
        "#",
        "No. ",
        "mm",
        " mm²",
        "mm2",
        " Ω",
        "ohm",
        "mΩ/m",
        " per 1000 ft",
        "'",
        "\"",
        "′",
        " in",
        " strands of ",
        "°C",
        " %",
        " dB",
        " kHz",
        "damping factor ",
        "VF ",
        "(",
        ")",
        ":",
        " ",
        "\n",
        "\t",
        "£",
        "Ø",
        "\u{A0}",
        "é",
        "mil",
        " A",
        " W",
        "m",
        "c",
        "R",
        "K",
        "±",
        "≤",
        "max. ",
        "4/0",
        "65/0.25",
        "14-2",
        "wire ",
        "listeners",
    ]);
    prop::collection::vec(bits, 0..14).prop_map(|bits| bits.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_borne(text in "\\PC{0,60}", start in 0_usize..70, len in 0_usize..70) {
        check(&text, Span::new(0, text.len()), &Context::default());
        // Borders in the middle of a character are drawn back.
        let mut found = Vec::new();
        read(&text, Span::new(start, start + len), &Context::of(&text), &mut found);
        prop_assert!(found.iter().all(|quantity| text.get(quantity.span.start()..quantity.span.end()).is_some()));
    }

    #[test]
    fn any_medley_is_borne(text in medley(), key in medley()) {
        check(&text, Span::new(0, text.len()), &Context::default());
        check(&text, Span::new(0, text.len()), &Context::of(&key));
        for kind in [Kind::Length, Kind::Gauge, Kind::Strands, Kind::Temperature] {
            if let Ok(quantity) = parse_one(&text, kind) {
                prop_assert_eq!(quantity.kind, kind);
            }
        }
    }

    #[test]
    fn what_is_printed_is_read_back(value in 0.01_f64..5000.0, unit in prop::sample::select(vec!["m", "ft", "mm²", "Ω/km", "dB", "kHz", "W"])) {
        let value = (value * 100.0).round() / 100.0;
        let text = format!("It has {value} {unit}, they say.");
        let found = check(&text, Span::new(0, text.len()), &Context::default());
        prop_assert_eq!(found.len(), 1);
        prop_assert_eq!(&found[0].value(), &Value::Number(value));
        prop_assert_eq!(found[0].unit(), unit);
    }
}

/// Found by `any_medley_is_borne`: a range kept one end where the other was no quantity after all.
#[test]
fn a_range_has_two_ends_or_is_none() {
    for text in [
        "AWG4/02.5×",
        "4/0-2.5 AWG",
        "12-2.5 AWG",
        "2.5 to 12 AWG",
        "99-12 AWG",
        "between 2.5 and 14 AWG",
        "1e999 to 5 m",
        "5 to 1e999 m",
    ] {
        for context in [
            "",
            "Gauge",
            "AWG",
            "AWG to",
            "Length (m)",
            "Temperature (°C)",
        ] {
            check(text, Span::new(0, text.len()), &Context::of(context));
        }
    }
}

#[test]
fn hostile_numbers_are_dropped_or_finite() {
    for text in [
        "1".repeat(1_000_000),
        "1 ".repeat(2_000),
        "1,".repeat(2_000),
        "1/".repeat(2_000),
        "1x".repeat(2_000),
        "1-".repeat(2_000),
        "#1".repeat(2_000),
        "one ".repeat(2_000),
        "twenty-".repeat(2_000),
        "\"1".repeat(2_000),
        "1'1\"".repeat(2_000),
        "12 of ".repeat(2_000),
        "5 strands of ".repeat(2_000),
        format!("{} m", "9".repeat(400)),
        format!("0.{}1 mm", "0".repeat(400)),
        "1e999 m and 1e-999 m and 2.5 × 10^999 Ω".to_owned(),
    ] {
        check(&text, Span::new(0, text.len()), &Context::default());
        check(&text, Span::new(0, text.len()), &Context::of("Length (m)"));
    }
}

/// Kind and number as written of what stands in a whole document, in reading order.
fn values(text: &str) -> Vec<(&'static str, String)> {
    claimgauge::sheet::read(text)
        .quantities
        .iter()
        .map(|quantity| {
            let number = match &quantity.value() {
                Value::Number(number) => number.to_string(),
                Value::Text(text) => text.to_string(),
            };
            (quantity.kind.name(), number)
        })
        .collect()
}

fn owned(pairs: &[(&'static str, &str)]) -> Vec<(&'static str, String)> {
    pairs
        .iter()
        .map(|&(kind, number)| (kind, number.to_owned()))
        .collect()
}

#[test]
fn a_boxed_table_with_a_title_and_heads_in_two_rows() {
    let text = "\
+-----------------------------------------+
|  HAULM CABLE   LARCH RANGE              |
+--------+-------+---------------+--------+
| Type   | Gauge | DC resistance | Jacket |
|        | (AWG) | ohm/km, 20 °C | (mm)   |
+--------+-------+---------------+--------+
| LA-14  |  14   |   8.29        |  7.4   |
| LA-16  |  16   |  13.2         |  6.1   |
+--------+-------+---------------+--------+
";
    let of_rows = [
        ("temperature", "20"),
        ("gauge", "14"),
        ("resistance_per_length", "8.29"),
        ("length", "7.4"),
        ("gauge", "16"),
        ("resistance_per_length", "13.2"),
        ("length", "6.1"),
    ];
    assert_eq!(values(text), owned(&of_rows));
}

#[test]
fn a_head_over_several_columns_gives_them_their_unit() {
    let text = "\
Type     Area        Strands         Max. resistance, Ω/km, 20 °C
                                     plain copper      tinned copper
LA-15    1,5 mm²     30 × 0,25 mm    13,3              13,7
LA-25    2,5 mm²     50 × 0,25 mm    7,98              8,21
";
    let found = values(text);
    for number in ["13.3", "13.7", "7.98", "8.21"] {
        assert!(
            found.contains(&("resistance_per_length", number.to_owned())),
            "{number} in {found:?}"
        );
    }
    let text = "\
                      there and back     longest run, in feet
 gauge    area        mΩ per ft          8 Ω        4 Ω
 ------------------------------------------------------
 10 AWG   5.26 mm²    2.00               55         27
 12 AWG   3.31 mm²    3.18               42         21
";
    let found = values(text);
    for number in ["55", "27", "42", "21"] {
        assert!(
            found.contains(&("length", number.to_owned())),
            "{number} in {found:?}"
        );
    }
}

#[test]
fn names_of_columns_that_are_joined_by_a_sign_end_in_their_unit() {
    let text = "\
sku,awg,area_mm2,ohm_per_km_per_core,reel_m,price_eur
LA-141,14,2.08,8.29,100,88.50
LA-161,16,1.31,13.2,250,61.00
";
    let of_rows = [
        ("gauge", "14"),
        ("area", "2.08"),
        ("resistance_per_length", "8.29"),
        ("length", "100"),
        ("gauge", "16"),
        ("area", "1.31"),
        ("resistance_per_length", "13.2"),
        ("length", "250"),
    ];
    assert_eq!(values(text), owned(&of_rows));
}
