//! Whom words mean that name a cable or a side of a test, by what was named before. Knows the roster and the place in the text.

use super::{Owner, Reader};
use crate::facts::roster::{Means, Mention};
use crate::span::Span;

impl Reader<'_> {
    /// Whom a mention means: `last_two` were named last, `focus` is spoken of, `before` are the mentions ahead of it in its sentence.
    pub(super) fn resolve(
        &mut self,
        mention: &Mention,
        last_two: &mut Vec<usize>,
        focus: Owner,
        before: &[(Span, Owner)],
    ) -> Owner {
        // Whom the sentence spoke of last.
        let current = before
            .iter()
            .rev()
            .find(|(_, owner)| matches!(owner, Owner::One(_)))
            .map_or(focus, |(_, owner)| *owner);
        match mention.means {
            Means::Entry(entry) => Owner::One(entry),
            Means::All if self.of_legs(mention.span) && matches!(current, Owner::One(_)) => current,
            Means::All if self.of_one(mention.span) => match focus {
                Owner::One(_) => focus,
                _ => Owner::All,
            },
            Means::All => Owner::All,
            Means::Nth(place) => self
                .roster
                .named()
                .get(place)
                .map_or(Owner::Nobody, |entry| Owner::One(*entry)),
            Means::Last => match self.roster.named().as_slice() {
                [_, _, .., last] => Owner::One(*last),
                _ => Owner::Nobody,
            },
            Means::FirstTwo => match self.roster.named().as_slice() {
                [first, second, _, ..] => Owner::Two(*first, *second),
                [_, _] => Owner::All,
                _ => Owner::Nobody,
            },
            Means::Others => {
                let named = self.roster.named();
                let rest: Vec<usize> = named
                    .iter()
                    .copied()
                    .filter(|entry| current != Owner::One(*entry))
                    .collect();
                match (current, rest.as_slice()) {
                    (Owner::One(_), [other]) => Owner::One(*other),
                    (Owner::One(_), [first, second]) => Owner::Two(*first, *second),
                    _ => Owner::Nobody,
                }
            }
            // Of three and more “the first” is the first of all, not of the last two.
            Means::Former | Means::Latter
                if ordinal(mention.span.of(self.sheet.flow.text()))
                    .is_some_and(|place| place < self.roster.named().len())
                    && self.roster.named().len() >= 3 =>
            {
                let place = ordinal(mention.span.of(self.sheet.flow.text())).unwrap_or_default();
                self.roster
                    .named()
                    .get(place)
                    .map_or(Owner::Nobody, |entry| Owner::One(*entry))
            }
            Means::Former => match last_two.as_slice() {
                [first, _] => Owner::One(*first),
                [] => Owner::One(self.roster.add("the first", true)),
                _ => Owner::Nobody,
            },
            Means::Latter => match last_two.as_slice() {
                [_, second] => Owner::One(*second),
                [_] => Owner::One(self.roster.add("the second", true)),
                _ => Owner::Nobody,
            },
            Means::Other => match (current, last_two.as_slice()) {
                (Owner::One(current), [first, second]) if *first == current => Owner::One(*second),
                (Owner::One(current), [first, second]) if *second == current => Owner::One(*first),
                (Owner::One(_), [_]) if self.roster.entries.len() == 1 => {
                    Owner::One(self.roster.add("the other", true))
                }
                (Owner::One(current), _) if self.roster.entries.len() == 2 => {
                    Owner::One(1 - current.min(1))
                }
                _ => Owner::Nobody,
            },
            Means::Ours => match self.roster.named().as_slice() {
                [] => Owner::One(self.roster.add("ours", true)),
                // "The thin one" and "the thick one" may both be ours.
                named if self.all_described(named) => Owner::Nobody,
                [_] if self.ours_apart => Owner::One(self.roster.add("ours", true)),
                [first, ..] => Owner::One(*first),
            },
            Means::Theirs => {
                // "Ordinary bell wire" is nobody's product; "theirs" can be the second of two that are named.
                let words = mention.span.of(self.sheet.flow.text()).to_lowercase();
                let nameless = self.terms.lists.side_nameless.within(&words);
                match self.roster.named().as_slice() {
                    named if !nameless && self.all_described(named) => Owner::Nobody,
                    [_, second] if !nameless => Owner::One(*second),
                    [_, _, ..] if !nameless => Owner::Nobody,
                    _ => {
                        let rival = self.roster.add("the rival", true);
                        self.roster.entries[rival].nameless |= nameless;
                        Owner::One(rival)
                    }
                }
            }
        }
    }

    /// Whether “each” is each conductor of what is spoken of: “two legs per pole, 14 AWG copper each”.
    fn of_legs(&self, words: Span) -> bool {
        const AHEAD: usize = 60;
        let text = self.sheet.flow.text();
        let behind = text.get(words.end()..).unwrap_or("");
        if words.of(text) != "each" || !behind.starts_with(['.', ',', ';', ')']) {
            return false;
        }
        let ahead = text.get(..words.start()).unwrap_or("");
        let ahead = &ahead[ahead.ceil_char_boundary(ahead.len().saturating_sub(AHEAD))..];
        let last = ahead.rsplit(['.', '!', '?', ';']).next().unwrap_or("");
        let nouns = self.terms.lists.count_noun;
        let mut said = last.split(|letter: char| !letter.is_alphanumeric());
        !last.contains(" and ")
            && !last.contains("both ")
            && said.any(|word| word.ends_with('s') && nouns.has(word) && !word.starts_with("wire"))
    }

    /// Whether words for all can mean all of one: “silver throughout”, “the pair was 3 m”.
    fn of_one(&self, words: Span) -> bool {
        const PARTS: usize = 120;
        let text = self.sheet.flow.text();
        let said = words.of(text).to_lowercase();
        let after = text.get(words.end()..).unwrap_or("").trim_start();
        let next = after.split(|letter: char| !letter.is_alphabetic()).next();
        // "One wire out, one wire back. Each is a solid rod": each of its conductors.
        let ahead = text.get(..words.start()).unwrap_or("");
        let ahead = &ahead[ahead.ceil_char_boundary(ahead.len().saturating_sub(PARTS))..];
        let parts = said == "each" && {
            let nouns = self.terms.lists.count_noun;
            let ended = ahead.trim_end().ends_with(['.', ';', ':']);
            let last = ahead
                .trim_end_matches(|sign: char| !sign.is_alphanumeric())
                .rsplit(['.', '!', '?'])
                .next()
                .unwrap_or("");
            let mut words = last.split(|letter: char| !letter.is_alphanumeric());
            // A wire may be a cable; one that goes out and another that comes back are its conductors.
            ended
                && (last.contains("wire out")
                    || words.any(|word| nouns.has(word) && !word.starts_with("wire")))
        };
        parts
            || said == "throughout"
            || (said == "the pair" && !matches!(next, Some("were" | "are" | "have")))
    }

    /// Whether these are two cables and more that have no names but “the thin one” and “the thick one”.
    fn all_described(&self, named: &[usize]) -> bool {
        let described = |&entry: &usize| self.roster.entries[entry].name.starts_with("the ");
        named.len() >= 2 && named.iter().all(described)
    }

    /// Whether what is “our own” stands against the one cable with a name: “thirty-four for the Fathom and six for our own”.
    pub(super) fn own_is_another(&self) -> bool {
        const APART: usize = 60;
        const OWN: [&str; 5] = ["ours", "mine", "our own", "my own", "'s own"];
        const BETWEEN: [&str; 8] = [
            " and ",
            " against ",
            " than ",
            " beat ",
            " beats ",
            " to ",
            " with ",
            " versus ",
        ];
        let named = self.roster.named();
        let [own] = named.as_slice() else {
            return false;
        };
        (0..self.sheet.sentences.len()).any(|sentence| {
            if !self.hits.say(sentence, self.terms.ours) {
                return false;
            }
            let mentions = self
                .roster
                .mentions(self.sheet, self.hits, &self.terms, sentence);
            mentions.windows(2).any(|pair| {
                let ours = |mention: &Mention| {
                    let words = mention.span.of(self.text()).to_lowercase();
                    mention.means == Means::Ours && OWN.iter().any(|own| words.ends_with(own))
                };
                let named = |mention: &Mention| mention.means == Means::Entry(*own);
                let opposed =
                    ours(&pair[0]) && named(&pair[1]) || named(&pair[0]) && ours(&pair[1]);
                let start = pair[0].span.end();
                let between = Span::new(start, pair[1].span.start().max(start));
                let words = between.of(self.text());
                opposed && between.len() <= APART && BETWEEN.iter().any(|sign| words.contains(sign))
            })
        })
    }
}

/// Which of several an ordinal means, counted from nought.
fn ordinal(words: &str) -> Option<usize> {
    let words = words.to_lowercase();
    if words.starts_with("the first") {
        Some(0)
    } else if words.starts_with("the second") {
        Some(1)
    } else {
        None
    }
}
