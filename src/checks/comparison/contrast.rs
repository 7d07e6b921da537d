//! Sides that the document tells apart by words alone (the left one and the right one, yours and mine) and that differ in length,
//! load or drive. Levels of drives: 10 lg of powers, 20 lg of voltages.

use super::super::sides::NO_LOUDSPEAKER;
use super::super::{Context, Said, Work, format};
use super::drive::apart_work;
use crate::facts::{Apart, Comparison, Contrast, Fact, Trait};
use crate::physics::metal;
use crate::span::Span;

pub(in crate::checks) const RULES: &[&str] = &[GAUGE, LENGTH, METAL, LOAD, DRIVE];
const GAUGE: &str = "unequal-gauge";
const LENGTH: &str = "unequal-length";
const METAL: &str = "unequal-metal";
const LOAD: &str = "unequal-load";
const DRIVE: &str = "unequal-drive";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said: Vec<Said> = Vec::new();
    let mut rules: Vec<&str> = Vec::new();
    for contrast in &context.facts.contrasts {
        let rule = match contrast.of {
            Apart::Values(Trait::Size, _) => GAUGE,
            Apart::Values(Trait::Length, _) => LENGTH,
            Apart::Values(Trait::Load | Trait::Lamp, _) | Apart::Gear(Trait::Load, _) => LOAD,
            Apart::Values(Trait::Power | Trait::Voltage, _) | Apart::Gear(..) => DRIVE,
            Apart::Metals(_) => METAL,
        };
        if rules.contains(&rule) || owned(context, contrast, rule) {
            continue;
        }
        let one = match &contrast.of {
            Apart::Values(of, values) => judge(context, contrast, *of, *values, rule),
            Apart::Metals(metals) => judge_metals(context, contrast, metals),
            Apart::Gear(_, gear) => Some(judge_gear(context, contrast, *gear, rule)),
        };
        if let Some(one) = one {
            rules.push(rule);
            said.push(one);
        }
    }
    said
}

/// Whether two cables of a comparison have such a value of their own: then its check judges it. Metals that are none of theirs are
/// told of another test.
fn owned(context: &Context<'_>, contrast: &Contrast, rule: &str) -> bool {
    let of_another = |comparison: &Comparison| {
        let Apart::Metals(metals) = &contrast.of else {
            return false;
        };
        let cables =
            (comparison.sides.iter()).filter_map(|side| context.facts.cables.get(side.cable));
        let mut known = cables.flat_map(|cable| &cable.metals);
        !known.any(|fact| metals.iter().any(|metal| metal.span.overlaps(fact.span)))
    };
    let comparisons = context.facts.comparisons.iter();
    comparisons
        .filter(|one| !of_another(one))
        .any(|comparison| {
            let known = comparison.sides.iter().filter(|side| {
                let cable = context.facts.cables.get(side.cable);
                match rule {
                    GAUGE => cable.is_some_and(|cable| cable.effective_area().is_some()),
                    LENGTH => cable.is_some_and(|cable| cable.length().is_some()),
                    METAL => cable.is_some_and(|cable| cable.metal().is_some()),
                    LOAD => side.load.is_some() || side.load_words.is_some(),
                    _ => side.drive.is_some() || side.drive_words.is_some(),
                }
            });
            known.count() >= 2
        })
}

fn judge(
    context: &Context<'_>,
    contrast: &Contrast,
    of: Trait,
    [a, b]: [Fact<f64>; 2],
    rule: &str,
) -> Option<Said> {
    let [first, second] = names(context, contrast);
    let (quote_a, quote_b) = (context.quote(a.span), context.quote(b.span));
    let ratio = (a.value / b.value).max(b.value / a.value);
    let (symbol, unit, scale) = match of {
        Trait::Size => ("A", "mm²", 1e6),
        Trait::Length => ("l", "m", 1.0),
        Trait::Load => ("Z", "Ω", 1.0),
        Trait::Lamp | Trait::Power => ("P", "W", 1.0),
        Trait::Voltage => ("V", "V", 1.0),
    };
    let work = Work::default()
        .quoted(
            context,
            format!("{symbol}_1"),
            a.value * scale,
            unit,
            a.span,
        )
        .quoted(
            context,
            format!("{symbol}_2"),
            b.value * scale,
            unit,
            b.span,
        );
    let (message, work) = match of {
        Trait::Size => {
            let kind = |fact: &Fact<f64>| {
                fact.quantity()
                    .and_then(|index| context.sheet.quantities.get(index))
                    .map(|quantity| quantity.kind)
            };
            // A gauge beside a nominal section may be its usual near-equivalent.
            let limit = if kind(&a) == kind(&b) {
                context.threshold(GAUGE, "area_ratio")
            } else {
                context.threshold("gauge-area-mismatch", "area_ratio")
            };
            if ratio <= limit {
                return None;
            }
            let message = format!(
                "Of the two sides {first} is “{quote_a}” and {second} “{quote_b}”: one has {} times the conductor area of the other, which comes before any other explanation of the outcome.",
                format::three(ratio),
            );
            let work = work
                .computed("A_max / A_min", "largest over smallest area", ratio, "1")
                .threshold(context, "limit", GAUGE, "area_ratio", "1");
            (message, work)
        }
        Trait::Length => {
            if ratio - 1.0 <= context.threshold(LENGTH, "tolerance") {
                return None;
            }
            let message = format!(
                "Of the two sides {first} has “{quote_a}” and {second} “{quote_b}” of cable: the longer is {} longer.",
                format::percent(ratio - 1.0),
            );
            let work = work
                .computed("l_max / l_min", "longest over shortest", ratio, "1")
                .threshold(context, "tolerance", LENGTH, "tolerance", "1");
            (message, work)
        }
        Trait::Load | Trait::Lamp => {
            if ratio - 1.0 <= context.threshold(LENGTH, "tolerance") {
                return None;
            }
            let lamp = if of == Trait::Lamp {
                NO_LOUDSPEAKER
            } else {
                ""
            };
            let message = format!(
                "Of the two sides {first} fed “{quote_a}” and {second} “{quote_b}”: the loads differ, so the outcome cannot be laid to the cables.{lamp}",
            );
            (message, work)
        }
        Trait::Power | Trait::Voltage => {
            let apart = if of == Trait::Power {
                10.0 * ratio.log10()
            } else {
                20.0 * ratio.log10()
            };
            if apart <= context.threshold("levels-unmatched", "tolerance_db") {
                return None;
            }
            let message = format!(
                "Of the two sides {first} was driven with “{quote_a}”, {second} with “{quote_b}”: up to {} apart before any cable comes in.",
                format::decibels(apart),
            );
            let work = work.then(apart_work(context, apart));
            (message, work)
        }
    };
    let help = match of {
        Trait::Size => format!(
            "Repeat it with both sides of “{quote_a}” and of one length, or credit the outcome to the size."
        ),
        Trait::Length => {
            let shorter = if a.value < b.value { quote_a } else { quote_b };
            format!("Repeat it with both sides “{shorter}” long.")
        }
        Trait::Load | Trait::Lamp => format!("Repeat it with both sides into “{quote_a}”."),
        Trait::Power | Trait::Voltage => {
            format!("Repeat it with both sides driven with “{quote_a}” by one source.")
        }
    };
    let said = Said::finding(context, rule)
        .message(message)
        .help(help)
        .working(work);
    Some(marked(said, contrast, [(a.span, first), (b.span, second)]))
}

/// What the two sides are called; of one that has no words of its own the amount is all that is told.
fn names(context: &Context<'_>, contrast: &Contrast) -> [String; 2] {
    let amounts = match &contrast.of {
        Apart::Values(_, values) => values.map(|fact| fact.span),
        Apart::Metals([a, b]) => [a.span, b.span],
        Apart::Gear(_, spans) => *spans,
    };
    let [first, second] = contrast.sides;
    [(first, amounts[0]), (second, amounts[1])].map(|(side, amount)| {
        if side == amount {
            "the other".to_owned()
        } else {
            format!("“{}”", context.quote(side))
        }
    })
}

/// Two sides of different metal, by nominal conductivity.
fn judge_metals(
    context: &Context<'_>,
    contrast: &Contrast,
    metals: &[Fact<&'static str>; 2],
) -> Option<Said> {
    let [first, second] = names(context, contrast);
    let [a, b] = metals;
    let (one, other) = (metal(a.value)?.iacs(), metal(b.value)?.iacs());
    let ratio = (one / other).max(other / one);
    if ratio - 1.0 <= context.threshold(METAL, "tolerance") {
        return None;
    }
    let name = |fact: &Fact<&'static str>| fact.value.replace('-', " ");
    let message = format!(
        "Of the two sides {first} is {} and {second} {}: {} more conductivity at the same size ({} against {} % IACS). The outcome is credited to something else.",
        name(a),
        name(b),
        format::percent(ratio - 1.0),
        format::three(one.max(other)),
        format::three(one.min(other)),
    );
    let mut work = Work::default();
    for (symbol, fact, iacs) in [("γ_1", a, one), ("γ_2", b, other)] {
        work = work.table(
            symbol,
            name(fact),
            iacs,
            "% IACS",
            &format!("metals.{}", fact.value),
        );
    }
    let work = work
        .computed("γ_max / γ_min", "best over worst", ratio, "1")
        .threshold(context, "tolerance", METAL, "tolerance", "1");
    let said = Said::finding(context, METAL).message(message).working(work);
    Some(marked(said, contrast, [(a.span, first), (b.span, second)]))
}

/// Two sides of which each had gear of its own.
fn judge_gear(
    context: &Context<'_>,
    contrast: &Contrast,
    gear: [Span; 2],
    rule: &'static str,
) -> Said {
    let [first, second] = names(context, contrast);
    let [one, other] = gear.map(|span| context.quote(span));
    let message = if rule == LOAD {
        format!(
            "Of the two sides {first} fed “{one}” and {second} “{other}”: the loads differ, so the outcome cannot be laid to the cables."
        )
    } else {
        format!(
            "Of the two sides {first} was driven by “{one}”, {second} by “{other}”: the drive differs, so the outcome cannot be laid to the cables."
        )
    };
    let said = Said::finding(context, rule).message(message);
    marked(said, contrast, [(gear[0], first), (gear[1], second)])
}

/// With the words of both sides and the outcome.
fn marked(mut said: Said, contrast: &Contrast, sides: [(Span, String); 2]) -> Said {
    for (span, side) in sides {
        said = said.mark(span, side);
    }
    said.mark_some(contrast.outcome, "the outcome")
}
