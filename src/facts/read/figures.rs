//! Quantities to facts: sizes, figures with their conditions, loads and drives. Takes owners as they are.

use super::{Owner, Reader, fact, number, whole};
use crate::facts::bound::SIZES;
use crate::facts::comparison;
use crate::facts::conditions::{Conditions, Seldom};
use crate::facts::context::{
    BORDER_COST, borders, caption_sentences, key_sentences, note_sentences,
};
use crate::facts::kept::push_close;
use crate::facts::roles::Role;
use crate::facts::types::{
    Amount, Cable, Fact, Figure, FigureKind, Load, LoadKind, Notation, Reading, Size, SizeOf,
};
use crate::lexicon::{ConceptId, tokenize};
use crate::sheet::{BlockKind, Bound, Kind};
use crate::span::Span;
use crate::units::{Ampere, Celsius, Hertz, Metre, Ohm, SquareMetre, Volt, Watt};

/// "Class 5", when the words speak of conductors (and no listing or lesson): in the span.
pub(super) fn class_in(text: &str, span: Span) -> Option<(u8, Span)> {
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
    let next = lower.as_bytes().get(at + 7);
    let ends = next.is_none_or(|next| !next.is_ascii_alphanumeric());
    let start = span.start() + at;
    (ends && (class >= 5 || lower.contains("60228"))).then(|| (class, Span::new(start, start + 7)))
}

/// Furthest that words which put a size forward stand before it.
const PROPOSED: usize = 32;

/// Furthest that the words of a limit stand from it.
const LIMIT: usize = 40;

/// Sizes that differ by more are not of one conductor, whatever standard the one and the other follow.
const ANOTHER: f64 = 1.3;

impl Reader<'_> {
    /// Gives a class of conductor to the cable of the item that names it, and one that no item names to all.
    pub(super) fn classes_of_all(&mut self) {
        let own = |block: usize| {
            let block = self.sheet.blocks.get(block)?;
            let mut named = (self.resolved.within(block.sentences()))
                .flat_map(|mentions| mentions.iter())
                .map(|(_, owner)| owner);
            match (block.kind(), named.next(), named.next()) {
                (BlockKind::Item, Some(Owner::One(entry)), None) => Some(entry),
                _ => None,
            }
        };
        let owned: Vec<(Option<usize>, (u8, Span))> = (self.classes.iter())
            .map(|&(block, class)| (own(block), class))
            .collect();
        let general = owned
            .iter()
            .find(|(entry, _)| entry.is_none())
            .map(|&(_, class)| class);
        for (entry, cable) in self.facts.cables.iter_mut().enumerate() {
            let told = owned.iter().find(|&&(own, _)| own == Some(entry));
            let class = told.map(|&(_, class)| class).or(general);
            if class.is_some() {
                cable.besides().class = class;
            }
        }
    }

    /// Areas that are told of one cable alone, for each.
    fn own_sizes(&self) -> Vec<Vec<f64>> {
        let mut own = vec![Vec::new(); self.facts.cables.len()];
        for (index, owner) in self.owners.iter().enumerate() {
            if let (Owner::One(cable), Role::Size) = (owner, self.roles[index])
                && let Some(areas) = own.get_mut(cable)
                && areas.len() < SIZES
            {
                areas.extend(self.sheet.quantities[index].si());
            }
        }
        own
    }

    pub(super) fn quantities(&mut self) {
        let own = self.own_sizes();
        for index in 0..self.sheet.quantities.len() {
            let quantity = &self.sheet.quantities[index];
            let Some(si) = quantity.si() else {
                continue;
            };
            let span = quantity.span;
            let cables = self.cables_at(self.sentence_of(index), self.owners.at(index));
            let depth = Role::Figure(FigureKind::SkinDepth);
            if cables.is_empty() && self.roles[index] == depth {
                let figure = self.figure(FigureKind::SkinDepth, index, si);
                if figure.frequency.is_some() {
                    self.facts.depths.push(Cable {
                        metals: self.metals_before(self.sentence_of(index)),
                        figures: vec![figure],
                        ..Cable::default()
                    });
                }
            }
            for cable in cables {
                match self.roles[index] {
                    Role::Size | Role::CombinedSize | Role::SolidDiameter => {
                        // "Two leads, both 2.5 mm²" are not the one that is told elsewhere to be of another size.
                        let other = self.owners.at(index) == Owner::All
                            && own[cable]
                                .iter()
                                .any(|area| !(1.0 / ANOTHER..=ANOTHER).contains(&(si / area)));
                        if let Some(size) = self.size(index).filter(|_| !other) {
                            push_close(&mut self.facts.cables[cable].sizes, size);
                        }
                    }
                    Role::Run => {
                        let length = fact(Metre(si), span, index);
                        push_close(&mut self.facts.cables[cable].lengths, length);
                    }
                    // "Spacing 4 mm, jacket 12 x 6 mm": the last is the jacket's.
                    Role::Spacing if self.is_of_outside(index) => {}
                    Role::Spacing => {
                        self.facts.cables[cable].besides().spacing =
                            Some(fact(Metre(si), span, index))
                    }
                    Role::Figure(kind) => {
                        let figure = self.figure(kind, index, si);
                        push_close(&mut self.facts.cables[cable].figures, figure);
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
                Role::Frequency if self.stands_by(index, self.terms.crossover) => {}
                // What the insulation bears is no drive.
                Role::Voltage if self.stands_by(index, self.terms.volt_rating) => {}
                Role::Frequency => self
                    .facts
                    .setup
                    .frequencies
                    .push(fact(Hertz(si), span, index)),
                Role::Power
                    if matches!(self.owners.at(index), Owner::Nobody | Owner::All)
                        && comparison::is_lamp_power(self, index) =>
                {
                    let load = comparison::lamp(self, index);
                    self.facts.setup.loads.push(fact(load, span, index));
                }
                Role::Power | Role::Voltage | Role::Current => {
                    self.facts.setup.drives.push(match self.roles[index] {
                        Role::Power => Amount::Power(fact(Watt(si), span, index)),
                        Role::Voltage => Amount::Voltage(fact(Volt(si), span, index)),
                        _ => Amount::Current(fact(Ampere(si), span, index)),
                    });
                }
                _ => {}
            }
        }
    }

    /// Whether words for the outside of a cable stand nearer before a measure than those for the spacing of its conductors.
    fn is_of_outside(&self, index: usize) -> bool {
        let around = self.around(self.sentence_of(index), self.sheet.quantities[index].span);
        let before = |concept| around.nearest_before(concept).unwrap_or(usize::MAX);
        before(self.terms.len_other) < before(self.terms.len_spacing)
    }

    /// Whether a quantity stands by words of a concept, or under them as their value.
    fn stands_by(&self, index: usize, concept: ConceptId) -> bool {
        const REACH: usize = 24;
        let around = self.around(self.sentence_of(index), self.sheet.quantities[index].span);
        around.near(concept, REACH) || around.keyed(concept)
    }

    /// Metals that a sentence names, or the last one before it in its block that names any.
    pub(in crate::facts) fn metals_before(&self, sentence: usize) -> Vec<Fact<&'static str>> {
        let metals = [
            (self.terms.copper, "copper"),
            (self.terms.silver, "silver"),
            (self.terms.aluminium, "aluminium"),
            (self.terms.gold, "gold"),
        ];
        let block = self.sheet.sentences[sentence].block();
        (self.sheet.blocks[block].sentences().start..=sentence)
            .rev()
            .map(|at| {
                let hits = self.hits.of(at).iter();
                let named = hits.filter_map(|hit| {
                    let (_, key) = metals.iter().find(|(concept, _)| *concept == hit.concept)?;
                    Some(Fact::new(*key, hit.span))
                });
                named.collect::<Vec<_>>()
            })
            .find(|named| !named.is_empty())
            .unwrap_or_default()
    }

    /// What kind of load the ohms at a quantity are.
    pub(in crate::facts) fn load_kind(&self, index: usize) -> LoadKind {
        let around = self.around(self.sentence_of(index), self.sheet.quantities[index].span);
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

    pub(in crate::facts) fn size(&self, index: usize) -> Option<Size> {
        let quantity = &self.sheet.quantities[index];
        let area = quantity.si()?;
        let solid = self.roles[index] == Role::SolidDiameter;
        let area = if solid {
            std::f64::consts::FRAC_PI_4 * area * area
        } else {
            area
        };
        let strands = match (quantity.number.get(), quantity.strand) {
            (Some(count), Some(diameter)) => whole(count).map(|count| Box::new((count, diameter))),
            _ => None,
        };
        Some(Size {
            area: SquareMetre(area),
            notation: self.notation(index),
            awg: quantity.gauge.filter(|_| !quantity.swg),
            of: if self.roles[index] == Role::CombinedSize && !self.sums_up_strands(index) {
                SizeOf::Combined
            } else {
                SizeOf::Conductor
            },
            conductors: quantity.conductors,
            strands,
            loose: self.is_denied(index)
                || quantity.range.is_some()
                || (self.hits.say(self.sentence_of(index), self.terms.size_near)
                    && self
                        .around(self.sentence_of(index), quantity.span)
                        .near(self.terms.size_near, 24))
                || matches!(quantity.bound, Bound::AtMost | Bound::AtLeast),
            proposed: self
                .hits
                .say(self.sentence_of(index), self.terms.size_proposed)
                && self
                    .around(self.sentence_of(index), quantity.span)
                    .nearest_before(self.terms.size_proposed)
                    .is_some_and(|gap| gap <= PROPOSED),
            span: quantity.span,
            quantity: crate::facts::narrow(index),
        })
    }

    /// How the size is written.
    pub(super) fn notation(&self, index: usize) -> Notation {
        let quantity = &self.sheet.quantities[index];
        match quantity.kind {
            _ if self.roles[index] == Role::SolidDiameter => Notation::SolidDiameter,
            Kind::Gauge if quantity.swg => Notation::Swg,
            Kind::Gauge if quantity.gauge.is_none() => Notation::CircularMil,
            Kind::Gauge => Notation::Awg,
            Kind::Strands => Notation::Strands,
            _ => {
                let unit = quantity.unit().to_lowercase();
                let mils = unit.contains("mil") || unit.contains("cm") && !unit.contains('²');
                if mils {
                    Notation::CircularMil
                } else {
                    Notation::SquareMillimetre
                }
            }
        }
    }

    pub(in crate::facts) fn figure(&self, kind: FigureKind, index: usize, si: f64) -> Figure {
        /// Bytes between words for the most that a resistance may be and the resistance.
        const MOST: usize = 24;
        let quantity = &self.sheet.quantities[index];
        let sentence = self.sentence_of(index);
        let around = self.around(sentence, quantity.span);
        let (reading, reading_span) = self.reading(sentence, index);
        let resistance = matches!(
            kind,
            FigureKind::Resistance | FigureKind::ResistancePerLength
        );
        Figure {
            kind,
            value: si,
            span: quantity.span,
            quantity: crate::facts::narrow(index),
            reading: if resistance { reading } else { Reading::Unsaid },
            // "Maximum conductor resistance: 5.9 Ω/km".
            bound: if resistance
                && quantity.bound == Bound::Exact
                && (around.keyed(self.terms.figure_most)
                    || around
                        .nearest_before(self.terms.figure_most)
                        .is_some_and(|gap| gap <= MOST))
            {
                Bound::AtMost
            } else {
                quantity.bound
            },
            said: Conditions {
                reading_span: reading_span.filter(|_| resistance),
                temperature: self.condition(index, Role::Temperature, Celsius),
                seldom: Seldom {
                    frequency: self
                        .end_of_band(index, kind)
                        .or_else(|| self.condition(index, Role::Frequency, Hertz))
                        .or_else(|| self.top_of_band(sentence, kind))
                        .or_else(|| self.frequency_before(index, kind)),
                    load: self.condition(index, Role::Load, Ohm),
                    length: self.condition(index, Role::Run, Metre),
                    with_contacts: around
                        .nearest(self.terms.r_contacts)
                        .filter(|(gap, _)| *gap < 120)
                        .map(|(_, span)| span),
                    class: self.class(sentence),
                }
                .kept(),
            }
            .kept(),
            // "If you think that two milliohms matter": nobody has measured them. "What shows more than 32 mΩ is thrown out": no
            // cable is said to have it.
            denied: self.is_denied(index)
                || (matches!(
                    kind,
                    FigureKind::Resistance | FigureKind::ResistancePerLength
                ) && (around.near(self.terms.figure_supposed, 40)
                    || around.amounts_to(self.terms.figure_apart, self.terms.figure_comes)))
                || around
                    .inside(self.terms.figure_limit)
                    .is_some_and(|gap| gap <= LIMIT),
        }
    }

    /// "By the top of the audio band its resistance is up by sixty per cent": 20 kHz.
    fn top_of_band(&self, sentence: usize, kind: FigureKind) -> Option<Fact<Hertz>> {
        /// Upper end of the audio band, in hertz (IEC 60268-1).
        const TOP: f64 = 20_000.0;
        let skin = matches!(kind, FigureKind::SkinRise | FigureKind::SkinDepth);
        let hit = skin
            .then(|| self.hits.saying(sentence, self.terms.band_top).next())
            .flatten()?;
        Some(Fact::new(Hertz(TOP), hit.span))
    }

    /// "It climbs by 17 % between 50 Hz and 20 kHz": a rise is that at the upper end of the band that is named with it.
    fn end_of_band(&self, index: usize, kind: FigureKind) -> Option<Fact<Hertz>> {
        const BETWEEN: &[&str] = &["and", "to", "-", "–", "—", "up to"];
        if kind != FigureKind::SkinRise {
            return None;
        }
        let frequencies: Vec<usize> = self
            .in_sentence(self.sentence_of(index))
            .filter(|&other| self.roles[other] == Role::Frequency)
            .collect();
        let &[low, high] = frequencies.as_slice() else {
            return None;
        };
        let (one, other) = (&self.sheet.quantities[low], &self.sheet.quantities[high]);
        let between = Span::new(one.span.end(), other.span.start().max(one.span.end()));
        let band = BETWEEN.contains(&between.of(self.text()).trim());
        let highest = if one.si()? > other.si()? { low } else { high };
        let quantity = &self.sheet.quantities[highest];
        band.then_some(fact(Hertz(quantity.si()?), quantity.span, highest))
    }

    /// Whether a sentence begins by saying what the one before it should have given: “Should be 2.1 mm².”
    fn sets_right(&self, sentence: usize) -> bool {
        const STARTS: [&str; 5] = [
            "should be ",
            "ought to be ",
            "should read ",
            "make that ",
            "must be ",
        ];
        let words = self.sheet.sentences.get(sentence);
        let words = words.map_or("", |next| next.span.of(self.text()).trim_start());
        STARTS.iter().any(|start| {
            words
                .get(..start.len())
                .is_some_and(|first| first.eq_ignore_ascii_case(start))
        })
    }

    /// Whether the document says elsewhere that it is not this number: "two 14 AWG make 11 AWG and not 9".
    fn is_denied(&self, index: usize) -> bool {
        /// Sentences of an answer in which a letter is set right.
        const ANSWER: usize = 3;
        let own = self.sentence_of(index);
        // "Anyone who quotes 120 % has misread a page", "No. 12 was given as 4.2 mm². That is wrong".
        let corrected = |at: usize| at < self.sheet.sentences.len() && self.calls_wrong(at);
        let same_block = |at: usize| {
            self.sheet
                .sentences
                .get(at)
                .is_some_and(|next| next.block() == self.sheet.sentences[own].block())
        };
        let section = self.sheet.blocks[self.sheet.sentences[own].block()].section();
        let headed =
            section.is_some_and(|section| self.sheet.blocks[section].sentences().any(corrected));
        // "You are right and the card is wrong", as the answer to a letter has it.
        let answered = self
            .sheet
            .answer_to(self.sheet.sentences[own].block())
            .and_then(|answer| self.sheet.blocks.get(answer))
            .is_some_and(|answer| answer.sentences().take(ANSWER).any(corrected));
        // "( ) 2.5 Ω   ( ) 1.6 Ω   ( ) 10 Ω": answers to choose from.
        let start = self.sheet.quantities[index].span.start();
        let ahead = self.text().get(..start).unwrap_or("").trim_end();
        let choices = ["( )", "[ ]", "☐", "○"];
        let choice = choices.iter().any(|mark| ahead.ends_with(mark));
        if choice
            || answered
            || headed
            || corrected(own)
            || same_block(own + 1) && self.sets_right(own + 1)
            || (same_block(own + 1) && corrected(own + 1))
        {
            return true;
        }
        let Some(value) = number(&self.sheet.quantities[index]) else {
            return false;
        };
        self.denied.iter().any(|&(sentence, denied)| {
            (denied / value - 1.0).abs() < 1e-6 && (sentence == own || self.hits.count() < 4_000)
        })
    }

    /// Numbers after a plain `not`, with their sentence.
    pub(super) fn denied_numbers(&self) -> Vec<(usize, f64)> {
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
                        .get(..pair[0].span.start())
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
    pub(super) fn class(&self, sentence: usize) -> Option<(u8, Span)> {
        let block = self.sheet.sentences[sentence].block();
        let row = |block: usize| match self.sheet.blocks[block].kind() {
            BlockKind::Cell { table, row, .. } => Some((table, row)),
            _ => None,
        };
        let near =
            |other: usize| other == block || (row(block).is_some() && row(other) == row(block));
        let first = block.saturating_sub(12);
        let last = (block + 12).min(self.sheet.blocks.len().saturating_sub(1));
        (first..=last)
            .filter(|&other| near(other))
            .find_map(|other| {
                let at = self
                    .classes
                    .binary_search_by_key(&other, |&(block, _)| block);
                at.ok().map(|at| self.classes[at].1)
            })
    }

    /// The quantity of that role that speaks for the quantity `index`: nearest in its sentence, else in its keys.
    pub(in crate::facts) fn condition<T>(
        &self,
        index: usize,
        role: Role,
        make: impl Fn(f64) -> T,
    ) -> Option<Fact<T>> {
        let sentence = self.sentence_of(index);
        let span = self.sheet.quantities[index].span;
        // "2.1 mm at 1 kHz and 9.3 mm at mains frequency (50 Hz)": what is told behind “at” is told of this one.
        const TOLD: usize = 32;
        let behind = self.text().get(span.end()..).unwrap_or("");
        let told = role == Role::Frequency
            && behind.starts_with(" at ")
            && self.in_sentence(sentence).any(|other| {
                let start = self.sheet.quantities[other].span.start();
                self.roles[other] == role && start >= span.end() && start - span.end() <= TOLD
            });
        let pick = |sentence: usize| {
            self.in_sentence(sentence)
                .filter(|&other| other != index && self.roles[other] == role)
                .filter(|&other| !told || self.sheet.quantities[other].span.start() >= span.end())
                // How long another cable is says nothing of this one, nor does a length that the next clause brings.
                .filter(|&other| {
                    let owners = (self.owners.at(other), self.owners.at(index));
                    let behind = self.sheet.quantities[other].span;
                    let apart = span.end() <= behind.start()
                        && Span::new(span.end(), behind.start())
                            .of(self.text())
                            .contains(';');
                    role != Role::Run
                        || !apart && !matches!(owners, (Owner::One(a), Owner::One(b)) if a != b)
                })
                .min_by_key(|&other| {
                    // "9.3 mm at 50 Hz, 2.1 mm at 1 kHz": what stands behind a comma belongs to another.
                    let words = self.sheet.quantities[other].span;
                    let between = if words.end() <= span.start() {
                        Span::new(words.end(), span.start())
                    } else {
                        Span::new(span.end().min(words.start()), words.start())
                    };
                    between.len() + BORDER_COST * borders(between.of(self.text()))
                })
        };
        // What a caption tells of a whole table holds for what is measured at the end of a run.
        let captioned = matches!(
            self.roles[index],
            Role::Figure(FigureKind::Loss | FigureKind::DampingFactor | FigureKind::SkinRise)
        );
        // "10.4 mΩ/m. That is 25 % too much! – At 85 °C, yes": an answer that begins with the temperature.
        let explained = || {
            const BEHIND: usize = 2;
            let last = self.sheet.sentences.len().saturating_sub(1);
            let behind = sentence + 1..=(sentence + BEHIND).min(last);
            behind.filter(|_| role == Role::Temperature).find_map(|at| {
                let first = self.in_sentence(at).next()?;
                let opens = self.sheet.sentences[at].span.start();
                let words = self.sheet.quantities[first].span;
                let lead = Span::new(opens, words.start().max(opens)).of(self.text());
                let told = lead.trim().eq_ignore_ascii_case("at");
                (told && self.roles[first] == role).then_some(first)
            })
        };
        let own = pick(sentence)
            .or_else(explained)
            .or_else(|| self.run_before(index).filter(|_| role == Role::Run));
        let found = own.or_else(|| {
            key_sentences(self.sheet, sentence)
                .into_iter()
                .chain(
                    captioned
                        .then(|| {
                            let mut around = note_sentences(self.sheet, sentence);
                            around.extend(caption_sentences(self.sheet, sentence));
                            around
                        })
                        .into_iter()
                        .flatten(),
                )
                .find_map(pick)
        })?;
        let quantity = &self.sheet.quantities[found];
        Some(fact(make(quantity.si()?), quantity.span, found))
    }
}
