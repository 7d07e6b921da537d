//! What is found for one rule in one place: the claim before it is told. Knows no rule and no wording.

use super::matching::Match;
use crate::finding::Stance;
use crate::lexicon::{ConceptId, Hit};
use crate::sheet::Sheet;
use crate::span::Span;

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
    /// Whether the same voice denies the claim elsewhere.
    pub(super) doubted: bool,
    /// How many wordings fewer will do, by what else the document claims.
    pub(super) backed: usize,
    /// Whether it stands among claims of other rules that the document makes in full.
    pub(super) among: bool,
}

impl Place {
    pub(super) fn new(made: Match, stance: Stance) -> Self {
        Self {
            rule: made.rule,
            main: made.sentence,
            stance,
            span: made.span,
            marks: marks(&made.hits),
            sentences: made.sentences,
            wordings: 0,
            doubted: false,
            backed: 0,
            among: false,
        }
    }

    pub(super) fn add(&mut self, made: Match) {
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
        self.hold(other.sentences);
        self.marks.extend(other.marks);
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

/// Whether nothing is reported for a claim of this stance.
#[must_use]
pub fn silent(stance: Stance) -> bool {
    matches!(stance, Stance::Denied | Stance::Asked | Stance::Conditional)
}
