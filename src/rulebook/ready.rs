//! What can be settled of a rule before it is needed: its words tidied, and the concepts of its alternatives by number. For the
//! built-in rules the build does it, for a house's own the program.

use super::raw;
use crate::lexicon::{ConceptId, Lexicon};
use crate::pack::{Pack, Reader, Row, Writer};
use std::borrow::Cow;

/// Concepts by number in the lexicon, one of which must be there.
pub type AnyOf = Vec<ConceptId>;

/// The concepts of one alternative.
#[derive(Debug, Default)]
pub(crate) struct Concepts {
    pub(crate) all: Vec<AnyOf>,
    pub(crate) unless: AnyOf,
    pub(crate) unless_near: AnyOf,
    pub(crate) unless_clause: AnyOf,
    pub(crate) unless_document: AnyOf,
    pub(crate) absent: AnyOf,
}

impl Pack for Concepts {
    fn pack(&self, out: &mut Writer) {
        out.length(self.all.len());
        let silent = [
            &self.unless,
            &self.unless_near,
            &self.unless_clause,
            &self.unless_document,
            &self.absent,
        ];
        for ids in self.all.iter().chain(silent) {
            let row: Vec<[u8; 2]> = ids.iter().map(|id| id.0.to_le_bytes()).collect();
            Row::<2>::Owned(row).pack(out);
        }
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        let all = from.length()?;
        let mut ids = || {
            let row = Row::<2>::unpack(from)?;
            let ids = row.iter().map(|&id| ConceptId(u16::from_le_bytes(id)));
            Some(ids.collect())
        };
        Some(Self {
            all: (0..all).map(|_| ids()).collect::<Option<_>>()?,
            unless: ids()?,
            unless_near: ids()?,
            unless_clause: ids()?,
            unless_document: ids()?,
            absent: ids()?,
        })
    }
}

impl Concepts {
    /// The concepts of an alternative of `rule`; `missing` is told of names that the lexicon does not know.
    pub(crate) fn of(
        alternative: &raw::Alternative,
        rule: &raw::Rule,
        lexicon: &Lexicon,
        mut missing: impl FnMut(&str),
    ) -> Self {
        let mut numbers = |names: &mut dyn Iterator<Item = &str>| -> AnyOf {
            let mut ids = AnyOf::new();
            for name in names {
                match lexicon.id(name) {
                    Some(id) => ids.push(id),
                    None => missing(name),
                }
            }
            ids.sort_unstable();
            ids.dedup();
            ids
        };
        fn both<'n>(
            first: &'n [String],
            second: &'n [String],
        ) -> impl Iterator<Item = &'n str> + use<'n> {
            first.iter().chain(second).map(String::as_str)
        }
        Self {
            all: alternative
                .all
                .iter()
                .map(|names| numbers(&mut names.split('|').map(str::trim)))
                .collect(),
            unless: numbers(&mut both(&alternative.unless, &rule.unless)),
            unless_near: numbers(&mut both(&alternative.unless_near, &rule.unless_near)),
            unless_clause: numbers(&mut both(&alternative.unless_clause, &[])),
            unless_document: numbers(&mut both(
                &alternative.unless_document,
                &rule.unless_document,
            )),
            absent: numbers(&mut both(&rule.absent, &[])),
        }
    }
}

/// Puts single blanks for whatever parts the words of a rule.
pub(crate) fn tidy_words(rule: &mut raw::Rule) {
    for text in [
        &mut rule.title,
        &mut rule.says,
        &mut rule.physics,
        &mut rule.fair,
        &mut rule.evidence,
        &mut rule.help,
        &mut rule.message,
    ] {
        let tidied = text.split_whitespace().collect::<Vec<_>>().join(" ");
        *text = Cow::Owned(tidied);
    }
}
