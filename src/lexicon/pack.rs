//! A compiled lexicon as bytes and back, so that the built-in word lists need not be compiled at each start.

use super::{ConceptId, Edge, Lexicon, lists::Lists, words::Words};
use crate::pack::{Pack, Reader, Writer};

impl Pack for Words {
    fn pack(&self, out: &mut Writer) {
        self.letters.pack(out);
        let flat: Vec<u32> = self.entries.iter().flatten().copied().collect();
        out.numbers(flat.into_iter());
        out.numbers(self.slots.iter().copied());
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        Some(Self {
            letters: String::unpack(from)?,
            entries: from.triples(|start, length, symbol| [start, length, symbol])?,
            slots: from.numbers(|slot| slot)?,
        })
    }
}

impl Pack for Lists {
    fn pack(&self, out: &mut Writer) {
        self.names.pack(out);
        self.words.pack(out);
        for numbers in [&self.starts, &self.order, &self.of_starts, &self.of] {
            out.numbers(numbers.iter().copied());
        }
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        let same = |number| number;
        Some(Self {
            names: Vec::unpack(from)?,
            words: Words::unpack(from)?,
            starts: from.numbers(same)?,
            order: from.numbers(same)?,
            of_starts: from.numbers(same)?,
            of: from.numbers(same)?,
        })
    }
}

impl Pack for Lexicon {
    fn pack(&self, out: &mut Writer) {
        self.names.pack(out);
        self.words.pack(out);
        self.stems.pack(out);
        out.numbers(self.stem_lengths.iter().copied());
        out.numbers(self.number.iter().copied());
        out.numbers(self.roots.iter().copied());
        out.numbers(self.edge_starts.iter().copied());
        let edges: Vec<u32> = self
            .edges
            .iter()
            .flat_map(|edge| [edge.symbol, edge.step])
            .collect();
        out.numbers(edges.into_iter());
        out.numbers(self.by_symbol.iter().copied());
        out.numbers(self.end_starts.iter().copied());
        out.numbers(self.ends.iter().map(|id| u32::from(id.0)));
        self.lists.pack(out);
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        let same = |number| number;
        Some(Self {
            names: Words::unpack(from)?,
            words: Words::unpack(from)?,
            stems: Words::unpack(from)?,
            stem_lengths: from.numbers(same)?,
            number: from.numbers(same)?.first().copied(),
            roots: from.numbers(same)?,
            edge_starts: from.numbers(same)?,
            edges: from.pairs(|symbol, step| Edge { symbol, step })?,
            by_symbol: from.numbers(same)?,
            end_starts: from.numbers(same)?,
            // Concepts are numbered in 16 bits, so nothing is cut off.
            ends: from.numbers(|id| ConceptId(u16::try_from(id).unwrap_or(u16::MAX)))?,
            lists: Lists::unpack(from)?,
        })
    }
}
