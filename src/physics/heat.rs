//! Heating: current, current density, and a rough bound on the rise of temperature.

use crate::units::{
    Ampere, AmperePerSquareMetre, Celsius, Kelvin, Metre, OhmPerMetre, PerKelvin, SquareMetre,
};
use std::f64::consts::PI;

/// What must stand beside every figure of this module.
pub const CAUTION: &str = "a rough bound for a cable in free air; the local wiring code and the cable's listing decide, and \
                           fixed wiring is work for licensed people";

/// Heat that a thin wire gives to still air by convection and radiation, W/(m²·K): about 10 to 20; the low end is taken, which makes the
/// rise large. From memory (texts on heat transfer).
pub const STILL_AIR: f64 = 10.0;

/// Current over the area of one pole.
#[must_use]
pub fn current_density(current: Ampere, area: SquareMetre) -> AmperePerSquareMetre {
    AmperePerSquareMetre(current.0 / area.0)
}

/// Rise above the surroundings in the steady state, at the most: I² R′ / (h π d), with the resistance at the higher temperature.
///
/// The bare conductor in still air (h of [`STILL_AIR`]), so that insulation, whose surface is larger, comes out cooler; a cable in
/// a bundle, under carpet or in thermal insulation can be hotter than this. Solved with R′ · (1 + α ΔT); `None` when it would run
/// away. `resistance` is one conductor's per metre at `surroundings`, `coefficient` referred to the same temperature.
///
/// ```
/// use claimgauge::{physics::heat, units::{Ampere, Metre, OhmPerMetre, PerKelvin}};
/// // 14 AWG copper with 5 A: a few kelvins.
/// let rise = heat::rise(Ampere(5.0), OhmPerMetre(8.28e-3), Metre(1.63e-3), PerKelvin(0.00393));
/// assert!(rise.is_some_and(|rise| (1.0..10.0).contains(&rise.0)));
/// ```
#[must_use]
pub fn rise(
    current: Ampere,
    resistance: OhmPerMetre,
    diameter: Metre,
    coefficient: PerKelvin,
) -> Option<Kelvin> {
    let cold = current.0 * current.0 * resistance.0 / (STILL_AIR * PI * diameter.0);
    let room = 1.0 - cold * coefficient.0;
    (room > 0.0).then(|| Kelvin(cold / room))
}

/// The temperature after a rise.
#[must_use]
pub fn after(surroundings: Celsius, rise: Kelvin) -> Celsius {
    Celsius(surroundings.0 + rise.0)
}
