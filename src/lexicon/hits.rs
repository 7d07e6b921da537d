//! The hits of a whole document, by sentence.

use super::{ConceptId, Hit, Lexicon, Memory};
use crate::span::Span;

/// All places of a document where a concept is said.
#[derive(Debug, Clone, Default)]
pub struct Hits {
    all: Vec<Hit>,
    /// Where the hits of a sentence begin in `all`; one more than there are sentences.
    starts: Vec<usize>,
    /// For each sentence, what it says: one bit for a few concepts.
    said: Vec<u128>,
    /// Long sentences with the places of their hits in `all` by concept: a sentence without an end is asked as often as it
    /// has words.
    long: Vec<(usize, Vec<(u16, u32)>)>,
}

/// With more hits than these a sentence is long.
const LONG: usize = 48;

/// The bit of a concept among those of a sentence: the high bits of a product (multiplicative hashing).
fn bit(concept: ConceptId) -> u128 {
    1 << (u32::from(concept.0).wrapping_mul(0x9E37_79B9) >> 25)
}

impl Hits {
    /// Walks the sentences of `text` once.
    #[must_use]
    pub fn read(lexicon: &Lexicon, text: &str, sentences: impl IntoIterator<Item = Span>) -> Self {
        let mut hits = Self {
            all: Vec::new(),
            starts: vec![0],
            said: Vec::new(),
            long: Vec::new(),
        };
        let mut memory = Memory::default();
        for sentence in sentences {
            let before = hits.all.len();
            lexicon.find(text, sentence, &mut memory, &mut hits.all);
            let found = hits.all.iter().skip(before);
            let said = found.fold(0, |all, hit| all | bit(hit.concept));
            hits.said.push(said);
            if hits.all.len() - before > LONG {
                let mut places: Vec<(u16, u32)> = (0u32..)
                    .zip(hits.all.iter().skip(before))
                    .map(|(place, hit)| (hit.concept.0, place))
                    .collect();
                places.sort_unstable();
                hits.long.push((hits.starts.len() - 1, places));
            }
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
        self.saying(sentence, concept).next().is_some()
    }

    /// The hits of the sentence that say the concept, in order of the first word.
    pub fn saying(
        &self,
        sentence: usize,
        concept: ConceptId,
    ) -> impl Iterator<Item = &Hit> + Clone {
        let hits = if self.may_say(sentence, &[concept]) {
            self.of(sentence)
        } else {
            &[]
        };
        let placed = if hits.len() > LONG {
            self.placed(sentence, concept)
        } else {
            &[]
        };
        let scanned = if hits.len() > LONG { &[] } else { hits };
        scanned
            .iter()
            .filter(move |hit| hit.concept == concept)
            .chain(
                placed
                    .iter()
                    .filter_map(move |&(_, place)| hits.get(place as usize)),
            )
    }

    /// The hits of the sentence that say any of the concepts, in order of the first word.
    pub fn saying_any<'h>(
        &'h self,
        sentence: usize,
        concepts: &'h [ConceptId],
    ) -> impl Iterator<Item = &'h Hit> {
        let hits = if self.may_say(sentence, concepts) {
            self.of(sentence)
        } else {
            &[]
        };
        let long = hits.len() > LONG;
        let mut places: Vec<u32> = Vec::new();
        if long {
            for &concept in concepts {
                places.extend(
                    self.placed(sentence, concept)
                        .iter()
                        .map(|&(_, place)| place),
                );
            }
            places.sort_unstable();
            places.dedup();
        }
        let scanned = if long { &[] } else { hits };
        scanned
            .iter()
            .filter(move |hit| concepts.contains(&hit.concept))
            .chain(
                places
                    .into_iter()
                    .filter_map(move |place| hits.get(place as usize)),
            )
    }

    /// Places of a concept among the hits of a long sentence.
    fn placed(&self, sentence: usize, concept: ConceptId) -> &[(u16, u32)] {
        let places = self
            .long
            .binary_search_by_key(&sentence, |(at, _)| *at)
            .map_or(&[][..], |index| self.long[index].1.as_slice());
        let from = places.partition_point(|&(at, _)| at < concept.0);
        let rest = places.get(from..).unwrap_or(&[]);
        rest.get(..rest.partition_point(|&(at, _)| at == concept.0))
            .unwrap_or(&[])
    }

    /// Whether the sentence may say one of the concepts; most sentences say none, which their bits tell at a glance.
    #[must_use]
    pub fn may_say(&self, sentence: usize, concepts: &[ConceptId]) -> bool {
        let bits = concepts.iter().fold(0, |all, &concept| all | bit(concept));
        self.said.get(sentence).is_some_and(|said| said & bits != 0)
    }

    /// All hits in reading order.
    #[must_use]
    pub fn all(&self) -> &[Hit] {
        &self.all
    }
}
