//! Running text: where a paragraph ends, and whether it is one, a list without marks, or a value with its key.

use super::answers::ends_signed;
use super::clean::SOFT_HYPHEN;
use super::lines::{BAR, COLON, EQUALS, GAP, LEADER, Line};
use super::look::{
    begins_entry, begins_with_unit, ends_sentence, ends_with_link_word, ends_with_number,
    first_word, is_closing, run_in, starts_upper,
};
use super::marks::{self, KeyForm, MarkKind};
use super::voices::is_attribution;
use super::{About, BlockKind, Reader};
use std::ops::Range;

/// Whether a line begins with words in quotation marks that go on in the next line.
fn opens_quotation(words: &str) -> bool {
    match words.chars().next() {
        Some('"') => words.matches('"').count() % 2 == 1,
        Some('“') => words.rfind('“') > words.rfind('”'),
        _ => false,
    }
}

impl Reader<'_> {
    /// Running text, with a key or without.
    pub(super) fn text_block(&mut self, at: usize, end: usize) -> usize {
        let words = self.words(at);
        let Some(&line) = self.line(at) else {
            return end;
        };
        if self.is_listy(at, end) {
            for other in at..end {
                if let Some(&part) = self.line(other) {
                    let keyed = part.has(GAP) && starts_upper(part.of(self.text));
                    match self.name_and_measure(&part).filter(|_| keyed) {
                        Some(key) => self.keyed(other..other + 1, key),
                        None => self.item(&[part], None),
                    }
                }
            }
            return end;
        }
        let found = self.key_of(&line);
        if found.is_none()
            && let Some(ahead) = self.opens_key(at, end)
        {
            let next = self.paragraph_end(at + ahead, end);
            if let Some(below) = self.line(at + ahead).copied()
                && let Some(key) = self.key_of(&below)
            {
                let parts: Vec<Line> = self.lines.get(at + ahead..next).unwrap_or(&[]).to_vec();
                self.key_above = at..at + ahead;
                self.keyed_lines(&parts, key);
                self.key_above = 0..0;
                return next;
            }
        }
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

    /// How many lines a key has ahead of the one that it ends on: `Damping factor at the` above `terminals .... 110` is one.
    fn opens_key(&self, at: usize, end: usize) -> Option<usize> {
        const MOST_WORDS: usize = 6;
        const FURTHER: usize = 10;
        const MOST: usize = 3;
        const LONGEST: usize = 120;
        let line = self.line(at)?;
        let words = line.of(self.text);
        let plain = |line: &Line| !line.has(LEADER | COLON | EQUALS | GAP | BAR);
        let lead = |line: &Line| line.has(LEADER) && self.key_of(line).is_some();
        let led = (at.checked_sub(1).and_then(|before| self.line(before))).is_some_and(lead);
        if !led || !plain(line) || !starts_upper(words) {
            return None;
        }
        let few = |words: &str, most: usize| words.split_whitespace().count() <= most;
        let mut long = words.len();
        for ahead in 1..=MOST {
            let above = self.words(at + ahead - 1);
            let below = self.line(at + ahead).filter(|_| at + ahead < end)?;
            let goes_on = below.of(self.text);
            // Of a key in three lines the first may be as long as the others.
            let most = if ahead == 1 && lead(below) {
                MOST_WORDS
            } else {
                FURTHER
            };
            if ends_sentence(above)
                || !few(above, most)
                || line.indent != below.indent
                || !goes_on.starts_with(char::is_lowercase)
            {
                return None;
            }
            if lead(below) {
                return Some(ahead);
            }
            long += goes_on.len() + 1;
            if !plain(below) || long > LONGEST {
                return None;
            }
        }
        None
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
        // A number whose unit begins the next line.
        let goes_on = |index: usize| {
            lines
                .get(index)
                .is_some_and(|line| line.of(self.text).starts_with(char::is_lowercase))
        };
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
                || (!is_last && ends_with_number(words) && goes_on(index + 1))
                || (!is_last
                    && (closed(words)
                        || opens_quotation(words)
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
    pub(in super::super) fn key_of(&self, line: &Line) -> Option<marks::Key> {
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
    pub(super) fn paragraph_end(&self, at: usize, end: usize) -> usize {
        let mut next = at + 1;
        while next < end && !self.breaks(at, next, end) {
            next += 1;
        }
        next
    }

    /// Whether the first word of line `next` would have fitted well into the line before it.
    pub(super) fn unfilled(&self, next: usize, slack: usize) -> bool {
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
        if self.ruled_title(*line, words).is_some() {
            return true;
        }
        if begins_entry(words) && begins_entry(self.words(at)) {
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
                        || (self.key_behind_mark(line) && self.key_of(before).is_some())
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
            let below_key = self.key_of(before).is_some() || self.key_behind_mark(before);
            // What stands further in goes on with the value above it.
            let hung = self.line(at).is_some_and(|first| {
                first.indent == line.indent
                    && before.indent > line.indent
                    && self.key_of(first).is_some()
            });
            let fresh = ended || self.unfilled(next, 8) || below_key || hung;
            if fresh && (upper || key.form != KeyForm::Colon || below_key || hung) {
                return true;
            }
        }
        // "Damping factor at the load     300" below a line without a gap.
        if line.has(GAP) && starts_upper(words) && self.name_and_measure(line).is_some() {
            return true;
        }
        // What begins anew to the left of the mark of a point is no part of it.
        let outdented = starts_upper(words)
            && self.line(at).is_some_and(|first| {
                first.indent >= line.indent + 2 && marks::mark(self.words(at)).is_some()
            });
        if outdented || self.opens_key(next, end).is_some() || self.in_one_form(next, end) {
            return true;
        }
        if self.titles_fields(next, false, end)
            || self.labelled_alike(at, next)
            || self.label_title(next, false, end).is_some()
        {
            return true;
        }
        // An author's name set far to the right, and no value that goes on below itself.
        let far = line.indent >= before.indent + 20 || before.indent >= line.indent + 20;
        if far && (line.has(GAP) || !self.below_value(at, line.indent)) {
            return true;
        }
        if next == at + 1 && is_attribution(self.words(at)) {
            return true;
        }
        if !self.voices.is_empty() && self.speaks(words).is_some() {
            return true;
        }
        // "… the dog. — A. Moss", and the answer below it further in.
        if line.indent >= before.indent + 2 && ends_signed(self.words(next - 1)) {
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

    /// Whether a column is that in which the value of line `at` begins, behind its key: what stands there goes on with it.
    fn below_value(&self, at: usize, column: u16) -> bool {
        const OFF: usize = 2;
        let Some(line) = self.line(at) else {
            return false;
        };
        let words = line.of(self.text);
        let skip = marks::mark(words).map_or(0, |mark| mark.len);
        let inner = line.part(self.text, line.start() + skip..line.end(), 0);
        let key = self.find_key(&inner);
        key.and_then(|key| words.get(..skip + key.value))
            .is_some_and(|ahead| {
                let value = usize::from(line.indent) + ahead.chars().count();
                value.abs_diff(usize::from(column)) <= OFF
            })
    }

    /// Whether a bullet and a key begin a line, as those of a list of records do.
    fn key_behind_mark(&self, line: &Line) -> bool {
        let words = line.of(self.text);
        line.has(COLON | EQUALS)
            && marks::mark(words).is_some_and(|mark| {
                matches!(mark.kind, MarkKind::Bullet(_))
                    && words.get(mark.len..).is_some_and(|words| {
                        marks::key(words).is_some_and(|key| key.value < words.len())
                    })
            })
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
        let open = previous.ends_with([',', '-', '–', '—', '&', '+', '/', '(', SOFT_HYPHEN])
            || ends_with_link_word(previous)
            || words.starts_with("per ")
            || ends_with_number(previous)
                && (words.starts_with(char::is_lowercase) || begins_with_unit(words));
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

    /// Words with a key: a field, or a paragraph that starts with one.
    fn keyed(&mut self, range: Range<usize>, key: marks::Key) {
        let parts: Vec<Line> = self.lines.get(range).unwrap_or(&[]).to_vec();
        self.keyed_lines(&parts, key);
    }

    /// The same for lines that were put together.
    pub(in super::super) fn keyed_lines(&mut self, parts: &[Line], key: marks::Key) {
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
    pub(in super::super) fn paragraph(&mut self, range: Range<usize>, about: About) {
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
                    block.kind() == BlockKind::Paragraph
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
}
