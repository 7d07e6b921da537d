//! `claimgauge read`.

use super::{CLEAN, LookOptions, RuleOptions, TROUBLE, complain, print};
use crate::input;
use crate::report::{self, View};
use crate::run::{Auditor, Limits};
use clap::{Args, ValueEnum};
use std::io;
use std::path::{Path, PathBuf};

/// How it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Style {
    /// For people
    Text,
    /// For programs: the document part of the JSON report
    Json,
}

/// Options of `read`.
#[derive(Debug, Args)]
pub struct Options {
    /// A file, or - for standard input
    #[arg(value_name = "PATH")]
    path: PathBuf,
    /// How it is written
    #[arg(long, value_enum, value_name = "FORMAT", default_value = "text")]
    format: Style,
    #[command(flatten)]
    rules: RuleOptions,
    #[command(flatten)]
    look: LookOptions,
}

/// Runs the command.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(options: &Options) -> io::Result<u8> {
    let Some(rulebook) = options.rules.rulebook() else {
        return Ok(TROUBLE);
    };
    let read = if options.path == Path::new("-") {
        input::from_reader("-", io::stdin().lock())
    } else {
        input::from_path(&options.path)
    };
    let source = match read {
        Ok(source) => source,
        Err(refusal) => {
            complain(&format!("{}: {refusal}", options.path.display()));
            return Ok(TROUBLE);
        }
    };
    let audit = Auditor::new(&rulebook, Limits::default()).audit(&source);
    let view = View::new(&source, &audit, &rulebook);
    match options.format {
        Style::Text => print(&report::reading::render(
            &view,
            &options.look.look(true, false),
        ))?,
        Style::Json => print(&format!(
            "{}\n",
            report::json::pretty(&report::json::Document::from(&view))
        ))?,
    }
    Ok(CLEAN)
}
