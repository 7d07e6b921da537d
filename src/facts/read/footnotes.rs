//! Footnotes: what stands below a table or a list of fields, behind the mark that a value bears, is told of the cable of that value.
//! Knows blocks, marks and owners.

use super::{Owner, Reader};
use crate::facts::roles::Role;
use crate::sheet::{BlockKind, is_note_mark};
use rustc_hash::FxHashMap;

/// Signs that mark a note only where a note begins with them.
const SIGNS: &[&str] = &["#", "+", "°", "§", "¶"];
/// Blocks behind the first mark among which its note is looked for.
const REACH: usize = 600;
/// Most notes and most values that bear one mark.
const MOST: usize = 64;

/// Which blocks bear the mark of which footnote.
#[derive(Debug, Default)]
pub(super) struct Footnotes {
    /// A note and the blocks that bear its mark, by the block of the note.
    marked: FxHashMap<usize, Vec<usize>>,
}

impl Reader<'_> {
    /// Finds the footnotes and what bears their marks.
    pub(super) fn find_footnotes(&mut self) {
        let mut bearers: FxHashMap<&str, Vec<usize>> = FxHashMap::default();
        let mut first = usize::MAX;
        let text = self.sheet.flow.text();
        for (at, block) in self.sheet.blocks.iter().enumerate() {
            if !matches!(block.kind(), BlockKind::Cell { .. } | BlockKind::Field) {
                continue;
            }
            let words = block.span.of(text).trim_end();
            if let Some(mark) = mark_behind(words).or_else(|| referred(words)) {
                let known = bearers.entry(mark).or_default();
                if known.len() < MOST {
                    known.push(at);
                }
                first = first.min(at);
            }
        }
        if bearers.is_empty() {
            return;
        }
        let to = self.sheet.blocks.len().min(first.saturating_add(REACH));
        for at in first + 1..to {
            let block = &self.sheet.blocks[at];
            let noted = matches!(
                block.kind(),
                BlockKind::Item | BlockKind::Paragraph | BlockKind::Field
            );
            let Some(mark) = self.mark_ahead(at).filter(|_| noted) else {
                continue;
            };
            let own: Vec<usize> = (bearers.get(mark).into_iter().flatten())
                .copied()
                .filter(|&bearer| bearer < at)
                .collect();
            if !own.is_empty() && self.footnotes.marked.len() < MOST {
                self.footnotes.marked.insert(at, own);
            }
        }
    }

    /// The mark with which a block begins; it may stand in the text ahead of it.
    fn mark_ahead(&self, at: usize) -> Option<&str> {
        const LONGEST: usize = 6;
        if let Some(mark) = self.sheet.mark_of(at) {
            return Some(mark);
        }
        let text = self.text();
        let span = self.sheet.blocks[at].span;
        let from = text.floor_char_boundary(span.start().saturating_sub(LONGEST));
        let ahead = text.get(from..span.start())?.rsplit('\n').next()?.trim();
        if !ahead.is_empty() {
            return bare(ahead).or_else(|| lettered(ahead));
        }
        let first = span.of(text).split_whitespace().next()?;
        // `¹That is so`: the sign stands at its word.
        let sign = first.chars().next()?;
        let joined = first
            .get(..sign.len_utf8())
            .filter(|sign| is_note_mark(sign));
        let closed = first.ends_with([')', ']', '.', ':']);
        let called = || closed.then(|| lettered(first)).flatten();
        bare(first).or(joined).or_else(called)
    }

    /// The cables whose values bear the mark of the footnote that a block is; none where it is no footnote.
    pub(in crate::facts) fn noted_cables(&self, block: usize) -> Vec<usize> {
        let mut cables: Vec<usize> = Vec::new();
        for &bearer in self.footnotes.marked.get(&block).into_iter().flatten() {
            let entry = self.line_entry(bearer).or_else(|| {
                let mut owners = self.sheet.blocks[bearer]
                    .sentences()
                    .flat_map(|at| self.in_sentence(at))
                    .map(|index| self.owners.at(index));
                owners.find_map(|owner| match owner {
                    Owner::One(entry) => Some(entry),
                    _ => None,
                })
            });
            if let Some(entry) = entry.filter(|entry| !cables.contains(entry)) {
                cables.push(entry);
            }
        }
        cables
    }

    /// Gives what a footnote tells to the cable whose value bears its mark. Where it says otherwise than that value, the value is
    /// nobody's; what it says instead is the cable's where the value is called wrong.
    pub(super) fn footnotes(&mut self) {
        let mut notes: Vec<usize> = self.footnotes.marked.keys().copied().collect();
        notes.sort_unstable();
        for note in notes {
            let cables = self.noted_cables(note);
            let own = Vec::from_iter(
                (self.sheet.blocks[note].sentences()).flat_map(|at| self.in_sentence(at)),
            );
            let &[entry] = cables.as_slice() else {
                continue;
            };
            let wrong = (self.sheet.blocks[note].sentences()).any(|at| self.calls_wrong(at));
            let bearers = self
                .footnotes
                .marked
                .get(&note)
                .cloned()
                .unwrap_or_default();
            for index in own {
                let role = self.roles[index];
                let told = matches!(role, Role::Size | Role::Run | Role::Figure(_));
                let another = matches!(self.owners.at(index), Owner::One(other) if other != entry
                    && self.is_named_in(self.sentence_of(index), other));
                if !told || another {
                    continue;
                }
                let same = |other: usize| {
                    self.roles[other] == role
                        && super::ratio(
                            self.sheet.quantities[other].si(),
                            self.sheet.quantities[index].si(),
                        ) > 1.02
                };
                let held: Vec<usize> = (bearers.iter())
                    .flat_map(|&bearer| self.sheet.blocks[bearer].sentences())
                    .flat_map(|at| self.in_sentence(at))
                    .filter(|&other| same(other))
                    .collect();
                let owner = if held.is_empty() || wrong {
                    Owner::One(entry)
                } else {
                    Owner::Nobody
                };
                // "Or 12 m": one may choose, and neither is wrong.
                if !held.is_empty() && (wrong || !self.offers_choice(note)) {
                    for other in held {
                        self.owners.set(other, Owner::Nobody);
                        self.roles[other] = Role::Aside;
                    }
                }
                if owner == Owner::Nobody {
                    self.roles[index] = Role::Aside;
                }
                self.owners.set(index, owner);
            }
        }
    }

    /// Whether a footnote offers something besides: “or 12 m”, “also in 5 m”.
    fn offers_choice(&self, note: usize) -> bool {
        const WORDS: &[&str] = &["or", "also", "and", "optionally", "alternatively"];
        let words = self.sheet.blocks[note].span.of(self.text());
        let first = words
            .split(|letter: char| !letter.is_alphabetic())
            .find(|word| !word.is_empty());
        first.is_some_and(|first| WORDS.contains(&first.to_lowercase().as_str()))
    }

    /// Whether a sentence names that cable.
    fn is_named_in(&self, sentence: usize, entry: usize) -> bool {
        (self.resolved.of(sentence).iter()).any(|(_, owner)| owner == Owner::One(entry))
    }
}

/// The mark of a note at the end of words: `14 AWG [1]`, `4 m¹`, `12 AWG *`.
fn mark_behind(words: &str) -> Option<&str> {
    let last = words.split_whitespace().next_back()?;
    if words.len() > last.len()
        && let Some(mark) = bare(last)
    {
        return Some(mark);
    }
    let sign = last.chars().next_back()?;
    let tail = last.get(last.len() - sign.len_utf8()..)?;
    // `mm²` ends in no mark, and neither does `m³`.
    let power = matches!(sign, '²' | '³') && {
        let unit = last.trim_end_matches(sign);
        unit.ends_with(['m', 't', 'n', 'h', 'd']) && unit.len() <= 4 || unit.ends_with("mm")
    };
    let powered = power && !last.starts_with(|sign: char| sign.is_ascii_digit());
    (last.len() > tail.len() && is_note_mark(tail) && !powered && !last.ends_with("mm²"))
        .then_some(tail)
}

/// The mark to which a cell sends its reader: `c` of “see (c)”, `2` of “see remark 2”.
fn referred(words: &str) -> Option<&str> {
    const SEND: &[&str] = &["see", "cf", "cf.", "note", "remark", "footnote"];
    let mut each = words.split_whitespace();
    let first = each.next()?.to_lowercase();
    let last = each.next_back()?;
    let sent = SEND.contains(&first.as_str()) && each.count() <= 1;
    sent.then(|| lettered(last)).flatten()
}

/// A letter or a number by which a note is called, without its brackets.
fn lettered(mark: &str) -> Option<&str> {
    let inner = mark.trim_matches(['(', ')', '[', ']', '.', ':']);
    let short =
        matches!(inner.len(), 1 | 2) && inner.bytes().all(|sign| sign.is_ascii_alphanumeric());
    short.then_some(inner)
}

/// A mark without its brackets, if it is one: `1` of `[1]` and of `1)`, `*` of `(*)`.
fn bare(mark: &str) -> Option<&str> {
    let inner = mark.trim_matches(['(', ')', '[', ']']);
    let signed = SIGNS.contains(&inner) || is_note_mark(inner);
    (signed || is_note_mark(mark)).then_some(inner)
}
