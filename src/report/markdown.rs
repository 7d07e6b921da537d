//! `markdown`: a fact-check note to paste into a review (CommonMark with tables).

use crate::finding::{Level, Verdict};
use crate::report::view::{Item, View, one_line, shortened};
use crate::report::{Ending, Renderer, Scene, escape};
use std::collections::BTreeSet;

/// The format.
pub struct Markdown;

impl Renderer for Markdown {
    fn joint(&self) -> &'static str {
        "\n---\n\n"
    }

    fn document(&self, view: &View<'_>, _: &Scene<'_>, _: usize) -> String {
        let mut out = format!("# Fact check: {}\n\n", words(view.path()));
        out.push_str(&format!(
            "Read as {}: {}. Confirmed: {}. Found: {}.\n",
            view.kind,
            view.read(),
            view.counts.confirmed,
            view.counts.found()
        ));
        for remark in &view.remarks {
            out.push_str(&format!("\nLimit: {}\n", words(remark)));
        }
        verdicts(&mut out, view);
        if !view.findings.is_empty() {
            out.push_str("\n## What does not hold\n");
        }
        for (index, item) in in_order(view).into_iter().enumerate() {
            finding(&mut out, index + 1, item);
        }
        if !view.confirmed.is_empty() {
            out.push_str("\n## What was confirmed\n\n");
            for item in &view.confirmed {
                out.push_str(&format!(
                    "- {} ({}): {}\n",
                    quotation(item, 120),
                    item.where_it_stands(),
                    words(&item.message)
                ));
            }
        }
        ask(&mut out, view);
        if !view.settled.is_empty() {
            out.push_str("\n## Settled before\n\n");
            for item in &view.settled {
                if let Some(settled) = &item.settled {
                    out.push_str(&format!(
                        "- {}, {}: {} — {}, {}\n",
                        words(&item.title),
                        item.where_it_stands(),
                        words(&settled.reason),
                        words(&settled.who),
                        words(&settled.date)
                    ));
                }
            }
        }
        out
    }

    fn tail(&self, _: &Scene<'_>, ending: &Ending) -> String {
        let mut out = String::new();
        for notice in &ending.notices {
            out.push_str(&format!("\nNotice: {}\n", words(notice)));
        }
        for trouble in &ending.troubles {
            out.push_str(&format!("\nNot read: {}\n", words(trouble)));
        }
        out
    }
}

fn in_order<'v>(view: &'v View<'_>) -> Vec<&'v Item> {
    view.groups
        .iter()
        .flatten()
        .filter_map(|&index| view.findings.get(index))
        .collect()
}

fn verdicts(out: &mut String, view: &View<'_>) {
    let rows: Vec<(String, &Item)> = in_order(view)
        .into_iter()
        .enumerate()
        .map(|(index, item)| ((index + 1).to_string(), item))
        .chain(view.confirmed.iter().map(|item| (String::new(), item)))
        .collect();
    if rows.is_empty() {
        return;
    }
    out.push_str("\n| No. | Statement | Where | Verdict | Weight | Rule |\n");
    out.push_str("| --- | --- | --- | --- | --- | --- |\n");
    for (number, item) in rows {
        out.push_str(&format!(
            "| {number} | {} | {} | {} | {} | {} |\n",
            quotation(item, 90),
            item.where_it_stands(),
            item.verdict_words(),
            item.level.map_or("", Level::word),
            words(&item.rule)
        ));
    }
}

fn finding(out: &mut String, number: usize, item: &Item) {
    out.push_str(&format!(
        "\n### {number}. {}: {}\n\n",
        words(&item.title),
        item.verdict_words()
    ));
    for quote in &item.quotes {
        out.push_str(&format!("> “{}” — {}", words(&quote.text), quote.lines()));
        if !quote.label.is_empty() {
            out.push_str(&format!(", {}", words(&quote.label)));
        }
        out.push_str("\n>\n");
    }
    if out.ends_with("\n>\n") {
        out.truncate(out.len() - 2);
        out.push('\n');
    }
    out.push_str(&words(&item.message));
    out.push('\n');
    if !item.help.is_empty() {
        out.push_str(&format!("\n**To do:** {}\n", words(&item.help)));
    }
    if !item.working.is_empty() {
        out.push_str("\nWorking:\n\n");
        for work in &item.working {
            out.push_str(&format!("- {}", words(&work.equation())));
            if work.from != "computed" {
                out.push_str(&format!(" ({})", words(&work.from)));
            }
            out.push('\n');
        }
    }
    out.push_str(&format!(
        "\nRule: {}, {}.\n",
        words(&item.rule),
        item.level.map_or("confirmed", Level::word)
    ));
    if !item.sources.is_empty() {
        out.push_str("\nSources:\n\n");
        for source in &item.sources {
            out.push_str(&format!("- {}\n", words(&source.text)));
        }
    }
}

/// What is left unsaid or does not hold, as questions to the maker: the help lines, each once.
fn ask(out: &mut String, view: &View<'_>) {
    let mut seen = BTreeSet::new();
    let asked: Vec<&Item> = in_order(view)
        .into_iter()
        .filter(|item| item.verdict != Verdict::Caution && !item.help.is_empty())
        .filter(|item| seen.insert(item.help.as_str()))
        .collect();
    if asked.is_empty() {
        return;
    }
    out.push_str("\n## What to ask the maker\n\n");
    for item in asked {
        out.push_str(&format!(
            "- About {} ({}): {}\n",
            quotation(item, 60),
            item.where_it_stands(),
            words(&item.help)
        ));
    }
}

fn quotation(item: &Item, most: usize) -> String {
    let quotation = item.quotation();
    if quotation.is_empty() {
        "the document as a whole".to_owned()
    } else {
        format!("“{}”", words(&shortened(&quotation, most)))
    }
}

/// Text of a document or a message in one line, with everything that Markdown could take for its own escaped.
fn words(text: &str) -> String {
    let text = one_line(&escape::line(text));
    let mut out = String::with_capacity(text.len() + 8);
    let mut before = ' ';
    for (at, letter) in text.char_indices() {
        let special = match letter {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '&' | '~' | '$' | '^' => {
                true
            }
            // Lists, rules and headings at the start of a line.
            '-' | '+' | '=' => at == 0,
            '.' | ')' => {
                text.get(..at)
                    .is_some_and(|before| before.bytes().all(|byte| byte.is_ascii_digit()))
                    || before.eq_ignore_ascii_case(&'w')
            }
            '!' => true,
            // Addresses that some readers make into links.
            ':' | '@' => text
                .get(at + 1..)
                .and_then(|rest| rest.chars().next())
                .is_some_and(|next| !next.is_whitespace()),
            _ => false,
        };
        if special {
            out.push('\\');
        }
        out.push(letter);
        before = letter;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn nothing_of_a_document_becomes_markup() {
        assert_eq!(
            words("<b>*x*</b> | [a](b)"),
            "\\<b\\>\\*x\\*\\</b\\> \\| \\[a\\](b)"
        );
        assert_eq!(words("- item"), "\\- item");
        assert_eq!(words("1. item"), "1\\. item");
        assert_eq!(words("http://x.y"), "http\\://x.y");
        assert_eq!(words("a\nb\u{1b}"), "a b\\\\u{1b}");
    }
}
