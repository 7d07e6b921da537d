//! What a check says before one cause is folded into one finding, and how its working is written down.

use super::Context;
use crate::facts::{Cable, Figure};
use crate::finding::{Finding, Level, Mark, Origin, Stance, Step, Verdict};
use crate::span::Span;
use std::borrow::Cow;

/// Where a statement stands in the chain from cause to effect; a wrong size makes the resistance wrong, and that the loss.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// The size of the conductor.
    Size,
    /// Resistance.
    Resistance,
    /// Line constants against each other.
    Constants,
    /// What follows from them: loss, damping, velocity.
    Effect,
    /// Stands by itself.
    Apart,
}

/// A finding with what is needed to tell causes from effects.
#[derive(Debug, Clone)]
pub struct Said {
    /// The finding.
    pub finding: Finding,
    /// Index of the cable it speaks of.
    pub cable: Option<usize>,
    /// Place in the chain.
    pub stage: Stage,
    /// Whether the statement agrees with one of two statements that contradict each other, so that it is no cause of
    /// its own. In a few words, for the finding at the root.
    pub follows: Option<String>,
}

impl From<Finding> for Said {
    fn from(finding: Finding) -> Self {
        Self {
            finding,
            cable: None,
            stage: Stage::Apart,
            follows: None,
        }
    }
}

impl Said {
    /// The figure that is judged, which is marked before what it was held to, with its cable and the index of that.
    pub(super) fn judged<'a>(
        &self,
        context: &Context<'a>,
    ) -> Option<(usize, &'a Cable, &'a Figure)> {
        let index = self.cable?;
        let cable = context.facts.cables.get(index)?;
        let mut marks = self.finding.marks.iter();
        let figure = marks.find_map(|mark| {
            let mut figures = cable.figures.iter();
            figures.find(|figure| figure.span == mark.span)
        })?;
        Some((index, cable, figure))
    }

    /// A finding of `rule` with verdict, level, help and sources as the rule file has them.
    #[must_use]
    pub fn finding(context: &Context<'_>, rule: &str) -> Self {
        let known = context.rulebook.rule(rule);
        Self::from(Finding {
            rule: rule.to_owned(),
            verdict: known.map_or(Verdict::Contradicted, |rule| rule.verdict),
            level: Some(known.map_or(Level::Warning, |rule| rule.level)),
            stance: Stance::Asserted,
            message: String::new(),
            help: known.map_or_else(String::new, |rule| rule.help.to_string()),
            marks: Vec::new(),
            working: Vec::new(),
            sources: known.map_or_else(Vec::new, |rule| rule.sources.clone()),
        })
    }

    /// Something that was recomputed and agrees.
    #[must_use]
    pub fn confirmed(context: &Context<'_>, rule: &str) -> Self {
        let mut said = Self::finding(context, rule);
        said.finding.verdict = Verdict::Confirmed;
        said.finding.level = None;
        said.finding.help = String::new();
        said
    }

    /// A confirmation that rests on words behind those of all that are kept: it is counted and needs no words of its own. Nothing
    /// where it may be kept. Dense documents confirm a great many.
    pub(super) fn left_out(context: &Context<'_>, rule: &str, span: Span) -> Option<Self> {
        let last = context.reached.last_kept.get()?;
        (span > last).then(|| Self::confirmed(context, rule).mark(span, ""))
    }

    /// Something that would turn out either way within what the document leaves open: a note that says what to ask for.
    #[must_use]
    pub fn open(context: &Context<'_>, rule: &str) -> Self {
        let mut said = Self::finding(context, rule);
        said.finding.verdict = Verdict::Unstated;
        said.finding.level = Some(Level::Note);
        said
    }

    /// Sets the weight.
    #[must_use]
    pub fn level(mut self, level: Level) -> Self {
        self.finding.level = Some(level);
        self
    }

    /// The cable it speaks of, and where in the chain.
    #[must_use]
    pub fn of(mut self, cable: usize, stage: Stage) -> Self {
        self.cable = Some(cable);
        self.stage = stage;
        self
    }

    /// Marks it as an effect of a contradiction nearer to the root.
    #[must_use]
    pub fn follows(mut self, what: impl Into<String>) -> Self {
        self.follows = Some(what.into());
        self
    }

    /// What the document says and what the numbers give.
    #[must_use]
    pub fn message(mut self, message: impl Into<String>) -> Self {
        self.finding.message = message.into();
        self
    }

    /// What would be right, or what to ask.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.finding.help = help.into();
        self
    }

    /// Words that it rests on; the first call sets the primary mark. Words marked before are not marked again.
    #[must_use]
    pub fn mark(mut self, span: Span, label: impl Into<String>) -> Self {
        if !self.finding.marks.iter().any(|mark| mark.span == span) {
            self.finding.marks.push(Mark {
                span,
                label: label.into(),
            });
        }
        self
    }

    /// As [`Self::mark`] when there are such words.
    #[must_use]
    pub fn mark_some(self, span: Option<Span>, label: impl Into<String>) -> Self {
        match span {
            Some(span) => self.mark(span, label),
            None => self,
        }
    }

    /// The way to the verdict.
    #[must_use]
    pub fn working(mut self, work: Work) -> Self {
        self.finding.working = work.0;
        // As many confirmations as are kept stand side by side, each with its working.
        self.finding.working.shrink_to_fit();
        self
    }
}

/// Steps of a working, written in the order in which they can be followed.
#[derive(Debug, Clone, Default)]
pub struct Work(Vec<Step>);

impl Work {
    fn step(
        mut self,
        symbol: impl Into<Cow<'static, str>>,
        expression: impl Into<String>,
        value: f64,
        unit: &'static str,
        from: Origin,
    ) -> Self {
        self.0.push(Step {
            symbol: symbol.into(),
            expression: expression.into(),
            value,
            unit,
            from,
        });
        self
    }

    /// A value that stands in the document.
    #[must_use]
    pub fn quoted(
        self,
        context: &Context<'_>,
        symbol: impl Into<Cow<'static, str>>,
        value: f64,
        unit: &'static str,
        span: Span,
    ) -> Self {
        let expression = format!("“{}”", context.quote(span));
        self.step(symbol, expression, value, unit, Origin::Quoted(span))
    }

    /// A threshold of a rule, cited as `rule.name`.
    #[must_use]
    pub fn threshold(
        self,
        context: &Context<'_>,
        symbol: impl Into<Cow<'static, str>>,
        rule: &str,
        name: &str,
        unit: &'static str,
    ) -> Self {
        let value = context.threshold(rule, name);
        let cited = format!("{rule}.{name}");
        self.step(
            symbol,
            name.replace('_', " "),
            value,
            unit,
            Origin::RuleFile(cited),
        )
    }

    /// A value of the table of defaults.
    #[must_use]
    pub fn usual(
        self,
        context: &Context<'_>,
        symbol: impl Into<Cow<'static, str>>,
        name: &str,
        unit: &'static str,
    ) -> Self {
        let value = context.default(name);
        self.step(
            symbol,
            name.replace('_', " "),
            value,
            unit,
            Origin::Default(name.to_owned()),
        )
    }

    /// A value that is assumed, under a name.
    #[must_use]
    pub fn assumed(
        self,
        symbol: impl Into<Cow<'static, str>>,
        name: impl Into<String>,
        value: f64,
        unit: &'static str,
    ) -> Self {
        let name = name.into();
        self.step(symbol, name.clone(), value, unit, Origin::Default(name))
    }

    /// A value from a table in the rule files.
    #[must_use]
    pub fn table(
        self,
        symbol: impl Into<Cow<'static, str>>,
        expression: impl Into<String>,
        value: f64,
        unit: &'static str,
        cited: &str,
    ) -> Self {
        self.step(
            symbol,
            expression,
            value,
            unit,
            Origin::RuleFile(cited.to_owned()),
        )
    }

    /// A value from the steps before it.
    #[must_use]
    pub fn computed(
        self,
        symbol: impl Into<Cow<'static, str>>,
        expression: impl Into<String>,
        value: f64,
        unit: &'static str,
    ) -> Self {
        self.step(symbol, expression, value, unit, Origin::Computed)
    }

    /// The steps themselves.
    #[must_use]
    pub fn steps(self) -> Vec<Step> {
        self.0
    }

    /// Appends the steps of another working.
    #[must_use]
    pub fn then(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }
}
