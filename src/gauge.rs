//! Wire gauges, which are numbers for diameters: the American by its formula, the British by its table. Knows no documents and no
//! metals.

use crate::units::{Metre, SquareMetre};
use std::f64::consts::FRAC_PI_4;

/// Diameter of AWG 36: 0.005 inch.
pub(crate) const AWG_36: f64 = 0.127e-3;

/// Diameter of a solid wire of American gauge `n`; 0, −1, −2, −3 are 1/0 to 4/0, and fractions lie between.
///
/// d = 0.127 mm · 92^((36 − n)/39), ASTM B258. Exact by definition; the printed tables round to 0.1 mil, which moves
/// the resistance of wires down to 30 AWG by up to 0.7 %.
#[must_use]
pub fn awg_diameter(n: f64) -> Metre {
    Metre(AWG_36 * 92f64.powf((36.0 - n) / 39.0))
}

/// Area of a solid wire of American gauge `n` (see [`awg_diameter`]).
///
/// ```
/// use claimgauge::gauge;
/// // ASTM B258: 10 AWG has 5.261 mm².
/// let area = gauge::awg_area(10.0);
/// assert!((area.0 * 1.0e6 - 5.261).abs() < 0.001);
/// ```
#[must_use]
pub fn awg_area(n: f64) -> SquareMetre {
    circle(awg_diameter(n))
}

/// Area of a wire of this diameter.
#[must_use]
pub fn circle(diameter: Metre) -> SquareMetre {
    SquareMetre(FRAC_PI_4 * diameter.0 * diameter.0)
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
    let index = usize::try_from(n.checked_add(6)?).ok()?;
    SWG_MILS.get(index).map(|mils| Metre(mils * 25.4e-6))
}
