//! Inductance times capacitance per length is 1/v², so it cannot lie below µ₀·ε₀, and a velocity factor cannot reach 1 (SI: c by
//! definition).

use super::super::Context;
use super::super::bench::{Bench, rounding};
use super::super::format::{percent, three, with_unit};
use super::super::said::{Said, Stage, Work};
use crate::facts::{Figure, FigureKind};
use crate::physics::{EPSILON_0, MU_0, line};
use crate::sheet::Bound;
use crate::units::{FaradPerMetre, HenryPerMetre};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "faster-than-light";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> impl Iterator<Item = Said> {
    Bench::with_depths(context).flat_map(|bench| {
        let factors = bench.figures(FigureKind::VelocityFactor);
        let factors = factors.filter_map(|figure| velocity(context, &bench, figure));
        let said: Vec<Said> = constants(context, &bench)
            .into_iter()
            .chain(factors)
            .collect();
        said
    })
}

/// Inductance and capacitance of one cable, the largest stated of each (they may hold at several frequencies).
pub(in super::super) fn largest<'c>(bench: &Bench<'c>) -> Option<(&'c Figure, &'c Figure)> {
    let largest = |kind| {
        bench
            .figures(kind)
            .filter(|figure| figure.value > 0.0)
            .max_by(|a, b| a.value.total_cmp(&b.value))
    };
    Some((
        largest(FigureKind::InductancePerLength)?,
        largest(FigureKind::CapacitancePerLength)?,
    ))
}

/// L and C of the document with the speed that they give.
pub(in super::super) fn constants_work(context: &Context<'_>, l: &Figure, c: &Figure) -> Work {
    let product = l.value * c.value;
    Work::default()
        .quoted(context, "L′", l.value * 1.0e6, "µH/m", l.span)
        .quoted(context, "C′", c.value * 1.0e12, "pF/m", c.span)
        .computed("L′·C′", "product", product * 1.0e18, "µH·pF/m²")
        .computed("v/c", "1 / (c · √(L′·C′))", factor(l, c), "")
}

fn factor(l: &Figure, c: &Figure) -> f64 {
    line::velocity_factor(HenryPerMetre(l.value), FaradPerMetre(c.value))
}

fn constants(context: &Context<'_>, bench: &Bench<'_>) -> Option<Said> {
    let (l, c) = largest(bench)?;
    let v = factor(l, c);
    let limit = context.threshold(ID, "velocity_factor");
    let least = MU_0 * EPSILON_0;
    let most =
        l.value * (1.0 + rounding(context, l.span)) * c.value * (1.0 + rounding(context, c.span));
    let open = [l, c]
        .iter()
        .any(|figure| matches!(figure.bound, Bound::AtLeast));
    let above = most * limit * limit < least;
    if (!above || open) && v < limit {
        let left_out = Said::left_out(context, ID, l.span);
        if left_out.is_some() {
            return left_out;
        }
    }
    let work = constants_work(context, l, c).computed(
        "µ₀·ε₀",
        "1/c², the least that L′·C′ can be",
        least * 1.0e18,
        "µH·pF/m²",
    );
    let base = if above && !open {
        Said::finding(context, ID)
            .message(format!(
                "“{}” and “{}” together would let the signal travel at {} times the speed of light: L′·C′ is {} µH·pF/m², and the vacuum \
                 itself has {}.",
                context.quote(l.span),
                context.quote(c.span),
                three(v),
                three(l.value * c.value * 1.0e18),
                three(least * 1.0e18),
            ))
            .help(format!(
                "With this inductance the capacitance is at least {}, with this capacitance the inductance at least {}. Ask which of the two \
                 was measured, on what length and at what frequency.",
                with_unit(least / l.value, "F/m"),
                with_unit(least / c.value, "H/m"),
            ))
    } else if v < limit {
        Said::confirmed(context, ID).message(format!(
            "“{}” and “{}” go together: they give {} of the speed of light.",
            context.quote(l.span),
            context.quote(c.span),
            percent(v),
        ))
    } else {
        return None;
    };
    Some(
        base.of(bench.index, Stage::Constants)
            .mark(l.span, "inductance")
            .mark(c.span, "capacitance")
            .working(work),
    )
}

fn velocity(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> Option<Said> {
    let limit = context.threshold(ID, "velocity_factor");
    let above = match figure.bound {
        // "Up to the speed of light" is no more than a limit.
        Bound::AtMost | Bound::RangeLow => figure.value > limit,
        _ => figure.value >= limit,
    };
    above.then(|| {
        Said::finding(context, ID)
            .of(bench.index, Stage::Apart)
            .message(format!(
                "“{}” puts the signal at {} times the speed of light; a cable has 0.4 to 0.9, depending on its insulation.",
                context.quote(figure.span),
                three(figure.value),
            ))
            .help("Ask how the velocity was measured; it follows from the insulation, 1/√εr.")
            .mark(figure.span, "velocity as stated")
            .working(
                Work::default()
                    .quoted(context, "v/c", figure.value, "", figure.span)
                    .threshold(context, "limit", ID, "velocity_factor", ""),
            )
    })
}
