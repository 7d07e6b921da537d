//! The value of a number as people write it.

use super::grammar::Rule;

/// A number read from the text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    /// Always finite.
    pub value: f64,
    /// Written as a plain row of digits, and how many.
    pub digits: Option<usize>,
    /// Written with a decimal sign.
    pub decimal: bool,
    /// Written with a fraction.
    pub fraction: bool,
    /// Written in words.
    pub words: bool,
}

impl Number {
    /// The value as a count, when it is one.
    pub(super) fn count(&self) -> Option<u32> {
        if self.decimal || self.fraction {
            return None;
        }
        whole(self.value)
    }
}

/// A whole number below a million.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the range is checked before"
)]
pub(super) fn whole(value: f64) -> Option<u32> {
    (value.fract().abs() < f64::EPSILON && (0.0..1_000_000.0).contains(&value))
        .then_some(value as u32)
}

/// Reads a number of the grammar. `comma` says that the document writes decimal commas, which decides what `1.000` is.
pub(super) fn read(rule: Rule, text: &str, comma: bool) -> Option<Number> {
    let mut number = Number {
        value: 0.0,
        digits: None,
        decimal: false,
        fraction: false,
        words: false,
    };
    match rule {
        Rule::mixed => {
            let (whole, part) =
                text.split_at(text.find([' ', '-', '\u{A0}', '\u{202F}', '\u{2009}', '\t', '\n'])?);
            let part = part.trim_start_matches(|c: char| !c.is_ascii_digit());
            let (top, bottom) = part.split_once(['/', '\u{2044}'])?;
            number.fraction = true;
            number.value = whole.parse::<f64>().ok()?
                + top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?;
        }
        Rule::vulgar => {
            number.fraction = true;
            let sign = text.chars().next_back()?;
            let whole = text
                .trim_end_matches(sign)
                .trim_end_matches(|c: char| !c.is_ascii_digit());
            let whole = if whole.is_empty() {
                0.0
            } else {
                whole.parse().ok()?
            };
            number.value = whole + one_sign_fraction(sign)?;
        }
        Rule::grouped | Rule::decimal => decimal(text, comma, &mut number)?,
        Rule::worded => {
            // "some tenths of a volt" says no number.
            let first = text.split(|c: char| !c.is_ascii_alphabetic()).next()?;
            if first.ends_with(['s', 'S']) && first.len() > 5 {
                return None;
            }
            number.words = true;
            number.value = words(text)?;
            number.fraction = number.value.fract() > f64::EPSILON;
        }
        _ => return None,
    }
    number.value.is_finite().then_some(number)
}

pub(super) fn one_sign_fraction(sign: char) -> Option<f64> {
    Some(match sign {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅐' => 1.0 / 7.0,
        '⅑' => 1.0 / 9.0,
        '⅒' => 0.1,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅕' => 0.2,
        '⅖' => 0.4,
        '⅗' => 0.6,
        '⅘' => 0.8,
        '⅙' => 1.0 / 6.0,
        '⅚' => 5.0 / 6.0,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    })
}

/// `2.5`, `2,5`, `1,000.5`, `1.000,5`, `1'000`, `1 000`, `.5`, `5.2e-3`, `5.2 × 10⁻³`.
fn decimal(text: &str, comma: bool, number: &mut Number) -> Option<()> {
    let pointed;
    let text = match text.split_once('·') {
        // A raised point, unless it multiplies by a power of ten.
        Some((whole, rest))
            if rest.starts_with(|c: char| c.is_ascii_digit())
                && !(rest.starts_with("10")
                    && rest[2..].starts_with(|c: char| !c.is_ascii_digit())) =>
        {
            pointed = format!("{whole}.{rest}");
            pointed.as_str()
        }
        _ => text,
    };
    let (mantissa, power) = split_power(text)?;
    if mantissa.len() > 60 {
        return None;
    }
    // Blanks and apostrophes only ever part groups of three.
    let parted = mantissa.contains(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','));
    let joined: String;
    let mantissa = if parted {
        let whole = mantissa.find(['.', ',']).unwrap_or(mantissa.len());
        if !grouped(&mantissa[..whole]) {
            return None;
        }
        joined = mantissa
            .chars()
            .filter(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
            .collect();
        joined.as_str()
    } else {
        mantissa
    };
    let bytes = mantissa.as_bytes();
    let mut plain = String::with_capacity(bytes.len() + 8);
    if bytes.iter().all(u8::is_ascii_digit) {
        number.digits = Some(bytes.len());
        plain.push_str(mantissa);
    } else {
        let last = mantissa.rfind(['.', ','])?;
        let sign = mantissa[last..].chars().next()?;
        let others = mantissa[..last]
            .chars()
            .any(|c| !c.is_ascii_digit() && c != sign);
        let repeated = mantissa[..last].contains(sign);
        let (before, after) = (&mantissa[..last], &mantissa[last + 1..]);
        let thousands = repeated
            || (!others
                && after.len() == 3
                && (1..=3).contains(&before.len())
                && !before.starts_with('0')
                && (sign == ',' || comma));
        let groups = if thousands { mantissa } else { before };
        if !grouped(groups) || (repeated && others) {
            return None;
        }
        plain.extend(groups.chars().filter(char::is_ascii_digit));
        if !thousands {
            number.decimal = true;
            plain.push('.');
            plain.push_str(after);
        }
    }
    if power != 0 {
        number.decimal = true;
        number.digits = None;
        plain.push('e');
        plain.push_str(&power.to_string());
    }
    number.value = plain.parse().ok()?;
    Some(())
}

/// Whether the digits stand in groups of three behind the first, or in one group.
fn grouped(text: &str) -> bool {
    let mut groups = text.split(|c: char| !c.is_ascii_digit());
    let first = groups.next().map_or(0, str::len);
    let mut several = false;
    for group in groups {
        several = true;
        if group.len() != 3 {
            return false;
        }
    }
    !several || (1..=3).contains(&first)
}

fn split_power(text: &str) -> Option<(&str, i32)> {
    if let Some(at) = text.find(['e', 'E']) {
        let power = text[at + 1..].replace('−', "-");
        return Some((&text[..at], power.trim_start_matches('+').parse().ok()?));
    }
    let Some(at) = text.find(['x', 'X', '×', '*', '·']) else {
        return Some((text, 0));
    };
    let power = text[at..].split_once("10")?.1;
    let power: String = power
        .chars()
        .filter_map(|c| {
            Some(match c {
                '−' | '⁻' => '-',
                '⁰' => '0',
                '¹' => '1',
                '²' => '2',
                '³' => '3',
                '⁴' => '4',
                '⁵' => '5',
                '⁶' => '6',
                '⁷' => '7',
                '⁸' => '8',
                '⁹' => '9',
                '-' | '0'..='9' => c,
                _ => return None,
            })
        })
        .collect();
    Some((text[..at].trim_end(), power.parse().ok()?))
}

fn words(text: &str) -> Option<f64> {
    let words: Vec<String> = text
        .split(|c: char| !c.is_ascii_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect();
    if let Some(point) = words.iter().position(|word| word == "point") {
        return spoken(words.get(..point)?, words.get(point + 1..)?);
    }
    // "three and a quarter", "two and three quarters"
    if let [whole @ .., and, count, share] = words.as_slice()
        && !whole.is_empty()
        && and == "and"
        && let Some(share) = match (count.as_str(), share.as_str()) {
            ("a", "half") => Some(0.5),
            ("a", "quarter") => Some(0.25),
            ("a", "third") => Some(1.0 / 3.0),
            ("three", "quarters") => Some(0.75),
            _ => None,
        }
    {
        return sum(whole).map(|whole| whole + share);
    }
    sum(&words)
}

/// Digits that are spoken one by one behind a point: "one point two five".
fn spoken(whole: &[String], digits: &[String]) -> Option<f64> {
    let nought = |word: &String| matches!(word.as_str(), "nought" | "zero" | "oh");
    let mut value = match whole {
        [] => 0.0,
        [word] if nought(word) => 0.0,
        words => sum(words)?,
    };
    let mut place = 0.1;
    for word in digits {
        let digit = if nought(word) { 0 } else { small(word)? };
        value += f64::from(digit) * place;
        place /= 10.0;
    }
    // Tenths of tenths do not add up to what is written: 1.6 and not 1.6000000000000001.
    Some((value * 1e9).round() / 1e9)
}

fn sum(words: &[String]) -> Option<f64> {
    let mut total = 0.0;
    let mut current = 0.0;
    let mut seen = false;
    for word in words {
        let share =
            |current: f64, seen: bool, share: f64| if seen { current * share } else { share };
        match word.as_str() {
            "and" | "a" | "an" | "of" => {}
            "half" => current = if seen { current + 0.5 } else { 0.5 },
            "quarter" | "quarters" => current = share(current, seen, 0.25),
            "third" | "thirds" => current = share(current, seen, 1.0 / 3.0),
            "fifth" | "fifths" => current = share(current, seen, 0.2),
            "eighth" | "eighths" => current = share(current, seen, 0.125),
            "tenth" | "tenths" => current = share(current, seen, 0.1),
            "twentieth" | "twentieths" => current = share(current, seen, 0.05),
            "fiftieth" | "fiftieths" => current = share(current, seen, 0.02),
            "hundredth" | "hundredths" => current = share(current, seen, 0.01),
            "thousandth" | "thousandths" => current = share(current, seen, 0.001),
            "dozen" => current = share(current, seen, 12.0),
            "hundred" => current = if seen { current * 100.0 } else { 100.0 },
            "thousand" => {
                total += if seen { current * 1000.0 } else { 1000.0 };
                current = 0.0;
            }
            other => current += f64::from(small(other)?),
        }
        if !matches!(word.as_str(), "and" | "a" | "an" | "of") {
            seen = true;
        }
    }
    seen.then_some(total + current)
}

/// “Four tenths of a”: the share that is counted.
pub(super) fn shares(text: &str) -> Option<f64> {
    let mut words = text.split(|letter: char| !letter.is_alphabetic());
    small(&words.next()?.to_lowercase())?;
    Some(match words.next()?.to_lowercase().as_str() {
        "quarters" => 0.25,
        "thirds" => 1.0 / 3.0,
        "fifths" => 0.2,
        "eighths" => 0.125,
        "tenths" => 0.1,
        "twentieths" => 0.05,
        "hundredths" => 0.01,
        "thousandths" => 0.001,
        _ => return None,
    })
}

/// The value of a number word below a hundred.
pub(super) fn small(word: &str) -> Option<u8> {
    Some(match word {
        "one" => 1,
        "two" => 2,
        "three" => 3,
        "four" => 4,
        "five" => 5,
        "six" => 6,
        "seven" => 7,
        "eight" => 8,
        "nine" => 9,
        "ten" => 10,
        "eleven" => 11,
        "twelve" => 12,
        "thirteen" => 13,
        "fourteen" => 14,
        "fifteen" => 15,
        "sixteen" => 16,
        "seventeen" => 17,
        "eighteen" => 18,
        "nineteen" => 19,
        "twenty" => 20,
        "thirty" => 30,
        "forty" => 40,
        "fifty" => 50,
        "sixty" => 60,
        "seventy" => 70,
        "eighty" => 80,
        "ninety" => 90,
        _ => return None,
    })
}

/// Whether a lower-case word can begin a number.
pub(super) fn begins(word: &str) -> bool {
    small(word).is_some()
        || matches!(
            word,
            "half"
                | "quarter"
                | "tenth"
                | "tenths"
                | "twentieth"
                | "fiftieth"
                | "hundredth"
                | "thousandth"
                | "third"
                | "fifth"
                | "eighth"
                | "quarters"
                | "thirds"
                | "fifths"
                | "eighths"
                | "twentieths"
                | "hundredths"
                | "hundred"
                | "thousand"
                | "dozen"
                | "point"
                | "nought"
                | "zero"
        )
}
