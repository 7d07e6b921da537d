//! Lengths, sizes and metals of which a document tells two and no more, one beside words for one side and one beside words for
//! another: “Hugo's set is 3 m a side. Mine comes from the old flat and is 7.5 m”. That they differ holds whichever cable is which.
//! Where any of them may be that of all, of a third or of a use that is offered, nothing is read.

mod joins;
mod sided;
mod titled;

use super::anchors::Anchor;
use super::contrast::{declared, known, reason};
use super::credit::{credits_itself, credits_metal};
use super::gear::given::{Key, Term, apart, closed};
use super::held::held_alike;
use super::sides::supposed;
use super::{cause, credits, placed};
use crate::facts::read::{Reader, fact, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::{Apart, Contrast, Fact, Subject, Trait};
use crate::facts::voices::converse;
use crate::sheet::BlockKind;
use crate::span::Span;
pub(super) use joins::joins;
use rustc_hash::FxHashMap;
use sided::{give, words_of};
use std::ops::Range;
use titled::entitle;

/// Most times that such a thing is told; a document with more tells of many tests.
const MOST: usize = 8;
/// The same of metals, of which much is said by the way.
const METALS: usize = 24;
/// Sentences between what is told of the one side and of the other.
const REACH: usize = 24;
/// Lengths and areas nearer than this are one.
const ALIKE: f64 = 1.12;
/// Most values of one test.
const GROUPS: usize = 4;

/// One thing that is told of one side.
#[derive(Debug, Clone)]
struct Telling {
    span: Span,
    sentence: usize,
    value: Value,
    side: Vec<Key>,
    named: Span,
}

#[derive(Debug, Clone, Copy)]
enum Value {
    Number(f64, usize),
    Metal(&'static str),
}

impl Value {
    fn same(self, other: Self) -> bool {
        match (self, other) {
            (Self::Number(a, _), Self::Number(b, _)) => (a / b).max(b / a) < ALIKE,
            (Self::Metal(a), Self::Metal(b)) => a == b,
            _ => false,
        }
    }
}

/// What has been looked up of sentences.
type Known = FxHashMap<usize, Vec<Term>>;

/// Reads them.
pub(super) fn read(
    reader: &Reader<'_>,
    anchors: &[Anchor],
    varied: &[Subject],
    found: &mut Vec<Contrast>,
) {
    let all = 0..reader.sheet.sentences.len();
    let set = compared(reader) || (heard(reader) && cause(reader, all.clone()).is_some());
    read_within(reader, (anchors, varied, set), &all, found);
    // "Room 214 …", "Round two …": a paragraph may tell of a test of its own.
    for block in &reader.sheet.blocks {
        if matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item) {
            read_within(reader, (anchors, varied, set), &block.sentences(), found);
        }
    }
}

/// Reads those of one stretch of sentences. `set`: whether cables were set side by side at all.
fn read_within(
    reader: &Reader<'_>,
    (anchors, varied, set): (&[Anchor], &[Subject], bool),
    range: &Range<usize>,
    found: &mut Vec<Contrast>,
) {
    let mut terms: Known = FxHashMap::default();
    for of in [Trait::Length, Trait::Size] {
        if declared(varied, of) || known(found, of) {
            continue;
        }
        let Some(told) = figures(reader, of, range) else {
            continue;
        };
        let first = told[0].value;
        let values = told.iter().filter(|telling| !telling.value.same(first));
        let mut values = values.map(|telling| telling.value);
        let several = values
            .next()
            .is_some_and(|second| values.any(|value| !value.same(second)));
        if let Some([one, other]) = two(reader, told, anchors, &mut terms) {
            // What stands behind the outcome of a test that it was no part of is told of another.
            let untold = [&one, &other]
                .iter()
                .any(|telling| telling.side.contains(&Key::Untold));
            let [first, last] = [
                one.sentence.min(other.sentence),
                one.sentence.max(other.sentence),
            ];
            let block = |at: usize| reader.sheet.sentences[at].block();
            let credited = |at: usize| block(at) < block(last) && credits(reader, at);
            // The size that is told behind it may be that of a side that was named before; a length there may be that of a reel.
            let named = untold
                && of == Trait::Size
                && named_before(reader, [&one, &other], anchors, &mut terms);
            let early = !named && (first..last).any(credited);
            if untold && (early || there_and_back(one.value, other.value)) {
                continue;
            }
            // Sizes that stand under titles may be those of a range.
            let ranged = only_titled(&one, &other) || several;
            if of == Trait::Size && ranged && !(tested(reader) && heard(reader)) {
                continue;
            }
            let told = set || (of == Trait::Length && apart(&one.side, &other.side));
            if !told {
                continue;
            }
            let liked = |reader: &Reader<'_>, terms: &mut Known| {
                liked(reader, [&one, &other], anchors, terms).filter(|_| of == Trait::Length)
            };
            let outcome = outcome(reader, &one, &other, Some(of), range);
            let behind =
                |span: &Span| !untold || named || sentence_at(reader.sheet, span.start()) >= last;
            let outcome = outcome.filter(behind);
            let compared = || compared_last(reader, [&one, &other]).filter(|_| of == Trait::Length);
            let liked = outcome.or_else(|| liked(reader, &mut terms));
            let Some(outcome) = liked.or_else(compared) else {
                continue;
            };
            let value = |telling: &Telling| match telling.value {
                Value::Number(si, index) => Some(fact(si, telling.span, index)),
                Value::Metal(_) => None,
            };
            if let (Some(a), Some(b)) = (value(&one), value(&other)) {
                let joined = joined(reader, [&one, &other], outcome, anchors, &mut terms);
                found.push(contrast(
                    Apart::Values(of, [a, b]),
                    &one,
                    &other,
                    outcome,
                    joined,
                ));
            }
        }
    }
    let metal = found
        .iter()
        .any(|known| matches!(known.of, Apart::Metals(_)));
    if metal || varied.contains(&Subject::Metal) {
        return;
    }
    if !set {
        return;
    }
    let Some(told) = metals(reader, range) else {
        return;
    };
    if let Some([one, other]) = two(reader, told, anchors, &mut terms)
        && (!only_titled(&one, &other) || heard(reader))
        && let (Value::Metal(a), Value::Metal(b)) = (one.value, other.value)
        && let Some(outcome) = outcome(reader, &one, &other, None, range)
    {
        let metals = [Fact::new(a, one.span), Fact::new(b, other.span)];
        let joined = joined(reader, [&one, &other], outcome, anchors, &mut terms);
        found.push(contrast(
            Apart::Metals(metals),
            &one,
            &other,
            outcome,
            joined,
        ));
    }
}

fn contrast(of: Apart, one: &Telling, other: &Telling, outcome: Span, joined: bool) -> Contrast {
    Contrast {
        of,
        sides: [one.named, other.named],
        outcome: Some(outcome),
        joined,
    }
}

/// Whether what is told between the sides and the outcome goes on to speak of them.
fn joined(
    reader: &Reader<'_>,
    sides: [&Telling; 2],
    outcome: Span,
    anchors: &[Anchor],
    known: &mut Known,
) -> bool {
    /// Sentences in which neither is named.
    const SILENT: usize = 7;
    let last = sides[0].sentence.max(sides[1].sentence);
    let mut silent = 0;
    (last + 1..=sentence_at(reader.sheet, outcome.start())).all(|at| {
        let named = names(words_of(reader, at, anchors, known), sides);
        silent = if named { 0 } else { silent + 1 };
        silent <= SILENT
    })
}

/// What is said to have made the difference, once both sides are told of or shortly before.
fn outcome(
    reader: &Reader<'_>,
    one: &Telling,
    other: &Telling,
    of: Option<Trait>,
    range: &Range<usize>,
) -> Option<Span> {
    let first = one.sentence.min(other.sentence);
    let last = one.sentence.max(other.sentence);
    let ahead = first.saturating_sub(REACH)..last;
    let outcome = reason(reader, last).or_else(|| cause(reader, ahead).map(|found| found.span))?;
    let at = sentence_at(reader.sheet, outcome.start());
    // What is credited to the size, the length or the metal itself.
    let own = match of {
        Some(of) => credits_itself(reader, at, of),
        None => credits_metal(reader, at),
    };
    (!own && range.contains(&at) && reader.facts.setup.one_voice(last, at)).then_some(outcome)
}

/// What came of a comparison of the cables that both lengths are told of, soon after.
fn compared_last(reader: &Reader<'_>, sides: [&Telling; 2]) -> Option<Span> {
    /// Sentences between them.
    const BEHIND: usize = 12;
    let last = sides[0].sentence.max(sides[1].sentence);
    reader.facts.comparisons.iter().find_map(|comparison| {
        let of = |side: &Telling| {
            let mut cables = comparison.sides.iter();
            cables.any(|cable| side.side.contains(&Key::Entry(cable.cable)))
        };
        let span = comparison.outcome.as_ref()?.span;
        let at = sentence_at(reader.sheet, span.start());
        let told = (last..last + BEHIND).contains(&at) && comparison.sides.len() == 2;
        (told && !comparison.null && sides.iter().all(|side| of(side))).then_some(span)
    })
}

/// A plain preference for one of the sides soon after both are told of.
fn liked(
    reader: &Reader<'_>,
    sides: [&Telling; 2],
    anchors: &[Anchor],
    known: &mut Known,
) -> Option<Span> {
    /// Sentences between them.
    const BEHIND: usize = 12;
    let last = sides[0].sentence.max(sides[1].sentence);
    reader.facts.setup.preferred.iter().copied().find(|span| {
        let at = sentence_at(reader.sheet, span.start());
        (last..last + BEHIND).contains(&at)
            && reader.hits.say(at, reader.terms.strong)
            && !reader.hits.say(at, reader.terms.report)
            && !reader.hits.say(at, reader.terms.conditional)
            && names(words_of(reader, at, anchors, known), sides)
    })
}

/// Whether of two sides, of which one is known by no words, the other is told of last and by a name that stands before the first.
fn named_before(
    reader: &Reader<'_>,
    sides: [&Telling; 2],
    anchors: &[Anchor],
    known: &mut Known,
) -> bool {
    let untold = |telling: &&Telling| telling.side.contains(&Key::Untold);
    let (silent, told) = match sides {
        [one, other] if untold(&one) => (one, other),
        [one, other] => (other, one),
    };
    told.sentence > silent.sentence
        && (silent.sentence + 1..told.sentence).any(|at| {
            let terms = words_of(reader, at, anchors, known);
            let entry = |key: &Key| matches!(key, Key::Entry(_)) && told.side.contains(key);
            terms.iter().any(|term| term.keys.iter().any(entry))
        })
}

/// Whether words of a sentence mean one of the sides.
fn names(terms: &[Term], sides: [&Telling; 2]) -> bool {
    let own = |key: &Key| sides.iter().any(|side| side.side.contains(key));
    terms.iter().any(|term| term.keys.iter().any(own))
}

/// The lengths or sizes that running text tells; nothing where one of them may be that of all, or where they are many.
fn figures(reader: &Reader<'_>, of: Trait, range: &Range<usize>) -> Option<Vec<Telling>> {
    let terms = &reader.terms;
    let role = if of == Trait::Length {
        Role::Run
    } else {
        Role::Size
    };
    let held = if of == Trait::Length {
        terms.subject_length
    } else {
        terms.subject_size
    };
    let mut found = Vec::new();
    let all = range.clone().flat_map(|at| reader.in_sentence(at));
    for index in all.filter(|&index| reader.roles[index] == role) {
        let quantity = &reader.sheet.quantities[index];
        let sentence = reader.sentence_of(index);
        let asked = reader.hits.say(sentence, terms.ask_whether);
        if offered(reader, quantity.span) || supposed(reader, index) || asked {
            continue;
        }
        let said = |concept| reader.hits.say(sentence, concept);
        if !running(reader, sentence)
            || reader.endless(sentence)
            || of_all(reader, index)
            || (of == Trait::Size && said(terms.size_scale))
            || (of == Trait::Size
                && joins(reader, sentence)
                && reader.joined_count(index).is_none())
            || said(terms.sold)
            || found.len() == MOST
        {
            return None;
        }
        let area = || reader.size(index).filter(|size| !size.loose);
        let si = if of == Trait::Length {
            quantity.si()?
        } else {
            let many = joins(reader, sentence).then(|| reader.joined_count(index));
            area()?.area.0 * f64::from(many.flatten().unwrap_or(1))
        };
        found.push(Telling {
            span: quantity.span,
            sentence,
            value: Value::Number(si, index),
            side: Vec::new(),
            named: quantity.span,
        });
    }
    (found.len() >= 2 && !held_alike(reader, held, range)).then_some(found)
}

/// Whether a figure is said to be that of all: “both were 3 m”, and not “3 m each side”.
pub(super) fn of_all(reader: &Reader<'_>, index: usize) -> bool {
    /// Bytes between the figure and the words.
    const NEAR: usize = 40;
    let terms = &reader.terms;
    let sentence = reader.sentence_of(index);
    let span = reader.sheet.quantities[index].span;
    let around = reader.around(sentence, span);
    around.nearest(terms.both).is_some_and(|(apart, words)| {
        let split =
            words.start() >= span.end() && words.of(reader.text()).eq_ignore_ascii_case("each");
        // "All 25 m of it."
        let behind = reader.text().get(span.end()..).unwrap_or("");
        let whole = words.end() <= span.start()
            && words.of(reader.text()).eq_ignore_ascii_case("all")
            && [" of it", " of that", " of this"]
                .iter()
                .any(|rest| behind.starts_with(rest));
        apart <= NEAR
            && !split
            && !whole
            && !reader
                .hits
                .saying(sentence, terms.both_not)
                .any(|hit| hit.span.overlaps(words))
    })
}

/// The metals of conductors that running text tells.
fn metals(reader: &Reader<'_>, range: &Range<usize>) -> Option<Vec<Telling>> {
    let mut found = Vec::new();
    let metals = reader.terms.metals();
    for sentence in range.clone() {
        // Most sentences name no metal.
        if reader.hits.saying_any(sentence, &metals).next().is_none()
            || !running(reader, sentence)
            || reader.endless(sentence)
        {
            continue;
        }
        for (at, hit) in reader.hits.of(sentence).iter().enumerate() {
            if !metals.contains(&hit.concept) {
                continue;
            }
            let Some((key, plating)) = reader.metal_named(sentence, at) else {
                continue;
            };
            if plating || key == "tin" || key == "gold" {
                continue;
            }
            if found.len() == METALS {
                return None;
            }
            found.push(Telling {
                span: hit.span,
                sentence,
                value: Value::Metal(key),
                side: Vec::new(),
                named: hit.span,
            });
        }
    }
    let held = reader.terms.subject_metal;
    (found.len() >= 2 && !held_alike(reader, held, range)).then_some(found)
}

/// Whether words stand in a use that is offered.
pub(super) fn offered(reader: &Reader<'_>, span: Span) -> bool {
    let mut uses = reader.facts.cables.iter().flat_map(|cable| &cable.uses);
    uses.any(|offered| offered.span.contains(span))
}

/// One telling for each of two sides, where there are two values and each is certainly of another side.
fn two(
    reader: &Reader<'_>,
    mut told: Vec<Telling>,
    anchors: &[Anchor],
    known: &mut Known,
) -> Option<[Telling; 2]> {
    let first = told.first()?.value;
    if told.iter().all(|telling| telling.value.same(first)) {
        return None;
    }
    for telling in &mut told {
        give(reader, telling, anchors, known);
    }
    entitle(reader, &mut told);
    let untold: Vec<Telling> = told
        .iter()
        .filter(|telling| telling.side.is_empty())
        .cloned()
        .collect();
    let nobodys: Vec<Value> = untold.iter().map(|telling| telling.value).collect();
    told.retain(|telling| !telling.side.is_empty());
    if told.iter().any(|telling| telling.side.contains(&Key::All)) {
        return None;
    }
    let mut groups: Vec<Vec<Telling>> = Vec::new();
    for telling in told {
        let known = groups
            .iter()
            .position(|group| group[0].value.same(telling.value));
        match known {
            Some(place) => groups[place].push(telling),
            None if groups.len() == GROUPS => return None,
            None => groups.push(vec![telling]),
        }
    }
    // "It is 12 AWG … My own wire is 14 AWG": of two values the one that stands beside no words for a side is that of the other.
    let silent = untold.first().filter(|first| {
        groups.len() == 1
            && groups[0]
                .iter()
                .all(|telling| telling.sentence != first.sentence)
            && untold.iter().all(|telling| telling.value.same(first.value))
    });
    if let Some(silent) = silent {
        let mut telling = silent.clone();
        telling.side = vec![Key::Untold];
        groups.push(vec![telling]);
    }
    // Of a third, or of another matter.
    let third = |value: &Value| !groups.iter().any(|group| value.same(group[0].value));
    if groups.len() < 2 || nobodys.iter().any(third) {
        return None;
    }
    let words: Vec<Term> = known.values().flatten().cloned().collect();
    let metals = reader.terms.lists.gear_metal;
    let sides: Vec<Vec<Key>> = groups
        .iter()
        .map(|tellings| {
            let all = tellings
                .iter()
                .flat_map(|telling| telling.side.iter().cloned());
            closed(metals, &all.collect::<Vec<_>>(), &words)
        })
        .collect();
    let titled = |keys: &[Key]| keys.iter().any(|key| matches!(key, Key::Titled(_)));
    let no_side = |keys: &[Key]| {
        keys.iter().all(|key| match key {
            Key::Entry(entry) => placed(reader, *entry) || sized(reader, *entry),
            Key::Titled(_) => !sides.iter().all(|keys| titled(keys)),
            _ => false,
        })
    };
    for (place, side) in sides.iter().enumerate() {
        let shared = sides[place + 1..]
            .iter()
            .any(|other| side.iter().any(|key| other.contains(key)));
        if shared || no_side(side) {
            return None;
        }
    }
    let nearest = groups[0]
        .iter()
        .flat_map(|one| groups[1..].iter().flatten().map(move |other| (one, other)))
        .min_by_key(|(one, other)| one.sentence.abs_diff(other.sentence))?;
    let (one, other) = nearest;
    let told = one.sentence.abs_diff(other.sentence) <= REACH && one_test(reader, one, other);
    told.then(|| [one.clone(), other.clone()])
}

/// Whether a side is known by nothing but the title that it stands under.
fn only_titled(one: &Telling, other: &Telling) -> bool {
    let titled = |telling: &Telling| {
        let mut keys = telling.side.iter();
        keys.all(|key| matches!(key, Key::Titled(_)))
    };
    titled(one) || titled(other)
}

/// Whether somebody says what he liked better, or a score is told.
fn tested(reader: &Reader<'_>) -> bool {
    let setup = &reader.facts.setup;
    let liked = |span: &Span| {
        let at = sentence_at(reader.sheet, span.start());
        reader.hits.say(at, reader.terms.strong)
    };
    !setup.scores.is_empty() || setup.preferred.iter().any(liked)
}

/// Whether the document tells of a test, and not of goods alone.
fn heard(reader: &Reader<'_>) -> bool {
    reader.hits.anywhere(reader.terms.listened)
}

/// Whether cables were set side by side at all, and not only described.
fn compared(reader: &Reader<'_>) -> bool {
    reader.comparative || !reader.facts.comparisons.is_empty() || tested(reader)
}

/// Whether an entry goes by a size, as those of a chart do.
pub(super) fn sized(reader: &Reader<'_>, entry: usize) -> bool {
    let name = reader.facts.cables.get(entry).map(|cable| &cable.name);
    name.is_some_and(|name| name.trim().starts_with(|sign: char| sign.is_ascii_digit()))
}

/// Whether one voice tells of two sides, under one heading or each under its own.
fn one_test(reader: &Reader<'_>, one: &Telling, other: &Telling) -> bool {
    let own = |telling: &Telling| telling.side.iter().any(|key| matches!(key, Key::Titled(_)));
    let own = own(one) && own(other);
    let (one, other) = (one.sentence, other.sentence);
    let block = |at: usize| reader.sheet.sentences[at].block();
    let (first, last) = (block(one.min(other)), block(one.max(other)));
    let heads = (first + 1..=last)
        .filter(|_| !own)
        .any(|at| matches!(reader.sheet.blocks[at].kind(), BlockKind::Heading { .. }));
    !heads && converse(reader, first, last) && reader.facts.setup.one_voice(one, other)
}

/// Whether one voice tells of two things under one heading.
pub(super) fn same_test(reader: &Reader<'_>, one: usize, other: usize) -> bool {
    let block = |at: usize| reader.sheet.sentences[at].block();
    let (first, last) = (block(one.min(other)), block(one.max(other)));
    let heads = (first + 1..=last)
        .any(|at| matches!(reader.sheet.blocks[at].kind(), BlockKind::Heading { .. }));
    !heads && converse(reader, first, last) && reader.facts.setup.one_voice(one, other)
}

/// Whether one of two values is twice the other, as the whole of a line is of its length.
fn there_and_back(one: Value, other: Value) -> bool {
    match (one, other) {
        (Value::Number(a, _), Value::Number(b, _)) => {
            ((a / b).max(b / a) - 2.0).abs() < ALIKE - 1.0
        }
        _ => false,
    }
}

/// Whether a sentence is running text.
fn running(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    !matches!(
        block.kind(),
        BlockKind::Cell { .. } | BlockKind::Heading { .. }
    )
}
