//! Who speaks where: letters to a paper and what is answered to them. What one voice tells of who knew is not told of what another
//! voice liked. Knows nothing of cables.

use super::procedure;
use super::read::Reader;
use crate::span::Span;

/// Bytes at the end of a block in which it can be signed.
const SIGNED: usize = 60;
/// Words of a name with a place or a calling behind it.
const NAME: usize = 7;
/// Sentences behind a report in which somebody asks what is to be made of it.
const ASKED: usize = 3;

/// The sentences at which another voice begins to speak, in reading order.
pub(super) fn read(reader: &Reader<'_>) -> Vec<usize> {
    let sentences = &reader.sheet.sentences;
    let text = reader.text();
    let blocks = &reader.sheet.blocks;
    let openings = reader.terms.lists.letter_opening;
    let firsts = openings.firsts();
    (0..sentences.len())
        .filter(|&at| {
            let block = sentences[at].block();
            let words = sentences[at].span.of(text).trim_start();
            let may_open = words.bytes().next().is_some_and(|byte| firsts.has(byte));
            let opens = may_open && openings.begins(words);
            let answers = block > 0
                && blocks[block].sentences().start == at
                && signed(text, blocks[block - 1].span);
            opens || answers
        })
        .collect()
}

/// How many letters begin in a document.
pub(super) fn letters(reader: &Reader<'_>) -> usize {
    let openings = reader.terms.lists.letter_opening;
    let text = reader.text();
    let words = |at: usize| {
        let sentence = reader.sheet.sentences.get(at)?;
        Some(sentence.span.of(text).trim_start())
    };
    let blocks = reader.sheet.blocks.iter();
    blocks
        .filter_map(|block| words(block.sentences().start))
        .filter(|words| {
            let first = words.bytes().next();
            first.is_some_and(|byte| openings.firsts().has(byte)) && openings.begins(words)
        })
        .count()
}

/// Whether what stands in two blocks is told by one voice, or by two of which one asks and the other answers: the loudspeakers of one
/// who posts are not those of the next.
pub(super) fn converse(reader: &Reader<'_>, one: usize, other: usize) -> bool {
    let blocks = &reader.sheet.blocks;
    let text = reader.text();
    let voice = |at: usize| blocks.get(at).and_then(|block| block.speaker());
    let (Some(first), Some(second)) = (voice(one), voice(other)) else {
        return true;
    };
    let asks = |at: usize| {
        blocks
            .get(at)
            .is_some_and(|block| block.span.of(text).contains('?'))
    };
    first.of(text) == second.of(text) || asks(one) || asks(other)
}

/// Whether a block ends with a name behind a dash: “Are we both deaf? – H. T.”
pub(super) fn signed(text: &str, block: Span) -> bool {
    let words = block.of(text).trim_end();
    let from = words.ceil_char_boundary(words.len().saturating_sub(SIGNED));
    let end = words.get(from..).unwrap_or("");
    let Some(dash) = end
        .rmatch_indices(['-', '–', '—'])
        .map(|(at, dash)| (at, at + dash.len()))
        .find(|&(at, behind)| {
            end.get(..at)
                .is_some_and(|before| before.ends_with(char::is_whitespace))
                && end
                    .get(behind..)
                    .is_some_and(|name| name.starts_with(char::is_whitespace))
        })
    else {
        return false;
    };
    let told = words
        .get(..from + dash.0)
        .unwrap_or("")
        .trim_end()
        .ends_with(['.', '!', '?', '"', '”', '’', '\'', ')']);
    let name = end.get(dash.1..).unwrap_or("").trim();
    let named = name
        .chars()
        .find(|letter| letter.is_alphanumeric())
        .is_some_and(char::is_uppercase);
    told && named
        && !name.contains(|letter: char| letter.is_ascii_digit())
        && name.split_whitespace().count() <= NAME
}

/// Whether somebody asks at once what is to be made of what a sentence reports, and no yes is given: “Is there anything in it?”
pub(super) fn questioned(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = reader.sheet.sentences[sentence].block();
    (sentence..=sentence + ASKED)
        .take_while(|&at| {
            reader
                .sheet
                .sentences
                .get(at)
                .is_some_and(|next| next.block() == block)
        })
        .any(|at| {
            reader.hits.say(at, reader.terms.asked_back)
                && procedure::asked(reader, at)
                && !procedure::answered_yes(reader, at)
        })
}
