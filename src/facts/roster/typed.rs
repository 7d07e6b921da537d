//! Types that headings and items name by a code: “Type LK 2250 K” over its fields, “Ready-made lead type S10 for the stage”. Knows
//! blocks and where sizes stand.

use super::{Roster, is_size};
use crate::sheet::{BlockKind, Sheet};
use rustc_hash::FxHashSet;

/// Most types of a document.
const MOST: usize = 40;
/// Words of a heading that ends in a code.
const WORDS: usize = 7;
/// Bytes of an item or a paragraph in which its type is named.
const HEAD: usize = 90;
/// Most parts of a code.
const PARTS: usize = 3;
/// What stands before a code, whatever that looks like.
const NOUNS: &[&str] = &["type", "typ", "model"];

impl Roster {
    /// Adds the types that a document tells apart by codes, where two of them and more have a size.
    pub(super) fn find_types(&mut self, sheet: &Sheet) {
        let text = sheet.flow.text();
        let mut found: Vec<(usize, &str)> = Vec::new();
        for (at, block) in sheet.blocks.iter().enumerate() {
            let words = block.span.of(text);
            let code = match block.kind() {
                BlockKind::Heading { .. } => {
                    ends_in_code(words).or_else(|| called_with_number(words))
                }
                BlockKind::Item => code_first(words).or_else(|| type_in(words)),
                BlockKind::Paragraph => type_in(words),
                _ => None,
            };
            // "For type LK 2150 also 10 rings": it was named above.
            let titled = matches!(block.kind(), BlockKind::Heading { .. });
            if let Some(code) = code
                && (titled || found.iter().all(|&(_, known)| known != code))
            {
                found.push((at, code));
            }
            if found.len() > MOST {
                return;
            }
        }
        if found.len() < 2 {
            return;
        }
        let mut sized: FxHashSet<usize> = FxHashSet::default();
        let mut at = 0;
        for quantity in sheet
            .quantities
            .iter()
            .filter(|quantity| is_size(quantity.kind))
        {
            while (sheet.blocks.get(at + 1))
                .is_some_and(|next| next.span.start() <= quantity.span.start())
            {
                at += 1;
            }
            sized.insert(at);
            sized.extend(sheet.blocks.get(at).and_then(|block| block.section()));
        }
        let with_size: FxHashSet<&str> = (found.iter())
            .filter(|(at, _)| sized.contains(at))
            .map(|&(_, code)| code)
            .collect();
        let known: FxHashSet<&str> = found.iter().map(|&(_, code)| code).collect();
        if with_size.len() < 2 || known.len() != found.len() {
            return;
        }
        for (at, code) in found {
            let place = self.add(code, false);
            self.alias(place, &format!("={code}"));
            let block = &sheet.blocks[at];
            if matches!(block.kind(), BlockKind::Heading { .. }) {
                self.alias(place, &block.span.of(text).trim().to_lowercase());
            }
        }
    }
}

/// The code in which a heading ends: `LK 2250 K` of “Type LK 2250 K”.
fn ends_in_code(heading: &str) -> Option<&str> {
    let heading = heading.trim().trim_end_matches(':');
    if heading.contains('\n') || heading.split_whitespace().count() > WORDS {
        return None;
    }
    let from = code_before(heading)?;
    let code = heading.get(from..)?;
    let ahead = heading.get(..from)?.trim_end();
    let noun = ahead.rsplit(' ').next().unwrap_or("").to_lowercase();
    // A heading that is a code and nothing else may be the number of a document.
    (NOUNS.contains(&noun.as_str()) || !ahead.is_empty() && !noun.ends_with(['.', ',', ':']))
        .then_some(code)
}

/// The name with a number in a heading that is little else: `Lumen-2` of “Lumen-2 (ribbon)”.
fn called_with_number(heading: &str) -> Option<&str> {
    const LETTERS: usize = 3;
    const DIGITS: usize = 4;
    let name = heading.split(['(', ',', ':']).next()?.trim();
    let (word, number) = name.rsplit_once('-')?;
    let letters = word.rsplit(' ').next()?;
    let called = letters.len() >= LETTERS
        && letters.starts_with(|sign: char| sign.is_uppercase())
        && letters.chars().all(char::is_alphabetic)
        && letters.chars().any(char::is_lowercase);
    let digits = number.trim_end_matches(|sign: char| sign.is_ascii_alphabetic());
    let numbered = (1..=DIGITS).contains(&digits.len())
        && number.len() <= digits.len() + 1
        && digits.bytes().all(|sign| sign.is_ascii_digit());
    (called && numbered && word.split(' ').count() <= 2).then_some(name)
}

/// The code with which an item begins: `RF-210` of “RF-210 THE HERRING. Flat twin”.
fn code_first(words: &str) -> Option<&str> {
    const SHORTEST: usize = 3;
    let first = words.split_whitespace().next()?;
    let lettered = first.starts_with(|sign: char| sign.is_ascii_uppercase());
    let counted = first.contains(|sign: char| sign.is_ascii_digit());
    (first.len() >= SHORTEST && lettered && counted && is_part(first)).then_some(first)
}

/// Where the code begins with which words end.
fn code_before(words: &str) -> Option<usize> {
    let mut from = None;
    let mut coded = false;
    for part in words.split(' ').rev().take(PARTS) {
        if !is_part(part) {
            break;
        }
        from = Some(part.as_ptr().addr() - words.as_ptr().addr());
        coded |= part.contains(|sign: char| sign.is_ascii_digit()) || part.contains('-');
    }
    let code = words.get(from?..)?;
    let lettered = code.contains(|sign: char| sign.is_ascii_uppercase());
    (coded && lettered).then_some(from?)
}

/// The code behind the word for a type in the first words of a block.
fn type_in(words: &str) -> Option<&str> {
    let head = words
        .get(..words.floor_char_boundary(HEAD))
        .unwrap_or(words);
    let lower = head.to_ascii_lowercase();
    let (at, noun) = NOUNS
        .iter()
        .filter_map(|noun| Some((lower.find(&format!("{noun} "))?, noun.len())))
        .min()?;
    let inside = |before: usize| lower.as_bytes()[before].is_ascii_alphanumeric();
    if at.checked_sub(1).is_some_and(inside) {
        return None;
    }
    let behind = head.get(at + noun + 1..)?;
    let mut end = 0;
    for part in behind.split([' ', '\n', ',', ';', '(']).take(PARTS) {
        if part.is_empty() || !is_part(part) {
            break;
        }
        end = part.as_ptr().addr() - behind.as_ptr().addr() + part.len();
    }
    let code = behind.get(..end)?;
    let coded = code.contains(|sign: char| sign.is_ascii_digit() || sign == '-');
    (coded && code.contains(|sign: char| sign.is_ascii_uppercase())).then_some(code)
}

/// Whether a word can be a part of a code: capitals, digits and signs between them.
fn is_part(word: &str) -> bool {
    let letters = word.chars().filter(char::is_ascii_alphabetic).count();
    !word.is_empty()
        && word.len() <= 10
        && letters <= 4
        && word.starts_with(|sign: char| sign.is_ascii_alphanumeric())
        && word.ends_with(|sign: char| sign.is_ascii_alphanumeric())
        && word.chars().all(|sign| {
            sign.is_ascii_uppercase() || sign.is_ascii_digit() || matches!(sign, '-' | '/' | '.')
        })
}
