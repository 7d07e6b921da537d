//! What is known right where votes are counted, in a comparison, is what was playing: “Seven of nine wrote this down. It was never a
//! secret whose were in”.

use super::super::read::{Reader, sentence_at};
use super::super::types::{Blinding, Fact};
use crate::span::Span;

/// The words for such knowledge, unless they stand near a curtain, are told to somebody, or tell what came out afterwards.
pub(super) fn beside_votes(
    reader: &Reader<'_>,
    knew: &[Fact<Blinding>],
    preferred: &[Span],
    addressed: &[Span],
) -> Vec<Span> {
    if !reader.comparative {
        return Vec::new();
    }
    let place = |span: Span| sentence_at(reader.sheet, span.start());
    let liked: Vec<usize> = preferred.iter().map(|&span| place(span)).collect();
    let of = |value: Blinding| knew.iter().filter(move |fact| fact.value == value);
    let hidden: Vec<usize> = of(Blinding::Blind).map(|fact| place(fact.span)).collect();
    let near = |all: &[usize], at: usize, reach: usize| {
        all.iter().any(|&other| other.abs_diff(at) <= reach)
    };
    of(Blinding::Sighted)
        .map(|fact| fact.span)
        .filter(|span| {
            let at = place(*span);
            near(&liked, at, 1)
                && !near(&hidden, at, 2)
                && !addressed.contains(span)
                && !reader.hits.say(at, reader.terms.told_after)
                && !but_one(reader, at)
        })
        .collect()
}

/// “Nobody but the helper knew which”: whether a sentence says that all but one did not know.
fn but_one(reader: &Reader<'_>, sentence: usize) -> bool {
    const NONE: [&str; 4] = ["nobody", "none", "one", "not a soul"];
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    let words = words.to_lowercase();
    let mut ahead = [" but ", " except "]
        .iter()
        .filter_map(|but| words.split_once(but));
    ahead.any(|(ahead, _)| NONE.iter().any(|none| ahead.ends_with(none)))
}
