//! Numbers without a unit behind them: marks before, keys, headers, names of factors.

use super::*;

impl<'t> Reader<'t, '_> {
    pub(super) fn bare(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        let end = chain.members.last()?.end;
        if self.char_at(end).is_some_and(char::is_alphanumeric)
            && !self.text[end..].starts_with("s ")
            && !self.counts_conductors(chain, end)
        {
            return None;
        }
        if self
            .char_at(end)
            .is_some_and(|c| matches!(c, '%' | '°' | '€' | '£' | '$' | '¢'))
        {
            return None;
        }
        if self.is_priced(end) {
            return None;
        }
        self.marked_gauge(chain)
            .or_else(|| self.told_gauge(chain))
            .or_else(|| self.stroke(chain))
            .or_else(|| self.times(chain))
            .or_else(|| self.hyphenated(chain))
            .or_else(|| self.named_factor(chain))
            .or_else(|| self.keyed(chain, first.start, end))
    }

    /// A quantity of the chain with the unit that stood before it; `start` takes the mark in.
    pub(super) fn with_lead(&mut self, chain: &Chain, unit: Unit, start: usize) -> Option<usize> {
        let index = self.out.len();
        // "SWG 18, two conductors": what is counted behind it is no gauge.
        let worded = |member: &Member| self.char_at(member.start).is_some_and(char::is_alphabetic);
        let counted = (!worded(chain.members.first()?))
            .then(|| chain.members.iter().position(worded))
            .flatten();
        let mut sole = Chain::default();
        let chain = match counted {
            Some(place) => {
                sole.members.extend_from_slice(chain.members.get(..place)?);
                sole.end = sole.members.last()?.end;
                &sole
            }
            None => chain,
        };
        let end = chain.members.last()?.end;
        // Only the numbers that can be meant: the unit before goes for ranges and lists behind it as well.
        let next = self.with_unit(chain, unit, end)?;
        if let Some(quantity) = self.out.get_mut(index)
            && quantity.span.start() == chain.members.first()?.start
        {
            quantity.span = Span::new(start, quantity.span.end());
        }
        Some(next)
    }

    /// "Two AWG 14 conductors": the number ahead of the mark counts, and the gauge stands behind it. Gives where the mark begins.
    pub(super) fn counts_gauges(&self, chain: &Chain, unit: Unit) -> Option<usize> {
        const MOST: f64 = 6.0;
        let (first, mark) = (chain.members.first()?, "awg".len());
        let number = &first.number;
        if unit.base != Base::Gauge
            || chain.members.len() > 1
            || number.decimal
            || number.value > MOST
        {
            return None;
        }
        let start = chain.end.checked_sub(mark)?;
        let marked = (self.text.get(start..chain.end)?).eq_ignore_ascii_case("awg");
        let behind = self.behind(chain.end).strip_prefix(is_blank)?;
        let digits = behind.bytes().take_while(u8::is_ascii_digit).count();
        let gauge: f64 = behind.get(..digits)?.parse().ok()?;
        let noun = next_word(behind.get(digits..)?)?;
        let wires = one_of!(
            noun,
            "conductor conductors core cores wire wires strand strands run runs leg legs lead leads cable cables pair pairs"
        );
        (marked && (7.0..=40.0).contains(&gauge) && wires).then_some(start)
    }

    /// `AWG 12`, `#12`, `No. 12 wire`.
    pub(super) fn marked_gauge(&mut self, chain: &Chain) -> Option<usize> {
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
                // "a solid No. 12", "bare soft copper, No. 14", "No. 24, solid"
                let behind = self.behind(chain.members.last()?.end);
                // "No. 2  FOUR-CORE, each core 14 AWG": the number of an article, with its name in capitals.
                let article = next_word(behind).is_some_and(|word| {
                    word.len() > 2 && word.chars().all(char::is_uppercase) && !wire_word(word)
                });
                // "No. 6: the cable drum as a garden table": the number of what is told below.
                let numbered = behind
                    .strip_prefix(':')
                    .is_some_and(|title| title.trim_start().starts_with(char::is_alphabetic));
                if rest.trim().is_empty() && (article || numbered) {
                    return None;
                }
                let ends = behind.trim_start_matches(is_blank);
                let ends = ends.is_empty() || ends.starts_with([',', '.', ';', ')']);
                let wire = last_word(rest).is_some_and(|(_, word, gap)| {
                    (gap.chars().all(is_blank) || ends && gap.trim() == ",")
                        && one_of!(word, "solid stranded copper bare wire")
                }) || ends
                    && next_word(behind.trim_start_matches([' ', ',']))
                        .is_some_and(|word| one_of!(word, "solid stranded copper"));
                // "There is one wire in each leg, and it is number 22."
                let end = chain.members.last()?.end;
                let told = last_word(rest).is_some_and(|(_, word, gap)| {
                    gap.chars().all(is_blank) && one_of!(word, "is are was were")
                }) && self.behind(end).trim_start().starts_with(['.', ',', ';'])
                    && self.wire_near(first.start, end);
                let sorts = Hints::CABLE.with(Hints::WIRE).with(Hints::GAUGE);
                // "Notes of the Fennimore Works, number 27": an issue.
                let issue = rest.trim_end().strip_suffix(',').is_some_and(|ahead| {
                    last_word(ahead).is_some_and(|(_, word, _)| {
                        word.starts_with(char::is_uppercase) && !wire_word(word)
                    })
                });
                let listed = self.numbered_before(mark(rest), chain)
                    || ends
                        && !issue
                        && !rest.trim_end().ends_with(char::is_alphanumeric)
                        && self.context.hints.has(sorts);
                return (self.wire_ahead(chain) || wire || told || listed)
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
            // "#4" by itself is the number of a message or of a prize, but under a head that speaks of wire.
            let lone = right.trim().is_empty() && self.before(start).trim().is_empty();
            let sorts = Hints::CABLE.with(Hints::WIRE).with(Hints::GAUGE);
            let headed = self.context.hints.has(sorts);
            // "#5  Hobnail" opens a message of a board.
            let message = self.context.numbered && self.before(start).trim().is_empty();
            // "#12 up to 6 m".
            let reach =
                right.trim_start().starts_with("up to ") || right.trim_start().starts_with("to ");
            let plural = right.starts_with('s');
            let near = self.wire_near(first.start, end);
            let listed = next.is_some_and(|word| word.eq_ignore_ascii_case("on"))
                && words_of(right)
                    .take(5)
                    .any(|word| one_of!(word, "list lists chart charts agenda table"));
            let noun = next.is_some_and(|word| {
                one_of!(word, "in choice seller spot screw screws bolt bolts nut seed seeds envelope pencil can tin filter iron player hit single")
            });
            let number = first.number.count();
            let used = !noun
                && number.is_some_and(|count| (8..=18).contains(&count) && count % 2 == 0)
                && one_of!(
                    word,
                    "use used uses using with in of than to fit fitted run ran pull pulled buy bought get take took want wanted need order ordered only else"
                )
                && gap.chars().all(is_blank);
            let again = self.said_before(|quantity| {
                quantity.conductors.is_none()
                    && quantity.gauge.and_then(|gauge| u32::try_from(gauge).ok()) == number
            });
            let size = first
                .number
                .count()
                .is_some_and(|count| (4..=36).contains(&count));
            if size
                && !label
                && !listed
                && !message
                && (!lone || headed)
                && (own || ended || plural || reach || used || again && !noun || near && !noun)
            {
                return self.with_lead(chain, Unit::AWG, start);
            }
        }
        None
    }

    /// `65/0.25`, `14/2`, `4/0`, `13/20`.
    pub(super) fn stroke(&mut self, chain: &Chain) -> Option<usize> {
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
            // "8/0.103 = 78" is arithmetic.
            let reckoned = self
                .behind(end)
                .trim_start_matches(is_blank)
                .starts_with(['=', '≈']);
            if count >= 3 && (0.04..=1.6).contains(&second.number.value) && !reckoned {
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
        // 7/36: seven strands of 36 AWG.
        let usual = matches!(count, 7 | 10 | 16 | 19 | 26 | 41 | 65 | 105);
        if (20..=44).contains(&below)
            && (usual && (self.strand_hint(first.start, end) || self.wire_near(first.start, end))
                || count >= 7 && self.makes_up_of_gauge(first, below))
        {
            let two = Chain {
                members: chain.members[..2].to_vec(),
                ..Chain::default()
            };
            return self.strands_found(&two, 0, Unit::AWG, end);
        }
        self.size_and_count(first, second, count, below)
    }

    /// `4 × 14` beside words of the trade, `Stranding 65 x 0.25`.
    pub(super) fn times(&mut self, chain: &Chain) -> Option<usize> {
        let [first, second] = chain.members[..] else {
            return None;
        };
        if second.joint != Joint::Times {
            return None;
        }
        let end = second.end;
        if strand_like(&first, &second, Unit::MILLIMETRE, false)
            && (self.strand_hint(first.start, end)
                || self.makes_up(&first, &second)
                || self.context.hints.has(Hints::WIRE) && second.number.value <= 0.6)
        {
            return self.strands_found(chain, 0, Unit::MILLIMETRE, end);
        }
        let (count, gauge) = (first.number.count()?, second.number.count()?);
        let size = (2..=8).contains(&count) && (8..=24).contains(&gauge) && gauge.is_multiple_of(2);
        // "2 * 12 / (58 * 2.5)" is arithmetic.
        let sign = |c: char| matches!(c, '/' | '*' | '·' | '+' | '=' | '(' | '^');
        let reckoned = self
            .behind(end)
            .trim_start_matches(is_blank)
            .starts_with(sign)
            || self
                .left_of(first.start)
                .trim_end_matches(is_blank)
                .ends_with(['/', '*', '·', '+', '=', '^'])
            || self.context.hints.has(Hints::RESISTANCE);
        if reckoned {
            return None;
        }
        let hints = self.context.hints;
        let next = next_word(self.behind(end));
        let own = match next {
            None => {
                let left = self.left_of(first.start);
                let field = left.trim_end_matches(is_blank).ends_with(':');
                let near = |wanted: Hints| {
                    hints_before(left)
                        .take(3)
                        .any(|(_, hints)| hints.has(wanted))
                };
                let sorts = Hints::CABLE.with(Hints::WIRE).with(Hints::GAUGE);
                (field || self.alone(first.start, end)) && hints.has(sorts)
                    || field && near(sorts)
                    || near(Hints::WIRE)
            }
            // "a 4 × 12 speaker cabinet" holds four loudspeakers.
            Some(word) => {
                one_of!(
                    word,
                    "conductor conductors core cores cable wire wires copper ofc stranded solid twisted quad"
                ) && !words_of(self.behind(end))
                    .take(2)
                    .any(|word| one_of!(word, "tie ties clip clips gland glands tray"))
                    || one_of!(word, "speaker loudspeaker in-wall")
                        && words_of(self.behind(end))
                            .take(3)
                            .any(|word| one_of!(word, "cable wire cord"))
            }
        };
        (size && own && !first.number.words)
            .then(|| self.single(first.start, end, second.number, Unit::AWG, Some(count)))
            .flatten()
    }

    /// Words that only a listening score has beside it.
    pub(super) fn trial_word_near(&self, start: usize, end: usize) -> bool {
        words_of(self.before(start))
            .chain(words_of(self.behind(end)).take(5))
            .any(|word| hint(word).has(Hints::TRIALS))
    }

    /// `14-4 in-wall cable`.
    pub(super) fn hyphenated(&mut self, chain: &Chain) -> Option<usize> {
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
        if self.scores(first.start, second.end) || self.street(first.start, second.end) {
            return None;
        }
        let (count, below) = (first.number.count()?, second.number.count()?);
        self.size_and_count(first, second, count, below)
    }

    /// A gauge and the number of its conductors, where words of the trade stand near.
    pub(super) fn size_and_count(
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
                .is_some_and(|q| q.kind == Kind::Gauge && self.span.start() <= q.span.start())
            || self.said_before(|quantity| {
                quantity.conductors == Some(conductors)
                    && quantity.gauge.and_then(|gauge| u32::try_from(gauge).ok()) == Some(gauge)
            });
        if !near {
            return None;
        }
        self.single(first.start, end, first.number, Unit::AWG, Some(conductors))
    }

    /// A number that takes its unit from the key before it or from the column's header.
    pub(super) fn keyed(&mut self, chain: &Chain, start: usize, end: usize) -> Option<usize> {
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
            // Where a colon stood apart from its key the running text has a gap.
            || joint.starts_with("  ")
            || lead.ends_with([')', ']']);
        let floor = self.floor.max(self.span.start());
        if keyed && joined > 0 && start - joined > floor && !self.follows_text(end) {
            let from = lead
                .rfind([';', '\n', '•', '|', '!', '?'])
                .map_or(0, |at| at + 1);
            let lead = &lead[snap(lead, from)..];
            // "gauge: 12, load: 8": the last of several keys.
            let last = lead
                .rsplit_once(',')
                .filter(|(ahead, _)| joint.contains([':', '=']) && ahead.contains([':', '=']));
            let context = Context::of(last.map_or(lead, |(_, last)| last));
            // The unit may stand in a field beside this one.
            let whole = from == 0 && last.is_none();
            if let Some(unit) = context.unit.or(self.context.unit.filter(|_| whole)) {
                return self.apply(chain, unit, end);
            }
            // “Dämpfungsfaktor / damping: 300”: the name in another language than the words behind it.
            if whole && context.hints.has(Hints::DAMPING) && chain.members.len() == 1 {
                return self.plain_factor(chain);
            }
        }
        let hints = self.context.hints;
        let compound = chain.members.last().is_some_and(|last| last.number.words)
            && self.char_at(end).is_some_and(|c| c == '-');
        if compound {
            return None;
        }
        // "41" under "Strands of 0.25 mm".
        if let Some((size, strand)) = self.context.strand
            && let [counted] = chain.members.as_slice()
            && let Some(count) = counted.number.count().filter(|_| self.alone(start, end))
        {
            return self.push_strands(count, size, strand, start, end, None);
        }
        let unit = self.context.unit.or(self.context.caption);
        if unit.is_none() && hints == Hints::default() || !self.alone(start, end) {
            return None;
        }
        if let Some(unit) = unit {
            return self.apply(chain, unit, end);
        }

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
        self.keyed_factor(chain)
    }

    pub(super) fn apply(&mut self, chain: &Chain, unit: Unit, end: usize) -> Option<usize> {
        if matches!(unit.base, Base::Gauge | Base::Swg)
            && chain
                .members
                .iter()
                .any(|member| member.number.decimal || member.number.value > 50.0)
        {
            return None;
        }
        let unit = self.for_length(unit);
        if unit.is_bare_constant() {
            return None;
        }
        self.with_unit(chain, unit, end)
    }

    /// Whether a word follows that a number in a field would not have.
    pub(super) fn follows_text(&self, end: usize) -> bool {
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
    pub(super) fn alone(&self, start: usize, end: usize) -> bool {
        let left = before(self.text, self.floor, start);
        let quiet = words_of(left).all(|word| {
            one_of!(word, "about max min typ ca approx up to at least most than not more less no and or circa under over below above nominal x")
        });
        quiet && start.saturating_sub(self.floor) < 40 && !self.follows_text(end)
    }
}
