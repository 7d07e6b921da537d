//! Both sides in one sentence: “We compared a plain 20 AWG cable with our Aurelian, which is 12 AWG.” The verb sets two things side by
//! side, and the value ahead of the word between them is of the one, the value behind it of the other.

use super::cause;
use super::contrast::{declared, known, reason};
use super::credit::credits_itself;
use super::twice::offered;
use crate::facts::read::{Reader, fact};
use crate::facts::roles::Role;
use crate::facts::types::{Apart, Contrast, Subject, Trait};
use crate::sheet::BlockKind;
use crate::span::Span;

/// Sentences behind it in which the difference is put down to something.
const REACH: usize = 6;
/// Most sentences of a document that is looked through, and most of them that set two things side by side.
const LONG: usize = 2_000;
const MOST: usize = 32;
/// Most bytes of such a sentence.
const LONGEST: usize = 400;

/// Reads them.
pub(super) fn read(reader: &Reader<'_>, varied: &[Subject], found: &mut Vec<Contrast>) {
    let all = reader.sheet.sentences.len();
    if all > LONG {
        return;
    }
    let set = (0..all).filter_map(|at| Some((at, between(reader, at)?)));
    for (at, between) in set.take(MOST) {
        let behind = at..all.min(at + REACH);
        let told = reason(reader, at).or_else(|| cause(reader, behind).map(|found| found.span));
        let Some(outcome) = told else { continue };
        for (of, role) in [(Trait::Size, Role::Size), (Trait::Length, Role::Run)] {
            if declared(varied, of) || known(found, of) {
                continue;
            }
            let credited = crate::facts::read::sentence_at(reader.sheet, outcome.start());
            if credits_itself(reader, credited, of) {
                continue;
            }
            let Some([one, other]) = sides(reader, at, between, role) else {
                continue;
            };
            let value = |index: usize| {
                let quantity = &reader.sheet.quantities[index];
                Some(fact(quantity.si()?, quantity.span, index))
            };
            if let (Some(a), Some(b)) = (value(one), value(other)) {
                found.push(Contrast {
                    of: Apart::Values(of, [a, b]),
                    sides: [a.span, b.span],
                    outcome: Some(outcome),
                    joined: true,
                });
            }
        }
    }
}

/// The word between the two sides of a sentence that sets them side by side.
fn between(reader: &Reader<'_>, at: usize) -> Option<Span> {
    let lists = reader.terms.lists;
    let sentence = reader.sheet.sentences.get(at)?;
    let kind = reader.sheet.blocks.get(sentence.block())?.kind();
    let text = sentence.span.of(reader.text());
    if !matches!(kind, BlockKind::Paragraph | BlockKind::Item)
        || text.len() > LONGEST
        || text.trim_end().ends_with('?')
        || offered(reader, sentence.span)
    {
        return None;
    }
    // “Tried it with a sub” sets nothing beside it, “compared it with the old one” does.
    let (mut set, mut compared) = (false, false);
    let mut start = sentence.span.start();
    for word in text.split_inclusive(|sign: char| !sign.is_alphanumeric()) {
        let bare = word.trim_end_matches(|sign: char| !sign.is_alphanumeric());
        let lower = bare.to_lowercase();
        if set && lists.breath_between.has(&lower) || compared && lists.breath_with.has(&lower) {
            return Some(Span::new(start, start + bare.len()));
        }
        compared |= lists.breath_compared.has(&lower);
        set |= compared || lists.breath_set.has(&lower);
        start += word.len();
    }
    None
}

/// The one value of a kind on each side of a word, where the sentence and the document have no other of that kind.
fn sides(reader: &Reader<'_>, at: usize, between: Span, role: Role) -> Option<[usize; 2]> {
    let terms = &reader.terms;
    if [terms.parallel, terms.bundle_join]
        .iter()
        .any(|&joined| reader.hits.say(at, joined))
    {
        return None;
    }
    let own: Vec<usize> = reader
        .in_sentence(at)
        .filter(|&index| reader.roles[index] == role)
        .collect();
    let [one, other] = own[..] else { return None };
    let span = |index: usize| reader.sheet.quantities[index].span;
    let value = |index: usize| reader.sheet.quantities[index].si();
    let all = (0..reader.roles.len()).filter(|&index| reader.roles[index] == role);
    let known = [value(one), value(other)];
    let alone = all.into_iter().all(|index| known.contains(&value(index)));
    (alone && span(one).end() <= between.start() && span(other).start() >= between.end())
        .then_some([one, other])
}
