//! Sizes that are called by their number alone: “8 m of 2.5 has about 0.11 ohm”. Knows numbers and owners of sizes, and no words.

use super::{Owner, Reader, number};
use crate::facts::roles::Role;
use crate::facts::types::FigureKind;
use crate::span::Span;
use rustc_hash::FxHashMap;

impl Reader<'_> {
    /// Gives what is measured over such a run to the cable of which that number is the size; where it is that of several, to none.
    pub(super) fn sizes_by_number(&mut self) {
        let runs: Vec<(usize, f64)> = (0..self.roles.len())
            .filter(|&run| self.roles[run] == Role::Run)
            .filter_map(|run| Some((run, self.number_behind(run)?)))
            .collect();
        if runs.is_empty() {
            return;
        }
        let mut sized: FxHashMap<u64, Owner> = FxHashMap::default();
        for index in 0..self.roles.len() {
            let size = self.roles[index] == Role::Size;
            let called = number(&self.sheet.quantities[index]).filter(|_| size);
            let Some(called) = called else { continue };
            let own = self.owners.at(index);
            let known = sized.entry(called.to_bits()).or_insert(own);
            if *known != own {
                *known = Owner::Nobody;
            }
        }
        for (run, called) in runs {
            let Some(&owner) = sized.get(&called.to_bits()) else {
                continue;
            };
            let sentence = self.sentence_of(run);
            let sized = self
                .in_sentence(sentence)
                .any(|index| self.roles[index] == Role::Size);
            if sized {
                continue;
            }
            for index in self.in_sentence(sentence) {
                let told = matches!(
                    self.roles[index],
                    Role::Figure(
                        FigureKind::Resistance | FigureKind::Loss | FigureKind::DampingFactor
                    )
                );
                if index == run || told {
                    self.owners.set(index, owner);
                }
            }
        }
    }

    /// The bare number right behind a run: 2.5 of “8 m of 2.5”.
    fn number_behind(&self, run: usize) -> Option<f64> {
        let end = self.sheet.quantities[run].span.end();
        let sentence = self.sheet.sentences[self.sentence_of(run)].span;
        let behind = Span::new(end, sentence.end().max(end)).of(self.text());
        let behind = behind.strip_prefix(" of ")?;
        let behind = behind.strip_prefix("the ").unwrap_or(behind);
        let len = behind
            .find(|sign: char| !sign.is_ascii_digit() && sign != '.')
            .unwrap_or(behind.len());
        let digits = behind.get(..len)?.trim_end_matches('.');
        let apart = behind.get(len..)?.starts_with([' ', ',', ';', ')'])
            || len == behind.len()
            || digits.len() < len;
        let from = end + (sentence.end() - end - behind.len());
        let measured = self.in_sentence(self.sentence_of(run)).any(|index| {
            self.sheet.quantities[index]
                .span
                .overlaps(Span::new(from, from + len.max(1)))
        });
        (apart && !measured).then(|| digits.parse().ok()).flatten()
    }
}
