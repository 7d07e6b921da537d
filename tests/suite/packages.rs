//! What the packages that are built in allow, and which of them are built in twice. Needs no network: the lock file and what
//! cargo has already fetched tell it.

use std::collections::BTreeMap;
use std::path::Path;

/// Licences under which a package may be built into a program that is itself under MIT or Apache-2.0.
const ALLOWED: &[&str] = &[
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Packages of which two versions are built, and why that cannot be helped here.
const TWICE: &[(&str, &str)] = &[
    (
        "getrandom",
        "tempfile asks for a new one, the tables of jsonschema, in tests alone, for an old one",
    ),
    ("r-efi", "follows getrandom, on firmware alone"),
    ("syn", "maud and schemars derive with different ones"),
    ("unicode-width", "miette asks for an old one"),
];

/// `text` cut at `word` where no bracket is open.
fn parts<'t>(text: &'t str, word: &str) -> Vec<&'t str> {
    let (mut parts, mut depth, mut start, mut at) = (Vec::new(), 0_u32, 0, 0);
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        if depth == 0 && rest.starts_with(word) {
            parts.push(&text[start..at]);
            at += word.len();
            start = at;
            continue;
        }
        match rest.as_bytes()[0] {
            b'(' => depth += 1,
            b')' => depth -= 1,
            _ => {}
        }
        at += 1;
    }
    parts.push(&text[start..]);
    parts
}

/// Whether an expression of licences (SPDX 2.3, annex D; a slash is an old way to write OR) can be kept to.
fn may_be_used(licence: &str) -> bool {
    let licence = licence.trim();
    let either = parts(licence, " OR ");
    if either.len() > 1 {
        return either.into_iter().any(may_be_used);
    }
    let all = parts(licence, " AND ");
    if all.len() > 1 {
        return all.into_iter().all(may_be_used);
    }
    match licence.strip_prefix('(') {
        Some(inner) => may_be_used(inner.trim_end_matches(')')),
        None => ALLOWED.contains(&licence),
    }
}

#[test]
fn expressions_of_licences_are_understood() {
    for (licence, may) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("MIT OR GPL-3.0-only", true),
        ("MIT AND GPL-3.0-only", false),
        ("(MIT OR GPL-3.0-only) AND Zlib", true),
        ("(MIT OR Zlib) AND GPL-3.0-only", false),
        ("GPL-3.0-only OR (MIT AND Zlib)", true),
        ("Apache-2.0 WITH LLVM-exception", true),
        ("Apache-2.0 WITH Nonsense", false),
        ("", false),
    ] {
        assert_eq!(may_be_used(licence), may, "{licence}");
    }
}

#[test]
fn every_package_has_a_licence_that_can_be_kept_to() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let run = |program: &str, arguments: &[&str]| {
        let output = std::process::Command::new(program)
            .args(arguments)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("a run");
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{told}");
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    let version = run(&cargo, &["-vV"]);
    let host = version
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .expect("a host");
    // What is built here has been fetched; packages of other systems have not.
    let metadata: serde_json::Value = serde_json::from_str(&run(
        &cargo,
        &[
            "metadata",
            "--offline",
            "--locked",
            "--format-version",
            "1",
            "--filter-platform",
            host,
        ],
    ))
    .expect("JSON");
    let packages = metadata["packages"].as_array().expect("a list");
    assert!(packages.len() > 100, "{} packages", packages.len());
    for package in packages {
        let licence = package["license"]
            .as_str()
            .unwrap_or("")
            .replace('/', " OR ");
        assert!(
            may_be_used(&licence),
            "{} {} is under “{licence}”",
            package["name"],
            package["version"]
        );
    }
}

#[test]
fn no_package_is_there_twice_without_a_reason() {
    let lock = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.lock"))
        .expect("the lock file");
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for line in lock.lines() {
        if let Some(name) = line.strip_prefix("name = ") {
            *versions.entry(name.trim_matches('"')).or_default() += 1;
        }
    }
    assert!(versions.len() > 100);
    let twice: Vec<&str> = versions
        .iter()
        .filter(|(_, count)| **count > 1)
        .map(|(name, _)| *name)
        .collect();
    let known: Vec<&str> = TWICE.iter().map(|(name, _)| *name).collect();
    assert_eq!(twice, known);
}
