//! A stated conductivity against the metal: the purest copper ends near 103 % IACS, silver near 108, aluminium near 65 (IEC 60028; Matula
//! 1979). That oxygen-free copper conducts so much better than ordinary copper is said in words and matched by the rule file.

use super::super::Context;
use super::super::bench::{Bench, CLAD, COPPER, SILVER};
use super::super::format::three;
use super::super::said::{Said, Stage, Work};
use crate::facts::FigureKind;
use crate::finding::{Level, Stance};
use crate::physics::conductor::iacs_percent;
use crate::sheet::Bound;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "conductivity-above-metal";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::all(context) {
        for figure in bench.figures(FigureKind::Conductivity) {
            let limits = bench.best_metals().into_iter().map(|metal| {
                let (limit, cited) = match metal.key.as_str() {
                    COPPER => (context.threshold(ID, "copper_iacs"), "copper_iacs"),
                    SILVER => (context.threshold(ID, "silver_iacs"), "silver_iacs"),
                    "aluminium" => (context.threshold(ID, "aluminium_iacs"), "aluminium_iacs"),
                    CLAD => (metal.best, ""),
                    _ => (
                        crate::physics::metal(&metal.key)
                            .map_or(f64::NAN, |known| iacs_percent(known.rho20_low)),
                        "",
                    ),
                };
                (metal, limit, cited)
            });
            let Some((metal, limit, cited)) = limits.max_by(|a, b| a.1.total_cmp(&b.1)) else {
                continue;
            };
            let source = if cited.is_empty() {
                "metals".to_owned()
            } else {
                format!("{ID}.{cited}")
            };
            let name = match metal.span {
                Some(_) => metal.name.clone(),
                None => format!("{}, the best there is, as no metal is named", metal.name),
            };
            let work = Work::default()
                .quoted(context, "σ", figure.value, "% IACS", figure.span)
                .table("σ_max", name.clone(), limit, "% IACS", &source);
            let quote = context.quote(figure.span);
            let above = figure.value > limit && figure.bound != Bound::RangeLow;
            // Where the words of its sentence claim it, deny it or ask, the claim is judged as such.
            let judged = context.sentence(figure.span).is_some_and(|at| {
                context.claims.iter().any(|claim| {
                    claim.rule == ID
                        && claim.stance != Stance::Reported
                        // What its words leave open, its figure tells.
                        && claim.stands != Some(false)
                        && claim.sentences.contains(&at)
                })
            });
            if above && judged {
                continue;
            }
            let base = if above {
                let found = Said::finding(context, ID).message(format!(
                    "“{quote}” is more than the metal has: {name} ends near {} % IACS, and the figure is {} points above.",
                    three(limit),
                    three(figure.value - limit),
                ));
                // A guarantee of "at most" is true of any wire.
                if figure.bound == Bound::AtMost {
                    found.level(Level::Note)
                } else {
                    found
                }
            } else if figure.bound == Bound::AtMost
                || metal.span.is_none()
                || figure.value < metal.plain * 0.95
            {
                continue;
            } else {
                Said::confirmed(context, ID).message(format!(
                    "“{quote}” is possible: {name} ends near {} % IACS.",
                    three(limit),
                ))
            };
            said.push(
                base.of(bench.index, Stage::Apart)
                    .mark(figure.span, "the conductivity as stated")
                    .mark_some(metal.span, "the metal")
                    .working(work),
            );
        }
    }
    said
}
