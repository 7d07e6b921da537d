//! Sizes, losses and roundings in the words and the steps of a working. Makes no judgement.

use crate::checks::format::{area, length, ohms, with_unit};
use crate::checks::{Context, Work};
use crate::facts::{Figure, FigureKind, Notation, Size};
use crate::physics::{loss, size};
use crate::span::Span;
use crate::units::{Decibel, HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre};

/// The step that turns a stated size into an area.
pub(in crate::checks) fn size_work(context: &Context<'_>, stated: &Size) -> Work {
    let work = Work::default();
    let square = stated.area.0 * 1.0e6;
    match stated.notation {
        Notation::Awg => {
            let number = stated.awg.map_or(f64::NAN, f64::from);
            work.quoted(context, "n", number, "AWG", stated.span)
                .computed("A", "π/4 · (0.127 mm · 92^((36 − n)/39))²", square, "mm²")
        }
        Notation::Strands => {
            let (count, strand) = stated
                .strands
                .as_deref()
                .copied()
                .unwrap_or((0, Metre(f64::NAN)));
            work.quoted(context, "d", strand.0 * 1.0e3, "mm", stated.span)
                .computed("A", format!("{count} · π/4 · d²"), square, "mm²")
        }
        Notation::SolidDiameter => {
            let diameter = size::diameter_of(stated.area);
            work.quoted(context, "d", diameter.0 * 1.0e3, "mm", stated.span)
                .computed("A", "π/4 · d²", square, "mm²")
        }
        Notation::SquareMillimetre | Notation::CircularMil | Notation::Swg => {
            work.quoted(context, "A", square, "mm²", stated.span)
        }
    }
}

/// A stated resistance per metre: as it is, or a total over its length.
pub(in crate::checks) fn per_metre(figure: &Figure) -> Option<OhmPerMetre> {
    let value = match figure.kind {
        FigureKind::ResistancePerLength => figure.value,
        FigureKind::Resistance => figure.value / figure.length?.value.0,
        _ => return None,
    };
    (value.is_finite() && value > 0.0).then_some(OhmPerMetre(value))
}

/// Insertion loss of a run from a source without impedance into a resistance.
pub(in crate::checks) fn loss_of(
    resistance: OhmPerMetre,
    inductance: HenryPerMetre,
    length: Metre,
    load: Ohm,
    frequency: Hertz,
) -> Decibel {
    let run = loss::Run::of_line(
        resistance,
        inductance,
        crate::units::FaradPerMetre(0.0),
        length,
    );
    loss::insertion(run, Ohm(0.0), load, frequency)
}

/// A stated figure as a reader would repeat it, with its value in plain units.
pub(in crate::checks) fn say(context: &Context<'_>, figure: &Figure) -> String {
    let quote = context.quote(figure.span);
    let value = match figure.kind {
        FigureKind::ResistancePerLength => with_unit(figure.value, "Ω/m"),
        FigureKind::Resistance => match figure.length {
            Some(over) => format!(
                "{} over {}, {}",
                ohms(figure.value),
                length(over.value.0),
                with_unit(figure.value / over.value.0, "Ω/m")
            ),
            None => ohms(figure.value),
        },
        _ => return format!("“{quote}”"),
    };
    format!("“{quote}” ({value})")
}

/// A stated size as a reader would repeat it, with its area.
pub(in crate::checks) fn say_size(context: &Context<'_>, stated: &Size) -> String {
    let quote = context.quote(stated.span);
    if stated.notation == Notation::SquareMillimetre {
        format!("“{quote}”")
    } else {
        format!("“{quote}” ({})", area(stated.area.0))
    }
}

/// A gauge with one decimal, or whole when it is near one: `12 AWG`, `13.4 AWG`, `2/0 AWG`.
pub(in crate::checks) fn say_gauge(exact: f64) -> String {
    let whole = exact.round();
    if (exact - whole).abs() < 0.15 || whole <= 0.0 {
        let number = size::nearest_gauge(size::awg_area(exact));
        format!("{} AWG", size::gauge_name(number))
    } else {
        format!("{exact:.1} AWG")
    }
}

/// How far the number as written may be off by rounding, as a share of it: half of the last digit, held to the default `rounding_high`.
pub(in crate::checks) fn rounding(context: &Context<'_>, span: Span) -> f64 {
    let quote = context.quote(span);
    let number: String = quote
        .chars()
        .skip_while(|letter| !letter.is_ascii_digit())
        .take_while(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ','))
        .collect();
    let number = number.trim_end_matches(['.', ',']).replace(',', ".");
    let most = context.default("rounding_high");
    let Ok(value) = number.parse::<f64>() else {
        return 0.0;
    };
    let decimals = number
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let half = 0.5 * 10f64.powi(-i32::try_from(decimals).unwrap_or(0));
    if value > 0.0 {
        (half / value).min(most)
    } else {
        0.0
    }
}
