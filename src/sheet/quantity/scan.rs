//! Finds the places worth parsing: numbers in digits, in words and in one-sign fractions.

use super::number;

/// A place where a number begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    /// A row of digits, or `.5`.
    Digits(usize),
    /// A number word.
    Word(usize),
    /// One of ½ ¼ ¾ ⅓ ….
    Fraction(usize),
    /// An article before a unit that it may count: `a foot`, `an ohm`.
    Article(usize),
}

/// A letter, whatever else.
const LETTER: u8 = 1;
/// A place to look at: a digit, the first byte of a one-sign fraction, a first letter of a number word that begins a word.
const STOP: u8 = 2;

/// What a byte is, by whether a letter stands before it.
const CLASS: [[u8; 256]; 2] = {
    let mut class = [[0; 256]; 2];
    let mut byte = 0;
    while byte < 256 {
        let letter = byte | 0x20;
        if byte >= 0x30 && byte <= 0x39 || byte == 0xC2 || byte == 0xE2 {
            class[0][byte] = STOP;
            class[1][byte] = STOP;
        } else if byte < 128 && letter >= 0x61 && letter <= 0x7a {
            // a d e f h n o p q s t z
            let begins = matches!(
                letter,
                0x61 | 0x64 | 0x65 | 0x66 | 0x68 | 0x6e | 0x6f | 0x70 | 0x71 | 0x73 | 0x74 | 0x7a
            );
            class[0][byte] = if begins { LETTER | STOP } else { LETTER };
            class[1][byte] = LETTER;
        }
        byte += 1;
    }
    class
};

/// The next anchor at or after `at`, before `end`.
pub(super) fn next(text: &str, at: usize, end: usize) -> Option<Anchor> {
    let bytes = text.as_bytes().get(..end)?;
    let mut letter = usize::from(
        at.checked_sub(1)
            .and_then(|before| bytes.get(before))
            .is_some_and(u8::is_ascii_alphabetic),
    );
    for (offset, &byte) in bytes.get(at..)?.iter().enumerate() {
        let class = CLASS[letter][usize::from(byte)];
        letter = usize::from(class & LETTER);
        if class & STOP != 0
            && let Some(anchor) = stop(text, bytes, at, at + offset)
        {
            return Some(anchor);
        }
    }
    None
}

/// What stands at a place to look at, if it begins a number.
fn stop(text: &str, bytes: &[u8], from: usize, at: usize) -> Option<Anchor> {
    let ahead = |by: usize| bytes.get(at + by).copied().unwrap_or(0);
    match bytes.get(at)? {
        b'0'..=b'9' => {
            let dotted = at > from
                && bytes[at - 1] == b'.'
                && (at < 2 || !bytes[at - 2].is_ascii_alphanumeric());
            Some(Anchor::Digits(if dotted { at - 1 } else { at }))
        }
        // ½ ¼ ¾ and ⅓ ⅛ and their like.
        0xC2 => (0xBC..=0xBE)
            .contains(&ahead(1))
            .then_some(Anchor::Fraction(at)),
        0xE2 => {
            (ahead(1) == 0x85 && (0x90..=0x9E).contains(&ahead(2))).then_some(Anchor::Fraction(at))
        }
        b'a' | b'A' => {
            let article = if ahead(1) == b'n' { 2 } else { 1 };
            (ahead(article) == b' ' && counts(&bytes[at + article + 1..])).then(|| {
                let glued = text
                    .get(..at)
                    .and_then(|left| left.chars().next_back())
                    .is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | '\'' | '’'));
                (!glued).then_some(Anchor::Article(at))
            })?
        }
        _ => {
            let prefix = [ahead(0) | 0x20, ahead(1) | 0x20, ahead(2) | 0x20];
            let promising = matches!(
                &prefix,
                b"one"
                    | b"two"
                    | b"doz"
                    | b"poi"
                    | b"nou"
                    | b"zer"
                    | b"thr"
                    | b"fou"
                    | b"fiv"
                    | b"six"
                    | b"sev"
                    | b"eig"
                    | b"nin"
                    | b"ten"
                    | b"ele"
                    | b"twe"
                    | b"thi"
                    | b"fif"
                    | b"for"
                    | b"hal"
                    | b"hun"
                    | b"qua"
                    | b"tho"
            );
            if !promising {
                return None;
            }
            let len = bytes[at..]
                .iter()
                .take_while(|byte| byte.is_ascii_alphabetic())
                .count();
            let glued = text
                .get(..at)
                .and_then(|left| left.chars().next_back())
                .is_some_and(|c| c.is_alphanumeric() || c == '_');
            (!glued && text.get(at..at + len).is_some_and(is_number_word))
                .then_some(Anchor::Word(at))
        }
    }
}

/// Whether a unit begins `bytes` that one counts without a number.
fn counts(bytes: &[u8]) -> bool {
    const UNITS: &[&str] = &[
        "foot", "metre", "meter", "yard", "ohm", "milliohm", "decibel",
    ];
    UNITS.iter().any(|unit| {
        bytes
            .get(..unit.len())
            .is_some_and(|word| word.eq_ignore_ascii_case(unit.as_bytes()))
            && !bytes.get(unit.len()).is_some_and(u8::is_ascii_alphanumeric)
    })
}

fn is_number_word(word: &str) -> bool {
    let mut lower = [0_u8; 11];
    let Some(lower) = lower.get_mut(..word.len()) else {
        return false;
    };
    for (to, from) in lower.iter_mut().zip(word.bytes()) {
        *to = from.to_ascii_lowercase();
    }
    std::str::from_utf8(lower).is_ok_and(number::begins)
}
