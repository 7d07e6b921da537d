//! A cable that is said to be beaten and of which the document gives neither name nor size, wherever the two are told.

use super::super::{Context, Said};
use crate::claims::Claim;
use crate::facts::Size;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "rival-unspecified";
/// Name of the cable that something is put above.
const RIVAL: &str = "the rival";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    // What the words of one passage say together is found there; what is denied or asked there is not claimed here.
    if context.claims.iter().any(|claim| claim.rule == RULE) {
        return Vec::new();
    }
    let Some(rivalry) = context.facts.rivalry else {
        return Vec::new();
    };
    let message = format!(
        "“{}” puts something above “{}”, of which the document gives no conductor size, so nothing can be recomputed.",
        context.quote(rivalry.outcome),
        context.quote(rivalry.rival),
    );
    vec![
        Said::finding(context, RULE)
            .message(message)
            .mark(rivalry.outcome, "the outcome")
            .mark(rivalry.rival, "no size is given"),
    ]
}

/// Whether what a claim calls the old one, or one's own, is a side of a test of which the document gives every size.
pub(in crate::checks) fn sized(context: &Context<'_>, claim: &Claim) -> bool {
    let known = context.list("rival.known");
    let pointed = || {
        context
            .quote(claim.span)
            .to_lowercase()
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| known.has(word))
    };
    // "Better than the bell wire", of which a list above gives the size.
    let named = || {
        let rivals = context.facts.cables.iter().filter(|one| one.name == RIVAL);
        rivals.into_iter().any(|cable| {
            let words = |span| context.quote(span).to_lowercase();
            let mut said = cable.mentions.iter().map(|&span| (span, words(span)));
            said.clone().any(|(here, called)| {
                claim.span.contains(here)
                    && said.any(|(there, same)| {
                        let sized = |size: &Size| {
                            let at = context.sentence(size.span);
                            !size.loose && at.is_some() && at == context.sentence(there)
                        };
                        same == called && there != here && cable.sizes.iter().any(sized)
                    })
            })
        })
    };
    if claim.rule == RULE && named() {
        return true;
    }
    claim.rule == RULE
        && context.facts.comparisons.iter().any(|comparison| {
            let sized = comparison.sides.iter().filter(|side| {
                let cable = context.facts.cables.get(side.cable);
                cable.is_some_and(|cable| cable.effective_area().is_some())
            });
            sized.count() >= 2
        })
        && pointed()
}
