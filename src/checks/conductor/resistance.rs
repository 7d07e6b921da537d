//! A stated resistance against size and metal: below what the metal allows, above what the size gives, or right for one conductor and
//! called loop (or the other way round).
//!
//! R′ = ρ/A for one conductor, twice that for the loop, with 1/58 Ω·mm²/m for 100 % IACS (IEC 60028). A nominal area in mm² is
//! held to the maxima of IEC 60228, since that standard fixes the resistance and not the area. Where a figure does not say loop or
//! single either reading is accepted, and the same goes for one conductor or all of one pole; a verdict must hold at every
//! temperature that the document leaves open.
//!
//! Long: three rules that share one judgement, since a figure that one of them explains is not for the others.

use super::super::Context;
use super::super::bench::{Bench, Material, Way, Wire, per_metre, say, say_gauge, say_size};
use super::super::format::{length, percent, three, with_unit};
use super::super::said::{Said, Stage, Work};
use super::gauge_area;
use crate::facts::{Figure, FigureKind, Notation, Reading};
use crate::physics::iec60228::Class;
use crate::physics::{Range, conductor, metal};
use crate::sheet::Bound;
use crate::units::{Celsius, OhmPerMetre};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[BELOW, ABOVE, CONFUSED];
const BELOW: &str = "resistance-below-metal";
const ABOVE: &str = "resistance-above-gauge";
const CONFUSED: &str = "loop-single-confusion";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::all(context) {
        for kind in [FigureKind::ResistancePerLength, FigureKind::Resistance] {
            for figure in bench.figures(kind) {
                said.extend(Judgement::new(context, &bench, figure).and_then(|j| j.verdict()));
            }
        }
    }
    said
}

/// One way to understand a figure: of which size, one conductor or the loop, how many in parallel.
#[derive(Clone)]
struct Candidate<'c> {
    wire: Wire<'c>,
    way: Way,
    count: u32,
}

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

impl<'a, 'c> Judgement<'a, 'c> {
    fn new(context: &'a Context<'c>, bench: &'a Bench<'c>, figure: &'c Figure) -> Option<Self> {
        let stated = per_metre(figure)?;
        let (at, temperatures) = bench.temperatures(figure.temperature);
        let reading = if paired(context, bench, figure) {
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
        for wire in self.bench.wires() {
            add(wire, 1);
            for (count, _) in self.bench.parallels() {
                if count > 1 {
                    add(wire, count);
                }
            }
        }
        for wire in self.bench.combined() {
            add(wire, 1);
        }
        candidates
    }

    /// The least that the metal allows, with the tolerance of the rule.
    fn floor(&self, candidate: &Candidate<'_>, at: Celsius) -> f64 {
        let tolerance = self.context.threshold(BELOW, "tolerance");
        self.least(candidate, at) * (1.0 - tolerance)
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
            Bound::AtMost | Bound::RangeHigh => self.figure.class.is_some(),
            _ => true,
        };
        bound && self.figure.with_contacts.is_none()
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
        } else if self.can_be_above() && self.stated.0 > self.ceiling(candidate, within.high) {
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
                } else if below.count != above.count {
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
        if !matches!(self.figure.bound, Bound::Exact | Bound::About) {
            return None;
        }
        let tolerance = self.context.threshold(CONFUSED, "tolerance");
        let candidate = self.understood(&[other]).into_iter().find(|candidate| {
            let Some(one) = self.bench.resistance(&candidate.wire, self.temperatures) else {
                return false;
            };
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
            .working(
                self.work(&candidate, &metal, false)
                    .usual(self.context, "lay", "lay_high", "")
                    .usual(self.context, "tin", "tinning_high", "")
                    .threshold(self.context, "tolerance", CONFUSED, "tolerance", ""),
            );
        Some(self.marks(said, &candidate, &metal))
    }

    /// A finding that stands, for the nearest reading.
    fn said(&self, candidate: &Candidate<'_>, place: Place) -> Said {
        match place {
            Place::Below => self.below(candidate),
            _ => self.above(candidate),
        }
    }

    fn reading(&self, candidate: &Candidate<'_>) -> String {
        let many = if candidate.count > 1 {
            format!(", {} in parallel", candidate.count)
        } else {
            String::new()
        };
        match self.reading {
            Reading::Unsaid => format!("read as {}{many}", candidate.way.word()),
            _ => format!("{}{many}", candidate.way.word()),
        }
    }

    fn temperature(&self) -> String {
        format!("{} °C", three(self.at.0))
    }

    fn below(&self, candidate: &Candidate<'_>) -> Said {
        let Some(metal) = self.bench.best_metal(self.at) else {
            return Said::finding(self.context, BELOW);
        };
        let least = self.least(candidate, self.at);
        let under = 1.0 - self.stated.0 / least;
        let named = match metal.span {
            Some(_) => metal.name.clone(),
            None => format!("even {}, as no metal is named", metal.name),
        };
        let message = format!(
            "{} is {} below the least that {} of {named} can have: {} at {} ({}, {} % IACS).",
            say(self.context, self.figure),
            percent(under),
            say_size(self.context, candidate.wire.size),
            with_unit(least, "Ω/m"),
            self.temperature(),
            self.reading(candidate),
            three(metal.best),
        );
        let said = Said::finding(self.context, BELOW)
            .of(self.bench.index, Stage::Resistance)
            .message(message)
            .help(format!(
                "The figure would fit {} of copper. Ask whether it is for one conductor or the loop, at which temperature it was measured, \
                 and what the size really is.",
                say_gauge(self.copper_gauge(candidate)),
            ))
            .working(
                self.work(candidate, &metal, true)
                    .threshold(self.context, "tolerance", BELOW, "tolerance", "")
                    .computed("1 − R/R_least", "below the least by", under, ""),
            );
        self.marks(said, candidate, &metal)
    }

    fn above(&self, candidate: &Candidate<'_>) -> Said {
        let Some(metal) = self.bench.ordinary_metal(self.at) else {
            return Said::finding(self.context, ABOVE);
        };
        let ordinary = self.ordinary(candidate, self.at);
        let over = self.stated.0 / ordinary - 1.0;
        let size = say_size(self.context, candidate.wire.size);
        let named = match metal.span {
            Some(_) => metal.name.clone(),
            None => format!("{} (no metal is named)", metal.name),
        };
        let gauge = say_gauge(self.copper_gauge(candidate));
        let mut work = self.work(candidate, &metal, false);
        let mut message = format!(
            "{} is {} above what {size} of {named} has: {} at {} ({})",
            say(self.context, self.figure),
            percent(over),
            with_unit(ordinary, "Ω/m"),
            self.temperature(),
            self.reading(candidate),
        );
        let square = candidate.wire.size.notation == Notation::SquareMillimetre;
        match self.maximum(&candidate.wire).filter(|_| square) {
            Some((maximum, class)) => {
                let times = candidate.way.conductors() / f64::from(candidate.count);
                let warm = conductor::temperature_factor(metal.alpha, self.at);
                let limit = maximum.0 * times * warm;
                message.push_str(&format!(
                    ", and {} above the IEC 60228 maximum of class {}, {}",
                    percent(self.stated.0 / limit - 1.0),
                    class.number(),
                    with_unit(limit, "Ω/m"),
                ));
                work = work
                    .assumed(
                        "R′_max",
                        format!(
                            "IEC 60228, class {}, one conductor at 20 °C",
                            class.number()
                        ),
                        maximum.0 * 1.0e3,
                        "mΩ/m",
                    )
                    .computed(
                        "R/R_max − 1",
                        "above the maximum by",
                        self.stated.0 / limit - 1.0,
                        "",
                    )
                    .threshold(self.context, "tolerance", ABOVE, "class5_tolerance", "");
            }
            None => {
                work = work
                    .computed("R/R_size − 1", "above the size by", over, "")
                    .threshold(self.context, "tolerance", ABOVE, "tolerance", "");
            }
        }
        let others = self.metals(candidate, &metal);
        message.push_str(&format!(". It would fit {gauge} of copper"));
        if !others.is_empty() {
            message.push_str(&format!(", or {} of the stated size", others.join(" or ")));
        }
        message.push('.');
        let said = Said::finding(self.context, ABOVE)
            .of(self.bench.index, Stage::Resistance)
            .message(message)
            .help(
                "Ask for the metal of the conductor, its strand count and strand diameter, and the temperature of the figure.",
            )
            .working(work.computed(
                "n_Cu",
                "gauge of copper with this resistance",
                self.copper_gauge(candidate),
                "AWG",
            ));
        self.marks(said, candidate, &metal)
    }

    fn open(&self, candidate: &Candidate<'_>) -> Said {
        let here = Range {
            low: self.at,
            high: self.at,
        };
        let place = self.place(candidate, here);
        let (id, best) = match place {
            Place::Below => (BELOW, self.bench.best_metal(self.at)),
            _ => (ABOVE, self.bench.ordinary_metal(self.at)),
        };
        let Some(metal) = best else {
            return Said::open(self.context, id);
        };
        let room = self.temperatures;
        let side = if place == Place::Below {
            "below"
        } else {
            "above"
        };
        let said = Said::open(self.context, id)
            .of(self.bench.index, Stage::Resistance)
            .message(format!(
                "{} lies {side} what {} of {} gives at 20 °C, and within it at a temperature between {} and {} °C; no temperature is stated.",
                say(self.context, self.figure),
                say_size(self.context, candidate.wire.size),
                metal.name,
                three(room.low.0),
                three(room.high.0),
            ))
            .help("Ask at which temperature the resistance was measured.")
            .working(
                self.work(candidate, &metal, place == Place::Below)
                    .usual(self.context, "t_low", "temperature_low", "°C")
                    .usual(self.context, "t_high", "temperature_high", "°C"),
            );
        self.marks(said, candidate, &metal)
    }

    fn confirmed(&self, candidate: &Candidate<'_>) -> Said {
        let Some(metal) = self.bench.ordinary_metal(self.at) else {
            return Said::confirmed(self.context, ABOVE);
        };
        let ordinary = self.ordinary(candidate, self.at);
        let off = self.off(candidate);
        let side = if off < 0.0 { "below" } else { "above" };
        let id = if off < 0.0 { BELOW } else { ABOVE };
        let limit = match self.figure.bound {
            Bound::AtMost => " as a maximum",
            Bound::AtLeast => " as a minimum",
            _ => "",
        };
        let said = Said::confirmed(self.context, id)
            .of(self.bench.index, Stage::Resistance)
            .message(format!(
                "{} agrees{limit} with {} of {}: {} at {} ({}), {} {side} it.",
                say(self.context, self.figure),
                say_size(self.context, candidate.wire.size),
                metal.name,
                with_unit(ordinary, "Ω/m"),
                self.temperature(),
                self.reading(candidate),
                percent(off.abs()),
            ))
            .working(self.work(candidate, &metal, false).computed(
                "R/R_size − 1",
                "off by",
                off,
                "",
            ));
        self.marks(said, candidate, &metal)
    }

    /// One conductor's resistance at 20 °C by the figure, in the reading of `candidate`.
    fn single(&self, candidate: &Candidate<'_>) -> OhmPerMetre {
        let alpha = self
            .bench
            .ordinary_metal(self.at)
            .map_or(crate::units::PerKelvin(0.0), |metal| metal.alpha);
        self.stated
            * (f64::from(candidate.count)
                / candidate.way.conductors()
                / conductor::temperature_factor(alpha, self.at))
    }

    fn copper_gauge(&self, candidate: &Candidate<'_>) -> f64 {
        conductor::copper_gauge_of(self.single(candidate))
    }

    /// Other metals that the stated size would be of.
    fn metals(&self, candidate: &Candidate<'_>, named: &Material) -> Vec<String> {
        let tolerance = self.context.threshold(BELOW, "tolerance");
        metal::metals_fitting(self.single(candidate), candidate.wire.size.area, tolerance)
            .into_iter()
            .filter(|metal| metal.key != named.key)
            .map(|metal| metal.name.clone())
            .take(2)
            .collect()
    }

    fn work(&self, candidate: &Candidate<'_>, metal: &Material, best: bool) -> Work {
        let stated = self.figure.temperature.map(|fact| fact.span);
        let mut work = self
            .bench
            .resistance_work(&candidate.wire, metal, best, self.at, stated);
        let value = if best {
            self.least(candidate, self.at)
        } else {
            self.ordinary(candidate, self.at)
        };
        if candidate.count > 1 {
            work = match self.bench.cable.parallel {
                Some(fact) => {
                    work.quoted(self.context, "N", f64::from(candidate.count), "", fact.span)
                }
                None => work.assumed(
                    "N",
                    "conductors in parallel for each pole",
                    f64::from(candidate.count),
                    "",
                ),
            };
        }
        let expression = match (candidate.way, candidate.count > 1) {
            (Way::Single, false) => "R′, one conductor",
            (Way::Single, true) => "R′ / N",
            (Way::Loop, false) => "2 · R′, out and back",
            (Way::Loop, true) => "2 · R′ / N, out and back",
        };
        work = work.computed("R_size", expression, value * 1.0e3, "mΩ/m");
        match (self.figure.kind, self.figure.length) {
            (FigureKind::Resistance, Some(over)) => work
                .quoted(
                    self.context,
                    "R_tot",
                    self.figure.value,
                    "Ω",
                    self.figure.span,
                )
                .quoted(self.context, "l", over.value.0, "m", over.span)
                .computed("R", "R_tot / l", self.stated.0 * 1.0e3, "mΩ/m"),
            _ => work.quoted(
                self.context,
                "R",
                self.stated.0 * 1.0e3,
                "mΩ/m",
                self.figure.span,
            ),
        }
    }

    fn marks(&self, said: Said, candidate: &Candidate<'_>, metal: &Material) -> Said {
        let over = self
            .figure
            .length
            .filter(|_| self.figure.kind == FigureKind::Resistance);
        said.mark(self.figure.span, "the resistance as stated")
            .mark(candidate.wire.size.span, "the size")
            .mark_some(
                over.map(|over| over.span),
                over.map_or_else(String::new, |over| format!("over {}", length(over.value.0))),
            )
            .mark_some(self.figure.reading_span, "loop or one conductor")
            .mark_some(metal.span, "the metal")
            .mark_some(
                self.figure.temperature.map(|fact| fact.span),
                "the temperature",
            )
            .mark_some(self.figure.class.map(|(_, span)| span), "the class")
    }
}

/// Whether the document gives both figures, one twice the other, so that which of the two is which was only a matter of reading.
fn paired(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> bool {
    let Some(own) = per_metre(figure) else {
        return false;
    };
    let tolerance = context.threshold(CONFUSED, "tolerance");
    let kinds = [FigureKind::ResistancePerLength, FigureKind::Resistance];
    kinds
        .into_iter()
        .flat_map(|kind| bench.figures(kind))
        .filter(|other| other.span != figure.span)
        .filter_map(per_metre)
        .any(|other| {
            let ratio = (other / own).max(own / other);
            (ratio / 2.0 - 1.0).abs() <= tolerance
        })
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
