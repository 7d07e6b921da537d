//! Depths to which current goes, where the words for it stand a little off: in a list below them, behind another depth, or behind the
//! sentence that names the frequency. And constants of a line that are given in common for several cables. Knows roles and blocks.

use super::{Owner, Reader, fact};
use crate::facts::fact::Fact;
use crate::facts::roles::Role;
use crate::facts::types::{Cable, Figure, FigureKind};
use crate::lexicon::ConceptId;
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use crate::units::Hertz;

/// Lengths that can be such a depth, in metres.
const DEPTHS: std::ops::Range<f64> = 5.0e-6..0.015;

impl Reader<'_> {
    /// Takes such lengths for depths.
    pub(super) fn depths(&mut self) {
        const MOST: usize = 64;
        let depth = Role::Figure(FigureKind::SkinDepth);
        let said = [self.terms.skin_depth, self.terms.len_skin];
        if said.iter().all(|&concept| !self.hits.anywhere(concept)) {
            return;
        }
        let lengths = 0..self.sheet.quantities.len();
        let found: Vec<usize> = lengths
            .filter(|&index| self.roles[index] == Role::Aside)
            .filter(|&index| {
                let quantity = &self.sheet.quantities[index];
                let metres = quantity.si().unwrap_or(f64::NAN);
                quantity.kind == Kind::Length && DEPTHS.contains(&metres)
            })
            .filter(|&index| {
                self.behind_a_depth(index)
                    || self.below_depths(index, &said)
                    || self.in_depths(index, &said)
                    || self.answers_depth(index)
            })
            .take(MOST)
            .collect();
        for index in found {
            self.roles[index] = depth;
        }
    }

    /// “2.1 mm at 1 kHz and, by 20 kHz, no more than 0.5 mm”: another depth and a frequency stand before it in its sentence.
    fn behind_a_depth(&self, index: usize) -> bool {
        let own = self.in_sentence(self.sentence_of(index));
        let ahead: Vec<Role> = own
            .take_while(|&other| other < index)
            .map(|other| self.roles[other])
            .collect();
        let count = |role: Role| ahead.iter().filter(|own| **own == role).count();
        // One frequency is that of the depth before.
        count(Role::Figure(FigureKind::SkinDepth)) == 1
            && count(Role::Frequency) == 2
            && ahead.last() == Some(&Role::Frequency)
    }

    /// `10 kHz  0.66 mm` in a list under words for such a depth: a frequency, a length and nothing else.
    fn below_depths(&self, index: usize, said: &[ConceptId]) -> bool {
        /// Lines of a list, and longest of them in bytes.
        const LINES: usize = 8;
        const LINE: usize = 60;
        let pair = |block: usize| {
            let own = &self.sheet.blocks[block];
            let mut lengths = 0;
            let mut frequencies = 0;
            for other in own.sentences().flat_map(|at| self.in_sentence(at)) {
                match self.sheet.quantities[other].kind {
                    Kind::Length => lengths += 1,
                    Kind::Frequency => frequencies += 1,
                    _ => return false,
                }
            }
            lengths == 1 && frequencies == 1 && own.span.len() <= LINE
        };
        let own = self.block_of(index);
        if !pair(own) {
            return false;
        }
        let above = (own.saturating_sub(LINES)..own)
            .rev()
            .find(|&block| !pair(block));
        above.is_some_and(|above| self.tells(above, said))
    }

    /// `10 kHz | 0.66 mm` in a table of such rows below words for such a depth.
    fn in_depths(&self, index: usize, said: &[ConceptId]) -> bool {
        /// Cells of a row that are looked at.
        const CELLS: usize = 8;
        let block = self.block_of(index);
        let BlockKind::Cell { table, row, .. } = self.sheet.blocks[block].kind() else {
            return false;
        };
        let Some(table) = self.sheet.tables.get(table as usize) else {
            return false;
        };
        let (Some(row), Some(Some(Some(first)))) = (
            table.cells.get(row as usize),
            table.cells.first().map(|row| row.first()),
        ) else {
            return false;
        };
        let kinds: Vec<Kind> = (row.iter().take(CELLS).flatten())
            .flat_map(|&cell| self.sheet.blocks[cell].sentences())
            .flat_map(|at| self.in_sentence(at))
            .map(|other| self.sheet.quantities[other].kind)
            .collect();
        matches!(kinds.as_slice(), [Kind::Frequency, Kind::Length])
            && (first.checked_sub(1)).is_some_and(|above| self.tells(above, said))
    }

    /// “Find the depth of penetration in copper at 10 kHz. [1.3 mm.]”: a length that begins what stands in brackets, behind one that asks for such
    /// a depth.
    fn answers_depth(&self, index: usize) -> bool {
        let sentence = self.sentence_of(index);
        let start = self.sheet.sentences[sentence].span.start();
        let own = self.sheet.quantities[index].span.start();
        let ahead = self.text().get(start..own).unwrap_or("");
        let begins = ahead.trim() == "["
            || ahead.is_empty() && self.text().get(..own).is_some_and(|all| all.ends_with('['));
        let asks = |at: usize| {
            self.hits.say(at, self.terms.skin_depth)
                && self
                    .in_sentence(at)
                    .any(|other| self.roles[other] == Role::Frequency)
        };
        let from = sentence.saturating_sub(2);
        let block = |at: usize| self.sheet.sentences[at].block();
        begins && (from..sentence).any(|at| block(sentence) - block(at) <= 1 && asks(at))
    }

    /// Whether a block says one of these.
    fn tells(&self, block: usize, said: &[ConceptId]) -> bool {
        let mut sentences = self.sheet.blocks[block].sentences();
        sentences.any(|at| said.iter().any(|&concept| self.hits.say(at, concept)))
    }

    /// “At 20 kHz current keeps to a rind. For copper that is 0.47 mm”: the one frequency of the sentence before.
    pub(super) fn frequency_before(&self, index: usize, kind: FigureKind) -> Option<Fact<Hertz>> {
        let sentence = self.sentence_of(index);
        if kind != FigureKind::SkinDepth {
            return None;
        }
        /// Bytes from the words for a depth to the figure.
        const NEAR: usize = 24;
        let start = self.sheet.quantities[index].span.start();
        let named = self
            .hits
            .saying(sentence, self.terms.skin_depth)
            .any(|hit| hit.span.end() <= start && start - hit.span.end() <= NEAR);
        if !named && !self.answers_depth(index) {
            return None;
        }
        let block = |at: usize| self.sheet.sentences[at].block();
        let near = (sentence.saturating_sub(2)..sentence).rev();
        let before = near
            .take_while(|&at| block(sentence) - block(at) <= usize::from(self.answers_depth(index)))
            .find(|&at| {
                let mut own = self.in_sentence(at);
                own.any(|other| self.roles[other] == Role::Frequency)
            })?;
        let own = self.in_sentence(before);
        let mut own = own.filter(|&other| self.roles[other] == Role::Frequency);
        let (sole, None) = (own.next()?, own.next()) else {
            return None;
        };
        let quantity = &self.sheet.quantities[sole];
        Some(fact(Hertz(quantity.si()?), quantity.span, sole))
    }

    /// “Electrical, common to the line” over an inductance, a capacitance and what follows from them: they are held to each other, whosever
    /// they are.
    pub(super) fn common_constants(&mut self) {
        /// Most groups of a document.
        const MOST: usize = 16;
        let field = |at: usize| matches!(self.sheet.blocks[at].kind(), BlockKind::Field);
        let under = |at: usize| {
            (
                self.sheet.blocks[at].section(),
                self.sheet.blocks[at].lead(),
            )
        };
        let mut groups: Vec<Cable> = Vec::new();
        let mut at = 0;
        while at < self.sheet.blocks.len() && groups.len() < MOST {
            let first = at;
            at += 1;
            if !field(first) {
                continue;
            }
            while at < self.sheet.blocks.len() && field(at) && under(at) == under(first) {
                at += 1;
            }
            groups.extend(self.constants_of(first..at));
        }
        self.facts.depths.extend(groups);
    }

    /// "Impedance: 20 Ω" beside an inductance and a capacitance per length is that of the line, however low.
    pub(in crate::facts) fn line_impedances(&mut self) {
        /// Fields around one that are of the same cable.
        const AROUND: usize = 5;
        let sheet = self.sheet;
        let kinds = |block: usize| {
            let quantities = sheet.blocks[block].sentences();
            quantities
                .flat_map(|at| self.in_sentence(at))
                .map(|index| sheet.quantities[index].kind)
        };
        let constants = |blocks: &mut dyn Iterator<Item = usize>| {
            let kinds: Vec<Kind> = blocks.flat_map(kinds).collect();
            kinds.contains(&Kind::InductancePerLength)
                && kinds.contains(&Kind::CapacitancePerLength)
        };
        let bare = |words: Span| {
            let words = words.of(self.text()).to_lowercase();
            let words = words.split(|sign: char| !sign.is_alphabetic());
            let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
            self.terms.lists.z_bare.has(&words.join(" "))
        };
        let cell = |table: usize, row: usize, column: usize| {
            sheet
                .tables
                .get(table)?
                .cells
                .get(row)?
                .get(column)
                .copied()
                .flatten()
        };
        let mut found = Vec::new();
        for index in 0..sheet.quantities.len() {
            let block = self.block_of(index);
            if self.roles[index] != Role::Load {
                continue;
            }
            let of_line = match sheet.blocks[block].kind() {
                BlockKind::Cell { table, row, column } => {
                    let [table, row, column] = [table, row, column].map(|place| place as usize);
                    let grid = &sheet.tables[table].cells;
                    let down = || {
                        grid.iter()
                            .filter_map(|row| row.get(column).copied().flatten())
                    };
                    let across = || grid.get(row).into_iter().flatten().copied().flatten();
                    let head = |block: Option<usize>| {
                        block.is_some_and(|block| bare(sheet.blocks[block].span))
                    };
                    head(cell(table, 0, column)) && constants(&mut across())
                        || head(cell(table, row, 0)) && constants(&mut down())
                }
                BlockKind::Field => {
                    let near =
                        block.saturating_sub(AROUND)..(block + AROUND + 1).min(sheet.blocks.len());
                    let field = |at: &usize| sheet.blocks[*at].kind() == BlockKind::Field;
                    sheet.blocks[block].key().is_some_and(bare)
                        && constants(&mut near.filter(field))
                }
                _ => false,
            };
            if of_line {
                found.push(index);
            }
        }
        for index in found {
            self.roles[index] = Role::Figure(FigureKind::CharacteristicImpedance);
        }
    }

    /// The constants of a group of fields that belong to no cable, where one is an inductance and one a capacitance.
    fn constants_of(&self, blocks: std::ops::Range<usize>) -> Option<Cable> {
        let kinds = [
            FigureKind::InductancePerLength,
            FigureKind::CapacitancePerLength,
            FigureKind::CharacteristicImpedance,
            FigureKind::VelocityFactor,
        ];
        let mut figures: Vec<Figure> = Vec::new();
        let own = blocks.flat_map(|block| self.sheet.blocks[block].sentences());
        for index in own.flat_map(|at| self.in_sentence(at)) {
            let Role::Figure(kind) = self.roles[index] else {
                continue;
            };
            if !kinds.contains(&kind) {
                continue;
            }
            let si = self.sheet.quantities[index].si()?;
            if self.owners.at(index) != Owner::Nobody
                || figures.iter().any(|known| known.kind == kind)
            {
                return None;
            }
            figures.push(self.figure(kind, index, si));
        }
        let has = |kind| figures.iter().any(|figure| figure.kind == kind);
        (has(FigureKind::InductancePerLength) && has(FigureKind::CapacitancePerLength)).then(|| {
            Cable {
                figures,
                ..Cable::default()
            }
        })
    }
}
