//! Wires that running text tells of beside a cable with a name by what they are, “the bell wire”: what is told of them is not the
//! cable's, nor that of any other. Knows sentences that give a size, and makes no fact.

use super::{Owner, Reader, ratio};
use crate::facts::roles::Role;
use crate::facts::roster::Means;
use crate::lexicon::{Token, lowered, tokenize};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;

/// Two sizes this far apart are of two wires.
const APART: f64 = 1.3;
/// How far behind a length it is told what it is of, in bytes.
const REACH: usize = 48;

impl Reader<'_> {
    /// Gives an entry of its own to a wire whose size cannot be that of the cables with names.
    pub(super) fn strangers(&mut self) {
        if !self.lines.is_empty() || self.roster.named().is_empty() {
            return;
        }
        let sized = |reader: &Self, sentence: usize| -> Vec<usize> {
            let own = reader.in_sentence(sentence);
            own.filter(|&index| reader.roles[index] == Role::Size)
                .collect()
        };
        let mut known: Vec<Option<f64>> = Vec::new();
        let mut told: Vec<(Span, Vec<usize>)> = Vec::new();
        for sentence in 0..self.sheet.sentences.len() {
            let sizes = sized(self, sentence);
            if sizes.is_empty() {
                continue;
            }
            let named = self
                .roster
                .called(
                    &self.terms,
                    self.text(),
                    self.sheet.sentences[sentence].span,
                )
                .iter()
                .any(|mention| matches!(mention.means, Means::Entry(_)));
            if named {
                known.extend(sizes.iter().map(|&size| self.sheet.quantities[size].si()));
            } else if let Some(words) = self.stranger(sentence) {
                told.push((words, sizes));
            }
        }
        self.strange_lengths();
        for (words, sizes) in told {
            let apart = |size: &usize| {
                let own = self.sheet.quantities[*size].si();
                known.iter().all(|known| ratio(own, *known) > APART)
            };
            if !known.is_empty() && sizes.iter().all(apart) {
                let name = words.of(self.text()).to_lowercase();
                let entry = self.roster.add(&name, true);
                self.roster.entries[entry].nameless = true;
            }
        }
    }

    /// "Three feet of lamp flex": so much of another wire than the cable with a name.
    fn strange_lengths(&mut self) {
        const ARTICLES: &[&str] = &["the", "that", "this", "my", "his", "her", "their", "old"];
        let mut found = Vec::new();
        for index in 0..self.sheet.quantities.len() {
            let sentence = self.sheet.sentences[self.sentence_of(index)];
            let prose = matches!(
                self.sheet.blocks[sentence.block()].kind(),
                BlockKind::Paragraph | BlockKind::Item
            );
            let own = &self.sheet.quantities[index];
            if !prose || own.kind != Kind::Length || own.span.end() >= sentence.span.end() {
                continue;
            }
            let mut tokens = Vec::new();
            let reach = sentence.span.end().min(own.span.end() + REACH);
            let reach = self.text().floor_char_boundary(reach);
            tokenize(self.text(), Span::new(own.span.end(), reach), &mut tokens);
            let words = lowered(self.text(), &tokens);
            if words.first().map(String::as_str) != Some("of") {
                continue;
            }
            let articles = (words.iter().skip(1))
                .take_while(|word| ARTICLES.contains(&word.as_str()))
                .count();
            let (kind, noun) = (1 + articles, 2 + articles);
            let Some(thing) = words.get(noun) else {
                continue;
            };
            let lists = self.terms.lists;
            let plain = tokens[kind].span.of(self.text());
            let strange = lists.stranger_noun.has(thing)
                && plain.bytes().all(|byte| byte.is_ascii_lowercase())
                && !lists.stranger_own.has(&words[kind]);
            if strange {
                found.push(tokens[kind].span.join(tokens[noun].span));
            }
        }
        for words in found {
            let name = words.of(self.text()).to_lowercase();
            let entry = self.roster.add(&name, true);
            self.roster.entries[entry].nameless = true;
        }
    }

    /// Where no cable has a name, "the first", "the second" and "the third" with which sentences and clauses begin are leads of
    /// their own. Gives the sentence of the first of them that is not "the first".
    pub(super) fn ordinals(&mut self) -> Option<usize> {
        const PLACES: &[&str] = &["first", "second", "third", "fourth", "fifth"];
        const WORDS: usize = 60;
        if !self.lines.is_empty() || !self.roster.named().is_empty() {
            return None;
        }
        let mut later = None;
        let mut found: Vec<&str> = Vec::new();
        let mut tokens = Vec::new();
        for sentence in 0..self.sheet.sentences.len() {
            let span = self.sheet.sentences[sentence].span;
            let sized = self
                .in_sentence(sentence)
                .any(|index| matches!(self.roles[index], Role::Size | Role::Run));
            if !sized {
                continue;
            }
            tokenize(self.text(), span, &mut tokens);
            tokens.truncate(WORDS);
            for (at, token) in tokens.windows(3).enumerate() {
                let word = |at: usize| token[at].span.of(self.text());
                let ahead = at.checked_sub(1).map(|before| tokens[before].span);
                let joined = ahead
                    .is_some_and(|word| matches!(word.of(self.text()), "and" | "while" | "but"));
                if !(joined || begins_clause(self.text(), &tokens, at))
                    || !word(0).eq_ignore_ascii_case("the")
                {
                    continue;
                }
                let place = word(1).to_lowercase();
                let Some(&place) = PLACES.iter().find(|known| **known == place) else {
                    continue;
                };
                let next = word(2).to_lowercase();
                let lists = self.terms.lists;
                // "The first is 12 AWG, the second 16 AWG."
                let elided =
                    ahead.is_some() && next.starts_with(|sign: char| sign.is_ascii_digit());
                if !(elided || lists.stranger_noun.has(&next) || lists.stranger_verb.has(&next)) {
                    continue;
                }
                if place != PLACES[0] {
                    later.get_or_insert(sentence);
                }
                if !found.contains(&place) {
                    found.push(place);
                }
            }
        }
        later?;
        for place in found {
            let entry = self.roster.add(&format!("the {place}"), true);
            self.roster.entries[entry].nameless = true;
        }
        later
    }

    /// Where no cable has a name, "one was 12 AWG, the other 16 AWG" makes two.
    pub(super) fn one_and_other(&mut self) {
        const NEAR: usize = 2;
        if !self.lines.is_empty() || !self.roster.entries.is_empty() {
            return;
        }
        let sized = |reader: &Self, sentence: usize| {
            let own = reader.in_sentence(sentence);
            own.filter(|&index| reader.roles[index] == Role::Size)
                .count()
        };
        let all = self.sheet.sentences.len();
        let found = (0..all).any(|sentence| {
            let sizes = sized(self, sentence);
            let block = self.sheet.sentences[sentence].block();
            let Some(one) = (sizes > 0).then(|| self.one_of_two(sentence)).flatten() else {
                return false;
            };
            (sentence..all.min(sentence + 1 + NEAR)).any(|near| {
                let enough = if near == sentence {
                    sizes > 1
                } else {
                    sized(self, near) > 0
                };
                self.sheet.sentences[near].block() == block
                    && enough
                    && self
                        .hits
                        .saying(near, self.terms.other)
                        .any(|hit| hit.span.start() >= one.end())
            })
        });
        if found {
            for name in ["the one", "the other"] {
                let entry = self.roster.add(name, true);
                self.roster.entries[entry].nameless = true;
                self.the_one.get_or_insert(entry);
            }
        }
    }

    /// The word "one" that begins a sentence or a clause in which something is told of it: "one lead was 2.5 mm²".
    pub(super) fn one_of_two(&self, sentence: usize) -> Option<Span> {
        const WORDS: usize = 60;
        let lists = self.terms.lists;
        let mut tokens = Vec::new();
        tokenize(
            self.text(),
            self.sheet.sentences[sentence].span,
            &mut tokens,
        );
        tokens.truncate(WORDS);
        tokens.windows(3).enumerate().find_map(|(at, token)| {
            let word = |at: usize| token[at].span.of(self.text()).to_lowercase();
            // "One is fed by 12 m of flex": a loudspeaker.
            if word(0) != "one" || lists.stranger_fed.has(&word(2)) {
                return None;
            }
            let begins = begins_clause(self.text(), &tokens, at);
            let tells = |word: &str| lists.stranger_verb.has(word) && !matches!(word, "of" | "one");
            let noun = lists.stranger_noun.has(&word(1)) && tells(&word(2));
            if noun {
                Some(token[0].span.join(token[1].span))
            } else {
                (begins && tells(&word(1))).then_some(token[0].span)
            }
        })
    }

    /// What was told before the second lead came up and is nobody's is the first lead's.
    pub(super) fn before_ordinals(&mut self, later: usize) {
        let entry = self.roster.add("the first", true);
        self.roster.entries[entry].nameless = true;
        for index in 0..self.owners.len() {
            if self.sentence_of(index) < later
                && matches!(self.owners.at(index), Owner::Nobody | Owner::All)
            {
                self.owners.set(index, Owner::One(entry));
            }
        }
    }

    /// What a sentence of running text begins with, where that is a wire of some kind: “The bell wire is …”.
    fn stranger(&self, sentence: usize) -> Option<Span> {
        const ARTICLES: &[&str] = &["the", "that", "this", "my", "his", "her", "their"];
        let sentence = self.sheet.sentences[sentence];
        let prose = matches!(
            self.sheet.blocks[sentence.block()].kind(),
            BlockKind::Paragraph | BlockKind::Item
        );
        if !prose || self.sheet.blocks[sentence.block()].key().is_some() {
            return None;
        }
        let mut tokens = Vec::new();
        tokenize(self.text(), sentence.span, &mut tokens);
        tokens.truncate(4);
        let words = lowered(self.text(), &tokens);
        let lists = self.terms.lists;
        if !ARTICLES.contains(&words.first()?.as_str()) {
            return None;
        }
        let noun = (2..words.len()).find(|&at| lists.stranger_noun.has(&words[at]))?;
        let kind = noun - 1;
        let plain = tokens[kind].span.of(self.text());
        let own = plain.bytes().all(|byte| byte.is_ascii_lowercase())
            && !lists.stranger_own.has(&words[kind]);
        own.then(|| tokens[kind].span.join(tokens[noun].span))
    }
}

/// Whether a word is the first of its sentence, or stands right behind the sign that ends a clause.
fn begins_clause(text: &str, tokens: &[Token], at: usize) -> bool {
    let (Some(before), Some(word)) = (
        at.checked_sub(1).and_then(|at| tokens.get(at)),
        tokens.get(at),
    ) else {
        return true;
    };
    let sign = Span::new(before.span.end(), word.span.start()).of(text);
    sign.contains([',', ';', ':', '–', '—'])
}
