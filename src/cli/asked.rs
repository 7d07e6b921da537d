//! Quantities given as options: read by the grammar of documents, then held to what is sensible.

use crate::physics::size::{self, THICKEST};
use crate::physics::{self, Build, Insulation, Metal};
use crate::report::number::rounded;
use crate::rulebook::Rulebook;
use crate::sheet::quantity::parse_one;
use crate::sheet::{Kind, Quantity};
use crate::units::{
    Celsius, Decibel, HenryPerMetre, Hertz, Metre, Ohm, PREFIXES, SquareMetre, Watt,
};
use clap::ValueEnum;
use std::fmt;
use std::sync::LazyLock;

/// What is wrong with an option, in one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsageError(pub String);

impl fmt::Display for UsageError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

impl std::error::Error for UsageError {}

/// How a conductor is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum BuildWord {
    /// One solid wire
    Solid,
    /// Bare strands in contact
    Stranded,
    /// Strands insulated from one another
    Insulated,
}

/// How the answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Style {
    /// For people
    Text,
    /// For programs
    Json,
}

/// What is taken for options that are left out.
pub struct Usual {
    /// Length of a cable, one way.
    pub length: Metre,
    /// Load.
    pub load: Ohm,
    /// Frequency at which a loss is told.
    pub frequency: Hertz,
    /// Loss that a run may have.
    pub budget: Decibel,
}

/// From the table of defaults, and from the rule by which uses are judged.
pub static USUAL: LazyLock<Usual> = LazyLock::new(|| {
    let book = Rulebook::builtin();
    let value = |name| book.usual(name).unwrap_or(f64::NAN);
    let rule = book.rule("loss-over-budget");
    Usual {
        length: Metre(value("asked_length")),
        load: Ohm(value("load")),
        frequency: Hertz(value("audio_top")),
        budget: Decibel(rule.map_or(f64::NAN, |rule| rule.threshold("budget_db"))),
    }
});

impl Usual {
    /// The length, as it stands under what was assumed.
    pub fn length_words(&self) -> String {
        format!("length {} m, one way", trimmed(self.length.0, 3))
    }

    /// The load, likewise.
    pub fn load_words(&self) -> String {
        format!("load {} Ω, resistive", trimmed(self.load.0, 3))
    }

    /// The frequency, likewise.
    pub fn frequency_words(&self) -> String {
        format!("frequency {} kHz", trimmed(self.frequency.0 / 1.0e3, 3))
    }

    /// The budget, likewise.
    pub fn budget_words(&self) -> String {
        format!(
            "budget {} dB (common practice, no source)",
            trimmed(self.budget.0, 3)
        )
    }
}

/// The thinnest gauge that is taken as a loudspeaker conductor.
const THINNEST_GAUGE: i32 = 40;

/// Longest run, m.
const LONGEST: f64 = 10_000.0;

/// Highest frequency of the exact skin effect, Hz.
const HIGHEST: f64 = 10.0e6;

/// Lowest temperature for which the linear law of resistance is any good, °C.
const COLDEST: f64 = -60.0;

/// A quantity and its value in SI units. A minus sign is refused here where it makes no sense, so that it is not lost on the way.
fn read(option: &str, text: &str, kind: Kind) -> Result<(Quantity, f64), UsageError> {
    let negative = text.trim_start().starts_with(['-', '−', '–']);
    if negative && kind != Kind::Temperature {
        return Err(UsageError(format!(
            "--{option} {}: must not be negative",
            text.trim()
        )));
    }
    let quantity =
        parse_one(text, kind).map_err(|what| UsageError(format!("--{option}: {what}")))?;
    match quantity.si().filter(|value| value.is_finite()) {
        Some(value) => Ok((quantity, value)),
        None => Err(UsageError(format!(
            "--{option} {}: has no value",
            text.trim()
        ))),
    }
}

/// The value alone.
fn si(option: &str, text: &str, kind: Kind) -> Result<f64, UsageError> {
    read(option, text, kind).map(|(_, value)| value)
}

fn bounded(
    option: &str,
    text: &str,
    value: f64,
    ok: bool,
    should: &str,
) -> Result<f64, UsageError> {
    if ok {
        Ok(value)
    } else {
        Err(UsageError(format!("--{option} {}: {should}", text.trim())))
    }
}

/// A length above zero.
pub fn length(text: &str) -> Result<Metre, UsageError> {
    let value = si("length", text, Kind::Length)?;
    let ok = value > 0.0 && value <= LONGEST;
    bounded(
        "length",
        text,
        value,
        ok,
        "must be above zero and at most 10 km",
    )
    .map(Metre)
}

/// A load above zero.
pub fn load(text: &str) -> Result<Ohm, UsageError> {
    let value = si("load", text, Kind::Impedance)?;
    let ok = value > 0.0 && value <= 1.0e6;
    bounded(
        "load",
        text,
        value,
        ok,
        "must be above zero and at most 1 MΩ",
    )
    .map(Ohm)
}

/// A source resistance, zero allowed.
pub fn source(text: &str) -> Result<Ohm, UsageError> {
    let value = si("source", text, Kind::Impedance)?;
    bounded(
        "source",
        text,
        value,
        value <= 1.0e6,
        "must be at most 1 MΩ",
    )
    .map(Ohm)
}

/// A frequency up to 10 MHz, zero allowed.
pub fn frequency(text: &str) -> Result<Hertz, UsageError> {
    let value = si("frequency", text, Kind::Frequency)?;
    bounded(
        "frequency",
        text,
        value,
        value <= HIGHEST,
        "must be at most 10 MHz",
    )
    .map(Hertz)
}

/// A loss budget.
pub fn budget(text: &str) -> Result<Decibel, UsageError> {
    let value = si("budget", text, Kind::LevelDb)?;
    let ok = value > 0.0 && value <= 20.0;
    bounded(
        "budget",
        text,
        value,
        ok,
        "must be above zero and at most 20 dB",
    )
    .map(Decibel)
}

/// An inductance of a metre of loop.
pub fn inductance(text: &str) -> Result<HenryPerMetre, UsageError> {
    let value = si("inductance", text, Kind::InductancePerLength)?;
    let ok = value > 0.0 && value <= 1.0e-3;
    bounded(
        "inductance",
        text,
        value,
        ok,
        "must be above zero and at most 1 mH/m",
    )
    .map(HenryPerMetre)
}

/// A power above zero.
pub fn power(text: &str) -> Result<Watt, UsageError> {
    let value = si("power", text, Kind::Power)?;
    let ok = value > 0.0 && value <= 1.0e6;
    bounded(
        "power",
        text,
        value,
        ok,
        "must be above zero and at most 1 MW",
    )
    .map(Watt)
}

/// A lay in per cent, as the factor on the length.
pub fn lay(text: &str) -> Result<f64, UsageError> {
    let value = si("lay", text, Kind::Percent)?;
    bounded("lay", text, value, value <= 30.0, "must be at most 30 %")
        .map(|percent| 1.0 + percent / 100.0)
}

/// A centre spacing above zero.
pub fn spacing(text: &str) -> Result<Metre, UsageError> {
    let value = si("spacing", text, Kind::Length)?;
    let ok = value > 0.0 && value <= 10.0;
    bounded(
        "spacing",
        text,
        value,
        ok,
        "must be above zero and at most 10 m",
    )
    .map(Metre)
}

/// A conductor temperature that the insulation stands; without one, that any insulation stands.
pub fn temperature(text: &str, insulation: Option<&Insulation>) -> Result<Celsius, UsageError> {
    let value = si("temperature", text, Kind::Temperature)?;
    let (limit, whose) = insulation.map_or_else(
        || {
            let most = physics::insulations()
                .iter()
                .map(|known| known.limit.0)
                .fold(0.0, f64::max);
            (most, "any cable insulation")
        },
        |known| (known.limit.0, known.name.as_str()),
    );
    if value > limit {
        return Err(UsageError(format!(
            "--temperature {}: above what {whose} stands ({limit} °C)",
            text.trim()
        )));
    }
    let ok = value >= COLDEST;
    bounded("temperature", text, value, ok, "must be −60 °C or more").map(Celsius)
}

/// A metal of the table.
pub fn metal(text: &str) -> Result<&'static Metal, UsageError> {
    physics::metal(text).ok_or_else(|| {
        let known: Vec<&str> = physics::metals()
            .iter()
            .filter(|metal| metal.conductor)
            .map(|metal| metal.key.as_str())
            .collect();
        UsageError(format!(
            "--metal {}: not in the table; known are {}",
            text.trim(),
            known.join(", ")
        ))
    })
}

/// An insulation of the table.
pub fn insulation(text: &str) -> Result<&'static Insulation, UsageError> {
    physics::insulation(text).ok_or_else(|| {
        let known: Vec<&str> = physics::insulations()
            .iter()
            .map(|insulation| insulation.key.as_str())
            .collect();
        UsageError(format!(
            "--insulation {}: not in the table; known are {}",
            text.trim(),
            known.join(", ")
        ))
    })
}

/// A conductor size, as one of the options gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Metal area of one conductor.
    pub area: SquareMetre,
    /// Build as far as the notation tells it.
    pub build: Build,
    /// As it was written.
    pub words: String,
    /// Conductors written with it (`4x14AWG`).
    pub conductors: Option<u32>,
}

/// A size, with the quantity that tells it.
fn sized(option: &str, text: &str, kind: Kind) -> Result<(Size, Quantity), UsageError> {
    let (quantity, area) = read(option, text, kind)?;
    // From 40 AWG, 0.0050 mm², to a rod of 5000 mm².
    let ok = area > 0.0 && area <= 5.0e-3;
    bounded(
        option,
        text,
        area,
        ok,
        "must be above zero and at most 5000 mm²",
    )?;
    let size = Size {
        area: SquareMetre(area),
        build: Build::Unknown,
        words: text.trim().to_owned(),
        conductors: quantity.conductors,
    };
    Ok((size, quantity))
}

/// A wire gauge from 4/0 to 40.
pub fn gauge(text: &str) -> Result<Size, UsageError> {
    let (size, quantity) = sized("gauge", text, Kind::Gauge)?;
    let number = quantity.gauge.unwrap_or(i32::MAX);
    let ok = (THICKEST..=THINNEST_GAUGE).contains(&number);
    bounded(
        "gauge",
        text,
        size.area.0,
        ok,
        "loudspeaker conductors go from 4/0 to 40 AWG",
    )?;
    Ok(size)
}

/// A cross-section.
pub fn area(text: &str) -> Result<Size, UsageError> {
    sized("area", text, Kind::Area).map(|(size, _)| size)
}

/// Strands and their size.
pub fn strands(text: &str) -> Result<Size, UsageError> {
    let (size, quantity) = sized("strands", text, Kind::Strands)?;
    let strand = quantity.strand;
    let build = Build::Strands { strand };
    Ok(Size { build, ..size })
}

/// Diameter of a solid wire.
pub fn diameter(text: &str) -> Result<Size, UsageError> {
    let value = si("diameter", text, Kind::Diameter)?;
    let ok = value > 0.0 && value <= 0.08;
    bounded(
        "diameter",
        text,
        value,
        ok,
        "must be above zero and at most 80 mm",
    )?;
    Ok(Size {
        area: size::circle(Metre(value)),
        build: Build::Solid,
        words: text.trim().to_owned(),
        conductors: None,
    })
}

/// The build of a size, when the words say more than its notation.
pub fn build(size: Build, word: Option<BuildWord>) -> Build {
    let strand = match size {
        Build::Strands { strand } | Build::InsulatedStrands { strand } => strand,
        Build::Solid | Build::Unknown => None,
    };
    match word {
        None => size,
        Some(BuildWord::Solid) => Build::Solid,
        Some(BuildWord::Stranded) => Build::Strands { strand },
        Some(BuildWord::Insulated) => Build::InsulatedStrands { strand },
    }
}

/// A figure to `digits` significant digits, without exponent where that is readable.
pub fn digits(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "∞".to_owned();
    }
    let size = value.abs();
    if size < f64::MIN_POSITIVE {
        return "0".to_owned();
    }
    // Digits before the point, counted without a cast.
    let mut before = 0usize;
    let mut probe = size;
    while probe >= 1.0 && before < 20 {
        probe /= 10.0;
        before += 1;
    }
    let mut zeros = 0usize;
    while before == 0 && probe < 0.1 && zeros < 20 {
        probe *= 10.0;
        zeros += 1;
    }
    format!("{value:.*}", (digits + zeros).saturating_sub(before))
}

/// A value with a prefix of the SI, to `figures` digits.
pub fn prefixed(value: f64, unit: &str, figures: usize) -> String {
    let size = value.abs();
    if size < f64::MIN_POSITIVE {
        return format!("0 {unit}");
    }
    let (factor, prefix) = PREFIXES
        .iter()
        .copied()
        .find(|(factor, _)| size >= *factor * 0.999_999)
        .unwrap_or((1e-12, "p"));
    format!("{} {prefix}{unit}", digits(value / factor, figures))
}

/// A range in one unit: one figure when both print alike.
pub fn spread(low: f64, high: f64, figures: usize) -> String {
    let (low, high) = (digits(low, figures), digits(high, figures));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// A length in metres and feet.
pub fn metres_and_feet(length: Metre) -> String {
    format!(
        "{} m ({} ft)",
        trimmed(length.0, 2),
        trimmed(length.0 / physics::FOOT, 1)
    )
}

/// A figure to `places` places, without zeros at the end.
pub fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// JSON over several lines, figures rounded to twelve digits, which drops the noise of binary fractions.
pub fn json_text(value: &serde_json::Value) -> String {
    format!("{:#}\n", quiet(value))
}

fn quiet(value: &serde_json::Value) -> serde_json::Value {
    use serde_json::Value;
    match value {
        Value::Number(number) if number.is_f64() => number
            .as_f64()
            .map_or(Value::Null, |value| Value::from(rounded(value, 12))),
        Value::Array(items) => Value::Array(items.iter().map(quiet).collect()),
        Value::Object(items) => Value::Object(
            items
                .iter()
                .map(|(key, value)| (key.clone(), quiet(value)))
                .collect(),
        ),
        other => other.clone(),
    }
}
