//! Denials: in the clause, in the sentence, in the heading above and in the sentences behind. Knows the words around a claim, and
//! not what is claimed.

use super::{Class, Cue, NEAR_START, Parts, Reader, enumerates, has_border, words_it};
use crate::claims::matching::Match;
use crate::lexicon::{ConceptId, Hit, List};
use crate::span::Span;

impl<'d> Reader<'d> {
    /// Whether a sentence denies no more than that it can be seen, and the next tells what is heard: “One does not see the
    /// difference. One hears a hall where there was a room.”
    pub(super) fn unseen_but_heard(&self, at: usize) -> bool {
        let says = |at: usize, list: List<'_>| {
            let words = self.words(at).of(self.text()).to_lowercase();
            let mut words = words.split(|sign: char| !sign.is_alphanumeric() && sign != '\'');
            words.any(|word| list.has(word))
        };
        let (see, hear) = (self.lists.unseen_see, self.lists.unseen_hear);
        says(at, see)
            && !says(at, hear)
            && self.same_block(at, at + 1)
            && says(at + 1, hear)
            && !says(at + 1, self.lists.negation_plain)
            && !says(at + 1, self.lists.negation_paired)
    }

    /// Whether one of the concepts is said anywhere in the document, and neither denied nor only asked about: “Has it a fire class? –
    /// The maker has not told us.”
    pub(in crate::claims) fn say_anywhere(&self, concepts: &[ConceptId]) -> bool {
        concepts.iter().any(|&concept| {
            if !self.hits.anywhere(concept) {
                return false;
            }
            let known = self.held.borrow().get(&concept).copied();
            known.unwrap_or_else(|| {
                let mut sentences = 0..self.sheet.sentences.len();
                let held = sentences.any(|at| self.holds(at, concept));
                self.held.borrow_mut().insert(concept, held);
                held
            })
        })
    }

    fn holds(&self, at: usize, concept: ConceptId) -> bool {
        (self.hits.saying(at, concept)).any(|hit| !self.is_negated(at, hit))
            && (!self.is_question(at) || self.starts_with(at + 1, Class::Yes))
    }

    /// Whether no border of a clause stands between the two.
    pub(in crate::claims) fn same_clause(&self, sentence: usize, one: Span, other: Span) -> bool {
        if one.overlaps(other) {
            return true;
        }
        let between = Span::new(one.end().min(other.end()), one.start().max(other.start()));
        // A quotation mark right behind the cue opens what it denies: isn't "break-in".
        let quoted = between
            .of(self.text())
            .trim()
            .chars()
            .all(|letter| matches!(letter, '"' | '“' | '‘' | '\''));
        let rest = Span::new(between.end(), self.words(sentence).end().max(between.end()));
        (quoted
            || !has_border(between.of(self.text()))
            || enumerates(between.of(self.text()), rest.of(self.text())))
            && !self
                .cues_of(sentence, Class::Break)
                .any(|cue| between.contains(cue.span))
    }

    pub(super) fn contrast_between(&self, sentence: usize, one: Span, other: Span) -> bool {
        let between = Span::new(one.end().min(other.end()), one.start().max(other.start()));
        // “Will not pay for any of the following: …; …”: the list is of one kind from end to end.
        memchr::memchr(b';', between.of(self.text()).as_bytes()).is_some() && !self.opens_list(one)
            || self
                .cues_of(sentence, Class::Contrast)
                .any(|cue| between.contains(cue.span))
    }

    /// Whether a denial before the words reaches them within their clause.
    pub(in crate::claims) fn is_negated(&self, sentence: usize, hit: Hit) -> bool {
        self.cues_of(sentence, Class::DenyClause).any(|cue| {
            !cue.span.overlaps(hit.span)
                && cue.span.start() < hit.span.start()
                && self.same_clause(sentence, cue.span, hit.span)
        })
    }

    /// Whether the negation says that a fault in the sound has gone: “no longer harsh”, “no blur any more”. “No more harsh than before”
    /// says that nothing has changed.
    pub(super) fn says_it_is_gone(&self, sentence: usize, cue: &Cue) -> bool {
        const GONE: [&str; 2] = [" more ", " longer "];
        const SINCE: [&str; 3] = ["any more", "anymore", "any longer"];
        let Some(fault) = self.class.fault.filter(|_| cue.class == Class::DenyClause) else {
            return false;
        };
        let all = self.words(sentence);
        let behind = Span::new(cue.span.end(), all.end().max(cue.span.end()));
        let words = behind.of(self.text());
        let said = GONE.iter().any(|gone| words.starts_with(gone))
            || SINCE.iter().any(|since| words.contains(since));
        // “… no longer nibbles at the quiet notes”
        let deed = words.strip_prefix(" longer ").unwrap_or("");
        let deed = deed.split_whitespace().next().unwrap_or("").to_lowercase();
        if self.lists.gone_deeds.begins(&deed) {
            return true;
        }
        let ahead = Span::new(all.start(), cue.span.start().max(all.start())).of(self.text());
        if self.is_no_more(ahead, words) && !self.blames(ahead) {
            return true;
        }
        said && !words.contains(" than ")
            && self.hits.saying(sentence, fault).any(|hit| {
                hit.span.start() > cue.span.start() && self.same_clause_so_far(cue.span, hit.span)
            })
    }

    /// Whether the words round a negation say that something is there no more: “was no more”, “is not there any more”, “has not been
    /// heard since”.
    fn is_no_more(&self, ahead: &str, behind: &str) -> bool {
        const NEVER_SINCE: [&str; 4] = [" been heard", " been back", " come back", " returned"];
        const STOPS: [char; 5] = ['.', ';', ',', '!', ':'];
        const VERBS: [&str; 4] = [" is", " are", " was", " were"];
        let clause = behind.split(STOPS).next().unwrap_or("").trim_end();
        match clause {
            " more" => VERBS.iter().any(|verb| ahead.trim_end().ends_with(verb)),
            " there any more" | " there anymore" | " there any longer" => true,
            _ => {
                clause.ends_with(" since")
                    && NEVER_SINCE.iter().any(|known| clause.starts_with(known))
            }
        }
    }

    /// Whether words tell that somebody sees a cause there: what he blames for it may not be it.
    fn blames(&self, words: &str) -> bool {
        let mut words = words.split(|sign: char| !sign.is_alphanumeric());
        words.any(|word| self.lists.gone_blamed.has(&word.to_lowercase()))
    }

    /// Whether no mark that ends a clause stands between the two; the cues of the sentence may not be known yet.
    fn same_clause_so_far(&self, one: Span, other: Span) -> bool {
        let between = Span::new(one.end().min(other.start()), other.start());
        !has_border(between.of(self.text()))
    }

    /// Whether the author, who has denied the claim, takes that back in its last sentence or in one of the next two.
    pub(super) fn recants(&self, made: &Match) -> bool {
        let last = made.last();
        (last..=last + 2)
            .take_while(|&at| self.same_block(last, at))
            .any(|at| {
                // "They sang after a night in the freezer, we said. We take it back" takes no denial back.
                let recants = |span: Span| {
                    (self.cues_of(at, Class::Recant)).any(|cue| cue.span.overlaps(span))
                };
                let denies = |cue: &Cue| cue.class.denies() && !recants(cue.span);
                self.has(at, Class::Recant)
                    && (made.first()..=at).any(|from| self.cues(from).iter().any(denies))
            })
    }

    /// Whether a plain negation that is no look-alike stands before the claim in its main sentence.
    pub(in crate::claims) fn negates(&self, made: &Match) -> bool {
        let cues = self.cues(made.sentence);
        let affirmed = cues
            .iter()
            .any(|cue| matches!(cue.class, Class::Affirm | Class::Pseudo));
        let first = made
            .hits
            .iter()
            .filter(|(at, _)| *at == made.sentence)
            .map(|(_, hit)| hit.span.start())
            .min();
        let start = first.unwrap_or(made.span.start());
        // A dozen words or so: further off it speaks of something else.
        let before = |cue: &Cue| cue.span.start() < made.span.end() && cue.span.end() + 24 > start;
        !affirmed
            && cues
                .iter()
                .any(|cue| matches!(cue.class, Class::DenyClause | Class::DenyRest) && before(cue))
    }

    /// Whether one of the next two sentences of the block begins with a negation: “Do not. Never put 230 V on it.” Or says it of the
    /// same: “A loudspeaker lead must never be put on the mains.”
    pub(in crate::claims) fn forbids_next(&self, made: &Match) -> bool {
        let last = made.last();
        (last + 1..=last + 2)
            .take_while(|&at| self.same_block(last, at))
            .any(|at| {
                let same = |hit: Hit| {
                    let mut parts = made.hits.iter();
                    parts.any(|(_, part)| part.concept == hit.concept)
                };
                let denies = |cue: &Cue| {
                    cue.first <= 1 && !self.counts_none(made, at, cue)
                        || self.hits.of(at).iter().any(|hit| {
                            same(hit)
                                && cue.span.end() <= hit.span.start()
                                && self.same_clause(at, cue.span, hit.span)
                        })
                };
                self.cues_of(at, Class::DenyClause).any(denies)
            })
    }

    pub(super) fn denied<'p>(
        &self,
        made: &Match,
        of_wire: bool,
        parts: Parts<'p, '_>,
        absent: &[ConceptId],
    ) -> bool {
        made.hits
            .iter()
            .any(|(at, hit)| self.denied_inside(made, *at, *hit, parts, absent))
            || self.answered_no(made)
            || self.judged_between(made)
            || self.denied_above(made.sentence)
            || made.hits.iter().any(|(at, _)| self.in_denied_column(*at))
            || made
                .hits
                .iter()
                .any(|(at, hit)| self.turns_on_a_person(*at, *hit))
            || self.denied_after(made, of_wire, parts)
            || self.replied(made)
            || self.answered_by_name(made)
            || self.answered_in_column(made)
            || self.gone_through(made)
            || self.judged_at_the_end(made)
    }

    /// What the document quotes, and the quantities that it reports or asks about, where it then denies them: “‘14 gauge, and 0.9 Ω
    /// per thousand feet!’ No.” In reading order, none over another.
    pub(in crate::claims) fn rebutted(&self) -> Vec<Span> {
        // What is denied is what was said of a cable, and not its name.
        let Some(&concept) = self.class.things.first() else {
            return Vec::new();
        };
        let denied = |span: Span| {
            let after = self
                .sheet
                .sentences
                .partition_point(|sentence| sentence.span.start() <= span.start());
            let sentence = after.saturating_sub(1);
            let hit = Hit {
                concept,
                span,
                first: 0,
                last: 0,
            };
            let made = Match {
                rule: usize::MAX,
                wording: 0,
                sentence,
                span,
                hits: vec![(sentence, hit)],
                sentences: vec![sentence],
            };
            let told = self.in_quotes(&made)
                || self.block_quoted(sentence)
                || self.has(sentence, Class::Report);
            let parts = |_: usize| &[][..];
            let answered = || {
                self.denied_after(&made, true, &parts)
                    || self.gone_through(&made)
                    || self.replied(&made)
                    || self.answered_by_name(&made)
            };
            self.judged_false(sentence, span)
                || self.judged_at_the_end(&made)
                || told && self.judged_next(sentence)
                || self.apart && (self.asked(&made) || told && answered())
        };
        // The words of a quotation begin behind its mark, and their last sentence is the one that is answered.
        let last = |quote: &Span| {
            let words = quote
                .of(self.text())
                .trim_end_matches(['"', '”', '»', '.', '!', '?']);
            let at = words.char_indices().next_back().map_or(0, |(at, _)| at);
            Span::new(quote.start() + at, quote.start() + words.len())
        };
        let quotes = self.quotes.iter();
        let mut found: Vec<Span> = (quotes.filter(|quote| denied(last(quote))).copied()).collect();
        let in_quotes = |span: Span| {
            let after = self
                .quotes
                .partition_point(|quote| quote.start() <= span.start());
            (after.checked_sub(1).and_then(|at| self.quotes.get(at)))
                .is_some_and(|quote| span.start() < quote.end())
        };
        let quantities = self.sheet.quantities.iter().map(|quantity| quantity.span);
        found.extend(quantities.filter(|&span| !in_quotes(span) && denied(span)));
        found.sort_unstable();
        found
    }

    /// Whether it is said right behind a figure that it is wrong: “The damping factor 900 is false for that cable”.
    fn judged_false(&self, sentence: usize, figure: Span) -> bool {
        /// Most bytes between the figure and the verdict.
        const APART: usize = 12;
        self.cues(sentence).iter().any(|cue| {
            cue.class == Class::DenyBack
                && cue.span.start() >= figure.end()
                && cue.span.start() - figure.end() <= APART
                && self.same_clause(sentence, figure, cue.span)
        })
    }

    /// Whether the next sentence says no more than that this is false: “They are printed ‘PURE COPPER’. That print is false.”
    fn judged_next(&self, sentence: usize) -> bool {
        const POINTS: [&str; 6] = ["that", "this", "it", "they", "these", "those"];
        let at = sentence + 1;
        let first = self.words(at).of(self.text()).split_whitespace().next();
        let judges = |cue: &Cue| cue.class == Class::DenyBack && cue.first <= NEAR_START;
        self.same_block(sentence, at)
            && self.short(at)
            && first.is_some_and(|word| POINTS.iter().any(|known| word.eq_ignore_ascii_case(known)))
            && self.cues(at).iter().any(judges)
    }

    /// Whether a verdict of a word or two stands between the parts of the claim: “‘The floor eats treble.’ False. The floor …” So
    /// does one that it was not the cable, which may as well stand right before it: “It wasn't the lead. It was the lamp, which …”
    fn judged_between(&self, made: &Match) -> bool {
        const WORDS: usize = 2;
        let first = made.first();
        let before = first
            .checked_sub(1)
            .filter(|&at| self.same_block(at, first));
        (first + 1..=made.last()).any(|at| {
            let words = self.words(at).of(self.text()).split_whitespace();
            self.starts_with(at, Class::DenyNext) && words.take(WORDS + 1).count() <= WORDS
        }) || self.apart
            && (before.into_iter().chain(first + 1..made.last()))
                .any(|at| self.says_it_is_not_the_cable(at))
    }

    /// Whether a sentence says no more than that it is not the cable.
    fn says_it_is_not_the_cable(&self, at: usize) -> bool {
        const WORDS: usize = 6;
        /// Words from the negation to the cable.
        const APART: usize = 2;
        let mut words = self.words(at).of(self.text()).split_whitespace();
        words.nth(WORDS).is_none()
            && self.cues_of(at, Class::DenyNext).any(|cue| {
                let named = |hit: Hit| hit.first > cue.last && hit.first - cue.last <= APART;
                cue.first == 0 && self.hits.saying_any(at, &self.class.things).any(named)
            })
    }

    /// Whether the sentence says of a person, and of nothing else, what the claim says of the cable: “What has to settle in is the
    /// listener.”
    fn turns_on_a_person(&self, at: usize, hit: Hit) -> bool {
        /// Most words behind the verb.
        const WORDS: usize = 3;
        const VERBS: [&str; 4] = ["is", "are", "was", "were"];
        let all = self.words(at);
        let mut words = all.of(self.text()).split_whitespace();
        // “A. What needs …”: a label may stand ahead.
        let opens = (words.by_ref().take(2)).any(|word| {
            let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
            self.lists.cleft_first.has(&word.to_lowercase())
        });
        if !opens {
            return false;
        }
        let mut last = all.of(self.text()).split_whitespace().rev();
        let bare = |word: &str| {
            let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
            word.to_lowercase()
        };
        let person = last.next().map(bare);
        person.is_some_and(|word| self.lists.cleft_person.has(&word))
            && last
                .take(WORDS)
                .any(|word| VERBS.contains(&bare(word).as_str()))
            && hit.span.end() < all.end().saturating_sub(1)
    }

    /// A denial in the sentence of one of the concepts.
    fn denied_inside<'p>(
        &self,
        made: &Match,
        at: usize,
        hit: Hit,
        parts: Parts<'p, '_>,
        absent: &[ConceptId],
    ) -> bool {
        let part_of_claim = |cue: &Cue| {
            made.hits
                .iter()
                .any(|(other, part)| *other == at && part.span.contains(cue.span))
                || words_it(parts(at), cue)
        };
        self.cues(at).iter().any(|cue| {
            let before = cue.span.start() < hit.span.start();
            let denies = match cue.class {
                Class::DenyClause if self.says_what_for(made, at, cue) => false,
                // “One rod instead of a bundle” denies nothing of the rod; “instead of freezing it” does not freeze it.
                Class::DenyClause if self.prefers(cue.span) => {
                    let replaced = |&(own, part): &(usize, Hit)| {
                        own == at
                            && cue.span.end() <= part.span.start()
                            && self.same_clause(at, cue.span, part.span)
                    };
                    before
                        && made.hits.first().is_some_and(replaced)
                        && self.same_clause(at, cue.span, hit.span)
                }
                Class::DenyClause => {
                    self.same_clause(at, cue.span, hit.span)
                        && (before
                            || at == made.sentence
                            || made.hits.len() == 1
                            || self.denies_gain(at, *cue)
                            || self.says_it_will_not(at, hit, *cue))
                }
                Class::DenyRest => before && !self.contrast_between(at, cue.span, hit.span),
                Class::DenyBack => !before,
                Class::DenyAll => !before || !self.contrast_between(at, cue.span, hit.span),
                Class::DenyNext => !before && self.says_no_behind(at, *cue),
                Class::DenyHeading => {
                    before
                        && !self.cues_of(at, Class::Fact).any(|fact| {
                            fact.span.start() > cue.span.start()
                                && fact.span.start() < hit.span.start()
                        })
                }
                _ => false,
            };
            denies && !part_of_claim(cue) && !self.says_absent(made, at, *cue, absent)
        })
    }

    /// Whether the negation says that what the claim holds to be harmful is not there: “no wire of ours touches the boards”. In “no
    /// less skin effect” it stands before another part of the claim.
    fn says_absent(&self, made: &Match, at: usize, cue: Cue, absent: &[ConceptId]) -> bool {
        /// Words from the one to the other.
        const APART: usize = 7;
        // “Nothing is printed on it”, “it made no odds”: the words for it hold the negation.
        let mut absences = self.hits.saying_any(at, absent);
        if absences.any(|hit| hit.span.overlaps(cue.span)) {
            return true;
        }
        if cue.class != Class::DenyClause {
            return false;
        }
        let other = |hit: Hit| {
            made.hits.iter().any(|&(own, part)| {
                own == at
                    && !absent.contains(&part.concept)
                    && !self.class.things.contains(&part.concept)
                    && part.first > cue.last
                    && part.first < hit.first
            })
        };
        self.hits.saying_any(at, absent).any(|hit| {
            hit.first > cue.last
                && hit.first - cue.last <= APART
                && !other(hit)
                && self.same_clause(at, cue.span, hit.span)
        })
    }

    /// Whether the negation tells what the treatment before it is good for: “it keeps the plastic charged, so that it can't nibble at
    /// the music”. That nobody hears it, or that nothing changes by it, is good for nothing.
    fn says_what_for(&self, made: &Match, at: usize, cue: &Cue) -> bool {
        const OPENING: [&str; 3] = ["so that ", ", so ", "; so "];
        let words = self.words(at);
        let ahead = Span::new(words.start(), cue.span.start().max(words.start())).of(self.text());
        let opened = OPENING.iter().filter_map(|opening| {
            let from = ahead.rfind(opening)?;
            Some((from, from + opening.len()))
        });
        let Some((from, to)) = opened.max() else {
            return false;
        };
        let end = words.start() + from;
        let treated = (made.hits.first())
            .is_some_and(|(sentence, hit)| *sentence == at && hit.span.end() <= end);
        let denied =
            (self.cues(at).iter()).any(|other| other.class.denies() && other.span.end() <= end);
        let first_of = |words: &str| {
            let mut words = words.split(|sign: char| !sign.is_alphanumeric());
            words
                .find(|word| !word.is_empty())
                .unwrap_or("")
                .to_lowercase()
        };
        let subject = first_of(ahead.get(to..).unwrap_or(""));
        let behind = Span::new(cue.span.end(), words.end().max(cue.span.end())).of(self.text());
        let list = self.lists.negation_of_use;
        treated
            && !denied
            && !ahead.get(to..).unwrap_or("").contains(';')
            && !subject.is_empty()
            && !list.has(&subject)
            && !list.has(&first_of(behind))
    }

    /// Whether a clause says of the cable alone that it does not: “Loudspeakers loosen in their first weeks. The cables will not.”
    fn says_it_will_not(&self, at: usize, hit: Hit, cue: Cue) -> bool {
        /// Words from the cable to the negation.
        const APART: usize = 2;
        let end = self.words(at).end().max(cue.span.end());
        let behind = Span::new(cue.span.end(), end).of(self.text());
        self.class.things.contains(&hit.concept)
            && cue.first > hit.last
            && cue.first - hit.last <= APART
            && behind.starts_with(['.', ';', ',', '!'])
    }

    /// Whether a negation stands right before a gain in sound: “the bass is not tighter”.
    fn denies_gain(&self, at: usize, cue: Cue) -> bool {
        /// Words from the one to the other.
        const APART: usize = 2;
        self.class.gain.is_some_and(|gain| {
            self.hits.saying(at, gain).any(|hit| {
                hit.first > cue.last
                    && hit.first - cue.last <= APART
                    && self.same_clause(at, cue.span, hit.span)
            })
        })
    }

    /// Whether a verdict stands behind a colon or a dash of its sentence: “That silver lifts the treble: it does not.”
    fn says_no_behind(&self, at: usize, cue: Cue) -> bool {
        let words = self.words(at);
        let ahead = Span::new(words.start(), cue.span.start()).of(self.text());
        let behind = Span::new(cue.span.end(), words.end().max(cue.span.end())).of(self.text());
        let verdict = cue.span.of(self.text()).to_lowercase();
        ahead.trim_end().ends_with([':', '–', '—'])
            && cue.last > cue.first
            && (verdict.ends_with(" not") || verdict.ends_with("n't") || verdict.ends_with("n’t"))
            && !behind.starts_with(' ')
    }
}
