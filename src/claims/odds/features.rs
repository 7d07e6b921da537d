//! What is looked at to tell the odds of a claim: which word lists are said in its sentences and round them, how the sentences are
//! built, and what the document does besides. Knows no rule and no weight.

use super::{Document, stances};
use crate::facts::DocumentKind;
use crate::lexicon::{ConceptId, Hits, Lexicon};
use crate::sheet::{BlockKind, Sheet};
use std::cell::RefCell;
use std::ops::RangeInclusive;

/// Where a word list is said, seen from the sentences in question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// In them.
    Own,
    /// In them or right beside them, lists that tell of no stance.
    Near,
    /// In the sentence before, of the same block.
    Before,
    /// In the sentence behind, of the same block.
    Behind,
    /// In the sentence behind, of another block.
    Below,
    /// Two sentences before, lists of stance.
    Earlier,
    /// Two sentences behind, lists of stance.
    Later,
    /// In what introduces the list that they stand in, lists of stance.
    Lead,
    /// In the heading that they stand under, lists of stance.
    Section,
    /// At the start of the next block, lists that answer.
    Answer,
    /// In the first two sentences of the document, lists of stance.
    Title,
}

impl Place {
    /// All of them, in the order of their numbers.
    pub const ALL: [Self; 11] = [
        Self::Own,
        Self::Near,
        Self::Before,
        Self::Behind,
        Self::Below,
        Self::Earlier,
        Self::Later,
        Self::Lead,
        Self::Section,
        Self::Answer,
        Self::Title,
    ];

    /// Its word in the file of weights.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Own => "own",
            Self::Near => "near",
            Self::Before => "before",
            Self::Behind => "behind",
            Self::Below => "below",
            Self::Earlier => "earlier",
            Self::Later => "later",
            Self::Lead => "lead",
            Self::Section => "section",
            Self::Answer => "answer",
            Self::Title => "title",
        }
    }
}

/// What a sentence or a document is like; each has a small number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Trait {
    /// A question mark, an exclamation mark, a quotation mark in the sentences.
    Mark,
    /// A question mark in the sentence before or behind; a quotation that ends right before the block.
    MarkBeside,
    /// Words of the sentences, as a power of two.
    Length,
    /// The first word, by its place in [`FIRST`].
    First,
    /// Who is spoken of, by the number of the word in `person`.
    Person,
    /// The kind of block.
    Block,
    /// How the block stands: quoted, spoken by somebody, led, headed, its first sentence, before words that are no longer quoted.
    Stands,
    /// The kind of document.
    Document,
    /// Claims that it makes, denies, asks about and reports, by the scope of cues.
    Made,
    /// See [`Self::Made`].
    Denied,
    /// See [`Self::Made`].
    Asked,
    /// See [`Self::Made`].
    Reported,
    /// How many more it makes than it denies, from -4 to 4, and four more.
    Margin,
    /// Sentences of the document, as a power of two.
    Sentences,
}

impl Trait {
    /// All of them, in the order of their numbers.
    pub const ALL: [Self; 14] = [
        Self::Mark,
        Self::MarkBeside,
        Self::Length,
        Self::First,
        Self::Person,
        Self::Block,
        Self::Stands,
        Self::Document,
        Self::Made,
        Self::Denied,
        Self::Asked,
        Self::Reported,
        Self::Margin,
        Self::Sentences,
    ];

    /// Its word in the file of weights.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Mark => "mark",
            Self::MarkBeside => "mark-beside",
            Self::Length => "length",
            Self::First => "first-word",
            Self::Person => "person",
            Self::Block => "block",
            Self::Stands => "stands",
            Self::Document => "document",
            Self::Made => "claims-made",
            Self::Denied => "claims-denied",
            Self::Asked => "claims-asked",
            Self::Reported => "claims-reported",
            Self::Margin => "margin",
            Self::Sentences => "sentences",
        }
    }
}

/// First words that tell how a sentence goes on.
const FIRST: [&str; 13] = [
    "no", "not", "but", "so", "it", "that", "this", "if", "we", "i", "you", "they", "yes",
];

/// Words that tell who speaks and of whom, by number.
fn person(word: &str) -> Option<u8> {
    let mut small = [0_u8; 5];
    let small = small.get_mut(..word.len())?;
    small.copy_from_slice(word.as_bytes());
    small.make_ascii_lowercase();
    Some(match &*small {
        b"we" => 0,
        b"our" => 1,
        b"i" => 2,
        b"my" => 3,
        b"you" => 4,
        b"your" => 5,
        b"they" => 6,
        b"their" => 7,
        b"he" => 8,
        b"she" => 9,
        b"his" => 10,
        b"her" => 11,
        b"said" => 12,
        b"says" => 13,
        b"us" => 14,
        _ => return None,
    })
}

/// A word without the signs round it.
fn bare(word: &str) -> &str {
    word.trim_matches(|sign: char| !sign.is_ascii_alphabetic())
}

/// One thing that is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Feature {
    /// A word list is said there.
    Said(Place, ConceptId),
    /// A sentence or the document is like that.
    Is(Trait, u8),
}

impl Feature {
    /// Its name in the file of weights.
    #[must_use]
    pub fn name(self, lexicon: &Lexicon) -> String {
        match self {
            Self::Said(place, concept) => format!("{}:{}", place.word(), lexicon.name(concept)),
            Self::Is(own, value) => format!("{}={value}", own.word()),
        }
    }
}

/// What a word list is to the reader of features.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum List {
    Other,
    Stance,
    /// Of stance, and at the start of a block it answers the one before.
    Answer,
}

/// The word lists of a rulebook, as the reader of features knows them.
#[derive(Debug)]
pub(super) struct Known(Vec<List>);

impl Known {
    pub(super) fn new(lexicon: &Lexicon) -> Self {
        const ANSWERS: [&str; 4] = ["affirm", "yes", "agree", "contrast"];
        let list = |at: usize| {
            let id = u16::try_from(at).map_or(ConceptId(u16::MAX), ConceptId);
            match lexicon.name(id).strip_prefix("stance.") {
                None => List::Other,
                Some(own) if own.starts_with("deny") || ANSWERS.contains(&own) => List::Answer,
                Some(_) => List::Stance,
            }
        };
        Self((0..lexicon.len()).map(list).collect())
    }

    fn of(&self, concept: ConceptId) -> List {
        let own = self.0.get(usize::from(concept.0));
        own.copied().unwrap_or(List::Other)
    }
}

/// How many claims of each stance a document has by the scope of cues.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stances {
    pub(super) made: usize,
    pub(super) denied: usize,
    pub(super) asked: usize,
    pub(super) reported: usize,
}

/// The features of one document.
#[derive(Debug)]
pub(super) struct Reading<'d> {
    sheet: &'d Sheet,
    hits: &'d Hits,
    known: &'d Known,
    /// What holds for all its sentences.
    document: Vec<Feature>,
    /// The word lists of the sentences that were looked at last, each once: a sentence is looked at for itself and for its neighbours.
    lists: [RefCell<(usize, Vec<ConceptId>)>; LATELY],
}

/// So many sentences are looked at together, and some more.
const LATELY: usize = 8;

/// Sentences of a heading or a lead that are looked at, and word lists of each.
const HEADING: usize = 4;
/// See [`HEADING`].
const HEADING_HITS: usize = 64;

impl<'d> Reading<'d> {
    pub(super) fn new(document: &Document<'d>, known: &'d Known) -> Self {
        let &Document {
            sheet, hits, kind, ..
        } = document;
        let stances = stances(document.claims);
        let few = |count: usize, most: u8| u8::try_from(count).map_or(most, |own| own.min(most));
        let margin = few(stances.made.saturating_sub(stances.denied), 4) + 4
            - few(stances.denied.saturating_sub(stances.made), 4);
        let kind = match kind {
            DocumentKind::Sheet => 0,
            DocumentKind::Comparison => 1,
            DocumentKind::Range => 2,
            DocumentKind::Chart => 3,
            DocumentKind::Article => 4,
        };
        let mut document = vec![
            Feature::Is(Trait::Document, kind),
            Feature::Is(Trait::Made, few(stances.made, 4)),
            Feature::Is(Trait::Denied, few(stances.denied, 4)),
            Feature::Is(Trait::Asked, few(stances.asked, 3)),
            Feature::Is(Trait::Reported, few(stances.reported, 3)),
            Feature::Is(Trait::Margin, margin),
            Feature::Is(Trait::Sentences, log2(1 + sheet.sentences.len())),
        ];
        for at in 0..sheet.sentences.len().min(2) {
            for hit in hits.of(at).iter().take(HEADING_HITS) {
                if known.of(hit.concept) != List::Other {
                    document.push(Feature::Said(Place::Title, hit.concept));
                }
            }
        }
        document.sort_unstable();
        document.dedup();
        Self {
            sheet,
            hits,
            known,
            document,
            lists: [const { RefCell::new((usize::MAX, Vec::new())) }; LATELY],
        }
    }

    /// Tells `see` each word list that is said in a sentence.
    fn each_list(&self, at: usize, mut see: impl FnMut(ConceptId)) {
        let Some(slot) = self.lists.get(at % LATELY) else {
            return;
        };
        let mut slot = slot.borrow_mut();
        let (known, lists) = &mut *slot;
        if *known != at {
            *known = at;
            lists.clear();
            lists.extend(self.hits.of(at).iter().map(|hit| hit.concept));
            lists.sort_unstable();
            lists.dedup();
        }
        lists.iter().copied().for_each(&mut see);
    }

    fn block(&self, at: usize) -> Option<usize> {
        self.sheet.sentences.get(at).map(|own| own.block())
    }

    fn words(&self, at: usize) -> &'d str {
        let own = self.sheet.sentences.get(at);
        own.map_or("", |own| own.span.of(self.sheet.flow.text()))
    }

    /// The features that all sentences of the document share.
    pub(super) fn document(&self) -> &[Feature] {
        &self.document
    }

    /// Tells `see` each other feature of the sentences, some of them more than once.
    pub(super) fn visit(&self, core: RangeInclusive<usize>, mut see: impl FnMut(Feature)) {
        let (first, last) = (*core.start(), *core.end());
        let stance = |concept: ConceptId| self.known.of(concept) != List::Other;
        for at in core.clone() {
            self.each_list(at, |list| {
                see(Feature::Said(Place::Own, list));
                if !stance(list) {
                    see(Feature::Said(Place::Near, list));
                }
            });
        }
        let mut beside = |at: usize, place: Place| {
            self.each_list(at, |list| {
                see(Feature::Said(place, list));
                if !stance(list) {
                    see(Feature::Said(Place::Near, list));
                }
            });
        };
        if first > 0 && self.block(first - 1) == self.block(first) {
            beside(first - 1, Place::Before);
        }
        let count = self.sheet.sentences.len();
        if last + 1 < count {
            let same = self.block(last + 1) == self.block(last);
            beside(last + 1, if same { Place::Behind } else { Place::Below });
        }
        let mut further = |at: usize, place: Place| {
            self.each_list(at, |list| {
                if stance(list) {
                    see(Feature::Said(place, list));
                }
            });
        };
        if first > 1 {
            further(first - 2, Place::Earlier);
        }
        if last + 2 < count {
            further(last + 2, Place::Later);
        }
        self.visit_words(&core, &mut see);
        self.visit_block(first, &mut see);
    }

    /// How the sentences are built.
    fn visit_words(&self, core: &RangeInclusive<usize>, see: &mut impl FnMut(Feature)) {
        const QUOTES: [char; 5] = ['"', '“', '”', '‘', '«'];
        let (first, last) = (*core.start(), *core.end());
        let asks = |at: usize| memchr::memchr(b'?', self.words(at).as_bytes()).is_some();
        let (mut length, mut start) = (0_usize, true);
        for at in core.clone() {
            let words = self.words(at);
            for (number, held) in [
                asks(at),
                memchr::memchr(b'!', words.as_bytes()).is_some(),
                words.contains(QUOTES),
            ]
            .into_iter()
            .enumerate()
            {
                if held {
                    see(Feature::Is(Trait::Mark, u8::try_from(number).unwrap_or(0)));
                }
            }
            for word in words.split_whitespace() {
                length += 1;
                if std::mem::take(&mut start) {
                    let bare = bare(word);
                    let at = FIRST.iter().position(|own| own.eq_ignore_ascii_case(bare));
                    if let Some(at) = at.and_then(|at| u8::try_from(at).ok()) {
                        see(Feature::Is(Trait::First, at));
                    }
                }
                // The longest of them, and a sign on either side.
                if word.len() <= 7
                    && let Some(at) = person(bare(word))
                {
                    see(Feature::Is(Trait::Person, at));
                }
            }
        }
        see(Feature::Is(Trait::Length, log2(1 + length)));
        if last + 1 < self.sheet.sentences.len() && asks(last + 1) {
            see(Feature::Is(Trait::MarkBeside, 1));
        }
        if let Some(before) = first.checked_sub(1) {
            if asks(before) {
                see(Feature::Is(Trait::MarkBeside, 0));
            }
            let ends = self.words(before).trim_end_matches(['.', ' ', '\n', '!']);
            if self.block(before) != self.block(first) && ends.ends_with(['"', '”', '»']) {
                see(Feature::Is(Trait::MarkBeside, 2));
            }
        }
    }

    /// How their block stands.
    fn visit_block(&self, first: usize, see: &mut impl FnMut(Feature)) {
        let own = self.block(first).and_then(|at| self.sheet.blocks.get(at));
        let Some(own) = own else {
            return;
        };
        let kind = match own.kind() {
            BlockKind::Heading { .. } => 0,
            BlockKind::Field => 1,
            BlockKind::Cell { .. } => 2,
            BlockKind::Item => 3,
            BlockKind::Paragraph => 4,
        };
        see(Feature::Is(Trait::Block, kind));
        let sentences = own.sentences();
        let behind = self.block(sentences.end);
        let behind_quoted = behind
            .and_then(|at| self.sheet.blocks.get(at))
            .map(|block| block.quoted());
        for (number, held) in [
            own.quoted(),
            own.speaker().is_some(),
            own.lead().is_some(),
            own.section().is_some(),
            first == sentences.start,
            own.quoted() && behind_quoted == Some(false),
        ]
        .into_iter()
        .enumerate()
        {
            if held {
                let number = u8::try_from(number).unwrap_or(0);
                see(Feature::Is(Trait::Stands, number));
            }
        }
        for (place, at) in [(Place::Lead, own.lead()), (Place::Section, own.section())] {
            let above = at.and_then(|at| self.sheet.blocks.get(at));
            let above = above.map_or(0..0, |block| block.sentences());
            for at in above.take(HEADING) {
                for hit in self.hits.of(at).iter().take(HEADING_HITS) {
                    if self.known.of(hit.concept) != List::Other {
                        see(Feature::Said(place, hit.concept));
                    }
                }
            }
        }
        if behind.is_some() {
            for hit in self.hits.of(sentences.end).iter().take(HEADING_HITS) {
                if self.known.of(hit.concept) == List::Answer {
                    see(Feature::Said(Place::Answer, hit.concept));
                }
            }
        }
    }
}

/// The whole part of the logarithm to base two.
fn log2(number: usize) -> u8 {
    u8::try_from(number.max(1).ilog2()).unwrap_or(u8::MAX)
}
