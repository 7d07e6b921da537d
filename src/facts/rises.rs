//! Rises of resistance that running text tells of a wire by its size: “take a solid 14 AWG wire: at 20 kHz it has 90 % more resistance
//! than at DC”. They hold or fail by themselves, whatever cable is spoken of beside them.

use super::besides::Besides;
use super::context::caption_sentences;
use super::offers::{area, one_size};
use super::read::{Owner, Reader, fact};
use super::roles::Role;
use super::types::{Build, Cable, Fact, Figure, FigureKind, SizeOf};
use crate::sheet::BlockKind;
use crate::span::Span;
use crate::units::Hertz;
use std::ops::RangeInclusive;

/// Sentences before, in the same block, in which the wire and the frequency can be named.
const BEFORE: usize = 2;
/// Most rises that are read; more are no running text.
const MOST: usize = 256;
/// Longest item that is the heading of a table.
const HEADING: usize = 160;
/// What makes a current that of 0 Hz.
const DIRECT: &str = "direct ";
/// Two areas that differ by no more are one.
const ALIKE: f64 = 1.05;

/// Reads them.
pub(super) fn read(reader: &mut Reader<'_>) {
    let mut found: Vec<Cable> = Vec::new();
    for block in 0..reader.sheet.blocks.len() {
        let kind = reader.sheet.blocks[block].kind();
        if !matches!(kind, BlockKind::Paragraph | BlockKind::Item) {
            continue;
        }
        let sentences = reader.sheet.blocks[block].sentences();
        let mut told: Vec<(usize, f64, Span, Option<usize>)> =
            sentences.clone().flat_map(|at| rises(reader, at)).collect();
        told.dedup_by(|one, other| (one.1 - other.1).abs() < 0.5);
        // Of several rises in one passage each may be another wire's.
        let [(at, percent, span, quantity)] = told.as_slice() else {
            continue;
        };
        let first = sentences.start.max(at.saturating_sub(BEFORE));
        let Some(wire) = statement(reader, first, *at, (*percent, *span, *quantity)) else {
            continue;
        };
        if let Some(index) = quantity {
            leave_others(reader, *at, *index);
        }
        found.push(wire);
        if found.len() == MOST {
            break;
        }
    }
    listed(reader, &mut found);
    found.truncate(MOST);
    reader.facts.apart = found;
}

/// Rows of a size and a percentage under words that say what rises and at which frequency: “rise over the resistance for direct current
/// at 20 kHz: solid 14 AWG 17 %”.
fn listed(reader: &Reader<'_>, found: &mut Vec<Cable>) {
    let sheet = reader.sheet;
    for table in &sheet.tables {
        let mut blocks = table.cells.iter().flatten().flatten();
        let Some(&first) = blocks.next() else {
            continue;
        };
        let mut above = caption_sentences(sheet, sheet.blocks[first].sentences().start);
        // “2  Rise of resistance at 20 kHz”: a heading with a number may look like the item of a list.
        let item = first.checked_sub(1).map(|before| &sheet.blocks[before]);
        let item = item.filter(|block| matches!(block.kind(), BlockKind::Item));
        above.extend(
            item.into_iter()
                .filter(|block| block.span.len() <= HEADING)
                .flat_map(|block| block.sentences()),
        );
        let Some(frequency) = above.into_iter().find_map(|at| rising(reader, at)) else {
            continue;
        };
        let rows = table.cells.iter().take(MOST);
        found.extend(rows.filter_map(|row| line(reader, row, frequency)));
    }
    // Fields and items below such words are rows as well.
    let mut above = None;
    for (block, own) in sheet.blocks.iter().enumerate() {
        match own.kind() {
            BlockKind::Field | BlockKind::Item => {
                found.extend(above.and_then(|frequency| line(reader, &[Some(block)], frequency)));
            }
            BlockKind::Paragraph | BlockKind::Heading { .. } => {
                above = own.sentences().last().and_then(|at| rising(reader, at));
            }
            BlockKind::Cell { .. } => above = None,
        }
    }
}

/// Whether a sentence speaks of something else that may rise. “Higher than for direct current” is said of the resistance.
fn of_others(reader: &Reader<'_>, sentence: usize) -> bool {
    let mut others = reader.hits.saying(sentence, reader.terms.skin_else);
    others.any(|hit| {
        let ahead = reader.ahead(sentence, hit.span, DIRECT.len());
        !ahead.ends_with(DIRECT)
    })
}

/// The frequency at which a sentence says that resistances below it rise.
fn rising(reader: &Reader<'_>, at: usize) -> Option<Fact<Hertz>> {
    let says = |concept| reader.hits.say(at, concept);
    let words = reader.sheet.sentences[at].span.of(reader.text());
    let told = says(reader.terms.skin_rise)
        && says(reader.terms.r_word)
        && !of_others(reader, at)
        && !words.trim_end().ends_with('?');
    told.then(|| frequency(reader, at))?
}

/// The wire of a row that gives one size and one percentage.
fn line(reader: &Reader<'_>, row: &[Option<usize>], frequency: Fact<Hertz>) -> Option<Cable> {
    let sentences: Vec<usize> = (row.iter().flatten())
        .flat_map(|&block| reader.sheet.blocks[block].sentences())
        .collect();
    let (mut sizes, mut shares) = (Vec::new(), Vec::new());
    for index in sentences.iter().flat_map(|&at| reader.in_sentence(at)) {
        match reader.roles[index] {
            Role::Size | Role::SolidDiameter => sizes.push(index),
            Role::Percent | Role::Figure(FigureKind::SkinRise) => shares.push(index),
            _ => return None,
        }
    }
    let &[share] = shares.as_slice() else {
        return None;
    };
    let index = one_size(reader, &sizes)?;
    let percent = reader.sheet.quantities[share].number.get()?;
    let sized = reader.sentence_of(index);
    wire(
        reader,
        index,
        sized..=sized,
        frequency,
        (percent, reader.sheet.quantities[share].span, Some(share)),
    )
}

/// “Ours is 22 AWG. Take a 14 AWG wire. Its resistance is up by 17 %”: the rise is none of the cable that was told of before, unless the
/// sentence calls that by its name.
fn leave_others(reader: &mut Reader<'_>, at: usize, rise: usize) {
    let named = reader.resolved.of(at).iter().any(|(_, owner)| match owner {
        Owner::One(cable) => reader.facts.cables[cable].named,
        _ => false,
    });
    if named {
        return;
    }
    for cable in &mut reader.facts.cables {
        cable.figures.retain(|figure| {
            figure.kind != FigureKind::SkinRise || figure.quantity as usize != rise
        });
    }
}

/// How much the resistance is said to rise in one sentence, in per cent, with the words that say so.
fn rises(reader: &Reader<'_>, sentence: usize) -> Vec<(usize, f64, Span, Option<usize>)> {
    let terms = &reader.terms;
    let says = |concept| reader.hits.say(sentence, concept);
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    if words.trim_end().ends_with('?') || !says(terms.r_word) {
        return Vec::new();
    }
    let multiples = [
        (terms.rise_half_more, 50.0),
        (terms.rise_double, 100.0),
        (terms.rise_two_half, 150.0),
        (terms.rise_treble, 200.0),
        (terms.rise_fourfold, 300.0),
    ];
    let many = multiples.into_iter().flat_map(|(concept, percent)| {
        let hits = reader.hits.saying(sentence, concept);
        hits.map(move |hit| (sentence, percent, hit.span, None))
    });
    let many = many.chain(times(reader, sentence));
    let rising = (says(terms.skin_further) || says(terms.skin)) && !of_others(reader, sentence);
    let shares = reader.in_sentence(sentence).filter(|&index| {
        let percent = matches!(
            reader.roles[index],
            Role::Percent | Role::Figure(FigureKind::SkinRise)
        );
        percent && rising
    });
    let shares = shares.filter_map(|index| {
        let quantity = &reader.sheet.quantities[index];
        Some((sentence, quantity.number.get()?, quantity.span, Some(index)))
    });
    many.chain(shares).collect()
}

/// “Has 1.4 times the resistance that it has at DC”: how often the resistance for direct current a number says, as a rise in per cent.
fn times(
    reader: &Reader<'_>,
    sentence: usize,
) -> impl Iterator<Item = (usize, f64, Span, Option<usize>)> {
    /// Bytes of a number.
    const NUMBER: usize = 8;
    let direct =
        reader.hits.say(sentence, reader.terms.rise_direct) && !of_others(reader, sentence);
    let hits = reader.hits.saying(sentence, reader.terms.rise_times);
    hits.filter(move |_| direct).filter_map(move |hit| {
        let ahead = reader.ahead(sentence, hit.span, NUMBER);
        let word = ahead.trim_end().rsplit(char::is_whitespace).next()?;
        let many: f64 = word.replace(',', ".").parse().ok()?;
        let start = hit
            .span
            .start()
            .checked_sub(ahead.len() - ahead.rfind(word)?)?;
        (many > 1.0).then_some((
            sentence,
            (many - 1.0) * 100.0,
            Span::new(start, hit.span.end()),
            None,
        ))
    })
}

/// The wire and the frequency of a rise in the sentence `at` or in those before it.
fn statement(
    reader: &Reader<'_>,
    first: usize,
    at: usize,
    (percent, span, quantity): (f64, Span, Option<usize>),
) -> Option<Cable> {
    let sizes = |sentence: usize| -> Vec<usize> {
        let own = reader.in_sentence(sentence);
        own.filter(|&index| matches!(reader.roles[index], Role::Size | Role::SolidDiameter))
            .collect()
    };
    let sized = (first..=at)
        .rev()
        .find(|&sentence| !sizes(sentence).is_empty())?;
    let index = one_size(reader, &sizes(sized))?;
    let frequency = (first..=at)
        .rev()
        .find_map(|sentence| frequency(reader, sentence))?;
    wire(
        reader,
        index,
        sized..=at,
        frequency,
        (percent, span, quantity),
    )
}

/// A wire of one size with its rise; `told` are the sentences that say how it is made.
fn wire(
    reader: &Reader<'_>,
    index: usize,
    told: RangeInclusive<usize>,
    frequency: Fact<Hertz>,
    (percent, span, quantity): (f64, Span, Option<usize>),
) -> Option<Cable> {
    let mut size = reader.size(index).filter(|size| !size.loose)?;
    if size.of == SizeOf::Combined || size.strands.is_some() || judged(reader, index, quantity) {
        return None;
    }
    size.conductors = None;
    let sized = *told.start();
    let mut figure: Figure =
        reader.figure(FigureKind::SkinRise, quantity.unwrap_or(index), percent);
    figure.span = span;
    if figure.denied
        || quantity.is_none() && reader.figure(FigureKind::SkinRise, index, percent).denied
    {
        return None;
    }
    let mut said = figure.said.map(|said| *said).unwrap_or_default();
    let mut seldom = said.seldom.take().map(|seldom| *seldom).unwrap_or_default();
    seldom.frequency = seldom.frequency.or(Some(frequency));
    said.seldom = seldom.kept();
    figure.said = said.kept();
    let solid = told.flat_map(|sentence| reader.hits.saying(sentence, reader.terms.solid));
    let built = Besides {
        build: solid.map(|hit| Fact::new(Build::Solid, hit.span)).collect(),
        ..Besides::default()
    };
    Some(Cable {
        metals: reader.metals_before(sized),
        besides: Some(Box::new(built)),
        sizes: vec![size],
        figures: vec![figure],
        ..Cable::default()
    })
}

/// Whether the rise is held already against this size, or one alike, as a figure of its cable.
fn judged(reader: &Reader<'_>, size: usize, rise: Option<usize>) -> bool {
    let cables = reader.facts.cables.iter();
    let alike = |other: f64| {
        let ratio = other / area(reader, size);
        (1.0 / ALIKE..=ALIKE).contains(&ratio)
    };
    cables
        .filter(|cable| cable.sizes.iter().any(|size| alike(size.area.0)))
        .flat_map(|cable| &cable.figures)
        .any(|figure| {
            figure.kind == FigureKind::SkinRise
                && rise.is_none_or(|rise| figure.quantity as usize == rise)
        })
}

/// The highest frequency of a sentence, or the top of the band that it speaks of.
fn frequency(reader: &Reader<'_>, sentence: usize) -> Option<Fact<Hertz>> {
    /// Upper end of the audio band, in hertz (IEC 60268-1).
    const TOP: f64 = 20_000.0;
    let stated = reader
        .in_sentence(sentence)
        .filter(|&index| reader.roles[index] == Role::Frequency)
        .filter_map(|index| {
            let quantity = &reader.sheet.quantities[index];
            Some(fact(Hertz(quantity.si()?), quantity.span, index))
        })
        .max_by(|a, b| a.value.0.total_cmp(&b.value.0));
    stated.or_else(|| {
        let hit = reader.hits.saying(sentence, reader.terms.band_top).next()?;
        Some(Fact::new(Hertz(TOP), hit.span))
    })
}
