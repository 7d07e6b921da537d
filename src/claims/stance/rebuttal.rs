//! Denials behind a claim: in the sentences that follow, behind a quotation, in the answer of another voice, below a statement.

use super::{Class, Cue, NEAR_START, Parts, Reader, words_it};
use crate::claims::matching::Match;
use crate::sheet::{Block, BlockKind};
use crate::span::Span;

impl Reader<'_> {
    /// A denial that follows: in the next sentence, after a quotation, in the reply of another voice.
    pub(super) fn denied_after<'p>(
        &self,
        made: &Match,
        of_wire: bool,
        parts: Parts<'p, '_>,
    ) -> bool {
        /// Who offers nothing may take his time over an answer, which then names what it answers.
        const FARTHER: usize = 3;
        const BACK: &[&str] = &[
            "it", "this", "these", "they", "them", "none", "neither", "case",
        ];
        let sentences = &made.sentences;
        let mut last = made.last();
        let borrowed = (self.apart && of_wire).then(|| self.quotes_words(made));
        let borrowed = borrowed.flatten();
        let quoted = self.in_quotes(made) || self.block_quoted(made.sentence) || borrowed.is_some();
        // Words of the answer may belong to what was heard as the claim: “‘Tin lowers the resistance.’ It doesn't; tin …”
        if let Some(end) = self.quote_end(made) {
            last = (made.sentence..=last)
                .take_while(|&at| self.words(at).start() < end)
                .last()
                .unwrap_or(last);
        } else if let Some(at) = borrowed {
            last = at;
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
            let answers = (quoted || reported) && !self.goes_on_speaking(made, at);
            if step <= reach && self.rebuts(made, at, answers, parts) {
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
        if self.apart && of_wire && self.asked_of_all(last) {
            return true;
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
        if self.judged_below(last, block, next) {
            return true;
        }
        let near_end = again.is_some() || last + 2 >= block.sentences().end;
        let other_voice = again.is_some()
            || block.quoted() && !next.quoted()
            || (block.speaker().is_some() || next.speaker().is_some())
                && self.voice(block.speaker()) != self.voice(next.speaker())
            || self.nicknames(block, next)
            || !quoted && self.is_answer_in_quotes(own.block() + 1)
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

    /// The sentence of the claim in which a word of it stands in quotation marks, as one does that is not the author's: to keep the plastic
    /// “awake”.
    fn quotes_words(&self, made: &Match) -> Option<usize> {
        const OPENING: [char; 3] = ['"', '“', '„'];
        const CLOSING: [char; 3] = ['"', '”', '“'];
        /// Bytes ahead of the words in which the mark stands.
        const AHEAD: usize = 3;
        let text = self.text();
        let quoted = |span: Span| {
            let from = text.floor_char_boundary(span.start().saturating_sub(AHEAD));
            let opened = Span::new(from, span.end()).of(text).contains(OPENING);
            let behind = text.get(span.end()..).unwrap_or("");
            opened && behind.trim_start_matches(['.', ',']).starts_with(CLOSING)
        };
        let mut parts = made.hits.iter();
        parts.find(|(_, hit)| quoted(hit.span)).map(|&(at, _)| at)
    }

    /// Whether a question shortly behind asks of all that was told, and is answered with a no: “Does any of it help? Each year he has
    /// said no.”
    fn asked_of_all(&self, last: usize) -> bool {
        /// Sentences to the question.
        const REACH: usize = 4;
        (last + 1..=last + REACH)
            .take_while(|&at| self.same_block(last, at))
            .filter(|&at| self.is_question(at) && self.same_block(at, at + 1))
            .any(|at| {
                let asked = self.words(at).of(self.text()).to_lowercase();
                let answer = self
                    .words(at + 1)
                    .of(self.text())
                    .trim_end_matches(['.', '!', '"', '”']);
                self.lists.question_back.within(&asked)
                    && !self.has(at, Class::Rhetoric)
                    && (self.starts_with(at + 1, Class::DenyNext)
                        || answer.ends_with(" no")
                        || answer.eq_ignore_ascii_case("none"))
            })
    }

    /// Whether who is quoted goes on behind the words that tell who it is: “‘Most leads add overtones,’ said the engineer. ‘In ours
    /// they are gone.’”
    fn goes_on_speaking(&self, made: &Match, at: usize) -> bool {
        /// Bytes of what tells who speaks.
        const TELLS: usize = 90;
        const MARKS: [char; 4] = ['"', '“', '‘', '«'];
        let Some(end) = self.quote_end(made) else {
            return false;
        };
        let text = self.text();
        let start = self.words(at).start();
        // A later sentence of what he goes on to say.
        let after = self.quotes.partition_point(|quote| quote.start() < start);
        let later = after.checked_sub(1).and_then(|at| self.quotes.get(at));
        let start = later
            .filter(|quote| quote.start() > end && start < quote.end())
            .map_or(start, |quote| quote.start());
        let pause = text
            .get(..end)
            .unwrap_or("")
            .trim_end_matches(['"', '”', '’', '»']);
        let between = Span::new(end, start.max(end)).of(text);
        let tells = between.trim_matches(|sign: char| !sign.is_alphanumeric());
        pause.ends_with(',')
            && between.len() <= TELLS
            && !tells.is_empty()
            && (text.get(start..).unwrap_or("").starts_with(MARKS)
                || between.trim_end().ends_with(MARKS))
    }

    /// Whether the block below a statement begins with one word that calls it false: “FALSE. Boots must be run in.”
    fn judged_below(&self, last: usize, own: &Block, next: &Block) -> bool {
        let first = next.sentences().start;
        let words = self.words(first).of(self.text());
        let verdict = words.split([',', '.', ':', ' ', '\n']).next().unwrap_or("");
        let ends = words.get(verdict.len()..).unwrap_or("");
        last + 1 == own.sentences().end
            && matches!(own.kind(), BlockKind::Item | BlockKind::Paragraph)
            && !matches!(next.kind(), BlockKind::Heading { .. })
            && self.lists.verdict_false.has(&verdict.to_lowercase())
            && (ends.is_empty() || ends.starts_with(['.', ',', ':', '!']))
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

    /// Whether the negation tells what the author's own work or wire spares: “We draw it slowly, so that hardly a gate is left”; “Every other
    /// conductor adds harmonics. Ours adds none.”
    fn says_what_we_do(&self, made: &Match, at: usize, cue: &Cue) -> bool {
        const OWN: &[&str] = &["we", "our", "ours"];
        let words = self.words(at);
        let ahead = Span::new(words.start(), cue.span.start().max(words.start())).of(self.text());
        let ours = self.says_word(at, OWN);
        let rivals = || self.speaks_of_rivals(made.sentence);
        ours && ahead.contains("so that ")
            || (!self.apart || self.goes_on_speaking(made, at))
                && (ours || self.begins_with_a_name(at))
                && rivals()
    }

    /// Whether a sentence speaks of something by its name: “Sallow's thread adds none”, “In Sallow it is gone”.
    fn begins_with_a_name(&self, at: usize) -> bool {
        /// Words in which the name stands.
        const FIRST: usize = 3;
        /// Fewest letters of a name.
        const LETTERS: usize = 4;
        let words = self.words(at).of(self.text()).split_whitespace();
        let capital = |word: &str| word.len() >= LETTERS && word.starts_with(char::is_uppercase);
        words.take(FIRST).enumerate().any(|(place, word)| {
            let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
            let owner = word.strip_suffix("'s").or_else(|| word.strip_suffix("’s"));
            if place == 0 {
                owner.is_some_and(|owner| owner.len() > LETTERS && capital(owner))
            } else {
                capital(word)
            }
        })
    }

    /// Whether the words only put one thing before another.
    pub(super) fn prefers(&self, span: Span) -> bool {
        const BEFORE: [&str; 2] = ["rather than", "instead of"];
        let words = span.of(self.text());
        BEFORE.iter().any(|known| words.eq_ignore_ascii_case(known))
    }

    /// Whether an answer takes up the negation of the sentence before it, and so agrees with that: “‘It can't be anything but the cable.’ It
    /// can't, and thank you.”
    pub(super) fn says_it_too(&self, made: &Match, at: usize, cue: &Cue) -> bool {
        /// Most words of the sentence before that are looked at.
        const WORDS: usize = 60;
        let all = self.words(at);
        let words = Span::new(all.start(), cue.span.end().max(all.start())).of(self.text());
        let mut words = words.split_whitespace().rev();
        let own = negated_verb(words.next(), words.next());
        let before = (at.checked_sub(1)).filter(|&before| before >= made.last());
        !own.is_empty()
            && before.is_some_and(|before| {
                let words = self.words(before).of(self.text()).split_whitespace();
                let words: Vec<&str> = words.take(WORDS).collect();
                let negated = |place: usize| {
                    let ahead = place.checked_sub(1).and_then(|ahead| words.get(ahead));
                    negated_verb(words.get(place).copied(), ahead.copied()) == own
                };
                (0..words.len()).any(negated)
            })
    }

    /// Whether a “no” at the start of a sentence belongs to what something is free of, and answers nothing: “Run it under the paper. No
    /// ugly trunking.”
    pub(super) fn counts_none(&self, made: &Match, at: usize, cue: &Cue) -> bool {
        let text = self.text();
        let all = self.words(at);
        let behind = Span::new(cue.span.end(), all.end().max(cue.span.end())).of(text);
        let mut words = behind.split(|sign: char| !sign.is_alphanumeric() && sign != '\'');
        let lists = self.lists;
        cue.span.of(text).eq_ignore_ascii_case("no")
            && behind.starts_with(' ')
            && behind.trim_start().starts_with(char::is_lowercase)
            && !words.any(|word| lists.negation_outcome.has(&word.to_lowercase()))
            && !self.hits.of(at).iter().any(|hit| {
                let mut parts = made.hits.iter();
                parts.any(|(_, part)| part.concept == hit.concept)
            })
    }

    /// Whether what is not heard is heard later: “You cannot hear it until it is gone.”
    fn until_then(&self, at: usize, cue: &Cue) -> bool {
        /// Words from the negation to the “until”.
        const APART: usize = 4;
        let verb = cue.span.of(self.text()).split_whitespace().next_back();
        verb.is_some_and(|verb| self.lists.unseen_hear.has(&verb.to_lowercase()))
            && (self.cues_of(at, Class::Until))
                .any(|until| until.first > cue.last && until.first - cue.last <= APART)
    }

    /// Whether a verdict tells what the author's own wire spares, where the claim is of another: “A common lead adds a grain of its own. The
    /// flat Willow adds no such thing.”
    fn leaves_out(&self, made: &Match, at: usize, cue: &Cue) -> bool {
        /// What a wire may be said to do.
        const DEEDS: [&str; 5] = ["adds", "add", "leaves", "brings", "makes"];
        let all = self.words(at);
        let ahead = Span::new(all.start(), cue.span.start().max(all.start())).of(self.text());
        let verb = ahead.split_whitespace().next_back().unwrap_or("");
        DEEDS.contains(&verb)
            && cue.span.of(self.text()).to_lowercase().contains("no such")
            && self.names_one(ahead)
            && self.speaks_of_rivals(made.sentence)
    }

    /// Whether words name something: one with a capital that does not begin them.
    fn names_one(&self, words: &str) -> bool {
        /// Fewest letters of a name.
        const LETTERS: usize = 4;
        let mut words = words.split_whitespace().skip(1);
        words.any(|word| word.len() >= LETTERS && word.starts_with(char::is_uppercase))
    }

    fn speaks_of_rivals(&self, at: usize) -> bool {
        let words = self.words(at).of(self.text());
        let mut words = words.split(|sign: char| !sign.is_alphanumeric());
        words.any(|word| self.lists.rival_words.has(&word.to_lowercase()))
    }

    /// Whether the sentence `at` denies the claim made before it; `voice`: as an answer to somebody's words.
    fn rebuts<'p>(&self, made: &Match, at: usize, voice: bool, parts: Parts<'p, '_>) -> bool {
        let short = || self.short(at);
        // "One was wrong" speaks of one of several things, and not of what was said.
        let of_one = || {
            const PART: [&str; 7] = ["one", "two", "mine", "his", "hers", "ours", "another"];
            let first = self.words(at).of(self.text()).split_whitespace().next();
            first.is_some_and(|word| PART.iter().any(|known| word.eq_ignore_ascii_case(known)))
        };
        // "You do not hear one. You hear the lot": the same is said without the negation right behind it.
        let put_right = |cue: &Cue| {
            let words = cue.span.of(self.text()).to_lowercase();
            let mut words = words.split_whitespace();
            let (first, verb) = (words.next(), words.next_back());
            let next = self.words(at + 1).of(self.text()).to_lowercase();
            let mut next = next.split_whitespace();
            first.is_some() && first == next.next() && verb == next.next()
        };
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
                Class::DenyNext => {
                    cue.first <= 1
                        && !put_right(cue)
                        && !self.says_it_too(made, at, cue)
                        && !self.counts_none(made, at, cue)
                        && !self.until_then(at, cue)
                }
                Class::DenyBack if of_one() && !voice => false,
                Class::DenyBack | Class::DenyAll if !voice && self.leaves_out(made, at, cue) => {
                    false
                }
                Class::DenyBack | Class::DenyAll => voice || near_start || short(),
                Class::DenyRest => voice && (near_start || taken_up(cue)),
                // "Use a solid wire rather than flex" says what to take, and no to nothing.
                Class::DenyClause if self.prefers(cue.span) => false,
                Class::DenyClause if !voice && self.says_what_we_do(made, at, cue) => false,
                Class::DenyClause if self.says_it_too(made, at, cue) => false,
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

/// The verb that a word negates, as it is said in full, with the word ahead of it: “it isn't”, “that's not” and “is not” are “is”.
fn negated_verb(word: Option<&str>, ahead: Option<&str>) -> String {
    let bare = |word: Option<&str>| {
        let word = word.unwrap_or("").to_lowercase().replace('’', "'");
        (word.trim_matches(|sign: char| !sign.is_alphanumeric())).to_owned()
    };
    let last = bare(word);
    match last.as_str() {
        "not" => match bare(ahead) {
            verb if verb.ends_with("'s") => "is".to_owned(),
            verb if verb.ends_with("'re") => "are".to_owned(),
            verb => verb,
        },
        "cannot" | "can't" => "can".to_owned(),
        "won't" => "will".to_owned(),
        other => other.strip_suffix("n't").unwrap_or("").to_owned(),
    }
}
