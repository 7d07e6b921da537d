//! The answer as text and as JSON.

use super::{Answer, Question, Remedy};
use crate::cli::asked::{digits, metres_and_feet, trimmed};
use crate::physics::choose::{Demand, Gauge};
use crate::physics::{FOOT, conductor, loss, size};
use crate::units::{Decibel, Henry, Hertz, Metre, Ohm};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Rounded down, so that the length that is named does hold.
pub(super) fn floor_metres_and_feet(length: Metre) -> String {
    format!(
        "{} m ({} ft)",
        trimmed((length.0 * 10.0).floor() / 10.0, 1),
        trimmed((length.0 / FOOT).floor(), 0)
    )
}

pub(super) fn kilohertz(frequency: Hertz) -> String {
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
pub(super) fn trade(gauge: Option<Gauge>) -> Option<i32> {
    gauge.and_then(|gauge| gauge.trade)
}

pub(super) fn as_text(question: &Question, answer: &Answer) -> String {
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

pub(super) fn assumed(out: &mut String, question: &Question) {
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

pub(super) fn as_json(question: &Question, answer: &Answer) -> Value {
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
