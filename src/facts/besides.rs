//! What few cables have. Dense documents have a great many cables, so it is kept apart.

use super::{Build, Cable, Fact, Use};
use crate::span::Span;
use crate::units::Metre;
use std::ops::Deref;

/// What few cables have.
#[derive(Debug, Clone, Default)]
pub struct Besides {
    /// Conductors wired in parallel for each pole, where said or when four or more conductors serve two poles.
    pub parallel: Option<Fact<u32>>,
    /// Tinned strands.
    pub tinned: Option<Span>,
    /// Plating of plugs or strands, by metal key.
    pub plating: Vec<Fact<&'static str>>,
    /// How the conductor is built.
    pub build: Vec<Fact<Build>>,
    /// Centre-to-centre spacing of the conductors.
    pub spacing: Option<Fact<Metre>>,
    /// Class of IEC 60228 that the conductor is said to keep.
    pub class: Option<(u8, Span)>,
    /// Fire or in-wall listings (CL2, CL3, CM, Eca, …).
    pub listings: Vec<Span>,
    /// Uses that the document offers or recommends: a length and/or a load, a power.
    pub uses: Vec<Use>,
}

impl Besides {
    const NONE: &Self = &Self {
        parallel: None,
        tinned: None,
        plating: Vec::new(),
        build: Vec::new(),
        spacing: None,
        class: None,
        listings: Vec::new(),
        uses: Vec::new(),
    };
}

impl Deref for Cable {
    type Target = Besides;

    fn deref(&self) -> &Besides {
        self.besides.as_deref().unwrap_or(Besides::NONE)
    }
}

impl Cable {
    /// To change what few have.
    pub(crate) fn besides(&mut self) -> &mut Besides {
        self.besides.get_or_insert_default()
    }
}
