//! Differences that are told of cables whose sizes all stand in the passage, whoever of them is which: no difference can be larger
//! than what the thinnest of them loses over the longest of the runs into the lowest of the loads. Takes no sides.

use super::multiples::Multiples;
use super::outcome::stated_differences;
use super::{credits, critical, is_lamp_power, lamp, rises};
use crate::facts::context::borders;
use crate::facts::gain::Gain;
use crate::facts::read::{Owner, Reader, fact};
use crate::facts::roles::Role;
use crate::facts::types::{Cable, Difference, DifferenceOf, Fact, Load, LoadKind};
use crate::facts::voices::questioned;
use crate::facts::{procedure, roster};
use crate::span::Span;
use crate::units::{Metre, Ohm};
use std::ops::Range;

/// Blocks before the difference in which the cables can be told.
const BLOCKS: usize = 8;
/// Most differences that are held against their passages; more are no running text.
const MOST: usize = 256;
/// Sentences from the difference on in which somebody says what made it.
const AFTER: usize = 3;
/// Bytes that such a passage can have.
const LONGEST: usize = 1_800;

/// Reads them.
pub(super) fn read(reader: &mut Reader<'_>) {
    if critical(reader) {
        return;
    }
    let multiples = Multiples::new(reader);
    let metals = metals(reader);
    let mut found: Vec<Gain> = Vec::new();
    for sentence in 0..reader.sheet.sentences.len() {
        let asked = procedure::asked(reader, sentence) || questioned(reader, sentence);
        let terms = &reader.terms;
        let said = |concept| reader.hits.say(sentence, concept);
        if asked
            || reader.endless(sentence)
            || said(terms.hearsay)
            || said(terms.conditional)
            || (said(terms.report) && !by_instrument(reader, sentence))
            || rises(reader, sentence)
        {
            continue;
        }
        let stated = stated_differences(reader, sentence, &multiples);
        let read = || between_readings(reader, sentence);
        let Some(difference) = stated.into_iter().next().or_else(read) else {
            continue;
        };
        let credited = (sentence..(sentence + AFTER).min(reader.sheet.sentences.len()))
            .any(|at| credits(reader, at));
        let own = reader.sheet.blocks[reader.sheet.sentences[sentence].block()].sentences();
        let told = whole(reader, &own).then(|| bounded(reader, &own, sentence, &metals));
        if let Some((cable, load)) = told.flatten() {
            found.push(Gain {
                difference,
                cable,
                load,
                credited,
            });
            continue;
        }
        let Some(passage) = passage(reader, sentence, true) else {
            continue;
        };
        // "Samples", and under heads of their own the meter and what it showed.
        let sized = |passage: &Range<usize>| {
            let mut all = passage.clone().flat_map(|at| reader.in_sentence(at));
            all.any(|index| reader.roles[index] == Role::Size)
        };
        let passage = if sized(&passage) {
            Some(passage)
        } else {
            self::passage(reader, sentence, false).filter(|wide| {
                !reader.facts.comparisons.is_empty()
                    || wide.clone().any(|at| credits(reader, at))
                    || credited
            })
        };
        let Some(passage) = passage else { continue };
        if let Some((cable, load)) = bounded(reader, &passage, sentence, &metals) {
            found.push(Gain {
                difference,
                cable,
                load,
                credited,
            });
        }
        if found.len() == MOST {
            break;
        }
    }
    reader.facts.gains = found;
}

/// Whether what a sentence reports is what a meter said, and no person: “the app says 1 dB more”.
fn by_instrument(reader: &Reader<'_>, sentence: usize) -> bool {
    let lists = reader.terms.lists;
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    let words = words.to_lowercase();
    let words: Vec<&str> = words
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    words
        .windows(2)
        .any(|pair| lists.gain_instrument.has(pair[0]) && lists.gain_tells.has(pair[1]))
}

/// Whether a stretch of sentences tells of a test by itself: two sizes, a length and a load.
fn whole(reader: &Reader<'_>, passage: &Range<usize>) -> bool {
    let count = |role: Role| {
        let all = passage.clone().flat_map(|at| reader.in_sentence(at));
        all.filter(|&index| reader.roles[index] == role).count()
    };
    count(Role::Size) >= 2 && count(Role::Run) >= 1 && count(Role::Load) >= 1
}

/// “Old pair 84 dB, new pair 86 dB”: two levels read off a meter, told together and by themselves, of which somebody says right
/// behind them what made the one higher.
fn between_readings(reader: &Reader<'_>, sentence: usize) -> Option<Difference> {
    /// Least level of what is heard at a chair, in dB.
    const HEARD: f64 = 45.0;
    /// Sentences that tell them.
    const TOLD: usize = 2;
    /// Most that a cable is said to make, in dB.
    const MOST: f64 = 12.0;
    let end = (sentence + TOLD).min(reader.sheet.sentences.len());
    let levels = |at: usize| {
        reader.in_sentence(at).filter(|&index| {
            reader.roles[index] == Role::Level
                && reader.sheet.quantities[index].kind == crate::sheet::Kind::LevelDb
        })
    };
    levels(sentence).next()?;
    let block = |at: usize| reader.sheet.sentences[at].block();
    let alone = levels(sentence).nth(1).is_some();
    let last = if alone { sentence + 1 } else { end };
    let own = (sentence..last).filter(|&at| block(at) == block(sentence));
    let read: Vec<usize> = own.flat_map(levels).collect();
    let &[one, other] = read.as_slice() else {
        return None;
    };
    let spans = [one, other].map(|index| reader.sheet.quantities[index].span);
    let value = |index: usize| reader.sheet.quantities[index].si();
    let (a, b) = (value(one)?, value(other)?);
    let frequencies = (sentence..last)
        .flat_map(|at| reader.in_sentence(at))
        .filter(|&index| reader.roles[index] == Role::Frequency)
        .count();
    let after =
        (sentence..(last + AFTER).min(reader.sheet.sentences.len())).any(|at| credits(reader, at));
    let apart = (a - b).abs();
    (a.min(b) >= HEARD && apart > 0.0 && apart <= MOST && frequencies < 2 && after).then(|| {
        Difference {
            of: DifferenceOf::Level,
            value: apart,
            span: spans[0].join(spans[1]),
        }
    })
}

/// The metals of all cables, each once.
fn metals(reader: &Reader<'_>) -> Vec<Fact<&'static str>> {
    let mut found: Vec<Fact<&'static str>> = Vec::new();
    for metal in reader.facts.cables.iter().flat_map(|cable| &cable.metals) {
        if found.iter().all(|known| known.value != metal.value) {
            found.push(*metal);
        }
    }
    found
}

/// The sentences of the passage that ends with the block of a sentence; within its section, or under any head.
fn passage(reader: &Reader<'_>, sentence: usize, within: bool) -> Option<Range<usize>> {
    let blocks = &reader.sheet.blocks;
    let own = reader.sheet.sentences[sentence].block();
    let end = blocks[own].sentences().end;
    let first = (own.saturating_sub(BLOCKS)..=own)
        .find(|&at| blocks[own].span.end() - blocks[at].span.start() <= LONGEST)?;
    // Another head begins another test.
    let first = (first..=own).find(|&at| {
        let of_own = |next: usize| blocks[next].section() == blocks[own].section();
        !within || (at..=own).all(of_own)
    })?;
    Some(blocks[first].sentences().start..end)
}

/// One cable that stands for the worst of the passage, with the lowest load; nothing where a side may be another than those told.
fn bounded(
    reader: &Reader<'_>,
    passage: &Range<usize>,
    sentence: usize,
    metals: &[Fact<&'static str>],
) -> Option<(Cable, Fact<Load>)> {
    let of = |role: Role| {
        let all = passage.clone().flat_map(|at| reader.in_sentence(at));
        all.filter(move |&index| reader.roles[index] == role)
            .collect::<Vec<_>>()
    };
    let sizes: Vec<usize> = of(Role::Size)
        .into_iter()
        .filter(|&index| roster::is_size(reader.sheet.quantities[index].kind))
        .collect();
    // "Both 14 gauge", or a size for each.
    let both = sizes.iter().any(|&index| {
        let at = reader.sentence_of(index);
        reader.hits.say(at, reader.terms.both)
    });
    if sizes.is_empty() || (sizes.len() < 2 && !both) || !of_cables(reader, passage, sentence) {
        return None;
    }
    // Two amplifiers make a difference of their own.
    let powers: Vec<f64> = of(Role::Power)
        .into_iter()
        .filter(|&index| !is_lamp_power(reader, index))
        .filter_map(|index| reader.sheet.quantities[index].si())
        .collect();
    if powers.iter().any(|power| {
        powers
            .first()
            .is_some_and(|first| (power - first).abs() > 0.5)
    }) {
        return None;
    }
    let si = |index: usize| reader.sheet.quantities[index].si();
    let least = |indices: Vec<usize>| {
        let known = indices
            .into_iter()
            .filter_map(|index| Some((si(index)?, index)));
        known.min_by(|a, b| a.0.total_cmp(&b.0))
    };
    let (_, thinnest) = least(sizes)?;
    let size = reader.size(thinnest).filter(|size| !size.loose)?;
    let runs = of(Role::Run)
        .into_iter()
        .filter_map(|index| Some((si(index)?, index)));
    let (metres, run) = runs.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let lamps: Vec<Fact<Load>> = of(Role::Power)
        .into_iter()
        .filter(|&index| is_lamp_power(reader, index))
        .map(|index| {
            fact(
                lamp(reader, index),
                reader.sheet.quantities[index].span,
                index,
            )
        })
        .collect();
    let loads = of(Role::Load).into_iter().filter_map(|index| {
        let load = Load {
            impedance: Some(Ohm(si(index)?)),
            kind: reader.load_kind(index),
            lamp_power: None,
        };
        Some(fact(load, reader.sheet.quantities[index].span, index))
    });
    // A lamp whose voltage is not told may be any.
    let mut all: Vec<Fact<Load>> = lamps;
    all.extend(loads.filter(|load| load.value.kind != LoadKind::Lamp));
    if all.iter().any(|load| load.value.impedance.is_none()) {
        return None;
    }
    let ohms = |load: &Fact<Load>| load.value.impedance.map_or(f64::INFINITY, |ohms| ohms.0);
    let load = all.into_iter().min_by(|a, b| ohms(a).total_cmp(&ohms(b)))?;
    Some((
        Cable {
            metals: metals.to_vec(),
            sizes: vec![size],
            lengths: vec![fact(Metre(metres), reader.sheet.quantities[run].span, run)],
            ..Cable::default()
        },
        load,
    ))
}

/// Whether the difference is told of cables, and each cable that the passage calls by a name has a size.
fn of_cables(reader: &Reader<'_>, passage: &Range<usize>, sentence: usize) -> bool {
    /// Sentences behind the difference in which somebody may say what made it.
    const BEHIND: usize = 5;
    /// Borders behind an amplifier, from which on another matter is told.
    const CLAUSES: usize = 2;
    let terms = &reader.terms;
    let named = |at: usize| reader.resolved.of(at).iter().map(|(_, owner)| owner);
    let about = [terms.credit, terms.attributed, terms.cable];
    let near = (sentence.saturating_sub(1)..=sentence + 2)
        .filter(|at| passage.contains(at))
        .any(|at| {
            named(at).next().is_some() || about.iter().any(|&said| reader.hits.say(at, said))
        });
    // Somebody says a little later what made it.
    let last = (sentence + BEHIND).min(reader.sheet.sentences.len().saturating_sub(1));
    let told = near || (sentence..=last).any(|at| credits(reader, at));
    // "The amplifier was muted, the other lead went on, and the needle settled 3 dB higher" is said of no amplifier.
    let end = reader.sheet.sentences[sentence].span.end();
    let other = reader
        .hits
        .saying(sentence, terms.amplifier)
        .any(|hit| borders(Span::new(hit.span.end(), end).of(reader.text())) < CLAUSES);
    // "The other" is one of those whose sizes are told.
    let sized = |cable: usize| {
        reader.roster.entries[cable].role || !reader.facts.cables[cable].sizes.is_empty()
    };
    // "The Alder (12 AWG) against Orla's old pair (16 AWG)": whoever else is named is none of the sides.
    let sides = passage.clone().any(|at| {
        let sizes = reader.in_sentence(at);
        reader.hits.say(at, terms.versus)
            && sizes
                .filter(|&index| reader.roles[index] == Role::Size)
                .count()
                >= 2
    });
    let known = sides
        || passage.clone().flat_map(named).all(|owner| match owner {
            Owner::One(cable) => sized(cable),
            Owner::Two(one, two) => sized(one) && sized(two),
            Owner::All | Owner::Nobody => true,
        });
    told && known && !other
}
