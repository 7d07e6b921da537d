//! Positions of an offer or a bill: a number, a quantity, what it is over several lines, a price. What it is makes one block.

use super::{About, BlockKind, Reader};
use crate::sheet::lines::{GAP, Line};
use crate::sheet::marks;
use crate::sheet::table::{Segment, is_figure, segments};

/// Fewest words of a description.
const WORDS: usize = 3;
/// Most digits of the number of a position.
const DIGITS: usize = 3;
/// Lines in which the next position must begin.
const FAR: usize = 14;

/// The parts of the first line of a position.
struct Position {
    number: Segment,
    /// How many pieces or metres of it.
    quantity: Vec<Segment>,
    told: Segment,
    price: Vec<Segment>,
}

impl Reader<'_> {
    /// Reads the position that begins at line `at`, or the heads of the columns above the first, if several stand in a list.
    pub(super) fn position(&mut self, at: usize, end: usize) -> Option<usize> {
        let Some(first) = self.starts_position(at) else {
            return self.heads_of_positions(at, end);
        };
        if !self.is_listed(at, &first) {
            return None;
        }
        let next = self.position_end(at, end, first.told.from);
        let mut prices = first.price;
        let line = *self.line(at)?;
        let mut parts = vec![line.part(self.text, first.told.range.clone(), first.told.from)];
        // The code of an article is what it is called; the number of a position is only that.
        let number = first.number.range.clone();
        let coded = is_code(self.text.get(number.clone()).unwrap_or(""));
        if coded {
            parts.insert(0, line.part(self.text, number.clone(), first.number.from));
        }
        for below in at + 1..next {
            let line = *self.line(below)?;
            let mut row = segments(self.text, &line).into_iter();
            let told = row.next()?;
            parts.push(line.part(self.text, told.range, told.from));
            prices.extend(row);
        }
        for segment in first.quantity {
            self.loose(segment.range);
        }
        // With the blank behind it.
        self.item(&parts, (!coded).then_some(number.start..number.end + 1));
        for segment in prices {
            let part = Line::of_range(self.text, segment.range, 0);
            self.block(BlockKind::Paragraph, About::default(), true, |reader| {
                reader.push_lines(&[part]);
                None
            });
        }
        Some(next)
    }

    /// Heads of columns right above a list of positions are no row of a table.
    fn heads_of_positions(&mut self, at: usize, end: usize) -> Option<usize> {
        let below = (at + 1..end.min(at + 3)).find(|&below| !marks::is_rule(self.words(below)))?;
        let first = self.starts_position(below)?;
        let row = segments(self.text, self.line(at)?);
        let heads = row.len() >= 3
            && row
                .iter()
                .any(|head| head.from.abs_diff(first.told.from) <= 1)
            && self.is_listed(below, &first);
        if !heads {
            return None;
        }
        for head in row {
            self.loose(head.range);
        }
        Some(at + 1)
    }

    /// Whether a position stands in a list of such, of which one at least takes several lines.
    fn is_listed(&self, at: usize, first: &Position) -> bool {
        let indent = self.line(at).map(|line| line.indent);
        let mut wrapped = self.position_end(at, self.lines.len(), first.told.from) > at + 1;
        let mut others = 0;
        for other in at.saturating_sub(FAR)..self.lines.len().min(at + FAR) {
            if other == at || self.line(other).map(|line| line.indent) != indent {
                continue;
            }
            let alike = self
                .starts_position(other)
                .is_some_and(|second| second.told.from.abs_diff(first.told.from) <= 1);
            if alike {
                others += 1;
                wrapped = wrapped
                    || self.position_end(other, self.lines.len(), first.told.from) > other + 1;
            }
        }
        wrapped && others > 0
    }

    /// The parts of a line with which a position begins.
    fn starts_position(&self, at: usize) -> Option<Position> {
        let line = self
            .line(at)
            .filter(|line| line.has(GAP) && line.quote == 0)?;
        let words = |segment: &Segment| self.text.get(segment.range.clone()).unwrap_or("");
        let mut row = segments(self.text, line).into_iter().peekable();
        let number = row.next().filter(|segment| {
            let digits = words(segment).trim_end_matches('.');
            let counted = (1..=DIGITS).contains(&digits.len())
                && digits.bytes().all(|byte| byte.is_ascii_digit());
            counted || is_code(words(segment))
        })?;
        let coded = is_code(words(&number));
        let short = |segment: &Segment| words(segment).split_whitespace().count() < WORDS;
        let mut quantity = Vec::new();
        while let Some(segment) = row.next_if(|segment| short(segment) && is_figure(words(segment)))
        {
            quantity.push(segment);
        }
        let told = row
            .next()
            .filter(|segment| !short(segment) && words(segment).starts_with(char::is_alphabetic))?;
        let price: Vec<Segment> = row.collect();
        (quantity.len() <= 2
            && price.len() <= if coded { 1 } else { 3 }
            && price.iter().all(|segment| is_figure(words(segment))))
        .then_some(Position {
            number,
            quantity,
            told,
            price,
        })
    }

    /// One past the last line that goes on with a description at column `from`.
    fn position_end(&self, at: usize, end: usize, from: usize) -> usize {
        let mut next = at + 1;
        while next < end {
            let Some(line) = self.line(next).filter(|line| line.blank == 0) else {
                break;
            };
            let row = segments(self.text, line);
            let goes_on = usize::from(line.indent).abs_diff(from) <= 1
                && row
                    .iter()
                    .skip(1)
                    .all(|segment| is_figure(self.text.get(segment.range.clone()).unwrap_or("")));
            if !goes_on {
                break;
            }
            next += 1;
        }
        next
    }
}

/// Whether words are the code of an article: `RF-210`, `TC15`.
fn is_code(words: &str) -> bool {
    let letters = words.bytes().take_while(u8::is_ascii_uppercase).count();
    let rest = words.get(letters..).unwrap_or("");
    let rest = rest.strip_prefix('-').unwrap_or(rest);
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    (1..=4).contains(&letters)
        && (1..=5).contains(&digits)
        && words.len() >= 3
        && rest.len() - digits <= 2
        && rest.bytes().all(|sign| sign.is_ascii_alphanumeric())
}

#[cfg(test)]
mod tests {
    use crate::sheet::{BlockKind, outline};

    #[test]
    fn what_a_position_is_stands_in_one_block() {
        let text = "Pos  Qty   Description                      EUR\n\
                    -------------------------------------------\n\
                    1    90 m  Twin line 2 x 2,5 mm², copper,\n\
                    \x20          11,4 Ω/km on drums                88,00\n\
                    2    4 pc  Made-up lead 3 m, 2 x 4 mm²      61,00\n";
        let sheet = outline(text);
        let words = |block: usize| sheet.blocks[block].span.of(sheet.flow.text());
        let items: Vec<&str> = (0..sheet.blocks.len())
            .filter(|&block| sheet.blocks[block].kind() == BlockKind::Item)
            .map(words)
            .collect();
        assert_eq!(
            items,
            [
                "1 Twin line 2 x 2,5 mm², copper, 11,4 Ω/km on drums",
                "2 Made-up lead 3 m, 2 x 4 mm²"
            ]
        );
    }

    #[test]
    fn an_article_with_a_code_stands_in_one_block() {
        let text = "TC-15  THE WREN. Flat twin of 16 gauge copper.    1.10\n       For the kitchen.\n\n\
            TC-25  THE ROBIN. Flat twin of 14 gauge copper.   1.85\n       One leg has a red thread.\n";
        let sheet = outline(text);
        let items = sheet
            .blocks
            .iter()
            .filter(|block| block.kind() == BlockKind::Item);
        let words: Vec<&str> = items
            .map(|block| block.span.of(sheet.flow.text()))
            .collect();
        assert_eq!(
            words,
            [
                "TC-15 THE WREN. Flat twin of 16 gauge copper. For the kitchen.",
                "TC-25 THE ROBIN. Flat twin of 14 gauge copper. One leg has a red thread."
            ]
        );
    }

    #[test]
    fn a_table_of_short_cells_has_no_positions() {
        let text =
            "No   Name    Gauge   Length\n1    Rill    12 AWG  3 m\n2    Beck    14 AWG  5 m\n";
        assert!(!outline(text).tables.is_empty());
    }
}
