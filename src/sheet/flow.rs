//! The running text: line ends inside a paragraph, quote marks, bullets, columns and entities are resolved, and every
//! offset leads back to the decoded text.

mod map;

pub(super) use map::Map;

use crate::span::Span;
use std::ops::Range;

/// Running text with a piecewise map to the decoded text.
#[derive(Debug, Clone, Default)]
pub struct Flow {
    text: String,
    map: Map,
}

impl Flow {
    /// The running text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Makes room for `len` bytes.
    pub(super) fn with_capacity(len: usize) -> Self {
        Self {
            text: String::with_capacity(len),
            map: Map::default(),
        }
    }

    /// Appends decoded text that is taken over as it stands, found at byte `source`.
    pub fn push(&mut self, text: &str, source: usize) {
        self.push_as(text, source, text.len());
    }

    /// Appends `text`, which stands for `source_len` bytes at `source` of the decoded text (an entity, a ligature, a line
    /// end that became a blank).
    pub fn push_as(&mut self, text: &str, source: usize, source_len: usize) {
        self.map
            .note(self.text.len(), text.len(), source, source_len);
        self.text.push_str(text);
    }

    /// Where the decoded text stood that was appended last.
    pub(super) fn end_of_source(&self) -> usize {
        self.map.end()
    }

    /// The bytes of the decoded text that `span` stands for, in one stretch for each column that they stand in, or side of the head of a
    /// page: of a sentence that begins at the foot of one column and ends at the top of the next there are two. One at least.
    #[must_use]
    pub fn stretches(&self, span: Span, decoded: &str) -> Vec<Range<usize>> {
        let mut found: Vec<Range<usize>> = Vec::new();
        let mut open: Option<Range<usize>> = None;
        self.map.pieces(span.start()..span.end(), |here, source| {
            let joint = self
                .text
                .get(here)
                .is_some_and(|words| words.trim().is_empty());
            let over = joint
                && decoded.get(source.clone()).is_some_and(|between| {
                    between.contains('\n') && between.contains(char::is_alphanumeric)
                });
            let known = open.take();
            open = match known {
                _ if over => {
                    found.extend(known);
                    None
                }
                // The blank before the next column stands for nothing.
                Some(known) if source.start < known.start => {
                    found.push(known);
                    (!joint).then_some(source)
                }
                Some(known) => Some(known.start..known.end.max(source.end)),
                None => (!joint).then_some(source),
            };
        });
        found.extend(open);
        if found.len() < 2 {
            found = vec![self.source(span)];
        }
        found
    }

    /// The bytes of the decoded text that `span` stands for.
    #[must_use]
    pub fn source(&self, span: Span) -> Range<usize> {
        self.map.source(span.start()..span.end())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_lead_back_through_replacements() {
        // "a &Omega;\n> b" became "a Ω b".
        let decoded = "a &Omega;\n> b";
        let mut flow = Flow::default();
        flow.push("a ", 0);
        flow.push_as("Ω", 2, 7);
        flow.push_as(" ", 9, 3);
        flow.push("b", 12);
        assert_eq!(flow.text(), "a Ω b");
        for (words, wanted) in [
            ("a", "a"),
            ("Ω", "&Omega;"),
            ("a Ω", "a &Omega;"),
            ("b", "b"),
            ("Ω b", "&Omega;\n> b"),
        ] {
            let start = flow.text().find(words).expect("the words");
            let source = flow.source(Span::new(start, start + words.len()));
            assert_eq!(&decoded[source], wanted);
        }
        assert!(flow.source(Span::new(2, 2)).is_empty());
    }
}
