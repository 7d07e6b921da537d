//! What every format shows of a document, worked out once: lines, columns, quotations, totals, groups.
//!
//! What there is to show stands here; the formats take their parts from it and look at nothing else.

mod build;
mod words;

pub use build::Quoter;
use words::fingerprint;
pub use words::{bound_words, lines, one_line, shortened, subject_word};

use crate::facts::Facts;
use crate::finding::{Level, Stance, Verdict};
use crate::input::{Place, Source};
use crate::report::number::shown;
use crate::sheet::{Bound, Value};
use std::borrow::Cow;
use std::ops::Range;

/// Words of the document in their place.
#[derive(Debug, Clone)]
pub struct Quote {
    /// Where they stand in the file, as far as they stand in one stretch.
    pub place: Place,
    /// The same in the decoded text.
    pub range: Range<usize>,
    /// Where they go on: at the top of the next column, or below a line of the column beside.
    pub further: Vec<(Place, Range<usize>)>,
    /// The words: the decoded text of that place, or what was read in all places.
    pub text: String,
    /// What they are.
    pub label: String,
}

impl Quote {
    /// `line 3`, `lines 3 to 5`, `lines 3 and 8`.
    #[must_use]
    pub fn lines(&self) -> String {
        match self.further.last() {
            None => lines(&self.place),
            Some((last, _)) if last.line == self.place.end_line + 1 => {
                format!("lines {} to {}", self.place.line, last.end_line)
            }
            Some((last, _)) => format!("{}, going on in {}", lines(&self.place), lines(last)),
        }
    }

    /// All stretches that the words stand in, in their order.
    pub fn stretches(&self) -> impl Iterator<Item = (&Place, &Range<usize>)> {
        let further = self.further.iter().map(|(place, range)| (place, range));
        std::iter::once((&self.place, &self.range)).chain(further)
    }
}

/// One step of a working, with its origin in words.
#[derive(Debug, Clone)]
pub struct Work {
    /// Symbol.
    pub symbol: Cow<'static, str>,
    /// Expression.
    pub expression: String,
    /// Value in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// Where it came from.
    pub from: String,
}

impl Work {
    /// `R_loop = 2 · ρ · l / A = 0.159 Ω`.
    #[must_use]
    pub fn equation(&self) -> String {
        let mut out = self.symbol.to_string();
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
        if !matches!(self.unit, "" | "1") {
            out.push(' ');
            out.push_str(self.unit);
        }
        out
    }
}

/// A source that a rule cites.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cited {
    /// Id in the rulebook.
    pub id: String,
    /// Author, title, edition, and a mark where it is from memory.
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
        self.quotes
            .first()
            .map_or_else(|| "the whole document".to_owned(), Quote::lines)
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
    /// The words that put the outcome down to something that is no metal.
    pub credit: Option<Quote>,
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
    quoter: Quoter<'a>,
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

impl<'a> View<'a> {}
