//! Sides that the document tells apart by words alone (the left one and the right one, yours and mine) and that differ in length,
//! load or drive. Levels of drives: 10 lg of powers, 20 lg of voltages.

use super::super::{Context, Said, Work, format};
use super::drive::apart_work;
use crate::facts::{Contrast, Trait};

pub(in crate::checks) const RULES: &[&str] = &[LENGTH, LOAD, DRIVE];
const LENGTH: &str = "unequal-length";
const LOAD: &str = "unequal-load";
const DRIVE: &str = "unequal-drive";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let contrasts = &context.facts.contrasts;
    let told = contrasts
        .iter()
        .filter(|contrast| !owned(context, contrast.of));
    let mut said: Vec<Said> = Vec::new();
    let mut rules: Vec<&str> = Vec::new();
    for contrast in told {
        let rule = match contrast.of {
            Trait::Length => LENGTH,
            Trait::Load | Trait::Lamp => LOAD,
            Trait::Power | Trait::Voltage => DRIVE,
        };
        if rules.contains(&rule) {
            continue;
        }
        if let Some(one) = judge(context, contrast, rule) {
            rules.push(rule);
            said.push(one);
        }
    }
    said
}

/// Whether two cables of a comparison have such a value of their own: then their check judges it.
fn owned(context: &Context<'_>, of: Trait) -> bool {
    context.facts.comparisons.iter().any(|comparison| {
        let known = comparison.sides.iter().filter(|side| match of {
            Trait::Length => context
                .facts
                .cables
                .get(side.cable)
                .is_some_and(|cable| cable.length().is_some()),
            Trait::Load | Trait::Lamp => side.load.is_some() || side.load_words.is_some(),
            Trait::Power | Trait::Voltage => side.drive.is_some() || side.drive_words.is_some(),
        });
        known.count() >= 2
    })
}

fn judge(context: &Context<'_>, contrast: &Contrast, rule: &str) -> Option<Said> {
    let [a, b] = contrast.values;
    let [first, second] = contrast.sides.map(|span| context.quote(span));
    let (quote_a, quote_b) = (context.quote(a.span), context.quote(b.span));
    let ratio = (a.value / b.value).max(b.value / a.value);
    let (symbol, unit) = match contrast.of {
        Trait::Length => ("l", "m"),
        Trait::Load => ("Z", "Ω"),
        Trait::Lamp | Trait::Power => ("P", "W"),
        Trait::Voltage => ("V", "V"),
    };
    let work = Work::default()
        .quoted(context, &format!("{symbol}_1"), a.value, unit, a.span)
        .quoted(context, &format!("{symbol}_2"), b.value, unit, b.span);
    let (message, work) = match contrast.of {
        Trait::Length => {
            if ratio - 1.0 <= context.threshold(LENGTH, "tolerance") {
                return None;
            }
            let message = format!(
                "Of the two sides “{first}” has “{quote_a}” and “{second}” “{quote_b}” of cable: the longer is {} longer.",
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
            let message = format!(
                "Of the two sides “{first}” fed “{quote_a}” and “{second}” “{quote_b}”: the loads differ, so the outcome cannot be laid to the cables.",
            );
            (message, work)
        }
        Trait::Power | Trait::Voltage => {
            let apart = if contrast.of == Trait::Power {
                10.0 * ratio.log10()
            } else {
                20.0 * ratio.log10()
            };
            if apart <= context.threshold("levels-unmatched", "tolerance_db") {
                return None;
            }
            let message = format!(
                "Of the two sides “{first}” was driven with “{quote_a}”, “{second}” with “{quote_b}”: up to {} apart before any cable comes in.",
                format::decibels(apart),
            );
            let work = work.then(apart_work(context, apart));
            (message, work)
        }
    };
    let said = Said::finding(context, rule)
        .message(message)
        .working(work)
        .mark(a.span, format!("“{first}”"))
        .mark(b.span, format!("“{second}”"));
    Some(said.mark_some(contrast.outcome, "the outcome"))
}
