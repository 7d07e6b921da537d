//! Which entries are lines of tables or records, in little room: in records every cable is one.

/// What is known of an entry that is a line of a table or a record.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Lined {
    /// Whether one of its lines is a row.
    pub(super) by_row: bool,
    /// The first table that it is a line of, and whether it is a row of that.
    pub(super) first: Option<(u32, bool)>,
}

/// What is known of entries that are lines, by entry.
#[derive(Debug, Clone, Default)]
pub(super) struct InLines(Vec<Option<Lined>>);

impl InLines {
    /// To note something of an entry, which is a line.
    pub(super) fn of(&mut self, entry: usize) -> &mut Lined {
        if self.0.len() <= entry {
            self.0.resize(entry + 1, None);
        }
        self.0[entry].get_or_insert_default()
    }

    pub(super) fn get(&self, entry: usize) -> Option<Lined> {
        self.0.get(entry).copied().flatten()
    }
}
