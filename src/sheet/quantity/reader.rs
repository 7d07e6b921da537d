//! From the parse of a clause to quantities.

mod article;
mod bare;
mod build;
mod factor;
mod kinds;
mod look;
mod near;
mod plausible;
mod put;
mod shared;
mod start;
mod trials;

use look::*;

use super::around::{
    before, behind, bound, hints_before, hints_behind, is_blank, is_label, last_word, next_word,
    one_of, snap,
};
use super::context::{Context, Hints, words_of};
use super::grammar::{CLAUSE, Rule, parse};
use super::keys::{hint, states_factor};
use super::memo;
use super::number::{self, Number};
use super::scan::{self, Anchor};
use super::unit::{Base, Unit};
use super::{Bound, Kind, More, Quantity, Rare, Si, Symbol};
use crate::gauge;
use crate::span::Span;
use crate::units::Metre;
use memchr::memmem::Finder;
use std::sync::LazyLock;

/// Parts of words that damping and velocity factors are named by.
static FACTORS: LazyLock<[Finder<'static>; 13]> = LazyLock::new(|| {
    [
        "actor",
        "ACTOR",
        "ropagation",
        "ROPAGATION",
        "VF",
        "vf",
        "vF",
        "VP",
        "Vp",
        "vp",
        "VOP",
        "VoP",
        "DF",
    ]
    .map(Finder::new)
});

/// Numbers strung together beyond this are no product and no list of sizes unless a unit follows.
const STRING: usize = 8;

/// What joins a number to the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    First,
    To,
    Times,
    Slash,
    And,
    Comma,
    Tolerance,
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

/// What is known of the chain that was parsed last: it reads the same from its second number on.
#[derive(Debug, Default)]
struct Parsed {
    /// Where the number of each member begins, marks before it left out.
    starts: Vec<usize>,
    /// Whether the chain was read to its end.
    whole: bool,
    /// A chain that ends further on might have gone on where its clause was cut.
    sound_to: usize,
}

/// Most bytes that the grammar looks ahead to tell whether a chain goes on.
const AHEAD: usize = 64;

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
    parsed: Parsed,
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
        let start = snap(text, span.start());
        let span = Span::new(start, snap(text, span.end()));
        Self {
            text,
            span,
            context,
            out,
            floor: start,
            comma: None,
            factors: None,
            chain: Chain::default(),
            parsed: Parsed::default(),
            quotes: start,
            double_open: false,
            single_open: false,
        }
    }

    pub(super) fn run(&mut self) {
        let mut at = self.span.start();
        while let Some(anchor) = scan::next(self.text, at, self.span.end()) {
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
                Anchor::Article(pos) => (pos, self.article_at(pos)),
            };
            at = snap_up(self.text, next.max(pos + 1));
        }
    }

    fn char_before(&self, at: usize) -> Option<char> {
        self.text.get(self.span.start()..at)?.chars().next_back()
    }

    fn char_at(&self, at: usize) -> Option<char> {
        self.text.get(at..self.span.end())?.chars().next()
    }

    fn before(&self, at: usize) -> &'t str {
        before(self.text, self.span.start(), at)
    }

    fn behind(&self, at: usize) -> &'t str {
        behind(self.text, at, self.span.end())
    }

    fn number_at(&mut self, pos: usize) -> usize {
        let text = self.text;
        let limit = snap(text, (pos + CLAUSE).min(self.span.end()));
        let clause = &text[pos..limit];
        let follow = follow(clause);
        let behind_of = self
            .before(pos)
            .trim_end_matches(is_blank)
            .ends_with("ut of");
        let bare = self.context.unit.is_none() && self.context.hints == Hints::default();
        if follow == Follow::Nothing && !behind_of && bare && !self.names_a_factor() {
            let told = self.length_told(pos, clause);
            return told.unwrap_or_else(|| self.skip_words(pos, clause));
        }
        if follow == Follow::Other
            && bare
            && let Some(next) = self.length_told(pos, clause)
        {
            return next;
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
        // Nothing is made of a long string of numbers without a unit, whichever of them it is read from.
        let tail = match chain.members.as_slice() {
            [_, .., last, _] if bare && chain.unit.is_none() && chain.members.len() > STRING => {
                last.start.max(first)
            }
            _ => first,
        };
        self.chain = chain;
        next.unwrap_or(tail)
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
        let limit = pos + clause.len();
        self.chain.unit = None;
        let lone = lone_decimal(clause);
        if lone.is_none() && self.goes_on_from(pos) {
            return self.close(self.parsed.whole, limit);
        }
        self.chain.members.clear();
        self.parsed.starts.clear();
        if let Some(end) = lone {
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
            return self.close(true, limit);
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
                    self.parsed.starts.push(start);
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
                Rule::tolerance => joint = Joint::Tolerance,
                Rule::to | Rule::to_word | Rule::to_strung => {
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
        self.parsed.whole = whole;
        self.parsed.sound_to = if limit < self.span.end() {
            limit.saturating_sub(AHEAD)
        } else {
            limit
        };
        self.close(whole, limit)
    }

    /// Whether the number at `pos` is one of the chain that was parsed last, which then begins with it.
    fn goes_on_from(&mut self, pos: usize) -> bool {
        let Some(index) = (self.parsed.starts.iter()).position(|&start| start == pos) else {
            return false;
        };
        let members = &mut self.chain.members;
        if members.len() != self.parsed.starts.len()
            || (members.last()).is_none_or(|last| last.end > self.parsed.sound_to)
        {
            return false;
        }
        members.drain(..index);
        self.parsed.starts.drain(..index);
        if let Some(first) = members.first_mut() {
            *first = Member {
                start: pos,
                end: first.end,
                number: first.number,
                joint: Joint::First,
                hyphen: false,
                word: false,
                minus: false,
            };
        }
        true
    }

    /// Ends the chain behind its last number, or behind the unit there where it was read whole.
    fn close(&mut self, whole: bool, limit: usize) -> bool {
        let Some(end) = self.chain.members.last().map(|last| last.end) else {
            return false;
        };
        if whole {
            self.unit_behind(end, limit);
        } else {
            self.chain.end = end;
        }
        true
    }

    /// Fills in the unit that stands behind the number that ends at `end`.
    fn unit_behind(&mut self, end: usize, limit: usize) {
        self.chain.end = end;
        let rest = &self.text[end..limit];
        let noted = behind_note(rest);
        // `(50 ± 5) pF/m`
        let bracketed = self.chain.members.len() >= 2
            && (self.chain.members.last()).is_some_and(|last| last.joint == Joint::Tolerance);
        let noted = match noted.strip_prefix(')') {
            Some(behind) if bracketed => behind,
            _ => noted,
        };
        // `value: 14 unit: AWG`
        let noted = unit_label(noted);
        let end = end + (rest.len() - noted.len());
        let Some((unit, start, stop)) = memo::unit_behind(noted) else {
            return;
        };
        let (start, stop) = (end + start, end + stop);
        // Or behind the unit; m³ is no length.
        let raised = |c: char| {
            matches!(c, '¹' | '²' | '³' | '⁴'..='⁹') && (c == '¹' || unit.base != Base::Length)
        };
        let runs_on = self
            .char_at(stop)
            .is_some_and(|c| c.is_alphanumeric() && !raised(c))
            && !self.text[start..stop].ends_with(|c: char| !c.is_alphanumeric())
            // A sign that was lost could have been a square.
            || self.char_at(stop) == Some(char::REPLACEMENT_CHARACTER);
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

    /// The unit of a value under a heading that says the length it is for: "ELECTRICAL, PER METRE OF PAIR".
    fn for_length(&self, unit: Unit) -> Unit {
        let own = match unit.base {
            Base::Ohm => self.context.hints.has(Hints::RESISTANCE),
            Base::HenryPer | Base::FaradPer => true,
            _ => false,
        };
        match self.context.for_length {
            Some(length) if own => unit.for_length_of(&length),
            _ => unit,
        }
    }

    /// “0.28 µH and 34 pF to the metre”: the length behind the second is that of the first as well.
    fn length_of_next(&self, unit: Unit, end: usize) -> Unit {
        const JOINTS: [&str; 4] = ["and ", "& ", ", and ", ", "];
        if !unit.is_bare_constant() {
            return unit;
        }
        let behind = self.behind(end).trim_start_matches(is_blank);
        let next = JOINTS.iter().find_map(|joint| behind.strip_prefix(joint));
        let number = |sign: char| sign.is_ascii_digit() || matches!(sign, '.' | ',');
        let other = next
            .map(|next| next.trim_start_matches(number))
            .filter(|rest| next.is_some_and(|next| rest.len() < next.len()))
            .and_then(memo::unit_behind);
        let per = other
            .filter(|(other, ..)| matches!(other.base, Base::HenryPer | Base::FaradPer))
            .and_then(|(other, ..)| other.per)
            .and_then(|(count, length)| memo::unit_alone(&format!("Ω/{count} {length}")));
        per.map_or(unit, |per| unit.for_length_of(&per))
    }

    fn chain_read(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        if let Some(unit) = chain.unit {
            let unit = self
                .context
                .per
                .map_or(unit, |per| unit.for_length_of(&per));
            let unit = self.for_length(unit);
            let unit = self.length_of_next(unit, chain.end);
            if self.of_a_unit(first.start) {
                return Some(chain.end);
            }
            if let Some(mark) = self.counts_gauges(chain, unit) {
                return Some(mark);
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
            // What is of another unit altogether means nothing bare.
            if unit.base == Base::Ohm
                && plausible::is_resistivity(&self.text[chain.end..self.span.end()])
            {
                return Some(chain.end);
            }
        }
        self.bare(chain)
    }

    /// `1000 ft` in `ohms per 1000 ft` where no number stands before the ohms.
    fn of_a_unit(&self, start: usize) -> bool {
        let left = self.before(start).trim_end_matches(is_blank);
        let rest = if let Some(rest) = left.strip_suffix('/') {
            rest
        } else if let Some((rest, word, "")) = last_word(left)
            && one_of!(word, "per")
        {
            rest
        } else {
            return false;
        };
        let rest = rest.trim_end_matches(is_blank);
        // "per 100 m" alone at the head of a column.
        if rest.is_empty() && start > self.span.start() && self.behind(start).len() < 12 {
            return true;
        }
        let headed = self.text[start..].starts_with('1')
            && hints_before(self.before(start))
                .take(6)
                .any(|(_, hints)| hints.has(Hints::RESISTANCE))
            && !rest.ends_with(|c: char| c.is_ascii_digit());
        headed
            || rest.ends_with(['Ω', '\u{2126}'])
            || last_word(rest).is_some_and(|(_, word, gap)| {
                gap.is_empty()
                    && one_of!(
                        word,
                        "ohm ohms milliohm milliohms mohm mohms ph uh µh nh pf nf uf µf db",
                    )
            })
    }
}
