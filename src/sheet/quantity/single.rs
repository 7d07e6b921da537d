//! One quantity by itself, as an option of the command line gives it.

use super::grammar;
use super::reader::Reader;
use super::{Context, Kind, Quantity, Si};
use crate::span::Span;

/// What to write for a kind, with an example.
fn expected(kind: Kind) -> &'static str {
    match kind {
        Kind::Gauge => "a wire gauge such as 12AWG or 4/0",
        Kind::Area => "a cross-section such as 2.5mm2 or 500kcmil",
        Kind::Diameter => "a diameter such as 2.05mm",
        Kind::Strands => "strands such as 65x0.25mm or 41x30AWG",
        Kind::Length => "a length such as 15m or 50ft",
        Kind::Resistance => "a resistance such as 0.05ohm",
        Kind::ResistancePerLength => "a resistance per length such as 8.3mohm/m",
        Kind::InductancePerLength => "an inductance per length such as 0.6uH/m",
        Kind::CapacitancePerLength => "a capacitance per length such as 60pF/m",
        Kind::Inductance => "an inductance such as 3uH",
        Kind::Capacitance => "a capacitance such as 300pF",
        Kind::DelayPerLength => "a delay per length such as 5ns/m",
        Kind::Impedance => "a load such as 8ohm",
        Kind::Frequency => "a frequency such as 20kHz",
        Kind::LevelDb => "a level such as 0.2dB",
        Kind::Power => "a power such as 100W",
        Kind::Voltage => "a voltage such as 2.83V",
        Kind::Current => "a current such as 10A",
        Kind::Temperature => "a temperature such as 20C",
        Kind::Percent => "a percentage such as 5%",
        Kind::VelocityFactor => "a velocity factor such as 0.66",
        Kind::DampingFactor => "a damping factor such as 200",
        Kind::Trials => "a score such as \"12 of 16\"",
    }
}

/// The key that such a quantity would have in a sheet.
fn key(kind: Kind) -> &'static str {
    match kind {
        Kind::Gauge => "AWG",
        Kind::Diameter => "wire diameter",
        Kind::Strands => "strands",
        Kind::Resistance => "resistance",
        Kind::Impedance => "load impedance",
        Kind::Current => "current",
        Kind::Temperature => "temperature",
        Kind::VelocityFactor => "velocity factor",
        Kind::DampingFactor => "damping factor",
        Kind::Trials => "score",
        _ => "",
    }
}

/// Reads one quantity of the kind asked for: `15m`, `50 ft`, `2,5mm2`, `65x0.25mm`, `12`, `4/0`, `8ohm`, `20C`.
///
/// ```
/// use claimgauge::sheet::{Kind, quantity::parse_one};
/// let length = parse_one("50 ft", Kind::Length)?;
/// assert!((length.si().unwrap_or_default() - 15.24).abs() < 1.0e-9);
/// assert!(parse_one("50 lb", Kind::Length).is_err());
/// # Ok::<(), String>(())
/// ```
///
/// # Errors
///
/// One line that says what was expected and what was found.
pub fn parse_one(text: &str, kind: Kind) -> Result<Quantity, String> {
    let trimmed = text.trim();
    let context = Context::of(key(kind)).decimal_comma(false);
    let mut found = Vec::new();
    Reader::new(trimmed, Span::new(0, trimmed.len()), &context, &mut found).run();
    let (1, Some(mut quantity)) = (found.len(), found.pop()) else {
        return Err(not_read(trimmed, kind));
    };
    let rest = trimmed.len() - quantity.span.len();
    let signs = trimmed
        .chars()
        .filter(|c| matches!(c, 'Ø' | 'ø' | '#' | '≤' | '~' | '<' | '>' | '+'))
        .map(char::len_utf8)
        .sum::<usize>();
    if rest > signs + 1 {
        return Err(not_read(trimmed, kind));
    }
    let same = quantity.kind == kind
        || matches!(
            (quantity.kind, kind),
            (
                Kind::Resistance | Kind::Impedance,
                Kind::Resistance | Kind::Impedance
            ) | (Kind::Length | Kind::Diameter, Kind::Length | Kind::Diameter)
                | (Kind::Percent, Kind::VelocityFactor)
        );
    if !same {
        let found = expected(quantity.kind);
        let found = found.split(" such").next().unwrap_or(found);
        return Err(format!(
            "expected {}, but `{}` is {found}",
            expected(kind),
            shown(trimmed)
        ));
    }
    if quantity.kind == Kind::Percent && kind == Kind::VelocityFactor {
        quantity.set_si(quantity.si().map(|percent| percent / 100.0));
        quantity.si_unit = Si::One;
    }
    quantity.kind = kind;
    Ok(quantity)
}

/// The text of an option as far as a message shows it.
fn shown(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}

fn not_read(text: &str, kind: Kind) -> String {
    let mut message = format!("expected {}, found `{}`", expected(kind), shown(text));
    let text = text.get(..grammar::CLAUSE).unwrap_or(text);
    if let Some((at, names)) = grammar::broken_off(text)
        && let Some(read) = text.get(..at)
    {
        let read = shown(read.trim_end());
        if read.is_empty() {
            message += ", which does not begin with a number";
        } else if names.contains(&"a unit") {
            message += &format!(": read as far as `{read}`, where a unit could follow");
        } else if at < text.len() {
            message += &format!(": read as far as `{read}`");
        }
    } else if text.ends_with(|c: char| c.is_ascii_digit()) {
        message += ": perhaps its unit is missing";
    }
    message
}
