//! What a check says: a finding or a confirmation, with the words it rests on and the working behind it.

use crate::span::Span;
use std::borrow::Cow;

/// What was concluded about a statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Recomputed or looked up, and it agrees.
    Confirmed,
    /// The sheet's own numbers or the physics say otherwise.
    Contradicted,
    /// The two sides of a comparison differ in something other than what is being claimed.
    Unequal,
    /// No physical mechanism at audio frequencies could make it so.
    NoBasis,
    /// Something needed to judge it is missing.
    Unstated,
    /// The cable is too thin or too long for the use the sheet gives it.
    Unfit,
    /// Somebody could be hurt.
    Caution,
}

impl Verdict {
    /// The word used in rule files and reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Confirmed => "confirmed",
            Self::Contradicted => "contradicted",
            Self::Unequal => "unequal",
            Self::NoBasis => "no-basis",
            Self::Unstated => "unstated",
            Self::Unfit => "unfit",
            Self::Caution => "caution",
        }
    }
}

/// How much weight a finding carries (SARIF's own words), lightest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Worth knowing.
    Note,
    /// Does not hold.
    Warning,
    /// Plainly wrong, or a danger.
    Error,
}

impl Level {
    /// The word used in rule files and reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// Who stands behind a statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Stance {
    /// The document says so itself.
    #[default]
    Asserted,
    /// Somebody else says so, and the document agrees.
    Endorsed,
    /// Somebody else says so.
    Reported,
    /// The document says that it is not so.
    Denied,
    /// A question.
    Asked,
    /// Said under a condition that is not claimed to hold.
    Conditional,
}

impl Stance {
    /// The word used in rule files and reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Asserted => "asserted",
            Self::Endorsed => "endorsed",
            Self::Reported => "reported",
            Self::Denied => "denied",
            Self::Asked => "asked",
            Self::Conditional => "conditional",
        }
    }
}

/// Words of the document that a finding rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Where they stand in the running text.
    pub span: Span,
    /// What they are, in a few words.
    pub label: String,
}

/// Where an input of the working came from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// Words of the document.
    Quoted(Span),
    /// A threshold or figure from a rule file, by its name there.
    RuleFile(String),
    /// A named default, because the document does not say.
    Default(String),
    /// Computed from the steps before it.
    Computed,
}

/// One step of the working.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Symbol, for example `R_loop`.
    pub symbol: Cow<'static, str>,
    /// Expression, for example `2 · ρ · l / A`.
    pub expression: String,
    /// Value in `unit`.
    pub value: f64,
    /// Unit of `value`.
    pub unit: &'static str,
    /// Where it came from.
    pub from: Origin,
}

/// One thing that a check has to say about a document.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Rule id, for example `unequal-gauge`.
    pub rule: String,
    /// What was concluded.
    pub verdict: Verdict,
    /// Weight; `None` for a confirmation.
    pub level: Option<Level>,
    /// Who stands behind the statement.
    pub stance: Stance,
    /// What the document says and what the numbers give.
    pub message: String,
    /// What would be right, or what to ask the maker.
    pub help: String,
    /// Words it rests on, the primary one first; empty when it speaks of the whole document.
    pub marks: Vec<Mark>,
    /// The way from quoted words and named defaults to the verdict.
    pub working: Vec<Step>,
    /// Ids of the sources it cites.
    pub sources: Vec<String>,
}

/// Keeps at most `most` findings, the weightest first to stay, in the order of the document. Returns how many are left out.
pub(crate) fn keep(findings: &mut Vec<Finding>, most: usize) -> usize {
    order(findings);
    // What two checks, or two owners of one figure, say of the same words in the same words is said once.
    findings.dedup_by(|again, kept| {
        let first = |finding: &Finding| finding.marks.first().map(|mark| mark.span);
        let same = kept.level.is_some()
            && kept.level == again.level
            && kept.rule == again.rule
            && kept.message == again.message
            && first(kept).is_some()
            && first(kept) == first(again);
        if same {
            for mark in std::mem::take(&mut again.marks) {
                if !kept.marks.iter().any(|known| known.span == mark.span) {
                    kept.marks.push(mark);
                }
            }
        }
        same
    });
    let left_out = findings.len().saturating_sub(most);
    if left_out > 0 {
        findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
        findings.truncate(most);
        order(findings);
    }
    left_out
}

/// By the first word they rest on, then by rule; what speaks of the whole document comes last.
fn order(findings: &mut [Finding]) {
    findings.sort_by(|one, other| {
        let key = |finding: &Finding| {
            let span = finding.marks.first().map(|mark| mark.span);
            (span.is_none(), span.unwrap_or_default())
        };
        key(one)
            .cmp(&key(other))
            .then_with(|| one.rule.cmp(&other.rule))
            .then_with(|| one.message.cmp(&other.message))
    });
}
