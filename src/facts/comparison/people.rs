//! Comparisons of people, and with what was promised, among those of cables: “the sales team were louder than the engineers”. Knows the words of one sentence.

use crate::facts::read::Reader;
use crate::lexicon::{Token, tokenize};
use crate::span::Span;

/// Whether what stands behind `than` is somebody, so that what comes out better is somebody as well, or a promise.
pub(super) fn of_people(reader: &Reader<'_>, sentence: usize, better: Span) -> bool {
    /// Words between the comparative and `than`.
    const BETWEEN: usize = 4;
    /// Words before the noun that names people.
    const BEFORE: usize = 3;
    let text = reader.text();
    let lists = reader.terms.lists;
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
    let first = tokens.partition_point(|token| token.span.end() <= better.start());
    let word = |at: usize| {
        tokens
            .get(at)
            .map_or_else(String::new, |token| token.span.of(text).to_lowercase())
    };
    let Some(than) = (first..=first + BETWEEN).find(|&at| word(at) == "than") else {
        return false;
    };
    let one_stretch = |from: usize, to: usize| match (tokens.get(from), tokens.get(to)) {
        (Some(from), Some(to)) => !Span::new(from.span.end(), to.span.start())
            .of(text)
            .contains([',', ';', ':', '(', ')']),
        _ => false,
    };
    // "Better than their sheet": held against what was promised, and not against another cable.
    let promised = (than + 1..=than + 1 + BEFORE)
        .take_while(|&at| one_stretch(than, at))
        .find(|&at| lists.people_paper.has(&word(at)));
    if let Some(at) = promised
        && !(one_stretch(at, at + 1) && lists.gear_cable.has(&word(at + 1)))
    {
        return true;
    }
    let title = word(than + 1);
    if lists.name_title.has(&title) {
        return !lists.people_expect.has(&word(than + 3));
    }
    let named = (than + 1..=than + 1 + BEFORE)
        .find(|&at| one_stretch(than, at) && lists.people_group.has(&word(at)));
    // "Clearer than the panel had hoped": what they hoped is of the cable.
    named.is_some_and(|at| {
        let last = (at..=at + 1)
            .rev()
            .find(|&at| lists.people_group.has(&word(at)))
            .unwrap_or(at);
        let expected = one_stretch(last, last + 1) && lists.people_expect.has(&word(last + 1));
        let parts = (than + 1..last).any(|at| lists.people_link.has(&word(at)));
        !expected && !parts
    })
}
