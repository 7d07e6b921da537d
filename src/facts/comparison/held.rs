//! What is varied between the sides and what is held the same. Knows nothing of who came out better.

use crate::facts::context::borders;
use crate::facts::read::Reader;
use crate::facts::types::Subject;
use crate::lexicon::{ConceptId, List, tokenize};
use crate::sheet::BlockKind;
use crate::span::Span;
use std::ops::Range;

/// "Identical in metal, cross-section and length", "of the same gauge": of two sides the one takes from the other what is said
/// to be the same and is told of the other alone.
pub(super) fn inherit(reader: &mut Reader<'_>) {
    let sides: Vec<usize> = (0..reader.facts.cables.len())
        .filter(|&cable| {
            !reader.roster.entries[cable].merged && !reader.facts.cables[cable].mentions.is_empty()
        })
        .collect();
    let (true, &[first, second]) = (reader.comparative, sides.as_slice()) else {
        return;
    };
    let whole = 0..reader.sheet.sentences.len();
    let held = |concept| held_alike(reader, concept, &whole);
    let terms = reader.terms;
    let (size, length, metal) = (
        held(terms.subject_size),
        held(terms.subject_length),
        held(terms.subject_metal),
    );
    for (from, to) in [(first, second), (second, first)] {
        let (sizes, lengths, metals) = {
            let known = &reader.facts.cables[from];
            (
                known.sizes.clone(),
                known.lengths.clone(),
                known.metals.clone(),
            )
        };
        let cable = &mut reader.facts.cables[to];
        if size && cable.sizes.is_empty() {
            cable.sizes = sizes;
        }
        if length && cable.lengths.is_empty() {
            cable.lengths = lengths;
        }
        if metal && cable.metals.is_empty() {
            cable.metals = metals;
        }
    }
}

/// “The Larch, and a 1.5 mm² pair … the other”: of two that were told of, the one that is called by nothing but its size is the
/// other, not a third.
pub(super) fn other_by_size(reader: &mut Reader<'_>) {
    let cables: Vec<usize> = (0..reader.facts.cables.len())
        .filter(|&cable| {
            let told = &reader.facts.cables[cable];
            let known = !told.mentions.is_empty() || !told.sizes.is_empty();
            known && !reader.roster.entries[cable].merged
        })
        .collect();
    let known = |cable: usize| !reader.facts.cables[cable].sizes.is_empty();
    let by_size = |cable: usize| {
        reader.facts.cables[cable]
            .name
            .starts_with(|letter: char| letter.is_ascii_digit())
            && reader
                .terms
                .lists
                .side_size_end
                .ends(&reader.facts.cables[cable].name.to_lowercase())
    };
    let others = |cable: usize| reader.facts.cables[cable].name == OTHER && !known(cable);
    let (&[first, second, third], true) = (cables.as_slice(), reader.comparative) else {
        return;
    };
    let all = [first, second, third];
    let sole = |of: &dyn Fn(usize) -> bool| {
        let mut found = all.into_iter().filter(|&cable| of(cable));
        found.next().filter(|_| found.next().is_none())
    };
    let (Some(sized), Some(other)) = (sole(&by_size), sole(&others)) else {
        return;
    };
    let rest = all
        .into_iter()
        .find(|&cable| cable != sized && cable != other);
    if !rest.is_some_and(known) || !known(sized) {
        return;
    }
    let mut told = std::mem::take(&mut reader.facts.cables[sized]);
    let cable = &mut reader.facts.cables[other];
    told.name = std::mem::take(&mut cable.name);
    told.mentions = std::mem::take(&mut cable.mentions);
    if told.lengths.is_empty() {
        told.lengths = std::mem::take(&mut cable.lengths);
    }
    if told.metals.is_empty() {
        told.metals = std::mem::take(&mut cable.metals);
    }
    *cable = told;
    reader.roster.entries[sized].merged = true;
}

/// What a cable is called that is told of as the other of two.
const OTHER: &str = "the other";

/// Whether a sentence of a stretch says that a property is the same in all.
pub(super) fn held_alike(reader: &Reader<'_>, concept: ConceptId, range: &Range<usize>) -> bool {
    let equal = reader.terms.lists.held_equal;
    range.clone().any(|sentence| {
        !reader.endless(sentence)
            && reader.hits.saying(sentence, concept).any(|hit| {
                held_by(reader, sentence, hit.span, equal)
                    || listed_alike(reader, sentence, hit.span)
            })
    })
}

/// "Identical in metal, cross-section and length": the word stands before the list.
fn listed_alike(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    let start = reader.sheet.sentences[sentence].span.start();
    let before = Span::new(start, words.start().max(start))
        .of(reader.text())
        .to_lowercase();
    reader
        .terms
        .lists
        .held_list
        .entries()
        .filter_map(|cue| before.rfind(cue).map(|at| &before[at..]))
        .any(|list| list.len() < 60 && !list.contains([';', '.', ':']))
}

/// Words between what is varied and the word that says that it is what is varied.
const DECLARED: usize = 8;

/// What the document says its test is of: the subject words in a sentence that declares or explains.
pub(super) fn subjects(reader: &Reader<'_>) -> Vec<Subject> {
    let terms = reader.terms;
    let mut subjects = Vec::new();
    for (concept, subject) in [
        (terms.subject_size, Subject::Size),
        (terms.subject_length, Subject::Length),
        (terms.subject_metal, Subject::Metal),
    ] {
        for sentence in 0..reader.sheet.sentences.len() {
            let hits = reader.hits.of(sentence);
            if !reader.hits.may_say(sentence, &[concept]) {
                continue;
            }
            // "Somebody will ask whether it is because ours is the fatter one" declares nothing.
            if reader.hits.say(sentence, terms.ask_whether) {
                continue;
            }
            let says = reader.hits.saying(sentence, concept).find(|hit| {
                !measures(reader, sentence, hit.span)
                    && !of_another_thing(reader, hit.span)
                    && !as_much(reader.text(), hit.span)
            });
            let Some(says) = says else { continue };
            let heading = matches!(
                reader.sheet.blocks[reader.sheet.sentences[sentence].block()].kind(),
                BlockKind::Heading { .. }
            );
            let declares = hits.iter().any(|hit| {
                let between = if hit.first > says.last {
                    hit.first - says.last
                } else {
                    says.first.saturating_sub(hit.last)
                };
                let told = hit.concept == terms.subject_only
                    || (hit.concept == terms.credit_cue && hit.last < says.first);
                // "We put it down to the plugs: less metal in the path."
                let part = reader
                    .hits
                    .saying(sentence, terms.credit_part)
                    .any(|part| part.first > hit.last && part.last < says.first);
                told && !part && !denied(reader, says.span, hit.span) && between <= DECLARED && {
                    let (first, last) = if hit.span.start() < says.span.start() {
                        (hit.span, says.span)
                    } else {
                        (says.span, hit.span)
                    };
                    first.end() >= last.start()
                        || borders(Span::new(first.end(), last.start()).of(reader.text())) <= 1
                }
            });
            // "Fatter means more room. That's the only thing we changed."
            let changed = (sentence + 1..=sentence + 2).any(|next| {
                let block = |at: usize| reader.sheet.sentences.get(at).map(|one| one.block());
                block(next) == block(sentence) && reader.hits.say(next, terms.subject_changed)
            });
            if (declares || changed || heading) && !same_of(reader, sentence, says.span) {
                subjects.push(subject);
                break;
            }
        }
    }
    subjects
}

/// "Thickness cannot be the reason", "the length was not what did it": of what is said to be no cause the test is not.
fn denied(reader: &Reader<'_>, says: Span, told: Span) -> bool {
    let behind = says.end() <= told.start();
    behind
        && Span::new(says.end(), told.end())
            .of(reader.text())
            .to_lowercase()
            .split(|letter: char| !letter.is_alphabetic() && letter != '\'' && letter != '’')
            .any(|word| {
                matches!(word, "not" | "cannot" | "nor" | "never")
                    || word.ends_with("n't")
                    || word.ends_with("n’t")
            })
}

/// "On a long string": what is long is no cable.
fn of_another_thing(reader: &Reader<'_>, words: Span) -> bool {
    const BARE: &[&str] = &["long", "thick", "thin", "heavy", "fat", "short"];
    let text = reader.text();
    let behind = text.get(words.end()..).unwrap_or("");
    let next = behind
        .strip_prefix(' ')
        .and_then(|behind| behind.split(|sign: char| !sign.is_alphabetic()).next())
        .unwrap_or("");
    let lists = reader.terms.lists;
    let ahead = text.get(..words.start()).unwrap_or("");
    // "It no longer tenses up."
    if ahead.ends_with(" no ") || ahead.ends_with(" any ") {
        return true;
    }
    // "Long-term test."
    let compound = behind
        .strip_prefix('-')
        .is_some_and(|behind| behind.starts_with(char::is_alphabetic));
    if compound && BARE.contains(&words.of(text).to_lowercase().as_str()) {
        return true;
    }
    // "3 m, because that is the distance from the rack": why it is so long.
    let told = words.of(text).to_lowercase();
    if told.starts_with("distance")
        && [" from ", " between ", " to "]
            .iter()
            .any(|rest| behind.starts_with(rest))
    {
        return true;
    }
    // "If a guest asks about the metal", "they lent us the only size that was left", "how to flatten a metal".
    let apart = [
        "ask for the ",
        "asks for the ",
        "asked for the ",
        "ask about the ",
        "asks about the ",
        "asked about the ",
        "the only ",
    ];
    let lower = ahead
        .get(ahead.len().saturating_sub(16)..)
        .unwrap_or("")
        .to_lowercase();
    if apart.iter().any(|words| lower.ends_with(words))
        || (told == "metal" && lower.ends_with(" a "))
    {
        return true;
    }
    // "Few would have thought of wire that thin."
    let ends = behind.starts_with(['.', ',', ';', '!', '?']);
    if ends && lower.ends_with(" that ") && BARE.contains(&told.as_str()) {
        return true;
    }
    // "We put this down to what surrounds the metal."
    if [
        "surrounds the ",
        "surrounding the ",
        "around the ",
        "covers the ",
    ]
    .iter()
    .any(|words| ahead.ends_with(words))
    {
        return true;
    }
    let led = [
        "a ", "the ", "his ", "her ", "my ", "our ", "that ", "this ",
    ]
    .iter()
    .any(|article| text.get(..words.start()).unwrap_or("").ends_with(article));
    led && BARE.contains(&words.of(text).to_lowercase().as_str())
        && next.starts_with(|letter: char| letter.is_lowercase())
        && !lists.stranger_noun.has(next)
        && !lists.thick_one.has(next)
}

/// "It is only 2 m long", "plain fourteen gauge": the word says what the number is of, and declares nothing.
fn measures(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    reader.in_sentence(sentence).any(|index| {
        let amount = reader.sheet.quantities[index].span;
        let end = amount.end();
        amount.overlaps(words) || (end <= words.start() && words.start() - end <= 1)
    })
}

/// "Of the same gauge", "equal lengths": the words say that the property was held, not varied.
fn same_of(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    held_by(reader, sentence, words, reader.terms.lists.held_word) || same_behind(reader, words)
}

/// "As the gauge is the same", "the lengths were equal".
fn same_behind(reader: &Reader<'_>, words: Span) -> bool {
    let lists = reader.terms.lists;
    let behind = reader.text().get(words.end()..).unwrap_or("");
    let mut next = behind
        .split([' ', '\n'])
        .filter(|word| !word.is_empty() && *word != "the" && *word != "exactly");
    let be = next.next().is_some_and(|word| lists.gear_be.has(word));
    let alike = next.next().unwrap_or("");
    let alike = alike.trim_end_matches(|sign: char| !sign.is_alphabetic());
    be && lists.held_equal.has(alike)
}

/// Whether one of `before` stands within three words before `words`.
pub(super) fn held_by(reader: &Reader<'_>, sentence: usize, words: Span, before: List<'_>) -> bool {
    let mut tokens = Vec::new();
    tokenize(
        reader.text(),
        reader.sheet.sentences[sentence].span,
        &mut tokens,
    );
    let Some(at) = tokens
        .iter()
        .position(|token| token.span.end() > words.start())
    else {
        return false;
    };
    tokens[at.saturating_sub(3)..at]
        .iter()
        .any(|token| before.has(&token.span.of(reader.text()).to_lowercase()))
}

/// Whether a word only likens an amount: “as long as the photographer wanted”.
fn as_much(text: &str, words: Span) -> bool {
    let ahead = text.get(..words.start()).unwrap_or("");
    let behind = text.get(words.end()..).unwrap_or("");
    ahead.ends_with(" as ") && behind.starts_with(" as ")
}
