//! What the statements about one cable give, as ranges over everything that it leaves open: lay, tinning, temperature, metal,
//! build, inductance. The checks hold stated figures against these ranges.
//!
//! The values that stand for what is left open are the table `defaults` of the rule files.
//!
//! Long: one bench of ranges, which each check asks for another figure.

use super::LOADS;
use super::format::{area, length, ohms, three, with_unit};
use super::{Context, Work};
use crate::facts::{
    Build, Cable, Fact, Figure, FigureKind, LoadKind, Notation, Reading, Size, SizeOf,
};
use crate::physics::iec60228::{self, Class};
use crate::physics::{IACS, Range, conductor, line, loss, metal, size, skin};
use crate::sheet::Bound;
use crate::span::Span;
use crate::units::{
    Celsius, Decibel, HenryPerMetre, Hertz, Metre, Ohm, OhmMetre, OhmPerMetre, PerKelvin,
    SquareMetre,
};
use rustc_hash::FxHashMap;
use std::cell::{OnceCell, RefCell};

/// There and back, or one conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// One conductor.
    Single,
    /// Both in series.
    Loop,
}

impl Way {
    /// Conductors in series.
    pub(super) fn conductors(self) -> f64 {
        match self {
            Self::Single => 1.0,
            Self::Loop => 2.0,
        }
    }

    /// In words.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Single => "one conductor",
            Self::Loop => "the loop",
        }
    }
}

/// A metal as far as its resistance goes.
#[derive(Debug, Clone)]
pub(super) struct Material {
    /// Key of the metal table.
    pub(super) key: String,
    /// What to call it.
    pub(super) name: String,
    /// Where it is named; `None` when it is assumed.
    pub(super) span: Option<Span>,
    /// Best conductivity, % IACS.
    pub(super) best: f64,
    /// Conductivity of the ordinary grade, % IACS.
    pub(super) plain: f64,
    /// Temperature coefficient at 20 °C.
    pub(super) alpha: PerKelvin,
}

impl Material {
    fn of(context: &Context<'_>, key: &str, span: Option<Span>) -> Option<Self> {
        let known = metal(key)?;
        let below = |name: &str| context.threshold("resistance-below-metal", name);
        let table_best = conductor::iacs_percent(known.best);
        let table_plain = conductor::iacs_percent(known.worst);
        let (best, plain) = match key {
            COPPER => (below("copper_iacs"), 100.0),
            SILVER => (below("silver_iacs"), table_plain.min(below("silver_iacs"))),
            CLAD => (
                below("clad_iacs"),
                context.threshold("resistance-above-gauge", "clad_iacs"),
            ),
            _ => (table_best, table_plain),
        };
        Some(Self {
            key: key.to_owned(),
            name: known.name.clone(),
            span,
            best,
            plain,
            alpha: known.alpha20,
        })
    }

    /// Least resistivity at a temperature.
    pub(super) fn least(&self, temperature: Celsius) -> OhmMetre {
        conductor::resistivity_at(
            conductor::resistivity_of_iacs(self.best),
            self.alpha,
            temperature,
        )
    }

    /// Resistivity of the ordinary grade at a temperature.
    pub(super) fn ordinary(&self, temperature: Celsius) -> OhmMetre {
        conductor::resistivity_at(
            conductor::resistivity_of_iacs(self.plain),
            self.alpha,
            temperature,
        )
    }
}

/// Key of copper in the metal table.
pub(super) const COPPER: &str = "copper";
/// Key of silver in the metal table.
pub(super) const SILVER: &str = "silver";
/// Key of copper-clad aluminium in the metal table.
pub(super) const CLAD: &str = "copper-clad-aluminium";

/// A stated size with the areas that it can mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wire<'c> {
    /// As stated.
    pub(super) size: &'c Size,
    /// Metal area by the words.
    pub(super) area: Range<SquareMetre>,
}

/// One loop of the cable as one of its statements has it, per metre of cable.
#[derive(Debug, Clone)]
pub(super) struct Source {
    /// The words that it rests on.
    pub(super) span: Span,
    /// Resistance of the loop at 0 Hz over everything left open.
    pub(super) resistance: Range<OhmPerMetre>,
    /// Diameter of a solid wire of the area of one conductor.
    pub(super) diameter: Option<Metre>,
}

/// What the statements about one cable give.
pub(super) struct Bench<'c> {
    context: Context<'c>,
    /// Index of the cable.
    pub(super) index: usize,
    /// The cable.
    pub(super) cable: &'c Cable,
    /// Metals named for it.
    pub(super) metals: Vec<Material>,
    /// What is worked out once, however many figures are held against it.
    once: Once<'c>,
}

#[derive(Default)]
struct Once<'c> {
    wires: OnceCell<Vec<Wire<'c>>>,
    sizes: OnceCell<Vec<Source>>,
    figures: OnceCell<Vec<Source>>,
    loads: OnceCell<Vec<Fact<Ohm>>>,
    inductance: OnceCell<Option<Known<HenryPerMetre>>>,
    skin: RefCell<FxHashMap<(u64, u64), Range<f64>>>,
}

impl<'c> Bench<'c> {
    /// The bench of one cable.
    pub(super) fn new(context: &Context<'c>, index: usize, cable: &'c Cable) -> Self {
        let mut metals: Vec<Material> = Vec::new();
        for fact in &cable.metals {
            if metals.iter().all(|known| known.key != fact.value) {
                metals.extend(Material::of(context, &fact.value, Some(fact.span)));
            }
        }
        Self {
            context: *context,
            index,
            cable,
            metals,
            once: Once::default(),
        }
    }

    /// Benches of all cables.
    pub(super) fn all(context: &Context<'c>) -> Vec<Self> {
        context
            .cables()
            .map(|(index, cable)| Self::new(context, index, cable))
            .collect()
    }

    /// Benches of all cables, and of the passages that offer a use by themselves.
    pub(super) fn offering(context: &Context<'c>) -> Vec<Self> {
        let mut all = Self::all(context);
        let cables = all.len();
        for (number, cable) in context.facts.offers.iter().enumerate() {
            all.push(Self::new(context, cables + number, cable));
        }
        all
    }

    fn default(&self, name: &str) -> f64 {
        self.context.default(name)
    }

    /// Temperatures at which a figure may hold, and the one it is first judged at.
    pub(super) fn temperatures(&self, stated: Option<Fact<Celsius>>) -> (Celsius, Range<Celsius>) {
        match stated {
            Some(fact) => (
                fact.value,
                Range {
                    low: fact.value,
                    high: fact.value,
                },
            ),
            None => (conductor::REFERENCE, self.room()),
        }
    }

    /// Temperatures of a room, where none is stated.
    pub(super) fn room(&self) -> Range<Celsius> {
        Range {
            low: Celsius(self.default("temperature_low")),
            high: Celsius(self.default("temperature_high")),
        }
    }

    /// The metals named, or the one that stands for none: the best conductor there is.
    pub(super) fn best_metals(&self) -> Vec<Material> {
        self.metals_or(SILVER)
    }

    /// The metals named, or the reference: annealed copper.
    pub(super) fn ordinary_metals(&self) -> Vec<Material> {
        self.metals_or(COPPER)
    }

    fn metals_or(&self, key: &str) -> Vec<Material> {
        if self.metals.is_empty() {
            Material::of(&self.context, key, None).into_iter().collect()
        } else {
            self.metals.clone()
        }
    }

    /// The metal that gives the least resistivity at a temperature.
    pub(super) fn best_metal(&self, temperature: Celsius) -> Option<Material> {
        self.best_metals()
            .into_iter()
            .min_by(|a, b| a.least(temperature).0.total_cmp(&b.least(temperature).0))
    }

    /// The metal whose ordinary grade has the most resistivity at a temperature.
    pub(super) fn ordinary_metal(&self, temperature: Celsius) -> Option<Material> {
        self.ordinary_metals().into_iter().max_by(|a, b| {
            a.ordinary(temperature)
                .0
                .total_cmp(&b.ordinary(temperature).0)
        })
    }

    /// Whether the document says of the build.
    pub(super) fn built(&self, build: Build) -> Option<Span> {
        self.cable
            .build
            .iter()
            .find(|fact| fact.value == build)
            .map(|fact| fact.span)
    }

    /// Whether it is declared solid, and nothing else.
    pub(super) fn is_solid(&self) -> bool {
        self.built(Build::Solid).is_some()
            && self
                .cable
                .build
                .iter()
                .all(|fact| fact.value == Build::Solid)
    }

    /// Firm sizes of one conductor.
    pub(super) fn wires(&self) -> Vec<Wire<'c>> {
        self.once.wires.get_or_init(|| self.all_wires()).clone()
    }

    fn all_wires(&self) -> Vec<Wire<'c>> {
        let strands = self
            .cable
            .sizes
            .iter()
            .any(|size| size.notation == Notation::Strands);
        let solid = self.is_solid();
        self.sizes(SizeOf::Conductor)
            // Beside a strand count a diameter is that of the bundle or of a strand, and a gauge may be that of a strand.
            .filter(|size| !(strands && size.notation == Notation::SolidDiameter))
            .filter(|size| !self.is_of_a_strand(size))
            .map(|size| {
                let low = if size.notation == Notation::SolidDiameter && !solid {
                    self.default("bundle_fill_low")
                } else {
                    1.0
                };
                Wire {
                    size,
                    area: Range {
                        low: size.area * low,
                        high: size.area,
                    },
                }
            })
            .collect()
    }

    fn is_of_a_strand(&self, stated: &Size) -> bool {
        stated.strands.is_none()
            && self.cable.sizes.iter().any(|other| {
                other.strands.is_some_and(|(count, strand)| {
                    count > 1 && (stated.area / size::circle(strand) - 1.0).abs() < 0.1
                })
            })
    }

    /// Firm sizes stated for all conductors of one pole together.
    pub(super) fn combined(&self) -> Vec<Wire<'c>> {
        self.sizes(SizeOf::Combined)
            .map(|size| Wire {
                size,
                area: Range {
                    low: size.area,
                    high: size.area,
                },
            })
            .collect()
    }

    fn sizes(&self, of: SizeOf) -> impl Iterator<Item = &'c Size> + use<'c> {
        let cable = self.cable;
        cable
            .sizes
            .iter()
            .filter(move |size| size.of == of && !size.loose && size.area.0 > 0.0)
    }

    /// Conductors in parallel for each pole: as said, or every number that the count of conductors allows.
    pub(super) fn parallels(&self) -> Vec<(u32, Option<Span>)> {
        if let Some(fact) = self.cable.parallel
            && fact.value >= 1
        {
            return vec![(fact.value, Some(fact.span))];
        }
        let counted = self
            .cable
            .conductors
            .map(|fact| (fact.value, Some(fact.span)));
        let written = self
            .cable
            .sizes
            .iter()
            .find_map(|size| size.conductors.map(|count| (count, Some(size.span))));
        match counted.or(written) {
            Some((count, span)) if count >= 4 => vec![(1, None), (count / 2, span)],
            _ => vec![(1, None)],
        }
    }

    /// Greatest resistance per metre at 20 °C of one conductor of a nominal area, with the class it was taken for, when the
    /// size is one of the standard and the metal is copper.
    ///
    /// `named` is a class that the figure itself names; otherwise that of the cable, and class 5 when none is named. An area that is not
    /// in the standard gets the allowance of its neighbours, unless it stands beside an AWG size and is its conversion.
    pub(super) fn nominal_maximum(
        &self,
        wire: &Wire<'_>,
        named: Option<u8>,
    ) -> Option<(OhmPerMetre, Class)> {
        if wire.size.notation != Notation::SquareMillimetre
            || self
                .ordinary_metals()
                .iter()
                .any(|metal| metal.key != COPPER)
        {
            return None;
        }
        let class = named
            .or(self.cable.class.map(|(number, _)| number))
            .and_then(Class::from_number)
            .unwrap_or(Class::Flexible);
        let tinned = self.cable.tinned.is_some();
        let of = |area: SquareMetre| {
            iec60228::maximum(area, class, tinned).or_else(|| iec60228::maximum(area, class, false))
        };
        if let Some(maximum) = of(wire.size.area) {
            return Some((maximum, class));
        }
        let conversion = self.wires().iter().any(|other| {
            other.size.notation == Notation::Awg
                && (other.size.area / wire.size.area - 1.0).abs() < 0.05
        });
        if conversion {
            return None;
        }
        let allowance = |area: SquareMetre| of(area).map(|maximum| maximum.0 * area.0);
        let below = iec60228::areas()
            .filter(|area| *area <= wire.size.area)
            .last();
        let above = iec60228::areas().find(|area| *area >= wire.size.area);
        let most = [below, above]
            .into_iter()
            .flatten()
            .filter_map(allowance)
            .fold(None, |most: Option<f64>, next| {
                Some(most.map_or(next, |most| most.max(next)))
            })?;
        Some((OhmPerMetre(most / wire.size.area.0), class))
    }

    /// Resistance of one conductor of `wire` per metre over everything left open: lay, tinning, metal grade, temperature.
    pub(super) fn resistance(
        &self,
        wire: &Wire<'_>,
        temperatures: Range<Celsius>,
    ) -> Option<Range<OhmPerMetre>> {
        let best = self
            .ordinary_metals()
            .into_iter()
            .map(|metal| metal.least(temperatures.low))
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let least = conductor::resistance_per_metre(best, wire.area.high, 1.0);
        let metal = self.ordinary_metal(temperatures.high)?;
        let lay = if self.is_solid() {
            1.0
        } else {
            1.0 + self.default("lay_high")
        };
        let tinning = 1.0 + self.default("tinning_high");
        let mut most = conductor::resistance_per_metre(
            metal.ordinary(temperatures.high),
            wire.area.low,
            lay * tinning,
        );
        if let Some((maximum, _)) = self.nominal_maximum(wire, None) {
            let warm = conductor::temperature_factor(metal.alpha, temperatures.high);
            most = OhmPerMetre(most.0.max(maximum.0 * warm * tinning));
        }
        Some(Range {
            low: least,
            high: most,
        })
    }

    /// The loop as each size has it.
    pub(super) fn size_sources(&self) -> Vec<Source> {
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
    pub(super) fn figure_sources(&self) -> Vec<Source> {
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
                    Reading::Unsaid => (1.0, 2.0),
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

    /// Sizes first, and what is measured where there is no size.
    pub(super) fn sources_for_use(&self) -> Vec<Source> {
        let sizes = self.size_sources();
        if sizes.is_empty() {
            self.figure_sources()
        } else {
            sizes
        }
    }

    /// Ratio of the resistance at a frequency to that at 0 Hz, of one conductor of this diameter: from insulated strands to solid.
    pub(super) fn skin(&self, diameter: Metre, frequency: Hertz) -> Range<f64> {
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
    pub(super) fn strand(&self) -> Option<(Metre, Span)> {
        self.cable
            .sizes
            .iter()
            .find_map(|size| size.strands.map(|(_, diameter)| (diameter, size.span)))
    }

    /// Inductance per metre of loop that the document states, or that its geometry gives.
    pub(super) fn inductance(&self) -> Option<Known<HenryPerMetre>> {
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
    pub(super) fn assumed_inductance(&self) -> Range<HenryPerMetre> {
        Range {
            low: HenryPerMetre(self.default("inductance_low")),
            high: HenryPerMetre(self.default("inductance_high")),
        }
    }

    /// Figures of one kind that the document stands by.
    pub(super) fn figures(&self, kind: FigureKind) -> impl Iterator<Item = &'c Figure> + use<'c> {
        let cable = self.cable;
        cable
            .figures
            .iter()
            .filter(move |figure| figure.kind == kind && !figure.denied && figure.value.is_finite())
    }

    /// Loudspeaker loads in ohms at which a figure may hold: its own, or those of the set-up.
    ///
    /// Of several those that stand nearest to `anchor`.
    pub(super) fn loads(&self, own: Option<Fact<Ohm>>, anchor: Span) -> Vec<Fact<Ohm>> {
        if let Some(own) = own {
            return vec![own];
        }
        let all = self
            .once
            .loads
            .get_or_init(|| self.setup_loads(|kind| kind != LoadKind::Lamp));
        self.context.nearest(all, anchor)
    }

    fn setup_loads(&self, counts: impl Fn(LoadKind) -> bool) -> Vec<Fact<Ohm>> {
        self.context
            .facts
            .setup
            .loads
            .iter()
            .filter(|load| counts(load.value.kind))
            .filter_map(|load| {
                load.value.impedance.map(|value| Fact {
                    value,
                    span: load.span,
                    quantity: load.quantity,
                })
            })
            .filter(|load| load.value.0 > 0.0)
            .collect()
    }

    /// Loudspeaker loads of the set-up.
    pub(super) fn loudspeakers(&self) -> Vec<Fact<Ohm>> {
        let mut different: Vec<Fact<Ohm>> = Vec::new();
        for load in self.setup_loads(|kind| kind == LoadKind::Loudspeaker) {
            if different.iter().any(|known| known.value == load.value) {
                continue;
            }
            if different.len() == LOADS {
                self.context.reached.loads.set(true);
                break;
            }
            different.push(load);
        }
        different
    }

    /// Lengths for which a figure may hold: its own, or those of the cable.
    pub(super) fn lengths(&self, own: Option<Fact<Metre>>, anchor: Span) -> Vec<Fact<Metre>> {
        match own {
            Some(own) => vec![own],
            None => self.context.nearest(&self.cable.lengths, anchor),
        }
        .into_iter()
        .filter(|length| length.value.0 > 0.0)
        .collect()
    }

    /// Frequencies at which a figure may hold: its own, or those of the set-up.
    pub(super) fn frequencies(&self, own: Option<Fact<Hertz>>, anchor: Span) -> Vec<Fact<Hertz>> {
        match own {
            Some(own) => vec![own],
            None => self
                .context
                .nearest(&self.context.facts.setup.frequencies, anchor),
        }
        .into_iter()
        .filter(|frequency| frequency.value.0 > 0.0)
        .collect()
    }

    /// Working from a size to the resistance of one conductor: size, metal, resistivity, resistance.
    pub(super) fn resistance_work(
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
        let cited = match (material.key.as_str(), best) {
            (COPPER, true) => "resistance-below-metal.copper_iacs",
            (SILVER, _) => "resistance-below-metal.silver_iacs",
            (CLAD, true) => "resistance-below-metal.clad_iacs",
            (CLAD, false) => "resistance-above-gauge.clad_iacs",
            _ => "metals",
        };
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

/// A range with the words that it rests on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known<T> {
    /// The range.
    pub(super) value: Range<T>,
    /// The words.
    pub(super) span: Span,
    /// How it is known.
    pub(super) how: &'static str,
}

/// The step that turns a stated size into an area.
pub(super) fn size_work(context: &Context<'_>, stated: &Size) -> Work {
    let work = Work::default();
    let square = stated.area.0 * 1.0e6;
    match stated.notation {
        Notation::Awg => {
            let number = stated.awg.map_or(f64::NAN, f64::from);
            work.quoted(context, "n", number, "AWG", stated.span)
                .computed("A", "π/4 · (0.127 mm · 92^((36 − n)/39))²", square, "mm²")
        }
        Notation::Strands => {
            let (count, strand) = stated.strands.unwrap_or((0, Metre(f64::NAN)));
            work.quoted(context, "d", strand.0 * 1.0e3, "mm", stated.span)
                .computed("A", format!("{count} · π/4 · d²"), square, "mm²")
        }
        Notation::SolidDiameter => {
            let diameter = size::diameter_of(stated.area);
            work.quoted(context, "d", diameter.0 * 1.0e3, "mm", stated.span)
                .computed("A", "π/4 · d²", square, "mm²")
        }
        Notation::SquareMillimetre | Notation::CircularMil | Notation::Swg => {
            work.quoted(context, "A", square, "mm²", stated.span)
        }
    }
}

/// A stated resistance per metre: as it is, or a total over its length.
pub(super) fn per_metre(figure: &Figure) -> Option<OhmPerMetre> {
    let value = match figure.kind {
        FigureKind::ResistancePerLength => figure.value,
        FigureKind::Resistance => figure.value / figure.length?.value.0,
        _ => return None,
    };
    (value.is_finite() && value > 0.0).then_some(OhmPerMetre(value))
}

/// Insertion loss of a run from a source without impedance into a resistance.
pub(super) fn loss_of(
    resistance: OhmPerMetre,
    inductance: HenryPerMetre,
    length: Metre,
    load: Ohm,
    frequency: Hertz,
) -> Decibel {
    let run = loss::Run::of_line(
        resistance,
        inductance,
        crate::units::FaradPerMetre(0.0),
        length,
    );
    loss::insertion(run, Ohm(0.0), load, frequency)
}

/// A stated figure as a reader would repeat it, with its value in plain units.
pub(super) fn say(context: &Context<'_>, figure: &Figure) -> String {
    let quote = context.quote(figure.span);
    let value = match figure.kind {
        FigureKind::ResistancePerLength => with_unit(figure.value, "Ω/m"),
        FigureKind::Resistance => match figure.length {
            Some(over) => format!(
                "{} over {}, {}",
                ohms(figure.value),
                length(over.value.0),
                with_unit(figure.value / over.value.0, "Ω/m")
            ),
            None => ohms(figure.value),
        },
        _ => return format!("“{quote}”"),
    };
    format!("“{quote}” ({value})")
}

/// A stated size as a reader would repeat it, with its area.
pub(super) fn say_size(context: &Context<'_>, stated: &Size) -> String {
    let quote = context.quote(stated.span);
    if stated.notation == Notation::SquareMillimetre {
        format!("“{quote}”")
    } else {
        format!("“{quote}” ({})", area(stated.area.0))
    }
}

/// A gauge with one decimal, or whole when it is near one: `12 AWG`, `13.4 AWG`, `2/0 AWG`.
pub(super) fn say_gauge(exact: f64) -> String {
    let whole = exact.round();
    if (exact - whole).abs() < 0.15 || whole <= 0.0 {
        let number = size::nearest_gauge(size::awg_area(exact));
        format!("{} AWG", size::gauge_name(number))
    } else {
        format!("{exact:.1} AWG")
    }
}

/// How far the number as written may be off by rounding, as a share of it: half of the last digit, held to the default `rounding_high`.
pub(super) fn rounding(context: &Context<'_>, span: Span) -> f64 {
    let quote = context.quote(span);
    let number: String = quote
        .chars()
        .skip_while(|letter| !letter.is_ascii_digit())
        .take_while(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ','))
        .collect();
    let number = number.trim_end_matches(['.', ',']).replace(',', ".");
    let most = context.default("rounding_high");
    let Ok(value) = number.parse::<f64>() else {
        return 0.0;
    };
    let decimals = number
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let half = 0.5 * 10f64.powi(-i32::try_from(decimals).unwrap_or(0));
    if value > 0.0 {
        (half / value).min(most)
    } else {
        0.0
    }
}
