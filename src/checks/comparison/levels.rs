//! Levels that were matched worse than the tolerance, by the number that the document states.

use super::super::{Context, Said, Work, format};
use crate::facts::Matching;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "levels-unmatched";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let Some(matching) = context.facts.setup.matching else {
        return Vec::new();
    };
    let Matching::Matched(Some(apart)) = matching.value else {
        return Vec::new();
    };
    let tolerance = context.threshold(RULE, "tolerance_db");
    let work = Work::default()
        .quoted(context, "ΔL", apart, "dB", matching.span)
        .threshold(context, "tolerance", RULE, "tolerance_db", "dB");
    let apart_words = format::decibels(apart);
    if apart > tolerance * 1.001 {
        let message = format!(
            "Levels were held within {apart_words}; {} is the usual tolerance of a comparison by ear, and the louder side is usually preferred.",
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
