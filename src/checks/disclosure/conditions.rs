//! A loss without its conditions: length, load and frequency decide it. (What a comparison or a listening test leaves out is said with
//! the comparisons.)

use super::super::Context;
use super::super::bench::Bench;
use super::super::line::loss;
use super::super::said::{Said, Stage};
use crate::facts::FigureKind;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "conditions-unstated";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::all(context) {
        for figure in bench.figures(FigureKind::Loss) {
            let mut missing = loss::missing(&bench, figure);
            if bench.sources_for_use().is_empty() {
                missing.push("the conductor size");
            }
            if missing.is_empty() {
                continue;
            }
            said.push(
                Said::finding(context, ID)
                    .of(bench.index, Stage::Apart)
                    .message(format!(
                        "The loss “{}” cannot be recomputed: {} not stated.",
                        context.quote(figure.span),
                        listed(&missing)
                    ))
                    .help(format!("Ask for {}.", joined(&missing)))
                    .mark(figure.span, "a loss without its conditions"),
            );
        }
    }
    said
}

fn joined(parts: &[&str]) -> String {
    match parts.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}

fn listed(parts: &[&str]) -> String {
    let verb = if parts.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", joined(parts))
}
