//! Tables with bars between their cells, and columns between bars that are several themselves. Knows lines and gives a draft.

use super::{Draft, MOST_CELLS, Reader, Row, is_figure, merge, usual_width};
use crate::sheet::lines::{BAR, Line};
use crate::sheet::marks;
use std::ops::Range;

fn is_bar(letter: char) -> bool {
    matches!(letter, '|' | '\u{2502}' | '\u{2503}' | '\u{2551}')
}

impl Reader<'_> {
    /// The cells of a line with bars.
    pub(super) fn cells_of(&self, line: &Line) -> Vec<Range<usize>> {
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
    pub(in super::super) fn bar_table(&mut self, at: usize, end: usize) -> Option<usize> {
        let mut draft = Draft::default();
        let mut next = at;
        // Rows between two drawn lines that have no first cell go on with the row above.
        let mut rules = 0;
        let mut reached = 0;
        let mut starts: Vec<usize> = Vec::new();
        // By row, whether a bar stands before its first cell.
        let mut led: Vec<bool> = Vec::new();
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
            // A box of its own over the table holds a title; its bars are gone by now, since it has but one cell.
            let title = !line.has(BAR)
                && rules > 0
                && draft.rows.is_empty()
                && next + 1 < end
                && marks::is_rule(self.words(next + 1));
            if !line.has(BAR) && !title {
                break;
            }
            if reached > MOST_CELLS {
                self.sheet.cut = true;
                break;
            }
            let cells = if title {
                vec![line.range()]
            } else {
                self.cells_of(&line)
            };
            reached += cells.len();
            // One cell is a title in a box of its own, or all the table has.
            let alone = draft.rows.first().map_or(rules > 0, |row| row.len() == 1);
            if cells.len() < 2 && !(cells.len() == 1 && alone) {
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
                led.push(self.words(next).starts_with(is_bar));
            }
            next += 1;
        }
        self.part_cells(&mut draft.rows);
        let rows = draft.rows.len();
        let wide = usual_width(&draft.rows);
        // Where other rows begin without a bar, one that begins with it has nothing in its first cell: the corner of a head.
        if led.iter().any(|led| !led) {
            for (row, _) in draft.rows.iter_mut().zip(&led).filter(|(_, led)| **led) {
                if row.len() + 1 == wide {
                    row.insert(0, Vec::new());
                }
            }
        }
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

    /// Parts columns between bars that are two columns and more themselves: `| 15    4.5 |` below `| ft    m |`. What stands alone in
    /// such a cell, as a head over them, stays in the first.
    fn part_cells(&self, rows: &mut [Row]) {
        /// Rows that are looked at to tell.
        const SEEN: usize = 24;
        /// Most columns between two bars.
        const MOST: usize = 4;
        let parts = |cell: &[Range<usize>]| -> Vec<Range<usize>> {
            let [range] = cell else {
                return cell.to_vec();
            };
            let words = self.text.get(range.clone()).unwrap_or("");
            let mut found = Vec::new();
            let mut from = 0;
            for part in words.split("  ") {
                let own = part.trim();
                if !own.is_empty() {
                    let at = range.start + from + (part.len() - part.trim_start().len());
                    found.push(at..at + own.len());
                }
                from += part.len() + 2;
            }
            found
        };
        let wide = usual_width(rows);
        let mut counts = vec![1; wide];
        for (column, count) in counts.iter_mut().enumerate() {
            let cells = rows.iter().take(SEEN).filter_map(|row| row.get(column));
            let cells: Vec<Vec<Range<usize>>> = cells.map(|cell| parts(cell)).collect();
            let many = cells.iter().map(Vec::len).max().unwrap_or(1);
            let full = cells.iter().filter(|cell| cell.len() == many);
            let figures = |cell: &&Vec<Range<usize>>| {
                let mut words = cell
                    .iter()
                    .map(|part| self.text.get(part.clone()).unwrap_or(""));
                words.all(is_figure)
            };
            if (2..=MOST).contains(&many)
                && full.clone().count() * 10 >= cells.len() * 6
                && full.clone().filter(figures).count() * 10 >= cells.len() * 5
                && cells
                    .iter()
                    .all(|cell| cell.len() == many || cell.len() <= 1)
            {
                *count = many;
            }
        }
        if counts.iter().all(|&count| count == 1) {
            return;
        }
        for row in rows.iter_mut().filter(|row| row.len() == wide) {
            let mut parted = Vec::with_capacity(row.len());
            for (cell, &count) in row.iter().zip(&counts) {
                if count == 1 {
                    parted.push(cell.clone());
                    continue;
                }
                let mut cells: Row = parts(cell).into_iter().map(|part| vec![part]).collect();
                cells.resize(count, Vec::new());
                parted.append(&mut cells);
            }
            *row = parted;
        }
    }
}
