//! Which cables a document speaks of, and which words mean which of them.
//!
//! A cable can be named by a table row or column, a label (`Sample A`, `lead 1`), a name that begins with a capital
//! (`the Tansy`), or a role (`ours`, `the rival`, `zip cord`). What cannot be told apart is not told apart.
//!
//! Long: which words mean which cable is one decision; each way of naming gives way to the others.

use super::context::borders;
use super::terms::Terms;
use crate::lexicon::{Hits, Token, tokenize};
use crate::sheet::{BlockKind, Kind, Sheet};
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
    /// A label that has been given a name.
    named: bool,
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
    /// Bare letters mean cables.
    lettered: bool,
    /// Longest alias in words.
    longest: usize,
    /// With what words an alias begins.
    starts: Starts,
}

/// The first words of all aliases by first letter and length: most words of a text are told from them at a glance.
#[derive(Debug, Clone)]
struct Starts {
    /// For each first byte, in lower case, the lengths in bytes, one bit each.
    lengths: [u64; 256],
}

impl Default for Starts {
    fn default() -> Self {
        Self { lengths: [0; 256] }
    }
}

impl Starts {
    fn bit(length: usize) -> u64 {
        1 << length.min(63)
    }

    fn add(&mut self, alias: &str) {
        let bare = alias.trim_start_matches(['=', '(']);
        let mut tokens = Vec::new();
        tokenize(bare, Span::new(0, bare.len()), &mut tokens);
        if let (Some(first), Some(&byte)) = (tokens.first(), bare.as_bytes().first()) {
            self.lengths[usize::from(byte.to_ascii_lowercase())] |= Self::bit(first.span.len());
        }
    }

    /// Whether an alias may begin with `word`; one with letters outside ASCII always may.
    fn may_begin(&self, word: &str) -> bool {
        let Some(byte) = word.bytes().next() else {
            return false;
        };
        let lengths = self.lengths[usize::from(byte.to_ascii_lowercase())];
        lengths & (Self::bit(word.len()) | Self::bit(strip_possessive(word).len())) != 0
            || !word.is_ascii()
    }
}

/// Entries among which the fuller name of a table line looks for its shorter one.
const PARTS: usize = 256;

/// Nouns that a label follows: `Sample A`, `lead 1`.
const LABEL_NOUNS: &[&str] = &[
    "sample",
    "number",
    "cable",
    "lead",
    "wire",
    "set",
    "pair",
    "flex",
    "specimen",
    "candidate",
    "contender",
    "item",
    "type",
    "option",
    "road",
    "model",
    "version",
    "test",
    "side",
    "cord",
    "line",
    "loom",
    "channel",
    "bulb",
    "lamp",
    "system",
    "rig",
    "position",
    "circuit",
    "path",
    "exhibit",
    "entrant",
    "contestant",
    "runner",
    "product",
    "reel",
    "drum",
    "coil",
    "string",
    "kabel",
    "probe",
    "muster",
];

/// Capitalised words that name no cable.
const COMMON: &[&str] = &[
    "i",
    "the",
    "a",
    "an",
    "and",
    "or",
    "but",
    "so",
    "if",
    "in",
    "on",
    "at",
    "it",
    "he",
    "she",
    "we",
    "you",
    "they",
    "this",
    "that",
    "these",
    "those",
    "our",
    "my",
    "his",
    "her",
    "their",
    "its",
    "one",
    "two",
    "three",
    "first",
    "second",
    "third",
    "then",
    "now",
    "here",
    "there",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
    "mr",
    "mrs",
    "ms",
    "miss",
    "dr",
    "sir",
    "madam",
    "madame",
    "professor",
    "awg",
    "ofc",
    "cca",
    "ac",
    "dc",
    "hz",
    "khz",
    "db",
    "iec",
    "abx",
    "hi",
    "fi",
    "hifi",
    "usa",
    "uk",
    "eu",
    "english",
    "german",
    "british",
    "american",
    "french",
    "copper",
    "silver",
    "cables",
    "leads",
    "wires",
    "seller",
    "re",
    "amplifier",
    "loudspeaker",
    "loudspeakers",
    "speaker",
    "speakers",
    "pvc",
    "ptfe",
    "pe",
    "teflon",
    "cl2",
    "cl3",
    "ohm",
    "ohms",
    "sample",
    "cable",
    "lead",
    "wire",
    "room",
    "hall",
    "table",
    "fig",
    "figure",
    "page",
    "note",
    "not",
    "no",
    "yes",
    "question",
    "answer",
    "result",
    "results",
    "verdict",
    "conclusion",
    "method",
    "both",
    "all",
    "each",
    "which",
    "what",
    "when",
    "where",
    "why",
    "how",
    "with",
    "from",
    "for",
    "after",
    "before",
    "same",
    "another",
    "other",
    "as",
    "by",
    "to",
    "of",
    "is",
    "was",
    "are",
    "were",
    "be",
    "do",
    "did",
    "does",
    "nothing",
    "everything",
    "nobody",
    "everybody",
    "some",
    "copper",
    "step",
    "load",
    "round",
    "group",
    "annex",
    "appendix",
    "night",
    "stand",
    "hall",
    "club",
    "society",
    "street",
    "road",
    "lane",
    "yard",
    "works",
    "company",
    "audio",
    "ltd",
    "limited",
    "inc",
    "gmbh",
    "editor",
    "secretary",
    "treasurer",
    "chairman",
    "president",
    "committee",
    "rector",
    "captain",
    "colonel",
    "swg",
    "z0",
    "xlpe",
];

/// Number words, which can end a name (`Alloy One`) and label a cable (`lead two`).
const NUMBERS: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight",
];

/// Words after a capitalised name that show a person.
const SPEECH: &[&str] = &[
    "said",
    "says",
    "asked",
    "asks",
    "told",
    "tells",
    "thinks",
    "thought",
    "writes",
    "wrote",
    "remarked",
    "explained",
    "explains",
    "added",
    "adds",
    "laughs",
    "nods",
    "replied",
    "replies",
    "scored",
    "got",
    "heard",
    "hears",
    "votes",
    "sat",
];

/// Words before a capitalised name that tell what a person does.
const OFFICES: &[&str] = &[
    "founder",
    "engineer",
    "designer",
    "director",
    "manager",
    "owner",
    "boss",
    "correspondent",
    "reviewer",
    "listener",
    "chief",
    "chairman",
    "secretary",
    "treasurer",
    "editor",
    "colleague",
    "friend",
    "neighbour",
    "neighbor",
    "reader",
    "customer",
    "demonstrator",
    "presenter",
    "importer",
    "physicist",
    "wife",
    "husband",
    "brother",
    "sister",
    "son",
    "daughter",
];

/// Words after a capitalised name that show a place or a firm.
const NOT_AFTER: &[&str] = &[
    "works",
    "stand",
    "hall",
    "fair",
    "street",
    "society",
    "club",
    "meeting",
    "laboratory",
    "workshop",
    "company",
    "studio",
    "room",
    "show",
];

/// Titles of persons.
const TITLES: &[&str] = &[
    "mr",
    "mrs",
    "ms",
    "miss",
    "dr",
    "sir",
    "dear",
    "prof",
    "professor",
    "uncle",
    "aunt",
    "madam",
];

/// Words before a capitalised name that show a place or a writer.
const NOT_BEFORE: &[&str] = &[
    "by", "in", "at", "near", "from", "room", "hall", "street", "st", "photo", "editor",
];

/// Words before a name that speak for a thing with a name.
const BEFORE: &[&str] = &[
    "the", "our", "his", "their", "of", "a", "with", "called", "named", "against", "to", "than",
    "my",
];

impl Roster {
    /// Finds the cables of `sheet`.
    pub(super) fn read(
        sheet: &Sheet,
        hits: &Hits,
        terms: &Terms,
        sizes: &[(usize, Span)],
        lengths: &[(usize, Span)],
    ) -> Self {
        let mut roster = Self::default();
        roster.find_labels(sheet);
        roster.find_names(sheet, hits, terms, sizes, lengths);
        roster
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
        if plain {
            // Names from the text come first, and there are few of them.
            let part = (0..self.entries.len().min(PARTS)).find(|&place| {
                let entry = &self.entries[place];
                !entry.role
                    && !entry.merged
                    && name.split_whitespace().next_back() == Some(entry.name.as_str())
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
        let name = name.trim();
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
            if words.len() > 1 {
                for word in [words[words.len() - 1], words[0]] {
                    if word.len() > 2 && word.starts_with(|letter: char| letter.is_uppercase()) {
                        self.alias_unless_shared(place, &format!("={word}"));
                    }
                }
            }
        }
        place
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

    /// Entries that are known by more than a role.
    pub(super) fn named(&self) -> Vec<usize> {
        (0..self.entries.len())
            .filter(|&place| !self.entries[place].role && !self.entries[place].merged)
            .collect()
    }

    /// `Cable X is the Larkenhall Ember`: a label and a name that are said to be one become one.
    pub(super) fn merge_labels(&mut self, sheet: &Sheet, hits: &Hits, terms: &Terms) {
        let text = sheet.flow.text();
        let labelled =
            |name: &str| name.len() == 1 || LABEL_NOUNS.iter().any(|noun| name.starts_with(noun));
        if !self.entries.iter().any(|entry| labelled(&entry.name)) {
            return;
        }
        for sentence in 0..sheet.sentences.len() {
            let mentions = self.mentions(sheet, hits, terms, sentence);
            for pair in mentions.windows(2) {
                let (Means::Entry(a), Means::Entry(b)) = (pair[0].means, pair[1].means) else {
                    continue;
                };
                if a == b || pair[0].span.end > pair[1].span.start {
                    continue;
                }
                let between = Span::new(pair[0].span.end, pair[1].span.start)
                    .of(text)
                    .trim()
                    .to_lowercase();
                // "Number one hung on the Tessel Prime": what a label did up to the name, unless that sets it against the name.
                let span = Span::new(pair[0].span.end, pair[1].span.start);
                let told = span.of(text);
                let opposed = hits.of(sentence).iter().any(|hit| {
                    span.contains(hit.span)
                        && (hit.concept == terms.better || hit.concept == terms.strong)
                });
                let hung = told.len() <= 34
                    && !opposed
                    && [" on ", " to ", " was ", " is ", " had ", " got ", " by "]
                        .iter()
                        .any(|word| told.contains(word))
                    && !told.contains([',', ';', '.'])
                    && ![" and ", " than ", " against ", " or ", " not "]
                        .iter()
                        .any(|word| told.contains(word));
                let joined =
                    hung || matches!(
                        between.as_str(),
                        "=" | ":"
                            | ","
                            | "("
                            | "is"
                            | "is the"
                            | "is our"
                            | "was"
                            | "was the"
                            | "being the"
                            | "= the"
                            | ", the"
                            | "(the"
                            | ""
                            | "."
                    ) || (between.ends_with(" is the") && between.len() < 30);
                let label = |place: usize| labelled(&self.entries[place].name);
                // Side by side without a word between, the label comes first: "lead S (Sandhaven Quartet)".
                let ordered = label(a) || !between.is_empty();
                if joined && ordered && (label(a) != label(b)) {
                    let (keep, drop) = if label(a) { (a, b) } else { (b, a) };
                    if self.entries[keep].named || self.entries[drop].merged {
                        continue;
                    }
                    self.merge(keep, drop);
                }
            }
        }
    }

    fn merge(&mut self, keep: usize, drop: usize) {
        for place in self.by_alias.values_mut() {
            if *place == drop {
                *place = keep;
            }
        }
        let name = std::mem::take(&mut self.entries[drop].name);
        self.entries[keep].name = name;
        self.entries[keep].named = true;
        self.entries[drop].merged = true;
    }

    /// How many cables bear a label, as the sides of a test do.
    pub(super) fn labelled(&self) -> usize {
        self.entries
            .iter()
            .filter(|entry| !entry.merged)
            .filter(|entry| {
                entry.named
                    || entry.name.split_once(' ').is_some_and(|(noun, label)| {
                        LABEL_NOUNS.contains(&noun)
                            && (label.len() == 1 || NUMBERS.contains(&label))
                    })
            })
            .count()
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
        self.longest = self.longest.max(alias.split(' ').count());
        self.starts.add(alias);
        self.by_alias.insert(alias.to_owned(), place);
    }

    /// `Sample A`, `lead 1`, `wire P`, told by a noun and a single letter or a small number after it, at least two of a kind.
    fn find_labels(&mut self, sheet: &Sheet) {
        let text = sheet.flow.text();
        let mut tokens = Vec::new();
        let mut found: Vec<(String, String)> = Vec::new();
        for sentence in &sheet.sentences {
            tokenize(text, sentence.span, &mut tokens);
            for pair in tokens.windows(2) {
                let label = pair[1].span.of(text);
                let adjacent = pair[1].span.start == pair[0].span.end + 1;
                let single = label.len() == 1
                    && label
                        .chars()
                        .all(|letter| letter.is_ascii_uppercase() || letter.is_ascii_digit());
                let single = single
                    || (label.len() == 2
                        && label.starts_with(|letter: char| letter.is_ascii_uppercase())
                        && label.ends_with(|digit: char| digit.is_ascii_digit()));
                let counted = NUMBERS
                    .iter()
                    .any(|number| number.eq_ignore_ascii_case(label));
                if !adjacent || !(single || counted) {
                    continue;
                }
                let noun = pair[0].span.of(text).to_lowercase();
                if LABEL_NOUNS.contains(&noun.as_str()) {
                    let known = (
                        noun,
                        if counted {
                            label.to_lowercase()
                        } else {
                            label.to_owned()
                        },
                    );
                    if !found.contains(&known) {
                        found.push(known);
                    }
                }
            }
        }
        self.find_marks(sheet);
        if found.is_empty() {
            self.find_letters(sheet);
        }
        for (noun, label) in &found {
            let kin = found.iter().filter(|(other, _)| other == noun).count();
            if !(2..=8).contains(&kin) {
                continue;
            }
            let place = self.add(&format!("{noun} {label}"), false);
            if label.starts_with(|letter: char| letter.is_ascii_uppercase())
                && label != "I"
                && label != "A"
            {
                self.alias(place, &format!("={label}"));
            } else if label == "A" {
                self.alias(place, "=A");
            }
        }
    }

    /// "Switch to A. A is the house cable": letters that are said of things again and again, two of a kind.
    fn find_letters(&mut self, sheet: &Sheet) {
        const PAIRS: &[[&str; 2]] = &[["A", "B"], ["X", "Y"], ["P", "Q"], ["S", "T"], ["K", "L"]];
        const VERBS: &[&str] = &[
            "is", "was", "has", "had", "gets", "got", "are", "were", "being", "carries", "uses",
            "won", "wins",
        ];
        let text = sheet.flow.text();
        let mut tokens = Vec::new();
        let mut counts: FxHashMap<String, (usize, usize)> = FxHashMap::default();
        for sentence in &sheet.sentences {
            let block = &sheet.blocks[sentence.block];
            if matches!(
                block.kind,
                BlockKind::Heading { .. } | BlockKind::Cell { .. }
            ) {
                continue;
            }
            tokenize(text, sentence.span, &mut tokens);
            for (at, token) in tokens.iter().enumerate() {
                let word = token.span.of(text);
                let letter =
                    word.len() == 1 && word.starts_with(|letter: char| letter.is_ascii_uppercase());
                if !letter {
                    continue;
                }
                let next = tokens.get(at + 1).map_or("", |next| next.span.of(text));
                let before = at
                    .checked_sub(1)
                    .map_or("", |before| tokens[before].span.of(text));
                let initial = text
                    .get(token.span.end..)
                    .is_some_and(|after| after.starts_with('.'))
                    && (before.is_empty() || before.starts_with(char::is_uppercase))
                    && next.starts_with(char::is_uppercase);
                let unit = before.ends_with(|last: char| last.is_ascii_digit());
                let verb = VERBS.contains(&next);
                if initial || unit || (word == "A" && !lone_label(text, token.span) && !verb) {
                    continue;
                }
                let count = counts.entry(word.to_owned()).or_default();
                count.0 += 1;
                count.1 += usize::from(verb);
            }
        }
        for pair in PAIRS {
            let of = |letter: &str| counts.get(letter).copied().unwrap_or_default();
            let (first, second) = (of(pair[0]), of(pair[1]));
            if first.0 >= 2 && second.0 >= 2 && first.1 >= 1 && second.1 >= 1 {
                for letter in pair {
                    let place = self.entries.len();
                    self.entries.push(Entry {
                        name: (*letter).to_owned(),
                        ..Entry::default()
                    });
                    self.alias(place, &format!("={letter}"));
                    self.lettered = true;
                }
            }
        }
    }

    /// `(i) our own pair, and (ii) the one lent to us`: marks in one sentence that set two things apart.
    fn find_marks(&mut self, sheet: &Sheet) {
        let text = sheet.flow.text();
        for sentence in &sheet.sentences {
            let words = sentence.span.of(text);
            for marks in [["(i)", "(ii)", "(iii)"], ["(a)", "(b)", "(c)"]] {
                if words.contains(marks[0]) && words.contains(marks[1]) {
                    for mark in marks.into_iter().filter(|mark| words.contains(mark)) {
                        self.add(mark, false);
                    }
                }
            }
        }
    }

    /// Names that begin with a capital inside a sentence and behave like a cable.
    fn find_names(
        &mut self,
        sheet: &Sheet,
        hits: &Hits,
        terms: &Terms,
        sizes: &[(usize, Span)],
        lengths: &[(usize, Span)],
    ) {
        let text = sheet.flow.text();
        let mut tokens: Vec<Token> = Vec::new();
        let mut scores: FxHashMap<String, i32> = FxHashMap::default();
        let mut order: Vec<String> = Vec::new();
        let mut people: FxHashSet<String> = FxHashSet::default();
        let mut inside: FxHashSet<String> = FxHashSet::default();
        let mut starts: FxHashMap<String, i32> = FxHashMap::default();
        let mut frames: FxHashMap<String, String> = FxHashMap::default();
        for (index, sentence) in sheet.sentences.iter().enumerate() {
            let block = &sheet.blocks[sentence.block];
            if matches!(block.kind, BlockKind::Heading { .. }) {
                continue;
            }
            tokenize(text, sentence.span, &mut tokens);
            let key_end = block.key.map_or(0, |key| key.end);
            let listed = coordinated(text, &tokens, hits.of(index), terms);
            let mut at = 0;
            while at < tokens.len() {
                let Some(run) = name_run(text, &tokens, at) else {
                    at += 1;
                    continue;
                };
                let first = tokens[at].span;
                let last = tokens[at + run - 1].span;
                let span = first.join(last);
                let name = strip_possessive(span.of(text)).to_owned();
                let before = at
                    .checked_sub(1)
                    .map(|index| tokens[index].span.of(text).to_lowercase());
                let after = tokens
                    .get(at + run)
                    .map(|token| token.span.of(text).to_lowercase());
                // More capitals behind: the name of a fair, a house or a title, not of a cable.
                let more = tokens.get(at + run).is_some_and(|token| {
                    let word = token.span.of(text);
                    run == 3
                        && word.starts_with(char::is_uppercase)
                        && Span::new(span.end, token.span.start).of(text) == " "
                });
                at += run;
                if more {
                    while tokens
                        .get(at)
                        .is_some_and(|token| token.span.of(text).starts_with(char::is_uppercase))
                    {
                        at += 1;
                    }
                    continue;
                }
                if span.start < key_end {
                    continue;
                }
                // A number or a step before it does not put a word inside a sentence.
                let led = at
                    .checked_sub(run + 1)
                    .map(|index| tokens[index].span)
                    .filter(|word| Span::new(word.end, span.start).of(text).trim().len() <= 1)
                    .filter(|word| word.of(text).starts_with(char::is_alphabetic));
                let lone_start = run == 1 && led.is_none();
                if after
                    .as_deref()
                    .is_some_and(|word| LABEL_NOUNS.contains(&word))
                    && lone_start
                {
                    continue;
                }
                // "Nightjar, the new cable of the works": what it is stands behind it.
                let apposed = apposition(text, &tokens, at, hits.of(index), terms);
                if led.is_some() || run > 1 || apposed {
                    inside.insert(name.clone());
                }
                let mut score = 0;
                if apposed {
                    score += 3;
                }
                // "Three cables went round: Gale, Squall and Zephyr."
                if listed.iter().any(|other| other.overlaps(span)) {
                    score += 3;
                    inside.insert(name.clone());
                }
                let titled = before
                    .as_deref()
                    .is_some_and(|word| TITLES.contains(&word) || OFFICES.contains(&word));
                if after
                    .as_deref()
                    .is_some_and(|word| NOT_AFTER.contains(&word))
                {
                    continue;
                }
                let thing = before
                    .as_deref()
                    .is_some_and(|word| matches!(word, "the" | "our" | "a"));
                if titled || (!thing && after.as_deref().is_some_and(|word| SPEECH.contains(&word)))
                {
                    people.insert(name.clone());
                    continue;
                }
                if before
                    .as_deref()
                    .is_some_and(|word| NOT_BEFORE.contains(&word))
                {
                    continue;
                }
                // "The round Coppice" as well as "the Coppice".
                let led_by = at
                    .checked_sub(run + 2)
                    .map(|index| tokens[index].span.of(text).to_lowercase())
                    .filter(|word| matches!(word.as_str(), "the" | "our" | "their" | "his"))
                    .filter(|_| {
                        led.is_some_and(|word| word.of(text).starts_with(char::is_lowercase))
                    });
                if before.as_deref().is_some_and(|word| BEFORE.contains(&word)) || led_by.is_some()
                {
                    score += 2;
                }
                let near_cable = hits
                    .of(index)
                    .iter()
                    .any(|hit| hit.concept == terms.cable && close(text, span, hit.span, 12));
                if near_cable {
                    score += 2;
                }
                if sizes
                    .iter()
                    .any(|&(at, size)| at == index && within(text, span, size, 60, 1))
                {
                    score += 2;
                }
                if hits
                    .of(index)
                    .iter()
                    .any(|hit| hit.concept == terms.versus && close(text, span, hit.span, 24))
                {
                    score += 1;
                }
                // "The Culm got five votes and the Fescue three."
                if before.as_deref() == Some("the")
                    && run == 1
                    && sheet.tables.is_empty()
                    && hits
                        .of(index)
                        .iter()
                        .any(|hit| hit.concept == terms.vote && close(text, span, hit.span, 24))
                {
                    score += 1;
                }
                let told = |concept| {
                    hits.of(index)
                        .iter()
                        .any(|hit| hit.concept == concept && within(text, span, hit.span, 40, 1))
                };
                if told(terms.copper)
                    || told(terms.silver)
                    || told(terms.aluminium)
                    || told(terms.cca)
                {
                    score += 1;
                }
                if run > 1 && led.is_some() {
                    score += 1;
                }
                // "The Sallow was 7 m."
                if lengths
                    .iter()
                    .any(|&(at, length)| at == index && within(text, span, length, 30, 0))
                {
                    score += 1;
                }
                if lone_start && !apposed {
                    score -= 2;
                    starts
                        .entry(name.clone())
                        .and_modify(|count| *count += 1)
                        .or_insert(1);
                }
                // "For the Larch we set 8 V. For the Alder we set 7 V."
                if let (Some(before), Some(after), Some(start)) =
                    (before.as_deref(), after.as_deref(), at.checked_sub(run + 2))
                {
                    let frame = format!(
                        "{} {before} _ {after}",
                        tokens[start].span.of(text).to_lowercase()
                    );
                    match frames.entry(frame) {
                        std::collections::hash_map::Entry::Vacant(free) => {
                            free.insert(name.clone());
                        }
                        std::collections::hash_map::Entry::Occupied(known)
                            if *known.get() != name =>
                        {
                            score += 2;
                            if let Some(other) = scores.get_mut(known.get()) {
                                *other += 2;
                            }
                        }
                        std::collections::hash_map::Entry::Occupied(_) => {}
                    }
                }
                let entry = scores.entry(name.clone()).or_insert_with(|| {
                    order.push(name.clone());
                    0
                });
                *entry += score + 1;
            }
        }
        let chosen: Vec<String> = order
            .iter()
            .filter(|name| {
                // Whoever is named inside a sentence may begin another.
                scores[*name] + starts.get(*name).copied().unwrap_or(0) >= 4
                    && inside.contains(*name)
                    && !people.iter().any(|person| shares_word(person, name))
            })
            .cloned()
            .collect();
        self.adopt(&chosen);
    }

    /// Turns names into entries; a name whose words all stand in a longer one is that one.
    fn adopt(&mut self, names: &[String]) {
        let mut longest_first: Vec<&String> = names.iter().collect();
        longest_first.sort_by_key(|name| std::cmp::Reverse(name.split(' ').count()));
        let mut full: Vec<&String> = Vec::new();
        for name in longest_first {
            let part = full
                .iter()
                .any(|long| long.split(' ').any(|word| word.eq_ignore_ascii_case(name)));
            if !part {
                full.push(name);
            }
        }
        full.sort_by_key(|name| names.iter().position(|known| known == *name));
        for name in &full {
            let place = self.add(name, false);
            let words: Vec<&str> = name.split(' ').collect();
            if words.len() > 1 {
                for word in [words[words.len() - 1], words[0]] {
                    let shared = full
                        .iter()
                        .filter(|other| other.split(' ').any(|part| part == word))
                        .count();
                    if shared == 1 && word.len() > 2 {
                        self.alias(place, &format!("={word}"));
                    }
                }
            }
        }
    }

    /// Words of a sentence that mean a cable, in order.
    pub(super) fn mentions(
        &self,
        sheet: &Sheet,
        hits: &Hits,
        terms: &Terms,
        sentence: usize,
    ) -> Vec<Mention> {
        let text = sheet.flow.text();
        let span = sheet.sentences[sentence].span;
        let mut mentions = self.called(text, span);
        // "The one is 14 AWG and so is the other": what is said holds for both.
        if let Some(alike) = hits
            .of(sentence)
            .iter()
            .find(|hit| hit.concept == terms.alike)
        {
            let start = mentions
                .first()
                .map_or(span.start, |first| first.span.start);
            return vec![Mention {
                span: Span::new(start.min(alike.span.start), start.min(alike.span.start)),
                means: Means::All,
            }];
        }
        for hit in hits.of(sentence) {
            let means = match hit.concept {
                concept if concept == terms.former => Means::Former,
                concept if concept == terms.latter => Means::Latter,
                concept if concept == terms.other => Means::Other,
                concept if concept == terms.third => Means::Nth(2),
                concept if concept == terms.first_two => Means::FirstTwo,
                concept if concept == terms.others => Means::Others,
                concept if concept == terms.ours => Means::Ours,
                concept if concept == terms.theirs => Means::Theirs,
                concept
                    if concept == terms.both
                        && hits.of(sentence).iter().any(|other| {
                            other.concept == terms.both_not && other.span.overlaps(hit.span)
                        }) =>
                {
                    continue;
                }
                concept if concept == terms.both => {
                    let per = hits.of(sentence).iter().any(|other| {
                        (other.concept == terms.size_per
                            || other.concept == terms.r_single
                            || other.concept == terms.parallel)
                            && other.span.overlaps(hit.span)
                            && other.span.len() > hit.span.len()
                    });
                    // "(ii) the pair lent to us": one label with what it stands for.
                    let labelled = mentions.iter().any(|known| {
                        known.span.end <= hit.span.start
                            && matches!(
                                Span::new(known.span.end, hit.span.start).of(text),
                                " " | ") " | ": " | ", "
                            )
                            && hit.span.of(text).eq_ignore_ascii_case("the pair")
                    });
                    if per || labelled {
                        continue;
                    }
                    Means::All
                }
                _ => continue,
            };
            if mentions.iter().any(|known: &Mention| {
                known.span.overlaps(hit.span) && matches!(known.means, Means::Entry(_))
            }) {
                continue;
            }
            mentions.push(Mention {
                span: hit.span,
                means,
            });
        }
        // "Your common-or-garden shop cable", "conventional twin-lead".
        for whole in rivals(text, hits, terms, sentence) {
            let name = whole.of(text).contains(char::is_uppercase);
            // "The bundled leads" says more than "the bundled".
            mentions.retain(|known| {
                !(known.span.overlaps(whole)
                    && known.means == Means::Theirs
                    && known.span.end <= whole.end)
            });
            if !name && !mentions.iter().any(|known| known.span.overlaps(whole)) {
                mentions.push(Mention {
                    span: whole,
                    means: Means::Theirs,
                });
            }
        }
        // "Old: 18 ga. New: 12 ga": the word before the colon says which side it is.
        let head = span
            .of(text)
            .find(':')
            .filter(|&at| at < 12)
            .map(|at| Span::new(span.start, span.start + at));
        if let Some(key) = head {
            let means = match key.of(text).trim().to_lowercase().as_str() {
                "old" | "before" | "right" | "theirs" | "rival" => Some(Means::Theirs),
                "new" | "after" | "left" | "ours" => Some(Means::Ours),
                _ => None,
            };
            if let Some(means) = means.filter(|_| {
                mentions.iter().all(|mention| {
                    mention.span.start > key.end || !matches!(mention.means, Means::Entry(_))
                })
            }) {
                mentions.push(Mention { span: key, means });
            }
        }
        mentions.sort_by_key(|mention| (mention.span.start, std::cmp::Reverse(mention.span.end)));
        mentions.dedup_by(|later, earlier| later.span.overlaps(earlier.span));
        mentions
    }

    fn called(&self, text: &str, sentence: Span) -> Vec<Mention> {
        let mut mentions = Vec::new();
        if self.entries.is_empty() {
            return mentions;
        }
        let mut tokens = Vec::new();
        tokenize(text, sentence, &mut tokens);
        let mut at = 0;
        let mut key = String::new();
        while at < tokens.len() {
            let mut step = 1;
            if !self.starts.may_begin(tokens[at].span.of(text)) {
                at += 1;
                continue;
            }
            for words in (1..=self.longest.min(tokens.len() - at)).rev() {
                let span = tokens[at].span.join(tokens[at + words - 1].span);
                let written = strip_possessive(span.of(text));
                let plain = words > 1 || written.starts_with(|letter: char| letter.is_uppercase());
                let marked = words == 1
                    && span.start > 0
                    && text.as_bytes().get(span.start - 1) == Some(&b'(');
                let mut known = |before: &str, behind: &str| {
                    key.clear();
                    key.push_str(before);
                    key.push_str(written);
                    key.push_str(behind);
                    self.by_alias.get(&key).copied()
                };
                let exact = known("=", "");
                let place = if plain {
                    self.by_alias
                        .get(&written.to_lowercase())
                        .copied()
                        .or(exact)
                } else {
                    exact
                };
                let place = place.or_else(|| known("(", ")").filter(|_| marked));
                if let Some(place) = place {
                    let verb = self.lettered
                        && tokens.get(at + 1).is_some_and(|next| {
                            matches!(
                                next.span.of(text),
                                "is" | "was" | "has" | "had" | "gets" | "got"
                            )
                        });
                    if written == "A" && !verb && !lone_label(text, span) {
                        continue;
                    }
                    mentions.push(Mention {
                        span,
                        means: Means::Entry(place),
                    });
                    step = words;
                    break;
                }
            }
            at += step;
        }
        mentions
    }
}

/// Words between two spans that are part of no size ("ordinary 2.5 mm² flex"); many where a clause ends between.
fn words_between(text: &str, first: Span, second: Span) -> usize {
    let between = Span::new(first.end, second.start.max(first.end)).of(text);
    if between.contains([',', ';', ':', '(', ')']) || between.contains(" and ") {
        return usize::MAX;
    }
    const UNITS: &[&str] = &[
        "mm",
        "mm²",
        "mm2",
        "awg",
        "gauge",
        "ga",
        "swg",
        "square",
        "millimetre",
        "sq",
    ];
    between
        .split([' ', '-', '\n'])
        .filter(|word| !word.is_empty())
        .filter(|word| {
            !word.starts_with(|letter: char| letter.is_ascii_digit())
                && !UNITS.contains(&word.to_lowercase().as_str())
        })
        .count()
}

/// Words of a sentence that mean a cable of no name: a kind and a noun behind it.
pub(super) fn rivals<'h>(
    text: &'h str,
    hits: &'h Hits,
    terms: &'h Terms,
    sentence: usize,
) -> impl Iterator<Item = Span> + 'h {
    let all = hits.of(sentence);
    all.iter()
        .filter(|kind| kind.concept == terms.rival_kind)
        .filter_map(|kind| {
            let noun = all.iter().find(|noun| {
                noun.concept == terms.cable
                    && noun.first > kind.last
                    && noun.first - kind.last <= 5
                    && words_between(text, kind.span, noun.span) <= 1
            })?;
            Some(kind.span.join(noun.span))
        })
}

/// Whether a lone `A` is a label and no article: not followed by a word in lower case.
fn lone_label(text: &str, span: Span) -> bool {
    let after = text.get(span.end..).unwrap_or("");
    let mut letters = after.chars();
    let next = letters.next().unwrap_or(' ');
    let second = letters.next().unwrap_or(' ');
    next != ' ' || !second.is_lowercase()
}

fn strip_possessive(name: &str) -> &str {
    name.strip_suffix("'s")
        .or_else(|| name.strip_suffix("’s"))
        .unwrap_or(name)
}

/// Whether a name is that of a person; a maker may have given his to all that he sells ("Mrs Tessel", "the Tessel Prime").
fn shares_word(person: &str, name: &str) -> bool {
    let last = name.rsplit(' ').next().unwrap_or(name);
    person.split(' ').any(|word| word == last)
}

fn close(text: &str, a: Span, b: Span, reach: usize) -> bool {
    within(text, a, b, reach, 0)
}

/// Whether two spans stand within `reach` bytes and so many clause borders of each other.
pub(super) fn within(text: &str, a: Span, b: Span, reach: usize, most: usize) -> bool {
    if a.overlaps(b) {
        return true;
    }
    let between = if a.end <= b.start {
        Span::new(a.end, b.start)
    } else {
        Span::new(b.end, a.start)
    };
    between.len() <= reach && borders(between.of(text)) <= most
}

/// Whether a comma, an article and a noun for cable stand behind a name that ends before `at`.
fn apposition(
    text: &str,
    tokens: &[Token],
    at: usize,
    hits: &[crate::lexicon::Hit],
    terms: &Terms,
) -> bool {
    let (Some(last), Some(next)) = (
        at.checked_sub(1).and_then(|last| tokens.get(last)),
        tokens.get(at),
    ) else {
        return false;
    };
    let article = matches!(
        next.span.of(text).to_lowercase().as_str(),
        "the" | "a" | "an" | "our" | "their" | "his"
    );
    article
        && Span::new(last.span.end, next.span.start).of(text).trim() == ","
        && hits.iter().any(|hit| {
            hit.concept == terms.cable && hit.first > at && hit.first <= at + 4 && {
                let between = Span::new(next.span.end, hit.span.start.max(next.span.end)).of(text);
                !between.contains([',', ';', ':', '.'])
            }
        })
}

/// Names of one word that a sentence about cables lists: two and more with commas and `and` between.
fn coordinated(
    text: &str,
    tokens: &[Token],
    hits: &[crate::lexicon::Hit],
    terms: &Terms,
) -> Vec<Span> {
    if !hits.iter().any(|hit| hit.concept == terms.cable) {
        return Vec::new();
    }
    let mut all = Vec::new();
    let mut run: Vec<Span> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let named = name_run(text, tokens, at);
        if named == Some(1) {
            run.push(tokens[at].span);
            let next = tokens.get(at + 1).map(|next| next.span);
            let sign = next.map_or("", |next| {
                Span::new(tokens[at].span.end, next.start).of(text)
            });
            let and = next.is_some_and(|next| matches!(next.of(text), "and" | "or" | "und"));
            if and && tokens.get(at + 2).is_some() {
                at += 2;
                continue;
            }
            if sign.trim() == "," {
                at += 1;
                continue;
            }
        }
        if run.len() >= 2 {
            all.append(&mut run);
        }
        run.clear();
        at += named.unwrap_or(1).max(1);
    }
    if run.len() >= 2 {
        all.append(&mut run);
    }
    all
}

/// Number of capitalised words in a row from `at` that can be a name.
fn name_run(text: &str, tokens: &[Token], at: usize) -> Option<usize> {
    let mut run = 0;
    while run < 3 {
        let Some(token) = tokens.get(at + run) else {
            break;
        };
        let word = strip_possessive(token.span.of(text));
        let mut letters = word.chars();
        let capital = letters.next().is_some_and(char::is_uppercase);
        if !capital {
            break;
        }
        let rest_lower = letters.clone().next().is_some()
            && letters.all(|letter| letter.is_lowercase() || letter == '\'');
        if !rest_lower {
            break;
        }
        let lower = word.to_lowercase();
        // "I'd" and "That's" are no names either.
        let stem = lower.split(['\'', '’']).next().unwrap_or(&lower);
        let common = COMMON.contains(&stem) && !(run > 0 && NUMBERS.contains(&lower.as_str()));
        if common {
            break;
        }
        if run > 0 {
            let gap = Span::new(tokens[at + run - 1].span.end, token.span.start);
            if gap.of(text) != " " {
                break;
            }
        }
        run += 1;
    }
    (run > 0).then_some(run)
}

/// Whether a quantity states a conductor size.
pub(super) fn is_size(kind: Kind) -> bool {
    matches!(kind, Kind::Gauge | Kind::Area | Kind::Strands)
}
