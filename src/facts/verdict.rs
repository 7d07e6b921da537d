//! Words that put one thing above another, by their build and not by a list: “much clearer than”, “more authority”, “twice as bright”,
//! “the Bracken, every time”; and whether a document tells of a test at all, as a story or with a lamp.

use super::read::Reader;
use crate::lexicon::{Token, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;

/// The words of a sentence that put one thing above another.
pub(super) fn words(reader: &Reader<'_>, sentence: usize) -> Vec<Span> {
    if reader.endless(sentence) {
        return Vec::new();
    }
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, span, &mut tokens);
    let lists = reader.terms.lists;
    let written = |at: usize| tokens.get(at).map_or("", |token| token.span.of(text));
    let word = |at: usize| written(at).to_lowercase();
    let sound = |at: usize| {
        reader
            .hits
            .of(sentence)
            .iter()
            .any(|hit| hit.concept == reader.terms.sound && hit.first <= at && at <= hit.last)
    };
    let mut found = Vec::new();
    let says = |concept| reader.hits.say(sentence, concept);
    if says(reader.terms.handling) && !says(reader.terms.listened) {
        return found;
    }
    let is = |concept, at: usize| {
        reader
            .hits
            .saying(sentence, concept)
            .any(|hit| hit.first == at)
    };
    for at in 0..tokens.len() {
        let more = is(reader.terms.more, at);
        let multiple = is(reader.terms.multiple, at) || (at > 0 && is(reader.terms.times, at));
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
            && !reader.hits.of(sentence).iter().any(|hit| {
                [
                    reader.terms.speaker,
                    reader.terms.amplifier,
                    reader.terms.cable,
                ]
                .contains(&hit.concept)
                    && hit.first <= at
                    && at <= hit.last
            })
            && (word(at + 1) == "than" || (lists.comparative_lead.has(&before) && sound(at)));
        let more = more && (sound(at + 1) || sound(at + 2)) && word(at + 1) != "than";
        let times = multiple
            && (word(at + 1) == "as" || word(at + 1) == "the")
            && (sound(at + 2) || lists.comparative_lit.has(&word(at + 2)));
        if comparative || more || times {
            let last = (at + 1).min(tokens.len() - 1);
            found.push(tokens[at].span.join(tokens[last].span));
        }
    }
    found.extend(
        reader
            .hits
            .of(sentence)
            .iter()
            .filter(|hit| hit.concept == reader.terms.picked)
            .map(|hit| hit.span),
    );
    found
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
        let block = &reader.sheet.blocks[sentence.block];
        if matches!(
            block.kind,
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
