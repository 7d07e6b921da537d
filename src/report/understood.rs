//! What was understood of a document, in rows that people can check against it.

use crate::facts::{
    Amount, Blinding, Build, Cable, Comparison, DifferenceOf, Drive, Fact, Figure, FigureKind,
    Load, LoadKind, Matching, Notation, Reading, Setup, SizeOf,
};
use crate::report::number::shown;
use crate::report::view::{Compared, Quote, Quoter, bound_words, subject_word};
use crate::span::Span;

/// One thing that is said.
#[derive(Debug, Clone)]
pub struct Row {
    /// What it is: `size`, `length`, `loop resistance`.
    pub what: String,
    /// How it was understood, in words.
    pub value: String,
    /// Value in SI units, where it is a figure.
    pub si: Option<f64>,
    /// Unit of `si`.
    pub si_unit: &'static str,
    /// The words.
    pub quote: Quote,
}

/// A cable or the set-up, with what is said of it.
#[derive(Debug, Clone, Default)]
pub struct Group {
    /// What it is called.
    pub name: String,
    /// Words that name it.
    pub mentions: Vec<Quote>,
    /// What is said.
    pub rows: Vec<Row>,
}

struct Rows<'a> {
    quoter: Quoter<'a>,
    rows: Vec<Row>,
}

impl Rows<'_> {
    fn add(
        &mut self,
        what: impl Into<String>,
        value: impl Into<String>,
        si: Option<(f64, &'static str)>,
        span: Span,
    ) {
        self.rows.push(row(self.quoter, what, value, si, span));
    }

    fn figure(&mut self, what: impl Into<String>, value: f64, unit: &'static str, span: Span) {
        self.add(what, with_unit(value, unit), Some((value, unit)), span);
    }
}

fn row(
    quoter: Quoter<'_>,
    what: impl Into<String>,
    value: impl Into<String>,
    si: Option<(f64, &'static str)>,
    span: Span,
) -> Row {
    let what = what.into();
    Row {
        quote: quoter.quote(span, &what),
        what,
        value: value.into(),
        si: si.map(|(value, _)| value),
        si_unit: si.map_or("", |(_, unit)| unit),
    }
}

/// A value with the prefix that people expect: `3.309 mm²`, `10.4 mΩ/m`, `20 kHz`.
#[must_use]
pub fn with_unit(value: f64, unit: &str) -> String {
    let (factor, prefixed) = match unit {
        "m²" => (1e6, "mm²"),
        "m" if value.abs() < 0.01 => (1e3, "mm"),
        "Ω" | "Ω/m" if value.abs() < 1.0 => (1e3, if unit == "Ω" { "mΩ" } else { "mΩ/m" }),
        "H/m" => (1e6, "µH/m"),
        "F/m" => (1e12, "pF/m"),
        "Hz" if value.abs() >= 1e6 => (1e-6, "MHz"),
        "Hz" if value.abs() >= 1e3 => (1e-3, "kHz"),
        "" => (1.0, ""),
        other => (1.0, other),
    };
    format!("{} {prefixed}", shown(value * factor))
        .trim_end()
        .to_owned()
}

/// What a cable is called.
#[must_use]
pub fn name(index: usize, cable: &Cable) -> String {
    if cable.name.is_empty() {
        format!("cable {}", index + 1)
    } else {
        cable.name.clone()
    }
}

/// The rows of a cable.
#[must_use]
pub fn cable(index: usize, cable: &Cable, quoter: Quoter<'_>) -> Group {
    let mut rows = Rows {
        quoter,
        rows: Vec::new(),
    };
    for size in &cable.sizes {
        let what = match (size.of, size.notation) {
            (SizeOf::Combined, _) => "combined size",
            (SizeOf::Conductor, Notation::Strands) => "strands",
            (SizeOf::Conductor, _) => "size",
        };
        let mut value = with_unit(size.area.0, "m²");
        if let Some(awg) = size.awg {
            value = format!("{} AWG, {value}", gauge(awg));
        }
        if let Some(conductors) = size.conductors {
            value = format!("{conductors} × {value}");
        }
        if let Some(&(count, diameter)) = size.strands.as_deref() {
            value = format!("{count} × {}, {value}", with_unit(diameter.0, "m"));
        }
        if size.loose {
            value.push_str(" (an end of a range or a limit)");
        }
        rows.add(what, value, Some((size.area.0, "m²")), size.span);
    }
    for (what, fact) in [
        ("conductors", &cable.conductors),
        ("in parallel for each pole", &cable.parallel),
    ] {
        if let Some(fact) = fact {
            rows.add(
                what,
                fact.value.to_string(),
                Some((f64::from(fact.value), "")),
                fact.span,
            );
        }
    }
    if let (Some(parallel), Some((area, size))) = (cable.parallel, cable.effective_area())
        && parallel.value > 1
    {
        rows.figure("size of each pole", area.0, "m²", size.span);
    }
    for length in &cable.lengths {
        rows.figure("length", length.value.0, "m", length.span);
    }
    for metal in &cable.metals {
        rows.add("metal", metal.value.replace('-', " "), None, metal.span);
    }
    if let Some(span) = cable.tinned {
        rows.add("strands", "tinned", None, span);
    }
    for plating in &cable.plating {
        rows.add(
            "plating",
            plating.value.replace('-', " "),
            None,
            plating.span,
        );
    }
    for build in &cable.build {
        let value = match build.value {
            Build::Solid => "solid",
            Build::Stranded => "stranded",
            Build::InsulatedStrands => "strands insulated from one another",
            Build::Foil => "foil",
        };
        rows.add("build", value, None, build.span);
    }
    for stated in &cable.figures {
        figure(&mut rows, stated);
    }
    if let Some(spacing) = &cable.spacing {
        rows.figure("spacing", spacing.value.0, "m", spacing.span);
    }
    if let Some((class, span)) = cable.class {
        rows.add("class", format!("IEC 60228 class {class}"), None, span);
    }
    for &listing in &cable.listings {
        rows.add("listing", "fire or in-wall listing", None, listing);
    }
    for offered in &cable.uses {
        let parts: Vec<String> = [
            offered.length.map(|length| with_unit(length.value.0, "m")),
            offered.load.map(|load| load_words(&load.value)),
            offered.power.map(|power| with_unit(power.value.0, "W")),
        ]
        .into_iter()
        .flatten()
        .collect();
        rows.add("use offered", parts.join(", "), None, offered.span);
    }
    let name = name(index, cable);
    Group {
        mentions: cable
            .mentions
            .iter()
            .map(|span| quoter.quote(span, &name))
            .collect(),
        name,
        rows: rows.rows,
    }
}

fn gauge(awg: i32) -> String {
    if awg < 0 {
        format!("{}/0", 1 - awg)
    } else {
        awg.to_string()
    }
}

fn figure(rows: &mut Rows<'_>, stated: &Figure) {
    let (what, unit) = match stated.kind {
        FigureKind::Resistance => ("resistance", "Ω"),
        FigureKind::ResistancePerLength => ("resistance per length", "Ω/m"),
        FigureKind::InductancePerLength => ("inductance", "H/m"),
        FigureKind::CapacitancePerLength => ("capacitance", "F/m"),
        FigureKind::CharacteristicImpedance => ("characteristic impedance", "Ω"),
        FigureKind::VelocityFactor => ("velocity factor", ""),
        FigureKind::Loss => ("insertion loss", "dB"),
        FigureKind::DampingFactor => ("damping factor", ""),
        FigureKind::AmplifierDampingFactor => ("the amplifier's damping factor", ""),
        FigureKind::SkinRise => ("rise of resistance with frequency", "%"),
        FigureKind::SkinDepth => ("skin depth", "m"),
        FigureKind::Conductivity => ("conductivity", "% IACS"),
        FigureKind::Purity => ("purity", "%"),
        FigureKind::PowerRating => ("power rating", "W"),
    };
    let mut value = with_unit(stated.value, unit);
    let bound = bound_words(stated.bound);
    if !bound.is_empty() {
        value = format!("{bound} {value}");
    }
    match stated.reading {
        Reading::Loop => value.push_str(", loop"),
        Reading::Single => value.push_str(", one conductor"),
        Reading::Unsaid => {}
    }
    if let Some(length) = &stated.length {
        value.push_str(&format!(", over {}", with_unit(length.value.0, "m")));
    }
    if let Some(frequency) = &stated.frequency {
        value.push_str(&format!(", at {}", with_unit(frequency.value.0, "Hz")));
    }
    if let Some(temperature) = &stated.temperature {
        value.push_str(&format!(", at {}", with_unit(temperature.value.0, "°C")));
    }
    if let Some(load) = &stated.load {
        value.push_str(&format!(", into {}", with_unit(load.value.0, "Ω")));
    }
    if let Some((class, _)) = stated.class {
        value.push_str(&format!(", IEC 60228 class {class}"));
    }
    if stated.with_contacts.is_some() {
        value.push_str(", contacts included");
    }
    if stated.denied {
        value.push_str(", denied by the document");
    }
    rows.add(what, value, Some((stated.value, unit)), stated.span);
}

fn load_words(load: &Load) -> String {
    let kind = match load.kind {
        LoadKind::Loudspeaker => "loudspeaker",
        LoadKind::Lamp => "lamp",
        LoadKind::Resistor => "resistor",
    };
    load.impedance.map_or_else(
        || kind.to_owned(),
        |ohms| format!("{} {kind}", with_unit(ohms.0, "Ω")),
    )
}

fn drive_words(drive: &Drive) -> String {
    let power = drive.power.map(Amount::Power);
    let told: Vec<String> = (power.into_iter())
        .chain(drive.voltage.map(Amount::Voltage))
        .map(|amount| amount_words(&amount))
        .collect();
    if told.is_empty() {
        "named".to_owned()
    } else {
        told.join(", ")
    }
}

fn amount_words(drive: &Amount) -> String {
    match drive {
        Amount::Power(power) => with_unit(power.value.0, "W"),
        Amount::Voltage(voltage) => with_unit(voltage.value.0, "V"),
        Amount::Current(current) => with_unit(current.value.0, "A"),
    }
}

/// The set-up with all of its rows.
#[must_use]
pub fn setup(setup: &Setup, quoter: Quoter<'_>) -> Group {
    Group {
        name: "set-up".to_owned(),
        mentions: Vec::new(),
        rows: setup_rows(setup, quoter).collect(),
    }
}

/// The rows of the set-up, each made when it is asked for: a dense document has a great many drives.
pub fn setup_rows<'a>(setup: &'a Setup, quoter: Quoter<'a>) -> impl Iterator<Item = Row> + 'a {
    let loads = setup.loads.iter().map(move |load| {
        let si = load.value.impedance.map(|ohms| (ohms.0, "Ω"));
        row(quoter, "load", load_words(&load.value), si, load.span)
    });
    let drives = (setup.drives.iter())
        .map(move |drive| row(quoter, "drive", amount_words(drive), None, drive.span()));
    let frequencies = setup.frequencies.iter().map(move |frequency| {
        let value = frequency.value.0;
        let si = Some((value, "Hz"));
        row(
            quoter,
            "frequency",
            with_unit(value, "Hz"),
            si,
            frequency.span,
        )
    });
    let others = std::iter::once_with(move || test_rows(setup, quoter)).flatten();
    loads.chain(drives).chain(frequencies).chain(others)
}

/// Who knew, how levels were set, and scores.
fn test_rows(setup: &Setup, quoter: Quoter<'_>) -> Vec<Row> {
    let mut rows = Rows {
        quoter,
        rows: Vec::new(),
    };
    if let Some(Fact { value, span, .. }) = setup.blinding {
        let value = match value {
            Blinding::Blind => "blind",
            Blinding::Sighted => "sighted",
        };
        rows.add("listeners", value, None, span);
    }
    if let Some(Fact { value, span, .. }) = setup.matching {
        let value = match value {
            Matching::Matched(Some(within)) => format!("matched within {} dB", shown(within)),
            Matching::Matched(None) => "matched".to_owned(),
            Matching::Unmatched => "not matched".to_owned(),
            Matching::Left(apart) => format!("left {} dB apart", shown(apart)),
        };
        rows.add("levels", value, None, span);
    }
    for score in &setup.scores {
        let mut value = format!("{} of {}", score.correct, score.trials);
        if score.offered_as_proof {
            value.push_str(", offered as proof");
        }
        rows.add("score", value, None, score.span);
    }
    rows.rows
}

/// A comparison in words.
#[must_use]
pub fn comparison(
    comparison: &Comparison,
    name: &dyn Fn(usize) -> String,
    quoter: Quoter<'_>,
) -> Compared {
    let outcome = comparison.outcome.as_ref();
    let mut sides = Vec::new();
    for side in &comparison.sides {
        let mut words = name(side.cable);
        if let Some(load) = &side.load {
            words.push_str(&format!(" into {}", load_words(&load.value)));
        }
        if let Some(drive) = &side.drive {
            words.push_str(&format!(" driven by {}", drive_words(drive)));
        }
        sides.push(words);
    }
    Compared {
        cables: comparison.sides.iter().map(|side| side.cable).collect(),
        subjects: comparison
            .subjects
            .iter()
            .map(|&subject| subject_word(subject))
            .collect(),
        credit: comparison.credit.map(|span| quoter.quote(span, "credit")),
        outcome: outcome.map(|outcome| quoter.quote(outcome.span, "outcome")),
        winner: outcome
            .and_then(|outcome| outcome.winner)
            .and_then(|winner| comparison.sides.get(winner))
            .map(|side| name(side.cable)),
        differences: outcome
            .map(|outcome| {
                outcome
                    .difference
                    .iter()
                    .map(|difference| match difference.of {
                        DifferenceOf::Level => format!("{} dB in level", shown(difference.value)),
                        DifferenceOf::Power => format!("power × {}", shown(difference.value)),
                        DifferenceOf::Voltage => format!("voltage × {}", shown(difference.value)),
                        DifferenceOf::Brightness => {
                            format!("brightness × {}", shown(difference.value))
                        }
                    })
                    .collect()
            })
            .unwrap_or_default(),
        listening: comparison.listening,
        critique: comparison.critique,
        null: comparison.null,
        quote: quoter.quote(comparison.span, "comparison"),
        sides,
    }
}
