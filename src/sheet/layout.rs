//! Lines to blocks.
//!
//! Long: the reader of lines is one state; what a line is depends on all kinds of blocks that may be open.

use super::clean::{Clean, SOFT_HYPHEN};
use super::columns;
use super::flow::Flow;
use super::lines::{self, BAR, COLON, EQUALS, GAP, LEADER, Line};
use super::marks::{self, KeyForm, MarkKind};
use super::{Block, BlockKind, Sentence, Sheet, sentence, table};
use crate::span::Span;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::ops::Range;

/// Most blocks that are told apart; what comes after them is running text.
pub(super) const MOST_BLOCKS: usize = 1_000_000;

/// Blanks in a row that part what stands on either side of them.
const APART: usize = 5;

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
    keys: Cell<[Option<KeptKey>; 2]>,
    /// Column that most lines of running text reach.
    measure: usize,
    /// The chunk that is being read holds dot leaders, so that one dot may be one too.
    led: bool,
    /// Blocks that hold the name of a letter's author, in order.
    signatures: Vec<usize>,
    /// Names that take turns to speak.
    voices: Vec<String>,
}

/// Where a line stands, and its key.
type KeptKey = ((usize, usize), Option<marks::Key>);

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
    let lines = columns::unfold(text, running_heads(text, unframed(text, lines::scan(text))));
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
        keys: Cell::new([None; 2]),
        measure,
        led: false,
        signatures: Vec::new(),
        voices: Vec::new(),
    };
    reader.find_voices();
    reader.run();
    reader.sign();
    let mut sheet = reader.sheet;
    sheet.flow = reader.flow;
    sheet
}

/// Takes the frame off lines that stand in a box of one cell.
fn unframed(text: &str, mut lines: Vec<Line>) -> Vec<Line> {
    for line in lines.iter_mut().filter(|line| line.has(BAR)) {
        let words = line.of(text);
        let bar = |letter: char| matches!(letter, '|' | '\u{2502}' | '\u{2503}' | '\u{2551}');
        let mut bars = words.char_indices().filter(|(_, letter)| bar(*letter));
        let (Some((0, first)), Some((close, _)), None) = (bars.next(), bars.next(), bars.next())
        else {
            continue;
        };
        let open = first.len_utf8();
        let inner = words.get(open..close).unwrap_or("");
        if !words.ends_with(bar) || inner.trim().is_empty() || marks::is_rule(words) {
            continue;
        }
        let from = open + inner.len() - inner.trim_start().len();
        let ahead = words.get(..from).map_or(0, |ahead| ahead.chars().count());
        let start = line.start() + from;
        *line = line.part(
            text,
            start..start + inner.trim().len(),
            usize::from(line.indent) + ahead,
        );
    }
    lines
}

/// Leaves out the heads and page numbers that a new page repeats, so that a paragraph goes on across the break.
fn running_heads(text: &str, mut lines: Vec<Line>) -> Vec<Line> {
    if !lines.iter().any(|line| line.page) {
        return lines;
    }
    let letters = |line: &Line| -> String {
        line.of(text)
            .chars()
            .filter(|letter| letter.is_alphabetic())
            .take(200)
            .collect()
    };
    let number = |line: &Line| {
        let words = line.of(text);
        words.len() <= 24
            && words.bytes().any(|byte| byte.is_ascii_digit())
            && words
                .split(|letter: char| !letter.is_alphabetic())
                .all(|word| {
                    word.is_empty()
                        || matches!(word.to_lowercase().as_str(), "page" | "p" | "of" | "seite")
                })
    };
    let first = lines.first().map(letters).unwrap_or_default();
    let mut gone = vec![false; lines.len()];
    for (at, line) in lines.iter().enumerate().skip(1) {
        if !line.page {
            continue;
        }
        if let (Some(before), Some(mark)) = (lines.get(at - 1), gone.get_mut(at - 1)) {
            *mark |= number(before);
        }
        let head = letters(line);
        if let Some(mark) = gone.get_mut(at) {
            *mark |= number(line) || (!head.is_empty() && head == first);
        }
    }
    let mut blank = 0_u8;
    let mut page = false;
    let mut kept = gone.iter();
    lines.retain_mut(|line| {
        if kept.next().copied().unwrap_or(false) {
            page |= line.page;
            blank = blank.max(line.blank);
            return false;
        }
        line.page |= page;
        line.blank = line.blank.max(blank);
        page = false;
        blank = 0;
        true
    });
    // A page that begins in the middle of a sentence goes on with the paragraph before it.
    for at in 1..lines.len() {
        let open = lines
            .get(at - 1)
            .is_some_and(|before| !ends_sentence(before.of(text)) && before.width(text) > 20);
        if let Some(line) = lines.get_mut(at)
            && line.page
            && open
            && line.of(text).starts_with(char::is_lowercase)
        {
            line.page = false;
            line.blank = 0;
        }
    }
    lines
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

/// `VERDICT  Expensive and worth it.`: a few words in capitals, a gap, and words that go on.
fn run_in(words: &str) -> Option<marks::Key> {
    let gap = words.find("  ").or_else(|| words.find('\t'))?;
    let name = words.get(..gap)?;
    let rest = words.get(gap..)?;
    let value = words.len() - rest.trim_start().len();
    let fits = value - gap <= 4
        && is_capitals(name)
        && name.split_whitespace().count() <= 4
        && !name.ends_with(['.', '!', '?', ','])
        && words.get(value..).is_some_and(|value| {
            value.split_whitespace().count() >= 2
                && !value.contains("   ")
                && value.chars().any(char::is_lowercase)
                && value.starts_with(|letter: char| {
                    letter.is_alphanumeric() || matches!(letter, '"' | '“' | '.' | '[')
                })
        });
    fits.then_some(marks::Key {
        len: name.len(),
        value,
        form: KeyForm::Leader,
    })
}

/// A name at the start of a line, followed by a colon or a gap and running text: the name, and where the text begins.
fn voice_of(words: &str) -> Option<(&str, usize)> {
    const LABELS: &[&str] = &[
        "myth",
        "fact",
        "claim",
        "truth",
        "reality",
        "note",
        "notes",
        "warning",
        "caution",
        "tip",
        "step",
        "example",
        "result",
        "results",
        "item",
        "pros",
        "cons",
        "subject",
        "re",
        "from",
        "to",
        "price",
        "conductor",
        "length",
        "verdict",
    ];
    let words = match marks::mark(words) {
        Some(mark) if mark.kind == MarkKind::Time => return inner_voice(words, mark.len, LABELS),
        _ => words,
    };
    inner_voice(words, 0, LABELS)
}

fn inner_voice<'w>(words: &'w str, from: usize, labels: &[&str]) -> Option<(&'w str, usize)> {
    let inner = words.get(from..)?;
    let window = inner.get(..inner.floor_char_boundary(40))?;
    let (len, value) = match window.find(": ") {
        Some(at) => (at, at + 2),
        None if from > 0 => {
            let at = window.find("  ")?;
            (at, at + 2)
        }
        None => return None,
    };
    let name = inner.get(..len)?;
    let count = name.split_whitespace().count();
    let letters = name.chars().all(|letter| {
        letter.is_alphabetic() || matches!(letter, ' ' | '.' | '\'' | '’' | '-' | '_' | '(' | ')')
    });
    let value = inner.len() - inner.get(value..)?.trim_start().len();
    let prose = inner.get(value..)?.split_whitespace().count() >= if from > 0 { 1 } else { 2 };
    ((1..=3).contains(&count)
        && letters
        && prose
        && name.starts_with(char::is_uppercase)
        && !labels.contains(&name.to_lowercase().as_str()))
    .then_some((name, from + value))
}

/// `Name wrote:`
fn is_attribution(line: &str) -> bool {
    line.ends_with(" wrote:") || line.ends_with(" writes:")
}

/// `Yours sincerely,` and the like.
fn is_closing(words: &str) -> bool {
    const WORDS: &[&str] = &[
        "Yours",
        "Sincerely",
        "Regards",
        "Best",
        "Kind",
        "Warm",
        "All the best",
        "Faithfully",
        "Cheers",
    ];
    WORDS.iter().any(|word| words.starts_with(word))
        && words.contains(',')
        && words.split_whitespace().count() <= 8
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
            (Some(letter), None) if letter.is_uppercase() => singles += 1,
            (Some(letter), None) if letter.is_numeric() => {}
            (Some(letter), _)
                if !letter.is_alphanumeric() && !word.chars().any(char::is_alphanumeric) => {}
            _ => return false,
        }
    }
    singles >= 4
}

impl<'t> Reader<'t> {
    /// Names before a colon that come back, with running text after them: an interview.
    fn find_voices(&mut self) {
        const LINES: usize = 20_000;
        // How often a name comes, and how often with what is spoken rather than a value.
        let mut names: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
        for line in self.lines.iter().take(LINES) {
            let words = line.of(self.text);
            if let Some((name, from)) = voice_of(words) {
                let value = words.get(from..).unwrap_or("");
                let spoken = value.starts_with(|letter: char| {
                    letter.is_uppercase() || matches!(letter, '"' | '“' | '.' | '…' | '[')
                }) && (ends_sentence(value) || value.split_whitespace().count() >= 9);
                let (all, good) = names.entry(name).or_default();
                *all += 1;
                *good += usize::from(spoken);
            }
        }
        names.retain(|_, (all, good)| *all >= 2 && *good * 10 >= *all * 7);
        let turns: usize = names.values().map(|(all, _)| all).sum();
        if turns >= 4 || names.len() >= 2 {
            self.voices = names.into_keys().map(ToOwned::to_owned).collect();
        }
    }

    /// The name of whoever speaks on this line, in bytes, and where the words begin.
    fn speaks(&self, words: &str) -> Option<(usize, usize)> {
        let (name, value) = voice_of(words)?;
        self.voices
            .iter()
            .any(|voice| voice == name)
            .then_some((name.len(), value))
    }

    /// Letters are signed below: the author of what stands above a name that is set far to the right, or before `Ed.`
    fn sign(&mut self) {
        let text = self.flow.text();
        let mut author: Option<Span> = None;
        for index in (0..self.sheet.blocks.len()).rev() {
            let Some(block) = self.sheet.blocks.get_mut(index) else {
                continue;
            };
            if matches!(block.kind, BlockKind::Heading { .. }) {
                author = None;
                continue;
            }
            if self.signatures.binary_search(&index).is_ok() {
                // After `Yours sincerely,` the name alone.
                let words = block.span.of(text);
                let skip = words
                    .find(", ")
                    .filter(|_| is_closing(words))
                    .map_or(0, |at| at + 2);
                let name = Span::new(block.span.start + skip, block.span.end);
                author = Some(name);
                block.speaker = author;
                continue;
            }
            let words = block.span.of(text);
            if words.ends_with(" Ed.") || words.ends_with(" Editor.") {
                let at = words.rfind(' ').map_or(0, |at| at + 1);
                author = Some(Span::new(block.span.start + at, block.span.end));
            }
            if block.speaker.is_none()
                && !block.quoted
                && matches!(block.kind, BlockKind::Paragraph | BlockKind::Item)
            {
                block.speaker = author;
            }
        }
    }

    fn run(&mut self) {
        let mut at = 0;
        while at < self.lines.len() {
            if self.sheet.blocks.len() >= MOST_BLOCKS {
                self.sheet.limited = true;
                let rest = at..self.lines.len();
                self.paragraph(rest, About::default());
                return;
            }
            let end = self.chunk_end(at);
            // Another setting reads keys in another way.
            self.keys.set([None; 2]);
            self.led = (at..end.min(at + 40)).any(|line| {
                self.line(line).is_some_and(|line| line.has(LEADER))
                    && marks::leader(self.words(line), false).is_some()
            });
            let mut here = at;
            while here < end {
                if self.sheet.blocks.len() >= MOST_BLOCKS {
                    break;
                }
                let next = self.step(here, at, end);
                here = next.max(here + 1);
            }
            at = if here < end { here } else { end };
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
            // A box begins with a drawn line.
            if words.starts_with(['+', '┌', '╔', '┏', '|']) && at + 1 < end {
                return self.bar_table(at, end).unwrap_or(at + 1);
            }
            return at + 1;
        }
        if line.has(BAR)
            && let Some(next) = self.bar_table(at, end)
        {
            return next;
        }
        if let Some(next) = self.separated_table(at, end) {
            return next;
        }
        if line.has(GAP)
            && !is_spaced(words)
            && let Some(next) = self.gap_table(at, end)
        {
            return next;
        }
        if let Some(next) = self.heading(at, start, end, line, words) {
            return next;
        }
        if let Some(next) = self.marked(at, start, end) {
            return next;
        }
        if line.has(GAP)
            && let Some(next) = self.pairs(at, start, end)
        {
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
        if self.is_listy(at, end) {
            for other in at..end {
                if let Some(&part) = self.line(other) {
                    self.item(&[part], None);
                }
            }
            return end;
        }
        let found = self.key_of(&line);
        let next = self.paragraph_end(at, end);
        if !self.voices.is_empty() && self.speaks(words).is_some() {
            let parts: Vec<Line> = self.lines.get(at..next).unwrap_or(&[]).to_vec();
            self.turn(&parts, line.start()..line.start(), false);
            return next;
        }
        if let Some(key) = found {
            let value = words.get(key.value..).unwrap_or("");
            if value.is_empty() && next == at + 1 {
                // The value stands below, further in, unless a list does.
                let below = self.line(next).filter(|_| next < end).copied();
                if let Some(below) = below
                    && below.indent > line.indent
                    && marks::mark(self.words(next)).is_none()
                    && self.key_of(&below).is_none()
                    && !(below.has(GAP | BAR) && self.starts_table(next, end))
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

    /// Whether the lines `at..end` are a list without bullets: nothing ends as a sentence does, and each line begins anew.
    fn is_listy(&self, at: usize, end: usize) -> bool {
        const MOST: usize = 40;
        if end - at < 2 || end - at > MOST {
            return false;
        }
        let Some(lines) = self.lines.get(at..end) else {
            return false;
        };
        let closed = |words: &str| words.ends_with(['.', '!', '?', ';', ':']);
        let last = self.words(end - 1);
        if closed(last) && !(last.ends_with('.') && lines.len() > 2) {
            return false;
        }
        let mut upper = true;
        let mut far = 0;
        let mut widest = 0;
        for (index, line) in lines.iter().enumerate() {
            let words = line.of(self.text);
            let is_last = index + 1 == lines.len();
            if line.has(BAR | LEADER | EQUALS)
                || line.quote > 0
                || (!is_last
                    && (closed(words)
                        || words.ends_with([',', '-', '&', '/'])
                        || ends_with_link_word(words)))
                || marks::mark(words).is_some()
                || (line.has(COLON) && self.key_of(line).is_some())
                || line
                    .indent
                    .abs_diff(lines.first().map_or(0, |line| line.indent))
                    > 1
            {
                return false;
            }
            upper &= starts_upper(words);
            widest = widest.max(line.end_column(self.text));
            if index > 0 {
                let before = lines
                    .get(index - 1)
                    .map_or(0, |line| line.end_column(self.text));
                let reach = before + 1 + first_word(words).chars().count();
                far += usize::from(reach * 100 <= self.measure.min(100) * 75);
            }
        }
        if closed(last) {
            return upper && far + 1 == lines.len() && widest * 100 <= self.measure * 65;
        }
        if lines.len() == 2 {
            return upper && widest * 100 <= self.measure * 65;
        }
        upper || far > 0
    }

    /// The key of a line; the last ones are kept, as each line is asked several times.
    pub(super) fn key_of(&self, line: &Line) -> Option<marks::Key> {
        if !line.has(COLON | EQUALS | LEADER | GAP) {
            return None;
        }
        let at = (line.start(), line.end());
        let kept = self.keys.get();
        if let Some((_, key)) = kept.iter().flatten().find(|(of, _)| *of == at) {
            return *key;
        }
        let key = self.find_key(line);
        let [first, ..] = kept;
        self.keys.set([Some((at, key)), first]);
        key
    }

    fn find_key(&self, line: &Line) -> Option<marks::Key> {
        let words = line.of(self.text);
        let leader = if line.has(LEADER) {
            marks::leader(words, self.led)
        } else {
            None
        };
        leader
            .or_else(|| line.has(GAP).then(|| run_in(words)).flatten())
            .or_else(|| {
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
                        || !matches!(sign, '-' | '–' | '—' | '·')
                        || words.get(mark.len..).is_some_and(starts_upper)
                        || self.same_mark(at, next)
                        || (next + 1 < end && self.same_mark(next, next + 1))
                }
                MarkKind::Number(_) => {
                    line.indent != before.indent
                        || (ended && self.unfilled(next, 4))
                        || self.same_mark(at, next)
                }
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
        if !self.voices.is_empty() && self.speaks(words).is_some() {
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
        if line.has(BAR | GAP) && self.starts_table(next, end) {
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
        let mark = marks::mark(words);
        let (from, title) = match mark {
            Some(mark) if matches!(mark.kind, MarkKind::Number(_)) => {
                (mark.len, words.get(mark.len..)?)
            }
            Some(_) => return None,
            None => (0, words),
        };
        if self.key_of(&line).is_some() {
            return None;
        }
        let parted = line.has(GAP) && {
            let part = line.part(self.text, line.start() + from..line.end(), 0);
            table::segments(self.text, &part).len() > 1
        };
        if parted {
            return None;
        }
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
            let goes_on = !last && self.words(at + 1).starts_with(char::is_lowercase);
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
        let over_same = at == start
            && fits
            && !deeper
            && mark.is_none()
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
            MarkKind::Bullet(sign) if marks::is_note(sign) => {
                let about = About {
                    speaker: self.current_speaker(&parts),
                    ..About::default()
                };
                self.block(BlockKind::Paragraph, about, true, |reader| {
                    reader.push_lines(&parts);
                    None
                });
            }
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
        let named = parts
            .first()
            .and_then(|line| {
                let whole = self.text.get(marker.start..line.end())?;
                self.speaks(whole)
            })
            .filter(|_| !voice);
        let key = match named {
            Some((len, value)) => Some(marks::Key {
                len,
                value: value - marker.len(),
                form: KeyForm::Leader,
            }),
            None => parts.first().and_then(|line| self.key_of(line)),
        };
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
            let pushed = reader.push_keyed(parts, key);
            if named.is_some() {
                turn = pushed.1;
            }
            Some(pushed)
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
        // Deeper marks are of somebody else again.
        let depth = parts.first().map_or(0, |line| line.quote);
        self.speaker
            .filter(|turn| !turn.quoted_only || depth == 1)
            .map(|turn| turn.name)
    }

    /// Words with a key: a field, or a paragraph that starts with one.
    fn keyed(&mut self, range: Range<usize>, key: marks::Key) {
        let parts: Vec<Line> = self.lines.get(range).unwrap_or(&[]).to_vec();
        self.keyed_lines(&parts, key);
    }

    /// The same for lines that were put together.
    pub(super) fn keyed_lines(&mut self, parts: &[Line], key: marks::Key) {
        let prose = self.is_prose(parts, key.value);
        let kind = if prose {
            BlockKind::Paragraph
        } else {
            BlockKind::Field
        };
        let about = About {
            quoted: parts.first().is_some_and(|line| line.quote > 0),
            speaker: self.current_speaker(parts),
            key: None,
        };
        self.block(kind, about, true, |reader| {
            Some(reader.push_keyed(parts, Some(key)))
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
        let closing = first.quote == 0 && parts.len() == 2 && is_closing(first.of(self.text));
        let index = self.block(BlockKind::Paragraph, about, true, |reader| {
            reader.push_lines(&parts);
            None
        });
        let far = usize::from(first.indent) >= 20
            && first.of(self.text).split_whitespace().count() <= 6
            && !self.sheet.blocks.is_empty();
        if names
            && far
            && let Some(index) = index
        {
            let letter = index
                .checked_sub(1)
                .and_then(|before| self.sheet.blocks.get(before))
                .is_some_and(|block| {
                    block.kind == BlockKind::Paragraph
                        && ends_sentence(block.span.of(self.flow.text()))
                });
            let name = first.of(self.text).trim_start_matches(['"', '“']);
            if letter && name.starts_with(char::is_uppercase) {
                self.signatures.push(index);
            }
        }
        if closing && let Some(index) = index {
            self.signatures.push(index);
        }
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
            let at = self.flow.end_of_source();
            self.flow.push_as("\n", at, 0);
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
                        || (matches!(group, Group::Table(_)) && !words.ends_with('.'))
                        || (matches!(block.kind, BlockKind::Heading { .. })
                            && group != Group::Quotation))
            })
        });
        self.group = Some((group, lead));
        lead
    }

    /// A cell of a table.
    pub(super) fn cell(&mut self, kind: BlockKind, parts: &[Range<usize>]) -> Option<usize> {
        self.block(kind, About::default(), false, |reader| {
            for (index, range) in parts.iter().enumerate() {
                let before = index.checked_sub(1).and_then(|before| parts.get(before));
                if let Some(before) = before {
                    reader.clean.push_as(
                        &mut reader.flow,
                        " ",
                        before.end..range.start.max(before.end),
                    );
                }
                reader.push_words(range.clone(), true);
            }
            None
        })
    }

    /// A stretch of a line that stands by itself: a heading if it is one by its looks, else a paragraph.
    pub(super) fn loose(&mut self, range: Range<usize>) {
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

    /// The head of a post: its author, and when it was written.
    pub(super) fn post(&mut self, name: Range<usize>, when: Range<usize>) {
        let mut author = None;
        self.speaker = None;
        self.block(BlockKind::Paragraph, About::default(), true, |reader| {
            let from = reader.flow.text().len();
            reader.push_words(name.clone(), true);
            author = Some(Span::new(from, reader.flow.text().len()));
            reader
                .clean
                .push_as(&mut reader.flow, "\n", name.end..when.start);
            reader.push_words(when, true);
            None
        });
        if let (Some(name), Some(block)) = (author, self.sheet.blocks.last_mut()) {
            block.speaker = Some(name);
            self.speaker = Some(Turn {
                name,
                quoted_only: false,
            });
        }
    }

    /// Appends lines as running text.
    pub(super) fn push_lines(&mut self, parts: &[Line]) {
        self.push_joined(parts, false);
    }

    /// With `stacks`, lines that were set one below the other on purpose stay apart.
    fn push_joined(&mut self, parts: &[Line], stacks: bool) {
        let widest = parts
            .iter()
            .map(|line| line.end_column(self.text))
            .max()
            .unwrap_or(0)
            .max(self.measure.min(100));
        for (index, line) in parts.iter().enumerate() {
            let range = line.range();
            let next = parts.get(index + 1);
            let Some(next) = next else {
                self.push_words(range, line.has(GAP | LEADER));
                break;
            };
            let words = next.of(self.text);
            let apart = stacks
                && starts_upper(words)
                && !ends_with_link_word(line.of(self.text))
                && !line.of(self.text).ends_with([',', '-', '/'])
                && line.end_column(self.text) + 1 + first_word(words).chars().count() + 8 <= widest;
            match join(line.of(self.text), words) {
                Join::Blank if apart => {
                    self.push_words(range.clone(), line.has(GAP | LEADER));
                    self.clean.push_as(
                        &mut self.flow,
                        "\n",
                        range.end..next.start().max(range.end),
                    );
                }
                Join::Blank => {
                    self.push_words(range.clone(), line.has(GAP | LEADER));
                    self.clean
                        .push_as(&mut self.flow, " ", range.end..next.start().max(range.end));
                }
                Join::Close => self.push_words(range, line.has(GAP | LEADER)),
                Join::Drop(len) => {
                    self.push_words(range.start..range.end - len, line.has(GAP | LEADER))
                }
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
                self.push_words(name.end..first.end(), false);
                if parts.len() > 1 {
                    self.clean
                        .push_as(&mut self.flow, " ", first.end()..first.end());
                }
            }
            KeyForm::Colon => {
                self.push_words(name.end..name.end + 1, false);
                self.clean.push_as(&mut self.flow, " ", name.end + 1..value);
            }
        }
        let mut rest: Vec<Line> = parts.to_vec();
        if value >= first.end() {
            rest.remove(0);
        } else if let Some(line) = rest.first_mut() {
            let ahead = self
                .text
                .get(line.start()..value)
                .map_or(0, |ahead| ahead.chars().count());
            *line = line.part(
                self.text,
                value..line.end(),
                usize::from(line.indent) + ahead,
            );
        }
        self.push_joined(&rest, true);
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
            // Dots that lead the eye from one thing to the other.
            let dots = words >= 4
                && bytes
                    .get(at..at + words)
                    .is_some_and(|rest| rest.iter().all(|byte| *byte == b'.'));
            if dots {
                let blanks = bytes.get(at + words..range.end).map_or(0, |rest| {
                    rest.iter()
                        .take_while(|byte| matches!(byte, b' ' | b'\t'))
                        .count()
                });
                self.clean
                    .push_as(&mut self.flow, "\n", at..at + words + blanks);
                at += words + blanks;
                continue;
            }
            self.clean.push(&mut self.flow, at..at + words);
            at += words;
            let blanks = bytes.get(at..range.end).map_or(0, |rest| {
                rest.iter()
                    .take_while(|byte| matches!(byte, b' ' | b'\t'))
                    .count()
            });
            if blanks >= APART {
                self.clean.push_as(&mut self.flow, "\n", at..at + blanks);
            } else if blanks == 1 {
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
    let word = line.rsplit(' ').next().unwrap_or("");
    let mut buffer = [0; 16];
    word.len() <= 5
        && matches!(
            marks::lowered(word, &mut buffer),
            "a" | "an"
                | "the"
                | "of"
                | "and"
                | "or"
                | "to"
                | "in"
                | "on"
                | "with"
                | "for"
                | "is"
                | "by"
                | "at"
                | "from"
                | "as"
                | "than"
                | "that"
                | "are"
                | "was"
                | "were"
                | "be"
                | "our"
                | "your"
                | "their"
                | "its"
                | "his"
                | "her"
                | "my"
                | "no"
                | "not"
                | "but"
                | "if"
                | "per"
                | "into"
                | "over"
                | "under"
                | "each"
                | "every"
                | "this"
                | "these"
                | "those"
                | "we"
                | "you"
                | "it"
                | "they"
                | "he"
                | "she"
                | "i"
        )
}
