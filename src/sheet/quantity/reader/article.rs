//! One of a unit that nothing but an article counts: “a foot of cable”, “under an ohm”. Most that articles stand before is no amount
//! (“ten ohms a foot”, “a foot of snow”), so that the words on either side must say that this is.

use super::*;

impl<'t> Reader<'t, '_> {
    /// Reads the article at `pos` and gives where to go on.
    pub(super) fn article_at(&mut self, pos: usize) -> usize {
        let text = self.text;
        let limit = snap(text, (pos + CLAUSE).min(self.span.end()));
        let clause = &text[pos..limit];
        let article = clause.find(' ').unwrap_or(clause.len());
        let skipped = pos + article.max(1);
        let Some((unit, start, stop)) = memo::unit_behind(&clause[article..]) else {
            return skipped;
        };
        let unit_start = pos + article + start;
        let mut end = pos + article + stop;
        let mut value = 1.0;
        // "a metre and a half"
        const HALF: &str = " and a half";
        if self.text[end..self.span.end()].starts_with(HALF) {
            value = 1.5;
            end += HALF.len();
        }
        let said = match unit.base {
            Base::Length => self.is_length(end),
            Base::Ohm | Base::OhmPer => self.is_reached(pos, end),
            Base::Decibel => value > 1.0 || self.is_level(pos, end),
            _ => false,
        };
        if !said {
            return skipped;
        }
        let member = Member {
            start: pos,
            end: pos + article,
            number: Number {
                value,
                digits: None,
                decimal: false,
                fraction: value > 1.0,
                words: true,
            },
            joint: Joint::First,
            hyphen: false,
            word: false,
            minus: false,
        };
        let chain = Chain {
            members: vec![member],
            unit: Some(unit),
            unit_start,
            end,
        };
        self.with_unit(&chain, unit, end).unwrap_or(skipped)
    }

    /// Whether one decibel is what something is louder or loses: “by a decibel”, “a decibel louder”.
    fn is_level(&self, start: usize, end: usize) -> bool {
        let ahead = last_word(self.before(start)).is_some_and(|(_, word, gap)| {
            gap.chars().all(is_blank)
                && one_of!(word, "by about nearly almost over than lose loses lost cost costs within exactly only")
        });
        ahead
            || words_of(self.behind(end)).next().is_some_and(|word| {
                one_of!(word, "louder quieter lower higher down up more less softer")
            })
    }

    /// Whether what stands behind says that this much is long, or that it is so much of a cable.
    fn is_length(&self, end: usize) -> bool {
        let behind = self.behind(end);
        let mut words = words_of(behind);
        match words.next() {
            // "A yard has about 15 milliohms."
            Some(word) if one_of!(word, "has have holds measures shows") => words
                .take(4)
                .any(|word| one_of!(word, "milliohm milliohms ohm ohms mΩ Ω")),
            Some(word) if one_of!(word, "long") => behind.trim_start().starts_with(word),
            Some(word) if one_of!(word, "of") => words
                .take_while(|word| !one_of!(word, "and or but in on to for"))
                .take(4)
                .any(|word| {
                    one_of!(
                        word,
                        "cable wire lead flex cord twin pair conductor copper leads"
                    )
                }),
            _ => false,
        }
    }

    /// Whether what stands before says that a resistance comes to so much, and nothing behind makes another word of it.
    fn is_reached(&self, pos: usize, end: usize) -> bool {
        let left = self.before(pos);
        let reached = last_word(left).is_some_and(|(rest, word, gap)| {
            let asked = last_word(rest).is_some_and(|(_, word, _)| one_of!(word, "what whats who"));
            gap.chars().all(is_blank)
                && !asked
                && one_of!(
                    word,
                    "to under below than about nearly almost over within exceeds exceed reaches reach at has had around roughly just only barely hardly is was",
                )
        });
        let meant = next_word(self.behind(end))
            .is_none_or(|word| !one_of!(word, "meter law unit s is named"));
        reached && meant && !self.text[end..].starts_with(['\'', '’', '-'])
    }
}
