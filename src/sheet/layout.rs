//! Lines to blocks.

use super::clean::{Clean, SOFT_HYPHEN};
use super::flow::Flow;
use super::lines::{self, COLON, EQUALS, GAP, LEADER, Line};
use super::marks::{self, KeyForm, MarkKind};
use super::{Block, BlockKind, Sentence, Sheet, sentence};
use crate::span::Span;
use std::ops::Range;

/// Most blocks that are told apart; what comes after them is running text.
pub(super) const MOST_BLOCKS: usize = 1_000_000;

/// What a block is besides its words.
#[derive(Default, Clone, Copy)]
pub(super) struct About {
    key: Option<Span>,
    quoted: bool,
    speaker: Option<Span>,
}

/// The list, quotation or group of fields that is being read, and the block that introduces it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Group {
    Items,
    Fields,
    Quotation,
    Table(usize),
}

pub(super) struct Reader<'t> {
    pub(super) clean: &'t Clean<'t>,
    pub(super) text: &'t str,
    pub(super) lines: Vec<Line>,
    pub(super) sheet: Sheet,
    flow: Flow,
    /// Headings that are open, with their levels.
    headings: Vec<(u8, usize)>,
    group: Option<(Group, Option<usize>)>,
    /// Indent of the words of the last item.
    item_indent: Option<usize>,
    speaker: Option<Turn>,
    scratch: Vec<Span>,
    /// Column that most lines of running text reach.
    measure: usize,
}

/// Whose words follow.
#[derive(Clone, Copy)]
struct Turn {
    name: Span,
    /// Only what stands behind quote marks.
    quoted_only: bool,
}

/// Reads decoded text that has been cleaned.
pub(super) fn read(clean: &Clean<'_>) -> Sheet {
    let text = clean.text();
    let lines = lines::scan(text);
    let measure = measure(text, &lines);
    let mut reader = Reader {
        clean,
        text,
        lines,
        sheet: Sheet::default(),
        flow: Flow::with_capacity(text.len()),
        headings: Vec::new(),
        group: None,
        item_indent: None,
        speaker: None,
        scratch: Vec::new(),
        measure,
    };
    reader.run();
    let mut sheet = reader.sheet;
    sheet.flow = reader.flow;
    sheet
}

/// The column that one line in twenty reaches.
fn measure(text: &str, lines: &[Line]) -> usize {
    const WIDEST: usize = 200;
    let mut reached = vec![0_usize; WIDEST + 1];
    for line in lines {
        if let Some(count) = reached.get_mut(line.end_column(text).min(WIDEST)) {
            *count += 1;
        }
    }
    let mut left = lines.len() / 20;
    for column in (0..=WIDEST).rev() {
        let count = reached.get(column).copied().unwrap_or(0);
        if count > left {
            return column;
        }
        left -= count;
    }
    WIDEST
}

fn first_word(line: &str) -> &str {
    line.split([' ', '\t']).next().unwrap_or("")
}

/// Whether a line ends as a sentence does.
pub(super) fn ends_sentence(line: &str) -> bool {
    line.trim_end_matches(['"', '”', '’', '\'', ')', ']', '*'])
        .ends_with(['.', '!', '?', ':', '…'])
}

/// `Name wrote:`
fn is_attribution(line: &str) -> bool {
    line.ends_with(" wrote:") || line.ends_with(" writes:")
}

fn starts_upper(line: &str) -> bool {
    line.chars()
        .find(|letter| letter.is_alphanumeric())
        .is_some_and(|letter| letter.is_uppercase() || letter.is_numeric())
}

/// Whether all letters are capitals, and there are two of them or more.
fn is_capitals(line: &str) -> bool {
    let mut letters = 0;
    for letter in line.chars() {
        if letter.is_lowercase() {
            return false;
        }
        if letter.is_uppercase() {
            letters += 1;
        }
    }
    letters >= 2
}

/// `R I B B O N`: single letters with a blank between.
fn is_spaced(line: &str) -> bool {
    let mut singles = 0;
    for word in line.split_whitespace() {
        let mut letters = word.chars();
        match (letters.next(), letters.next()) {
            (Some(letter), None) if letter.is_alphanumeric() => singles += 1,
            (Some(letter), _) if !letter.is_alphanumeric() => {}
            _ => return false,
        }
    }
    singles >= 3
}

impl<'t> Reader<'t> {
    fn run(&mut self) {
        let mut at = 0;
        while at < self.lines.len() {
            if self.sheet.blocks.len() >= MOST_BLOCKS {
                let rest = at..self.lines.len();
                self.paragraph(rest, About::default());
                return;
            }
            let end = self.chunk_end(at);
            let mut here = at;
            while here < end {
                let next = self.step(here, at, end);
                here = next.max(here + 1);
            }
            at = end;
        }
    }

    pub(super) fn line(&self, at: usize) -> Option<&Line> {
        self.lines.get(at)
    }

    pub(super) fn words(&self, at: usize) -> &'t str {
        self.lines.get(at).map_or("", |line| line.of(self.text))
    }

    /// One past the last line before a blank line, a new page or another depth of quotation.
    fn chunk_end(&self, at: usize) -> usize {
        let quote = self.line(at).map_or(0, |line| line.quote);
        let mut end = at + 1;
        while let Some(line) = self.line(end) {
            if line.blank > 0 || line.page || line.quote != quote {
                break;
            }
            end += 1;
        }
        end
    }

    /// Reads the block that begins at line `at` of the chunk `start..end` and gives the line after it.
    fn step(&mut self, at: usize, start: usize, end: usize) -> usize {
        let Some(&line) = self.line(at) else {
            return end;
        };
        let words = self.words(at);
        if marks::is_rule(words) {
            return at + 1;
        }
        if let Some(next) = self.heading(at, start, end, line, words) {
            return next;
        }
        if let Some(next) = self.marked(at, start, end) {
            return next;
        }
        self.text_block(at, end)
    }

    /// Running text, with a key or without.
    fn text_block(&mut self, at: usize, end: usize) -> usize {
        let words = self.words(at);
        let Some(&line) = self.line(at) else {
            return end;
        };
        let found = self.key_of(&line);
        let next = self.paragraph_end(at, end);
        if let Some(key) = found {
            let value = words.get(key.value..).unwrap_or("");
            if value.is_empty() && next == at + 1 {
                // The value stands below, further in, unless a list does.
                let below = self.line(next).filter(|_| next < end).copied();
                if let Some(below) = below
                    && below.indent > line.indent
                    && marks::mark(self.words(next)).is_none()
                    && self.key_of(&below).is_none()
                {
                    let value_end = self.paragraph_end(next, end);
                    self.keyed(at..value_end, key);
                    return value_end;
                }
                self.paragraph(at..next, About::default());
                return next;
            }
            self.keyed(at..next, key);
            return next;
        }
        self.paragraph(at..next, About::default());
        next
    }

    fn key_of(&self, line: &Line) -> Option<marks::Key> {
        let words = line.of(self.text);
        let leader = if line.has(LEADER) {
            marks::leader(words, false)
        } else {
            None
        };
        leader.or_else(|| {
            line.has(COLON | EQUALS)
                .then(|| marks::key(words))
                .flatten()
        })
    }

    /// One past the last line of the paragraph that begins at `at`.
    fn paragraph_end(&self, at: usize, end: usize) -> usize {
        let mut next = at + 1;
        while next < end && !self.breaks(at, next, end) {
            next += 1;
        }
        next
    }

    /// Whether the first word of line `next` would have fitted well into the line before it.
    fn unfilled(&self, next: usize, slack: usize) -> bool {
        let Some(before) = next.checked_sub(1).and_then(|before| self.line(before)) else {
            return false;
        };
        let word = first_word(self.words(next)).chars().count();
        before.end_column(self.text) + 1 + word + slack <= self.measure
    }

    /// Whether a new block begins at `next`, in a paragraph that began at `at`.
    fn breaks(&self, at: usize, next: usize, end: usize) -> bool {
        let (Some(line), Some(before)) = (self.line(next), self.line(next - 1)) else {
            return true;
        };
        let words = self.words(next);
        let first = words.as_bytes().first().copied().unwrap_or(0);
        let ended = ends_sentence(self.words(next - 1));
        if !first.is_ascii_alphanumeric() && marks::is_rule(words) {
            return true;
        }
        if first == b'#' && words.trim_start_matches('#').starts_with(' ') {
            return true;
        }
        if next + 1 < end && marks::underline(self.words(next + 1)).is_some() {
            return true;
        }
        if let Some(mark) = marks::mark(words) {
            let certain = match mark.kind {
                MarkKind::Bullet(sign) => {
                    ended
                        || !matches!(sign, '-' | '–' | '—' | '·' | '†' | '‡')
                        || words.get(mark.len..).is_some_and(starts_upper)
                        || (next + 1 < end && self.same_mark(next, next + 1))
                }
                MarkKind::Number(value) => ended || value == 1 || line.indent != before.indent,
                MarkKind::Time | MarkKind::Voice => true,
            };
            if certain {
                return true;
            }
        }
        if line.has(COLON | EQUALS | LEADER)
            && let Some(key) = self.key_of(line)
        {
            let upper = starts_upper(words);
            let fresh = ended || self.unfilled(next, 8) || self.key_of(before).is_some();
            if fresh && (upper || key.form != KeyForm::Colon || self.key_of(before).is_some()) {
                return true;
            }
        }
        // An author's name set far to the right.
        if line.indent >= before.indent + 20 || before.indent >= line.indent + 20 {
            return true;
        }
        if next == at + 1 && is_attribution(self.words(at)) {
            return true;
        }
        let second = next == at + 1;
        let moved = line.indent.abs_diff(before.indent) >= 2;
        if moved && !second && (ended || self.unfilled(next, 4)) {
            return true;
        }
        if moved && second && line.indent < before.indent && self.unfilled(next, 8) {
            return true;
        }
        self.stacked(next, end)
    }

    /// Whether line `next` was set below the one before it on purpose: the line before breaks off far from the edge, and
    /// what follows looks like a beginning.
    fn stacked(&self, next: usize, end: usize) -> bool {
        let Some(before) = next.checked_sub(1).and_then(|before| self.line(before)) else {
            return false;
        };
        let words = self.words(next);
        let previous = self.words(next - 1);
        let reach = before.end_column(self.text) + 1 + first_word(words).chars().count();
        // The lines of this paragraph may be set narrower than those of the document.
        let mut widest = before.end_column(self.text);
        for other in next..end.min(next + 4) {
            if let Some(line) = self.line(other) {
                widest = widest.max(line.end_column(self.text));
            }
        }
        let far = reach * 100 <= self.measure.min(120) * 65;
        let open = previous.ends_with([',', '-', '–', '—', '&', '+', '/', '('])
            || ends_with_link_word(previous);
        if open {
            return false;
        }
        far && (starts_upper(words) || reach * 2 <= widest)
    }

    fn same_mark(&self, one: usize, other: usize) -> bool {
        match (marks::mark(self.words(one)), marks::mark(self.words(other))) {
            (Some(one), Some(other)) => match (one.kind, other.kind) {
                (MarkKind::Bullet(one), MarkKind::Bullet(other)) => one == other,
                (MarkKind::Number(_), MarkKind::Number(_)) => true,
                _ => false,
            },
            _ => false,
        }
    }

    /// A heading, if one stands at `at`.
    fn heading(
        &mut self,
        at: usize,
        start: usize,
        end: usize,
        line: Line,
        words: &str,
    ) -> Option<usize> {
        const LONGEST: usize = 100;
        if let Some(rest) = words.strip_prefix('#') {
            let deeper = rest.bytes().take_while(|byte| *byte == b'#').count();
            let title = rest.get(deeper..)?;
            if deeper < 6 && title.starts_with(' ') {
                let level = u8::try_from(deeper + 1).unwrap_or(6);
                let from = line.end() - title.trim_start().len();
                let until = line.start() + words.trim_end_matches(['#', ' ']).len();
                let part = line.part(self.text, from..until.max(from), usize::from(line.indent));
                self.title(part, level);
                return Some(at + 1);
            }
        }
        let width = line.width(self.text);
        if width > LONGEST {
            return None;
        }
        if at + 1 < end && width <= LONGEST && !line.has(GAP) {
            let below = self.words(at + 1);
            if let Some(sign) = marks::underline(below)
                && marks::mark(words).is_none()
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
        if is_spaced(words) {
            self.title(line, if opening { 1 } else { 2 });
            return Some(at + 1);
        }
        if line.has(GAP) {
            return None;
        }
        let mark = marks::mark(words);
        let (from, title) = match mark {
            Some(mark) if matches!(mark.kind, MarkKind::Number(_)) => {
                (mark.len, words.get(mark.len..)?)
            }
            Some(_) => return None,
            None => (0, words),
        };
        let count = title.split_whitespace().count();
        if count == 0 || count > 18 || title.ends_with([',', ';', ':', '-']) {
            return None;
        }
        let stopped = title.ends_with('.') && !title.ends_with("..");
        let last = at + 1 >= end;
        let below = (!last).then(|| self.line(at + 1).copied()).flatten();
        let deeper = below.is_some_and(|below| below.indent > line.indent);
        let fits = !last && self.unfilled(at + 1, 12);
        if is_capitals(title) && mark.is_none() && !stopped {
            // A shout of several lines is no heading; a title of two is.
            let shouts = (at + 1..end.min(at + 3))
                .filter(|other| is_capitals(self.words(*other)))
                .count();
            if shouts < 2 {
                self.title(line, if opening { 1 } else { 2 });
                return Some(at + 1);
            }
        }
        if stopped || !starts_upper(title) && !title.starts_with(['"', '“', '‘', '\'', '*', '('])
        {
            return None;
        }
        if self.key_of(&line).is_some() {
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
        let over_same = at == start
            && fits
            && !deeper
            && mark.is_none()
            && count <= 8
            && below.is_some_and(|below| below.width(self.text) * 10 >= self.measure * 6)
            && starts_upper(self.words(at + 1));
        let top = opening && fits && mark.is_none() && count <= 12;
        if standing || over_text || over_same || top {
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

    /// Adds a heading.
    pub(super) fn title(&mut self, line: Line, level: u8) {
        while self
            .headings
            .last()
            .is_some_and(|(other, _)| *other >= level)
        {
            self.headings.pop();
        }
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

    /// A list item, an answer or a stretch of a recording.
    fn marked(&mut self, at: usize, start: usize, end: usize) -> Option<usize> {
        let words = self.words(at);
        let &line = self.line(at)?;
        let mark = marks::mark(words)?;
        if at == start
            && let MarkKind::Bullet('-' | '–' | '—') = mark.kind
            && line.quote == 0
            && end - start == 1
            && line.indent >= 30
        {
            return None;
        }
        let next = self.paragraph_end(at, end);
        let words_indent = usize::from(line.indent)
            + words
                .get(..mark.len)
                .map_or(mark.len, |before| before.chars().count());
        let content = line.part(self.text, line.start() + mark.len..line.end(), words_indent);
        let mut parts: Vec<Line> = Vec::with_capacity(next - at);
        parts.push(content);
        parts.extend(self.lines.get(at + 1..next).unwrap_or(&[]));
        let marker = line.start()..line.start() + mark.len;
        match mark.kind {
            MarkKind::Bullet(_) => {
                self.item(&parts, None);
            }
            MarkKind::Number(_) => {
                self.item(&parts, Some(marker));
            }
            MarkKind::Time | MarkKind::Voice => {
                self.turn(&parts, marker, mark.kind == MarkKind::Voice);
            }
        }
        self.item_indent = Some(words_indent);
        Some(next)
    }

    fn item(&mut self, parts: &[Line], marker: Option<Range<usize>>) {
        let key = parts.first().and_then(|line| self.key_of(line));
        let speaker = self.current_speaker(parts);
        let about = About {
            quoted: parts.first().is_some_and(|line| line.quote > 0),
            speaker,
            key: None,
        };
        self.block(BlockKind::Item, about, true, |reader| {
            if let Some(marker) = marker {
                reader.clean.push(&mut reader.flow, marker);
            }
            Some(reader.push_keyed(parts, key))
        });
    }

    /// A turn of an interview or of a recording.
    fn turn(&mut self, parts: &[Line], marker: Range<usize>, voice: bool) {
        let key = parts.first().and_then(|line| self.key_of(line));
        let name = if voice {
            let label = self.text.get(marker.clone()).unwrap_or("");
            Some(label.trim_end().trim_end_matches(['.', ':']).len())
        } else {
            None
        };
        let mut turn = None;
        self.block(BlockKind::Paragraph, About::default(), true, |reader| {
            let from = reader.flow.text().len();
            reader.clean.push(&mut reader.flow, marker);
            if let Some(len) = name {
                turn = Some(Span::new(from, from + len));
            }
            Some(reader.push_keyed(parts, key))
        });
        if let (Some(name), Some(block)) = (turn, self.sheet.blocks.last_mut()) {
            block.speaker = Some(name);
            self.speaker = Some(Turn {
                name,
                quoted_only: false,
            });
        }
    }

    fn current_speaker(&self, parts: &[Line]) -> Option<Span> {
        let quoted = parts.first().is_some_and(|line| line.quote > 0);
        self.speaker
            .filter(|turn| !turn.quoted_only || quoted)
            .map(|turn| turn.name)
    }

    /// Words with a key: a field, or a paragraph that starts with one.
    fn keyed(&mut self, range: Range<usize>, key: marks::Key) {
        let parts: Vec<Line> = self.lines.get(range).unwrap_or(&[]).to_vec();
        let prose = self.is_prose(&parts, key.value);
        let kind = if prose {
            BlockKind::Paragraph
        } else {
            BlockKind::Field
        };
        let about = About {
            quoted: parts.first().is_some_and(|line| line.quote > 0),
            speaker: self.current_speaker(&parts),
            key: None,
        };
        self.block(kind, about, true, |reader| {
            Some(reader.push_keyed(&parts, Some(key)))
        });
    }

    /// Whether the words after a key are running text rather than a value.
    fn is_prose(&self, parts: &[Line], value: usize) -> bool {
        const MOST_WORDS: usize = 24;
        let mut words = 0;
        let mut stops = 0;
        for (index, line) in parts.iter().take(8).enumerate() {
            let text = line.of(self.text);
            let text = if index == 0 {
                text.get(value..).unwrap_or("")
            } else {
                text
            };
            for word in text.split_whitespace() {
                words += 1;
                if word.len() > 3 && word.ends_with(['.', '!', '?']) {
                    stops += 1;
                }
            }
        }
        words > MOST_WORDS || stops >= 2 || (stops == 1 && words >= 10)
    }

    /// Running text without a key.
    pub(super) fn paragraph(&mut self, range: Range<usize>, about: About) {
        let after = range.end;
        let parts: Vec<Line> = self.lines.get(range).unwrap_or(&[]).to_vec();
        let Some(first) = parts.first().copied() else {
            return;
        };
        let answers = self.line(after).is_some_and(|line| line.quote > 0);
        let quoted = about.quoted || first.quote > 0 || self.in_quotes(&parts);
        let speaker = about.speaker.or_else(|| self.current_speaker(&parts));
        let about = About {
            quoted,
            speaker,
            ..about
        };
        let names = first.quote == 0 && parts.len() == 1;
        let index = self.block(BlockKind::Paragraph, about, true, |reader| {
            reader.push_lines(&parts);
            None
        });
        if names && let Some(index) = index {
            self.notice_author(index, answers);
        }
    }

    /// `Name wrote:` tells whose words follow.
    fn notice_author(&mut self, index: usize, quoted_only: bool) {
        let Some(block) = self.sheet.blocks.get(index) else {
            return;
        };
        let words = block.span.of(self.flow.text());
        let Some(before) = words
            .strip_suffix(" wrote:")
            .or_else(|| words.strip_suffix(" writes:"))
            .or_else(|| words.strip_suffix(" said:"))
        else {
            return;
        };
        if before.split_whitespace().count() > 14 {
            return;
        }
        let skipped = before.rfind(", ").map_or(0, |at| at + 2);
        let name = Span::new(block.span.start + skipped, block.span.start + before.len());
        self.speaker = Some(Turn { name, quoted_only });
    }

    /// Whether a paragraph stands in quotation marks from its first letter to its last.
    fn in_quotes(&self, parts: &[Line]) -> bool {
        let (Some(first), Some(last)) = (parts.first(), parts.last()) else {
            return false;
        };
        let open = first.of(self.text).chars().next();
        let close = last.of(self.text).chars().next_back();
        let pair = match (open, close) {
            (Some('"'), Some('"')) => ('"', '"'),
            (Some('“'), Some('”')) => ('“', '”'),
            (Some('„'), Some('“')) => ('„', '“'),
            (Some('«'), Some('»')) => ('«', '»'),
            (Some('‘'), Some('’')) => ('‘', '’'),
            _ => return false,
        };
        let mut opened = 0;
        let mut closed = 0;
        for line in parts {
            for letter in line.of(self.text).chars() {
                if letter == pair.0 {
                    opened += 1;
                } else if letter == pair.1 {
                    closed += 1;
                }
            }
        }
        if pair.0 == pair.1 {
            opened == 2
        } else {
            opened == 1 && (closed == 1 || pair.1 == '’')
        }
    }

    /// Adds a block whose words `fill` appends; it gives where the first sentence begins and the key, if there is one.
    pub(super) fn block(
        &mut self,
        kind: BlockKind,
        about: About,
        split: bool,
        fill: impl FnOnce(&mut Self) -> Option<(usize, Option<Span>)>,
    ) -> Option<usize> {
        let index = self.sheet.blocks.len();
        if !self.flow.text().is_empty() {
            let at = self
                .flow
                .source(Span::new(self.flow.text().len(), self.flow.text().len()));
            self.flow.push_as("\n", at.start, 0);
        }
        let start = self.flow.text().len();
        let filled = fill(self);
        let end = self.flow.text().len();
        if start == end {
            return None;
        }
        let (from, key) = filled.unwrap_or((start, None));
        let first = self.sheet.sentences.len();
        let span = Span::new(start, end);
        if split {
            let mut spans = std::mem::take(&mut self.scratch);
            spans.clear();
            sentence::split(self.flow.text(), Span::new(from, end), &mut spans);
            self.sheet
                .sentences
                .extend(spans.iter().map(|&span| Sentence { span, block: index }));
            self.scratch = spans;
        } else {
            self.sheet.sentences.push(Sentence { span, block: index });
        }
        let lead = self.lead(kind, about.quoted, index);
        self.sheet.blocks.push(Block {
            kind,
            span,
            key: key.or(about.key),
            section: self.headings.last().map(|(_, heading)| *heading),
            lead,
            quoted: about.quoted,
            speaker: about.speaker,
            sentences: first..self.sheet.sentences.len(),
        });
        Some(index)
    }

    /// The block that introduces the list or quotation to which block `index` belongs.
    fn lead(&mut self, kind: BlockKind, quoted: bool, index: usize) -> Option<usize> {
        let group = match kind {
            BlockKind::Heading { .. } => None,
            BlockKind::Item => Some(Group::Items),
            BlockKind::Field => Some(Group::Fields),
            BlockKind::Cell { table, .. } => Some(Group::Table(table)),
            BlockKind::Paragraph => quoted.then_some(Group::Quotation),
        };
        let Some(group) = group else {
            self.group = None;
            return None;
        };
        if let Some((open, lead)) = self.group
            && open == group
        {
            return lead;
        }
        let lead = index.checked_sub(1).filter(|before| {
            self.sheet.blocks.get(*before).is_some_and(|block| {
                let words = block.span.of(self.flow.text());
                matches!(block.kind, BlockKind::Heading { .. } | BlockKind::Paragraph)
                    && (words.ends_with(':')
                        || (matches!(block.kind, BlockKind::Heading { .. })
                            && group != Group::Quotation))
            })
        });
        self.group = Some((group, lead));
        lead
    }

    /// Appends lines as running text.
    pub(super) fn push_lines(&mut self, parts: &[Line]) {
        for (index, line) in parts.iter().enumerate() {
            let range = line.range();
            let next = parts.get(index + 1);
            let Some(next) = next else {
                self.push_words(range, line.has(GAP));
                break;
            };
            match join(line.of(self.text), next.of(self.text)) {
                Join::Blank => {
                    self.push_words(range.clone(), line.has(GAP));
                    self.clean
                        .push_as(&mut self.flow, " ", range.end..next.start().max(range.end));
                }
                Join::Close => self.push_words(range, line.has(GAP)),
                Join::Drop(len) => self.push_words(range.start..range.end - len, line.has(GAP)),
            }
        }
    }

    /// Appends lines of which the first starts with a key; gives where the words begin and the key.
    fn push_keyed(&mut self, parts: &[Line], key: Option<marks::Key>) -> (usize, Option<Span>) {
        let from = self.flow.text().len();
        let (Some(key), Some(first)) = (key, parts.first()) else {
            self.push_lines(parts);
            return (from, None);
        };
        let name = first.start()..first.start() + key.len;
        self.push_words(name.clone(), first.has(GAP));
        let span = Span::new(from, self.flow.text().len());
        let value = first.start() + key.value;
        match key.form {
            KeyForm::Leader => self.clean.push_as(&mut self.flow, ": ", name.end..value),
            KeyForm::Equals => self.clean.push_as(&mut self.flow, " = ", name.end..value),
            KeyForm::Colon if value >= first.end() => {
                self.push_words(name.end..first.end(), true);
                if parts.len() > 1 {
                    self.clean
                        .push_as(&mut self.flow, " ", first.end()..first.end());
                }
            }
            KeyForm::Colon => self.push_words(name.end..value, true),
        }
        let mut rest: Vec<Line> = parts.to_vec();
        if value >= first.end() {
            rest.remove(0);
        } else if let Some(line) = rest.first_mut() {
            *line = line.part(self.text, value..line.end(), usize::from(line.indent));
        }
        self.push_lines(&rest);
        (from, Some(span))
    }

    /// Appends words of one line; runs of blanks become one.
    pub(super) fn push_words(&mut self, range: Range<usize>, gaps: bool) {
        if !gaps {
            self.clean.push(&mut self.flow, range);
            return;
        }
        let bytes = self.text.as_bytes();
        let mut at = range.start;
        while at < range.end {
            let words = bytes.get(at..range.end).map_or(0, |rest| {
                rest.iter()
                    .take_while(|byte| !matches!(byte, b' ' | b'\t'))
                    .count()
            });
            self.clean.push(&mut self.flow, at..at + words);
            at += words;
            let blanks = bytes.get(at..range.end).map_or(0, |rest| {
                rest.iter()
                    .take_while(|byte| matches!(byte, b' ' | b'\t'))
                    .count()
            });
            if blanks == 1 {
                self.clean.push(&mut self.flow, at..at + 1);
            } else if blanks > 1 {
                self.clean.push_as(&mut self.flow, " ", at..at + blanks);
            }
            at += blanks;
        }
    }
}

/// How two lines of a paragraph come together.
enum Join {
    /// With a blank.
    Blank,
    /// With nothing: the mark at the line end stays.
    Close,
    /// With nothing, and without the last bytes of the first line.
    Drop(usize),
}

/// First parts of compounds that keep their hyphen.
const FIRST_PARTS: &[&str] = &[
    "high", "low", "self", "non", "well", "ultra", "multi", "semi", "anti", "half", "cross",
    "double", "single", "triple", "long", "short", "oxygen", "copper", "silver", "rhodium",
    "nickel", "two", "three", "four", "five", "six", "seven", "eight", "nine", "twelve",
    "fourteen", "sixteen", "eighteen", "twenty", "thirty", "forty", "fifty", "hundred", "heavy",
    "fine", "thin", "thick", "solid", "deep", "level", "loss", "full", "skin", "ready", "large",
    "small", "wide", "better", "best", "price", "power", "phase", "left", "right",
];

/// Endings of words, which are no second part.
const ENDINGS: &[&str] = &[
    "er", "est", "ness", "ly", "ing", "ed", "es", "teen", "ty", "en", "ened", "ened", "ish",
    "ment", "less", "ful", "able", "ened", "ness", "th", "ance", "ence", "tion", "ism",
];

/// Second parts of compounds that keep their hyphen.
const SECOND_PARTS: &[&str] = &[
    "free",
    "clad",
    "plated",
    "core",
    "cored",
    "gauge",
    "end",
    "blind",
    "in",
    "up",
    "off",
    "out",
    "purity",
    "grade",
    "made",
    "coated",
    "treated",
    "insulated",
    "conductor",
    "quality",
    "shielded",
    "matched",
    "wound",
    "based",
    "like",
    "ohm",
    "foot",
    "metre",
    "meter",
    "inch",
    "watt",
    "volt",
    "strand",
    "wire",
    "known",
    "sounding",
    "quad",
    "bass",
];

fn join(line: &str, next: &str) -> Join {
    let mut letters = line.chars().rev();
    let last = letters.next().unwrap_or(' ');
    let before = letters.next().unwrap_or(' ');
    let first = next.chars().next().unwrap_or(' ');
    match last {
        SOFT_HYPHEN => Join::Drop(SOFT_HYPHEN.len_utf8()),
        '-' if before.is_alphanumeric() => {
            if !first.is_alphanumeric() || first.is_numeric() || before.is_numeric() {
                return if first.is_alphanumeric() {
                    Join::Close
                } else {
                    Join::Blank
                };
            }
            let same_case = before.is_lowercase() && first.is_lowercase()
                || before.is_uppercase()
                    && first.is_uppercase()
                    && next.chars().nth(1).is_some_and(char::is_uppercase);
            if !same_case {
                return Join::Close;
            }
            let part = |words: &str| words.to_lowercase();
            let stem = line.get(..line.len() - 1).unwrap_or("");
            let whole = stem
                .rsplit(|letter: char| letter.is_whitespace())
                .next()
                .unwrap_or("");
            let one = part(
                whole
                    .rsplit(|letter: char| !letter.is_alphabetic())
                    .next()
                    .unwrap_or(""),
            );
            let two = part(
                next.split(|letter: char| !letter.is_alphabetic())
                    .next()
                    .unwrap_or(""),
            );
            // `figure-of-` before `eight`: hyphens before this one go on with the same compound.
            let strung = whole.contains('-') && one.len() <= 3;
            // `two- and three-way`
            let hanging = matches!(two.as_str(), "and" | "or" | "to");
            if hanging {
                Join::Blank
            } else if strung
                || !ENDINGS.contains(&two.as_str())
                    && (FIRST_PARTS.contains(&one.as_str()) || SECOND_PARTS.contains(&two.as_str()))
            {
                Join::Close
            } else {
                Join::Drop(1)
            }
        }
        '/' if before.is_alphanumeric() && first.is_alphanumeric() => Join::Close,
        '–' if before.is_numeric() && first.is_numeric() => Join::Close,
        _ => Join::Blank,
    }
}

/// Whether a line ends with a word that cannot end a phrase.
fn ends_with_link_word(line: &str) -> bool {
    const WORDS: &[&str] = &[
        "a", "an", "the", "of", "and", "or", "to", "in", "on", "with", "for", "is", "by", "at",
        "from", "as", "than", "that", "are", "was", "were", "be", "our", "your", "their", "its",
        "his", "her", "my", "no", "not", "but", "if", "per", "into", "over", "under", "each",
        "every", "this", "these", "those", "we", "you", "it", "they", "he", "she", "i",
    ];
    let word = line.rsplit(' ').next().unwrap_or("");
    word.len() <= 5 && WORDS.contains(&word.to_lowercase().as_str())
}
