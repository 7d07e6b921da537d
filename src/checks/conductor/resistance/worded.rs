//! What is said of a stated resistance: the finding or the confirmation, with its working and its marks.

use super::*;
use crate::checks::Nearness;
use crate::facts::DocumentKind;

/// How the maximum of a conductor becomes that of a figure.
const LIMIT: &str = "R′_max in the reading of the figure, at t";

impl Judgement<'_, '_> {
    /// A finding that stands, for the nearest reading.
    pub(super) fn said(&self, candidate: &Candidate<'_>, place: Place) -> Said {
        match place {
            Place::Below => self.below(candidate),
            _ => self.above(candidate),
        }
    }

    pub(super) fn reading(&self, candidate: &Candidate<'_>) -> String {
        let many = if candidate.count > 1 {
            format!(", {} in parallel", candidate.count)
        } else {
            String::new()
        };
        match self.reading {
            Reading::Unsaid => format!("read as {}{many}", candidate.way.word()),
            _ => format!("{}{many}", candidate.way.word()),
        }
    }

    pub(super) fn temperature(&self) -> String {
        format!("{} °C", three(self.at.0))
    }

    pub(super) fn below(&self, candidate: &Candidate<'_>) -> Said {
        let Some(metal) = self.bench.best_metal(self.at) else {
            return Said::finding(self.context, BELOW);
        };
        let least = self.least(candidate, self.at);
        let under = 1.0 - self.stated.0 / least;
        let named = match metal.span {
            Some(_) => metal.name.clone(),
            None => format!("even {}, as no metal is named", metal.name),
        };
        let message = format!(
            "{} is {} below the least that {} of {named} can have: {} at {} ({}, {} % IACS).",
            say(self.context, self.figure),
            percent(under),
            say_size(self.context, candidate.wire.size),
            with_unit(least, "Ω/m"),
            self.temperature(),
            self.reading(candidate),
            three(metal.best),
        );
        let said = Said::finding(self.context, BELOW)
            .of(self.bench.index, Stage::Resistance)
            .message(message)
            .help(format!(
                "The figure would fit {} of copper. Ask whether it is for one conductor or the loop, at which temperature it was measured, \
                 and what the size really is.",
                say_gauge(self.copper_gauge(candidate)),
            ))
            .working(
                self.work(candidate, &metal, true)
                    .threshold(self.context, "tolerance", BELOW, "tolerance", "")
                    .computed("1 − R/R_least", "below the least by", under, ""),
            );
        self.marks(said, candidate, &metal)
    }

    pub(super) fn above(&self, candidate: &Candidate<'_>) -> Said {
        let Some(metal) = self.bench.ordinary_metal(self.at) else {
            return Said::finding(self.context, ABOVE);
        };
        let ordinary = self.ordinary(candidate, self.at);
        let over = self.stated.0 / ordinary - 1.0;
        let size = say_size(self.context, candidate.wire.size);
        let named = match metal.span {
            Some(_) => metal.name.clone(),
            None => format!("{} (no metal is named)", metal.name),
        };
        let gauge = say_gauge(self.copper_gauge(candidate));
        let mut work = self.work(candidate, &metal, false);
        let mut message = format!(
            "{} is {} above what {size} of {named} has: {} at {} ({})",
            say(self.context, self.figure),
            percent(over),
            with_unit(ordinary, "Ω/m"),
            self.temperature(),
            self.reading(candidate),
        );
        let square = candidate.wire.size.notation == Notation::SquareMillimetre;
        match self.maximum(&candidate.wire).filter(|_| square) {
            Some((maximum, class)) => {
                let times = candidate.way.conductors() / f64::from(candidate.count);
                let warm = conductor::temperature_factor(metal.alpha, self.at);
                let limit = maximum.0 * times * warm;
                message.push_str(&format!(
                    ", and {} above the IEC 60228 maximum of class {}, {}",
                    percent(self.stated.0 / limit - 1.0),
                    class.number(),
                    with_unit(limit, "Ω/m"),
                ));
                let named = self.figure.class.map(|(_, span)| span);
                work = work
                    .then(self.bench.maximum_work(maximum, class, named))
                    .computed("R_max", LIMIT, limit * 1.0e3, "mΩ/m")
                    .computed(
                        "R/R_max − 1",
                        "above the maximum by",
                        self.stated.0 / limit - 1.0,
                        "",
                    )
                    .threshold(self.context, "tolerance", ABOVE, "class5_tolerance", "");
            }
            None => {
                work = work
                    .computed("R/R_size − 1", "above the size by", over, "")
                    .threshold(self.context, "tolerance", ABOVE, "tolerance", "");
            }
        }
        let others = self.metals(candidate, &metal);
        message.push_str(&format!(". It would fit {gauge} of copper"));
        if !others.is_empty() {
            message.push_str(&format!(", or {} of the stated size", others.join(" or ")));
        }
        message.push('.');
        let said = Said::finding(self.context, ABOVE)
            .of(self.bench.index, Stage::Resistance)
            .message(message)
            .help(
                "Ask for the metal of the conductor, its strand count and strand diameter, and the temperature of the figure.",
            )
            .working(work.computed(
                "n_Cu",
                "gauge of copper with this resistance",
                self.copper_gauge(candidate),
                "AWG",
            ));
        self.marks(said, candidate, &metal)
    }

    pub(super) fn open(&self, candidate: &Candidate<'_>) -> Said {
        let here = Range {
            low: self.at,
            high: self.at,
        };
        let place = self.place(candidate, here);
        let (id, best) = match place {
            Place::Below => (BELOW, self.bench.best_metal(self.at)),
            _ => (ABOVE, self.bench.ordinary_metal(self.at)),
        };
        let Some(metal) = best else {
            return Said::open(self.context, id);
        };
        let room = self.temperatures;
        let side = if place == Place::Below {
            "below"
        } else {
            "above"
        };
        let said = Said::open(self.context, id)
            .of(self.bench.index, Stage::Resistance)
            .message(format!(
                "{} lies {side} what {} of {} gives at 20 °C, and within it at a temperature between {} and {} °C; no temperature is stated.",
                say(self.context, self.figure),
                say_size(self.context, candidate.wire.size),
                metal.name,
                three(room.low.0),
                three(room.high.0),
            ))
            .help("Ask at which temperature the resistance was measured.")
            .working(self.open_work(candidate, &metal, place));
        self.marks(said, candidate, &metal)
    }

    pub(super) fn confirmed(&self, candidate: &Candidate<'_>) -> Said {
        let Some(metal) = self.bench.ordinary_metal(self.at) else {
            return Said::confirmed(self.context, ABOVE);
        };
        let ordinary = self.ordinary(candidate, self.at);
        let off = self.off(candidate);
        let side = if off < 0.0 { "below" } else { "above" };
        let id = if off < 0.0 { BELOW } else { ABOVE };
        if let Some(said) = Said::left_out(self.context, id, self.figure.span) {
            return said;
        }
        let limit = match self.figure.bound {
            Bound::AtMost => " as a maximum",
            Bound::AtLeast => " as a minimum",
            _ => "",
        };
        let mut work = self.work(candidate, &metal, false);
        let mut standard = String::new();
        // A nominal area is held to the standard, and not to what the area alone would have.
        let square = candidate.wire.size.notation == Notation::SquareMillimetre;
        if let Some((maximum, class)) = self.maximum(&candidate.wire).filter(|_| square) {
            let times = candidate.way.conductors() / f64::from(candidate.count);
            let warm = conductor::temperature_factor(metal.alpha, self.at);
            let most = maximum.0 * times * warm;
            let named = self.figure.class.map(|(_, span)| span);
            work = work
                .then(self.bench.maximum_work(maximum, class, named))
                .computed("R_max", LIMIT, most * 1.0e3, "mΩ/m")
                .computed(
                    "R/R_max − 1",
                    "against the maximum",
                    self.stated.0 / most - 1.0,
                    "",
                );
            if off > 0.0 {
                standard = format!(
                    "; the IEC 60228 maximum of class {} is {}",
                    class.number(),
                    with_unit(most, "Ω/m")
                );
            }
        }
        let said = Said::confirmed(self.context, id)
            .of(self.bench.index, Stage::Resistance)
            .message(format!(
                "{} agrees{limit} with {} of {}: {} at {} ({}), {} {side} it{standard}.",
                say(self.context, self.figure),
                say_size(self.context, candidate.wire.size),
                metal.name,
                with_unit(ordinary, "Ω/m"),
                self.temperature(),
                self.reading(candidate),
                percent(off.abs()),
            ))
            .working(work.computed("R/R_size − 1", "off by", off, ""));
        self.marks(said, candidate, &metal)
    }

    /// The steps to the temperatures at which a figure comes within what the size gives.
    fn open_work(&self, candidate: &Candidate<'_>, metal: &Material, place: Place) -> Work {
        let context = self.context;
        let below = place == Place::Below;
        let (rule, tolerance) = match (place, self.maximum(&candidate.wire)) {
            (Place::Below, _) => (BELOW, "tolerance"),
            (_, Some(_)) => (ABOVE, "class5_tolerance"),
            (_, None) => (ABOVE, "tolerance"),
        };
        let mut work =
            self.work(candidate, metal, below)
                .threshold(context, "tolerance", rule, tolerance, "");
        if let (false, Some((maximum, class))) = (below, self.maximum(&candidate.wire)) {
            let named = self.figure.class.map(|(_, span)| span);
            work = work.then(self.bench.maximum_work(maximum, class, named));
        }
        let limit = |at: Celsius| {
            1.0e3
                * if below {
                    self.floor(candidate, at)
                } else {
                    self.ceiling(candidate, at)
                }
        };
        let (expression, far, name) = if below {
            (
                "R_size at that temperature · (1 − tolerance)",
                self.temperatures.low,
                "temperature_low",
            )
        } else {
            (
                "the most at that temperature · (1 + tolerance)",
                self.temperatures.high,
                "temperature_high",
            )
        };
        work.computed("R_lim(t)", expression, limit(self.at), "mΩ/m")
            .usual(context, "t_far", name, "°C")
            .computed("R_lim(t_far)", expression, limit(far), "mΩ/m")
    }

    /// Whether a nominal area has less than the figure at the most.
    pub(super) fn beyond_standard(&self, candidate: &Candidate<'_>) -> bool {
        self.maximum(&candidate.wire).is_some() && self.stated.0 > self.ceiling(candidate, self.at)
    }

    /// The steps to what one conductor, or the loop, can have.
    pub(super) fn confused_work(&self, candidate: &Candidate<'_>, metal: &Material) -> Work {
        let work = self
            .work(candidate, metal, false)
            .then(self.bench.open_work())
            .threshold(self.context, "tolerance", CONFUSED, "tolerance", "");
        let Some(one) = self.bench.resistance(&candidate.wire, self.temperatures) else {
            return work;
        };
        let times = candidate.way.conductors() / f64::from(candidate.count) * 1.0e3;
        let (low, high) = (one.low.0 * times, one.high.0 * times);
        work.computed("R_low", "R_size at t_low, σ_best", low, "mΩ/m")
            .computed(
                "R_high",
                "R_size at t_high, with lay and tinning, or the maximum of the standard",
                high,
                "mΩ/m",
            )
            .computed(
                "R/R_low − 1",
                "against the least of that reading",
                self.stated.0 * 1.0e3 / low - 1.0,
                "",
            )
            .computed(
                "R/R_high − 1",
                "against the most of that reading",
                self.stated.0 * 1.0e3 / high - 1.0,
                "",
            )
    }

    /// One conductor's resistance at 20 °C by the figure, in the reading of `candidate`.
    pub(super) fn single(&self, candidate: &Candidate<'_>) -> OhmPerMetre {
        let alpha = self
            .bench
            .ordinary_metal(self.at)
            .map_or(crate::units::PerKelvin(0.0), |metal| metal.alpha);
        self.stated
            * (f64::from(candidate.count)
                / candidate.way.conductors()
                / conductor::temperature_factor(alpha, self.at))
    }

    pub(super) fn copper_gauge(&self, candidate: &Candidate<'_>) -> f64 {
        conductor::copper_gauge_of(self.single(candidate))
    }

    /// Other metals that the stated size would be of.
    pub(super) fn metals(&self, candidate: &Candidate<'_>, named: &Material) -> Vec<String> {
        let tolerance = self.context.threshold(BELOW, "tolerance");
        metal::metals_fitting(self.single(candidate), candidate.wire.size.area, tolerance)
            .into_iter()
            .filter(|metal| metal.key != named.key)
            .map(|metal| metal.name.clone())
            .take(2)
            .collect()
    }

    pub(super) fn work(&self, candidate: &Candidate<'_>, metal: &Material, best: bool) -> Work {
        let stated = self.figure.temperature.map(|fact| fact.span);
        let mut work = self
            .bench
            .resistance_work(&candidate.wire, metal, best, self.at, stated);
        let value = if best {
            self.least(candidate, self.at)
        } else {
            self.ordinary(candidate, self.at)
        };
        if candidate.count > 1 {
            work = match self.bench.cable.parallel {
                Some(fact) => {
                    work.quoted(self.context, "N", f64::from(candidate.count), "", fact.span)
                }
                None => work.assumed(
                    "N",
                    "conductors in parallel for each pole",
                    f64::from(candidate.count),
                    "",
                ),
            };
        }
        let expression = match (candidate.way, candidate.count > 1) {
            (Way::Single, false) => "R′, one conductor",
            (Way::Single, true) => "R′ / N",
            (Way::Loop, false) => "2 · R′, out and back",
            (Way::Loop, true) => "2 · R′ / N, out and back",
        };
        work = work.computed("R_size", expression, value * 1.0e3, "mΩ/m");
        match (self.figure.kind, self.figure.length) {
            (FigureKind::Resistance, Some(over)) => work
                .quoted(
                    self.context,
                    "R_tot",
                    self.figure.value,
                    "Ω",
                    self.figure.span,
                )
                .quoted(self.context, "l", over.value.0, "m", over.span)
                .computed("R", "R_tot / l", self.stated.0 * 1.0e3, "mΩ/m"),
            _ => work.quoted(
                self.context,
                "R",
                self.stated.0 * 1.0e3,
                "mΩ/m",
                self.figure.span,
            ),
        }
    }

    pub(super) fn marks(&self, said: Said, candidate: &Candidate<'_>, metal: &Material) -> Said {
        let over = self
            .figure
            .length
            .filter(|_| self.figure.kind == FigureKind::Resistance);
        said.mark(self.figure.span, "the resistance as stated")
            .mark(candidate.wire.size.span, "the size")
            .mark_some(
                over.map(|over| over.span),
                over.map_or_else(String::new, |over| format!("over {}", length(over.value.0))),
            )
            .mark_some(self.figure.reading_span, "loop or one conductor")
            .mark_some(metal.span, "the metal")
            .mark_some(
                self.figure.temperature.map(|fact| fact.span),
                "the temperature",
            )
            .mark_some(self.figure.class.map(|(_, span)| span), "the class")
    }

    /// Whether a class of IEC 60228 is named with the figure, or once for all that follows in the sheet of one cable.
    pub(super) fn names_class(&self) -> bool {
        let sheet = self.context.facts.kind == DocumentKind::Sheet;
        let alone = self.context.facts.cables.len() == 1;
        // Of one cable the entry beside that of the figure says it as well.
        let beside = |span: Span| {
            alone && self.context.nearness(span, self.figure.span) == Nearness::Entries
        };
        let class = self.bench.cable.class;
        self.figure.class.is_some() || class.is_some_and(|(_, span)| sheet || beside(span))
    }
}

pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
