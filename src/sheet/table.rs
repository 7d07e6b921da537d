//! Tables and pairs: bars, drawn boxes, tabs, and columns kept apart by blanks.
//!
//! Long: the ways to draw a table are tried in turn on the same lines and share their cells.

use super::layout::Reader;
use super::lines::{BAR, GAP, Line, TAB};
use super::marks::{self, KeyForm};
use super::{BlockKind, Table};
use std::ops::Range;

/// Most cells of one table.
const MOST_CELLS: usize = 100_000;

/// A stretch of a line between gaps, with its columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Segment {
    pub(super) range: Range<usize>,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// A row of a table; a cell may be made of several stretches.
type Row = Vec<Vec<Range<usize>>>;

/// A table before it is written.
#[derive(Default)]
struct Draft {
    rows: Vec<Row>,
    /// A line is drawn below the first row.
    ruled: bool,
}

/// The stretches of a line: two blanks or a tab part them, except two blanks after a sentence.
pub(super) fn segments(text: &str, line: &Line) -> Vec<Segment> {
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
    found
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

/// Words that head a column of names or one of values, and name neither.
const PLAIN_HEADS: &[&str] = &[
    "property",
    "parameter",
    "item",
    "spec",
    "specification",
    "specifications",
    "value",
    "values",
    "data",
    "description",
    "feature",
    "quantity",
    "attribute",
    "detail",
    "details",
    "characteristic",
    "figure",
    "",
];

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

    /// A form: labels in capitals and what was filled in, by turns.
    fn form(&mut self, rows: &[Vec<Segment>]) -> bool {
        let label = |segment: &Segment| {
            let words = self.text.get(segment.range.clone()).unwrap_or("");
            words.ends_with(':')
                || (words.chars().any(char::is_uppercase)
                    && !words.chars().any(char::is_lowercase)
                    && !is_figure(words))
        };
        let fits = rows.iter().all(|row| {
            row.len() >= 4
                && row.len() % 2 == 0
                && row
                    .iter()
                    .enumerate()
                    .all(|(index, segment)| label(segment) == (index % 2 == 0))
        });
        if !fits {
            return false;
        }
        for row in rows {
            for pair in row.as_chunks::<2>().0 {
                let [name, value] = pair;
                self.pair(name.range.clone(), std::slice::from_ref(&value.range));
            }
        }
        true
    }

    /// Writes the cells of a table, or fields when it is a list of names and values.
    fn write(&mut self, mut draft: Draft) {
        let text = self.text;
        let figure = |cell: &Vec<Range<usize>>| {
            cell.first()
                .and_then(|range| text.get(range.clone()))
                .is_some_and(is_figure)
        };
        // A second line of heads, or of units, has no name in front.
        let second = draft.rows.len() > 2
            && draft.rows.get(1).is_some_and(|row| {
                row.first().is_some_and(Vec::is_empty)
                    && !row.iter().any(figure)
                    && draft
                        .rows
                        .first()
                        .is_some_and(|head| !head.iter().any(figure))
            })
            && draft.rows.get(2).is_some_and(|row| row.iter().any(figure));
        if second {
            let row = draft.rows.remove(1);
            if let Some(head) = draft.rows.first_mut() {
                merge(head, row);
            }
        }
        let words = |cell: Option<&Vec<Range<usize>>>| {
            cell.and_then(|cell| cell.first())
                .and_then(|range| text.get(range.clone()))
                .unwrap_or("")
        };
        let columns = draft.rows.iter().map(Vec::len).max().unwrap_or(0);
        let body = draft.rows.get(1..).unwrap_or(&[]);
        let figures = |column: usize| {
            let filled = body
                .iter()
                .filter(|row| row.get(column).is_some_and(|cell| !cell.is_empty()));
            let (mut all, mut some) = (0_usize, 0_usize);
            for row in filled {
                all += 1;
                some += usize::from(is_figure(words(row.get(column))));
            }
            all > 0 && some * 10 >= all * 6
        };
        let head = draft.rows.first();
        let head_words = |column: usize| words(head.and_then(|row| row.get(column)));
        let mut of_figures = 0;
        let mut named = 0;
        let mut first_figures = false;
        for column in 0..columns {
            if figures(column) {
                of_figures += 1;
                named += usize::from(!is_figure(head_words(column)));
                first_figures |= column == 0;
            }
        }
        let corner = head_words(0).is_empty();
        // Two columns with names in the first are names and values from the first row on.
        let list = columns == 2 && !draft.ruled && !first_figures && !corner;
        let header_row = !body.is_empty()
            && !list
            && (draft.ruled
                || corner
                || (of_figures > 0 && named * 2 > of_figures)
                || (first_figures && !is_figure(head_words(0)))
                || (of_figures == 0
                    && columns > 2
                    && body.len() > 1
                    && (0..columns)
                        .all(|column| head_words(column).split_whitespace().count() <= 3)
                    && body.iter().any(|row| {
                        row.iter()
                            .any(|cell| words(Some(cell)).chars().any(char::is_numeric))
                    })));
        let labels = draft.rows.get(usize::from(header_row)..).unwrap_or(&[]);
        let label_figures = labels
            .iter()
            .filter(|row| is_figure(words(row.first())) && !words(row.first()).contains('-'))
            .count();
        let header_column = labels
            .iter()
            .filter(|row| !words(row.first()).is_empty())
            .count()
            * 2
            > labels.len()
            && label_figures * 2 < labels.len().max(1);
        let plain = !header_row
            || (PLAIN_HEADS.contains(&head_words(0).to_lowercase().as_str())
                && PLAIN_HEADS.contains(&head_words(1).to_lowercase().as_str()));
        if columns == 2 && plain && header_column {
            for row in labels {
                match (row.first().and_then(|cell| cell.first()), row.get(1)) {
                    (Some(name), Some(value)) if !value.is_empty() => {
                        self.pair(name.clone(), value)
                    }
                    (Some(name), _) => self.loose(name.clone()),
                    (None, Some(value)) => {
                        for range in value {
                            self.loose(range.clone());
                        }
                    }
                    (None, None) => {}
                }
            }
            return;
        }
        let table = self.sheet.tables.len();
        self.sheet.tables.push(Table {
            cells: Vec::new(),
            header_row,
            header_column,
        });
        for (index, row) in draft.rows.into_iter().enumerate() {
            let mut cells = Vec::with_capacity(row.len());
            for (column, cell) in row.into_iter().enumerate() {
                if cell.is_empty() {
                    cells.push(None);
                    continue;
                }
                let kind = BlockKind::Cell {
                    table,
                    row: index,
                    column,
                };
                cells.push(self.cell(kind, &cell));
            }
            while cells.last().is_some_and(Option::is_none) {
                cells.pop();
            }
            if let Some(table) = self.sheet.tables.get_mut(table) {
                table.cells.push(cells);
            }
        }
    }

    /// Names and values in two columns, or a single line with a wide gap.
    pub(super) fn pairs(&mut self, at: usize, start: usize, end: usize) -> Option<usize> {
        let line = *self.line(at)?;
        if !line.has(GAP) || self.plain_key(&line) {
            return None;
        }
        let row = segments(self.text, &line);
        let [name, value] = row.as_slice() else {
            return (row.len() >= 3).then(|| self.scattered(at, &row)).flatten();
        };
        let column = value.from;
        let name_words = self.text.get(name.range.clone())?;
        if name_words.split_whitespace().count() > 7 {
            return self.wide_gap(at, start, end, &row);
        }
        // The lines that go on with the value, and whether the next name stands in line.
        let mut entries: Vec<(Range<usize>, Vec<Line>)> = Vec::new();
        let mut next = at;
        let mut aligned = 0;
        while next < end {
            let line = *self.line(next)?;
            if marks::is_rule(self.words(next)) {
                break;
            }
            let row = segments(self.text, &line);
            let from = row.first()?.from;
            if from + 1 >= column && !entries.is_empty() {
                if let Some((_, parts)) = entries.last_mut() {
                    parts.push(line);
                }
                aligned += usize::from(from.abs_diff(column) <= 1);
                next += 1;
                continue;
            }
            let [name, value] = row.as_slice() else {
                break;
            };
            if self.plain_key(&line) {
                break;
            }
            aligned += usize::from(value.from.abs_diff(column) <= 1);
            let part = line.part(self.text, value.range.start..line.end(), value.from);
            entries.push((name.range.clone(), vec![part]));
            next += 1;
        }
        let lines = next - at;
        let figures = entries
            .iter()
            .filter(|(name, _)| is_figure(self.text.get(name.clone()).unwrap_or("")))
            .count();
        if lines >= 2 && figures * 10 >= entries.len() * 6 && entries.len() >= 2 {
            let rows = entries
                .iter()
                .map(|(name, parts)| {
                    vec![vec![name.clone()], parts.iter().map(Line::range).collect()]
                })
                .collect();
            self.write(Draft { rows, ruled: false });
            return Some(next);
        }
        let right_aligned = entries.len() >= 2
            && entries.iter().all(|(_, parts)| {
                parts
                    .first()
                    .is_some_and(|part| is_figure(part.of(self.text)))
            });
        // A head on either side of the line: names and values stand closer together.
        let closest = entries
            .iter()
            .filter_map(|(name, parts)| {
                let first = parts.first()?;
                self.text.get(name.end..first.start()).map(str::len)
            })
            .min()
            .unwrap_or(0);
        if closest > 10 && !right_aligned {
            return self.wide_gap(at, start, end, &row);
        }
        if lines >= 2
            && (aligned * 10 >= lines * 7 || right_aligned)
            && entries.len() * 3
                >= lines.min(9) - lines.min(9) / 2 * usize::from(entries.len() == 1)
            || lines >= 2 && entries.len() == 1 && aligned == lines
        {
            for (name, parts) in entries {
                self.pair_lines(name, &parts);
            }
            return Some(next);
        }
        self.wide_gap(at, start, end, &row)
    }

    /// One line with two stretches that nothing above or below is in line with.
    fn wide_gap(&mut self, at: usize, start: usize, end: usize, row: &[Segment]) -> Option<usize> {
        let [name, value] = row else {
            return None;
        };
        let name_words = self.text.get(name.range.clone())?;
        let value_words = self.text.get(value.range.clone())?;
        let gap = value.from - name.to;
        if gap >= 3 && is_when(value_words) && name_words.split_whitespace().count() <= 4 {
            self.post(name.range.clone(), value.range.clone());
            return Some(at + 1);
        }
        if gap >= 3
            && is_figure(value_words)
            && name_words.split_whitespace().count() <= 6
            && !name_words.ends_with(['.', '!', '?'])
            && value_words.len() > 3
            && gap <= 30
        {
            self.pair(name.range.clone(), std::slice::from_ref(&value.range));
            return Some(at + 1);
        }
        let short = end - start <= 3 || at == start;
        if gap >= 4 && short {
            for segment in row {
                self.loose(segment.range.clone());
            }
            return Some(at + 1);
        }
        None
    }

    /// One line with three stretches or more that is no row of a table.
    fn scattered(&mut self, at: usize, row: &[Segment]) -> Option<usize> {
        let widest = row
            .windows(2)
            .filter_map(|pair| match pair {
                [left, right] => Some(right.from - left.to),
                _ => None,
            })
            .max()?;
        if widest < 4 {
            return None;
        }
        for segment in row {
            self.loose(segment.range.clone());
        }
        Some(at + 1)
    }

    fn pair(&mut self, name: Range<usize>, value: &[Range<usize>]) {
        let parts: Vec<Line> = value
            .iter()
            .map(|range| Line::of_range(self.text, range.clone(), 0))
            .collect();
        self.pair_lines(name, &parts);
    }

    fn pair_lines(&mut self, name: Range<usize>, parts: &[Line]) {
        let (Some(first), Some(last)) = (parts.first(), parts.last()) else {
            return;
        };
        // The name and the first part of the value are one line as far as the key is concerned.
        let key = marks::Key {
            len: name.len(),
            value: first.start() - name.start,
            form: KeyForm::Leader,
        };
        let head = first.part(
            self.text,
            name.start..first.end().max(name.end),
            usize::from(first.indent),
        );
        let mut lines = vec![head];
        lines.extend(parts.get(1..).unwrap_or(&[]));
        debug_assert!(last.end() >= first.end() || parts.len() == 1);
        self.keyed_lines(&lines, key);
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

/// The number of stretches that most rows have; the larger one of two.
fn modal(rows: &[Vec<Segment>]) -> usize {
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
fn columns(rows: &[Vec<Segment>], count: usize) -> Option<Vec<Range<usize>>> {
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
    (apart && full * 10 >= rows.len() * 5).then_some(columns)
}

/// The column that a stretch stands in or nearest to.
fn nearest(columns: &[Range<usize>], segment: &Segment) -> usize {
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

/// A time or a date, as it stands beside the author of a post.
fn is_when(words: &str) -> bool {
    const MONTHS: &[&str] = &[
        "jan",
        "feb",
        "mar",
        "apr",
        "may",
        "jun",
        "jul",
        "aug",
        "sep",
        "oct",
        "nov",
        "dec",
        "mon",
        "tue",
        "wed",
        "thu",
        "fri",
        "sat",
        "sun",
        "yesterday",
        "today",
    ];
    if words.len() > 40 {
        return false;
    }
    let clock = words.split([' ', ',']).any(|word| {
        let mut parts = word.split(':');
        matches!((parts.next(), parts.next()), (Some(hour), Some(minute))
            if (1..=2).contains(&hour.len())
                && hour.bytes().all(|byte| byte.is_ascii_digit())
                && minute.len() >= 2
                && minute.bytes().take(2).all(|byte| byte.is_ascii_digit()))
    });
    let lower = words.to_lowercase();
    clock
        || lower.ends_with(" ago")
        || (words.bytes().any(|byte| byte.is_ascii_digit())
            && lower
                .split(|letter: char| !letter.is_alphabetic())
                .any(|word| {
                    word.len() >= 3
                        && MONTHS
                            .iter()
                            .any(|month| word.starts_with(month) && word.len() <= 9)
                }))
}
