//! Gauges written with strokes, and strands.

use super::*;

impl<'t> Reader<'t, '_> {
    /// `4/0 AWG`, `12/2 AWG`, `41/30 AWG`.
    pub(super) fn gauge_stroke(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
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

    pub(super) fn push_zeros(
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
        let area = gauge::awg_area(f64::from(number)).0;
        let more = More {
            conductors,
            gauge: Some(number),
            rare: Rare {
                text: Some(format!("{zeros}/0").into()),
                ..Rare::default()
            }
            .kept(),
            ..More::default()
        };
        let index = self.out.len();
        let symbol = Symbol::usual("AWG").unwrap_or_default();
        let next = self.push_size(
            (Kind::Gauge, None),
            symbol,
            Span::new(start, end),
            area,
            more,
        );
        self.join_range(index);
        next
    }

    /// A size of conductors that is more than a number and its unit; gives where it ends.
    fn push_size(
        &mut self,
        (kind, number): (Kind, Option<f64>),
        symbol: Symbol,
        span: Span,
        area: f64,
        more: More,
    ) -> Option<usize> {
        let bound = bound(self.left_of(span.start()), self.behind(span.end()));
        self.out.push(
            Quantity {
                kind,
                number: number.into(),
                symbol,
                si_unit: Si::SquareMetre,
                span,
                bound,
                range: None,
                more: more.kept(),
            }
            .with_si(Some(area)),
        );
        self.floor = span.end();
        Some(span.end())
    }

    /// Whether `count` times this gauge are strands of one conductor: words say so, or nobody makes so many cores, or cores so
    /// thin.
    pub(super) fn strands_of_gauge(
        &self,
        count: u32,
        gauge: f64,
        start: usize,
        end: usize,
    ) -> bool {
        let right = next_word(self.behind(end)).unwrap_or("");
        if one_of!(right, "conductor conductors core cores cable wires legs") {
            return false;
        }
        self.strand_hint(start, end) && count > 4
            || count >= 7 && gauge >= 26.0
            || count > 19 && gauge >= 18.0
            || matches!(count, 7 | 19) && gauge >= 20.0
    }

    pub(super) fn strand_hint(&self, start: usize, end: usize) -> bool {
        self.context.hints.has(Hints::STRANDS)
            || hints_before(self.left_of(start))
                .take(4)
                .any(|(_, hints)| hints.has(Hints::STRANDS))
            || hints_behind(self.behind(end), 3).any(|(_, hints)| hints.has(Hints::STRANDS))
    }

    /// Strands: the number at `index` of the chain counts them (with all before it that are multiplied), the next is their
    /// size.
    pub(super) fn strands_found(
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

    pub(super) fn push_strands(
        &mut self,
        count: u32,
        size: f64,
        unit: Unit,
        start: usize,
        end: usize,
        conductors: Option<u32>,
    ) -> Option<usize> {
        let diameter = match unit.base {
            Base::Gauge => gauge::awg_diameter(f64::from(number::whole(size)?)),
            Base::Swg => gauge::swg_diameter(i32::try_from(number::whole(size)?).ok()?)?,
            Base::Length => Metre(size * unit.factor),
            _ => return None,
        };
        if self.taken(start) || !(count > 1 && diameter.0 > 1e-6 && diameter.0 < 0.02) {
            return None;
        }
        let area = gauge::circle(diameter).0 * f64::from(count);
        let more = More {
            conductors,
            swg: unit.base == Base::Swg,
            rare: Rare {
                strand: Some(diameter),
                unusual: Some(format!("x {size} {}", unit.symbol()).into()),
                ..Rare::default()
            }
            .kept(),
            ..More::default()
        };
        let (count, span) = (f64::from(count), Span::new(start, end));
        self.push_size(
            (Kind::Strands, Some(count)),
            Symbol::default(),
            span,
            area,
            more,
        )
    }

    /// `65 strands of 0.25 mm`, `sixty-five 0.16 mm filaments`.
    pub(super) fn strands(&mut self, pos: usize, clause: &'t str) -> Option<usize> {
        /// Fewest strands that are told by their size and then by what they are.
        const FEWEST: u32 = 7;
        let pairs = parse(Rule::strands_entry, clause)?;
        let mut numbers = Vec::with_capacity(2);
        let mut unit = Some(Unit::MILLIMETRE);
        let mut unit_end = None;
        let mut marked = false;
        let mut apart = false;
        for pair in pairs {
            let end = pos + pair.as_span().end();
            match pair.as_rule() {
                Rule::number => {
                    let inner = pair.into_inner().next()?;
                    numbers.push((self.value(inner.as_rule(), inner.as_str())?, end));
                }
                Rule::gauge_mark => marked = true,
                Rule::strand_noun => apart = true,
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
        // "two 14 AWG wires", "four 2 mm wires": conductors.
        if apart && (count < FEWEST || unit.base != Base::Length) {
            return None;
        }
        let mut end = unit_end.unwrap_or(size_end);
        if let Some(word) = next_word(self.behind(end))
            && word.eq_ignore_ascii_case("each")
        {
            end += self.behind(end).find(word).map_or(0, |at| at + word.len());
        }
        let conductors = self.conductors_before(pos);
        self.push_strands(count, size.value, unit, pos, end, conductors)
    }

    /// Whether a letter behind a stroke counts conductors: “14/4C”.
    pub(super) fn counts_conductors(&self, chain: &Chain, end: usize) -> bool {
        let strokes = chain
            .members
            .get(1)
            .is_some_and(|last| last.joint == Joint::Slash);
        let alone = !self.char_at(end + 1).is_some_and(char::is_alphanumeric);
        chain.members.len() == 2 && strokes && self.char_at(end) == Some('C') && alone
    }

    /// `two conductors of` or `2 x (` before a size.
    pub(super) fn conductors_before(&self, start: usize) -> Option<u32> {
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
}
