//! Word lists in which a word is looked up: titles of persons, names of months. Unlike concepts they are not searched for in the
//! text; they hold whole entries as they are written, in their order.

use super::{Lexicon, part, words::Words};
use crate::pack::Row;
use std::borrow::Cow;

/// A struct with a [`List`] for each name that a step asks for, looked up once.
macro_rules! lists {
    ($(#[$doc:meta])* $seen:vis struct $name:ident; $($field:ident = $list:literal),* $(,)?) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy)]
        $seen struct $name<'l> {
            $($seen $field: $crate::lexicon::List<'l>,)*
        }

        impl<'l> $name<'l> {
            /// Looks all names up; a list that is not there is empty.
            $seen fn new(lexicon: &'l $crate::lexicon::Lexicon) -> Self {
                Self { $($field: lexicon.list($list),)* }
            }

            /// The names.
            #[cfg(test)]
            $seen const NAMES: &'static [&'static str] = &[$($list),*];
        }
    };
}
pub(crate) use lists;

/// All lists: each entry once, with the lists that it is of.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Lists {
    pub(super) names: Vec<Cow<'static, str>>,
    pub(super) words: Words,
    /// Where the entries of a list begin in `order`; one more than there are lists.
    pub(super) starts: Row<4>,
    /// Symbols of the entries of each list.
    pub(super) order: Row<4>,
    /// Where the lists of an entry begin in `of`; one more than there are entries.
    pub(super) of_starts: Row<4>,
    pub(super) of: Row<4>,
}

impl Lists {
    /// The lists as they were added, name by name.
    pub(super) fn new(added: &[(String, Vec<String>)]) -> Self {
        let mut lists = Self::default();
        let count = |length: usize| u32::try_from(length).unwrap_or(u32::MAX);
        let bytes = |length: usize| count(length).to_le_bytes();
        let mut of: Vec<Vec<[u8; 4]>> = Vec::new();
        let (mut starts, mut order) = (Vec::new(), Vec::new());
        for (list, (name, entries)) in added.iter().enumerate() {
            lists.names.push(Cow::Owned(name.clone()));
            starts.push(bytes(order.len()));
            for entry in entries {
                let symbol = lists.words.get_or_insert(entry, count(of.len()));
                if symbol as usize == of.len() {
                    of.push(Vec::new());
                }
                let known = &mut of[symbol as usize];
                if known.last() != Some(&bytes(list)) {
                    known.push(bytes(list));
                    order.push(symbol.to_le_bytes());
                }
            }
        }
        starts.push(bytes(order.len()));
        let (mut of_starts, mut all) = (Vec::new(), Vec::new());
        for known in of {
            of_starts.push(bytes(all.len()));
            all.extend(known);
        }
        of_starts.push(bytes(all.len()));
        Self {
            starts: Cow::Owned(starts),
            order: Cow::Owned(order),
            of_starts: Cow::Owned(of_starts),
            of: Cow::Owned(all),
            ..lists
        }
    }

    /// Whether `word` is an entry of the list with that number.
    pub(super) fn has(&self, list: u32, word: &str) -> bool {
        self.words.get(word).is_some_and(|symbol| {
            part(&self.of, &self.of_starts, symbol).contains(&list.to_le_bytes())
        })
    }
}

/// One list of a [`Lexicon`].
#[derive(Debug, Clone, Copy)]
pub struct List<'l> {
    lists: &'l Lists,
    number: u32,
}

impl<'l> List<'l> {
    /// Whether `word` is an entry, letter by letter.
    #[must_use]
    pub fn has(self, word: &str) -> bool {
        self.lists.has(self.number, word)
    }

    /// Its number among all lists.
    pub(super) fn number(self) -> u32 {
        self.number
    }

    /// The entries in their order.
    pub fn entries(self) -> impl Iterator<Item = &'l str> {
        part(&self.lists.order, &self.lists.starts, self.number)
            .iter()
            .map(|&symbol| self.lists.words.word(u32::from_le_bytes(symbol)))
    }

    /// Whether one of the entries stands in `text`, as part of a word or more.
    #[must_use]
    pub fn within(self, text: &str) -> bool {
        self.entries().any(|entry| text.contains(entry))
    }

    /// Whether `text` begins with one of the entries.
    #[must_use]
    pub fn begins(self, text: &str) -> bool {
        let first = text.bytes().next();
        part(&self.lists.order, &self.lists.starts, self.number)
            .iter()
            .filter_map(|&symbol| {
                let symbol = u32::from_le_bytes(symbol);
                self.lists.words.word_from(symbol, first)
            })
            .any(|entry| text.starts_with(entry))
    }

    /// The bytes with which its entries begin, for whoever asks [`Self::begins`] of a great many texts.
    pub(crate) fn firsts(self) -> Firsts {
        let mut firsts = Firsts([0; 4]);
        for entry in self.entries() {
            match entry.bytes().next() {
                Some(byte) => firsts.0[usize::from(byte >> 6)] |= 1 << (byte & 63),
                None => firsts.0 = [u64::MAX; 4],
            }
        }
        firsts
    }

    /// Whether `text` ends with one of the entries.
    #[must_use]
    pub fn ends(self, text: &str) -> bool {
        self.entries().any(|entry| text.ends_with(entry))
    }
}

/// Bytes with which the entries of a list begin, a bit each.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Firsts([u64; 4]);

impl Firsts {
    /// Whether an entry begins with that byte.
    pub(crate) fn has(self, byte: u8) -> bool {
        self.0[usize::from(byte >> 6)] >> (byte & 63) & 1 != 0
    }
}

/// Which of the lists have `word` as an entry: a bit each, in their order, of at most 32 lists of one [`Lexicon`].
pub(crate) fn among(lists: &[List<'_>], word: &str) -> u32 {
    let Some(all) = lists.first().map(|list| list.lists) else {
        return 0;
    };
    let Some(symbol) = all.words.get(word) else {
        return 0;
    };
    let of = part(&all.of, &all.of_starts, symbol);
    (0..32).zip(lists).fold(0, |bits, (bit, list)| {
        bits | u32::from(of.contains(&list.number.to_le_bytes())) << bit
    })
}

impl Lexicon {
    /// The list called `name`; an empty one when there is none.
    #[must_use]
    pub fn list(&self, name: &str) -> List<'_> {
        let number = self.lists.names.iter().position(|known| known == name);
        List {
            lists: &self.lists,
            number: number
                .and_then(|number| u32::try_from(number).ok())
                .unwrap_or(u32::MAX),
        }
    }

    /// Whether there is a list called `name`.
    #[must_use]
    pub fn has_list(&self, name: &str) -> bool {
        self.lists.names.iter().any(|known| known == name)
    }
}

#[cfg(test)]
mod tests {
    use crate::lexicon::{Builder, Lexicon};
    use crate::pack::{Pack, Reader, Writer};

    #[test]
    fn lists_keep_their_entries_and_their_order() {
        let mut builder = Builder::default();
        for (list, entry) in [
            ("title", "mrs"),
            ("title", "dear sir"),
            ("verb", "says"),
            ("verb", "mrs"),
            ("title", "mrs"),
            ("title", "dr"),
        ] {
            builder.list(list, entry).expect("a good entry");
        }
        let built = builder.build();
        let mut out = Writer::default();
        built.pack(&mut out);
        let mut from = Reader {
            bytes: out.bytes.leak(),
            words: out.words.leak(),
        };
        let packed = Lexicon::unpack(&mut from).expect("what was packed");
        assert!(packed == built, "packing changed something");
        let (title, verb) = (packed.list("title"), packed.list("verb"));
        assert!(title.has("mrs") && verb.has("mrs") && title.has("dear sir"));
        assert!(!title.has("says") && !title.has("Mrs") && !title.has("dear"));
        let entries: Vec<&str> = title.entries().collect();
        assert_eq!(entries, ["mrs", "dear sir", "dr"]);
        assert!(verb.within("he says so") && !verb.within("he said so"));
        assert!(verb.begins("says he") && verb.ends("he says") && !verb.ends("says he"));
        let begins: Vec<u8> = (0..=255).filter(|&byte| title.firsts().has(byte)).collect();
        assert_eq!(begins, *b"dm");
        assert_eq!(super::among(&[verb, title], "mrs"), 0b11);
        assert_eq!(super::among(&[verb, title], "dr"), 0b10);
        assert_eq!(super::among(&[verb, title], "nobody"), 0);
        assert!(!packed.has_list("none") && packed.list("none").entries().next().is_none());
        assert!(!packed.list("none").has("mrs"));
    }

    #[test]
    fn an_entry_without_letters_around_it_is_refused() {
        let mut builder = Builder::default();
        assert!(builder.list("title", "").is_err());
    }
}
