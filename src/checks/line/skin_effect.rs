//! A stated rise of resistance with frequency against what the wire can show: at the most that of a solid round wire of equal area, at
//! the least that of strands insulated from one another (exact solution from Bessel functions). A wire declared solid is held to
//! the solid value both ways. Words without a number are not judged.

use super::super::Context;
use super::super::bench::{Bench, Wire, say_size, size_work};
use super::super::conductor::gauge_area;
use super::super::format::{percent, with_unit};
use super::super::said::{Said, Stage};
use crate::facts::{Build, Fact, Figure, FigureKind};
use crate::physics::{Range, size};
use crate::sheet::Bound;
use crate::units::Hertz;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "skin-effect-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::with_apart(context) {
        if bench.built(Build::Foil).is_some() {
            continue;
        }
        for figure in bench.figures(FigureKind::SkinRise) {
            said.extend(judge(context, &bench, figure));
        }
    }
    said
}

struct Given<'c> {
    wire: Wire<'c>,
    frequency: Fact<Hertz>,
    rise: Range<f64>,
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> Option<Said> {
    let stated = figure.value / 100.0;
    let points = context.threshold(ID, "points");
    let mut all = Vec::new();
    for wire in bench.wires() {
        for frequency in bench.frequencies(figure.frequency, figure.span) {
            let ratio = bench.skin(size::diameter_of(wire.area.high), frequency.value);
            let thin = bench.skin(size::diameter_of(wire.area.low), frequency.value);
            all.push(Given {
                wire,
                frequency,
                rise: Range {
                    low: ratio.low.min(thin.low) - 1.0,
                    high: ratio.high.max(thin.high) - 1.0,
                },
            });
        }
    }
    let low_side = !matches!(figure.bound, Bound::AtLeast | Bound::RangeLow);
    let high_side = !matches!(figure.bound, Bound::AtMost | Bound::RangeHigh);
    let off = |given: &Given<'_>| {
        (low_side && stated < given.rise.low - points)
            || (high_side && stated > given.rise.high + points)
    };
    let distance = |given: &Given<'_>| {
        (stated - given.rise.high)
            .max(given.rise.low - stated)
            .max(0.0)
    };
    let nearest = all
        .iter()
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    let said = say(context, bench, figure, nearest, off(nearest));
    if off(nearest) {
        return Some(said);
    }
    let odd = all.iter().find(|given| {
        off(given) && gauge_area::contradict(context, bench, &given.wire, &nearest.wire)
    });
    Some(match odd {
        Some(given) => say(context, bench, figure, given, true).follows(format!(
            "the rise of “{}”, which goes with {}",
            context.quote(figure.span),
            say_size(context, nearest.wire.size)
        )),
        None => said,
    })
}

fn say(
    context: &Context<'_>,
    bench: &Bench<'_>,
    figure: &Figure,
    given: &Given<'_>,
    wrong: bool,
) -> Said {
    let quote = context.quote(figure.span);
    let frequency = with_unit(given.frequency.value.0, "Hz");
    let solid = bench.is_solid();
    let range = if solid {
        format!("{} as a solid wire", percent(given.rise.high))
    } else {
        format!(
            "{} (strands insulated from one another) to {} (one solid wire of that area)",
            percent(given.rise.low.max(0.0)),
            percent(given.rise.high)
        )
    };
    let size = say_size(context, given.wire.size);
    let base = if wrong {
        Said::finding(context, ID)
            .message(format!(
                "A rise of resistance of “{quote}” at {frequency} is outside what {size} can show: {range}."
            ))
            .help("Ask for the resistance at 0 Hz and at that frequency, of one length measured with one bridge.")
    } else {
        Said::confirmed(context, ID).message(format!(
            "A rise of resistance of “{quote}” at {frequency} agrees with {size}: {range}."
        ))
    };
    let mut work = size_work(context, given.wire.size)
        .computed(
            "d",
            "√(4·A/π), solid wire of that area",
            size::diameter_of(given.wire.area.high).0 * 1.0e3,
            "mm",
        )
        .quoted(
            context,
            "f",
            given.frequency.value.0,
            "Hz",
            given.frequency.span,
        )
        .then(bench.room_work())
        .computed(
            "k_high − 1",
            "Re[(ka/2)·J₀(ka)/J₁(ka)] − 1, solid, σ_best at t_low",
            given.rise.high,
            "",
        );
    let least = match (bench.strand(), solid) {
        (_, true) => "the same wire, of the ordinary grade at t_high",
        (Some((strand, span)), _) => {
            work = work.quoted(context, "d_s", strand.0 * 1.0e3, "mm", span);
            "the same for one strand alone, of the ordinary grade at t_high"
        }
        (None, _) => "strands insulated from one another, as thin as may be",
    };
    let work = work
        .computed("k_low − 1", least, given.rise.low, "")
        .quoted(context, "rise", figure.value / 100.0, "", figure.span)
        .threshold(context, "points", ID, "points", "");
    base.of(bench.index, Stage::Effect)
        .mark(figure.span, "the rise as stated")
        .mark(given.wire.size.span, "the size")
        .mark(given.frequency.span, "the frequency")
        .mark_some(
            bench.built(Build::Solid).filter(|_| solid),
            "declared solid",
        )
        .working(work)
}
