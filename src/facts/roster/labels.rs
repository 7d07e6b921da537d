//! Labels that set things apart: `Sample A`, lone letters, `(i)` and `(ii)`, and the name that a label is given. Knows nothing
//! of metals and sizes.

use super::{Entry, Means, Mention, Roster, is_size, lone_label};
use crate::facts::count;
use crate::facts::terms::Terms;
use crate::lexicon::{Hits, Token, tokenize, write_lowered};
use crate::sheet::{BlockKind, Kind, Sheet};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

impl Roster {
    /// `Cable X is the Larkenhall Ember`: a label and a name that are said to be one become one.
    pub(in crate::facts) fn merge_labels(&mut self, sheet: &Sheet, hits: &Hits, terms: &Terms) {
        let text = sheet.flow.text();
        let labelled = |name: &str| name.len() == 1 || terms.lists.name_label.begins(name);
        if !self.entries.iter().any(|entry| labelled(&entry.name)) {
            return;
        }
        // A label that is a sentence by itself: "Side L. Calder, 12 AWG".
        let mut alone: Option<Mention> = None;
        for sentence in 0..sheet.sentences.len() {
            let mut mentions = self.mentions(sheet, hits, terms, sentence);
            let own = sheet.sentences[sentence];
            let begins =
                (mentions.first()).is_some_and(|name| name.span.start() == own.span.start());
            if let Some(label) = alone.take()
                && begins
                && sheet.sentences[sentence - 1].block() == own.block()
            {
                mentions.insert(0, label);
            }
            let words = own.span.of(text);
            alone = (mentions.first().copied()).filter(|label| {
                words.trim_end_matches(['.', ' ', ':']) == label.span.of(text)
                    && label.span.start() == own.span.start()
            });
            for pair in mentions.windows(2) {
                let (Means::Entry(a), Means::Entry(b)) = (pair[0].means, pair[1].means) else {
                    continue;
                };
                if a == b || pair[0].span.end() > pair[1].span.start() {
                    continue;
                }
                let between = Span::new(pair[0].span.end(), pair[1].span.start())
                    .of(text)
                    .trim()
                    .to_lowercase();
                // "Number one hung on the Tessel Prime": what a label did up to the name, unless that sets it against the name.
                let span = Span::new(pair[0].span.end(), pair[1].span.start());
                let told = span.of(text);
                let opposed = hits
                    .saying_any(sentence, &[terms.better, terms.strong])
                    .any(|hit| span.contains(hit.span));
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
                            | "-"
                            | "–"
                            | "—"
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
    pub(in crate::facts) fn labelled(&self, terms: &Terms<'_>) -> usize {
        self.entries
            .iter()
            .filter(|entry| !entry.merged)
            .filter(|entry| {
                entry.named
                    || entry.name.split_once(' ').is_some_and(|(noun, label)| {
                        terms.lists.name_label.has(noun)
                            && (label.len() == 1 || is_number(terms, label))
                    })
            })
            .count()
    }

    /// `Sample A`, `lead 1`, `wire P`, told by a noun and a single letter or a small number after it, at least two of a kind.
    pub(super) fn find_labels(&mut self, sheet: &Sheet, hits: &Hits, terms: &Terms<'_>) {
        let text = sheet.flow.text();
        let mut tokens = Vec::new();
        let mut noun = String::new();
        let mut found: Vec<(String, String)> = Vec::new();
        let mut known: FxHashSet<(String, String)> = FxHashSet::default();
        for (index, sentence) in sheet.sentences.iter().enumerate() {
            if !hits.may_list(index, terms.lists.name_label) {
                continue;
            }
            tokenize(text, sentence.span, &mut tokens);
            for (at, pair) in tokens.windows(2).enumerate() {
                // "line.L" is the name of a field.
                let adjacent = pair[1].span.start() == pair[0].span.end() + 1
                    && text.as_bytes().get(pair[0].span.end()) != Some(&b'.');
                if !adjacent {
                    continue;
                }
                write_lowered(pair[0].span.of(text), &mut noun);
                if !terms.lists.name_label.has(&noun) {
                    continue;
                }
                // "White, to item 1": a line of a list is pointed to.
                let ahead = at.checked_sub(1).map_or("", |at| tokens[at].span.of(text));
                if noun == "item" && matches!(ahead, "to" | "of" | "see" | "under" | "for" | "as") {
                    continue;
                }
                let label = pair[1].span.of(text);
                let single = label.len() == 1
                    && label
                        .chars()
                        .all(|letter| letter.is_ascii_uppercase() || letter.is_ascii_digit());
                let single = single
                    || (label.len() == 2
                        && label.starts_with(|letter: char| letter.is_ascii_uppercase())
                        && label.ends_with(|digit: char| digit.is_ascii_digit()));
                // "Cable I" and "Cable II".
                let single = single || terms.lists.name_roman.has(label);
                let counted = is_number(terms, &label.to_ascii_lowercase());
                if !(single || counted) {
                    continue;
                }
                let label = if counted {
                    label.to_lowercase()
                } else {
                    label.to_owned()
                };
                if is_panel(sheet, terms, index, &noun) {
                    continue;
                }
                if known.insert((noun.clone(), label.clone())) {
                    found.push((noun.clone(), label));
                }
            }
        }
        self.find_marks(sheet);
        self.find_codes(sheet, terms);
        self.find_listed(sheet, hits, terms);
        if found.is_empty() {
            self.find_letters(sheet, terms);
        }
        let mut kin: FxHashMap<&str, usize> = FxHashMap::default();
        for (noun, _) in &found {
            *kin.entry(noun).or_default() += 1;
        }
        for (noun, label) in &found {
            if !(2..=8).contains(&kin.get(noun.as_str()).copied().unwrap_or(0)) {
                continue;
            }
            // “A   woven, 12 AWG” in a list of samples is sample A.
            let row = self.by_alias.get(&format!("={label}")).copied();
            if let Some(row) = row.filter(|&row| self.entries[row].name == *label) {
                self.alias(row, &format!("{noun} {label}").to_lowercase());
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
                self.lettered = true;
            }
        }
    }

    /// `S1: solid, 10 AWG`, `S2: 16 AWG`, or `A` and `B` alone: codes of one kind before what has a size each.
    fn find_codes(&mut self, sheet: &Sheet, terms: &Terms<'_>) {
        const MOST: usize = 40;
        let text = sheet.flow.text();
        let mut codes: Vec<(&str, &str)> = Vec::new();
        // "Art. 312S, as 312, but tinned" has no size of its own.
        let mut others: Vec<(&str, &str)> = Vec::new();
        for block in &sheet.blocks {
            let Some(key) = block.key() else { continue };
            let code = key.of(text).trim();
            let Some(letters) = letters_of(code).or_else(|| counted_of(terms, code)) else {
                continue;
            };
            let from = sheet
                .quantities
                .partition_point(|quantity| quantity.span.start() < block.span.start());
            let sized = (sheet.quantities.iter().skip(from))
                .take_while(|quantity| quantity.span.end() <= block.span.end())
                .any(|quantity| is_size(quantity.kind));
            let known = |list: &[(&str, &str)]| list.iter().any(|(_, known)| *known == code);
            if sized && !known(&codes) {
                codes.push((letters, code));
            } else if !sized && code.len() > 1 && !known(&others) {
                others.push((letters, code));
            }
            if codes.len() + others.len() > MOST {
                return;
            }
        }
        for (letters, code) in &codes {
            // "LF-12" and "LB-14" are of one kind as well.
            let alike = |other: &str| {
                other == *letters
                    || letters.len() >= 2
                        && other.len() == letters.len()
                        && other.get(..1) == letters.get(..1)
            };
            let kin = codes.iter().filter(|(other, _)| alike(other)).count();
            if kin >= 2 && code.len() == 1 {
                self.letter(code);
            } else if kin >= 2 {
                let place = self.add(code, false);
                self.alias(place, &format!("={code}"));
            }
        }
        for (letters, code) in others {
            if codes.iter().filter(|(other, _)| *other == letters).count() >= 2 {
                let place = self.add(code, false);
                self.alias(place, &format!("={code}"));
            }
        }
    }

    /// A thing that is called by one capital.
    fn letter(&mut self, letter: &str) {
        let place = self.entries.len();
        self.entries.push(Entry {
            name: letter.to_owned(),
            ..Entry::default()
        });
        self.alias(place, &format!("={letter}"));
        self.lettered = true;
    }

    /// "Switch to A. A is the house cable": letters that are said of things again and again, two of a kind.
    fn find_letters(&mut self, sheet: &Sheet, terms: &Terms<'_>) {
        const PAIRS: &[[&str; 2]] = &[["A", "B"], ["X", "Y"], ["P", "Q"], ["S", "T"], ["K", "L"]];
        let text = sheet.flow.text();
        let mut tokens = Vec::new();
        let mut counts: FxHashMap<String, (usize, usize)> = FxHashMap::default();
        for sentence in &sheet.sentences {
            let block = &sheet.blocks[sentence.block()];
            if matches!(
                block.kind(),
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
                    .get(token.span.end()..)
                    .is_some_and(|after| after.starts_with('.'))
                    && (before.is_empty() || before.starts_with(char::is_uppercase))
                    && next.starts_with(char::is_uppercase);
                let unit = before.ends_with(|last: char| last.is_ascii_digit());
                let verb = terms.lists.name_letter_verb.has(next);
                let article = word == "A" && !lone_label(text, token.span) && !verb;
                if initial || unit || article || symbol(sheet, token.span) {
                    continue;
                }
                let count = counts.entry(word.to_owned()).or_default();
                count.0 += 1;
                count.1 += usize::from(verb);
            }
            if sized(sheet, sentence.span) {
                for letter in listed_letters(text, &tokens, terms) {
                    counts.insert(letter.to_owned(), (2, 1));
                }
            }
        }
        for pair in PAIRS {
            let of = |letter: &str| counts.get(letter).copied().unwrap_or_default();
            let (first, second) = (of(pair[0]), of(pair[1]));
            // "A" is an article as well; other letters mean little else where one of a pair is or has something.
            let told = if pair[0] == "A" {
                first.1 >= 1 && second.1 >= 1
            } else {
                first.1 + second.1 >= 1
            };
            if first.0 >= 2 && second.0 >= 2 && told {
                // "A, B and C are 12, 14 and 16 AWG": one more of the same kind.
                let third = (pair[0] == "A" && of("C").1 >= 1).then_some("C");
                for letter in pair.iter().copied().chain(third) {
                    if !self.by_alias.contains_key(&format!("={letter}")) {
                        self.letter(letter);
                    }
                }
            }
        }
    }

    /// `(i) our own pair, and (ii) the one lent to us`: marks in one sentence that set two things apart.
    fn find_marks(&mut self, sheet: &Sheet) {
        let text = sheet.flow.text();
        for sentence in &sheet.sentences {
            let words = sentence.span.of(text);
            if memchr::memchr(b'(', words.as_bytes()).is_none() {
                continue;
            }
            for marks in [["(i)", "(ii)", "(iii)"], ["(a)", "(b)", "(c)"]] {
                if words.contains(marks[0]) && words.contains(marks[1]) {
                    for mark in marks.into_iter().filter(|mark| words.contains(mark)) {
                        self.add(mark, false);
                    }
                }
            }
        }
    }
}

/// Whether two sizes and more stand in a sentence.
fn sized(sheet: &Sheet, sentence: Span) -> bool {
    let from = sheet
        .quantities
        .partition_point(|quantity| quantity.span.start() < sentence.start());
    let own = (sheet.quantities.iter().skip(from))
        .take_while(|quantity| quantity.span.end() <= sentence.end());
    own.filter(|quantity| is_size(quantity.kind))
        .nth(1)
        .is_some()
}

/// Letters in a list with a verb behind it: “A and B are”, “A, B and C were”.
fn listed_letters<'t>(text: &'t str, tokens: &[Token], terms: &Terms<'_>) -> Vec<&'t str> {
    let word = |at: usize| tokens.get(at).map_or("", |token| token.span.of(text));
    let letter = |at: usize| {
        let word = word(at);
        (word.len() == 1 && word.starts_with(|letter: char| letter.is_ascii_uppercase()))
            .then_some(word)
    };
    for at in 2..tokens.len() {
        let verb = terms.lists.name_letter_verb.has(word(at + 1));
        let joined = word(at - 1) == "and";
        let (Some(last), true) = (letter(at), verb && joined) else {
            continue;
        };
        let mut found = vec![last];
        let mut before = at - 2;
        while let Some(known) = letter(before) {
            found.push(known);
            match before.checked_sub(1) {
                Some(earlier) => before = earlier,
                None => break,
            }
        }
        if found.len() >= 2 {
            return found;
        }
    }
    Vec::new()
}

/// Whether a letter is the symbol of the value behind it: “R 14.4 mΩ/m   L 0.62 µH/m”.
pub(in crate::facts) fn symbol(sheet: &Sheet, letter: Span) -> bool {
    /// Bytes between a symbol and its value.
    const NEAR: usize = 4;
    let from = sheet
        .quantities
        .partition_point(|quantity| quantity.span.start() < letter.end());
    let words = letter.of(sheet.flow.text());
    let short = letter.len() <= 2 && words.starts_with(|sign: char| sign.is_ascii_uppercase());
    let value = sheet.quantities.get(from).filter(|_| short);
    value.is_some_and(|value| {
        value.span.start() - letter.end() <= NEAR
            && matches!(
                value.kind,
                Kind::Resistance
                    | Kind::ResistancePerLength
                    | Kind::Inductance
                    | Kind::InductancePerLength
                    | Kind::Capacitance
                    | Kind::CapacitancePerLength
                    | Kind::Impedance
            )
    })
}

/// The letters of a code of letters and a number: `LS` of `LS-25`. What is asked as `Q1` is no cable.
fn letters_of(code: &str) -> Option<&str> {
    // "A", below it "B".
    if code.len() == 1 && code.starts_with(|letter: char| letter.is_ascii_uppercase()) {
        return Some("");
    }
    let end = code.find(|letter: char| !letter.is_ascii_uppercase())?;
    let (letters, number) = code.split_at_checked(end)?;
    let digits = number.strip_prefix('-').unwrap_or(number);
    let numbered =
        (1..=3).contains(&digits.len()) && digits.bytes().all(|digit| digit.is_ascii_digit());
    ((1..=3).contains(&end) && letters != "Q" && numbered).then_some(letters)
}

/// The noun of a code such as “Art. 312S”.
fn counted_of<'t>(terms: &Terms<'_>, code: &'t str) -> Option<&'t str> {
    let (noun, number) = code.split_once(' ')?;
    let plain = noun.trim_end_matches('.').to_lowercase();
    let digits = number.trim_end_matches(|letter: char| letter.is_ascii_uppercase());
    let numbered = (1..=4).contains(&digits.len())
        && digits.bytes().all(|digit| digit.is_ascii_digit())
        && number.len() - digits.len() <= 1;
    (numbered && terms.lists.record_position.has(&plain)).then_some(noun)
}

/// Whether a word is a number that can end a name (`Alloy One`) or label a cable (`lead two`).
pub(super) fn is_number(terms: &Terms<'_>, word: &str) -> bool {
    count::small(terms, word).is_some_and(|number| (1..=8).contains(&number))
}

/// Whether a noun and its label stand in brackets right behind a name: “Calder (side L)”.
pub(super) fn labelled_behind(text: &str, terms: &Terms<'_>, name: Span) -> bool {
    const LONGEST: usize = 20;
    let behind = text.get(name.end()..).unwrap_or("");
    let Some(inner) = behind.strip_prefix(" (") else {
        return false;
    };
    let window = inner
        .get(..inner.floor_char_boundary(LONGEST))
        .unwrap_or("");
    let label = window
        .split_once(')')
        .and_then(|(inner, _)| inner.split_once(' '));
    label.is_some_and(|(noun, label)| {
        let letter = label.len() == 1 && label.bytes().all(|sign| sign.is_ascii_alphanumeric());
        terms.lists.name_label.has(&noun.to_lowercase())
            && (letter || is_number(terms, &label.to_lowercase()))
    })
}

/// Whether a title that is a label and no more, over words without a size or a length, is the side of a box: “[side A]”.
fn is_panel(sheet: &Sheet, terms: &Terms<'_>, sentence: usize, noun: &str) -> bool {
    /// Blocks below the title that are looked at.
    const BELOW: usize = 12;
    let at = sheet.sentences[sentence].block();
    let title = &sheet.blocks[at];
    let bare = matches!(title.kind(), BlockKind::Heading { .. })
        && title.span.of(sheet.flow.text()).split_whitespace().count() == 2;
    if !bare || !terms.lists.label_panel.has(noun) {
        return false;
    }
    let below = sheet.blocks.iter().skip(at + 1).take(BELOW);
    let mut below = below.take_while(|block| block.section() == Some(at));
    !below.any(|block| {
        let from = sheet
            .quantities
            .partition_point(|quantity| quantity.span.start() < block.span.start());
        (sheet.quantities.iter().skip(from))
            .take_while(|quantity| quantity.span.end() <= block.span.end())
            .any(|quantity| is_size(quantity.kind) || quantity.kind == Kind::Length)
    })
}
