//! Tungsten lamps: how brightness, power and resistance follow the voltage.

use super::Range;
use crate::units::{Ohm, Volt, Watt};

/// Exponent of luminous flux against voltage of a tungsten lamp near its rating.
///
/// Φ/Φ₀ = (V/V₀)^3.4; handbooks of lighting give 3.4 for general service lamps and 3.1 to 3.6 over the kinds of
/// lamps (from memory). Good for some 10 % about the rating.
pub const FLUX_EXPONENT: f64 = 3.4;

/// The exponents over the kinds of tungsten lamps (from memory).
pub const FLUX_EXPONENTS: Range<f64> = Range {
    low: 3.1,
    high: 3.6,
};

/// Exponent of power against voltage, 1.5 to 1.6 for vacuum and gas-filled lamps (from memory).
pub const POWER_EXPONENT: f64 = 1.55;

/// A value of the usual exponent, with the ends of its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// By the usual exponent.
    pub usual: f64,
    /// By the ends of the range of exponents.
    pub range: Range<f64>,
}

/// Brightness over brightness for a ratio of voltages above zero.
///
/// ```
/// use claimgauge::physics::lamp;
/// // A tenth less voltage takes a third of the light.
/// assert!((lamp::brightness(0.9).usual - 0.70).abs() < 0.01);
/// ```
#[must_use]
pub fn brightness(voltage_ratio: f64) -> Spread {
    Spread {
        usual: voltage_ratio.powf(FLUX_EXPONENT),
        range: Range::of(
            voltage_ratio.powf(FLUX_EXPONENTS.low),
            voltage_ratio.powf(FLUX_EXPONENTS.high),
        ),
    }
}

/// Ratio of voltages that makes a ratio of brightness; the inverse of [`brightness`].
#[must_use]
pub fn voltage_ratio(brightness_ratio: f64) -> Spread {
    Spread {
        usual: brightness_ratio.powf(1.0 / FLUX_EXPONENT),
        range: Range::of(
            brightness_ratio.powf(1.0 / FLUX_EXPONENTS.low),
            brightness_ratio.powf(1.0 / FLUX_EXPONENTS.high),
        ),
    }
}

/// Hot resistance of a lamp at its rating: V²/P.
#[must_use]
pub fn hot_resistance(rated: Volt, power: Watt) -> Ohm {
    Ohm(rated.0 * rated.0 / power.0)
}

/// Hot resistance at another voltage: R = R₀ · (V/V₀)^(2 − 1.55), by the power law of [`POWER_EXPONENT`].
#[must_use]
pub fn resistance_at(rated: Volt, power: Watt, voltage: Volt) -> Ohm {
    hot_resistance(rated, power) * (voltage / rated).powf(2.0 - POWER_EXPONENT)
}

/// Cold resistance from the hot one: tungsten has about 1/10 to 1/15 of it at room temperature (from memory).
#[must_use]
pub fn cold_resistance(hot: Ohm) -> Range<Ohm> {
    Range {
        low: hot / 15.0,
        high: hot / 10.0,
    }
}

/// Voltage at a lamp behind a resistance: the balance of the supply with [`resistance_at`], found by bisection.
///
/// All arguments are above zero except `series`, which may be zero.
#[must_use]
pub fn voltage_behind(supply: Volt, series: Ohm, rated: Volt, power: Watt) -> Volt {
    let (mut low, mut high) = (0.0, supply.0);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        // The current of the lamp rises with its voltage, that through the resistance falls: one crossing.
        let drop = middle / resistance_at(rated, power, Volt(middle)).0 * series.0;
        if middle + drop > supply.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    Volt(f64::midpoint(low, high))
}
