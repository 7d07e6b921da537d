//! The sides of a comparison: their areas, lengths, metals, and what arrives at the load through each.

mod lost;

pub(super) use lost::Lost;

use super::bench::Bench;
use super::format::{area, length, ohms};
use super::{Context, Work};
use crate::facts::{
    Cable, Comparison, Difference, DifferenceOf, Fact, Load, LoadKind, Notation, Size,
};
use crate::physics::{Range, conductor, metal};
use crate::span::Span;
use crate::units::{Metre, Ohm, OhmMetre, OhmPerMetre, SquareMetre};

/// One side with what is known of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Party<'c> {
    /// Index in [`Comparison::sides`].
    pub(super) index: usize,
    /// Index of the cable.
    pub(super) cable_index: usize,
    /// The cable.
    pub(super) cable: &'c Cable,
    /// Area of one pole with the size it rests on.
    pub(super) area: Option<(SquareMetre, &'c Size)>,
    /// Run length.
    pub(super) length: Option<Fact<Metre>>,
    /// Load: its own, else the one that all share.
    pub(super) load: Option<Fact<Load>>,
}

/// The sides of a comparison.
pub(super) fn parties<'c>(context: &Context<'c>, comparison: &'c Comparison) -> Vec<Party<'c>> {
    parties_at(context, comparison, outcome_span(comparison), None)
}

/// As [`parties`], with the load that was stated before what is measured at `anchor`, or beside it, and that can have such a
/// difference.
pub(super) fn parties_at<'c>(
    context: &Context<'c>,
    comparison: &'c Comparison,
    anchor: Option<Span>,
    measured: Option<DifferenceOf>,
) -> Vec<Party<'c>> {
    let one = |loads: &[Fact<Load>]| match loads {
        [] => None,
        [first, rest @ ..] => {
            let same = rest
                .iter()
                .all(|load| load.value.impedance == first.value.impedance);
            same.then_some(*first)
        }
    };
    // What shines is a lamp, whatever loudspeakers are spoken of beside it.
    let mut differences = comparison.outcome.iter();
    let shines = differences.any(|outcome| {
        let differences = &outcome.difference;
        (differences.iter()).any(|difference| difference.of == DifferenceOf::Brightness)
    });
    // And no level is measured at a lamp.
    let sounds = measured == Some(DifferenceOf::Level);
    let stated: Vec<Fact<Load>> = (context.facts.setup.loads.iter())
        .filter(|load| match load.value.kind {
            LoadKind::Lamp => !sounds,
            _ => sounds || !shines,
        })
        .copied()
        .collect();
    let stated = stated.as_slice();
    // What is named after the outcome belongs to another test, or to a use.
    let shared = one(stated).or_else(|| {
        let end = anchor?.end();
        let before: Vec<Fact<Load>> = stated
            .iter()
            .copied()
            .filter(|load| load.span.end() <= end)
            .collect();
        one(&before)
    });
    // Several tests of one document each have a load of their own, told with what was measured.
    let shared = shared.or_else(|| {
        let block = |span: Span| Some(context.sheet.sentences[context.sentence(span)?].block());
        let own = block(anchor?)?;
        let beside: Vec<Fact<Load>> = (stated.iter().copied())
            .filter(|load| measured.is_some() && block(load.span) == Some(own))
            .collect();
        one(&beside)
    });
    let cables: Vec<&Cable> = comparison
        .sides
        .iter()
        .filter_map(|side| context.facts.cables.get(side.cable))
        .collect();
    // "Both are 3 m": a length of all sides is that of the test, whatever else one of them is sold in.
    let common: Vec<Fact<Metre>> = cables.first().map_or_else(Vec::new, |first| {
        let of_all = |length: &&Fact<Metre>| {
            cables
                .iter()
                .all(|cable| cable.lengths.iter().any(|own| own.span == length.span))
        };
        first.lengths.iter().filter(of_all).copied().collect()
    });
    let common = common
        .first()
        .copied()
        .filter(|first| common.iter().all(|other| other.value == first.value));
    let sides = comparison.sides.iter().enumerate();
    sides
        .filter_map(|(index, side)| {
            let cable = context.facts.cables.get(side.cable)?;
            Some(Party {
                index,
                cable_index: side.cable,
                cable,
                area: cable.effective_area(),
                length: cable.length().or(common),
                load: side.load.as_deref().copied().or(shared),
            })
        })
        .collect()
}

impl<'c> Party<'c> {
    /// The metal of its conductors: the one that is named for it, or of several the one that stands with its size.
    pub(super) fn metal(&self, context: &Context<'_>) -> Option<&'c Fact<&'static str>> {
        let beside = || {
            let (_, size) = self.area?;
            let sentence = context.sentence(size.span);
            let mut near = self
                .cable
                .metals
                .iter()
                .filter(|metal| context.sentence(metal.span) == sentence);
            let first = near.next()?;
            // What is said of another metal stands apart, and names no size.
            let other = |metal: &Fact<&'static str>| context.sentence(metal.span) != sentence;
            let copper = |metal: &Fact<&'static str>| metal.value == "copper";
            let apart = self
                .cable
                .metals
                .iter()
                .filter(|metal| other(metal))
                .all(copper);
            (near.all(|metal| metal.value == first.value) && apart && !copper(first))
                .then_some(first)
        };
        self.cable.metal().or_else(beside)
    }
}

impl Party<'_> {
    /// Resistivity of the ordinary grade of the metal named, else of annealed copper, at 20 °C.
    pub(super) fn resistivity(&self) -> OhmMetre {
        let named = self
            .cable
            .metal()
            .and_then(|fact| metal(fact.value))
            .filter(|metal| metal.conductor);
        named.map_or(crate::physics::IACS, |metal| metal.rho20)
    }

    /// Resistance there and back per metre over the lay that is left open (0 to 5 %).
    pub(super) fn loop_per_metre(&self, context: &Context<'_>) -> Option<Range<OhmPerMetre>> {
        let (square, _) = self.area?;
        let plain = conductor::resistance_per_metre(self.resistivity(), square, 1.0) * 2.0;
        Some(Range {
            low: plain,
            high: plain * (1.0 + context.default("lay_high")),
        })
    }

    /// Resistance there and back.
    pub(super) fn loop_resistance(&self, context: &Context<'_>) -> Option<Range<Ohm>> {
        let per_metre = self.loop_per_metre(context)?;
        let metres = self.length?.value;
        Some(Range {
            low: Ohm(per_metre.low.0 * metres.0),
            high: Ohm(per_metre.high.0 * metres.0),
        })
    }

    /// How to say its size: the words with the area.
    pub(super) fn say_size(&self, context: &Context<'_>) -> Option<String> {
        let (square, size) = self.area?;
        let quote = context.quote(size.span);
        let many = self.cable.parallel.map_or(1, |fact| fact.value);
        Some(match size.notation {
            _ if many > 1 => format!("{many} × “{quote}” ({})", area(square.0)),
            Notation::SquareMillimetre => format!("“{quote}”"),
            _ => format!("“{quote}” ({})", area(square.0)),
        })
    }
}

/// What goes behind a message about lamps.
pub(super) const NO_LOUDSPEAKER: &str = " A lamp is no loudspeaker: its light goes with a high power of the voltage, and says nothing of what is heard.";

/// Words that a finding of a comparison rests on: the outcome.
pub(super) fn outcome_span(comparison: &Comparison) -> Option<Span> {
    comparison.outcome.as_ref().map(|outcome| outcome.span)
}

/// A load in words.
pub(super) fn say_load(context: &Context<'_>, load: &Fact<Load>) -> String {
    let kind = match load.value.kind {
        LoadKind::Loudspeaker => "loudspeaker",
        LoadKind::Lamp => "lamp",
        LoadKind::Resistor => "resistor",
    };
    format!("{kind} “{}”", context.quote(load.span))
}

/// A length in words.
pub(super) fn say_length(context: &Context<'_>, metres: &Fact<Metre>) -> String {
    let quote = context.quote(metres.span);
    if quote.ends_with(" m") || quote.contains("met") {
        format!("“{quote}”")
    } else {
        format!("“{quote}” ({})", length(metres.value.0))
    }
}

/// The working from size to loop resistance of one side.
pub(super) fn loop_work(context: &Context<'_>, party: &Party<'_>, mut work: Work) -> Work {
    let number = party.index + 1;
    if let Some((square, size)) = party.area {
        work = work.quoted(
            context,
            format!("A_{number}"),
            square.0 * 1e6,
            "mm²",
            size.span,
        );
        if let Some(parallel) = party.cable.parallel {
            work = work.quoted(
                context,
                format!("N_{number}"),
                f64::from(parallel.value),
                "1",
                parallel.span,
            );
        }
    }
    let named = party.cable.metal();
    work = match named {
        Some(fact) => work.quoted(
            context,
            format!("ρ_{number}"),
            party.resistivity().0,
            "Ω·m",
            fact.span,
        ),
        None => work.assumed(
            format!("ρ_{number}"),
            "annealed copper, 100 % IACS, 20 °C",
            party.resistivity().0,
            "Ω·m",
        ),
    };
    match (party.length, party.loop_resistance(context)) {
        (Some(metres), Some(resistance)) => work
            .quoted(
                context,
                format!("l_{number}"),
                metres.value.0,
                "m",
                metres.span,
            )
            .computed(
                format!("R_{number}"),
                "2 · ρ · l / A",
                resistance.low.0,
                "Ω",
            ),
        _ => match party.loop_per_metre(context) {
            Some(per_metre) => {
                work.computed(format!("R′_{number}"), "2 · ρ / A", per_metre.low.0, "Ω/m")
            }
            None => work,
        },
    }
}

/// What the resistances alone make of a difference between two sides.
#[derive(Debug, Clone, Copy)]
pub(super) struct Explained {
    /// Numbers by which the working calls the two sides.
    numbers: [usize; 2],
    /// Resistance of each loop.
    pub(super) loops: [Ohm; 2],
    /// The load.
    pub(super) load: Ohm,
    /// Voltage at the load through each, as a share of that of the source.
    pub(super) voltage: [f64; 2],
}

impl Explained {
    /// From two sides whose size, length and common load are known.
    pub(super) fn of(context: &Context<'_>, a: &Party<'_>, b: &Party<'_>) -> Option<Self> {
        let load = a.load.or(b.load)?.value.impedance?;
        let loops = [
            a.loop_resistance(context)?.low,
            b.loop_resistance(context)?.low,
        ];
        let share = |resistance: Ohm| load.0 / (load.0 + resistance.0);
        (load.0 > 0.0).then(|| Self {
            numbers: [a.index + 1, b.index + 1],
            loops,
            load,
            voltage: [share(loops[0]), share(loops[1])],
        })
    }

    /// Voltage ratio, the higher over the lower.
    pub(super) fn ratio(&self) -> f64 {
        let [a, b] = self.voltage;
        (a / b).max(b / a)
    }

    /// Level difference in dB.
    pub(super) fn decibels(&self) -> f64 {
        20.0 * self.ratio().log10()
    }

    /// In a sentence.
    pub(super) fn say(&self, lamp: bool) -> String {
        let ratio = self.ratio();
        let bright = crate::physics::lamp::brightness(ratio);
        let mut text = format!(
            "The loops come to {} and {}; into {} that alone makes {} between the sides ({} in voltage, {} in power",
            ohms(self.loops[0].0),
            ohms(self.loops[1].0),
            ohms(self.load.0),
            super::format::decibels(self.decibels()),
            super::format::percent(ratio - 1.0),
            super::format::percent(ratio * ratio - 1.0),
        );
        if lamp {
            text.push_str(&format!(
                ", about {} in the light of a tungsten lamp",
                super::format::percent(bright.usual - 1.0)
            ));
        }
        text.push_str(").");
        text
    }

    /// How much of a stated difference the resistances alone make up, in a sentence.
    pub(super) fn share(&self, difference: &Difference) -> String {
        let ratio = self.ratio();
        let (stated, made, explained) = match difference.of {
            DifferenceOf::Level => (
                super::format::decibels(difference.value),
                super::format::decibels(self.decibels()),
                self.decibels() / difference.value,
            ),
            of => {
                let made = match of {
                    DifferenceOf::Power => ratio * ratio,
                    DifferenceOf::Brightness => crate::physics::lamp::brightness(ratio).usual,
                    _ => ratio,
                };
                (
                    super::format::percent(difference.value - 1.0),
                    super::format::percent(made - 1.0),
                    (made - 1.0) / (difference.value - 1.0),
                )
            }
        };
        if explained >= 0.95 {
            format!(
                " The stated difference is {stated}; the sizes and lengths alone make {made}, so that nothing is left for another cause."
            )
        } else {
            let share = super::format::percent(explained.max(0.0));
            format!(
                " The stated difference is {stated}; the sizes and lengths alone make {made}, {share} of it."
            )
        }
    }

    /// Whether the resistances alone make just what is stated.
    pub(super) fn accounts_for(&self, difference: &Difference) -> bool {
        /// How far the one may lie off the other, as a share.
        const ALIKE: f64 = 0.1;
        let ratio = self.ratio();
        let share = match difference.of {
            DifferenceOf::Level => self.decibels() / difference.value,
            DifferenceOf::Power => (ratio * ratio - 1.0) / (difference.value - 1.0),
            DifferenceOf::Voltage => (ratio - 1.0) / (difference.value - 1.0),
            // A lamp makes much of little, which is seldom told for its own sake.
            DifferenceOf::Brightness => return false,
        };
        (share - 1.0).abs() <= ALIKE
    }

    /// As steps.
    pub(super) fn work(
        &self,
        context: &Context<'_>,
        load: &Fact<Load>,
        work: Work,
        lamp: bool,
    ) -> Work {
        let ratio = self.ratio();
        let mut work = work.quoted(context, "R_L", self.load.0, "Ω", load.span);
        let [a, b] = [0, 1].map(|side| (self.numbers[side], self.voltage[side]));
        let in_order = if a.0 < b.0 { [a, b] } else { [b, a] };
        for (number, voltage) in in_order {
            work = work.computed(
                format!("V_{number}/V_0"),
                format!("R_L / (R_L + R_{number})"),
                voltage,
                "1",
            );
        }
        let (high, low) = if a.1 >= b.1 { (a.0, b.0) } else { (b.0, a.0) };
        let over = format!("V_{high} / V_{low}");
        let work = work
            .computed("ΔL", format!("20 · lg({over})"), self.decibels(), "dB")
            .computed("P ratio", format!("({over})²"), ratio * ratio, "1");
        if lamp {
            let bright = crate::physics::lamp::brightness(ratio);
            work.assumed(
                "n",
                "luminous flux of a tungsten lamp goes with V to the power 3.4 (3.1 to 3.6)",
                crate::physics::lamp::FLUX_EXPONENT,
                "1",
            )
            .computed("Φ ratio", format!("({over})^n"), bright.usual, "1")
        } else {
            work
        }
    }
}
