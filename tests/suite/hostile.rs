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
