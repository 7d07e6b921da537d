//! Cases of the rules on line constants, loss, damping and the skin effect.

use super::*;

/// µ₀·ε₀ = 11.13 µH·pF/m²: 0.5 µH/m with 20 pF/m is 10.0.
#[test]
fn light() {
    let line = |l: f64, c: f64| {
        Doc::new("inductance capacitance")
            .figure(FigureKind::InductancePerLength, "inductance", l * 1.0e-6)
            .figure(FigureKind::CapacitancePerLength, "capacitance", c * 1.0e-12)
    };
    for (l, c) in [(0.5, 20.0), (0.2, 40.0), (0.1, 60.0)] {
        line(l, c).says(&["faster-than-light"]);
    }
    let doc = line(0.5, 20.0);
    near(doc.step("faster-than-light", "v/c"), 1.0549, 1.0e-3);
    for (l, c) in [(0.5, 50.0), (0.2, 100.0), (0.7, 16.0)] {
        let doc = line(l, c);
        doc.says(&[]);
        assert_eq!(doc.confirmations(), 1);
    }
    let velocity =
        |value| Doc::new("velocity").figure(FigureKind::VelocityFactor, "velocity", value);
    velocity(1.0).says(&["faster-than-light"]);
    velocity(1.2).says(&["faster-than-light"]);
    velocity(0.98).says(&[]);
    velocity(0.66).says(&[]);
    velocity(1.0).bound(Bound::AtMost).says(&[]);
}

/// 0.6 µH/m and 60 pF/m: 100 Ω, v = 0.556 c.
#[test]
fn line_constants() {
    let line = |kind, value| {
        Doc::new("600 nH/m 60.0 pF/m stated")
            .figure(FigureKind::InductancePerLength, "600 nH/m", 0.6e-6)
            .figure(FigureKind::CapacitancePerLength, "60.0 pF/m", 60.0e-12)
            .figure(kind, "stated", value)
    };
    for (kind, value) in [
        (FigureKind::CharacteristicImpedance, 8.0),
        (FigureKind::CharacteristicImpedance, 75.0),
        (FigureKind::VelocityFactor, 0.85),
    ] {
        line(kind, value).says(&["line-constants-mismatch"]);
    }
    for (kind, value) in [
        (FigureKind::CharacteristicImpedance, 100.0),
        (FigureKind::CharacteristicImpedance, 110.0),
        (FigureKind::VelocityFactor, 0.58),
    ] {
        let doc = line(kind, value);
        doc.says(&[]);
        assert_eq!(doc.confirmations(), 2);
    }
    let doc = line(FigureKind::CharacteristicImpedance, 75.0);
    near(doc.step("line-constants-mismatch", "Z₀"), 100.0, 1.0e-6);
    // At 1 kHz the impedance of a thin line is several times higher.
    line(FigureKind::CharacteristicImpedance, 400.0)
        .change(|figure| seldom(figure).frequency = Some(Fact::new(Hertz(1000.0), Span::new(0, 1))))
        .says(&[]);
    // Two constants that no line has: the velocity is the same mistake.
    let doc = Doc::new("500 nH/m 18.0 pF/m stated")
        .figure(FigureKind::InductancePerLength, "500 nH/m", 0.5e-6)
        .figure(FigureKind::CapacitancePerLength, "18.0 pF/m", 18.0e-12)
        .figure(FigureKind::VelocityFactor, "stated", 0.7);
    doc.says(&["faster-than-light"]);
    assert!(doc.findings()[0].message.contains("carries on"));
}

pub(super) fn lossy(loss: f64, frequency: f64) -> Doc {
    Doc::new("10 m of 2.5 mm² copper into 8 Ω at f: loss")
        .mm2("2.5 mm²", 2.5)
        .copper()
        .length("10 m", 10.0)
        .load("8 Ω", 8.0)
        .frequency("f", frequency)
        .figure(FigureKind::Loss, "loss", loss)
}

/// By hand: 10 m of 2.5 mm² are 2 · 10 · 1/58 / 2.5 = 0.138 Ω; 20 · log10(1 + 0.138/8) = 0.149 dB.
#[test]
fn loss() {
    for (loss, frequency) in [(0.01, 1000.0), (0.5, 1000.0), (1.5, 20_000.0)] {
        lossy(loss, frequency).says(&["loss-mismatch"]);
    }
    for (loss, frequency) in [(0.149, 1000.0), (0.12, 1000.0), (0.2, 20_000.0)] {
        let doc = lossy(loss, frequency);
        doc.says(&[]);
        assert_eq!(doc.confirmations(), 1, "{:?}", doc.messages());
    }
    // Lowest: 102 % IACS at 15 °C, 0.1353 · 0.98035 = 0.1326 Ω, 0.2 µH/m at 1 kHz: 0.1428 dB.
    let doc = lossy(0.5, 1000.0);
    near(doc.step("loss-mismatch", "a_low"), 0.1428, 0.01);
    // A bound that holds, and one that cannot.
    lossy(0.5, 1000.0).bound(Bound::AtMost).says(&[]);
    lossy(0.02, 1000.0)
        .bound(Bound::AtMost)
        .says(&["loss-mismatch"]);
    // No load: nothing to compute, and a note.
    let mut doc = lossy(0.01, 1000.0);
    doc.facts.setup.loads.clear();
    doc.says(&[]);
    let findings = doc.findings();
    assert_eq!(findings[0].rule, "conditions-unstated");
    assert!(findings[0].message.contains("the load is not stated"));
}

/// By hand: 3 m of 16 AWG are 6 · 13.175 mΩ = 79.05 mΩ; 8 Ω over that is 101.
#[test]
fn damping() {
    let damped = |value: f64| {
        Doc::new("3 m of 16 AWG copper into 8 Ω: damping factor")
            .awg("16 AWG", 16)
            .copper()
            .length("3 m", 3.0)
            .load("8 Ω", 8.0)
            .figure(FigureKind::DampingFactor, "damping factor", value)
    };
    for value in [200.0, 400.0, 120.0] {
        damped(value).says(&["damping-mismatch"]);
    }
    for value in [101.0, 100.0, 105.0] {
        let doc = damped(value);
        doc.says(&[]);
        assert_eq!(doc.confirmations(), 1, "{:?}", doc.messages());
    }
    damped(60.0).says(&[]);
    damped(400.0).bound(Bound::AtMost).says(&[]);
    damped(400.0)
        .change(|figure| figure.kind = FigureKind::AmplifierDampingFactor)
        .says(&[]);
    let doc = damped(200.0);
    // 101.2 · 1.02 / 0.98035.
    near(doc.step("damping-mismatch", "DF_max"), 105.3, 5.0e-3);
}

/// Exact solution of the round wire, skin_effect.csv of the reference tables: 12 AWG at 20 kHz has 1.35, 14 AWG 1.17, 18 AWG 1.03.
#[test]
fn skin_effect() {
    let rise = |gauge: i32, percent: f64| {
        Doc::new("gauge copper, stranded or solid: rise at 20 kHz")
            .awg("gauge", gauge)
            .copper()
            .figure(FigureKind::SkinRise, "rise", percent)
            .frequency("20 kHz", 20_000.0)
    };
    for (gauge, percent) in [(12, 60.0), (14, 30.0), (18, 15.0), (12, 400.0)] {
        rise(gauge, percent).says(&["skin-effect-mismatch"]);
    }
    for (gauge, percent) in [(12, 35.0), (14, 17.0), (18, 3.0), (12, 10.0), (12, 0.5)] {
        let doc = rise(gauge, percent);
        doc.says(&[]);
        assert_eq!(doc.confirmations(), 1);
    }
    let doc = rise(12, 60.0);
    near(doc.step("skin-effect-mismatch", "k_high − 1"), 0.36, 0.05);
    // Declared solid: held to its value both ways.
    rise(12, 10.0)
        .built("solid", Build::Solid)
        .says(&["skin-effect-mismatch"]);
    rise(12, 34.0).built("solid", Build::Solid).says(&[]);
    // Words without a frequency give nothing to compute.
    let mut doc = rise(12, 60.0);
    doc.facts.setup.frequencies.clear();
    doc.says(&[]);
}

/// δ = √(1.724e-8 / (π · 20000 · 4πe-7)) = 0.4673 mm in copper.
#[test]
fn skin_depth() {
    let depth = |millimetres: f64, hertz: f64| {
        Doc::new("copper, 0.467 mm at f")
            .copper()
            .figure(FigureKind::SkinDepth, "0.467 mm", millimetres * 1.0e-3)
            .frequency("f", hertz)
    };
    for (millimetres, hertz) in [(0.66, 20_000.0), (0.2, 20_000.0), (9.3, 1000.0)] {
        depth(millimetres, hertz).says(&["skin-depth-mismatch"]);
    }
    for (millimetres, hertz) in [(0.467, 20_000.0), (2.09, 1000.0), (0.5, 20_000.0)] {
        let doc = depth(millimetres, hertz);
        doc.says(&[]);
        assert_eq!(doc.confirmations(), 1);
    }
    near(
        depth(0.66, 20_000.0).step("skin-depth-mismatch", "δ"),
        0.4673,
        1.0e-3,
    );
}

/// 20 AWG over 4 m into 8 Ω: loop 0.266 Ω, 0.29 dB; a 12 AWG pair 0.06 dB.
#[test]
fn skin_trade_off() {
    let free = |gauge: i32| {
        Doc::new("size copper, without any skin effect, 4 m")
            .awg("size", gauge)
            .copper()
            .length("4 m", 4.0)
            .claim(
                "without any skin effect",
                "skin-trade-off",
                Stance::Asserted,
            )
    };
    for gauge in [20, 24, 14] {
        free(gauge).says(&["skin-trade-off"]);
    }
    for gauge in [12, 10, 13] {
        free(gauge).says(&[]);
    }
    let doc = free(20);
    near(doc.step("skin-trade-off", "a_n"), 0.061, 0.05);
    Doc::new("copper without any skin effect")
        .copper()
        .claim(
            "without any skin effect",
            "skin-trade-off",
            Stance::Asserted,
        )
        .says(&[]);
    Doc::new("20 AWG copper is not without any skin effect")
        .awg("20 AWG", 20)
        .copper()
        .claim("without any skin effect", "skin-trade-off", Stance::Denied)
        .says(&[]);
    // Told of somebody else: a note.
    let doc = Doc::new("20 AWG copper, without any skin effect, they say")
        .awg("20 AWG", 20)
        .copper()
        .claim(
            "without any skin effect",
            "skin-trade-off",
            Stance::Reported,
        );
    doc.says(&[]);
    assert!(
        doc.findings()
            .iter()
            .any(|finding| finding.rule == "skin-trade-off")
    );
}
