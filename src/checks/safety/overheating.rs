//! Current density of the stated power into the stated load: √(P/R) over the metal of one pole. The limit is common practice, without a
//! source.

use super::super::bench::{Bench, size_work};
use super::super::format::{area, ohms, three};
use super::super::said::{Said, Stage};
use super::super::{Context, Nearness};
use crate::facts::{Amount, DocumentKind, Fact, FigureKind, LoadKind};
use crate::physics::{heat, loss};
use crate::span::Span;
use crate::units::{Ohm, Watt};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "overheating";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::offering(context) {
        let ratings = bench.figures(FigureKind::PowerRating).map(|figure| {
            let quantity = figure.quantity as usize;
            let power = Fact::measured(Watt(figure.value), figure.span, quantity);
            (power, bench.loads(figure.load, figure.span))
        });
        let uses = bench.cable.uses.iter().filter_map(|offered| {
            let load = offered
                .load
                .filter(|load| load.value.kind != LoadKind::Lamp);
            let stated = load.and_then(|load| load.value.impedance.map(|value| load.with(value)));
            Some((offered.power?, bench.loads(stated, offered.span)))
        });
        // In the row or the entries of a sheet a power is what the cable is rated for, not what a test was driven with.
        let sheet = match context.facts.kind {
            DocumentKind::Sheet | DocumentKind::Range => true,
            // A list of runs of cables with names is a range as well.
            DocumentKind::Chart => !bench
                .cable
                .name
                .starts_with(|sign: char| sign.is_ascii_digit()),
            _ => false,
        };
        let listed = near(context, &bench).iter().filter_map(|drive| {
            let Amount::Power(power) = drive else {
                return None;
            };
            let power = Some(*power).filter(|_| sheet)?;
            let beside = bench.cable.sizes.iter().any(|size| {
                let nearness = context.nearness(size.span, power.span);
                nearness <= Nearness::Line
            });
            beside.then(|| (power, bench.loads(None, power.span)))
        });
        let mut seen: Vec<Span> = Vec::new();
        for (power, loads) in ratings.chain(uses).chain(listed) {
            if seen.contains(&power.span) {
                continue;
            }
            if let Some(made) = judge(context, &bench, power, &loads) {
                seen.push(power.span);
                said.push(made);
            }
        }
    }
    said
}

/// The drives that can stand in the line of a cable: of very many only those round its size.
fn near<'c>(context: &Context<'c>, bench: &Bench<'_>) -> &'c [Amount] {
    let all = context.facts.setup.drives.as_slice();
    let Some(size) = bench.cable.sizes.first() else {
        return &[];
    };
    let middle = all.partition_point(|drive| drive.span().start() < size.span.start());
    all.get(context.window(all.len(), middle)).unwrap_or(&[])
}

fn judge(
    context: &Context<'_>,
    bench: &Bench<'_>,
    power: Fact<Watt>,
    loads: &[Fact<Ohm>],
) -> Option<Said> {
    // The load that draws the least, and the size that carries the most.
    let load = loads
        .iter()
        .max_by(|a, b| a.value.0.total_cmp(&b.value.0))?;
    let parallels = bench.parallels();
    let (count, parallel) = parallels.into_iter().max_by_key(|(count, _)| *count)?;
    let single = bench
        .wires()
        .into_iter()
        .map(|wire| (wire, f64::from(count)));
    let combined = bench.combined().into_iter().map(|wire| (wire, 1.0));
    let (wire, times) = single.chain(combined).max_by(|a, b| {
        let of = |pair: &(super::super::bench::Wire<'_>, f64)| pair.0.area.high.0 * pair.1;
        of(a).total_cmp(&of(b))
    })?;
    let metal = wire.area.high * times;
    let current = loss::current(power.value, load.value);
    let density = heat::current_density(current, metal).0 * 1.0e-6;
    let limit = context.threshold(ID, "amperes_per_mm2");
    let mut work = size_work(context, wire.size)
        .quoted(context, "P", power.value.0, "W", power.span)
        .quoted(context, "R", load.value.0, "Ω", load.span)
        .computed("I", "√(P / R)", current.0, "A");
    if times > 1.0 {
        work = match parallel {
            Some(span) => work.quoted(context, "N", times, "", span),
            None => work.assumed("N", "conductors in parallel", times, ""),
        };
    }
    let each = if times > 1.0 { "I / (N · A)" } else { "I / A" };
    let work = work.computed("J", each, density, "A/mm²").threshold(
        context,
        "limit",
        ID,
        "amperes_per_mm2",
        "A/mm²",
    );
    let conditions = format!(
        "“{}” into {} drives {} A through {}",
        context.quote(power.span),
        ohms(load.value.0),
        three(current.0),
        area(metal.0)
    );
    let base = if density > limit {
        let needed = crate::units::SquareMetre(current.0 / limit * 1.0e-6);
        Said::finding(context, ID)
            .message(format!(
                "{conditions} of conductor, {} A/mm², above the {} A/mm² up to which a loudspeaker cable stays cool by common practice. Wire \
                 behind plaster or in a bundle gets hotter than in free air. Follow the local code and have licensed people do fixed \
                 wiring.",
                three(density),
                three(limit)
            ))
            .help(format!(
                "At least {} would be needed for that power, or a lower power stated. Follow the local code, and have licensed people do \
                 fixed wiring.",
                area(needed.0)
            ))
    } else {
        Said::confirmed(context, ID).message(format!(
            "{conditions} of conductor, {} A/mm², under {} A/mm².",
            three(density),
            three(limit)
        ))
    };
    Some(
        base.of(bench.index, Stage::Apart)
            .mark(power.span, "the power")
            .mark(load.span, "the load")
            .mark(wire.size.span, "the size")
            .working(work),
    )
}
