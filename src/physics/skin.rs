//! Skin effect in a solid round wire, exact; what that says about strands; proximity of the return wire, as a published
//! approximation with its range.

use super::{MU_0, Range, size};
use crate::units::{HenryPerMetre, Hertz, Metre, OhmMetre, OhmPerMetre, SquareMetre};
use num_complex::Complex64;
use std::f64::consts::{PI, SQRT_2};

/// Resistance and internal inductance of a round wire against their values at 0 Hz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratios {
    /// R at the frequency over R at 0 Hz, 1 or more.
    pub resistance: f64,
    /// Internal inductance at the frequency over that at 0 Hz, 1 or less.
    pub inductance: f64,
}

/// Below this argument the power series is exact to the last digit of a double.
const SERIES_UP_TO: f64 = 0.1;

/// Above this argument the asymptotic series is exact to the last digits of a double.
const ASYMPTOTIC_FROM: f64 = 300.0;

/// The ratios for the argument x = a · √(ω µ σ), a being the radius: x = √2 · a / δ.
///
/// Z / R₀ = (ka/2) · J₀(ka) / J₁(ka) with ka = x · e^(−jπ/4); the real part is the resistance ratio, and 8/x² times the
/// imaginary part the inductance ratio. A round wire far from others, with the field of a wire of infinite length (E. B.
/// Rosa and F. W. Grover, Bulletin of the Bureau of Standards 8, 1912; NBS Circular 74, 1924). `x` is taken without its
/// sign. Below 0.1 the power series and above 300 the asymptotic series (DLMF 10.40) are used, so that nothing overflows.
#[must_use]
pub fn ratios(x: f64) -> Ratios {
    let x = x.abs();
    if x < SERIES_UP_TO {
        return series(x);
    }
    let impedance = if x < ASYMPTOTIC_FROM {
        bessel(x).unwrap_or_else(|| asymptotic(x))
    } else {
        asymptotic(x)
    };
    Ratios {
        resistance: impedance.re,
        inductance: 8.0 * impedance.im / (x * x),
    }
}

/// (z/2) · J₀(z)/J₁(z) = 1 − z²/8 − z⁴/192 − z⁶/3072 − z⁸/46080 − …, with z² = −j x².
fn series(x: f64) -> Ratios {
    let fourth = x.powi(4);
    Ratios {
        resistance: 1.0 + fourth / 192.0 - fourth * fourth / 46_080.0,
        inductance: 1.0 - fourth / 384.0,
    }
}

fn bessel(x: f64) -> Option<Complex64> {
    let z = Complex64::from_polar(x, -PI / 4.0);
    // Both carry the same factor exp(−|Im z|), which the quotient drops.
    let zero = complex_bessel::besselj_scaled(0.0, z).ok()?;
    let one = complex_bessel::besselj_scaled(1.0, z).ok()?;
    let impedance = z / 2.0 * zero / one;
    (impedance.re.is_finite() && impedance.im.is_finite()).then_some(impedance)
}

/// (w/2) · I₀(w)/I₁(w) for large w = x · e^(jπ/4), from the quotient of the two asymptotic series.
fn asymptotic(x: f64) -> Complex64 {
    let w = Complex64::from_polar(x, PI / 4.0);
    let inverse = w.inv();
    // I₀/I₁ = 1 + 1/(2w) + 3/(8w²) + 3/(8w³) + 63/(128w⁴) + …
    let quotient =
        1.0 + inverse * (0.5 + inverse * (0.375 + inverse * (0.375 + inverse * (63.0 / 128.0))));
    w / 2.0 * quotient
}

/// The argument x = a · √(2π f µ₀ µ_r / ρ) of [`ratios`] for a wire of this diameter.
#[must_use]
pub fn argument(diameter: Metre, resistivity: OhmMetre, frequency: Hertz, mu_r: f64) -> f64 {
    diameter.0 / 2.0 * (2.0 * PI * frequency.0 * MU_0 * mu_r / resistivity.0).sqrt()
}

/// The ratios of a solid wire that is not magnetic.
///
/// ```
/// use claimgauge::{physics::{IACS, skin}, units::{Hertz, Metre}};
/// // A wire much thinner than the skin depth, 0.47 mm at 20 kHz, keeps its resistance.
/// let thin = skin::solid(Metre(0.2e-3), IACS, Hertz(20e3));
/// assert!((1.0..1.001).contains(&thin.resistance));
/// ```
#[must_use]
pub fn solid(diameter: Metre, resistivity: OhmMetre, frequency: Hertz) -> Ratios {
    ratios(argument(diameter, resistivity, frequency, 1.0))
}

/// Skin depth δ = √(ρ / (π f µ₀ µ_r)); infinite at 0 Hz.
#[must_use]
pub fn depth(resistivity: OhmMetre, frequency: Hertz, mu_r: f64) -> Metre {
    Metre((resistivity.0 / (PI * frequency.0 * MU_0 * mu_r)).sqrt())
}

/// Skin depth over radius turned into the argument of [`ratios`]: x = √2 · a/δ.
#[must_use]
pub fn argument_of_depths(radius_over_depth: f64) -> f64 {
    SQRT_2 * radius_over_depth
}

/// What a conductor of this area can show: from strands that are insulated from one another (each a solid wire of its own)
/// to the solid wire of equal area. Bare strands in contact lie between the two; where, depends on oxide, pressure and lay, and no
/// formula gives it. With `strand` unknown the lower end is that of infinitely fine strands, a ratio of 1.
///
/// The lower end holds for strands that change places along the cable, so that each carries the same current.
#[must_use]
pub fn bounds(
    area: SquareMetre,
    strand: Option<Metre>,
    resistivity: OhmMetre,
    frequency: Hertz,
) -> Range<f64> {
    let high = solid(size::diameter_of(area), resistivity, frequency).resistance;
    let low = strand.map_or(1.0, |strand| {
        solid(strand, resistivity, frequency).resistance
    });
    Range {
        low: low.min(high),
        high,
    }
}

/// Internal inductance of one round conductor: µ₀/(8π) = 50 nH/m at 0 Hz, times the ratio of [`ratios`].
#[must_use]
pub fn internal_inductance(inductance_ratio: f64) -> HenryPerMetre {
    HenryPerMetre(MU_0 / (8.0 * PI) * inductance_ratio)
}

/// How the conductors lie for [`proximity`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrangement {
    /// Two cores, or two single-core cables.
    Two,
    /// Three single-core cables of a three-phase system.
    Three,
}

/// The rise of resistance by the field of the neighbour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proximity {
    /// To be added to the ratio of the wire alone: R = R₀ · (1 + y_s + y_p).
    pub factor: f64,
    /// The argument x_p.
    pub x: f64,
    /// Whether x_p is within the range of the formula.
    pub in_range: bool,
}

impl Proximity {
    /// Upper end of the range of x_p.
    pub const LIMIT: f64 = 2.8;

    /// What may be said of the factor.
    #[must_use]
    pub fn statement(&self) -> &'static str {
        if self.in_range {
            "IEC 60287-1-1 approximation, made for mains frequencies, within its range (x_p up to 2.8)"
        } else {
            "outside the range of the IEC 60287-1-1 approximation (x_p up to 2.8): an order of magnitude only"
        }
    }
}

/// Proximity factor y_p of IEC 60287-1-1 for round conductors (k_p = 1).
///
/// x_p² = 8π f · 10⁻⁷ / R₀′ (R₀′ the resistance of one conductor per metre at its temperature), F = x_p⁴/(192 + 0.8 x_p⁴).
/// Two cores: y_p = 2.9 · F · (d/s)². Three: y_p = F · (d/s)² · [0.312 (d/s)² + 1.18/(F + 0.27)]. The standard gives
/// it for x_p up to 2.8 and power cables at mains frequency; the result says whether it is within. The two-core form is from
/// memory, the three-core form agrees with the case of CIGRE Technical Brochure 880.
#[must_use]
pub fn proximity(
    resistance: OhmPerMetre,
    diameter: Metre,
    spacing: Metre,
    frequency: Hertz,
    arrangement: Arrangement,
) -> Proximity {
    let x = (8.0 * PI * frequency.0 * 1.0e-7 / resistance.0).sqrt();
    let f = x.powi(4) / (192.0 + 0.8 * x.powi(4));
    let closeness = (diameter / spacing).powi(2);
    let factor = match arrangement {
        Arrangement::Two => 2.9 * f * closeness,
        Arrangement::Three => f * closeness * (0.312 * closeness + 1.18 / (f + 0.27)),
    };
    Proximity {
        factor,
        x,
        in_range: x <= Proximity::LIMIT,
    }
}
