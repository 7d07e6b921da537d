//! Putting a quantity down, and the two ends of a range together.

use super::*;
use std::num::NonZeroU32;

impl<'t> Reader<'t, '_> {
    #[expect(clippy::too_many_arguments, reason = "the parts of one quantity")]
    pub(super) fn push(
        &mut self,
        member: &Member,
        unit: Unit,
        mut span: Span,
        bound: Bound,
        range: Option<NonZeroU32>,
        conductors: Option<u32>,
        chain: (usize, usize),
    ) {
        let number = &member.number;
        let Some(kind) = self.kind_of(number, unit, chain) else {
            return;
        };
        let bound = if self.is_tolerance(kind, span) {
            Bound::Tolerance
        } else {
            bound
        };
        let mut value = number.value;
        // A sign before the first number; those of the others come with the chain.
        let mut minus = member.minus;
        let signed = matches!(
            kind,
            Kind::LevelDb | Kind::Temperature | Kind::Percent | Kind::Voltage
        );
        if signed
            && let Some(c) = self.char_before(span.start())
            && matches!(c, '-' | '−' | '–' | '+')
        {
            let at = span.start() - c.len_utf8();
            let second = self.char_before(at);
            if second.is_none_or(|c| !c.is_alphanumeric() && !matches!(c, '%' | '°')) {
                minus = c != '+';
                span = Span::new(at, span.end());
            }
        } else if signed
            && member.joint == Joint::First
            && let Some((rest, word, gap)) = last_word(self.before(span.start()))
            && word.eq_ignore_ascii_case("minus")
            && gap.chars().all(is_blank)
        {
            minus = true;
            let ahead = self.before(span.start()).len() - rest.len();
            span = Span::new(span.start() - ahead, span.end());
        }
        if minus && signed {
            value = -value;
        }
        if self.taken(span.start()) {
            return;
        }
        let mut gauge_number = None;
        let mut written: Option<Box<str>> = None;
        let (si, si_unit) = match unit.base {
            Base::Gauge => {
                let text = &self.text[member.start..member.end];
                let zeros = text.trim_start_matches(|c: char| !c.is_ascii_digit());
                let whole = number.count().and_then(|count| i32::try_from(count).ok());
                let gauge = if matches!(zeros, "00" | "000" | "0000") {
                    written = Some(zeros.into());
                    gauge_number = Some(1 - i32::try_from(zeros.len()).unwrap_or(1));
                    gauge_number.map(f64::from)
                } else if let Some(half) = half_gauge(number) {
                    Some(half)
                } else {
                    gauge_number = whole.filter(|count| *count <= 50);
                    gauge_number.map(f64::from)
                };
                let Some(gauge) = gauge else { return };
                (Some(gauge::awg_area(gauge).0), Si::SquareMetre)
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
                let area = gauge::swg_diameter(n).map(|diameter| gauge::circle(diameter).0);
                (area, Si::SquareMetre)
            }
            Base::Area => (Some(value * unit.factor), Si::SquareMetre),
            Base::Length => (Some(value * unit.factor), Si::Metre),
            Base::Ohm => (Some(value * unit.factor), Si::Ohm),
            Base::OhmPer => (Some(value * unit.factor), Si::OhmPerMetre),
            Base::HenryPer if unit.is_bare_constant() => (Some(value * unit.factor), Si::Henry),
            Base::FaradPer if unit.is_bare_constant() => (Some(value * unit.factor), Si::Farad),
            Base::HenryPer => (Some(value * unit.factor), Si::HenryPerMetre),
            Base::FaradPer => (Some(value * unit.factor), Si::FaradPerMetre),
            Base::SecondPer => (Some(value * unit.factor), Si::SecondPerMetre),
            Base::Hertz => (Some(value * unit.factor), Si::Hertz),
            Base::Decibel => (
                Some(value * unit.factor),
                if unit.symbol().contains('/') {
                    Si::DecibelPerMetre
                } else {
                    Si::Decibel
                },
            ),
            Base::Watt => (Some(value * unit.factor), Si::Watt),
            Base::Volt => (Some(value * unit.factor), Si::Volt),
            Base::Ampere => (Some(value * unit.factor), Si::Ampere),
            Base::Celsius => (Some(value), Si::Celsius),
            Base::Fahrenheit => (Some((value - 32.0) * 5.0 / 9.0), Si::Celsius),
            // Ice point of the kelvin scale: 273.15 K, exactly.
            Base::Kelvin => (Some(value - 273.15), Si::Celsius),
            Base::Percent if kind == Kind::VelocityFactor => (Some(value / 100.0), Si::One),
            Base::Percent => (Some(value), Si::Percent),
            Base::Light => (Some(value), Si::One),
        };
        if si.is_some_and(|si| !si.is_finite()) || !value.is_finite() {
            return;
        }
        let conductors = conductors.or_else(|| {
            matches!(kind, Kind::Gauge | Kind::Area)
                .then(|| {
                    self.conductors_before(span.start())
                        .or_else(|| self.conductors_around(span))
                })
                .flatten()
        });
        let words = unit.symbol();
        let symbol = Symbol::usual(&words);
        self.out.push(
            Quantity {
                kind,
                number: written.is_none().then_some(value).into(),
                symbol: symbol.unwrap_or_default(),
                si_unit,
                span,
                bound,
                range,
                more: More {
                    conductors,
                    gauge: gauge_number,
                    swg: unit.base == Base::Swg,
                    rare: Rare {
                        text: written,
                        unusual: symbol.is_none().then(|| words.into()),
                        ..Rare::default()
                    }
                    .kept(),
                    ..More::default()
                }
                .kept(),
            }
            .with_si(si),
        );
    }

    /// `four 16 AWG conductors`.
    pub(super) fn conductors_around(&self, span: Span) -> Option<u32> {
        let (_, word, gap) = last_word(self.before(span.start()))?;
        let count = count_word(word)?;
        let said = words_of(self.behind(span.end()))
            .take(4)
            .any(|word| one_of!(word, "conductors cores wires legs"));
        (said && gap.chars().all(is_blank) && count > 1).then_some(count)
    }

    /// Two neighbours of one kind with nothing but a range word between are one range.
    pub(super) fn join_range(&mut self, index: usize) {
        let Some(before) = index.checked_sub(1) else {
            return;
        };
        let (Some(low), Some(high)) = (self.out.get(before), self.out.get(index)) else {
            return;
        };
        if low.kind != high.kind
            || low.range.is_some()
            || low.span.end() > high.span.start()
            || low.span.end() < self.span.start()
        {
            return;
        }
        let between = self.text[low.span.end()..high.span.start()]
            .trim_matches(|c| is_blank(c) || matches!(c, '+' | '±'));
        let joined = matches!(
            between,
            "–" | "—" | "-" | "−" | "‒" | "…" | "..." | ".." | "\u{2010}" | "\u{2011}"
        ) || matches!(
            between,
            "to" | "bis" | "through" | "thru" | "up to" | "down to"
        );
        let verb =
            words_of(before_text(self.text, self.span.start(), low.span.start()))
                .rev()
                .take(6)
                .any(|word| {
                    one_of!(word, "falls fell drops dropped rises rose climbs changes changed change goes went compared raised increased increases")
                });
        let and = between.eq_ignore_ascii_case("and")
            && last_word(before_text(self.text, self.span.start(), low.span.start()))
                .is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("between"));
        if joined && !verb || and {
            let id = range_id(before);
            for at in [before, index] {
                if let Some(quantity) = self.out.get_mut(at) {
                    quantity.range = id;
                }
            }
            self.order_range(before, index);
        }
    }

    /// Orders the two ends with that number among the quantities from `begun` on. An end beside which the other turned out to
    /// be no quantity ("AWG 4 to 2.5") is a quantity by itself.
    pub(super) fn close_range(&mut self, begun: usize, id: Option<NonZeroU32>, alone: Bound) {
        let ends: Vec<usize> = (begun..self.out.len())
            .filter(|&at| id.is_some() && self.out[at].range == id)
            .collect();
        if let [first, second] = ends[..] {
            self.order_range(first, second);
            return;
        }
        for at in ends {
            if let Some(quantity) = self.out.get_mut(at) {
                quantity.range = None;
                quantity.bound = alone;
            }
        }
    }

    pub(super) fn order_range(&mut self, first: usize, second: usize) {
        let key = |q: &Quantity| q.si().or(q.number.get()).unwrap_or(0.0);
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

    /// `7.0 mm ± 0.2 mm`: the second says how far the first may be off.
    fn is_tolerance(&self, kind: Kind, span: Span) -> bool {
        self.out.last().is_some_and(|stated| {
            let between = self.text.get(stated.span.end()..span.start()).unwrap_or("");
            stated.kind == kind
                && matches!(between.trim_matches(is_blank), "±" | "+/-" | "+/−" | "+-")
        })
    }

    /// Whether a quantity that was put down already reaches over `start`.
    pub(super) fn taken(&self, start: usize) -> bool {
        start < self.floor
    }

    pub(super) fn push_plain(&mut self, kind: Kind, value: f64, span: Span) {
        if self.taken(span.start()) {
            return;
        }
        let bound = bound(self.left_of(span.start()), self.behind(span.end()));
        // A damping factor is the better the higher it is.
        let better = || {
            let ahead = self.left_of(span.start()).trim_end();
            ahead.len() >= 11
                && ahead.as_bytes()[ahead.len() - 11..].eq_ignore_ascii_case(b"better than")
        };
        let bound = if kind == Kind::DampingFactor && bound == Bound::AtMost && better() {
            Bound::AtLeast
        } else {
            bound
        };
        self.out.push(
            Quantity {
                kind,
                number: value.into(),
                symbol: Symbol::default(),
                si_unit: Si::One,
                span,
                bound,
                range: None,
                more: None,
            }
            .with_si(Some(value)),
        );
        self.floor = span.end();
    }
}

/// The number of a range of which one end is the quantity with that index.
pub(super) fn range_id(index: usize) -> Option<NonZeroU32> {
    NonZeroU32::new(u32::try_from(index).ok()?.checked_add(1)?)
}
