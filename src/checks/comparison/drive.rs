//! Sides that were driven by different amplifiers, voltages or powers. One decibel of drive is more than a sensible cable makes.

use super::super::sides::outcome_span;
use super::super::{Context, Said, Work, format};
use super::gauge::upper;
use super::load::named_apart;
use crate::facts::Drive;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "unequal-drive";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    let tolerance = context.threshold("levels-unmatched", "tolerance_db");
    for comparison in &context.facts.comparisons {
        if comparison.null || comparison.critique {
            continue;
        }
        let drives: Vec<(usize, &Drive)> = comparison
            .sides
            .iter()
            .filter_map(|side| Some((side.cable, side.drive.as_deref()?)))
            .collect();
        let differing = drives.iter().enumerate().find_map(|(place, a)| {
            drives[place + 1..].iter().find_map(|b| {
                Some((
                    *a,
                    *b,
                    decibels(a.1, b.1).filter(|apart| *apart > tolerance)?,
                ))
            })
        });
        let Some(((cable_a, a), (cable_b, b), apart)) = differing else {
            said.extend(named_apart(
                context,
                comparison,
                RULE,
                |side| side.drive_words,
                "drive",
            ));
            continue;
        };
        let mut work = Work::default();
        for (number, drive) in [(1, a), (2, b)] {
            if let Some(power) = drive.power {
                work = work.quoted(
                    context,
                    format!("P_{number}"),
                    power.value.0,
                    "W",
                    power.span,
                );
            }
            if let Some(voltage) = drive.voltage {
                work = work.quoted(
                    context,
                    format!("V_{number}"),
                    voltage.value.0,
                    "V",
                    voltage.span,
                );
            }
        }
        let work = work.then(apart_work(context, apart));
        let finding = Said::finding(context, RULE)
            .message(format!(
                "{} was driven with “{}”, {} with “{}”: up to {} apart before any cable comes in.",
                upper(&context.cable_name(cable_a)),
                context.quote(a.span),
                context.cable_name(cable_b),
                context.quote(b.span),
                format::decibels(apart),
            ))
            .help(format!(
                "Repeat it with both sides driven with “{}” by one source.",
                context.quote(a.span)
            ))
            .working(work)
            .mark(a.span, format!("drive of {}", context.cable_name(cable_a)))
            .mark(b.span, format!("drive of {}", context.cable_name(cable_b)))
            .mark_some(outcome_span(comparison), "the outcome");
        said.push(finding);
    }
    said
}

/// The steps from two drives to how far they are apart, which is held against the tolerance of levels.
pub(super) fn apart_work(context: &Context<'_>, apart: f64) -> Work {
    Work::default()
        .computed(
            "ΔL",
            "10 · lg(P_1 / P_2) or 20 · lg(V_1 / V_2), size",
            apart,
            "dB",
        )
        .threshold(
            context,
            "tolerance",
            "levels-unmatched",
            "tolerance_db",
            "dB",
        )
}

/// How far two drives are apart, in dB, by voltages or by powers.
pub(in crate::checks) fn decibels(a: &Drive, b: &Drive) -> Option<f64> {
    let volts = a
        .voltage
        .zip(b.voltage)
        .map(|(a, b)| 20.0 * (a.value / b.value).log10());
    let watts = a
        .power
        .zip(b.power)
        .map(|(a, b)| 10.0 * (a.value / b.value).log10());
    volts.or(watts).map(f64::abs)
}
