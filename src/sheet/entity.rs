//! Character references of HTML: `&Omega;`, `&#937;`. Knows names and numbers of letters.

use super::clean::{Swap, ends_line, replaced};
use std::borrow::Cow;

/// A character reference of HTML (`&Omega;`, `&#937;`, `&#x3A9;`), also one that was escaped twice.
pub(super) fn entity(decoded: &str, at: usize) -> Option<Swap> {
    const LONGEST: usize = 12;
    let mut from = at + 1;
    let bytes = decoded.as_bytes();
    if bytes.get(from..)?.starts_with(b"amp;") {
        let after = from + 4;
        if let Some((len, instead)) = reference(bytes, after, LONGEST) {
            return Some((after + len - at, instead));
        }
        return Some((5, Cow::Borrowed("&")));
    }
    let (len, instead) = reference(bytes, from, LONGEST)?;
    from += len;
    // A soft hyphen at a line end tells that a word goes on.
    if instead.is_empty()
        && bytes.get(at..from) == Some(b"&shy;".as_slice())
        && ends_line(bytes, from)
    {
        return Some((len + 1, Cow::Borrowed("\u{AD}")));
    }
    Some((len + 1, instead))
}

/// Length and letter of the reference whose name begins at `from`.
fn reference(bytes: &[u8], from: usize, longest: usize) -> Option<Swap> {
    let window = bytes.get(from..bytes.len().min(from + longest))?;
    let end = memchr::memchr(b';', window)?;
    let name = std::str::from_utf8(window.get(..end)?).ok()?;
    let instead = if let Some(number) = name.strip_prefix('#') {
        let code = match number.strip_prefix(['x', 'X']) {
            Some(digits) => u32::from_str_radix(digits, 16).ok()?,
            None => number.parse().ok()?,
        };
        let letter = char::from_u32(code)?;
        match replaced(letter) {
            Some(instead) => Cow::Borrowed(instead),
            None if letter.is_control() => Cow::Borrowed(" "),
            None => Cow::Owned(letter.to_string()),
        }
    } else {
        Cow::Borrowed(named(name)?)
    };
    Some((end + 1, instead))
}

/// The names that text copied from web pages holds (HTML Living Standard, named character references).
fn named(name: &str) -> Option<&'static str> {
    Some(match name {
        "amp" | "AMP" => "&",
        "lt" | "LT" => "<",
        "gt" | "GT" => ">",
        "quot" | "QUOT" => "\"",
        "apos" => "'",
        "nbsp" | "ensp" | "emsp" | "thinsp" | "numsp" | "hairsp" => " ",
        "shy" | "zwnj" | "zwj" | "lrm" | "rlm" => "",
        "Omega" | "ohm" => "Ω",
        "omega" => "ω",
        "micro" => "µ",
        "mu" => "μ",
        "deg" => "°",
        "times" => "×",
        "divide" => "÷",
        "middot" | "centerdot" => "·",
        "bull" | "bullet" => "•",
        "frac12" | "half" => "½",
        "frac14" => "¼",
        "frac34" => "¾",
        "frac13" => "⅓",
        "frac23" => "⅔",
        "frac18" => "⅛",
        "frac38" => "⅜",
        "frac58" => "⅝",
        "frac78" => "⅞",
        "sup1" => "¹",
        "sup2" => "²",
        "sup3" => "³",
        "plusmn" | "pm" => "±",
        "minus" => "−",
        "hyphen" => "-",
        "ndash" => "–",
        "mdash" => "—",
        "lsquo" => "‘",
        "rsquo" => "’",
        "sbquo" => "‚",
        "ldquo" => "“",
        "rdquo" => "”",
        "bdquo" => "„",
        "laquo" => "«",
        "raquo" => "»",
        "lsaquo" => "‹",
        "rsaquo" => "›",
        "hellip" | "mldr" => "…",
        "prime" => "′",
        "Prime" => "″",
        "le" | "leq" => "≤",
        "ge" | "geq" => "≥",
        "ne" => "≠",
        "asymp" | "ap" => "≈",
        "sim" => "∼",
        "rho" => "ρ",
        "pi" => "π",
        "epsilon" => "ε",
        "lambda" => "λ",
        "delta" => "δ",
        "Delta" => "Δ",
        "phi" => "φ",
        "oslash" => "ø",
        "Oslash" => "Ø",
        "radic" => "√",
        "infin" => "∞",
        "permil" => "‰",
        "percnt" => "%",
        "num" => "#",
        "sol" => "/",
        "lowbar" => "_",
        "ast" => "*",
        "plus" => "+",
        "equals" => "=",
        "colon" => ":",
        "comma" => ",",
        "period" => ".",
        "lpar" => "(",
        "rpar" => ")",
        "excl" => "!",
        "quest" => "?",
        "vert" | "verbar" => "|",
        "copy" => "©",
        "reg" => "®",
        "trade" => "™",
        "pound" => "£",
        "euro" => "€",
        "cent" => "¢",
        "yen" => "¥",
        "sect" => "§",
        "para" => "¶",
        "dagger" => "†",
        "Dagger" => "‡",
        "check" => "✓",
        "star" => "☆",
        "starf" => "★",
        "rarr" => "→",
        "larr" => "←",
        "auml" => "ä",
        "ouml" => "ö",
        "uuml" => "ü",
        "Auml" => "Ä",
        "Ouml" => "Ö",
        "Uuml" => "Ü",
        "szlig" => "ß",
        "eacute" => "é",
        "egrave" => "è",
        "ecirc" => "ê",
        "agrave" => "à",
        "aacute" => "á",
        "acirc" => "â",
        "ccedil" => "ç",
        "iuml" => "ï",
        "oacute" => "ó",
        "ocirc" => "ô",
        "ntilde" => "ñ",
        "aring" => "å",
        "Aring" => "Å",
        "aelig" => "æ",
        _ => return None,
    })
}
