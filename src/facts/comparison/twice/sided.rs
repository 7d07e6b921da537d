//! The side of which a length, a size or a metal is told: by the words for a side before it in its sentence, else by those of the
//! sentence before.

use super::{Known, Telling};
use crate::facts::comparison::anchors::Anchor;
use crate::facts::comparison::gear::given::{Term, apart, side_ahead, terms_in};
use crate::facts::procedure;
use crate::facts::read::{Reader, clause_at};
use crate::facts::voices::questioned;
use crate::lexicon::{Token, lowered, tokenize};

/// Sentences before a figure in which its side can be named.
const BEFORE: usize = 5;

/// The words for a side in a sentence.
pub(super) fn words_of<'k>(
    reader: &Reader<'_>,
    sentence: usize,
    anchors: &[Anchor],
    known: &'k mut Known,
) -> &'k [Term] {
    known.entry(sentence).or_insert_with(|| {
        if reader.endless(sentence) {
            return Vec::new();
        }
        let mut tokens: Vec<Token> = Vec::new();
        let span = reader.sheet.sentences[sentence].span;
        tokenize(reader.text(), span, &mut tokens);
        let words = lowered(reader.text(), &tokens);
        terms_in(reader, sentence, &tokens, &words, anchors, &[])
    })
}

/// Gives what is told to the side that its sentence tells of, else to that of the sentence before.
pub(super) fn give(
    reader: &Reader<'_>,
    telling: &mut Telling,
    anchors: &[Anchor],
    known: &mut Known,
) {
    let text = reader.text();
    let at = telling.sentence;
    if procedure::asked(reader, at) || questioned(reader, at) {
        return;
    }
    let whole = reader.sheet.sentences[at].span;
    let terms = words_of(reader, at, anchors, known);
    let between = |from: usize, to: usize| text.get(from..to).unwrap_or("");
    // "Three metres of the Merle."
    let behind = terms.iter().find(|term| {
        term.span.start() >= telling.span.end()
            && clause_at(text, whole, telling.span).contains(term.span)
            && {
                let words = between(telling.span.end(), term.span.start());
                let mut words = words.split_whitespace();
                words.next() == Some("of") && words.count() <= 2
            }
    });
    if let Some(term) = behind {
        telling.side.clone_from(&term.keys);
        telling.named = term.span;
        return;
    }
    let ahead: Vec<&Term> = terms
        .iter()
        .filter(|term| term.span.end() <= telling.span.start())
        .collect();
    if !ahead.is_empty() {
        (telling.side, telling.named) = side_ahead(text, &ahead);
        return;
    }
    let block = |at: usize| reader.sheet.sentences[at].block();
    for before in (at.saturating_sub(BEFORE)..at).rev() {
        if block(before) != block(at) {
            return;
        }
        let terms = words_of(reader, before, anchors, known);
        let Some(last) = terms.last() else { continue };
        if terms.iter().all(|term| !apart(&term.keys, &last.keys)) {
            telling.side = terms
                .iter()
                .flat_map(|term| term.keys.iter().cloned())
                .collect();
            telling.named = last.span;
        }
        return;
    }
}
