//! Words that look like those of an outcome and tell none. Knows the words beside them, and neither cables nor sides.

use crate::span::Span;

/// Whether a word that may be a verb is a thing: “on the first beat”.
pub(super) fn is_a_noun(text: &str, words: Span) -> bool {
    const AHEAD: [&str; 10] = [
        "a", "the", "every", "each", "first", "last", "next", "per", "second", "strong",
    ];
    let said = words.of(text);
    let ahead = text.get(..words.start()).unwrap_or("").trim_end();
    let before = ahead.rsplit(|letter: char| !letter.is_alphabetic()).next();
    (said.eq_ignore_ascii_case("beat") || said.eq_ignore_ascii_case("beats"))
        && before.is_some_and(|word| AHEAD.contains(&word.to_lowercase().as_str()))
}

/// Whether what is better or best is no cable and no sound: “the better conductor”, “best wishes”.
pub(super) fn of_another_thing(text: &str, words: Span) -> bool {
    let behind = text.get(words.end()..).unwrap_or("");
    let next = behind
        .trim_start()
        .split(|letter: char| !letter.is_alphabetic());
    matches!(
        next.into_iter().next(),
        Some("conductor" | "conductors" | "insulator" | "wishes" | "regards" | "greetings")
    )
}

/// Whether a word says that a figure is a bound: “takes less than 0.2 dB”.
pub(super) fn bounds_a_figure(text: &str, words: Span) -> bool {
    let behind = text.get(words.end()..).unwrap_or("");
    let figure = |of: &str| of.starts_with(|sign: char| sign.is_ascii_digit());
    let said = words.of(text);
    behind
        .trim_start()
        .strip_prefix("than ")
        .is_some_and(figure)
        || said
            .rsplit_once(' ')
            .is_some_and(|(_, last)| last == "than" && figure(behind.trim_start()))
}

/// A sentence in small letters without the words that say that a figure is a bound.
pub(super) fn without_bounds(lower: &str) -> String {
    let mut plain = String::with_capacity(lower.len());
    let mut rest = lower;
    while let Some(at) = rest.find(" than ") {
        let (ahead, behind) = rest.split_at(at);
        let behind = behind.strip_prefix(" than ").unwrap_or(behind);
        let bound = behind.starts_with(|sign: char| sign.is_ascii_digit());
        let word = ahead.rfind(' ').map_or(0, |space| space + 1);
        plain.push_str(if bound {
            ahead.get(..word).unwrap_or("")
        } else {
            ahead
        });
        plain.push_str(if bound { "" } else { " than " });
        rest = behind;
    }
    plain.push_str(rest);
    plain
}

/// Whether levels are told as so far apart: “half a decibel apart”, “0.3 dB of each other”.
pub(in crate::facts) fn told_apart(text: &str, level: Span) -> bool {
    let behind = text.get(level.end()..).unwrap_or("");
    let behind = behind.trim_start_matches([' ', '\n']);
    [
        "apart",
        "adrift",
        "out between",
        "of each other",
        "of one another",
        "from each other",
        "from one another",
    ]
    .iter()
    .any(|words| behind.starts_with(words))
}
