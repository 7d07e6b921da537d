//! How many answers a procedure offers to choose from: a triangle test, “which of the two”.

use crate::facts::read::{Reader, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::Fact;
use crate::span::Span;
use std::cell::OnceCell;

/// Where the document tells of procedures that offer more than two choices.
pub(super) struct Choices {
    /// The words, in reading order, with how many choices they give; looked for with the first score.
    told: OnceCell<Vec<(Span, f64)>>,
    /// Where the last score stands.
    last: usize,
}

impl Choices {
    pub(super) fn new(reader: &Reader<'_>) -> Self {
        let last = (0..reader.sheet.quantities.len())
            .rfind(|&index| {
                reader.roles[index] == Role::Score || reader.sheet.quantities[index].score.is_some()
            })
            .map_or(0, |index| reader.sheet.quantities[index].span.start());
        Self {
            told: OnceCell::new(),
            last,
        }
    }

    fn find(reader: &Reader<'_>) -> Vec<(Span, f64)> {
        let lists = reader.terms.lists;
        let text = reader.text().to_ascii_lowercase();
        let text = text.as_str();
        let counts = [
            (lists.score_of_two, 2.0),
            (lists.score_of_three, 3.0),
            (lists.score_of_four, 4.0),
        ];
        let mut told: Vec<(Span, f64)> = counts
            .into_iter()
            .flat_map(|(list, count)| list.entries().map(move |words| (words, count)))
            .flat_map(|(words, count)| {
                text.match_indices(words)
                    .map(move |(at, words)| (Span::new(at, at + words.len()), count))
            })
            .collect();
        told.sort_by_key(|(span, _)| span.start());
        told
    }

    /// Chance of one right answer: as it was last told before a score, else as it is told behind it, where no other score follows
    /// that it may be of.
    pub(super) fn chance(&self, reader: &Reader<'_>, sentence: usize) -> Option<Fact<f64>> {
        let own = reader.sheet.sentences[sentence].span;
        let told = self.told.get_or_init(|| Self::find(reader));
        let behind = told.partition_point(|(span, _)| span.start() <= own.end());
        let before = behind.checked_sub(1).map(|at| told[at]);
        // “Part 2, three pieces of music, one of them with the other lead. Els: 8 of 16.”
        let scored = |span: Span| {
            let at = sentence_at(reader.sheet, span.start());
            let block = &reader.sheet.blocks[reader.sheet.sentences[at].block()];
            let mut behind = at..block.sentences().end;
            behind.any(|at| {
                !super::told(reader, at).is_empty() || !super::counted::read(reader, at).is_empty()
            })
        };
        let after = || {
            let next = told.get(behind).copied();
            next.filter(|(span, _)| span.start() > self.last && !scored(*span))
        };
        before
            .or_else(after)
            .map(|(span, count)| Fact::new(1.0 / count, span))
    }
}
