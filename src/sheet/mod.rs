//! Decoded text to a sheet: running text, blocks (heading, field, table cell, list item, paragraph), sentences and
//! quantities, each with its span. Knows nothing of physics and of rules.
//!
//! Words of layout lie in `rules/words-layout.yaml` (`words`); those of the quantity reader belong to its grammar (`quantity`).

mod block;
mod clean;
mod columns;
mod entity;
pub mod flow;
mod inline;
mod layout;
mod legend;
mod lines;
mod marks;
mod markup;
mod measure;
pub mod quantity;
mod records;
mod sentence;
mod table;
mod words;

pub use block::{Block, BlockKind, Sentence};
pub use flow::Flow;
pub use layout::MOST_BLOCKS;
pub(crate) use marks::is_note_mark;
pub use measure::MOST_QUANTITIES;
pub use quantity::{Bound, Kind, More, Quantity, Rare, Value};
pub use table::MOST_CELLS;

use std::ops::Range;

/// A document as its layout shows it.
#[derive(Debug, Default)]
pub struct Sheet {
    /// The running text, with the way back to the decoded text.
    pub flow: Flow,
    /// Blocks in reading order.
    pub blocks: Vec<Block>,
    /// Sentences in reading order; each lies in one block.
    pub sentences: Vec<Sentence>,
    /// Tables; their cells are blocks.
    pub tables: Vec<Table>,
    /// Runs of records, each the blocks of one of several things that fields with the same keys describe.
    pub records: Vec<Vec<Range<usize>>>,
    /// Quantities in reading order.
    pub quantities: Vec<Quantity>,
    /// Blocks of letters that are answered, in order, each with the block with which its answer begins.
    pub answers: Vec<(usize, usize)>,
    /// Questions at the margin with their answers indented below them, in order: the sentences of both.
    pub hung: Vec<(Range<usize>, Range<usize>)>,
    /// Fields that are set deeper right below a paragraph or a field, in order, each with that block.
    pub deeper: Vec<(usize, usize)>,
    /// Blocks that begin with a sign that may be the mark of a footnote, in order, with that sign; it is no part of the block.
    pub marked: Vec<(usize, Box<str>)>,
    /// The document has more blocks than are told apart; its end is one paragraph.
    pub limited: bool,
    /// A table has more cells than are read as one; its rest is a table of its own.
    pub cut: bool,
    /// The document has more quantities than are read.
    pub full: bool,
}

impl Sheet {
    /// The block with which the answer to a letter begins, if `block` belongs to one that is answered.
    #[must_use]
    pub fn answer_to(&self, block: usize) -> Option<usize> {
        beside(&self.answers, block)
    }

    /// The sign of a footnote with which a block begins.
    #[must_use]
    pub fn mark_of(&self, block: usize) -> Option<&str> {
        let at = self
            .marked
            .binary_search_by_key(&block, |&(own, _)| own)
            .ok()?;
        self.marked.get(at).map(|(_, mark)| &**mark)
    }

    /// The paragraph or the field under which a field is set deeper, without a blank line between.
    #[must_use]
    pub fn hangs_under(&self, block: usize) -> Option<usize> {
        beside(&self.deeper, block)
    }
}

/// What goes with a block in a list in order of blocks.
fn beside(list: &[(usize, usize)], block: usize) -> Option<usize> {
    let at = list.binary_search_by_key(&block, |&(own, _)| own).ok()?;
    list.get(at).map(|&(_, other)| other)
}

/// A table; `cells[row][column]` is the index of the block, if the cell holds anything.
#[derive(Debug, Clone, Default)]
pub struct Table {
    /// Rows of columns.
    pub cells: Vec<Vec<Option<usize>>>,
    /// Whether row 0 names the columns.
    pub header_row: bool,
    /// Whether column 0 names the rows.
    pub header_column: bool,
    /// For each column, the block of a head that stands over several columns.
    pub over: Vec<Option<usize>>,
}

/// Reads decoded text. It never fails: what has no layout is running text.
///
/// ```
/// use claimgauge::sheet::{self, Kind};
/// let sheet = sheet::read("Inductance: 0.6 µH/m, length 3 m");
/// let kinds: Vec<Kind> = sheet.quantities.iter().map(|quantity| quantity.kind).collect();
/// assert_eq!(kinds, [Kind::InductancePerLength, Kind::Length]);
/// ```
#[must_use]
pub fn read(text: &str) -> Sheet {
    let mut sheet = outline(text);
    measure::fill(&mut sheet);
    sheet
}

/// Reads the layout alone: blocks and sentences without their quantities.
#[must_use]
pub fn outline(text: &str) -> Sheet {
    let clean = clean::Clean::new(text);
    layout::read(&clean)
}
