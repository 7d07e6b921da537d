//! Blocks and sentences, in little room: a dense document has a great many of both.

use crate::span::Span;
use std::ops::Range;

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
    /// A cell of [`Sheet::tables`](super::Sheet::tables).
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
    /// The whole block, key included.
    pub span: Span,
    /// Index of its first sentence.
    first: u32,
    kind: Kept,
    /// One more than the index of the heading, or 0.
    section: Short,
    /// One more than the index of the block that introduces it, or 0.
    lead: Short,
    key: Key,
    /// How many sentences it has, or [`Block::MANY`].
    count: u8,
    quoted: bool,
    /// What few blocks have.
    rare: Option<Box<Rare>>,
}

/// What few blocks have.
#[derive(Debug, Clone, Default)]
struct Rare {
    speaker: Option<Span>,
    /// How many sentences it has, when they are many.
    count: usize,
    /// A key that lies elsewhere or is very long.
    key: Option<Span>,
}

/// A number of three bytes. Blocks are no more than [`super::MOST_BLOCKS`] and the cells of one table, far below that.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Short([u8; 3]);

impl Short {
    fn new(number: u32) -> Self {
        let [low, middle, high, _] = number.to_le_bytes();
        Self([low, middle, high])
    }

    fn get(self) -> u32 {
        let [low, middle, high] = self.0;
        u32::from_le_bytes([low, middle, high, 0])
    }

    fn index(index: Option<usize>) -> Self {
        let number = index.and_then(|index| u32::try_from(index + 1).ok());
        Self::new(number.unwrap_or(0))
    }

    fn as_index(self) -> Option<usize> {
        usize::try_from(self.get().checked_sub(1)?).ok()
    }
}

/// A [`BlockKind`] as it is kept.
#[derive(Debug, Clone, Copy)]
enum Kept {
    Heading(u8),
    Field,
    Cell {
        table: Short,
        row: Short,
        column: Short,
    },
    Item,
    Paragraph,
}

/// Where the key of a block stands: how far behind its start, and how long it is.
#[derive(Debug, Clone, Copy, Default)]
struct Key {
    behind: u8,
    length: u8,
}

impl Key {
    /// A length that says that the key is kept elsewhere.
    const ELSEWHERE: u8 = u8::MAX;
}

impl Block {
    const MANY: u8 = u8::MAX;

    /// A block that holds these sentences and belongs to nothing else.
    pub(crate) fn new(kind: BlockKind, span: Span, sentences: Range<usize>) -> Self {
        // Sentences are no more than a document has bytes.
        let first = u32::try_from(sentences.start).unwrap_or(u32::MAX);
        let count = u8::try_from(sentences.len()).unwrap_or(Self::MANY);
        let rare = (count == Self::MANY).then(|| {
            Box::new(Rare {
                count: sentences.len(),
                ..Rare::default()
            })
        });
        let kind = match kind {
            BlockKind::Heading { level } => Kept::Heading(level),
            BlockKind::Field => Kept::Field,
            BlockKind::Cell { table, row, column } => Kept::Cell {
                table: Short::new(table),
                row: Short::new(row),
                column: Short::new(column),
            },
            BlockKind::Item => Kept::Item,
            BlockKind::Paragraph => Kept::Paragraph,
        };
        Self {
            span,
            first,
            kind,
            section: Short::default(),
            lead: Short::default(),
            key: Key::default(),
            count,
            quoted: false,
            rare,
        }
    }

    /// Puts it under a heading and behind the block that introduces it.
    pub(crate) fn tied(mut self, section: Option<usize>, lead: Option<usize>) -> Self {
        self.section = Short::index(section);
        self.lead = Short::index(lead);
        self
    }

    /// Gives it a key.
    pub(crate) fn keyed(mut self, key: Option<Span>) -> Self {
        self.key = Key::default();
        let Some(key) = key else { return self };
        let behind = key.start().checked_sub(self.span.start());
        let behind = behind.and_then(|behind| u8::try_from(behind).ok());
        let length = u8::try_from(key.len()).ok();
        let length = length.filter(|&length| length > 0 && length < Key::ELSEWHERE);
        self.key = match (behind, length) {
            (Some(behind), Some(length)) => Key { behind, length },
            _ => {
                self.rare.get_or_insert_default().key = Some(key);
                Key {
                    behind: 0,
                    length: Key::ELSEWHERE,
                }
            }
        };
        self
    }

    /// Sets it off as somebody else's words.
    pub(crate) fn quote(&mut self, quoted: bool) {
        self.quoted = quoted;
    }

    /// What it is.
    #[inline]
    #[must_use]
    pub fn kind(&self) -> BlockKind {
        match self.kind {
            Kept::Heading(level) => BlockKind::Heading { level },
            Kept::Field => BlockKind::Field,
            Kept::Cell { table, row, column } => BlockKind::Cell {
                table: table.get(),
                row: row.get(),
                column: column.get(),
            },
            Kept::Item => BlockKind::Item,
            Kept::Paragraph => BlockKind::Paragraph,
        }
    }

    /// Key of a field, or of an item or paragraph that starts with one (`LOW RESISTANCE: …`).
    #[inline]
    #[must_use]
    pub fn key(&self) -> Option<Span> {
        match self.key.length {
            0 => None,
            Key::ELSEWHERE => self.rare.as_ref().and_then(|rare| rare.key),
            length => {
                let start = self.span.start() + usize::from(self.key.behind);
                Some(Span::new(start, start + usize::from(length)))
            }
        }
    }

    /// Set off as somebody else's words: `>` marks, an indented or wholly quoted paragraph.
    #[inline]
    #[must_use]
    pub fn quoted(&self) -> bool {
        self.quoted
    }

    /// Its sentences, as a range of [`Sheet::sentences`](super::Sheet::sentences).
    #[must_use]
    pub fn sentences(&self) -> Range<usize> {
        let first = self.first as usize;
        let count = match (self.count, &self.rare) {
            (Self::MANY, Some(rare)) => rare.count,
            (count, _) => usize::from(count),
        };
        first..first + count
    }

    /// Index of the heading block it stands under.
    #[must_use]
    pub fn section(&self) -> Option<usize> {
        self.section.as_index()
    }

    /// Index of the block that introduces the list it belongs to (`Not one of these is true:`).
    #[must_use]
    pub fn lead(&self) -> Option<usize> {
        self.lead.as_index()
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
    block: u32,
}

impl Sentence {
    /// A sentence of a block. Blocks are no more than a document has bytes.
    pub fn new(span: Span, block: usize) -> Self {
        Self {
            span,
            block: u32::try_from(block).unwrap_or(u32::MAX),
        }
    }

    /// Index of its block.
    #[inline]
    #[must_use]
    pub fn block(&self) -> usize {
        self.block as usize
    }
}

#[cfg(test)]
mod tests {
    use super::super::MOST_BLOCKS;
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
        assert!(size_of::<Block>() <= 5 * size_of::<usize>());
        assert_eq!(size_of::<Sentence>(), 12);
    }

    #[test]
    fn a_block_is_what_it_was_made_and_keeps_its_key_wherever_that_stands() {
        let cell = BlockKind::Cell {
            table: 900_000,
            row: 99_999,
            column: 70_000,
        };
        let kinds = [
            BlockKind::Heading { level: 3 },
            BlockKind::Field,
            cell,
            BlockKind::Item,
            BlockKind::Paragraph,
        ];
        for kind in kinds {
            let block = || Block::new(kind, Span::new(1000, 4000), 3..4);
            assert_eq!((block().kind(), block().key()), (kind, None));
            for (start, end) in [
                (1000, 1001),
                (1255, 1509),
                (1256, 1300),
                (1000, 1255),
                (1400, 1400),
                (2, 9),
                (5000, 5001),
            ] {
                let key = Some(Span::new(start, end));
                let keyed = block().keyed(key);
                assert_eq!((keyed.key(), keyed.sentences()), (key, 3..4));
                assert_eq!(keyed.keyed(None).key(), None);
            }
        }
    }
}
