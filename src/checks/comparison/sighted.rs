//! A preference from a test of which the document says, anywhere in it, that listeners or presenter knew what was playing.

use super::super::known::any_of;
use super::super::{Context, Said};
use crate::claims::{Claim, is_faint, silent};
use crate::facts::{Blinding, DocumentKind, Fact};
use crate::finding::Stance;
use crate::span::Span;
use rustc_hash::FxHashSet;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "sighted-test";
/// So few sentences have no room for other matters.
const SHORT: usize = 8;

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    // What the words of one passage say together is found there.
    let said = context.claims.iter().any(|claim| {
        claim.rule == RULE
            && !silent(claim.stance)
            && claim.stance != Stance::Reported
            && !faint(context, claim)
    });
    if said {
        return Vec::new();
    }
    // Who only supposes it there has not said it of a test; what is denied or asked is told by who knew.
    let claimed = |stance: Stance| -> FxHashSet<usize> {
        let claims = context.claims.iter();
        let those = claims.filter(|claim| claim.rule == RULE && claim.stance == stance);
        those
            .flat_map(|claim| claim.sentences.iter().copied())
            .collect()
    };
    let setup = &context.facts.setup;
    let (supposed, reported) = (claimed(Stance::Conditional), claimed(Stance::Reported));
    let hearsay: FxHashSet<Span> = setup.hearsay.iter().copied().collect();
    let withdrawn = |span: Span| {
        context.sentence(span).is_some_and(|at| {
            supposed.contains(&at) || (reported.contains(&at) && hearsay.contains(&span))
        })
    };
    // An auction or a tale tells of names and of what was liked, and of no test.
    let tested = context.sheet.sentences.len() <= SHORT
        || context.facts.kind == DocumentKind::Comparison
        || !context.facts.comparisons.is_empty()
        || !setup.scores.is_empty();
    if !tested {
        return Vec::new();
    }
    let Some((knew, liked)) = setup
        .knew
        .iter()
        .filter(|fact| fact.value == Blinding::Sighted && !withdrawn(fact.span))
        .find_map(|fact| Some((fact, preference(context, fact)?)))
    else {
        return Vec::new();
    };
    // "We did no listening": what is liked there is liked for its price.
    let none = context.list("listen.none");
    let said = |words: Span| none.within(&words.of(context.text).to_lowercase());
    if context.sheet.sentences.iter().any(|at| said(at.span)) {
        return Vec::new();
    }
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

/// Whether a claim is told in so few words that a reader should look first; who knew what may still be told by the facts.
fn faint(context: &Context<'_>, claim: &Claim) -> bool {
    let rule = context.rulebook.rule(RULE);
    rule.is_some_and(|rule| is_faint(rule, claim, context.sheet))
}

/// Whether the document itself puts in doubt what a claim takes for a test of which those who judged knew too much.
pub(in crate::checks) fn doubted(context: &Context<'_>, claim: &Claim) -> bool {
    if claim.rule != RULE {
        return false;
    }
    let own = &claim.sentences;
    let all = context.knew();
    let mut knew = own.iter().flat_map(|&at| {
        let first = all.partition_point(|knew| knew.sentence < at);
        let here = all[first..]
            .iter()
            .take_while(move |knew| knew.sentence == at);
        here.filter(|knew| knew.sighted)
    });
    // "Your wife told you which was on": an answer to those who knew, who report elsewhere what they liked.
    let explained = any_of(context.addressed(), own)
        && knew.clone().all(|knew| knew.addressed)
        && !any_of(context.preferred(), own);
    explained || (any_of(context.doubted(), own) && knew.next().is_none())
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
    // "You both knew which was on", told to those who knew, explains what they report elsewhere.
    let addressed = setup.addressed.contains(&knew.span);
    let block = |sentence: usize| context.sheet.sentences[sentence].block();
    let verdict = || {
        let listened = context.facts.comparisons.iter().filter(|one| {
            !one.null
                && !one.critique
                && setup
                    .blinding
                    .is_some_and(|fact| fact.value == Blinding::Sighted)
        });
        listened
            .filter_map(|one| {
                one.outcome
                    .as_ref()
                    .filter(|outcome| outcome.winner.is_some() && outcome.difference.is_empty())
            })
            .map(|outcome| outcome.span)
    };
    setup
        .preferred
        .iter()
        .copied()
        .chain(verdict())
        .filter_map(|span| Some((context.sentence(span)?, span)))
        .filter(|(liked, _)| {
            setup.one_voice(*liked, at) && (!addressed || block(*liked) == block(at))
        })
        .filter(|(liked, _)| {
            blind
                .iter()
                .all(|other| other.abs_diff(*liked) > at.abs_diff(*liked))
        })
        .min_by_key(|(liked, _)| liked.abs_diff(at))
        .map(|(_, span)| span)
}
