//! Texts made to break a reader or to make it wait: each gives a report of known form, and what was left out is said.

use assert_cmd::Command;
use std::fs;

/// Size factor: small where the compiler does not optimise.
const SCALE: usize = if cfg!(debug_assertions) { 1 } else { 20 };

fn told(text: &[u8], format: &str) -> (i32, String, String) {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("hostile.txt"), text).expect("written");
    let output = Command::cargo_bin("claimgauge")
        .expect("the program")
        .args(["audit", "--format", format, "hostile.txt"])
        .current_dir(folder.path())
        .output()
        .expect("a run");
    (
        output.status.code().expect("an exit status, no signal"),
        String::from_utf8(output.stdout).expect("UTF-8"),
        String::from_utf8(output.stderr).expect("UTF-8"),
    )
}

/// A report in JSON, whatever the text, and no panic.
fn report(text: &[u8]) -> serde_json::Value {
    let (status, out, err) = told(text, "json");
    assert!(status <= 1, "status {status}: {err}");
    assert!(!err.contains("panicked"), "{err}");
    serde_json::from_str(&out).expect("JSON")
}

#[test]
fn a_line_without_an_end_is_read_in_pieces() {
    let line =
        "The 14 AWG copper cable of 50 ft loses 0.3 dB at 20 kHz into 8 ohms, ".repeat(150 * SCALE);
    let report = report(line.as_bytes());
    let quantities = report["documents"][0]["quantities"]
        .as_array()
        .expect("a list");
    assert!(quantities.len() >= 4 * 150 * SCALE, "{}", quantities.len());
    report_twice(&line);
}

fn report_twice(text: &str) {
    assert_eq!(told(text.as_bytes(), "json"), told(text.as_bytes(), "json"));
}

#[test]
fn a_cable_of_a_hundred_sizes_is_not_judged_and_the_report_says_so() {
    let mut text = "Marl loudspeaker cable\n\n".to_owned();
    let sizes: Vec<String> = (0..200)
        .map(|step| format!("{}.{} m", 2 + step / 10, step % 10))
        .collect();
    text.push_str(&format!(
        "Size: 2.5 mm2\nLength: {}\nResistance: 0.1 mohm/m\nMetal: copper\n",
        sizes.join(", ")
    ));
    let (_, out, _) = told(text.as_bytes(), "text");
    assert!(
        out.contains("are not judged") || out.contains("is left out"),
        "{out}"
    );
    assert!(!out.contains("resistance-below-metal"), "{out}");
}

#[test]
fn blank_lines_brackets_and_quotes_of_any_number() {
    let (status, _, told) = told("\n".repeat(50_000 * SCALE).as_bytes(), "json");
    assert_eq!((status, told.lines().count()), (2, 1), "{told}");
    report(format!("{}12 AWG", "\n".repeat(50_000 * SCALE)).as_bytes());
    for (open, close) in [
        ("(", ")"),
        ("[", "]"),
        ("“", "”"),
        ("\"", "\""),
        ("> ", ""),
        ("<td>", "</td>"),
        ("*", "*"),
    ] {
        let text = format!(
            "{}12 AWG cable{}",
            open.repeat(800 * SCALE),
            close.repeat(800 * SCALE)
        );
        report(text.as_bytes());
    }
}

#[test]
fn a_table_of_ten_thousand_columns() {
    let columns = 1_000 * SCALE.min(10);
    let head = vec!["Cable"; columns].join(" | ");
    let rule = vec!["---"; columns].join("|");
    let row = vec!["12 AWG"; columns].join(" | ");
    let report = report(format!("| {head} |\n|{rule}|\n| {row} |\n| {row} |\n").as_bytes());
    assert!(
        report["documents"][0]["quantities"]
            .as_array()
            .is_some_and(|list| !list.is_empty())
    );
}

#[test]
fn a_table_of_a_hundred_thousand_cells_is_cut_and_the_report_says_so() {
    let row = |cells: usize, sign: &str| format!("{}\n", vec!["a"; cells].join(sign));
    let table = row(1_000, " | ").repeat(103);
    let remarks = |text: &str| report(text.as_bytes())["documents"][0]["remarks"].to_string();
    let told = remarks(&table);
    assert!(
        told.contains("more cells than the limit of 100000"),
        "{told}"
    );
    let told = remarks(&row(1_000, " | ").repeat(3));
    assert!(!told.contains("cells"), "{told}");
}

/// A hundred megabytes on one line, made by hand, take the same way; here it is as much as a test build reads in a second or so.
#[test]
fn megabytes_on_one_line_are_read_whatever_they_are_made_of() {
    for piece in [
        "a",
        " ",
        "9",
        "é",
        "-",
        "\t",
        "a ",
        "9 ",
        "\u{1b}",
        "\u{200b}",
        "<!-- ",
        "<table>",
        "<x a=\"1\">",
        "{\"a\": ",
    ] {
        let text = piece.repeat(100_000 * SCALE / piece.len());
        report(format!("The cable is 14 AWG. {text} It is 5 m long.").as_bytes());
    }
}

#[test]
fn numbers_beyond_all_measure_give_no_number_that_is_none() {
    let digits = "9".repeat(400);
    let text = format!(
        "Resistance: 1e999 ohm/km\nLength: {digits} m\nArea: 0.{digits} mm2\nLength: -0 m\nResistance: NaN mohm/m\n\
         Resistance: inf ohm\nGauge: 99999999999 AWG\nGauge: 0000000000 AWG\nLoss: -1e-400 dB\nStrands: {digits} x 1e999 mm\n"
    );
    let (_, out, err) = told(text.as_bytes(), "json");
    assert!(err.is_empty(), "{err}");
    let report: serde_json::Value =
        serde_json::from_str(&out).expect("JSON, in which no number is infinite");
    for quantity in report["documents"][0]["quantities"]
        .as_array()
        .expect("a list")
    {
        assert!(
            quantity["si_value"].is_null()
                || quantity["si_value"].as_f64().is_some_and(f64::is_finite)
        );
    }
}

#[test]
fn control_signs_of_a_terminal_never_reach_it() {
    let text = "The \u{1b}[31mHeron\u{1b}[0m cable is deep-frozen \u{1b}]8;;http://example.invalid\u{1b}\\here\u{1b}]8;;\u{1b}\\ \
                to free its electrons,\u{7} \u{202e}and\u{202c} it\u{200b} sounds better\u{9b}5n for it.\r\u{8}\n";
    for format in ["text", "markdown", "html", "sarif", "json", "ndjson"] {
        let (status, out, _) = told(text.as_bytes(), format);
        assert!(status <= 1);
        for sign in ['\u{1b}', '\u{7}', '\u{9b}', '\u{202e}', '\u{8}'] {
            let passes = out.contains(sign);
            // JSON may carry signs above ASCII: it is no terminal.
            let data = matches!(format, "json" | "ndjson" | "sarif") && !sign.is_ascii();
            assert!(!passes || data, "{format} passes {sign:?} on");
        }
    }
}

#[test]
fn bytes_that_are_no_text() {
    let mut halves: Vec<u8> = vec![0xFF, 0xFE];
    for unit in "12 AWG cable".encode_utf16() {
        halves.extend(unit.to_le_bytes());
    }
    halves.extend([0x00, 0xD8, 0x41]);
    for text in [
        halves.as_slice(),
        b"12 AWG\xED\xA0\x80 cable",
        b"\xEF\xBB\xBF",
        b"\xC2",
        b"a\0b\0c 12 AWG",
        &[0x80; 500],
    ] {
        let (status, _, err) = told(text, "json");
        assert!((0..=2).contains(&status));
        assert!(!err.contains("panicked"), "{err}");
        assert!(err.lines().count() <= 1, "{err}");
    }
}

#[cfg(unix)]
#[test]
fn folders_that_lead_back_to_themselves_and_files_that_are_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let inner = folder.path().join("inner");
    fs::create_dir(&inner).expect("a folder");
    fs::write(inner.join("a.txt"), "A copper cable.\n").expect("written");
    std::os::unix::fs::symlink(folder.path(), inner.join("loop")).expect("a link");
    let run = |arguments: &[&str]| {
        let output = Command::cargo_bin("claimgauge")
            .expect("the program")
            .args(arguments)
            .current_dir(folder.path())
            .timeout(std::time::Duration::from_secs(60))
            .output()
            .expect("a run");
        (
            output.status.code(),
            String::from_utf8_lossy(&output.stderr).into_owned(),
        )
    };
    assert_eq!(run(&["audit", "."]), (Some(0), String::new()));
    let (status, told) = run(&["audit", "/dev/zero"]);
    assert_eq!(status, Some(2), "{told}");
    assert_eq!(told.lines().count(), 1, "{told}");
    let (status, told) = run(&["audit", "inner/a.txt", "--output", "/dev/null/report"]);
    assert_eq!(status, Some(2), "{told}");
    assert!(
        told.lines().count() <= 2 && !told.contains("panicked"),
        "{told}"
    );
}

/// A run that is ended after a minute, so that one that waits for ever fails.
#[cfg(unix)]
fn run_in(folder: &std::path::Path, arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = Command::cargo_bin("claimgauge")
        .expect("the program")
        .args(arguments)
        .current_dir(folder)
        .timeout(std::time::Duration::from_secs(60))
        .output()
        .expect("a run");
    (
        output.status.code(),
        String::from_utf8_lossy(&output.stdout).into_owned(),
        String::from_utf8_lossy(&output.stderr).into_owned(),
    )
}

#[cfg(unix)]
#[test]
fn a_pipe_with_a_name_holds_nobody_up() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.txt"), "A copper cable.\n").expect("written");
    let made = std::process::Command::new("mkfifo")
        .arg(folder.path().join("pipe.txt"))
        .status()
        .expect("mkfifo");
    assert!(made.success());
    let (status, _, told) = run_in(folder.path(), &["audit", "pipe.txt"]);
    assert_eq!(status, Some(2));
    assert_eq!(
        told,
        "claimgauge: pipe.txt: is a device, a pipe or a socket, not a file\n"
    );
    // In a folder it is passed over.
    let (status, out, told) = run_in(folder.path(), &["audit", ".", "--format", "json"]);
    assert_eq!((status, told.as_str()), (Some(0), ""));
    let report: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(report["summary"]["documents"], 1);
    for option in ["--rules", "--accepted"] {
        let (status, _, told) = run_in(folder.path(), &["audit", "a.txt", option, "pipe.txt"]);
        assert_eq!(status, Some(2), "{told}");
        assert!(told.contains("pipe.txt: is a device"), "{told}");
    }
    for ledger in ["pipe.txt", "/dev/null"] {
        let (status, _, told) = run_in(
            folder.path(),
            &[
                "settle",
                "a.txt",
                "--rule",
                "run-in",
                "--reason",
                "agreed",
                "--who",
                "R. V.",
                "--accepted",
                ledger,
            ],
        );
        assert_eq!(status, Some(2), "{told}");
        assert!(told.contains(": is a device"), "{told}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_that_may_not_be_read_costs_one_line() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.txt"), "A copper cable.\n").expect("written");
    let shut = folder.path().join("shut.txt");
    fs::write(&shut, "A copper cable.\n").expect("written");
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o000)).expect("shut");
    // Whoever may read everything reads it after all; no one can read the memory of a program from its first byte.
    let open = fs::read(&shut).is_ok();
    let unreadable = if open { "/proc/self/mem" } else { "shut.txt" };
    let (status, out, told) = run_in(
        folder.path(),
        &["audit", unreadable, "a.txt", "--format", "json"],
    );
    assert_eq!(status, Some(2), "{told}");
    assert!(
        told.starts_with(&format!("claimgauge: {unreadable}: cannot be read: ")),
        "{told}"
    );
    assert_eq!(told.lines().count(), 1, "{told}");
    let report: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(report["summary"]["documents"], 1, "the other file is read");
}

#[cfg(unix)]
#[test]
fn files_that_vanish_or_grow_meanwhile() {
    use std::io::Write;
    const FILES: usize = 60;
    let folder = tempfile::tempdir().expect("a folder");
    let text = "The 14 AWG copper cable is 50 ft long. ".repeat(60);
    let path = |number: usize| folder.path().join(format!("{number:02}.txt"));
    for number in 0..FILES {
        fs::write(path(number), &text).expect("written");
    }
    let child = std::process::Command::new(assert_cmd::cargo::cargo_bin("claimgauge"))
        .args(["audit", ".", "--format", "json", "--jobs", "1"])
        .current_dir(folder.path())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("a run");
    let mut growing = fs::OpenOptions::new()
        .append(true)
        .open(path(0))
        .expect("the first file");
    // From the end, where it has not been yet; the first file grows all the while.
    for number in (FILES / 2..FILES).rev() {
        growing.write_all(text.as_bytes()).expect("written");
        fs::remove_file(path(number)).expect("removed");
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    let output = child.wait_with_output().expect("an end");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(!told.contains("panicked"), "{told}");
    assert!(output.status.code().is_some_and(|code| code <= 2), "{told}");
    let report: serde_json::Value =
        serde_json::from_slice(&output.stdout).expect("JSON, whole whatever happens");
    let documents = report["documents"].as_array().expect("a list").len();
    let troubles = told.lines().count();
    assert!(
        told.lines()
            .all(|line| line.contains(".txt: cannot be read"))
    );
    assert!(documents >= FILES / 2, "{documents}");
    // What vanished before the folder was walked is in neither.
    assert!(documents + troubles <= FILES, "{documents} and {troubles}");
    assert_eq!(output.status.code() == Some(2), troubles > 0);
}

#[cfg(target_os = "linux")]
#[test]
fn a_report_to_a_device_or_a_full_disk() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.txt"), "A copper cable.\n").expect("written");
    // A report of any length: the shortest fits into a buffer and fails at the end.
    fs::write(
        folder.path().join("long.txt"),
        "The cable needs to be run in. ".repeat(200),
    )
    .expect("written");
    for text in ["a.txt", "long.txt"] {
        let (status, out, told) = run_in(
            folder.path(),
            &[
                "audit",
                text,
                "--full",
                "--fail-on",
                "never",
                "--output",
                "/dev/full",
            ],
        );
        assert_eq!((status, out.as_str()), (Some(2), ""), "{told}");
        assert_eq!(told.lines().count(), 1, "{told}");
        assert!(
            told.starts_with("claimgauge: cannot write: /dev/full: "),
            "{told}"
        );
    }
    let (status, out, told) = run_in(
        folder.path(),
        &[
            "audit",
            "a.txt",
            "--output",
            "/dev/null",
            "--fail-on",
            "never",
        ],
    );
    assert_eq!((status, out.as_str(), told.as_str()), (Some(0), "", ""));
    for device in ["/dev/full", "/dev/null"] {
        use std::os::unix::fs::FileTypeExt;
        let about = fs::metadata(device).expect("the device");
        assert!(
            about.file_type().is_char_device(),
            "{device} is no device any more"
        );
    }
    // A link stays one; what it leads to is written.
    let target = folder.path().join("report.txt");
    fs::write(&target, "old").expect("written");
    std::os::unix::fs::symlink("report.txt", folder.path().join("link")).expect("a link");
    let (status, _, told) = run_in(folder.path(), &["audit", "a.txt", "--output", "link"]);
    assert_eq!((status, told.as_str()), (Some(0), ""));
    assert!(
        fs::symlink_metadata(folder.path().join("link"))
            .expect("the link")
            .is_symlink()
    );
    assert!(
        fs::read_to_string(target)
            .expect("a report")
            .contains("a.txt")
    );
}

/// Shapes that a reader may choke on, the longest of them in a second or so where the compiler does not optimise. The
/// benchmarks take them a hundred times as long.
#[cfg(target_os = "linux")]
#[test]
fn memory_stays_in_step_with_the_document() {
    // Shell: a limit on the address space, in KiB, that the program cannot ask to be spared.
    let folder = tempfile::tempdir().expect("a folder");
    let length = 200_000 * SCALE.min(10);
    for (name, piece) in [
        (
            "one line",
            "the 14 AWG cable loses 0.3 dB and sounds better, ",
        ),
        ("blank lines", "\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n.\n"),
        ("quantities", "8 Ω "),
        ("headings", "# Cable\n"),
        ("cells", "| 12 AWG | 5 m |\n"),
        ("claims", "The cable must be run in. "),
        (
            "uses",
            "The garden is 20 m off and the speakers are 8 Ω. The silver does it.\n\nTake 2.5 mm² copper for 12 m.\n\n",
        ),
        ("quotes", "“‘\"("),
    ] {
        let text = piece.repeat(length / piece.len());
        fs::write(folder.path().join("long.txt"), &text).expect("written");
        let output = std::process::Command::new("sh")
            .args(["-c", "ulimit -v 600000; exec \"$0\" \"$@\""])
            .arg(assert_cmd::cargo::cargo_bin("claimgauge"))
            .args(["audit", "long.txt", "--format", "json", "--jobs", "1"])
            .args(["--fail-on", "never"])
            .current_dir(folder.path())
            .output()
            .expect("a run");
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(0), "{name}: {told}");
        serde_json::from_slice::<serde_json::Value>(&output.stdout).expect("JSON");
    }
}

/// The end of a document of more blocks than are told apart: under its last heading each name once asked for a look at all sizes there.
#[test]
fn names_with_another_size_under_the_last_heading() {
    let many = 400 * SCALE;
    let mut text = String::new();
    for number in 0..many {
        text.push_str(&format!(
            "# Heron {number}\n\nConductor size: 12 AWG\n\nMetal: copper\n\n"
        ));
    }
    text.push_str("# In short\n\n");
    for number in 0..many {
        text.push_str(&format!("The Heron {number} is 18 AWG copper. "));
    }
    let report = report(text.as_bytes());
    let quantities = report["documents"][0]["quantities"].as_array();
    assert_eq!(quantities.map(Vec::len), Some(2 * many));
}

/// Lines of two stretches that stand below one another by chance alone: each was once tried as the first row of a table of all that follow.
#[test]
fn stretches_with_gaps_of_any_width() {
    let lines = 2_000 * SCALE;
    let mut text = String::new();
    let mut gap = 7;
    for number in 0..lines {
        gap = gap * 31 % 97;
        let blanks = " ".repeat(2 + gap % 30);
        text.push_str(&format!("the lead of copper{blanks}is {number} m long\n"));
    }
    let report = report(text.as_bytes());
    let quantities = report["documents"][0]["quantities"].as_array();
    assert_eq!(quantities.map(Vec::len), Some(lines));
}

/// Passages of which each once asked for a look at all others, as a library has them that is strung together to one text.
#[cfg(unix)]
#[test]
fn passages_strung_together_are_no_harder_to_read_than_one_by_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let length = 20_000 * SCALE;
    for (name, piece, length) in [
        (
            // Each row looked through the sizes of all tables.
            "rows",
            "| Cable | Size | Resistance |\n|---|---|---|\n| Heron {} | 2.5 mm2 | 30 mohm/m |\n| Marl {} | 4 mm2 | 40 mohm/m |\n\n",
            200_000 * SCALE.min(5),
        ),
        (
            "scores",
            "In {} of the twelve trials he picked the silver lead. The helper knew which one was playing.\n\n",
            length,
        ),
        (
            "freedom from skin effect",
            "The Heron {} cable\n\nThe Heron {} is 22 AWG copper. The Heron {} has no skin effect at all.\n\n",
            length,
        ),
        (
            "tests of which all knew",
            "We all knew which cable was playing. We liked the silver one of {} m better. The levels were not matched.\n\n",
            length,
        ),
        (
            "letters",
            "I had my cable run in for {} weeks and it sounds better now. - A. B.\n\nThe editor writes: not so. - Ed.\n\n",
            length,
        ),
        (
            "figures in running text",
            "The Heron {} is 2.5 mm2 copper and 5 m long. Its loop has 0.9 ohm. It loses 4 dB into 8 ohms.\n\n",
            length,
        ),
        (
            "totals in tables",
            "| Cores per leg | One core | All |\n|---|---|---|\n| 2 | 2.5 mm2 | 5 mm2 combined |\n| 2 | {} mm2 | 3 mm2 combined |\n\n",
            length,
        ),
        (
            "items",
            "- Silver sounds better.\n- The Heron {} must be run in.\n",
            length,
        ),
        (
            "praise in one paragraph",
            "“My {} m of speaker cable opened up after weeks of play.” A happy buyer. ",
            length,
        ),
        (
            "struck words in one paragraph",
            "~~Frozen.~~ The {} m of cable need to be run in for a while. ",
            length,
        ),
        (
            "what an item goes on to speak of",
            "Our {} m of CCA cable are pure copper. The clad one has more resistance. ",
            length,
        ),
        (
            "full power",
            "The cable is {} m of 14 AWG into 8 ohms and takes the full 100 W power of the amplifier.\n\n",
            length,
        ),
        (
            "outcomes in one paragraph",
            "Sample A beat the other by {} dB, it was 3 m of 12 AWG. ",
            length,
        ),
        (
            "questions",
            "Q: Must the cable be run in for {} hours to sound better?\n\n",
            length,
        ),
    ] {
        let mut text = String::new();
        let mut number = 0;
        while text.len() < length {
            number += 1;
            text.push_str(&piece.replace("{}", &number.to_string()));
        }
        fs::write(folder.path().join("long.txt"), &text).expect("written");
        let arguments = [
            "audit",
            "long.txt",
            "--format",
            "json",
            "--fail-on",
            "never",
        ];
        let (status, out, told) = run_in(folder.path(), &arguments);
        assert_eq!((status, told.as_str()), (Some(0), ""), "{name}");
        let report: serde_json::Value = serde_json::from_str(&out).expect("JSON");
        let document = &report["documents"][0];
        let read =
            ["quantities", "claims"].map(|list| document[list].as_array().map_or(0, Vec::len));
        assert!(
            read.iter().sum::<usize>() >= number,
            "{name}: {read:?} of {number}"
        );
    }
}

#[test]
fn lone_surrogates_in_a_stream_of_lines_cost_their_line() {
    let output = Command::cargo_bin("claimgauge")
        .expect("the program")
        .args(["audit", "--lines", "--format", "ndjson", "-"])
        .write_stdin(
            "{\"id\": 1, \"text\": \"The cable \\ud800 must be run in.\"}\n\
             {\"id\": 2, \"text\": \"A copper cable.\\u001b[31m\"}\n\
             {\"id\": 3, \"text\": [[[[[[[[\n\
             {\"id\": 4}\n",
        )
        .output()
        .expect("a run");
    assert_eq!(output.status.code(), Some(2));
    let out = String::from_utf8(output.stdout).expect("UTF-8");
    let lines: Vec<serde_json::Value> = out
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    assert_eq!(lines.len(), 4, "{out}");
    for (line, sound) in lines.iter().zip([false, true, false, false]) {
        assert_eq!(line.get("error").is_none(), sound, "{line}");
    }
    assert!(!out.contains('\u{1b}'));
}

/// Found by the fuzz target `ledger`: what is said of an entry repeats its words.
#[test]
fn control_signs_in_a_file_of_settled_findings_never_reach_a_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.txt"), "A copper cable.\n").expect("written");
    fs::write(
        folder.path().join("settled.yaml"),
        "settled:\n  - rule: \"run-in\\e[31m\"\n    quotation: \"the \\e]8;;x\\e\\\\ words \\x9b5n \\u202e of it\"\n    \
         reason: agreed\n    who: R. V.\n    date: 2026-03-04\n",
    )
    .expect("written");
    for format in ["text", "markdown", "html", "sarif", "json", "ndjson"] {
        let output = Command::cargo_bin("claimgauge")
            .expect("the program")
            .args(["audit", "a.txt", "--accepted", "settled.yaml"])
            .args(["--format", format])
            .current_dir(folder.path())
            .output()
            .expect("a run");
        assert_eq!(output.status.code(), Some(0), "{format}");
        let told = String::from_utf8_lossy(&output.stdout).into_owned()
            + &String::from_utf8_lossy(&output.stderr);
        // Formats for programs do not tell of the entry.
        let said = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            matches!(format, "json" | "ndjson") || said.contains("fits no finding"),
            "{format}: {told}"
        );
        assert!(!told.contains(['\u{1b}', '\u{9b}']), "{format}: {told:?}");
    }
}
