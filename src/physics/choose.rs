//! How thick, how long: the largest length for a budget, the thinnest gauge for a length, and what to do when no gauge will.

use super::size::{self, THICKEST};
use crate::units::{Decibel, HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre};
use std::f64::consts::PI;

/// What is asked of a run of cable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Length, one way.
    pub length: Metre,
    /// The load.
    pub load: Ohm,
    /// The most that may be lost.
    pub budget: Decibel,
    /// At this frequency.
    pub frequency: Hertz,
}

/// Resistance and inductance of the loop per metre of cable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PerMetre {
    /// Resistance at the frequency.
    pub resistance: OhmPerMetre,
    /// Inductance at the frequency.
    pub inductance: HenryPerMetre,
}

/// Square of a voltage ratio for a loss: 10^(B/10), less one.
fn excess(budget: Decibel) -> f64 {
    (budget.0 / 10.0 * std::f64::consts::LN_10).exp_m1()
}

/// Largest length, one way, whose loss stays within the budget; the source has no impedance, the load is a resistance.
///
/// (1 + r·x/R_L)² + (ω l·x/R_L)² = 10^(B/10), the positive root of a quadratic in x. Infinite for a line without resistance and inductance.
#[must_use]
///
/// ```
/// use claimgauge::physics::choose::{PerMetre, largest_length};
/// use claimgauge::units::{Decibel, Hertz, HenryPerMetre, Ohm, OhmPerMetre};
/// let line = PerMetre { resistance: OhmPerMetre(0.0166), inductance: HenryPerMetre(0.0) };
/// let longest = largest_length(line, Ohm(8.0), Decibel(0.2), Hertz(0.0));
/// // 8 Ω · (10^(0.2/20) − 1) = 0.1864 Ω of loop.
/// assert!((longest.0 - 0.1864 / 0.0166).abs() < 0.01);
/// ```
pub fn largest_length(line: PerMetre, load: Ohm, budget: Decibel, frequency: Hertz) -> Metre {
    let r = line.resistance.0 / load.0;
    let x = 2.0 * PI * frequency.0 * line.inductance.0 / load.0;
    let square = r * r + x * x;
    let excess = excess(budget);
    // The form of the root that does not cancel: c / (b + √(b² + a c)).
    Metre(excess / (r + (r * r + square * excess).sqrt()))
}

/// Largest length by inductance alone, as if the wire had no resistance: no gauge goes beyond it.
#[must_use]
pub fn largest_length_of_inductance(
    inductance: HenryPerMetre,
    load: Ohm,
    budget: Decibel,
    frequency: Hertz,
) -> Metre {
    Metre(excess(budget).sqrt() * load.0 / (2.0 * PI * frequency.0 * inductance.0))
}

/// Largest length, one way, whose resistance keeps a damping factor at the loudspeaker, source without impedance.
#[must_use]
pub fn largest_length_for_damping(
    resistance: OhmPerMetre,
    load: Ohm,
    damping_factor: f64,
) -> Metre {
    Metre(load.0 / damping_factor / resistance.0)
}

/// The thinnest gauge that keeps the budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// With its fraction.
    pub exact: f64,
    /// The next size of the trade, as thick or thicker; `None` above 4/0.
    pub trade: Option<i32>,
}

impl Gauge {
    /// From a gauge with its fraction.
    #[must_use]
    pub fn of(exact: f64) -> Self {
        Self {
            exact,
            trade: size::next_trade_gauge(exact),
        }
    }
}

/// The thinnest gauge, down to 40, whose line keeps the demand, found by halving; `None` when not even 4/0 does.
///
/// `line_of` gives the line of a gauge; a thicker one must not lose more than a thinner one.
pub fn thinnest(demand: &Demand, line_of: impl Fn(f64) -> PerMetre) -> Option<Gauge> {
    let fits = |awg: f64| {
        largest_length(line_of(awg), demand.load, demand.budget, demand.frequency) >= demand.length
    };
    let (mut thick, mut thin) = (f64::from(THICKEST), 40.0);
    if !fits(thick) {
        return None;
    }
    if fits(thin) {
        return Some(Gauge::of(thin));
    }
    for _ in 0..60 {
        let middle = f64::midpoint(thick, thin);
        if fits(middle) {
            thick = middle;
        } else {
            thin = middle;
        }
    }
    // A size of the trade counts as reached within a hundredth of a step, but only when it does keep the budget.
    let mut gauge = Gauge::of(thick);
    if gauge.trade.is_some_and(|trade| f64::from(trade) > thick) {
        gauge.trade = size::next_trade_gauge(thick - 0.02);
    }
    Some(gauge)
}

/// Resistance of the loop that is left for a budget once the inductance has had its share; `None` when nothing is.
#[must_use]
pub fn resistance_left(demand: &Demand, inductance: HenryPerMetre) -> Option<Ohm> {
    let reactance = 2.0 * PI * demand.frequency.0 * inductance.0 * demand.length.0 / demand.load.0;
    let square = 1.0 + excess(demand.budget) - reactance * reactance;
    (square >= 1.0).then(|| demand.load * (square.sqrt() - 1.0))
}

/// The largest inductance of a metre of loop with which a resistance (of the whole loop, at the frequency) keeps the demand; `None`
/// when the resistance alone breaks it.
#[must_use]
pub fn inductance_left(demand: &Demand, resistance: Ohm) -> Option<HenryPerMetre> {
    let real = 1.0 + resistance / demand.load;
    let square = 1.0 + excess(demand.budget) - real * real;
    (square >= 0.0).then(|| {
        HenryPerMetre(
            square.sqrt() * demand.load.0 / (2.0 * PI * demand.frequency.0 * demand.length.0),
        )
    })
}

/// The highest frequency at which a line of constant resistance and inductance keeps the demand; `None` when its resistance
/// alone breaks it.
#[must_use]
pub fn highest_frequency(demand: &Demand, line: PerMetre) -> Option<Hertz> {
    let real = 1.0 + line.resistance.0 * demand.length.0 / demand.load.0;
    let square = 1.0 + excess(demand.budget) - real * real;
    (square >= 0.0).then(|| {
        Hertz(square.sqrt() * demand.load.0 / (2.0 * PI * line.inductance.0 * demand.length.0))
    })
}
