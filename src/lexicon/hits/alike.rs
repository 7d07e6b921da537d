//! Sentences that were met before: a catalogue says the same in a great many lines, and what it says is looked for and kept once.

use super::Packed;
use crate::span::Span;
use rustc_hash::FxHasher;
use std::hash::Hasher;

/// Sentences and sets of hits that are remembered: each has one place, and a later one with the same place takes it over.
const PLACES: usize = 1 << 12;

/// Longest sentence that is remembered, in bytes.
const LONGEST: usize = 160;

/// A sentence and what was found in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    /// Where it stands.
    sentence: Span,
    /// The set of its hits.
    pub(super) set: u32,
    /// The lists that it has words of.
    pub(super) listed: u16,
}

/// What a walk over one document remembers of the sentences behind it.
#[derive(Debug)]
pub(super) struct Alike {
    sentences: Vec<Option<Known>>,
    sets: Vec<Option<u32>>,
}

impl Default for Alike {
    fn default() -> Self {
        Self {
            sentences: vec![None; PLACES],
            sets: vec![None; PLACES],
        }
    }
}

/// The place of a hash: its high bits, which are the well mixed ones.
fn place(hasher: &FxHasher) -> usize {
    usize::try_from(hasher.finish() >> (64 - PLACES.trailing_zeros())).unwrap_or(0)
}

fn place_of_words(words: &str) -> usize {
    let mut hasher = FxHasher::default();
    hasher.write(words.as_bytes());
    place(&hasher)
}

impl Alike {
    /// What was found in the same words before.
    pub(super) fn words(&self, text: &str, sentence: Span) -> Option<Known> {
        if sentence.len() > LONGEST {
            return None;
        }
        let words = sentence.of(text);
        self.sentences[place_of_words(words)].filter(|known| known.sentence.of(text) == words)
    }

    /// Notes what was found in a sentence.
    pub(super) fn note_words(&mut self, text: &str, sentence: Span, set: u32, listed: u16) {
        if sentence.len() <= LONGEST {
            self.sentences[place_of_words(sentence.of(text))] = Some(Known {
                sentence,
                set,
                listed,
            });
        }
    }

    /// The place where the number of the last set with such hits stands, if one does.
    pub(super) fn set(&mut self, hits: &[Packed]) -> &mut Option<u32> {
        let mut hasher = FxHasher::default();
        for hit in hits {
            hasher.write_u64(hit.bits());
        }
        &mut self.sets[place(&hasher)]
    }
}
