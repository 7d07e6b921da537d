//! What was understood of a document, for people who check it against the document.

use crate::report::view::{Quote, View, counted, one_line, shortened};
use crate::report::{Look, escape};
use crate::sheet::Value;

/// A table for each cable, the set-up, the comparisons, the claims, and the quantities that belong to nothing.
#[must_use]
pub fn render(view: &View<'_>, look: &Look) -> String {
    let mut out = String::new();
    out.push_str(&format!(
        "{}: read as {}; {}\n",
        view.path(),
        view.kind,
        view.read()
    ));
    for group in view.cables().chain([view.setup()]) {
        if group.rows.is_empty() && group.mentions.is_empty() {
            continue;
        }
        heading(&mut out, &group.name);
        if let Some(first) = group.mentions.first() {
            out.push_str(&format!(
                "  named in {}{}\n",
                first.lines(),
                match group.mentions.len() {
                    1 => String::new(),
                    more => format!(" and {}", counted(more - 1, "other place")),
                }
            ));
        }
        let rows = group
            .rows
            .iter()
            .map(|row| [row.what.clone(), row.value.clone(), cited(&row.quote)])
            .collect::<Vec<_>>();
        table(&mut out, &rows, look);
    }
    for compared in &view.comparisons {
        heading(
            &mut out,
            &format!("comparison: {}", compared.sides.join(" against ")),
        );
        let mut rows = vec![[
            "set side by side".to_owned(),
            match (compared.null, compared.critique) {
                (true, _) => "no difference is said to be found".to_owned(),
                (false, true) => "said here to be unequal".to_owned(),
                (false, false) => String::new(),
            },
            cited(&compared.quote),
        ]];
        if !compared.subjects.is_empty() {
            rows.push([
                "subject or credit".to_owned(),
                compared.subjects.join(", "),
                String::new(),
            ]);
        }
        if let Some(outcome) = &compared.outcome {
            let winner = compared
                .winner
                .as_ref()
                .map_or_else(String::new, |name| format!("{name} is said to be better"));
            rows.push(["outcome".to_owned(), winner, cited(outcome)]);
        }
        if let Some(credit) = &compared.credit {
            rows.push(["credited to".to_owned(), String::new(), cited(credit)]);
        }
        for difference in &compared.differences {
            rows.push([
                "stated difference".to_owned(),
                difference.clone(),
                String::new(),
            ]);
        }
        table(&mut out, &rows, look);
    }
    if !view.claims.is_empty() {
        heading(&mut out, "claims");
        let rows = view
            .claims
            .iter()
            .map(|said| {
                [
                    said.rule.clone(),
                    said.stance.word().to_owned(),
                    cited(&said.quote),
                ]
            })
            .collect::<Vec<_>>();
        table(&mut out, &rows, look);
    }
    let rest: Vec<[String; 3]> = view
        .quantities()
        .filter(|measure| measure.unclaimed)
        .map(|measure| {
            let value = match &measure.value {
                Value::Number(number) => number.to_string(),
                Value::Text(text) => text.to_string(),
            };
            [
                // The unit stands beside it.
                measure.kind.trim_end_matches("_db").replace('_', " "),
                format!("{value} {}", measure.unit).trim_end().to_owned(),
                cited(&measure.quote),
            ]
        })
        .collect();
    if !rest.is_empty() {
        heading(&mut out, "quantities given to no cable and no set-up");
        table(&mut out, &rest, look);
    }
    for remark in &view.remarks {
        out.push_str(&format!("\nlimit: {remark}\n"));
    }
    let shown = escape::block(&out);
    if look.unicode {
        shown.into_owned()
    } else {
        escape::ascii(&shown).into_owned()
    }
}

fn heading(out: &mut String, text: &str) {
    out.push('\n');
    out.push_str(&one_line(text));
    out.push('\n');
}

fn cited(quote: &Quote) -> String {
    format!(
        "{}: “{}”",
        quote.lines(),
        shortened(&one_line(&quote.text), 60)
    )
}

/// Rows in columns; one row a line with colons between for a reader who listens.
fn table(out: &mut String, rows: &[[String; 3]], look: &Look) {
    let width = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0)
            .min(look.width / 2)
    };
    let (first, second) = (width(0), width(1));
    for [what, value, cited] in rows {
        let line = if look.plain {
            format!("{what}: {value}; {cited}")
        } else {
            format!("  {what:first$}  {value:second$}  {cited}")
        };
        out.push_str(line.trim_end().trim_end_matches(';'));
        out.push('\n');
    }
}
