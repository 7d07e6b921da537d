//! Names and values in two columns, forms, and single lines with a wide gap.

use super::grid::{Segment, segments};
use super::{Draft, GAP, Line, Reader, is_figure};
use crate::sheet::marks::{self, KeyForm};
use crate::sheet::words::WORDS;
use std::ops::Range;

/// Widest gap between the longest name and its value in two columns, in letters.
const FARTHEST: usize = 24;
/// Longest name in two columns, in bytes.
const LONGEST_NAME: usize = 24;

/// A time or a date, as it stands beside the author of a post.
fn is_when(words: &str) -> bool {
    if words.len() > 40 {
        return false;
    }
    let clock = words.split([' ', ',']).any(|word| {
        let mut parts = word.split(':');
        matches!((parts.next(), parts.next()), (Some(hour), Some(minute))
            if (1..=2).contains(&hour.len())
                && hour.bytes().all(|byte| byte.is_ascii_digit())
                && minute.len() >= 2
                && minute.bytes().take(2).all(|byte| byte.is_ascii_digit()))
    });
    let lower = words.to_lowercase();
    clock
        || WORDS.when_end.ends(&lower)
        || (words.bytes().any(|byte| byte.is_ascii_digit())
            && lower
                .split(|letter: char| !letter.is_alphabetic())
                .any(|word| word.len() >= 3 && word.len() <= 9 && WORDS.when_start.begins(word)))
}

impl Reader<'_> {
    /// A form: labels in capitals and what was filled in, by turns.
    pub(super) fn form(&mut self, rows: &[Vec<Segment>]) -> bool {
        let label = |segment: &Segment| {
            let words = self.text.get(segment.range.clone()).unwrap_or("");
            words.ends_with(':')
                || (words.chars().any(char::is_uppercase)
                    && !words.chars().any(char::is_lowercase)
                    && !is_figure(words))
        };
        let fits = rows.iter().all(|row| {
            row.len() >= 4
                && row.len() % 2 == 0
                && row
                    .iter()
                    .enumerate()
                    .all(|(index, segment)| label(segment) == (index % 2 == 0))
        });
        if !fits {
            return false;
        }
        for row in rows {
            for pair in row.as_chunks::<2>().0 {
                let [name, value] = pair;
                self.pair(name.range.clone(), std::slice::from_ref(&value.range));
            }
        }
        true
    }

    /// Whether what stands behind keys and their values are remarks in brackets: “Loop resistance  7.1 mΩ/m  (go and return)”.
    pub(super) fn remarked(&self, rows: &[Vec<Segment>]) -> bool {
        let bracketed =
            |segment: &Segment| is_remark(self.text.get(segment.range.clone()).unwrap_or(""));
        let left = |row: &Vec<Segment>| row.first().map(|first| first.from);
        let keyed = rows.windows(2).all(|pair| left(&pair[0]) == left(&pair[1]));
        keyed
            && rows.iter().all(|row| row.len() <= 3)
            && rows.iter().any(|row| row.len() == 3)
            && rows.iter().filter_map(|row| row.get(2)).all(bracketed)
    }

    /// The parts of a line, with a remark in brackets joined to its value. A line that has a value and no name goes on with the one
    /// above, whose remark is then not joined to it.
    fn remarked_row(&self, at: usize, end: usize) -> Option<Vec<Segment>> {
        let row = segments(self.text, self.line(at)?);
        let goes_on = row.get(1).is_some_and(|value| {
            self.line(at + 1)
                .filter(|_| at + 1 < end)
                .is_some_and(|below| usize::from(below.indent) + 1 >= value.from)
        });
        Some(if goes_on {
            row
        } else {
            with_remarks(self.text, row)
        })
    }

    /// The key of a line that is a name of a few words and a figure far behind it.
    pub(in super::super) fn name_and_measure(&self, line: &Line) -> Option<marks::Key> {
        const FAR: usize = 3;
        const WORDS: usize = 7;
        let row = segments(self.text, line);
        let [name, value] = row.as_slice() else {
            return None;
        };
        let words = |segment: &Segment| self.text.get(segment.range.clone()).unwrap_or("");
        let told = value.from >= name.to + FAR
            && words(name).split_whitespace().nth(WORDS).is_none()
            && is_figure(words(value));
        told.then(|| marks::Key {
            len: name.range.end - line.start(),
            value: value.range.start - line.start(),
            form: KeyForm::Leader,
        })
    }

    /// Whether a name with its details in brackets stands over names and values that are set deeper: `Sample A  (flat, 2 m)`.
    fn tops_fields(&self, at: usize, end: usize, row: &[Segment]) -> bool {
        const DEEPER: usize = 2;
        let [name, value] = row else {
            return false;
        };
        let details = (self.text.get(value.range.clone()))
            .is_some_and(|words| words.starts_with('(') && words.ends_with(')'));
        let deeper = |below: &Line| {
            let row = segments(self.text, below);
            row.len() == 2 && row.iter().all(|part| part.from >= name.from + DEEPER)
        };
        details
            && (at + 1..end)
                .next()
                .and_then(|next| self.line(next))
                .is_some_and(deeper)
    }

    /// Names and values in two columns, or a single line with a wide gap.
    pub(in super::super) fn pairs(&mut self, at: usize, start: usize, end: usize) -> Option<usize> {
        let line = *self.line(at)?;
        if !line.has(GAP) || self.plain_key(&line) {
            return None;
        }
        let row = self.remarked_row(at, end)?;
        let [name, value] = row.as_slice() else {
            return (row.len() >= 3).then(|| self.scattered(at, &row)).flatten();
        };
        if self.tops_fields(at, end, &row) {
            return None;
        }
        let column = value.from;
        let name_words = self.text.get(name.range.clone())?;
        if name_words.split_whitespace().count() > 7 || at < self.unpaired {
            return self.wide_gap(at, start, end, &row);
        }
        // The lines that go on with the value, and whether the next name stands in line.
        let mut entries: Vec<(Range<usize>, Vec<Line>)> = Vec::new();
        let mut next = at;
        let mut aligned = 0;
        while next < end {
            let line = *self.line(next)?;
            if marks::is_rule(self.words(next)) {
                break;
            }
            let row = self.remarked_row(next, end)?;
            let from = row.first()?.from;
            if from + 1 >= column && !entries.is_empty() {
                if let Some((_, parts)) = entries.last_mut() {
                    parts.push(line);
                }
                aligned += usize::from(from.abs_diff(column) <= 1);
                next += 1;
                continue;
            }
            let [name, value] = row.as_slice() else {
                break;
            };
            if self.plain_key(&line) {
                break;
            }
            aligned += usize::from(value.from.abs_diff(column) <= 1);
            let part = line.part(self.text, value.range.start..line.end(), value.from);
            entries.push((name.range.clone(), vec![part]));
            next += 1;
        }
        let lines = next - at;
        let figures = entries
            .iter()
            .filter(|(name, _)| is_figure(self.text.get(name.clone()).unwrap_or("")))
            .count();
        if lines >= 2 && figures * 10 >= entries.len() * 6 && entries.len() >= 2 {
            let rows = entries
                .iter()
                .map(|(name, parts)| {
                    vec![vec![name.clone()], parts.iter().map(Line::range).collect()]
                })
                .collect();
            self.write(Draft { rows, ruled: false });
            return Some(next);
        }
        let right_aligned = entries.len() >= 2
            && entries.iter().all(|(_, parts)| {
                parts
                    .first()
                    .is_some_and(|part| is_figure(part.of(self.text)))
            });
        // A head on either side of the line: names and values stand closer together.
        let closest = entries
            .iter()
            .filter_map(|(name, parts)| {
                let first = parts.first()?;
                self.text.get(name.end..first.start()).map(str::len)
            })
            .min()
            .unwrap_or(0);
        // … unless names and values stand in two columns, three lines or more.
        let columns = lines >= 3
            && aligned == lines
            && closest <= FARTHEST
            && entries.iter().all(|(name, _)| name.len() <= LONGEST_NAME);
        if closest > 10 && !right_aligned && !columns {
            self.leave_unpaired(at, next);
            return self.wide_gap(at, start, end, &row);
        }
        if lines >= 2
            && (aligned * 10 >= lines * 7 || right_aligned)
            && entries.len() * 3
                >= lines.min(9) - lines.min(9) / 2 * usize::from(entries.len() == 1)
            || lines >= 2 && entries.len() == 1 && aligned == lines
        {
            for (name, parts) in entries {
                self.pair_lines(name, &parts);
            }
            return Some(next);
        }
        self.leave_unpaired(at, next);
        self.wide_gap(at, start, end, &row)
    }

    /// Lines that are no names with their values are not walked over from each of them again, where they are many.
    fn leave_unpaired(&mut self, at: usize, next: usize) {
        const MANY: usize = 64;
        if next - at > MANY {
            self.unpaired = next;
        }
    }

    /// One line with two stretches that nothing above or below is in line with.
    fn wide_gap(&mut self, at: usize, start: usize, end: usize, row: &[Segment]) -> Option<usize> {
        let [name, value] = row else {
            return None;
        };
        let name_words = self.text.get(name.range.clone())?;
        let value_words = self.text.get(value.range.clone())?;
        let gap = value.from - name.to;
        if gap >= 3 && is_when(value_words) && name_words.split_whitespace().count() <= 4 {
            self.post(name.range.clone(), value.range.clone());
            return Some(at + 1);
        }
        if gap >= 3
            && is_figure(value_words)
            && name_words.split_whitespace().count() <= 8
            && !name_words.ends_with(['.', '!', '?'])
            && value_words.len() > 3
            && gap <= 30
        {
            self.pair(name.range.clone(), std::slice::from_ref(&value.range));
            return Some(at + 1);
        }
        let short = end - start <= 3 || at == start;
        // "LLV 25, length 15 m, load 8 Ω       insertion loss 0.45 dB": what was measured stands behind its conditions.
        let figure = |words: &str| words.bytes().any(|byte| byte.is_ascii_digit());
        if gap >= 4
            && name_words.contains(", ")
            && figure(name_words)
            && figure(value_words)
            && value_words.starts_with(char::is_lowercase)
        {
            self.loose(name.range.start..value.range.end);
            return Some(at + 1);
        }
        if gap >= 4 && short {
            for segment in row {
                self.loose(segment.range.clone());
            }
            return Some(at + 1);
        }
        None
    }

    /// One line with three stretches or more that is no row of a table.
    fn scattered(&mut self, at: usize, row: &[Segment]) -> Option<usize> {
        let widest = row
            .windows(2)
            .filter_map(|pair| match pair {
                [left, right] => Some(right.from - left.to),
                _ => None,
            })
            .max()?;
        if widest < 4 {
            return None;
        }
        for segment in row {
            self.loose(segment.range.clone());
        }
        Some(at + 1)
    }

    pub(super) fn pair(&mut self, name: Range<usize>, value: &[Range<usize>]) {
        let parts: Vec<Line> = value
            .iter()
            .map(|range| Line::of_range(self.text, range.clone(), 0))
            .collect();
        self.pair_lines(name, &parts);
    }

    fn pair_lines(&mut self, name: Range<usize>, parts: &[Line]) {
        let (Some(first), Some(last)) = (parts.first(), parts.last()) else {
            return;
        };
        self.note_deeper_at(self.sheet.blocks.len(), name.start);
        // The name and the first part of the value are one line as far as the key is concerned.
        let key = marks::Key {
            len: name.len(),
            value: first.start() - name.start,
            form: KeyForm::Leader,
        };
        let head = first.part(
            self.text,
            name.start..first.end().max(name.end),
            usize::from(first.indent),
        );
        let mut lines = vec![head];
        lines.extend(parts.get(1..).unwrap_or(&[]));
        debug_assert!(last.end() >= first.end() || parts.len() == 1);
        self.keyed_lines(&lines, key);
    }
}

/// Joins a remark in brackets to the value that stands before it: `62 Ω    (characteristic)`.
fn with_remarks(text: &str, mut row: Vec<Segment>) -> Vec<Segment> {
    let remark = row
        .get(2)
        .filter(|_| row.len() == 3)
        .filter(|last| is_remark(text.get(last.range.clone()).unwrap_or("")))
        .map(|last| last.range.end);
    if let (Some(end), Some(value)) = (remark, row.get_mut(1)) {
        value.range.end = end;
        row.pop();
    }
    row
}

/// Whether words stand in brackets as a whole.
fn is_remark(words: &str) -> bool {
    let words = words.trim();
    words.starts_with('(') && words.ends_with(')')
}
