//! Cables set side by side with an outcome, and what kind of document that makes.
//!
//! What makes a comparison of sides and an outcome is decided here; the files below read the parts.

mod anchors;
mod apart;
mod buyers;
mod contrast;
mod credit;
mod gains;
mod gear;
mod held;
mod likenesses;
mod multiples;
mod one_breath;
mod outcome;
mod people;
mod persons;
mod sides;
mod story;
mod twice;
mod winner;

pub(super) use credit::credits;
pub(super) use likenesses::told_apart;
pub(super) use outcome::{at_a_place, ballot, counted, negated, rises};
pub(super) use sides::{is_lamp_power, lamp};

use super::kind;
use super::read::{Owner, Reader};
use super::roles::Role;
use super::types::{Comparison, FigureKind, Outcome, Rivalry, Side, Subject};
use crate::lexicon::ConceptId;
use crate::sheet::BlockKind;
use crate::span::Span;
use credit::{cause, credited};
use held::{held_by, inherit, other_by_size, subjects};
use outcome::{measured, outcome};
use sides::{are_sides, called_by_size, sides};
use std::ops::Range;

/// As many sides as a list of goods has.
const GOODS: usize = 3;

/// Reads the comparison of a document, if it holds one, and decides what kind of document it is.
pub(super) fn read(reader: &mut Reader<'_>) {
    other_by_size(reader);
    inherit(reader);
    let mut compared = false;
    for (sides, region) in apart::tests(reader, sides(reader)) {
        compared |= compare(reader, sides, region);
    }
    contrast::read(reader);
    gains::read(reader);
    reader.facts.rivalry = rivalry(reader);
    reader.facts.kind = kind::kind(reader, compared);
}

/// Reads the outcome of one test, of which the sentences of `region` tell; whether the sides were compared at all.
fn compare(reader: &mut Reader<'_>, sides: Vec<Side>, region: Range<usize>) -> bool {
    let outcome = (sides.len() >= 2)
        .then(|| outcome(reader, &sides, region.clone()))
        .flatten()
        .or_else(|| measured(reader, &sides));
    let set_side_by_side = within(reader, &region, reader.terms.versus).or_else(|| {
        let first = sides.first().filter(|_| {
            reader.comparative
                || measured(reader, &sides).is_some()
                || judged_in_table(reader, &sides)
        })?;
        reader.facts.cables[first.cable].mentions.first()
    });
    // Rows of a table alone are a range or a chart: somebody must have come out better.
    let in_table = sides.iter().all(|side| reader.has_line(side.cable));
    let told = outcome.as_ref().is_some_and(|outcome| {
        outcome.winner.is_some() || (!outcome.difference.is_empty() && !in_table)
    });
    let strong = within(reader, &region, reader.terms.strong).is_some();
    // An outcome that is credited to something was there, in whatever words.
    let judged = judged_in_table(reader, &sides);
    let credit = credited(reader, region.clone())
        .or_else(|| judged.then(|| cause(reader, region.clone())).flatten());
    let outcome = outcome.or_else(|| (sides.len() >= 2).then(|| credit.clone()).flatten());
    // So was one that a score is said to prove.
    let proven = proven(reader, &region);
    let outcome = outcome.or_else(|| proven.clone().filter(|_| sides.len() >= 2));
    // And one that a row of a table tells of each of two columns.
    let columns = judged_columns(reader, &sides);
    let outcome = outcome.or_else(|| columns.clone());
    let compared = sides.len() >= 2
        && are_sides(reader, &sides)
        && !sides.iter().all(|side| reader.among_goods(side.cable))
        && !strangers(reader, &sides)
        && (sides.len() < GOODS || sides.iter().any(|side| spoken_of(reader, side.cable)))
        && outcome.is_some()
        && !(sides.iter().all(|side| placed(reader, side.cable))
            && credit.is_none()
            && proven.is_none()
            && !caused(reader))
        && set_side_by_side.is_some()
        && (told
            || columns.is_some()
            || credit.is_some()
            || proven.is_some()
            || ((strong || caused(reader)) && !in_table));
    if compared {
        // Whatever else says that one came out better, what is said to have done it stands beside it.
        let credit = credit.or_else(|| cause(reader, region.clone()));
        let mut subjects = subjects(reader);
        // "The 12 AWG beats the 16 AWG", and nothing else is said to have done it: who calls both by their size means the size.
        if credit.is_none() && called_by_size(reader, &sides) && !subjects.contains(&Subject::Size)
        {
            subjects.push(Subject::Size);
        }
        let terms = reader.terms;
        let metals = [
            terms.copper,
            terms.silver,
            terms.aluminium,
            terms.cca,
            terms.tinned,
            terms.gold,
        ];
        let credited = credit.is_some()
            || within(reader, &region, terms.credit).is_some()
            || within(reader, &region, terms.attributed).is_some();
        let credit = credit.map(|credit| credit.span).filter(|span| {
            let at = super::read::sentence_at(reader.sheet, span.start());
            !metals.iter().any(|&metal| reader.hits.say(at, metal))
        });
        reader.facts.comparisons.push(Comparison {
            span: set_side_by_side.unwrap_or_default(),
            listening: within(reader, &region, terms.lamp).is_none(),
            null: null(reader, &region),
            critique: critical(reader),
            sides,
            subjects,
            outcome,
            credit,
            credited,
        });
    }
    compared
}

/// Whether two cables are spoken of far apart and nowhere together: advertisements of two people, two letters of a page.
fn strangers(reader: &Reader<'_>, sides: &[Side]) -> bool {
    /// Blocks between them.
    const APART: usize = 6;
    let [first, second] = sides else { return false };
    let blocks = |side: &Side| -> Vec<usize> {
        let mentions = reader.facts.cables[side.cable].mentions.iter();
        mentions
            .map(|span| {
                reader.sheet.sentences[super::read::sentence_at(reader.sheet, span.start())].block()
            })
            .collect()
    };
    let (first, second) = (blocks(first), blocks(second));
    // Both are in order: the nearest to each stand right before it and right behind.
    let apart = |one: &usize| {
        let behind = second.partition_point(|other| other < one);
        let beside = [behind.checked_sub(1), Some(behind)];
        let beside = beside.into_iter().flatten().filter_map(|at| second.get(at));
        beside.map(|other| one.abs_diff(*other)).min()
    };
    let nearest = first.iter().filter_map(apart).min();
    nearest.is_some_and(|nearest| nearest > APART)
}

/// Whether two lines of one table say of two cables how they sounded: “bass: soft, late” and “bass: firm, tuneful”.
fn judged_in_table(reader: &Reader<'_>, sides: &[Side]) -> bool {
    if marked(reader, sides) {
        return true;
    }
    let [first, second] = sides else { return false };
    let (Some(table), Some(other)) = (reader.table_of(first.cable), reader.table_of(second.cable))
    else {
        return false;
    };
    let words = |block: usize| {
        let mut sentences = reader.sheet.blocks[block].sentences();
        let plain = sentences
            .clone()
            .all(|at| reader.in_sentence(at).next().is_none());
        plain && sentences.any(|at| reader.hits.say(at, reader.terms.sound))
    };
    if judged_columns(reader, sides).is_some() {
        return true;
    }
    table == other
        && reader.sheet.tables.get(table).is_some_and(|table| {
            let rows = table.cells.iter().skip(1);
            let told = rows.filter(|row| {
                let cells: Vec<usize> = row.iter().flatten().copied().collect();
                cells.len() == sides.len() + 1 && cells.iter().any(|&cell| words(cell))
            });
            told.count() >= 2
        })
}

/// Whether the rows of the sides have a column of marks: “verdict (of 10)”.
fn marked(reader: &Reader<'_>, sides: &[Side]) -> bool {
    let Some(table) = sides.first().and_then(|side| reader.table_of(side.cable)) else {
        return false;
    };
    let rows = sides.len() >= 2
        && sides
            .iter()
            .all(|side| reader.is_row(side.cable) && reader.table_of(side.cable) == Some(table));
    let heads = reader
        .sheet
        .tables
        .get(table)
        .and_then(|table| table.cells.first());
    rows && heads.is_some_and(|heads| {
        heads.iter().flatten().any(|&cell| {
            let words = reader.sheet.blocks[cell].span.of(reader.text());
            words
                .split(|letter: char| !letter.is_alphabetic())
                .any(|word| reader.terms.lists.table_mark.has(&word.to_lowercase()))
        })
    })
}

/// The row of a table of two columns that tells of each what came of it: “brightness: white, yellow”.
fn judged_columns(reader: &Reader<'_>, sides: &[Side]) -> Option<Outcome> {
    let [first, second] = sides else { return None };
    let table = reader.table_of(first.cable)?;
    let columns = !reader.is_row(first.cable) && !reader.is_row(second.cable);
    if !columns || reader.table_of(second.cable) != Some(table) {
        return None;
    }
    let span = reader.judged_row(table)?;
    Some(Outcome {
        span,
        winner: None,
        difference: Vec::new(),
    })
}

/// Whether running text speaks of a cable, and not a list of goods alone.
fn spoken_of(reader: &Reader<'_>, cable: usize) -> bool {
    const WORDS: usize = 6;
    reader.facts.cables[cable].mentions.iter().any(|mention| {
        let own = &reader.sheet.sentences[super::read::sentence_at(reader.sheet, mention.start())];
        matches!(
            reader.sheet.blocks[own.block()].kind(),
            BlockKind::Paragraph | BlockKind::Item
        ) && own
            .span
            .of(reader.text())
            .split_whitespace()
            .nth(WORDS)
            .is_some()
    })
}

/// Whether a cable is known by nothing but its place: two loudspeakers of one room are left and right, and nobody compares their
/// cables.
fn placed(reader: &Reader<'_>, cable: usize) -> bool {
    let places = reader.terms.lists.contrast_place;
    reader.facts.cables[cable].mentions.iter().all(|span| {
        span.of(reader.text())
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| places.has(&word.to_lowercase()))
    })
}

/// Whether no difference is said to be found: unless somebody says in his own words what made it.
fn null(reader: &Reader<'_>, region: &Range<usize>) -> bool {
    let terms = reader.terms;
    // A score that is offered as proof may stand beside what guessing reaches.
    let proven = reader.facts.setup.scores.iter().any(|score| {
        let at = super::read::sentence_at(reader.sheet, score.span.start());
        score.offered_as_proof && region.contains(&at)
    });
    !proven
        && region
            .clone()
            .any(|at| super::score::denies_proof(reader, at))
        && !region.clone().any(|at| {
            credits(reader, at)
                && ![terms.no_proof, terms.report, terms.conditional]
                    .iter()
                    .any(|&concept| reader.hits.say(at, concept))
        })
}

/// Whether the document sees through the comparison: it says so, or works out what the sizes make of it and credits nothing else.
fn critical(reader: &Reader<'_>) -> bool {
    let all = 0..reader.sheet.sentences.len();
    critique(reader) || (arithmetic(reader) && cause(reader, all).is_none())
}

/// A score of this test that is offered as proof.
fn proven(reader: &Reader<'_>, region: &Range<usize>) -> Option<Outcome> {
    let scores = &reader.facts.setup.scores;
    let score = scores.iter().find(|score| {
        let at = super::read::sentence_at(reader.sheet, score.span.start());
        score.offered_as_proof && region.contains(&at)
    })?;
    let at = super::read::sentence_at(reader.sheet, score.span.start());
    Some(Outcome {
        span: reader.sheet.sentences[at].span,
        winner: None,
        difference: Vec::new(),
    })
}

/// Whether running text tells of a cause, in a story or of lamps.
fn caused(reader: &Reader<'_>) -> bool {
    let terms = reader.terms;
    reader.comparative
        && (anywhere_bool(reader, terms.credit) || anywhere_bool(reader, terms.attributed))
        && (anywhere_bool(reader, terms.lamp) || super::verdict::storied(reader))
}

/// What is put above a cable that has no name and, in the whole document, no size.
fn rivalry(reader: &Reader<'_>) -> Option<Rivalry> {
    /// Sentences between the rival and the outcome.
    const NEAR: usize = 2;
    /// The same where it is a verdict.
    const FAR: usize = 5;
    let terms = reader.terms;
    if !reader.comparative
        || anywhere_bool(reader, terms.no_proof)
        || anywhere_bool(reader, terms.rival_asked)
        || critique(reader)
        || arithmetic(reader)
    {
        return None;
    }
    let rival = (0..reader.facts.cables.len()).find(|&cable| {
        let entry = &reader.roster.entries[cable];
        entry.nameless && !entry.merged && reader.facts.cables[cable].sizes.is_empty()
    })?;
    let told = |span: Span| super::read::sentence_at(reader.sheet, span.start());
    let named = &reader.facts.cables[rival].mentions;
    // "Twin-lead of the same gauge" has its size told.
    let sized = named.iter().any(|span| {
        let sentence = told(span);
        let equal = terms.lists.held_size;
        reader
            .hits
            .saying(sentence, terms.subject_size)
            .any(|hit| held_by(reader, sentence, hit.span, equal))
    });
    if sized {
        return None;
    }
    reader.facts.setup.preferred.iter().find_map(|&liked| {
        let sentence = told(liked);
        let said = |concept| reader.hits.say(sentence, concept);
        if said(terms.report)
            || said(terms.conditional)
            || negated(reader, sentence, liked)
            || !(said(terms.strong) || said(terms.better))
        {
            return None;
        }
        let ahead = match reader.owner(sentence, liked, Owner::Nobody) {
            Owner::One(cable) if cable == rival => return None,
            Owner::One(_) => true,
            _ => false,
        };
        let near = named
            .iter()
            .filter(|span| {
                let apart = told(*span).abs_diff(sentence);
                apart == 0 || (ahead && apart <= if said(terms.strong) { FAR } else { NEAR })
            })
            .min_by_key(|span| told(*span).abs_diff(sentence))?;
        Some(Rivalry {
            outcome: liked,
            rival: near,
        })
    })
}

/// Where a sentence of `region` says `concept` first.
fn within(reader: &Reader<'_>, region: &Range<usize>, concept: ConceptId) -> Option<Span> {
    region
        .clone()
        .find_map(|sentence| reader.hits.saying(sentence, concept).next())
        .map(|hit| hit.span)
}

fn anywhere_bool(reader: &Reader<'_>, concept: ConceptId) -> bool {
    reader.hits.anywhere(concept)
}

/// Whether the document itself points out that the sides were unequal.
fn critique(reader: &Reader<'_>) -> bool {
    reader
        .hits
        .saying_anywhere(reader.terms.critique)
        .nth(1)
        .is_some()
}

/// Whether running text works the resistances or the losses of both sides out itself: then size is what it explains by.
fn arithmetic(reader: &Reader<'_>) -> bool {
    let figures = |kind: FigureKind, per: bool| {
        (0..reader.sheet.quantities.len())
            .filter(|&index| reader.roles[index] == Role::Figure(kind))
            .filter(|&index| {
                let block =
                    &reader.sheet.blocks[reader.sheet.sentences[reader.sentence_of(index)].block()];
                per || !matches!(block.kind(), BlockKind::Cell { .. } | BlockKind::Field)
            })
            .count()
    };
    let worked = anywhere_bool(reader, reader.terms.arithmetic);
    figures(FigureKind::Resistance, false) >= if worked { 1 } else { 2 }
}
