//! Records of an export that describe one cable each: fields with the same keys that come again and again. Knows keys, roles of
//! quantities and the lists of keys that hold names.

use super::tables::TableLine;
use super::{Owner, Reader};
use crate::facts::roles::Role;
use crate::facts::roster;
use crate::lexicon::is_lowered;
use crate::sheet::{Block, BlockKind};
use crate::span::Span;
use rustc_hash::FxHashSet;
use std::ops::Range;

/// Longest value that is taken for a name.
const LONGEST_NAME: usize = 60;
/// Longest name that the roster keeps.
const LONGEST_CALLED: usize = 40;

impl Reader<'_> {
    /// Runs of records that describe cables become entries.
    pub(super) fn records(&mut self) {
        let sheet = self.sheet;
        let mut taken: FxHashSet<String> = FxHashSet::default();
        for run in &sheet.records {
            // "Gauge" over "Calder: 12 AWG", "Length" over "Calder: 5 m": the fields are of cables, and the record of none.
            let property = |record: &Range<usize>| {
                roster::property_over(sheet, &self.terms, record.start).is_some()
            };
            if run.iter().all(property) {
                continue;
            }
            let describing = run
                .iter()
                .filter(|record| self.describes(record, true))
                .count();
            if describing < 2 {
                continue;
            }
            let Some(names) = self.names(run) else {
                continue;
            };
            for (record, name) in run.iter().zip(names) {
                if !self.describes(record, false) {
                    continue;
                }
                let key = format!("record {}", record.start);
                let entry = match name {
                    // Another record of the same name is another thing.
                    Some(name) if taken.insert(name.to_lowercase()) => {
                        self.roster.add_line(&name, &key)
                    }
                    Some(name) => self.roster.add_new(&name, &key),
                    None => self.roster.add_new("", &key),
                };
                self.in_lines.of(entry).by_row = true;
                self.lines.push(TableLine::row(entry));
                // The title of a record stands before its first field.
                let title = record.start.checked_sub(1).filter(|&title| {
                    let block = &sheet.blocks[title];
                    (block.key().is_none() || self.position(block).is_some())
                        && !matches!(block.kind(), BlockKind::Cell { .. })
                });
                // The next position ends it, though other fields follow there: “POS. 6.5   Amplifier rack”.
                let end = (record.start + 1..record.end)
                    .find(|&at| self.position(&sheet.blocks[at]).is_some())
                    .unwrap_or(record.end);
                for block in title.into_iter().chain(record.start..end) {
                    self.record_at.insert(block, entry);
                }
            }
        }
    }

    /// Whether the fields of a record hold what a cable has; with `measured`, what a cable is measured by.
    fn describes(&self, record: &Range<usize>, measured: bool) -> bool {
        let blocks = self.sheet.blocks.get(record.clone()).unwrap_or(&[]);
        blocks.iter().any(|block| {
            let within =
                self.first_in(block.sentences().start)..self.first_in(block.sentences().end);
            within.into_iter().any(|quantity| {
                !measured
                    || matches!(
                        self.roles[quantity],
                        Role::Size | Role::Run | Role::Figure(_)
                    )
            })
        })
    }

    /// Records of several sizes have no resistance in common: one that is told of all outside them belongs to none.
    pub(super) fn leave_shared_figures(&mut self) {
        let entries: FxHashSet<usize> = self.record_at.numbers().collect();
        let sizes: Vec<f64> = (0..self.owners.len())
            .filter(|&index| self.roles[index] == Role::Size)
            .filter(|&index| {
                matches!(self.owners.at(index), Owner::One(entry) if entries.contains(&entry))
            })
            .filter_map(|index| self.sheet.quantities[index].si())
            .collect();
        let several = sizes
            .iter()
            .any(|&size| super::ratio(Some(size), sizes.first().copied()) > 1.02);
        if !several {
            return;
        }
        for index in 0..self.owners.len() {
            let shared = matches!(self.owners.at(index), Owner::All | Owner::Two(..));
            if shared && matches!(self.roles[index], Role::Figure(_)) {
                self.owners.set(index, Owner::Nobody);
            }
        }
    }

    /// The name of each record; nothing when the fields do not tell cables apart.
    fn names(&self, run: &[Range<usize>]) -> Option<Vec<Option<String>>> {
        let keys = self.keys(run.first()?);
        let lists = self.terms.lists;
        // Who chose what: the records are of people.
        if keys.iter().any(|key| lists.record_person.has(key)) {
            return None;
        }
        let named = lists.record_name.entries().map(|key| self.column(run, key));
        let titled = std::iter::once_with(|| self.titles(run));
        let found = named.chain(titled).find(|column| {
            column.iter().flatten().count() * 3 >= run.len() * 2 && distinct(column)
        });
        if found.is_some() {
            return found;
        }
        // Codes, and the key with which each record begins: another name or number in each, and no plain word such as `screen`.
        let coded = lists.record_code.entries().map(|key| self.column(run, key));
        let led = std::iter::once_with(|| keys.first().map(|lead| self.column(run, lead)))
            .flatten()
            .filter(|column| column.iter().all(Option::is_some) && !self.of_setup(run));
        let found = coded.chain(led).find(|column| {
            column.iter().flatten().count() * 3 >= run.len() * 2
                && distinct(column)
                && column.iter().flatten().all(|name| is_proper(name))
        });
        if found.is_some() {
            return found;
        }
        // Each has a size under the same key: every one is of a cable of its own, whatever that is called.
        let sized = keys.iter().any(|key| {
            let sizes: Vec<Option<f64>> = run
                .iter()
                .map(|record| self.size_under(record, key))
                .collect();
            let first = sizes.first().copied().flatten();
            sizes.iter().flatten().count() * 3 >= run.len() * 2
                && sizes
                    .iter()
                    .flatten()
                    .any(|&size| super::ratio(Some(size), first) > 1.02)
        });
        sized.then(|| vec![None; run.len()])
    }

    /// The size that a record has under a key.
    fn size_under(&self, record: &Range<usize>, wanted: &str) -> Option<f64> {
        let blocks = self.sheet.blocks.get(record.clone())?;
        let block = blocks.iter().find(|block| self.is_under(block, wanted))?;
        (self.first_in(block.sentences().start)..self.first_in(block.sentences().end))
            .find(|&quantity| self.roles[quantity] == Role::Size)
            .and_then(|quantity| self.sheet.quantities[quantity].si())
    }

    /// Whether a block has that key.
    fn is_under(&self, block: &Block, wanted: &str) -> bool {
        block.key().is_some_and(|key| {
            let key = key.of(self.text());
            // Most keys are told apart by their first letters.
            let apart = match (key.bytes().next(), wanted.bytes().next()) {
                (Some(own), Some(other)) if own.is_ascii_alphanumeric() => {
                    own.to_ascii_lowercase() != other
                }
                _ => false,
            };
            !apart && is_lowered(key.trim(), wanted)
        })
    }

    /// What stands above the fields of each record, where it can be a name.
    fn titles(&self, run: &[Range<usize>]) -> Vec<Option<String>> {
        run.iter()
            .map(|record| {
                let block = self.sheet.blocks.get(record.start.checked_sub(1)?)?;
                let prose = matches!(
                    block.kind(),
                    BlockKind::Heading { .. } | BlockKind::Paragraph
                );
                let title = block.span.of(self.text()).trim().trim_end_matches(':');
                (block.key().is_none() && prose)
                    .then(|| self.name(block, title))
                    .flatten()
                    .or_else(|| self.position(block))
            })
            .collect()
    }

    /// The number under which an offer or a bill has what follows: “POS. 6.1   Line to the far horn”.
    pub(super) fn position(&self, block: &Block) -> Option<String> {
        let key = block
            .key()?
            .of(self.text())
            .trim()
            .trim_end_matches([':', '.']);
        let mut words = key.split_whitespace();
        let (noun, number) = (words.next()?, words.next()?);
        let plain = noun.trim_end_matches('.').to_lowercase();
        (words.next().is_none()
            && number.starts_with(|letter: char| letter.is_ascii_digit())
            && self.terms.lists.record_position.has(&plain))
        .then(|| key.to_owned())
    }

    /// The words of a block as a name: short, with a letter in it, and no amount.
    fn name(&self, block: &Block, words: &str) -> Option<String> {
        let within = self.first_in(block.sentences().start)..self.first_in(block.sentences().end);
        let covered: usize = within
            .map(|quantity| self.sheet.quantities[quantity].span.len())
            .sum();
        (!words.is_empty()
            && words.len() <= LONGEST_NAME
            && words.chars().any(char::is_alphabetic)
            && !words.ends_with(['.', '!', '?'])
            && covered * 2 <= words.len())
        .then(|| words.to_owned())
    }

    /// The keys of a record in their order.
    fn keys(&self, record: &Range<usize>) -> Vec<String> {
        let blocks = self.sheet.blocks.get(record.clone()).unwrap_or(&[]);
        blocks
            .iter()
            .filter_map(|block| block.key())
            .map(|key| key.of(self.text()).trim().to_lowercase())
            .collect()
    }

    /// What each record has under a key, where it can be a name.
    fn column(&self, run: &[Range<usize>], wanted: &str) -> Vec<Option<String>> {
        run.iter()
            .map(|record| {
                let blocks = self.sheet.blocks.get(record.clone())?;
                let block = blocks.iter().find(|block| self.is_under(block, wanted))?;
                let value = Span::new(block.key()?.end(), block.span.end()).of(self.text());
                let value = value.trim_start_matches([':', '=', ' ']).trim();
                // "Tarnside TS-122, two-conductor, bare copper": what it is stands behind its name.
                let end = value
                    .find([',', ';', '('])
                    .filter(|_| value.len() > LONGEST_CALLED);
                let name = end.and_then(|end| value.get(..end)).unwrap_or(value);
                self.name(block, name.trim_end())
            })
            .collect()
    }

    /// Whether the field with which a record begins says on what a cable hung, and not which one it was.
    fn of_setup(&self, run: &[Range<usize>]) -> bool {
        let terms = &self.terms;
        let setup = [
            terms.amplifier,
            terms.speaker,
            terms.lamp,
            terms.supply,
            terms.z_load,
            terms.copper,
            terms.silver,
            terms.aluminium,
            terms.cca,
        ];
        run.iter().any(|record| {
            let sentences = self.sheet.blocks[record.start].sentences();
            // "Hessle speaker cable" says what it is, and hangs on no loudspeaker.
            let of_cable = |at: usize, words: Span| {
                let mut cables = self.hits.saying(at, terms.cable);
                cables.any(|hit| hit.span.contains(words) || hit.span.start() == words.end() + 1)
            };
            sentences.into_iter().any(|at| {
                let mut said = self.hits.saying_any(at, &setup);
                said.any(|hit| !of_cable(at, hit.span))
            })
        })
    }
}

/// Whether a name is more than a plain word: it has a capital or a digit.
fn is_proper(name: &str) -> bool {
    name.contains(|letter: char| letter.is_uppercase() || letter.is_ascii_digit())
}

/// Whether the values are not all the same.
fn distinct(column: &[Option<String>]) -> bool {
    let values: FxHashSet<&str> = column.iter().flatten().map(String::as_str).collect();
    values.len() >= 2 && values.len() * 3 >= column.len()
}
