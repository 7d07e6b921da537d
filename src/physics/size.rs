//! Conductor sizes: American Wire Gauge, circular mils, Standard Wire Gauge, strands, solid diameter.

use crate::units::{Metre, SquareMetre};
use std::f64::consts::PI;

/// Diameter of AWG 36: 0.005 inch.
const AWG_36: f64 = 0.127e-3;

/// An inch in metres.
const INCH: f64 = 25.4e-3;

/// A mil in metres.
const MIL: f64 = 25.4e-6;

/// The thickest gauge that the tables know: 4/0.
pub const THICKEST: i32 = -3;

/// The thinnest gauge that is taken as an AWG number.
pub const THINNEST: i32 = 56;

/// Diameter of a solid wire of gauge `n`; 0, −1, −2, −3 are 1/0 to 4/0, and fractions lie between.
///
/// d = 0.127 mm · 92^((36 − n)/39), ASTM B258. Exact by definition; the printed tables round to 0.1 mil, which moves
/// the resistance of wires down to 30 AWG by up to 0.7 %.
#[must_use]
pub fn awg_diameter(n: f64) -> Metre {
    Metre(AWG_36 * 92f64.powf((36.0 - n) / 39.0))
}

/// Area of a solid wire of gauge `n` (see [`awg_diameter`]).
///
/// ```
/// use claimgauge::physics::size;
/// // ASTM B258: 10 AWG has 5.261 mm².
/// let area = size::awg_area(10.0);
/// assert!((area.0 * 1.0e6 - 5.261).abs() < 0.001);
/// ```
#[must_use]
pub fn awg_area(n: f64) -> SquareMetre {
    circle(awg_diameter(n))
}

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

/// Area of a wire of this diameter.
#[must_use]
pub fn circle(diameter: Metre) -> SquareMetre {
    SquareMetre(PI / 4.0 * diameter.0 * diameter.0)
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

/// Diameters of the (British) Standard Wire Gauge in thousandths of an inch, from 7/0 (number −6) to 50.
///
/// BS 3737:1964, from memory; the table has no formula.
const SWG_MILS: [f64; 57] = [
    500.0, 464.0, 432.0, 400.0, 372.0, 348.0, 324.0, 300.0, 276.0, 252.0, 232.0, 212.0, 192.0,
    176.0, 160.0, 144.0, 128.0, 116.0, 104.0, 92.0, 80.0, 72.0, 64.0, 56.0, 48.0, 40.0, 36.0, 32.0,
    28.0, 24.0, 22.0, 20.0, 18.0, 16.4, 14.8, 13.6, 12.4, 11.6, 10.8, 10.0, 9.2, 8.4, 7.6, 6.8,
    6.0, 5.2, 4.8, 4.4, 4.0, 3.6, 3.2, 2.8, 2.4, 2.0, 1.6, 1.2, 1.0,
];

/// Diameter of a wire of the Standard Wire Gauge; 0 is 1/0, −6 is 7/0. `None` outside 7/0 to 50.
#[must_use]
pub fn swg_diameter(n: i32) -> Option<Metre> {
    let index = usize::try_from(n + 6).ok()?;
    SWG_MILS.get(index).map(|mils| Metre(mils / 1000.0 * INCH))
}
