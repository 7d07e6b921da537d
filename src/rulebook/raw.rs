//! Rule files as they are written. The one file that knows the YAML reader, so that it can be replaced in one place;
//! it uses nothing else of the crate.

use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

/// A mapping in the order of the file; a key that stands twice is refused.
#[derive(Debug, Clone)]
pub struct Pairs<T>(pub Vec<(Cow<'static, str>, T)>);

impl<T: Serialize> Serialize for Pairs<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

impl<T> Default for Pairs<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Pairs<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Collect<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Collect<T> {
            type Value = Pairs<T>;
            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("names with values")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Pairs<T>, A::Error> {
                let mut seen = std::collections::BTreeSet::new();
                let mut pairs = Vec::new();
                while let Some(key) = map.next_key::<Cow<'static, str>>()? {
                    if !seen.insert(key.clone()) {
                        return Err(serde::de::Error::custom(format!(
                            "“{key}” stands here twice"
                        )));
                    }
                    pairs.push((key, map.next_value()?));
                }
                Ok(Pairs(pairs))
            }
        }
        deserializer.deserialize_map(Collect(PhantomData))
    }
}

/// One rule file: any of these parts, in any order.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct File {
    /// Rules.
    pub rules: Vec<Rule>,
    /// Word lists by name; lists of one name in several files are joined.
    pub concepts: Pairs<Vec<String>>,
    /// Lists in which words are looked up, by name; lists of one name in several files are joined.
    pub lists: Pairs<Vec<String>>,
    /// Sources that rules cite.
    pub sources: Vec<Source>,
    /// Tables of figures (metals, insulations) by name.
    pub tables: Pairs<Vec<Pairs<Cell>>>,
}

/// A value of a table.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Cell {
    /// A figure.
    Number(f64),
    /// Words.
    Text(Cow<'static, str>),
    /// Several words, for example the names of a metal.
    List(Vec<Cow<'static, str>>),
}

/// A source as written.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Id by which rules cite it.
    pub id: Cow<'static, str>,
    /// Author, title, edition.
    pub text: Cow<'static, str>,
    /// `read`, `computed`, `memory` or `mixed`.
    pub confirmed: Cow<'static, str>,
}

/// A rule as written.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Rule {
    /// Id, kebab-case.
    pub id: String,
    /// Chapter word.
    pub chapter: String,
    /// Verdict word.
    pub verdict: String,
    /// Level word.
    pub level: String,
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
    /// Ids of sources.
    pub sources: Vec<String>,
    /// Figures that the check uses.
    pub thresholds: Pairs<f64>,
    /// Where claim concepts must meet; empty for a computed rule.
    #[serde(rename = "match")]
    pub alternatives: Vec<Alternative>,
    /// Concepts that silence every alternative, in the sentences of the claim.
    pub unless: Vec<String>,
    /// The same, in the sentences of the claim and their neighbours.
    pub unless_near: Vec<String>,
    /// The same, anywhere in the document.
    pub unless_document: Vec<String>,
    /// Concepts that the claim says are not there: a negation right before one of them denies nothing.
    pub absent: Vec<String>,
    /// Rules (or `chapter NAME`) that win over this one on the same words.
    pub yields_to: Vec<String>,
    /// Texts that must fire it.
    pub fires: Vec<Cow<'static, str>>,
    /// Texts that must not.
    pub quiet: Vec<Cow<'static, str>>,
}

impl Rule {
    /// Takes from `known`, a rule of the same id, whatever this one does not give itself: texts, figures by name, and, where it has no
    /// `match`, the words and the examples.
    pub fn complete(&mut self, known: &Self) {
        fn word(own: &mut String, known: &str) {
            if own.is_empty() {
                known.clone_into(own);
            }
        }
        word(&mut self.chapter, &known.chapter);
        word(&mut self.verdict, &known.verdict);
        word(&mut self.level, &known.level);
        for (own, known) in [
            (&mut self.title, &known.title),
            (&mut self.says, &known.says),
            (&mut self.physics, &known.physics),
            (&mut self.fair, &known.fair),
            (&mut self.evidence, &known.evidence),
            (&mut self.help, &known.help),
            (&mut self.message, &known.message),
        ] {
            if own.is_empty() {
                own.clone_from(known);
            }
        }
        for (own, known) in [
            (&mut self.sources, &known.sources),
            (&mut self.yields_to, &known.yields_to),
        ] {
            if own.is_empty() {
                own.clone_from(known);
            }
        }
        for (name, value) in &known.thresholds.0 {
            if !self.thresholds.0.iter().any(|(own, _)| own == name) {
                self.thresholds.0.push((name.clone(), *value));
            }
        }
        if !self.alternatives.is_empty() {
            return;
        }
        self.alternatives.clone_from(&known.alternatives);
        for (own, known) in [
            (&mut self.unless, &known.unless),
            (&mut self.unless_near, &known.unless_near),
            (&mut self.unless_document, &known.unless_document),
            (&mut self.absent, &known.absent),
        ] {
            own.extend(known.iter().cloned());
        }
        for (own, known) in [
            (&mut self.fires, &known.fires),
            (&mut self.quiet, &known.quiet),
        ] {
            own.extend(known.iter().cloned());
        }
    }
}

/// One way in which a claim can be said.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Alternative {
    /// Concepts that must all be there; `a | b` is either. The first one carries the primary mark.
    pub all: Vec<String>,
    /// In how many neighbouring sentences at the most (default 1).
    pub sentences: Option<usize>,
    /// Whether the concepts must come in the order given.
    pub ordered: bool,
    /// Whether it is heard only in a text of a few sentences, where words do not meet by chance.
    pub brief: bool,
    /// Most words between neighbouring concepts, in one sentence.
    pub distance: Option<usize>,
    /// Concepts that silence this alternative in the sentences of the claim.
    pub unless: Vec<String>,
    /// The same, in the sentences of the claim and their neighbours.
    pub unless_near: Vec<String>,
    /// The same, within the clause that holds the first concept.
    pub unless_clause: Vec<String>,
    /// The same, anywhere in the document.
    pub unless_document: Vec<String>,
    /// `cable` (default: the sentence must be about a cable, in words or by its neighbourhood) or `any`.
    pub topic: Option<String>,
    /// Pattern that the sentence of the first concept must match as well.
    pub regex: Option<Cow<'static, str>>,
}

/// What the YAML reader has to say against a file.
#[derive(Debug, Clone)]
pub struct Trouble {
    /// 1-based line, when known.
    pub line: usize,
    /// 1-based column, when known.
    pub column: usize,
    /// What is wrong.
    pub message: String,
}

/// Most bytes of a rule file.
pub const SIZE_LIMIT: usize = 4 << 20;

/// Most brackets that may stand open at once.
pub const OPEN_LIMIT: usize = 200;

/// Refuses what the YAML reader would work on for ever: for every word it looks at all brackets that stand open.
fn bounded(text: &str) -> Result<(), Trouble> {
    let fault = |line, message| {
        Err(Trouble {
            line,
            column: 1,
            message,
        })
    };
    if text.len() > SIZE_LIMIT {
        let message = format!("the file is larger than {} MiB", SIZE_LIMIT >> 20);
        return fault(1, message);
    }
    let mut open = 0_usize;
    for (number, line) in text.lines().enumerate() {
        for byte in line.bytes() {
            match byte {
                b'[' | b'{' => open += 1,
                b']' | b'}' => open = open.saturating_sub(1),
                _ => {}
            }
            if open > OPEN_LIMIT {
                let message = format!("more than {OPEN_LIMIT} brackets stand open");
                return fault(number + 1, message);
            }
        }
    }
    Ok(())
}

/// A file with mistakes of form.
#[derive(Debug, Clone, Default)]
pub struct Refused {
    /// All mistakes that can be found.
    pub troubles: Vec<Trouble>,
    /// What is left of the file without the entries and rules that hold them.
    pub rest: File,
    /// Names of what was left out: entries, and rules by id. That one of these is not there is no mistake of its own.
    pub left_out: Vec<String>,
}

/// Reads one rule file.
///
/// # Errors
/// Every mistake of form that can be found: when the file as a whole is refused, its rules are read one by one, so that
/// more than the first is told.
pub fn read(text: &str) -> Result<File, Box<Refused>> {
    bounded(text).map_err(|trouble| {
        Box::new(Refused {
            troubles: vec![trouble],
            ..Refused::default()
        })
    })?;
    if text.trim().is_empty() {
        return Ok(File::default());
    }
    if let Ok(file) = serde_yaml::from_str::<File>(text) {
        return Ok(file);
    }
    let file_error = |text: &str| serde_yaml::from_str::<File>(text).err();
    let rule_error = |text: &str| serde_yaml::from_str::<Vec<Rule>>(text).err();
    let mut lines: Vec<&str> = text.lines().collect();
    let mut left_out = Vec::new();
    let mut troubles = each_trouble(&mut lines, 0, &mut left_out, file_error);
    let left = |lines: &[&str]| lines.join("\n");
    let add = |troubles: &mut Vec<Trouble>, more: Vec<Trouble>| {
        for more in more {
            if !troubles.iter().any(|known| known.line == more.line) {
                troubles.push(more);
            }
        }
    };
    for (before, count) in rule_items(&left(&lines)) {
        let item = &mut lines[before..before + count];
        let more = each_trouble(item, before, &mut left_out, rule_error);
        add(&mut troubles, more);
        // A rule that still cannot be read is left out as a whole.
        if rule_error(&left(item)).is_some() {
            let id = item.iter().find_map(|line| line.split_once("id:"));
            left_out.extend(id.map(|(_, id)| id.trim().to_owned()));
            item.fill("");
        }
    }
    // What stood behind such a rule comes to light without it.
    let more = each_trouble(&mut lines, 0, &mut left_out, file_error);
    add(&mut troubles, more);
    troubles.sort_by_key(|trouble| (trouble.line, trouble.column));
    Err(Box::new(Refused {
        troubles,
        rest: serde_yaml::from_str(&left(&lines)).unwrap_or_default(),
        left_out,
    }))
}

/// The mistakes of form of some lines, one after the other: an entry with a name or a value that is refused is left out, and what is
/// left is read again.
fn each_trouble(
    lines: &mut [&str],
    lines_before: usize,
    left_out: &mut Vec<String>,
    refuses: impl Fn(&str) -> Option<serde_yaml::Error>,
) -> Vec<Trouble> {
    /// So many are told of one text.
    const MOST: usize = 16;
    const ENTRIES: [&str; 2] = ["there is no “", " is given where "];
    let mut all: Vec<Trouble> = Vec::new();
    while all.len() < MOST {
        let Some(error) = refuses(&lines.join("\n")) else {
            break;
        };
        let found = trouble(&error, lines_before);
        let own = found.line.saturating_sub(lines_before + 1);
        let of_an_entry = ENTRIES.iter().any(|entry| found.message.contains(entry));
        let again = all.iter().any(|known| known.line == found.line);
        // What follows from an entry that was left out is no mistake of its own.
        if !again && (all.is_empty() || of_an_entry) {
            all.push(found);
        }
        if again || !of_an_entry {
            break;
        }
        let Some(name) = leave_out(lines, own) else {
            break;
        };
        left_out.push(name);
    }
    all
}

/// Empties the lines of the entry `name: …` that begins there and gives its name; what begins an item of a list is left.
fn leave_out(lines: &mut [&str], at: usize) -> Option<String> {
    let depth = |line: &str| line.len() - line.trim_start().len();
    let first = *lines.get(at)?;
    let words = first.trim_start();
    let (name, _) = words.split_once(':')?;
    if words.starts_with('-') {
        return None;
    }
    let own = depth(first);
    let behind = lines[at + 1..]
        .iter()
        .take_while(|line| line.trim().is_empty() || depth(line) > own)
        .count();
    lines[at..=at + behind].fill("");
    Some(name.to_owned())
}

fn trouble(error: &serde_yaml::Error, lines_before: usize) -> Trouble {
    let (line, column) = error
        .location()
        .map_or((1, 1), |place| (place.line(), place.column()));
    let message = error.to_string();
    let message = message
        .rsplit_once(" at line ")
        .map_or(message.as_str(), |(start, _)| start);
    let message = plain(message);
    Trouble {
        line: line + lines_before,
        column,
        message,
    }
}

/// What the YAML reader says, in words for those who write rules.
fn plain(message: &str) -> String {
    const KINDS: [(&str, &str); 10] = [
        ("usize", "a whole number"),
        ("u32", "a whole number"),
        ("f64", "a number"),
        ("a sequence", "a list"),
        ("a string", "words"),
        ("a borrowed string", "words"),
        ("a boolean", "true or false"),
        ("names with values", "names with values"),
        ("a map", "names with values"),
        ("struct ", "names with values"),
    ];
    // The place is told by line and column.
    let said = [
        "unknown field ",
        "invalid type: ",
        "duplicate field ",
        "missing field ",
    ]
    .into_iter()
    .find_map(|start| {
        message
            .find(start)
            .map(|at| (start, &message[at + start.len()..]))
    });
    let name = |words: &str| words.split('`').nth(1).unwrap_or("").to_owned();
    match said {
        Some(("unknown field ", rest)) => {
            let known = rest.split_once("expected").map_or("", |(_, known)| known);
            let known: Vec<&str> = known.split('`').skip(1).step_by(2).collect();
            format!(
                "there is no “{}” here; there are {}",
                name(rest),
                known.join(", ")
            )
        }
        Some(("duplicate field ", rest)) => format!("“{}” stands here twice", name(rest)),
        Some(("missing field ", rest)) => format!("“{}” is missing", name(rest)),
        Some((_, rest)) => {
            let (given, wanted) = rest.split_once(", expected ").unwrap_or((rest, ""));
            let given = match given.strip_prefix("string ") {
                Some(words) => format!("“{}”", words.trim_matches('"')),
                None => match given {
                    "sequence" => "a list",
                    "map" => "a list of names with values",
                    "unit" | "unit value" => "nothing",
                    given => given.rsplit(' ').next().unwrap_or(given).trim_matches('`'),
                }
                .to_owned(),
            };
            let kind = KINDS.iter().find(|(kind, _)| wanted.starts_with(kind));
            let wanted = kind.map_or(wanted, |(_, plain)| plain);
            let entry = message.split(": ").next().unwrap_or("");
            // Names of lists hold dots themselves.
            let list = ["concepts.", "lists."]
                .iter()
                .find_map(|part| entry.strip_prefix(part));
            let entry = list.unwrap_or_else(|| entry.rsplit('.').next().unwrap_or(""));
            let entry = if entry.is_empty() || entry.starts_with("invalid") || entry.ends_with(']')
            {
                String::new()
            } else {
                format!("“{entry}”: ")
            };
            format!("{entry}{given} is given where {wanted} should stand")
        }
        None => message.to_owned(),
    }
}

/// The items of the list `rules:`, each as the number of lines before it and the number of its own.
pub fn rule_items(text: &str) -> Vec<(usize, usize)> {
    let mut items: Vec<(usize, usize)> = Vec::new();
    let mut inside = false;
    let mut indent = None;
    for (number, line) in text.lines().enumerate() {
        if line.starts_with("rules:") {
            inside = true;
            continue;
        }
        if !inside {
            continue;
        }
        let depth = line.len() - line.trim_start().len();
        if depth == 0 && !line.trim().is_empty() && !line.starts_with(['-', '#']) {
            inside = false;
            continue;
        }
        if line.trim_start().starts_with("- ") && indent.is_none_or(|known| known == depth) {
            indent = Some(depth);
            items.push((number, 0));
        }
        if let Some((_, count)) = items.last_mut() {
            *count += 1;
        }
    }
    items
}

/// A file of settled findings.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Ledger {
    /// Its entries.
    pub settled: Vec<Settled>,
}

/// A settled finding as written.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settled {
    /// Id of the rule.
    pub rule: String,
    /// End of the path of the document.
    #[serde(default)]
    pub document: String,
    /// The words it is bound to.
    pub quotation: String,
    /// Why it may stand.
    pub reason: String,
    /// Who said so.
    pub who: String,
    /// When.
    pub date: String,
}

/// Reads a file of settled findings.
///
/// # Errors
/// The first mistake of form.
pub fn ledger(text: &str) -> Result<Ledger, Trouble> {
    bounded(text)?;
    if text.trim().is_empty() {
        return Ok(Ledger::default());
    }
    serde_yaml::from_str(text).map_err(|error| trouble(&error, 0))
}
