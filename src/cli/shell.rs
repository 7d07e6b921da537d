//! What the surroundings of the program need: schemas, completions, manual pages.

use super::{CLEAN, Cli, complain, print};
use crate::report::json;
use clap::{Args, CommandFactory, ValueEnum};
use std::io;
use std::path::PathBuf;

/// Which schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Which {
    /// Of a whole report (`--format json`)
    Report,
    /// Of a line (`--format ndjson`)
    Line,
}

/// Options of `schema`.
#[derive(Debug, Args)]
pub struct SchemaOptions {
    /// Which one
    #[arg(value_enum, default_value = "report")]
    which: Which,
}

/// Prints a JSON Schema.
///
/// # Errors
/// When standard output cannot be written.
pub fn schema(options: &SchemaOptions) -> io::Result<u8> {
    let schema = match options.which {
        Which::Report => json::report_schema(),
        Which::Line => json::line_schema(),
    };
    print(&format!("{schema}\n"))?;
    Ok(CLEAN)
}

/// Options of `completions`.
#[derive(Debug, Args)]
pub struct CompletionOptions {
    /// The shell
    #[arg(value_enum)]
    shell: clap_complete::Shell,
}

/// Prints completions.
///
/// # Errors
/// When standard output cannot be written.
pub fn completions(options: &CompletionOptions) -> io::Result<u8> {
    let mut text = Vec::new();
    clap_complete::generate(options.shell, &mut Cli::command(), "claimgauge", &mut text);
    print(&String::from_utf8_lossy(&text))?;
    Ok(CLEAN)
}

/// Options of `manual`.
#[derive(Debug, Args)]
pub struct ManualOptions {
    /// Folder for one page a command
    #[arg(value_name = "FOLDER")]
    folder: Option<PathBuf>,
}

/// Prints the manual page, or writes one for each command.
///
/// # Errors
/// When they cannot be written.
pub fn manual(options: &ManualOptions) -> io::Result<u8> {
    let command = Cli::command();
    match &options.folder {
        Some(folder) => {
            if let Err(error) = clap_mangen::generate_to(command, folder) {
                complain(&format!("{}: {error}", folder.display()));
                return Ok(super::TROUBLE);
            }
        }
        None => {
            let mut page = Vec::new();
            clap_mangen::Man::new(command).render(&mut page)?;
            print(&String::from_utf8_lossy(&page))?;
        }
    }
    Ok(CLEAN)
}
