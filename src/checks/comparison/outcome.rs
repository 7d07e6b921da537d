//! A stated difference larger than the stated cables and load can make at the most.
//!
//! Each side is a divider of load and cable. What the document states of a cable holds, its inductance too; grade of the metal,
//! temperature, lay, build and an inductance that is not stated are taken at the ends that make most of the difference. A lamp turns
//! a difference of voltage into more than its share of light: by the power 3.6 at the most (see `physics::lamp`).

use super::super::bench::Bench;
use super::super::sides::{Lost, NO_LOUDSPEAKER, Party, outcome_span, parties_at};
use super::super::{Context, Said, Work, format};
use super::drive::decibels;
use crate::claims::{Claim, silent};
use crate::facts::{Comparison, Difference, DifferenceOf, Fact, FigureKind, Gain, LoadKind};
use crate::physics::lamp;
use crate::span::Span;
use crate::units::{HenryPerMetre, Hertz, Ohm};
use rustc_hash::FxHashSet;
use std::cell::LazyCell;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "outcome-exceeds-physics";
/// Beside it stands the top of the band, at which cables can differ most.
const TOP_OF_BAND: &str = "audio_top";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for comparison in &context.facts.comparisons {
        if comparison.critique {
            continue;
        }
        let Some(outcome) = &comparison.outcome else {
            continue;
        };
        for difference in &outcome.difference {
            if unset(context, comparison, difference) {
                continue;
            }
            let parties = parties_at(
                context,
                comparison,
                Some(difference.span),
                Some(difference.of),
            );
            said.extend(judge(context, comparison, &parties, difference));
        }
    }
    let marks = said.iter().flat_map(|said| &said.finding.marks);
    let known: FxHashSet<Span> = marks.map(|mark| mark.span).collect();
    let greatest = LazyCell::new(|| greatest_stated(context));
    for gain in &context.facts.gains {
        if !known.contains(&gain.difference.span)
            && (gain.credited || !outset(context, &gain.difference))
        {
            said.extend(bounded(context, gain, *greatest));
        }
    }
    said
}

/// The greatest inductance of a metre that the document states of any cable.
fn greatest_stated(context: &Context<'_>) -> Option<HenryPerMetre> {
    let figures = context.facts.cables.iter().flat_map(|cable| &cable.figures);
    figures
        .filter(|figure| figure.kind == FigureKind::InductancePerLength)
        .map(|figure| HenryPerMetre(figure.value))
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// Holds a difference against all that the thinnest of the cables can lose over the longest run into the lowest load.
fn bounded(context: &Context<'_>, gain: &Gain, greatest: Option<HenryPerMetre>) -> Option<Said> {
    let ohms = gain.load.value.impedance?;
    let party = Party {
        index: 0,
        cable_index: 0,
        cable: &gain.cable,
        area: gain.cable.sizes.first().map(|size| (size.area, size)),
        length: gain.cable.length(),
        load: Some(gain.load),
    };
    let inductive = gain.load.value.kind != LoadKind::Lamp;
    let bench = Bench::new(context, party.cable_index, party.cable);
    let top = Hertz(context.default(TOP_OF_BAND));
    let lost = party.lost(&bench, ohms, top, inductive, greatest)?;
    let possible = lost.loss.high;
    let ratio = 10f64.powf(possible / 20.0);
    let factor = context.threshold(RULE, "factor");
    let (claimed, most, over) = match gain.difference.of {
        DifferenceOf::Level => (
            format::decibels(gain.difference.value),
            format::decibels(possible),
            gain.difference.value > factor * possible
                && gain.difference.value - possible > context.threshold(RULE, "floor_db"),
        ),
        of => {
            let most = match of {
                DifferenceOf::Power => ratio * ratio,
                DifferenceOf::Brightness => lamp::brightness(ratio).range.high,
                _ => ratio,
            };
            let share = gain.difference.value - 1.0;
            let over = share > factor * (most - 1.0)
                && share - (most - 1.0) > context.threshold(RULE, "floor_share");
            (format::percent(share), format::percent(most - 1.0), over)
        }
    };
    if !over {
        return None;
    }
    let length = gain.cable.length()?;
    let work = super::super::sides::loop_work(context, &party, Work::default())
        .quoted(context, "R_L", ohms.0, "Ω", gain.load.span)
        .then(bench.open_work());
    let work = if inductive {
        work.usual(context, "f", TOP_OF_BAND, "Hz")
    } else {
        work
    };
    let work = lost.most(context, work).computed(
        "ΔL_most",
        "all that this cable can lose",
        possible,
        "dB",
    );
    let work = made(context, &gain.difference, ratio, work);
    let size = gain.cable.sizes.first()?;
    Some(
        Said::finding(context, RULE)
            .message(format!(
                "The stated difference is {claimed}; the thinnest of the stated cables loses no more than {most} in all, over the longest of the stated runs into {}. The rest has another cause: drive, load, contacts or the measurement.",
                format::ohms(ohms.0),
            ))
            .mark(gain.difference.span, format!("stated: {claimed}"))
            .mark(size.span, "the thinnest size")
            .mark(length.span, "the longest run")
            .mark(gain.load.span, "the load")
            .working(work),
    )
}

/// Whether a difference of level is told as one of levels that nobody set, and of no cable: “afterwards the meter showed that the
/// one on the other amplifier had been 1.5 dB louder”.
fn unset(context: &Context<'_>, comparison: &Comparison, difference: &Difference) -> bool {
    comparison.credit.is_none() && outset(context, difference)
}

fn outset(context: &Context<'_>, difference: &Difference) -> bool {
    const LEVELS: &str = "levels-unmatched";
    let at = context.sentence(difference.span);
    let told = |claim: &Claim| {
        claim.rule == LEVELS
            && !silent(claim.stance)
            && at.is_some_and(|at| claim.sentences.contains(&at))
    };
    difference.of == DifferenceOf::Level && context.claims.iter().any(told)
}

fn judge(
    context: &Context<'_>,
    comparison: &Comparison,
    parties: &[Party<'_>],
    difference: &Difference,
) -> Option<Said> {
    let load = parties.iter().find_map(|party| party.load)?;
    let ohms = load.value.impedance?;
    let stated: Option<Fact<Hertz>> = match context.facts.setup.frequencies.as_slice() {
        [one] => Some(*one),
        _ => None,
    };
    let top = Hertz(context.default(TOP_OF_BAND));
    let frequency = stated.map_or(top, |one| one.value);
    let inductive = load.value.kind != LoadKind::Lamp;
    let apart = greatest(context, parties, ohms, frequency, inductive)?;
    let greatest = apart.decibels();
    let driven = drive_apart(comparison);
    let possible = greatest + driven;
    let factor = context.threshold(RULE, "factor");
    let (claimed, over) = match difference.of {
        DifferenceOf::Level => {
            let over = difference.value > factor * possible
                && difference.value - possible > context.threshold(RULE, "floor_db");
            (format::decibels(difference.value), over)
        }
        of => {
            let ratio = 10f64.powf(possible / 20.0);
            let most = match of {
                DifferenceOf::Power => ratio * ratio,
                DifferenceOf::Brightness => lamp::brightness(ratio).range.high,
                _ => ratio,
            };
            let share = difference.value - 1.0;
            let over = share > factor * (most - 1.0)
                && share - (most - 1.0) > context.threshold(RULE, "floor_share");
            (format::percent(share), over)
        }
    };
    let ratio = 10f64.powf(possible / 20.0);
    let mut work = Work::default();
    for party in parties {
        work = super::super::sides::loop_work(context, party, work);
    }
    work = work.quoted(context, "R_L", ohms.0, "Ω", load.span);
    if let Some(cable) = context.facts.cables.get(apart.cable) {
        work = work.then(Bench::new(context, apart.cable, cable).open_work());
    }
    work = match stated {
        _ if !inductive => work,
        Some(one) => work.quoted(context, "f", one.value.0, "Hz", one.span),
        None => work.usual(context, "f", TOP_OF_BAND, "Hz"),
    };
    work = apart.most.most(context, work);
    work = apart.least.least(context, work);
    work = work.computed(
        "ΔL_cables",
        format!(
            "a_high,{} − a_low,{}",
            apart.most.number, apart.least.number
        ),
        greatest,
        "dB",
    );
    if driven > 0.0 {
        work = work.computed("ΔL_drive", "difference of the stated drives", driven, "dB");
    }
    let work = made(context, difference, ratio, work);
    let possible_words = match difference.of {
        DifferenceOf::Level => format::decibels(possible),
        DifferenceOf::Power => format!("{} in power", format::percent(ratio * ratio - 1.0)),
        DifferenceOf::Brightness => format!(
            "{} in light",
            format::percent(lamp::brightness(ratio).range.high - 1.0)
        ),
        DifferenceOf::Voltage => format!("{} in voltage", format::percent(ratio - 1.0)),
    };
    // What unequal drives make is no merit of the cables.
    let makers = if driven > 0.0 {
        "the stated cables and drives"
    } else {
        "the stated cables"
    };
    let said = if over {
        Said::finding(context, RULE).message(format!(
            "The stated difference is {claimed}; {makers} into {} can make {possible_words} at the most. The rest has another cause: drive, load, contacts or the measurement.{}",
            format::ohms(ohms.0),
            if inductive { "" } else { NO_LOUDSPEAKER },
        ))
    } else if difference.of == DifferenceOf::Level || possible > 0.0 {
        Said::confirmed(context, RULE).message(format!(
            "The stated difference of {claimed} is within what {makers} can make ({possible_words}).",
        ))
    } else {
        return None;
    };
    let said = said
        .mark(difference.span, format!("stated: {claimed}"))
        .working(work);
    Some(said.mark_some(outcome_span(comparison), "the outcome"))
}

/// The steps from the greatest ratio of voltages to what is held against it.
fn made(context: &Context<'_>, difference: &Difference, ratio: f64, work: Work) -> Work {
    let mut work = work.computed("V ratio", "10^(ΔL / 20)", ratio, "1");
    match difference.of {
        DifferenceOf::Level | DifferenceOf::Voltage => {}
        DifferenceOf::Power => {
            work = work.computed("P ratio", "(V ratio)²", ratio * ratio, "1");
        }
        DifferenceOf::Brightness => {
            let bright = lamp::brightness(ratio).range.high;
            work = work
                .assumed(
                    "n",
                    "light of a tungsten lamp goes with V to the power 3.6 at the most",
                    lamp::FLUX_EXPONENTS.high,
                    "1",
                )
                .computed("Φ ratio", "(V ratio)^n", bright, "1");
        }
    }
    let level = difference.of == DifferenceOf::Level;
    let unit = if level { "dB" } else { "1" };
    let floor = if level { "floor_db" } else { "floor_share" };
    work.quoted(context, "stated", difference.value, unit, difference.span)
        .threshold(context, "factor", RULE, "factor", "1")
        .threshold(context, "floor", RULE, floor, unit)
}

/// The two sides that can differ most.
struct Furthest {
    /// The one that loses most.
    most: Lost,
    /// The one that loses least.
    least: Lost,
    /// Index of the cable of the former.
    cable: usize,
}

impl Furthest {
    fn decibels(&self) -> f64 {
        self.most.loss.high - self.least.loss.low
    }
}

/// The two sides whose losses can lie furthest apart.
fn greatest(
    context: &Context<'_>,
    parties: &[Party<'_>],
    load: Ohm,
    frequency: Hertz,
    inductive: bool,
) -> Option<Furthest> {
    // What is known by nothing but a role ("its plain cousin") is one of the others.
    let sized = parties.iter().filter(|party| party.area.is_some()).count();
    let unsized_role =
        |party: &&Party<'_>| sized >= 2 && party.area.is_none() && party.cable.mentions.len() == 1;
    let known: Vec<&Party<'_>> = parties
        .iter()
        .filter(|party| !unsized_role(party))
        .collect();
    // Where one side is given several lengths, it may be any of those that are stated.
    let several = known.iter().any(|party| party.cable.length().is_none());
    let all = || {
        known
            .iter()
            .flat_map(|party| party.cable.lengths.iter().copied())
    };
    // Those of a use that is offered are not of the test.
    let used = |span: Span| {
        known
            .iter()
            .flat_map(|party| &party.cable.uses)
            .any(|offered| offered.span.contains(span))
    };
    let mut stated: Vec<_> = all().filter(|length| !used(length.span)).collect();
    if stated.is_empty() {
        stated = all().collect();
    }
    // What each side can lose at the least and at the most.
    let mut ends: Vec<(usize, Lost, Lost)> = Vec::new();
    for party in &known {
        let lengths = if several {
            stated.iter().copied().map(Some).collect()
        } else {
            vec![party.length]
        };
        let bench = Bench::new(context, party.cable_index, party.cable);
        let mut own: Option<(Lost, Lost)> = None;
        for length in lengths {
            let at = Party { length, ..**party };
            let lost = at.lost(&bench, load, frequency, inductive, None)?;
            let (least, most) = own.get_or_insert((lost, lost));
            if lost.loss.low < least.loss.low {
                *least = lost;
            }
            if lost.loss.high > most.loss.high {
                *most = lost;
            }
        }
        let (least, most) = own?;
        ends.push((party.cable_index, least, most));
    }
    let pairs = ends.iter().enumerate().flat_map(|(place, high)| {
        let others = ends.iter().enumerate();
        others
            .filter(move |(other, _)| *other != place)
            .map(move |(_, low)| Furthest {
                most: high.2,
                least: low.1,
                cable: high.0,
            })
    });
    pairs.max_by(|a, b| a.decibels().total_cmp(&b.decibels()))
}

/// How far the drives of two sides are apart, in dB.
fn drive_apart(comparison: &Comparison) -> f64 {
    let drives: Vec<_> = comparison
        .sides
        .iter()
        .filter_map(|side| side.drive.as_deref())
        .collect();
    match drives.as_slice() {
        [a, b, ..] => decibels(a, b).unwrap_or(0.0),
        _ => 0.0,
    }
}
