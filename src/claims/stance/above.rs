//! Denials that stand above: headings, leads and labels, and what sets statements to be judged. Knows blocks and their sentences.

use super::{Class, LABEL_REACH, Reader};
use crate::sheet::{Block, BlockKind};
use crate::span::Span;

impl Reader<'_> {
    /// A heading, a lead or a label that denies what stands under it.
    pub(super) fn denied_above(&self, sentence: usize) -> bool {
        match self.above.get() {
            Some((known, denied)) if known == sentence => denied,
            _ => {
                let denied = self.denied_over(sentence);
                self.above.set(Some((sentence, denied)));
                denied
            }
        }
    }

    fn denied_over(&self, sentence: usize) -> bool {
        /// Most bytes of a heading that says no more than not to.
        const LONE: usize = 16;
        /// Most words of a heading that says what kind of text stands under it.
        const TITLE: usize = 4;
        let Some(own) = self.sheet.sentences.get(sentence) else {
            return false;
        };
        let Some(block) = self.sheet.blocks.get(own.block()) else {
            return false;
        };
        if self.has(sentence, Class::Fact) {
            return false;
        }
        // "Not for: walls; anything that plugs into an outlet."
        let key_denies = block.key().is_some_and(|key| {
            block.sentences().take(2).any(|at| {
                self.cues(at)
                    .iter()
                    .any(|cue| cue.class == Class::DenyClause && key.contains(cue.span))
            })
        });
        if key_denies || self.value_denies(block) {
            return true;
        }
        for at in (block.sentences().start..sentence).rev().take(LABEL_REACH) {
            if self.has(at, Class::Fact) {
                return false;
            }
            let label = self.cues(at).iter().any(|cue| {
                cue.class == Class::DenyHeading && cue.first <= 1 || cue.class == Class::Task
            });
            if label || self.list_of_donts(at) {
                return true;
            }
        }
        // "NEVER" over what is not to be done.
        let forbids =
            |head: &Block| head.span.len() <= LONE && self.forbids(head.span.of(self.text()));
        let above = own.block().checked_sub(1);
        if above
            .and_then(|above| self.sheet.blocks.get(above))
            .is_some_and(forbids)
        {
            return true;
        }
        let heads = |index: usize, any: bool| {
            self.sheet.blocks.get(index).is_some_and(|head| {
                forbids(head)
                    || head.sentences().any(|at| {
                        self.cues(at).iter().any(|cue| match cue.class {
                            Class::DenyHeading | Class::Task => true,
                            Class::DenyTitle => {
                                matches!(head.kind(), BlockKind::Heading { .. })
                                    && self.words(at).of(self.text()).split_whitespace().count()
                                        <= TITLE
                            }
                            Class::DenyAll
                            | Class::DenyBack
                            | Class::DenyNext
                            | Class::DenyRest => any,
                            _ => false,
                        })
                    })
            })
        };
        if block.lead().is_some_and(|lead| heads(lead, true)) {
            return true;
        }
        // "Not one of these is true. Say why." right before a list speaks of the list.
        if block.lead().is_none() && block.kind() == BlockKind::Item {
            let plain = self.no_items.get_or_init(|| {
                let blocks = self.sheet.blocks.iter().enumerate();
                let plain = blocks.filter(|(_, block)| block.kind() != BlockKind::Item);
                plain.map(|(at, _)| at).collect()
            });
            let before = plain
                .partition_point(|&at| at < own.block())
                .checked_sub(1)
                .and_then(|at| plain.get(at))
                .and_then(|&at| Some((at, self.sheet.blocks.get(at)?)));
            if before.is_some_and(|(index, before)| {
                before.section() == block.section() && heads(index, false)
            }) {
                return true;
            }
        }
        if self
            .item_above(own.block())
            .is_some_and(|item| heads(item, false))
        {
            return true;
        }
        let mut section = block.section();
        let mut steps = 0;
        while let Some(index) = section {
            if heads(index, false) {
                return true;
            }
            steps += 1;
            section = self
                .sheet
                .blocks
                .get(index)
                .and_then(|head| head.section())
                .filter(|_| steps < 4);
        }
        false
    }

    /// Whether the value of a field says no more than no: “inside walls: no”.
    fn value_denies(&self, block: &Block) -> bool {
        let Some(key) = block.key() else {
            return false;
        };
        let value = Span::new(key.end(), block.span.end().max(key.end())).of(self.text());
        let value = value.trim_start_matches([':', '=', '.', ' ', '\t', '–', '-']);
        let bare = value.trim_end_matches(['.', '!', ' ']).to_lowercase();
        self.lists.value_no.has(&bare)
    }

    /// The item of a list under which another one stands, as “a)” does under “5.”
    fn item_above(&self, own: usize) -> Option<usize> {
        /// Most items of such a list.
        const ITEMS: usize = 30;
        let label = |at: usize| {
            let block = self.sheet.blocks.get(at)?;
            let words = block
                .span
                .of(self.text())
                .trim_start_matches(['(', ' ', '\t']);
            (block.kind() == BlockKind::Item).then(|| words.chars().next())?
        };
        let letter = |one: char| one.is_alphabetic();
        let own_label = label(own).filter(|&one| !one.is_ascii_digit())?;
        (own.saturating_sub(ITEMS)..own)
            .rev()
            .map_while(|at| Some((at, label(at)?)))
            .find(|(_, other)| other.is_ascii_digit() || letter(*other) && !letter(own_label))
            .map(|(at, _)| at)
    }

    /// Whether words say no more than not to.
    fn forbids(&self, words: &str) -> bool {
        let words = words.trim().to_lowercase();
        self.lists
            .heading_forbids
            .has(words.trim_end_matches([':', '.', '!']))
    }

    /// Whether a sentence begins a list of what is not to be done: “Do not: run it under carpets. Bury it.”
    fn list_of_donts(&self, sentence: usize) -> bool {
        let words = self.words(sentence).of(self.text());
        words
            .split_once(':')
            .is_some_and(|(head, _)| self.forbids(head))
    }
}
