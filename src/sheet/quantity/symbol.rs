//! Units as a quantity keeps them, in little room: a dense document has a great many quantities.

use std::fmt;

/// Symbols that sheets are full of; a quantity keeps the place in this list.
const USUAL: &[&str] = &[
    "", "mm", "mm²", "AWG", "m", "mΩ/m", "Ω/km", "Ω", "%", "°C", "V", "W", "pF/m", "µH/m", "dB",
    "ft", "Hz", "kHz", "cm", "µm", "in", "mil", "Ω/m", "mΩ", "mΩ/km", "mΩ/ft", "nH/m", "mH/km",
    "µH/ft", "nF/m", "nF/km", "pF/ft", "dB/m", "kΩ", "MHz", "kW", "mW", "mV", "A", "mA", "SWG",
    "°F", "K", "km", "yd", "mile", "kft", "m²", "cmil", "kcmil", "c",
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
    /// The number.
    #[must_use]
    pub fn get(self) -> Option<f64> {
        (!self.0.is_nan()).then_some(self.0)
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
        assert!(size_of::<super::super::Quantity>() <= 5 * size_of::<usize>());
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
