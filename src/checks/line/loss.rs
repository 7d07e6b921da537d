//! A stated insertion loss against the divider of cable and load. It must be off from every value that the rest leaves open: lay,
//! temperature, inductance, build.

use super::super::Context;
use super::super::bench::{Bench, Source, loss_of};
use super::super::format::{decibels, length, ohms, with_unit};
use super::super::said::{Said, Stage, Work};
use crate::facts::{Fact, Figure, FigureKind};
use crate::physics::Range;
use crate::sheet::Bound;
use crate::units::{HenryPerMetre, Hertz, Metre, Ohm};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "loss-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::with_apart(context) {
        for figure in bench.figures(FigureKind::Loss) {
            said.extend(judge(context, &bench, figure));
        }
    }
    said
}

/// Conditions under which a loss holds.
#[derive(Clone, Copy)]
struct Conditions {
    length: Fact<Metre>,
    load: Fact<Ohm>,
    frequency: Fact<Hertz>,
}

/// All combinations of the conditions that the document leaves possible; none when one is missing.
fn conditions(bench: &Bench<'_>, figure: &Figure) -> Vec<Conditions> {
    let mut all = Vec::new();
    for length in bench.lengths(figure.length, figure.span) {
        for load in bench.loads(figure.load, figure.span) {
            for frequency in bench.frequencies(figure.frequency, figure.span) {
                all.push(Conditions {
                    length,
                    load,
                    frequency,
                });
            }
        }
    }
    all
}

/// A statement of the document with the loss that it gives under some conditions.
struct Given {
    source: Source,
    under: Conditions,
    loss: Range<f64>,
}

fn given(bench: &Bench<'_>, source: Source, under: Conditions) -> Given {
    let inductance = bench
        .inductance()
        .map_or_else(|| bench.assumed_inductance(), |known| known.value);
    let skin = source.diameter.map_or(
        // Only a resistance is known: no skin effect at the least, that of the same copper in one wire at the most.
        Range {
            low: 1.0,
            high: bench.skin(equal_wire(&source), under.frequency.value).high,
        },
        |diameter| bench.skin(diameter, under.frequency.value),
    );
    let at = |resistance: f64, inductance: HenryPerMetre| {
        loss_of(
            crate::units::OhmPerMetre(resistance),
            inductance,
            under.length.value,
            under.load.value,
            under.frequency.value,
        )
        .0
    };
    Given {
        loss: Range {
            low: at(source.resistance.low.0 * skin.low, inductance.low),
            high: at(source.resistance.high.0 * skin.high, inductance.high),
        },
        source,
        under,
    }
}

/// Diameter of the copper wire that would have the resistance.
pub(in super::super) fn equal_wire(source: &Source) -> Metre {
    use crate::physics::{IACS, conductor, size};
    size::diameter_of(conductor::area_for(IACS, source.resistance.low / 2.0, 1.0))
}

/// Whether a load is one end of what its impedance runs through: “from 4.1 Ω to 28 Ω”. What is told under it is a difference between
/// the ends, and no loss into either.
fn runs_through(context: &Context<'_>, figure: &Figure) -> bool {
    /// Bytes on either side that are looked at.
    const BESIDE: usize = 12;
    let Some(load) = figure.load else {
        return false;
    };
    let text = context.sheet.flow.text();
    let span = load.span;
    let from = text.floor_char_boundary(span.start().saturating_sub(BESIDE));
    let to = text.ceil_char_boundary((span.end() + BESIDE).min(text.len()));
    let ahead = text.get(from..span.start()).unwrap_or("");
    let behind = text.get(span.end()..to).unwrap_or("").trim_start();
    let ohms = |words: &str| words.contains('Ω') || words.to_lowercase().contains("ohm");
    let ended = ahead.trim_end().strip_suffix(" to").is_some_and(ohms);
    let begun = behind.strip_prefix("to ").is_some_and(|next| {
        next.trim_start()
            .starts_with(|sign: char| sign.is_ascii_digit())
    });
    ended || begun && ahead.ends_with("from ")
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> Option<Said> {
    if runs_through(context, figure) {
        return None;
    }
    let conditions = conditions(bench, figure);
    let stated = figure.value.abs();
    let tolerance = |value: f64| {
        context
            .threshold(ID, "floor_db")
            .max(context.threshold(ID, "tolerance") * value)
    };
    let low_side = !matches!(figure.bound, Bound::AtLeast | Bound::RangeLow);
    let high_side = !matches!(figure.bound, Bound::AtMost | Bound::RangeHigh);
    let off = |given: &Given| {
        (low_side && stated < given.loss.low - tolerance(given.loss.low))
            || (high_side && stated > given.loss.high + tolerance(given.loss.high))
    };
    let all = |sources: Vec<Source>| -> Vec<Given> {
        sources
            .into_iter()
            .flat_map(|source| conditions.iter().map(move |under| (source.clone(), *under)))
            .map(|(source, under)| given(bench, source, under))
            .collect()
    };
    let (sizes, figures) = (bench.size_sources(), bench.figure_sources());
    let combined = conditions.len() * (sizes.len() + figures.len());
    if context.reached.too_many(combined) {
        return None;
    }
    let sizes = all(sizes);
    let figures = all(figures);
    let distance = |given: &&Given| {
        let middle = f64::midpoint(given.loss.low, given.loss.high);
        (stated / middle).ln().abs()
    };
    let any = || sizes.iter().chain(&figures);
    let nearest = any().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    let fits = any().find(|given| !off(given));
    // A size of the document that no conditions bring together with the figure.
    let odd = sizes.iter().find(|given| {
        off(given)
            && sizes
                .iter()
                .filter(|other| other.source.span == given.source.span)
                .all(off)
    });
    Some(match (fits, odd) {
        (Some(fitting), Some(_)) if any().any(off) => say(context, bench, figure, fitting, true)
            .follows(format!(
                "the loss “{}”, which goes with “{}”",
                context.quote(figure.span),
                context.quote(fitting.source.span)
            )),
        (Some(fitting), _) => say(context, bench, figure, fitting, false),
        (None, _) => say(context, bench, figure, nearest, true),
    })
}

fn say(
    context: &Context<'_>,
    bench: &Bench<'_>,
    figure: &Figure,
    given: &Given,
    wrong: bool,
) -> Said {
    let under = &given.under;
    let range = format!(
        "{} to {}",
        decibels(given.loss.low),
        decibels(given.loss.high)
    );
    let conditions = format!(
        "“{}” of “{}” into {} at {}",
        context.quote(under.length.span),
        context.quote(given.source.span),
        ohms(under.load.value.0),
        with_unit(under.frequency.value.0, "Hz"),
    );
    let quote = context.quote(figure.span);
    let base = if wrong {
        let side = if figure.value.abs() > given.loss.high {
            "more"
        } else {
            "less"
        };
        Said::finding(context, ID)
            .message(format!(
                "“{quote}” is {side} than {conditions} can lose: {range} over everything that is not stated."
            ))
            .help(format!(
                "A loss of {range} would be right for {}; ask at which length, load and frequency the figure was taken.",
                length(under.length.value.0)
            ))
    } else {
        Said::confirmed(context, ID)
            .message(format!("“{quote}” agrees: {conditions} loses {range}."))
    };
    base.of(bench.index, Stage::Effect)
        .mark(figure.span, "the loss as stated")
        .mark(given.source.span, "what it is computed from")
        .mark(under.length.span, "the length")
        .mark(under.load.span, "the load")
        .mark(under.frequency.span, "the frequency")
        .working(work(context, bench, figure, given))
}

fn work(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure, given: &Given) -> Work {
    let under = &given.under;
    let frequency = under.frequency.value;
    let diameter = given
        .source
        .diameter
        .unwrap_or_else(|| equal_wire(&given.source));
    let skin = bench.skin(diameter, frequency);
    let mut work = bench
        .source_work(&given.source)
        .quoted(context, "f", frequency.0, "Hz", under.frequency.span)
        .computed("k_low", "R(f)/R(0) at the least", skin.low, "")
        .computed(
            "k_high",
            "R(f)/R(0), solid wire of that size, σ_best at t_low",
            skin.high,
            "",
        );
    work = match bench.inductance() {
        Some(known) => work.quoted(
            context,
            "L′",
            known.value.high.0 * 1.0e6,
            "µH/m",
            known.span,
        ),
        None => work
            .usual(context, "L′_low", "inductance_low", "H/m")
            .usual(context, "L′_high", "inductance_high", "H/m"),
    };
    work.quoted(context, "l", under.length.value.0, "m", under.length.span)
        .quoted(context, "R_L", under.load.value.0, "Ω", under.load.span)
        .computed(
            "a_low",
            "20 · log10 |1 + (k_low·R′_low + jωL′_low)·l / R_L|",
            given.loss.low,
            "dB",
        )
        .computed(
            "a_high",
            "20 · log10 |1 + (k_high·R′_high + jωL′_high)·l / R_L|",
            given.loss.high,
            "dB",
        )
        .quoted(context, "a", figure.value.abs(), "dB", figure.span)
        .threshold(context, "floor", ID, "floor_db", "dB")
        .threshold(context, "tolerance", ID, "tolerance", "")
}

/// What is missing to judge a loss, in words.
pub(in super::super) fn missing(bench: &Bench<'_>, figure: &Figure) -> Vec<&'static str> {
    let mut missing = Vec::new();
    if bench.lengths(figure.length, figure.span).is_empty() {
        missing.push("the length");
    }
    if bench.loads(figure.load, figure.span).is_empty() {
        missing.push("the load");
    }
    if bench.frequencies(figure.frequency, figure.span).is_empty() {
        missing.push("the frequency");
    }
    missing
}
