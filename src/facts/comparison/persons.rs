//! People who have a cable each, by their names: “Theo's hangs in the study”, and further on “Theo feeds his from the receiver”.

use super::anchors::{Anchor, Kind};
use super::gear::given::owner;
use crate::facts::read::Reader;
use crate::lexicon::{Token, lowered, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;

/// Most people of one test; a document with more tells of many things.
const MOST: usize = 4;
/// Most places at which they are named.
const PLACES: usize = 96;

/// The places at which somebody is named who has a cable, where there are two and more of them.
pub(super) fn persons(reader: &Reader<'_>) -> Vec<Anchor> {
    let names = owners(reader);
    if !(2..=MOST).contains(&names.len()) {
        return Vec::new();
    }
    let text = reader.text();
    let lists = reader.terms.lists;
    let mut tokens: Vec<Token> = Vec::new();
    let mut found = Vec::new();
    for (sentence, own) in reader.sheet.sentences.iter().enumerate() {
        if reader.endless(sentence) || !running(reader, sentence) {
            continue;
        }
        tokenize(text, own.span, &mut tokens);
        for (at, token) in tokens.iter().enumerate() {
            let written = token.span.of(text);
            let name = written.to_lowercase();
            if !written.starts_with(char::is_uppercase) || !names.contains(&name) {
                continue;
            }
            // As who does something: "Theo feeds his".
            let verb = tokens.get(at + 1).is_some_and(|next| {
                let next = next.span.of(text).to_lowercase();
                lists.contrast_next.has(&next)
                    || lists.gear_link.has(&next)
                    || lists.gear_be.has(&next)
            });
            if verb {
                found.push(Anchor {
                    kind: Kind::Person,
                    pole: name,
                    span: token.span,
                    sentence,
                });
            }
            if found.len() > PLACES {
                return Vec::new();
            }
        }
    }
    found
}

/// The names of those who are said to have a cable.
fn owners(reader: &Reader<'_>) -> Vec<String> {
    /// Words between whose a cable is and the word for it.
    const BETWEEN: usize = 3;
    let text = reader.text();
    let lists = reader.terms.lists;
    let mut tokens: Vec<Token> = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for (sentence, own) in reader.sheet.sentences.iter().enumerate() {
        let words = own.span.of(text);
        let possessive = words.contains("'s") || words.contains("’s");
        if !possessive || reader.endless(sentence) || !running(reader, sentence) {
            continue;
        }
        tokenize(text, own.span, &mut tokens);
        let words = lowered(text, &tokens);
        for at in 0..words.len() {
            let Some(name) = owner(&words[at]) else {
                continue;
            };
            let next = |place: usize| words.get(place).map_or("", String::as_str);
            let noun = (at + 1..=at + BETWEEN)
                .any(|place| lists.gear_cable.has(next(place)) || lists.side_noun.has(next(place)));
            let stands = lists.contrast_next.has(next(at + 1)) || lists.gear_be.has(next(at + 1));
            let written = Span::new(tokens[at].span.start(), tokens[at].span.end()).of(text);
            if (noun || stands)
                && written.starts_with(char::is_uppercase)
                && !names.iter().any(|known| known == name)
            {
                names.push(name.to_owned());
            }
            if names.len() > MOST {
                return Vec::new();
            }
        }
    }
    names
}

/// Whether a sentence is running text.
fn running(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    !matches!(
        block.kind(),
        BlockKind::Cell { .. } | BlockKind::Heading { .. }
    )
}
