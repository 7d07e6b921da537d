//! A cable that is said to be beaten and of which the document gives neither name nor size, wherever the two are told.

use super::super::{Context, Said};

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "rival-unspecified";

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
