//! Characteristic impedance √(L/C) and velocity 1/√(LC) against the inductance and capacitance that the sheet gives itself. Both hold
//! well above the audio band, so a figure said to hold at an audio frequency is left alone. Where all three stand under one frequency
//! it may be that of the other two; resistance makes the impedance higher there and the velocity lower, never the other way.

use super::super::Context;
use super::super::bench::{Bench, rounding};
use super::super::format::{ohms, percent, three};
use super::super::said::{Said, Stage};
use super::faster_than_light::constants_work;
use crate::facts::{Figure, FigureKind};
use crate::physics::line;
use crate::sheet::Bound;
use crate::units::{FaradPerMetre, HenryPerMetre};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "line-constants-mismatch";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> impl Iterator<Item = Said> {
    Bench::with_depths(context).flat_map(|bench| {
        let kinds = [
            FigureKind::CharacteristicImpedance,
            FigureKind::VelocityFactor,
        ];
        let figures = kinds.into_iter().flat_map(|kind| bench.figures(kind));
        let said = figures.filter_map(|figure| judge(context, &bench, figure));
        said.collect::<Vec<_>>()
    })
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> Option<Said> {
    let audio = context.default("audio_top");
    let low_band = figure.frequency.filter(|at| at.value.0 <= audio);
    let shared = low_band.is_some_and(|at| {
        let others = [
            FigureKind::InductancePerLength,
            FigureKind::CapacitancePerLength,
        ];
        others.into_iter().all(|kind| {
            let mut known = bench.figures(kind);
            known.any(|other| other.frequency.is_some_and(|own| own.span == at.span))
        })
    });
    if low_band.is_some() && !shared || figure.value <= 0.0 {
        return None;
    }
    // Constants may be stated at several frequencies: the pair that comes nearest speaks for the sheet.
    let stands = |figure: &&Figure| figure.value > 0.0;
    let inductances = bench
        .figures(FigureKind::InductancePerLength)
        .filter(stands);
    let pairs = inductances.flat_map(|l| {
        bench
            .figures(FigureKind::CapacitancePerLength)
            .filter(stands)
            .map(move |c| (l, c))
    });
    let gives = |l: &Figure, c: &Figure| {
        let (l, c) = (HenryPerMetre(l.value), FaradPerMetre(c.value));
        match figure.kind {
            FigureKind::CharacteristicImpedance => line::lossless_impedance(l, c).0,
            _ => line::velocity_factor(l, c),
        }
    };
    let off = |given: f64| (figure.value / given - 1.0).abs();
    let (l, c) = pairs.min_by(|a, b| off(gives(a.0, a.1)).total_cmp(&off(gives(b.0, b.1))))?;
    let given = gives(l, c);
    let tolerance = context.threshold(ID, "tolerance");
    // √(L/C) and 1/√(LC) take half of the rounding of each; the figure has its own.
    let slack = 0.5 * (rounding(context, l.span) + rounding(context, c.span))
        + rounding(context, figure.span);
    let ratio = figure.value / given;
    let reach = 1.0 + tolerance;
    let low = (1.0 - tolerance) * (1.0 - slack);
    let outside = match figure.bound {
        Bound::AtMost | Bound::RangeHigh => ratio < low,
        Bound::AtLeast | Bound::RangeLow => ratio > reach * (1.0 + slack),
        _ => ratio < low || ratio > reach * (1.0 + slack),
    };
    let lossy = match figure.kind {
        FigureKind::CharacteristicImpedance => ratio > 1.0,
        _ => ratio < 1.0,
    };
    if shared && outside && lossy {
        return None;
    }
    let (symbol, expression, unit, what) = match figure.kind {
        FigureKind::CharacteristicImpedance => ("Z₀", "√(L′/C′)", "Ω", "characteristic impedance"),
        _ => ("v/c", "1 / (c · √(L′·C′))", "", "velocity"),
    };
    let value = |value: f64| match figure.kind {
        FigureKind::CharacteristicImpedance => ohms(value),
        _ => format!("{} of that of light", percent(value)),
    };
    let work = constants_work(context, l, c)
        .computed(symbol, expression, given, unit)
        .quoted(context, "stated", figure.value, unit, figure.span)
        .computed("stated/given − 1", "off by", ratio - 1.0, "")
        .threshold(context, "tolerance", ID, "tolerance", "");
    // What agrees with two that cannot both be is not confirmed by them.
    let impossible = l.value * c.value < crate::physics::MU_0 * crate::physics::EPSILON_0;
    if impossible && !outside {
        return None;
    }
    let base = if outside {
        let found = Said::finding(context, ID)
            .message(format!(
                "“{}” does not go with “{}” and “{}”, which give a {what} of {}: {} times that is stated.",
                context.quote(figure.span),
                context.quote(l.span),
                context.quote(c.span),
                value(given),
                three(ratio),
            ))
            .help(format!(
                "The stated inductance and capacitance give {}; ask on what length and at which frequency each of the three was measured.",
                value(given)
            ));
        if impossible && figure.value < 1.0 {
            found.follows(format!(
                "the {what} “{}”, which the two do not give",
                context.quote(figure.span)
            ))
        } else {
            found
        }
    } else {
        Said::confirmed(context, ID).message(format!(
            "“{}” agrees with “{}” and “{}”, which give a {what} of {}.",
            context.quote(figure.span),
            context.quote(l.span),
            context.quote(c.span),
            value(given),
        ))
    };
    Some(
        base.of(bench.index, Stage::Effect)
            .mark(figure.span, format!("{what} as stated"))
            .mark(l.span, "inductance")
            .mark(c.span, "capacitance")
            .working(work),
    )
}
