//! What a line of words looks like by itself.

use super::marks::{self, KeyForm};
use crate::sheet::quantity;
use crate::sheet::words::WORDS;

pub(super) fn first_word(line: &str) -> &str {
    line.split([' ', '\t']).next().unwrap_or("")
}

/// Whether a line ends as a sentence does.
pub(super) fn ends_sentence(line: &str) -> bool {
    line.trim_end_matches(['"', '”', '’', '\'', ')', ']', '*'])
        .ends_with(['.', '!', '?', ':', '…'])
}

pub(super) fn starts_upper(line: &str) -> bool {
    line.chars()
        .find(|letter| letter.is_alphanumeric())
        .is_some_and(|letter| letter.is_uppercase() || letter.is_numeric())
}

/// Whether all letters are capitals, and there are two of them or more.
pub(super) fn is_capitals(line: &str) -> bool {
    let mut letters = 0;
    for letter in line.chars() {
        if letter.is_lowercase() {
            return false;
        }
        if letter.is_uppercase() {
            letters += 1;
        }
    }
    letters >= 2
}

/// `R I B B O N`: single letters with a blank between.
pub(super) fn is_spaced(line: &str) -> bool {
    // Letters so far apart are the heads of columns.
    const COLUMNS: &str = "     ";
    if line.contains(COLUMNS) {
        return false;
    }
    let mut singles = 0;
    for word in line.split_whitespace() {
        let mut letters = word.chars();
        match (letters.next(), letters.next()) {
            (Some(letter), None) if letter.is_uppercase() => singles += 1,
            (Some(letter), None) if letter.is_numeric() => {}
            (Some(letter), _)
                if !letter.is_alphanumeric() && !word.chars().any(char::is_alphanumeric) => {}
            _ => return false,
        }
    }
    singles >= 4
}

/// `VERDICT  Expensive and worth it.`: a few words in capitals, a gap, and words that go on.
pub(super) fn run_in(words: &str) -> Option<marks::Key> {
    let gap = words.find("  ").or_else(|| words.find('\t'))?;
    let name = words.get(..gap)?;
    let rest = words.get(gap..)?;
    let value = words.len() - rest.trim_start().len();
    let fits = value - gap <= 4
        && is_capitals(name)
        && name.split_whitespace().count() <= 4
        && !name.ends_with(['.', '!', '?', ','])
        && words.get(value..).is_some_and(|value| {
            value.split_whitespace().count() >= 2
                && !value.contains("   ")
                && value.chars().any(char::is_lowercase)
                && value.starts_with(|letter: char| {
                    letter.is_alphanumeric() || matches!(letter, '"' | '“' | '.' | '[')
                })
        });
    fits.then_some(marks::Key {
        len: name.len(),
        value,
        form: KeyForm::Leader,
    })
}

/// `Yours sincerely,` and the like.
pub(super) fn is_closing(words: &str) -> bool {
    WORDS.letter_closing.begins(words)
        && words.contains(',')
        && words.split_whitespace().count() <= 8
}

/// Whether a line begins as an entry of a glossary does: “floor, n. The place where cables are.”
pub(super) fn begins_entry(line: &str) -> bool {
    /// Bytes of the word that is explained.
    const HEAD: usize = 32;
    let head = line.get(..line.floor_char_boundary(HEAD)).unwrap_or("");
    let Some((word, behind)) = head.split_once(", ") else {
        return false;
    };
    let part = behind.split('.').next().unwrap_or("");
    behind.len() > part.len()
        && word.starts_with(char::is_alphabetic)
        && !word.contains(['.', ':', ';'])
        && WORDS.entry_part.has(part)
}

/// Whether a line ends with a word that cannot end a phrase.
pub(super) fn ends_with_link_word(line: &str) -> bool {
    let word = line.rsplit(' ').next().unwrap_or("");
    let mut buffer = [0; 16];
    word.len() <= 5
        && matches!(
            marks::lowered(word, &mut buffer),
            "a" | "an"
                | "the"
                | "of"
                | "and"
                | "or"
                | "to"
                | "in"
                | "on"
                | "with"
                | "for"
                | "is"
                | "by"
                | "at"
                | "from"
                | "as"
                | "than"
                | "that"
                | "are"
                | "was"
                | "were"
                | "be"
                | "our"
                | "your"
                | "their"
                | "its"
                | "his"
                | "her"
                | "my"
                | "no"
                | "not"
                | "but"
                | "if"
                | "per"
                | "into"
                | "over"
                | "under"
                | "each"
                | "every"
                | "this"
                | "these"
                | "those"
                | "we"
                | "you"
                | "it"
                | "they"
                | "he"
                | "she"
                | "i"
        )
}

/// Whether a line breaks off behind a number, so that its unit stands on the next one.
pub(super) fn ends_with_number(line: &str) -> bool {
    let word = line.rsplit([' ', '-']).next().unwrap_or("");
    word.ends_with(|letter: char| letter.is_ascii_digit())
        || (word.len() <= 9 && quantity::is_number_word(word))
}

/// Whether the first word of a line is a unit: `AWG.` below `of 12`.
pub(super) fn begins_with_unit(line: &str) -> bool {
    let word = first_word(line).trim_end_matches(['.', ',', ';', ':', ')', '!', '?']);
    word.chars().nth(1).is_some() && quantity::is_unit(word)
}
