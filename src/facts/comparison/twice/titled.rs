//! Sides that are named by nothing but the short line above the paragraph that tells of them, or by the key of their line. Knows no
//! outcome.

use super::{Telling, Value};
use crate::facts::comparison::gear::given::Key;
use crate::facts::read::Reader;
use crate::facts::roles::Role;
use crate::sheet::BlockKind;
use crate::span::Span;

/// Adds the titles under which things are told; one that stands above both values tells neither apart.
pub(super) fn entitle(reader: &Reader<'_>, told: &mut [Telling]) {
    let titles: Vec<Option<(usize, Span)>> =
        told.iter().map(|telling| title(reader, telling)).collect();
    let of_both = |block: usize, value: Value| {
        titles.iter().zip(told.iter()).any(|(title, telling)| {
            title.is_some_and(|(other, _)| other == block) && !telling.value.same(value)
        })
    };
    let own: Vec<Option<(usize, Span)>> = titles
        .iter()
        .zip(told.iter())
        .map(|(title, telling)| title.filter(|(block, _)| !of_both(*block, telling.value)))
        .collect();
    for (telling, title) in told.iter_mut().zip(own) {
        let Some((block, words)) = title else {
            continue;
        };
        if telling.side.is_empty() {
            telling.named = words;
        }
        telling.side.push(Key::Titled(block));
    }
}

/// The short line above the paragraph of a telling, or the key of its line, where that describes a cable.
fn title(reader: &Reader<'_>, telling: &Telling) -> Option<(usize, Span)> {
    /// Words of a title.
    const WORDS: usize = 8;
    let at = reader.sheet.sentences[telling.sentence].block();
    let blocks = &reader.sheet.blocks;
    let block = blocks.get(at)?;
    if !matches!(
        block.kind(),
        BlockKind::Paragraph | BlockKind::Item | BlockKind::Field
    ) {
        return None;
    }
    let says = |speaker: Span, words: Span| speaker.of(reader.text()) == words.of(reader.text());
    if let Some(key) = block.key() {
        if block.speaker().is_some_and(|speaker| says(speaker, key)) {
            return None;
        }
        let told = |role| {
            block.sentences().any(|at| {
                reader
                    .in_sentence(at)
                    .any(|index| reader.roles[index] == role)
            })
        };
        let metal = || {
            block.sentences().any(|at| {
                (0..reader.hits.of(at).len()).any(|hit| reader.metal_named(at, hit).is_some())
            })
        };
        // Two of three: a size, a length and a metal.
        let described = match (told(Role::Size), told(Role::Run)) {
            (sized, long) if sized == long => sized,
            _ => metal(),
        };
        let plain = reader
            .in_sentence(block.sentences().start)
            .all(|index| !key.overlaps(reader.sheet.quantities[index].span));
        return (described && plain).then_some((at, key));
    }
    let above = at.checked_sub(1)?;
    let title = blocks.get(above)?;
    let words = title.span.of(reader.text());
    let short = words.split_whitespace().nth(WORDS).is_none();
    let plain = !words.trim_end().ends_with(['.', ',', ';', '?', '!'])
        && title
            .sentences()
            .all(|at| reader.in_sentence(at).next().is_none());
    let spoken = block
        .speaker()
        .is_some_and(|speaker| words.contains(speaker.of(reader.text())));
    if spoken {
        return None;
    }
    let fits = matches!(
        title.kind(),
        BlockKind::Heading { .. } | BlockKind::Paragraph | BlockKind::Item
    );
    (short && plain && fits).then_some((above, title.span))
}
