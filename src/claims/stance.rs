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
//! | `stance.fact` | ends the reach of such a heading (“Fact: …”) |
//! | `stance.pseudo` | words that look like a `deny.clause`, an `if.weak`, an `if.start` or a `would` cue and are none |
//! | `stance.affirm` | words that look like any denial and assert (“far from a myth”) |
//! | `stance.break` | words that end a clause |
//! | `stance.contrast` | words that end the reach of a denial before them |
//! | `stance.ask`, `stance.rhetoric`, `stance.yes` | indirect questions; questions that assert; answers that assert |
//! | `stance.if`, `stance.if.weak`, `stance.if.start`, `stance.would` | conditions; conditions only beside a `would` or with the claim inside, the last but one at the start of a sentence |
//! | `stance.report`, `stance.report.not` | somebody else says so; words that only look so |
//! | `stance.until` | “nobody could … until”: the negations of the sentence tell when it came about |
//! | `stance.if.not` | words that look like a condition and are none (“as if it were”) |
//! | `stance.recant` | the author takes back what he denied before |
//! | `stance.own`, `stance.people`, `stance.release` | the publisher's own people; people of a firm; marks of a release |
//! | `stance.spokes` | a firm's people as a release quotes them, with name and office |
//! | `stance.agree` | the author agrees |
//!
//! Long: cues and scopes are one method; the order in which they are applied is the point.

use super::matching::Match;
use crate::finding::Stance;
use crate::lexicon::{ConceptId, Hit, Hits, Lexicon};
use crate::sheet::{BlockKind, Sheet};
use crate::span::Span;
use rustc_hash::FxHashSet;

/// What a cue does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    DenyClause,
    DenyRest,
    DenyBack,
    DenyAll,
    DenyNext,
    DenyHeading,
    Fact,
    Pseudo,
    Affirm,
    Break,
    Contrast,
    Ask,
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

const NAMES: &[(&str, Class)] = &[
    ("stance.deny.clause", Class::DenyClause),
    ("stance.deny.rest", Class::DenyRest),
    ("stance.deny.back", Class::DenyBack),
    ("stance.deny.all", Class::DenyAll),
    ("stance.deny.next", Class::DenyNext),
    ("stance.deny.heading", Class::DenyHeading),
    ("stance.fact", Class::Fact),
    ("stance.pseudo", Class::Pseudo),
    ("stance.affirm", Class::Affirm),
    ("stance.break", Class::Break),
    ("stance.contrast", Class::Contrast),
    ("stance.ask", Class::Ask),
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

/// The cue lists of a rulebook.
#[derive(Debug)]
pub(super) struct Cues {
    /// By concept number.
    class: Vec<Option<Class>>,
}

impl Cues {
    pub(super) fn new(lexicon: &Lexicon) -> Self {
        let mut class = vec![None; lexicon.len()];
        for &(name, kind) in NAMES {
            if let Some(slot) = lexicon
                .id(name)
                .and_then(|id| class.get_mut(usize::from(id.0)))
            {
                *slot = Some(kind);
            }
        }
        Self { class }
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
    /// By sentence, in order, those that only look like cues left out.
    cues: Vec<Vec<Cue>>,
    /// Words in quotation marks.
    quotes: Vec<Span>,
    /// Concepts that are said somewhere.
    said: FxHashSet<ConceptId>,
    /// Whether the document is a release.
    release: bool,
}

impl<'d> Reader<'d> {
    pub(super) fn new(cues: &Cues, sheet: &'d Sheet, hits: &'d Hits) -> Self {
        let mut all = Vec::with_capacity(sheet.sentences.len());
        let mut release = false;
        for sentence in 0..sheet.sentences.len() {
            let found: Vec<Cue> = hits
                .of(sentence)
                .iter()
                .filter_map(|hit| {
                    Some(Cue {
                        class: cues.class(hit.concept)?,
                        span: hit.span,
                        first: hit.first,
                        last: hit.last,
                    })
                })
                .collect();
            release |= found.iter().any(|cue| cue.class == Class::Release);
            let mut kept: Vec<Cue> = found
                .iter()
                .copied()
                .filter(|cue| !masked(cue, &found))
                .collect();
            drop_double(&mut kept, sheet.flow.text());
            drop_until(&mut kept, sheet.flow.text());
            all.push(kept);
        }
        Self {
            sheet,
            hits,
            cues: all,
            quotes: quotes(sheet),
            said: hits.all().iter().map(|hit| hit.concept).collect(),
            release,
        }
    }

    fn cues(&self, sentence: usize) -> &[Cue] {
        self.cues.get(sentence).map_or(&[], Vec::as_slice)
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

    /// Whether one of the concepts is said anywhere in the document.
    pub(super) fn say_anywhere(&self, concepts: &[ConceptId]) -> bool {
        concepts.iter().any(|concept| self.said.contains(concept))
    }

    /// Whether no border of a clause stands between the two.
    pub(super) fn same_clause(&self, sentence: usize, one: Span, other: Span) -> bool {
        if one.overlaps(other) {
            return true;
        }
        let between = Span::new(one.end.min(other.end), one.start.max(other.start));
        // A quotation mark right behind the cue opens what it denies: isn't "break-in".
        let quoted = between
            .of(self.text())
            .trim()
            .chars()
            .all(|letter| matches!(letter, '"' | '“' | '‘' | '\''));
        (quoted || !has_border(between.of(self.text())) || enumerates(between.of(self.text())))
            && !self
                .cues(sentence)
                .iter()
                .any(|cue| cue.class == Class::Break && between.contains(cue.span))
    }

    fn contrast_between(&self, sentence: usize, one: Span, other: Span) -> bool {
        let between = Span::new(one.end.min(other.end), one.start.max(other.start));
        between.of(self.text()).contains(';')
            || self
                .cues(sentence)
                .iter()
                .any(|cue| cue.class == Class::Contrast && between.contains(cue.span))
    }

    /// Whether a denial before the words reaches them within their clause.
    pub(super) fn is_negated(&self, sentence: usize, hit: Hit) -> bool {
        self.cues(sentence).iter().any(|cue| {
            cue.class == Class::DenyClause
                && !cue.span.overlaps(hit.span)
                && cue.span.start < hit.span.start
                && self.same_clause(sentence, cue.span, hit.span)
        })
    }

    /// Who stands behind the claim; `parts` are the words by sentence that any wording of it is made of.
    pub(super) fn stance<'p>(&self, made: &Match, parts: Parts<'p, '_>) -> Stance {
        if self.asked(made) {
            return Stance::Asked;
        }
        if self.denied(made, parts) {
            return if self.recants(made) {
                Stance::Endorsed
            } else {
                Stance::Denied
            };
        }
        if self.conditional(made) {
            return Stance::Conditional;
        }
        self.source(made)
    }

    /// Whether the author, who has denied the claim, takes that back in its last sentence or in one of the next two.
    fn recants(&self, made: &Match) -> bool {
        let last = made.sentences().last().copied().unwrap_or(made.sentence);
        (last..=last + 2)
            .take_while(|&at| self.same_block(last, at))
            .any(|at| self.has(at, Class::Recant))
    }

    /// Whether a plain negation that is no look-alike stands before the claim in its main sentence.
    pub(super) fn negates(&self, made: &Match) -> bool {
        let cues = self.cues(made.sentence);
        let affirmed = cues
            .iter()
            .any(|cue| matches!(cue.class, Class::Affirm | Class::Pseudo));
        let first = made
            .hits
            .iter()
            .filter(|(at, _)| *at == made.sentence)
            .map(|(_, hit)| hit.span.start)
            .min();
        let start = first.unwrap_or(made.span.start);
        // A dozen words or so: further off it speaks of something else.
        let before = |cue: &Cue| cue.span.start < made.span.end && cue.span.end + 24 > start;
        !affirmed
            && cues
                .iter()
                .any(|cue| matches!(cue.class, Class::DenyClause | Class::DenyRest) && before(cue))
    }

    fn asked(&self, made: &Match) -> bool {
        let last_question = |at: usize, from: usize| {
            let tail = Span::new(from, self.words(at).end);
            tail.of(self.text()).contains('?')
        };
        let rhetorical = |at: usize| self.has(at, Class::Rhetoric);
        let sentences = made.sentences();
        let all_asked = made
            .hits
            .iter()
            .all(|(at, hit)| last_question(*at, hit.span.start) && !rhetorical(*at));
        if all_asked {
            let after = sentences.last().map_or(made.sentence, |last| last + 1);
            let affirmed = self.same_block(made.sentence, after)
                && (self.starts_with(after, Class::Yes)
                    || self.has(after, Class::Agree) && !self.is_question(after));
            return !affirmed;
        }
        made.hits.iter().any(|(at, hit)| {
            self.cues(*at).iter().any(|cue| {
                cue.class == Class::Ask
                    && cue.span.start < hit.span.start
                    && !self.contrast_between(*at, cue.span, hit.span)
            })
        })
    }

    fn denied<'p>(&self, made: &Match, parts: Parts<'p, '_>) -> bool {
        made.hits
            .iter()
            .any(|(at, hit)| self.denied_inside(made, *at, *hit, parts))
            || self.answered_no(made)
            || self.denied_above(made)
            || self.denied_after(made, parts)
            || self.replied(made)
    }

    /// Whether a letter that makes the claim is answered by the editor, who does not agree. The reply is signed or set in
    /// brackets, and stands before the next letter.
    fn replied(&self, made: &Match) -> bool {
        const SIGNED: &[&str] = &[
            "– Ed",
            "— Ed",
            "- Ed",
            " Ed.]",
            "–Ed",
            "– The editor",
            "- The editor",
        ];
        const LETTER: &[&str] = &["SIR", "Sir,", "Sir -", "Sir –", "Dear ", "Madam,"];
        const REACH: usize = 900;
        let text = self.text();
        let start = made
            .sentences()
            .last()
            .map_or(made.span.end, |last| self.words(*last).end);
        let mut end = (start + REACH).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        let after = text.get(start..end).unwrap_or("");
        let bracketed = || {
            // "[We believe that you heard it. … - B. Q.]": a reply in brackets, longer than a mark or a time.
            let open = after.find('[')?;
            let close = open + after.get(open..)?.find(']')?;
            (close - open > 40).then_some(close)
        };
        let Some(signed) = SIGNED
            .iter()
            .filter_map(|mark| after.find(mark))
            .chain(bracketed())
            .min()
        else {
            return false;
        };
        let reply = &after[..signed];
        if LETTER.iter().any(|head| reply.contains(head)) {
            return false;
        }
        // A reply that says yes, or agrees, stands behind the letter.
        let reach = start..start + signed;
        (made.sentence..self.sheet.sentences.len())
            .take_while(|&at| self.words(at).start < reach.end)
            .filter(|&at| self.words(at).start >= reach.start)
            .all(|at| !self.has(at, Class::Agree) && !self.has(at, Class::Yes))
    }

    /// Whether a question that holds a part of the claim is answered in the negative.
    fn answered_no(&self, made: &Match) -> bool {
        made.sentences().into_iter().any(|at| {
            let words = self.words(at).of(self.text()).trim_end();
            words.trim_end_matches(['"', '”', ')']).ends_with('?')
                && !self.has(at, Class::Rhetoric)
                && self.same_block(at, at + 1)
                && self.starts_with(at + 1, Class::DenyNext)
        })
    }

    /// A denial in the sentence of one of the concepts.
    fn denied_inside<'p>(&self, made: &Match, at: usize, hit: Hit, parts: Parts<'p, '_>) -> bool {
        self.cues(at).iter().any(|cue| {
            let part_of_claim = made
                .hits
                .iter()
                .any(|(other, part)| *other == at && part.span.contains(cue.span))
                || words_it(parts(at), cue);
            if part_of_claim {
                return false;
            }
            let before = cue.span.start < hit.span.start;
            match cue.class {
                Class::DenyClause => {
                    self.same_clause(at, cue.span, hit.span)
                        && (before || at == made.sentence || made.hits.len() == 1)
                }
                Class::DenyRest => before && !self.contrast_between(at, cue.span, hit.span),
                Class::DenyBack => !before,
                Class::DenyAll => !before || !self.contrast_between(at, cue.span, hit.span),
                Class::DenyHeading => {
                    before
                        && !self.cues(at).iter().any(|fact| {
                            fact.class == Class::Fact
                                && fact.span.start > cue.span.start
                                && fact.span.start < hit.span.start
                        })
                }
                _ => false,
            }
        })
    }

    /// A heading, a lead or a label that denies what stands under it.
    fn denied_above(&self, made: &Match) -> bool {
        let Some(own) = self.sheet.sentences.get(made.sentence) else {
            return false;
        };
        let Some(block) = self.sheet.blocks.get(own.block) else {
            return false;
        };
        if self.has(made.sentence, Class::Fact) {
            return false;
        }
        // "Not for: walls; anything that plugs into an outlet."
        let key_denies = block.key.is_some_and(|key| {
            block.sentences.clone().take(2).any(|at| {
                self.cues(at)
                    .iter()
                    .any(|cue| cue.class == Class::DenyClause && key.contains(cue.span))
            })
        });
        if key_denies {
            return true;
        }
        for at in (block.sentences.start..made.sentence)
            .rev()
            .take(LABEL_REACH)
        {
            if self.has(at, Class::Fact) {
                return false;
            }
            let label = self
                .cues(at)
                .iter()
                .any(|cue| cue.class == Class::DenyHeading && cue.first <= 1);
            if label {
                return true;
            }
        }
        let heads = |index: usize, any: bool| {
            self.sheet.blocks.get(index).is_some_and(|head| {
                head.sentences.clone().any(|at| {
                    self.cues(at).iter().any(|cue| match cue.class {
                        Class::DenyHeading => true,
                        Class::DenyAll | Class::DenyBack | Class::DenyNext | Class::DenyRest => any,
                        _ => false,
                    })
                })
            })
        };
        if block.lead.is_some_and(|lead| heads(lead, true)) {
            return true;
        }
        // "Not one of these is true. Say why." right before a list speaks of the list.
        if block.lead.is_none() && block.kind == BlockKind::Item {
            let before = self
                .sheet
                .blocks
                .iter()
                .enumerate()
                .take(own.block)
                .rev()
                .find(|(_, before)| before.kind != BlockKind::Item);
            if before.is_some_and(|(index, before)| {
                before.section == block.section && heads(index, false)
            }) {
                return true;
            }
        }
        let mut section = block.section;
        let mut steps = 0;
        while let Some(index) = section {
            if heads(index, false) {
                return true;
            }
            steps += 1;
            section = self
                .sheet
                .blocks
                .get(index)
                .and_then(|head| head.section)
                .filter(|_| steps < 4);
        }
        false
    }

    /// A denial that follows: in the next sentence, after a quotation, in the reply of another voice.
    fn denied_after<'p>(&self, made: &Match, parts: Parts<'p, '_>) -> bool {
        let sentences = made.sentences();
        let last = sentences.last().copied().unwrap_or(made.sentence);
        let quoted = self.in_quotes(made) || self.block_quoted(made.sentence);
        let reported = sentences.iter().any(|&at| self.has(at, Class::Report));
        let reach = if quoted || reported { 2 } else { 1 };
        for step in 1..=reach {
            let at = last + step;
            if !self.same_block(last, at) {
                break;
            }
            if self.has(at, Class::Agree) || self.starts_with(at, Class::Yes) {
                return false;
            }
            if self.rebuts(made, at, quoted || reported, parts) {
                return true;
            }
        }
        let Some(own) = self.sheet.sentences.get(last) else {
            return false;
        };
        let Some(block) = self.sheet.blocks.get(own.block) else {
            return false;
        };
        let Some(next) = self.sheet.blocks.get(own.block + 1) else {
            return false;
        };
        let near_end = last + 2 >= block.sentences.end;
        let other_voice = block.quoted && !next.quoted
            || (block.speaker.is_some() || next.speaker.is_some())
                && self.voice(block.speaker) != self.voice(next.speaker)
            || quoted && last + 1 == block.sentences.end
            || self.parenthesis(next.sentences.start);
        if !near_end || !other_voice || matches!(next.kind, BlockKind::Heading { .. }) {
            return false;
        }
        next.sentences
            .clone()
            .take(2)
            .take_while(|&at| !self.has(at, Class::Agree))
            .any(|at| self.rebuts(made, at, true, parts))
    }

    /// Whether the sentence `at` denies the claim made before it; `voice`: as an answer to somebody's words.
    fn rebuts<'p>(&self, made: &Match, at: usize, voice: bool, parts: Parts<'p, '_>) -> bool {
        let length = self.length(at);
        self.cues(at).iter().any(|cue| {
            if words_it(parts(at), cue) {
                return false;
            }
            let near_start = cue.first <= NEAR_START;
            match cue.class {
                Class::DenyNext => cue.first <= 1,
                Class::DenyBack | Class::DenyAll => voice || near_start || length <= SHORT,
                Class::DenyRest => voice && near_start,
                Class::DenyClause => {
                    (voice && near_start && length <= SHORT)
                        || self.hits.of(at).iter().any(|hit| {
                            made.hits
                                .iter()
                                .any(|(_, part)| part.concept == hit.concept)
                                && cue.span.end <= hit.span.start
                                && self.same_clause(at, cue.span, hit.span)
                        })
                }
                _ => false,
            }
        })
    }

    fn conditional(&self, made: &Match) -> bool {
        let sentences = made.sentences();
        let before = made.sentence.checked_sub(1).filter(|&at| {
            self.same_block(made.sentence, at)
                && self.length(at) <= SHORT
                && self.starts_with(at, Class::If)
        });
        if before.is_some() {
            return true;
        }
        sentences.iter().any(|&at| {
            let parts: Vec<Span> = made
                .hits
                .iter()
                .filter(|(other, _)| *other == at)
                .map(|(_, hit)| hit.span)
                .collect();
            let would = self.cues(at).iter().any(|cue| {
                cue.class == Class::Would && !parts.iter().any(|part| part.contains(cue.span))
            });
            self.cues(at).iter().any(|cue| {
                let free = !parts.iter().any(|part| part.overlaps(cue.span));
                match cue.class {
                    Class::If => free,
                    Class::IfWeak | Class::IfStart => {
                        free && (cue.class == Class::IfWeak || self.opens(at, cue))
                            && (would
                                || parts.len() == made.hits.len()
                                    && parts.iter().all(|part| {
                                        part.start > cue.span.start
                                            && self.same_clause(at, cue.span, *part)
                                    }))
                    }
                    _ => false,
                }
            })
        })
    }

    /// Whether a cue opens its sentence, at most behind a word that joins it to the one before: “Say it were so”, not “I'd say”.
    fn opens(&self, sentence: usize, cue: &Cue) -> bool {
        let start = self.sheet.sentences[sentence].span.start;
        let before = Span::new(start, cue.span.start.max(start)).of(self.sheet.flow.text());
        let before = before.trim().to_lowercase();
        cue.first == 0
            || (cue.first == 1 && ["and", "but", "so", "or", "now"].contains(&before.as_str()))
    }

    /// Reported, endorsed or the document's own words.
    fn source(&self, made: &Match) -> Stance {
        let sentences = made.sentences();
        let last = sentences.last().copied().unwrap_or(made.sentence);
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
        // "We told them which" tells what was done and is nobody's account.
        let told = |at: usize| {
            self.cues(at).iter().any(|cue| {
                cue.class == Class::Report
                    && !made
                        .hits
                        .iter()
                        .any(|(other, part)| *other == at && part.span.contains(cue.span))
            })
        };
        let reported = near.iter().any(|&at| told(at)) || self.block_quoted(made.sentence);
        if !reported {
            return Stance::Asserted;
        }
        let own = near.iter().any(|&at| self.has(at, Class::Own))
            || (self.release && near.iter().any(|&at| self.has(at, Class::People)))
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
            .any(|at| self.has(at, Class::Agree) && !self.is_question(at) || self.ends_in_yes(at));
        if own || agrees {
            Stance::Endorsed
        } else {
            Stance::Reported
        }
    }

    fn is_question(&self, sentence: usize) -> bool {
        self.words(sentence)
            .of(self.text())
            .trim_end_matches(|letter: char| letter.is_whitespace() || matches!(letter, '"' | '”'))
            .ends_with('?')
    }

    /// Whether the sentence ends in an answer that affirms (“…, and thicken it does.”).
    fn ends_in_yes(&self, sentence: usize) -> bool {
        let words = self.words(sentence);
        self.cues(sentence).iter().any(|cue| {
            let after = Span::new(cue.span.end, words.end);
            let before = Span::new(words.start, cue.span.start);
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

    fn has(&self, sentence: usize, class: Class) -> bool {
        self.cues(sentence).iter().any(|cue| cue.class == class)
    }

    fn starts_with(&self, sentence: usize, class: Class) -> bool {
        self.cues(sentence)
            .iter()
            .any(|cue| cue.class == class && cue.first <= 1)
    }

    fn length(&self, sentence: usize) -> usize {
        self.words(sentence)
            .of(self.text())
            .split_whitespace()
            .count()
    }

    fn same_block(&self, one: usize, other: usize) -> bool {
        let block = |at: usize| self.sheet.sentences.get(at).map(|sentence| sentence.block);
        block(one).is_some() && block(one) == block(other)
    }

    fn block_quoted(&self, sentence: usize) -> bool {
        self.sheet
            .sentences
            .get(sentence)
            .and_then(|sentence| self.sheet.blocks.get(sentence.block))
            .is_some_and(|block| block.quoted)
    }

    fn voice(&self, speaker: Option<Span>) -> &str {
        speaker.map_or("", |span| span.of(self.text()))
    }

    fn parenthesis(&self, sentence: usize) -> bool {
        self.words(sentence).of(self.text()).starts_with(['(', '['])
    }

    fn in_quotes(&self, made: &Match) -> bool {
        let after = self
            .quotes
            .partition_point(|quote| quote.start <= made.span.start);
        after
            .checked_sub(1)
            .and_then(|index| self.quotes.get(index))
            .is_some_and(|quote| made.span.start < quote.end)
    }
}

/// Whether the cue begins or ends one of the wordings: in the middle it may stand in a gap of an entry.
fn words_it(parts: &[Span], cue: &Cue) -> bool {
    parts.iter().any(|part| {
        part.contains(cue.span) && (part.start == cue.span.start || part.end == cue.span.end)
    })
}

/// Whether a cue only looks like one.
fn masked(cue: &Cue, all: &[Cue]) -> bool {
    let denies = matches!(
        cue.class,
        Class::DenyClause
            | Class::DenyRest
            | Class::DenyBack
            | Class::DenyAll
            | Class::DenyNext
            | Class::DenyHeading
    );
    all.iter().any(|other| {
        if !other.span.overlaps(cue.span) {
            return false;
        }
        match other.class {
            Class::Affirm | Class::Agree => denies || matches!(cue.class, Class::Ask),
            Class::Pseudo => {
                matches!(
                    cue.class,
                    Class::DenyClause
                        | Class::DenyNext
                        | Class::IfWeak
                        | Class::IfStart
                        | Class::Would
                ) || cue.class == Class::If && other.span.contains(cue.span)
            }
            Class::ReportNot => matches!(cue.class, Class::Report | Class::IfStart),
            Class::IfNot => matches!(cue.class, Class::If | Class::IfWeak | Class::IfStart),
            // “They do not” is no “they do”.
            Class::DenyNext => {
                cue.class == Class::Yes
                    && other.span.contains(cue.span)
                    && other.last - other.first > cue.last - cue.first
            }
            // A longer cue of a stronger kind takes the words of a shorter one.
            Class::DenyAll | Class::DenyBack | Class::DenyRest => {
                cue.class == Class::DenyClause
                    && other.span.contains(cue.span)
                    && other.last - other.first > cue.last - cue.first
            }
            _ => false,
        }
    })
}

/// Most words between two negations of one clause that cancel each other.
const DOUBLE_REACH: usize = 7;

/// Drops the negations that cancel each other (“never one that has not had…”); “neither … nor” is one negation.
fn drop_double(cues: &mut Vec<Cue>, text: &str) {
    let cancels = |one: &Cue, other: &Cue| {
        let lower = other.span.of(text).to_ascii_lowercase();
        one.class == Class::DenyClause
            && other.class == Class::DenyClause
            && one.last < other.first
            && other.first - one.last <= DOUBLE_REACH
            && !matches!(lower.as_str(), "nor" | "neither" | "no" | "none")
            && !has_border(Span::new(one.span.end, other.span.start).of(text))
            // "It isn't this and it isn't that" says no twice.
            && !Span::new(one.span.end, other.span.start).of(text).contains(" and ")
    };
    let mut gone = vec![false; cues.len()];
    for one in 0..cues.len() {
        for other in one + 1..cues.len() {
            if cues[other].first > cues[one].last + DOUBLE_REACH {
                break;
            }
            if !gone[one] && !gone[other] && cancels(&cues[one], &cues[other]) {
                gone[one] = true;
                gone[other] = true;
            }
        }
    }
    let mut index = 0;
    cues.retain(|_| {
        index += 1;
        !gone[index - 1]
    });
}

/// Drops the negations of a sentence that says until when they held (“nobody could … until we froze it”).
fn drop_until(cues: &mut Vec<Cue>, text: &str) {
    const PLAIN: &[&str] = &[
        "not", "never", "nobody", "no one", "cannot", "can't", "doesn't", "didn't", "isn't",
        "wasn't", "won't", "wouldn't", "couldn't", "don't", "aren't", "weren't", "hasn't",
        "hadn't",
    ];
    const DUTY: &[&str] = &["need", "have to", "matter", "be left", "bother", "wait"];
    if !cues.iter().any(|cue| cue.class == Class::Until) {
        return;
    }
    cues.retain(|cue| {
        let word = cue.span.of(text).to_lowercase().replace('’', "'");
        let after = text.get(cue.span.end..).unwrap_or("").trim_start();
        !(cue.class == Class::DenyClause
            && PLAIN.contains(&word.as_str())
            && !DUTY.iter().any(|duty| after.starts_with(duty)))
    });
}

/// Whether the text is part of an enumeration in short members with an “or” (“never been drawn, burned in, aligned or …”).
fn enumerates(text: &str) -> bool {
    const MEMBER: usize = 3;
    !text.contains([';', ':', '—', '–', '(', ')', '.', '!', '?', '“', '”', '"'])
        && text.contains(" or ")
        && text
            .split(',')
            .all(|member| member.split_whitespace().count() <= MEMBER + 1)
}

/// Whether the text holds a mark that ends a clause.
fn has_border(text: &str) -> bool {
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            ';' | '—' | '–' | '(' | ')' | '“' | '”' | '"' | '.' | '!' | '?' => {
                let inner =
                    letter == '.' && letters.peek().is_some_and(|next| !next.is_whitespace());
                if !inner {
                    return true;
                }
            }
            ',' | ':' if letters.peek().is_none_or(|next| next.is_whitespace()) => return true,
            _ => {}
        }
    }
    false
}

/// Stretches in quotation marks, three words or longer, within one block.
fn quotes(sheet: &Sheet) -> Vec<Span> {
    let text = sheet.flow.text();
    let mut list = Vec::new();
    for block in &sheet.blocks {
        let mut open: Option<usize> = None;
        for (at, letter) in block.span.of(text).char_indices() {
            let at = at + block.span.start;
            let closes = match letter {
                '“' | '„' | '«' => {
                    open = Some(at);
                    false
                }
                '”' | '»' => true,
                '"' => match open {
                    Some(_) => true,
                    None => {
                        open = Some(at);
                        false
                    }
                },
                _ => false,
            };
            if closes && let Some(start) = open.take() {
                let span = Span::new(start, at);
                if span.of(text).split_whitespace().count() >= 3 {
                    list.push(span);
                }
            }
        }
        if let Some(start) = open {
            list.push(Span::new(start, block.span.end));
        }
    }
    list.sort();
    list
}
