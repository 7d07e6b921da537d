//! Who came out better, by how much, and to what it is credited. Takes the sides as they are.

use super::anywhere_bool;
use super::buyers::told_by_buyers;
use super::likenesses::{bounds_a_figure, is_a_noun, of_another_thing, told_apart, without_bounds};
use super::multiples::Multiples;
use super::people::of_people;
use super::sides::driven;
use super::winner::{louder, winner};
use crate::facts::context::key_sentences;
use crate::facts::procedure;
use crate::facts::read::{Owner, Reader, follows};
use crate::facts::roles::Role;
use crate::facts::score;
use crate::facts::types::{Difference, DifferenceOf, FigureKind, Outcome, Side};
use crate::facts::voices::questioned;
use crate::lexicon::{List, lowered, tokenize};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use std::cell::LazyCell;
use std::ops::Range;

/// Largest difference in dB that is one between cables: more is how loud a loudspeaker is, or how far a noise lies below.
const LOUDEST: f64 = 40.0;
/// Bytes between a level and the word that says which way it goes.
const LEVEL_NEAR: usize = 1;

/// Voltages or powers measured at the load through each side, as a stated difference.
pub(super) fn measured(reader: &Reader<'_>, sides: &[Side]) -> Option<Outcome> {
    let terms = &reader.terms;
    let [first, second] = sides else { return None };
    let at_side = |cable: usize, role: Role| {
        let mut own = (0..reader.sheet.quantities.len()).filter(|&index| {
            if reader.owners.at(index) != Owner::One(cable) || reader.roles[index] != role {
                return false;
            }
            let sentence = reader.sentence_of(index);
            let around = reader.around(sentence, reader.sheet.quantities[index].span);
            // What a load took is said in so many words; a power by itself is that of an amplifier, or what a cable is good for.
            let taken = (role == Role::Voltage && !driven(reader, index) && !is_fed(reader, index))
                || (!around.near(terms.lamp, 60) && told_taken(reader, sentence));
            // "From a 10 V source the one gave 9.6 V": the source is that of the voltage next to it.
            let of_source = [terms.amplifier, terms.supply].iter().any(|&concept| {
                around
                    .nearest(concept)
                    .is_some_and(|(apart, words)| apart < SOURCE && !nearer(reader, index, words))
            });
            taken && !of_source
        });
        let index = own.next()?;
        own.next().is_none().then_some(index)
    };
    [
        (Role::Voltage, DifferenceOf::Voltage),
        (Role::Power, DifferenceOf::Power),
    ]
    .into_iter()
    .find_map(|(role, of)| {
        let (a, b) = (at_side(first.cable, role)?, at_side(second.cable, role)?);
        let (a, b) = (&reader.sheet.quantities[a], &reader.sheet.quantities[b]);
        let (one, other) = (a.si()?, b.si()?);
        // What is many times the other is the supply of something else.
        let apart = (one / other).max(other / one);
        if one <= 0.0 || other <= 0.0 || apart - 1.0 < 0.002 || apart > MOST_APART {
            return None;
        }
        let higher = if one > other { a } else { b };
        Some(Outcome {
            span: higher.span,
            winner: Some(usize::from(other > one)),
            difference: vec![Difference {
                of,
                value: (one / other).max(other / one),
                span: higher.span,
            }],
        })
    })
}

/// How many times what arrives through the one is of what arrives through the other, at the most, by any cable.
const MOST_APART: f64 = 4.0;

/// Whether a voltage is that of the source by the words right beside it: “from 10 V”, “a 10 V source”.
fn is_fed(reader: &Reader<'_>, index: usize) -> bool {
    /// Bytes before it that are looked at.
    const NEAR: usize = 16;
    let lists = reader.terms.lists;
    let span = reader.sheet.quantities[index].span;
    let behind = reader.text().get(span.end()..).unwrap_or("");
    let next = behind
        .split(|letter: char| !letter.is_alphabetic() && letter != ' ')
        .next()
        .and_then(|words| words.split_whitespace().next());
    let ahead = reader.ahead(reader.sentence_of(index), span, NEAR);
    let mut before = ahead
        .split_whitespace()
        .rev()
        .skip_while(|word| lists.score_article.has(word) || *word == "an");
    next.is_some_and(|word| lists.measured_source.has(&word.to_lowercase()))
        || before.next() == Some("from")
}

/// Bytes between a voltage and the amplifier or the supply that it is of.
const SOURCE: usize = 60;

/// Whether another amount of the kind stands nearer to words of its sentence.
fn nearer(reader: &Reader<'_>, index: usize, words: Span) -> bool {
    let own = &reader.sheet.quantities[index];
    let apart = |span: Span| {
        if span.overlaps(words) {
            0
        } else {
            let behind = span.start().saturating_sub(words.end());
            behind.max(words.start().saturating_sub(span.end()))
        }
    };
    reader
        .in_sentence(reader.sentence_of(index))
        .map(|other| &reader.sheet.quantities[other])
        .any(|other| other.kind == own.kind && apart(other.span) < apart(own.span))
}

/// Whether a sentence, or the key that it stands under, says that a load took what is measured.
fn told_taken(reader: &Reader<'_>, sentence: usize) -> bool {
    std::iter::once(sentence)
        .chain(key_sentences(reader.sheet, sentence))
        .any(|at| {
            let words = reader.sheet.sentences[at]
                .span
                .of(reader.text())
                .to_lowercase();
            reader.terms.lists.measured_taken.within(&words)
        })
}

/// The sentence that says which side came out better.
pub(super) fn outcome(
    reader: &Reader<'_>,
    sides: &[Side],
    region: Range<usize>,
) -> Option<Outcome> {
    let terms = reader.terms;
    let mut best: Option<(usize, Outcome)> = None;
    let mut differences = Vec::new();
    let multiples = Multiples::new(reader);
    // What glows yellow or orange is a lamp; elsewhere these are colours of jackets.
    let lamps = anywhere_bool(reader, terms.lamp);
    let glow = |span: Span| {
        let words = span.of(reader.text()).to_lowercase();
        terms.lists.outcome_glow.has(&words)
    };
    for sentence in region {
        if reader.endless(sentence) {
            continue;
        }
        let asked = procedure::asked(reader, sentence) || questioned(reader, sentence);
        // "The Kite was the quickest to strip" says nothing of what is heard.
        let handled = reader.hits.say(sentence, terms.handling)
            && !reader.hits.say(sentence, terms.listened)
            && !reader.hits.say(sentence, terms.lamp);
        // "We had heard so often that thin wires beat thick ones" tells what others found.
        let hearsay = reader.hits.say(sentence, terms.hearsay);
        if asked
            || handled
            || hearsay
            || reader.hits.say(sentence, terms.credit_elsewhere)
            || rises(reader, sentence)
            || told_by_buyers(reader, sentence)
        {
            continue;
        }
        let stated = differences.len();
        differences.extend(stated_differences(reader, sentence, &multiples));
        let stated = differences.len() > stated;
        let better: Vec<Span> = reader
            .hits
            .saying(sentence, terms.better)
            .map(|hit| hit.span)
            .filter(|span| !glow(*span) || (lamps && glows(reader, sentence, *span)))
            .chain(crate::facts::verdict::words(reader, sentence))
            .chain(ballot(reader, sentence))
            .filter(|span| !negated(reader, sentence, *span) && !of_people(reader, sentence, *span))
            // "Because the braid looks better so."
            .filter(|span| !follows(reader.text(), *span, &["look ", "looks ", "looked "]))
            .filter(|span| !before_a_noun(reader, *span) && !is_a_noun(reader.text(), *span))
            .filter(|span| !bounds_a_figure(reader.text(), *span))
            .filter(|span| !at_a_place(reader.text(), *span))
            .filter(|span| !intended(reader, sentence, *span))
            .filter(|span| !than_a_metal(reader, sentence, *span))
            // "Of the two, copper is the better conductor."
            .filter(|span| !of_another_thing(reader.text(), *span))
            // "One side quieter ..... look for a loose screw": what is looked up by.
            .filter(|span| !in_key(reader, sentence, *span))
            .collect();
        let Some(&first) = better.first() else {
            continue;
        };
        let cell = matches!(
            reader.sheet.blocks[reader.sheet.sentences[sentence].block()].kind(),
            BlockKind::Cell { .. } | BlockKind::Heading { .. }
        );
        // "Loses 1 dB more": which way a level goes is told by its verb.
        let level = differences
            .iter()
            .map(|known| known.span)
            .find(|level| (level.start()..=level.end() + LEVEL_NEAR).contains(&first.start()));
        let winner = match level {
            Some(level) => louder(reader, sides, sentence, level),
            None => winner(reader, sides, sentence, first),
        };
        let credited = reader.hits.say(sentence, terms.credit);
        let weight = better.len().min(3)
            + 3 * usize::from(winner.is_some())
            + usize::from(credited)
            + 2 * usize::from(stated)
            + usize::from(!cell);
        if best.as_ref().is_none_or(|(known, _)| *known < weight) {
            let outcome = Outcome {
                span: reader.sheet.sentences[sentence].span,
                winner,
                difference: Vec::new(),
            };
            best = Some((weight, outcome));
        }
    }
    // "The level was 3 dB higher with A": a figure is an outcome in itself.
    let measured = || {
        let first = differences.first()?;
        let sentence = crate::facts::read::sentence_at(reader.sheet, first.span.start());
        let winner = louder(reader, sides, sentence, first.span);
        Some(Outcome {
            span: reader.sheet.sentences[sentence].span,
            winner,
            difference: Vec::new(),
        })
    };
    let mut outcome = best.map(|(_, outcome)| outcome).or_else(measured)?;
    // What was read off a meter through each side is a difference, whether anybody works it out or not.
    if differences.is_empty() {
        differences = self::measured(reader, sides).map_or_else(Vec::new, |read| read.difference);
    }
    outcome.difference = differences;
    Some(outcome)
}

/// Whether words tell what something was done for, and not what came of it: “cut to one length so that nobody could grumble”.
fn intended(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    const NEAR: usize = 40;
    const PURPOSES: [&str; 4] = ["so that", "in order that", "lest", "so as to"];
    let ahead = reader.ahead(sentence, words, NEAR);
    let clause = ahead.rsplit([',', ';', ':']).next().unwrap_or(&ahead);
    PURPOSES.iter().any(|purpose| clause.contains(purpose))
}

/// Whether a sentence tells by how much a resistance rises with frequency, and of nothing heard: “the resistance goes up by 140 %”.
pub(in crate::facts) fn rises(reader: &Reader<'_>, sentence: usize) -> bool {
    let rise = Role::Figure(FigureKind::SkinRise);
    let mut figures = reader.in_sentence(sentence);
    figures.any(|index| reader.roles[index] == rise)
        && !reader.hits.say(sentence, reader.terms.listened)
        && !reader.hits.say(sentence, reader.terms.lamp)
}

/// Where a bracket opens that closes right before `words`: “the Larch (12 AWG, 3 m) beats the Alder” is said of what stands before it.
pub(super) fn bracketed(reader: &Reader<'_>, sentence: usize, words: Span) -> Option<Span> {
    let start = reader.sheet.sentences[sentence].span.start();
    let ahead = reader.text().get(start..words.start())?.trim_end();
    let inside = ahead.strip_suffix(')')?;
    let open = inside.rfind('(')?;
    let at = start + ahead.get(..open)?.trim_end().len();
    Some(Span::new(at, at))
}

/// Whether votes are counted in a sentence or in the one before it.
pub(in crate::facts) fn counted(reader: &Reader<'_>, sentence: usize) -> bool {
    (sentence.saturating_sub(1)..=sentence).any(|at| {
        reader.hits.say(at, reader.terms.vote) || reader.hits.say(at, reader.terms.ballot)
    })
}

/// “Thirty-one for the Sallow, two for the Osier”: a number before each of two sides, where votes are counted. The words for the
/// side that got most.
pub(in crate::facts) fn ballot(reader: &Reader<'_>, sentence: usize) -> Option<Span> {
    if !counted(reader, sentence) {
        return None;
    }
    let sides: Vec<(Span, usize)> = reader
        .resolved
        .of(sentence)
        .iter()
        .filter_map(|(span, owner)| match owner {
            Owner::One(entry) => Some((span, entry)),
            _ => None,
        })
        .collect();
    if sides.len() < 2 || reader.endless(sentence) {
        return None;
    }
    let text = reader.text();
    let mut tokens = Vec::new();
    tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
    let words: Vec<String> = lowered(text, &tokens);
    let lists = reader.terms.lists;
    let votes: Vec<(u32, Span, usize)> = sides
        .iter()
        .filter_map(|&(span, entry)| {
            let at = tokens
                .iter()
                .position(|token| token.span.start() >= span.start())?;
            // "Thirty-one for the", "two to the".
            let back = (at.saturating_sub(5)..at).rev().find(|&place| {
                words[place + 1..at]
                    .iter()
                    .any(|word| lists.score_for.has(word) || word == "to")
                    && score::number(&reader.terms, &words, place).is_some()
            })?;
            let start = back.checked_sub(1).filter(|&before| {
                score::number(&reader.terms, &words, before)
                    .is_some_and(|number| number.last == back)
            });
            let number = score::number(&reader.terms, &words, start.unwrap_or(back))?;
            // "Tarn 216 to 5 m, Tarn 214 to 7 m": the number of a name counts no votes.
            let counts = tokens[number.first].span;
            let of_name = sides.iter().any(|(side, _)| side.overlaps(counts));
            if of_name {
                return None;
            }
            Some((number.value, tokens[number.first].span.join(span), entry))
        })
        .collect();
    let [(first, one, a), (second, other, b)] = votes.as_slice() else {
        return None;
    };
    (a != b && first != second).then(|| if first > second { *one } else { *other })
}

/// Whether a negation stands within a few words before `words`: "is not faster than", "neither was louder".
pub(in crate::facts) fn negated(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    let cues = reader.terms.lists.outcome_negation;
    let mut tokens = Vec::new();
    let text = reader.text();
    tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
    let Some(at) = tokens
        .iter()
        .position(|token| token.span.end() > words.start())
    else {
        return false;
    };
    tokens[at.saturating_sub(4)..at]
        .iter()
        .any(|token| cues.has(&token.span.of(text).to_lowercase().replace('’', "'")))
}

/// Whether words stand in the key of a field.
fn in_key(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    matches!(block.kind(), BlockKind::Field) && block.key().is_some_and(|key| key.contains(words))
}

/// Whether what is said at `words` is said against a metal and not against a cable: “12 % more readily than ordinary copper”.
fn than_a_metal(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    /// Words between “than” and the metal.
    const NEAR: usize = 3;
    let terms = reader.terms;
    let metals = [terms.copper, terms.silver, terms.aluminium, terms.cca];
    let end = reader.sheet.sentences[sentence].span.end();
    let behind = Span::new(words.start(), end.max(words.start())).of(reader.text());
    let Some(than) = behind.find("than ").map(|at| words.start() + at) else {
        return false;
    };
    reader.hits.saying_any(sentence, &metals).any(|metal| {
        metal.span.start() > than && {
            let between = Span::new(than + 5, metal.span.start().max(than + 5)).of(reader.text());
            let next = reader.text().get(metal.span.end()..).unwrap_or("");
            let next = next
                .trim_start()
                .split(|letter: char| !letter.is_alphanumeric())
                .next()
                .unwrap_or("");
            // "Than the copper lead" is said of a lead.
            between.split_whitespace().count() < NEAR
                && !between.contains([',', ';', '.'])
                && !terms.lists.name_label.has(&next.to_lowercase())
                && !matches!(next, "one" | "ones" | "cables" | "leads" | "pair")
        }
    })
}

/// Whether a word that may be an outcome stands before what it describes: “the dull sound in the balcony”.
fn before_a_noun(reader: &Reader<'_>, words: Span) -> bool {
    let said = words.of(reader.text()).to_lowercase();
    let behind = reader.text().get(words.end()..).unwrap_or("");
    let next = behind
        .split(|letter: char| !letter.is_alphabetic() && letter != ' ')
        .next()
        .unwrap_or("");
    let mut next = next.split_whitespace();
    reader.terms.lists.outcome_plain.has(&said)
        && next.next().is_some_and(|next| {
            !matches!(
                next,
                "and" | "or" | "but" | "beside" | "by" | "than" | "with" | "on" | "in" | "to"
            )
        })
}

/// Whether what comes out comes out of something: “where it comes out behind the couch”, “came out of a skip”.
pub(in crate::facts) fn at_a_place(text: &str, words: Span) -> bool {
    const PLACES: [&str; 14] = [
        "of", "from", "behind", "through", "beside", "beneath", "under", "below", "into", "onto",
        "near", "where", "there", "here",
    ];
    let behind = text.get(words.end()..).unwrap_or("").trim_start();
    let next = behind.split(|letter: char| !letter.is_alphabetic()).next();
    let said = words.of(text).as_bytes();
    let out = said
        .last_chunk()
        .is_some_and(|end: &[u8; 4]| end.eq_ignore_ascii_case(b" out"));
    out && next.is_some_and(|next| PLACES.iter().any(|place| next.eq_ignore_ascii_case(place)))
}

/// Whether a colour is said of what shines, and not of a thing that it stands before.
fn glows(reader: &Reader<'_>, sentence: usize, colour: Span) -> bool {
    let text = reader.text();
    let start = reader.sheet.sentences[sentence].span.start();
    let mut tokens = Vec::new();
    tokenize(
        text,
        Span::new(start, colour.start().max(start)),
        &mut tokens,
    );
    tokens.iter().rev().take(2).any(|token| {
        let word = token.span.of(text).to_lowercase();
        reader.terms.lists.outcome_glow_verb.has(&word)
    })
}

/// “0.9 dB over K”, “2 dB over the other”: what stands behind the amount is another cable, and no band.
fn over_another(text: &str, amount: Span) -> bool {
    const OTHERS: [&str; 4] = ["the other", "the first", "the second", "the rival"];
    let behind = text.get(amount.end()..).unwrap_or("");
    let over = behind.strip_prefix(" over ").unwrap_or("");
    over.starts_with(|letter: char| letter.is_uppercase())
        || OTHERS.iter().any(|other| over.starts_with(other))
}

/// Differences in level, power, voltage or brightness that a sentence states.
pub(super) fn stated_differences(
    reader: &Reader<'_>,
    sentence: usize,
    multiples: &Multiples<'_>,
) -> Vec<Difference> {
    let terms = reader.terms;
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    let mut found = Vec::new();
    if reader.hits.say(sentence, terms.matched) {
        return found;
    }
    // "We set the loudness by ear, and the two were never more than half a decibel apart" tells how well it was set.
    let set = [terms.level_set, terms.level_act]
        .iter()
        .any(|&concept| reader.hits.say(sentence, concept));
    let apart = |index: usize| told_apart(text, reader.sheet.quantities[index].span);
    if set
        && reader.hits.say(sentence, terms.level_thing)
        && reader.in_sentence(sentence).any(apart)
    {
        return found;
    }
    // Whoever gives the resistances beside it works it out, and reports no outcome.
    let worked = reader
        .in_sentence(sentence)
        .any(|index| reader.roles[index] == Role::Figure(FigureKind::Resistance));
    if worked && !reader.hits.say(sentence, terms.strong) {
        return found;
    }
    let lists = terms.lists;
    // "How much louder? 3 dB."
    let before = sentence.checked_sub(1).filter(|&before| {
        let block = |at: usize| reader.sheet.sentences[at].block();
        block(before) == block(sentence) && procedure::asked(reader, before)
    });
    let asked = before.map_or_else(String::new, |before| {
        reader.sheet.sentences[before].span.of(text).to_lowercase()
    });
    let lower = LazyCell::new(|| without_bounds(&span.of(text).to_lowercase()));
    // "To see that they were awake we raised one side by 1 dB": nobody lays that to a cable.
    if lists.difference_made.within(&lower) {
        return found;
    }
    let has = |words: List<'_>| {
        words.within(&lower) || (asked.contains("how much") && words.within(&asked))
    };
    for index in reader.in_sentence(sentence) {
        let quantity = &reader.sheet.quantities[index];
        let Some(si) = quantity.si() else {
            continue;
        };
        match quantity.kind {
            Kind::LevelDb
                if reader.roles[index] == Role::Level
                    // "Plait over twin: +1.9 dB".
                    && (has(lists.difference_more)
                        || over_another(text, quantity.span)
                        || (quantity.span.of(text).starts_with('+') && lower.contains(" over ")))
                    && si > 0.0
                    && si <= LOUDEST
                    && !lists.difference_own_loss.within(&lower) =>
            {
                found.push(Difference {
                    of: DifferenceOf::Level,
                    value: si,
                    span: quantity.span,
                })
            }
            Kind::Percent if reader.roles[index] == Role::Percent => {
                let after = text
                    .get(quantity.span.end()..span.end().max(quantity.span.end()))
                    .unwrap_or("")
                    .to_lowercase();
                let after = after
                    .get(..after.len().min(40))
                    .unwrap_or(&after)
                    .to_owned();
                let before = text
                    .get(span.start()..quantity.span.start())
                    .unwrap_or("")
                    .to_lowercase();
                let near = |words: List<'_>| words.within(&after);
                // "Plainly the brighter, with a lead of 22 %".
                let ahead = lists.difference_ahead.ends(before.trim_end())
                    && lists.difference_lit.within(&before);
                let of = if ahead
                    || near(lists.difference_light)
                    || (has(lists.difference_light_meter) && near(lists.difference_up))
                {
                    DifferenceOf::Brightness
                } else if near(lists.difference_power) {
                    DifferenceOf::Power
                } else if near(lists.difference_volt)
                    || (has(lists.difference_voltage) && near(lists.difference_voltage_up))
                {
                    DifferenceOf::Voltage
                } else {
                    continue;
                };
                let less = near(lists.difference_less)
                    || (ahead && lists.difference_less.within(&before))
                    || before.ends_with("only ");
                let value = if less {
                    1.0 / (1.0 - (si / 100.0).min(0.99))
                } else {
                    1.0 + si / 100.0
                };
                found.push(Difference {
                    of,
                    value,
                    span: quantity.span,
                });
            }
            _ => {}
        }
    }
    // "Half as bright again" says more than the "half as bright" in it.
    if let Some((at, words, value)) = multiples.told(span.of(text)) {
        found.push(Difference {
            of: DifferenceOf::Brightness,
            value,
            span: Span::new(
                span.start() + at,
                (span.start() + at + words.len()).min(span.end()),
            ),
        });
    }
    found
}
