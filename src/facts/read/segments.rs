//! Groups of fields that describe one cable each, whatever stands between them: the same key comes again with another value, and each
//! group tells one size. Knows blocks, keys and roles of quantities.

use super::{Reader, ratio};
use crate::facts::roles::Role;
use crate::sheet::BlockKind;
use rustc_hash::FxHashMap;
use std::ops::Range;

/// Sizes that differ by less may be two ways to say one.
const ANOTHER: f64 = 1.02;
/// Most groups of a document.
const MOST: usize = 60;
/// Longest title of a group.
const LONGEST: usize = 60;

impl Reader<'_> {
    /// Gives each group of fields an entry of its own, where nothing else has told the cables of the document apart.
    pub(super) fn segments(&mut self) {
        let taken = self.record_at.numbers().next().is_some();
        if taken || !self.lines.is_empty() || !self.roster.named().is_empty() {
            return;
        }
        let groups = self.groups();
        if groups.len() < 2 || groups.len() > MOST {
            return;
        }
        let sizes: Vec<Option<f64>> = groups.iter().map(|group| self.size_of(group)).collect();
        let mut known: FxHashMap<String, f64> = FxHashMap::default();
        let mut again = false;
        for (group, size) in groups.iter().zip(&sizes) {
            let Some(size) = size else { continue };
            if let Some(key) = self.key_of_size(group) {
                let first = *known.entry(key).or_insert(*size);
                again |= ratio(Some(first), Some(*size)) > ANOTHER;
            }
        }
        if !again {
            return;
        }
        for (place, group) in groups.iter().enumerate() {
            if sizes[place].is_none() {
                continue;
            }
            let name = self.title_of(group.start).unwrap_or_default();
            let entry = self
                .roster
                .add_new(&name, &format!("fields {}", group.start));
            let end = groups.get(place + 1).map_or(group.end, |next| {
                // What stands right before the next fields is their title.
                next.start.saturating_sub(1).max(group.end)
            });
            // A heading right above the fields is told of them as well.
            let title = group.start.checked_sub(1).filter(|&title| {
                matches!(self.sheet.blocks[title].kind(), BlockKind::Heading { .. })
            });
            if let Some(title) = title {
                self.record_at.insert(title, entry);
            }
            for block in group.start..end {
                if !matches!(
                    self.sheet.blocks[block].kind(),
                    BlockKind::Heading { .. } | BlockKind::Cell { .. }
                ) {
                    self.record_at.insert(block, entry);
                }
            }
        }
    }

    /// Runs of fields without anything between them but a line of running text.
    fn groups(&self) -> Vec<Range<usize>> {
        let mut groups: Vec<Range<usize>> = Vec::new();
        let mut open: Option<Range<usize>> = None;
        for (at, block) in self.sheet.blocks.iter().enumerate() {
            let field = block.kind() == BlockKind::Field && block.speaker().is_none();
            let prose = block.kind() == BlockKind::Paragraph;
            match &mut open {
                Some(group) if field => group.end = at + 1,
                Some(_) if prose => {}
                Some(_) => groups.extend(open.take()),
                None if field => open = Some(at..at + 1),
                None => {}
            }
            if groups.len() > MOST {
                break;
            }
        }
        groups.extend(open);
        groups
    }

    /// The fields of a group that tell a size.
    fn sized_fields(&self, group: &Range<usize>) -> impl Iterator<Item = (usize, f64)> + '_ {
        group.clone().flat_map(move |at| {
            let block = &self.sheet.blocks[at];
            let of_field = (block.kind() == BlockKind::Field)
                .then(|| block.sentences())
                .into_iter()
                .flatten();
            of_field
                .flat_map(|sentence| self.in_sentence(sentence))
                .filter(|&index| self.roles[index] == Role::Size)
                .filter_map(move |index| Some((at, self.sheet.quantities[index].si()?)))
        })
    }

    /// The one size that a group tells.
    fn size_of(&self, group: &Range<usize>) -> Option<f64> {
        const ONE: f64 = 1.3;
        let mut sizes = self.sized_fields(group).map(|(_, size)| size);
        let first = sizes.next()?;
        sizes
            .all(|size| ratio(Some(size), Some(first)) < ONE)
            .then_some(first)
    }

    /// The key of the first field of a group that tells a size.
    fn key_of_size(&self, group: &Range<usize>) -> Option<String> {
        let (at, _) = self.sized_fields(group).next()?;
        let key = self.sheet.blocks[at].key()?;
        Some(key.of(self.text()).trim().to_lowercase())
    }

    /// What stands right before a group, where it is short and can be its title.
    fn title_of(&self, start: usize) -> Option<String> {
        let block = self.sheet.blocks.get(start.checked_sub(1)?)?;
        let words = block.span.of(self.text()).trim().trim_end_matches(':');
        let titled = block.key().is_none()
            && words.len() <= LONGEST
            && words.contains(char::is_alphabetic)
            && !words.contains('\n')
            && !words.ends_with(['.', '!', '?']);
        titled.then(|| words.to_owned())
    }
}
