//! Words that put one thing above another, by their build and not by a list: “much clearer than”, “more authority”, “twice as bright”,
//! “the Bracken, every time”; and whether a document tells of a test at all, as a story or with a lamp.

use super::read::Reader;
use crate::lexicon::{Token, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;

/// Words between “sounded” and how.
const SOUNDED: usize = 3;

/// The words of a sentence that put one thing above another.
pub(super) fn words(reader: &Reader<'_>, sentence: usize) -> Vec<Span> {
    if reader.endless(sentence) {
        return Vec::new();
    }
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    let says = |concept| reader.hits.say(sentence, concept);
    if says(reader.terms.handling) && !says(reader.terms.listened) {
        return Vec::new();
    }
    let picked = reader.hits.saying(sentence, reader.terms.picked);
    let of_two = of_two(reader, sentence);
    let compares = of_two.is_some()
        || says(reader.terms.sound)
        || says(reader.terms.multiple)
        || says(reader.terms.times)
        || says(reader.terms.listened)
        || has_than(span.of(text));
    if !compares {
        return picked.map(|hit| hit.span).collect();
    }
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, span, &mut tokens);
    let lists = reader.terms.lists;
    let written = |at: usize| tokens.get(at).map_or("", |token| token.span.of(text));
    let word = |at: usize| written(at).to_lowercase();
    let sound = |at: usize| {
        reader
            .hits
            .saying(sentence, reader.terms.sound)
            .any(|hit| hit.first <= at && at <= hit.last)
    };
    let mut found: Vec<Span> = of_two.into_iter().collect();
    let first_words = |concept| -> Vec<usize> {
        let hits = reader.hits.saying(sentence, concept);
        hits.map(|hit| hit.first).collect()
    };
    let (mores, multiples, all_times) = (
        first_words(reader.terms.more),
        first_words(reader.terms.multiple),
        first_words(reader.terms.times),
    );
    for at in 0..tokens.len() {
        let more = mores.contains(&at);
        let multiple = multiples.contains(&at) || (at > 0 && all_times.contains(&at));
        // Most words compare nothing, which is told at a glance.
        let end = written(at).as_bytes().last_chunk();
        let graded = end.is_some_and(|end: &[u8; 2]| end.eq_ignore_ascii_case(b"er"));
        if !(more || multiple || graded) {
            continue;
        }
        let this = word(at);
        let this = this.as_str();
        let before = at.checked_sub(1).map_or_else(String::new, word);
        let comparative = graded
            && this.len() > 4
            && !lists.comparative_none.has(this)
            && !reader
                .hits
                .saying_any(
                    sentence,
                    &[
                        reader.terms.speaker,
                        reader.terms.amplifier,
                        reader.terms.cable,
                    ],
                )
                .any(|hit| hit.first <= at && at <= hit.last)
            && (word(at + 1) == "than" || (lists.comparative_lead.has(&before) && sound(at)));
        // "Sounded larger", "sounded far more controlled than".
        let sounded = (at.saturating_sub(SOUNDED)..at)
            .any(|before| lists.comparative_sounding.has(&word(before)));
        let sized = sounded
            && (graded && lists.comparative_sized.has(this) || more && word(at + 2) == "than");
        // "Heard firmer bass".
        let heard = graded
            && this.len() > 4
            && !lists.comparative_none.has(this)
            && sound(at + 1)
            && says(reader.terms.listened);
        let more = more && (sound(at + 1) || sound(at + 2)) && word(at + 1) != "than";
        let times = multiple
            && (word(at + 1) == "as" || word(at + 1) == "the")
            && (sound(at + 2) || lists.comparative_lit.has(&word(at + 2)));
        if comparative || more || times || sized || heard {
            // "Which sounded larger: ours did."
            let alone = sized && !(comparative || more || times || heard) && word(at + 1) != "than";
            let last = if alone && graded {
                at
            } else {
                (at + 1).min(tokens.len() - 1)
            };
            found.push(tokens[at].span.join(tokens[last].span));
        }
    }
    found.extend(picked.map(|hit| hit.span));
    found
}

/// “The more relaxed of the two”, “the calmer of the pair”: a degree between an article and the two that it is told of, unless it
/// tells of a size or a price.
fn of_two(reader: &Reader<'_>, sentence: usize) -> Option<Span> {
    /// Words between the article and “of the two”.
    const DEGREE: usize = 3;
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    if !reader.hits.say(sentence, reader.terms.of_two) {
        return None;
    }
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, span, &mut tokens);
    let word = |at: usize| tokens[at].span.of(text).to_lowercase();
    let lists = reader.terms.lists;
    reader
        .hits
        .saying(sentence, reader.terms.of_two)
        .find_map(|two| {
            let from = two.first.saturating_sub(DEGREE + 1);
            let article = (from..two.first).rev().find(|&at| word(at) == "the")?;
            let graded: Vec<String> = (article + 1..two.first).map(word).collect();
            let (first, last) = (graded.first()?, graded.last()?);
            let by_more = graded.len() >= 2
                && (first == "more" || first == "less")
                && !lists.comparative_trade.has(last);
            let by_end = graded.len() == 1
                && (first.ends_with("er") && first.len() > 4 || first == "better")
                && !lists.comparative_none.has(first)
                && !lists.comparative_trade.has(first);
            (by_more || by_end).then(|| tokens[article + 1].span.join(tokens[two.first - 1].span))
        })
}

/// Whether a text has the letters of “than”, without which next to nothing is compared.
fn has_than(text: &str) -> bool {
    let bytes = text.as_bytes();
    memchr::memchr2_iter(b'h', b'H', bytes).any(|at| {
        let word = at.checked_sub(1).and_then(|from| bytes.get(from..at + 3));
        word.is_some_and(|word| word.eq_ignore_ascii_case(b"than"))
    })
}

/// Whether the running text tells a story: in the past, by somebody who was there.
pub(super) fn storied(reader: &Reader<'_>) -> bool {
    let words = reader.terms.lists.story_word;
    /// Least words of a story, and one in so many words.
    const LEAST: usize = 4;
    const SHARE: usize = 40;
    let text = reader.text();
    let mut tokens: Vec<Token> = Vec::new();
    let (mut told, mut all) = (0, 0);
    for sentence in &reader.sheet.sentences {
        let block = &reader.sheet.blocks[sentence.block()];
        if matches!(
            block.kind(),
            BlockKind::Heading { .. } | BlockKind::Cell { .. }
        ) {
            continue;
        }
        tokenize(text, sentence.span, &mut tokens);
        all += tokens.len();
        told += tokens
            .iter()
            .filter(|token| words.has(&token.span.of(text).to_lowercase()))
            .count();
    }
    told >= LEAST && told * SHARE >= all
}
