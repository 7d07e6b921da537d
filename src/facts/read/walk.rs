//! The walk in reading order: which cable each mention means, and whose each quantity is. Knows the sentences up to the one at
//! hand and none behind it; what takes the whole document is mended later, in the files beside this one.

use super::clause::{equalled, likened};
use super::{Owner, Reader, clause_at};
use crate::facts::kept::Mentions;
use crate::facts::roles::Role;
use crate::facts::roster::{Means, Mention};
use crate::facts::terms::Terms;
use crate::sheet::{BlockKind, Sheet};
use crate::span::Span;

impl Reader<'_> {
    /// Resolves mentions in reading order and gives each quantity an owner.
    pub(super) fn walk(&mut self) {
        self.resolved.reserve(self.sheet.sentences.len());
        let mut focus = Owner::Nobody;
        // What hangs on the left and on the right.
        let mut places: [Option<usize>; 2] = [None, None];
        let mut last_two: Vec<usize> = Vec::new();
        let mut block_before = usize::MAX;
        for index in 0..self.sheet.sentences.len() {
            let sentence = self.sheet.sentences[index];
            let block = &self.sheet.blocks[sentence.block()];
            let row = |block: usize| match self.sheet.blocks.get(block).map(|block| block.kind()) {
                Some(BlockKind::Cell { table, row, .. }) => Some((table, row)),
                _ => None,
            };
            let same_row =
                row(sentence.block()).is_some() && row(sentence.block()) == row(block_before);
            if sentence.block() != block_before
                && !same_row
                && !stepped(&self.terms, self.sheet, sentence.block())
            {
                focus = match self.record_at.get(sentence.block()) {
                    Some(entry) => Owner::One(entry),
                    None => match self.focus_of_section(block.section()) {
                        Owner::Nobody => match self.focus_of_number(sentence.block()) {
                            Owner::Nobody => {
                                self.focus_of_section(self.sheet.hangs_under(sentence.block()))
                            }
                            owner => owner,
                        },
                        owner => owner,
                    },
                };
            }
            block_before = sentence.block();
            self.focus.push(focus);
            let line = self.line_entry(sentence.block());
            if let Some(entry) = line.filter(|&entry| !self.speaks_of_another(index, entry)) {
                self.resolved.push_whole(Owner::One(entry));
                for quantity in self.in_sentence(index) {
                    let labelled = self.labelled(index, quantity);
                    self.owners
                        .set(quantity, labelled.unwrap_or(Owner::One(entry)));
                }
                remember(&mut last_two, entry);
                continue;
            }
            let mut mentions = self
                .roster
                .mentions(self.sheet, self.hits, &self.terms, index);
            // Few documents have such a pair, and to look for it is to read the sentence once more.
            if let Some(entry) = self.the_one
                && let Some(span) = self.one_of_two(index)
            {
                let means = Means::Entry(entry);
                // "Shop one lead" holds words for a rival as well.
                mentions.retain(|known| !known.span.overlaps(span));
                mentions.push(Mention { span, means });
                mentions.sort_by_key(|mention| mention.span.start());
            }
            let mut resolved: Vec<(Span, Owner)> = Vec::new();
            for (place, mention) in mentions.iter().enumerate() {
                if self.is_no_cable(index, mention)
                    || matches!(focus, Owner::One(_)) && equalled(self.text(), mention.span)
                {
                    continue;
                }
                let known = matches!(mention.means, Means::Entry(_) | Means::All)
                    || self.two_just_named(index, &mentions[..=place], &last_two);
                if !self.comparative && !known {
                    // "The former is silver, the latter copper": of two that nobody has named neither is told.
                    let paired = |means: Means| mentions.iter().any(|other| other.means == means);
                    if matches!(mention.means, Means::Former | Means::Latter)
                        && paired(Means::Former)
                        && paired(Means::Latter)
                    {
                        resolved.push((mention.span, Owner::Nobody));
                    }
                    continue;
                }
                // "The first, which we sell as Braidwater": the name right behind says which one it is.
                let named = mentions
                    .get(place + 1)
                    .filter(|next| next.span.start().saturating_sub(mention.span.end()) < 45)
                    .map(|next| next.means);
                // "In the other, the stock leads": a place with what stands in it.
                let placed = mentions.get(place + 1).filter(|next| {
                    matches!(next.means, Means::Entry(_) | Means::Theirs)
                        && beside(self.text(), mention.span, next.span)
                });
                let side = side_of(self.text(), mention);
                let bound = side.and_then(|side| {
                    let held = &mut places[side];
                    if held.is_none() {
                        let next = mentions[place + 1..]
                            .iter()
                            .take_while(|next| side_of(self.sheet.flow.text(), next).is_none())
                            .find(|next| matches!(next.means, Means::Entry(_) | Means::Theirs))
                            .filter(|next| {
                                next.span.start().saturating_sub(mention.span.end()) <= 60
                            })
                            .copied();
                        let before = mentions[..place]
                            .last()
                            .filter(|before| {
                                matches!(before.means, Means::Entry(_) | Means::Theirs)
                                    && side_of(self.sheet.flow.text(), before).is_none()
                                    && mention.span.start().saturating_sub(before.span.end()) <= 12
                            })
                            .copied();
                        if let Some(found) = before.or(next) {
                            *held = match self.resolve(&found, &mut last_two, focus, &resolved) {
                                Owner::One(entry) => Some(entry),
                                _ => None,
                            };
                        }
                    }
                    places[side]
                });
                // "One is 3 m long, the other 5 m": of two with names nobody can tell which is which.
                if mention.means == Means::Other
                    && last_two.len() == 2
                    && let Some(one) = self.one_of_two(index)
                    && one.end() <= mention.span.start()
                {
                    resolved.push((one, Owner::Nobody));
                    resolved.push((mention.span, Owner::Nobody));
                    continue;
                }
                let owner = match (mention.means, named) {
                    _ if bound.is_some() => bound.map_or(Owner::Nobody, Owner::One),
                    (Means::Former | Means::Latter, Some(Means::Entry(entry)))
                        if last_two.len() < 2 =>
                    {
                        Owner::One(entry)
                    }
                    (Means::Other | Means::Former | Means::Latter, _) if placed.is_some() => {
                        continue;
                    }
                    _ => self.resolve(mention, &mut last_two, focus, &resolved),
                };
                // "Both came 5 m long", under a heading that names two: those.
                let owner = match owner {
                    Owner::All => self.two_of_section(block.section()).unwrap_or(owner),
                    owner => owner,
                };
                if let Owner::One(entry) = owner {
                    remember(&mut last_two, entry);
                }
                if owner != Owner::Nobody {
                    resolved.push((mention.span, owner));
                }
            }
            // "Of the first and second there were two metres each."
            for place in 1..resolved.len() {
                let ((first, a), (second, b)) = (resolved[place - 1], resolved[place]);
                if let (Owner::One(a), Owner::One(b)) = (a, b)
                    && a != b
                    && first.end() <= second.start()
                    && matches!(
                        Span::new(first.end(), second.start())
                            .of(self.text())
                            .trim(),
                        "and" | "&" | "and the"
                    )
                {
                    resolved[place].1 = Owner::Two(a, b);
                }
            }
            self.leave_out(index, &mut resolved);
            self.leave_likeness(index, &mut resolved, focus);
            self.resolved.push(resolved);
            let spoken_of = if self.of_somebody(index) {
                Owner::Nobody
            } else {
                self.set_off(index, &mentions, &last_two, focus)
            };
            for quantity in self.in_sentence(index) {
                let span = self.sheet.quantities[quantity].span;
                let owner = self.owner(index, span, spoken_of);
                let size = matches!(
                    self.roles[quantity],
                    Role::Size | Role::CombinedSize | Role::SolidDiameter
                );
                let owner = self.labelled(index, quantity).unwrap_or(owner);
                let unclear = owner == Owner::All
                    && size
                    && !self.comparative
                    && !self.both_named(index)
                    && !self.shared.leaves_out(index);
                let unclear = unclear || self.of_an_extreme(index, span);
                self.owners
                    .set(quantity, if unclear { Owner::Nobody } else { owner });
            }
            self.respectively(index);
            if let Some((_, owner)) = self.resolved.of(index).iter().rev().find(|(words, owner)| {
                let kept = matches!(focus, Owner::One(_)) && likened(self.text(), *words);
                matches!(owner, Owner::One(_)) && !kept
            }) {
                focus = owner;
            } else if matches!(focus, Owner::One(_))
                && self
                    .resolved
                    .of(index)
                    .iter()
                    .any(|(words, _)| likened(self.text(), words))
            {
                // It goes on about the one that was held against another.
            } else if let Some((_, owner)) = self.resolved.of(index).iter().next_back() {
                focus = owner;
            }
        }
    }

    /// Whom the beginning of a sentence speaks of: “it was 4 mm²; theirs was 0.75 mm²” sets it off against theirs, though theirs was named
    /// last.
    fn set_off(
        &self,
        sentence: usize,
        mentions: &[Mention],
        last_two: &[usize],
        focus: Owner,
    ) -> Owner {
        let (Some(first), Owner::One(current)) = (mentions.first(), focus) else {
            return focus;
        };
        let theirs = first.means == Means::Theirs
            && (self.resolved.of(sentence).iter())
                .any(|(span, owner)| span == first.span && owner == Owner::One(current));
        match last_two {
            _ if !theirs => focus,
            [one, other] if *one == current => Owner::One(*other),
            [other, one] if *one == current => Owner::One(*other),
            _ => Owner::Nobody,
        }
    }

    /// Whether a field of a record speaks of another cable than that of the record: "Notes: stiffer than the Larch".
    fn speaks_of_another(&self, sentence: usize, entry: usize) -> bool {
        let block = self.sheet.sentences[sentence].block();
        self.record_at.get(block).is_some()
            && self
                .roster
                .mentions(self.sheet, self.hits, &self.terms, sentence)
                .iter()
                .any(|mention| matches!(mention.means, Means::Entry(other) if other != entry))
    }

    /// Whose a value is that has a label of its own in a cell or a field: "7.98 Ω/km (LS 0252: 8.21 Ω/km)". A label that names
    /// no cable leaves it to nobody.
    fn labelled(&self, sentence: usize, quantity: usize) -> Option<Owner> {
        const LONGEST: usize = 24;
        let sheet = self.sheet;
        let block = &sheet.blocks[sheet.sentences[sentence].block()];
        if !matches!(block.kind(), BlockKind::Cell { .. } | BlockKind::Field) {
            return None;
        }
        let own = &sheet.quantities[quantity];
        let whole = sheet.sentences[sentence].span;
        // Beside another of its kind, or else the label may be what the value is of.
        let first = self
            .in_sentence(sentence)
            .find(|&other| sheet.quantities[other].kind == own.kind)?;
        if first == quantity {
            return None;
        }
        let ahead = Span::new(whole.start(), own.span.start())
            .of(self.text())
            .trim_end();
        let ahead = ahead.strip_suffix(':')?;
        let start = ahead.rfind(['(', ';', ','])? + 1;
        let label = ahead.get(start..)?.trim();
        let marked = label.contains(|letter: char| letter.is_uppercase());
        if label.is_empty() || label.len() > LONGEST || !marked {
            return None;
        }
        let span = Span::new(whole.start() + start, whole.start() + ahead.len());
        let named = self.roster.called(&self.terms, self.text(), span);
        Some(match named.as_slice() {
            [
                Mention {
                    means: Means::Entry(entry),
                    ..
                },
            ] => Owner::One(*entry),
            _ => Owner::Nobody,
        })
    }

    /// "He plugged in his own, which gives 120 W": what is owned is an amplifier.
    fn is_no_cable(&self, sentence: usize, mention: &Mention) -> bool {
        const AFTER: usize = 36;
        let words = mention.span.of(self.text()).to_lowercase();
        // "Twenty watts, and every one of them warm": each of the watts.
        if words.ends_with("of them") {
            return self.in_sentence(sentence).any(|index| {
                let amount = self.sheet.quantities[index].span;
                amount.end() <= mention.span.start() && mention.span.start() - amount.end() <= 8
            });
        }
        // "The usual 5 m of 12 AWG": so long it is, and it stands against nothing.
        let measures = |index: usize| {
            let amount = &self.sheet.quantities[index];
            self.roles[index] == Role::Run && amount.span.start() == mention.span.end() + 1
        };
        if mention.means == Means::Theirs && self.in_sentence(sentence).any(measures) {
            return true;
        }
        if !words.ends_with("own") && words != "mine" {
            return false;
        }
        let near = |span: Span| {
            span.start() >= mention.span.end() && span.start() - mention.span.end() <= AFTER
        };
        self.in_sentence(sentence).any(|index| {
            self.roles[index] == Role::Power && near(self.sheet.quantities[index].span)
        }) || self.hits.of(sentence).iter().any(|hit| {
            [self.terms.amplifier, self.terms.supply, self.terms.speaker].contains(&hit.concept)
                && near(hit.span)
                && hit.span.start() - mention.span.end() <= 24
        })
    }

    /// The entry that the heading of a section, or the paragraph that a field hangs under, names, if it names just one.
    fn focus_of_section(&self, section: Option<usize>) -> Owner {
        let Some(block) = section.and_then(|section| self.sheet.blocks.get(section)) else {
            return Owner::Nobody;
        };
        let mut named = block
            .sentences()
            .filter_map(|sentence| self.resolved.get(sentence))
            .flat_map(Mentions::iter);
        match (named.next(), named.next()) {
            (Some((_, owner)), None) => owner,
            // "SPECIMEN A (as bought)": what stands in brackets says more of it.
            (Some((words, owner)), Some(_)) if words.start() == block.span.start() => {
                let behind = Span::new(words.end(), block.span.end())
                    .of(self.text())
                    .trim();
                let inner = behind
                    .strip_prefix('(')
                    .and_then(|inner| inner.strip_suffix(')'));
                if inner.is_some_and(|inner| !inner.contains(['(', ')'])) {
                    owner
                } else {
                    Owner::Nobody
                }
            }
            _ => Owner::Nobody,
        }
    }

    /// The two entries that the heading of a section names, if it names just two.
    fn two_of_section(&self, section: Option<usize>) -> Option<Owner> {
        let block = self.sheet.blocks.get(section?)?;
        let mut named: Vec<usize> = Vec::new();
        let mentions = block
            .sentences()
            .filter_map(|sentence| self.resolved.get(sentence))
            .flat_map(Mentions::iter);
        for (_, owner) in mentions {
            match owner {
                Owner::One(entry) if !named.contains(&entry) => named.push(entry),
                Owner::One(_) => {}
                _ => return None,
            }
        }
        match named.as_slice() {
            [one, other] => Some(Owner::Two(*one, *other)),
            _ => None,
        }
    }

    /// The entry of the point to which a point of a numbered text belongs: `3. Object B` of `3.1 One conductor`.
    fn focus_of_number(&self, block: usize) -> Owner {
        /// Points below one point that are followed up.
        const POINTS: usize = 30;
        let number = |block: usize| {
            let words = self.sheet.blocks[block].span.of(self.text());
            let len = words
                .find(|sign: char| !sign.is_ascii_digit() && sign != '.')
                .unwrap_or(words.len());
            words.get(..len).unwrap_or("").trim_end_matches('.')
        };
        let Some((parent, _)) = number(block).rsplit_once('.') else {
            return Owner::Nobody;
        };
        let above = (block.saturating_sub(POINTS)..block)
            .rev()
            .find(|&at| number(at) == parent);
        let mut mentions = above
            .into_iter()
            .flat_map(|at| self.sheet.blocks[at].sentences())
            .filter_map(|sentence| self.resolved.get(sentence))
            .flat_map(Mentions::iter);
        mentions.next().map_or(Owner::Nobody, |(_, owner)| owner)
    }

    /// Whether another value stands right behind words for the same, and `span` tells of what it is a measure.
    fn held_already(&self, sentence: usize, words: Span, span: Span) -> bool {
        const NEAR: usize = 2;
        self.in_sentence(sentence).any(|index| {
            let other = self.sheet.quantities[index].span;
            other.start() >= words.end()
                && other.start() - words.end() <= NEAR
                && other.end() <= span.start()
                && Span::new(other.end(), span.start())
                    .of(self.text())
                    .trim_start()
                    .starts_with("of ")
        })
    }

    /// Whom the words at `span` of a sentence speak of.
    pub(in crate::facts) fn owner(&self, sentence: usize, span: Span, focus: Owner) -> Owner {
        let resolved = self.resolved.of(sentence);
        if resolved.is_empty() {
            return focus;
        }
        let text = self.text();
        let whole = self.sheet.sentences[sentence].span;
        let clause = clause_at(text, whole, span);
        let inside: Vec<(Span, Owner)> = resolved
            .iter()
            .filter(|(words, _)| clause.contains(*words))
            .collect();
        // A size right before a name belongs to it: "the 18 gauge zip cord".
        // "A 2 x 2.5 mm² B 2 x 2.5 mm²": each label stands right before its own.
        let right_before = inside.iter().any(|(words, owner)| {
            matches!(owner, Owner::One(_))
                && words.end() <= span.start()
                && span.start() - words.end() <= 2
        });
        let right_after = inside.iter().filter(|_| !right_before).find(|(words, _)| {
            words.start() >= span.end()
                && words.start() - span.end() <= 9
                && of_one_thing(&self.terms, Span::new(span.end(), words.start()).of(text))
        });
        // "The ordinary 2.5 mm² flex."
        if let Some((_, owner)) = resolved
            .iter()
            .find(|(words, _)| words.contains(span) && words.len() > span.len())
        {
            return owner;
        }
        // "Of the first and second there were two metres each" speaks of those two.
        let few = resolved
            .iter()
            .rev()
            .find(|(words, _)| words.end() <= span.start())
            .filter(|(_, owner)| matches!(owner, Owner::Two(..)));
        if let Some((_, owner)) = right_after {
            return match (owner, few) {
                (Owner::All, Some((_, few))) => few,
                _ => *owner,
            };
        }
        let before = inside
            .iter()
            .rev()
            .find(|(words, _)| words.end() <= span.start());
        if let Some((words, owner)) = before {
            // "It came on a drum and is all 10 m": one cable named before, and `all` says how long it is.
            let one = resolved.iter().find(|(other, owner)| {
                other.end() <= words.start() && matches!(owner, Owner::One(_))
            });
            return match (owner, one) {
                // "The same ten metres of 2 x 4 mm²": the length is the same, not the size.
                (Owner::All, _)
                    if same_thing(text, *words) && self.held_already(sentence, *words, span) =>
                {
                    Owner::Nobody
                }
                (Owner::All, Some((_, one))) if words.of(text).eq_ignore_ascii_case("all") => one,
                // "Lead one: a braid, all silver, 4 m": of the cable whose line it is.
                (Owner::All, None)
                    if matches!(focus, Owner::One(_)) && self.wholly(sentence, *words) =>
                {
                    focus
                }
                _ => *owner,
            };
        }
        // "A 10 W one on the same battery": what is the same is the battery.
        let after = inside
            .iter()
            .filter(|(words, owner)| {
                let held = *owner == Owner::All && same_thing(text, *words);
                let likened = follows(text, *words, &["like ", "than ", "unlike "]);
                !held && !likened
            })
            .find(|(words, _)| words.start() >= span.end());
        if let Some((_, owner)) = after {
            return *owner;
        }
        // "Same copper" speaks of no more than its own clause.
        let is_one = |owner: Owner| matches!(owner, Owner::One(_));
        let one = is_one(focus) || resolved.iter().any(|(_, owner)| is_one(owner));
        let of_one = |words: Span| same_thing(text, words) || one && self.wholly(sentence, words);
        if let Some((_, owner)) = resolved.iter().rev().find(|(words, owner)| {
            words.end() <= span.start() && !(*owner == Owner::All && of_one(*words))
        }) {
            return owner;
        }
        if focus != Owner::Nobody {
            return focus;
        }
        match resolved.iter().next() {
            Some((_, owner)) => owner,
            None => Owner::Nobody,
        }
    }
}

/// Whether a block belongs to a procedure in steps: what is fitted in one is measured in the next.
fn stepped(terms: &Terms<'_>, sheet: &Sheet, block: usize) -> bool {
    const REACH: usize = 2;
    (block.saturating_sub(REACH)..=block).any(|at| {
        sheet.blocks.get(at).is_some_and(|block| {
            let words = block.span.of(sheet.flow.text());
            words.split_once(' ').is_some_and(|(first, rest)| {
                rest.starts_with(|digit: char| digit.is_ascii_digit())
                    && terms.lists.procedure_step.has(&first.to_ascii_lowercase())
            })
        })
    })
}

/// Nought for words that mean what is on the left, one for what is on the right.
fn side_of(text: &str, mention: &Mention) -> Option<usize> {
    if !matches!(mention.means, Means::Ours | Means::Theirs) {
        return None;
    }
    let words = mention.span.of(text).to_lowercase();
    let says = |side: &str| words.split([' ', '-']).any(|word| word == side);
    if says("left") {
        Some(0)
    } else if says("right") {
        Some(1)
    } else {
        None
    }
}

/// Whether a mention stands right behind a place, with nothing but an article or a sign between.
pub(super) fn beside(text: &str, first: Span, second: Span) -> bool {
    const BETWEEN: &[&str] = &[
        "", ",", ":", "the", ", the", "our", ", our", "a", ", a", "was the", "is the", "was", "is",
    ];
    first.end() <= second.start()
        && BETWEEN.contains(&Span::new(first.end(), second.start()).of(text).trim())
}

/// Whether one of `words` stands right before a span.
pub(in crate::facts) fn follows(text: &str, span: Span, words: &[&str]) -> bool {
    let ahead = text.get(..span.start()).unwrap_or("");
    words.iter().any(|word| ahead.ends_with(word))
}

/// Whether words say of a thing that it is the same for all.
fn same_thing(text: &str, words: Span) -> bool {
    let words = words.of(text).to_lowercase();
    words.ends_with("same") || words == "identical"
}

/// Whether what stands between a size and a name lets it be the size of the thing named: "14 AWG copper Tansy".
fn of_one_thing(terms: &Terms<'_>, between: &str) -> bool {
    let between = between.trim();
    between.is_empty() || terms.lists.size_of_one.has(&between.to_lowercase())
}

fn remember(last_two: &mut Vec<usize>, entry: usize) {
    if last_two.contains(&entry) {
        return;
    }
    if last_two.len() == 2 {
        last_two.remove(0);
    }
    last_two.push(entry);
}
