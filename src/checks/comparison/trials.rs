//! Scores offered as proof that guessing alone would reach too often: the exact binomial tail, one-sided.

use super::super::known::Knew;
use super::super::{Context, Said, Work, format};
use crate::facts::Score;
use crate::physics::chance;
use rustc_hash::FxHashSet;

pub(in crate::checks) const RULES: &[&str] = &[RULE];
pub(in crate::checks) const RULE: &str = "too-few-trials";

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    let setup = &context.facts.setup;
    let limit = context.threshold(RULE, "probability");
    let all: FxHashSet<_> = (setup.scores.iter())
        .map(|score| (score.trials, score.correct))
        .collect();
    let mut said = Vec::new();
    for score in &setup.scores {
        // Statistics of a sighted test say nothing about hearing: that is said first.
        if sighted(context, score) {
            continue;
        }
        let guess = score
            .chance
            .map_or_else(|| context.threshold(RULE, "chance"), |fact| fact.value);
        // "17 of 24 for the one, 7 of 24 for the other" is one score.
        let rest = score.trials - score.correct.min(score.trials);
        let losing = guess >= 0.5 && rest > score.correct && all.contains(&(score.trials, rest));
        if losing {
            continue;
        }
        // A score that guessing would reach in nearly half of all cases is nobody's proof that something was heard.
        let proof =
            score.offered_as_proof && f64::from(score.correct) > guess * f64::from(score.trials);
        let Some(tail) = chance::tail(score.correct, score.trials, guess) else {
            continue;
        };
        let proof = proof && tail < context.threshold(RULE, "toss");
        let mut work = Work::default()
            .quoted(context, "k", f64::from(score.correct), "1", score.span)
            .quoted(context, "n", f64::from(score.trials), "1", score.span);
        work = match score.chance {
            Some(fact) => work.quoted(context, "p", guess, "1", fact.span),
            None => work.threshold(context, "p", RULE, "chance", "1"),
        };
        let work = work
            .computed(
                "P(X ≥ k)",
                "Σ C(n, i) · pⁱ · (1 − p)ⁿ⁻ⁱ from i = k to n",
                tail,
                "1",
            )
            .threshold(context, "limit", RULE, "probability", "1");
        let count = format!("{} of {}", score.correct, score.trials);
        if tail > limit && proof {
            let needed = chance::least_score(score.trials, guess, limit);
            let needed = needed.map_or_else(
                || format!("not even {} of {} would be below {}", score.trials, score.trials, format::three(limit)),
                |least| format!("{least} of {} is the lowest score that guessing reaches in fewer than {} of cases", score.trials, format::percent(limit)),
            );
            let message = format!(
                "“{}” is offered as proof. Guessing alone reaches {count} or better with a probability of {}; {needed}.",
                context.quote(score.span),
                format::three(tail),
            );
            said.push(
                Said::finding(context, RULE)
                    .message(message)
                    .mark(
                        score.span,
                        format!("probability by chance {}", format::three(tail)),
                    )
                    .working(work),
            );
        } else if tail <= limit {
            let message = format!(
                "{count}: guessing alone reaches it with a probability of {}, below {}.",
                format::three(tail),
                format::three(limit)
            );
            said.push(
                Said::confirmed(context, RULE)
                    .message(message)
                    .mark(
                        score.span,
                        format!("probability by chance {}", format::three(tail)),
                    )
                    .working(work),
            );
        }
    }
    said
}

/// Whether what is said nearest to a score of who knew is that they did; of two sessions each has its own score.
fn sighted(context: &Context<'_>, score: &Score) -> bool {
    let Some(at) = context.sentence(score.span) else {
        return false;
    };
    // What another part of the document tells of who knew is not of this session, where this part tells it too.
    let own = context.part(at);
    let here = |knew: &Knew| context.part(knew.sentence) == own;
    let told = context.knew();
    let start = told.partition_point(|knew| context.part(knew.sentence) < own);
    let end = start + told[start..].iter().take_while(|&knew| here(knew)).count();
    let knew = if start < end { &told[start..end] } else { told };
    let behind = knew.partition_point(|knew| knew.sentence < at);
    let (before, behind) = knew.split_at(behind);
    let block = |at: usize| context.sheet.sentences[at].block();
    let here = |knew: &&Knew| block(knew.sentence) == block(at);
    if !before
        .iter()
        .rev()
        .take_while(here)
        .any(|knew| knew.sighted)
        && !behind.iter().take_while(here).any(|knew| knew.sighted)
    {
        // Who was right about what played was not told it: that is of another part of the evening. So is what is told in the paragraphs
        // behind, where those before say that nobody knew.
        let told = before.last().is_some_and(|knew| !knew.sighted);
        if score.identified || told {
            return false;
        }
    }
    // The nearest on either side, all that stand in one sentence together.
    let apart = |knew: Option<&Knew>| knew.map(|knew| knew.sentence.abs_diff(at));
    let nearest = apart(before.last())
        .into_iter()
        .chain(apart(behind.first()));
    let Some(nearest) = nearest.min() else {
        return false;
    };
    let here = |knew: &&Knew| knew.sentence.abs_diff(at) == nearest;
    let mut those = (before.iter().rev().take_while(here)).chain(behind.iter().take_while(here));
    those.all(|knew| knew.sighted)
}
