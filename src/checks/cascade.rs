//! One cause in the numbers, one finding: size before resistance before loss and damping, for each cable.
//!
//! A check says of a figure that it *follows* when it contradicts one statement and agrees with another that is at odds with the
//! first. Here such a figure is named in the finding at the root and gets none of its own.

use super::said::{Said, Stage};
use crate::finding::{Finding, Level, Verdict};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// Folds effects into their causes. What follows from nothing that was found is dropped: it agrees with a statement that stands.
pub(super) fn fold(said: Vec<Said>) -> Vec<Finding> {
    let (effects, mut kept): (Vec<Said>, Vec<Said>) =
        said.into_iter().partition(|said| said.follows.is_some());
    // The first of each cable that stands nearest to the root.
    let mut roots: FxHashMap<Option<usize>, usize> = FxHashMap::default();
    for (place, said) in kept.iter().enumerate().filter(|(_, said)| is_root(said)) {
        let root = roots.entry(said.cable).or_insert(place);
        if said.stage < kept[*root].stage {
            *root = place;
        }
    }
    for effect in effects {
        let root = roots
            .get(&effect.cable)
            .and_then(|&root| kept.get_mut(root));
        if let Some(root) = root.filter(|root| root.stage < effect.stage) {
            name(root, effect);
        }
    }
    for said in &mut kept {
        close(&mut said.finding.message);
    }
    kept.into_iter().map(|said| said.finding).collect()
}

fn is_root(said: &Said) -> bool {
    said.finding.level >= Some(Level::Warning)
        && said.finding.verdict == Verdict::Contradicted
        && said.stage != Stage::Apart
}

/// What stands before the first follower in a message.
const FOLLOWING: &str = " This carries on into ";

fn name(root: &mut Said, effect: Said) {
    let Some(what) = effect.follows else { return };
    let message = &mut root.finding.message;
    if message.contains(&what) {
        return;
    }
    message.push_str(if message.contains(FOLLOWING) {
        ", and "
    } else {
        FOLLOWING
    });
    message.push_str(&what);
    for mark in effect.finding.marks.into_iter().take(1) {
        if !root
            .finding
            .marks
            .iter()
            .any(|known| known.span == mark.span)
        {
            root.finding.marks.push(crate::finding::Mark {
                label: "follows from it".to_owned(),
                ..mark
            });
        }
    }
}

/// Takes away what is confirmed of a use on a size or a resistance that has just been contradicted.
pub(super) fn unfounded(findings: &[Finding], confirmed: &mut Vec<Finding>) {
    /// The sizes and resistances that such a finding sets against each other are the first that it marks.
    const AGAINST: usize = 2;
    /// Rules that judge uses.
    const USES: [&str; 3] = ["loss-over-budget", "damping-under-guide", "overheating"];
    const ROOTS: [&str; 4] = [
        "gauge-area-mismatch",
        "resistance-below-metal",
        "resistance-above-gauge",
        "loop-single-confusion",
    ];
    let shaken: FxHashSet<Span> = findings
        .iter()
        .filter(|finding| {
            finding.level >= Some(Level::Warning) && ROOTS.contains(&finding.rule.as_str())
        })
        .flat_map(|finding| finding.marks.iter().take(AGAINST))
        .map(|mark| mark.span)
        .collect();
    if shaken.is_empty() {
        return;
    }
    confirmed.retain(|finding| {
        let uses = USES.contains(&finding.rule.as_str());
        !(uses && finding.marks.iter().any(|mark| shaken.contains(&mark.span)))
    });
}

/// The finding, its message with a stop at its end.
pub(super) fn closed(mut finding: Finding) -> Finding {
    close(&mut finding.message);
    finding
}

fn close(message: &mut String) {
    if !message.is_empty() && !message.ends_with(['.', '?', '!']) {
        message.push('.');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Mark, Stance};

    fn said(rule: &str, cable: usize, stage: Stage, follows: Option<&str>) -> Said {
        Said {
            finding: Finding {
                rule: rule.to_owned(),
                verdict: Verdict::Contradicted,
                level: Some(Level::Warning),
                stance: Stance::Asserted,
                message: format!("{rule}."),
                help: String::new(),
                marks: vec![Mark {
                    span: Span::new(cable, cable + 1),
                    label: rule.to_owned(),
                }],
                working: Vec::new(),
                sources: Vec::new(),
            },
            cable: Some(cable),
            stage,
            follows: follows.map(str::to_owned),
        }
    }

    #[test]
    fn effects_are_named_at_the_root_of_their_own_cable() {
        let folded = fold(vec![
            said("size", 0, Stage::Size, None),
            said("ohms", 0, Stage::Resistance, Some("the 5 Ω")),
            said("loss", 0, Stage::Effect, Some("the 1 dB")),
            said("loss", 1, Stage::Effect, Some("the 2 dB")),
            said("other", 1, Stage::Effect, None),
        ]);
        let rules: Vec<&str> = folded.iter().map(|finding| finding.rule.as_str()).collect();
        assert_eq!(rules, ["size", "other"]);
        assert_eq!(
            folded[0].message,
            "size. This carries on into the 5 Ω, and the 1 dB."
        );
        assert_eq!(folded[1].message, "other.");
    }

    #[test]
    fn no_use_is_confirmed_on_a_size_that_is_contradicted() {
        let found = vec![said("gauge-area-mismatch", 3, Stage::Size, None).finding];
        let of = |rule: &str, at: usize| Finding {
            verdict: Verdict::Confirmed,
            level: None,
            ..said(rule, at, Stage::Apart, None).finding
        };
        let mut confirmed = vec![
            of("damping-under-guide", 3),
            of("damping-mismatch", 3),
            of("overheating", 4),
        ];
        unfounded(&found, &mut confirmed);
        let rules: Vec<&str> = confirmed.iter().map(|one| one.rule.as_str()).collect();
        assert_eq!(rules, ["damping-mismatch", "overheating"]);
    }
}
