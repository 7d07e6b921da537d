//! A series of quotations, each with the author's answer below or behind it: slides, counter questions, adverts gone through one by
//! one. Who answers some of them with a no has quoted none of them because he stands behind it.

use super::{Class, Match, NEAR_START, Reader};
use crate::claims::silent;
use crate::finding::Stance;
use crate::sheet::BlockKind;
use crate::span::Span;
use std::ops::Range;

/// Fewest quotations of a series.
const FEWEST: usize = 3;
/// Fewest answers that say no.
const NOES: usize = 2;
/// One in so many answers says no.
const SHARE: usize = 4;
/// Sentences of an answer that are read.
const ANSWER: usize = 3;
/// Blocks between a quotation and the next one: more is no series.
const APART: usize = 12;
/// Most bytes ahead of the quotation: a number, a letter, a date.
const LABEL: usize = 16;
/// Most words behind the quotation in a block that has its answer elsewhere: who said so.
const TAIL: usize = 6;

/// A quotation of a series and its answer.
#[derive(Debug, Clone)]
pub(super) struct Turn {
    /// What is quoted.
    quote: Span,
    /// The sentences of the answer.
    answer: Range<usize>,
}

impl Reader<'_> {
    /// Whether the claim stands in a quotation of such a series, and its answer does not stand behind it.
    pub(super) fn gone_through(&self, made: &Match) -> bool {
        let turns = self.series.get_or_init(|| self.find_series());
        let after = turns.partition_point(|turn| turn.quote.start() <= made.span.start());
        let turn = after.checked_sub(1).and_then(|at| turns.get(at));
        turn.is_some_and(|turn| {
            // Words of the answer may go on about what is quoted.
            turn.quote
                .contains(Span::new(made.span.start(), made.span.start()))
                && !self.stands_behind(turn.answer.clone())
        })
    }

    /// Whether the claim stands in a quotation with which its block begins, and the block ends with one word that calls it false:
    /// “(c) ‘Ready from day one.’ Nothing was found. Misleading.”
    pub(super) fn judged_at_the_end(&self, made: &Match) -> bool {
        let own = self.sheet.sentences.get(made.sentence);
        let Some(at) = own.map(|own| own.block()) else {
            return false;
        };
        let Some(block) = self.sheet.blocks.get(at) else {
            return false;
        };
        let Some(last) = block.sentences().end.checked_sub(1) else {
            return false;
        };
        let verdict = self.words(last).of(self.text());
        let verdict = verdict.trim_matches(|sign: char| !sign.is_alphanumeric());
        last > made.sentence
            && self.lists.verdict_false.has(&verdict.to_lowercase())
            && self.turn(at).is_some_and(|turn| {
                turn.quote.start() <= made.span.start() && made.span.start() < turn.quote.end()
            })
    }

    /// All turns of the series; their answers count each where the document offers nothing.
    fn find_series(&self) -> Vec<Turn> {
        let mut all: Vec<Turn> = Vec::new();
        let mut run: Vec<(usize, Turn)> = Vec::new();
        for block in 0..self.sheet.blocks.len() {
            let Some(turn) = self.turn(block) else {
                continue;
            };
            if run.last().is_some_and(|(last, _)| block - last > APART) {
                self.close(&mut run, &mut all);
            }
            run.push((block, turn));
        }
        self.close(&mut run, &mut all);
        all
    }

    /// Keeps a run that is long enough and has answers that say no.
    fn close(&self, run: &mut Vec<(usize, Turn)>, all: &mut Vec<Turn>) {
        let noes = run.iter().filter(|(_, turn)| self.says_no(turn)).count();
        if self.apart && run.len() >= FEWEST && noes >= NOES && noes * SHARE >= run.len() {
            all.extend(run.drain(..).map(|(_, turn)| turn));
        } else if run.len() >= FEWEST
            && let Some(answer) = run.last().and_then(|(last, _)| self.says_no_to_all(*last))
        {
            let turns = run.drain(..).map(|(_, turn)| turn);
            all.extend(turns.map(|turn| Turn {
                answer: answer.clone(),
                ..turn
            }));
        }
        run.clear();
    }

    /// The sentences behind a list of quotations that deny all of them at once: “Not one of them survived a measurement”.
    fn says_no_to_all(&self, last: usize) -> Option<Range<usize>> {
        /// Blocks behind the last quotation, the first of which may be a label.
        const BEHIND: usize = 3;
        (last + 1..=last + BEHIND).find_map(|at| {
            let block = self.sheet.blocks.get(at)?;
            let first = block.sentences().start;
            let answer = first..block.sentences().end.min(first + ANSWER);
            let denies = answer.clone().any(|at| {
                let words = self.words(at).of(self.text()).to_lowercase();
                self.lists.series_denied.within(&words)
            });
            denies.then_some(answer)
        })
    }

    /// "'Tin lowers the resistance.' It doesn't; tin keeps the copper clean": what an answer says of a claim that it denies is no claim
    /// either, where it shares words with what is quoted or goes through a series of quotations.
    pub(in crate::claims) fn denied_in_quotes(&self, found: &mut [(Match, Stance)]) {
        // What is quoted and denied, by its rule: the sentence, the words, and whether it is one of a series.
        let denied: Vec<(usize, usize, Vec<Span>, bool)> = found
            .iter()
            .filter(|(made, stance)| *stance == Stance::Denied && self.in_quotes(made))
            .map(|(made, _)| {
                let end = self.quote_end(made).unwrap_or(0);
                let words = made.hits.iter().map(|(_, hit)| hit.span);
                let quoted = words.filter(|span| span.end() <= end).collect();
                (made.rule, made.sentence, quoted, self.gone_through(made))
            })
            .collect();
        for (made, stance) in found.iter_mut().filter(|(_, stance)| !silent(*stance)) {
            let answers = |(rule, at, quoted, series): &(usize, usize, Vec<Span>, bool)| {
                let shares = || made.hits.iter().any(|(_, hit)| quoted.contains(&hit.span));
                *rule == made.rule
                    && (*at..=*at + ANSWER).contains(&made.sentence)
                    && self.same_block(*at, made.sentence)
                    && (*series || shares())
            };
            if denied.iter().any(answers) {
                *stance = Stance::Denied;
            }
        }
    }

    /// Whether the answer begins with a denial.
    fn says_no(&self, turn: &Turn) -> bool {
        /// Words of an answer that says hardly more than no: “Charming, and false.”
        const BARE: usize = 4;
        turn.answer.clone().take(2).any(|at| {
            let words = self.words(at).of(self.text()).split_whitespace();
            let bare = words.take(BARE + 1).count() <= BARE;
            self.cues(at).iter().any(|cue| match cue.class {
                Class::DenyNext => cue.first <= 1 || bare,
                Class::DenyAll | Class::DenyBack | Class::DenyClause => cue.first <= NEAR_START,
                _ => false,
            })
        })
    }

    /// The quotation with which a block begins, and its answer, in the same block or in the one below it.
    fn turn(&self, at: usize) -> Option<Turn> {
        let text = self.text();
        let block = self.sheet.blocks.get(at)?;
        if matches!(block.kind(), BlockKind::Cell { .. }) {
            return None;
        }
        let after = self
            .quotes
            .partition_point(|quote| quote.start() < block.span.start());
        let quote = *self.quotes.get(after)?;
        let ahead = Span::new(block.span.start(), quote.start().max(block.span.start())).of(text);
        if quote.end() > block.span.end() || ahead.len() > LABEL {
            return None;
        }
        let own = block.sentences();
        let tail = Span::new(quote.end(), block.span.end().max(quote.end())).of(text);
        let tail = tail.trim_start_matches(['"', '”', '»', ' ', '\n']);
        // “… and body.” — brochure, on the back
        let signed =
            tail.starts_with(['-', '–', '—']) && tail.split_whitespace().nth(TAIL).is_none();
        let behind = (own.clone())
            .find(|&at| self.words(at).start() >= quote.end())
            .filter(|_| !signed);
        if let Some(first) = behind {
            return Some(Turn {
                quote,
                answer: first..own.end.min(first + ANSWER),
            });
        }
        if tail.split_whitespace().nth(TAIL).is_some() {
            return None;
        }
        let below = self.sheet.blocks.get(at + 1)?;
        let answers = below.span.of(text);
        let quoted = answers.starts_with(['"', '“', '„', '«']);
        (!quoted && !matches!(below.kind(), BlockKind::Cell { .. })).then(|| Turn {
            quote,
            answer: below.sentences().start
                ..below.sentences().end.min(below.sentences().start + ANSWER),
        })
    }
}
