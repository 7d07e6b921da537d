//! What a document says about cables, typed and with the words each fact was read from.

pub use super::fact::{Fact, narrow};
use super::gain::Gain;
use super::{Besides, Conditions, Names, Spans};
use crate::sheet::Sheet;
use crate::span::Span;
use crate::units::{Ampere, Hertz, Metre, Ohm, SquareMetre, Volt, Watt};

/// What kind of document it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DocumentKind {
    /// Describes one cable.
    Sheet,
    /// Sets two or more cables side by side, with an outcome or a preference.
    Comparison,
    /// Lists several sizes or models without an outcome.
    Range,
    /// Says which size suits which length or load.
    Chart,
    /// Running text about cables.
    #[default]
    Article,
}

impl DocumentKind {
    /// The word used in reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Comparison => "comparison",
            Self::Range => "range",
            Self::Chart => "chart",
            Self::Article => "article",
        }
    }
}

/// All that was understood of one document.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    /// What kind of document it is.
    pub kind: DocumentKind,
    /// Cables in the order in which they are first named.
    pub cables: Vec<Cable>,
    /// Loads, drive, blinding, levels, scores.
    pub setup: Setup,
    /// Cables set side by side with an outcome.
    pub comparisons: Vec<Comparison>,
    /// Sides that are told apart by words and differ in one thing.
    pub contrasts: Vec<Contrast>,
    /// What is put above a cable of which no name and no size is told.
    pub rivalry: Option<Rivalry>,
    /// Indices of quantities that were given to no cable and to no set-up, in order, in 32 bits.
    pub unclaimed: Vec<u32>,
    /// Uses that passages of running text offer, each with the size of its passage, whatever cable that is.
    pub offers: Vec<Cable>,
    /// Depths to which current goes, told of a metal and of no cable: one figure each, with the metal.
    pub depths: Vec<Cable>,
    /// Rises of resistance, losses and damping factors of a wire by its size, whatever cable that is: one figure each, with the size.
    pub apart: Vec<Cable>,
    /// Differences that are told of cables whose sizes all stand in the passage.
    pub gains: Vec<Gain>,
    /// Statements about what conductors come to when they are joined.
    pub bundles: Vec<Bundle>,
    /// Sentences that set clad wire and copper apart, or tell how far it falls short, in order.
    pub clad_apart: Vec<Span>,
    /// Limits that were reached, in words.
    pub limited: Vec<String>,
}

impl Facts {
    /// Where cables are called by a name with a capital.
    #[must_use]
    pub fn names<'s>(&self, sheet: &'s Sheet) -> Names<'s> {
        let text = sheet.flow.text();
        let named = self.cables.iter().filter(|cable| cable.named);
        let mentions = named.flat_map(|cable| cable.mentions.iter());
        let names = mentions.filter(|span| span.of(text).starts_with(char::is_uppercase));
        Names::new(&sheet.sentences, names)
    }
}

/// “Two of 14 AWG in parallel make 11 AWG”.
#[derive(Debug, Clone)]
pub struct Bundle {
    /// Every number of conductors that the words allow.
    pub counts: Vec<Fact<u32>>,
    /// One conductor.
    pub wire: Size,
    /// What they are said to come to.
    pub whole: Size,
}

/// How a size was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Notation {
    /// American Wire Gauge.
    Awg,
    /// Standard Wire Gauge.
    Swg,
    /// kcmil, MCM or circular mils.
    CircularMil,
    /// A nominal cross-section in mm².
    SquareMillimetre,
    /// Strands × strand diameter.
    Strands,
    /// Diameter of a solid wire.
    SolidDiameter,
}

/// Which conductor a stated size is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SizeOf {
    /// Each conductor (the ordinary reading).
    #[default]
    Conductor,
    /// All conductors of one pole together, as stated by the document ("combined gauge 11 AWG").
    Combined,
}

/// A stated conductor size.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Area of one conductor (or of the bundle when `of` is [`SizeOf::Combined`]) by the formula of its notation.
    pub area: SquareMetre,
    /// How it was written.
    pub notation: Notation,
    /// AWG number for [`Notation::Awg`]; 4/0 is −3.
    pub awg: Option<i32>,
    /// Which conductor.
    pub of: SizeOf,
    /// Number of conductors written with it (`4 x 14 AWG`, `14/4`).
    pub conductors: Option<u32>,
    /// Strand count and diameter for [`Notation::Strands`].
    pub strands: Option<Box<(u32, Metre)>>,
    /// Whether it is one end of a range or a limit, so that it fixes no one size.
    pub loose: bool,
    /// Whether the words put it forward (“I would buy 12 gauge”): figures told before it are none of its.
    pub proposed: bool,
    /// The words.
    pub span: Span,
    /// Index of the quantity, in 32 bits.
    pub quantity: u32,
}

/// Which way a resistance is said to count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reading {
    /// There and back.
    Loop,
    /// One conductor.
    Single,
    /// Not said.
    #[default]
    Unsaid,
}

/// What a stated figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FigureKind {
    /// Resistance, total, Ω.
    Resistance,
    /// Resistance per length, Ω/m.
    ResistancePerLength,
    /// Inductance per length, H/m.
    InductancePerLength,
    /// Capacitance per length, F/m.
    CapacitancePerLength,
    /// Characteristic impedance, Ω.
    CharacteristicImpedance,
    /// Velocity as a share of that of light.
    VelocityFactor,
    /// Insertion loss, dB.
    Loss,
    /// Damping factor at the loudspeaker end of the cable.
    DampingFactor,
    /// Damping factor said to be the amplifier's own.
    AmplifierDampingFactor,
    /// Rise of resistance with frequency (skin effect), per cent.
    SkinRise,
    /// Skin depth, m.
    SkinDepth,
    /// Conductivity, % IACS.
    Conductivity,
    /// Purity, per cent.
    Purity,
    /// Power that the cable is said to carry, W.
    PowerRating,
}

/// A stated figure with the conditions said with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is.
    pub kind: FigureKind,
    /// Value in SI units (see [`FigureKind`]).
    pub value: f64,
    /// The words of the quantity.
    pub span: Span,
    /// Index of the quantity, in 32 bits.
    pub quantity: u32,
    /// Loop or single, for resistances.
    pub reading: Reading,
    /// How it is bounded.
    pub bound: crate::sheet::Bound,
    /// The document denies it ("they give 9 AWG; it is 12").
    pub denied: bool,
    /// What is said with it; a figure is read as if it had these fields itself.
    pub said: Option<Box<Conditions>>,
}

/// How a conductor is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Build {
    /// One solid wire.
    Solid,
    /// Bare strands in contact.
    Stranded,
    /// Strands insulated from one another.
    InsulatedStrands,
    /// Flat foil or ribbon.
    Foil,
}

/// A cable that the document describes.
#[derive(Debug, Clone, Default)]
pub struct Cable {
    /// What it is called: a name, a label ("Sample A"), a role ("ours"), or its size; empty for the one cable of a sheet.
    pub name: String,
    /// Whether it has a name or a label of its own, and is not only the one that a document tells of.
    pub named: bool,
    /// Words that name it, first mention first.
    pub mentions: Spans,
    /// Stated sizes.
    pub sizes: Vec<Size>,
    /// Conductors in all, where said.
    pub conductors: Option<Fact<u32>>,
    /// Stated lengths, one way, plug to plug.
    pub lengths: Vec<Fact<Metre>>,
    /// Conductor metals, by their key in the metal table (`copper`, `silver`, `copper-clad-aluminium`, …).
    pub metals: Vec<Fact<&'static str>>,
    /// Stated figures.
    pub figures: Vec<Figure>,
    /// What few have; a cable is read as if it had these fields itself.
    pub besides: Option<Box<Besides>>,
}

/// A use that the document offers or recommends for a cable.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Use {
    /// Run length, one way.
    pub length: Option<Fact<Metre>>,
    /// Nominal load.
    pub load: Option<Fact<Load>>,
    /// Amplifier power.
    pub power: Option<Fact<Watt>>,
    /// The words that offer it.
    pub span: Span,
}

/// What hangs on the far end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LoadKind {
    /// A loudspeaker, or a load of stated ohms that is not said to be anything else.
    #[default]
    Loudspeaker,
    /// A lamp.
    Lamp,
    /// A bench resistor.
    Resistor,
}

/// A load.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Load {
    /// Nominal impedance or resistance, where said.
    pub impedance: Option<Ohm>,
    /// What it is.
    pub kind: LoadKind,
    /// Rated power of a lamp.
    pub lamp_power: Option<Watt>,
}

/// A driving source of one side: an amplifier, a supply.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drive {
    /// Rated or used power.
    pub power: Option<Fact<Watt>>,
    /// Voltage.
    pub voltage: Option<Fact<Volt>>,
    /// The words that name it.
    pub span: Span,
}

/// What a drive is told by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Rated or used power.
    Power(Fact<Watt>),
    /// Voltage.
    Voltage(Fact<Volt>),
    /// Current.
    Current(Fact<Ampere>),
}

impl Amount {
    /// The words.
    #[must_use]
    pub fn span(&self) -> Span {
        match self {
            Self::Power(power) => power.span,
            Self::Voltage(voltage) => voltage.span,
            Self::Current(current) => current.span,
        }
    }
}

/// Who knew which cable was playing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Blinding {
    /// Listeners did not know.
    Blind,
    /// Listeners or the presenter knew.
    Sighted,
}

/// How levels were set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Matching {
    /// Matched, with the tolerance in dB where said.
    Matched(Option<f64>),
    /// Said not to be matched.
    Unmatched,
    /// Said to be so many dB apart and left so.
    Left(f64),
}

/// A score of identifications or votes.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// Correct answers or votes for one side.
    pub correct: u32,
    /// Trials or votes in all.
    pub trials: u32,
    /// Chance of one right answer, 1/2 unless the procedure says otherwise, with the words.
    pub chance: Option<Fact<f64>>,
    /// The document offers it as proof.
    pub offered_as_proof: bool,
    /// It counts right answers, and not what was liked.
    pub identified: bool,
    /// The words.
    pub span: Span,
    /// Index of the quantity, when the two numbers are one.
    pub quantity: Option<usize>,
}

/// The set-up of a test, or the use conditions of a sheet.
#[derive(Debug, Clone, Default)]
pub struct Setup {
    /// Loads that all sides share.
    pub loads: Vec<Fact<Load>>,
    /// Frequencies named for the test.
    pub frequencies: Vec<Fact<Hertz>>,
    /// Drives that all sides share, each told by one amount.
    pub drives: Vec<Amount>,
    /// Who knew.
    pub blinding: Option<Fact<Blinding>>,
    /// All that is said of who knew, in reading order.
    pub knew: Vec<Fact<Blinding>>,
    /// Those of them that are somebody else's report.
    pub hearsay: Vec<Span>,
    /// Those of them that are told to the very people who knew (“you both knew which was on”).
    pub addressed: Vec<Span>,
    /// What is said of who knew and then put in doubt, or asked about, by the document itself.
    pub doubted: Vec<Span>,
    /// Sentences at which another voice begins to speak: letters and the answers to them.
    pub voices: Vec<usize>,
    /// Words that report that one side was liked better.
    pub preferred: Vec<Span>,
    /// How levels were set.
    pub matching: Option<Fact<Matching>>,
    /// Scores.
    pub scores: Vec<Score>,
}

/// Words that put something above a cable of which no name and no size is told ("the stock leads").
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rivalry {
    /// The better outcome.
    pub outcome: Span,
    /// The words that name the rival.
    pub rival: Span,
}

/// What a comparison is about, as it says itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// The size of the conductor.
    Size,
    /// The length.
    Length,
    /// The metal.
    Metal,
}

/// One side of a comparison.
#[derive(Debug, Clone, Default)]
pub struct Side {
    /// Index in [`Facts::cables`].
    pub cable: usize,
    /// Load of this side alone.
    pub load: Option<Box<Fact<Load>>>,
    /// Drive of this side alone.
    pub drive: Option<Box<Drive>>,
    /// What a table says of the loudspeaker, lamp or load of this side.
    pub load_words: Option<Span>,
    /// What a table says of the amplifier or supply of this side.
    pub drive_words: Option<Span>,
    /// Its lengths are told as those that it is sold in.
    pub sold: bool,
}

/// How the outcome was stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The words.
    pub span: Span,
    /// Index in [`Comparison::sides`] of the better one, when said.
    pub winner: Option<usize>,
    /// Stated difference, if any.
    pub difference: Vec<Difference>,
}

/// What a stated difference is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DifferenceOf {
    /// Level in dB.
    Level,
    /// Power, per cent.
    Power,
    /// Voltage, per cent.
    Voltage,
    /// Brightness of a lamp, per cent.
    Brightness,
}

/// A stated difference between two sides.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Of what.
    pub of: DifferenceOf,
    /// dB for levels; otherwise the ratio of the better to the worse (1.4 for "40 % brighter").
    pub value: f64,
    /// The words.
    pub span: Span,
}

/// What words that tell two sides apart say of both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trait {
    /// Section of one conductor, m².
    Size,
    /// Length of the run, m.
    Length,
    /// Load, Ω.
    Load,
    /// Rated power of the lamp, W.
    Lamp,
    /// Power of the amplifier, W.
    Power,
    /// Voltage of the supply, V.
    Voltage,
}

/// What two sides have each, of one kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Apart {
    /// Values in SI units.
    Values(Trait, [Fact<f64>; 2]),
    /// Keys of metals.
    Metals([Fact<&'static str>; 2]),
    /// Words for gear of two kinds.
    Gear(Trait, [Span; 2]),
}

/// “The left one has 22 V, the right one 24 V”: two sides that differ in one thing, whatever the cables are called.
#[derive(Debug, Clone, PartialEq)]
pub struct Contrast {
    /// What differs.
    pub of: Apart,
    /// The words that mean each side.
    pub sides: [Span; 2],
    /// The words that report an outcome.
    pub outcome: Option<Span>,
    /// The outcome is put down to a part of a cable that is named where the sides are told apart: what is said far off is of them.
    pub joined: bool,
}

/// Two or more cables set side by side with an outcome or a preference.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// The sides, two or more.
    pub sides: Vec<Side>,
    /// What the document says that the test is of.
    pub subjects: Vec<Subject>,
    /// The outcome.
    pub outcome: Option<Outcome>,
    /// The words that put the outcome down to something that is no metal.
    pub credit: Option<Span>,
    /// Somebody puts the outcome down to something, whatever that is.
    pub credited: bool,
    /// The words that set the sides side by side.
    pub span: Span,
    /// A listening test (as against a lamp or a meter).
    pub listening: bool,
    /// The document says that sides were alike, so that no difference was found.
    pub null: bool,
    /// The document itself points out that the sides were unequal.
    pub critique: bool,
}

impl Setup {
    /// Whether one voice tells two sentences.
    #[must_use]
    pub fn one_voice(&self, first: usize, second: usize) -> bool {
        let voice = |sentence: usize| self.voices.partition_point(|&start| start <= sentence);
        voice(first) == voice(second)
    }
}

impl Cable {
    /// The best-known size of one conductor: a gauge or a nominal section before strands; none when sizes are loose.
    #[must_use]
    pub fn conductor(&self) -> Option<&Size> {
        let own = || {
            self.sizes
                .iter()
                .filter(|size| size.of == SizeOf::Conductor && !size.loose)
        };
        own()
            .find(|size| matches!(size.notation, Notation::Awg | Notation::SquareMillimetre))
            .or_else(|| own().next())
    }

    /// Area that carries the current of one pole, paralleled conductors added up, with the size it rests on.
    #[must_use]
    pub fn effective_area(&self) -> Option<(SquareMetre, &Size)> {
        if let Some(size) = self.conductor() {
            let parallel = self.parallel.map_or(1, |fact| fact.value);
            return Some((size.area * f64::from(parallel), size));
        }
        let combined = self
            .sizes
            .iter()
            .find(|size| size.of == SizeOf::Combined && !size.loose)?;
        Some((combined.area, combined))
    }

    /// Whether conductors are taken to be in parallel for their number alone: “14/4” may as well serve two loudspeakers.
    #[must_use]
    pub fn is_joined_by_count(&self) -> bool {
        let joined = self.parallel.filter(|fact| fact.value > 1);
        joined.is_some_and(|fact| self.sizes.iter().any(|size| size.span == fact.span))
    }

    /// The one stated length, when all that are stated agree within one per cent.
    #[must_use]
    pub fn length(&self) -> Option<Fact<Metre>> {
        let first = *self.lengths.first()?;
        let same = self
            .lengths
            .iter()
            .all(|length| (length.value / first.value - 1.0).abs() < 0.01);
        same.then_some(first)
    }

    /// Key of copper-clad aluminium.
    const CLAD: &'static str = "copper-clad-aluminium";
    /// Key of the metal of its core.
    const CORE: &'static str = "aluminium";

    /// Key of the one conductor metal that is stated.
    #[must_use]
    pub fn metal(&self) -> Option<&Fact<&'static str>> {
        // The aluminium of a clad wire is its core.
        let clad = self.metals.iter().find(|metal| metal.value == Self::CLAD);
        let first = clad.or(self.metals.first())?;
        self.metals
            .iter()
            .all(|metal| {
                metal.value == first.value || (clad.is_some() && metal.value == Self::CORE)
            })
            .then_some(first)
    }
}
