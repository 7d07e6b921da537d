//! What is weighed of one passage: how it stands out, and what words and cues found there.

use super::{number_of, truth};
use crate::claims::{Claim, tell};
use crate::finding::Stance;
use crate::rulebook::Rule;
use crate::sheet::Sheet;

/// What is weighed of the odds of a passage.
pub(super) fn of_passage(most: f64, sum: f64, length: usize) -> [(&'static str, f64); 5] {
    [
        ("odds", most),
        ("odds over even", most.max(0.0)),
        ("odds over twelve to one", (most - 2.5).max(0.0)),
        ("odds, sum", sum),
        ("length", number_of(length)),
    ]
}

/// What is weighed of what words and cues found at a passage.
pub(super) fn of_claims(
    rule: &Rule,
    there: &[(usize, &Claim)],
    sheet: &Sheet,
    loud: bool,
    odds: f64,
) -> [(&'static str, f64); 20] {
    let any = |told: &dyn Fn(&Claim) -> bool| truth(there.iter().any(|(_, claim)| told(claim)));
    let is = |stance: Stance| any(&|claim| claim.stance == stance);
    let most = |of: fn(&Claim) -> usize| {
        let all = there.iter().map(|(_, claim)| of(claim));
        number_of(all.max().unwrap_or(0)).min(30.0)
    };
    let (ways, weight) = (most(|claim| claim.wordings), most(|claim| claim.weight));
    let none = truth(there.is_empty());
    let denied = is(Stance::Denied);
    [
        ("made in full", truth(loud)),
        ("asserted", is(Stance::Asserted)),
        ("endorsed", is(Stance::Endorsed)),
        ("reported here", is(Stance::Reported)),
        ("conditional here", is(Stance::Conditional)),
        ("asked here", is(Stance::Asked)),
        ("denied here", denied),
        ("not found", none),
        ("faint", any(&|claim| tell::is_faint(rule, claim, sheet))),
        ("left", any(&|claim| claim.left)),
        ("doubted", any(&|claim| claim.doubted)),
        ("ways", ways),
        ("two ways", truth(ways > 1.0)),
        ("three ways", truth(ways > 2.0)),
        ("weight", weight),
        ("weight, to 6", weight.min(6.0)),
        ("weight, to 12", weight.min(12.0)),
        ("odds where made in full", odds * truth(loud)),
        ("odds where not found", odds * none),
        ("odds where denied", odds * denied),
    ]
}
