//! Names that begin with a capital and behave like a cable. Knows the words around a name; what else the document says of it
//! counts for nothing here but sizes and lengths beside it.

use super::firms::{firm, first_of_two, group, trail};
use super::introduced::{Introduced, Numbered};
use super::labels::{self, is_number, symbol};
use super::large::{SetLarge, stands_for};
use super::titled;
use super::{Roster, Told, strip_possessive, within};
use crate::facts::terms::Terms;
use crate::lexicon::{Hits, Of, Token, tokenize};
use crate::sheet::{BlockKind, Sheet};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

impl Roster {
    /// Names that begin with a capital inside a sentence and behave like a cable.
    pub(super) fn find_names(&mut self, sheet: &Sheet, hits: &Hits, terms: &Terms, told: Told<'_>) {
        /// What shows well enough that a name is that of a cable.
        const SURE: i32 = 4;
        let Told {
            sizes,
            lengths,
            measures,
        } = told;
        let text = sheet.flow.text();
        let lists = terms.lists;
        let mut tokens: Vec<Token> = Vec::new();
        let mut scores: FxHashMap<String, i32> = FxHashMap::default();
        let mut order: Vec<String> = Vec::new();
        let mut people: FxHashSet<String> = FxHashSet::default();
        let mut inside: FxHashSet<String> = FxHashSet::default();
        let mut starts: FxHashMap<String, i32> = FxHashMap::default();
        let mut frames: FxHashMap<String, String> = FxHashMap::default();
        let mut framed: FxHashSet<String> = FxHashSet::default();
        let mut sided = titled::Sided::default();
        let mut introduced = Introduced::default();
        let mut numbered = Numbered::default();
        let set_large = SetLarge::of(sheet, terms);
        for (index, sentence) in sheet.sentences.iter().enumerate() {
            let block = &sheet.blocks[sentence.block()];
            if matches!(block.kind(), BlockKind::Heading { .. }) {
                continue;
            }
            tokenize(text, sentence.span, &mut tokens);
            let key_end = block.key().map_or(0, |key| key.end());
            let listed = coordinated(text, &tokens, hits.of(index), terms);
            let mut at = 0;
            while at < tokens.len() {
                let large = || {
                    let called = set_large.begins(text, tokens[at].span);
                    (called && !stands_for(terms, hits.of(index), at)).then_some(1)
                };
                let Some(run) = name_run(terms, text, &tokens, at).or_else(large) else {
                    at += 1;
                    continue;
                };
                let first = tokens[at].span;
                let last = tokens[at + run - 1].span;
                let span = first.join(last);
                let name = strip_possessive(span.of(text)).to_owned();
                let before = at
                    .checked_sub(1)
                    .map(|index| tokens[index].span.of(text).to_lowercase());
                let after = tokens
                    .get(at + run)
                    .map(|token| token.span.of(text).to_lowercase());
                // More capitals behind: the name of a fair, a house or a title, not of a cable.
                let more = tokens.get(at + run).is_some_and(|token| {
                    let word = token.span.of(text);
                    run == 3
                        && word.starts_with(char::is_uppercase)
                        && Span::new(span.end(), token.span.start()).of(text) == " "
                });
                at += run;
                if more {
                    while tokens
                        .get(at)
                        .is_some_and(|token| token.span.of(text).starts_with(char::is_uppercase))
                    {
                        at += 1;
                    }
                    continue;
                }
                if span.start() < key_end || firm(terms, text, span, run) {
                    continue;
                }
                // "Solid silver, 14 AWG": how a cable is made and no name, but for "the Straight".
                let article = before.as_deref() == Some("the");
                if run == 1 && !article && lists.name_made.has(&name.to_lowercase()) {
                    continue;
                }
                if run == 1 && symbol(sheet, span) {
                    continue;
                }
                if group(terms, text, &tokens, at)
                    || trail(text, span)
                    || first_of_two(terms, text, span)
                {
                    continue;
                }
                // "Lastly, the lamp cord on your sketch".
                let adverb = run == 1
                    && name.ends_with("ly")
                    && span.start() <= sentence.span.start() + 3
                    && text
                        .get(span.end()..)
                        .is_some_and(|rest| rest.starts_with(','));
                if adverb {
                    continue;
                }
                introduced.see(
                    text,
                    terms,
                    (sentence.block(), &name),
                    (&tokens, at),
                    hits.of(index),
                    of_sentence(sizes, index),
                );
                let own = of_sentence(sizes, index);
                numbered.see(sheet, (&name, span), tokens.get(at), own);
                // A number or a step before it does not put a word inside a sentence.
                let led = at
                    .checked_sub(run + 1)
                    .map(|index| tokens[index].span)
                    .filter(|word| Span::new(word.end(), span.start()).of(text).trim().len() <= 1)
                    .filter(|word| word.of(text).starts_with(char::is_alphabetic));
                // "Our larger type, “Cinder”, is plain copper".
                let quoted = matches!(block.kind(), BlockKind::Paragraph)
                    && block.key().is_none()
                    && is_quoted(text, span);
                let lone_start = run == 1 && led.is_none() && !quoted;
                if after
                    .as_deref()
                    .is_some_and(|word| lists.name_label.has(word))
                    && lone_start
                    && !labels::labelled_behind(text, terms, span)
                {
                    continue;
                }
                // "Nightjar, the new cable of the works": what it is stands behind it.
                let apposed = apposition(text, &tokens, at, hits.of(index), terms);
                if led.is_some() || run > 1 || apposed || quoted {
                    inside.insert(name.clone());
                }
                let mut score = 0;
                if apposed || set_large.has(&name) {
                    score += 3;
                }
                if quoted {
                    score += 2;
                }
                // "Calder (side L), 12 AWG": its label stands behind it in brackets.
                if labels::labelled_behind(text, terms, span) {
                    score += 4;
                    inside.insert(name.clone());
                }
                // "Three cables went round: Gale, Squall and Zephyr."
                if listed.iter().any(|other| other.overlaps(span)) {
                    score += 3;
                    inside.insert(name.clone());
                }
                let titled = before
                    .as_deref()
                    .is_some_and(|word| lists.name_title.has(word) || lists.name_office.has(word));
                if after
                    .as_deref()
                    .is_some_and(|word| lists.name_place_behind.has(word))
                {
                    continue;
                }
                // "The Sablewood “Trellis”": who makes it stands before the name.
                let quoted_next = text
                    .get(span.end()..)
                    .and_then(|after| {
                        after
                            .trim_start_matches(' ')
                            .strip_prefix(['"', '“', '«', '‘'])
                    })
                    .is_some_and(|after| after.starts_with(char::is_uppercase));
                if quoted_next && text.get(span.end()..span.end() + 1) == Some(" ") {
                    people.insert(name.clone());
                    continue;
                }
                // "The tall Pellegrue columns": who makes loudspeakers or amplifiers. "The new Heddle loudspeaker lead" is a lead.
                let led_by_it = hits
                    .saying(index, terms.cable)
                    .any(|hit| hit.first == at || hit.first == at + 1);
                let gear = !led_by_it
                    && hits
                        .saying_any(index, &[terms.speaker, terms.amplifier])
                        .any(|hit| {
                            hit.first == at && text.get(span.end()..hit.span.start()) == Some(" ")
                        });
                if gear {
                    people.insert(name.clone());
                    continue;
                }
                // "Contact for the press: Ada Rill".
                let person = block.key().is_some_and(|key| {
                    let mut words = key.of(text).split_whitespace();
                    words.any(|word| lists.name_person_key.has(&word.to_lowercase()))
                });
                if person {
                    people.insert(name.clone());
                    continue;
                }
                let thing = before
                    .as_deref()
                    .is_some_and(|word| matches!(word, "the" | "our" | "a"));
                // "Jim's amp and Jim's loudspeakers": whoever owns what is no cable.
                let owns = strip_possessive(last.of(text)).len() < last.len()
                    && after
                        .as_deref()
                        .is_some_and(|word| lists.name_owned.has(word));
                if titled
                    || owns
                    || (!thing
                        && after
                            .as_deref()
                            .is_some_and(|word| lists.name_speech.has(word)))
                {
                    people.insert(name.clone());
                    continue;
                }
                if before
                    .as_deref()
                    .is_some_and(|word| lists.name_place_before.has(word))
                {
                    continue;
                }
                // "The round Coppice" as well as "the Coppice".
                let led_by = at
                    .checked_sub(run + 2)
                    .map(|index| tokens[index].span.of(text).to_lowercase())
                    .filter(|word| matches!(word.as_str(), "the" | "our" | "their" | "his"))
                    .filter(|_| {
                        led.is_some_and(|word| word.of(text).starts_with(char::is_lowercase))
                    });
                if before
                    .as_deref()
                    .is_some_and(|word| lists.name_thing_before.has(word))
                    || led_by.is_some()
                {
                    score += 2;
                }
                let near_cable = hits
                    .saying(index, terms.cable)
                    .any(|hit| close(text, span, hit.span, 12));
                if near_cable {
                    score += 2;
                }
                if of_sentence(sizes, index)
                    .iter()
                    .any(|&(_, size)| within(text, span, size, 60, 1))
                {
                    score += 2;
                }
                // "The Calder has 5.2 mΩ/m", "the 8.3 mΩ/m of the Dunmore".
                if of_sentence(measures, index)
                    .iter()
                    .any(|&(_, measure)| within(text, span, measure, 14, 0))
                {
                    score += 2;
                }
                if hits
                    .saying(index, terms.versus)
                    .any(|hit| close(text, span, hit.span, 24))
                {
                    score += 1;
                }
                // "The Culm got five votes and the Fescue three."
                if before.as_deref() == Some("the")
                    && run == 1
                    && sheet.tables.is_empty()
                    && hits
                        .saying(index, terms.vote)
                        .any(|hit| close(text, span, hit.span, 24))
                {
                    score += 1;
                }
                let told = |concept| {
                    hits.saying(index, concept)
                        .any(|hit| within(text, span, hit.span, 40, 1))
                };
                if told(terms.copper)
                    || told(terms.silver)
                    || told(terms.aluminium)
                    || told(terms.cca)
                {
                    score += 1;
                }
                if run > 1 && led.is_some() {
                    score += 1;
                }
                // "The Sallow was 7 m."
                if of_sentence(lengths, index)
                    .iter()
                    .any(|&(_, length)| within(text, span, length, 30, 0))
                {
                    score += 1;
                }
                // "Dunmore (16 AWG) outperforms Calder (12 AWG)."
                let told = of_sentence(sizes, index);
                let cell = matches!(block.kind(), BlockKind::Cell { .. });
                let begins = span.start() <= sentence.span.start().max(key_end) + 3;
                // "HX Fourteen" is called by more than its last word.
                let part = led.is_some_and(|word| {
                    word.of(text).starts_with(char::is_uppercase)
                        && Span::new(word.end(), span.start()).of(text) == " "
                });
                let against: Vec<Span> = hits
                    .saying(index, terms.versus)
                    .map(|hit| hit.span)
                    .collect();
                let behind_key = begins && block.key().is_some();
                if !(cell || part || behind_key || told.is_empty())
                    && [told, of_sentence(lengths, index)].iter().any(|values| {
                        let place = (begins, sentence.span);
                        titled::framed(text, span, place, values, &against)
                    })
                {
                    framed.insert(name.clone());
                }
                let values = [told, of_sentence(lengths, index)];
                sided.see(text, terms, (block, sentence.span), span, values);
                if lone_start && !apposed {
                    score -= 2;
                    starts
                        .entry(name.clone())
                        .and_modify(|count| *count += 1)
                        .or_insert(1);
                }
                // "For the Larch we set 8 V. For the Alder we set 7 V."
                if let (Some(before), Some(after), Some(start)) =
                    (before.as_deref(), after.as_deref(), at.checked_sub(run + 2))
                {
                    let frame = format!(
                        "{} {before} _ {after}",
                        tokens[start].span.of(text).to_lowercase()
                    );
                    match frames.entry(frame) {
                        std::collections::hash_map::Entry::Vacant(free) => {
                            free.insert(name.clone());
                        }
                        std::collections::hash_map::Entry::Occupied(known)
                            if *known.get() != name =>
                        {
                            score += 2;
                            if let Some(other) = scores.get_mut(known.get()) {
                                *other += 2;
                            }
                        }
                        std::collections::hash_map::Entry::Occupied(_) => {}
                    }
                }
                let entry = scores.entry(name.clone()).or_insert_with(|| {
                    order.push(name.clone());
                    0
                });
                *entry += score + 1;
            }
        }
        // "The Tern, which was 3 m, and the Heron, 9 m": one may be told otherwise.
        let sure = scores
            .iter()
            .any(|(name, score)| *score >= SURE && inside.contains(name) && !framed.contains(name));
        if framed.len() >= 2 || sure && !framed.is_empty() {
            titled::leave_common(sheet, &mut framed);
        }
        if framed.len() >= 2 || sure && !framed.is_empty() {
            for name in framed {
                *scores.entry(name.clone()).or_default() += 4;
                inside.insert(name);
            }
        }
        for name in sided.names().into_iter().chain(introduced.names()) {
            *scores.entry(name.clone()).or_default() += 4;
            people.remove(&name);
            inside.insert(name);
        }
        // A maker may have given his name to all that he sells ("Mrs Tessel", "the Tessel Prime").
        let people: FxHashSet<&str> = people.iter().flat_map(|person| person.split(' ')).collect();
        let chosen: Vec<String> = order
            .iter()
            .filter(|name| {
                // Whoever is named inside a sentence may begin another.
                scores[*name] + starts.get(*name).copied().unwrap_or(0) >= SURE
                    && inside.contains(*name)
                    && !people.contains(name.rsplit(' ').next().unwrap_or(name))
            })
            .cloned()
            .collect();
        self.adopt(&chosen, &numbered);
    }

    /// Turns names into entries; a name whose words all stand in a longer one is that one.
    fn adopt(&mut self, names: &[String], numbered: &Numbered) {
        let mut longest_first: Vec<(usize, &String)> = names.iter().enumerate().collect();
        longest_first.sort_by_key(|(_, name)| std::cmp::Reverse(name.split(' ').count()));
        let mut full: Vec<(usize, &String)> = Vec::new();
        let mut parts: FxHashSet<String> = FxHashSet::default();
        for (at, name) in longest_first {
            if !parts.contains(&name.to_lowercase()) {
                parts.extend(name.split(' ').map(str::to_lowercase));
                full.push((at, name));
            }
        }
        full.sort_unstable();
        // How many of the names have a word among theirs.
        let mut owners: FxHashMap<&str, usize> = FxHashMap::default();
        for (_, name) in &full {
            let words: FxHashSet<&str> = name.split(' ').collect();
            for word in words {
                *owners.entry(word).or_default() += 1;
            }
        }
        for (_, name) in &full {
            let numbers = numbered.of(name);
            if !numbers.is_empty() {
                self.add_numbered(name, numbers);
                continue;
            }
            // A heading has told the whole of it: "Hestia Nocturne vs Pardew Stage".
            if self.by_alias.contains_key(&format!("={name}")) {
                continue;
            }
            let place = self.add(name, false);
            let words: Vec<&str> = name.split(' ').collect();
            if words.len() > 1 {
                self.makers.insert(words[0].to_owned());
                for word in [words[words.len() - 1], words[0]] {
                    if owners.get(word) == Some(&1) && word.len() > 2 {
                        self.alias(place, &format!("={word}"));
                    }
                }
            }
        }
    }
}

/// Whether a name stands in quotation marks of its own: “Cinder”.
fn is_quoted(text: &str, name: Span) -> bool {
    let ahead = text.get(..name.start()).unwrap_or("");
    let after = text.get(name.end()..).unwrap_or("");
    ahead.ends_with(['"', '“', '«', '‘', '„']) && after.starts_with(['"', '”', '»', '’', '“'])
}

/// The places of one sentence among those of all sentences in reading order.
fn of_sentence(places: &[(usize, Span)], index: usize) -> &[(usize, Span)] {
    let from = places.partition_point(|(at, _)| *at < index);
    let to = from + places[from..].partition_point(|(at, _)| *at == index);
    &places[from..to]
}

fn close(text: &str, a: Span, b: Span, reach: usize) -> bool {
    within(text, a, b, reach, 0)
}

/// Whether a comma, an article and a noun for cable stand behind a name that ends before `at`.
fn apposition(text: &str, tokens: &[Token], at: usize, hits: Of<'_>, terms: &Terms) -> bool {
    let (Some(last), Some(next)) = (
        at.checked_sub(1).and_then(|last| tokens.get(last)),
        tokens.get(at),
    ) else {
        return false;
    };
    let article = matches!(
        next.span.of(text).to_lowercase().as_str(),
        "the" | "a" | "an" | "our" | "their" | "his"
    );
    article
        && Span::new(last.span.end(), next.span.start())
            .of(text)
            .trim()
            == ","
        && hits.iter().any(|hit| {
            hit.concept == terms.cable && hit.first > at && hit.first <= at + 4 && {
                let between =
                    Span::new(next.span.end(), hit.span.start().max(next.span.end())).of(text);
                !between.contains([',', ';', ':', '.'])
            }
        })
}

/// Names of one word that a sentence about cables lists: two and more with commas and `and` between.
fn coordinated(text: &str, tokens: &[Token], hits: Of<'_>, terms: &Terms) -> Vec<Span> {
    if !hits.iter().any(|hit| hit.concept == terms.cable) {
        return Vec::new();
    }
    let mut all = Vec::new();
    let mut run: Vec<Span> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let named = name_run(terms, text, tokens, at);
        if named == Some(1) {
            run.push(tokens[at].span);
            let next = tokens.get(at + 1).map(|next| next.span);
            let sign = next.map_or("", |next| {
                Span::new(tokens[at].span.end(), next.start()).of(text)
            });
            let and = next.is_some_and(|next| matches!(next.of(text), "and" | "or" | "und"));
            // "The Rill and the Beck": each may have its article.
            let article = |at: usize| {
                tokens
                    .get(at)
                    .is_some_and(|token| matches!(token.span.of(text), "the" | "our" | "their"))
            };
            if and && tokens.get(at + 2).is_some() {
                at += 2 + usize::from(article(at + 2));
                continue;
            }
            if sign.trim() == "," {
                at += 1 + usize::from(article(at + 1));
                continue;
            }
        }
        if run.len() >= 2 {
            all.append(&mut run);
        }
        run.clear();
        at += named.unwrap_or(1).max(1);
    }
    if run.len() >= 2 {
        all.append(&mut run);
    }
    all
}

/// Number of capitalised words in a row from `at` that can be a name.
fn name_run(terms: &Terms<'_>, text: &str, tokens: &[Token], at: usize) -> Option<usize> {
    // Most words begin with a small letter, and are told at a glance.
    let first = text.as_bytes().get(tokens.get(at)?.span.start())?;
    if first.is_ascii_lowercase() || first.is_ascii_digit() {
        return None;
    }
    let mut run = 0;
    while run < 3 {
        let Some(token) = tokens.get(at + run) else {
            break;
        };
        let word = strip_possessive(token.span.of(text));
        let mut letters = word.chars();
        let capital = letters.next().is_some_and(char::is_uppercase);
        if !capital {
            break;
        }
        let rest_lower = letters.clone().next().is_some()
            && letters.all(|letter| letter.is_lowercase() || letter == '\'');
        if !rest_lower {
            break;
        }
        let lower = word.to_lowercase();
        // "I'd" and "That's" are no names either.
        let stem = lower.split(['\'', '’']).next().unwrap_or(&lower);
        let common = terms.lists.name_common.has(stem) && !(run > 0 && is_number(terms, &lower));
        if common {
            break;
        }
        if run > 0 {
            let gap = Span::new(tokens[at + run - 1].span.end(), token.span.start());
            if gap.of(text) != " " {
                break;
            }
        }
        run += 1;
    }
    // "Inductance Capacitance" is no name, "Fennimore Strand" may be one.
    let property = |token: &Token| {
        let word = token.span.of(text).to_lowercase();
        terms.lists.name_property.has(&word)
    };
    (run > 0 && !tokens[at..at + run].iter().all(property)).then_some(run)
}
