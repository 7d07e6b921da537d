//! Sides of different metal while the outcome is credited to something else. Conductivities by the table of metals.

use super::super::sides::{Party, outcome_span, parties};
use super::super::{Context, Said, Work, format};
use super::gauge::upper;
use crate::facts::{DocumentKind, Subject};
use crate::physics::metal;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "unequal-metal";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for comparison in &context.facts.comparisons {
        if comparison.null || comparison.critique || comparison.subjects.contains(&Subject::Metal) {
            continue;
        }
        // Without a better one there is nothing to credit.
        let told = comparison
            .outcome
            .as_ref()
            .is_some_and(|outcome| outcome.winner.is_some() || !outcome.difference.is_empty());
        // … or somebody listened, and puts it down to something that is no metal.
        let setup = &context.facts.setup;
        let listened = !setup.scores.is_empty()
            || !setup.preferred.is_empty()
            || setup.blinding.is_some()
            || context.facts.kind == DocumentKind::Comparison;
        let credited = listened && comparison.credit.is_some();
        if !(told || credited) {
            continue;
        }
        let parties = parties(context, comparison);
        let iacs = |party: &Party<'_>| {
            party
                .metal(context)
                .and_then(|fact| metal(fact.value))
                .map(crate::physics::Metal::iacs)
        };
        let known: Vec<(&Party<'_>, f64)> = parties
            .iter()
            .filter_map(|party| Some((party, iacs(party)?)))
            .collect();
        let Some((best, high)) = known.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)) else {
            continue;
        };
        let Some((worst, low)) = known.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1)) else {
            continue;
        };
        if high / low - 1.0 <= context.threshold(RULE, "tolerance") {
            continue;
        }
        let name = |party: &Party<'_>| {
            party
                .metal(context)
                .map_or_else(String::new, |fact| fact.value.replace('-', " "))
        };
        let cause = if comparison.credit.is_some() {
            "The outcome is credited to something else."
        } else {
            "The metal is not named as a cause of the outcome."
        };
        let mut finding = Said::finding(context, RULE).message(format!(
            "{} is {}, {} {}: {} more conductivity at the same size ({} against {} % IACS). {cause}",
            upper(&context.cable_name(best.cable_index)),
            name(best),
            context.cable_name(worst.cable_index),
            name(worst),
            format::percent(high / low - 1.0),
            format::three(high),
            format::three(low),
        ));
        let work = Work::default()
            .table(
                "γ_1",
                name(best),
                high,
                "% IACS",
                &format!("metals.{}", name(best)),
            )
            .table(
                "γ_2",
                name(worst),
                low,
                "% IACS",
                &format!("metals.{}", name(worst)),
            )
            .computed("γ_1 / γ_2", "best over worst", high / low, "1")
            .threshold(context, "tolerance", RULE, "tolerance", "1");
        finding = finding.working(work);
        for party in [best, worst] {
            if let Some(fact) = party.metal(context) {
                finding = finding.mark(
                    fact.span,
                    format!("{}: {}", context.cable_name(party.cable_index), name(party)),
                );
            }
        }
        said.push(finding.mark_some(outcome_span(comparison), "the outcome"));
    }
    said
}
