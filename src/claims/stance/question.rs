//! Questions with their answers, and conditions: what is asked or supposed is not said.

use super::{Class, Cue, NEAR_START, Reader};
use crate::claims::matching::Match;
use crate::claims::{Stance, silent};
use crate::lexicon::Hit;
use crate::span::Span;
use rustc_hash::FxHashSet;

/// A question stands no more sentences before the end of what its asker says.
const ANSWERED: usize = 2;

impl<'d> Reader<'d> {
    pub(super) fn asked(&self, made: &Match) -> bool {
        let last_question = |at: usize, from: usize| {
            let tail = Span::new(from, self.words(at).end());
            memchr::memchr(b'?', tail.of(self.text()).as_bytes()).is_some()
        };
        let rhetorical = |at: usize| self.has(at, Class::Rhetoric);
        // A heading only names what the question is about.
        let mut said = made
            .hits
            .iter()
            .filter(|(at, _)| *at == made.sentence || self.speaks(*at));
        let all_asked =
            said.all(|(at, hit)| last_question(*at, hit.span.start()) && !rhetorical(*at));
        if all_asked {
            let after = made.last() + 1;
            let affirmed = self.same_block(made.sentence, after)
                && (self.starts_with(after, Class::Yes)
                    || self.has(after, Class::Agree) && !self.is_question(after));
            return !affirmed && !self.answered_yes(made);
        }
        if self.enquired(made)
            || self.asked_at_margin(made)
            || self.asked_next(made)
            || self.ends_in_question(made)
            || self.asked_across(made)
        {
            return true;
        }
        // "They said each time whether it was the red one" tells what was done and asks nothing.
        let tells = |at: usize, cue: &Cue| {
            made.hits
                .iter()
                .any(|(other, part)| *other == at && part.span.contains(cue.span))
        };
        made.hits.iter().any(|(at, hit)| {
            self.cues_of(*at, Class::Ask).any(|cue| {
                cue.span.start() < hit.span.start()
                    && !tells(*at, cue)
                    && !self.contrast_between(*at, cue.span, hit.span)
                    && !self.answered_behind(made, *at, cue.span)
                    && !self.purpose(*at, cue.span, hit.span)
                    && !self.given(*at, cue.span)
                    && !self.told_yes(*at, hit.span)
            })
        })
    }

    /// “To see if the plait is strong we put a plug on it”: what was done, behind what it was done for.
    fn purpose(&self, at: usize, cue: Span, hit: Span) -> bool {
        const WHO: [&str; 5] = [" we ", " i ", " he ", " she ", " they "];
        let words = self.words(at);
        let ahead = Span::new(words.start(), cue.start().max(words.start())).of(self.text());
        // The cue may be the “if” alone, or the words that ask with it.
        let ahead = ahead
            .trim()
            .trim_end_matches(" see")
            .trim_end_matches(" find out");
        if !matches!(ahead, "To" | "Just to" | "Only to") {
            return false;
        }
        let between = Span::new(cue.end(), hit.start().max(cue.end())).of(self.text());
        let between = between.to_lowercase().replace('\n', " ");
        WHO.iter()
            .any(|who| between.get(1..).is_some_and(|behind| behind.contains(who)))
    }

    /// “Since you wanted to know”: that somebody asked is only why it is told.
    fn given(&self, at: usize, cue: Span) -> bool {
        let words = self.words(at);
        let ahead = Span::new(words.start(), cue.start().max(words.start())).of(self.text());
        let mut ahead = ahead.split_whitespace().rev();
        let who = ahead.next().unwrap_or("").to_lowercase();
        let why = ahead.next().unwrap_or("").to_lowercase();
        matches!(who.as_str(), "you" | "they" | "several" | "some" | "many")
            && matches!(
                why.trim_start_matches('('),
                "since" | "as" | "because" | "seeing"
            )
    }

    /// “If anybody asks whether it may go under the plaster, tell them yes.”
    fn told_yes(&self, at: usize, hit: Span) -> bool {
        let words = self.words(at);
        let behind = Span::new(hit.end(), words.end().max(hit.end())).of(self.text());
        let behind = behind.to_lowercase().replace('\n', " ");
        self.lists.answer_yes.within(&behind)
    }

    /// Whether the words that make the claim are the answer to what is said to have been asked: “she asked if the two were equally loud.
    /// He replied that he had turned the knob until it seemed right”, “if somebody asks about volume: ‘We don't match the sides.’”
    fn answered_behind(&self, made: &Match, asked: usize, cue: Span) -> bool {
        let Some(&(at, first)) = made.hits.first() else {
            return false;
        };
        let text = self.text();
        let opens = |words: &str| words.trim_start().starts_with(['"', '“', '‘', '\'']);
        if at == asked {
            let between = Span::new(cue.end(), first.span.start().max(cue.end())).of(text);
            return between
                .split_once(':')
                .is_some_and(|(_, behind)| opens(behind));
        }
        let words = self.words(at).of(text);
        let lower = words.to_lowercase();
        let denies = |cue: &Cue| cue.class.denies() && cue.first <= NEAR_START;
        at == asked + 1
            && self.same_block(asked, at)
            && (opens(words) || !self.cues(at).iter().any(denies))
            && !self.is_question(asked)
            && !self.is_question(at)
            && (opens(words) || self.lists.answer_verb.within(&lower))
    }

    /// Whether a part of the claim is what another voice asks for a yes or a no, and the answer does not stand behind it: “So a frozen
    /// cable sounds smoother? – A frozen cable is stiff.”
    fn asked_across(&self, made: &Match) -> bool {
        /// Sentences of an answer that are read for a yes.
        const ANSWER: usize = 3;
        let block_of = |at: usize| self.sheet.sentences.get(at).map(|own| own.block());
        let voice = |block: usize| {
            let speaker = self.sheet.blocks.get(block)?.speaker();
            speaker.map(|speaker| speaker.of(self.text()))
        };
        made.sentences.iter().any(|&at| {
            let Some(asks) = block_of(at).filter(|_| self.is_question(at)) else {
                return false;
            };
            let mut others = made.sentences.iter().filter(|&&other| other != at);
            let answers = |&other: &usize| {
                block_of(other).is_some_and(|block| {
                    block == asks + 1 && voice(block).is_some() && voice(block) != voice(asks)
                })
            };
            let answer = (self.sheet.blocks.get(asks + 1)).map(|block| block.sentences());
            let words = self.words(at).of(self.text());
            let asked = words.rsplit(": ").next().unwrap_or(words);
            (self.asks_plainly(at) || asked.starts_with("So "))
                && !self.has(at, Class::Rhetoric)
                && others.all(answers)
                && answer.is_some_and(|answer| {
                    !self.stands_behind(answer.start..answer.end.min(answer.start + ANSWER))
                })
        })
    }

    /// "Does silver sound unlike copper? Two pairs had been made up, one of silver": what a plain question says alone is asked as
    /// well where words of the sentence behind it are added to it.
    pub(in crate::claims) fn asked_alone(&self, found: &mut [(Match, Stance)]) {
        let asked: FxHashSet<(usize, usize, Span)> = found
            .iter()
            .filter(|(made, stance)| {
                *stance == Stance::Asked
                    && made.sentences.len() == 1
                    && self.asks_plainly(made.sentence)
            })
            .flat_map(|(made, _)| {
                let words = made.hits.iter();
                words.map(|&(at, ref hit)| (made.rule, at, hit.span))
            })
            .collect();
        if asked.is_empty() {
            return;
        }
        for (made, stance) in found.iter_mut().filter(|(_, stance)| !silent(*stance)) {
            let shared = |&(at, ref hit): &(usize, Hit)| {
                asked.contains(&(made.rule, at, hit.span)) && self.same_block(at, made.sentence)
            };
            if made.hits.iter().any(shared) {
                *stance = Stance::Asked;
            }
        }
    }

    /// Whether the claim lies in the words that open a point and only name it: “Fifth: distortion by the conductor. His own meter …”
    pub(super) fn names_point(&self, made: &Match) -> bool {
        /// Most words behind the colon.
        const WORDS: usize = 6;
        /// Bytes in which the label ends, with a number ahead of it.
        const LABEL: usize = 24;
        let at = made.sentence;
        let Some(block) =
            (self.sheet.sentences.get(at)).and_then(|own| self.sheet.blocks.get(own.block()))
        else {
            return false;
        };
        let own = block.sentences();
        if made.sentences != [at] || own.start != at || own.end < at + 2 {
            return false;
        }
        let words = self.words(at).of(self.text());
        let head = words.get(..words.floor_char_boundary(LABEL)).unwrap_or("");
        head.split_once(": ").is_some_and(|(label, _)| {
            let named = words.get(label.len() + 2..).unwrap_or("");
            let label = label.rsplit(' ').next().unwrap_or(label);
            self.lists.point_ordinal.has(&label.to_lowercase())
                && named.split_whitespace().nth(WORDS).is_none()
        })
    }

    /// Whether a sentence, or what stands behind its colon, is a question that asks for yes or no.
    pub(super) fn asks_plainly(&self, sentence: usize) -> bool {
        let words = self.words(sentence).of(self.text());
        let asked = words.rsplit(": ").next().unwrap_or(words);
        let first = asked.split_whitespace().next().unwrap_or("");
        self.is_question(sentence) && self.lists.question_first.has(&first.to_lowercase())
    }

    /// Whether another voice answers the question right behind it, and begins with yes: “Will it run my pump? – Sure will!”
    fn answered_yes(&self, made: &Match) -> bool {
        let block = self
            .sheet
            .sentences
            .get(made.sentence)
            .map(|own| own.block());
        let here = block.and_then(|at| self.sheet.blocks.get(at));
        let next = block.and_then(|at| self.sheet.blocks.get(at + 1));
        let (Some(here), Some(next)) = (here, next) else {
            return false;
        };
        let other =
            next.speaker().is_some() && self.voice(here.speaker()) != self.voice(next.speaker());
        let answer = next.sentences().start;
        let denies = |cue: &Cue| cue.class.denies() && cue.first <= NEAR_START;
        other
            && here.sentences().end <= made.sentence + ANSWERED
            && self.starts_with(answer, Class::Yes)
            && !self.cues(answer).iter().any(denies)
    }

    /// Whether a question that holds a part of the claim is answered in the negative.
    pub(super) fn answered_no(&self, made: &Match) -> bool {
        let sentences = &made.sentences;
        sentences.iter().any(|&at| {
            let words = self.words(at).of(self.text()).trim_end();
            // The claim may lie half in the question and half in the answer of another voice.
            let goes_on = sentences
                .iter()
                .any(|&other| other > at && self.same_block(other, at + 1));
            let denies = self.cues(at + 1).iter().any(|cue| match cue.class {
                Class::DenyNext => cue.first <= 1,
                Class::DenyAll | Class::DenyBack => cue.first <= NEAR_START,
                _ => false,
            });
            words.trim_end_matches(['"', '”', ')']).ends_with('?')
                && !self.has(at, Class::Rhetoric)
                // "Is that a trick of the trade? – No."
                && !self.lists.question_doubts.within(&words.to_lowercase())
                && !self.rules_out_a_cause(at)
                && if self.same_block(at, at + 1) {
                    self.starts_with(at + 1, Class::DenyNext) || self.says_just_no(at + 1)
                } else {
                    goes_on && denies
                }
        })
    }

    /// Whether a question asks why or where from, and the answer only rules out a cause: “Why does it sound coarse? Not for want of copper.”
    fn rules_out_a_cause(&self, asked: usize) -> bool {
        const CAUSES: [&str; 6] = ["for", "because", "from", "by", "in", "through"];
        let bare = |word: Option<&str>| {
            let word = word.unwrap_or("");
            word.trim_matches(|sign: char| !sign.is_alphanumeric())
                .to_lowercase()
        };
        let words = self.words(asked).of(self.text());
        let asks = bare(words.split_whitespace().next());
        let mut answer = self.words(asked + 1).of(self.text()).split_whitespace();
        ["why", "where", "how"].contains(&asks.as_str())
            && bare(answer.next()) == "not"
            && CAUSES.contains(&bare(answer.next()).as_str())
    }

    /// Whether a sentence is an answer such as “I would not”.
    fn says_just_no(&self, sentence: usize) -> bool {
        const WORDS: usize = 4;
        let mut words = self.words(sentence).of(self.text()).split_whitespace();
        words.nth(WORDS).is_none() && self.has(sentence, Class::DenyClause)
    }

    pub(super) fn conditional(&self, made: &Match) -> bool {
        let sentences = &made.sentences;
        let before = made.sentence.checked_sub(1).filter(|&at| {
            self.same_block(made.sentence, at) && self.starts_with(at, Class::If) && self.short(at)
        });
        if before.is_some() {
            return true;
        }
        let supposes = |at: usize| {
            let mut classes = [Class::If, Class::IfWeak, Class::IfStart].into_iter();
            classes.any(|class| self.has(at, class))
        };
        sentences.iter().any(|&at| {
            if !supposes(at) {
                return false;
            }
            let parts: Vec<Span> = made
                .hits
                .iter()
                .filter(|(other, _)| *other == at)
                .map(|(_, hit)| hit.span)
                .collect();
            let would = (self.cues_of(at, Class::Would))
                .any(|cue| !parts.iter().any(|part| part.contains(cue.span)));
            self.cues(at).iter().any(|cue| {
                let free = !parts.iter().any(|part| part.overlaps(cue.span))
                    && !parts.first().is_some_and(|part| {
                        self.purpose(at, cue.span, *part) || self.told_yes(at, *part)
                    });
                match cue.class {
                    Class::If => free,
                    Class::IfWeak | Class::IfStart => {
                        free && (cue.class == Class::IfWeak || self.opens(at, cue))
                            && (would
                                || !self.tells_of_a_deed(cue)
                                    && parts.len() == made.hits.len()
                                    && parts.iter().all(|part| {
                                        part.start() > cue.span.start()
                                            && self.same_clause(at, cue.span, *part)
                                    }))
                    }
                    _ => false,
                }
            })
        })
    }

    /// Whether the words may as well begin a sentence without its “I”: “Had my leads frozen last month.”
    fn tells_of_a_deed(&self, cue: &Cue) -> bool {
        cue.span.of(self.text()).eq_ignore_ascii_case("had")
    }

    /// Whether a cue opens its sentence, at most behind a word that joins it to the one before: “Say it were so”, not “I'd say”.
    pub(super) fn opens(&self, sentence: usize, cue: &Cue) -> bool {
        let start = self.sheet.sentences[sentence].span.start();
        let before = Span::new(start, cue.span.start().max(start)).of(self.sheet.flow.text());
        let before = before.trim().to_lowercase();
        cue.first == 0
            || (cue.first == 1 && ["and", "but", "so", "or", "now"].contains(&before.as_str()))
    }

    pub(super) fn is_question(&self, sentence: usize) -> bool {
        self.words(sentence)
            .of(self.text())
            .trim_end_matches(|letter: char| letter.is_whitespace() || matches!(letter, '"' | '”'))
            .ends_with('?')
    }

    /// Whether the sentence ends in an answer that affirms (“…, and thicken it does.”).
    pub(super) fn ends_in_yes(&self, sentence: usize) -> bool {
        let words = self.words(sentence);
        self.cues(sentence).iter().any(|cue| {
            let after = Span::new(cue.span.end(), words.end());
            let before = Span::new(words.start(), cue.span.start());
            cue.class == Class::Yes
                && cue.last > cue.first
                && !after.of(self.text()).contains(char::is_alphanumeric)
                && !after.of(self.text()).contains('?')
                && !before
                    .of(self.text())
                    .split_whitespace()
                    .next_back()
                    .is_some_and(|word| {
                        let word = word.to_ascii_lowercase();
                        [
                            "what", "how", "as", "than", "whether", "why", "if", "when", "that",
                        ]
                        .contains(&word.as_str())
                    })
        })
    }
}
