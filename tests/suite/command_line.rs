//! The command line as a user meets it: what goes where, and what each mistake is answered with.

use assert_cmd::Command;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const CLAIM: &str = "The Heron loudspeaker cable is deep-frozen to free its electrons, and it sounds better for it.\n";
const HONEST: &str = "The Heron loudspeaker cable is made of copper. Its jacket is grey.\n";

fn claimgauge(arguments: &[&str], folder: &Path) -> Command {
    let mut command = Command::cargo_bin("claimgauge").expect("the program");
    command
        .args(arguments)
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .env_remove("TERM");
    command
}

struct Told {
    status: i32,
    out: String,
    err: String,
}

fn run(arguments: &[&str], folder: &Path) -> Told {
    told(&mut claimgauge(arguments, folder))
}

fn told(command: &mut Command) -> Told {
    let output = command.output().expect("a run");
    Told {
        status: output.status.code().expect("an exit status"),
        out: String::from_utf8(output.stdout).expect("UTF-8"),
        err: String::from_utf8(output.stderr).expect("UTF-8"),
    }
}

fn folder() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("claim.txt"), CLAIM).expect("written");
    fs::write(folder.path().join("honest.txt"), HONEST).expect("written");
    fs::write(folder.path().join("binary.bin"), b"\x7FELF\x02\x01\0\0\0\0").expect("written");
    fs::write(folder.path().join("empty.txt"), "").expect("written");
    folder
}

fn json(text: &str) -> serde_json::Value {
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn the_exit_status_follows_what_was_found() {
    let folder = folder();
    let status = |arguments: &[&str]| run(arguments, folder.path()).status;
    assert_eq!(status(&["audit", "claim.txt"]), 1);
    assert_eq!(status(&["audit", "honest.txt"]), 0);
    assert_eq!(status(&["audit", "claim.txt", "--fail-on", "never"]), 0);
    assert_eq!(status(&["audit", "claim.txt", "--fail-on", "error"]), 0);
    assert_eq!(status(&["audit", "claim.txt", "missing.txt"]), 2);
    assert_eq!(status(&["--help"]), 0);
    assert_eq!(status(&["--version"]), 0);
}

#[test]
fn each_bad_input_gets_one_clear_line_and_the_others_are_done() {
    let folder = folder();
    fs::create_dir(folder.path().join("pictures")).expect("a folder");
    fs::write(folder.path().join("pictures/a.png"), b"\x89PNG\r\n").expect("written");
    fs::write(
        folder.path().join("bad-rules.yaml"),
        "rules:\n  - id: Loud\n",
    )
    .expect("written");
    fs::write(folder.path().join("bad-ledger.yaml"), "settled: 3\n").expect("written");
    for (arguments, says) in [
        (
            &["audit", "claim.txt", "missing.txt"][..],
            "missing.txt: cannot be read",
        ),
        (
            &["audit", "claim.txt", "pictures"],
            "pictures: the folder holds no text files",
        ),
        (
            &["audit", "claim.txt", "binary.bin"],
            "binary.bin: is not text",
        ),
        (
            &["audit", "claim.txt", "empty.txt"],
            "empty.txt: holds no text",
        ),
        (
            &["audit", "claim.txt", "--frobnicate"],
            "unexpected argument '--frobnicate'",
        ),
        (
            &["audit", "claim.txt", "--format", "poem"],
            "invalid value 'poem'",
        ),
        (&["audit", "claim.txt", "--jobs", "0"], "invalid value '0'"),
        (
            &["audit", "claim.txt", "--rules", "bad-rules.yaml"],
            "bad-rules.yaml:2:9:",
        ),
        (
            &["audit", "claim.txt", "--accepted", "bad-ledger.yaml"],
            "bad-ledger.yaml:1:10:",
        ),
        (
            &["audit", "claim.txt", "--accepted", "gone.yaml"],
            "gone.yaml: cannot be read",
        ),
        (
            &["audit", "claim.txt", "--output", "no/such/folder.txt"],
            "no/such/folder.txt",
        ),
        (
            &["audit", "claim.txt", "--output", "pictures"],
            "pictures: is a folder",
        ),
        (&["audit", "claim.txt", "--lines"], "--lines goes with"),
        (&["read", "missing.txt"], "missing.txt: cannot be read"),
        (&["frobnicate"], "unrecognized subcommand 'frobnicate'"),
        (&[], "name a command"),
    ] {
        let told = run(arguments, folder.path());
        assert_eq!(told.status, 2, "{arguments:?}");
        assert!(told.err.contains(says), "{arguments:?} says {}", told.err);
        let lines = told.err.lines().count();
        assert!(
            lines == 1 || arguments.contains(&"bad-rules.yaml"),
            "{arguments:?} says {lines} lines: {}",
            told.err
        );
        assert!(
            told.err
                .lines()
                .all(|line| line.starts_with("claimgauge: "))
        );
        if says.contains(": cannot be read") && arguments[0] == "audit" && arguments.len() == 3 {
            assert!(
                told.out.contains("deep-freezing"),
                "the other file is left out"
            );
        }
    }
}

#[test]
fn json_is_whole_whatever_fails() {
    let folder = folder();
    for arguments in [
        &[
            "audit",
            "--format",
            "json",
            "missing.txt",
            "claim.txt",
            "honest.txt",
        ][..],
        &[
            "audit",
            "--format",
            "json",
            "claim.txt",
            "empty.txt",
            "honest.txt",
        ],
        &["audit", "--format", "json", "missing.txt"],
    ] {
        let told = run(arguments, folder.path());
        let report = json(&told.out);
        let documents = report["documents"].as_array().expect("documents").len();
        assert_eq!(report["summary"]["documents"], documents);
        assert_eq!(documents, if arguments.len() > 4 { 2 } else { 0 });
        assert_eq!(report["schema"], "claimgauge-report/1");
    }
}

#[test]
fn standard_input_is_a_document() {
    let folder = folder();
    for arguments in [
        &["audit", "-", "--format", "json"][..],
        &["audit", "--format", "json"],
    ] {
        let told = told(claimgauge(arguments, folder.path()).write_stdin(CLAIM));
        assert_eq!(told.status, 1);
        let report = json(&told.out);
        assert_eq!(report["documents"][0]["path"], "-");
        assert_eq!(
            report["documents"][0]["findings"][0]["rule"],
            "deep-freezing"
        );
    }
}

#[test]
fn any_number_of_jobs_gives_the_same_bytes() {
    let folder = folder();
    for number in 0..40 {
        let text = if number % 3 == 0 { CLAIM } else { HONEST };
        fs::write(
            folder.path().join(format!("doc{number:02}.txt")),
            text.repeat(1 + number % 5),
        )
        .expect("written");
    }
    for format in ["text", "json", "ndjson", "sarif", "markdown", "html"] {
        let of = |jobs: &str| {
            run(
                &["audit", ".", "--format", format, "--jobs", jobs],
                folder.path(),
            )
        };
        let one = of("1");
        assert!(one.out.len() > 100, "{format}");
        for jobs in ["2", "7"] {
            assert_eq!(one.out, of(jobs).out, "{format} with {jobs} jobs");
        }
    }
}

#[test]
fn folders_are_walked_in_order_and_ignored_files_left_out() {
    let folder = folder();
    fs::create_dir_all(folder.path().join("b/c")).expect("a folder");
    fs::write(folder.path().join("b/c/deep.md"), HONEST).expect("written");
    fs::write(folder.path().join("b/data.json"), "{}").expect("written");
    fs::write(folder.path().join("b/.hidden.txt"), HONEST).expect("written");
    fs::write(folder.path().join(".gitignore"), "skipped*\n").expect("written");
    fs::write(folder.path().join("skipped.txt"), HONEST).expect("written");
    let told = run(&["audit", ".", "--format", "json"], folder.path());
    let paths: Vec<String> = json(&told.out)["documents"]
        .as_array()
        .expect("documents")
        .iter()
        .map(|document| document["path"].as_str().expect("a path").to_owned())
        .collect();
    assert_eq!(paths, ["./b/c/deep.md", "./claim.txt", "./honest.txt"]);
    assert_eq!(told.status, 1, "{}", told.err);
}

#[test]
fn a_report_file_is_written_whole_or_not_at_all() {
    let folder = folder();
    let target = folder.path().join("report.json");
    fs::write(&target, "as it was").expect("written");
    let told = run(
        &[
            "audit",
            "claim.txt",
            "--format",
            "json",
            "--output",
            "report.json",
        ],
        folder.path(),
    );
    assert_eq!((told.status, told.out.as_str()), (1, ""));
    assert_eq!(
        json(&fs::read_to_string(&target).expect("a report"))["summary"]["warning"],
        1
    );
    let left: Vec<_> = fs::read_dir(folder.path())
        .expect("the folder")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.starts_with('.'))
        .collect();
    assert!(left.is_empty(), "{left:?} are left behind");
}

#[cfg(target_os = "linux")]
#[test]
fn a_closed_pipe_is_no_trouble_and_a_full_disk_is_one() {
    let folder = folder();
    for number in 0..200 {
        fs::write(
            folder.path().join(format!("doc{number}.txt")),
            CLAIM.repeat(40),
        )
        .expect("written");
    }
    let program = assert_cmd::cargo::cargo_bin("claimgauge");
    let mut child = std::process::Command::new(program)
        .args(["audit", ".", "--format", "json"])
        .current_dir(folder.path())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("a run");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("an end");
    let err = String::from_utf8_lossy(&output.stderr);
    assert!(
        !err.contains("panicked") && !err.contains("cannot write"),
        "{err}"
    );
    assert_eq!(output.status.code(), Some(0));

    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("a full device");
    let output = std::process::Command::new(assert_cmd::cargo::cargo_bin("claimgauge"))
        .args(["audit", "claim.txt"])
        .current_dir(folder.path())
        .stdout(full)
        .output()
        .expect("a run");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot write"));
}

#[test]
fn colour_is_for_terminals_or_on_demand() {
    let folder = folder();
    assert!(
        !run(&["audit", "claim.txt"], folder.path())
            .out
            .contains('\u{1b}')
    );
    let coloured = run(&["audit", "claim.txt", "--color", "always"], folder.path());
    assert!(coloured.out.contains('\u{1b}'));
    let dumb = told(claimgauge(&["audit", "claim.txt"], folder.path()).env("TERM", "dumb"));
    assert!(dumb.out.is_ascii(), "{}", dumb.out);
    assert!(dumb.out.contains("deep-freezing"));
}

#[test]
fn a_stream_of_lines_gives_a_line_for_each() {
    let folder = folder();
    let lines = [
        serde_json::json!({"id": "a-1", "text": CLAIM}).to_string(),
        String::new(),
        serde_json::json!({"id": 7, "text": HONEST, "price": 12}).to_string(),
        "{\"id\": \"broken\", \"text\": ".to_owned(),
        "{\"id\": \"surrogate\", \"text\": \"\\ud800\"}".to_owned(),
        serde_json::json!({"id": "empty", "text": "  "}).to_string(),
        serde_json::json!({"id": ["list"], "text": HONEST}).to_string(),
    ]
    .join("\n");
    let arguments = ["audit", "--format", "ndjson", "--lines", "-"];
    let told = told(claimgauge(&arguments, folder.path()).write_stdin(lines));
    assert_eq!(told.status, 2);
    let results: Vec<serde_json::Value> = told.out.lines().map(json).collect();
    assert_eq!(results.len(), 6);
    assert_eq!(results[0]["id"], "a-1");
    assert_eq!(results[0]["findings"][0]["rule"], "deep-freezing");
    assert_eq!(results[1]["id"], 7);
    assert_eq!(results[1]["summary"]["warning"], 0);
    for (result, line) in results[2..].iter().zip([4, 5, 6, 7]) {
        assert_eq!(result["line"], line);
        assert!(
            result["error"]
                .as_str()
                .is_some_and(|error| !error.is_empty())
        );
    }
    assert_eq!(results[4]["id"], "empty");
}

#[test]
fn a_settled_finding_stays_settled_until_its_words_change() {
    let folder = folder();
    let settle = |line: &[&str]| {
        let mut arguments = vec![
            "settle",
            "claim.txt",
            "--reason",
            "the maker measured it",
            "--who",
            "R. Viewer",
        ];
        arguments.extend_from_slice(line);
        run(&arguments, folder.path())
    };
    assert_eq!(settle(&["--rule", "run-in"]).status, 2);
    assert_eq!(
        settle(&["--rule", "deep-freezing", "--line", "9"]).status,
        2
    );
    let done = settle(&["--rule", "deep-freezing"]);
    assert_eq!(done.status, 0, "{}", done.err);
    let again = settle(&["--rule", "deep-freezing"]);
    assert!(again.out.contains("0 entries"), "{}", again.out);

    let audit = |format: &str| {
        run(
            &[
                "audit",
                "claim.txt",
                "--accepted",
                "settled.yaml",
                "--format",
                format,
            ],
            folder.path(),
        )
    };
    assert_eq!(audit("text").status, 0);
    assert!(audit("text").out.contains("the maker measured it"));
    let report = json(&audit("json").out);
    assert_eq!(report["summary"]["settled"], 1);
    assert_eq!(
        report["documents"][0]["settled"][0]["settled"]["who"],
        "R. Viewer"
    );

    // An edit elsewhere, and the words broken over a line.
    let moved = format!(
        "A new line.\n\n{}",
        CLAIM.replace("deep-frozen to", "deep-frozen\nto")
    );
    fs::write(folder.path().join("claim.txt"), moved).expect("written");
    assert_eq!(audit("text").status, 0, "{}", audit("text").out);

    fs::write(
        folder.path().join("claim.txt"),
        CLAIM.replace("frozen", "frozen twice"),
    )
    .expect("written");
    let changed = audit("text");
    assert_eq!(changed.status, 1);
    assert!(
        changed.out.contains("fits no finding any more"),
        "{}",
        changed.out
    );
}

#[test]
fn limits_are_said_when_they_are_reached() {
    let folder = folder();
    let text: String = (0..30)
        .map(|number| format!("Part {number}. {CLAIM}\n"))
        .collect();
    fs::write(folder.path().join("many.txt"), text).expect("written");
    let told = run(
        &[
            "audit",
            "many.txt",
            "--max-findings",
            "5",
            "--format",
            "json",
        ],
        folder.path(),
    );
    let report = json(&told.out);
    assert_eq!(
        report["documents"][0]["findings"].as_array().map(Vec::len),
        Some(5)
    );
    assert!(
        report["documents"][0]["remarks"][0]
            .as_str()
            .is_some_and(|remark| remark.contains("limit of 5"))
    );
    let short = run(&["audit", "many.txt"], folder.path());
    let before_summary = short
        .out
        .lines()
        .take_while(|line| !line.starts_with("  read "))
        .count();
    assert!(
        before_summary <= 60,
        "{before_summary} lines before the summary"
    );
    let help = run(&["audit", "--help"], folder.path()).out;
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    for limit in [
        "--max-findings",
        "--max-seconds",
        "256 MiB",
        "16 MiB",
        "4 MiB",
        "200 brackets",
        "128 figures",
        "48 uses",
        "48 different sizes",
        "512 combinations",
        "96 statements",
        "32 different loads",
        "200000",
        "1000000 blocks",
        "100000 cells",
        "4000000 quantities",
    ] {
        assert!(help.contains(limit), "{limit} is not named");
    }
}

#[test]
fn schemas_completions_and_manual_come_out_of_the_program() {
    let folder = folder();
    assert_eq!(
        json(&run(&["schema"], folder.path()).out)["title"],
        "Report"
    );
    assert_eq!(
        json(&run(&["schema", "line"], folder.path()).out)["title"],
        "Line"
    );
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        assert!(
            run(&["completions", shell], folder.path())
                .out
                .contains("claimgauge")
        );
    }
    assert!(
        run(&["manual"], folder.path())
            .out
            .contains(".TH claimgauge")
    );
    fs::create_dir(folder.path().join("pages")).expect("a folder");
    assert_eq!(run(&["manual", "pages"], folder.path()).status, 0);
    assert!(folder.path().join("pages/claimgauge-audit.1").is_file());
}

#[test]
fn what_was_read_can_be_checked() {
    let folder = folder();
    let told = run(&["read", "claim.txt"], folder.path());
    assert_eq!(told.status, 0);
    assert!(
        told.out.contains("deep-freezing") && told.out.contains("asserted"),
        "{}",
        told.out
    );
    let document = json(&run(&["read", "claim.txt", "--format", "json"], folder.path()).out);
    assert_eq!(document["claims"][0]["rule"], "deep-freezing");
    let plain = run(&["read", "claim.txt", "--plain"], folder.path());
    assert!(
        plain.out.contains("deep-freezing: asserted; line 1"),
        "{}",
        plain.out
    );
}
