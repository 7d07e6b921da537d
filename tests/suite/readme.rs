//! The README tells what the program prints: every command in it is run, and what it shows is what was printed.
//!
//! `README_WRITE=1 cargo test readme` writes the shown output anew. A comment before a block says how much of it is shown:
//! `<!-- shown: first 20 -->` the first lines, `<!-- shown: from "words" 5 -->` as many from the line that begins with the words; all of it
//! without a comment.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const CUT: &str = "[…]";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn page(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// How much of what a command prints is shown.
#[derive(Debug, Clone, PartialEq)]
enum Shown {
    All,
    First(usize),
    From(String, usize),
}

impl Shown {
    fn of(comment: &str) -> Option<Self> {
        let rule = comment.strip_prefix("<!-- shown: ")?.strip_suffix(" -->")?;
        if let Some(count) = rule.strip_prefix("first ") {
            return Some(Self::First(count.parse().expect("a count of lines")));
        }
        let (words, count) = rule
            .strip_prefix("from \"")
            .and_then(|rest| rest.split_once("\" "))
            .unwrap_or_else(|| panic!("not a way to show: {comment}"));
        Some(Self::From(
            words.to_owned(),
            count.parse().expect("a count of lines"),
        ))
    }

    fn cut(&self, command: &str, printed: &str) -> Vec<String> {
        let lines: Vec<&str> = printed.lines().map(str::trim_end).collect();
        let (start, count) = match self {
            Self::All => (0, lines.len()),
            Self::First(count) => (0, *count),
            Self::From(words, count) => {
                let start = lines.iter().position(|line| line.starts_with(words));
                (
                    start.unwrap_or_else(|| {
                        panic!("{command} prints no line that begins with “{words}”")
                    }),
                    *count,
                )
            }
        };
        let end = (start + count).min(lines.len());
        let mut shown = Vec::new();
        if start > 0 {
            shown.push(CUT.to_owned());
        }
        shown.extend(lines[start..end].iter().map(|&line| line.to_owned()));
        if end < lines.len() {
            shown.push(CUT.to_owned());
        }
        shown
    }
}

/// A folder with the samples, in which the commands of the page are run one after the other.
struct Shell {
    folder: tempfile::TempDir,
    path: std::ffi::OsString,
    status: i32,
}

impl Shell {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        fs::create_dir(folder.path().join("samples")).expect("a folder");
        for entry in fs::read_dir(root().join("samples")).expect("the samples") {
            let from = entry.expect("a sample").path();
            let name = from.file_name().expect("a name");
            fs::copy(&from, folder.path().join("samples").join(name)).expect("a copy");
        }
        let program = PathBuf::from(env!("CARGO_BIN_EXE_claimgauge"));
        let beside = program.parent().expect("the folder of the program");
        let old = std::env::var_os("PATH").unwrap_or_default();
        let path = std::env::join_paths(
            std::iter::once(beside.to_owned()).chain(std::env::split_paths(&old)),
        )
        .expect("a path");
        Self {
            folder,
            path,
            status: 0,
        }
    }

    fn run(&mut self, command: &str) -> String {
        let line = command.replace("cargo run --release --", "claimgauge");
        let output = Command::new("sh")
            .arg("-c")
            .arg(format!("(exit {}); {line}", self.status))
            .current_dir(self.folder.path())
            .env("PATH", &self.path)
            .env_remove("NO_COLOR")
            .env_remove("TERM")
            .output()
            .expect("a shell");
        self.status = output.status.code().expect("an exit status");
        let mut printed = String::from_utf8(output.stdout).expect("UTF-8");
        printed.push_str(&String::from_utf8(output.stderr).expect("UTF-8"));
        printed
    }
}

/// The page with what its commands print now, and the commands.
fn told(page: &str) -> (String, Vec<String>) {
    let mut shell = Shell::new();
    let mut commands = Vec::new();
    let mut lines: Vec<String> = Vec::new();
    let mut shown: Option<Shown> = None;
    let mut open = false;
    for line in page.lines() {
        if open {
            if line == "```" {
                open = false;
            } else if let Some(command) = line.strip_prefix("$ ") {
                lines.push(line.to_owned());
                let printed = shell.run(command);
                let shown = shown.as_ref().unwrap_or(&Shown::All);
                lines.extend(shown.cut(command, &printed));
                commands.push(command.to_owned());
                continue;
            } else {
                continue;
            }
        } else if line == "```console" {
            open = true;
            shown = lines.last().and_then(|before| Shown::of(before));
        }
        lines.push(line.to_owned());
    }
    (lines.join("\n") + "\n", commands)
}

#[test]
#[cfg(unix)]
fn the_readme_shows_what_is_printed() {
    let page = page("README.md");
    let (now, commands) = told(&page);
    if std::env::var_os("README_WRITE").is_some() {
        fs::write(root().join("README.md"), &now).expect("written");
        return;
    }
    for (number, (shown, printed)) in page.lines().zip(now.lines()).enumerate() {
        assert_eq!(
            shown,
            printed,
            "README.md, line {}: shown (left) is not what is printed (right); README_WRITE=1 cargo test readme writes it anew",
            number + 1
        );
    }
    assert_eq!(page, now, "README.md is not as it is printed");
    for name in [
        "audit",
        "read",
        "recompute",
        "size",
        "cite",
        "rulebook",
        "settle",
    ] {
        assert!(
            commands
                .iter()
                .any(|command| command.contains(&format!("claimgauge {name}"))),
            "the README does not show {name}"
        );
    }
}

#[test]
#[cfg(unix)]
fn the_first_command_of_the_readme_does_the_main_job() {
    let page = page("README.md");
    let line = page
        .lines()
        .find_map(|line| line.strip_prefix("    cargo run --release -- "))
        .expect("a command that runs the main job");
    let mut shell = Shell::new();
    let printed = shell.run(&format!("claimgauge {line}"));
    assert_eq!(shell.status, 1, "{printed}");
    for rule in [
        "unequal-gauge",
        "gauge-area-mismatch",
        "In all: 2 documents",
    ] {
        assert!(printed.contains(rule), "{rule} is not in {printed}");
    }
}

#[test]
fn the_test_command_of_the_readme_is_the_one_that_is_run() {
    let page = page("README.md");
    let command = page
        .lines()
        .find_map(|line| {
            line.strip_prefix("    ")
                .filter(|line| line.starts_with("cargo test"))
        })
        .expect("a command that passes the tests");
    assert!(
        page_has_line(".ci/run", command),
        ".ci/run does not run {command}"
    );
}

fn page_has_line(name: &str, wanted: &str) -> bool {
    page(name).lines().any(|line| line.trim() == wanted)
}

#[test]
fn files_that_the_readme_points_to_are_there() {
    let page = page("README.md");
    let mut seen = 0;
    for target in page.split("](").skip(1) {
        let target = target.split(')').next().expect("a target");
        assert!(root().join(target).exists(), "README.md points to {target}");
        seen += 1;
    }
    assert!(seen > 2);
}

#[test]
fn an_older_output_is_noticed() {
    let old = "```console\n$ printf 'one\\ntwo\\n'\none\nthree\n```\n";
    let (now, commands) = told(old);
    assert_eq!(now, "```console\n$ printf 'one\\ntwo\\n'\none\ntwo\n```\n");
    assert_eq!(commands.len(), 1);
    let cut = "<!-- shown: from \"two\" 1 -->\n```console\n$ printf 'one\\ntwo\\nthree\\n'\n```\n";
    assert!(told(cut).0.ends_with("'\n[…]\ntwo\n[…]\n```\n"));
}

fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_claimgauge"))
        .args(arguments)
        .output()
        .expect("a run");
    assert!(
        output.status.success(),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[test]
fn every_rule_is_listed_and_can_be_cited() {
    let book = claimgauge::rulebook::Rulebook::builtin();
    let list = printed(&["rulebook"]);
    for rule in book.rules() {
        assert!(
            list.lines()
                .any(|line| line.trim_start().starts_with(&format!("{} ", rule.id))),
            "{} is not in the rulebook",
            rule.id
        );
        let cited = printed(&["cite", &rule.id]);
        let flat = cited.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [&rule.title, &rule.physics, &rule.fair, &rule.evidence] {
            let part = part.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat.contains(&part), "cite {} leaves out “{part}”", rule.id);
        }
        assert!(flat.contains("Sources ["), "cite {} has no source", rule.id);
    }
}
