//! The key of a field: a name before a colon, an equals sign or dots. Knows one line.

use crate::sheet::words::WORDS;

/// A key and where its value begins, in bytes of the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) struct Key {
    /// Bytes of the key.
    pub(in crate::sheet) len: usize,
    /// Where the value begins; the length of the line when there is none.
    pub(in crate::sheet) value: usize,
    pub(in crate::sheet) form: KeyForm,
}

/// What stands between the key and the value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) enum KeyForm {
    Colon,
    Equals,
    Leader,
}

/// Longest key, in bytes.
const LONGEST_KEY: usize = 90;
/// Most words of a key.
const MOST_WORDS: usize = 6;
/// The same where a bare number is all that the line has behind it: “damping factor at the far end, 5 m run, 8 Ω: 400”.
const MOST_BEFORE_A_NUMBER: usize = 18;

/// The key at the start of a line.
pub(in crate::sheet) fn key(line: &str) -> Option<Key> {
    let window = line.get(..line.floor_char_boundary(LONGEST_KEY))?;
    // `name": "value`, as a line of an object reads without its first sign.
    if let Some(at) = window.find("\":")
        && let Some(name) = line.get(..at)
        && !name.contains('"')
        && is_key(name)
    {
        let rest = line.get(at + 2..).unwrap_or("").trim_start();
        let value = rest.strip_prefix('"').unwrap_or(rest);
        return Some(Key {
            len: at,
            value: line.len() - value.len(),
            form: KeyForm::Leader,
        });
    }
    let colon = find_followed(window, ':', line);
    let equals = window.find(" = ").map(|at| (at, at + 3)).or_else(|| {
        // `length=4 m`, `feed.length=4 m`
        let at = window.find('=')?;
        let name = window.get(..at)?;
        (!name.is_empty()
            && name
                .bytes()
                .all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | b'.')))
        .then_some((at, at + 1))
    });
    let (at, value, form) = match (colon, equals) {
        (Some(colon), Some(equals)) if equals.0 < colon => (equals.0, equals.1, KeyForm::Equals),
        (Some(colon), _) => (colon, colon + 1, KeyForm::Colon),
        (None, Some(equals)) => (equals.0, equals.1, KeyForm::Equals),
        (None, None) => return None,
    };
    let name = line.get(..at)?.trim_end();
    let most = match line.get(value..) {
        Some(rest) if is_plain_number(rest) => MOST_BEFORE_A_NUMBER,
        _ => MOST_WORDS,
    };
    is_key_of(name, most).then(|| Key {
        len: name.len(),
        value: line.len() - line.get(value..).unwrap_or("").trim_start().len(),
        form,
    })
}

/// The first `sign` that stands outside brackets and has a blank or nothing after it.
fn find_followed(window: &str, sign: char, line: &str) -> Option<usize> {
    let mut depth = 0_i32;
    for (at, letter) in window.char_indices() {
        match letter {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            _ if letter == sign && depth <= 0 => {
                let after = line.get(at + letter.len_utf8()..)?;
                if after.is_empty() || after.starts_with([' ', '\t']) {
                    return Some(at);
                }
            }
            _ => {}
        }
    }
    None
}

/// The word in small letters, in `buffer`; nothing when it is longer than any word that is looked up.
pub(in crate::sheet) fn lowered<'b>(word: &str, buffer: &'b mut [u8; 16]) -> &'b str {
    let bytes = word.as_bytes();
    let Some(target) = buffer.get_mut(..bytes.len()) else {
        return "";
    };
    target.copy_from_slice(bytes);
    target.make_ascii_lowercase();
    std::str::from_utf8(target).unwrap_or("")
}

/// Whether a value is a number without a unit and nothing else.
fn is_plain_number(value: &str) -> bool {
    let value = value.trim();
    let digit = |sign: char| sign.is_ascii_digit();
    value.starts_with(digit)
        && value.ends_with(digit)
        && value
            .bytes()
            .all(|sign| sign.is_ascii_digit() || matches!(sign, b'.' | b','))
}

/// Whether the words before a colon name something rather than say something.
pub(in crate::sheet) fn is_key(name: &str) -> bool {
    is_key_of(name, MOST_WORDS)
}

/// The same with no more words than `most`.
fn is_key_of(name: &str, most: usize) -> bool {
    let Some(first) = name.chars().next() else {
        return false;
    };
    if !(first.is_alphanumeric() || matches!(first, '(' | 'Ø' | '±' | '#' | '†'))
        || !name.chars().any(char::is_alphabetic)
    {
        return false;
    }
    let mut depth = 0_i32;
    let mut words = 0;
    // "Cable I" is a label.
    let name = match name.rsplit_once(' ') {
        Some((noun, "I")) if WORDS.letter_labelled.has(&noun.to_lowercase()) => noun,
        _ => name,
    };
    for word in name.split_whitespace() {
        let outside = depth <= 0 && !word.starts_with(['(', '[']);
        for letter in word.chars() {
            match letter {
                '(' | '[' => depth += 1,
                ')' | ']' => depth -= 1,
                '!' | '?' | ';' | '"' | '“' | '”' => return false,
                _ => {}
            }
        }
        if !outside {
            continue;
        }
        words += 1;
        if words > most {
            return false;
        }
        // A full stop ends a sentence unless it is an abbreviation's.
        let mut buffer = [0; 16];
        let bare = lowered(word.trim_end_matches(['.', ',']), &mut buffer);
        if word.ends_with('.') && !WORDS.key_shortened.has(bare) {
            return false;
        }
        if WORDS.key_clause_word.has(bare) {
            return false;
        }
    }
    words > 0
}

/// A key before dots: `Damping factor ...... 186`. With `few`, one or two dots will do, as the lines round it have more.
pub(in crate::sheet) fn leader(line: &str, few: bool) -> Option<Key> {
    let bytes = line.as_bytes();
    let mut at = 0;
    while let Some(ahead) = memchr::memchr(b'.', bytes.get(at..)?) {
        let start = at + ahead;
        let mut end = start;
        let mut dots = 0;
        while let Some(byte) = bytes.get(end) {
            match byte {
                b'.' => dots += 1,
                b' ' if bytes.get(end + 1) == Some(&b'.') => {}
                _ => break,
            }
            end += 1;
        }
        // `size ....: 4 mm²`
        let colon = if bytes.get(end) == Some(&b':') { 1 } else { 0 };
        end += colon;
        let few = few || (colon == 1 && dots >= 2);
        let apart = start > 0 && bytes.get(start - 1) == Some(&b' ');
        let value_apart = bytes.get(end) == Some(&b' ');
        let enough = dots >= 5
            || (dots >= 4 && (apart || value_apart))
            || (apart && value_apart && (dots >= 3 || few))
            || (colon == 1 && dots >= 2 && value_apart);
        if enough && start > 0 {
            let name = line.get(..start)?.trim_end();
            let value = line.len() - line.get(end..)?.trim_start().len();
            if name.len() <= 120 && value < line.len() && name.chars().any(char::is_alphabetic) {
                return Some(Key {
                    len: name.len(),
                    value,
                    form: KeyForm::Leader,
                });
            }
            return None;
        }
        at = end;
    }
    None
}
