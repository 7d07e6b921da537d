//! Tables and pairs: bars, drawn boxes, tabs, and columns kept apart by blanks. Each way to draw a table is tried in turn on the
//! same lines; all give a draft, which `write` makes a table of.

mod grid;
mod pairs;
mod write;

pub(super) use grid::{Segment, segments};

use super::layout::Reader;
use super::lines::{BAR, GAP, Line, TAB};
use super::marks::{self, KeyForm};
use grid::{columns, modal, nearest};
use std::ops::Range;

/// Most cells of one table.
const MOST_CELLS: usize = 100_000;

/// A row of a table; a cell may be made of several stretches.
type Row = Vec<Vec<Range<usize>>>;

/// A table before it is written.
#[derive(Default)]
struct Draft {
    rows: Vec<Row>,
    /// A line is drawn below the first row.
    ruled: bool,
}

/// Whether a cell holds a figure rather than a name: it begins with a digit, a sign or a limit, or is an unit of one.
fn is_figure(words: &str) -> bool {
    let mut letters = words
        .trim_start_matches([
            '~', '≈', '≤', '≥', '<', '>', '±', '+', '-', '−', '#', '$', '£', '€', ' ', '.',
        ])
        .chars();
    letters.next().is_some_and(char::is_numeric)
}

fn is_bar(letter: char) -> bool {
    matches!(letter, '|' | '\u{2502}' | '\u{2503}' | '\u{2551}')
}

impl Reader<'_> {
    /// Whether a table begins at line `at`.
    pub(super) fn starts_table(&self, at: usize, end: usize) -> bool {
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
        let count = segments(self.text, line).len();
        count >= 2
            && (next.has(GAP) && segments(self.text, next).len() == count
                || marks::is_rule(self.words(at + 1)))
    }

    /// The cells of a line with bars.
    fn cells_of(&self, line: &Line) -> Vec<Range<usize>> {
        let words = line.of(self.text);
        let mut cells = Vec::new();
        let mut start = 0;
        for (at, letter) in words.char_indices() {
            if is_bar(letter) {
                if at > 0 {
                    cells.push(start..at);
                }
                start = at + letter.len_utf8();
            }
        }
        if !words.get(start..).unwrap_or("").trim().is_empty() {
            cells.push(start..words.len());
        }
        cells
            .into_iter()
            .map(|cell| {
                let inner = words.get(cell.clone()).unwrap_or("");
                let left = inner.len() - inner.trim_start().len();
                let from = line.start() + cell.start + left;
                from..from + inner.trim().len()
            })
            .collect()
    }

    /// A table with bars between its cells.
    pub(super) fn bar_table(&mut self, at: usize, end: usize) -> Option<usize> {
        let mut draft = Draft::default();
        let mut next = at;
        // Rows between two drawn lines that have no first cell go on with the row above.
        let mut rules = 0;
        let mut reached = 0;
        let mut starts: Vec<usize> = Vec::new();
        while next < end {
            let line = *self.line(next)?;
            if marks::is_rule(self.words(next)) {
                if draft.rows.len() == 1 {
                    draft.ruled = true;
                }
                rules += 1;
                starts.push(draft.rows.len());
                next += 1;
                continue;
            }
            if !line.has(BAR) || reached > MOST_CELLS {
                break;
            }
            let cells = self.cells_of(&line);
            reached += cells.len();
            if cells.len() < 2
                && !(cells.len() == 1 && draft.rows.first().is_some_and(|row| row.len() == 1))
            {
                break;
            }
            let row: Row = cells
                .into_iter()
                .map(|cell| {
                    if cell.is_empty() {
                        Vec::new()
                    } else {
                        vec![cell]
                    }
                })
                .collect();
            let goes_on = rules >= 3
                && !starts.contains(&draft.rows.len())
                && row.first().is_some_and(Vec::is_empty)
                && !draft.rows.is_empty();
            if goes_on {
                if let Some(above) = draft.rows.last_mut() {
                    merge(above, row);
                }
            } else {
                draft.rows.push(row);
            }
            next += 1;
        }
        let rows = draft.rows.len();
        let wide = draft.rows.first().map_or(0, Vec::len);
        let alike = draft
            .rows
            .iter()
            .filter(|row| row.len().abs_diff(wide) <= 1)
            .count();
        if wide < 2 || (rows < 2 && rules == 0) || alike * 10 < rows * 6 {
            return None;
        }
        self.write(draft);
        Some(next)
    }

    /// A table whose columns are kept apart by blanks or tabs; three columns or more.
    pub(super) fn gap_table(&mut self, at: usize, end: usize) -> Option<usize> {
        let first = *self.line(at)?;
        if !first.has(GAP) || self.plain_key(&first) {
            return None;
        }
        let mut rows: Vec<Vec<Segment>> = Vec::new();
        // How many rows stand above the first line that is drawn.
        let mut head_rows = 0;
        let mut tabbed = 0;
        let mut next = at;
        let mut reached = 0;
        while next < end {
            let line = *self.line(next)?;
            if marks::is_rule(self.words(next)) {
                if head_rows == 0 {
                    head_rows = rows.len();
                }
                next += 1;
                continue;
            }
            let row = segments(self.text, &line);
            let inside = row.first().is_some_and(|first| {
                rows.last()
                    .and_then(|above| above.get(1))
                    .is_some_and(|second| first.from + 2 >= second.from)
            });
            if row.len() < 2 && !inside {
                break;
            }
            if line.has(TAB) {
                tabbed += 1;
            }
            reached += row.len();
            // No table is as long as this; the rest is read as another one.
            if reached > MOST_CELLS {
                break;
            }
            rows.push(row);
            next += 1;
        }
        if rows.len() < 2 {
            return None;
        }
        if tabbed == rows.len() {
            return self.tab_table(at, next, head_rows == 1);
        }
        let count = modal(&rows);
        if count < 3 {
            return None;
        }
        let columns = columns(&rows, count)?;
        if self.form(&rows) {
            return Some(next);
        }
        let mut draft = Draft {
            rows: Vec::with_capacity(rows.len()),
            ruled: (1..=3).contains(&head_rows),
        };
        for (row_index, segments) in rows.iter().enumerate() {
            let mut row: Row = vec![Vec::new(); columns.len()];
            for segment in segments {
                let place = nearest(&columns, segment);
                if let Some(cell) = row.get_mut(place) {
                    cell.push(segment.range.clone());
                }
            }
            let figures = segments
                .iter()
                .any(|segment| is_figure(self.text.get(segment.range.clone()).unwrap_or("")));
            let open = row.first().is_some_and(Vec::is_empty);
            let headed =
                row_index > 0 && row_index < head_rows && head_rows <= 3 && head_rows < rows.len();
            let continued = open
                && !draft.rows.is_empty()
                && segments.iter().all(|segment| {
                    self.text
                        .get(segment.range.clone())
                        .unwrap_or("")
                        .starts_with(|letter: char| letter.is_lowercase() || letter == '(')
                });
            if (headed || (continued && !figures))
                && let Some(above) = draft.rows.last_mut()
            {
                merge(above, row);
            } else {
                draft.rows.push(row);
            }
        }
        self.write(draft);
        Some(next)
    }

    /// Lines of values with semicolons or commas between, as many on each.
    pub(super) fn separated_table(&mut self, at: usize, end: usize) -> Option<usize> {
        let words = self.words(at);
        if end - at < 2 || words.len() > 4000 {
            return None;
        }
        for sign in [';', ','] {
            let count = words.matches(sign).count();
            // A sentence has blanks after its commas.
            let tight = |words: &str| {
                !words.contains(", ") && !words.contains("; ") && !words.ends_with('.')
            };
            if count < 2 || !tight(words) {
                continue;
            }
            let mut next = at;
            while next < end {
                let words = self.words(next);
                if (next - at) * count > MOST_CELLS
                    || words.matches(sign).count() != count
                    || !tight(words)
                {
                    break;
                }
                next += 1;
            }
            if next - at < 2 {
                continue;
            }
            let mut draft = Draft::default();
            for line in self.lines.get(at..next)? {
                let words = line.of(self.text);
                let mut start = 0;
                let mut row: Row = Vec::new();
                for cut in words
                    .match_indices(sign)
                    .map(|(cut, _)| cut)
                    .chain([words.len()])
                {
                    let cell = words.get(start..cut).unwrap_or("");
                    let bare = cell.trim().trim_matches('"');
                    let from = line.start() + start + cell.find(bare).unwrap_or(0);
                    row.push(if bare.is_empty() {
                        Vec::new()
                    } else {
                        std::iter::once(from..from + bare.len()).collect()
                    });
                    start = cut + 1;
                }
                draft.rows.push(row);
            }
            self.write(draft);
            return Some(next);
        }
        None
    }

    /// Whether a line is a key with its value and no row of a table.
    fn plain_key(&self, line: &Line) -> bool {
        let words = line.of(self.text);
        let gap = words
            .find("  ")
            .into_iter()
            .chain(words.find('\t'))
            .min()
            .unwrap_or(words.len());
        let label = words.get(..gap).unwrap_or("");
        if label.ends_with(':') || marks::leader(words, false).is_some() {
            return true;
        }
        let rest = words.get(gap..).unwrap_or("").trim_start();
        self.key_of(line)
            .is_some_and(|key| key.form != KeyForm::Leader && key.len <= gap)
            || rest.starts_with("= ")
            || rest.starts_with(": ")
    }

    /// Cells parted by tabs; an empty one counts when all rows have as many.
    fn tab_table(&mut self, at: usize, next: usize, ruled: bool) -> Option<usize> {
        let mut rows: Vec<Vec<Range<usize>>> = Vec::new();
        for line in self.lines.get(at..next)? {
            let words = line.of(self.text);
            if marks::is_rule(words) {
                continue;
            }
            let mut start = 0;
            let mut row = Vec::new();
            for end in words
                .match_indices('\t')
                .map(|(end, _)| end)
                .chain([words.len()])
            {
                let cell = words.get(start..end).unwrap_or("");
                let from = line.start() + start + (cell.len() - cell.trim_start().len());
                row.push(from..from + cell.trim().len());
                start = end + 1;
            }
            rows.push(row);
        }
        let count = rows.first()?.len();
        let even = rows.iter().all(|row| row.len() == count);
        let draft = Draft {
            rows: rows
                .into_iter()
                .map(|row| {
                    row.into_iter()
                        .filter(|cell| even || !cell.is_empty())
                        .map(|cell| {
                            if cell.is_empty() {
                                Vec::new()
                            } else {
                                vec![cell]
                            }
                        })
                        .collect()
                })
                .collect(),
            ruled,
        };
        self.write(draft);
        Some(next)
    }
}

/// Adds the stretches of `row` to the cells of `above`.
fn merge(above: &mut Row, row: Row) {
    for (column, cell) in row.into_iter().enumerate() {
        match above.get_mut(column) {
            Some(target) => target.extend(cell),
            None => above.push(cell),
        }
    }
}
