//! Things that letters name in a row of lines: `A   12 AWG`, below it `B   14 AWG`. The letter is the name of what its line tells.

use super::Reader;
use crate::sheet::lines::{GAP, Line};

/// Puts the first of a series on a line of its own where a head stands before it: `Wires.   A   24 AWG`, below it `B   12 AWG`.
pub(super) fn unfold(text: &str, lines: Vec<Line>) -> Vec<Line> {
    let head = |at: usize| {
        let (line, next) = (lines.get(at)?, lines.get(at + 1)?);
        let ahead = usize::from(next.indent).checked_sub(usize::from(line.indent))?;
        if ahead == 0 || next.blank > 0 || !line.has(GAP) || lettered(next.of(text)) != Some('B') {
            return None;
        }
        let words = line.of(text);
        let (at, _) = words.char_indices().nth(ahead)?;
        let (before, first) = words.split_at_checked(at)?;
        (lettered(first) == Some('A') && before.ends_with("  ")).then_some(at)
    };
    if !(0..lines.len()).any(|at| head(at).is_some()) {
        return lines;
    }
    let mut out = Vec::with_capacity(lines.len() + 4);
    for (at, line) in lines.iter().enumerate() {
        let Some(first) = head(at) else {
            out.push(*line);
            continue;
        };
        let middle = line.start() + first;
        let before = text.get(line.start()..middle).unwrap_or("").trim_end();
        out.push(line.part(
            text,
            line.start()..line.start() + before.len(),
            usize::from(line.indent),
        ));
        let column = lines.get(at + 1).map_or(line.indent, |next| next.indent);
        let mut part = line.part(text, middle..line.end(), usize::from(column));
        part.blank = 0;
        part.page = false;
        out.push(part);
    }
    out
}

/// The letter that names a line, where one capital stands before a gap.
fn lettered(words: &str) -> Option<char> {
    let mut letters = words.chars();
    let letter = letters.next().filter(char::is_ascii_uppercase)?;
    (letters.next() == Some(' ') && letters.next() == Some(' ')).then_some(letter)
}

/// The same where a colon stands behind it: “A: silver”, below it “B: copper”.
fn named(words: &str) -> Option<char> {
    let colon = || {
        let mut letters = words.chars();
        let letter = letters.next().filter(char::is_ascii_uppercase)?;
        (letters.next() == Some(':') && letters.next() == Some(' ')).then_some(letter)
    };
    lettered(words).or_else(colon)
}

impl Reader<'_> {
    /// Whether line `at` of the chunk `start..end` is one of several that letters name.
    pub(super) fn in_series(&self, at: usize, start: usize, end: usize) -> bool {
        const FAR: usize = 4;
        let Some(letter) = named(self.words(at)) else {
            return false;
        };
        let indent = self.line(at).map(|line| line.indent);
        let follows = |other: usize, one: char, two: char| {
            self.line(other).map(|line| line.indent) == indent
                && named(self.words(other)) == Some(two)
                && u32::from(two) == u32::from(one) + 1
        };
        (at + 1..end.min(at + FAR)).any(|other| {
            let next = named(self.words(other)).unwrap_or(letter);
            follows(other, letter, next)
        }) || (start.max(at.saturating_sub(FAR))..at).any(|other| {
            named(self.words(other)).is_some_and(|before| {
                self.line(other).map(|line| line.indent) == indent
                    && u32::from(before) + 1 == u32::from(letter)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::sheet::outline;

    fn keys(text: &str) -> Vec<String> {
        let sheet = outline(text);
        let keys = sheet.blocks.iter().filter_map(|block| block.key());
        keys.map(|key| key.of(sheet.flow.text()).to_owned())
            .collect()
    }

    #[test]
    fn letters_in_a_row_name_what_their_lines_tell() {
        let text = "Wires.    A   24 AWG copper, 6 m\n          B   12 AWG copper, 6 m\n          C   12 AWG copper, 6 m, in a box\n";
        assert_eq!(keys(text), ["A", "B", "C"]);
        let text = "  A   24 AWG copper, 6 m\n  B   12 AWG copper, 6 m\n";
        assert_eq!(keys(text), ["A", "B"]);
        let text = "A: silver, 14 AWG\nB: copper, 14 AWG\n";
        assert_eq!(keys(text), ["A", "B"]);
    }

    #[test]
    fn an_answer_is_no_letter_of_a_row() {
        let text = "Q   Will it do?\nA   It will.\n\nQ   For how long?\nA   For years.\n";
        assert!(keys(text).is_empty());
    }
}
