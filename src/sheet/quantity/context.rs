//! What the words around a number say about it: the key of a field, the header of a column, the clause before.

use super::keys::{camel, hint, is_price_of_one, states_factor, strand_in};
use super::memo;
use super::unit::{Base, Unit};

/// Hints that words give about the kind of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Hints(u32);

impl Hints {
    pub(super) const RESISTANCE: Self = Self(1);
    pub(super) const IMPEDANCE: Self = Self(1 << 1);
    pub(super) const STRANDS: Self = Self(1 << 2);
    pub(super) const WIRE: Self = Self(1 << 3);
    pub(super) const DIAMETER: Self = Self(1 << 4);
    pub(super) const OUTER: Self = Self(1 << 5);
    pub(super) const VELOCITY: Self = Self(1 << 6);
    pub(super) const DAMPING: Self = Self(1 << 7);
    pub(super) const TRIALS: Self = Self(1 << 8);
    pub(super) const TEMPERATURE: Self = Self(1 << 9);
    pub(super) const CURRENT: Self = Self(1 << 10);
    pub(super) const GAUGE: Self = Self(1 << 11);
    /// Sorts of wire and cable: a bare `14/2` beside them is a size.
    pub(super) const CABLE: Self = Self(1 << 12);
    /// Page, date, price, weight and their like: a number beside them is no quantity.
    pub(super) const OTHER: Self = Self(1 << 13);

    /// Words of power and of voltage, which give a lone W or V its meaning.
    pub(super) const POWER: Self = Self(1 << 15);
    pub(super) const VOLTAGE: Self = Self(1 << 16);
    /// Words of how long something is, and of what is sold by the length.
    pub(super) const LENGTH: Self = Self(1 << 14);

    pub(super) fn has(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    pub(super) const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }
}

/// The words that give a bare number its unit or its kind: a field's key, the header of a table's column or row.
#[derive(Debug, Clone, Default)]
pub struct Context {
    pub(super) unit: Option<Unit>,
    pub(super) hints: Hints,
    /// Hints of the section around, which decide only when nothing nearer does.
    pub(super) section: Hints,
    /// Unit of a table whose columns are headed by values (`4 Ω`, `8 Ω`), from what stands over it.
    pub(super) caption: Option<Unit>,
    /// One ohm for the length that the head names (`resistance per 1000 ft`), for cells that say ohms alone.
    pub(super) per: Option<Unit>,
    /// One ohm for the length that the section names (`electrical, per metre of pair`).
    pub(super) for_length: Option<Unit>,
    /// The head of the column is a value itself.
    pub(super) valued: bool,
    /// The key gives the value of a factor itself.
    pub(super) factor_stated: bool,
    /// How thick the strands are that the head counts (`strands of 0.25 mm`, `number of 30 AWG strands`).
    pub(super) strand: Option<(f64, Unit)>,
    /// The document writes decimal commas.
    pub(super) comma: bool,
    /// Its lines are numbered `#1`, `#2`, as messages of a board are.
    pub(super) numbered: bool,
}

impl Context {
    /// The context that a key or a header gives: `Length (m)`, `AWG`, `DC resistance [Ω/km]`, `Damping factor`.
    #[must_use]
    pub fn of(words: &str) -> Self {
        let parted;
        let words = match camel(words) {
            Some(found) => {
                parted = found;
                parted.as_str()
            }
            None => words,
        };
        let spaced;
        let signed = words.contains('_');
        let joined = signed
            && words
                .split_whitespace()
                .rfind(|word| word.contains(char::is_alphanumeric))
                .is_some_and(|last| last.contains('_'));
        let words = if signed {
            spaced = words.replace('_', " ");
            spaced.as_str()
        } else {
            words
        };
        let mut hints = Hints::default();
        for word in words_of(words) {
            hints = hints.with(hint(word));
        }
        hints = hints.with(phrase_hints(words));
        if is_damping(words) {
            hints = hints.with(Hints::DAMPING);
        }
        let money = words.contains(['€', '$', '£', '¥', '¢']) || is_price_of_one(words);
        let unit = if hints.has(Hints::OTHER) || money {
            None
        } else {
            let bare = without_condition(without_note(words));
            ratio_behind(bare, joined)
                .or_else(|| unit_of(bare, hints))
                // A lone A is an area or a name more often than amperes.
                .filter(|unit| {
                    let amperes =
                        hints.has(Hints::CURRENT) || bare.contains("(A)") || bare.contains("[A]");
                    !(unit.letter && unit.base == Base::Ampere) || amperes
                })
                .or_else(|| letter_behind(bare, hints, joined))
                .or_else(|| share_of_light(words, hints))
                .filter(|unit| unit.base == Base::Gauge || !states(words, *unit))
        };
        let factor_stated = states_factor(words);
        if factor_stated {
            hints = hints.without(Hints::VELOCITY.with(Hints::DAMPING));
        }
        Self {
            unit,
            hints,
            per: hints
                .has(Hints::RESISTANCE)
                .then(|| length_behind(words))
                .flatten(),
            valued: words.bytes().any(|byte| byte.is_ascii_digit()),
            factor_stated,
            strand: hints
                .has(Hints::STRANDS)
                .then(|| strand_in(words))
                .flatten(),
            ..Self::default()
        }
    }

    /// Adds a head that stands over several columns: `Resistance (mΩ/m)` over `loop` and `core`. The first that names a unit counts.
    #[must_use]
    pub fn headed(mut self, words: &str) -> Self {
        if self.caption.is_none() && self.unit.is_none() && !self.hints.has(Hints::OTHER) {
            self.caption = unit_over(words);
        }
        self
    }

    /// Adds what stands over a table (`Longest run, in feet`): it says what the values under other values are.
    #[must_use]
    pub fn captioned(self, words: &str) -> Self {
        if self.valued {
            self.headed(words)
        } else {
            self
        }
    }

    /// Adds the words of the section or heading around (`SCORES`), which count for less.
    #[must_use]
    pub fn under(mut self, heading: &str) -> Self {
        for word in words_of(heading) {
            self.section = self.section.with(hint(word));
        }
        self.section = self.section.with(phrase_hints(heading));
        self.for_length = self.for_length.or_else(|| length_behind(heading));
        self
    }

    /// Says whether the document writes decimal commas (`2,5 mm²`), so that `1.000 m` is a thousand metres.
    #[must_use]
    pub fn decimal_comma(mut self, comma: bool) -> Self {
        self.comma = comma;
        self
    }

    /// Says whether lines of the document are numbered `#1`, `#2`, so that `#12` before a line is no gauge.
    #[must_use]
    pub fn numbered(mut self, numbered: bool) -> Self {
        self.numbered = numbered;
        self
    }

    /// Both contexts of a cell, of its column and of its row; the column goes first.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        self.unit = self.unit.or(other.unit);
        self.hints = self.hints.with(other.hints);
        self.section = self.section.with(other.section);
        self.caption = self.caption.or(other.caption);
        self.per = self.per.or(other.per);
        self.strand = self.strand.or(other.strand);
        self.for_length = self.for_length.or(other.for_length);
        self.comma |= other.comma;
        self
    }
}

/// Words of letters, apostrophes dropped.
pub(super) fn words_of(text: &str) -> impl DoubleEndedIterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
}

fn contains(text: &str, needle: &str) -> bool {
    text.as_bytes()
        .windows(needle.len())
        .any(|window| window.eq_ignore_ascii_case(needle.as_bytes()))
}

/// Whether a head is “Damping” or “Damping (cable)”.
fn is_damping(head: &str) -> bool {
    const NAME: &str = "damping";
    let head = head.trim().as_bytes();
    head.get(..NAME.len())
        .is_some_and(|word| word.eq_ignore_ascii_case(NAME.as_bytes()))
        && matches!(head.get(NAME.len()..), Some([] | [b' ', b'(', ..]))
}

/// Hints of more than one word.
pub(super) fn phrase_hints(text: &str) -> Hints {
    let mut hints = Hints::default();
    if contains(text, "damping fact") || contains(text, "dämpfungsfakt") {
        hints = hints.with(Hints::DAMPING);
    }
    if ["v/c", "v / c", "of light", "lightspeed", "% c", "% of c"]
        .iter()
        .any(|phrase| contains(text, phrase))
    {
        hints = hints.with(Hints::VELOCITY);
    }
    hints
}

/// The words of a head without the sign of a note behind them: `[2]`, `(1)`, `*`, `¹`.
fn without_note(words: &str) -> &str {
    let mut rest = words.trim_end();
    loop {
        let bare = rest.trim_end_matches(['*', '†', '‡', '¹']).trim_end();
        // "µH/m *)"; the star may have gone as one of emphasis.
        if let Some(name) = ["*)", "†)", " )"]
            .iter()
            .find_map(|mark| bare.strip_suffix(mark))
        {
            rest = name.trim_end_matches(['*', '†', '(']).trim_end();
            continue;
        }
        // "Insertion loss 3)"
        if let Some((name, mark)) = bare.rsplit_once(' ')
            && mark.len() == 2
            && mark.ends_with(')')
            && mark.starts_with(|digit: char| digit.is_ascii_digit())
        {
            rest = name;
            continue;
        }
        let cut = bare
            .strip_suffix([']', ')'])
            .and_then(|inner| inner.rfind(['[', '(']).map(|at| (at, &inner[at + 1..])))
            .filter(|(at, mark)| {
                *at > 0 && mark.len() <= 2 && mark.bytes().all(|byte| byte.is_ascii_digit())
            })
            .map(|(at, _)| bare[..at].trim_end());
        match cut {
            Some(shorter) if !shorter.is_empty() => rest = shorter,
            _ => return if bare.is_empty() { rest } else { bare },
        }
    }
}

/// The words of a head without what they say of the conditions at their end: `Ω/km, 20 °C`, `mΩ/m at 20 °C, per core`.
fn without_condition(words: &str) -> &str {
    /// What a figure is given for.
    const PER: &[&str] = &[
        "per core",
        "per conductor",
        "per wire",
        "per leg",
        "each core",
        "each conductor",
        "each leg",
        "each way",
        "one way",
        "one core",
        "one conductor",
        "one leg",
        "there and back",
        "out and back",
        "both ways",
        "and back",
        "single",
        "loop",
        "max",
        "max.",
        "nominal",
        "nom.",
        "typ.",
        "approx.",
    ];
    let mut rest = words.trim_end();
    loop {
        let cut = [", ", "; ", " at ", " @ ", " @", " ("]
            .iter()
            .filter_map(|sign| rest.rfind(sign).map(|at| (at, at + sign.len())))
            .max()
            .filter(|&(_, after)| {
                let end = rest[after..].trim_end_matches(')').trim();
                end.starts_with(|letter: char| letter.is_ascii_digit())
                    && (end.contains('°') || end.ends_with(['C', 'F']))
                    // A unit may follow: "at 20 °C Ω/km".
                    && !end.contains('/')
            })
            .map(|(at, _)| at);
        let per = PER.iter().find_map(|per| {
            let at = rest.len().checked_sub(per.len())?;
            let free = rest.get(..at)?.ends_with([' ', ',']);
            (free && rest.get(at..)?.eq_ignore_ascii_case(per)).then_some(at)
        });
        let Some(at) = cut.or(per).filter(|&at| at > 0) else {
            return rest;
        };
        rest = rest[..at].trim_end_matches([' ', ',', ';']);
    }
}

/// The unit of several words at the end of a head: `ohms/1000 ft`, `mΩ per metre`.
fn unit_behind(words: &str, hints: Hints) -> Option<Unit> {
    let several = |end: &&str| {
        end.contains(['/', '·'])
            || end
                .split_whitespace()
                .any(|word| word.eq_ignore_ascii_case("per"))
    };
    words
        .char_indices()
        .filter(|(_, letter)| letter.is_whitespace())
        .map(|(at, _)| words[at..].trim())
        .chain([words])
        .filter(several)
        .find_map(loose_unit)
        .filter(|_| !hints.has(Hints::OTHER))
}

/// The unit that a key names without a number: in brackets, behind a comma or ` in `, or alone.
fn unit_of(words: &str, hints: Hints) -> Option<Unit> {
    let words = words.trim_matches(|c: char| {
        c.is_whitespace() || matches!(c, ':' | '=' | '.' | '|' | '*' | '"' | '{')
    });
    let mut rest = words;
    while let Some(open) = rest.find(['(', '[']) {
        let inner = &rest[open + 1..];
        let close = inner.find([')', ']']).unwrap_or(inner.len());
        if let Some(unit) = loose_unit(&inner[..close]) {
            return Some(unit);
        }
        rest = &inner[close..];
    }
    // A column may be called A, C or R.
    let name = words.len() == 1 && !matches!(words, "m" | "V" | "W");
    if let Some(unit) = loose_unit(words).filter(|_| !name) {
        return Some(unit);
    }
    // "Length/m", as in "length divided by the metre".
    if let Some((quantity, unit)) = words.rsplit_once('/')
        && !quantity.ends_with(char::is_whitespace)
        && !unit.starts_with(char::is_whitespace)
        && quantity.chars().all(|c| c.is_alphabetic() || c == ' ')
        && quantity.len() >= 3
        && loose_unit(quantity).is_none()
        && !quantity.contains(['Ω', '\u{2126}', '/'])
        && !quantity.to_ascii_lowercase().ends_with("ohm")
        && let Some(unit) = loose_unit(unit)
        && (unit.base != Base::Length
            || hints.has(Hints::LENGTH.with(Hints::OUTER).with(Hints::DIAMETER)))
    {
        return Some(unit);
    }
    // "Ohms per 1000 ft, each leg".
    if let Some(unit) = words
        .split(',')
        .next()
        .filter(|first| first.len() < words.len() && (first.len() > 1 || first.contains('m')))
        .and_then(loose_unit)
    {
        return Some(unit);
    }
    // "Ohm/km loop 20 C", "ohms/1000 ft each cond.": a rate, and behind it what it is the rate of.
    let mut firsts = words.match_indices(' ').take(2);
    if let Some(unit) = firsts.find_map(|(at, _)| {
        let first = words[..at].trim_end();
        first.contains('/').then(|| loose_unit(first))?
    }) {
        return Some(unit);
    }
    for sign in [",", ";", " / ", "×"] {
        if let Some(unit) = words
            .rfind(sign)
            .and_then(|at| loose_unit(&words[at + sign.len()..]))
        {
            return Some(unit);
        }
    }
    for lead in [" in ", " x "] {
        if let Some(unit) = words
            .rfind(lead)
            .and_then(|at| loose_unit(&words[at + lead.len()..]))
        {
            return Some(unit);
        }
    }
    // "resistance Ω/1000 ft": the longest end that is a unit of several words.
    if let Some(unit) = unit_behind(words, hints) {
        return Some(unit);
    }
    if let Some(unit) = words
        .rfind(char::is_whitespace)
        .and_then(|at| loose_unit(&words[at..]))
        .filter(|unit| !unit.letter && unit.base != Base::Gauge)
        // "4 Ω" at the head of a column is a value, no unit of what stands below.
        .filter(|_| !ends_with_value(words))
        .filter(|_| {
            !words_of(words).any(|word| {
                ["per", "je", "pro", "each", "a"]
                    .iter()
                    .any(|per| per.eq_ignore_ascii_case(word))
            })
        })
    {
        return Some(unit);
    }
    // "Ohms/1000 ft (each conductor, 68 F)", "Ohms (loop)": a condition in brackets behind the unit.
    if let Some(unit) = words.find(['(', '[']).and_then(|open| {
        let ahead = words[..open].trim_end();
        unit_behind(ahead, hints).or_else(|| loose_unit(ahead).filter(|unit| !unit.letter))
    }) {
        return Some(unit);
    }
    let mut gauge = None;
    for word in words_of(words) {
        if word.eq_ignore_ascii_case("awg") {
            return Some(Unit::AWG);
        }
        if word.eq_ignore_ascii_case("swg") {
            return Some(Unit::SWG);
        }
        if word.eq_ignore_ascii_case("gauge") || word.eq_ignore_ascii_case("gage") {
            gauge = Some(Unit::AWG);
        }
    }
    gauge.filter(|_| !hints.has(Hints::STRANDS))
}

/// Whether the words give a value in that unit themselves: in "2 x 1.5 mm², 13.1 Ω/km ..... 0.75" the last number is a price
/// and no resistance. A number behind "per", "at" or "into" is a condition ("per 100 m", "at 8 Ω").
fn states(words: &str, unit: Unit) -> bool {
    let (mut before, mut number) = ("", "");
    words.split_whitespace().any(|word| {
        let ahead = std::mem::replace(&mut before, number);
        let given = std::mem::replace(&mut number, word);
        let plain = starts_in_digits(given) && ends_in_digits(given);
        plain
            && !["per", "at", "into", "for", "@", "in", "with", "a"].contains(&ahead)
            && loose_unit(word.trim_end_matches([',', ';', ')']))
                .is_some_and(|own| own.base == unit.base)
    })
}

fn ends_in_digits(text: &str) -> bool {
    text.ends_with(|c: char| c.is_ascii_digit())
}

fn starts_in_digits(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

/// Whether the last word has a number right before it.
fn ends_with_value(words: &str) -> bool {
    words
        .trim_end()
        .rsplit_once(char::is_whitespace)
        .is_some_and(|(ahead, _)| ahead.trim_end().ends_with(|c: char| c.is_ascii_digit()))
}

/// A unit of one letter at the end of a key: `length_m`, `Length m`, `Power W`.
fn letter_behind(words: &str, hints: Hints, joined: bool) -> Option<Unit> {
    let (_, last) = words.trim_end().rsplit_once(char::is_whitespace)?;
    let last = last.trim_matches(|c: char| matches!(c, ':' | '=' | '"' | '.'));
    let last = match last {
        "w" if joined => "W",
        "v" if joined => "V",
        "a" if joined => "A",
        other => other,
    };
    let unit = loose_unit(last).filter(|unit| unit.letter)?;
    let named = match unit.base {
        Base::Length => hints.has(Hints::LENGTH),
        Base::Watt => hints.has(Hints::POWER),
        Base::Volt => hints.has(Hints::VOLTAGE),
        Base::Ampere => hints.has(Hints::CURRENT),
        Base::Ohm => hints.has(Hints::RESISTANCE.with(Hints::IMPEDANCE)),
        _ => false,
    };
    (named || joined && last != "M" && !ends_with_value(words)).then_some(unit)
}

/// A unit for a length at the end of a joined key: `conductor_ohm_km`, `capacitance_pf_m`.
fn ratio_behind(words: &str, joined: bool) -> Option<Unit> {
    if !joined {
        return None;
    }
    let words = words.trim_end_matches(|c: char| c.is_whitespace() || matches!(c, ':' | '='));
    let (ahead, length) = words.rsplit_once(' ')?;
    let (_, unit) = ahead.rsplit_once(' ')?;
    loose_unit(&format!("{unit}/{length}")).filter(|unit| {
        matches!(
            unit.base,
            Base::OhmPer | Base::HenryPer | Base::FaradPer | Base::SecondPer
        ) && !unit.is_bare_constant()
    })
}

/// "Velocity, % of light": the share is of the speed that the key names.
fn share_of_light(words: &str, hints: Hints) -> Option<Unit> {
    (hints.has(Hints::VELOCITY) && words.contains('%'))
        .then(|| memo::unit_alone("%"))
        .flatten()
}

/// One ohm for the length behind `per`.
fn length_behind(words: &str) -> Option<Unit> {
    const PER: &str = "per ";
    let at = words
        .as_bytes()
        .windows(PER.len())
        .rposition(|window| window.eq_ignore_ascii_case(PER.as_bytes()))?;
    let length = words.get(at..)?;
    let length = length.split([',', ';', ':', ')', '(']).next()?;
    let length = length.trim().to_lowercase();
    let length = length.split(" of ").next().unwrap_or("");
    memo::unit_alone(&format!("Ω {length}"))
}

/// The unit that words over a table name: in brackets, behind `in`, or a wire gauge.
fn unit_over(words: &str) -> Option<Unit> {
    let words = without_letter(words);
    let parts = || words.split([',', ';', ':', '(', ')', '[', ']', '.', '–', '—']);
    let said = parts().find_map(|part| {
        let part = part.trim();
        let bare = part.strip_prefix("in ").unwrap_or(part);
        let behind = part.rfind(" in ").map(|at| &part[at + 4..]);
        // "Longest run in feet for a loss of 5 %": more may stand behind it.
        let begun = || unit_begun(behind?);
        (loose_unit(bare).or_else(|| loose_unit(behind?))).or_else(begun)
    });
    said.or_else(|| {
        let gauge = |word: &str| {
            ["awg", "gauge", "gage", "gauges"]
                .iter()
                .any(|name| word.eq_ignore_ascii_case(name))
        };
        words_of(words).any(gauge).then_some(Unit::AWG)
    })
}

/// The unit of one word or two that words begin with, if it is no letter.
fn unit_begun(words: &str) -> Option<Unit> {
    let mut blanks = words.match_indices(' ').map(|(at, _)| at);
    let (one, two) = (blanks.next(), blanks.next());
    [two, one].into_iter().flatten().find_map(|end| {
        loose_unit(words.get(..end)?).filter(|unit| !unit.letter && unit.base != Base::Gauge)
    })
}

/// Words behind the letter that numbers them: “A. twin flex, clear”.
fn without_letter(words: &str) -> &str {
    let words = words.trim_start();
    let mut signs = words.chars();
    let labelled = signs.next().is_some_and(char::is_alphabetic)
        && matches!(signs.next(), Some('.' | ')'))
        && signs.as_str().contains(char::is_alphanumeric);
    if labelled { signs.as_str() } else { words }
}

pub(super) fn loose_unit(text: &str) -> Option<Unit> {
    let text = text.trim_matches(|c: char| c.is_whitespace() || matches!(c, ':' | '.'));
    let unit = memo::unit_alone(text)?;
    let gauge_word = unit.base == Base::Gauge && !text.to_ascii_lowercase().contains('w');
    // A single letter names a column more often than a unit, but for metres, ohms, volts and watts.
    let doubtful = unit.letter
        && !matches!(
            unit.base,
            Base::Length | Base::Ohm | Base::Volt | Base::Watt | Base::Ampere
        );
    (!doubtful && (!gauge_word || text.len() > 2)).then_some(unit)
}
