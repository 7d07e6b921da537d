//! The physics of loudspeaker cables: pure functions from SI values to SI values. Knows nothing of documents and of rules.
//!
//! Each function names its formula, the source of the formula, the units and what it refuses. What the functions take is
//! trusted to be positive and finite where the docs say so; text is checked before it gets here.

pub mod chance;
pub mod choose;
pub mod conductor;
pub mod heat;
pub mod iec60228;
pub mod lamp;
pub mod line;
pub mod loss;
pub mod metal;
pub mod pair;
pub mod size;
pub mod skin;

pub use metal::{Insulation, Metal, insulation, insulations, metal, metals};
pub use pair::{Build, Pair, Pole};

use crate::units::{MetrePerSecond, OhmMetre};

/// Permeability of free space, H/m: 4π·10⁻⁷, which the SI of 2019 keeps to ten digits.
pub const MU_0: f64 = 4.0e-7 * std::f64::consts::PI;

/// Permittivity of free space, F/m (CODATA 2018).
pub const EPSILON_0: f64 = 8.854_187_812_8e-12;

/// Speed of light in free space (exact by definition of the metre).
pub const LIGHT: MetrePerSecond = MetrePerSecond(299_792_458.0);

/// Resistivity of annealed copper of 100 % IACS at 20 °C: 1/58 Ω·mm²/m (IEC 60028:1925, NBS Handbook 100).
pub const IACS: OhmMetre = OhmMetre(1.0e-6 / 58.0);

/// Metres in a foot (exact, international yard and pound agreement of 1959).
pub const FOOT: f64 = 0.3048;

/// The least and the most that something can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range<T> {
    /// The least.
    pub low: T,
    /// The most.
    pub high: T,
}

impl<T: PartialOrd + Copy> Range<T> {
    /// From two values in either order.
    #[must_use]
    pub fn of(a: T, b: T) -> Self {
        if a <= b {
            Self { low: a, high: b }
        } else {
            Self { low: b, high: a }
        }
    }

    /// Whether `value` lies within, ends included.
    #[must_use]
    pub fn holds(&self, value: T) -> bool {
        self.low <= value && value <= self.high
    }

    /// The smallest range that holds both.
    #[must_use]
    pub fn join(self, other: Self) -> Self {
        Self {
            low: if other.low < self.low {
                other.low
            } else {
                self.low
            },
            high: if other.high > self.high {
                other.high
            } else {
                self.high
            },
        }
    }
}
