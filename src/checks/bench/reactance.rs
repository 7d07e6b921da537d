//! Skin effect and inductance of a cable as ranges.

use super::{Bench, COPPER, Known};
use crate::facts::{Figure, FigureKind};
use crate::physics::{IACS, Range, line, size, skin};
use crate::span::Span;
use crate::units::{HenryPerMetre, Hertz, Metre};

impl<'c> Bench<'c> {
    /// Ratio of the resistance at a frequency to that at 0 Hz, of one conductor of this diameter: from insulated strands to solid.
    pub(in crate::checks) fn skin(&self, diameter: Metre, frequency: Hertz) -> Range<f64> {
        let key = (diameter.0.to_bits(), frequency.0.to_bits());
        let known = self.once.skin.borrow().get(&key).copied();
        known.unwrap_or_else(|| {
            let made = self.find_skin(diameter, frequency);
            self.once.skin.borrow_mut().insert(key, made);
            made
        })
    }

    fn find_skin(&self, diameter: Metre, frequency: Hertz) -> Range<f64> {
        // Low resistivity has the stronger skin effect.
        let cold = self.room().low;
        let warm = self.room().high;
        let best = self
            .metals_or(COPPER)
            .into_iter()
            .map(|metal| metal.least(cold))
            .fold(IACS * 2.0, |a, b| if b.0 < a.0 { b } else { a });
        let high = skin::solid(diameter, best, frequency).resistance;
        let worst = self
            .metals_or(COPPER)
            .into_iter()
            .map(|metal| metal.ordinary(warm))
            .fold(best, |a, b| if b.0 > a.0 { b } else { a });
        let low = if self.is_solid() {
            skin::solid(diameter, worst, frequency).resistance
        } else {
            self.strand().map_or(1.0, |(strand, _)| {
                skin::solid(strand, worst, frequency).resistance
            })
        };
        Range::of(low, high)
    }

    /// Diameter of one strand, when a size gives it.
    pub(in crate::checks) fn strand(&self) -> Option<(Metre, Span)> {
        self.cable.sizes.iter().find_map(|size| {
            size.strands
                .as_deref()
                .map(|&(_, diameter)| (diameter, size.span))
        })
    }

    /// Inductance per metre of loop that the document states, or that its geometry gives.
    pub(in crate::checks) fn inductance(&self) -> Option<Known<HenryPerMetre>> {
        *self.once.inductance.get_or_init(|| self.find_inductance())
    }

    fn find_inductance(&self) -> Option<Known<HenryPerMetre>> {
        let stated: Vec<&Figure> = self.figures(FigureKind::InductancePerLength).collect();
        if let Some(first) = stated.first() {
            let values = stated.iter().map(|figure| figure.value);
            let low = values.clone().fold(f64::INFINITY, f64::min);
            let high = values.fold(0.0, f64::max);
            return Some(Known {
                value: Range {
                    low: HenryPerMetre(low),
                    high: HenryPerMetre(high),
                },
                span: first.span,
                how: "stated",
            });
        }
        let spacing = self.cable.spacing?;
        let wire = self.wires().into_iter().next()?;
        let diameter = size::diameter_of(wire.area.high);
        let constants = line::two_wire(diameter, spacing.value, 1.0)?;
        // The internal inductance of both wires is between nothing and its value at 0 Hz.
        let inside = skin::internal_inductance(1.0) * 2.0;
        Some(Known {
            value: Range {
                low: constants.external_inductance,
                high: constants.external_inductance + inside,
            },
            span: spacing.span,
            how: "from the spacing",
        })
    }

    /// Inductance per metre of loop that stands for one that is not stated.
    pub(in crate::checks) fn assumed_inductance(&self) -> Range<HenryPerMetre> {
        Range {
            low: HenryPerMetre(self.default("inductance_low")),
            high: HenryPerMetre(self.default("inductance_high")),
        }
    }
}
