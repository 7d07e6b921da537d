//! What is found for one rule in one place: the claim before it is told. Knows no rule and no wording.

use super::matching::Match;
use crate::finding::Stance;
use crate::lexicon::{ConceptId, Hit};
use crate::sheet::{BlockKind, Sheet};
use crate::span::Span;
use rustc_hash::FxHashSet;

/// What was found for one rule in one place.
#[derive(Debug)]
pub(super) struct Place {
    pub(super) rule: usize,
    pub(super) main: usize,
    pub(super) stance: Stance,
    pub(super) span: Span,
    pub(super) sentences: Vec<usize>,
    pub(super) marks: Vec<(Span, ConceptId)>,
    /// Wordings of the rule in the whole document.
    pub(super) wordings: usize,
    /// Wordings that no cue denies there, and who stands behind them.
    pub(super) voiced: FxHashSet<usize>,
    pub(super) voice: Option<Stance>,
    /// Whether the same voice denies the claim elsewhere.
    pub(super) doubted: bool,
    /// How many wordings fewer will do, by what else the document claims.
    pub(super) backed: usize,
    /// Whether it stands among claims of other rules that the document makes in full.
    pub(super) among: bool,
    /// Whether it is one more of several such claims, and stands apart from them.
    pub(super) one_more: bool,
    /// Whether nobody denies it, and it is left out for what it does not say.
    pub(super) left: bool,
}

impl Place {
    pub(super) fn new(made: Match, stance: Stance) -> Self {
        let voice = Some(stance).filter(|&stance| !silent(stance));
        Self {
            rule: made.rule,
            main: made.sentence,
            stance,
            span: made.span,
            marks: marks(&made.hits),
            voiced: voice.map(|_| made.wording).into_iter().collect(),
            sentences: made.sentences,
            wordings: 0,
            voice,
            doubted: false,
            backed: 0,
            among: false,
            one_more: false,
            left: false,
        }
    }

    pub(super) fn add(&mut self, made: Match, stance: Stance) {
        if !silent(stance) {
            self.voiced.insert(made.wording);
            self.speak(Some(stance));
        }
        self.span = self.span.join(made.span);
        self.marks.extend(marks(&made.hits));
        self.hold(made.sentences);
    }

    pub(super) fn join(&mut self, other: Self) {
        let (loud, quiet) = (!silent(self.stance), !silent(other.stance));
        if loud == quiet {
            self.stance = self.stance.min(other.stance);
            self.span = self.span.join(other.span);
        } else if quiet {
            self.stance = other.stance;
            self.span = other.span;
        }
        self.main = other.main;
        self.voiced.extend(other.voiced);
        self.speak(other.voice);
        self.hold(other.sentences);
        self.marks.extend(other.marks);
    }

    fn speak(&mut self, voice: Option<Stance>) {
        self.voice = self.voice.into_iter().chain(voice).min();
    }

    /// Adds sentences and keeps all in order; what is added mostly comes last.
    fn hold(&mut self, sentences: Vec<usize>) {
        for sentence in sentences {
            if self.sentences.last().is_none_or(|&last| last < sentence) {
                self.sentences.push(sentence);
            } else if let Err(at) = self.sentences.binary_search(&sentence) {
                self.sentences.insert(at, sentence);
            }
        }
    }
}

fn marks(hits: &[(usize, Hit)]) -> Vec<(Span, ConceptId)> {
    hits.iter()
        .map(|(_, hit)| (hit.span, hit.concept))
        .collect()
}

/// Whether two places of one rule are one: overlapping or neighbouring sentences of one block.
pub(super) fn touches(sheet: &Sheet, first: &Place, second: &Place) -> bool {
    let block = |sentence: usize| {
        sheet
            .sentences
            .get(sentence)
            .map(|sentence| sentence.block())
    };
    let says = |sentence: usize| first.sentences.binary_search(&sentence).is_ok();
    second.sentences.iter().any(|&b| {
        let beside = |a: usize| says(a) && block(a) == block(b);
        says(b) || b.checked_sub(1).is_some_and(beside) || beside(b + 1)
    })
}

/// In so many times fewer wordings the next paragraph goes on about what is claimed in the one before it.
const GOES_ON: usize = 3;

/// A claim that a paragraph ends with, and that the next one takes up at its start in few words, is one: “… slept at 196 degrees
/// below zero, and sounds rested.” “A second step follows the cold.”
pub(super) fn goes_on(sheet: &Sheet, of_wire: impl Fn(&Place) -> bool, places: &mut Vec<Place>) {
    let paragraph = |sentence: usize| {
        let block = sheet.sentences.get(sentence)?.block();
        let kind = sheet.blocks.get(block)?.kind();
        (kind == BlockKind::Paragraph).then_some(block)
    };
    let mut kept: Vec<Place> = Vec::with_capacity(places.len());
    for place in places.drain(..) {
        let takes_up = |last: &Place| {
            let (end, start) = (last.sentences.last(), place.sentences.first());
            last.rule == place.rule
                && of_wire(&place)
                && !silent(last.stance)
                && !silent(place.stance)
                && place.voiced.len() * GOES_ON <= last.voiced.len()
                && end.zip(start).is_some_and(|(&end, &start)| {
                    start == end + 1
                        && paragraph(start).is_some()
                        && paragraph(start) == paragraph(end).map(|block| block + 1)
                })
        };
        match kept.last_mut().filter(|last| takes_up(last)) {
            Some(last) => {
                last.voiced.extend(place.voiced);
                last.hold(place.sentences);
                last.marks.extend(place.marks);
            }
            None => kept.push(place),
        }
    }
    *places = kept;
}

/// Whether nothing is reported for a claim of this stance.
#[must_use]
pub fn silent(stance: Stance) -> bool {
    matches!(stance, Stance::Denied | Stance::Asked | Stance::Conditional)
}

/// Silences those of the places in question that are not to be kept.
pub(super) fn leave(places: &mut [Place], asked: &[bool], keep: impl Fn(&Place) -> bool) {
    for (place, asked) in places.iter_mut().zip(asked) {
        if *asked && !silent(place.stance) && !keep(place) {
            place.stance = Stance::Denied;
            place.left = true;
        }
    }
}

/// How many times as many claims that are not made as claims that are make a document one that denies as a whole.
const LEANING: usize = 3;

/// A document that denies a claim in one place describes it in others. Where denials prevail, what looks like an assertion of
/// a claim that is denied elsewhere is taken for such a description; where they prevail by far, so is every one.
pub(super) fn lean(places: &mut [Place]) {
    let denials = places.iter().filter(|place| place.stance == Stance::Denied);
    let count = denials.clone().count();
    let denied: FxHashSet<usize> = denials.map(|place| place.rule).collect();
    let asserted = places.iter().filter(|place| !silent(place.stance)).count();
    let silenced = places
        .iter()
        .filter(|place| matches!(place.stance, Stance::Denied | Stance::Conditional))
        .count();
    if asserted == 0 || silenced < LEANING {
        return;
    }
    let by_far = silenced >= LEANING * asserted;
    let prevail = count >= asserted;
    for place in places.iter_mut().filter(|place| !silent(place.stance)) {
        if by_far || (prevail && denied.contains(&place.rule)) {
            place.stance = Stance::Denied;
        }
    }
}

/// A title only names what the text below it says: where the same is claimed there, the title is no claim of its own.
pub(super) fn leave_titles(sheet: &Sheet, places: &mut Vec<Place>) {
    let titled = |place: &Place| {
        place.sentences.iter().all(|&at| {
            let block = sheet.sentences.get(at).map(|sentence| sentence.block());
            let block = block.and_then(|block| sheet.blocks.get(block));
            block.is_some_and(|block| matches!(block.kind(), BlockKind::Heading { .. }))
        })
    };
    let told: FxHashSet<usize> = places
        .iter()
        .filter(|place| !silent(place.stance) && !titled(place))
        .map(|place| place.rule)
        .collect();
    places.retain(|place| silent(place.stance) || !told.contains(&place.rule) || !titled(place));
}
