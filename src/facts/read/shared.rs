//! Facts that more cables have than the one they stand at, or fewer than they seem to: ditto marks in tables, and who is left out of
//! what is said of all. Knows cells, mentions and function words.

use super::{Owner, Reader};
use crate::span::Span;
use rustc_hash::FxHashMap;

/// What stands in a cell for the value beside it.
const DITTO: &[&str] = &[
    "\"", "”", "“", "″", "''", "’’", "„", "〃", "-\"-", "- \" -", "-”-", "ditto", "do.", "dto.",
    "dto", "id.", "idem",
];
/// Words that leave out of all what stands behind them.
const BUT: &[&str] = &[
    "apart from",
    "except",
    "except for",
    "excepting",
    "with the exception of",
    "save",
    "save for",
    "but for",
    "other than",
    "all but",
    "bar",
    "not counting",
    "excluding",
];

/// Who shares what with whom.
#[derive(Debug, Default)]
pub(super) struct Shared {
    /// Cells that hold for more cables than their own, with those.
    also: FxHashMap<usize, Vec<usize>>,
    /// Sentences that leave cables out of what they say of all.
    but: FxHashMap<usize, Vec<usize>>,
}

impl Shared {
    /// Whether a sentence leaves a cable out of what it says of all: then it does mean all the others.
    pub(super) fn leaves_out(&self, sentence: usize) -> bool {
        self.but.contains_key(&sentence)
    }
}

impl Reader<'_> {
    /// Finds the cells that stand for the one before them in the line across the cables.
    pub(super) fn dittos(&mut self) {
        for table in 0..self.sheet.tables.len() {
            let cells = &self.sheet.tables[table].cells;
            for row in 0..cells.len() {
                for column in 0..cells[row].len() {
                    let Some(cell) = cells[row][column].filter(|&cell| self.is_ditto(cell)) else {
                        continue;
                    };
                    let Some(entry) = self.line_entry(cell) else {
                        continue;
                    };
                    let by_row = self.is_row_line(table, row);
                    let before = |back: usize| {
                        let (row, column) = if by_row {
                            (row.checked_sub(back)?, column)
                        } else {
                            (row, column.checked_sub(back)?)
                        };
                        cells.get(row)?.get(column).copied().flatten()
                    };
                    let source = (1..=if by_row { row } else { column })
                        .map_while(before)
                        .find(|&source| !self.is_ditto(source));
                    if let Some(source) = source
                        && self.line_entry(source).is_some_and(|own| own != entry)
                    {
                        self.shared.also.entry(source).or_default().push(entry);
                    }
                }
            }
        }
    }

    /// Whether “all” says that a thing is of one metal throughout: “all silver”, “all-copper”.
    pub(super) fn wholly(&self, sentence: usize, words: Span) -> bool {
        words.of(self.text()).eq_ignore_ascii_case("all")
            && (self.hits.saying_any(sentence, &self.terms.metals()))
                .any(|metal| metal.span.start() == words.end() + 1)
    }

    /// Whether a cell holds a ditto mark and nothing else.
    fn is_ditto(&self, cell: usize) -> bool {
        let words = self.sheet.blocks[cell].span.of(self.text()).trim();
        words.len() <= 6 && DITTO.iter().any(|ditto| words.eq_ignore_ascii_case(ditto))
    }

    /// Takes out of the mentions of a sentence whoever it leaves out of all: “each, apart from the Zander, is 12 gauge”. One of whom
    /// something else is said behind that stays: “all are 6 m, apart from the Six, which is 5”.
    pub(super) fn leave_out(&mut self, sentence: usize, resolved: &mut Vec<(Span, Owner)>) {
        let mut all: Option<Span> = None;
        let mut left: Vec<usize> = Vec::new();
        let mut at = 0;
        while let Some(&(span, owner)) = resolved.get(at) {
            match owner {
                Owner::All => all = Some(span),
                Owner::One(entry) => {
                    if let Some(from) = all
                        && self.is_left_out(sentence, span)
                    {
                        left.push(entry);
                        let told = self.in_sentence(sentence).any(|index| {
                            let value = self.sheet.quantities[index].span;
                            value.start() >= from.end() && value.end() <= span.start()
                        });
                        if !told && self.goes_on(sentence, span) {
                            resolved.remove(at);
                            continue;
                        }
                    }
                }
                _ => {}
            }
            at += 1;
        }
        if !left.is_empty() {
            self.shared.but.insert(sentence, left);
        }
    }

    /// Whether what is said of all goes on behind a mention: “each, apart from the Zander, is twelve gauge”, and not “, which is ten”.
    fn goes_on(&self, sentence: usize, words: Span) -> bool {
        const VERBS: &[&str] = &[
            "is", "are", "was", "were", "has", "have", "had", "comes", "come", "came", "measures",
            "measured", "uses", "used",
        ];
        let end = self.sheet.sentences[sentence].span.end();
        let behind = Span::new(words.end(), end.max(words.end())).of(self.text());
        let mut next = behind.split(|letter: char| !letter.is_alphabetic());
        let first = next.find(|word| !word.is_empty()).unwrap_or("");
        VERBS.contains(&first)
    }

    /// Whether words that leave somebody out stand right before a mention.
    fn is_left_out(&self, sentence: usize, words: Span) -> bool {
        let start = self.sheet.sentences[sentence].span.start();
        let ahead = Span::new(start, words.start().max(start)).of(self.text());
        let ahead = ahead.trim_end().to_lowercase();
        let ahead = ["the", "our", "that", "this", "my"]
            .iter()
            .find_map(|article| ahead.strip_suffix(article).map(str::trim_end))
            .unwrap_or(&ahead);
        BUT.iter().any(|but| {
            ahead
                .strip_suffix(but)
                .is_some_and(|before| !before.ends_with(char::is_alphanumeric))
        })
    }

    /// The cables that a fact at `sentence` belongs to, of those that `owner` stands for.
    pub(super) fn cables_at(&self, sentence: usize, owner: Owner) -> Vec<usize> {
        let mut cables = self.cables_of(owner);
        if self.shared.also.is_empty() && self.shared.but.is_empty() {
            return cables;
        }
        match owner {
            Owner::All => {
                if let Some(left) = self.shared.but.get(&sentence) {
                    cables.retain(|cable| !left.contains(cable));
                }
            }
            Owner::One(_) => {
                let block = self.sheet.sentences[sentence].block();
                if let Some(also) = self.shared.also.get(&block) {
                    cables.extend(also.iter().filter(|&&entry| Owner::One(entry) != owner));
                }
            }
            _ => {}
        }
        cables
    }
}
