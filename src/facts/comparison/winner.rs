//! Which side an outcome puts above the other: by who stands before its verb, by the passive, by words for the worse.

use super::outcome::bracketed;
use crate::facts::read::{Owner, Reader};
use crate::facts::types::Side;
use crate::span::Span;

/// The side that `words` of a sentence say came out better.
pub(super) fn winner(
    reader: &Reader<'_>,
    sides: &[Side],
    sentence: usize,
    words: Span,
) -> Option<usize> {
    let text = reader.text();
    let said = words.of(text).to_lowercase();
    let told = if reader.terms.lists.outcome_verb.begins(&said) || said.ends_with(" than") {
        by_verb(reader, sides, sentence, words)
    } else if let Some(side) = behind_colon(reader, sides, sentence, words) {
        Some(side)
    } else if of_two(reader, sentence, words) {
        // "A was the calmer of the two": the two are no side, and whoever was named last before is one.
        let named = reader.resolved.of(sentence).iter();
        let ahead = named.filter(|(span, _)| span.end() <= words.start());
        let sides_ahead = ahead.filter_map(|(_, owner)| side_of(sides, owner));
        sides_ahead.fold(None, |_, side| Some(side))
    } else {
        let of = bracketed(reader, sentence, words).unwrap_or(words);
        side_of(sides, reader.owner(sentence, of, Owner::Nobody))
    }?;
    // "A better sound than that of the rival": the one that is named behind “than” alone is the other.
    let told = match behind_than(reader, sides, sentence, words) {
        true => overtaken(sides, told, true)?,
        false => told,
    };
    let ahead = text.get(..words.start()).unwrap_or("");
    // "Half the light of the Larch": whose light it was comes behind.
    let behind = text.get(words.end()..).unwrap_or("").starts_with(" of ")
        && !of_two(reader, sentence, words);
    let worse = reader.terms.lists.outcome_worse.has(&said) && !behind;
    // "Less clear", but not "less loss".
    let graded = said
        .strip_prefix("less ")
        .or(ahead.ends_with("less ").then_some(said.as_str()));
    let less = graded.is_some_and(|what| {
        let word = what.split(' ').next().unwrap_or("");
        !reader.terms.lists.outcome_bad.has(word)
    });
    overtaken(sides, told, worse != less)
}

/// Whether “of the two” stands right behind words.
fn of_two(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    let mut hits = reader.hits.saying(sentence, reader.terms.of_two);
    hits.any(|hit| hit.span.start() > words.start() && hit.span.start() <= words.end() + 1)
}

/// Whether a sentence names sides behind the “than” of an outcome alone.
fn behind_than(reader: &Reader<'_>, sides: &[Side], sentence: usize, words: Span) -> bool {
    let end = reader.sheet.sentences[sentence].span.end();
    let behind = Span::new(words.end(), end.max(words.end())).of(reader.text());
    let Some(than) = behind.find("than ").map(|at| words.end() + at) else {
        return false;
    };
    let mut named = reader
        .resolved
        .of(sentence)
        .iter()
        .filter(|(_, owner)| side_of(sides, *owner).is_some())
        .map(|(span, _)| span.start())
        .peekable();
    named.peek().is_some() && named.all(|start| start > than)
}

/// “Nobody doubted which sounded larger: ours did”: the side that is named alone behind the colon.
fn behind_colon(
    reader: &Reader<'_>,
    sides: &[Side],
    sentence: usize,
    words: Span,
) -> Option<usize> {
    /// Bytes behind the colon.
    const SHORT: usize = 24;
    let end = reader.sheet.sentences[sentence].span.end();
    let behind = Span::new(words.end(), end.max(words.end()));
    let colon = behind.of(reader.text()).find(':')?;
    let answer = Span::new(behind.start() + colon, behind.end());
    if colon > 1 || answer.len() > SHORT {
        return None;
    }
    let mut named = reader
        .resolved
        .of(sentence)
        .iter()
        .filter(|(span, _)| answer.contains(*span))
        .filter_map(|(_, owner)| side_of(sides, owner));
    let first = named.next()?;
    named.all(|side| side == first).then_some(first)
}

/// The side that a stated difference of level puts above the other: "0.4 dB lower", "lost 0.4 dB more", "lost 0.4 dB less".
pub(super) fn louder(
    reader: &Reader<'_>,
    sides: &[Side],
    sentence: usize,
    level: Span,
) -> Option<usize> {
    let told = side_of(sides, reader.owner(sentence, level, Owner::Nobody))?;
    let whole = reader.sheet.sentences[sentence].span.of(reader.text());
    let downs = whole
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| {
            let lists = reader.terms.lists;
            lists.outcome_down.has(&word.to_lowercase())
        })
        .count();
    overtaken(sides, told, downs % 2 == 1)
}

/// The side before a verb such as “outperformed”, whatever stands between them: “the Larch, a 12 AWG lead, outperformed the
/// Alder”; in the passive the one behind “by”.
fn by_verb(reader: &Reader<'_>, sides: &[Side], sentence: usize, verb: Span) -> Option<usize> {
    let text = reader.text();
    let named = || {
        reader
            .resolved
            .of(sentence)
            .iter()
            .filter_map(|(span, owner)| Some((span, side_of(sides, owner)?)))
    };
    let before = named().rfind(|(span, _)| span.end() <= verb.start());
    let after = named().find(|(span, _)| span.start() >= verb.end());
    let passive = text
        .get(verb.end()..)
        .unwrap_or("")
        .trim_start()
        .starts_with("by ");
    let (best, second) = if passive {
        (after, before)
    } else {
        (before, after)
    };
    match (best, second) {
        (Some((_, side)), _) => Some(side),
        (None, Some((_, side))) => overtaken(sides, side, true),
        (None, None) => None,
    }
}

fn side_of(sides: &[Side], owner: Owner) -> Option<usize> {
    match owner {
        Owner::One(cable) => sides.iter().position(|side| side.cable == cable),
        _ => None,
    }
}

/// The side itself, or the other of two where it came out worse.
fn overtaken(sides: &[Side], told: usize, worse: bool) -> Option<usize> {
    if !worse {
        return Some(told);
    }
    (sides.len() == 2).then(|| 1 - told)
}
