//! Several tests in one document, each with a table of its own: which sides and which sentences belong together. Knows nothing
//! of who came out better.

use crate::facts::read::Reader;
use crate::facts::types::Side;
use crate::sheet::BlockKind;
use std::ops::Range;

/// Most sides of all tests of one document; more are a range or a chart.
const MOST: usize = 24;

/// The sides of each test with the sentences that tell of it; all sides and the whole document where there is one test.
pub(super) fn tests(reader: &Reader<'_>, sides: Vec<Side>) -> Vec<(Vec<Side>, Range<usize>)> {
    let whole = 0..reader.sheet.sentences.len();
    if sides.len() > MOST {
        return vec![(sides, whole)];
    }
    if let Some(tests) = by_section(reader, &sides) {
        return tests;
    }
    let tables: Option<Vec<usize>> = sides
        .iter()
        .map(|side| reader.table_of(side.cable))
        .collect();
    let Some(tables) = tables else {
        return vec![(sides, whole)];
    };
    let mut kinds = tables.clone();
    kinds.sort_unstable();
    kinds.dedup();
    let paired = kinds
        .iter()
        .all(|kind| tables.iter().filter(|table| *table == kind).count() >= 2);
    let starts: Vec<usize> = kinds
        .iter()
        .filter_map(|&table| start(reader, u32::try_from(table).ok()?))
        .collect();
    let ordered = starts.windows(2).all(|pair| pair[0] < pair[1]);
    if kinds.len() < 2 || !paired || starts.len() != kinds.len() || !ordered {
        return vec![(sides, whole)];
    }
    let mut tests: Vec<(Vec<Side>, Range<usize>)> = (0..kinds.len())
        .map(|place| {
            let end = starts.get(place + 1).copied().unwrap_or(whole.end);
            (Vec::new(), starts[place]..end)
        })
        .collect();
    for (side, table) in sides.into_iter().zip(tables) {
        if let Some(place) = kinds.iter().position(|kind| *kind == table) {
            tests[place].0.push(side);
        }
    }
    tests
}

/// A report that goes from room to room: under each heading it speaks of cables of which no other heading knows anything. Sides that
/// stand alone under theirs were set against nothing.
fn by_section(reader: &Reader<'_>, sides: &[Side]) -> Option<Vec<(Vec<Side>, Range<usize>)>> {
    /// So many headings at least make a round.
    const ROUND: usize = 3;
    let sheet = reader.sheet;
    let section = |span: crate::span::Span| {
        let sentence = crate::facts::read::sentence_at(sheet, span.start());
        sheet.blocks[sheet.sentences[sentence].block].section()
    };
    let of = |side: &Side| -> Option<usize> {
        let mentions = &reader.facts.cables[side.cable].mentions;
        let first = section(*mentions.first()?)?;
        mentions
            .iter()
            .all(|mention| section(*mention) == Some(first))
            .then_some(first)
    };
    let own: Option<Vec<usize>> = sides.iter().map(of).collect();
    let own = own?;
    let mut kinds = own.clone();
    kinds.sort_unstable();
    kinds.dedup();
    let headings = sheet.blocks.iter().filter(
        |block| matches!(block.kind, BlockKind::Heading { level } if (2..7).contains(&level)),
    );
    if kinds.len() < 2 || headings.take(ROUND).count() < ROUND {
        return None;
    }
    let end = |heading: usize| {
        (heading + 1..sheet.blocks.len())
            .find(|&at| sheet.blocks[at].section() != Some(heading))
            .map_or(sheet.sentences.len(), |at| {
                sheet.blocks[at].sentences().start
            })
    };
    let tests = kinds.into_iter().map(|heading| {
        let those = sides.iter().zip(&own).filter(|(_, own)| **own == heading);
        let those = those.map(|(side, _)| side.clone()).collect();
        (those, sheet.blocks[heading].sentences().start..end(heading))
    });
    Some(tests.collect())
}

/// The sentence with which the telling of a table begins: its heading, else its first cell.
fn start(reader: &Reader<'_>, table: u32) -> Option<usize> {
    let blocks = &reader.sheet.blocks;
    let of = |block: &crate::sheet::Block, wanted: u32| matches!(block.kind, BlockKind::Cell { table, .. } if table == wanted);
    let first = blocks.iter().position(|block| of(block, table))?;
    let own = blocks[first].section().filter(|&heading| {
        heading < first
            && !blocks[heading..first]
                .iter()
                .any(|block| matches!(block.kind, BlockKind::Cell { table: other, .. } if other != table))
    });
    Some(blocks[own.unwrap_or(first)].sentences().start)
}
