//! The sides of a test, with the load and the drive that each alone was given. Knows nothing of who came out better.

use super::anywhere_bool;
use super::apart::MOST;
use crate::facts::context::key_sentences;
use crate::facts::procedure;
use crate::facts::read::{Owner, Reader, fact, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::{Drive, Fact, Load, LoadKind, Side};
use crate::lexicon::{ConceptId, List};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use crate::units::{Ohm, Volt, Watt};
use std::cell::OnceCell;

/// Most cables that are set side by side in one test; more are a range or a chart.
const MOST_SIDES: usize = 6;
/// Bytes between “may be” and the amount that may be.
const MODAL: usize = 12;

/// Whether these can be the sides of a test: not a whole range, and not cables that go by a load, a voltage or, when they are
/// many, a size, as the columns and rows of a chart do.
pub(super) fn are_sides(reader: &Reader<'_>, sides: &[Side]) -> bool {
    let loads = named_by(reader, sides, reader.terms.lists.side_load_end);
    let sizes = named_by(reader, sides, reader.terms.lists.side_size_end);
    sides.len() <= MOST_SIDES && loads < 2 && (sizes < sides.len() || sides.len() < 4)
}

/// Whether all sides go by their sizes.
pub(super) fn called_by_size(reader: &Reader<'_>, sides: &[Side]) -> bool {
    named_by(reader, sides, reader.terms.lists.side_size_end) == sides.len()
}

/// How many sides go by an amount that ends so.
fn named_by(reader: &Reader<'_>, sides: &[Side], ends: List<'_>) -> usize {
    let by_amount = |side: &&Side| {
        let name = reader.facts.cables[side.cable].name.trim().to_lowercase();
        name.starts_with(|letter: char| letter.is_ascii_digit()) && ends.ends(&name)
    };
    sides.iter().filter(by_amount).count()
}

/// Cables of which something is known, with what each side alone was given; none where they are more than all tests of one
/// document have.
pub(super) fn sides(reader: &Reader<'_>) -> Vec<Side> {
    let described = |cable: usize| {
        let cable = &reader.facts.cables[cable];
        !cable.sizes.is_empty() || !cable.lengths.is_empty() || !cable.metals.is_empty()
    };
    // What neither a load nor a drive is read from is passed over: a dense document has a great many quantities and cells.
    let own = OnceCell::new();
    let own = |cable: usize| -> Vec<usize> {
        let own = own.get_or_init(|| {
            reader.by_entry(|index| {
                matches!(
                    reader.roles[index],
                    Role::Load | Role::Power | Role::Voltage
                )
            })
        });
        own.of(cable).collect()
    };
    let mut cables: Vec<usize> = (0..reader.facts.cables.len())
        .filter(|&cable| {
            !reader.roster.entries[cable].merged
                && !reader.roster.entries[cable].alone
                && !reader.facts.cables[cable].mentions.is_empty()
        })
        .filter(|&cable| {
            described(cable) || {
                let own = own(cable);
                side_load(reader, &own).is_some() || drive_of(reader, &own).is_some()
            }
        })
        .collect();
    // Rows of a list of which running text speaks of some alone: the others are there to be bought.
    let spoken = |cable: usize| {
        reader.facts.cables[cable].mentions.iter().any(|span| {
            reader
                .line_of(sentence_at(reader.sheet, span.start()))
                .is_none()
        })
    };
    if cables.iter().any(|&cable| spoken(cable)) {
        // Rows of a long list are looked up in no sentence.
        let few = cables.len() <= MOST;
        cables.retain(|&cable| {
            !reader.is_row(cable) || spoken(cable) || (few && set_against(reader, cable))
        });
    }
    // "Staff asked whether the silver lead sounds brighter", beside a test of two others.
    let asked = |cable: usize| {
        let cable = &reader.facts.cables[cable];
        cable.sizes.is_empty()
            && cable.lengths.is_empty()
            && cable.mentions.iter().all(|span| {
                let at = sentence_at(reader.sheet, span.start());
                let words = reader.sheet.sentences[at].span.of(reader.text());
                let indirect = reader.terms.lists.side_asked;
                procedure::asked(reader, at) || indirect.within(&words.to_lowercase())
            })
    };
    if cables.len() > 2 && cables.len() <= MOST {
        cables.retain(|&cable| !asked(cable));
    }
    // Nobody sets so many side by side: what each alone was given is not asked for.
    if cables.len() > MOST {
        return Vec::new();
    }
    let terms = &reader.terms;
    let load = [terms.speaker, terms.lamp, terms.z_load];
    let drive = [terms.amplifier, terms.supply];
    let cells =
        reader.cells_by_entry(|cell| headed(reader, cell, &load) || headed(reader, cell, &drive));
    let mut sides: Vec<Side> = cables
        .into_iter()
        .map(|cable| {
            let own = own(cable);
            let cells: Vec<usize> = cells.of(cable).collect();
            Side {
                cable,
                load: side_load(reader, &own).map(Box::new),
                drive: drive_of(reader, &own).map(Box::new),
                sold: sold(reader, cable),
                load_words: line_words(reader, &cells, &load),
                drive_words: line_words(reader, &cells, &drive),
            }
        })
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
            side.drive = Some(Box::new(shared.clone()));
        }
    }
    sides
}

/// Whether running text sets something against the row of a table by the words that stand in it, small as they are: “25 % more
/// power than plain”.
fn set_against(reader: &Reader<'_>, cable: usize) -> bool {
    const BEFORE: [&str; 2] = ["than ", "than the "];
    let name = reader.facts.cables[cable].name.trim().to_lowercase();
    let versus = reader.terms.versus;
    name.starts_with(char::is_alphabetic)
        && (0..reader.sheet.sentences.len()).any(|at| {
            let words = reader.sheet.sentences[at].span.of(reader.text());
            reader.hits.say(at, versus) && reader.line_of(at).is_none() && !reader.endless(at) && {
                let words = words.to_lowercase();
                BEFORE.iter().any(|than| {
                    let behind = words.split_once(&format!("{than}{name}"));
                    behind.is_some_and(|(_, rest)| {
                        rest.starts_with(['.', ',', ';', '!', '?', ')']) || rest.is_empty()
                    })
                })
            }
        })
}

/// Whether an amount is only supposed: “if it were 20 m long”, “the other may be 9 m”.
pub(super) fn supposed(reader: &Reader<'_>, index: usize) -> bool {
    let sentence = reader.sentence_of(index);
    let amount = reader.sheet.quantities[index].span;
    let hits = reader.hits.of(sentence);
    let before = |concept: ConceptId, reach: usize| {
        hits.iter().any(|hit| {
            hit.concept == concept
                && hit.span.end() <= amount.start()
                && amount.start() - hit.span.end() <= reach
        })
    };
    // A condition holds for the whole sentence behind it, a modal verb for what stands next to it.
    before(reader.terms.conditional_amount, usize::MAX)
        || before(reader.terms.supposed_amount, MODAL)
        || procedure::asked(reader, sentence)
}

/// Whether every length of a cable is told as one that it is sold in, or only supposed.
fn sold(reader: &Reader<'_>, cable: usize) -> bool {
    let lengths = &reader.facts.cables[cable].lengths;
    !lengths.is_empty()
        && lengths.iter().all(|length| {
            length.quantity().is_some_and(|index| {
                let sentence = reader.sentence_of(index);
                reader.hits.say(sentence, reader.terms.sold) || supposed(reader, index)
            })
        })
}

/// Whether the header of a cell names one of `concepts`.
fn headed(reader: &Reader<'_>, cell: usize, concepts: &[ConceptId]) -> bool {
    key_sentences(reader.sheet, cell).into_iter().any(|key| {
        concepts
            .iter()
            .any(|&concept| reader.hits.say(key, concept))
    })
}

/// The cell of a table line whose header names one of `concepts`.
fn line_words(reader: &Reader<'_>, cells: &[usize], concepts: &[ConceptId]) -> Option<Span> {
    cells
        .iter()
        .find(|&&index| headed(reader, index, concepts))
        // "-0.05 dB" is what was measured there, and no name of an amplifier.
        .filter(|&&index| {
            let words = reader.sheet.sentences[index].span.of(reader.text());
            let measured = reader.in_sentence(index).any(|quantity| {
                ![Role::Load, Role::Power, Role::Voltage].contains(&reader.roles[quantity])
            });
            !measured && words.contains(char::is_alphabetic)
        })
        .map(|&index| reader.sheet.sentences[index].span)
}

/// Quantities that speak of all cables.
fn of_all(reader: &Reader<'_>) -> Vec<usize> {
    (0..reader.sheet.quantities.len())
        .filter(|&index| reader.owners.at(index) == Owner::All)
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
            impedance: quantity.si().map(Ohm),
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
pub(in crate::facts) fn lamp(reader: &Reader<'_>, watts: usize) -> Load {
    let quantity = &reader.sheet.quantities[watts];
    let is_volts = |other: &usize| reader.sheet.quantities[*other].kind == Kind::Voltage;
    let volts = reader
        .in_sentence(reader.sentence_of(watts))
        .find(is_volts)
        .or_else(|| (0..watts).rev().find(is_volts))
        .or_else(|| only_voltage(reader))
        .and_then(|other| reader.sheet.quantities[other].si());
    Load {
        impedance: volts
            .zip(quantity.si())
            .map(|(volts, watts)| Ohm(volts * volts / watts)),
        kind: LoadKind::Lamp,
        lamp_power: quantity.si().map(Watt),
    }
}

/// The one voltage that the document names: “both go into one 230 V socket”, below the lamps.
fn only_voltage(reader: &Reader<'_>) -> Option<usize> {
    let volts = |index: usize| reader.sheet.quantities[index].si();
    let mut all = (0..reader.sheet.quantities.len())
        .filter(|&index| reader.sheet.quantities[index].kind == Kind::Voltage);
    let first = all.next()?;
    all.all(|other| volts(other) == volts(first))
        .then_some(first)
}

/// Whether a power is the rating of a lamp.
pub(in crate::facts) fn is_lamp_power(reader: &Reader<'_>, index: usize) -> bool {
    if reader.roles[index] != Role::Power {
        return false;
    }
    let around = reader.around(
        reader.sentence_of(index),
        reader.sheet.quantities[index].span,
    );
    let lamp = around.distance(reader.terms.lamp).unwrap_or(usize::MAX);
    let amplifier = around
        .distance(reader.terms.amplifier)
        .unwrap_or(usize::MAX);
    // "A nice old valve job, eighteen watts": what an amplifier has is no lamp's.
    if lamp == usize::MAX && valved(reader, reader.sentence_of(index)) {
        return false;
    }
    if lamp == usize::MAX && amplifier == usize::MAX {
        // "Ours gets the 60 W bulb. Theirs has a 40 W in."
        if anywhere_bool(reader, reader.terms.lamp)
            && !anywhere_bool(reader, reader.terms.amplifier)
        {
            return true;
        }
        let before = reader.sentence_of(index).checked_sub(1);
        return before.is_some_and(|before| {
            reader.hits.say(before, reader.terms.lamp)
                && !reader.hits.say(before, reader.terms.amplifier)
        });
    }
    lamp < 120 && lamp < amplifier
}

/// Whether a sentence speaks of valves or transistors, whatever the amplifier is called.
pub(super) fn valved(reader: &Reader<'_>, sentence: usize) -> bool {
    let lists = reader.terms.lists;
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    !reader.endless(sentence)
        && words
            .split(|letter: char| !letter.is_alphabetic())
            .map(str::to_lowercase)
            .any(|word| lists.gear_valve.has(&word) || lists.gear_transistor.has(&word))
}

/// The amplifier power or supply voltage that these quantities give.
fn drive_of(reader: &Reader<'_>, own: &[usize]) -> Option<Drive> {
    let mut drive: Option<Drive> = None;
    for &index in own {
        let quantity = &reader.sheet.quantities[index];
        let Some(si) = quantity.si() else {
            continue;
        };
        let around = reader.around(reader.sentence_of(index), quantity.span);
        let sourced = (around.near(reader.terms.amplifier, 110)
            || around.near(reader.terms.supply, 90)
            || sourced_before(reader, index)
            || sourced_in_column(reader, index)
            || driven_with(reader, index))
            && of_a_side(reader, index);
        match reader.roles[index] {
            Role::Power if sourced && !is_lamp_power(reader, index) => {
                let drive = drive.get_or_insert_with(|| Drive {
                    span: quantity.span,
                    ..Drive::default()
                });
                drive.power = drive.power.or(Some(fact(Watt(si), quantity.span, index)));
            }
            Role::Voltage
                if (sourced && !at_load(&around, &reader.terms)) || driven(reader, index) =>
            {
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

/// Whether an amount is told as that with which something was driven: “was driven with 10 V”, “fed from a steady 12 V”.
fn driven_with(reader: &Reader<'_>, index: usize) -> bool {
    /// Bytes before it in which that is said.
    const NEAR: usize = 40;
    const BETWEEN: [&str; 7] = [" a", " an", " the", " only", " about", " just", " steady"];
    let amount = reader.sheet.quantities[index].span;
    let ahead = reader.ahead(reader.sentence_of(index), amount, NEAR);
    let mut ahead = ahead.trim_end();
    while let Some(rest) = BETWEEN.iter().find_map(|word| ahead.strip_suffix(word)) {
        ahead = rest.trim_end();
    }
    reader.terms.lists.drive_given.ends(ahead)
}

/// “Ours was driven with 12 V, theirs with 10 V”: the verb of the first amount of its kind holds for the next.
fn driven_alike(reader: &Reader<'_>, index: usize) -> bool {
    const NEAR: usize = 8;
    const LINKS: [&str; 5] = [" with", " from", " by", " at", " off"];
    let sentence = reader.sentence_of(index);
    let own = &reader.sheet.quantities[index];
    let ahead = reader.ahead(sentence, own.span, NEAR);
    let linked = LINKS.iter().any(|link| ahead.trim_end().ends_with(link));
    let before = index.checked_sub(1).filter(|&before| {
        reader.sentence_of(before) == sentence && reader.sheet.quantities[before].kind == own.kind
    });
    linked && before.is_some_and(|before| driven_with(reader, before))
}

/// Whether something is driven with a voltage: “driven with 10 V”, or under a head that says so.
pub(super) fn driven(reader: &Reader<'_>, index: usize) -> bool {
    driven_with(reader, index)
        || driven_alike(reader, index)
        || keyed_drive(reader, reader.sentence_of(index))
}

/// Whether the head of a cell says that it tells what the amplifier gave: “output”, “drive”.
fn keyed_drive(reader: &Reader<'_>, sentence: usize) -> bool {
    let lists = reader.terms.lists;
    key_sentences(reader.sheet, sentence)
        .into_iter()
        .any(|key| {
            let words = reader.sheet.sentences[key].span.of(reader.text());
            let words: Vec<String> = words
                .split(|letter: char| !letter.is_alphabetic())
                .filter(|word| !word.is_empty())
                .map(str::to_lowercase)
                .collect();
            let drives = |word: &String| lists.drive_key.has(word);
            words.iter().any(drives)
                && (words.iter()).all(|word| drives(word) || lists.drive_key_rest.has(word))
        })
}

/// "They ran from the 50 W amplifier. For the third the guest plugged in his own, which gives 120 W."
fn sourced_before(reader: &Reader<'_>, index: usize) -> bool {
    /// Bytes before an amount with which a sentence opens.
    const OPENS: usize = 12;
    let terms = &reader.terms;
    let sentence = reader.sentence_of(index);
    let says = |at: usize, concept| reader.hits.say(at, concept);
    let block = |at: usize| reader.sheet.sentences[at].block();
    sentence > 0
        && block(sentence - 1) == block(sentence)
        && says(sentence - 1, terms.amplifier)
        && !says(sentence, terms.lamp)
        && !says(sentence, terms.speaker)
        && (reader
            .in_sentence(sentence - 1)
            .any(|other| reader.roles[other] == reader.roles[index])
            // "It was driven by the old valve amplifier. Twenty watts, and warm to the hand."
            || reader.sheet.quantities[index].span.start()
                <= reader.sheet.sentences[sentence].span.start() + OPENS)
}

/// Whether another cell of the column of a quantity, or its head, speaks of an amplifier or a supply: “valve amplifier, 30 W” over
/// “Model S2, 200 W”.
fn sourced_in_column(reader: &Reader<'_>, index: usize) -> bool {
    /// Rows of a table that tells of the rooms or sides of a test.
    const ROWS: usize = 12;
    let terms = &reader.terms;
    let sentence = reader.sentence_of(index);
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    let BlockKind::Cell { table, column, .. } = block.kind() else {
        return false;
    };
    let [table, column] = [table, column].map(|place| place as usize);
    let Some(table) = reader.sheet.tables.get(table) else {
        return false;
    };
    let says = |at: usize, concept| reader.hits.say(at, concept);
    table.cells.len() <= ROWS
        && !says(sentence, terms.lamp)
        && !says(sentence, terms.speaker)
        && table.cells.iter().any(|row| {
            let cell = row.get(column).copied().flatten();
            cell.is_some_and(|cell| {
                let mut sentences = reader.sheet.blocks[cell].sentences();
                sentences.any(|at| says(at, terms.amplifier) || says(at, terms.supply))
            })
        })
}

/// Whether running text names a side in the sentence of a quantity, or before it in its block: a source named without one is that of
/// the whole test.
fn of_a_side(reader: &Reader<'_>, index: usize) -> bool {
    /// Sentences before it that may name the side.
    const BEFORE: usize = 12;
    let sentence = reader.sentence_of(index);
    let block = reader.sheet.sentences[sentence].block();
    let block = &reader.sheet.blocks[block];
    let running =
        matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item) && block.key().is_none();
    !running
        || reader.owners.at(index) == Owner::All
        || (block.sentences().start.max(sentence.saturating_sub(BEFORE))..=sentence).any(|at| {
            reader
                .resolved
                .of(at)
                .iter()
                .any(|(_, owner)| matches!(owner, Owner::One(_) | Owner::Two(..)))
        })
}

/// Whether a voltage is one at the far end rather than one of the source.
fn at_load(around: &crate::facts::context::Around<'_>, terms: &crate::facts::terms::Terms) -> bool {
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
