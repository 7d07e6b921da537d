//! What a page adds to the lines of a text: boxes round them, heads and numbers that come again, and the edge they reach.

use super::lines::{BAR, Line};
use super::look::ends_sentence;
use super::marks;
use crate::sheet::words::WORDS;

/// Takes the frame off lines that stand in a box of one cell.
pub(super) fn unframed(text: &str, mut lines: Vec<Line>) -> Vec<Line> {
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
pub(super) fn running_heads(text: &str, mut lines: Vec<Line>) -> Vec<Line> {
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
                .all(|word| word.is_empty() || WORDS.page_word.has(&word.to_lowercase()))
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
pub(super) fn measure(text: &str, lines: &[Line]) -> usize {
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
