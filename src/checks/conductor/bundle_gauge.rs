//! The combined gauge of conductors in parallel: areas add, so two equal wires are three gauges larger and four are six (ASTM B258).

use super::super::Context;
use super::super::bench::{Bench, say_gauge, say_size, size_work};
use super::super::format::{area, three};
use super::super::said::{Said, Stage};
use crate::physics::size;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "bundle-gauge-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    Bench::all(context)
        .iter()
        .flat_map(|bench| judge(context, bench))
        .collect()
}

fn judge(context: &Context<'_>, bench: &Bench<'_>) -> Vec<Said> {
    let limit = context.threshold(ID, "area_ratio");
    let counts = counts(bench);
    let wires = bench.wires();
    let mut said = Vec::new();
    for claim in bench.combined() {
        // Every reading of the counts and sizes must disagree.
        let readings = counts.iter().flat_map(|(count, span)| {
            wires
                .iter()
                .map(move |wire| (*count, *span, *wire, wire.size.area * f64::from(*count)))
        });
        let distance = |bundle: crate::units::SquareMetre| {
            let ratio = claim.size.area / bundle;
            ratio.max(1.0 / ratio)
        };
        let Some((count, span, wire, bundle)) =
            readings.min_by(|a, b| distance(a.3).total_cmp(&distance(b.3)))
        else {
            continue;
        };
        let ratio = distance(bundle);
        let mut work = size_work(context, wire.size);
        work = match span {
            Some(span) => work.quoted(context, "N", f64::from(count), "", span),
            None => work.assumed("N", "conductors in parallel", f64::from(count), ""),
        };
        let work = work
            .computed("A_N", "N · A", bundle.0 * 1.0e6, "mm²")
            .computed(
                "n_N",
                "36 − 39 · ln(d_N / 0.127 mm) / ln 92",
                size::equivalent_awg(bundle),
                "AWG",
            )
            .then(size_work(context, claim.size))
            .computed("ratio", "larger area / smaller area", ratio, "")
            .threshold(context, "limit", ID, "area_ratio", "");
        let gauge = say_gauge(size::equivalent_awg(bundle));
        // Against a whole gauge the computed one may be rounded as well: two 14 AWG make 11.01.
        let rounded = claim.size.awg.is_some_and(|number| {
            let whole = size::nearest_gauge(bundle);
            f64::from(number.abs_diff(whole)) <= context.threshold(ID, "awg_steps")
        });
        let base = if ratio > limit && !rounded {
            Said::finding(context, ID)
                .message(format!(
                    "{} is given for the conductors of one pole together, but {count} of {} in parallel make {} ({gauge}), a ratio of {} in area.",
                    say_size(context, claim.size),
                    say_size(context, wire.size),
                    area(bundle.0),
                    three(ratio),
                ))
                .help(format!(
                    "{count} conductors of this size make {gauge}; ask how many of which gauge are joined at each pole."
                ))
        } else {
            Said::confirmed(context, ID).message(format!(
                "{count} of {} in parallel make {} ({gauge}), as {} says.",
                say_size(context, wire.size),
                area(bundle.0),
                say_size(context, claim.size),
            ))
        };
        said.push(
            base.of(bench.index, Stage::Size)
                .mark(claim.size.span, "the combined size as stated")
                .mark(wire.size.span, "one conductor")
                .mark_some(span, "how many are in parallel")
                .working(work),
        );
    }
    said
}

/// Numbers in parallel that the document leaves possible.
fn counts(bench: &Bench<'_>) -> Vec<(u32, Option<crate::span::Span>)> {
    if let Some(fact) = bench.cable.parallel {
        // Six conductors and more can be wired in several ways; each is taken for possible.
        let many = bench
            .cable
            .conductors
            .is_some_and(|count| count.value >= 6 && count.value / 2 == fact.value);
        let first = if many { 1 } else { fact.value.max(1) };
        return (first..=fact.value.max(1))
            .map(|count| (count, Some(fact.span)))
            .collect();
    }
    let counted = bench.cable.conductors.map(|fact| (fact.value, fact.span));
    let written = bench
        .cable
        .sizes
        .iter()
        .find_map(|size| size.conductors.map(|count| (count, size.span)));
    match counted.or(written) {
        // Which of them belong to one pole is not said: half of them, or all.
        Some((count, span)) if count >= 2 => vec![(count / 2, Some(span)), (count, Some(span))],
        _ => Vec::new(),
    }
}
