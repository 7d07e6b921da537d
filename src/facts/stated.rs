//! Losses and damping factors that a passage states with the size, the run and the load that they hold for: “five metres of 14 AWG into
//! 8 Ω cost 0.9 dB at 1 kHz”. They hold or fail by themselves, as far as no cable of the document has them with all of that already.

use super::besides::Besides;
use super::offers::{area, one_value};
use super::read::{Reader, fact};
use super::roles::Role;
use super::roster::is_size;
use super::types::{Cable, Fact, Figure, FigureKind, LoadKind, SizeOf};
use crate::sheet::BlockKind;
use crate::units::{Hertz, Metre, Ohm};
use rustc_hash::FxHashSet;
use std::ops::Range;

/// Most figures that are read; more are no running text.
const MOST: usize = 128;
/// Most bytes of an entry.
const LONGEST: usize = 900;
/// Most sentences of a document that is looked at as a whole.
const SHORT: usize = 120;

/// Reads them.
pub(super) fn read(reader: &mut Reader<'_>) {
    let quantities = 0..reader.sheet.quantities.len();
    let figures: Vec<(usize, FigureKind)> = quantities
        .filter_map(|index| Some((index, kind(reader, index)?)))
        .take(MOST + 1)
        .collect();
    if figures.is_empty() || figures.len() > MOST {
        return;
    }
    let known: FxHashSet<usize> = (reader.facts.cables.iter())
        .flat_map(|cable| {
            let full = !cable.sizes.is_empty();
            let told = move |figure: &&Figure| {
                full && (!cable.lengths.is_empty() || figure.length.is_some())
            };
            cable.figures.iter().filter(told)
        })
        .map(|figure| figure.quantity as usize)
        .collect();
    let open = figures.iter().filter(|(index, _)| !known.contains(index));
    let found: Vec<Cable> = open
        .filter_map(|&(index, kind)| statement(reader, index, kind, &figures))
        .collect();
    reader.facts.apart.extend(found);
}

/// What a quantity states of a run, if it states one of the two.
fn kind(reader: &Reader<'_>, index: usize) -> Option<FigureKind> {
    match reader.roles[index] {
        Role::Figure(kind @ (FigureKind::Loss | FigureKind::DampingFactor)) => Some(kind),
        Role::Level if lost(reader, index) => Some(FigureKind::Loss),
        _ => None,
    }
}

/// Whether the level is what a run is said to lose, however far off that is said: ahead in its sentence, in the words that head it
/// (“LOW LOSS. Just 0.1 dB over 5 m”), in the line of its cell. A difference between two is none.
fn lost(reader: &Reader<'_>, index: usize) -> bool {
    const WORDS: usize = 6;
    let at = reader.sentence_of(index);
    let sheet = reader.sheet;
    let terms = &reader.terms;
    let says = |at: usize, concept| reader.hits.say(at, concept);
    let others = [
        terms.better,
        terms.matched,
        terms.loss_further,
        terms.loss_other,
    ];
    if others.into_iter().any(|concept| says(at, concept)) {
        return false;
    }
    let start = sheet.quantities[index].span.start();
    let ahead = (reader.hits.saying(at, terms.loss)).any(|hit| hit.span.end() <= start);
    let headed = || {
        let before = at.checked_sub(1)?;
        let words = sheet.sentences[before].span.of(reader.text());
        let short = words.split_whitespace().count() <= WORDS;
        let same = sheet.sentences[before].block() == sheet.sentences[at].block();
        (short && same && says(before, terms.loss)).then_some(())
    };
    ahead || headed().is_some() || before_in_line(reader, at).any(|at| says(at, terms.loss))
}

/// The sentences of the cells that stand before the cell of a sentence in its line.
fn before_in_line<'r>(reader: &'r Reader<'_>, at: usize) -> impl Iterator<Item = usize> + 'r {
    let sheet = reader.sheet;
    let place = match sheet.blocks[sheet.sentences[at].block()].kind() {
        BlockKind::Cell { table, row, column } => {
            Some([table, row, column].map(|place| place as usize))
        }
        _ => None,
    };
    let line = place.and_then(|[table, row, column]| {
        let cells = sheet.tables.get(table)?.cells.get(row)?;
        Some(&cells[..column.min(cells.len())])
    });
    let cells = line.unwrap_or_default().iter().flatten();
    cells.flat_map(|&cell| sheet.blocks[cell].sentences())
}

/// The cable of which a figure is stated, with nothing but what stands round it.
fn statement(
    reader: &Reader<'_>,
    index: usize,
    kind: FigureKind,
    figures: &[(usize, FigureKind)],
) -> Option<Cable> {
    let at = reader.sentence_of(index);
    let terms = &reader.terms;
    let words = reader.sheet.sentences[at].span.of(reader.text());
    let asked = words.trim_end().ends_with('?');
    let joined = [terms.parallel, terms.bundle_join];
    // Of several figures in one passage each may be of another wire.
    let own = reader.block_of(index);
    let alone = figures
        .iter()
        .all(|&(other, what)| other == index || what != kind || reader.block_of(other) != own);
    // What a resistance beside it comes to is worked out there, and judged with it.
    let beside = reader.sheet.blocks[own].sentences();
    let worked = beside
        .flat_map(|at| reader.in_sentence(at))
        .any(|other| reader.roles[other] == Role::Figure(FigureKind::Resistance));
    let passage = windows(reader, at);
    let bundled = passage.get(2).is_some_and(|block| {
        (block.clone()).any(|at| joined.iter().any(|&joined| reader.hits.say(at, joined)))
    });
    if asked || !alone || worked || bundled {
        return None;
    }
    let nearest = |wanted: &dyn Fn(usize) -> bool| {
        let all = passage.iter().map(|window| {
            let own = window.clone().flat_map(|at| reader.in_sentence(at));
            own.filter(|&other| wanted(other)).collect::<Vec<_>>()
        });
        let first = all.into_iter().find(|found| !found.is_empty())?;
        one_value(reader, &first)
    };
    let size = nearest(&|other| match reader.roles[other] {
        Role::Size => is_size(reader.sheet.quantities[other].kind),
        Role::SolidDiameter => true,
        _ => false,
    })?;
    let run = nearest(&|other| reader.roles[other] == Role::Run)?;
    let load = nearest(&|other| {
        reader.roles[other] == Role::Load && reader.load_kind(other) != LoadKind::Lamp
    })?;
    let frequency = nearest(&|other| reader.roles[other] == Role::Frequency);
    if kind == FigureKind::Loss && frequency.is_none() {
        return None;
    }
    let own = reader.size(size).filter(|own| !own.loose)?;
    if own.of == SizeOf::Combined || area(reader, size).is_nan() {
        return None;
    }
    let value = |index: usize| {
        let quantity = &reader.sheet.quantities[index];
        Some((quantity.si()?, quantity.span))
    };
    let stated = reader.sheet.quantities[index].number.get()?;
    let mut figure: Figure = reader.figure(kind, index, stated);
    if figure.denied {
        return None;
    }
    let (metres, length) = value(run)?;
    let (ohms, into) = value(load)?;
    let mut said = figure.said.map(|said| *said).unwrap_or_default();
    let mut seldom = said.seldom.take().map(|seldom| *seldom).unwrap_or_default();
    seldom.length = Some(fact(Metre(metres), length, run));
    seldom.load = Some(fact(Ohm(ohms), into, load));
    if let Some((hertz, told)) = frequency.and_then(value) {
        let told = fact(Hertz(hertz), told, frequency.unwrap_or(index));
        seldom.frequency = seldom.frequency.or(Some(told));
    }
    said.seldom = seldom.kept();
    figure.said = said.kept();
    Some(Cable {
        metals: metals(reader, at, reader.sentence_of(size)),
        besides: Some(Box::new(Besides::default())),
        sizes: vec![own],
        figures: vec![figure],
        ..Cable::default()
    })
}

/// What is looked through for the conditions of a figure, the nearest first: its sentence, the one before, its block, its entry and a
/// short document as a whole, or, of running text, the question before it.
fn windows(reader: &Reader<'_>, at: usize) -> Vec<Range<usize>> {
    let sheet = reader.sheet;
    let own = sheet.sentences[at].block();
    let block = sheet.blocks[own].sentences();
    let mut windows = vec![
        at..at + 1,
        block.start.max(at.saturating_sub(1))..at + 1,
        block.clone(),
    ];
    windows.extend(lines(reader, own));
    windows.extend(entry(reader, own));
    if running(reader, own) {
        // What somebody asks is answered for his run and his wire; a run of its own may be of another wire.
        let told = block.clone().flat_map(|at| reader.in_sentence(at));
        let far = told
            .into_iter()
            .any(|index| reader.roles[index] == Role::Run);
        let asks = |before: &usize| {
            let words = sheet.blocks[*before].span.of(reader.text());
            running(reader, *before) && (!far || words.contains('?'))
        };
        let before = own.checked_sub(1).filter(asks);
        windows.extend(before.map(|before| sheet.blocks[before].sentences().start..block.end));
    } else if sheet.sentences.len() <= SHORT {
        windows.push(0..sheet.sentences.len());
    }
    windows
}

/// Whether a block is running text.
fn running(reader: &Reader<'_>, block: usize) -> bool {
    let block = &reader.sheet.blocks[block];
    matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item) && block.key().is_none()
}

/// The fields and lines of a table that stand round a block of their kind without anything between, and the words over them.
fn lines(reader: &Reader<'_>, own: usize) -> Option<Range<usize>> {
    let blocks = &reader.sheet.blocks;
    let line = |at: &usize| {
        matches!(
            blocks[*at].kind(),
            BlockKind::Field | BlockKind::Cell { .. }
        )
    };
    if !line(&own) {
        return None;
    }
    let first = (0..own).rev().take_while(line).last().unwrap_or(own);
    let first = first.saturating_sub(1);
    let last = (own + 1..blocks.len()).take_while(line).last();
    sentences_within(reader, first, last.unwrap_or(own))
}

/// The sentences of blocks that are short enough to be one entry.
fn sentences_within(reader: &Reader<'_>, first: usize, last: usize) -> Option<Range<usize>> {
    let blocks = &reader.sheet.blocks;
    let bytes = blocks[last].span.end() - blocks[first].span.start();
    (bytes <= LONGEST).then(|| blocks[first].sentences().start..blocks[last].sentences().end)
}

/// The sentences under the same head as a block that is no running text: the fields of one sample.
fn entry(reader: &Reader<'_>, own: usize) -> Option<Range<usize>> {
    let blocks = &reader.sheet.blocks;
    let section = blocks[own].section()?;
    let under = |&at: &usize| blocks[at].section() == Some(section);
    let first = (section + 1..own).rev().take_while(under).last();
    let first = first.unwrap_or(own);
    let last = (own + 1..blocks.len()).take_while(under).last();
    let last = last.unwrap_or(own);
    let entry = || sentences_within(reader, first, last);
    (!running(reader, own)).then(entry)?
}

/// Metals named beside the figure or the size, or else all that the document names.
fn metals(reader: &Reader<'_>, at: usize, sized: usize) -> Vec<Fact<&'static str>> {
    let near = reader.metals_before(at);
    let near = if near.is_empty() {
        reader.metals_before(sized)
    } else {
        near
    };
    if !near.is_empty() {
        return near;
    }
    let mut all: Vec<Fact<&'static str>> = Vec::new();
    for metal in reader.facts.cables.iter().flat_map(|cable| &cable.metals) {
        if !all.iter().any(|known| known.value == metal.value) {
            all.push(*metal);
        }
    }
    all
}
