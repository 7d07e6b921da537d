//! Paths to documents: files as named, folders walked in a stable order.

use ignore::WalkBuilder;
use std::path::{Path, PathBuf};

/// Endings of the files that are taken from a folder, beside those without one.
pub const ENDINGS: &[&str] = &[
    "txt", "text", "asc", "md", "markdown", "rst", "adoc", "org", "csv", "tsv",
];

/// A document to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A file, and whether it was named itself (a file that is no text is then a trouble, else it is passed over).
    File(PathBuf, bool),
    /// Standard input.
    Stream,
}

/// The documents behind `paths`, and a line for each path that has none.
#[must_use]
pub fn gather(paths: &[PathBuf]) -> (Vec<Input>, Vec<String>) {
    let mut inputs = Vec::new();
    let mut troubles = Vec::new();
    let mut streams = 0;
    for path in paths {
        if path == Path::new("-") {
            streams += 1;
            if streams == 1 {
                inputs.push(Input::Stream);
            } else {
                troubles.push("-: standard input can be read once".to_owned());
            }
        } else if path.is_dir() {
            let before = inputs.len();
            walk(path, &mut inputs, &mut troubles);
            if inputs.len() == before {
                troubles.push(format!(
                    "{}: the folder holds no text files",
                    path.display()
                ));
            }
        } else {
            inputs.push(Input::File(path.clone(), true));
        }
    }
    (inputs, troubles)
}

fn walk(folder: &Path, inputs: &mut Vec<Input>, troubles: &mut Vec<String>) {
    let walk = WalkBuilder::new(folder)
        .require_git(false)
        .sort_by_file_name(std::ffi::OsStr::cmp)
        .build();
    for entry in walk {
        match entry {
            Ok(entry) if is_text_file(entry.path()) => {
                inputs.push(Input::File(entry.into_path(), false));
            }
            Ok(_) => {}
            Err(error) => troubles.push(error.to_string()),
        }
    }
}

fn is_text_file(path: &Path) -> bool {
    let fits = match path.extension() {
        None => true,
        Some(ending) => ending
            .to_str()
            .is_some_and(|ending| ENDINGS.contains(&ending.to_ascii_lowercase().as_str())),
    };
    fits && path.is_file()
}
