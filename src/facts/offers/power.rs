//! Powers that are said to go whole down the one cable of a document: “the amplifier puts its full power through those two cores”.

use super::{Whole, found, is_prose, load_fact, offered, one, refuses, value};
use crate::facts::read::{Reader, fact};
use crate::facts::roles::Role;
use crate::facts::types::{Cable, Use};
use crate::units::{Metre, Watt};

/// Longer ones are sold on reels to be cut, in metres.
const LEAD: f64 = 30.0;

/// Reads it, where the document has one size, one loudspeaker and one power, from the first sentence that says so.
pub(super) fn read(reader: &Reader<'_>, whole: &Whole) -> Option<Cable> {
    let sentences = 0..reader.sheet.sentences.len();
    let told = sentences.clone().find(|&at| told(reader, at))?;
    let (size, load) = whole.of(reader);
    let (size, load) = (size?, load?);
    let power = one(reader, &found(reader, &sentences).powers)?;
    let (watts, at) = value(reader, power)?;
    let span = reader.sheet.sentences[told].span;
    let used = Use {
        length: None,
        load: Some(load_fact(reader, load)),
        power: Some(fact(Watt(watts), at, power)),
        span,
    };
    // The loudspeaker is driven through the whole of it, unless it is a reel to be cut.
    let run = one(reader, &found(reader, &sentences).runs).and_then(|run| {
        let (metres, at) = value(reader, run).filter(|(metres, _)| *metres <= LEAD)?;
        Some(Use {
            length: Some(fact(Metre(metres), at, run)),
            power: None,
            ..used.clone()
        })
    });
    let uses = run.into_iter().chain([used]).collect();
    offered(reader, whole, size, uses, span)
}

/// Whether the passage of a sentence gives the power that goes to a loudspeaker: “up to 500 W to each box. You may run it at this level
/// all evening”.
fn drives(reader: &Reader<'_>, at: usize) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[at].block()];
    let near = block.sentences().start.max(at.saturating_sub(1))..at + 1;
    let powers = |near: usize| {
        let mut own = reader.in_sentence(near);
        own.any(|index| reader.roles[index] == Role::Power)
    };
    is_prose(block.kind())
        && near.clone().any(powers)
        && near
            .clone()
            .any(|near| reader.hits.say(near, reader.terms.speaker))
}

fn told(reader: &Reader<'_>, at: usize) -> bool {
    let terms = &reader.terms;
    let says = |concept| reader.hits.say(at, concept);
    let refused = |concept| refuses(reader, &(at..at + 1), concept);
    let words = reader.sheet.sentences[at].span.of(reader.text());
    says(terms.power_full)
        && (says(terms.cable) || drives(reader, at))
        && !words.trim_end().ends_with('?')
        && !(refused(terms.offer_not)
            || refused(terms.use_refused)
            || refused(terms.use_task)
            || refused(terms.offer_example))
}
