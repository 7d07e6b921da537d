//! Units as a quantity keeps them, in little room: a dense document has a great many quantities.

use std::borrow::Cow;
use std::fmt;
use std::ops::Deref;

/// A unit as it is written. The usual symbols are known; what is put together anew has its words elsewhere.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol(Kept);

#[derive(Debug, Clone, PartialEq, Eq)]
enum Kept {
    Known(&'static str),
    #[expect(
        clippy::box_collection,
        reason = "of one word, so that the whole takes two; few units are put together anew"
    )]
    Own(Box<String>),
}

impl From<Cow<'static, str>> for Symbol {
    fn from(words: Cow<'static, str>) -> Self {
        Self(match words {
            Cow::Borrowed(known) => Kept::Known(known),
            Cow::Owned(own) => Kept::Own(Box::new(own)),
        })
    }
}

impl From<&'static str> for Symbol {
    fn from(known: &'static str) -> Self {
        Self(Kept::Known(known))
    }
}

impl From<String> for Symbol {
    fn from(own: String) -> Self {
        Self(Kept::Own(Box::new(own)))
    }
}

impl Deref for Symbol {
    type Target = str;

    fn deref(&self) -> &str {
        match &self.0 {
            Kept::Known(known) => known,
            Kept::Own(own) => own,
        }
    }
}

impl PartialEq<str> for Symbol {
    fn eq(&self, other: &str) -> bool {
        **self == *other
    }
}

impl PartialEq<&str> for Symbol {
    fn eq(&self, other: &&str) -> bool {
        **self == **other
    }
}

impl fmt::Display for Symbol {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(self)
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
    SquareMetre "m²", Metre "m", Ohm "Ω", OhmPerMetre "Ω/m", HenryPerMetre "H/m", FaradPerMetre "F/m", SecondPerMetre "s/m",
    Hertz "Hz", Decibel "dB", DecibelPerMetre "dB/m", Watt "W", Volt "V", Ampere "A", Celsius "°C", Percent "%",
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_symbol_is_what_was_put_in_and_takes_two_words() {
        for words in [
            Cow::Borrowed("mm²"),
            Cow::Owned("x 0.25 mm".to_owned()),
            Cow::Borrowed(""),
        ] {
            let symbol = Symbol::from(words.clone());
            assert_eq!((&*symbol, symbol.to_string()), (&*words, words.to_string()));
        }
        assert_eq!(size_of::<Symbol>(), 2 * size_of::<usize>());
        assert!(size_of::<super::super::Quantity>() <= 7 * size_of::<usize>());
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
