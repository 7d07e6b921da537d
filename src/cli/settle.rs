//! `claimgauge settle`.

use super::{CLEAN, RuleOptions, TROUBLE, complain, output, print};
use crate::input::{self, Refusal};
use crate::ledger::{self, Entry, Ledger};
use crate::report::View;
use crate::report::view::{Item, counted, one_line, shortened};
use crate::run::{Auditor, Limits};
use clap::Args;
use std::io;
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

/// Options of `settle`.
#[derive(Debug, Args)]
pub struct Options {
    /// The document
    #[arg(value_name = "PATH")]
    path: PathBuf,
    /// Rule of the finding
    #[arg(long, value_name = "RULE")]
    rule: String,
    /// Line of the finding, where the rule speaks more than once
    #[arg(long, value_name = "N")]
    line: Option<usize>,
    /// Settle all findings of that rule in the document
    #[arg(long, conflicts_with = "line")]
    all: bool,
    /// Why the statement may stand
    #[arg(long, value_name = "TEXT")]
    reason: String,
    /// Who says so
    #[arg(long, value_name = "NAME")]
    who: String,
    /// When [default: today, UTC]
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// The file of settled findings, which is made when it is not there
    #[arg(long, value_name = "FILE", default_value = "settled.yaml")]
    accepted: PathBuf,
    #[command(flatten)]
    rules: RuleOptions,
}

/// Runs the command.
///
/// # Errors
/// When the ledger or standard output cannot be written.
pub fn run(options: &Options) -> io::Result<u8> {
    let Some(rulebook) = options.rules.rulebook() else {
        return Ok(TROUBLE);
    };
    for (what, text) in [("--reason", &options.reason), ("--who", &options.who)] {
        if text.trim().is_empty() {
            complain(&format!("{what} is empty"));
            return Ok(TROUBLE);
        }
    }
    let source = match input::from_path(&options.path) {
        Ok(source) => source,
        Err(refusal) => {
            complain(&format!("{}: {refusal}", options.path.display()));
            return Ok(TROUBLE);
        }
    };
    let before = match input::from_path(&options.accepted) {
        Ok(ledger) => ledger.text().to_owned(),
        Err(Refusal::Empty) => String::new(),
        Err(Refusal::Unreadable(error)) if error.kind() == io::ErrorKind::NotFound => String::new(),
        Err(refusal) => {
            complain(&format!("{}: {refusal}", options.accepted.display()));
            return Ok(TROUBLE);
        }
    };
    let mut known = Ledger::default();
    if let Err(fault) = known.add(&options.accepted.display().to_string(), &before) {
        complain(&fault.to_string());
        return Ok(TROUBLE);
    }
    let audit = Auditor::new(&rulebook, Limits::default()).audit(&source);
    let view = View::new(&source, &audit, &rulebook);
    let chosen: Vec<&Item> = view
        .findings
        .iter()
        .filter(|item| {
            item.rule == options.rule
                && options.line.is_none_or(|line| {
                    item.quotes
                        .iter()
                        .any(|quote| (quote.place.line..=quote.place.end_line).contains(&line))
                })
        })
        .collect();
    if let Some(fault) = refusal(options, &view, &chosen) {
        complain(&fault);
        return Ok(TROUBLE);
    }
    let date = options.date.clone().unwrap_or_else(today);
    let entries: Vec<Entry> = chosen
        .iter()
        .filter(|item| known.answer(view.path(), item).is_none())
        .map(|item| Entry::of(item, view.path(), &options.reason, &options.who, &date))
        .collect();
    let text = ledger::with_entries(&before, &entries);
    // What cannot be read back must not replace a ledger.
    if let Err(fault) = Ledger::default().add(&options.accepted.display().to_string(), &text) {
        complain(&format!("{fault}; nothing was written"));
        return Ok(TROUBLE);
    }
    if !entries.is_empty() {
        output::place(&options.accepted, &mut text.as_bytes())?;
    }
    let mut told = format!(
        "{}: {} added\n",
        options.accepted.display(),
        counted(entries.len(), "entry")
    );
    for entry in &entries {
        told.push_str(&format!(
            "  {}: “{}”\n",
            entry.rule,
            shortened(&one_line(&entry.quotation), 70)
        ));
    }
    print(&crate::report::escape::block(&told))?;
    Ok(CLEAN)
}

fn refusal(options: &Options, view: &View<'_>, chosen: &[&Item]) -> Option<String> {
    let places = |items: &[&Item]| {
        items
            .iter()
            .map(|item| item.where_it_stands())
            .collect::<Vec<_>>()
            .join(", ")
    };
    if chosen.is_empty() {
        let same: Vec<&Item> = view
            .findings
            .iter()
            .filter(|item| item.rule == options.rule)
            .collect();
        return Some(if same.is_empty() {
            format!("{}: no finding of {}", view.path(), options.rule)
        } else {
            format!(
                "{}: no finding of {} there; it speaks in {}",
                view.path(),
                options.rule,
                places(&same)
            )
        });
    }
    (chosen.len() > 1 && !options.all).then(|| {
        format!(
            "{}: {} speaks more than once, in {}; choose with --line or take --all",
            view.path(),
            options.rule,
            places(chosen)
        )
    })
}

/// The date in UTC, `YYYY-MM-DD`.
fn today() -> String {
    let days = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs() / 86_400);
    date_of(days)
}

/// The Gregorian date of a day counted from 1970-01-01.
fn date_of(days: u64) -> String {
    let leap = |year: u64| {
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
    };
    let mut year = 1970;
    let mut rest = days;
    loop {
        let length = if leap(year) { 366 } else { 365 };
        if rest < length {
            break;
        }
        rest -= length;
        year += 1;
    }
    let february = if leap(year) { 29 } else { 28 };
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if rest < length {
            break;
        }
        rest -= length;
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", rest + 1)
}

#[cfg(test)]
mod tests {
    use super::date_of;

    #[test]
    fn dates_follow_the_gregorian_calendar() {
        // Days by POSIX time (IEEE Std 1003.1, 4.16): 951 782 400 s is 2000-02-29, 1 709 251 200 s is 2024-03-01.
        assert_eq!(date_of(0), "1970-01-01");
        assert_eq!(date_of(951_782_400 / 86_400), "2000-02-29");
        assert_eq!(date_of(1_709_251_200 / 86_400), "2024-03-01");
        assert_eq!(date_of(1_709_251_200 / 86_400 - 62), "2023-12-30");
    }
}
