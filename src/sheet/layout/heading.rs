//! Headings: by their marks, by the line under them, by their capitals, by how they stand.

use super::lines::{GAP, Line};
use super::look::{ends_with_link_word, ends_with_number, is_capitals, is_spaced, starts_upper};
use super::marks::{self, KeyForm, MarkKind};
use super::{About, BlockKind, Reader, table};
use std::ops::Range;

impl Reader<'_> {
    /// The lines of a remark that goes on behind the sign of the next line, further in: `# 2  Join them` over `#    in twos`.
    fn remark(&self, at: usize, end: usize, first: Line) -> Vec<Line> {
        const INDENT: usize = 2;
        let mut parts = vec![first];
        for next in at + 1..end {
            let Some(&line) = self.line(next) else { break };
            let words = self.words(next);
            let rest = words.strip_prefix('#').unwrap_or("");
            let ahead = rest.len() - rest.trim_start().len();
            if ahead <= INDENT || line.blank > 0 {
                break;
            }
            let from = line.end() - rest.trim_start().len();
            parts.push(line.part(self.text, from..line.end(), usize::from(line.indent)));
        }
        parts
    }

    /// A heading, if one stands at `at`.
    pub(super) fn heading(
        &mut self,
        at: usize,
        start: usize,
        end: usize,
        line: Line,
        words: &str,
    ) -> Option<usize> {
        const LONGEST: usize = 100;
        /// Most words of a title in capitals over a line that begins small.
        const SHOUT: usize = 3;
        /// Letters that stay free behind a title, besides the word that would have stood there.
        const SLACK: usize = 12;
        if let Some(rest) = words.strip_prefix('#') {
            let deeper = rest.bytes().take_while(|byte| *byte == b'#').count();
            let title = rest.get(deeper..)?;
            if deeper < 6 && title.starts_with(' ') {
                let level = u8::try_from(deeper + 1).unwrap_or(6);
                let from = line.end() - title.trim_start().len();
                let until = line.start() + words.trim_end_matches(['#', ' ']).len();
                let part = line.part(self.text, from..until.max(from), usize::from(line.indent));
                let parts = self.remark(at, end, part);
                if parts.len() > 1 {
                    let next = at + parts.len();
                    self.block(BlockKind::Paragraph, About::default(), true, |reader| {
                        reader.push_lines(&parts);
                        None
                    });
                    return Some(next);
                }
                self.title(part, level);
                return Some(at + 1);
            }
        }
        if let Some(part) = self.ruled_title(line, words) {
            self.title(part, 2);
            return Some(at + 1);
        }
        let width = line.width(self.text);
        if width > LONGEST {
            return None;
        }
        if at + 1 < end && width <= LONGEST && !line.has(GAP) {
            let below = self.words(at + 1);
            if let Some(sign) = marks::underline(below)
                && marks::mark(words).is_none()
                && !(sign == '-' && at > start && self.is_field_below(at, line))
            {
                self.title(line, if sign == '=' { 1 } else { 2 });
                return Some(at + 2);
            }
        }
        if line.quote > 0 {
            return None;
        }
        if let Some(inner) = words
            .strip_prefix('[')
            .and_then(|inner| inner.strip_suffix(']'))
            && inner.len() <= 40
            && inner
                .chars()
                .all(|letter| letter.is_alphanumeric() || " -_/.".contains(letter))
            && at + 1 < end
        {
            let part = line.part(
                self.text,
                line.start() + 1..line.end() - 1,
                usize::from(line.indent),
            );
            self.title(part, 2);
            return Some(at + 1);
        }
        let opening = self.sheet.blocks.is_empty();
        if is_spaced(words) && !self.heads_over(at, end) {
            self.title(line, if opening { 1 } else { 2 });
            return Some(at + 1);
        }
        if let Some(label) = self.label_title(at, at == start, end) {
            self.title(label, 3);
            return Some(at + 1);
        }
        let mark = marks::mark(words);
        let (from, title) = match mark {
            Some(mark) if matches!(mark.kind, MarkKind::Number(_)) => {
                (mark.len, words.get(mark.len..)?)
            }
            Some(_) => return None,
            None => (0, words),
        };
        if self.key_of(&line).is_some() || self.in_one_form(at, end) {
            return None;
        }
        if !is_capitals(title) && self.titles_fields(at, at == start, end) {
            self.title(line, if opening { 1 } else { 3 });
            return Some(at + 1);
        }
        let parted = line.has(GAP) && {
            let part = line.part(self.text, line.start() + from..line.end(), 0);
            table::segments(self.text, &part).len() > 1
        };
        if parted {
            return self.name_over_fields(at, start, end, line);
        }
        let count = title.split_whitespace().count();
        if count == 0 || count > 18 || title.ends_with([',', ';', ':', '-']) {
            return None;
        }
        if at + 1 < end
            && ends_with_number(title)
            && self.words(at + 1).starts_with(char::is_lowercase)
        {
            return None;
        }
        let stopped = title.ends_with('.') && !title.ends_with("..");
        let last = at + 1 >= end;
        let below = (!last).then(|| self.line(at + 1).copied()).flatten();
        let deeper = below.is_some_and(|below| below.indent > line.indent);
        // Columns side by side are narrow.
        let slack = if self.measure < self.page_measure {
            SLACK.min(self.measure / 3)
        } else {
            SLACK
        };
        let fits = !last && self.unfilled(at + 1, slack);
        if is_capitals(title) && mark.is_none() && !stopped {
            // A shout of several lines is no heading; a title of two is.
            let shouts = (at + 1..end.min(at + 3))
                .filter(|other| is_capitals(self.words(*other)))
                .count();
            // "SPECIMEN" over "speaker cable, 12 AWG": more would have stood beside it.
            let goes_on = !last
                && self.words(at + 1).starts_with(char::is_lowercase)
                && !(count <= SHOUT && self.unfilled(at + 1, 4) && !ends_with_link_word(title));
            if shouts < 2 && !goes_on {
                self.title(line, if opening { 1 } else { 2 });
                return Some(at + 1);
            }
        }
        if stopped || !starts_upper(title) && !title.starts_with(['"', '“', '‘', '\'', '*', '('])
        {
            return None;
        }
        let alone = at == start && last;
        let more = at + 1 < self.lines.len();
        let ends_open = title.ends_with(|letter: char| letter.is_alphanumeric())
            || title.ends_with(['?', '!', '"', '”', ')', '…', '*', '\''])
            || title.ends_with("...");
        if !ends_open {
            return None;
        }
        let standing = alone && more && mark.is_none() && count <= if opening { 18 } else { 12 }
            // A line of a letter or a figure by itself says something; a title names something.
            && self.line(at + 1).is_some_and(|below| usize::from(below.indent) <= usize::from(line.indent) + 12);
        let over_text = at == start && fits && deeper && (mark.is_none() || title.len() <= 90);
        // "2   Two ribbons" over running text that begins anew; a list has its next number there.
        let numbered = || {
            const APART: [&str; 2] = ["  ", "\t"];
            const MOST: usize = 5;
            let ahead = words.get(..from).unwrap_or("");
            APART.iter().any(|gap| ahead.ends_with(gap))
                && count <= MOST
                && !title.contains([',', '"', '“', '?'])
                && marks::mark(self.words(at + 1)).is_none()
        };
        let over_same = at == start
            && fits
            && !deeper
            && (mark.is_none() || numbered())
            && count <= 8
            && below.is_some_and(|below| below.width(self.text) * 10 >= self.measure * 6)
            && starts_upper(self.words(at + 1));
        // A few words over names and values.
        let over_fields = at == start
            && !last
            && mark.is_none()
            && count <= 8
            && below.is_some_and(|below| {
                self.key_of(&below)
                    .is_some_and(|key| key.form != KeyForm::Colon)
                    || (below.has(GAP) && table::segments(self.text, &below).len() > 1)
            });
        let top = opening && fits && mark.is_none() && count <= 12;
        if standing || over_text || over_same || over_fields || top {
            let part = line.part(
                self.text,
                line.start() + from..line.end(),
                usize::from(line.indent),
            );
            let level = if opening {
                1
            } else if mark.is_some() {
                2
            } else {
                3
            };
            self.title(part, level);
            return Some(at + 1);
        }
        None
    }

    /// A name and beside it what it is, over names and values that stand further in: `Quoin 4    four cores`.
    fn name_over_fields(
        &mut self,
        at: usize,
        start: usize,
        end: usize,
        line: Line,
    ) -> Option<usize> {
        const MOST_WORDS: usize = 4;
        /// Lines below that must be fields.
        const FIELDS: usize = 2;
        let row = table::segments(self.text, &line);
        let [name, told] = row.as_slice() else {
            return None;
        };
        let words = self.text.get(name.range.clone())?;
        let is_name = starts_upper(words)
            && words.split_whitespace().count() <= MOST_WORDS
            && words.ends_with(char::is_alphanumeric);
        let fields = (at + 1..end.min(at + 1 + FIELDS)).filter(|&below| {
            self.line(below).is_some_and(|below| {
                below.indent > line.indent
                    && below.has(GAP)
                    && table::segments(self.text, below).len() == 2
            })
        });
        let telling = self
            .text
            .get(told.range.clone())
            .is_some_and(|words| words.starts_with(char::is_lowercase));
        if at != start || !is_name || !telling || fields.count() < FIELDS {
            return None;
        }
        self.title(Line::of_range(self.text, name.range.clone(), 0), 3);
        self.loose(told.range.clone());
        Some(at + 1)
    }

    /// A few words with a line drawn on either side of them: `===== 2 of 3 =====`.
    pub(super) fn ruled_title(&self, line: Line, words: &str) -> Option<Line> {
        const FEWEST: usize = 3;
        const MOST_WORDS: usize = 8;
        let sign = words
            .chars()
            .next()
            .filter(|sign| matches!(sign, '=' | '-' | '~' | '─' | '═'))?;
        let inner = words.trim_matches(sign);
        let before = words.len() - words.trim_start_matches(sign).len();
        let behind = words.len() - words.trim_end_matches(sign).len();
        let drawn = [before, behind]
            .iter()
            .all(|len| *len >= FEWEST * sign.len_utf8());
        let title = inner.trim();
        let titled = inner.starts_with(' ')
            && inner.ends_with(' ')
            && title.starts_with(char::is_alphanumeric)
            && title.split_whitespace().count() <= MOST_WORDS;
        let from = line.start() + before + (inner.len() - inner.trim_start().len());
        (drawn && titled && line.quote == 0).then(|| {
            line.part(
                self.text,
                from..from + title.len(),
                usize::from(line.indent),
            )
        })
    }

    /// Whether a name and its value stand below another name and its value: a line drawn under both parts them from what follows.
    fn is_field_below(&self, at: usize, line: Line) -> bool {
        let above = at.checked_sub(1).and_then(|above| self.line(above));
        self.key_of(&line)
            .is_some_and(|key| key.value < line.end() - line.start())
            && above.is_some_and(|above| self.key_of(above).is_some())
    }

    /// Ends the sections that headings of this level and below have begun.
    pub(in super::super) fn end_sections(&mut self, level: u8) {
        while (self.headings.last()).is_some_and(|(other, _)| *other >= level) {
            self.headings.pop();
        }
    }

    /// Adds a heading.
    pub(in super::super) fn title(&mut self, line: Line, level: u8) {
        self.end_sections(level);
        self.speaker = None;
        let spaced = is_spaced(line.of(self.text));
        let index = self.block(
            BlockKind::Heading { level },
            About {
                quoted: false,
                ..About::default()
            },
            true,
            |reader| {
                if spaced {
                    reader.push_spaced(line);
                } else {
                    reader.push_lines(&[line]);
                }
                None
            },
        );
        if let Some(index) = index {
            self.headings.push((level, index));
        }
        self.group = None;
        self.item_indent = None;
    }

    /// Letter-spaced words: single blanks go, wider gaps part the words.
    fn push_spaced(&mut self, line: Line) {
        let words = line.of(self.text);
        let mut gap = 0;
        let mut pending: Option<Range<usize>> = None;
        for (at, letter) in words.char_indices() {
            let at = line.start() + at;
            if letter == ' ' || letter == '\t' {
                gap += 1;
                pending = Some(pending.map_or(at..at + 1, |range| range.start..at + 1));
                continue;
            }
            if let Some(range) = pending.take()
                && gap >= 2
            {
                self.clean.push_as(&mut self.flow, " ", range);
            }
            gap = 0;
            self.clean.push(&mut self.flow, at..at + letter.len_utf8());
        }
    }

    /// A stretch of a line that stands by itself: a heading if it is one by its looks, else a paragraph.
    pub(in super::super) fn loose(&mut self, range: Range<usize>) {
        let words = self.text.get(range.clone()).unwrap_or("");
        let opening = self.sheet.blocks.is_empty();
        let line = Line::of_range(self.text, range, 0);
        if is_capitals(words) || is_spaced(words) || (opening && !words.ends_with('.')) {
            self.title(line, if opening { 1 } else { 2 });
        } else {
            self.block(BlockKind::Paragraph, About::default(), true, |reader| {
                reader.push_lines(&[line]);
                None
            });
        }
    }
}
