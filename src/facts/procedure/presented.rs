//! Tests in which nobody who judged knew what was playing, and whoever presented did.

use crate::facts::read::{Reader, sentence_at};
use crate::facts::types::{Blinding, Fact};

/// “A single-blind test: only the demonstrator knew which was on”: that the listeners did not know is no more than half of it.
pub(super) fn half_blind(reader: &Reader<'_>, knew: &mut Vec<Fact<Blinding>>) {
    let sentence = |fact: &Fact<Blinding>| sentence_at(reader.sheet, fact.span.start());
    let presented: Vec<usize> = knew
        .iter()
        .filter(|fact| fact.value == Blinding::Sighted)
        .map(sentence)
        .filter(|&at| presenter(reader, at))
        .collect();
    knew.retain(|fact| {
        let at = sentence(fact);
        let half = fact.value == Blinding::Blind && {
            let ahead = reader.ahead(at, fact.span, SINGLE.len() + 1);
            let words = fact.span.of(reader.text()).to_lowercase();
            words.starts_with(SINGLE)
                || (words.starts_with("blind") && ahead.trim_end_matches([' ', '-']) == SINGLE)
        };
        !(half && presented.iter().any(|other| other.abs_diff(at) <= 1))
    });
}

/// The first word of “single blind”.
const SINGLE: &str = "single";

/// Whether a sentence speaks of whoever presented a test.
fn presenter(reader: &Reader<'_>, sentence: usize) -> bool {
    let presenters = reader.terms.lists.test_presenter;
    reader.sheet.sentences[sentence]
        .span
        .of(reader.text())
        .split(|letter: char| !letter.is_alphabetic())
        .any(|word| presenters.has(&word.to_lowercase()))
}
