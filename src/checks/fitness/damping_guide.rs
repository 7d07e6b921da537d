//! Damping factor that the cable alone allows for a use that the document offers. Both guide values are common practice, without a
//! source.

use super::super::Context;
use super::super::bench::Bench;
use super::super::format::{length, ohms, three};
use super::super::said::{Said, Stage};
use crate::facts::{Fact, LoadKind};
use crate::finding::Level;
use crate::physics::{IACS, conductor, loss, size};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use crate::units::{Metre, Ohm, OhmPerMetre};
use std::collections::BTreeMap;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "damping-under-guide";

/// A use into a loudspeaker, with both its length and its load.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    /// One way.
    pub(super) length: Fact<Metre>,
    /// Nominal load.
    pub(super) load: Fact<Ohm>,
    /// The words that offer it.
    pub(super) span: Span,
}

/// Uses of a cable that can be judged.
pub(super) fn runs(bench: &Bench<'_>) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for offered in &bench.cable.uses {
        let Some(length) = offered.length.filter(|length| length.value.0 > 0.0) else {
            continue;
        };
        let loads = match offered.load {
            Some(load) if load.value.kind == LoadKind::Loudspeaker => load
                .value
                .impedance
                .map(|value| load.with(value))
                .into_iter()
                .collect(),
            Some(_) => Vec::new(),
            None => bench.loudspeakers(),
        };
        for load in loads.into_iter().filter(|load| load.value.0 > 0.0) {
            let same = |run: &Run| {
                (run.length.value / length.value - 1.0).abs() < 1.0e-6
                    && (run.load.value / load.value - 1.0).abs() < 1.0e-6
            };
            if !runs.iter().any(same) {
                runs.push(Run {
                    length,
                    load,
                    span: offered.span,
                });
            }
        }
    }
    runs
}

/// One finding for the uses offered in one block, the worst one first; confirmations stay apart.
pub(super) fn folded(
    context: &Context<'_>,
    mut judged: Vec<(Run, f64, Said)>,
) -> impl Iterator<Item = Judged> {
    judged.sort_by(|a, b| b.1.total_cmp(&a.1));
    let block = |run: &Run| context.block(run.span);
    let mut kept: Vec<(Option<usize>, Judged)> = Vec::new();
    for (run, excess, said) in judged {
        let place = block(&run);
        let counted = |said: &Said| said.finding.level.is_some();
        let known = kept
            .iter_mut()
            .find(|(other, first)| *other == place && counted(&first.said) && counted(&said));
        match known {
            Some((_, first)) => {
                for mark in [run.length.span, run.load.span] {
                    also(&mut first.said, mark, "offered as well");
                }
            }
            None => kept.push((place, Judged { run, excess, said })),
        }
    }
    kept.into_iter().map(|(_, judged)| judged)
}

/// What is said of a use, and by how much it is over its guide; the more the worse.
pub(super) struct Judged {
    run: Run,
    excess: f64,
    said: Said,
}

/// Marks words as well, unless they are marked.
fn also(said: &mut Said, span: Span, label: &str) {
    let marks = &mut said.finding.marks;
    if !marks.iter().any(|known| known.span == span) {
        marks.push(crate::finding::Mark {
            span,
            label: label.to_owned(),
        });
    }
}

/// One finding of a level for each chart of longest runs, that of the worst of them; `remark` goes behind its help. What stands in no
/// chart stays as it is.
pub(super) fn by_chart(context: &Context<'_>, judged: Vec<Judged>, remark: &str) -> Vec<Said> {
    /// Fewer runs than these are told one by one.
    const FEWEST: usize = 2;
    let chart = |judged: &Judged| {
        let level = judged.said.finding.level?;
        Some((chart_of(context, &judged.run)?, level))
    };
    let mut charts: BTreeMap<(u32, Level), Vec<Judged>> = BTreeMap::new();
    let mut said = Vec::new();
    for judged in judged {
        match chart(&judged) {
            Some(key) => charts.entry(key).or_default().push(judged),
            None => said.push(judged.said),
        }
    }
    for mut runs in charts.into_values() {
        if runs.len() < FEWEST {
            said.extend(runs.into_iter().map(|judged| judged.said));
            continue;
        }
        // The first of those that are as bad.
        let worst = (runs.iter().enumerate().rev())
            .max_by(|a, b| a.1.excess.total_cmp(&b.1.excess))
            .map_or(0, |(at, _)| at);
        let count = runs.len();
        let mut told = runs.remove(worst).said;
        told.finding.message.push_str(&format!(
            " It is the furthest off of {count} runs in this chart of which the same holds."
        ));
        told.finding.help.push_str(remark);
        for other in &runs {
            also(&mut told, other.run.span, "the same holds");
        }
        said.push(told);
    }
    said
}

/// The table that a run stands in.
fn chart_of(context: &Context<'_>, run: &Run) -> Option<u32> {
    let block = context.sheet.blocks.get(context.block(run.span)?)?;
    match block.kind() {
        BlockKind::Cell { table, .. } => Some(table),
        _ => None,
    }
}

/// Whether the words over a chart say what it was worked out for, and that is more than the budget of the loss: “for a loop of 5 % of
/// the load”. What is too long there is told once, by the loss.
fn worked_for(context: &Context<'_>, table: u32) -> bool {
    const LOSS: &str = "loss-over-budget";
    let sheet = context.sheet;
    let budget = context.threshold(LOSS, "budget_db");
    let Some(first) = sheet
        .tables
        .get(table as usize)
        .and_then(|table| table.cells.iter().flatten().flatten().min().copied())
    else {
        return false;
    };
    let cell = sheet.blocks.get(first);
    let over = [
        first.checked_sub(1),
        cell.and_then(|cell| cell.lead()),
        cell.and_then(|cell| cell.section()),
    ];
    let spans = over
        .into_iter()
        .flatten()
        .filter_map(|at| sheet.blocks.get(at));
    spans.map(|block| block.span).any(|span| {
        let from = (sheet.quantities).partition_point(|own| own.span.start() < span.start());
        let mut told =
            (sheet.quantities[from..].iter()).take_while(|own| own.span.start() < span.end());
        told.any(|own| match (own.kind, own.number.get()) {
            (Kind::Percent, Some(share)) => 20.0 * (1.0 + share / 100.0).log10() > budget,
            (Kind::LevelDb, Some(loss)) => loss > budget,
            _ => false,
        })
    })
}

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut all = Vec::new();
    let mut charts: BTreeMap<u32, bool> = BTreeMap::new();
    for bench in Bench::offering(context) {
        let judged = runs(&bench)
            .into_iter()
            .filter(|run| {
                chart_of(context, run).is_none_or(|chart| {
                    let told = charts.entry(chart);
                    !*told.or_insert_with(|| worked_for(context, chart))
                })
            })
            .filter_map(|run| judge(context, &bench, &run).map(|(df, said)| (run, -df, said)))
            .collect();
        all.extend(folded(context, judged));
    }
    by_chart(context, all, "")
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, run: &Run) -> Option<(f64, Said)> {
    let factor = |per_metre: OhmPerMetre| {
        loss::damping_factor(
            Ohm(per_metre.0 * run.length.value.0),
            Ohm(0.0),
            run.load.value,
        )
    };
    // The statement that is kindest to the cable.
    let source = bench
        .sources_for_run(run.length)
        .into_iter()
        .min_by(|a, b| a.resistance.low.0.total_cmp(&b.resistance.low.0))?;
    let best = factor(source.resistance.low);
    let worst = factor(source.resistance.high);
    let low = context.threshold(ID, "warning_below");
    let high = context.threshold(ID, "note_below");
    let conditions = format!(
        "{} of “{}” into {}",
        length(run.length.value.0),
        context.quote(source.span),
        ohms(run.load.value.0)
    );
    let said = if best < high {
        let (guide, level) = if best < low {
            (low, Level::Warning)
        } else {
            (high, Level::Note)
        };
        let area = size::equivalent_awg(conductor::area_for(
            IACS,
            OhmPerMetre(run.load.value.0 / guide / 2.0 / run.length.value.0),
            1.0,
        ));
        let advice = match size::next_trade_gauge(area) {
            Some(trade) => format!(
                "The smallest copper gauge that reaches {} at this length and load is {} AWG; a shorter run does as well.",
                three(guide),
                size::gauge_name(trade)
            ),
            None => "No gauge up to 4/0 AWG will do at this length and load; shorten the run."
                .to_owned(),
        };
        Said::finding(context, ID)
            .level(level)
            .message(format!(
                "{conditions} holds the damping factor at the loudspeaker to {} at the most, whatever the amplifier; common practice \
                 asks for {}.",
                three(best),
                three(guide)
            ))
            .help(advice)
    } else if worst >= high && !bench.cable.is_joined_by_count() {
        Said::confirmed(context, ID).message(format!(
            "{conditions} allows a damping factor of {} or more; common practice asks for {}.",
            three(worst),
            three(high)
        ))
    } else {
        return None;
    };
    let cable = run.load.value.0 / best;
    let work = bench
        .source_work(&source)
        .quoted(context, "l", run.length.value.0, "m", run.length.span)
        .computed("R_loop", "R′_low · l", cable, "Ω")
        .quoted(context, "R_L", run.load.value.0, "Ω", run.load.span)
        .computed("DF_max", "R_L / R_loop", best, "")
        .computed("DF_min", "R_L / (R′_high · l)", worst, "")
        .threshold(context, "warning", ID, "warning_below", "")
        .threshold(context, "note", ID, "note_below", "");
    let said = said
        .of(bench.index, Stage::Apart)
        .mark(run.span, "the use that is offered")
        .mark(source.span, "size or resistance")
        .mark(run.length.span, "the length")
        .mark(run.load.span, "the load")
        .working(work);
    Some((best, said))
}
