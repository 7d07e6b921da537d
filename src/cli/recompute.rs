//! `claimgauge recompute`: one cable, everything that its physics says.
//!
//! The options and the case that they make stand here; how it is shown is not decided here.

mod written;

use written::{as_json, as_text, drawing};

use super::asked::{self, BuildWord, Style, USUAL, UsageError, digits, trimmed};
use crate::physics::loss;
use crate::physics::pair::{End, USUAL_SPACING};
use crate::physics::{Build, Insulation, Metal, Pair, Pole, Range, conductor, iec60228, size};
use crate::units::{Celsius, Decibel, Hertz, Metre, Ohm, SquareMetre, Watt};
use clap::{ArgGroup, Args};
use std::path::PathBuf;

/// Options of `recompute`.
#[derive(Debug, Args)]
#[command(group = ArgGroup::new("conductor").required(true).args(["gauge", "area", "strands", "diameter"]))]
pub struct Options {
    /// Wire gauge of one conductor: 12AWG, 4/0
    #[arg(long, value_name = "AWG", allow_hyphen_values = true)]
    gauge: Option<String>,
    /// Cross-section of one conductor: 2.5mm2, 500kcmil
    #[arg(long, value_name = "AREA", allow_hyphen_values = true)]
    area: Option<String>,
    /// Strands of one conductor: 65x0.25mm
    #[arg(long, value_name = "COUNTxDIAMETER", allow_hyphen_values = true)]
    strands: Option<String>,
    /// Diameter of a solid conductor: 2.05mm
    #[arg(long, value_name = "DIAMETER", allow_hyphen_values = true)]
    diameter: Option<String>,
    /// Length of the cable, one way [default: 5m]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    length: Option<String>,
    /// Load, as a resistance [default: 8ohm]
    #[arg(long, value_name = "OHMS", allow_hyphen_values = true)]
    load: Option<String>,
    /// Metal of the conductors [default: copper]
    #[arg(long, value_name = "METAL")]
    metal: Option<String>,
    /// Conductors in all, an even number; above 2 they are in parallel for each pole [default: 2]
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    conductors: Option<String>,
    /// Temperature of the conductors [default: 20C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Spacing of the two conductors, centre to centre [default: twice the conductor's diameter]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    spacing: Option<String>,
    /// Insulation [default: PVC]
    #[arg(long, value_name = "MATERIAL")]
    insulation: Option<String>,
    /// Frequency [default: 20kHz]
    #[arg(long, value_name = "FREQUENCY", allow_hyphen_values = true)]
    frequency: Option<String>,
    /// Output impedance of the amplifier, as a resistance [default: 0]
    #[arg(long, value_name = "OHMS", allow_hyphen_values = true)]
    source: Option<String>,
    /// How much longer the strands are than the cable, in per cent [default: 0%]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    lay: Option<String>,
    /// How the conductor is made [default: not known, both ends are given]
    #[arg(long, value_enum, value_name = "BUILD")]
    build: Option<BuildWord>,
    /// Power into the load, for current and heat
    #[arg(long, value_name = "WATTS", allow_hyphen_values = true)]
    power: Option<String>,
    /// Loss to be marked in the drawing [default: 0.2dB]
    #[arg(long, value_name = "DECIBELS", allow_hyphen_values = true)]
    budget: Option<String>,
    /// How it is written
    #[arg(long, value_enum, value_name = "FORMAT", default_value = "text")]
    format: Style,
    /// Draw loss and resistance against frequency into an SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
}

/// What is to be computed, in SI units, and what had to be assumed for it.
struct Case {
    size_words: String,
    /// Nominal area, where the size was given as one.
    nominal: Option<SquareMetre>,
    conductors: u32,
    metal: &'static Metal,
    insulation: &'static Insulation,
    temperature: Celsius,
    length: Metre,
    load: Ohm,
    source: Ohm,
    frequency: Hertz,
    power: Option<Watt>,
    budget: Decibel,
    pair: Pair,
    assumed: Vec<String>,
}

/// A given option, or its default with a line under `assumed`.
fn given<T>(
    option: Option<&String>,
    read: impl FnOnce(&str) -> Result<T, UsageError>,
    assumed: &mut Vec<String>,
    default: T,
    words: &str,
) -> Result<T, UsageError> {
    match option {
        Some(text) => read(text),
        None => {
            assumed.push(words.to_owned());
            Ok(default)
        }
    }
}

fn conductors(text: &str) -> Result<u32, UsageError> {
    text.trim()
        .parse::<u32>()
        .ok()
        .filter(|count| *count >= 2 && count % 2 == 0 && *count <= 1000)
        .ok_or_else(|| {
            UsageError(format!(
                "--conductors {}: must be an even number from 2 to 1000",
                text.trim()
            ))
        })
}

impl Case {
    fn of(options: &Options) -> Result<Self, UsageError> {
        let mut assumed = Vec::new();
        let size = if let Some(text) = &options.gauge {
            asked::gauge(text)
        } else if let Some(text) = &options.area {
            asked::area(text)
        } else if let Some(text) = &options.strands {
            asked::strands(text)
        } else if let Some(text) = &options.diameter {
            asked::diameter(text)
        } else {
            Err(UsageError(
                "give a size: --gauge, --area, --strands or --diameter".to_owned(),
            ))
        }?;
        let length = given(
            options.length.as_ref(),
            asked::length,
            &mut assumed,
            USUAL.length,
            &USUAL.length_words(),
        )?;
        let load = given(
            options.load.as_ref(),
            asked::load,
            &mut assumed,
            USUAL.load,
            &USUAL.load_words(),
        )?;
        let copper = asked::metal("copper")?;
        let metal = given(
            options.metal.as_ref(),
            asked::metal,
            &mut assumed,
            copper,
            "metal copper of 100 % IACS",
        )?;
        let count = match (&options.conductors, size.conductors) {
            (Some(text), _) => conductors(text)?,
            (None, Some(count)) if count >= 2 => conductors(&count.to_string())?,
            (None, _) => {
                assumed.push("2 conductors, one for each pole".to_owned());
                2
            }
        };
        let insulation = options
            .insulation
            .as_deref()
            .map(asked::insulation)
            .transpose()?;
        let temperature = given(
            options.temperature.as_ref(),
            |text| asked::temperature(text, insulation),
            &mut assumed,
            conductor::REFERENCE,
            "temperature 20 °C",
        )?;
        let lay = given(
            options.lay.as_ref(),
            asked::lay,
            &mut assumed,
            1.0,
            "lay 0 %: twisted strands are usually 1 to 4 % longer than the cable, and have that much more resistance",
        )?;
        let frequency = given(
            options.frequency.as_ref(),
            asked::frequency,
            &mut assumed,
            USUAL.frequency,
            &USUAL.frequency_words(),
        )?;
        let source = given(
            options.source.as_ref(),
            asked::source,
            &mut assumed,
            Ohm(0.0),
            "source impedance 0 Ω, so that loss and damping factor are those of the cable alone",
        )?;
        let pole = Pole {
            area: size.area,
            parallel: count / 2,
            build: asked::build(size.build, options.build),
            lay,
        };
        match pole.build {
            Build::Unknown => assumed.push(
                "build not known: from infinitely fine insulated strands to one solid wire; single figures are those of the solid wire".to_owned(),
            ),
            Build::Strands { .. } => assumed.push(
                "strands bare and in contact: between strands insulated from one another and one solid wire of the same area; single figures are those of the solid wire".to_owned(),
            ),
            Build::Solid | Build::InsulatedStrands { .. } => {}
        }
        if metal.mu_r > 1.0 || metal.key == "copper-clad-steel" {
            assumed.push(
                "relative permeability 1: the metal is magnetic in part, and its skin effect is larger than shown".to_owned(),
            );
        }
        if pole.parallel > 1 {
            assumed.push(format!(
                "{} pairs in parallel lie apart, so that their inductances divide",
                pole.parallel
            ));
        }
        let diameter = size::diameter_of(size.area);
        let spacing = given(
            options.spacing.as_ref(),
            asked::spacing,
            &mut assumed,
            diameter * USUAL_SPACING,
            &format!(
                "spacing {} mm, twice the diameter of a solid conductor of this area (common practice, no source)",
                digits(diameter.0 * USUAL_SPACING * 1.0e3, 3)
            ),
        )?;
        let insulation = match insulation {
            Some(insulation) => insulation,
            None => {
                assumed.push("insulation PVC".to_owned());
                asked::insulation("pvc")?
            }
        };
        assumed.push(format!(
            "relative permittivity {} all round the conductors ({}: {} to {}); air around the insulation makes the capacitance smaller",
            trimmed(insulation.permittivity, 3),
            insulation.name,
            trimmed(insulation.permittivities.low, 3),
            trimmed(insulation.permittivities.high, 3),
        ));
        let pair = Pair::side_by_side(
            pole,
            metal.resistivity_at(temperature),
            Some(spacing),
            insulation.permittivity,
        )
        .ok_or_else(|| {
            UsageError(format!(
                "--spacing {} mm: conductors of {} mm would overlap; it counts from centre to centre",
                digits(spacing.0 * 1.0e3, 4),
                digits(diameter.0 * 1.0e3, 4),
            ))
        })?;
        Ok(Self {
            nominal: options.area.is_some().then_some(size.area),
            size_words: size.words,
            conductors: count,
            metal,
            insulation,
            temperature,
            length,
            load,
            source,
            frequency,
            power: options.power.as_deref().map(asked::power).transpose()?,
            budget: options
                .budget
                .as_deref()
                .map_or(Ok(USUAL.budget), asked::budget)?,
            pair,
            assumed,
        })
    }

    /// What IEC 60228 allows the loop at 20 °C, for a nominal area of copper.
    fn nominal_maximum(&self) -> Option<Ohm> {
        let tinned = match self.metal.key.as_str() {
            "copper" => false,
            "tinned-copper" => true,
            _ => return None,
        };
        let class = iec60228::Class::Flexible;
        let one = iec60228::maximum(self.nominal?, class, tinned)?;
        let parallel = f64::from(self.pair.pole.parallel);
        Some(conductor::loop_resistance(one, self.length) / parallel)
    }

    fn r_dc(&self) -> Ohm {
        self.pair.loop_resistance(self.length)
    }

    fn r_of(&self, end: End) -> Ohm {
        Ohm(end.resistance.0 * self.length.0)
    }

    fn loss_of(&self, end: End, frequency: Hertz) -> Decibel {
        loss::from_source(
            self.pair.run(end, self.length),
            self.source,
            self.load,
            frequency,
        )
    }

    /// Loss from source to load over what the build leaves open.
    fn loss(&self, frequency: Hertz) -> Range<Decibel> {
        let [a, b] = self
            .pair
            .ends(frequency)
            .map(|end| self.loss_of(end, frequency));
        Range::of(a, b)
    }

    /// The end that stands for the whole where one figure is asked for: the one of most resistance.
    fn upper(&self) -> End {
        self.pair.ends(self.frequency)[1]
    }
}

/// What the command prints; writes the drawing when one is asked for.
///
/// # Errors
/// What is wrong with an option, in one line, or why the drawing cannot be written.
pub fn run(options: &Options) -> Result<String, UsageError> {
    let case = Case::of(options)?;
    if let Some(path) = &options.plot {
        std::fs::write(path, drawing(&case))
            .map_err(|error| UsageError(format!("--plot {}: {error}", path.display())))?;
    }
    Ok(match options.format {
        Style::Text => as_text(&case),
        Style::Json => asked::json_text(&as_json(&case)),
    })
}
