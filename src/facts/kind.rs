//! What kind of document it is: told by how much of it is running text, by what its tables and fields hold, and by whether
//! cables were set side by side or put to a test.

use super::read::Reader;
use super::roles::Role;
use super::types::DocumentKind;
use crate::sheet::{BlockKind, Kind};

/// What speaks for one kind or another.
#[derive(Debug)]
struct Evidence {
    /// Cables of which a size or a figure is known.
    described: usize,
    /// Sizes, lengths and figures in all.
    stated: usize,
    /// The same for each thousand bytes of text.
    density: f64,
    /// Share of the letters that stand in sentences of running text, in per cent.
    told: usize,
    /// Fields and cells with a quantity.
    listed: usize,
    /// Short fields.
    fields: usize,
    /// Rows of the longest table.
    rows: usize,
    /// Rows of a table that are headed by nothing but a size.
    sized: usize,
    /// Cells with the length of a run.
    runs: usize,
    /// A table goes by two of size, length and load, and tells the third or a figure of them.
    crossed: bool,
    /// The document says how far a run may go, or which size it takes.
    guides: bool,
    /// Who knew, how levels were set, scores: how many of these are told.
    tested: usize,
    /// Blocks with somebody's name to their words, or in quotation marks.
    voices: usize,
}

/// Fewest words of a sentence of running text.
const SENTENCE: usize = 8;

impl Evidence {
    fn of(reader: &Reader<'_>) -> Self {
        let sheet = reader.sheet;
        let facts = &reader.facts;
        let stated: usize = facts
            .cables
            .iter()
            .map(|cable| cable.sizes.len() + cable.lengths.len() + cable.figures.len())
            .sum();
        let says =
            |concept| (0..sheet.sentences.len()).any(|sentence| reader.hits.say(sentence, concept));
        let promised = (0..sheet.sentences.len()).any(|sentence| {
            reader.hits.say(sentence, reader.terms.offer)
                && reader.hits.say(sentence, reader.terms.subject_length)
        });
        let thousands = number_of(reader.text().len()) / 1000.0;
        let rows = sheet.tables.iter().map(|table| table.cells.len());
        let setup = &facts.setup;
        Self {
            described: facts
                .cables
                .iter()
                .filter(|cable| !cable.sizes.is_empty() || !cable.figures.is_empty())
                .count(),
            stated,
            density: number_of(stated) / thousands.max(0.5),
            told: told(reader),
            listed: listed(reader),
            fields: reader.fields(),
            rows: rows.max().unwrap_or(0),
            sized: sized(reader),
            runs: (0..sheet.quantities.len())
                .filter(|&index| {
                    reader.roles[index] == Role::Run
                        && reader.line_of(reader.sentence_of(index)).is_some()
                })
                .count(),
            crossed: (0..sheet.tables.len()).any(|table| crossed(reader, table)),
            guides: promised || says(reader.terms.chart_run),
            tested: usize::from(setup.blinding.is_some())
                + usize::from(setup.matching.is_some())
                + usize::from(!setup.scores.is_empty() || votes(reader)),
            voices: sheet
                .blocks
                .iter()
                .filter(|block| block.quoted() || block.speaker().is_some())
                .count(),
        }
    }

    /// A table of sizes and of how far each may go, or what each loses.
    fn charts(&self) -> bool {
        self.crossed
            || self.rows >= 3
                && (self.runs >= 4 && (self.guides || self.runs >= 9)
                    || self.sized >= 3 && self.guides
                    || self.sized >= 5)
    }

    /// Cables were put to a test, whatever came of it.
    fn tests(&self, comparative: bool) -> bool {
        let known = usize::from(self.described >= 1);
        (self.tested + known >= 3)
            || (comparative && self.voices < 3 && self.tested + known >= 2)
            || (self.tested >= 1 && self.described >= 2 && self.told >= 60)
    }

    /// Running text in which figures come by the way, or people talk.
    fn talks(&self) -> bool {
        (self.told >= 57 && self.listed <= 2 && self.density < 4.5)
            || (self.voices >= 3 && self.listed < 4)
    }
}

/// Whether a vote is told in the block that tells who knew what was playing.
fn votes(reader: &Reader<'_>) -> bool {
    reader.facts.setup.blinding.as_ref().is_some_and(|known| {
        let sentence = super::read::sentence_at(reader.sheet, known.span.start());
        let block = reader.sheet.sentences[sentence].block();
        let mut sentences = reader.sheet.blocks[block].sentences();
        sentences.any(|at| reader.hits.say(at, reader.terms.vote))
    })
}

fn number_of(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

/// Share of the letters that stand in sentences of running text, in per cent.
fn told(reader: &Reader<'_>) -> usize {
    let sheet = reader.sheet;
    let (mut all, mut running) = (0_usize, 0_usize);
    for sentence in &sheet.sentences {
        let words = sentence.span.of(reader.text());
        let letters = words.bytes().filter(u8::is_ascii_alphabetic).count();
        all += letters;
        let apart = matches!(
            sheet.blocks[sentence.block()].kind(),
            BlockKind::Heading { .. } | BlockKind::Cell { .. }
        );
        if !apart && words.split_whitespace().nth(SENTENCE - 1).is_some() {
            running += letters;
        }
    }
    (100 * running).checked_div(all).unwrap_or(0)
}

/// Fields and cells with a quantity.
fn listed(reader: &Reader<'_>) -> usize {
    const SHORT: usize = 160;
    let sheet = reader.sheet;
    let mut last = None;
    reader
        .sentences_of()
        .map(|sentence| sheet.sentences[sentence].block())
        .filter(|&block| {
            let block = &sheet.blocks[block];
            match block.kind() {
                BlockKind::Cell { .. } | BlockKind::Field => block.speaker().is_none(),
                BlockKind::Item | BlockKind::Paragraph => {
                    block.span.len() < SHORT && block.key().is_some() && block.speaker().is_none()
                }
                BlockKind::Heading { .. } => false,
            }
        })
        .filter(|&block| last.replace(block) != Some(block))
        .count()
}

/// Rows of tables whose first cell is nothing but a size.
fn sized(reader: &Reader<'_>) -> usize {
    let sheet = reader.sheet;
    (0..sheet.quantities.len())
        .filter(|&index| {
            let block = &sheet.blocks[sheet.sentences[reader.sentence_of(index)].block()];
            reader.roles[index] == Role::Size
                && matches!(block.kind(), BlockKind::Cell { row, column: 0, .. } if row > 0)
                && block.span.len() <= sheet.quantities[index].span.len() + 4
        })
        .count()
}

/// What a cell of a chart holds.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Axis {
    Size,
    Length,
    Load,
    Figure,
}

/// Whether a table goes by two of size, length and load, one down its side and the other along its head, and tells the third or a figure
/// of each two. One of prices is a list of what is sold.
fn crossed(reader: &Reader<'_>, table: usize) -> bool {
    const FEWEST: usize = 2;
    let sheet = reader.sheet;
    let cells = &sheet.tables[table].cells;
    let axis = |row: usize, column: usize| -> Option<Axis> {
        let block = &sheet.blocks[(*cells.get(row)?.get(column)?)?];
        let words = block.span.of(reader.text());
        let own = block.sentences().flat_map(|at| reader.in_sentence(at));
        let mut kinds = own.map(|index| &sheet.quantities[index]);
        let Some(first) = kinds.next() else {
            let figure = words.trim_start_matches(['<', '>', '~', '-', '−', '.', ' ']);
            let plain = figure.starts_with(|sign: char| sign.is_ascii_digit())
                && !figure.contains(char::is_alphabetic);
            return plain.then_some(Axis::Figure);
        };
        // "up to 10 m"
        let short = words.len() <= first.span.len() + SPARE;
        let axis = match first.kind {
            Kind::Gauge | Kind::Area => Axis::Size,
            Kind::Length => Axis::Length,
            Kind::Impedance | Kind::Resistance | Kind::Power => Axis::Load,
            _ => Axis::Figure,
        };
        short.then_some(axis)
    };
    let columns = cells.iter().map(Vec::len).max().unwrap_or(0);
    if cells.len() <= FEWEST || columns <= FEWEST {
        return false;
    }
    let (Some(down), Some(along)) = (axis(1, 0), axis(0, 1)) else {
        return false;
    };
    let same = (1..cells.len()).all(|row| axis(row, 0) == Some(down))
        && (1..columns).all(|column| axis(0, column) == Some(along));
    if !same {
        return false;
    }
    let inner = || (1..cells.len()).flat_map(|row| (1..columns).map(move |column| (row, column)));
    let told = |wanted: &[Axis]| {
        let found = inner().filter_map(|(row, column)| axis(row, column));
        let (mut all, mut fits) = (0, 0);
        for axis in found {
            all += 1;
            fits += usize::from(wanted.contains(&axis));
        }
        fits > 0 && fits == all
    };
    match [down, along] {
        [Axis::Size, Axis::Length] | [Axis::Length, Axis::Size] => {
            told(&[Axis::Figure, Axis::Load])
        }
        [Axis::Load, Axis::Length] | [Axis::Length, Axis::Load] => told(&[Axis::Size]),
        [Axis::Load, Axis::Size] | [Axis::Size, Axis::Load] => told(&[Axis::Length]),
        _ => false,
    }
}

/// Bytes that a cell may have beside its quantity.
const SPARE: usize = 8;

/// Decides what kind of document it is; `compared` says that a comparison with its outcome was read.
pub(super) fn kind(reader: &Reader<'_>, compared: bool) -> DocumentKind {
    let found = Evidence::of(reader);
    let beside = reader.comparative && found.described >= 2;
    if compared {
        DocumentKind::Comparison
    } else if found.charts() {
        DocumentKind::Chart
    } else if found.tests(reader.comparative) || (beside && found.runs < 4 && found.voices < 3) {
        DocumentKind::Comparison
    } else if found.talks() {
        DocumentKind::Article
    } else if found.described >= 2 {
        DocumentKind::Range
    } else if found.listed >= 2
        || found.fields >= 4
        || found.rows >= 3
        || (found.described == 1 && found.stated >= 3)
    {
        DocumentKind::Sheet
    } else {
        DocumentKind::Article
    }
}
