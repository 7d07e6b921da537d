//! Words of a sentence.

use crate::span::Span;

/// A word of a sentence: letters and digits with inner apostrophes, decimal points and decimal commas, or a percent sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    /// Where it stands, a possessive `'s` included.
    pub span: Span,
}

impl Token {
    /// Appends the word in lower case, the apostrophe straight and a possessive ending dropped.
    pub fn write_lower(&self, text: &str, out: &mut String) {
        let word = self.span.of(text);
        if word.is_ascii() {
            let start = out.len();
            out.push_str(word);
            if let Some(added) = out.get_mut(start..) {
                added.make_ascii_lowercase();
            }
        } else {
            for letter in word.chars() {
                if letter == '’' || letter == 'ʼ' {
                    out.push('\'');
                } else {
                    out.extend(letter.to_lowercase());
                }
            }
        }
        if out.ends_with("'s") {
            out.truncate(out.len() - 2);
        }
    }
}

fn is_apostrophe(letter: char) -> bool {
    matches!(letter, '\'' | '’' | 'ʼ')
}

/// Which bytes are letters and digits of ASCII.
const PLAIN: [bool; 256] = {
    let mut plain = [false; 256];
    let mut byte = 0_u8;
    while byte < 128 {
        plain[byte as usize] = byte.is_ascii_alphanumeric();
        byte += 1;
    }
    plain
};

/// The words of `text` at the tokens, in small letters.
pub(crate) fn lowered(text: &str, tokens: &[Token]) -> Vec<String> {
    tokens
        .iter()
        .map(|token| token.span.of(text).to_lowercase())
        .collect()
}

/// Puts `word` in small letters into `out`, in the place of what it holds.
pub(crate) fn write_lowered(word: &str, out: &mut String) {
    out.clear();
    if word.is_ascii() {
        out.push_str(word);
        out.make_ascii_lowercase();
    } else {
        out.push_str(&word.to_lowercase());
    }
}

/// Whether a text in small letters is `small`.
pub(crate) fn is_lowered(text: &str, small: &str) -> bool {
    if text.is_ascii() {
        text.len() == small.len()
            && (text.bytes())
                .zip(small.bytes())
                .all(|(letter, small)| letter.to_ascii_lowercase() == small)
    } else {
        text.to_lowercase() == small
    }
}

/// Fills `tokens` with the words of `sentence`.
pub fn tokenize(text: &str, sentence: Span, tokens: &mut Vec<Token>) {
    tokens.clear();
    let words = sentence.of(text);
    let bytes = words.as_bytes();
    let mut push = |start: usize, end: usize| {
        tokens.push(Token {
            span: Span::new(sentence.start() + start, sentence.start() + end),
        });
    };
    let mut start: Option<usize> = None;
    let mut at = 0;
    loop {
        // Most bytes are letters of words that have begun.
        let rest = bytes.get(at..).unwrap_or_default();
        let plain = rest
            .iter()
            .position(|&byte| !PLAIN[usize::from(byte)])
            .unwrap_or(rest.len());
        if plain > 0 {
            start.get_or_insert(at);
            at += plain;
        }
        let Some(&byte) = bytes.get(at) else { break };
        if byte == b' ' {
            if let Some(start) = start.take() {
                push(start, at);
            }
            at += 1;
            continue;
        }
        let letter = if byte.is_ascii() {
            char::from(byte)
        } else {
            words
                .get(at..)
                .and_then(|rest| rest.chars().next())
                .unwrap_or(' ')
        };
        let next = at + letter.len_utf8();
        if letter.is_alphanumeric() || (start.is_some() && joins(words, at, letter, next)) {
            start.get_or_insert(at);
        } else {
            if let Some(start) = start.take() {
                push(start, at);
            }
            if letter == '%' {
                push(at, next);
            }
        }
        at = next;
    }
    if let Some(start) = start {
        push(start, bytes.len());
    }
}

/// Whether a sign inside a word belongs to it: an apostrophe between letters, a point or a comma between digits.
fn joins(words: &str, at: usize, letter: char, next: usize) -> bool {
    let beside = |fits: fn(char) -> bool| {
        words
            .get(next..)
            .is_some_and(|after| after.starts_with(fits))
            && words.get(..at).is_some_and(|before| before.ends_with(fits))
    };
    (is_apostrophe(letter) && beside(char::is_alphabetic))
        || (matches!(letter, '.' | ',') && beside(|letter| letter.is_ascii_digit()))
}

const NUMBER_WORDS: &[&str] = &[
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
    "thirty",
    "forty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
    "hundred",
    "hundreds",
    "thousand",
    "thousands",
    "dozen",
    "dozens",
    "couple",
    "few",
    "several",
    "half",
];

/// Whether a word in lower case is a number, in digits or in words.
pub(crate) fn is_number(word: &str) -> bool {
    word.starts_with(|letter: char| letter.is_ascii_digit()) || NUMBER_WORDS.contains(&word)
}
