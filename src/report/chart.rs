//! Pictures for the page: insertion loss against frequency of the cables described, and what two compared cables can make
//! of a stated outcome. Inline SVG; lines differ by dashes and labels, not by colour alone.

use crate::facts::{Cable, DifferenceOf, Facts, FigureKind, Load};
use crate::physics::lamp;
use crate::physics::loss;
use crate::physics::metal;
use crate::physics::pair::{Pair, Pole};
use crate::physics::skin;
use crate::report::escape;
use crate::report::number::shown;
use crate::report::understood::{self, with_unit};
use crate::report::view::{View, shortened};
use crate::rulebook::Rulebook;
use crate::units::{Celsius, HenryPerMetre, Hertz, Metre, Ohm};
use maud::{Markup, html};
use std::fmt::Write as _;

/// Most cables in one picture.
const MOST: usize = 6;
const LOWEST: f64 = 20.0;
const HIGHEST: f64 = 20_000.0;

/// A cable with all that its loss needs.
struct Run {
    name: String,
    pair: Pair,
    length: Metre,
    load: Ohm,
    assumed: Vec<String>,
    /// The document names no load.
    assumed_load: bool,
}

impl Run {
    fn loss(&self, frequency: f64) -> (f64, f64) {
        let range = self
            .pair
            .insertion_loss(self.length, Ohm(0.0), self.load, Hertz(frequency));
        (range.low.0, range.high.0)
    }

    /// What of it holds at 1 kHz, for the words under the picture.
    fn middle(&self) -> f64 {
        loss::resistive(self.pair.loop_resistance(self.length), self.load).0
    }
}

fn load_of(facts: &Facts, own: Option<&Load>) -> Option<Ohm> {
    own.and_then(|load| load.impedance).or_else(|| {
        facts
            .setup
            .loads
            .iter()
            .find_map(|load| load.value.impedance)
    })
}

fn run(
    facts: &Facts,
    rulebook: &Rulebook,
    cable: &Cable,
    name: &str,
    load: Option<&Load>,
) -> Option<Run> {
    let (area, _) = cable.effective_area()?;
    let usual = |name| rulebook.usual(name).unwrap_or(f64::NAN);
    let mut assumed = Vec::new();
    let offered = cable.uses.iter().filter_map(|offer| offer.length);
    let stated: Vec<f64> = cable
        .lengths
        .iter()
        .copied()
        .chain(offered)
        .map(|length| length.value.0)
        .collect();
    let length = match stated.iter().copied().reduce(f64::max) {
        Some(longest) => {
            let shortest = stated.iter().copied().fold(longest, f64::min);
            if shortest < 0.99 * longest {
                assumed.push("the longest of the lengths stated".to_owned());
            }
            Metre(longest)
        }
        None => {
            let length = usual("asked_length");
            assumed.push(format!("a length of {}", with_unit(length, "m")));
            Metre(length)
        }
    };
    let offered_load = cable
        .uses
        .iter()
        .find_map(|offer| offer.load.as_ref())
        .map(|load| &load.value);
    let known = load_of(facts, load.or(offered_load));
    let load = known.unwrap_or_else(|| {
        let load = usual("load");
        assumed.push(format!("a load of {}", with_unit(load, "Ω")));
        Ohm(load)
    });
    let metal = cable
        .metal()
        .and_then(|fact| metal::metal(fact.value))
        .or_else(|| {
            assumed.push("copper".to_owned());
            metal::metal("copper")
        })?;
    let spacing = cable.spacing.map(|spacing| spacing.value);
    let inductance = cable
        .figures
        .iter()
        .find(|figure| figure.kind == FigureKind::InductancePerLength && !figure.denied)
        .map(|figure| figure.value)
        .filter(|value| value.is_finite() && *value > 0.0);
    if spacing.is_none() && inductance.is_none() {
        assumed.push("an ordinary flat pair".to_owned());
    }
    let resistivity = metal.resistivity_at(Celsius(20.0));
    // What the insulation is does not move the loss into a loudspeaker.
    let pole = Pole::of(area);
    let around = usual("permittivity");
    let mut pair = Pair::side_by_side(pole, resistivity, spacing, around)
        .or_else(|| Pair::side_by_side(pole, resistivity, None, around))?;
    if let Some(inductance) = inductance {
        let internal = skin::internal_inductance(1.0) * 2.0;
        pair.constants.external_inductance = HenryPerMetre((inductance - internal.0).max(0.0));
    }
    let sound = length.0 > 0.0 && length.0.is_finite() && load.0 > 0.0 && load.0.is_finite();
    sound.then(|| Run {
        name: shortened(&escape::line(name), 40),
        pair,
        length,
        load,
        assumed,
        assumed_load: known.is_none(),
    })
}

/// The pictures of a document; nothing when no cable has a size and a length.
#[must_use]
pub fn charts(view: &View<'_>, rulebook: &Rulebook, id: &str) -> Markup {
    let runs: Vec<Run> = view
        .facts
        .cables
        .iter()
        .enumerate()
        .filter_map(|(index, cable)| {
            let name = understood::name(index, cable);
            run(view.facts, rulebook, cable, &name, None)
        })
        .take(MOST)
        .collect();
    let budget = rulebook
        .rule("loss-over-budget")
        .map(|rule| rule.threshold("budget_db"))
        .filter(|budget| budget.is_finite() && *budget > 0.0);
    let outcomes = outcomes(view, rulebook);
    html! {
        @if !runs.is_empty() || !outcomes.is_empty() {
            section.charts aria-label="Pictures" {
                @if !runs.is_empty() {
                    (losses(&runs, budget, id))
                }
                @for (number, outcome) in outcomes.iter().enumerate() {
                    (stated(outcome, &format!("{id}-outcome{number}")))
                }
            }
        }
    }
}

/// A compared pair with what was said of it.
struct Outcome {
    one: Run,
    other: Run,
    scale: Scale,
    /// Computed difference on that scale.
    computed: f64,
    /// Stated difference on that scale, with its words.
    stated: (f64, String),
}

/// What a difference is counted in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Scale {
    /// Level in dB.
    Level,
    /// Light of a tungsten lamp, per cent more.
    Light,
}

impl Scale {
    fn label(self, value: f64) -> String {
        match self {
            Self::Level => format!("{} dB", shown3(value)),
            Self::Light => format!("{} % more light", shown3(value)),
        }
    }

    /// A difference of levels on this scale.
    fn of_level(self, decibels: f64) -> f64 {
        match self {
            Self::Level => decibels,
            Self::Light => {
                let ratio = 10_f64.powf(decibels / 20.0);
                (lamp::brightness(ratio).usual - 1.0) * 100.0
            }
        }
    }
}

fn outcomes(view: &View<'_>, rulebook: &Rulebook) -> Vec<Outcome> {
    let facts = view.facts;
    let mut found = Vec::new();
    for comparison in &facts.comparisons {
        let mut runs = comparison.sides.iter().filter_map(|side| {
            let cable = facts.cables.get(side.cable)?;
            let name = &understood::name(side.cable, cable);
            run(
                facts,
                rulebook,
                cable,
                name,
                side.load.as_ref().map(|load| &load.value),
            )
        });
        let (Some(one), Some(other)) = (runs.next(), runs.next()) else {
            continue;
        };
        let stated = comparison
            .outcome
            .as_ref()
            .and_then(|outcome| outcome.difference.first())
            .and_then(|difference| {
                let (scale, value) = match difference.of {
                    DifferenceOf::Level => (Scale::Level, difference.value),
                    DifferenceOf::Power => (Scale::Level, 10.0 * difference.value.log10()),
                    DifferenceOf::Voltage => (Scale::Level, 20.0 * difference.value.log10()),
                    DifferenceOf::Brightness => (Scale::Light, (difference.value - 1.0) * 100.0),
                };
                let words = difference
                    .span
                    .of(view.flow_text)
                    .split_whitespace()
                    .collect::<Vec<_>>()
                    .join(" ");
                value.is_finite().then(|| (scale, (value.abs(), words)))
            });
        let Some((scale, stated)) = stated else {
            continue;
        };
        // Lamps are too unlike for a usual one to be assumed.
        if scale == Scale::Light && (one.assumed_load || other.assumed_load) {
            continue;
        }
        let computed = scale.of_level((one.middle() - other.middle()).abs());
        found.push(Outcome {
            one,
            other,
            scale,
            computed,
            stated,
        });
    }
    found.truncate(4);
    found
}

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 320.0;
const LEFT: f64 = 56.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 14.0;
const BOTTOM: f64 = 44.0;

fn losses(runs: &[Run], budget: Option<f64>, id: &str) -> Markup {
    let most = runs
        .iter()
        .map(|run| run.loss(HIGHEST).1)
        .chain(budget)
        .fold(0.05, f64::max)
        * 1.1;
    let step = step(most);
    let across = |frequency: f64| {
        LEFT + (frequency / LOWEST).log10() / (HIGHEST / LOWEST).log10() * (WIDTH - LEFT - RIGHT)
    };
    let down = |loss: f64| TOP + loss.clamp(0.0, most) / most * (HEIGHT - TOP - BOTTOM);
    let frequencies: Vec<f64> = (0..=60)
        .map(|point| LOWEST * (HIGHEST / LOWEST).powf(f64::from(point) / 60.0))
        .collect();
    let line = |upper: bool, run: &Run| {
        let mut path = String::new();
        for (number, &frequency) in frequencies.iter().enumerate() {
            let (low, high) = run.loss(frequency);
            let verb = if number == 0 { 'M' } else { 'L' };
            let _ = write!(
                path,
                "{verb}{:.1} {:.1}",
                across(frequency),
                down(if upper { low } else { high })
            );
        }
        path
    };
    let ticks: Vec<f64> = (0..=12)
        .map(|count| f64::from(count) * step)
        .filter(|tick| *tick <= most)
        .collect();
    let heading = format!("{id}-loss");
    html! {
        figure {
            figcaption #(heading) { "Insertion loss against frequency" }
            svg viewBox={"0 0 " (WIDTH) " " (HEIGHT)} role="img" aria-labelledby=(heading) {
                @for tick in &ticks {
                    line.grid x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(down(*tick))) y2=(px(down(*tick))) {}
                    text.tick x=(LEFT - 6.0) y=(px(down(*tick) + 4.0)) text-anchor="end" { (shown(*tick)) }
                }
                @for (frequency, label) in [(20.0, "20 Hz"), (100.0, "100"), (1000.0, "1 kHz"), (10_000.0, "10"), (20_000.0, "20 kHz")] {
                    line.grid x1=(px(across(frequency))) x2=(px(across(frequency))) y1=(TOP) y2=(HEIGHT - BOTTOM) {}
                    @if label != "10" {
                        text.tick x=(px(across(frequency))) y=(HEIGHT - BOTTOM + 16.0)
                            text-anchor=(if frequency > 19_000.0 { "end" } else { "middle" }) { (label) }
                    }
                }
                text.tick x=(LEFT) y=(HEIGHT - 8.0) { "dB lost, downward; 0 is the level without a cable" }
                @if let Some(budget) = budget {
                    line.budget x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(down(budget))) y2=(px(down(budget))) {}
                    text.budget x=(LEFT + 6.0) y=(px(down(budget) - 5.0)) { "budget " (shown(budget)) " dB" }
                }
                @for (number, run) in runs.iter().enumerate() {
                    path class={"run run" (number)} d=(line(true, run)) {}
                    path class={"run run" (number)} d=(line(false, run)) {}
                }
            }
            ul.legend {
                @for (number, run) in runs.iter().enumerate() {
                    li {
                        svg.key viewBox="0 0 40 10" aria-hidden="true" {
                            path class={"run run" (number)} d="M0 5L40 5" {}
                        }
                        (run.name) ": " (with_unit(run.length.0, "m")) " into " (with_unit(run.load.0, "Ω"))
                        @if !run.assumed.is_empty() {
                            ", assumed: " (run.assumed.join(", "))
                        }
                    }
                }
            }
            details {
                summary { "The figures of the picture" }
                div.scroll tabindex="0" role="region" aria-label="Figures" {
                    table {
                        thead { tr {
                            th scope="col" { "Cable" }
                            th scope="col" { "20 Hz" } th scope="col" { "1 kHz" } th scope="col" { "20 kHz" }
                        } }
                        tbody {
                            @for run in runs {
                                tr {
                                    th scope="row" { (run.name) }
                                    @for frequency in [LOWEST, 1000.0, HIGHEST] {
                                        td { (between(run.loss(frequency))) " dB" }
                                    }
                                }
                            }
                        }
                    }
                }
                p { "Two lines of one kind bound what strands in contact can do: fully insulated strands above, a solid wire below." }
            }
        }
    }
}

fn stated(outcome: &Outcome, id: &str) -> Markup {
    let (value, words) = &outcome.stated;
    let most = value.max(outcome.computed).max(0.1);
    let width = |value: f64| px(value / most * 420.0);
    let computed = outcome.scale.label(outcome.computed);
    let bars = [
        (
            match outcome.scale {
                Scale::Level => format!("the sizes and lengths alone: {computed}"),
                Scale::Light => format!("the sizes and lengths alone: about {computed}"),
            },
            outcome.computed,
            "bar computed",
        ),
        (
            format!("stated: {}", outcome.scale.label(*value)),
            *value,
            "bar stated",
        ),
    ];
    html! {
        figure {
            figcaption #(id) {
                "Difference between " (outcome.one.name) " and " (outcome.other.name)
                ", stated as “" (shortened(&escape::line(words), 60)) "”"
            }
            svg viewBox={"0 0 " (WIDTH) " " (20 + 46 * bars.len())} role="img" aria-labelledby=(id) {
                @for (number, (label, value, class)) in bars.iter().enumerate() {
                    text.tick x="8" y=(16 + 46 * number) { (label) }
                    rect class=(class) x="8" y=(22 + 46 * number) width=(width(*value)) height="18" {}
                }
            }
            p {
                (outcome.one.name) " loses " (shown3(outcome.one.middle())) " dB and "
                (outcome.other.name) " " (shown3(outcome.other.middle()))
                " dB at the middle of the band, by resistance alone."
                @if outcome.scale == Scale::Light {
                    " The light of a tungsten lamp follows the voltage with the power "
                    (shown3(lamp::FLUX_EXPONENT)) " (" (shown3(lamp::FLUX_EXPONENTS.low)) " to "
                    (shown3(lamp::FLUX_EXPONENTS.high)) "); a loudspeaker does not."
                }
            }
        }
    }
}

fn between((low, high): (f64, f64)) -> String {
    let (low, high) = (shown3(low), shown3(high));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

fn shown3(value: f64) -> String {
    shown(crate::report::number::rounded(value, 2))
}

fn px(value: f64) -> String {
    format!("{value:.1}")
}

/// A round distance between lines so that there are three to eight of them.
fn step(most: f64) -> f64 {
    let decade = 10_f64.powf((most / 5.0).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * decade)
        .find(|step| most / step <= 7.0)
        .unwrap_or(most)
}
