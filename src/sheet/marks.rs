//! What a line begins with: a bullet, a number, a time, a key.

mod key;

pub(super) use key::{Key, KeyForm, key, leader, lowered};

/// A mark before the words of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Mark {
    /// Bytes before the words.
    pub(super) len: usize,
    pub(super) kind: MarkKind,
}

/// What the mark is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MarkKind {
    /// A hyphen, a star or another sign of a list.
    Bullet(char),
    /// A number or a letter; the value counts from 1.
    Number(u32),
    /// The time of a recording.
    Time,
    /// `Q` or `A`.
    Voice,
}

/// The mark at the start of a line, if there is one and words follow it.
pub(super) fn mark(line: &str) -> Option<Mark> {
    let first = *line.as_bytes().first()?;
    match first {
        b'-' | b'*' | b'+' | b'o' | b'>' => ascii_bullet(line, first),
        b'0'..=b'9' => time(line).or_else(|| number(line)),
        b'(' | b'[' => time(line).or_else(|| bracketed(line)),
        b'A' | b'Q' => voice(line).or_else(|| letter(line)),
        b'a'..=b'z' => letter(line),
        0x80.. => wide_bullet(line),
        _ => None,
    }
}

/// Whether a sign marks a footnote.
pub(super) fn is_note(sign: char) -> bool {
    matches!(
        sign,
        '†' | '‡' | '¹' | '²' | '³' | '⁴' | '⁵' | '⁶' | '⁷' | '⁸' | '⁹'
    )
}

/// Whether a word is the mark of a note below: `3)`, `(3)`, `[3]`, `*`, `††`, `²`.
pub(crate) fn is_note_mark(word: &str) -> bool {
    let number = word
        .strip_suffix([')', ']'])
        .map(|inner| inner.trim_start_matches(['(', '[']));
    number.is_some_and(|digits| digits.len() == 1 && digits.bytes().all(|b| b.is_ascii_digit()))
        || (word.len() < 8
            && word.starts_with(|sign| sign == '*' || is_note(sign))
            && word
                .trim_end_matches(')')
                .chars()
                .all(|sign| sign == '*' || is_note(sign)))
}

fn words_after(line: &str, len: usize) -> Option<usize> {
    let rest = line.get(len..)?;
    let trimmed = rest.trim_start_matches([' ', '\t']);
    (trimmed.len() < rest.len() && !trimmed.is_empty()).then(|| line.len() - trimmed.len())
}

fn ascii_bullet(line: &str, first: u8) -> Option<Mark> {
    // `--` is a bullet too; `o` only where the words stand well apart.
    let len = if line.starts_with("--") && !line.starts_with("---") {
        2
    } else if first == b'*' && !line.ends_with('*') {
        line.bytes()
            .take(3)
            .take_while(|byte| *byte == b'*')
            .count()
    } else {
        1
    };
    let words = words_after(line, len)?;
    let rest = line.get(words..)?;
    let far = words - len >= 2;
    let bullet = match first {
        b'-' | b'*' => rest.starts_with(|letter: char| {
            letter.is_alphanumeric()
                || matches!(
                    letter,
                    '"' | '“' | '\'' | '(' | '[' | '#' | '*' | '½' | '$' | '£' | '+' | '‘'
                )
        }),
        b'+' => rest.starts_with(char::is_alphabetic),
        _ => far && rest.starts_with(char::is_uppercase),
    };
    bullet.then_some(Mark {
        len: words,
        kind: MarkKind::Bullet(char::from(first)),
    })
}

fn wide_bullet(line: &str) -> Option<Mark> {
    let bullet = line.chars().next()?;
    if !matches!(
        bullet,
        '•' | '·'
            | '–'
            | '—'
            | '▪'
            | '◦'
            | '‣'
            | '●'
            | '○'
            | '■'
            | '□'
            | '◆'
            | '◇'
            | '►'
            | '▸'
            | '➤'
            | '➔'
            | '→'
            | '✓'
            | '✔'
            | '✗'
            | '✘'
            | '★'
            | '☆'
            | '»'
            | '∙'
            | '⁃'
            | '−'
            | '\u{F0B7}'
            | '†'
            | '‡'
            | '¹'
            | '²'
            | '³'
            | '⁴'
            | '⁵'
            | '⁶'
            | '⁷'
            | '⁸'
            | '⁹'
    ) {
        return None;
    }
    let words = words_after(line, bullet.len_utf8())?;
    Some(Mark {
        len: words,
        kind: MarkKind::Bullet(bullet),
    })
}

/// `3.`, `3)`, `9.1` before two blanks, `3` before two blanks.
fn number(line: &str) -> Option<Mark> {
    let digits = line.bytes().take_while(u8::is_ascii_digit).count();
    if digits > 3 {
        return None;
    }
    let value: u32 = line.get(..digits)?.parse().ok()?;
    let rest = line.get(digits..)?;
    let kind = MarkKind::Number(value);
    if let Some(after) = rest.strip_prefix(['.', ')']) {
        if after.starts_with([' ', '\t']) {
            let words = words_after(line, digits + 1)?;
            return Some(Mark { len: words, kind });
        }
        // 9.1 or 9.1.2
        let parts = after
            .bytes()
            .take_while(|byte| byte.is_ascii_digit() || *byte == b'.')
            .count();
        if (1..=6).contains(&parts) {
            let len = digits + 1 + parts;
            let words = words_after(line, len)?;
            if words - len >= 2 {
                return Some(Mark { len: words, kind });
            }
        }
        return None;
    }
    let words = words_after(line, digits)?;
    (words - digits >= 2 && digits <= 2 && line.get(words..)?.starts_with(char::is_uppercase))
        .then_some(Mark { len: words, kind })
}

/// `(3)`, `(a)`, `[3]`.
fn bracketed(line: &str) -> Option<Mark> {
    let close = if line.starts_with('(') { ')' } else { ']' };
    let end = line.get(..line.floor_char_boundary(6))?.find(close)?;
    let inner = line.get(1..end)?;
    let value = if let Ok(value) = inner.parse() {
        value
    } else {
        alphabet(inner)?
    };
    let words = words_after(line, end + 1)?;
    Some(Mark {
        len: words,
        kind: MarkKind::Number(value),
    })
}

/// `a)`, `a.` and `iv)` in small letters.
fn letter(line: &str) -> Option<Mark> {
    let letters = line
        .bytes()
        .take(4)
        .take_while(u8::is_ascii_lowercase)
        .count();
    let sign = line.as_bytes().get(letters)?;
    if !(*sign == b')' && letters <= 3 || *sign == b'.' && letters == 1) {
        return None;
    }
    let value = alphabet(line.get(..letters)?)?;
    let words = words_after(line, letters + 1)?;
    Some(Mark {
        len: words,
        kind: MarkKind::Number(value),
    })
}

/// Place of a letter in the alphabet, or a small Roman number.
fn alphabet(inner: &str) -> Option<u32> {
    let mut letters = inner.bytes();
    if let (Some(letter), None) = (letters.next(), letters.next()) {
        return letter
            .is_ascii_lowercase()
            .then(|| u32::from(letter - b'a') + 1);
    }
    let place = ["ii", "iii", "iv", "vi", "vii", "viii", "ix"]
        .iter()
        .position(|roman| *roman == inner)?;
    u32::try_from(place + 2).ok()
}

/// `[00:07]`, `0:14`, `00:00:41` before words.
fn time(line: &str) -> Option<Mark> {
    let open = usize::from(line.starts_with(['[', '(']));
    let inner = line.get(open..)?;
    let len = inner
        .bytes()
        .take(9)
        .take_while(|byte| byte.is_ascii_digit() || *byte == b':')
        .count();
    let stamp = inner.get(..len)?;
    let mut parts = stamp.split(':');
    let first = parts.next()?;
    let rest: Vec<&str> = parts.collect();
    if first.is_empty() || rest.is_empty() || rest.iter().any(|part| part.len() != 2) {
        return None;
    }
    let mut end = open + len;
    if open == 1 {
        if !line.get(end..)?.starts_with([']', ')']) {
            return None;
        }
        end += 1;
    }
    let words = words_after(line, end)?;
    let told = open == 1 || words - end >= 2 || rest.len() == 2;
    (told || shouted(line.get(words..)?)).then_some(Mark {
        len: words,
        kind: MarkKind::Time,
    })
}

/// Whether a line begins with a name in capitals and a gap or a colon behind it, as recordings are written down.
fn shouted(words: &str) -> bool {
    const LONGEST: usize = 24;
    let end = words.find("  ").into_iter().chain(words.find(": ")).min();
    end.and_then(|end| words.get(..end)).is_some_and(|name| {
        (2..=LONGEST).contains(&name.len())
            && name
                .chars()
                .all(|letter| letter.is_uppercase() || matches!(letter, ' ' | '.' | '-'))
    })
}

/// `Q.`, `A:` and `Q` before a gap; questions may be numbered (`Q3.`), what is called `A3` is a sample or a page.
fn voice(line: &str) -> Option<Mark> {
    let number = if line.starts_with('Q') {
        line.bytes()
            .skip(1)
            .take(3)
            .take_while(u8::is_ascii_digit)
            .count()
    } else {
        0
    };
    let bare = 1 + number;
    let sign = *line.as_bytes().get(bare)?;
    let len = if matches!(sign, b'.' | b':' | b')') && (number > 0 || sign != b')') {
        bare + 1
    } else {
        bare
    };
    let words = words_after(line, len)?;
    (len > bare || words - len >= 2).then_some(Mark {
        len: words,
        kind: MarkKind::Voice,
    })
}

/// Whether a line is drawn: hyphens, equals signs, box lines and blanks only.
pub(super) fn is_rule(line: &str) -> bool {
    if line == "--" {
        return true;
    }
    let mut marks = 0;
    for letter in line.chars() {
        match letter {
            '-'
            | '='
            | '_'
            | '*'
            | '~'
            | '+'
            | '#'
            | '|'
            | ':'
            | '.'
            | '·'
            | '\u{2013}'
            | '\u{2014}'
            | '\u{2500}'..='\u{257F}' => marks += 1,
            ' ' | '\t' => {}
            _ => return false,
        }
    }
    marks >= 3
        || (marks >= 1
            && line
                .chars()
                .all(|letter| ('\u{2500}'..='\u{257F}').contains(&letter)))
}

/// Whether a line underlines what stands above it: one run of one sign.
pub(super) fn underline(line: &str) -> Option<char> {
    let first = line.chars().next()?;
    (matches!(
        first,
        '-' | '=' | '~' | '^' | '\u{2500}' | '\u{2550}' | '\u{2014}'
    ) && line.len() >= 3
        && line.chars().all(|letter| letter == first))
    .then_some(first)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(line: &str) -> Option<&str> {
        mark(line).and_then(|mark| line.get(mark.len..))
    }

    #[test]
    fn marks_are_told_from_figures() {
        for (line, wanted) in [
            ("- bare copper", Some("bare copper")),
            ("* 24 K ends", Some("24 K ends")),
            ("** typical", Some("typical")),
            ("** 24K ENDS **", None),
            ("• one", Some("one")),
            ("– zwei", Some("zwei")),
            ("1. Both lamps", Some("Both lamps")),
            ("12) last", Some("last")),
            ("(a) The first", Some("The first")),
            ("(2) Copper-clad", Some("Copper-clad")),
            ("9.1  79/0.2 figure-eight", Some("79/0.2 figure-eight")),
            ("2  The two leads", Some("The two leads")),
            ("[00:07] Today", Some("Today")),
            ("0:14   So this", Some("So this")),
            ("00:00:41 BASH  ...and", Some("BASH  ...and")),
            ("Q. Why?", Some("Why?")),
            ("A   It does not", Some("It does not")),
            ("-15 to +70 °C", None),
            ("2.5 mm² copper", None),
            ("9.1 ohms", None),
            ("3 m a side", None),
            ("12 AWG", None),
            ("+1 for tents", None),
            ("A lead is", None),
            ("on the floor", None),
            ("(see below) the", None),
            ("10:30 at the hall", None),
            ("a cable", None),
        ] {
            assert_eq!(words(line), wanted, "{line}");
        }
    }

    #[test]
    fn keys_are_told_from_clauses() {
        for (line, wanted) in [
            ("Gauge: 12 AWG", Some(("Gauge", "12 AWG"))),
            (
                "Temperature, fixed:       -15",
                Some(("Temperature, fixed", "-15")),
            ),
            (
                "Damping factor at the loudspeaker (cable alone, 5 m, 8 Ω): 148",
                Some((
                    "Damping factor at the loudspeaker (cable alone, 5 m, 8 Ω)",
                    "148",
                )),
            ),
            ("name          = Carrow", Some(("name", "Carrow"))),
            ("Item no.: 4", Some(("Item no.", "4"))),
            ("Cable I = Calder", Some(("Cable I", "Calder"))),
            ("And so do I: twice", None),
            ("Not one of these is true: a", None),
            ("So I said: no", None),
            ("There is. First thing: no", None),
            ("Class Eca. Polarity: one", None),
            ("We open at 10:30 and close", None),
            ("It is thin. Not thick: thin", None),
            ("see https://example.org", None),
        ] {
            let found = key(line).map(|key| {
                (
                    line.get(..key.len).unwrap_or(""),
                    line.get(key.value..).unwrap_or(""),
                )
            });
            assert_eq!(found, wanted, "{line}");
        }
    }

    #[test]
    fn leaders_are_told_from_an_ellipsis() {
        for (line, few, wanted) in [
            (
                "Loss at 1 kHz ....... 0.05 dB",
                false,
                Some(("Loss at 1 kHz", "0.05 dB")),
            ),
            (
                "DC loop resistance .. 0.043 Ω",
                true,
                Some(("DC loop resistance", "0.043 Ω")),
            ),
            (
                "with connectors . 128 mΩ loop",
                true,
                Some(("with connectors", "128 mΩ loop")),
            ),
            ("Length . . . . . 4 m", false, Some(("Length", "4 m"))),
            ("Size¹ ......: 4 m", false, Some(("Size¹", "4 m"))),
            ("Length.......4 m", false, Some(("Length", "4 m"))),
            ("And the long one... 0.82 dB.", false, None),
            (
                "we had ... well, nothing",
                false,
                Some(("we had", "well, nothing")),
            ),
            ("It is thin. It is 3 m.", true, None),
        ] {
            let found = leader(line, few).map(|key| {
                (
                    line.get(..key.len).unwrap_or(""),
                    line.get(key.value..).unwrap_or(""),
                )
            });
            assert_eq!(found, wanted, "{line}");
        }
    }

    #[test]
    fn rules_are_told_from_words() {
        for (line, wanted) in [
            ("-----", true),
            ("|---|:--:|", true),
            ("├────┼───┤", true),
            ("------   ----", true),
            ("--", true),
            ("- a", false),
            ("5-6-7", false),
        ] {
            assert_eq!(is_rule(line), wanted, "{line}");
        }
        assert_eq!(underline("====="), Some('='));
        assert_eq!(underline("--- ---"), None);
    }
}
