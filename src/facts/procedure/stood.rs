//! How far apart levels stood that somebody had set: “we set the volume by ear, and the two were never more than half a decibel
//! apart”. Knows one sentence.

use super::{Held, held};
use crate::facts::comparison::told_apart;
use crate::facts::read::Reader;
use crate::facts::types::{Fact, Matching};
use crate::lexicon::ConceptId;
use crate::sheet::Kind;
use crate::span::Span;

/// The figures of a sentence that say so. `limited`: whether a figure is none that matching leaves.
pub(super) fn apart(
    reader: &Reader<'_>,
    sentence: usize,
    limited: impl Fn(usize) -> bool,
) -> Vec<Fact<Matching>> {
    let terms = reader.terms;
    let set = |concept: ConceptId| {
        let mut hits = reader.hits.saying(sentence, concept);
        hits.any(|hit| held(reader, sentence, hit) == Held::Yes)
    };
    let of_levels = reader.hits.say(sentence, terms.level_thing)
        && (set(terms.level_set) || set(terms.level_act));
    if !of_levels {
        return Vec::new();
    }
    let figures = reader.in_sentence(sentence).filter(|&index| {
        let quantity = &reader.sheet.quantities[index];
        quantity.kind == Kind::LevelDb && told_apart(reader.text(), quantity.span) && limited(index)
    });
    figures
        .map(|index| {
            let quantity = &reader.sheet.quantities[index];
            Fact::new(Matching::Matched(quantity.si()), quantity.span)
        })
        .collect()
}

/// Whether decibels are what was evened out, and no rest of it: “0.3 dB of level, which we evened out with the gain”.
pub(super) fn undone(reader: &Reader<'_>, index: usize, act: Span) -> bool {
    let end = reader.sheet.quantities[index].span.end();
    let between = Span::new(end, act.end().max(end)).of(reader.text());
    [", which ", ", that ", ", and this "]
        .iter()
        .any(|link| between.contains(link))
}

/// Whether the words before a figure say that levels were alike to it.
pub(super) fn agreed_to(ahead: &str) -> bool {
    const ALIKE: [&str; 6] = ["agree", "agreed", "agrees", "alike", "equal", "identical"];
    let mut words = ahead.split_whitespace().rev();
    let near = |word: &&str| ["about", "some", "roughly", "only"].contains(word);
    words.find(|word| !near(word)) == Some("to")
        && words.next().is_some_and(|word| ALIKE.contains(&word))
}
