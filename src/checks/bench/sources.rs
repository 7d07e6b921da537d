//! Where a size or a resistance for a sum comes from: what is stated, and what a gauge gives.

use super::{Bench, CLAD, COPPER, Material, SILVER, Source, Wire, per_metre, size_work};
use crate::checks::Work;
use crate::checks::format::three;
use crate::facts::{Fact, Reading, SizeOf};
use crate::physics::iec60228::Class;
use crate::physics::{Range, conductor, size};
use crate::sheet::{Bound, Kind};
use crate::span::Span;
use crate::units::{Celsius, Metre, OhmPerMetre, PerKelvin};

impl<'c> Bench<'c> {
    /// The loop as each size has it.
    pub(in crate::checks) fn size_sources(&self) -> Vec<Source> {
        self.once
            .sizes
            .get_or_init(|| self.all_size_sources())
            .clone()
    }

    fn all_size_sources(&self) -> Vec<Source> {
        let temperatures = self.room();
        let parallels = self.parallels();
        let mut sources = Vec::new();
        for wire in self.wires() {
            let Some(one) = self.resistance(&wire, temperatures) else {
                continue;
            };
            let most = parallels.iter().map(|(count, _)| *count).max().unwrap_or(1);
            let least = parallels.iter().map(|(count, _)| *count).min().unwrap_or(1);
            sources.push(Source {
                span: wire.size.span,
                resistance: Range {
                    low: one.low * (2.0 / f64::from(most)),
                    high: one.high * (2.0 / f64::from(least)),
                },
                diameter: Some(size::diameter_of(wire.area.high)),
            });
        }
        if sources.is_empty() {
            for wire in self.combined() {
                if let Some(one) = self.resistance(&wire, temperatures) {
                    sources.push(Source {
                        span: wire.size.span,
                        resistance: Range {
                            low: one.low * 2.0,
                            high: one.high * 2.0,
                        },
                        diameter: None,
                    });
                }
            }
        }
        sources
    }

    /// The loop as each stated resistance has it; loop and single where it does not say.
    pub(in crate::checks) fn figure_sources(&self) -> Vec<Source> {
        self.once
            .figures
            .get_or_init(|| self.all_figure_sources())
            .clone()
    }

    fn all_figure_sources(&self) -> Vec<Source> {
        self.cable
            .figures
            .iter()
            .filter(|figure| !figure.denied && figure.with_contacts.is_none())
            .filter(|figure| matches!(figure.bound, Bound::Exact | Bound::About))
            .filter_map(|figure| {
                let per_metre = per_metre(figure)?;
                let alpha = self
                    .ordinary_metals()
                    .first()
                    .map_or(PerKelvin(0.0), |metal| metal.alpha);
                // Brought to the temperatures of a room.
                let (at, _) = self.temperatures(figure.temperature);
                let room = self.room();
                let factor = |to: Celsius| {
                    conductor::temperature_factor(alpha, to)
                        / conductor::temperature_factor(alpha, at)
                };
                let (low, high) = match figure.reading {
                    Reading::Loop => (1.0, 1.0),
                    Reading::Single => (2.0, 2.0),
                    Reading::Unsaid => self.readings(OhmPerMetre(per_metre.0 * factor(room.low))),
                };
                Some(Source {
                    span: figure.span,
                    resistance: Range {
                        low: per_metre * (low * factor(room.low)),
                        high: per_metre * (high * factor(room.high)),
                    },
                    diameter: None,
                })
            })
            .collect()
    }

    /// How many times a resistance per metre that says neither loop nor single stands for the loop, at the least and at the most:
    /// once or twice, unless the stated sizes fit one of the two alone.
    fn readings(&self, per_metre: OhmPerMetre) -> (f64, f64) {
        /// How far it may be off what a size has.
        const NEAR: f64 = 1.15;
        let sizes = self.size_sources();
        let fits = |times: f64| {
            let value = per_metre.0 * times;
            sizes.iter().any(|source| {
                source.resistance.low.0 / NEAR <= value && value <= source.resistance.high.0 * NEAR
            })
        };
        match (fits(1.0), fits(2.0)) {
            (true, false) => (1.0, 1.0),
            (false, true) => (2.0, 2.0),
            _ => (1.0, 2.0),
        }
    }

    /// Sizes first, and what is measured where there is no size.
    pub(in crate::checks) fn sources_for_use(&self) -> Vec<Source> {
        let sizes = self.size_sources();
        if sizes.is_empty() {
            self.figure_sources()
        } else {
            sizes
        }
    }

    /// The same for a run; what its sentence says of the resistance comes in: “12 m as a quad is 138 mΩ”.
    pub(in crate::checks) fn sources_for_run(&self, run: Fact<Metre>) -> Vec<Source> {
        let mut sources = self.sources_for_use();
        let Some(at) = self.context.sentence(run.span) else {
            return sources;
        };
        if self.context.in_cell(run.span) {
            return sources;
        }
        let told = self.context.sheet.sentences[at].span;
        let all = &self.context.sheet.quantities;
        let first = all.partition_point(|quantity| quantity.span.start() < told.start());
        let ohms = all[first..]
            .iter()
            .take_while(|quantity| quantity.span.start() < told.end())
            .filter(|quantity| quantity.kind == Kind::Resistance)
            .filter_map(|quantity| Some((quantity.span, quantity.si()?)));
        sources.extend(ohms.map(|(span, ohms)| {
            let loop_ = OhmPerMetre(ohms / run.value.0);
            Source {
                span,
                resistance: Range {
                    low: loop_,
                    high: loop_,
                },
                diameter: None,
            }
        }));
        sources
    }

    /// The steps that stand for the grade of the metal and the temperature, where neither is stated.
    pub(in crate::checks) fn room_work(&self) -> Work {
        let context = &self.context;
        let cold = self.room().low;
        let metals = self.ordinary_metals().into_iter();
        let best = metals.min_by(|a, b| a.least(cold).0.total_cmp(&b.least(cold).0));
        let mut work = Work::default();
        if let Some(best) = best {
            let cited = cited(&best, true);
            work = work.table(
                "σ_best",
                format!("{} at its best", best.name),
                best.best,
                "% IACS",
                cited,
            );
        }
        work.usual(context, "t_low", "temperature_low", "°C").usual(
            context,
            "t_high",
            "temperature_high",
            "°C",
        )
    }

    /// The steps that stand for all that is left open between the least and the most resistance of a size.
    pub(in crate::checks) fn open_work(&self) -> Work {
        let mut work = self.room_work();
        if !self.is_solid() {
            work = work.usual(&self.context, "lay", "lay_high", "");
        }
        work.usual(&self.context, "tinning", "tinning_high", "")
    }

    /// The steps to the least and the most resistance of a loop at 0 Hz, from a size or from a figure.
    pub(in crate::checks) fn source_work(&self, source: &Source) -> Work {
        let context = &self.context;
        let (low, high) = (source.resistance.low.0, source.resistance.high.0);
        let wires = self.wires().into_iter().chain(self.combined());
        let wire = wires.into_iter().find(|wire| wire.size.span == source.span);
        let Some(wire) = wire else {
            return self.figure_work(source);
        };
        let mut work = size_work(context, wire.size).then(self.open_work());
        let counts = match wire.size.of {
            SizeOf::Conductor => self.parallels(),
            SizeOf::Combined => vec![(1, None)],
        };
        let many = counts.iter().any(|(count, _)| *count > 1);
        let each = if many { "(N · A)" } else { "A" };
        for (count, span) in counts.into_iter().filter(|_| many) {
            let count = f64::from(count);
            work = match span {
                Some(span) => work.quoted(context, "N", count, "", span),
                None => work.assumed("N", "conductors for each pole", count, ""),
            };
        }
        let maximum = self.nominal_maximum(&wire, None);
        let most = if maximum.is_some() {
            format!(
                "2 · ρ / {each} at t_high with lay and tinning, or the maximum of the standard where that is more"
            )
        } else {
            format!("2 · ρ / {each} at t_high, with lay and tinning")
        };
        if let Some((maximum, class)) = maximum {
            work = work.then(self.maximum_work(maximum, class, None));
        }
        work.computed(
            "R′_low",
            format!("2 · ρ / {each} at t_low, σ_best"),
            low * 1.0e3,
            "mΩ/m of loop at 0 Hz",
        )
        .computed("R′_high", most, high * 1.0e3, "mΩ/m of loop at 0 Hz")
    }

    /// The same from a resistance that the document states.
    fn figure_work(&self, source: &Source) -> Work {
        let context = &self.context;
        let unit = "mΩ/m of loop at 0 Hz";
        let (low, high) = (
            source.resistance.low.0 * 1.0e3,
            source.resistance.high.0 * 1.0e3,
        );
        let mut figures = self.cable.figures.iter();
        let figure = figures.find(|figure| figure.span == source.span);
        let Some((figure, stated)) = figure.zip(figure.and_then(per_metre)) else {
            return Work::default()
                .quoted(context, "R′_low", low, unit, source.span)
                .computed("R′_high", "R′_low", high, unit);
        };
        let (at, _) = self.temperatures(figure.temperature);
        let work = Work::default().quoted(context, "R′", stated.0 * 1.0e3, "mΩ/m", source.span);
        let work = match figure.temperature {
            Some(fact) => work.quoted(context, "t", at.0, "°C", fact.span),
            None => work.assumed("t", "temperature of reference", at.0, "°C"),
        };
        work.usual(context, "t_low", "temperature_low", "°C")
            .usual(context, "t_high", "temperature_high", "°C")
            .computed("R′_low", "R′ as the loop at t_low", low, unit)
            .computed("R′_high", "R′ as the loop at t_high", high, unit)
    }

    /// The steps that give the greatest resistance of IEC 60228 for a class; `named` are the words of a figure that name it.
    pub(in crate::checks) fn maximum_work(
        &self,
        maximum: OhmPerMetre,
        class: Class,
        named: Option<Span>,
    ) -> Work {
        let number = f64::from(class.number());
        let stated = named.or(self.cable.class.map(|(_, span)| span));
        let work = match stated {
            Some(span) => Work::default().quoted(&self.context, "class", number, "", span),
            None => Work::default().assumed("class", "flexible, as no class is named", number, ""),
        };
        work.table(
            "R′_max",
            format!(
                "IEC 60228, class {}, one conductor at 20 °C",
                class.number()
            ),
            maximum.0 * 1.0e3,
            "mΩ/m",
            "sources.iec-60228",
        )
    }

    /// Working from a size to the resistance of one conductor: size, metal, resistivity, resistance.
    pub(in crate::checks) fn resistance_work(
        &self,
        wire: &Wire<'_>,
        material: &Material,
        best: bool,
        temperature: Celsius,
        stated: Option<Span>,
    ) -> Work {
        let context = &self.context;
        let mut work = size_work(context, wire.size);
        let iacs = if best { material.best } else { material.plain };
        let cited = cited(material, best);
        let name = match material.span {
            Some(_) => material.name.clone(),
            None if best => format!("{}, no metal is named", material.name),
            None => format!("{}, the reference", material.name),
        };
        work = work.table("σ", name, iacs, "% IACS", cited);
        work = match stated {
            Some(span) => work.quoted(context, "t", temperature.0, "°C", span),
            None => work.assumed("t", "temperature of reference", temperature.0, "°C"),
        };
        let rho = if best {
            material.least(temperature)
        } else {
            material.ordinary(temperature)
        };
        let per_metre = conductor::resistance_per_metre(rho, wire.area.high, 1.0);
        work.computed(
            "ρ",
            format!(
                "(1/58) · 100/σ · (1 + {} · (t − 20))",
                three(material.alpha.0)
            ),
            rho.0 * 1.0e6,
            "Ω·mm²/m",
        )
        .computed("R′", "ρ / A, one conductor", per_metre.0 * 1.0e3, "mΩ/m")
    }
}

/// Where the conductivity of a metal is taken from.
fn cited(material: &Material, best: bool) -> &'static str {
    match (material.key.as_str(), best) {
        (COPPER, true) => "resistance-below-metal.copper_iacs",
        (SILVER, _) => "resistance-below-metal.silver_iacs",
        (CLAD, true) => "resistance-below-metal.clad_iacs",
        (CLAD, false) => "resistance-above-gauge.clad_iacs",
        _ => "metals",
    }
}
