//! Names that stand before what their lines tell: `Larch   2 × 2.5 mm², silver, 4 m`, below it `Control   2 × 2.5 mm², copper, 4 m`. Knows
//! keys, and where sizes and lengths stand.

use super::{Roster, is_size};
use crate::facts::roster::property_of;
use crate::facts::terms::Terms;
use crate::lexicon::Hits;
use crate::sheet::{Block, BlockKind, Kind, Sheet};
use crate::span::Span;

/// Most names that are found so.
const MOST: usize = 12;
/// Most words of one.
const WORDS: usize = 3;

/// What a line tells of what its key names.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Told {
    Size,
    Length,
    Both,
}

impl Roster {
    /// Keys of lines that give a size and a length each, or one of the two under a title that speaks of cables: what the things are
    /// called.
    pub(super) fn find_listed(&mut self, sheet: &Sheet, hits: &Hits, terms: &Terms<'_>) {
        let mut found: Vec<&str> = Vec::new();
        let mut at = 0;
        while at < sheet.blocks.len() {
            let Some((first, told)) = key(sheet, at) else {
                at += 1;
                continue;
            };
            let section = sheet.blocks[at].section();
            let mut names = vec![first];
            let mut both = told == Told::Both;
            let mut same = true;
            let mut last = at + 1;
            // A sentence about the one above may stand between.
            let between = |at: usize| {
                sheet.blocks.get(at).is_some_and(|block| {
                    block.kind() == BlockKind::Paragraph && block.key().is_none()
                })
            };
            loop {
                let next = if both && key(sheet, last).is_none() && between(last) {
                    last + 1
                } else {
                    last
                };
                let Some((name, own)) = key(sheet, next) else {
                    break;
                };
                if sheet.blocks[next].section() != section {
                    break;
                }
                names.push(name);
                both &= own == Told::Both;
                same &= own == told;
                last = next + 1;
            }
            let titled = || {
                same && section.is_some_and(|title| of_cables(sheet, hits, terms, title))
                    && names.iter().all(|name| !is_plain(terms, name))
            };
            if names.len() >= 2 && (both || titled()) {
                found.append(&mut names);
            }
            if found.len() > MOST {
                return;
            }
            at = last;
        }
        let points: Vec<&str> = (sheet.blocks.iter())
            .filter_map(|block| before_comma(sheet.flow.text(), block))
            .map(|name| name.of(sheet.flow.text()).trim())
            .filter(|name| found.contains(name))
            .collect();
        let mut sorted = found.clone();
        sorted.sort_unstable();
        sorted.dedup();
        if sorted.len() == found.len() {
            // In the order of the text, by which they are the first and the second.
            for name in found {
                // A point of a list has the full name, of which the text may say a part.
                let point = points.contains(&name) && !self.knows(&[name.to_lowercase()]);
                if point && name.contains(' ') {
                    self.add_new(name, name);
                } else {
                    self.add(name, false);
                }
            }
        }
    }
}

/// The name that is the key of a block, and what stands behind it.
fn key(sheet: &Sheet, at: usize) -> Option<(&str, Told)> {
    let text = sheet.flow.text();
    let block = sheet.blocks.get(at)?;
    let span = block.key().or_else(|| before_comma(text, block))?;
    let words = span.of(text).trim();
    // `Cable "Plait"` is called by what stands in the quotation marks.
    let quoted = words
        .split_once(['"', '“'])
        .and_then(|(_, inner)| inner.strip_suffix(['"', '”']));
    let words = quoted.unwrap_or(words);
    // "Up: Orrisvane Whimbrel, 12 AWG" has the name behind the key.
    let value = text.get(span.end()..block.span.end()).unwrap_or("");
    let value = value.trim_start_matches(|letter: char| !letter.is_alphanumeric());
    let plain = !value.starts_with(char::is_uppercase);
    let named = plain
        && words.starts_with(char::is_uppercase)
        && words.len() > 1
        && words.split_whitespace().count() <= WORDS
        && words
            .chars()
            .all(|letter| letter.is_alphanumeric() || " -'’&.".contains(letter));
    let from = sheet
        .quantities
        .partition_point(|quantity| quantity.span.start() < block.span.start());
    let own = || {
        (sheet.quantities.iter().skip(from))
            .take_while(|quantity| quantity.span.end() <= block.span.end())
    };
    let sized = own().any(|quantity| is_size(quantity.kind));
    let long = own().any(|quantity| quantity.kind == Kind::Length);
    let told = match (sized, long) {
        (true, true) => Told::Both,
        (true, false) => Told::Size,
        (false, true) => Told::Length,
        (false, false) => return None,
    };
    named.then_some((words, told))
}

/// What stands before the first comma of a point of a list: “1. Larch Pro, copper, 2.5 mm², 2 m”.
fn before_comma(text: &str, block: &Block) -> Option<Span> {
    const LONGEST: usize = 32;
    if block.kind() != BlockKind::Item {
        return None;
    }
    let words = block.span.of(text);
    let comma = words.find(',').filter(|&at| at <= LONGEST)?;
    let name = words.get(..comma)?;
    let mark = name.len()
        - name
            .trim_start_matches(|sign: char| !sign.is_alphabetic())
            .len();
    let capitals = name
        .get(mark..)?
        .split_whitespace()
        .all(|word| word.starts_with(|sign: char| sign.is_uppercase() || sign.is_ascii_digit()));
    let start = block.span.start() + mark;
    capitals.then(|| Span::new(start, block.span.start() + comma))
}

/// Whether a title says that names of several cables stand below it, and not the parts of one: “Lead lengths”, “Speaker cables in stock”.
fn of_cables(sheet: &Sheet, hits: &Hits, terms: &Terms<'_>, title: usize) -> bool {
    const LONGEST: usize = 60;
    let text = sheet.flow.text();
    let Some(block) = sheet.blocks.get(title) else {
        return false;
    };
    let words = block.span.of(text);
    let nouns = block.sentences().flat_map(|at| {
        hits.saying(at, terms.cable)
            .chain(hits.saying(at, terms.side_noun))
    });
    let mut nouns = nouns.map(|hit| hit.span.of(text)).peekable();
    let lengths = || {
        let measured = |word: &str| word.ends_with('s') && property_of(terms, word);
        words.to_lowercase().split_whitespace().any(measured)
    };
    block.span.len() <= LONGEST
        && nouns.peek().is_some()
        && (lengths() || nouns.any(|noun| noun.ends_with(['s', 'S'])))
}

/// Whether a key is what is measured, a place or a part, and no name.
fn is_plain(terms: &Terms<'_>, name: &str) -> bool {
    let lower = name.to_lowercase();
    lower.split([' ', '-']).any(|word| {
        let lists = terms.lists;
        property_of(terms, word)
            || lists.name_common.has(word)
            || lists.side_place.has(word)
            || lists.name_made.has(word)
    })
}
