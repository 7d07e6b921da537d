//! Short words and prints of what is shown: one line, shortened, bound to a quotation.

use crate::facts::Subject;
use crate::input::Place;
use crate::sheet::Bound;

/// `line 3` or `lines 3 to 5`.
#[must_use]
pub fn lines(place: &Place) -> String {
    if place.end_line > place.line {
        format!("lines {} to {}", place.line, place.end_line)
    } else {
        format!("line {}", place.line)
    }
}

/// `text` with every run of white space as one blank.
#[must_use]
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// At most `most` characters of `text`, with a sign where something is left out.
#[must_use]
pub fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        None => text.to_owned(),
        Some((cut, _)) => format!("{}…", text.get(..cut).unwrap_or(text).trim_end()),
    }
}

/// Sixteen hexadecimal digits (FNV-1a, 64 bits) over rule, quotation and occurrence: an edit elsewhere in the file leaves
/// them as they are.
pub(super) fn fingerprint(rule: &str, words: &str, occurrence: usize) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let occurrence = occurrence.to_string();
    for part in [rule, "\n", &words.to_lowercase(), "\n", &occurrence] {
        for byte in part.bytes() {
            hash ^= u64::from(byte);
            hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}

/// A bound in words that go before the figure.
#[must_use]
pub fn bound_words(bound: Bound) -> &'static str {
    match bound {
        Bound::Exact => "",
        Bound::About => "about",
        Bound::AtMost => "at most",
        Bound::AtLeast => "at least",
        Bound::RangeLow => "from",
        Bound::RangeHigh => "up to",
        Bound::Tolerance => "give or take",
    }
}

/// A subject of a comparison in a word.
#[must_use]
pub fn subject_word(subject: Subject) -> &'static str {
    match subject {
        Subject::Size => "conductor size",
        Subject::Length => "length",
        Subject::Metal => "metal",
    }
}
