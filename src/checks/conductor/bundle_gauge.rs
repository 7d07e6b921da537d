//! The combined gauge of conductors in parallel: areas add, so two equal wires are three gauges larger and four are six (ASTM B258).

use super::super::Context;
use super::super::bench::{Bench, say_gauge, say_size, size_work};
use super::super::format::{area, three};
use super::super::said::{Said, Stage};
use crate::facts::{Bundle, Size};
use crate::physics::size;
use crate::span::Span;
use crate::units::SquareMetre;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "bundle-gauge-mismatch";
/// So many wires and more are the strands of one conductor.
const STRANDS: u32 = 19;
/// Most conductors that are joined to one pole.
const MOST_JOINED: f64 = 8.0;

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said: Vec<Said> = Bench::all(context)
        .flat_map(|bench| judge(context, &bench))
        .collect();
    let bundles = context.facts.bundles.iter();
    said.extend(bundles.filter_map(|bundle| statement(context, bundle)));
    said
}

/// The sizes that the conductors of one cable are said to come to.
fn judge(context: &Context<'_>, bench: &Bench<'_>) -> Vec<Said> {
    let counts = counts(bench);
    let wires = bench.wires();
    let told = |claim: &Size| {
        let mut bundles = context.facts.bundles.iter();
        bundles.any(|bundle| bundle.whole.span == claim.span)
    };
    bench
        .combined()
        .iter()
        .filter(|claim| !told(claim.size))
        .filter_map(|claim| {
            let readings = counts
                .iter()
                .flat_map(|&count| wires.iter().map(move |wire| (count, wire.size)));
            weigh(context, claim.size, readings)
        })
        .map(|said| said.of(bench.index, Stage::Size))
        .collect()
}

/// What a sentence says that joined conductors come to.
fn statement(context: &Context<'_>, bundle: &Bundle) -> Option<Said> {
    let readings = bundle
        .counts
        .iter()
        .map(|count| ((count.value, Some(count.span)), &bundle.wire));
    weigh(context, &bundle.whole, readings)
}

/// A number of conductors, and where it is said.
type Count = (u32, Option<Span>);

/// Holds a combined size against every reading of number and size of the conductors; all must disagree.
fn weigh<'s>(
    context: &Context<'_>,
    whole: &Size,
    readings: impl Iterator<Item = (Count, &'s Size)>,
) -> Option<Said> {
    let limit = context.threshold(ID, "area_ratio");
    let distance = |bundle: SquareMetre| {
        let ratio = whole.area / bundle;
        ratio.max(1.0 / ratio)
    };
    let ((count, span), wire, bundle) = readings
        .map(|(count, wire)| (count, wire, wire.area * f64::from(count.0)))
        .min_by(|a, b| distance(a.2).total_cmp(&distance(b.2)))?;
    let ratio = distance(bundle);
    // Strands make one conductor, and several such may be joined: "65 strands of 34 AWG each; two of them are equal to 13 AWG".
    if count >= STRANDS && whole.area > bundle {
        let times = (whole.area / bundle).round();
        if (2.0..=MOST_JOINED).contains(&times) && distance(bundle * times) <= limit {
            return None;
        }
    }
    let mut work = size_work(context, wire);
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
        .then(size_work(context, whole))
        .computed("ratio", "larger area / smaller area", ratio, "")
        .threshold(context, "limit", ID, "area_ratio", "");
    let gauge = say_gauge(size::equivalent_awg(bundle));
    // Against a whole gauge the computed one may be rounded as well: two 14 AWG make 11.01.
    let rounded = whole.awg.is_some_and(|number| {
        let nearest = size::nearest_gauge(bundle);
        f64::from(number.abs_diff(nearest)) <= context.threshold(ID, "awg_steps")
    });
    let base = if ratio > limit && !rounded {
        Said::finding(context, ID)
            .message(format!(
                "{} is given for the conductors of one pole together, but {count} of {} in parallel make {} ({gauge}), a ratio of {} in area.",
                say_size(context, whole),
                say_size(context, wire),
                area(bundle.0),
                three(ratio),
            ))
            .help(format!(
                "{count} conductors of this size make {gauge}; ask how many of which gauge are joined at each pole."
            ))
    } else {
        Said::confirmed(context, ID).message(format!(
            "{count} of {} in parallel make {} ({gauge}), as {} says.",
            say_size(context, wire),
            area(bundle.0),
            say_size(context, whole),
        ))
    };
    Some(
        base.mark(whole.span, "the combined size as stated")
            .mark(wire.span, "one conductor")
            .mark_some(span, "how many are in parallel")
            .working(work),
    )
}

/// Numbers in parallel that the document leaves possible.
fn counts(bench: &Bench<'_>) -> Vec<Count> {
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
