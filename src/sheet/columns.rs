//! Running text in two columns or more: the left one is read first, then the right one.

mod fields;
mod gutter;

pub(super) use fields::unfold as fields;
pub(super) use gutter::unfold as beside_heads;

use super::lines::{Edge, GAP, Line};
use super::table::{Segment, is_quotation, segments};
use std::collections::BTreeMap;

/// Most columns that stand side by side, less one.
const DEEPEST: usize = 3;
/// Most lines of the head of a table: its names and what is drawn below them.
const HEAD: usize = 2;
/// Lines that must show the gutter, with nothing else that tells of it.
const LEAST_LINES: usize = 4;
/// The same where each side goes on from line to line.
const FEWEST_LINES: usize = 3;

/// Puts the lines of columns of running text one below the other.
pub(super) fn unfold(text: &str, lines: Vec<Line>) -> Vec<Line> {
    if lines.iter().filter(|line| line.has(GAP)).count() < FEWEST_LINES {
        return lines;
    }
    let mut out = Vec::with_capacity(lines.len());
    let mut start = 0;
    for at in 1..=lines.len() {
        // A page at a time.
        if lines.get(at).is_none_or(|line| line.page) {
            let page = lines.get(start..at).unwrap_or(&[]);
            unfold_page(text, page, DEEPEST, &mut out);
            start = at;
        }
    }
    out
}

fn unfold_page(text: &str, page: &[Line], depth: usize, out: &mut Vec<Line>) {
    let found = gutter(text, page, depth);
    let Some((column, first, last)) = found else {
        out.extend_from_slice(page);
        return;
    };
    out.extend_from_slice(page.get(..first).unwrap_or(&[]));
    let mut left = Vec::new();
    let mut right = Vec::new();
    let mut right_blank = 0_u8;
    let mut left_blank = 0_u8;
    for line in page.get(first..last).unwrap_or(&[]) {
        let (one, other) = cut(text, line, column);
        left_blank = left_blank.max(line.blank);
        right_blank = right_blank.max(line.blank);
        if let Some(mut one) = one {
            one.blank = left_blank;
            left_blank = 0;
            left.push(one);
        } else {
            left_blank = left_blank.saturating_add(1);
        }
        if let Some(mut other) = other {
            other.blank = right_blank;
            other.page = false;
            right_blank = 0;
            right.push(other);
        } else {
            right_blank = right_blank.saturating_add(1);
        }
    }
    let goes_on = |above: &Line, below: &Line| {
        !above
            .of(text)
            .ends_with(['.', '!', '?', ':', '…', '"', '”'])
            && below.of(text).starts_with(char::is_lowercase)
    };
    if let Some(line) = right.first_mut() {
        line.blank = match left.last() {
            Some(above) if goes_on(above, line) => 0,
            _ => line.blank.max(1),
        };
    }
    let shift = right.iter().map(|line| line.indent).min().unwrap_or(0);
    for line in &mut right {
        line.indent -= shift;
    }
    if let Some(line) = left.first_mut() {
        line.blank = line.blank.max(1);
        if line.edge == Edge::No {
            line.edge = Edge::In;
        }
    }
    out.extend(left);
    let inner = out.len();
    unfold_page(text, &right, depth - 1, out);
    for line in out.iter_mut().skip(inner) {
        line.edge = Edge::No;
    }
    // What comes below may stand in columns too.
    let mut rest = page.get(last..).unwrap_or(&[]).to_vec();
    if let Some(line) = rest.first_mut() {
        line.blank = line.blank.max(1);
        line.edge = Edge::Out;
    }
    unfold_page(text, &rest, depth - 1, out);
}

/// The two sides of a line.
fn cut(text: &str, line: &Line, column: usize) -> (Option<Line>, Option<Line>) {
    if usize::from(line.indent) + 1 >= column {
        return (None, Some(*line));
    }
    if line.end_column(text) <= column {
        return (Some(*line), None);
    }
    let parts = segments(text, line);
    let split = parts.iter().position(|part| part.from + 1 >= column);
    match split.and_then(|split| parts.get(split).map(|part| (split, part))) {
        Some((split, part)) if split > 0 => {
            let end = parts
                .get(split - 1)
                .map_or(line.start(), |part| part.range.end);
            (
                Some(line.part(text, line.start()..end, usize::from(line.indent))),
                Some(line.part(text, part.range.start..line.end(), part.from)),
            )
        }
        _ => (Some(*line), None),
    }
}

/// Where a column begins that runs beside another one, and the lines between which it does.
fn gutter(text: &str, page: &[Line], depth: usize) -> Option<(usize, usize, usize)> {
    if depth == 0 {
        return None;
    }
    // Columns at which a stretch begins after a gap.
    let mut starts: BTreeMap<usize, usize> = BTreeMap::new();
    for line in page.iter().filter(|line| line.has(GAP)) {
        let parts = segments(text, line);
        if parts.len() > 3 {
            continue;
        }
        for pair in parts.windows(2) {
            // A name with its value is no running text.
            if let [left, right] = pair
                && left.to - left.from >= 18
                && !text.get(left.range.clone()).is_some_and(|left| {
                    let label = left.len() < 40
                        && (!left.ends_with('.') || left.split_whitespace().nth(3).is_none());
                    left.ends_with([':', '.', '=']) && label
                })
            {
                *starts.entry(right.from).or_default() += 1;
            }
        }
    }
    let mut candidates: Vec<(usize, usize)> = starts
        .into_iter()
        .filter(|(_, count)| *count + 1 >= FEWEST_LINES)
        .collect();
    candidates.sort_by_key(|(column, count)| (std::cmp::Reverse(*count), *column));
    candidates.into_iter().take(4).find_map(|(column, _)| {
        region(text, page, column, depth).map(|(first, last)| (column, first, last))
    })
}

/// How a line stands to a gutter.
enum Side {
    Both,
    Left,
    Right,
    Across,
}

fn side(text: &str, line: &Line, column: usize) -> Side {
    if usize::from(line.indent) + 1 >= column {
        return Side::Right;
    }
    if line.end_column(text) + 1 < column {
        return Side::Left;
    }
    let parts: Vec<Segment> = segments(text, line);
    if parts
        .iter()
        .any(|part| part.from + 1 < column && part.to + 1 > column)
    {
        return Side::Across;
    }
    if parts.iter().any(|part| part.from + 1 >= column) {
        Side::Both
    } else {
        Side::Left
    }
}

/// The longest stretch of lines that leave the gutter free, if running text stands on both sides of it.
fn region(text: &str, page: &[Line], column: usize, depth: usize) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize, usize)> = None;
    let mut start = 0;
    let mut both = 0;
    let mut first_both = None;
    for at in 0..=page.len() {
        let here = page.get(at).map(|line| side(text, line, column));
        match here {
            Some(Side::Both | Side::Right) => {
                both += 1;
                first_both.get_or_insert(at);
            }
            Some(Side::Left) => {}
            Some(Side::Across) | None => {
                if let Some(first) = first_both
                    && best.is_none_or(|(_, _, count)| both > count)
                {
                    // Lines above that stand in the left column go with it when no blank line parts them.
                    let mut from = first;
                    while from > start && page.get(from).is_some_and(|line| line.blank == 0) {
                        from -= 1;
                    }
                    best = Some((from, at, both));
                }
                start = at + 1;
                both = 0;
                first_both = None;
            }
        }
    }
    let (first, last, both) = best?;
    if both < FEWEST_LINES {
        return None;
    }
    let first = first + head(text, page.get(first..last)?, column);
    let last = first + foot(text, page.get(first..last)?, column);
    let lines = page.get(first..last)?;
    runs(text, lines, column, depth).then_some((first, last))
}

/// How many lines stand above the columns: the head of a page, whose right end begins elsewhere than they do.
fn head(text: &str, lines: &[Line], column: usize) -> usize {
    let fits = |line: &Line| {
        let (_, other) = cut(text, line, column);
        other.is_some_and(|other| usize::from(other.indent).abs_diff(column) <= 1)
    };
    let apart = |at: usize| lines.get(at + 1).is_some_and(|next| next.blank > 0);
    (0..lines.len())
        .take_while(|&at| apart(at) && lines.get(at).is_some_and(|line| !fits(line)))
        .count()
}

/// How many of these lines stand in columns: a short line by itself below them, at the left, belongs to neither.
fn foot(text: &str, lines: &[Line], column: usize) -> usize {
    let right = |line: &Line| matches!(side(text, line, column), Side::Both | Side::Right);
    let end = lines.iter().rposition(right).map_or(0, |last| last + 1);
    let below = lines.get(end..).unwrap_or(&[]);
    let alone = |at: usize| {
        below.get(at).is_some_and(|line| line.blank > 0)
            && below.get(at + 1).is_none_or(|next| next.blank > 0)
    };
    end + (0..below.len())
        .find(|&at| alone(at))
        .unwrap_or(below.len())
}

/// Whether a line holds a few words that may be a title on either side of a gutter.
fn is_head(text: &str, line: &Line, column: usize) -> bool {
    const WORDS: usize = 4;
    let title = |part: Option<Line>| {
        part.is_some_and(|part| {
            let words = part.of(text);
            words.split_whitespace().nth(WORDS).is_none()
                && words.starts_with(|letter: char| letter.is_uppercase() || letter.is_numeric())
                && words.ends_with(|letter: char| letter.is_alphanumeric() || letter == ')')
        })
    };
    let (one, other) = cut(text, line, column);
    title(one) && title(other)
}

/// Whether running text stands on both sides, or beside a list of values; of a few lines, both sides must go on from line to line.
fn runs(text: &str, lines: &[Line], column: usize, depth: usize) -> bool {
    let headed = lines
        .first()
        .is_some_and(|line| is_head(text, line, column));
    let mut left = Prose::default();
    let mut right = Prose::default();
    let mut behind = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let (one, other) = cut(text, line, column);
        behind.extend(other);
        if headed && at == 0 {
            continue;
        }
        if let Some(one) = one {
            left.add(text, &one);
        }
        if let Some(other) = other {
            right.add(text, &other);
        }
    }
    if left.gaps * 5 > left.lines || left.lines == 0 {
        return false;
    }
    // A saying on each line below the head, and what is said to it beside it: rows of a table.
    let of_sayings = |side: &Prose| side.quoted > HEAD && side.quoted + HEAD >= side.lines;
    if left.lines == right.lines && (of_sayings(&left) || of_sayings(&right)) {
        return false;
    }
    // Of three columns, the other two are told apart by themselves.
    if right.gaps * 5 > right.lines {
        return left.is_wrapped() && gutter(text, &behind, depth - 1).is_some();
    }
    if left.lines.min(right.lines) < LEAST_LINES {
        return left.is_wrapped() && right.is_wrapped();
    }
    left.is_prose() && right.words >= right.lines * 2
        || right.is_prose() && left.is_wordy()
        || left.is_narrow() && right.is_narrow()
}

#[derive(Default)]
struct Prose {
    lines: usize,
    words: usize,
    /// Lines that begin in small letters, as wrapped text does.
    small: usize,
    /// Lines that begin with a figure, as values do.
    figures: usize,
    /// Lines with gaps inside, as tables have.
    gaps: usize,
    /// Lines that are a quotation each.
    quoted: usize,
}

impl Prose {
    fn add(&mut self, text: &str, line: &Line) {
        self.gaps += usize::from(line.has(GAP) && segments(text, line).len() > 1);
        let line = line.of(text);
        self.lines += 1;
        self.quoted += usize::from(is_quotation(line));
        self.words += line.split_whitespace().count();
        self.small += usize::from(line.starts_with(char::is_lowercase));
        self.figures += usize::from(line.starts_with(|sign: char| sign.is_ascii_digit()));
    }

    fn is_wordy(&self) -> bool {
        self.words >= self.lines * 4
    }

    fn is_prose(&self) -> bool {
        self.is_wordy() && self.small * 4 >= self.lines
    }

    /// Whether a few words stand on each line, and lines break inside a sentence.
    fn is_wrapped(&self) -> bool {
        self.words >= self.lines * 3
            && self.small * 4 >= self.lines
            && self.figures * 2 < self.lines
    }

    /// Whether most lines go on with the one above, however few words they hold.
    fn is_narrow(&self) -> bool {
        self.is_wrapped() && self.small * 2 >= self.lines
    }
}
