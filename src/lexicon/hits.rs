//! The hits of a whole document, by sentence.

use super::{ConceptId, Hit, Lexicon, Memory};
use crate::span::Span;

/// All places of a document where a concept is said.
#[derive(Debug, Clone, Default)]
pub struct Hits {
    all: Vec<Hit>,
    /// Where the hits of a sentence begin in `all`; one more than there are sentences.
    starts: Vec<usize>,
}

impl Hits {
    /// Walks the sentences of `text` once.
    #[must_use]
    pub fn read(lexicon: &Lexicon, text: &str, sentences: impl IntoIterator<Item = Span>) -> Self {
        let mut hits = Self {
            all: Vec::new(),
            starts: vec![0],
        };
        let mut memory = Memory::default();
        for sentence in sentences {
            lexicon.find(text, sentence, &mut memory, &mut hits.all);
            hits.starts.push(hits.all.len());
        }
        hits
    }

    /// The hits of the sentence with that index, in order of the first word.
    #[must_use]
    pub fn of(&self, sentence: usize) -> &[Hit] {
        let bounds = (self.starts.get(sentence), self.starts.get(sentence + 1));
        let (Some(&start), Some(&end)) = bounds else {
            return &[];
        };
        &self.all[start..end]
    }

    /// Whether the sentence says the concept.
    #[must_use]
    pub fn say(&self, sentence: usize, concept: ConceptId) -> bool {
        self.of(sentence).iter().any(|hit| hit.concept == concept)
    }

    /// All hits in reading order.
    #[must_use]
    pub fn all(&self) -> &[Hit] {
        &self.all
    }
}
