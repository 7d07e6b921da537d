//! The computed rules on facts built by hand: for each at least three documents that fire it and three near ones that do not. Values
//! come from the tables that stand beside them.
//!
//! The builder of documents stands here, and what holds of the rules as a whole; the cases lie in the files below.

mod conductor;
mod line;
mod safety_and_fitness;
mod together;

use super::*;
use crate::claims::Claim;
use crate::facts::{
    Build, Conditions, DocumentKind, Fact, Figure, FigureKind, Load, LoadKind, Notation, Reading,
    Seldom, Size, SizeOf, Use,
};
use crate::finding::{Finding, Level, Origin, Stance, Verdict};
use crate::physics::size;
use crate::sheet::{Block, BlockKind, Bound, Sentence};
use crate::units::{Celsius, Hertz, Metre, Ohm, SquareMetre, Watt};
use std::sync::LazyLock;

static BOOK: LazyLock<Rulebook> = LazyLock::new(Rulebook::builtin);

fn conditions(figure: &mut Figure) -> &mut Conditions {
    figure.said.get_or_insert_default()
}

/// To change what is seldom said with a figure.
fn seldom(figure: &mut Figure) -> &mut Seldom {
    conditions(figure).seldom.get_or_insert_default()
}

/// A document of one sentence whose facts are given by hand; words are found by their text.
struct Doc {
    text: String,
    facts: Facts,
    claims: Vec<Claim>,
}

impl Doc {
    fn new(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            facts: Facts {
                kind: DocumentKind::Sheet,
                cables: vec![Cable::default()],
                ..Facts::default()
            },
            claims: Vec::new(),
        }
    }

    fn at(&self, words: &str) -> Span {
        let start = self
            .text
            .find(words)
            .unwrap_or_else(|| panic!("“{words}” is not in the text"));
        Span::new(start, start + words.len())
    }

    fn cable(&mut self) -> &mut Cable {
        self.facts.cables.last_mut().expect("a cable")
    }

    fn size(mut self, words: &str, area: SquareMetre, notation: Notation) -> Self {
        let size = Size {
            area,
            notation,
            awg: None,
            of: SizeOf::Conductor,
            conductors: None,
            strands: None,
            loose: false,
            proposed: false,
            span: self.at(words),
            quantity: 0,
        };
        self.cable().sizes.push(size);
        self
    }

    fn awg(self, words: &str, number: i32) -> Self {
        let mut made = self.size(words, size::awg_area(f64::from(number)), Notation::Awg);
        if let Some(size) = made.cable().sizes.last_mut() {
            size.awg = Some(number);
        }
        made
    }

    fn mm2(self, words: &str, area: f64) -> Self {
        self.size(
            words,
            SquareMetre(area * 1.0e-6),
            Notation::SquareMillimetre,
        )
    }

    fn strands(self, words: &str, count: u32, mm: f64) -> Self {
        let strand = Metre(mm * 1.0e-3);
        let mut made = self.size(words, size::strands_area(count, strand), Notation::Strands);
        if let Some(size) = made.cable().sizes.last_mut() {
            size.strands = Some(Box::new((count, strand)));
        }
        made
    }

    fn diameter(self, words: &str, mm: f64) -> Self {
        self.size(
            words,
            size::circle(Metre(mm * 1.0e-3)),
            Notation::SolidDiameter,
        )
    }

    fn combined(mut self) -> Self {
        if let Some(size) = self.cable().sizes.last_mut() {
            size.of = SizeOf::Combined;
        }
        self
    }

    fn loose(mut self) -> Self {
        if let Some(size) = self.cable().sizes.last_mut() {
            size.loose = true;
        }
        self
    }

    fn parallel(mut self, words: &str, count: u32) -> Self {
        self.cable().besides().parallel = Some(Fact::new(count, self.at(words)));
        self
    }

    fn metal(mut self, words: &str, key: &'static str) -> Self {
        let fact = Fact::new(key, self.at(words));
        self.cable().metals.push(fact);
        self
    }

    fn copper(self) -> Self {
        self.metal("copper", "copper")
    }

    fn built(mut self, words: &str, build: Build) -> Self {
        let fact = Fact::new(build, self.at(words));
        self.cable().besides().build.push(fact);
        self
    }

    fn tinned(mut self, words: &str) -> Self {
        self.cable().besides().tinned = Some(self.at(words));
        self
    }

    fn length(mut self, words: &str, metres: f64) -> Self {
        let fact = Fact::new(Metre(metres), self.at(words));
        self.cable().lengths.push(fact);
        self
    }

    fn load(mut self, words: &str, ohms: f64) -> Self {
        let load = Load {
            impedance: Some(Ohm(ohms)),
            kind: LoadKind::Loudspeaker,
            ..Load::default()
        };
        let fact = Fact::new(load, self.at(words));
        self.facts.setup.loads.push(fact);
        self
    }

    fn frequency(mut self, words: &str, hertz: f64) -> Self {
        let fact = Fact::new(Hertz(hertz), self.at(words));
        self.facts.setup.frequencies.push(fact);
        self
    }

    fn figure(mut self, kind: FigureKind, words: &str, value: f64) -> Self {
        let figure = Figure {
            kind,
            value,
            span: self.at(words),
            quantity: 0,
            reading: Reading::Unsaid,
            bound: Bound::Exact,
            denied: false,
            said: None,
        };
        self.cable().figures.push(figure);
        self
    }

    fn change(mut self, change: impl FnOnce(&mut Figure)) -> Self {
        if let Some(figure) = self.cable().figures.last_mut() {
            change(figure);
        }
        self
    }

    /// Milliohms per metre of one conductor.
    fn single(self, words: &str, value: f64) -> Self {
        self.figure(FigureKind::ResistancePerLength, words, value * 1.0e-3)
            .change(|figure| figure.reading = Reading::Single)
    }

    /// Milliohms per metre of the loop.
    fn looped(self, words: &str, value: f64) -> Self {
        self.figure(FigureKind::ResistancePerLength, words, value * 1.0e-3)
            .change(|figure| figure.reading = Reading::Loop)
    }

    /// Milliohms per metre, loop or single not said.
    fn unsaid(self, words: &str, value: f64) -> Self {
        self.figure(FigureKind::ResistancePerLength, words, value * 1.0e-3)
    }

    fn celsius(self, words: &str, value: f64) -> Self {
        let span = self.at(words);
        self.change(|figure| conditions(figure).temperature = Some(Fact::new(Celsius(value), span)))
    }

    fn over(self, words: &str, metres: f64) -> Self {
        let span = self.at(words);
        self.change(|figure| seldom(figure).length = Some(Fact::new(Metre(metres), span)))
    }

    fn bound(self, bound: Bound) -> Self {
        self.change(|figure| figure.bound = bound)
    }

    fn used(mut self, length: (&str, f64), load: (&str, f64)) -> Self {
        let offered = Use {
            length: Some(Fact::new(Metre(length.1), self.at(length.0))),
            load: Some(Fact::new(
                Load {
                    impedance: Some(Ohm(load.1)),
                    kind: LoadKind::Loudspeaker,
                    ..Load::default()
                },
                self.at(load.0),
            )),
            power: None,
            span: self.at(length.0).join(self.at(load.0)),
        };
        self.cable().besides().uses.push(offered);
        self
    }

    fn claim(mut self, words: &str, rule: &str, stance: Stance) -> Self {
        let span = self.at(words);
        self.claims.push(Claim::of(rule, stance, span));
        self
    }

    fn findings(&self) -> Vec<Finding> {
        let whole = Span::new(0, self.text.len());
        let mut sheet = Sheet::default();
        let block = Block::new(BlockKind::Paragraph, whole, 0..1);
        sheet.blocks.push(block);
        sheet.sentences.push(Sentence::new(whole, 0));
        let context = Context {
            text: &self.text,
            sheet: &sheet,
            facts: &self.facts,
            claims: &self.claims,
            rebutted: &[],
            rulebook: &BOOK,
            reached: &super::Reached::default(),
            known: &super::Known::default(),
        };
        run_all(&context, usize::MAX).0
    }

    /// Ids of what was found at warning or above.
    fn ids(&self) -> Vec<String> {
        self.findings()
            .into_iter()
            .filter(|finding| finding.level >= Some(Level::Warning))
            .map(|finding| finding.rule)
            .collect()
    }

    fn confirmations(&self) -> usize {
        self.findings()
            .iter()
            .filter(|finding| finding.verdict == Verdict::Confirmed)
            .count()
    }

    #[track_caller]
    fn says(&self, rules: &[&str]) {
        assert_eq!(self.ids(), rules, "{}\n{:#?}", self.text, self.messages());
    }

    fn messages(&self) -> Vec<String> {
        self.findings()
            .into_iter()
            .map(|finding| format!("{} {:?}: {}", finding.rule, finding.level, finding.message))
            .collect()
    }

    /// The value of the last step called `symbol` in the first finding of `rule`.
    #[track_caller]
    fn step(&self, rule: &str, symbol: &str) -> f64 {
        let findings = self.findings();
        let finding = findings
            .iter()
            .find(|finding| finding.rule == rule)
            .unwrap_or_else(|| panic!("no {rule}: {:#?}", self.messages()));
        let step = finding.working.iter().rfind(|step| step.symbol == symbol);
        step.unwrap_or_else(|| panic!("no step {symbol}: {:#?}", finding.working))
            .value
    }
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value / expected - 1.0).abs() < tolerance,
        "{value} is not {expected}"
    );
}

#[test]
fn ids_are_known_and_in_kebab_case() {
    for entry in ALL {
        assert!(!entry.rules.is_empty(), "{}", entry.name);
        for rule in entry.rules {
            assert!(BOOK.rule(rule).is_some(), "{} reports {rule}", entry.name);
        }
    }
}

#[test]
fn every_default_that_is_asked_for_is_there() {
    let doc = Doc::new("");
    let context = Context {
        text: &doc.text,
        sheet: &Sheet::default(),
        facts: &doc.facts,
        claims: &[],
        rebutted: &[],
        rulebook: &BOOK,
        reached: &super::Reached::default(),
        known: &super::Known::default(),
    };
    for name in [
        "temperature_low",
        "temperature_high",
        "lay_high",
        "tinning_high",
        "bundle_fill_low",
        "rounding_high",
        "audio_top",
        "inductance_low",
        "inductance_high",
        "length",
        "load",
    ] {
        assert!(context.default(name).is_finite(), "{name}");
    }
}
