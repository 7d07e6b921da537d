//! Cables set side by side with an outcome, and what kind of document that makes.
//!
//! Long: sides, loads, drives and outcomes are read from the same sentences, and what one of them is decides the others.

use super::context::{borders, key_sentences};
use super::kind;
use super::read::{Owner, Reader, fact};
use super::roles::Role;
use super::types::{
    Comparison, Difference, DifferenceOf, Drive, Fact, FigureKind, Load, LoadKind, Outcome,
    Rivalry, Side, Subject,
};
use crate::lexicon::{ConceptId, tokenize};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use crate::units::{Ohm, Volt, Watt};

/// Reads the comparison of a document, if it holds one, and decides what kind of document it is.
pub(super) fn read(reader: &mut Reader<'_>) {
    inherit(reader);
    let sides = sides(reader);
    let outcome = (sides.len() >= 2)
        .then(|| outcome(reader, &sides))
        .flatten()
        .or_else(|| measured(reader, &sides));
    let set_side_by_side = anywhere(reader, reader.terms.versus).or_else(|| {
        let first = sides
            .first()
            .filter(|_| reader.comparative || measured(reader, &sides).is_some())?;
        reader.facts.cables[first.cable].mentions.first().copied()
    });
    // Rows of a table alone are a range or a chart: somebody must have come out better.
    let in_table = sides.iter().all(|side| reader.has_line(side.cable));
    let told = outcome
        .as_ref()
        .is_some_and(|outcome| outcome.winner.is_some() || !outcome.difference.is_empty());
    let strong = (0..reader.sheet.sentences.len())
        .any(|sentence| reader.hits.say(sentence, reader.terms.strong));
    // An outcome that is credited to something was there, in whatever words.
    let credit = credited(reader);
    let outcome = outcome.or_else(|| (sides.len() >= 2).then(|| credit.clone()).flatten());
    let compared = sides.len() >= 2
        && are_sides(reader, &sides)
        && outcome.is_some()
        && set_side_by_side.is_some()
        && (told || ((strong || credit.is_some() || caused(reader)) && !in_table));
    if compared {
        let (subjects, subject_spans) = subjects(reader);
        let terms = reader.terms;
        reader.facts.comparisons.push(Comparison {
            span: set_side_by_side.unwrap_or_default(),
            listening: !anywhere_bool(reader, terms.lamp),
            null: anywhere_bool(reader, terms.no_proof),
            critique: critique(reader) || arithmetic(reader),
            sides,
            subjects,
            subject_spans,
            outcome,
        });
    }
    reader.facts.rivalry = rivalry(reader);
    reader.facts.kind = kind::kind(reader, compared);
}

/// Most cables that are set side by side in one test; more are a range or a chart.
const MOST_SIDES: usize = 6;

/// Whether these can be the sides of a test: not a whole range, and not cables that go by a load, a voltage or, when they are
/// many, a size, as the columns and rows of a chart do.
fn are_sides(reader: &Reader<'_>, sides: &[Side]) -> bool {
    let named = |ends: &[&str]| {
        sides
            .iter()
            .filter(|side| {
                let name = reader.facts.cables[side.cable].name.trim().to_lowercase();
                name.starts_with(|letter: char| letter.is_ascii_digit())
                    && ends.iter().any(|end| name.ends_with(end))
            })
            .count()
    };
    let loads = named(&["ohm", "ohms", "ω", " v", " volt", " volts"]);
    let sizes = named(&["awg", "mm²", "mm2", "gauge"]);
    sides.len() <= MOST_SIDES && loads < 2 && (sizes < sides.len() || sides.len() < 4)
}

/// Whether running text tells of a cause, in a story or of lamps.
fn caused(reader: &Reader<'_>) -> bool {
    let terms = reader.terms;
    reader.comparative
        && (anywhere_bool(reader, terms.credit) || anywhere_bool(reader, terms.attributed))
        && (anywhere_bool(reader, terms.lamp) || super::verdict::storied(reader))
}

/// The sentence in which somebody credits what was heard or seen to something.
fn credited(reader: &Reader<'_>) -> Option<Outcome> {
    if !reader.comparative {
        return None;
    }
    let sentences = &reader.sheet.sentences;
    (0..sentences.len())
        .filter(|&at| {
            !matches!(
                reader.sheet.blocks[sentences[at].block].kind,
                BlockKind::Heading { .. } | BlockKind::Cell { .. }
            )
        })
        .find(|&at| {
            reader.hits.say(at, reader.terms.attributed)
                && !sentences[at]
                    .span
                    .of(reader.text())
                    .trim_end()
                    .ends_with('?')
        })
        .map(|at| Outcome {
            span: sentences[at].span,
            winner: None,
            difference: Vec::new(),
        })
}

/// "Identical in metal, cross-section and length", "of the same gauge": of two sides the one takes from the other what is said
/// to be the same and is told of the other alone.
fn inherit(reader: &mut Reader<'_>) {
    let sides: Vec<usize> = (0..reader.facts.cables.len())
        .filter(|&cable| {
            !reader.roster.entries[cable].merged && !reader.facts.cables[cable].mentions.is_empty()
        })
        .collect();
    let (true, &[first, second]) = (reader.comparative, sides.as_slice()) else {
        return;
    };
    let held = |concept: ConceptId| {
        const EQUAL: &[&str] = &["same", "equal", "identical", "equally", "alike", "like"];
        (0..reader.sheet.sentences.len()).any(|sentence| {
            !reader.endless(sentence)
                && reader.hits.of(sentence).iter().any(|hit| {
                    hit.concept == concept
                        && (held_by(reader, sentence, hit.span, EQUAL)
                            || listed_alike(reader, sentence, hit.span))
                })
        })
    };
    let terms = reader.terms;
    let (size, length, metal) = (
        held(terms.subject_size),
        held(terms.subject_length),
        held(terms.subject_metal),
    );
    for (from, to) in [(first, second), (second, first)] {
        let (sizes, lengths, metals) = {
            let known = &reader.facts.cables[from];
            (
                known.sizes.clone(),
                known.lengths.clone(),
                known.metals.clone(),
            )
        };
        let cable = &mut reader.facts.cables[to];
        if size && cable.sizes.is_empty() {
            cable.sizes = sizes;
        }
        if length && cable.lengths.is_empty() {
            cable.lengths = lengths;
        }
        if metal && cable.metals.is_empty() {
            cable.metals = metals;
        }
    }
}

/// "Identical in metal, cross-section and length": the word stands before the list.
fn listed_alike(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    let start = reader.sheet.sentences[sentence].span.start;
    let before = Span::new(start, words.start.max(start))
        .of(reader.text())
        .to_lowercase();
    ["identical in ", "alike in ", "the same in ", "equal in "]
        .iter()
        .filter_map(|cue| before.rfind(cue).map(|at| &before[at..]))
        .any(|list| list.len() < 60 && !list.contains([';', '.', ':']))
}

/// What is put above a cable that has no name and, in the whole document, no size.
fn rivalry(reader: &Reader<'_>) -> Option<Rivalry> {
    /// Sentences between the rival and the outcome.
    const NEAR: usize = 2;
    /// The same where it is a verdict.
    const FAR: usize = 5;
    let terms = reader.terms;
    if !reader.comparative
        || anywhere_bool(reader, terms.no_proof)
        || critique(reader)
        || arithmetic(reader)
    {
        return None;
    }
    let rival = (0..reader.facts.cables.len()).find(|&cable| {
        let entry = &reader.roster.entries[cable];
        entry.nameless && !entry.merged && reader.facts.cables[cable].sizes.is_empty()
    })?;
    let told = |span: Span| super::read::sentence_at(reader.sheet, span.start);
    let named = &reader.facts.cables[rival].mentions;
    // "Twin-lead of the same gauge" has its size told.
    let sized = named.iter().any(|span| {
        let sentence = told(*span);
        reader.hits.of(sentence).iter().any(|hit| {
            const EQUAL: &[&str] = &["same", "equal", "identical"];
            hit.concept == terms.subject_size && held_by(reader, sentence, hit.span, EQUAL)
        })
    });
    if sized {
        return None;
    }
    reader.facts.setup.preferred.iter().find_map(|&liked| {
        let sentence = told(liked);
        let said = |concept| reader.hits.say(sentence, concept);
        if said(terms.report)
            || said(terms.conditional)
            || negated(reader, sentence, liked)
            || !(said(terms.strong) || said(terms.better))
        {
            return None;
        }
        let ahead = match reader.owner(sentence, liked, Owner::Nobody) {
            Owner::One(cable) if cable == rival => return None,
            Owner::One(_) => true,
            _ => false,
        };
        let near = named
            .iter()
            .copied()
            .filter(|span| {
                let apart = told(*span).abs_diff(sentence);
                apart == 0 || (ahead && apart <= if said(terms.strong) { FAR } else { NEAR })
            })
            .min_by_key(|span| told(*span).abs_diff(sentence))?;
        Some(Rivalry {
            outcome: liked,
            rival: near,
        })
    })
}

fn anywhere(reader: &Reader<'_>, concept: ConceptId) -> Option<Span> {
    reader
        .hits
        .all()
        .iter()
        .find(|hit| hit.concept == concept)
        .map(|hit| hit.span)
}

fn anywhere_bool(reader: &Reader<'_>, concept: ConceptId) -> bool {
    anywhere(reader, concept).is_some()
}

/// Cables of which something is known, with what each side alone was given.
fn sides(reader: &Reader<'_>) -> Vec<Side> {
    let described = |cable: usize| {
        let cable = &reader.facts.cables[cable];
        !cable.sizes.is_empty() || !cable.lengths.is_empty() || !cable.metals.is_empty()
    };
    let own = reader.by_entry();
    let cells = reader.cells_by_entry();
    let mut sides: Vec<Side> = (0..reader.facts.cables.len())
        .filter(|&cable| {
            !reader.roster.entries[cable].merged && !reader.facts.cables[cable].mentions.is_empty()
        })
        .map(|cable| Side {
            cable,
            load: side_load(reader, of(&own, cable)),
            drive: drive_of(reader, of(&own, cable)),
            load_words: line_words(
                reader,
                of(&cells, cable),
                &[reader.terms.speaker, reader.terms.lamp, reader.terms.z_load],
            ),
            drive_words: line_words(
                reader,
                of(&cells, cable),
                &[reader.terms.amplifier, reader.terms.supply],
            ),
        })
        .filter(|side| described(side.cable) || side.load.is_some() || side.drive.is_some())
        .collect();
    // One side alone with ohms of its own: they are those of a use that is offered, not of the test.
    if sides.iter().filter(|side| side.load.is_some()).count() == 1
        && reader.facts.setup.loads.len() > 1
    {
        for side in &mut sides {
            side.load = None;
        }
    }
    // "The first two ran from the 50 W amplifier, the third from his own": who has no drive of his own shares that of all.
    if sides.iter().any(|side| side.drive.is_some())
        && let Some(shared) = drive_of(reader, &of_all(reader))
    {
        for side in sides.iter_mut().filter(|side| side.drive.is_none()) {
            side.drive = Some(shared.clone());
        }
    }
    sides
}

/// The cell of a table line whose header names one of `concepts`.
fn line_words(reader: &Reader<'_>, cells: &[usize], concepts: &[ConceptId]) -> Option<Span> {
    cells
        .iter()
        .find(|&&index| {
            key_sentences(reader.sheet, index).into_iter().any(|key| {
                concepts
                    .iter()
                    .any(|&concept| reader.hits.say(key, concept))
            })
        })
        .map(|&index| reader.sheet.sentences[index].span)
}

/// The list of one entry.
fn of(lists: &[Vec<usize>], entry: usize) -> &[usize] {
    lists.get(entry).map_or(&[], Vec::as_slice)
}

/// Quantities that speak of all cables.
fn of_all(reader: &Reader<'_>) -> Vec<usize> {
    (0..reader.sheet.quantities.len())
        .filter(|&index| reader.owners[index] == Owner::All)
        .collect()
}

/// The load that one side alone drove.
fn side_load(reader: &Reader<'_>, own: &[usize]) -> Option<Fact<Load>> {
    let own = || own.iter().copied();
    let ohms = own().find(|&index| reader.roles[index] == Role::Load);
    // A lamp named before stands for the test; ohms named later belong to something else.
    let lamp = own().find(|&index| is_lamp_power(reader, index));
    if let Some(index) = ohms.filter(|&ohms| lamp.is_none_or(|lamp| ohms < lamp)) {
        let quantity = &reader.sheet.quantities[index];
        let load = Load {
            impedance: quantity.si.map(Ohm),
            kind: reader.load_kind(index),
            lamp_power: None,
        };
        return Some(fact(load, quantity.span, index));
    }
    let watts = lamp?;
    let quantity = &reader.sheet.quantities[watts];
    Some(fact(self::lamp(reader, watts), quantity.span, watts))
}

/// The lamp whose rated power a quantity is, at the voltage stated with it, else at the last one stated before.
pub(super) fn lamp(reader: &Reader<'_>, watts: usize) -> Load {
    let quantity = &reader.sheet.quantities[watts];
    let is_volts = |other: &usize| reader.sheet.quantities[*other].kind == Kind::Voltage;
    let volts = reader
        .in_sentence(reader.sentence_of[watts])
        .find(is_volts)
        .or_else(|| (0..watts).rev().find(is_volts))
        .and_then(|other| reader.sheet.quantities[other].si);
    Load {
        impedance: volts
            .zip(quantity.si)
            .map(|(volts, watts)| Ohm(volts * volts / watts)),
        kind: LoadKind::Lamp,
        lamp_power: quantity.si.map(Watt),
    }
}

/// Whether a power is the rating of a lamp.
pub(super) fn is_lamp_power(reader: &Reader<'_>, index: usize) -> bool {
    if reader.roles[index] != Role::Power {
        return false;
    }
    let around = reader.around(
        reader.sentence_of[index],
        reader.sheet.quantities[index].span,
    );
    let lamp = around.distance(reader.terms.lamp).unwrap_or(usize::MAX);
    let amplifier = around
        .distance(reader.terms.amplifier)
        .unwrap_or(usize::MAX);
    if lamp == usize::MAX && amplifier == usize::MAX {
        // "Ours gets the 60 W bulb. Theirs has a 40 W in."
        if anywhere_bool(reader, reader.terms.lamp)
            && !anywhere_bool(reader, reader.terms.amplifier)
        {
            return true;
        }
        let before = reader.sentence_of[index].checked_sub(1);
        return before.is_some_and(|before| {
            reader.hits.say(before, reader.terms.lamp)
                && !reader.hits.say(before, reader.terms.amplifier)
        });
    }
    lamp < 120 && lamp < amplifier
}

/// The amplifier power or supply voltage that these quantities give.
fn drive_of(reader: &Reader<'_>, own: &[usize]) -> Option<Drive> {
    let mut drive: Option<Drive> = None;
    for &index in own {
        let quantity = &reader.sheet.quantities[index];
        let Some(si) = quantity.si else { continue };
        let around = reader.around(reader.sentence_of[index], quantity.span);
        let sourced = around.near(reader.terms.amplifier, 110)
            || around.near(reader.terms.supply, 90)
            || sourced_before(reader, index);
        match reader.roles[index] {
            Role::Power if sourced && !is_lamp_power(reader, index) => {
                let drive = drive.get_or_insert_with(|| Drive {
                    span: quantity.span,
                    ..Drive::default()
                });
                drive.power = drive.power.or(Some(fact(Watt(si), quantity.span, index)));
            }
            Role::Voltage if sourced && !at_load(&around, &reader.terms) => {
                let drive = drive.get_or_insert_with(|| Drive {
                    span: quantity.span,
                    ..Drive::default()
                });
                drive.voltage = drive.voltage.or(Some(fact(Volt(si), quantity.span, index)));
            }
            _ => {}
        }
    }
    drive
}

/// "They ran from the 50 W amplifier. For the third the guest plugged in his own, which gives 120 W."
fn sourced_before(reader: &Reader<'_>, index: usize) -> bool {
    let terms = &reader.terms;
    let sentence = reader.sentence_of[index];
    let says = |at: usize, concept| reader.hits.say(at, concept);
    let block = |at: usize| reader.sheet.sentences[at].block;
    sentence > 0
        && block(sentence - 1) == block(sentence)
        && says(sentence - 1, terms.amplifier)
        && !says(sentence, terms.lamp)
        && !says(sentence, terms.speaker)
        && reader
            .in_sentence(sentence - 1)
            .any(|other| reader.roles[other] == reader.roles[index])
}

/// Voltages measured at the load through each side, as a stated difference.
fn measured(reader: &Reader<'_>, sides: &[Side]) -> Option<Outcome> {
    let terms = &reader.terms;
    let at_side = |cable: usize| {
        let mut own = (0..reader.sheet.quantities.len()).filter(|&index| {
            let sentence = reader.sentence_of[index];
            let around = reader.around(sentence, reader.sheet.quantities[index].span);
            reader.owners[index] == Owner::One(cable)
                && reader.roles[index] == Role::Voltage
                && !around.near(terms.amplifier, 60)
                && !around.near(terms.supply, 60)
        });
        let index = own.next()?;
        own.next().is_none().then_some(index)
    };
    let [first, second] = sides else { return None };
    let (a, b) = (at_side(first.cable)?, at_side(second.cable)?);
    let (a, b) = (&reader.sheet.quantities[a], &reader.sheet.quantities[b]);
    let (volts_a, volts_b) = (a.si?, b.si?);
    if volts_a <= 0.0 || volts_b <= 0.0 || (volts_a / volts_b - 1.0).abs() < 0.002 {
        return None;
    }
    let higher = if volts_a > volts_b { a } else { b };
    Some(Outcome {
        span: higher.span,
        winner: Some(usize::from(volts_b > volts_a)),
        difference: vec![Difference {
            of: DifferenceOf::Voltage,
            value: (volts_a / volts_b).max(volts_b / volts_a),
            span: higher.span,
        }],
    })
}

/// Whether a voltage is one at the far end rather than one of the source.
fn at_load(around: &super::context::Around<'_>, terms: &super::terms::Terms) -> bool {
    let near = |concepts: &[ConceptId]| {
        concepts
            .iter()
            .filter_map(|&concept| around.distance(concept))
            .min()
            .unwrap_or(usize::MAX)
    };
    near(&[terms.lamp, terms.resistor, terms.speaker, terms.z_load])
        <= near(&[terms.amplifier, terms.supply])
}

/// The sentence that says which side came out better.
fn outcome(reader: &Reader<'_>, sides: &[Side]) -> Option<Outcome> {
    let terms = reader.terms;
    let mut best: Option<(usize, Outcome)> = None;
    let mut differences = Vec::new();
    for sentence in 0..reader.sheet.sentences.len() {
        if reader.endless(sentence) {
            continue;
        }
        let better: Vec<Span> = reader
            .hits
            .of(sentence)
            .iter()
            .filter(|hit| hit.concept == terms.better)
            .map(|hit| hit.span)
            .chain(super::verdict::words(reader, sentence))
            .collect();
        let asked = reader.sheet.sentences[sentence]
            .span
            .of(reader.text())
            .trim_end()
            .ends_with('?');
        // "The Kite was the quickest to strip" says nothing of what is heard.
        let handled = reader.hits.say(sentence, terms.handling)
            && !reader.hits.say(sentence, terms.listened)
            && !reader.hits.say(sentence, terms.lamp);
        if asked || handled {
            continue;
        }
        let stated = differences.len();
        differences.extend(stated_differences(reader, sentence));
        let stated = differences.len() > stated;
        let better: Vec<Span> = better
            .into_iter()
            .filter(|span| !negated(reader, sentence, *span))
            .collect();
        let Some(&first) = better.first() else {
            continue;
        };
        let cell = matches!(
            reader.sheet.blocks[reader.sheet.sentences[sentence].block].kind,
            BlockKind::Cell { .. } | BlockKind::Heading { .. }
        );
        let winner = match reader.owner(sentence, first, Owner::Nobody) {
            Owner::One(cable) => sides.iter().position(|side| side.cable == cable),
            _ => None,
        };
        let credited = reader.hits.say(sentence, terms.credit);
        let weight = better.len().min(3)
            + 3 * usize::from(winner.is_some())
            + usize::from(credited)
            + 2 * usize::from(stated)
            + usize::from(!cell);
        if best.as_ref().is_none_or(|(known, _)| *known < weight) {
            let outcome = Outcome {
                span: reader.sheet.sentences[sentence].span,
                winner,
                difference: Vec::new(),
            };
            best = Some((weight, outcome));
        }
    }
    // "The level was 3 dB higher with A": a figure is an outcome in itself.
    let measured = || {
        let first = differences.first()?;
        let sentence = super::read::sentence_at(reader.sheet, first.span.start);
        let winner = match reader.owner(sentence, first.span, Owner::Nobody) {
            Owner::One(cable) => sides.iter().position(|side| side.cable == cable),
            _ => None,
        };
        Some(Outcome {
            span: reader.sheet.sentences[sentence].span,
            winner,
            difference: Vec::new(),
        })
    };
    let mut outcome = best.map(|(_, outcome)| outcome).or_else(measured)?;
    outcome.difference = differences;
    Some(outcome)
}

/// Whether a negation stands within a few words before `words`: "is not faster than", "neither was louder".
fn negated(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    const CUES: &[&str] = &[
        "not", "neither", "nor", "never", "nobody", "none", "isn't", "wasn't", "aren't",
        "couldn't", "doesn't", "didn't", "don't", "no",
    ];
    let mut tokens = Vec::new();
    let text = reader.text();
    tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
    let Some(at) = tokens.iter().position(|token| token.span.end > words.start) else {
        return false;
    };
    tokens[at.saturating_sub(4)..at].iter().any(|token| {
        CUES.contains(
            &token
                .span
                .of(text)
                .to_lowercase()
                .replace('’', "'")
                .as_str(),
        )
    })
}

/// Differences in level, power, voltage or brightness that a sentence states.
fn stated_differences(reader: &Reader<'_>, sentence: usize) -> Vec<Difference> {
    let terms = reader.terms;
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    let lower = span.of(text).to_lowercase();
    let mut found = Vec::new();
    if reader.hits.say(sentence, terms.matched) {
        return found;
    }
    let more = [
        "more", "up", "rose", "gain", "higher", "above", "louder", "increase", "less", "down",
        "better", "ahead", "extra", "exceed",
    ];
    let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
    for index in reader.in_sentence(sentence) {
        let quantity = &reader.sheet.quantities[index];
        let Some(si) = quantity.si else { continue };
        match quantity.kind {
            Kind::LevelDb
                if reader.roles[index] == Role::Level
                    && has(&more)
                    && si > 0.0
                    && !is_own_loss(&lower) =>
            {
                found.push(Difference {
                    of: DifferenceOf::Level,
                    value: si,
                    span: quantity.span,
                })
            }
            Kind::Percent if reader.roles[index] == Role::Percent => {
                let after = text
                    .get(quantity.span.end..span.end.max(quantity.span.end))
                    .unwrap_or("")
                    .to_lowercase();
                let after = after
                    .get(..after.len().min(40))
                    .unwrap_or(&after)
                    .to_owned();
                let before = text
                    .get(span.start..quantity.span.start)
                    .unwrap_or("")
                    .to_lowercase();
                let near = |words: &[&str]| words.iter().any(|word| after.contains(word));
                let of = if near(&["bright", "light", "lumen", "lux"])
                    || (has(&["light meter", "light sensor", "lux"]) && near(&["more", "up"]))
                {
                    DifferenceOf::Brightness
                } else if near(&["power", "watt"]) {
                    DifferenceOf::Power
                } else if near(&["volt"])
                    || (has(&["voltage"]) && near(&["higher", "more", "up", "above"]))
                {
                    DifferenceOf::Voltage
                } else {
                    continue;
                };
                let less = near(&["less", "lower", "dimmer"]) || before.ends_with("only ");
                let value = if less {
                    1.0 / (1.0 - (si / 100.0).min(0.99))
                } else {
                    1.0 + si / 100.0
                };
                found.push(Difference {
                    of,
                    value,
                    span: quantity.span,
                });
            }
            _ => {}
        }
    }
    const MULTIPLES: &[(&str, f64)] = &[
        ("twice as bright", 2.0),
        ("half as bright", 2.0),
        ("half the brightness", 2.0),
        ("double the brightness", 2.0),
        ("twice the light", 2.0),
        ("half the light", 2.0),
        ("double the light", 2.0),
        ("three times as bright", 3.0),
        ("three times the light", 3.0),
        ("a third as bright", 3.0),
        ("half as bright again", 1.5),
        ("a third more light", 4.0 / 3.0),
        ("a third brighter", 4.0 / 3.0),
        ("a quarter more light", 1.25),
        ("a quarter brighter", 1.25),
        ("half again as bright", 1.5),
        ("third of light", 4.0 / 3.0),
        ("a third more", 4.0 / 3.0),
        ("half as much light again", 1.5),
        ("twice as much light", 2.0),
        ("four times as bright", 4.0),
        ("ten times as bright", 10.0),
    ];
    for (words, value) in MULTIPLES {
        if let Some(at) = lower.find(words) {
            found.push(Difference {
                of: DifferenceOf::Brightness,
                value: *value,
                span: Span::new(
                    span.start + at,
                    (span.start + at + words.len()).min(span.end),
                ),
            });
            break;
        }
    }
    found
}

/// Words between what is varied and the word that says that it is what is varied.
const DECLARED: usize = 8;

/// What the document says its test is of: the subject words in a sentence that declares or explains.
fn subjects(reader: &Reader<'_>) -> (Vec<Subject>, Vec<Span>) {
    let terms = reader.terms;
    let mut subjects = Vec::new();
    let mut spans = Vec::new();
    for (concept, subject) in [
        (terms.subject_size, Subject::Size),
        (terms.subject_length, Subject::Length),
        (terms.subject_metal, Subject::Metal),
    ] {
        for sentence in 0..reader.sheet.sentences.len() {
            let hits = reader.hits.of(sentence);
            let says = hits.iter().find(|hit| hit.concept == concept);
            let Some(says) = says else { continue };
            let heading = matches!(
                reader.sheet.blocks[reader.sheet.sentences[sentence].block].kind,
                BlockKind::Heading { .. }
            );
            let declares = hits.iter().any(|hit| {
                let between = if hit.first > says.last {
                    hit.first - says.last
                } else {
                    says.first.saturating_sub(hit.last)
                };
                hit.concept == terms.subject_only && between <= DECLARED && {
                    let (first, last) = if hit.span.start < says.span.start {
                        (hit.span, says.span)
                    } else {
                        (says.span, hit.span)
                    };
                    first.end >= last.start
                        || borders(Span::new(first.end, last.start).of(reader.text())) <= 1
                }
            });
            if (declares || heading) && !same_of(reader, sentence, says.span) {
                subjects.push(subject);
                spans.push(says.span);
                break;
            }
        }
    }
    (subjects, spans)
}

/// "Of the same gauge", "equal lengths": the words say that the property was held, not varied.
fn same_of(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    const HELD: &[&str] = &[
        "same",
        "equal",
        "identical",
        "one",
        "very",
        "cut",
        "like",
        "far",
        "nothing",
    ];
    held_by(reader, sentence, words, HELD)
}

/// Whether one of `before` stands within three words before `words`.
fn held_by(reader: &Reader<'_>, sentence: usize, words: Span, before: &[&str]) -> bool {
    let mut tokens = Vec::new();
    tokenize(
        reader.text(),
        reader.sheet.sentences[sentence].span,
        &mut tokens,
    );
    let Some(at) = tokens.iter().position(|token| token.span.end > words.start) else {
        return false;
    };
    tokens[at.saturating_sub(3)..at]
        .iter()
        .any(|token| before.contains(&token.span.of(reader.text()).to_lowercase().as_str()))
}

/// Whether the document itself points out that the sides were unequal.
fn critique(reader: &Reader<'_>) -> bool {
    let all = reader
        .hits
        .all()
        .iter()
        .filter(|hit| hit.concept == reader.terms.critique)
        .count();
    all >= 2
}

/// Whether running text works the resistances or the losses of both sides out itself: then size is what it explains by.
fn arithmetic(reader: &Reader<'_>) -> bool {
    let figures = |kind: FigureKind, per: bool| {
        (0..reader.sheet.quantities.len())
            .filter(|&index| reader.roles[index] == Role::Figure(kind))
            .filter(|&index| {
                let block =
                    &reader.sheet.blocks[reader.sheet.sentences[reader.sentence_of[index]].block];
                per || !matches!(block.kind, BlockKind::Cell { .. } | BlockKind::Field)
            })
            .count()
    };
    let worked = anywhere_bool(reader, reader.terms.arithmetic);
    figures(FigureKind::Resistance, false) >= if worked { 1 } else { 2 }
}

/// "Down 2.5 dB" behind an arrow or an equals sign is what one cable loses, not a difference between two.
fn is_own_loss(sentence: &str) -> bool {
    ["->", "→", "=", "trimmed", "within", "to 0.", "loop"]
        .iter()
        .any(|mark| sentence.contains(mark))
}
