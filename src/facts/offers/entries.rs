//! Uses that the entries of an offer add up to: the position of a quotation, the run of a hire list, the box on a counter card. The
//! loudspeaker may stand in the head of the entry, the cable in one line of it and the length in another.

use super::{Found, LONGEST, Whole, found, load_fact, one, refusals, value};
use crate::facts::read::{Reader, fact};
use crate::facts::roles::Role;
use crate::facts::types::{Cable, Use};
use crate::sheet::{Block, BlockKind, Kind};
use crate::span::Span;
use crate::units::{Metre, Watt};
use std::ops::Range;

/// Blocks in which a paper says what it is.
const HEAD: usize = 5;
/// Most blocks of an entry.
const BLOCKS: usize = 12;
/// Voltages of lines to loudspeakers with transformers, V.
const LINE: std::ops::RangeInclusive<f64> = 50.0..=105.0;

/// Reads the entries, in a paper that is headed as an offer.
pub(super) fn read(reader: &Reader<'_>, whole: &Whole) -> Vec<Cable> {
    if reader.comparative {
        return Vec::new();
    }
    if !offers(reader) {
        return schedule(reader, whole);
    }
    let entries = cut(reader);
    entries
        .iter()
        .filter_map(|entry| offered(reader, whole, &entries, entry))
        .collect()
}

/// A list in which each of several fields names a loudspeaker, and the cable and the run for it: “garden, 4 ohm: 18 AWG, 20 m a side”.
/// One that states what is lost plans nothing.
fn schedule(reader: &Reader<'_>, whole: &Whole) -> Vec<Cable> {
    const FEWEST: usize = 3;
    let blocks = &reader.sheet.blocks;
    let full = |at: usize| {
        let inside = found(reader, &blocks[at].sentences());
        let counts = [inside.sizes.len(), inside.runs.len(), inside.loads.len()];
        let told = blocks[at].sentences().flat_map(|at| reader.in_sentence(at));
        let stated = told.into_iter().any(|index| {
            matches!(
                reader.roles[index],
                Role::Figure(_) | Role::Level | Role::Score | Role::Percent
            )
        });
        matches!(blocks[at].kind(), BlockKind::Field) && counts == [1, 1, 1] && !stated
    };
    let fields: Vec<usize> = (0..blocks.len()).filter(|&at| full(at)).collect();
    let runs = fields.chunk_by(|one, next| one + 1 == *next);
    let entries: Vec<Range<usize>> = runs
        .filter(|run| run.len() >= FEWEST)
        .flatten()
        .map(|&at| at..at + 1)
        .collect();
    entries
        .iter()
        .filter_map(|entry| offered(reader, whole, &entries, entry))
        .collect()
}

/// Whether the paper is headed as one that offers work or goods.
fn offers(reader: &Reader<'_>) -> bool {
    let sheet = reader.sheet;
    let says = |at: &Block| {
        at.sentences()
            .any(|sentence| reader.hits.say(sentence, reader.terms.offer_paper))
    };
    sheet.blocks.iter().take(HEAD).any(says)
}

/// The entries, as blocks: each begins with a head, an item under no head of its own, or a key with a value of several lines.
fn cut(reader: &Reader<'_>) -> Vec<Range<usize>> {
    let blocks = &reader.sheet.blocks;
    let inner = |section: Option<usize>| {
        section.is_some_and(
            |head| matches!(blocks[head].kind(), BlockKind::Heading { level } if level > 1),
        )
    };
    let begins = |at: usize| {
        let block = &blocks[at];
        match block.kind() {
            BlockKind::Heading { .. } => true,
            BlockKind::Item => !inner(block.section()),
            BlockKind::Field | BlockKind::Paragraph => {
                block.key().is_some() && !inner(block.section())
            }
            BlockKind::Cell { .. } => true,
        }
    };
    let starts: Vec<usize> = (0..blocks.len()).filter(|&at| begins(at)).collect();
    let ends = starts.iter().copied().skip(1).chain([blocks.len()]);
    starts
        .iter()
        .copied()
        .zip(ends)
        .map(|(start, end)| start..end.min(start + BLOCKS))
        .collect()
}

fn sentences(reader: &Reader<'_>, entry: &Range<usize>) -> Range<usize> {
    let blocks = &reader.sheet.blocks;
    let first = blocks[entry.start].sentences().start;
    let last = blocks[entry.end - 1].sentences().end;
    first..last.max(first)
}

/// The use that an entry offers.
fn offered(
    reader: &Reader<'_>,
    whole: &Whole,
    entries: &[Range<usize>],
    entry: &Range<usize>,
) -> Option<Cable> {
    let blocks = &reader.sheet.blocks;
    let span = Span::new(
        blocks[entry.start].span.start(),
        blocks[entry.end - 1].span.end(),
    );
    let own = sentences(reader, entry);
    if span.len() > LONGEST || matches!(blocks[entry.start].kind(), BlockKind::Cell { .. }) {
        return None;
    }
    let terms = &reader.terms;
    let says = |concept| own.clone().any(|at| reader.hits.say(at, concept));
    if refusals(terms).into_iter().any(says) || lines(reader, &own) {
        return None;
    }
    let inside = found(reader, &own);
    let size = one(reader, &inside.sizes)?;
    let load = match one(reader, &inside.loads) {
        Some(load) => load,
        None if inside.loads.is_empty() => named(reader, entries, &own)?,
        None => return None,
    };
    let use_of = |length, power| Use {
        length,
        load: Some(load_fact(reader, load)),
        power,
        span,
    };
    let run = one(reader, &inside.runs).and_then(|run| {
        let (metres, at) = value(reader, run)?;
        Some(use_of(Some(fact(Metre(metres), at, run)), None))
    });
    let power = carried(reader, &inside).and_then(|power| {
        let (watts, at) = value(reader, power)?;
        Some(use_of(None, Some(fact(Watt(watts), at, power))))
    });
    let uses = run.into_iter().chain(power).collect();
    super::offered(reader, whole, size, uses, span)
}

/// Whether sentences speak of a line with transformers, whose loudspeakers draw little current.
pub(super) fn lines(reader: &Reader<'_>, sentences: &Range<usize>) -> bool {
    let mut all = sentences.clone().flat_map(|at| reader.in_sentence(at));
    all.any(|index| {
        let quantity = &reader.sheet.quantities[index];
        quantity.kind == Kind::Voltage && quantity.si().is_some_and(|volts| LINE.contains(&volts))
    })
}

/// The power of an entry, where its sentence says that the amplifier gives it: what a loudspeaker is good for drives no current.
fn carried(reader: &Reader<'_>, inside: &Found) -> Option<usize> {
    let power = one(reader, &inside.powers)?;
    let at = reader.sentence_of(power);
    let says = |concept| reader.hits.say(at, concept);
    (says(reader.terms.carry) && says(reader.terms.amplifier)).then_some(power)
}

/// The loudspeaker of the entry that this one goes to: “to item 1”.
fn named(reader: &Reader<'_>, entries: &[Range<usize>], own: &Range<usize>) -> Option<usize> {
    let text = reader.text();
    let refers = own
        .clone()
        .flat_map(|at| reader.hits.saying(at, reader.terms.offer_item))
        .next()?;
    let number = text
        .get(refers.span.end()..)?
        .trim_start_matches([' ', '.']);
    let digits = number.len()
        - number
            .trim_start_matches(|sign: char| sign.is_ascii_digit())
            .len();
    let number = number.get(..digits).filter(|number| !number.is_empty())?;
    let numbered = |entry: &&Range<usize>| {
        let words = reader.sheet.blocks[entry.start].span.of(text).trim_start();
        words.strip_prefix(number).is_some_and(|rest| {
            rest.starts_with(|sign: char| sign.is_whitespace() || matches!(sign, '.' | ')' | ':'))
        })
    };
    let mut all = entries.iter().filter(numbered);
    let entry = all.next().filter(|_| all.next().is_none())?;
    one(reader, &found(reader, &sentences(reader, entry)).loads)
}
