//! To what an outcome is credited: words for a cause, and parts of a cable beside words for what made the difference. Knows no sides.

use super::buyers::told_by_buyers;
use super::outcome::negated;
use crate::facts::context::borders;
use crate::facts::procedure;
use crate::facts::read::Reader;
use crate::facts::types::{Outcome, Trait};
use crate::facts::voices::questioned;
use crate::lexicon::Hit;
use crate::sheet::BlockKind;
use crate::span::Span;
use std::ops::Range;

/// The sentence in which somebody credits what was heard or seen to something.
pub(super) fn credited(reader: &Reader<'_>, region: Range<usize>) -> Option<Outcome> {
    if !reader.comparative {
        return None;
    }
    cause(reader, region)
}

/// The same, of sides that the document sets side by side in whatever words.
pub(super) fn cause(reader: &Reader<'_>, region: Range<usize>) -> Option<Outcome> {
    region
        .filter(|&at| credits(reader, at) && !told_by_buyers(reader, at))
        .map(|at| Outcome {
            span: reader.sheet.sentences[at].span,
            winner: None,
            difference: Vec::new(),
        })
        .next()
}

/// Whether a sentence says in so many words what made the difference, or that some part of a cable did.
pub(in crate::facts) fn credits(reader: &Reader<'_>, sentence: usize) -> bool {
    /// Words between “it was the” and the part, and between the part and “does it”.
    const NEAR: usize = 4;
    /// Words between the part and what it is said to do for the sound.
    const FAR: usize = 8;
    /// Bytes of a cell that holds running text.
    const TOLD: usize = 60;
    let terms = reader.terms;
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    let told = match block.kind() {
        BlockKind::Heading { .. } => false,
        BlockKind::Cell { .. } => block.span.len() >= TOLD,
        _ => true,
    };
    let says = |concept| reader.hits.say(sentence, concept);
    let ways = [terms.credit_cue, terms.credit_back, terms.credit_works];
    let parts = says(terms.credit_part) && ways.iter().any(|&way| says(way));
    if told && answers_cause(reader, sentence) {
        return true;
    }
    let asked = || procedure::asked(reader, sentence) || questioned(reader, sentence);
    if !told || !(says(terms.attributed) || parts) || asked() {
        return false;
    }
    let hits = reader.hits;
    let held = |span: Span| !negated(reader, sentence, span);
    if hits
        .saying(sentence, terms.attributed)
        .any(|hit| held(hit.span))
    {
        return true;
    }
    // "The higher capacitance comes from the paper" tells of no outcome.
    if says(terms.credit_figure) || reader.endless(sentence) {
        return false;
    }
    // "3. Why the strands are thin" heads what follows.
    let opens = |hit: Hit| {
        let start = reader.sheet.sentences[sentence].span.start();
        let ahead = reader.text().get(start..hit.span.start()).unwrap_or("");
        hit.span.of(reader.text()).eq_ignore_ascii_case("why")
            && !ahead.contains(char::is_alphabetic)
    };
    let within = |first: Hit, second: Hit, near: usize| {
        first.last < second.first
            && !opens(first)
            && second.first - first.last <= near
            && borders(
                Span::new(first.span.end(), second.span.start().max(first.span.end()))
                    .of(reader.text()),
            ) == 0
    };
    let joined = |first: Hit, second: Hit| within(first, second, NEAR);
    let of = |concept| hits.saying(sentence, concept);
    let own = !(says(terms.report) || says(terms.conditional) || says(terms.hearsay));
    of(terms.credit_part).any(|part| {
        of(terms.credit_cue).any(|cue| joined(cue, part) && held(cue.span))
            || of(terms.credit_back).any(|back| joined(part, back) && held(back.span))
            || (own
                && of(terms.credit_works).any(|works| {
                    within(part, works, FAR)
                        && held(works.span)
                        && !comes_to_nothing(reader, works.span)
                }))
    })
}

/// Whether what a part is said to do is nothing: “the silk gives the music nothing”.
fn comes_to_nothing(reader: &Reader<'_>, works: Span) -> bool {
    /// Words behind it that may say so.
    const NEAR: usize = 3;
    let behind = reader.text().get(works.end()..).unwrap_or("");
    let mut words = behind.split_whitespace().take(NEAR);
    words.any(|word| {
        let word = word.trim_matches(|letter: char| !letter.is_alphabetic());
        reader
            .terms
            .lists
            .outcome_negation
            .has(&word.to_lowercase())
    })
}

/// “What made the difference? In one word, the plait.”: a short answer that names a part of a cable, to a question for the cause.
fn answers_cause(reader: &Reader<'_>, sentence: usize) -> bool {
    /// Words of such an answer.
    const WORDS: usize = 12;
    let Some(before) = sentence.checked_sub(1) else {
        return false;
    };
    let question =
        reader.hits.say(before, reader.terms.credit_asked) && procedure::asked(reader, before);
    let answer = reader.sheet.sentences[sentence].span;
    question
        && answer
            .of(reader.text())
            .split_whitespace()
            .nth(WORDS)
            .is_none()
        && !procedure::asked(reader, sentence)
        && reader
            .hits
            .saying(sentence, reader.terms.credit_part)
            .any(|part| !negated(reader, sentence, part.span))
}

/// Whether a sentence puts an outcome down to what differs itself.
pub(super) fn credits_itself(reader: &Reader<'_>, sentence: usize, of: Trait) -> bool {
    let terms = reader.terms;
    let said = |concept| reader.hits.say(sentence, concept);
    match of {
        Trait::Length => said(terms.subject_length),
        Trait::Size => said(terms.subject_size),
        Trait::Load => said(terms.speaker) && !said(terms.credit_part),
        Trait::Lamp => false,
        Trait::Power => said(terms.amplifier) && !said(terms.credit_part),
        Trait::Voltage => said(terms.supply),
    }
}

/// The same of the metal.
pub(super) fn credits_metal(reader: &Reader<'_>, sentence: usize) -> bool {
    reader.hits.say(sentence, reader.terms.subject_metal)
        || (0..reader.hits.of(sentence).len())
            .any(|hit| reader.metal_named(sentence, hit).is_some())
}
