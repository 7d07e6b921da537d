//! Tables and pairs: bars, drawn boxes, tabs, and columns kept apart by blanks. Each way to draw a table is tried in turn on the
//! same lines; all give a draft, which `write` makes a table of.

mod bars;
mod begin;
mod grid;
mod heads;
mod pairs;
mod sign;
mod write;

pub(super) use grid::{Segment, segments};

use super::layout::Reader;
use super::lines::{GAP, Line, TAB};
use super::marks::{self, KeyForm};
use grid::{columns, first_under, modal, nearest};
use sign::Sign;
use std::ops::Range;

/// Most cells of one table; what is more is read as another one.
pub const MOST_CELLS: usize = 100_000;

/// A row of a table; a cell may be made of several stretches.
type Row = Vec<Cell>;

/// The stretches of a cell.
type Cell = Vec<Range<usize>>;

/// A table before it is written.
#[derive(Default)]
struct Draft {
    rows: Vec<Row>,
    /// A line is drawn below the first row.
    ruled: bool,
}

/// Whether a cell holds a figure rather than a name: it begins with a digit, a sign or a limit, or is an unit of one.
pub(super) fn is_figure(words: &str) -> bool {
    let mut letters = words
        .trim_start_matches([
            '~', '≈', '≤', '≥', '<', '>', '±', '+', '-', '−', '#', '$', '£', '€', ' ', '.',
        ])
        .chars();
    letters.next().is_some_and(char::is_numeric)
}

/// Whether words are one quotation and nothing else.
pub(super) fn is_quotation(words: &str) -> bool {
    let marks = ['"', '“', '”', '„', '«', '»'];
    words.len() > 2 && words.starts_with(marks) && words.ends_with(marks)
}

/// Whether a stretch is a drawn line under a head.
fn is_drawn(words: &str) -> bool {
    words
        .chars()
        .all(|letter| matches!(letter, '-' | '=' | '_' | '–' | '—' | '─' | '━'))
        && words.chars().nth(2).is_some()
}

/// Behind so many rows with as many values each, one with another number of them is a row as well.
const SURE: usize = 3;

/// Makes a row that has a few values more or less than the others as long as they are: the last one holds the sign itself, or nothing
/// was written behind it. Says whether that was done.
fn evened(words: &str, cells: &mut Vec<Range<usize>>, count: usize, sign: Sign) -> bool {
    const FEW: usize = 3;
    let own = cells.len();
    if own == count || own.abs_diff(count) > FEW || own * 2 < count || own < 2 {
        return false;
    }
    let head = cells.get(..own.min(count) - 1).and_then(|head| head.last());
    let ahead = words.get(..head.map_or(0, |head| head.end)).unwrap_or("");
    if !sign.tight(ahead) {
        return false;
    }
    if own > count {
        let end = cells.last().map_or(0, |last| last.end);
        cells.truncate(count);
        if let Some(last) = cells.last_mut() {
            last.end = end.max(last.start);
        }
    } else if sign == Sign::Semicolon {
        cells.resize(count, words.len()..words.len());
    } else {
        return false;
    }
    true
}

impl Reader<'_> {
    /// A table whose columns are kept apart by blanks or tabs; three columns or more.
    pub(super) fn gap_table(&mut self, at: usize, end: usize) -> Option<usize> {
        let first = *self.line(at)?;
        if !first.has(GAP)
            || self.passed_over(at)
            || self.plain_key(&first) && !self.keyed_rows(at, end)
        {
            return None;
        }
        let mut rows: Vec<Vec<Segment>> = Vec::new();
        // The first line of a head that goes on beside the values of the next line, by row.
        let mut begun: Vec<(usize, Range<usize>)> = Vec::new();
        // What a head goes on with below its own line, by row.
        let mut ended: Vec<(usize, Range<usize>)> = Vec::new();
        // How many rows stand above the first line that is drawn.
        let mut head_rows = 0;
        let mut tabbed = 0;
        let mut next = at;
        let mut reached = 0;
        let mut end = end;
        loop {
            if next >= end {
                let Some(resumed) = self.resumes(next, &rows) else {
                    break;
                };
                end = self.chunk_end(next);
                if let Some(head) = resumed {
                    begun.push((rows.len(), head));
                    next += 1;
                    end = self.chunk_end(next);
                }
            }
            let line = *self.line(next)?;
            if marks::is_rule(self.words(next)) {
                if head_rows == 0 {
                    head_rows = rows.len();
                }
                next += 1;
                continue;
            }
            let mut row = segments(self.text, &line);
            let drawn = row.len();
            row.retain(|segment| !is_drawn(self.text.get(segment.range.clone()).unwrap_or("")));
            let drawn = drawn > row.len() && !row.is_empty();
            let inside = row.first().is_some_and(|first| {
                rows.last()
                    .and_then(|above| above.get(1))
                    .is_some_and(|second| first.from + 2 >= second.from)
                    || row.len() == 1 && self.numbered_on(&rows, first, next, end)
            });
            if row.len() < 2 && !inside && !drawn {
                match row.first() {
                    Some(more) if self.head_goes_on(more, &rows) => {
                        ended.push((rows.len() - 1, more.range.clone()));
                        next += 1;
                        continue;
                    }
                    Some(head) if self.heads_next(next, end, head, &rows) => {
                        begun.push((rows.len(), head.range.clone()));
                        next += 1;
                        continue;
                    }
                    _ => break,
                }
            }
            if line.has(TAB) {
                tabbed += 1;
            }
            reached += row.len();
            if reached > MOST_CELLS {
                self.sheet.cut = true;
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
        let numbered = self.numbered(&rows);
        // Below a number lines of one stretch go on with a cell, however many they are.
        let full = rows.iter().filter(|row| !numbered || row.len() > 1);
        let full: Vec<&Vec<Segment>> = full.collect();
        let count = modal(&full);
        let wide = count >= 3 || head_rows == 1 && count == 2 && self.of_sayings(&rows);
        let found = (wide && !self.remarked(&rows)).then(|| columns(&full, count));
        let Some(columns) = found.flatten() else {
            self.note_no_table(at, next);
            return None;
        };
        self.part_heads(&mut rows, &columns);
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
                let place = if segments.len() < count {
                    first_under(&columns, segment)
                } else {
                    None
                };
                let place = place.unwrap_or_else(|| nearest(&columns, segment));
                if let Some(cell) = row.get_mut(place) {
                    cell.push(segment.range.clone());
                }
            }
            let head = begun.binary_search_by_key(&row_index, |(row, _)| *row);
            if let (Some((_, range)), Some(first)) =
                (head.ok().and_then(|at| begun.get(at)), row.first_mut())
            {
                first.insert(0, range.clone());
            }
            let after = ended.partition_point(|(row, _)| *row < row_index);
            for (_, range) in (ended.iter().skip(after)).take_while(|(row, _)| *row == row_index) {
                if let Some(first) = row.first_mut() {
                    first.push(range.clone());
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
            // “Joined in” over “twos at both ends …   £3.75”: the words go on, and nothing stands over the figures yet.
            let completed = open
                && row_index > head_rows
                && draft
                    .rows
                    .last()
                    .is_some_and(|above| self.completes(above, &row));
            // A head over several columns stays a row of its own, for `heads` to give it to them.
            let over = draft.rows.len() == 1
                && draft.rows.first().is_some_and(|head| {
                    heads::spans(head, &row) || heads::parts(head, &row).next().is_some()
                });
            // "PF50, single, copper, 50 kcmil,": what ends in a comma goes on in the next line.
            let dangling = open
                && row_index > head_rows
                && segments.len() == 1
                && draft.rows.last().is_some_and(|above| {
                    above.iter().zip(&row).any(|(above, own)| {
                        !own.is_empty()
                            && above.last().is_some_and(|range| {
                                self.text.get(range.clone()).unwrap_or("").ends_with(',')
                            })
                    })
                });
            let told_on = numbered && open && segments.len() == 1 && row_index > head_rows;
            if ((headed && !over)
                || dangling
                || completed
                || told_on
                || (continued && !figures && !over))
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

    /// Whether each row below the head is a saying in quotation marks and one stretch to it.
    fn of_sayings(&self, rows: &[Vec<Segment>]) -> bool {
        let mut below = rows.iter().skip(1);
        rows.len() > 2
            && below.all(|row| match row.as_slice() {
                [first, second] => [first, second].iter().any(|segment| {
                    let words = self.text.get(segment.range.clone()).unwrap_or("");
                    is_quotation(words)
                }),
                _ => false,
            })
    }

    /// Notes that the lines from `at` to `next` are no table. Where they are more than one table holds, the next of them reach further.
    fn note_no_table(&mut self, at: usize, next: usize) {
        self.no_table = match self.no_table {
            (end, tried) if at < end => (end.max(next), tried + 1),
            _ => (next, 1),
        };
    }

    /// Lines of values with semicolons or commas between, as many on each.
    pub(super) fn separated_table(&mut self, at: usize, end: usize) -> Option<usize> {
        let words = self.words(at);
        if end - at < 2 || words.len() > 4000 {
            return None;
        }
        let gaps = self.line(at)?.has(GAP);
        for sign in [Sign::Semicolon, Sign::SpacedComma, Sign::Comma] {
            let count = sign.cells(words).len();
            let wide = count >= 3 || (count == 2 && self.two_columns(at, end, sign));
            // Columns kept apart by blanks may hold decimal commas.
            let decimal = sign == Sign::Comma && gaps && commas_in_numbers(words);
            if !wide || decimal || !sign.tight(words) {
                continue;
            }
            let mut rows: Vec<Row> = Vec::new();
            for line in self.lines.get(at..end)? {
                let words = line.of(self.text);
                let mut cells = sign.cells(words);
                let short = (rows.len() + 1 >= SURE || count > SURE)
                    && cells.len() == count
                    && sign.tight(words.trim_end_matches('.'));
                let odd = short || rows.len() >= SURE && evened(words, &mut cells, count, sign);
                if cells.len() != count || !(odd || sign.tight(words)) {
                    break;
                }
                if rows.len() * count > MOST_CELLS {
                    self.sheet.cut = true;
                    break;
                }
                let row = cells.into_iter().map(|cell| {
                    let bare = cell.start + line.start()..cell.end + line.start();
                    if bare.is_empty() {
                        Vec::new()
                    } else {
                        vec![bare]
                    }
                });
                rows.push(row.collect());
            }
            let next = at + rows.len();
            if rows.len() < 2 {
                continue;
            }
            // Of two columns the head has been seen already.
            self.write(Draft {
                rows,
                ruled: count == 2,
            });
            return Some(next);
        }
        None
    }

    /// Whether lines of two values each are a table: a head of words, and a figure behind each name below it.
    fn two_columns(&self, at: usize, end: usize, sign: Sign) -> bool {
        const FEWEST: usize = 3;
        let pair = |at: usize| {
            let words = self.words(at);
            match sign.cells(words).as_slice() {
                [name, value] => Some((words.get(name.clone())?, words.get(value.clone())?)),
                _ => None,
            }
        };
        let figure = |words: &str| words.bytes().any(|byte| byte.is_ascii_digit());
        let headed = pair(at).is_some_and(|(name, value)| ![name, value].into_iter().any(figure));
        sign == Sign::Semicolon
            && headed
            && end - at > FEWEST
            && (at + 1..end).all(|row| {
                pair(row).is_some_and(|(name, value)| !name.is_empty() && is_figure(value))
            })
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

    /// Whether three lines and more each have a key with a colon and two values or more that stand below one another: a table of
    /// things side by side, whose rows are their properties.
    fn keyed_rows(&self, at: usize, end: usize) -> bool {
        const FEWEST: usize = 3;
        let row = |at: usize| -> Option<Vec<Segment>> {
            let line = self.line(at).filter(|_| at < end)?;
            let row = segments(self.text, line);
            let head = self.text.get(row.first()?.range.clone())?;
            (line.has(GAP) && row.len() >= 3 && head.ends_with(':') && head.len() <= 40)
                .then_some(row)
        };
        let Some(first) = row(at) else {
            return false;
        };
        let like = |row: Vec<Segment>| {
            let pairs = || row.iter().zip(&first);
            row.len() == first.len() && pairs().all(|(own, above)| own.from == above.from)
        };
        (at + 1..end)
            .take_while(|&next| row(next).is_some_and(like))
            .count()
            + 1
            >= FEWEST
    }

    /// Cells parted by tabs; an empty one counts when all rows have as many.
    fn tab_table(&mut self, at: usize, next: usize, ruled: bool) -> Option<usize> {
        let mut rows: Vec<Vec<Range<usize>>> = Vec::new();
        for line in self.lines.get(at..next)? {
            let words = line.of(self.text);
            if marks::is_rule(words) {
                continue;
            }
            // Tabs before the first words stand for cells without any.
            let ahead = self.text.get(..line.start()).unwrap_or("");
            let tabs = ahead.len() - ahead.trim_end_matches('\t').len();
            let mut start = 0;
            let mut row = vec![line.start()..line.start(); tabs];
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
        // A tab before every row says nothing.
        let ahead = rows
            .iter()
            .map(|row| row.iter().take_while(|cell| cell.is_empty()).count());
        let ahead = ahead.min().unwrap_or(0);
        for row in &mut rows {
            row.drain(..ahead);
        }
        // Blanks at the end of a line are gone by now. Several tabs in a row that only bring words in line are no empty cells:
        // then all rows have as many words.
        let count = rows.iter().map(Vec::len).max()?;
        let full = |row: &Vec<Range<usize>>| row.iter().filter(|cell| !cell.is_empty()).count();
        let alike = rows
            .iter()
            .all(|row| full(row) == full(rows.first().unwrap_or(row)));
        let even = rows.iter().filter(|row| row.len() == count).count() * 2 > rows.len()
            && (!alike || rows.iter().all(|row| row.len() == count));
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

/// The number of cells that most rows have; the larger one of two.
fn usual_width(rows: &[Row]) -> usize {
    let mut counts: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for row in rows {
        *counts.entry(row.len()).or_default() += 1;
    }
    counts
        .into_iter()
        .max_by_key(|&(width, count)| (count, width))
        .map_or(0, |(width, _)| width)
}

/// Whether all commas of a line stand between two digits: `2,5 mm²   4,0 mm²`.
fn commas_in_numbers(words: &str) -> bool {
    let bytes = words.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    memchr::memchr_iter(b',', bytes).all(|at| at > 0 && digit(at - 1) && digit(at + 1))
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
