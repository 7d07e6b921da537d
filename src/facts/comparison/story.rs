//! A test that is told as a story: each side is introduced once, with the place, the owner or the turn that it goes by afterwards,
//! and its length, its load or its amplifier is told later of whatever it goes by: “in the parlour hung the Weave … the room at the
//! back got the shelf boxes, which are 8 ohms”. What words mean a side stands in `words`. Where two readings compete, or where a
//! third value is told, nothing is read.

mod words;

use super::anchors::Anchor;
use super::cause;
use super::contrast::{declared, fits, is_trait, known, reason};
use super::gear::given::{Key, Term, side_ahead};
use super::held::held_alike;
use super::twice::{credits_itself, of_all, same_test};
use crate::facts::procedure;
use crate::facts::read::{Reader, clause_at, fact, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::{Apart, Contrast, Fact, Subject, Trait};
use crate::facts::voices::questioned;
use crate::sheet::BlockKind;
use crate::span::Span;
use words::{Words, opposed, settled};

/// Most sentences of a story.
const LONGEST: usize = 400;
/// Most times that such a thing is told.
const MOST: usize = 8;
/// Sentences between what is told of the one side and of the other.
const REACH: usize = 30;
/// Values nearer than this are one, rounded.
const ALIKE: f64 = 1.05;

/// What one side has.
#[derive(Debug, Clone)]
struct Told {
    sentence: usize,
    value: Fact<f64>,
    side: Vec<Key>,
    named: Span,
}

/// What a story tells of the two sides that differs.
pub(super) fn read(
    reader: &Reader<'_>,
    anchors: &[Anchor],
    varied: &[Subject],
    found: &mut Vec<Contrast>,
) {
    let all = 0..reader.sheet.sentences.len();
    if all.len() > LONGEST || cause(reader, all).is_none() {
        return;
    }
    let traits = [
        Trait::Length,
        Trait::Load,
        Trait::Lamp,
        Trait::Power,
        Trait::Voltage,
    ];
    let mut words: Option<Words> = None;
    for of in traits {
        if declared(varied, of) || known(found, of) {
            continue;
        }
        let Some(indices) = amounts(reader, of) else {
            continue;
        };
        let words = words.get_or_insert_with(|| Words::read(reader, anchors));
        if words.shared(of) {
            continue;
        }
        let told: Option<Vec<Told>> = indices
            .iter()
            .map(|&index| telling(reader, words, index))
            .collect();
        let Some(mut told) = told else { continue };
        told.extend(bare(reader, words, of, &told));
        found.extend(unequal(reader, words, of, &told));
    }
}

/// The amounts of a kind that running text tells of the test, where they may well be of two sides.
fn amounts(reader: &Reader<'_>, of: Trait) -> Option<Vec<usize>> {
    let terms = &reader.terms;
    let mut found = Vec::new();
    for index in 0..reader.sheet.quantities.len() {
        let sentence = reader.sentence_of(index);
        if !(is_trait(reader, index, of) || of == Trait::Power && powers(reader, index)) {
            continue;
        }
        if !running(reader, sentence) || reader.endless(sentence) {
            return None;
        }
        if reader.hits.say(sentence, terms.sold) || !fits(reader, index) {
            // An offer or a question tells of no side.
            if of_all(reader, index) {
                return None;
            }
            continue;
        }
        if of_all(reader, index) || found.len() == MOST {
            return None;
        }
        found.push(index);
    }
    let held = of == Trait::Length
        && held_alike(
            reader,
            terms.subject_length,
            &(0..reader.sheet.sentences.len()),
        );
    (!found.is_empty() && !held).then_some(found)
}

/// “A hundred and fifty watts a side”, “the twelve-watt thing”: a power of an amplifier that is called by no noun for one.
fn powers(reader: &Reader<'_>, index: usize) -> bool {
    if reader.roles[index] != Role::Power || reader.hits.anywhere(reader.terms.lamp) {
        return false;
    }
    let end = reader.sheet.quantities[index].span.end();
    let behind = reader.text().get(end..).unwrap_or("").trim_start();
    let lower = behind.get(..behind.len().min(16)).map(str::to_lowercase);
    let behind = lower.as_deref().unwrap_or("");
    let lists = reader.terms.lists;
    // "A nice old valve job, eighteen watts."
    let called = reader.sheet.sentences[reader.sentence_of(index)]
        .span
        .of(reader.text())
        .split(|letter: char| !letter.is_alphabetic())
        .map(str::to_lowercase)
        .any(|word| lists.gear_valve.has(&word) || lists.gear_transistor.has(&word));
    if called {
        return true;
    }
    let first = behind
        .split(|letter: char| !letter.is_alphabetic())
        .next()
        .unwrap_or("");
    ["a side", "per side", "a channel", "per channel", "each side"]
        .iter()
        .any(|words| behind.starts_with(words))
        || reader.terms.lists.gear_stand_in.has(first)
}

/// Whose an amount is; nothing where it may be that of all.
fn telling(reader: &Reader<'_>, words: &Words, index: usize) -> Option<Told> {
    let quantity = &reader.sheet.quantities[index];
    let sentence = reader.sentence_of(index);
    let (side, named) = whose(reader, words, sentence, quantity.span);
    if side.contains(&Key::All) {
        return None;
    }
    Some(Told {
        sentence,
        value: fact(quantity.si()?, quantity.span, index),
        named: if side.is_empty() { quantity.span } else { named },
        side,
    })
}

/// The side that the words around an amount speak of.
fn whose(reader: &Reader<'_>, words: &Words, sentence: usize, amount: Span) -> (Vec<Key>, Span) {
    let nobody = (Vec::new(), Span::default());
    if procedure::asked(reader, sentence) || questioned(reader, sentence) {
        return nobody;
    }
    let text = reader.text();
    let whole = reader.sheet.sentences[sentence].span;
    let terms = words.of(sentence);
    let clause = clause_at(text, whole, amount);
    // "Four metres of the braid", "the 8 ohm boxes for his".
    let behind = terms.iter().find(|term| {
        term.span.start() >= amount.end() && clause.contains(term.span) && {
            let between = text.get(amount.end()..term.span.start()).unwrap_or("");
            let last = between.split_whitespace().next_back().unwrap_or("");
            let last = between
                .trim_end()
                .strip_suffix(" the")
                .and_then(|rest| rest.split_whitespace().next_back())
                .unwrap_or(last);
            ["of", "for", "on", "through"].contains(&last)
                && between.split_whitespace().count() <= 4
                && !between.contains(',')
        }
    });
    if let Some(term) = behind {
        return (term.keys.clone(), term.span);
    }
    let ahead: Vec<&Term> = terms
        .iter()
        .filter(|term| term.span.end() <= amount.start())
        .collect();
    if !ahead.is_empty() {
        return side_ahead(text, &ahead);
    }
    // "Jo came with her 120 W amplifier. On went the plait with it."
    if let Some(term) = words.taken_up(reader, sentence) {
        return (term.keys.clone(), term.span);
    }
    words
        .carried(reader, sentence)
        .map_or(nobody, |term| (term.keys.clone(), term.span))
}

/// “Mine are three”, “the other comes to seven”: a number without a unit, told of a side soon behind an amount of the kind.
fn bare(reader: &Reader<'_>, words: &Words, of: Trait, told: &[Told]) -> Vec<Told> {
    /// Sentences behind the amount that has the unit.
    const BEHIND: usize = 2;
    let [.., last] = told else { return Vec::new() };
    if !matches!(of, Trait::Length | Trait::Power) || told.len() > 2 {
        return Vec::new();
    }
    let Some(unit) = last
        .value
        .quantity()
        .and_then(|index| match reader.sheet.quantities[index].value() {
            crate::sheet::Value::Number(number) => Some(last.value.value / number),
            crate::sheet::Value::Text(_) => None,
        })
    else {
        return Vec::new();
    };
    let block = |at: usize| reader.sheet.sentences[at].block();
    let end = reader.sheet.sentences.len();
    (last.sentence..end.min(last.sentence + BEHIND + 1))
        .take_while(|&at| block(at) == block(last.sentence))
        .filter_map(|at| {
            let (number, span) = words.bare_number(reader, at, last.value.span)?;
            let (side, named) = whose(reader, words, at, span);
            (!side.is_empty() && !side.contains(&Key::All)).then(|| Told {
                sentence: at,
                value: Fact::new(number * unit, span),
                side,
                named,
            })
        })
        .take(1)
        .collect()
}

/// Two values of which each is certainly that of another side.
fn unequal(reader: &Reader<'_>, words: &Words, of: Trait, told: &[Told]) -> Option<Contrast> {
    let same = |one: &Told, other: &Told| {
        let (a, b) = (one.value.value, other.value.value);
        (a / b).max(b / a) < ALIKE
    };
    let first = told.iter().find(|one| !one.side.is_empty())?;
    let (firsts, others): (Vec<&Told>, Vec<&Told>) = told.iter().partition(|one| same(one, first));
    let second = *others.iter().find(|one| !one.side.is_empty())?;
    // A third value is that of a third, or of another matter.
    if !others.iter().all(|one| same(one, second)) {
        return None;
    }
    let whole = |tellings: &[&Told]| {
        let keys: Vec<Key> = tellings.iter().flat_map(|one| one.side.clone()).collect();
        settled(words.closed(&keys))
    };
    let (one, other) = (whole(&firsts)?, whole(&others)?);
    if !opposed(&one, &other) || !words.cables(reader, &one, &other) {
        return None;
    }
    let (from, to) = (
        first.sentence.min(second.sentence),
        first.sentence.max(second.sentence),
    );
    if to - from > REACH || !same_test(reader, from, to) {
        return None;
    }
    let outcome = reason(reader, to).or_else(|| {
        cause(reader, from.saturating_sub(REACH)..to).map(|found| found.span)
    })?;
    let at = sentence_at(reader.sheet, outcome.start());
    if credits_itself(reader, at, of) || !reader.facts.setup.one_voice(to, at) {
        return None;
    }
    Some(Contrast {
        of: Apart::Values(of, [first.value, second.value]),
        sides: [first.named, second.named],
        outcome: Some(outcome),
        joined: false,
    })
}

/// Whether a sentence is running text.
fn running(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    !matches!(
        block.kind(),
        BlockKind::Cell { .. } | BlockKind::Heading { .. }
    )
}
