//! Physical lines, without the marks that say who is quoted and where a page ends.

use std::ops::Range;

/// A line that holds something.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    start: u32,
    end: u32,
    /// Column of the first letter.
    pub(super) indent: u16,
    /// Depth of `>` marks.
    pub(super) quote: u8,
    /// Blank lines before it, up to 255.
    pub(super) blank: u8,
    /// What stands in it.
    pub(super) has: u8,
    /// First line after a form feed.
    pub(super) page: bool,
    /// Whether columns begin or end here.
    pub(super) edge: Edge,
}

/// Where lines that stood side by side begin and end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Edge {
    /// Neither.
    No,
    /// The first line of the first column.
    In,
    /// The first line below them.
    Out,
}

/// Two or more blanks, or a tab, inside the line.
pub(super) const GAP: u8 = 1;
/// A colon.
pub(super) const COLON: u8 = 2;
/// A bar, plain or drawn.
pub(super) const BAR: u8 = 4;
/// An equals sign.
pub(super) const EQUALS: u8 = 8;
/// Two full stops in a row, or one between blanks.
pub(super) const LEADER: u8 = 16;
/// Letters outside ASCII.
pub(super) const WIDE: u8 = 32;
/// A tab inside the line.
pub(super) const TAB: u8 = 64;

impl Line {
    pub(super) fn range(&self) -> Range<usize> {
        wide(self.start)..wide(self.end)
    }

    pub(super) fn start(&self) -> usize {
        wide(self.start)
    }

    pub(super) fn end(&self) -> usize {
        wide(self.end)
    }

    pub(super) fn of<'t>(&self, text: &'t str) -> &'t str {
        text.get(self.range()).unwrap_or("")
    }

    pub(super) fn has(&self, what: u8) -> bool {
        self.has & what != 0
    }

    /// Number of characters.
    pub(super) fn width(&self, text: &str) -> usize {
        if self.has(WIDE) {
            self.of(text).chars().count()
        } else {
            self.end() - self.start()
        }
    }

    /// Column one past the last letter.
    pub(super) fn end_column(&self, text: &str) -> usize {
        usize::from(self.indent) + self.width(text)
    }

    /// A line of its own for a stretch of another one.
    pub(super) fn of_range(text: &str, range: Range<usize>, indent: usize) -> Self {
        Self {
            start: 0,
            end: 0,
            indent: 0,
            quote: 0,
            blank: 0,
            has: 0,
            page: false,
            edge: Edge::No,
        }
        .part(text, range, indent)
    }

    /// The part of the line in `range`, which begins at column `indent`.
    pub(super) fn part(&self, text: &str, range: Range<usize>, indent: usize) -> Self {
        let mut part = Self {
            start: narrow(range.start),
            end: narrow(range.end),
            indent: u16::try_from(indent).unwrap_or(u16::MAX),
            has: 0,
            edge: if range.start <= self.start() {
                self.edge
            } else {
                Edge::No
            },
            ..*self
        };
        part.has = contents(part.of(text).as_bytes());
        part
    }
}

fn narrow(offset: usize) -> u32 {
    u32::try_from(offset).unwrap_or(u32::MAX)
}

fn wide(offset: u32) -> usize {
    usize::try_from(offset).unwrap_or(usize::MAX)
}

/// What stands in the bytes of a line.
fn contents(bytes: &[u8]) -> u8 {
    static CLASS: [u8; 256] = {
        let mut table = [0; 256];
        table[b':' as usize] = COLON;
        table[b'|' as usize] = BAR;
        table[b'=' as usize] = EQUALS;
        table[b'\t' as usize] = TAB | GAP;
        let mut byte = 0x80;
        while byte < 0x100 {
            table[byte] = WIDE;
            byte += 1;
        }
        table
    };
    let mut has = 0;
    let mut before = 0;
    for (at, &byte) in bytes.iter().enumerate() {
        has |= CLASS[usize::from(byte)];
        if byte == before {
            if byte == b' ' {
                has |= GAP;
            } else if byte == b'.' {
                has |= LEADER;
            }
        } else if byte == b'.' {
            if before == b' ' && bytes.get(at + 1) == Some(&b' ') {
                has |= LEADER;
            }
        } else if byte == 0xE2
            && matches!(
                bytes.get(at + 1..at + 3),
                Some([0x94, 0x82 | 0x83] | [0x95, 0x91])
            )
        {
            // A bar of a drawn box.
            has |= BAR;
        }
        before = byte;
    }
    has
}

/// The lines of `text` that hold something.
pub(super) fn scan(text: &str) -> Vec<Line> {
    let bytes = text.as_bytes();
    let mut lines = Vec::with_capacity(bytes.len() / 64 + 1);
    let mut state = State {
        blank: 0,
        page: false,
    };
    let mut start = 0;
    for end in memchr::memchr2_iter(b'\n', b'\r', bytes) {
        if bytes.get(end) == Some(&b'\n') && end > 0 && bytes.get(end - 1) == Some(&b'\r') {
            start = end + 1;
            continue;
        }
        state.take(text, start, end, &mut lines);
        start = end + 1;
    }
    if start < bytes.len() {
        state.take(text, start, bytes.len(), &mut lines);
    }
    if points_by_quote_marks(&lines) {
        for line in &mut lines {
            line.quote = 0;
        }
    }
    lines
}

/// Whether `>` stands before points and quotes nobody: the lines that go on with a point are set in below it, without the mark.
fn points_by_quote_marks(lines: &[Line]) -> bool {
    const FEWEST: usize = 2;
    let mut points = 0;
    for pair in lines.windows(2) {
        let [first, next] = pair else { continue };
        if first.quote == 0 || next.blank > 0 {
            continue;
        }
        if next.quote > 0 {
            return false;
        }
        points += usize::from(next.indent > 0);
    }
    points >= FEWEST
}

struct State {
    blank: u8,
    page: bool,
}

impl State {
    fn take(&mut self, text: &str, mut start: usize, mut end: usize, lines: &mut Vec<Line>) {
        let bytes = text.as_bytes();
        let mut column = 0_usize;
        let mut quote = 0_u8;
        while let Some(&byte) = bytes.get(start..end).and_then(<[u8]>::first) {
            match byte {
                b' ' => column += 1,
                b'\t' => column = column / 8 * 8 + 8,
                0x0C => {
                    self.page = true;
                    column = 0;
                }
                // A quote mark at the start of the line; `>5 m` and `> 10 000` are no mark.
                b'>' if column <= 3 && is_quote_mark(bytes.get(start + 1..end).unwrap_or(&[])) => {
                    quote = quote.saturating_add(1);
                    column = 0;
                    // The blank after it belongs to it.
                    if bytes.get(start + 1..end).and_then(<[u8]>::first) == Some(&b' ') {
                        start += 1;
                    }
                }
                _ => break,
            }
            start += 1;
        }
        while end > start
            && bytes
                .get(end - 1)
                .is_some_and(|byte| matches!(byte, b' ' | b'\t' | 0x0C))
        {
            end -= 1;
        }
        if start >= end {
            self.blank = self.blank.saturating_add(1);
            return;
        }
        self.add(text, start, end, column, quote, lines);
    }

    fn add(
        &mut self,
        text: &str,
        start: usize,
        end: usize,
        column: usize,
        quote: u8,
        lines: &mut Vec<Line>,
    ) {
        lines.push(Line {
            start: narrow(start),
            end: narrow(end),
            indent: u16::try_from(column).unwrap_or(u16::MAX),
            quote,
            blank: self.blank,
            has: contents(text.as_bytes().get(start..end).unwrap_or(&[])),
            page: self.page,
            edge: Edge::No,
        });
        self.blank = 0;
        self.page = false;
    }
}

fn is_quote_mark(rest: &[u8]) -> bool {
    match rest {
        [] => true,
        [b' ', digit, ..] => !digit.is_ascii_digit() || long_prose(rest),
        [b'>', ..] => true,
        [letter, ..] => {
            *letter == b'\t' || letter.is_ascii_alphabetic() || matches!(letter, b'"' | b'(' | b'*')
        }
    }
}

/// Whether a line that would be a limit (`> 10 000 bends`) is too long for one.
fn long_prose(rest: &[u8]) -> bool {
    rest.len() > 40
}
