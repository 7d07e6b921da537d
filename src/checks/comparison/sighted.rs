//! A preference from a test of which the document says, anywhere in it, that listeners or presenter knew what was playing.

use super::super::{Context, Said};
use crate::claims::silent;
use crate::facts::{Blinding, Fact};
use crate::finding::Stance;
use crate::span::Span;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "sighted-test";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    // What the words of one passage say together is found there.
    let said = |rule: &str| {
        context.claims.iter().any(|claim| {
            claim.rule == rule && !silent(claim.stance) && claim.stance != Stance::Reported
        })
    };
    if said(RULE) {
        return Vec::new();
    }
    // Who only supposes it there has not said it of a test; what is denied or asked is told by who knew.
    let withdrawn = |span: Span| {
        context.sentence(span).is_some_and(|at| {
            context.claims.iter().any(|claim| {
                let reported =
                    claim.stance == Stance::Reported && context.facts.setup.hearsay.contains(&span);
                claim.rule == RULE
                    && (claim.stance == Stance::Conditional || reported)
                    && claim.sentences.contains(&at)
            })
        })
    };
    let setup = &context.facts.setup;
    let Some((knew, liked)) = setup
        .knew
        .iter()
        .filter(|fact| fact.value == Blinding::Sighted && !withdrawn(fact.span))
        .find_map(|fact| Some((fact, preference(context, fact)?)))
    else {
        return Vec::new();
    };
    let message = format!(
        "“{}” is reported, and of the same test: “{}”. Those who judged (or presented) knew which cable was playing, so the preference cannot be told from expectation.",
        context.quote(liked),
        context.quote(knew.span),
    );
    vec![
        Said::finding(context, RULE)
            .message(message)
            .mark(knew.span, "who knew")
            .mark(liked, "the preference"),
    ]
}

/// The preference that stands nearest, unless another session, of which it is said that nobody knew, stands nearer to it.
fn preference(context: &Context<'_>, knew: &Fact<Blinding>) -> Option<Span> {
    let at = context.sentence(knew.span)?;
    let setup = &context.facts.setup;
    let blind: Vec<usize> = setup
        .knew
        .iter()
        .filter(|fact| fact.value == Blinding::Blind)
        .filter_map(|fact| context.sentence(fact.span))
        .collect();
    setup
        .preferred
        .iter()
        .filter_map(|span| Some((context.sentence(*span)?, *span)))
        .filter(|(liked, _)| {
            blind
                .iter()
                .all(|other| other.abs_diff(*liked) > at.abs_diff(*liked))
        })
        .min_by_key(|(liked, _)| liked.abs_diff(at))
        .map(|(_, span)| span)
}
