//! A table of HTML as one with bars. Knows tags of tables.

use super::{Edit, name_of, tag, unspoken};
use std::borrow::Cow;
use std::ops::Range;

/// Longest cell of a table that holds figures; one that is longer holds a page.
const LONGEST_CELL: usize = 800;

/// The replacements inside a table between `from` and `to`; nothing where a cell is longer than a figure is.
pub(super) fn rows(text: &str, from: usize, to: usize) -> Option<Vec<Edit>> {
    let mut edits: Vec<Edit> = Vec::new();
    let mut here = from;
    // Cells of this row, whether all are heads, and rows so far.
    let (mut cells, mut heads, mut count) = (0_usize, true, 0_usize);
    let mut begun = from;
    let mut wider = 0;
    while here < to {
        let words_end = text
            .get(here..to)
            .and_then(|rest| rest.find('<'))
            .map_or(to, |ahead| here + ahead);
        words(text, here..words_end, cells > 0, &mut edits);
        if words_end >= to {
            break;
        }
        if let Some(end) = unspoken(text, words_end) {
            edits.push((words_end..end, Cow::Borrowed("")));
            here = end;
            continue;
        }
        let closing = text.get(words_end + 1..)?.starts_with('/');
        let name = text
            .get(words_end + 1 + usize::from(closing)..)
            .and_then(name_of)
            .map(str::to_ascii_lowercase);
        let Some(name) = name else {
            here = words_end + 1;
            continue;
        };
        let end = if closing {
            words_end + text.get(words_end..to)?.find('>')? + 1
        } else {
            tag(text, words_end)
                .map(|tag| tag.end)
                .or_else(|| Some(words_end + text.get(words_end..to)?.find('>')? + 1))?
        };
        let instead = match (name.as_str(), closing) {
            ("tr", false) => {
                (cells, heads) = (0, true);
                Cow::Borrowed("\n| ")
            }
            ("tr", true) => {
                count += 1;
                let ruled = count == 1 && heads && cells > 1;
                cells = 0;
                Cow::Owned(format!(" |{}", if ruled { "\n|---|" } else { "" }))
            }
            ("td" | "th", false) => {
                let own = tag(text, words_end);
                let wide = own
                    .and_then(|own| own.value(text, &["colspan"]))
                    .and_then(|range| text.get(range)?.parse::<usize>().ok())
                    .unwrap_or(1)
                    .clamp(1, 40);
                let ahead = if cells > 0 { " | " } else { "" };
                heads &= name == "th";
                cells += wide;
                begun = end;
                wider = wide - 1;
                Cow::Borrowed(ahead)
            }
            ("td" | "th", true) => {
                if end - begun > LONGEST_CELL {
                    return None;
                }
                // A cell over several columns stands in the first of them.
                Cow::Owned(" | ".repeat(std::mem::take(&mut wider)))
            }
            ("caption", _) => Cow::Borrowed("\n"),
            ("br" | "p" | "div" | "li", _) => Cow::Borrowed(" "),
            _ => Cow::Borrowed(""),
        };
        edits.push((words_end..end, instead));
        here = end;
    }
    (count > 0).then_some(edits)
}

/// Line ends and bars inside a table say nothing; in a cell a line end is a blank.
fn words(text: &str, range: Range<usize>, inside: bool, edits: &mut Vec<Edit>) {
    let Some(stretch) = text.get(range.clone()) else {
        return;
    };
    let mut at = 0;
    while let Some(found) = stretch
        .get(at..)
        .and_then(|rest| rest.find(['\n', '\r', '|']))
    {
        let start = at + found;
        let bar = stretch.get(start..=start) == Some("|");
        let len = if bar {
            1
        } else {
            let rest = stretch.get(start..).unwrap_or("");
            rest.len() - rest.trim_start().len()
        };
        let instead = match (bar, inside) {
            (true, _) => "/",
            (false, true) => " ",
            (false, false) => "",
        };
        edits.push((
            range.start + start..range.start + start + len,
            Cow::Borrowed(instead),
        ));
        at = start + len.max(1);
    }
}
