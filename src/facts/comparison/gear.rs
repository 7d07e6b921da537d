//! The amplifier, the loudspeakers, the lamp or the supply that each side alone was given, told as a story: “the Hexa hung on the
//! valve amplifier, the reference lead on the 90 W transistor one”. That they differ holds whatever the cables are. What is a piece
//! of gear stands in `pieces`, whose it is in `given`.

pub(super) mod given;
pub(super) mod pieces;

use super::anchors::{Anchor, Kind};
use super::contrast::{outcome, reason};
use crate::facts::procedure;
use crate::facts::read::{Owner, Reader, fact, follows, sentence_at};

use crate::facts::types::{Apart, Contrast, Trait};
use crate::lexicon::{Token, lowered, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;
use given::{Key, Term, give, opposed, terms_in};
use pieces::{Family, Piece, elided, pieces_of};

use std::ops::Range;

/// Most pieces of gear of one test; a document with more tells of many things.
const MOST: usize = 64;
/// Sentences between what is told of the one side and of the other.
const REACH: usize = 24;

/// Reads which gear each side had, and notes where it certainly differs.
pub(super) fn read(reader: &Reader<'_>, anchors: &[Anchor], found: &mut Vec<Contrast>) {
    let Some(range) = told(reader) else { return };
    let mut pieces: Vec<Piece> = Vec::new();
    let mut terms_of: Vec<(usize, Vec<Term>)> = Vec::new();
    let mut tokens: Vec<Token> = Vec::new();
    for sentence in range {
        if !running(reader, sentence) || reader.endless(sentence) {
            continue;
        }
        tokenize(
            reader.text(),
            reader.sheet.sentences[sentence].span,
            &mut tokens,
        );
        let words = lowered(reader.text(), &tokens);
        let mut here = pieces_of(reader, sentence, &tokens, &words);
        elided(reader, sentence, &tokens, &words, &pieces, &mut here);
        let gear: Vec<Span> = here.iter().map(|piece| piece.span).collect();
        let terms = terms_in(reader, sentence, &tokens, &words, anchors, &gear);
        for place in 0..here.len() {
            let (earlier, rest) = here.split_at_mut(place);
            if let Some(piece) = rest.first_mut() {
                give(reader, piece, earlier, &terms, &terms_of);
            }
        }
        terms_of.push((sentence, terms));
        pieces.append(&mut here);
        if pieces.len() > MOST {
            return;
        }
    }
    let known: Vec<Term> = terms_of.into_iter().flat_map(|(_, terms)| terms).collect();
    for (family, of) in [
        (Family::Amplifier, Trait::Power),
        (Family::Speaker, Trait::Load),
        (Family::Lamp, Trait::Lamp),
        (Family::Supply, Trait::Voltage),
    ] {
        let own: Vec<&Piece> = pieces
            .iter()
            .filter(|piece| piece.family == family)
            .collect();
        let whole = unequal(reader, of, &own, &known);
        found.extend(whole.or_else(|| by_paragraph(reader, of, &own, &known)));
    }
}

/// The sentences around all that may be gear, where something came out better and gear is told of at least twice.
fn told(reader: &Reader<'_>) -> Option<Range<usize>> {
    /// Sentences with gear of a test that is told as a story.
    const SENTENCES: usize = 200;
    let terms = &reader.terms;
    let facts = &reader.facts;
    let judged = !facts.comparisons.is_empty()
        || !facts.setup.preferred.is_empty()
        || !facts.setup.scores.is_empty()
        || reader.hits.anywhere(terms.attributed)
        || reader.hits.anywhere(terms.credit)
        || super::cause(reader, 0..reader.sheet.sentences.len()).is_some();
    if !judged {
        return None;
    }
    let lists = terms.lists;
    let nouns = [
        lists.gear_amplifier,
        lists.gear_speaker,
        lists.gear_lamp,
        lists.gear_supply,
    ];
    let all = reader.sheet.sentences.len();
    let gear: Vec<usize> = (0..all)
        .filter(|&at| {
            running(reader, at) && nouns.iter().any(|list| reader.hits.may_list(at, *list))
        })
        .take(SENTENCES + 1)
        .collect();
    let (first, last) = (*gear.first()?, *gear.last()?);
    (gear.len() <= SENTENCES).then(|| first.saturating_sub(REACH)..all.min(last + REACH))
}

/// The same where one paragraph tells of a test from the gear to the outcome, whatever is told of others: a round of rooms.
fn by_paragraph(
    reader: &Reader<'_>,
    of: Trait,
    own: &[&Piece],
    known: &[Term],
) -> Option<Contrast> {
    let block = |at: usize| reader.sheet.sentences[at].block();
    own.chunk_by(|one, other| block(one.sentence) == block(other.sentence))
        .filter(|pieces| pieces.len() >= 2 && pieces.len() < own.len())
        .find_map(|pieces| {
            let found = unequal(reader, of, pieces, known)?;
            let at = sentence_at(reader.sheet, found.outcome?.start());
            (block(at) == block(pieces[0].sentence)).then_some(found)
        })
}

/// Two pieces of one family that two sides certainly had each for its own.
fn unequal(reader: &Reader<'_>, of: Trait, own: &[&Piece], known: &[Term]) -> Option<Contrast> {
    let metals = reader.terms.lists.gear_metal;
    let used = |piece: &&&Piece| piece.linked && !piece.side.is_empty();
    for (place, one) in own.iter().enumerate().filter(|(_, piece)| used(piece)) {
        for other in own[place + 1..].iter().filter(used) {
            let differ = differ(reader, of, one, other);
            if other.sentence > one.sentence + REACH
                || !differ
                || !opposed(metals, &one.side, &other.side, known)
                || shared(reader, own, one, other)
            {
                continue;
            }
            // "We preferred the braid on the shop's own amplifier": a third beside the two.
            let third = |piece: &Piece, known: &Piece| {
                let words = piece.span.of(reader.text()).to_lowercase();
                let from = reader.sheet.blocks[reader.sheet.sentences[one.sentence].block()]
                    .sentences()
                    .start;
                piece.noun != one.noun
                    && piece.noun != other.noun
                    && piece.sentence >= from
                    && !alike(reader, piece, known)
                    && words.split(' ').count() > 2
            };
            // Who had the one was given the other as well.
            let crossed = own
                .iter()
                .filter(|piece| !piece.side.is_empty())
                .any(|piece| {
                    let of_first = !opposed(metals, &piece.side, &one.side, known);
                    let of_second = !opposed(metals, &piece.side, &other.side, known);
                    (piece.side.contains(&Key::All)
                        && (alike(reader, piece, one) || alike(reader, piece, other)))
                        || (piece.linked && of_first && third(piece, one))
                        || (piece.linked && of_second && third(piece, other))
                        || (of_first && alike(reader, piece, other) && piece.noun != other.noun)
                        || (of_second && alike(reader, piece, one) && piece.noun != one.noun)
                });
            if crossed {
                continue;
            }
            // Judged before the second was heard: two tests, each of its own.
            let block = |at: usize| reader.sheet.sentences[at].block();
            let judged = block(one.sentence) != block(other.sentence)
                && reader.facts.setup.preferred.iter().any(|liked| {
                    let at = sentence_at(reader.sheet, liked.start());
                    one.sentence < at && at < other.sentence
                });
            // "Then we met in the hall and used the hall's amplifier."
            let elsewhere = own.iter().filter(|piece| piece.linked).any(|piece| {
                // "Then he pulled off the capsule."
                let word = piece.noun.of(reader.text()).to_lowercase();
                let again = follows(reader.text(), piece.span, &["off "])
                    && [one, other].iter().any(|known| {
                        known.noun.of(reader.text()).to_lowercase() == word
                            && piece.sentence > other.sentence
                    });
                piece.side.is_empty()
                    && !again
                    && piece.noun != one.noun
                    && piece.noun != other.noun
            });
            if judged || elsewhere {
                continue;
            }
            let homes = at_home(one) && at_home(other);
            let Some(outcome) = judgement(reader, one.sentence, other.sentence, homes) else {
                continue;
            };
            // It is the amplifiers that are compared.
            let at = sentence_at(reader.sheet, outcome.start());
            if own
                .iter()
                .any(|piece| piece.sentence == at && at > other.sentence)
                || parted(reader, one.sentence, other.sentence)
                || swapped(reader, one.sentence, other.sentence)
            {
                continue;
            }
            let value = |piece: &Piece| {
                let index = piece.value?;
                let quantity = &reader.sheet.quantities[index];
                Some(fact(quantity.si()?, quantity.span, index))
            };
            let apart = match (value(one), value(other)) {
                (Some(a), Some(b)) if a.value.total_cmp(&b.value).is_ne() => {
                    Apart::Values(of, [a, b])
                }
                _ => Apart::Gear(of, [one.span, other.span]),
            };
            return Some(Contrast {
                of: apart,
                sides: [one.named, other.named],
                outcome: Some(outcome),
                joined: names_one(reader, outcome, [one, other]),
            });
        }
    }
    None
}

/// What is said to have made the difference, or which side came out better, once both sides are told of; of what two people have
/// at home the former alone.
fn judgement(reader: &Reader<'_>, first: usize, second: usize, homes: bool) -> Option<Span> {
    let compared = || {
        let outcomes = reader.facts.comparisons.iter();
        let mut spans = outcomes.filter_map(|comparison| Some(comparison.outcome.as_ref()?.span));
        spans
            .find(|span| (first..second + REACH).contains(&sentence_at(reader.sheet, span.start())))
    };
    let reason = reason(reader, second);
    if homes {
        return reason;
    }
    reason.or_else(compared).or_else(|| outcome(reader, second))
}

/// Whether a side is known by nothing but whose it is: what each of two has at home is unlike in any case.
fn at_home(piece: &Piece) -> bool {
    let mut keys = piece.side.iter();
    keys.all(|key| matches!(key, Key::Owned(_) | Key::Anchor(Kind::Owner, _)))
}

/// Whether a heading or the post of another writer begins between two sentences.
fn parted(reader: &Reader<'_>, first: usize, second: usize) -> bool {
    let [from, to] = [first, second].map(|at| reader.sheet.sentences[at].block());
    (from + 1..=to).any(|at| {
        let block = &reader.sheet.blocks[at];
        let words = block.span.of(reader.text());
        let post = words
            .strip_prefix('#')
            .is_some_and(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit()));
        matches!(block.kind(), BlockKind::Heading { .. }) || post
    })
}

/// Whether an outcome, or one of the sentences before it, names one of the two sides.
fn names_one(reader: &Reader<'_>, outcome: Span, pieces: [&Piece; 2]) -> bool {
    /// Sentences before the outcome.
    const BEFORE: usize = 3;
    let at = sentence_at(reader.sheet, outcome.start());
    (at.saturating_sub(BEFORE)..=at).any(|at| {
        reader.resolved.of(at).iter().any(|(_, owner)| {
            matches!(owner, Owner::One(entry)
                if pieces.iter().any(|piece| piece.side.contains(&Key::Entry(entry))))
        })
    })
}

/// Whether the gear changed sides afterwards.
fn swapped(reader: &Reader<'_>, first: usize, second: usize) -> bool {
    /// Sentences behind the second side that may tell of it.
    const BEHIND: usize = 5;
    let sentences = &reader.sheet.sentences;
    (first..sentences.len().min(second + BEHIND)).any(|at| {
        let words = sentences[at].span.of(reader.text()).to_lowercase();
        reader.terms.lists.gear_swapped.within(&words)
    })
}

/// Whether two pieces of gear are certainly two.
fn differ(reader: &Reader<'_>, of: Trait, one: &Piece, other: &Piece) -> bool {
    /// Values nearer than this are one, rounded.
    const APART: f64 = 1.1;
    let value = |piece: &Piece| reader.sheet.quantities[piece.value?].si();
    let valued = value(one)
        .zip(value(other))
        .is_some_and(|(a, b)| a > 0.0 && b > 0.0 && (a / b).max(b / a) >= APART);
    let kinds = one
        .kinds
        .iter()
        .zip(other.kinds)
        .any(|(a, b)| *a != 0 && b != 0 && *a != b);
    // "The one ran from the big amplifier, the other from the receiver."
    let receiver = |piece: &Piece| {
        let noun = piece.noun.of(reader.text()).to_lowercase();
        reader.terms.lists.gear_combined.has(&noun)
    };
    let told = |piece: &Piece| receiver(piece) || piece.kinds.iter().any(|kind| *kind != 0);
    let nouns = one.sentence == other.sentence
        && receiver(one) != receiver(other)
        && told(one)
        && told(other);
    match of {
        Trait::Power => valued || kinds || nouns,
        Trait::Load | Trait::Voltage => valued || kinds,
        _ => valued,
    }
}

/// Whether two phrases may well mean one piece of gear.
fn alike(reader: &Reader<'_>, one: &Piece, other: &Piece) -> bool {
    let kinds = one
        .kinds
        .iter()
        .zip(other.kinds)
        .any(|(a, b)| *a != 0 && *a == b);
    let value = |piece: &Piece| reader.sheet.quantities[piece.value?].si();
    kinds || value(one).is_some_and(|value_one| Some(value_one) == value(other))
}

/// Whether gear of that kind is said to be one for all, where the sides are told of.
fn shared(reader: &Reader<'_>, own: &[&Piece], one: &Piece, other: &Piece) -> bool {
    let section =
        |sentence: usize| reader.sheet.blocks[reader.sheet.sentences[sentence].block()].section();
    own.iter().any(|piece| {
        // "Is it the same amplifier? No, ours is on the monoblocks."
        piece.shared
            && !procedure::asked(reader, piece.sentence)
            && (piece.sentence <= other.sentence
                || section(piece.sentence) == section(one.sentence))
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
