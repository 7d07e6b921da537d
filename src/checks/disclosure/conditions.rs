//! A loss, a comparison or a listening result without its conditions: length, load and frequency decide a loss, and whether levels
//! were matched and who knew decide what is heard.

use super::super::Context;
use super::super::bench::Bench;
use super::super::line::loss;
use super::super::said::{Said, Stage};
use crate::facts::{Comparison, DifferenceOf, FigureKind, Outcome};
use crate::span::Span;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "conditions-unstated";

/// What is not stated for a loss.
struct Lacking {
    cable: usize,
    missing: Vec<&'static str>,
}

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    // A loss that is told of several cables at once lacks what the best known of them lacks, and is told once.
    let mut losses: BTreeMap<Span, Lacking> = BTreeMap::new();
    for bench in Bench::all(context) {
        for figure in bench.figures(FigureKind::Loss) {
            let mut missing = loss::missing(&bench, figure);
            if bench.sources_for_use().is_empty() {
                missing.push("the conductor size");
            }
            let lacking = Lacking {
                cable: bench.index,
                missing,
            };
            match losses.entry(figure.span) {
                Entry::Vacant(place) => {
                    place.insert(lacking);
                }
                Entry::Occupied(mut known) => {
                    if known.get().missing.len() > lacking.missing.len() {
                        known.insert(lacking);
                    }
                }
            }
        }
    }
    let mut said: Vec<Said> = losses
        .iter()
        .filter(|(_, loss)| !loss.missing.is_empty())
        .map(|(&figure, loss)| {
            Said::finding(context, ID)
                .of(loss.cable, Stage::Apart)
                .message(format!(
                    "The loss “{}” cannot be recomputed: {} not stated.",
                    context.quote(figure),
                    listed(&loss.missing)
                ))
                .help(format!("Ask for {}.", joined(&loss.missing)))
                .mark(figure, "a loss without its conditions")
        })
        .collect();
    said.extend(
        context
            .facts
            .comparisons
            .iter()
            .filter_map(|comparison| compared(context, comparison)),
    );
    said
}

/// What a comparison leaves out.
fn compared(context: &Context<'_>, comparison: &Comparison) -> Option<Said> {
    let outcome = comparison.outcome.as_ref()?;
    if comparison.null || comparison.critique {
        return None;
    }
    let setup = &context.facts.setup;
    let sides = || {
        comparison
            .sides
            .iter()
            .filter_map(|side| context.facts.cables.get(side.cable))
    };
    let mut missing = Vec::new();
    if sides().any(|cable| cable.lengths.is_empty()) {
        missing.push("the length of each side");
    }
    if setup.loads.is_empty() && comparison.sides.iter().all(|side| side.load.is_none()) {
        missing.push("the load");
    }
    if measured(context, comparison) {
        if setup.frequencies.is_empty() {
            missing.push("the frequency");
        }
        if !metered(context, outcome.span) {
            missing.push("what it was measured with");
        }
    } else if comparison.listening {
        if setup.knew.is_empty() {
            missing.push("who knew which cable was playing");
        }
        if setup.matching.is_none() {
            missing.push("whether levels were matched");
        }
    }
    if missing.is_empty() {
        return None;
    }
    Some(
        Said::finding(context, ID)
            .message(format!(
                "The outcome “{}” cannot be judged: {} not stated.",
                context.quote(outcome.span),
                listed(&missing)
            ))
            .help(format!("Ask for {}.", joined(&missing)))
            .mark(outcome.span, "an outcome without its conditions"),
    )
}

/// Whether an outcome is a level, a voltage or a power that somebody read from an instrument, of a test in which nobody is told to have
/// listened.
fn measured(context: &Context<'_>, comparison: &Comparison) -> bool {
    let setup = &context.facts.setup;
    let heard = !setup.knew.is_empty() || setup.matching.is_some() || !setup.scores.is_empty();
    let read = |outcome: &Outcome| {
        let mut told = outcome.difference.iter();
        told.any(|difference| {
            outcome.span.contains(difference.span) && difference.of != DifferenceOf::Brightness
        })
    };
    !heard && comparison.outcome.as_ref().is_some_and(read)
}

/// Whether the sentence of an outcome, or one beside it, names what it was measured with.
fn metered(context: &Context<'_>, outcome: Span) -> bool {
    let Some(at) = context.sentence(outcome) else {
        return false;
    };
    let meters = context.list("measured.meter");
    let sentences = &context.sheet.sentences;
    let last = (at + 1).min(sentences.len().saturating_sub(1));
    (at.saturating_sub(1)..=last).any(|near| {
        let words = sentences[near].span.of(context.text).to_lowercase();
        meters.within(&words)
    })
}

fn joined(parts: &[&str]) -> String {
    match parts.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}

fn listed(parts: &[&str]) -> String {
    let verb = if parts.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", joined(parts))
}
