//! Times of a recording: before every line, before some, or on lines of their own. What is said runs on from one to the next. Knows signs
//! and no words of cables.

use super::Reader;
use super::lines::{GAP, Line};
use super::look::{begins_with_unit, ends_sentence, ends_with_link_word, ends_with_number};
use super::marks;
use super::voices::voice_of;

/// Fewest lines with a time.
const FEWEST: usize = 3;

/// The length of a time: `0:14`, `00:00:41`, `00:12.4`, `00:00:12,000`.
fn clock(words: &str) -> Option<usize> {
    let end = words.find(|sign: char| !sign.is_ascii_digit() && sign != ':');
    let len = end.unwrap_or(words.len());
    let mut parts = words.get(..len)?.split(':');
    let first = parts.next()?;
    let mut more = 0;
    for part in parts {
        more += 1;
        if part.len() != 2 {
            return None;
        }
    }
    if !(1..=2).contains(&first.len()) || !(1..=2).contains(&more) {
        return None;
    }
    // Parts of a second.
    let behind = words.get(len..)?;
    let parts = behind.strip_prefix(['.', ',']).map_or(0, |parts| {
        parts.bytes().take_while(u8::is_ascii_digit).count()
    });
    Some(if (1..=3).contains(&parts) {
        len + 1 + parts
    } else {
        len
    })
}

/// A time at the start of a line, in brackets or not, with the blanks and the dash behind it: where the words begin.
fn stamp(words: &str) -> Option<usize> {
    let open = usize::from(words.starts_with(['[', '(']));
    let mut len = open + clock(words.get(open..)?)?;
    if open == 1 {
        len += words.get(len..)?.starts_with([']', ')']).then_some(1)?;
    }
    let rest = words.get(len..)?;
    let behind = rest.trim_start_matches([' ', '\t']);
    if behind.len() == rest.len() && !rest.is_empty() {
        return None;
    }
    let dashed = ["- ", "– ", "— "]
        .iter()
        .find_map(|dash| behind.strip_prefix(dash));
    Some(words.len() - dashed.unwrap_or(behind).len())
}

/// `00:00:12,000 --> 00:00:15,000`.
fn is_cue(words: &str) -> bool {
    words
        .split_once("-->")
        .is_some_and(|(from, to)| [from, to].iter().all(|side| clock(side.trim()).is_some()))
}

impl Reader<'_> {
    /// Leaves out the times before the lines of a recording, and those that stand by themselves.
    pub(super) fn leave_out_times(&mut self) {
        self.leave_out_cues();
        self.leave_out_lone_times();
        self.leave_out_plain_times();
        self.join_timed_lines();
    }

    /// The numbers and times between the captions of a film.
    fn leave_out_cues(&mut self) {
        const CUES: usize = 2;
        let text = self.text;
        let cue = |line: Option<&Line>| line.is_some_and(|line| is_cue(line.of(text)));
        if self.lines.iter().filter(|line| cue(Some(line))).count() < CUES {
            return;
        }
        let gone: Vec<bool> = (0..self.lines.len())
            .map(|at| {
                let counts = self.words(at).bytes().all(|sign| sign.is_ascii_digit());
                cue(self.line(at)) || counts && cue(self.line(at + 1))
            })
            .collect();
        self.leave_out(&gone);
    }

    /// Times on lines of their own between the lines of what is said.
    fn leave_out_lone_times(&mut self) {
        let gone: Vec<bool> = (0..self.lines.len())
            .map(|at| stamp(self.words(at)) == Some(self.words(at).len()))
            .collect();
        let count = gone.iter().filter(|gone| **gone).count();
        if count >= FEWEST && count * 10 >= self.lines.len() * 3 {
            self.leave_out(&gone);
        }
    }

    /// Takes lines out; what stood behind one of them goes on with what stood before it.
    fn leave_out(&mut self, gone: &[bool]) {
        let mut at = 0;
        let mut before = true;
        self.lines.retain_mut(|line| {
            let out = gone.get(at).copied().unwrap_or(false);
            if !out && before && at > 0 {
                line.blank = 0;
            }
            before = out;
            at += 1;
            !out
        });
    }

    /// The times that stand before every line of a recording in which nobody is named: its lines run on.
    fn leave_out_plain_times(&mut self) {
        const FEWEST: usize = 5;
        let plain = |words: &str| {
            let len = clock(words)?;
            let gap = words.get(len..)?.starts_with(' ');
            (gap && marks::mark(words).is_none())
                .then(|| stamp(words))
                .flatten()
        };
        let text = self.text;
        let stamped = |line: &Line| plain(line.of(text));
        let count = self
            .lines
            .iter()
            .filter(|line| stamped(line).is_some())
            .count();
        if count < FEWEST || count * 10 < self.lines.len() * 6 {
            return;
        }
        for line in &mut self.lines {
            if let Some(skip) = stamped(line) {
                *line = line.part(self.text, line.start() + skip..line.end(), 0);
            }
        }
    }

    /// A time before a line that goes on with the sentence above it is left out, where nobody is named.
    fn join_timed_lines(&mut self) {
        let text = self.text;
        let spoken = |line: &Line| {
            let words = line.of(text);
            let skip = stamp(words).filter(|&skip| skip < words.len())?;
            words.get(skip..)
        };
        let (mut timed, mut named) = (0, 0);
        for line in &self.lines {
            if let Some(words) = spoken(line) {
                timed += 1;
                named +=
                    usize::from(voice_of(words).is_some() || voice_of(line.of(text)).is_some());
            }
        }
        if timed < FEWEST || timed * 10 < self.lines.len() * 6 || named > 0 {
            return;
        }
        let mut above: Option<&str> = None;
        for line in &mut self.lines {
            let own = spoken(line);
            let goes_on = above.zip(own).is_some_and(|(above, own)| {
                !ends_sentence(above)
                    && (own.starts_with(char::is_lowercase)
                        || above.ends_with(',')
                        || ends_with_link_word(above)
                        || ends_with_number(above) && begins_with_unit(own))
            });
            if let Some(words) = own.filter(|_| goes_on && line.blank == 0 && !line.has(GAP)) {
                *line = line.part(
                    text,
                    line.end() - words.len()..line.end(),
                    usize::from(line.indent),
                );
            }
            above = own;
        }
    }
}
