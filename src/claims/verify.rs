//! A check of a house's own rule file: its mistakes, its examples, and where it overlaps a built-in rule.

use super::{Engine, silent};
use crate::facts::DocumentKind;
use crate::lexicon::Hits;
use crate::rulebook::{Fault, Rule, Rulebook, raw};
use crate::sheet;

/// What a check of a rule file says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Verified {
    /// Mistakes: the file cannot be used, or an example does not do what it says.
    pub faults: Vec<Fault>,
    /// What is worth a look: an overlap with a built-in rule, a rule without examples, a rule that replaces a built-in one.
    pub warnings: Vec<Fault>,
    /// Rules in the file.
    pub rules: usize,
    /// Examples that were run.
    pub examples: usize,
    /// Rules whose examples were not run, for mistakes in them or in word lists that they name.
    pub untried: Vec<String>,
}

/// A part of a message in braces that nothing replaces.
fn stray_part(message: &str) -> Option<&str> {
    let mut rest = message;
    while let Some(open) = rest.find('{') {
        let part = &rest[open..];
        let end = part.find('}').map_or(part.len(), |end| end + 1);
        if &part[..end] != "{quote}" {
            let end = part
                .char_indices()
                .nth(20)
                .map_or(part.len(), |(at, _)| at)
                .min(end);
            return Some(&part[..end]);
        }
        rest = &part[end..];
    }
    None
}

/// Checks the rule file `name` with the content `text`.
#[must_use]
pub fn verify(name: &str, text: &str) -> Verified {
    let mut told = Verified::default();
    let plain = Rulebook::builtin();
    let (book, faults) = Rulebook::drafted(&[(name.to_owned(), text.to_owned())]);
    let (engine, without) = (Engine::new(&book), Engine::new(&plain));
    let (written, whole) = match raw::read(text) {
        Ok(file) => (file, true),
        Err(refused) => (refused.rest, false),
    };
    let sound = Sound::new(text, &faults);
    // A rule that cannot be read may name a list that no other one does.
    if whole {
        let idle = idle_lists(&written, &book, &plain, name, text);
        told.warnings.extend(idle);
    }
    told.faults = faults;
    for own in &written.rules {
        told.rules += 1;
        let rule = book.rule(&own.id).filter(|_| sound.holds(own));
        let Some(rule) = rule else {
            told.untried.push(own.id.clone());
            continue;
        };
        let place = |needle: &str, message: String| book.fault_in(text, rule, needle, message);
        if plain.rule(&rule.id).is_some() {
            // Another level or figure is what such a file is for.
            if !own.alternatives.is_empty() {
                told.warnings.push(place(
                    &rule.id,
                    format!("“{}” replaces the built-in rule of that id", rule.id),
                ));
            }
        } else if rule.alternatives.is_empty() {
            // What a check computes needs no words; nothing else can fire without them.
            let message = format!("“{}” has no “match”, so that nothing can fire it", rule.id);
            told.faults.push(place(&rule.id, message));
        }
        if rule.alternatives.is_empty() {
            continue;
        }
        if let Some(part) = stray_part(&rule.message) {
            let message = format!("the message holds “{part}”; only “{{quote}}” is replaced");
            told.faults.push(place(part, message));
        }
        for (part, list) in [("fires", &rule.fires), ("quiet", &rule.quiet)] {
            if list.is_empty() {
                told.warnings.push(place(
                    &rule.id,
                    format!("“{}” has no example under “{part}”", rule.id),
                ));
            }
        }
        for example in &own.fires {
            told.examples += 1;
            let loud = fired(&engine, &book, example);
            if !loud.contains(&rule.id) {
                told.faults.push(place(
                    example,
                    format!("“{}” does not fire on its own example", rule.id),
                ));
            }
            for other in fired(&without, &plain, example) {
                if other != rule.id {
                    told.warnings.push(place(
                        example,
                        format!(
                            "“{}” overlaps the built-in rule “{other}”, which fires here as well",
                            rule.id
                        ),
                    ));
                }
            }
        }
        for example in &own.quiet {
            told.examples += 1;
            if fired(&engine, &book, example).contains(&rule.id) {
                told.faults.push(place(
                    example,
                    format!("“{}” fires on an example that it must leave alone", rule.id),
                ));
            }
        }
        if own.alternatives.is_empty() {
            continue;
        }
        told.warnings.extend(
            overlaps(rule, &engine, &book, &plain)
                .into_iter()
                .map(|message| place(&rule.id, message)),
        );
    }
    told.faults.sort();
    told.faults.dedup();
    told.warnings.sort();
    told.warnings.dedup();
    told
}

/// Which parts of a rule file hold no mistake.
struct Sound {
    /// Ids of the rules with a mistake.
    broken: Vec<String>,
    /// Word lists of the file, where one of them holds a mistake.
    lists: Vec<String>,
}

impl Sound {
    fn new(text: &str, faults: &[Fault]) -> Self {
        let lines: Vec<&str> = text.lines().collect();
        let items = raw::rule_items(text);
        let within = |(before, count): (usize, usize), fault: &Fault| {
            (before + 1..=before + count).contains(&fault.line)
        };
        let mut broken = Vec::new();
        for &item in &items {
            if faults.iter().any(|fault| within(item, fault)) {
                let own = lines.iter().skip(item.0).take(item.1);
                let id = own.filter_map(|line| line.split_once("id:")).next();
                broken.extend(id.map(|(_, id)| unquoted(id)));
            }
        }
        let outside = |fault: &Fault| !items.iter().any(|&item| within(item, fault));
        let lists = if faults.iter().any(outside) {
            let heads = lines.iter().filter_map(|line| line.split_once(':'));
            heads.map(|(name, _)| unquoted(name)).collect()
        } else {
            Vec::new()
        };
        Self { broken, lists }
    }

    /// Whether neither the rule nor a word list that it names holds a mistake.
    fn holds(&self, rule: &raw::Rule) -> bool {
        !self.broken.contains(&rule.id)
            && !names_of(rule).any(|name| self.lists.iter().any(|list| list == name))
    }
}

fn unquoted(name: &str) -> String {
    name.trim().trim_matches(['"', '\'']).to_owned()
}

/// The word lists that a rule names.
fn names_of(rule: &raw::Rule) -> impl Iterator<Item = &str> {
    let of_ways = rule.alternatives.iter().flat_map(|way| {
        let all = way.all.iter().flat_map(|names| names.split('|'));
        let silent = [&way.unless, &way.unless_near, &way.unless_clause];
        all.chain(silent.into_iter().flatten().map(String::as_str))
    });
    let of_rule = [
        &rule.unless,
        &rule.unless_near,
        &rule.unless_document,
        &rule.absent,
    ];
    let of_rule = of_rule.into_iter().flatten().map(String::as_str);
    of_ways.chain(of_rule).map(str::trim)
}

/// Word lists of the file that do nothing: without an entry, or new and named by no rule of it.
fn idle_lists<'f>(
    written: &'f raw::File,
    book: &'f Rulebook,
    plain: &'f Rulebook,
    name: &'f str,
    text: &'f str,
) -> impl Iterator<Item = Fault> + use<'f> {
    let is_named =
        |list: &str| (written.rules.iter()).any(|rule| names_of(rule).any(|name| name == list));
    let lists = written.concepts.0.iter();
    lists.filter_map(move |(list, entries)| {
        let message = if entries.is_empty() {
            format!("the word list “{list}” is empty")
        } else if plain.lexicon().id(list).is_none() && !is_named(list) {
            format!("no rule here names the word list “{list}”")
        } else {
            return None;
        };
        Some(book.fault_at(name, text, list, message))
    })
}

/// Built-in rules on whose own examples `rule` fires.
fn overlaps(rule: &Rule, engine: &Engine<'_>, book: &Rulebook, plain: &Rulebook) -> Vec<String> {
    plain
        .rules()
        .iter()
        .filter(|known| known.id != rule.id)
        .filter(|known| {
            known
                .fires
                .iter()
                .any(|example| fired(engine, book, example).contains(&rule.id))
        })
        .map(|known| {
            format!(
                "“{}” overlaps the built-in rule “{}”: it fires on an example of that rule",
                rule.id, known.id
            )
        })
        .collect()
}

/// Rules that fire on `text` at their own level.
fn fired(engine: &Engine<'_>, book: &Rulebook, text: &str) -> Vec<String> {
    let sheet = sheet::read(text);
    let hits = Hits::read(
        book.lexicon(),
        sheet.flow.text(),
        sheet.sentences.iter().map(|sentence| sentence.span),
    );
    engine
        .claims(&sheet, &hits, DocumentKind::default())
        .into_iter()
        .filter(|claim| !silent(claim.stance) && claim.stance != crate::finding::Stance::Reported)
        .map(|claim| claim.rule)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUSE: &str = include_str!("../../samples/house-rules.yaml");

    #[test]
    fn the_sample_is_sound() {
        let told = verify("house-rules.yaml", HOUSE);
        assert_eq!(told.faults, []);
        assert_eq!(told.warnings, []);
        assert_eq!((told.rules, told.examples), (1, 6));
    }

    #[test]
    fn examples_that_fail_are_told_with_their_place() {
        let swapped = HOUSE
            .replace("    fires:", "    tmp:")
            .replace("    quiet:", "    fires:")
            .replace("    tmp:", "    quiet:");
        let told = verify("house.yaml", &swapped);
        assert_eq!(told.faults.len(), 6, "{:?}", told.faults);
        assert!(
            told.faults
                .iter()
                .all(|fault| fault.file == "house.yaml" && fault.line > 20),
            "{:?}",
            told.faults
        );
    }

    #[test]
    fn an_overlap_is_told() {
        let text = "\
rules:
  - id: house-frost
    chapter: claims
    verdict: no-basis
    level: note
    title: frost
    says: frost
    sources: [copper-cooling]
    match:
      - all: [cold.strong]
    fires: ['Our cable is deep-frozen in liquid nitrogen.']
    quiet: ['Freezing a cable changes nothing.']
";
        let told = verify("house.yaml", text);
        assert_eq!(told.faults, []);
        assert!(
            told.warnings
                .iter()
                .any(|warning| warning.message.contains("deep-freezing") && warning.line == 11),
            "{:?}",
            told.warnings
        );
    }
}
