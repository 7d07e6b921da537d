//! The view of one audit, worked out in one pass. Knows the audit and the rules, and nothing of formats.

use super::{
    Cited, Counts, Item, Measure, Quote, Said, Settled, View, Work, counted, fingerprint, one_line,
    shortened,
};
use crate::facts::Cable;
use crate::finding::{Finding, Level, Mark, Origin, Step};
use crate::input::Source;
use crate::report::understood;
use crate::report::understood::{Group, Row};
use crate::rulebook::{self, Confirmed, Rulebook};
use crate::run::Audit;
use crate::span::Span;
use std::collections::BTreeMap;
use std::ops::Range;

/// Leads spans of the running text back to words in their place.
#[derive(Debug, Clone, Copy)]
pub struct Quoter<'a> {
    source: &'a Source,
    audit: &'a Audit,
}

impl Quoter<'_> {
    /// The words of `span`.
    #[must_use]
    pub fn quote(&self, span: Span, label: &str) -> Quote {
        let text = self.source.text();
        let flow = &self.audit.sheet.flow;
        let on_borders = |range: Range<usize>| {
            let start = text.floor_char_boundary(range.start.min(text.len()));
            let end = text.ceil_char_boundary(range.end.clamp(start, text.len()));
            (self.source.place(start..end), start..end)
        };
        let mut stretches = flow.stretches(span, text).into_iter().map(on_borders);
        let (place, range) = stretches.next().unwrap_or_else(|| on_borders(0..0));
        let further: Vec<_> = stretches.collect();
        Quote {
            place,
            text: if further.is_empty() {
                text.get(range.clone()).unwrap_or("").to_owned()
            } else {
                span.of(flow.text()).to_owned()
            },
            range,
            further,
            label: label.to_owned(),
        }
    }
}

impl<'a> View<'a> {
    /// Works out what is to be shown.
    #[must_use]
    pub fn new(source: &'a Source, audit: &'a Audit, rulebook: &Rulebook) -> Self {
        let quoter = Quoter { source, audit };
        let facts = &audit.facts;
        let items = |findings: &[Finding]| -> Vec<Item> {
            let mut seen = BTreeMap::new();
            findings
                .iter()
                .map(|finding| item(finding, quoter, rulebook, &mut seen))
                .collect()
        };
        let name = |index: usize| match facts.cables.get(index) {
            Some(cable) => understood::name(index, cable),
            None => format!("cable {}", index + 1),
        };
        let comparisons = facts
            .comparisons
            .iter()
            .map(|comparison| understood::comparison(comparison, &name, quoter))
            .collect();
        let claims = audit
            .claims
            .iter()
            .map(|claim| Said {
                rule: claim.rule.clone(),
                stance: claim.stance,
                quote: quoter.quote(claim.span, ""),
            })
            .collect();
        let mut view = Self {
            source,
            id: None,
            kind: facts.kind.word(),
            findings: items(&audit.findings),
            groups: Vec::new(),
            confirmed: items(&audit.confirmed),
            settled: Vec::new(),
            quantity_count: audit.sheet.quantities.len(),
            quoter,
            comparisons,
            claims,
            remarks: audit.remarks.clone(),
            counts: Counts::default(),
            facts,
            flow_text: audit.sheet.flow.text(),
        };
        view.count();
        view
    }

    /// Takes out the findings that `settled` knows an answer to.
    pub fn settle(&mut self, mut settled: impl FnMut(&Item) -> Option<Settled>) {
        let mut open = Vec::with_capacity(self.findings.len());
        for mut item in std::mem::take(&mut self.findings) {
            item.settled = settled(&item);
            if item.settled.is_some() {
                self.settled.push(item);
            } else {
                open.push(item);
            }
        }
        self.findings = open;
        self.count();
    }

    pub(super) fn count(&mut self) {
        let at = |level| {
            self.findings
                .iter()
                .filter(|item| item.level == Some(level))
                .count()
        };
        self.counts = Counts {
            documents: 1,
            error: at(Level::Error),
            warning: at(Level::Warning),
            note: at(Level::Note),
            confirmed: self.confirmed.len(),
            settled: self.settled.len(),
        };
        self.groups = groups(&self.findings);
    }

    /// Cables with what is said of each, each made when it is asked for: a dense document has a great many.
    pub fn cables(&self) -> impl Iterator<Item = Group> + '_ {
        let cables = self.facts.cables.iter().enumerate();
        cables.map(|(index, cable)| understood::cable(index, cable, self.quoter))
    }

    /// Test set-up.
    #[must_use]
    pub fn setup(&self) -> Group {
        understood::setup(&self.facts.setup, self.quoter)
    }

    /// Its rows, each made when it is asked for.
    pub fn setup_rows(&self) -> impl Iterator<Item = Row> + '_ {
        understood::setup_rows(&self.facts.setup, self.quoter)
    }

    /// Quantities in reading order, each made when it is asked for: a dense document has a great many.
    pub fn quantities(&self) -> impl Iterator<Item = Measure> + '_ {
        let unclaimed = &self.facts.unclaimed;
        let all = self.quoter.audit.sheet.quantities.iter().enumerate();
        all.map(move |(index, quantity)| Measure {
            kind: quantity.kind.name(),
            value: quantity.value(),
            unit: quantity.unit().to_string(),
            quote: self.quoter.quote(quantity.span, ""),
            si: quantity.si(),
            si_unit: quantity.si_unit.symbol(),
            bound: quantity.bound,
            range: quantity.range_number(),
            conductors: quantity.conductors,
            score: quantity.score,
            unclaimed: u32::try_from(index).is_ok_and(|at| unclaimed.binary_search(&at).is_ok()),
        })
    }

    /// Path or name of the document.
    #[must_use]
    pub fn path(&self) -> &str {
        self.source.name()
    }

    /// What was read, in a line: `14 quantities, 2 cables, 1 comparison, 3 claims`.
    #[must_use]
    pub fn read(&self) -> String {
        [
            (self.quantity_count, "quantity"),
            (cables_told(&self.facts.cables), "cable"),
            (self.comparisons.len(), "comparison"),
            (self.claims.len(), "claim"),
        ]
        .into_iter()
        .filter(|&(count, word)| count > 0 || word == "quantity")
        .map(|(count, word)| counted(count, word))
        .collect::<Vec<_>>()
        .join(", ")
    }
}

/// Findings of one rule that come from one cause stand together: those that rest on a common place, and the repetitions of
/// one claim. The weightiest group first, then by place.
pub(super) fn groups(findings: &[Item]) -> Vec<Vec<usize>> {
    let mut by_cause: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, item) in findings.iter().enumerate() {
        by_cause.entry(&item.rule).or_default().push(index);
    }
    let mut groups: Vec<Vec<usize>> = by_cause.into_values().collect();
    for group in &mut groups {
        group.sort_by_key(|&index| {
            (
                std::cmp::Reverse(findings.get(index).and_then(|item| item.level)),
                index,
            )
        });
    }
    groups.sort_by_key(|group| {
        let first = group.first().copied().unwrap_or_default();
        (
            std::cmp::Reverse(findings.get(first).and_then(|item| item.level)),
            first,
        )
    });
    groups
}

pub(super) fn title(rulebook: &Rulebook, rule: &str) -> String {
    rulebook
        .rule(rule)
        .map_or_else(|| rule.to_owned(), |rule| rule.title.to_string())
}

fn item(
    finding: &Finding,
    quoter: Quoter<'_>,
    rulebook: &Rulebook,
    seen: &mut BTreeMap<(String, String), usize>,
) -> Item {
    let quotes: Vec<Quote> = finding
        .marks
        .iter()
        .map(|Mark { span, label }| quoter.quote(*span, label))
        .collect();
    let words = quotes
        .first()
        .map(|quote| one_line(&quote.text))
        .unwrap_or_default();
    let occurrence = seen
        .entry((finding.rule.clone(), words.to_lowercase()))
        .and_modify(|count| *count += 1)
        .or_insert(1);
    Item {
        rule: finding.rule.clone(),
        title: title(rulebook, &finding.rule),
        verdict: finding.verdict,
        level: finding.level,
        stance: finding.stance,
        message: finding.message.clone(),
        help: finding.help.clone(),
        sentence: sentence(finding, quoter),
        working: finding
            .working
            .iter()
            .map(|step| work(step, quoter))
            .collect(),
        sources: finding
            .sources
            .iter()
            .map(|id| Cited {
                id: id.clone(),
                text: rulebook.source(id).map_or_else(|| id.clone(), cited),
            })
            .collect(),
        fingerprint: fingerprint(&finding.rule, &words, *occurrence),
        quotes,
        settled: None,
    }
}

/// A source as it is cited: what nobody could look up is marked.
fn cited(source: &rulebook::Source) -> String {
    let mark = match source.confirmed {
        Confirmed::Read | Confirmed::Computed => "",
        Confirmed::Memory => " [from memory]",
        Confirmed::Mixed => " [in part from memory]",
    };
    format!("{}{mark}", source.text)
}

/// How many cables there are: one that turned out to be another by its label, and has nothing left, is none.
fn cables_told(cables: &[Cable]) -> usize {
    let told = |cable: &&Cable| {
        let named = !(cable.mentions.is_empty() && cable.name.is_empty());
        let sized = !(cable.sizes.is_empty() && cable.lengths.is_empty());
        named || sized || !(cable.metals.is_empty() && cable.figures.is_empty())
    };
    cables.iter().filter(told).count().max(cables.len().min(1))
}

/// The sentence that holds the primary words.
pub(super) fn sentence(finding: &Finding, quoter: Quoter<'_>) -> String {
    let Some(mark) = finding.marks.first() else {
        return String::new();
    };
    let sentences = &quoter.audit.sheet.sentences;
    let after = sentences.partition_point(|sentence| sentence.span.start() <= mark.span.start());
    after
        .checked_sub(1)
        .and_then(|index| sentences.get(index))
        .filter(|sentence| sentence.span.end() >= mark.span.end())
        .map(|sentence| one_line(sentence.span.of(quoter.audit.sheet.flow.text())))
        .unwrap_or_default()
}

fn work(step: &Step, quoter: Quoter<'_>) -> Work {
    Work {
        symbol: step.symbol.clone(),
        expression: step.expression.clone(),
        value: step.value,
        unit: step.unit,
        from: match &step.from {
            Origin::Quoted(span) => {
                let quote = quoter.quote(*span, "");
                format!(
                    "{}: “{}”",
                    quote.lines(),
                    shortened(&one_line(&quote.text), 80)
                )
            }
            Origin::RuleFile(name) => format!("rulebook: {name}"),
            Origin::Default(name) => format!("assumed, the document does not say: {name}"),
            Origin::Computed => "computed".to_owned(),
        },
    }
}
