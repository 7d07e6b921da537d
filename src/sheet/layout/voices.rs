//! Whose words a block holds: interviews, letters, posts, quotations.

use super::lines::Line;
use super::look::{ends_sentence, is_closing};
use super::marks::{self, KeyForm, MarkKind};
use super::{About, Block, BlockKind, Reader};
use crate::sheet::words::WORDS;
use crate::span::Span;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Whose words follow.
#[derive(Clone, Copy)]
pub(super) struct Turn {
    pub(super) name: Span,
    /// Only what stands behind quote marks.
    pub(super) quoted_only: bool,
}

/// A name at the start of a line, followed by a colon or a gap and running text: the name, and where the text begins.
pub(super) fn voice_of(words: &str) -> Option<(&str, usize)> {
    let words = match marks::mark(words) {
        Some(mark) if mark.kind == MarkKind::Time => return inner_voice(words, mark.len),
        _ => words,
    };
    inner_voice(words, 0)
}

fn inner_voice(words: &str, from: usize) -> Option<(&str, usize)> {
    let inner = words.get(from..)?;
    let window = inner.get(..inner.floor_char_boundary(40))?;
    let (len, value) = match window.find(": ") {
        Some(at) => (at, at + 2),
        None if from > 0 => {
            let at = window.find("  ")?;
            (at, at + 2)
        }
        // `T.  What is it?`
        // `PRESENTER  Let me go down my list.`, as a script has it.
        None if window.find("  ").is_some_and(|at| shouted(&window[..at])) => {
            let at = window.find("  ")?;
            (at, at + 2)
        }
        None if window.get(1..4) == Some(".  ") && window.starts_with(char::is_uppercase) => (1, 2),
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
        && (from > 0 || name.starts_with(char::is_uppercase))
        && !WORDS.voice_label.has(&name.to_lowercase()))
    .then_some((name, from + value))
}

/// Whether a name is in capitals alone, and longer than an abbreviation.
fn shouted(name: &str) -> bool {
    const SHORTEST: usize = 4;
    name.len() >= SHORTEST
        && name
            .chars()
            .all(|letter| letter.is_uppercase() || matches!(letter, ' ' | '-' | '.'))
}

/// `Name wrote:`
pub(super) fn is_attribution(line: &str) -> bool {
    WORDS.voice_wrote.ends(line)
}

/// Whether lines stand in quotation marks from their first letter to their last.
fn in_marks(lines: &[&str]) -> bool {
    let open = lines.first().and_then(|line| line.chars().next());
    let close = lines.last().and_then(|line| line.chars().next_back());
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
    for letter in lines.iter().flat_map(|line| line.chars()) {
        if letter == pair.0 {
            opened += 1;
        } else if letter == pair.1 {
            closed += 1;
        }
    }
    if pair.0 == pair.1 {
        opened == 2
    } else {
        opened == 1 && (closed == 1 || pair.1 == '’')
    }
}

impl Reader<'_> {
    /// Names before a colon that come back, with running text after them: an interview.
    pub(super) fn find_voices(&mut self) {
        const LINES: usize = 20_000;
        // How often a name comes, and how often with what is spoken rather than a value.
        let mut names: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
        for line in self.lines.iter().take(LINES) {
            let words = line.of(self.text);
            if let Some((name, from)) = voice_of(words) {
                let value = words.get(from..).unwrap_or("");
                let spoken = value.starts_with(|letter: char| {
                    letter.is_uppercase() || matches!(letter, '"' | '“' | '.' | '…' | '[')
                }) && (ends_sentence(value) || value.split_whitespace().count() >= 9)
                    // Behind the time of day any few words are a message.
                    || marks::mark(words).is_some_and(|mark| mark.kind == MarkKind::Time)
                        && value.split_whitespace().count() >= 3;
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
    pub(super) fn speaks(&self, words: &str) -> Option<(usize, usize)> {
        let (name, value) = voice_of(words)?;
        self.voices
            .iter()
            .any(|voice| voice == name)
            .then_some((name.len(), value))
    }

    /// Whether a line of a recording or of a script: the time of day or a name in capitals, a gap, and somebody speaks.
    pub(super) fn recorded(&self, words: &str) -> bool {
        let script = || {
            words
                .find("  ")
                .is_some_and(|at| words.get(..at).is_some_and(shouted))
        };
        !self.voices.is_empty()
            && (marks::mark(words).is_some_and(|mark| mark.kind == MarkKind::Time) || script())
            && self.speaks(words).is_some()
    }

    /// Letters are signed below: the author of what stands above a name that is set far to the right, or before `Ed.`
    pub(super) fn sign(&mut self) {
        let text = self.flow.text();
        let mut author: Option<Span> = None;
        for index in (0..self.sheet.blocks.len()).rev() {
            let Some(block) = self.sheet.blocks.get_mut(index) else {
                continue;
            };
            if matches!(block.kind(), BlockKind::Heading { .. }) {
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
                let name = Span::new(block.span.start() + skip, block.span.end());
                author = Some(name);
                block.spoken_by(author);
                continue;
            }
            let words = block.span.of(text);
            if WORDS.voice_editor.ends(words) {
                let at = words.rfind(' ').map_or(0, |at| at + 1);
                author = Some(Span::new(block.span.start() + at, block.span.end()));
            }
            if block.speaker().is_none()
                && !block.quoted()
                && matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item)
            {
                block.spoken_by(author);
            }
        }
    }

    /// A turn of an interview or of a recording.
    pub(super) fn turn(&mut self, parts: &[Line], marker: Range<usize>, voice: bool) {
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
            Some(label.trim_end().trim_end_matches(['.', ':', ')']).len())
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
        let text = self.text;
        let spoken = parts.iter().enumerate().map(|(index, line)| {
            let words = line.of(text);
            let skip = key.filter(|_| index == 0 && named.is_some());
            words.get(skip.map_or(0, |key| key.value)..).unwrap_or("")
        });
        let read_out = in_marks(&spoken.collect::<Vec<_>>());
        if let (Some(name), Some(block)) = (turn, self.sheet.blocks.last_mut()) {
            block.spoken_by(Some(name));
            block.quote(block.quoted() || read_out);
            self.speaker = Some(Turn {
                name,
                quoted_only: false,
            });
        }
    }

    /// Where all turns of a speaker stand in quotation marks, that is how speech is set there; where some do, those are read
    /// out from elsewhere.
    pub(super) fn leave_set_speech(&mut self) {
        let text = self.flow.text();
        let spoken =
            |block: &Block| (block.kind() == BlockKind::Paragraph).then_some(block.speaker())?;
        let plain: BTreeSet<&str> = (self.sheet.blocks.iter())
            .filter(|block| !block.quoted())
            .filter_map(|block| Some(spoken(block)?.of(text)))
            .collect();
        for block in &mut self.sheet.blocks {
            if let Some(name) = spoken(block)
                && block.quoted()
                && block.span.contains(name)
                && !plain.contains(name.of(text))
            {
                block.quote(false);
            }
        }
    }

    pub(super) fn current_speaker(&self, parts: &[Line]) -> Option<Span> {
        // Deeper marks are of somebody else again.
        let depth = parts.first().map_or(0, |line| line.quote);
        self.speaker
            .filter(|turn| !turn.quoted_only || depth == 1)
            .map(|turn| turn.name)
    }

    /// `Name wrote:` tells whose words follow.
    pub(super) fn notice_author(&mut self, index: usize, quoted_only: bool) {
        let Some(block) = self.sheet.blocks.get(index) else {
            return;
        };
        let words = block.span.of(self.flow.text());
        let ends = WORDS
            .voice_wrote
            .entries()
            .chain(WORDS.voice_said.entries());
        let Some(before) = ends.filter_map(|end| words.strip_suffix(end)).next() else {
            return;
        };
        if before.split_whitespace().count() > 14 {
            return;
        }
        let skipped = before.rfind(", ").map_or(0, |at| at + 2);
        let name = Span::new(
            block.span.start() + skipped,
            block.span.start() + before.len(),
        );
        self.speaker = Some(Turn { name, quoted_only });
    }

    /// Whether a paragraph stands in quotation marks from its first letter to its last.
    pub(super) fn in_quotes(&self, parts: &[Line]) -> bool {
        let lines: Vec<&str> = parts.iter().map(|line| line.of(self.text)).collect();
        in_marks(&lines)
    }

    /// The head of a post: its author, and when it was written.
    pub(in super::super) fn post(&mut self, name: Range<usize>, when: Range<usize>) {
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
            block.spoken_by(Some(name));
            self.speaker = Some(Turn {
                name,
                quoted_only: false,
            });
        }
    }
}
