//! One walk over the sheet that gives each fact to the cable it belongs to.
//!
//! Long: the walk is one state that every step reads and changes; a part of it in another file would see all of it.

use super::context::{Around, key_sentences};
use super::count;
use super::roles::{Role, role};
use super::roster::{self, Means, Mention, Roster, is_size};
use super::terms::Terms;
use super::types::{
    Build, Cable, Drive, Fact, Facts, Figure, FigureKind, Load, LoadKind, Notation, Reading, Size,
    SizeOf,
};
use super::{bound, bundles, comparison, described, offers, procedure, score, uses, verdict};
use crate::lexicon::{Hits, Lexicon, tokenize};
use crate::sheet::{BlockKind, Bound, Kind, Quantity, Sheet};
use crate::span::Span;
use crate::units::{Ampere, Celsius, Hertz, Metre, Ohm, SquareMetre, Volt, Watt};
use rustc_hash::{FxHashMap, FxHashSet};

/// Whom a fact is given to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Owner {
    /// That entry of the roster.
    One(usize),
    /// Two entries and no more.
    Two(usize, usize),
    /// Every entry.
    All,
    /// Nobody can tell.
    Nobody,
}

/// The state of the walk.
pub(super) struct Reader<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) hits: &'a Hits,
    pub(super) terms: Terms,
    pub(super) roster: Roster,
    /// Sentence of each quantity.
    pub(super) sentence_of: Vec<usize>,
    /// Quantities of each sentence, as a range of indices.
    first_in: Vec<usize>,
    /// Role of each quantity.
    pub(super) roles: Vec<Role>,
    /// Owner of each quantity.
    pub(super) owners: Vec<Owner>,
    /// Entry of a table cell: by table, row and column.
    lines: Vec<TableLine>,
    /// The same by table and by place in it.
    line_at: FxHashMap<(usize, usize), usize>,
    /// Entries that are lines.
    in_lines: FxHashSet<usize>,
    /// Class of IEC 60228 that each block names.
    classes: Vec<Option<(u8, Span)>>,
    /// Copies that facts about all cables may still make.
    spread: std::cell::Cell<usize>,
    /// Whether running text sets cables side by side, so that words such as `ours` and `both` mean one of them.
    pub(super) comparative: bool,
    /// Numbers that the document denies, with their sentence.
    denied: Vec<(usize, f64)>,
    /// Mentions of each sentence, resolved to entries.
    pub(super) resolved: Vec<Vec<(Span, Owner)>>,
    pub(super) facts: Facts,
}

/// A row or a column of a table that describes one cable.
#[derive(Debug, Clone, Copy)]
struct TableLine {
    by_row: bool,
    entry: usize,
}

/// Whose the sizes of each section are: one owner, or `None` when there are several.
struct Sections {
    of: FxHashMap<usize, Option<Owner>>,
    /// No cable is mentioned anywhere.
    unnamed: bool,
}

/// "Class 5", when the words speak of conductors (and no listing or lesson): in the span.
fn class_in(text: &str, span: Span) -> Option<(u8, Span)> {
    let words = span.of(text);
    // Most blocks name no class, and are told at a glance.
    memchr::memchr2_iter(b'l', b'L', words.as_bytes())
        .any(|at| {
            words
                .as_bytes()
                .get(at..at + 5)
                .is_some_and(|word| word.eq_ignore_ascii_case(b"lass "))
        })
        .then_some(())?;
    let lower = words.to_ascii_lowercase();
    let at = lower.find("class ")?;
    let digit = lower.as_bytes().get(at + 6)?;
    let class = match digit {
        b'1' => 1,
        b'2' => 2,
        b'5' => 5,
        b'6' => 6,
        _ => return None,
    };
    let ends = lower
        .as_bytes()
        .get(at + 7)
        .is_none_or(|next| !next.is_ascii_alphanumeric());
    let start = span.start + at;
    (ends && (class >= 5 || lower.contains("60228"))).then(|| (class, Span::new(start, start + 7)))
}

/// Reads the facts of a sheet.
#[must_use]
pub fn read(sheet: &Sheet, lexicon: &Lexicon, hits: &Hits) -> Facts {
    let terms = Terms::new(lexicon);
    let sentence_of: Vec<usize> = sheet
        .quantities
        .iter()
        .map(|quantity| sentence_at(sheet, quantity.span.start))
        .collect();
    let sizes: Vec<(usize, Span)> = sheet
        .quantities
        .iter()
        .zip(&sentence_of)
        .filter(|(quantity, _)| is_size(quantity.kind))
        .map(|(quantity, &sentence)| (sentence, quantity.span))
        .collect();
    let lengths: Vec<(usize, Span)> = sheet
        .quantities
        .iter()
        .zip(&sentence_of)
        .filter(|(quantity, _)| quantity.kind == Kind::Length)
        .filter(|(quantity, _)| quantity.si.is_some_and(|metres| metres > 0.3))
        .map(|(quantity, &sentence)| (sentence, quantity.span))
        .collect();
    let roster = Roster::read(sheet, hits, &terms, &sizes, &lengths);
    let first_in = (0..=sheet.sentences.len())
        .map(|sentence| sentence_of.partition_point(|&at| at < sentence))
        .collect();
    let roles = sheet
        .quantities
        .iter()
        .zip(&sentence_of)
        .map(|(quantity, &sentence)| {
            role(
                quantity,
                &Around::new(sheet, hits, sentence, quantity.span),
                &terms,
            )
        })
        .collect();
    let mut reader = Reader {
        sheet,
        hits,
        terms,
        roster,
        sentence_of,
        first_in,
        roles,
        owners: vec![Owner::Nobody; sheet.quantities.len()],
        lines: Vec::new(),
        line_at: FxHashMap::default(),
        in_lines: FxHashSet::default(),
        classes: sheet
            .blocks
            .iter()
            .map(|block| class_in(sheet.flow.text(), block.span))
            .collect(),
        spread: std::cell::Cell::new(bound::SPREAD),
        comparative: false,
        denied: Vec::new(),
        resolved: Vec::new(),
        facts: Facts::default(),
    };
    reader.tables();
    reader.describe();
    reader.comparative = reader.is_comparative();
    reader.denied = reader.denied_numbers();
    bundles::read(&mut reader);
    reader.lists_of_sizes();
    reader.walk();
    reader.cables();
    uses::read(&mut reader);
    offers::read(&mut reader);
    bound::bound(&mut reader.facts, reader.spread.get() == 0);
    procedure::read(&mut reader);
    score::read(&mut reader);
    comparison::read(&mut reader);
    reader.unclaimed();
    reader.facts
}

pub(super) fn sentence_at(sheet: &Sheet, offset: usize) -> usize {
    sheet
        .sentences
        .partition_point(|sentence| sentence.span.start <= offset)
        .saturating_sub(1)
}

impl Reader<'_> {
    pub(super) fn text(&self) -> &str {
        self.sheet.flow.text()
    }

    /// Whether a sentence is so long that it is none: what stands far apart in it says nothing of each other.
    pub(super) fn endless(&self, sentence: usize) -> bool {
        const LONGEST: usize = 6_000;
        self.sheet.sentences[sentence].span.len() > LONGEST
    }

    /// Indices of the quantities of a sentence.
    pub(super) fn in_sentence(&self, sentence: usize) -> std::ops::Range<usize> {
        self.first_in.get(sentence).copied().unwrap_or(0)
            ..self.first_in.get(sentence + 1).copied().unwrap_or(0)
    }

    /// The words around a span of a sentence.
    pub(super) fn around(&self, sentence: usize, span: Span) -> Around<'_> {
        Around::new(self.sheet, self.hits, sentence, span)
    }

    /// Rows or columns that describe one cable each become entries.
    fn tables(&mut self) {
        for (index, table) in self.sheet.tables.iter().enumerate() {
            let rows = table.cells.len();
            let columns = table.cells.iter().map(Vec::len).max().unwrap_or(0);
            let kind_at = |row: usize, column: usize| -> Option<Kind> {
                let block = (*table.cells.get(row)?.get(column)?)?;
                let sentences = &self.sheet.blocks[block].sentences;
                let quantities = self.first_in[sentences.start]..self.first_in[sentences.end];
                quantities
                    .map(|quantity| &self.sheet.quantities[quantity])
                    .map(|quantity| quantity.kind)
                    .next()
            };
            let first_row = usize::from(table.header_row);
            let same_down = (0..columns)
                .filter(|&column| uniform((first_row..rows).map(|row| kind_at(row, column))))
                .count();
            let same_across = (first_row..rows)
                .filter(|&row| uniform((1..columns).map(|column| kind_at(row, column))))
                .count();
            let by_row = same_down >= same_across;
            let lines = if by_row { first_row..rows } else { 1..columns };
            let mut found = Vec::new();
            for line in lines {
                let cells: Vec<usize> = if by_row {
                    table.cells[line].iter().flatten().copied().collect()
                } else {
                    table
                        .cells
                        .iter()
                        .filter_map(|row| row.get(line).copied().flatten())
                        .collect()
                };
                let describes = cells.iter().any(|&block| {
                    let sentences = &self.sheet.blocks[block].sentences;
                    (self.first_in[sentences.start]..self.first_in[sentences.end]).any(|quantity| {
                        matches!(
                            self.roles[quantity],
                            Role::Size | Role::Run | Role::Figure(_)
                        )
                    })
                });
                let Some(&head) = cells.first() else { continue };
                if !describes {
                    continue;
                }
                let name = self.sheet.blocks[head]
                    .span
                    .of(self.sheet.flow.text())
                    .trim()
                    .to_owned();
                found.push((line, name));
            }
            if found.len() < 2 && !(by_row && found.len() == 1 && table.header_row) {
                continue;
            }
            for (line, name) in found {
                let entry = self.roster.add_line(&name, &format!("{index}/{line}"));
                // The cell behind the head often holds the product's name.
                let second = table
                    .cells
                    .get(line)
                    .filter(|_| by_row)
                    .and_then(|row| row.get(1).copied().flatten());
                if let Some(second) = second {
                    let sentences = &self.sheet.blocks[second].sentences;
                    let words = self.sheet.blocks[second]
                        .span
                        .of(self.sheet.flow.text())
                        .trim();
                    if self.first_in[sentences.start] == self.first_in[sentences.end] {
                        self.roster.also(entry, words);
                    }
                }
                self.in_lines.insert(entry);
                self.line_at
                    .entry((index, line))
                    .or_insert(self.lines.len());
                self.lines.push(TableLine { by_row, entry });
            }
        }
        self.roster.merge_labels(self.sheet, self.hits, &self.terms);
    }

    /// Short fields of the form `key: value`, as a sheet has them.
    pub(super) fn fields(&self) -> usize {
        let short = |block: &&crate::sheet::Block| block.key.is_some() && block.span.len() < 110;
        self.sheet.blocks.iter().filter(short).count()
    }

    /// Whether an entry is a line of a table.
    pub(super) fn has_line(&self, entry: usize) -> bool {
        self.in_lines.contains(&entry)
    }

    /// The cable of the table line that a sentence stands in.
    pub(super) fn line_of(&self, sentence: usize) -> Option<usize> {
        self.line_entry(self.sheet.blocks[self.sheet.sentences[sentence].block].kind)
    }

    fn line_entry(&self, kind: BlockKind) -> Option<usize> {
        let BlockKind::Cell { table, row, column } = kind else {
            return None;
        };
        let at = |place: usize, by_row: bool| {
            let line = self.lines.get(*self.line_at.get(&(table, place))?)?;
            (line.by_row == by_row).then_some(line.entry)
        };
        at(row, true).or_else(|| at(column, false))
    }

    /// Cables that only a word sets apart become entries where two or more are set side by side.
    fn describe(&mut self) {
        let told: Vec<(usize, Span)> = (0..self.sheet.quantities.len())
            .filter(|&index| {
                matches!(
                    self.roles[index],
                    Role::Size | Role::Run | Role::Load | Role::Power | Role::Voltage | Role::Level
                )
            })
            .map(|index| (self.sentence_of[index], self.sheet.quantities[index].span))
            .collect();
        let found = described::find(self.sheet, self.hits, &self.terms, &self.roster, &told);
        let named = self.roster.named().len();
        let plain = self
            .hits
            .all()
            .iter()
            .any(|hit| hit.concept == self.terms.theirs || hit.concept == self.terms.other);
        let set_apart =
            found.len() >= 2 || (found.len() == 1 && (named == 1 || (named == 0 && plain)));
        let compared = self
            .hits
            .all()
            .iter()
            .any(|hit| hit.concept == self.terms.strong);
        if set_apart && named <= 1 && found.len() <= 4 && compared && self.lines.is_empty() {
            described::adopt(&mut self.roster, &found);
        }
    }

    /// Whether an outcome is told in running text of cables that are set side by side.
    fn is_comparative(&self) -> bool {
        let terms = self.terms;
        let prose = |sentence: usize| {
            let block = &self.sheet.blocks[self.sheet.sentences[sentence].block];
            !matches!(
                block.kind,
                BlockKind::Heading { .. } | BlockKind::Cell { .. }
            )
        };
        let says = |sentence: usize, concept| {
            sentence < self.sheet.sentences.len()
                && prose(sentence)
                && self.hits.say(sentence, concept)
        };
        let all = 0..self.sheet.sentences.len();
        let strong = all.clone().any(|sentence| says(sentence, terms.strong));
        let beside = all.clone().any(|sentence| {
            says(sentence, terms.better)
                && (says(sentence, terms.versus)
                    || says(sentence + 1, terms.versus)
                    || (sentence > 0 && says(sentence - 1, terms.versus)))
        });
        let roles = all
            .clone()
            .filter(|&sentence| {
                says(sentence, terms.theirs)
                    || (prose(sentence)
                        && roster::rivals(self.text(), self.hits, &terms, sentence)
                            .next()
                            .is_some())
                    || says(sentence, terms.other)
                    || says(sentence, terms.latter)
                    || (prose(sentence)
                        && headed_before(self.text(), self.sheet.sentences[sentence].span))
            })
            .count();
        let own = all.clone().any(|sentence| says(sentence, terms.ours));
        let better = all.clone().any(|sentence| says(sentence, terms.better));
        let credited = all.clone().any(|sentence| says(sentence, terms.attributed))
            && all
                .clone()
                .any(|sentence| says(sentence, terms.listened) || says(sentence, terms.sound));
        // Sides with a name, something put above something, a cause for it, and a story or a lamp: a test in whatever words.
        let put = all
            .clone()
            .filter(|&sentence| prose(sentence))
            .any(|sentence| !verdict::words(self, sentence).is_empty());
        let cause = all
            .clone()
            .any(|sentence| says(sentence, terms.credit) || says(sentence, terms.attributed));
        let lamps = all.clone().any(|sentence| says(sentence, terms.lamp));
        let sides = self.roster.named().len() + usize::from(roles >= 1);
        let tested = sides >= 2
            && (put || strong)
            && (cause || self.roster.labelled() >= 2)
            && (lamps || verdict::storied(self))
            && self.lines.is_empty();
        tested
            || ((strong || credited) && (self.roster.named().len() >= 2 || roles >= 1))
            || (beside && roles >= 1)
            || (better && self.roster.labelled() >= 2)
            || (better && (roles >= 2 || (own && roles >= 1)))
    }

    /// A sentence of running text that lists three sizes and more describes no one cable.
    fn lists_of_sizes(&mut self) {
        for sentence in 0..self.sheet.sentences.len() {
            let block = &self.sheet.blocks[self.sheet.sentences[sentence].block];
            let sizes: Vec<usize> = self
                .in_sentence(sentence)
                .filter(|&index| self.roles[index] == Role::Size)
                .collect();
            if (self.comparative && sizes.len() < 4)
                || sizes.len() < 3
                || matches!(block.kind, BlockKind::Cell { .. })
            {
                continue;
            }
            let areas: Vec<f64> = sizes
                .iter()
                .filter_map(|&index| self.sheet.quantities[index].si)
                .collect();
            let (low, high) = areas.iter().fold((f64::MAX, 0.0f64), |(low, high), &area| {
                (low.min(area), high.max(area))
            });
            if high / low > 2.0 {
                for index in sizes {
                    self.roles[index] = Role::Aside;
                }
            }
        }
    }

    /// Resolves mentions in reading order and gives each quantity an owner.
    fn walk(&mut self) {
        let mut focus = Owner::Nobody;
        // What hangs on the left and on the right.
        let mut places: [Option<usize>; 2] = [None, None];
        let mut last_two: Vec<usize> = Vec::new();
        let mut block_before = usize::MAX;
        for index in 0..self.sheet.sentences.len() {
            let sentence = self.sheet.sentences[index];
            let block = &self.sheet.blocks[sentence.block];
            let row = |block: usize| match self.sheet.blocks.get(block).map(|block| block.kind) {
                Some(BlockKind::Cell { table, row, .. }) => Some((table, row)),
                _ => None,
            };
            let same_row =
                row(sentence.block).is_some() && row(sentence.block) == row(block_before);
            if sentence.block != block_before && !same_row && !stepped(self.sheet, sentence.block) {
                focus = self.focus_of_section(block.section);
            }
            block_before = sentence.block;
            if let Some(entry) = self.line_entry(block.kind) {
                self.resolved.push(vec![(sentence.span, Owner::One(entry))]);
                for quantity in self.in_sentence(index) {
                    self.owners[quantity] = Owner::One(entry);
                }
                remember(&mut last_two, entry);
                continue;
            }
            let mentions = self
                .roster
                .mentions(self.sheet, self.hits, &self.terms, index);
            let mut resolved: Vec<(Span, Owner)> = Vec::new();
            for (place, mention) in mentions.iter().enumerate() {
                if self.is_no_cable(index, mention) {
                    continue;
                }
                if !self.comparative && !matches!(mention.means, Means::Entry(_) | Means::All) {
                    continue;
                }
                // "The first, which we sell as Braidwater": the name right behind says which one it is.
                let named = mentions
                    .get(place + 1)
                    .filter(|next| next.span.start - mention.span.end < 45)
                    .map(|next| next.means);
                // "In the other, the stock leads": a place with what stands in it.
                let placed = mentions.get(place + 1).filter(|next| {
                    matches!(next.means, Means::Entry(_) | Means::Theirs)
                        && beside(self.text(), mention.span, next.span)
                });
                let side = side_of(self.text(), mention);
                let bound = side.and_then(|side| {
                    let held = &mut places[side];
                    if held.is_none() {
                        let next = mentions[place + 1..]
                            .iter()
                            .take_while(|next| side_of(self.sheet.flow.text(), next).is_none())
                            .find(|next| matches!(next.means, Means::Entry(_) | Means::Theirs))
                            .filter(|next| next.span.start.saturating_sub(mention.span.end) <= 60)
                            .copied();
                        let before = mentions[..place]
                            .last()
                            .filter(|before| {
                                matches!(before.means, Means::Entry(_) | Means::Theirs)
                                    && side_of(self.sheet.flow.text(), before).is_none()
                                    && mention.span.start.saturating_sub(before.span.end) <= 12
                            })
                            .copied();
                        if let Some(found) = before.or(next) {
                            *held = match self.resolve(&found, &mut last_two, focus, &resolved) {
                                Owner::One(entry) => Some(entry),
                                _ => None,
                            };
                        }
                    }
                    places[side]
                });
                let owner = match (mention.means, named) {
                    _ if bound.is_some() => bound.map_or(Owner::Nobody, Owner::One),
                    (Means::Former | Means::Latter, Some(Means::Entry(entry)))
                        if last_two.len() < 2 =>
                    {
                        Owner::One(entry)
                    }
                    (Means::Other | Means::Former | Means::Latter, _) if placed.is_some() => {
                        continue;
                    }
                    _ => self.resolve(mention, &mut last_two, focus, &resolved),
                };
                if let Owner::One(entry) = owner {
                    remember(&mut last_two, entry);
                }
                if owner != Owner::Nobody {
                    resolved.push((mention.span, owner));
                }
            }
            // "Of the first and second there were two metres each."
            for place in 1..resolved.len() {
                let ((first, a), (second, b)) = (resolved[place - 1], resolved[place]);
                if let (Owner::One(a), Owner::One(b)) = (a, b)
                    && a != b
                    && first.end <= second.start
                    && matches!(
                        Span::new(first.end, second.start).of(self.text()).trim(),
                        "and" | "&" | "and the"
                    )
                {
                    resolved[place].1 = Owner::Two(a, b);
                }
            }
            self.resolved.push(resolved);
            for quantity in self.in_sentence(index) {
                let span = self.sheet.quantities[quantity].span;
                let owner = self.owner(index, span, focus);
                let size = matches!(
                    self.roles[quantity],
                    Role::Size | Role::CombinedSize | Role::SolidDiameter
                );
                self.owners[quantity] = if owner == Owner::All && size && !self.comparative {
                    Owner::Nobody
                } else {
                    owner
                };
            }
            if let Some(&(_, owner)) = self.resolved[index]
                .iter()
                .rev()
                .find(|(_, owner)| matches!(owner, Owner::One(_)))
            {
                focus = owner;
            } else if let Some(&(_, owner)) = self.resolved[index].last() {
                focus = owner;
            }
        }
    }

    /// "He plugged in his own, which gives 120 W": what is owned is an amplifier.
    fn is_no_cable(&self, sentence: usize, mention: &Mention) -> bool {
        const AFTER: usize = 36;
        let words = mention.span.of(self.text()).to_lowercase();
        if !words.ends_with("own") && words != "mine" {
            return false;
        }
        let near =
            |span: Span| span.start >= mention.span.end && span.start - mention.span.end <= AFTER;
        self.in_sentence(sentence).any(|index| {
            self.roles[index] == Role::Power && near(self.sheet.quantities[index].span)
        }) || self.hits.of(sentence).iter().any(|hit| {
            [self.terms.amplifier, self.terms.supply, self.terms.speaker].contains(&hit.concept)
                && near(hit.span)
                && hit.span.start - mention.span.end <= 24
        })
    }

    /// The entry that the heading of a section names, if it names just one.
    fn focus_of_section(&self, section: Option<usize>) -> Owner {
        let Some(block) = section.and_then(|section| self.sheet.blocks.get(section)) else {
            return Owner::Nobody;
        };
        let mut named = block
            .sentences
            .clone()
            .filter_map(|sentence| self.resolved.get(sentence))
            .flatten();
        match (named.next(), named.next()) {
            (Some(&(_, owner)), None) => owner,
            _ => Owner::Nobody,
        }
    }

    fn resolve(
        &mut self,
        mention: &Mention,
        last_two: &mut Vec<usize>,
        focus: Owner,
        before: &[(Span, Owner)],
    ) -> Owner {
        match mention.means {
            Means::Entry(entry) => Owner::One(entry),
            Means::All => Owner::All,
            Means::Nth(place) => self
                .roster
                .named()
                .get(place)
                .map_or(Owner::Nobody, |entry| Owner::One(*entry)),
            Means::FirstTwo => match self.roster.named().as_slice() {
                [first, second, _, ..] => Owner::Two(*first, *second),
                [_, _] => Owner::All,
                _ => Owner::Nobody,
            },
            Means::Others => {
                let current = before
                    .iter()
                    .rev()
                    .find(|(_, owner)| matches!(owner, Owner::One(_)))
                    .map_or(focus, |(_, owner)| *owner);
                let named = self.roster.named();
                let rest: Vec<usize> = named
                    .iter()
                    .copied()
                    .filter(|entry| current != Owner::One(*entry))
                    .collect();
                match (current, rest.as_slice()) {
                    (Owner::One(_), [other]) => Owner::One(*other),
                    (Owner::One(_), [first, second]) => Owner::Two(*first, *second),
                    _ => Owner::Nobody,
                }
            }
            // Of three and more “the first” is the first of all, not of the last two.
            Means::Former | Means::Latter
                if ordinal(mention.span.of(self.sheet.flow.text()))
                    .is_some_and(|place| place < self.roster.named().len())
                    && self.roster.named().len() >= 3 =>
            {
                let place = ordinal(mention.span.of(self.sheet.flow.text())).unwrap_or_default();
                self.roster
                    .named()
                    .get(place)
                    .map_or(Owner::Nobody, |entry| Owner::One(*entry))
            }
            Means::Former => match last_two.as_slice() {
                [first, _] => Owner::One(*first),
                [] => Owner::One(self.roster.add("the first", true)),
                _ => Owner::Nobody,
            },
            Means::Latter => match last_two.as_slice() {
                [_, second] => Owner::One(*second),
                [_] => Owner::One(self.roster.add("the second", true)),
                _ => Owner::Nobody,
            },
            Means::Other => {
                let current = before
                    .iter()
                    .rev()
                    .find(|(_, owner)| matches!(owner, Owner::One(_)))
                    .map_or(focus, |(_, owner)| *owner);
                match (current, last_two.as_slice()) {
                    (Owner::One(current), [first, second]) if *first == current => {
                        Owner::One(*second)
                    }
                    (Owner::One(current), [first, second]) if *second == current => {
                        Owner::One(*first)
                    }
                    (Owner::One(_), [_]) if self.roster.entries.len() == 1 => {
                        Owner::One(self.roster.add("the other", true))
                    }
                    (Owner::One(current), _) if self.roster.entries.len() == 2 => {
                        Owner::One(1 - current.min(1))
                    }
                    _ => Owner::Nobody,
                }
            }
            Means::Ours => match self.roster.named().as_slice() {
                [] => Owner::One(self.roster.add("ours", true)),
                [first, ..] => Owner::One(*first),
            },
            Means::Theirs => {
                // "Ordinary bell wire" is nobody's product; "theirs" can be the second of two that are named.
                let words = mention.span.of(self.sheet.flow.text()).to_lowercase();
                let nameless = [
                    "wire", "cord", "cable", "lead", "flex", "zip", "freebie", "twin",
                ]
                .iter()
                .any(|noun| words.contains(noun));
                match self.roster.named().as_slice() {
                    [_, second] if !nameless => Owner::One(*second),
                    [_, _, ..] if !nameless => Owner::Nobody,
                    _ => {
                        let rival = self.roster.add("the rival", true);
                        self.roster.entries[rival].nameless |= nameless;
                        Owner::One(rival)
                    }
                }
            }
        }
    }

    /// Whom the words at `span` of a sentence speak of.
    pub(super) fn owner(&self, sentence: usize, span: Span, focus: Owner) -> Owner {
        let resolved = &self.resolved[sentence];
        let text = self.text();
        let whole = self.sheet.sentences[sentence].span;
        let clause = clause_at(text, whole, span);
        let inside: Vec<&(Span, Owner)> = resolved
            .iter()
            .filter(|(words, _)| clause.contains(*words))
            .collect();
        // A size right before a name belongs to it: "the 18 gauge zip cord".
        let right_after = inside.iter().find(|(words, _)| {
            words.start >= span.end
                && words.start - span.end <= 9
                && of_one_thing(Span::new(span.end, words.start).of(text))
        });
        // "The ordinary 2.5 mm² flex."
        if let Some((_, owner)) = resolved
            .iter()
            .find(|(words, _)| words.contains(span) && words.len() > span.len())
        {
            return *owner;
        }
        // "Of the first and second there were two metres each" speaks of those two.
        let few = resolved
            .iter()
            .rev()
            .find(|(words, _)| words.end <= span.start)
            .filter(|(_, owner)| matches!(owner, Owner::Two(..)));
        if let Some((_, owner)) = right_after {
            return match (owner, few) {
                (Owner::All, Some((_, few))) => *few,
                _ => *owner,
            };
        }
        let before = inside
            .iter()
            .rev()
            .find(|(words, _)| words.end <= span.start);
        if let Some((words, owner)) = before {
            // "It came on a drum and is all 10 m": one cable named before, and `all` says how long it is.
            let one = resolved
                .iter()
                .find(|(other, owner)| other.end <= words.start && matches!(owner, Owner::One(_)));
            return match (owner, one) {
                (Owner::All, Some((_, one))) if words.of(text).eq_ignore_ascii_case("all") => *one,
                _ => *owner,
            };
        }
        // "A 10 W one on the same battery": what is the same is the battery.
        let after = inside
            .iter()
            .filter(|(words, owner)| {
                let held = *owner == Owner::All && same_thing(text, *words);
                let likened = follows(text, *words, &["like ", "than ", "unlike "]);
                !held && !likened
            })
            .find(|(words, _)| words.start >= span.end);
        if let Some((_, owner)) = after {
            return *owner;
        }
        // "Same copper" speaks of no more than its own clause.
        if let Some((_, owner)) = resolved.iter().rev().find(|(words, owner)| {
            words.end <= span.start && !(*owner == Owner::All && same_thing(text, *words))
        }) {
            return *owner;
        }
        if focus != Owner::Nobody {
            return focus;
        }
        match resolved.first() {
            Some((_, owner)) => *owner,
            None => Owner::Nobody,
        }
    }

    /// Puts all facts to their cables.
    fn cables(&mut self) {
        let entries = self.roster.entries.len();
        if entries == 0 {
            self.roster.add("", false);
        }
        self.conflict();
        self.complement();
        // What two conductors make together belongs to the cable whose conductors they are.
        for index in 0..self.owners.len() {
            if self.roles[index] != Role::CombinedSize || self.owners[index] != Owner::Nobody {
                continue;
            }
            let each = self
                .in_sentence(self.sentence_of[index])
                .find(|&other| other < index && self.roles[other] == Role::Size);
            if let Some(each) = each {
                self.owners[index] = self.owners[each];
            }
        }
        // With one cable alone there is nobody else whom a fact could belong to.
        let named = self.roster.named();
        let sole = match (named.as_slice(), self.roster.entries.len()) {
            ([one], _) => Some(*one),
            ([], 1) => Some(0),
            _ => None,
        };
        if let Some(sole) = sole {
            for owner in &mut self.owners {
                if *owner == Owner::Nobody
                    || (*owner == Owner::All && self.roster.entries.len() == 1)
                {
                    *owner = Owner::One(sole);
                }
            }
        }
        self.split_variants();
        self.size_references();
        self.facts.cables = self
            .roster
            .entries
            .iter()
            .map(|entry| Cable {
                name: entry.name.clone(),
                ..Cable::default()
            })
            .collect();
        for resolved in &self.resolved {
            for &(span, owner) in resolved {
                if let Owner::One(entry) = owner {
                    self.facts.cables[entry].mentions.push(span);
                }
            }
        }
        self.quantities();
        self.words(sole);
        self.general_metals();
        for cable in 0..self.facts.cables.len() {
            self.parallel(cable);
        }
        let general = self.classes.iter().copied().flatten().next();
        for cable in &mut self.facts.cables {
            cable.class = general;
        }
    }

    /// One cable has a name, and beside it a cable without one is told of in a swap or a test: what is told of the one and of the
    /// other and does not agree belongs to two cables.
    fn conflict(&mut self) {
        const NEAR: usize = 3;
        let terms = self.terms;
        let (&[own], true) = (self.roster.named().as_slice(), self.lines.is_empty()) else {
            return;
        };
        if self
            .roster
            .entries
            .iter()
            .any(|entry| entry.nameless && !entry.merged)
        {
            return;
        }
        let prose = |at: usize| {
            !matches!(
                self.sheet.blocks[self.sheet.sentences[at].block].kind,
                BlockKind::Heading { .. } | BlockKind::Cell { .. }
            )
        };
        let told = (0..self.sheet.sentences.len()).any(|at| {
            prose(at) && (self.hits.say(at, terms.strong) || self.hits.say(at, terms.attributed))
        });
        if !told {
            return;
        }
        let tells = |at: usize| {
            self.resolved[at]
                .iter()
                .any(|(_, owner)| *owner == Owner::One(own))
        };
        let apart = |role: Role, a: usize, b: usize| {
            let limit = if role == Role::Size { 1.12 } else { 1.05 };
            ratio(self.sheet.quantities[a].si, self.sheet.quantities[b].si) > limit
        };
        let fits = |index: usize| {
            matches!(self.roles[index], Role::Run | Role::Size | Role::Power)
                && self.sheet.quantities[index].range.is_none()
        };
        let found = (0..self.sheet.sentences.len()).find_map(|at| {
            let cable = self
                .hits
                .of(at)
                .iter()
                .find(|hit| hit.concept == terms.cable)?;
            let swapped =
                (at.saturating_sub(1)..=at).any(|near| self.hits.say(near, terms.swapped));
            let offered = self.hits.say(at, terms.offer) || self.hits.say(at, terms.conditional);
            if !prose(at) || tells(at) || !swapped || offered {
                return None;
            }
            let first = at.saturating_sub(NEAR);
            let last = (at + NEAR).min(self.sheet.sentences.len() - 1);
            let conflict = self
                .in_sentence(at)
                .filter(|&index| fits(index))
                .filter(|&index| {
                    // "Ten metres of old flex", and no mark that stands every half metre.
                    let span = self.sheet.quantities[index].span;
                    let between = if span.end <= cable.span.start {
                        Span::new(span.end, cable.span.start)
                    } else {
                        Span::new(cable.span.end.min(span.start), span.start)
                    };
                    between.len() <= 90
                        && super::context::borders(between.of(self.text())) <= 2
                        && !follows(self.text(), span, &["every ", "each ", "per "])
                })
                .any(|index| {
                    (first..=last)
                        .filter(|&near| near != at && prose(near) && tells(near))
                        .filter(|&near| !self.hits.say(near, terms.offer))
                        .flat_map(|near| self.in_sentence(near))
                        .any(|other| {
                            self.roles[other] == self.roles[index]
                                && fits(other)
                                && apart(self.roles[index], index, other)
                        })
                });
            conflict.then_some((at, cable.span))
        });
        let Some((at, span)) = found else { return };
        let rival = self.roster.add("the rival", true);
        self.roster.entries[rival].nameless = true;
        self.resolved[at].push((span, Owner::One(rival)));
        for index in self.in_sentence(at) {
            self.owners[index] = Owner::One(rival);
        }
        self.comparative = true;
    }

    /// Of two sides one has a size (or a length) of its own, and another size is told beside it of nobody: it is the other's.
    fn complement(&mut self) {
        const NEAR: usize = 4;
        if !self.comparative || !self.lines.is_empty() {
            return;
        }
        let sides: Vec<usize> = (0..self.roster.entries.len())
            .filter(|&entry| !self.roster.entries[entry].merged)
            .filter(|&entry| {
                self.resolved
                    .iter()
                    .flatten()
                    .any(|(_, owner)| *owner == Owner::One(entry))
            })
            .collect();
        for role in [Role::Size, Role::Run] {
            let of = |owner: Owner| -> Vec<usize> {
                (0..self.sheet.quantities.len())
                    .filter(|&index| self.roles[index] == role && self.owners[index] == owner)
                    .filter(|&index| self.sheet.quantities[index].range.is_none())
                    .collect()
            };
            let lost = of(Owner::Nobody);
            let Some(&first) = lost.first() else { continue };
            let alike = |a: usize, b: usize| {
                ratio(self.sheet.quantities[a].si, self.sheet.quantities[b].si) < 1.01
            };
            if !lost.iter().all(|&index| alike(index, first)) || !of(Owner::All).is_empty() {
                continue;
            }
            let known: Vec<(usize, Vec<usize>)> = sides
                .iter()
                .map(|&side| (side, of(Owner::One(side))))
                .filter(|(_, own)| !own.is_empty())
                .collect();
            let [(owner, own)] = known.as_slice() else {
                continue;
            };
            let near = own
                .iter()
                .any(|&index| self.sentence_of[index].abs_diff(self.sentence_of[first]) <= NEAR);
            if !near {
                continue;
            }
            let other = match sides.as_slice() {
                [one] if self.roster.entries[*one].role => {
                    let name = if self.roster.entries[*one].name == "ours" {
                        "the rival"
                    } else {
                        "ours"
                    };
                    self.roster.add(name, true)
                }
                [first, second] => first + second - owner,
                _ => continue,
            };
            for index in lost {
                let sentence = self.sentence_of[index];
                for beside in self.in_sentence(sentence) {
                    let whole = self.roles[beside] == Role::CombinedSize
                        && self.owners[beside] == Owner::Nobody;
                    if beside == index || whole {
                        self.owners[beside] = Owner::One(other);
                    }
                }
                let span = self.sheet.quantities[index].span;
                self.resolved[sentence].push((span, Owner::One(other)));
            }
        }
    }

    /// One entry that is given two sizes in one notation is two cables: a range, a variant, a list of sizes. The facts of the
    /// section, the block or the stretch of a block in which the other size stands go with it.
    fn split_variants(&mut self) {
        let mut owned: Vec<Vec<usize>> = vec![Vec::new(); self.roster.entries.len()];
        let mut by_section: FxHashMap<usize, Vec<usize>> = FxHashMap::default();
        for index in 0..self.sheet.quantities.len() {
            if let (Owner::One(entry), Role::Size, Some(_)) = (
                self.owners[index],
                self.roles[index],
                self.sheet.quantities[index].si,
            ) {
                owned[entry].push(index);
            }
            let block = self.block_of(index);
            for section in self.sheet.blocks[block].section.into_iter().chain([block]) {
                by_section.entry(section).or_default().push(index);
            }
        }
        for sizes in &owned {
            let Some(&first) = sizes.first() else {
                continue;
            };
            let mut variants: Vec<(usize, usize)> = Vec::new();
            for (place, &size) in sizes.iter().enumerate() {
                let quantity = &self.sheet.quantities[size];
                let conflicts = |other: usize| {
                    let other = &self.sheet.quantities[other];
                    let alike = other.kind == quantity.kind && other.swg == quantity.swg;
                    alike && ratio(other.si, quantity.si) > 1.02
                };
                // Under another heading a clearly different size is another cable, however it is written.
                let elsewhere = |other: usize| {
                    let section = |index: usize| self.sheet.blocks[self.block_of(index)].section;
                    let apart = section(other).is_some()
                        && section(size).is_some()
                        && section(other) != section(size);
                    // So is one in another long paragraph of running text.
                    let prose = |index: usize| {
                        let block = &self.sheet.blocks[self.block_of(index)];
                        block.span.len() > 100
                            && matches!(block.kind, BlockKind::Paragraph | BlockKind::Item)
                    };
                    let told =
                        self.block_of(other) != self.block_of(size) && prose(other) && prose(size);
                    (apart || told) && ratio(self.sheet.quantities[other].si, quantity.si) > 1.3
                };
                // The sizes that the place of this one already speaks for.
                if !bound::ends(&sizes[..place])
                    .filter(|&&other| self.owners[other] == self.owners[size])
                    .any(|&other| conflicts(other) || elsewhere(other))
                {
                    continue;
                }
                let known = bound::ends(&variants).find(|&&(_, head)| {
                    let same =
                        self.sheet.quantities[head].kind == quantity.kind && !conflicts(head);
                    same || (!conflicts(head) && self.block_of(head) == self.block_of(size) && {
                        let span = self.sheet.quantities[head].span;
                        span.start.abs_diff(quantity.span.start) < 60
                    })
                });
                let variant = match known {
                    Some(&(variant, _)) => variant,
                    None => {
                        let name = self.variant_name(size, first);
                        self.roster.add_new(&name, &format!("variant {size}"))
                    }
                };
                variants.push((variant, size));
                let now = self.owners[size];
                let first_now = bound::ends(&sizes[..place])
                    .copied()
                    .find(|&other| self.owners[other] == now)
                    .unwrap_or(first);
                for index in self.scope(size, first_now, now, &by_section) {
                    self.owners[index] = Owner::One(variant);
                }
            }
        }
    }

    /// A sentence that names a size and no cable speaks of the one cable that has this size.
    fn size_references(&mut self) {
        let quantities = 0..self.sheet.quantities.len();
        let size = |reader: &Self, index: usize| reader.roles[index] == Role::Size;
        let lost: Vec<usize> = quantities
            .clone()
            .filter(|&index| self.owners[index] == Owner::Nobody && size(self, index))
            .collect();
        // One of each kind, value and owner is enough to tell whose a size is.
        let mut known: Vec<(usize, Owner)> = Vec::new();
        let mut seen = FxHashSet::default();
        let mut learn = |reader: &Self, index: usize, known: &mut Vec<(usize, Owner)>| {
            let quantity = &reader.sheet.quantities[index];
            if let Owner::One(entry) = reader.owners[index]
                && size(reader, index)
                && known.len() < bound::SIZES_KNOWN
                && seen.insert((quantity.kind, quantity.si.map(f64::to_bits), entry))
            {
                known.push((index, Owner::One(entry)));
            }
        };
        for index in quantities {
            learn(self, index, &mut known);
        }
        for size in lost {
            let quantity = &self.sheet.quantities[size];
            let mut owners: Vec<Owner> = known
                .iter()
                .filter(|(other, _)| {
                    let other = &self.sheet.quantities[*other];
                    other.kind == quantity.kind && ratio(other.si, quantity.si) < 1.01
                })
                .map(|(_, owner)| *owner)
                .collect();
            owners.dedup();
            let owner = match owners.as_slice() {
                [owner] => *owner,
                [] if !self.comparative => {
                    let name = self.sheet.quantities[size]
                        .span
                        .of(self.text())
                        .trim()
                        .to_owned();
                    Owner::One(self.roster.add_new(&name, &format!("size {size}")))
                }
                _ => continue,
            };
            for index in self.in_sentence(self.sentence_of[size]) {
                if matches!(self.owners[index], Owner::Nobody | Owner::All) {
                    self.owners[index] = owner;
                    learn(self, index, &mut known);
                }
            }
        }
    }

    fn block_of(&self, quantity: usize) -> usize {
        self.sheet.sentences[self.sentence_of[quantity]].block
    }

    /// What to call the variant that a size makes: the heading of its section, the key of its block, or the size itself.
    fn variant_name(&self, size: usize, first: usize) -> String {
        let text = self.text();
        let block = &self.sheet.blocks[self.block_of(size)];
        let section_of = |quantity: usize| self.sheet.blocks[self.block_of(quantity)].section;
        let heading = block
            .section
            .filter(|_| section_of(size) != section_of(first));
        let heading = heading
            .and_then(|section| self.sheet.blocks.get(section))
            .map(|block| block.span.of(text));
        let key = block
            .key
            .filter(|_| self.block_of(size) != self.block_of(first))
            .map(|key| key.of(text));
        let name = heading
            .or(key)
            .unwrap_or_else(|| self.sheet.quantities[size].span.of(text));
        name.trim().trim_end_matches(':').to_owned()
    }

    /// Quantities of `entry` that go with the size of a variant.
    fn scope(
        &self,
        size: usize,
        first: usize,
        owner: Owner,
        by_section: &FxHashMap<usize, Vec<usize>>,
    ) -> Vec<usize> {
        let section_of = |quantity: usize| self.sheet.blocks[self.block_of(quantity)].section;
        let own = |index: &usize| self.owners[*index] == owner;
        let section = section_of(size);
        if section != section_of(first) {
            // The heading itself can state a length: "Grey (5 m, terminated)".
            return match section {
                Some(section) => by_section
                    .get(&section)
                    .into_iter()
                    .flatten()
                    .copied()
                    .filter(own)
                    .collect(),
                None => (0..self.sheet.quantities.len())
                    .filter(own)
                    .filter(|&index| section_of(index).is_none())
                    .collect(),
            };
        }
        if self.block_of(size) != self.block_of(first) {
            let sentences = &self.sheet.blocks[self.block_of(size)].sentences;
            return (self.first_in[sentences.start]..self.first_in[sentences.end])
                .filter(own)
                .collect();
        }
        self.in_sentence(self.sentence_of[size])
            .filter(|&index| index >= size)
            .filter(own)
            .collect()
    }

    /// Quantities of each entry.
    pub(super) fn by_entry(&self) -> Vec<Vec<usize>> {
        let mut lists = vec![Vec::new(); self.roster.entries.len()];
        for (index, owner) in self.owners.iter().enumerate() {
            let entries = match owner {
                Owner::One(entry) => [Some(*entry), None],
                Owner::Two(first, second) => [Some(*first), Some(*second)],
                _ => [None, None],
            };
            for entry in entries.into_iter().flatten() {
                if let Some(list) = lists.get_mut(entry) {
                    list.push(index);
                }
            }
        }
        lists
    }

    /// Sentences in cells of the table lines of each entry.
    pub(super) fn cells_by_entry(&self) -> Vec<Vec<usize>> {
        let mut lists = vec![Vec::new(); self.roster.entries.len()];
        for sentence in 0..self.sheet.sentences.len() {
            if let Some(list) = self
                .line_of(sentence)
                .and_then(|entry| lists.get_mut(entry))
            {
                list.push(sentence);
            }
        }
        lists
    }

    /// Cables that an owner stands for.
    pub(super) fn cables_of(&self, owner: Owner) -> Vec<usize> {
        match owner {
            Owner::One(entry) => vec![entry],
            Owner::Two(first, second) => vec![first, second],
            Owner::All => {
                // A fact about all is copied to each, and so costs as many steps as there are cables.
                let cables = self.facts.cables.len();
                let left = self.spread.get().checked_sub(cables);
                self.spread.set(left.unwrap_or(0));
                left.map_or_else(Vec::new, |_| (0..cables).collect())
            }
            Owner::Nobody => Vec::new(),
        }
    }

    fn quantities(&mut self) {
        for index in 0..self.sheet.quantities.len() {
            let quantity = &self.sheet.quantities[index];
            let Some(si) = quantity.si else { continue };
            let span = quantity.span;
            for cable in self.cables_of(self.owners[index]) {
                match self.roles[index] {
                    Role::Size | Role::CombinedSize | Role::SolidDiameter => {
                        if let Some(size) = self.size(index) {
                            self.facts.cables[cable].sizes.push(size);
                        }
                    }
                    Role::Run => {
                        self.facts.cables[cable]
                            .lengths
                            .push(fact(Metre(si), span, index))
                    }
                    Role::Spacing => {
                        self.facts.cables[cable].spacing = Some(fact(Metre(si), span, index))
                    }
                    Role::Figure(kind) => {
                        let figure = self.figure(kind, index, si);
                        self.facts.cables[cable].figures.push(figure);
                    }
                    _ => {}
                }
            }
            match self.roles[index] {
                Role::Load => {
                    let load = Load {
                        impedance: Some(Ohm(si)),
                        kind: self.load_kind(index),
                        lamp_power: None,
                    };
                    self.facts.setup.loads.push(fact(load, span, index));
                }
                Role::Frequency => self
                    .facts
                    .setup
                    .frequencies
                    .push(fact(Hertz(si), span, index)),
                Role::Power
                    if matches!(self.owners[index], Owner::Nobody | Owner::All)
                        && comparison::is_lamp_power(self, index) =>
                {
                    let load = comparison::lamp(self, index);
                    self.facts.setup.loads.push(fact(load, span, index));
                }
                Role::Power | Role::Voltage | Role::Current => {
                    let mut drive = Drive {
                        span,
                        ..Drive::default()
                    };
                    match self.roles[index] {
                        Role::Power => drive.power = Some(fact(Watt(si), span, index)),
                        Role::Voltage => drive.voltage = Some(fact(Volt(si), span, index)),
                        _ => drive.current = Some(fact(Ampere(si), span, index)),
                    }
                    self.facts.setup.drives.push(drive);
                }
                _ => {}
            }
        }
    }

    /// What kind of load the ohms at a quantity are.
    pub(super) fn load_kind(&self, index: usize) -> LoadKind {
        let around = self.around(self.sentence_of[index], self.sheet.quantities[index].span);
        let near = |concept| around.distance(concept).unwrap_or(usize::MAX);
        let (lamp, resistor, speaker) = (
            near(self.terms.lamp),
            near(self.terms.resistor),
            near(self.terms.speaker),
        );
        if lamp < speaker && lamp < resistor {
            LoadKind::Lamp
        } else if resistor < speaker {
            LoadKind::Resistor
        } else {
            LoadKind::Loudspeaker
        }
    }

    pub(super) fn size(&self, index: usize) -> Option<Size> {
        let quantity = &self.sheet.quantities[index];
        let area = quantity.si?;
        let solid = self.roles[index] == Role::SolidDiameter;
        let area = if solid {
            std::f64::consts::FRAC_PI_4 * area * area
        } else {
            area
        };
        let unit = quantity.unit.to_lowercase();
        let notation = match quantity.kind {
            _ if solid => Notation::SolidDiameter,
            Kind::Gauge if quantity.swg => Notation::Swg,
            Kind::Gauge if quantity.gauge.is_none() => Notation::CircularMil,
            Kind::Gauge => Notation::Awg,
            Kind::Strands => Notation::Strands,
            _ if unit.contains("mil")
                || unit.contains("cm") && !unit.contains('²')
                || unit.contains("mcm") =>
            {
                Notation::CircularMil
            }
            _ => Notation::SquareMillimetre,
        };
        let strands = match (&quantity.value, quantity.strand) {
            (crate::sheet::Value::Number(count), Some(diameter)) => {
                whole(*count).map(|count| (count, diameter))
            }
            _ => None,
        };
        Some(Size {
            area: SquareMetre(area),
            notation,
            awg: quantity.gauge.filter(|_| !quantity.swg),
            of: if self.roles[index] == Role::CombinedSize {
                SizeOf::Combined
            } else {
                SizeOf::Conductor
            },
            conductors: quantity.conductors,
            strands,
            loose: self.is_denied(index)
                || quantity.range.is_some()
                || matches!(quantity.bound, Bound::AtMost | Bound::AtLeast),
            span: quantity.span,
            quantity: index,
        })
    }

    fn figure(&self, kind: FigureKind, index: usize, si: f64) -> Figure {
        let quantity = &self.sheet.quantities[index];
        let sentence = self.sentence_of[index];
        let around = self.around(sentence, quantity.span);
        let loop_ = around.nearest(self.terms.r_loop);
        let single = around.nearest(self.terms.r_single);
        let (reading, reading_span) = match (loop_, single) {
            (Some((a, span)), Some((b, _))) if a <= b && a < 80 => (Reading::Loop, Some(span)),
            (_, Some((b, span))) if b < 80 => (Reading::Single, Some(span)),
            (Some((a, span)), None) if a < 80 => (Reading::Loop, Some(span)),
            _ => (Reading::Unsaid, None),
        };
        let resistance = matches!(
            kind,
            FigureKind::Resistance | FigureKind::ResistancePerLength
        );
        Figure {
            kind,
            value: si,
            span: quantity.span,
            quantity: index,
            reading: if resistance { reading } else { Reading::Unsaid },
            reading_span: reading_span.filter(|_| resistance),
            bound: quantity.bound,
            temperature: self.condition(index, Role::Temperature, Celsius),
            frequency: self.condition(index, Role::Frequency, Hertz),
            load: self.condition(index, Role::Load, Ohm),
            length: self.condition(index, Role::Run, Metre),
            with_contacts: around
                .nearest(self.terms.r_contacts)
                .filter(|(gap, _)| *gap < 120)
                .map(|(_, span)| span),
            class: self.class(sentence),
            denied: self.is_denied(index),
        }
    }

    /// Whether the document says elsewhere that it is not this number: "two 14 AWG make 11 AWG and not 9".
    fn is_denied(&self, index: usize) -> bool {
        let own = self.sentence_of[index];
        // "Anyone who quotes 120 % has misread a page", "No. 12 was given as 4.2 mm². That is wrong".
        let corrected =
            |at: usize| at < self.sheet.sentences.len() && self.hits.say(at, self.terms.wrong);
        let same_block = |at: usize| {
            self.sheet
                .sentences
                .get(at)
                .is_some_and(|next| next.block == self.sheet.sentences[own].block)
        };
        let section = self.sheet.blocks[self.sheet.sentences[own].block].section;
        let headed = section
            .is_some_and(|section| self.sheet.blocks[section].sentences.clone().any(corrected));
        if headed || corrected(own) || (same_block(own + 1) && corrected(own + 1)) {
            return true;
        }
        let Some(value) = number(&self.sheet.quantities[index]) else {
            return false;
        };
        self.denied.iter().any(|&(sentence, denied)| {
            (denied / value - 1.0).abs() < 1e-6
                && (sentence == own || self.hits.all().len() < 4_000)
        })
    }

    /// Numbers after a plain `not`, with their sentence.
    fn denied_numbers(&self) -> Vec<(usize, f64)> {
        let text = self.text();
        let mut found = Vec::new();
        let mut tokens = Vec::new();
        for (index, sentence) in self.sheet.sentences.iter().enumerate() {
            let words = sentence.span.of(text);
            if !words.contains("not ") && !words.contains("rather than ") {
                continue;
            }
            tokenize(text, sentence.span, &mut tokens);
            for pair in tokens.windows(2) {
                let before = pair[0].span.of(text).to_lowercase();
                if before != "not" && before != "than" {
                    continue;
                }
                if before == "than"
                    && !text
                        .get(..pair[0].span.start)
                        .unwrap_or("")
                        .trim_end()
                        .ends_with("rather")
                {
                    continue;
                }
                if let Ok(value) = pair[1].span.of(text).replace(',', ".").parse::<f64>() {
                    found.push((index, value));
                }
            }
        }
        found
    }

    /// The class of IEC 60228 that a sentence or its row names.
    fn class(&self, sentence: usize) -> Option<(u8, Span)> {
        let block = self.sheet.sentences[sentence].block;
        let row = |block: usize| match self.sheet.blocks[block].kind {
            BlockKind::Cell { table, row, .. } => Some((table, row)),
            _ => None,
        };
        let near =
            |other: usize| other == block || (row(block).is_some() && row(other) == row(block));
        let first = block.saturating_sub(12);
        let last = (block + 12).min(self.sheet.blocks.len().saturating_sub(1));
        (first..=last)
            .filter(|&other| near(other))
            .find_map(|other| self.classes[other])
    }

    /// The quantity of that role that speaks for the quantity `index`: nearest in its sentence, else in its keys.
    pub(super) fn condition<T>(
        &self,
        index: usize,
        role: Role,
        make: impl Fn(f64) -> T,
    ) -> Option<Fact<T>> {
        let sentence = self.sentence_of[index];
        let span = self.sheet.quantities[index].span;
        let pick = |sentence: usize| {
            self.in_sentence(sentence)
                .filter(|&other| other != index && self.roles[other] == role)
                .min_by_key(|&other| {
                    let words = self.sheet.quantities[other].span;
                    words
                        .start
                        .abs_diff(span.end)
                        .min(span.start.abs_diff(words.end))
                })
        };
        let own = pick(sentence);
        let found = own.or_else(|| {
            key_sentences(self.sheet, sentence)
                .into_iter()
                .find_map(pick)
        })?;
        let quantity = &self.sheet.quantities[found];
        Some(fact(make(quantity.si?), quantity.span, found))
    }

    /// Facts that are words: metals, build, listings.
    fn words(&mut self, sole: Option<usize>) {
        let terms = self.terms;
        let sections = self.sections();
        let mut marked = FxHashMap::default();
        // Most hits tell how something is said, and nothing of a cable.
        let telling = [
            terms.insulated_strands,
            terms.solid,
            terms.stranded,
            terms.foil,
            terms.listing,
            terms.cca,
            terms.ccs,
            terms.copper,
            terms.silver_plated,
            terms.silver,
            terms.tinned,
            terms.aluminium,
            terms.gold,
            terms.nickel,
            terms.rhodium,
        ];
        for sentence in 0..self.sheet.sentences.len() {
            for at in 0..self.hits.of(sentence).len() {
                let hit = self.hits.of(sentence)[at];
                let concept = hit.concept;
                if !telling.contains(&concept) {
                    continue;
                }
                // "Silver instead of copper like the others": copper is the others'.
                let theirs = self.resolved[sentence].iter().find(|(words, _)| {
                    words.start > hit.span.end
                        && words.start - hit.span.end <= 7
                        && follows(self.text(), hit.span, &["instead of ", "rather than "])
                });
                let own = theirs.map_or_else(
                    || self.owner(sentence, hit.span, Owner::Nobody),
                    |(_, owner)| *owner,
                );
                let owner = match own {
                    Owner::One(entry) if Some(entry) == sole && !self.comparative => {
                        self.line_owner(&sections, sentence, entry)
                    }
                    Owner::Nobody => match (sole, self.neighbour_owner(sentence)) {
                        (_, Owner::One(entry)) => Owner::One(entry),
                        (Some(sole), _) => self.line_owner(&sections, sentence, sole),
                        (None, _) if !self.lines.is_empty() => {
                            self.footnote_owner(&mut marked, sentence)
                        }
                        _ => Owner::Nobody,
                    },
                    owner => owner,
                };
                let cables = self.cables_of(owner);
                if cables.is_empty() {
                    continue;
                }
                let build = [
                    (terms.insulated_strands, Build::InsulatedStrands),
                    (terms.solid, Build::Solid),
                    (terms.stranded, Build::Stranded),
                    (terms.foil, Build::Foil),
                ];
                if let Some((_, build)) = build.iter().find(|(term, _)| *term == concept) {
                    for &cable in &cables {
                        self.facts.cables[cable]
                            .build
                            .push(Fact::new(*build, hit.span));
                    }
                }
                if concept == terms.listing {
                    for &cable in &cables {
                        self.facts.cables[cable].listings.push(hit.span);
                    }
                }
                self.metal(sentence, at, &cables);
            }
        }
    }

    /// Whom words outside all lines of a table speak of: a footnote of the line that bears its mark, others of all.
    fn footnote_owner(
        &self,
        marked: &mut FxHashMap<&'static str, Vec<usize>>,
        sentence: usize,
    ) -> Owner {
        let text = self.text();
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block];
        let start = Span::new(
            block.span.start.saturating_sub(6),
            self.sheet.sentences[sentence]
                .span
                .start
                .max(block.span.start)
                + 4,
        );
        let near = text.get(start.start..start.end).unwrap_or("");
        const MARKS: &[&str] = &[
            "(1)", "(2)", "(3)", "(4)", "(5)", "1)", "2)", "3)", "4)", "5)", "[1]", "[2]", "[3]",
            "¹", "²", "³", "⁴", "⁵", "***", "**", "*", "†", "‡",
        ];
        let Some(mark) = MARKS.iter().find(|mark| near.contains(*mark)) else {
            return Owner::All;
        };
        // The first line with the mark, and the first in another block than that.
        let lines = marked.entry(*mark).or_insert_with(|| {
            let mut lines: Vec<usize> = Vec::new();
            for (other, words) in self.sheet.sentences.iter().enumerate() {
                let new = lines
                    .first()
                    .is_none_or(|&first| self.sheet.sentences[first].block != words.block);
                if new && self.line_of(other).is_some() && words.span.of(text).contains(mark) {
                    lines.push(other);
                    if lines.len() == 2 {
                        break;
                    }
                }
            }
            lines
        });
        let own = self.sheet.sentences[sentence].block;
        lines
            .iter()
            .find(|&&other| self.sheet.sentences[other].block != own)
            .and_then(|&other| self.line_of(other))
            .map_or(Owner::All, Owner::One)
    }

    /// Whose the sizes of each section are.
    fn sections(&self) -> Sections {
        let mut of: FxHashMap<usize, Option<Owner>> = FxHashMap::default();
        for index in 0..self.sheet.quantities.len() {
            let section = self.sheet.blocks[self.block_of(index)].section;
            let (Role::Size, Some(section)) = (self.roles[index], section) else {
                continue;
            };
            let owner = self.owners[index];
            of.entry(section)
                .and_modify(|known| *known = known.filter(|known| *known == owner))
                .or_insert(Some(owner));
        }
        Sections {
            of,
            unnamed: self
                .facts
                .cables
                .iter()
                .all(|cable| cable.mentions.is_empty()),
        }
    }

    /// The variant that the section of a sentence describes; words outside all variants speak of every one.
    fn line_owner(&self, sections: &Sections, sentence: usize, sole: usize) -> Owner {
        let section = self.sheet.blocks[self.sheet.sentences[sentence].block].section;
        match section.and_then(|section| sections.of.get(&section)) {
            Some(Some(owner)) => *owner,
            Some(None) => Owner::All,
            None if self.roster.entries.len() > 1 && sections.unnamed => Owner::All,
            None => Owner::One(sole),
        }
    }

    /// The owner of the quantities of a sentence, when they have one and the same.
    fn neighbour_owner(&self, sentence: usize) -> Owner {
        let mut owners = self
            .in_sentence(sentence)
            .map(|quantity| self.owners[quantity]);
        match owners.next() {
            Some(first) if owners.all(|owner| owner == first) => first,
            _ => Owner::Nobody,
        }
    }

    /// A metal named for all cables at once gives way to the one that a cable has of its own; two such metals say nothing of
    /// any ("copper-clad aluminium needs two sizes more" under a table of copper).
    fn general_metals(&mut self) {
        let cables = self
            .facts
            .cables
            .iter()
            .filter(|cable| !cable.metals.is_empty())
            .count();
        if cables < 2 || self.lines.len() < 2 {
            return;
        }
        let mut shared: rustc_hash::FxHashMap<Span, usize> = rustc_hash::FxHashMap::default();
        for metal in self.facts.cables.iter().flat_map(|cable| &cable.metals) {
            *shared.entry(metal.span).or_default() += 1;
        }
        let general = |metal: &Fact<String>| {
            shared
                .get(&metal.span)
                .is_some_and(|count| *count == cables)
        };
        // The head of a table speaks of its rows; remarks elsewhere do not.
        let heads: Vec<Span> = self
            .sheet
            .blocks
            .iter()
            .filter(|block| matches!(block.kind, BlockKind::Cell { row: 0, .. }))
            .map(|block| block.span)
            .collect();
        let headed = |metal: &Fact<String>| heads.iter().any(|head| head.contains(metal.span));
        let all: Vec<&Fact<String>> = self
            .facts
            .cables
            .iter()
            .flat_map(|cable| &cable.metals)
            .filter(|metal| general(metal))
            .collect();
        let agree =
            |metals: &[&Fact<String>]| metals.windows(2).all(|pair| pair[0].value == pair[1].value);
        let in_head: Vec<&Fact<String>> =
            all.iter().copied().filter(|metal| headed(metal)).collect();
        let keep: Vec<Span> = if agree(&all) {
            all.iter().map(|metal| metal.span).collect()
        } else if !in_head.is_empty() && agree(&in_head) {
            in_head.iter().map(|metal| metal.span).collect()
        } else {
            Vec::new()
        };
        for cable in &mut self.facts.cables {
            let own = cable.metals.iter().any(|metal| !general(metal));
            cable
                .metals
                .retain(|metal| !general(metal) || (!own && keep.contains(&metal.span)));
        }
    }

    fn metal(&mut self, sentence: usize, at: usize, cables: &[usize]) {
        let terms = self.terms;
        let hit = self.hits.of(sentence)[at];
        let wider = |concept| {
            self.hits
                .of(sentence)
                .iter()
                .any(|other| other.concept == concept && other.span.overlaps(hit.span))
        };
        let near = |concept, reach: usize| {
            self.hits.of(sentence).iter().any(|other| {
                other.concept == concept
                    && !other.span.overlaps(hit.span)
                    && other
                        .span
                        .start
                        .abs_diff(hit.span.end)
                        .min(hit.span.start.abs_diff(other.span.end))
                        <= reach
            })
        };
        // "Silver instead of copper" is silver.
        let before = self.text().get(..hit.span.start).unwrap_or("");
        let like = self
            .text()
            .get(hit.span.end..)
            .is_some_and(|after| after.trim_start().starts_with("like "));
        if !like
            && ["instead of ", "rather than ", "not of ", "in place of "]
                .iter()
                .any(|words| before.ends_with(words))
        {
            return;
        }
        let clad = wider(terms.cca) || wider(terms.ccs);
        // "Copper-clad aluminium, 15 % copper by volume" names one metal.
        let share = hit.concept == terms.copper
            && self
                .hits
                .of(sentence)
                .iter()
                .any(|other| other.concept == terms.cca || other.concept == terms.ccs)
            && self.in_sentence(sentence).any(|index| {
                let quantity = &self.sheet.quantities[index];
                quantity.kind == Kind::Percent
                    && quantity.span.end <= hit.span.start
                    && hit.span.start - quantity.span.end <= 12
            });
        if share {
            return;
        }
        let (key, plating) = match hit.concept {
            concept if concept == terms.cca => ("copper-clad-aluminium", false),
            concept if concept == terms.ccs => ("copper-clad-steel", false),
            concept if concept == terms.copper && !clad => ("copper", false),
            concept if concept == terms.silver_plated => ("silver", true),
            concept if concept == terms.silver && !wider(terms.silver_plated) => {
                ("silver", near(terms.plating, 10))
            }
            concept if concept == terms.tinned => (
                "tin",
                near(terms.plating, 24) && !near(terms.copper, 4) && !wider(terms.copper),
            ),
            concept if concept == terms.aluminium && !clad => {
                ("aluminium", near(terms.plating, 16))
            }
            concept if concept == terms.gold => ("gold", true),
            concept if concept == terms.nickel => ("nickel", true),
            concept if concept == terms.rhodium => ("rhodium", true),
            _ => return,
        };
        for &cable in cables {
            let cable = &mut self.facts.cables[cable];
            let fact = Fact::new(key.to_owned(), hit.span);
            if plating {
                cable.plating.push(fact);
            } else if key == "tin" {
                cable.tinned = cable.tinned.or(Some(hit.span));
            } else {
                cable.metals.push(fact);
            }
        }
    }

    /// Conductors in parallel for each pole: as many as are said to be joined, or half of four and more.
    fn parallel(&mut self, cable: usize) {
        let Some((span, quantity, written)) = self.facts.cables[cable]
            .conductor()
            .map(|size| (size.span, size.quantity, size.conductors))
        else {
            return;
        };
        let text = self.text();
        let sentence = self.sentence_of[quantity];
        let whole = self.sheet.sentences[sentence].span;
        let joined = self
            .hits
            .of(sentence)
            .iter()
            .find(|hit| hit.concept == self.terms.parallel)
            .map(|hit| hit.span);
        let counted = count::before(text, whole, span);
        let count = written
            .map(|count| Fact::new(count, span))
            .or(counted)
            .or_else(|| count::listed(self.sheet, sentence, self.facts.cables.len()));
        let Some(count) = count else { return };
        let each = match joined {
            Some(_) if count.value > 1 => count.value,
            _ if count.value >= 4 && count.value % 2 == 0 => count.value / 2,
            _ => 1,
        };
        let cable = &mut self.facts.cables[cable];
        cable.conductors = Some(count);
        cable.parallel = (each > 1).then(|| Fact::new(each, count.span));
    }

    fn unclaimed(&mut self) {
        self.facts.unclaimed = (0..self.sheet.quantities.len())
            .filter(|&index| {
                let owned = self.owners[index] != Owner::Nobody
                    && !matches!(self.roles[index], Role::Aside | Role::Percent | Role::Level);
                let setup = matches!(
                    self.roles[index],
                    Role::Load
                        | Role::Frequency
                        | Role::Power
                        | Role::Voltage
                        | Role::Current
                        | Role::Score
                        | Role::Temperature
                );
                !owned && !setup
            })
            .collect();
    }
}

/// Whether a block belongs to a procedure in steps: what is fitted in one is measured in the next.
fn stepped(sheet: &Sheet, block: usize) -> bool {
    const REACH: usize = 2;
    (block.saturating_sub(REACH)..=block).any(|at| {
        sheet.blocks.get(at).is_some_and(|block| {
            let words = block.span.of(sheet.flow.text());
            words
                .get(..5)
                .is_some_and(|start| start.eq_ignore_ascii_case("step "))
                && words.as_bytes().get(5).is_some_and(u8::is_ascii_digit)
        })
    })
}

/// Nought for words that mean what is on the left, one for what is on the right.
fn side_of(text: &str, mention: &Mention) -> Option<usize> {
    if !matches!(mention.means, Means::Ours | Means::Theirs) {
        return None;
    }
    let words = mention.span.of(text).to_lowercase();
    let says = |side: &str| words.split([' ', '-']).any(|word| word == side);
    if says("left") {
        Some(0)
    } else if says("right") {
        Some(1)
    } else {
        None
    }
}

/// Whether a mention stands right behind a place, with nothing but an article or a sign between.
fn beside(text: &str, first: Span, second: Span) -> bool {
    const BETWEEN: &[&str] = &[
        "", ",", ":", "the", ", the", "our", ", our", "a", ", a", "was the", "is the", "was", "is",
    ];
    first.end <= second.start
        && BETWEEN.contains(&Span::new(first.end, second.start).of(text).trim())
}

/// Whether one of `words` stands right before a span.
fn follows(text: &str, span: Span, words: &[&str]) -> bool {
    let ahead = text.get(..span.start).unwrap_or("");
    words.iter().any(|word| ahead.ends_with(word))
}

/// "Before: 8 metres of flex." The head says that another came after it.
fn headed_before(text: &str, sentence: Span) -> bool {
    let words = sentence.of(text).to_lowercase();
    [
        "before:",
        "old:",
        "then:",
        "previously:",
        "until now:",
        "was:",
    ]
    .iter()
    .any(|head| words.starts_with(head))
}

/// Whether words say of a thing that it is the same for all.
fn same_thing(text: &str, words: Span) -> bool {
    let words = words.of(text).to_lowercase();
    words.ends_with("same") || words == "identical"
}

/// Which of several an ordinal means, counted from nought.
fn ordinal(words: &str) -> Option<usize> {
    let words = words.to_lowercase();
    if words.starts_with("the first") {
        Some(0)
    } else if words.starts_with("the second") {
        Some(1)
    } else {
        None
    }
}

/// Whether what stands between a size and a name lets it be the size of the thing named: "14 AWG copper Tansy".
fn of_one_thing(between: &str) -> bool {
    const WORDS: &[&str] = &[
        "", "copper", "silver", "gauge", "ofc", "solid", "plain", "bare", "tinned", "of", "-",
        "of the", "of our", "of his", "of a", "of my", "of their",
    ];
    WORDS.contains(&between.trim().to_lowercase().as_str())
}

fn remember(last_two: &mut Vec<usize>, entry: usize) {
    if last_two.contains(&entry) {
        return;
    }
    if last_two.len() == 2 {
        last_two.remove(0);
    }
    last_two.push(entry);
}

fn ratio(a: Option<f64>, b: Option<f64>) -> f64 {
    match (a, b) {
        (Some(a), Some(b)) if a > 0.0 && b > 0.0 => (a / b).max(b / a),
        _ => 1.0,
    }
}

fn uniform(kinds: impl Iterator<Item = Option<Kind>>) -> bool {
    let mut kinds = kinds.flatten();
    let Some(first) = kinds.next() else {
        return false;
    };
    let mut more = 0;
    for kind in kinds {
        if kind != first {
            return false;
        }
        more += 1;
    }
    more > 0
}

pub(super) fn fact<T>(value: T, span: Span, quantity: usize) -> Fact<T> {
    Fact {
        value,
        span,
        quantity: Some(quantity),
    }
}

/// A count without a fraction, when it is one.
pub(super) fn whole(value: f64) -> Option<u32> {
    (0.0..=4.0e9).contains(&value).then(|| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the range was checked"
        )]
        let count = value.round() as u32;
        count
    })
}

/// Longest clause on either side of the words, in bytes.
const CLAUSE: usize = 600;

/// The clause of a sentence that holds `span`: from border to border.
pub(super) fn clause_at(text: &str, sentence: Span, span: Span) -> Span {
    const BORDERS: &[&str] = &[
        ", ",
        "; ",
        ": ",
        " (",
        ") ",
        " — ",
        " – ",
        " and ",
        " but ",
        " while ",
        " where the ",
        " whereas ",
        " against ",
        " than ",
    ];
    // No clause is that long: what is further away stands in another.
    let from = sentence.start.max(span.start.saturating_sub(CLAUSE));
    let from = text
        .ceil_char_boundary(from)
        .min(span.start.max(sentence.start));
    let to = text.floor_char_boundary(sentence.end.min(span.end.saturating_add(CLAUSE)));
    let before = Span::new(from, span.start).of(text).as_bytes();
    let after = Span::new(span.end.min(to), to).of(text).as_bytes();
    // Every border begins with one of these signs, and none lies inside another.
    let border_at = |bytes: &[u8], at: usize| {
        let rest = bytes
            .get(at..)
            .filter(|rest| matches!(rest.first(), Some(b' ' | b',' | b';' | b':' | b')')))?;
        BORDERS
            .iter()
            .find(|border| rest.starts_with(border.as_bytes()))
            .map(|border| border.len())
    };
    let start = (0..before.len())
        .rev()
        .find_map(|at| border_at(before, at).map(|len| at + len))
        .unwrap_or(0);
    let end = (0..after.len())
        .find(|&at| border_at(after, at).is_some())
        .unwrap_or(after.len());
    Span::new(from + start, span.end + end)
}

/// The quantity as a plain number.
pub(super) fn number(quantity: &Quantity) -> Option<f64> {
    match quantity.value {
        crate::sheet::Value::Number(value) => Some(value),
        crate::sheet::Value::Text(_) => None,
    }
}
