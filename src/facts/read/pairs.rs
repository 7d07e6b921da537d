//! Two cables that a passage has just named, so that “the former”, “the other” and “both” mean them. Knows the mentions that the walk
//! has resolved so far, and no words.

use super::Reader;
use crate::facts::roles::Role;
use crate::facts::roster::{Means, Mention};

impl Reader<'_> {
    /// Whether the words stand for one of two cables that this paragraph has named shortly before:
    /// "Sample A is 12 AWG and sample B 16 AWG. The former is silver, the latter copper."
    pub(super) fn two_just_named(
        &self,
        sentence: usize,
        mentions: &[Mention],
        last_two: &[usize],
    ) -> bool {
        const FEW: usize = 16;
        // "A is 3 m long, the others 5 m."
        if let Some((mention, before)) = mentions.split_last()
            && mention.means == Means::Others
        {
            let mut before = before.iter().rev().take(FEW);
            return before.any(|other| matches!(other.means, Means::Entry(_) | Means::Former));
        }
        let (&[first, second], Some((mention, before))) = (last_two, mentions.split_last()) else {
            return false;
        };
        if !matches!(mention.means, Means::Former | Means::Latter | Means::Other) {
            return false;
        }
        let names = |entry: usize| {
            let mut own = before.iter().rev().take(FEW);
            own.any(|other| other.means == Means::Entry(entry)) || self.just_named(sentence, entry)
        };
        names(first) && names(second)
    }

    /// “Two leads hang there. The former is silver, the latter copper”: where nothing has a name, those are what the two are called.
    pub(super) fn former_and_latter(&mut self) {
        let terms = self.terms;
        if !self.roster.entries.is_empty() {
            return;
        }
        if let Some(last) = self.ranked() {
            for name in ["the first", "the second", last] {
                self.roster.add(name, false);
            }
            return;
        }
        let metals = [terms.copper, terms.silver, terms.aluminium, terms.cca];
        let told = (0..self.sheet.sentences.len()).any(|at| {
            let says = |concept| self.hits.say(at, concept);
            let measured = || {
                let own = self.in_sentence(at);
                own.filter(|&index| matches!(self.roles[index], Role::Size | Role::Run))
                    .count()
            };
            says(terms.former)
                && says(terms.latter)
                && (self.hits.saying_any(at, &metals).count() >= 2 || measured() >= 2)
        });
        if told {
            self.roster.add("the former", false);
            self.roster.add("the latter", false);
        }
    }

    /// “The first is 12 AWG, the second 14 and the last 16”: three that have no names, of which a size or a length each is told in one
    /// sentence or in sentences that follow one another; what the third of them is called.
    fn ranked(&self) -> Option<&'static str> {
        const FOLLOWING: usize = 3;
        let terms = self.terms;
        let sentences = &self.sheet.sentences;
        let all = 0..sentences.len();
        all.filter(|&at| self.hits.say(at, terms.former))
            .find_map(|at| {
                let block = sentences[at].block();
                let beside = (at..sentences.len())
                    .take(FOLLOWING)
                    .take_while(|&other| sentences[other].block() == block);
                let told = |concept| {
                    let mut beside = beside.clone();
                    beside.find(|&other| self.hits.say(other, concept))
                };
                let (_, end, name) = [(terms.third, "the third"), (terms.last, "the last")]
                    .into_iter()
                    .find_map(|(concept, name)| Some((concept, told(concept)?, name)))?;
                told(terms.latter).filter(|&second| second <= end)?;
                let amounts = |wanted: &dyn Fn(Role) -> bool| {
                    let own = beside.clone().take_while(|&other| other <= end);
                    own.flat_map(|other| self.in_sentence(other))
                        .filter(|&index| wanted(self.roles[index]))
                        .count()
                };
                let measured = amounts(&|role| role == Role::Size) >= 3
                    || amounts(&|role| role == Role::Run) >= 3;
                measured.then_some(name)
            })
    }

    /// Whether a document of two cables has named them in a sentence or right before it: "Both, the Rill and the Beck, are 12 AWG".
    pub(super) fn both_named(&self, sentence: usize) -> bool {
        const FEW: usize = 16;
        let named = |entry: usize| {
            let mut own = self.resolved.of(sentence).iter().take(FEW);
            own.any(|(_, owner)| owner.includes(entry)) || self.just_named(sentence, entry)
        };
        self.roster.entries.len() <= FEW
            && matches!(self.roster.named().as_slice(), &[one, two] if named(one) && named(two))
    }

    /// Whether one of the last sentences of the same block has named an entry.
    fn just_named(&self, sentence: usize, entry: usize) -> bool {
        const BACK: usize = 3;
        const FEW: usize = 16;
        let block = self.sheet.sentences[sentence].block();
        (sentence.saturating_sub(BACK)..sentence)
            .filter(|&before| self.sheet.sentences[before].block() == block)
            .filter_map(|before| self.resolved.get(before))
            .any(|before| (before.iter().take(FEW)).any(|(_, owner)| owner.includes(entry)))
    }
}
