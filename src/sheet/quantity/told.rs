//! Units that are told apart from the head of a column: behind the value in its first row alone, or in the words over the table.

use super::context::{Context, Hints, loose_unit, words_of};
use super::unit::Unit;

impl Context {
    /// Adds the unit behind a value elsewhere in the column (`2.5 mm²` over `4` and `1.5`), where the head gives none.
    #[must_use]
    pub fn like(mut self, value: &str) -> Self {
        if self.unit.is_none() && !self.valued && !self.hints.has(Hints::OTHER) {
            self.unit = unit_of_value(value);
        }
        self
    }

    /// Adds what the words over a table say of what `head` names: `all sizes in AWG, resistance in ohms per 1000 ft`.
    #[must_use]
    pub fn told(mut self, head: &str, words: &str) -> Self {
        if self.unit.is_none() && !self.valued && !self.hints.has(Hints::OTHER) {
            self.unit = unit_told(head, words);
        }
        self
    }
}

impl Context {
    /// Adds what is said of a head elsewhere: `out and back, in mΩ for each metre`.
    #[must_use]
    pub fn meant(mut self, words: &str) -> Self {
        if self.unit.is_none() {
            self.unit = unit_meant(words);
            // "r_20" holds no value.
            self.valued &= self.unit.is_none();
        }
        self
    }
}

/// Whether what is said of a head names a unit.
pub(in crate::sheet) fn names_unit(words: &str) -> bool {
    unit_meant(words).is_some()
}

/// The unit that is all of a part of an explanation, but for words that lead it and say of what it is.
fn unit_meant(words: &str) -> Option<Unit> {
    words
        .split([',', ';', '(', ')', '[', ']', '\n'])
        .flat_map(|part| part.split(". "))
        .find_map(|part| {
            let part = part.trim().trim_end_matches('.');
            let part = part.strip_prefix("in ").unwrap_or(part);
            let part = match part.rsplit_once(" in ") {
                Some((_, unit)) => unit,
                None => part,
            };
            let part = part.replace(" for each ", " per ");
            let part = part.split(" of ").next().unwrap_or(&part);
            let part = part.split(" at ").next().unwrap_or(part);
            (!part
                .bytes()
                .any(|byte| byte.is_ascii_digit() && byte != b'1' && byte != b'0'))
            .then(|| loose_unit(part))
            .flatten()
        })
}

/// Whether a cell holds a number and nothing else.
pub(in crate::sheet) fn is_bare(words: &str) -> bool {
    let words = words.trim();
    words.contains(|c: char| c.is_ascii_digit())
        && words
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
}

/// Whether a cell holds a number with its unit and nothing else.
pub(in crate::sheet) fn has_unit(words: &str) -> bool {
    unit_of_value(words).is_some()
}

/// What stands behind the number of a cell.
pub(in crate::sheet) fn unit_words(words: &str) -> &str {
    words
        .trim()
        .trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','))
        .trim()
}

fn unit_of_value(words: &str) -> Option<Unit> {
    let words = words.trim();
    let at = words.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))?;
    (at > 0).then(|| loose_unit(&words[at..])).flatten()
}

fn unit_told(head: &str, words: &str) -> Option<Unit> {
    /// Words before `in` that may name what is meant.
    const NAMES: usize = 4;
    const IN: &str = " in ";
    // Most words over a table name no unit so.
    if !words
        .as_bytes()
        .windows(IN.len())
        .any(|at| at == IN.as_bytes())
    {
        return None;
    }
    let named: Vec<String> = words_of(head).map(singular).collect();
    words
        .split([',', ';', ':', '(', ')', '[', ']', '\n'])
        .flat_map(|part| part.split(". "))
        .find_map(|part| {
            let at = part.find(IN)?;
            let (subject, unit) = (part.get(..at)?, part.get(at + IN.len()..)?);
            let meant = words_of(subject)
                .rev()
                .take(NAMES)
                .map(singular)
                .any(|word| word.len() > 2 && named.contains(&word));
            // "ohms per 1000 ft for a single conductor"
            let unit = unit.split(" for ").next().unwrap_or(unit);
            let unit = unit.split(" and ").next().unwrap_or(unit);
            let unit = unit.split(" of ").next().unwrap_or(unit);
            meant
                .then(|| loose_unit(unit.trim_end_matches('.')))
                .flatten()
        })
}

/// A word in small letters without the sign of the plural.
fn singular(word: &str) -> String {
    let lower = word.to_lowercase();
    match lower.strip_suffix('s') {
        Some(one) if one.len() > 2 => one.to_owned(),
        _ => lower,
    }
}
