//! The words by which a story means a side, sentence by sentence, and which of them it says of one side: “in the parlour hung the
//! Weave” makes the parlour and the Weave one. Knows no amounts.

use crate::facts::comparison::anchors::{Anchor, Kind};
use crate::facts::comparison::gear::given::{Key, Term, apart, certainly_two, terms_in};
use crate::facts::comparison::gear::pieces::{Family, pieces_of};
use crate::facts::comparison::placed;
use crate::facts::comparison::twice::sized;
use crate::facts::count;
use crate::facts::procedure;
use crate::facts::read::Reader;
use crate::facts::types::Trait;
use crate::lexicon::{Token, lowered, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;
use std::ops::Range;

/// Sentences before a figure in which its side can be named.
const BEFORE: usize = 5;
/// Times that one name leads to another.
const STEPS: usize = 4;

/// The words for sides of a story.
#[derive(Debug, Default)]
pub(super) struct Words {
    /// Those of each sentence.
    terms: Vec<Vec<Term>>,
    /// Names of one side each.
    links: Vec<Vec<Key>>,
    /// Gear that is said to be that of all.
    shared: Vec<(usize, Family)>,
}

impl Words {
    /// Reads them.
    pub(super) fn read(reader: &Reader<'_>, anchors: &[Anchor]) -> Self {
        let mut all = Self::default();
        let mut tokens: Vec<Token> = Vec::new();
        let text = reader.text();
        for (sentence, own) in reader.sheet.sentences.iter().enumerate() {
            let block = &reader.sheet.blocks[own.block()];
            if reader.endless(sentence) || matches!(block.kind(), BlockKind::Cell { .. }) {
                all.terms.push(Vec::new());
                continue;
            }
            tokenize(text, own.span, &mut tokens);
            let words = lowered(text, &tokens);
            let pieces = pieces_of(reader, sentence, &tokens, &words);
            let asked = procedure::asked(reader, sentence);
            let shared = pieces.iter().filter(|piece| piece.shared && !asked);
            all.shared
                .extend(shared.map(|piece| (sentence, piece.family)));
            let gear: Vec<Span> = pieces.iter().map(|piece| piece.span).collect();
            let mut terms = terms_in(reader, sentence, &tokens, &words, anchors, &gear);
            let mut own: Vec<Term> = places(reader, &tokens, &words);
            own.extend(plain(reader, &tokens, &words));
            own.extend(contracted(reader, &tokens, &words));
            for term in own {
                let of_gear = gear.iter().any(|piece| piece.overlaps(term.span));
                let known = terms.iter_mut().find(|one| one.span.overlaps(term.span));
                match known {
                    Some(known) => known.keys.extend(term.keys),
                    None if !of_gear => terms.push(term),
                    None => {}
                }
            }
            for term in &mut terms {
                sift(reader, term);
            }
            terms.retain(|term| !term.keys.is_empty());
            terms.sort_by_key(|term| term.span.start());
            all.terms.push(terms);
        }
        all.link(reader);
        all.persons(reader);
        all
    }

    /// The words for a side in a sentence.
    pub(super) fn of(&self, sentence: usize) -> &[Term] {
        self.terms.get(sentence).map_or(&[], Vec::as_slice)
    }

    /// Whether gear of a kind is said to be one for all.
    pub(super) fn shared(&self, of: Trait, range: &Range<usize>) -> bool {
        let family = match of {
            Trait::Load => Family::Speaker,
            Trait::Lamp => Family::Lamp,
            Trait::Power => Family::Amplifier,
            Trait::Voltage => Family::Supply,
            Trait::Size | Trait::Length => return false,
        };
        let mut shared = self.shared.iter();
        shared.any(|(at, shared)| range.contains(at) && *shared == family)
    }

    /// Learns which words are said of one side.
    fn link(&mut self, reader: &Reader<'_>) {
        /// Bytes between a place and what is there.
        const NEAR: usize = 60;
        let text = reader.text();
        for terms in &self.terms {
            for pair in terms.windows(2) {
                let [one, other] = pair else { continue };
                let between = text
                    .get(one.span.end()..other.span.start())
                    .unwrap_or("")
                    .to_lowercase();
                let parted = between.contains([';', ':', '.', '('])
                    || between.len() > NEAR
                    || [
                        " while ",
                        " whereas ",
                        " but ",
                        " than ",
                        " and ",
                        " against ",
                    ]
                    .iter()
                    .any(|word| between.contains(word));
                let two = [one, other].iter().any(|term| clash(&term.keys));
                if parted || two {
                    continue;
                }
                let equal = ["is", "are", "was", "were", "at"];
                let told = between.trim().trim_end_matches(" the").trim();
                // "My Ferndyke, the eight-strand braid."
                let named = [", the ", ", a ", ", an ", ", our ", ", my "]
                    .iter()
                    .find_map(|article| between.strip_prefix(article))
                    .is_some_and(|rest| !rest.contains(','))
                    && other
                        .keys
                        .iter()
                        .all(|key| matches!(key, Key::Made(_) | Key::Called(_)));
                let equated = equal.contains(&told) || named;
                let (here, there) = (placing(&one.keys), placing(&other.keys));
                let within = here != there && (here || !between.contains(','));
                // "The parlour at the front" is one place.
                let one_place = here && there && equated;
                let apart = !one_place && apart(&one.keys, &other.keys);
                if (equated || within) && !apart {
                    let mut keys = one.keys.clone();
                    keys.extend(other.keys.iter().cloned());
                    self.links.push(keys);
                }
            }
        }
    }

    /// “I run a hundred watts, he's still on the little one”: who has one of the cables by the word for him, where two do.
    fn persons(&mut self, reader: &Reader<'_>) {
        let owner = |pole: &str| Key::Anchor(Kind::Owner, pole.to_owned());
        let has = |key: &Key| {
            self.links.iter().any(|keys| keys.contains(key))
                || self
                    .terms
                    .iter()
                    .flatten()
                    .any(|term| term.keys.contains(key))
        };
        let (mine, third) = (owner(MINE), owner(THIRD));
        if !has(&mine) || !has(&third) {
            return;
        }
        let text = reader.text();
        let having = reader.terms.lists.story_having;
        let mut tokens: Vec<Token> = Vec::new();
        for (sentence, own) in reader.sheet.sentences.iter().enumerate() {
            if reader.endless(sentence) || reader.in_sentence(sentence).is_empty() {
                continue;
            }
            tokenize(text, own.span, &mut tokens);
            let words = lowered(text, &tokens);
            for (at, word) in words.iter().enumerate() {
                let word = word.replace('’', "'");
                let (bare, short) = word.split_once('\'').map_or((word.as_str(), ""), |it| it);
                let key = match (bare, short) {
                    ("i", "" | "m" | "ve") => &mine,
                    ("he" | "she", "" | "s") => &third,
                    _ => continue,
                };
                let has = words.get(at + 1).is_some_and(|next| having.has(next));
                if has && let Some(terms) = self.terms.get_mut(sentence) {
                    terms.push(Term {
                        span: tokens[at].span,
                        keys: vec![key.clone()],
                    });
                    terms.sort_by_key(|term| term.span.start());
                }
            }
        }
    }

    /// All that a side goes by.
    pub(super) fn closed(&self, keys: &[Key]) -> Vec<Key> {
        let mut all: Vec<Key> = keys.to_vec();
        for _ in 0..STEPS {
            let before = all.len();
            let terms = self.terms.iter().flatten();
            let known = terms.map(|term| &term.keys).filter(|keys| !clash(keys));
            for keys in known.chain(&self.links) {
                if keys
                    .iter()
                    .any(|key| *key != Key::Others && all.contains(key))
                {
                    for key in keys {
                        // Which is the other changes with what was told before.
                        if *key != Key::Others && !all.contains(key) {
                            all.push(key.clone());
                        }
                    }
                }
            }
            if all.len() == before {
                break;
            }
        }
        all
    }

    /// Whether what two sides go by means two cables, and not places alone.
    pub(super) fn cables(&self, reader: &Reader<'_>, one: &[Key], other: &[Key]) -> bool {
        let cable = |keys: &[Key]| {
            keys.iter().any(|key| match key {
                Key::Entry(entry) => !placed(reader, *entry) && !sized(reader, *entry),
                Key::Called(word) => !reader.terms.lists.gear_metal.has(word),
                Key::Place(_) | Key::All | Key::Others | Key::Untold | Key::Titled(_) => false,
                Key::Anchor(kind, _) => *kind != Kind::PLACE,
                _ => true,
            })
        };
        let rest = |keys: &[Key]| keys.contains(&Key::Others);
        (cable(one) || rest(one)) && (cable(other) || rest(other)) && (cable(one) || cable(other))
    }

    /// Whether a side that goes by its owner is heard or linked somewhere else, as a cable is.
    pub(super) fn heard(&self, reader: &Reader<'_>, side: &[Key], told: &[usize]) -> bool {
        let terms = reader.terms;
        let sound = [terms.sound, terms.strong, terms.better];
        self.links
            .iter()
            .any(|keys| !placing(keys) && keys.iter().any(|key| side.contains(key)))
            || self.terms.iter().enumerate().any(|(at, own)| {
                !told.contains(&at)
                    && sound.iter().any(|&concept| reader.hits.say(at, concept))
                    && own
                        .iter()
                        .any(|term| term.keys.iter().any(|key| side.contains(key)))
            })
    }

    /// The side that the sentence before a sentence without words for one speaks of.
    pub(super) fn carried(&self, reader: &Reader<'_>, sentence: usize) -> Option<&Term> {
        let block = |at: usize| reader.sheet.sentences[at].block();
        let kind = |at: usize| reader.sheet.blocks[block(at)].kind();
        for before in (sentence.saturating_sub(BEFORE)..sentence).rev() {
            if block(sentence) - block(before) > 1
                || matches!(
                    kind(before),
                    BlockKind::Heading { .. } | BlockKind::Cell { .. }
                )
                || !reader.facts.setup.one_voice(before, sentence)
            {
                return None;
            }
            let terms = self.of(before);
            let Some(last) = terms.last() else { continue };
            let alone = terms.iter().all(|term| {
                let (one, other) = (self.closed(&term.keys), self.closed(&last.keys));
                let shared = one.iter().any(|key| other.contains(key));
                let rest = term.keys.contains(&Key::Others) != last.keys.contains(&Key::Others);
                (shared || !apart(&one, &other)) && !rest
            });
            return alone.then_some(last);
        }
        None
    }

    /// The side that the next sentence joins with what this one tells of: “on went the plait with it”.
    pub(super) fn taken_up(&self, reader: &Reader<'_>, sentence: usize) -> Option<&Term> {
        let next = sentence + 1;
        let own = reader.sheet.sentences.get(next)?;
        if own.block() != reader.sheet.sentences[sentence].block() {
            return None;
        }
        let terms = self.of(next);
        let last = terms.last()?;
        let words = own.span.of(reader.text()).to_lowercase();
        let joined = [
            "with it",
            "on it",
            "through it",
            "to it",
            "from it",
            "off it",
        ]
        .iter()
        .any(|words_of| {
            words.match_indices(words_of).any(|(at, found)| {
                let rest = &words[at + found.len()..];
                !rest.starts_with(char::is_alphabetic)
            })
        });
        let alone = terms.iter().all(|term| !apart(&term.keys, &last.keys));
        (joined && alone).then_some(last)
    }

    /// A number without a unit, behind a word for how much it is, in a sentence of a side.
    pub(super) fn bare_number(
        &self,
        reader: &Reader<'_>,
        sentence: usize,
        after: Span,
    ) -> Option<(f64, Span)> {
        let text = reader.text();
        let lists = reader.terms.lists;
        let own = reader.sheet.sentences[sentence].span;
        if reader.endless(sentence) || self.of(sentence).is_empty() {
            return None;
        }
        let mut tokens: Vec<Token> = Vec::new();
        tokenize(text, own, &mut tokens);
        let words = lowered(text, &tokens);
        (1..tokens.len()).find_map(|at| {
            let span = tokens[at].span;
            if span.start() < after.end()
                || reader
                    .in_sentence(sentence)
                    .any(|index| reader.sheet.quantities[index].span.overlaps(span))
                || !lists.story_measure.has(&words[at - 1])
                // "Open at four."
                || words[at - 1] == "at" && !(at > 1 && words[at - 2] == "rated")
            {
                return None;
            }
            let number = words[at]
                .parse::<u32>()
                .ok()
                .or_else(|| count::small(&reader.terms, &words[at]))
                .filter(|number| (2..=500).contains(number))?;
            let rest = text.get(span.end()..own.end()).unwrap_or("");
            let ends = rest.is_empty()
                || rest.starts_with([',', ';', ' ', '!', ')'])
                    && (!rest.starts_with(' ') || rest.starts_with(" on the "))
                || rest.starts_with('.')
                    && !rest[1..].starts_with(|sign: char| sign.is_ascii_digit());
            ends.then(|| (f64::from(number), span))
        })
    }
}

/// Leaves out what means no side: a metal, and what something is like. What stands on the left is told by the words of the story.
fn sift(reader: &Reader<'_>, term: &mut Term) {
    let lists = reader.terms.lists;
    let text = reader.text();
    let words = term.span.of(text).to_lowercase();
    let placed = words
        .split(|letter: char| !letter.is_alphabetic())
        .any(|word| lists.contrast_place.has(word));
    let ahead = text.get(..term.span.start()).unwrap_or("");
    let start = text.floor_char_boundary(ahead.len().saturating_sub(24));
    let likened = ahead[start..]
        .split_whitespace()
        .rev()
        .take(3)
        .any(|word| word == "like" || word == "as");
    // "I hang the copper on the old one."
    let behind = text.get(term.span.end()..).unwrap_or("");
    let next = behind
        .trim_start()
        .split(|letter: char| !letter.is_alphabetic())
        .next()
        .unwrap_or("");
    let alone = ahead.ends_with("the ")
        && (!behind.starts_with(' ') || lists.contrast_next.has(next) || lists.gear_link.has(next));
    term.keys.retain(|key| match key {
        Key::Called(word) => !lists.gear_metal.has(word) && !likened,
        Key::Made(word) => (alone || !lists.gear_metal.has(word)) && !likened,
        Key::Entry(_) => !placed,
        _ => true,
    });
}

/// The poles of “mine” and of “his”.
const MINE: &str = "0";
const THIRD: &str = "2";

/// Whether words say where or when, and name no cable.
pub(super) fn placing(keys: &[Key]) -> bool {
    keys.iter().all(|key| match key {
        Key::Place(_) => true,
        Key::Anchor(kind, _) => *kind == Kind::PLACE,
        _ => false,
    })
}

/// What a side goes by, where nothing in it tells of two.
pub(super) fn settled(keys: Vec<Key>) -> Option<Vec<Key>> {
    (!clash(&keys)).then_some(keys)
}

/// Whether words tell of two sides at once.
fn clash(keys: &[Key]) -> bool {
    keys.iter().enumerate().any(|(at, a)| {
        keys[at + 1..].iter().any(|b| match (a, b) {
            (Key::Entry(a), Key::Entry(b)) => a != b,
            (Key::Anchor(a, one), Key::Anchor(b, other)) => a == b && one != other,
            (Key::All, _) | (_, Key::All) => true,
            _ => false,
        })
    })
}

/// Whether words for two sides certainly mean two.
pub(super) fn opposed(one: &[Key], other: &[Key]) -> bool {
    if one.iter().any(|key| other.contains(key)) {
        return false;
    }
    let places = one.iter().any(|a| {
        other
            .iter()
            .any(|b| matches!((a, b), (Key::Place(_), Key::Place(_))))
    });
    let rest = one.contains(&Key::Others) != other.contains(&Key::Others);
    certainly_two(one, other) || places || rest
}

/// Whether one side goes by how it is made and the other by another word for a cable.
pub(super) fn two_made(one: &[Key], other: &[Key]) -> bool {
    let made = |keys: &[Key]| keys.iter().any(|key| matches!(key, Key::Made(_)));
    let called = |keys: &[Key]| keys.iter().any(|key| matches!(key, Key::Called(_)));
    !one.iter().any(|key| other.contains(key))
        && (made(one) && called(other) || called(one) && made(other))
}

/// “The back room”, “in the parlour”, “upstairs”, “the left was driven …”: where a side stood.
fn places(reader: &Reader<'_>, tokens: &[Token], words: &[String]) -> Vec<Term> {
    let lists = reader.terms.lists;
    let text = reader.text();
    let word = |at: usize| words.get(at).map_or("", String::as_str);
    let determined =
        |at: usize| lists.described_determiner.has(word(at)) || lists.gear_determiner.has(word(at));
    let key = |position: &str| {
        if lists.contrast_place.has(position) {
            Key::Anchor(Kind::PLACE, position.to_owned())
        } else {
            Key::Place(position.to_owned())
        }
    };
    let mut found: Vec<Term> = Vec::new();
    for at in 0..words.len() {
        let own = word(at);
        let mut add = |from: usize, key: Key| {
            found.push(Term {
                span: tokens[from].span.join(tokens[at].span),
                keys: vec![key],
            });
        };
        if lists.story_storey.has(own) {
            add(at, Key::Place(own.to_owned()));
        } else if lists.story_room.has(own) {
            let led = (at.saturating_sub(3)..at)
                .rev()
                .find(|&place| determined(place));
            if let Some(led) = led {
                add(led, Key::Place(own.to_owned()));
            }
        } else if lists.story_spot.has(own) && at >= 2 && determined(at - 2) && word(at + 1) != "of"
        {
            let kind = word(at - 1);
            let told = if kind == "other" {
                Some(Key::Others)
            } else if lists.story_position.has(kind) || lists.contrast_colour.has(kind) {
                Some(key(kind))
            } else {
                None
            };
            if let Some(told) = told {
                add(at - 1, told);
            }
        } else if lists.story_position.has(own) && at >= 1 && word(at - 1) == "the" {
            let end = tokens[at].span.end();
            let rest = text.get(end..).unwrap_or("");
            let next = word(at + 1);
            let closed = !rest.starts_with([' ', '-'])
                || lists.contrast_next.has(next) && next != "of"
                || lists.gear_be.has(next);
            let led = at >= 2 && ["at", "in", "on", "to", "from"].contains(&word(at - 2));
            if closed && (led || lists.contrast_place.has(own)) {
                add(at - 1, key(own));
            }
        } else if own == "other" && at >= 1 && word(at - 1) == "the" {
            let next = word(at + 1);
            let rest = text.get(tokens[at].span.end()..).unwrap_or("");
            let alone = !rest.starts_with(' ')
                || lists.contrast_next.has(next)
                || lists.gear_be.has(next)
                || ["one", "side"].contains(&next);
            if alone {
                add(at - 1, Key::Others);
            }
        }
    }
    found
}

/// “Plain twin”, “ordinary flex”: what a cable is called behind a word that makes it nobody's, without an article.
fn plain(reader: &Reader<'_>, tokens: &[Token], words: &[String]) -> Vec<Term> {
    let lists = reader.terms.lists;
    (1..words.len())
        .filter(|&at| lists.contrast_made.has(&words[at]) && lists.story_plain.has(&words[at - 1]))
        .map(|at| Term {
            span: tokens[at].span,
            keys: vec![Key::Made(words[at].clone())],
        })
        .collect()
}

/// “Mine's the Redmayne.”
fn contracted(reader: &Reader<'_>, tokens: &[Token], words: &[String]) -> Vec<Term> {
    let lists = reader.terms.lists;
    let mut found = Vec::new();
    for (token, word) in tokens.iter().zip(words) {
        let word = word.replace('’', "'");
        let Some(bare) = word.strip_suffix("'s") else {
            continue;
        };
        if !lists.contrast_alone.has(bare) {
            continue;
        }
        let owners = [
            lists.contrast_mine,
            lists.contrast_yours,
            lists.contrast_third,
        ];
        if let Some(owner) = owners.iter().position(|list| list.has(bare)) {
            found.push(Term {
                span: token.span,
                keys: vec![Key::Anchor(Kind::Owner, owner.to_string())],
            });
        }
    }
    found
}
