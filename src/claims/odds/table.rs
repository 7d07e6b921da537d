//! The weights: what each feature adds to the log-odds that a sentence makes the claim of a rule, and what the features of a passage
//! add to the log-odds that the document stands behind it. Knows the file of weights and no document.

use super::features::{Feature, Place, Trait};
use crate::lexicon::Lexicon;
use rustc_hash::FxHashMap;

/// The file of weights; its head says how it was made.
const WEIGHTS: &str = include_str!("../../../rules/odds.tsv");

/// Number of a feature in a [`Table`].
pub(super) type Row = u32;
/// No feature.
const NONE: Row = Row::MAX;
/// Most values of a [`Trait`].
const VALUES: usize = 32;

/// What features weigh.
#[derive(Debug, Default)]
pub(super) struct Table {
    /// Ids of the rules that have weights.
    pub(super) rules: Vec<String>,
    /// By rule, the log-odds where nothing is known.
    pub(super) usual: Vec<f32>,
    /// By place and word list, the row.
    said: Vec<Row>,
    /// Number of word lists.
    lists: usize,
    /// By trait and value, the row.
    is: Vec<Row>,
    /// Where the weights of a row begin; one more than there are rows.
    starts: Vec<u32>,
    /// Rule and weight.
    weights: Vec<(u16, f32)>,
    /// Weights of a passage by name.
    passage: FxHashMap<&'static str, f64>,
    /// Features that no word list of the rulebook is known for.
    pub(super) unknown: Vec<String>,
}

impl Table {
    /// Reads the weights for the word lists of a rulebook. A line that cannot be read is left out; a test rules that out.
    pub(super) fn new(lexicon: &Lexicon) -> Self {
        let lists = lexicon.len();
        let mut table = Self {
            lists,
            said: vec![NONE; Place::ALL.len() * lists],
            is: vec![NONE; Trait::ALL.len() * VALUES],
            starts: vec![0],
            ..Self::default()
        };
        let mut numbers: FxHashMap<&str, u16> = FxHashMap::default();
        for line in WEIGHTS.lines().filter(|line| !line.starts_with('#')) {
            let mut cells = line.split('\t');
            let Some(name) = cells.next().filter(|name| !name.is_empty()) else {
                continue;
            };
            if let Some(own) = name.strip_prefix("passage ") {
                let weight = cells.next().and_then(|cell| cell.parse().ok());
                table.passage.extend(weight.map(|weight| (own, weight)));
                continue;
            }
            let pairs = cells.filter_map(|cell| {
                let (rule, weight) = cell.split_once('=')?;
                Some((rule, weight.parse::<f32>().ok()?))
            });
            if name == "usual" {
                for (rule, weight) in pairs {
                    numbers.insert(rule, u16::try_from(table.rules.len()).unwrap_or(u16::MAX));
                    table.rules.push(rule.to_owned());
                    table.usual.push(weight);
                }
                continue;
            }
            let row = Row::try_from(table.starts.len() - 1).unwrap_or(NONE);
            if let Some(slot) = table.slot(name, lexicon) {
                *slot = row;
            } else {
                table.unknown.push(name.to_owned());
            }
            let known = pairs.filter_map(|(rule, weight)| Some((*numbers.get(rule)?, weight)));
            table.weights.extend(known);
            let end = u32::try_from(table.weights.len()).unwrap_or(u32::MAX);
            table.starts.push(end);
        }
        table
    }

    /// The place for the row of a feature.
    fn slot(&mut self, name: &str, lexicon: &Lexicon) -> Option<&mut Row> {
        if let Some((own, value)) = name.split_once('=') {
            let own = Trait::ALL.iter().position(|one| one.word() == own)?;
            let value: usize = value.parse().ok().filter(|&value| value < VALUES)?;
            return self.is.get_mut(own * VALUES + value);
        }
        let (place, list) = name.split_once(':')?;
        let place = Place::ALL.iter().position(|one| one.word() == place)?;
        let list = usize::from(lexicon.id(list)?.0);
        self.said.get_mut(place * self.lists + list)
    }

    /// Number of features.
    pub(super) fn rows(&self) -> usize {
        self.starts.len() - 1
    }

    /// The row of a feature that has weights.
    pub(super) fn row(&self, feature: Feature) -> Option<usize> {
        let row = match feature {
            Feature::Said(place, concept) => {
                let at = place as usize * self.lists + usize::from(concept.0);
                self.said.get(at)
            }
            Feature::Is(own, value) => (usize::from(value) < VALUES)
                .then(|| self.is.get(own as usize * VALUES + usize::from(value)))
                .flatten(),
        };
        row.filter(|&&row| row != NONE).map(|&row| row as usize)
    }

    /// Adds the weights of a row to the log-odds of each rule.
    pub(super) fn add(&self, row: usize, odds: &mut [f32]) {
        let start = self.starts.get(row).copied().unwrap_or(0) as usize;
        let end = self.starts.get(row + 1).copied().unwrap_or(0) as usize;
        for &(rule, weight) in self.weights.get(start..end).unwrap_or(&[]) {
            if let Some(sum) = odds.get_mut(usize::from(rule)) {
                *sum += weight;
            }
        }
    }

    /// Names of what is weighed of a passage, and of the limits.
    #[cfg(test)]
    pub(super) fn passage_names(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.passage.keys().copied()
    }

    /// The weight of a value of a passage.
    pub(super) fn passage(&self, name: &str) -> f64 {
        self.passage.get(name).copied().unwrap_or(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::{Table, WEIGHTS};
    use crate::rulebook::Rulebook;

    #[test]
    fn every_weight_is_of_a_rule_and_a_list_that_there_are() {
        let book = Rulebook::builtin();
        let table = Table::new(book.lexicon());
        assert_eq!(table.unknown, Vec::<String>::new(), "fit the weights anew");
        assert!(table.rules.len() > 20, "{:?}", table.rules);
        for rule in &table.rules {
            let known = book.rule(rule).expect("a rule of the rulebook");
            assert!(
                !known.alternatives.is_empty(),
                "{rule} is found by no words"
            );
        }
        let cells: usize = (WEIGHTS.lines())
            .filter(|line| !line.starts_with(['#']) && !line.starts_with("passage "))
            .map(|line| line.split('\t').count() - 1)
            .sum();
        assert_eq!(
            cells,
            table.rules.len() + table.weights.len(),
            "a weight was not read"
        );
        let passage = WEIGHTS.lines().filter(|line| line.starts_with("passage "));
        assert_eq!(passage.count(), table.passage.len());
        for name in ["usual", "keep", "add", "keep, short", "add, short"] {
            assert!(table.passage.contains_key(name), "{name}");
        }
    }
}
