//! Where a clause of a sentence begins and ends. Knows text and spans alone.

use crate::span::Span;

/// Longest clause on either side of the words, in bytes.
const CLAUSE: usize = 600;

/// The clause of a sentence that holds `span`: from border to border.
pub(in crate::facts) fn clause_at(text: &str, sentence: Span, span: Span) -> Span {
    const WORDS: &[&str] = &[
        " — ",
        " – ",
        " and ",
        " but ",
        " while ",
        " where the ",
        " whereas ",
        " against ",
        " than ",
    ];
    // No clause is that long: what is further away stands in another.
    let from = sentence.start().max(span.start().saturating_sub(CLAUSE));
    let from = text
        .ceil_char_boundary(from)
        .min(span.start().max(sentence.start()));
    let to = text.floor_char_boundary(sentence.end().min(span.end().saturating_add(CLAUSE)));
    let before = Span::new(from, span.start()).of(text).as_bytes();
    let after = Span::new(span.end().min(to), to).of(text).as_bytes();
    // Two bytes tell what cannot be a border; none lies inside another.
    let border_at = |bytes: &[u8], at: usize| match bytes.get(at..)? {
        [b',' | b';' | b':' | b')', b' ', ..] | [b' ', b'(', ..] => Some(2),
        rest @ [b' ', b'a' | b'b' | b'w' | b't' | 0xE2, ..] => WORDS
            .iter()
            .find(|border| rest.starts_with(border.as_bytes()))
            .map(|border| border.len()),
        _ => None,
    };
    let start = (0..before.len())
        .rev()
        .find_map(|at| border_at(before, at).map(|len| at + len))
        .unwrap_or(0);
    let end = (0..after.len())
        .find(|&at| border_at(after, at).is_some())
        .unwrap_or(after.len());
    Span::new(from + start, span.end() + end)
}
