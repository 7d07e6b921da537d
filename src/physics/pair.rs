//! A loudspeaker cable as a whole: two poles, what is known of them, and the range of what is not.

use super::line::{self, Constants};
use super::loss::{self, Run};
use super::skin::{self, Proximity, Ratios};
use super::{Range, conductor, size};
use crate::units::{
    Decibel, FaradPerMetre, HenryPerMetre, Hertz, Metre, Ohm, OhmMetre, OhmPerMetre, SquareMetre,
};

/// Centre spacing over conductor diameter where nothing is stated: that of an ordinary flat pair, whose insulation is about half as
/// thick as the conductor. Common practice, no source.
pub const USUAL_SPACING: f64 = 2.0;

/// How a conductor is made, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Build {
    /// One solid wire.
    Solid,
    /// Bare strands in contact, or strands of which nothing more is said.
    Strands {
        /// Diameter of one, where known.
        strand: Option<Metre>,
    },
    /// Strands insulated from one another that change places along the cable.
    InsulatedStrands {
        /// Diameter of one, where known.
        strand: Option<Metre>,
    },
    /// Not known.
    #[default]
    Unknown,
}

/// The conductors of one pole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pole {
    /// Metal area of one conductor.
    pub area: SquareMetre,
    /// Conductors in parallel, each in insulation of its own.
    pub parallel: u32,
    /// How each is made.
    pub build: Build,
    /// Strand length over cable length, 1 or more.
    pub lay: f64,
}

impl Pole {
    /// One conductor of an area, of which nothing else is known.
    #[must_use]
    pub fn of(area: SquareMetre) -> Self {
        Self {
            area,
            parallel: 1,
            build: Build::Unknown,
            lay: 1.0,
        }
    }

    /// Area of all conductors of the pole together.
    #[must_use]
    pub fn total_area(&self) -> SquareMetre {
        self.area * f64::from(self.parallel)
    }
}

/// One way of being built, with everything known that matters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// Resistance of the loop per metre of cable at the frequency.
    pub resistance: OhmPerMetre,
    /// Inductance of the loop per metre of cable at the frequency, internal part included.
    pub inductance: HenryPerMetre,
    /// Resistance over that at 0 Hz.
    pub skin_ratio: f64,
}

/// A pair at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Each of the two poles.
    pub pole: Pole,
    /// Resistivity at the temperature in question.
    pub resistivity: OhmMetre,
    /// External inductance and capacitance of one pair of conductors.
    pub constants: Constants,
    /// From centre to centre.
    pub spacing: Metre,
}

impl Pair {
    /// Two round conductors side by side in a uniform dielectric; `spacing` as a multiple of the diameter of a solid wire of the area
    /// ([`USUAL_SPACING`]) when `None`. `None` when the conductors would overlap.
    ///
    /// ```
    /// use claimgauge::physics::{IACS, pair::{Pair, Pole}, size};
    /// use claimgauge::units::Metre;
    /// let pole = Pole::of(size::awg_area(12.0));
    /// let pair = Pair::side_by_side(pole, IACS, None, 2.3).expect("room between the wires");
    /// assert!((pair.loop_resistance(Metre(10.0)).0 - 0.1042).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn side_by_side(
        pole: Pole,
        resistivity: OhmMetre,
        spacing: Option<Metre>,
        permittivity: f64,
    ) -> Option<Self> {
        let diameter = size::diameter_of(pole.area);
        let spacing = spacing.unwrap_or(diameter * USUAL_SPACING);
        Some(Self {
            pole,
            resistivity,
            constants: line::two_wire(diameter, spacing, permittivity)?,
            spacing,
        })
    }

    /// Resistance of the loop per metre of cable at 0 Hz.
    #[must_use]
    pub fn resistance_dc(&self) -> OhmPerMetre {
        conductor::resistance_per_metre(self.resistivity, self.pole.total_area(), self.pole.lay)
            * 2.0
    }

    /// Resistance of a run at 0 Hz, there and back.
    #[must_use]
    pub fn loop_resistance(&self, length: Metre) -> Ohm {
        Ohm(self.resistance_dc().0 * length.0)
    }

    /// Capacitance per metre; paralleled pairs add.
    #[must_use]
    pub fn capacitance(&self) -> FaradPerMetre {
        self.constants.capacitance * f64::from(self.pole.parallel)
    }

    /// As if each conductor were one solid wire: the most resistance, the least internal inductance.
    #[must_use]
    pub fn solid(&self, frequency: Hertz) -> End {
        self.end(skin::solid(
            size::diameter_of(self.pole.area),
            self.resistivity,
            frequency,
        ))
    }

    /// As if each conductor were made of strands insulated from one another (infinitely fine when their size is not known): the least
    /// resistance, the most internal inductance.
    #[must_use]
    pub fn insulated(&self, frequency: Hertz) -> End {
        let resistance = match self.pole.build {
            Build::Strands {
                strand: Some(strand),
            }
            | Build::InsulatedStrands {
                strand: Some(strand),
            } => skin::solid(strand, self.resistivity, frequency).resistance,
            _ => 1.0,
        };
        self.end(Ratios {
            resistance,
            inductance: 1.0,
        })
    }

    /// Both ends of what the build allows, the one of least resistance first: alike for a solid wire and for strands said to be insulated.
    #[must_use]
    pub fn ends(&self, frequency: Hertz) -> [End; 2] {
        match self.pole.build {
            Build::Solid => [self.solid(frequency); 2],
            Build::InsulatedStrands { .. } => [self.insulated(frequency); 2],
            Build::Strands { .. } | Build::Unknown => {
                [self.insulated(frequency), self.solid(frequency)]
            }
        }
    }

    fn end(&self, ratios: Ratios) -> End {
        let external = self.constants.external_inductance;
        let internal = skin::internal_inductance(ratios.inductance) * 2.0;
        End {
            resistance: self.resistance_dc() * ratios.resistance,
            // Paralleled pairs that lie apart share the current; close together their fields add, and less is gained.
            inductance: (external + internal) / f64::from(self.pole.parallel),
            skin_ratio: ratios.resistance,
        }
    }

    /// A run of one end.
    #[must_use]
    pub fn run(&self, end: End, length: Metre) -> Run {
        Run::of_line(end.resistance, end.inductance, self.capacitance(), length)
    }

    /// Insertion loss at a frequency, over everything that the build leaves open.
    #[must_use]
    pub fn insertion_loss(
        &self,
        length: Metre,
        source: Ohm,
        load: Ohm,
        frequency: Hertz,
    ) -> Range<Decibel> {
        let [a, b] = self
            .ends(frequency)
            .map(|end| loss::insertion(self.run(end, length), source, load, frequency));
        Range::of(a, b)
    }

    /// What the field of the other pole adds to the resistance of one solid conductor (see [`skin::proximity`]).
    #[must_use]
    pub fn proximity(&self, frequency: Hertz) -> Proximity {
        skin::proximity(
            conductor::resistance_per_metre(self.resistivity, self.pole.area, self.pole.lay),
            size::diameter_of(self.pole.area),
            self.spacing,
            frequency,
            skin::Arrangement::Two,
        )
    }
}

/// Insertion loss of a run of which resistance and inductance are known as ranges; `inductance` is per metre of loop, and
/// [`line::LOOP_INDUCTANCE`] is the range where nothing is stated. The source has no impedance.
///
/// Loss grows with both, so that the ends of the ranges give the ends of the loss.
#[must_use]
pub fn loss_over(
    resistance: Range<Ohm>,
    inductance: Range<HenryPerMetre>,
    length: Metre,
    load: Ohm,
    frequency: Hertz,
) -> Range<Decibel> {
    let at = |resistance: Ohm, inductance: HenryPerMetre| {
        let run = Run {
            resistance,
            inductance: crate::units::Henry(inductance.0 * length.0),
            capacitance: crate::units::Farad(0.0),
        };
        loss::from_source(run, Ohm(0.0), load, frequency)
    };
    Range {
        low: at(resistance.low, inductance.low),
        high: at(resistance.high, inductance.high),
    }
}
