//! What a drawn table says: which rows and columns are heads, and whether it is a table at all or a list of names and values.

use super::{Cell, Draft, Reader, Row, heads, is_figure};
use crate::sheet::lines::Line;
use crate::sheet::words::WORDS;
use crate::sheet::{BlockKind, Table};
use std::ops::Range;

/// Whether a head names neither what stands below nor its unit.
fn is_plain(head: &str) -> bool {
    head.is_empty() || WORDS.head_plain.has(head)
}

/// The column of values of a table that lists the properties of one thing, when these are its heads.
fn of_properties(heads: &[String]) -> Option<usize> {
    let (first, rest) = heads.split_first()?;
    let value = rest.iter().position(|head| WORDS.head_value.has(head))?;
    let others = rest
        .iter()
        .enumerate()
        .all(|(column, head)| column == value || head.is_empty() || WORDS.head_aside.has(head));
    (heads.len() > 2 && is_plain(first) && others).then_some(value + 1)
}

/// A table in long form: each row gives one property of a thing, which the columns ahead name.
struct Long {
    property: usize,
    value: usize,
}

impl Long {
    /// The columns of names and values, when these are the heads.
    fn of(heads: &[String]) -> Option<Self> {
        let property = heads
            .iter()
            .position(|head| WORDS.head_property.has(head))?;
        let behind = heads.get(property + 1..)?;
        let value = property + 1 + behind.iter().position(|head| WORDS.head_value.has(head))?;
        (property > 0).then_some(Self { property, value })
    }

    /// Whether things have several rows each, which stand together.
    fn repeats<'t>(&self, body: &[Row], words: &impl Fn(Option<&Cell>) -> &'t str) -> bool {
        const FEWEST: usize = 2;
        let again = body
            .windows(2)
            .filter(|pair| {
                let name = words(pair[0].first());
                !name.is_empty() && name == words(pair[1].first())
            })
            .count();
        again >= FEWEST
    }
}

impl Reader<'_> {
    /// A table in long form as a section for each thing: its name, what the other columns ahead say of it, and its properties.
    fn long<'t>(&mut self, body: &[Row], long: &Long, words: &impl Fn(Option<&Cell>) -> &'t str) {
        /// Level of the heading of a thing.
        const LEVEL: u8 = 5;
        /// Longest unit, in bytes.
        const UNIT: usize = 8;
        let mut open: Option<&str> = None;
        for row in body {
            let own = Some(words(row.first()));
            if own != open
                && let Some(name) = row.first().and_then(|cell| cell.first())
            {
                self.title(Line::of_range(self.text, name.clone(), 0), LEVEL);
            }
            for cell in row.get(1..long.property).unwrap_or(&[]) {
                self.caption(cell);
            }
            open = own;
            let name = row.get(long.property).and_then(|cell| cell.first());
            let mut value: Cell = row.get(long.value).cloned().unwrap_or_default();
            // A unit or a "max." goes with the value, a remark stands for itself.
            let behind = row.get(long.value + 1..).unwrap_or(&[]);
            let (with, apart): (Vec<&Cell>, Vec<&Cell>) = behind
                .iter()
                .filter(|cell| !cell.is_empty())
                .partition(|cell| words(Some(*cell)).len() <= UNIT);
            value.extend(with.into_iter().flatten().cloned());
            match name {
                Some(name) if !value.is_empty() => self.pair(name.clone(), &value),
                Some(name) => self.loose(name.clone()),
                None => {}
            }
            for cell in apart {
                self.caption(cell);
            }
        }
        self.end_sections(LEVEL);
    }

    /// Takes the title of an export, which is parted like its rows, from above the heads of a table in long form.
    fn leave_title(&mut self, draft: &mut Draft) {
        let text = self.text;
        let named = |row: Option<&Row>| {
            let heads = row.into_iter().flatten().map(|cell| {
                let range = cell.first().cloned().unwrap_or_default();
                text.get(range).unwrap_or("").to_lowercase()
            });
            Long::of(&heads.collect::<Vec<_>>()).is_some()
        };
        if draft.rows.len() > 2 && !named(draft.rows.first()) && named(draft.rows.get(1)) {
            for cell in draft.rows.remove(0) {
                self.caption(&cell);
            }
        }
    }

    /// Writes the cells of a table, or fields when it is a list of names and values.
    pub(super) fn write(&mut self, mut draft: Draft) {
        let text = self.text;
        let heads = heads::take(text, &mut draft);
        self.leave_title(&mut draft);
        for range in &heads.above {
            self.loose(range.clone());
        }
        let words = |cell: Option<&Cell>| {
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
                || heads.sure
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
        let all_heads: Vec<String> = (0..columns)
            .map(|column| head_words(column).to_lowercase())
            .collect();
        if let Some(value) = of_properties(&all_heads) {
            for (index, row) in body.iter().enumerate() {
                let unit = heads
                    .of_rows
                    .get(&(index + 1))
                    .and_then(|cell| cell.first());
                self.property(row, value, &all_heads, unit);
            }
            self.below(&heads.below);
            return;
        }
        if let Some(long) = Long::of(&all_heads)
            && long.repeats(body, &words)
        {
            self.long(body, &long, &words);
            self.below(&heads.below);
            return;
        }
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
            || (is_plain(&head_words(0).to_lowercase()) && is_plain(&head_words(1).to_lowercase()));
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
            self.below(&heads.below);
            return;
        }
        let mut over = vec![None; columns];
        for (range, cell) in heads.over {
            let block = self.caption(&cell);
            for place in over.get_mut(range).into_iter().flatten() {
                *place = block;
            }
        }
        let table = self.sheet.tables.len();
        self.sheet.tables.push(Table {
            cells: Vec::new(),
            header_row,
            header_column,
            over,
        });
        for (index, row) in draft.rows.into_iter().enumerate() {
            let mut cells = Vec::with_capacity(row.len());
            for (column, cell) in row.into_iter().enumerate() {
                if cell.is_empty() {
                    cells.push(None);
                    continue;
                }
                let [at, row, place] =
                    [table, index, column].map(|place| u32::try_from(place).unwrap_or(u32::MAX));
                let kind = BlockKind::Cell {
                    table: at,
                    row,
                    column: place,
                };
                let unit = match (index, column) {
                    (0, _) if heads.of_columns.contains_key(&column) => {
                        heads.of_columns.get(&column)
                    }
                    (_, 0) => heads.of_rows.get(&index),
                    _ => None,
                };
                cells.push(self.cell(kind, &cell, unit.map_or(&[], Vec::as_slice)));
            }
            while cells.last().is_some_and(Option::is_none) {
                cells.pop();
            }
            if let Some(table) = self.sheet.tables.get_mut(table) {
                table.cells.push(cells);
            }
        }
        self.below(&heads.below);
    }

    /// A row of a list of properties: its name, its value, and what stands beside that, signs for it left out.
    fn property(&mut self, row: &Row, value: usize, heads: &[String], unit: Option<&Range<usize>>) {
        let Some((name, rest)) = row.split_first() else {
            return;
        };
        let sign = |column: usize| {
            heads
                .get(column)
                .is_some_and(|head| WORDS.head_sign.begins(head))
        };
        let mut value: Cell = row
            .get(value)
            .into_iter()
            .flatten()
            .chain(
                rest.iter()
                    .enumerate()
                    .filter(|(column, _)| column + 1 != value && !sign(column + 1))
                    .flat_map(|(_, cell)| cell),
            )
            .cloned()
            .collect();
        value.sort_by_key(|range| range.start);
        // A unit in a column of its own goes with the name when it stands before the value, and behind the value otherwise.
        let ahead = unit.filter(|unit| value.first().is_some_and(|value| unit.end <= value.start));
        if let (Some(unit), None) = (unit, ahead) {
            value.insert(1.min(value.len()), unit.clone());
        }
        match name.first() {
            Some(name) if !value.is_empty() => {
                let end = ahead.map_or(name.end, |unit| unit.end.max(name.end));
                self.pair(name.start..end, &value);
            }
            Some(name) => self.loose(name.clone()),
            None => {
                for range in value {
                    self.loose(range);
                }
            }
        }
    }

    /// What stood in the last rows by itself.
    fn below(&mut self, ranges: &[Range<usize>]) {
        for range in ranges {
            self.loose(range.clone());
        }
    }
}
