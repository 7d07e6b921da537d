//! The lines of a document that a finding rests on, cut to what can be shown, as the source of a terminal diagnostic.
//!
//! Only the lines that carry a mark are taken, long ones as windows round it, hidden characters shown. All offsets given
//! to the diagnostic are offsets in that excerpt, so that none can lie outside.

use crate::input::Source;
use crate::report::escape;
use crate::report::view::Quote;
use miette::{LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};
use std::ops::Range;

/// Most marks that one excerpt carries.
const MOST_MARKS: usize = 6;
/// Most lines of one mark.
const MOST_LINES: usize = 3;
/// Fewest characters kept on either side of a mark in a long line.
const MARGIN: usize = 4;
/// Characters kept at the start and at the end of a long mark.
const HEAD: usize = 34;
const TAIL: usize = 14;

/// A line of the excerpt.
struct Line {
    /// Its number in the document, from 1.
    number: usize,
    /// Its bytes in the excerpt, line end included.
    shown: Range<usize>,
}

/// Lines with marks.
pub struct Excerpt {
    name: String,
    text: String,
    lines: Vec<Line>,
    /// Where a mark starts in the excerpt, and its column in the document.
    columns: Vec<(usize, usize)>,
    /// Labels for the diagnostic.
    pub labels: Vec<LabeledSpan>,
    /// Marks that are left out.
    pub left_out: usize,
}

/// A part of a line that is shown.
type Pieces = Vec<Range<usize>>;

impl Excerpt {
    /// Takes the lines that `quotes` stand on. `width` is what there is for a line of the document.
    #[must_use]
    pub fn new(source: &Source, quotes: &[Quote], width: usize, unicode: bool) -> Self {
        let text = source.text();
        let mut marks: Vec<(Range<usize>, usize, usize, String)> = Vec::new();
        for quote in quotes {
            if let Some(known) = marks.iter_mut().find(|(range, ..)| *range == quote.range) {
                if !quote.label.is_empty() && known.3 != quote.label {
                    known.3.push_str("; ");
                    known.3.push_str(&quote.label);
                }
                continue;
            }
            let last = quote.further.len();
            for (index, (place, range)) in quote.stretches().enumerate() {
                let label = if index == last {
                    quote.label.clone()
                } else {
                    "goes on".to_owned()
                };
                marks.push((range.clone(), place.line, place.column, label));
            }
        }
        let left_out = marks.len().saturating_sub(MOST_MARKS);
        marks.truncate(MOST_MARKS);
        // Lines that carry a mark, by number, each with the parts of the marks on it.
        let mut wanted: Vec<(usize, Range<usize>, Vec<Range<usize>>)> = Vec::new();
        for (range, first, _, label) in &mut marks {
            let mut line = source.line_at(range.start);
            for number in *first..*first + MOST_LINES {
                let part =
                    range.start.clamp(line.start, line.end)..range.end.clamp(line.start, line.end);
                match wanted.iter_mut().find(|(known, ..)| known == &number) {
                    Some((.., parts)) => parts.push(part),
                    None => wanted.push((number, line.clone(), vec![part])),
                }
                let next = next_line(text, line.end);
                if range.end <= next || next >= text.len() {
                    break;
                }
                if number + 1 == *first + MOST_LINES {
                    range.end = line.end;
                    label.push_str(" (goes on)");
                    break;
                }
                line = source.line_at(next);
            }
            range.end = range.end.min(line.end.max(range.start));
        }
        wanted.sort_by_key(|(number, ..)| *number);
        let mut excerpt = Self {
            name: escape::line(source.name()).into_owned(),
            text: String::new(),
            lines: Vec::new(),
            columns: Vec::new(),
            labels: Vec::new(),
            left_out,
        };
        // Borders of the shown characters: offset in the document, offset in the excerpt.
        let mut borders: Vec<(usize, usize)> = Vec::new();
        for (number, line, parts) in wanted {
            let pieces = pieces(text, &line, &parts, width);
            excerpt.add_line(text, number, &line, &pieces, unicode, &mut borders);
        }
        for (index, (range, _, column, label)) in marks.into_iter().enumerate() {
            let at = |offset: usize| {
                let after = borders.partition_point(|&(border, _)| border <= offset);
                after
                    .checked_sub(1)
                    .and_then(|index| borders.get(index))
                    .map_or(0, |&(_, shown)| shown)
            };
            let (start, end) = (at(range.start), at(range.end));
            excerpt.columns.push((start, column));
            let label = escape::line(&label).into_owned();
            let label = if unicode {
                label
            } else {
                escape::ascii(&label).into_owned()
            };
            let label = (!label.is_empty()).then_some(label);
            let span = SourceSpan::new(start.into(), end.saturating_sub(start));
            excerpt.labels.push(if index == 0 {
                LabeledSpan::new_primary_with_span(label, span)
            } else {
                LabeledSpan::new_with_span(label, span)
            });
        }
        excerpt
    }

    fn add_line(
        &mut self,
        text: &str,
        number: usize,
        line: &Range<usize>,
        pieces: &Pieces,
        unicode: bool,
        borders: &mut Vec<(usize, usize)>,
    ) {
        let start = self.text.len();
        let gap = if unicode { "…" } else { "..." };
        let mut after = line.start;
        for piece in pieces {
            if piece.start > after {
                self.text.push_str(gap);
            }
            after = piece.end;
            for (at, letter) in text.get(piece.clone()).unwrap_or("").char_indices() {
                borders.push((piece.start + at, self.text.len()));
                if letter == '\t' {
                    self.text.push_str("    ");
                } else if unicode {
                    escape::push_shown(&mut self.text, letter);
                } else {
                    let mut one = String::new();
                    escape::push_shown(&mut one, letter);
                    self.text.push_str(&escape::ascii(&one));
                }
            }
            borders.push((piece.end, self.text.len()));
        }
        if after < line.end {
            self.text.push_str(gap);
        }
        // A mark at the very end needs a place to point to.
        self.text.push_str(" \n");
        self.lines.push(Line {
            number,
            shown: start..self.text.len(),
        });
    }
}

fn next_line(text: &str, end: usize) -> usize {
    let rest = text.as_bytes().get(end..).unwrap_or(&[]);
    match rest {
        [b'\r', b'\n', ..] => end + 2,
        [_, ..] => end + 1,
        [] => end,
    }
}

/// The parts of a line that are shown: all of it when it fits, else windows round the marks.
fn pieces(text: &str, line: &Range<usize>, parts: &[Range<usize>], width: usize) -> Pieces {
    let back = |from: usize, count: usize| {
        text.get(line.start..from)
            .and_then(|before| before.char_indices().rev().nth(count.saturating_sub(1)))
            .map_or(line.start, |(at, _)| line.start + at)
    };
    let on = |from: usize, count: usize| {
        text.get(from..line.end)
            .and_then(|rest| rest.char_indices().nth(count))
            .map_or(line.end, |(at, _)| from + at)
    };
    if on(line.start, width) == line.end {
        return vec![line.clone()];
    }
    // What the marks and the signs for gaps leave is shared out among their sides.
    let marked: usize = parts
        .iter()
        .map(|part| {
            let length = text.get(part.clone()).unwrap_or("").chars().count();
            length.min(HEAD + TAIL + 1) + 2
        })
        .sum();
    let margin = (width.saturating_sub(marked) / (2 * parts.len().max(1))).max(MARGIN);
    let mut kept: Pieces = Vec::new();
    for part in parts {
        let head = on(part.start, HEAD).min(part.end);
        let tail = back(part.end, TAIL).max(part.start);
        let after = if head == part.end { margin } else { 0 };
        kept.push(back(part.start, margin)..on(head, after));
        kept.push(tail..on(part.end, margin));
    }
    kept.sort_by_key(|piece| piece.start);
    let mut merged: Pieces = Vec::new();
    for piece in kept {
        match merged.last_mut() {
            Some(last) if piece.start <= on(last.end, 4) => last.end = last.end.max(piece.end),
            _ => merged.push(piece),
        }
    }
    merged
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _: usize,
        _: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (start, end) = (span.offset(), span.offset() + span.len());
        let first = self.lines.partition_point(|line| line.shown.end <= start);
        let last = self
            .lines
            .partition_point(|line| line.shown.start < end)
            .max(first + 1);
        let lines = self
            .lines
            .get(first..last)
            .filter(|lines| {
                lines
                    .windows(2)
                    .all(|pair| matches!(pair, [one, next] if one.number + 1 == next.number))
            })
            .ok_or(MietteError::OutOfBounds)?;
        let (Some(one), Some(other)) = (lines.first(), lines.last()) else {
            return Err(MietteError::OutOfBounds);
        };
        let shown = one.shown.start..other.shown.end;
        let column = self
            .columns
            .iter()
            .find(|(at, _)| *at == start)
            .map_or(1, |(_, column)| *column);
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            self.text.as_bytes().get(shown.clone()).unwrap_or(&[]),
            SourceSpan::new(shown.start.into(), shown.len()),
            one.number - 1,
            column - 1,
            lines.len(),
        )))
    }
}
