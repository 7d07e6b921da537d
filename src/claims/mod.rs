//! Claims in running text: where the concepts of a rule meet, and who stands behind what is said.
//!
//! [`Engine`] is compiled from the rulebook once. For each document it gets the sheet and the hits of all word lists, joins
//! hits to claims as the rule files say (`matching`) and works out the stance of each by the scope of cues (`stance`); `tell`
//! words the findings. No rule is spelled out here. Knows nothing of computed checks and of how findings are shown.

mod company;
mod matching;
pub mod odds;
mod passage;
mod place;
mod stance;
mod tell;
pub mod verify;
mod weigh;

use crate::facts::{DocumentKind, Names};
use crate::finding::{Stance, Verdict};
use crate::lexicon::Hits;
use crate::rulebook::{Chapter, Rule, Rulebook, Winner};
use crate::sheet::Sheet;
use crate::span::Span;
use matching::Match;
use passage::Passages;
pub use place::silent;
use place::{Place, goes_on, lean, leave, leave_titles, touches};
use rustc_hash::{FxHashMap, FxHashSet};
use stance::Cues;
use std::cell::{LazyCell, OnceCell};
use tell::carries;
pub use tell::is_faint;

/// A claim that a document makes, reports, denies or asks about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// Id of the rule.
    pub rule: String,
    /// Who stands behind it.
    pub stance: Stance,
    /// The primary words: from the first to the last word that carries the claim in its main sentence.
    pub span: Span,
    /// Sentences that it rests on, by index.
    pub sentences: Vec<usize>,
    /// The words of each concept, with a label.
    pub marks: Vec<(Span, String)>,
    /// How many of the rule's wordings the document speaks in and does not deny, and those that other claims spare it.
    pub wordings: usize,
    /// Whether the same voice denies such a claim elsewhere in a document that offers nothing.
    pub doubted: bool,
    /// How much the words tell that it rests on.
    pub weight: usize,
    /// Whether it is one more of several such claims that the document makes in full.
    pub one_more: bool,
    /// Whether nobody denies it, and it is left out for what it does not say.
    pub left: bool,
    /// Whether the document stands behind it by the odds; nothing where its rule has no weights.
    pub stands: Option<bool>,
}

/// What a document says.
#[derive(Debug, Clone, Default)]
pub struct Heard {
    /// The claims.
    pub claims: Vec<Claim>,
    /// Quotations, and quantities that are reported or asked about, that the document then denies; in reading order.
    pub rebutted: Vec<Span>,
}

/// The claim rules of a rulebook, ready to read documents with.
#[derive(Debug)]
pub struct Engine<'b> {
    book: &'b Rulebook,
    /// For each concept, the rules and alternatives that start from it.
    triggers: Vec<Vec<(usize, usize)>>,
    cues: Cues<'b>,
    common: company::Common,
    odds: odds::Odds,
    /// Most sentences that a wording takes.
    widest: usize,
}

impl<'b> Engine<'b> {
    /// Compiles the claim rules of `book`.
    #[must_use]
    pub fn new(book: &'b Rulebook) -> Self {
        let mut triggers = vec![Vec::new(); book.lexicon().len()];
        for (rule_index, rule) in book.rules().iter().enumerate() {
            for (index, alternative) in rule.alternatives.iter().enumerate() {
                for concept in alternative.all.first().into_iter().flatten() {
                    if let Some(list) = triggers.get_mut(usize::from(concept.0)) {
                        list.push((rule_index, index));
                    }
                }
            }
        }
        let wordings = book.rules().iter().flat_map(|rule| &rule.alternatives);
        Self {
            book,
            triggers,
            widest: wordings.map(|one| one.sentences).max().unwrap_or(1).max(1),
            cues: Cues::new(book.lexicon()),
            common: company::Common::new(book),
            odds: odds::Odds::new(book),
        }
    }

    /// All claims of a document in reading order, whatever their stance; one for each rule and place.
    ///
    /// ```
    /// use claimgauge::{claims::Engine, facts::DocumentKind, lexicon::Hits, rulebook::Rulebook, sheet};
    /// let rules = Rulebook::builtin();
    /// let sheet = sheet::read("Play our speaker cable for 300 hours before you listen: only then the treble opens up.");
    /// let sentences = sheet.sentences.iter().map(|sentence| sentence.span);
    /// let hits = Hits::read(rules.lexicon(), sheet.flow.text(), sentences);
    /// let claims = Engine::new(&rules).claims(&sheet, &hits, DocumentKind::default());
    /// assert_eq!(claims[0].rule, "run-in");
    /// ```
    #[must_use]
    pub fn claims(&self, sheet: &Sheet, hits: &Hits, kind: DocumentKind) -> Vec<Claim> {
        self.hear(sheet, hits, kind, Names::default).claims
    }

    /// As [`Self::claims`], with what the document takes up to deny it. `names` gives the places where a cable is called by
    /// its name: a word of it says nothing of what was done to the cable. It is asked when a claim first needs them.
    #[must_use]
    pub fn hear<'s>(
        &self,
        sheet: &'s Sheet,
        hits: &Hits,
        kind: DocumentKind,
        names: impl FnOnce() -> Names<'s>,
    ) -> Heard {
        let mut heard = self.hear_in_words(sheet, hits, kind, names);
        let document = odds::Document {
            sheet,
            hits,
            kind,
            claims: &heard.claims,
        };
        let passages = self.odds.passages(self.book, &document, false);
        let word = |passage: &odds::Passage| self.worded(passage, sheet, hits);
        let short = sheet.sentences.len() < SHORT;
        self.odds.decide(passages, short, &mut heard.claims, word);
        heard
            .claims
            .sort_by(|a, b| (a.span, &a.rule).cmp(&(b.span, &b.rule)));
        heard
    }

    /// What words and cues say by themselves.
    fn hear_in_words<'s>(
        &self,
        sheet: &'s Sheet,
        hits: &Hits,
        kind: DocumentKind,
        names: impl FnOnce() -> Names<'s>,
    ) -> Heard {
        let names = LazyCell::new(names);
        let passages = Passages::new(sheet, hits, self.book.lexicon());
        let reader = stance::Reader::new(&self.cues, sheet, hits, kind);
        let mut made: Vec<Match> = Vec::new();
        // "Nobody could lose track": a negation that one wording of a claim is made of denies no other wording of it.
        let mut wordings: FxHashMap<(usize, usize), Vec<Span>> = FxHashMap::default();
        let mut gathered: FxHashSet<(usize, usize, usize)> = FxHashSet::default();
        let mut tried: FxHashMap<(usize, usize), usize> = FxHashMap::default();
        let short = sheet.sentences.len() < SHORT;
        for sentence in 0..sheet.sentences.len() {
            tried.clear();
            let endless = hits.of(sentence).len() > ENDLESS;
            let around = OnceCell::new();
            for hit in hits.of(sentence) {
                let Some(starts) = self.triggers.get(usize::from(hit.concept.0)) else {
                    continue;
                };
                if starts.is_empty() || passages.looks(sentence, hit) {
                    continue;
                }
                let mut of_name = None;
                for &(rule, index) in starts {
                    let parent = self.book.rules().get(rule);
                    let Some(alternative) = parent.and_then(|rule| rule.alternatives.get(index))
                    else {
                        continue;
                    };
                    // A word of a name tells of no treatment.
                    if alternative.brief && !short
                        || self.is_of(rule, Chapter::Claims)
                            && *of_name.get_or_insert_with(|| names.hold(hit.span))
                    {
                        continue;
                    }
                    if endless {
                        let times = tried.entry((rule, index)).or_default();
                        *times += 1;
                        if *times > MOST_TRIED {
                            continue;
                        }
                    }
                    let around = around.get_or_init(|| passages.around(sentence, self.widest - 1));
                    let Some(one) = matching::at(
                        (rule, index),
                        alternative,
                        (sentence, around),
                        hit,
                        &passages,
                        &reader,
                    ) else {
                        continue;
                    };
                    if self.is_of(rule, Chapter::Conductor) && one.is_of_two(sheet, &names) {
                        continue;
                    }
                    for &at in &one.sentences {
                        // What was gathered for one place of a wording is the same for the next one in that sentence.
                        if !gathered.insert((rule, index, at)) {
                            continue;
                        }
                        let said = (alternative.all.iter())
                            .flat_map(|concepts| hits.saying_any(at, concepts))
                            .filter(|hit| hit.last > hit.first);
                        wordings
                            .entry((rule, at))
                            .or_default()
                            .extend(said.map(|hit| hit.span));
                    }
                    made.push(one);
                }
            }
        }
        for spans in wordings.values_mut() {
            spans.sort_unstable();
            spans.dedup();
        }
        let mut found: Vec<(Match, Stance)> = made
            .into_iter()
            .map(|one| {
                let parts =
                    |at: usize| wordings.get(&(one.rule, at)).map_or(&[][..], Vec::as_slice);
                let rule = self.book.rules().get(one.rule);
                let of_wire = rule.is_some_and(|rule| rule.verdict == Verdict::NoBasis);
                let own = rule.and_then(|rule| rule.alternatives.get(one.wording));
                let absent = own.map_or(&[][..], |own| &own.absent);
                let mut stance = reader.stance(&one, of_wire, &parts, absent);
                // "Do not let your cousin feed the porch lamp through it": whoever warns offers nothing, however often he
                // says no.
                let warns = rule.is_some_and(|rule| rule.chapter == Chapter::Safety);
                let denied = own.is_some_and(|own| one.denied_behind(&own.unless_near, &passages));
                if denied && !silent(stance) {
                    stance = Stance::Denied;
                }
                if warns && !silent(stance) && (reader.negates(&one) || reader.forbids_next(&one)) {
                    stance = Stance::Denied;
                }
                (one, stance)
            })
            .collect();
        reader.asked_alone(&mut found);
        reader.denied_in_quotes(&mut found);
        reader.explained_behind_no(&mut found, |rule| self.common.own(rule));
        let rebutted = reader.rebutted();
        // What was kept for each sentence is no longer asked for.
        drop((reader, wordings, gathered));
        Heard {
            claims: self.settle(kind, found, &passages),
            rebutted,
        }
    }

    /// Whether a rule is of that chapter: of what is done to a cable, of what a conductor is made of.
    fn is_of(&self, rule: usize, chapter: Chapter) -> bool {
        let rule = self.book.rules().get(rule);
        rule.is_some_and(|rule| rule.chapter == chapter)
    }

    /// Joins what was found for one rule in one place, and lets the rules that win on the same words win.
    fn settle(
        &self,
        kind: DocumentKind,
        mut found: Vec<(Match, Stance)>,
        passages: &Passages<'_>,
    ) -> Vec<Claim> {
        found.sort_by_key(|(made, _)| (made.rule, made.sentence, made.span.start()));
        let mut wordings: FxHashMap<usize, FxHashSet<usize>> = FxHashMap::default();
        for (made, _) in found.iter().filter(|(_, stance)| !silent(*stance)) {
            wordings.entry(made.rule).or_default().insert(made.wording);
        }
        let mut places: Vec<Place> = Vec::new();
        for (made, stance) in found {
            // In one sentence a denial of one wording denies the others as well.
            if let Some(place) = places
                .last_mut()
                .filter(|place| place.rule == made.rule && place.main == made.sentence)
            {
                if silent(stance) {
                    if !silent(place.stance) {
                        place.stance = stance;
                    }
                } else if !silent(place.stance) && stance < place.stance {
                    place.stance = stance;
                }
                place.add(made, stance);
            } else {
                places.push(Place::new(made, stance));
            }
        }
        let mut joined: Vec<Place> = Vec::new();
        for place in places {
            match joined
                .last_mut()
                .filter(|last| last.rule == place.rule && touches(passages.sheet, last, &place))
            {
                Some(last) => last.join(place),
                None => joined.push(place),
            }
        }
        let of_wire = |rule: &Rule| rule.verdict == Verdict::NoBasis;
        let is_of_wire = |place: &Place| self.book.rules().get(place.rule).is_some_and(of_wire);
        goes_on(passages.sheet, is_of_wire, &mut joined);
        for place in &mut joined {
            place.wordings = wordings.get(&place.rule).map_or(0, FxHashSet::len);
        }
        lean(&mut joined);
        self.doubt(passages.sheet, kind, &mut joined);
        leave_titles(passages.sheet, &mut joined);
        company::back(self.book, &self.common, of_wire, &mut joined);
        company::set_among(
            self.book,
            |place| self.weight(passages, place),
            |place| self.heard(passages, place),
            &mut joined,
        );
        self.leave_bare_mentions(passages, kind, &mut joined);
        let mut by_sentence: FxHashMap<usize, Vec<usize>> = FxHashMap::default();
        for (index, place) in joined.iter().enumerate() {
            for sentence in &place.sentences {
                by_sentence.entry(*sentence).or_default().push(index);
            }
        }
        let losers: Vec<bool> = joined
            .iter()
            .map(|place| {
                place
                    .sentences
                    .iter()
                    .filter_map(|sentence| by_sentence.get(sentence))
                    .flatten()
                    .filter_map(|&index| joined.get(index))
                    .any(|other| self.wins(other, place))
            })
            .collect();
        let mut claims: Vec<Claim> = joined
            .into_iter()
            .zip(losers)
            .filter(|(_, loses)| !loses)
            .map(|(place, _)| self.claim(place, passages))
            .collect();
        claims.sort_by(|a, b| (a.span, &a.rule).cmp(&(b.span, &b.rule)));
        claims
    }

    /// A treatment that is named without a word of what it does to the sound is a claim where it is offered for a cable. In a
    /// document that denies as much as it claims, or that sells nothing, it is named for other reasons: an invoice, an exhibit,
    /// an experiment; and so it is where no cable is spoken of.
    fn leave_bare_mentions(
        &self,
        passages: &Passages<'_>,
        kind: DocumentKind,
        places: &mut [Place],
    ) {
        let short = passages.sheet.sentences.len() < SHORT;
        let sells = matches!(kind, DocumentKind::Sheet | DocumentKind::Range) || short;
        // Among other matters a word such as “clear” or “body” does not yet speak of sound. Who makes claims of several kinds
        // is at his matter, however much else he talks of.
        let aside = !short && passages.share_of_audio() < ASIDE && !self.claims_freely(places);
        let about_wire: Vec<bool> = places
            .iter()
            .map(|place| {
                let rule = self.book.rules().get(place.rule);
                rule.is_some_and(|rule| rule.verdict == Verdict::NoBasis)
            })
            .collect();
        let spelt_out = company::spelt_out(&self.common, places, aside);
        let bare: Vec<bool> = places
            .iter()
            .zip(&about_wire)
            .zip(&spelt_out)
            .map(|((place, about_wire), spelt_out)| {
                let heard = self.heard(passages, place);
                let heard = if aside {
                    passages.name_audio(&place.sentences) || heard && place.wordings >= SPELT_OUT
                } else {
                    heard
                };
                *about_wire
                    && !heard
                    && !spelt_out
                    && !self.told_among(passages, place)
                    && (place.backed < BACKED || place.wordings < BACKED)
            })
            .collect();
        if passages.elsewhere() {
            leave(places, &about_wire, |_| false);
        } else if aside {
            let told: Vec<bool> = about_wire
                .iter()
                .zip(&spelt_out)
                .map(|(&about, &told)| about && !told)
                .collect();
            leave(places, &told, |place| {
                passages.name_a_lead(&place.sentences)
            });
        }
        if !short {
            leave(places, &bare, |place| {
                sells && passages.name_a_lead(&place.sentences)
            });
        }
        let denied = places
            .iter()
            .filter(|place| place.stance == Stance::Denied)
            .count();
        let claimed = places
            .iter()
            .zip(&bare)
            .filter(|(place, bare)| !silent(place.stance) && !**bare)
            .count();
        if claimed <= denied && (denied > 0 || !sells) {
            leave(places, &bare, |_| false);
        }
        // What one who sells nothing names for other reasons is a step of his argument, as a denial is.
        if !matches!(kind, DocumentKind::Sheet | DocumentKind::Range) {
            for place in places {
                place.left = false;
            }
        }
    }

    /// An author who offers nothing and denies a claim in one place does not make it in another: what reads so is his example, or
    /// its words meet by chance.
    fn doubt(&self, sheet: &Sheet, kind: DocumentKind, places: &mut [Place]) {
        if matches!(kind, DocumentKind::Sheet | DocumentKind::Range) {
            return;
        }
        let voice = |place: &Place| {
            let block = sheet.sentences.get(place.main)?.block();
            let speaker = sheet.blocks.get(block)?.speaker()?;
            Some(speaker.of(sheet.flow.text()))
        };
        let of_wire = |place: &Place| {
            let rule = self.book.rules().get(place.rule);
            rule.is_some_and(|rule| rule.verdict == Verdict::NoBasis)
        };
        let denied: FxHashSet<(usize, Option<&str>)> = places
            .iter()
            .filter(|place| place.stance == Stance::Denied && of_wire(place))
            .map(|place| (place.rule, voice(place)))
            .collect();
        for place in places.iter_mut().filter(|place| !silent(place.stance)) {
            place.doubted = denied.contains(&(place.rule, voice(place)));
        }
    }

    /// Whether a document makes claims of several rules, each in several wordings.
    fn claims_freely(&self, places: &[Place]) -> bool {
        let made: FxHashSet<usize> = places
            .iter()
            .filter(|place| !silent(place.stance) && place.wordings >= SPELT_OUT)
            .map(|place| place.rule)
            .filter(|&rule| {
                let rule = self.book.rules().get(rule);
                rule.is_some_and(|rule| rule.verdict == Verdict::NoBasis)
            })
            .collect();
        made.len() >= SEVERAL
    }

    /// Whether an effect on the sound is said in the sentences of a place or near them in their blocks.
    fn heard(&self, passages: &Passages<'_>, place: &Place) -> bool {
        let block = |at: usize| {
            let sentence = passages.sheet.sentences.get(at);
            sentence.map(|sentence| sentence.block())
        };
        let near = place.sentences.iter().flat_map(|&at| {
            (at.saturating_sub(1)..=at + TOLD_WITHIN).filter(move |&next| block(next) == block(at))
        });
        near.into_iter().any(|at| {
            let effects = passages.hits.saying_any(at, &passages.effects).next();
            effects.is_some()
        })
    }

    /// How much the words weigh that a claim rests on.
    fn weight(&self, passages: &Passages<'_>, place: &Place) -> usize {
        let rule = self.book.rules().get(place.rule);
        let of_wire = rule.is_some_and(|rule| rule.verdict == Verdict::NoBasis);
        self.common.weight(place, passages, of_wire)
    }

    /// Whether what is named without a word of its effect is told so well, among other claims of the document, that it is one of them.
    fn told_among(&self, passages: &Passages<'_>, place: &Place) -> bool {
        let rule = self.book.rules().get(place.rule);
        place.among
            && place.wordings + place.backed >= BACKED
            && rule.is_some_and(|rule| carries(rule, self.weight(passages, place)))
    }

    fn wins(&self, winner: &Place, loser: &Place) -> bool {
        let (Some(strong), Some(weak)) = (
            self.book.rules().get(winner.rule),
            self.book.rules().get(loser.rule),
        ) else {
            return false;
        };
        let beside = || winner.marks.iter().any(|(hit, _)| hit.overlaps(loser.span));
        // What is only reported silences nothing that the document says itself.
        let weaker = winner.stance == Stance::Reported && loser.stance != Stance::Reported;
        winner.rule != loser.rule
            && !silent(winner.stance)
            && !weaker
            && (winner.sentences.iter()).any(|at| loser.sentences.contains(at))
            && weak.yields_to.iter().any(|rule| match rule {
                Winner::Rule(id) => {
                    *id == strong.id && (winner.span.contains(loser.span) || beside())
                }
                Winner::Chapter(chapter) => *chapter == strong.chapter && beside(),
            })
    }

    fn claim(&self, place: Place, passages: &Passages<'_>) -> Claim {
        let rule = self.book.rules().get(place.rule);
        // Among claims that are made in full one weighs more, and one in few wordings that then weighs enough is spared one.
        let (mut weight, mut spared) = (self.weight(passages, &place), place.backed);
        // Words of lines are those of any text that sets one size against another.
        let of_sound = rule.is_some_and(|rule| rule.chapter != Chapter::Line);
        if place.among && self.heard(passages, &place) {
            if of_sound || place.wordings >= tell::ENOUGH_WAYS {
                weight += company::LENT;
            }
            if place.wordings < tell::ENOUGH_WAYS && rule.is_some_and(|rule| carries(rule, weight))
            {
                spared = spared.max(1);
            }
        }
        let rule = rule.map(|rule| rule.id.clone()).unwrap_or_default();
        let lexicon = self.book.lexicon();
        let mut marks: Vec<(Span, String)> = place
            .marks
            .into_iter()
            .map(|(span, concept)| (span, label(lexicon.name(concept))))
            .collect();
        marks.sort();
        marks.dedup_by(|a, b| a.0 == b.0);
        Claim {
            rule,
            stance: place.stance,
            span: place.span,
            sentences: place.sentences,
            marks,
            wordings: place.wordings + spared,
            doubted: place.doubted,
            weight,
            one_more: place.one_more,
            left: place.left,
            stands: None,
        }
    }
}

/// A sentence with more hits is one without an end: a list, or a text whose stops are lost.
const ENDLESS: usize = 48;
/// Most places of such a sentence at which a wording is tried; further on it says nothing new.
const MOST_TRIED: usize = 8;

/// What the words of a list are to the claim, told by the family of its name.
fn label(name: &str) -> String {
    let family = name.split('.').next().unwrap_or(name);
    match family {
        "care" | "thing" | "topic" => "what it is said of",
        "effect" | "sound" => "what is said to be heard",
        _ => "part of the claim",
    }
    .to_owned()
}

/// A document of fewer sentences is of one matter, and does not show whether it sells something.
const SHORT: usize = 8;
/// A document in which a smaller share of the paragraphs speaks of sound speaks of other matters.
const ASIDE: f64 = 0.2;

/// What other claims speak for so far, and is told of in so many wordings, is no bare mention.
const BACKED: usize = 2;

/// Among other matters, what is told of in so many of a rule's wordings is no chance meeting of words.
const SPELT_OUT: usize = 4;

/// Within so many sentences behind a treatment its effect is told.
const TOLD_WITHIN: usize = 2;

/// Claims of so many rules, each spelt out, make a document one that is about them.
const SEVERAL: usize = 2;
