//! Scores of a list or a table: what is said over or under it is said of each, and two columns of one may make a score of each row.

use super::{AFTER, calls, denies_proof, proves, whose};
use crate::facts::procedure;
use crate::facts::read::{Reader, sentence_at};
use crate::facts::types::Score;
use crate::lexicon::List;
use crate::sheet::BlockKind;
use crate::span::Span;

/// “Joss 11 of 16” over “Priya 8 of 10”, and below the list “four people, four proofs”: what is said of a list in common is said of
/// each score in it.
pub(super) fn listed(reader: &Reader<'_>, scores: &mut [Score]) {
    let blocks = &reader.sheet.blocks;
    let sentences = &reader.sheet.sentences;
    let block_of = |score: &Score| sentences[sentence_at(reader.sheet, score.span.start())].block();
    // The line of a list that a score stands in: a cell belongs to its row.
    let line = |score: &Score| match blocks[block_of(score)].kind() {
        BlockKind::Cell { table, row, .. } => Some((table as usize + 1, row as usize)),
        BlockKind::Field | BlockKind::Item => Some((0, block_of(score))),
        _ => None,
    };
    let follows = |first: &Score, next: &Score| match (line(first), line(next)) {
        (Some(a), Some(b)) => a.0 == b.0 && a.1 + 1 == b.1,
        _ => false,
    };
    let mut from = 0;
    while from < scores.len() {
        let mut to = from + 1;
        while to < scores.len() && follows(&scores[to - 1], &scores[to]) {
            to += 1;
        }
        if to - from >= 2 {
            let last = block_of(&scores[to - 1]);
            let behind = sentences.partition_point(|sentence| sentence.block() <= last);
            let common = |at: usize| {
                reader.hits.say(at, reader.terms.in_common)
                    && !reader.hits.say(at, reader.terms.report)
            };
            // The rest of the line, and a heading right behind the list, stand before what is said of it.
            let cell =
                |at: usize| matches!(blocks[sentences[at].block()].kind(), BlockKind::Cell { .. });
            let title = |at: usize| {
                matches!(
                    blocks[sentences[at].block()].kind(),
                    BlockKind::Heading { .. }
                )
            };
            let behind = (behind..sentences.len())
                .find(|&at| !cell(at))
                .unwrap_or(sentences.len());
            let behind = behind + usize::from(behind < sentences.len() && title(behind));
            let text: Vec<usize> = (behind..(behind + AFTER).min(sentences.len()))
                .take_while(|&at| {
                    !matches!(
                        blocks[sentences[at].block()].kind(),
                        BlockKind::Heading { .. } | BlockKind::Cell { .. }
                    )
                })
                .filter(|&at| !reader.endless(at))
                .collect();
            let over = lead(reader, block_of(&scores[from]));
            let proven = text.iter().any(|&at| common(at) && proves(reader, at))
                || over.iter().any(|&at| leads(reader, at));
            let mut around = text.iter().chain(&over);
            if proven && !around.any(|&at| denies_proof(reader, at)) {
                for score in &mut scores[from..to] {
                    let own = sentence_at(reader.sheet, score.span.start());
                    score.offered_as_proof |= !taken_back_by_name(reader, own);
                }
            }
        }
        from = to;
    }
}

/// The last sentences of running text, or the title, right over a list or a table.
fn lead(reader: &Reader<'_>, block: usize) -> Vec<usize> {
    /// Sentences over a list that speak of it.
    const OVER: usize = 3;
    /// Blocks of a table, or titles, between.
    const BLOCKS: usize = 12;
    let blocks = &reader.sheet.blocks;
    let table = |at: usize| match blocks[at].kind() {
        BlockKind::Cell { table, .. } => Some(table),
        _ => None,
    };
    let own = table(block);
    let over = (block.saturating_sub(BLOCKS)..block)
        .rev()
        .find(|&at| (own.is_none() || table(at) != own) && !heads(reader, at));
    let Some(over) = over else { return Vec::new() };
    let told = match blocks[over].kind() {
        BlockKind::Paragraph | BlockKind::Heading { .. } => true,
        BlockKind::Field => blocks[over]
            .key()
            .is_some_and(|key| blocks[over].span.end() <= key.end() + 1),
        _ => false,
    };
    if !told {
        return Vec::new();
    }
    let sentences = blocks[over].sentences();
    let first = sentences.start.max(sentences.end.saturating_sub(OVER));
    (first..sentences.end)
        .filter(|&at| !reader.endless(at))
        .collect()
}

/// Whether a block is nothing but the heads of a list: “Listener    Score”.
fn heads(reader: &Reader<'_>, block: usize) -> bool {
    let block = &reader.sheet.blocks[block];
    let words = block.span.of(reader.text());
    let lists = reader.terms.lists;
    let mut all = words
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase);
    all.all(|word| {
        [
            lists.score_trial,
            lists.score_plural,
            lists.score_column_right,
            lists.score_column_trials,
        ]
        .iter()
        .any(|list| list.has(&word))
    })
}

/// Whether a sentence over a list offers what follows as proof: it leads to it with a colon, or speaks of results in common.
fn leads(reader: &Reader<'_>, sentence: usize) -> bool {
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    let common = reader.hits.say(sentence, reader.terms.in_common) || {
        let lower = words.to_lowercase();
        lower
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| reader.terms.lists.score_plural.has(word))
    };
    (words.trim_end().ends_with(':') || common)
        && !reader.hits.say(sentence, reader.terms.report)
        && !procedure::asked(reader, sentence)
        && proves(reader, sentence)
}

/// Whether what is said of the one whose score it is, by his name, is that it is no proof.
fn taken_back_by_name(reader: &Reader<'_>, sentence: usize) -> bool {
    /// Sentences behind a score in which it is spoken of by name.
    const NAMED: usize = 10;
    let end = reader.sheet.sentences.len().saturating_sub(1);
    whose(reader, sentence).is_some_and(|name| {
        (sentence + 1..=(sentence + NAMED).min(end))
            .any(|at| !reader.endless(at) && denies_proof(reader, at) && calls(reader, at, &name))
    })
}

/// Scores of a table whose columns are the right answers and the trials.
pub(super) fn tabled(reader: &Reader<'_>) -> Vec<(u32, u32, Span, usize)> {
    /// Rows of a table of scores.
    const ROWS: usize = 40;
    let lists = reader.terms.lists;
    let sheet = reader.sheet;
    let words = |cell: Option<usize>| Some(sheet.blocks[cell?].span.of(reader.text()).trim());
    let headed = |cell: Option<usize>, list: List<'_>| {
        words(cell).is_some_and(|words| {
            let lower = words.to_lowercase();
            let mut all = lower
                .split(|letter: char| !letter.is_alphabetic())
                .filter(|word| !word.is_empty())
                .peekable();
            all.peek().is_some() && all.all(|word| list.has(word) || lists.score_article.has(word))
        })
    };
    let mut found = Vec::new();
    for table in &sheet.tables {
        let Some((head, rows)) = table.cells.split_first() else {
            continue;
        };
        if rows.len() > ROWS {
            continue;
        }
        let place = |list| head.iter().position(|&cell| headed(cell, list));
        let (Some(right), Some(trials)) = (
            place(lists.score_column_right),
            place(lists.score_column_trials),
        ) else {
            continue;
        };
        for row in rows {
            let cell = |at: usize| row.get(at).copied().flatten();
            let count = |at: usize| words(cell(at))?.parse::<u32>().ok();
            let (Some(k), Some(n)) = (count(right), count(trials)) else {
                continue;
            };
            if let (Some(first), Some(second)) = (cell(right), cell(trials))
                && k <= n
                && n >= 3
            {
                let span = sheet.blocks[first].span.join(sheet.blocks[second].span);
                found.push((k, n, span, sheet.blocks[first].sentences().start));
            }
        }
    }
    found
}
