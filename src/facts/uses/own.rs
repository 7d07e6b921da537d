//! Uses that a cable has by its own entry: the loudspeaker that its record or line names, the power that it is rated for.

use super::super::read::{Owner, Reader, fact};
use super::super::roles::Role;
use super::super::types::{Fact, Load, LoadKind, Use};
use super::{asked, supposed};
use crate::sheet::BlockKind;
use crate::units::{Ohm, Watt};
use rustc_hash::FxHashMap;
use std::ops::Range;

/// By cable, the one loudspeaker that a field of its own entry names: “Load ... one horn, 8 ohm”. What a power is rated into is none.
/// With `cells`, the cells of its line in a table count as well.
pub(super) fn loads(reader: &Reader<'_>, cells: bool) -> FxHashMap<usize, Fact<Load>> {
    let mut found: FxHashMap<usize, Option<Fact<Load>>> = FxHashMap::default();
    for index in 0..reader.sheet.quantities.len() {
        let Owner::One(cable) = reader.owners.at(index) else {
            continue;
        };
        let block = &reader.sheet.blocks[reader.block_of(index)];
        let in_cell = matches!(block.kind(), BlockKind::Cell { .. });
        let keyed = (block.key().is_some() && !in_cell) || (cells && in_cell);
        if reader.roles[index] != Role::Load || !keyed || supposed(reader, index) {
            continue;
        }
        let rated = (block.sentences())
            .flat_map(|at| reader.in_sentence(at))
            .any(|other| {
                matches!(
                    reader.roles[other],
                    Role::Power | Role::Figure(_) | Role::Level | Role::Run
                )
            });
        let kind = reader.load_kind(index);
        let quantity = &reader.sheet.quantities[index];
        if rated || kind != LoadKind::Loudspeaker {
            continue;
        }
        let load = Load {
            impedance: quantity.si().map(Ohm),
            kind,
            lamp_power: None,
        };
        found
            .entry(cable)
            .and_modify(|known| *known = known.filter(|known| known.value == load))
            .or_insert_with(|| Some(fact(load, quantity.span, index)));
    }
    let single = found.into_iter();
    single
        .filter_map(|(cable, load)| Some((cable, load?)))
        .collect()
}

/// By cable, every load that its entry names, whatever is said of it.
pub(super) fn all_loads(reader: &Reader<'_>) -> FxHashMap<usize, Vec<Ohm>> {
    let mut found: FxHashMap<usize, Vec<Ohm>> = FxHashMap::default();
    for index in 0..reader.sheet.quantities.len() {
        let Owner::One(cable) = reader.owners.at(index) else {
            continue;
        };
        if reader.roles[index] == Role::Load
            && let Some(ohms) = reader.sheet.quantities[index].si()
        {
            found.entry(cable).or_default().push(Ohm(ohms));
        }
    }
    found
}

/// The one cable that sentences call by name.
pub(super) fn called(reader: &Reader<'_>, mut sentences: Range<usize>) -> Option<Owner> {
    let first = sentences.find_map(|at| {
        let mut owners = reader.resolved.of(at).iter().map(|(_, owner)| owner);
        let first = owners.next()?;
        owners.all(|other| other == first).then_some(first)
    });
    first.filter(|owner| matches!(owner, Owner::One(_)))
}

/// The one cable of which the sentence behind says that it carries what this one tells: “Red tape takes that happily”.
pub(super) fn takes_that(reader: &Reader<'_>, sentence: usize) -> Option<Owner> {
    const POINTING: [&str; 4] = ["that", "this", "it", "them"];
    let next = sentence + 1;
    let block = |at: usize| reader.sheet.sentences.get(at).map(|at| at.block());
    let terms = &reader.terms;
    if block(next).is_none() || block(next) != block(sentence) || asked(reader, next) {
        return None;
    }
    let carried = reader.hits.saying(next, terms.carry).next()?.span;
    let refusals = [terms.offer_not, terms.use_refused, terms.use_task];
    let mut refused = refusals
        .iter()
        .flat_map(|&concept| reader.hits.saying(next, concept));
    let whole = reader.sheet.sentences[next].span;
    let behind = reader.text().get(carried.end()..whole.end())?;
    let pointed = behind.split_whitespace().next().is_some_and(|word| {
        POINTING.contains(
            &word
                .trim_end_matches([',', '.', '!'])
                .to_lowercase()
                .as_str(),
        )
    });
    if !pointed || refused.any(|hit| hit.span.start() < carried.end()) {
        return None;
    }
    let mut named = (reader.resolved.of(next).iter())
        .filter(|(words, _)| words.end() <= carried.start())
        .map(|(_, owner)| owner);
    let first = named
        .next()
        .filter(|owner| matches!(owner, Owner::One(_)))?;
    named.all(|owner| owner == first).then_some(first)
}

/// “Loom A is what you use”: a cable that is recommended by name is offered at its own length, into the loudspeaker of its own entry.
pub(super) fn recommended(reader: &mut Reader<'_>) {
    let tested =
        reader.hits.anywhere(reader.terms.blind) || reader.hits.anywhere(reader.terms.matched);
    if tested {
        return;
    }
    let loads = loads(reader, true);
    let mut made: Vec<(usize, Use)> = Vec::new();
    for sentence in 0..reader.sheet.sentences.len() {
        let terms = &reader.terms;
        let says = |concept| reader.hits.say(sentence, concept);
        let refused = says(terms.offer_not) || says(terms.use_refused) || says(terms.use_task);
        if !says(terms.use_told) || refused || asked(reader, sentence) {
            continue;
        }
        // What the sentence itself measures is read with it.
        let measured = reader
            .in_sentence(sentence)
            .any(|index| matches!(reader.roles[index], Role::Run | Role::Load | Role::Size));
        let Some(Owner::One(cable)) = called(reader, sentence..sentence + 1).filter(|_| !measured)
        else {
            continue;
        };
        let (Some(&load), Some(length)) = (loads.get(&cable), reader.facts.cables[cable].length())
        else {
            continue;
        };
        made.push((
            cable,
            Use {
                length: Some(length),
                load: Some(load),
                power: None,
                span: reader.sheet.sentences[sentence].span,
            },
        ));
    }
    for (cable, used) in made {
        let cable = &mut reader.facts.cables[cable];
        if cable
            .uses
            .iter()
            .all(|known| known.length != used.length || known.load != used.load)
        {
            cable.besides().uses.push(used);
        }
    }
}

/// “rated_power = 300 W”, and in another field of the record “rated_load = 4 Ω”.
pub(super) fn rated(reader: &mut Reader<'_>) {
    let loads = loads(reader, false);
    for index in 0..reader.sheet.quantities.len() {
        let Owner::One(cable) = reader.owners.at(index) else {
            continue;
        };
        let block = &reader.sheet.blocks[reader.block_of(index)];
        if reader.roles[index] != Role::Power || !matches!(block.kind(), BlockKind::Field) {
            continue;
        }
        let sentence = reader.sentence_of(index);
        let alone = reader
            .in_sentence(sentence)
            .all(|other| other == index || reader.roles[other] != Role::Load);
        let said = reader.hits.say(sentence, reader.terms.carry);
        let quantity = &reader.sheet.quantities[index];
        let (Some(&load), Some(watts), true) = (loads.get(&cable), quantity.si(), alone && said)
        else {
            continue;
        };
        let used = Use {
            length: None,
            load: Some(load),
            power: Some(fact(Watt(watts), quantity.span, index)),
            span: quantity.span,
        };
        reader.facts.cables[cable].besides().uses.push(used);
    }
}

/// A cable that is said to take a power into a loudspeaker is offered for that loudspeaker at its own length, if it is a lead: “20 m … takes 800 W into
/// 4 Ω”.
pub(super) fn driven(reader: &mut Reader<'_>) {
    /// Longer ones are sold on reels to be cut, in metres.
    const LEAD: f64 = 30.0;
    let tested =
        reader.hits.anywhere(reader.terms.blind) || reader.hits.anywhere(reader.terms.matched);
    if tested || reader.comparative {
        return;
    }
    for cable in &mut reader.facts.cables {
        let Some(length) = cable.length().filter(|length| length.value.0 <= LEAD) else {
            continue;
        };
        let loud = |used: &&Use| {
            used.power.is_some()
                && used
                    .load
                    .is_some_and(|load| load.value.kind == LoadKind::Loudspeaker)
        };
        let known = cable.uses.iter().any(|used| used.length.is_some());
        let Some(used) = cable.uses.iter().find(loud).filter(|_| !known) else {
            continue;
        };
        let (load, span) = (used.load, used.span);
        cable.besides().uses.push(Use {
            length: Some(length),
            load,
            power: None,
            span,
        });
    }
}
