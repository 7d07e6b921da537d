//! Gauges called by their numbers alone: “four sixteens make a ten”. They are read where the document has that gauge in full.

use super::super::count;
use super::super::read::{Reader, fact};
use super::super::roles::Role;
use super::super::types::{Bundle, SizeOf};
use super::is_size;
use crate::gauge::awg_area;
use crate::lexicon::tokenize;
use crate::span::Span;
use crate::units::SquareMetre;

/// Most words between the conductors and what they come to: “four sixteens, people, that makes a ten”.
const BETWEEN: usize = 7;

/// Numbers that such gauges can have.
const GAUGES: std::ops::RangeInclusive<u32> = 1..=30;

/// Numbers of conductors that one pole can have.
const COUNTS: std::ops::RangeInclusive<u32> = 2..=12;

/// Reads the statements.
pub(super) fn read(reader: &mut Reader<'_>) -> Vec<Bundle> {
    let many: Vec<Span> = reader
        .hits
        .saying_anywhere(reader.terms.bundle_many)
        .map(|hit| hit.span)
        .collect();
    many.into_iter()
        .filter_map(|span| statement(reader, span))
        .collect()
}

/// The statement of which `many` are the conductors: “sixteens”.
fn statement(reader: &mut Reader<'_>, many: Span) -> Option<Bundle> {
    let text = reader.text();
    let index = super::super::read::sentence_at(reader.sheet, many.start());
    let sentence = reader.sheet.sentences[index].span;
    // What is asked or told of others is no statement of the document.
    if sentence.of(text).trim_end().ends_with('?')
        || reader.hits.say(index, reader.terms.bundle_said)
    {
        return None;
    }
    let mut tokens = Vec::new();
    tokenize(text, sentence, &mut tokens);
    let word = |at: usize| {
        tokens
            .get(at)
            .map(|token| token.span.of(text).to_lowercase())
    };
    let at = tokens.iter().position(|token| token.span == many)?;
    let number = |word: &str| count::small(&reader.terms, word).or_else(|| word.parse().ok());
    let joined = word(at.checked_sub(1)?)
        .and_then(|before| number(&before))
        .filter(|joined| COUNTS.contains(joined))?;
    let gauge = singular(&word(at)?)
        .find_map(|one| number(&one))
        .filter(|gauge| GAUGES.contains(gauge))?;
    let makes = (at + 1..=at + BETWEEN).find(|&next| {
        reader
            .hits
            .saying(index, reader.terms.bundle_comes)
            .any(|hit| {
                tokens
                    .get(next)
                    .is_some_and(|token| hit.span.end() == token.span.end())
            })
    })?;
    // “A ten”, “your six”, “ten”; behind it stands a sign, the word gauge or a word that goes on with something else.
    let article =
        |at: usize| word(at).is_some_and(|word| reader.terms.lists.bundle_article.has(&word));
    let total = (makes + 1..=makes + 3).find(|&next| !article(next))?;
    // “A full ten gauge each way, two sixteens being as good as that.”
    let back = word(total).is_some_and(|word| reader.terms.lists.bundle_back.has(&word));
    let before = || {
        let gauged = |next: usize| word(next).is_some_and(|word| word == "gauge" || word == "awg");
        let mut all = (0..at.saturating_sub(1))
            .filter(|&own| gauged(own + 1) && word(own).and_then(|word| number(&word)).is_some());
        all.next().filter(|_| all.next().is_none())
    };
    let total = if back { before()? } else { total };
    let whole = word(total)
        .and_then(|word| number(&word))
        .filter(|whole| GAUGES.contains(whole))?;
    let end = tokens[total].span.end();
    let behind = word(total + 1).is_none_or(|word| reader.terms.lists.bundle_behind.has(&word));
    let border = text
        .get(end..)
        .is_some_and(|rest| rest.starts_with([',', '.', ';', ':', '!', ')', '”', '"']));
    let other = || {
        let said = Span::new(many.start().min(end), end.max(many.start()));
        reader
            .hits
            .saying(index, reader.terms.count_other)
            .any(|hit| said.contains(hit.span))
    };
    if !(behind || border || back) || other() || whole >= gauge {
        return None;
    }
    let gauge = i32::try_from(gauge).ok()?;
    let whole = i32::try_from(whole).ok()?;
    let (counted, span) = (tokens[at - 1].span, tokens[total].span);
    let full = (0..reader.sheet.quantities.len()).find(|&other| {
        let quantity = &reader.sheet.quantities[other];
        is_size(quantity.kind) && !quantity.swg && quantity.gauge == Some(gauge)
    })?;
    let mut wire = reader.size(full)?;
    wire.area = area(gauge);
    (wire.of, wire.strands, wire.loose) = (SizeOf::Conductor, None, false);
    let mut all = wire.clone();
    (all.of, all.area, all.awg, all.span) = (SizeOf::Combined, area(whole), Some(whole), span);
    wire.span = many;
    // “Makes a six gauge” is a size by itself.
    let own = reader
        .in_sentence(index)
        .find(|&other| reader.sheet.quantities[other].span.overlaps(span));
    if let Some(own) = own {
        reader.roles[own] = Role::CombinedSize;
        all.span = reader.sheet.quantities[own].span;
    }
    Some(Bundle {
        counts: vec![fact(joined, counted, full)],
        wire,
        whole: all,
    })
}

fn area(gauge: i32) -> SquareMetre {
    awg_area(f64::from(gauge))
}

/// What one of several is called: “sixteens”, “sixes”, “twenties”, “16s”.
fn singular(many: &str) -> impl Iterator<Item = String> {
    let cut =
        |end: &str, instead: &str| many.strip_suffix(end).map(|one| format!("{one}{instead}"));
    [cut("s", ""), cut("es", ""), cut("ies", "y")]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .into_iter()
}
