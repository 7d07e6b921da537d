//! Scores of listening tests, and whether they are offered as proof.

use super::read::{Reader, number, whole};
use super::roles::Role;
use super::types::{Fact, Score};
use crate::span::Span;

/// Sentences after a score in which it can be offered as proof.
const AFTER: usize = 3;

/// Reads the scores of a document.
pub(super) fn read(reader: &mut Reader<'_>) {
    let mut scores = Vec::new();
    for index in 0..reader.sheet.quantities.len() {
        if reader.roles[index] != Role::Score {
            continue;
        }
        let quantity = &reader.sheet.quantities[index];
        let (Some(trials), Some(correct)) = (
            number(quantity).and_then(whole),
            quantity.score.and_then(whole),
        ) else {
            continue;
        };
        if correct > trials || trials < 3 {
            continue;
        }
        scores.push(Score {
            correct,
            trials,
            chance: chance(reader),
            offered_as_proof: offered(reader, reader.sentence_of[index]),
            span: quantity.span,
            quantity: index,
        });
    }
    reader.facts.setup.scores = scores;
}

/// Whether the sentence of a score or those after it offer it as proof.
fn offered(reader: &Reader<'_>, sentence: usize) -> bool {
    let end = reader.sheet.sentences.len().saturating_sub(1);
    let last = (sentence + AFTER).min(end);
    let first = sentence.saturating_sub(1);
    let says = |range: std::ops::RangeInclusive<usize>, concept| {
        range.into_iter().any(|at| reader.hits.say(at, concept))
    };
    // Whoever says near it that it proves nothing does not offer it.
    let taken_back = says(first..=(last + AFTER).min(end), reader.terms.no_proof);
    says(first..=last, reader.terms.proof) && !taken_back
}

/// Chance of one right answer, when the procedure offers more than two choices.
fn chance(reader: &Reader<'_>) -> Option<Fact<f64>> {
    const CHOICES: &[(&str, f64)] = &[
        ("one of three", 3.0),
        ("odd one out", 3.0),
        ("triangle test", 3.0),
        ("three choices", 3.0),
        ("three cables to choose", 3.0),
        ("one of four", 4.0),
        ("four choices", 4.0),
    ];
    let text = reader.text();
    CHOICES.iter().find_map(|(words, count)| {
        let at = text.find(words)?;
        Some(Fact::new(1.0 / count, Span::new(at, at + words.len())))
    })
}
