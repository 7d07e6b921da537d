//! Quantities: a number with its unit as written, its value in SI units, and how it is bounded.
//!
//! The words that are read beside a number (units, `per`, `up to`, `out of`, heads such as `Length`) stand in the code that reads them:
//! with `grammar/quantity.pest` they are one closed grammar, in which the place of a word says what it means.

mod around;
mod context;
mod grammar;
mod keys;
mod memo;
mod number;
mod reader;
mod scan;
mod single;
mod symbol;
mod told;
mod unit;

pub use context::Context;
pub use single::parse_one;
pub use symbol::{Maybe, Si, Symbol};
pub(super) use told::{has_unit, is_bare, names_unit, unit_words};

use crate::span::Span;
use crate::units::Metre;
use std::num::NonZeroU32;
use std::ops::Deref;

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A wire gauge number: AWG unless the words say SWG.
    Gauge,
    /// Conductor cross-section.
    Area,
    /// Diameter of a wire or strand.
    Diameter,
    /// Number of strands of a stated size.
    Strands,
    /// A length: of a cable, a jacket, a skin depth.
    Length,
    /// A resistance as a total.
    Resistance,
    /// A resistance per length.
    ResistancePerLength,
    /// An inductance per length.
    InductancePerLength,
    /// A capacitance per length.
    CapacitancePerLength,
    /// An inductance as a total.
    Inductance,
    /// A capacitance as a total.
    Capacitance,
    /// A delay per length.
    DelayPerLength,
    /// A load or a characteristic impedance in ohms.
    Impedance,
    /// A frequency.
    Frequency,
    /// A level, a loss or a difference in decibels.
    LevelDb,
    /// A power.
    Power,
    /// A voltage.
    Voltage,
    /// A current.
    Current,
    /// A temperature.
    Temperature,
    /// A percentage.
    Percent,
    /// Speed as a share of that of light.
    VelocityFactor,
    /// A damping factor.
    DampingFactor,
    /// A number of trials, with the score reached.
    Trials,
}

impl Kind {
    /// The name used in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Gauge => "gauge",
            Self::Area => "area",
            Self::Diameter => "diameter",
            Self::Strands => "strands",
            Self::Length => "length",
            Self::Resistance => "resistance",
            Self::ResistancePerLength => "resistance_per_length",
            Self::InductancePerLength => "inductance_per_length",
            Self::CapacitancePerLength => "capacitance_per_length",
            Self::Inductance => "inductance",
            Self::Capacitance => "capacitance",
            Self::DelayPerLength => "delay_per_length",
            Self::Impedance => "impedance",
            Self::Frequency => "frequency",
            Self::LevelDb => "level_db",
            Self::Power => "power",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Temperature => "temperature",
            Self::Percent => "percent",
            Self::VelocityFactor => "velocity_factor",
            Self::DampingFactor => "damping_factor",
            Self::Trials => "trials",
        }
    }
}

/// The number as written.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// A gauge that is no number: `4/0`.
    Text(Box<str>),
}

/// How the words bound the number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Bound {
    /// Stated as it is.
    #[default]
    Exact,
    /// About, typically, nominally.
    About,
    /// At most: `≤`, `max.`, `up to`, `below`.
    AtMost,
    /// At least: `≥`, `min.`, `over`.
    AtLeast,
    /// The lower end of a range.
    RangeLow,
    /// The upper end of a range.
    RangeHigh,
    /// How far the value before it may be off: `± 0.2 mm`.
    Tolerance,
}

/// A quantity found in the running text.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// What it measures.
    pub kind: Kind,
    /// The number as written; none for a gauge that is written as no number, see [`Quantity::value`].
    pub number: Maybe,
    /// The unit as written, if it is a usual one, see [`Quantity::unit`].
    pub symbol: Symbol,
    /// Unit of [`Quantity::si`].
    pub si_unit: Si,
    /// The words.
    pub span: Span,
    /// How it is bounded.
    pub bound: Bound,
    /// The two ends of one range share this, one more than the number of the range: without room for there being none.
    pub range: Option<NonZeroU32>,
    /// What few have; a quantity is read as if it had these fields itself.
    pub more: Option<Box<More>>,
}

/// What few quantities have.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct More {
    /// Conductors of this size, where the words say (`2 x 2.5 mm²`, `14/4`).
    pub conductors: Option<u32>,
    /// Gauge number for gauges; 4/0 is −3. AWG unless `swg`.
    pub gauge: Option<i32>,
    /// Whether a gauge is in the Standard Wire Gauge.
    pub swg: bool,
    /// Whether the value in SI units is `converted`, and not the number times the factor of its unit.
    pub apart: bool,
    /// The value in SI units where it is apart.
    pub converted: Maybe,
    /// What fewer have; it is read as if it stood here.
    pub rare: Option<Box<Rare>>,
}

/// What hardly any quantity has.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rare {
    /// Diameter of one strand, for strands.
    pub strand: Option<Metre>,
    /// Correct answers or votes, for trials.
    pub score: Option<f64>,
    /// A gauge that is written as no number: `4/0`.
    pub text: Option<Box<str>>,
    /// A unit that is not a usual one, for example `Ω/1000 ft` or `x 0.25 mm`.
    pub unusual: Option<Box<str>>,
}

impl Rare {
    const NONE: &Self = &Self {
        strand: None,
        score: None,
        text: None,
        unusual: None,
    };

    /// As [`More`] keeps it.
    #[must_use]
    pub fn kept(self) -> Option<Box<Self>> {
        (self != *Self::NONE).then(|| Box::new(self))
    }
}

impl More {
    const NONE: &Self = &Self {
        conductors: None,
        gauge: None,
        swg: false,
        apart: false,
        converted: Maybe::NONE,
        rare: None,
    };

    /// As a [`Quantity`] keeps it.
    #[must_use]
    pub fn kept(self) -> Option<Box<Self>> {
        (self != *Self::NONE).then(|| Box::new(self))
    }
}

impl Deref for More {
    type Target = Rare;

    fn deref(&self) -> &Rare {
        self.rare.as_deref().unwrap_or(Rare::NONE)
    }
}

impl Deref for Quantity {
    type Target = More;

    fn deref(&self) -> &More {
        self.more.as_deref().unwrap_or(More::NONE)
    }
}

impl Quantity {
    /// What is written before the unit.
    #[must_use]
    pub fn value(&self) -> Value {
        match (self.number.get(), &self.text) {
            (None, Some(text)) => Value::Text(text.clone()),
            (number, _) => Value::Number(number.unwrap_or(f64::NAN)),
        }
    }

    /// The value in SI units: m² for gauges, areas and strands (of one conductor), °C for temperatures, a plain ratio for
    /// velocity factors, percent for percentages; `None` where it has none.
    #[must_use]
    pub fn si(&self) -> Option<f64> {
        match &self.more {
            Some(more) if more.apart => more.converted.get(),
            _ => self
                .number
                .get()
                .map(|number| number * self.symbol.factor()),
        }
    }

    /// Notes the value in SI units, when number and unit are what they are to be.
    pub(crate) fn set_si(&mut self, si: Option<f64>) {
        if let Some(more) = &mut self.more {
            (more.apart, more.converted) = (false, Maybe::NONE);
        }
        // Of most the number and the usual factor tell it to the last bit.
        if self.si().map(f64::to_bits) != si.map(f64::to_bits) {
            let more = self.more();
            (more.apart, more.converted) = (true, si.into());
        }
    }

    /// The same with this value in SI units.
    #[must_use]
    pub fn with_si(mut self, si: Option<f64>) -> Self {
        self.set_si(si);
        self
    }

    /// The unit as written, for example `Ω/1000 ft` or `x 0.25 mm`.
    #[must_use]
    pub fn unit(&self) -> &str {
        self.unusual.as_deref().unwrap_or(self.symbol.words())
    }

    /// The number of the range of which it is an end.
    #[must_use]
    pub fn range_number(&self) -> Option<u32> {
        self.range.map(|range| range.get() - 1)
    }

    /// To change what few have.
    pub(crate) fn more(&mut self) -> &mut More {
        self.more.get_or_insert_default()
    }

    /// To change what hardly any has.
    pub(crate) fn rare(&mut self) -> &mut Rare {
        self.more().rare.get_or_insert_default()
    }
}

/// Whether a word is a number: `fifty`, `Half`.
#[must_use]
pub fn is_number_word(word: &str) -> bool {
    number::begins(&word.to_ascii_lowercase())
}

/// Whether a text is a unit and nothing else, in brackets or not: `mm²`, `(Ω/km)`, `AWG`.
#[must_use]
pub fn is_unit(text: &str) -> bool {
    let bare = text.trim_matches(|c: char| {
        c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | '.' | ':' | '/')
    });
    // Samples are called A, C, M or R more often than a table says amperes so.
    let name = bare.len() == 1 && !matches!(bare, "m" | "V" | "W");
    !name && memo::unit_alone(bare).is_some()
}

/// Appends all quantities of `text[span]`, a sentence, cell or field of the running text, in reading order.
///
/// `context` carries what the key of the field or the headers of the cell say. The two ends of a range share a number that
/// no other range in `out` has. Values are finite; a number that is not is left out.
pub fn read(text: &str, span: Span, context: &Context, out: &mut Vec<Quantity>) {
    reader::Reader::new(text, span, context, out).run();
}
