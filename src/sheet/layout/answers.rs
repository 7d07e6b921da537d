//! Which letter a letter answers: it addresses by name whoever signed the one before it. Knows blocks and no words of cables.

use super::Reader;
use crate::sheet::words::WORDS;
use crate::sheet::{Block, BlockKind};
use std::ops::Range;

/// How many blocks before an answer its letter may begin.
const REACH: usize = 10;
/// Most bytes of an address: “Dear Mr and Mrs Something,”.
const ADDRESS: usize = 48;
/// Most words of the line in which a letter is signed.
const SIGNED: usize = 10;

impl Reader<'_> {
    /// Finds the letters that are answered, and the blocks with which their answers begin.
    pub(super) fn find_answers(&mut self) {
        let text = self.flow.text();
        let blocks = &self.sheet.blocks;
        let mut answers: Vec<(usize, usize)> = Vec::new();
        for (index, block) in blocks.iter().enumerate() {
            let Some(called) = addressed(block.span.of(text)) else {
                continue;
            };
            let Some(letter) = letter_before(blocks, text, index, called) else {
                continue;
            };
            let taken = answers.last().map_or(0, |(last, _)| last + 1);
            answers.extend((letter.start.max(taken)..letter.end).map(|block| (block, index)));
        }
        if answers.is_empty() {
            answers = self.answers_below();
        }
        self.sheet.answers = answers;
    }

    /// Letters to an editor, each signed, with the answer of nobody named right below in the same section; at least two of them, or
    /// one whose answer begins with whose it is.
    fn answers_below(&self) -> Vec<(usize, usize)> {
        let text = self.flow.text();
        let blocks = &self.sheet.blocks;
        let to_editor = |block: &Block| {
            let words = block.span.of(text);
            WORDS
                .letter_editor
                .entries()
                .any(|start| words.starts_with(start))
        };
        let answers = |at: usize, letter: usize| {
            blocks.get(at).is_some_and(|answer| {
                matches!(answer.kind(), BlockKind::Paragraph)
                    && answer.section() == blocks[letter].section()
                    && (answer.speaker().is_none() || answer.speaker() != blocks[letter].speaker())
                    && !to_editor(answer)
                    && addressed(answer.span.of(text)).is_none()
            })
        };
        let replies = |&(_, answer): &(usize, usize)| {
            let words = blocks[answer].span.of(text);
            let mut heads = WORDS.letter_reply.entries();
            heads.any(|head| words.starts_with(head))
        };
        let mut found: Vec<(usize, usize)> = Vec::new();
        let mut signed = 0;
        for (at, block) in blocks.iter().enumerate() {
            let named = block
                .speaker()
                .is_some_and(|name| block.span.contains(name));
            if named && self.signatures.binary_search(&at).is_ok() && answers(at + 1, at) {
                let own = |&letter: &usize| {
                    blocks[letter].speaker() == block.speaker()
                        && blocks[letter].section() == block.section()
                };
                let first = (at.saturating_sub(REACH)..at).rev().take_while(own).last();
                let taken = found.last().map_or(0, |(last, _)| last + 1);
                found.extend((first.unwrap_or(at).max(taken)..at).map(|letter| (letter, at + 1)));
                signed += 1;
            } else if block.speaker().is_none() && to_editor(block) && answers(at + 1, at) {
                found.push((at, at + 1));
            }
        }
        let addressed = found
            .windows(2)
            .filter(|pair| pair[0].1 != pair[1].1)
            .count()
            + 1;
        // Some answers may stand in one paragraph with their letter.
        let ends = found
            .iter()
            .filter(|(letter, _)| ends_signed(blocks[*letter].span.of(text)))
            .count();
        if signed < 2 && addressed < 3 && ends < 2 {
            found.retain(replies);
        }
        found
    }
}

/// Whether a dash and a name close the last line of a letter: “… the dog.  — R. Embleton”.
pub(super) fn ends_signed(words: &str) -> bool {
    const DASHES: [&str; 3] = [" — ", " – ", " - "];
    /// Most words of the name, with where it is from.
    const NAME: usize = 6;
    let dash = DASHES.iter().filter_map(|dash| words.rfind(dash)).max();
    dash.is_some_and(|at| {
        let said = words.get(..at).unwrap_or("").trim_end();
        let name = words.get(at..).unwrap_or("");
        let name = name.trim_start_matches(|sign: char| !sign.is_alphanumeric());
        said.ends_with(['.', '?', '!', '"', '”'])
            && name.starts_with(char::is_uppercase)
            && name.split_whitespace().nth(NAME).is_none()
    })
}

/// Whom a block addresses at its start: “Mr Marl” of “Dear Mr Marl, …”.
fn addressed(words: &str) -> Option<&str> {
    let rest = WORDS
        .letter_address
        .entries()
        .find_map(|start| words.strip_prefix(start))?;
    let window = rest.get(..rest.floor_char_boundary(ADDRESS))?;
    let end = window.find([',', ':', ';', '–', '—', '\n'])?;
    window.get(..end).map(str::trim)
}

/// The blocks of the letter above block `answer` that is signed by whom that block addresses.
fn letter_before(
    blocks: &[Block],
    text: &str,
    answer: usize,
    called: &str,
) -> Option<Range<usize>> {
    let first = answer.saturating_sub(REACH);
    let signed = (first..answer).rev().find(|&at| {
        let words = blocks[at].span.of(text);
        words.split_whitespace().take(SIGNED + 1).count() <= SIGNED
            && !matches!(blocks[at].kind(), BlockKind::Heading { .. })
            && same_person(words, called)
    })?;
    let start = (first..signed)
        .rev()
        .take_while(|&at| {
            !matches!(blocks[at].kind(), BlockKind::Heading { .. })
                && !is_title(blocks[at].span.of(text))
                && addressed(blocks[at].span.of(text)).is_none()
        })
        .last()?;
    Some(start..signed)
}

/// Whether a line is set between dashes, as the titles of letters are.
fn is_title(words: &str) -> bool {
    const DASHES: [char; 4] = ['-', '–', '—', '*'];
    words.trim_end().ends_with(DASHES)
}

/// Whether the words of a signature hold the name that is addressed: a name of both, or the same initials.
fn same_person(signature: &str, called: &str) -> bool {
    let names = |words: &str| -> Vec<String> {
        words
            .split(|letter: char| !letter.is_alphanumeric() && !matches!(letter, '\'' | '’' | '-'))
            .filter(|word| !word.is_empty())
            .map(str::to_lowercase)
            .filter(|word| !WORDS.letter_title.has(word))
            .collect()
    };
    let (signed, called) = (names(signature), names(called));
    let long = |word: &&String| word.chars().count() > 2;
    if called.iter().any(|word| long(&word)) {
        called.iter().filter(long).any(|word| signed.contains(word))
    } else {
        !called.is_empty() && signed.starts_with(&called)
    }
}

#[cfg(test)]
mod tests {
    use crate::sheet::outline;

    fn answers(text: &str) -> Vec<(String, String)> {
        let sheet = outline(text);
        let words = |block: usize| sheet.blocks[block].span.of(sheet.flow.text()).to_owned();
        let pairs = sheet.answers.iter();
        pairs
            .map(|&(letter, answer)| (words(letter), words(answer)))
            .collect()
    }

    #[test]
    fn a_letter_is_answered_by_the_one_that_calls_its_author_by_name() {
        let text = "-- Carpets --\n\nSir, My wires lie on flowerpots now.\n                              G. Marl, by e-mail\n\n\
                    Dear Mr Marl, Then mind the pots.\n\n-- Age --\n\nSir, They were hard at first.\n                              H. T.\n\n\
                    Dear H. T., So is bread.\n";
        let found = answers(text);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].0.contains("flowerpots") && found[0].1.contains("mind the pots"));
        assert!(found[1].0.contains("hard at first") && found[1].1.contains("So is bread"));
    }

    #[test]
    fn signed_letters_are_answered_right_below_by_nobody_named() {
        let text = "LETTERS\n\nWOOD\nSir, My wires hang from pegs now and the piano is free.\n                              Retd. organist, Brill\n\n  \
                    They may hang there. The piano did not notice.\n\nCOLD\nSir, Mine were frozen.\n                              T. Oake, Marl\n\n  \
                    So is the pond.\n";
        let found = answers(text);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].0.contains("pegs") && found[0].1.contains("did not notice"));
        assert!(found[1].0.contains("frozen") && found[1].1.contains("pond"));
    }

    #[test]
    fn a_letter_to_somebody_else_answers_nothing() {
        let text = "Sir, My wires lie on flowerpots now.\n                              G. Marl, by e-mail\n\n\
                    Dear Mrs Yarrow, Thank you for the cake.\n";
        assert_eq!(answers(text), []);
    }
}
