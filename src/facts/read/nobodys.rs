//! Sentences whose words for metals and builds are no cable's, though they stand beside a table of them: what letters stand for, what
//! is offered besides, and what is told of one and nobody knows of which. Knows words and blocks alone.

use super::{Owner, Reader};
use crate::facts::roles::Role;
use crate::sheet::BlockKind;
use crate::span::Span;

impl Reader<'_> {
    /// Whether a few words before, one of several is spoken of and not which.
    pub(super) fn of_one_among(&self, sentence: usize, words: Span) -> bool {
        const NEAR: usize = 60;
        const ONES: [&str; 4] = ["one of the", "one of them", "one of these", "one of those"];
        let ahead = self.ahead(sentence, words, NEAR);
        ONES.iter().any(|one| ahead.contains(one))
    }

    /// Takes from cables what cannot be theirs.
    pub(super) fn leave_to_nobody(&mut self) {
        self.leave_one_among();
        self.leave_shared_figures();
        self.leave_other_wires();
    }

    /// “The old telephone line … It had 70 Ω to the mile”: a figure of a wire of another trade, in a sentence without a size, is no
    /// cable's.
    fn leave_other_wires(&mut self) {
        const AGAIN: [&str; 4] = ["It ", "They ", "These ", "Those "];
        let mut told: Vec<usize> = Vec::new();
        for hit in self.hits.saying_anywhere(self.terms.wire_elsewhere) {
            let at = super::sentence_at(self.sheet, hit.span.start());
            let block = self.sheet.sentences[at].block();
            let own = &self.sheet.blocks[block];
            let running = matches!(own.kind(), BlockKind::Paragraph | BlockKind::Item);
            if !running || own.key().is_some() {
                continue;
            }
            told.push(at);
            let goes_on = self.sheet.sentences.get(at + 1).is_some_and(|next| {
                let words = next.span.of(self.text());
                next.block() == block && AGAIN.iter().any(|again| words.starts_with(again))
            });
            if goes_on {
                told.push(at + 1);
            }
        }
        told.dedup();
        for at in told {
            let sized = self
                .in_sentence(at)
                .any(|index| matches!(self.roles[index], Role::Size | Role::SolidDiameter));
            if sized {
                continue;
            }
            for index in self.in_sentence(at) {
                if matches!(self.roles[index], Role::Figure(_)) {
                    self.owners.set(index, Owner::Nobody);
                }
            }
        }
    }

    /// What is told of one of several, and not of which, is nobody's: “One of the two is 16 AWG; which one, the makers would not say”.
    fn leave_one_among(&mut self) {
        for index in 0..self.owners.len() {
            let told = matches!(self.roles[index], Role::Size | Role::Run | Role::Figure(_));
            if told
                && matches!(self.owners.at(index), Owner::All | Owner::Two(..))
                && self.of_one_among(self.sentence_of(index), self.sheet.quantities[index].span)
            {
                self.owners.set(index, Owner::Nobody);
            }
        }
    }

    /// Whether a sentence outside all lines says what letters stand for: “CCA = copper-clad aluminium”.
    pub(super) fn defines(&self, sentence: usize) -> bool {
        const LETTERS: usize = 6;
        let words = self.sheet.sentences[sentence].span.of(self.text());
        let short = |name: &str| {
            let name = name.trim().trim_start_matches(['#', '*', ' ']);
            (2..=LETTERS).contains(&name.len()) && name.chars().all(|letter| letter.is_uppercase())
        };
        self.line_of(sentence).is_none()
            && (words
                .split_once(" = ")
                .or_else(|| words.split_once(" stands for ")))
            .is_some_and(|(name, _)| short(name))
    }

    /// Whether a sentence stands below a table in a block that offers something else: “Option 7  Single runs in silver-plated copper”.
    pub(super) fn of_option(&self, sentence: usize) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        if matches!(block.kind(), BlockKind::Cell { .. }) {
            return false;
        }
        let mut words = block.span.of(self.text()).split_whitespace();
        let (Some(noun), Some(number)) = (words.next(), words.next()) else {
            return false;
        };
        let number = number.trim_end_matches([':', '.', ')']);
        let counted = number.len() <= 3
            && (number.bytes().all(|sign| sign.is_ascii_digit())
                || number.len() == 1 && number.bytes().all(|sign| sign.is_ascii_uppercase()));
        counted && self.terms.lists.record_option.has(&noun.to_lowercase())
    }

    /// Whether a sentence outside all lines tells a size that is nobody's.
    pub(super) fn tells_another_size(&self, sentence: usize) -> bool {
        self.in_sentence(sentence)
            .any(|index| self.roles[index] == Role::Size && self.owners.at(index) == Owner::Nobody)
    }

    /// Whether a sentence stands further on in an item that names one cable: what it says is not of all.
    pub(super) fn goes_on_in_item(&self, sentence: usize) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        /// Sentences before it that are looked at.
        const BACK: usize = 64;
        let from = block.sentences().start.max(sentence.saturating_sub(BACK));
        block.kind() == BlockKind::Item
            && from < sentence
            && (self.resolved.within(from..sentence)).any(|mentions| {
                mentions
                    .iter()
                    .any(|(_, owner)| matches!(owner, Owner::One(_)))
            })
    }
}
