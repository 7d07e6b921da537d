//! A stated damping factor at the loudspeaker against load over loop resistance of the cable alone, which no amplifier can exceed. An
//! amplifier's own damping factor is another figure.

use super::super::Context;
use super::super::bench::{Bench, Source};
use super::super::format::{length, ohms, percent, three};
use super::super::said::{Said, Stage};
use crate::facts::{Fact, Figure, FigureKind};
use crate::physics::loss;
use crate::sheet::Bound;
use crate::units::{Metre, Ohm};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "damping-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::with_apart(context) {
        for figure in bench.figures(FigureKind::DampingFactor) {
            said.extend(judge(context, &bench, figure));
        }
    }
    said
}

struct Given {
    source: Source,
    length: Fact<Metre>,
    load: Fact<Ohm>,
    /// Highest damping factor that the statement allows.
    most: f64,
    /// Lowest, over everything left open.
    least: f64,
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> Option<Said> {
    let lengths = bench.lengths(figure.length, figure.span);
    let loads = bench.loads(figure.load, figure.span);
    let all = |sources: Vec<Source>| -> Vec<Given> {
        let mut all = Vec::new();
        for source in sources {
            for &length in &lengths {
                for &load in &loads {
                    let factor = |per_metre: crate::units::OhmPerMetre| {
                        let cable = Ohm(per_metre.0 * length.value.0);
                        loss::damping_factor(cable, Ohm(0.0), load.value)
                    };
                    all.push(Given {
                        most: factor(source.resistance.low),
                        least: factor(source.resistance.high),
                        source: source.clone(),
                        length,
                        load,
                    });
                }
            }
        }
        all
    };
    let tolerance = 1.0 + context.threshold(ID, "tolerance");
    let (sizes, figures) = (bench.size_sources(), bench.figure_sources());
    let conditions = lengths.len() * loads.len() * (sizes.len() + figures.len());
    if context.reached.too_many(conditions) {
        return None;
    }
    let sizes = all(sizes);
    let figures = all(figures);
    let above = |given: &Given| figure.value > given.most * tolerance;
    let any = || sizes.iter().chain(&figures);
    let best = any().max_by(|a, b| a.most.total_cmp(&b.most))?;
    if matches!(figure.bound, Bound::AtMost | Bound::RangeHigh) {
        return None;
    }
    if above(best) {
        return Some(say(context, bench, figure, best, true));
    }
    let odd = sizes.iter().find(|given| {
        above(given)
            && sizes
                .iter()
                .filter(|other| other.source.span == given.source.span)
                .all(above)
    });
    if odd.is_some() {
        return Some(say(context, bench, figure, best, true).follows(format!(
            "the damping factor “{}”, which goes with “{}”",
            context.quote(figure.span),
            context.quote(best.source.span)
        )));
    }
    // A lower figure may count the amplifier in; one within the range is the cable's own.
    any()
        .find(|given| {
            figure.value <= given.most * tolerance && figure.value >= given.least / tolerance
        })
        .map(|given| say(context, bench, figure, given, false))
}

fn say(
    context: &Context<'_>,
    bench: &Bench<'_>,
    figure: &Figure,
    given: &Given,
    wrong: bool,
) -> Said {
    let quote = context.quote(figure.span);
    let cable = given.load.value.0 / given.most;
    let conditions = format!(
        "“{}” of “{}” has at least {} in the loop, so into {}",
        context.quote(given.length.span),
        context.quote(given.source.span),
        ohms(cable),
        ohms(given.load.value.0),
    );
    let base = if wrong {
        Said::finding(context, ID)
            .message(format!(
                "The damping factor “{quote}” cannot be reached at the loudspeaker: {conditions} the cable alone holds it to {} at the most, \
                 {} lower.",
                three(given.most),
                percent(1.0 - given.most / figure.value),
            ))
            .help(format!(
                "At most {} at the end of {}; an amplifier's own damping factor holds at its terminals only. Ask at which end the figure holds.",
                three(given.most),
                length(given.length.value.0)
            ))
    } else {
        Said::confirmed(context, ID).message(format!(
            "The damping factor “{quote}” agrees: {conditions} the cable alone gives {} to {}.",
            three(given.least),
            three(given.most)
        ))
    };
    let work = bench
        .source_work(&given.source)
        .quoted(context, "l", given.length.value.0, "m", given.length.span)
        .computed("R_loop", "R′_low · l", cable, "Ω")
        .quoted(context, "R_L", given.load.value.0, "Ω", given.load.span)
        .computed("DF_max", "R_L / R_loop", given.most, "")
        .computed("DF_min", "R_L / (R′_high · l)", given.least, "")
        .quoted(context, "DF", figure.value, "", figure.span)
        .threshold(context, "tolerance", ID, "tolerance", "");
    base.of(bench.index, Stage::Effect)
        .mark(figure.span, "the damping factor as stated")
        .mark(given.source.span, "what the resistance is computed from")
        .mark(given.length.span, "the length")
        .mark(given.load.span, "the load")
        .working(work)
}
