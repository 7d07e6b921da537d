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
    let book = match Rulebook::with_house(&[(name.to_owned(), text.to_owned())]) {
        Ok(book) => book,
        Err(faults) => {
            told.faults = faults;
            return told;
        }
    };
    let plain = Rulebook::builtin();
    let (engine, without) = (Engine::new(&book), Engine::new(&plain));
    // The book came of it: it can be read.
    let written = raw::read(text).unwrap_or_default();
    told.warnings
        .extend(idle_lists(&written, &book, &plain, name, text));
    for own in &written.rules {
        let Some(rule) = book.rule(&own.id) else {
            continue;
        };
        told.rules += 1;
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
    told.warnings.sort();
    told.warnings.dedup();
    told
}

/// Word lists of the file that do nothing: without an entry, or new and named by no rule of it.
fn idle_lists<'f>(
    written: &'f raw::File,
    book: &'f Rulebook,
    plain: &'f Rulebook,
    name: &'f str,
    text: &'f str,
) -> impl Iterator<Item = Fault> + use<'f> {
    let is_named = |list: &str| {
        written.rules.iter().any(|rule| {
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
            of_ways.chain(of_rule).any(|known| known.trim() == list)
        })
    };
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
