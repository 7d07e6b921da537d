//! The way from a text back to where its bytes came from, piece by piece. A dense sheet has some pieces in each of its lines, so
//! they are kept as what differs from one to the next, in three bytes or four.

use std::ops::Range;

/// Where the bytes of a text came from, piece by piece in the order of the text.
#[derive(Debug, Clone, Default)]
pub(in crate::sheet) struct Map {
    /// All pieces but the last, written one after the other: see [`Map::write`].
    written: Vec<u8>,
    /// Where every [`STRIDE`]th of them begins.
    marks: Vec<Mark>,
    /// How many pieces are written.
    count: usize,
    /// One past the source of the last of these.
    end: u32,
    /// What follows may belong to the last piece.
    last: Option<Piece>,
}

/// Pieces from one mark to the next: the longest walk that a look-up takes.
const STRIDE: usize = 32;

/// Where a piece begins, and where it is written.
#[derive(Debug, Clone, Copy)]
struct Mark {
    here: u32,
    /// One past the source of the piece before.
    source: u32,
    at: u32,
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

/// Appends a number, seven bits a byte, the low ones first; the high bit says that more follow.
fn put(mut number: u64, out: &mut Vec<u8>) {
    while let Ok(low) = u8::try_from(number & 0x7F) {
        number >>= 7;
        if number == 0 {
            out.push(low);
            return;
        }
        out.push(low | 0x80);
    }
}

/// Pieces in order, as they are read back.
struct Pieces<'m> {
    rest: &'m [u8],
    here: u32,
    source: u32,
    last: Option<Piece>,
}

impl Pieces<'_> {
    fn number(&mut self) -> Option<u64> {
        let mut number = 0;
        let mut shift = 0;
        loop {
            let (&byte, rest) = self.rest.split_first()?;
            self.rest = rest;
            number |= u64::from(byte & 0x7F) << shift;
            if byte < 0x80 {
                return Some(number);
            }
            shift += 7;
        }
    }

    fn short(&mut self) -> Option<u32> {
        self.number().and_then(|number| u32::try_from(number).ok())
    }
}

impl Iterator for Pieces<'_> {
    type Item = Piece;

    fn next(&mut self) -> Option<Piece> {
        if self.rest.is_empty() {
            return self.last.take();
        }
        let head = self.number()?;
        let here_len = u32::try_from(head >> 2).ok()?;
        let step = self.short()?;
        let source = if head & 2 == 0 {
            self.source.checked_add(step)?
        } else {
            self.source.checked_sub(step)?
        };
        let source_len = if head & 1 == 0 {
            here_len
        } else {
            self.short()?
        };
        let piece = Piece {
            here: self.here,
            here_len,
            source,
            source_len,
        };
        self.here += here_len;
        self.source = source + source_len;
        Some(piece)
    }
}

impl Map {
    /// Notes that `here_len` bytes at `here`, the end of the text so far, stand for `source_len` bytes at `source`.
    pub(in crate::sheet) fn note(
        &mut self,
        here: usize,
        here_len: usize,
        source: usize,
        source_len: usize,
    ) {
        if here_len == 0 {
            return;
        }
        let piece = Piece {
            here: narrow(here),
            here_len: narrow(here_len),
            source: narrow(source),
            source_len: narrow(source_len),
        };
        if let Some(last) = &mut self.last
            && last.straight()
            && piece.straight()
            && last.source + last.source_len == piece.source
            && last.here + last.here_len == piece.here
        {
            last.source_len += piece.source_len;
            last.here_len += piece.here_len;
        } else {
            self.write();
            self.last = Some(piece);
        }
    }

    /// Writes the last piece: its length here with two bits that tell of what follows, how far its source stands ahead of the end of
    /// that of the piece before or behind it, and the length at the source where it is another.
    fn write(&mut self) {
        let Some(piece) = self.last else { return };
        let before = self.end;
        if self.count.is_multiple_of(STRIDE) {
            self.marks.push(Mark {
                here: piece.here,
                source: before,
                at: narrow(self.written.len()),
            });
        }
        self.count += 1;
        let back = piece.source < before;
        put(
            u64::from(piece.here_len) << 2 | u64::from(back) << 1 | u64::from(!piece.straight()),
            &mut self.written,
        );
        put(u64::from(piece.source.abs_diff(before)), &mut self.written);
        if !piece.straight() {
            put(u64::from(piece.source_len), &mut self.written);
        }
        self.end = piece.source + piece.source_len;
    }

    /// One past the source of the last piece.
    pub(in crate::sheet) fn end(&self) -> usize {
        self.last
            .map_or(0, |piece| wide(piece.source + piece.source_len))
    }

    /// The pieces from the mark before `offset` on.
    fn from(&self, offset: usize) -> Pieces<'_> {
        let offset = narrow(offset);
        let after = self.marks.partition_point(|mark| mark.here <= offset);
        let mark = after.checked_sub(1).and_then(|at| self.marks.get(at));
        let at = mark.map_or(0, |mark| wide(mark.at));
        Pieces {
            rest: self.written.get(at..).unwrap_or(&[]),
            here: mark.map_or(0, |mark| mark.here),
            source: mark.map_or(0, |mark| mark.source),
            last: self.last,
        }
    }

    fn piece_at(&self, offset: usize) -> Option<Piece> {
        let wanted = narrow(offset);
        if let Some(last) = self.last.filter(|last| last.here <= wanted) {
            return Some(last);
        }
        let before = self.from(offset).take_while(|piece| piece.here <= wanted);
        before.last()
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
    pub(in crate::sheet) fn source(&self, range: Range<usize>) -> Range<usize> {
        let start = self.start_of(range.start);
        let end = if range.is_empty() {
            start
        } else {
            self.end_of(range.end)
        };
        start..end.max(start)
    }

    /// Hands `each` the pieces that `range` is made of: the part of the range, and the source that it stands for.
    pub(in crate::sheet) fn pieces(
        &self,
        range: Range<usize>,
        mut each: impl FnMut(Range<usize>, Range<usize>),
    ) {
        for piece in self.from(range.start) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_read_back_as_they_were_noted() {
        // Straight and not, onward, in jumps and back, as columns and entities make them.
        let mut map = Map::default();
        let mut noted = Vec::new();
        let (mut here, mut source) = (0, 40_000);
        for step in 0..1_000_usize {
            let here_len = 1 + step * step % 300;
            let source_len = if step % 3 == 0 {
                here_len + step % 7
            } else {
                here_len
            };
            source = match step % 5 {
                0 => source + step * 11,
                1 => source - 17,
                _ => source + 1,
            };
            map.note(here, here_len, source, source_len);
            noted.push((here..here + here_len, source..source + source_len));
            here += here_len;
            source += source_len;
        }
        assert_eq!(map.end(), source);
        let mut read = Vec::new();
        map.pieces(0..here, |here, source| read.push((here, source)));
        assert_eq!(read, noted);
        for (here, source) in &noted {
            assert_eq!(map.source(here.clone()), *source);
            let mut alone = Vec::new();
            map.pieces(here.clone(), |here, source| alone.push((here, source)));
            assert_eq!(alone, [(here.clone(), source.clone())]);
        }
        assert!(map.written.len() < 6 * noted.len());
    }
}
