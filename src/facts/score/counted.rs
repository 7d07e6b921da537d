//! Scores that are counted in other ways than “k of n”: “named the right one 11 times out of 16”, “fifteen rights and seven
//! wrongs”, “in 60 blind comparisons it was found 36 times”, “Right: 10. Trials: 14.” So loose a wording is a score only where the
//! document offers it as proof; the caller sees to that.

use crate::facts::count;
use crate::facts::read::Reader;
use crate::facts::terms::Terms;
use crate::lexicon::{Token, among, lowered, tokenize};
use crate::span::Span;

/// Words between the two numbers of a score, when a link such as “out of” stands before the second.
const LINKED: usize = 6;
/// Words between a number and the word that says what it counts.
const NEAR: usize = 3;
/// Words of the sentence behind the number of trials that counts the hits.
const LONG: usize = 30;
/// Words of a sentence that holds nothing but one half of a score.
const SHORT: usize = 6;

/// A number of a sentence with the words that it takes up.
#[derive(Debug, Clone, Copy)]
pub(in crate::facts) struct Number {
    pub(in crate::facts) first: usize,
    pub(in crate::facts) last: usize,
    pub(in crate::facts) value: u32,
}

/// The words of one sentence, with its numbers.
struct Told {
    sentence: usize,
    tokens: Vec<Token>,
    words: Vec<String>,
    numbers: Vec<Number>,
}

impl Told {
    fn new(reader: &Reader<'_>, sentence: usize) -> Self {
        let text = reader.text();
        let mut tokens = Vec::new();
        tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
        let words: Vec<String> = lowered(text, &tokens);
        let mut numbers: Vec<Number> = Vec::new();
        let mut at = 0;
        while at < words.len() {
            let free = |_: &Number| {
                !reader.in_sentence(sentence).any(|index| {
                    reader.sheet.quantities[index]
                        .span
                        .overlaps(tokens[at].span)
                })
            };
            match number(&reader.terms, &words, at).filter(free) {
                Some(found) => {
                    at = found.last + 1;
                    numbers.push(found);
                }
                None => at += 1,
            }
        }
        Self {
            sentence,
            tokens,
            words,
            numbers,
        }
    }

    fn span(&self, first: Number, second: Number) -> Span {
        let start = self.tokens[first.first.min(second.first)].span;
        start.join(self.tokens[first.last.max(second.last)].span)
    }

    /// Whether a number stands beside a right answer or a vote.
    fn right(&self, reader: &Reader<'_>, number: Number) -> bool {
        let counted = [reader.terms.right, reader.terms.vote];
        let mut hits = reader.hits.saying_any(self.sentence, &counted);
        hits.any(|hit| hit.last + NEAR >= number.first && hit.first <= number.last + NEAR)
    }

    /// Whether what a number counts are trials, or those who were asked.
    fn trials(&self, reader: &Reader<'_>, number: Number) -> bool {
        let end = (number.last + 1 + NEAR).min(self.words.len());
        let start = number.first.saturating_sub(1);
        self.words[start..number.first]
            .iter()
            .chain(&self.words[number.last + 1..end])
            .any(|word| reader.terms.lists.score_trial.has(word))
            || self.tried(reader, number)
    }

    /// “Was asked fourteen times which was playing”: how often somebody was put to it.
    fn tried(&self, reader: &Reader<'_>, number: Number) -> bool {
        let lists = reader.terms.lists;
        let times =
            (self.words.get(number.last + 1)).is_some_and(|word| lists.score_times.has(word));
        let before = &self.words[number.first.saturating_sub(NEAR)..number.first];
        times && before.iter().any(|word| lists.score_tried.has(word))
    }
}

/// Whether a sentence has any of the words without which nothing in it is a score, or may be told of a blind test.
fn may_score(reader: &Reader<'_>, sentence: usize) -> bool {
    let terms = reader.terms;
    reader.hits.may_say(sentence, &[terms.right, terms.vote])
        || reader.hits.may_list(sentence, terms.lists.score_trial)
        || reader.hits.may_list(sentence, terms.lists.score_times)
        || blind(reader, sentence)
        || super::says_likewise(reader, sentence)
}

/// Whether a sentence can hold a number as [`number`] has it: it has a digit or a word of those.
pub(super) fn may_count(reader: &Reader<'_>, sentence: usize) -> bool {
    let words = reader.sheet.sentences[sentence].span.of(reader.text());
    counts_in_words(reader, sentence) || has_digit(words)
}

/// The same of numbers that are of no quantity.
fn counts(reader: &Reader<'_>, sentence: usize) -> bool {
    if counts_in_words(reader, sentence) {
        return true;
    }
    let own = reader.sheet.sentences[sentence].span;
    let mut from = own.start();
    for index in reader.in_sentence(sentence) {
        let quantity = reader.sheet.quantities[index].span;
        if has_digit(Span::new(from, quantity.start().max(from)).of(reader.text())) {
            return true;
        }
        from = from.max(quantity.end());
    }
    has_digit(Span::new(from, own.end().max(from)).of(reader.text()))
}

fn counts_in_words(reader: &Reader<'_>, sentence: usize) -> bool {
    let lists = reader.terms.lists;
    [
        lists.count_word,
        lists.count_tens,
        lists.count_hundred,
        lists.count_dozen,
    ]
    .into_iter()
    .any(|list| reader.hits.may_list(sentence, list))
}

fn has_digit(words: &str) -> bool {
    words.bytes().any(|byte| byte.is_ascii_digit())
}

/// The scores of a sentence, and of it with the one behind it.
pub(super) fn read(reader: &Reader<'_>, sentence: usize) -> Vec<(u32, u32, Span)> {
    if reader.endless(sentence) || !(may_score(reader, sentence) && counts(reader, sentence)) {
        return Vec::new();
    }
    let told = Told::new(reader, sentence);
    // "Plait 8, club lead 4, of twelve goes": two shares of all that were played.
    if let [one, other, all] = told.numbers[..]
        && one.value + other.value == all.value
        && told.trials(reader, all)
    {
        let most = one.value.max(other.value);
        return vec![(most, all.value, told.span(one, all))];
    }
    let mut found = Vec::new();
    for pair in told.numbers.windows(2) {
        // "Every one of the three".
        let before = pair[0]
            .first
            .checked_sub(1)
            .map(|at| told.words[at].as_str());
        let each = reader.terms.lists.score_each;
        if pair[0].value == 1 && before.is_some_and(|word| each.has(word)) {
            continue;
        }
        if let Some((correct, trials)) = linked(reader, &told, pair[0], pair[1]) {
            found.push((correct, trials, told.span(pair[0], pair[1])));
        }
    }
    // "Which of the two leads was playing" counts no answers.
    let counted: Vec<Number> = (told.numbers.iter().copied())
        .filter(|number| {
            let before = number.first.checked_sub(1).map(|at| &told.words[at]);
            // Nor does “the odd one”.
            let lists = reader.terms.lists;
            let a_thing = number.value == 1 && before.is_some_and(|word| lists.score_one.has(word));
            number.value > 3 || !a_thing && before.is_none_or(|word| !lists.score_article.has(word))
        })
        .take(3)
        .collect();
    if found.is_empty()
        && let [first, second] = counted[..]
        && let Some((correct, trials)) =
            [(first, second), (second, first)]
                .into_iter()
                .find(|(hits, all)| {
                    hits.value <= all.value
                        && all.value >= 3
                        && told.right(reader, *hits)
                        && told.trials(reader, *all)
                        && !told.right_behind(reader, *all)
                })
    {
        found.push((correct.value, trials.value, told.span(first, second)));
    }
    if found.is_empty()
        && let Some(score) = in_two(reader, &told)
    {
        found.push(score);
    }
    if let [first] = told.numbers[..]
        && told.words.len() <= SHORT
        && sentence + 1 < reader.sheet.sentences.len()
    {
        let next = Told::new(reader, sentence + 1);
        if let [second] = next.numbers[..]
            && next.words.len() <= SHORT
        {
            let both = told.tokens[first.first]
                .span
                .join(next.tokens[second.last].span);
            let here = told.right(reader, first) && next.listed_trials(reader);
            let there = told.listed_trials(reader) && next.right(reader, second);
            let (hits, all) = if here {
                (first.value, second.value)
            } else {
                (second.value, first.value)
            };
            if (here || there) && hits <= all && all >= 3 {
                found.push((hits, all, both));
            }
        }
    }
    found
}

/// “He was asked fifteen times. He got eleven”: the trials in one sentence, and in the next the hits.
fn in_two(reader: &Reader<'_>, told: &Told) -> Option<(u32, u32, Span)> {
    let lists = reader.terms.lists;
    let counts = |number: &&Number| {
        told.words
            .get(number.last + 1)
            .is_some_and(|word| lists.score_trial.has(word) || lists.score_times.has(word))
            || told.asked(reader, **number)
            || told.judges(reader, **number)
    };
    let mut rounds = told.numbers.iter().filter(counts);
    let (all, None) = (rounds.next()?, rounds.next()) else {
        return None;
    };
    let behind = told.sentence + 1;
    let sentences = &reader.sheet.sentences;
    let block = |at: usize| sentences.get(at).map(|sentence| sentence.block());
    if block(behind) != block(told.sentence) || reader.endless(behind) {
        return None;
    }
    let next = Told::new(reader, behind);
    // "The right one" counts nothing.
    let mut hits = next.numbers.iter().filter(|number| number.value > 1);
    let (hit, None) = (hits.next()?, hits.next()) else {
        return None;
    };
    let of_them = next
        .words
        .get(hit.last + 1)
        .is_some_and(|word| lists.score_link.has(word))
        && next
            .words
            .get(hit.last + 2)
            .is_some_and(|word| lists.score_them.has(word));
    let voted = (next.words.get(hit.last + 1)).is_some_and(|word| lists.score_vote.has(word));
    let counted = of_them || voted || next.right(reader, *hit);
    (counted && hit.value <= all.value && all.value >= 3 && next.words.len() <= LONG).then(|| {
        let span = told.tokens[all.first].span.join(next.tokens[hit.last].span);
        (hit.value, all.value, span)
    })
}

impl Told {
    /// Whether a number counts those who were asked and answered in writing: “ten of you wrote a name on a card”.
    fn asked(&self, reader: &Reader<'_>, number: Number) -> bool {
        let lists = reader.terms.lists;
        let word = |ahead: usize| self.words.get(number.last + ahead);
        word(1).is_some_and(|of| lists.score_link.has(of))
            && word(2).is_some_and(|whom| lists.score_whom.has(whom))
            && (self.words.iter()).any(|word| lists.score_written.has(word))
    }

    /// Whether a number counts those who judged blind: “six of the family came, a scarf over their eyes”.
    fn judges(&self, reader: &Reader<'_>, number: Number) -> bool {
        let lists = reader.terms.lists;
        let word = |ahead: usize| self.words.get(number.last + ahead);
        number.value >= 3
            && word(1).is_some_and(|of| of == "of")
            && word(2).is_some_and(|whom| lists.score_whom.has(whom))
            && reader.hits.say(self.sentence, reader.terms.blind)
    }

    /// Whether the number of trials is itself what was right: “eight were right and nine tries”.
    fn right_behind(&self, reader: &Reader<'_>, number: Number) -> bool {
        reader
            .hits
            .of(self.sentence)
            .iter()
            .any(|hit| hit.concept == reader.terms.right && hit.first == number.last + 1)
    }

    /// Whether a short sentence counts trials.
    fn listed_trials(&self, reader: &Reader<'_>) -> bool {
        self.words
            .iter()
            .any(|word| reader.terms.lists.score_trial.has(word))
    }
}

/// Two numbers that a link joins to a score.
fn linked(reader: &Reader<'_>, told: &Told, first: Number, second: Number) -> Option<(u32, u32)> {
    let lists = reader.terms.lists;
    let between = &told.words[first.last + 1..second.first];
    if between.len() > LINKED {
        return None;
    }
    let counted = told.right(reader, first)
        || told.right(reader, second)
        || told.trials(reader, second)
        || blind(reader, told.sentence)
        || (between.iter().any(|word| lists.score_times.has(word))
            && reader.hits.say(told.sentence, reader.terms.right));
    let (a, b) = (first.value, second.value);
    let beside = between.is_empty() && {
        let text = reader.text();
        let gap = Span::new(
            told.tokens[first.last].span.end(),
            told.tokens[second.first].span.start(),
        );
        gap.of(text) == "/"
    };
    // “Out of”, “times in”, “of our”: the last word but articles is the link, and nothing between is about anything else.
    let mut back = between
        .iter()
        .rev()
        .skip_while(|word| lists.score_article.has(word));
    let link = back.next();
    let joined = link.is_some_and(|word| lists.score_link.has(word))
        && back.all(|word| lists.score_between.has(word));
    let listed = beside && super::says_likewise(reader, told.sentence);
    if (joined || beside) && (counted || listed) && a <= b && b >= 3 {
        return Some((a, b));
    }
    // “Two for two”.
    if between.len() == 1 && lists.score_for.has(&between[0]) && a == b && a >= 2 {
        return (blind(reader, told.sentence) || told.right(reader, second)).then_some((a, b));
    }
    // “Fifteen rights and seven wrongs”, “21 against 11”.
    let wrong = told
        .words
        .get(second.last + 1)
        .is_some_and(|word| lists.score_wrong.has(word))
        && told.right(reader, first);
    let against = between.split_last().is_some_and(|(last, rest)| {
        lists.score_against.has(last) && rest.iter().all(|word| lists.score_between.has(word))
    }) && reader.hits.say(told.sentence, reader.terms.vote);
    ((wrong || against) && a > b && a + b >= 3).then_some((a, a + b))
}

/// Whether it is said near a sentence that nobody knew what played.
fn blind(reader: &Reader<'_>, sentence: usize) -> bool {
    let end = reader.sheet.sentences.len().saturating_sub(1);
    (sentence.saturating_sub(1)..=(sentence + 1).min(end))
        .any(|near| reader.hits.say(near, reader.terms.blind))
}

/// The number that begins at a word: “47”, “eleven”, “forty-seven”, “a hundred”.
pub(in crate::facts) fn number(terms: &Terms<'_>, words: &[String], at: usize) -> Option<Number> {
    let word = words.get(at)?;
    let one = |value: u32| Number {
        first: at,
        last: at,
        value,
    };
    if word.len() <= 3 && word.chars().all(|letter| letter.is_ascii_digit()) {
        return word.parse().ok().map(one);
    }
    if terms.lists.count_dozen.has(word) {
        return Some(one(12));
    }
    let tens = terms.lists.count_tens;
    if among(
        &[tens, terms.lists.count_hundred, terms.lists.count_word],
        word,
    ) == 0
    {
        return None;
    }
    if let Some(place) = tens.entries().position(|known| known == word)
        && let Ok(place) = u32::try_from(place)
    {
        let ones = words
            .get(at + 1)
            .and_then(|next| count::small(terms, next))
            .filter(|ones| (1..10).contains(ones));
        return Some(Number {
            first: at,
            last: at + usize::from(ones.is_some()),
            value: (place + 2) * 10 + ones.unwrap_or(0),
        });
    }
    if terms.lists.count_hundred.has(word) {
        return Some(one(100));
    }
    count::small(terms, word).map(one)
}
