//! Names in capitals. Knows words and sentences alone.

use super::strip_possessive;
use crate::facts::terms::Terms;
use crate::lexicon::Of;
use crate::sheet::Sheet;
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// Words that running text sets in capitals wherever it has them, as releases do with the name of what they sell: “the company shows
/// CINDER. At the press day CINDER met …”
pub(super) struct SetLarge<'t>(FxHashSet<&'t str>);

impl<'t> SetLarge<'t> {
    pub(super) fn of(sheet: &'t Sheet, terms: &Terms<'_>) -> Self {
        /// Fewest letters: fewer are as a rule an abbreviation.
        const LETTERS: usize = 4;
        /// How often such a word comes at least.
        const OFTEN: usize = 2;
        let text = sheet.flow.text();
        let large = |word: &str| {
            word.len() >= LETTERS && word.bytes().all(|letter| letter.is_ascii_uppercase())
        };
        let mut counts: FxHashMap<&str, usize> = FxHashMap::default();
        for sentence in &sheet.sentences {
            let words = sentence.span.of(text);
            // So many capitals side by side are in few sentences.
            let mut side_by_side = 0;
            let may_have = words.bytes().any(|letter| {
                let next = side_by_side + 1;
                side_by_side = if letter.is_ascii_uppercase() { next } else { 0 };
                side_by_side >= LETTERS
            });
            if !may_have || !words.bytes().any(|letter| letter.is_ascii_lowercase()) {
                continue;
            }
            // "CORE-16" is more than its first part.
            let marks = |letter: char| !letter.is_alphanumeric() && letter != '-';
            for word in words.split(marks).filter(|word| large(word)) {
                *counts.entry(word).or_default() += 1;
            }
        }
        let lists = terms.lists;
        let plain = [lists.name_common, lists.name_label, lists.name_property];
        counts.retain(|word, count| {
            let lower = word.to_lowercase();
            *count >= OFTEN && !plain.iter().any(|list| list.has(&lower))
        });
        if !counts.is_empty() {
            // What also stands in small letters is only said aloud.
            for word in text.split(|letter: char| !letter.is_alphanumeric()) {
                if !counts.is_empty() && word.bytes().any(|letter| letter.is_ascii_lowercase()) {
                    counts.remove(word.to_uppercase().as_str());
                }
            }
        }
        Self(counts.into_keys().collect())
    }

    /// Whether the word is one of them.
    pub(super) fn has(&self, word: &str) -> bool {
        !self.0.is_empty() && self.0.contains(strip_possessive(word))
    }

    /// Whether one of them stands there, and is no part of a code.
    pub(super) fn begins(&self, text: &str, word: Span) -> bool {
        let behind = text.get(word.end()..).unwrap_or("");
        self.has(word.of(text)) && !behind.starts_with('-')
    }
}

/// Whether the word at that place stands for a side, whatever that is called: “Put a lamp on THEIRS”.
pub(super) fn stands_for(terms: &Terms<'_>, hits: Of<'_>, at: usize) -> bool {
    let sides = [
        terms.ours,
        terms.theirs,
        terms.other,
        terms.former,
        terms.latter,
        terms.third,
    ];
    hits.iter()
        .any(|hit| hit.first <= at && at <= hit.last && sides.contains(&hit.concept))
}
