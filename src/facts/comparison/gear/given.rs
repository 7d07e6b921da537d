//! Which side a piece of gear is given to: by the words for a side before it or behind “for”, else by those of its paragraph. Words
//! for a side are those that name a cable, that tell two apart, and that say how one is made.

use super::pieces::Piece;
use crate::facts::comparison::anchors::{Anchor, Kind};
use crate::facts::procedure;
use crate::facts::read::{Owner, Reader, clause_at};
use crate::facts::voices::questioned;
use crate::lexicon::{List, Token};
use crate::span::Span;
use std::borrow::Borrow;

/// What a side is called by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in super::super) enum Key {
    Entry(usize),
    Anchor(Kind, String),
    /// Whose it is by name: “Hugo's set”.
    Owned(String),
    /// What tells it from another: “the dressed pair”.
    Called(String),
    /// Where it stood: “the back room”.
    Place(String),
    /// The title, or the key of the line, under which it is told of, by its block.
    Titled(usize),
    /// Braid, flex, litz.
    Made(String),
    /// The usual one, the reference.
    Usual,
    /// All but the one that was told of.
    Others,
    /// The one of two beside which no words for a side stand.
    Untold,
    /// All sides.
    All,
}

/// Words for a side.
#[derive(Debug, Clone)]
pub(in super::super) struct Term {
    pub(in super::super) span: Span,
    pub(in super::super) keys: Vec<Key>,
}

/// The words for a side in a sentence.
pub(in super::super) fn terms_in(
    reader: &Reader<'_>,
    sentence: usize,
    tokens: &[Token],
    words: &[String],
    anchors: &[Anchor],
    gear: &[Span],
) -> Vec<Term> {
    let lists = reader.terms.lists;
    let mut found: Vec<Term> = Vec::new();
    let mut add = |span: Span, key: Key| {
        if gear.iter().any(|piece| piece.overlaps(span)) {
            return;
        }
        match found.iter_mut().find(|term| {
            term.span.overlaps(span)
                || matches!(
                    Span::new(
                        term.span.end().min(span.end()),
                        term.span
                            .start()
                            .max(span.start())
                            .max(term.span.end().min(span.end()))
                    )
                    .of(reader.text()),
                    " " | "-"
                )
        }) {
            Some(term) => {
                term.span = term.span.join(span);
                if !term.keys.contains(&key) {
                    term.keys.push(key);
                }
            }
            None => found.push(Term {
                span,
                keys: vec![key],
            }),
        }
    };
    for (span, owner) in reader.resolved.of(sentence).iter() {
        match owner {
            Owner::One(entry) => add(span, Key::Entry(entry)),
            Owner::Two(one, other) => {
                add(span, Key::Entry(one));
                add(span, Key::Entry(other));
            }
            // "Same copper" is no word for both.
            Owner::All if !same_thing(reader, span) => add(span, Key::All),
            Owner::All => {}
            Owner::Nobody => {}
        }
    }
    for anchor in anchors.iter().filter(|anchor| anchor.sentence == sentence) {
        let key = match anchor.kind {
            Kind::Person => Key::Owned(anchor.pole.clone()),
            kind => Key::Anchor(kind, anchor.pole.clone()),
        };
        add(anchor.span, key);
    }
    for (at, word) in words.iter().enumerate() {
        let whose = |place: usize| {
            let word = &words[place];
            [
                lists.contrast_mine,
                lists.contrast_yours,
                lists.contrast_third,
            ]
            .iter()
            .position(|list| list.has(word))
            .map(|owner| Key::Anchor(Kind::Owner, owner.to_string()))
        };
        if !lists.gear_cable.has(word)
            && (lists.contrast_made.has(word) || lists.gear_made.has(word))
        {
            // "The ribbon, of 2.5 mm² copper" is no copper.
            let reach = if lists.gear_metal.has(word) { 1 } else { 4 };
            let led = (at.saturating_sub(reach)..at).rev().find(|&place| {
                lists.described_determiner.has(&words[place])
                    || lists.gear_determiner.has(&words[place])
            });
            if let Some(led) = led {
                add(tokens[at].span, Key::Made(word.clone()));
                if let Some(owner) = whose(led) {
                    add(tokens[at].span, owner);
                }
            }
        }
        // "Hugo's set", "Aled's are of twelve".
        if let Some(owner) = owner(&words[at])
            && tokens[at]
                .span
                .of(reader.text())
                .starts_with(char::is_alphabetic)
        {
            let beside = |next: usize| {
                words
                    .get(next)
                    .is_some_and(|word| lists.gear_cable.has(word) || lists.contrast_noun.has(word))
            };
            let noun = (at + 1..=at + OWNED).find(|&next| beside(next));
            let verb = words
                .get(at + 1)
                .is_some_and(|next| lists.contrast_next.has(next) || lists.gear_be.has(next));
            // "The other firm's, for want of space, fed a small pair."
            let ends = !reader
                .text()
                .get(tokens[at].span.end()..)
                .unwrap_or("")
                .starts_with(' ');
            if noun.is_some() || verb || ends {
                let span = tokens[at].span;
                let span = noun.map_or(span, |noun| span.join(tokens[noun].span));
                add(span, Key::Owned(owner.to_owned()));
            }
        }
        // "The others shared a car battery."
        if at > 0 && words[at - 1] == "the" && (word == "others" || word == "rest") {
            add(tokens[at].span, Key::Others);
        }
        // "Our reference lead."
        let behind = || {
            words[at + 1..]
                .iter()
                .take(3)
                .any(|word| lists.gear_cable.has(word))
        };
        if at > 0
            && lists.gear_usual.has(word)
            && (lists.described_determiner.has(&words[at - 1])
                || lists.gear_determiner.has(&words[at - 1]))
            && behind()
        {
            add(tokens[at].span, Key::Usual);
        }
        // "Whereas his were on the integrated."
        let alone = || {
            let end = tokens[at].span.end();
            let rest = reader.text().get(end..).unwrap_or("");
            words
                .get(at + 1)
                .is_none_or(|next| lists.contrast_next.has(next) || lists.gear_be.has(next))
                || !rest.starts_with(' ')
                // "Yours is 18 AWG and his 12 AWG."
                || tokens.get(at + 1).is_some_and(|next| {
                    reader.in_sentence(sentence).any(|index| {
                        reader.sheet.quantities[index].span.start() == next.span.start()
                    })
                })
        };
        if (lists.contrast_alone.has(word) || word == "his")
            && alone()
            && let Some(owner) = whose(at)
        {
            add(tokens[at].span, owner);
        }
    }
    called(reader, tokens, words, gear, &mut found);
    found.sort_by_key(|term| term.span.start());
    // "Theo feeds his": whose it is has been said by name.
    let person = anchors
        .iter()
        .find(|anchor| anchor.sentence == sentence && anchor.kind == Kind::Person);
    if let Some(person) = person {
        let third = Key::Anchor(Kind::Owner, THIRD.to_owned());
        for term in &mut found {
            if term.span.start() > person.span.start() {
                term.keys.retain(|key| *key != third);
            }
        }
        found.retain(|term| !term.keys.is_empty());
    }
    found
}

/// The pole of “his”, “hers” and “theirs”.
const THIRD: &str = "2";

/// “The dressed pair”, “the works loom”: a word that tells a cable from another, between an article and the word for it.
fn called(
    reader: &Reader<'_>,
    tokens: &[Token],
    words: &[String],
    gear: &[Span],
    terms: &mut Vec<Term>,
) {
    let lists = reader.terms.lists;
    for at in 2..words.len() {
        let noun = lists.gear_cable.has(&words[at]) || lists.side_noun.has(&words[at]);
        let article = lists.contrast_article.has(&words[at - 2])
            || lists.gear_determiner.has(&words[at - 2])
            || words[at - 2].ends_with("'s");
        let word = &words[at - 1];
        let joined = Span::new(tokens[at - 1].span.end(), tokens[at].span.start());
        let plain = word.chars().all(char::is_alphabetic)
            && joined.of(reader.text()) == " "
            && !lists.gear_cable.has(word)
            && !lists.side_plain.has(word)
            && !lists.contrast_thing.has(word)
            && !lists.described_determiner.has(word);
        let span = tokens[at - 1].span.join(tokens[at].span);
        let of_gear = gear.iter().any(|piece| piece.overlaps(span));
        if !(noun && article && plain) || of_gear {
            continue;
        }
        let key = Key::Called(word.clone());
        match terms.iter_mut().find(|term| term.span.overlaps(span)) {
            Some(term) => term.keys.push(key),
            None => terms.push(Term {
                span,
                keys: vec![key],
            }),
        }
    }
}

/// Words between whose a cable is and the word for it.
const OWNED: usize = 3;

/// Whose something is, by the word before it; nothing where the word is short for “it is” and the like.
pub(in super::super) fn owner(word: &str) -> Option<&str> {
    const SHORT: [&str; 14] = [
        "it", "that", "this", "there", "here", "what", "who", "where", "he", "she", "let", "how",
        "one", "other",
    ];
    let name = word
        .strip_suffix("'s")
        .or_else(|| word.strip_suffix("’s"))?;
    (!SHORT.contains(&name)).then_some(name)
}

fn same_thing(reader: &Reader<'_>, words: Span) -> bool {
    let words = words.of(reader.text()).to_lowercase();
    words.is_empty()
        || words.ends_with("same")
        || words == "identical"
        || words.starts_with("either")
}

/// The side that the last of several words ahead of a thing name, with those for the same side before it, as far as nothing opposes
/// them; and where its words begin.
pub(in super::super) fn side_ahead(text: &str, ahead: &[impl Borrow<Term>]) -> (Vec<Key>, Span) {
    const OPPOSED: [&str; 14] = [
        ";",
        " whereas ",
        " while ",
        " but ",
        " against ",
        " versus ",
        " vs ",
        " than ",
        " compared with ",
        " compared to ",
        " instead of ",
        " in place of ",
        " advance on ",
        " improvement on ",
    ];
    let mut ahead = ahead.iter().rev().map(Borrow::borrow);
    let Some(last) = ahead.next() else {
        return (Vec::new(), Span::default());
    };
    let (mut side, mut named) = (last.keys.clone(), last.span);
    for earlier in ahead {
        let between = text
            .get(earlier.span.end()..last.span.start())
            .unwrap_or("");
        let turned = OPPOSED.iter().any(|word| between.contains(word));
        if turned || apart(&earlier.keys, &side) {
            break;
        }
        side.extend(earlier.keys.iter().cloned());
        named = earlier.span;
    }
    (side, named)
}

/// Whether two sets of words certainly mean two sides, by words of one kind.
pub(in super::super) fn apart(one: &[Key], other: &[Key]) -> bool {
    one.iter().any(|a| {
        other.iter().any(|b| match (a, b) {
            (Key::Entry(a), Key::Entry(b)) => a != b,
            (Key::Anchor(a, one), Key::Anchor(b, other)) => a == b && one != other,
            (Key::Made(a), Key::Made(b)) | (Key::Place(a), Key::Place(b)) => a != b,
            (Key::All, _) | (_, Key::All) => true,
            _ => false,
        })
    })
}

/// Whether two sets of words certainly mean two sides.
pub(super) fn opposed(metals: List<'_>, one: &[Key], other: &[Key], known: &[Term]) -> bool {
    if one.iter().any(|key| other.contains(key)) {
        return false;
    }
    let (one, other) = (closed(metals, one, known), closed(metals, other, known));
    if one.iter().any(|key| other.contains(key)) {
        return false;
    }
    certainly_two(&one, &other)
}

/// What a side is called by, with all that it is called by elsewhere: what one term says of a side by two words is of one side.
pub(in super::super) fn closed(metals: List<'_>, keys: &[Key], known: &[Term]) -> Vec<Key> {
    let metal = |key: &Key| matches!(key, Key::Made(word) if metals.has(word));
    let mut all = keys.to_vec();
    for term in known {
        if term
            .keys
            .iter()
            .any(|key| keys.contains(key) && !metal(key))
        {
            all.extend(term.keys.iter().filter(|key| !metal(key)).cloned());
        }
    }
    all
}

/// Whether words for two sides that have none in common certainly mean two.
pub(in super::super) fn certainly_two(one: &[Key], other: &[Key]) -> bool {
    one.iter().any(|a| {
        other.iter().any(|b| match (a, b) {
            (Key::Entry(a), Key::Entry(b)) => a != b,
            (Key::Anchor(a, one), Key::Anchor(b, other)) => a == b && one != other,
            (Key::Made(a), Key::Made(b)) => a != b,
            (Key::Called(a), Key::Called(b)) | (Key::Owned(a), Key::Owned(b)) => a != b,
            (Key::Called(_), Key::Entry(_) | Key::Owned(_))
            | (Key::Entry(_) | Key::Owned(_), Key::Called(_)) => true,
            (Key::Usual | Key::Others, Key::Entry(_) | Key::Made(_))
            | (Key::Entry(_) | Key::Made(_), Key::Usual | Key::Others)
            | (Key::Entry(_), Key::Made(_) | Key::Anchor(Kind::Owner, _))
            | (Key::Made(_) | Key::Anchor(Kind::Owner, _), Key::Entry(_)) => true,
            _ => false,
        })
    })
}

/// Gives a piece of gear to the side that its sentence tells of. `earlier`: those of its sentence before it.
pub(super) fn give(
    reader: &Reader<'_>,
    piece: &mut Piece,
    earlier: &[Piece],
    terms: &[Term],
    before: &[(usize, Vec<Term>)],
) {
    let text = reader.text();
    let whole = reader.sheet.sentences[piece.sentence].span;
    let clause = clause_at(text, whole, piece.noun);
    let lists = reader.terms.lists;
    let lower = |from: usize, to: usize| text.get(from..to).unwrap_or("").to_lowercase();
    // "We used the big floorstanders for his."
    let behind = terms.iter().find(|term| {
        term.span.start() >= piece.span.end()
            && clause.contains(term.span)
            && lower(piece.span.end(), term.span.start())
                .split_whitespace()
                .rev()
                .take(3)
                .any(|word| word == "for")
    });
    // "The valve amplifier on which the Millrace had been playing."
    let on_which = terms.iter().find(|term| {
        term.span.start() >= piece.span.end()
            && matches!(
                lower(piece.span.end(), term.span.start()).trim(),
                "on which the" | "on which" | "on which my" | "on which our" | "that drove the"
            )
    });
    if on_which.is_some() {
        piece.linked = true;
    }
    let led = lower(whole.start(), piece.span.start());
    // "The little valve amplifier drives it", "where our small monitors live".
    let rest = lower(piece.span.end(), clause.end());
    let housed = led.trim_end().ends_with("where")
        && (rest.split_whitespace().next())
            .is_some_and(|verb| lists.gear_lives.has(verb.trim_end_matches(['.', ',', ';'])));
    let driving = lists.gear_drives.begins(rest.trim_start());
    // "From the 40 W receiver and a pair of 8 Ω boxes": what is joined to gear of a side is its own as well.
    let joined = earlier.last().is_some_and(|before| {
        let between = lower(before.span.end(), piece.span.start());
        let and = between.trim_start_matches([',', ' ']);
        let and = and.strip_prefix("and ").unwrap_or(and);
        before.linked
            && before.family != piece.family
            && !between.is_empty()
            && ["", "a pair of ", "two "].contains(&and)
    });
    piece.linked |= housed || driving || joined;
    // "The braid comes with a receiver of 60 W."
    let mut ahead = led.split_whitespace().rev();
    if ahead.next() == Some("with") && ahead.next().is_some_and(|word| lists.gear_sold.has(word)) {
        piece.linked = false;
        return;
    }
    // "If the braid hung on a valve amplifier": of no test that was made.
    let said = |concept| reader.hits.say(piece.sentence, concept);
    let terms_of = &reader.terms;
    if said(terms_of.conditional_amount)
        || said(terms_of.conditional)
        || said(terms_of.sold)
        || procedure::asked(reader, piece.sentence)
        || questioned(reader, piece.sentence)
        || lists.gear_band.within(
            &text
                .get(whole.start()..whole.end())
                .unwrap_or("")
                .to_lowercase(),
        )
    {
        piece.linked = false;
        return;
    }
    // "It would not go on my integrated."
    let denied = lower(clause.start(), piece.span.start())
        .split_whitespace()
        .rev()
        .take(6)
        .any(|word| {
            lists.outcome_negation.has(&word.replace('’', "'"))
                || word.ends_with("n't")
                || word.ends_with("n’t")
        });
    if denied && on_which.is_none() {
        piece.linked = false;
        return;
    }
    // "With the monoblocks warmed up, in went the Moorhen."
    if let Some(term) = circumstance(&led, piece, terms, text) {
        piece.linked = true;
        piece.side.clone_from(&term.keys);
        piece.named = term.span;
        return;
    }
    let of_clause: Vec<&Term> = terms
        .iter()
        .filter(|term| term.span.end() <= piece.span.start())
        .collect();
    // "The transistor one was brought down for it."
    let rest = lower(piece.span.end(), clause.end());
    let recalled = ["for it", "for them", "for those"]
        .iter()
        .any(|words| rest.trim_end_matches(['.', ',', ' ']).ends_with(words));
    let first = terms
        .first()
        .filter(|term| recalled && term.span.end() <= piece.span.start());
    if first.is_some() {
        piece.linked = true;
    }
    if let Some(term) = behind.or(on_which).or(first) {
        piece.side.clone_from(&term.keys);
        piece.named = term.span;
        return;
    }
    if let Some(term) = of_clause.last() {
        let between = lower(term.span.end(), piece.span.start());
        let framed = {
            let ahead = lower(whole.start(), term.span.start());
            ahead
                .split_whitespace()
                .rev()
                .take(3)
                .any(|word| word == "for" || word == "on")
        };
        // "The braid is a gift from Ole, who runs his from a 300 W amplifier."
        if between
            .split_whitespace()
            .any(|word| word == "who" || word == "which" || word == "whose")
        {
            piece.linked = false;
            return;
        }
        // "For the dry sample the transistor set", "…, the Pharos, a small monitor".
        let gap = earlier.iter().any(|earlier| {
            earlier.family == piece.family
                && earlier.linked
                && earlier.span.end() <= term.span.start()
        });
        // "For his we took the monoblocks."
        let taken = framed && between.split_whitespace().count() <= 3 && !between.contains(',');
        // "For the braid, my old valve thing."
        let plain = between.trim_matches([' ', ',']);
        let next = taken || plain.is_empty() || lists.contrast_noun.has(plain);
        if (framed && next) || (gap && between.trim_end().ends_with(',')) {
            piece.linked = true;
        }
        // "The Alder ran from the one, the flex from the other": what is told behind the first piece is of the second side.
        let first = earlier
            .iter()
            .rfind(|earlier| earlier.family == piece.family && earlier.linked)
            .filter(|_| gap);
        let of_clause: Vec<&Term> = of_clause
            .iter()
            .copied()
            .filter(|term| first.is_none_or(|first| term.span.start() >= first.span.end()))
            .collect();
        (piece.side, piece.named) = side_ahead(text, &of_clause);
        return;
    }
    let block = |at: usize| reader.sheet.sentences[at].block();
    let mut sides: Vec<&Term> = Vec::new();
    // "They went into the big room": of what the sentence before speaks.
    let again = led
        .split_whitespace()
        .next()
        .is_some_and(|first| ["it", "they", "these", "those"].contains(&first));
    for (at, terms) in before.iter().rev() {
        if block(*at) != block(piece.sentence) || (again && !sides.is_empty()) {
            break;
        }
        sides.extend(terms.iter());
    }
    if let Some(first) = sides.first()
        && sides
            .iter()
            .all(|other| other.keys == first.keys || !apart(&first.keys, &other.keys))
    {
        piece.side.clone_from(&first.keys);
        piece.named = first.span;
    }
}

/// The one side of a sentence that begins with the gear it was heard on: “with the monoblocks warmed up, in went the Moorhen”.
fn circumstance<'t>(led: &str, piece: &Piece, terms: &'t [Term], text: &str) -> Option<&'t Term> {
    /// Words from the gear to the side.
    const NEAR: usize = 8;
    let with = led.split_whitespace().next_back() == Some("with");
    let term = terms.first().filter(|_| with)?;
    let between = text.get(piece.span.end()..term.span.start())?;
    let alone = terms.iter().all(|other| !apart(&term.keys, &other.keys));
    let told = between.contains(',')
        && !between.contains([';', ':', '.', '('])
        && between.split_whitespace().count() <= NEAR;
    (alone && told && !term.keys.contains(&Key::All)).then_some(term)
}
