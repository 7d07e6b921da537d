//! Uses that are asked for by one and answered by another: “20 m to a pair of 4 Ω, what do I buy?”, “a drum of 0.75 mm² and be done”.

use super::{Whole, found, is_prose, load_fact, offered, one, refusals, value};
use crate::facts::read::{Reader, fact};
use crate::facts::types::{Cable, Use};
use crate::lexicon::ConceptId;
use crate::units::Metre;

/// How many blocks behind the question an answer may stand.
const BEHIND: usize = 6;

/// Reads the answers.
pub(super) fn read(reader: &Reader<'_>, whole: &Whole) -> Vec<Cable> {
    (0..reader.sheet.blocks.len())
        .filter(|&block| asks(reader, block))
        .filter_map(|block| answered(reader, whole, block))
        .collect()
}

/// Whether a block of running text is a question in its end.
fn asks(reader: &Reader<'_>, block: usize) -> bool {
    let block = &reader.sheet.blocks[block];
    is_prose(block.kind()) && block.span.of(reader.text()).contains('?')
}

/// The use that the next block with a size offers to who asks in `question`, when that one tells the run and the loudspeaker.
fn answered(reader: &Reader<'_>, whole: &Whole, question: usize) -> Option<Cable> {
    let blocks = &reader.sheet.blocks;
    let asked = found(reader, &blocks[question].sentences());
    let (run, load) = (one(reader, &asked.runs)?, one(reader, &asked.loads)?);
    if !asked.sizes.is_empty() {
        return None;
    }
    let last = blocks.len().min(question + 1 + BEHIND);
    let sized = |&at: &usize| !found(reader, &blocks[at].sentences()).sizes.is_empty();
    let answer = (question + 1..last).find(sized)?;
    let own = &blocks[answer];
    // What somebody else wants to know comes between, or who asked goes on about something else.
    let voice = |at: usize| blocks[at].speaker().map(|name| name.of(reader.text()));
    let between = (question + 1..answer).any(|at| asks(reader, at));
    let same = voice(answer).is_some() && voice(answer) == voice(question);
    if between || same || !is_prose(own.kind()) {
        return None;
    }
    let inside = found(reader, &own.sentences());
    let size = one(reader, &inside.sizes)?;
    let alike = |wanted: usize, others: &[usize]| {
        others.is_empty() || one(reader, &[&[wanted], others].concat()).is_some()
    };
    if !alike(run, &inside.runs) || !alike(load, &inside.loads) {
        return None;
    }
    let says = |concept: ConceptId| {
        own.sentences().any(|at| {
            let words = reader.sheet.sentences[at].span.of(reader.text());
            reader.hits.say(at, concept) && !words.trim_end().ends_with('?')
        })
    };
    let terms = &reader.terms;
    if refusals(terms).into_iter().any(says) || !says(terms.use_told) {
        return None;
    }
    let (metres, at) = value(reader, run)?;
    let used = Use {
        length: Some(fact(Metre(metres), at, run)),
        load: Some(load_fact(reader, load)),
        power: None,
        span: own.span,
    };
    offered(reader, whole, size, vec![used], own.span)
}
