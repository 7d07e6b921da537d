//! Freedom from skin effect as a selling point, bought with resistance: a thin wire has little skin effect because it has so much
//! resistance at every frequency. Its loss at 20 kHz is held against that of a plain 12 AWG copper pair of the same length.
//!
//! The claim is made in words and found by the word lists of the rule; the check judges it only where a size or a resistance is
//! given.

use super::super::Context;
use super::super::bench::{Bench, Source, loss_of};
use super::super::format::{decibels, length, with_unit};
use super::super::said::{Said, Stage};
use crate::claims::{Claim, silent};
use crate::facts::Cable;
use crate::finding::{Level, Stance};
use crate::physics::{IACS, conductor, size, skin};
use crate::span::Span;
use crate::units::{Hertz, Metre, Ohm, OhmPerMetre};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "skin-trade-off";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said: Vec<Said> = Vec::new();
    let told = |reported: bool| {
        let claims = context.claims.iter();
        claims
            .filter(|claim| claim.rule == ID && !silent(claim.stance))
            .filter(move |claim| (claim.stance == Stance::Reported) == reported)
    };
    // What the document says itself counts before what it reports.
    for claim in told(false).chain(told(true)) {
        if let Some(made) = about(context, claim).and_then(|bench| judge(context, &bench, claim)) {
            // One selling point of one cable, however often it is said.
            if said.iter().all(|known| known.cable != made.cable) {
                said.push(made);
            }
        }
    }
    said
}

/// The cable that the claim speaks of: the one that its sentences name, or else the last one named before it.
fn about<'c>(context: &Context<'c>, claim: &Claim) -> Option<Bench<'c>> {
    let bench = |index: usize| {
        let cable = context.facts.cables.get(index)?;
        Some(Bench::new(context, index, cable))
    };
    if context.facts.cables.len() == 1 {
        return bench(0);
    }
    let words = context.of_cables();
    let before = |place: usize| words.partition_point(|(span, _)| span.start() <= place);
    let told = before(claim.span.start());
    // Of those that its sentences name the one that was named last before it, or else the last one of all.
    let mut named: Vec<usize> = Vec::new();
    for sentence in (claim.sentences.iter()).filter_map(|&at| context.sheet.sentences.get(at)) {
        let first = words.partition_point(|(span, _)| span.start() < sentence.span.start());
        let within = words[first..before(sentence.span.end())].iter();
        named.extend(
            within
                .filter(|(span, _)| sentence.span.contains(*span))
                .map(|(_, cable)| *cable),
        );
    }
    named.sort_unstable();
    named.dedup();
    let last_of = |cable: usize| {
        let words = spans(context.facts.cables.get(cable)?);
        let starts = words.map(|span| span.start());
        starts.filter(|&start| start <= claim.span.start()).max()
    };
    let named = named
        .into_iter()
        .filter_map(|cable| Some((last_of(cable)?, cable)))
        .max();
    let last = || {
        let (span, _) = words.get(told.checked_sub(1)?)?;
        let first = words.partition_point(|(other, _)| other.start() < span.start());
        words[first..told].iter().map(|(_, cable)| *cable).max()
    };
    bench(named.map(|(_, cable)| cable).or_else(last)?)
}

fn spans(cable: &Cable) -> impl Iterator<Item = Span> + '_ {
    let sizes = cable.sizes.iter().map(|size| size.span);
    cable.mentions.iter().chain(sizes)
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, claim: &Claim) -> Option<Said> {
    let frequency = Hertz(context.threshold(ID, "frequency_hz"));
    let gauge = context.threshold(ID, "reference_awg");
    let wire = size::awg_diameter(gauge);
    let plain = {
        let dc = conductor::resistance_per_metre(IACS, size::awg_area(gauge), 1.0);
        dc * (2.0 * skin::solid(wire, IACS, frequency).resistance)
    };
    let least = |source: &Source| {
        let ratio = match source.diameter {
            Some(diameter) => bench.skin(diameter, frequency).low,
            None => 1.0,
        };
        source.resistance.low * ratio
    };
    let mut sources = bench.sources_for_use();
    // A size that stands in the paragraph of the claim is the one that it is made for.
    let first = claim.sentences.first();
    let own = first
        .and_then(|&at| context.sheet.sentences.get(at))
        .map(|sentence| sentence.block());
    if sources
        .iter()
        .any(|source| context.block(source.span) == own)
    {
        sources.retain(|source| context.block(source.span) == own);
    }
    let source = sources
        .into_iter()
        .min_by(|a, b| least(a).0.total_cmp(&least(b).0))?;
    let own: OhmPerMetre = least(&source);
    if own <= plain {
        return None;
    }
    let run = bench.cable.length();
    let over = run.map_or(Metre(context.default("length")), |run| run.value);
    let load_stated = bench.loads(None, claim.span).into_iter().next();
    let load = load_stated.map_or(Ohm(context.default("load")), |load| load.value);
    let known = bench.inductance();
    let inductance = known.map_or(bench.assumed_inductance().low, |known| known.value.low);
    let loss = |resistance| loss_of(resistance, inductance, over, load, frequency).0;
    let (mine, reference) = (loss(own), loss(plain));
    let ratio = own.0 / source.resistance.low.0;
    let mut work = bench
        .source_work(&source)
        .computed("k_low", "R(f)/R(0), the least", ratio, "")
        .computed(
            "R′",
            "k_low · R′_low",
            own.0 * 1.0e3,
            "mΩ/m of loop at 20 kHz, the least",
        )
        .threshold(context, "n", ID, "reference_awg", "AWG")
        .computed(
            "R′_n",
            "2 · ρ/A · R(f)/R(0), solid copper of that gauge",
            plain.0 * 1.0e3,
            "mΩ/m of loop at 20 kHz",
        )
        .threshold(context, "f", ID, "frequency_hz", "Hz");
    work = match run {
        Some(run) => work.quoted(context, "l", over.0, "m", run.span),
        None => work.usual(context, "l", "length", "m"),
    };
    work = match load_stated {
        Some(stated) => work.quoted(context, "R_L", load.0, "Ω", stated.span),
        None => work.usual(context, "R_L", "load", "Ω"),
    };
    work = match known {
        Some(known) => work.quoted(context, "L′", inductance.0, "H/m", known.span),
        None => work.usual(context, "L′", "inductance_low", "H/m"),
    };
    let formula = "20 · log10 |1 + (R′ + jωL′)·l / R_L|, both with the same L′";
    let work = work
        .computed("a", formula, mine, "dB")
        .computed("a_n", formula, reference, "dB");
    let quote = context.quote(claim.span);
    let reference_name = format!(
        "{} AWG",
        size::gauge_name(size::nearest_gauge(size::awg_area(gauge)))
    );
    let mut said = Said::finding(context, ID)
        .of(bench.index, Stage::Apart)
        .message(format!(
            "“{quote}”: with “{}” the loop has at least {} at 20 kHz, more than the {} of a plain {reference_name} copper pair with all \
             its skin effect. Over {} into {} it loses {} at 20 kHz, the plain pair {}.",
            context.quote(source.span),
            with_unit(own.0, "Ω/m"),
            with_unit(plain.0, "Ω/m"),
            length(over.0),
            super::super::format::ohms(load.0),
            decibels(mine),
            decibels(reference),
        ))
        .help("Compare the resistance at 20 kHz, not its rise; many thin wires insulated from each other would have both.")
        .mark(claim.span, "freedom from skin effect")
        .mark(source.span, "size or resistance")
        .working(work);
    said.finding.stance = claim.stance;
    if claim.stance == Stance::Reported {
        said = said.level(Level::Note);
    }
    Some(said)
}
