//! What is said with a stated figure. Most have nothing of it, and dense documents have a great many, so it is kept apart; so is what
//! is said with few of those of which something is said.

use super::{Fact, Figure};
use crate::span::Span;
use crate::units::{Celsius, Hertz, Metre, Ohm};
use std::ops::Deref;

/// What is said with a figure: nothing with most of them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conditions {
    /// The words that say loop or single.
    pub reading_span: Option<Span>,
    /// Temperature stated for it.
    pub temperature: Option<Fact<Celsius>>,
    /// What is seldom said; conditions are read as if they had these fields themselves.
    pub seldom: Option<Box<Seldom>>,
}

/// What is seldom said with a figure.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Seldom {
    /// Frequency stated for it.
    pub frequency: Option<Fact<Hertz>>,
    /// Load stated for it, when not the one of the set-up.
    pub load: Option<Fact<Ohm>>,
    /// Length stated for it, when not the one of the cable (always set for a total resistance whose length is known).
    pub length: Option<Fact<Metre>>,
    /// Says that plugs, contacts or the source are counted in.
    pub with_contacts: Option<Span>,
    /// Names a class of IEC 60228 (1, 2, 5 or 6) that it keeps.
    pub class: Option<(u8, Span)>,
}

impl Seldom {
    const NONE: &Self = &Self {
        frequency: None,
        load: None,
        length: None,
        with_contacts: None,
        class: None,
    };

    /// As [`Conditions`] keep it.
    #[must_use]
    pub fn kept(self) -> Option<Box<Self>> {
        (self != *Self::NONE).then(|| Box::new(self))
    }
}

impl Conditions {
    const NONE: &Self = &Self {
        reading_span: None,
        temperature: None,
        seldom: None,
    };

    /// As a [`Figure`] keeps them.
    #[must_use]
    pub fn kept(self) -> Option<Box<Self>> {
        (self != *Self::NONE).then(|| Box::new(self))
    }
}

impl Deref for Conditions {
    type Target = Seldom;

    fn deref(&self) -> &Seldom {
        self.seldom.as_deref().unwrap_or(Seldom::NONE)
    }
}

impl Deref for Figure {
    type Target = Conditions;

    fn deref(&self) -> &Conditions {
        self.said.as_deref().unwrap_or(Conditions::NONE)
    }
}
