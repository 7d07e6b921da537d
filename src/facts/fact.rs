//! A value with the words that it was read from.

use crate::span::Span;

/// A value with the words it was read from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fact<T> {
    /// The value.
    pub value: T,
    /// The words.
    pub span: Span,
    quantity: Option<u32>,
}

impl<T> Fact<T> {
    /// A fact that rests on words alone.
    pub fn new(value: T, span: Span) -> Self {
        Self {
            value,
            span,
            quantity: None,
        }
    }

    /// A fact that rests on a quantity.
    pub fn measured(value: T, span: Span, quantity: usize) -> Self {
        Self {
            value,
            span,
            quantity: Some(narrow(quantity)),
        }
    }

    /// Another value that rests on the same words.
    #[must_use]
    pub fn with<U>(&self, value: U) -> Fact<U> {
        Fact {
            value,
            span: self.span,
            quantity: self.quantity,
        }
    }

    /// Index in [`crate::sheet::Sheet::quantities`], when it is one.
    #[must_use]
    pub fn quantity(&self) -> Option<usize> {
        self.quantity.map(|index| index as usize)
    }
}

/// The index of a quantity as facts keep it. One that does not fit would need more quantities than a document has bytes.
#[must_use]
pub fn narrow(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}
