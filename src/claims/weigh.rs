//! What the engine and the odds hand to each other.

use super::{Claim, ENDLESS, Engine, label, odds};
use crate::facts::{DocumentKind, Names};
use crate::finding::Stance;
use crate::lexicon::{ConceptId, Hits};
use crate::sheet::Sheet;
use crate::span::Span;
use rustc_hash::FxHashSet;

impl Engine<'_> {
    /// What is weighed: the features of each sentence by name, and the passages that may make a claim. Where `whole` is said, the
    /// document is one passage, and all its sentences have the features of all of them.
    #[must_use]
    pub fn weighed<'s>(
        &self,
        sheet: &'s Sheet,
        hits: &Hits,
        kind: DocumentKind,
        names: impl FnOnce() -> Names<'s>,
        whole: bool,
    ) -> odds::Weighed {
        let claims = self.hear_in_words(sheet, hits, kind, names).claims;
        let document = odds::Document {
            sheet,
            hits,
            kind,
            claims: &claims,
        };
        self.odds.weighed(self.book, &document, whole)
    }

    /// A passage that stands out by its odds alone, as a claim: its words are those of the lists that the rule is made of.
    pub(super) fn worded(
        &self,
        passage: &odds::Passage,
        sheet: &Sheet,
        hits: &Hits,
    ) -> Option<Claim> {
        let rule = self.book.rules().get(passage.number())?;
        let ways = rule.alternatives.iter();
        let lists: FxHashSet<ConceptId> = ways
            .flat_map(|way| way.all.iter().flatten().copied())
            .collect();
        let lexicon = self.book.lexicon();
        let mut marks: Vec<(Span, String)> = Vec::new();
        for &at in &passage.sentences {
            let told = hits
                .of(at)
                .iter()
                .filter(|hit| lists.contains(&hit.concept));
            marks.extend(
                (told.take(ENDLESS)).map(|hit| (hit.span, label(lexicon.name(hit.concept)))),
            );
        }
        // No single words carry it: the passage is quoted as a whole.
        let said = passage.sentences.iter();
        let said = said.filter_map(|&at| Some(sheet.sentences.get(at)?.span));
        let span = said.reduce(Span::join)?;
        marks.sort();
        marks.dedup_by(|a, b| a.0 == b.0);
        Some(Claim {
            rule: rule.id.clone(),
            stance: Stance::Asserted,
            span,
            sentences: passage.sentences.clone(),
            marks,
            wordings: 0,
            doubted: false,
            weight: 0,
            one_more: false,
            left: false,
            stands: Some(true),
        })
    }
}
