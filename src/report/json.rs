//! `json` and `ndjson`: the report for other programs. The types here are the format; a change of the domain types does
//! not reach a reader by itself. The whole format stands in one place, so that a change of it cannot be overlooked.

mod made;
mod write;

pub use made::{Cables, Quantities, Setup};
pub use write::{compact, pretty};

use crate::input::Place;
use crate::report::number::Number;
use crate::report::understood::{Group, Row};
use crate::report::view::{Compared, Counts, Item, Measure, Quote, Said, View, Work};
use crate::report::{Ending, Renderer, Scene};
use crate::sheet::Value;
use schemars::JsonSchema;
use serde::Serialize;
use std::io;

/// Name and version of the format.
pub const SCHEMA: &str = "claimgauge-report/1";

/// A whole report.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Report<'a> {
    /// Name and version of this format.
    pub schema: &'a str,
    /// The program that wrote it.
    pub tool: Tool<'a>,
    /// One entry for each document, in the order given.
    pub documents: Vec<Document<'a>>,
    /// Totals over all documents.
    pub summary: Summary,
}

/// The program that wrote a report.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Tool<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its version.
    pub version: &'a str,
}

/// What was found in one document.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Document<'a> {
    /// Path or name as given.
    pub path: &'a str,
    /// Identifier given with the text, for documents that came as lines.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<&'a serde_json::Value>,
    /// What kind of document it was taken for: sheet, comparison, range, chart or article.
    pub kind: &'a str,
    /// What does not hold, in the order of the document.
    pub findings: Vec<Finding<'a>>,
    /// What was recomputed and agrees.
    pub confirmed: Vec<Finding<'a>>,
    /// Findings that a reviewer has settled; they count nowhere else.
    pub settled: Vec<Finding<'a>>,
    /// Every quantity that was read.
    #[schemars(with = "Vec<Quantity<'a>>")]
    pub quantities: Quantities<'a>,
    /// The cables described.
    #[schemars(with = "Vec<Cable<'a>>")]
    pub cables: Cables<'a>,
    /// What is said of the test set-up or the conditions of use.
    #[schemars(with = "Vec<Fact<'a>>")]
    pub setup: Setup<'a>,
    /// Cables set side by side with an outcome.
    pub comparisons: Vec<Comparison<'a>>,
    /// Claims in running text.
    pub claims: Vec<Claim<'a>>,
    /// Limits that were reached and what was left out for them.
    pub remarks: Vec<&'a str>,
    /// Totals of this document.
    pub summary: Summary,
}

/// A finding, or a confirmation when it has no level.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Finding<'a> {
    /// Id of the rule.
    pub rule: &'a str,
    /// What was concluded: confirmed, contradicted, unequal, no-basis, unstated, unfit or caution.
    pub verdict: &'a str,
    /// error, warning or note.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub level: Option<&'a str>,
    /// Who stands behind the statement: asserted, endorsed, reported, denied, asked or conditional.
    pub stance: &'a str,
    /// What the document says and what the numbers give.
    pub message: &'a str,
    /// What would be right, or what to ask the maker.
    pub help: &'a str,
    /// Words that it rests on, the primary ones first; empty when it speaks of the whole document.
    pub spans: Vec<Span<'a>>,
    /// The way from quoted words and named defaults to the verdict.
    pub working: Vec<Step<'a>>,
    /// What the rule cites.
    pub sources: Vec<&'a str>,
    /// The same for the same rule and words, wherever they stand in the file.
    pub fingerprint: &'a str,
    /// Who settled it and why.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<Settled<'a>>,
}

/// Who settled a finding.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Settled<'a> {
    /// Why it may stand.
    pub reason: &'a str,
    /// Who said so.
    pub who: &'a str,
    /// When.
    pub date: &'a str,
}

/// Words of the document in their place. Lines and columns count from 1, columns in characters; bytes are offsets in the
/// file as it stands on disk.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Span<'a> {
    /// Where the words stand, or begin.
    #[serde(flatten)]
    pub place: Stretch,
    /// What the words are.
    pub label: &'a str,
    /// The words, decoded.
    pub quote: &'a str,
    /// Where the words go on when they do not stand in one stretch: in the next column, or below a line of the column beside.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub goes_on: Vec<Stretch>,
}

/// Part of a quotation, in its place.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Stretch {
    /// Line of the first character.
    pub line: usize,
    /// Column of the first character.
    pub column: usize,
    /// Line of the end.
    pub end_line: usize,
    /// Column one past the last character.
    pub end_column: usize,
    /// First byte.
    pub byte_start: usize,
    /// One past the last byte.
    pub byte_end: usize,
}

impl From<&Place> for Stretch {
    fn from(place: &Place) -> Self {
        Self {
            line: place.line,
            column: place.column,
            end_line: place.end_line,
            end_column: place.end_column,
            byte_start: place.byte_start,
            byte_end: place.byte_end,
        }
    }
}

fn goes_on(quote: &Quote) -> Vec<Stretch> {
    let further = quote.further.iter();
    further.map(|(place, _)| Stretch::from(place)).collect()
}

/// One step of a working.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Step<'a> {
    /// Symbol.
    pub symbol: &'a str,
    /// Expression.
    pub expression: &'a str,
    /// Value in `unit`.
    pub value: Number,
    /// Unit.
    pub unit: &'a str,
    /// Where it came from: words of a line, the rulebook, a named assumption, or the steps before.
    pub from: &'a str,
}

/// A quantity of the document.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Quantity<'a> {
    /// gauge, area, diameter, strands, length, resistance, resistance_per_length, inductance_per_length,
    /// capacitance_per_length, delay_per_length, impedance, frequency, level_db, power, voltage, current, temperature, percent,
    /// velocity_factor, damping_factor or trials.
    pub kind: &'a str,
    /// The number as written; a gauge such as 4/0 is a string.
    pub value: Written<'a>,
    /// The unit as written.
    pub unit: &'a str,
    /// Where the words stand, or begin.
    #[serde(flatten)]
    pub place: Stretch,
    /// The words, decoded.
    pub quote: &'a str,
    /// Where the words go on when they do not stand in one stretch.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub goes_on: Vec<Stretch>,
    /// Value in SI units.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub si_value: Option<Number>,
    /// Unit of `si_value`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub si_unit: Option<&'a str>,
    /// How the words bound it: about, at most, at least, from, up to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bound: Option<&'a str>,
    /// The two ends of one range share this number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<u32>,
    /// Conductors of this size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductors: Option<u32>,
    /// Correct answers or votes, for trials.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub score: Option<Number>,
    /// Present and true when it was given to no cable and to no set-up.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unclaimed: bool,
}

/// A number as written.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Written<'a> {
    /// A number.
    Number(Number),
    /// What is no number: `4/0`.
    Text(&'a str),
}

/// A cable described.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Cable<'a> {
    /// What it is called.
    pub name: &'a str,
    /// Words that name it.
    pub mentions: Vec<Span<'a>>,
    /// What is said of it.
    pub facts: Vec<Fact<'a>>,
}

/// One thing that is said.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Fact<'a> {
    /// What it is.
    pub what: &'a str,
    /// How it was understood, in words.
    pub value: &'a str,
    /// Value in SI units, where it is a figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub si_value: Option<Number>,
    /// Unit of `si_value`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub si_unit: Option<&'a str>,
    /// The words.
    pub span: Span<'a>,
}

/// Cables set side by side.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Comparison<'a> {
    /// The sides in words.
    pub sides: Vec<&'a str>,
    /// Indices of the sides in `cables`.
    pub cables: &'a [usize],
    /// What is said to be tested or credited.
    pub subjects: &'a [&'static str],
    /// Words that put the outcome down to something that is no metal.
    pub credit: Option<Span<'a>>,
    /// Words that state the outcome.
    pub outcome: Option<Span<'a>>,
    /// The side said to be better.
    pub winner: Option<&'a str>,
    /// Stated differences in words.
    pub differences: Vec<&'a str>,
    /// Whether people listened, as against a lamp or a meter.
    pub listening: bool,
    /// Whether the sides are said to have been alike.
    pub null: bool,
    /// Whether the document itself points out that the sides were unequal.
    pub critique: bool,
    /// Words that set the sides side by side.
    pub span: Span<'a>,
}

/// A claim in running text.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Claim<'a> {
    /// Rule that speaks of such claims.
    pub rule: &'a str,
    /// Who stands behind it.
    pub stance: &'a str,
    /// The words.
    pub span: Span<'a>,
}

/// Totals.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Summary {
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

impl From<Counts> for Summary {
    fn from(counts: Counts) -> Self {
        Self {
            documents: counts.documents,
            error: counts.error,
            warning: counts.warning,
            note: counts.note,
            confirmed: counts.confirmed,
            settled: counts.settled,
        }
    }
}

impl<'a> From<&'a Quote> for Span<'a> {
    fn from(quote: &'a Quote) -> Self {
        Self {
            place: Stretch::from(&quote.place),
            label: &quote.label,
            quote: &quote.text,
            goes_on: goes_on(quote),
        }
    }
}

impl<'a> From<&'a Work> for Step<'a> {
    fn from(work: &'a Work) -> Self {
        Self {
            symbol: &work.symbol,
            expression: &work.expression,
            value: Number(work.value),
            unit: work.unit,
            from: &work.from,
        }
    }
}

impl<'a> From<&'a Item> for Finding<'a> {
    fn from(item: &'a Item) -> Self {
        Self {
            rule: &item.rule,
            verdict: item.verdict.word(),
            level: item.level.map(crate::finding::Level::word),
            stance: item.stance.word(),
            message: &item.message,
            help: &item.help,
            spans: item.quotes.iter().map(Span::from).collect(),
            working: item.working.iter().map(Step::from).collect(),
            sources: item
                .sources
                .iter()
                .map(|source| source.text.as_str())
                .collect(),
            fingerprint: &item.fingerprint,
            settled: item.settled.as_ref().map(|settled| Settled {
                reason: &settled.reason,
                who: &settled.who,
                date: &settled.date,
            }),
        }
    }
}

impl<'a> From<&'a Measure> for Quantity<'a> {
    fn from(measure: &'a Measure) -> Self {
        let bound = super::view::bound_words(measure.bound);
        Self {
            kind: measure.kind,
            value: match &measure.value {
                Value::Number(number) => Written::Number(Number(*number)),
                Value::Text(text) => Written::Text(text),
            },
            unit: &measure.unit,
            place: Stretch::from(&measure.quote.place),
            quote: &measure.quote.text,
            goes_on: goes_on(&measure.quote),
            si_value: measure.si.map(Number),
            si_unit: measure.si.map(|_| measure.si_unit),
            bound: (!bound.is_empty()).then_some(bound),
            range: measure.range,
            conductors: measure.conductors,
            score: measure.score.map(Number),
            unclaimed: measure.unclaimed,
        }
    }
}

impl<'a> From<&'a Row> for Fact<'a> {
    fn from(row: &'a Row) -> Self {
        Self {
            what: &row.what,
            value: &row.value,
            si_value: row.si.map(Number),
            si_unit: row.si.map(|_| row.si_unit),
            span: Span::from(&row.quote),
        }
    }
}

impl<'a> From<&'a Group> for Cable<'a> {
    fn from(group: &'a Group) -> Self {
        Self {
            name: &group.name,
            mentions: group.mentions.iter().map(Span::from).collect(),
            facts: group.rows.iter().map(Fact::from).collect(),
        }
    }
}

impl<'a> From<&'a Compared> for Comparison<'a> {
    fn from(compared: &'a Compared) -> Self {
        Self {
            sides: compared.sides.iter().map(String::as_str).collect(),
            cables: &compared.cables,
            subjects: &compared.subjects,
            credit: compared.credit.as_ref().map(Span::from),
            outcome: compared.outcome.as_ref().map(Span::from),
            winner: compared.winner.as_deref(),
            differences: compared.differences.iter().map(String::as_str).collect(),
            listening: compared.listening,
            null: compared.null,
            critique: compared.critique,
            span: Span::from(&compared.quote),
        }
    }
}

impl<'a> From<&'a Said> for Claim<'a> {
    fn from(said: &'a Said) -> Self {
        Self {
            rule: &said.rule,
            stance: said.stance.word(),
            span: Span::from(&said.quote),
        }
    }
}

impl<'a> From<&'a View<'a>> for Document<'a> {
    fn from(view: &'a View<'a>) -> Self {
        Self {
            path: view.path(),
            id: view.id.as_ref(),
            kind: view.kind,
            findings: view.findings.iter().map(Finding::from).collect(),
            confirmed: view.confirmed.iter().map(Finding::from).collect(),
            settled: view.settled.iter().map(Finding::from).collect(),
            quantities: Quantities(view),
            cables: Cables(view),
            setup: Setup(view),
            comparisons: view.comparisons.iter().map(Comparison::from).collect(),
            claims: view.claims.iter().map(Claim::from).collect(),
            remarks: view.remarks.iter().map(String::as_str).collect(),
            summary: view.counts.into(),
        }
    }
}

const TOOL: Tool<'_> = Tool {
    name: env!("CARGO_PKG_NAME"),
    version: env!("CARGO_PKG_VERSION"),
};

/// One object for all documents.
pub struct Json;

impl Renderer for Json {
    fn head(&self, _: &Scene<'_>, _: &Ending) -> String {
        format!(
            "{{\"schema\": {}, \"tool\": {},\n\"documents\": [\n",
            compact(&SCHEMA),
            compact(&TOOL)
        )
    }

    fn joint(&self) -> &'static str {
        ",\n"
    }

    fn document(&self, view: &View<'_>, _: &Scene<'_>, _: usize) -> String {
        pretty(&Document::from(view))
    }

    fn write(
        &self,
        view: &View<'_>,
        _: &Scene<'_>,
        _: usize,
        to: &mut dyn io::Write,
    ) -> io::Result<()> {
        write::pretty_to(&Document::from(view), to)
    }

    fn tail(&self, _: &Scene<'_>, ending: &Ending) -> String {
        format!(
            "\n],\n\"summary\": {}}}\n",
            compact(&Summary::from(ending.counts))
        )
    }
}

/// A line of `ndjson`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Line<'a> {
    /// Name and version of this format.
    pub schema: &'a str,
    /// What was found.
    #[serde(flatten)]
    pub document: Document<'a>,
}

/// One object a line and document.
pub struct Ndjson;

impl Renderer for Ndjson {
    fn document(&self, view: &View<'_>, _: &Scene<'_>, _: usize) -> String {
        let mut line = compact(&Line {
            schema: SCHEMA,
            document: Document::from(view),
        });
        line.push('\n');
        line
    }

    fn write(
        &self,
        view: &View<'_>,
        _: &Scene<'_>,
        _: usize,
        to: &mut dyn io::Write,
    ) -> io::Result<()> {
        let line = Line {
            schema: SCHEMA,
            document: Document::from(view),
        };
        write::compact_to(&line, &mut *to)?;
        to.write_all(b"\n")
    }
}

/// A line of `ndjson` for a line of input that gave no document.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Failure<'a> {
    /// Name and version of this format.
    pub schema: &'a str,
    /// Identifier given with the text, if it could be read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<&'a serde_json::Value>,
    /// Number of the line, from 1.
    pub line: usize,
    /// Why it was not read.
    pub error: &'a str,
}

/// The JSON Schema of a report.
#[must_use]
pub fn report_schema() -> String {
    pretty(&schemars::schema_for!(Report<'static>))
}

/// The JSON Schema of a line of `ndjson`.
#[must_use]
pub fn line_schema() -> String {
    pretty(&schemars::schema_for!(Line<'static>))
}
