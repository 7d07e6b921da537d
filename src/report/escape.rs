//! Text of a document is untrusted: characters that steer a terminal or turn the reading direction are shown as what they
//! are, never passed through. What a format's own syntax needs on top of that stands with the format.

use std::borrow::Cow;

/// Whether a character steers the terminal, turns the reading direction, or cannot be seen.
#[must_use]
pub fn is_hidden(letter: char) -> bool {
    // Most letters are plain.
    if matches!(letter, ' '..='~') {
        return false;
    }
    letter.is_control()
        || matches!(letter,
            '\u{00ad}'
            | '\u{034f}'
            | '\u{061c}'
            | '\u{115f}' | '\u{1160}'
            | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{3164}'
            | '\u{feff}'
            | '\u{ffa0}'
            | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e0fff}')
}

/// `text` with every hidden character shown as its code point (`\u{1b}`); line ends and tabs become blanks.
#[must_use]
pub fn line(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '\r' if letters.peek() == Some(&'\n') => {}
            '\n' | '\r' | '\t' => out.push(' '),
            _ => push_shown(&mut out, letter),
        }
    }
    Cow::Owned(out)
}

/// `text` with hidden characters shown, line ends kept as `\n` and tabs kept.
#[must_use]
pub fn block(text: &str) -> Cow<'_, str> {
    if !text
        .chars()
        .any(|letter| is_hidden(letter) && letter != '\n' && letter != '\t')
    {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '\r' if letters.peek() == Some(&'\n') => {}
            '\r' => out.push('\n'),
            '\n' | '\t' => out.push(letter),
            _ => push_shown(&mut out, letter),
        }
    }
    Cow::Owned(out)
}

/// Appends one character, shown as its code point when it is hidden.
pub fn push_shown(out: &mut String, letter: char) {
    if is_hidden(letter) {
        out.extend(letter.escape_unicode());
    } else {
        out.push(letter);
    }
}

/// `text` in ASCII alone: signs of the trade are spelled out, everything else is shown as its code point.
#[must_use]
pub fn ascii(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut raised = false;
    for letter in text.chars() {
        let digit = superscript(letter);
        if let Some(digit) = digit {
            if !raised {
                out.push('^');
            }
            out.push(digit);
        }
        raised = digit.is_some();
        if raised {
            continue;
        }
        if letter.is_ascii() {
            out.push(letter);
            continue;
        }
        match spelled(letter) {
            Some(word) => out.push_str(word),
            None => out.extend(letter.escape_unicode()),
        }
    }
    Cow::Owned(out)
}

fn superscript(letter: char) -> Option<char> {
    Some(match letter {
        '⁻' => '-',
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
        _ => return None,
    })
}

fn spelled(letter: char) -> Option<&'static str> {
    Some(match letter {
        '\u{3a9}' | '\u{2126}' => "ohm",
        'µ' | 'μ' => "u",
        '°' => "deg ",
        '·' | '⋅' | '•' => "*",
        '×' => "x",
        '÷' => "/",
        '√' => "sqrt",
        '∞' => "infinity",
        'ρ' => "rho",
        'π' => "pi",
        'ω' => "omega",
        'α' => "alpha",
        'δ' => "delta",
        'Δ' => "Delta",
        'ε' => "eps",
        '≤' => "<=",
        '≥' => ">=",
        '≈' => "~",
        '≠' => "!=",
        '±' => "+/-",
        '−' | '–' | '‑' => "-",
        '—' => "--",
        '→' => "->",
        '“' | '”' | '„' => "\"",
        '‘' | '’' => "'",
        '…' => "...",
        '\u{a0}' | '\u{202f}' | '\u{2009}' => " ",
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '₀' => "0",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_steers_a_terminal_gets_through() {
        let hostile = "a\u{1b}]8;;http://x\u{7}b\u{9b}31m\u{202e}c\0\u{200b}";
        let shown = line(hostile);
        assert!(!shown.chars().any(is_hidden), "{shown:?}");
        assert!(shown.contains("\\u{1b}") && shown.contains("\\u{202e}"));
    }

    #[test]
    fn line_ends_stay_in_a_block_and_go_in_a_line() {
        assert_eq!(line("a\r\nb\tc"), "a b c");
        assert_eq!(block("a\r\nb\tc\rd"), "a\nb\tc\nd");
    }

    #[test]
    fn ascii_spells_the_signs_of_the_trade() {
        assert_eq!(
            ascii("0.5 Ω · 2 µH, 2.5 mm² “x”"),
            "0.5 ohm * 2 uH, 2.5 mm^2 \"x\""
        );
        assert_eq!(ascii("3 × 10⁻⁶ s²"), "3 x 10^-6 s^2");
        assert!(ascii("é漢").is_ascii());
    }
}
