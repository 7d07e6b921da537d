//! Conductors that are called by the names of cables: “two lengths of TC-16, joined at both ends, do the work of one TC-10”. They are
//! read when each cable has its sizes.

use super::super::read::{Owner, Reader, fact};
use super::super::types::{Bundle, Size, SizeOf};
use super::BEFORE;
use crate::span::Span;

/// Most bytes between how many there are and the name, and between the verb and the other name.
const NEAR: usize = 24;

/// Reads the statements.
pub(in crate::facts) fn read(reader: &mut Reader<'_>) {
    /// More are no remarks beside a table.
    const MOST: usize = 64;
    let terms = &reader.terms;
    let makes = [terms.size_makes, terms.size_joined];
    let mut at: Vec<usize> = (reader.hits.saying_anywhere(terms.size_makes))
        .chain(reader.hits.saying_anywhere(terms.size_joined))
        .map(|hit| super::super::read::sentence_at(reader.sheet, hit.span.start()))
        .take(MOST)
        .collect();
    at.sort_unstable();
    at.dedup();
    let found: Vec<Bundle> = (at.into_iter())
        .filter_map(|sentence| statement(reader, sentence, &makes))
        .collect();
    reader.facts.bundles.extend(found);
}

/// The statement of a sentence that names two cables.
fn statement(
    reader: &Reader<'_>,
    sentence: usize,
    makes: &[crate::lexicon::ConceptId],
) -> Option<Bundle> {
    let text = reader.text();
    let terms = &reader.terms;
    let span = reader.sheet.sentences[sentence].span;
    let named: Vec<(Span, Owner)> = reader.resolved.of(sentence).iter().collect();
    let &[(one, Owner::One(wire)), (other, Owner::One(whole))] = named.as_slice() else {
        return None;
    };
    let between = Span::new(one.end(), other.start().max(one.end()));
    let asked =
        span.of(text).trim_end().ends_with('?') || reader.hits.say(sentence, terms.bundle_said);
    let verb = reader
        .hits
        .saying_any(sentence, makes)
        .any(|hit| between.contains(hit.span) && other.start() - hit.span.end() <= NEAR / 2);
    let denied = reader
        .hits
        .saying(sentence, terms.count_other)
        .any(|hit| between.contains(hit.span));
    let joined = (sentence.saturating_sub(BEFORE)..=sentence)
        .any(|near| reader.hits.say(near, terms.bundle_join));
    // A size in the sentence itself is read with it.
    if asked
        || !verb
        || denied
        || !joined
        || wire == whole
        || !reader.in_sentence(sentence).is_empty()
    {
        return None;
    }
    let counts = [
        (terms.count_two, 2),
        (terms.count_three, 3),
        (terms.count_four, 4),
        (terms.count_six, 6),
    ];
    let (count, counted) = reader.hits.of(sentence).iter().find_map(|hit| {
        let (_, count) = counts.iter().find(|(concept, _)| *concept == hit.concept)?;
        let near = hit.span.end() <= one.start() && one.start() - hit.span.end() <= NEAR;
        let apart = || {
            Span::new(hit.span.end(), one.start())
                .of(text)
                .contains([',', '.', ';'])
        };
        (near && !apart()).then_some((*count, hit.span))
    })?;
    let (mut wire, quantity) = sole(reader, wire)?;
    let (mut whole, _) = sole(reader, whole)?;
    (wire.of, wire.span) = (SizeOf::Conductor, one);
    (whole.of, whole.span) = (SizeOf::Combined, other);
    (wire.area.0 < whole.area.0).then(|| Bundle {
        counts: vec![fact(count, counted, quantity)],
        wire,
        whole,
    })
}

/// The size of a cable of which all sizes are one, and its quantity.
fn sole(reader: &Reader<'_>, cable: usize) -> Option<(Size, usize)> {
    const ALIKE: f64 = 1.12;
    let sizes = &reader.facts.cables.get(cable)?.sizes;
    let first = sizes.first()?;
    let one = sizes
        .iter()
        .all(|size| !size.loose && (1.0 / ALIKE..=ALIKE).contains(&(size.area.0 / first.area.0)));
    one.then(|| (first.clone(), first.quantity as usize))
}
