//! Rows of a table that are numbered one after the other. Knows cells and numbers, and no words.

use super::Reader;

impl Reader<'_> {
    /// Whether the rows of a table are numbered one after the other: each is a thing of its own, whatever stands side by side in it.
    pub(super) fn rows_numbered(&self, table: usize) -> bool {
        const FEWEST: usize = 3;
        let table = &self.sheet.tables[table];
        let rows = table.cells.iter().skip(1);
        let heads = rows.filter_map(|row| *row.first()?);
        let mut numbers = heads.map_while(|head| {
            let words = self.sheet.blocks[head].span.of(self.text()).trim();
            words.trim_end_matches(['.', ')']).parse::<u32>().ok()
        });
        let Some(first) = numbers.next().filter(|_| table.header_row) else {
            return false;
        };
        let more = numbers.zip(first + 1..);
        more.take_while(|(own, next)| own == next).count() + 1 >= FEWEST
    }
}
