//! What kind of telling it is before anybody is given anything: cables that only a word sets apart, sides of a test, lists of
//! sizes. Knows what the document says, and not yet whose it is.

use super::{Owner, Reader, ratio};
use crate::facts::roles::Role;
use crate::facts::terms::Terms;
use crate::facts::types::FigureKind;
use crate::facts::{comparison, described, roster, verdict};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use std::ops::Range;

/// Two sizes that are the same one.
pub(super) const ALIKE: f64 = 1.1;
/// Two sizes that are of two wires.
const ANOTHER: f64 = 1.3;

impl Reader<'_> {
    /// Cables that only a word sets apart become entries where two or more are set side by side.
    pub(super) fn describe(&mut self) {
        let told: Vec<(usize, Span, bool)> = (0..self.sheet.quantities.len())
            .filter(|&index| {
                matches!(
                    self.roles[index],
                    Role::Size
                        | Role::Run
                        | Role::Load
                        | Role::Power
                        | Role::Voltage
                        | Role::Level
                        | Role::Figure(_)
                )
            })
            .map(|index| {
                let span = self.sheet.quantities[index].span;
                (
                    self.sentence_of(index),
                    span,
                    self.roles[index] == Role::Size,
                )
            })
            .collect();
        let found = described::find(self.sheet, self.hits, &self.terms, &self.roster, &told);
        let named = self.roster.named().len();
        let plain = self.hits.anywhere(self.terms.theirs) || self.hits.anywhere(self.terms.other);
        let set_apart =
            found.len() >= 2 || (found.len() == 1 && (named == 1 || (named == 0 && plain)));
        // "The black lead is 2.5 mm², the white one 1.5 mm²" needs no test to be two.
        let compared = self.hits.anywhere(self.terms.strong)
            || (found.len() >= 2 && found.iter().all(|one| one.sized))
            // "The thin one" and "the thick one" are told apart by their very words.
            || [self.terms.lists.side_thin, self.terms.lists.side_thick]
                .iter()
                .all(|&list| found.iter().any(|one| one.is_called(list)));
        // "A grey flex with no print on it" is another than the two that have names.
        let beside = (2..=3).contains(&named) && found.len() == 1 && found[0].is_sure();
        if (beside || set_apart && named <= 1)
            && found.len() <= 4
            && compared
            && self.lines.is_empty()
        {
            described::adopt(&self.terms, &mut self.roster, &found);
        }
    }

    /// Whether an outcome is told in running text of cables that are set side by side.
    pub(super) fn is_comparative(&self) -> bool {
        let terms = self.terms;
        let prose = |sentence: usize| {
            let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
            !matches!(
                block.kind(),
                BlockKind::Heading { .. } | BlockKind::Cell { .. }
            )
        };
        let says = |sentence: usize, concept| {
            sentence < self.sheet.sentences.len()
                && self.hits.say(sentence, concept)
                && prose(sentence)
        };
        let all = 0..self.sheet.sentences.len();
        let any = |concept| {
            self.hits.anywhere(concept) && all.clone().any(|sentence| says(sentence, concept))
        };
        let strong = any(terms.strong);
        let firsts = terms.lists.side_before_head.firsts();
        // Most sentences begin with another letter than any such head.
        let may_head = |words: &str| {
            let first = words.bytes().next();
            first.is_some_and(|byte| !byte.is_ascii() || firsts.has(byte.to_ascii_lowercase()))
        };
        let beside = all.clone().any(|sentence| {
            says(sentence, terms.better)
                && (says(sentence, terms.versus)
                    || says(sentence + 1, terms.versus)
                    || (sentence > 0 && says(sentence - 1, terms.versus)))
        });
        let roles = all
            .clone()
            .filter(|&sentence| {
                says(sentence, terms.theirs)
                    || (prose(sentence)
                        && roster::rivals(self.text(), self.hits, &terms, sentence)
                            .next()
                            .is_some())
                    || says(sentence, terms.other)
                    || says(sentence, terms.latter)
                    || (prose(sentence)
                        && may_head(self.sheet.sentences[sentence].span.of(self.text()))
                        && headed_before(&terms, self.text(), self.sheet.sentences[sentence].span))
            })
            // Two are as good as many.
            .take(2)
            .count();
        let own = any(terms.ours);
        let better = self.hits.anywhere(terms.better)
            && (all.clone()).any(|at| says(at, terms.better) && !comparison::rises(self, at));
        let credited = any(terms.attributed) && (any(terms.listened) || any(terms.sound))
            || any(terms.credit_heard);
        // Sides with a name, something put above something, a cause for it, and a story or a lamp: a test in whatever words.
        let put = || {
            (all.clone())
                .filter(|&sentence| prose(sentence))
                .any(|sentence| !verdict::words(self, sentence).is_empty())
        };
        let cause = || any(terms.credit) || any(terms.attributed);
        let sides = self.roster.named().len() + usize::from(roles >= 1);
        // What takes the reading of all sentences is asked last.
        let tested = sides >= 2
            && self.lines.is_empty()
            && (cause() || self.roster.labelled(&terms) >= 2)
            && (strong || put())
            && (any(terms.lamp) || verdict::storied(self));
        // "Ours is 3 m, theirs 5 m", in one sentence or two.
        let values = |sentence: usize| {
            let own = self.in_sentence(sentence).filter(|&index| {
                matches!(self.roles[index], Role::Size | Role::Run | Role::Figure(_))
            });
            own.count()
        };
        let measured = own
            && all.clone().any(|sentence| {
                says(sentence, terms.ours)
                    && (says(sentence, terms.theirs) && values(sentence) >= 2
                        || says(sentence + 1, terms.theirs)
                            && values(sentence) >= 1
                            && values(sentence + 1) >= 1)
            });
        // "We put the Halden (2 x 4 mm²) against ordinary cable", and what the rival was or did is told elsewhere.
        let set_against = roles >= 2
            && all.clone().any(|sentence| {
                says(sentence, terms.versus)
                    && (says(sentence, terms.theirs)
                        || roster::rivals(self.text(), self.hits, &terms, sentence)
                            .next()
                            .is_some())
                    && !self
                        .roster
                        .called(&terms, self.text(), self.sheet.sentences[sentence].span)
                        .is_empty()
            });
        // "What was on there before: one leg of 14 AWG." "What's on there now: two legs."
        let told_as = |means: roster::Means| {
            all.clone().any(|sentence| {
                let span = self.sheet.sentences[sentence].span;
                prose(sentence)
                    && self
                        .in_sentence(sentence)
                        .any(|index| self.roles[index] == Role::Size)
                    && roster::headed(&terms, self.text(), span)
                        .is_some_and(|(_, side)| side == means)
            })
        };
        // "With the Torrin it was far better. That is the weave": one of two that a passage names, and what made it so.
        let explained = || {
            const PASSAGE: usize = 4;
            self.roster.named().len() >= 2
                && all.clone().any(|sentence| {
                    let end = all.end.min(sentence + PASSAGE);
                    says(sentence, terms.better)
                        && (sentence..end).any(|at| comparison::credits(self, at))
                        && self.two_called(sentence.saturating_sub(PASSAGE)..end, sentence)
                })
        };
        // "A was the more relaxed of the two", "lead 1 had more slam": whoever is judged stands right before it.
        let judged = || {
            const VERB: usize = 24;
            (all.clone()).any(|at| {
                if !(says(at, terms.of_two) || says(at, terms.sound)) || self.endless(at) {
                    return false;
                }
                let span = self.sheet.sentences[at].span;
                let called = self.roster.called(&terms, self.text(), span);
                let right_before = |words: &Span| {
                    called.iter().any(|mention| {
                        let between = words.start().checked_sub(mention.span.end());
                        between.is_some_and(|between| between <= VERB)
                    })
                };
                verdict::words(self, at).iter().any(right_before)
            })
        };
        tested
            || measured
            || set_against
            || told_as(roster::Means::Theirs) && told_as(roster::Means::Ours)
            || ((strong || credited) && (self.roster.named().len() >= 2 || roles >= 1))
            || (beside && roles >= 1)
            || (self.roster.labelled(&terms) >= 2 && (better || judged()))
            || (better && (roles >= 2 || (own && roles >= 1)))
            || (better && explained())
            || (roles >= 1 && self.heard_in_turn())
            || self.sets_beside(roles)
    }

    /// “The Teal, 4 m, was heard on the big amplifier. The ordinary lead, 4 m too, was heard on the small one. The Teal had more
    /// punch”: a cable with a name and one without, each described in a sentence of its own, and then how the first sounded.
    fn heard_in_turn(&self) -> bool {
        /// Sentences behind the two in which that is told.
        const BEHIND: usize = 3;
        let terms = self.terms;
        let block = |at: usize| self.sheet.sentences[at].block();
        let called = |at: usize| {
            !self
                .roster
                .called(&terms, self.text(), self.sheet.sentences[at].span)
                .is_empty()
        };
        let told = |at: usize| {
            self.in_sentence(at)
                .any(|index| matches!(self.roles[index], Role::Size | Role::Run))
        };
        let nameless = |at: usize| {
            self.hits.say(at, terms.theirs)
                || roster::rivals(self.text(), self.hits, &terms, at)
                    .next()
                    .is_some()
        };
        let fed = |at: usize| {
            [
                terms.amplifier,
                terms.speaker,
                terms.lamp,
                terms.z_load,
                terms.listened,
            ]
            .iter()
            .any(|&concept| self.hits.say(at, concept))
        };
        let sounded = |at: usize| {
            self.hits.say(at, terms.sound)
                && called(at)
                && !self.endless(at)
                && !verdict::words(self, at).is_empty()
        };
        (1..self.sheet.sentences.len()).any(|at| {
            let end = self.sheet.sentences.len().min(at + 1 + BEHIND);
            nameless(at)
                && told(at)
                && fed(at)
                && block(at - 1) == block(at)
                && !nameless(at - 1)
                && called(at - 1)
                && (at + 1..end).any(|behind| block(behind) == block(at) && sounded(behind))
        })
    }

    /// Whether running text of a passage calls two cables by their names, one of them in `sentence`.
    fn two_called(&self, passage: Range<usize>, sentence: usize) -> bool {
        let called = |at: usize| {
            let own = &self.sheet.sentences[at];
            let told = matches!(
                self.sheet.blocks[own.block()].kind(),
                BlockKind::Paragraph | BlockKind::Item
            );
            let mentions = told.then(|| self.roster.called(&self.terms, self.text(), own.span));
            mentions
                .into_iter()
                .flatten()
                .filter_map(|mention| match mention.means {
                    roster::Means::Entry(entry) => Some(entry),
                    _ => None,
                })
        };
        let Some(first) = called(sentence).next() else {
            return false;
        };
        passage
            .clone()
            .any(|at| called(at).any(|other| other != first))
    }

    /// "The resistance of the one went up by 35 %, of the other by 8 %": the second is a rise as well.
    pub(super) fn rises_in_a_row(&mut self) {
        const REACH: usize = 40;
        let rise = Role::Figure(FigureKind::SkinRise);
        for index in 1..self.sheet.quantities.len() {
            let (before, own) = (
                self.sheet.quantities[index - 1].span,
                self.sheet.quantities[index].span,
            );
            let beside = self.sentence_of(index - 1) == self.sentence_of(index)
                && before.end() <= own.start()
                && own.start() - before.end() <= REACH;
            if !beside || self.roles[index] != Role::Percent || self.roles[index - 1] != rise {
                continue;
            }
            let between = Span::new(before.end(), own.start());
            let named = !self
                .roster
                .called(&self.terms, self.text(), between)
                .is_empty()
                || self.hits.of(self.sentence_of(index)).iter().any(|hit| {
                    between.contains(hit.span)
                        && [self.terms.other, self.terms.latter].contains(&hit.concept)
                });
            if named {
                self.roles[index] = rise;
            }
        }
    }

    /// What most impedances of a column are, a few are not another thing: “1.42 Ω, 1.44 Ω, 1.70 Ω” under “reads” hold no loudspeaker.
    pub(super) fn columns_of_one(&mut self) {
        let resistance = Role::Figure(FigureKind::Resistance);
        let mut other: Vec<usize> = Vec::new();
        for table in &self.sheet.tables {
            let columns = table.cells.iter().map(Vec::len).max().unwrap_or(0);
            for column in 0..columns {
                let cells = table
                    .cells
                    .iter()
                    .filter_map(|row| row.get(column).copied().flatten());
                let (mut loads, mut figures) = (Vec::new(), 0);
                for cell in cells {
                    let sentences = self.sheet.blocks[cell].sentences();
                    for index in sentences.flat_map(|at| self.in_sentence(at)) {
                        let kind = self.sheet.quantities[index].kind;
                        let ohms = matches!(kind, Kind::Impedance | Kind::Resistance);
                        let nominal = self.sheet.quantities[index].si();
                        let nominal =
                            nominal.is_some_and(|ohms| ohms >= 2.0 && ohms.fract() == 0.0);
                        if ohms && self.roles[index] == Role::Load && !nominal {
                            loads.push(index);
                        } else if ohms && self.roles[index] == resistance {
                            figures += 1;
                        }
                    }
                }
                if figures > loads.len() {
                    other.extend(loads);
                }
            }
        }
        for index in other {
            self.roles[index] = resistance;
        }
    }

    /// "On reels of 50 m, 100 m and 500 m": what is said of the first length is said of the others.
    pub(super) fn reels_in_a_row(&mut self) {
        const BETWEEN: [&str; 5] = [",", "and", "or", "/", ", and"];
        for index in 1..self.sheet.quantities.len() {
            let (before, own) = (
                &self.sheet.quantities[index - 1],
                &self.sheet.quantities[index],
            );
            let lengths = before.kind == Kind::Length && own.kind == Kind::Length;
            if !lengths
                || self.roles[index - 1] != Role::Aside
                || self.roles[index] != Role::Run
                || before.si().is_none_or(|metres| metres < 1.0)
                || before.span.end() > own.span.start()
            {
                continue;
            }
            let between = Span::new(before.span.end(), own.span.start());
            if BETWEEN.contains(&between.of(self.text()).trim()) {
                self.roles[index] = Role::Aside;
            }
        }
    }

    /// "In a solid 12 gauge that costs you a third more": the size is that of any wire, and of no cable of the document.
    pub(super) fn sizes_of_any(&mut self) {
        const WORDS: usize = 3;
        /// A field of so many bytes is running text: an entry of a glossary.
        const TOLD: usize = 60;
        // Where cables are set side by side, that may be one of them.
        if self.comparative {
            return;
        }
        // The sentence that was last found to speak of any wire: its further clauses may do so too.
        let mut told: Option<usize> = None;
        let mut general: Vec<usize> = Vec::new();
        for index in 0..self.sheet.quantities.len() {
            let sentence = self.sheet.sentences[self.sentence_of(index)];
            let own = self.sheet.quantities[index].span;
            let whole = Span::new(sentence.span.start(), own.start());
            let clause = if told == Some(self.sentence_of(index)) {
                whole
                    .of(self.text())
                    .rfind([';', ','])
                    .map_or(0, |at| at + 1)
            } else {
                0
            };
            let ahead = Span::new(whole.start() + clause, own.start());
            let lead: Vec<&str> = ahead
                .of(self.text())
                .split_whitespace()
                .take(WORDS + 1)
                .collect();
            if lead.len() > WORDS {
                continue;
            }
            let lead = lead.join(" ").to_lowercase();
            let words: Vec<&str> = lead.split(' ').collect();
            let kind = || {
                self.hits
                    .saying(self.sentence_of(index), self.terms.size_any)
                    .any(|hit| ahead.contains(hit.span))
            };
            let any = match words.as_slice() {
                [
                    "in" | "for" | "with" | "through" | "on",
                    "a" | "an" | "any",
                    ..,
                ] => true,
                ["a" | "an" | "any", ..] => kind(),
                _ => false,
            };
            let block = &self.sheet.blocks[sentence.block()];
            let prose = match block.kind() {
                BlockKind::Paragraph | BlockKind::Item => true,
                BlockKind::Field => block.span.len() > TOLD,
                _ => false,
            };
            if any && prose && self.roles[index] == Role::Size {
                self.roles[index] = Role::Aside;
                told = Some(self.sentence_of(index));
                general.push(index);
            }
        }
        self.figures_of_any(&general);
    }

    /// “Brackenfold No. 5 … 2 x 2.5 mm²”: a number behind a name is part of the name, where the
    /// conductors have a size of their own or it would be too thick for any.
    pub(super) fn numbers_of_names(&mut self) {
        const MARKS: [&str; 3] = ["No.", "no.", "№"];
        /// No lead for loudspeakers is sold by a number below 8, m² (ASTM B258).
        const THICKEST: f64 = 9.0e-6;
        /// So many sizes are looked up.
        const MOST: usize = 64;
        let numbered = |reader: &Self, index: usize| {
            let words = reader.sheet.quantities[index].span.of(reader.text());
            MARKS.iter().any(|mark| words.starts_with(mark))
        };
        let sizes = (0..self.roles.len()).filter(|&index| self.roles[index] == Role::Size);
        let (marked, plain): (Vec<usize>, Vec<usize>) =
            sizes.take(MOST).partition(|&index| numbered(self, index));
        // The word right before it is written large, and no other such word opens the sentence.
        let behind_name = |&&index: &&usize| {
            let own = self.sheet.quantities[index].span;
            let sentence = self.sheet.sentences[self.sentence_of(index)].span;
            let ahead = Span::new(sentence.start(), own.start()).of(self.text());
            ahead.split_whitespace().next_back().is_some_and(|word| {
                word.starts_with(char::is_uppercase)
                    && word.chars().skip(1).all(char::is_lowercase)
                    && ahead.ends_with(' ')
            })
        };
        let names: Vec<Option<f64>> = (marked.iter().filter(behind_name))
            .map(|&index| self.sheet.quantities[index].si())
            .filter(|own| {
                let mut others = plain.iter().map(|&size| self.sheet.quantities[size].si());
                let thick = own.is_some_and(|area| area > THICKEST);
                thick || !plain.is_empty() && others.all(|other| ratio(*own, other) > ANOTHER)
            })
            .collect();
        for index in marked {
            if names.contains(&self.sheet.quantities[index].si()) {
                self.roles[index] = Role::Aside;
            }
        }
    }

    /// What a sentence on any wire of a size gives as its figures is of no cable that has another size.
    fn figures_of_any(&mut self, general: &[usize]) {
        /// So many wires of any kind are looked up, and so many sizes of cables.
        const MOST: usize = 64;
        let sizes: Vec<usize> = (0..self.roles.len())
            .filter(|&index| self.roles[index] == Role::Size)
            .take(MOST)
            .collect();
        for &size in general.iter().take(MOST) {
            let own = self.sheet.quantities[size].si();
            let same = |other: &usize| ratio(own, self.sheet.quantities[*other].si()) < ALIKE;
            if sizes.iter().any(same) {
                continue;
            }
            // "For a solid No. 12 it is 35 %; for a solid No. 18, 3 %": each has what stands behind it.
            let whole = self.in_sentence(self.sentence_of(size));
            let beside = |index: &usize| general.contains(index);
            let first = !whole
                .clone()
                .take_while(|index| *index < size)
                .any(|index| beside(&index));
            let start = if first { whole.start } else { size };
            let end = (size + 1..whole.end).find(beside).unwrap_or(whole.end);
            let figures: Vec<(usize, Role)> = (start..end)
                .map(|index| (index, self.roles[index]))
                .filter(|(_, role)| matches!(role, Role::Figure(_)))
                .collect();
            for &(index, _) in &figures {
                self.roles[index] = Role::Aside;
            }
            let told = |(_, role): &(usize, Role)| {
                use FigureKind::{ResistancePerLength, SkinRise};
                matches!(role, Role::Figure(ResistancePerLength | SkinRise))
            };
            if figures.iter().any(told) {
                self.of_any.push((size, figures));
            }
        }
    }

    /// Such a wire is one of its own, beside which nothing is set.
    pub(super) fn told_of_any(&mut self) {
        for (size, figures) in std::mem::take(&mut self.of_any) {
            let sentence = self.sentence_of(size);
            let span = self.sheet.quantities[size].span;
            let name = span.of(self.text()).to_owned();
            let entry = self.roster.add_new(&name, &format!("any {size}"));
            self.roster.entries[entry].alone = true;
            self.roles[size] = Role::Size;
            self.owners.set(size, Owner::One(entry));
            for (index, role) in figures {
                self.roles[index] = role;
                self.owners.set(index, Owner::One(entry));
            }
            self.resolved.add(sentence, span, Owner::One(entry));
        }
    }

    /// A sentence of running text that lists three sizes and more describes no one cable.
    pub(super) fn lists_of_sizes(&mut self) {
        for sentence in 0..self.sheet.sentences.len() {
            let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
            let sizes: Vec<usize> = self
                .in_sentence(sentence)
                .filter(|&index| self.roles[index] == Role::Size)
                .collect();
            // "2 x 4 mm² (56 x 0.30 mm)" is one size.
            let repeated = (sizes.windows(2))
                .filter(|pair| {
                    let area = |index: usize| self.sheet.quantities[index].si();
                    self.sheet.quantities[pair[1]].kind == Kind::Strands
                        && ratio(area(pair[0]), area(pair[1])) < 1.1
                })
                .count();
            let count = sizes.len() - repeated;
            if (self.comparative && count < 4)
                || count < 3
                || matches!(block.kind(), BlockKind::Cell { .. })
            {
                continue;
            }
            let areas: Vec<f64> = sizes
                .iter()
                .filter_map(|&index| self.sheet.quantities[index].si())
                .collect();
            let (low, high) = areas.iter().fold((f64::MAX, 0.0f64), |(low, high), &area| {
                (low.min(area), high.max(area))
            });
            // "Sample A is 12 AWG, sample B 14 AWG and sample C 16 AWG" gives each its own.
            let span = self.sheet.sentences[sentence].span;
            let named = self.roster.called(&self.terms, self.text(), span);
            let own = named.len() >= sizes.len();
            if high / low > 2.0 && !own {
                for index in sizes {
                    self.roles[index] = Role::Aside;
                }
            }
        }
    }
}

/// "Before: 8 metres of flex." The head says that another came after it.
pub(super) fn headed_before(terms: &Terms<'_>, text: &str, sentence: Span) -> bool {
    /// Bytes in which such a head ends.
    const HEAD: usize = 64;
    let words = sentence.of(text);
    let head = words.get(..words.floor_char_boundary(HEAD)).unwrap_or("");
    terms.lists.side_before_head.begins(&head.to_lowercase())
}
