//! Conductor sizes: gauges back from areas, circular mils, strands, solid diameter.

use crate::gauge::AWG_36;
use crate::units::{Metre, SquareMetre};
use std::f64::consts::PI;

pub use crate::gauge::{awg_area, awg_diameter, circle, swg_diameter};

/// A mil in metres.
const MIL: f64 = 25.4e-6;

/// The thickest gauge that the tables know: 4/0.
pub const THICKEST: i32 = -3;

/// The thinnest gauge that is taken as an AWG number.
pub const THINNEST: i32 = 56;

/// The gauge, with its fraction, of a solid wire of this area; the inverse of [`awg_area`].
///
/// `area` must be above zero. Two 14 AWG together give 11.01: n − 19.5 · ln 2 / ln 92.
#[must_use]
pub fn equivalent_awg(area: SquareMetre) -> f64 {
    36.0 - 39.0 * (diameter_of(area).0 / AWG_36).ln() / 92f64.ln()
}

/// Distance of two areas in AWG steps, always positive; one step is a ratio of 1.2610.
#[must_use]
pub fn steps_between(a: SquareMetre, b: SquareMetre) -> f64 {
    (equivalent_awg(a) - equivalent_awg(b)).abs()
}

/// The thinnest size of the trade (even numbers down to 2, then 1/0 to 4/0) that is at least as thick as `awg`; `None` when 4/0 is
/// too thin. A size within a hundredth of a step counts as reached.
///
/// That the trade keeps even numbers in stock is common practice, no source.
#[must_use]
pub fn next_trade_gauge(awg: f64) -> Option<i32> {
    (THICKEST..=40)
        .rev()
        .filter(|n| *n <= 0 || n % 2 == 0)
        .find(|n| f64::from(*n) <= awg + 0.01)
}

/// The whole gauge nearest to `area`, held to the range of the table.
#[must_use]
pub fn nearest_gauge(area: SquareMetre) -> i32 {
    let exact = equivalent_awg(area);
    (THICKEST..=THINNEST)
        .min_by(|a, b| {
            (f64::from(*a) - exact)
                .abs()
                .total_cmp(&(f64::from(*b) - exact).abs())
        })
        .unwrap_or(THINNEST)
}

/// The gauge as the trade writes it: `12`, `4/0`.
#[must_use]
pub fn gauge_name(n: i32) -> String {
    if n <= 0 {
        format!("{}/0", 1 - n)
    } else {
        n.to_string()
    }
}

/// Diameter of a solid wire of this area.
#[must_use]
pub fn diameter_of(area: SquareMetre) -> Metre {
    Metre((4.0 * area.0 / PI).sqrt())
}

/// Metal area of `count` strands of one diameter (the bundle's outer diameter is larger).
#[must_use]
pub fn strands_area(count: u32, strand: Metre) -> SquareMetre {
    circle(strand) * f64::from(count)
}

/// Area of so many circular mils; one is the area of a wire of 0.001 inch.
#[must_use]
pub fn circular_mils(count: f64) -> SquareMetre {
    SquareMetre(count * PI / 4.0 * MIL * MIL)
}

/// Area of so many thousand circular mils (kcmil, once written MCM).
#[must_use]
pub fn kcmil(count: f64) -> SquareMetre {
    circular_mils(1000.0 * count)
}

/// An area in circular mils; the inverse of [`circular_mils`].
#[must_use]
pub fn in_circular_mils(area: SquareMetre) -> f64 {
    area.0 / circular_mils(1.0).0
}
