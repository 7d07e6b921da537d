//! Titles that only their place tells: words over names with values, a point over points further in; and lines of one form
//! that stand below each other. Knows lines and no words of cables.

use super::look::{ends_with_link_word, starts_upper};
use super::marks::{self, MarkKind};
use super::{BAR, COLON, EQUALS, GAP, LEADER, Line, Reader};

/// Most words of such a title.
const TITLE: usize = 8;
/// Most words of a value that is one.
const VALUE: usize = 14;
/// Lines that are looked at above or below.
const ABOVE: usize = 40;
/// Level of the title over points further in: below all headings.
const LEVEL: u8 = 7;

impl Reader<'_> {
    /// Whether a line is the title of the names with values below it: `Calder` over `Gauge: 12 AWG` and `Length: 5 m`. Inside
    /// a stretch of such lines it is one where the names come again below it.
    pub(super) fn titles_fields(&self, at: usize, first: bool, end: usize) -> bool {
        /// Most words over a single name with its value.
        const OVER_ONE: usize = 4;
        let (Some(line), Some(below)) = (self.line(at), self.line(at + 1)) else {
            return false;
        };
        if at + 1 >= end || !below.has(COLON | EQUALS | LEADER) || !self.voices.is_empty() {
            return false;
        }
        let words = self.words(at).trim_end_matches(['*', '_']);
        let count = words.split_whitespace().count();
        let plain = !line.has(COLON | EQUALS | LEADER | GAP | BAR)
            && line.quote == 0
            && starts_upper(words)
            && words
                .ends_with(|last: char| last.is_alphanumeric() || matches!(last, ')' | '"' | '”'))
            && !ends_with_link_word(words)
            && marks::mark(words).is_none()
            && count <= TITLE
            && below.indent >= line.indent;
        if !plain || self.field_name(at + 1).is_none() {
            return false;
        }
        let more = at + 2 < end && self.field_name(at + 2).is_some();
        if first {
            return more || (at + 2 >= end && count <= OVER_ONE);
        }
        let before = at.checked_sub(1).and_then(|before| self.field_name(before));
        let again = || {
            let name = self.field_name(at + 1);
            (at.saturating_sub(ABOVE)..at)
                .rev()
                .take_while(|&above| self.line(above + 1).is_some_and(|below| below.blank == 0))
                .any(|above| self.field_name(above) == name)
        };
        before.is_some() && count <= OVER_ONE && again()
    }

    /// The name in a line that is a name with a short value, with a mark or without.
    fn field_name(&self, at: usize) -> Option<&str> {
        let line = self.line(at)?;
        if !line.has(COLON | EQUALS | LEADER) || line.quote > 0 {
            return None;
        }
        let words = line.of(self.text);
        let (skip, key) = match marks::mark(words) {
            Some(mark) => (mark.len, marks::key(words.get(mark.len..)?)?),
            None => (0, self.key_of(line)?),
        };
        let value = words.get(skip + key.value..)?;
        (!value.is_empty() && value.split_whitespace().count() <= VALUE)
            .then(|| words.get(skip..skip + key.len))
            .flatten()
    }

    /// The title in a point of a list below which points stand further in that tell values: `- Calder` over `    - 12 AWG`.
    pub(super) fn over_points(
        &self,
        at: usize,
        next: usize,
        end: usize,
        content: &Line,
    ) -> Option<Line> {
        let (line, below) = (self.line(at)?, self.line(next)?);
        let words = content.of(self.text);
        let title = words.trim_end_matches([':', '*', '_']);
        let titled = next == at + 1
            && next < end
            && below.indent >= line.indent + 2
            && line.quote == 0
            && starts_upper(title)
            && title.ends_with(|last: char| last.is_alphanumeric() || last == ')')
            && title.split_whitespace().count() <= TITLE / 2
            && !title.contains(':');
        if !titled {
            return None;
        }
        let points = (next..end.min(next + ABOVE))
            .take_while(|&point| {
                self.line(point)
                    .is_some_and(|point| point.indent > line.indent)
            })
            .filter(|&point| is_point(self.words(point)));
        let (mut all, mut told) = (0, 0);
        for point in points {
            all += 1;
            told += usize::from(self.words(point).bytes().any(|byte| byte.is_ascii_digit()));
        }
        let first = is_point(self.words(next));
        (first && told * 2 >= all).then(|| {
            let from = content.start() + (words.len() - words.trim_start_matches(['*', '_']).len());
            let until = content.start() + title.len();
            content.part(self.text, from..until, usize::from(content.indent))
        })
    }

    /// Begins the section of such a point.
    pub(super) fn title_of_points(&mut self, title: Line, indent: u16) {
        let depth = u8::try_from(self.points.len()).unwrap_or(u8::MAX);
        let level = LEVEL.saturating_add(depth);
        self.title(title, level);
        self.points.push((indent, level));
    }

    /// Ends the sections of the points that a line does not stand below.
    pub(super) fn leave_points(&mut self, indent: u16) {
        while let Some(&(own, level)) = self.points.last()
            && indent <= own
        {
            self.points.pop();
            self.end_sections(level);
        }
    }

    /// Whether lines `at - 1` and `at`, or `at` and the one below, each begin with a name and go on in one form with what is
    /// measured: `Calder, 12 AWG, 5 m` above `Dunmore, 14 AWG, 3 m`.
    pub(super) fn in_one_form(&self, at: usize, end: usize) -> bool {
        let form = |at: usize| {
            (at < end)
                .then(|| self.line(at))
                .flatten()
                .filter(|line| line.quote == 0 && !line.has(COLON | EQUALS | LEADER | GAP | BAR))
                .and_then(|line| form(line.of(self.text)))
        };
        let Some(own) = form(at) else {
            return false;
        };
        let alike = |other: Option<String>| other.is_some_and(|other| other == own);
        alike(form(at + 1)) || at.checked_sub(1).is_some_and(|above| alike(form(above)))
    }
}

fn is_point(words: &str) -> bool {
    marks::mark(words)
        .is_some_and(|mark| matches!(mark.kind, MarkKind::Bullet(_) | MarkKind::Number(_)))
}

/// The signs that part a line that begins with a name and goes on with a number behind the first of them.
fn form(words: &str) -> Option<String> {
    const NAME: usize = 40;
    const MOST: usize = 16;
    let words = words.trim_start_matches(['*', '_']);
    let named = words.starts_with(char::is_uppercase)
        && words.split_whitespace().count() <= MOST
        && !words.ends_with([',', '-', '–', '—', ':', '(', '&', '/'])
        && !ends_with_link_word(words);
    if !named {
        return None;
    }
    let mut signs = String::new();
    let mut before = ' ';
    for (at, sign) in words.char_indices() {
        let after = words.get(at + sign.len_utf8()..)?;
        let parts = match sign {
            ',' | ';' => after.starts_with(' '),
            '-' | '–' | '—' => before == ' ' && after.starts_with(' '),
            '(' => before == ' ',
            _ => false,
        };
        before = sign;
        if !parts {
            continue;
        }
        if signs.is_empty()
            && (at > NAME
                || !after
                    .trim_start()
                    .starts_with(|digit: char| digit.is_ascii_digit()))
        {
            return None;
        }
        signs.push(sign);
    }
    (!signs.is_empty()).then_some(signs)
}

#[cfg(test)]
mod tests {
    use crate::sheet::{self, BlockKind};

    /// The headings of a text, and beside each how many blocks stand under it.
    fn sections(text: &str) -> Vec<(String, usize)> {
        let sheet = sheet::outline(text);
        let headings = (sheet.blocks.iter().enumerate())
            .filter(|(_, block)| matches!(block.kind(), BlockKind::Heading { .. }));
        headings
            .map(|(at, block)| {
                let below = sheet
                    .blocks
                    .iter()
                    .filter(|other| other.section() == Some(at));
                (block.span.of(sheet.flow.text()).to_owned(), below.count())
            })
            .collect()
    }

    #[test]
    fn words_over_names_and_values_are_a_title() {
        let titles = |text: &str| -> Vec<String> {
            sections(text).into_iter().map(|(title, _)| title).collect()
        };
        assert_eq!(
            titles("Rill\nGauge: 12 AWG\nLength: 5 m\nBurn\nGauge: 14 AWG\nLength: 3 m\n"),
            ["Rill", "Burn"]
        );
        assert_eq!(
            titles("Gauge: 12 AWG\nLength: 5 m or\nmore\nMetal: copper\nNo title\nPrice: 5\n"),
            Vec::<String>::new()
        );
        assert_eq!(
            titles(
                "We took the pair home and hung it between the two loudspeakers, and there is\nGauge: 12 AWG\nLength: 5 m\n"
            ),
            Vec::<String>::new()
        );
    }

    #[test]
    fn a_point_over_points_with_values_is_a_title() {
        assert_eq!(
            sections("- Rill\n  - 12 AWG\n  - 5 m\n- Burn\n  - 14 AWG\nSold by the drum.\n"),
            [("Rill".to_owned(), 2), ("Burn".to_owned(), 1)]
        );
        assert_eq!(sections("- Rill\n  - thick\n  - red\n- Burn\n- Beck\n"), []);
    }

    #[test]
    fn lines_of_one_form_are_blocks_of_their_own() {
        let blocks = |text: &str| sheet::outline(text).blocks.len();
        assert_eq!(blocks("Rill, 12 AWG, 5 m\nBurn, 14 AWG, 3 m\n"), 2);
        assert_eq!(
            blocks("Rill, which is 12 AWG, is sold at\nBurnham, 14 miles from here, too\n"),
            1
        );
    }
}
