//! Strands that are told in fields of their own: `Strand size: 30 AWG` beside `Number of strands: 65` says what the one conductor
//! is made of, and no size of it. Knows keys and roles of quantities, and no owners but those of the strands.

use super::{Reader, whole};
use crate::facts::read::Owner;
use crate::facts::roles::Role;
use crate::facts::types::{Notation, Size, SizeOf};
use crate::sheet::Kind;
use crate::span::Span;
use crate::units::{Metre, SquareMetre};

/// Blocks within which the number of strands stands from their size.
const REACH: usize = 4;

impl Reader<'_> {
    /// Sizes of strands are no sizes of conductors.
    pub(super) fn set_strands_apart(&mut self) {
        for index in 0..self.sheet.quantities.len() {
            if self.strand(index).is_some() && self.roles[index] == Role::Size {
                self.roles[index] = Role::Aside;
            }
        }
    }

    /// Gives each cable the strands that fields tell of.
    pub(super) fn strands_of_fields(&mut self) {
        for index in 0..self.sheet.quantities.len() {
            let Owner::One(cable) = self.owners.at(index) else {
                continue;
            };
            let Some(strand) = self
                .strand(index)
                .filter(|_| self.roles[index] == Role::Aside)
            else {
                continue;
            };
            let Some(count) = self.count_beside(self.block_of(index)) else {
                continue;
            };
            let area = f64::from(count) * std::f64::consts::FRAC_PI_4 * strand.0 * strand.0;
            self.facts.cables[cable].sizes.push(Size {
                area: SquareMetre(area),
                notation: Notation::Strands,
                awg: None,
                of: SizeOf::Conductor,
                conductors: None,
                strands: Some(Box::new((count, strand))),
                loose: false,
                proposed: false,
                span: self.sheet.quantities[index].span,
                quantity: crate::facts::narrow(index),
            });
        }
    }

    /// The diameter of a strand, where a quantity is the value of a field that is named for it.
    fn strand(&self, index: usize) -> Option<Metre> {
        let quantity = &self.sheet.quantities[index];
        let si = quantity.si()?;
        let diameter = match quantity.kind {
            Kind::Gauge | Kind::Area if quantity.strand.is_none() => {
                (si / std::f64::consts::FRAC_PI_4).sqrt()
            }
            Kind::Diameter | Kind::Length => si,
            _ => return None,
        };
        let block = &self.sheet.blocks[self.block_of(index)];
        let key = block.key()?;
        let value = Span::new(key.end(), quantity.span.start().max(key.end())).of(self.text());
        let first = value
            .trim_matches(|sign: char| !sign.is_alphanumeric())
            .is_empty();
        let of_strands = (self.hits)
            .saying(self.sentence_of(index), self.terms.size_strand)
            .any(|hit| key.contains(hit.span));
        let words = key.of(self.text()).to_lowercase();
        let measured = words
            .split(|letter: char| !letter.is_alphanumeric())
            .any(|word| self.terms.lists.strand_measure.has(word));
        (first && of_strands && measured).then_some(Metre(diameter))
    }

    /// The number of strands that a field near a block gives, if just one does.
    fn count_beside(&self, block: usize) -> Option<u32> {
        let blocks = &self.sheet.blocks;
        let near = block.saturating_sub(REACH)..(block + REACH + 1).min(blocks.len());
        let mut counts = near.filter_map(|at| {
            let own = &blocks[at];
            let key = own
                .key()
                .filter(|_| own.section() == blocks[block].section())?;
            let same = self.record_at.get(at) == self.record_at.get(block);
            let of_strands = (self.hits)
                .saying(own.sentences().start, self.terms.size_strand)
                .any(|hit| key.contains(hit.span));
            let value = Span::new(key.end(), own.span.end()).of(self.text());
            let value = value.trim_start_matches([':', '=', '.', ' ']).trim();
            let count: f64 = value.parse().ok()?;
            (same && of_strands && count > 1.0)
                .then(|| whole(count))
                .flatten()
        });
        let count = counts.next()?;
        counts.next().is_none().then_some(count)
    }
}
