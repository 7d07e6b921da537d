//! Questions and answers, letters and replies: what somebody asks, and what another voice makes of it.

use super::{Class, Match, Reader};
use crate::claims::silent;
use crate::finding::Stance;
use crate::lexicon::ConceptId;
use crate::sheet::{Block, BlockKind};
use crate::span::Span;
use std::ops::Range;

/// How far behind the claim a reply may be signed, in bytes.
const REACH: usize = 900;

impl Reader<'_> {
    /// Whether the claim stands in a question of a list of questions and answers, and the answer does not stand behind it.
    pub(super) fn enquired(&self, made: &Match) -> bool {
        let block_of = |at: usize| {
            self.sheet
                .sentences
                .get(at)
                .map(|sentence| sentence.block())
        };
        let asks = |block: usize| {
            let label = self
                .sheet
                .blocks
                .get(block)
                .map_or("", |block| self.voice(block.speaker()));
            let name = label.trim_end_matches(|letter: char| !letter.is_alphabetic());
            self.lists.question_label.has(name)
        };
        let sentences = &made.sentences;
        if !sentences.iter().all(|&at| block_of(at).is_some_and(asks)) {
            return false;
        }
        let last = sentences.last().and_then(|&at| block_of(at)).unwrap_or(0);
        let others = self.no_questions.get_or_init(|| {
            let blocks = 0..self.sheet.blocks.len();
            blocks.filter(|&block| !asks(block)).collect()
        });
        let behind = others.partition_point(|&block| block <= last);
        let answer = others
            .get(behind)
            .and_then(|&block| self.sheet.blocks.get(block));
        !answer.is_some_and(|block| self.stands_behind(block.sentences()))
    }

    /// Whether the claim begins in a question that is told apart by its margin, and is answered with a no and no gain.
    pub(super) fn asked_at_margin(&self, made: &Match) -> bool {
        let at = made.sentence;
        let hung = &self.sheet.hung;
        let after = hung.partition_point(|(asked, _)| asked.start <= at);
        let turn = after.checked_sub(1).and_then(|turn| hung.get(turn));
        let Some((_, answer)) = turn.filter(|(asked, _)| asked.contains(&at)) else {
            return false;
        };
        let denies = |at: usize| self.cues(at).iter().any(|cue| cue.class.denies());
        answer.clone().any(denies)
            && !answer.clone().any(|at| self.tells_gain(at))
            && !self.stands_behind(answer.clone())
    }

    /// Whether an answer says yes, agrees, or tells of a better sound without a word of denial.
    pub(super) fn stands_behind(&self, answer: Range<usize>) -> bool {
        let denies = |at: usize| self.cues(at).iter().any(|cue| cue.class.denies());
        let first = answer.start;
        self.starts_with(first, Class::Yes)
            || self.has(first, Class::Agree)
            || answer.clone().any(|at| self.tells_gain(at)) && !answer.clone().any(denies)
    }

    /// Whether the last part of a claim that begins as a statement is asked: “I was given silver leads. Do they sound brighter?”
    pub(super) fn ends_in_question(&self, made: &Match) -> bool {
        let (first, last) = (made.first(), made.last());
        first != last && self.same_block(first, last) && self.asks_back(last)
    }

    /// Whether the sentence behind the claim asks whether that is so: “…, leads with an arrow. Are they better?”
    pub(super) fn asked_next(&self, made: &Match) -> bool {
        let last = made.last();
        self.same_block(last, last + 1) && self.asks_back(last + 1)
    }

    /// Whether the sentence asks about what was said before it, and no yes follows.
    fn asks_back(&self, sentence: usize) -> bool {
        let next = sentence + 1;
        self.is_question(sentence)
            && self.starts_with(sentence, Class::AskNext)
            && !self.has(sentence, Class::Rhetoric)
            && !(self.same_block(sentence, next)
                && (self.starts_with(next, Class::Yes) || self.has(next, Class::Agree)))
    }

    /// Whether a letter that makes the claim is answered by the editor, who does not agree. The reply is signed or set in
    /// brackets, and stands before the next letter.
    pub(super) fn replied(&self, made: &Match) -> bool {
        /// A letter has more words than this.
        const LETTER: usize = 8;
        let text = self.text();
        let start = self.words(made.last()).end();
        let end = text.ceil_char_boundary((start + REACH).min(text.len()));
        let after = text.get(start..end).unwrap_or("");
        let bracketed = || {
            // "[We believe that you heard it. … - B. Q.]": a reply in brackets, longer than a mark or a time, and in somebody's
            // voice; "[staff: the peg is empty till Thursday]" answers nobody.
            let open = memchr::memchr(b'[', after.as_bytes())?;
            let close = open + after.get(open..)?.find(']')?;
            let told = after.get(open + 1..close)?;
            let voice = told
                .split(|letter: char| !letter.is_alphanumeric() && letter != '’' && letter != '\'')
                .any(|word| {
                    let word = word.to_lowercase();
                    ["i", "we", "you", "our", "my", "your", "us", "me"].contains(&word.as_str())
                });
            (close - open > 40 && voice).then_some(close)
        };
        let signed = self.signed.get_or_init(|| self.signatures());
        let mark = signed
            .iter()
            .skip(signed.partition_point(|mark| mark.start() < start))
            .take_while(|mark| mark.start() < end)
            .find(|mark| mark.end() <= end)
            .map(|mark| mark.start() - start);
        let Some(signed) = mark.into_iter().chain(bracketed()).min() else {
            return false;
        };
        let reply = after.get(..signed).unwrap_or("");
        // What stands in the bracket of a reply, or in a paragraph that he signs, is the editor's own, and one under the title of the next letter answers that.
        let own = (self.sheet.sentences.get(made.sentence))
            .and_then(|own| self.sheet.blocks.get(own.block()))
            .is_some_and(|block| {
                let signs = |speaker: Span| speaker.start() > start;
                start + signed < block.span.end()
                    && (block.span.of(text).trim_start().starts_with('[')
                        || block.speaker().is_some_and(signs))
            });
        let next_letter = reply.rfind('[').is_some_and(|open| {
            let between = start..start + open;
            let titled = |block: &Block| matches!(block.kind(), BlockKind::Heading { .. });
            let blocks = &self.sheet.blocks;
            let first = blocks.partition_point(|block| block.span.start() < between.start);
            // The name below a letter may look like a title; it has no letter of its own behind it.
            (blocks.iter().skip(first))
                .take_while(|block| block.span.start() < between.end)
                .skip_while(|block| !titled(block))
                .any(|block| {
                    !titled(block) && block.span.of(text).split_whitespace().nth(LETTER).is_some()
                })
        });
        if own || next_letter {
            return false;
        }
        if self.lists.letter_opening.within(reply) {
            return false;
        }
        // A reply that says yes, or agrees, stands behind the letter.
        let reach = start..start + signed;
        (made.sentence..self.sheet.sentences.len())
            .take_while(|&at| self.words(at).start() < reach.end)
            .filter(|&at| self.words(at).start() >= reach.start)
            .filter(|&at| self.speaks(at) && !self.same_block(made.sentence, at))
            .all(|at| !self.has(at, Class::Agree) && !self.starts_with(at, Class::Yes))
    }

    /// Where the document has marks by which an editor signs, in reading order.
    fn signatures(&self) -> Vec<Span> {
        let text = self.text().as_bytes();
        let mut found: Vec<Span> = Vec::new();
        for mark in self.lists.reply_signed.entries() {
            let places = memchr::memmem::find_iter(text, mark.as_bytes());
            found.extend(places.map(|at| Span::new(at, at + mark.len())));
        }
        found.sort_unstable();
        found
    }

    /// Whether the claim stands in a letter that is answered by name, and the answer does not stand behind it.
    pub(super) fn answered_by_name(&self, made: &Match) -> bool {
        const FIRST: usize = 3;
        let block = self
            .sheet
            .sentences
            .get(made.sentence)
            .map(|own| own.block());
        let answer = block
            .and_then(|block| self.sheet.answer_to(block))
            .and_then(|answer| self.sheet.blocks.get(answer));
        answer.is_some_and(|answer| {
            let all = answer.sentences();
            !self.stands_behind(all.start..all.end.min(all.start + FIRST))
        })
    }

    /// Whether the claim stands in a letter of a column that answers each below it, some with a no, and its answer does not stand behind
    /// it. A column opens all its letters alike: “Dear Doctor,”.
    pub(super) fn answered_in_column(&self, made: &Match) -> bool {
        const FIRST: usize = 3;
        let letters = self.letters.get_or_init(|| self.find_letters());
        let block = |at: usize| self.sheet.sentences.get(at).map(|own| own.block());
        let own = block(made.sentence).filter(|own| letters.binary_search(own).is_ok());
        own.is_some_and(|own| {
            let answer = self.sheet.blocks.get(own + 1).map(Block::sentences);
            made.sentences.iter().all(|&at| block(at) == Some(own))
                && answer.is_some_and(|answer| {
                    !self.stands_behind(answer.start..answer.end.min(answer.start + FIRST))
                })
        })
    }

    /// The letters of such a column, in order.
    fn find_letters(&self) -> Vec<usize> {
        /// Fewest letters of a column.
        const LETTERS: usize = 3;
        /// Most bytes of their opening.
        const OPENING: usize = 40;
        let opening = |at: usize| {
            let words = self.sheet.blocks.get(at)?.span.of(self.text());
            let head = words.get(..words.floor_char_boundary(OPENING))?;
            let opening = head.get(..head.find(',')?)?;
            self.lists.letter_opening.begins(opening).then_some(opening)
        };
        let openings: Vec<(usize, &str)> = (0..self.sheet.blocks.len())
            .filter_map(|at| Some((at, opening(at)?)))
            .collect();
        let alike = |(_, own): &(usize, &str)| openings.first().is_some_and(|(_, one)| one == own);
        let says_no = |(at, _): &(usize, &str)| {
            let answer = self.sheet.blocks.get(at + 1).map(Block::sentences);
            answer.is_some_and(|answer| self.starts_with(answer.start, Class::DenyNext))
        };
        let column = self.apart
            && openings.len() >= LETTERS
            && openings.iter().all(alike)
            && openings.iter().any(says_no);
        let letters = openings.iter().map(|(at, _)| *at);
        letters.filter(|_| column).collect()
    }

    /// Whether the claim is what a question of a list quotes before its answer: “Q2 “Tin conducts better.” It does not.”
    pub(super) fn quoted_question(&self, made: &Match) -> bool {
        /// Sentences of an answer that are read for a yes.
        const ANSWER: usize = 12;
        let text = self.text();
        let Some(block) = (self.sheet.sentences.get(made.sentence))
            .and_then(|own| self.sheet.blocks.get(own.block()))
        else {
            return false;
        };
        let words = block.span.of(text);
        let end = words
            .find(|letter: char| !letter.is_alphabetic())
            .unwrap_or(words.len());
        let label = words.get(..end).unwrap_or("");
        self.lists.question_label.has(label)
            && self.in_quotes(made)
            && !self.stands_behind(
                made.sentence + 1..block.sentences().end.min(made.sentence + 1 + ANSWER),
            )
    }

    /// Whether the claim stands in a cell that is all quotation, beside which somebody says something of it.
    pub(super) fn quoted_cell(&self, made: &Match) -> bool {
        let Some(own) = self.sheet.sentences.get(made.sentence) else {
            return false;
        };
        let row = |block: usize| match self.sheet.blocks.get(block).map(|block| block.kind()) {
            Some(BlockKind::Cell { table, row, .. }) => Some((table, row)),
            _ => None,
        };
        let quoted = |block: usize| {
            let words = (self.sheet.blocks.get(block))
                .map_or("", |block| block.span.of(self.text()).trim());
            words.starts_with(['"', '“', '„', '«']) && words.ends_with(['"', '”', '“', '»'])
        };
        let beside = [own.block().checked_sub(1), Some(own.block() + 1)];
        row(own.block()).is_some()
            && quoted(own.block())
            && beside
                .into_iter()
                .flatten()
                .any(|other| row(other) == row(own.block()) && !quoted(other))
    }

    /// Whether the claim is an answer that tells what somebody said: “What does he say? That the treble gets there first.”
    pub(super) fn retold(&self, made: &Match) -> bool {
        const BACK: usize = 3;
        let first = made.first();
        let words = self.words(first).of(self.text());
        let name = (self.sheet.sentences.get(first))
            .and_then(|own| self.sheet.blocks.get(own.block()))
            .and_then(|block| block.speaker())
            .map_or("", |speaker| speaker.of(self.text()));
        let told = words.strip_prefix(name).unwrap_or(words);
        let told = told.trim_start_matches(|letter: char| !letter.is_alphabetic());
        // “That cables warm up. That the arrow matters.”: what is said somewhere, one after the other.
        let listed = |at: usize| {
            self.same_block(first, at) && self.words(at).of(self.text()).starts_with("That ")
        };
        told.starts_with("That ") && self.in_list_of_sayings(first)
            || told.starts_with("And that ") && self.in_list_of_sayings(first)
            || told.starts_with("That ")
                && ((first.saturating_sub(BACK)..first).any(|at| self.is_question(at))
                    || first.checked_sub(1).is_some_and(listed)
                    || listed(first + 1))
    }

    /// Whether a sentence begins a paragraph, in a document that goes through what is said somewhere, paragraph by paragraph: “That
    /// a lead must be played for weeks. I logged one for two months.” “That silver is bright. …”
    fn in_list_of_sayings(&self, sentence: usize) -> bool {
        /// Fewest of them.
        const FEWEST: usize = 3;
        /// What stands behind a “that” which points back, and opens no clause.
        const POINTING: [&str; 18] = [
            "is", "was", "has", "had", "does", "did", "will", "would", "can", "could", "may",
            "means", "makes", "leaves", "said", "one", "way", "sort",
        ];
        let opens = |words: &str| {
            let clause = words
                .strip_prefix("That ")
                .or(words.strip_prefix("And that "));
            clause.is_some_and(|clause| {
                let next = clause.split(|letter: char| !letter.is_alphabetic()).next();
                next.is_some_and(|next| !POINTING.contains(&next))
            })
        };
        let sayings = self.sayings.get_or_init(|| {
            let starts = self
                .sheet
                .blocks
                .iter()
                .map(|block| block.sentences().start);
            let found: Vec<usize> = starts
                .filter(|&at| opens(self.words(at).of(self.text())))
                .collect();
            if found.len() >= FEWEST {
                found
            } else {
                Vec::new()
            }
        });
        sayings.binary_search(&sentence).is_ok()
    }

    /// “Does it need time to settle?” – “No. People need time: you listen hard, and next week it has smoothed out”: what an answer
    /// that begins with a no explains is no claim, where the question is about it; `words` are those that a rule has of its own.
    pub(in crate::claims) fn explained_behind_no<'w>(
        &self,
        found: &mut [(Match, Stance)],
        words: impl Fn(usize) -> &'w [ConceptId],
    ) {
        /// Sentences of an answer behind its no.
        const ANSWER: usize = 4;
        // The question above an answer in another voice, and where the answer begins.
        let exchange = |at: usize| {
            let own = self.sheet.sentences.get(at)?.block();
            let block = self.sheet.blocks.get(own)?;
            let first = block.sentences().start;
            let above = self.sheet.blocks.get(own.checked_sub(1)?)?;
            let asked = above.sentences().end.checked_sub(1)?;
            let other = block.speaker().is_some()
                && self.voice(block.speaker()) != self.voice(above.speaker());
            (other && at <= first + ANSWER).then_some((asked, first))
        };
        for (made, stance) in found.iter_mut().filter(|(_, stance)| !silent(*stance)) {
            if let Some((asked, first)) = exchange(made.sentence)
                && self.denies_flatly(first)
                && self.asks_plainly(asked)
                && !self.asks_whether_at_once(asked)
                && self
                    .hits
                    .saying_any(asked, words(made.rule))
                    .next()
                    .is_some()
            {
                *stance = Stance::Denied;
            }
        }
    }

    /// Whether a question is answered by a no where the claim is made: “Is it right from the first day?”
    fn asks_whether_at_once(&self, sentence: usize) -> bool {
        let words = self.words(sentence).of(self.text()).to_lowercase();
        self.lists.asks_at_once.within(&words)
    }

    /// Whether a sentence begins with a no, or is one and hardly more: “No.”, “Not at all.”
    fn denies_flatly(&self, sentence: usize) -> bool {
        /// Words of such a sentence, with the name of who speaks.
        const WORDS: usize = 6;
        let words = self.words(sentence).of(self.text());
        let short = words.split_whitespace().nth(WORDS).is_none();
        self.cues_of(sentence, Class::DenyNext)
            .any(|cue| short || cue.first <= 1)
    }

    /// Whether a sentence is running text, no heading.
    pub(super) fn speaks(&self, sentence: usize) -> bool {
        self.sheet
            .sentences
            .get(sentence)
            .and_then(|sentence| self.sheet.blocks.get(sentence.block()))
            .is_some_and(|block| !matches!(block.kind(), BlockKind::Heading { .. }))
    }
}
