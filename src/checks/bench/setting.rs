//! What the document says of loads, lengths, frequencies and figures, else the defaults.

use super::Bench;
use crate::checks::LOADS;
use crate::facts::{Fact, Figure, FigureKind, LoadKind};
use crate::span::Span;
use crate::units::{Hertz, Metre, Ohm};

impl<'c> Bench<'c> {
    /// Figures of one kind that the document stands by.
    pub(in crate::checks) fn figures(
        &self,
        kind: FigureKind,
    ) -> impl Iterator<Item = &'c Figure> + use<'c> {
        let cable = self.cable;
        cable
            .figures
            .iter()
            .filter(move |figure| figure.kind == kind && !figure.denied && figure.value.is_finite())
    }

    /// Loudspeaker loads in ohms at which a figure may hold: its own, or those of the set-up.
    ///
    /// Of several those that stand nearest to `anchor`.
    pub(in crate::checks) fn loads(&self, own: Option<Fact<Ohm>>, anchor: Span) -> Vec<Fact<Ohm>> {
        if let Some(own) = own {
            return vec![own];
        }
        let all = self
            .once
            .loads
            .get_or_init(|| self.setup_loads(|kind| kind != LoadKind::Lamp));
        self.context.nearest(all, anchor)
    }

    fn setup_loads(&self, counts: impl Fn(LoadKind) -> bool) -> Vec<Fact<Ohm>> {
        self.context
            .facts
            .setup
            .loads
            .iter()
            .filter(|load| counts(load.value.kind))
            .filter_map(|load| load.value.impedance.map(|value| load.with(value)))
            .filter(|load| load.value.0 > 0.0)
            .collect()
    }

    /// Loudspeaker loads of the set-up.
    pub(in crate::checks) fn loudspeakers(&self) -> Vec<Fact<Ohm>> {
        let mut different: Vec<Fact<Ohm>> = Vec::new();
        for load in self.setup_loads(|kind| kind == LoadKind::Loudspeaker) {
            if different.iter().any(|known| known.value == load.value) {
                continue;
            }
            if different.len() == LOADS {
                self.context.reached.loads.set(true);
                break;
            }
            different.push(load);
        }
        different
    }

    /// Lengths for which a figure may hold: its own, or those of the cable.
    pub(in crate::checks) fn lengths(
        &self,
        own: Option<Fact<Metre>>,
        anchor: Span,
    ) -> Vec<Fact<Metre>> {
        match own {
            Some(own) => vec![own],
            None => self.context.nearest(&self.cable.lengths, anchor),
        }
        .into_iter()
        .filter(|length| length.value.0 > 0.0)
        .collect()
    }

    /// Frequencies at which a figure may hold: its own, or those of the set-up.
    pub(in crate::checks) fn frequencies(
        &self,
        own: Option<Fact<Hertz>>,
        anchor: Span,
    ) -> Vec<Fact<Hertz>> {
        match own {
            Some(own) => vec![own],
            None => self
                .context
                .nearest(&self.context.facts.setup.frequencies, anchor),
        }
        .into_iter()
        .filter(|frequency| frequency.value.0 > 0.0)
        .collect()
    }
}
