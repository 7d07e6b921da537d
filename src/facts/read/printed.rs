//! What running text says is printed wrong. Knows mentions and words, and makes no fact.

use super::{Owner, Reader};
use crate::span::Span;

impl Reader<'_> {
    /// Whether a sentence says that something is wrong: “that is a misprint”, and not “that is not a typo”.
    pub(super) fn calls_wrong(&self, sentence: usize) -> bool {
        /// Words between a denial and the mistake that it denies.
        const DENIED: usize = 2;
        // "What is wrong with strands?" asks about a thing, and "what is wrong with this figure?" about what is said.
        const POINTS: [&str; 6] = ["this", "that", "these", "those", "it", "the"];
        let about_a_thing = |words: Span| {
            let whole = self.sheet.sentences[sentence].span;
            let behind = Span::new(words.end().min(whole.end()), whole.end()).of(self.text());
            let mut behind = behind.split_whitespace();
            behind.next() == Some("with")
                && whole.of(self.text()).trim_end().ends_with('?')
                && (behind.next())
                    .is_some_and(|word| !POINTS.contains(&word.to_lowercase().as_str()))
        };
        self.hits.saying(sentence, self.terms.wrong).any(|hit| {
            let start = self.sheet.sentences[sentence].span.start();
            let ahead = Span::new(start, hit.span.start().max(start)).of(self.text());
            let mut near = ahead.split_whitespace().rev().take(DENIED);
            !about_a_thing(hit.span)
                && !near.any(|word| {
                    let word = word.to_lowercase().replace('’', "'");
                    matches!(word.as_str(), "no" | "not" | "never" | "hardly")
                        || word.ends_with("n't")
                })
        })
    }

    /// Cables of which running text says that what is printed of them is wrong: “Remarks on D. The label is wrong.”
    pub(super) fn leave_what_is_wrong(&mut self) {
        if !self.hits.anywhere(self.terms.wrong) || self.lines.is_empty() {
            return;
        }
        let mut doubted: Vec<usize> = Vec::new();
        for sentence in 0..self.sheet.sentences.len() {
            if self.line_of(sentence).is_some() || !self.calls_wrong(sentence) {
                continue;
            }
            // "The label is wrong", and not "we ought to say that K was louder".
            let words = self.sheet.sentences[sentence].span.of(self.text());
            if !self.terms.lists.print_label.within(&words.to_lowercase()) {
                continue;
            }
            let block = self.sheet.sentences[sentence].block();
            let first = self.sheet.blocks[block].sentences().start;
            let from = first.max(sentence.saturating_sub(1));
            let mut named = (self.resolved.within(from..sentence + 1))
                .flat_map(|mentions| mentions.iter())
                .map(|(_, owner)| owner);
            if let (Some(Owner::One(entry)), None) = (named.next(), named.next()) {
                doubted.push(entry);
            }
        }
        for entry in doubted {
            if let Some(cable) = self.facts.cables.get_mut(entry) {
                for size in &mut cable.sizes {
                    size.loose = true;
                }
            }
        }
    }
}
