//! Who stands behind a claim, by the scope of cues.
//!
//! The method is that of the negation-scope algorithms for clinical text (Chapman et al. 2001, J. Biomed. Inform. 34:
//! cues with a direction, pseudo-cues and scope ends; Harkema et al. 2009, J. Biomed. Inform. 42: the same for who
//! experiences and for hypothetical statements). Cues are word lists:
//!
//! | list | effect |
//! | --- | --- |
//! | `stance.deny.clause` | denies what stands in its clause |
//! | `stance.deny.rest` | denies what follows it in the sentence, up to a contrast |
//! | `stance.deny.back` | denies what precedes it; near the start of a sentence, the sentence before |
//! | `stance.deny.all` | denies its whole sentence, up to a contrast; near the start or in a short one, the sentence before |
//! | `stance.deny.next` | at the start of a sentence: denies the sentence before (two after a quotation) |
//! | `stance.deny.heading` | in a heading, a lead or before a colon: denies what stands under it |
//! | `stance.deny.title` | says in a heading of a word or two that nothing under it is meant (“Humour”) |
//! | `stance.task` | sets statements to be judged: what stands behind it or under it is not said (“True or false?”) |
//! | `stance.choose` | says to choose an answer: of what is offered below boxes none is said |
//! | `stance.fact` | ends the reach of such a heading (“Fact: …”) |
//! | `stance.pseudo` | words that look like a `deny.clause`, an `if.weak`, an `if.start` or a `would` cue and are none |
//! | `stance.affirm` | words that look like any denial and assert (“far from a myth”) |
//! | `stance.break` | words that end a clause |
//! | `stance.contrast` | words that end the reach of a denial before them |
//! | `stance.ask`, `stance.rhetoric`, `stance.yes` | indirect questions; questions that assert; answers that assert |
//! | `stance.ask.next` | opens a question about the sentence before it (“Are they better?”) |
//! | `stance.if`, `stance.if.weak`, `stance.if.start`, `stance.would` | conditions; conditions only beside a `would` or with the claim inside, the last but one at the start of a sentence |
//! | `stance.report`, `stance.report.not` | somebody else says so; words that only look so |
//! | `stance.until` | “nobody could … until”: the negations of the sentence tell when it came about |
//! | `stance.if.not` | words that look like a condition and are none (“as if it were”) |
//! | `stance.jest` | says that the document means nothing of what it says (“this page is our yearly joke”) |
//! | `stance.recant` | the author takes back what he denied before |
//! | `stance.own`, `stance.people`, `stance.release` | the publisher's own people; people of a firm; marks of a release |
//! | `stance.spokes` | a firm's people as a release quotes them, with name and office |
//! | `stance.agree` | the author agrees |
//!
//! The cues, the order in which they are applied, and whose words they are stand here; the files below hold one group of cues each.

mod above;
mod choices;
mod denial;
mod exchange;
mod masks;
mod question;
mod rebuttal;
mod series;
mod teller;

use masks::{
    counts, drop_contrasted, drop_double, drop_until, enumerates, has_border, masked,
    negated_behind, numbers, quotes, words_it,
};

use super::matching::Match;
use crate::facts::DocumentKind;
use crate::finding::Stance;
use crate::lexicon::{ConceptId, Hits, Lexicon, lists};
use crate::sheet::Sheet;
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};
use std::cell::{Cell, OnceCell, RefCell};

/// What a cue does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    DenyClause,
    DenyRest,
    DenyBack,
    DenyAll,
    DenyNext,
    DenyHeading,
    DenyTitle,
    Task,
    Fact,
    Pseudo,
    Affirm,
    Break,
    Contrast,
    Ask,
    AskNext,
    Rhetoric,
    Yes,
    If,
    IfWeak,
    IfStart,
    Would,
    Report,
    ReportNot,
    Own,
    People,
    Spokes,
    Release,
    Agree,
    Until,
    IfNot,
    Recant,
}

impl Class {
    fn bit(self) -> u32 {
        1 << self as u32
    }

    /// Whether it denies words of running text. A heading that denies is no sentence of it.
    fn denies(self) -> bool {
        matches!(
            self,
            Self::DenyClause | Self::DenyRest | Self::DenyBack | Self::DenyAll | Self::DenyNext
        )
    }
}

const NAMES: &[(&str, Class)] = &[
    ("stance.deny.clause", Class::DenyClause),
    ("stance.deny.rest", Class::DenyRest),
    ("stance.deny.back", Class::DenyBack),
    ("stance.deny.all", Class::DenyAll),
    ("stance.deny.next", Class::DenyNext),
    ("stance.deny.heading", Class::DenyHeading),
    ("stance.deny.title", Class::DenyTitle),
    ("stance.task", Class::Task),
    ("stance.fact", Class::Fact),
    ("stance.pseudo", Class::Pseudo),
    ("stance.affirm", Class::Affirm),
    ("stance.break", Class::Break),
    ("stance.contrast", Class::Contrast),
    ("stance.ask", Class::Ask),
    ("stance.ask.next", Class::AskNext),
    ("stance.rhetoric", Class::Rhetoric),
    ("stance.yes", Class::Yes),
    ("stance.if", Class::If),
    ("stance.if.weak", Class::IfWeak),
    ("stance.if.start", Class::IfStart),
    ("stance.would", Class::Would),
    ("stance.report", Class::Report),
    ("stance.report.not", Class::ReportNot),
    ("stance.own", Class::Own),
    ("stance.people", Class::People),
    ("stance.spokes", Class::Spokes),
    ("stance.release", Class::Release),
    ("stance.agree", Class::Agree),
    ("stance.until", Class::Until),
    ("stance.if.not", Class::IfNot),
    ("stance.recant", Class::Recant),
];

lists! {
    /// The lists of `rules/words-stance.yaml`, in which marks and words beside a cue are looked up.
    struct Lists;
    reply_signed = "reply.signed",
    letter_opening = "letter.opening",
    point_ordinal = "point.ordinal",
    person = "teller.person",
    customer = "teller.customer",
    verdict_false = "verdict.false",
    speech = "teller.speech",
    praise = "teller.praise",
    question_label = "question.label",
    heading_forbids = "heading.forbids",
    unseen_see = "unseen.see",
    unseen_hear = "unseen.hear",
    forbids_first = "forbids.first",
    label_denies = "label.denies",
    column_denies = "column.denies",
    column_for = "column.for",
    column_read = "column.read",
    value_no = "value.no",
    series_denied = "series.denied",
    asks_at_once = "asks.at_once",
    question_first = "question.first",
    answer_verb = "answer.verb",
    answer_yes = "answer.yes",
    question_doubts = "question.doubts",
    clause_joins = "clause.joins",
    clause_pronouns = "clause.pronouns",
    negation_paired = "negation.paired",
    negation_plain = "negation.plain",
    negation_duty = "negation.duty",
    negation_of_use = "negation.of_use",
    cleft_first = "cleft.first",
    cleft_person = "cleft.person",
    question_back = "question.back",
    gone_deeds = "gone.deeds",
    gone_blamed = "gone.blamed",
    negation_outcome = "negation.outcome",
    rival_words = "rival.words",
}

/// Word lists of what a cable is called.
const THINGS: &[&str] = &["care.cable", "thing.wire"];

/// The cue lists of a rulebook.
#[derive(Debug)]
pub(super) struct Cues<'l> {
    /// By concept number.
    class: Vec<Option<Class>>,
    /// A gain in sound.
    gain: Option<ConceptId>,
    /// A fault in sound.
    fault: Option<ConceptId>,
    /// Marks of a release.
    release: Option<ConceptId>,
    /// Words that say that nothing is meant.
    jest: Option<ConceptId>,
    /// Words that say to choose an answer.
    choose: Option<ConceptId>,
    /// What a cable is called: who says no of a reel denies nothing that was said of it.
    things: Vec<ConceptId>,
    lists: Lists<'l>,
}

impl<'l> Cues<'l> {
    pub(super) fn new(lexicon: &'l Lexicon) -> Self {
        let mut class = vec![None; lexicon.len()];
        for &(name, kind) in NAMES {
            if let Some(slot) = lexicon
                .id(name)
                .and_then(|id| class.get_mut(usize::from(id.0)))
            {
                *slot = Some(kind);
            }
        }
        Self {
            class,
            gain: lexicon.id("sound.better"),
            fault: lexicon.id("sound.harm"),
            release: lexicon.id("stance.release"),
            jest: lexicon.id("stance.jest"),
            choose: lexicon.id("stance.choose"),
            things: THINGS.iter().filter_map(|name| lexicon.id(name)).collect(),
            lists: Lists::new(lexicon),
        }
    }

    fn class(&self, concept: ConceptId) -> Option<Class> {
        self.class.get(usize::from(concept.0)).copied().flatten()
    }
}

/// A cue at its place.
#[derive(Debug, Clone, Copy)]
struct Cue {
    class: Class,
    span: Span,
    /// Index of its first word in the sentence.
    first: usize,
    /// Index of its last word.
    last: usize,
}

/// The cues of a sentence that has any.
#[derive(Debug, Clone)]
struct Cued {
    /// Their classes, a bit each.
    classes: u32,
    cues: Vec<Cue>,
}

/// So many sentences have room for their cues together: one for each bit of a number.
const STRETCH: usize = 32;

/// The cues of sentences that stand side by side, where they were asked for.
type Stretch = [OnceCell<Box<Cued>>; STRETCH];

/// A sentence with this many words or fewer refers to the one before it when it denies as a whole.
const SHORT: usize = 14;
/// How many sentences of a block a label at its start denies.
const LABEL_REACH: usize = 12;
/// A cue that begins at this word or before it stands near the start of its sentence.
const NEAR_START: usize = 4;

/// By sentence, the words that the wordings of one claim are made of.
pub(super) type Parts<'p, 'f> = &'f dyn Fn(usize) -> &'p [Span];

/// The cues of one document.
#[derive(Debug)]
pub(super) struct Reader<'d> {
    sheet: &'d Sheet,
    hits: &'d Hits,
    /// What is a cue.
    class: &'d Cues<'d>,
    /// By sentence, in order, those that only look like cues left out; of sentences that were asked for, [`STRETCH`] side by side: most
    /// stretches of a dense document are never asked for.
    cues: Vec<OnceCell<Box<Stretch>>>,
    /// For each such stretch, a bit for each sentence that is known to have none.
    uncued: Vec<Cell<u32>>,
    /// Words in quotation marks.
    quotes: Vec<Span>,
    /// Quotations that the author goes through one by one; found when first asked for.
    series: OnceCell<Vec<series::Turn>>,
    /// Blocks that are no items of a list, and blocks that are no questions by their label; found when first asked for.
    no_items: OnceCell<Vec<usize>>,
    no_questions: OnceCell<Vec<usize>>,
    /// Blocks that are answers to choose from; found when first asked for.
    choices: OnceCell<Vec<usize>>,
    /// Marks by which an editor signs; found when first asked for.
    signed: OnceCell<Vec<Span>>,
    /// Letters of a column that answers each; found when first asked for.
    letters: OnceCell<Vec<usize>>,
    /// Sentences that begin paragraphs each of which goes through something that is said; found when first asked for.
    sayings: OnceCell<Vec<usize>>,
    /// Paragraphs in quotation marks that are the answers of an interview; found when first asked for.
    interview: OnceCell<Vec<usize>>,
    /// The sentence that was last asked whether it tells of another, with the answer: a claim may stand in it many times.
    told: Cell<Option<(usize, bool)>>,
    /// The same of whether what stands above denies it.
    above: Cell<Option<(usize, bool)>>,
    /// Names of the people of the firm whose release it is; found when first asked for.
    house: OnceCell<FxHashSet<String>>,
    /// What was found to be said and meant somewhere, by concept that was asked for.
    held: RefCell<FxHashMap<ConceptId, bool>>,
    /// Whether the document is a release.
    release: bool,
    /// Whether the document offers nothing: what it quotes or tells of others it need not stand behind.
    apart: bool,
    /// A gain in sound.
    gain: Option<ConceptId>,
    lists: Lists<'d>,
}

impl<'d> Reader<'d> {
    pub(super) fn new(
        cues: &'d Cues<'d>,
        sheet: &'d Sheet,
        hits: &'d Hits,
        kind: DocumentKind,
    ) -> Self {
        let release = cues.release.is_some_and(|concept| hits.anywhere(concept));
        Self {
            sheet,
            hits,
            class: cues,
            cues: vec![OnceCell::new(); sheet.sentences.len().div_ceil(STRETCH)],
            uncued: vec![Cell::new(0); sheet.sentences.len().div_ceil(STRETCH)],
            quotes: quotes(sheet),
            series: OnceCell::new(),
            no_items: OnceCell::new(),
            no_questions: OnceCell::new(),
            choices: OnceCell::new(),
            signed: OnceCell::new(),
            interview: OnceCell::new(),
            letters: OnceCell::new(),
            sayings: OnceCell::new(),
            told: Cell::new(None),
            above: Cell::new(None),
            house: OnceCell::new(),
            held: RefCell::default(),
            release,
            apart: !release && !matches!(kind, DocumentKind::Sheet | DocumentKind::Range),
            gain: cues.gain,
            lists: cues.lists,
        }
    }

    /// The cues of a sentence, in order, those that only look like cues left out.
    fn find_cues(&self, sentence: usize) -> Vec<Cue> {
        let found: Vec<Cue> = self
            .hits
            .of(sentence)
            .iter()
            .filter_map(|hit| {
                Some(Cue {
                    class: self.class.class(hit.concept)?,
                    span: hit.span,
                    first: hit.first,
                    last: hit.last,
                })
            })
            .collect();
        let mut kept: Vec<Cue> = found
            .iter()
            .copied()
            .filter(|cue| !masked(cue, &found) && !numbers(cue.span, self.text()))
            .filter(|cue| {
                let span = cue.span;
                cue.class != Class::Agree
                    || !counts(span, self.text())
                        && !negated_behind(span, self.text())
                        && !self.answers_in_other_words(sentence, span)
            })
            .collect();
        if !kept.is_empty() {
            drop_double(&mut kept, self.text(), self.lists);
            drop_until(&mut kept, self.text(), self.lists);
            drop_contrasted(&mut kept, self.text(), self.lists);
            kept.retain(|cue| !self.says_it_is_gone(sentence, cue));
            if kept.iter().any(|cue| cue.class.denies()) && self.unseen_but_heard(sentence) {
                kept.retain(|cue| !cue.class.denies());
            }
        }
        kept
    }

    /// Whether the sentence tells of a gain in sound.
    fn tells_gain(&self, sentence: usize) -> bool {
        self.gain
            .is_some_and(|concept| self.hits.say(sentence, concept))
    }

    fn cued(&self, sentence: usize) -> Option<&Cued> {
        let (at, place) = (sentence / STRETCH, sentence % STRETCH);
        let uncued = self.uncued.get(at)?;
        if uncued.get() >> place & 1 != 0 {
            return None;
        }
        let stretch = self.cues.get(at)?;
        if let Some(known) = stretch.get().and_then(|stretch| stretch.get(place)?.get()) {
            return Some(known);
        }
        let cues = self.find_cues(sentence);
        if cues.is_empty() {
            uncued.set(uncued.get() | 1 << place);
            return None;
        }
        let classes = cues.iter().fold(0, |all, cue| all | cue.class.bit());
        let stretch = stretch.get_or_init(|| Box::new([const { OnceCell::new() }; STRETCH]));
        let known = stretch.get(place)?;
        Some(known.get_or_init(|| Box::new(Cued { classes, cues })))
    }

    fn cues(&self, sentence: usize) -> &[Cue] {
        self.cued(sentence).map_or(&[], |cued| &cued.cues)
    }

    /// The cues of one class: most sentences have none, which a bit tells.
    fn cues_of(&self, sentence: usize, class: Class) -> impl Iterator<Item = &Cue> {
        let cued = (self.cued(sentence)).filter(|cued| cued.classes & class.bit() != 0);
        let cues = cued.map_or(&[][..], |cued| &cued.cues);
        cues.iter().filter(move |cue| cue.class == class)
    }

    fn text(&self) -> &str {
        self.sheet.flow.text()
    }

    fn words(&self, sentence: usize) -> Span {
        self.sheet
            .sentences
            .get(sentence)
            .map_or_else(Span::default, |sentence| sentence.span)
    }

    /// Who stands behind the claim; `of_wire`: of what a cable is said to do by itself; `parts` are the words by sentence that any wording of it
    /// is made of; `absent`: what the claim says is not there.
    pub(super) fn stance<'p>(
        &self,
        made: &Match,
        of_wire: bool,
        parts: Parts<'p, '_>,
        absent: &[ConceptId],
    ) -> Stance {
        if self.asked(made) || self.to_choose(made) || self.names_point(made) {
            return Stance::Asked;
        }
        if self.jests() || self.struck(made) {
            return Stance::Denied;
        }
        if self.denied(made, of_wire, parts, absent) {
            return if self.recants(made) {
                Stance::Endorsed
            } else {
                Stance::Denied
            };
        }
        if self.taken_back(made) {
            return Stance::Denied;
        }
        if self.conditional(made) {
            return Stance::Conditional;
        }
        self.source(made, of_wire)
    }

    /// Whether words that agree announce, behind a question, what is not said yet: “Does it need to run in? She put it best: …”
    fn answers_in_other_words(&self, sentence: usize, cue: Span) -> bool {
        let text = self.text();
        let before = sentence
            .checked_sub(1)
            .map(|before| self.words(before).of(text));
        text.get(cue.end()..)
            .is_some_and(|rest| rest.starts_with(':'))
            && before.is_some_and(|before| before.trim_end().ends_with('?'))
    }

    /// Whether the document says of itself that it means nothing: “This page is our yearly joke.”
    fn jests(&self) -> bool {
        self.class
            .jest
            .is_some_and(|concept| self.say_anywhere(&[concept]))
    }

    /// Whether the words are struck through: “~~Frozen for calmer voices.~~”
    fn struck(&self, made: &Match) -> bool {
        const MARK: &str = "~~";
        /// Bytes of its block around the claim that are looked at.
        const REACH: usize = 2_000;
        let block = self
            .sheet
            .sentences
            .get(made.sentence)
            .map(|own| own.block());
        let Some(block) = block.and_then(|at| self.sheet.blocks.get(at)) else {
            return false;
        };
        let text = self.text();
        let start = made.span.start().max(block.span.start());
        let from = text.ceil_char_boundary(start.saturating_sub(REACH).max(block.span.start()));
        let to = text.floor_char_boundary((start + REACH).min(block.span.end()).max(start));
        let ahead = Span::new(from.min(start), start).of(text);
        let behind = Span::new(start, to.max(start)).of(text);
        behind.contains(MARK) && ahead.matches(MARK).count() % 2 == 1
    }

    fn has(&self, sentence: usize, class: Class) -> bool {
        self.cues_of(sentence, class).next().is_some()
    }

    fn starts_with(&self, sentence: usize, class: Class) -> bool {
        self.cues_of(sentence, class).any(|cue| cue.first <= 1)
    }

    /// Whether a sentence has no more words than [`SHORT`].
    fn short(&self, sentence: usize) -> bool {
        let mut words = self.words(sentence).of(self.text()).split_whitespace();
        words.nth(SHORT).is_none()
    }

    fn same_block(&self, one: usize, other: usize) -> bool {
        let block = |at: usize| {
            self.sheet
                .sentences
                .get(at)
                .map(|sentence| sentence.block())
        };
        block(one).is_some() && block(one) == block(other)
    }

    fn block_quoted(&self, sentence: usize) -> bool {
        self.sheet
            .sentences
            .get(sentence)
            .and_then(|sentence| self.sheet.blocks.get(sentence.block()))
            .is_some_and(|block| block.quoted())
    }

    fn voice(&self, speaker: Option<Span>) -> &str {
        speaker.map_or("", |span| span.of(self.text()))
    }

    fn parenthesis(&self, sentence: usize) -> bool {
        self.words(sentence).of(self.text()).starts_with(['(', '['])
    }

    fn in_quotes(&self, made: &Match) -> bool {
        self.quote_end(made).is_some()
    }

    /// The end of the quotation in which the claim begins.
    fn quote_end(&self, made: &Match) -> Option<usize> {
        let after = self
            .quotes
            .partition_point(|quote| quote.start() <= made.span.start());
        after
            .checked_sub(1)
            .and_then(|index| self.quotes.get(index))
            .map(|quote| quote.end())
            .filter(|&end| made.span.start() < end)
    }
}

#[cfg(test)]
mod tests {
    use super::{Lists, NAMES};
    use crate::rulebook::Rulebook;

    #[test]
    fn every_cue_is_a_concept_and_every_list_is_there() {
        let rulebook = Rulebook::builtin();
        for (name, _) in NAMES {
            assert!(
                rulebook.lexicon().id(name).is_some(),
                "no word list is called {name}"
            );
        }
        for name in Lists::NAMES {
            assert!(
                rulebook.lexicon().has_list(name),
                "no list is called {name}"
            );
        }
    }
}
