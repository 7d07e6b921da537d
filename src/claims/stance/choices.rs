//! Answers to choose from, as a test paper or a quiz offers them: who prints them says none of them. Knows blocks, marks and labels,
//! and no words.

use super::Reader;
use crate::claims::matching::Match;
use crate::sheet::Block;

/// Signs before what is to be ticked.
const BOXES: [&str; 9] = ["o ", "O ", "( ) ", "[ ] ", "() ", "[] ", "☐", "○", "□"];
/// Fewest questions of a paper that has such answers; one alone may as well lead to a list of merits.
const QUESTIONS: usize = 2;
/// Most bytes of a number that stands by itself.
const NUMBER: usize = 4;

impl Reader<'_> {
    /// Whether a part of the claim stands in an answer to choose from.
    pub(super) fn to_choose(&self, made: &Match) -> bool {
        let block = |at: usize| self.sheet.sentences.get(at).map(|own| own.block());
        let chosen = self.choices.get_or_init(|| self.find_choices());
        !chosen.is_empty()
            && (made.hits.iter())
                .filter_map(|&(at, _)| block(at))
                .any(|block| chosen.binary_search(&block).is_ok())
    }

    /// Blocks that are answers to choose from, in order.
    fn find_choices(&self) -> Vec<usize> {
        let mut found = Vec::new();
        let mut questions = 0;
        let keyed = self.has_key_of_letters();
        let task = self
            .class
            .choose
            .is_some_and(|concept| self.hits.anywhere(concept));
        let count = self.sheet.blocks.len();
        let mut at = 0;
        while at < count {
            let end = (at..count)
                .find(|&next| !self.is_answer(next, keyed))
                .unwrap_or(count);
            let marks = (at..end)
                .map(|next| self.marks(next))
                .sum::<usize>()
                .max(end - at);
            if marks >= 2
                && at
                    .checked_sub(1)
                    .is_some_and(|stem| self.is_stem(stem, task))
            {
                questions += 1;
                found.extend(at..end);
            } else if task && at == end && self.inner_marks(at) >= 2 {
                questions += 1;
                found.push(at);
            }
            at = end.max(at + 1);
        }
        if questions < QUESTIONS {
            found.clear();
        }
        found
    }

    fn block_words(&self, at: usize) -> &str {
        let words = |block: &Block| block.span.of(self.text()).trim();
        self.sheet.blocks.get(at).map_or("", words)
    }

    /// Whether a block begins with a box, or with the letter of an answer where the paper has a key of letters.
    fn is_answer(&self, at: usize, keyed: bool) -> bool {
        let words = self.block_words(at);
        let mut letters = words.trim_start_matches('(').chars();
        let mut lettered = || {
            letters
                .next()
                .is_some_and(|letter| ('a'..='f').contains(&letter.to_ascii_lowercase()))
                && matches!(letters.next(), Some(')' | '.'))
        };
        BOXES.iter().any(|mark| words.starts_with(mark)) || keyed && lettered()
    }

    /// How many boxes a block holds that begins with one: some stand in one line.
    fn marks(&self, at: usize) -> usize {
        let words = self.block_words(at);
        let first = BOXES.iter().find(|mark| words.starts_with(**mark));
        first.map_or(0, |mark| 1 + boxes(words, mark))
    }

    /// How many boxes stand within a block that begins with its question.
    fn inner_marks(&self, at: usize) -> usize {
        let words = self.block_words(at);
        BOXES
            .iter()
            .map(|mark| boxes(words, mark))
            .max()
            .unwrap_or(0)
    }

    /// Whether a block is numbered, or stands in a paper that says to choose, and is left for the answer to end.
    fn is_stem(&self, at: usize, task: bool) -> bool {
        let words = self.block_words(at);
        let digits = |words: &str| words.starts_with(|sign: char| sign.is_ascii_digit());
        let before = at
            .checked_sub(1)
            .map_or("", |before| self.block_words(before));
        let numbered = digits(words) || digits(before) && before.len() <= NUMBER;
        (numbered || task) && !words.ends_with(['.', '!', ';'])
    }

    /// Whether the document ends in a key such as “1 b, 2 c, 3 a”.
    fn has_key_of_letters(&self) -> bool {
        /// Fewest answers of a key.
        const ANSWERS: usize = 3;
        self.sheet.blocks.iter().rev().take(12).any(|block| {
            let words = block.span.of(self.text()).to_lowercase();
            let tokens: Vec<&str> = words
                .split(|sign: char| !sign.is_alphanumeric())
                .filter(|word| !word.is_empty())
                .collect();
            let number = |word: &str| word.bytes().all(|sign| sign.is_ascii_digit());
            let letter = |word: &str| word.len() == 1 && matches!(word.as_bytes(), [b'a'..=b'f']);
            let joined = |word: &str| {
                let (head, tail) = word.split_at(word.len() - word.len().min(1));
                !head.is_empty() && head.is_ascii() && number(head) && letter(tail)
            };
            let whole = tokens
                .iter()
                .filter(|word| word.is_ascii() && joined(word))
                .count();
            let parted = tokens
                .windows(2)
                .filter(|pair| number(pair[0]) && letter(pair[1]))
                .count();
            whole + parted >= ANSWERS
        })
    }
}

/// How many boxes of a kind stand within words.
fn boxes(words: &str, mark: &str) -> usize {
    words
        .match_indices(mark)
        .filter(|(at, _)| words[..*at].ends_with(' '))
        .count()
}
