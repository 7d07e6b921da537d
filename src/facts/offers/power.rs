//! Powers that are said to go whole down the one cable of a document: “the amplifier puts its full power through those two cores”.

use super::{Whole, found, known, load_fact, metals, one, refuses, value};
use crate::facts::read::{Reader, fact};
use crate::facts::types::{Cable, Use};
use crate::units::Watt;

/// Reads them, where the document has one size, one loudspeaker and one power.
pub(super) fn read(reader: &Reader<'_>, whole: &Whole) -> Vec<Cable> {
    let terms = &reader.terms;
    let refused = [
        terms.offer_not,
        terms.use_refused,
        terms.use_task,
        terms.offer_example,
    ];
    let told = |&at: &usize| {
        let says = |concept| reader.hits.say(at, concept);
        let words = reader.sheet.sentences[at].span.of(reader.text());
        says(terms.power_full)
            && says(terms.cable)
            && !words.trim_end().ends_with('?')
            && !refused
                .iter()
                .any(|&concept| refuses(reader, &(at..at + 1), concept))
    };
    let sentences = (0..reader.sheet.sentences.len()).filter(told);
    sentences
        .filter_map(|at| through(reader, whole, at))
        .collect()
}

fn through(reader: &Reader<'_>, whole: &Whole, sentence: usize) -> Option<Cable> {
    let (size, load) = whole.of(reader);
    let (size, load) = (size?, load?);
    let all = found(reader, &(0..reader.sheet.sentences.len()));
    let power = one(reader, &all.powers)?;
    let (watts, at) = value(reader, power)?;
    let span = reader.sheet.sentences[sentence].span;
    let used = Use {
        length: None,
        load: Some(load_fact(reader, load)),
        power: Some(fact(Watt(watts), at, power)),
        span,
    };
    if known(reader, whole, &used, size) {
        return None;
    }
    let size = reader.size(size).filter(|size| !size.loose)?;
    Some(Cable {
        metals: metals(reader, whole, span),
        sizes: vec![size],
        uses: vec![used],
        ..Cable::default()
    })
}
