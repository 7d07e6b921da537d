//! The built-in rules in the form that the build made of them, quick to load.

use super::{Fault, Row, Rulebook, raw, validate};
use crate::lexicon::Lexicon;

/// The rule files without their word lists and tables: names and contents.
const RULES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/rules.json"));

/// The tables of figures of all of them, by name.
const TABLES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/tables.json"));

/// The word lists of all of them, compiled.
const WORDS: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/words.bin"));

/// The built-in rulebook.
///
/// # Errors
/// Every fault of the files, when a rule names something that there is not.
pub(super) fn rulebook() -> Result<Rulebook, Vec<Fault>> {
    let broken = |message: &str| {
        vec![Fault {
            file: "rules".to_owned(),
            line: 1,
            column: 1,
            message: message.to_owned(),
        }]
    };
    let lexicon = Lexicon::unpack(WORDS).ok_or_else(|| broken("the word lists do not unpack"))?;
    let files: Vec<(&str, raw::File)> =
        serde_json::from_slice(RULES).map_err(|error| broken(&error.to_string()))?;
    let read: Vec<(validate::Place<'_>, raw::File)> = files
        .into_iter()
        .map(|(name, file)| {
            let place = validate::Place {
                name,
                text: "",
                house: false,
            };
            (place, file)
        })
        .collect();
    let mut book = validate::assemble(&read, lexicon, Vec::new())?;
    for (name, rows) in tables().map_err(|error| broken(&error.to_string()))? {
        book.tables
            .entry(name)
            .or_default()
            .extend(rows.iter().map(validate::row));
    }
    Ok(book)
}

type Tables = Vec<(String, Vec<raw::Pairs<raw::Cell>>)>;

fn tables() -> serde_json::Result<Tables> {
    serde_json::from_slice(TABLES)
}

/// The rows of the built-in table `name`, without the rest of the rulebook; empty when there is none of that name.
#[must_use]
pub fn table(name: &str) -> Vec<Row> {
    tables()
        .unwrap_or_default()
        .iter()
        .filter(|(known, _)| known == name)
        .flat_map(|(_, rows)| rows.iter().map(validate::row))
        .collect()
}
