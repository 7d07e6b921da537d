//! Uses that are asked for by one and answered by another: “20 m to a pair of 4 Ω, what do I buy?”, “a drum of 0.75 mm² and be done”.

use super::{
    Found, Whole, found, is_prose, load_fact, offered, one, refusals, tells_small_loss, value,
};
use crate::facts::read::{Reader, fact};
use crate::facts::roles::Role;
use crate::facts::types::{Cable, Use};
use crate::facts::uses::is_way;
use crate::facts::voices;
use crate::lexicon::ConceptId;
use crate::sheet::BlockKind;
use crate::units::Metre;

/// How many blocks behind the question an answer may stand.
const BEHIND: usize = 6;

/// Reads the answers.
pub(super) fn read(reader: &Reader<'_>, whole: &Whole) -> Vec<Cable> {
    (0..reader.sheet.blocks.len())
        .filter_map(|block| {
            let asked = asks(reader, block);
            (asked || tells(reader, block)).then(|| answered(reader, whole, block, asked))?
        })
        .collect()
}

/// Whether a block of running text tells a run and a loudspeaker and no size: “To the garden room it is 10 m, and your speakers are
/// 4 ohm types”.
fn tells(reader: &Reader<'_>, block: usize) -> bool {
    let told = &reader.sheet.blocks[block];
    let mut loads = (told.sentences().flat_map(|at| reader.in_sentence(at)))
        .filter(|&index| reader.roles[index] == Role::Load);
    let paragraph = told.kind() == BlockKind::Paragraph;
    paragraph && !told.quoted() && loads.next().is_some() && {
        let found = found(reader, &told.sentences());
        found.sizes.is_empty() && ways(reader, block, &found).len() == 1 && found.loads.len() == 1
    }
}

/// The runs of a block, or else how far off somebody says that something is: “to the garden room it is 10 m”.
fn ways(reader: &Reader<'_>, block: usize, found: &Found) -> Vec<usize> {
    if !found.runs.is_empty() {
        return found.runs.clone();
    }
    let sentences = reader.sheet.blocks[block].sentences();
    let all = sentences.flat_map(|at| reader.in_sentence(at));
    all.filter(|&index| is_way(reader, index)).collect()
}

/// Whether a sentence points back to what was told before it.
fn points_back(words: &str) -> bool {
    const POINTING: [&str; 7] = ["that", "this", "it", "there", "both", "distance", "run"];
    let mut words = words.split(|sign: char| !sign.is_alphabetic());
    words.any(|word| {
        POINTING
            .iter()
            .any(|known| word.eq_ignore_ascii_case(known))
    })
}

/// Whether a block of running text is a question in its end.
fn asks(reader: &Reader<'_>, block: usize) -> bool {
    let block = &reader.sheet.blocks[block];
    is_prose(block.kind()) && block.span.of(reader.text()).contains('?')
}

/// The use that the next block with a size offers to who asks in `question`, when that one tells the run and the loudspeaker. Where
/// nobody asks it is the very next block, which points back.
fn answered(reader: &Reader<'_>, whole: &Whole, question: usize, asked_for: bool) -> Option<Cable> {
    let blocks = &reader.sheet.blocks;
    let asked = found(reader, &blocks[question].sentences());
    let runs = ways(reader, question, &asked);
    let (run, load) = (one(reader, &runs)?, one(reader, &asked.loads)?);
    // “There is a roll of 18 gauge in the shed. Shall I regret it? – Not at all, use it”: who asks names the wire himself.
    let proposed = one(reader, &asked.sizes);
    if !asked.sizes.is_empty() && (proposed.is_none() || !asked_for) {
        return None;
    }
    let behind = if asked_for { BEHIND } else { 1 };
    let last = blocks.len().min(question + 1 + behind);
    let signature = |at: usize| {
        let name = blocks[at].speaker();
        name.is_some_and(|name| name == blocks[at].span)
    };
    let sized = |&at: &usize| {
        proposed.is_some() && !signature(at)
            || !found(reader, &blocks[at].sentences()).sizes.is_empty()
    };
    let answer = (question + 1..last).find(sized)?;
    let own = &blocks[answer];
    // What somebody else wants to know comes between, or who asked goes on about something else.
    let voice = |at: usize| blocks[at].speaker().map(|name| name.of(reader.text()));
    let between = (question + 1..answer).any(|at| asks(reader, at));
    // Who asks is answered by another, and who tells goes on by himself.
    let same = voice(answer).is_some()
        && voice(answer) == voice(question)
        && !voices::signed(reader.text(), own.span);
    let other = voice(answer) != voice(question);
    if between || asked_for && same || !asked_for && other || !is_prose(own.kind()) {
        return None;
    }
    let inside = found(reader, &own.sentences());
    let size = match proposed {
        Some(size) if inside.sizes.is_empty() => size,
        _ => one(reader, &inside.sizes)?,
    };
    let alike = |wanted: usize, others: &[usize]| {
        others.is_empty() || one(reader, &[&[wanted], others].concat()).is_some()
    };
    let other = proposed.is_some_and(|own| !alike(own, &inside.sizes));
    if other || !alike(run, &inside.runs) || !alike(load, &inside.loads) {
        return None;
    }
    let says = |concept: ConceptId| {
        own.sentences().any(|at| {
            let words = reader.sheet.sentences[at].span.of(reader.text());
            reader.hits.say(at, concept)
                && !words.trim_end().ends_with('?')
                && (asked_for || points_back(words))
        })
    };
    let terms = &reader.terms;
    let refused = own.sentences().any(|at| {
        let hits = refusals(terms).map(|concept| reader.hits.saying(at, concept));
        (hits.into_iter().flatten()).any(|hit| !tells_small_loss(reader, at, hit.span))
    });
    if refused || !says(terms.use_told) {
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
