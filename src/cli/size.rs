//! `claimgauge size`: how thick a conductor a run needs, and what to do when no gauge will.
//!
//! The question and its answer stand here; how they are shown is not decided here.

mod chart;
mod remedy;
mod written;

use chart::{chart_json, chart_text};
use remedy::{Remedy, remedies};
use written::{as_json, as_text, assumed, floor_metres_and_feet, kilohertz};

use super::asked::{self, BuildWord, Style, USUAL, UsageError};
use crate::physics::choose::{self, Demand, Gauge, PerMetre};
use crate::physics::{Build, Metal, Pair, Pole, conductor, size};
use crate::units::{Celsius, Decibel, HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre};
use clap::Args;

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
            assumed.push(USUAL.load_words());
        }
        let budget = match &options.budget {
            Some(text) => asked::budget(text)?,
            None => {
                assumed.push(USUAL.budget_words());
                USUAL.budget
            }
        };
        let frequency = match &options.frequency {
            Some(text) => asked::frequency(text)?,
            None => {
                assumed.push(USUAL.frequency_words());
                USUAL.frequency
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
    let answer = answer(&question, length, question.load.unwrap_or(USUAL.load));
    Ok(match options.format {
        Style::Text => as_text(&question, &answer),
        Style::Json => asked::json_text(&as_json(&question, &answer)),
    })
}
