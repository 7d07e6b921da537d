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
    /// Blocks that begin with a sign that may be the mark of a footnote, in order, with that sign; it is no part of the block.
    pub marked: Vec<(usize, Box<str>)>,
    /// The document has more blocks than are told apart; its end is one paragraph.
    pub limited: bool,
    /// A table has more cells than are read as one; its rest is a table of its own.
    pub cut: bool,
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

    /// The paragraph under which a field is set deeper, without a blank line between.
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
    /// Other blocks that it belongs to.
    ties: Ties,
    /// Index of its first sentence.
    first: u32,
    /// What few blocks have.
    rare: Option<Box<Rare>>,
}

/// What few blocks have.
#[derive(Debug, Clone, Default)]
struct Rare {
    speaker: Option<Span>,
    /// How many sentences it has, when they are many.
    count: usize,
}

/// Other blocks that a block belongs to, and how many sentences it has, in little room: a dense document has a great many blocks.
#[derive(Debug, Clone, Copy, Default)]
struct Ties {
    /// One more than the index of the heading, or 0.
    section: [u8; 3],
    /// One more than the index of the block that introduces it, or 0.
    lead: [u8; 3],
    /// How many sentences it has, or [`Ties::MANY`].
    count: u8,
}

impl Ties {
    const MANY: u8 = u8::MAX;

    fn new(section: Option<usize>, lead: Option<usize>) -> Self {
        // Blocks are no more than `MOST_BLOCKS` and the cells of one table, far below three bytes.
        let kept = |index: Option<usize>| {
            let number = index.and_then(|index| u32::try_from(index + 1).ok());
            let [low, middle, high, _] = number.unwrap_or(0).to_le_bytes();
            [low, middle, high]
        };
        Self {
            section: kept(section),
            lead: kept(lead),
            count: 0,
        }
    }

    fn index([low, middle, high]: [u8; 3]) -> Option<usize> {
        let number = u32::from_le_bytes([low, middle, high, 0]);
        usize::try_from(number.checked_sub(1)?).ok()
    }
}

impl Block {
    /// A block that holds these sentences and belongs to nothing else.
    pub(crate) fn new(kind: BlockKind, span: Span, sentences: Range<usize>) -> Self {
        // Sentences are no more than a document has bytes.
        let first = u32::try_from(sentences.start).unwrap_or(u32::MAX);
        let count = u8::try_from(sentences.len()).unwrap_or(Ties::MANY);
        let rare = (count == Ties::MANY).then(|| {
            Box::new(Rare {
                speaker: None,
                count: sentences.len(),
            })
        });
        Self {
            kind,
            span,
            key: None,
            quoted: false,
            ties: Ties {
                count,
                ..Ties::default()
            },
            first,
            rare,
        }
    }

    /// Puts it under a heading and behind the block that introduces it.
    pub(crate) fn tied(mut self, section: Option<usize>, lead: Option<usize>) -> Self {
        self.ties = Ties {
            count: self.ties.count,
            ..Ties::new(section, lead)
        };
        self
    }

    /// Its sentences, as a range of [`Sheet::sentences`].
    #[must_use]
    pub fn sentences(&self) -> Range<usize> {
        let first = self.first as usize;
        let count = match (self.ties.count, &self.rare) {
            (Ties::MANY, Some(rare)) => rare.count,
            (count, _) => usize::from(count),
        };
        first..first + count
    }

    /// Index of the heading block it stands under.
    #[must_use]
    pub fn section(&self) -> Option<usize> {
        Ties::index(self.ties.section)
    }

    /// Index of the block that introduces the list it belongs to (`Not one of these is true:`).
    #[must_use]
    pub fn lead(&self) -> Option<usize> {
        Ties::index(self.ties.lead)
    }

    /// Who speaks: the name before `Name: …` in an interview, the author line of a forum post or letter.
    #[must_use]
    pub fn speaker(&self) -> Option<Span> {
        self.rare.as_ref().and_then(|rare| rare.speaker)
    }

    /// Names who speaks.
    pub(crate) fn spoken_by(&mut self, speaker: Option<Span>) {
        if speaker.is_some() || self.rare.is_some() {
            self.rare.get_or_insert_default().speaker = speaker;
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_keeps_its_ties_and_its_sentences_in_little_room() {
        let of = |sentences| Block::new(BlockKind::Paragraph, Span::new(0, 9), sentences);
        for sentences in [0..0, 4..5, 70_000..70_254, 7..262, 8..900_000] {
            let mut block = of(sentences.clone()).tied(Some(0), Some(MOST_BLOCKS));
            assert_eq!(block.sentences(), sentences);
            assert_eq!(
                (block.section(), block.lead()),
                (Some(0), Some(MOST_BLOCKS))
            );
            block.spoken_by(None);
            assert_eq!(block.speaker(), None);
            block.spoken_by(Some(Span::new(2, 3)));
            assert_eq!(block.speaker(), Some(Span::new(2, 3)));
            assert_eq!(block.sentences(), sentences);
        }
        let alone = of(1..2);
        assert_eq!((alone.section(), alone.lead()), (None, None));
        assert!(size_of::<Block>() <= 7 * size_of::<usize>());
    }
}
