//! Sides that drove different loads. Level and damping depend on the load as much as on the cable.

use super::super::sides::{NO_LOUDSPEAKER, outcome_span, say_load};
use super::super::{Context, Nearness, Said, Work, format};
use super::gauge::upper;
use crate::facts::{Comparison, Fact, Load, LoadKind, Side};
use crate::span::Span;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "unequal-load";
/// Loads that are the same within rounding.
const SAME: f64 = 0.02;

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for comparison in &context.facts.comparisons {
        if comparison.null || comparison.critique {
            continue;
        }
        let loads: Vec<(usize, Fact<Load>)> = comparison
            .sides
            .iter()
            .filter_map(|side| Some((side.cable, **side.load.as_ref()?)))
            .collect();
        let differing = loads.iter().enumerate().find_map(|(place, a)| {
            loads[place + 1..]
                .iter()
                .find(|b| differ(&a.1.value, &b.1.value))
                .map(|b| (*a, *b))
        });
        let Some(((cable_a, a), (cable_b, b))) = differing else {
            said.extend(named_apart(
                context,
                comparison,
                RULE,
                |side| side.load_words,
                "load",
            ));
            continue;
        };
        let mut work = Work::default();
        for (symbol, load) in [("Z_1", a), ("Z_2", b)] {
            if let Some(ohms) = load.value.impedance {
                work = work.quoted(context, symbol, ohms.0, "Ω", load.span);
            } else if let Some(power) = load.value.lamp_power {
                work = work.quoted(context, symbol, power.0, "W", load.span);
            }
        }
        let lamps = a.value.kind == LoadKind::Lamp && b.value.kind == LoadKind::Lamp;
        let mut finding = Said::finding(context, RULE)
            .message(format!(
                "{} fed the {}, {} the {}: the loads differ, so the outcome cannot be laid to the cables.{}",
                upper(&context.cable_name(cable_a)),
                say_load(context, &a),
                context.cable_name(cable_b),
                say_load(context, &b),
                if lamps { NO_LOUDSPEAKER } else { "" },
            ))
            .help(format!(
                "Repeat it with both sides into the {}.",
                say_load(context, &a)
            ))
            .working(work);
        for (cable, load) in &loads {
            let value = load
                .value
                .impedance
                .map_or_else(String::new, |ohms| format!(": {}", format::ohms(ohms.0)));
            finding = finding.mark(
                load.span,
                format!("load of {}{value}", context.cable_name(*cable)),
            );
        }
        said.push(finding.mark_some(outcome_span(comparison), "the outcome"));
    }
    said
}

fn differ(a: &Load, b: &Load) -> bool {
    let apart = |a: f64, b: f64| (a / b - 1.0).abs() > SAME;
    let powers = a
        .lamp_power
        .zip(b.lamp_power)
        .is_some_and(|(a, b)| apart(a.0, b.0));
    let ohms = a
        .impedance
        .zip(b.impedance)
        .is_some_and(|(a, b)| apart(a.0, b.0));
    powers || ohms || (a.kind != b.kind && (a.lamp_power.is_some() != b.lamp_power.is_some()))
}

/// Sides whose table line names different things in one row: "Tower" against "Mini", "our own" against "theirs".
pub(in crate::checks) fn named_apart(
    context: &Context<'_>,
    comparison: &Comparison,
    rule: &str,
    words: impl Fn(&Side) -> Option<Span>,
    what: &str,
) -> Option<Said> {
    let repeats = context.list("cell.repeats");
    let named: Vec<(usize, Span)> = comparison
        .sides
        .iter()
        .filter_map(|side| Some((side.cable, words(side)?)))
        .collect();
    let plain = |span: Span| {
        context
            .quote(span)
            .to_lowercase()
            .trim_end_matches(['*', '†', ' '])
            .to_owned()
    };
    let (first, rest) = named.split_first()?;
    let other = rest.iter().find(|(_, span)| {
        let text = plain(*span);
        // What stands in different lines of a table is of different kinds: the one a loudspeaker, the other a name.
        let beside = context.nearness(first.1, *span) <= Nearness::Line;
        beside && !text.is_empty() && text != plain(first.1) && !repeats.within(&text)
    })?;
    let message = format!(
        "{} had “{}”, {} “{}”: the {what} differs between the sides, so the outcome cannot be laid to the cables.",
        upper(&context.cable_name(first.0)),
        context.quote(first.1),
        context.cable_name(other.0),
        context.quote(other.1),
    );
    let said = Said::finding(context, rule)
        .message(message)
        .mark(
            first.1,
            format!("{what} of {}", context.cable_name(first.0)),
        )
        .mark(
            other.1,
            format!("{what} of {}", context.cable_name(other.0)),
        );
    Some(said.mark_some(outcome_span(comparison), "the outcome"))
}
