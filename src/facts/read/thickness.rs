//! Sides that are told apart by how thick they are: “the thin one” is the one with the smaller size, whoever of the two it is said
//! of. Knows owners, and makes no fact.

use super::{Owner, Reader, ratio};
use crate::facts::roles::Role;
use crate::lexicon::List;
use crate::span::Span;
use std::collections::BTreeSet;

/// From which ratio of areas on one wire is plainly thicker than another.
const THICKER: f64 = 1.3;
/// From which ratio on two sizes are two.
const APART: f64 = 1.05;

impl Reader<'_> {
    /// Gives the thin one and the thick one the sizes that can only be theirs.
    pub(super) fn by_thickness(&mut self) {
        if !self.lines.is_empty() {
            return;
        }
        let lists = self.terms.lists;
        let thin = self.described_as(lists.side_thin);
        let thick = self.described_as(lists.side_thick);
        match (thin.as_slice(), thick.as_slice()) {
            (&[thin], &[thick]) => self.both_told(thin, thick),
            (&[one], &[]) | (&[], &[one]) => self.one_told(one, thin.is_empty()),
            _ => {}
        }
    }

    /// Whether a figure is that of “the thinnest” or “the thickest” of what stands in a table: whoever that is.
    pub(super) fn of_an_extreme(&self, sentence: usize, figure: Span) -> bool {
        /// Bytes ahead of the figure.
        const AHEAD: usize = 48;
        if self.lines.is_empty() {
            return false;
        }
        let whole = self.sheet.sentences[sentence].span;
        let from = whole.start().max(figure.start().saturating_sub(AHEAD));
        let from = self.text().floor_char_boundary(from).min(figure.start());
        let ahead = Span::new(from, figure.start()).of(self.text());
        let clause = ahead.rsplit([',', ';', ':']).next().unwrap_or(ahead);
        let lists = self.terms.lists;
        let mut words = clause.split(|letter: char| !letter.is_alphabetic());
        words.any(|word| {
            word.ends_with("est") && {
                let word = word.to_lowercase();
                lists.side_thin.has(&word) || lists.side_thick.has(&word)
            }
        })
    }

    /// Entries whose name is “the”, one of these words and a noun.
    fn described_as(&self, words: List<'_>) -> Vec<usize> {
        let entries = &self.roster.entries;
        (0..entries.len())
            .filter(|&entry| !entries[entry].role && !entries[entry].merged)
            .filter(|&entry| {
                let mut name = entries[entry].name.split_whitespace();
                name.next() == Some("the") && name.next().is_some_and(|word| words.has(word))
            })
            .collect()
    }

    /// Sizes with one value each, as quantities.
    fn plain_sizes(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.owners.len())
            .filter(|&index| self.roles[index] == Role::Size)
            .filter(|&index| {
                let quantity = &self.sheet.quantities[index];
                quantity.range.is_none() && quantity.si().is_some()
            })
    }

    /// Those of an owner.
    fn sizes_of(&self, owner: Owner) -> Vec<usize> {
        self.plain_sizes()
            .filter(|&index| self.owners.at(index) == owner)
            .collect()
    }

    /// The two groups of one area each that sizes fall into, the smaller one first.
    fn two_areas(&self, sizes: &[usize]) -> Option<[Vec<usize>; 2]> {
        let area = |index: usize| self.sheet.quantities[index].si();
        let least = *sizes.iter().min_by(|&&a, &&b| {
            area(a)
                .partial_cmp(&area(b))
                .unwrap_or(std::cmp::Ordering::Equal)
        })?;
        let (small, large): (Vec<usize>, Vec<usize>) = sizes
            .iter()
            .partition(|&&index| ratio(area(index), area(least)) < APART);
        let first = *large.first()?;
        let alike = |&index: &usize| ratio(area(index), area(first)) < APART;
        (large.iter().all(alike) && ratio(area(first), area(least)) >= THICKER)
            .then_some([small, large])
    }

    /// Both are told, and before they are so called two sizes of nobody.
    fn both_told(&mut self, thin: usize, thick: usize) {
        let either = |owner: Owner| owner == Owner::One(thin) || owner == Owner::One(thick);
        let called = |at: &usize| self.resolved.of(*at).iter().any(|(_, owner)| either(owner));
        let Some(first) = (0..self.sheet.sentences.len()).find(called) else {
            return;
        };
        let (early, late): (Vec<usize>, Vec<usize>) = self
            .plain_sizes()
            .partition(|&index| self.sentence_of(index) <= first);
        // "The thin one is 0.75 mm²" has told it.
        let open = |&index: &usize| matches!(self.owners.at(index), Owner::Nobody | Owner::All);
        if !early.iter().all(open) {
            return;
        }
        let Some([small, large]) = self.two_areas(&early) else {
            return;
        };
        let area = |index: usize| self.sheet.quantities[index].si();
        let known = [area(small[0]), area(large[0])];
        let sentences = |sizes: &[usize]| -> BTreeSet<usize> {
            sizes.iter().map(|&index| self.sentence_of(index)).collect()
        };
        // Where both stand in one sentence each has no more than its size.
        let (of_small, of_large) = (sentences(&small), sentences(&large));
        let shared: BTreeSet<usize> = of_small.intersection(&of_large).copied().collect();
        let (same, other): (Vec<usize>, Vec<usize>) = late
            .into_iter()
            .partition(|&index| known.iter().any(|&own| ratio(area(index), own) < APART));
        self.give(&small, thin, &shared);
        self.give(&large, thick, &shared);
        let others: BTreeSet<usize> = other.iter().map(|&index| self.sentence_of(index)).collect();
        // Where a third size is told it is of other cables, as is what stands beside it.
        for &sentence in &others {
            for index in self.in_sentence(sentence) {
                if matches!(self.roles[index], Role::Size | Role::Run) {
                    self.owners.set(index, Owner::Nobody);
                    self.roles[index] = Role::Aside;
                }
            }
        }
        for index in same {
            let sentence = self.sentence_of(index);
            if matches!(self.owners.at(index), Owner::Nobody | Owner::All)
                && !others.contains(&sentence)
            {
                let thinner = ratio(self.sheet.quantities[index].si(), known[0]) < APART;
                let owner = if thinner { thin } else { thick };
                self.owners.set(index, Owner::One(owner));
            }
        }
    }

    /// One alone is told beside the one cable with a name, which is left with two sizes, its own one first.
    fn one_told(&mut self, one: usize, thicker: bool) {
        let others: Vec<usize> = self
            .roster
            .named()
            .into_iter()
            .filter(|&entry| entry != one)
            .collect();
        let &[other] = others.as_slice() else { return };
        if !self.sizes_of(Owner::One(one)).is_empty() {
            return;
        }
        let mut sizes = self.sizes_of(Owner::One(other));
        sizes.extend(self.sizes_of(Owner::Nobody));
        sizes.sort_unstable();
        let Some([small, large]) = self.two_areas(&sizes) else {
            return;
        };
        let (own, left) = if thicker {
            (large, small)
        } else {
            (small, large)
        };
        // The one with a name is told first, by its own size.
        let named = |index: &usize| {
            self.resolved
                .of(self.sentence_of(*index))
                .iter()
                .any(|(_, owner)| owner == Owner::One(other))
        };
        if sizes.first() != left.first() || own.iter().any(named) {
            return;
        }
        let shared = left.iter().map(|&index| self.sentence_of(index)).collect();
        self.give(&own, one, &shared);
    }

    /// Gives sizes to an entry, and what else their sentences say, unless that is shared with another.
    fn give(&mut self, sizes: &[usize], entry: usize, shared: &BTreeSet<usize>) {
        for &index in sizes {
            let before = self.owners.at(index);
            let sentence = self.sentence_of(index);
            self.owners.set(index, Owner::One(entry));
            if shared.contains(&sentence) {
                continue;
            }
            for beside in self.in_sentence(sentence) {
                if self.owners.at(beside) == before || self.owners.at(beside) == Owner::Nobody {
                    self.owners.set(beside, Owner::One(entry));
                }
            }
            let start = self.sheet.sentences[sentence].span.start();
            self.resolved.add(
                sentence,
                crate::span::Span::new(start, start),
                Owner::One(entry),
            );
        }
    }
}
