//! Levels that were matched worse than the tolerance by the number that the document states, or not matched at all.

use super::super::{Context, Said, Work, format};
use crate::claims::silent;
use crate::facts::Matching;
use crate::finding::Stance;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "levels-unmatched";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let Some(matching) = context.facts.setup.matching else {
        return Vec::new();
    };
    // What the words of one passage say together is found there.
    let said = context.claims.iter().any(|claim| {
        claim.rule == RULE && !silent(claim.stance) && claim.stance != Stance::Reported
    });
    // Somebody else's report, a denial or a question is told as such there.
    let elsewhere = context.sentence(matching.span).is_some_and(|at| {
        context
            .claims
            .iter()
            .any(|claim| claim.rule == RULE && claim.sentences.contains(&at))
    });
    let said = said || elsewhere;
    let (apart, left) = match matching.value {
        Matching::Matched(Some(apart)) => (apart, false),
        Matching::Left(apart) if !said => (apart, true),
        Matching::Unmatched if !said && !context.facts.setup.preferred.is_empty() => {
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
