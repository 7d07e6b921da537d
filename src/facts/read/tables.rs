//! Lines of tables that describe one cable each. Knows kinds and roles of quantities, and no words.

use super::{Owner, Reader, ratio};
use crate::facts::roles::Role;
use crate::facts::roster::{self, Means};
use crate::facts::types::narrow;
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use rustc_hash::FxHashSet;

/// A row or a column of a table that describes one cable.
#[derive(Debug, Clone, Copy)]
pub(super) struct TableLine {
    pub(super) by_row: bool,
    entry: u32,
}

impl TableLine {
    /// What stands for a row.
    pub(super) fn row(entry: usize) -> Self {
        Self {
            by_row: true,
            entry: narrow(entry),
        }
    }
}

impl Reader<'_> {
    /// Rows or columns that describe one cable each become entries.
    pub(super) fn tables(&mut self) {
        self.records();
        self.positions();
        self.segments();
        for (index, table) in self.sheet.tables.iter().enumerate() {
            let rows = table.cells.len();
            let columns = table.cells.iter().map(Vec::len).max().unwrap_or(0);
            let kind_at = |row: usize, column: usize| -> Option<Kind> {
                let block = (*table.cells.get(row)?.get(column)?)?;
                let sentences = self.sheet.blocks[block].sentences();
                let quantities = self.first_in(sentences.start)..self.first_in(sentences.end);
                quantities
                    .map(|quantity| &self.sheet.quantities[quantity])
                    .map(|quantity| quantity.kind)
                    .next()
            };
            // Sizes are written in many ways, and are sizes all the same.
            let sort_at = |row: usize, column: usize| match kind_at(row, column) {
                Some(Kind::Gauge | Kind::Strands) => Some(Kind::Area),
                kind => kind,
            };
            let first_row = usize::from(table.header_row);
            let same_down = (0..columns)
                .filter(|&column| uniform((first_row..rows).map(|row| kind_at(row, column))))
                .count();
            let same_across = (first_row..rows)
                .filter(|&row| uniform((1..columns).map(|column| kind_at(row, column))))
                .count();
            // Names at the head of columns and values of one kind side by side below them, without a word in front.
            let unnamed = table.header_row
                && !table.header_column
                && same_down == 0
                && (first_row..rows)
                    .any(|row| uniform((0..columns).map(|column| kind_at(row, column))));
            let of_sorts = || {
                let down = (0..columns)
                    .filter(|&column| uniform((first_row..rows).map(|row| sort_at(row, column))));
                let across = (first_row..rows)
                    .filter(|&row| uniform((1..columns).map(|column| sort_at(row, column))));
                same_down >= 1 && down.count() >= across.count()
            };
            // Sizes at the heads of rows and nothing but lengths beside them: a chart of runs, by what the heads of columns say.
            let of_runs = || {
                let rows = first_row..rows;
                let sizes = rows.clone().map(|row| sort_at(row, 0));
                let runs = rows.flat_map(|row| (1..columns).map(move |column| (row, column)));
                let mut runs = runs.map(|(row, column)| kind_at(row, column));
                columns > 2
                    && uniform(sizes)
                    && sort_at(first_row, 0) == Some(Kind::Area)
                    && runs.all(|kind| kind == Some(Kind::Length))
            };
            // Lengths at the heads of rows, loads at the heads of columns and nothing but sizes between: a chart of what to take, whose
            // columns are no cables.
            let of_choices = || {
                let mut cells =
                    (1..rows).flat_map(|row| (1..columns).map(move |column| (row, column)));
                columns > 1
                    && rows > 2
                    && (1..columns).all(|column| kind_at(0, column) == Some(Kind::Impedance))
                    && (1..rows).all(|row| kind_at(row, 0) == Some(Kind::Length))
                    && cells.all(|(row, column)| sort_at(row, column) == Some(Kind::Area))
            };
            if of_choices() {
                // How far one may go is no length of a cable.
                let heads = table.cells.iter().filter_map(|row| *row.first()?);
                for block in heads {
                    let sentences = self.sheet.blocks[block].sentences();
                    for index in self.first_in(sentences.start)..self.first_in(sentences.end) {
                        if self.roles[index] == Role::Run {
                            self.roles[index] = Role::Aside;
                        }
                    }
                }
                continue;
            }
            let by_row = self.rows_numbered(index)
                || (same_down >= same_across || of_sorts() || of_runs()) && !unnamed;
            // "4  Length  3.00 m" under "5  Resistance  38.9 mΩ": rows that each name a property describe no cable.
            if by_row && self.lists_properties(index, first_row..rows) {
                continue;
            }
            let lines = if by_row {
                first_row..rows
            } else {
                usize::from(!unnamed)..columns
            };
            let mut found = Vec::new();
            for line in lines {
                let cells: Vec<usize> = if by_row {
                    table.cells[line].iter().flatten().copied().collect()
                } else {
                    table
                        .cells
                        .iter()
                        .filter_map(|row| row.get(line).copied().flatten())
                        .collect()
                };
                let describes = cells.iter().any(|&block| {
                    let sentences = self.sheet.blocks[block].sentences();
                    (self.first_in(sentences.start)..self.first_in(sentences.end)).any(|quantity| {
                        matches!(
                            self.roles[quantity],
                            Role::Size | Role::Run | Role::Figure(_)
                        )
                    })
                });
                let Some(&head) = cells.first() else { continue };
                if !describes {
                    continue;
                }
                if by_row && self.goes_on_with(index, line, &cells) {
                    continue;
                }
                let head = self.sheet.blocks[head].span;
                // "R  14.4 mΩ/m   L  0.62 µH/m" under the name of a cable: symbols with their values.
                if by_row && roster::symbol(self.sheet, head) {
                    continue;
                }
                let name = head.of(self.sheet.flow.text()).trim();
                found.push((line, closed_up(name)));
            }
            if found.len() < 2 && !(by_row && found.len() == 1 && table.header_row) {
                continue;
            }
            if self.of_conditions(index, &found, by_row) {
                continue;
            }
            let second = by_row
                .then(|| self.names_behind_counts(index, &found))
                .flatten();
            if by_row {
                self.tell_rows_apart(index, &mut found);
            }
            for (place, (line, name)) in found.into_iter().enumerate() {
                let behind = second.as_ref().and_then(|second| second.get(place));
                let name = behind.map_or(name, |span| span.of(self.sheet.flow.text()).to_owned());
                // The running text may know the cable by fewer words.
                // … but “Lune 2.5” is not “Lune 1.5”.
                let digits = |name: &str| -> String {
                    let figures = name.chars().filter(char::is_ascii_digit);
                    figures.collect()
                };
                let known = behind
                    .and_then(|&span| self.only_named(span))
                    .filter(|&entry| {
                        let (own, other) =
                            (digits(&name), digits(&self.roster.entries[entry].name));
                        own.is_empty() || other.is_empty() || own == other
                    });
                let entry = known
                    .unwrap_or_else(|| self.roster.add_line(&name, &format!("{index}/{line}")));
                if let Some(area) = self.size_of_head(index, line, by_row) {
                    self.sized.insert(entry, area);
                }
                if by_row || !name.contains(' ') {
                    self.roster.called_by_place(entry, &name, &self.terms);
                }
                // The cell behind the head often holds the product's name.
                let second = table
                    .cells
                    .get(line)
                    .filter(|_| by_row)
                    .and_then(|row| row.get(1).copied().flatten());
                if let Some(second) = second {
                    let sentences = self.sheet.blocks[second].sentences();
                    let words = self.sheet.blocks[second]
                        .span
                        .of(self.sheet.flow.text())
                        .trim();
                    if self.first_in(sentences.start) == self.first_in(sentences.end) {
                        self.roster.also(entry, words);
                    }
                }
                if by_row {
                    self.called_by_position(index, line, entry);
                }
                self.line_at
                    .entry((index, line))
                    .or_insert(self.lines.len());
                let known = self.in_lines.of(entry);
                known.by_row |= by_row;
                known.first.get_or_insert((narrow(index), by_row));
                *self.cables_in.entry(index).or_default() += 1;
                let entry = narrow(entry);
                self.lines.push(TableLine { by_row, entry });
            }
        }
        self.roster.merge_labels(self.sheet, self.hits, &self.terms);
    }

    /// Whether a row has nothing under the names of the rows above it and gives no more than a length: “Tarn | 2 m | 58” over “| 3 m | 71”.
    fn goes_on_with(&self, table: usize, row: usize, cells: &[usize]) -> bool {
        let rows = &self.sheet.tables[table].cells;
        let named = |row: usize| {
            rows.get(row)
                .is_some_and(|row| matches!(row.first(), Some(Some(_))))
        };
        let own = cells.iter().flat_map(|&cell| {
            let sentences = self.sheet.blocks[cell].sentences();
            self.first_in(sentences.start)..self.first_in(sentences.end)
        });
        let told = |role: Role| matches!(role, Role::Size | Role::CombinedSize | Role::Figure(_));
        !named(row)
            && (usize::from(self.sheet.tables[table].header_row)..row).any(named)
            && own.into_iter().all(|index| !told(self.roles[index]))
    }

    /// Lets the number of a row in an offer or a bill stand for it: “Pos. 030” for the row that has 030 under “Pos”.
    fn called_by_position(&mut self, table: usize, row: usize, entry: usize) {
        let sheet = self.sheet;
        let cells = &sheet.tables[table].cells;
        if !sheet.tables[table].header_row || row == 0 {
            return;
        }
        let text = sheet.flow.text();
        let words = |row: usize, column: usize| {
            let cell = cells.get(row)?.get(column).copied().flatten()?;
            Some(sheet.blocks.get(cell)?.span.of(text).trim())
        };
        for column in 0..2 {
            let (Some(head), Some(number)) = (words(0, column), words(row, column)) else {
                continue;
            };
            let head = head.trim_end_matches(['.', ':']).to_lowercase();
            let counted = number.starts_with(|sign: char| sign.is_ascii_digit())
                && number.len() <= 5
                && !number.contains(' ');
            if counted && self.terms.lists.record_position.has(&head) {
                for noun in ["pos", "pos.", "position", "item", head.as_str()] {
                    self.roster.alias(entry, &format!("{noun} {number}"));
                }
            }
        }
    }

    /// Whether the lines of a table are what one cable does under several conditions: each is headed by a load, a frequency or a
    /// temperature and nothing else, the table gives no size, and the text around it gives just one.
    fn of_conditions(&self, table: usize, found: &[(usize, String)], by_row: bool) -> bool {
        let sheet = self.sheet;
        let head = |line: usize| {
            let cells = &sheet.tables.get(table)?.cells;
            let cell = if by_row {
                *cells.get(line)?.first()?
            } else {
                *cells.first()?.get(line)?
            };
            sheet.blocks.get(cell?)
        };
        let conditions = found.iter().all(|&(line, _)| {
            head(line).is_some_and(|head| {
                let own =
                    self.first_in(head.sentences().start)..self.first_in(head.sentences().end);
                let words = head.span.of(self.text()).trim();
                own.len() == 1
                    && own.clone().all(|index| {
                        matches!(
                            self.roles[index],
                            Role::Load | Role::Frequency | Role::Temperature
                        ) && sheet.quantities[index].span.len() + 5 >= words.len()
                    })
            })
        });
        if !conditions {
            return false;
        }
        let within = |index: usize| {
            let block = sheet.sentences[self.sentence_of(index)].block();
            matches!(sheet.blocks[block].kind(), BlockKind::Cell { table: own, .. } if own as usize == table)
        };
        let mut around: Vec<f64> = Vec::new();
        for index in 0..sheet.quantities.len() {
            if !matches!(self.roles[index], Role::Size | Role::SolidDiameter) {
                continue;
            }
            if within(index) {
                return false;
            }
            around.extend(self.size(index).map(|size| size.area.0));
        }
        let first = around.first().copied();
        first.is_some() && around.iter().all(|&area| ratio(Some(area), first) < 1.1)
    }

    /// Where the first cells of rows count what the second ones name (“2 | Kelder speaker cable, 6 m”), the names, if no two are alike.
    fn names_behind_counts(&self, table: usize, found: &[(usize, String)]) -> Option<Vec<Span>> {
        const LONGEST: usize = 40;
        let text = self.sheet.flow.text();
        let cells = &self.sheet.tables.get(table)?.cells;
        let mut names: Vec<Span> = Vec::with_capacity(found.len());
        for (line, head) in found {
            let counts = head.len() <= 4
                && head
                    .trim_end_matches(['.', ')', 'x', '×', ' '])
                    .bytes()
                    .all(|byte| byte.is_ascii_digit());
            let row = cells.get(*line)?;
            let first = self.sheet.blocks[(*row.first()?)?].sentences();
            let measures = self.first_in(first.start) < self.first_in(first.end);
            if !counts || measures {
                return None;
            }
            let cell = self.sheet.blocks[(*row.get(1)?)?].span;
            let words = cell.of(text);
            let end = words.find([',', ';', '(']).unwrap_or(words.len());
            let name = words.get(..end)?.trim_end();
            if name.len() > LONGEST || !name.starts_with(char::is_uppercase) {
                return None;
            }
            names.push(Span::new(cell.start(), cell.start() + name.len()));
        }
        let mut known = FxHashSet::default();
        let distinct = names
            .iter()
            .all(|name| known.insert(name.of(text).to_ascii_lowercase()));
        distinct.then_some(names)
    }

    /// The one cable that words name, if they name just one.
    fn only_named(&self, span: Span) -> Option<usize> {
        match self
            .roster
            .called(&self.terms, self.sheet.flow.text(), span)
            .as_slice()
        {
            [only] => match only.means {
                Means::Entry(entry) => Some(entry),
                _ => None,
            },
            _ => None,
        }
    }

    /// The area of the size that heads a line of a table and is all of its head.
    fn size_of_head(&self, table: usize, line: usize, by_row: bool) -> Option<f64> {
        let cells = &self.sheet.tables.get(table)?.cells;
        let (row, column) = if by_row { (line, 0) } else { (0, line) };
        let block = &self.sheet.blocks[(*cells.get(row)?.get(column)?)?];
        let quantities =
            self.first_in(block.sentences().start)..self.first_in(block.sentences().end);
        quantities
            .filter(|&index| self.roles[index] == Role::Size)
            .map(|index| &self.sheet.quantities[index])
            .find(|quantity| quantity.span.len() + 1 >= block.span.len())
            .and_then(|quantity| quantity.si())
    }

    /// Whether the rows of a table are numbered and name one property each, beside which its values stand.
    fn lists_properties(&self, table: usize, rows: std::ops::Range<usize>) -> bool {
        const LONGEST: usize = 30;
        let terms = &self.terms;
        let properties = [
            terms.subject_length,
            terms.subject_size,
            terms.subject_metal,
            terms.r_word,
            terms.z_load,
            terms.speaker,
            terms.amplifier,
            terms.supply,
            terms.loss,
        ];
        let block = |row: usize, column: usize| -> Option<usize> {
            *self.sheet.tables[table].cells.get(row)?.get(column)?
        };
        let numbered = |row: usize| {
            block(row, 0).is_some_and(|head| {
                let words = self.sheet.blocks[head]
                    .span
                    .of(self.sheet.flow.text())
                    .trim();
                let digits = words.trim_end_matches(['.', ')']);
                !digits.is_empty() && digits.bytes().all(|digit| digit.is_ascii_digit())
            })
        };
        let property = |row: usize| {
            block(row, 1).is_some_and(|cell| {
                let cell = &self.sheet.blocks[cell];
                let sentences = cell.sentences();
                cell.span.len() <= LONGEST
                    && self.first_in(sentences.start) == self.first_in(sentences.end)
                    && sentences
                        .clone()
                        .any(|at| properties.iter().any(|&concept| self.hits.say(at, concept)))
            })
        };
        // "1  rack to subs  2 × 0.75 mm²" and "2  rack to horns  2 × 1.5 mm²": a size in each row is of a cable each.
        let sized = |row: usize| {
            let cells = self.sheet.tables[table].cells.get(row);
            cells.into_iter().flatten().flatten().any(|&cell| {
                let sentences = self.sheet.blocks[cell].sentences();
                (self.first_in(sentences.start)..self.first_in(sentences.end))
                    .any(|quantity| self.roles[quantity] == Role::Size)
            })
        };
        // "Length  7 m, plug to plug  checked", "Insertion loss  0.2 dB  declared".
        let headed = |row: usize| {
            block(row, 0).is_some_and(|head| {
                let head = &self.sheet.blocks[head];
                let sentences = head.sentences();
                let words = head.span.of(self.text()).trim().to_lowercase();
                head.span.len() <= LONGEST
                    && self.first_in(sentences.start) == self.first_in(sentences.end)
                    && roster::property_of(terms, &words)
            })
        };
        let count = |fits: &dyn Fn(usize) -> bool| rows.clone().filter(|&row| fits(row)).count();
        let named = count(&|row| numbered(row) && property(row)).max(count(&headed));
        named >= 2 && count(&sized) < 2 && named * 2 >= rows.len()
    }

    /// Short fields of the form `key: value`, as a sheet has them.
    pub(in crate::facts) fn fields(&self) -> usize {
        // The name before what somebody says is no key.
        let short = |block: &&crate::sheet::Block| {
            block.key().is_some() && block.span.len() < 110 && block.speaker().is_none()
        };
        self.sheet.blocks.iter().filter(short).count()
    }

    /// Whether an entry is a line of a table.
    pub(in crate::facts) fn has_line(&self, entry: usize) -> bool {
        self.in_lines.get(entry).is_some()
    }

    /// “2.5 mm² copper, 8 Ω” over rows that go by their length alone: the one size of the document is that of each.
    pub(super) fn size_over_rows(&mut self) {
        const MOST: usize = 40;
        let rows: Vec<usize> = (0..self.roster.entries.len())
            .filter(|&entry| self.is_row(entry))
            .collect();
        let by_length = |&entry: &usize| {
            let name = self.roster.entries[entry].name.as_str();
            name.starts_with(|letter: char| letter.is_ascii_digit())
        };
        if rows.len() < 2 || rows.len() > MOST || !rows.iter().all(by_length) {
            return;
        }
        let mut sizes = (0..self.owners.len()).filter(|&index| {
            matches!(
                self.roles[index],
                Role::Size | Role::CombinedSize | Role::SolidDiameter
            )
        });
        if let (Some(size), None) = (sizes.next(), sizes.next())
            && !matches!(self.owners.at(size), Owner::One(entry) if rows.contains(&entry))
        {
            self.owners.set(size, Owner::All);
        }
    }

    /// Whether an entry is a row of a table.
    pub(in crate::facts) fn is_row(&self, entry: usize) -> bool {
        self.in_lines.get(entry).is_some_and(|line| line.by_row)
    }

    /// The first table of which an entry is a line.
    pub(in crate::facts) fn table_of(&self, entry: usize) -> Option<usize> {
        let (table, _) = self.in_lines.get(entry)?.first?;
        Some(table as usize)
    }

    /// Whether an entry is a row among more rows of other things, as in a price list.
    pub(in crate::facts) fn among_goods(&self, entry: usize) -> bool {
        let line = self.in_lines.get(entry).and_then(|line| line.first);
        let Some((table, by_row)) = line else {
            return false;
        };
        let table = table as usize;
        let rows =
            self.sheet.tables[table].cells.len() - usize::from(self.sheet.tables[table].header_row);
        let cables = self.cables_in.get(&table).copied().unwrap_or(0);
        by_row && cables * 2 <= rows
    }

    /// Whether a row of a table describes one cable.
    pub(super) fn is_row_line(&self, table: usize, row: usize) -> bool {
        let line = self
            .line_at
            .get(&(table, row))
            .map(|&line| &self.lines[line]);
        line.is_some_and(|line| line.by_row)
    }

    /// The cable of the table line that a sentence stands in.
    pub(in crate::facts) fn line_of(&self, sentence: usize) -> Option<usize> {
        self.line_entry(self.sheet.sentences[sentence].block())
    }

    /// The cable of the table line or of the record that a block belongs to; running text between fields belongs to none.
    pub(super) fn line_entry(&self, block: usize) -> Option<usize> {
        let BlockKind::Cell { table, row, column } = self.sheet.blocks[block].kind() else {
            let keyed = self.sheet.blocks[block].key().is_some();
            return keyed.then(|| self.record_at.get(block))?;
        };
        let [table, row, column] = [table, row, column].map(|place| place as usize);
        let at = |place: usize, by_row: bool| {
            let line = self.lines.get(*self.line_at.get(&(table, place))?)?;
            (line.by_row == by_row).then_some(line.entry as usize)
        };
        at(row, true).or_else(|| at(column, false))
    }
}

fn uniform(kinds: impl Iterator<Item = Option<Kind>>) -> bool {
    let mut kinds = kinds.flatten();
    let Some(first) = kinds.next() else {
        return false;
    };
    let mut more = 0;
    for kind in kinds {
        if kind != first {
            return false;
        }
        more += 1;
    }
    more > 0
}

/// A name without the blanks of one that is written in spaced letters: `S W I F T`.
fn closed_up(name: &str) -> String {
    const LEAST: usize = 3;
    let mut letters = name.split(' ').filter(|word| !word.is_empty());
    let spaced = letters.clone().nth(LEAST - 1).is_some()
        && letters.all(|word| {
            let mut signs = word.chars();
            signs.next().is_some_and(char::is_uppercase) && signs.next().is_none()
        });
    if spaced {
        name.chars().filter(|letter| *letter != ' ').collect()
    } else {
        name.to_owned()
    }
}
