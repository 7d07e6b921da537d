//! A stated skin depth against δ = √(ρ / (π f µ₀ µ_r)); copper where no metal is named.

use super::super::Context;
use super::super::bench::{Bench, rounding};
use super::super::format::{length, percent, with_unit};
use super::super::said::{Said, Stage, Work};
use crate::facts::{Figure, FigureKind};
use crate::physics::{Range, conductor, metal, skin};
use crate::sheet::Bound;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "skin-depth-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let mut said = Vec::new();
    for bench in Bench::with_depths(context) {
        for figure in bench.figures(FigureKind::SkinDepth) {
            said.extend(judge(context, &bench, figure));
        }
    }
    said
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> Option<Said> {
    if figure.value <= 0.0 {
        return None;
    }
    let room = bench.room();
    let tolerance = context.threshold(ID, "tolerance");
    let slack = rounding(context, figure.span);
    let mut all = Vec::new();
    for material in bench.ordinary_metals() {
        let mu_r = metal(&material.key).map_or(1.0, |known| known.mu_r);
        for at in bench.frequencies(figure.frequency, figure.span) {
            let depth = |rho| skin::depth(rho, at.value, mu_r).0;
            let range = Range {
                low: depth(material.least(room.low)),
                high: depth(material.ordinary(room.high)),
            };
            let usual = depth(material.ordinary(conductor::REFERENCE));
            all.push((material.clone(), at, range, usual));
        }
    }
    let distance = |usual: f64| (figure.value / usual).ln().abs();
    let (material, at, range, usual) = all
        .into_iter()
        .min_by(|a, b| distance(a.3).total_cmp(&distance(b.3)))?;
    let low_side = !matches!(figure.bound, Bound::AtLeast | Bound::RangeLow);
    let high_side = !matches!(figure.bound, Bound::AtMost | Bound::RangeHigh);
    let off = (low_side && figure.value * (1.0 + slack) < range.low * (1.0 - tolerance))
        || (high_side && figure.value * (1.0 - slack) > range.high * (1.0 + tolerance));
    let quote = context.quote(figure.span);
    let frequency = with_unit(at.value.0, "Hz");
    let named = match material.span {
        Some(_) => material.name.clone(),
        None => format!("{}, as no metal is named", material.name),
    };
    let work = Work::default()
        .assumed(
            "ρ",
            format!("resistivity of {} at 20 °C", material.name),
            material.ordinary(conductor::REFERENCE).0 * 1.0e6,
            "Ω·mm²/m",
        )
        .quoted(context, "f", at.value.0, "Hz", at.span)
        .computed("δ", "√(ρ / (π·f·µ₀·µ_r))", usual * 1.0e3, "mm")
        .quoted(context, "stated", figure.value * 1.0e3, "mm", figure.span)
        .threshold(context, "tolerance", ID, "tolerance", "");
    let base = if off {
        Said::finding(context, ID)
            .message(format!(
                "A skin depth of “{quote}” at {frequency} is {} off: in {named} it is {}.",
                percent((figure.value / usual - 1.0).abs()),
                length(usual),
            ))
            .help(format!(
                "{} would be right at {frequency}; ask which metal and frequency the figure is for.",
                length(usual)
            ))
    } else {
        Said::confirmed(context, ID).message(format!(
            "A skin depth of “{quote}” at {frequency} agrees: in {named} it is {}.",
            length(usual)
        ))
    };
    Some(
        base.of(bench.index, Stage::Apart)
            .mark(figure.span, "the skin depth as stated")
            .mark(at.span, "the frequency")
            .mark_some(bench.nearest(&material, figure.span), "the metal")
            .working(work),
    )
}
