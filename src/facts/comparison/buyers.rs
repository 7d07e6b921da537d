//! What those who have bought are said to like better. Nothing was set side by side for them, so a range of cables stays a range.

use super::outcome::ballot;
use crate::facts::read::Reader;

/// Sentences around an outcome in which a test would be told.
const AROUND: usize = 4;

/// Whether a sentence tells what customers like, and no test is told of near it.
pub(super) fn told_by_buyers(reader: &Reader<'_>, sentence: usize) -> bool {
    let terms = reader.terms;
    let setup = &reader.facts.setup;
    if !reader.hits.say(sentence, terms.buyers)
        || setup.blinding.is_some()
        || setup.matching.is_some()
        || !setup.scores.is_empty()
        || ballot(reader, sentence).is_some()
    {
        return false;
    }
    let from = sentence.saturating_sub(AROUND);
    let to = (sentence + AROUND + 1).min(reader.sheet.sentences.len());
    !(from..to).any(|near| reader.hits.say(near, terms.listened))
}
