//! The cable as a line: inductance and capacitance from its geometry, characteristic impedance, speed and delay.

use super::{EPSILON_0, LIGHT, MU_0, Range};
use crate::units::{
    FaradPerMetre, HenryPerMetre, Hertz, Metre, MetrePerSecond, Ohm, OhmPerMetre, Second,
};
use num_complex::Complex64;
use std::f64::consts::PI;

/// Inductance of a metre of loop (both conductors) that ordinary loudspeaker cables show, from close twisted or flat builds to
/// conductors well apart; the assumption where nothing is stated. Common practice, no source; a pair of round wires
/// in contact at 20 kHz has about 0.2 to 0.6, one with a spacing of ten diameters 1.3.
pub const LOOP_INDUCTANCE: Range<HenryPerMetre> = Range {
    low: HenryPerMetre(0.2e-6),
    high: HenryPerMetre(1.0e-6),
};

/// Constants of a pair per metre of cable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    /// Inductance of the loop by the field outside the conductors.
    pub external_inductance: HenryPerMetre,
    /// Capacitance between the two.
    pub capacitance: FaradPerMetre,
}

/// Two equal parallel round wires in a uniform dielectric: L = (µ₀/π) · acosh(D/d), C = π ε₀ ε_r / acosh(D/d).
///
/// `spacing` D is from centre to centre; `None` when it is not above the diameter, so that the wires would overlap. The field
/// outside the wires alone, current on their surface (found in any text on transmission lines); the logarithm often seen,
/// ln(2D/d), is up to 6 % high at close spacing. A real pair has air round its insulation, so the true capacitance lies between
/// the values for ε_r of air and of the insulation.
///
/// ```
/// use claimgauge::{physics::line, units::Metre};
/// let pair = line::two_wire(Metre(2.0e-3), Metre(4.0e-3), 1.0).expect("wires side by side");
/// // acosh 2 = 1.317: 527 nH and 21.1 pF for each metre.
/// assert!((pair.external_inductance.0 - 527e-9).abs() < 1e-9);
/// ```
#[must_use]
pub fn two_wire(diameter: Metre, spacing: Metre, permittivity: f64) -> Option<Constants> {
    let ratio = spacing / diameter;
    if !(ratio > 1.0 && ratio.is_finite()) {
        return None;
    }
    let shape = ratio.acosh();
    Some(Constants {
        external_inductance: HenryPerMetre(MU_0 / PI * shape),
        capacitance: FaradPerMetre(PI * EPSILON_0 * permittivity / shape),
    })
}

/// Coaxial conductors: L = (µ₀/2π) · ln(D/d), C = 2π ε₀ ε_r / ln(D/d), D being the inner diameter of the outer conductor.
///
/// `None` when D is not above d. IEC 60287-1-1 writes the capacitance as ε_r / (18 ln(D/d)) nF/m, 0.14 % lower.
#[must_use]
pub fn coaxial(inner: Metre, outer: Metre, permittivity: f64) -> Option<Constants> {
    let ratio = outer / inner;
    if !(ratio > 1.0 && ratio.is_finite()) {
        return None;
    }
    let shape = ratio.ln();
    Some(Constants {
        external_inductance: HenryPerMetre(MU_0 / (2.0 * PI) * shape),
        capacitance: FaradPerMetre(2.0 * PI * EPSILON_0 * permittivity / shape),
    })
}

/// A twisted pair, and how much longer its wires are than the cable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twisted {
    /// Constants per metre of cable.
    pub constants: Constants,
    /// Wire length over cable length, 1 or more: √(1 + (π D n)²).
    pub lay: f64,
    /// Permittivity that the field sees, between air and the insulation.
    pub effective_permittivity: f64,
}

/// A pair of insulated wires twisted together `turns` times a metre.
///
/// L and C of two parallel wires, each per metre of wire, times the length of the helix; ε_eff = 1 + q (ε_r − 1) with q = 0.25 +
/// 0.0004 θ², θ the pitch angle in degrees (P. Lefferson, IEEE Transactions on Parts, Hybrids and Packaging 7, 1971, for
/// soft insulation; from memory), held to 1 at the most. `None` as in [`two_wire`].
#[must_use]
pub fn twisted(
    diameter: Metre,
    spacing: Metre,
    permittivity: f64,
    turns_per_metre: f64,
) -> Option<Twisted> {
    let slope = PI * spacing.0 * turns_per_metre;
    let angle = slope.atan().to_degrees();
    let share = (0.25 + 0.0004 * angle * angle).min(1.0);
    let effective = 1.0 + share * (permittivity - 1.0);
    let lay = slope.hypot(1.0);
    let straight = two_wire(diameter, spacing, effective)?;
    Some(Twisted {
        constants: Constants {
            external_inductance: straight.external_inductance * lay,
            capacitance: straight.capacitance * lay,
        },
        lay,
        effective_permittivity: effective,
    })
}

/// Characteristic impedance without loss: √(L/C).
///
/// It holds where ωL is well above R, some 100 kHz and up for loudspeaker cables. At audio frequencies R rules, and the impedance
/// is complex, larger and falls with frequency: see [`impedance_at`].
#[must_use]
pub fn lossless_impedance(inductance: HenryPerMetre, capacitance: FaradPerMetre) -> Ohm {
    Ohm((inductance.0 / capacitance.0).sqrt())
}

/// Characteristic impedance at a frequency, in ohms, with the leakage left out: √((R + jωL)/(jωC)).
///
/// `loop_resistance` is per metre of cable, both conductors. `frequency` and `capacitance` must be above zero.
#[must_use]
pub fn impedance_at(
    loop_resistance: OhmPerMetre,
    inductance: HenryPerMetre,
    capacitance: FaradPerMetre,
    frequency: Hertz,
) -> Complex64 {
    let omega = 2.0 * PI * frequency.0;
    (Complex64::new(loop_resistance.0, omega * inductance.0)
        / Complex64::new(0.0, omega * capacitance.0))
    .sqrt()
}

/// Speed on the line where ωL is well above R: 1/√(LC).
#[must_use]
pub fn speed(inductance: HenryPerMetre, capacitance: FaradPerMetre) -> MetrePerSecond {
    MetrePerSecond(1.0 / (inductance.0 * capacitance.0).sqrt())
}

/// Speed over that of light in free space. Above 1 no such line can exist: L·C would lie below µ₀·ε₀.
#[must_use]
pub fn velocity_factor(inductance: HenryPerMetre, capacitance: FaradPerMetre) -> f64 {
    speed(inductance, capacitance) / LIGHT
}

/// Velocity factor in a uniform dielectric that is not magnetic: 1/√ε_r.
#[must_use]
pub fn velocity_factor_in(permittivity: f64) -> f64 {
    1.0 / permittivity.sqrt()
}

/// Time of travel at a speed given as a share of that of light.
#[must_use]
pub fn delay(length: Metre, velocity_factor: f64) -> Second {
    Second(length.0 / (LIGHT.0 * velocity_factor))
}
