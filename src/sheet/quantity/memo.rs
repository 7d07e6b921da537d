//! Units that were parsed before: a sheet has few units and writes them many times.

use super::around::{is_blank, one_of};
use super::grammar::{Rule, parse};
use super::unit::Unit;
use rustc_hash::FxHashMap;
use std::cell::RefCell;

/// A unit with where it stands behind the number.
type Found = Option<(Unit, usize, usize)>;

/// Most spellings kept, so that a hostile document cannot fill the memory.
const KEPT: usize = 1024;
/// Longest stretch in bytes that is kept.
const LONGEST: usize = 40;

thread_local! {
    static MEMO: RefCell<FxHashMap<Box<str>, Found>> = RefCell::default();
    static ALONE: RefCell<FxHashMap<Box<str>, Option<Unit>>> = RefCell::default();
}

/// A unit that stands alone, as in the brackets of a header.
pub(super) fn unit_alone(text: &str) -> Option<Unit> {
    // The raised 2 alone is a square millimetre only where a number stands before it.
    if text.is_empty() || text.len() > LONGEST || text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let known = ALONE.with_borrow(|memo| memo.get(text).copied());
    if let Some(found) = known {
        return found;
    }
    let found = parse(Rule::unit_entry, text)
        .and_then(|mut pairs| pairs.find(|pair| pair.as_rule() == Rule::unit))
        .and_then(Unit::of);
    ALONE.with_borrow_mut(|memo| {
        if memo.len() >= KEPT {
            memo.clear();
        }
        memo.insert(text.into(), found);
    });
    found
}

/// The unit at the start of `text`, which follows a number.
pub(super) fn unit_behind(text: &str) -> Found {
    let reach = reach(text);
    let stretch = &text[..reach];
    if stretch.is_empty() {
        return None;
    }
    if reach > LONGEST {
        return parsed(text);
    }
    let known = MEMO.with_borrow(|memo| memo.get(stretch).copied());
    if let Some(found) = known {
        return found;
    }
    let found = parsed(stretch);
    MEMO.with_borrow_mut(|memo| {
        if memo.len() >= KEPT {
            memo.clear();
        }
        memo.insert(stretch.into(), found);
    });
    found
}

fn parsed(text: &str) -> Found {
    let pair = parse(Rule::tail_entry, text)?.find(|pair| pair.as_rule() == Rule::unit)?;
    let span = pair.as_span();
    Unit::of(pair).map(|unit| (unit, span.start(), span.end()))
}

/// How far the grammar may look to tell the unit: one word, or a few where the first can have more behind it.
fn reach(text: &str) -> usize {
    let start = text.len()
        - text
            .trim_start_matches(|c| is_blank(c) || matches!(c, '-' | '\u{2010}' | '\u{2011}'))
            .len();
    let mut end = word_end(text, start);
    for _ in 0..5 {
        let rest = &text[end..];
        let trimmed = rest.trim_start_matches(is_blank);
        let word_len = trimmed
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(trimmed.len());
        let word = &trimmed[..word_len];
        let before = text[..end].trim_end_matches('.');
        let last_from = before.rfind(|c: char| !c.is_alphabetic()).map_or(0, |at| {
            at + before[at..].chars().next().map_or(1, char::len_utf8)
        });
        let last = &before[last_from..];
        let on = trimmed.starts_with(['/', '·', '⋅', '²', '⁻'])
            || trimmed[word_len..].starts_with("⁻¹")
            || trimmed[word_len..].starts_with("^-1")
            || trimmed[word_len..].starts_with("-1")
            || text[..end].ends_with(['/', '-', '°', 'º', '˚', '∘'])
            || one_of!(
                word,
                "sq squared rms r ac dc per je pro each cent mils mil wire metre metres meter meters mm c f celsius fahrenheit centigrade",
            )
            // "ohms a metre", "ohms the kilometre", "picofarads to the foot"
            || one_of!(word, "a the every each to for in on over along") && is_for_length(last)
            || one_of!(word, "a the every each") && one_of!(last, "to for in on over along")
            || one_of!(
                last,
                "the every per je pro a each running linear loop lineal sq square quadrat circ circular wire american standard deg degree degrees thousand hundred ten",
            )
            || text[..end].ends_with(|c: char| c.is_ascii_digit())
                && text[start..end].contains(['/', ' ', '\u{A0}']);
        if trimmed.is_empty() || !on {
            break;
        }
        end = word_end(text, end + rest.len() - trimmed.len());
    }
    end
}

/// Whether a word is a unit that is stated for a length: ohms, farads, henries.
fn is_for_length(word: &str) -> bool {
    let lower = word.to_ascii_lowercase();
    ["ohm", "farad", "henr"]
        .iter()
        .any(|unit| lower.contains(unit))
        || word.ends_with(['Ω', '\u{2126}', 'F', 'H'])
}

/// The end of the word at `start`, marks and strokes included.
fn word_end(text: &str, start: usize) -> usize {
    let first = text[start..].chars().next().map_or(0, char::len_utf8);
    text[start + first..]
        .find(|c: char| {
            is_blank(c) || matches!(c, ',' | ';' | ':' | '(' | ')' | '[' | ']' | '|' | '?' | '!')
        })
        .map_or(text.len(), |at| start + first + at)
}
