//! Points of a numbered list that tell of one cable each: “(i) 2.5 mm² twin … (ii) 16 AWG twin …”. Knows blocks and kinds of quantities.

use super::Reader;
use crate::facts::roster;
use crate::sheet::BlockKind;

/// Sizes that differ by less may be two ways to say one.
const ANOTHER: f64 = 1.3;
/// Most points of all lists.
const MOST: usize = 40;

impl Reader<'_> {
    /// Gives each point that tells a size an entry of its own, with what hangs under it up to the next point, where nothing else in the
    /// document has a name.
    pub(super) fn points(&mut self) {
        let named = |entry: &roster::Entry| entry.is_named() && !entry.merged;
        if self.roster.entries.iter().any(named) || !self.lines.is_empty() {
            return;
        }
        let points: Vec<(usize, String)> = (0..self.sheet.blocks.len())
            .filter_map(|at| Some((at, self.mark_of(at)?)))
            .take(MOST + 1)
            .collect();
        let sized: Vec<(usize, String, f64)> = (points.iter())
            .filter_map(|(at, mark)| Some((*at, mark.clone(), self.only_size(*at)?)))
            .collect();
        let least = sized
            .iter()
            .map(|point| point.2)
            .fold(f64::INFINITY, f64::min);
        let several = sized.iter().any(|point| point.2 / least >= ANOTHER);
        if !several || points.len() > MOST || sized.len() * 2 < points.len() {
            return;
        }
        let mut marks: Vec<&str> = sized.iter().map(|point| point.1.as_str()).collect();
        marks.sort_unstable();
        marks.dedup();
        if marks.len() < sized.len() {
            return;
        }
        for (at, mark, _) in &sized {
            let section = self.sheet.blocks[*at].section();
            let end = (at + 1..self.sheet.blocks.len())
                .find(|&next| {
                    let block = &self.sheet.blocks[next];
                    let hangs = matches!(block.kind(), BlockKind::Field)
                        || matches!(block.kind(), BlockKind::Paragraph) && block.key().is_some();
                    block.section() != section || !hangs
                })
                .unwrap_or(self.sheet.blocks.len());
            let entry = self.roster.add_new(mark, &format!("point {at}"));
            if let Some(entry) = self.roster.entries.get_mut(entry) {
                entry.alone = true;
            }
            for block in *at..end {
                self.record_at.insert(block, entry);
            }
        }
    }

    /// Gives each position of an offer or a bill an entry of its own, with the fields up to the next one, where two of them tell a size:
    /// “POS. 6.1   Line to the horn”.
    pub(super) fn positions(&mut self) {
        let blocks = &self.sheet.blocks;
        let titles: Vec<(usize, String)> = (0..blocks.len())
            .filter_map(|at| Some((at, self.position(&blocks[at])?)))
            .take(MOST + 1)
            .collect();
        let taken = (titles.iter()).any(|&(at, _)| self.record_at.get(at).is_some());
        if taken || titles.len() < 2 || titles.len() > MOST {
            return;
        }
        let end_of = |place: usize| {
            let from = titles[place].0;
            let next = titles.get(place + 1).map_or(blocks.len(), |next| next.0);
            (from + 1..next)
                .find(|&at| {
                    blocks[at].key().is_none() || blocks[at].section() != blocks[from].section()
                })
                .unwrap_or(next)
        };
        let ranges: Vec<(usize, usize, String)> = (titles.iter().enumerate())
            .map(|(place, (from, name))| (*from, end_of(place), name.clone()))
            .collect();
        let sized = |from: usize, to: usize| (from..to).any(|at| self.only_size(at).is_some());
        if ranges
            .iter()
            .filter(|range| sized(range.0, range.1))
            .count()
            < 2
        {
            return;
        }
        for (from, to, name) in ranges {
            let key = format!("position {from}");
            let entry = self.roster.add_new(&name, &key);
            for block in from..to {
                self.record_at.insert(block, entry);
            }
        }
    }

    /// The mark of a point: “(i)”, “b)”, “2.”.
    fn mark_of(&self, at: usize) -> Option<String> {
        const LONGEST: usize = 6;
        let block = self.sheet.blocks.get(at)?;
        if block.kind() != BlockKind::Item {
            return None;
        }
        let words = block.span.of(self.text());
        let mark = words.split_whitespace().next()?;
        let inner = mark.trim_start_matches('(').strip_suffix([')', '.'])?;
        let counted = inner.bytes().all(|sign| sign.is_ascii_digit())
            || inner.bytes().all(|sign| b"ivx".contains(&sign))
            || inner.len() == 1 && inner.bytes().all(|sign| sign.is_ascii_alphabetic());
        (!inner.is_empty() && mark.len() <= LONGEST && counted).then(|| mark.to_owned())
    }

    /// The one size that a block tells, as an area.
    fn only_size(&self, block: usize) -> Option<f64> {
        // "2.5 mm² twin, tinned? no, bare": what is asked of it leaves it its size.
        let sentences = self.sheet.blocks[block].sentences();
        let mut sizes = sentences
            .flat_map(|at| self.in_sentence(at))
            .filter(|&index| roster::is_size(self.sheet.quantities[index].kind));
        let first = self.sheet.quantities[sizes.next()?].si()?;
        let alike = |index: usize| {
            let other = self.sheet.quantities[index].si();
            super::ratio(other, Some(first)) < ANOTHER
        };
        sizes.all(alike).then_some(first)
    }
}
