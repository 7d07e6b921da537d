//! Several tests in one document, each with a table of its own: which sides and which sentences belong together. Knows nothing
//! of who came out better.

use crate::facts::read::Reader;
use crate::facts::types::Side;
use crate::sheet::BlockKind;
use std::ops::Range;

/// Most sides of all tests of one document; more are a range or a chart.
pub(super) const MOST: usize = 24;

/// The sides of each test with the sentences that tell of it; all sides and the whole document where there is one test, and nothing
/// where no two sides are there to be compared.
pub(super) fn tests(reader: &Reader<'_>, sides: Vec<Side>) -> Vec<(Vec<Side>, Range<usize>)> {
    if sides.len() < 2 {
        return Vec::new();
    }
    let whole = 0..reader.sheet.sentences.len();
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

/// A report that goes from room to room: under each heading, in each entry of a log or in each paragraph it speaks of cables of which
/// no other knows anything. Sides that stand alone in theirs were set against nothing.
fn by_section(reader: &Reader<'_>, sides: &[Side]) -> Option<Vec<(Vec<Side>, Range<usize>)>> {
    /// So many headings or entries at least make a round.
    const ROUND: usize = 3;
    let blocks = &reader.sheet.blocks;
    let headings = blocks.iter().filter(
        |block| matches!(block.kind(), BlockKind::Heading { level } if (2..7).contains(&level)),
    );
    let titled = |at: usize| match blocks[at].kind() {
        BlockKind::Heading { level } if level >= 2 => Some(at),
        _ => blocks[at].section(),
    };
    if headings.take(ROUND).count() == ROUND
        && let Some(tests) = parted(reader, sides, titled)
    {
        return Some(tests);
    }
    let stamps: Vec<usize> = (0..blocks.len())
        .filter(|&at| stamped(blocks[at].span.of(reader.text())))
        .collect();
    let entry = |at: usize| {
        let after = stamps.partition_point(|&stamp| stamp <= at);
        after.checked_sub(1).map(|index| stamps[index])
    };
    if stamps.len() >= ROUND
        && let Some(tests) = parted(reader, sides, entry)
    {
        return Some(tests);
    }
    // Paragraphs that speak of one cable each may well tell of one test.
    let told = |at: usize| (blocks[at].kind() == BlockKind::Paragraph).then_some(at);
    parted(reader, sides, told).filter(|tests| tests.iter().any(|(sides, _)| sides.len() > 1))
}

/// Whether a block begins with the time at which it was noted: “[09:10] Lead X.”
fn stamped(words: &str) -> bool {
    let words = words.trim_start_matches(['[', '(', ' ']);
    let bytes = words.as_bytes();
    let hour = bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let minute = bytes
        .get(hour + 1..hour + 3)
        .is_some_and(|rest| rest.iter().all(u8::is_ascii_digit));
    matches!(hour, 1 | 2)
        && matches!(bytes.get(hour), Some(b':' | b'.' | b'h'))
        && minute
        && !bytes.get(hour + 3).is_some_and(u8::is_ascii_alphanumeric)
        && words.get(hour + 3..).is_some_and(|rest| {
            rest.starts_with([']', ')', ':', '\t'])
                || rest.starts_with("  ")
                || rest.starts_with(" h")
        })
}

/// The sides by the part of the document in which all mentions of each stand, with the sentences from there to the next of these
/// parts; nothing where a side stands in several parts, or all in one. `part`: that of a block, by the block that opens it.
fn parted(
    reader: &Reader<'_>,
    sides: &[Side],
    part: impl Fn(usize) -> Option<usize>,
) -> Option<Vec<(Vec<Side>, Range<usize>)>> {
    let sheet = reader.sheet;
    let place = |span: crate::span::Span| {
        let sentence = crate::facts::read::sentence_at(sheet, span.start());
        part(sheet.sentences[sentence].block())
    };
    let titles_of = |side: &Side| {
        let mentions = reader.facts.cables[side.cable].mentions.iter();
        mentions.filter_map(|mention| {
            let sentence = crate::facts::read::sentence_at(sheet, mention.start());
            let block = sheet.sentences[sentence].block();
            let title =
                matches!(sheet.blocks[block].kind(), BlockKind::Heading { level } if level >= 2);
            (title && part(block) == Some(block)).then_some(block)
        })
    };
    let mut opposed: Vec<usize> = sides.iter().flat_map(titles_of).collect();
    opposed.sort_unstable();
    opposed.retain({
        let all = opposed.clone();
        move |title| all.iter().filter(|other| *other == title).count() >= 2
    });
    let of = |side: &Side| -> Option<usize> {
        let mentions = &reader.facts.cables[side.cable].mentions;
        // "BOUT 2. Nocturne vs Stage": the heading says where it belongs, wherever else it is spoken of.
        let mut titles = titles_of(side).filter(|title| opposed.contains(title));
        if let (Some(title), None) = (titles.next(), titles.next()) {
            return Some(title);
        }
        let first = place(mentions.first()?)?;
        mentions
            .iter()
            .all(|mention| place(mention) == Some(first))
            .then_some(first)
    };
    let own: Option<Vec<usize>> = sides.iter().map(of).collect();
    let own = own?;
    let mut kinds = own.clone();
    kinds.sort_unstable();
    kinds.dedup();
    if kinds.len() < 2 {
        return None;
    }
    let end = |opens: usize| {
        (opens + 1..sheet.blocks.len())
            .find(|&at| part(at) != Some(opens))
            .map_or(sheet.sentences.len(), |at| {
                sheet.blocks[at].sentences().start
            })
    };
    let tests = kinds.into_iter().map(|opens| {
        let those = sides.iter().zip(&own).filter(|(_, own)| **own == opens);
        let those = those.map(|(side, _)| side.clone()).collect();
        (those, sheet.blocks[opens].sentences().start..end(opens))
    });
    Some(tests.collect())
}

/// The sentence with which the telling of a table begins: its heading, else its first cell.
fn start(reader: &Reader<'_>, table: u32) -> Option<usize> {
    let blocks = &reader.sheet.blocks;
    let of = |block: &crate::sheet::Block, wanted: u32| matches!(block.kind(), BlockKind::Cell { table, .. } if table == wanted);
    let first = blocks.iter().position(|block| of(block, table))?;
    let own = blocks[first].section().filter(|&heading| {
        heading < first
            && !blocks[heading..first]
                .iter()
                .any(|block| matches!(block.kind(), BlockKind::Cell { table: other, .. } if other != table))
    });
    Some(blocks[own.unwrap_or(first)].sentences().start)
}
