//! Units that are also letters and words: whether one is meant.

use super::*;

impl<'t> Reader<'t, '_> {
    pub(super) fn plausible(&mut self, chain: &Chain, unit: Unit) -> bool {
        let Some(last) = chain.members.last() else {
            return false;
        };
        let value = last.number.value;
        let written = &self.text[chain.unit_start..chain.end];
        let glued = chain.unit_start == last.end;
        let after = &self.text[chain.end..self.span.end()];
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
        // "Room 12 A", "page 12 m": a place with its number and letter. "In our listening room 3 m of cable lay" names no room.
        if unit.letter
            && last.number.digits.is_some()
            && !next_word(after).is_some_and(|word| one_of!(word, "of long"))
            && last_word(self.before(last.start)).is_some_and(|(_, word, gap)| {
                gap.chars().all(is_blank)
                    && (one_of!(word, "page seat gate platform")
                        || word.starts_with(char::is_uppercase)
                            && one_of!(word, "room hall suite flat row house apartment aisle bay"))
            })
        {
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
                let half = unit.base == Base::Gauge && half_gauge(&last.number).is_some();
                (zeros || half || last.number.count().is_some_and(|count| count <= 50))
                    && !one_of!(right, "step steps size sizes number numbers model railway shotgun shell track needle steel reading")
            }
            Base::Area if written == "CM" => value >= 100.0,
            // "24 bit / 96 kHz files", "44.1 kHz sample rate": how often a recording was measured.
            Base::Hertz => {
                !next_word(after).is_some_and(|word| {
                    one_of!(word, "sample sampling file files recording recordings bit master masters stream")
                })
            }
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
            // "Serial 2214-A", "(11) VM 2 044 717 A": no lead carries so much.
            Base::Ampere if written == "A" && value > 1000.0 => false,
            // "3.2 A thin one for the subwoofer": a point of a list and its first word.
            Base::Ampere
                if written == "A"
                    && !glued
                    && last.number.decimal
                    && self.before(last.start).trim().is_empty()
                    && next_word(after).is_some_and(|word| {
                        !one_of!(word, "into at for through in from per dc ac max rms peak fuse plug breaker continuous and or each is are flows flow")
                    }) =>
            {
                false
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
                            && q.span.end() + 3 >= last.start
                    })
            }
            Base::Celsius | Base::Fahrenheit if unit.letter => {
                let tone = next_word(after)
                    .is_some_and(|word| one_of!(word, "sharp flat major minor"));
                if tone {
                    return false;
                }
                let warm = self.warm(last.start);
                (glued
                    && value >= 15.0
                    && matches!(
                        next,
                        None | Some(' ' | '\u{A0}' | ',' | '.' | ';' | ')' | '/' | '\n')
                    ))
                    || warm
                    || self.measured_at(last.start, value, unit.base == Base::Fahrenheit)
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
            // A resistivity: Ω·mm²/m, Ω·m.
            Base::Ohm if is_resistivity(after) => false,
            Base::Ohm if written == "R" => {
                // "2 R′ l" is a sum in letters.
                (0.1..=1000.0).contains(&value)
                    && !after.starts_with(['\'', '’', '′'])
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

    /// `at 20 C`, `@ 68 F`, `(20 C)`, `one conductor, 75 C`: the temperature at which something was measured.
    fn measured_at(&self, at: usize, value: f64, fahrenheit: bool) -> bool {
        let left = self.before(at).trim_end_matches(is_blank);
        let said = left.ends_with('@')
            || last_word(left)
                .is_some_and(|(_, word, gap)| gap.is_empty() && word.eq_ignore_ascii_case("at"));
        let (least, usual) = if fahrenheit {
            (20.0, 50.0..=90.0)
        } else {
            (5.0, 15.0..=30.0)
        };
        let bracket = left.rfind('(').is_some_and(|open| {
            let inside = &left[open + 1..];
            !inside.contains(')')
                && inside.len() < 24
                && (inside.is_empty() || inside.ends_with([',', ';']))
        });
        let listed = left.ends_with([',', ';'])
            && hints_before(left)
                .take(4)
                .any(|(_, hints)| hints.has(Hints::RESISTANCE.with(Hints::WIRE)));
        let service = if fahrenheit {
            50.0..=200.0
        } else {
            15.0..=90.0
        };
        said && (least..=300.0).contains(&value)
            || bracket && usual.contains(&value)
            || listed && service.contains(&value)
    }

    /// Whether a capital M stands for metres: words of length or of what is sold by the length stand near, or a length before it.
    fn metres_in_capitals(&self, chain: &Chain, after: &str) -> bool {
        let (Some(first), Some(last)) = (chain.members.first(), chain.members.last()) else {
            return false;
        };
        if after.starts_with(['&', '-', '/'])
            && !after.starts_with("/r")
            && !after.starts_with("/d")
            || last.number.value < 0.1
            || last.number.value > 2000.0
        {
            return false;
        }
        let long = |word: &str| {
            hint(word).has(Hints::LENGTH)
                || one_of!(
                    word,
                    "cable cables wire wires cord speaker pair pairs audio"
                )
        };
        let other = |word: &str| {
            one_of!(
                word,
                "sales turnover units sold users views budget profit revenue people customers downloads dollars pounds euros subscribers screw screws thread bolt"
            )
        };
        let left = self.before(first.start);
        let left = left
            .rfind(['.', ';', '!', '?', '\n'])
            .map_or(left, |at| &left[at..]);
        let right = after
            .find(['.', ';', '!', '?', '\n'])
            .map_or(after, |at| &after[..at]);
        let right = right.get(..snap(right, 60)).unwrap_or(right);
        if words_of(left)
            .rev()
            .take(4)
            .chain(words_of(right).take(4))
            .any(other)
        {
            return false;
        }
        let metres = |text: &str| text.ends_with(['M', 'm', 't', 'T', '\'', '′', 's']);
        self.context.hints.has(Hints::LENGTH)
            || words_of(left).rev().take(5).any(long)
            || words_of(right).take(4).any(long)
            || self.out.iter().rev().take(100).any(|quantity| {
                quantity.kind == Kind::Length
                    && (quantity.span.of(self.text).ends_with('M')
                        || quantity.span.end() + 4 > first.start
                            && metres(quantity.span.of(self.text)))
            })
    }

    pub(super) fn warm(&self, at: usize) -> bool {
        self.context.hints.has(Hints::TEMPERATURE)
            || hints_before(self.before(at)).any(|(_, hints)| hints.has(Hints::TEMPERATURE))
    }

    pub(super) fn plausible_length(&mut self, chain: &Chain, written: &str, after: &str) -> bool {
        let Some(last) = chain.members.last() else {
            return false;
        };
        let next = after.chars().next();
        let degrees = self
            .before(last.start)
            .trim_end_matches(is_blank)
            .ends_with('°');
        // "16 mm film", "35 mm slides", "six feet under", "a singer 5' tall".
        let of_others = next_word(after).is_some_and(|word| match written {
            "mm" => one_of!(
                word,
                "film films slide slides camera cameras projector lens negative negatives"
            ),
            _ => {
                one_of!(word, "tall under") && chain.unit.is_some_and(|unit| unit.symbol() == "ft")
            }
        });
        let standing = chain.unit.is_some_and(|unit| unit.symbol() == "ft")
            && (after.trim_start().starts_with("on the ground")
                || last_word(self.before(last.start))
                    .is_some_and(|(_, word, _)| one_of!(word, "stands stood")));
        if of_others || standing {
            return false;
        }
        match written {
            // "Cheaper by 10.80 in all": a word and no unit.
            "in" if next_word(after).is_some_and(|word| {
                one_of!(
                    word,
                    "all total sum cash stamps advance part parts favour favor front hand practice fact general return change the each every both our its this that these any my his her their"
                )
            }) =>
            {
                false
            }
            "in" => {
                // "3/8 in jacket"
                let over = chain
                    .members
                    .len()
                    .checked_sub(2)
                    .map(|at| &chain.members[at]);
                let of_an_inch = last.joint == Joint::Slash
                    && over.is_some_and(|over| over.number.value < last.number.value)
                    && [2.0, 4.0, 8.0, 16.0, 32.0, 64.0].contains(&last.number.value);
                if of_an_inch || last.number.fraction || (last.number.decimal && !last.number.words)
                {
                    return true;
                }
                let hyphen = self.text[last.end..chain.unit_start].contains('-');
                // "the long one in from the yard"
                if last.number.words && !hyphen {
                    return false;
                }
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
                // CH 40 "sounds warmer": a mark behind a blank and before a word opens a quotation.
                let opens = self.text[last.end..chain.unit_start].ends_with(is_blank)
                    && after.starts_with(|c: char| c.is_alphabetic());
                if self.double_open || opens {
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
                let music = words_of(self.before(last.start)).any(|word| {
                    one_of!(word, "track tracks lasts song side movement minutes plays")
                });
                !music && inches_behind(after).is_some()
            }
            "″" => !degrees,
            // "One amplifier, one meter": where lengths are in metres, a meter is an instrument.
            "meter" | "meters" if last.number.words && self.text.contains("metre") => false,
            "M" => self.metres_in_capitals(chain, after),
            // Metres per second are no length.
            "m" => !after.starts_with("/s"),
            _ => true,
        }
    }

    /// Keeps count of quotation marks up to `at`.
    pub(super) fn count_quotes(&mut self, at: usize) {
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
    pub(super) fn street(&self, _start: usize, end: usize) -> bool {
        let text = self.behind(end);
        let text = text.strip_prefix('.').unwrap_or(text);
        if !text.starts_with(is_blank) {
            return false;
        }
        let mut words = words_of(text);
        for at in 0..3 {
            let Some(word) = words.next() else {
                return false;
            };
            // "10 W. 42nd Street"
            let counted = word.starts_with(|c: char| c.is_ascii_digit())
                && ["st", "nd", "rd", "th"]
                    .iter()
                    .any(|end| word.ends_with(end));
            if !word.starts_with(char::is_uppercase) && !counted {
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
}

/// `Ω·mm²/m`, `ohm mm^2/m`, `Ω·m`: what follows the ohms makes a resistivity of them.
pub(super) fn is_resistivity(after: &str) -> bool {
    let bare = after.trim_start_matches(|c| is_blank(c) || matches!(c, '·' | '⋅' | '*' | '-'));
    let joined = after
        .trim_start_matches(is_blank)
        .starts_with(['·', '⋅', '*', '-']);
    [
        "mm²",
        "mm2",
        "mm^2",
        "sq mm",
        "cmil",
        "circular mil",
        "circ",
    ]
    .iter()
    .any(|area| bare.starts_with(area))
        || joined
            && ["m ", "m)", "m,", "m.", "cm", "metre", "meter", "ft"]
                .iter()
                .any(|unit| bare.starts_with(unit))
        || joined && bare == "m"
}
