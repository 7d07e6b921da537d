//! The hits of a whole document, by sentence.

use super::{ConceptId, Hit, Lexicon, List, Memory};
use crate::span::Span;

/// All places of a document where a concept is said.
#[derive(Debug, Clone, Default)]
pub struct Hits {
    all: Vec<Packed>,
    /// Hits of sentences so long that they do not go into a [`Packed`], with their places in `all`.
    wide: Vec<(u32, Hit)>,
    /// Where the hits of a sentence begin in `all`; one more than there are sentences.
    starts: Vec<u32>,
    /// For each sentence, what it says: one bit for a few concepts.
    said: Vec<u128>,
    /// Long sentences with the places of their hits in `all` by concept: a sentence without an end is asked as often as it
    /// has words.
    long: Vec<(u32, Box<[(u16, u32)]>)>,
    /// Numbers of the lists that are asked for.
    asked: Vec<u32>,
    /// For each sentence, which of those its words are entries of: a bit each.
    listed: Vec<u16>,
}

/// A hit in few bytes: a document has one or two for each of its words.
#[derive(Debug, Clone, Copy)]
struct Packed {
    start: u32,
    /// In bytes, or [`Self::WIDE`].
    len: u16,
    first: u16,
    last: u16,
    concept: u16,
}

impl Packed {
    /// The length of a hit that stands in [`Hits::wide`].
    const WIDE: u16 = u16::MAX;

    fn of(hit: &Hit) -> Option<Self> {
        let len = u16::try_from(hit.span.len()).ok();
        Some(Self {
            start: u32::try_from(hit.span.start).ok()?,
            len: len.filter(|&len| len != Self::WIDE)?,
            first: u16::try_from(hit.first).ok()?,
            last: u16::try_from(hit.last).ok()?,
            concept: hit.concept.0,
        })
    }

    fn wide(concept: ConceptId) -> Self {
        Self {
            start: 0,
            len: Self::WIDE,
            first: 0,
            last: 0,
            concept: concept.0,
        }
    }
}

/// Hits that stand in a row.
#[derive(Debug, Clone, Copy)]
pub struct Of<'h> {
    packed: &'h [Packed],
    /// Place of the first of them among all.
    from: usize,
    wide: &'h [(u32, Hit)],
}

impl<'h> Of<'h> {
    const NONE: Self = Self {
        packed: &[],
        from: 0,
        wide: &[],
    };

    /// How many there are.
    #[must_use]
    pub fn len(self) -> usize {
        self.packed.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.packed.is_empty()
    }

    /// The one at that place.
    #[must_use]
    pub fn get(self, at: usize) -> Option<Hit> {
        let packed = self.packed.get(at)?;
        Some(self.unpack(at, packed))
    }

    fn unpack(self, at: usize, packed: &Packed) -> Hit {
        if packed.len == Packed::WIDE {
            return self.unpack_wide(at, packed);
        }
        let start = packed.start as usize;
        Hit {
            concept: ConceptId(packed.concept),
            span: Span::new(start, start + usize::from(packed.len)),
            first: usize::from(packed.first),
            last: usize::from(packed.last),
        }
    }

    #[cold]
    fn unpack_wide(self, at: usize, packed: &Packed) -> Hit {
        let place = self
            .wide
            .binary_search_by_key(&(self.from + at), |(place, _)| *place as usize);
        place
            .ok()
            .and_then(|place| self.wide.get(place))
            .map_or_else(
                || Hit {
                    concept: ConceptId(packed.concept),
                    span: Span::default(),
                    first: 0,
                    last: 0,
                },
                |&(_, hit)| hit,
            )
    }

    /// All of them in order.
    #[must_use]
    pub fn iter(self) -> Each<'h> {
        Each { of: self, next: 0 }
    }

    /// Those that say the concept, in order.
    fn saying(self, concept: ConceptId) -> impl Iterator<Item = Hit> + Clone + 'h {
        self.packed
            .iter()
            .enumerate()
            .filter(move |(_, packed)| packed.concept == concept.0)
            .map(move |(at, packed)| self.unpack(at, packed))
    }
}

/// Hits in order.
#[derive(Debug, Clone)]
pub struct Each<'h> {
    of: Of<'h>,
    next: usize,
}

impl Iterator for Each<'_> {
    type Item = Hit;

    fn next(&mut self) -> Option<Hit> {
        let hit = self.of.get(self.next)?;
        self.next += 1;
        Some(hit)
    }
}

impl<'h> IntoIterator for Of<'h> {
    type Item = Hit;
    type IntoIter = Each<'h>;

    fn into_iter(self) -> Each<'h> {
        self.iter()
    }
}

/// With more hits than these a sentence is long.
const LONG: usize = 48;

/// The bit of a concept among those of a sentence: the high bits of a product (multiplicative hashing).
fn bit(concept: ConceptId) -> u128 {
    1 << (u32::from(concept.0).wrapping_mul(0x9E37_79B9) >> 25)
}

fn narrow(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

impl Hits {
    /// Most lists that are asked for.
    pub const MOST_ASKED: usize = 16;

    /// Walks the sentences of `text` once.
    #[must_use]
    pub fn read(lexicon: &Lexicon, text: &str, sentences: impl IntoIterator<Item = Span>) -> Self {
        Self::read_asked(lexicon, text, sentences, &[])
    }

    /// Walks the sentences of `text` once, and notes for each of them of which of the lists `asked` it has words: of the first
    /// [`Self::MOST_ASKED`] of them.
    #[must_use]
    pub fn read_asked(
        lexicon: &Lexicon,
        text: &str,
        sentences: impl IntoIterator<Item = Span>,
        asked: &[List<'_>],
    ) -> Self {
        let asked = asked.iter().take(Self::MOST_ASKED);
        let mut hits = Self {
            starts: vec![0],
            asked: asked.map(|list| list.number()).collect(),
            ..Self::default()
        };
        let mut memory = Memory::default();
        let mut found: Vec<Hit> = Vec::new();
        for sentence in sentences {
            found.clear();
            let listed = lexicon.find_asked(text, sentence, &mut memory, &mut found, &hits.asked);
            if !hits.asked.is_empty() {
                hits.listed.push(listed);
            }
            hits.add(&found);
        }
        hits.all.shrink_to_fit();
        hits
    }

    /// Adds the hits of the next sentence.
    fn add(&mut self, found: &[Hit]) {
        let said = found.iter().fold(0, |all, hit| all | bit(hit.concept));
        self.said.push(said);
        if found.len() > LONG {
            let mut places: Box<[(u16, u32)]> = (0u32..)
                .zip(found)
                .map(|(place, hit)| (hit.concept.0, place))
                .collect();
            places.sort_unstable();
            self.long.push((narrow(self.starts.len() - 1), places));
        }
        for hit in found {
            let packed = Packed::of(hit).unwrap_or_else(|| {
                self.wide.push((narrow(self.all.len()), *hit));
                Packed::wide(hit.concept)
            });
            self.all.push(packed);
        }
        self.starts.push(narrow(self.all.len()));
    }

    /// The hits of the sentence with that index, in order of the first word.
    #[must_use]
    pub fn of(&self, sentence: usize) -> Of<'_> {
        let bounds = (self.starts.get(sentence), self.starts.get(sentence + 1));
        let (Some(&start), Some(&end)) = bounds else {
            return Of::NONE;
        };
        Of {
            packed: &self.all[start as usize..end as usize],
            from: start as usize,
            wide: &self.wide,
        }
    }

    /// Whether the sentence says the concept.
    #[must_use]
    pub fn say(&self, sentence: usize, concept: ConceptId) -> bool {
        self.saying(sentence, concept).next().is_some()
    }

    /// The hits of the sentence that say the concept, in order of the first word.
    pub fn saying(&self, sentence: usize, concept: ConceptId) -> impl Iterator<Item = Hit> + Clone {
        let hits = if self.may_say(sentence, &[concept]) {
            self.of(sentence)
        } else {
            Of::NONE
        };
        let placed = if hits.len() > LONG {
            self.placed(sentence, concept)
        } else {
            &[]
        };
        let scanned = if hits.len() > LONG { Of::NONE } else { hits };
        scanned.saying(concept).chain(
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
    ) -> impl Iterator<Item = Hit> + 'h {
        let hits = if self.may_say(sentence, concepts) {
            self.of(sentence)
        } else {
            Of::NONE
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
        let scanned = if long { Of::NONE } else { hits };
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
            .binary_search_by_key(&narrow(sentence), |(at, _)| *at)
            .map_or(&[][..], |index| &self.long[index].1);
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

    /// Whether a word of the sentence, in small letters with or without a possessive ending, is an entry of the list. Of a list
    /// that was not asked for when the text was walked it may be.
    #[must_use]
    pub fn may_list(&self, sentence: usize, list: List<'_>) -> bool {
        let bit = self.asked.iter().position(|&asked| asked == list.number());
        bit.is_none_or(|bit| {
            let listed = self.listed.get(sentence);
            listed.is_none_or(|listed| listed >> bit & 1 != 0)
        })
    }

    /// All hits in reading order.
    #[must_use]
    pub fn all(&self) -> Of<'_> {
        Of {
            packed: &self.all,
            from: 0,
            wide: &self.wide,
        }
    }
}
