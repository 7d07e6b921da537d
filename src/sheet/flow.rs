//! The running text: line ends inside a paragraph, quote marks, bullets, columns and entities are resolved, and every
//! offset leads back to the decoded text.

use crate::span::Span;
use std::ops::Range;

/// Running text with a piecewise map to the decoded text.
#[derive(Debug, Clone, Default)]
pub struct Flow {
    text: String,
    /// Pieces in order of `flow`: where a piece starts here and in the decoded text, and its length there and here.
    pieces: Vec<Piece>,
}

/// A run of bytes of the running text that came from one place of the decoded text.
#[derive(Debug, Clone, Copy)]
struct Piece {
    flow: usize,
    source: usize,
    /// Length in the decoded text; it differs from the length here for entities, ligatures and the like, which are then
    /// one piece each.
    source_len: usize,
    flow_len: usize,
}

impl Flow {
    /// The running text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Appends decoded text that is taken over as it stands, found at byte `source`.
    pub fn push(&mut self, text: &str, source: usize) {
        self.push_as(text, source, text.len());
    }

    /// Appends `text`, which stands for `source_len` bytes at `source` of the decoded text (an entity, a ligature, a line
    /// end that became a blank).
    pub fn push_as(&mut self, text: &str, source: usize, source_len: usize) {
        if text.is_empty() {
            return;
        }
        let flow = self.text.len();
        self.text.push_str(text);
        if let Some(last) = self.pieces.last_mut() {
            let straight = last.source_len == last.flow_len && source_len == text.len();
            if straight
                && last.source + last.source_len == source
                && last.flow + last.flow_len == flow
            {
                last.source_len += source_len;
                last.flow_len += text.len();
                return;
            }
        }
        self.pieces.push(Piece {
            flow,
            source,
            source_len,
            flow_len: text.len(),
        });
    }

    /// The bytes of the decoded text that `span` stands for.
    #[must_use]
    pub fn source(&self, span: Span) -> Range<usize> {
        let start = self.start_of(span.start);
        let end = if span.is_empty() {
            start
        } else {
            self.end_of(span.end)
        };
        start..end.max(start)
    }

    fn piece_at(&self, offset: usize) -> Option<&Piece> {
        let after = self.pieces.partition_point(|piece| piece.flow <= offset);
        after
            .checked_sub(1)
            .and_then(|index| self.pieces.get(index))
    }

    fn start_of(&self, offset: usize) -> usize {
        let Some(piece) = self.piece_at(offset) else {
            return 0;
        };
        let inside = offset - piece.flow;
        if piece.source_len == piece.flow_len {
            piece.source + inside.min(piece.source_len)
        } else if inside >= piece.flow_len {
            piece.source + piece.source_len
        } else {
            piece.source
        }
    }

    fn end_of(&self, offset: usize) -> usize {
        let Some(piece) = self.piece_at(offset.saturating_sub(1)) else {
            return 0;
        };
        let inside = offset - piece.flow;
        if piece.source_len == piece.flow_len {
            piece.source + inside.min(piece.source_len)
        } else {
            piece.source + piece.source_len
        }
    }
}
