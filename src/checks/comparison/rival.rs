//! A cable that is said to be beaten and of which the document gives neither name nor size, wherever the two are told.

use super::super::{Context, Said};
use crate::claims::Claim;
use crate::facts::Size;
use crate::span::Span;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "rival-unspecified";
/// Name of the cable that something is put above.
const RIVAL: &str = "the rival";
/// Sentences between the size of both and what is said of one.
const NEAR: usize = 10;

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
            let sizes = || cable.sizes.iter().filter(|size| !size.loose);
            // Most rivals have no size, and are then mentioned as often as one likes.
            let Some(&here) = (sizes().next()).and_then(|_| {
                cable
                    .mentions
                    .iter()
                    .find(|&&here| claim.span.contains(here))
            }) else {
                return false;
            };
            let told: Vec<usize> = sizes()
                .filter_map(|size| context.sentence(size.span))
                .collect();
            let words = |span| context.quote(span).to_lowercase();
            let called = words(here);
            cable.mentions.iter().any(|&there| {
                let with_size = context.sentence(there).is_some_and(|at| told.contains(&at));
                there != here && with_size && words(there) == called
            })
        })
    };
    let told_of_both = |size: &Size| {
        let at = context.sentence(size.span);
        let words = at.map_or("", |at| context.sheet.sentences[at].span.of(context.text));
        let both = words
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| ["both", "each", "all"].contains(&word.to_lowercase().as_str()));
        let claimed = context.sentence(claim.span);
        both && at
            .zip(claimed)
            .is_some_and(|(at, claimed)| at <= claimed && claimed - at <= NEAR)
    };
    // "Two lengths, both 2.5 mm²": the rival has the size that is told of it and of another in one breath.
    let shared = || {
        let rivals = context.facts.cables.iter().filter(|one| one.name == RIVAL);
        rivals.into_iter().any(|rival| {
            // "The plain cable" is one that has been told of, "a generic wire" is not.
            let known = |here: Span| {
                let words = context.quote(here).to_lowercase();
                let ahead = context.text.get(..here.start()).unwrap_or("").trim_end();
                words.starts_with("the ") || ahead.ends_with("the") || ahead.ends_with("The")
            };
            let met = || {
                let mut mentions = rival.mentions.iter();
                mentions.any(|&here| claim.span.overlaps(here) && known(here))
            };
            let mut others = context.facts.cables.iter().filter(|one| one.name != RIVAL);
            !rival.sizes.is_empty()
                && met()
                && others.any(|other| {
                    let mut sizes = other
                        .sizes
                        .iter()
                        .filter(|size| !size.loose && told_of_both(size));
                    sizes.any(|size| rival.sizes.iter().any(|own| own.span == size.span))
                })
        })
    };
    if claim.rule == RULE && (named() || shared()) {
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
