//! Cables that a document knows by nothing but a word that sets them apart: “the dry one”, “the green reel”, “the oil-filled
//! sample”. The word is the document's own; the nouns that it stands before are a list.

use super::roster::{Roster, within};
use super::terms::Terms;
use crate::lexicon::{ConceptId, Hits, List, Token, tokenize};
use crate::sheet::{BlockKind, Sheet};
use crate::span::Span;
use rustc_hash::FxHashMap;

/// A word that sets a cable apart.
#[derive(Debug, Clone)]
pub(super) struct Described {
    /// The word, and the first part of a compound.
    words: Vec<String>,
    /// The noun that it stood before first.
    noun: String,
    /// How well it is told that it means a cable.
    score: i32,
    /// Whether a size is told of it.
    pub(super) sized: bool,
}

impl Described {
    /// Whether it is told so well that it stands beside cables that have names.
    pub(super) fn is_sure(&self) -> bool {
        self.score >= SURE_BESIDE_NAMES
    }

    /// Whether it is set apart by one of these words.
    pub(super) fn is_called(&self, words: List<'_>) -> bool {
        self.words.iter().any(|word| words.has(word))
    }
}

/// What shows well enough that a word sets a cable apart.
const SURE: i32 = 3;
/// The same beside cables that have names.
const SURE_BESIDE_NAMES: i32 = 5;

/// The words of `sheet` that set cables apart; what is told of them, with the sentence and whether it is a size, is `told`.
pub(super) fn find(
    sheet: &Sheet,
    hits: &Hits,
    terms: &Terms,
    roster: &Roster,
    told: &[(usize, Span, bool)],
) -> Vec<Described> {
    let text = sheet.flow.text();
    let mut tokens: Vec<Token> = Vec::new();
    let mut found: Vec<Described> = Vec::new();
    // Where in `found` a word stands first.
    let mut places: FxHashMap<String, usize> = FxHashMap::default();
    for (index, sentence) in sheet.sentences.iter().enumerate() {
        let kind = sheet.blocks[sentence.block()].kind();
        if matches!(kind, BlockKind::Heading { .. } | BlockKind::Cell { .. }) {
            continue;
        }
        let nouns: Vec<usize> = hits
            .saying(index, terms.side_noun)
            .filter(|hit| hit.first == hit.last)
            .map(|hit| hit.first)
            .collect();
        if nouns.is_empty() {
            continue;
        }
        tokenize(text, sentence.span, &mut tokens);
        for at in nouns {
            let Some((words, whole)) = words_before(terms, text, &tokens, at) else {
                continue;
            };
            let kind = hits
                .saying(index, terms.rival_kind)
                .any(|hit| whole.contains(hit.span));
            if kind || roster.knows(&words) {
                continue;
            }
            let near = |span: Span, reach: usize| within(text, whole, span, reach, 3);
            let mut score = 1;
            let first = told.partition_point(|&(of, _, _)| of < index);
            let here = || {
                let own = told[first..].iter().take_while(|&&(of, _, _)| of == index);
                own.filter(|&&(_, span, _)| near(span, 70))
            };
            if here().next().is_some() {
                score += 2;
            }
            let sized = here().any(|&(_, _, size)| size);
            let said = |concept: ConceptId, reach: usize| {
                hits.saying(index, concept).any(|hit| near(hit.span, reach))
            };
            if said(terms.copper, 50) || said(terms.silver, 50) || said(terms.aluminium, 50) {
                score += 1;
            }
            if said(terms.better, 60) {
                score += 1;
            }
            let noun = tokens[at].span.of(text).to_lowercase();
            let place = words.iter().filter_map(|word| places.get(word)).min();
            let place = place.copied().unwrap_or(found.len());
            for word in &words {
                let first = places.entry(word.clone()).or_insert(place);
                *first = place.min(*first);
            }
            match found.get_mut(place) {
                Some(known) => {
                    known.score += score;
                    known.sized |= sized;
                    for word in words {
                        if !known.words.contains(&word) {
                            known.words.push(word);
                        }
                    }
                }
                None => found.push(Described {
                    words,
                    noun,
                    score,
                    sized,
                }),
            }
        }
    }
    // "The red pair is 4 m long", and the blue pair beside it is as good a cable.
    let nouns: Vec<String> = (found.iter())
        .filter(|described| described.score >= SURE)
        .map(|described| described.noun.clone())
        .collect();
    found.retain(|described| {
        described.score >= SURE || described.score + 1 >= SURE && nouns.contains(&described.noun)
    });
    found
}

/// Makes the described cables known to the roster.
pub(super) fn adopt(terms: &Terms<'_>, roster: &mut Roster, described: &[Described]) {
    for one in described {
        let Some(word) = one.words.first() else {
            continue;
        };
        let place = roster.add(&format!("the {word} {}", one.noun), false);
        for word in &one.words {
            roster.alias(place, &format!("the {word}"));
            for noun in terms
                .lists
                .described_noun
                .entries()
                .chain([one.noun.as_str()])
            {
                roster.alias(place, &format!("{word} {noun}"));
                roster.alias(place, &format!("the {word} {noun}"));
            }
        }
    }
}

/// The word before the noun at `at` that sets it apart, with the first part of a compound; and where they stand.
fn words_before(
    terms: &Terms<'_>,
    text: &str,
    tokens: &[Token],
    at: usize,
) -> Option<(Vec<String>, Span)> {
    let word = |place: usize| tokens[place].span.of(text).to_lowercase();
    let gap =
        |place: usize| Span::new(tokens[place].span.end(), tokens[place + 1].span.start()).of(text);
    let plain = |word: &str| {
        word.len() < 3
            || terms.lists.described_plain.has(word)
            || !word.chars().all(char::is_alphabetic)
            || word.ends_with("ly")
    };
    let last = at.checked_sub(1)?;
    if gap(last) != " " {
        return None;
    }
    let mut words = Vec::new();
    let mut first = last;
    if last > 0 && gap(last - 1) == "-" {
        first = last - 1;
        if plain(&word(first)) {
            return None;
        }
        words.push(format!("{}-{}", word(first), word(last)));
        words.push(word(first));
    } else {
        if plain(&word(last)) {
            return None;
        }
        words.push(word(last));
    }
    if tokens[at].span.of(text).starts_with(char::is_uppercase) {
        return None;
    }
    // A name or the start of a sentence is told otherwise.
    if tokens[first].span.of(text).starts_with(char::is_uppercase) {
        return None;
    }
    let before = first.checked_sub(1).map(word);
    // "On the trestle stands one 12 V battery": a number and no cable.
    let determined = before
        .as_ref()
        .is_some_and(|before| terms.lists.described_determiner.has(before));
    if word(at) == "one"
        && !determined
        && tokens.get(at + 1).is_some_and(|next| {
            gap(at) == " " && !next.span.of(text).starts_with(char::is_lowercase)
        })
    {
        return None;
    }
    let lists = terms.lists;
    let led = before.is_none_or(|before| {
        lists.described_determiner.has(&before) || lists.described_led.has(&before)
    }) || first
        .checked_sub(2)
        .is_some_and(|second| lists.described_determiner.has(&word(second)));
    led.then(|| (words, tokens[first].span.join(tokens[at].span)))
}
