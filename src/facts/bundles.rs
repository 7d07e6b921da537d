//! Statements about conductors that are joined: “two of 14 AWG in parallel make 11 AWG”.
//!
//! They hold or fail by themselves, whatever cable they are made of, so they are read sentence by sentence and not by cable.

mod called;
mod numbered;

pub(super) use called::read as read_called;

use super::count;
use super::read::{Reader, clause_at, fact};
use super::roles::Role;
use super::roster::{Means, is_size};
use super::types::{Bundle, Fact, SizeOf};
use crate::lexicon::ConceptId;
use crate::span::Span;
use rustc_hash::FxHashMap;

/// Most characters between the word that says what the conductors come to and the size.
const REACH: usize = 48;

/// Sentences before, in the same section, in which the conductors can be named and joined.
const BEFORE: usize = 2;

/// Two sizes that differ by no more are one, in two notations.
const ALIKE: f64 = 1.12;

/// Sentences before, in the same record.
const RECORD: usize = 10;

/// Reads the statements and takes the sizes that conductors are said to come to from among the sizes of cables.
pub(super) fn read(reader: &mut Reader<'_>) {
    let mut bundles = Vec::new();
    let in_lines = sizes_in_lines(reader);
    for whole in 0..reader.sheet.quantities.len() {
        if !is_size(reader.sheet.quantities[whole].kind) {
            continue;
        }
        let Some((wire, mut counts)) = statement(reader, &in_lines, whole) else {
            continue;
        };
        let at = wire;
        let (Some(mut wire), Some(mut joined)) = (reader.size(wire), reader.size(whole)) else {
            continue;
        };
        // "Eight enamelled wires of 24 AWG" are counted where they are named.
        if let (Some(&(count, _)), true) = (wire.strands.as_deref(), by_gauge(reader, at)) {
            wire.area.0 /= f64::from(count);
            wire.strands = None;
            // “Four of these side by side”, of eight.
            counts.retain(|joined| joined.value < count && told_of_these(reader, joined.span));
            if counts.is_empty() {
                counts = vec![fact(count, wire.span, at)];
            }
        }
        wire.of = SizeOf::Conductor;
        joined.of = SizeOf::Combined;
        if wire.loose || joined.loose || wire.area.0 >= joined.area.0 {
            continue;
        }
        reader.roles[whole] = Role::CombinedSize;
        bundles.push(Bundle {
            counts,
            wire,
            whole: joined,
        });
    }
    let numbered = numbered::read(reader);
    bundles.extend(
        numbered
            .into_iter()
            .filter(|known| {
                let whole = known.whole.span;
                bundles.iter().all(|told| told.whole.span != whole)
            })
            .collect::<Vec<_>>(),
    );
    bundles.extend(tabled(reader));
    reader.facts.bundles = bundles;
}

/// Sizes by the cable of the line of a table that they stand in, in reading order.
type InLines = FxHashMap<usize, Vec<usize>>;

fn sizes_in_lines(reader: &Reader<'_>) -> InLines {
    let mut found = InLines::default();
    let quantities = reader.sheet.quantities.iter().enumerate();
    for (index, _) in quantities.filter(|(_, quantity)| is_size(quantity.kind)) {
        if let Some(line) = reader.line_of(reader.sentence_of(index)) {
            found.entry(line).or_default().push(index);
        }
    }
    found
}

/// The lines of tables that count the conductors of a pole and give the size of one and of all.
fn tabled(reader: &Reader<'_>) -> Vec<Bundle> {
    let mut found = Vec::new();
    for table in 0..reader.sheet.tables.len() {
        let rows = reader.sheet.tables[table].cells.len();
        let columns = reader.sheet.tables[table].cells.first().map_or(0, Vec::len);
        found.extend(lines(reader, columns, rows, |line, place| {
            cell(reader, table, place, line)
        }));
        found.extend(lines(reader, rows, columns, |line, place| {
            cell(reader, table, line, place)
        }));
    }
    found
}

/// The block of a cell.
fn cell(reader: &Reader<'_>, table: usize, row: usize, column: usize) -> Option<usize> {
    *reader.sheet.tables[table].cells.get(row)?.get(column)?
}

/// Of `lines` with their heads in place 0, the one that counts, the one of the sizes and the one of what they come to, place by
/// place. Where two lines could be either, nobody can tell.
fn lines(
    reader: &Reader<'_>,
    lines: usize,
    places: usize,
    cell: impl Fn(usize, usize) -> Option<usize>,
) -> Vec<Bundle> {
    let text = reader.text();
    let words = |block: usize| reader.sheet.blocks[block].span.of(text);
    let mut heads = (0..lines).filter(|&line| {
        cell(line, 0).is_some_and(|head| count::per_pole(&reader.terms, words(head)))
    });
    let (Some(counted), None) = (heads.next(), heads.next()) else {
        return Vec::new();
    };
    let sized = |line: usize, place: usize, role: Role| {
        let sentences = reader.sheet.blocks[cell(line, place)?].sentences();
        let mut own = sentences
            .flat_map(|sentence| reader.in_sentence(sentence))
            .filter(|&index| is_size(reader.sheet.quantities[index].kind));
        let index = own.next().filter(|&index| reader.roles[index] == role)?;
        own.next().is_none().then_some(index)
    };
    let sole = |role: Role| {
        let mut of_role =
            (0..lines).filter(|&line| (1..places).any(|place| sized(line, place, role).is_some()));
        let line = of_role.next()?;
        of_role.next().is_none().then_some(line)
    };
    let (Some(wires), Some(wholes)) = (sole(Role::Size), sole(Role::CombinedSize)) else {
        return Vec::new();
    };
    let both_poles = cell(wholes, 0).is_some_and(|head| {
        let head = words(head).to_lowercase();
        let mut said = head.split(|letter: char| !letter.is_alphabetic());
        said.any(|word| reader.terms.lists.count_head_whole.has(word))
    });
    (1..places)
        .filter_map(|place| {
            let number = count::plain(
                &reader.terms,
                text,
                reader.sheet.blocks[cell(counted, place)?].span,
            )?;
            let (one, all) = (
                sized(wires, place, Role::Size)?,
                sized(wholes, place, Role::CombinedSize)?,
            );
            let (mut wire, mut whole) = (reader.size(one)?, reader.size(all)?);
            wire.of = SizeOf::Conductor;
            whole.of = SizeOf::Combined;
            let plain = !wire.loose && !whole.loose && number.value >= 2;
            // A total may be that of both poles.
            let times = if both_poles { 2 } else { 1 };
            plain.then(|| Bundle {
                counts: (1..=times)
                    .map(|poles| fact(number.value * poles, number.span, one))
                    .collect(),
                wire,
                whole,
            })
        })
        .collect()
}

/// The size of one conductor and how many are joined, when the quantity `whole` is said to be what they come to.
fn statement(
    reader: &Reader<'_>,
    in_lines: &InLines,
    whole: usize,
) -> Option<(usize, Vec<Fact<u32>>)> {
    let quantity = &reader.sheet.quantities[whole];
    let sentence = reader.sentence_of(whole);
    // “Each leg becomes the equal of a single 8 AWG” is what the joined ones come to, where they are joined.
    let equal = || {
        reader
            .ahead(sentence, quantity.span, REACH)
            .contains("the equal of ")
    };
    let aside = reader.roles[whole] == Role::Aside && !equal();
    if quantity.conductors.unwrap_or(1) > 1 || aside {
        return None;
    }
    let span = reader.sheet.sentences[sentence].span;
    let text = reader.text();
    if span.of(text).trim_end().ends_with('?') {
        return None;
    }
    let at = |concept: ConceptId| reader.hits.saying(sentence, concept).map(|hit| hit.span);
    let terms = &reader.terms;
    let makes = at(terms.size_joined)
        .chain(at(terms.size_makes))
        .chain(at(terms.size_combined))
        .chain(equals(text, span, quantity.span))
        .find(|word| {
            let ahead =
                word.end() <= quantity.span.start() && quantity.span.start() - word.end() <= REACH;
            let behind = quantity.span.end() <= word.start()
                && word.start() - quantity.span.end() <= 3
                && at(terms.size_combined).any(|total| total == *word);
            ahead || behind
        })?;
    // "Two in parallel make less resistance than 12 AWG has" and "do not make 8 AWG" say something else.
    let between = Span::new(
        makes.start().min(quantity.span.start()),
        makes.end().max(quantity.span.end()),
    );
    let clause = clause_at(text, span, quantity.span);
    let of_price = |word: Span| at(terms.count_price).any(|price| price.overlaps(word));
    if at(terms.count_other)
        .any(|word| (between.contains(word) || clause.contains(word)) && !of_price(word))
    {
        return None;
    }
    let wire = wire(reader, in_lines, whole, sentence)?;
    // Fields of one record stand together, however many are between.
    let recorded = reader.sheet.blocks[reader.sheet.sentences[sentence].block()]
        .key()
        .is_some()
        && reader.line_of(sentence).is_some()
        && reader.line_of(sentence) == reader.line_of(reader.sentence_of(wire));
    let reach = if recorded { RECORD } else { BEFORE };
    let first = if sentence.abs_diff(reader.sentence_of(wire)) > reach {
        sentence
    } else {
        reader.sentence_of(wire).min(sentence)
    };
    let joined = (first..=sentence)
        .rev()
        .find(|&near| reader.hits.say(near, terms.bundle_join))?;
    let counts = counts(reader, wire, joined..=sentence, quantity.span);
    let strands = by_gauge(reader, wire);
    (strands || !counts.is_empty()).then_some((wire, counts))
}

/// Whether strands are counted with their gauge, as wires that are joined are: “eight wires of 24 AWG”, not 41 x 0.25 mm.
fn by_gauge(reader: &Reader<'_>, index: usize) -> bool {
    let quantity = &reader.sheet.quantities[index];
    quantity.strand.is_some() && quantity.unit().ends_with("AWG")
}

/// Whether a number counts some of the conductors that were named before: “four of these”.
fn told_of_these(reader: &Reader<'_>, number: Span) -> bool {
    const OF: [&str; 3] = [" of these", " of those", " of them"];
    let behind = reader.text().get(number.end()..).unwrap_or("");
    OF.iter().any(|of| behind.starts_with(of))
}

/// Whether a number names the cable or what others cost: “the quad does duty as 10 AWG”, “for the price of four”.
fn counts_nothing(text: &str, number: Span) -> bool {
    const AHEAD: [&str; 5] = ["the", "this", "that", "our", "your"];
    let ahead = text.get(..number.start()).unwrap_or("").trim_end();
    let from = ahead.floor_char_boundary(ahead.len().saturating_sub(16));
    let ahead = ahead.get(from..).unwrap_or("").to_lowercase();
    let last = ahead.rsplit(' ').next().unwrap_or("");
    let quad = number.of(text).eq_ignore_ascii_case("quad");
    quad && AHEAD.contains(&last) || ahead.ends_with("price of") || ahead.ends_with("cost of")
}

/// The sign right before a size: "doubled up (2 + 2) = 11 AWG".
fn equals(text: &str, sentence: Span, size: Span) -> Option<Span> {
    let ahead = Span::new(sentence.start(), size.start())
        .of(text)
        .trim_end();
    let at = sentence.start() + ahead.len().checked_sub(1)?;
    ahead.ends_with('=').then(|| Span::new(at, at + 1))
}

/// The size of the conductors: the one before, in the sentence or in those before it, of the same section or line. When two
/// different sizes stand there, nobody can tell which is meant.
fn wire(reader: &Reader<'_>, in_lines: &InLines, whole: usize, sentence: usize) -> Option<usize> {
    let sheet = reader.sheet;
    let section = |at: usize| sheet.blocks[sheet.sentences[at].block()].section();
    let line = reader.line_of(sentence);
    let area = |other: usize| sheet.quantities[other].si().unwrap_or(f64::NAN);
    let before = match line.and_then(|line| in_lines.get(&line)) {
        Some(sizes) => &sizes[..sizes.partition_point(|&other| other < whole)],
        None => &[],
    };
    let candidates = || {
        let around = (0..whole)
            .rev()
            .take_while(|&other| line.is_none() && sentence - reader.sentence_of(other) <= BEFORE);
        let around = around.filter(|&other| {
            is_size(sheet.quantities[other].kind)
                && section(reader.sentence_of(other)) == section(sentence)
        });
        let of_line = before.iter().rev().copied();
        around
            .chain(of_line)
            .filter(|&other| reader.roles[other] == Role::Size)
    };
    // In a row of a table it may stand in a column further on.
    let behind = || {
        (whole + 1..sheet.quantities.len())
            .take_while(|&other| reader.line_of(reader.sentence_of(other)) == line)
            .find(|&other| {
                is_size(sheet.quantities[other].kind)
                    && reader.roles[other] == Role::Size
                    && reader.sentence_of(other) != sentence
            })
            .filter(|_| line.is_some())
    };
    // The cable that is called there has its size in its own line, whatever stands nearer.
    let called = (line.is_none())
        .then(|| of_called(reader, in_lines, whole))
        .flatten();
    let nearest = candidates().next();
    if let Some(called) = called
        && nearest.is_none_or(|nearest| reader.sentence_of(nearest) != sentence)
    {
        return Some(called).filter(|&first| area(first) < area(whole));
    }
    let Some(first) = nearest else {
        let told = called.or_else(|| of_noted(reader, in_lines, sentence));
        let known = told.or_else(behind).or_else(|| sole_other(reader, whole));
        return known.filter(|&first| area(first) < area(whole));
    };
    let own = reader.sentence_of(whole);
    let alone = sheet
        .quantities
        .iter()
        .zip(reader.sentences_of())
        .enumerate()
        .skip(whole + 1)
        .take_while(|(_, (_, at))| *at == own)
        .take_while(|(_, (quantity, _))| {
            // What stands behind a semicolon is another statement.
            let from = sheet.quantities[whole].span.end();
            !Span::new(from, quantity.span.start().max(from))
                .of(reader.text())
                .contains(';')
        })
        .all(|(other, (quantity, _))| {
            !is_size(quantity.kind) || (area(other) / area(whole) - 1.0).abs() < ALIKE - 1.0
        });
    let from = reader.sentence_of(first);
    let one = candidates()
        .take_while(|&other| reader.sentence_of(other) == from)
        .all(|other| {
            let ratio = area(other) / area(first);
            (1.0 / ALIKE..=ALIKE).contains(&ratio)
        });
    (alone && one && area(first) < area(whole)).then_some(first)
}

/// “Remark 2: Quartet has four cores. Join them two and two”: the one size in the line of the only cable that is called there.
fn of_called(reader: &Reader<'_>, in_lines: &InLines, whole: usize) -> Option<usize> {
    let sentence = reader.sentence_of(whole);
    let end = reader.sheet.quantities[whole].span.start();
    let block = reader.sheet.sentences[sentence].block();
    let from = reader.sheet.blocks[block].sentences().start;
    let named = (sentence.saturating_sub(BEFORE).max(from)..=sentence).flat_map(|at| {
        let span = reader.sheet.sentences[at].span;
        reader.roster.called(&reader.terms, reader.text(), span)
    });
    // What stands behind the size it is held against: “and that for less than one OB-10”.
    let mut called = named.filter(|mention| mention.span.start() < end);
    let Means::Entry(entry) = called.next()?.means else {
        return None;
    };
    let sole = called.all(|other| other.means == Means::Entry(entry));
    sole.then(|| of_line(reader, in_lines, entry)).flatten()
}

/// “see (c)” in a row, and below the table “(c) Opposite cores are bridged”: the one size in that row.
fn of_noted(reader: &Reader<'_>, in_lines: &InLines, sentence: usize) -> Option<usize> {
    match *reader.noted_cables(reader.sheet.sentences[sentence].block()) {
        [entry] => of_line(reader, in_lines, entry),
        _ => None,
    }
}

/// The one size in the line of a cable; it may be written twice.
fn of_line(reader: &Reader<'_>, in_lines: &InLines, entry: usize) -> Option<usize> {
    alike(reader, in_lines.get(&entry)?.iter().copied())
}

/// The one size that a document gives beside that of the conductors together.
fn sole_other(reader: &Reader<'_>, whole: usize) -> Option<usize> {
    /// A document of more quantities has more cables than one.
    const MOST: usize = 64;
    let quantities = &reader.sheet.quantities;
    let sizes =
        (0..quantities.len()).filter(|&other| other != whole && is_size(quantities[other].kind));
    (quantities.len() <= MOST)
        .then(|| alike(reader, sizes))
        .flatten()
}

/// The first of sizes that are one, in whatever notation.
fn alike(reader: &Reader<'_>, sizes: impl Iterator<Item = usize>) -> Option<usize> {
    let area = |index: usize| reader.size(index).map_or(f64::NAN, |size| size.area.0);
    let mut sizes = sizes.filter(|&index| reader.roles[index] == Role::Size);
    let first = sizes.next()?;
    sizes
        .all(|other| (1.0 / ALIKE..=ALIKE).contains(&(area(other) / area(first))))
        .then_some(first)
}

/// How many are joined: as the sentence that joins them says, or else every number that the count of conductors allows.
fn counts(
    reader: &Reader<'_>,
    wire: usize,
    sentences: std::ops::RangeInclusive<usize>,
    whole: Span,
) -> Vec<Fact<u32>> {
    /// Bytes behind a size in which its conductors are named.
    const BEHIND: usize = 24;
    let terms = &reader.terms;
    let named = [
        (terms.count_two, 2),
        (terms.count_three, 3),
        (terms.count_four, 4),
        (terms.count_six, 6),
        (terms.count_eight, 8),
    ];
    let quantity = &reader.sheet.quantities[wire];
    // "Four cores of 14 AWG": a number that belongs to the conductors and not to those that are joined.
    let text = reader.text();
    let of_wire = |word: Span| {
        let own = reader.sheet.sentences[reader.sentence_of(wire)].span;
        let between = Span::new(word.end(), quantity.span.start().max(word.end())).of(text);
        let stems = reader.terms.lists.count_stem;
        // “Four separate 14 AWG wires” as well.
        let behind = || {
            let from = quantity.span.end();
            let to = text.floor_char_boundary((from + BEHIND).min(own.end()).max(from));
            let behind = Span::new(from, to).of(text).to_lowercase();
            !sentences.contains(&reader.sentence_of(wire))
                && between.split_whitespace().count() <= 1
                && !between.contains([',', ';', ':', '.'])
                && stems.within(behind.split([',', ';', ':', '.']).next().unwrap_or(""))
        };
        own.contains(word)
            && word.start() < quantity.span.start()
            && between.len() <= 30
            && (stems.within(&between.to_lowercase()) || behind())
    };
    let mut found: Vec<Fact<u32>> = Vec::new();
    let mut of_conductors: Vec<Fact<u32>> = Vec::new();
    let own = reader.sentence_of(wire);
    let first = if *sentences.end() > own + BEFORE {
        *sentences.start()
    } else {
        own.min(*sentences.start())
    };
    for sentence in first..=*sentences.end() {
        for hit in reader.hits.of(sentence) {
            let Some(&(_, count)) = named.iter().find(|(concept, _)| *concept == hit.concept)
            else {
                continue;
            };
            // "At both ends" counts ends, and "three gauges" what they come to.
            let after = (reader.text().get(hit.span.end()..).unwrap_or("")).trim_start();
            let steps = ["end", "gauge", "step", "number", "size", "of a kind"];
            let other = steps.iter().any(|word| after.starts_with(word));
            let number = reader
                .in_sentence(sentence)
                .any(|other| reader.sheet.quantities[other].span.overlaps(hit.span));
            // `GF-4/16` counts nothing.
            let coded = reader
                .text()
                .get(..hit.span.start())
                .is_some_and(|ahead| ahead.ends_with('-'))
                && hit
                    .span
                    .of(reader.text())
                    .bytes()
                    .all(|byte| byte.is_ascii_digit());
            if number || coded || quantity.span.overlaps(hit.span) || other {
                continue;
            }
            let place = if of_wire(hit.span) {
                &mut of_conductors
            } else if sentences.contains(&sentence) {
                &mut found
            } else {
                continue;
            };
            if !place.iter().any(|known| known.value == count) {
                place.push(fact(count, hit.span, wire));
            }
        }
    }
    // “Twist the four together in twos”: two of them go to a pole, unless another number stands nearer to what they come to.
    let twos = sentences
        .clone()
        .flat_map(|at| reader.hits.saying(at, terms.bundle_twos))
        .find(|twos| twos.span.end() <= whole.start());
    if let Some(twos) = twos
        && found.iter().all(|count| {
            count.value == 2
                || count.span.end() <= twos.span.end()
                || counts_nothing(text, count.span)
        })
    {
        return vec![fact(2, twos.span, wire)];
    }
    if !found.is_empty() {
        return found;
    }
    let written = quantity
        .conductors
        .filter(|&count| count > 1)
        .map(|count| fact(count, quantity.span, wire));
    let mut all: Vec<Fact<u32>> = of_conductors.into_iter().chain(written).collect();
    // Which of four belong to one pole is not said: half of them, or all.
    let halves: Vec<Fact<u32>> = all
        .iter()
        .filter(|count| count.value >= 4)
        .map(|count| count.with(count.value / 2))
        .collect();
    all.extend(halves);
    all
}
