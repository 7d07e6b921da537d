//! How many conductors a cable has: said before its size, or listed beside it.

use super::terms::Terms;
use super::types::Fact;
use crate::lexicon::tokenize;
use crate::sheet::{Block, BlockKind, Sheet};
use crate::span::Span;

/// Most conductors that one loudspeaker cable is taken to have.
const MOST: u32 = 24;

/// A small number as a word.
pub(super) fn small(terms: &Terms<'_>, word: &str) -> Option<u32> {
    let words = terms.lists.count_word;
    words
        .has(word)
        .then(|| words.entries().position(|known| known == word))
        .flatten()
        .and_then(|place| u32::try_from(place).ok())
}

/// "Four conductors of 14 AWG": the count right before a size.
pub(super) fn before(
    terms: &Terms<'_>,
    text: &str,
    sentence: Span,
    size: Span,
) -> Option<Fact<u32>> {
    let mut tokens = Vec::new();
    tokenize(text, sentence, &mut tokens);
    let at = tokens
        .iter()
        .position(|token| token.span.end() > size.start())?;
    for noun in (at.saturating_sub(4)..(at + 6).min(tokens.len())).rev() {
        let word = tokens[noun].span.of(text).to_lowercase();
        if !terms.lists.count_noun.has(&word) || noun == 0 {
            continue;
        }
        let noun = if noun >= 2
            && terms
                .lists
                .count_kind
                .has(&tokens[noun - 1].span.of(text).to_lowercase())
        {
            noun - 1
        } else {
            noun
        };
        // The number of "AWG 14 conductors" is the gauge; "two paralleled 14 AWG conductors" are counted before it.
        let counted = if tokens[noun - 1].span.overlaps(size) {
            let behind = |place: &usize| tokens[*place].span.end() <= size.start();
            let word = |place: usize| tokens[place].span.of(text).to_lowercase();
            let ahead = (0..noun).rev().find(behind);
            // "Each leg is two 14 AWG bundles".
            match ahead {
                Some(kind) if terms.lists.count_kind.has(&word(kind)) => kind.checked_sub(1),
                other => other,
            }
        } else {
            Some(noun - 1)
        };
        let Some(counted) = counted else { continue };
        let before = tokens[counted].span.of(text).to_lowercase();
        let number = small(terms, &before).filter(|number| (1..=10).contains(number));
        let number =
            number.or_else(|| before.parse().ok().filter(|count| (1..=24).contains(count)));
        if let Some(count) = number {
            return Some(Fact::new(
                count,
                tokens[counted].span.join(tokens[noun].span),
            ));
        }
    }
    None
}

/// “Four 16 AWG in parallel”: a number right before a size, with the words that join right behind.
pub(super) fn joined(terms: &Terms<'_>, text: &str, size: Span, joined: Span) -> Option<Fact<u32>> {
    /// Bytes between the size and those words.
    const BESIDE: usize = 16;
    /// Bytes that a number as a word may have.
    const WORD: usize = 12;
    let between = joined.start().checked_sub(size.end())?;
    if between > BESIDE
        || text
            .get(size.end()..joined.start())?
            .contains([',', ';', ':', '.'])
    {
        return None;
    }
    let from = text.ceil_char_boundary(size.start().saturating_sub(WORD));
    let ahead = text.get(from..size.start())?.trim_end();
    let word = ahead.rsplit(char::is_whitespace).next()?;
    let lower = word.to_lowercase();
    let count = small(terms, &lower).or_else(|| lower.parse().ok())?;
    let end = from + ahead.len();
    (2..=12)
        .contains(&count)
        .then(|| Fact::new(count, Span::new(end - word.len(), end)))
}

/// The count in the row or column of a size that is headed `Cores`, or in the field of that name when there is one cable.
pub(super) fn listed(
    terms: &Terms<'_>,
    sheet: &Sheet,
    sentence: usize,
    cables: usize,
) -> Option<Fact<u32>> {
    let text = sheet.flow.text();
    let block = sheet.blocks.get(sheet.sentences.get(sentence)?.block())?;
    let BlockKind::Cell { table, row, column } = block.kind() else {
        if cables != 1 {
            return None;
        }
        let mut fields = sheet.blocks.iter().filter_map(|block| {
            let key = block.key().filter(|key| counts(terms, key.of(text)))?;
            plain(terms, text, Span::new(key.end(), block.span.end()))
        });
        let first = fields.next();
        return first.filter(|_| fields.next().is_none());
    };
    let [table, row, column] = [table, row, column].map(|place| place as usize);
    let table = sheet.tables.get(table)?;
    let cell = |row: usize, column: usize| -> Option<&Block> {
        sheet
            .blocks
            .get(table.cells.get(row)?.get(column).copied().flatten()?)
    };
    let named = |cell: &Block| counts(terms, cell.span.of(text));
    let columns = table.cells.get(row).map_or(0, Vec::len);
    let by_row = (0..columns)
        .filter(|&other| other != column && cell(0, other).is_some_and(named))
        .find_map(|other| cell(row, other));
    let by_column = (0..table.cells.len())
        .filter(|&other| other != row && cell(other, 0).is_some_and(named))
        .find_map(|other| cell(other, column));
    let found = by_row.or(by_column)?;
    plain(terms, text, found.span)
}

/// The words of a head or a key without those that may lead it.
fn head<'w>(terms: &'w Terms<'_>, words: &'w str) -> impl Iterator<Item = String> + 'w {
    words
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .skip_while(|word| terms.lists.count_head_before.has(word))
}

/// Whether a head or a key names the number of conductors.
fn counts(terms: &Terms<'_>, words: &str) -> bool {
    let lists = terms.lists;
    let mut words = head(terms, words);
    words.next().is_some_and(|word| lists.count_head.has(&word))
        && words.all(|word| lists.count_head_behind.has(&word))
}

/// Whether a head or a key names the number of conductors that are joined for one pole: “cores per pole”, “legs to each side”.
pub(super) fn per_pole(terms: &Terms<'_>, words: &str) -> bool {
    let lists = terms.lists;
    let mut words = head(terms, words);
    let counted = words.next().is_some_and(|word| lists.count_head.has(&word));
    let mut behind = words.peekable();
    counted && behind.peek().is_some() && behind.all(|word| lists.count_head_pole.has(&word))
}

/// A count and nothing else, as a number or a word.
pub(super) fn plain(terms: &Terms<'_>, text: &str, span: Span) -> Option<Fact<u32>> {
    let words = span.of(text).trim_matches(|letter: char| {
        letter.is_whitespace() || matches!(letter, ':' | '=' | '.' | '*')
    });
    let count = words
        .parse()
        .ok()
        .or_else(|| small(terms, &words.to_lowercase()))
        .filter(|count| (1..=MOST).contains(count))?;
    Some(Fact::new(count, span))
}
