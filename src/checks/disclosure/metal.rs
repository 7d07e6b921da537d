//! A resistance without a metal: the two sizes that fit it, in copper and in clad aluminium, are two gauges apart.

use super::super::Context;
use super::super::bench::per_metre;
use super::super::said::{Said, Stage};
use crate::facts::FigureKind;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "metal-unstated";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    context
        .cables()
        .filter(|(_, cable)| cable.metals.is_empty())
        .filter_map(|(index, cable)| {
            let figure = cable.figures.iter().find(|figure| {
                let kind = matches!(
                    figure.kind,
                    FigureKind::Resistance | FigureKind::ResistancePerLength
                );
                kind && !figure.denied && (per_metre(figure).is_some() || figure.value > 0.0)
            })?;
            Some(
                Said::finding(context, ID)
                    .of(index, Stage::Apart)
                    .message(format!(
                        "“{}” is stated for {}, and no metal: the figure means one size in copper and another, two gauges larger, in copper-clad \
                         aluminium.",
                        context.quote(figure.span),
                        context.cable_name(index)
                    ))
                    .help("Ask for the metal of the conductor.")
                    .mark(figure.span, "a resistance without a metal"),
            )
        })
        .collect()
}
