//! Resistance of conductors at 0 Hz, and what a stated resistance would fit.

use super::{IACS, size};
use crate::units::{
    Celsius, KilogramPerCubicMetre, KilogramPerMetre, Metre, Ohm, OhmMetre, OhmPerMetre, PerKelvin,
    SquareMetre,
};

/// The temperature to which resistivities refer.
pub const REFERENCE: Celsius = Celsius(20.0);

/// Factor from 20 °C to `temperature`: 1 + α₂₀ · (t − 20).
///
/// The linear law of IEC 60028, good from about −50 to 200 °C. (IEC 60228 prints 250/(230 + t) for copper, up to 0.3 % away.)
#[must_use]
pub fn temperature_factor(alpha20: PerKelvin, temperature: Celsius) -> f64 {
    1.0 + alpha20.0 * (temperature - REFERENCE).0
}

/// Temperature coefficient referred to another temperature: α = α₂₀ / (1 + α₂₀ · (t − 20)).
#[must_use]
pub fn coefficient_at(alpha20: PerKelvin, temperature: Celsius) -> PerKelvin {
    PerKelvin(alpha20.0 / temperature_factor(alpha20, temperature))
}

/// The temperature at which a conductor has `factor` times its resistance of 20 °C; the inverse of [`temperature_factor`].
#[must_use]
pub fn temperature_for(alpha20: PerKelvin, factor: f64) -> Celsius {
    REFERENCE + Celsius((factor - 1.0) / alpha20.0)
}

/// Resistivity at a temperature.
#[must_use]
pub fn resistivity_at(rho20: OhmMetre, alpha20: PerKelvin, temperature: Celsius) -> OhmMetre {
    rho20 * temperature_factor(alpha20, temperature)
}

/// Resistance of one conductor per metre of cable: ρ · lay / A.
///
/// `lay` is the length of the strands over the length of the cable: 1 for a solid wire, 1.01 to 1.04 for strands (NEC Chapter 9
/// Table 8 comes out at 1.02). `resistivity` is the one at the temperature in question; `area` must be above zero.
#[must_use]
pub fn resistance_per_metre(resistivity: OhmMetre, area: SquareMetre, lay: f64) -> OhmPerMetre {
    OhmPerMetre(resistivity.0 * lay / area.0)
}

/// The area that has this resistance per metre; the inverse of [`resistance_per_metre`].
#[must_use]
pub fn area_for(resistivity: OhmMetre, resistance: OhmPerMetre, lay: f64) -> SquareMetre {
    SquareMetre(resistivity.0 * lay / resistance.0)
}

/// Resistance there and back of a cable of this length, one way: 2 · R′ · l.
///
/// ```
/// use claimgauge::physics::{IACS, conductor};
/// use claimgauge::units::{Metre, SquareMetre};
/// // 1 mm² of copper of 100 % IACS has 1/58 Ω/m (IEC 60028); 10 m of cable are 20 m of it.
/// let one = conductor::resistance_per_metre(IACS, SquareMetre(1.0e-6), 1.0);
/// assert!((conductor::loop_resistance(one, Metre(10.0)).0 - 20.0 / 58.0).abs() < 1.0e-12);
/// ```
#[must_use]
pub fn loop_resistance(one_conductor: OhmPerMetre, length: Metre) -> Ohm {
    Ohm(2.0 * one_conductor.0 * length.0)
}

/// Conductivity in per cent of the International Annealed Copper Standard.
#[must_use]
pub fn iacs_percent(rho20: OhmMetre) -> f64 {
    100.0 * (IACS / rho20)
}

/// Resistivity at 20 °C of a conductivity in per cent IACS; the inverse of [`iacs_percent`].
#[must_use]
pub fn resistivity_of_iacs(percent: f64) -> OhmMetre {
    IACS * (100.0 / percent)
}

/// Mass of a conductor per metre of cable.
#[must_use]
pub fn mass_per_metre(
    density: KilogramPerCubicMetre,
    area: SquareMetre,
    lay: f64,
) -> KilogramPerMetre {
    KilogramPerMetre(density.0 * area.0 * lay)
}

/// The gauge, with its fraction, of plain copper (100 % IACS, 20 °C, no lay) that one conductor of this resistance would be.
#[must_use]
pub fn copper_gauge_of(one_conductor: OhmPerMetre) -> f64 {
    size::equivalent_awg(area_for(IACS, one_conductor, 1.0))
}
