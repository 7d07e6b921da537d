//! A stated resistance against size and metal: below what the metal allows, above what the size gives, or right for one conductor and
//! called loop (or the other way round).
//!
//! R′ = ρ/A for one conductor, twice that for the loop, with 1/58 Ω·mm²/m for 100 % IACS (IEC 60028). A nominal area in mm² is
//! held to the maxima of IEC 60228, since that standard fixes the resistance and not the area. Where a figure does not say loop or
//! single either reading is accepted, and the same goes for one conductor or all of one pole; a verdict must hold at every
//! temperature that the document leaves open.
//!
//! Three rules share one judgement, since a figure that one of them explains is not for the others. The file below words it.

mod paired;
mod worded;

use super::super::Context;
use super::super::bench::{
    Bench, COPPER, Material, Way, Wire, per_metre, say, say_gauge, say_size,
};
use super::super::format::{length, percent, three, with_unit};
use super::super::said::{Said, Stage, Work};
use super::gauge_area;
use crate::facts::{Fact, Figure, FigureKind, Notation, Reading};
use crate::finding::{Mark, Verdict};
use crate::physics::iec60228::Class;
use crate::physics::{Range, conductor, metal};
use crate::sheet::{BlockKind, Bound, Kind};
use crate::span::Span;
use crate::units::{Celsius, Hertz, Metre, OhmPerMetre, SquareMetre};
use paired::{paired, told_both_ways, told_with};
use worded::capital;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[BELOW, ABOVE, CONFUSED];
const BELOW: &str = "resistance-below-metal";
const ABOVE: &str = "resistance-above-gauge";
const CONFUSED: &str = "loop-single-confusion";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> impl Iterator<Item = Said> {
    Bench::all(context).flat_map(|bench| {
        let kinds = [FigureKind::ResistancePerLength, FigureKind::Resistance];
        let figures = kinds.into_iter().flat_map(|kind| bench.figures(kind));
        let said = figures.filter_map(|figure| Some((figure, judge(context, &bench, figure)?)));
        joined(context, &bench, said.collect())
    })
}

/// Folds what is said of the loop into what is said of one conductor where a sheet gives both, one twice the other: the cause is one.
fn joined(context: &Context<'_>, bench: &Bench<'_>, mut said: Vec<(&Figure, Said)>) -> Vec<Said> {
    let found =
        |said: &Said| said.follows.is_none() && said.finding.verdict == Verdict::Contradicted;
    let loops: Vec<usize> = (0..said.len())
        .filter(|&at| said[at].0.reading == Reading::Loop && found(&said[at].1))
        .collect();
    let mut folded = Vec::new();
    for at in loops {
        let figure = said[at].0;
        let Some(other) = told_with(context, bench, figure) else {
            continue;
        };
        let root = said
            .iter_mut()
            .find(|(known, said)| known.span == other.span && found(said));
        if let Some((_, root)) = root {
            let carried = format!(" The loop, {}, is twice that.", say(context, figure));
            root.finding.message.push_str(&carried);
            root.finding.marks.push(Mark {
                span: figure.span,
                label: "the loop, twice that".to_owned(),
            });
            folded.push(at);
        }
    }
    let said = said.into_iter().enumerate();
    said.filter(|(at, _)| !folded.contains(at))
        .map(|(_, (_, said))| said)
        .collect()
}

/// The verdict of a figure; one that goes with the length as it stands is taken so.
fn judge<'c>(context: &Context<'c>, bench: &Bench<'c>, figure: &'c Figure) -> Option<Said> {
    let verdict = |both| Judgement::new(context, bench, figure, both)?.verdict();
    if figure.reading != Reading::Loop || !there_and_back(bench, figure) {
        return verdict(false);
    }
    let plain = verdict(false);
    let holds = |said: &Said| said.finding.verdict == Verdict::Confirmed;
    plain.filter(holds).or_else(|| verdict(true))
}

/// One way to understand a figure: of which size, one conductor or the loop, how many in parallel.
#[derive(Clone)]
struct Candidate<'c> {
    wire: Wire<'c>,
    way: Way,
    count: u32,
}

/// So few wires, each of half a square millimetre and more (in m²), may be conductors of their own and not strands of one.
const FEW_WIRES: u32 = 16;
const THICK_WIRE: f64 = 0.5e-6;

/// Where a figure lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Below,
    Fits,
    Above,
}

struct Judgement<'a, 'c> {
    context: &'a Context<'c>,
    bench: &'a Bench<'c>,
    figure: &'c Figure,
    stated: OhmPerMetre,
    at: Celsius,
    temperatures: Range<Celsius>,
    /// Loop or single, where the document leaves no doubt.
    reading: Reading,
    candidates: Vec<Candidate<'c>>,
}

/// Whether the length that a figure was told over is that of both conductors of a run that the document gives as well: “10 m of
/// cable. Loop: 20 m × …”.
fn there_and_back(bench: &Bench<'_>, figure: &Figure) -> bool {
    const ALIKE: f64 = 0.02;
    figure.kind == FigureKind::Resistance
        && figure.length.is_some_and(|both| {
            let run = |length: &Fact<Metre>| (2.0 * length.value.0 / both.value.0 - 1.0).abs();
            bench
                .cable()
                .lengths
                .iter()
                .any(|length| run(length) < ALIKE)
        })
}

impl<'a, 'c> Judgement<'a, 'c> {
    /// `both` when the length of the figure is that of both conductors.
    fn new(
        context: &'a Context<'c>,
        bench: &'a Bench<'c>,
        figure: &'c Figure,
        both: bool,
    ) -> Option<Self> {
        /// Above this a resistance holds for itself, and no longer for direct current.
        const HIGH: Hertz = Hertz(2_000.0);
        if figure.frequency.is_some_and(|at| at.value > HIGH) {
            return None;
        }
        let mut stated = per_metre(figure)?;
        if both {
            stated = OhmPerMetre(stated.0 * 2.0);
        }
        let (at, temperatures) = bench.temperatures(figure.temperature);
        let reading = if paired(context, bench, figure) || told_both_ways(bench, figure) {
            Reading::Unsaid
        } else {
            figure.reading
        };
        let mut made = Self {
            context,
            bench,
            figure,
            stated,
            at,
            temperatures,
            reading,
            candidates: Vec::new(),
        };
        made.candidates = made.understood(match reading {
            Reading::Loop => &[Way::Loop],
            Reading::Single => &[Way::Single],
            Reading::Unsaid => &[Way::Single, Way::Loop],
        });
        (!made.candidates.is_empty()).then_some(made)
    }

    fn understood(&self, ways: &[Way]) -> Vec<Candidate<'c>> {
        let mut candidates = Vec::new();
        let mut add = |wire: Wire<'c>, count: u32| {
            for &way in ways {
                candidates.push(Candidate { wire, way, count });
            }
        };
        // "Each single core 4.9 Ω/km", of a cable with four that are joined: no more than one of them.
        let (of_core, of_conductor) = self.of_each();
        for wire in self.bench.wires() {
            add(wire, 1);
            for (count, _) in self.bench.parallels() {
                if count > 1 && !of_core {
                    add(wire, count);
                }
            }
        }
        for wire in self.bench.combined().into_iter().filter(|_| !of_conductor) {
            add(wire, 1);
        }
        // "Two in parallel: 6.6 mΩ/m", of a cable with four.
        if self.said_joined() {
            for wire in self.bench.wires() {
                add(wire, 2);
            }
        }
        // "Eight insulated wires of 16 AWG": the figure may be that of one of them.
        let thick = self.bench.wires().into_iter().filter_map(|wire| {
            let (count, diameter) = **wire.size.strands.as_ref()?;
            let one = std::f64::consts::FRAC_PI_4 * diameter.0 * diameter.0;
            let area = |all: SquareMetre| SquareMetre(all.0 / f64::from(count));
            (count <= FEW_WIRES && one >= THICK_WIRE).then(|| Wire {
                area: Range {
                    low: area(wire.area.low),
                    high: area(wire.area.high),
                },
                ..wire
            })
        });
        for wire in thick {
            add(wire, 1);
        }
        candidates
    }

    /// Whether the words that say of a figure that it is of one conductor count single cores, and whether they count single conductors.
    fn of_each(&self) -> (bool, bool) {
        const EACH: [&str; 4] = ["each", "every", "single", "per"];
        let words = match (self.reading, self.figure.reading_span) {
            (Reading::Single, Some(span)) => span.of(self.context.text).to_lowercase(),
            _ => return (false, false),
        };
        let mut all = words.split(|sign: char| !sign.is_alphanumeric());
        let each = all.any(|word| EACH.contains(&word));
        let says = |noun: &str| words.contains(noun);
        (
            each && says("core"),
            each && (says("core") || says("conductor")),
        )
    }

    /// Whether the key of the figure speaks of joined conductors.
    fn said_joined(&self) -> bool {
        let sheet = self.context.sheet;
        self.context
            .sentence(self.figure.span)
            .and_then(|at| sheet.blocks.get(sheet.sentences.get(at)?.block()))
            .and_then(|block| block.key())
            .is_some_and(|key| {
                let words = key.of(self.context.text);
                let joined = self.context.list("key.joined");
                words
                    .split(|letter: char| !letter.is_alphabetic())
                    .any(|word| joined.has(&word.to_lowercase()))
            })
    }

    /// The least that the metal allows, with the tolerance of the rule.
    fn floor(&self, candidate: &Candidate<'_>, at: Celsius) -> f64 {
        let tolerance = self.context.threshold(BELOW, "tolerance");
        self.least(candidate, at) * (1.0 - tolerance)
    }

    /// Whether the figure lies below what copper of that size can have.
    fn under_copper(&self, candidate: &Candidate<'_>) -> bool {
        let copper = self.bench.ordinary_metal(self.at);
        let tolerance = self.context.threshold(BELOW, "tolerance");
        copper.is_some_and(|copper| {
            let one = conductor::resistance_per_metre(
                copper.least(self.at),
                candidate.wire.area.high,
                1.0,
            );
            let least = one.0 * candidate.way.conductors() / f64::from(candidate.count);
            self.stated.0 < least * (1.0 - tolerance)
        })
    }

    fn least(&self, candidate: &Candidate<'_>, at: Celsius) -> f64 {
        let Some(metal) = self.bench.best_metal(at) else {
            return f64::NAN;
        };
        let one = conductor::resistance_per_metre(metal.least(at), candidate.wire.area.high, 1.0);
        one.0 * candidate.way.conductors() / f64::from(candidate.count)
    }

    /// What the size of an ordinary grade has.
    fn ordinary(&self, candidate: &Candidate<'_>, at: Celsius) -> f64 {
        let Some(metal) = self.bench.ordinary_metal(at) else {
            return f64::NAN;
        };
        let one = conductor::resistance_per_metre(metal.ordinary(at), candidate.wire.area.low, 1.0);
        one.0 * candidate.way.conductors() / f64::from(candidate.count)
    }

    /// How far the figure lies off the plain value, as a share of it.
    fn off(&self, candidate: &Candidate<'_>) -> f64 {
        self.stated.0 / self.ordinary(candidate, self.at) - 1.0
    }

    /// Greatest resistance of one conductor of a nominal area at 20 °C, and the class.
    fn maximum(&self, wire: &Wire<'_>) -> Option<(OhmPerMetre, Class)> {
        self.bench
            .nominal_maximum(wire, self.figure.class.map(|(number, _)| number))
    }

    /// The most that the size gives, with the tolerance of the rule.
    fn ceiling(&self, candidate: &Candidate<'_>, at: Celsius) -> f64 {
        let ordinary =
            self.ordinary(candidate, at) * (1.0 + self.context.threshold(ABOVE, "tolerance"));
        if candidate.wire.size.notation != Notation::SquareMillimetre {
            return ordinary;
        }
        let warm = self
            .bench
            .ordinary_metal(at)
            .map_or(1.0, |metal| conductor::temperature_factor(metal.alpha, at));
        let tolerance = 1.0 + self.context.threshold(ABOVE, "class5_tolerance");
        match self.maximum(&candidate.wire) {
            Some((maximum, _)) => {
                maximum.0 * warm * tolerance * candidate.way.conductors()
                    / f64::from(candidate.count)
            }
            None => ordinary,
        }
    }

    /// Whether the figure can be too high: a maximum cannot, unless it names a class.
    fn can_be_above(&self) -> bool {
        let bound = match self.figure.bound {
            Bound::AtMost | Bound::RangeHigh => self.names_class(),
            _ => true,
        };
        bound && self.figure.with_contacts.is_none() && !self.risen() && !self.likened()
    }

    /// Whether the figure is what a resistance rises to at a high frequency that the passage names: “a third more at 20 kHz: it goes
    /// from 0.032 to about 0.043 ohms”.
    fn risen(&self) -> bool {
        /// Sentences before the figure in which the frequency may stand.
        const BACK: usize = 2;
        /// Bytes before the figure in which the word for the rise stands.
        const NEAR: usize = 16;
        let context = self.context;
        let Some(at) = context.sentence(self.figure.span) else {
            return false;
        };
        let sentences = &context.sheet.sentences;
        let from = sentences[at].span.start();
        let own = self.figure.span.start();
        let words = Span::new(from, own.max(from)).of(context.text);
        let near = words.get(words.ceil_char_boundary(words.len().saturating_sub(NEAR))..);
        if !near.is_some_and(|near| near.contains(" to ")) || !words.contains("from ") {
            return false;
        }
        let first = sentences[at.saturating_sub(BACK)].span.start();
        let all = &context.sheet.quantities;
        let after = all.partition_point(|quantity| quantity.span.start() < first);
        all[after..]
            .iter()
            .take_while(|quantity| quantity.span.start() < own)
            .any(|quantity| {
                quantity.kind == Kind::Frequency
                    && quantity.si().is_some_and(|hertz| hertz > 2_000.0)
            })
    }

    /// Whether the row of a table says beside the figure which smaller copper it is as good as, and is right: a sheet that tells
    /// it so claims no more than that.
    fn likened(&self) -> bool {
        /// No row of a table is longer, in bytes.
        const ROW: usize = 4096;
        let sheet = self.context.sheet;
        let row = |span: Span| {
            let sentence = self.context.sentence(span)?;
            match sheet
                .blocks
                .get(sheet.sentences.get(sentence)?.block())?
                .kind()
            {
                BlockKind::Cell { table, row, .. } => Some((table, row)),
                _ => None,
            }
        };
        let Some(own) = row(self.figure.span) else {
            return false;
        };
        let Some(copper) = metal(COPPER) else {
            return false;
        };
        let tolerance = self.context.threshold(ABOVE, "tolerance");
        let fits = |area: SquareMetre| {
            let one = conductor::resistance_per_metre(copper.resistivity_at(self.at), area, 1.0);
            [Way::Single, Way::Loop]
                .into_iter()
                .any(|way| (self.stated.0 / (one.0 * way.conductors()) - 1.0).abs() <= tolerance)
        };
        let near = self.context.sizes_near(self.figure.span.start(), ROW);
        near.iter()
            .filter(|size| size.cable != self.bench.index)
            .filter(|size| row(size.span) == Some(own))
            .filter_map(|size| {
                let cable = self.context.facts.cables.get(size.cable)?;
                cable.sizes.get(size.size)
            })
            .any(|size| fits(size.area))
    }

    /// Whether the figure can be too low.
    fn can_be_below(&self) -> bool {
        !matches!(self.figure.bound, Bound::AtLeast | Bound::RangeLow)
    }

    /// Where the figure lies when the temperature is within the range.
    fn place(&self, candidate: &Candidate<'_>, within: Range<Celsius>) -> Place {
        // Without a comparison that holds (an unknown metal) nothing is said against the figure.
        if self.can_be_below() && self.stated.0 < self.floor(candidate, within.low) {
            Place::Below
        // Whether it can be is asked last, as that takes a look at all rows.
        } else if self.stated.0 > self.ceiling(candidate, within.high) && self.can_be_above() {
            Place::Above
        } else {
            Place::Fits
        }
    }

    fn verdict(&self) -> Option<Said> {
        let here = Range {
            low: self.at,
            high: self.at,
        };
        let judged = |within: Range<Celsius>| {
            self.candidates
                .iter()
                .map(|candidate| (candidate, self.place(candidate, within)))
                .collect::<Vec<_>>()
        };
        let now = judged(here);
        if let Some((fitting, _)) = now.iter().find(|(_, place)| *place == Place::Fits) {
            let odd = now.iter().find(|(candidate, place)| {
                *place != Place::Fits
                    && self.at_odds(&candidate.wire, &fitting.wire)
                    && !self.fits_size(&now, candidate)
            });
            return Some(match odd {
                Some((candidate, place)) => self.said(candidate, *place).follows(format!(
                    "the resistance {}, which fits {} and not {}",
                    say(self.context, self.figure),
                    say_size(self.context, fitting.wire.size),
                    say_size(self.context, candidate.wire.size),
                )),
                // Between two metals that are both named a figure may lie anywhere: it agrees with neither.
                None if self.bench.metals.len() > 1
                    && self.off(fitting).abs() > self.context.threshold(ABOVE, "tolerance") =>
                {
                    return None;
                }
                // A maximum beyond that of the standard may be no more than generous, but nothing speaks for it.
                None if self.beyond_standard(fitting) => return None,
                // No metal is named, and no copper has so little: that it might be silver confirms nothing.
                None if self.bench.metals.is_empty() && self.under_copper(fitting) => return None,
                None => self.confirmed(fitting),
            });
        }
        let then = judged(self.temperatures);
        if let Some((candidate, _)) = then.iter().find(|(_, place)| *place == Place::Fits) {
            return Some(self.open(candidate));
        }
        if let Some(said) = self.confused() {
            return Some(said);
        }
        // The statement that is kindest to the figure.
        let nearest = |place: Place| {
            let limit = |candidate: &Candidate<'_>| match place {
                Place::Below => self.floor(candidate, self.at),
                _ => -self.ceiling(candidate, self.at),
            };
            then.iter()
                .filter(|(_, found)| *found == place)
                .map(|(candidate, _)| *candidate)
                .min_by(|a, b| limit(a).total_cmp(&limit(b)))
        };
        match (nearest(Place::Below), nearest(Place::Above)) {
            (Some(candidate), None) => Some(self.said(candidate, Place::Below)),
            (None, Some(candidate)) => Some(self.said(candidate, Place::Above)),
            (Some(below), Some(above)) => {
                // Between two statements that contradict each other, or between one conductor and several in parallel.
                if self.at_odds(&below.wire, &above.wire) {
                    Some(self.said(above, Place::Above).follows(format!(
                        "the resistance {}, which lies between the two",
                        say(self.context, self.figure)
                    )))
                } else if below.count != above.count || below.wire.size.of != above.wire.size.of {
                    None
                } else {
                    Some(self.said(above, Place::Above))
                }
            }
            (None, None) => None,
        }
    }

    fn at_odds(&self, a: &Wire<'_>, b: &Wire<'_>) -> bool {
        gauge_area::contradict(self.context, self.bench, a, b)
    }

    /// Whether the figure fits the size of `candidate` in some other reading.
    fn fits_size(&self, judged: &[(&Candidate<'_>, Place)], candidate: &Candidate<'_>) -> bool {
        judged.iter().any(|(other, place)| {
            *place == Place::Fits && other.wire.size.span == candidate.wire.size.span
        })
    }

    /// Called loop and fits one conductor, or called single and fits the loop.
    fn confused(&self) -> Option<Said> {
        let other = match self.reading {
            Reading::Loop => Way::Single,
            Reading::Single => Way::Loop,
            Reading::Unsaid => return None,
        };
        let sure = matches!(self.figure.bound, Bound::Exact | Bound::About);
        if !sure || told_with(self.context, self.bench, self.figure).is_some() {
            return None;
        }
        /// From which spread on the metals that are named are too unlike.
        const UNSURE: f64 = 1.35;
        let tolerance = self.context.threshold(CONFUSED, "tolerance");
        let candidate = self.understood(&[other]).into_iter().find(|candidate| {
            let Some(one) = self.bench.resistance(&candidate.wire, self.temperatures) else {
                return false;
            };
            // Of copper and of clad aluminium between them nothing is left that the figure could not be.
            if one.high.0 > one.low.0 * UNSURE {
                return false;
            }
            let times = candidate.way.conductors() / f64::from(candidate.count);
            let low = one.low.0 * times * (1.0 - tolerance);
            let high = one.high.0 * times * (1.0 + tolerance);
            (low..=high).contains(&self.stated.0)
        })?;
        let metal = self.bench.ordinary_metal(self.at)?;
        let (called, is) = match other {
            Way::Single => ("the loop", "one conductor"),
            Way::Loop => ("one conductor", "the loop"),
        };
        let one = self.ordinary(&candidate, self.at) / other.conductors();
        let message = format!(
            "{} is given for {called}, but it is what {is} of {} has: about {} for one conductor and {} for the loop, in {}.",
            say(self.context, self.figure),
            say_size(self.context, candidate.wire.size),
            with_unit(one, "Ω/m"),
            with_unit(2.0 * one, "Ω/m"),
            metal.name,
        );
        let right = match other {
            Way::Single => 2.0 * one,
            Way::Loop => one,
        };
        let said = Said::finding(self.context, CONFUSED)
            .of(self.bench.index, Stage::Resistance)
            .message(message)
            .help(format!(
                "{} would be about {}; ask which of the two was measured. The loop is what the loudspeaker sees.",
                capital(called),
                with_unit(right, "Ω/m"),
            ))
            .working(self.confused_work(&candidate, &metal));
        Some(self.marks(said, &candidate, &metal))
    }
}
