//! `claimgauge size`: how thick a conductor a run needs, and what to do when no gauge will.
//!
//! Long: one answer, its options, its chart and their two ways of being written.

use super::asked::{self, BuildWord, Style, UsageError, digits, metres_and_feet, trimmed};
use crate::physics::choose::{self, Demand, Gauge, PerMetre};
use crate::physics::loss;
use crate::physics::{Build, FOOT, Metal, Pair, Pole, conductor, size};
use crate::units::{Celsius, Decibel, Henry, HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre};
use clap::Args;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Options of `size`.
#[derive(Debug, Args)]
pub struct Options {
    /// Length of the cable, one way: 60ft, 15m
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        required_unless_present = "chart"
    )]
    length: Option<String>,
    /// Load, as a resistance [default: 8ohm]
    #[arg(long, value_name = "OHMS", allow_hyphen_values = true)]
    load: Option<String>,
    /// The most that may be lost [default: 0.2dB]
    #[arg(long, value_name = "DECIBELS", allow_hyphen_values = true)]
    budget: Option<String>,
    /// Frequency at which the budget must hold [default: 20kHz]
    #[arg(long, value_name = "FREQUENCY", allow_hyphen_values = true)]
    frequency: Option<String>,
    /// Metal of the conductors [default: copper]
    #[arg(long, value_name = "METAL")]
    metal: Option<String>,
    /// Temperature of the conductors [default: 20C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Inductance of a metre of loop: 0.6uH/m [default: that of a flat pair spaced by twice its diameter]
    #[arg(long, value_name = "INDUCTANCE", allow_hyphen_values = true)]
    inductance: Option<String>,
    /// How the conductor is made [default: not known; the answer holds for a solid one]
    #[arg(long, value_enum, value_name = "BUILD")]
    build: Option<BuildWord>,
    /// Print the whole table: longest runs, and the gauge for each length
    #[arg(long)]
    chart: bool,
    /// How it is written
    #[arg(long, value_enum, value_name = "FORMAT", default_value = "text")]
    format: Style,
}

/// What is asked, in SI units, and what had to be assumed for it.
struct Question {
    length: Option<Metre>,
    load: Option<Ohm>,
    budget: Decibel,
    frequency: Hertz,
    metal: &'static Metal,
    temperature: Celsius,
    inductance: Option<HenryPerMetre>,
    build: Build,
    assumed: Vec<String>,
}

impl Question {
    fn of(options: &Options) -> Result<Self, UsageError> {
        let mut assumed = Vec::new();
        let length = options.length.as_deref().map(asked::length).transpose()?;
        let load = options.load.as_deref().map(asked::load).transpose()?;
        if load.is_none() && !options.chart {
            assumed.push("load 8 Ω, resistive".to_owned());
        }
        let budget = match &options.budget {
            Some(text) => asked::budget(text)?,
            None => {
                assumed.push("budget 0.2 dB (common practice, no source)".to_owned());
                Decibel(0.2)
            }
        };
        let frequency = match &options.frequency {
            Some(text) => asked::frequency(text)?,
            None => {
                assumed.push("frequency 20 kHz".to_owned());
                Hertz(20.0e3)
            }
        };
        let metal = match &options.metal {
            Some(text) => asked::metal(text)?,
            None => {
                assumed.push("metal copper of 100 % IACS".to_owned());
                asked::metal("copper")?
            }
        };
        let temperature = match &options.temperature {
            Some(text) => asked::temperature(text, None)?,
            None => {
                assumed.push("temperature 20 °C".to_owned());
                conductor::REFERENCE
            }
        };
        let inductance = match &options.inductance {
            Some(text) => Some(asked::inductance(text)?),
            None => {
                assumed.push(
                    "a flat pair spaced by twice the diameter of its conductors, 0.53 µH per metre of loop and the internal part \
                     (common practice, no source)"
                        .to_owned(),
                );
                None
            }
        };
        let build = asked::build(Build::Unknown, options.build);
        match build {
            Build::Unknown | Build::Strands { .. } => assumed.push(
                "skin effect of a solid wire, the most that any build of the gauge can show"
                    .to_owned(),
            ),
            Build::Solid => {}
            Build::InsulatedStrands { .. } => {
                assumed.push("strands so fine that they show no skin effect".to_owned());
            }
        }
        assumed.push("no lay: twisted strands have 1 to 4 % more resistance".to_owned());
        assumed.push(
            "source impedance 0 Ω, so that loss and damping factor are those of the cable alone"
                .to_owned(),
        );
        Ok(Self {
            length,
            load,
            budget,
            frequency,
            metal,
            temperature,
            inductance,
            build,
            assumed,
        })
    }

    /// The line of a gauge, at the end of its range that holds for any build: the most resistance.
    fn line(&self, awg: f64) -> PerMetre {
        self.line_of(awg, self.build, self.frequency)
    }

    /// The line of a gauge whose strands show no skin effect.
    fn fine_line(&self, awg: f64) -> PerMetre {
        let build = Build::InsulatedStrands { strand: None };
        self.line_of(awg, build, self.frequency)
    }

    fn line_of(&self, awg: f64, build: Build, frequency: Hertz) -> PerMetre {
        let pole = Pole {
            build,
            ..Pole::of(size::awg_area(awg))
        };
        let resistivity = self.metal.resistivity_at(self.temperature);
        // The usual spacing never lets conductors overlap.
        let end =
            Pair::side_by_side(pole, resistivity, None, 1.0).map(|pair| pair.ends(frequency)[1]);
        PerMetre {
            resistance: end.map_or(OhmPerMetre(f64::INFINITY), |end| end.resistance),
            inductance: self
                .inductance
                .or(end.map(|end| end.inductance))
                .unwrap_or(HenryPerMetre(0.0)),
        }
    }
}

/// The same line with its inductance left out.
fn bare(line: PerMetre) -> PerMetre {
    PerMetre {
        inductance: HenryPerMetre(0.0),
        ..line
    }
}

/// No pair that is sold has much less inductance, H per metre of loop. Common practice, no source.
const LEAST_INDUCTANCE: f64 = 0.05e-6;

/// Something that would do where no gauge does.
enum Remedy {
    Shorter {
        gauge: i32,
        length: Metre,
    },
    Closer {
        gauge: i32,
        inductance: HenryPerMetre,
    },
    Pairs {
        count: u32,
        gauge: i32,
    },
    Lower {
        gauge: i32,
        frequency: Hertz,
    },
}

impl Remedy {
    fn words(&self, budget: &str) -> String {
        match self {
            Self::Shorter { gauge, length } => format!(
                "shorter: up to {} with {} AWG",
                floor_metres_and_feet(*length),
                size::gauge_name(*gauge)
            ),
            Self::Closer { gauge, inductance } => format!(
                "closer together: at most {} µH per metre of loop, {} AWG in all, of conductors insulated from one another (interleaved or flat)",
                digits(inductance.0 * 1.0e6, 2),
                size::gauge_name(*gauge)
            ),
            Self::Pairs { count, gauge } => format!(
                "more pairs: {count} pairs of {} AWG in parallel, lying apart",
                size::gauge_name(*gauge)
            ),
            Self::Lower { gauge, frequency } => format!(
                "another frequency for the budget: with {} AWG it stays within {budget} up to {} kHz",
                size::gauge_name(*gauge),
                digits(frequency.0 / 1.0e3, 2)
            ),
        }
    }

    fn json(&self) -> Value {
        match self {
            Self::Shorter { gauge, length } => {
                json!({"kind": "shorter", "gauge": size::gauge_name(*gauge), "length_m": length.0})
            }
            Self::Closer { gauge, inductance } => {
                json!({"kind": "closer", "gauge": size::gauge_name(*gauge), "inductance_h_per_m": inductance.0})
            }
            Self::Pairs { count, gauge } => {
                json!({"kind": "pairs", "gauge": size::gauge_name(*gauge), "pairs": count})
            }
            Self::Lower { gauge, frequency } => {
                json!({"kind": "lower-frequency", "gauge": size::gauge_name(*gauge), "frequency_hz": frequency.0})
            }
        }
    }
}

/// The answer for one run.
struct Answer {
    demand: Demand,
    by_resistance: Option<Gauge>,
    whole: Option<Gauge>,
    /// Both with strands that show no skin effect.
    fine: Option<Gauge>,
    fine_by_resistance: Option<Gauge>,
    inductance: HenryPerMetre,
    remedies: Vec<Remedy>,
}

fn answer(question: &Question, length: Metre, load: Ohm) -> Answer {
    let demand = Demand {
        length,
        load,
        budget: question.budget,
        frequency: question.frequency,
    };
    let thinnest = |line: &dyn Fn(f64) -> PerMetre| choose::thinnest(&demand, line);
    let trade = |gauge: Option<Gauge>| gauge.filter(|gauge| gauge.trade.is_some());
    let by_resistance = trade(thinnest(&|awg| bare(question.line(awg))));
    let whole = trade(thinnest(&|awg| question.line(awg)));
    let fine_by_resistance = trade(thinnest(&|awg| bare(question.fine_line(awg))));
    let fine = trade(thinnest(&|awg| question.fine_line(awg)));
    let gauge = by_resistance.and_then(|gauge| gauge.trade);
    let line = question.line(f64::from(gauge.unwrap_or(size::THICKEST)));
    // When the inductance drives the size up by far, there are better ways than copper.
    let dear = match (whole.and_then(|gauge| gauge.trade), gauge) {
        (Some(whole), Some(alone)) => alone - whole >= 4,
        _ => true,
    };
    let remedies = if dear {
        self::remedies(question, &demand, fine_by_resistance)
    } else {
        Vec::new()
    };
    Answer {
        demand,
        by_resistance,
        whole,
        fine,
        fine_by_resistance,
        inductance: line.inductance,
        remedies,
    }
}

/// A size or two thicker than the resistance alone asks for, so that something is left for the inductance.
fn thicker(gauge: i32) -> i32 {
    size::next_trade_gauge(f64::from(gauge) - 1.5).unwrap_or(size::THICKEST)
}

fn remedies(question: &Question, demand: &Demand, fine: Option<Gauge>) -> Vec<Remedy> {
    let mut found = Vec::new();
    let gauge = thicker(fine.and_then(|gauge| gauge.trade).unwrap_or(size::THICKEST));
    let awg = f64::from(gauge);
    let longest = |frequency: Hertz| {
        let line = question.line_of(awg, question.build, frequency);
        choose::largest_length(line, demand.load, demand.budget, frequency)
    };
    let length = longest(demand.frequency);
    if length < demand.length {
        found.push(Remedy::Shorter { gauge, length });
    }
    let total = Ohm(question.fine_line(awg).resistance.0 * demand.length.0);
    if let Some(inductance) = choose::inductance_left(demand, total)
        && inductance.0 >= LEAST_INDUCTANCE
        && inductance < question.line(awg).inductance
    {
        found.push(Remedy::Closer { gauge, inductance });
    }
    let shared = |awg: f64, count: u32| {
        let one = question.line(awg);
        PerMetre {
            resistance: one.resistance / f64::from(count),
            inductance: one.inductance / f64::from(count),
        }
    };
    let pairs: Vec<(u32, i32)> = (2..=6)
        .filter_map(|count| {
            let gauge = choose::thinnest(demand, |awg| shared(awg, count))?;
            Some((count, gauge.trade?))
        })
        .collect();
    // The fewest pairs of a size that is easily had, or else the fewest at all.
    let easy = pairs.iter().find(|(_, gauge)| *gauge >= 12);
    if let Some((count, gauge)) = easy.or(pairs.first()).copied() {
        found.push(Remedy::Pairs { count, gauge });
    }
    if longest(Hertz(20.0)) > demand.length && length < demand.length {
        let (mut low, mut high) = (20.0, demand.frequency.0);
        for _ in 0..50 {
            let middle = f64::midpoint(low, high);
            if longest(Hertz(middle)) > demand.length {
                low = middle;
            } else {
                high = middle;
            }
        }
        let frequency = Hertz(low);
        found.push(Remedy::Lower { gauge, frequency });
    }
    found
}

/// Rounded down, so that the length that is named does hold.
fn floor_metres_and_feet(length: Metre) -> String {
    format!(
        "{} m ({} ft)",
        trimmed((length.0 * 10.0).floor() / 10.0, 1),
        trimmed((length.0 / FOOT).floor(), 0)
    )
}

fn kilohertz(frequency: Hertz) -> String {
    if frequency.0 >= 1.0e3 {
        format!("{} kHz", trimmed(frequency.0 / 1.0e3, 3))
    } else {
        format!("{} Hz", trimmed(frequency.0, 3))
    }
}

/// Parts of the loss with one gauge.
struct Parts {
    total: Decibel,
    resistive: Decibel,
    inductive: Decibel,
    damping: f64,
    resistance: Ohm,
}

fn parts(question: &Question, demand: &Demand, gauge: i32) -> Parts {
    let line = question.line(f64::from(gauge));
    let run = loss::Run::of_line(
        line.resistance,
        line.inductance,
        crate::units::FaradPerMetre(0.0),
        demand.length,
    );
    let area = size::awg_area(f64::from(gauge));
    let dc = conductor::loop_resistance(
        conductor::resistance_per_metre(
            question.metal.resistivity_at(question.temperature),
            area,
            1.0,
        ),
        demand.length,
    );
    Parts {
        total: loss::from_source(run, Ohm(0.0), demand.load, demand.frequency),
        resistive: loss::resistive(run.resistance, demand.load),
        inductive: loss::inductive(run.inductance, demand.load, demand.frequency),
        damping: loss::damping_factor(dc, Ohm(0.0), demand.load),
        resistance: dc,
    }
}

fn gauge_words(gauge: i32) -> String {
    format!(
        "{} AWG ({} mm²)",
        size::gauge_name(gauge),
        digits(size::awg_area(f64::from(gauge)).0 * 1.0e6, 3)
    )
}

/// A gauge with its fraction; above 1 AWG, where fractions between 1/0 and 4/0 have no name, its area.
fn exact_words(gauge: Gauge) -> String {
    if gauge.exact >= 1.0 {
        format!("{} AWG", trimmed(gauge.exact, 2))
    } else {
        let area = size::awg_area(gauge.exact);
        format!("{} mm²", digits(area.0 * 1.0e6, 3))
    }
}

/// The size of the trade, if there is one.
fn trade(gauge: Option<Gauge>) -> Option<i32> {
    gauge.and_then(|gauge| gauge.trade)
}

fn as_text(question: &Question, answer: &Answer) -> String {
    let demand = &answer.demand;
    let mut out = String::new();
    let budget = format!("{} dB", trimmed(demand.budget.0, 3));
    let at = kilohertz(demand.frequency);
    let run = metres_and_feet(demand.length);
    let load = trimmed(demand.load.0, 3);
    match trade(answer.whole) {
        Some(gauge) => {
            let _ = writeln!(
                out,
                "{} keeps {run} into {load} Ω within {budget} at {at}.",
                gauge_words(gauge)
            );
        }
        None => {
            let alone = loss::inductive(
                Henry(answer.inductance.0 * demand.length.0),
                demand.load,
                demand.frequency,
            );
            let why = if alone > demand.budget {
                format!(
                    "the inductance alone loses {} dB, whatever the gauge",
                    digits(alone.0, 2)
                )
            } else {
                format!(
                    "the inductance alone takes {} dB of it, and no size up to 4/0 has so little resistance",
                    digits(alone.0, 2)
                )
            };
            let _ = writeln!(
                out,
                "No gauge keeps {run} into {load} Ω within {budget} at {at}: {why}."
            );
            if let Some(gauge) = trade(answer.by_resistance) {
                let _ = writeln!(
                    out,
                    "For the resistance alone {} would be enough{}.",
                    gauge_words(gauge),
                    trade(answer.fine_by_resistance)
                        .filter(|fine| *fine != gauge)
                        .map(|fine| format!(
                            ", {} if its strands show no skin effect",
                            gauge_words(fine)
                        ))
                        .unwrap_or_default()
                );
            }
        }
    }
    if let Some(fine) = trade(answer.fine)
        && trade(answer.whole) != Some(fine)
    {
        let _ = writeln!(
            out,
            "With strands insulated from one another, which show no skin effect, {} would do; bare strands lie between.",
            gauge_words(fine)
        );
    }
    let _ = writeln!(out, "\nWorking");
    let allowed = loss::resistance_for(demand.budget, demand.load);
    let _ = writeln!(
        out,
        "  R  loop resistance that loses {budget} by itself: {load} Ω · (10^({}/20) − 1) = {} Ω, {} Ω per km of cable",
        trimmed(demand.budget.0, 3),
        digits(allowed.0, 4),
        digits(1.0e3 * allowed.0 / demand.length.0, 4),
    );
    if let Some(gauge) = answer.by_resistance {
        let _ = writeln!(
            out,
            "     thinnest that has it at {at}, skin effect included: {}{}",
            exact_words(gauge),
            gauge
                .trade
                .map(|trade| format!(", next size of the trade {}", size::gauge_name(trade)))
                .unwrap_or_default()
        );
    } else {
        let _ = writeln!(
            out,
            "     not even 4/0 has so little at {at}, skin effect included"
        );
    }
    let _ = writeln!(
        out,
        "  L  {} µH per metre of loop, {} µH in all: ωL = {} Ω, by itself {} dB",
        digits(answer.inductance.0 * 1.0e6, 3),
        digits(answer.inductance.0 * demand.length.0 * 1.0e6, 3),
        digits(
            2.0 * std::f64::consts::PI * demand.frequency.0 * answer.inductance.0 * demand.length.0,
            3
        ),
        digits(
            loss::inductive(
                Henry(answer.inductance.0 * demand.length.0),
                demand.load,
                demand.frequency
            )
            .0,
            3
        ),
    );
    if let Some(gauge) = answer.whole {
        let _ = writeln!(
            out,
            "  both, 20 · log₁₀|1 + (R + jωL)/{load} Ω|: thinnest {}",
            exact_words(gauge)
        );
    }
    let shown = answer
        .whole
        .and_then(|gauge| gauge.trade)
        .or_else(|| answer.by_resistance.and_then(|gauge| gauge.trade));
    if let Some(gauge) = shown {
        let parts = parts(question, demand, gauge);
        let _ = writeln!(
            out,
            "  with {} AWG: {} dB in all, {} dB by resistance and {} dB by inductance alone; loop {} Ω at 0 Hz, damping factor {}",
            size::gauge_name(gauge),
            digits(parts.total.0, 3),
            digits(parts.resistive.0, 3),
            digits(parts.inductive.0, 3),
            digits(parts.resistance.0, 3),
            digits(parts.damping, 3),
        );
    }
    if !answer.remedies.is_empty() {
        let _ = writeln!(
            out,
            "\n{}",
            if answer.whole.is_some() {
                "What would do as well"
            } else {
                "What would do"
            }
        );
        for remedy in &answer.remedies {
            let _ = writeln!(out, "  - {}", remedy.words(&budget));
        }
    }
    assumed(&mut out, question);
    out
}

fn assumed(out: &mut String, question: &Question) {
    let _ = writeln!(out, "\nAssumed");
    for line in &question.assumed {
        let _ = writeln!(out, "  - {line}");
    }
}

fn gauge_json(gauge: Option<Gauge>) -> Value {
    gauge.map_or(
        Value::Null,
        |gauge| json!({"awg_exact": gauge.exact, "gauge": gauge.trade.map(size::gauge_name)}),
    )
}

fn as_json(question: &Question, answer: &Answer) -> Value {
    let demand = &answer.demand;
    let trade = answer.whole.and_then(|gauge| gauge.trade);
    let shown = trade.or_else(|| answer.by_resistance.and_then(|gauge| gauge.trade));
    json!({
        "length_m": demand.length.0,
        "load_ohm": demand.load.0,
        "budget_db": demand.budget.0,
        "frequency_hz": demand.frequency.0,
        "fits": trade.is_some(),
        "gauge": trade.map(size::gauge_name),
        "area_m2": trade.map(|gauge| size::awg_area(f64::from(gauge)).0),
        "whole": gauge_json(answer.whole),
        "by_resistance": gauge_json(answer.by_resistance),
        "insulated_strands": gauge_json(answer.fine),
        "insulated_strands_by_resistance": gauge_json(answer.fine_by_resistance),
        "r_loop_max_ohm": loss::resistance_for(demand.budget, demand.load).0,
        "inductance_h_per_m": answer.inductance.0,
        "inductive_loss_db": loss::inductive(Henry(answer.inductance.0 * demand.length.0), demand.load, demand.frequency).0,
        "with_gauge": shown.map(|gauge| {
            let parts = parts(question, demand, gauge);
            json!({
                "gauge": size::gauge_name(gauge),
                "loss_db": parts.total.0,
                "resistive_loss_db": parts.resistive.0,
                "inductive_loss_db": parts.inductive.0,
                "r_loop_dc_ohm": parts.resistance.0,
                "damping_factor": parts.damping,
            })
        }),
        "remedies": answer.remedies.iter().map(Remedy::json).collect::<Vec<_>>(),
        "assumed": question.assumed,
    })
}

/// Gauges, loads and lengths of the chart.
const GAUGES: [i32; 9] = [6, 8, 10, 12, 14, 16, 18, 20, 22];
const LOADS: [f64; 3] = [4.0, 6.0, 8.0];
const FEET: [f64; 8] = [6.0, 10.0, 15.0, 25.0, 35.0, 50.0, 75.0, 100.0];

fn loads(question: &Question) -> Vec<Ohm> {
    question.load.map_or_else(
        || LOADS.iter().copied().map(Ohm).collect(),
        |load| vec![load],
    )
}

fn lengths(question: &Question) -> Vec<Metre> {
    question.length.map_or_else(
        || FEET.iter().map(|feet| Metre(feet * FOOT)).collect(),
        |length| vec![length],
    )
}

fn chart_text(question: &Question) -> String {
    let loads = loads(question);
    let budget = trimmed(question.budget.0, 3);
    let at = kilohertz(question.frequency);
    let mut out = String::new();
    let cell = |length: Metre| {
        format!(
            "{} ft / {} m",
            trimmed((length.0 / FOOT).floor(), 0),
            trimmed((length.0 * 10.0).floor() / 10.0, 1)
        )
    };
    let head = |first: &str| {
        let mut line = format!("  {first:<18}");
        for load in &loads {
            let _ = write!(line, "{:>20}", format!("{} Ω", trimmed(load.0, 3)));
        }
        line
    };
    for (title, with_inductance) in [
        (
            format!("Longest run, one way, that loses no more than {budget} dB at {at}"),
            true,
        ),
        (
            format!("The same for the resistance alone ({at}, skin effect included)"),
            false,
        ),
    ] {
        let _ = writeln!(out, "{title}\n\n{}", head("AWG (mm²)"));
        for gauge in GAUGES {
            let line = if with_inductance {
                question.line(f64::from(gauge))
            } else {
                bare(question.line(f64::from(gauge)))
            };
            let name = format!(
                "{} ({})",
                size::gauge_name(gauge),
                digits(size::awg_area(f64::from(gauge)).0 * 1.0e6, 3)
            );
            let _ = write!(out, "  {name:<18}");
            for load in &loads {
                let longest =
                    choose::largest_length(line, *load, question.budget, question.frequency);
                let _ = write!(out, "{:>20}", cell(longest));
            }
            out.push('\n');
        }
        out.push('\n');
    }
    let _ = writeln!(
        out,
        "Thinnest size of the trade for a length; in brackets for the resistance alone\n\n{}",
        head("length")
    );
    for length in lengths(question) {
        let _ = write!(out, "  {:<18}", cell(length));
        for load in &loads {
            let answer = answer(question, length, *load);
            let name = |gauge: Option<Gauge>| {
                gauge
                    .and_then(|gauge| gauge.trade)
                    .map_or_else(|| "none".to_owned(), size::gauge_name)
            };
            let _ = write!(
                out,
                "{:>20}",
                format!("{} ({})", name(answer.whole), name(answer.by_resistance))
            );
        }
        out.push('\n');
    }
    let _ = writeln!(
        out,
        "\n“none”: the inductance spends the budget, whatever the gauge; see claimgauge size with that length."
    );
    assumed(&mut out, question);
    out
}

fn chart_json(question: &Question) -> Value {
    let loads = loads(question);
    let runs: Vec<Value> = GAUGES
        .iter()
        .flat_map(|gauge| loads.iter().map(move |load| (*gauge, *load)))
        .map(|(gauge, load)| {
            let longest =
                |line| choose::largest_length(line, load, question.budget, question.frequency).0;
            json!({
                "gauge": size::gauge_name(gauge),
                "load_ohm": load.0,
                "length_m": longest(question.line(f64::from(gauge))),
                "length_by_resistance_m": longest(bare(question.line(f64::from(gauge)))),
            })
        })
        .collect();
    let gauges: Vec<Value> = lengths(question)
        .into_iter()
        .flat_map(|length| loads.iter().map(move |load| (length, *load)))
        .map(|(length, load)| {
            let answer = answer(question, length, load);
            json!({
                "length_m": length.0,
                "load_ohm": load.0,
                "gauge": answer.whole.and_then(|gauge| gauge.trade).map(size::gauge_name),
                "gauge_by_resistance": answer.by_resistance.and_then(|gauge| gauge.trade).map(size::gauge_name),
            })
        })
        .collect();
    json!({
        "budget_db": question.budget.0,
        "frequency_hz": question.frequency.0,
        "longest_runs": runs,
        "gauges": gauges,
        "assumed": question.assumed,
    })
}

/// What the command prints.
///
/// # Errors
/// What is wrong with an option, in one line.
pub fn run(options: &Options) -> Result<String, UsageError> {
    let question = Question::of(options)?;
    if options.chart {
        return Ok(match options.format {
            Style::Text => chart_text(&question),
            Style::Json => asked::json_text(&chart_json(&question)),
        });
    }
    let length = question
        .length
        .ok_or_else(|| UsageError("--length is missing".to_owned()))?;
    let answer = answer(&question, length, question.load.unwrap_or(Ohm(8.0)));
    Ok(match options.format {
        Style::Text => as_text(&question, &answer),
        Style::Json => asked::json_text(&as_json(&question, &answer)),
    })
}
