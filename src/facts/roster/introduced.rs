//! Names that are told by what is said right behind them: “Tarn is a flat twin. Beck is a loose twist.”, and names that only a
//! number keeps apart: “Twin 12” and “Twin 10”. Knows the words behind a name.

use super::Roster;
use crate::facts::terms::Terms;
use crate::lexicon::{Of, Token};
use crate::sheet::Sheet;
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// Names that begin sentences which say what kind of cable they are.
#[derive(Debug, Default)]
pub(super) struct Introduced {
    /// Names by block, and whether a word for a cable or its build says of what kind it is.
    found: Vec<(usize, String, bool)>,
}

impl Introduced {
    /// Keeps a name that ends before token `at`, when a verb and an article stand behind it.
    pub(super) fn see(
        &mut self,
        text: &str,
        terms: &Terms<'_>,
        (block, name): (usize, &str),
        (tokens, at): (&[Token], usize),
        hits: Of<'_>,
        sizes: &[(usize, Span)],
    ) {
        /// Words behind the article in which the kind is named.
        const REACH: usize = 5;
        /// Bytes behind the article in which a size is told.
        const SIZED: usize = 32;
        const MOST: usize = 60;
        let word = |at: usize| tokens.get(at).map_or("", |token| token.span.of(text));
        let said = matches!(word(at), "is" | "was" | "has" | "had")
            && matches!(word(at + 1), "a" | "an" | "the" | "our" | "their");
        if !said || self.found.len() > MOST {
            return;
        }
        let kinds = [
            terms.cable,
            terms.side_noun,
            terms.solid,
            terms.stranded,
            terms.insulated_strands,
            terms.foil,
            terms.geometry,
        ];
        let kind = hits.iter().find(|hit| {
            kinds.contains(&hit.concept) && hit.first > at + 1 && hit.first <= at + 1 + REACH
        });
        if let Some(kind) = kind {
            let sure = kind.concept != terms.side_noun;
            self.found.push((block, name.to_owned(), sure));
            return;
        }
        // "Fen is the budget line, 12 AWG too".
        let end = tokens.get(at + 1).map_or(0, |article| article.span.end());
        let sized = |&(_, size): &(usize, Span)| size.start() >= end && size.start() <= end + SIZED;
        if sizes.iter().any(sized) {
            self.found.push((block, name.to_owned(), false));
        }
    }

    /// The names of which a block introduces two and more; of one at least a word for a cable says what it is.
    pub(super) fn names(self) -> Vec<String> {
        let mut of: FxHashMap<usize, (FxHashSet<&str>, bool)> = FxHashMap::default();
        for (block, name, sure) in &self.found {
            let (names, any) = of.entry(*block).or_default();
            names.insert(name);
            *any |= sure;
        }
        let mut seen = FxHashSet::default();
        (self.found.iter())
            .filter(|(block, ..)| {
                of.get(block)
                    .is_some_and(|(names, any)| *any && names.len() >= 2)
            })
            .map(|(_, name, _)| name.clone())
            .filter(|name| seen.insert(name.clone()))
            .collect()
    }
}

/// Numbers right behind a name, by name, each with the sign before it.
#[derive(Debug, Default)]
pub(super) struct Numbered(FxHashMap<String, Vec<String>>);

impl Numbered {
    /// Keeps the number that stands behind a name which ends before `next`, unless it is a value of its own, where a size is told in
    /// the same sentence.
    pub(super) fn see(
        &mut self,
        sheet: &Sheet,
        name: (&str, Span),
        next: Option<&Token>,
        sizes: &[(usize, Span)],
    ) {
        const DIGITS: usize = 4;
        let text = sheet.flow.text();
        let Some(number) = next.map(|next| next.span) else {
            return;
        };
        let digits = number.of(text);
        let sign = Span::new(name.1.end(), number.start().max(name.1.end())).of(text);
        // "Lumen-2" is no value of anything.
        let beside = (sign == " " && !sizes.is_empty() || sign == "-" && name.0.len() > 2)
            && digits.len() <= DIGITS
            && digits.bytes().all(|digit| digit.is_ascii_digit());
        if !beside {
            return;
        }
        let at = sheet
            .quantities
            .partition_point(|quantity| quantity.span.end() <= number.start());
        let value = sheet
            .quantities
            .get(at)
            .is_some_and(|quantity| quantity.span.start() < number.end());
        let known = self.0.entry(name.0.to_owned()).or_default();
        let told = |known: &String| known.trim_start_matches([' ', '-']) == digits;
        if !value && !known.iter().any(told) {
            known.push(format!("{sign}{digits}"));
        }
    }

    /// The numbers that keep apart what is called `name`, where there are two and more.
    pub(super) fn of(&self, name: &str) -> &[String] {
        self.0
            .get(name)
            .filter(|numbers| numbers.len() >= 2)
            .map_or(&[], Vec::as_slice)
    }
}

impl Roster {
    /// Adds what only a number keeps apart: “Hollowmere Twin 12” is called “Twin 12” as well.
    pub(super) fn add_numbered(&mut self, name: &str, numbers: &[String]) {
        for number in numbers {
            let place = self.add(&format!("{name}{number}"), false);
            if let Some((_, last)) = name.rsplit_once(' ') {
                self.alias_unless_shared(place, &format!("{}{number}", last.to_lowercase()));
            }
        }
    }
}
