//! Fields or points of several things side by side: `Gauge: 12 AWG     Gauge: 16 AWG`. Those of one thing are read before those of
//! the next. Two columns of fields of one thing have no keys in common, and stay as they are.

use super::{Segment, segments};
use crate::sheet::lines::{BAR, Edge, GAP, Line};
use crate::sheet::marks::{self, MarkKind};
use rustc_hash::FxHashSet;
use std::ops::Range;

/// Most columns that are told apart.
const MOST: usize = 6;
/// Longest line that is looked at, in bytes.
const LONGEST: usize = 400;
/// Columns by which a stretch may begin off the others of its column.
const OFF: usize = 2;

/// What the columns of one line hold.
struct Row {
    /// The stretch of each column.
    parts: Vec<Segment>,
    what: What,
}

enum What {
    /// Fields, with the key of each in small letters.
    Fields(Vec<String>),
    /// Points of lists.
    Points,
}

/// Puts the fields of each column below one another.
pub(in crate::sheet) fn unfold(text: &str, lines: Vec<Line>) -> Vec<Line> {
    let rows: Vec<Option<Row>> = lines.iter().map(|line| row(text, line)).collect();
    if rows.iter().all(Option::is_none) {
        return lines;
    }
    let mut out = Vec::with_capacity(lines.len() * 2);
    let columns = Columns {
        text,
        lines: &lines,
        rows: &rows,
    };
    // Lines up to `open` are in `out`, and those up to `at` have been looked at.
    let (mut open, mut at) = (0, 0);
    while let Some(seed) =
        (at..lines.len()).find(|&line| rows.get(line).is_some_and(Option::is_some))
    {
        let Some(found) = columns.region(seed, at) else {
            break;
        };
        at = found.lines.end.max(seed + 1);
        if columns.of_several(&found, seed) {
            columns.plain(open..found.lines.start, &mut out);
            // Columns right below others are below them first.
            let below = open > 0 && open == found.lines.start;
            columns.put(&found, if below { Edge::Out } else { Edge::In }, &mut out);
            open = at;
        }
    }
    columns.plain(open..lines.len(), &mut out);
    out
}

/// Lines that stand in columns.
struct Region {
    lines: Range<usize>,
    /// Where the columns begin.
    starts: Vec<usize>,
}

/// The stretches of a line: between bars where it has some, else between gaps.
fn stretches(text: &str, line: &Line) -> Vec<Segment> {
    if !line.has(BAR) {
        return segments(text, line);
    }
    let words = line.of(text);
    let is_bar = |letter: char| matches!(letter, '|' | '\u{2502}' | '\u{2503}' | '\u{2551}');
    let mut found = Vec::new();
    let mut start = 0;
    let mut column = usize::from(line.indent);
    for part in words.split(is_bar) {
        let bar = words
            .get(start + part.len()..)
            .and_then(|rest| rest.chars().next());
        let inner = part.trim();
        let ahead = part.len() - part.trim_start().len();
        if !inner.is_empty() {
            let from = line.start() + start + ahead;
            found.push(Segment {
                range: from..from + inner.len(),
                from: column + ahead,
                to: column + ahead + inner.chars().count(),
            });
        }
        column += part.chars().count() + 1;
        start += part.len() + bar.map_or(0, char::len_utf8);
    }
    found
}

/// A line whose columns all hold a field, or all a point.
fn row(text: &str, line: &Line) -> Option<Row> {
    if !line.has(GAP | BAR) || line.quote > 0 || line.end() - line.start() > LONGEST {
        return None;
    }
    let found = stretches(text, line);
    if !(2..=MOST * 2).contains(&found.len()) || marks::is_rule(line.of(text)) {
        return None;
    }
    let words = |segment: &Segment| text.get(segment.range.clone()).unwrap_or("");
    let key = |segment: &Segment| {
        let words = words(segment);
        let key = marks::leader(words, false).or_else(|| marks::key(words))?;
        (key.value < words.len()).then(|| words.get(..key.len).unwrap_or("").to_lowercase())
    };
    if found.len() <= MOST {
        let keys: Option<Vec<String>> = found.iter().map(key).collect();
        if let Some(keys) = keys {
            return Some(Row {
                parts: found,
                what: What::Fields(keys),
            });
        }
        let bullet = |segment: &Segment| match marks::mark(words(segment))?.kind {
            MarkKind::Bullet(sign) => Some(sign),
            _ => None,
        };
        let first = found.first().and_then(bullet);
        if first.is_some() && found.iter().all(|segment| bullet(segment) == first) {
            return Some(Row {
                parts: found,
                what: What::Points,
            });
        }
    }
    // `Gauge    12 AWG      Gauge    16 AWG`: the same name stands before each value.
    let (pairs, rest) = found.as_chunks::<2>();
    let name = |pair: &[Segment; 2]| {
        let name = words(&pair[0])
            .trim_end_matches([':', ' ', '.'])
            .to_lowercase();
        (name.starts_with(char::is_alphabetic) && !words(&pair[1]).ends_with(':')).then_some(name)
    };
    let keys: Option<Vec<String>> = pairs.iter().map(name).collect();
    let keys = keys.filter(|keys| {
        rest.is_empty() && keys.len() >= 2 && keys.windows(2).all(|pair| pair[0] == pair[1])
    })?;
    let parts = pairs.iter().map(|[name, value]| Segment {
        range: name.range.start..value.range.end,
        from: name.from,
        to: value.to,
    });
    Some(Row {
        parts: parts.collect(),
        what: What::Fields(keys),
    })
}

struct Columns<'t> {
    text: &'t str,
    lines: &'t [Line],
    rows: &'t [Option<Row>],
}

impl Columns<'_> {
    fn row(&self, at: usize, count: usize) -> Option<&Row> {
        let row = self.rows.get(at)?.as_ref();
        row.filter(|row| row.parts.len() == count)
    }

    /// Whether line `at` goes on with what stands above it.
    fn follows(&self, at: usize) -> bool {
        const BLANK: u8 = 2;
        let line = self.lines.get(at);
        line.is_some_and(|line| line.blank <= BLANK && !line.page && line.quote == 0)
    }

    /// The stretches of line `at` by column, where none reaches into the next one.
    fn split(&self, at: usize, starts: &[usize]) -> Option<Vec<Option<Segment>>> {
        let line = self.lines.get(at)?;
        if let Some(row) = self.row(at, starts.len()) {
            return Some(row.parts.iter().cloned().map(Some).collect());
        }
        let mut found: Vec<Option<Segment>> = vec![None; starts.len()];
        for segment in stretches(self.text, line) {
            let column = starts.partition_point(|&start| start <= segment.from + OFF);
            let column = column.checked_sub(1)?;
            if starts
                .get(column + 1)
                .is_some_and(|&next| segment.to >= next)
            {
                return None;
            }
            match found.get_mut(column)? {
                Some(own) => {
                    own.range.end = segment.range.end;
                    own.to = segment.to;
                }
                empty => *empty = Some(segment),
            }
        }
        Some(found)
    }

    /// Whether a line has something in two columns at least, each beginning where its column does.
    fn side_by_side(found: &[Option<Segment>], starts: &[usize]) -> bool {
        let mut filled = found.iter().zip(starts).filter_map(|(part, start)| {
            part.as_ref().map(|part| part.from.abs_diff(*start) <= OFF)
        });
        found.iter().flatten().count() >= 2 && filled.all(|fits| fits)
    }

    /// The lines round line `seed` that stand in columns with it, not above line `floor`.
    fn region(&self, seed: usize, floor: usize) -> Option<Region> {
        const BETWEEN: usize = 2;
        /// Columns by which tabs may set a stretch off.
        const TAB: usize = 8;
        let row = self.rows.get(seed)?.as_ref()?;
        let count = row.parts.len();
        let mut starts: Vec<usize> = row.parts.iter().map(|part| part.from).collect();
        // Fields below, so that the columns are known before anything else is laid in them.
        let mut between = 0;
        for at in seed + 1..self.lines.len() {
            if !self.follows(at) || between > BETWEEN {
                break;
            }
            let Some(row) = self.row(at, count) else {
                between += 1;
                continue;
            };
            let pairs = || row.parts.iter().map(|part| part.from).zip(&starts);
            if pairs().any(|(from, start)| from.abs_diff(*start) > TAB) {
                break;
            }
            between = 0;
            starts = pairs().map(|(from, &start)| from.min(start)).collect();
        }
        let mut first = seed;
        while first > floor && self.follows(first) && self.heads(first - 1, &starts) {
            first -= 1;
        }
        let mut end = seed + 1;
        let mut next = end;
        let mut parted = false;
        while next < self.lines.len() && self.follows(next) {
            let line = self.lines.get(next)?;
            parted |= line.blank > 0;
            if marks::is_rule(line.of(self.text)) && !line.has(GAP) {
                next += 1;
                continue;
            }
            let Some(found) = self.split(next, &starts) else {
                break;
            };
            let beside = self.row(next, count).is_some() || Self::side_by_side(&found, &starts);
            let right = found.first().is_some_and(Option::is_none);
            next += 1;
            if beside || right || !parted {
                end = next;
                parted = false;
            }
        }
        Some(Region {
            lines: first..end,
            starts,
        })
    }

    /// Whether line `at` holds what stands over the columns.
    fn heads(&self, at: usize, starts: &[usize]) -> bool {
        let drawn = self.lines.get(at).is_some_and(|line| {
            marks::is_rule(line.of(self.text)) && !line.has(GAP) && line.has(BAR)
        });
        drawn
            || self.split(at, starts).is_some_and(|found| {
                found.iter().all(Option::is_some) && Self::side_by_side(&found, starts)
            })
    }

    /// Whether the fields of the columns have their keys in common, and are thus of as many things.
    fn of_several(&self, region: &Region, seed: usize) -> bool {
        const POINTS: usize = 2;
        let count = region.starts.len();
        let headed = region.lines.start < seed;
        let mut keys: Vec<FxHashSet<&str>> = vec![FxHashSet::default(); count];
        let mut points = 0;
        for row in region.lines.clone().filter_map(|at| self.row(at, count)) {
            match &row.what {
                What::Fields(own) => {
                    for (keys, key) in keys.iter_mut().zip(own) {
                        keys.insert(key);
                    }
                }
                What::Points => points += 1,
            }
        }
        if keys.iter().all(FxHashSet::is_empty) {
            return points >= POINTS;
        }
        keys.windows(2).all(|pair| match pair {
            [left, right] => {
                let shared = left.intersection(right).count();
                shared * 2 >= left.len().min(right.len()) && (shared >= 2 || shared == 1 && headed)
            }
            _ => false,
        })
    }

    /// Appends lines that stand in no columns; what stands below columns is no part of the last one.
    fn plain(&self, range: Range<usize>, out: &mut Vec<Line>) {
        let first = out.len();
        out.extend_from_slice(self.lines.get(range).unwrap_or(&[]));
        if let Some(line) = out.get_mut(first).filter(|_| first > 0) {
            line.blank = line.blank.max(1);
            line.edge = Edge::Out;
        }
    }

    /// Appends the columns of a region, one below the other.
    fn put(&self, region: &Region, edge: Edge, out: &mut Vec<Line>) {
        let starts = &region.starts;
        let mut columns: Vec<Vec<Line>> = vec![Vec::new(); starts.len()];
        let mut blank: Vec<u8> = vec![0; starts.len()];
        for at in region.lines.clone() {
            let Some(line) = self.lines.get(at) else {
                continue;
            };
            let drawn = marks::is_rule(line.of(self.text)) && !line.has(GAP);
            let found = self
                .split(at, starts)
                .filter(|_| !drawn)
                .unwrap_or_default();
            for blank in &mut blank {
                *blank = line.blank.max(*blank);
            }
            for (column, part) in found.into_iter().enumerate() {
                let (Some(own), Some(blank)) = (columns.get_mut(column), blank.get_mut(column))
                else {
                    continue;
                };
                if let Some(part) = part {
                    let mut piece = line.part(self.text, part.range, part.from);
                    piece.blank = std::mem::take(blank);
                    piece.page &= column == 0;
                    own.push(piece);
                } else {
                    *blank = blank.saturating_add(1);
                }
            }
        }
        for (column, mut own) in columns.into_iter().enumerate() {
            let shift = own.iter().map(|line| line.indent).min().unwrap_or(0);
            for line in own.iter_mut().filter(|_| column > 0) {
                line.indent -= shift;
            }
            if let Some(first) = own.first_mut() {
                first.blank = first.blank.max(1);
                if column == 0 {
                    first.edge = edge;
                }
            }
            out.extend(own);
        }
    }
}
