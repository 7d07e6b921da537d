//! Runs of records: fields with the same keys that come again and again, as an export of a list has them. Knows keys and blocks,
//! and nothing of what the values say.

use super::{BlockKind, Sheet};
use rustc_hash::{FxHashMap, FxHashSet};
use std::ops::Range;

/// Unkeyed blocks in a row that may stand inside a record.
const MOST_BETWEEN: usize = 2;

/// A block with a key.
struct Keyed {
    block: usize,
    key: String,
    /// It stands below a blank or a drawn line.
    apart: bool,
    /// It stands right below a heading.
    headed: bool,
}

/// Finds [`Sheet::records`]; `apart` are the blocks below a blank or a drawn line.
pub(super) fn find(sheet: &mut Sheet, apart: &[usize]) {
    let mut runs = Vec::new();
    let mut keyed: Vec<Keyed> = Vec::new();
    let mut known: FxHashSet<String> = FxHashSet::default();
    let mut headed = false;
    for (index, block) in sheet.blocks.iter().enumerate() {
        let after_heading = std::mem::replace(&mut headed, false);
        if matches!(block.kind(), BlockKind::Heading { .. }) {
            headed = true;
            continue;
        }
        let listed = !matches!(block.kind(), BlockKind::Cell { .. }) && block.speaker().is_none();
        let far = keyed
            .last()
            .is_some_and(|last| index - last.block > MOST_BETWEEN + 1);
        let key = block
            .key()
            .filter(|_| listed)
            .map(|key| key.of(sheet.flow.text()).trim().to_lowercase());
        // A heading parts records where the same fields follow it.
        let parted = after_heading && key.as_ref().is_none_or(|key| !known.contains(key));
        if !listed || far || parted {
            close(&mut keyed, &mut runs);
            known.clear();
        }
        if let Some(key) = key {
            known.insert(key.clone());
            keyed.push(Keyed {
                block: index,
                key,
                apart: apart.binary_search(&index).is_ok(),
                headed: after_heading,
            });
        }
    }
    close(&mut keyed, &mut runs);
    sheet.records = runs;
}

/// Takes a stretch of keyed blocks for what it is, and begins another.
fn close(keyed: &mut Vec<Keyed>, runs: &mut Vec<Vec<Range<usize>>>) {
    runs.extend(records(keyed));
    keyed.clear();
}

/// The records in a stretch of keyed blocks; each begins with the key that comes again first, and has another in common with the others.
fn records(keyed: &[Keyed]) -> Option<Vec<Range<usize>>> {
    const FEWEST: usize = 4;
    if keyed.len() < FEWEST {
        return None;
    }
    let mut counts: FxHashMap<&str, usize> = FxHashMap::default();
    for field in keyed {
        *counts.entry(field.key.as_str()).or_default() += 1;
    }
    let lead = keyed
        .iter()
        .map(|field| field.key.as_str())
        .find(|key| counts.get(key).is_some_and(|&count| count > 1))?;
    let starting = |starts: &dyn Fn(&Keyed) -> bool| -> Vec<usize> {
        (0..keyed.len())
            .filter(|&at| keyed.get(at).is_some_and(starts))
            .collect()
    };
    let led = starting(&|field| field.key == lead);
    // Each may stand under a heading of its own, with its fields in another order.
    let headed = starting(&|field| field.headed);
    if headed.first() == Some(&0) && headed != led {
        begun_at(keyed, &headed, "").or_else(|| begun_at(keyed, &led, lead))
    } else {
        begun_at(keyed, &led, lead)
    }
}

/// The records that begin at `starts`, with the key `lead`.
fn begun_at(keyed: &[Keyed], starts: &[usize], lead: &str) -> Option<Vec<Range<usize>>> {
    let keys = |range: Range<usize>| -> FxHashSet<&str> {
        let fields = keyed.get(range).unwrap_or(&[]);
        let names = fields.iter().map(|field| field.key.as_str());
        names.filter(|key| *key != lead).collect()
    };
    let last = *starts.last()?;
    let known = keys(*starts.first()?..last);
    let headed = starts
        .iter()
        .all(|&at| keyed.get(at).is_some_and(|field| field.headed));
    // What stands apart behind the fields that the others have as well is no part of the last one, unless a heading ends it.
    let shared = (last..keyed.len())
        .rev()
        .find(|&at| {
            keyed
                .get(at)
                .is_some_and(|field| known.contains(field.key.as_str()))
        })
        .map(|at| at + 1)?;
    let end = (shared..keyed.len())
        .find(|&at| !headed && keyed.get(at).is_some_and(|field| field.apart))
        .unwrap_or(keyed.len());
    let bounds: Vec<usize> = starts.iter().copied().chain([end]).collect();
    let sets: Vec<FxHashSet<&str>> = bounds
        .windows(2)
        .map(|pair| match pair {
            [from, to] => keys(*from..*to),
            _ => FxHashSet::default(),
        })
        .collect();
    let mut holders: FxHashMap<&str, usize> = FxHashMap::default();
    for key in sets.iter().flatten() {
        *holders.entry(key).or_default() += 1;
    }
    let alike = |set: &FxHashSet<&str>| {
        set.iter()
            .any(|key| holders.get(key).is_some_and(|&count| count > 1))
    };
    if sets.len() < 2 || !sets.iter().all(alike) {
        return None;
    }
    bounds
        .windows(2)
        .map(|pair| match pair {
            [from, to] => {
                let first = keyed.get(*from)?.block;
                let last = keyed.get(to.checked_sub(1)?)?.block;
                Some(first..last + 1)
            }
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::sheet;

    /// The first and the last block of each record, by their words.
    fn records(text: &str) -> Vec<Vec<String>> {
        let sheet = sheet::outline(text);
        let words = |block: usize| sheet.blocks[block].span.of(sheet.flow.text()).to_owned();
        sheet
            .records
            .iter()
            .map(|run| {
                run.iter()
                    .map(|record| format!("{} … {}", words(record.start), words(record.end - 1)))
                    .collect()
            })
            .collect()
    }

    #[test]
    fn a_key_that_comes_again_begins_another_record() {
        assert_eq!(
            records(
                "Date: today\n\nname: Rill\nsize: 12 AWG\nlength: 3 m\n\nname: Burn\nsize: 14 AWG\n\nname: Beck\nlength: 5 m\n\ncurrency: none\n"
            ),
            [[
                "name: Rill … length: 3 m",
                "name: Burn … size: 14 AWG",
                "name: Beck … length: 5 m"
            ]]
        );
        assert_eq!(
            records(
                "# Rill\n- size: 12 AWG\n- length: 3 m\n# Burn\n- size: 14 AWG\n- length: 5 m\n# Care\n- cleaning: a dry cloth\n"
            ),
            [["size: 12 AWG … length: 3 m", "size: 14 AWG … length: 5 m"]]
        );
        assert_eq!(
            records("item = Rill\nawg = 12\n---\nitem = Burn\nawg = 14\n---\n"),
            [["item = Rill … awg = 12", "item = Burn … awg = 14"]]
        );
        assert_eq!(
            records(
                "cables:\n  - id: 1\n    name: Rill\n    awg: 12\n  - id: 2\n    name: Burn\n    awg: 14\n"
            ),
            [["id: 1 … awg: 12", "id: 2 … awg: 14"]]
        );
    }

    #[test]
    fn fields_that_do_not_come_again_are_no_records() {
        for text in [
            "Size: 12 AWG\nLength: 3 m\nMetal: copper\nJacket: white\nPrice: on asking\n",
            "Size: 12 AWG\nSize: 14 AWG\nSize: 16 AWG\nLength: 3 m\nMetal: copper\n",
            "Q: Is it thick?\nA: It is.\nQ: Is it long?\nA: It is not.\n",
        ] {
            assert_eq!(records(text), Vec::<Vec<String>>::new(), "{text}");
        }
    }
}
