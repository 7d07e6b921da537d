//! The built-in rules in the form that the build made of them, quick to load.

use super::ready::Concepts;
use super::{Fault, Row, Rulebook, raw, validate};
use crate::lexicon::Lexicon;
use crate::pack::{Pack, Reader};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What the build wrote under that name.
macro_rules! built {
    ($name:literal) => {
        Reader {
            bytes: include_bytes!(concat!(env!("OUT_DIR"), "/", $name, ".bin")),
            words: include_str!(concat!(env!("OUT_DIR"), "/", $name, ".txt")),
        }
    };
}

/// The rule files without their word lists and tables, names and contents; and the concepts of all alternatives.
const RULES: Reader = built!("rules");

/// The tables of figures of all of them, by name.
const TABLES: Reader = built!("tables");

/// The word lists of all of them, compiled.
const WORDS: Reader = built!("words");

/// The built-in rulebook.
///
/// # Errors
/// Every fault of the files, when a rule names something that there is not.
pub(super) fn rulebook() -> Result<Rulebook, Vec<Fault>> {
    let lexicon = unpacked::<Lexicon>(WORDS).ok_or_else(|| broken("word lists"))?;
    type Files = Vec<(String, raw::File)>;
    let (files, concepts) =
        unpacked::<(Files, Vec<Concepts>)>(RULES).ok_or_else(|| broken("rules"))?;
    let read: Vec<(validate::Place<'_>, raw::File)> = files
        .into_iter()
        .map(|(name, file)| (validate::Place::checked(name), file))
        .collect();
    let (mut book, faults) = validate::assemble(read, lexicon, Some(concepts), Vec::new());
    if !faults.is_empty() {
        return Err(faults);
    }
    book.tables = Cow::Borrowed(&BUILT_TABLES);
    Ok(book)
}

fn unpacked<T: Pack>(mut built: Reader) -> Option<T> {
    T::unpack(&mut built)
}

fn broken(part: &str) -> Vec<Fault> {
    vec![Fault {
        file: "rules".to_owned(),
        line: 1,
        column: 1,
        message: format!("the {part} do not unpack"),
    }]
}

static BUILT_TABLES: LazyLock<BTreeMap<Cow<'static, str>, Vec<Row>>> = LazyLock::new(|| {
    type Tables = Vec<(Cow<'static, str>, Vec<raw::Pairs<raw::Cell>>)>;
    let mut tables = BTreeMap::<_, Vec<Row>>::new();
    for (name, rows) in unpacked::<Tables>(TABLES).unwrap_or_default() {
        let rows = rows.into_iter().map(validate::row);
        tables.entry(name).or_default().extend(rows);
    }
    tables
});

/// The rows of the built-in table `name`, without the rest of the rulebook; empty when there is none of that name.
#[must_use]
pub fn table(name: &str) -> &'static [Row] {
    BUILT_TABLES.get(name).map_or(&[], Vec::as_slice)
}
