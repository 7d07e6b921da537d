//! Sides of different size while the outcome is credited to something else.
//!
//! Resistance follows area, so a thicker side is louder before anything else can be. Areas by ASTM B258; metric sizes are
//! nominal (IEC 60228), so that the usual near-equivalents are a note at most.

use super::super::sides::{Explained, NO_LOUDSPEAKER, Party, loop_work, outcome_span, parties};
use super::super::{Context, Said, Work, format};
use crate::facts::{LoadKind, Notation, Subject};
use crate::finding::Level;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "unequal-gauge";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for comparison in &context.facts.comparisons {
        if comparison.null || comparison.critique || comparison.subjects.contains(&Subject::Size) {
            continue;
        }
        let parties = parties(context, comparison);
        let known: Vec<&Party<'_>> = parties
            .iter()
            .filter(|party| party.area.is_some())
            .collect();
        let areas = |party: &Party<'_>| party.area.map_or(f64::NAN, |(area, _)| area.0);
        let Some(thickest) = known
            .iter()
            .copied()
            .max_by(|a, b| areas(a).total_cmp(&areas(b)))
        else {
            continue;
        };
        let Some(thinnest) = known
            .iter()
            .copied()
            .min_by(|a, b| areas(a).total_cmp(&areas(b)))
        else {
            continue;
        };
        let ratio = areas(thickest) / areas(thinnest);
        let limit = context.threshold(RULE, "area_ratio");
        let mut work = Work::default();
        for party in &known {
            work = loop_work(context, party, work);
        }
        let work = work
            .computed("A_max / A_min", "largest over smallest area", ratio, "1")
            .threshold(context, "limit", RULE, "area_ratio", "1");
        if ratio <= limit {
            if known.len() >= 2 {
                let mut equal = Said::confirmed(context, RULE)
                    .message(format!("The sides have the same conductor area within half a gauge step (ratio {}).", format::three(ratio)))
                    .working(work);
                for party in &known {
                    equal = mark_size(context, equal, party);
                }
                said.push(equal);
            }
            continue;
        }
        let lamp = parties.iter().any(|party| {
            party
                .load
                .is_some_and(|load| load.value.kind == LoadKind::Lamp)
        });
        let explained = Explained::of(context, thickest, thinnest);
        // What the sizes make, and nobody lays to anything else, was laid to the sizes.
        let stated = comparison.outcome.iter();
        let mut stated = stated.flat_map(|outcome| &outcome.difference).peekable();
        let told = !comparison.credited && stated.peek().is_some() && known.len() == 2;
        if told && explained.is_some_and(|made| stated.all(|one| made.accounts_for(one))) {
            continue;
        }
        let mut message = format!(
            "{} is {}, {} is {}: {} times the conductor area.",
            upper(&context.cable_name(thickest.cable_index)),
            thickest.say_size(context).unwrap_or_default(),
            context.cable_name(thinnest.cable_index),
            thinnest.say_size(context).unwrap_or_default(),
            format::three(ratio),
        );
        let mut working = work;
        if let (Some(explained), Some(load)) = (explained, thickest.load.or(thinnest.load)) {
            message.push(' ');
            message.push_str(&explained.say(lamp));
            let stated = comparison
                .outcome
                .iter()
                .flat_map(|outcome| &outcome.difference);
            if let Some(difference) = stated.into_iter().next() {
                message.push_str(&explained.share(difference));
            }
            working = explained.work(context, &load, working, lamp);
        }
        message.push_str(" Size comes before any other explanation of the outcome.");
        if lamp {
            message.push_str(NO_LOUDSPEAKER);
        }
        let near = known.len() == 2 && near_equivalent(thickest, thinnest);
        let mut finding = Said::finding(context, RULE)
            .message(message)
            .help(repeat(context, thickest, thinnest))
            .working(working);
        if near {
            finding = finding.level(Level::Note);
        }
        for party in [thickest, thinnest]
            .into_iter()
            .chain(known.iter().copied())
        {
            finding = mark_size(context, finding, party);
        }
        finding = finding.mark_some(outcome_span(comparison), "the outcome");
        said.push(finding);
    }
    said
}

/// What a fair test of these sides would be of.
fn repeat(context: &Context<'_>, thickest: &Party<'_>, thinnest: &Party<'_>) -> String {
    let size = thickest.area.map_or_else(String::new, |(_, size)| {
        let many = thickest.cable.parallel.map_or(1, |fact| fact.value);
        let quote = context.quote(size.span);
        if many > 1 {
            format!("{many} × “{quote}”")
        } else {
            format!("“{quote}”")
        }
    });
    let length = thickest.length.or(thinnest.length);
    let length = length.map_or_else(
        || "of one length".to_owned(),
        |length| format!("“{}” long", context.quote(length.span)),
    );
    format!("Repeat it with both sides of {size} and {length}, or credit the outcome to the size.")
}

fn mark_size(context: &Context<'_>, said: Said, party: &Party<'_>) -> Said {
    match party.area {
        Some((area, size)) => said.mark(
            size.span,
            format!(
                "{}: {}",
                context.cable_name(party.cable_index),
                format::area(area.0)
            ),
        ),
        None => said,
    }
}

/// A nominal mm² size beside the AWG size that the trade sells as its like: 14 / 2.5, 16 / 1.5, 12 / 4.
fn near_equivalent(a: &Party<'_>, b: &Party<'_>) -> bool {
    const LIKE: &[(i32, f64)] = &[
        (18, 0.75),
        (18, 1.0),
        (16, 1.5),
        (14, 2.5),
        (12, 4.0),
        (10, 6.0),
    ];
    let pair = |gauge: &Party<'_>, metric: &Party<'_>| {
        let (Some((_, gauge)), Some((area, metric))) = (gauge.area, metric.area) else {
            return false;
        };
        let Some(number) = gauge.awg else {
            return false;
        };
        metric.notation == Notation::SquareMillimetre
            && LIKE
                .iter()
                .any(|(awg, nominal)| *awg == number && (area.0 * 1e6 / nominal - 1.0).abs() < 0.01)
    };
    pair(a, b) || pair(b, a)
}

/// With a capital letter.
pub(in crate::checks) fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
