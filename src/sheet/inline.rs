//! Names and values that stand in a row on one line, by exports: `name = Rill; awg = 12; m = 3`, `{"name": "Rill", "awg": 12}`. Each
//! becomes a line of its own. Knows signs and keys, and nothing of what they say.

use super::lines::{COLON, EQUALS, Line};
use super::marks;
use super::words::WORDS;
use std::ops::Range;

/// Longest line that is looked at, in bytes.
const LONGEST: usize = 4000;

/// Begins a line with each answer that stands behind its question: “Q: Why so thick? A: It is not.”
pub(super) fn answers(text: &str, lines: Vec<Line>) -> Vec<Line> {
    let behind = |line: &Line| {
        if !line.has(COLON) || line.end() - line.start() > LONGEST {
            return None;
        }
        let words = line.of(text);
        let mut ends = words.match_indices("? ").map(|(at, sign)| at + sign.len());
        ends.find(|&at| {
            let label = words.get(at..).and_then(|rest| rest.split_once(": "));
            label.is_some_and(|(label, answer)| {
                WORDS.voice_answer.has(label) && answer.starts_with(char::is_uppercase)
            })
        })
    };
    let Some(first) = lines.iter().position(|line| behind(line).is_some()) else {
        return lines;
    };
    let mut out = Vec::with_capacity(lines.len() + 1);
    out.extend(lines.iter().take(first));
    for line in lines.into_iter().skip(first) {
        let Some(at) = behind(&line) else {
            out.push(line);
            continue;
        };
        let (start, end) = (line.start(), line.end());
        out.push(line.part(text, start..start + at - 1, usize::from(line.indent)));
        let mut answer = line.part(text, start + at..end, usize::from(line.indent));
        answer.blank = 0;
        answer.page = false;
        out.push(answer);
    }
    out
}

/// Labels of two sides, the one behind the other.
const SIDES: [[&str; 2]; 5] = [["A", "B"], ["X", "Y"], ["P", "Q"], ["S", "T"], ["1", "2"]];
/// Longest telling of a side on one line with the other, in bytes.
const SIDE: usize = 160;

/// Parts a line that tells of two sides, each behind its letter: “A: copper, 2 m. B: silver, 2 m. Same system.”
pub(super) fn sides(text: &str, lines: Vec<Line>) -> Vec<Line> {
    let parted = |line: &Line| {
        if !line.has(COLON) || line.end() - line.start() > LONGEST {
            return None;
        }
        let words = line.of(text);
        let (first, _) = words.split_once(": ")?;
        let (noun, letter) = first.rsplit_once(' ').unwrap_or(("", first));
        let [_, other] = SIDES.iter().find(|pair| pair[0] == letter)?;
        if noun.contains(|sign: char| !sign.is_alphabetic()) || (noun.is_empty() && letter == "1") {
            return None;
        }
        let label = if noun.is_empty() {
            format!("{other}: ")
        } else {
            format!("{noun} {other}: ")
        };
        let second = [". ", "; ", "  ", ", "].iter().find_map(|sign| {
            let at = words.find(&format!("{sign}{label}"))?;
            Some(at + sign.len())
        })?;
        let told = words.get(first.len() + 2..second)?;
        let behind = words.get(second + label.len()..)?;
        let end = behind.find(". ").map_or(behind.len(), |end| end + 1);
        let sized =
            |part: &str| part.len() <= SIDE && part.bytes().any(|sign| sign.is_ascii_digit());
        // A third side, or one told in several sentences, is left as it is.
        let plain = !told.trim_end_matches(['.', ' ', ';']).contains(". ");
        (plain && sized(told) && sized(behind.get(..end)?))
            .then_some((second, second + label.len() + end))
    };
    let Some(first) = lines.iter().position(|line| parted(line).is_some()) else {
        return lines;
    };
    let mut out = Vec::with_capacity(lines.len() + 2);
    out.extend(lines.iter().take(first));
    for line in lines.into_iter().skip(first) {
        let Some((second, rest)) = parted(&line) else {
            out.push(line);
            continue;
        };
        let (start, end) = (line.start(), line.end());
        let indent = usize::from(line.indent);
        let trimmed = |from: usize, to: usize| {
            let words = text.get(from..to).unwrap_or("");
            from..from + words.trim_end_matches([' ', ';', ',']).len()
        };
        out.push(line.part(text, trimmed(start, start + second), indent));
        let mut behind = line.part(text, trimmed(start + second, start + rest), indent);
        behind.blank = 0;
        behind.page = false;
        out.push(behind);
        let blanks = text.get(start + rest..end).unwrap_or("");
        let from = start + rest + blanks.len() - blanks.trim_start().len();
        if from < end {
            let mut remark = line.part(text, from..end, indent);
            remark.blank = 1;
            remark.page = false;
            out.push(remark);
        }
    }
    out
}

/// Puts names and values in a row one below the other.
pub(super) fn unfold(text: &str, lines: Vec<Line>) -> Vec<Line> {
    let parted: Vec<Option<Vec<Range<usize>>>> =
        lines.iter().map(|line| parts(text, line)).collect();
    // One line alone may only look like it; the next one of its kind begins with the same name.
    let name = |at: usize| {
        let range = parted.get(at)?.as_ref()?.first()?;
        let words = text.get(range.clone())?;
        let key = marks::key(words)?;
        words.get(..key.len)
    };
    let objects: Vec<usize> = (0..lines.len())
        .filter(|&at| parted.get(at).is_some_and(Option::is_some))
        .collect();
    let kin = |place: usize, other: Option<usize>| {
        let (Some(&own), Some(&other)) = (
            objects.get(place),
            other.and_then(|other| objects.get(other)),
        ) else {
            return false;
        };
        let quoted = |at: usize| lines.get(at).is_some_and(|line| is_quoted(line.of(text)));
        quoted(own) && quoted(other) || name(own).is_some() && name(own) == name(other)
    };
    // `sku=A4|name=Rill`, below it `metal=copper|size=12 AWG`: a record may go on over lines.
    let barred = |place: usize| {
        let line = objects.get(place).and_then(|&at| lines.get(at));
        line.is_some_and(|line| is_barred(line.of(text)))
    };
    let records = (0..objects.len())
        .filter(|&place| barred(place) && kin(place, Some(place + 1)))
        .count()
        > 0
        || (0..objects.len()).filter(|&place| barred(place)).count() >= 3;
    let kept: Vec<usize> = (0..objects.len())
        .filter(|&place| {
            kin(place, place.checked_sub(1))
                || kin(place, Some(place + 1))
                || records && barred(place)
        })
        .filter_map(|place| objects.get(place).copied())
        .collect();
    if kept.is_empty() {
        return lines;
    }
    let mut out = Vec::with_capacity(lines.len() * 2);
    let mut blank = 0_u8;
    for (at, line) in lines.iter().enumerate() {
        if kept.binary_search(&at).is_err() {
            // Brackets round objects are no words.
            if line.of(text).chars().all(|sign| "{}[], ".contains(sign)) {
                blank = blank.max(1);
                continue;
            }
            let mut line = *line;
            line.blank = line.blank.max(blank);
            blank = 0;
            out.push(line);
            continue;
        }
        let ranges = parted.get(at).and_then(Option::as_ref);
        for (place, range) in ranges.into_iter().flatten().enumerate() {
            let ahead = range.start - line.start();
            let mut part = line.part(text, range.clone(), usize::from(line.indent) + ahead);
            part.indent = line.indent;
            if place > 0 {
                part.blank = 0;
                part.page = false;
            } else {
                let several = ranges.is_some_and(|ranges| ranges.len() > 1)
                    && !(records && is_barred(line.of(text)));
                part.blank = part.blank.max(blank).max(u8::from(several));
            }
            blank = 0;
            out.push(part);
        }
    }
    out
}

/// Whether bars part names and values that are joined by equals signs without blanks.
fn is_barred(words: &str) -> bool {
    words.contains('|')
        && words.split('|').all(|part| {
            part.split_once('=').is_some_and(|(name, value)| {
                !name.trim().is_empty()
                    && !value.trim().is_empty()
                    && !name.trim().contains(char::is_whitespace)
            })
        })
}

/// Whether a line begins with a name in quotation marks, as those of objects do.
fn is_quoted(words: &str) -> bool {
    words.trim_start_matches(['{', '[', ' ']).starts_with('"')
}

/// The names with their values of a line that holds nothing else; one alone only where the name stands in quotation marks.
fn parts(text: &str, line: &Line) -> Option<Vec<Range<usize>>> {
    if !line.has(COLON | EQUALS) || line.end() - line.start() > LONGEST {
        return None;
    }
    let words = line.of(text);
    let quoted = is_quoted(words);
    let found = if quoted {
        objects(words)
    } else {
        [';', '|', '\t', ','].into_iter().find_map(|sign| {
            let parts: Option<Vec<Range<usize>>> = split(words, sign)
                .into_iter()
                .map(|part| {
                    let inner = words.get(part.clone())?;
                    let key = marks::key(inner)?;
                    (key.value < inner.len()).then_some(part)
                })
                .collect();
            parts.filter(|parts| parts.len() >= 2)
        })
    }?;
    Some(
        found
            .into_iter()
            .map(|part| line.start() + part.start..line.start() + part.end)
            .collect(),
    )
}

/// The stretches between the signs, without blanks round them.
fn split(words: &str, sign: char) -> Vec<Range<usize>> {
    let mut start = 0;
    words
        .split(sign)
        .map(|part| {
            let from = start + part.len() - part.trim_start().len();
            start += part.len() + sign.len_utf8();
            from..from + part.trim().len()
        })
        .filter(|part| !part.is_empty())
        .collect()
}

/// `"name": "value", "name": 12`, with brackets round it or not: from the first letter of the name to the last of the value.
fn objects(words: &str) -> Option<Vec<Range<usize>>> {
    let skip = |at: usize, signs: &str| {
        let rest = words.get(at..).unwrap_or("");
        at + rest.len() - rest.trim_start_matches(|sign| signs.contains(sign)).len()
    };
    let mut found = Vec::new();
    let mut at = skip(0, "{[ \t");
    while at < words.len() {
        let name = at + 1;
        let end = name + words.get(at..)?.strip_prefix('"')?.find('"')?;
        let colon = skip(end + 1, " ");
        let value = skip(
            words.get(colon..)?.starts_with(':').then_some(colon + 1)?,
            " ",
        );
        let rest = words.get(value..)?;
        // What is inside an object or a list of objects is read by itself.
        let list = rest.strip_prefix('[').map(|inner| {
            let end = inner.find(']').unwrap_or(inner.len());
            inner.get(..end).unwrap_or("")
        });
        let nested = list.is_none_or(|list| list.contains('{') || list.trim().is_empty());
        if rest.starts_with(['{', '[']) && nested {
            let inside = skip(value, "{[ ");
            let behind = skip(inside, "}] ");
            at = skip(behind, ", ");
            continue;
        }
        if let Some(list) = list {
            let last = value + 1 + list.len();
            found.push(name..(last + 1).min(words.len()));
            at = skip(skip(last, "}] "), ", ");
            continue;
        }
        let (last, next) = match rest.strip_prefix('"') {
            Some(inner) => {
                let len = inner.find('"')?;
                (value + 1 + len, value + len + 2)
            }
            None => {
                let len = rest.find([',', '}', ']']).unwrap_or(rest.len());
                let bare = rest.get(..len)?;
                if bare.contains(['"', '{', '[']) {
                    return None;
                }
                (value + bare.trim_end().len(), value + len)
            }
        };
        if last > value && end > name {
            found.push(name..last);
        }
        let behind = skip(next, "}] ");
        at = skip(behind, ", ");
        if at < words.len() && at == behind {
            return None;
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use crate::sheet;

    fn blocks(text: &str) -> Vec<String> {
        let sheet = sheet::outline(text);
        sheet
            .blocks
            .iter()
            .map(|block| {
                format!(
                    "{}{}",
                    block.span.of(sheet.flow.text()),
                    if block.key().is_some() { " *" } else { "" }
                )
            })
            .collect()
    }

    #[test]
    fn names_and_values_in_a_row_are_a_field_each() {
        assert_eq!(
            blocks("name = Rill ; awg = 12\nname = Beck ; awg = 14\n"),
            ["name = Rill *", "awg = 12 *", "name = Beck *", "awg = 14 *"]
        );
        assert_eq!(
            blocks(
                "[\n  {\"name\": \"Rill, long\", \"awg\": 12},\n  {\"name\": \"Beck\", \"awg\": 14}\n]\n"
            ),
            [
                "name: Rill, long *",
                "awg: 12 *",
                "name: Beck *",
                "awg: 14 *"
            ]
        );
        assert_eq!(
            blocks(
                "{\n  \"name\": \"Rill\",\n  \"awg\": 12\n},\n{\n  \"name\": \"Beck\",\n  \"awg\": 14\n}\n"
            ),
            ["name: Rill *", "awg: 12 *", "name: Beck *", "awg: 14 *"]
        );
    }

    #[test]
    fn what_only_looks_like_it_stays_as_it_is() {
        for text in [
            "Size: 12 AWG, as ever.\n",
            "Jacket: white, soft\nJacket: black, soft\n",
            "\"Thick\", he said: that is all.\n\"Thin\", said she: it will do.\n",
        ] {
            assert!(
                blocks(text).len() <= text.lines().count(),
                "{:?}",
                blocks(text)
            );
        }
    }
}
