//! What helps when no gauge will do: shorter, closer, doubled. Knows physics, and nothing of how it is shown.

use super::{LEAST_INDUCTANCE, Question, floor_metres_and_feet};
use crate::cli::asked::digits;
use crate::physics::choose::{Demand, Gauge, PerMetre};
use crate::physics::{choose, size};
use crate::units::{HenryPerMetre, Hertz, Metre, Ohm};
use serde_json::{Value, json};

/// Something that would do where no gauge does.
pub(super) enum Remedy {
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
    pub(super) fn words(&self, budget: &str) -> String {
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

    pub(super) fn json(&self) -> Value {
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

/// A size or two thicker than the resistance alone asks for, so that something is left for the inductance.
fn thicker(gauge: i32) -> i32 {
    size::next_trade_gauge(f64::from(gauge) - 1.5).unwrap_or(size::THICKEST)
}

pub(super) fn remedies(question: &Question, demand: &Demand, fine: Option<Gauge>) -> Vec<Remedy> {
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
