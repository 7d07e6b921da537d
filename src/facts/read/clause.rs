//! Where a clause of a sentence begins and ends, and what is named in it for nothing but a likeness. Knows text and spans alone.

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
        // "There and back", "out and back" is one way.
        rest if rest.starts_with(b" and back") => None,
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

/// Whether what words mean is only what another is said to equal: “twelve gauge as the others are”, “ten feet, as the Ploughman is”.
pub(super) fn equalled(text: &str, words: Span) -> bool {
    const ARTICLES: [&str; 5] = ["the", "our", "his", "their", "its"];
    const VERBS: [&str; 9] = [
        "is", "are", "was", "were", "has", "have", "had", "does", "did",
    ];
    let mut ahead = text
        .get(..words.start())
        .unwrap_or("")
        .split_whitespace()
        .rev();
    let first = ahead.next().unwrap_or("");
    let lead = if ARTICLES.contains(&first) {
        ahead.next().unwrap_or("")
    } else {
        first
    };
    let behind = text.get(words.end()..).unwrap_or("");
    let next = behind
        .trim_start()
        .split(|letter: char| !letter.is_alphabetic())
        .next()
        .unwrap_or("");
    let begins = words.of(text).starts_with("as ");
    (lead == "as" || begins) && VERBS.contains(&next)
}

/// Whether what words mean is only what another is held against: “against the Bend”, “than ours”.
pub(super) fn likened(text: &str, words: Span) -> bool {
    const AHEAD: &[&str] = &[
        "against",
        "beside",
        "than",
        "unlike",
        "like",
        "next to",
        "compared with",
        "compared to",
        "in place of",
        "instead of",
        "alternative to",
    ];
    let ahead = text.get(..words.start()).unwrap_or("").trim_end();
    let ahead = ["the", "our", "my", "that", "a", "type"]
        .iter()
        .find_map(|article| ahead.strip_suffix(article).map(str::trim_end))
        .unwrap_or(ahead);
    let tail = ahead.get(ahead.floor_char_boundary(ahead.len().saturating_sub(14))..);
    let tail = tail.unwrap_or("").to_lowercase();
    AHEAD.iter().any(|word| tail.ends_with(word))
}
