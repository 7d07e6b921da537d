//! Scores of listening tests, and whether they are offered as proof.

mod choices;
mod counted;
mod listed;

pub(super) use counted::number;

use choices::Choices;
use listed::{listed, tabled};

use super::count;
use super::procedure;
use super::read::number as plain;
use super::read::{Reader, sentence_at, whole};
use super::roles::Role;
use super::terms::Terms;
use super::types::Score;
use crate::lexicon::{ConceptId, lowered, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;

/// Sentences after a score in which it can be offered as proof.
const AFTER: usize = 3;

/// Reads the scores of a document.
pub(super) fn read(reader: &mut Reader<'_>) {
    let choices = Choices::new(reader);
    let mut scores = Vec::new();
    for index in 0..reader.sheet.quantities.len() {
        if reader.roles[index] != Role::Score {
            continue;
        }
        let quantity = &reader.sheet.quantities[index];
        let (Some(trials), Some(correct)) = (
            plain(quantity).and_then(whole),
            quantity.score.and_then(whole),
        ) else {
            continue;
        };
        if correct > trials || trials < 3 {
            continue;
        }
        scores.push(Score {
            correct,
            trials,
            chance: choices.chance(reader, reader.sentence_of(index)),
            offered_as_proof: offered(reader, reader.sentence_of(index)),
            identified: identified(reader, reader.sentence_of(index)),
            span: quantity.span,
            quantity: Some(index),
        });
    }
    for sentence in 0..reader.sheet.sentences.len() {
        for (correct, trials, span) in told(reader, sentence) {
            let known = scores.iter().any(|score| {
                score.span.overlaps(span) || (score.correct == correct && score.trials == trials)
            });
            if !known {
                scores.push(Score {
                    correct,
                    trials,
                    chance: choices.chance(reader, sentence),
                    offered_as_proof: offered(reader, sentence),
                    identified: identified(reader, sentence),
                    span,
                    quantity: None,
                });
            }
        }
    }
    for sentence in 0..reader.sheet.sentences.len() {
        for (correct, trials, span) in counted::read(reader, sentence) {
            let known = scores.iter().any(|score| score.span.overlaps(span));
            let proof = !known && offered(reader, sentence);
            if proof || !known && says_likewise(reader, sentence) {
                scores.push(Score {
                    correct,
                    trials,
                    chance: choices.chance(reader, sentence),
                    offered_as_proof: proof,
                    identified: identified(reader, sentence),
                    span,
                    quantity: None,
                });
            }
        }
    }
    for (correct, trials, span, sentence) in tabled(reader) {
        if !scores.iter().any(|score| score.span.overlaps(span)) {
            scores.push(Score {
                correct,
                trials,
                chance: choices.chance(reader, sentence),
                offered_as_proof: offered(reader, sentence),
                identified: true,
                span,
                quantity: None,
            });
        }
    }
    scores.retain(|score| !is_of_a_part(reader, score.span));
    likewise(reader, &mut scores);
    listed(reader, &mut scores);
    reader.facts.setup.scores = scores;
}

/// Whether a sentence tells of right answers: “he was right in 6 of 8”.
fn identified(reader: &Reader<'_>, sentence: usize) -> bool {
    let right = reader.terms.lists.score_named;
    reader
        .hits
        .saying(sentence, reader.terms.right)
        .any(|hit| right.has(&hit.span.of(reader.text()).to_lowercase()))
}

/// “Kas 7 of 9: proven. Lise 5 of 6: likewise”: what is said of the score before holds for the next.
fn likewise(reader: &Reader<'_>, scores: &mut [Score]) {
    scores.sort_by_key(|score| score.span.start());
    for place in 1..scores.len() {
        let sentence = sentence_at(reader.sheet, scores[place].span.start());
        let before = sentence_at(reader.sheet, scores[place - 1].span.start());
        if scores[place - 1].offered_as_proof
            && !scores[place].offered_as_proof
            && sentence <= before + AFTER
            && !reader.endless(sentence)
            && says_likewise(reader, sentence)
            && !denies_proof(reader, sentence)
        {
            scores[place].offered_as_proof = true;
        }
    }
}

/// Whether a sentence, or the next one of its block, says that it is as with the one before.
fn says_likewise(reader: &Reader<'_>, sentence: usize) -> bool {
    let block = |at: usize| reader.sheet.sentences.get(at).map(|own| own.block());
    let says = |at: usize| reader.hits.say(at, reader.terms.likewise);
    says(sentence) || block(sentence + 1) == block(sentence) && says(sentence + 1)
}

/// Scores whose two numbers stand apart: “of twenty papers handed in, fourteen preferred the oil”, “in a run of twelve he was
/// right eight times”, “by four of five jurors”, “it went ten to six”.
fn told(reader: &Reader<'_>, sentence: usize) -> Vec<(u32, u32, Span)> {
    /// Words between the trials and the hits.
    const REACH: usize = 9;
    let terms = reader.terms;
    let says = |concept: ConceptId| reader.hits.say(sentence, concept);
    if reader.endless(sentence) {
        return Vec::new();
    }
    if !(says(terms.vote) || says(terms.right) || says(terms.better)) {
        return Vec::new();
    }
    if !counted::may_count(reader, sentence) {
        return Vec::new();
    }
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    let mut tokens = Vec::new();
    tokenize(text, span, &mut tokens);
    let words: Vec<String> = lowered(text, &tokens);
    let taken = |at: usize| {
        reader.in_sentence(sentence).any(|index| {
            reader.sheet.quantities[index]
                .span
                .overlaps(tokens[at].span)
        })
    };
    let single = |at: usize| words.get(at).and_then(|word| small(&terms, word));
    // "Twenty-six" is one number.
    let units = |at: usize| {
        let (tens, next) = (tokens.get(at)?.span, tokens.get(at + 1)?.span);
        let joined = text.get(tens.end()..next.start()) == Some("-");
        let (whole, unit) = (single(at)?, single(at + 1)?);
        (joined && whole >= 20 && whole % 10 == 0 && (1..10).contains(&unit))
            .then_some(whole + unit)
    };
    let count = |at: usize| {
        let second = at
            .checked_sub(1)
            .is_some_and(|before| units(before).is_some());
        (units(at).or_else(|| single(at))).filter(|_| !taken(at) && !second)
    };
    let last_of = |at: usize| at + usize::from(units(at).is_some());
    // What was counted: a vote or a right answer stands near the number.
    let voted = |from: usize, to: usize| {
        let counts = reader.hits.of(sentence);
        counts.iter().any(|hit| {
            (hit.concept == terms.vote || hit.concept == terms.right)
                && hit.last + 3 >= from
                && hit.first <= to + 4
        })
    };
    let mut found = split_vote(reader, sentence, &words, &tokens, &count);
    for at in 0..words.len() {
        let Some(first) = count(at) else { continue };
        let before = at.checked_sub(1).map_or("", |at| words[at].as_str());
        let earlier = at.checked_sub(2).map_or("", |at| words[at].as_str());
        let set = terms.lists.score_set.has(earlier);
        let end = last_of(at);
        // "Of the twelve of you who came".
        let opens =
            at == 1 || (at == 2 && earlier == "of" && terms.lists.score_article.has(before));
        // Trials first.
        if (before == "of" && (set || earlier == "and")) || (opens && words[0] == "of") {
            let second = (end + 1..(end + 1 + REACH).min(words.len()))
                .find_map(|next| Some((next, count(next)?)))
                .filter(|(next, second)| *second <= first && voted(*next, last_of(*next)));
            if let Some((next, second)) = second
                && first >= 3
            {
                let whole = tokens[at].span.join(tokens[last_of(next)].span);
                found.push((second, first, whole));
            }
            continue;
        }
        // "Every one of the three".
        if first == 1 && terms.lists.score_each.has(before) {
            continue;
        }
        let Some(link) = words.get(end + 1) else {
            continue;
        };
        let article = words.get(end + 2).is_some_and(|word| word == "the");
        let next = end + 2 + usize::from(article);
        let Some(second) = count(next) else { continue };
        let both = tokens[at].span.join(tokens[last_of(next)].span);
        if link == "of" && second >= first && second >= 3 && voted(at, next) {
            found.push((first, second, both));
        }
        if link == "to" && first > second && terms.lists.score_went.has(before) && voted(at, next) {
            found.push((first, first + second, both));
        }
    }
    found
}

/// "The Culm got five votes and the Fescue three": the votes for two, and for no third.
fn split_vote(
    reader: &Reader<'_>,
    sentence: usize,
    words: &[String],
    tokens: &[crate::lexicon::Token],
    count: &impl Fn(usize) -> Option<u32>,
) -> Vec<(u32, u32, Span)> {
    let numbers: Vec<(usize, u32)> = (0..words.len())
        .filter_map(|at| Some((at, count(at)?)))
        .collect();
    let &[(first, most), (second, fewest)] = numbers.as_slice() else {
        return Vec::new();
    };
    let sides = reader
        .resolved
        .of(sentence)
        .iter()
        .filter(|(_, owner)| matches!(owner, super::read::Owner::One(_)))
        .count();
    let counted = words
        .get(first + 1)
        .is_some_and(|word| reader.terms.lists.score_vote.has(word));
    let joined = words[first..second]
        .iter()
        .any(|word| word == "and" || word == "to");
    if sides == 2 && counted && joined && second - first <= 7 && most > fewest && most + fewest >= 3
    {
        vec![(
            most,
            most + fewest,
            tokens[first].span.join(tokens[second].span),
        )]
    } else {
        Vec::new()
    }
}

/// "Page 14 of 16", "step 2 of 5": which part of how many.
fn is_of_a_part(reader: &Reader<'_>, score: Span) -> bool {
    let ahead = reader.text().get(..score.start()).unwrap_or("").trim_end();
    let start = ahead
        .rfind(|letter: char| !letter.is_alphabetic())
        .map_or(0, |at| at + 1);
    let word = ahead.get(start..).unwrap_or("").to_lowercase();
    reader.terms.lists.score_part.has(&word)
}

/// A small number in digits or as a word.
fn small(terms: &Terms<'_>, word: &str) -> Option<u32> {
    if word.len() <= 3 && word.chars().all(|letter| letter.is_ascii_digit()) {
        return word.parse().ok();
    }
    count::small(terms, word)
}

/// Whether the sentence of a score or those after it offer it as proof. Of several people each has a score of his own, and what is
/// said of one by name is said of that one.
fn offered(reader: &Reader<'_>, sentence: usize) -> bool {
    /// Sentences behind a score in which it is spoken of by name.
    const NAMED: usize = 10;
    /// Sentences behind what is said of it in which that is answered.
    const ANSWER: usize = 2;
    let end = reader.sheet.sentences.len().saturating_sub(1);
    let terms = reader.terms;
    if let Some(name) = whose(reader, sentence) {
        let named: Vec<usize> = (sentence + 1..=(sentence + NAMED).min(end))
            .filter(|&at| !reader.endless(at) && calls(reader, at, &name))
            .collect();
        if named.iter().any(|&at| denies_proof(reader, at)) {
            return false;
        }
        let others: Vec<String> = (sentence.saturating_sub(NAMED)..=(sentence + NAMED).min(end))
            .filter(|&at| {
                reader
                    .in_sentence(at)
                    .any(|index| reader.roles[index] == Role::Score)
            })
            .filter_map(|at| whose(reader, at))
            .filter(|other| *other != name)
            .collect();
        // "He thought 12 was more than half. She: a coin gets that one evening in four": answered at once, and not of another's score.
        let answered = |at: usize| {
            let block = |at: usize| reader.sheet.sentences[at].block();
            (at + 1..=(at + ANSWER).min(end))
                .take_while(|&next| block(next) == block(at))
                .take_while(|&next| !others.iter().any(|other| speaks_of(reader, next, other)))
                .any(|next| denies_proof(reader, next))
        };
        if named.iter().any(|&at| proves(reader, at) && !answered(at)) {
            return true;
        }
    }
    // What is said around the score before or behind it is said of that.
    let scores = |at: usize| {
        reader
            .in_sentence(at)
            .filter(|&index| reader.roles[index] == Role::Score)
            .map(|index| {
                let quantity = &reader.sheet.quantities[index];
                (quantity.score, plain(quantity))
            })
    };
    let scored = |at: usize| scores(at).any(|other| !scores(sentence).any(|own| own == other));
    let block = |at: usize| reader.sheet.sentences[at].block();
    let other = (sentence + 1..=(sentence + AFTER).min(end))
        .find(|&at| scored(at) && block(at) != block(sentence));
    let last = other.map_or(sentence + AFTER, |other| other - 1).min(end);
    let after_one = (sentence.saturating_sub(AFTER)..sentence)
        .any(|at| scored(at) && block(at) != block(sentence));
    let first = if after_one {
        sentence
    } else {
        sentence.saturating_sub(1)
    };
    let behind = if other.is_some() { 0 } else { AFTER };
    // Whoever says near it that it proves nothing does not offer it; who tells what guessing would reach and draws his conclusion does.
    let concluded = |from: usize| {
        (from + 1..=last)
            .any(|at| concludes(reader, at) && proves(reader, at) && !denies_proof(reader, at))
    };
    // "Guessing would be right one time in three. She had 7 of 12."
    let level = |at: usize| {
        at < sentence && {
            let words = reader.sheet.sentences[at].span.of(reader.text());
            words.to_lowercase().contains("guess")
        }
    };
    let taken_back = (first..=(last + behind).min(end))
        .any(|at| denies_proof(reader, at) && !level(at) && !concluded(at));
    // What somebody else is said to have stated is proof only where the writer calls it that in words of his own.
    let reported = reader.hits.say(sentence, terms.report);
    // "So is 9 out of 16. FALSE", as a quiz has it.
    let words = reader.sheet.blocks[reader.sheet.sentences[sentence].block()]
        .span
        .of(reader.text());
    if terms
        .lists
        .score_false
        .ends(words.trim_end_matches(['.', '!', ')', ' ']))
    {
        return false;
    }
    if is_put(reader, sentence) {
        return false;
    }
    // "As he says" is said of what the writer holds as well.
    let agreed = || {
        let words = reader.sheet.sentences[sentence].span.of(reader.text());
        terms.lists.score_agreed.within(&words.to_lowercase())
    };
    let hearsay = reported && !agreed();
    let proven = (first..=last)
        .filter(|&at| !(hearsay && at == sentence))
        .any(|at| proves(reader, at));
    proven && !taken_back
}

/// Whether a sentence is a point under words that put what follows to the reader: “True or false?”
fn is_put(reader: &Reader<'_>, sentence: usize) -> bool {
    /// Points of one list that are gone back over.
    const POINTS: usize = 60;
    let blocks = &reader.sheet.blocks;
    let own = reader.sheet.sentences[sentence].block();
    let point = |at: usize| {
        let words = blocks[at].span.of(reader.text());
        matches!(blocks[at].kind(), BlockKind::Item) || words.get(1..2) == Some(")")
    };
    if !point(own) {
        return false;
    }
    let over = (own.saturating_sub(POINTS)..own)
        .rev()
        .find(|&at| !point(at));
    [over, blocks[own].lead(), blocks[own].section()]
        .into_iter()
        .flatten()
        .flat_map(|at| blocks[at].sentences())
        .any(|at| reader.hits.say(at, reader.terms.sayings))
}

/// Whether a sentence says that something is no proof; “that is not something you do by guessing” says that it is.
pub(super) fn denies_proof(reader: &Reader<'_>, sentence: usize) -> bool {
    let terms = reader.terms;
    let mut hits = reader.hits.saying(sentence, terms.no_proof);
    hits.any(|hit| {
        let mut proofs = reader.hits.saying(sentence, terms.proof);
        // "I found nothing to add" agrees.
        let added = reader.text().get(hit.span.end()..).is_some_and(|behind| {
            let mut entries = reader.terms.lists.score_added.entries();
            entries.any(|entry| behind.starts_with(entry))
        });
        // "Anybody who still says that it makes no difference was not there."
        let challenged = reader
            .hits
            .saying(sentence, terms.challenge)
            .any(|other| other.span.end() <= hit.span.start());
        !added
            && !challenged
            && !proofs
                .any(|proof| proof.span.contains(hit.span) && proof.span.len() > hit.span.len())
    })
}

/// Whether a sentence calls something proven. A challenge is a question or a condition by its build, and offers the score all the same.
fn proves(reader: &Reader<'_>, sentence: usize) -> bool {
    if asked_back(reader, sentence) {
        return false;
    }
    reader.hits.say(sentence, reader.terms.challenge)
        || reader
            .hits
            .saying(sentence, reader.terms.proof)
            .any(|hit| procedure::affirmed(reader, sentence, hit))
}

/// Whether the next sentence asks in a few words whether that is so: “She says that this settles it. Does it?”
fn asked_back(reader: &Reader<'_>, sentence: usize) -> bool {
    const WORDS: usize = 4;
    let next = reader.sheet.sentences.get(sentence + 1);
    next.is_some_and(|next| {
        let words = next.span.of(reader.text()).trim_end();
        next.block() == reader.sheet.sentences[sentence].block()
            && words.ends_with('?')
            && words.split_whitespace().nth(WORDS).is_none()
    })
}

/// Whether a sentence begins as one that follows from what stands before.
fn concludes(reader: &Reader<'_>, sentence: usize) -> bool {
    let text = reader.text();
    let first = reader.sheet.sentences[sentence]
        .span
        .of(text)
        .split(|letter: char| !letter.is_alphabetic())
        .find(|word| !word.is_empty())
        .unwrap_or("");
    reader.terms.lists.score_conclude.has(&first.to_lowercase())
}

/// Whose a score is: the key of its line, or the name before its colon.
fn whose(reader: &Reader<'_>, sentence: usize) -> Option<String> {
    const LONGEST: usize = 24;
    if reader.endless(sentence) {
        return None;
    }
    let text = reader.text();
    let span = reader.sheet.sentences[sentence].span;
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    let row = || match block.kind() {
        BlockKind::Cell { table, row, column } if column > 0 => {
            let [table, row] = [table, row].map(|place| place as usize);
            let head = (*reader.sheet.tables.get(table)?.cells.get(row)?.first()?)?;
            Some(reader.sheet.blocks[head].span)
        }
        _ => None,
    };
    let lead = || {
        let words = span.of(text);
        words
            .find(':')
            .map(|at| Span::new(span.start(), span.start() + at))
    };
    let words = block.key().or_else(row).or_else(lead)?.of(text);
    let name = words.split(['(', ',']).next()?.trim();
    let capital = name.starts_with(|letter: char| letter.is_uppercase());
    (capital && name.len() > 1 && name.len() <= LONGEST).then(|| name.to_lowercase())
}

/// Whether a sentence speaks of whom a score is by his name.
fn calls(reader: &Reader<'_>, sentence: usize, name: &str) -> bool {
    let words = reader.sheet.sentences[sentence]
        .span
        .of(reader.text())
        .to_lowercase();
    words.match_indices(name).any(|(at, _)| {
        let before = words
            .get(..at)
            .and_then(|before| before.chars().next_back());
        let after = words
            .get(at + name.len()..)
            .and_then(|after| after.chars().next());
        !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
    })
}

/// The same, and not only as whoever speaks: “Mr Dunn: a coin would do that.”
fn speaks_of(reader: &Reader<'_>, sentence: usize, name: &str) -> bool {
    let words = reader.sheet.sentences[sentence]
        .span
        .of(reader.text())
        .trim_start();
    let says = words
        .get(..name.len())
        .is_some_and(|first| first.to_lowercase() == name)
        && words[name.len()..].trim_start().starts_with(':');
    !says && calls(reader, sentence, name)
}
