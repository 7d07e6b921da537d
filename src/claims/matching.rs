//! One alternative of a claim rule at one place.

use super::TOLD_WITHIN;
use super::passage::Passages;
use super::stance::Reader;
use crate::facts::Names;
use crate::lexicon::{ConceptId, Hit};
use crate::rulebook::Alternative;
use crate::sheet::Sheet;
use crate::span::Span;

/// Concepts that met.
#[derive(Debug, Clone)]
pub(super) struct Match {
    /// Index of the rule.
    pub(super) rule: usize,
    /// Index of the alternative.
    pub(super) wording: usize,
    /// Sentence of the first concept.
    pub(super) sentence: usize,
    /// The words in that sentence.
    pub(super) span: Span,
    /// Each concept with its sentence, in the order of the rule.
    pub(super) hits: Vec<(usize, Hit)>,
    /// The sentences of the concepts, in order.
    pub(super) sentences: Vec<usize>,
}

impl Match {
    /// The first of its sentences.
    pub(super) fn first(&self) -> usize {
        self.sentences.first().copied().unwrap_or(self.sentence)
    }

    /// Whether words that tell of no effect are denied within the sentences in which it would be told: `denials` behind them.
    pub(super) fn denied_behind(&self, denials: &[ConceptId], passages: &Passages<'_>) -> bool {
        let mut words = self.hits.iter();
        if denials.is_empty() || words.any(|(_, hit)| passages.effects.contains(&hit.concept)) {
            return false;
        }
        let behind = passages.around(self.last(), 1 + TOLD_WITHIN).into_iter();
        let mut behind = behind.filter(|&(_, step)| step > 0);
        behind.any(|(at, _)| passages.hits.saying_any(at, denials).next().is_some())
    }

    /// The last of its sentences.
    pub(super) fn last(&self) -> usize {
        self.sentences.last().copied().unwrap_or(self.sentence)
    }

    /// Whether the sentences of a claim each speak of a cable by name, and not of the same one: “Moor is pure copper. Fen has copper-clad
    /// aluminium inside.”
    pub(super) fn is_of_two(&self, sheet: &Sheet, names: &Names<'_>) -> bool {
        let text = sheet.flow.text();
        let named = |at: usize| Some(names.first_in(at)?.of(text).to_lowercase());
        let mut own = self.hits.iter().filter_map(|&(at, _)| named(at));
        let Some(first) = own.next() else {
            return false;
        };
        own.any(|other| !other.contains(&first) && !first.contains(&other))
    }
}

/// A hit that could stand for a concept; the lower the rank the better.
struct Choice {
    /// Whether it is negated, how many sentences away, how many words away.
    rank: (bool, usize, usize),
    step: isize,
    at: usize,
    hit: Hit,
}

/// Tries the alternative with `anchor` as the hit of its first concept; `around` are the sentences round its own.
pub(super) fn at(
    (rule, wording): (usize, usize),
    alternative: &Alternative,
    (sentence, around): (usize, &[(usize, isize)]),
    anchor: Hit,
    passages: &Passages<'_>,
    reader: &Reader<'_>,
) -> Option<Match> {
    let others = alternative.all.get(1..)?;
    // Most sentences lack one of the concepts, which their bits tell at a glance.
    let understood = |concepts: &[ConceptId]| passages.understood(sentence, concepts);
    let may_say = |at: usize, concepts: &[ConceptId]| {
        passages.hits.may_say(at, concepts) || understood(concepts)
    };
    let alone = alternative.sentences <= 1;
    if alone && !others.iter().all(|concepts| may_say(sentence, concepts)) {
        return None;
    }
    let near = |step: isize| step.unsigned_abs() < alternative.sentences;
    let around = (around.iter().copied()).filter(|&(_, step)| near(step));
    if !alone
        && !others
            .iter()
            .all(|concepts| around.clone().any(|(at, _)| may_say(at, concepts)))
    {
        return None;
    }
    let around: Vec<(usize, isize)> = around.collect();
    let search = Search {
        alternative,
        sentence,
        anchor,
        passages,
        reader,
    };
    let hits = search.gather(&around)?;
    let span = hits
        .iter()
        .filter(|(at, _)| *at == sentence)
        .fold(anchor.span, |span, (_, hit)| span.join(hit.span));
    let mut own: Vec<usize> = hits.iter().map(|(sentence, _)| *sentence).collect();
    own.sort_unstable();
    own.dedup();
    if passages.say_any(&own, &alternative.unless)
        || reader.say_anywhere(&alternative.unless_document)
        || !passages.fit(alternative.topic, &own, &hits)
    {
        return None;
    }
    if !alternative.unless_near.is_empty() {
        let near: Vec<usize> = own
            .iter()
            .flat_map(|&at| passages.around(at, 1))
            .map(|(at, _)| at)
            // What the heading of the page says is no word on a neighbour.
            .filter(|&at| !passages.is_title(at))
            .collect();
        if passages.say_any(&near, &alternative.unless_near) {
            return None;
        }
    }
    if passages
        .hits_of(sentence, &alternative.unless_clause)
        .any(|hit| reader.same_clause(sentence, hit.span, anchor.span))
    {
        return None;
    }
    if let Some(pattern) = &alternative.pattern {
        let words = passages.sheet.sentences.get(sentence)?.span;
        if !pattern.is_match(words.of(passages.sheet.flow.text())) {
            return None;
        }
    }
    Some(Match {
        rule,
        wording,
        sentence,
        span,
        hits,
        sentences: own,
    })
}

/// What is looked for round the first concept of an alternative.
struct Search<'s, 'd> {
    alternative: &'s Alternative,
    sentence: usize,
    anchor: Hit,
    passages: &'s Passages<'d>,
    reader: &'s Reader<'d>,
}

impl Search<'_, '_> {
    /// The hits of all concepts, the nearest of each. Where what is nearest lies on one side and the next is said on the other alone,
    /// so that they do not stand within the sentences of the alternative, each stretch of so many is tried by itself.
    fn gather(&self, around: &[(usize, isize)]) -> Option<Vec<(usize, Hit)>> {
        let mut too_wide = false;
        let hits = self.nearest(around, &mut too_wide);
        if hits.is_some() || !too_wide {
            return hits;
        }
        let most = isize::try_from(self.alternative.sentences).ok()?;
        (1 - most..=0).find_map(|low| {
            let within = |&(_, step): &(usize, isize)| (low..low + most).contains(&step);
            let stretch: Vec<(usize, isize)> = around.iter().copied().filter(within).collect();
            self.nearest(&stretch, &mut too_wide)
        })
    }

    /// The nearest hit of each concept; `too_wide` tells whether one was left for standing too far from those before it.
    fn nearest(&self, around: &[(usize, isize)], too_wide: &mut bool) -> Option<Vec<(usize, Hit)>> {
        let Self {
            alternative,
            sentence,
            anchor,
            passages,
            reader,
        } = *self;
        let others = alternative.all.get(1..)?;
        let understood = |concepts: &[ConceptId]| passages.understood(sentence, concepts);
        let mut hits = vec![(sentence, anchor)];
        let (mut low, mut high) = (0, 0);
        for concepts in others {
            let mut best: Option<Choice> = None;
            for &(at, step) in around {
                let spread = usize::try_from(high.max(step) - low.min(step)).unwrap_or(usize::MAX);
                if spread >= alternative.sentences {
                    *too_wide = true;
                    continue;
                }
                // One that is further off than what is not negated is not chosen, whether it is or not.
                let too_far = |best: &Option<Choice>, near: (usize, usize)| {
                    (best.as_ref())
                        .is_some_and(|known| !known.rank.0 && near >= (known.rank.1, known.rank.2))
                };
                let away = step.unsigned_abs();
                if too_far(&best, (away, if at == sentence { 0 } else { usize::MAX })) {
                    continue;
                }
                for hit in passages.hits_of(at, concepts) {
                    let gap = if at == sentence {
                        hit.first.abs_diff(anchor.first)
                    } else {
                        usize::MAX
                    };
                    let near = (away, gap);
                    if too_far(&best, near) {
                        // Those behind it are further off still.
                        if at != sentence || hit.first >= anchor.first {
                            break;
                        }
                        continue;
                    }
                    if !fits(alternative, &hits, at, hit) {
                        continue;
                    }
                    let rank = (reader.is_negated(at, hit), near.0, near.1);
                    if best.as_ref().is_none_or(|known| rank < known.rank) {
                        best = Some(Choice {
                            rank,
                            step,
                            at,
                            hit,
                        });
                    }
                }
            }
            if best.is_none() && understood(concepts) {
                continue;
            }
            let Choice { step, at, hit, .. } = best?;
            low = low.min(step);
            high = high.max(step);
            hits.push((at, hit));
        }
        Some(hits)
    }
}

/// Whether `hit` can stand beside those chosen before it.
fn fits(alternative: &Alternative, chosen: &[(usize, Hit)], at: usize, hit: Hit) -> bool {
    if chosen
        .iter()
        .any(|(other, known)| *other == at && known.span.overlaps(hit.span))
    {
        return false;
    }
    let Some((last_at, last)) = chosen.last() else {
        return true;
    };
    if alternative.ordered && hit.span.start() < last.span.end() {
        return false;
    }
    if let Some(most) = alternative.distance {
        if *last_at != at {
            return false;
        }
        let gap = if hit.first > last.last {
            hit.first - last.last - 1
        } else {
            last.first.saturating_sub(hit.last + 1)
        };
        if gap > most {
            return false;
        }
    }
    true
}
