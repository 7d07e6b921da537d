//! Two sizes in running text that are those of two wires, set side by side or one put in place of the other: “replace the 18 AWG flex
//! by 2.5 mm²”. Knows words around the sizes, and no areas.

use super::super::super::Context;
use crate::sheet::{BlockKind, Kind, Quantity};
use crate::span::Span;

/// Bytes between two sizes that are looked at.
const BETWEEN: usize = 240;
/// Words behind a size in which the thing stands that has it.
const NOUN: usize = 2;

/// Whether the words around two sizes speak of two wires.
pub(super) fn told(context: &Context<'_>, one: Span, other: Span) -> bool {
    let (first, second) = if one.start() <= other.start() {
        (one, other)
    } else {
        (other, one)
    };
    let (Some(block), Some(last)) = (context.block(first), context.block(second)) else {
        return false;
    };
    let blocks = &context.sheet.blocks;
    let kind = |at: usize| blocks.get(at).map(|block| block.kind());
    if block != last {
        // "For the desk: 18 AWG", "for the hall: 4 mm²": points of a list that each name a place.
        let item = |at: usize| matches!(kind(at), Some(BlockKind::Item));
        return item(block) && item(last) && in_turn(context, block, first, last, second);
    }
    if !matches!(kind(block), Some(BlockKind::Paragraph | BlockKind::Item)) {
        return false;
    }
    let (Some(at), Some(then)) = (context.sentence(first), context.sentence(second)) else {
        return false;
    };
    if at != then {
        let other = context.list("wires.other");
        let speaks = |at: usize| {
            let whole = context.sheet.sentences[at].span.of(context.text);
            other.within(&whole.to_lowercase())
        };
        return speaks(then);
    }
    let end = second.start().min(first.end() + BETWEEN).max(first.end());
    let end = context.text.floor_char_boundary(end).max(first.end());
    let between = Span::new(first.end(), end).of(context.text).to_lowercase();
    let parts = context.list("wires.between");
    let whole = context.sheet.sentences[at].span;
    let behind = Span::new(second.end().min(whole.end()), whole.end()).of(context.text);
    let instead = behind
        .split_whitespace()
        .take(NOUN)
        .any(|word| word.trim_end_matches(['.', ',', ';']) == "instead");
    // "They were 1.5 mm², 2.5 mm² and 12 AWG": an enumeration.
    let counted = || added(&between) || in_a_row(context, at, &between);
    words(&between).any(|word| parts.has(word))
        || counted()
        || instead
        || between.trim_end().ends_with(" the") && noun(context, first) && noun(context, second)
}

/// Whether “and” alone stands between two sizes, or “and one”, “and another”.
fn added(between: &str) -> bool {
    const ONES: [&str; 7] = ["one", "another", "a", "an", "the", "two", "some"];
    let mut words = words(between);
    words.next() == Some("and") && words.all(|word| ONES.contains(&word))
}

/// Whether no words but “and” stand between two sizes of a sentence that gives three and more, no two of them alike.
fn in_a_row(context: &Context<'_>, sentence: usize, between: &str) -> bool {
    /// Sizes of a sentence that are looked at.
    const MOST: usize = 8;
    /// Two sizes that are the same one.
    const ALIKE: f64 = 1.05;
    if words(between).any(|word| word != "and" && word != "mm" && word != "awg") {
        return false;
    }
    let whole = context.sheet.sentences[sentence].span;
    let quantities = &context.sheet.quantities;
    let first = quantities.partition_point(|quantity| quantity.span.start() < whole.start());
    let areas: Vec<f64> = quantities[first..]
        .iter()
        .take_while(|quantity| quantity.span.start() < whole.end())
        .filter(|quantity| matches!(quantity.kind, Kind::Area | Kind::Gauge))
        .filter_map(Quantity::si)
        .take(MOST)
        .collect();
    let apart = |one: usize, other: usize| {
        let ratio = areas[one] / areas[other];
        !(1.0 / ALIKE..=ALIKE).contains(&ratio)
    };
    areas.len() >= 3 && (0..areas.len()).all(|one| (0..one).all(|other| apart(one, other)))
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
}

/// Whether a thing of wire, or the metal of one, stands right behind a size.
fn noun(context: &Context<'_>, size: Span) -> bool {
    const REACH: usize = 40;
    let end = context.text.floor_char_boundary(size.end() + REACH);
    let behind = Span::new(size.end(), end.max(size.end())).of(context.text);
    let nouns = context.list("wires.noun");
    words(&behind.to_lowercase())
        .take(NOUN)
        .any(|word| nouns.has(word))
}

/// Whether two points of one list each begin with other words and give one size behind a colon.
fn in_turn(context: &Context<'_>, block: usize, first: Span, last: usize, second: Span) -> bool {
    const NEAR: usize = 12;
    let key = |block: usize, size: Span| {
        let own = context.sheet.blocks.get(block)?;
        let ahead = Span::new(own.span.start().min(size.start()), size.start()).of(context.text);
        let (words, rest) = ahead.rsplit_once(':')?;
        let places = ["for", "in", "to", "on", "at"];
        let place = words.split_whitespace().next()?.to_lowercase();
        (rest.trim().is_empty() && places.contains(&place.as_str()))
            .then(|| words.trim().to_lowercase())
    };
    last - block <= NEAR
        && matches!((key(block, first), key(last, second)), (Some(one), Some(two)) if one != two)
}
