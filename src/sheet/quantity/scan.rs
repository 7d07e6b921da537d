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
}

const PLAIN: u8 = 0;
const DIGIT: u8 = 1;
const LETTER: u8 = 2;
/// A letter that begins a number word.
const BEGINS: u8 = 3;
/// First byte of a one-sign fraction.
const SIGN: u8 = 4;

const CLASS: [u8; 256] = {
    let mut class = [PLAIN; 256];
    let mut byte = 0;
    while byte < 256 {
        let letter = byte | 0x20;
        if byte >= 0x30 && byte <= 0x39 {
            class[byte] = DIGIT;
        } else if byte < 128 && letter >= 0x61 && letter <= 0x7a {
            class[byte] = match letter {
                // e f h n o q s t
                0x65 | 0x66 | 0x68 | 0x6e | 0x6f | 0x71 | 0x73 | 0x74 => BEGINS,
                _ => LETTER,
            };
        } else if byte == 0xC2 || byte == 0xE2 {
            class[byte] = SIGN;
        }
        byte += 1;
    }
    class
};

/// The next anchor at or after `at`, before `end`.
pub(super) fn next(text: &str, mut at: usize, end: usize) -> Option<Anchor> {
    let bytes = text.as_bytes().get(..end)?;
    let from = at;
    while let Some(&byte) = bytes.get(at) {
        match CLASS[usize::from(byte)] {
            DIGIT => {
                let dotted = at > from
                    && bytes[at - 1] == b'.'
                    && (at < 2 || !bytes[at - 2].is_ascii_alphanumeric());
                return Some(Anchor::Digits(if dotted { at - 1 } else { at }));
            }
            BEGINS => {
                let start = at;
                at += 1;
                while bytes.get(at).is_some_and(u8::is_ascii_alphabetic) {
                    at += 1;
                }
                if promising(&bytes[start..at])
                    && !text
                        .get(..start)
                        .and_then(|left| left.chars().next_back())
                        .is_some_and(|c| c.is_alphanumeric() || c == '_')
                    && text.get(start..at).is_some_and(is_number_word)
                {
                    return Some(Anchor::Word(start));
                }
            }
            LETTER => {
                at += 1;
                while bytes.get(at).is_some_and(u8::is_ascii_alphabetic) {
                    at += 1;
                }
            }
            SIGN => {
                let fraction = match byte {
                    0xC2 => bytes
                        .get(at + 1)
                        .is_some_and(|next| (0xBC..=0xBE).contains(next)),
                    _ => {
                        bytes.get(at + 1) == Some(&0x85)
                            && bytes
                                .get(at + 2)
                                .is_some_and(|next| (0x90..=0x9E).contains(next))
                    }
                };
                if fraction {
                    return Some(Anchor::Fraction(at));
                }
                at += 1;
            }
            _ => at += 1,
        }
    }
    None
}

/// A quick test of length and first letters before the word is looked up.
fn promising(word: &[u8]) -> bool {
    let (Some(a), Some(b)) = (word.first(), word.get(1)) else {
        return false;
    };
    word.len() >= 3
        && word.len() <= 11
        && matches!(
            (a | 0x20, b | 0x20),
            (b'o', b'n')
                | (b't', b'w' | b'h' | b'e')
                | (b'f', b'o' | b'i')
                | (b's', b'i' | b'e')
                | (b'e', b'i' | b'l')
                | (b'n', b'i')
                | (b'h', b'a' | b'u')
                | (b'q', b'u')
        )
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
