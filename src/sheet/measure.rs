//! Quantities of every sentence, each read in the light of the key, the table headers and the heading that it stands under.

use super::quantity::{self, Context};
use super::{Block, BlockKind, Sheet, Table, legend};
use rustc_hash::FxHashMap;

/// A block of fewer bytes is a scrap that its neighbours explain.
const SCRAP: usize = 16;

/// Most quantities that are read of one document: each takes some four hundred bytes until it is judged.
pub const MOST_QUANTITIES: usize = 4_000_000;

/// Fills [`Sheet::quantities`].
pub(super) fn fill(sheet: &mut Sheet) {
    fill_up_to(sheet, MOST_QUANTITIES);
}

/// The same with another limit; no sentence is begun behind it.
fn fill_up_to(sheet: &mut Sheet, most: usize) {
    let text = sheet.flow.text();
    let comma = decimal_comma(text);
    let numbered = numbered(text);
    let mut quantities = Vec::new();
    let mut keys = Keys::default();
    let mut full = false;
    'blocks: for (at, block) in sheet.blocks.iter().enumerate() {
        let sentences = &sheet.sentences[block.sentences()];
        if !sentences
            .iter()
            .any(|sentence| may_measure(sentence.span.of(text)))
        {
            continue;
        }
        let context = context(sheet, at, block, &mut keys)
            .decimal_comma(comma)
            .numbered(numbered);
        for sentence in sentences {
            if quantities.len() >= most {
                full = true;
                break 'blocks;
            }
            quantity::read(text, sentence.span, &context, &mut quantities);
        }
    }
    quantities.shrink_to_fit();
    sheet.quantities = quantities;
    sheet.full = full;
}

/// Whether lines begin with `#1` and `#2`.
fn numbered(text: &str) -> bool {
    let begins = |mark: &str| {
        text.lines().any(|line| {
            let rest = line.strip_prefix(mark);
            rest.is_some_and(|rest| !rest.starts_with(|letter: char| letter.is_alphanumeric()))
        })
    };
    begins("#1") && begins("#2")
}

/// Whether a sentence can hold a quantity at all: any digit, fraction or letter will do, blank ones cannot.
fn may_measure(sentence: &str) -> bool {
    sentence
        .bytes()
        .any(|byte| byte.is_ascii_alphanumeric() || !byte.is_ascii())
}

/// What keys and heads say that were read before: a sheet has few and writes them many times.
#[derive(Default)]
struct Keys<'t> {
    known: FxHashMap<&'t str, Context>,
    /// The same of what stands over others.
    over: FxHashMap<&'t str, Context>,
    /// The first block of the table that was asked for last.
    first: Option<(usize, Option<usize>)>,
    /// By table, line and direction, the cell whose unit speaks for the others.
    speaking: FxHashMap<(usize, usize, bool), Option<usize>>,
    /// By table and column, what the text around the table says of the head.
    legend: FxHashMap<(usize, usize), Option<&'t str>>,
}

impl<'t> Keys<'t> {
    /// Most keys kept, so that a hostile document cannot fill the memory.
    const KEPT: usize = 1024;

    fn of(&mut self, words: &'t str) -> Context {
        if let Some(known) = self.known.get(words) {
            return known.clone();
        }
        if self.known.len() >= Self::KEPT {
            self.known.clear();
        }
        let made = Context::of(words);
        self.known.insert(words, made.clone());
        made
    }

    /// What words say that stand over others.
    fn over(&mut self, words: &'t str) -> &Context {
        if self.over.len() >= Self::KEPT {
            self.over.clear();
        }
        let made = || Context::default().under(words);
        self.over.entry(words).or_insert_with(made)
    }

    /// The first block of a table, looked for once and not for each of its cells.
    fn first_of(&mut self, index: usize, table: &Table) -> Option<usize> {
        match self.first {
            Some((known, first)) if known == index => first,
            _ => {
                let first = table.cells.iter().flatten().flatten().min().copied();
                self.first = Some((index, first));
                first
            }
        }
    }
}

/// The first cell of a line behind its head, where it alone has a unit and all others are bare numbers. `beside` are the cells next
/// to it in the other direction: where one is of the same unit, these are the values of one property and those of the line are
/// not.
fn speaking<'t>(
    line: impl Iterator<Item = Option<usize>>,
    beside: impl Iterator<Item = Option<usize>>,
    words: impl Fn(usize) -> &'t str,
) -> Option<usize> {
    let mut line = line.flatten();
    let first = line.next()?;
    let mut others = line.peekable();
    others.peek()?;
    let unit = quantity::unit_words(words(first));
    (quantity::has_unit(words(first))
        && others.all(|cell| quantity::is_bare(words(cell)))
        && !beside
            .flatten()
            .any(|cell| cell != first && quantity::unit_words(words(cell)) == unit))
    .then_some(first)
}

fn context<'t>(sheet: &'t Sheet, at: usize, block: &Block, keys: &mut Keys<'t>) -> Context {
    let text = sheet.flow.text();
    let words = |index: usize| {
        sheet
            .blocks
            .get(index)
            .map_or("", |block| block.span.of(text))
    };
    let mut context = match block.kind() {
        BlockKind::Cell { table, row, column } => {
            let [table, row, column] = [table, row, column].map(|place| place as usize);
            let mut header = |row: usize, column: usize| {
                let cell = sheet
                    .tables
                    .get(table)?
                    .cells
                    .get(row)?
                    .get(column)
                    .copied()
                    .flatten()?;
                Some(keys.of(words(cell)))
            };
            let index = table;
            let table = sheet.tables.get(index);
            let above = table
                .filter(|table| table.header_row && row > 0)
                .and_then(|_| header(0, column));
            let left = table
                .filter(|table| table.header_column && column > 0)
                .and_then(|_| header(row, 0));
            let mut context = match (above, left) {
                (Some(above), Some(left)) => above.and(&left),
                (Some(one), None) | (None, Some(one)) => one,
                (None, None) => Context::default(),
            };
            if row > 0 && column > 0 {
                // What stands over several columns, and what leads to the table.
                let over = table.and_then(|table| table.over.get(column).copied().flatten());
                if let Some(over) = over {
                    context = context.headed(words(over));
                }
                let before = table
                    .and_then(|table| keys.first_of(index, table))
                    .and_then(|first| first.checked_sub(1));
                let head = |row: usize, column: usize| {
                    let cell = table?.cells.get(row)?.get(column).copied().flatten()?;
                    Some(words(cell))
                };
                for caption in [block.lead(), before, block.section()]
                    .into_iter()
                    .flatten()
                {
                    context = context.captioned(words(caption));
                    for head in [head(0, column), head(row, 0)].into_iter().flatten() {
                        context = context.told(head, words(caption));
                    }
                }
            }
            if let Some(table) = table.filter(|table| table.header_row && row > 0)
                && quantity::is_bare(words(at))
            {
                let said = *keys
                    .legend
                    .entry((index, column))
                    .or_insert_with(|| legend::of_column(sheet, table, column));
                if let Some(said) = said {
                    context = context.meant(said);
                }
            }
            if let Some(table) = table.filter(|_| quantity::is_bare(words(at))) {
                let at = |row: usize, column: usize| {
                    table.cells.get(row)?.get(column).copied().flatten()
                };
                let (top, left) = (
                    usize::from(table.header_row),
                    usize::from(table.header_column),
                );
                let rows = top..table.cells.len();
                let width = |row: usize| table.cells.get(row).map_or(0, Vec::len);
                let down = *keys
                    .speaking
                    .entry((index, column, true))
                    .or_insert_with(|| {
                        let beside = (left..width(top)).map(|column| at(top, column));
                        speaking(rows.clone().map(|row| at(row, column)), beside, words)
                    });
                let across = *keys.speaking.entry((index, row, false)).or_insert_with(|| {
                    let line = (left..width(row)).map(|column| at(row, column));
                    speaking(line, rows.clone().map(|row| at(row, left)), words)
                });
                for cell in [down, across].into_iter().flatten() {
                    context = context.like(words(cell));
                }
            }
            context
        }
        _ => {
            let own = block.key().map_or("", |key| key.of(text));
            match unit_beside(sheet, at, block) {
                Some(unit) => Context::of(&format!("{own} ({unit})")),
                None if own.is_empty() => Context::default(),
                None => keys.of(own),
            }
        }
    };
    // One stretch of a scattered line: those beside it say what it is about.
    if block.span.len() < SCRAP
        && matches!(
            block.kind(),
            BlockKind::Paragraph | BlockKind::Heading { .. }
        )
    {
        const REACH: usize = 4;
        let near = |index: &usize| (1..40).contains(&words(*index).len());
        for index in (at.saturating_sub(REACH)..at).rev().take_while(near) {
            context = context.under(words(index));
        }
        for index in (at + 1..=at + REACH).take_while(near) {
            context = context.under(words(index));
        }
    }
    let over = block.section().or(block.lead());
    for over in [over, opener(sheet, at, block)].into_iter().flatten() {
        context = context.and(keys.over(words(over)));
    }
    if let Some(head) = run_in(sheet, block) {
        context = context.under(head);
    }
    context
}

/// The line of running text that ends in a colon right over the fields among which one stands: “3. Line data, per metre of the pair:”.
fn opener(sheet: &Sheet, at: usize, block: &Block) -> Option<usize> {
    /// Fields before it that are passed over.
    const FIELDS: usize = 8;
    let kind = |at: usize| sheet.blocks.get(at).map(Block::kind);
    if block.kind() != BlockKind::Field {
        return None;
    }
    let first = at.saturating_sub(FIELDS);
    let over = (first..at)
        .rev()
        .find(|&before| kind(before) != Some(BlockKind::Field))?;
    let opens = || {
        let words = sheet
            .blocks
            .get(over)
            .map(|block| block.span.of(sheet.flow.text()));
        words.is_some_and(|words| words.trim_end().ends_with(':'))
    };
    let prose = matches!(kind(over), Some(BlockKind::Item | BlockKind::Paragraph));
    (prose && opens()).then_some(over)
}

/// The unit that an export gives in a field of its own beside a bare number: `length: 5` and `length_unit: m`, or `value: 5` and
/// `unit: m`.
fn unit_beside<'t>(sheet: &'t Sheet, at: usize, block: &Block) -> Option<&'t str> {
    let text = sheet.flow.text();
    let value = |block: &Block| -> Option<&'t str> {
        let key = block.key()?;
        let rest = text.get(key.end()..block.span.end())?;
        Some(rest.trim_matches(|c: char| c.is_whitespace() || matches!(c, ':' | '=' | '"' | ',')))
    };
    let own = block.key()?.of(text).trim();
    let bare = value(block)?;
    let number = !bare.is_empty()
        && bare
            .bytes()
            .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    if !number {
        return None;
    }
    [at + 1, at.wrapping_sub(1)].into_iter().find_map(|beside| {
        let beside = sheet.blocks.get(beside)?;
        let name = beside.key()?.of(text).trim();
        let lower = name.to_ascii_lowercase();
        let stem = lower
            .strip_suffix("units")
            .or_else(|| lower.strip_suffix("unit"))?
            .trim_end_matches(['_', '-', ' ', '.']);
        let fits = stem.is_empty() || stem.eq_ignore_ascii_case(own);
        value(beside).filter(|unit| fits && quantity::is_unit(unit))
    })
}

/// The head that a paragraph begins with, on the same line: "3.2  Damping factor. Seen from the far end …"
fn run_in<'t>(sheet: &'t Sheet, block: &Block) -> Option<&'t str> {
    const WORDS: usize = 4;
    let prose = matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item);
    if !prose || block.sentences().len() < 2 {
        return None;
    }
    let first = sheet.sentences.get(block.sentences().start)?;
    let words = first.span.of(sheet.flow.text());
    (words.ends_with(['.', ':']) && words.split_whitespace().count() <= WORDS).then_some(words)
}

/// Whether the document writes decimal commas: it has a comma between a digit and one or two digits, and no point so placed.
fn decimal_comma(text: &str) -> bool {
    let bytes = text.as_bytes();
    let placed = |mark: u8| {
        memchr::memchr_iter(mark, bytes).any(|at| {
            let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
            at > 0 && digit(at - 1) && digit(at + 1) && !(digit(at + 2) && digit(at + 3))
        })
    };
    placed(b',') && !placed(b'.')
}

#[cfg(test)]
mod tests {
    use crate::sheet;

    #[test]
    fn a_key_gives_a_bare_number_its_unit() {
        let sheet = sheet::read(
            "Gauge: 14\nLength: 3 m\nResistance (mΩ/m): 8.3\n\nIt is a 12 AWG pair, 5 m long.\n",
        );
        let values: Vec<_> = sheet
            .quantities
            .iter()
            .map(|quantity| format!("{:?} {}", quantity.value(), quantity.unit()))
            .collect();
        assert_eq!(values.len(), 5, "{values:?} {:?}", sheet.sentences);
    }

    #[test]
    fn a_price_behind_a_line_that_states_its_values_has_no_unit_of_theirs() {
        let read = |text| -> Vec<String> {
            let sheet = sheet::read(text);
            sheet
                .quantities
                .iter()
                .map(|quantity| format!("{:?} {}", quantity.value(), quantity.unit()))
                .collect()
        };
        let list = read(
            "LS-1  Twin, 13.1 Ω/km ............. 0.75\nRG-1  Coax, velocity factor 0.66 ............. 1.10\n",
        );
        assert!(
            !list
                .iter()
                .any(|value| value.contains("0.75") || value.contains("1.1")),
            "{list:?}"
        );
        let measured = read("Resistance at 20 °C, Ω/km ......... 13.1\n");
        assert!(
            measured.iter().any(|value| value.contains("13.1")),
            "{measured:?}"
        );
    }

    #[test]
    fn behind_the_limit_no_sentence_is_measured() {
        let mut sheet =
            crate::sheet::read("The first is 3 m. The second is 4 m. The third is 5 m.");
        assert!(!sheet.full);
        super::fill_up_to(&mut sheet, 2);
        assert_eq!(sheet.quantities.len(), 2);
        assert!(sheet.full);
    }
}
