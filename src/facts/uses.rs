//! Uses that a document offers or recommends: a length into a load, a power.

mod own;

use super::context::key_sentences;
use super::kept::ByEntry;
use super::read::{Owner, Reader, fact};
use super::roles::Role;
use super::types::{Fact, FigureKind, Load, LoadKind, Use};
use super::voices;
use crate::sheet::{Block, BlockKind, Bound, Kind};
use crate::units::{Metre, Ohm, Watt};
use rustc_hash::FxHashMap;

/// Reads the uses; a sheet's own length and load are a use, in running text somebody must offer or recommend it.
pub(super) fn read(reader: &mut Reader<'_>) {
    let own = reader.by_entry(|index| reader.roles[index] == Role::Load);
    let mut leads = FxHashMap::default();
    for sentence in 0..reader.sheet.sentences.len() {
        sentence_uses(reader, sentence);
        cell_use(reader, sentence, &own, &mut leads);
    }
    own::recommended(reader);
    own::rated(reader);
    sheet_use(reader);
    own::driven(reader);
}

/// Offers made in one sentence (or one table row).
fn sentence_uses(reader: &mut Reader<'_>, sentence: usize) {
    // A field is read as a whole: its value may run over several lines.
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    // What somebody says in a conversation is no field.
    let keyed = block.key().is_some() && block.span.len() < 120 && block.speaker().is_none();
    let sentences = if block.key().is_some() && block.span.len() < 400 {
        if block.sentences().start != sentence {
            return;
        }
        block.sentences()
    } else {
        sentence..sentence + 1
    };
    let quantities: Vec<usize> = sentences
        .clone()
        .flat_map(|at| reader.in_sentence(at))
        .collect();
    if quantities.is_empty() {
        return;
    }
    let said = |concept| sentences.clone().any(|at| reader.hits.say(at, concept));
    let of = |role: Role| {
        quantities
            .iter()
            .copied()
            .find(|&index| reader.roles[index] == role)
    };
    let cell = matches!(
        reader.sheet.blocks[reader.sheet.sentences[sentence].block()].kind(),
        BlockKind::Cell { .. }
    );
    if cell && of(Role::Power).is_none() {
        return;
    }
    let (length, load, power) = (of(Role::Run), of(Role::Load), of(Role::Power));
    // "I would not go past these:" over a list of names and lengths.
    let lead = block
        .lead()
        // "Recommended use", over fields that are called by the names of cables.
        .or_else(|| block.section().filter(|_| named_key(reader, block)))
        .filter(|_| keyed)
        .map(|lead| reader.sheet.blocks[lead].sentences());
    let led = |concept| {
        let lead = lead.clone().into_iter().flatten();
        lead.clone().any(|at| reader.hits.say(at, concept))
    };
    // "Wispline 150: loudspeakers of 4 Ω, up to 24 m".
    let limited = keyed
        && load.is_some()
        && length.is_some_and(|index| reader.sheet.quantities[index].bound == Bound::AtMost);
    // "We supply it in pairs of 3 m for loudspeakers of 8 Ω."
    let supplied = length.is_some() && load.is_some() && said(reader.terms.offer_supply);
    let offered = said(reader.terms.offer) || led(reader.terms.offer) || limited || supplied;
    let all_asked = sentences.clone().all(|at| asked(reader, at));
    let example = power.is_none() && said(reader.terms.offer_example);
    if said(reader.terms.offer_not) || said(reader.terms.use_task) || all_asked || example {
        return;
    }
    // "Most power into 4 ohms", over a column of powers.
    let heads = if cell {
        key_sentences(reader.sheet, sentence)
    } else {
        Vec::new()
    };
    let headed = heads
        .iter()
        .any(|&at| reader.hits.say(at, reader.terms.carry));
    let load = load.or_else(|| {
        let mut over = heads.iter().flat_map(|&at| reader.in_sentence(at));
        over.find(|&index| headed && reader.roles[index] == Role::Load)
    });
    let carried = said(reader.terms.carry) || headed;
    let span = reader.sheet.sentences[sentence].span;
    let owner = quantities
        .iter()
        .map(|&index| reader.owners.at(index))
        .find(|owner| *owner != Owner::Nobody)
        .or_else(|| own::called(reader, sentences.clone()).filter(|_| keyed))
        .unwrap_or(Owner::Nobody);
    // “New: 4471-08, as 4471-07. Tested with 900 W”: it is told of the cable that the passage names, and not of all in the list.
    let first = block.sentences().start.max(sentence.saturating_sub(2));
    let named = || own::called(reader, first..sentence + 1);
    let owner = match owner {
        Owner::All if !cell => named().unwrap_or(owner),
        owner => owner,
    };
    // “2000 W a side into 4 Ω, flat out. The red lead takes that happily.”
    let taken = (power.is_some() && load.is_some() && owner == Owner::Nobody)
        .then(|| own::takes_that(reader, sentence))
        .flatten();
    let owner = taken.unwrap_or(owner);
    let carried = carried || taken.is_some();
    let loads = |index: usize| {
        let quantity = &reader.sheet.quantities[index];
        let load = Load {
            impedance: quantity.si().map(Ohm),
            kind: reader.load_kind(index),
            lamp_power: None,
        };
        fact(load, quantity.span, index)
    };
    // "Recommended for loudspeakers of 4 Ω, / runs of up to 25 m": the line beside may name the load.
    let beside = || {
        let near = [sentence.checked_sub(1), Some(sentence + 1)];
        let block = |at: usize| reader.sheet.sentences[at].block();
        near.into_iter()
            .flatten()
            .filter(|&at| {
                at < reader.sheet.sentences.len()
                    && voices::converse(reader, block(at), block(sentence))
            })
            .flat_map(|at| reader.in_sentence(at))
            .find(|&index| reader.roles[index] == Role::Load && reader.owners.at(index) == owner)
    };
    let over = || {
        let lead = lead.clone().into_iter().flatten();
        lead.flat_map(|at| reader.in_sentence(at))
            .find(|&index| reader.roles[index] == Role::Load)
    };
    let load = load.or_else(|| {
        length
            .filter(|_| offered)
            .and_then(|_| beside().or_else(over))
    });
    let load = load
        .filter(|&index| !supposed(reader, index))
        .map(loads)
        .filter(|load| load.value.kind == LoadKind::Loudspeaker);
    let metres = |index: usize| {
        Some(fact(
            Metre(reader.sheet.quantities[index].si()?),
            reader.sheet.quantities[index].span,
            index,
        ))
    };
    let watts = |index: usize| {
        Some(fact(
            Watt(reader.sheet.quantities[index].si()?),
            reader.sheet.quantities[index].span,
            index,
        ))
    };
    // "Good for 8 ohm loudspeakers up to 8 m away": how far off they stand is the length of the use.
    let length = length.or_else(|| {
        let mut far = quantities.iter().copied();
        far.find(|&index| load.is_some() && is_way(reader, index))
    });
    let mut made = Vec::new();
    if offered && (length.is_some() || load.is_some()) {
        made.push(Use {
            length: length.and_then(metres),
            load,
            power: None,
            span,
        });
    }
    if let (Some(power), Some(_)) = (power.and_then(watts), load)
        && (carried || offered || keyed)
    {
        made.push(Use {
            length: None,
            load,
            power: Some(power),
            span,
        });
    }
    if made.is_empty() && owner != Owner::All {
        return;
    }
    for cable in reader.cables_of(owner) {
        if !made.is_empty() {
            let uses = &mut reader.facts.cables[cable].besides().uses;
            uses.extend(made.iter().cloned());
        }
    }
}

/// Whether the key of a field is the name of a cable.
fn named_key(reader: &Reader<'_>, block: &Block) -> bool {
    let mut named = (reader.resolved.within(block.sentences())).flat_map(|own| own.iter());
    block.key().is_some_and(|key| {
        named.any(|(words, owner)| matches!(owner, Owner::One(_)) && key.contains(words))
    })
}

/// Whether a quantity is a length such as loudspeakers stand away, and not the thickness of something.
pub(super) fn is_way(reader: &Reader<'_>, index: usize) -> bool {
    const LEAST: f64 = 0.5;
    let quantity = &reader.sheet.quantities[index];
    quantity.kind == Kind::Length && quantity.si().is_some_and(|metres| metres >= LEAST)
}

/// Whether a load is only supposed: “if your loudspeaker is a 4 Ω one, buy the thicker one”.
fn supposed(reader: &Reader<'_>, index: usize) -> bool {
    const REACH: usize = 60;
    let span = reader.sheet.quantities[index].span;
    let sentence = reader.sentence_of(index);
    // Most loads have no letters of these words ahead of them.
    let written = reader.as_written_ahead(sentence, span, REACH);
    let mut pairs = written.as_bytes().windows(2);
    if !pairs.any(|pair| pair.eq_ignore_ascii_case(b"if") || pair.eq_ignore_ascii_case(b"un")) {
        return false;
    }
    let ahead = reader.ahead(sentence, span, REACH);
    let clause = ahead.rsplit([';', ':']).next().unwrap_or(&ahead);
    let mut words = clause.split(|sign: char| !sign.is_alphanumeric());
    words.any(|word| matches!(word, "if" | "unless"))
}

/// Whether a sentence is a question: who asks which one would do offers none.
fn asked(reader: &Reader<'_>, sentence: usize) -> bool {
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    words.trim_end().ends_with('?')
}

/// A cell of a table of recommended or longest runs: its length, into the load of its header or of its line.
fn cell_use(
    reader: &mut Reader<'_>,
    sentence: usize,
    of_entries: &ByEntry,
    leads: &mut FxHashMap<usize, std::ops::Range<usize>>,
) {
    let block = reader.sheet.sentences[sentence].block();
    let BlockKind::Cell { table, row, .. } = reader.sheet.blocks[block].kind() else {
        return;
    };
    let (table, row) = (table as usize, row as usize);
    let keys = key_sentences(reader.sheet, sentence);
    let section = reader.sheet.blocks[block]
        .section()
        .or(reader.sheet.blocks[block].lead());
    let section = section.map(|section| reader.sheet.blocks[section].sentences());
    let before = leads
        .entry(table)
        .or_insert_with(|| table_lead(reader, block))
        .clone();
    let offered = keys
        .iter()
        .copied()
        .chain([sentence])
        .chain(section.into_iter().flatten())
        .chain(before.clone())
        .any(|sentence| reader.hits.say(sentence, reader.terms.offer));
    let Some(run) = reader
        .in_sentence(sentence)
        .find(|&index| reader.roles[index] == Role::Run)
    else {
        return;
    };
    let Owner::One(cable) = reader.owners.at(run) else {
        return;
    };
    if !offered && !is_scheduled(reader, sentence, run) {
        return;
    }
    // The value of a cell may run over several lines.
    let own = reader.sheet.blocks[block].sentences();
    let mut load_of = keys
        .iter()
        .copied()
        .chain(own)
        .flat_map(|sentence| reader.in_sentence(sentence));
    // “| 4 Ω | 4 m |” over “| 8 Ω | 9 m |”: the load of its row, whosever the rows are.
    let in_row = || {
        let cells = reader.sheet.tables.get(table)?.cells.get(row)?;
        let sentences = cells
            .iter()
            .flatten()
            .flat_map(|&cell| reader.sheet.blocks[cell].sentences());
        let mut own = sentences.flat_map(|sentence| reader.in_sentence(sentence));
        own.find(|&index| reader.roles[index] == Role::Load)
    };
    let in_line = || {
        let own = of_entries.of(cable);
        own.clone().find(|&index| {
            reader.roles[index] == Role::Load
                && matches!(
                    reader.sheet.blocks[reader.sheet.sentences[reader.sentence_of(index)].block()]
                        .kind(),
                    BlockKind::Cell { .. }
                )
        })
    };
    // "For loudspeakers of 8 Ω", right over the table, and another load in a note behind it.
    let over = || {
        let mut over = before.flat_map(|sentence| reader.in_sentence(sentence));
        let load = |index: &usize| reader.roles[*index] == Role::Load;
        over.by_ref()
            .find(load)
            .filter(|_| !over.any(|index| load(&index)))
    };
    let load = load_of
        .find(|&index| reader.roles[index] == Role::Load)
        .or_else(in_row)
        .or_else(in_line)
        .or_else(over);
    let quantity = &reader.sheet.quantities[run];
    let Some(metres) = quantity.si() else {
        return;
    };
    let load = load.and_then(|index| {
        let quantity = &reader.sheet.quantities[index];
        let load = Load {
            impedance: Some(Ohm(quantity.si()?)),
            kind: LoadKind::Loudspeaker,
            lamp_power: None,
        };
        Some(fact(load, quantity.span, index))
    });
    let made = Use {
        length: Some(fact(Metre(metres), quantity.span, run)),
        load,
        power: None,
        span: quantity.span,
    };
    reader.facts.cables[cable].besides().uses.push(made);
}

/// Whether the row of a run plans a cable for a place: it has a name of its own, a size and the load in cells of theirs. In a
/// chart of sizes the rows are named by the sizes.
fn is_scheduled(reader: &Reader<'_>, sentence: usize, run: usize) -> bool {
    const CELLS: usize = 24;
    let sheet = reader.sheet;
    let BlockKind::Cell { table, row, column } =
        sheet.blocks[sheet.sentences[sentence].block()].kind()
    else {
        return false;
    };
    let [table, row, column] = [table, row, column].map(|place| place as usize);
    let Some(table) = sheet.tables.get(table) else {
        return false;
    };
    let cells = table.cells.get(row).map_or(&[][..], Vec::as_slice);
    let holds = |cell: Option<usize>, role: Role| {
        cell.and_then(|cell| sheet.blocks.get(cell))
            .into_iter()
            .flat_map(|cell| cell.sentences())
            .flat_map(|sentence| reader.in_sentence(sentence))
            .any(|index| index != run && reader.roles[index] == role)
    };
    let any = |role: Role| cells.iter().take(CELLS).any(|cell| holds(*cell, role));
    let heads = table.cells.first().map_or(&[][..], Vec::as_slice);
    let headed = |columns: usize, concept| {
        heads
            .iter()
            .take(columns)
            .flatten()
            .filter_map(|&head| sheet.blocks.get(head))
            .flat_map(|head| head.sentences())
            .any(|sentence| reader.hits.say(sentence, concept))
    };
    // A schedule that states the loss hides none.
    let placed = headed(2, reader.terms.place) && !headed(CELLS, reader.terms.loss);
    table.header_row
        && placed
        && column > 0
        && table.cells.len() > 2
        && !holds(cells.first().copied().flatten(), Role::Size)
        && any(Role::Size)
        && any(Role::Load)
}

/// Sentences of the block right before the table of a cell.
fn table_lead(reader: &Reader<'_>, cell: usize) -> std::ops::Range<usize> {
    let BlockKind::Cell { table, .. } = reader.sheet.blocks[cell].kind() else {
        return 0..0;
    };
    let first = reader
        .sheet
        .tables
        .get(table as usize)
        .and_then(|table| table.cells.iter().flatten().flatten().min().copied());
    first
        .and_then(|first| first.checked_sub(1))
        .map_or(0..0, |before| reader.sheet.blocks[before].sentences())
}

/// A sheet that states its own length and a load offers that use.
fn sheet_use(reader: &mut Reader<'_>) {
    let is_asked = |fact: Option<usize>| {
        fact.is_some_and(|quantity| asked(reader, reader.sentence_of(quantity)))
    };
    let task = (0..reader.sheet.sentences.len())
        .any(|sentence| reader.hits.say(sentence, reader.terms.use_task));
    // "Just 0.06 dB over 33 feet into an 8 ohm speaker" tells under what a figure holds, and no use.
    let condition = |load: &Fact<Load>| {
        load.quantity().is_some_and(|quantity| {
            reader
                .in_sentence(reader.sentence_of(quantity))
                .any(|index| {
                    matches!(
                        reader.roles[index],
                        Role::Figure(FigureKind::Loss | FigureKind::DampingFactor) | Role::Level
                    )
                })
        })
    };
    let loads: Vec<Fact<Load>> = reader
        .facts
        .setup
        .loads
        .iter()
        .copied()
        .filter(|load| load.value.kind == LoadKind::Loudspeaker && !condition(load))
        .filter(|load| !load.quantity().is_some_and(|index| supposed(reader, index)))
        .collect();
    // "2 nF; 13 m reaches that": a length in a note of running text is no length that the sheet offers.
    let noted = |length: &Fact<Metre>| {
        length.quantity().is_some_and(|quantity| {
            let block =
                &reader.sheet.blocks[reader.sheet.sentences[reader.sentence_of(quantity)].block()];
            let lettered = block.key().is_none_or(|key| key.len() <= 2);
            lettered && (matches!(block.kind(), BlockKind::Item) || block.key().is_some())
        })
    };
    let noted: Vec<bool> = reader
        .facts
        .cables
        .iter()
        .map(|cable| cable.lengths.iter().all(noted))
        .collect();
    let blind = reader.hits.anywhere(reader.terms.blind);
    let tested = reader.comparative || blind || reader.hits.anywhere(reader.terms.matched);
    let thin_on_purpose = tested && unlike(reader);
    let questioned = loads.iter().any(|load| is_asked(load.quantity()));
    let plain = !(task || thin_on_purpose || questioned);
    let fields = reader.fields();
    // A letter that proposes the one cable it speaks of offers it for the one run and the one load that it names.
    let proposed = reader.facts.cables.len() == 1 && reader.hits.anywhere(reader.terms.proposal);
    let own_loads = own::loads(reader, false);
    let other_loads = own::all_loads(reader);
    let keyed: Vec<bool> = (0..reader.sheet.quantities.len())
        .map(|index| &reader.sheet.blocks[reader.block_of(index)])
        .map(|block| block.key().is_some() && block.speaker().is_none())
        .collect();
    // A run of one who speaks goes with no loudspeaker of another.
    let lone_load = loads.first().and_then(|load| load.quantity());
    let lone_load = lone_load.map(|load| reader.block_of(load));
    let mut of_block = None;
    let together: Vec<bool> = (0..reader.sheet.quantities.len())
        .map(|index| {
            // Each block is asked once, however much stands in it.
            let block = reader.block_of(index);
            match of_block {
                Some((known, together)) if known == block => together,
                _ => {
                    let together =
                        lone_load.is_none_or(|load| voices::converse(reader, block, load));
                    of_block = Some((block, together));
                    together
                }
            }
        })
        .collect();
    let all_asked: Vec<bool> = reader
        .facts
        .cables
        .iter()
        .map(|cable| is_asked(cable.length().and_then(|length| length.quantity())))
        .collect();
    // "For 8 ohm boxes ten feet away": that load is for this run, and not for the reels that are for sale.
    let placed: Vec<usize> = (loads.first().filter(|_| loads.len() == 1))
        .and_then(|load| load.quantity())
        .map(|load| {
            let own = reader.in_sentence(reader.sentence_of(load));
            own.filter(|&index| is_way(reader, index)).collect()
        })
        .unwrap_or_default();
    let cables = reader.facts.cables.iter_mut();
    for (index, ((cable, asked), noted)) in cables.zip(all_asked).zip(noted).enumerate() {
        let lone = cable.length();
        let own = cable.besides.iter_mut();
        for wanted in own.flat_map(|besides| &mut besides.uses) {
            if wanted.power.is_some() {
                continue;
            }
            wanted.length = wanted.length.or(lone);
            if wanted.load.is_none()
                && let Some((load, others)) = loads.split_first()
                && others.iter().all(|other| other.value == load.value)
                && (wanted.length.and_then(|length| length.quantity()))
                    .is_none_or(|length| together[length])
            {
                wanted.load = Some(*load);
            }
        }
        if let Some(besides) = &mut cable.besides {
            besides.uses.retain(|wanted| {
                wanted.power.is_some() || (wanted.length.is_some() && wanted.load.is_some())
            });
        }
        let of_all = match loads.as_slice() {
            [load] => Some(*load),
            _ => None,
        };
        let stated = cable
            .figures
            .iter()
            .any(|figure| matches!(figure.kind, FigureKind::Loss | FigureKind::DampingFactor));
        let told = lone
            .and_then(|length| length.quantity())
            .is_some_and(|quantity| keyed[quantity]);
        let of_own = (own_loads.get(&index).copied())
            .filter(|_| told && !stated && !thin_on_purpose && !blind);
        // What the entry of a cable names as its load is not that of another.
        let other = |load: &Fact<Load>| {
            let own = other_loads.get(&index).map_or(&[][..], Vec::as_slice);
            own.iter().any(|own| {
                load.value
                    .impedance
                    .is_some_and(|all| (all / *own - 1.0).abs() > 0.01)
            })
        };
        let elsewhere = !placed.is_empty()
            && (lone.and_then(|length| length.quantity()))
                .is_some_and(|length| !placed.contains(&length));
        let of_all = of_all.filter(|load| cable.uses.is_empty() && !other(load) && !elsewhere);
        let of_own =
            of_own.filter(|_| !elsewhere && cable.uses.iter().all(|wanted| wanted.power.is_some()));
        if let (Some(length), Some(load), true) = (
            lone.filter(|_| !asked && (!noted || proposed)),
            of_all.or(of_own),
            (fields >= 3 || proposed) && plain,
        ) {
            cable.besides().uses.push(Use {
                length: Some(length),
                load: Some(load),
                power: None,
                span: length.span,
            });
        }
    }
}

/// Whether cables of unlike sizes or lengths stand in the document: a comparison that has a thin side on purpose offers no use.
fn unlike(reader: &Reader<'_>) -> bool {
    const ALIKE: f64 = 1.3;
    let far = |values: Vec<f64>| {
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        values.iter().any(|value| value / least > ALIKE)
    };
    let cables = &reader.facts.cables;
    let sizes = cables.iter().filter_map(|cable| cable.sizes.first());
    let lengths = cables.iter().filter_map(|cable| cable.length());
    far(sizes.map(|size| size.area.0).collect())
        || far(lengths.map(|length| length.value.0).collect())
}
