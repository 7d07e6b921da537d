//! The chart of runs by gauge and load, as text and as JSON.

use super::{Question, answer, assumed, bare, kilohertz};
use crate::cli::asked::{digits, trimmed};
use crate::physics::choose::Gauge;
use crate::physics::{FOOT, choose, size};
use crate::units::{Metre, Ohm};
use serde_json::{Value, json};
use std::fmt::Write as _;

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

pub(super) fn chart_text(question: &Question) -> String {
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

pub(super) fn chart_json(question: &Question) -> Value {
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
