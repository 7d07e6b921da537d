//! Interviews whose voices are told apart by their margin alone: each question at the margin, its answer indented below it. Knows
//! lines and sentences and no words.

use super::Reader;
use super::lines::Line;
use super::voices::voice_of;
use std::ops::Range;

/// Fewest turns of an interview in which something is asked outright.
const FEWEST: usize = 3;
/// One turn in so many asks outright: the others are put as statements.
const SHARE: usize = 3;
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
            // Where each voice has its name, the margin tells nothing.
            let mut own = group.iter().take(asked);
            let named = own.any(|line| labelled(line.of(self.text)));
            if hangs && speaks && !named && asked <= QUESTION {
                let words = self.text.get(first.start()..last.end()).unwrap_or("");
                turns.push((first.start()..answer.start(), words.contains('?')));
                ends.push(end.end());
            }
        }
        let asking = turns.iter().filter(|(_, asks)| *asks).count();
        if asking < FEWEST || asking * SHARE < turns.len() {
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

/// Whether a line begins with the name of a voice or its first letter: “Q. Is it …”, “A: It is …”.
fn labelled(line: &str) -> bool {
    let letter = line.as_bytes().get(1).is_some_and(u8::is_ascii_punctuation);
    letter && line.starts_with(|first: char| first.is_uppercase()) || voice_of(line).is_some()
}

#[cfg(test)]
mod tests {
    use crate::sheet::outline;

    const TALK: &str = "Is the wire dull?\n   It is wet.\n\nSome say that it sings. Does it?\n   It hums a little.\n   On Sundays.\n\n\
        A word on copper.\n   It is red.\n\nAnd you?\n   I am tired.\n";

    fn turns(text: &str) -> Vec<(String, String)> {
        let sheet = outline(text);
        let words = |run: &std::ops::Range<usize>| {
            let spans = run.clone().filter_map(|at| sheet.sentences.get(at));
            let words: Vec<&str> = spans.map(|own| own.span.of(sheet.flow.text())).collect();
            words.join(" ")
        };
        let turns = sheet.hung.iter();
        turns
            .map(|(asked, answer)| (words(asked), words(answer)))
            .collect()
    }

    #[test]
    fn a_margin_tells_questions_from_answers() {
        let turns = turns(TALK);
        let asked: Vec<&str> = turns.iter().map(|(asked, _)| asked.trim()).collect();
        assert_eq!(
            asked,
            [
                "Is the wire dull?",
                "Some say that it sings. Does it?",
                "A word on copper.",
                "And you?"
            ]
        );
        assert_eq!(turns[1].1, "It hums a little. On Sundays.");
    }

    #[test]
    fn a_list_that_asks_nothing_has_no_turns() {
        assert!(turns(&TALK.replace('?', ".")).is_empty());
        assert!(turns(&TALK.replace("\n   ", "\n")).is_empty());
    }
}
