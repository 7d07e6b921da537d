//! Words of a sentence that mean a cable. Knows one sentence at a time, and not which cable `the other` is: that takes the walk.

use super::{Means, Mention, Roster, Starts, lone_label, strip_possessive, symbol};
use crate::facts::terms::Terms;
use crate::lexicon::{Hits, tokenize, write_lowered};
use crate::sheet::Sheet;
use crate::span::Span;

impl Roster {
    /// Words of a sentence that mean a cable, in order.
    pub(in crate::facts) fn mentions(
        &self,
        sheet: &Sheet,
        hits: &Hits,
        terms: &Terms,
        sentence: usize,
    ) -> Vec<Mention> {
        let text = sheet.flow.text();
        let span = sheet.sentences[sentence].span;
        let mut mentions = self.called(terms, text, span);
        // "C 150 pF" is no cable C.
        mentions.retain(|known| known.span.len() > 1 || !symbol(sheet, known.span));
        // "The one is 14 AWG and so is the other": what is said holds for both.
        if let Some(alike) = hits.saying(sentence, terms.alike).next() {
            let start = mentions
                .first()
                .map_or(span.start(), |first| first.span.start());
            return vec![Mention {
                span: Span::new(start.min(alike.span.start()), start.min(alike.span.start())),
                means: Means::All,
            }];
        }
        let sides = [
            terms.former,
            terms.latter,
            terms.other,
            terms.third,
            terms.last,
            terms.first_two,
            terms.others,
            terms.ours,
            terms.theirs,
            terms.both,
        ];
        let seconds = [
            terms.latter,
            terms.other,
            terms.third,
            terms.others,
            terms.both,
        ];
        for hit in hits.saying_any(sentence, &sides) {
            // "In his own den", "the first night": what stands behind is no cable.
            let after = Span::new(hit.span.end(), span.end().max(hit.span.end())).of(text);
            let next = after
                .strip_prefix(' ')
                .and_then(|after| after.split(|letter: char| !letter.is_alphabetic()).next())
                .unwrap_or("");
            let last = hit.concept == terms.last;
            let ranked = hit.concept == terms.former || hit.concept == terms.third || last;
            // "The last word": what is last is said right behind.
            if last && !terms.lists.contrast_next.has(next) {
                continue;
            }
            // "The one-wire shop": part of a compound.
            let compound = after
                .strip_prefix('-')
                .is_some_and(|after| after.starts_with(char::is_alphabetic));
            if ranked && compound {
                continue;
            }
            // "Since the first reel left a garage": without a second there is no first, but for "the first is".
            if hit.concept == terms.former
                && !terms.lists.contrast_next.has(next)
                && !seconds.iter().any(|&second| hits.anywhere(second))
            {
                continue;
            }
            // "Onto the old tannery site": what is old is no cable.
            if open_to_nouns(terms, text, hit.span)
                && after.starts_with(' ')
                && !next.is_empty()
                && !goes_with(terms, hits, (sentence, span), (hit.span, next))
            {
                continue;
            }
            // "Both speakers", and not "both speaker cables".
            let of_cable = || {
                let reach = hit.span.end() + next.len() + 2;
                let mut cables = hits.saying(sentence, terms.cable);
                cables.any(|cable| cable.span.end() > reach && cable.span.start() <= reach)
            };
            let thing = terms.lists.contrast_thing.has(next) && !of_cable();
            if thing || ranked && next == "to" {
                continue;
            }
            // "The longer way is 14 m, the other 11 m": of two ways.
            if hit.concept == terms.other && of_two_things(terms, text, span, hit.span) {
                continue;
            }
            let means = match hit.concept {
                concept if concept == terms.former => Means::Former,
                concept if concept == terms.latter => Means::Latter,
                concept if concept == terms.other => Means::Other,
                concept if concept == terms.third => Means::Nth(2),
                concept if concept == terms.last => Means::Last,
                concept if concept == terms.first_two => Means::FirstTwo,
                concept if concept == terms.others => Means::Others,
                concept if concept == terms.ours => Means::Ours,
                concept if concept == terms.theirs => Means::Theirs,
                concept
                    if concept == terms.both
                        && hits.of(sentence).iter().any(|other| {
                            other.concept == terms.both_not && other.span.overlaps(hit.span)
                        })
                        && !closing(text, hit.span) =>
                {
                    continue;
                }
                concept if concept == terms.both => {
                    let per = hits.of(sentence).iter().any(|other| {
                        (other.concept == terms.size_per
                            || other.concept == terms.r_single
                            || other.concept == terms.parallel)
                            && other.span.overlaps(hit.span)
                            && other.span.len() > hit.span.len()
                    });
                    // "(ii) the pair lent to us": one label with what it stands for.
                    let labelled = mentions.iter().any(|known| {
                        known.span.end() <= hit.span.start()
                            && matches!(
                                Span::new(known.span.end(), hit.span.start()).of(text),
                                " " | ") " | ": " | ", "
                            )
                            && hit.span.of(text).eq_ignore_ascii_case("the pair")
                    });
                    if per || labelled {
                        continue;
                    }
                    Means::All
                }
                _ => continue,
            };
            if mentions.iter().any(|known: &Mention| {
                known.span.overlaps(hit.span) && matches!(known.means, Means::Entry(_))
            }) {
                continue;
            }
            if means == Means::Theirs
                && (builds(terms, text, span, hit.span, &mentions)
                    || sort_of(terms, text, &mentions, hit.span))
            {
                continue;
            }
            mentions.push(Mention {
                span: hit.span,
                means,
            });
        }
        // "Your common-or-garden shop cable", "conventional twin-lead".
        for whole in rivals(text, hits, terms, sentence) {
            let name = whole.of(text).contains(char::is_uppercase);
            // "The bundled leads" says more than "the bundled".
            mentions.retain(|known| {
                !(known.span.overlaps(whole)
                    && known.means == Means::Theirs
                    && known.span.end() <= whole.end())
            });
            if !name
                && !sort_of(terms, text, &mentions, whole)
                && !mentions.iter().any(|known| known.span.overlaps(whole))
            {
                mentions.push(Mention {
                    span: whole,
                    means: Means::Theirs,
                });
            }
        }
        if let Some((key, means)) = headed(terms, text, span)
            && mentions.iter().all(|mention| {
                mention.span.start() > key.end() || !matches!(mention.means, Means::Entry(_))
            })
        {
            mentions.push(Mention { span: key, means });
        }
        mentions
            .sort_by_key(|mention| (mention.span.start(), std::cmp::Reverse(mention.span.end())));
        mentions.dedup_by(|later, earlier| later.span.overlaps(earlier.span));
        mentions
    }

    pub(in crate::facts) fn called(
        &self,
        terms: &Terms,
        text: &str,
        sentence: Span,
    ) -> Vec<Mention> {
        let mut mentions = Vec::new();
        if self.entries.is_empty() {
            return mentions;
        }
        // A word and what parts it from the next are six bytes or so.
        let mut tokens = Vec::with_capacity(sentence.len() / 6 + 2);
        tokenize(text, sentence, &mut tokens);
        let mut at = 0;
        let (mut key, mut lower) = (String::new(), String::new());
        while at < tokens.len() {
            let mut step = 1;
            if !self.starts.may_begin(tokens[at].span.of(text)) {
                at += 1;
                continue;
            }
            for words in (1..=self.longest.min(tokens.len() - at)).rev() {
                let starts = &self.starts;
                let may_have = |kind| Starts::may_have(kind, words);
                if !may_have(starts.plain | starts.exact | starts.marked) {
                    continue;
                }
                let span = tokens[at].span.join(tokens[at + words - 1].span);
                let written = strip_possessive(span.of(text));
                let plain = words > 1 || written.starts_with(|letter: char| letter.is_uppercase());
                let marked = words == 1
                    && span.start() > 0
                    && text.as_bytes().get(span.start() - 1) == Some(&b'(');
                let mut known = |before: &str, behind: &str| {
                    key.clear();
                    key.push_str(before);
                    key.push_str(written);
                    key.push_str(behind);
                    self.by_alias.get(&key).copied()
                };
                let lowered = (plain && may_have(starts.plain)).then(|| {
                    write_lowered(written, &mut lower);
                    self.by_alias.get(&lower).copied()
                });
                let place = lowered
                    .flatten()
                    .or_else(|| may_have(starts.exact).then(|| known("=", "")).flatten())
                    .or_else(|| marked.then(|| known("(", ")")).flatten());
                // "Ashmarle Prose" is not the "Ashmarle Lyric" that "Ashmarle" means elsewhere.
                let another = words == 1 && self.makers.contains(written) && {
                    tokens.get(at + 1).is_some_and(|next| {
                        let gap = Span::new(span.end(), next.span.start().max(span.end()));
                        gap.of(text) == " " && next.span.of(text).starts_with(char::is_uppercase)
                    })
                };
                if another {
                    continue;
                }
                if let Some(place) = place {
                    let verb = self.lettered
                        && tokens.get(at + 1).is_some_and(|next| {
                            let verb = next.span.of(text);
                            // "A delivered 9.6 V".
                            let measured = verb.ends_with("ed")
                                && tokens.get(at + 2).is_some_and(|value| {
                                    value
                                        .span
                                        .of(text)
                                        .starts_with(|sign: char| sign.is_ascii_digit())
                                });
                            measured || terms.lists.name_letter_verb.has(verb)
                        });
                    let label =
                        verb || lone_label(text, span) || self.lettered && no_article(text, span);
                    if written == "A" && !label || written.len() == 1 && part_of_more(text, span) {
                        continue;
                    }
                    mentions.push(Mention {
                        span,
                        means: Means::Entry(place),
                    });
                    step = words;
                    break;
                }
            }
            at += step;
        }
        mentions
    }
}

/// Whether a lone `A` stands before a word that no article can stand before: “more with A than with B”, “for A the monitors”.
fn no_article(text: &str, span: Span) -> bool {
    const NEVER: [&str; 10] = [
        "than", "and", "or", "the", "but", "we", "it", "they", "then", "while",
    ];
    let after = text.get(span.end()..).unwrap_or("").trim_start();
    let next = after.split(|letter: char| !letter.is_alphabetic()).next();
    next.is_some_and(|next| NEVER.contains(&next))
}

/// Which side a sentence is of by what stands before its colon: “Old: 18 ga. New: 12 ga”, “What's on there now: two legs”.
pub(in crate::facts) fn headed(
    terms: &Terms<'_>,
    text: &str,
    sentence: Span,
) -> Option<(Span, Means)> {
    /// Bytes and words of what may stand there.
    const HEAD: usize = 40;
    const ASKING: usize = 7;
    let words = sentence.of(text);
    let at = words.find(':').filter(|&at| at < HEAD)?;
    let key = Span::new(sentence.start(), sentence.start() + at);
    let words = key.of(text).trim().to_lowercase();
    let told = words.starts_with("what") && words.split(' ').count() <= ASKING;
    let word = match words.rsplit(' ').next() {
        Some(last) if told => last,
        _ => words.as_str(),
    };
    if terms.lists.side_theirs_key.has(word) {
        Some((key, Means::Theirs))
    } else if terms.lists.side_ours_key.has(word) {
        Some((key, Means::Ours))
    } else {
        None
    }
}

/// Whether a word for a rival tells how a cable is made that has a name: "the zip construction of the Satie", "Satie, 14 AWG, zip".
fn builds(terms: &Terms<'_>, text: &str, sentence: Span, words: Span, before: &[Mention]) -> bool {
    if words.of(text).contains(' ') && !words.of(text).starts_with("twin") {
        return false;
    }
    let after = Span::new(words.end(), sentence.end().max(words.end())).of(text);
    let next = after
        .split(|letter: char| !letter.is_alphabetic())
        .find(|word| !word.is_empty())
        .unwrap_or("");
    let ahead = Span::new(sentence.start(), words.start().max(sentence.start())).of(text);
    let listed = ahead.trim_end().ends_with(',')
        && (after.trim_start().is_empty() || after.trim_start().starts_with([',', '.', ';']))
        && before.iter().any(|known| {
            matches!(known.means, Means::Entry(_)) && known.span.end() <= words.start()
        });
    listed || (after.starts_with(' ') && terms.lists.theirs_build.has(&next.to_lowercase()))
}

/// Whether “each” closes a list of cables with what all of them have: “A is 12 AWG, B 16 AWG, each 5 m”.
fn closing(text: &str, each: Span) -> bool {
    let ahead = text.get(..each.start()).unwrap_or("").trim_end();
    let behind = text.get(each.end()..).unwrap_or("").trim_start();
    each.of(text) == "each"
        && ahead.ends_with(',')
        && behind.starts_with(|sign: char| sign.is_ascii_digit())
}

/// Whether a letter stands in a unit or a code and calls nothing: “20 °C”, “6 A”, “3308-B”.
fn part_of_more(text: &str, letter: Span) -> bool {
    let ahead = text.get(..letter.start()).unwrap_or("");
    let coded = ahead
        .strip_suffix(['-', '–'])
        .is_some_and(|ahead| ahead.ends_with(|sign: char| sign.is_ascii_digit()));
    let bare = ahead.strip_suffix(' ').unwrap_or(ahead);
    let degrees = bare.ends_with(['°', 'º']);
    let unit = matches!(letter.of(text), "A" | "V" | "W" | "K" | "F" | "C" | "H");
    coded || degrees || unit && bare.ends_with(|sign: char| sign.is_ascii_digit())
}

/// Whether “the other” goes with a thing that is no cable, of which one was told before in the sentence: “the longer way is 14 m”.
fn of_two_things(terms: &Terms<'_>, text: &str, sentence: Span, other: Span) -> bool {
    let before = Span::new(sentence.start(), other.start().max(sentence.start())).of(text);
    let words: Vec<&str> = before
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    words.windows(2).any(|pair| {
        terms.lists.contrast_nearer.has(&pair[0].to_lowercase())
            && terms.lists.contrast_thing.has(pair[1])
    })
}

/// Whether words for a side end in one that describes whatever stands behind it: “the old”, “our new”.
fn open_to_nouns(terms: &Terms<'_>, text: &str, words: Span) -> bool {
    let last = words.of(text).rsplit(' ').next().unwrap_or("");
    terms.lists.side_open.has(&last.to_lowercase())
}

/// Whether what stands behind such words is a cable, within a few words, or no noun at all.
fn goes_with(
    terms: &Terms<'_>,
    hits: &Hits,
    (sentence, whole): (usize, Span),
    (words, next): (Span, &str),
) -> bool {
    /// Bytes between the words and the noun.
    const NEAR: usize = 28;
    let lists = terms.lists;
    let lower = next.to_lowercase();
    let near = |span: Span| {
        span.start() >= words.end()
            && span.start() <= words.end() + NEAR
            && span.end() <= whole.end()
    };
    lists.contrast_noun.has(&lower)
        || lists.contrast_next.has(&lower)
        || lists.described_noun.has(&lower)
        || hits
            .saying_any(sentence, &[terms.cable, terms.side_noun])
            .any(|hit| near(hit.span))
}

/// Whether words for a common sort stand right behind a name and its size, and say what that is: “S1: 14 AWG zip cord”.
fn sort_of(terms: &Terms<'_>, text: &str, mentions: &[Mention], words: Span) -> bool {
    mentions.iter().any(|known| {
        let behind = Span::new(known.span.end(), words.start().max(known.span.end())).of(text);
        let from = known.span.end() + behind.len() - behind.trim_start_matches([':', ' ']).len();
        matches!(known.means, Means::Entry(_))
            && known.span.end() <= words.start()
            && words_between(terms, text, Span::new(from, from), words) == 0
    })
}

/// Words between two spans that are part of no size ("ordinary 2.5 mm² flex"); many where a clause ends between.
fn words_between(terms: &Terms<'_>, text: &str, first: Span, second: Span) -> usize {
    let between = Span::new(first.end(), second.start().max(first.end())).of(text);
    if between.contains([',', ';', ':', '(', ')']) || between.contains(" and ") {
        return usize::MAX;
    }
    between
        .split([' ', '-', '\n'])
        .filter(|word| !word.is_empty())
        .filter(|word| {
            !word.starts_with(|letter: char| letter.is_ascii_digit())
                && !terms.lists.size_unit_word.has(&word.to_lowercase())
        })
        .count()
}

/// Words of a sentence that mean a cable of no name: a kind and a noun behind it.
pub(in crate::facts) fn rivals<'h>(
    text: &'h str,
    hits: &'h Hits,
    terms: &'h Terms<'h>,
    sentence: usize,
) -> impl Iterator<Item = Span> + 'h {
    hits.saying(sentence, terms.rival_kind)
        .filter_map(move |kind| {
            let noun = hits.saying(sentence, terms.cable).find(|noun| {
                noun.first > kind.last
                    && noun.first - kind.last <= 5
                    && words_between(terms, text, kind.span, noun.span) <= 1
            })?;
            Some(kind.span.join(noun.span))
        })
}
