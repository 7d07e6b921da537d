//! Which kind a unit stands for, where several share it.

use super::*;

impl<'t> Reader<'t, '_> {
    /// Which of resistance and impedance the words around speak of.
    pub(super) fn ohm_hints(&self, start: usize, end: usize) -> Option<Kind> {
        let choose = |hints: Hints| {
            if hints.has(Hints::RESISTANCE) {
                Some(Kind::Resistance)
            } else if hints.has(Hints::IMPEDANCE) {
                Some(Kind::Impedance)
            } else {
                None
            }
        };
        let right = hints_behind(self.behind(end), 3).find_map(|(_, hints)| choose(hints));
        let left = hints_before(self.left_of(start))
            .find_map(|(at, hints)| choose(hints).map(|kind| (at, kind)));
        match (left, right) {
            (Some((0 | 1, kind)), None) => Some(kind),
            (_, Some(kind)) => Some(kind),
            (Some((_, kind)), None) => Some(kind),
            (None, None) => None,
        }
    }

    pub(super) fn kind_of(
        &self,
        number: &Number,
        unit: Unit,
        chain: (usize, usize),
    ) -> Option<Kind> {
        Some(match unit.base {
            Base::Gauge | Base::Swg => Kind::Gauge,
            Base::Area => Kind::Area,
            Base::OhmPer => Kind::ResistancePerLength,
            Base::HenryPer if unit.is_bare_constant() => Kind::Inductance,
            Base::FaradPer if unit.is_bare_constant() => Kind::Capacitance,
            Base::HenryPer => Kind::InductancePerLength,
            Base::FaradPer => Kind::CapacitancePerLength,
            Base::SecondPer => Kind::DelayPerLength,
            Base::Hertz => Kind::Frequency,
            Base::Decibel => Kind::LevelDb,
            Base::Watt => Kind::Power,
            Base::Volt => Kind::Voltage,
            Base::Ampere => Kind::Current,
            Base::Celsius | Base::Fahrenheit | Base::Kelvin => Kind::Temperature,
            Base::Light => Kind::VelocityFactor,
            Base::Ohm => self.ohms(number, unit, chain),
            Base::Percent => self.percent(chain),
            Base::Length => self.length(number, unit, chain),
        })
    }

    pub(super) fn ohms(&self, number: &Number, unit: Unit, (start, end): (usize, usize)) -> Kind {
        let value = number.value.abs() * unit.factor;
        if unit.is_small() || unit.prefix() == "M" {
            let called = last_word(self.left_of(start))
                .is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("impedance"));
            return if called {
                Kind::Impedance
            } else {
                Kind::Resistance
            };
        }
        if let Some(kind) = self.ohm_hints(start, end) {
            return kind;
        }
        let hints = self.context.hints;
        if hints.has(Hints::RESISTANCE) {
            return Kind::Resistance;
        }
        if hints.has(Hints::IMPEDANCE) {
            return Kind::Impedance;
        }
        // Loudspeakers are not made below this, and cables that are sold are below it.
        if value < 1.5 {
            Kind::Resistance
        } else {
            Kind::Impedance
        }
    }

    pub(super) fn percent(&self, (start, end): (usize, usize)) -> Kind {
        let behind = self.behind(end);
        let mut words = words_of(behind).take(5);
        let of_light = words.next().is_some_and(|word| one_of!(word, "of the"))
            && words.any(|word| word == "c" || word.eq_ignore_ascii_case("light"))
            && !behind.trim_start().starts_with([',', ';', '.']);
        let said = hints_before(self.before(start))
            .take(5)
            .any(|(_, hints)| hints.has(Hints::VELOCITY));
        if of_light || said || self.context.hints.has(Hints::VELOCITY) {
            Kind::VelocityFactor
        } else {
            Kind::Percent
        }
    }

    /// The diameter of a wire, or any other length.
    pub(super) fn length(&self, number: &Number, unit: Unit, (start, end): (usize, usize)) -> Kind {
        let metres = number.value * unit.factor;
        if metres > 0.0125 || !(unit.is_small() || matches!(&*unit.symbol(), "in" | "mil" | "cm")) {
            return Kind::Length;
        }
        let left = self.before(start);
        let right = self.behind(end);
        let sign = left
            .trim_end_matches(is_blank)
            .ends_with(['Ø', 'ø', '⌀', 'Φ', 'φ']);
        let mut diameter = sign;
        let mut outer = false;
        let mut wire = false;
        for (at, hints) in hints_before(left) {
            if at > 6 {
                break;
            }
            diameter |= hints.has(Hints::DIAMETER);
            outer |= hints.has(Hints::OUTER);
            wire |= hints.has(Hints::WIRE) || hints.has(Hints::STRANDS) && at < 3;
        }
        let mut strand_next = false;
        for (at, hints) in hints_behind(right, 4) {
            diameter |= hints.has(Hints::DIAMETER);
            outer |= hints.has(Hints::OUTER);
            if at == 0 && (hints.has(Hints::STRANDS) || hints.has(Hints::WIRE)) {
                strand_next = true;
            }
            wire |= hints.has(Hints::WIRE);
        }
        let hints = self.context.hints;
        diameter |= hints.has(Hints::DIAMETER);
        outer |= hints.has(Hints::OUTER);
        wire |= hints.has(Hints::WIRE) || hints.has(Hints::STRANDS);
        if outer {
            return Kind::Length;
        }
        if strand_next {
            return Kind::Diameter;
        }
        // 20 AWG (0.81 mm)
        let beside_gauge = left.trim_end_matches(is_blank).ends_with(['(', '=', ','])
            && left.trim_end_matches(is_blank).ends_with(['(', '='])
            && self.out.last().is_some_and(|q| {
                q.kind == Kind::Gauge && q.span.end() + 12 >= start && q.span.end() <= start
            });
        if beside_gauge {
            return Kind::Diameter;
        }
        // A bare "diameter" above that of 8 AWG is that of a cable.
        if diameter && (wire || metres < 3.3e-3) {
            return Kind::Diameter;
        }
        let each = last_word(left).is_some_and(|(_, word, gap)| {
            word.eq_ignore_ascii_case("each") && gap.chars().all(is_blank)
        });
        if each && wire
            || last_word(left).is_some_and(|(rest, word, _)| {
                word.eq_ignore_ascii_case("of")
                    && last_word(rest)
                        .is_some_and(|(_, word, _)| one_of!(word, "wire wires strands strand"))
            })
        {
            return Kind::Diameter;
        }
        Kind::Length
    }
}
