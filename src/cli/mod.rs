//! The command line, one file a command: reads options, calls the library, prints. The only place that prints, that asks the
//! terminal, and that knows exit statuses. Decides nothing about a document.

mod asked;
mod audit;
mod catalogue;
mod cite;
mod gather;
mod held;
mod output;
mod read;
mod recompute;
mod rulebook;
mod settle;
mod shell;
mod size;

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// Exit status when nothing was found at or above the level.
const CLEAN: u8 = 0;
/// Exit status when something was.
const FOUND: u8 = 1;
/// Exit status for usage and unreadable input.
const TROUBLE: u8 = 2;

/// Audits plain-text loudspeaker-cable literature: recomputes the physics and cites a rule for what does not hold.
#[derive(Debug, Parser)]
#[command(
    name = "claimgauge",
    version,
    max_term_width = 100,
    subcommand_required = true
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Audit files, folders, or - for standard input
    #[command(after_long_help = audit::NOTES)]
    Audit(audit::Options),
    /// Show what was understood of a document: cables, test set-up, comparisons, claims
    Read(read::Options),
    /// Recompute one cable: resistance, skin effect, inductance, loss, damping
    Recompute(Box<recompute::Options>),
    /// Say how thick a conductor a run needs
    Size(size::Options),
    /// Print a rule in full: what fires it, what is known, its figures and its sources
    Cite(cite::Options),
    /// List all rules by chapter, or check a house's own rule file
    Rulebook(rulebook::Options),
    /// Settle a finding once, with a reason and a name, in a file for --accepted
    Settle(settle::Options),
    /// Print the JSON Schema (draft 2020-12) of the reports
    Schema(shell::SchemaOptions),
    /// Print the completions for a shell
    Completions(shell::CompletionOptions),
    /// Print the manual page, or write one for each command into a folder
    Manual(shell::ManualOptions),
}

/// Colour in the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Colour {
    /// On a terminal, unless NO_COLOR is set or TERM is dumb
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// How the output is to look.
#[derive(Debug, Args)]
struct LookOptions {
    /// Use colour
    #[arg(
        long,
        value_enum,
        value_name = "WHEN",
        default_value = "auto",
        help_heading = "Look"
    )]
    color: Colour,
    /// Write lines of words alone, without drawn signs, for screen readers and searching
    #[arg(long, help_heading = "Look")]
    plain: bool,
    /// Use no signs outside ASCII (the rule where TERM is dumb)
    #[arg(long, help_heading = "Look")]
    ascii: bool,
    /// Columns to fill [default: those of the terminal, or 80]
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(40..=1000), help_heading = "Look")]
    width: Option<u16>,
}

impl LookOptions {
    fn look(&self, full: bool, to_file: bool) -> crate::report::Look {
        let variable = |name: &str| std::env::var(name).unwrap_or_default();
        let terminal = !to_file && std::io::stdout().is_terminal();
        let dumb = variable("TERM") == "dumb";
        let colour = match self.color {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => terminal && !dumb && variable("NO_COLOR").is_empty(),
        };
        let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
            .into_iter()
            .map(variable)
            .find(|value| !value.is_empty())
            .unwrap_or_default();
        let no_unicode = terminal && matches!(locale.as_str(), "C" | "POSIX");
        let width = self.width.map(usize::from).or_else(|| {
            terminal
                .then(terminal_size::terminal_size)
                .flatten()
                .map(|(width, _)| usize::from(width.0).clamp(40, 200))
        });
        crate::report::Look {
            width: width.unwrap_or(80),
            screen: (!full).then_some(40),
            colour: colour && !self.plain,
            unicode: !(self.ascii || dumb || no_unicode),
            plain: self.plain,
        }
    }
}

/// Rule files of a house.
#[derive(Debug, Args)]
struct RuleOptions {
    /// Rule files of your own: what a rule of a known id gives takes the place of what the built-in one has (may be given several times)
    #[arg(long = "rules", value_name = "FILE", value_delimiter = ',')]
    rules: Vec<PathBuf>,
}

impl RuleOptions {
    /// The rulebook, or nothing when a file of the house is at fault, which has then been said.
    fn rulebook(&self) -> Option<crate::rulebook::Rulebook> {
        let mut house = Vec::new();
        let mut sound = true;
        for path in &self.rules {
            match crate::input::from_path(path) {
                Ok(source) => house.push((source.name().to_owned(), source.text().to_owned())),
                Err(refusal) => {
                    complain(&format!("{}: {refusal}", path.display()));
                    sound = false;
                }
            }
        }
        if !sound {
            return None;
        }
        match crate::rulebook::Rulebook::with_house(&house) {
            Ok(rulebook) => Some(rulebook),
            Err(faults) => {
                for fault in faults {
                    complain(&fault.to_string());
                }
                None
            }
        }
    }
}

/// One line of trouble on standard error.
fn complain(line: &str) {
    let line = format!("claimgauge: {}\n", crate::report::escape::line(line));
    // Nobody is left to tell when standard error is gone.
    let _ = std::io::stderr().write_all(line.as_bytes());
}

/// Runs the program.
#[must_use]
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => return refuse(&error),
    };
    let done = match cli.command {
        Command::Audit(options) => audit::run(&options),
        Command::Read(options) => read::run(&options),
        Command::Recompute(options) => tell(recompute::run(&options)),
        Command::Size(options) => tell(size::run(&options)),
        Command::Cite(options) => cite::run(&options),
        Command::Rulebook(options) => rulebook::run(&options),
        Command::Settle(options) => settle::run(&options),
        Command::Schema(options) => shell::schema(&options),
        Command::Completions(options) => shell::completions(&options),
        Command::Manual(options) => shell::manual(&options),
    };
    ExitCode::from(match done {
        Ok(status) => status,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => CLEAN,
        Err(error) => {
            complain(&format!("cannot write: {error}"));
            TROUBLE
        }
    })
}

/// Help and version go to standard output; a mistake is told in one line.
fn refuse(error: &clap::Error) -> ExitCode {
    use clap::error::ErrorKind;
    let told = match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            let _ = error.print();
            return ExitCode::from(CLEAN);
        }
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            "name a command: audit, read, recompute, size, cite, rulebook, …".to_owned()
        }
        _ => error
            .to_string()
            .lines()
            .map(str::trim)
            .take_while(|line| !line.is_empty())
            .collect::<Vec<_>>()
            .join(" ")
            .trim_start_matches("error: ")
            .to_owned(),
    };
    complain(&format!("{told}; see claimgauge --help"));
    ExitCode::from(TROUBLE)
}

/// Prints an answer, or says in one line why there is none.
fn tell(answer: Result<String, asked::UsageError>) -> std::io::Result<u8> {
    match answer {
        Ok(text) => print(&text).map(|()| CLEAN),
        Err(error) => {
            complain(&error.to_string());
            Ok(TROUBLE)
        }
    }
}

/// Writes `text` to standard output.
fn print(text: &str) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}
