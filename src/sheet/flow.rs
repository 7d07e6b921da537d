//! The running text: line ends inside a paragraph, quote marks, bullets, columns and entities are resolved, and every
//! offset leads back to the decoded text.

use crate::span::Span;
use std::ops::Range;

/// Running text with a piecewise map to the decoded text.
#[derive(Debug, Clone, Default)]
pub struct Flow {
    text: String,
    map: Map,
}

/// Where the bytes of a text came from, piece by piece in the order of the text.
#[derive(Debug, Clone, Default)]
pub(super) struct Map {
    pieces: Vec<Piece>,
}

/// A run of bytes that came from one place.
#[derive(Debug, Clone, Copy)]
struct Piece {
    here: u32,
    here_len: u32,
    source: u32,
    /// Length at the source; it differs from the length here for entities, ligatures and the like, which are then one piece
    /// each.
    source_len: u32,
}

impl Piece {
    fn straight(self) -> bool {
        self.source_len == self.here_len
    }
}

/// Offsets are kept in 32 bits: no document is longer than the limit of the reader, far below that.
fn narrow(offset: usize) -> u32 {
    u32::try_from(offset).unwrap_or(u32::MAX)
}

fn wide(offset: u32) -> usize {
    usize::try_from(offset).unwrap_or(usize::MAX)
}

impl Map {
    /// Notes that `here_len` bytes at `here`, the end of the text so far, stand for `source_len` bytes at `source`.
    pub(super) fn note(&mut self, here: usize, here_len: usize, source: usize, source_len: usize) {
        if here_len == 0 {
            return;
        }
        let piece = Piece {
            here: narrow(here),
            here_len: narrow(here_len),
            source: narrow(source),
            source_len: narrow(source_len),
        };
        if let Some(last) = self.pieces.last_mut()
            && last.straight()
            && piece.straight()
            && last.source + last.source_len == piece.source
            && last.here + last.here_len == piece.here
        {
            last.source_len += piece.source_len;
            last.here_len += piece.here_len;
        } else {
            self.pieces.push(piece);
        }
    }

    fn piece_at(&self, offset: usize) -> Option<Piece> {
        let offset = narrow(offset);
        let after = self.pieces.partition_point(|piece| piece.here <= offset);
        after
            .checked_sub(1)
            .and_then(|index| self.pieces.get(index))
            .copied()
    }

    fn start_of(&self, offset: usize) -> usize {
        let Some(piece) = self.piece_at(offset) else {
            return 0;
        };
        let inside = narrow(offset) - piece.here;
        wide(if piece.straight() {
            piece.source + inside.min(piece.source_len)
        } else if inside >= piece.here_len {
            piece.source + piece.source_len
        } else {
            piece.source
        })
    }

    fn end_of(&self, offset: usize) -> usize {
        let Some(piece) = self.piece_at(offset.saturating_sub(1)) else {
            return 0;
        };
        let inside = narrow(offset).saturating_sub(piece.here);
        wide(if piece.straight() {
            piece.source + inside.min(piece.source_len)
        } else if inside == 0 {
            piece.source
        } else {
            piece.source + piece.source_len
        })
    }

    /// The bytes of the source that `range` stands for.
    pub(super) fn source(&self, range: Range<usize>) -> Range<usize> {
        let start = self.start_of(range.start);
        let end = if range.is_empty() {
            start
        } else {
            self.end_of(range.end)
        };
        start..end.max(start)
    }

    /// Hands `each` the pieces that `range` is made of: the part of the range, and the source that it stands for.
    pub(super) fn pieces(
        &self,
        range: Range<usize>,
        mut each: impl FnMut(Range<usize>, Range<usize>),
    ) {
        let first = self
            .pieces
            .partition_point(|piece| piece.here <= narrow(range.start))
            .saturating_sub(1);
        for piece in self.pieces.get(first..).unwrap_or(&[]) {
            let start = wide(piece.here).max(range.start);
            let end = wide(piece.here + piece.here_len).min(range.end);
            if wide(piece.here) >= range.end {
                break;
            }
            if start >= end {
                continue;
            }
            let source = if piece.straight() {
                let ahead = start - wide(piece.here);
                let source = wide(piece.source) + ahead;
                source..source + (end - start)
            } else {
                wide(piece.source)..wide(piece.source + piece.source_len)
            };
            each(start..end, source);
        }
    }
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
        self.map
            .pieces
            .last()
            .map_or(0, |piece| wide(piece.source + piece.source_len))
    }

    /// The bytes of the decoded text that `span` stands for.
    #[must_use]
    pub fn source(&self, span: Span) -> Range<usize> {
        self.map.source(span.start..span.end)
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
