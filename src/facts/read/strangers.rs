//! Wires that running text tells of beside a cable with a name by what they are, “the bell wire”: what is told of them is not the
//! cable's, nor that of any other. Knows sentences that give a size, and makes no fact.

use super::{Owner, Reader, ratio};
use crate::facts::roles::Role;
use crate::facts::roster::Means;
use crate::lexicon::{lowered, tokenize};
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
                known.extend(sizes.iter().map(|&size| self.sheet.quantities[size].si));
            } else if let Some(words) = self.stranger(sentence) {
                told.push((words, sizes));
            }
        }
        self.strange_lengths();
        for (words, sizes) in told {
            let apart = |size: &usize| {
                let own = self.sheet.quantities[*size].si;
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
            let sentence = self.sheet.sentences[self.sentence_of[index]];
            let prose = matches!(
                self.sheet.blocks[sentence.block].kind,
                BlockKind::Paragraph | BlockKind::Item
            );
            let own = &self.sheet.quantities[index];
            if !prose || own.kind != Kind::Length || own.span.end >= sentence.span.end {
                continue;
            }
            let mut tokens = Vec::new();
            let reach = sentence.span.end.min(own.span.end + REACH);
            let reach = self.text().floor_char_boundary(reach);
            tokenize(self.text(), Span::new(own.span.end, reach), &mut tokens);
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

    /// Where no cable has a name, "the second" and "the third" with which sentences begin are leads of their own. Gives the first of
    /// these sentences.
    pub(super) fn ordinals(&mut self) -> Option<usize> {
        const PLACES: &[&str] = &["second", "third", "fourth", "fifth"];
        if !self.lines.is_empty() || !self.roster.named().is_empty() {
            return None;
        }
        let mut first = None;
        for sentence in 0..self.sheet.sentences.len() {
            let span = self.sheet.sentences[sentence].span;
            let sized = self
                .in_sentence(sentence)
                .any(|index| matches!(self.roles[index], Role::Size | Role::Run));
            if !sized {
                continue;
            }
            let mut tokens = Vec::new();
            tokenize(self.text(), span, &mut tokens);
            tokens.truncate(4);
            let words = lowered(self.text(), &tokens);
            let [the, place, next, ..] = words.as_slice() else {
                continue;
            };
            let lead = self.terms.lists.stranger_noun.has(next);
            let told = self.terms.lists.stranger_verb.has(next);
            if the == "the" && PLACES.contains(&place.as_str()) && (lead || told) {
                first.get_or_insert(sentence);
                let entry = self.roster.add(&format!("the {place}"), true);
                self.roster.entries[entry].nameless = true;
            }
        }
        first
    }

    /// What was told before the second lead came up and is nobody's is the first lead's.
    pub(super) fn before_ordinals(&mut self, later: usize) {
        let entry = self.roster.add("the first", true);
        self.roster.entries[entry].nameless = true;
        for index in 0..self.owners.len() {
            if self.sentence_of[index] < later
                && matches!(self.owners[index], Owner::Nobody | Owner::All)
            {
                self.owners[index] = Owner::One(entry);
            }
        }
    }

    /// What a sentence of running text begins with, where that is a wire of some kind: “The bell wire is …”.
    fn stranger(&self, sentence: usize) -> Option<Span> {
        const ARTICLES: &[&str] = &["the", "that", "this", "my", "his", "her", "their"];
        let sentence = self.sheet.sentences[sentence];
        let prose = matches!(
            self.sheet.blocks[sentence.block].kind,
            BlockKind::Paragraph | BlockKind::Item
        );
        if !prose || self.sheet.blocks[sentence.block].key.is_some() {
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
