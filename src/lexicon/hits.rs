//! The hits of a whole document, by sentence.

mod alike;
mod long;

use super::{ConceptId, Hit, Lexicon, List, Memory};
use crate::span::Span;
use alike::Alike;
use long::LONG;

/// All places of a document where a concept is said.
#[derive(Debug, Clone, Default)]
pub struct Hits {
    packed: Vec<Packed>,
    /// Where a set of hits begins in `packed`; one more than there are sets.
    starts: Vec<u32>,
    /// The set of each sentence: those that say the same at the same places may share one.
    sets: Vec<u32>,
    /// Where each sentence starts in the text.
    bases: Vec<u32>,
    /// Sentences too long for a [`Packed`], with their hits.
    wide: Vec<(u32, Box<[Hit]>)>,
    /// For each set, what it says: one bit for a few concepts.
    said: Vec<u128>,
    /// What the document says: a bit for each concept.
    anywhere: Vec<u64>,
    /// Long sentences with the places of their hits in the order of their concepts: a sentence without an end is asked as often as it has words.
    long: Vec<(u32, Box<[u32]>)>,
    /// Numbers of the lists that are asked for.
    asked: Vec<u32>,
    /// For each sentence, which of those its words are entries of: a bit each.
    listed: Vec<u16>,
    /// How many hits there are, those of a set as often as sentences share it.
    count: usize,
}

/// A hit in few bytes: a document has one or two for each of its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Packed {
    /// The concept in the low bits, the words behind the first in the high ones.
    concept: u16,
    /// From the start of the sentence.
    start: u16,
    len: u8,
    first: u8,
}

impl Packed {
    const CONCEPT_BITS: u32 = 12;
    const CONCEPT: u16 = (1 << Self::CONCEPT_BITS) - 1;

    fn of(hit: &Hit, base: usize) -> Option<Self> {
        let more = u16::try_from(hit.last.checked_sub(hit.first)?).ok()?;
        if hit.concept.0 > Self::CONCEPT || more > u16::MAX >> Self::CONCEPT_BITS {
            return None;
        }
        Some(Self {
            concept: hit.concept.0 | more << Self::CONCEPT_BITS,
            start: u16::try_from(hit.span.start().checked_sub(base)?).ok()?,
            len: u8::try_from(hit.span.len()).ok()?,
            first: u8::try_from(hit.first).ok()?,
        })
    }

    #[inline]
    fn concept(self) -> ConceptId {
        ConceptId(self.concept & Self::CONCEPT)
    }

    /// All that it holds.
    fn bits(self) -> u64 {
        u64::from(self.concept) << 32
            | u64::from(self.start) << 16
            | u64::from(self.len) << 8
            | u64::from(self.first)
    }

    #[inline]
    fn unpack(self, base: usize) -> Hit {
        let start = base + usize::from(self.start);
        let first = usize::from(self.first);
        Hit {
            concept: self.concept(),
            span: Span::new(start, start + usize::from(self.len)),
            first,
            last: first + usize::from(self.concept >> Self::CONCEPT_BITS),
        }
    }
}

/// The hits of a sentence. Those of most are packed, those of the others are not.
#[derive(Debug, Clone, Copy, Default)]
pub struct Of<'h> {
    packed: &'h [Packed],
    /// Where the sentence starts.
    base: usize,
    wide: &'h [Hit],
}

impl<'h> Of<'h> {
    /// How many there are.
    #[must_use]
    pub fn len(self) -> usize {
        self.packed.len() + self.wide.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// The one at that place.
    #[must_use]
    pub fn get(self, at: usize) -> Option<Hit> {
        let packed = self.packed.get(at).map(|packed| packed.unpack(self.base));
        packed.or_else(|| self.wide.get(at).copied())
    }

    fn concept(self, at: usize) -> Option<ConceptId> {
        let packed = self.packed.get(at).map(|packed| packed.concept());
        packed.or_else(|| self.wide.get(at).map(|hit| hit.concept))
    }

    /// All of them in order.
    #[inline]
    #[must_use]
    pub fn iter(self) -> Each<'h> {
        Each {
            packed: self.packed.iter(),
            base: self.base,
            wide: self.wide.iter(),
        }
    }

    /// Those of which the concept is wanted, in order. Most are not, and are not unpacked.
    #[inline]
    fn wanted<F>(self, wanted: F) -> impl Iterator<Item = Hit> + Clone + use<'h, F>
    where
        F: Fn(ConceptId) -> bool + Clone,
    {
        let also = wanted.clone();
        let packed = self.packed.iter();
        packed
            .filter(move |packed| wanted(packed.concept()))
            .map(move |packed| packed.unpack(self.base))
            .chain(
                self.wide
                    .iter()
                    .filter(move |hit| also(hit.concept))
                    .copied(),
            )
    }
}

/// Hits in order.
#[derive(Debug, Clone)]
pub struct Each<'h> {
    packed: std::slice::Iter<'h, Packed>,
    base: usize,
    wide: std::slice::Iter<'h, Hit>,
}

impl Iterator for Each<'_> {
    type Item = Hit;

    #[inline]
    fn next(&mut self) -> Option<Hit> {
        match self.packed.next() {
            Some(packed) => Some(packed.unpack(self.base)),
            None => self.wide.next().copied(),
        }
    }
}

impl<'h> IntoIterator for Of<'h> {
    type Item = Hit;
    type IntoIter = Each<'h>;

    #[inline]
    fn into_iter(self) -> Each<'h> {
        self.iter()
    }
}

/// The bit of a concept among those of a sentence: the high bits of a product (multiplicative hashing).
#[inline]
fn bit(concept: ConceptId) -> u128 {
    1 << (u32::from(concept.0).wrapping_mul(0x9E37_79B9) >> 25)
}

/// The bits of several concepts.
#[inline]
fn bits(concepts: &[ConceptId]) -> u128 {
    concepts.iter().fold(0, |all, &concept| all | bit(concept))
}

/// The place and the bit of a concept among those of the document.
#[inline]
fn exact(concept: ConceptId) -> (usize, u64) {
    (usize::from(concept.0 / 64), 1 << (concept.0 % 64))
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
            anywhere: vec![0; lexicon.len().div_ceil(64)],
            ..Self::default()
        };
        let sentences = sentences.into_iter();
        for numbers in [&mut hits.bases, &mut hits.sets] {
            numbers.reserve_exact(sentences.size_hint().0);
        }
        let mut memory = Memory::default();
        let mut alike = Alike::default();
        let mut found: Vec<Hit> = Vec::new();
        for sentence in sentences {
            hits.bases
                .push(u32::try_from(sentence.start()).unwrap_or(u32::MAX));
            let (set, listed) = match alike.words(text, sentence) {
                Some(known) => (known.set, known.listed),
                None => {
                    found.clear();
                    let listed =
                        lexicon.find_asked(text, sentence, &mut memory, &mut found, &hits.asked);
                    let (set, short) = hits.add(&found, sentence.start(), &mut alike);
                    if short {
                        alike.note_words(text, sentence, set, listed);
                    }
                    (set, listed)
                }
            };
            hits.sets.push(set);
            hits.count += hits.of(hits.sets.len() - 1).len();
            if !hits.asked.is_empty() {
                hits.listed.push(listed);
            }
        }
        hits.packed.shrink_to_fit();
        hits
    }

    /// Adds the hits of the next sentence. Gives their set, and whether another sentence may share it.
    fn add(&mut self, found: &[Hit], start: usize, alike: &mut Alike) -> (u32, bool) {
        let base = u32::try_from(start).ok();
        let sentence = narrow(self.sets.len());
        let mut said = 0;
        let before = self.packed.len();
        for hit in found {
            said |= bit(hit.concept);
            let (word, bit) = exact(hit.concept);
            if let Some(word) = self.anywhere.get_mut(word) {
                *word |= bit;
            }
            if let Some(packed) = base.and_then(|_| Packed::of(hit, start)) {
                self.packed.push(packed);
            }
        }
        let mut short = true;
        if found.len() > LONG {
            self.long.push((sentence, long::places(found)));
            short = false;
        }
        if self.packed.len() - before < found.len() {
            self.packed.truncate(before);
            self.wide.push((sentence, found.into()));
            short = false;
        }
        let set = narrow(self.said.len());
        if short {
            let last = alike.set(&self.packed[before..]);
            if let Some(known) = *last
                && self.packed_of(known) == &self.packed[before..]
            {
                self.packed.truncate(before);
                return (known, true);
            }
            *last = Some(set);
        }
        self.said.push(said);
        self.starts.push(narrow(self.packed.len()));
        (set, short)
    }

    /// The packed hits of a set.
    #[inline]
    fn packed_of(&self, set: u32) -> &[Packed] {
        let set = set as usize;
        match (self.starts.get(set), self.starts.get(set + 1)) {
            (Some(&start), Some(&end)) => &self.packed[start as usize..end as usize],
            _ => &[],
        }
    }

    /// The hits of the sentence with that index, in order of the first word.
    #[inline]
    #[must_use]
    pub fn of(&self, sentence: usize) -> Of<'_> {
        let Some(&set) = self.sets.get(sentence) else {
            return Of::default();
        };
        let wide = if self.wide.is_empty() {
            &[][..]
        } else {
            self.wide_of(sentence)
        };
        Of {
            packed: self.packed_of(set),
            base: self.bases.get(sentence).map_or(0, |&base| base as usize),
            wide,
        }
    }

    fn wide_of(&self, sentence: usize) -> &[Hit] {
        self.wide
            .binary_search_by_key(&narrow(sentence), |(at, _)| *at)
            .map_or(&[], |at| &self.wide[at].1)
    }

    /// Whether the sentence says the concept.
    #[inline]
    #[must_use]
    pub fn say(&self, sentence: usize, concept: ConceptId) -> bool {
        if !self.may_say(sentence, &[concept]) {
            return false;
        }
        let hits = self.of(sentence);
        hits.packed.iter().any(|hit| hit.concept() == concept)
            || hits.wide.iter().any(|hit| hit.concept == concept)
    }

    /// The hits of the sentence that say the concept, in order of the first word.
    #[inline]
    pub fn saying(&self, sentence: usize, concept: ConceptId) -> impl Iterator<Item = Hit> + Clone {
        let hits = if self.may_say(sentence, &[concept]) {
            self.of(sentence)
        } else {
            Of::default()
        };
        let placed = if hits.len() > LONG {
            self.placed(sentence, concept)
        } else {
            &[]
        };
        let scanned = if hits.len() > LONG {
            Of::default()
        } else {
            hits
        };
        scanned.wanted(move |said| said == concept).chain(
            placed
                .iter()
                .filter_map(move |&place| hits.get(place as usize)),
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
            Of::default()
        };
        let long = hits.len() > LONG;
        let mut lists: Vec<&[u32]> = Vec::new();
        if long {
            let placed = concepts.iter().map(|&one| self.placed(sentence, one));
            lists.extend(placed.filter(|places| !places.is_empty()));
        }
        // They are merged as far as they are asked for.
        let places = std::iter::from_fn(move || {
            let next = lists.iter().filter_map(|places| places.first()).min()?;
            let next = *next;
            for places in &mut lists {
                if let Some(rest) = places.strip_prefix(&[next]) {
                    *places = rest;
                }
            }
            Some(next)
        });
        let scanned = if long { Of::default() } else { hits };
        // Most hits are of none of many concepts, which their bit tells.
        let bits = bits(concepts);
        let wanted = move |said| bits & bit(said) != 0 && concepts.contains(&said);
        scanned
            .wanted(wanted)
            .chain(places.filter_map(move |place| hits.get(place as usize)))
    }

    /// The hits of the sentence that say any of the concepts, each with its place among all of the sentence.
    pub fn placed_any<'h>(
        &'h self,
        sentence: usize,
        concepts: &'h [ConceptId],
    ) -> impl Iterator<Item = (usize, Hit)> + 'h {
        let hits = if self.may_say(sentence, concepts) {
            self.of(sentence)
        } else {
            Of::default()
        };
        let bits = bits(concepts);
        let wanted = move |said: ConceptId| bits & bit(said) != 0 && concepts.contains(&said);
        let packed = hits.packed.iter().enumerate();
        let wide = hits.wide.iter().copied().enumerate();
        packed
            .filter(move |(_, packed)| wanted(packed.concept()))
            .map(move |(at, packed)| (at, packed.unpack(hits.base)))
            .chain(wide.filter(move |(_, hit)| wanted(hit.concept)))
    }

    /// Places of a concept among the hits of a long sentence, in order.
    fn placed(&self, sentence: usize, concept: ConceptId) -> &[u32] {
        if !self.may_say(sentence, &[concept]) {
            return &[];
        }
        let places = self
            .long
            .binary_search_by_key(&narrow(sentence), |(at, _)| *at)
            .map_or(&[][..], |index| &self.long[index].1);
        let hits = self.of(sentence);
        let of = |place: &u32| hits.concept(*place as usize);
        let from = places.partition_point(|place| of(place) < Some(concept));
        let rest = places.get(from..).unwrap_or(&[]);
        rest.get(..rest.partition_point(|place| of(place) == Some(concept)))
            .unwrap_or(&[])
    }

    /// Whether the sentence may say one of the concepts; most sentences say none, which their bits tell at a glance.
    #[inline]
    #[must_use]
    pub fn may_say(&self, sentence: usize, concepts: &[ConceptId]) -> bool {
        // Many a concept is said nowhere, and would share its bit with one that is.
        let said = concepts.iter().filter(|&&one| self.anywhere(one));
        let bits = said.fold(0, |all, &one| all | bit(one));
        if bits == 0 {
            return false;
        }
        let set = self.sets.get(sentence).map(|&set| set as usize);
        let said = set.and_then(|set| self.said.get(set));
        said.is_some_and(|said| said & bits != 0)
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

    /// Whether the document says the concept.
    #[inline]
    #[must_use]
    pub fn anywhere(&self, concept: ConceptId) -> bool {
        let (word, bit) = exact(concept);
        self.anywhere.get(word).is_some_and(|word| word & bit != 0)
    }

    /// The hits that say the concept, in reading order.
    pub fn saying_anywhere(&self, concept: ConceptId) -> impl Iterator<Item = Hit> {
        let sentences = if self.anywhere(concept) {
            self.sets.len()
        } else {
            0
        };
        (0..sentences).flat_map(move |sentence| self.saying(sentence, concept))
    }

    /// How many hits there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.count
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Builder;

    fn lexicon() -> Lexicon {
        let mut builder = Builder::default();
        for (concept, entry) in [
            ("cable", "cable"),
            ("cable", "lead"),
            ("sound", "bright .. lead"),
        ] {
            builder.add(concept, entry).expect("a good entry");
        }
        for (list, entry) in [("noun", "lead"), ("noun", "anna's"), ("verb", "hums")] {
            builder.list(list, entry).expect("a good entry");
        }
        builder.build()
    }

    fn spans(texts: &[&str]) -> (String, Vec<Span>) {
        let mut all = String::new();
        let mut spans = Vec::new();
        for text in texts {
            spans.push(Span::new(all.len(), all.len() + text.len()));
            all.push_str(text);
        }
        (all, spans)
    }

    #[test]
    fn hits_of_short_and_of_endless_sentences_come_back_as_they_were_found() {
        let lexicon = lexicon();
        let words = "a cable, a bright lead ".repeat(400);
        let far = format!("cable{}lead", " ".repeat(70_000));
        let (text, sentences) = spans(&["A bright new lead. ", &words, "None. ", &far, "Lead."]);
        let hits = Hits::read(&lexicon, &text, sentences.iter().copied());
        let mut memory = Memory::default();
        let mut count = 0;
        for (index, &sentence) in sentences.iter().enumerate() {
            let mut found = Vec::new();
            lexicon.find(&text, sentence, &mut memory, &mut found);
            assert_eq!(hits.of(index).iter().collect::<Vec<_>>(), found);
            assert_eq!(hits.of(index).len(), found.len());
            assert_eq!(hits.of(index).get(1), found.get(1).copied());
            count += found.len();
            for name in ["cable", "sound"] {
                let concept = lexicon.id(name).expect("the concept");
                let own = found.iter().filter(|hit| hit.concept == concept).copied();
                let own: Vec<Hit> = own.collect();
                assert_eq!(hits.saying(index, concept).collect::<Vec<_>>(), own);
                let any = hits.saying_any(index, std::slice::from_ref(&concept));
                assert_eq!(any.collect::<Vec<_>>(), own);
                let placed = hits.placed_any(index, std::slice::from_ref(&concept));
                let there = |(at, hit)| {
                    assert_eq!(found.get(at), Some(&hit));
                    hit
                };
                assert_eq!(placed.map(there).collect::<Vec<_>>(), own);
                assert_eq!(hits.say(index, concept), !own.is_empty());
            }
            let both = ["cable", "sound"].map(|name| lexicon.id(name).expect("the concept"));
            let any: Vec<Hit> = hits.saying_any(index, &both).collect();
            assert_eq!(any, found, "in order, each once");
        }
        assert_eq!(hits.count(), count);
        assert!(count > 1_200);
        assert!(hits.of(sentences.len()).is_empty());
        let sound = lexicon.id("sound").expect("the concept");
        assert_eq!(hits.saying_anywhere(sound).count(), 401);
        assert!(hits.anywhere(sound) && !hits.anywhere(ConceptId(u16::MAX)));
    }

    #[test]
    fn a_sentence_tells_of_which_lists_it_may_have_words() {
        let lexicon = lexicon();
        let (text, sentences) =
            spans(&["The Lead's end. ", "Anna’s, ANNA'S. ", "It hums. ", "No."]);
        let (noun, verb, none) = (
            lexicon.list("noun"),
            lexicon.list("verb"),
            lexicon.list("none"),
        );
        let asked = [noun, verb];
        let hits = Hits::read_asked(&lexicon, &text, sentences.iter().copied(), &asked);
        let told = |list| (0..4).map(|at| hits.may_list(at, list)).collect::<Vec<_>>();
        assert_eq!(told(noun), [true, true, false, false]);
        assert_eq!(told(verb), [false, false, true, false]);
        // Of one that was not asked for nothing is known.
        assert_eq!(told(none), [true; 4]);
        let unasked = Hits::read(&lexicon, &text, sentences);
        assert!(unasked.may_list(3, noun));
    }
}
