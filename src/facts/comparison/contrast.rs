//! Sides that are told apart by a word of one kind each (left and right, old and new, yours and mine) and differ in one thing.
//! That they differ holds whichever cable is which, so no cable has to be found for them. Knows nothing of tables.

use super::anchors::{Anchor, Kind, anchors};
use super::sides::{driven, is_lamp_power, supposed};
use super::{cause, credited, critical, null, placed, subjects};
use crate::facts::procedure;
use crate::facts::read::{Owner, Reader, fact, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::{Apart, Contrast, Fact, Subject, Trait};
use crate::facts::voices::questioned;
use crate::sheet::BlockKind;
use crate::span::Span;

/// Sentences between the words for the one side and those for the other.
const REACH: usize = 6;
/// Sentences behind the words for the second side that still speak of it.
const BEHIND: usize = 2;
/// Sentences before an outcome in which the sides can be told apart.
const BEFORE: usize = 12;

/// Most lengths, loads or drives that cables of one test have of their own.
const MOST: usize = 96;

/// What sides can differ in that a quantity tells.
const TRAITS: [Trait; 6] = [
    Trait::Size,
    Trait::Length,
    Trait::Load,
    Trait::Lamp,
    Trait::Power,
    Trait::Voltage,
];

/// Two sides with what is told of each.
#[derive(Debug, Clone, Copy)]
struct Told {
    sides: [Span; 2],
    passages: [Span; 2],
}

/// Reads what sides that are told apart by words differ in.
pub(super) fn read(reader: &mut Reader<'_>) {
    let all = 0..reader.sheet.sentences.len();
    if null(reader, &all) || critical(reader) {
        return;
    }
    let varied = subjects(reader);
    let mut found: Vec<Contrast> = Vec::new();
    let anchors = anchors(reader);
    by_words(reader, &anchors, &varied, &mut found);
    by_owner(reader, &varied, &mut found);
    super::twice::read(reader, &anchors, &varied, &mut found);
    super::gear::read(reader, &anchors, &mut found);
    super::story::read(reader, &anchors, &varied, &mut found);
    super::one_breath::read(reader, &varied, &mut found);
    // “The silver gives it sparkle”, of a silver-plated lead: the metal of its plating is no metal of a side.
    let plated = |metal: &str| {
        let cables = reader.facts.cables.iter();
        cables
            .flat_map(|cable| &cable.plating)
            .any(|plating| plating.value == metal)
    };
    found.retain(|one| match &one.of {
        Apart::Metals(metals) => !metals.iter().any(|metal| plated(metal.value)),
        _ => true,
    });
    for contrast in &mut found {
        contrast.joined |= joined(reader, contrast);
    }
    reader.facts.contrasts = found;
}

/// Whether the part of a cable that an outcome is put down to is named where the sides are told apart.
fn joined(reader: &Reader<'_>, contrast: &Contrast) -> bool {
    let Some(outcome) = contrast.outcome else {
        return false;
    };
    let parts = |sentence: usize| {
        reader
            .hits
            .saying(sentence, reader.terms.credit_part)
            .map(|hit| hit.span.of(reader.text()).to_lowercase())
    };
    let [first, last] = contrast
        .sides
        .map(|side| sentence_at(reader.sheet, side.start()));
    let last = (last + BEHIND).min(reader.sheet.sentences.len().saturating_sub(1));
    parts(sentence_at(reader.sheet, outcome.start()))
        .any(|part| (first..=last).any(|at| parts(at).any(|other| other == part)))
}

/// Whether the test is of what is to be compared.
pub(super) fn declared(varied: &[Subject], of: Trait) -> bool {
    match of {
        Trait::Size => varied.contains(&Subject::Size),
        Trait::Length => varied.contains(&Subject::Length),
        _ => false,
    }
}

/// Whether something of that kind is known to differ.
pub(super) fn known(found: &[Contrast], of: Trait) -> bool {
    found
        .iter()
        .any(|contrast| matches!(contrast.of, Apart::Values(known, _) if known == of))
}

/// Sides that words of one kind tell apart.
fn by_words(
    reader: &Reader<'_>,
    anchors: &[Anchor],
    varied: &[Subject],
    found: &mut Vec<Contrast>,
) {
    for (place, first) in anchors.iter().enumerate() {
        // Whatever else is told of a person is told of no side.
        if first.kind == Kind::Person {
            continue;
        }
        // The next word of its kind has to mean the other side.
        let Some(second) = anchors[place + 1..]
            .iter()
            .find(|anchor| anchor.kind == first.kind)
        else {
            continue;
        };
        if second.pole == first.pole || second.sentence > first.sentence + REACH {
            continue;
        }
        // Words that set any two things apart need somebody who says what made the difference.
        let plain = matches!(first.kind, Kind::Pair | Kind::Key | Kind::Number);
        let caused = reason(reader, second.sentence);
        let liked = if plain {
            caused.or_else(|| of_pair(reader, anchors, second))
        } else {
            let told = outcome(reader, second.sentence);
            told.or_else(|| of_pole(reader, first, second)).or(caused)
        };
        let Some(outcome) = liked else { continue };
        let told = Told {
            sides: [first.span, second.span],
            passages: [
                Span::new(first.span.end(), second.span.start().max(first.span.end())),
                Span::new(
                    second.span.end(),
                    end(reader, anchors, [first, second]).max(second.span.end()),
                ),
            ],
        };
        let told = with_amounts(reader, told);
        for of in TRAITS {
            // Two lamps or loudspeakers of one room are left and right, and may well hang on different lengths and be of different ohms.
            let lamp = reader
                .hits
                .saying(first.sentence, reader.terms.lamp)
                .any(|hit| first.span.contains(hit.span));
            let needs_cause =
                of == Trait::Size || (first.kind == Kind::PLACE && (of == Trait::Load || lamp));
            if declared(varied, of) || known(found, of) || (needs_cause && caused.is_none()) {
                continue;
            }
            let [one, other] = told.passages.map(|passage| sole(reader, passage, of));
            let (Some(a), Some(b)) = (one, other) else {
                continue;
            };
            found.extend(apart(reader, of, [a, b]).map(|of| Contrast {
                of,
                sides: told.sides,
                outcome: Some(outcome),
                joined: false,
            }));
        }
        let metal = found
            .iter()
            .any(|known| matches!(known.of, Apart::Metals(_)));
        if !varied.contains(&Subject::Metal) && !metal && caused.is_some() {
            let [one, other] = told.passages.map(|passage| sole_metal(reader, passage));
            if let (Some(a), Some(b)) = (one, other)
                && a.value != b.value
            {
                found.push(Contrast {
                    of: Apart::Metals([a, b]),
                    sides: told.sides,
                    outcome: Some(outcome),
                    joined: false,
                });
            }
        }
    }
}

/// Whether a sentence tells of voltages at the far end, which are what came of a drive.
fn arrived(reader: &Reader<'_>, sentence: usize) -> bool {
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    let arrived = reader.terms.lists.voltage_arrived;
    !reader.endless(sentence) && arrived.within(&words.to_lowercase())
}

/// “Four metres of the braided”, “12 V with the braided”: an amount that stands before the word for a side is of that side.
fn with_amounts(reader: &Reader<'_>, told: Told) -> Told {
    const LEADS: [&str; 4] = ["of", "with", "through", "via"];
    let text = reader.text();
    let start = |side: Span| {
        let sentence = sentence_at(reader.sheet, side.start());
        let quantity = reader
            .in_sentence(sentence)
            .map(|index| reader.sheet.quantities[index].span)
            .rfind(|quantity| quantity.end() <= side.start())?;
        let between = Span::new(quantity.end(), side.start()).of(text).trim();
        let (of, rest) = between.split_once(' ').unwrap_or((between, ""));
        let article = rest.is_empty() || reader.terms.lists.contrast_article.has(rest);
        (LEADS.contains(&of) && article).then_some(quantity.start())
    };
    let [one, other] = told.passages;
    let first = start(told.sides[0]).unwrap_or(one.start());
    let second = start(told.sides[1]);
    Told {
        sides: told.sides,
        passages: [
            Span::new(first, second.unwrap_or(one.end()).max(first)),
            Span::new(second.unwrap_or(other.start()), other.end()),
        ],
    }
}

/// What two quantities of one kind differ in, if they do.
fn apart(reader: &Reader<'_>, of: Trait, quantities: [usize; 2]) -> Option<Apart> {
    let value = |index: usize| {
        let quantity = &reader.sheet.quantities[index];
        quantity
            .si()
            .filter(|si| *si > 0.0)
            .map(|si| fact(si, quantity.span, index))
    };
    let (a, b) = (value(quantities[0])?, value(quantities[1])?);
    a.value
        .total_cmp(&b.value)
        .is_ne()
        .then_some(Apart::Values(of, [a, b]))
}

/// Cables of which one passage tells what each had, whatever else is told of them elsewhere: “the second time it was two metres of
/// the one and six of the other”.
fn by_owner(reader: &Reader<'_>, varied: &[Subject], found: &mut Vec<Contrast>) {
    let running = |index: usize| {
        let block = &reader.sheet.blocks[reader.sheet.sentences[reader.sentence_of(index)].block()];
        matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item)
    };
    for of in TRAITS {
        // Sizes are looked at where all is known of each cable.
        if of == Trait::Size || declared(varied, of) || known(found, of) {
            continue;
        }
        let own: Vec<(usize, usize)> = (0..reader.sheet.quantities.len())
            .filter(|&index| running(index) && is_trait(reader, index, of))
            .filter_map(|index| match reader.owners.at(index) {
                Owner::One(entry) => Some((index, entry)),
                _ => None,
            })
            .collect();
        // A document with so many tells of many things and not of one test.
        if own.len() > MOST {
            continue;
        }
        for pair in own.windows(2) {
            let [(a, first), (b, second)] = [pair[0], pair[1]];
            let [at, then] = [a, b].map(|index| reader.sentence_of(index));
            if first == second
                || then > at + REACH
                || !told_of(reader, a, first)
                || !told_of(reader, b, second)
            {
                continue;
            }
            let block = |sentence: usize| reader.sheet.sentences[sentence].block();
            let blocks = block(at)..=block(then);
            let alone = |entry: usize, value: usize| {
                own.iter()
                    .filter(|(index, owner)| {
                        *owner == entry && blocks.contains(&block(reader.sentence_of(*index)))
                    })
                    .all(|(index, _)| {
                        reader.sheet.quantities[*index].si() == reader.sheet.quantities[value].si()
                    })
            };
            let region = Span::new(
                reader.sheet.blocks[*blocks.start()].span.start(),
                reader.sheet.blocks[*blocks.end()].span.end(),
            );
            if !alone(first, a)
                || !alone(second, b)
                || !fits(reader, a)
                || !fits(reader, b)
                || shared(reader, region, of)
            {
                continue;
            }
            // Known by their place alone, as above.
            let placed = [first, second].iter().all(|&entry| placed(reader, entry));
            let liked = || of_sides(reader, then, [first, second]).filter(|_| !placed);
            let Some(outcome) = reason(reader, then).or_else(liked) else {
                continue;
            };
            if let Some(of) = apart(reader, of, [a, b]) {
                let name = |entry: usize, index: usize| {
                    let span = reader.sheet.quantities[index].span;
                    reader
                        .resolved
                        .of(reader.sentence_of(index))
                        .iter()
                        .filter(|(_, owner)| *owner == Owner::One(entry))
                        .map(|(words, _)| words)
                        .min_by_key(|words| words.start().abs_diff(span.start()))
                        .unwrap_or(span)
                };
                found.push(Contrast {
                    of,
                    sides: [name(first, a), name(second, b)],
                    outcome: Some(outcome),
                    joined: false,
                });
                break;
            }
        }
    }
}

/// Whether the sentence of a quantity names the cable that it is given to.
fn told_of(reader: &Reader<'_>, index: usize, entry: usize) -> bool {
    reader
        .resolved
        .of(reader.sentence_of(index))
        .iter()
        .any(|(_, owner)| owner == Owner::One(entry))
}

/// “Red by a mile”: words that pick one, in a sentence that names a side by the word for it.
fn of_pole(reader: &Reader<'_>, first: &Anchor, second: &Anchor) -> Option<Span> {
    let text = reader.text();
    let end = reader
        .sheet
        .sentences
        .len()
        .min(second.sentence.saturating_add(BEFORE));
    (second.sentence + 1..end).find_map(|at| {
        let picked = reader.hits.saying(at, reader.terms.picked).next()?;
        let span = reader.sheet.sentences[at].span;
        let named = span
            .of(text)
            .split(|letter: char| !letter.is_alphanumeric())
            .any(|word| {
                word.eq_ignore_ascii_case(&first.pole) || word.eq_ignore_ascii_case(&second.pole)
            });
        (named && !reader.endless(at) && !procedure::asked(reader, at)).then_some(picked.span)
    })
}

/// A preference that is told of one of two sides by the word for it, soon after they are told apart.
fn of_pair(reader: &Reader<'_>, anchors: &[Anchor], second: &Anchor) -> Option<Span> {
    let end = second.sentence.saturating_add(BEFORE);
    reader.facts.setup.preferred.iter().copied().find(|span| {
        let at = sentence_at(reader.sheet, span.start());
        (second.sentence + 1..end).contains(&at)
            && reader.hits.say(at, reader.terms.strong)
            && anchors
                .iter()
                .any(|anchor| anchor.kind == second.kind && anchor.sentence == at)
    })
}

/// A preference for one of two cables, soon after they are told of.
fn of_sides(reader: &Reader<'_>, told: usize, sides: [usize; 2]) -> Option<Span> {
    let end = reader
        .sheet
        .sentences
        .len()
        .min(told.saturating_add(BEFORE));
    reader.facts.setup.preferred.iter().copied().find(|span| {
        let at = sentence_at(reader.sheet, span.start());
        (told..end).contains(&at)
            && reader.hits.say(at, reader.terms.strong)
            && matches!(reader.owner(at, *span, Owner::Nobody), Owner::One(entry) if sides.contains(&entry))
    })
}

/// Whether a passage, or the rest of its block, gives one value for all: “both were cut to 3 m”.
fn shared(reader: &Reader<'_>, passage: Span, of: Trait) -> bool {
    let first = sentence_at(reader.sheet, passage.start());
    let last = sentence_at(
        reader.sheet,
        passage.end().saturating_sub(1).max(passage.start()),
    );
    let block = reader.sheet.sentences[last].block();
    let end = reader.sheet.blocks[block].sentences().end.max(last + 1);
    (first..end)
        .flat_map(|sentence| reader.in_sentence(sentence))
        .any(|index| is_trait(reader, index, of) && reader.owners.at(index) == Owner::All)
}

/// The one metal that a passage names; none when it names several.
fn sole_metal(reader: &Reader<'_>, passage: Span) -> Option<Fact<&'static str>> {
    let first = sentence_at(reader.sheet, passage.start());
    let last = sentence_at(
        reader.sheet,
        passage.end().saturating_sub(1).max(passage.start()),
    );
    let mut found: Option<Fact<&'static str>> = None;
    for sentence in first..=last {
        for (at, hit) in reader.hits.of(sentence).iter().enumerate() {
            if !passage.contains(hit.span) {
                continue;
            }
            let Some((key, plating)) = reader.metal_named(sentence, at) else {
                continue;
            };
            if plating || key == "tin" {
                continue;
            }
            match &found {
                Some(known) if known.value != key => return None,
                Some(_) => {}
                None => found = Some(Fact::new(key, hit.span)),
            }
        }
    }
    found
}

/// Where what is said of the second side ends: at the next word of the kind, or with its passage.
fn end(reader: &Reader<'_>, anchors: &[Anchor], [first, second]: [&Anchor; 2]) -> usize {
    let sentences = &reader.sheet.sentences;
    let block = |at: usize| sentences[at].block();
    // In a script both sides are told of in lines that stand below each other.
    let told = second.sentence - first.sentence;
    let lines = (block(second.sentence) - block(first.sentence)).saturating_sub(1);
    let behind = if lines > 0 { BEHIND.max(told) } else { BEHIND };
    let last = (second.sentence..sentences.len().min(second.sentence + behind + 1))
        .take_while(|&at| block(at) - block(second.sentence) <= lines)
        .last()
        .unwrap_or(second.sentence);
    let next = anchors
        .iter()
        .find(|anchor| {
            anchor.span.start() > second.span.start()
                && anchor.kind == second.kind
                && anchor.pole != second.pole
        })
        .map_or(usize::MAX, |anchor| anchor.span.start());
    sentences[last].span.end().min(next)
}

/// The words that report which side came out better, or why, soon after the sides are told apart.
pub(super) fn outcome(reader: &Reader<'_>, told: usize) -> Option<Span> {
    let end = reader
        .sheet
        .sentences
        .len()
        .min(told.saturating_add(BEFORE));
    let credit = credited(reader, told..end).map(|outcome| outcome.span);
    let caused = (told..end)
        .find(|&at| {
            reader.comparative
                && reader.hits.say(at, reader.terms.credit)
                && !procedure::asked(reader, at)
                && !questioned(reader, at)
        })
        .map(|at| reader.sheet.sentences[at].span);
    // Somebody liked one better, or credits what was seen to something.
    liked(reader, told, reader.comparative)
        .or(credit)
        .or(caused)
}

/// A preference soon after the sides are told apart; where nothing else makes a comparison of it, one in so many words.
fn liked(reader: &Reader<'_>, told: usize, compared: bool) -> Option<Span> {
    let end = reader
        .sheet
        .sentences
        .len()
        .min(told.saturating_add(BEFORE));
    let region = reader.sheet.sentences.get(told)?.span.start()
        ..reader.sheet.sentences.get(end.checked_sub(1)?)?.span.end();
    reader.facts.setup.preferred.iter().copied().find(|span| {
        region.contains(&span.start())
            && (compared
                || reader
                    .hits
                    .say(sentence_at(reader.sheet, span.start()), reader.terms.strong))
    })
}

/// What is said to have made the difference, or to have been proven by a score, soon after the sides are told apart.
pub(super) fn reason(reader: &Reader<'_>, told: usize) -> Option<Span> {
    /// Sentences in which a test is told before somebody says what did it.
    const TOLD: usize = 20;
    let sentences = &reader.sheet.sentences;
    let end = sentences.len().min(told.saturating_add(TOLD));
    let proven = reader.facts.setup.scores.iter().find(|score| {
        score.offered_as_proof
            && (told..end).contains(&sentence_at(reader.sheet, score.span.start()))
    });
    cause(reader, told..end)
        .map(|outcome| outcome.span)
        .or_else(|| proven.map(|score| score.span))
}

/// The one quantity of its kind that a passage gives; none when it gives several, or says that it is that of all.
fn sole(reader: &Reader<'_>, passage: Span, of: Trait) -> Option<usize> {
    let first = reader
        .sheet
        .quantities
        .partition_point(|quantity| quantity.span.start() < passage.start());
    let mut values = (first..reader.sheet.quantities.len())
        .take_while(|&index| reader.sheet.quantities[index].span.end() <= passage.end())
        .filter(|&index| is_trait(reader, index, of));
    let found = values.next()?;
    let si = reader.sheet.quantities[found].si()?;
    if values.any(|other| reader.sheet.quantities[other].si() != Some(si)) {
        return None;
    }
    (!shared(reader, passage, of) && fits(reader, found)).then_some(found)
}

/// Whether a quantity can be that of a side: not that of a use that is offered, of goods, of a condition or of both sides.
pub(super) fn fits(reader: &Reader<'_>, index: usize) -> bool {
    let terms = &reader.terms;
    let span = reader.sheet.quantities[index].span;
    let sentence = reader.sentence_of(index);
    let used = reader
        .facts
        .cables
        .iter()
        .flat_map(|cable| &cable.uses)
        .any(|offered| offered.span.contains(span));
    let said = |concept| reader.hits.say(sentence, concept);
    let around = reader.around(sentence, span);
    // "40 m in all" speaks of no other side.
    let both = around.nearest(terms.both).is_some_and(|(apart, words)| {
        apart <= 24
            && !reader
                .hits
                .saying(sentence, terms.both_not)
                .any(|hit| hit.span.overlaps(words))
    });
    !used
        && !both
        && !said(terms.sold)
        && !supposed(reader, index)
        && (!super::twice::joins(reader, sentence) || reader.joined_count(index) == Some(1))
        && reader.owners.at(index) != Owner::All
}

/// Whether a quantity is of that kind.
pub(super) fn is_trait(reader: &Reader<'_>, index: usize, of: Trait) -> bool {
    let terms = &reader.terms;
    let role = reader.roles[index];
    let sentence = reader.sentence_of(index);
    let near = |concepts: &[crate::lexicon::ConceptId], before: usize| {
        (sentence.saturating_sub(before)..=sentence)
            .any(|at| concepts.iter().any(|&concept| reader.hits.say(at, concept)))
    };
    match of {
        Trait::Size => role == Role::Size,
        Trait::Length => role == Role::Run,
        Trait::Load => role == Role::Load,
        Trait::Lamp => {
            role == Role::Power
                && (is_lamp_power(reader, index)
                    || (near(&[terms.lamp], 3) && !near(&[terms.amplifier], 3)))
        }
        Trait::Power => {
            role == Role::Power && near(&[terms.amplifier], 1) && !is_lamp_power(reader, index)
        }
        Trait::Voltage => {
            role == Role::Voltage
                && (driven(reader, index)
                    || near(&[terms.supply, terms.amplifier], 1) && !arrived(reader, sentence))
        }
    }
}
