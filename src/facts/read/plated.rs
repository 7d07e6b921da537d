//! Metals of parts that are plated or made for themselves. Knows one sentence at a time.

use super::Reader;
use crate::span::Span;

impl Reader<'_> {
    /// Whether a part that is plated or made for itself stands near a metal. “Lindqvarn Braid, silver” is a name and what it is of.
    pub(super) fn plates(&self, sentence: usize, metal: Span, reach: usize) -> bool {
        let text = self.text();
        self.hits.saying(sentence, self.terms.plating).any(|hit| {
            let words = hit.span.of(text);
            let name = words.starts_with(|letter: char| letter.is_uppercase())
                && self.terms.lists.contrast_made.has(&words.to_lowercase())
                && hit.span.start() > self.sheet.sentences[sentence].span.start()
                && hit.span.end() < metal.start()
                && text.as_bytes().get(hit.span.end()) == Some(&b',');
            let apart = (hit.span.start().abs_diff(metal.end()))
                .min(metal.start().abs_diff(hit.span.end()));
            !name && !hit.span.overlaps(metal) && apart <= reach
        })
    }
}
