//! Cues that other words take out of force: pseudo-cues, double negations, and words in quotation marks. Knows spans and classes
//! alone.

use super::{Class, Cue, Lists};
use crate::lexicon::is_number;
use crate::sheet::Sheet;
use crate::span::Span;

/// Whether the cue begins or ends one of the wordings: in the middle it may stand in a gap of an entry.
pub(super) fn words_it(parts: &[Span], cue: &Cue) -> bool {
    parts.iter().any(|part| {
        part.contains(cue.span)
            && (part.start() == cue.span.start() || part.end() == cue.span.end())
    })
}

/// Whether a cue only looks like one.
pub(super) fn masked(cue: &Cue, all: &[Cue]) -> bool {
    let denies = cue.class.denies() || cue.class == Class::DenyHeading;
    all.iter().any(|other| {
        if !other.span.overlaps(cue.span) {
            return false;
        }
        match other.class {
            // “Do not bear it out” agrees with nothing.
            Class::Agree if denies => {
                !(cue.span.contains(other.span) && cue.last - cue.first > other.last - other.first)
            }
            Class::Affirm | Class::Agree => denies || matches!(cue.class, Class::Ask),
            Class::Pseudo => {
                matches!(
                    cue.class,
                    Class::DenyClause
                        | Class::DenyNext
                        | Class::IfWeak
                        | Class::IfStart
                        | Class::Would
                ) || cue.class == Class::If && other.span.contains(cue.span)
            }
            Class::ReportNot => matches!(cue.class, Class::Report | Class::IfStart),
            Class::IfNot => matches!(cue.class, Class::If | Class::IfWeak | Class::IfStart),
            // “They do not” is no “they do”, and “we take it back” agrees with nobody.
            Class::DenyNext => {
                matches!(cue.class, Class::Yes | Class::Agree)
                    && other.span.contains(cue.span)
                    && other.last - other.first > cue.last - cue.first
            }
            // A longer cue of a stronger kind takes the words of a shorter one.
            Class::DenyAll | Class::DenyBack | Class::DenyRest => {
                matches!(cue.class, Class::DenyClause | Class::Agree)
                    && other.span.contains(cue.span)
                    && other.last - other.first > cue.last - cue.first
            }
            _ => false,
        }
    })
}

/// Whether a “No” is short for “number”: “No. 2”.
pub(super) fn numbers(cue: Span, text: &str) -> bool {
    let after = text.get(cue.end()..).unwrap_or("");
    cue.of(text).eq_ignore_ascii_case("no")
        && (after.strip_prefix('.')).is_some_and(|rest| {
            rest.trim_start()
                .starts_with(|one: char| one.is_ascii_digit())
        })
}

/// Whether a number of times stands behind what would agree: “was right 9 times of 20”, “was right in eleven of sixteen”.
pub(super) fn counts(cue: Span, text: &str) -> bool {
    const LEADS: [&str; 5] = ["in", "on", "only", "just", "about"];
    let after = text.get(cue.end()..).unwrap_or("");
    let mut words = after
        .split_whitespace()
        .skip_while(|word| LEADS.contains(word));
    cue.of(text).to_lowercase().ends_with("right")
        && words.next().is_some_and(|word| {
            let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
            matches!(word, "once" | "twice") || is_number(word)
        })
}

/// Whether a negation stands right behind what would agree: “we could hear that it does not”.
pub(super) fn negated_behind(cue: Span, text: &str) -> bool {
    let after = text.get(cue.end()..).unwrap_or("").trim_start();
    let word = after
        .split(|letter: char| !letter.is_alphabetic())
        .next()
        .unwrap_or("");
    word.eq_ignore_ascii_case("not") || word.eq_ignore_ascii_case("nothing")
}

/// Most words between two negations of one clause that cancel each other.
const DOUBLE_REACH: usize = 7;

/// Most words between two of which the second stands in a clause on what the first speaks of.
const RELATIVE_REACH: usize = 14;

/// Negations that “without” behind them cancels.
const UNABLE: [&str; 12] = [
    "not", "never", "can't", "cannot", "can not", "couldn't", "won't", "wouldn't", "doesn't",
    "don't", "nobody", "hardly",
];

/// Drops the negations that cancel each other (“never one that has not had…”); “neither … nor” is one negation.
pub(super) fn drop_double(cues: &mut Vec<Cue>, text: &str, lists: Lists<'_>) {
    /// Words that open such a clause, which stand right before its negation or a word further off.
    const RELATIVE: [&str; 3] = ["that", "which", "who"];
    let on_it = |between: &str| {
        let mut words = between.split_whitespace().rev().take(2);
        words.any(|word| RELATIVE.contains(&word))
    };
    let cancels = |one: &Cue, other: &Cue| {
        one.class == Class::DenyClause
            && other.class == Class::DenyClause
            && one.last < other.first
            && (other.first - one.last <= DOUBLE_REACH
                || on_it(Span::new(one.span.end(), other.span.start()).of(text)))
            && !lists
                .negation_paired
                .has(&other.span.of(text).to_ascii_lowercase())
            && !has_border(Span::new(one.span.end(), other.span.start()).of(text))
            // "It isn't this and it isn't that" says no twice.
            && !Span::new(one.span.end(), other.span.start()).of(text).contains(" and ")
    };
    // "It can't carry a chord without adding one of its own", "I'd not now listen without one".
    let without = |cue: &Cue| {
        /// Bytes behind the negation that are looked at.
        const BEHIND: usize = 120;
        if cue.class != Class::DenyClause
            || !UNABLE.contains(&cue.span.of(text).to_lowercase().replace('’', "'").as_str())
        {
            return false;
        }
        let end = text.floor_char_boundary((cue.span.end() + BEHIND).min(text.len()));
        let rest = text.get(cue.span.end()..end).unwrap_or("");
        let clause = rest
            .split(['.', ';', ':', '?', '!', '('])
            .next()
            .unwrap_or("");
        let mut words = clause.split_whitespace().take(RELATIVE_REACH);
        words.any(|word| word == "without")
    };
    let mut gone: Vec<bool> = cues.iter().map(without).collect();
    for one in 0..cues.len() {
        for other in one + 1..cues.len() {
            if cues[other].first > cues[one].last + RELATIVE_REACH {
                break;
            }
            if !gone[one] && !gone[other] && cancels(&cues[one], &cues[other]) {
                gone[one] = true;
                gone[other] = true;
            }
        }
    }
    let mut index = 0;
    cues.retain(|_| {
        index += 1;
        !gone[index - 1]
    });
}

/// Drops the negation that stands for a whole clause and says what something else does not do (“the one sings and the other
/// doesn't”, “one way it breathes, the other way it doesn't”, “what lies on it drags, what hovers does not”): it denies nothing of the
/// first. A pronoun in its place would be the first itself, but for one that comes behind the case that is told apart.
pub(super) fn drop_contrasted(cues: &mut Vec<Cue>, text: &str, lists: Lists<'_>) {
    /// Most words of what is told apart, with the word that joins it.
    const SUBJECT: usize = 10;
    const VERBS: [&str; 7] = ["do", "does", "did", "is", "are", "was", "were"];
    /// So many of them are of what is done.
    const DEEDS: usize = 3;
    cues.retain(|cue| {
        let after = text.get(cue.span.end()..).unwrap_or("");
        let words = text.get(..cue.span.start()).unwrap_or("");
        let mut near = words.split_whitespace().rev().map(str::to_lowercase);
        let verb = cue.span.of(text).to_lowercase().replace('’', "'");
        let verb = match verb.as_str() {
            "not" => near.next().unwrap_or_default(),
            other => other.trim_end_matches("n't").to_owned(),
        };
        let ends = after.trim_start_matches(['"', '”']);
        if cue.class != Class::DenyClause
            || !VERBS.contains(&verb.as_str())
            || !(ends.starts_with(['.', ';', '!']) || ends.starts_with(", and "))
        {
            return true;
        }
        let mut ended = false;
        let subject: Vec<String> = (near.take(SUBJECT))
            .take_while(|word| {
                ended = !word.ends_with(|letter: char| letter.is_alphanumeric());
                !ended
            })
            .collect();
        let joined = (subject.iter()).position(|word| lists.clause_joins.has(word));
        let deed = VERBS.iter().take(DEEDS).any(|known| *known == verb);
        let named = |length: usize| {
            let mut named = subject.iter().take(length);
            length > 0 && !named.any(|word| lists.clause_pronouns.has(word))
        };
        // The words of the clause from its first: “what hovers above it”, “the other way it”.
        let other_case = |length: usize| {
            let mut first = subject.iter().take(length).rev().map(String::as_str);
            match (first.next(), first.next()) {
                (Some("what" | "whatever"), Some(_)) => deed,
                (Some("the"), Some("other")) => true,
                (Some("in" | "on" | "with" | "without"), Some(_)) => length > 2,
                _ => false,
            }
        };
        // What is told apart without a word that joins it stands behind a comma.
        let behind_comma = ended && ends.starts_with(['.', ';', '!', ',']) && joined.is_none();
        !(joined.is_some_and(|length| {
            deed && !ends.starts_with(',') && named(length) || other_case(length)
        }) || behind_comma && other_case(subject.len()))
    });
}

/// Drops the negations of a sentence that says until when they held (“nobody could … until we froze it”).
pub(super) fn drop_until(cues: &mut Vec<Cue>, text: &str, lists: Lists<'_>) {
    if !cues.iter().any(|cue| cue.class == Class::Until) {
        return;
    }
    cues.retain(|cue| {
        let word = cue.span.of(text).to_lowercase().replace('’', "'");
        let after = text.get(cue.span.end()..).unwrap_or("").trim_start();
        !(cue.class == Class::DenyClause
            && lists.negation_plain.has(&word)
            && !lists.negation_duty.begins(after))
    });
}

/// Whether the text is part of an enumeration in short members with an “or” (“never been drawn, burned in, aligned or …”), be
/// it that the “or” comes in `rest`, behind the words in question.
pub(super) fn enumerates(text: &str, rest: &str) -> bool {
    const MEMBER: usize = 3;
    const MARKS: [char; 3] = ['“', '”', '"'];
    let stops = [';', ':', '—', '–', '(', ')', '.', '!', '?'];
    let ahead = rest.split(stops).next().unwrap_or("");
    let short = |list: &str| {
        list.split(',')
            .all(|member| member.split_whitespace().count() <= MEMBER + 1)
    };
    let Some((last, _)) = ahead.split_once(" or ") else {
        return !text.contains(stops)
            && !text.contains(MARKS)
            && text.contains(" or ")
            && short(text);
    };
    !text.contains(stops) && text.contains(',') && short(text) && short(last)
}

/// Whether the text holds a mark that ends a clause.
pub(super) fn has_border(text: &str) -> bool {
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            ';' | '—' | '–' | '(' | ')' | '“' | '”' | '"' | '.' | '!' | '?' => {
                let inner =
                    letter == '.' && letters.peek().is_some_and(|next| !next.is_whitespace());
                if !inner {
                    return true;
                }
            }
            ',' | ':' if letters.peek().is_none_or(|next| next.is_whitespace()) => return true,
            _ => {}
        }
    }
    false
}

/// Whether a straight mark stands right behind a word and not before one.
fn shuts(words: &str, at: usize) -> bool {
    let before = words.get(..at).and_then(|text| text.chars().next_back());
    let after = words.get(at + 1..).and_then(|text| text.chars().next());
    let behind = before.is_some_and(|one| one.is_alphabetic() || matches!(one, '.' | '!' | '?'));
    behind && after.is_none_or(|one| one.is_whitespace())
}

/// Stretches in quotation marks, three words or longer, within one block.
pub(super) fn quotes(sheet: &Sheet) -> Vec<Span> {
    let text = sheet.flow.text();
    let mut list = Vec::new();
    for block in &sheet.blocks {
        let mut open: Option<usize> = None;
        let words = block.span.of(text);
        // All quotation marks begin with one of three bytes.
        for at in memchr::memchr3_iter(b'"', 0xC2, 0xE2, words.as_bytes()) {
            let Some(letter) = words.get(at..).and_then(|rest| rest.chars().next()) else {
                continue;
            };
            let at = at + block.span.start();
            let closes = match letter {
                '“' | '„' | '«' => {
                    open = Some(at);
                    false
                }
                '”' | '»' => true,
                '"' => match open {
                    Some(_) => true,
                    // What was opened before the block is closed in it: “musical" is our favourite”.
                    None if shuts(words, at - block.span.start()) => {
                        open = Some(block.span.start());
                        true
                    }
                    None => {
                        open = Some(at);
                        false
                    }
                },
                _ => false,
            };
            if closes && let Some(start) = open.take() {
                let span = Span::new(start, at);
                if span.of(text).split_whitespace().count() >= 3 {
                    list.push(span);
                }
            }
        }
        if let Some(start) = open {
            list.push(Span::new(start, block.span.end()));
        }
    }
    list.sort();
    list
}
