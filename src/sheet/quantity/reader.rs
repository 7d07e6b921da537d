//! From the parse of a clause to quantities.

use super::around::{
    before, behind, bound, hints_before, hints_behind, is_blank, is_label, last_word, next_word,
    one_of, snap,
};
use super::context::{Context, Hints};
use super::grammar::{CLAUSE, Rule, parse};
use super::memo;
use super::number::{self, Number};
use super::scan::{self, Anchor};
use super::unit::{Base, Unit};
use super::{Bound, Kind, Quantity, Value, gauge};
use crate::span::Span;
use crate::units::Metre;
use memchr::memmem::Finder;
use std::sync::LazyLock;

/// Parts of words that damping and velocity factors are named by.
static FACTORS: LazyLock<[Finder<'static>; 12]> = LazyLock::new(|| {
    [
        "actor",
        "ACTOR",
        "ropagation",
        "ROPAGATION",
        "VF",
        "vf",
        "VP",
        "Vp",
        "vp",
        "VOP",
        "VoP",
        "DF",
    ]
    .map(Finder::new)
});

/// What joins a number to the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    First,
    To,
    Times,
    Slash,
    And,
    Comma,
}

/// A number of a chain such as `2 x 2.5` or `12, 14 and 16`.
#[derive(Debug, Clone, Copy)]
struct Member {
    start: usize,
    end: usize,
    number: Number,
    joint: Joint,
    /// A hyphen without blanks stands before it.
    hyphen: bool,
    /// A word, not a sign, joins it to the one before.
    word: bool,
    minus: bool,
}

/// A chain with the unit behind its last number.
#[derive(Debug, Default)]
struct Chain {
    members: Vec<Member>,
    unit: Option<Unit>,
    unit_start: usize,
    end: usize,
}

pub(super) struct Reader<'t, 'o> {
    text: &'t str,
    span: Span,
    context: &'t Context,
    out: &'o mut Vec<Quantity>,
    /// End of the last quantity, and its index.
    floor: usize,
    /// Whether the span writes decimal commas, once asked for.
    comma: Option<bool>,
    /// Whether the span speaks of damping or velocity factors, once asked for.
    factors: Option<bool>,
    chain: Chain,
    /// How far quotation marks are counted, and whether one is open.
    quotes: usize,
    double_open: bool,
    single_open: bool,
}

impl<'t, 'o> Reader<'t, 'o> {
    pub(super) fn new(
        text: &'t str,
        span: Span,
        context: &'t Context,
        out: &'o mut Vec<Quantity>,
    ) -> Self {
        let start = snap(text, span.start);
        let span = Span::new(start, snap(text, span.end));
        Self {
            text,
            span,
            context,
            out,
            floor: start,
            comma: None,
            factors: None,
            chain: Chain::default(),
            quotes: start,
            double_open: false,
            single_open: false,
        }
    }

    pub(super) fn run(&mut self) {
        let mut at = self.span.start;
        while let Some(anchor) = scan::next(self.text, at, self.span.end) {
            let (pos, next) = match anchor {
                Anchor::Digits(pos) => (
                    pos,
                    if self.startable(pos) {
                        self.number_at(pos)
                    } else {
                        self.skip_code(pos)
                    },
                ),
                Anchor::Word(pos) => (pos, self.number_at(pos)),
                Anchor::Fraction(pos) => (pos, self.number_at(pos)),
            };
            at = snap_up(self.text, next.max(pos + 1));
        }
    }

    fn char_before(&self, at: usize) -> Option<char> {
        self.text.get(self.span.start..at)?.chars().next_back()
    }

    fn char_at(&self, at: usize) -> Option<char> {
        self.text.get(at..self.span.end)?.chars().next()
    }

    fn before(&self, at: usize) -> &'t str {
        before(self.text, self.span.start, at)
    }

    fn behind(&self, at: usize) -> &'t str {
        behind(self.text, at, self.span.end)
    }

    // ---- where a number may begin ---------------------------------------------------------------------------------------

    /// Whether the digits at `pos` begin a number, and no code, date, price, address or name.
    fn startable(&self, pos: usize) -> bool {
        let Some(previous) = self.char_before(pos) else {
            return true;
        };
        if is_blank(previous) {
            return !self.priced(pos);
        }
        if pos == self.floor + previous.len_utf8()
            && matches!(previous, '-' | '\u{2010}' | '\u{2011}' | '/' | ',' | ':')
        {
            return true;
        }
        let left = &self.text[self.span.start..pos - previous.len_utf8()];
        let second = left.chars().next_back();
        match previous {
            '_' => false,
            'Ø' | 'ø' | 'Φ' | 'φ' => !second.is_some_and(char::is_alphanumeric),
            c if c.is_alphabetic() => {
                let word =
                    last_word(&self.text[before_start(self.text, self.span.start, pos)..pos])
                        .map_or("", |(_, word, _)| word);
                one_of!(word, "awg swg vf")
            }
            '-' | '\u{2010}' | '\u{2011}' => match second {
                Some(c) if c.is_alphabetic() => {
                    let word = last_word(before(self.text, self.span.start, pos))
                        .map_or("", |(_, word, _)| word);
                    one_of!(word, "awg swg gauge")
                }
                Some(c) => !c.is_numeric() && c != '/',
                None => true,
            },
            '.' | ',' | ':' => !second.is_some_and(|c| c.is_ascii_digit()) && !self.address(pos),
            '/' | '=' | '?' | '&' | '@' => {
                !second.is_some_and(|c| c.is_ascii_digit()) && !self.address(pos)
            }
            '\'' | '’' | '‘' => false,
            '£' | '$' | '€' | '¥' | '¢' | '§' | '©' => false,
            _ => true,
        }
    }

    /// A currency stands before the number.
    fn priced(&self, pos: usize) -> bool {
        let left = self.before(pos).trim_end_matches(is_blank);
        left.ends_with(['£', '$', '€', '¥', '§', '©'])
            || last_word(left).is_some_and(|(_, word, gap)| {
                gap.is_empty() && one_of!(word, "usd eur gbp chf euro isbn issn ean")
            })
    }

    /// The number lies in a web or mail address.
    fn address(&self, pos: usize) -> bool {
        let left = self.before(pos);
        let token = left
            .rfind(is_blank)
            .map_or(left, |at| &left[at..])
            .trim_start();
        token.contains("://") || token.starts_with("www.") || token.contains('@')
    }

    /// Behind the code, date or address that the digits at `pos` belong to.
    fn skip_code(&self, pos: usize) -> usize {
        let bytes = self.text.as_bytes();
        let mut at = pos;
        while at < self.span.end {
            let byte = bytes[at];
            let inner = matches!(
                byte,
                b'-' | b'_' | b'.' | b'/' | b':' | b'?' | b'&' | b'=' | b'@' | b',' | b'\''
            ) && bytes.get(at + 1).is_some_and(u8::is_ascii_alphanumeric);
            if !byte.is_ascii_alphanumeric() && !inner {
                break;
            }
            at += 1;
        }
        at.max(pos + 1)
    }

    // ---- one number and what hangs on it ------------------------------------------------------------------------------

    fn number_at(&mut self, pos: usize) -> usize {
        let text = self.text;
        let limit = snap(text, (pos + CLAUSE).min(self.span.end));
        let clause = &text[pos..limit];
        let follow = follow(clause);
        let behind_of = self
            .before(pos)
            .trim_end_matches(is_blank)
            .ends_with("out of");
        if follow == Follow::Nothing
            && !behind_of
            && self.context.unit.is_none()
            && self.context.hints == Hints::default()
            && !self.names_a_factor()
        {
            return self.skip_words(pos, clause);
        }
        let strands = follow == Follow::Strands;
        let of = follow == Follow::Score || behind_of;
        if strands && let Some(next) = self.strands(pos, clause) {
            return next;
        }
        if of && let Some(next) = self.trials(pos, clause) {
            return next;
        }
        if !self.chain_at(pos, clause) {
            return self.skip_code(pos);
        }
        let chain = std::mem::take(&mut self.chain);
        let next = self.chain_read(&chain);
        let first = chain.members.first().map_or(pos + 1, |member| member.end);
        self.chain = chain;
        next.unwrap_or(first)
    }

    /// Behind the number words that mean nothing here.
    fn skip_words(&self, pos: usize, clause: &str) -> usize {
        pos + words_end(clause).max(1)
    }

    fn comma(&mut self) -> bool {
        if let Some(comma) = self.comma {
            return comma;
        }
        let comma = self.context.comma || writes_decimal_commas(self.span.of(self.text));
        self.comma = Some(comma);
        comma
    }

    /// Whether a number's value hangs on what the decimal sign is.
    fn value(&mut self, rule: Rule, text: &str) -> Option<Number> {
        let comma = text.contains('.') && self.comma();
        number::read(rule, text, comma)
    }

    /// Fills `self.chain` from the clause at `pos`.
    fn chain_at(&mut self, pos: usize, clause: &'t str) -> bool {
        self.chain.members.clear();
        self.chain.unit = None;
        if let Some(end) = lone_decimal(clause) {
            let end = pos + end;
            let Some(number) = self.value(Rule::decimal, &self.text[pos..end]) else {
                return false;
            };
            self.chain.members.push(Member {
                start: pos,
                end,
                number,
                joint: Joint::First,
                hyphen: false,
                word: false,
                minus: false,
            });
            self.unit_behind(end, pos + clause.len());
            return true;
        }
        let Some(pairs) = parse(Rule::numbers_entry, clause) else {
            return false;
        };
        let mut whole = true;
        let mut joint = Joint::First;
        let mut hyphen = false;
        let mut word = false;
        let mut minus = false;
        let mut mark = None;
        for pair in pairs {
            let range = pair.as_span();
            let (start, end) = (pos + range.start(), pos + range.end());
            match pair.as_rule() {
                Rule::number => {
                    let Some(inner) = pair.into_inner().next() else {
                        whole = false;
                        break;
                    };
                    let sound = !self.runs_on(end);
                    let number = self
                        .value(inner.as_rule(), inner.as_str())
                        .filter(|_| sound);
                    let Some(number) = number else {
                        whole = false;
                        break;
                    };
                    self.chain.members.push(Member {
                        start: mark.take().unwrap_or(start),
                        end,
                        number,
                        joint,
                        hyphen,
                        word,
                        minus,
                    });
                    minus = false;
                }
                // A dash between blanks parts sentences.
                Rule::to
                    if pair.as_str() == "—" && self.char_before(start).is_some_and(is_blank) =>
                {
                    whole = false;
                    break;
                }
                Rule::to | Rule::to_word => {
                    joint = Joint::To;
                    hyphen = matches!(pair.as_str(), "-" | "\u{2010}" | "\u{2011}")
                        && !self.char_before(start).is_some_and(is_blank)
                        && !self.char_at(end).is_some_and(is_blank);
                    word = pair.as_str().contains(|c: char| c.is_alphabetic());
                }
                Rule::times => joint = Joint::Times,
                Rule::slash => joint = Joint::Slash,
                Rule::and => joint = Joint::And,
                Rule::comma => joint = Joint::Comma,
                Rule::gauge_mark => mark = Some(start),
                Rule::sign => {
                    minus = pair.as_str().starts_with(['-', '−', '–', 'm', 'M']);
                    mark = Some(start);
                }
                _ => {}
            }
        }
        let Some(last) = self.chain.members.last() else {
            return false;
        };
        if whole {
            let end = last.end;
            self.unit_behind(end, pos + clause.len());
        } else {
            self.chain.end = last.end;
        }
        true
    }

    /// Fills in the unit that stands behind the number that ends at `end`.
    fn unit_behind(&mut self, end: usize, limit: usize) {
        self.chain.end = end;
        let Some((unit, start, stop)) = memo::unit_behind(&self.text[end..limit]) else {
            return;
        };
        let (start, stop) = (end + start, end + stop);
        let runs_on = self.char_at(stop).is_some_and(char::is_alphanumeric)
            && !self.text[start..stop].ends_with(|c: char| !c.is_alphanumeric());
        if !runs_on {
            self.chain.unit = Some(unit);
            self.chain.unit_start = start;
            self.chain.end = stop;
        }
    }

    /// More digits follow, so that this is a date, a version, a time or a number too long to be one.
    fn runs_on(&self, end: usize) -> bool {
        match self.char_at(end) {
            Some(c) if c.is_ascii_digit() => true,
            Some('.' | ',' | ':') => self.char_at(end + 1).is_some_and(|c| c.is_ascii_digit()),
            _ => false,
        }
    }

    fn chain_read(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        if let Some(unit) = chain.unit {
            if self.of_a_unit(first.start) {
                return Some(chain.end);
            }
            // "AWG 13 / 2.62 mm²": the first has its unit before it.
            let marked = chain.members.len() > 1
                && !matches!(unit.base, Base::Gauge | Base::Swg)
                && self
                    .left_of(first.start)
                    .trim_end_matches(is_blank)
                    .ends_with(['G', 'g', '#', '.']);
            if marked {
                let alone = Chain {
                    members: vec![*first],
                    ..Chain::default()
                };
                if let Some(next) = self.marked_gauge(&alone) {
                    return Some(next);
                }
            }
            if self.plausible(chain, unit) {
                return self.with_unit(chain, unit, chain.end);
            }
        }
        self.bare(chain)
    }

    /// `1000 ft` in `ohms per 1000 ft` where no number stands before the ohms.
    fn of_a_unit(&self, start: usize) -> bool {
        let left = self.before(start).trim_end_matches(is_blank);
        let rest = if let Some(rest) = left.strip_suffix('/') {
            rest
        } else if let Some(rest) = left.strip_suffix("per") {
            rest
        } else {
            return false;
        };
        let rest = rest.trim_end_matches(is_blank);
        rest.ends_with(['Ω', '\u{2126}'])
            || last_word(rest).is_some_and(|(_, word, gap)| {
                gap.is_empty()
                    && one_of!(
                        word,
                        "ohm ohms milliohm milliohms mohm mohms ph uh µh nh pf nf uf µf db",
                    )
            })
    }

    // ---- units that are also letters and words ------------------------------------------------------------------------

    fn plausible(&mut self, chain: &Chain, unit: Unit) -> bool {
        let Some(last) = chain.members.last() else {
            return false;
        };
        let value = last.number.value;
        let written = &self.text[chain.unit_start..chain.end];
        let glued = chain.unit_start == last.end;
        let after = &self.text[chain.end..self.span.end];
        let next = after.chars().next();
        let second = after.chars().nth(1);
        if unit.letter && written.is_ascii() && written.len() == 1 {
            let capital = written.starts_with(|c: char| c.is_ascii_uppercase());
            if capital
                && (matches!(next, Some('-' | '\u{2010}' | '\u{2011}' | '&'))
                    && second.is_some_and(char::is_alphanumeric))
            {
                return false;
            }
            if matches!(next, Some('\'' | '’'))
                && second.is_some_and(char::is_alphabetic)
                && written != "m"
            {
                return false;
            }
        }
        if self.street(last.start, chain.end) {
            return false;
        }
        match unit.base {
            Base::Gauge | Base::Swg => {
                if chain.members.len() == 1
                    && last.number.words
                    && (written.ends_with(['s', 'S']) || value < 2.0)
                {
                    return false;
                }
                let zeros = matches!(&self.text[last.start..last.end], "00" | "000" | "0000");
                let right = next_word(after).unwrap_or("");
                (zeros || last.number.count().is_some_and(|count| count <= 50))
                    && !one_of!(right, "step steps size sizes number numbers model railway shotgun shell track needle steel reading")
            }
            Base::Area if written == "CM" => value >= 100.0,
            Base::Length => self.plausible_length(chain, written, after),
            // Two amps are amplifiers, unless something draws them.
            Base::Ampere
                if value <= 4.0
                    && !last.number.decimal
                    && matches!(written, "amp" | "amps" | "Amp" | "Amps")
                    && !self.text[last.end..chain.unit_start].contains('-') =>
            {
                self.context.hints.has(Hints::CURRENT)
                    || hints_before(self.before(last.start))
                        .any(|(_, hints)| hints.has(Hints::CURRENT.with(Hints::TEMPERATURE)))
                    || next_word(after)
                        .is_some_and(|word| one_of!(word, "fuse fuses peak rms max maximum continuous breaker of"))
            }
            Base::Ampere if written == "A" => {
                !glued
                    || last.number.decimal
                    || self.context.hints.has(Hints::CURRENT)
                    || next_word(after).is_some_and(|word| {
                        one_of!(word, "fuse fuses plug breaker circuit socket supply peak rms max maximum continuous rated rating dc ac each per")
                    })
                    || hints_before(self.before(last.start))
                        .take(4)
                        .any(|(_, hints)| hints.has(Hints::CURRENT.with(Hints::TEMPERATURE)))
                    || last_word(self.before(last.start)).is_some_and(|(_, word, _)| {
                        one_of!(word, "to max at of than about and")
                    })
                    || self.out.last().is_some_and(|q| {
                        matches!(q.kind, Kind::Voltage | Kind::Power)
                            && q.span.end + 3 >= last.start
                    })
            }
            Base::Celsius | Base::Fahrenheit if unit.letter => {
                let warm = self.warm(last.start);
                (glued
                    && value >= 15.0
                    && matches!(
                        next,
                        None | Some(' ' | '\u{A0}' | ',' | '.' | ';' | ')' | '/' | '\n')
                    ))
                    || warm
            }
            Base::Kelvin => {
                if !unit.letter {
                    return true;
                }
                let right = next_word(after).unwrap_or("");
                (!glued || self.warm(last.start))
                    && (20.0..=2000.0).contains(&value)
                    && !one_of!(right, "ohm ohms resistor input screen plated gold")
                    && !self
                        .before(last.start)
                        .trim_end_matches(is_blank)
                        .ends_with(|c: char| c.is_uppercase())
            }
            Base::Ohm if written == "R" => {
                (0.1..=1000.0).contains(&value)
                    && (glued
                        || self.ohm_hints(last.start, chain.end).is_some()
                        || self.context.hints.has(Hints::IMPEDANCE))
            }
            Base::Light => value < 2.0 && (last.number.decimal || last.number.fraction),
            Base::Volt | Base::Watt if written.len() == 1 => {
                // "The 2 Vs", "14 W. Dock Road" are gone by now; a lone initial before a name is not.
                true
            }
            _ => true,
        }
    }

    fn warm(&self, at: usize) -> bool {
        self.context.hints.has(Hints::TEMPERATURE)
            || hints_before(self.before(at)).any(|(_, hints)| hints.has(Hints::TEMPERATURE))
    }

    fn plausible_length(&mut self, chain: &Chain, written: &str, after: &str) -> bool {
        let Some(last) = chain.members.last() else {
            return false;
        };
        let next = after.chars().next();
        let degrees = self
            .before(last.start)
            .trim_end_matches(is_blank)
            .ends_with('°');
        match written {
            "in" => {
                if last.number.fraction || (last.number.decimal && !last.number.words) {
                    return true;
                }
                let hyphen = self.text[last.end..chain.unit_start].contains('-');
                let rest = after.trim_start_matches(is_blank);
                match rest.chars().next() {
                    None => true,
                    Some('-' | '\u{2010}' | '\u{2011}') => false,
                    Some(c) if !c.is_alphanumeric() => true,
                    Some(c) if c.is_ascii_digit() => false,
                    Some(_) => {
                        hyphen
                            || next_word(rest).is_some_and(|word| {
                                one_of!(word, "of long wide thick high deep diameter dia radius round or x by from above below apart heat pigtails tails")
                            })
                            || last_word(self.before(last.start)).is_some_and(|(_, word, _)| {
                                one_of!(word, "diameter dia od within length radius")
                            })
                    }
                }
            }
            "\"" | "”" | "''" | "’’" => {
                self.count_quotes(last.start);
                if self.double_open {
                    return false;
                }
                self.quotes = chain.end;
                !degrees
            }
            "'" | "’" | "′" => {
                self.count_quotes(last.start);
                if self.single_open && written != "′" || degrees {
                    return false;
                }
                self.quotes = chain.end;
                if !next.is_some_and(|c| c.is_ascii_digit()) {
                    return true;
                }
                // 4'10" is a length, unless it is how long a piece of music lasts.
                let music = super::context::words_of(self.before(last.start)).any(|word| {
                    one_of!(word, "track tracks lasts song side movement minutes plays")
                });
                !music && inches_behind(after).is_some()
            }
            "″" => !degrees,
            // Metres per second are no length.
            "m" => !after.starts_with("/s"),
            _ => true,
        }
    }

    /// Keeps count of quotation marks up to `at`.
    fn count_quotes(&mut self, at: usize) {
        let mut previous = self.char_before(self.quotes);
        let Some(stretch) = self.text.get(self.quotes..at) else {
            return;
        };
        let mut chars = stretch.chars().peekable();
        while let Some(c) = chars.next() {
            let follows =
                previous.is_some_and(|p| p.is_alphanumeric() || matches!(p, '.' | ',' | '!' | '?'));
            match c {
                '"' => self.double_open = !self.double_open,
                '“' | '„' => self.double_open = true,
                '”' => self.double_open = false,
                '‘' => self.single_open = true,
                '\'' | '’' => {
                    if self.single_open
                        && follows
                        && !chars.peek().is_some_and(|c| c.is_alphanumeric())
                    {
                        self.single_open = false;
                    } else if c == '\''
                        && !follows
                        && chars.peek().is_none_or(|c| c.is_alphanumeric())
                    {
                        self.single_open = true;
                    }
                }
                _ => {}
            }
            previous = Some(c);
        }
        self.quotes = self.quotes.max(at);
    }

    /// A street address: a house number before a capitalised name and "Road" and its like.
    fn street(&self, _start: usize, end: usize) -> bool {
        let text = self.behind(end);
        let text = text.strip_prefix('.').unwrap_or(text);
        if !text.starts_with(is_blank) {
            return false;
        }
        let mut words = super::context::words_of(text);
        for at in 0..3 {
            let Some(word) = words.next() else {
                return false;
            };
            if !word.starts_with(char::is_uppercase) {
                return false;
            }
            if at > 0
                && one_of!(
                    word,
                    "road street lane avenue drive row square close way hill terrace",
                )
            {
                return true;
            }
        }
        false
    }

    // ---- a chain whose unit is known ------------------------------------------------------------------------------------

    fn with_unit(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
        let members = &chain.members;
        let last = members.len().checked_sub(1)?;
        let end_number = &members[last];
        let small = unit.base == Base::Length
            && (unit.is_small() || matches!(unit.symbol().as_str(), "in" | "mil" | "cm"));
        let mut first = last;

        // What a stroke or a multiplication sign does to the number before.
        if last > 0 {
            let before = &members[last - 1];
            match (end_number.joint, unit.base) {
                (Joint::Slash, Base::Gauge | Base::Swg) => {
                    if let Some(next) = self.gauge_stroke(chain, unit, end) {
                        return Some(next);
                    }
                }
                (Joint::Slash, Base::Length) if strand_like(before, end_number, unit, true) => {
                    return self.strands_found(chain, last - 1, unit, end);
                }
                (Joint::Slash, _) if fraction_like(before, end_number, unit) => {
                    let value = before.number.value / end_number.number.value;
                    let number = Number {
                        value,
                        digits: None,
                        decimal: false,
                        fraction: true,
                        words: false,
                    };
                    return self.single(before.start, end, number, unit, None);
                }
                (Joint::Times, Base::Gauge | Base::Swg) => {
                    if let Some(count) = before.number.count()
                        && self.strands_of_gauge(count, end_number.number.value, before.start, end)
                    {
                        return self.strands_found(chain, last - 1, unit, end);
                    }
                }
                (Joint::Times, Base::Length) if small => {
                    let hinted = self.strand_hint(before.start, end);
                    if hinted
                        && before.number.count().is_some()
                        && end_number.number.value * unit.factor < 4e-3
                        || strand_like(before, end_number, unit, false)
                    {
                        return self.strands_found(chain, last - 1, unit, end);
                    }
                    // Two wires of a stated diameter are no outer size.
                    if let Some(count) = before.number.count().filter(|count| *count <= 8)
                        && self.length(&end_number.number, unit, (before.start, end))
                            == Kind::Diameter
                    {
                        self.left_over(chain, last - 1);
                        return self.single(
                            before.start,
                            end,
                            end_number.number,
                            unit,
                            Some(count),
                        );
                    }
                    // Outer sizes: 6.7 x 6.7 x 3.1 in.
                    while first > 0 && members[first].joint == Joint::Times {
                        first -= 1;
                    }
                }
                _ => {}
            }
            if end_number.joint == Joint::Times
                && !(small && first < last)
                && let Some(next) = self.products(chain, unit, end)
            {
                return Some(next);
            }
        }

        // Numbers before that share the unit.
        let mut listed = false;
        let mut ranged = false;
        let mut range_pair = None;
        if first == last {
            while first > 0 {
                let member = &members[first];
                let previous = &members[first - 1];
                let labelled = first == 1
                    && last_word(self.before(previous.start))
                        .is_some_and(|(_, word, gap)| is_label(word) && gap.chars().all(is_blank));
                if labelled {
                    break;
                }
                match member.joint {
                    Joint::To if !ranged => {
                        let numbered = first == 1
                            && !member.hyphen
                            && matches!(unit.base, Base::Gauge | Base::Swg)
                            && previous.number.value < 8.0
                            && previous.number.value < member.number.value
                            && self.text[previous.end..member.start].contains(['-', '–'])
                            && self.before(previous.start).trim().is_empty();
                        let loose = previous.number.words && !member.number.words && !member.word;
                        if numbered || loose || !same_sort(previous, member, unit) {
                            break;
                        }
                        ranged = true;
                        range_pair = Some(first - 1);
                    }
                    Joint::And => {
                        if !same_sort(previous, member, unit) {
                            break;
                        }
                        let between = first == last
                            && last_word(self.before(previous.start))
                                .is_some_and(|(_, word, _)| one_of!(word, "between zwischen"));
                        if between {
                            range_pair = Some(first - 1);
                            ranged = true;
                        }
                        listed = true;
                    }
                    Joint::Slash => {
                        if !same_sort(previous, member, unit) {
                            break;
                        }
                        listed = true;
                        if unit.base == Base::Celsius && members.len() == 2 {
                            range_pair = Some(first - 1);
                        }
                    }
                    Joint::Comma if listed && same_sort(previous, member, unit) => {}
                    _ => break,
                }
                first -= 1;
            }
        }

        self.left_over(chain, first);

        // The bound is that of the whole chain.
        let left = self.left_of(members[first].start);
        let right = self.behind(end);
        let chain_bound = bound(left, right);
        let id = u32::try_from(self.out.len()).ok();
        let begun = self.out.len();
        for at in first..=last {
            let member = &members[at];
            let (start, stop) = self.member_span(member, at == last, end);
            let range = match range_pair {
                Some(pair) if at == pair || at == pair + 1 => id,
                _ => None,
            };
            let bound = if range.is_some() {
                Bound::RangeLow
            } else {
                chain_bound
            };
            self.push(
                member,
                unit,
                Span::new(start, stop),
                bound,
                range,
                None,
                (members[first].start, end),
            );
        }
        if let Some(pair) = range_pair {
            let low = begun + (pair - first);
            self.order_range(low, low + 1);
        } else if last == first {
            self.join_range(begun);
        }
        if self.out.len() == begun {
            return None;
        }
        let next = self.tail(begun, end, unit);
        self.floor = next;
        Some(next)
    }

    /// `2 x 2.5 mm²`, and lists of such: `2x1.5, 2x2.5 and 2x4 mm²`.
    fn products(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
        let members = &chain.members;
        let sized = matches!(unit.base, Base::Gauge | Base::Swg | Base::Area);
        // First member, last member and count of each product, from the right.
        let mut groups: Vec<(usize, usize, u32)> = Vec::new();
        let mut close = members.len().checked_sub(1)?;
        let mut listed = false;
        loop {
            let mut product = 1_u32;
            let mut open = close;
            while open > 0 && members[open].joint == Joint::Times {
                let count = members[open - 1].number.count();
                let Some(count) = count.filter(|count| (1..=200).contains(count)) else {
                    break;
                };
                product = product.saturating_mul(count);
                open -= 1;
            }
            if open == close {
                break;
            }
            groups.push((open, close, product));
            let joined = match members[open].joint {
                Joint::And | Joint::Slash | Joint::To => true,
                Joint::Comma => listed,
                Joint::First | Joint::Times => false,
            };
            if !joined || !sized || open == 0 {
                break;
            }
            listed = true;
            close = open - 1;
        }
        let &(first, ..) = groups.last()?;
        self.left_over(chain, first);
        let begun = self.out.len();
        let whole = (members[first].start, end);
        let bound = bound(self.left_of(whole.0), self.behind(end));
        for (index, &(open, close, product)) in groups.iter().enumerate().rev() {
            let stop = if index == 0 { end } else { members[close].end };
            let span = Span::new(members[open].start, stop);
            let conductors = sized.then_some(product);
            let mut member = members[close];
            member.minus = false;
            self.push(&member, unit, span, bound, None, conductors, whole);
        }
        if self.out.len() == begun {
            return None;
        }
        self.join_range(begun);
        let next = self.tail(begun, end, unit);
        self.floor = next;
        Some(next)
    }

    /// The numbers of a chain before `first` have no part in its unit; they may mean something by themselves.
    fn left_over(&mut self, chain: &Chain, first: usize) {
        if first == 0 {
            return;
        }
        let mut rest = Chain {
            members: chain.members[..first].to_vec(),
            ..Chain::default()
        };
        while let Some(member) = rest.members.first() {
            let past = member.end;
            let next = self.bare(&rest).unwrap_or(past);
            rest.members.retain(|member| member.start >= next);
        }
    }

    fn left_of(&self, start: usize) -> &'t str {
        before(self.text, self.floor.min(start), start)
    }

    /// The span of a number, with its sign, its `Ø` or `#` and, for the last, the unit.
    fn member_span(&self, member: &Member, last: bool, end: usize) -> (usize, usize) {
        let stop = if last { end } else { member.end };
        (member.start, stop)
    }

    fn single(
        &mut self,
        start: usize,
        end: usize,
        number: Number,
        unit: Unit,
        conductors: Option<u32>,
    ) -> Option<usize> {
        let begun = self.out.len();
        let bound = bound(self.left_of(start), self.behind(end));
        let member = Member {
            start,
            end,
            number,
            joint: Joint::First,
            hyphen: false,
            word: false,
            minus: false,
        };
        self.push(
            &member,
            unit,
            Span::new(start, end),
            bound,
            None,
            conductors,
            (start, end),
        );
        if self.out.len() == begun {
            return None;
        }
        self.join_range(begun);
        let next = self.tail(begun, end, unit);
        self.floor = next;
        Some(next)
    }

    /// Reads what may hang behind: `/2C`, `x 2 conductors`, `x 105 strands`.
    fn tail(&mut self, index: usize, end: usize, unit: Unit) -> usize {
        let rest = self.behind(end);
        // 6 ft 6 in is one length.
        if unit.base == Base::Length
            && unit.symbol() == "ft"
            && let Some((inches, len)) = inches_behind(rest)
            && let Some(quantity) = self.out.get_mut(index)
            && let Value::Number(feet) = quantity.value
        {
            quantity.value = Value::Number(feet + inches / 12.0);
            quantity.si = Some((feet + inches / 12.0) * unit.factor);
            quantity.span.end = end + len;
            return end + len;
        }
        let trimmed = rest.trim_start_matches(is_blank);
        let Some(joint) = trimmed
            .chars()
            .next()
            .filter(|c| matches!(c, '/' | 'x' | 'X' | '×' | '*'))
        else {
            return end;
        };
        let after = trimmed[joint.len_utf8()..].trim_start_matches(is_blank);
        let digits = after
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(after.len());
        let Ok(count) = after[..digits].parse::<u32>() else {
            return end;
        };
        let Some(word) = next_word(&after[digits..]) else {
            return end;
        };
        let stop = end + (rest.len() - after.len()) + digits;
        let Some(quantity) = self.out.get_mut(index) else {
            return end;
        };
        if matches!(unit.base, Base::Gauge | Base::Swg | Base::Area)
            && one_of!(word, "c core cores conductor conductors wires cond legs")
            && (1..=64).contains(&count)
        {
            quantity.conductors = Some(count);
            return stop;
        }
        if unit.base == Base::Length && one_of!(word, "strand strands filaments wires") && count > 1
        {
            let Value::Number(size) = quantity.value else {
                return end;
            };
            let diameter = size * unit.factor;
            let area = f64::from(count) * std::f64::consts::FRAC_PI_4 * diameter * diameter;
            let word_end = self.text[stop..self.span.end]
                .find(word)
                .map_or(stop, |at| stop + at + word.len());
            quantity.kind = Kind::Strands;
            quantity.unit = format!("x {size} {}", unit.symbol());
            quantity.value = Value::Number(f64::from(count));
            quantity.si = Some(area);
            quantity.si_unit = "m²";
            quantity.strand = Some(Metre(diameter));
            quantity.span = Span::new(quantity.span.start, word_end);
            return word_end;
        }
        end
    }

    // ---- gauges and strands ---------------------------------------------------------------------------------------------

    /// `4/0 AWG`, `12/2 AWG`, `41/30 AWG`.
    fn gauge_stroke(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
        let last = chain.members.len() - 1;
        let (before, after) = (&chain.members[last - 1], &chain.members[last]);
        let (first, second) = (before.number.count()?, after.number.count()?);
        if second == 0 && (1..=6).contains(&first) {
            let mut start = before.start;
            let mut conductors = None;
            if last > 1
                && before.joint == Joint::Times
                && let Some(count) = chain.members[last - 2].number.count()
            {
                start = chain.members[last - 2].start;
                conductors = Some(count);
            }
            return self.push_zeros(first, start, end, conductors);
        }
        if (2..=9).contains(&second) && (4..=30).contains(&first) {
            return self.single(before.start, end, before.number, unit, Some(second));
        }
        if self.strands_of_gauge(first, after.number.value, before.start, end)
            && (second >= 20 || self.strand_hint(before.start, end))
        {
            return self.strands_found(chain, last - 1, unit, end);
        }
        None
    }

    fn push_zeros(
        &mut self,
        zeros: u32,
        start: usize,
        end: usize,
        conductors: Option<u32>,
    ) -> Option<usize> {
        if self.taken(start) {
            return None;
        }
        let number = 1 - i32::try_from(zeros).ok()?;
        let area = gauge::awg_area(number);
        let bound = bound(self.left_of(start), self.behind(end));
        let index = self.out.len();
        self.out.push(Quantity {
            kind: Kind::Gauge,
            value: Value::Text(format!("{zeros}/0")),
            unit: "AWG".to_owned(),
            si: Some(area),
            si_unit: "m²",
            span: Span::new(start, end),
            bound,
            range: None,
            conductors,
            gauge: Some(number),
            swg: false,
            strand: None,
            score: None,
        });
        self.join_range(index);
        self.floor = end;
        Some(end)
    }

    /// Whether `count` times this gauge are strands of one conductor: words say so, or nobody makes so many cores, or cores so
    /// thin.
    fn strands_of_gauge(&self, count: u32, gauge: f64, start: usize, end: usize) -> bool {
        let right = next_word(self.behind(end)).unwrap_or("");
        if one_of!(right, "conductor conductors core cores cable wires legs") {
            return false;
        }
        self.strand_hint(start, end) && count > 4
            || count >= 7 && gauge >= 26.0
            || count > 19 && gauge >= 18.0
            || matches!(count, 7 | 19) && gauge >= 20.0
    }

    fn strand_hint(&self, start: usize, end: usize) -> bool {
        self.context.hints.has(Hints::STRANDS)
            || hints_before(self.left_of(start))
                .take(4)
                .any(|(_, hints)| hints.has(Hints::STRANDS))
            || hints_behind(self.behind(end), 3).any(|(_, hints)| hints.has(Hints::STRANDS))
    }

    /// Strands: the number at `index` of the chain counts them (with all before it that are multiplied), the next is their
    /// size.
    fn strands_found(
        &mut self,
        chain: &Chain,
        index: usize,
        unit: Unit,
        end: usize,
    ) -> Option<usize> {
        let members = &chain.members;
        let size = members.get(index + 1)?.number.value;
        let mut count = members[index].number.count()?;
        let mut conductors = None;
        let mut first = index;
        while first > 0 && members[first].joint == Joint::Times {
            let Some(more) = members[first - 1].number.count() else {
                break;
            };
            // 2 x 41 x 0.25 is two conductors; 7 x 7 x 0.1 a rope of seven by seven.
            if more <= 4 && count > 7 {
                conductors = Some(more);
            } else {
                count = count.saturating_mul(more);
            }
            first -= 1;
        }
        if first == 0 {
            conductors = conductors.or_else(|| self.conductors_before(members[0].start));
        }
        self.push_strands(count, size, unit, members[first].start, end, conductors)
    }

    fn push_strands(
        &mut self,
        count: u32,
        size: f64,
        unit: Unit,
        start: usize,
        end: usize,
        conductors: Option<u32>,
    ) -> Option<usize> {
        let diameter = match unit.base {
            Base::Gauge => {
                gauge::awg_diameter(number::whole(size).and_then(|n| i32::try_from(n).ok())?)
            }
            Base::Swg => {
                gauge::swg_diameter(number::whole(size).and_then(|n| i32::try_from(n).ok())?)?
            }
            Base::Length => size * unit.factor,
            _ => return None,
        };
        if self.taken(start) || !(count > 1 && diameter > 1e-6 && diameter < 0.02) {
            return None;
        }
        let area = f64::from(count) * std::f64::consts::FRAC_PI_4 * diameter * diameter;
        let bound = bound(self.left_of(start), self.behind(end));
        self.out.push(Quantity {
            kind: Kind::Strands,
            value: Value::Number(f64::from(count)),
            unit: format!("x {size} {}", unit.symbol()),
            si: Some(area),
            si_unit: "m²",
            span: Span::new(start, end),
            bound,
            range: None,
            conductors,
            gauge: None,
            swg: unit.base == Base::Swg,
            strand: Some(Metre(diameter)),
            score: None,
        });
        self.floor = end;
        Some(end)
    }

    /// `65 strands of 0.25 mm`.
    fn strands(&mut self, pos: usize, clause: &'t str) -> Option<usize> {
        let pairs = parse(Rule::strands_entry, clause)?;
        let mut numbers = Vec::with_capacity(2);
        let mut unit = Some(Unit::MILLIMETRE);
        let mut unit_end = None;
        let mut marked = false;
        for pair in pairs {
            let end = pos + pair.as_span().end();
            match pair.as_rule() {
                Rule::number => {
                    let inner = pair.into_inner().next()?;
                    numbers.push((self.value(inner.as_rule(), inner.as_str())?, end));
                }
                Rule::gauge_mark => marked = true,
                Rule::unit => {
                    unit = Unit::of(pair);
                    unit_end = Some(end);
                }
                _ => {}
            }
        }
        let [(count, _), (size, size_end)] = numbers[..] else {
            return None;
        };
        let count = count.count().filter(|count| *count > 1)?;
        let unit = match (unit_end, marked) {
            (None, true) => Unit::AWG,
            (None, false) => {
                // Strands of a bare number are millimetres only below one.
                (size.decimal && size.value < 1.0).then_some(Unit::MILLIMETRE)?
            }
            (Some(_), _) => unit?,
        };
        let mut end = unit_end.unwrap_or(size_end);
        if let Some(word) = next_word(self.behind(end))
            && word.eq_ignore_ascii_case("each")
        {
            end += self.behind(end).find(word).map_or(0, |at| at + word.len());
        }
        let conductors = self.conductors_before(pos);
        self.push_strands(count, size.value, unit, pos, end, conductors)
    }

    /// `two conductors of` or `2 x (` before a size.
    fn conductors_before(&self, start: usize) -> Option<u32> {
        let left = self.before(start);
        let open = left.trim_end_matches(is_blank);
        if let Some(rest) = open.strip_suffix('(') {
            let rest = rest.trim_end_matches(is_blank);
            let rest = rest.strip_suffix(['x', '×', 'X', '*'])?;
            return count_word(last_word(rest)?.1);
        }
        let (rest, word, gap) = last_word(left)?;
        if !gap.chars().all(is_blank) {
            return None;
        }
        if one_of!(word, "of each") {
            let (rest, word, _) = last_word(rest)?;
            if !one_of!(word, "conductors cores wires legs runs") {
                return None;
            }
            return count_word(last_word(rest)?.1);
        }
        None
    }

    // ---- kinds ----------------------------------------------------------------------------------------------------------

    /// Which of resistance and impedance the words around speak of.
    fn ohm_hints(&self, start: usize, end: usize) -> Option<Kind> {
        let choose = |hints: Hints| {
            if hints.has(Hints::RESISTANCE) {
                Some(Kind::Resistance)
            } else if hints.has(Hints::IMPEDANCE) {
                Some(Kind::Impedance)
            } else {
                None
            }
        };
        let right = hints_behind(self.behind(end), 3).find_map(|(_, hints)| choose(hints));
        let left = hints_before(self.left_of(start))
            .find_map(|(at, hints)| choose(hints).map(|kind| (at, kind)));
        match (left, right) {
            (Some((0 | 1, kind)), None) => Some(kind),
            (_, Some(kind)) => Some(kind),
            (Some((_, kind)), None) => Some(kind),
            (None, None) => None,
        }
    }

    fn kind_of(&self, number: &Number, unit: Unit, chain: (usize, usize)) -> Option<Kind> {
        Some(match unit.base {
            Base::Gauge | Base::Swg => Kind::Gauge,
            Base::Area => Kind::Area,
            Base::OhmPer => Kind::ResistancePerLength,
            Base::HenryPer => Kind::InductancePerLength,
            Base::FaradPer => Kind::CapacitancePerLength,
            Base::Hertz => Kind::Frequency,
            Base::Decibel => Kind::LevelDb,
            Base::Watt => Kind::Power,
            Base::Volt => Kind::Voltage,
            Base::Ampere => Kind::Current,
            Base::Celsius | Base::Fahrenheit | Base::Kelvin => Kind::Temperature,
            Base::Light => Kind::VelocityFactor,
            Base::Ohm => self.ohms(number, unit, chain),
            Base::Percent => self.percent(chain),
            Base::Length => self.length(number, unit, chain),
        })
    }

    fn ohms(&self, number: &Number, unit: Unit, (start, end): (usize, usize)) -> Kind {
        let value = number.value.abs() * unit.factor;
        if unit.is_small() || unit.prefix() == "M" {
            let called = last_word(self.left_of(start))
                .is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("impedance"));
            return if called {
                Kind::Impedance
            } else {
                Kind::Resistance
            };
        }
        if let Some(kind) = self.ohm_hints(start, end) {
            return kind;
        }
        let hints = self.context.hints;
        if hints.has(Hints::RESISTANCE) {
            return Kind::Resistance;
        }
        if hints.has(Hints::IMPEDANCE) {
            return Kind::Impedance;
        }
        // Loudspeakers are not made below this, and cables that are sold are below it.
        if value < 1.5 {
            Kind::Resistance
        } else {
            Kind::Impedance
        }
    }

    fn percent(&self, (start, end): (usize, usize)) -> Kind {
        let behind = self.behind(end);
        let mut words = super::context::words_of(behind).take(5);
        let of_light = words.next().is_some_and(|word| one_of!(word, "of the"))
            && words.any(|word| word == "c" || word.eq_ignore_ascii_case("light"))
            && !behind.trim_start().starts_with([',', ';', '.']);
        let said = hints_before(self.before(start))
            .take(5)
            .any(|(_, hints)| hints.has(Hints::VELOCITY));
        if of_light || said || self.context.hints.has(Hints::VELOCITY) {
            Kind::VelocityFactor
        } else {
            Kind::Percent
        }
    }

    /// The diameter of a wire, or any other length.
    fn length(&self, number: &Number, unit: Unit, (start, end): (usize, usize)) -> Kind {
        let metres = number.value * unit.factor;
        if metres > 0.0125
            || !(unit.is_small() || matches!(unit.symbol().as_str(), "in" | "mil" | "cm"))
        {
            return Kind::Length;
        }
        let left = self.before(start);
        let right = self.behind(end);
        let sign = left
            .trim_end_matches(is_blank)
            .ends_with(['Ø', 'ø', '⌀', 'Φ', 'φ']);
        let mut diameter = sign;
        let mut outer = false;
        let mut wire = false;
        for (at, hints) in hints_before(left) {
            if at > 6 {
                break;
            }
            diameter |= hints.has(Hints::DIAMETER);
            outer |= hints.has(Hints::OUTER);
            wire |= hints.has(Hints::WIRE) || hints.has(Hints::STRANDS) && at < 3;
        }
        let mut strand_next = false;
        for (at, hints) in hints_behind(right, 4) {
            diameter |= hints.has(Hints::DIAMETER);
            outer |= hints.has(Hints::OUTER);
            if at == 0 && (hints.has(Hints::STRANDS) || hints.has(Hints::WIRE)) {
                strand_next = true;
            }
            wire |= hints.has(Hints::WIRE);
        }
        let hints = self.context.hints;
        diameter |= hints.has(Hints::DIAMETER);
        outer |= hints.has(Hints::OUTER);
        wire |= hints.has(Hints::WIRE) || hints.has(Hints::STRANDS);
        if outer {
            return Kind::Length;
        }
        if strand_next {
            return Kind::Diameter;
        }
        // 20 AWG (0.81 mm)
        let beside_gauge = left.trim_end_matches(is_blank).ends_with(['(', '=', ','])
            && left.trim_end_matches(is_blank).ends_with(['(', '='])
            && self.out.last().is_some_and(|q| {
                q.kind == Kind::Gauge && q.span.end + 12 >= start && q.span.end <= start
            });
        if beside_gauge {
            return Kind::Diameter;
        }
        // A bare "diameter" above that of 8 AWG is that of a cable.
        if diameter && (wire || metres < 3.3e-3) {
            return Kind::Diameter;
        }
        let each = last_word(left).is_some_and(|(_, word, gap)| {
            word.eq_ignore_ascii_case("each") && gap.chars().all(is_blank)
        });
        if each && wire
            || last_word(left).is_some_and(|(rest, word, _)| {
                word.eq_ignore_ascii_case("of")
                    && last_word(rest)
                        .is_some_and(|(_, word, _)| one_of!(word, "wire wires strands strand"))
            })
        {
            return Kind::Diameter;
        }
        Kind::Length
    }

    // ---- putting it down ------------------------------------------------------------------------------------------------

    #[expect(clippy::too_many_arguments, reason = "the parts of one quantity")]
    fn push(
        &mut self,
        member: &Member,
        unit: Unit,
        mut span: Span,
        bound: Bound,
        range: Option<u32>,
        conductors: Option<u32>,
        chain: (usize, usize),
    ) {
        let number = &member.number;
        let Some(kind) = self.kind_of(number, unit, chain) else {
            return;
        };
        let mut value = number.value;
        // A sign before the first number; those of the others come with the chain.
        let mut minus = member.minus;
        let signed = matches!(
            kind,
            Kind::LevelDb | Kind::Temperature | Kind::Percent | Kind::Voltage
        );
        if signed
            && let Some(c) = self.char_before(span.start)
            && matches!(c, '-' | '−' | '–' | '+')
        {
            let at = span.start - c.len_utf8();
            let second = self.char_before(at);
            if second.is_none_or(|c| !c.is_alphanumeric() && !matches!(c, '%' | '°')) {
                minus = c != '+';
                span.start = at;
            }
        } else if signed
            && member.joint == Joint::First
            && let Some((rest, word, gap)) = last_word(self.before(span.start))
            && word.eq_ignore_ascii_case("minus")
            && gap.chars().all(is_blank)
        {
            minus = true;
            span.start -= self.before(span.start).len() - rest.len();
        }
        if minus && signed {
            value = -value;
        }
        if self.taken(span.start) {
            return;
        }
        let mut gauge_number = None;
        let mut written = Value::Number(value);
        let (si, si_unit) = match unit.base {
            Base::Gauge => {
                let text = &self.text[member.start..member.end];
                let zeros = text.trim_start_matches(|c: char| !c.is_ascii_digit());
                let n = if matches!(zeros, "00" | "000" | "0000") {
                    written = Value::Text(zeros.to_owned());
                    1 - i32::try_from(zeros.len()).unwrap_or(1)
                } else {
                    match number.count().and_then(|count| i32::try_from(count).ok()) {
                        Some(count) if count <= 50 => count,
                        _ => return,
                    }
                };
                gauge_number = Some(n);
                (Some(gauge::awg_area(n)), "m²")
            }
            Base::Swg => {
                let Some(n) = number
                    .count()
                    .and_then(|count| i32::try_from(count).ok())
                    .filter(|count| *count <= 50)
                else {
                    return;
                };
                gauge_number = Some(n);
                let area = gauge::swg_diameter(n).map(|d| std::f64::consts::FRAC_PI_4 * d * d);
                (area, "m²")
            }
            Base::Area => (Some(value * unit.factor), "m²"),
            Base::Length => (Some(value * unit.factor), "m"),
            Base::Ohm => (Some(value * unit.factor), "Ω"),
            Base::OhmPer => (Some(value * unit.factor), "Ω/m"),
            Base::HenryPer => (Some(value * unit.factor), "H/m"),
            Base::FaradPer => (Some(value * unit.factor), "F/m"),
            Base::Hertz => (Some(value * unit.factor), "Hz"),
            Base::Decibel => (
                Some(value * unit.factor),
                if unit.symbol().contains('/') {
                    "dB/m"
                } else {
                    "dB"
                },
            ),
            Base::Watt => (Some(value * unit.factor), "W"),
            Base::Volt => (Some(value * unit.factor), "V"),
            Base::Ampere => (Some(value * unit.factor), "A"),
            Base::Celsius => (Some(value), "°C"),
            Base::Fahrenheit => (Some((value - 32.0) * 5.0 / 9.0), "°C"),
            // Ice point of the kelvin scale: 273.15 K, exactly.
            Base::Kelvin => (Some(value - 273.15), "°C"),
            Base::Percent if kind == Kind::VelocityFactor => (Some(value / 100.0), ""),
            Base::Percent => (Some(value), "%"),
            Base::Light => (Some(value), ""),
        };
        if si.is_some_and(|si| !si.is_finite()) || !value.is_finite() {
            return;
        }
        let conductors = conductors.or_else(|| {
            matches!(kind, Kind::Gauge | Kind::Area)
                .then(|| {
                    self.conductors_before(span.start)
                        .or_else(|| self.conductors_around(span))
                })
                .flatten()
        });
        self.out.push(Quantity {
            kind,
            value: written,
            unit: unit.symbol(),
            si,
            si_unit,
            span,
            bound,
            range,
            conductors,
            gauge: gauge_number,
            swg: unit.base == Base::Swg,
            strand: None,
            score: None,
        });
    }

    /// `four 16 AWG conductors`.
    fn conductors_around(&self, span: Span) -> Option<u32> {
        let (_, word, gap) = last_word(self.before(span.start))?;
        let count = count_word(word)?;
        let said = super::context::words_of(self.behind(span.end))
            .take(4)
            .any(|word| one_of!(word, "conductors cores wires legs"));
        (said && gap.chars().all(is_blank) && count > 1).then_some(count)
    }

    /// Two neighbours of one kind with nothing but a range word between are one range.
    fn join_range(&mut self, index: usize) {
        let Some(before) = index.checked_sub(1) else {
            return;
        };
        let (Some(low), Some(high)) = (self.out.get(before), self.out.get(index)) else {
            return;
        };
        if low.kind != high.kind
            || low.range.is_some()
            || low.span.end > high.span.start
            || low.span.end < self.span.start
        {
            return;
        }
        let between = self.text[low.span.end..high.span.start]
            .trim_matches(|c| is_blank(c) || matches!(c, '+' | '±'));
        let joined = matches!(
            between,
            "–" | "—" | "-" | "−" | "‒" | "…" | "..." | ".." | "\u{2010}" | "\u{2011}"
        ) || matches!(
            between,
            "to" | "bis" | "through" | "thru" | "up to" | "down to"
        );
        let verb =
            super::context::words_of(before_text(self.text, self.span.start, low.span.start))
                .rev()
                .take(6)
                .any(|word| {
                    one_of!(word, "falls fell drops dropped rises rose climbs changes changed change goes went compared raised increased increases")
                });
        let and = between.eq_ignore_ascii_case("and")
            && last_word(before_text(self.text, self.span.start, low.span.start))
                .is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("between"));
        if joined && !verb || and {
            let id = u32::try_from(before).ok();
            for at in [before, index] {
                if let Some(quantity) = self.out.get_mut(at) {
                    quantity.range = id;
                }
            }
            self.order_range(before, index);
        }
    }

    fn order_range(&mut self, first: usize, second: usize) {
        let key = |q: &Quantity| match (&q.value, q.si) {
            (_, Some(si)) => si,
            (Value::Number(value), None) => *value,
            (Value::Text(_), None) => 0.0,
        };
        let (Some(a), Some(b)) = (self.out.get(first).map(key), self.out.get(second).map(key))
        else {
            return;
        };
        let (low, high) = if a <= b {
            (first, second)
        } else {
            (second, first)
        };
        if let Some(quantity) = self.out.get_mut(low) {
            quantity.bound = Bound::RangeLow;
        }
        if let Some(quantity) = self.out.get_mut(high) {
            quantity.bound = Bound::RangeHigh;
        }
    }

    /// Whether a quantity that was put down already reaches over `start`.
    fn taken(&self, start: usize) -> bool {
        start < self.floor
    }

    fn push_plain(&mut self, kind: Kind, value: f64, span: Span) {
        if self.taken(span.start) {
            return;
        }
        let bound = bound(self.left_of(span.start), self.behind(span.end));
        self.out.push(Quantity {
            kind,
            value: Value::Number(value),
            unit: String::new(),
            si: Some(value),
            si_unit: "",
            span,
            bound,
            range: None,
            conductors: None,
            gauge: None,
            swg: false,
            strand: None,
            score: None,
        });
        self.floor = span.end;
    }

    // ---- trials -------------------------------------------------------------------------------------------------------

    fn trials(&mut self, pos: usize, clause: &'t str) -> Option<usize> {
        let mut numbers = Vec::with_capacity(2);
        let mut reversed = false;
        let mut wordy = false;
        for pair in parse(Rule::trials_entry, clause)? {
            let parts = if pair.as_rule() == Rule::trials_reversed {
                reversed = true;
                pair.into_inner().collect()
            } else {
                vec![pair]
            };
            for part in parts {
                let end = pos + part.as_span().end();
                match part.as_rule() {
                    Rule::number => {
                        let inner = part.into_inner().next()?;
                        numbers.push((self.value(inner.as_rule(), inner.as_str())?, end));
                    }
                    Rule::out_of => {
                        let words = part.as_str().trim();
                        wordy = super::context::words_of(words).count() > 1;
                        let second = super::context::words_of(words).next().unwrap_or("");
                        if second.eq_ignore_ascii_case("in") {
                            return None;
                        }
                    }
                    _ => {}
                }
            }
        }
        let [(first, _), (second, end)] = numbers[..] else {
            return None;
        };
        let (mut score, mut trials) = (first.count()?, second.count()?);
        if reversed {
            let (_, word, _) = last_word(self.before(pos))?;
            let (rest, ..) = last_word(self.before(pos))?;
            if !word.eq_ignore_ascii_case("of")
                || !last_word(rest).is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("out"))
            {
                return None;
            }
            std::mem::swap(&mut score, &mut trials);
        }
        if score > trials || !(3..=100_000).contains(&trials) {
            return None;
        }
        if self.char_at(end).is_some_and(|c| c.is_alphanumeric())
            || self
                .char_at(end)
                .is_some_and(|c| matches!(c, '.' | ',' | '/' | '%'))
                && self.text[end + 1..self.span.end].starts_with(|c: char| c.is_ascii_digit())
        {
            return None;
        }
        let left = self.before(pos);
        let hinted = self.trial_hints(pos, end);
        let counted = |word: &str| {
            is_label(word) && !one_of!(word, "test trial run side")
                || one_of!(
                    word,
                    "part sheet disc slide week card volume day rated rating",
                )
        };
        if last_word(left).is_some_and(|(_, word, gap)| gap.len() <= 2 && counted(word)) {
            return None;
        }
        let right = self.behind(end);
        let next = right
            .trim_start_matches(is_blank)
            .starts_with(|c: char| c.is_alphanumeric())
            .then(|| next_word(right))
            .flatten();
        let fair = match next {
            None => {
                hinted
                    || wordy
                    || self.out.last().is_some_and(|q| q.kind == Kind::Trials && q.span.start >= self.span.start)
                    || score * 3 >= trials
                        && (!first.words || trials > 5)
                        && last_word(left).is_none_or(|(_, word, gap)| {
                            gap.contains(':')
                                || one_of!(word, "in on got was were is had has scored hit with only named made at by just and but managed reached")
                        })
            }
            Some(word) => {
                super::context::hint(word).has(Hints::TRIALS)
                    || one_of!(
                        word,
                        "times tests runs rounds people attempts tries members subjects participants sessions cards occasions passes hands judges readers visitors guests friends experts engineers audiophiles said went came answers comparisons switches swaps calls were was got could or",
                    )
                    || (hinted || trials >= 8 && !first.words || wordy && trials >= 8)
                        && (hinted
                            && !one_of!(
                                word,
                                "models reels shops cores conductors stars cables pages",
                            )
                            || one_of!(
                                word,
                                "the and with but for in on at to is by as when that which he she they we it this",
                            ))
            }
        };
        if !fair || first.words && score == 1 && !hinted {
            return None;
        }
        self.push_trials(pos, end, score, trials);
        Some(end)
    }

    fn push_trials(&mut self, start: usize, end: usize, score: u32, trials: u32) {
        if self.taken(start) {
            return;
        }
        self.out.push(Quantity {
            kind: Kind::Trials,
            value: Value::Number(f64::from(trials)),
            unit: String::new(),
            si: None,
            si_unit: "",
            span: Span::new(start, end),
            bound: Bound::Exact,
            range: None,
            conductors: None,
            gauge: None,
            swg: false,
            strand: None,
            score: Some(f64::from(score)),
        });
        self.floor = end;
    }

    fn trial_hints(&self, start: usize, end: usize) -> bool {
        self.context
            .hints
            .with(self.context.section)
            .has(Hints::TRIALS)
            || super::context::words_of(self.before(start))
                .any(|word| super::context::hint(word).has(Hints::TRIALS))
            || super::context::words_of(self.behind(end))
                .take(5)
                .any(|word| super::context::hint(word).has(Hints::TRIALS))
    }

    // ---- numbers without a unit -----------------------------------------------------------------------------------------

    fn bare(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        let end = chain.members.last()?.end;
        if self.char_at(end).is_some_and(char::is_alphanumeric)
            && !self.text[end..].starts_with("s ")
        {
            return None;
        }
        if self
            .char_at(end)
            .is_some_and(|c| matches!(c, '%' | '°' | '€' | '£' | '$' | '¢'))
        {
            return None;
        }
        self.marked_gauge(chain)
            .or_else(|| self.stroke(chain))
            .or_else(|| self.hyphenated(chain))
            .or_else(|| self.named_factor(chain))
            .or_else(|| self.keyed(chain, first.start, end))
    }

    /// A quantity of the chain with the unit that stood before it; `start` takes the mark in.
    fn with_lead(&mut self, chain: &Chain, unit: Unit, start: usize) -> Option<usize> {
        let index = self.out.len();
        let end = chain.members.last()?.end;
        // Only the numbers that can be meant: the unit before goes for ranges and lists behind it as well.
        let next = self.with_unit(chain, unit, end)?;
        if let Some(quantity) = self.out.get_mut(index)
            && quantity.span.start == chain.members.first()?.start
        {
            quantity.span.start = start;
        }
        Some(next)
    }

    /// `AWG 12`, `#12`, `No. 12 wire`.
    fn marked_gauge(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        if first.number.decimal || first.number.value > 50.0 {
            return None;
        }
        let left = self.left_of(first.start);
        let open = left.trim_end_matches(is_blank);
        let hash = open.ends_with('#');
        let open = open.strip_suffix('#').unwrap_or(open);
        let mark = |rest: &str| first.start - (left.len() - rest.len());
        if let Some(numero) = open.strip_suffix('№') {
            return self
                .wire_ahead(chain)
                .then(|| self.with_lead(chain, Unit::AWG, mark(numero)))
                .flatten();
        }
        for (abbreviation, unit) in [("a.w.g.", Unit::AWG), ("s.w.g.", Unit::SWG)] {
            let cut = open.len().saturating_sub(abbreviation.len());
            if open.ends_with('.')
                && open
                    .get(cut..)
                    .is_some_and(|end| end.eq_ignore_ascii_case(abbreviation))
            {
                let start = mark(&open[..cut]);
                return self.with_lead(chain, unit, start);
            }
        }
        let (rest, word, gap) = last_word(open).unwrap_or(("", "", ""));
        let tight = gap
            .chars()
            .all(|c| is_blank(c) || matches!(c, '#' | '.' | '-'));
        if tight {
            let unit = if word.eq_ignore_ascii_case("awg") {
                Some(Unit::AWG)
            } else if word.eq_ignore_ascii_case("swg") {
                Some(Unit::SWG)
            } else {
                None
            };
            if let Some(unit) = unit {
                return self.with_lead(chain, unit, mark(rest));
            }
            if one_of!(word, "no nos number") && !gap.contains('-') {
                let awg = last_word(rest)
                    .filter(|(_, word, gap)| word.eq_ignore_ascii_case("awg") && gap.len() <= 2);
                if let Some((rest, ..)) = awg {
                    return self.with_lead(chain, Unit::AWG, mark(rest));
                }
                return self
                    .wire_ahead(chain)
                    .then(|| self.with_lead(chain, Unit::AWG, mark(rest)))
                    .flatten();
            }
            if !hash && one_of!(word, "gauge gage") && gap.chars().all(is_blank) {
                let wire = last_word(rest).map_or("", |(_, word, _)| word);
                let swg = wire.eq_ignore_ascii_case("wire")
                    && last_word(last_word(rest).map_or("", |(rest, ..)| rest))
                        .is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("standard"));
                if one_of!(
                    wire,
                    "pressure track loading feeler strain narrow standard-track",
                ) || first.number.value < 4.0
                {
                    return None;
                }
                return self.with_lead(chain, if swg { Unit::SWG } else { Unit::AWG }, first.start);
            }
        }
        if hash {
            let start = mark(open);
            let label = gap.chars().all(is_blank)
                && is_label(word)
                && !one_of!(word, "wire cable lead pair");
            let end = chain.members.last()?.end;
            let right = self.behind(end);
            let next = next_word(right.strip_prefix('s').unwrap_or(right));
            let own = next.is_none_or(wire_word) || self.wire_ahead(chain);
            let ended = right
                .trim_start_matches(is_blank)
                .starts_with([',', '.', ';', ')', '?', '!', '/', ':'])
                || right.trim().is_empty();
            let plural = right.starts_with('s');
            let near = self.wire_near(first.start, end);
            let size = first
                .number
                .count()
                .is_some_and(|count| (4..=36).contains(&count));
            if size
                && !label
                && (own
                    || ended
                    || plural
                    || near && !next.is_some_and(|word| one_of!(word, "in choice seller spot")))
            {
                return self.with_lead(chain, Unit::AWG, start);
            }
        }
        None
    }

    /// A wire word among the next three words.
    fn wire_ahead(&self, chain: &Chain) -> bool {
        let Some(last) = chain.members.last() else {
            return false;
        };
        let text = self.behind(last.end);
        let to = text
            .find([',', ';', '.', '?', '!', '('])
            .unwrap_or(text.len());
        super::context::words_of(&text[..to]).take(4).any(wire_word)
    }

    /// A word of the trade in the neighbourhood.
    fn wire_near(&self, start: usize, end: usize) -> bool {
        super::context::words_of(self.before(start))
            .chain(super::context::words_of(self.behind(end)))
            .any(wire_word)
    }

    /// `65/0.25`, `14/2`, `4/0`, `13/20`.
    fn stroke(&mut self, chain: &Chain) -> Option<usize> {
        let second = chain.members.get(1)?;
        let first = chain.members.first()?;
        if second.joint != Joint::Slash || self.text[first.end..second.start].len() != 1 {
            return None;
        }
        if chain
            .members
            .get(2)
            .is_some_and(|third| third.joint == Joint::Slash)
        {
            // A date or a code, unless the column has a unit for all three.
            return self
                .context
                .unit
                .is_none()
                .then(|| self.skip_code(first.start));
        }
        if self.char_before(first.start) == Some('/') {
            return None;
        }
        let count = first.number.count()?;
        let end = second.end;
        if second.number.decimal {
            // Metric stranding is written 65/0.25: strands of a quarter of a millimetre.
            if count >= 3 && (0.04..=1.6).contains(&second.number.value) {
                let two = Chain {
                    members: chain.members[..2].to_vec(),
                    ..Chain::default()
                };
                return self.strands_found(&two, 0, Unit::MILLIMETRE, end);
            }
            return None;
        }
        let below = second.number.count()?;
        if below == 0 && (1..=4).contains(&count) && self.text[second.start..second.end].len() == 1
        {
            let gauge = self.context.hints.has(Hints::GAUGE) || self.wire_near(first.start, end);
            return gauge
                .then(|| self.push_zeros(count, first.start, end, None))
                .flatten();
        }
        let hints = self.trial_hints(first.start, end);
        if hints
            && count <= below
            && (3..=1000).contains(&below)
            && !(below <= 5 && self.wire_ahead(chain))
        {
            let worth = last_word(self.before(first.start))
                .is_some_and(|(_, word, _)| one_of!(word, "rated rating"))
                || next_word(self.behind(end))
                    .is_some_and(|word| one_of!(word, "for stars time in"))
                    && below <= 10
                    && !self.trial_word_near(first.start, end);
            if worth {
                return None;
            }
            self.push_trials(first.start, end, count, below);
            return Some(end);
        }
        self.size_and_count(first, second, count, below)
    }

    /// Words that only a listening score has beside it.
    fn trial_word_near(&self, start: usize, end: usize) -> bool {
        super::context::words_of(self.before(start))
            .chain(super::context::words_of(self.behind(end)).take(5))
            .any(|word| super::context::hint(word).has(Hints::TRIALS))
    }

    /// `14-4 in-wall cable`.
    fn hyphenated(&mut self, chain: &Chain) -> Option<usize> {
        let second = chain.members.get(1)?;
        let first = chain.members.first()?;
        if second.joint != Joint::To
            || !second.hyphen
            || self.text[first.end..second.start].chars().count() != 1
        {
            return None;
        }
        if chain
            .members
            .get(2)
            .is_some_and(|third| third.joint == Joint::To)
        {
            return Some(self.skip_code(first.start));
        }
        let (count, below) = (first.number.count()?, second.number.count()?);
        self.size_and_count(first, second, count, below)
    }

    /// A gauge and the number of its conductors, where words of the trade stand near.
    fn size_and_count(
        &mut self,
        first: &Member,
        second: &Member,
        gauge: u32,
        conductors: u32,
    ) -> Option<usize> {
        let end = second.end;
        let size = (4..=26).contains(&gauge)
            && (gauge.is_multiple_of(2) || matches!(gauge, 11 | 13 | 15 | 17))
            && (2..=8).contains(&conductors);
        if !size
            || gauge <= conductors
            || first.number.digits != Some(self.text[first.start..first.end].len())
        {
            return None;
        }
        if self
            .char_at(end)
            .is_some_and(|c| matches!(c, '-' | '/' | '_'))
        {
            return Some(self.skip_code(first.start));
        }
        if let Some((_, word, gap)) = last_word(self.before(first.start))
            && gap.len() <= 2
            && (is_label(word) && !one_of!(word, "cable wire lead pair speaker run reel box")
                || is_date_word(word))
        {
            return None;
        }
        if next_word(self.behind(end)).is_some_and(is_date_word) {
            return None;
        }
        let near = self.wire_near(first.start, end)
            || self
                .context
                .hints
                .with(self.context.section)
                .has(Hints::CABLE.with(Hints::WIRE).with(Hints::GAUGE))
            || self
                .out
                .last()
                .is_some_and(|q| q.kind == Kind::Gauge && self.span.start <= q.span.start);
        if !near {
            return None;
        }
        self.single(first.start, end, first.number, Unit::AWG, Some(conductors))
    }

    /// `damping factor of 200`, `velocity factor 0.66`, `VF 0.66`.
    fn named_factor(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        if !self.names_a_factor() {
            return None;
        }
        let left = self.before_far(first.start);
        let near = self.before(first.start);
        let (_, word, gap) = last_word(near).unwrap_or(("", "", ""));
        let close = gap
            .chars()
            .all(|c| is_blank(c) || matches!(c, ':' | '=' | '>' | '<' | '≥' | '≤' | '~' | '.'));
        let velocity = close && one_of!(word, "vf vp nvp vop")
            || phrase_reaches(left, "velocity factor", false)
            || phrase_reaches(left, "velocity of propagation", false);
        if velocity && first.number.value > 0.05 && first.number.value < 3.0 && !first.number.words
        {
            self.push_plain(
                Kind::VelocityFactor,
                first.number.value,
                Span::new(first.start, first.end),
            );
            return Some(first.end);
        }
        if first.number.value < 1.0 || first.number.value > 1e6 {
            return None;
        }
        let damping = close && word == "DF"
            || phrase_reaches(left, "damping factor", true)
            || phrase_reaches(left, "damping factors", true)
            || next_is_damping(self.behind(first.end));
        if !damping || !self.stands_alone(first.end) {
            return None;
        }
        let range = chain.members.get(1).filter(|second| {
            matches!(second.joint, Joint::To | Joint::And)
                && second.number.value >= 1.0
                && self.stands_alone(second.end)
        });
        let index = self.out.len();
        self.push_plain(
            Kind::DampingFactor,
            first.number.value,
            Span::new(first.start, first.end),
        );
        let Some(second) = range else {
            return Some(first.end);
        };
        self.push_plain(
            Kind::DampingFactor,
            second.number.value,
            Span::new(second.start, second.end),
        );
        self.join_range(index + 1);
        Some(second.end)
    }

    /// Whether the span has any of the words without which a bare number is no factor.
    fn names_a_factor(&mut self) -> bool {
        if let Some(named) = self.factors {
            return named;
        }
        let span = self.span.of(self.text).as_bytes();
        let named = FACTORS.iter().any(|word| word.find(span).is_some());
        self.factors = Some(named);
        named
    }

    /// The words before, further back than usual and over brackets.
    fn before_far(&self, at: usize) -> &'t str {
        let from = snap(self.text, at.saturating_sub(140).max(self.span.start));
        &self.text[from..at]
    }

    /// Whether what follows a bare number leaves it alone: no noun that it would count.
    fn stands_alone(&self, end: usize) -> bool {
        let text = self.behind(end);
        let trimmed = text.trim_start_matches(is_blank);
        match trimmed.chars().next() {
            None => true,
            Some(c) if !c.is_alphanumeric() => !matches!(c, '%' | '°' | '-' | '/' | '×'),
            Some(_) => next_word(trimmed).is_some_and(|word| {
                one_of!(word, "at into for with and to when in is or on which that means from by alone as but while where if would will the a an damping was are against instead than may can of over below above")
            }),
        }
    }

    /// A number that takes its unit from the key before it or from the column's header.
    fn keyed(&mut self, chain: &Chain, start: usize, end: usize) -> Option<usize> {
        let left = self.before_far(start);
        let key = left.trim_end_matches(|c: char| {
            is_blank(c)
                || matches!(
                    c,
                    '~' | '≤' | '≥' | '<' | '>' | '≈' | '±' | '(' | '-' | '−' | '+'
                )
        });
        let lead = key.trim_end_matches(|c: char| {
            is_blank(c) || matches!(c, ':' | '=' | '.' | '|' | '·' | '…' | '–')
        });
        let joined = left.len() - lead.len();
        let joint = &left[lead.len()..];
        let keyed = joint.contains([':', '=', '|', '\t', '…'])
            || joint.contains("..")
            || lead.ends_with([')', ']']);
        let floor = self.floor.max(self.span.start);
        if keyed && joined > 0 && start - joined > floor && !self.follows_text(end) {
            let from = lead
                .rfind([';', '\n', '•', '|', '!', '?'])
                .map_or(0, |at| at + 1);
            let context = Context::of(&lead[snap(lead, from)..]);
            if let Some(unit) = context.unit {
                return self.apply(chain, unit, end);
            }
        }
        let hints = self.context.hints;
        if self.context.unit.is_none() && hints == Hints::default() || !self.alone(start, end) {
            return None;
        }
        if let Some(unit) = self.context.unit {
            return self.apply(chain, unit, end);
        }
        let first = chain.members.first()?;
        let second = chain.members.get(1);
        if hints.has(Hints::STRANDS)
            && let Some(second) = second
            && matches!(second.joint, Joint::Times | Joint::Slash)
        {
            let unit = if second.number.decimal {
                Unit::MILLIMETRE
            } else {
                Unit::AWG
            };
            return self.strands_found(chain, chain.members.len() - 2, unit, end);
        }
        let plain = chain.members.len() == 1 && !first.number.words;
        if plain && hints.has(Hints::DAMPING) && first.number.value >= 1.0 {
            self.push_plain(
                Kind::DampingFactor,
                first.number.value,
                Span::new(first.start, first.end),
            );
            return Some(first.end);
        }
        if plain
            && hints.has(Hints::VELOCITY)
            && first.number.value > 0.05
            && first.number.value < 3.0
        {
            self.push_plain(
                Kind::VelocityFactor,
                first.number.value,
                Span::new(first.start, first.end),
            );
            return Some(first.end);
        }
        None
    }

    fn apply(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
        if matches!(unit.base, Base::Gauge | Base::Swg)
            && chain
                .members
                .iter()
                .any(|member| member.number.decimal || member.number.value > 50.0)
        {
            return None;
        }
        self.with_unit(chain, unit, end)
    }

    /// Whether a word follows that a number in a field would not have.
    fn follows_text(&self, end: usize) -> bool {
        let rest = self.behind(end).trim_start_matches(is_blank);
        rest.starts_with(|c: char| c.is_alphabetic())
            && !next_word(rest).is_some_and(|word| {
                one_of!(
                    word,
                    "or max min typ each per nominal approx and at for loop",
                )
            })
    }

    /// Whether the chain is all that the cell says, but for words of bounds.
    fn alone(&self, start: usize, end: usize) -> bool {
        let left = before(self.text, self.floor, start);
        let quiet = super::context::words_of(left).all(|word| {
            one_of!(word, "about max min typ ca approx up to at least most than not more less no and or circa under over below above nominal x")
        });
        quiet && start.saturating_sub(self.floor) < 40 && !self.follows_text(end)
    }
}

// ---- helpers ------------------------------------------------------------------------------------------------------------

fn snap_up(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at += 1;
    }
    at
}

fn before_start(text: &str, floor: usize, at: usize) -> usize {
    snap(text, at.saturating_sub(24).max(floor))
}

fn before_text(text: &str, floor: usize, at: usize) -> &str {
    before(text, floor, at)
}

/// What the words behind a number promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Follow {
    /// No unit, no score, no second number: not worth parsing.
    Nothing,
    Strands,
    Score,
    Other,
}

/// Where the number at the start of `clause` ends, counting words and digits.
fn words_end(clause: &str) -> usize {
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

fn number_word(word: &str) -> bool {
    word.len() <= 12 && number::begins(&word.to_ascii_lowercase())
}

/// Looks at the next few words. Words of prose behind number words are the many that matter for speed.
fn follow(clause: &str) -> Follow {
    let worded = clause.starts_with(|c: char| c.is_ascii_alphabetic());
    let end = words_end(clause);
    let rest = &clause[end..];
    let text =
        rest.trim_start_matches(|c| is_blank(c) || matches!(c, '-' | '\u{2010}' | '\u{2011}'));
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
            "half quarter quarters tenth tenths hundredth hundredths thousandth thousandths third thirds fifth fifths eighth eighths",
        )
    });
    if share {
        let unit = super::context::words_of(text)
            .take(4)
            .find(|word| !one_of!(word, "of a an"));
        return if unit.is_some_and(units_word) {
            Follow::Other
        } else {
            Follow::Nothing
        };
    }
    let mut words = super::context::words_of(text);
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
        && (one_of!(first, "strands strand wires filaments")
            || words
                .take(4)
                .any(|word| one_of!(word, "strands strand wires filaments")))
    {
        return Follow::Strands;
    }
    if !worded || unit {
        return Follow::Other;
    }
    // "ten to twelve feet", "one and a half metres"
    let joined = one_of!(first, "to and or through thru by x up down bis und oder")
        && super::context::words_of(text)
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
fn units_word(word: &str) -> bool {
    if word.len() > 14 {
        return false;
    }
    if word.len() <= 3 {
        return one_of!(
            word,
            "mm cm km m ft in yd mil awg swg ga sq ohm db hz khz mhz v kv mv w kw mw a ma amp va deg c f k r uh nh pf nf per pct vac vdc kft cm mcm",
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
         henry henries henrys farad farads hertz decibel decibels watt watts volt volts amp amps ampere amperes percent degree degrees \
         kelvin kelvins square circular circ american standard cmil cmils kcmil kcmils qmm sqmm damping thousand hundred prozent quadratmeter celsius fahrenheit",
    ) || !word.is_ascii()
        || word.is_empty()
}

/// The end of a decimal number at the start of `clause`, if it stands alone: no other number can be joined to it. The
/// grammar reads the same; this spares it the most frequent case.
fn lone_decimal(clause: &str) -> Option<usize> {
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
        Some(c) if c.is_ascii_digit() => return None,
        Some('-') if rest.as_bytes().get(1).is_some_and(u8::is_ascii_alphabetic) => {
            let word = next_word(&rest[1..]).unwrap_or("");
            return (!number_word(word) && !one_of!(word, "core conductor to")).then_some(end);
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
            text.chars().nth(1).is_some_and(char::is_alphabetic)
                && !number_word(
                    text[1..]
                        .split(|c: char| !c.is_ascii_alphabetic())
                        .next()
                        .unwrap_or(""),
                )
        }
        c if c.is_ascii_alphabetic() => !one_of!(
            next_word(text).unwrap_or(""),
            "to through thru bis up down and or und oder bzw by core conductor conductors",
        ),
        c => !matches!(
            c,
            '-' | '–' | '—' | '‒' | '−' | '\u{2010}' | '\u{2011}' | '…' | '~' | '×' | '*' | '✕' | '\u{2A2F}' | '/' | '\u{2044}' | '&'
                | '·' | '^' | '\u{BC}'..='\u{BE}' | '\u{2150}'..='\u{215E}'
        ),
    };
    alone.then_some(end)
}

/// Whether a text has `2,5` and the like, which thousands are never written as.
fn writes_decimal_commas(text: &str) -> bool {
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
fn strand_like(count: &Member, size: &Member, unit: Unit, stroke: bool) -> bool {
    let metres = size.number.value * unit.factor;
    let Some(count) = count.number.count() else {
        return false;
    };
    let fewest = if stroke { 3 } else { 5 };
    count >= fewest && size.number.decimal && (1e-5..=1.6e-3).contains(&metres)
}

/// `3/8 in`.
fn fraction_like(top: &Member, bottom: &Member, unit: Unit) -> bool {
    let (Some(top), Some(bottom)) = (top.number.count(), bottom.number.count()) else {
        return false;
    };
    let imperial = matches!(unit.symbol().as_str(), "in" | "ft" | "mile" | "yd");
    top >= 1
        && top < bottom
        && (imperial && matches!(bottom, 2 | 3 | 4 | 5 | 8 | 10 | 16 | 32 | 64)
            || matches!((top, bottom), (1, 2..=4) | (3, 4))
                && matches!(
                    unit.base,
                    Base::Length | Base::Watt | Base::Decibel | Base::Area
                ))
}

/// Whether two numbers can be of one unit.
fn same_sort(a: &Member, b: &Member, unit: Unit) -> bool {
    match unit.base {
        Base::Gauge | Base::Swg => {
            a.number.count().is_some_and(|count| count <= 50)
                && b.number.count().is_some_and(|count| count <= 50)
        }
        _ => true,
    }
}

/// Inches directly behind feet, below a foot, with the length of what says so.
fn inches_behind(text: &str) -> Option<(f64, usize)> {
    let trimmed = text.trim_start_matches(is_blank);
    if text.len() - trimmed.len() > 3 {
        return None;
    }
    let digits = trimmed
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(trimmed.len());
    let inches: f64 = trimmed[..digits].parse().ok()?;
    let rest = trimmed[digits..].trim_start_matches(is_blank);
    let sign = ["\"", "″", "''", "inches", "inch", "in."]
        .iter()
        .find(|sign| rest.starts_with(**sign))?;
    (inches < 12.0).then(|| (inches, text.len() - rest.len() + sign.len()))
}

fn count_word(word: &str) -> Option<u32> {
    if let Ok(count) = word.parse::<u32>() {
        return (count <= 64).then_some(count);
    }
    number::small(&word.to_ascii_lowercase()).map(u32::from)
}

fn wire_word(word: &str) -> bool {
    one_of!(
        word,
        "wire wires cable cables cord zip copper awg gauge ga strand strands stranded conductor conductors core cores pair pairs twin ofc cca cl2 cl3 cl2p cl3p speaker loudspeaker thhn tinned solid ohm ohms runs wall gauges flex ft feet roll rolls spool stranding silver bell aluminium aluminum",
    )
}

fn is_date_word(word: &str) -> bool {
    one_of!(
        word,
        "january february march april may june july august september october november december jan feb mar apr jun jul aug sep sept oct nov dec monday tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun from since until dated on",
    ) && !word.eq_ignore_ascii_case("may")
}

/// Whether a phrase stands before, with nothing between it and the end that would take the number for itself.
fn phrase_reaches(left: &str, phrase: &str, far: bool) -> bool {
    let bytes = left.as_bytes();
    let Some(at) = bytes
        .windows(phrase.len())
        .rposition(|window| window.eq_ignore_ascii_case(phrase.as_bytes()))
    else {
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
    words <= if far { 9 } else { 4 }
}

/// `180 (damping factor)`, `a 200 damping factor`.
fn next_is_damping(text: &str) -> bool {
    let text = text.trim_start_matches(|c| is_blank(c) || c == '(');
    text.get(..14)
        .is_some_and(|word| word.eq_ignore_ascii_case("damping factor"))
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
