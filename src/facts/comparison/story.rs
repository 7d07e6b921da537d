//! A test that is told as a story: each side is introduced once, with the place, the owner or the turn that it goes by afterwards,
//! and its length, its load or its amplifier is told later of whatever it goes by: “in the parlour hung the Weave … the room at the
//! back got the shelf boxes, which are 8 ohms”. What words mean a side stands in `words`. Where two readings compete, or where a
//! third value is told, nothing is read.

mod words;

use super::anchors::{Anchor, Kind};
use super::cause;
use super::contrast::{declared, is_trait, known, outcome, reason};
use super::credit::{credits_itself, credits_metal};
use super::gear::given::{Key, Term, side_ahead};
use super::held::held_alike;
use super::sides::{is_lamp_power, supposed, valved};
use super::twice::{joins, of_all, offered, same_test};
use crate::facts::procedure;
use crate::facts::read::{Reader, clause_at, fact, sentence_at};
use crate::facts::roles::Role;
use crate::facts::types::{Apart, Contrast, Fact, Subject, Trait};
use crate::facts::voices::questioned;
use crate::sheet::BlockKind;
use crate::span::Span;
use std::ops::Range;
use words::{Words, opposed, placing, settled, two_made};

/// Most sentences of a story.
const LONGEST: usize = 400;
/// Most times that such a thing is told.
const MOST: usize = 8;
/// Sentences between what is told of the one side and of the other.
const REACH: usize = 30;
/// Values nearer than this are one, rounded.
const ALIKE: f64 = 1.05;
/// Areas nearer than this may be one in another notation.
const EQUIVALENT: f64 = 1.4;

/// What is told of both sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Amount(Trait),
    Metal,
}

/// What one side has.
#[derive(Debug, Clone)]
struct Told {
    sentence: usize,
    value: Fact<f64>,
    /// The metal, where that is what is told.
    metal: Option<&'static str>,
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
    if all.len() > LONGEST || !judged(reader) {
        return;
    }
    let traits = [
        Trait::Size,
        Trait::Length,
        Trait::Load,
        Trait::Lamp,
        Trait::Power,
        Trait::Voltage,
    ];
    let words = Words::read(reader, anchors);
    for range in stretches(reader) {
        for of in traits {
            if declared(varied, of) || known(found, of) || words.shared(of, &range) {
                continue;
            }
            let Some(indices) = amounts(reader, of, &range) else {
                continue;
            };
            let told: Option<Vec<Told>> = indices
                .iter()
                .map(|&index| telling(reader, &words, index))
                .collect();
            let Some(mut told) = told else { continue };
            told.extend(bare(reader, &words, of, &told));
            found.extend(unequal(reader, &words, Of::Amount(of), &told, &range));
        }
        let metal = found.iter().any(|one| matches!(one.of, Apart::Metals(_)));
        if !metal && !varied.contains(&Subject::Metal) {
            let told = metals(reader, &words, &range).unwrap_or_default();
            found.extend(unequal(reader, &words, Of::Metal, &told, &range));
        }
    }
}

/// The whole of a document, else what stands under one heading or in one paragraph: it may tell of several tests.
fn stretches(reader: &Reader<'_>) -> Vec<Range<usize>> {
    let blocks = &reader.sheet.blocks;
    let end = reader.sheet.sentences.len();
    let mut heads: Vec<usize> = blocks
        .iter()
        .filter(|block| matches!(block.kind(), BlockKind::Heading { .. }))
        .map(|block| block.sentences().start)
        .collect();
    heads.push(end);
    let sections = heads.windows(2).map(|pair| pair[0]..pair[1]);
    let told = blocks
        .iter()
        .filter(|block| matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item));
    std::iter::once(0..end)
        .chain(sections)
        .chain(told.map(|block| block.sentences()))
        .filter(|range| !range.is_empty())
        .collect()
}

/// The amounts of a kind that running text tells of the test, where they may well be of two sides.
fn amounts(reader: &Reader<'_>, of: Trait, range: &Range<usize>) -> Option<Vec<usize>> {
    let terms = &reader.terms;
    let mut found = Vec::new();
    for index in range.clone().flat_map(|at| reader.in_sentence(at)) {
        let sentence = reader.sentence_of(index);
        if !(is_trait(reader, index, of) || of == Trait::Power && powers(reader, index)) {
            continue;
        }
        if !running(reader, sentence) || reader.endless(sentence) {
            return None;
        }
        let counted = of != Trait::Length && counted(reader, index);
        let sized = of != Trait::Size || sized(reader, index).is_some();
        if !sized {
            return None;
        }
        if of_all(reader, index) && !counted || found.len() == MOST {
            return None;
        }
        if !matches!(of, Trait::Length | Trait::Size) && fitting(reader, sentence) {
            continue;
        }
        // An offer or a question tells of no side.
        let span = reader.sheet.quantities[index].span;
        if reader.hits.say(sentence, terms.sold)
            || offered(reader, span) && !past(reader, sentence)
            || supposed(reader, index)
        {
            continue;
        }
        found.push(index);
    }
    let held = match of {
        Trait::Length => held_alike(reader, terms.subject_length, range),
        Trait::Size => held_alike(reader, terms.subject_size, range),
        _ => false,
    };
    (!found.is_empty() && !held).then_some(found)
}

/// Whether something came out better, or is said to have made a difference.
fn judged(reader: &Reader<'_>) -> bool {
    let facts = &reader.facts;
    !facts.comparisons.is_empty()
        || !facts.setup.preferred.is_empty()
        || !facts.setup.scores.is_empty()
        || cause(reader, 0..reader.sheet.sentences.len()).is_some()
}

/// “A hundred and fifty watts a side”, “the twelve-watt thing”: a power of an amplifier that is called by no noun for one.
fn powers(reader: &Reader<'_>, index: usize) -> bool {
    if reader.roles[index] != Role::Power || is_lamp_power(reader, index) {
        return false;
    }
    let end = reader.sheet.quantities[index].span.end();
    let behind = reader.text().get(end..).unwrap_or("").trim_start();
    let lower = behind.get(..behind.len().min(16)).map(str::to_lowercase);
    let behind = lower.as_deref().unwrap_or("");
    if valved(reader, reader.sentence_of(index)) {
        return true;
    }
    let first = behind
        .split(|letter: char| !letter.is_alphabetic())
        .next()
        .unwrap_or("");
    reader.terms.lists.story_each.begins(behind) || reader.terms.lists.gear_stand_in.has(first)
}

/// The area of a size that is that of one conductor, and of all that carry the current.
fn sized(reader: &Reader<'_>, index: usize) -> Option<f64> {
    let sentence = reader.sentence_of(index);
    if reader.hits.say(sentence, reader.terms.size_scale) || joins(reader, sentence) {
        return None;
    }
    let size = reader.size(index).filter(|size| !size.loose)?;
    Some(size.area.0)
}

/// “It is at its best with a valve amplifier”, “it comes with a receiver”: what goes with a cable, and is told of no test.
fn fitting(reader: &Reader<'_>, sentence: usize) -> bool {
    let lists = reader.terms.lists;
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    let words: Vec<String> = words
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.iter().any(|word| lists.story_fitting.has(word))
        || words
            .windows(2)
            .any(|pair| pair[1] == "with" && lists.gear_sold.has(&pair[0]))
}

/// “With the two 200 W monoblocks”, “all hundred watts of it”: the word before an amount counts the gear and not the sides.
fn counted(reader: &Reader<'_>, index: usize) -> bool {
    let span = reader.sheet.quantities[index].span;
    let ahead = reader.ahead(reader.sentence_of(index), span, 8);
    let last = ahead.split_whitespace().next_back();
    last == Some("two") || last == Some("all")
}

/// Whether a sentence tells of what was: then it offers no use.
fn past(reader: &Reader<'_>, sentence: usize) -> bool {
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    let past = reader.terms.lists.story_past;
    let mut words = words.split(|letter: char| !letter.is_alphabetic());
    words.any(|word| past.has(&word.to_lowercase()))
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
        value: fact(
            if reader.roles[index] == Role::Size {
                sized(reader, index)?
            } else {
                quantity.si()?
            },
            quantity.span,
            index,
        ),
        metal: None,
        named: if side.is_empty() {
            quantity.span
        } else {
            named
        },
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
    // "The braid on the 120 W pair and the club lead on the little 30 W set": what stands behind the first amount.
    let kind = |index: usize| reader.sheet.quantities[index].kind;
    let own = |index: usize| reader.sheet.quantities[index].span;
    let of = reader
        .in_sentence(sentence)
        .find(|&index| own(index) == amount);
    let earlier = of.and_then(|of| {
        reader
            .in_sentence(sentence)
            .filter(|&index| kind(index) == kind(of) && own(index).end() <= amount.start())
            .map(|index| own(index).end())
            .max()
    });
    let behind: Vec<&Term> = ahead
        .iter()
        .copied()
        .filter(|term| earlier.is_some_and(|end| term.span.start() >= end))
        .collect();
    if !behind.is_empty() {
        return side_ahead(text, &behind);
    }
    if !ahead.is_empty() {
        return side_ahead(text, &ahead);
    }
    // "The columns, 4 Ω, stayed by the front window."
    if let [term] = terms
        && placing(&term.keys)
        && {
            let ahead = reader.ahead(sentence, term.span, 12);
            let before = ahead
                .trim_end()
                .trim_end_matches(" the")
                .split(' ')
                .next_back();
            before.is_some_and(|word| ["in", "at", "on", "by", "to"].contains(&word))
        }
    {
        return (term.keys.clone(), term.span);
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
    if !matches!(of, Trait::Length | Trait::Power | Trait::Load) || told.len() > 2 {
        return Vec::new();
    }
    let Some(unit) =
        last.value
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
                metal: None,
                side,
                named,
            })
        })
        .take(1)
        .collect()
}

/// Two values of which each is certainly that of another side.
fn unequal(
    reader: &Reader<'_>,
    words: &Words,
    of: Of,
    told: &[Told],
    range: &Range<usize>,
) -> Option<Contrast> {
    let same = |one: &Told, other: &Told| {
        let (a, b) = (one.value.value, other.value.value);
        // Sizes nearer than two gauges may be usual equivalents.
        let alike = if of == Of::Amount(Trait::Size) {
            EQUIVALENT
        } else {
            ALIKE
        };
        one.metal == other.metal && (a / b).max(b / a) < alike
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
    // "The braid on the 120 W pair and the club lead on the 30 W set."
    let beside = first.sentence == second.sentence && two_made(&one, &other);
    if !(opposed(&one, &other) || beside) || !words.cables(reader, &one, &other) {
        return None;
    }
    // What each of two people has at home is unlike in any case.
    let homes = |side: &[Key]| {
        side.iter().all(|key| {
            matches!(
                key,
                Key::Owned(_) | Key::Place(_) | Key::Anchor(Kind::Owner, _)
            )
        })
    };
    // "Mine is a receiver. His is a power amplifier": what is owned has to be a cable as well.
    let gear = !matches!(of, Of::Metal | Of::Amount(Trait::Length | Trait::Size));
    let owned = |side: &[Key], tellings: &[&Told]| {
        let told: Vec<usize> = tellings.iter().map(|one| one.sentence).collect();
        !gear || !homes(side) || words.heard(reader, side, &told)
    };
    if !owned(&one, &firsts) || !owned(&other, &others) {
        return None;
    }
    let (from, to) = (
        first.sentence.min(second.sentence),
        first.sentence.max(second.sentence),
    );
    // Judged before the second was told of: two tests, each of its own.
    let block = |at: usize| reader.sheet.sentences[at].block();
    let judged = block(from) != block(to)
        && reader.facts.setup.preferred.iter().any(|liked| {
            let at = sentence_at(reader.sheet, liked.start());
            let length = of == Of::Amount(Trait::Length);
            from <= at && at < to && (length || reader.hits.say(at, reader.terms.strong))
        });
    if judged || to - from > REACH || !same_test(reader, from, to) {
        return None;
    }
    let caused = reason(reader, to).or_else(|| {
        let found = cause(reader, from.saturating_sub(REACH)..to);
        found.map(|found| found.span)
    });
    // Those who like it better may well like it for its size or its metal.
    let plain = !matches!(of, Of::Metal | Of::Amount(Trait::Size));
    // "One run goes to the choir, the other to the gallery": words that set any two things apart need somebody who says what did it.
    let called = one.iter().chain(&other).any(|key| {
        matches!(
            key,
            Key::Entry(_) | Key::Made(_) | Key::Called(_) | Key::Usual
        )
    });
    let plain = plain && called && !homes(&one) && !homes(&other);
    let liked = || outcome(reader, to).filter(|_| plain);
    let outcome = caused.or_else(liked)?;
    let at = sentence_at(reader.sheet, outcome.start());
    let own = match of {
        Of::Amount(of) => credits_itself(reader, at, of),
        Of::Metal => credits_metal(reader, at),
    };
    if !range.contains(&at) || own || !reader.facts.setup.one_voice(to, at) {
        return None;
    }
    let apart = match (of, first.metal, second.metal) {
        (Of::Amount(of), ..) => Apart::Values(of, [first.value, second.value]),
        (Of::Metal, Some(a), Some(b)) => Apart::Metals([first.value.with(a), second.value.with(b)]),
        _ => return None,
    };
    Some(Contrast {
        of: apart,
        sides: [first.named, second.named],
        outcome: Some(outcome),
        joined: false,
    })
}

/// The metals of conductors, with the side that each is told of.
fn metals(reader: &Reader<'_>, words: &Words, range: &Range<usize>) -> Option<Vec<Told>> {
    /// Most times that a metal is named.
    const METALS: usize = 16;
    let mut found = Vec::new();
    for sentence in range.clone() {
        if !running(reader, sentence) || reader.endless(sentence) {
            continue;
        }
        for (at, hit) in reader.hits.of(sentence).iter().enumerate() {
            let Some((key, plating)) = reader.metal_named(sentence, at) else {
                continue;
            };
            if plating || key == "tin" || key == "gold" {
                continue;
            }
            let (side, named) = whose(reader, words, sentence, hit.span);
            if side.contains(&Key::All) || found.len() == METALS {
                return None;
            }
            found.push(Told {
                sentence,
                value: Fact::new(1.0, hit.span),
                metal: Some(key),
                named: if side.is_empty() { hit.span } else { named },
                side,
            });
        }
    }
    (!held_alike(reader, reader.terms.subject_metal, range)).then_some(found)
}

/// Whether a sentence is running text.
fn running(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    !matches!(
        block.kind(),
        BlockKind::Cell { .. } | BlockKind::Heading { .. }
    )
}
