//! Raw rule files to a rulebook, collecting every fault.

use super::files::LAYOUT;
use super::{
    Alternative, Chapter, Confirmed, Fault, Pattern, Row, Rule, Rulebook, Source, Topic, Winner,
    raw,
    ready::{Concepts, tidy_words},
};
use crate::finding::{Level, Verdict};
use crate::lexicon::{BadEntry, Builder, Lexicon};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// A file under check: finds where a word stands, for the message.
pub(super) struct Place<'f> {
    name: Cow<'f, str>,
    text: &'f str,
    /// Whether it is a house's own.
    house: bool,
    /// Whether it was checked before and only needs to be loaded: nothing is to be told of its form.
    checked: bool,
    /// Whether parts of it were left out for mistakes of form.
    in_part: bool,
    /// Their names: that one of them is not there is no mistake of its own.
    left_out: Vec<String>,
}

impl<'f> Place<'f> {
    fn new(name: &'f str, text: &'f str, house: bool) -> Self {
        Self {
            name: Cow::Borrowed(name),
            text,
            house,
            checked: false,
            in_part: false,
            left_out: Vec::new(),
        }
    }

    /// A file that was checked before, without its text.
    pub(super) fn checked(name: String) -> Self {
        Self {
            name: Cow::Owned(name),
            text: "",
            house: false,
            checked: true,
            in_part: false,
            left_out: Vec::new(),
        }
    }

    /// Whether what is called `name` was left out for a mistake of form.
    fn has_lost(&self, name: &str) -> bool {
        self.left_out.iter().any(|lost| lost == name)
    }

    /// Fault at the first place of `needle` at or after byte `from`.
    fn fault(&self, from: usize, needle: &str, message: String) -> Fault {
        let at = word_at(self.text, from, needle).unwrap_or(from.min(self.text.len()));
        let before = self.text.get(..at).unwrap_or("");
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        Fault {
            file: self.name.clone().into_owned(),
            line,
            column,
            message,
        }
    }

    /// Byte at which the rule with this id starts.
    fn rule(&self, id: &str) -> usize {
        if self.checked {
            return 0;
        }
        let mut from = 0;
        while let Some(at) = word_at(self.text, from, id) {
            let line = self.text[..at].rsplit('\n').next().unwrap_or("");
            if line.trim_start().trim_start_matches("- ").trim() == "id:" {
                return at;
            }
            from = at + id.len().max(1);
        }
        0
    }
}

/// Byte of `needle` as a whole word at or after `from`.
fn word_at(text: &str, from: usize, needle: &str) -> Option<usize> {
    if needle.is_empty() {
        return None;
    }
    let joins = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '_' | '.');
    let mut start = from;
    while let Some(found) = text.get(start..)?.find(needle) {
        let at = start + found;
        let free_before = !text[..at].ends_with(joins);
        let free_after = !text[at + needle.len()..].starts_with(joins);
        if free_before && free_after {
            return Some(at);
        }
        start = at + needle.len();
    }
    text.get(from..)?.find(needle).map(|found| from + found)
}

/// A fault of the rule `id` at the first place of `needle` after its id.
pub(super) fn fault_in(name: &str, text: &str, id: &str, needle: &str, message: String) -> Fault {
    let place = Place::new(name, text, false);
    place.fault(place.rule(id), needle, message)
}

fn verdict(word: &str) -> Option<Verdict> {
    [
        Verdict::Contradicted,
        Verdict::Unequal,
        Verdict::NoBasis,
        Verdict::Unstated,
        Verdict::Unfit,
        Verdict::Caution,
    ]
    .into_iter()
    .find(|verdict| verdict.word() == word)
}

fn level(word: &str) -> Option<Level> {
    [Level::Note, Level::Warning, Level::Error]
        .into_iter()
        .find(|level| level.word() == word)
}

fn chapter(word: &str) -> Option<Chapter> {
    Chapter::ALL
        .into_iter()
        .find(|chapter| chapter.word() == word)
}

fn confirmed(word: &str) -> Option<Confirmed> {
    [
        Confirmed::Read,
        Confirmed::Computed,
        Confirmed::Memory,
        Confirmed::Mixed,
    ]
    .into_iter()
    .find(|confirmed| confirmed.word() == word)
}

fn is_kebab(id: &str) -> bool {
    id.starts_with(|letter: char| letter.is_ascii_lowercase())
        && !id.ends_with('-')
        && !id.contains("--")
        && id
            .chars()
            .all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-')
}

/// What is said of a word that is none of those which may stand there.
fn none_of(what: &str, given: &str, known: &str) -> String {
    if given.is_empty() {
        format!("no {what} is given; there are {known}")
    } else {
        format!("“{given}” is no {what}; there are {known}")
    }
}

/// Builds the rulebook from files given as name, text and whether the file is a house's own: what of them is in order, and every
/// fault of the rest.
pub(super) fn rulebook(files: &[(&str, &str, bool)]) -> (Rulebook, Vec<Fault>) {
    let mut faults = Vec::new();
    let mut read: Vec<(Place<'_>, raw::File)> = Vec::new();
    for &(name, text, house) in files {
        let mut place = Place::new(name, text, house);
        let file = raw::read(text).unwrap_or_else(|refused| {
            place.in_part = true;
            faults.extend(refused.troubles.into_iter().map(|trouble| Fault {
                file: name.to_owned(),
                line: trouble.line,
                column: trouble.column,
                message: trouble.message,
            }));
            place.left_out = refused.left_out;
            refused.rest
        });
        read.push((place, file));
    }
    complete(&mut read, &mut faults);
    let lexicon = lexicon(&read, &mut faults);
    assemble(read, lexicon, None, faults)
}

/// What a house's own rule leaves out is that of the rule of the same id before it.
fn complete(read: &mut [(Place<'_>, raw::File)], faults: &mut Vec<Fault>) {
    /// Figures that any rule with a `match` may have.
    const OF_CLAIMS: [&str; 2] = ["weight", "weight_short"];
    let mut known: BTreeMap<String, raw::Rule> = BTreeMap::new();
    for (place, file) in read {
        for rule in &mut file.rules {
            let before = known.get(&rule.id).filter(|_| place.house);
            if let Some(before) = before {
                rule.complete(before);
            }
            for (name, _) in rule.thresholds.0.iter().filter(|_| place.house) {
                let is_known = before
                    .is_some_and(|before| before.thresholds.0.iter().any(|(own, _)| own == name));
                if is_known || (!rule.alternatives.is_empty() && OF_CLAIMS.contains(&&**name)) {
                    continue;
                }
                let names: Vec<&str> = before.map_or(OF_CLAIMS.to_vec(), |before| {
                    before.thresholds.0.iter().map(|(own, _)| &**own).collect()
                });
                let message = format!(
                    "the rule has no threshold “{name}”; there are {}",
                    names.join(", ")
                );
                faults.push(place.fault(place.rule(&rule.id), name, message));
            }
            known.insert(rule.id.clone(), rule.clone());
        }
    }
}

/// Builds the rulebook from files that were read and the lexicon of their word lists, with all faults in order. With `ready`, the
/// concepts of all alternatives in their order, the words of the rules are tidy, too.
pub(super) fn assemble(
    mut read: Vec<(Place<'_>, raw::File)>,
    lexicon: Lexicon,
    ready: Option<Vec<Concepts>>,
    mut faults: Vec<Fault>,
) -> (Rulebook, Vec<Fault>) {
    let mut book = Rulebook {
        lexicon,
        ..Rulebook::default()
    };
    for (place, file) in &mut read {
        for source in file.sources.drain(..) {
            add_source(&mut book, place, source, &mut faults);
        }
        for (name, rows) in file.tables.0.drain(..) {
            let rows = rows.into_iter().map(row);
            let tables = book.tables.to_mut();
            tables.entry(name).or_default().extend(rows);
        }
    }
    let known: BTreeSet<String> = read
        .iter()
        .flat_map(|(_, file)| file.rules.iter().map(|rule| rule.id.clone()))
        .collect();
    let mut rules: Vec<Rule> = Vec::new();
    let mut origin: BTreeMap<String, usize> = BTreeMap::new();
    let mut ready = ready.map(Vec::into_iter);
    for (number, (place, file)) in read.into_iter().enumerate() {
        for mut rule in file.rules {
            let concepts: Vec<Concepts> = if let Some(ready) = &mut ready {
                ready.take(rule.alternatives.len()).collect()
            } else {
                tidy_words(&mut rule);
                let start = place.rule(&rule.id);
                let alternatives = rule.alternatives.iter();
                let concepts = alternatives.map(|alternative| {
                    Concepts::of(alternative, &rule, &book.lexicon, |name| {
                        if place.has_lost(name) {
                            return;
                        }
                        let message = format!("there is no word list “{name}”");
                        faults.push(place.fault(start, name, message));
                    })
                });
                concepts.collect()
            };
            let Some(made) = self::rule(rule, concepts, &place, &book, &known, &mut faults) else {
                continue;
            };
            let before = origin.insert(made.id.clone(), number);
            match before {
                Some(before) if before == number || !place.house => faults.push(place.fault(
                    place.rule(&made.id),
                    &made.id,
                    format!("the rule “{}” is there twice", made.id),
                )),
                Some(_) => {
                    if let Some(old) = rules.iter_mut().find(|old| old.id == made.id) {
                        *old = made;
                    }
                }
                None => rules.push(made),
            }
        }
    }
    rules.sort_by_key(|rule| rule.chapter);
    book.by_id = rules
        .iter()
        .enumerate()
        .map(|(index, rule)| (rule.id.clone(), index))
        .collect();
    book.rules = rules;
    faults.sort();
    faults.dedup();
    (book, faults)
}

fn lexicon(read: &[(Place<'_>, raw::File)], faults: &mut Vec<Fault>) -> Lexicon {
    let mut builder = Builder::default();
    for (place, file) in read {
        for (name, entries) in &file.concepts.0 {
            if let Err(bad) = builder.concept(name) {
                faults.push(place.fault(0, name, bad.to_string()));
                continue;
            }
            for entry in entries {
                if let Err(bad) = builder.add(name, entry) {
                    let start = word_at(place.text, 0, &format!("{name}:")).unwrap_or(0);
                    faults.push(place.fault(start, entry, format!("word list “{name}”: {bad}")));
                    // The next entry would only say the same.
                    if bad == BadEntry::TooManyNodes {
                        return builder.build();
                    }
                }
            }
        }
        // The words of the layout are no part of a rulebook.
        if place.name == LAYOUT && !place.house {
            continue;
        }
        for (name, entries) in &file.lists.0 {
            for entry in entries {
                if let Err(bad) = builder.list(name, entry) {
                    let start = word_at(place.text, 0, &format!("{name}:")).unwrap_or(0);
                    faults.push(place.fault(start, name, format!("list “{name}”: {bad}")));
                }
            }
        }
    }
    builder.build()
}

fn add_source(
    book: &mut Rulebook,
    place: &Place<'_>,
    source: raw::Source,
    faults: &mut Vec<Fault>,
) {
    let start = place.rule(&source.id);
    let Some(mark) = confirmed(&source.confirmed) else {
        faults.push(place.fault(
            start,
            &source.confirmed,
            format!(
                "“{}” is none of read, computed, memory, mixed",
                source.confirmed
            ),
        ));
        return;
    };
    let made = Source {
        id: source.id.clone(),
        text: trimmed(source.text),
        confirmed: mark,
    };
    if let Some(before) = book.sources.insert(source.id, made) {
        faults.push(place.fault(
            start,
            &before.id,
            format!("the source “{}” is there twice", before.id),
        ));
    }
}

fn trimmed(text: Cow<'static, str>) -> Cow<'static, str> {
    match text {
        Cow::Borrowed(text) => Cow::Borrowed(text.trim()),
        Cow::Owned(text) => Cow::Owned(text.trim().to_owned()),
    }
}

pub(super) fn row(raw: raw::Pairs<raw::Cell>) -> Row {
    Row { cells: raw.0 }
}

fn rule(
    raw: raw::Rule,
    concepts: Vec<Concepts>,
    place: &Place<'_>,
    book: &Rulebook,
    known: &BTreeSet<String>,
    faults: &mut Vec<Fault>,
) -> Option<Rule> {
    let start = place.rule(&raw.id);
    let before = faults.len();
    let mut say = |needle: &str, message: String| faults.push(place.fault(start, needle, message));
    if !is_kebab(&raw.id) {
        say(&raw.id, format!("the id “{}” is not kebab-case", raw.id));
    }
    // What is not there may be what was left out.
    let mut say_word = |key: &str, word: &str, message: String| {
        if !word.is_empty() {
            say(word, message);
        } else if !place.in_part {
            say(key, message);
        }
    };
    let chapter_found = chapter(&raw.chapter);
    if chapter_found.is_none() {
        say_word(
            "chapter:",
            &raw.chapter,
            none_of(
                "chapter",
                &raw.chapter,
                &Chapter::ALL.map(Chapter::word).join(", "),
            ),
        );
    }
    let verdict_found = verdict(&raw.verdict);
    if verdict_found.is_none() {
        say_word(
            "verdict:",
            &raw.verdict,
            none_of(
                "verdict of a rule",
                &raw.verdict,
                "contradicted, unequal, no-basis, unstated, unfit, caution",
            ),
        );
    }
    let level_found = level(&raw.level);
    if level_found.is_none() {
        say_word(
            "level:",
            &raw.level,
            none_of("level", &raw.level, "error, warning, note"),
        );
    }
    for source in &raw.sources {
        if !book.sources.contains_key(source.as_str()) && !place.has_lost(source) {
            say(source, format!("there is no source “{source}”"));
        }
    }
    for (name, value) in &raw.thresholds.0 {
        if !value.is_finite() {
            say(
                name,
                format!("the threshold “{name}” is not a finite number"),
            );
        }
    }
    let mut yields_to = Vec::new();
    for winner in &raw.yields_to {
        if let Some(word) = winner.strip_prefix("chapter ") {
            match chapter(word) {
                Some(chapter) => yields_to.push(Winner::Chapter(chapter)),
                None => say(winner, format!("“{word}” is no chapter")),
            }
        } else if known.contains(winner.as_str()) {
            yields_to.push(Winner::Rule(winner.clone()));
        } else if !place.has_lost(winner) {
            say(winner, format!("there is no rule “{winner}”"));
        }
    }
    let alternatives = raw
        .alternatives
        .iter()
        .zip(concepts)
        .map(|(alternative, concepts)| {
            self::alternative(alternative, concepts, place, start, faults)
        })
        .collect();
    if faults.len() > before {
        return None;
    }
    Some(Rule {
        id: raw.id,
        chapter: chapter_found?,
        verdict: verdict_found?,
        level: level_found?,
        title: raw.title,
        says: raw.says,
        physics: raw.physics,
        fair: raw.fair,
        evidence: raw.evidence,
        help: raw.help,
        message: raw.message,
        sources: raw.sources,
        thresholds: raw.thresholds.0.into_iter().collect(),
        alternatives,
        yields_to,
        fires: raw.fires,
        quiet: raw.quiet,
        file: place.name.clone().into_owned(),
    })
}

fn alternative(
    raw: &raw::Alternative,
    concepts: Concepts,
    place: &Place<'_>,
    start: usize,
    faults: &mut Vec<Fault>,
) -> Alternative {
    let mut say = |needle: &str, message: String| faults.push(place.fault(start, needle, message));
    if concepts.all.is_empty() && !place.in_part {
        say(
            "match",
            "an alternative names no concept in “all”".to_owned(),
        );
    }
    let sentences = raw.sentences.unwrap_or(1);
    if !(1..=4).contains(&sentences) {
        say("sentences", "“sentences” must be 1 to 4".to_owned());
    }
    let topic = match raw.topic.as_deref() {
        None | Some("cable") => Topic::Cable,
        Some("named") => Topic::Named,
        Some("any") => Topic::Any,
        Some(other) => {
            say(
                other,
                format!("“{other}” is no topic; there are cable, named and any"),
            );
            Topic::Cable
        }
    };
    if let Some(text) = raw.regex.as_ref().filter(|_| !place.checked) {
        match Pattern::compile(text) {
            Ok(regex) if regex.is_match("") => {
                say(text, "the pattern matches the empty string".to_owned());
            }
            Ok(_) => {}
            Err(error) => {
                let told = error.to_string();
                let last = told.lines().last().unwrap_or("").trim();
                say(text, format!("the pattern cannot be used: {last}"));
            }
        }
    }
    let Concepts {
        all,
        unless,
        unless_near,
        unless_clause,
        unless_document,
        absent,
    } = concepts;
    Alternative {
        all,
        sentences,
        ordered: raw.ordered,
        brief: raw.brief,
        distance: raw.distance,
        unless,
        unless_near,
        unless_clause,
        unless_document,
        absent,
        topic,
        pattern: raw.regex.clone().map(Pattern::new),
    }
}
