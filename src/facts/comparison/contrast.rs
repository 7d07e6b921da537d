//! Sides that are told apart by a word of one kind each (left and right, old and new, yours and mine) and differ in one thing.
//! That they differ holds whichever cable is which, so no cable has to be found for them. Knows nothing of tables.

use super::sides::is_lamp_power;
use super::{arithmetic, credited, critique, subjects, within};
use crate::facts::read::{Owner, Reader, fact, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::{Contrast, Subject, Trait};
use crate::lexicon::{List, Token, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;

/// Sentences between the words for the one side and those for the other.
const REACH: usize = 6;
/// Sentences behind the words for the second side that still speak of it.
const BEHIND: usize = 2;
/// Sentences before an outcome in which the sides can be told apart.
const BEFORE: usize = 12;

/// Most words that tell sides apart; a document with more tells of many things and not of one test.
const MOST: usize = 96;

/// A word that tells a side apart.
#[derive(Debug, Clone)]
struct Anchor {
    /// Kind of word, by the place of its list.
    kind: usize,
    /// Which of its kind.
    pole: String,
    span: Span,
    sentence: usize,
}

/// Reads what sides that are told apart by words differ in.
pub(super) fn read(reader: &mut Reader<'_>) {
    let all = 0..reader.sheet.sentences.len();
    if within(reader, &all, reader.terms.no_proof).is_some()
        || critique(reader)
        || arithmetic(reader)
    {
        return;
    }
    let anchors = anchors(reader);
    let varied = subjects(reader).contains(&Subject::Length);
    let mut found: Vec<Contrast> = Vec::new();
    for (place, first) in anchors.iter().enumerate() {
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
        let end = end(reader, &anchors, second);
        let Some(outcome) = outcome(reader, second.sentence) else {
            continue;
        };
        let one = Span::new(first.span.end, second.span.start.max(first.span.end));
        let other = Span::new(second.span.end, end.max(second.span.end));
        for of in [
            Trait::Length,
            Trait::Load,
            Trait::Lamp,
            Trait::Power,
            Trait::Voltage,
        ] {
            if (of == Trait::Length && varied) || found.iter().any(|known| known.of == of) {
                continue;
            }
            let (Some(a), Some(b)) = (sole(reader, one, of), sole(reader, other, of)) else {
                continue;
            };
            let value = |index: usize| {
                let quantity = &reader.sheet.quantities[index];
                quantity.si.map(|si| fact(si, quantity.span, index))
            };
            if let (Some(a), Some(b)) = (value(a), value(b))
                && a.value > 0.0
                && b.value > 0.0
                && a.value.total_cmp(&b.value).is_ne()
            {
                found.push(Contrast {
                    of,
                    sides: [first.span, second.span],
                    values: [a, b],
                    outcome: Some(outcome),
                });
            }
        }
    }
    reader.facts.contrasts = found;
}

/// The words of running text that tell sides apart, in reading order.
fn anchors(reader: &Reader<'_>) -> Vec<Anchor> {
    let lists = reader.terms.lists;
    let kinds: [List<'_>; 5] = [
        lists.contrast_place,
        lists.contrast_colour,
        lists.contrast_age,
        lists.contrast_cover,
        lists.contrast_build,
    ];
    let owners: [List<'_>; 3] = [
        lists.contrast_mine,
        lists.contrast_yours,
        lists.contrast_third,
    ];
    let text = reader.text();
    let mut tokens: Vec<Token> = Vec::new();
    let mut found = Vec::new();
    for sentence in 0..reader.sheet.sentences.len() {
        let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block];
        if matches!(block.kind, BlockKind::Cell { .. }) || reader.endless(sentence) {
            continue;
        }
        tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
        let lower = |at: usize| {
            let mut word = String::new();
            tokens[at].write_lower(text, &mut word);
            word
        };
        for at in 0..tokens.len() {
            let word = lower(at);
            let (pole, from) = if lists.contrast_alone.has(&word) {
                (at, at)
            } else if lists.contrast_noun.has(&word) && at > 0 {
                (at - 1, at - 1)
            } else if at >= 3
                && lists.contrast_place.has(&word)
                && lower(at - 1) == "the"
                && lower(at - 2) == "on"
                && lists.contrast_noun.has(&lower(at - 3))
            {
                // "The one on the left."
                (at, at - 3)
            } else {
                continue;
            };
            let word = lower(pole);
            let kind = kinds.iter().position(|list| list.has(&word));
            let owner = owners.iter().position(|list| list.has(&word));
            let Some((kind, pole)) = kind
                .map(|kind| (kind, word))
                .or_else(|| owner.map(|owner| (kinds.len(), owner.to_string())))
            else {
                continue;
            };
            found.push(Anchor {
                kind,
                pole,
                span: tokens[from].span.join(tokens[at].span),
                sentence,
            });
            if found.len() > MOST {
                return Vec::new();
            }
        }
    }
    found
}

/// Where what is said of the second side ends: at the next word of the kind, or with its passage.
fn end(reader: &Reader<'_>, anchors: &[Anchor], second: &Anchor) -> usize {
    let sentences = &reader.sheet.sentences;
    let block = sentences[second.sentence].block;
    let last = (second.sentence..sentences.len().min(second.sentence + BEHIND + 1))
        .take_while(|&at| sentences[at].block == block)
        .last()
        .unwrap_or(second.sentence);
    let next = anchors
        .iter()
        .find(|anchor| {
            anchor.span.start > second.span.start
                && anchor.kind == second.kind
                && anchor.pole != second.pole
        })
        .map_or(usize::MAX, |anchor| anchor.span.start);
    sentences[last].span.end.min(next)
}

/// The words that report which side came out better, or why, soon after the sides are told apart.
fn outcome(reader: &Reader<'_>, told: usize) -> Option<Span> {
    let end = reader
        .sheet
        .sentences
        .len()
        .min(told.saturating_add(BEFORE));
    let credit = credited(reader, told..end).map(|outcome| outcome.span);
    let caused = (told..end)
        .find(|&at| reader.comparative && reader.hits.say(at, reader.terms.credit))
        .map(|at| reader.sheet.sentences[at].span);
    let region = reader.sheet.sentences.get(told)?.span.start
        ..reader.sheet.sentences.get(end.checked_sub(1)?)?.span.end;
    // Where nothing else makes a comparison of it, it takes a preference in so many words.
    let liked = reader.facts.setup.preferred.iter().copied().find(|span| {
        region.contains(&span.start)
            && (reader.comparative
                || reader
                    .hits
                    .say(sentence_at(reader.sheet, span.start), reader.terms.strong))
    });
    // Somebody liked one better, or credits what was seen to something.
    liked.or(credit).or(caused)
}

/// The one quantity of its kind that a passage gives; none when it gives several, or says that it is that of all.
fn sole(reader: &Reader<'_>, passage: Span, of: Trait) -> Option<usize> {
    let terms = &reader.terms;
    let first = reader
        .sheet
        .quantities
        .partition_point(|quantity| quantity.span.start < passage.start);
    let mut values = (first..reader.sheet.quantities.len())
        .take_while(|&index| reader.sheet.quantities[index].span.end <= passage.end)
        .filter(|&index| is_trait(reader, index, of));
    let found = values.next()?;
    let si = reader.sheet.quantities[found].si?;
    if values.any(|other| reader.sheet.quantities[other].si != Some(si)) {
        return None;
    }
    let span = reader.sheet.quantities[found].span;
    let used = reader
        .facts
        .cables
        .iter()
        .flat_map(|cable| &cable.uses)
        .any(|offered| offered.span.contains(span));
    let around = reader.around(reader.sentence_of[found], span);
    // "40 m in all" speaks of no other side.
    let both = around.nearest(terms.both).is_some_and(|(apart, words)| {
        apart <= 24
            && !reader
                .hits
                .saying(reader.sentence_of[found], terms.both_not)
                .any(|hit| hit.span.overlaps(words))
    });
    let shared = reader.owners[found] == Owner::All || both;
    (!used && !shared).then_some(found)
}

/// Whether a quantity is of that kind.
fn is_trait(reader: &Reader<'_>, index: usize, of: Trait) -> bool {
    let terms = &reader.terms;
    let role = reader.roles[index];
    let sentence = reader.sentence_of[index];
    let near = |concepts: &[crate::lexicon::ConceptId], before: usize| {
        (sentence.saturating_sub(before)..=sentence)
            .any(|at| concepts.iter().any(|&concept| reader.hits.say(at, concept)))
    };
    match of {
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
        Trait::Voltage => role == Role::Voltage && near(&[terms.supply, terms.amplifier], 1),
    }
}
