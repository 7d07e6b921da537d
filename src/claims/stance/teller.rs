//! Whose account it is: what is told of somebody else and of his lead is his experience, and no assertion of the author.

use super::{Class, Cue, Match, Reader};
use crate::finding::Stance;
use crate::lexicon::Hit;
use crate::sheet::BlockKind;
use crate::span::Span;

/// Words by which an author speaks for himself or to his reader.
const OWN: &[&str] = &[
    "i", "me", "my", "mine", "myself", "we", "us", "our", "ours", "you", "your", "yours",
];
/// Words for one person that is spoken of.
const OTHER: &[&str] = &[
    "he", "him", "his", "she", "her", "hers", "mr", "mrs", "ms", "miss", "dr",
];

impl Reader<'_> {
    /// Reported, endorsed or the document's own words.
    pub(super) fn source(&self, made: &Match, of_wire: bool) -> Stance {
        let sentences = &made.sentences;
        let last = made.last();
        let quoted = self.in_quotes(made);
        let mut near = sentences.clone();
        if quoted {
            near.extend(
                made.sentence
                    .checked_sub(1)
                    .filter(|&at| self.same_block(last, at)),
            );
            near.extend(Some(last + 1).filter(|&at| self.same_block(last, at)));
        }
        if quoted || self.block_quoted(made.sentence) {
            near.extend(self.signed_below(last));
        }
        // "We told them which" tells what was done and is nobody's account.
        // Where something is sold, “… and listeners speak of a hush” tells of the effect alone: the treatment is the seller's.
        let offered = |at: usize, cue: &Cue| {
            let own = (made.hits.first())
                .is_some_and(|&(own, hit)| (own, hit.span.end()) <= (at, cue.span.start()));
            !self.apart && (quoted || of_wire && own) && self.praises(at, cue)
        };
        // "Nobody made them equally loud; the secretary felt that it would take too long": told by the author before the stop.
        let apart = |at: usize, cue: &Cue| {
            let own = made.hits.iter().filter(|(other, _)| *other == at);
            let end = own.map(|(_, part)| part.span.end()).max();
            let whole = made.sentences.len() == 1;
            end.filter(|&end| whole && end <= cue.span.start())
                .is_some_and(|end| {
                    let between = Span::new(end, cue.span.start()).of(self.text());
                    between.contains(';')
                })
        };
        let told = |at: usize| {
            self.cues_of(at, Class::Report).any(|cue| {
                !self.said_by_the_author(at, cue)
                    && !apart(at, cue)
                    && !offered(at, cue)
                    && !(made.hits.iter())
                        .any(|(other, part)| *other == at && part.span.contains(cue.span))
            })
        };
        let reported = near.iter().any(|&at| told(at))
            || self.block_quoted(made.sentence)
                && !self.answers_in_quotes(made.sentence)
                && !self.forwarded(made.sentence)
            || self.quoted_question(made)
            || self.quoted_cell(made)
            || self.retold(made)
            || self.apart && (self.cited(made) || of_wire && self.told_of_another(made));
        if !reported {
            return Stance::Asserted;
        }
        // A release that says what its firm holds says it for the firm.
        let of_the_firm = || {
            !quoted
                || near.iter().any(|&at| self.has(at, Class::People))
                || self.said_by_the_house(&near)
        };
        let own = self.release && of_the_firm()
            || near.iter().any(|&at| self.has(at, Class::Own))
            || (quoted && near.iter().any(|&at| self.has(at, Class::Spokes)));
        let agrees = sentences
            .iter()
            .copied()
            .chain(
                [last + 1, last + 2]
                    .into_iter()
                    .filter(|&at| self.same_block(last, at)),
            )
            .chain(
                made.sentence
                    .checked_sub(1)
                    .filter(|&at| self.same_block(last, at)),
            )
            .any(|at| {
                self.has(at, Class::Agree) && !self.is_question(at)
                    || self.ends_in_yes(at)
                    || sentences.contains(&at) && self.answers_yes_himself(at)
                    || at > last && self.says_the_same(made, at)
            });
        if own || agrees || quoted && self.signed_by_customer(made) {
            Stance::Endorsed
        } else {
            Stance::Reported
        }
    }

    /// Whether a sentence opens with the negation of the one before it, and so agrees with that.
    fn says_the_same(&self, made: &Match, at: usize) -> bool {
        let opens = |cue: &&Cue| cue.first <= 1 && cue.class.denies();
        let mut cues = self.cues(at).iter().filter(opens);
        cues.any(|cue| self.says_it_too(made, at, cue))
    }

    /// Whether the author answers what somebody asks with a yes of his own: “Jo writes in: do new leads need time? Yes, we both said.”
    fn answers_yes_himself(&self, asked: usize) -> bool {
        let next = asked + 1;
        self.is_question(asked)
            && self.same_block(asked, next)
            && self.starts_with(next, Class::Yes)
            && !self.cues(next).iter().any(|cue| cue.class.denies())
            && (self.cues_of(next, Class::Report)).all(|cue| self.said_by_the_author(next, cue))
    }

    /// Whether the words stand in a message that is handed on whole, below a head of its own: “> From: Joan”, “> Date: Monday”.
    fn forwarded(&self, sentence: usize) -> bool {
        const HEADS: [&str; 3] = ["From:", "Date:", "Subject:"];
        /// Blocks of a message above the one that is asked for.
        const REACH: usize = 12;
        let own = self.sheet.sentences.get(sentence).map(|own| own.block());
        let above = |at: usize| (at.saturating_sub(REACH)..=at).rev();
        (own.into_iter().flat_map(above))
            .map_while(|at| self.sheet.blocks.get(at).filter(|block| block.quoted()))
            .any(|block| {
                let words = block.span.of(self.text()).trim_start();
                HEADS.iter().any(|head| words.starts_with(head))
            })
    }

    /// Whether the author says of himself that he says so: “I can report that”, “we'd say”.
    fn said_by_the_author(&self, at: usize, cue: &Cue) -> bool {
        /// Words between the author and the verb.
        const APART: usize = 2;
        const AUTHOR: [&str; 2] = ["i", "we"];
        const BETWEEN: [&str; 13] = [
            "can", "must", "do", "have", "to", "only", "happily", "gladly", "now", "ever",
            "always", "both", "all",
        ];
        /// What a script bids its reader do.
        const BIDS: [&str; 3] = ["say", "explain", "tell"];
        let all = self.words(at);
        let ahead = Span::new(all.start(), cue.span.start().max(all.start())).of(self.text());
        let mut words = ahead.split_whitespace().rev().take(APART + 1);
        let plain = |word: &str| word.to_lowercase().replace('’', "'");
        if BIDS.contains(&plain(cue.span.of(self.text())).as_str())
            && !ahead.contains(char::is_alphabetic)
        {
            return true;
        }
        cue.first == cue.last
            && words
                .find(|word| !BETWEEN.contains(&plain(word).as_str()))
                .is_some_and(|word| {
                    let word = plain(word);
                    let word = word.trim_start_matches(|sign: char| !sign.is_alphanumeric());
                    let bare = word.split('\'').next().unwrap_or("");
                    AUTHOR.contains(&bare)
                })
    }

    /// Whether those who have bought or heard it are who tells: “listeners speak of”.
    fn praises(&self, at: usize, cue: &Cue) -> bool {
        const APART: usize = 2;
        let all = self.words(at);
        let ahead = Span::new(all.start(), cue.span.start().max(all.start())).of(self.text());
        let mut words = ahead.split_whitespace().rev().take(APART);
        words.any(|word| self.lists.praise.has(&word.to_lowercase()))
    }

    /// Whether a block is one of the answers of an interview.
    pub(super) fn is_answer_in_quotes(&self, block: usize) -> bool {
        let answers = self.interview.get_or_init(|| self.find_interview());
        answers.binary_search(&block).is_ok()
    }

    /// Whether a paragraph in quotation marks is one of the answers of an interview, each below a short line of who asks.
    fn answers_in_quotes(&self, sentence: usize) -> bool {
        let block = self.sheet.sentences.get(sentence).map(|own| own.block());
        block.is_some_and(|block| self.is_answer_in_quotes(block))
    }

    /// The paragraphs that are such answers, in order.
    fn find_interview(&self) -> Vec<usize> {
        /// Fewest answers of an interview, and fewest of the lines above them that ask something.
        const ANSWERS: usize = 3;
        const QUESTIONS: usize = 2;
        /// Most words of such a line.
        const WORDS: usize = 20;
        const OPENING: [char; 2] = ['"', '“'];
        const CLOSING: [char; 2] = ['"', '”'];
        let words = |at: usize| {
            let block = self.sheet.blocks.get(at);
            block.map_or("", |block| block.span.of(self.text()).trim())
        };
        let quoted = |at: usize| words(at).starts_with(OPENING) && words(at).ends_with(CLOSING);
        // A title in quotation marks answers nothing.
        let all = 1..self.sheet.blocks.len();
        let answers: Vec<usize> = all.filter(|&at| quoted(at)).collect();
        let above = |at: &usize| at.checked_sub(1).filter(|&above| !quoted(above));
        let asks: Vec<usize> = answers.iter().filter_map(above).collect();
        let short = |at: &&usize| words(**at).split_whitespace().nth(WORDS).is_none();
        let questions = asks.iter().filter(|at| words(**at).ends_with('?')).count();
        if answers.len() >= ANSWERS
            && asks.len() == answers.len()
            && asks.iter().filter(short).count() == asks.len()
            && questions >= QUESTIONS
        {
            answers
        } else {
            Vec::new()
        }
    }

    /// The line below a quotation that tells whose it is: “– our own workshop manager”.
    fn signed_below(&self, last: usize) -> Option<usize> {
        let own = self.sheet.sentences.get(last)?.block();
        let (quote, below) = (self.sheet.blocks.get(own)?, self.sheet.blocks.get(own + 1)?);
        let next = below.sentences().start;
        let words = self.words(next).of(self.text()).trim_start();
        // A dash at the start of a line may have been read as that of a list.
        let dash = words.starts_with(['-', '–', '—'])
            || below.kind() == BlockKind::Item && quote.kind() != BlockKind::Item;
        (dash && last + 1 == quote.sentences().end && below.sentences().len() == 1).then_some(next)
    }

    /// Whether each sentence of the claim tells of a third person, without a word of the author's own: “He lifted his leads on
    /// blocks of myrtle, and the stage grew.”
    pub(super) fn told_of_another(&self, made: &Match) -> bool {
        let told = |at: usize| match self.told.get() {
            Some((known, told)) if known == at => told,
            _ => {
                let told = !self.says_word(at, OWN) && self.says_word(at, OTHER);
                self.told.set(Some((at, told)));
                told
            }
        };
        made.sentences.iter().copied().all(told) && !self.called_her(made)
    }

    /// Whether a quotation of a release is told with a name beside which its text gives an office elsewhere: “said works director
    /// Isolde Fenn”, and further down “Ms Fenn went on”.
    pub(super) fn said_by_the_house(&self, near: &[usize]) -> bool {
        let house = self.house.get_or_init(|| {
            let all = 0..self.sheet.sentences.len();
            all.flat_map(|at| {
                let offices = self.cues_of(at, Class::People);
                offices.flat_map(move |cue| self.names(at, cue.span))
            })
            .map(str::to_owned)
            .collect()
        });
        !house.is_empty()
            && near.iter().any(|&at| {
                self.cues_of(at, Class::Report)
                    .any(|cue| self.names(at, cue.span).any(|name| house.contains(name)))
            })
    }

    /// The names that stand within a few words of a cue: words with a capital that begin no sentence and are no title.
    fn names(&self, at: usize, cue: Span) -> impl Iterator<Item = &str> {
        /// Words between a name and the cue.
        const APART: usize = 3;
        /// Fewest letters of a name, which are more than those of a title.
        const LETTERS: usize = 4;
        let all = self.words(at);
        let before = Span::new(all.start(), cue.start().max(all.start())).of(self.text());
        let behind = Span::new(cue.end(), all.end().max(cue.end())).of(self.text());
        // What stands on the other side of a quotation mark is what was said.
        let marks = ['"', '“', '”'];
        let before = before.rsplit(marks).next().unwrap_or("");
        let behind = behind.split(marks).next().unwrap_or("");
        let words = before.split_whitespace().rev().take(APART);
        let words = words.chain(behind.split_whitespace().take(APART));
        words
            .map(|word| word.trim_matches(|letter: char| !letter.is_alphabetic()))
            .filter(|word| word.len() >= LETTERS && word.starts_with(char::is_uppercase))
    }

    /// Whether a customer's signature and no more stands behind a quotation: “… since.” A happy buyer in Harle. Whoever prints
    /// such praise without a word of his own offers it.
    pub(super) fn signed_by_customer(&self, made: &Match) -> bool {
        /// Most words of a signature.
        const WORDS: usize = 8;
        let block = |at: usize| self.sheet.sentences.get(at).map(|own| own.block());
        let own = block(made.last()).and_then(|at| self.sheet.blocks.get(at));
        let (Some(end), Some(own)) = (self.quote_end(made), own) else {
            return false;
        };
        let behind = Span::new(end, own.span.end().max(end)).of(self.text());
        let behind = behind.trim_start_matches(['"', '”', '»', '’', ' ', '\n', '–', '—', '-', '(']);
        // "lent by its owner" goes on with the sentence.
        let opens = behind.starts_with(char::is_uppercase);
        let has = |list: crate::lexicon::List<'_>| {
            let mut words = behind.split(|sign: char| !sign.is_alphanumeric());
            words.any(|word| list.has(&word.to_lowercase()))
        };
        let inner = behind.trim_end_matches(['.', '!', ')', ' ', '\n']);
        opens
            && behind.split_whitespace().nth(WORDS).is_none()
            && !inner.contains(['.', '!', '?', '"', '“'])
            && has(self.lists.customer)
            && !has(self.lists.speech)
    }

    /// Whether what is called “she” is the cable: nobody is spoken of shortly before. “Play her every day, and she begins to sing.”
    fn called_her(&self, made: &Match) -> bool {
        const BACK: usize = 8;
        const HIM: &[&str] = &["he", "him", "his", "mr", "mrs", "ms", "miss", "dr"];
        let (first, last) = (made.first(), made.last());
        let person = |at: usize| {
            self.says_word(at, HIM)
                || self
                    .words(at)
                    .of(self.text())
                    .split(|letter: char| !letter.is_alphanumeric())
                    .any(|word| self.lists.person.has(&word.to_lowercase()))
        };
        !(first.saturating_sub(BACK)..=last).any(person)
    }

    /// Whether the telling words of the claim stand in quotation marks, in a phrase or a sentence or two of somebody's, inside a text
    /// that says more than what is quoted.
    pub(super) fn cited(&self, made: &Match) -> bool {
        const SENTENCES: usize = 2;
        /// Words of such a text; fewer only name who spoke.
        const AROUND: usize = 4;
        /// Words of a quotation that says something; fewer are a name or a single term.
        const SAYING: usize = 4;
        let block = (self.sheet.sentences.get(made.sentence))
            .and_then(|own| self.sheet.blocks.get(own.block()));
        let Some(block) = block else {
            return false;
        };
        // No more words are counted than are asked for, however long the paragraph is.
        let words = |start: usize, end: usize, most: usize| {
            let span = Span::new(start, end.max(start));
            span.of(self.text()).split_whitespace().take(most).count()
        };
        let cites = |quote: &Span| {
            let around = words(block.span.start(), quote.start(), AROUND)
                + words(quote.end(), block.span.end(), AROUND);
            let sentences = &self.sheet.sentences;
            let first = sentences.partition_point(|own| own.span.end() <= quote.start());
            let said = sentences.iter().skip(first).take(SENTENCES + 1);
            let said = said.filter(|own| own.span.overlaps(*quote)).count();
            around >= AROUND && said <= SENTENCES && !self.is_to_be_said(*quote)
        };
        let quoted = |hit: &Hit, least: usize| {
            let after = self
                .quotes
                .partition_point(|quote| quote.start() <= hit.span.start());
            let quote = after.checked_sub(1).and_then(|at| self.quotes.get(at));
            let quote = quote.filter(|quote| quote.contains(hit.span));
            quote.is_some_and(|quote| {
                words(quote.start(), quote.end(), least) >= least && cites(quote)
            })
        };
        // “‘Lift your cables and hear the stage breathe’ – lifters lift cables”: what is done stands in the author's words, what it
        // is good for only in those that he takes up.
        let mut parts = made.hits.iter();
        parts.next().is_some_and(|(_, hit)| quoted(hit, 1))
            || parts.any(|(_, hit)| quoted(hit, SAYING))
    }

    /// Whether a script bids its reader say what is quoted: “Hand round the piece. Say: ‘…’”
    fn is_to_be_said(&self, quote: Span) -> bool {
        const AHEAD: usize = 8;
        let text = self.text();
        let from = text.floor_char_boundary(quote.start().saturating_sub(AHEAD));
        let ahead = Span::new(from, quote.start()).of(text).to_lowercase();
        let mut words = ahead.trim_end_matches([' ', ':', '\n']).rsplit(' ');
        words.next().is_some_and(|word| word.ends_with("say")) && ahead.contains(':')
    }

    /// Whether the author said so himself and takes it back right behind: “I was the one who wrote that it opens up. I take that
    /// back.”
    pub(super) fn taken_back(&self, made: &Match) -> bool {
        /// Words between “I” and “said”.
        const APART: usize = 6;
        let last = made.last();
        let said = |at: usize| {
            let words = self.words(at);
            self.cues_of(at, Class::Report).any(|cue| {
                let before = Span::new(words.start(), cue.span.start());
                let mut near = before.of(self.text()).split_whitespace().rev().take(APART);
                near.any(|word| ["i", "we"].contains(&word.to_lowercase().as_str()))
            })
        };
        let takes = |cue: &Cue| cue.class == Class::Recant && cue.first <= 1;
        // What is told in one paragraph is taken back at the start of the next.
        let paragraph = |at: usize| {
            let own = self.sheet.sentences.get(at)?.block();
            let kind = self.sheet.blocks.get(own)?.kind();
            (kind == BlockKind::Paragraph).then_some(own)
        };
        let goes_on = self.same_block(last, last + 1)
            || paragraph(last).is_some()
                && paragraph(last + 1) == paragraph(last).map(|own| own + 1);
        goes_on && self.cues(last + 1).iter().any(takes) && made.sentences.iter().copied().any(said)
    }

    /// Whether the sentence says one of the words.
    pub(super) fn says_word(&self, sentence: usize, list: &[&str]) -> bool {
        self.words(sentence)
            .of(self.text())
            .split(|letter: char| !letter.is_alphanumeric())
            .any(|word| list.iter().any(|known| word.eq_ignore_ascii_case(known)))
    }
}
