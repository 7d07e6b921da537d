//! Numbers as reports write them: no more digits than the reading of a data sheet can carry.

use serde::{Serialize, Serializer};

/// `value` rounded to `digits` significant digits.
#[must_use]
pub fn rounded(value: f64, digits: usize) -> f64 {
    if !value.is_finite() {
        return value;
    }
    format!("{value:.*e}", digits.saturating_sub(1))
        .parse()
        .unwrap_or(value)
}

/// `value` for people, with four significant digits: `0.159`, `1 250 000` as `1.25 × 10⁶`.
#[must_use]
pub fn shown(value: f64) -> String {
    if value.is_nan() {
        return "undefined".to_owned();
    }
    if value.is_infinite() {
        return if value > 0.0 { "∞" } else { "−∞" }.to_owned();
    }
    let value = rounded(value, 4);
    let size = value.abs();
    if size == 0.0 {
        return "0".to_owned();
    }
    if (1e-4..1e6).contains(&size) {
        return format!("{value}").replace('-', "−");
    }
    let text = format!("{value:e}");
    let (mantissa, exponent) = text.split_once('e').unwrap_or((text.as_str(), "0"));
    let raised: String = exponent
        .chars()
        .map(|digit| match digit {
            '-' => '⁻',
            '0' => '⁰',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            '4' => '⁴',
            '5' => '⁵',
            '6' => '⁶',
            '7' => '⁷',
            '8' => '⁸',
            _ => '⁹',
        })
        .collect();
    format!("{} × 10{raised}", mantissa.replace('-', "−"))
}

/// A number of a JSON report: rounded to seven significant digits, whole numbers without a point, `null` for what is no
/// finite number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number(pub f64);

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if !self.0.is_finite() {
            return serializer.serialize_none();
        }
        let value = rounded(self.0, 7);
        if value.abs() < 1e15
            && let Ok(whole) = format!("{value}").parse::<i64>()
        {
            return serializer.serialize_i64(whole);
        }
        serializer.serialize_f64(value)
    }
}

impl schemars::JsonSchema for Number {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Number".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": ["number", "null"],
            "description": "A finite number, or null where the computation has none."
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_sane_digits() {
        assert_eq!(shown(0.158_912_34), "0.1589");
        assert_eq!(shown(12.0), "12");
        assert_eq!(shown(3.308_77e-6), "3.309 × 10⁻⁶");
        assert_eq!(shown(-0.5), "−0.5");
        assert_eq!(shown(0.0), "0");
        assert_eq!(shown(f64::INFINITY), "∞");
        let json = |value: f64| serde_json::to_string(&Number(value)).expect("a number");
        assert_eq!(json(12.0), "12");
        assert_eq!(json(-0.0), "0");
        assert_eq!(json(0.1 + 0.2), "0.3");
        assert_eq!(json(3.308_768_9e-6), "3.308769e-6");
        assert_eq!(json(f64::NAN), "null");
        assert_eq!(json(1e300), "1e+300");
    }
}
