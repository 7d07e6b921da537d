//! Where sentences end.

use super::words::WORDS;
use crate::span::Span;

/// Longest sentence in bytes; a text without full stops is cut at a blank.
const LONGEST: usize = 1024;

/// Bytes at which a sentence may end.
static STOP: [bool; 256] = {
    let mut table = [false; 256];
    table[b'.' as usize] = true;
    table[b'!' as usize] = true;
    table[b'?' as usize] = true;
    table[b'|' as usize] = true;
    // A line end inside a block parts what was set one below the other.
    table[b'\n' as usize] = true;
    // First byte of the middle dot.
    table[0xC2] = true;
    // First byte of the ellipsis and of the bullet.
    table[0xE2] = true;
    table
};

/// Appends the sentences of `block`, without the blanks round them.
pub(super) fn split(text: &str, block: Span, out: &mut Vec<Span>) {
    let bytes = text.as_bytes();
    let mut start = block.start();
    let mut at = block.start();
    while let Some(ahead) = bytes
        .get(at..block.end())
        .and_then(|rest| rest.iter().position(|byte| STOP[usize::from(*byte)]))
    {
        let stop = at + ahead;
        let (end, splits) = judge(text, start, stop, block.end());
        if splits {
            push(text, start, end, out);
            start = end;
        }
        at = end;
    }
    push(text, start, block.end(), out);
}

/// Appends a sentence, in parts if it is too long for one.
fn push(text: &str, mut start: usize, end: usize, out: &mut Vec<Span>) {
    while end - start > LONGEST {
        let window = text.as_bytes().get(start..start + LONGEST).unwrap_or(&[]);
        let cut = memchr::memrchr(b' ', window)
            .filter(|cut| *cut > 0)
            .map_or_else(
                || text.floor_char_boundary(start + LONGEST),
                |cut| start + cut,
            );
        push_trimmed(text, start, cut, out);
        start = cut;
    }
    push_trimmed(text, start, end, out);
}

fn push_trimmed(text: &str, start: usize, end: usize, out: &mut Vec<Span>) {
    let words = text.get(start..end).unwrap_or("");
    let separator = |letter: char| letter.is_whitespace() || matches!(letter, '|' | '•' | '·');
    let trimmed = words.trim_start_matches(separator);
    let start = end - trimmed.len();
    let trimmed = trimmed.trim_end_matches(separator);
    if !trimmed.is_empty() {
        out.push(Span::new(start, start + trimmed.len()));
    }
}

/// Where to go on after the stop at `stop`, and whether the sentence that began at `start` ends there.
fn judge(text: &str, start: usize, stop: usize, end: usize) -> (usize, bool) {
    let rest = text.get(stop..end).unwrap_or("");
    let Some(first) = rest.chars().next() else {
        return (end, false);
    };
    match first {
        '\n' => return (stop + 1, true),
        '·' => {
            let after = stop + first.len_utf8();
            let word = |words: Option<&str>| {
                words.is_some_and(|words| {
                    words
                        .chars()
                        .take(40)
                        .filter(|letter| letter.is_alphabetic())
                        .count()
                        >= 2
                })
            };
            let before = text.get(start..stop).filter(|before| before.ends_with(' '));
            let ahead = rest
                .get(first.len_utf8()..)
                .filter(|ahead| ahead.starts_with(' '));
            // A sign of multiplication stands between single letters and figures.
            let last = before.and_then(|before| before.split_whitespace().next_back());
            let next = ahead.and_then(|ahead| ahead.split_whitespace().next());
            return (
                after,
                (word(last) || word(next)) && last.is_some() && next.is_some(),
            );
        }
        '|' | '•' => {
            let after = stop + first.len_utf8();
            let blank_before = text
                .get(start..stop)
                .is_none_or(|before| before.is_empty() || before.ends_with(' '));
            let blank_after = rest
                .get(first.len_utf8()..)
                .is_none_or(|after| after.is_empty() || after.starts_with(' '));
            return (after, blank_before && blank_after);
        }
        '.' | '!' | '?' | '…' => {}
        _ => return (stop + first.len_utf8(), false),
    }
    let marks = rest
        .find(|letter| !matches!(letter, '.' | '!' | '?' | '…'))
        .unwrap_or(rest.len());
    let run = rest.get(..marks).unwrap_or("");
    let tail = rest.get(marks..).unwrap_or("");
    let closed = closing(tail);
    let after = stop + marks + closed;
    let tail = tail.get(closed..).unwrap_or("");
    if tail.is_empty() {
        return (after, true);
    }
    let next = tail.trim_start();
    if next.len() == tail.len() {
        return (after, false);
    }
    let Some(letter) = next.chars().next() else {
        return (after, true);
    };
    let emphatic = run.contains(['!', '?']);
    let ellipsis = !emphatic && (run.contains('…') || run.len() > 1);
    if emphatic || ellipsis {
        let quoted = closed > 0;
        let goes_on = letter.is_lowercase() && quoted
            || (ellipsis && !letter.is_uppercase() && !is_quote(letter))
            || matches!(letter, ',' | ';' | ':' | '–' | '—');
        return (after, !goes_on);
    }
    if matches!(letter, ',' | ';' | ':') || (letter.is_lowercase() && closed > 0) {
        return (after, false);
    }
    let before = text.get(start..stop).unwrap_or("");
    (after, full_stop(before, next, letter))
}

/// Length of the quotation marks, brackets and footnote marks that belong to the sentence before them.
fn closing(tail: &str) -> usize {
    let mut len = 0;
    loop {
        let rest = tail.get(len..).unwrap_or("");
        let Some(letter) = rest.chars().next() else {
            return len;
        };
        match letter {
            '"' | '\'' | '”' | '’' | '»' | '›' | '“' | ')' | ']' | '}' | '*' | '_' | '†' | '¹'
            | '²' | '³' | '⁴' | '⁵' | '⁶' | '⁷' | '⁸' | '⁹' => {
                len += letter.len_utf8()
            }
            '[' | '(' => {
                let digits = rest
                    .bytes()
                    .skip(1)
                    .take(3)
                    .take_while(u8::is_ascii_digit)
                    .count();
                match rest.as_bytes().get(digits + 1) {
                    Some(b']' | b')') if digits > 0 => len += digits + 2,
                    _ => return len,
                }
            }
            _ => return len,
        }
    }
}

/// Whether a single full stop after `before` ends the sentence, `next` going on with `letter`.
fn full_stop(before: &str, next: &str, letter: char) -> bool {
    let before = before.trim_end_matches(['"', '”', '’', '\'', ')', ']', '»']);
    let word_at = before
        .rfind(|letter: char| letter.is_whitespace() || matches!(letter, '(' | '[' | '"' | '“'))
        .map_or(0, |at| {
            at + before
                .get(at..)
                .and_then(|rest| rest.chars().next())
                .map_or(1, char::len_utf8)
        });
    let word = before.get(word_at..).unwrap_or("");
    let ahead = before.get(..word_at).unwrap_or("").trim_end();
    if word.is_empty() {
        return false;
    }
    if word.bytes().all(|byte| byte.is_ascii_digit()) {
        // The number of an item is no sentence; `No. 12. The` ends one.
        return !ahead.is_empty() && !letter.is_lowercase();
    }
    let mut letters = word.chars();
    if let (Some(initial), None) = (letters.next(), letters.next()) {
        return single_letter(initial, ahead, next);
    }
    let lower = word
        .trim_start_matches(|letter: char| !letter.is_alphanumeric())
        .to_lowercase();
    match abbreviation(&lower) {
        Some(Abbreviation::Never) => false,
        Some(Abbreviation::BeforeNumber) => !letter.is_numeric(),
        Some(Abbreviation::BeforeTerm) => starts_sentence(next),
        Some(Abbreviation::MayEnd) => letter.is_uppercase() || is_quote(letter),
        None if letter.is_lowercase() => {
            // Text typed without capitals: only after a word that is no abbreviation by its looks.
            !lower.contains('.')
                && (lower.chars().count() >= 4 || WORDS.sentence_short_end.has(&lower))
                && lower.chars().all(char::is_alphabetic)
        }
        None => {
            // `U.S.` and the like end a sentence only before a word that begins one.
            !lower.contains('.')
                || lower.bytes().any(|byte| byte.is_ascii_digit())
                || lower.split('.').any(|part| part.chars().count() > 2)
                || starts_sentence(next)
        }
    }
}

fn is_quote(letter: char) -> bool {
    matches!(letter, '"' | '“' | '„' | '«' | '‘' | '\'' | '(' | '[')
}

/// An initial (`E. Polwithen`) does not end a sentence; a unit (`12 V.`) and a label (`sample B.`) do.
fn single_letter(initial: char, ahead: &str, next: &str) -> bool {
    if !initial.is_alphabetic() {
        return !next.starts_with(char::is_lowercase);
    }
    if next.starts_with(char::is_lowercase) {
        return false;
    }
    let word = ahead
        .rsplit(|letter: char| letter.is_whitespace())
        .next()
        .unwrap_or("");
    if word.ends_with(|letter: char| letter.is_ascii_digit()) {
        return true;
    }
    if ahead.is_empty() {
        return false;
    }
    if initial == 'I' && word.ends_with(char::is_lowercase) {
        return true;
    }
    let lower = word.to_lowercase();
    WORDS.letter_labelled.has(&lower)
        || (starts_sentence(next) && word.starts_with(char::is_lowercase))
}

/// Whether `next` begins with a word that rarely follows an abbreviation inside a sentence.
fn starts_sentence(next: &str) -> bool {
    let word = next
        .split(|letter: char| !letter.is_alphabetic())
        .next()
        .unwrap_or("");
    WORDS.sentence_start.has(word) || next.starts_with(['"', '“', '„', '«'])
}

#[derive(Clone, Copy)]
enum Abbreviation {
    /// Never ends a sentence.
    Never,
    /// Is an abbreviation only before a number.
    BeforeNumber,
    /// Stands before terms and numbers.
    BeforeTerm,
    /// Stands for a whole word, so that a sentence may end with it.
    MayEnd,
}

fn abbreviation(word: &str) -> Option<Abbreviation> {
    let words = &*WORDS;
    [
        (words.abbreviation_never_ends, Abbreviation::Never),
        (words.abbreviation_before_number, Abbreviation::BeforeNumber),
        (words.abbreviation_before_term, Abbreviation::BeforeTerm),
        (words.abbreviation_may_end, Abbreviation::MayEnd),
    ]
    .into_iter()
    .find(|(list, _)| list.has(word))
    .map(|(_, kind)| kind)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sentences(text: &str) -> Vec<&str> {
        let mut spans = Vec::new();
        split(text, Span::new(0, text.len()), &mut spans);
        spans.iter().map(|span| span.of(text)).collect()
    }

    #[test]
    fn one_sentence_stays_one() {
        for text in [
            "Loop resistance approx. 12.5 mΩ/m, max. 13.3 Ω/km per core at 20 °C.",
            "It weighs 3.2 lb. and is 12 ft. long, e.g. with plugs, i.e. ready made.",
            "A 5.1.2 or 7.1 set-up needs No. 12 or thicker.",
            "Mr. Fenn and Dr. E. Roe compared 4 sq. mm with 12 ga. wire.",
            "“It goes black. It stays black,” said J. R. Marsh",
            "\"Is it worth it?\" he asked.",
            "\"Never!\" said Mrs. Okell.",
            "Cymbals, vs. what we had... well, judge for yourself.",
            "typ. 8 Ω, min. 4 Ω",
            "Inductance typ. 0.6 µH/m.",
            "And the long one... 0.82 dB.",
            "Resistance max. DC at 20 °C",
        ] {
            // The quoted one above holds two, as its full stop stands inside.
            let expected = if text.starts_with('“') { 2 } else { 1 };
            assert_eq!(sentences(text).len(), expected, "{:?}", sentences(text));
        }
    }

    #[test]
    fn sentences_end_where_they_should() {
        for (text, wanted) in [
            (
                "It is 12 V. The other is 6 V.",
                vec!["It is 12 V.", "The other is 6 V."],
            ),
            (
                "We chose sample B. Both were 3 m.",
                vec!["We chose sample B.", "Both were 3 m."],
            ),
            ("Is it? No! It is not.", vec!["Is it?", "No!", "It is not."]),
            (
                "He said \"it is thin.\" We agree. (See below.) Then no.",
                vec![
                    "He said \"it is thin.\"",
                    "We agree.",
                    "(See below.)",
                    "Then no.",
                ],
            ),
            (
                "they look lush. sound a bit shut in tho?? yes",
                vec!["they look lush.", "sound a bit shut in tho??", "yes"],
            ),
            (
                "It loses 0.5 dB.[1] The rest is air.¹ So there.",
                vec!["It loses 0.5 dB.[1]", "The rest is air.¹", "So there."],
            ),
            (
                "70 pF/m. Together 8 Ω/km. Then",
                vec!["70 pF/m.", "Together 8 Ω/km.", "Then"],
            ),
            (
                "Not \"today\". It burns.",
                vec!["Not \"today\".", "It burns."],
            ),
            (
                "Updated 14/04 · by post · 2 · ρ · l / A",
                vec!["Updated 14/04", "by post", "2 · ρ · l / A"],
            ),
            ("$18.99 | FREE returns", vec!["$18.99", "FREE returns"]),
            (
                "The wire is 12 ft. The jacket is red.",
                vec!["The wire is 12 ft.", "The jacket is red."],
            ),
            ("Wait... Then it broke.", vec!["Wait...", "Then it broke."]),
            (
                "It is made of CCA. 14 AWG copper is better.",
                vec!["It is made of CCA.", "14 AWG copper is better."],
            ),
        ] {
            assert_eq!(sentences(text), wanted);
        }
    }

    #[test]
    fn a_text_without_stops_is_cut() {
        let text = "word ".repeat(20_000);
        let found = sentences(&text);
        assert!(found.len() > 5);
        assert!(found.iter().all(|sentence| sentence.len() <= LONGEST));
        let solid = "Ω".repeat(40_000);
        assert_eq!(sentences(&solid).concat(), solid);
    }
}
