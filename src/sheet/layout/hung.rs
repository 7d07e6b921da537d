//! Interviews whose voices are told apart by their margin alone: each question at the margin, its answer indented below it. Knows
//! lines and sentences and no words.

use super::Reader;
use super::lines::Line;
use std::ops::Range;

/// Fewest turns of an interview that end in a question mark; they are half of all turns or more.
const FEWEST: usize = 3;
/// An answer stands at least so many columns further in.
const DEEPER: u16 = 2;
/// Most lines of a question.
const QUESTION: usize = 4;

impl Reader<'_> {
    /// Finds, for each question that is answered so, its sentences and those of the answer.
    pub(super) fn find_hung(&mut self) {
        let mut turns: Vec<(Range<usize>, bool)> = Vec::new();
        let mut ends: Vec<usize> = Vec::new();
        let mut rest = self.lines.as_slice();
        while let Some(first) = rest.first() {
            let begins = |line: &Line| line.blank > 0 || line.page;
            let len = 1 + rest.iter().skip(1).take_while(|line| !begins(line)).count();
            let (group, after) = rest.split_at(len);
            rest = after;
            let own = |line: &&Line| line.indent == first.indent && line.quote == first.quote;
            let asked = group.iter().take_while(own).count();
            let (Some(last), Some(answer), Some(end)) =
                (group.get(asked - 1), group.get(asked), group.last())
            else {
                continue;
            };
            let mut answers = group.iter().skip(asked);
            let hangs = answers.all(|line| line.indent >= first.indent + DEEPER);
            let speaks = (first.of(self.text))
                .starts_with(|letter: char| letter.is_uppercase() || "\"“‘'".contains(letter));
            if hangs && speaks && asked <= QUESTION {
                let words = last.of(self.text).trim_end_matches(['"', '”', '’', '\'']);
                turns.push((first.start()..answer.start(), words.ends_with('?')));
                ends.push(end.end());
            }
        }
        let asking = turns.iter().filter(|(_, asks)| *asks).count();
        if asking < FEWEST || asking * 2 < turns.len() {
            return;
        }
        let sentences = &self.sheet.sentences;
        let from = |line: usize| {
            let source = self.clean.decoded(line);
            sentences.partition_point(|sentence| self.flow.source(sentence.span).start < source)
        };
        self.sheet.hung = (turns.iter().zip(ends))
            .map(|((asked, _), end)| (from(asked.start)..from(asked.end), from(end)))
            .filter(|(asked, end)| !asked.is_empty() && asked.end < *end)
            .map(|(asked, end)| (asked.clone(), asked.end..end))
            .collect();
    }
}
