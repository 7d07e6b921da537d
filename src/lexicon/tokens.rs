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
            out.extend(
                word.bytes()
                    .map(|byte| char::from(byte.to_ascii_lowercase())),
            );
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

/// Fills `tokens` with the words of `sentence`.
pub fn tokenize(text: &str, sentence: Span, tokens: &mut Vec<Token>) {
    tokens.clear();
    let mut letters = sentence.of(text).char_indices().peekable();
    let mut start: Option<usize> = None;
    let mut previous = ' ';
    while let Some((at, letter)) = letters.next() {
        let at = at + sentence.start;
        let after = letters.peek().map_or(' ', |&(_, next)| next);
        let inner = start.is_some()
            && ((is_apostrophe(letter) && previous.is_alphabetic() && after.is_alphabetic())
                || (matches!(letter, '.' | ',')
                    && previous.is_ascii_digit()
                    && after.is_ascii_digit()));
        if letter.is_alphanumeric() || inner {
            start.get_or_insert(at);
        } else {
            if let Some(start) = start.take() {
                tokens.push(Token {
                    span: Span::new(start, at),
                });
            }
            if letter == '%' {
                tokens.push(Token {
                    span: Span::new(at, at + 1),
                });
            }
        }
        previous = letter;
    }
    if let Some(start) = start {
        tokens.push(Token {
            span: Span::new(start, sentence.end),
        });
    }
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
pub(super) fn is_number(word: &str) -> bool {
    word.starts_with(|letter: char| letter.is_ascii_digit()) || NUMBER_WORDS.contains(&word)
}
