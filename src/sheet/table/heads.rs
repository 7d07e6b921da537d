//! Rows and columns of a drawn table that are about the others: lines above and below the table, heads in several rows, heads
//! over several columns, a row or a column of units.

use super::{Cell, Draft, Row, is_figure, merge};
use crate::sheet::words::WORDS;
use crate::sheet::{marks, quantity};
use std::collections::BTreeMap;
use std::ops::Range;

/// Most rows of heads, the first one included.
const HEAD_ROWS: usize = 4;

/// What was taken out of the rows of a draft.
#[derive(Default)]
pub(super) struct Heads {
    /// Single cells of the rows above the table proper.
    pub(super) above: Vec<Range<usize>>,
    /// The same below it.
    pub(super) below: Vec<Range<usize>>,
    /// Heads that span columns, with the first column and one past the last.
    pub(super) over: Vec<(Range<usize>, Cell)>,
    /// Units of columns, from a row of units.
    pub(super) of_columns: BTreeMap<usize, Cell>,
    /// Units of rows, from a column of units.
    pub(super) of_rows: BTreeMap<usize, Cell>,
    /// A row of heads was told by what stands below it.
    pub(super) sure: bool,
}

fn words<'t>(text: &'t str, cell: Option<&Cell>) -> &'t str {
    cell.and_then(|cell| cell.first())
        .and_then(|range| text.get(range.clone()))
        .unwrap_or("")
}

fn filled(row: &Row) -> usize {
    row.iter().filter(|cell| !cell.is_empty()).count()
}

/// `—`, `-`, `n/a`: nothing to say.
fn is_blank(words: &str) -> bool {
    words.chars().all(|letter| {
        matches!(
            letter,
            '-' | '–' | '—' | '−' | '.' | '/' | ' ' | '\'' | '"' | '”'
        )
    })
}

/// Whether all that is said in these cells is units, and one of them is known.
fn are_units<'t>(mut cells: impl Iterator<Item = &'t str>) -> bool {
    const LONGEST: usize = 16;
    let mut known = 0;
    let mut others = 0;
    let short = cells.all(|words| {
        if is_blank(words) {
            return true;
        }
        if quantity::is_unit(words) {
            known += 1;
            return true;
        }
        others += 1;
        words.chars().count() <= LONGEST
            && words.split_whitespace().count() <= 3
            && !words.starts_with(|letter: char| letter.is_ascii_digit())
    });
    short && known > 0 && others <= known
}

/// Takes the heads out of a draft, so that one row of heads is left.
pub(super) fn take(text: &str, draft: &mut Draft) -> Heads {
    let mut heads = Heads::default();
    let columns = draft.rows.iter().map(Vec::len).max().unwrap_or(0);
    if columns >= 3 {
        strays(draft, &mut heads);
    }
    if columns >= 3 {
        column_of_notes(text, draft, columns);
    }
    rows(text, draft, &mut heads);
    if columns >= 3 {
        columns_of_units(text, draft, columns, &mut heads);
    }
    heads
}

/// Rows without anything go; rows with few cells at either end are no rows of the table.
fn strays(draft: &mut Draft, heads: &mut Heads) {
    if !draft.rows.iter().any(|row| filled(row) >= 3) {
        return;
    }
    draft.rows.retain(|row| filled(row) > 0);
    let mut counts: Vec<usize> = draft.rows.iter().map(filled).collect();
    counts.sort_unstable();
    let usual = counts.get(counts.len() / 2).copied().unwrap_or(0);
    let lone =
        |row: &Row| filled(row) * 2 < usual && row.first().is_some_and(|cell| !cell.is_empty());
    // What stands above a lone row stands above the table too.
    let full = |row: &Row| filled(row) >= usual;
    let top = draft.rows.iter().take_while(|row| !full(row)).count();
    let count = draft
        .rows
        .iter()
        .take(top)
        .rposition(lone)
        .map_or(0, |last| last + 1);
    for row in draft.rows.drain(..count) {
        heads.above.extend(row.into_iter().flatten());
    }
    while draft.rows.last().is_some_and(lone) {
        let row = draft.rows.pop().unwrap_or_default();
        heads.below.splice(0..0, row.into_iter().flatten());
    }
}

/// Rows of heads below the first: a second line of words, a row of units, or the heads below those that span several columns.
fn rows(text: &str, draft: &mut Draft, heads: &mut Heads) {
    let figure = |cell: &Cell| is_figure(words(text, Some(cell)));
    let mut more = 0;
    while more + 1 < HEAD_ROWS {
        let (Some(head), Some(row), Some(below)) = (
            draft.rows.first(),
            draft.rows.get(1),
            draft.rows.get(2..).filter(|below| !below.is_empty()),
        ) else {
            return;
        };
        // Rows of values come soon.
        let next = |rows: usize| below.iter().take(rows).flatten().any(figure);
        // Heads may be values with their unit; a row of values has its name in front.
        let named =
            |cell: &Cell| !figure(cell) || words(text, Some(cell)).chars().any(char::is_alphabetic);
        let heads_below = spans(head, row)
            && (!row.iter().any(figure)
                || row.iter().all(named)
                    && ([head, row]
                        .iter()
                        .any(|row| row.first().is_some_and(Vec::is_empty))
                        || quantity::is_unit(words(text, row.first()))));
        // "LOSS AT" over "1 kHz": a second line of words beside a value, with no name in front as all rows below have it.
        let open = row.first().is_some_and(Vec::is_empty);
        let goes_on = open
            && head.iter().skip(1).chain(row).all(named)
            && row.iter().filter(|cell| figure(cell)).count() * 2 <= filled(row)
            && below
                .iter()
                .all(|row| row.first().is_some_and(|name| !name.is_empty()));
        let valued = head.iter().skip(1).chain(row).any(figure);
        if valued && !(heads_below || goes_on) || filled(row) == 0 {
            return;
        }
        let cells = row.iter().skip(1).map(|cell| words(text, Some(cell)));
        let units = are_units(cells) && !row.first().is_some_and(figure);
        if heads_below && (next(3) || row.iter().any(figure)) {
            let row = draft.rows.remove(0);
            for (range, mut cell) in stretches(row, columns_of(draft)) {
                let below = draft
                    .rows
                    .first_mut()
                    .and_then(|row| row.get_mut(range.start));
                match below {
                    // A head over one column goes on in the line below.
                    Some(below) if range.len() == 1 => {
                        cell.append(below);
                        *below = cell;
                    }
                    _ => heads.over.push((range, cell)),
                }
            }
            heads.sure = true;
        } else if units && next(2) {
            let row = draft.rows.remove(1);
            for (column, cell) in row.into_iter().enumerate() {
                if !cell.is_empty() && !is_blank(words(text, Some(&cell))) {
                    heads.of_columns.insert(column, cell);
                }
            }
            heads.sure = true;
            return;
        } else if (open || all_go_on(text, head, row)) && next(1) {
            let row = draft.rows.remove(1);
            if let Some(head) = draft.rows.first_mut() {
                heads.over.extend(parted(head, &row));
                merge(head, row);
            }
        } else {
            return;
        }
        more += 1;
    }
}

/// Whether each cell of a second row goes on with the head over it: `Ohm/km each` over `core, 20 °C`, `Size` over `AWG`.
fn all_go_on(text: &str, head: &Row, row: &Row) -> bool {
    const FEWEST: usize = 3;
    let goes_on = |cell: &Cell| {
        let words = words(text, Some(cell));
        words.starts_with(|letter: char| letter.is_lowercase() || letter == '(')
            || quantity::is_unit(words)
    };
    let cells = row.iter().filter(|cell| !cell.is_empty());
    let figures = head
        .iter()
        .chain(row)
        .any(|cell| is_figure(words(text, Some(cell))));
    // Two rows of words in small letters are a title and a head.
    let begun = head.iter().filter(|cell| {
        let words = words(text, Some(cell));
        words.starts_with(char::is_uppercase)
    });
    filled(row) >= FEWEST
        && filled(head) >= filled(row)
        && begun.count() * 2 > filled(head)
        && !figures
        && cells.clone().all(goes_on)
}

fn columns_of(draft: &Draft) -> usize {
    draft.rows.iter().map(Vec::len).max().unwrap_or(0)
}

/// Whether a row of few heads stands over one of more: at least one head has a blank to its right that is filled below.
pub(super) fn spans(head: &Row, row: &Row) -> bool {
    let at = |row: &Row, column: usize| row.get(column).is_some_and(|cell| !cell.is_empty());
    let columns = head.len().max(row.len());
    let of_values = |row: &Row| filled(row) - usize::from(at(row, 0));
    of_values(head) < of_values(row)
        && (2..columns).any(|column| at(row, column) && !at(head, column) && at(head, column - 1))
        && (1..columns).all(|column| at(row, column) || !at(head, column))
}

/// The columns of heads of a first row that span several which the second row names one by one.
pub(super) fn parts(head: &Row, row: &Row) -> impl Iterator<Item = Range<usize>> {
    let filled = |row: &[Cell], column: usize| row.get(column).is_some_and(|cell| !cell.is_empty());
    let columns = head.len().max(row.len());
    (1..columns).filter_map(move |column| {
        let both = filled(head, column) && filled(row, column);
        let end = (column + 1..columns)
            .take_while(|&next| filled(row, next) && !filled(head, next))
            .last();
        end.filter(|_| both).map(|last| column..last + 1)
    })
}

/// Takes those heads out of the first row.
fn parted(head: &mut Row, row: &Row) -> Vec<(Range<usize>, Cell)> {
    let found: Vec<Range<usize>> = parts(head, row).collect();
    found
        .into_iter()
        .filter_map(|range| Some((range.clone(), std::mem::take(head.get_mut(range.start)?))))
        .collect()
}

/// The heads of a row, each with the columns from its own to the next one.
fn stretches(row: Row, columns: usize) -> Vec<(Range<usize>, Cell)> {
    let mut found: Vec<(Range<usize>, Cell)> = Vec::new();
    for (column, cell) in row.into_iter().enumerate() {
        if cell.is_empty() {
            continue;
        }
        if let Some((last, _)) = found.last_mut() {
            last.end = column;
        }
        found.push((column..columns, cell));
    }
    found
}

/// A column of marks of notes goes to the names of the rows.
fn column_of_notes(text: &str, draft: &mut Draft, columns: usize) {
    let of_notes = |column: usize| {
        let mut marks = draft
            .rows
            .iter()
            .skip(1)
            .map(|row| words(text, row.get(column)))
            .filter(|words| !words.is_empty())
            .peekable();
        marks.peek().is_some() && marks.all(marks::is_note_mark)
    };
    let Some(column) = (1..columns).rev().find(|&column| of_notes(column)) else {
        return;
    };
    for (index, row) in draft.rows.iter_mut().enumerate() {
        if column >= row.len() {
            continue;
        }
        let mark = row.remove(column);
        if let Some(name) = row.first_mut().filter(|_| index > 0) {
            name.extend(mark);
        }
    }
}

/// Columns of units, each where it belongs.
fn columns_of_units(text: &str, draft: &mut Draft, columns: usize, heads: &mut Heads) {
    let mut left = columns;
    while left > 2 && column_of_units(text, draft, left, heads) {
        left -= 1;
    }
}

/// A column of units goes to the names of the rows, or behind the only values that it can be of. Says whether it went behind the
/// values of one column among others, so that there may be more of them.
fn column_of_units(text: &str, draft: &mut Draft, columns: usize, heads: &mut Heads) -> bool {
    let Some(column) = (1..columns).find(|&column| {
        let cells = draft
            .rows
            .iter()
            .skip(1)
            .map(|row| words(text, row.get(column)));
        let head = words(text, draft.rows.first().and_then(|row| row.get(column)));
        let given = draft
            .rows
            .iter()
            .skip(1)
            .filter(|row| row.get(column).is_some_and(|cell| !cell.is_empty()))
            .count();
        given >= 2
            && are_units(cells)
            && (quantity::is_unit(head) || !is_figure(head))
            && !WORDS.head_sign.begins(&head.to_lowercase())
            && head.split_whitespace().count() <= 3
    }) else {
        return false;
    };
    // Between columns of values ("length; unit; price") it is of those before it.
    let figures = |row: &Row| is_figure(words(text, row.get(column - 1)));
    let between = column >= 2 && column + 1 < columns && draft.rows.iter().skip(1).all(figures);
    // One column of values before it: the unit stands behind its value.
    let behind = columns == 3 && column == 2 || between;
    // "1    mm2     5.0 m": sizes that the rows go by, each with its unit apart.
    let sized = columns > 3
        && column == 1
        && (draft.rows.iter().skip(1)).all(|row| is_figure(words(text, row.first())));
    for (index, row) in draft.rows.iter_mut().enumerate() {
        if column >= row.len() {
            continue;
        }
        let cell = row.remove(column);
        if is_blank(words(text, Some(&cell))) {
            continue;
        }
        if sized && index > 0 {
            if let (Some(value), Some(unit)) = (
                row.first_mut().and_then(|value| value.last_mut()),
                cell.last(),
            ) {
                value.end = unit.end.max(value.end);
            }
            continue;
        }
        // A name and its unit before the value are one key.
        if columns == 3 && column == 1 {
            if let (Some(name), Some(unit)) = (
                row.first_mut().and_then(|name| name.last_mut()),
                cell.last().filter(|_| index > 0),
            ) {
                name.end = unit.end.max(name.end);
            }
            continue;
        }
        if behind && let Some(value) = row.get_mut(column - 1).filter(|value| !value.is_empty()) {
            if index > 0 {
                value.extend(cell);
            }
        } else if index > 0 || quantity::is_unit(words(text, Some(&cell))) {
            heads.of_rows.insert(index, cell);
        }
    }
    between
}
