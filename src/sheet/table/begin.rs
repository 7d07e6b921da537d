//! Where a table begins, and heads that run over lines or columns before it is a draft.

use super::grid::{Segment, part_head, segments};
use super::{Cell, Reader, Row, is_figure};
use crate::sheet::lines::{BAR, GAP, Line};
use crate::sheet::marks;
use std::ops::Range;

impl Reader<'_> {
    /// Whether a table that begins at `at` would be made of lines that proved to be none with many a line above this one as the first:
    /// then it is looked for at few of them, so that each is walked over a few times and not once for each line above it.
    pub(super) fn passed_over(&self, at: usize) -> bool {
        /// First lines that are tried one after the other, and last ones of which each is tried.
        const TRIED: usize = 32;
        let (end, tried) = self.no_table;
        let left = end.saturating_sub(at);
        tried >= TRIED && left > TRIED && !left.is_power_of_two()
    }

    /// Whether lines below the first are numbered one after the other at their left: each number begins a row, and what stands further in
    /// goes on with it.
    pub(super) fn numbered(&self, rows: &[Vec<Segment>]) -> bool {
        const FEWEST: usize = 3;
        let Some(left) = rows
            .iter()
            .skip(1)
            .filter_map(|row| row.first())
            .map(|first| first.from)
            .min()
        else {
            return false;
        };
        let mut last = None;
        let mut count = 0;
        for first in rows.iter().skip(1).filter_map(|row| row.first()) {
            match self.number_of(first).filter(|_| first.from <= left + 2) {
                Some(number) if last.is_none_or(|last: u32| number == last + 1) => {
                    last = Some(number);
                    count += 1;
                }
                Some(_) => return false,
                None if first.from <= left + 1 && count > 0 => break,
                None => {}
            }
        }
        count >= FEWEST
    }

    /// Whether the stretch of a line goes on with the cell of a numbered row, below another that does: the next number stands in one of
    /// the lines that follow, or there have been several.
    pub(super) fn numbered_on(
        &self,
        rows: &[Vec<Segment>],
        stretch: &Segment,
        at: usize,
        end: usize,
    ) -> bool {
        /// Lines of a cell below this one.
        const LINES: usize = 8;
        let below = matches!(rows.last().map(Vec::as_slice), Some([above])
            if above.from == stretch.from && above.from > 0);
        let Some(last) = rows
            .iter()
            .rev()
            .find(|row| row.len() > 1)
            .filter(|_| below)
        else {
            return false;
        };
        // A row above it may have no number, where it goes on in two columns.
        let mut numbers = rows
            .iter()
            .rev()
            .take(LINES)
            .filter_map(|row| self.number_of(row.first()?));
        let Some(number) = self.number_of(&last[0]).or_else(|| numbers.next()) else {
            return false;
        };
        let follows = |at: usize| {
            let line = self.line(at)?;
            self.number_of(segments(self.text, line).first()?)
        };
        let near = &rows[rows.len().saturating_sub(4 * LINES)..];
        (at + 1..end.min(at + LINES)).find_map(follows) == Some(number + 1) || self.numbered(near)
    }

    /// The number that a stretch is.
    fn number_of(&self, stretch: &Segment) -> Option<u32> {
        let words = self.text.get(stretch.range.clone())?;
        words.trim_end_matches(['.', ')']).parse().ok()
    }

    /// Whether of the cells of a row one goes on in the middle of a sentence of the row above, and the rest are figures over which
    /// nothing stands there.
    pub(super) fn completes(&self, above: &Row, row: &Row) -> bool {
        let words = |cell: &Cell| {
            let range = cell.first().map_or(0..0, Clone::clone);
            self.text.get(range).unwrap_or("")
        };
        let filled = || row.iter().enumerate().filter(|(_, cell)| !cell.is_empty());
        let over = |column: usize| above.get(column).filter(|cell| !cell.is_empty());
        let goes_on = |column: usize, cell: &Cell| {
            over(column).is_some_and(|head| {
                words(cell).starts_with(char::is_lowercase)
                    && !words(head).ends_with(['.', '!', '?', ';', ':'])
            })
        };
        let running = filled()
            .filter(|&(column, cell)| goes_on(column, cell))
            .count();
        let rest = || filled().filter(|&(column, cell)| !goes_on(column, cell));
        running == 1
            && rest().next().is_some()
            && rest().all(|(column, cell)| over(column).is_none() && is_figure(words(cell)))
    }

    /// Whether a table begins at line `at`.
    pub(in crate::sheet) fn starts_table(&self, at: usize, end: usize) -> bool {
        let (Some(line), Some(next)) = (self.line(at), self.line(at + 1)) else {
            return false;
        };
        if at + 1 >= end {
            return false;
        }
        if line.has(BAR) {
            return next.has(BAR) && self.cells_of(line).len() == self.cells_of(next).len();
        }
        if !line.has(GAP) {
            return false;
        }
        let own = segments(self.text, line);
        let below = segments(self.text, next);
        // `DAMPING` over `FACTOR`: heads that go on in a second line, and the first row of values below.
        let goes_on = || {
            let third = self.line(at + 2).filter(|_| at + 2 < end);
            own.len() >= 3
                && (2..own.len()).contains(&below.len())
                && (below.iter()).all(|segment| own.iter().any(|head| head.from == segment.from))
                && third.is_some_and(|third| {
                    third.has(GAP) && segments(self.text, third).len() == own.len()
                })
        };
        own.len() >= 2
            && (next.has(GAP) && (below.len() == own.len() || goes_on())
                || marks::is_rule(self.words(at + 1)))
    }

    /// Parts what runs over two columns in the rows above the first value.
    pub(super) fn part_heads(&self, rows: &mut [Vec<Segment>], columns: &[Range<usize>]) {
        let valued = |row: &[Segment]| {
            row.iter()
                .any(|segment| is_figure(self.text.get(segment.range.clone()).unwrap_or("")))
        };
        for row in rows.iter_mut().take_while(|row| !valued(row)) {
            part_head(self.text, row, columns);
        }
    }

    /// Whether the only words of a line, set in, go on with the head of the row above, which has its values already:
    /// `Resistance, 20 °C    13.3    7.98` over `  each conductor, Ω/km`.
    pub(super) fn head_goes_on(&self, more: &Segment, rows: &[Vec<Segment>]) -> bool {
        /// Most columns by which they are set in.
        const SET_IN: usize = 6;
        let words = |segment: &Segment| self.text.get(segment.range.clone()).unwrap_or("");
        let Some([head, first, second, ..]) = rows.last().map(Vec::as_slice) else {
            return false;
        };
        let own = words(more);
        rows.len() > 1
            && more.from > head.from
            && more.from <= head.from + SET_IN
            && more.to <= first.from
            && own.starts_with(|letter: char| letter.is_lowercase() || letter == '(')
            && !own.ends_with(['.', ':', '!', '?'])
            && !is_figure(words(head))
            && is_figure(words(first))
            && is_figure(words(second))
    }

    /// Whether the only words of line `at` are the first part of a head that goes on in the next line, further to the right, with
    /// values beside it in the columns of the rows above.
    pub(super) fn heads_next(
        &self,
        at: usize,
        end: usize,
        head: &Segment,
        rows: &[Vec<Segment>],
    ) -> bool {
        const ABOVE: usize = 8;
        let Some(next) = self.line(at + 1).filter(|_| at + 1 < end) else {
            return false;
        };
        let words = self.text.get(head.range.clone()).unwrap_or("");
        let below = segments(self.text, next);
        let alike = || {
            let last = rows.iter().rev().take(ABOVE);
            last.filter(|row| row.len() == below.len())
        };
        let Some(above) = alike().next() else {
            return false;
        };
        let starts_alike = |(own, above): (&Segment, &Segment)| own.from.abs_diff(above.from) <= 2;
        below.len() >= 2
            && !words.ends_with(['.', ':', '!', '?'])
            && !is_figure(words)
            && alike().any(|row| row.first().is_some_and(|first| first.from == head.from))
            && below
                .first()
                .is_some_and(|first| first.from > head.from && first.from <= head.from + 4)
            && below.iter().zip(above).skip(1).all(starts_alike)
    }

    /// Whether a table whose columns have names goes on at line `at` behind a blank line, with values below the same names; what
    /// stands over these values, if anything does.
    pub(super) fn resumes(&self, at: usize, rows: &[Vec<Segment>]) -> Option<Option<Range<usize>>> {
        const BLANK: u8 = 2;
        let (named, body) = rows.split_first()?;
        let words = |segment: &Segment| self.text.get(segment.range.clone()).unwrap_or("");
        let valued = |row: &[Segment]| row.iter().any(|segment| is_figure(words(segment)));
        let count = rows
            .iter()
            .map(Vec::len)
            .max()
            .filter(|&count| count >= 3)?;
        let above = body.iter().rev().find(|row| row.len() == count)?;
        // Names over all columns of values, and none of them a value.
        let headed = !valued(named)
            && named.len() + 1 >= count
            && (named.iter().rev().zip(above.iter().rev()))
                .all(|(name, value)| name.from.abs_diff(value.from) <= 1);
        let first = self
            .line(at)
            .filter(|line| headed && line.blank <= BLANK && !line.page)?;
        let end = self.chunk_end(at);
        let fits = |row: &[Segment], whole: bool| {
            let values = if whole { row.get(1..) } else { Some(row) };
            values.is_some_and(|values| {
                values.len() + 1 == count
                    && values.iter().zip(above.iter().skip(1)).all(|(own, above)| {
                        own.from.abs_diff(above.from) <= 1 && is_figure(words(own))
                    })
            }) && (!whole || row.first().is_some_and(|name| !is_figure(words(name))))
        };
        let own = segments(self.text, first);
        if fits(&own, true) {
            return Some(None);
        }
        let [head] = own.as_slice() else { return None };
        let plain = !is_figure(words(head)) && !words(head).ends_with(['.', '!', '?']);
        // "In service:" between two blank lines, and as many values as before below it.
        if at + 1 == end {
            const LONGEST: usize = 60;
            let rows = self.chunk_end(end).min(end + 2);
            let row = |at: usize| self.line(at).map(|line| segments(self.text, line));
            let near = |line: &&Line| line.blank <= BLANK && !line.page;
            let goes_on = self.line(end).filter(near).is_some()
                && rows > end
                && (end..rows).all(|at| row(at).is_some_and(|row| fits(&row, true)));
            let title = words(head).len() <= LONGEST && marks::mark(words(head)).is_none();
            return (plain && title && goes_on).then(|| Some(head.range.clone()));
        }
        let next = self.line(at + 1)?;
        let below = segments(self.text, next);
        (plain && (fits(&below, true) || fits(&below, false))).then(|| Some(head.range.clone()))
    }

    /// Whether line `at` alone holds the names of columns whose values begin behind a blank line, below the same places.
    pub(in crate::sheet) fn heads_over_blank(&self, at: usize, end: usize) -> bool {
        const BLANK: u8 = 2;
        let next = self
            .line(end)
            .filter(|next| !next.page && next.blank <= BLANK);
        next.is_some()
            && at + 1 == end
            && self.heads_at(at, end)
            && self.chunk_end(end) > end + 1
            && self.heads_at(at, end + 1)
    }

    /// Whether line `at` holds the names of columns, in spaced letters or not, and the next line values below the same places.
    pub(in crate::sheet) fn heads_over(&self, at: usize, end: usize) -> bool {
        at + 2 < end && self.heads_at(at, at + 1) && self.heads_at(at, at + 2)
    }

    /// Whether the stretches of line `row` are values that begin where those of line `at` do, which are names.
    fn heads_at(&self, at: usize, row: usize) -> bool {
        const LONGEST: usize = 40;
        let (Some(line), Some(below)) = (self.line(at), self.line(row)) else {
            return false;
        };
        if !line.has(GAP) || !below.has(GAP) {
            return false;
        }
        let words = |segment: &Segment| self.text.get(segment.range.clone()).unwrap_or("");
        let (names, values) = (segments(self.text, line), segments(self.text, below));
        names.len() >= 2
            && names.len() == values.len()
            && names.iter().all(|name| {
                let name = words(name);
                name.starts_with(char::is_uppercase) && name.len() <= LONGEST
            })
            && names
                .iter()
                .zip(&values)
                .all(|(name, value)| value.from.abs_diff(name.from) <= 1 && is_figure(words(value)))
    }
}
