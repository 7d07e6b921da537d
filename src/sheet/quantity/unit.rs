//! Units as people write them, and what they are in SI units.

use super::grammar::Rule;
use super::symbol::Symbol;
use pest::iterators::Pair;
use std::borrow::Cow;

/// What a unit measures, before the words around decide between kinds that share it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Base {
    Gauge,
    Swg,
    Area,
    Length,
    Ohm,
    OhmPer,
    HenryPer,
    FaradPer,
    SecondPer,
    Hertz,
    Decibel,
    Watt,
    Volt,
    Ampere,
    Celsius,
    Fahrenheit,
    Kelvin,
    Percent,
    Light,
}

/// A unit with its factor to SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    pub base: Base,
    /// Value in SI units of one of it; for temperatures the step.
    pub factor: f64,
    prefix: &'static str,
    symbol: &'static str,
    /// Round number and unit of the length it counts for.
    pub(super) per: Option<(u32, &'static str)>,
    /// Written as one letter, which names and codes have too.
    pub letter: bool,
}

/// Metres in an inch, exactly.
const INCH: f64 = 0.0254;

impl Unit {
    /// The plain gauge number of the American wire gauge.
    pub(super) const AWG: Self = Self::plain(Base::Gauge, "AWG");
    /// The plain gauge number of the British standard wire gauge.
    pub(super) const SWG: Self = Self::plain(Base::Swg, "SWG");
    /// Millimetres.
    pub(super) const MILLIMETRE: Self = Self {
        factor: 1e-3,
        prefix: "m",
        ..Self::plain(Base::Length, "m")
    };

    /// Metres.
    pub(super) const METRE: Self = Self::plain(Base::Length, "m");
    /// Feet.
    pub(super) const FOOT: Self = Self {
        factor: 12.0 * INCH,
        ..Self::plain(Base::Length, "ft")
    };

    const fn plain(base: Base, symbol: &'static str) -> Self {
        Self {
            base,
            factor: 1.0,
            prefix: "",
            symbol,
            per: None,
            letter: false,
        }
    }

    /// The usual symbol: `mΩ/m`, `Ω/1000 ft`, `mm²`.
    pub(super) fn symbol(&self) -> Cow<'static, str> {
        if self.prefix.is_empty() && self.per.is_none() {
            return Cow::Borrowed(self.symbol);
        }
        if let Some(known) = Symbol::of(self.prefix, self.symbol, self.per) {
            return Cow::Borrowed(known);
        }
        match self.per {
            None => Cow::Owned(format!("{}{}", self.prefix, self.symbol)),
            Some((1, length)) => Cow::Owned(format!("{}{}/{length}", self.prefix, self.symbol)),
            Some((count, length)) => {
                Cow::Owned(format!("{}{}/{count} {length}", self.prefix, self.symbol))
            }
        }
    }

    /// Whether it has a prefix below one, as `mΩ` has.
    pub(super) fn is_small(&self) -> bool {
        matches!(self.prefix, "m" | "µ" | "n" | "p")
    }

    /// The prefix as a symbol.
    pub(super) fn prefix(&self) -> &'static str {
        self.prefix
    }

    /// The unit that the grammar found.
    pub(super) fn of(pair: Pair<'_, Rule>) -> Option<Self> {
        let mut unit: Option<Self> = None;
        for part in pair.into_inner() {
            let text = part.as_str();
            match part.as_rule() {
                Rule::per => unit = unit?.over(part),
                // Fitters say "four mil squared" for square millimetres.
                Rule::squared_mil => unit = Some(squared(None, text)),
                Rule::squared => unit = Some(squared(unit, text)),
                Rule::squared_metre => {
                    let side = part.into_inner().next()?;
                    unit = Some(if side.as_rule() == Rule::inch {
                        Self {
                            factor: INCH * INCH,
                            ..Self::plain(Base::Area, "in²")
                        }
                    } else {
                        squared(Some(metre_of(side.as_str())), "")
                    });
                }
                rule => unit = Some(simple(rule, text)?),
            }
        }
        unit
    }

    /// Whether it is one of henries or farads that are for no length: those of coils and capacitors.
    pub(super) fn is_bare_constant(&self) -> bool {
        matches!(self.base, Base::HenryPer | Base::FaradPer) && self.per.is_none()
    }

    /// Ohms, henries or farads whose length stands elsewhere: `per 1000 ft` at the head of a column of ohms.
    pub(super) fn for_length_of(self, other: &Self) -> Self {
        let base = match self.base {
            Base::Ohm => Base::OhmPer,
            Base::HenryPer | Base::FaradPer if self.per.is_none() => self.base,
            _ => return self,
        };
        if other.per.is_none() {
            return self;
        }
        Self {
            base,
            factor: self.factor * other.factor,
            per: other.per,
            letter: false,
            ..self
        }
    }

    /// This unit for each of a length.
    fn over(self, per: Pair<'_, Rule>) -> Option<Self> {
        let base = match self.base {
            Base::Ohm => Base::OhmPer,
            other => other,
        };
        let mut count = 1_u32;
        let mut length: Option<Self> = None;
        for part in per.into_inner() {
            match part.as_rule() {
                Rule::count => count = round_number(part.as_str())?,
                rule => length = simple(rule, part.as_str()),
            }
        }
        let length = length?;
        let name = match (length.prefix, length.symbol) {
            ("", name) => name,
            ("k", "m") => "km",
            ("c", "m") => "cm",
            ("m", "m") => "mm",
            ("µ", "m") => "µm",
            ("d", "m") => "dm",
            _ => return None,
        };
        Some(Self {
            base,
            factor: self.factor / (length.factor * f64::from(count.max(1))),
            per: Some((count.max(1), name)),
            letter: false,
            ..self
        })
    }
}

fn round_number(text: &str) -> Option<u32> {
    match text.to_ascii_lowercase().as_str() {
        "thousand" => Some(1000),
        "hundred" => Some(100),
        "ten" => Some(10),
        _ => text
            .chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
            .parse()
            .ok(),
    }
}

fn squared(metre: Option<Unit>, text: &str) -> Unit {
    let (prefix, factor) = match (metre, text) {
        (None, "㎠") => ("c", 1e-2),
        (None, _) => ("m", 1e-3),
        (Some(metre), _) => (metre.prefix, metre.factor),
    };
    Unit {
        factor: factor * factor,
        prefix,
        ..Unit::plain(Base::Area, "m²")
    }
}

fn metre_of(text: &str) -> Unit {
    let lower = text.to_lowercase();
    let (prefix, factor) = match lower.as_str() {
        "㎜" => ("m", 1e-3),
        "㎝" => ("c", 1e-2),
        "㎞" => ("k", 1e3),
        "㎛" => ("µ", 1e-6),
        "m" => ("", 1.0),
        short if short.chars().count() == 2 => prefix_sign(short),
        long if long.starts_with("micron") => ("µ", 1e-6),
        long => prefix_word(long),
    };
    Unit {
        factor,
        prefix,
        letter: lower == "m",
        ..Unit::plain(Base::Length, "m")
    }
}

/// `milli`, `kilo` … at the start of a word.
fn prefix_word(lower: &str) -> (&'static str, f64) {
    for (word, prefix, factor) in [
        ("milli", "m", 1e-3),
        ("micro", "µ", 1e-6),
        ("nano", "n", 1e-9),
        ("pico", "p", 1e-12),
        ("centi", "c", 1e-2),
        ("deci", "d", 1e-1),
        ("kil", "k", 1e3),
        ("meg", "M", 1e6),
        ("giga", "G", 1e9),
    ] {
        if lower.starts_with(word) {
            return (prefix, factor);
        }
    }
    ("", 1.0)
}

/// The prefix sign at the start of a symbol.
fn prefix_sign(text: &str) -> (&'static str, f64) {
    match text.chars().next() {
        Some('m') => ("m", 1e-3),
        Some('µ' | 'μ' | 'u') => ("µ", 1e-6),
        Some('n') => ("n", 1e-9),
        Some('p' | 'P') => ("p", 1e-12),
        Some('c') => ("c", 1e-2),
        Some('d') => ("d", 1e-1),
        Some('k' | 'K') => ("k", 1e3),
        Some('M') => ("M", 1e6),
        Some('G') => ("G", 1e9),
        _ => ("", 1.0),
    }
}

/// The prefix before a symbol or name whose own first letter, in lower case, is one of `own`.
fn prefixed(base: Base, symbol: &'static str, text: &str, own: &[char]) -> Unit {
    let lower = text.to_lowercase();
    let (prefix, factor) = match prefix_word(&lower) {
        ("", _) if lower.starts_with(own) => ("", 1.0),
        ("", _) => prefix_sign(text),
        found => found,
    };
    Unit {
        factor,
        prefix,
        letter: text.len() == 1,
        ..Unit::plain(base, symbol)
    }
}

fn simple(rule: Rule, text: &str) -> Option<Unit> {
    let scaled = |factor: f64, symbol: &'static str| Unit {
        factor,
        ..Unit::plain(Base::Length, symbol)
    };
    Some(match rule {
        Rule::metre => metre_of(text),
        Rule::foot => Unit {
            letter: text.starts_with(['\'', '’']),
            ..scaled(12.0 * INCH, "ft")
        },
        Rule::kilofoot => scaled(12_000.0 * INCH, "kft"),
        Rule::inch => Unit {
            letter: !text.starts_with(['i', 'I', '″']) || text.len() == 2,
            ..scaled(INCH, "in")
        },
        Rule::yard => scaled(36.0 * INCH, "yd"),
        Rule::mile => scaled(63_360.0 * INCH, "mile"),
        Rule::mil => scaled(INCH / 1000.0, "mil"),
        Rule::circular => {
            // A circular mil is the area of a circle of one mil.
            let mil = INCH / 1000.0;
            let one = std::f64::consts::FRAC_PI_4 * mil * mil;
            let lower = text.to_ascii_lowercase();
            let thousand =
                lower.starts_with('k') || lower == "mcm" || lower.starts_with("thousand");
            Unit {
                factor: if thousand { 1000.0 * one } else { one },
                ..Unit::plain(Base::Area, if thousand { "kcmil" } else { "cmil" })
            }
        }
        Rule::gauge => {
            let swg = text.starts_with(['s', 'S']);
            if swg { Unit::SWG } else { Unit::AWG }
        }
        Rule::ohm => match text {
            "㏀" => prefixed(Base::Ohm, "Ω", "kΩ", &['o']),
            "㏁" => prefixed(Base::Ohm, "Ω", "MΩ", &['o']),
            // Lower case turns the ohm sign and the Greek capital into the small letter.
            _ => prefixed(Base::Ohm, "Ω", text, &['o', 'ω', 'r']),
        },
        Rule::henry => prefixed(Base::HenryPer, "H", text, &['h']),
        Rule::farad => prefixed(Base::FaradPer, "F", text, &['f']),
        Rule::second => prefixed(Base::SecondPer, "s", text, &['s']),
        Rule::hertz => prefixed(Base::Hertz, "Hz", text, &['h', 'c']),
        Rule::decibel => Unit::plain(Base::Decibel, "dB"),
        Rule::watt => prefixed(Base::Watt, "W", text, &['w']),
        Rule::volt => prefixed(Base::Volt, "V", text, &['v']),
        Rule::ampere => prefixed(Base::Ampere, "A", text, &['a']),
        Rule::celsius => Unit {
            letter: text.len() == 1,
            ..Unit::plain(Base::Celsius, "°C")
        },
        Rule::fahrenheit => Unit {
            letter: text.len() == 1,
            factor: 5.0 / 9.0,
            ..Unit::plain(Base::Fahrenheit, "°F")
        },
        Rule::kelvin => Unit {
            letter: text.len() == 1,
            ..Unit::plain(Base::Kelvin, "K")
        },
        Rule::percent => Unit::plain(Base::Percent, "%"),
        Rule::light => Unit {
            letter: true,
            ..Unit::plain(Base::Light, "c")
        },
        _ => return None,
    })
}
