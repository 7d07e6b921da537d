//! Decoded text to a sheet: running text, blocks (heading, field, table cell, list item, paragraph), sentences and
//! quantities, each with its span. Knows nothing of physics and of rules.
//!
//! Words of layout lie in `rules/words-layout.yaml` (`words`); those of the quantity reader belong to its grammar (`quantity`).

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

pub use flow::Flow;
pub use layout::MOST_BLOCKS;
pub(crate) use marks::is_note_mark;
pub use quantity::{Bound, Kind, More, Quantity, Value};
pub use table::MOST_CELLS;

use crate::span::Span;
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
    /// Fields that are set deeper right below a paragraph, in order, each with that paragraph.
    pub deeper: Vec<(usize, usize)>,
    /// The document has more blocks than are told apart; its end is one paragraph.
    pub limited: bool,
    /// A table has more cells than are read as one; its rest is a table of its own.
    pub cut: bool,
}

impl Sheet {
    /// The block with which the answer to a letter begins, if `block` belongs to one that is answered.
    #[must_use]
    pub fn answer_to(&self, block: usize) -> Option<usize> {
        let at = self
            .answers
            .binary_search_by_key(&block, |&(letter, _)| letter);
        at.ok()
            .and_then(|at| self.answers.get(at))
            .map(|&(_, answer)| answer)
    }

    /// The paragraph under which a field is set deeper, without a blank line between.
    #[must_use]
    pub fn hangs_under(&self, block: usize) -> Option<usize> {
        let at = self
            .deeper
            .binary_search_by_key(&block, |&(field, _)| field);
        at.ok()
            .and_then(|at| self.deeper.get(at))
            .map(|&(_, over)| over)
    }
}

/// What a block is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlockKind {
    /// A title or section heading; level 1 is the highest.
    Heading {
        /// 1 for the title of the document.
        level: u8,
    },
    /// `Key: value` in any of its forms.
    Field,
    /// A cell of [`Sheet::tables`].
    Cell {
        /// Index of the table.
        table: u32,
        /// Row, the header row being 0 when there is one.
        row: u32,
        /// Column, from 0.
        column: u32,
    },
    /// An item of a bulleted or numbered list.
    Item,
    /// Running text.
    Paragraph,
}

/// A stretch of the running text that the layout sets apart.
#[derive(Debug, Clone)]
pub struct Block {
    /// What it is.
    pub kind: BlockKind,
    /// The whole block, key included.
    pub span: Span,
    /// Key of a field, or of an item or paragraph that starts with one (`LOW RESISTANCE: …`).
    pub key: Option<Span>,
    /// Set off as somebody else's words: `>` marks, an indented or wholly quoted paragraph.
    pub quoted: bool,
    /// Other blocks and voices that it belongs to.
    pub(crate) ties: Ties,
    /// Its sentences.
    pub(crate) run: Run,
}

/// A range of indices that a document has a great many of, in half the room.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Run(Span);

impl From<Range<usize>> for Run {
    fn from(range: Range<usize>) -> Self {
        Self(range.into())
    }
}

/// Other blocks and voices that a block belongs to, in little room: a dense document has a great many blocks.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ties {
    /// One more than the index of the heading, or 0.
    section: u32,
    /// One more than the index of the block that introduces it, or 0.
    lead: u32,
    /// Few blocks have a speaker.
    speaker: Option<Box<Span>>,
}

impl Ties {
    pub(crate) fn new(section: Option<usize>, lead: Option<usize>, speaker: Option<Span>) -> Self {
        // Blocks are no more than `MOST_BLOCKS`.
        let kept =
            |index: Option<usize>| index.map_or(0, |index| u32::try_from(index + 1).unwrap_or(0));
        Self {
            section: kept(section),
            lead: kept(lead),
            speaker: speaker.map(Box::new),
        }
    }
}

impl Block {
    /// Its sentences, as a range of [`Sheet::sentences`].
    #[must_use]
    pub fn sentences(&self) -> Range<usize> {
        self.run.0.start()..self.run.0.end()
    }

    /// Index of the heading block it stands under.
    #[must_use]
    pub fn section(&self) -> Option<usize> {
        usize::try_from(self.ties.section.checked_sub(1)?).ok()
    }

    /// Index of the block that introduces the list it belongs to (`Not one of these is true:`).
    #[must_use]
    pub fn lead(&self) -> Option<usize> {
        usize::try_from(self.ties.lead.checked_sub(1)?).ok()
    }

    /// Who speaks: the name before `Name: …` in an interview, the author line of a forum post or letter.
    #[must_use]
    pub fn speaker(&self) -> Option<Span> {
        self.ties.speaker.as_deref().copied()
    }

    /// Names who speaks.
    pub(crate) fn spoken_by(&mut self, speaker: Option<Span>) {
        self.ties.speaker = speaker.map(Box::new);
    }
}

/// A sentence, or what stands for one (a heading, a cell, a field).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sentence {
    /// Where it stands.
    pub span: Span,
    /// Index of its block.
    pub block: usize,
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
