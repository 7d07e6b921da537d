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

/// Files under `src` whose text holds `needle`, as paths from the root of the crate.
fn users_of(needle: &str) -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    rust_files(&root.join("src"), &mut files);
    let mut users: Vec<String> = files
        .iter()
        .filter(|path| {
            std::fs::read_to_string(path)
                .expect("a text file")
                .contains(needle)
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
