//! Levels that were matched worse than the tolerance by the number that the document states, or not matched at all.

use super::super::known::{any_near, any_of};
use super::super::{Context, Said, Work, format};
use crate::claims::{Claim, silent};
use crate::facts::{DocumentKind, Matching};
use crate::finding::Stance;
use crate::sheet::Kind;
use crate::span::Span;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "levels-unmatched";
/// So few sentences have no room for other matters.
const SHORT: usize = 8;

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let Some(matching) = context.facts.setup.matching else {
        return Vec::new();
    };
    // What the words of one passage say together is found there.
    let said = context.claims.iter().any(|claim| {
        claim.rule == RULE && !silent(claim.stance) && claim.stance != Stance::Reported
    });
    // Somebody else's report or a question is told as such there; a denial may be the "not" of "not matched".
    let elsewhere = context.sentence(matching.span).is_some_and(|at| {
        context.claims.iter().any(|claim| {
            claim.rule == RULE && claim.stance != Stance::Denied && claim.sentences.contains(&at)
        })
    });
    // A number is one whoever tells it ("the meter said 1.2 dB").
    let open = context.sentence(matching.span).is_some_and(|at| {
        context.claims.iter().any(|claim| {
            claim.rule == RULE
                && matches!(claim.stance, Stance::Asked | Stance::Conditional)
                && claim.sentences.contains(&at)
        })
    });
    let told = said;
    let said = said || elsewhere;
    let (apart, left) = match matching.value {
        Matching::Matched(Some(apart)) => (apart, false),
        Matching::Left(apart) if !told && !open => (apart, true),
        Matching::Unmatched if of_size(context, matching.span) => return Vec::new(),
        Matching::Unmatched if !said && judged(context, matching.span) => {
            let message = format!(
                "“{}”: the levels were not matched, and the louder side of a comparison by ear is usually preferred.",
                context.quote(matching.span),
            );
            return vec![
                Said::finding(context, RULE)
                    .message(message)
                    .mark(matching.span, "levels not matched"),
            ];
        }
        _ => return Vec::new(),
    };
    // "They measure alike within 1 dB": two loudspeakers that are for sale.
    let listened = context
        .sentence(matching.span)
        .is_none_or(|at| listened(context, &[at]));
    if of_size(context, matching.span) || (apart > 0.0 && !listened) {
        return Vec::new();
    }
    let tolerance = context.threshold(RULE, "tolerance_db");
    let work = Work::default()
        .quoted(context, "ΔL", apart, "dB", matching.span)
        .threshold(context, "tolerance", RULE, "tolerance_db", "dB");
    let apart_words = format::decibels(apart);
    if apart > tolerance * 1.001 {
        let how = if left {
            format!("Levels stood {apart_words} apart and were left so")
        } else {
            format!("Levels were held within {apart_words}")
        };
        let message = format!(
            "{how}; {} is the usual tolerance of a comparison by ear, and the louder side is usually preferred.",
            format::decibels(tolerance),
        );
        vec![
            Said::finding(context, RULE)
                .message(message)
                .mark(matching.span, format!("matched within {apart_words}"))
                .working(work),
        ]
    } else {
        let message = format!("Levels were matched within {apart_words}.");
        vec![
            Said::confirmed(context, RULE)
                .message(message)
                .mark(matching.span, format!("matched within {apart_words}"))
                .working(work),
        ]
    }
}

/// Whether the number that a claim tells of is held against the tolerance by itself, with its working.
pub(in crate::checks) fn counted(context: &Context<'_>, claim: &Claim) -> bool {
    claim.rule == RULE
        && (context.facts.setup.matching)
            .and_then(|matching| context.sentence(matching.span))
            .is_some_and(|at| claim.sentences.contains(&at))
        && run(context)
            .iter()
            .any(|said| said.finding.level.is_some() && !said.finding.working.is_empty())
}

/// Whether a sentence on levels says that the difference is what the size makes: then the level is what the test is of.
fn of_size(context: &Context<'_>, levels: Span) -> bool {
    let words = context.list("levels.made");
    context.sentence(levels).is_some_and(|at| {
        let last = (at + 1).min(context.sheet.sentences.len() - 1);
        let told = Span::new(
            context.sheet.sentences[at].span.start(),
            context.sheet.sentences[last].span.end(),
        );
        let lower = told.of(context.text).to_lowercase();
        words.within(&lower)
    })
}

/// Whether somebody tells what he liked better, in the voice that tells of the levels. What a meter read is no judgement by ear.
fn judged(context: &Context<'_>, levels: Span) -> bool {
    let setup = &context.facts.setup;
    let metered = |sentence: usize| {
        let span = context.sheet.sentences[sentence].span;
        let all = &context.sheet.quantities;
        let first = all.partition_point(|quantity| quantity.span.start() < span.start());
        all[first..]
            .iter()
            .take_while(|quantity| span.contains(quantity.span))
            .any(|quantity| {
                matches!(
                    quantity.kind,
                    Kind::LevelDb | Kind::Voltage | Kind::Impedance
                )
            })
    };
    let Some(at) = context.sentence(levels) else {
        return false;
    };
    setup
        .preferred
        .iter()
        .filter_map(|span| context.sentence(*span))
        .any(|liked| setup.one_voice(liked, at) && !metered(liked))
}

/// Whether what a claim takes for unmatched listening stands in a document that tells of no listening, or is put to somebody who is
/// asked about it: “Was the loudness put level? You had 0.18 dB between them to begin with.”
pub(in crate::checks) fn unheard(context: &Context<'_>, claim: &Claim) -> bool {
    if claim.rule != RULE {
        return false;
    }
    if of_size(context, claim.span) {
        return true;
    }
    let heard = listened(context, &claim.sentences);
    let words = |sentence: usize| {
        let span = context.sheet.sentences.get(sentence).map(|at| at.span);
        span.map_or("", |span| span.of(context.sheet.flow.text()))
    };
    let block = |at: usize| context.sheet.sentences.get(at).map(|own| own.block());
    let put = claim.sentences.iter().any(|&at| {
        at.checked_sub(1).is_some_and(|before| {
            block(before) == block(at)
                && words(before).trim_end().ends_with('?')
                && words(at).starts_with("You ")
        })
    });
    !heard || put
}

/// Whether a test is told of in the document, or listening near these sentences.
fn listened(context: &Context<'_>, sentences: &[usize]) -> bool {
    let near = |told: &[usize]| any_near(told, sentences, SHORT);
    context.sheet.sentences.len() <= SHORT
        || context.facts.kind == DocumentKind::Comparison
        || !context.facts.comparisons.is_empty()
        || !context.facts.setup.scores.is_empty()
        || near(context.preferred())
        || near(context.sentences_on_knowing())
}

/// Whether a claim stands in another part of the document than the match, and somebody listened there: “session one, levels within
/// 0.05 dB … session two, for which nobody trimmed anything”.
fn of_another_part(context: &Context<'_>, claim: &Claim) -> bool {
    let setup = &context.facts.setup;
    let matched = setup.matching.and_then(|fact| context.sentence(fact.span));
    let (Some(matched), Some(&at)) = (matched, claim.sentences.first()) else {
        return false;
    };
    let own = context.part(at);
    let scored = || {
        let scores = setup.scores.iter();
        let mut at = scores.filter_map(|score| context.sentence(score.span));
        at.any(|at| context.part(at) == own)
    };
    let liked = context.preferred();
    let first = liked.partition_point(|&liked| context.part(liked) < own);
    let preferred = liked
        .get(first)
        .is_some_and(|&liked| context.part(liked) == own);
    // What is measured first and then matched is no part of the listening.
    own > context.part(matched) && (preferred || scored())
}

/// Whether a difference of level that a claim takes for unmatched listening is what was measured, and listening was done at levels
/// that were matched within the tolerance.
pub(in crate::checks) fn measured(context: &Context<'_>, claim: &Claim) -> bool {
    if claim.rule != RULE {
        return false;
    }
    let matched = match context.facts.setup.matching.map(|fact| fact.value) {
        Some(Matching::Matched(Some(apart))) => apart <= context.threshold(RULE, "tolerance_db"),
        _ => false,
    };
    // What is told of levels in another sentence than the match is not of the listening.
    let apart = context
        .facts
        .setup
        .matching
        .and_then(|fact| context.sentence(fact.span))
        .is_some_and(|at| !claim.sentences.contains(&at));
    if matched && apart && !of_another_part(context, claim) {
        return true;
    }
    // "The difference between the two was 0.3 dB": where nobody tells of listening, that is what was found.
    let setup = &context.facts.setup;
    let elsewhere = |span: &Span| {
        context
            .sentence(*span)
            .is_none_or(|at| context.level_differences().binary_search(&at).is_err())
    };
    let found = || {
        !setup.preferred.iter().any(elsewhere) && setup.scores.is_empty() && setup.knew.is_empty()
    };
    (matched || found()) && any_of(context.level_differences(), &claim.sentences)
}
