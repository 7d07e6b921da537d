//! Where the stretches of lines stand, and which of them stand one below the other.

use super::Line;
use std::ops::Range;

/// A stretch of a line between gaps, with its columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in super::super) struct Segment {
    pub(in super::super) range: Range<usize>,
    pub(in super::super) from: usize,
    pub(in super::super) to: usize,
}

/// The stretches of a line: two blanks or a tab part them, except two blanks after a sentence.
pub(in super::super) fn segments(text: &str, line: &Line) -> Vec<Segment> {
    let bytes = line.of(text).as_bytes();
    let mut found = Vec::new();
    let mut column = usize::from(line.indent);
    let mut from = column;
    let mut start = 0;
    let mut end = 0;
    let mut end_column = column;
    let mut blanks = 0;
    let mut tabs = false;
    let mut last = b' ';
    for (at, &byte) in bytes.iter().enumerate() {
        if byte == b' ' || byte == b'\t' {
            blanks += 1;
            tabs |= byte == b'\t';
            column = if byte == b'\t' {
                column / 8 * 8 + 8
            } else {
                column + 1
            };
            continue;
        }
        if blanks > 0 {
            let stop = matches!(last, b'.' | b'!' | b'?' | b':' | b';' | b',');
            if tabs || blanks > 2 || (blanks == 2 && !stop) {
                found.push(Segment {
                    range: line.start() + start..line.start() + end,
                    from,
                    to: end_column,
                });
                start = at;
                from = column;
            }
            blanks = 0;
            tabs = false;
        }
        last = byte;
        // The bytes that go on with a character take no column.
        column += usize::from(byte & 0xC0 != 0x80);
        end = at + 1;
        end_column = column;
    }
    if end > start {
        found.push(Segment {
            range: line.start() + start..line.start() + end,
            from,
            to: end_column,
        });
    }
    if found.len() > 2 {
        join_limits(text, &mut found);
    }
    found
}

/// Joins the words of a limit to the figure behind them where figures are set flush right: `up to  4 m`.
fn join_limits(text: &str, found: &mut Vec<Segment>) {
    const WORDS: [&str; 8] = [
        "up to", "to", "from", "over", "under", "about", "max", "max.",
    ];
    const GAP: usize = 4;
    let mut at = 0;
    while at + 1 < found.len() {
        let words = text.get(found[at].range.clone()).unwrap_or("");
        let next = found[at + 1].clone();
        let figure = text
            .get(next.range.clone())
            .is_some_and(|next| next.starts_with(|sign: char| sign.is_ascii_digit()));
        if figure
            && next.from - found[at].to <= GAP
            && WORDS.iter().any(|word| words.eq_ignore_ascii_case(word))
        {
            found[at].range.end = next.range.end;
            found[at].to = next.to;
            found.remove(at + 1);
        }
        at += 1;
    }
}

/// The number of stretches that most rows have; the larger one of two.
pub(super) fn modal(rows: &[&Vec<Segment>]) -> usize {
    let mut counts: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for row in rows {
        *counts.entry(row.len()).or_default() += 1;
    }
    counts
        .into_iter()
        .max_by_key(|&(len, count)| (count, len))
        .map_or(0, |(len, _)| len)
}

/// The columns of a table from the rows that have `count` stretches; none when they do not stand one below the other.
pub(super) fn columns(rows: &[&Vec<Segment>], count: usize) -> Option<Vec<Range<usize>>> {
    let mut columns: Vec<Range<usize>> = Vec::new();
    let mut full = 0;
    for row in rows.iter().filter(|row| row.len() == count) {
        full += 1;
        for (index, segment) in row.iter().enumerate() {
            match columns.get_mut(index) {
                Some(column) => {
                    column.start = column.start.min(segment.from);
                    column.end = column.end.max(segment.to);
                }
                None => columns.push(segment.from..segment.to),
            }
        }
    }
    let apart = columns
        .windows(2)
        .all(|pair| matches!(pair, [left, right] if left.end <= right.start));
    if apart && full * 10 >= rows.len() * 5 {
        return Some(columns);
    }
    projected(rows, count)
}

/// The columns that the rows share when cells are missing in different places: the stretches of the page that no row keeps
/// blank. Every row that counts must have at most one stretch in each.
fn projected(rows: &[&Vec<Segment>], count: usize) -> Option<Vec<Range<usize>>> {
    let wide = rows.iter().copied().filter(|row| row.len() + 1 >= count);
    let wide: Vec<&Vec<Segment>> = wide.collect();
    let mut taken: Vec<Range<usize>> = wide
        .iter()
        .flat_map(|row| row.iter().map(|segment| segment.from..segment.to))
        .collect();
    taken.sort_by_key(|stretch| stretch.start);
    let mut columns: Vec<Range<usize>> = Vec::new();
    for stretch in taken {
        match columns.last_mut() {
            Some(last) if stretch.start < last.end => last.end = last.end.max(stretch.end),
            _ => columns.push(stretch),
        }
    }
    let alone = |row: &&Vec<Segment>| {
        row.windows(2).all(|pair| {
            matches!(pair, [left, right] if nearest(&columns, left) < nearest(&columns, right))
        })
    };
    let fits = columns.len() > count
        && columns.len() <= count + 2
        && wide.len() * 10 >= rows.len() * 8
        && wide.iter().all(alone);
    fits.then_some(columns)
}

/// The first of several columns that lie wholly under a stretch, as they do under a head that spans them.
pub(super) fn first_under(columns: &[Range<usize>], segment: &Segment) -> Option<usize> {
    let mut under = columns
        .iter()
        .enumerate()
        .filter(|(_, column)| segment.from <= column.start && column.end <= segment.to);
    let (first, _) = under.next()?;
    under.next().map(|_| first)
}

/// Where words with one blank between run over a border of columns, and each of the other stretches of their row begins where its
/// column does, they are parted at the words that begin where a column begins: `per core, max loop, typical` over `26.0 Ω/km` and
/// `46.6 mΩ/m`.
pub(super) fn part_head(text: &str, row: &mut Vec<Segment>, columns: &[Range<usize>]) {
    if row.len() >= columns.len() || row.len() < 2 {
        return;
    }
    let begins = |at: usize| columns.iter().any(|column| column.start == at);
    if !row.iter().all(|segment| begins(segment.from)) {
        return;
    }
    let mut parted: Vec<Segment> = Vec::new();
    for segment in row.iter() {
        let words = text.get(segment.range.clone()).unwrap_or("");
        let mut rest = segment.clone();
        let mut last = 'x';
        for (column, (at, letter)) in (segment.from..).zip(words.char_indices()) {
            if last == ' ' && begins(column) {
                parted.push(Segment {
                    range: rest.range.start..segment.range.start + at - 1,
                    from: rest.from,
                    to: column - 1,
                });
                rest = Segment {
                    range: segment.range.start + at..segment.range.end,
                    from: column,
                    to: segment.to,
                };
            }
            last = letter;
        }
        parted.push(rest);
    }
    if parted.len() == columns.len() {
        *row = parted;
    }
}

/// The column that a stretch stands in or nearest to.
pub(super) fn nearest(columns: &[Range<usize>], segment: &Segment) -> usize {
    let after = columns.partition_point(|column| column.start < segment.to);
    let distance = |index: usize| {
        columns.get(index).map_or(i64::MAX, |column| {
            let middle = |from: usize, to: usize| i64::try_from(from + to).unwrap_or(i64::MAX);
            let overlap = column
                .end
                .min(segment.to)
                .saturating_sub(column.start.max(segment.from));
            if overlap > 0 {
                -i64::try_from(overlap).unwrap_or(0)
            } else {
                (middle(column.start, column.end) - middle(segment.from, segment.to)).abs()
            }
        })
    };
    let first = after.saturating_sub(2);
    (first..=after)
        .filter(|index| *index < columns.len())
        .min_by_key(|index| distance(*index))
        .unwrap_or(0)
}
