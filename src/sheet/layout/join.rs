//! Lines to running text: which blanks stay, and how words that were broken over a line end come together.

use super::Reader;
use super::clean::SOFT_HYPHEN;
use super::lines::{GAP, LEADER, Line};
use super::look::{ends_with_link_word, first_word, starts_upper};
use super::marks::{self, KeyForm};
use crate::sheet::words::WORDS;
use crate::span::Span;
use std::ops::Range;

/// Blanks in a row that part what stands on either side of them.
const APART: usize = 5;

/// How two lines of a paragraph come together.
enum Join {
    /// With a blank.
    Blank,
    /// With nothing: the mark at the line end stays.
    Close,
    /// With nothing, and without the last bytes of the first line.
    Drop(usize),
}

fn join(line: &str, next: &str) -> Join {
    let mut letters = line.chars().rev();
    let last = letters.next().unwrap_or(' ');
    let before = letters.next().unwrap_or(' ');
    let first = next.chars().next().unwrap_or(' ');
    match last {
        SOFT_HYPHEN => Join::Drop(SOFT_HYPHEN.len_utf8()),
        '-' if before.is_alphanumeric() => {
            if !first.is_alphanumeric() || first.is_numeric() || before.is_numeric() {
                return if first.is_alphanumeric() {
                    Join::Close
                } else {
                    Join::Blank
                };
            }
            let same_case = before.is_lowercase() && first.is_lowercase()
                || before.is_uppercase()
                    && first.is_uppercase()
                    && next.chars().nth(1).is_some_and(char::is_uppercase);
            if !same_case {
                return Join::Close;
            }
            let part = |words: &str| words.to_lowercase();
            let stem = line.get(..line.len() - 1).unwrap_or("");
            let whole = stem
                .rsplit(|letter: char| letter.is_whitespace())
                .next()
                .unwrap_or("");
            let one = part(
                whole
                    .rsplit(|letter: char| !letter.is_alphabetic())
                    .next()
                    .unwrap_or(""),
            );
            let two = part(
                next.split(|letter: char| !letter.is_alphabetic())
                    .next()
                    .unwrap_or(""),
            );
            // `figure-of-` before `eight`: hyphens before this one go on with the same compound.
            let strung = whole.contains('-') && one.len() <= 3;
            // `two- and three-way`
            let hanging = matches!(two.as_str(), "and" | "or" | "to");
            if hanging {
                Join::Blank
            } else if strung
                || !WORDS.hyphen_ending.has(&two)
                    && (WORDS.hyphen_first.has(&one) || WORDS.hyphen_second.has(&two))
            {
                Join::Close
            } else {
                Join::Drop(1)
            }
        }
        '/' if before.is_alphanumeric() && first.is_alphanumeric() => Join::Close,
        '–' if before.is_numeric() && first.is_numeric() => Join::Close,
        _ => Join::Blank,
    }
}

impl Reader<'_> {
    /// Appends lines as running text.
    pub(in super::super) fn push_lines(&mut self, parts: &[Line]) {
        self.push_joined(parts, false);
    }

    /// With `stacks`, lines that were set one below the other on purpose stay apart.
    fn push_joined(&mut self, parts: &[Line], stacks: bool) {
        let widest = parts
            .iter()
            .map(|line| line.end_column(self.text))
            .max()
            .unwrap_or(0)
            .max(self.measure.min(100));
        for (index, line) in parts.iter().enumerate() {
            let range = line.range();
            let next = parts.get(index + 1);
            let Some(next) = next else {
                self.push_words(range, line.has(GAP | LEADER));
                break;
            };
            let words = next.of(self.text);
            let apart = stacks
                && starts_upper(words)
                && !ends_with_link_word(line.of(self.text))
                && !line.of(self.text).ends_with([',', '-', '/'])
                && line.end_column(self.text) + 1 + first_word(words).chars().count() + 8 <= widest;
            match join(line.of(self.text), words) {
                Join::Blank if apart => {
                    self.push_words(range.clone(), line.has(GAP | LEADER));
                    self.clean.push_as(
                        &mut self.flow,
                        "\n",
                        range.end..next.start().max(range.end),
                    );
                }
                Join::Blank => {
                    self.push_words(range.clone(), line.has(GAP | LEADER));
                    self.clean
                        .push_as(&mut self.flow, " ", range.end..next.start().max(range.end));
                }
                Join::Close => self.push_words(range, line.has(GAP | LEADER)),
                Join::Drop(len) => {
                    self.push_words(range.start..range.end - len, line.has(GAP | LEADER))
                }
            }
        }
    }

    /// Appends lines of which the first starts with a key; gives where the words begin and the key.
    pub(super) fn push_keyed(
        &mut self,
        parts: &[Line],
        key: Option<marks::Key>,
    ) -> (usize, Option<Span>) {
        let from = self.flow.text().len();
        let (Some(key), Some(first)) = (key, parts.first()) else {
            self.push_lines(parts);
            return (from, None);
        };
        let name = first.start()..first.start() + key.len;
        for at in self.key_above.clone() {
            let Some(above) = self.line(at).copied() else {
                continue;
            };
            let below = self.line(at + 1).map_or(above.end(), |below| below.start());
            self.push_words(above.start()..above.end(), false);
            self.clean.push_as(&mut self.flow, " ", above.end()..below);
        }
        self.push_words(name.clone(), first.has(GAP));
        let span = Span::new(from, self.flow.text().len());
        let value = first.start() + key.value;
        match key.form {
            KeyForm::Leader => self.clean.push_as(&mut self.flow, ": ", name.end..value),
            KeyForm::Equals => self.clean.push_as(&mut self.flow, " = ", name.end..value),
            KeyForm::Colon if value >= first.end() => {
                self.push_words(name.end..first.end(), false);
                if parts.len() > 1 {
                    self.clean
                        .push_as(&mut self.flow, " ", first.end()..first.end());
                }
            }
            KeyForm::Colon => {
                self.push_words(name.end..name.end + 1, false);
                self.clean.push_as(&mut self.flow, " ", name.end + 1..value);
            }
        }
        let mut rest: Vec<Line> = parts.to_vec();
        if value >= first.end() {
            rest.remove(0);
        } else if let Some(line) = rest.first_mut() {
            let ahead = self
                .text
                .get(line.start()..value)
                .map_or(0, |ahead| ahead.chars().count());
            *line = line.part(
                self.text,
                value..line.end(),
                usize::from(line.indent) + ahead,
            );
        }
        self.push_joined(&rest, true);
        (from, Some(span))
    }

    /// Appends words of one line; runs of blanks become one.
    pub(in super::super) fn push_words(&mut self, range: Range<usize>, gaps: bool) {
        if !gaps {
            self.clean.push(&mut self.flow, range);
            return;
        }
        let bytes = self.text.as_bytes();
        let mut at = range.start;
        while at < range.end {
            let words = bytes.get(at..range.end).map_or(0, |rest| {
                rest.iter()
                    .take_while(|byte| !matches!(byte, b' ' | b'\t'))
                    .count()
            });
            // Dots that lead the eye from one thing to the other.
            let dots = words >= 4
                && bytes
                    .get(at..at + words)
                    .is_some_and(|rest| rest.iter().all(|byte| *byte == b'.'));
            if dots {
                let blanks = bytes.get(at + words..range.end).map_or(0, |rest| {
                    rest.iter()
                        .take_while(|byte| matches!(byte, b' ' | b'\t'))
                        .count()
                });
                self.clean
                    .push_as(&mut self.flow, "\n", at..at + words + blanks);
                at += words + blanks;
                continue;
            }
            self.clean.push(&mut self.flow, at..at + words);
            at += words;
            let blanks = bytes.get(at..range.end).map_or(0, |rest| {
                rest.iter()
                    .take_while(|byte| matches!(byte, b' ' | b'\t'))
                    .count()
            });
            if blanks >= APART {
                self.clean.push_as(&mut self.flow, "\n", at..at + blanks);
            } else if blanks == 1 {
                self.clean.push(&mut self.flow, at..at + 1);
            } else if blanks > 1 {
                self.clean.push_as(&mut self.flow, " ", at..at + blanks);
            }
            at += blanks;
        }
    }
}
