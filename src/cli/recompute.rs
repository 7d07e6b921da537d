//! `claimgauge recompute`: one cable, everything that its physics says.
//!
//! Long: one answer, its options and its two ways of being written.

use super::asked::{
    self, BuildWord, Style, UsageError, digits, metres_and_feet, prefixed, spread, trimmed,
};
use crate::physics::loss;
use crate::physics::pair::{End, USUAL_SPACING};
use crate::physics::{
    Build, Insulation, Metal, Pair, Pole, Range, conductor, heat, iec60228, line, size, skin,
};
use crate::report::plot::{self, Curve, Panel};
use crate::units::{Celsius, Decibel, Hertz, Metre, Ohm, SquareMetre, Watt};
use clap::{ArgGroup, Args};
use serde_json::{Value, json};
use std::fmt::Write as _;
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
            Metre(5.0),
            "length 5 m, one way",
        )?;
        let load = given(
            options.load.as_ref(),
            asked::load,
            &mut assumed,
            Ohm(8.0),
            "load 8 Ω, resistive",
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
            Hertz(20.0e3),
            "frequency 20 kHz",
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
                .map_or(Ok(Decibel(0.2)), asked::budget)?,
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

/// Frequencies of the table and borders of the drawing.
const TABLE: [f64; 9] = [
    20.0, 100.0, 1.0e3, 5.0e3, 10.0e3, 20.0e3, 30.0e3, 50.0e3, 100.0e3,
];

fn detail(case: &Case) -> Value {
    let upper = case.upper();
    let run = case.pair.run(upper, case.length);
    let f = case.frequency;
    let range = case.loss(f);
    let proximity = case.pair.proximity(f);
    let z = (f.0 > 0.0).then(|| {
        line::impedance_at(
            upper.resistance,
            upper.inductance,
            case.pair.capacitance(),
            f,
        )
    });
    let share = loss::lost_share(case.r_dc(), case.load);
    let heat = case.power.map(|power| {
        let current = loss::current(power, case.load);
        let each = current / f64::from(case.pair.pole.parallel);
        json!({
            "current_a": current.0,
            "current_density_a_per_m2": heat::current_density(current, case.pair.pole.total_area()).0,
            "lost_power_w": loss::lost_power(power, case.r_dc(), case.load).0,
            "rise_at_most_k": rise(case, each).map(|rise| rise.0),
            "caution": heat::CAUTION,
        })
    });
    json!({
        "frequency_hz": f.0,
        "length_m": case.length.0,
        "load_ohm": case.load.0,
        "source_ohm": case.source.0,
        "temperature_c": case.temperature.0,
        "metal": case.metal.key,
        "resistivity_ohm_m": case.pair.resistivity.0,
        "spacing_m": case.pair.spacing.0,
        "skin_depth_m": finite(skin::depth(case.pair.resistivity, f, 1.0).0),
        "loss_low_db": range.low.0,
        "loss_high_db": range.high.0,
        "insertion_loss_db": loss::insertion(run, case.source, case.load, f).0,
        "resistive_loss_db": loss::resistive(run.resistance, case.load).0,
        "inductive_loss_db": loss::inductive(run.inductance, case.load, f).0,
        "damping_factor_cable_alone": loss::damping_factor(case.r_dc(), Ohm(0.0), case.load),
        "lost_power_share": share,
        "z0_at_frequency_ohm": z.map(|z| json!({"re": z.re, "im": z.im, "abs": z.norm()})),
        "delay_s": line::delay(case.length, velocity(case)).0,
        "proximity": {"factor": proximity.factor, "x": proximity.x, "in_range": proximity.in_range, "statement": proximity.statement()},
        "heat": heat,
        "loss_against_frequency": TABLE.iter().map(|f| {
            let loss = case.loss(Hertz(*f));
            json!({"frequency_hz": f, "low_db": loss.low.0, "high_db": loss.high.0})
        }).collect::<Vec<_>>(),
    })
}

/// JSON has no infinity.
fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

fn rise(case: &Case, current: crate::units::Ampere) -> Option<crate::units::Kelvin> {
    heat::rise(
        current,
        conductor::resistance_per_metre(
            case.pair.resistivity,
            case.pair.pole.area,
            case.pair.pole.lay,
        ),
        size::diameter_of(case.pair.pole.area),
        conductor::coefficient_at(case.metal.alpha20, case.temperature),
    )
}

/// Velocity factor with the field outside the conductors alone, that of frequencies where ωL is well above R.
fn velocity(case: &Case) -> f64 {
    line::velocity_factor(
        case.pair.constants.external_inductance,
        case.pair.constants.capacitance,
    )
}

fn lossless(case: &Case) -> Ohm {
    line::lossless_impedance(
        case.pair.constants.external_inductance / f64::from(case.pair.pole.parallel),
        case.pair.capacitance(),
    )
}

fn as_json(case: &Case) -> Value {
    let [low, high] = case.pair.ends(case.frequency);
    let solid = case.pair.solid(case.frequency);
    let area = case.pair.pole.total_area();
    json!({
        "area_m2": area.0,
        "r_loop_dc_ohm": case.r_dc().0,
        "r_loop_ac_ohm": {
            "low": case.r_of(low).0,
            "high": case.r_of(high).0,
            "solid": case.r_of(solid).0,
        },
        "skin_ratio": high.skin_ratio,
        "l_loop_h": high.inductance.0 * case.length.0,
        "c_total_f": case.pair.capacitance().0 * case.length.0,
        "z0_ohm": lossless(case).0,
        "velocity_factor": velocity(case),
        "loss_db": case.loss_of(high, case.frequency).0,
        "damping_factor": loss::damping_factor(case.r_dc(), case.source, case.load),
        "equivalent_awg": size::equivalent_awg(area),
        "assumed": case.assumed,
        "detail": detail(case),
    })
}

fn hertz(frequency: f64) -> String {
    if frequency < f64::MIN_POSITIVE {
        return "0 Hz".to_owned();
    }
    let (value, unit) = if frequency >= 1.0e6 {
        (frequency / 1.0e6, "MHz")
    } else if frequency >= 1.0e3 {
        (frequency / 1.0e3, "kHz")
    } else {
        (frequency, "Hz")
    };
    format!("{} {unit}", trimmed(value, 3))
}

/// Lines of a table: label, figure, remark.
fn lines(case: &Case) -> Vec<(String, String, String)> {
    let f = case.frequency;
    let at = hertz(f.0);
    let [low, high] = case.pair.ends(f);
    let area = case.pair.pole.total_area();
    let run = case.pair.run(high, case.length);
    let loss = case.loss(f);
    let mut out: Vec<(String, String, String)> = Vec::new();
    let mut put =
        |label: &str, figure: String, remark: String| out.push((label.to_owned(), figure, remark));
    put(
        "metal area of a pole",
        format!("{} mm²", digits(area.0 * 1.0e6, 4)),
        format!("{} AWG", trimmed(size::equivalent_awg(area), 2)),
    );
    put(
        "loop resistance, 0 Hz",
        format!("{} Ω", digits(case.r_dc().0, 4)),
        format!(
            "{} per metre of cable",
            prefixed(case.pair.resistance_dc().0, "Ω", 4)
        ),
    );
    if let Some(most) = case.nominal_maximum() {
        put(
            "  most by IEC 60228",
            format!("{} Ω", digits(most.0, 4)),
            "class 5, flexible, at 20 °C".to_owned(),
        );
    }
    let ends = match case.pair.pole.build {
        Build::Solid => "one solid wire",
        Build::InsulatedStrands { .. } => "insulated strands",
        Build::Strands { .. } | Build::Unknown => "insulated strands … one solid wire",
    };
    put(
        &format!("loop resistance, {at}"),
        format!("{} Ω", spread(case.r_of(low).0, case.r_of(high).0, 4)),
        ends.to_owned(),
    );
    put(
        "skin effect",
        format!("× {}", spread(low.skin_ratio, high.skin_ratio, 4)),
        if f.0 > 0.0 {
            format!(
                "skin depth {} mm",
                digits(skin::depth(case.pair.resistivity, f, 1.0).0 * 1.0e3, 3)
            )
        } else {
            String::new()
        },
    );
    let proximity = case.pair.proximity(f);
    put(
        "proximity, not counted in",
        format!("+ {} %", digits(100.0 * proximity.factor, 2)),
        if proximity.in_range {
            "solid wire, IEC 60287-1-1".to_owned()
        } else {
            format!(
                "order of magnitude: x_p {} is above the 2.8 of IEC 60287-1-1",
                digits(proximity.x, 2)
            )
        },
    );
    put(
        "loop inductance",
        prefixed(run.inductance.0, "H", 3),
        format!("{} per metre of cable", prefixed(high.inductance.0, "H", 3)),
    );
    put(
        "capacitance",
        prefixed(run.capacitance.0, "F", 3),
        format!(
            "{} per metre of cable",
            prefixed(case.pair.capacitance().0, "F", 3)
        ),
    );
    put(
        "characteristic impedance",
        format!("{} Ω", digits(lossless(case).0, 3)),
        if f.0 > 0.0 {
            let z =
                line::impedance_at(high.resistance, high.inductance, case.pair.capacitance(), f);
            format!(
                "√(L/C) of the outer field; at {at} it is {} − j{} Ω",
                digits(z.re, 3),
                digits(-z.im, 3)
            )
        } else {
            "√(L/C) of the outer field, for radio frequencies".to_owned()
        },
    );
    put(
        "velocity factor",
        digits(velocity(case), 3),
        format!(
            "the run takes {}",
            prefixed(line::delay(case.length, velocity(case)).0, "s", 3)
        ),
    );
    put(
        &format!("loss, {at}"),
        format!("{} dB", spread(loss.low.0, loss.high.0, 3)),
        if case.source.0 > 0.0 {
            format!(
                "source to load; {} dB by the cable",
                digits(loss::insertion(run, case.source, case.load, f).0, 3)
            )
        } else {
            "source to load".to_owned()
        },
    );
    put(
        "  by resistance alone",
        format!(
            "{} dB",
            spread(
                loss::resistive(case.r_of(low), case.load).0,
                loss::resistive(case.r_of(high), case.load).0,
                3
            )
        ),
        String::new(),
    );
    put(
        "  by inductance alone",
        format!(
            "{} dB",
            digits(loss::inductive(run.inductance, case.load, f).0, 3)
        ),
        String::new(),
    );
    put(
        "damping factor",
        digits(loss::damping_factor(case.r_dc(), case.source, case.load), 3),
        if case.source.0 > 0.0 {
            format!(
                "with the source; {} by the cable alone",
                digits(loss::damping_factor(case.r_dc(), Ohm(0.0), case.load), 3)
            )
        } else {
            "by the cable alone".to_owned()
        },
    );
    put(
        "power left in the cable",
        format!(
            "{} %",
            digits(100.0 * loss::lost_share(case.r_dc(), case.load), 3)
        ),
        "of what the amplifier delivers".to_owned(),
    );
    if let Some(power) = case.power {
        let current = loss::current(power, case.load);
        let each = current / f64::from(case.pair.pole.parallel);
        let density = heat::current_density(current, case.pair.pole.total_area());
        put(
            "current",
            format!("{} A", digits(current.0, 3)),
            format!("{} A/mm²", digits(density.0 * 1.0e-6, 3)),
        );
        put(
            "rise of temperature",
            rise(case, each).map_or_else(
                || "runs away".to_owned(),
                |rise| format!("up to {} K", digits(rise.0, 2)),
            ),
            "rough bound, bare wire in free air".to_owned(),
        );
    }
    out
}

fn as_text(case: &Case) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}, {} conductors, {}, {}",
        case.size_words,
        case.conductors,
        case.metal.name,
        metres_and_feet(case.length)
    );
    let _ = writeln!(
        out,
        "into {} Ω at {}, conductors at {} °C, {}\n",
        trimmed(case.load.0, 3),
        hertz(case.frequency.0),
        trimmed(case.temperature.0, 1),
        case.insulation.name,
    );
    let lines = lines(case);
    let wide = |pick: fn(&(String, String, String)) -> &String| {
        lines
            .iter()
            .map(|line| pick(line).chars().count())
            .max()
            .unwrap_or(0)
    };
    let (labels, figures) = (wide(|line| &line.0), wide(|line| &line.1));
    for (label, figure, remark) in &lines {
        let row = format!("  {label:labels$}  {figure:figures$}  {remark}");
        let _ = writeln!(out, "{}", row.trim_end());
    }
    let _ = writeln!(out, "\nLoss against frequency, source to load");
    for f in TABLE {
        let loss = case.loss(Hertz(f));
        let _ = writeln!(
            out,
            "  {:>8}  {} dB",
            hertz(f),
            spread(loss.low.0, loss.high.0, 3)
        );
    }
    let _ = writeln!(out, "\nAssumed");
    for line in &case.assumed {
        let _ = writeln!(out, "  - {line}");
    }
    if case.power.is_some() {
        let _ = writeln!(out, "\nHeat: {}.", heat::CAUTION);
    }
    out
}

/// The drawing: loss above, resistance of the loop below, both against frequency.
fn drawing(case: &Case) -> String {
    let frequencies: Vec<f64> = (0..=148)
        .map(|step| 20.0 * 5000f64.powf(f64::from(step) / 148.0))
        .collect();
    let curve = |name: &str, pick: &dyn Fn(usize) -> f64| Curve {
        name: name.to_owned(),
        points: frequencies
            .iter()
            .enumerate()
            .map(|(i, f)| (*f, pick(i)))
            .collect(),
    };
    let ends: Vec<[End; 2]> = frequencies
        .iter()
        .map(|f| case.pair.ends(Hertz(*f)))
        .collect();
    let at = |i: usize| Hertz(frequencies[i]);
    let alike = matches!(
        case.pair.pole.build,
        Build::Solid | Build::InsulatedStrands { .. }
    );
    let names: &[(usize, &str)] = if alike {
        &[(1, "this conductor")]
    } else {
        &[(0, "insulated strands"), (1, "one solid wire")]
    };
    let loss = names
        .iter()
        .map(|(end, name)| curve(name, &|i| case.loss_of(ends[i][*end], at(i)).0))
        .collect();
    let resistance = names
        .iter()
        .map(|(end, name)| curve(name, &|i| 1.0e3 * case.r_of(ends[i][*end]).0))
        .collect();
    let upper = case.loss(Hertz(20.0e3)).high;
    plot::svg(
        &format!(
            "{}, {}, {} into {} Ω",
            case.size_words,
            case.metal.name,
            metres_and_feet(case.length),
            trimmed(case.load.0, 3)
        ),
        &format!(
            "Two drawings over one frequency axis, 20 Hz to 100 kHz. Above: loss from source to load, up to {} dB at 20 kHz, \
             with the budget of {} dB marked. Below: resistance of the loop, {} mΩ at 0 Hz.",
            digits(upper.0, 3),
            trimmed(case.budget.0, 3),
            digits(1.0e3 * case.r_dc().0, 4)
        ),
        &[
            Panel {
                label: "loss, dB".to_owned(),
                curves: loss,
                mark: Some((
                    case.budget.0,
                    format!("budget {} dB", trimmed(case.budget.0, 3)),
                )),
            },
            Panel {
                label: "loop resistance, mΩ".to_owned(),
                curves: resistance,
                mark: None,
            },
        ],
    )
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
