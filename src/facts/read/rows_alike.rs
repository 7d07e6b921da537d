//! Rows of a table that are headed alike. Knows kinds and roles of quantities, and no words.

use super::Reader;
use crate::facts::roles::Role;
use rustc_hash::FxHashMap;

impl Reader<'_> {
    /// “copper | 2 x 1.5 mm²” over “copper | 2 x 2.5 mm²”, and “8 Ω | 5 m | 1.5 mm²” over “8 Ω | 8 m | 2.5 mm²”: rows of one metal or
    /// for one load, each with a size of its own, are called by both.
    pub(super) fn tell_rows_apart(&self, table: usize, rows: &mut [(usize, String)]) {
        let text = self.text();
        let mut counts: FxHashMap<String, usize> = FxHashMap::default();
        for (_, name) in rows.iter() {
            *counts.entry(name.to_lowercase()).or_default() += 1;
        }
        let metals = self.terms.metals();
        for (row, name) in rows.iter_mut() {
            let cells = self.sheet.tables[table].cells.get(*row);
            let cells: Vec<usize> = cells.into_iter().flatten().flatten().copied().collect();
            let Some((&head, rest)) = cells.split_first() else {
                continue;
            };
            let block = &self.sheet.blocks[head];
            let metal = |hit: crate::lexicon::Hit| {
                block.span.contains(hit.span) && hit.span.len() == block.span.of(text).trim().len()
            };
            let of_metal = block
                .sentences()
                .any(|at| self.hits.saying_any(at, &metals).any(metal));
            let figure = |index: usize| {
                let quantity = &self.sheet.quantities[index];
                self.roles[index] != Role::Size
                    && quantity.span.len() + 3 >= block.span.of(text).trim().len()
            };
            let sentences = block.sentences();
            let of_figure =
                (self.first_in(sentences.start)..self.first_in(sentences.end)).any(figure);
            if counts.get(&name.to_lowercase()).copied().unwrap_or(0) < 2 || !of_metal && !of_figure
            {
                continue;
            }
            let mut sizes = rest.iter().flat_map(|&cell| {
                let sentences = self.sheet.blocks[cell].sentences();
                self.first_in(sentences.start)..self.first_in(sentences.end)
            });
            if let Some(size) = sizes.find(|&index| self.roles[index] == Role::Size) {
                let span = self.sheet.quantities[size].span;
                *name = format!("{name} {}", span.of(text));
            }
        }
    }
}
