//! What the text around a table says of the heads of its columns: “R is out and back, in mΩ for each metre”, “r_core_max: Ω/km”.
//! Knows layout and heads, and leaves what a unit is to the reader of quantities.

use super::{BlockKind, Sheet, Table};
use crate::sheet::quantity;
use std::ops::Range;

/// Blocks before a table and behind it that may explain its heads.
const REACH: usize = 8;
/// Longest head that is explained, in bytes.
const LONGEST: usize = 28;
/// Most sentences of a block that are looked at.
const SENTENCES: usize = 12;
/// Longest explanation that is read, in bytes.
const SAID: usize = 160;
/// Most columns that may explain one another.
const COLUMNS: usize = 24;
/// Fewest bytes of a head that another explanation can name.
const NAMED: usize = 3;
/// Words between a head and what is said of it.
const LINKS: &[&str] = &[
    " is ",
    " are ",
    " means ",
    " stands for ",
    " gives ",
    " was ",
    " were ",
    " in ",
    ":",
    " =",
    "=",
    " (",
    " - ",
    " – ",
    " — ",
];

/// What is said of the head of a column that names its unit, if the column has a head and it is explained: by itself, by another
/// column (“Corrected = reading divided by 1.02”), or by the standard that sets the greatest resistance in Ω/km.
pub(super) fn of_column<'t>(sheet: &'t Sheet, table: &Table, column: usize) -> Option<&'t str> {
    const STANDARD: &str = "60228";
    let head = head(sheet, table, column)?;
    if let Some(said) = said_of(sheet, table, head, quantity::names_unit) {
        return Some(said);
    }
    let said = said_of(sheet, table, head, |_| true)?;
    if said.contains(STANDARD) {
        return Some("Ω/km");
    }
    let columns = table.cells.first().map_or(0, Vec::len);
    (0..columns.min(COLUMNS))
        .filter(|&other| other != column)
        .filter_map(|other| self::head(sheet, table, other))
        .filter(|other| other.len() >= NAMED && names(said, other))
        .find_map(|other| said_of(sheet, table, other, quantity::names_unit))
}

/// The words at the head of a column that can be explained.
fn head<'t>(sheet: &'t Sheet, table: &Table, column: usize) -> Option<&'t str> {
    let text = sheet.flow.text();
    let cell = table.cells.first()?.get(column).copied().flatten()?;
    let head = sheet.blocks.get(cell)?.span.of(text).trim();
    let head = head.trim_end_matches(['*', '.', ':']);
    (head.len() <= LONGEST && head.starts_with(char::is_alphabetic)).then_some(head)
}

/// Whether an explanation says the name of another head as a word.
fn names(said: &str, head: &str) -> bool {
    said.split(|sign: char| !sign.is_alphanumeric())
        .any(|word| word.eq_ignore_ascii_case(head))
}

/// The first explanation of a head that will do.
fn said_of<'t>(
    sheet: &'t Sheet,
    table: &Table,
    head: &str,
    will_do: impl Fn(&str) -> bool,
) -> Option<&'t str> {
    let text = sheet.flow.text();
    around(sheet, table)
        .filter_map(|block| sheet.blocks.get(block))
        .filter(|block| !matches!(block.kind(), BlockKind::Cell { .. }))
        .flat_map(|block| {
            let key = block.key().map(|_| block.span);
            let own = block.sentences().take(SENTENCES);
            key.into_iter()
                .chain(own.filter_map(|at| Some(sheet.sentences.get(at)?.span)))
        })
        .filter_map(|span| explains(span.of(text), head))
        .find(|said| will_do(said))
}

/// The blocks near a table.
fn around(sheet: &Sheet, table: &Table) -> impl Iterator<Item = usize> {
    let cells = || table.cells.iter().flatten().flatten().copied();
    let first = cells().next().unwrap_or(0);
    let last = table
        .cells
        .iter()
        .rev()
        .find_map(|row| row.iter().rev().find_map(|cell| *cell))
        .unwrap_or(first);
    let before: Range<usize> = first.saturating_sub(REACH)..first;
    let behind = last + 1..sheet.blocks.len().min(last + 1 + REACH);
    before.chain(behind)
}

/// What a sentence that begins with the head says of it.
fn explains<'t>(words: &'t str, head: &str) -> Option<&'t str> {
    let words = words.trim_start_matches(|sign: char| !sign.is_alphanumeric());
    let own = words.get(..head.len())?;
    if !own.eq_ignore_ascii_case(head) || head.len() == 1 && own != head {
        return None;
    }
    let rest = words.get(head.len()..)?;
    // "Readings are per core" over a column “reading”.
    let rest = rest.strip_prefix('s').unwrap_or(rest);
    let link = LINKS.iter().find(|link| rest.starts_with(**link))?;
    let said = rest.get(link.len()..)?;
    let end = said.floor_char_boundary(said.len().min(SAID));
    said.get(..end)
}
