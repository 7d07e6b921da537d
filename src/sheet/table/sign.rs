//! The sign between the values of a line. Knows one line at a time.

use std::ops::Range;

/// What stands between the values of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Semicolon,
    /// With a blank on both sides; other commas belong to the values.
    SpacedComma,
    Comma,
}

impl Sign {
    /// Whether a line parts values with it: a sentence has blanks after its commas, and ends.
    pub(super) fn tight(self, words: &str) -> bool {
        let loose = match self {
            Self::Semicolon => words.contains("; "),
            Self::SpacedComma => false,
            Self::Comma => words.contains(", "),
        };
        (!loose || (words.contains('"') && self.quoted_tight(words))) && !words.ends_with('.')
    }

    /// Whether a blank behind the sign stands inside quotation marks or before them, in every place.
    fn quoted_tight(self, words: &str) -> bool {
        let cells = self.cells(words);
        cells.windows(2).all(|pair| {
            let between = words.get(pair[0].end..pair[1].start).unwrap_or("");
            let behind = between
                .trim_start_matches(['"', ' '])
                .get(1..)
                .unwrap_or("");
            !behind.starts_with(' ') || behind.contains('"')
        })
    }

    /// Whether the semicolon or comma at a place of a line parts values.
    fn parts(self, bytes: &[u8], at: usize) -> bool {
        let blank = |at: Option<usize>| at.and_then(|at| bytes.get(at)) == Some(&b' ');
        self != Self::SpacedComma || (blank(at.checked_sub(1)) && blank(Some(at + 1)))
    }

    /// The values of a line, without blanks and quotation marks round them; one in quotation marks may hold the sign itself.
    pub(super) fn cells(self, words: &str) -> Vec<Range<usize>> {
        let bytes = words.as_bytes();
        let mut cells = Vec::new();
        let mut start = 0;
        let mut quoted = false;
        let sign = if self == Self::Semicolon { b';' } else { b',' };
        for at in memchr::memchr2_iter(sign, b'"', bytes).chain([bytes.len()]) {
            if bytes.get(at) == Some(&b'"') {
                let opens = words
                    .get(start..at)
                    .is_some_and(|ahead| ahead.trim().is_empty());
                quoted = if quoted { false } else { opens };
                continue;
            }
            if at < bytes.len() && (quoted || !self.parts(bytes, at)) {
                continue;
            }
            let cell = words.get(start..at).unwrap_or("");
            let bare = cell.trim().trim_matches('"').trim();
            let ahead = |letter: char| letter.is_whitespace() || letter == '"';
            let from = if bare.is_empty() {
                start
            } else if bare.starts_with('"') {
                start + cell.find(bare).unwrap_or(0)
            } else {
                at - cell.trim_start_matches(ahead).len()
            };
            cells.push(from..from + bare.len());
            start = at + 1;
        }
        cells
    }
}
