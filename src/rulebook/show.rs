//! Rules as text for people: one in full, or all in a list.

use super::{Chapter, Rule, Rulebook};
use std::fmt::Write;

/// Narrowest text column.
const NARROWEST: usize = 40;

/// The rule in full: what fires it, what physics says, the fair statement nearby, what would change the verdict, its figures
/// and its sources. `None` when there is no rule of that id.
#[must_use]
pub fn cite(book: &Rulebook, id: &str, width: usize) -> Option<String> {
    let rule = book.rule(id)?;
    let mut out = String::new();
    let _ = writeln!(out, "{}: {}", rule.id, rule.title);
    let _ = writeln!(
        out,
        "{} · {} · chapter {}: {}",
        rule.level.word(),
        rule.verdict.word(),
        rule.chapter.word(),
        rule.chapter.title()
    );
    for (head, text) in [
        ("Fires when", &rule.says),
        ("What is known", &rule.physics),
        ("Fair nearby", &rule.fair),
        ("Would change it", &rule.evidence),
        ("To do", &rule.help),
    ] {
        if !text.is_empty() {
            let _ = writeln!(out, "\n{head}");
            wrap(&mut out, text, 2, width);
        }
    }
    if !rule.thresholds.is_empty() {
        let _ = writeln!(out, "\nFigures (from {})", rule.file);
        for (name, value) in &rule.thresholds {
            let means = match name.as_ref() {
                "weight" => "   words of the claim that count before it is more than a note",
                "weight_short" => "   the same in fewer than eight sentences",
                _ => "",
            };
            let _ = writeln!(out, "  {name} = {value}{means}");
        }
    }
    if !rule.sources.is_empty() {
        let _ = writeln!(out, "\nSources");
        for source in rule.sources.iter().filter_map(|id| book.source(id)) {
            let text = format!("[{}] {}", source.confirmed.word(), source.text);
            wrap(&mut out, &text, 2, width);
        }
        wrap(
            &mut out,
            "(read: seen in a copy or a page that quotes it; computed: worked out from definitions; memory: not confirmed; mixed: part of each)",
            2,
            width,
        );
    }
    Some(out)
}

/// All rules by chapter, a line each.
#[must_use]
pub fn list(book: &Rulebook) -> String {
    let mut out = String::new();
    let widest = book
        .rules()
        .iter()
        .map(|rule| rule.id.len())
        .max()
        .unwrap_or(0);
    for (number, chapter) in Chapter::ALL.into_iter().enumerate() {
        let rules: Vec<&Rule> = book
            .rules()
            .iter()
            .filter(|rule| rule.chapter == chapter)
            .collect();
        if rules.is_empty() {
            continue;
        }
        if !out.is_empty() {
            out.push('\n');
        }
        let _ = writeln!(
            out,
            "{} {}: {}",
            number + 1,
            chapter.word(),
            chapter.title()
        );
        for rule in rules {
            let _ = writeln!(
                out,
                "  {:widest$}  {:7}  {:12}  {}",
                rule.id,
                rule.level.word(),
                rule.verdict.word(),
                rule.title
            );
        }
    }
    out
}

/// Ids that look like `id`, the likeliest first, three at the most.
#[must_use]
pub fn similar<'b>(book: &'b Rulebook, id: &str) -> Vec<&'b str> {
    let mut near: Vec<(usize, &str)> = book
        .rules()
        .iter()
        .map(|rule| (distance(id, &rule.id), rule.id.as_str()))
        .filter(|(steps, known)| *steps <= 3 || (id.len() > 3 && known.contains(id)))
        .collect();
    near.sort_unstable();
    near.into_iter().take(3).map(|(_, id)| id).collect()
}

/// Letters to insert, drop or change (Levenshtein 1966).
fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (index, letter) in one.chars().enumerate() {
        let mut corner = row[0];
        row[0] = index + 1;
        for (at, known) in other.iter().enumerate() {
            let change = corner + usize::from(letter != *known);
            corner = row[at + 1];
            row[at + 1] = change.min(row[at] + 1).min(corner + 1);
        }
    }
    row.last().copied().unwrap_or(0)
}

/// Appends `text` in lines of at most `width` characters, each after `indent` blanks.
fn wrap(out: &mut String, text: &str, indent: usize, width: usize) {
    let width = width.max(NARROWEST) - indent;
    let mut used = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            out.push('\n');
            used = 0;
        }
        if used == 0 {
            out.extend(std::iter::repeat_n(' ', indent));
        } else {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_in_full_fits_its_column() {
        let book = Rulebook::builtin();
        let text = cite(&book, "unequal-gauge", 72).expect("the rule");
        for part in [
            "area_ratio = 1.12",
            "Sources",
            "[read] ASTM B258",
            "Fair nearby",
        ] {
            assert!(text.contains(part), "{part} is missing in\n{text}");
        }
        assert!(
            text.lines()
                .filter(|line| line.starts_with("  "))
                .all(|line| line.chars().count() <= 72)
        );
        assert!(cite(&book, "no-such-rule", 72).is_none());
    }

    #[test]
    fn every_rule_is_listed_once() {
        let book = Rulebook::builtin();
        let text = list(&book);
        for rule in book.rules() {
            let lines = text
                .lines()
                .filter(|line| line.split_whitespace().next() == Some(rule.id.as_str()));
            assert_eq!(lines.count(), 1, "{}", rule.id);
        }
    }

    #[test]
    fn a_slip_of_the_keyboard_is_understood() {
        let book = Rulebook::builtin();
        assert_eq!(similar(&book, "unequal-guage"), ["unequal-gauge"]);
        assert!(similar(&book, "freezing").contains(&"deep-freezing"));
        assert!(similar(&book, "zzzzzzzzzz").is_empty());
    }
}
