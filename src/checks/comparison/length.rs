//! Sides of different length. Resistance, inductance and capacitance all grow with it.

use super::super::sides::{
    Explained, NO_LOUDSPEAKER, Party, loop_work, outcome_span, parties, say_length,
};
use super::super::{Context, Said, Work, format};
use super::gauge::upper;
use crate::facts::{LoadKind, Subject};

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "unequal-length";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for comparison in &context.facts.comparisons {
        if comparison.null || comparison.critique || comparison.subjects.contains(&Subject::Length)
        {
            continue;
        }
        let parties = parties(context, comparison);
        let known: Vec<&Party<'_>> = parties
            .iter()
            .filter(|party| party.length.is_some())
            .collect();
        let metres = |party: &Party<'_>| party.length.map_or(f64::NAN, |length| length.value.0);
        let Some(longest) = known
            .iter()
            .copied()
            .max_by(|a, b| metres(a).total_cmp(&metres(b)))
        else {
            continue;
        };
        let Some(shortest) = known
            .iter()
            .copied()
            .min_by(|a, b| metres(a).total_cmp(&metres(b)))
        else {
            continue;
        };
        // "The Reed comes in 3 m, the Willow in 5 m" tells what they are sold in, and not what was listened to.
        let sold = |party: &&Party<'_>| comparison.sides[party.index].sold;
        if known.len() < 2 || known.iter().copied().all(|party| sold(&party)) {
            continue;
        }
        let ratio = metres(longest) / metres(shortest);
        let mut work = Work::default();
        for party in &known {
            work = loop_work(context, party, work);
        }
        let work = work
            .computed("l_max / l_min", "longest over shortest", ratio, "1")
            .threshold(context, "tolerance", RULE, "tolerance", "1");
        let different = ratio - 1.0 > context.threshold(RULE, "tolerance");
        let mut finding = if different {
            Said::finding(context, RULE)
        } else {
            Said::confirmed(context, RULE)
        };
        let (Some(long), Some(short)) = (longest.length, shortest.length) else {
            continue;
        };
        let mut message = if different {
            format!(
                "{} is {} long, {} {}: {} longer.",
                upper(&context.cable_name(longest.cable_index)),
                say_length(context, &long),
                context.cable_name(shortest.cable_index),
                say_length(context, &short),
                format::percent(ratio - 1.0),
            )
        } else {
            format!(
                "The sides are of one length ({}).",
                format::length(short.value.0)
            )
        };
        let lamp = parties.iter().any(|party| {
            party
                .load
                .is_some_and(|load| load.value.kind == LoadKind::Lamp)
        });
        let mut working = work;
        if let (true, Some(explained), Some(load)) = (
            different,
            Explained::of(context, longest, shortest),
            longest.load.or(shortest.load),
        ) {
            message.push(' ');
            message.push_str(&explained.say(lamp));
            if lamp {
                message.push_str(NO_LOUDSPEAKER);
            }
            working = explained.work(context, &load, working, lamp);
        }
        finding = finding.message(message).working(working);
        for party in [longest, shortest].into_iter().chain(known.iter().copied()) {
            if let Some(length) = party.length {
                finding = finding.mark(
                    length.span,
                    format!(
                        "{}: {}",
                        context.cable_name(party.cable_index),
                        format::length(length.value.0)
                    ),
                );
            }
        }
        if different {
            finding = finding
                .help(format!(
                    "Repeat it with both sides “{}” long.",
                    context.quote(short.span)
                ))
                .mark_some(outcome_span(comparison), "the outcome");
        }
        said.push(finding);
    }
    said
}
