//! Which cables a document speaks of, and which words mean which of them.
//!
//! A cable can be named by a table row or column, a label (`Sample A`, `lead 1`), a name that begins with a capital
//! (`the Tansy`), or a role (`ours`, `the rival`, `zip cord`). What cannot be told apart is not told apart.
//!
//! The list of cables and of the words that stand for them is kept here; the files below find labels and names, and read a
//! sentence by that list. Nothing here knows whose a fact is.

mod firms;
mod introduced;
mod labels;
mod large;
mod listed;
mod mentions;
mod names;
mod titled;
mod typed;

pub(super) use labels::symbol;
pub(super) use mentions::{headed, rivals};
pub(super) use titled::{is_property as property_of, property_over};

use super::context::borders;
use super::terms::Terms;
use crate::lexicon::{Hits, tokenize};
use crate::sheet::{Kind, Sheet};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// A cable as the document calls it.
#[derive(Debug, Clone, Default)]
pub(super) struct Entry {
    /// Its fullest name.
    pub(super) name: String,
    /// Known only by a role (`theirs`, `bell wire`).
    pub(super) role: bool,
    /// Nobody's product: bell wire, the stock leads.
    pub(super) nameless: bool,
    /// Found to be another entry.
    pub(super) merged: bool,
    /// Told of in one sentence, and set against nothing.
    pub(super) alone: bool,
    /// A label that has been given a name.
    named: bool,
}

impl Entry {
    /// Whether it has a name or a label of its own: not a role, and not the one cable that a document tells of.
    pub(super) fn is_named(&self) -> bool {
        !self.role && !self.name.is_empty()
    }
}

/// What a mention means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Means {
    /// That entry.
    Entry(usize),
    /// The first of the last two named.
    Former,
    /// The second of the last two named.
    Latter,
    /// The one that is not in focus.
    Other,
    /// The entry with that place in order.
    Nth(usize),
    /// The last of three and more.
    Last,
    /// The first two of more.
    FirstTwo,
    /// Those that are not in focus.
    Others,
    /// The document's own.
    Ours,
    /// The rival.
    Theirs,
    /// All sides.
    All,
}

/// Words that mean a cable.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mention {
    pub(super) span: Span,
    pub(super) means: Means,
}

/// The cables of a document.
#[derive(Debug, Clone, Default)]
pub(super) struct Roster {
    pub(super) entries: Vec<Entry>,
    /// Aliases to entries.
    by_alias: FxHashMap<String, usize>,
    /// Aliases that two entries would share.
    shared: FxHashSet<String>,
    /// First words of names of several words, which may be those of makers.
    makers: FxHashSet<String>,
    /// Bare letters mean cables.
    lettered: bool,
    /// Longest alias in words.
    longest: usize,
    /// With what words an alias begins.
    starts: Starts,
}

/// The first words of all aliases in bits by their letters: most words of a text are told from them at a glance.
#[derive(Debug, Clone)]
struct Starts {
    bits: [u64; 64],
    /// Numbers of words that aliases have, a bit each: of those that are looked up as they are, of those with `=` and of those
    /// in brackets.
    plain: u64,
    exact: u64,
    marked: u64,
}

impl Default for Starts {
    fn default() -> Self {
        Self {
            bits: [0; 64],
            plain: 0,
            exact: 0,
            marked: 0,
        }
    }
}

impl Starts {
    /// The place of the bit for a word, by its length and its first letters whatever their case.
    fn place(word: &str) -> (usize, u64) {
        let first = match word.as_bytes().first_chunk() {
            Some(&first) => u64::from_le_bytes(first) | 0x2020_2020_2020_2020,
            None => {
                let letters = word.bytes().rev();
                letters.fold(0, |all, letter| all << 8 | u64::from(letter | 0x20))
            }
        };
        // The high bits of a product mix all of its digits (multiplicative hashing; the golden ratio in 64 bits).
        let letters = first ^ (word.len() as u64) << 56;
        let hash = letters.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        (
            usize::try_from(hash >> 58).unwrap_or(0),
            1 << (hash >> 52 & 63),
        )
    }

    fn add(&mut self, alias: &str) {
        let bare = alias.trim_start_matches(['=', '(']);
        let mut tokens = Vec::new();
        tokenize(bare, Span::new(0, bare.len()), &mut tokens);
        if let Some(first) = tokens.first().filter(|first| first.span.start() == 0) {
            let (place, bit) = Self::place(first.span.of(bare));
            self.bits[place] |= bit;
        }
        let kind = match alias.as_bytes().first() {
            Some(b'=') => &mut self.exact,
            Some(b'(') => &mut self.marked,
            _ => &mut self.plain,
        };
        // Where a word ends is told otherwise where something follows it, so one more is allowed for.
        let count = tokens.len().min(62);
        *kind |= if alias.is_ascii() {
            3 << count
        } else {
            u64::MAX
        };
    }

    /// Whether an alias may have so many words.
    fn may_have(kind: u64, words: usize) -> bool {
        words >= 62 || kind >> words & 1 != 0
    }

    fn holds(&self, word: &str) -> bool {
        let (place, bit) = Self::place(word);
        self.bits[place] & bit != 0
    }

    /// Whether an alias may begin with `word`; one with letters outside ASCII always may.
    fn may_begin(&self, word: &str) -> bool {
        if !word.is_ascii() {
            return true;
        }
        let bare = strip_possessive(word);
        self.holds(word) || (bare.len() < word.len() && self.holds(bare))
    }
}

/// Entries among which the fuller name of a table line looks for its shorter one.
const PARTS: usize = 256;

/// What tells that a name is that of a cable when it stands near: places by sentence, in reading order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Told<'t> {
    /// Sizes of conductors.
    pub(super) sizes: &'t [(usize, Span)],
    /// Lengths.
    pub(super) lengths: &'t [(usize, Span)],
    /// Resistances per length.
    pub(super) measures: &'t [(usize, Span)],
}

impl Roster {
    /// Finds the cables of `sheet`.
    pub(super) fn read(sheet: &Sheet, hits: &Hits, terms: &Terms, told: Told<'_>) -> Self {
        let mut roster = Self::default();
        roster.find_labels(sheet, hits, terms);
        roster.find_opposed(sheet, terms);
        roster.find_types(sheet);
        roster.find_points(sheet, terms);
        roster.find_under_properties(sheet, terms);
        roster.find_names(sheet, hits, terms, told);
        roster.join_plurals();
        roster
    }

    /// “My Alders”, beside the Alder: the name with the sign of the plural is that of the same cable.
    fn join_plurals(&mut self) {
        let named = |entry: &Entry| !entry.role && !entry.merged;
        for one in 0..self.entries.len().min(PARTS) {
            let name = self.entries[one].name.to_lowercase();
            let letters = name.chars().filter(|letter| letter.is_alphabetic()).count();
            let word = letters > 3
                && letters == name.chars().count()
                && self.entries[one].name.starts_with(char::is_uppercase);
            if !word || !named(&self.entries[one]) {
                continue;
            }
            let hissing = ["ch", "sh", "x", "z", "s"];
            let sign = if hissing.iter().any(|end| name.ends_with(end)) {
                "es"
            } else {
                "s"
            };
            let plural = name + sign;
            match self.by_alias.get(&plural).copied() {
                Some(many) if many != one && named(&self.entries[many]) => {
                    for place in self.by_alias.values_mut().filter(|place| **place == many) {
                        *place = one;
                    }
                    self.entries[many].merged = true;
                }
                Some(_) => {}
                None => self.alias(one, &plural),
            }
        }
    }

    /// The cable that a document calls its own, where nothing stands beside it but a rival of no name.
    pub(super) fn ours_beside_rival(&self) -> Option<usize> {
        let place = |name: &str| self.by_alias.get(name).copied();
        let (own, rival) = (place("ours")?, place("the rival")?);
        (own != rival).then_some(own)
    }

    /// Adds a cable and returns its place; a known name gives the known place.
    pub(super) fn add(&mut self, name: &str, role: bool) -> usize {
        let alias = name.to_lowercase();
        if let Some(&known) = self.by_alias.get(&alias) {
            return known;
        }
        let place = self.entries.len();
        self.entries.push(Entry {
            name: name.to_owned(),
            role,
            ..Entry::default()
        });
        self.alias(place, &alias);
        place
    }

    /// Adds the cable of a table row or column; its name may stand for it in the text as well.
    pub(super) fn add_line(&mut self, name: &str, key: &str) -> usize {
        let name = name.trim();
        let plain = !name.is_empty() && name.len() <= 40;
        if plain && let Some(&known) = self.by_alias.get(&name.to_lowercase()) {
            return known;
        }
        // The row of sample A is called A.
        if name.len() == 1
            && name.starts_with(|letter: char| letter.is_ascii_uppercase())
            && let Some(&known) = self.by_alias.get(&format!("={name}"))
            && !self.entries[known].merged
        {
            return known;
        }
        // "CABLE I “Corvel Reed”" is the one that the text calls Cable I.
        let words: Vec<&str> = name.split_whitespace().collect();
        if let [noun, label, _, ..] = words.as_slice()
            && label.len() <= 4
            && let Some(&known) = self.by_alias.get(&format!("{noun} {label}").to_lowercase())
        {
            return known;
        }
        if plain {
            // Names from the text come first, and there are few of them.
            let last = words.last().copied();
            let part = (0..self.entries.len().min(PARTS)).find(|&place| {
                let entry = &self.entries[place];
                !entry.role
                    && !entry.merged
                    && (last == Some(entry.name.as_str()) || is_bracketed(&entry.name, name))
            });
            if let Some(place) = part {
                name.clone_into(&mut self.entries[place].name);
                self.alias(place, &name.to_lowercase());
                return place;
            }
        }
        self.add_new(name, key)
    }

    /// Adds a cable that is none of those known, whatever it is called.
    pub(super) fn add_new(&mut self, name: &str, key: &str) -> usize {
        // `lead "K"` is called lead K, and the mark of a footnote is no part of a name.
        let bare: String = name
            .chars()
            .filter(|sign| !matches!(sign, '"' | '“' | '”' | '«' | '»'))
            .collect();
        let name = bare
            .trim_end_matches("(*)")
            .trim_matches(['*', ' ', '†', '‡']);
        let plain = !name.is_empty() && name.len() <= 40;
        let place = self.entries.len();
        self.entries.push(Entry {
            name: if plain {
                name.to_owned()
            } else {
                format!("line {key}")
            },
            ..Entry::default()
        });
        if plain && name.chars().any(char::is_alphabetic) {
            if name.len() == 1 {
                self.alias(place, &format!("={name}"));
            } else {
                self.alias(place, &name.to_lowercase());
            }
            let words: Vec<&str> = name.split_whitespace().collect();
            if let [_, letter] = words.as_slice()
                && letter.len() == 1
                && letter.starts_with(|letter: char| letter.is_ascii_uppercase())
                && !matches!(*letter, "A" | "I")
            {
                self.alias_unless_shared(place, &format!("={letter}"));
            }
            if words.len() > 1 {
                for word in [words[words.len() - 1], words[0]] {
                    if word.len() > 2 && word.starts_with(|letter: char| letter.is_uppercase()) {
                        self.alias_unless_shared(place, &format!("={word}"));
                    }
                }
                self.makers.insert(words[0].to_owned());
            }
        }
        place
    }

    /// A line of a table that is headed by a place, as the text calls it: “the front pair” for `front L and R`.
    pub(super) fn called_by_place(&mut self, place: usize, name: &str, terms: &Terms<'_>) {
        let first = name.split_whitespace().next().unwrap_or("");
        if first.len() < 3 || !first.chars().all(|letter| letter.is_ascii_lowercase()) {
            return;
        }
        for noun in terms.lists.name_placed.entries() {
            self.alias_unless_shared(place, &format!("{first} {noun}"));
        }
    }

    /// Another name of an entry: two words or three that begin with a capital; its last word alone may stand for it.
    pub(super) fn also(&mut self, place: usize, name: &str) {
        let words: Vec<&str> = name.split_whitespace().collect();
        let named = words.len() <= 3
            && words
                .iter()
                .all(|word| word.starts_with(|letter: char| letter.is_uppercase()));
        let Some(last) = words.last().filter(|word| named && word.len() > 2) else {
            return;
        };
        self.alias_unless_shared(place, &name.to_lowercase());
        self.alias_unless_shared(place, &format!("={last}"));
    }

    /// An alias that two cables would share belongs to neither.
    fn alias_unless_shared(&mut self, place: usize, alias: &str) {
        match self.by_alias.get(alias) {
            Some(&known) if known != place => {
                self.by_alias.remove(alias);
                self.shared.insert(alias.to_owned());
            }
            _ if self.shared.contains(alias) => {}
            _ => self.alias(place, alias),
        }
    }

    /// The name of each entry, and whether it is one of its own. None is looked for any more: what they were looked up in goes.
    pub(super) fn all_found(&mut self) -> impl Iterator<Item = (String, bool)> + '_ {
        self.by_alias = FxHashMap::default();
        self.shared = FxHashSet::default();
        self.makers = FxHashSet::default();
        self.entries.iter_mut().map(|entry| {
            let named = entry.is_named();
            (std::mem::take(&mut entry.name), named)
        })
    }

    /// Entries that are known by more than a role.
    pub(super) fn named(&self) -> Vec<usize> {
        (0..self.entries.len())
            .filter(|&place| !self.entries[place].role && !self.entries[place].merged)
            .collect()
    }

    /// Whether a word of these already means a cable.
    pub(super) fn knows(&self, words: &[String]) -> bool {
        words
            .iter()
            .any(|word| self.by_alias.contains_key(word.as_str()))
    }

    pub(super) fn alias(&mut self, place: usize, alias: &str) {
        if self.by_alias.contains_key(alias) {
            return;
        }
        // "LS-25" is two words.
        let words = alias.split(|letter: char| !letter.is_alphanumeric());
        let words = words.filter(|word| !word.is_empty()).count();
        self.longest = self.longest.max(alias.split(' ').count()).max(words);
        self.starts.add(alias);
        self.by_alias.insert(alias.to_owned(), place);
    }
}

/// Whether a name in a line is a known one with a remark in brackets behind it: “Skerry (ours)”.
fn is_bracketed(known: &str, name: &str) -> bool {
    name.strip_prefix(known).is_some_and(|rest| {
        let rest = rest.trim();
        rest.starts_with('(') && rest.ends_with(')')
    })
}

/// Whether a lone `A` is a label and no article: not followed by a word in lower case.
fn lone_label(text: &str, span: Span) -> bool {
    let after = text.get(span.end()..).unwrap_or("");
    let mut letters = after.chars();
    let next = letters.next().unwrap_or(' ');
    let second = letters.next().unwrap_or(' ');
    next != ' ' || !second.is_lowercase()
}

fn strip_possessive(name: &str) -> &str {
    if !name.ends_with('s') {
        return name;
    }
    name.strip_suffix("'s")
        .or_else(|| name.strip_suffix("’s"))
        .unwrap_or(name)
}

/// Whether two spans stand within `reach` bytes and so many clause borders of each other.
pub(super) fn within(text: &str, a: Span, b: Span, reach: usize, most: usize) -> bool {
    if a.overlaps(b) {
        return true;
    }
    let between = if a.end() <= b.start() {
        Span::new(a.end(), b.start())
    } else {
        Span::new(b.end(), a.start())
    };
    between.len() <= reach && borders(between.of(text)) <= most
}

/// Whether a quantity states a conductor size.
pub(super) fn is_size(kind: Kind) -> bool {
    matches!(kind, Kind::Gauge | Kind::Area | Kind::Strands)
}
