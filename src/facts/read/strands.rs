//! Strands that are told in fields or cells of their own: `Strand size: 30 AWG` beside `Number of strands: 65` says what the one
//! conductor is made of, and no size of it. Knows keys and roles of quantities, and no owners but those of the strands.

use super::{Reader, whole};
use crate::facts::read::Owner;
use crate::facts::roles::Role;
use crate::facts::types::{Notation, Size, SizeOf};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use crate::units::{Metre, SquareMetre};

/// Blocks within which the number of strands stands from their size.
const REACH: usize = 4;

/// What a value is called: the key of its field, or the head of its column or of its row.
#[derive(Debug, Clone, Copy)]
struct Name {
    sentence: usize,
    words: Span,
    /// Whether it heads a column, so that the cells of the row belong together.
    across: bool,
}

impl Reader<'_> {
    /// Sizes of strands are no sizes of conductors.
    pub(super) fn set_strands_apart(&mut self) {
        for index in 0..self.sheet.quantities.len() {
            if self.strand(index).is_some() && self.roles[index] == Role::Size {
                self.roles[index] = Role::Aside;
            }
        }
    }

    /// "A rope of sixty-five 0.16 mm filaments, which makes it a fourteen gauge": what strands come to is the size of their conductor.
    pub(super) fn sums_up_strands(&self, index: usize) -> bool {
        let own = self.in_sentence(self.sentence_of(index));
        let mut others = own.filter(|&other| other != index && self.roles[other] == Role::Size);
        let strands = |other: usize| {
            let quantity = &self.sheet.quantities[other];
            quantity.kind == Kind::Strands && quantity.conductors.is_none()
        };
        others.next().is_some_and(strands) && others.all(strands)
    }

    /// Gives each cable the strands that fields and cells tell of.
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
            let block = self.block_of(index);
            let count = self.count_beside(block);
            let Some(count) = count.or_else(|| self.count_in_line(block)) else {
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
        let block = self.block_of(index);
        let own = &self.sheet.blocks[block];
        let from = own.key().map_or(own.span.start(), |key| key.end());
        let value = Span::new(from, quantity.span.start().max(from)).of(self.text());
        let first = value
            .trim_matches(|sign: char| !sign.is_alphanumeric())
            .is_empty();
        let measured = |name: Name| {
            let words = name.words.of(self.text()).to_lowercase();
            let mut words = words.split(|letter: char| !letter.is_alphanumeric());
            words.any(|word| self.terms.lists.strand_measure.has(word))
        };
        (first && self.names_of_strands(block).any(measured)).then_some(Metre(diameter))
    }

    /// The key of a field, or the heads of the row and the column of a cell, where they speak of strands.
    fn names_of_strands(&self, block: usize) -> impl Iterator<Item = Name> + '_ {
        let sheet = self.sheet;
        let own = &sheet.blocks[block];
        let keyed = own.key().map(|words| Name {
            sentence: own.sentences().start,
            words,
            across: false,
        });
        let cell = match own.kind() {
            BlockKind::Cell { table, row, column } => {
                Some([table, row, column].map(|place| place as usize))
            }
            _ => None,
        };
        let head = move |across: bool| {
            let [table, row, column] = cell?;
            let table = sheet.tables.get(table)?;
            let (row, column) = match across {
                true if table.header_row && row > 0 => (0, column),
                false if table.header_column && column > 0 => (row, 0),
                _ => return None,
            };
            let head = &sheet.blocks[(*table.cells.get(row)?.get(column)?)?];
            Some(Name {
                sentence: head.sentences().start,
                words: head.span,
                across,
            })
        };
        let heads = [true, false].into_iter().filter_map(head);
        keyed.into_iter().chain(heads).filter(|name| {
            (self.hits)
                .saying(name.sentence, self.terms.size_strand)
                .any(|hit| name.words.contains(hit.span))
        })
    }

    /// The number of strands in the line of a table in which a cell tells how thick they are, if just one cell gives it.
    fn count_in_line(&self, block: usize) -> Option<u32> {
        let BlockKind::Cell { table, row, column } = self.sheet.blocks[block].kind() else {
            return None;
        };
        let cells = &self.sheet.tables.get(table as usize)?.cells;
        let across = self.names_of_strands(block).next()?.across;
        let line: Vec<usize> = if across {
            let row = cells.get(row as usize)?;
            row.iter().copied().flatten().collect()
        } else {
            let cell = |row: &Vec<Option<usize>>| row.get(column as usize).copied().flatten();
            cells.iter().filter_map(cell).collect()
        };
        let mut counts = line.into_iter().filter_map(|cell| {
            let words = self.sheet.blocks[cell].span.of(self.text()).trim();
            let count: f64 = words.parse().ok()?;
            let named = self
                .names_of_strands(cell)
                .any(|name| name.across == across);
            (named && count > 1.0).then(|| whole(count)).flatten()
        });
        let count = counts.next()?;
        counts.next().is_none().then_some(count)
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
