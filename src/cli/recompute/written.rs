//! What was worked out, as text and as JSON, with the curves for the terminal.

use super::Case;
use crate::cli::asked::{digits, metres_and_feet, prefixed, spread, trimmed};
use crate::physics::pair::End;
use crate::physics::{Build, conductor, heat, line, loss, size, skin};
use crate::report::plot;
use crate::report::plot::{Curve, Panel};
use crate::units::{Hertz, Ohm};
use serde_json::{Value, json};
use std::fmt::Write as _;

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

pub(super) fn as_json(case: &Case) -> Value {
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

pub(super) fn as_text(case: &Case) -> String {
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
pub(super) fn drawing(case: &Case) -> String {
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
