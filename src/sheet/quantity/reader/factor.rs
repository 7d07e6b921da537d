//! Damping and velocity factors: numbers without a unit that are named as such.

use super::*;

/// Most bytes from the name of a factor to the verb before its number.
const TOLD: usize = 110;

impl<'t> Reader<'t, '_> {
    /// `damping factor of 200`, `velocity factor 0.66`, `VF 0.66`.
    pub(super) fn named_factor(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        if let Some(next) = self.share_of_light(chain) {
            return Some(next);
        }
        if !self.names_a_factor() {
            return None;
        }
        let left = self.before_far(first.start);
        // "Velocity factor 0.66 ..... 1.10": it has its value already, and what the dots lead to is something else.
        if self.context.factor_stated && states_factor(left) {
            return None;
        }
        let near = self.before(first.start);
        let (ahead, word, gap) = last_word(near).unwrap_or(("", "", ""));
        let close = gap
            .chars()
            .all(|c| is_blank(c) || matches!(c, ':' | '=' | '>' | '<' | '≥' | '≤' | '~' | '.'));
        let velocity = close && one_of!(word, "vf vp nvp vop")
            || phrase_reaches(left, "velocity factor", false)
            || phrase_reaches(left, "velocity of propagation", false)
            || self.corrects_velocity(first, word);
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
        // "Damping factor. With 3 m of it the load sees 210": the head of the paragraph says what the number is.
        let headed = !damping
            && gap.chars().all(is_blank)
            && self.context.section.has(Hints::DAMPING)
            && chain.members.len() == 1
            && !first.number.words
            && first.number.value >= 5.0
            && one_of!(
                word,
                "reaches reached is was gives gave shows showed sees saw to remains remained stays stayed makes made"
            )
            && self.ends_a_clause(first.end);
        // "The damping factor, taken at the terminals of an 8 Ω loudspeaker, is still 900": the verb stands before the number, or a
        // colon.
        let colon = gap.trim() == ":" && word.chars().all(char::is_alphabetic);
        let told = !damping
            && (gap.chars().all(is_blank) || colon)
            && chain.members.len() == 1
            && !first.number.words
            && first.number.value >= 5.0
            && (colon
                || one_of!(
                    word,
                    "is was still remains stays remained stayed reaches reached"
                )
                || found_to_be(ahead, word))
            && left
                .rfind("amping factor")
                .and_then(|at| left.get(at..))
                .is_some_and(|between| {
                    let between = between.trim_end_matches([':', ' ']);
                    between.len() <= TOLD && !between.contains(['.', ';', ':', '?', '!'])
                })
            && self.ends_a_clause(first.end);
        // "A damping factor of 350 left" counts nothing.
        let of_it = damping && first.number.value >= named_of(left);
        if !(damping || headed || told)
            || !(self.stands_alone(first.end) || of_it && self.counts_no_unit(first.end))
        {
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

    /// A bare number under a key or a head that names a factor.
    pub(super) fn keyed_factor(&mut self, chain: &Chain) -> Option<usize> {
        let hints = self.context.hints;
        let first = chain.members.first()?;
        let plain = chain.members.len() == 1 && !first.number.words;
        if plain && hints.has(Hints::DAMPING) && first.number.value >= 1.0 {
            return self.plain_factor(chain);
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

    /// A bare number that is a damping factor.
    pub(super) fn plain_factor(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        if first.number.words || first.number.value < 1.0 {
            return None;
        }
        self.push_plain(
            Kind::DampingFactor,
            first.number.value,
            Span::new(first.start, first.end),
        );
        Some(first.end)
    }

    /// `0.5 to 0.7 of that of light`.
    fn share_of_light(&mut self, chain: &Chain) -> Option<usize> {
        let last = chain.members.last()?;
        let behind = self.behind(last.end);
        let mut words = words_of(behind);
        let of = words.next().is_some_and(|word| one_of!(word, "of times"))
            && words.take(5).any(|word| word.eq_ignore_ascii_case("light"))
            && !behind.trim_start().starts_with([',', ';', '.']);
        if !of || !last.number.decimal && !last.number.fraction {
            return None;
        }
        let from = chain
            .members
            .len()
            .saturating_sub(if last.joint == Joint::To { 2 } else { 1 });
        let shares = chain.members.get(from..)?;
        if shares
            .iter()
            .any(|member| !(0.05..=3.0).contains(&member.number.value))
        {
            return None;
        }
        let begun = self.out.len();
        for member in shares {
            self.push_plain(
                Kind::VelocityFactor,
                member.number.value,
                Span::new(member.start, member.end),
            );
        }
        if shares.len() == 2 && self.out.len() == begun + 2 {
            self.join_range(begun + 1);
        }
        Some(last.end)
    }

    /// "The velocity factor printed as 1.4 was a typing error for 0.64."
    fn corrects_velocity(&self, member: &Member, before: &str) -> bool {
        member.number.decimal
            && (0.3..1.0).contains(&member.number.value)
            && one_of!(before, "for not is be to really actually rather")
            && self.stands_alone(member.end)
            && self.out.last().is_some_and(|quantity| {
                quantity.kind == Kind::VelocityFactor && quantity.span.start() >= self.span.start()
            })
    }

    /// Whether the span has any of the words without which a bare number is no factor.
    pub(super) fn names_a_factor(&mut self) -> bool {
        if let Some(named) = self.factors {
            return named;
        }
        let span = self.span.of(self.text).as_bytes();
        let named = self.context.section.has(Hints::DAMPING)
            || FACTORS.iter().any(|word| word.find(span).is_some());
        self.factors = Some(named);
        named
    }

    /// Whether nothing follows in its clause.
    fn ends_a_clause(&self, end: usize) -> bool {
        let behind = self.behind(end).trim_start_matches(is_blank);
        behind.is_empty() || behind.starts_with(['.', ',', ';', ')', '\n'])
    }

    /// Whether neither a sign nor a multiple stands behind a number.
    fn counts_no_unit(&self, end: usize) -> bool {
        let behind = self.behind(end).trim_start_matches(is_blank);
        behind.starts_with(char::is_alphabetic)
            && next_word(behind)
                .is_some_and(|word| !one_of!(word, "times x per percent and or to db"))
    }

    /// The words before, further back than usual and over brackets.
    pub(super) fn before_far(&self, at: usize) -> &'t str {
        let from = snap(self.text, at.saturating_sub(200).max(self.span.start()));
        &self.text[from..at]
    }

    /// Whether what follows a bare number leaves it alone: no noun that it would count.
    pub(super) fn stands_alone(&self, end: usize) -> bool {
        let text = self.behind(end);
        let trimmed = text.trim_start_matches(is_blank);
        match trimmed.chars().next() {
            None => true,
            Some(c) if !c.is_alphanumeric() => !matches!(c, '%' | '°' | '-' | '/' | '×'),
            Some(_) => next_word(trimmed).is_some_and(|word| {
                one_of!(word, "there here left still at into for with and to when in is or on which that means from by alone as but while where if would will the a an damping was are against instead than may can of over below above")
            }),
        }
    }

    /// "12 AWG, 8.4 ohms per km ........ 3.20/m": so much for a metre, without a unit, is a price.
    pub(super) fn is_priced(&self, end: usize) -> bool {
        ["/m", "/ft"].iter().any(|per| {
            let rest = self.text[end..].strip_prefix(per);
            rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        })
    }
}

/// The least number that words before it make a factor: “a damping factor of 350”, and not “the damping factor of 12 amplifiers”.
fn named_of(left: &str) -> f64 {
    const LEAST: f64 = 5.0;
    /// So many amplifiers nobody counts.
    const MANY: f64 = 50.0;
    let ahead = left.trim_end().strip_suffix("damping factor of");
    let word = ahead.map_or("", |ahead| {
        ahead
            .trim_end()
            .rsplit([' ', '\n', '\''])
            .next()
            .unwrap_or("")
    });
    match word {
        "a" | "its" | "their" | "that" => LEAST,
        "the" => MANY,
        _ => f64::INFINITY,
    }
}

/// Whether words end as “was found to be” or “comes out at” do.
fn found_to_be(ahead: &str, word: &str) -> bool {
    let before = last_word(ahead).filter(|(_, _, gap)| gap.chars().all(is_blank));
    before.is_some_and(|(_, before, _)| match word {
        "be" => before == "to",
        "at" | "to" => before == "out",
        "as" => one_of!(before, "measured out reckoned"),
        _ => false,
    })
}
