//! The borders between the modules, as the tree shows them.

use std::path::{Path, PathBuf};

fn rust_files(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a readable folder") {
        let path = entry.expect("a readable entry").path();
        if path.is_dir() {
            rust_files(&path, files);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
}

/// Files under `src` whose code (not its comments) holds `needle`, as paths from the root of the crate.
fn users_of(needle: &str) -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    rust_files(&root.join("src"), &mut files);
    let mut users: Vec<String> = files
        .iter()
        .filter(|path| {
            std::fs::read_to_string(path)
                .expect("a text file")
                .lines()
                .any(|line| line.contains(needle) && !line.trim_start().starts_with("//"))
        })
        .map(|path| {
            path.strip_prefix(root)
                .expect("a path below the root")
                .display()
                .to_string()
        })
        .collect();
    users.sort();
    users
}

#[test]
fn each_package_stays_in_its_place() {
    for (needle, home) in [
        ("pest::", "src/sheet/"),
        ("pest_derive", "src/sheet/"),
        ("clap::", "src/cli/"),
        ("miette::", "src/report/"),
    ] {
        for user in users_of(needle) {
            assert!(
                user.starts_with(home),
                "{user} uses {needle}, which belongs to {home}"
            );
        }
    }
    assert!(
        users_of("serde_yaml").len() <= 1,
        "one file alone may import the YAML reader"
    );
}

/// Files of the tree, as paths from its root, without what is built or gathered while working.
fn tree() -> Vec<String> {
    fn walk(root: &Path, folder: &Path, files: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).expect("a readable folder") {
            let path = entry.expect("a readable entry").path();
            let name = path
                .strip_prefix(root)
                .expect("a path below the root")
                .display()
                .to_string();
            let left_out = ["target", ".git", "corpus", "artifacts"];
            let last = path.file_name().and_then(|last| last.to_str());
            if last.is_some_and(|last| left_out.contains(&last)) {
                continue;
            }
            if path.is_dir() {
                walk(root, &path, files);
            } else {
                files.push(name);
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    walk(root, root, &mut files);
    files.sort();
    files
}

fn text_of(name: &str) -> Option<String> {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).ok()
}

fn manifest() -> String {
    text_of("Cargo.toml").expect("the manifest")
}

#[test]
fn nobody_prints_but_the_command_line() {
    for needle in ["println!(", "print!(", "stdout()", "stderr()"] {
        for user in users_of(needle) {
            assert!(
                user.starts_with("src/cli/"),
                "{user} uses {needle}, which belongs to src/cli/"
            );
        }
    }
    assert!(!users_of("stdout()").is_empty());
}

#[test]
fn nothing_names_a_place_on_somebodys_machine() {
    let places = [
        concat!("/wo", "rk/"),
        concat!("/ro", "ot/"),
        concat!("/ho", "me/"),
        concat!("/Us", "ers/"),
    ];
    let files = tree();
    assert!(files.len() > 100, "{files:?}");
    for name in files {
        // Pictures are no text.
        let Some(text) = text_of(&name) else { continue };
        for place in places {
            let line = text.lines().position(|line| line.contains(place));
            assert_eq!(line, None, "{name} names {place} (line counted from 0)");
        }
    }
}

#[test]
fn a_long_file_says_why_at_its_head() {
    for name in tree() {
        if !name.starts_with("src/") {
            continue;
        }
        let text = text_of(&name).expect("a text file");
        let lines = text.lines().count();
        let reason = text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .any(|line| line.starts_with("//! Long: "));
        assert!(
            lines <= 600 || reason,
            "{name} has {lines} lines and no “//! Long: …” at its head; split it or say why it is one file"
        );
    }
}

#[test]
fn every_module_folder_says_what_belongs_there() {
    for name in tree() {
        if !(name.starts_with("src/") && name.ends_with("/mod.rs")) {
            continue;
        }
        let text = text_of(&name).expect("a text file");
        assert!(
            text.starts_with("//! "),
            "{name} does not say what belongs there"
        );
    }
}

/// Words in backticks that look like paths of the tree. A name with a sign for what the reader puts in is none.
fn paths_in(page: &str) -> Vec<&str> {
    let mut fenced = false;
    let mut paths = Vec::new();
    for line in page.lines() {
        if line.starts_with("```") {
            fenced = !fenced;
        }
        if fenced {
            continue;
        }
        for (index, words) in line.split('`').enumerate() {
            let top = [
                "src/", "tests/", "rules/", "grammar/", "samples/", ".ci/", "Cargo", "README",
                "LICENSE",
            ];
            let plain = !words.contains([' ', '<', '*', '…', '{']);
            if index % 2 == 1 && plain && top.iter().any(|start| words.starts_with(start)) {
                paths.push(words);
            }
        }
    }
    paths
}

#[test]
fn every_path_named_for_developers_is_there() {
    let page = text_of("DEVELOPERS.md").expect("the page");
    let paths = paths_in(&page);
    assert!(paths.len() > 20, "{paths:?}");
    for path in paths {
        assert!(
            Path::new(env!("CARGO_MANIFEST_DIR")).join(path).exists(),
            "DEVELOPERS.md names {path}, which is not there"
        );
    }
    assert_eq!(
        paths_in("`src/no.rs` and `src/<chapter>/<name>.rs`\n```\n`src/none.rs`\n```\n"),
        ["src/no.rs"]
    );
}

#[test]
fn every_dependency_has_its_reason() {
    let manifest = manifest();
    let page = text_of("DEVELOPERS.md").expect("the page");
    let mut listed = false;
    let mut seen = 0;
    for line in manifest.lines() {
        if line.starts_with('[') {
            listed = line.ends_with("dependencies]");
        } else if let Some((name, _)) = line.split_once(" = ").filter(|_| listed) {
            assert!(
                page.contains(&format!("`{name}`")),
                "DEVELOPERS.md does not say why {name} is there"
            );
            seen += 1;
        }
    }
    assert!(seen > 20);
}

#[test]
fn the_top_of_the_tree_holds_what_it_should() {
    let known = [
        ".ci",
        ".gitignore",
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "grammar",
        "rules",
        "samples",
        "src",
        "tests",
        ".git",
    ];
    for name in tree() {
        let top = name.split('/').next().expect("a first part");
        assert!(known.contains(&top), "{name} does not belong at the top");
    }
}

#[test]
fn the_package_holds_what_the_build_needs_and_nothing_else() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let output = std::process::Command::new(cargo)
        .args(["package", "--list", "--allow-dirty", "--offline"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("a run");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{told}");
    let listed = String::from_utf8(output.stdout).expect("UTF-8");
    // Cargo writes these itself.
    let made = ["Cargo.lock", "Cargo.toml.orig", ".cargo_vcs_info.json"];
    let mut packed: Vec<&str> = listed.lines().filter(|name| !made.contains(name)).collect();
    packed.sort_unstable();
    let needed = |name: &str| {
        ["src/", "grammar/", "rules/"]
            .iter()
            .any(|folder| name.starts_with(folder))
            || ["Cargo.toml", "LICENSE", "README.md"].contains(&name)
    };
    let all = tree();
    let mut wanted: Vec<&str> = all
        .iter()
        .map(String::as_str)
        .filter(|name| needed(name))
        .collect();
    wanted.sort_unstable();
    assert_eq!(packed, wanted);
}

#[test]
fn every_dependency_of_the_program_is_used() {
    let manifest = manifest();
    let code: String = tree()
        .iter()
        .filter(|name| name.starts_with("src/") && name.ends_with(".rs"))
        .filter_map(|name| text_of(name))
        .collect();
    let mut listed = false;
    for line in manifest.lines() {
        if line.starts_with('[') {
            listed = line == "[dependencies]";
        } else if let Some((name, _)) = line.split_once(" = ").filter(|_| listed) {
            let path = name.replace('-', "_");
            let used = [
                format!("{path}::"),
                format!("use {path};"),
                format!("[{path}("),
            ];
            assert!(
                used.iter().any(|way| code.contains(way)),
                "nothing uses {name}"
            );
        }
    }
}

#[test]
fn the_ids_of_rules_stay_what_they_are() {
    let ids: Vec<String> = claimgauge::rulebook::Rulebook::builtin()
        .rules()
        .iter()
        .map(|rule| format!("{} {} {}", rule.id, rule.level.word(), rule.verdict.word()))
        .collect();
    insta::assert_snapshot!(ids.join("\n"));
}

#[test]
fn everything_in_the_rule_files_is_used() {
    use serde_yaml::Value;
    let code: String = tree()
        .iter()
        .filter(|name| name.starts_with("src/") && name.ends_with(".rs"))
        .filter_map(|name| text_of(name))
        .collect();
    let files: Vec<(String, Value)> = tree()
        .into_iter()
        .filter(|name| name.starts_with("rules/"))
        .map(|name| {
            let text = text_of(&name).expect("a text file");
            (name, serde_yaml::from_str(&text).expect("YAML"))
        })
        .collect();
    /// All words in what a rule says beside its texts for readers.
    fn words(value: &Value, all: &mut Vec<String>) {
        match value {
            Value::String(text) => all.extend(text.split('|').map(|word| word.trim().to_owned())),
            Value::Sequence(list) => list.iter().for_each(|one| words(one, all)),
            Value::Mapping(map) => map.values().for_each(|one| words(one, all)),
            _ => {}
        }
    }
    let mut named: Vec<String> = Vec::new();
    for rule in files
        .iter()
        .filter_map(|(_, file)| file["rules"].as_sequence())
        .flatten()
    {
        for part in [
            "match",
            "unless",
            "unless_near",
            "unless_document",
            "absent",
            "sources",
        ] {
            words(&rule[part], &mut named);
        }
    }
    let in_code = |name: &str| code.contains(&format!("\"{name}\""));
    let used = |name: &str| in_code(name) || named.iter().any(|other| other == name);
    let keys = |value: &Value| -> Vec<String> {
        let map = value.as_mapping().into_iter().flatten();
        map.filter_map(|(key, _)| Some(key.as_str()?.to_owned()))
            .collect()
    };
    let mut looked_at = 0;
    let mut idle: Vec<String> = Vec::new();
    let mut look = |file: &str, what: &str, name: &str, used: bool| {
        looked_at += 1;
        if !used {
            idle.push(format!("{file}: {what} {name}"));
        }
    };
    for (file, parts) in &files {
        for name in keys(&parts["concepts"]) {
            look(file, "concept", &name, used(&name));
        }
        for name in keys(&parts["lists"]) {
            look(file, "list", &name, in_code(&name));
        }
        for rule in parts["rules"].as_sequence().into_iter().flatten() {
            for name in keys(&rule["thresholds"]) {
                look(file, "threshold", &name, in_code(&name));
            }
        }
        for source in parts["sources"].as_sequence().into_iter().flatten() {
            let name = source["id"].as_str().expect("an id");
            look(file, "source", name, used(name));
        }
        for row in parts["tables"]["defaults"]
            .as_sequence()
            .into_iter()
            .flatten()
        {
            let name = row["name"].as_str().expect("a name");
            look(file, "default", name, in_code(name));
        }
    }
    assert!(looked_at > 500, "{looked_at}");
    assert!(idle.is_empty(), "nothing uses\n{}", idle.join("\n"));
}

/// Which modules each module of the library may name, in the order of the way of a document: nobody names a later one.
const MAY_NAME: &[(&str, &[&str])] = &[
    ("pack", &[]),
    ("span", &[]),
    ("units", &[]),
    ("finding", &["span"]),
    ("gauge", &["units"]),
    ("input", &[]),
    ("lexicon", &["pack", "span"]),
    ("sheet", &["gauge", "lexicon", "pack", "span", "units"]),
    ("rulebook", &["finding", "lexicon", "pack"]),
    ("physics", &["gauge", "rulebook", "units"]),
    ("facts", &["gauge", "lexicon", "sheet", "span", "units"]),
    (
        "claims",
        &["facts", "finding", "lexicon", "rulebook", "sheet", "span"],
    ),
    (
        "checks",
        &[
            "claims", "facts", "finding", "lexicon", "physics", "rulebook", "sheet", "span",
            "units",
        ],
    ),
    (
        "run",
        &[
            "checks", "claims", "facts", "finding", "input", "lexicon", "rulebook", "sheet",
        ],
    ),
    (
        "report",
        &[
            "facts", "finding", "input", "physics", "rulebook", "run", "sheet", "span", "units",
        ],
    ),
    ("ledger", &["report", "rulebook"]),
    (
        "cli",
        &[
            "claims", "facts", "finding", "input", "ledger", "lexicon", "physics", "report",
            "rulebook", "run", "sheet", "span", "units",
        ],
    ),
];

#[test]
fn nothing_points_back_along_the_way_of_a_document() {
    for (place, (module, may)) in MAY_NAME.iter().enumerate() {
        for name in *may {
            assert!(
                MAY_NAME[..place].iter().any(|(earlier, _)| earlier == name),
                "{module} may name {name}, which comes later"
            );
        }
    }
    let mut seen = 0;
    for file in tree() {
        let Some(path) = file
            .strip_prefix("src/")
            .and_then(|path| path.strip_suffix(".rs"))
        else {
            continue;
        };
        let module = path.split('/').next().expect("a first part");
        if ["lib", "main", "build"].contains(&module) {
            continue;
        }
        // Tests of a step may set up whatever they need.
        if path.contains("/tests") {
            continue;
        }
        let (_, may) = MAY_NAME
            .iter()
            .find(|(name, _)| *name == module)
            .unwrap_or_else(|| panic!("{file} belongs to no module that is listed here"));
        let text = text_of(&file).expect("a text file");
        let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or("");
        for line in code
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
        {
            for named in line.split("crate::").skip(1) {
                let end = named
                    .find(|letter: char| !(letter.is_alphanumeric() || letter == '_'))
                    .unwrap_or(named.len());
                let named = &named[..end];
                assert!(
                    named == module || may.contains(&named),
                    "{file} names {named}: {line}"
                );
                seen += 1;
            }
        }
    }
    assert!(seen > 300, "{seen}");
}

#[test]
fn every_sample_says_that_it_is_invented() {
    let samples: Vec<String> = tree()
        .into_iter()
        .filter(|name| name.starts_with("samples/") && name.ends_with(".txt"))
        .collect();
    assert!(samples.len() >= 8, "{samples:?}");
    let page = text_of("samples/README.md").expect("the page of the samples");
    for name in samples {
        let text = text_of(&name).expect("a text file");
        assert!(text.contains("invented"), "{name} does not say it");
        let own = name.trim_start_matches("samples/");
        assert!(
            page.contains(&format!("`{own}`")),
            "samples/README.md leaves out {name}"
        );
    }
}

/// Alternatives of an entry are single words: “kink the|in the” would be read as “kink, the or in, the”. Where that was forgotten the
/// same word mostly stands in two parts beside each other.
#[test]
fn alternatives_of_word_lists_are_single_words() {
    use serde_yaml::Value;
    /// Entries in which a word may follow itself.
    const MEANT: &[&str] = &[];
    fn entries<'v>(value: &'v Value, all: &mut Vec<&'v str>) {
        match value {
            Value::String(text) => all.push(text),
            Value::Sequence(list) => list.iter().for_each(|one| entries(one, all)),
            Value::Mapping(map) => map.values().for_each(|one| entries(one, all)),
            _ => {}
        }
    }
    let files: Vec<Value> = tree()
        .into_iter()
        .filter(|name| name.starts_with("rules/words-"))
        .map(|name| serde_yaml::from_str(&text_of(&name).expect("a text file")).expect("YAML"))
        .collect();
    let mut all = Vec::new();
    for file in &files {
        entries(&file["concepts"], &mut all);
    }
    assert!(all.len() > 10_000, "the word lists are not read");
    let twice = |entry: &str| {
        let parts: Vec<Vec<&str>> = entry
            .split_whitespace()
            .map(|part| part.split('|').collect())
            .collect();
        parts.windows(2).any(|pair| {
            pair.iter().any(|part| part.len() > 1)
                && pair[0].iter().any(|word| pair[1].contains(word))
        })
    };
    let slips: Vec<&str> = (all.into_iter())
        .filter(|entry| twice(entry) && !MEANT.contains(entry))
        .collect();
    assert!(
        slips.is_empty(),
        "write phrases among alternatives out in full: {slips:#?}"
    );
}
