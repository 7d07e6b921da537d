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

/// What is said of the head of a column, if the column has a head and it is explained.
pub(super) fn of_column<'t>(sheet: &'t Sheet, table: &Table, column: usize) -> Option<&'t str> {
    let text = sheet.flow.text();
    let cell = table.cells.first()?.get(column).copied().flatten()?;
    let head = sheet.blocks.get(cell)?.span.of(text).trim();
    let head = head.trim_end_matches(['*', '.', ':']);
    if head.len() > LONGEST || !head.starts_with(char::is_alphabetic) {
        return None;
    }
    around(sheet, table)
        .filter_map(|block| sheet.blocks.get(block))
        .filter(|block| !matches!(block.kind, BlockKind::Cell { .. }))
        .flat_map(|block| {
            let key = block.key.map(|_| block.span);
            let own = block.sentences.clone().take(SENTENCES);
            key.into_iter()
                .chain(own.filter_map(|at| Some(sheet.sentences.get(at)?.span)))
        })
        .find_map(|span| explains(span.of(text), head))
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
    let said = said.get(..end)?;
    quantity::names_unit(said).then_some(said)
}
