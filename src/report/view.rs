//! What every format shows of a document, worked out once: lines, columns, quotations, totals, groups.
//!
//! Long: one view, worked out in one pass; the formats take their parts from it.

use crate::facts::{Facts, Subject};
use crate::finding::{Finding, Level, Mark, Origin, Stance, Step, Verdict};
use crate::input::{Place, Source};
use crate::report::number::shown;
use crate::report::understood::{self, Group};
use crate::rulebook::Rulebook;
use crate::run::Audit;
use crate::sheet::{Bound, Value};
use crate::span::Span;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::OnceLock;

/// Words of the document in their place.
#[derive(Debug, Clone)]
pub struct Quote {
    /// Where they stand in the file.
    pub place: Place,
    /// Where they stand in the decoded text.
    pub range: Range<usize>,
    /// The decoded text of that place.
    pub text: String,
    /// What they are.
    pub label: String,
}

/// One step of a working, with its origin in words.
#[derive(Debug, Clone)]
pub struct Work {
    /// Symbol.
    pub symbol: String,
    /// Expression.
    pub expression: String,
    /// Value in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: String,
    /// Where it came from.
    pub from: String,
}

impl Work {
    /// `R_loop = 2 · ρ · l / A = 0.159 Ω`.
    #[must_use]
    pub fn equation(&self) -> String {
        let mut out = self.symbol.clone();
        if !self.expression.is_empty() && self.expression != self.symbol {
            out.push_str(" = ");
            out.push_str(&self.expression);
        }
        let value = shown(self.value);
        if self.expression != value {
            out.push_str(" = ");
            out.push_str(&value);
        }
        // A pure ratio has the unit one.
        if !matches!(self.unit.as_str(), "" | "1") {
            out.push(' ');
            out.push_str(&self.unit);
        }
        out
    }
}

/// A source that a rule cites.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cited {
    /// Id in the rulebook.
    pub id: String,
    /// Author, title, edition.
    pub text: String,
}

/// Who settled a finding and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settled {
    /// Why it stands.
    pub reason: String,
    /// Who said so.
    pub who: String,
    /// When.
    pub date: String,
}

/// A finding or a confirmation.
#[derive(Debug, Clone)]
pub struct Item {
    /// Rule id.
    pub rule: String,
    /// The rule's few words for lists.
    pub title: String,
    /// What was concluded.
    pub verdict: Verdict,
    /// Weight; none for a confirmation.
    pub level: Option<Level>,
    /// Who stands behind the statement.
    pub stance: Stance,
    /// What the document says and what the numbers give.
    pub message: String,
    /// What would be right, or what to ask.
    pub help: String,
    /// Words it rests on, the primary ones first.
    pub quotes: Vec<Quote>,
    /// The sentence (field, cell) of the primary words, in one line.
    pub sentence: String,
    /// The working.
    pub working: Vec<Work>,
    /// Sources cited.
    pub sources: Vec<Cited>,
    /// The same for the same rule and words wherever they stand in the file.
    pub fingerprint: String,
    /// Set when a reviewer has settled it.
    pub settled: Option<Settled>,
}

impl Item {
    /// `line 3`, `lines 3 to 5`, or `the whole document`.
    #[must_use]
    pub fn where_it_stands(&self) -> String {
        self.quotes.first().map_or_else(
            || "the whole document".to_owned(),
            |quote| lines(&quote.place),
        )
    }

    /// The primary words in one line, blanks joined.
    #[must_use]
    pub fn quotation(&self) -> String {
        self.quotes
            .first()
            .map(|quote| one_line(&quote.text))
            .unwrap_or_default()
    }

    /// Verdict, stance included where it is not the document's own word.
    #[must_use]
    pub fn verdict_words(&self) -> String {
        let said = verdict_words(self.verdict);
        match self.stance {
            Stance::Asserted => said.to_owned(),
            Stance::Endorsed => format!("{said}, endorsed here"),
            Stance::Reported => format!("{said}, reported here"),
            Stance::Denied => format!("{said}, denied here"),
            Stance::Asked => format!("{said}, asked here"),
            Stance::Conditional => format!("{said}, under a condition"),
        }
    }
}

/// `line 3` or `lines 3 to 5`.
#[must_use]
pub fn lines(place: &Place) -> String {
    if place.end_line > place.line {
        format!("lines {} to {}", place.line, place.end_line)
    } else {
        format!("line {}", place.line)
    }
}

/// A verdict in words for people.
#[must_use]
pub fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Confirmed => "confirmed",
        Verdict::Contradicted => "contradicted by the numbers",
        Verdict::Unequal => "not like for like",
        Verdict::NoBasis => "no physical basis",
        Verdict::Unstated => "left unsaid",
        Verdict::Unfit => "not fit for this use",
        Verdict::Caution => "caution: somebody could be hurt",
    }
}

/// A quantity of the document.
#[derive(Debug, Clone)]
pub struct Measure {
    /// Kind, as in JSON.
    pub kind: &'static str,
    /// The number as written.
    pub value: Value,
    /// The unit as written.
    pub unit: String,
    /// Where it stands.
    pub quote: Quote,
    /// Value in SI units.
    pub si: Option<f64>,
    /// Unit of `si`.
    pub si_unit: &'static str,
    /// How it is bounded.
    pub bound: Bound,
    /// Ends of one range share this number.
    pub range: Option<u32>,
    /// Conductors of this size.
    pub conductors: Option<u32>,
    /// Correct answers, for trials.
    pub score: Option<f64>,
    /// Whether it was given to no cable and to no set-up.
    pub unclaimed: bool,
}

/// A claim of the document.
#[derive(Debug, Clone)]
pub struct Said {
    /// Rule that speaks of such claims.
    pub rule: String,
    /// The rule's few words for lists.
    pub title: String,
    /// Who stands behind it.
    pub stance: Stance,
    /// The words.
    pub quote: Quote,
}

/// A comparison of the document.
#[derive(Debug, Clone)]
pub struct Compared {
    /// Names of the sides.
    pub sides: Vec<String>,
    /// Indices of the cables of the sides.
    pub cables: Vec<usize>,
    /// What is said or credited to be the subject.
    pub subjects: Vec<&'static str>,
    /// The words that state the outcome.
    pub outcome: Option<Quote>,
    /// Name of the side that is said to be better.
    pub winner: Option<String>,
    /// Stated differences in words.
    pub differences: Vec<String>,
    /// A listening test.
    pub listening: bool,
    /// The sides are said to have been alike.
    pub null: bool,
    /// The document itself points out that the sides were unequal.
    pub critique: bool,
    /// The words that set the sides side by side.
    pub quote: Quote,
}

/// How many of each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Documents.
    pub documents: usize,
    /// Findings at `error`.
    pub error: usize,
    /// Findings at `warning`.
    pub warning: usize,
    /// Findings at `note`.
    pub note: usize,
    /// Confirmations.
    pub confirmed: usize,
    /// Findings that a reviewer has settled.
    pub settled: usize,
}

impl Counts {
    /// Adds those of another document.
    pub fn add(&mut self, other: Self) {
        self.documents += other.documents;
        self.error += other.error;
        self.warning += other.warning;
        self.note += other.note;
        self.confirmed += other.confirmed;
        self.settled += other.settled;
    }

    /// Whether anything at `level` or above is among them.
    #[must_use]
    pub fn reach(&self, level: Level) -> bool {
        self.error > 0
            || (level <= Level::Warning && self.warning > 0)
            || (level <= Level::Note && self.note > 0)
    }

    /// `2 errors, 1 warning, 3 notes`, or `nothing to object to`.
    #[must_use]
    pub fn found(&self) -> String {
        let parts: Vec<String> = [
            (self.error, "error"),
            (self.warning, "warning"),
            (self.note, "note"),
        ]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| counted(count, word))
        .collect();
        if parts.is_empty() {
            "nothing to object to".to_owned()
        } else {
            parts.join(", ")
        }
    }
}

/// `1 cable`, `2 cables`.
#[must_use]
pub fn counted(count: usize, word: &str) -> String {
    match (count, word.strip_suffix('y')) {
        (1, _) => format!("1 {word}"),
        (_, Some(stem)) => format!("{count} {stem}ies"),
        _ => format!("{count} {word}s"),
    }
}

/// A document as reports show it.
#[derive(Debug)]
pub struct View<'a> {
    /// The document.
    pub source: &'a Source,
    /// Identifier given with the text, when it came from a stream of documents.
    pub id: Option<serde_json::Value>,
    /// Kind of document in a word.
    pub kind: &'static str,
    /// What does not hold, settled ones left out, in the order of the document.
    pub findings: Vec<Item>,
    /// Indices of `findings`, those of one cause together, the weightiest first.
    pub groups: Vec<Vec<usize>>,
    /// What agrees.
    pub confirmed: Vec<Item>,
    /// What a reviewer has settled.
    pub settled: Vec<Item>,
    /// Number of quantities.
    pub quantity_count: usize,
    /// Worked out when a format asks: a dense document has a great many.
    quantities: OnceLock<Vec<Measure>>,
    quoter: Quoter<'a>,
    /// Cables with what is said of each.
    pub cables: Vec<Group>,
    /// Test set-up.
    pub setup: Group,
    /// Comparisons.
    pub comparisons: Vec<Compared>,
    /// Claims.
    pub claims: Vec<Said>,
    /// Limits that were reached.
    pub remarks: Vec<String>,
    /// How many of each.
    pub counts: Counts,
    /// What was understood, for pictures.
    pub facts: &'a Facts,
    /// The running text, in whose offsets the spans of `facts` are.
    pub flow_text: &'a str,
}

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
        let range = self.audit.sheet.flow.source(span);
        let start = text.floor_char_boundary(range.start.min(text.len()));
        let end = text.ceil_char_boundary(range.end.clamp(start, text.len()));
        Quote {
            place: self.source.place(start..end),
            range: start..end,
            text: text.get(start..end).unwrap_or("").to_owned(),
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
        let cables: Vec<Group> = facts
            .cables
            .iter()
            .enumerate()
            .map(|(index, cable)| understood::cable(index, cable, quoter))
            .collect();
        let name = |index: usize| {
            cables.get(index).map_or_else(
                || format!("cable {}", index + 1),
                |group| group.name.clone(),
            )
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
                title: title(rulebook, &claim.rule),
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
            quantities: OnceLock::new(),
            quoter,
            setup: understood::setup(&facts.setup, quoter),
            cables,
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

    fn count(&mut self) {
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

    /// Quantities in reading order.
    #[must_use]
    pub fn quantities(&self) -> &[Measure] {
        self.quantities.get_or_init(|| {
            let unclaimed: BTreeSet<usize> = self.facts.unclaimed.iter().copied().collect();
            let all = &self.quoter.audit.sheet.quantities;
            all.iter()
                .enumerate()
                .map(|(index, quantity)| Measure {
                    kind: quantity.kind.name(),
                    value: quantity.value.clone(),
                    unit: quantity.unit.clone(),
                    quote: self.quoter.quote(quantity.span, ""),
                    si: quantity.si,
                    si_unit: quantity.si_unit,
                    bound: quantity.bound,
                    range: quantity.range,
                    conductors: quantity.conductors,
                    score: quantity.score,
                    unclaimed: unclaimed.contains(&index),
                })
                .collect()
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
            (self.cables.len(), "cable"),
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
fn groups(findings: &[Item]) -> Vec<Vec<usize>> {
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

fn title(rulebook: &Rulebook, rule: &str) -> String {
    rulebook
        .rule(rule)
        .map_or_else(|| rule.to_owned(), |rule| rule.title.clone())
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
                text: rulebook
                    .source(id)
                    .map_or_else(|| id.clone(), |source| source.text.clone()),
            })
            .collect(),
        fingerprint: fingerprint(&finding.rule, &words, *occurrence),
        quotes,
        settled: None,
    }
}

/// The sentence that holds the primary words.
fn sentence(finding: &Finding, quoter: Quoter<'_>) -> String {
    let Some(mark) = finding.marks.first() else {
        return String::new();
    };
    let sentences = &quoter.audit.sheet.sentences;
    let after = sentences.partition_point(|sentence| sentence.span.start <= mark.span.start);
    after
        .checked_sub(1)
        .and_then(|index| sentences.get(index))
        .filter(|sentence| sentence.span.end >= mark.span.end)
        .map(|sentence| one_line(sentence.span.of(quoter.audit.sheet.flow.text())))
        .unwrap_or_default()
}

fn work(step: &Step, quoter: Quoter<'_>) -> Work {
    Work {
        symbol: step.symbol.clone(),
        expression: step.expression.clone(),
        value: step.value,
        unit: step.unit.clone(),
        from: match &step.from {
            Origin::Quoted(span) => {
                let quote = quoter.quote(*span, "");
                format!(
                    "{}: “{}”",
                    lines(&quote.place),
                    shortened(&one_line(&quote.text), 80)
                )
            }
            Origin::RuleFile(name) => format!("rulebook: {name}"),
            Origin::Default(name) => format!("assumed, the document does not say: {name}"),
            Origin::Computed => "computed".to_owned(),
        },
    }
}

/// `text` with every run of white space as one blank.
#[must_use]
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// At most `most` characters of `text`, with a sign where something is left out.
#[must_use]
pub fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        None => text.to_owned(),
        Some((cut, _)) => format!("{}…", text.get(..cut).unwrap_or(text).trim_end()),
    }
}

/// Sixteen hexadecimal digits (FNV-1a, 64 bits) over rule, quotation and occurrence: an edit elsewhere in the file leaves
/// them as they are.
fn fingerprint(rule: &str, words: &str, occurrence: usize) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let occurrence = occurrence.to_string();
    for part in [rule, "\n", &words.to_lowercase(), "\n", &occurrence] {
        for byte in part.bytes() {
            hash ^= u64::from(byte);
            hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}

/// A bound in words that go before the figure.
#[must_use]
pub fn bound_words(bound: Bound) -> &'static str {
    match bound {
        Bound::Exact => "",
        Bound::About => "about",
        Bound::AtMost => "at most",
        Bound::AtLeast => "at least",
        Bound::RangeLow => "from",
        Bound::RangeHigh => "up to",
        Bound::Tolerance => "give or take",
    }
}

/// A subject of a comparison in a word.
#[must_use]
pub fn subject_word(subject: Subject) -> &'static str {
    match subject {
        Subject::Size => "conductor size",
        Subject::Length => "length",
        Subject::Metal => "metal",
        Subject::Other => "something else",
    }
}
