//! Places of words in little room: a dense document has a great many words that name a cable.

use crate::span::Span;
use std::fmt;

/// Spans in the order in which they were told. Most stand a little behind the one before them and are short, so that each takes two
/// bytes or three: its distance and its length, seven bits in each byte and a bit for whether more follow.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct Spans(Box<[u8]>);

impl Spans {
    /// Each of them.
    pub fn iter(&self) -> impl Iterator<Item = Span> + Clone + '_ {
        let mut rest = self.0.iter().copied();
        let mut last = 0_i64;
        std::iter::from_fn(move || {
            let behind = number(&mut rest)?;
            let length = number(&mut rest)?;
            // The lowest bit says whether the span stands before the end of the last one.
            let distance = i64::try_from(behind >> 1).ok()?;
            let start = if behind & 1 == 0 {
                last + distance
            } else {
                last - distance
            };
            let end = start + i64::try_from(length).ok()?;
            last = end;
            Some(Span::new(
                usize::try_from(start).ok()?,
                usize::try_from(end).ok()?,
            ))
        })
    }

    /// The one told first.
    #[must_use]
    pub fn first(&self) -> Option<Span> {
        self.iter().next()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.iter().count()
    }
}

impl FromIterator<Span> for Spans {
    fn from_iter<I: IntoIterator<Item = Span>>(spans: I) -> Self {
        let mut bytes = Vec::new();
        let mut last = 0;
        for span in spans {
            let (start, end) = (span.start(), span.end());
            let before = u64::from(start < last);
            write(&mut bytes, wide(start.abs_diff(last)) << 1 | before);
            write(&mut bytes, wide(end - start));
            last = end;
        }
        Self(bytes.into_boxed_slice())
    }
}

impl fmt::Debug for Spans {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.debug_list().entries(self.iter()).finish()
    }
}

/// Offsets fit in 32 bits.
fn wide(number: usize) -> u64 {
    u64::try_from(number).unwrap_or(0)
}

fn write(bytes: &mut Vec<u8>, mut number: u64) {
    loop {
        let low = u8::try_from(number & 0x7f).unwrap_or(0);
        number >>= 7;
        bytes.push(if number == 0 { low } else { low | 0x80 });
        if number == 0 {
            return;
        }
    }
}

fn number(bytes: &mut impl Iterator<Item = u8>) -> Option<u64> {
    let mut number = 0;
    let mut shift = 0;
    loop {
        let byte = bytes.next()?;
        number |= u64::from(byte & 0x7f) << shift;
        if byte & 0x80 == 0 {
            return Some(number);
        }
        shift += 7;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_come_back_as_they_were_told_in_whatever_order() {
        let told = [
            (3, 9),
            (9, 9),
            (200, 1000),
            (4, 5),
            (4_000_000_000, 4_294_967_295),
            (0, 0),
            (7, 4_294_967_295),
        ]
        .map(|(start, end)| Span::new(start, end));
        let spans: Spans = told.into_iter().collect();
        assert!(spans.iter().eq(told));
        assert_eq!((spans.first(), spans.len()), (Some(told[0]), told.len()));
        let none = Spans::default();
        assert!(none.is_empty() && none.first().is_none());
        let close: Spans = (0..12).map(|at| Span::new(at * 50, at * 50 + 40)).collect();
        assert_eq!(close.0.len(), 24);
    }
}
