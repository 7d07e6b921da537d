//! Words to numbers: a hash table in flat arrays, so that it can be packed and read back without being built anew.

use super::Symbol;
use crate::pack::{Row, number};
use std::borrow::Cow;

/// Words with a symbol each.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Words {
    /// All words, one after the other.
    pub(super) letters: Cow<'static, str>,
    /// Start and length in `letters`, and the symbol, in the order of adding.
    pub(super) entries: Row<12>,
    /// Open addressing: 1 + index in `entries`, or 0 where nothing is; a power of two long.
    pub(super) slots: Row<4>,
}

/// FNV-1a, 32 bits (Fowler, Noll, Vo; from memory): the same on every machine, which a packed table needs.
fn hash(word: &str) -> u32 {
    word.bytes().fold(0x811c_9dc5, |hash: u32, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}

impl Words {
    /// Start, length and symbol of an entry.
    fn entry(&self, at: usize) -> Option<[u32; 3]> {
        let &[a, b, c, d, e, f, g, h, i, j, k, l] = self.entries.get(at)?;
        // Spelt out: `map` over the array is three times as much work.
        Some([
            u32::from_le_bytes([a, b, c, d]),
            u32::from_le_bytes([e, f, g, h]),
            u32::from_le_bytes([i, j, k, l]),
        ])
    }

    fn of(&self, [start, length, _]: [u32; 3]) -> &str {
        self.letters
            .get(start as usize..start as usize + length as usize)
            .unwrap_or("")
    }

    /// The word that was added under `symbol`, where symbols are counted up from nought.
    pub(super) fn word(&self, symbol: Symbol) -> &str {
        self.entry(symbol as usize)
            .map_or("", |entry| self.of(entry))
    }

    /// The word that was added under `symbol`, if it begins with that byte.
    pub(super) fn word_from(&self, symbol: Symbol, first: Option<u8>) -> Option<&str> {
        let entry = self.entry(symbol as usize)?;
        let own = self.letters.as_bytes().get(entry[0] as usize).copied();
        (own == first).then(|| self.of(entry))
    }

    /// The symbol of `word`.
    pub(super) fn get(&self, word: &str) -> Option<Symbol> {
        let mask = self.slots.len().checked_sub(1)?;
        let mut slot = hash(word) as usize & mask;
        // A table is at most half full, so a free slot ends every search.
        for _ in 0..=mask {
            let at = (number(&self.slots, slot)? as usize).checked_sub(1)?;
            let entry = self.entry(at)?;
            if self.of(entry) == word {
                return Some(entry[2]);
            }
            slot = (slot + 1) & mask;
        }
        None
    }

    /// The symbol of `word`, which becomes `fresh` when it is new.
    pub(super) fn get_or_insert(&mut self, word: &str, fresh: Symbol) -> Symbol {
        if let Some(known) = self.get(word) {
            return known;
        }
        let (Ok(start), Ok(length)) =
            (u32::try_from(self.letters.len()), u32::try_from(word.len()))
        else {
            return fresh;
        };
        self.letters.to_mut().push_str(word);
        let [[a, b, c, d], [e, f, g, h], [i, j, k, l]] =
            [start, length, fresh].map(u32::to_le_bytes);
        self.entries
            .to_mut()
            .push([a, b, c, d, e, f, g, h, i, j, k, l]);
        if self.entries.len() * 2 > self.slots.len() {
            self.spread();
        } else {
            self.place(self.entries.len() - 1);
        }
        fresh
    }

    /// Doubles the table and places every entry anew.
    fn spread(&mut self) {
        let size = (self.entries.len() * 4).next_power_of_two().max(16);
        self.slots = Cow::Owned(vec![[0; 4]; size]);
        for at in 0..self.entries.len() {
            self.place(at);
        }
    }

    fn place(&mut self, at: usize) {
        let Some(entry) = self.entry(at) else {
            return;
        };
        let mask = self.slots.len() - 1;
        let mut slot = hash(self.of(entry)) as usize & mask;
        while self.slots[slot] != [0; 4] {
            slot = (slot + 1) & mask;
        }
        self.slots.to_mut()[slot] = u32::try_from(at + 1).unwrap_or(u32::MAX).to_le_bytes();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_keeps_its_symbol_while_the_table_grows() {
        let mut words = Words::default();
        assert_eq!(words.get("lead"), None);
        let word = |number: u32| format!("word{number}");
        for number in 0..1_000 {
            assert_eq!(words.get_or_insert(&word(number), number), number);
        }
        for number in 0..1_000 {
            assert_eq!(words.get_or_insert(&word(number), 5_000), number);
            assert_eq!(words.get(&word(number)), Some(number));
        }
        assert_eq!(words.get("word1000"), None);
        assert_eq!(words.get(""), None);
    }
}
