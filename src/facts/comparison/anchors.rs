//! Words that tell two sides of a test apart: left and right, old and new, yours and mine, “one” and “the other”, the keys of two
//! lines that stand one above the other. Knows nothing of what the sides differ in.

use crate::facts::context::borders;
use crate::facts::count;
use crate::facts::read::Reader;
use crate::lexicon::{List, Token, among, lowered, tokenize, write_lowered};
use crate::sheet::BlockKind;
use crate::span::Span;

/// Most words that tell sides apart; a document with more tells of many things and not of one test.
const MOST: usize = 96;

/// A word that tells a side apart.
#[derive(Debug, Clone)]
pub(super) struct Anchor {
    /// Kind of word: those of one kind and different poles are two sides.
    pub(super) kind: Kind,
    /// Which of its kind.
    pub(super) pole: String,
    pub(super) span: Span,
    pub(super) sentence: usize,
}

/// Kinds of words that tell sides apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A word of a list, by the place of the list.
    Word(usize),
    /// Whose it is.
    Owner,
    /// “One” and “the other”, and what each is called there.
    Pair,
    /// The keys of lines.
    Key,
    /// The number behind a noun for a side: “corner one”, “lamp 2”.
    Number,
    /// The name of who has it.
    Person,
}

impl Kind {
    /// Left and right.
    pub(super) const PLACE: Self = Self::Word(0);
}

/// The words of running text that tell sides apart, in reading order.
pub(super) fn anchors(reader: &Reader<'_>) -> Vec<Anchor> {
    let lists = reader.terms.lists;
    /// So many of the poles are kinds of their own; those behind them tell whose a side is.
    const KINDS: usize = 5;
    let poles: [List<'_>; 8] = [
        lists.contrast_place,
        lists.contrast_colour,
        lists.contrast_age,
        lists.contrast_cover,
        lists.contrast_build,
        lists.contrast_mine,
        lists.contrast_yours,
        lists.contrast_third,
    ];
    let text = reader.text();
    let mut tokens: Vec<Token> = Vec::new();
    let mut word = String::new();
    let mut found = Vec::new();
    for sentence in 0..reader.sheet.sentences.len() {
        let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
        if matches!(block.kind(), BlockKind::Cell { .. }) || reader.endless(sentence) {
            continue;
        }
        let named = [
            lists.contrast_alone,
            lists.contrast_noun,
            lists.contrast_place,
        ];
        if !named
            .into_iter()
            .any(|list| reader.hits.may_list(sentence, list))
        {
            continue;
        }
        tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
        let lower = |at: usize| {
            let mut word = String::new();
            tokens[at].write_lower(text, &mut word);
            word
        };
        for at in 0..tokens.len() {
            word.clear();
            tokens[at].write_lower(text, &mut word);
            let of = among(&named, &word);
            let (pole, from) = if of & 1 != 0 {
                (at, at)
            } else if of & 2 != 0 && at > 0 {
                (at - 1, at - 1)
            } else if at >= 3
                && of & 4 != 0
                && lower(at - 1) == "the"
                && lower(at - 2) == "on"
                && lists.contrast_noun.has(&lower(at - 3))
            {
                // "The one on the left."
                (at, at - 3)
            } else if of & 4 != 0 && at <= OPENS && opens(at, &lower) {
                // "On the left, our plait", "to your right".
                (at, 0)
            } else if of & 4 != 0 && at == 0 && tokens.len() > 1 && lower(1) == "of" {
                // "Left of the rack lay the plait".
                (at, at)
            } else if of & 4 != 0 && at >= OPENS && goes_on(text, &tokens, at, &lower) {
                // "To the left the flex, to the right the plait".
                (at, at - OPENS)
            } else {
                continue;
            };
            let word = lower(pole);
            let of = among(&poles, &word);
            if of == 0 {
                continue;
            }
            let first = of.trailing_zeros() as usize;
            let (kind, pole) = match first.checked_sub(KINDS) {
                None => (Kind::Word(first), word),
                Some(owner) => (Kind::Owner, owner.to_string()),
            };
            found.push(Anchor {
                kind,
                pole,
                span: tokens[from].span.join(tokens[at].span),
                sentence,
            });
            if found.len() > MOST {
                return Vec::new();
            }
        }
    }
    found.append(&mut pairs(reader));
    found.append(&mut keys(reader));
    found.append(&mut numbered(reader));
    found.append(&mut super::persons::persons(reader));
    found.sort_by_key(|anchor| anchor.span.start());
    found
}

/// Words of a sentence before the place that it begins with.
const OPENS: usize = 2;

/// Whether a sentence begins with a place: “on the left”, “to your right”.
fn opens(at: usize, word: &impl Fn(usize) -> String) -> bool {
    const LEADS: [&str; 2] = ["on", "to"];
    const ARTICLES: [&str; 3] = ["the", "your", "our"];
    at == OPENS && ARTICLES.contains(&word(1).as_str()) && LEADS.contains(&word(0).as_str())
}

/// Whether a part of a sentence begins with a place as the sentence itself does: “…, to the right the plait”.
fn goes_on(text: &str, tokens: &[Token], at: usize, word: &impl Fn(usize) -> String) -> bool {
    let Some(before) = at.checked_sub(OPENS + 1) else {
        return false;
    };
    let between = Span::new(tokens[before].span.end(), tokens[at - OPENS].span.start()).of(text);
    let part = between.starts_with([',', ';']) || word(before) == "and";
    let placed = |place: usize| opens(OPENS, &|from| word(place - OPENS + from));
    // The first of the two places begins the sentence.
    part && placed(at) && tokens.len() > OPENS && placed(OPENS)
}

/// “In corner one … In corner two …”: nouns for a side with a number or a letter behind them.
fn numbered(reader: &Reader<'_>) -> Vec<Anchor> {
    let text = reader.text();
    let nouns = reader.terms.lists.contrast_noun;
    let mut noun = String::new();
    let mut tokens: Vec<Token> = Vec::new();
    let mut found = Vec::new();
    for (sentence, own) in reader.sheet.sentences.iter().enumerate() {
        if reader.endless(sentence)
            || !running(reader, sentence)
            || !reader.hits.may_list(sentence, nouns)
        {
            continue;
        }
        tokenize(text, own.span, &mut tokens);
        for pair in tokens.windows(2) {
            write_lowered(pair[0].span.of(text), &mut noun);
            if !nouns.has(&noun) {
                continue;
            }
            let number = pair[1].span.of(text);
            let counted = count::small(&reader.terms, &number.to_lowercase());
            let letter =
                number.len() == 1 && number.starts_with(|letter: char| letter.is_ascii_uppercase());
            let pole = match counted.filter(|count| (1..=4).contains(count)) {
                Some(count) => count.to_string(),
                None if letter && number != "I" => number.to_owned(),
                None => continue,
            };
            let beside = Span::new(pair[0].span.end(), pair[1].span.start()).of(text) == " ";
            // "Two lamps, one cable 4 m long": what is counted has its number before it, and an amount a unit behind it.
            let amount = reader
                .in_sentence(sentence)
                .any(|index| reader.sheet.quantities[index].span.overlaps(pair[1].span));
            if beside && !amount {
                found.push(Anchor {
                    kind: Kind::Number,
                    pole,
                    span: pair[0].span.join(pair[1].span),
                    sentence,
                });
            }
            if found.len() > MOST {
                return Vec::new();
            }
        }
    }
    found
}

/// “One is bare and goes round the dresser. The other is dressed in nettle fibre”: the two words, and wherever the words that
/// describe each there are said again.
fn pairs(reader: &Reader<'_>) -> Vec<Anchor> {
    let terms = reader.terms;
    let text = reader.text();
    let sentences = &reader.sheet.sentences;
    let block = |at: usize| sentences[at].block();
    let mut found: Vec<Anchor> = Vec::new();
    let mut called: [Vec<String>; 2] = [Vec::new(), Vec::new()];
    for (sentence, own) in sentences.iter().enumerate() {
        if reader.endless(sentence) || !running(reader, sentence) {
            continue;
        }
        let Some(other) = reader
            .hits
            .saying(sentence, terms.other)
            .find(|hit| of_a_side(reader, sentence, hit.span))
        else {
            continue;
        };
        // In the same sentence, else the sentence before.
        let one = first_of_two(reader, sentence, other.span.start())
            .map(|span| (sentence, span))
            .or_else(|| {
                let before = sentence.checked_sub(1)?;
                (block(before) == block(sentence))
                    .then(|| first_of_two(reader, before, usize::MAX))
                    .flatten()
                    .map(|span| (before, span))
            });
        let Some((at, one)) = one else { continue };
        if of_other_things(reader, at) {
            continue;
        }
        let anchor = |pole: usize, span: Span, sentence: usize| Anchor {
            kind: Kind::Pair,
            pole: pole.to_string(),
            span,
            sentence,
        };
        if found.len() > MOST {
            return Vec::new();
        }
        found.push(anchor(0, one, at));
        found.push(anchor(1, other.span, sentence));
        let end = own.span.end();
        for (side, words) in called.iter_mut().zip([
            Span::new(one.end(), other.span.start()),
            Span::new(other.span.end(), end),
        ]) {
            side.extend(descriptions(reader, words));
        }
    }
    // What both are called tells neither apart.
    let [first, second] = called;
    let own = |side: &[String], others: &[String]| -> Vec<String> {
        side.iter()
            .filter(|word| !others.contains(word))
            .cloned()
            .collect()
    };
    let called = [own(&first, &second), own(&second, &first)];
    if found.is_empty() || called.iter().all(Vec::is_empty) {
        return found;
    }
    let told = found.len();
    let mut tokens: Vec<Token> = Vec::new();
    let first = found[0].sentence + 1;
    for (sentence, own) in sentences.iter().enumerate().skip(first) {
        if reader.endless(sentence) || !running(reader, sentence) {
            continue;
        }
        tokenize(text, own.span, &mut tokens);
        for token in &tokens {
            let word = token.span.of(text).to_lowercase();
            let Some(pole) = called.iter().position(|side| side.contains(&word)) else {
                continue;
            };
            if found[..told].iter().any(|known| known.sentence == sentence) {
                continue;
            }
            found.push(Anchor {
                kind: Kind::Pair,
                pole: pole.to_string(),
                span: token.span,
                sentence,
            });
            if found.len() > MOST {
                return Vec::new();
            }
        }
    }
    found
}

/// Words of the lists that describe a cable, in a stretch of text.
fn descriptions(reader: &Reader<'_>, words: Span) -> Vec<String> {
    let lists = reader.terms.lists;
    let text = reader.text();
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, words, &mut tokens);
    tokens
        .iter()
        .map(|token| token.span.of(text).to_lowercase())
        .filter(|word| {
            [
                lists.contrast_colour,
                lists.contrast_cover,
                lists.contrast_build,
                lists.contrast_made,
            ]
            .iter()
            .any(|list| list.has(word))
        })
        .collect()
}

/// Whether what a sentence calls “one” and “the other” are two amplifiers, halls or listeners, by the count before it or in it.
fn of_other_things(reader: &Reader<'_>, sentence: usize) -> bool {
    /// Words behind the count within which the things are named.
    const NEAR: usize = 3;
    let text = reader.text();
    let lists = reader.terms.lists;
    let sentences = &reader.sheet.sentences;
    let mut tokens: Vec<Token> = Vec::new();
    let first = sentence
        .checked_sub(1)
        .filter(|&before| sentences[before].block() == sentences[sentence].block())
        .unwrap_or(sentence);
    (first..=sentence).any(|at| {
        if reader.endless(at) {
            return true;
        }
        tokenize(text, sentences[at].span, &mut tokens);
        let words: Vec<String> = lowered(text, &tokens);
        (0..words.len()).any(|place| {
            let behind = &words[(place + 1).min(words.len())..(place + 1 + NEAR).min(words.len())];
            lists.contrast_two.has(&words[place])
                && behind
                    .iter()
                    .find(|word| lists.contrast_thing.has(word) || lists.contrast_noun.has(word))
                    .is_some_and(|word| lists.contrast_thing.has(word))
        })
    })
}

/// Whether “the other” is the other cable: what stands behind it is a verb or a word for a cable, and not “room” or “amplifier”.
fn of_a_side(reader: &Reader<'_>, sentence: usize, other: Span) -> bool {
    let text = reader.text();
    let lists = reader.terms.lists;
    let end = reader.sheet.sentences[sentence].span.end();
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(
        text,
        Span::new(other.end(), end.max(other.end())),
        &mut tokens,
    );
    let Some(next) = tokens.first() else {
        return true;
    };
    let word = next.span.of(text).to_lowercase();
    let closed = borders(Span::new(other.end(), next.span.start()).of(text)) > 0;
    closed || lists.contrast_next.has(&word) || lists.contrast_noun.has(&word)
}

/// “One” as the first of two before a place of a sentence: at its start, behind a preposition there, or as “the one” and “one of them”;
/// else a noun for a side that the sentence begins with (“the pair with the split collar”).
fn first_of_two(reader: &Reader<'_>, sentence: usize, before: usize) -> Option<Span> {
    /// Words in which the first side has to be named.
    const NEAR: usize = 4;
    let text = reader.text();
    let lists = reader.terms.lists;
    let span = reader.sheet.sentences[sentence].span;
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, span, &mut tokens);
    let word = |at: usize| {
        tokens
            .get(at)
            .map_or_else(String::new, |token| token.span.of(text).to_lowercase())
    };
    for (at, token) in tokens.iter().enumerate().take(NEAR) {
        let inside = token.span.end() <= before;
        let first = lists.contrast_first.has(&word(at));
        let next = word(at + 1);
        if first && inside && (lists.contrast_next.has(&next) || lists.contrast_noun.has(&next)) {
            return Some(token.span);
        }
        let determined = at > 0 && lists.contrast_article.has(&word(at - 1));
        if determined && inside && lists.contrast_noun.has(&word(at)) && at <= 2 {
            return Some(token.span);
        }
    }
    None
}

/// “P: a plait of silver” and under it “Q: a plain pair of copper”: lines with a letter, a number or a place in a test for a key,
/// two and no more of them.
fn keys(reader: &Reader<'_>) -> Vec<Anchor> {
    let blocks = &reader.sheet.blocks;
    let text = reader.text();
    let key = |at: usize| -> Option<(String, Span)> {
        let block = blocks.get(at)?;
        if !matches!(
            block.kind(),
            BlockKind::Field | BlockKind::Item | BlockKind::Paragraph
        ) {
            return None;
        }
        let key = block.key()?;
        let words = key.of(text).trim();
        let letter =
            words.len() == 1 && words.starts_with(|letter: char| letter.is_ascii_uppercase());
        let labelled = words.rsplit_once(' ').is_some_and(|(noun, label)| {
            label.len() <= 2 && reader.terms.lists.name_label.has(&noun.to_lowercase())
        });
        // "Left board".
        let placed = words.split_once(' ').is_some_and(|(place, noun)| {
            reader.terms.lists.contrast_place.has(&place.to_lowercase())
                && reader.terms.lists.contrast_noun.has(&noun.to_lowercase())
        });
        (letter || labelled || placed).then(|| (words.to_lowercase(), key))
    };
    // Items of a list of two, of which the line before says that there are two.
    let item = |at: usize| {
        blocks
            .get(at)
            .is_some_and(|block| matches!(block.kind(), BlockKind::Item))
    };
    let mut found = Vec::new();
    let mut at = 0;
    while at < blocks.len() {
        let mut last = at;
        while key(last).is_some() {
            last += 1;
        }
        if last - at == 2 {
            for (place, block) in blocks.iter().enumerate().take(last).skip(at) {
                let Some((pole, span)) = key(place) else {
                    continue;
                };
                found.push(Anchor {
                    kind: Kind::Key,
                    pole,
                    span,
                    sentence: block.sentences().start,
                });
            }
        }
        if last == at && item(at) {
            while item(last) {
                last += 1;
            }
            let counted = at.checked_sub(1).is_some_and(|before| {
                blocks[before]
                    .sentences()
                    .next_back()
                    .is_some_and(|sentence| {
                        reader.hits.say(sentence, reader.terms.count_two)
                            && reader.hits.say(sentence, reader.terms.cable)
                    })
            });
            if last - at == 2 && counted {
                for (place, block) in blocks.iter().enumerate().take(last).skip(at) {
                    let sentence = block.sentences().start;
                    let start = reader.sheet.sentences[sentence].span;
                    found.push(Anchor {
                        kind: Kind::Key,
                        pole: place.to_string(),
                        span: Span::new(start.start(), start.start() + 1),
                        sentence,
                    });
                }
            }
        }
        if found.len() > MOST {
            return Vec::new();
        }
        at = last.max(at + 1);
    }
    found
}

/// Whether a sentence is running text.
fn running(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    !matches!(
        block.kind(),
        BlockKind::Cell { .. } | BlockKind::Heading { .. }
    )
}
