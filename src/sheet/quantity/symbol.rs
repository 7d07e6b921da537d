//! Units as a quantity keeps them, in little room: a dense document has a great many quantities.

use std::fmt;

/// Symbols that sheets are full of; a quantity keeps the place in this list.
const USUAL: &[&str] = &[
    "", "mm", "mm²", "AWG", "m", "mΩ/m", "Ω/km", "Ω", "%", "°C", "V", "W", "pF/m", "µH/m", "dB",
    "ft", "Hz", "kHz", "cm", "µm", "in", "mil", "Ω/m", "mΩ", "mΩ/km", "mΩ/ft", "nH/m", "mH/km",
    "µH/ft", "nF/m", "nF/km", "pF/ft", "dB/m", "kΩ", "MHz", "kW", "mW", "mV", "A", "mA", "SWG",
    "°F", "K", "km", "yd", "mile", "kft", "m²", "cmil", "kcmil", "c",
];

/// By how much numbers of the first of them are multiplied for their values in SI units. The others are seldom met.
const FACTORS: &[f64] = &[
    1.0,
    1e-3,
    1e-6,
    f64::NAN,
    1.0,
    1e-3,
    1e-3,
    1.0,
    1.0,
    1.0,
    1.0,
    1.0,
    1e-12,
    1e-6,
    1.0,
    0.3048,
    1.0,
    1e3,
    1e-2,
    1e-6,
];

/// A usual unit as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Symbol(u8);

impl Symbol {
    /// The symbol, if it is a usual one.
    #[must_use]
    pub fn usual(words: &str) -> Option<Self> {
        let place = USUAL.iter().position(|usual| *usual == words)?;
        u8::try_from(place).ok().map(Self)
    }

    /// By how much a number of this unit is multiplied for most of its values in SI units; not a number where a few multiples do not do.
    pub(super) fn factor(self) -> f64 {
        FACTORS
            .get(usize::from(self.0))
            .copied()
            .unwrap_or(f64::NAN)
    }

    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        USUAL.get(usize::from(self.0)).copied().unwrap_or("")
    }

    /// The usual symbol that is put together of these.
    pub(super) fn of(prefix: &str, symbol: &str, per: Option<(u32, &str)>) -> Option<&'static str> {
        let is = |known: &&str| {
            let rest = known.strip_prefix(prefix);
            let per_length = rest.and_then(|rest| rest.strip_prefix(symbol));
            match per {
                None => per_length == Some(""),
                Some((1, length)) => {
                    per_length.and_then(|per| per.strip_prefix('/')) == Some(length)
                }
                Some(_) => false,
            }
        };
        USUAL.iter().copied().find(is)
    }
}

/// A number that may be missing, in one word: what is no number stands for none.
#[derive(Clone, Copy)]
pub struct Maybe(f64);

impl Maybe {
    /// None.
    pub(super) const NONE: Self = Self(f64::NAN);

    /// The number.
    #[must_use]
    pub fn get(self) -> Option<f64> {
        (!self.0.is_nan()).then_some(self.0)
    }
}

impl Default for Maybe {
    fn default() -> Self {
        Self::NONE
    }
}

impl From<f64> for Maybe {
    fn from(number: f64) -> Self {
        Self(number)
    }
}

impl From<Option<f64>> for Maybe {
    fn from(number: Option<f64>) -> Self {
        Self(number.unwrap_or(f64::NAN))
    }
}

impl PartialEq for Maybe {
    fn eq(&self, other: &Self) -> bool {
        self.get() == other.get()
    }
}

impl fmt::Debug for Maybe {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.get().fmt(to)
    }
}

macro_rules! si {
    ($($name:ident $symbol:literal),* $(,)?) => {
        /// Unit of a value in SI units; read as its symbol.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
        pub enum Si {
            $(
                #[doc = concat!("`", $symbol, "`")]
                $name,
            )*
            /// A plain ratio or number.
            #[default]
            One,
        }

        impl Si {
            /// The symbol; empty for a plain ratio or number.
            #[must_use]
            pub fn symbol(self) -> &'static str {
                match self {
                    $(Self::$name => $symbol,)*
                    Self::One => "",
                }
            }
        }
    };
}

si! {
    SquareMetre "m²", Metre "m", Ohm "Ω", OhmPerMetre "Ω/m", HenryPerMetre "H/m", FaradPerMetre "F/m", Henry "H", Farad "F", SecondPerMetre "s/m",
    Hertz "Hz", Decibel "dB", DecibelPerMetre "dB/m", Watt "W", Volt "V", Ampere "A", Celsius "°C", Percent "%",
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_usual_symbol_is_what_was_put_in_and_takes_a_byte() {
        for (place, words) in USUAL.iter().enumerate() {
            let symbol = Symbol::usual(words).expect("a usual symbol");
            assert_eq!((symbol.words(), usize::from(symbol.0)), (*words, place));
        }
        assert!(USUAL.len() <= usize::from(u8::MAX) && Symbol::usual("x 0.25 mm").is_none());
        assert_eq!(Symbol::default().words(), "");
        assert_eq!(Symbol::of("m", "Ω", Some((1, "m"))), Some("mΩ/m"));
        assert_eq!(Symbol::of("m", "Ω", Some((1000, "m"))), None);
        assert!(size_of::<super::super::Quantity>() <= 4 * size_of::<usize>());
    }

    #[test]
    fn a_value_in_si_units_comes_back_to_the_last_bit() {
        use super::super::{Bound, Kind, Quantity};
        let of = |number: Option<f64>, unit: &str| Quantity {
            kind: Kind::Length,
            number: number.into(),
            symbol: Symbol::usual(unit).unwrap_or_default(),
            si_unit: Si::Metre,
            span: crate::span::Span::new(0, 1),
            bound: Bound::Exact,
            range: None,
            more: None,
        };
        // What the factor of the unit tells takes no room of its own.
        for (number, unit, si) in [
            (0.9, "mm", 0.9 * 1e-3),
            (3.31, "mm²", 3.31 * 1e-6),
            (52.0, "pF/m", 52.0 * 1e-12),
            (8.0, "Ω", 8.0),
            (3.0, "", 3.0),
        ] {
            let kept = of(Some(number), unit).with_si(Some(si));
            assert_eq!(kept.si().map(f64::to_bits), Some(si.to_bits()), "{unit}");
            assert!(kept.more.is_none(), "{unit}");
        }
        // Gauges, values that are off in the last bit, and none at all.
        for (number, unit, si) in [
            (Some(12.0), "AWG", Some(3.308_773_6e-6)),
            (
                Some(0.9),
                "mm",
                Some(f64::from_bits((0.9_f64 * 1e-3).to_bits() + 1)),
            ),
            (Some(0.0), "mm", Some(-0.0)),
            (Some(20.0), "mm", None),
            (None, "AWG", Some(1.07e-4)),
            (None, "mm", None),
        ] {
            let mut kept = of(number, unit).with_si(si);
            assert_eq!(kept.si().map(f64::to_bits), si.map(f64::to_bits), "{unit}");
            kept.set_si(number.map(|number| number * 1e-3));
            let again = number.map(|number| (number * 1e-3).to_bits());
            assert_eq!(kept.si().map(f64::to_bits), again);
        }
    }

    #[test]
    fn a_number_may_be_missing_in_one_word() {
        assert_eq!(Maybe::from(Some(0.0)).get(), Some(0.0));
        assert_eq!(Maybe::from(None).get(), None);
        assert_eq!(Maybe::from(None), Maybe::from(f64::NAN));
        assert_ne!(Maybe::from(None), Maybe::from(0.0));
        assert_eq!(size_of::<Maybe>(), size_of::<f64>());
    }
}
