//! Findings that a reviewer has settled, in a file that people read and keep beside the documents.
//!
//! An entry is bound to the rule and to the words, not to a line: it goes on holding when the document is edited
//! elsewhere, and it stops holding when the words themselves change. Knows findings as they are shown, and nothing of how they
//! were found.

use crate::report::escape::is_hidden;
use crate::report::view::{Item, Settled, one_line, shortened};
use crate::rulebook::{Fault, raw};
use std::path::Path;

/// First lines of a new ledger.
const HEADER: &str = "\
# Findings that a reviewer has settled. Each entry holds for one rule and one quotation, wherever it stands in the
# document, and is reported as settled instead of open. Delete an entry to open its finding again.
settled:
";

/// Quotations shorter than this are taken with their sentence, so that one entry does not settle every “12 AWG”.
const SHORT: usize = 24;

/// A settled finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Id of the rule.
    pub rule: String,
    /// End of the path of the document; empty for any document.
    pub document: String,
    /// The words, or the sentence that holds them; empty for a finding on the whole document.
    pub quotation: String,
    /// Why it may stand.
    pub reason: String,
    /// Who said so.
    pub who: String,
    /// When.
    pub date: String,
}

/// All entries of the ledgers in use.
#[derive(Debug, Clone, Default)]
pub struct Ledger {
    entries: Vec<(String, Entry)>,
}

impl Ledger {
    /// Adds the entries of one file.
    ///
    /// ```
    /// use claimgauge::ledger::{Entry, Ledger, with_entries};
    /// let entry = Entry {
    ///     rule: "sighted-test".to_owned(),
    ///     document: "minutes.txt".to_owned(),
    ///     quotation: "he named each lead".to_owned(),
    ///     reason: "said so in the minutes".to_owned(),
    ///     who: "M. Pannage".to_owned(),
    ///     date: "2026-03-02".to_owned(),
    /// };
    /// let mut ledger = Ledger::default();
    /// ledger.add("settled.yaml", &with_entries("", &[entry]))?;
    /// assert_eq!(ledger.len(), 1);
    /// # Ok::<(), claimgauge::rulebook::Fault>(())
    /// ```
    ///
    /// # Errors
    /// When the file is no ledger, with the place of the first mistake.
    pub fn add(&mut self, file: &str, text: &str) -> Result<(), Fault> {
        let read = raw::ledger(text).map_err(|trouble| Fault {
            file: file.to_owned(),
            line: trouble.line,
            column: trouble.column,
            message: trouble.message,
        })?;
        for entry in read.settled {
            self.entries.push((
                file.to_owned(),
                Entry {
                    rule: entry.rule,
                    document: entry.document,
                    quotation: entry.quotation,
                    reason: entry.reason,
                    who: entry.who,
                    date: entry.date,
                },
            ));
        }
        Ok(())
    }

    /// Number of entries.
    #[must_use]
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Index of the entry that settles a finding of the document at `path`.
    #[must_use]
    pub fn answer(&self, path: &str, item: &Item) -> Option<usize> {
        let (words, sentence) = (folded(&item.quotation()), folded(&item.sentence));
        self.entries.iter().position(|(_, entry)| {
            let quotation = folded(&entry.quotation);
            entry.rule == item.rule
                && speaks_of(entry, path)
                && (quotation == words || (!quotation.is_empty() && quotation == sentence))
        })
    }

    /// What an entry says of a finding that it settles.
    #[must_use]
    pub fn settled(&self, index: usize) -> Option<Settled> {
        self.entries.get(index).map(|(_, entry)| Settled {
            reason: entry.reason.clone(),
            who: entry.who.clone(),
            date: entry.date.clone(),
        })
    }

    /// Indices of the entries that could settle something in the document at `path`.
    #[must_use]
    pub fn in_scope(&self, path: &str) -> Vec<usize> {
        self.entries
            .iter()
            .enumerate()
            .filter(|(_, (_, entry))| speaks_of(entry, path))
            .map(|(index, _)| index)
            .collect()
    }

    /// A line on an entry that fits nothing any more.
    #[must_use]
    pub fn stale(&self, index: usize) -> Option<String> {
        self.entries.get(index).map(|(file, entry)| {
            let document = if entry.document.is_empty() {
                String::new()
            } else {
                format!(" of {}", entry.document)
            };
            format!(
                "{file}: the entry for {}{document}, “{}”, fits no finding any more",
                entry.rule,
                shortened(&one_line(&entry.quotation), 60)
            )
        })
    }
}

fn speaks_of(entry: &Entry, path: &str) -> bool {
    entry.document.is_empty() || Path::new(path).ends_with(&entry.document)
}

fn folded(text: &str) -> String {
    one_line(text).to_lowercase()
}

impl Entry {
    /// The entry for a finding of the document at `path`.
    #[must_use]
    pub fn of(item: &Item, path: &str, reason: &str, who: &str, date: &str) -> Self {
        let words = item.quotation();
        let short = words.chars().count() < SHORT;
        Self {
            rule: item.rule.clone(),
            document: Path::new(path)
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default(),
            quotation: if short && !item.sentence.is_empty() {
                item.sentence.clone()
            } else {
                words
            },
            reason: reason.to_owned(),
            who: who.to_owned(),
            date: date.to_owned(),
        }
    }

    fn write(&self, out: &mut String) {
        for (lead, key, value) in [
            ("  - ", "rule", &self.rule),
            ("    ", "document", &self.document),
            ("    ", "quotation", &self.quotation),
            ("    ", "reason", &self.reason),
            ("    ", "who", &self.who),
            ("    ", "date", &self.date),
        ] {
            if key == "document" && value.is_empty() {
                continue;
            }
            out.push_str(lead);
            out.push_str(key);
            out.push_str(": ");
            push_quoted(out, value);
            out.push('\n');
        }
    }
}

/// A ledger file with `entries` added at its end; `text` is what it holds so far.
#[must_use]
pub fn with_entries(text: &str, entries: &[Entry]) -> String {
    let mut out = if text.trim().is_empty() {
        HEADER.to_owned()
    } else {
        text.trim_end().to_owned() + "\n"
    };
    for entry in entries {
        entry.write(&mut out);
    }
    out
}

/// A double-quoted scalar (YAML 1.2, 7.3.1).
fn push_quoted(out: &mut String, text: &str) {
    out.push('"');
    for letter in text.chars() {
        match letter {
            '"' | '\\' => {
                out.push('\\');
                out.push(letter);
            }
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            _ if is_hidden(letter) => out.push_str(&format!("\\U{:08x}", u32::from(letter))),
            _ => out.push(letter),
        }
    }
    out.push('"');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_back() {
        let entry = Entry {
            rule: "run-in".to_owned(),
            document: "a b.txt".to_owned(),
            quotation: "“needs \"running in\"”: \\ # - \u{1b}[31m \u{e0001} \u{85}é".to_owned(),
            reason: "two\nlines".to_owned(),
            who: "M. Reviewer".to_owned(),
            date: "2026-03-04".to_owned(),
        };
        let once = with_entries("", std::slice::from_ref(&entry));
        let twice = with_entries(&once, std::slice::from_ref(&entry));
        let mut ledger = Ledger::default();
        ledger.add("ledger.yaml", &twice).expect("a ledger");
        assert_eq!(ledger.len(), 2);
        assert!(ledger.entries.iter().all(|(_, read)| *read == entry));
        assert!(
            !twice
                .chars()
                .any(|letter| letter != '\n' && is_hidden(letter))
        );
    }

    #[test]
    fn a_mistake_is_told_with_its_place() {
        let mut ledger = Ledger::default();
        let fault = ledger
            .add(
                "ledger.yaml",
                "settled:\n  - rule: run-in\n    colour: red\n",
            )
            .expect_err("a fault");
        assert!(fault.to_string().starts_with("ledger.yaml:3:5:"), "{fault}");
        assert!(ledger.add("empty.yaml", "").is_ok());
    }
}
