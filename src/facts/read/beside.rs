//! Whether cables are set side by side in whatever words: one is put above another in one sentence, what was read off a meter
//! through each stands together, a part of one is said to have made the difference, or two columns of a table are judged. Knows what the
//! document says, and not yet whose it is.

use super::Reader;
use crate::facts::roles::Role;
use crate::facts::{comparison, roster, verdict};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;

/// Rows of a table that sets two cables side by side.
const ROWS: usize = 24;

/// Sentences in which two cables are called that are set side by side.
const CALLED: usize = 4;
/// Sentences of a test from there to what is said to have made the difference.
const TOLD: usize = 12;

impl Reader<'_> {
    /// Whether the document sets its cables side by side, told by what it says of two of them together; `roles`: those that are known
    /// by a role alone.
    pub(super) fn sets_beside(&self, roles: usize) -> bool {
        let sides = self.roster.named().len() + roles;
        if sides < 2 {
            return false;
        }
        let credits = |at: usize| self.is_prose(at) && comparison::credits(self, at);
        let sentences = || 0..self.sheet.sentences.len();
        let credited = || {
            let terms = self.terms;
            let may = [
                terms.attributed,
                terms.credit_cue,
                terms.credit_back,
                terms.credit_works,
            ];
            may.iter().any(|&concept| self.hits.anywhere(concept)) && sentences().any(credits)
        };
        let columns = self.two_columns();
        if columns
            .iter()
            .any(|&table| self.judged_row(table).is_some())
        {
            return true;
        }
        if !credited() {
            return false;
        }
        // Both are called where they are set side by side, and soon after that somebody says what made the difference.
        let beside = || {
            let terms = self.terms;
            let all = self.sheet.sentences.len();
            let both = |at: usize| {
                let passage = at..all.min(at + CALLED);
                let rival = passage.clone().any(|near| {
                    let roles = [terms.theirs, terms.other];
                    roles.iter().any(|&role| self.hits.say(near, role))
                        || roster::rivals(self.text(), self.hits, &terms, near)
                            .next()
                            .is_some()
                });
                let mut called: Vec<usize> =
                    passage.flat_map(|near| self.called_in(near)).collect();
                called.sort_unstable();
                called.dedup();
                called.len() + usize::from(rival) >= 2
            };
            self.hits.anywhere(terms.set_beside)
                && sentences().any(|at| {
                    self.is_prose(at)
                        && self.hits.say(at, terms.set_beside)
                        && both(at)
                        && (at..all.min(at + TOLD)).any(credits)
                })
        };
        let heard = |at: usize| {
            let said = |concept| self.hits.say(at, concept);
            said(self.terms.strong)
                || said(self.terms.listened) && !verdict::words(self, at).is_empty()
        };
        let named = |at: usize, least: usize| self.called_in(at).len() >= least;
        let put_above = || {
            sentences().any(|at| {
                self.is_prose(at)
                    && self.hits.say(at, self.terms.sound)
                    && self.hits.say(at, self.terms.versus)
                    && named(at, 2)
                    && !verdict::words(self, at).is_empty()
            })
        };
        let metered = || {
            sentences().any(|at| {
                let read = self.in_sentence(at);
                let volts = read.filter(|&index| self.roles[index] == Role::Voltage);
                self.is_prose(at)
                    && volts.take(2).count() == 2
                    && self.hits.say(at, self.terms.metered)
                    && named(at, 2)
            })
        };
        (self.lines.is_empty() && beside())
            || columns.iter().any(|&table| self.metered_columns(table))
            || (!columns.is_empty()
                && sentences().any(|at| self.is_prose(at) && heard(at) && named(at, 1)))
            || put_above()
            || metered()
    }

    /// Whether a sentence is running text.
    fn is_prose(&self, sentence: usize) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        !matches!(
            block.kind(),
            BlockKind::Heading { .. } | BlockKind::Cell { .. }
        ) && !self.endless(sentence)
    }

    /// The cables that a sentence calls by their names.
    fn called_in(&self, sentence: usize) -> Vec<usize> {
        let span = self.sheet.sentences[sentence].span;
        let mut called: Vec<usize> = self
            .roster
            .called(&self.terms, self.text(), span)
            .into_iter()
            .filter_map(|mention| match mention.means {
                roster::Means::Entry(entry) => Some(entry),
                _ => None,
            })
            .collect();
        called.sort_unstable();
        called.dedup();
        called
    }

    /// Whether a column of a table describes one cable.
    fn is_column_line(&self, table: usize, column: usize) -> bool {
        let line = self
            .line_at
            .get(&(table, column))
            .map(|&line| &self.lines[line]);
        line.is_some_and(|line| !line.by_row)
    }

    /// Tables whose columns are two cables and nothing else.
    fn two_columns(&self) -> Vec<usize> {
        let tables = self.sheet.tables.iter().enumerate();
        tables
            .filter(|(at, table)| {
                let columns = table.cells.iter().map(Vec::len).max().unwrap_or(0);
                columns == 3
                    && table.cells.len() <= ROWS
                    && self.cables_in.get(at) == Some(&2)
                    && (1..columns).all(|column| self.is_column_line(*at, column))
            })
            .map(|(at, _)| at)
            .collect()
    }

    /// The row of a table of two columns that tells of each what came of it, in words that differ: “brightness: white, yellow”.
    pub(in crate::facts) fn judged_row(&self, table: usize) -> Option<Span> {
        let table = self.sheet.tables.get(table)?;
        let words = |cell: Option<usize>| {
            let block = &self.sheet.blocks[cell?];
            let plain = block
                .sentences()
                .all(|at| self.in_sentence(at).next().is_none());
            let words = block.span.of(self.text()).trim().to_lowercase();
            (plain && words.contains(char::is_alphabetic)).then_some(words)
        };
        let told = self.terms.lists.verdict_key;
        table.cells.iter().take(ROWS).skip(1).find_map(|row| {
            let &[Some(key), one, other] = row.as_slice() else {
                return None;
            };
            let key = self.sheet.blocks[key].span.of(self.text()).to_lowercase();
            let judged = key
                .split(|letter: char| !letter.is_alphabetic())
                .any(|word| told.has(word));
            let cells = words(one).zip(words(other));
            let differ = judged && cells.is_some_and(|(one, other)| one != other);
            let whole = || {
                let blocks = &self.sheet.blocks;
                Some(blocks[one?].span.join(blocks[other?].span))
            };
            differ.then(whole).flatten()
        })
    }

    /// Whether a row of a table of two columns gives what a meter read at the far end of each.
    fn metered_columns(&self, table: usize) -> bool {
        let Some(table) = self.sheet.tables.get(table) else {
            return false;
        };
        let read = |cell: Option<usize>| {
            cell.is_some_and(|cell| {
                let sentences = self.sheet.blocks[cell].sentences();
                let mut own = sentences.flat_map(|at| self.in_sentence(at));
                let kinds = [Kind::Voltage, Kind::Power, Kind::LevelDb];
                own.any(|index| kinds.contains(&self.sheet.quantities[index].kind))
            })
        };
        table.cells.iter().take(ROWS).skip(1).any(|row| {
            let &[Some(key), one, other] = row.as_slice() else {
                return false;
            };
            let mut key = self.sheet.blocks[key].sentences();
            key.any(|at| self.hits.say(at, self.terms.metered)) && read(one) && read(other)
        })
    }
}
