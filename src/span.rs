//! Where a word stands: a half-open byte range in the running text of a document.
//!
//! Every step after `sheet` speaks in these offsets. [`crate::sheet::Flow`] leads them back to the decoded text and
//! [`crate::input::Source`] from there to the bytes on disk.

use std::ops::Range;

/// A half-open byte range in the running text (always on character borders).
///
/// Offsets are kept in 32 bits, since a document has one for nearly each of its words: no document is longer than
/// [`crate::input::MAX_BYTES`], far below that, and its running text is hardly longer than it. An offset that does not fit is the
/// largest that does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    start: u32,
    end: u32,
}

/// An offset as it is kept.
#[inline]
fn narrow(offset: usize) -> u32 {
    u32::try_from(offset).unwrap_or(u32::MAX)
}

impl Span {
    /// A span from `start` to `end`; an end before the start is pulled up to it.
    #[inline]
    #[must_use]
    pub fn new(start: usize, end: usize) -> Self {
        Self {
            start: narrow(start),
            end: narrow(end.max(start)),
        }
    }

    /// First byte.
    #[inline]
    #[must_use]
    pub fn start(&self) -> usize {
        self.start as usize
    }

    /// One past the last byte.
    #[inline]
    #[must_use]
    pub fn end(&self) -> usize {
        self.end as usize
    }

    /// The quoted words, or nothing when the span lies outside `text`.
    #[inline]
    #[must_use]
    pub fn of<'t>(&self, text: &'t str) -> &'t str {
        text.get(self.start()..self.end()).unwrap_or("")
    }

    /// The smallest span that holds both.
    #[inline]
    #[must_use]
    pub fn join(self, other: Self) -> Self {
        Self {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// Whether `other` lies wholly inside.
    #[inline]
    #[must_use]
    pub fn contains(&self, other: Self) -> bool {
        self.start <= other.start && other.end <= self.end
    }

    /// Whether the two share at least one byte.
    #[inline]
    #[must_use]
    pub fn overlaps(&self, other: Self) -> bool {
        self.start < other.end && other.start < self.end
    }

    /// Length in bytes.
    #[inline]
    #[must_use]
    pub fn len(&self) -> usize {
        self.end() - self.start()
    }

    /// Whether it holds no byte.
    #[inline]
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.end == self.start
    }
}

impl From<Range<usize>> for Span {
    fn from(range: Range<usize>) -> Self {
        Self::new(range.start, range.end)
    }
}
