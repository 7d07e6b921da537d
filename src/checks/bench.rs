//! What the statements about one cable give, as ranges over everything that it leaves open: lay, tinning, temperature, metal,
//! build, inductance. The checks hold stated figures against these ranges.
//!
//! The values that stand for what is left open are the table `defaults` of the rule files.
//!
//! Metals, sizes and resistance stand here, since everything else rests on them. No check may be known here: a check asks the bench.

mod reactance;
mod setting;
mod sources;
mod words;

pub(super) use words::{loss_of, per_metre, rounding, say, say_gauge, say_size, size_work};

use super::Context;
use crate::facts::{Build, Cable, Fact, Notation, Size, SizeOf};
use crate::physics::iec60228::{self, Class};
use crate::physics::{Range, conductor, metal, size};
use crate::span::Span;
use crate::units::{
    Celsius, HenryPerMetre, Metre, Ohm, OhmMetre, OhmPerMetre, PerKelvin, SquareMetre,
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

/// Most ways to share the conductors of a cable out to its poles that are looked at.
const SHARES: usize = 4;

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
                metals.extend(Material::of(context, fact.value, Some(fact.span)));
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

    /// The cable itself.
    pub(super) fn cable(&self) -> &Cable {
        self.cable
    }

    /// Benches of all cables, one after the other: of a document of many cables no more than one is kept.
    pub(super) fn all(context: &Context<'c>) -> impl Iterator<Item = Self> {
        context
            .cables()
            .map(|(index, cable)| Self::new(context, index, cable))
    }

    /// Benches of all cables, and of the passages that offer a use by themselves.
    pub(super) fn offering(context: &'c Context<'c>) -> impl Iterator<Item = Self> {
        let cables = context.facts.cables.len();
        let offers = context.facts.offers.iter().enumerate();
        let offers = offers.map(move |(number, cable)| Self::new(context, cables + number, cable));
        Self::all(context).chain(offers)
    }

    /// Benches of all cables, and of the depths of current and the constants in common that are told of no cable.
    pub(super) fn with_depths(context: &'c Context<'c>) -> impl Iterator<Item = Self> {
        let before = context.facts.cables.len() + context.facts.offers.len();
        let depths = context.facts.depths.iter().enumerate();
        let depths = depths.map(move |(number, cable)| Self::new(context, before + number, cable));
        Self::all(context).chain(depths)
    }

    /// Benches of all cables, and of the wires of which a figure is stated apart from them.
    pub(super) fn with_apart(context: &'c Context<'c>) -> impl Iterator<Item = Self> {
        let facts = context.facts;
        let before = facts.cables.len() + facts.offers.len() + facts.depths.len();
        let apart = facts.apart.iter().enumerate();
        let apart = apart.map(move |(number, cable)| Self::new(context, before + number, cable));
        Self::all(context).chain(apart)
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

    /// Where the document names that metal: in the sentence of `figure`, else where it first does.
    pub(super) fn nearest(&self, material: &Material, figure: Span) -> Option<Span> {
        let sentence = self.context.sentence(figure);
        let mut named = self.cable.metals.iter();
        let beside = named.find(|metal| {
            metal.value == material.key && self.context.sentence(metal.span) == sentence
        });
        beside.map(|metal| metal.span).or(material.span)
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
                other.strands.as_deref().is_some_and(|&(count, strand)| {
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
            Some((count, span)) if count >= 4 => {
                let pole = count / 2;
                let shares = (2..pole).filter(|share| pole.is_multiple_of(*share));
                let between = shares.map(|share| (share, span)).take(SHARES);
                let mut all: Vec<(u32, Option<Span>)> = vec![(1, None)];
                all.extend(between);
                all.push((pole, span));
                all
            }
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
