//! The words just before and just behind a number.

use super::Bound;
use super::context::Hints;
use super::keys::hint;
use rustc_hash::FxHashSet;

/// Furthest that the words before are looked at, in bytes.
const BACK: usize = 72;
/// Furthest that the words behind are looked at, in bytes.
const AHEAD: usize = 48;

/// The largest character border that is not above `at`.
pub(super) fn snap(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The text before `at`, back to `floor` at most.
pub(super) fn before(text: &str, floor: usize, at: usize) -> &str {
    let from = snap(text, at.saturating_sub(BACK).max(floor));
    text.get(from..at).unwrap_or("")
}

/// The text behind `at`, up to `end` at most.
pub(super) fn behind(text: &str, at: usize, end: usize) -> &str {
    let to = snap(text, (at + AHEAD).min(end));
    text.get(at..to).unwrap_or("")
}

/// Blanks of every kind.
pub(super) fn is_blank(c: char) -> bool {
    c.is_whitespace() || c == '\u{A0}' || c == '\u{202F}'
}

/// The last word of `text`, with what stands before it and between it and the end.
pub(super) fn last_word(text: &str) -> Option<(&str, &str, &str)> {
    let end = text.rfind(char::is_alphanumeric)?;
    let end = end + text[end..].chars().next().map_or(1, char::len_utf8);
    let start = text[..end]
        .rfind(|c: char| !c.is_alphanumeric())
        .map_or(0, |at| {
            at + text[at..].chars().next().map_or(1, char::len_utf8)
        });
    Some((&text[..start], &text[start..end], &text[end..]))
}

/// The first word of `text`, if only blanks, hyphens and quotes stand before it.
pub(super) fn next_word(text: &str) -> Option<&str> {
    let text =
        text.trim_start_matches(|c| is_blank(c) || matches!(c, '-' | '\u{2010}' | '\u{2011}'));
    let end = text
        .find(|c: char| !c.is_alphanumeric())
        .unwrap_or(text.len());
    (end > 0).then(|| &text[..end])
}

/// A list of words, ready to be asked.
pub(super) struct Words {
    words: FxHashSet<&'static str>,
    longest: usize,
}

impl Words {
    /// The words of a list parted by blanks, in lower case.
    pub(super) fn new(list: &'static str) -> Self {
        let words: FxHashSet<&str> = list.split_ascii_whitespace().collect();
        let longest = words.iter().map(|word| word.len()).max().unwrap_or(0);
        Self { words, longest }
    }

    /// Whether `word` is on the list, in any case.
    pub(super) fn has(&self, word: &str) -> bool {
        let mut lower = [0_u8; 24];
        let Some(lower) = lower.get_mut(..word.len()) else {
            return false;
        };
        if word.len() > self.longest {
            return false;
        }
        lower.copy_from_slice(word.as_bytes());
        lower.make_ascii_lowercase();
        std::str::from_utf8(lower).is_ok_and(|word| self.words.contains(word))
    }
}

/// Whether a word is one of a list parted by blanks, in any case. The list is prepared once.
macro_rules! one_of {
    ($word:expr, $list:literal $(,)?) => {{
        static WORDS: std::sync::LazyLock<$crate::sheet::quantity::around::Words> =
            std::sync::LazyLock::new(|| $crate::sheet::quantity::around::Words::new($list));
        WORDS.has($word)
    }};
}
pub(super) use one_of;

/// Words that name a thing by number: "Sample 2 – 12 AWG" is no range.
pub(super) fn is_label(word: &str) -> bool {
    one_of!(
        word,
        "sample cable lead pair wire test trial step item model type version set system channel zone room part side lamp speaker page table figure fig section chapter rule note question run day round option article reel box lot batch no nr number position input output track volume group phase thread post ticket issue class row seat unit level sheet pages and",
    ) && !word.eq_ignore_ascii_case("and")
}

/// How the words around bound a number: those before first, then those behind.
pub(super) fn bound(before: &str, behind: &str) -> Bound {
    let trimmed = before.trim_end_matches(|c| is_blank(c) || matches!(c, ':' | '.' | '(' | '='));
    // An arrow bounds nothing.
    if trimmed.ends_with("->") || trimmed.ends_with("=>") {
        return Bound::Exact;
    }
    match trimmed.chars().next_back() {
        Some('≤' | '<' | '⩽' | '≦') => return Bound::AtMost,
        Some('≥' | '>' | '⩾' | '≧') => return Bound::AtLeast,
        Some('~' | '≈' | '∼' | '±' | '≃') => return Bound::About,
        _ => {}
    }
    if let Some((rest, word, gap)) = last_word(before)
        && gap.len() <= 6
        && !gap.contains([')', ']', ';', '?', '!'])
    {
        let second = last_word(rest)
            .filter(|(_, _, gap)| !gap.contains([',', ';', ')', '?', '!']))
            .map(|(_, word, _)| word);
        let not = || {
            last_word(rest)
                .and_then(|(rest, _, _)| last_word(rest))
                .is_some_and(|(_, word, _)| one_of!(word, "not no never"))
        };
        if word.eq_ignore_ascii_case("than") {
            let flip = not();
            if second.is_some_and(|word| {
                one_of!(
                    word,
                    "more greater longer larger higher further above over thicker heavier"
                )
            }) {
                return if flip { Bound::AtMost } else { Bound::AtLeast };
            }
            if second.is_some_and(|word| {
                one_of!(
                    word,
                    "less better lower shorter smaller fewer under below thinner lighter"
                )
            }) {
                return if flip { Bound::AtLeast } else { Bound::AtMost };
            }
        } else if word.eq_ignore_ascii_case("to") {
            // "Which adds up to 13 AWG" is a sum.
            let third = last_word(rest).and_then(|(rest, _, _)| last_word(rest));
            let sum = third.is_some_and(|(_, word, _)| one_of!(word, "add adds adding added"));
            if sum && second.is_some_and(|word| one_of!(word, "up")) {
                return Bound::Exact;
            }
            if second
                .is_some_and(|word| one_of!(word, "up down limited held kept rated usable good"))
                || second.is_none() && rest.trim().is_empty()
            {
                return Bound::AtMost;
            }
        } else if one_of!(word, "max maximum within until") {
            return Bound::AtMost;
        } else if gap.contains(':') && one_of!(word, "below under beneath over above") {
            // "Impedance, from the above: 45 Ω" points to what stands there.
        } else if one_of!(word, "below under beneath") {
            return if second.is_some_and(|word| one_of!(word, "not no never")) {
                Bound::AtLeast
            } else {
                Bound::AtMost
            };
        } else if one_of!(word, "min minimum beyond mindestens")
            || word.eq_ignore_ascii_case("of")
                && second.is_some_and(|word| one_of!(word, "excess upwards upward"))
        {
            return Bound::AtLeast;
        } else if one_of!(word, "over above exceeds exceed exceeding") {
            return if second.is_some_and(|word| one_of!(word, "not no never")) {
                Bound::AtMost
            } else {
                Bound::AtLeast
            };
        } else if word.eq_ignore_ascii_case("least") {
            return Bound::AtLeast;
        } else if word.eq_ignore_ascii_case("most")
            && second.is_some_and(|word| one_of!(word, "at"))
        {
            return Bound::AtMost;
        } else if one_of!(
            word,
            "about approx approximately around roughly ca circa nearly almost typ typical typically some",
        ) {
            return Bound::About;
        }
    }
    // "200+", but not "2.5 mm²+1.5 mm²".
    if let Some(rest) = behind.strip_prefix('+')
        && !rest.starts_with(|c: char| c.is_alphanumeric())
    {
        return Bound::AtLeast;
    }
    let tail = behind.trim_start_matches(|c| is_blank(c) || matches!(c, '(' | ','));
    let parted = behind[..behind.len() - tail.len()].contains(['(', ',']);
    let Some(word) = next_word(tail) else {
        return Bound::Exact;
    };
    let after = tail
        .find(word)
        .and_then(|at| tail.get(at + word.len()..))
        .unwrap_or("");
    // "8 Ω (min. 6.2 Ω)" bounds the next number, "12 m (max.)" this one.
    let rest = after.trim_start_matches('.').trim_start();
    if parted
        && !rest.is_empty()
        && !rest.starts_with([')', ',', ';', '.'])
        && !word.eq_ignore_ascii_case("or")
    {
        return Bound::Exact;
    }
    if one_of!(word, "max maximum") {
        return Bound::AtMost;
    }
    if one_of!(word, "min minimum") {
        return Bound::AtLeast;
    }
    // "6 Ω/km at most"
    if word.eq_ignore_ascii_case("at")
        && let Some(next) = next_word(after)
    {
        if one_of!(next, "most") {
            return Bound::AtMost;
        }
        if one_of!(next, "least") {
            return Bound::AtLeast;
        }
    }
    if one_of!(word, "typ typical typically approx") {
        return Bound::About;
    }
    if word.eq_ignore_ascii_case("or")
        && let Some(next) = next_word(after)
    {
        if one_of!(
            next,
            "more thicker better heavier greater larger above over longer higher",
        ) {
            return Bound::AtLeast;
        }
        if one_of!(next, "less fewer below under shorter smaller thinner lower") {
            return Bound::AtMost;
        }
    }
    Bound::Exact
}

/// Hints of the clause before, nearest first, with their distance in words.
pub(super) fn hints_before(text: &str) -> impl Iterator<Item = (usize, Hints)> {
    let from = text.rfind([';', '?', '!', '\n', '|', '•']).map_or(0, |at| {
        at + text[at..].chars().next().map_or(1, char::len_utf8)
    });
    super::context::words_of(&text[from..])
        .rev()
        .take(10)
        .enumerate()
        .map(|(at, word)| (at, hint(word)))
        .filter(|(_, hints)| *hints != Hints::default())
}

/// Hints of the next few words, up to a comma or the next number.
pub(super) fn hints_behind(text: &str, words: usize) -> impl Iterator<Item = (usize, Hints)> {
    let to = text
        .find(|c: char| {
            matches!(
                c,
                ';' | ',' | '?' | '!' | '\n' | '|' | '.' | '(' | ')' | ':'
            ) || c.is_ascii_digit()
        })
        .unwrap_or(text.len());
    super::context::words_of(&text[..to])
        .take(words)
        .enumerate()
        .map(|(at, word)| (at, hint(word)))
        .filter(|(_, hints)| *hints != Hints::default())
}
