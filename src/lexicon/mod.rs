//! Concepts and the words by which they can be said: one matcher for all word lists of all rules and of the facts.
//!
//! A concept is a list of entries; an entry is one or more words in order:
//!
//! | entry | matches |
//! | --- | --- |
//! | `frozen` | that word, in any case |
//! | `freez*` | every word that begins so |
//! | `liquid nitrogen` | the words in a row; a hyphen counts as a blank, here and in the text |
//! | `turn* .. round` | up to three words between |
//! | `turn* ... round` | up to seven words between |
//! | `ordinary|plain lead|leads` | one word of each part: ordinary lead, ordinary leads, plain lead, plain leads |
//! | `=Cca` | that word so written, which is then no word of another spelling |
//! | `minus <n>` | `<n>` is any number, in digits or in words |
//!
//! A possessive `'s` is dropped from words of the text. The text is walked once, whatever the number of concepts.
//! Beside them are lists in which a word is looked up, without a walk ([`List`]). Knows nothing of what the concepts and lists are for.

mod compile;
mod hits;
mod lists;
mod pack;
mod tokens;
mod walk;
mod words;

pub use compile::{BadEntry, Builder};
pub use hits::{Each, Hits, Of};
pub use lists::List;
pub(crate) use lists::{among, lists};
pub(crate) use tokens::is_number;
pub use tokens::{Token, tokenize};
pub(crate) use tokens::{is_lowered, lowered, write_lowered};
pub use walk::Memory;

use crate::pack::{Row, number};
use crate::span::Span;

/// Number of a concept in a [`Lexicon`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ConceptId(pub u16);

/// A place where a concept is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hit {
    /// The concept.
    pub concept: ConceptId,
    /// The words.
    pub span: Span,
    /// Index of the first word in its sentence.
    pub first: usize,
    /// Index of the last word in its sentence.
    pub last: usize,
}

type NodeId = u32;
type Symbol = u32;

/// Most words between the parts of an entry joined by `..` and by `...`.
const SHORT_GAP: u8 = 3;
const LONG_GAP: u8 = 7;

/// A step from one word of an entry to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Edge {
    symbol: Symbol,
    /// The next node, and in the low bits how many words may stand before it.
    step: u32,
}

impl Edge {
    const GAP_BITS: u32 = 4;
    /// Symbols are fewer than fit in so many, and nodes fewer than fit in three bytes.
    const SYMBOL_BITS: u32 = 20;

    fn new(symbol: Symbol, gap: u8, next: NodeId) -> Self {
        Self {
            symbol,
            step: next << Self::GAP_BITS | u32::from(gap),
        }
    }

    fn leading_to(self, next: NodeId) -> Self {
        let gap = self.step & ((1 << Self::GAP_BITS) - 1);
        Self {
            step: next << Self::GAP_BITS | gap,
            ..self
        }
    }

    #[inline]
    fn of(&[a, b, c, d, e, f]: &[u8; 6]) -> Self {
        let head = u32::from_le_bytes([a, b, c, 0]);
        let next = u32::from_le_bytes([d, e, f, 0]);
        Self {
            symbol: head & ((1 << Self::SYMBOL_BITS) - 1),
            step: next << Self::GAP_BITS | head >> Self::SYMBOL_BITS,
        }
    }

    /// The symbol and the words between in three bytes, and the next node in three.
    fn bytes(self) -> [u8; 6] {
        let gap = self.step & ((1 << Self::GAP_BITS) - 1);
        let [a, b, c, _] = (self.symbol | gap << Self::SYMBOL_BITS).to_le_bytes();
        let [d, e, f, _] = self.next().to_le_bytes();
        [a, b, c, d, e, f]
    }

    /// How many words may stand before it.
    fn gap(self) -> usize {
        (self.step & ((1 << Self::GAP_BITS) - 1)) as usize
    }

    fn next(self) -> NodeId {
        self.step >> Self::GAP_BITS
    }
}

/// A node with so many edges or more has them by symbol as well: with “the” some thousand entries begin.
const MANY_EDGES: usize = 48;

/// A node with many edges, and where these begin by symbol.
#[derive(Debug, Clone, Copy)]
struct Many {
    node: NodeId,
    start: u32,
}

impl Many {
    fn of(&[a, b, c, d, e, f, g, h]: &[u8; 8]) -> Self {
        Self {
            node: u32::from_le_bytes([a, b, c, d]),
            start: u32::from_le_bytes([e, f, g, h]),
        }
    }

    fn bytes(self) -> [u8; 8] {
        let [a, b, c, d] = self.node.to_le_bytes();
        let [e, f, g, h] = self.start.to_le_bytes();
        [a, b, c, d, e, f, g, h]
    }
}

/// A symbol with which no entry begins.
const NO_NODE: NodeId = NodeId::MAX;

/// All concepts, compiled: a trie over words in flat arrays.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Lexicon {
    /// Names of concepts, by number.
    names: words::Words,
    /// Whole words.
    words: words::Words,
    /// Stems, without their `*`.
    stems: words::Words,
    /// Lengths in bytes that a stem can have, ascending.
    stem_lengths: Row<4>,
    number: Option<Symbol>,
    /// First node by symbol, or [`NO_NODE`].
    roots: Row<4>,
    /// Where the edges of a node begin; one more than there are nodes.
    edge_starts: Row<4>,
    /// As [`Edge::bytes`] has them.
    edges: Row<6>,
    /// For each node with many edges, in order, their places in it by symbol and then in order.
    by_symbol: Row<4>,
    /// The nodes with many edges, in order, each with where its places begin there, as [`Many::bytes`] has them.
    many: Row<8>,
    /// Where the concepts that end in a node begin; one more than there are nodes.
    end_starts: Row<4>,
    ends: Row<2>,
    lists: lists::Lists,
}

/// The part of `all` that belongs to `node`.
#[inline]
fn part<'p, T>(all: &'p [T], starts: &[[u8; 4]], node: NodeId) -> &'p [T] {
    let node = node as usize;
    let (Some(start), Some(end)) = (number(starts, node), number(starts, node + 1)) else {
        return &[];
    };
    all.get(start as usize..end as usize).unwrap_or(&[])
}

impl Lexicon {
    /// Number of the concept called `name`.
    #[must_use]
    pub fn id(&self, name: &str) -> Option<ConceptId> {
        let id = self.names.get(name)?;
        u16::try_from(id).ok().map(ConceptId)
    }

    /// Name of a concept.
    #[must_use]
    pub fn name(&self, id: ConceptId) -> &str {
        self.names.word(u32::from(id.0))
    }

    /// Number of concepts.
    #[must_use]
    pub fn len(&self) -> usize {
        self.names.entries.len()
    }

    /// Whether there is no concept.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.names.entries.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(entries: &[(&str, &[&str])], text: &str) -> Vec<(String, String)> {
        let mut builder = Builder::default();
        for (name, words) in entries {
            for word in *words {
                builder.add(name, word).expect("a good entry");
            }
        }
        let lexicon = builder.build();
        let mut hits = Vec::new();
        lexicon.find(
            text,
            Span::new(0, text.len()),
            &mut Memory::default(),
            &mut hits,
        );
        hits.iter()
            .map(|hit| {
                (
                    lexicon.name(hit.concept).to_owned(),
                    hit.span.of(text).to_owned(),
                )
            })
            .collect()
    }

    fn owned(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        pairs
            .iter()
            .map(|(name, quote)| ((*name).to_owned(), (*quote).to_owned()))
            .collect()
    }

    #[test]
    fn words_stems_phrases_gaps_and_numbers() {
        let entries: &[(&str, &[&str])] = &[
            (
                "cold",
                &["freez*", "frozen", "liquid nitrogen", "minus <n>"],
            ),
            ("swap", &["turn* .. round"]),
        ];
        assert_eq!(
            found(entries, "Deep-frozen in LIQUID\nnitrogen at minus 190."),
            owned(&[
                ("cold", "frozen"),
                ("cold", "LIQUID\nnitrogen"),
                ("cold", "minus 190")
            ])
        );
        assert_eq!(
            found(entries, "Turn the lead's ends round."),
            owned(&[("swap", "Turn the lead's ends round")])
        );
        assert_eq!(
            found(entries, "Turn to page nine and then come round."),
            owned(&[])
        );
        assert_eq!(
            found(entries, "minus twenty"),
            owned(&[("cold", "minus twenty")])
        );
    }

    #[test]
    fn words_to_choose_from() {
        let entries: &[(&str, &[&str])] = &[("rival", &["ordinary|plain* .. lead|leads|wir*"])];
        assert_eq!(
            found(
                entries,
                "Plainer, thinner wiring and, to be fair, an ordinary lead; plain soup; led."
            ),
            owned(&[
                ("rival", "Plainer, thinner wiring"),
                ("rival", "ordinary lead")
            ])
        );
        let mut builder = Builder::default();
        assert_eq!(builder.add("rival", "ordinary| lead"), Err(BadEntry::Empty));
    }

    #[test]
    fn a_spelling_that_is_another_word() {
        let entries: &[(&str, &[&str])] = &[
            ("clad", &["cca", "cca wire"]),
            ("class", &["=Cca", "class =Cca"]),
        ];
        assert_eq!(
            found(entries, "CCA wire, cca; of class Cca-s1."),
            owned(&[
                ("clad", "CCA"),
                ("clad", "CCA wire"),
                ("clad", "cca"),
                ("class", "class Cca"),
                ("class", "Cca")
            ])
        );
    }

    #[test]
    fn choices_that_multiply_without_end_are_refused() {
        let many = ["a1|a2|a3|a4|a5|a6|a7|a8"; 6].join(" ");
        let mut builder = Builder::default();
        assert_eq!(builder.add("many", &many), Err(BadEntry::TooManyWays));
        assert_eq!(builder.add("none", "a1||a2"), Err(BadEntry::Empty));
    }

    #[test]
    fn possessives_and_contractions() {
        let entries: &[(&str, &[&str])] = &[("cable", &["cable"]), ("not", &["doesn't"])];
        assert_eq!(
            found(entries, "The cable’s end doesn’t care"),
            owned(&[("cable", "cable’s"), ("not", "doesn’t")])
        );
    }
}
