//! Records of an export that describe one cable each: fields with the same keys that come again and again. Knows keys, roles of
//! quantities and the lists of keys that hold names.

use super::Reader;
use super::tables::TableLine;
use crate::facts::roles::Role;
use crate::sheet::{Block, BlockKind};
use crate::span::Span;
use rustc_hash::FxHashSet;
use std::ops::Range;

/// Longest value that is taken for a name.
const LONGEST_NAME: usize = 60;

impl Reader<'_> {
    /// Runs of records that describe cables become entries.
    pub(super) fn records(&mut self) {
        let sheet = self.sheet;
        let mut taken: FxHashSet<String> = FxHashSet::default();
        for run in &sheet.records {
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
                self.in_lines.insert(entry);
                self.lines.push(TableLine::row(entry));
                // The title of a record stands before its first field.
                let title = record.start.checked_sub(1).filter(|&title| {
                    let block = &sheet.blocks[title];
                    block.key.is_none() && !matches!(block.kind, BlockKind::Cell { .. })
                });
                for block in title.into_iter().chain(record.clone()) {
                    self.record_at.insert(block, entry);
                }
            }
        }
    }

    /// Whether the fields of a record hold what a cable has; with `measured`, what a cable is measured by.
    fn describes(&self, record: &Range<usize>, measured: bool) -> bool {
        let blocks = self.sheet.blocks.get(record.clone()).unwrap_or(&[]);
        blocks.iter().any(|block| {
            let within = self.first_in[block.sentences.start]..self.first_in[block.sentences.end];
            within.into_iter().any(|quantity| {
                !measured
                    || matches!(
                        self.roles[quantity],
                        Role::Size | Role::Run | Role::Figure(_)
                    )
            })
        })
    }

    /// The name of each record; nothing when the fields do not tell things apart.
    fn names(&self, run: &[Range<usize>]) -> Option<Vec<Option<String>>> {
        let keys = self.keys(run.first()?);
        let lists = self.terms.lists;
        let named = lists.record_name.entries().map(|key| self.column(run, key));
        let titled = std::iter::once_with(|| self.titles(run));
        let coded = lists.record_code.entries().map(|key| self.column(run, key));
        let found = named.chain(titled).chain(coded).find(|column| {
            column.iter().flatten().count() * 3 >= run.len() * 2 && distinct(column)
        });
        if found.is_some() {
            return found;
        }
        // The key with which each record begins: a value that is another in each, and no amount.
        let lead = keys.first()?;
        let column = self.column(run, lead);
        if column.iter().all(Option::is_some) && distinct(&column) && !self.of_setup(run) {
            return Some(column);
        }
        // A size begins each: every one is of a cable of its own, whatever that is called.
        let sized = run.iter().all(|record| {
            let block = &self.sheet.blocks[record.start];
            (self.first_in[block.sentences.start]..self.first_in[block.sentences.end])
                .any(|quantity| self.roles[quantity] == Role::Size)
        });
        sized.then(|| vec![None; run.len()])
    }

    /// What stands above the fields of each record, where it can be a name.
    fn titles(&self, run: &[Range<usize>]) -> Vec<Option<String>> {
        run.iter()
            .map(|record| {
                let block = self.sheet.blocks.get(record.start.checked_sub(1)?)?;
                let prose = matches!(block.kind, BlockKind::Heading { .. } | BlockKind::Paragraph);
                let title = block.span.of(self.text()).trim().trim_end_matches(':');
                (block.key.is_none() && prose)
                    .then(|| self.name(block, title))
                    .flatten()
            })
            .collect()
    }

    /// The words of a block as a name: short, with a letter in it, and no amount.
    fn name(&self, block: &Block, words: &str) -> Option<String> {
        let within = self.first_in[block.sentences.start]..self.first_in[block.sentences.end];
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
            .filter_map(|block| block.key)
            .map(|key| key.of(self.text()).trim().to_lowercase())
            .collect()
    }

    /// What each record has under a key, where it can be a name.
    fn column(&self, run: &[Range<usize>], wanted: &str) -> Vec<Option<String>> {
        run.iter()
            .map(|record| {
                let blocks = self.sheet.blocks.get(record.clone())?;
                let block = blocks.iter().find(|block| {
                    block
                        .key
                        .is_some_and(|key| key.of(self.text()).trim().to_lowercase() == wanted)
                })?;
                let value = Span::new(block.key?.end, block.span.end).of(self.text());
                self.name(block, value.trim_start_matches([':', '=', ' ']).trim())
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
            let sentences = self.sheet.blocks[record.start].sentences.clone();
            sentences
                .into_iter()
                .any(|at| setup.iter().any(|&concept| self.hits.say(at, concept)))
        })
    }
}

/// Whether the values are not all the same.
fn distinct(column: &[Option<String>]) -> bool {
    let values: FxHashSet<&str> = column.iter().flatten().map(String::as_str).collect();
    values.len() >= 2 && values.len() * 3 >= column.len()
}
