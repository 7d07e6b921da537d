//! Numbers as a reader wants them: three significant digits, a fitting prefix.

use crate::units::PREFIXES;

/// Three significant digits without trailing zeros: `0.159`, `5.21`, `12`, `1600`.
#[must_use]
pub fn three(value: f64) -> String {
    digits(value, 3)
}

/// So many significant digits without trailing zeros.
#[must_use]
pub fn digits(value: f64, significant: i32) -> String {
    if !value.is_finite() {
        return if value.is_nan() { "?" } else { "∞" }.to_owned();
    }
    let size = magnitude(value);
    if size < -6 && value.abs() > 0.0 {
        return format!("{value:.2e}");
    }
    let decimals = usize::try_from(significant - 1 - size).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    // Rounding may have won a digit (9.996 to 10.00).
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Power of ten of the first digit.
fn magnitude(value: f64) -> i32 {
    let mut rest = value.abs();
    let mut power = 0;
    if rest <= 0.0 {
        return 0;
    }
    while rest >= 9.995 && power < 60 {
        rest /= 10.0;
        power += 1;
    }
    while rest < 0.9995 && power > -60 {
        rest *= 10.0;
        power -= 1;
    }
    power
}

/// With the prefix that leaves one to three digits before the point: `5.21 mΩ/m`.
#[must_use]
pub fn with_unit(value: f64, unit: &str) -> String {
    let (factor, prefix) = PREFIXES
        .into_iter()
        .find(|(factor, _)| value.abs() >= 0.9995 * factor)
        .unwrap_or((1.0, ""));
    format!("{} {prefix}{unit}", three(value / factor))
}

/// Ohms: whole ones down to a tenth, then milliohms.
#[must_use]
pub fn ohms(value: f64) -> String {
    if (0.1..1000.0).contains(&value.abs()) {
        format!("{} Ω", three(value))
    } else {
        with_unit(value, "Ω")
    }
}

/// An area in square metres, as mm².
#[must_use]
pub fn area(square_metres: f64) -> String {
    format!("{} mm²", three(square_metres * 1e6))
}

/// A length in metres.
#[must_use]
pub fn length(metres: f64) -> String {
    if metres.abs() < 0.1 {
        format!("{} mm", three(metres * 1e3))
    } else {
        format!("{} m", three(metres))
    }
}

/// A share as per cent: whole from ten up, two digits below.
#[must_use]
pub fn percent(share: f64) -> String {
    let value = share * 100.0;
    if value.abs() >= 9.95 {
        format!("{value:.0} %")
    } else {
        format!("{} %", digits(value, 2))
    }
}

/// Decibels: two decimals.
#[must_use]
pub fn decibels(value: f64) -> String {
    if value.abs() >= 0.095 {
        format!("{value:.2} dB")
    } else {
        format!("{} dB", digits(value, 2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits() {
        for (value, text) in [
            (0.159_23, "0.159"),
            (5.2107, "5.21"),
            (12.0, "12"),
            (1599.6, "1600"),
            (9.996, "10"),
            (0.0, "0"),
            (-2.5, "-2.5"),
            (99.96, "100"),
        ] {
            assert_eq!(three(value), text);
        }
    }

    #[test]
    fn units_and_prefixes() {
        assert_eq!(with_unit(5.2107e-3, "Ω/m"), "5.21 mΩ/m");
        assert_eq!(with_unit(6.0e-7, "H/m"), "600 nH/m");
        assert_eq!(with_unit(2.0e4, "Hz"), "20 kHz");
        assert_eq!(ohms(0.159), "0.159 Ω");
        assert_eq!(ohms(0.0159), "15.9 mΩ");
        assert_eq!(area(2.0814e-6), "2.08 mm²");
        assert_eq!(length(0.000_467), "0.467 mm");
        assert_eq!(percent(0.191), "19 %");
        assert_eq!(percent(0.0342), "3.4 %");
        assert_eq!(decibels(0.2849), "0.28 dB");
        assert_eq!(decibels(0.031), "0.031 dB");
    }
}
