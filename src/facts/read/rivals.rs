//! What the walk left to nobody in a test: the size or the length that contradicts the one cable with a name, or that only the
//! other side can have. Knows owners, and makes no fact.

use super::{Owner, Reader, follows, ratio};
use crate::facts::kept::Mentions;
use crate::facts::roles::Role;
use crate::sheet::BlockKind;
use crate::span::Span;
use rustc_hash::FxHashSet;

impl Reader<'_> {
    /// One cable has a name, and beside it a cable without one is told of in a swap or a test: what is told of the one and of the
    /// other and does not agree belongs to two cables.
    pub(super) fn conflict(&mut self) {
        const NEAR: usize = 3;
        let terms = self.terms;
        let (&[own], true) = (self.roster.named().as_slice(), self.lines.is_empty()) else {
            return;
        };
        if self
            .roster
            .entries
            .iter()
            .any(|entry| entry.nameless && !entry.merged)
        {
            return;
        }
        let prose = |at: usize| {
            !matches!(
                self.sheet.blocks[self.sheet.sentences[at].block()].kind(),
                BlockKind::Heading { .. } | BlockKind::Cell { .. }
            )
        };
        let told = (0..self.sheet.sentences.len()).any(|at| {
            prose(at) && (self.hits.say(at, terms.strong) || self.hits.say(at, terms.attributed))
        });
        if !told {
            return;
        }
        let tells = |at: usize| {
            self.resolved
                .of(at)
                .iter()
                .any(|(_, owner)| owner == Owner::One(own))
        };
        let apart = |role: Role, a: usize, b: usize| {
            let limit = if role == Role::Size { 1.12 } else { 1.05 };
            ratio(self.sheet.quantities[a].si(), self.sheet.quantities[b].si()) > limit
        };
        let fits = |index: usize| {
            matches!(self.roles[index], Role::Run | Role::Size | Role::Power)
                && self.sheet.quantities[index].range.is_none()
        };
        let found = (0..self.sheet.sentences.len()).find_map(|at| {
            let cable = self.hits.saying(at, terms.cable).next()?;
            let swapped =
                (at.saturating_sub(1)..=at).any(|near| self.hits.say(near, terms.swapped));
            let offered = self.hits.say(at, terms.offer) || self.hits.say(at, terms.conditional);
            if !prose(at) || tells(at) || !swapped || offered {
                return None;
            }
            let first = at.saturating_sub(NEAR);
            let last = (at + NEAR).min(self.sheet.sentences.len() - 1);
            let conflict = self
                .in_sentence(at)
                .filter(|&index| fits(index))
                .filter(|&index| {
                    // "Ten metres of old flex", and no mark that stands every half metre.
                    let span = self.sheet.quantities[index].span;
                    let between = if span.end() <= cable.span.start() {
                        Span::new(span.end(), cable.span.start())
                    } else {
                        Span::new(cable.span.end().min(span.start()), span.start())
                    };
                    between.len() <= 90
                        && crate::facts::context::borders(between.of(self.text())) <= 2
                        && !follows(self.text(), span, &["every ", "each ", "per "])
                })
                .any(|index| {
                    (first..=last)
                        .filter(|&near| near != at && prose(near) && tells(near))
                        .filter(|&near| !self.hits.say(near, terms.offer))
                        .flat_map(|near| self.in_sentence(near))
                        .any(|other| {
                            self.roles[other] == self.roles[index]
                                && fits(other)
                                && apart(self.roles[index], index, other)
                        })
                });
            conflict.then_some((at, cable.span))
        });
        let Some((at, span)) = found else { return };
        let rival = self.roster.add("the rival", true);
        self.roster.entries[rival].nameless = true;
        self.resolved.add(at, span, Owner::One(rival));
        for index in self.in_sentence(at) {
            self.owners.set(index, Owner::One(rival));
        }
        self.comparative = true;
    }

    /// Of two sides one has a size (or a length) of its own, and another size is told beside it of nobody: it is the other's.
    pub(super) fn complement(&mut self) {
        const NEAR: usize = 4;
        if !self.comparative || !self.lines.is_empty() {
            return;
        }
        let meant = self.resolved.iter().flat_map(Mentions::iter);
        let meant: FxHashSet<usize> = meant
            .filter_map(|(_, owner)| match owner {
                Owner::One(entry) => Some(entry),
                _ => None,
            })
            .collect();
        let sides: Vec<usize> = (0..self.roster.entries.len())
            .filter(|&entry| !self.roster.entries[entry].merged)
            .filter(|entry| meant.contains(entry))
            .collect();
        // Of more nobody can tell whose it is.
        if sides.len() > 2 {
            return;
        }
        for role in [Role::Size, Role::Run] {
            let of = |owner: Owner| -> Vec<usize> {
                (0..self.sheet.quantities.len())
                    .filter(|&index| self.roles[index] == role && self.owners.at(index) == owner)
                    .filter(|&index| self.sheet.quantities[index].range.is_none())
                    .collect()
            };
            let lost = of(Owner::Nobody);
            let Some(&first) = lost.first() else { continue };
            let alike = |a: usize, b: usize| {
                ratio(self.sheet.quantities[a].si(), self.sheet.quantities[b].si()) < 1.01
            };
            if !lost.iter().all(|&index| alike(index, first)) || !of(Owner::All).is_empty() {
                continue;
            }
            let known: Vec<(usize, Vec<usize>)> = sides
                .iter()
                .map(|&side| (side, of(Owner::One(side))))
                .filter(|(_, own)| !own.is_empty())
                .collect();
            let [(owner, own)] = known.as_slice() else {
                continue;
            };
            let near = own
                .iter()
                .any(|&index| self.sentence_of(index).abs_diff(self.sentence_of(first)) <= NEAR);
            if !near {
                continue;
            }
            let other = match sides.as_slice() {
                [one] if self.roster.entries[*one].role => {
                    let name = if self.roster.entries[*one].name == "ours" {
                        "the rival"
                    } else {
                        "ours"
                    };
                    self.roster.add(name, true)
                }
                [first, second] => first + second - owner,
                _ => continue,
            };
            for index in lost {
                let sentence = self.sentence_of(index);
                for beside in self.in_sentence(sentence) {
                    let whole = self.roles[beside] == Role::CombinedSize
                        && self.owners.at(beside) == Owner::Nobody;
                    if beside == index || whole {
                        self.owners.set(beside, Owner::One(other));
                    }
                }
                let span = self.sheet.quantities[index].span;
                self.resolved.add(sentence, span, Owner::One(other));
            }
        }
    }
}
