//! Where cables are called by their names, in little room: in records nearly every sentence is such a place as a whole.

use crate::sheet::Sentence;
use crate::span::Span;

/// The places where a cable is called by a name with a capital.
#[derive(Debug, Clone, Default)]
pub struct Names<'s> {
    sentences: &'s [Sentence],
    /// Sentences that are a name as a whole, a bit each.
    whole: Vec<u64>,
    /// All others, in order.
    others: Vec<Span>,
}

/// Where the bit of a sentence stands.
fn bit(sentence: usize) -> (usize, u64) {
    (sentence / 64, 1 << (sentence % 64))
}

impl<'s> Names<'s> {
    /// These places in a document of so many sentences.
    #[must_use]
    pub fn new(sentences: &'s [Sentence], names: impl Iterator<Item = Span>) -> Self {
        let mut new = Self {
            sentences,
            whole: vec![0; sentences.len().div_ceil(64)],
            others: Vec::new(),
        };
        for name in names {
            let own = new.sentence_at(name.start());
            let own = own.filter(|&at| sentences.get(at).is_some_and(|own| own.span == name));
            match own.map(bit) {
                Some((word, bit)) => {
                    if let Some(word) = new.whole.get_mut(word) {
                        *word |= bit;
                    }
                }
                None => new.others.push(name),
            }
        }
        new.others.sort_unstable();
        new.others.dedup();
        new
    }

    fn sentence_at(&self, offset: usize) -> Option<usize> {
        let after = (self.sentences).partition_point(|sentence| sentence.span.start() <= offset);
        after.checked_sub(1)
    }

    /// The sentence, where it is a name as a whole.
    fn whole(&self, sentence: usize) -> Option<Span> {
        let (word, bit) = bit(sentence);
        let whole = self.whole.get(word).is_some_and(|word| word & bit != 0);
        let own = self.sentences.get(sentence).filter(|_| whole)?;
        Some(own.span)
    }

    /// Whether words are part of a name.
    #[must_use]
    pub fn hold(&self, words: Span) -> bool {
        let after = (self.others).partition_point(|name| name.start() <= words.start());
        let other = after
            .checked_sub(1)
            .and_then(|at| self.others.get(at).copied());
        let whole = self.sentence_at(words.start());
        let name = other.max(whole.and_then(|at| self.whole(at)));
        name.is_some_and(|name| name.contains(words))
    }

    /// The first name in a sentence.
    #[must_use]
    pub fn first_in(&self, sentence: usize) -> Option<Span> {
        let own = self.sentences.get(sentence)?.span;
        let from = self
            .others
            .partition_point(|name| name.start() < own.start());
        let other = self.others.get(from).copied();
        let other = other.filter(|name| own.contains(*name));
        other.into_iter().chain(self.whole(sentence)).min()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_as_in_one_list() {
        let spans = [(0, 9), (9, 20), (21, 30), (30, 44)].map(|(start, end)| Span::new(start, end));
        let sentences = spans.map(|span| Sentence::new(span, 0));
        let inner =
            [(2, 5), (10, 14), (30, 33), (35, 38)].map(|(start, end)| Span::new(start, end));
        let list = [
            spans[1], inner[3], inner[0], spans[3], inner[1], inner[2], inner[0],
        ];
        let names = Names::new(&sentences, list.into_iter());
        let mut sorted = list.to_vec();
        sorted.sort_unstable();
        for (start, length) in (0..44).flat_map(|start| [(start, 1), (start, 4)]) {
            let words = Span::new(start, start + length);
            let after = sorted.partition_point(|name| name.start() <= start);
            let last = after.checked_sub(1).map(|at| sorted[at]);
            assert_eq!(
                names.hold(words),
                last.is_some_and(|name| name.contains(words))
            );
        }
        let first: Vec<Option<Span>> = (0..5).map(|at| names.first_in(at)).collect();
        let wanted = [Some(inner[0]), Some(spans[1]), None, Some(inner[2]), None];
        assert_eq!(first, wanted);
        assert!(!Names::default().hold(spans[0]));
    }
}
