//! All checks on one document: what is confirmed, and whether every finding is whole.

use super::line::lossy;
use super::safety_and_fitness::offered;
use super::*;

/// 12 AWG that is really 14 AWG: one finding at the size, which names what goes with the smaller wire.
#[test]
fn one_cause_one_finding() {
    let doc =
        Doc::new("12 AWG (2.08 mm²) copper, 8.29 mΩ/m per conductor, 5 m, 8 Ω: damping factor 150")
            .awg("12 AWG", 12)
            .mm2("2.08 mm²", 2.08)
            .copper()
            .single("8.29 mΩ/m", 8.29)
            .length("5 m", 5.0)
            .load("8 Ω", 8.0)
            .figure(FigureKind::DampingFactor, "150", 150.0);
    doc.says(&["gauge-area-mismatch"]);
    let message = &doc.findings()[0].message;
    assert!(message.contains("8.29 mΩ/m"), "{message}");
    assert!(message.contains("damping factor"), "{message}");
    // A resistance that is too low for the metal takes its damping factor along: 8 Ω over 5 m · 2 · 3 mΩ is 267.
    let doc = Doc::new("12 AWG copper, 3 mΩ/m per conductor, 5 m, 8 Ω: damping factor 260")
        .awg("12 AWG", 12)
        .copper()
        .single("3 mΩ/m", 3.0)
        .length("5 m", 5.0)
        .load("8 Ω", 8.0)
        .figure(FigureKind::DampingFactor, "260", 260.0);
    doc.says(&["resistance-below-metal"]);
    assert!(
        doc.findings()[0].message.contains("260"),
        "{:?}",
        doc.messages()
    );
}

/// A sheet whose ten figures agree shows ten confirmations. 14 AWG: 2.081 mm², 8.2855 mΩ/m.
#[test]
fn ten_figures_ten_confirmations() {
    let doc = Doc::new(
        "14 AWG (2.08 mm²; 42 x 0.25 mm) copper of 101 % IACS; 8.3 mΩ/m each, 16.6 mΩ/m of loop; 600 nH/m, 60.0 pF/m, 100 Ω, 0.56 c; \
         5 m into 8 Ω: 0.09 dB at 1 kHz, damping factor 96",
    )
    .awg("14 AWG", 14)
    .mm2("2.08 mm²", 2.08)
    .strands("42 x 0.25 mm", 42, 0.25)
    .copper()
    .figure(FigureKind::Conductivity, "101 % IACS", 101.0)
    .single("8.3 mΩ/m", 8.3)
    .looped("16.6 mΩ/m", 16.6)
    .figure(FigureKind::InductancePerLength, "600 nH/m", 0.6e-6)
    .figure(FigureKind::CapacitancePerLength, "60.0 pF/m", 60.0e-12)
    .figure(FigureKind::CharacteristicImpedance, "100 Ω", 100.0)
    .figure(FigureKind::VelocityFactor, "0.56 c", 0.56)
    .length("5 m", 5.0)
    .load("8 Ω", 8.0)
    .frequency("1 kHz", 1000.0)
    .figure(FigureKind::Loss, "0.09 dB", 0.09)
    .figure(FigureKind::DampingFactor, "96", 96.0);
    doc.says(&[]);
    assert_eq!(doc.confirmations(), 10, "{:#?}", doc.messages());
}

/// Every finding has a message, a help line, words and a working whose inputs say where they came from; safety defers to the code.
#[test]
fn findings_are_complete() {
    let docs = [
        Doc::new("12 AWG (2.08 mm²)")
            .awg("12 AWG", 12)
            .mm2("2.08 mm²", 2.08),
        Doc::new("14 AWG copper, 13.4 mΩ/m")
            .awg("14 AWG", 14)
            .copper()
            .single("13.4 mΩ/m", 13.4),
        Doc::new("14 AWG copper, 5 mΩ/m")
            .awg("14 AWG", 14)
            .copper()
            .single("5 mΩ/m", 5.0),
        lossy(0.5, 1000.0),
        offered(20, 20.0, 4.0),
    ];
    for doc in docs {
        for finding in doc.findings() {
            assert!(!finding.message.is_empty());
            assert!(finding.message.ends_with('.'), "{}", finding.message);
            assert!(
                !finding.message.contains("NaN") && !finding.message.contains(" ? "),
                "{}",
                finding.message
            );
            assert!(!finding.marks.is_empty());
            assert!(!finding.sources.is_empty());
            assert!(
                finding.working.iter().all(|step| step.value.is_finite()),
                "{:#?}",
                finding.working
            );
            assert!(
                finding
                    .working
                    .iter()
                    .any(|step| matches!(step.from, Origin::Quoted(_)))
            );
            if finding.level.is_some() {
                assert!(!finding.help.is_empty());
            }
        }
    }
}
