//! Two sizes for one conductor: gauge, area, circular mils, diameter and strands all give an area, and the areas must agree within
//! one AWG step (ASTM B258: a ratio of 1.261). The usual metric neighbours of a gauge lie within that.

use super::super::bench::{Bench, Wire, say_size, size_work};
use super::super::format::{area, percent, three};
use super::super::said::{Said, Stage, Work};
use super::super::{Context, Nearness};
mod two_wires;
use crate::facts::{DocumentKind, Notation};
use crate::physics::size;
use crate::sheet::BlockKind;
use crate::span::Span;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "gauge-area-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> impl Iterator<Item = Said> {
    Bench::all(context).flat_map(|bench| judge(context, &bench))
}

/// The least ratio of areas that two statements leave possible.
pub(in super::super) fn ratio(a: &Wire<'_>, b: &Wire<'_>) -> f64 {
    let larger = (a.area.low / b.area.high).max(b.area.low / a.area.high);
    larger.max(1.0)
}

/// Whether two sizes of one cable contradict each other.
pub(in super::super) fn contradict(
    context: &Context<'_>,
    bench: &Bench<'_>,
    a: &Wire<'_>,
    b: &Wire<'_>,
) -> bool {
    let limit = context.threshold(ID, "area_ratio");
    // Sizes very far apart are those of two wires, or of a wire and a strand; nobody means one wire by both.
    let other = context.threshold(ID, "other_wire_ratio");
    if !(limit..other).contains(&ratio(a, b)) || !of_one_wire(context, a, b) {
        return false;
    }
    if gathered(context, a, b) || two_wires::told(context, a.size.span, b.size.span) {
        return false;
    }
    // One of the two may be meant for all conductors of a pole.
    let said = bench.cable.parallel.map(|fact| fact.value);
    !said.is_some_and(|count| {
        let times = ratio(a, b) / f64::from(count.max(1));
        count > 1 && (1.0 / limit..=limit).contains(&times)
    })
}

/// Whether the larger of two sizes is twice or four times the smaller where words say that conductors are put together: “a pair of cores
/// gives 4 mm² each way”.
fn gathered(context: &Context<'_>, a: &Wire<'_>, b: &Wire<'_>) -> bool {
    const CLOSE: f64 = 0.06;
    let (small, large) = if a.area.low < b.area.low {
        (a, b)
    } else {
        (b, a)
    };
    let times = large.area.low / small.area.low;
    let whole = [2.0, 3.0, 4.0]
        .into_iter()
        .any(|count| (times / count - 1.0_f64).abs() <= CLOSE);
    let words = context.list("size.gathered");
    whole
        && context.sentence(large.size.span).is_some_and(|at| {
            let sentence = context.sheet.sentences[at].span;
            let mut said = sentence
                .of(context.text)
                .split(|letter: char| !letter.is_alphabetic());
            said.any(|word| words.has(&word.to_lowercase()))
        })
}

/// Whether two sizes can be statements about one wire.
///
/// In a document of several cables they must stand together: a size said elsewhere may be of another. Two sizes in one notation are
/// variants on offer unless they are two entries of the sheet of one cable.
fn of_one_wire(context: &Context<'_>, a: &Wire<'_>, b: &Wire<'_>) -> bool {
    let nearness = context.nearness(a.size.span, b.size.span);
    let one_cable = context.facts.cables.len() == 1;
    if a.size.notation == b.size.notation {
        return one_cable
            && context.facts.kind == DocumentKind::Sheet
            && nearness == Nearness::Entries;
    }
    // Running text speaks of other wires in passing; what it calls by a name is one.
    let named = context.facts.cables.iter().all(|cable| {
        cable
            .name
            .chars()
            .next()
            .is_some_and(|letter| letter.is_uppercase())
    });
    // So do the entries of a book of jobs and the points of a report, whatever the document is called.
    let entries = context.facts.cables.iter().all(|cable| !cable.named)
        && told_apart(context, a.size.span, b.size.span);
    if entries {
        return false;
    }
    let told = context.facts.kind == DocumentKind::Sheet || named || nearness < Nearness::Apart;
    one_cable && told || nearness <= Nearness::Line || nearness == Nearness::Entries
}

/// Whether two places stand in two blocks of running text, several sentences each; a cell of a table without heads that tells in so many
/// words is one as well, beside those of other tables.
fn told_apart(context: &Context<'_>, one: Span, other: Span) -> bool {
    /// Words of a cell that tells and gives no mere value.
    const TELLS: usize = 8;
    let running = |span: Span| {
        let block = context.block(span)?;
        let own = context.sheet.blocks.get(block)?;
        match own.kind() {
            BlockKind::Paragraph | BlockKind::Item => {
                (own.sentences().len() > 1).then_some((block, None))
            }
            BlockKind::Cell { table, .. } => {
                let plain = context.sheet.tables.get(table as usize)?;
                let mut words = own.span.of(context.text).split_whitespace();
                let tells = !plain.header_row && words.nth(TELLS - 1).is_some();
                tells.then_some((block, Some(table)))
            }
            _ => None,
        }
    };
    match (running(one), running(other)) {
        (Some((_, Some(first))), Some((_, Some(second)))) => first != second,
        (Some((first, _)), Some((second, _))) => first != second,
        _ => false,
    }
}

fn judge(context: &Context<'_>, bench: &Bench<'_>) -> Vec<Said> {
    let wires = bench.wires();
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for first in 0..wires.len() {
        for second in first + 1..wires.len() {
            if contradict(context, bench, &wires[first], &wires[second]) {
                pairs.push((ratio(&wires[first], &wires[second]), first, second));
            }
        }
    }
    // Three sizes of which no two agree are those of several wires that were read as one.
    let apart = (0..wires.len())
        .filter(|&index| {
            (0..index).all(|other| pairs.iter().any(|pair| (pair.1, pair.2) == (other, index)))
        })
        .count();
    if apart >= 3 {
        return Vec::new();
    }
    let Some(&(worst, first, second)) = pairs.iter().max_by(|a, b| a.0.total_cmp(&b.0)) else {
        return confirm(context, bench, &wires);
    };
    // The statement that is at odds with most of the others comes first.
    let odds = |index: usize| {
        pairs
            .iter()
            .filter(|pair| pair.1 == index || pair.2 == index)
            .count()
    };
    let (primary, other) = if odds(first) > odds(second) {
        (first, second)
    } else {
        (second, first)
    };
    let (odd, known) = (&wires[primary], &wires[other]);
    let named = context.cable_name(bench.index);
    let steps = size::steps_between(odd.size.area, known.size.area);
    let direction = if odd.size.area > known.size.area {
        "larger"
    } else {
        "smaller"
    };
    let message = format!(
        "Two sizes are given for one conductor of {named}: {} and {}. The first is {} times {direction} in area, {} AWG steps away, so \
         they cannot be the same wire.",
        say_size(context, odd.size),
        say_size(context, known.size),
        three(worst),
        three(steps),
    );
    let help = format!(
        "{} would be {}, and {} would be {}; ask the maker for the strand count and strand diameter, or for the resistance per metre at 20 °C.",
        area(odd.size.area.0),
        nearest(odd),
        area(known.size.area.0),
        nearest(known),
    );
    let mut said = Said::finding(context, ID)
        .of(bench.index, Stage::Size)
        .message(message)
        .help(help)
        .mark(odd.size.span, format!("{} by this", area(odd.size.area.0)))
        .mark(
            known.size.span,
            format!("{} by this", area(known.size.area.0)),
        );
    for &(_, a, b) in &pairs {
        for index in [a, b] {
            let wire = &wires[index];
            said = said.mark(
                wire.size.span,
                format!("{} by this", area(wire.size.area.0)),
            );
        }
    }
    vec![said.working(work(context, known, odd, worst))]
}

fn nearest(wire: &Wire<'_>) -> String {
    format!(
        "{} AWG",
        size::gauge_name(size::nearest_gauge(wire.size.area))
    )
}

fn work(context: &Context<'_>, a: &Wire<'_>, b: &Wire<'_>, ratio: f64) -> Work {
    let mut work = size_work(context, a.size).then(size_work(context, b.size));
    if [a, b]
        .iter()
        .any(|wire| wire.size.notation == Notation::SolidDiameter && wire.area.low < wire.area.high)
    {
        work = work.usual(context, "k", "bundle_fill_low", "");
    }
    work.computed("A₁/A₂", "larger area / smaller area", ratio, "")
        .threshold(context, "limit", ID, "area_ratio", "")
}

fn confirm(context: &Context<'_>, bench: &Bench<'_>, wires: &[Wire<'_>]) -> Vec<Said> {
    let Some(first) = wires.first() else {
        return Vec::new();
    };
    wires
        .iter()
        .skip(1)
        .filter(|wire| {
            let same = wire.size.notation == first.size.notation
                && (wire.size.area / first.size.area - 1.0).abs() < 1.0e-6;
            !same
                && ratio(first, wire) <= context.threshold(ID, "area_ratio")
                && !two_wires::told(context, first.size.span, wire.size.span)
        })
        .map(|wire| {
            if let Some(said) = Said::left_out(context, ID, wire.size.span) {
                return said;
            }
            let off = wire.size.area / first.size.area - 1.0;
            Said::confirmed(context, ID)
                .of(bench.index, Stage::Size)
                .message(format!(
                    "{} and {} agree within one AWG step: the areas differ by {}.",
                    say_size(context, first.size),
                    say_size(context, wire.size),
                    percent(off.abs()),
                ))
                .mark(wire.size.span, area(wire.size.area.0))
                .mark(first.size.span, area(first.size.area.0))
                .working(work(context, first, wire, ratio(first, wire)))
        })
        .collect()
}
