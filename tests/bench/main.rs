//! Figures of speed and memory, printed and never judged: `cargo bench` prints all, `cargo bench -- start worst` two of them.
//!
//! Each figure is of the program as a whole, run as its users run it. Times are of processors unless the line says
//! otherwise, the quickest of a few runs, so that a busy machine tells nearly the same as an idle one.

#![allow(
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "it prints figures and does nothing else"
)]

mod measure;
mod texts;

use measure::{Took, memory, once, quickest};
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

const MEGABYTE: usize = 1_000_000;

fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_claimgauge"));
    command.args(arguments);
    command
}

fn audit(file: &Path, jobs: &str) -> Command {
    let mut command = program(&[
        "audit",
        "--jobs",
        jobs,
        "--fail-on",
        "never",
        "--max-seconds",
        "100000",
    ]);
    command.arg(file);
    command
}

/// Where the texts lie while they are measured.
struct Desk(PathBuf);

impl Desk {
    fn file(&self, name: &str, text: &str) -> io::Result<PathBuf> {
        let path = self.0.join(name);
        std::fs::write(&path, text)?;
        Ok(path)
    }
}

fn milliseconds(took: Took) -> f64 {
    took.wall.as_secs_f64() * 1e3
}

fn nanoseconds_a_byte(took: Took, bytes: usize) -> f64 {
    took.processor.as_secs_f64() * 1e9 / bytes as f64
}

/// Whole processes on small input, beside a program that does nothing.
fn start(desk: &Desk) -> io::Result<()> {
    println!("start: a whole process, on the clock, quickest of 40");
    let sheet = texts::dense(2000);
    let sheet = desk.file("sheet.txt", sheet.get(..2000).unwrap_or(&sheet))?;
    let own = std::env::current_exe()?;
    let empty = quickest(40, || once(Command::new(&own).arg("--nothing")))?;
    println!("  {:<44} {:7.2} ms", "empty program", milliseconds(empty));
    let mut sheet_text = audit(&sheet, "1");
    let mut json = audit(&sheet, "1");
    json.args(["--format", "json"]);
    let mut lines: Vec<(&str, Command)> = vec![
        ("audit of 2 kB", sheet_text),
        ("audit of 2 kB as JSON", json),
    ];
    sheet_text = program(&["recompute", "--gauge", "14AWG", "--length", "10m"]);
    lines.push(("recompute", sheet_text));
    lines.push((
        "size",
        program(&["size", "--length", "10m", "--load", "8ohm"]),
    ));
    lines.push(("--version", program(&["--version"])));
    for (name, command) in &mut lines {
        let took = quickest(40, || once(command))?;
        println!(
            "  {name:<44} {:7.2} ms, {:+.2} ms",
            milliseconds(took),
            milliseconds(took) - milliseconds(empty)
        );
    }
    Ok(())
}

type Text = fn(usize) -> String;
const KINDS: [(&str, Text); 2] = [
    ("running text", texts::running),
    ("dense sheets", texts::dense),
];

/// Cost of a byte at three lengths, beside counting its words.
fn throughput(desk: &Desk) -> io::Result<()> {
    println!("throughput: one job, processor time, beside wc -w of the same file");
    for (name, text) in KINDS {
        for size in [1, 10, 100] {
            let text = text(size * MEGABYTE);
            let file = desk.file("text.txt", &text)?;
            let times = if size == 100 { 1 } else { 3 };
            let ours = quickest(times, || once(&mut audit(&file, "1")))?;
            let words = quickest(times, || once(Command::new("wc").arg("-w").arg(&file)))?;
            let (ours, words) = (
                nanoseconds_a_byte(ours, text.len()),
                nanoseconds_a_byte(words, text.len()),
            );
            println!(
                "  {name}, {size:>3} MB {ours:9.1} ns a byte {:8.1} MB/s; wc -w {words:5.1} ns a byte, {:5.1} times",
                1e3 / ours,
                ours / words
            );
        }
    }
    Ok(())
}

/// A folder of documents on one processor and on two.
fn jobs(desk: &Desk) -> io::Result<()> {
    println!("jobs: 16 documents of 1 MB, on the clock (say little where others use the machine)");
    for (name, text) in KINDS {
        let folder = desk.0.join(name.replace(' ', "-"));
        std::fs::create_dir(&folder)?;
        let text = text(MEGABYTE);
        for number in 0..16 {
            std::fs::write(folder.join(format!("{number}.txt")), &text)?;
        }
        let one = quickest(3, || once(&mut audit(&folder, "1")))?;
        let two = quickest(3, || once(&mut audit(&folder, "2")))?;
        println!(
            "  {name}: one job {:.2} s, two jobs {:.2} s, {:.2} times as quick, processor time {:.2} and {:.2} s",
            one.wall.as_secs_f64(),
            two.wall.as_secs_f64(),
            one.wall.as_secs_f64() / two.wall.as_secs_f64(),
            one.processor.as_secs_f64(),
            two.processor.as_secs_f64()
        );
    }
    Ok(())
}

/// Most memory at once, beside the length of the document.
fn space(desk: &Desk) -> io::Result<()> {
    println!("memory: most at once");
    for (name, text) in KINDS {
        for size in [2000, MEGABYTE, 10 * MEGABYTE, 100 * MEGABYTE] {
            let text = text(size);
            let file = desk.file("text.txt", &text)?;
            let took = quickest(if size < MEGABYTE { 10 } else { 1 }, || {
                memory(&mut audit(&file, "1"))
            })?;
            println!(
                "  {name}, {:>9} bytes: {:8.1} MB, {:5.1} times the document",
                text.len(),
                took.memory as f64 / 1e6,
                took.memory as f64 / text.len() as f64
            );
        }
    }
    Ok(())
}

/// What wears the reader out, as multiples of the usual cost of a byte.
fn worst(desk: &Desk) -> io::Result<()> {
    for (step, usual, shapes) in [
        (
            "grammar, of dense sheets",
            texts::dense as Text,
            texts::worst_for_the_grammar as fn(usize) -> Vec<texts::Worst>,
        ),
        (
            "matcher, of running text",
            texts::running as Text,
            texts::worst_for_the_matcher as fn(usize) -> Vec<texts::Worst>,
        ),
        (
            "layout, of dense sheets",
            texts::dense as Text,
            texts::worst_for_the_layout as fn(usize) -> Vec<texts::Worst>,
        ),
    ] {
        let mut base = 0.0;
        println!("worst for the {step}: cost of a byte at 1 and 4 MB, in multiples of the usual");
        for size in [MEGABYTE, 4 * MEGABYTE] {
            let text = usual(size);
            let file = desk.file("text.txt", &text)?;
            let took = quickest(3, || once(&mut audit(&file, "1")))?;
            let cost = nanoseconds_a_byte(took, text.len());
            if size == MEGABYTE {
                base = cost;
            }
            println!("  usual {:30} {size:>9} bytes {cost:9.1} ns a byte", "");
        }
        let long = shapes(4 * MEGABYTE);
        for (shape, long) in shapes(MEGABYTE).into_iter().zip(long) {
            let mut told = String::new();
            for text in [&shape.text, &long.text] {
                let file = desk.file("text.txt", text)?;
                let took = quickest(2, || once(&mut audit(&file, "1")))?;
                let cost = nanoseconds_a_byte(took, text.len());
                told.push_str(&format!(" {cost:9.1} ns {:6.2} times", cost / base));
            }
            println!("  {:36}{told}", shape.name);
        }
    }
    Ok(())
}

fn main() -> io::Result<()> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    if asked.iter().any(|word| word == "--nothing") {
        return Ok(());
    }
    type Part = fn(&Desk) -> io::Result<()>;
    let parts: [(&str, Part); 5] = [
        ("start", start),
        ("throughput", throughput),
        ("jobs", jobs),
        ("memory", space),
        ("worst", worst),
    ];
    // `--bench` comes from cargo; a test run of all targets asks for nothing.
    let named: Vec<&str> = asked
        .iter()
        .map(String::as_str)
        .filter(|word| !word.starts_with('-'))
        .collect();
    if !asked.iter().any(|word| word == "--bench") && named.is_empty() {
        println!("figures are printed by cargo bench");
        return Ok(());
    }
    for (name, part) in parts {
        if named.is_empty() || named.contains(&name) {
            let folder = tempfile::tempdir()?;
            part(&Desk(folder.path().to_owned()))?;
        }
    }
    Ok(())
}
