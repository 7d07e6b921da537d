//! The samples in every format, as agreed: a change of what people see shows here first.

use std::path::Path;
use std::process::Command;

fn audit(arguments: &[&str], files: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_claimgauge"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .env("NO_COLOR", "1")
        .args(["audit", "--fail-on", "never"])
        .args(arguments)
        .args(files)
        .output()
        .expect("a run");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("text")
}

/// An honest demonstration and a sheet with faults, which the first command of the README reads too.
const PAIR: [&str; 2] = [
    "samples/fair-demonstration.txt",
    "samples/orrisvane-skylark-sheet.txt",
];

#[test]
fn two_samples_in_every_format() {
    for format in ["text", "markdown", "html", "json", "ndjson", "sarif"] {
        let shown = audit(&["--format", format], &PAIR);
        let shown = shown.replace(env!("CARGO_PKG_VERSION"), "VERSION");
        insta::assert_snapshot!(format!("pair-{format}"), shown);
    }
}

#[test]
fn what_is_found_in_every_sample() {
    let mut files: Vec<String> =
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples"))
            .expect("a folder of samples")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .filter(|name| name.ends_with(".txt"))
            .map(|name| format!("samples/{name}"))
            .collect();
    files.sort();
    assert!(files.len() >= 8);
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let told = audit(&["--plain"], &files);
    let kept: Vec<&str> = told
        .lines()
        .filter(|line| {
            [
                "Document",
                "Read as",
                "Confirmed:",
                "Found",
                "Finding",
                "Message",
            ]
            .iter()
            .any(|begin| line.starts_with(begin))
        })
        .collect();
    insta::assert_snapshot!("every-sample", kept.join("\n"));
}
