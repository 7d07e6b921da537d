//! Numbers strung together that share the unit behind the last.

use super::*;

impl<'t> Reader<'t, '_> {
    pub(super) fn with_unit(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
        let members = &chain.members;
        let last = members.len().checked_sub(1)?;
        let end_number = &members[last];
        // 60 ± 5 pF/m is one value with how far it may be off.
        if end_number.joint == Joint::Tolerance && last > 0 {
            let stated = Chain {
                members: members[..last].to_vec(),
                ..Chain::default()
            };
            let next = self.with_unit(&stated, unit, end)?;
            if let Some(quantity) = self.out.last_mut()
                && quantity.bound == Bound::Exact
            {
                quantity.bound = Bound::About;
            }
            return Some(next);
        }
        let small = unit.base == Base::Length
            && (unit.is_small() || matches!(&*unit.symbol(), "in" | "mil" | "cm"));
        let mut first = last;

        // What a stroke or a multiplication sign does to the number before.
        if last > 0 {
            let before = &members[last - 1];
            match (end_number.joint, unit.base) {
                (Joint::Slash, Base::Gauge | Base::Swg | Base::Area)
                    if self.text[before.end..end_number.start].starts_with(['C', 'c']) =>
                {
                    // "4C/14 AWG": so many conductors of that size.
                    let count = before.number.count()?;
                    self.left_over(chain, last - 1);
                    return self.single(before.start, end, end_number.number, unit, Some(count));
                }
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
                // "the left one through three metres" is no range.
                let pronoun = previous.number.words
                    && previous.number.value <= 1.0
                    && last_word(self.before(previous.start)).is_some_and(|(_, word, gap)| {
                        gap.chars().all(is_blank)
                            && !one_of!(word, "from between of about for only")
                    });
                // "2/0, or 133,100 circular mils": the nought is that of a gauge.
                if pronoun || previous.number.value == 0.0 && members.len() > 2 {
                    break;
                }
                let labelled = first == 1
                    && last_word(self.before(previous.start))
                        .is_some_and(|(_, word, gap)| is_label(word) && gap.chars().all(is_blank));
                // "Tarn 216 to 5 m, Tarn 214 to 7 m": the number of a name, and how far it goes.
                let named = member.word
                    && previous.number.value > member.number.value
                    && last_word(self.before(previous.start)).is_some_and(|(_, word, gap)| {
                        word.starts_with(char::is_uppercase) && gap.chars().all(is_blank)
                    })
                    && self.before(previous.start).ends_with(is_blank);
                if labelled || named {
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
        let id = super::put::range_id(self.out.len());
        let begun = self.out.len();
        let whole = self.of_a_share(members, first);
        for at in first..=last {
            let mut member = members[at];
            if let Some(share) = whole.filter(|_| at < last) {
                member.number.value *= share;
                member.number.fraction = true;
            }
            let member = &member;
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
        if range_pair.is_some() {
            self.close_range(begun, id, chain_bound);
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
    pub(super) fn products(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
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
                Joint::First | Joint::Times | Joint::Tolerance => false,
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
        self.finish(begun, end, unit)
    }

    /// “Three or four tenths of a decibel”: what each of the numbers from `first` on is a share of, where the last one says so.
    /// “Two and four tenths” are one number.
    fn of_a_share(&self, members: &[Member], first: usize) -> Option<f64> {
        let (last, before) = members.get(first..)?.split_last()?;
        let share = super::super::number::shares(self.text.get(last.start..last.end)?)?;
        let alike = before.iter().enumerate().all(|(at, member)| {
            let next = members
                .get(first + at + 1)
                .map_or(last.start, |next| next.start);
            let between = self.text.get(member.end..next).map_or("", str::trim);
            member.number.words
                && member.number.value.fract() == 0.0
                && (1.0..10.0).contains(&member.number.value)
                && matches!(between, "or" | "to" | ",")
        });
        (alike && !before.is_empty()).then_some(share)
    }

    /// The numbers of a chain before `first` have no part in its unit; they may mean something by themselves.
    pub(super) fn left_over(&mut self, chain: &Chain, first: usize) {
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

    pub(super) fn left_of(&self, start: usize) -> &'t str {
        before(self.text, self.floor.min(start), start)
    }

    /// The span of a number, with its sign, its `Ø` or `#` and, for the last, the unit.
    pub(super) fn member_span(&self, member: &Member, last: bool, end: usize) -> (usize, usize) {
        let stop = if last { end } else { member.end };
        (member.start, stop)
    }

    pub(super) fn single(
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
        self.finish(begun, end, unit)
    }

    /// Ends what was put down since `begun` with what hangs behind it; `None` when nothing was.
    fn finish(&mut self, begun: usize, end: usize, unit: Unit) -> Option<usize> {
        if self.out.len() == begun {
            return None;
        }
        self.join_range(begun);
        let next = self.tail(begun, end, unit);
        self.floor = next;
        Some(next)
    }

    /// Reads what may hang behind: `/2C`, `x 2 conductors`, `x 105 strands`.
    pub(super) fn tail(&mut self, index: usize, end: usize, unit: Unit) -> usize {
        let rest = self.behind(end);
        // 6 ft 6 in is one length.
        if unit.base == Base::Length
            && unit.symbol() == "ft"
            && let Some((inches, len)) = inches_behind(rest)
            && let Some(quantity) = self.out.get_mut(index)
            && let Some(feet) = quantity.number.get()
        {
            quantity.number = (feet + inches / 12.0).into();
            quantity.set_si(Some((feet + inches / 12.0) * unit.factor));
            quantity.span = Span::new(quantity.span.start(), end + len);
            return end + len;
        }
        // 2 m 40 cm is one length, and so are five metres and a half.
        let more = centimetres_behind(rest)
            .filter(|_| unit.base == Base::Length && unit.symbol() == "m")
            .or_else(|| part_behind(rest).filter(|_| unit.base != Base::Gauge));
        if let Some((share, len)) = more
            && let Some(quantity) = self.out.get_mut(index)
            && let Some(value) = quantity.number.get()
            && value.fract() == 0.0
            && quantity.range.is_none()
        {
            let si = quantity.si().map(|si| si + share * unit.factor);
            quantity.number = (value + share).into();
            quantity.set_si(si);
            quantity.span = Span::new(quantity.span.start(), end + len);
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
            quantity.more().conductors = Some(count);
            return stop;
        }
        if unit.base == Base::Length && one_of!(word, "strand strands filaments wires") && count > 1
        {
            let Some(size) = quantity.number.get() else {
                return end;
            };
            let diameter = size * unit.factor;
            let area = f64::from(count) * std::f64::consts::FRAC_PI_4 * diameter * diameter;
            let word_end = self.text[stop..self.span.end()]
                .find(word)
                .map_or(stop, |at| stop + at + word.len());
            quantity.kind = Kind::Strands;
            quantity.rare().unusual = Some(format!("x {size} {}", unit.symbol()).into());
            quantity.number = f64::from(count).into();
            quantity.set_si(Some(area));
            quantity.si_unit = Si::SquareMetre;
            quantity.rare().strand = Some(Metre(diameter));
            quantity.span = Span::new(quantity.span.start(), word_end);
            return word_end;
        }
        end
    }
}
