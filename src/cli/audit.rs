//! `claimgauge audit`.

use super::gather::{Input, gather};
use super::held::Held;
use super::output::Output;
use super::{CLEAN, FOUND, LookOptions, RuleOptions, TROUBLE, complain};
use crate::finding::Level;
use crate::input::{self, Refusal, Source};
use crate::ledger::Ledger;
use crate::report::{Counts, Ending, Format, Renderer, Scene, View};
use crate::run::{Auditor, Limits};
use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use rayon::prelude::*;
use serde_json::Value;
use std::io::{self, IsTerminal};
use std::mem::ManuallyDrop;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// What the long help adds.
pub const NOTES: &str = "\
Folders are walked in the order of their names; hidden files and those that .gitignore or .ignore name are left out, and \
files with one of the endings txt, text, asc, md, markdown, rst, adoc, org, csv, tsv or none are read.

Limits: a file larger than 256 MiB is refused, and so is a rule file or a file of settled findings larger than 4 MiB or with \
more than 200 brackets open at once; of one document at most --max-findings findings and as many confirmations are kept; \
a line of --lines longer than 16 MiB is refused; of one cable at most 128 figures and 48 uses are judged, and none of one \
that is given more than 48 different sizes or lengths; a figure that could hold under more than 512 combinations of \
conditions is left alone; of more than 96 statements of one kind the nearest are looked at; uses are worked out for at \
most 32 different loads; what is said of all cables at once is given to 200000 in all; what follows after 1000000 blocks is \
read as one paragraph, and what follows after 100000 cells of a table as a table of its own; of a \
document at most 4000000 quantities are read; steps that would start after --max-seconds are left out. Reaching a limit is said in the report.

Exit status: 0 nothing at or above --fail-on, 1 something, 2 usage or input that could not be read (other files are \
still done).";

/// Level from which the exit status is 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum FailOn {
    /// Errors alone
    Error,
    /// Warnings and errors
    Warning,
    /// Anything that is found
    Note,
    /// Never
    Never,
}

impl ValueEnum for Format {
    fn value_variants<'a>() -> &'a [Self] {
        Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()))
    }
}

/// Options of `audit`.
#[derive(Debug, Args)]
pub struct Options {
    /// Files, folders, or - for standard input
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// Format of the report
    #[arg(long, value_enum, value_name = "FORMAT", default_value = "text")]
    format: Format,
    /// Write the report to a file, whole or not at all
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Level from which the exit status is 1
    #[arg(long, value_enum, value_name = "LEVEL", default_value = "warning")]
    fail_on: FailOn,
    #[command(flatten)]
    rules: RuleOptions,
    /// Files of settled findings, as the settle command writes them (may be given several times)
    #[arg(long, value_name = "FILE", value_delimiter = ',')]
    accepted: Vec<PathBuf>,
    /// Take standard input as lines {"id": …, "text": …} and write one line for each (with --format ndjson and the path -)
    #[arg(long)]
    lines: bool,
    /// Documents that are worked on at once [default: one for each processor]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    jobs: Option<u16>,
    /// Show every finding in full, however long the report gets
    #[arg(long, help_heading = "Look")]
    full: bool,
    #[command(flatten)]
    look: LookOptions,
    /// Most findings kept of one document
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1000,
        help_heading = "Limits"
    )]
    max_findings: usize,
    /// Seconds after which the remaining steps of one document are left out
    #[arg(long, value_name = "N", default_value_t = 120, help_heading = "Limits")]
    max_seconds: u64,
}

/// What came out of one document.
pub struct Done {
    /// The report of it.
    pub text: Held,
    /// Totals.
    pub counts: Counts,
    /// Entries of the ledger that speak of this document, and whether each settled something.
    entries: Vec<(usize, bool)>,
}

/// What all documents share.
pub struct Bench<'a> {
    auditor: Auditor<'a>,
    renderer: &'static dyn Renderer,
    scene: Scene<'a>,
    ledger: Ledger,
}

impl Bench<'_> {
    /// Reads and audits one document; nothing when it is passed over.
    fn work(&self, input: &Input, number: usize) -> Result<Option<Done>, String> {
        let (name, read, named) = match input {
            Input::File(path, named) => {
                (path.display().to_string(), input::from_path(path), *named)
            }
            Input::Stream => (
                "-".to_owned(),
                input::from_reader("-", io::stdin().lock()),
                true,
            ),
        };
        match read {
            Ok(source) => self.audit(&source, None, number).map(Some),
            Err(
                Refusal::Binary | Refusal::Empty | Refusal::PageDescription | Refusal::RichText,
            ) if !named => Ok(None),
            Err(refusal) => Err(format!("{name}: {refusal}")),
        }
    }

    /// Audits one document.
    ///
    /// # Errors
    /// When the program itself is at fault.
    pub fn audit(&self, source: &Source, id: Option<Value>, number: usize) -> Result<Done, String> {
        // A fault of the program in one document must not take the others with it.
        std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            let audit = self.auditor.audit(source);
            let mut view = View::new(source, &audit, self.auditor.rulebook());
            view.id = id;
            let mut entries: Vec<(usize, bool)> = self
                .ledger
                .in_scope(source.name())
                .into_iter()
                .map(|index| (index, false))
                .collect();
            if !entries.is_empty() {
                view.settle(|item| {
                    let index = self.ledger.answer(source.name(), item)?;
                    if let Some(entry) = entries.iter_mut().find(|entry| entry.0 == index) {
                        entry.1 = true;
                    }
                    self.ledger.settled(index)
                });
            }
            let mut text = Held::default();
            self.renderer
                .write(&view, &self.scene, number, &mut text)
                .map_err(|error| format!("{}: no room for its report: {error}", source.name()))?;
            Ok(Done {
                entries,
                text,
                counts: view.counts,
            })
        }))
        .unwrap_or_else(|_| {
            Err(format!(
                "{}: a fault of claimgauge stopped the audit",
                source.name()
            ))
        })
    }
}

/// Runs the command.
///
/// # Errors
/// When the report cannot be written.
pub fn run(options: &Options) -> io::Result<u8> {
    let mut paths = options.paths.clone();
    if paths.is_empty() {
        if io::stdin().is_terminal() {
            complain("audit what? Name files, folders, or - for standard input");
            return Ok(TROUBLE);
        }
        paths.push(PathBuf::from("-"));
    }
    let Some(rulebook) = options.rules.rulebook() else {
        return Ok(TROUBLE);
    };
    // The system takes its memory back quicker at the end of the process than it is given back piece by piece.
    let rulebook = ManuallyDrop::new(rulebook);
    let Some(ledger) = ledger(&options.accepted) else {
        return Ok(TROUBLE);
    };
    if options.lines && (options.format != Format::Ndjson || paths != [PathBuf::from("-")]) {
        complain("--lines goes with --format ndjson and the one path -");
        return Ok(TROUBLE);
    }
    let bench = Bench {
        ledger,
        auditor: Auditor::new(
            &rulebook,
            Limits {
                findings: options.max_findings,
                time: Duration::from_secs(options.max_seconds),
            },
        ),
        renderer: options.format.renderer(),
        scene: Scene {
            look: options.look.look(options.full, options.output.is_some()),
            rulebook: &rulebook,
        },
    };
    let mut output = Output::open(options.output.as_deref())?;
    let (inputs, troubles) = gather(&paths);
    let mut ending = Ending::default();
    for trouble in troubles {
        say(&mut ending, trouble);
    }
    let mut used = vec![None; bench.ledger.len()];
    if options.lines {
        let pool = pool(jobs(options));
        let input = io::stdin().lock();
        super::catalogue::run(&bench, pool.as_ref(), input, &mut output, &mut ending)?;
    } else {
        documents(
            options,
            &bench,
            &inputs,
            &mut output,
            &mut ending,
            &mut used,
        )?;
    }
    output.finish()?;
    Ok(status(options, &ending))
}

fn ledger(paths: &[PathBuf]) -> Option<Ledger> {
    let mut ledger = Ledger::default();
    let mut sound = true;
    for path in paths {
        let name = path.display().to_string();
        let told = match input::from_path(path) {
            Ok(source) => ledger
                .add(&name, source.text())
                .map_err(|fault| fault.to_string()),
            // One that holds nothing yet settles nothing.
            Err(Refusal::Empty) => Ok(()),
            Err(refusal) => Err(format!("{name}: {refusal}")),
        };
        if let Err(fault) = told {
            complain(&fault);
            sound = false;
        }
    }
    sound.then_some(ledger)
}

fn jobs(options: &Options) -> usize {
    options.jobs.map_or_else(
        || std::thread::available_parallelism().map_or(1, std::num::NonZero::get),
        usize::from,
    )
}

fn pool(jobs: usize) -> Option<rayon::ThreadPool> {
    if jobs < 2 {
        return None;
    }
    rayon::ThreadPoolBuilder::new()
        .num_threads(jobs)
        .stack_size(8 << 20)
        .build()
        .map_err(|error| complain(&format!("working on one document at a time: {error}")))
        .ok()
}

fn say(ending: &mut Ending, trouble: String) {
    complain(&trouble);
    ending.troubles.push(trouble);
}

fn status(options: &Options, ending: &Ending) -> u8 {
    let level = match options.fail_on {
        FailOn::Error => Some(Level::Error),
        FailOn::Warning => Some(Level::Warning),
        FailOn::Note => Some(Level::Note),
        FailOn::Never => None,
    };
    if !ending.troubles.is_empty() {
        TROUBLE
    } else if level.is_some_and(|level| ending.counts.reach(level)) {
        FOUND
    } else {
        CLEAN
    }
}

/// Documents of a batch: enough to keep all processors busy, few enough to hold their reports in memory.
const BATCH: usize = 16;

fn documents(
    options: &Options,
    bench: &Bench<'_>,
    inputs: &[Input],
    output: &mut Output,
    ending: &mut Ending,
    used: &mut [Option<bool>],
) -> io::Result<()> {
    let jobs = jobs(options).min(inputs.len().max(1));
    let pool = pool(jobs);
    let mut held = bench.renderer.totals_first().then(Vec::new);
    if held.is_none() {
        output.write(&bench.renderer.head(&bench.scene, ending))?;
    }
    let mut progress = Progress::new(inputs.len());
    let mut number = 0;
    let mut written = false;
    for batch in inputs.chunks(BATCH * jobs) {
        let work = |(index, input): (usize, &Input)| {
            let done = bench.work(input, number + index);
            progress.step();
            done
        };
        let results: Vec<_> = match &pool {
            Some(pool) => pool.install(|| batch.par_iter().enumerate().map(work).collect()),
            None => batch.iter().enumerate().map(work).collect(),
        };
        for result in results {
            match result {
                Ok(Some(done)) => {
                    ending.counts.add(done.counts);
                    for (index, settled) in done.entries {
                        if let Some(used) = used.get_mut(index) {
                            *used = Some(settled || *used == Some(true));
                        }
                    }
                    if done.text.is_empty() {
                        continue;
                    }
                    match &mut held {
                        Some(held) => held.push(done.text),
                        None => {
                            if written {
                                output.write(bench.renderer.joint())?;
                            }
                            output.take(done.text)?;
                            written = true;
                        }
                    }
                }
                Ok(None) => {}
                Err(trouble) => progress.aside(|| say(ending, trouble)),
            }
        }
        number += batch.len();
        output.flush()?;
    }
    progress.end();
    ending.notices.extend(
        used.iter()
            .enumerate()
            .filter(|(_, used)| **used == Some(false))
            .filter_map(|(index, _)| bench.ledger.stale(index)),
    );
    if let Some(held) = held {
        output.write(&bench.renderer.head(&bench.scene, ending))?;
        for (index, text) in held.into_iter().enumerate() {
            if index > 0 {
                output.write(bench.renderer.joint())?;
            }
            output.take(text)?;
        }
    }
    output.write(&bench.renderer.tail(&bench.scene, ending))
}

/// A bar on standard error, when that is a terminal and the work lasts over a second.
struct Progress {
    bar: ProgressBar,
    start: Instant,
}

impl Progress {
    fn new(documents: usize) -> Self {
        let bar = ProgressBar::with_draw_target(
            u64::try_from(documents).ok(),
            ProgressDrawTarget::hidden(),
        );
        if let Ok(style) = ProgressStyle::with_template("{pos} of {len} documents {wide_bar} {eta}")
        {
            bar.set_style(style);
        }
        Self {
            bar,
            start: Instant::now(),
        }
    }

    fn step(&self) {
        self.bar.inc(1);
        if self.bar.is_hidden()
            && self.bar.length().is_some_and(|documents| documents > 1)
            && self.start.elapsed() > Duration::from_secs(1)
            && io::stderr().is_terminal()
        {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
    }

    fn aside(&mut self, say: impl FnOnce()) {
        self.bar.suspend(say);
    }

    fn end(&self) {
        self.bar.finish_and_clear();
    }
}
