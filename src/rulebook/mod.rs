//! Rules, sources, word lists and tables of figures: rule files, validated.
//!
//! Reading is done in two stages. `raw` takes the files as they are written; here every reference, word and pattern is
//! checked, and all faults are collected before giving up, each with its file, line and column. Knows nothing of documents.
//!
//! Long: the validated form of every part of a rule file in one place, and a test of every fault.

mod baked;
mod files;
mod pack;
pub(crate) mod raw;
mod ready;
pub mod show;
mod validate;

pub use baked::table;
pub use files::BUILTIN;
pub use ready::AnyOf;

use crate::finding::{Level, Verdict};
use crate::lexicon::Lexicon;
use regex::Regex;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Chapters of the rulebook, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Chapter {
    /// The metal and its size.
    Conductor,
    /// Resistance, inductance, capacitance and frequency.
    Line,
    /// Like for like.
    Comparison,
    /// No physical basis at audio frequencies.
    Claims,
    /// Is it thick enough for the job.
    Fitness,
    /// Somebody could be hurt.
    Safety,
    /// What a judgement needs.
    Disclosure,
}

impl Chapter {
    /// All chapters, in order.
    pub const ALL: [Self; 7] = [
        Self::Conductor,
        Self::Line,
        Self::Comparison,
        Self::Claims,
        Self::Fitness,
        Self::Safety,
        Self::Disclosure,
    ];

    /// The word used in rule files and reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Conductor => "conductor",
            Self::Line => "line",
            Self::Comparison => "comparison",
            Self::Claims => "claims",
            Self::Fitness => "fitness",
            Self::Safety => "safety",
            Self::Disclosure => "disclosure",
        }
    }

    /// What the chapter is about, for lists.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Conductor => "the metal and its size",
            Self::Line => "resistance, inductance, capacitance and frequency",
            Self::Comparison => "like for like",
            Self::Claims => "no physical basis at audio frequencies",
            Self::Fitness => "thick enough for the job",
            Self::Safety => "where somebody could be hurt",
            Self::Disclosure => "what a judgement needs",
        }
    }
}

/// How a source was confirmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Confirmed {
    /// Read in a copy or in a page that quotes it.
    Read,
    /// Worked out from definitions.
    Computed,
    /// From memory, not confirmed.
    Memory,
    /// Part read or computed, part from memory.
    Mixed,
}

impl Confirmed {
    /// The word used in rule files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Computed => "computed",
            Self::Memory => "memory",
            Self::Mixed => "mixed",
        }
    }
}

/// A source that rules cite.
#[derive(Debug, Clone)]
pub struct Source {
    /// Id.
    pub id: Cow<'static, str>,
    /// Author, title, edition.
    pub text: Cow<'static, str>,
    /// How it was confirmed.
    pub confirmed: Confirmed,
}

/// A rule.
#[derive(Debug, Clone)]
pub struct Rule {
    /// Id, kebab-case.
    pub id: String,
    /// Chapter.
    pub chapter: Chapter,
    /// What is concluded when it fires.
    pub verdict: Verdict,
    /// Weight of its findings.
    pub level: Level,
    /// A few words for lists.
    pub title: Cow<'static, str>,
    /// What fires it.
    pub says: Cow<'static, str>,
    /// What physics (or method, or the code) has to say.
    pub physics: Cow<'static, str>,
    /// The legitimate statement nearby.
    pub fair: Cow<'static, str>,
    /// What would change the verdict.
    pub evidence: Cow<'static, str>,
    /// Help line of a finding.
    pub help: Cow<'static, str>,
    /// Message of a finding of a claim rule; `{quote}` stands for the words.
    pub message: Cow<'static, str>,
    /// Ids of its sources.
    pub sources: Vec<String>,
    /// Figures that the check uses, by name.
    pub thresholds: BTreeMap<Cow<'static, str>, f64>,
    /// How the claim can be said; empty for a computed rule.
    pub alternatives: Vec<Alternative>,
    /// Rules that win over this one on the same words.
    pub yields_to: Vec<Winner>,
    /// Texts that fire it.
    pub fires: Vec<Cow<'static, str>>,
    /// Texts that must not fire it.
    pub quiet: Vec<Cow<'static, str>>,
    /// File in which it stands.
    pub file: String,
}

impl Rule {
    /// The figure called `name`, or NaN when the rule has none of that name (a test holds that every check finds its
    /// own).
    #[must_use]
    pub fn threshold(&self, name: &str) -> f64 {
        self.thresholds.get(name).copied().unwrap_or(f64::NAN)
    }
}

/// Who wins over a rule on the same words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Winner {
    /// One rule.
    Rule(String),
    /// Every rule of a chapter.
    Chapter(Chapter),
}

/// One way in which a claim can be said: concepts that meet.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// Sets of concepts; one of each must be there. The first one carries the primary mark.
    pub all: Vec<AnyOf>,
    /// In how many neighbouring sentences at the most.
    pub sentences: usize,
    /// Whether they must come in the order given.
    pub ordered: bool,
    /// Whether it is heard only in a text of a few sentences, which is of one matter: wide lists do not meet there by chance.
    pub brief: bool,
    /// Most words between neighbouring concepts of one sentence.
    pub distance: Option<usize>,
    /// Concepts that silence it in the sentences of the claim.
    pub unless: AnyOf,
    /// Concepts that silence it in the sentences of the claim and their neighbours.
    pub unless_near: AnyOf,
    /// Concepts that silence it in the clause of the first concept.
    pub unless_clause: AnyOf,
    /// Concepts that silence it anywhere in the document.
    pub unless_document: AnyOf,
    /// Concepts that the claim says are not there: a negation right before one of them denies nothing.
    pub absent: AnyOf,
    /// Whether the sentences must be about a cable.
    pub topic: Topic,
    /// Pattern that the sentence of the first concept must match as well.
    pub pattern: Option<Pattern>,
}

/// What the sentences of a claim must be about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// Anything.
    Any,
    /// A cable: they name one, or at least no other thing.
    Cable,
    /// The same in a document that names a cable somewhere, or in sentences that speak of sound.
    Named,
}

/// A regular expression that is compiled when it is first needed.
#[derive(Debug, Clone)]
pub struct Pattern {
    text: Cow<'static, str>,
    compiled: OnceLock<Option<Regex>>,
}

impl Pattern {
    fn new(text: Cow<'static, str>) -> Self {
        Self {
            text,
            compiled: OnceLock::new(),
        }
    }

    fn compile(text: &str) -> Result<Regex, regex::Error> {
        regex::RegexBuilder::new(text)
            .case_insensitive(true)
            .size_limit(1 << 18)
            .dfa_size_limit(1 << 20)
            .nest_limit(32)
            .build()
    }

    /// Whether it matches somewhere in `text`.
    #[must_use]
    pub fn is_match(&self, text: &str) -> bool {
        self.compiled
            .get_or_init(|| Self::compile(&self.text).ok())
            .as_ref()
            .is_some_and(|regex| regex.is_match(text))
    }
}

/// A row of a table of figures.
#[derive(Debug, Clone, Default)]
pub struct Row {
    cells: Vec<(Cow<'static, str>, raw::Cell)>,
}

impl Row {
    fn cell(&self, name: &str) -> Option<&raw::Cell> {
        let cell = self.cells.iter().find(|(known, _)| known == name);
        cell.map(|(_, cell)| cell)
    }

    /// The figure in the column `name`.
    #[must_use]
    pub fn number(&self, name: &str) -> Option<f64> {
        match self.cell(name) {
            Some(&raw::Cell::Number(value)) => Some(value),
            _ => None,
        }
    }

    /// The words in the column `name`.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<&str> {
        self.list(name).first().map(|words| &**words)
    }

    /// All words in the column `name`.
    #[must_use]
    pub fn list(&self, name: &str) -> &[Cow<'static, str>] {
        match self.cell(name) {
            Some(raw::Cell::Text(words)) => std::slice::from_ref(words),
            Some(raw::Cell::List(list)) => list,
            _ => &[],
        }
    }
}

/// A mistake in a file that people write: of rules, or of settled findings.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// File as it was named.
    pub file: String,
    /// 1-based line.
    pub line: usize,
    /// 1-based column, in characters.
    pub column: usize,
    /// What is wrong.
    pub message: String,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            out,
            "{}:{}:{}: {}",
            self.file, self.line, self.column, self.message
        )
    }
}

impl std::error::Error for Fault {}

/// All rules, sources, word lists and tables.
#[derive(Debug, Default)]
pub struct Rulebook {
    rules: Vec<Rule>,
    by_id: BTreeMap<String, usize>,
    sources: BTreeMap<Cow<'static, str>, Source>,
    lexicon: Lexicon,
    tables: Cow<'static, BTreeMap<Cow<'static, str>, Vec<Row>>>,
    defaults: OnceLock<BTreeMap<String, f64>>,
}

impl Rulebook {
    /// The rules that are part of the program.
    ///
    /// ```
    /// use claimgauge::rulebook::Rulebook;
    /// let rules = Rulebook::builtin();
    /// let rule = rules.rule("unequal-gauge").expect("a rule of that id");
    /// assert!(rule.threshold("area_ratio") > 1.0);
    /// ```
    ///
    /// # Panics
    /// When an embedded file has a fault, which a test rules out.
    #[must_use]
    pub fn builtin() -> Self {
        baked::rulebook().expect("the embedded rule files hold no fault")
    }

    /// The built-in rules with a house's own files, each as name and text: what a rule of a known id gives takes the place of what
    /// the built-in one has, word lists of one name are joined.
    ///
    /// # Errors
    /// Every fault of those files.
    pub fn with_house(house: &[(String, String)]) -> Result<Self, Vec<Fault>> {
        if house.is_empty() {
            return Ok(Self::builtin());
        }
        sound(Self::drafted(house))
    }

    /// The built-in rules with as much of a house's own files as is in order, and every fault of the rest, by place.
    #[must_use]
    pub fn drafted(house: &[(String, String)]) -> (Self, Vec<Fault>) {
        let files = BUILTIN
            .iter()
            .map(|&(name, text)| (name, text, false))
            .chain(
                house
                    .iter()
                    .map(|(name, text)| (name.as_str(), text.as_str(), true)),
            )
            .collect::<Vec<_>>();
        validate::rulebook(&files)
    }

    /// A rulebook from these files alone, each as name and text.
    ///
    /// # Errors
    /// Every fault of the files.
    pub fn from_files(files: &[(String, String)]) -> Result<Self, Vec<Fault>> {
        let files = files
            .iter()
            .map(|(name, text)| (name.as_str(), text.as_str(), false))
            .collect::<Vec<_>>();
        sound(validate::rulebook(&files))
    }

    /// The rule with this id.
    #[must_use]
    pub fn rule(&self, id: &str) -> Option<&Rule> {
        self.by_id.get(id).and_then(|&index| self.rules.get(index))
    }

    /// A fault of `rule` at the first place of `needle` in its part of the rule file with the content `text`.
    #[must_use]
    pub fn fault_in(&self, text: &str, rule: &Rule, needle: &str, message: String) -> Fault {
        validate::fault_in(&rule.file, text, &rule.id, needle, message)
    }

    /// A fault at the first place of `needle` in the rule file `name` with the content `text`.
    #[must_use]
    pub fn fault_at(&self, name: &str, text: &str, needle: &str, message: String) -> Fault {
        validate::fault_in(name, text, "", needle, message)
    }

    /// All rules, by chapter and then in the order of the files.
    #[must_use]
    pub fn rules(&self) -> &[Rule] {
        &self.rules
    }

    /// The source with this id.
    #[must_use]
    pub fn source(&self, id: &str) -> Option<&Source> {
        self.sources.get(id)
    }

    /// All word lists, compiled into one matcher.
    #[must_use]
    pub fn lexicon(&self) -> &Lexicon {
        &self.lexicon
    }

    /// A value of the table of defaults, which stands for what a document leaves open.
    #[must_use]
    pub fn usual(&self, name: &str) -> Option<f64> {
        let known = self.defaults.get_or_init(|| {
            let mut known = BTreeMap::new();
            for row in self.table("defaults") {
                if let (Some(name), Some(value)) = (row.text("name"), row.number("value")) {
                    known.entry(name.to_owned()).or_insert(value);
                }
            }
            known
        });
        known.get(name).copied()
    }

    /// The rows of the table called `name` (`metals`, `insulations`); empty when there is none.
    #[must_use]
    pub fn table(&self, name: &str) -> &[Row] {
        self.tables.get(name).map_or(&[], Vec::as_slice)
    }
}

/// A rulebook without a fault.
fn sound((book, faults): (Rulebook, Vec<Fault>)) -> Result<Rulebook, Vec<Fault>> {
    if faults.is_empty() {
        Ok(book)
    } else {
        Err(faults)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_file_is_embedded() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
        let mut names: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder of rules")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            // Beside them lies the file of weights.
            .filter(|name| name != "odds.tsv")
            .collect();
        names.sort();
        let mut embedded: Vec<String> =
            BUILTIN.iter().map(|(name, _)| (*name).to_owned()).collect();
        embedded.sort();
        assert_eq!(names, embedded);
    }

    fn written() -> Vec<(String, String)> {
        BUILTIN
            .iter()
            .map(|&(name, text)| (name.to_owned(), text.to_owned()))
            .collect()
    }

    #[test]
    fn what_the_build_baked_is_what_the_files_say() {
        let baked = Rulebook::builtin();
        let read = Rulebook::from_files(&written()).expect("sound files");
        assert!(baked.lexicon == read.lexicon, "other word lists");
        assert_eq!(format!("{:?}", baked.rules), format!("{:?}", read.rules));
        assert_eq!(
            format!("{:?}", baked.sources),
            format!("{:?}", read.sources)
        );
        assert_eq!(format!("{:?}", baked.tables), format!("{:?}", read.tables));
    }

    #[test]
    fn the_embedded_files_are_sound_and_complete() {
        let book = match Rulebook::from_files(&written()) {
            Ok(book) => book,
            Err(faults) => panic!(
                "{}",
                faults
                    .iter()
                    .map(Fault::to_string)
                    .collect::<Vec<_>>()
                    .join("\n")
            ),
        };
        for rule in book.rules() {
            for (part, text) in [
                ("title", &rule.title),
                ("says", &rule.says),
                ("physics", &rule.physics),
                ("fair", &rule.fair),
                ("evidence", &rule.evidence),
                ("help", &rule.help),
            ] {
                assert!(!text.trim().is_empty(), "{} has no {part}", rule.id);
            }
            assert!(!rule.sources.is_empty(), "{} has no source", rule.id);
        }
    }

    fn faults(text: &str) -> Vec<String> {
        Rulebook::with_house(&[("house.yaml".to_owned(), text.to_owned())])
            .map(|_| Vec::new())
            .unwrap_or_else(|faults| faults.iter().map(Fault::to_string).collect())
    }

    #[test]
    fn every_fault_is_told_with_its_place() {
        let text = "\
rules:
  - id: Loud_Rule
    chapter: claims
    verdict: no-basis
    level: warning
    sources: [nobody]
    match:
      - all: [unknown.concept]
        regex: 'x*'
  - id: house-two
    chapter: claim
    verdict: maybe
    level: loud
";
        let told = faults(text);
        let expect = [
            ("2:9:", "kebab-case"),
            ("6:15:", "nobody"),
            ("8:15:", "unknown.concept"),
            ("9:17:", "empty"),
            ("11:14:", "claim"),
            ("12:14:", "maybe"),
            ("13:12:", "loud"),
        ];
        for (place, word) in expect {
            assert!(
                told.iter()
                    .any(|fault| fault.starts_with(&format!("house.yaml:{place}"))
                        && fault.contains(word)),
                "{place} {word} is not told in\n{}",
                told.join("\n")
            );
        }
    }

    #[test]
    fn files_that_would_swallow_the_machine_are_refused() {
        let told = faults(&"# a comment\n".repeat(500_000));
        assert!(told[0].contains("larger"), "{told:?}");
        let mut bomb = "concepts:\n  a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
        for level in 1..12 {
            let before = level - 1;
            let list = vec![format!("*a{before}"); 10].join(", ");
            bomb.push_str(&format!("  a{level}: &a{level} [{list}]\n"));
        }
        assert!(!faults(&bomb).is_empty());
        let greedy = "\
rules:
  - id: a-rule
    chapter: claims
    verdict: no-basis
    level: note
    match:
      - all: [sound.any]
        regex: '(a{1000}){1000}'
";
        let told = faults(greedy);
        assert!(
            told.len() == 1 && told[0].starts_with("house.yaml:8:17:"),
            "{told:?}"
        );
        let nested = format!(
            "concepts:\n  a: {}x{}\n",
            "[".repeat(5000),
            "]".repeat(5000)
        );
        assert!(!faults(&nested).is_empty());
    }

    #[test]
    fn mistakes_of_form_are_told_together() {
        let told =
            faults("rules:\n  - id: a-rule\n    colour: red\n  - id: b-rule\n    smell: bad\n");
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(
            told[0].starts_with("house.yaml:3:5:") && told[0].contains("colour"),
            "{told:?}"
        );
        assert!(
            told[1].starts_with("house.yaml:5:5:") && told[1].contains("smell"),
            "{told:?}"
        );
    }
}
