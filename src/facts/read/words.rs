//! Words to facts: metals, plating, build, listings, conductors in parallel. Takes the owners of quantities as they are.

use super::{Owner, Reader, follows};
use crate::facts::context::key_sentences;
use crate::facts::count;
use crate::facts::kept::push_close;
use crate::facts::roles::Role;
use crate::facts::terms::Terms;
use crate::facts::types::{Build, Fact};
use crate::lexicon::ConceptId;
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use rustc_hash::FxHashMap;

/// Whose the sizes of each section are: one owner, or `None` when there are several.
#[derive(Default)]
struct Sections {
    of: FxHashMap<usize, Option<Owner>>,
    /// No cable is mentioned anywhere.
    unnamed: bool,
}

impl Reader<'_> {
    /// Facts that are words: metals, build, listings.
    pub(super) fn words(&mut self, sole: Option<usize>) {
        let terms = self.terms;
        // Asked for only where there is no more than one cable.
        let sections = sole.map(|_| self.sections()).unwrap_or_default();
        // Most hits tell how something is said, and nothing of a cable.
        let build = [
            terms.insulated_strands,
            terms.solid,
            terms.stranded,
            terms.foil,
            terms.listing,
        ];
        let telling = [&build[..], &metals(&terms)[..]].concat();
        for sentence in 0..self.sheet.sentences.len() {
            if !self.lines.is_empty() && (self.defines(sentence) || self.of_option(sentence)) {
                continue;
            }
            if self.tells_of_unlisted(sentence) {
                continue;
            }
            for (at, hit) in self.hits.placed_any(sentence, &telling) {
                let concept = hit.concept;
                // "Silver instead of copper like the others": copper is the others'.
                let theirs = self.resolved.of(sentence).iter().find(|(words, _)| {
                    words.start() > hit.span.end()
                        && words.start() - hit.span.end() <= 7
                        && follows(self.text(), hit.span, &["instead of ", "rather than "])
                });
                let own = theirs.map_or_else(
                    || self.owner(sentence, hit.span, self.focus_of(sentence)),
                    |(_, owner)| owner,
                );
                let mut noted = Vec::new();
                let owner = match own {
                    Owner::One(entry) if Some(entry) == sole && !self.comparative => {
                        self.line_owner(&sections, sentence, entry)
                    }
                    Owner::Nobody => match (sole, self.neighbour_owner(sentence)) {
                        (_, Owner::One(entry)) => Owner::One(entry),
                        (Some(sole), _) => self.line_owner(&sections, sentence, sole),
                        // "Patch bay wiring: single solid 10 AWG": a wire that is in no line.
                        (None, _) if self.tells_another_size(sentence) => Owner::Nobody,
                        (None, _) if self.goes_on_in_item(sentence) => Owner::Nobody,
                        (None, _) if !self.lines.is_empty() => {
                            noted = self.noted(sentence);
                            if noted.is_empty() {
                                noted = self.led(sentence);
                            }
                            Owner::All
                        }
                        _ => Owner::Nobody,
                    },
                    owner => owner,
                };
                // "In one of the two letters there is the word": nobody knows in which.
                if owner == Owner::All && self.of_one_among(sentence, hit.span) {
                    continue;
                }
                let cables = if noted.is_empty() {
                    self.cables_at(sentence, owner)
                } else {
                    noted
                };
                if cables.is_empty() {
                    continue;
                }
                let build = [
                    (terms.insulated_strands, Build::InsulatedStrands),
                    (terms.solid, Build::Solid),
                    (terms.stranded, Build::Stranded),
                    (terms.foil, Build::Foil),
                ];
                // "One solid wire, not stranded".
                let said = |(term, _): &&(ConceptId, Build)| {
                    *term == concept
                        && !self.is_negated(sentence, hit.span)
                        && !self.is_rival(sentence, hit.span)
                };
                if let Some((_, build)) = build.iter().find(said) {
                    for &cable in &cables {
                        self.facts.cables[cable]
                            .besides()
                            .build
                            .push(Fact::new(*build, hit.span));
                    }
                }
                // "6530 CM" is an area, and "40 cm" a length.
                let measured = || {
                    self.in_sentence(sentence)
                        .any(|index| self.sheet.quantities[index].span.overlaps(hit.span))
                };
                if concept == terms.listing && !measured() {
                    for &cable in &cables {
                        self.facts.cables[cable].besides().listings.push(hit.span);
                    }
                }
                self.metal(sentence, at, &cables);
            }
        }
    }

    /// Whether a word for a build is said of what the cable is set against: “less than stranded wire of the same size”.
    fn is_rival(&self, sentence: usize, words: Span) -> bool {
        /// Words between.
        const NEAR: usize = 3;
        /// Bytes that they take.
        const BYTES: usize = 40;
        let ahead = self.ahead(sentence, words, BYTES);
        let clause = ahead.rsplit([',', ';', ':', '(']).next().unwrap_or(&ahead);
        let mut near = clause.split_whitespace().rev().take(NEAR);
        near.any(|word| self.terms.lists.build_rival.has(word))
    }

    /// Whether a negation stands a few words before, in the same clause: “not stranded”, “neither is stranded”.
    fn is_negated(&self, sentence: usize, words: Span) -> bool {
        const NEAR: usize = 4;
        let start = self.sheet.sentences[sentence].span.start();
        let ahead = Span::new(start, words.start().max(start)).of(self.text());
        let clause = ahead.rsplit([',', ';', ':', '(']).next().unwrap_or(ahead);
        let mut near = clause.split_whitespace().rev().take(NEAR);
        near.any(|word| {
            let word = word.to_lowercase().replace('’', "'");
            self.terms.lists.outcome_negation.has(&word)
        })
    }

    /// Whom a sentence in a paragraph of running text that tells of one of several cables goes on to speak of.
    fn focus_of(&self, sentence: usize) -> Owner {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        /// Sentences before it that are looked at.
        const BACK: usize = 64;
        let from = block.sentences().start.max(sentence.saturating_sub(BACK));
        let named = (self.resolved.within(from..sentence)).any(|mentions| !mentions.is_empty());
        let told = self.comparative && block.kind() == BlockKind::Paragraph && named;
        match self.focus.get(sentence) {
            Some(Owner::One(entry)) if told => Owner::One(entry),
            // An item says what the thing that it names is made of before it says what that is like.
            Some(Owner::One(entry)) if named && block.kind() == BlockKind::Item => {
                let cable = self.facts.cables.get(entry);
                cable
                    .filter(|cable| cable.metals.is_empty())
                    .map_or(Owner::Nobody, |_| Owner::One(entry))
            }
            _ => Owner::Nobody,
        }
    }

    /// The cables whose values bear the mark of the footnote in which a sentence stands. None where it is no footnote: then words
    /// outside all lines speak of every one.
    fn noted(&self, sentence: usize) -> Vec<usize> {
        let own = self.sheet.sentences[sentence].block();
        // Further on in the block it need not go on about the line.
        if self.sheet.blocks[own].sentences().start == sentence {
            self.noted_cables(own)
        } else {
            Vec::new()
        }
    }

    /// The cables of the table right below the line in which a sentence stands, where the document has others: “(plain copper throughout)”
    /// between the name of a series and its rows.
    fn led(&self, sentence: usize) -> Vec<usize> {
        /// Most words of such a line.
        const WORDS: usize = 10;
        let own = self.sheet.sentences[sentence].block();
        let block = &self.sheet.blocks[own];
        let mut words = block.span.of(self.text()).split_whitespace();
        if block.sentences().len() > 1 || words.nth(WORDS).is_some() {
            return Vec::new();
        }
        let table = |at: usize| match self.sheet.blocks.get(at)?.kind() {
            BlockKind::Cell { table, .. } => Some(table),
            _ => None,
        };
        let Some(below) = table(own + 1).filter(|_| table(own).is_none()) else {
            return Vec::new();
        };
        let mut cables: Vec<usize> = (own + 1..self.sheet.blocks.len())
            .take_while(|&at| table(at) == Some(below))
            .flat_map(|at| self.sheet.blocks[at].sentences())
            .flat_map(|at| self.in_sentence(at))
            .filter_map(|quantity| match self.owners.at(quantity) {
                Owner::One(entry) => Some(entry),
                _ => None,
            })
            .flat_map(|entry| self.cables_at(sentence, Owner::One(entry)))
            .collect();
        cables.sort_unstable();
        cables.dedup();
        cables
    }

    /// Whose the sizes of each section are.
    fn sections(&self) -> Sections {
        let mut of: FxHashMap<usize, Option<Owner>> = FxHashMap::default();
        for index in 0..self.sheet.quantities.len() {
            let section = self.sheet.blocks[self.block_of(index)].section();
            let (Role::Size, Some(section)) = (self.roles[index], section) else {
                continue;
            };
            let owner = self.owners.at(index);
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
        let section = self.sheet.blocks[self.sheet.sentences[sentence].block()].section();
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
            .map(|quantity| self.owners.at(quantity));
        match owners.next() {
            Some(first) if owners.all(|owner| owner == first) => first,
            _ => Owner::Nobody,
        }
    }

    /// Gives the metal that a hit names, if it names one, to its cables.
    fn metal(&mut self, sentence: usize, at: usize, cables: &[usize]) {
        let (Some((key, plating)), Some(hit)) = (
            self.metal_named(sentence, at),
            self.hits.of(sentence).get(at),
        ) else {
            return;
        };
        let span = hit.span;
        let excepted = self.excepted(sentence, span);
        for &cable in cables.iter().filter(|&&cable| !excepted.contains(&cable)) {
            let cable = &mut self.facts.cables[cable];
            let fact = Fact::new(key, span);
            if plating {
                cable.besides().plating.push(fact);
            } else if key == "tin" {
                cable.besides().tinned.get_or_insert(span);
            } else {
                push_close(&mut cable.metals, fact);
            }
        }
    }

    /// Cables that stand right behind a metal as those which are not of it: “all copper except the Elstow”.
    fn excepted(&self, sentence: usize, metal: Span) -> Vec<usize> {
        /// Bytes behind the metal in which it is said.
        const NEAR: usize = 30;
        let mut mentions = self.resolved.of(sentence).iter();
        if !mentions.any(|(words, _)| words.start() >= metal.end()) {
            return Vec::new();
        }
        let end = self.sheet.sentences[sentence].span.end();
        let reach = self.text().floor_char_boundary(end.min(metal.end() + NEAR));
        let behind = Span::new(metal.end(), reach.max(metal.end())).of(self.text());
        let lists = self.terms.lists;
        let Some(word) = lists
            .metal_except
            .entries()
            .find_map(|word| behind.find(word))
        else {
            return Vec::new();
        };
        let from = metal.end() + word;
        self.resolved
            .of(sentence)
            .iter()
            .filter(|(words, _)| words.start() >= from && words.start() <= from + NEAR)
            .filter_map(|(_, owner)| match owner {
                Owner::One(cable) => Some(cable),
                _ => None,
            })
            .take(1)
            .collect()
    }

    /// The key of the metal that the hit at that place of a sentence names, and whether it is a plating.
    pub(in crate::facts) fn metal_named(
        &self,
        sentence: usize,
        at: usize,
    ) -> Option<(&'static str, bool)> {
        /// Bytes before a metal in which it is denied.
        const NEGATED: usize = 24;
        let terms = self.terms;
        let hit = self.hits.of(sentence).get(at)?;
        if !metals(&terms).contains(&hit.concept) {
            return None;
        }
        let wider = |concept| {
            self.hits
                .saying(sentence, concept)
                .any(|other| other.span.overlaps(hit.span))
        };
        let near = |concept, reach: usize| {
            self.hits.saying(sentence, concept).any(|other| {
                !other.span.overlaps(hit.span)
                    && other
                        .span
                        .start()
                        .abs_diff(hit.span.end())
                        .min(hit.span.start().abs_diff(other.span.end()))
                        <= reach
            })
        };
        // "Silver instead of copper" is silver.
        // Of words that overlap the widest are meant: "no copper-clad aluminium".
        let from = [terms.cca, terms.ccs]
            .into_iter()
            .flat_map(|concept| self.hits.saying(sentence, concept))
            .filter(|other| other.span.overlaps(hit.span))
            .map(|other| other.span.start())
            .fold(hit.span.start(), usize::min);
        let before = self.text().get(..from).unwrap_or("");
        let like = self
            .text()
            .get(hit.span.end()..)
            .is_some_and(|after| after.trim_start().starts_with("like "));
        let near_before = before
            .get(before.ceil_char_boundary(before.len().saturating_sub(NEGATED))..)
            .unwrap_or("")
            .to_lowercase();
        if !like && terms.lists.metal_not.ends(&near_before) {
            return None;
        }
        if self.refused(sentence) {
            return None;
        }
        // "12 AWG | 2.5 Ω/1000 ft | about the same as: 14 AWG copper": the head tells of another wire.
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        let of_another = matches!(block.kind(), BlockKind::Cell { .. })
            && key_sentences(self.sheet, sentence)
                .into_iter()
                .any(|head| self.hits.say(head, terms.metal_equivalent));
        if of_another {
            return None;
        }
        // A class of reaction to fire (EN 13501-6), like Dca and Eca: "CCA-S1B,D1,A1".
        if hit.concept == terms.cca && wider(terms.listing) {
            return None;
        }
        let clad = wider(terms.cca) || wider(terms.ccs);
        // "For copper-clad aluminium go two sizes up" is advice on another wire, as is "Values for aluminium: see table 3".
        let advice = before
            .get(before.len().saturating_sub(4)..)
            .is_some_and(|last| last.eq_ignore_ascii_case("for "));
        let other = [terms.aluminium, terms.silver, terms.gold].contains(&hit.concept);
        let heading = matches!(block.kind(), BlockKind::Heading { .. });
        if advice && (clad || other && !heading) {
            return None;
        }
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
                    && quantity.span.end() <= hit.span.start()
                    && hit.span.start() - quantity.span.end() <= 12
            });
        if share {
            return None;
        }
        Some(match hit.concept {
            concept if concept == terms.cca => ("copper-clad-aluminium", false),
            concept if concept == terms.ccs => ("copper-clad-steel", false),
            concept if concept == terms.copper && !clad => ("copper", false),
            concept if concept == terms.silver_plated => ("silver", true),
            concept if concept == terms.silver && !wider(terms.silver_plated) => {
                ("silver", self.plates(sentence, hit.span, 10))
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
            _ => return None,
        })
    }

    /// Whether a sentence, or the head it stands under, tells what is not taken: "Not accepted: copper-clad aluminium".
    fn refused(&self, sentence: usize) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        let heads = [block.section(), block.lead()]
            .into_iter()
            .flatten()
            .filter_map(|head| self.sheet.blocks.get(head))
            .flat_map(|head| head.sentences());
        heads
            .chain([sentence])
            .any(|at| self.hits.say(at, self.terms.metal_refused))
    }

    /// Conductors in parallel for each pole: as many as are said to be joined, or half of four and more.
    pub(super) fn parallel(&mut self, cable: usize) {
        let Some((span, quantity, written)) = self.facts.cables[cable]
            .conductor()
            .map(|size| (size.span, size.quantity as usize, size.conductors))
        else {
            return;
        };
        let text = self.text();
        let sentence = self.sentence_of(quantity);
        let whole = self.sheet.sentences[sentence].span;
        let joined = self
            .hits
            .saying(sentence, self.terms.parallel)
            .map(|hit| hit.span)
            // "4 x 14 AWG gives you 11 AWG per pole": what is per pole is the other size.
            .find(|joined| {
                joined.start() < span.end()
                    || !self.in_sentence(sentence).any(|other| {
                        let value = self.sheet.quantities[other].span;
                        matches!(self.roles[other], Role::Size | Role::CombinedSize)
                            && value.start() >= span.end()
                            && value.end() <= joined.start()
                    })
            });
        // “Four 16 AWG in parallel”: the conductors have no name.
        let counted = count::before(&self.terms, text, whole, span)
            .or_else(|| count::joined(&self.terms, text, span, joined?));
        let count = written
            .map(|count| Fact::new(count, span))
            .or(counted)
            .or_else(|| count::listed(&self.terms, self.sheet, sentence, self.facts.cables.len()));
        let Some(count) = count else { return };
        let told = joined.and_then(|joined| self.told_beside(joined, count.value));
        // "One core out and one core back": the others lie idle, or carry something else.
        if joined.is_none()
            && self.hits.anywhere(self.terms.one_each_way)
            && self.uses_one_each_way(cable)
        {
            self.facts.cables[cable].conductors = Some(count);
            if !self.hits.anywhere(self.terms.parallel) {
                self.facts.cables[cable].besides().parallel = Some(Fact::new(1, count.span));
            }
            return;
        }
        let each = match joined {
            Some(_) if told.is_some() => told.unwrap_or(1),
            // Of four conductors in a square those that lie across from each other are joined, two and two.
            Some(_) if count.value == 4 && self.joined_across(sentence) => 2,
            Some(_) if count.value > 1 => count.value,
            _ if count.value >= 4 && count.value % 2 == 0 => count.value / 2,
            _ => 1,
        };
        let cable = &mut self.facts.cables[cable];
        cable.conductors = Some(count);
        if each > 1 {
            cable.besides().parallel = Some(Fact::new(each, count.span));
        }
    }

    /// How many conductors of a size its sentence joins to one: “to each pole two wires of 16 AWG, bonded at both ends”.
    pub(in crate::facts) fn joined_count(&self, index: usize) -> Option<u32> {
        /// Most that are joined to one.
        const MOST: u32 = 4;
        let sentence = self.sentence_of(index);
        let quantity = &self.sheet.quantities[index];
        // "Which adds up to 10 AWG per leg" is the size of all.
        let totals = [
            self.terms.size_makes,
            self.terms.size_joined,
            self.terms.size_combined,
        ];
        let mut totals = self.hits.saying_any(sentence, &totals);
        if totals.any(|total| total.span.end() <= quantity.span.start()) {
            return Some(1);
        }
        let mut joined = self.hits.saying(sentence, self.terms.parallel);
        let joined = joined.next()?.span;
        let sizes = self
            .in_sentence(sentence)
            .filter(|&other| matches!(self.roles[other], Role::Size | Role::CombinedSize))
            .count();
        let whole = self.sheet.sentences[sentence].span;
        let count = quantity
            .conductors
            .or_else(|| {
                count::before(&self.terms, self.text(), whole, quantity.span)
                    .map(|count| count.value)
            })
            .filter(|_| sizes == 1)?;
        let each = self.told_beside(joined, count).unwrap_or(count);
        (2..=MOST).contains(&each).then_some(each)
    }

    /// Whether a sentence that names a cable says that one conductor goes out and one comes back.
    fn uses_one_each_way(&self, cable: usize) -> bool {
        self.facts.cables[cable].mentions.iter().any(|mention| {
            let at = super::sentence_at(self.sheet, mention.start());
            self.hits.say(at, self.terms.one_each_way)
        })
    }

    /// Whether a sentence says that conductors are joined with those on the other side of a cable.
    fn joined_across(&self, sentence: usize) -> bool {
        const ACROSS: &[&str] = &["across from", "opposite", "diagonal", "crosswise"];
        let words = self.sheet.sentences[sentence].span.of(self.text());
        let words = words.to_lowercase().replace('\n', " ");
        ACROSS.iter().any(|across| words.contains(across))
    }

    /// How many of `count` conductors are joined for a pole, where a number beside the word says so: “four wires, two joined for each
    /// pole”, “joined two and two”.
    fn told_beside(&self, joined: Span, count: u32) -> Option<u32> {
        const AHEAD: usize = 6;
        const BEHIND: usize = 14;
        let text = self.text();
        let from = text.ceil_char_boundary(joined.start().saturating_sub(AHEAD));
        let to = text.floor_char_boundary((joined.end() + BEHIND).min(text.len()));
        let near = Span::new(from.min(joined.start()), to.max(joined.end())).of(text);
        let found = near
            .split(|sign: char| !sign.is_alphanumeric())
            .find_map(|word| match word.to_lowercase().as_str() {
                "pairs" => Some(2),
                word => word
                    .parse()
                    .ok()
                    .or_else(|| count::small(&self.terms, word.trim_end_matches('s')))
                    .filter(|&number| number > 1),
            })?;
        (found < count && count.is_multiple_of(found)).then_some(found)
    }
}

/// What names a metal.
fn metals(terms: &Terms<'_>) -> [ConceptId; 10] {
    [
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
    ]
}
