//! How a test was run, gathered over the whole document: who knew which cable played, how levels were set, and what was
//! preferred. A test tells them in different places: the reel held up on the first page, the show of hands on the last.
//!
//! What was done is told as an action with its object (“held up .. the reel”, “knew .. which”, “bring .. the same loudness”) near
//! each other in one sentence; whether it was done is told by negations in its clause, or by the answer when it is asked.

mod presented;
mod stood;
mod unmeant;
mod voted;

use super::comparison::{self, ballot, counted, negated};
use super::read::{Owner, Reader, sentence_at};
use super::roles::Role;
use super::types::{Blinding, Fact, Matching};
use super::voices::{self, questioned};
use crate::lexicon::{ConceptId, Hit};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;
use unmeant::{read_off, told_a_user};

/// Words between an action and its object.
const REACH: usize = 7;
/// Words before an action in which a negation of its clause turns it round.
const SCOPE: usize = 9;
/// The same for a negation that is the subject: "nobody on either side of the curtain who voted knew which".
const WIDE: usize = 20;
/// Sentences behind a level in which somebody leaves it so.
const LEFT: usize = 2;
/// Least level that a meter in the room shows of music, in dB; less is a difference.
const HEARD: f64 = 40.0;
/// Levels farther apart than this, in dB, are matched only where it is told as a limit.
const ROUGH: f64 = 1.0;
/// Words before a limit.
const LIMITS: [&str; 8] = ["within", "to", "±", "under", "than", "by", "inside", "only"];
/// Bytes between a level and the words that say that it was matched.
const LEVEL_REACH: usize = 70;

/// Whether a thing was so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Held {
    Yes,
    No,
    Open,
}

/// Reads the procedure of the tests that the document tells of.
pub(super) fn read(reader: &mut Reader<'_>) {
    let mut knew: Vec<Fact<Blinding>> = Vec::new();
    let mut matching: Vec<Fact<Matching>> = Vec::new();
    let mut preferred: Vec<Span> = Vec::new();
    for sentence in 0..reader.sheet.sentences.len() {
        if reader.endless(sentence) {
            continue;
        }
        knowledge(reader, sentence, &mut knew);
        levels(reader, sentence, &mut matching);
        preferred.extend(preference(reader, sentence));
    }
    let addressed: Vec<Span> = knew
        .iter()
        .map(|fact| fact.span)
        .filter(|span| told_to(reader, *span))
        .collect();
    presented::half_blind(reader, &mut knew);
    // What is known in a raffle or of screws is no knowledge of what plays; what is known where votes are counted is, in a comparison.
    let judged = voted::beside_votes(reader, &knew, &preferred, &addressed);
    knew.retain(|fact| {
        let at = sentence_at(reader.sheet, fact.span.start());
        judged.contains(&fact.span)
            || (at.saturating_sub(2)..=(at + 2).min(reader.sheet.sentences.len().saturating_sub(1)))
                .any(|near| {
                    reader.hits.say(near, reader.terms.tried)
                        || (fact.value == Blinding::Blind
                            && (reader.hits.say(near, reader.terms.right)
                                || reader.hits.say(near, reader.terms.vote)))
                })
    });
    // Whoever doubts it, or did it on purpose, reports no result of it.
    let sentence_of = |span: Span| sentence_at(reader.sheet, span.start());
    let end = reader.sheet.sentences.len().saturating_sub(1);
    let doubted = |span: Span, reach: usize, concept: ConceptId| {
        let at = sentence_of(span);
        (at.saturating_sub(reach)..=(at + reach).min(end))
            .any(|near| reader.hits.say(near, concept))
    };
    // Words of others beside a test of one's own with care taken: “I announced each to my guests”.
    let careful = knew
        .iter()
        .any(|fact| fact.value == Blinding::Blind && !in_quotes(reader, fact.span))
        || matching.iter().any(|fact| {
            matches!(fact.value, Matching::Matched(Some(_))) && !in_quotes(reader, fact.span)
        });
    let kept = |fact: &Fact<Blinding>| {
        fact.value == Blinding::Blind
            || !((careful && in_quotes(reader, fact.span))
                || doubted(fact.span, 2, reader.terms.doubt)
                || doubted(fact.span, 2, reader.terms.outcome_gone)
                || questioned(reader, sentence_of(fact.span)))
    };
    let doubted_tests: Vec<Span> = knew
        .iter()
        .filter(|fact| !kept(fact))
        .map(|fact| fact.span)
        .collect();
    knew.retain(kept);
    matching.retain(|fact| {
        matches!(fact.value, Matching::Matched(_))
            || !(doubted(fact.span, 1, reader.terms.doubt)
                || doubted(fact.span, 0, reader.terms.levels_legit))
    });
    let hearsays: Vec<Span> = knew
        .iter()
        .map(|fact| fact.span)
        .filter(|span| hearsay(reader, *span))
        .collect();
    let voices = voices::read(reader);
    let setup = &mut reader.facts.setup;
    setup.voices = voices;
    setup.addressed = addressed;
    setup.doubted = doubted_tests;
    let sighted = knew.iter().find(|fact| fact.value == Blinding::Sighted);
    setup.blinding = sighted.or_else(|| knew.first()).copied();
    let unmatched = matching
        .iter()
        .find(|fact| matches!(fact.value, Matching::Unmatched | Matching::Left(_)));
    let within = matching
        .iter()
        .find(|fact| matches!(fact.value, Matching::Matched(Some(_))));
    setup.hearsay = hearsays;
    setup.matching = unmatched.or(within).or_else(|| matching.first()).copied();
    setup.knew = knew;
    setup.preferred = preferred;
}

/// Whether a word right before says that a thing was not there.
fn absent(reader: &Reader<'_>, thing: Span) -> bool {
    const NONE: [&str; 3] = ["no", "without", "nor"];
    let ahead = reader.text().get(..thing.start()).unwrap_or("").trim_end();
    let word = ahead.rsplit(|letter: char| !letter.is_alphabetic()).next();
    word.is_some_and(|word| NONE.iter().any(|none| word.eq_ignore_ascii_case(none)))
}

/// Who knew, as one sentence has it.
fn knowledge(reader: &Reader<'_>, sentence: usize, knew: &mut Vec<Fact<Blinding>>) {
    let terms = reader.terms;
    let mut add = |span: Span, value: Blinding| knew.push(Fact::new(value, span));
    // "Afterwards she told us which was on" is what was learnt when the votes were in.
    let learnt = |act: Hit| {
        reader
            .hits
            .saying(sentence, terms.told_after)
            .any(|hit| hit.last < act.first)
    };
    for hit in reader
        .hits
        .saying_any(sentence, &[terms.blind, terms.sighted])
    {
        if hit.concept == terms.blind {
            // "No curtain, no blindfold": what was not there hid nothing.
            if !absent(reader, hit.span) {
                add(hit.span, Blinding::Blind);
            }
        } else if hit.concept == terms.sighted {
            match held(reader, sentence, hit) {
                Held::Yes if learnt(hit) => {}
                Held::Yes => add(hit.span, Blinding::Sighted),
                Held::No => add(hit.span, Blinding::Blind),
                Held::Open => {}
            }
        }
    }
    // "Telling which one was X:" stands over the scores and says what was to be done.
    let is_task = |made: Hit| {
        made.first == 0
            && (reader.hits.saying(sentence, terms.told_task))
                .any(|hit| hit.first == 0 && hit.span.overlaps(made.span))
    };
    let verbs = [
        terms.knew,
        terms.announce,
        terms.watch,
        terms.told_verb,
        terms.seen_what,
        terms.hide,
    ];
    if !reader.hits.may_say(sentence, &verbs) {
        return;
    }
    for (verb, object) in [
        (terms.knew, terms.knew_which),
        (terms.announce, terms.announce_what),
        (terms.watch, terms.changeover),
        (terms.told_verb, terms.told_what),
        (terms.seen_what, terms.seen_where),
    ] {
        for made in pairs(reader, sentence, verb, object) {
            if is_task(made)
                || read_off(reader, sentence, made.span)
                || told_a_user(reader, sentence, made.span)
            {
                continue;
            }
            match held_within(reader, sentence, made) {
                Held::Yes if learnt(made) && verb != terms.watch => {}
                Held::Yes => add(made.span, Blinding::Sighted),
                Held::No => add(made.span, Blinding::Blind),
                Held::Open => {}
            }
        }
    }
    // "We have never seen the use in hiding labels." In "I could not hear it with the labels covered" something else is denied.
    for made in pairs(reader, sentence, terms.hide, terms.hide_what) {
        let covered = reader
            .hits
            .saying(sentence, terms.hide)
            .find(|act| act.span.start() > made.span.start() && act.span.end() == made.span.end());
        if covered.is_some_and(|act| !negated(reader, sentence, act.span)) {
            add(made.span, Blinding::Blind);
        } else if held_within(reader, sentence, made) == Held::No {
            add(made.span, Blinding::Sighted);
        }
    }
}

/// Whether it is somebody else's report that tells who knew: words of a report that say nothing of what was playing.
fn hearsay(reader: &Reader<'_>, span: Span) -> bool {
    let terms = reader.terms;
    let sentence = sentence_at(reader.sheet, span.start());
    let called = pairs(reader, sentence, terms.told_verb, terms.told_what);
    reader.hits.saying(sentence, terms.report).any(|hit| {
        !span.overlaps(hit.span) && !called.iter().any(|made| made.span.overlaps(hit.span))
    })
}

/// Whether words stand in quotation marks, as far as their block tells.
fn in_quotes(reader: &Reader<'_>, span: Span) -> bool {
    /// Longest quotation, in bytes.
    const QUOTED: usize = 4096;
    let block = reader.sheet.sentences[sentence_at(reader.sheet, span.start())].block();
    let start = reader.sheet.blocks[block].span.start();
    let near = span.start().saturating_sub(QUOTED);
    let start = start.max(reader.text().ceil_char_boundary(near));
    let before = Span::new(start.min(span.start()), span.start()).of(reader.text());
    let (opened, closed) = before
        .chars()
        .fold((0_usize, 0_usize), |(opened, closed), sign| match sign {
            '“' | '«' => (opened + 1, closed),
            '”' | '»' => (opened, closed + 1),
            '"' if opened > closed => (opened, closed + 1),
            '"' => (opened + 1, closed),
            _ => (opened, closed),
        });
    opened > closed
}

/// “You both knew which was on”: told to those who knew, by somebody who was not there or explains what it did.
fn told_to(reader: &Reader<'_>, span: Span) -> bool {
    /// Words between “you” and the act.
    const NEAR: usize = 2;
    let sentence = sentence_at(reader.sheet, span.start());
    let hits = reader.hits.of(sentence);
    hits.iter().any(|hit| {
        hit.concept == reader.terms.addressed
            && (span.contains(hit.span)
                || hits
                    .iter()
                    .filter(|act| act.span.start() >= span.start() && span.contains(act.span))
                    .map(|act| act.first)
                    .min()
                    .is_some_and(|first| first > hit.last && first <= hit.last + NEAR + 1))
    })
}

/// How levels were set, as one sentence has it.
fn levels(reader: &Reader<'_>, sentence: usize, matching: &mut Vec<Fact<Matching>>) {
    let terms = reader.terms;
    // So far apart as no matching leaves them: it is said of something else, unless it is told as a limit.
    let limited = |index: usize| {
        let quantity = &reader.sheet.quantities[index];
        let ahead = reader.text().get(..quantity.span.start()).unwrap_or("");
        quantity.si().is_none_or(|si| si.abs() <= ROUGH)
            || LIMITS.iter().any(|limit| ahead.trim_end().ends_with(limit))
    };
    let decibels = |span: Span| {
        reader
            .in_sentence(sentence)
            .filter(|&index| reader.sheet.quantities[index].kind == Kind::LevelDb)
            .filter(|&index| limited(index) && !stood::undone(reader, index, span))
            .find(|&index| apart(reader.sheet.quantities[index].span, span) < LEVEL_REACH)
            .and_then(|index| reader.sheet.quantities[index].si())
    };
    for hit in reader.hits.saying(sentence, terms.matched) {
        match held(reader, sentence, hit) {
            Held::No if decibels(hit.span).is_none() => {
                matching.push(Fact::new(Matching::Unmatched, hit.span));
            }
            Held::Yes | Held::No => {
                let within = decibels(hit.span);
                matching.push(Fact::new(Matching::Matched(within), hit.span));
            }
            Held::Open => {}
        }
    }
    // "Loudness was set at the terminals to within 0.05 dB", "the levels agreed within a tenth of a decibel".
    let within = |made: &Hit| {
        reader.in_sentence(sentence).any(|index| {
            let quantity = &reader.sheet.quantities[index];
            let ahead = reader.text().get(..quantity.span.start()).unwrap_or("");
            quantity.kind == Kind::LevelDb
                && (ahead.trim_end().ends_with("within") || stood::agreed_to(ahead))
                && apart(quantity.span, made.span) < LEVEL_REACH
        })
    };
    // “The three agreed to 0.4 dB.”
    let set = [terms.level_set, terms.level_alike]
        .into_iter()
        .flat_map(|verb| pairs(reader, sentence, verb, terms.level_thing))
        .filter(within);
    let acts = pairs(reader, sentence, terms.level_act, terms.level_thing)
        .into_iter()
        .chain(pairs(reader, sentence, terms.level_set, terms.level_same))
        .chain(set);
    for made in acts {
        match held_within(reader, sentence, made) {
            Held::No if decibels(made.span).is_none() => {
                matching.push(Fact::new(Matching::Unmatched, made.span));
            }
            Held::Yes | Held::No => {
                if let Some(within) = decibels(made.span) {
                    matching.push(Fact::new(Matching::Matched(Some(within)), made.span));
                }
            }
            Held::Open => {}
        }
    }
    matching.extend(stood::apart(reader, sentence, limited));
    let block = |at: usize| reader.sheet.sentences[at].block();
    let let_pass = |at: usize| {
        at < reader.sheet.sentences.len()
            && (at <= sentence + 1 || block(at) == block(sentence))
            && reader.hits.say(at, terms.let_pass)
    };
    let passed = |at: usize| {
        let_pass(at)
            && reader
                .hits
                .saying(at, terms.let_pass)
                .any(|hit| held(reader, at, hit) == Held::Yes)
    };
    // "81.2 dB for the Alder and 82.1 dB for the Birch. It was decided that this was near enough."
    let sides = reader
        .resolved
        .of(sentence)
        .iter()
        .filter(|(_, owner)| matches!(owner, Owner::One(_)))
        .count();
    let read: Vec<(f64, Span)> = reader
        .in_sentence(sentence)
        .filter(|&index| reader.sheet.quantities[index].kind == Kind::LevelDb)
        .filter_map(|index| {
            let quantity = &reader.sheet.quantities[index];
            let level = quantity.si().filter(|level| *level >= HEARD)?;
            Some((level, quantity.span))
        })
        .collect();
    if let (&[(one, first), (other, second)], true) = (read.as_slice(), sides >= 2) {
        let apart = (one - other).abs();
        if apart > 0.1 && (sentence..=sentence + LEFT).any(passed) {
            matching.push(Fact::new(Matching::Left(apart), first.join(second)));
        }
    }
    // "The thing said 1.2 dB between the two. We let that be."
    for index in reader.in_sentence(sentence) {
        let quantity = &reader.sheet.quantities[index];
        let stated = reader.roles[index] == Role::Level
            && quantity.si().is_some_and(|si| si > 0.1)
            && reader.hits.say(sentence, terms.level_apart);
        if stated && (sentence..=sentence + LEFT).any(let_pass) {
            let within = quantity.si().unwrap_or_default();
            matching.push(Fact::new(Matching::Left(within), quantity.span));
        }
    }
}

/// Words by which a sentence reports that one side was liked better.
fn preference(reader: &Reader<'_>, sentence: usize) -> Option<Span> {
    let terms = reader.terms;
    let liking = [terms.better, terms.strong, terms.vote];
    if !reader.hits.may_say(sentence, &liking) && !counted(reader, sentence) {
        return None;
    }
    if asked(reader, sentence) || questioned(reader, sentence) {
        return None;
    }
    // "Resistance up by a per cent and a half!" is read off a bridge.
    let read_off = [terms.r_word, terms.r_loop]
        .iter()
        .any(|&concept| reader.hits.say(sentence, concept));
    if read_off && !reader.hits.say(sentence, terms.vote) && !counted(reader, sentence) {
        return None;
    }
    // "This year nobody knows, and the preference has gone"; "most customers choose the thicker one".
    if reader.hits.say(sentence, terms.outcome_gone) || reader.hits.say(sentence, terms.bought) {
        return None;
    }
    let block = &reader.sheet.blocks[reader.sheet.sentences[sentence].block()];
    if matches!(block.kind(), BlockKind::Heading { .. }) {
        return None;
    }
    reader
        .hits
        .saying_any(sentence, &liking)
        .find(|hit| {
            !reader
                .terms
                .lists
                .outcome_vague
                .has(&hit.span.of(reader.text()).to_lowercase())
                && !at_least(reader.text(), hit.span)
                && !comparison::at_a_place(reader.text(), hit.span)
                && held(reader, sentence, *hit) == Held::Yes
        })
        .map(|hit| hit.span)
        .or_else(|| ballot(reader, sentence))
}

/// Whether a word for the better only says of a number that it is the least: “a damping factor of 80 or better”.
fn at_least(text: &str, words: Span) -> bool {
    let ahead = text.get(..words.start()).unwrap_or("").trim_end();
    ahead.strip_suffix("or").is_some_and(|ahead| {
        ahead.split_whitespace().next_back().is_some_and(|number| {
            number.ends_with(|sign: char| sign.is_ascii_digit() || sign == '%')
        })
    })
}

/// Whether words for what is known only go on about a thing: “the plait for which they hold a patent”.
fn relative(reader: &Reader<'_>, object: Span) -> bool {
    let text = reader.text();
    let ahead = text.get(..object.start()).unwrap_or("").trim_end();
    let before = ahead.rsplit(' ').next().unwrap_or("");
    object.of(text).starts_with("which") && reader.terms.lists.which_relative.has(before)
}

/// Places of a sentence where an action and its object stand near each other, in either order.
fn pairs(reader: &Reader<'_>, sentence: usize, verb: ConceptId, object: ConceptId) -> Vec<Hit> {
    if !(reader.hits.say(sentence, verb) && reader.hits.say(sentence, object)) {
        return Vec::new();
    }
    let hits = reader.hits.of(sentence);
    let mut found: Vec<Hit> = Vec::new();
    for act in hits.iter().filter(|hit| hit.concept == verb) {
        let nearest = hits
            .iter()
            .filter(|hit| hit.concept == object && !hit.span.overlaps(act.span))
            .filter(|hit| !relative(reader, hit.span))
            .map(|hit| {
                let between = if hit.first > act.last {
                    hit.first - act.last
                } else {
                    act.first.saturating_sub(hit.last)
                };
                (between, hit)
            })
            .filter(|(between, _)| *between <= REACH + 1)
            .min_by_key(|(between, _)| *between);
        if let Some((_, what)) = nearest {
            found.push(Hit {
                concept: verb,
                span: act.span.join(what.span),
                first: act.first.min(what.first),
                last: act.last.max(what.last),
            });
        }
    }
    found
}

/// Whether what is said at `hit` is affirmed, as far as negations, questions and conditions go.
pub(super) fn affirmed(reader: &Reader<'_>, sentence: usize, hit: Hit) -> bool {
    held(reader, sentence, hit) == Held::Yes
}

/// Whether what is said at `hit` was so: by the negations of its clause, or by the answer when it is asked. A negation that is
/// part of the words ("cannot be luck") is none of them.
fn held(reader: &Reader<'_>, sentence: usize, hit: Hit) -> Held {
    judge(reader, sentence, hit, false)
}

/// The same for an action with its object, between which a negation counts ("told nobody which").
fn held_within(reader: &Reader<'_>, sentence: usize, hit: Hit) -> Held {
    judge(reader, sentence, hit, true)
}

fn judge(reader: &Reader<'_>, sentence: usize, hit: Hit, within: bool) -> Held {
    let terms = reader.terms;
    let hits = reader.hits;
    if asked(reader, sentence)
        || hits
            .saying(sentence, terms.ask_whether)
            .any(|other| other.last < hit.first)
    {
        return answer(reader, sentence);
    }
    if hits
        .saying(sentence, terms.suppose)
        .any(|other| other.last < hit.first)
    {
        return Held::Open;
    }
    let mut denials = hits.saying(sentence, terms.say_not).filter(|other| {
        !hits
            .saying(sentence, terms.say_plainly)
            .any(|plain| plain.span.overlaps(other.span))
            && other.first <= hit.last
            && (within || !hit.span.contains(other.span))
            && (other.first + WIDE >= hit.first && titles(reader, *other, hit)
                || (other.first + SCOPE >= hit.first
                    || (other.first + WIDE >= hit.first && hits_nobody(reader, sentence, *other)))
                    && !(other.last < hit.first && bordered(reader, other.span, hit.span)))
    });
    if denials.next().is_some() {
        Held::No
    } else {
        Held::Yes
    }
}

/// Whether a negation leads to a colon before what is said: “What it doesn't show: that two leads can be told apart”.
fn titles(reader: &Reader<'_>, denial: Hit, hit: Hit) -> bool {
    const NEAR: usize = 12;
    let from = denial.span.end();
    from < hit.span.start() && {
        let between = Span::new(from, hit.span.start()).of(reader.text());
        between.find(':').is_some_and(|at| at <= NEAR)
    }
}

/// Whether a negation is somebody who is not there.
fn hits_nobody(reader: &Reader<'_>, sentence: usize, denial: Hit) -> bool {
    reader
        .hits
        .saying(sentence, reader.terms.say_nobody)
        .any(|hit| hit.span.overlaps(denial.span))
}

/// Whether a clause ends between two words.
fn bordered(reader: &Reader<'_>, first: Span, second: Span) -> bool {
    if first.end() >= second.start() {
        return false;
    }
    let between = Span::new(first.end(), second.start()).of(reader.text());
    reader.terms.lists.clause_step.within(between)
}

/// Whether a sentence is a question.
pub(super) fn asked(reader: &Reader<'_>, sentence: usize) -> bool {
    reader.sheet.sentences[sentence]
        .span
        .of(reader.text())
        .trim_end_matches([' ', '"', '”', '’', '\'', ')', '\n'])
        .ends_with('?')
}

/// Whether the sentence after a question says yes to it.
pub(super) fn answered_yes(reader: &Reader<'_>, sentence: usize) -> bool {
    answer(reader, sentence) == Held::Yes
}

/// What the sentence after a question answers.
fn answer(reader: &Reader<'_>, sentence: usize) -> Held {
    const FIRST: usize = 7;
    let next = sentence + 1;
    if next >= reader.sheet.sentences.len() || asked(reader, next) {
        return Held::Open;
    }
    let early = |concept: ConceptId| {
        reader
            .hits
            .saying(next, concept)
            .filter(|hit| hit.first < FIRST)
            .map(|hit| hit.first)
            .min()
    };
    match (early(reader.terms.say_yes), early(reader.terms.say_not)) {
        (Some(yes), Some(no)) if yes < no => Held::Yes,
        (_, Some(_)) => Held::No,
        (Some(_), None) => Held::Yes,
        (None, None) => Held::Open,
    }
}

fn apart(a: Span, b: Span) -> usize {
    if a.overlaps(b) {
        return 0;
    }
    a.start().abs_diff(b.end()).min(b.start().abs_diff(a.end()))
}
