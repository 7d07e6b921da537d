//! `claimgauge rulebook`.

use super::{CLEAN, RuleOptions, TROUBLE, complain, print};
use crate::claims::verify::verify;
use crate::rulebook::show;
use clap::Args;
use std::io;
use std::path::PathBuf;

/// Options of `rulebook`.
#[derive(Debug, Args)]
pub struct Options {
    /// Check a house's own rule file: mistakes, its examples, overlaps with built-in rules
    #[arg(long, value_name = "FILE", conflicts_with = "rules")]
    verify: Option<PathBuf>,
    #[command(flatten)]
    rules: RuleOptions,
}

/// Runs the command.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(options: &Options) -> io::Result<u8> {
    let Some(path) = &options.verify else {
        let Some(book) = options.rules.rulebook() else {
            return Ok(TROUBLE);
        };
        print(&show::list(&book))?;
        return Ok(CLEAN);
    };
    let source = match crate::input::from_path(path) {
        Ok(source) => source,
        Err(refusal) => {
            complain(&format!("{}: {refusal}", path.display()));
            return Ok(TROUBLE);
        }
    };
    let told = verify(source.name(), source.text());
    for warning in &told.warnings {
        complain(&format!("warning: {warning}"));
    }
    for fault in &told.faults {
        complain(&fault.to_string());
    }
    if !told.faults.is_empty() {
        let waits = match told.untried.as_slice() {
            _ if told.rules == 0 => "the examples".to_owned(),
            [] => String::new(),
            untried => format!("the examples of {}", untried.join(", ")),
        };
        if !waits.is_empty() {
            complain(&format!(
                "{}: {waits} are tried when these mistakes are mended",
                source.name()
            ));
        }
        return Ok(TROUBLE);
    }
    print(&format!(
        "{}: {} and {} in order\n",
        source.name(),
        count(told.rules, "rule"),
        count(told.examples, "example")
    ))?;
    Ok(CLEAN)
}

fn count(number: usize, word: &str) -> String {
    if number == 1 {
        format!("1 {word}")
    } else {
        format!("{number} {word}s")
    }
}
