//! One name with several sizes is several cables. Knows owners and the sections of the document, and makes no fact.

use super::{Owner, Reader, ratio};
use crate::facts::bound;
use crate::facts::kept::{ByEntry, Places};
use crate::facts::roles::Role;
use crate::facts::roster;
use crate::facts::types::FigureKind;
use crate::sheet::BlockKind;
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};
use std::cell::OnceCell;

/// Keys of fields by number, equal ones under one.
#[derive(Debug, Default)]
struct Keys {
    of_block: Places,
    /// Those of the fields under a heading, in order.
    of_section: FxHashMap<usize, Vec<u32>>,
}

impl Reader<'_> {
    /// One entry that is given two sizes in one notation is two cables: a range, a variant, a list of sizes. The facts of the
    /// section, the block or the stretch of a block in which the other size stands go with it.
    pub(super) fn split_variants(&mut self) {
        let owned = self.by_entry(|index| {
            self.roles[index] == Role::Size
                && matches!(self.owners.at(index), Owner::One(_))
                && self.sheet.quantities[index].si().is_some()
        });
        // Most documents have no such entry, and these lists are as long as they are.
        let lists = OnceCell::new();
        let keys = OnceCell::new();
        for entry in 0..self.roster.entries.len() {
            let sizes: Vec<usize> = owned.of(entry).collect();
            let Some(&first) = sizes.first() else {
                continue;
            };
            let mut variants: Vec<(usize, usize)> = Vec::new();
            // The size before, when it is another than none of those before it.
            let mut agrees: Option<usize> = None;
            for (place, &size) in sizes.iter().enumerate() {
                // One that is written as that one is another than none of them either.
                if agrees.is_some_and(|before| self.repeats(before, size)) {
                    agrees = Some(size);
                    continue;
                }
                agrees = None;
                let quantity = &self.sheet.quantities[size];
                let conflicts = |other_index: usize| {
                    let other = &self.sheet.quantities[other_index];
                    // "12–14 AWG" is one statement, and "50 kcmil, 35 mm²" are two about one conductor.
                    let range = quantity.range_number();
                    (range.is_none() || range != other.range_number())
                        && other.kind == quantity.kind
                        && other.swg == quantity.swg
                        && ratio(other.si(), quantity.si()) > 1.02
                        && self.notation(other_index) == self.notation(size)
                };
                // Under another heading a clearly different size is another cable, however it is written.
                let section = |index: usize| self.sheet.blocks[self.block_of(index)].section();
                let own = section(size);
                let elsewhere = |other: usize| {
                    let apart =
                        own.is_some() && section(other).is_some_and(|_| section(other) != own);
                    // So is one in another long paragraph of running text.
                    let told = || {
                        self.block_of(other) != self.block_of(size)
                            && self.in_prose(other)
                            && self.in_prose(size)
                    };
                    (ratio(self.sheet.quantities[other].si(), quantity.si()) > 1.3
                        && (apart || told()))
                        || (apart
                            && (self.fields_alike(&keys, other, size)
                                || self.headed_alike(other, size)))
                };
                // The sizes that the place of this one already speaks for.
                if !bound::ends(&sizes[..place])
                    .filter(|&&other| self.owners.alike(other, size))
                    .any(|&other| conflicts(other) || elsewhere(other))
                {
                    agrees = Some(size);
                    continue;
                }
                let known = bound::ends(&variants).find(|&&(_, head)| {
                    let same = self.sheet.quantities[head].kind == quantity.kind
                        && !conflicts(head)
                        && !self.fields_alike(&keys, head, size)
                        && !self.headed_alike(head, size);
                    same || (!conflicts(head) && self.block_of(head) == self.block_of(size) && {
                        let span = self.sheet.quantities[head].span;
                        span.start().abs_diff(quantity.span.start()) < 60
                    })
                });
                let variant = match known {
                    Some(&(variant, _)) => variant,
                    None => {
                        let name = self.variant_name(size, first);
                        if self.roster.entries[entry].name.is_empty()
                            && let Some(own) = self.name_of_first(first, size)
                        {
                            self.roster.entries[entry].name = own;
                        }
                        self.roster.add_new(&name, &format!("variant {size}"))
                    }
                };
                variants.push((variant, size));
                let now = self.owners.at(size);
                let first_now = bound::ends(&sizes[..place])
                    .copied()
                    .find(|&other| self.owners.at(other) == now)
                    .unwrap_or(first);
                let (by_section, by_entry) =
                    lists.get_or_init(|| (self.by_section(), self.by_entry(|_| true)));
                let all = by_entry.of(entry);
                for index in self.scope(size, first_now, now, (all, by_section)) {
                    self.owners.set(index, Owner::One(variant));
                }
            }
        }
    }

    /// Whether a quantity stands in a long paragraph of running text.
    fn in_prose(&self, index: usize) -> bool {
        let block = &self.sheet.blocks[self.block_of(index)];
        block.span.len() > 100 && matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item)
    }

    /// Whether a size says again what the one before says, in the same block or where no heading and no running text sets them apart.
    fn repeats(&self, before: usize, size: usize) -> bool {
        let (own, other) = (&self.sheet.quantities[size], &self.sheet.quantities[before]);
        let (block, other_block) = (self.block_of(size), self.block_of(before));
        let open = |block: usize| self.sheet.blocks[block].section().is_none();
        self.owners.alike(before, size)
            && own.kind == other.kind
            && own.swg == other.swg
            && own.range.is_none()
            && other.range.is_none()
            && own.si().map(f64::to_bits) == other.si().map(f64::to_bits)
            && (block == other_block
                || open(block)
                    && open(other_block)
                    && !self.in_prose(size)
                    && !self.in_prose(before))
            && self.notation(before) == self.notation(size)
    }

    /// Quantities of each block, those of what stands under a heading with it.
    fn by_section(&self) -> ByEntry {
        let under = (0..self.sheet.quantities.len()).flat_map(|index| {
            let block = self.block_of(index);
            let section = self.sheet.blocks[block].section();
            section
                .into_iter()
                .chain([block])
                .map(move |at| (at, index))
        });
        ByEntry::new(self.sheet.blocks.len(), under)
    }

    /// The keys of the fields under each heading.
    fn keys_of_sections(&self) -> Keys {
        let mut keys = Keys::default();
        let mut numbers: FxHashMap<String, u32> = FxHashMap::default();
        for (index, block) in self.sheet.blocks.iter().enumerate() {
            if let (Some(section), Some(key)) = (block.section(), block.key()) {
                let words = key.of(self.text()).trim().to_lowercase();
                let fresh = u32::try_from(numbers.len()).unwrap_or(u32::MAX);
                let number = *numbers.entry(words).or_insert(fresh);
                keys.of_block.insert(index, number as usize);
                let own = keys.of_section.entry(section).or_default();
                if let Err(place) = own.binary_search(&number) {
                    own.insert(place, number);
                }
            }
        }
        keys
    }

    /// Whether two sizes stand in fields of one name under two headings that have more such fields in common: each heading
    /// describes a cable of its own, however alike they are.
    fn fields_alike(&self, keys: &OnceCell<Keys>, a: usize, b: usize) -> bool {
        const SHARED: usize = 3;
        let (first, second) = (self.block_of(a), self.block_of(b));
        let section = |block: usize| self.sheet.blocks[block].section();
        let (Some(one), Some(other)) = (section(first), section(second)) else {
            return false;
        };
        if one == other {
            return false;
        }
        let keys = keys.get_or_init(|| self.keys_of_sections());
        let key = |block: usize| keys.of_block.get(block);
        if key(first).is_none() || key(first) != key(second) {
            return false;
        }
        let (Some(own), Some(others)) = (keys.of_section.get(&one), keys.of_section.get(&other))
        else {
            return false;
        };
        own.iter()
            .filter(|key| others.binary_search(key).is_ok())
            .nth(SHARED - 1)
            .is_some()
    }

    /// Whether two sizes stand under headings that count things of one kind: “Zone 2, den” and “Zone 4, study”.
    fn headed_alike(&self, a: usize, b: usize) -> bool {
        let heading = |index: usize| {
            let section = self.sheet.blocks[self.block_of(index)].section()?;
            let words = self.sheet.blocks.get(section)?.span.of(self.text());
            let mut words = words.split_whitespace();
            let (kind, number) = (words.next()?, words.next()?);
            let number = number.trim_end_matches([',', ':', '.', ')', '-', '–', '—']);
            let counted = number.len() <= 3 && number.bytes().all(|byte| byte.is_ascii_digit())
                || number.len() == 1
                    && number.starts_with(|letter: char| letter.is_ascii_uppercase());
            counted.then_some((kind, number))
        };
        matches!((heading(a), heading(b)), (Some((kind, one)), Some((other, two))) if kind == other && one != two)
    }

    /// “Article 7706   2 x 6 mm²” over fields of its resistance: what has sizes alone and what has none of them are one cable, where both
    /// are called the same.
    pub(super) fn join_namesakes(&mut self) {
        let mut called: FxHashMap<String, Vec<usize>> = FxHashMap::default();
        for (entry, known) in self.roster.entries.iter().enumerate() {
            if known.is_named() && !known.merged && !known.name.is_empty() {
                called
                    .entry(known.name.to_lowercase())
                    .or_default()
                    .push(entry);
            }
        }
        called.retain(|_, entries| entries.len() == 2);
        if called.is_empty() {
            return;
        }
        let mut sized = vec![false; self.roster.entries.len()];
        let mut measured = sized.clone();
        for (index, owner) in self.owners.iter().enumerate() {
            let Owner::One(entry) = owner else { continue };
            match self.roles[index] {
                Role::Size => sized[entry] = true,
                Role::Figure(_) => measured[entry] = true,
                _ => {}
            }
        }
        let mut joined: FxHashMap<usize, usize> = FxHashMap::default();
        for pair in called.values() {
            let &[first, second] = pair.as_slice() else {
                continue;
            };
            for (own, other) in [(first, second), (second, first)] {
                if sized[own] && !measured[own] && !sized[other] && measured[other] {
                    joined.insert(other, own);
                }
            }
        }
        for index in 0..self.owners.len() {
            if let Owner::One(entry) = self.owners.at(index)
                && let Some(&own) = joined.get(&entry)
            {
                self.owners.set(index, Owner::One(own));
            }
        }
    }

    /// A sentence that names a size and no cable speaks of the one cable that has this size.
    pub(super) fn size_references(&mut self) {
        let quantities = 0..self.sheet.quantities.len();
        let size = |reader: &Self, index: usize| reader.roles[index] == Role::Size;
        let lost: Vec<usize> = quantities
            .clone()
            .filter(|&index| self.owners.at(index) == Owner::Nobody && size(self, index))
            .collect();
        // One of each kind, value and owner is enough to tell whose a size is.
        let mut known: Vec<(usize, Owner)> = Vec::new();
        let mut seen = FxHashSet::default();
        let mut learn = |reader: &Self, index: usize, known: &mut Vec<(usize, Owner)>| {
            let quantity = &reader.sheet.quantities[index];
            if let Owner::One(entry) = reader.owners.at(index)
                && size(reader, index)
                && known.len() < bound::SIZES_KNOWN
                && seen.insert((quantity.kind, quantity.si().map(f64::to_bits), entry))
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
                    other.kind == quantity.kind && ratio(other.si(), quantity.si()) < 1.01
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
            for index in self.in_sentence(self.sentence_of(size)) {
                if matches!(self.owners.at(index), Owner::Nobody | Owner::All) {
                    self.owners.set(index, owner);
                    learn(self, index, &mut known);
                }
            }
        }
    }

    /// A cable that is called by its size has no other: `2 x 4 mm²` belongs to the line `4 mm²` and not to `0.75 mm²`.
    pub(super) fn sizes_by_name(&mut self) {
        const ALIKE: f64 = 1.03;
        /// A chart of more sizes has one beside any size.
        const MOST: usize = 64;
        if self.sized.is_empty() || self.sized.len() > MOST {
            return;
        }
        for index in 0..self.owners.len() {
            let area = self.sheet.quantities[index].si();
            let Owner::One(entry) = self.owners.at(index) else {
                continue;
            };
            let own = self.sized.get(&entry).copied();
            let told = self.line_of(self.sentence_of(index)).is_none();
            if told && self.roles[index] == Role::Size && own.is_some() && ratio(own, area) > ALIKE
            {
                let mut called = (self.sized.iter())
                    .filter(|(_, other)| ratio(Some(**other), area) <= ALIKE)
                    .map(|(&entry, _)| entry);
                self.owners.set(
                    index,
                    match (called.next(), called.next()) {
                        (Some(entry), None) => Owner::One(entry),
                        _ => Owner::Nobody,
                    },
                );
            }
        }
    }

    /// A figure in a paragraph that names no cable is of the size that stands there, not of one that was told elsewhere.
    pub(super) fn figures_beside_sizes(&mut self) {
        let mut at = 0;
        while at < self.owners.len() {
            let block = self.block_of(at);
            let end = (at..self.owners.len())
                .find(|&index| self.block_of(index) != block)
                .unwrap_or(self.owners.len());
            self.figures_of_block(at..end, block);
            at = end;
        }
    }

    /// "What does the label say? 4 mm² copper, 3.1 Ω/km per core": a sentence that gives one size and the resistance of so much of it
    /// tells of a wire of its own, whatever else is compared around it.
    pub(super) fn told_in_full(&mut self) {
        let lost = |reader: &Self, index: usize| reader.owners.at(index) == Owner::Nobody;
        for sentence in 0..self.sheet.sentences.len() {
            let own = self.in_sentence(sentence);
            if own.len() < 2 || own.len() > 6 || !self.resolved.of(sentence).is_empty() {
                continue;
            }
            let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
            let told = matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item);
            let of = |role: Role| -> Vec<usize> {
                own.clone()
                    .filter(|&index| self.roles[index] == role)
                    .collect()
            };
            let sizes = of(Role::Size);
            let figures = of(Role::Figure(FigureKind::ResistancePerLength));
            let (&[size], &[figure]) = (sizes.as_slice(), figures.as_slice()) else {
                continue;
            };
            if !told || !lost(self, size) || !lost(self, figure) {
                continue;
            }
            let span = self.sheet.quantities[size].span;
            let name = span.of(self.text()).to_owned();
            let entry = self.roster.add_new(&name, &format!("told {sentence}"));
            self.roster.entries[entry].alone = true;
            for index in own.filter(|&index| lost(self, index)).collect::<Vec<_>>() {
                self.owners.set(index, Owner::One(entry));
            }
            self.resolved.add(sentence, span, Owner::One(entry));
        }
    }

    /// The same for the quantities of one block.
    fn figures_of_block(&mut self, quantities: std::ops::Range<usize>, block: usize) {
        /// A stretch with more sizes is a list, and none of them speaks for the rest.
        const MOST: usize = 64;
        let block = &self.sheet.blocks[block];
        let told = matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item);
        let named = (self.resolved.within(block.sentences())).any(|mentions| !mentions.is_empty());
        if !told || named {
            return;
        }
        let mut owners: Vec<Owner> = quantities
            .clone()
            .filter(|&index| self.roles[index] == Role::Size)
            .map(|index| self.owners.at(index))
            .take(MOST + 1)
            .collect();
        owners.dedup();
        let Some(&first) = owners.first().filter(|_| owners.len() <= MOST) else {
            return;
        };
        let one = owners.len() == 1;
        for index in quantities {
            let figure = matches!(self.roles[index], Role::Figure(_));
            let elsewhere = matches!(self.owners.at(index), Owner::One(_))
                && !owners.contains(&self.owners.at(index));
            if figure && elsewhere {
                self.owners
                    .set(index, if one { first } else { Owner::Nobody });
            }
        }
    }

    /// What to call the variant that a size makes: the heading of its section, the key of its block, or the size itself.
    fn variant_name(&self, size: usize, first: usize) -> String {
        let text = self.text();
        let block = &self.sheet.blocks[self.block_of(size)];
        let section_of = |quantity: usize| self.sheet.blocks[self.block_of(quantity)].section();
        let heading = block
            .section()
            .filter(|_| section_of(size) != section_of(first));
        let heading = heading
            .and_then(|section| self.sheet.blocks.get(section))
            .map(|block| block.span.of(text));
        let key = block
            .key()
            .filter(|_| self.block_of(size) != self.block_of(first))
            .map(|key| key.of(text))
            .filter(|key| {
                !self
                    .terms
                    .lists
                    .name_property
                    .has(&key.trim().to_lowercase())
            });
        let name = heading
            .or(key)
            .unwrap_or_else(|| self.sheet.quantities[size].span.of(text));
        name.trim().trim_end_matches(':').to_owned()
    }

    /// What the cable without a name is called from which another one is set apart by its heading or its key: by its own, where they are
    /// alike.
    fn name_of_first(&self, first: usize, other: usize) -> Option<String> {
        const WORDS: usize = 4;
        let text = self.text();
        let block = |index: usize| &self.sheet.blocks[self.block_of(index)];
        let (own, others) = (block(first).section(), block(other).section());
        let lists = self.terms.lists;
        let proper = |words: &str| {
            let lower = words.to_lowercase();
            words.starts_with(char::is_uppercase)
                && words.split_whitespace().count() <= WORDS
                && !roster::property_of(&self.terms, &lower)
                && !lists.name_common.has(&lower)
        };
        let words_of = |span: Span| span.of(text).trim().trim_end_matches(':');
        let (name, beside) = if own == others {
            let (key, beside) = (block(first).key()?, block(other).key()?);
            (words_of(key), words_of(beside))
        } else {
            let (own, others) = (own?, others?);
            let title = |at: usize| self.sheet.blocks.get(at).map(|title| words_of(title.span));
            let of_cable = |at: usize| {
                let title = self.sheet.blocks.get(at);
                let sentences = title.into_iter().flat_map(crate::sheet::Block::sentences);
                sentences
                    .filter(|&at| self.hits.say(at, self.terms.cable))
                    .count()
            };
            if of_cable(own) != of_cable(others) {
                return None;
            }
            (title(own)?, title(others)?)
        };
        let capitals = |words: &str| !words.contains(char::is_lowercase);
        let alike = name != beside
            && capitals(name) == capitals(beside)
            && name.split_whitespace().count() == beside.split_whitespace().count();
        (alike && proper(name) && proper(beside)).then(|| name.to_owned())
    }

    /// Quantities of `owner` that go with the size of a variant: of those that an entry and its variants have in `all`, and of
    /// those under each heading.
    fn scope(
        &self,
        size: usize,
        first: usize,
        owner: Owner,
        (all, by_section): (impl ExactSizeIterator<Item = usize>, &ByEntry),
    ) -> Vec<usize> {
        let section_of = |quantity: usize| self.sheet.blocks[self.block_of(quantity)].section();
        let own = |index: &usize| self.owners.at(*index) == owner;
        let section = section_of(size);
        if section != section_of(first) {
            // The heading itself can state a length: "Grey (5 m, terminated)".
            if let Some(section) = section
                && by_section.of(section).len() < all.len()
            {
                return by_section.of(section).filter(own).collect();
            }
            let there = |index: &usize| {
                section_of(*index) == section || section == Some(self.block_of(*index))
            };
            return all.filter(own).filter(there).collect();
        }
        if self.block_of(size) != self.block_of(first) {
            // What is set deeper below the field of the size goes with it.
            let block = self.block_of(size);
            let blocks = &self.sheet.blocks;
            let hung = (block + 1..blocks.len())
                .take_while(|&at| self.sheet.hangs_under(at) == Some(block));
            let end = blocks[hung.last().unwrap_or(block)].sentences().end;
            let start = blocks[block].sentences().start;
            return (self.first_in(start)..self.first_in(end))
                .filter(own)
                .collect();
        }
        // "8 m of 2.5 mm²": so much there is of this one.
        let of_it = |index: usize| {
            let quantities = &self.sheet.quantities;
            index + 1 == size
                && self.roles[index] == Role::Run
                && Span::new(quantities[index].span.end(), quantities[size].span.start())
                    .of(self.text())
                    .trim()
                    == "of"
        };
        let alone = self.sentence_of(size) != self.sentence_of(first);
        self.in_sentence(self.sentence_of(size))
            .filter(|&index| alone || index >= size || of_it(index))
            .filter(own)
            .collect()
    }
}
