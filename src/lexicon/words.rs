//! Words to numbers: a hash table in flat arrays, so that it can be packed and read back without being built anew.

use super::Symbol;

/// Words with a symbol each.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Words {
    /// All words, one after the other.
    pub(super) letters: String,
    /// Start and length in `letters`, and the symbol, in the order of adding.
    pub(super) entries: Vec<[u32; 3]>,
    /// Open addressing: 1 + index in `entries`, or 0 where nothing is; a power of two long.
    pub(super) slots: Vec<u32>,
}

/// FNV-1a, 32 bits (Fowler, Noll, Vo; from memory): the same on every machine, which a packed table needs.
fn hash(word: &str) -> u32 {
    word.bytes().fold(0x811c_9dc5, |hash: u32, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}

impl Words {
    fn of(&self, [start, length, _]: [u32; 3]) -> &str {
        self.letters
            .get(start as usize..start as usize + length as usize)
            .unwrap_or("")
    }

    /// The word that was added under `symbol`, where symbols are counted up from nought.
    pub(super) fn word(&self, symbol: Symbol) -> &str {
        self.entries
            .get(symbol as usize)
            .map_or("", |&entry| self.of(entry))
    }

    /// The symbol of `word`.
    pub(super) fn get(&self, word: &str) -> Option<Symbol> {
        let mask = self.slots.len().checked_sub(1)?;
        let mut slot = hash(word) as usize & mask;
        // A table is at most half full, so a free slot ends every search.
        for _ in 0..=mask {
            let at = (*self.slots.get(slot)? as usize).checked_sub(1)?;
            let entry = *self.entries.get(at)?;
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
        self.letters.push_str(word);
        self.entries.push([start, length, fresh]);
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
        self.slots.clear();
        self.slots.resize(size, 0);
        for at in 0..self.entries.len() {
            self.place(at);
        }
    }

    fn place(&mut self, at: usize) {
        let mask = self.slots.len() - 1;
        let mut slot = hash(self.of(self.entries[at])) as usize & mask;
        while self.slots[slot] != 0 {
            slot = (slot + 1) & mask;
        }
        self.slots[slot] = u32::try_from(at + 1).unwrap_or(u32::MAX);
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
