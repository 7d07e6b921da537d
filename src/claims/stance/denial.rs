//! Denials: in the clause, in the sentence, in the heading above and in the sentences behind. Knows the words around a claim, and
//! not what is claimed.

use super::{Class, Cue, NEAR_START, Parts, Reader, enumerates, has_border, words_it};
use crate::claims::matching::Match;
use crate::lexicon::{ConceptId, Hit, List};
use crate::sheet::{Block, BlockKind};
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
        said && !words.contains(" than ")
            && self.hits.saying(sentence, fault).any(|hit| {
                hit.span.start() > cue.span.start() && self.same_clause_so_far(cue.span, hit.span)
            })
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
                    cue.first <= 1
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
            || self.denied_after(made, of_wire, parts)
            || self.replied(made)
            || self.answered_by_name(made)
            || self.gone_through(made)
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

    /// Whether a verdict of a word or two stands between the parts of the claim: “‘The floor eats treble.’ False. The floor …”
    fn judged_between(&self, made: &Match) -> bool {
        const WORDS: usize = 2;
        (made.first() + 1..=made.last()).any(|at| {
            let words = self.words(at).of(self.text()).split_whitespace();
            self.starts_with(at, Class::DenyNext) && words.take(WORDS + 1).count() <= WORDS
        })
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
                Class::DenyClause => {
                    self.same_clause(at, cue.span, hit.span)
                        && (before
                            || at == made.sentence
                            || made.hits.len() == 1
                            || self.denies_gain(at, *cue))
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

    /// A denial that follows: in the next sentence, after a quotation, in the reply of another voice.
    fn denied_after<'p>(&self, made: &Match, of_wire: bool, parts: Parts<'p, '_>) -> bool {
        /// Who offers nothing may take his time over an answer, which then names what it answers.
        const FARTHER: usize = 3;
        const BACK: &[&str] = &[
            "it", "this", "these", "they", "them", "none", "neither", "case",
        ];
        let sentences = &made.sentences;
        let mut last = made.last();
        let quoted = self.in_quotes(made) || self.block_quoted(made.sentence);
        // Words of the answer may belong to what was heard as the claim: “‘Tin lowers the resistance.’ It doesn't; tin …”
        if let Some(end) = self.quote_end(made) {
            last = (made.sentence..=last)
                .take_while(|&at| self.words(at).start() < end)
                .last()
                .unwrap_or(last);
        }
        let reported = sentences.iter().any(|&at| self.has(at, Class::Report));
        let reach = if quoted || reported { 2 } else { 1 };
        let farther = if self.apart && of_wire {
            FARTHER
        } else {
            reach
        };
        for step in 1..=farther {
            let at = last + step;
            if !self.same_block(last, at) {
                break;
            }
            if self.has(at, Class::Agree) || self.says_yes(at) {
                return false;
            }
            if step <= reach && self.rebuts(made, at, quoted || reported, parts) {
                return true;
            }
            let far = |cue: &Cue| {
                matches!(
                    cue.class,
                    Class::DenyNext | Class::DenyBack | Class::DenyAll
                ) && cue.first <= NEAR_START
                    && !words_it(parts(at), cue)
            };
            if step > reach && self.says_word(at, BACK) && self.cues(at).iter().any(far) {
                return true;
            }
        }
        let Some(own) = self.sheet.sentences.get(last) else {
            return false;
        };
        let Some(block) = self.sheet.blocks.get(own.block()) else {
            return false;
        };
        let again = self.quoted_again(own.block());
        let Some(next) = self.sheet.blocks.get(again.unwrap_or(own.block()) + 1) else {
            return false;
        };
        let near_end = again.is_some() || last + 2 >= block.sentences().end;
        let other_voice = again.is_some()
            || block.quoted() && !next.quoted()
            || (block.speaker().is_some() || next.speaker().is_some())
                && self.voice(block.speaker()) != self.voice(next.speaker())
            || self.nicknames(block, next)
            || quoted && last + 1 == block.sentences().end
            || self.parenthesis(next.sentences().start);
        if !near_end || !other_voice || matches!(next.kind(), BlockKind::Heading { .. }) {
            return false;
        }
        next.sentences()
            .take(2)
            .take_while(|&at| !self.has(at, Class::Agree))
            .any(|at| self.rebuts(made, at, true, parts))
    }

    /// Whether a sentence opens with an answer that affirms; “it does no such thing” is none.
    fn says_yes(&self, at: usize) -> bool {
        let cues = self.cues(at);
        cues.iter().any(|yes| {
            let denied = |cue: &Cue| cue.class.denies() && cue.first == yes.last + 1;
            yes.class == Class::Yes
                && yes.first <= 1
                && !(yes.last > yes.first && cues.iter().any(denied))
        })
    }

    /// Whether two blocks begin with names such as people go by in a thread: “mudlark77: … / toller: …”
    fn nicknames(&self, one: &Block, other: &Block) -> bool {
        let name = |block: &Block| {
            let key = block.key()?.of(self.text());
            let plain = key.starts_with(|letter: char| letter.is_lowercase() || letter == '_');
            (self.apart && plain && !key.contains(' ')).then_some(key)
        };
        let (one, other) = (name(one), name(other));
        one.is_some() && other.is_some() && one != other
    }

    /// Whether a sentence speaks of what was said before it: by a pronoun, or by saying hardly more than no.
    fn refers_back(&self, sentence: usize) -> bool {
        /// Words of a reply that says hardly more than no.
        const BARE: usize = 6;
        const BACK: [&str; 22] = [
            "it", "its", "it's", "this", "these", "those", "they", "them", "they're", "so", "such",
            "there", "there's", "either", "neither", "none", "any", "that's", "same", "he", "she",
            "him",
        ];
        let all = self.words(sentence).of(self.text());
        let mut words =
            all.split(|letter: char| !letter.is_alphanumeric() && !matches!(letter, '\'' | '’'));
        all.split_whitespace().nth(BARE).is_none()
            || words.any(|word| BACK.contains(&word.to_lowercase().replace('’', "'").as_str()))
            || all.trim_start().starts_with("That ")
            || all
                .trim_end()
                .trim_end_matches(['.', '!'])
                .ends_with(" that")
    }

    /// The block near behind `block` in which somebody quotes it to answer it.
    fn quoted_again(&self, block: usize) -> Option<usize> {
        /// Blocks of a reply before its quotation: its author, its number, when it was written.
        const BEFORE: usize = 4;
        /// Fewest letters by which a passage is known again.
        const KNOWN: usize = 12;
        /// Most bytes of what is quoted whole.
        const LONGEST: usize = 2_000;
        let text = self.text();
        let words = self.sheet.blocks.get(block)?.span;
        if words.len() > LONGEST {
            return None;
        }
        let words = words.of(text);
        (block + 1..=block + BEFORE).find(|&at| {
            self.sheet.blocks.get(at).is_some_and(|other| {
                let quoted = other.span.of(text);
                other.quoted() && quoted.len() >= KNOWN && words.contains(quoted)
            })
        })
    }

    /// Whether the words are a pronoun, which stands for whatever was spoken of.
    fn stands_for(&self, span: Span) -> bool {
        const PRONOUNS: [&str; 8] = [
            "it", "this", "that", "these", "those", "they", "them", "one",
        ];
        let word = span.of(self.text());
        PRONOUNS
            .iter()
            .any(|known| word.eq_ignore_ascii_case(known))
    }

    /// Whether the words only put one thing before another.
    fn prefers(&self, span: Span) -> bool {
        const BEFORE: [&str; 2] = ["rather than", "instead of"];
        let words = span.of(self.text());
        BEFORE.iter().any(|known| words.eq_ignore_ascii_case(known))
    }

    /// Whether the sentence `at` denies the claim made before it; `voice`: as an answer to somebody's words.
    fn rebuts<'p>(&self, made: &Match, at: usize, voice: bool, parts: Parts<'p, '_>) -> bool {
        let short = || self.short(at);
        // "You would not hear the other four digits": what was claimed is said again behind the negation.
        let taken_up = |cue: &Cue| {
            self.hits.of(at).iter().any(|hit| {
                (made.hits.iter()).any(|(_, part)| part.concept == hit.concept)
                    && !self.class.things.contains(&hit.concept)
                    && (self.same_block(made.sentence, at) || !self.stands_for(hit.span))
                    && (cue.span.end() <= hit.span.start()
                        || voice && cue.class == Class::DenyRest && cue.span.contains(hit.span))
                    && self.same_clause(at, cue.span, hit.span)
            })
        };
        self.cues(at).iter().any(|cue| {
            let near_start = cue.first <= NEAR_START;
            let denies = match cue.class {
                Class::DenyNext => cue.first <= 1,
                Class::DenyBack | Class::DenyAll => voice || near_start || short(),
                Class::DenyRest => voice && (near_start || taken_up(cue)),
                // "Use a solid wire rather than flex" says what to take, and no to nothing.
                Class::DenyClause if self.prefers(cue.span) => false,
                Class::DenyClause => {
                    (voice
                        && near_start
                        && short()
                        && (self.same_block(made.sentence, at) || self.refers_back(at)))
                        || taken_up(cue)
                }
                _ => false,
            };
            denies && !words_it(parts(at), cue)
        })
    }
}
