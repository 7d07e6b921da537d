//! What arrives at the loudspeaker: the divider of source, cable and load; damping factor; power left in the cable.

use crate::units::{
    Ampere, Decibel, Farad, FaradPerMetre, Henry, HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre,
    Volt, Watt,
};
use num_complex::Complex64;
use std::f64::consts::PI;

/// A run of cable as a whole, at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Resistance there and back, at the frequency.
    pub resistance: Ohm,
    /// Inductance of the loop, at the frequency.
    pub inductance: Henry,
    /// Capacitance between the conductors; at audio frequencies it moves the loss into a
    /// loudspeaker by less than a thousandth of a decibel, and may be left at zero.
    pub capacitance: Farad,
}

impl Run {
    /// A run of resistance alone.
    #[must_use]
    pub fn of_resistance(resistance: Ohm) -> Self {
        Self {
            resistance,
            inductance: Henry(0.0),
            capacitance: Farad(0.0),
        }
    }

    /// From values per metre of cable (loop) and a length.
    #[must_use]
    pub fn of_line(
        resistance: OhmPerMetre,
        inductance: HenryPerMetre,
        capacitance: FaradPerMetre,
        length: Metre,
    ) -> Self {
        Self {
            resistance: Ohm(resistance.0 * length.0),
            inductance: Henry(inductance.0 * length.0),
            capacitance: Farad(capacitance.0 * length.0),
        }
    }
}

/// Voltage at the load over the voltage of the source, complex.
///
/// The exact line with evenly spread R, L and C:
/// 1/[cosh θ · (1 + Z_S/Z_L) + Z · sinhc θ / Z_L + Z_S · Y · sinhc θ], with Z = R + jωL, Y = jωC, θ² = Z·Y and
/// sinhc θ = sinh θ / θ (the ABCD parameters of any text on transmission lines). With C = 0 it is the divider
/// Z_L/(Z_S + R + jωL + Z_L). `load` must not be zero.
#[must_use]
pub fn gain(run: Run, source: Complex64, load: Complex64, frequency: Hertz) -> Complex64 {
    let omega = 2.0 * PI * frequency.0;
    let series = Complex64::new(run.resistance.0, omega * run.inductance.0);
    let shunt = Complex64::new(0.0, omega * run.capacitance.0);
    let square = series * shunt;
    let (cosh, sinhc) = hyperbolic(square);
    (cosh * (1.0 + source / load) + series * sinhc / load + source * shunt * sinhc).inv()
}

/// cosh θ and sinh θ / θ from θ².
fn hyperbolic(square: Complex64) -> (Complex64, Complex64) {
    if square.norm() < 0.01 {
        let cosh = 1.0
            + square / 2.0 * (1.0 + square / 12.0 * (1.0 + square / 30.0 * (1.0 + square / 56.0)));
        let sinhc = 1.0
            + square / 6.0 * (1.0 + square / 20.0 * (1.0 + square / 42.0 * (1.0 + square / 72.0)));
        (cosh, sinhc)
    } else {
        let root = square.sqrt();
        (root.cosh(), root.sinh() / root)
    }
}

/// A voltage ratio as a loss: −20 log₁₀ of its size, positive when something is lost.
#[must_use]
pub fn decibels(gain: Complex64) -> Decibel {
    Decibel(-20.0 * gain.norm().log10())
}

/// Loss from the voltage of the source to the load, source impedance included: −20 log₁₀ |V_load / V_source|.
#[must_use]
pub fn from_source(run: Run, source: Ohm, load: Ohm, frequency: Hertz) -> Decibel {
    decibels(gain(run, source.0.into(), load.0.into(), frequency))
}

/// Insertion loss: the level at the load without the cable against that with it, same source.
#[must_use]
pub fn insertion(run: Run, source: Ohm, load: Ohm, frequency: Hertz) -> Decibel {
    let without = Ohm(0.0);
    from_source(run, source, load, frequency)
        - from_source(Run::of_resistance(without), source, load, frequency)
}

/// Insertion loss of resistance alone, source without impedance: 20 log₁₀(1 + R/R_L).
///
/// 0.2 dB is a resistance of 2.33 % of the load, a damping factor of the cable alone near 43; a damping factor of 50 is 0.172 dB.
///
/// ```
/// use claimgauge::{physics::loss, units::Ohm};
/// // A voltage divider of 1 Ω and 1 Ω halves the voltage: 20 log₁₀ 2.
/// assert!((loss::resistive(Ohm(1.0), Ohm(1.0)).0 - 6.0206).abs() < 1.0e-4);
/// ```
#[must_use]
pub fn resistive(resistance: Ohm, load: Ohm) -> Decibel {
    Decibel(20.0 * (resistance / load).ln_1p() / std::f64::consts::LN_10)
}

/// Insertion loss of inductance alone, source without impedance: 10 log₁₀(1 + (ωL/R_L)²).
#[must_use]
pub fn inductive(inductance: Henry, load: Ohm, frequency: Hertz) -> Decibel {
    let ratio = 2.0 * PI * frequency.0 * inductance.0 / load.0;
    Decibel(10.0 * (ratio * ratio).ln_1p() / std::f64::consts::LN_10)
}

/// The resistance that loses so much into a load by itself; the inverse of [`resistive`].
#[must_use]
pub fn resistance_for(loss: Decibel, load: Ohm) -> Ohm {
    load * (loss.0 / 20.0 * std::f64::consts::LN_10).exp_m1()
}

/// Response ripple over a load whose impedance swings between two resistances: how much more is lost at the lower one.
#[must_use]
pub fn ripple(resistance: Ohm, lowest: Ohm, highest: Ohm) -> Decibel {
    resistive(resistance, lowest) - resistive(resistance, highest)
}

/// Damping factor at the loudspeaker's end: load over everything in series with it; infinite without resistance.
///
/// With `source` at zero it is that of the cable alone. The ratio of the rated load to the source impedance (term of IEC 60268-3,
/// from memory).
#[must_use]
pub fn damping_factor(loop_resistance: Ohm, source: Ohm, load: Ohm) -> f64 {
    load / (loop_resistance + source)
}

/// Output impedance of an amplifier from its damping factor at a load.
#[must_use]
pub fn source_of_damping(damping_factor: f64, load: Ohm) -> Ohm {
    load / damping_factor
}

/// The share of the power delivered by the source that stays in the cable: R / (R + R_L).
#[must_use]
pub fn lost_share(loop_resistance: Ohm, load: Ohm) -> f64 {
    loop_resistance / (loop_resistance + load)
}

/// Power left in the cable when a source rated for `power` into the load drives it with the voltage of that rating.
///
/// V² = P · R_L, so that P_cable = V² · R/(R + R_L)².
#[must_use]
pub fn lost_power(power: Watt, loop_resistance: Ohm, load: Ohm) -> Watt {
    let share = lost_share(loop_resistance, load);
    power * (share * (1.0 - share))
}

/// Voltage of a power into a resistance: √(P · R).
#[must_use]
pub fn voltage(power: Watt, load: Ohm) -> Volt {
    Volt((power.0 * load.0).sqrt())
}

/// Current of a power into a resistance: √(P / R).
#[must_use]
pub fn current(power: Watt, load: Ohm) -> Ampere {
    Ampere((power.0 / load.0).sqrt())
}
