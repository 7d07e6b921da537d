//! Looks at words and numbers that need nothing but the text.

use super::*;

pub(super) fn snap_up(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at += 1;
    }
    at
}

pub(super) fn before_start(text: &str, floor: usize, at: usize) -> usize {
    snap(text, at.saturating_sub(24).max(floor))
}

pub(super) fn before_text(text: &str, floor: usize, at: usize) -> &str {
    before(text, floor, at)
}

/// What the words behind a number promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Follow {
    /// No unit, no score, no second number: not worth parsing.
    Nothing,
    Strands,
    Score,
    Other,
}

/// Where the number at the start of `clause` ends, counting words and digits.
pub(super) fn words_end(clause: &str) -> usize {
    if !clause.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return clause
            .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
            .unwrap_or(clause.len());
    }
    let mut end = 0;
    let mut rest = clause;
    loop {
        let skip = rest
            .find(|c: char| !is_blank(c) && !matches!(c, '-' | '\u{2010}' | '\u{2011}'))
            .unwrap_or(rest.len());
        let word_len = rest[skip..]
            .find(|c: char| !c.is_ascii_alphabetic())
            .unwrap_or(rest.len() - skip);
        let word = &rest[skip..skip + word_len];
        let part = number_word(word) || end > 0 && one_of!(word, "and a half");
        if word.is_empty() || !part {
            return end;
        }
        if number_word(word) || word.eq_ignore_ascii_case("half") {
            end = clause.len() - rest.len() + skip + word_len;
        }
        rest = &rest[skip + word_len..];
    }
}

pub(super) fn number_word(word: &str) -> bool {
    word.len() <= 12 && number::begins(&word.to_ascii_lowercase())
}

/// Looks at the next few words. Words of prose behind number words are the many that matter for speed.
pub(super) fn follow(clause: &str) -> Follow {
    let worded = clause.starts_with(|c: char| c.is_ascii_alphabetic());
    let end = words_end(clause);
    let rest = &clause[end..];
    let text =
        rest.trim_start_matches(|c| is_blank(c) || matches!(c, '-' | '\u{2010}' | '\u{2011}'));
    // "sixty-five 0.16 mm filaments"
    if text.starts_with(|c: char| c.is_ascii_digit())
        && words_of(text)
            .take(5)
            .any(|word| one_of!(word, "strands wires filaments hairs threads"))
    {
        return Follow::Strands;
    }
    if !text.starts_with(|c: char| c.is_ascii_alphabetic()) {
        let sign = text.chars().next();
        // A share of something: "three-tenths of a dB" reads on below.
        return if worded
            && sign.is_none_or(|c| {
                matches!(
                    c,
                    '.' | ',' | ';' | ':' | '!' | '?' | ')' | '"' | '”' | '\'' | '’' | '('
                )
            }) {
            if sign == Some(',') {
                Follow::Other
            } else {
                Follow::Nothing
            }
        } else {
            Follow::Other
        };
    }
    // "half a decibel", "three-tenths of a dB"
    let share = last_word(&clause[..end]).is_some_and(|(_, word, _)| {
        one_of!(
            word,
            "half quarter quarters tenth tenths twentieth twentieths fiftieth fiftieths hundredth hundredths thousandth thousandths third thirds fifth fifths eighth eighths",
        )
    });
    if share {
        let unit = words_of(text)
            .take(4)
            .find(|word| !one_of!(word, "of a an"));
        return if unit.is_some_and(units_word) {
            Follow::Other
        } else {
            Follow::Nothing
        };
    }
    let mut words = words_of(text);
    let first = words.next().unwrap_or("");
    if one_of!(first, "of out") {
        let number =
            |word: &str| number_word(word) || word.starts_with(|c: char| c.is_ascii_digit());
        let reached = words
            .take(3)
            .find(|word| !one_of!(word, "of out the his her their all a an"));
        return if reached.is_some_and(number) {
            Follow::Score
        } else if worded {
            Follow::Nothing
        } else {
            Follow::Other
        };
    }
    if one_of!(
        first,
        "times right correct correctly hits votes trials tests runs rounds presentations attempts",
    ) {
        return Follow::Score;
    }
    let unit = units_word(first);
    if !unit
        && (one_of!(
            first,
            "strands strand wires filaments ends hairs threads pieces"
        ) || words
            .take(4)
            .any(|word| one_of!(word, "strands strand wires filaments ends hairs threads")))
    {
        return Follow::Strands;
    }
    if !worded || unit {
        return Follow::Other;
    }
    // "ten to twelve feet", "one and a half metres"
    let joined = one_of!(first, "to and or through thru by x up down bis und oder")
        && words_of(text)
            .skip(1)
            .take(2)
            .any(|word| number_word(word) || word.starts_with(|c: char| c.is_ascii_digit()));
    if joined {
        Follow::Other
    } else {
        Follow::Nothing
    }
}

/// A word that a unit begins with.
pub(super) fn units_word(word: &str) -> bool {
    if word.len() > 14 {
        return false;
    }
    if word.len() <= 3 {
        return one_of!(
            word,
            "mm mm2 cm cm2 km m ft in yd mil awg swg ga sq ohm db hz khz mhz v kv mv w kw mw a ma amp va deg c f k r uh nh pf nf ns ps per pct vac vdc kft cm mcm",
        ) || !word.is_ascii();
    }
    let word = word.to_ascii_lowercase();
    let word = [
        "milli", "micro", "kilo", "kil", "mega", "meg", "nano", "pico", "centi", "giga",
    ]
    .iter()
    .find_map(|prefix| word.strip_prefix(prefix))
    .unwrap_or(&word);
    one_of!(
        word,
        "metre metres meter meters foot feet inch inches yard yards yds mile miles mil mils thou micron microns ohm ohms gauge gauges gage \
         second seconds cycles henry henries henrys farad farads hertz decibel decibels watt watts volt volts amp amps ampere amperes percent degree degrees \
         kelvin kelvins square circular circ american standard cmil cmils kcmil kcmils qmm sqmm damping thousand hundred prozent quadratmeter celsius fahrenheit",
    ) || !word.is_ascii()
        || word.is_empty()
}

/// The end of a decimal number at the start of `clause`, if it stands alone: no other number can be joined to it. The
/// grammar reads the same; this spares it the most frequent case.
pub(super) fn lone_decimal(clause: &str) -> Option<usize> {
    let bytes = clause.as_bytes();
    let digits = |from: usize| {
        from + bytes[from..]
            .iter()
            .take(16)
            .take_while(|byte| byte.is_ascii_digit())
            .count()
    };
    let mut end = digits(0);
    if end == 0 || end > 15 {
        return None;
    }
    if matches!(bytes.get(end), Some(b'.' | b','))
        && bytes.get(end + 1).is_some_and(u8::is_ascii_digit)
    {
        end = digits(end + 1);
    }
    let rest = &clause[end..];
    match rest.chars().next() {
        None => return Some(end),
        Some('.' | ',' | ':')
            if rest
                .as_bytes()
                .get(1)
                .is_some_and(|byte| !byte.is_ascii_whitespace()) =>
        {
            return None;
        }
        Some('\'' | '’' | 'e' | 'E' | 'C') => return None,
        Some('c') if rest.starts_with("c/") => return None,
        Some(c) if c.is_ascii_digit() => return None,
        Some('-') if rest.as_bytes().get(1).is_some_and(u8::is_ascii_alphabetic) => {
            let word = rest[1..]
                .split(|c: char| !c.is_ascii_alphabetic())
                .next()
                .unwrap_or("");
            let counted = rest.bytes().take(16).any(|byte| byte.is_ascii_digit());
            return (!counted && !number_word(word) && !one_of!(word, "core conductor to"))
                .then_some(end);
        }
        Some(_) => {}
    }
    let text = rest.trim_start_matches(is_blank);
    let Some(next) = text.chars().next() else {
        return Some(end);
    };
    let alone = match next {
        // Groups of three, and fractions behind a whole number, stand one blank apart.
        c if c.is_ascii_digit() => rest.len() - text.len() > 3,
        ',' => text[1..]
            .trim_start_matches(is_blank)
            .starts_with(|c: char| {
                matches!(c, ')' | '(' | '"') || c.is_uppercase() && !c.is_ascii()
            }),
        '.' => !text.starts_with(".."),
        'x' | 'X' => {
            // "0 x AWG 0": a mark may stand between the sign and its number.
            text.chars().nth(1).is_some_and(char::is_alphabetic)
                && !text.bytes().take(16).any(|byte| byte.is_ascii_digit())
                && !number_word(
                    text[1..]
                        .split(|c: char| !c.is_ascii_alphabetic())
                        .next()
                        .unwrap_or(""),
                )
        }
        c if c.is_ascii_alphabetic() => !one_of!(
            text.split(|c: char| !c.is_ascii_alphabetic())
                .next()
                .unwrap_or(""),
            "to through thru bis up down and or und oder bzw by core conductor conductors",
        ),
        c => !matches!(
            c,
            '-' | '–' | '—' | '‒' | '−' | '±' | '+' | '\u{2010}' | '\u{2011}' | '…' | '~' | '×' | '*' | '✕' | '\u{2A2F}' | '/' | '\u{2044}' | '&'
                | '·' | '^' | '\u{BC}'..='\u{BE}' | '\u{2150}'..='\u{215E}'
        ),
    };
    alone.then_some(end)
}

/// What stands behind the word that an export writes before a unit: `unit: AWG`.
pub(super) fn unit_label(text: &str) -> &str {
    let bare = text.trim_start_matches(is_blank);
    let behind = bare
        .get(.."unit".len())
        .filter(|word| word.eq_ignore_ascii_case("unit"))
        .and_then(|word| bare.get(word.len()..))
        .map(|rest| rest.strip_prefix('s').unwrap_or(rest));
    match behind.and_then(|rest| rest.strip_prefix([':', '='])) {
        Some(unit) if bare.len() < text.len() => unit,
        _ => text,
    }
}

/// Whether a text has `2,5` and the like, which thousands are never written as.
pub(super) fn writes_decimal_commas(text: &str) -> bool {
    let bytes = text.as_bytes();
    let mut at = 0;
    while let Some(found) = bytes[at..].iter().position(|byte| *byte == b',') {
        let comma = at + found;
        let before = bytes[..comma]
            .iter()
            .rev()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        let after = bytes[comma + 1..]
            .iter()
            .take(8)
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        if before > 0
            && (1..8).contains(&after)
            && (after != 3 || before == 1 && bytes[comma - 1] == b'0')
        {
            return true;
        }
        at = comma + 1;
    }
    false
}

/// `65 x 0.25 mm`: many of something thin.
pub(super) fn strand_like(count: &Member, size: &Member, unit: Unit, stroke: bool) -> bool {
    let metres = size.number.value * unit.factor;
    let Some(count) = count.number.count() else {
        return false;
    };
    let fewest = if stroke { 3 } else { 5 };
    count >= fewest && size.number.decimal && (1e-5..=1.6e-3).contains(&metres)
}

/// `3/8 in`.
pub(super) fn fraction_like(top: &Member, bottom: &Member, unit: Unit) -> bool {
    let (Some(top), Some(bottom)) = (top.number.count(), bottom.number.count()) else {
        return false;
    };
    let imperial = matches!(&*unit.symbol(), "in" | "ft" | "mile" | "yd");
    top >= 1
        && top < bottom
        && (imperial && matches!(bottom, 2 | 3 | 4 | 5 | 8 | 10 | 16 | 32 | 64)
            || matches!((top, bottom), (1, 2..=4) | (3, 4))
                && matches!(
                    unit.base,
                    Base::Length | Base::Watt | Base::Decibel | Base::Area
                ))
}

/// The gauge between two, where a number is one: “12.5 AWG”.
pub(super) fn half_gauge(number: &Number) -> Option<f64> {
    // "½ AWG" tells how far off a size is, and "11 1/2 AWG" is one.
    const FEWEST: f64 = 4.0;
    let twice = number.value * 2.0;
    let written = number.decimal || number.fraction && number.value >= FEWEST;
    let half = written && !number.words && (twice.fract().abs() < 1e-9);
    (half && (1.0..=60.0).contains(&twice)).then_some(number.value)
}

/// Whether two numbers can be of one unit.
pub(super) fn same_sort(a: &Member, b: &Member, unit: Unit) -> bool {
    match unit.base {
        Base::Gauge | Base::Swg => {
            a.number.count().is_some_and(|count| count <= 50)
                && b.number.count().is_some_and(|count| count <= 50)
        }
        _ => true,
    }
}

/// Inches directly behind feet, below a foot, with the length of what says so.
pub(super) fn inches_behind(text: &str) -> Option<(f64, usize)> {
    let (inches, rest) = whole_or_fraction(joined_number(text)?)?;
    let rest = rest.trim_start_matches(|c| is_blank(c) || c == '-');
    let whole = |sign: &&&str| {
        !rest[sign.len()..].starts_with(char::is_alphanumeric)
            || !sign.ends_with(char::is_alphabetic)
    };
    let sign = [
        "\"", "″", "''", "”", "’’", "inches", "inch", "in.", "in", "ins",
    ]
    .iter()
    .filter(|sign| rest.starts_with(**sign))
    .find(whole)?;
    (inches < 12.0).then(|| (inches, text.len() - rest.len() + sign.len()))
}

/// Centimetres directly behind metres, below a metre, as metres.
pub(super) fn centimetres_behind(text: &str) -> Option<(f64, usize)> {
    let rest = text.trim_start_matches(is_blank);
    let digits = rest.find(|c: char| !c.is_ascii_digit())?;
    let value: f64 = rest[..digits].parse().ok()?;
    let end = rest[digits..]
        .trim_start_matches(is_blank)
        .strip_prefix("cm")?;
    let on = end.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '²' | '^'));
    (text.len() - rest.len() <= 3 && value < 100.0 && !on)
        .then(|| (value / 100.0, text.len() - end.len()))
}

/// Where a number begins that goes on with the one before: `6 ft 6 in`, `six feet and six inches`.
fn joined_number(text: &str) -> Option<&str> {
    let rest = text.trim_start_matches(is_blank);
    if text.len() - rest.len() > 3 {
        return None;
    }
    let rest = rest.strip_prefix(',').map_or(rest, str::trim_start);
    Some(rest.strip_prefix("and ").map_or(rest, str::trim_start))
}

/// A number in digits, with a fraction behind it or not, or in one word, and what follows it.
fn whole_or_fraction(text: &str) -> Option<(f64, &str)> {
    let word = text
        .find(|c: char| !c.is_ascii_alphabetic())
        .unwrap_or(text.len());
    if word > 0 {
        let value = number::small(&text[..word].to_ascii_lowercase())?;
        return Some((f64::from(value), &text[word..]));
    }
    let digits = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let value: f64 = text[..digits].parse().ok()?;
    let rest = &text[digits..];
    let part = rest.trim_start_matches(|c| is_blank(c) || c == '-');
    if let Some(sign) = part.chars().next()
        && let Some(share) = number::one_sign_fraction(sign)
    {
        return Some((value + share, &part[sign.len_utf8()..]));
    }
    let end = part
        .find(|c: char| !c.is_ascii_digit() && c != '/')
        .unwrap_or(part.len());
    match part[..end].split_once('/') {
        Some((top, bottom)) if part.len() < rest.len() => {
            let share = top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?;
            Some((value + share, &part[end..]))
        }
        _ => Some((value, rest)),
    }
}

/// What a part of one more behind the unit adds, with the length of what says so: `five metres and a half`.
pub(super) fn part_behind(text: &str) -> Option<(f64, usize)> {
    let (said, share) = [
        (" and a half", 0.5),
        (" and a quarter", 0.25),
        (" and three quarters", 0.75),
        (" and a third", 1.0 / 3.0),
    ]
    .into_iter()
    .find(|(said, _)| text.starts_with(said))?;
    let rest = &text[said.len()..];
    let ends = !rest.starts_with(|c: char| is_blank(c) || c.is_alphanumeric() || c == '-');
    // "five feet and a half inch" is another length.
    let goes_on = rest.starts_with(is_blank)
        && next_word(rest).is_none_or(|word| {
            one_of!(
                word,
                "of long from to in and or away between each on at is was for with the apart wide more less"
            )
        });
    (ends || goes_on).then_some((share, said.len()))
}

pub(super) fn count_word(word: &str) -> Option<u32> {
    if let Ok(count) = word.parse::<u32>() {
        return (count <= 64).then_some(count);
    }
    number::small(&word.to_ascii_lowercase()).map(u32::from)
}

pub(super) fn wire_word(word: &str) -> bool {
    one_of!(
        word,
        "wire wires cable cables cord zip copper awg gauge ga strand strands stranded conductor conductors core cores pair pairs twin ofc cca cl2 cl3 cl2p cl3p speaker loudspeaker thhn tinned solid ohm ohms runs wall gauges flex ft feet roll rolls spool reel reels drum drums stranding silver bell aluminium aluminum",
    )
}

pub(super) fn is_date_word(word: &str) -> bool {
    one_of!(
        word,
        "january february march april may june july august september october november december jan feb mar apr jun jul aug sep sept oct nov dec monday tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun from since until dated on at",
    ) && !word.eq_ignore_ascii_case("may")
}

/// Whether a phrase stands before, with nothing between it and the end that would take the number for itself.
pub(super) fn phrase_reaches(left: &str, phrase: &str, far: bool) -> bool {
    let bytes = left.as_bytes();
    let Some(at) = bytes.windows(phrase.len()).rposition(|window| {
        // `velocity_factor`
        let same = |(written, said): (&u8, &u8)| {
            written.eq_ignore_ascii_case(said) || (*written == b'_' && *said == b' ')
        };
        window.iter().zip(phrase.as_bytes()).all(same)
    }) else {
        return false;
    };
    let between = &left[at + phrase.len()..];
    let mut depth = 0_usize;
    let mut words = 0;
    let mut in_word = false;
    for c in between.chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            ';' | '!' | '?' | '\n' if depth == 0 => return false,
            _ => {}
        }
        let letter = c.is_alphabetic() && depth == 0;
        if letter && !in_word {
            words += 1;
        }
        in_word = letter;
    }
    if between.trim_end_matches(is_blank).ends_with('.') && !between.contains("..") {
        return false;
    }
    words
        <= if far && is_result(between) {
            20
        } else if far {
            9
        } else {
            4
        }
}

/// Whether the words end in those that lead to a result: `comes out at`, `works out to`, `amounts to`.
fn is_result(words: &str) -> bool {
    let Some((rest, last, _)) = last_word(words) else {
        return false;
    };
    let verb = last_word(rest).map_or("", |(_, verb, _)| verb);
    one_of!(last, "at to as") && one_of!(verb, "out comes amounts calculated computed up stands")
}

/// `180 (damping factor)`, `a 200 damping factor`.
pub(super) fn next_is_damping(text: &str) -> bool {
    let text = text.trim_start_matches(|c| is_blank(c) || c == '(');
    text.get(..14)
        .is_some_and(|word| word.eq_ignore_ascii_case("damping factor"))
}

/// What stands behind the sign of a note between a number and its unit: `12¹ AWG`, `3² m`. A raised two before millimetres may be a
/// square, and so may one before a word that is no sure unit: `2.5² in white`.
pub(super) fn behind_note(rest: &str) -> &str {
    let signs = |c: char| matches!(c, '*' | '†' | '‡' | '¹' | '²' | '³' | '⁴'..='⁹');
    let noted = rest.trim_start_matches(signs);
    if !noted.starts_with(is_blank) {
        return rest;
    }
    if !rest.starts_with('²') {
        return noted;
    }
    let unit = noted.trim_start_matches(is_blank);
    let word = unit.find(|c: char| !c.is_alphanumeric() && c != 'Ω');
    let word = &unit[..word.unwrap_or(unit.len())];
    let sure = one_of!(
        word,
        "m metres meters ft feet awg gauge ohm ohms Ω mΩ milliohm milliohms mohm mohms mm²"
    );
    if sure { noted } else { rest }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

        /// The short way for lone numbers must not differ from the grammar.
        #[test]
        fn lone_numbers_are_what_the_grammar_reads(
            head in "[0-9]{1,4}([.,][0-9]{1,3})?",
            tail in "( |  |\t|\u{A0})?(-|–|x|×|/|,|\\.|\\.\\.|to|and|by|core|C|e|m|mm²|Ω|%|°C|ft|\"|'|½|\\(|\\)|;|:|&|·|three|A|#)?( )?(3|0.25|12|000|cable|AWG|m|four)?[ a-z0-9/.,]{0,4}",
        ) {
            let clause = format!("{head}{tail}");
            if let Some(end) = lone_decimal(&clause) {
                let read: Vec<_> = parse(Rule::numbers_entry, &clause)
                    .expect("a total rule")
                    .map(|pair| (pair.as_rule(), pair.as_span().end(), pair.into_inner().next().map(|inner| inner.as_rule())))
                    .collect();
                prop_assert_eq!(read, vec![(Rule::number, end, Some(Rule::decimal))], "{:?}", clause);
            }
        }
    }
}
