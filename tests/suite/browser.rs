//! The page in a real browser, where one is present.

use crate::nasty;
use claimgauge::report::{Format, Look};
use std::path::{Path, PathBuf};
use std::process::Command;

fn chromium() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .flat_map(|folder| ["chromium", "chromium-browser"].map(|name| folder.join(name)))
        .find(|program| program.is_file())
}

fn open(program: &Path, page: &Path, profile: &Path, options: &[&str]) -> String {
    let output = Command::new(program)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--hide-scrollbars",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .args(options)
        .arg(format!("file://{}", page.display()))
        .output()
        .expect("a run");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Width and height of a PNG picture (its header, ISO/IEC 15948, 11.2.2).
fn size_of(picture: &[u8]) -> (u32, u32) {
    let number = |at: usize| {
        let bytes: [u8; 4] = picture[at..at + 4].try_into().expect("four bytes");
        u32::from_be_bytes(bytes)
    };
    (number(16), number(20))
}

/// The commands that `samples/README.md` says the picture was made with: the report, and its picture.
fn picture_commands() -> (Vec<String>, Vec<String>) {
    let page =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/README.md"))
            .expect("the page of the samples");
    let words = |start: &str| -> Vec<String> {
        page.split_once("`report.png` is a picture")
            .expect("the part on the picture")
            .1
            .lines()
            .find_map(|line| line.strip_prefix("    ")?.strip_prefix(start))
            .unwrap_or_else(|| panic!("no command “{start}” for the picture"))
            .split_whitespace()
            .map(str::to_owned)
            .collect()
    };
    (words("claimgauge "), words("chromium "))
}

#[test]
#[expect(clippy::print_stderr, reason = "a check that is left out says so")]
fn the_picture_of_the_samples_is_made_by_its_command() {
    let (report, picture) = picture_commands();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(folder.path().join("samples")).expect("a folder");
    let sample = report.last().expect("a sample");
    std::fs::copy(root.join(sample), folder.path().join(sample)).expect("a copy");
    let made = Command::new(env!("CARGO_BIN_EXE_claimgauge"))
        .args(&report)
        .current_dir(folder.path())
        .output()
        .expect("a run");
    // The sample has findings, which exit status 1 tells.
    assert_eq!(
        made.status.code(),
        Some(1),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    let (page, options) = picture.split_last().expect("a page to open");
    assert!(report.contains(page), "{report:?} does not write {page}");
    let page = folder.path().join(page);
    assert!(page.is_file());
    let Some(program) = chromium() else {
        eprintln!("skipped: no Chromium is installed here");
        return;
    };
    let name = options
        .iter()
        .find_map(|option| option.strip_prefix("--screenshot="))
        .expect("where the picture goes");
    let there = folder.path().join(name);
    let options: Vec<String> = options
        .iter()
        .map(|option| option.replace(name, &there.display().to_string()))
        .collect();
    let options: Vec<&str> = options.iter().map(String::as_str).collect();
    open(&program, &page, &folder.path().join("profile"), &options);
    let (new, kept) = (
        std::fs::read(&there).expect("a picture"),
        std::fs::read(root.join(name)).expect("the picture of the samples"),
    );
    assert_eq!(size_of(&new), size_of(&kept));
    assert!(
        new.len() * 3 > kept.len() && new.len() < kept.len() * 3,
        "{} bytes, and the picture of the samples has {}",
        new.len(),
        kept.len()
    );
}

#[test]
#[expect(clippy::print_stderr, reason = "a check that is left out says so")]
fn the_page_opens_in_a_browser() {
    let Some(program) = chromium() else {
        eprintln!("skipped: no Chromium is installed here");
        return;
    };
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    std::fs::write(&page, nasty::render(Format::Html, Look::default())).expect("written");
    let profile = folder.path().join("profile");

    // What the browser makes of it: every finding is there, nothing of the documents has become an element.
    let tree = open(&program, &page, &profile, &["--dump-dom"]);
    assert_eq!(tree.matches(" class=\"card ").count(), 9, "{tree}");
    assert!(
        tree.contains("<mark class=\"error\">14 AWG</mark>"),
        "{tree}"
    );
    for hostile in ["<script", "<b>", "<b ", "<i>", "onmouseover=\""] {
        assert!(!tree.contains(hostile), "{hostile}");
    }
    let body = tree.split_once("<body>").expect("a body").1;
    let position = |words: &str| body.find(words).expect(words);
    assert!(
        position("id=\"d1-f1-q\"") < position("id=\"d1-f1-h\""),
        "words before what is said of them"
    );

    for (width, height) in [(500, 900), (1366, 768)] {
        let picture = folder.path().join(format!("{width}.png"));
        open(
            &program,
            &page,
            &profile,
            &[
                &format!("--window-size={width},{height}"),
                &format!("--screenshot={}", picture.display()),
            ],
        );
        let bytes = std::fs::read(&picture).expect("a picture");
        assert_eq!(size_of(&bytes), (width, height));
        assert!(
            bytes.len() > 10_000,
            "the picture of {} bytes is blank",
            bytes.len()
        );
    }

    let print = folder.path().join("page.pdf");
    open(
        &program,
        &page,
        &profile,
        &[
            "--no-pdf-header-footer",
            &format!("--print-to-pdf={}", print.display()),
        ],
    );
    let bytes = std::fs::read(&print).expect("a print");
    assert!(bytes.starts_with(b"%PDF-") && bytes.len() > 10_000);
}

#[test]
fn the_page_draws_what_two_lamps_can_make_of_a_stated_brightness() {
    let page = assert_cmd::Command::new(env!("CARGO_BIN_EXE_claimgauge"))
        .args(["audit", "--format", "html", "--fail-on", "never", "-"])
        .write_stdin(
            "A demonstration that was made up.\n\n\
             Lamp one hangs on cable A: 6 m of 2 x 1.0 mm² copper. Lamp two hangs on cable B, our Ember: 6 m of 2 x 4 mm² copper. \
             Both lamps are 12 V, 20 W, on one supply of 12 V. On cable B the lamp is 40 % brighter, and it is the weave that does it.\n",
        )
        .output()
        .expect("a page");
    let page = String::from_utf8(page.stdout).expect("text");
    // By hand: 2 · 6 m · 17.24 nΩ·m over 1 and 4 mm² make 206.9 and 51.7 mΩ; a lamp of 12 V and 20 W has 7.2 Ω; the voltages
    // stand as 7.407 to 7.252, and 1.0214 to the power 3.4 (handbooks of lighting, from memory) is 1.075.
    assert!(page.contains("about 7.5 % more light"), "{page}");
    assert!(page.contains("stated: 40 % more light"), "{page}");
}

/// Relative luminance of `#rrggbb` or `#rgb` (WCAG 2.2, definition of relative luminance).
fn luminance(colour: &str) -> f64 {
    let digits = colour.trim_start_matches('#');
    let long: String = if digits.len() == 3 {
        digits.chars().flat_map(|digit| [digit, digit]).collect()
    } else {
        digits.to_owned()
    };
    let channel = |at: usize| {
        let byte = u8::from_str_radix(&long[at..at + 2], 16).expect("two hexadecimal digits");
        let share = f64::from(byte) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            ((share + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4)
}

/// Contrast ratio of two colours (WCAG 2.2, definition of contrast ratio).
fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(one) + 0.05, luminance(other) + 0.05);
    (one / other).max(other / one)
}

/// WCAG 2.2, success criterion 1.4.3, asks 4.5 to 1 of text.
#[test]
fn words_of_the_page_have_contrast_in_light_and_dark() {
    // Worked example of the definition: black on white is 21 to 1; #777 on white, 4.48, is just short of 4.5.
    assert!((contrast("#000", "#fff") - 21.0).abs() < 1e-9);
    assert!((contrast("#777777", "#ffffff") - 4.48).abs() < 0.005);
    let css = include_str!("../../src/report/page.css");
    let palettes: Vec<_> = css
        .split(":root{")
        .skip(1)
        .map(|rest| {
            let body = rest.split('}').next().expect("the end of a rule");
            body.split(';')
                .filter_map(|entry| entry.split_once(':'))
                .map(|(name, colour)| (name.trim_start_matches("--"), colour))
                .collect::<std::collections::BTreeMap<_, _>>()
        })
        .filter(|palette| palette.contains_key("ink"))
        .collect();
    assert_eq!(
        palettes.len(),
        3,
        "one for light, one for dark, one for paper"
    );
    for palette in palettes {
        let of = |name: &str| *palette.get(name).expect("a colour of that name");
        for (ink, paper) in [
            ("ink", "paper"),
            ("ink", "sheet"),
            ("soft", "paper"),
            ("soft", "sheet"),
            ("link", "paper"),
            ("link", "sheet"),
        ] {
            let ratio = contrast(of(ink), of(paper));
            assert!(ratio >= 4.5, "{ink} on {paper}: {ratio:.2}");
        }
        for level in ["error", "warning", "note", "confirmed"] {
            for (ink, paper) in [
                (level, "sheet".to_owned()),
                (level, format!("{level}-bg")),
                ("ink", format!("{level}-bg")),
            ] {
                let ratio = contrast(of(ink), of(&paper));
                assert!(ratio >= 4.5, "{ink} on {paper}: {ratio:.2}");
            }
        }
    }
}
