//! What else a document claims speaks for what it says in few wordings: who makes one claim of a kind makes others. Knows no rule
//! and no wording.

use super::passage::Passages;
use super::place::Place;
use super::silent;
use super::tell::{ENOUGH_WAYS, weighs_enough};
use crate::finding::{Stance, Verdict};
use crate::lexicon::ConceptId;
use crate::rulebook::{Rule, Rulebook};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// So many places of words that a claim rests on, and claims of other rules beside it, spare one wording.
const ONE: usize = 5;
/// So many places of words are the least.
const FEW: usize = 3;
/// So many places of words are needed for two wordings to be spared.
const TELLING: usize = 4;
/// So many of them are words of the rule's own: any text on cables has those that several rules ask for.
const OWN: usize = 2;
/// What is told in so many wordings is spared one beside several claims that are themselves told in few.
const TWICE: usize = 2;
/// By so much less weigh words that stand where no cable is spoken of.
const AWAY: usize = 3;
/// What a wording that is spared weighs.
const BACKING: usize = 2;
/// What the words of a claim weigh more that is told in several wordings among claims of other rules.
pub(super) const LENT: usize = 2;
/// Claims of so many other rules spare two.
const SEVERAL: usize = 2;
/// A claim stands apart where no words of another rule weigh as much as one in so many of its own.
const HALF: usize = 2;
/// By so much more than its rule asks for weigh the words of a claim that is made though a cue denies some of its wordings.
const MORE: usize = 3;
/// So many sentences from a claim that is made in full are still its own.
const NEAR: usize = 1;

/// Which lists several rules are made of.
#[derive(Debug)]
pub(super) struct Common {
    /// By list, whether it is one of several rules.
    common: Vec<bool>,
    /// By rule, the lists that no other rule has.
    own: Vec<Vec<ConceptId>>,
}

impl Common {
    pub(super) fn new(book: &Rulebook) -> Self {
        let mut first = vec![None; book.lexicon().len()];
        let mut common = vec![false; book.lexicon().len()];
        for (rule, one) in book.rules().iter().enumerate() {
            let concepts = one
                .alternatives
                .iter()
                .flat_map(|way| way.all.iter().flatten());
            for concept in concepts.map(|concept| usize::from(concept.0)) {
                let (Some(known), Some(slot)) = (first.get_mut(concept), common.get_mut(concept))
                else {
                    continue;
                };
                *slot |= *known.get_or_insert(rule) != rule;
            }
        }
        let own = book.rules().iter().map(|one| {
            let concepts = one.alternatives.iter();
            let concepts = concepts.flat_map(|way| way.all.iter().flatten());
            let mut own: Vec<ConceptId> = concepts
                .filter(|concept| common.get(usize::from(concept.0)) == Some(&false))
                .copied()
                .collect();
            own.sort_unstable();
            own.dedup();
            own
        });
        let own = own.collect();
        Self { common, own }
    }

    /// The lists that the rule at `rule` has for itself.
    pub(super) fn own(&self, rule: usize) -> &[ConceptId] {
        self.own.get(rule).map_or(&[], Vec::as_slice)
    }

    fn has(&self, concept: ConceptId) -> bool {
        self.common
            .get(usize::from(concept.0))
            .copied()
            .unwrap_or_default()
    }

    /// How much the words tell that a claim rests on: places of words that are the rule's own, the lists that they are in, and those
    /// of several words, which seldom meet by chance; and what other claims speak for. What is said of a cable by itself (`of_wire`) weighs
    /// less where something else is spoken of.
    pub(super) fn weight(&self, place: &Place, passages: &Passages<'_>, of_wire: bool) -> usize {
        let text = passages.text();
        let own = || {
            place
                .marks
                .iter()
                .filter(|(_, concept)| !self.has(*concept))
        };
        let lists: FxHashSet<ConceptId> = own().map(|(_, concept)| *concept).collect();
        let phrases: FxHashSet<Span> = own()
            .map(|(span, _)| *span)
            .filter(|span| span.of(text).contains(char::is_whitespace))
            .collect();
        let told = apart(own().map(|(span, _)| *span)) + lists.len() + phrases.len();
        let away = of_wire && !passages.speak_of_cable(&place.sentences);
        (told + BACKING * place.backed).saturating_sub(if away { AWAY } else { 0 })
    }

    /// Places of words that a claim rests on, where enough of them are of its rule's own.
    fn told(&self, place: &Place) -> usize {
        let own = place
            .marks
            .iter()
            .filter(|(_, concept)| !self.has(*concept));
        if apart(own.map(|(span, _)| *span)) < OWN {
            return 0;
        }
        apart(place.marks.iter().map(|(span, _)| *span))
    }
}

/// Works out for each place how many wordings fewer will do, by the claims of other rules that the document spells out. In one that
/// denies claims or asks about them half as often as it makes some none are spared, and none where the words belong to a claim of another rule.
pub(super) fn back(
    book: &Rulebook,
    common: &Common,
    of_wire: impl Fn(&Rule) -> bool,
    places: &mut [Place],
) {
    let makes = |place: &Place| {
        let rule = book.rules().get(place.rule);
        stands(place) && rule.is_some_and(&of_wire)
    };
    let clear: FxHashSet<usize> = places
        .iter()
        .filter(|place| makes(place) && place.wordings >= ENOUGH_WAYS)
        .map(|place| place.rule)
        .collect();
    let quiet = places.iter().filter(|place| silent(place.stance)).count();
    if quiet > 0 && clear.len() <= quiet * SEVERAL {
        return;
    }
    let voiced: FxHashSet<usize> = (places.iter().filter(|place| stands(place)))
        .map(|place| place.rule)
        .collect();
    let mut by_sentence: FxHashMap<usize, Vec<(usize, usize)>> = FxHashMap::default();
    for place in places.iter().filter(|place| !silent(place.stance)) {
        for &sentence in &place.sentences {
            let list = by_sentence.entry(sentence).or_default();
            list.push((place.rule, place.wordings));
        }
    }
    for place in places.iter_mut().filter(|place| makes(place)) {
        // Whether a claim of another rule has words there, told in so many wordings at least.
        let shared = |least: usize| {
            place.sentences.iter().any(|at| {
                let mut there = by_sentence.get(at).into_iter().flatten();
                there.any(|&(rule, wordings)| rule != place.rule && wordings >= least)
            })
        };
        if shared(place.wordings) {
            continue;
        }
        let others = clear.iter().filter(|&&rule| rule != place.rule).count();
        let told = common.told(place);
        place.backed = if others >= SEVERAL && told >= TELLING {
            2
        } else {
            let faint = voiced.iter().filter(|&&rule| rule != place.rule).count();
            let clearly = others > 0 && told >= FEW && told + others >= ONE;
            let among =
                faint >= SEVERAL && told >= TELLING && place.wordings >= TWICE && !shared(1);
            usize::from(clearly || among)
        };
    }
}

/// Works out which places stand among claims of other rules that the document makes in full: in several wordings, in words that weigh
/// enough, with what is heard beside them (`heard`). A document that denies as many makes none in full, and words that claims of
/// other rules rest on as well are theirs. Among several of them one that stands apart is one more, where its own rule is not told
/// in full elsewhere: who has three such things to say does not come to a fourth by chance.
pub(super) fn set_among(
    book: &Rulebook,
    weight: impl Fn(&Place) -> usize,
    heard: impl Fn(&Place) -> bool,
    places: &mut [Place],
) {
    let weights: Vec<usize> = places.iter().map(weight).collect();
    let full: FxHashSet<usize> = places
        .iter()
        .zip(&weights)
        .filter(|(place, weight)| {
            let rule = book.rules().get(place.rule);
            stands(place)
                && !place.doubted
                && place.wordings >= TWICE
                && rule.is_some_and(|rule| {
                    rule.verdict == Verdict::NoBasis && weighs_enough(rule, **weight)
                })
                && heard(place)
        })
        .map(|(place, _)| place.rule)
        .collect();
    if full.is_empty() {
        return;
    }
    let denied = places.iter().filter(|place| place.stance == Stance::Denied);
    let denied = denied.count();
    // By sentence, what the two heaviest rules there weigh: one of them is not the place's own.
    let mut heaviest: FxHashMap<usize, [(usize, usize); 2]> = FxHashMap::default();
    for (place, &weight) in places.iter().zip(&weights) {
        for &sentence in &place.sentences {
            let none = [(usize::MAX, 0); 2];
            let [first, second] = heaviest.entry(sentence).or_insert(none);
            if first.0 == place.rule {
                first.1 = first.1.max(weight);
            } else if weight > first.1 {
                *second = *first;
                *first = (place.rule, weight);
            } else if weight > second.1 {
                *second = (place.rule, weight);
            }
        }
    }
    let of_wire = |place: &Place| {
        let rule = book.rules().get(place.rule);
        rule.is_some_and(|rule| rule.verdict == Verdict::NoBasis)
    };
    let taken: FxHashSet<usize> = places
        .iter()
        .filter(|place| stands(place) && full.contains(&place.rule))
        .flat_map(|place| place.sentences.iter().copied())
        .collect();
    for (place, &weight) in places.iter_mut().zip(&weights) {
        let others = full.iter().filter(|&&rule| rule != place.rule).count();
        let shared = |least: usize| {
            let there = place.sentences.iter().filter_map(|at| heaviest.get(at));
            let mut there = there.flatten();
            there.any(|&(rule, other)| rule != place.rule && other >= least.max(1))
        };
        place.among = denied < others && !shared(weight);
        // Who makes several others in full means what he says of this one, whatever he says of it elsewhere.
        place.doubted &= !(place.among && others >= SEVERAL && of_wire(place));
        // A cue that reaches some of its wordings and leaves several belongs to what they tell: “in ours there are none”.
        let own = usize::from(place.stance == Stance::Denied);
        let rule = book.rules().get(place.rule);
        if own > 0
            && denied - own < others
            && place.voiced.len() >= TWICE
            && of_wire(place)
            && rule.is_some_and(|rule| weighs_enough(rule, weight.saturating_sub(MORE)))
            && let Some(voice) = place.voice
        {
            place.stance = voice;
        }
        let beside = || {
            let mut near =
                (place.sentences.iter()).flat_map(|&at| at.saturating_sub(NEAR)..=at + NEAR);
            near.any(|at| taken.contains(&at))
        };
        place.one_more = place.among
            && others >= SEVERAL
            && of_wire(place)
            && !full.contains(&place.rule)
            && !shared(weight / HALF)
            && !beside();
    }
}

/// Which places tell so much, in a document that denies and asks nothing, that no word of sound is wanted beside them; `aside`: among
/// other matters, where nobody speaks of the sound all along.
pub(super) fn spelt_out(common: &Common, places: &[Place], aside: bool) -> Vec<bool> {
    let plain = !places.iter().any(|place| silent(place.stance));
    let rules: FxHashSet<usize> = (places.iter().filter(|place| stands(place)))
        .map(|place| place.rule)
        .collect();
    let told = |place: &Place| {
        let others = rules.iter().filter(|&&rule| rule != place.rule).count();
        let enough = if aside {
            place.wordings >= ENOUGH_WAYS
        } else {
            place.wordings > ENOUGH_WAYS && others >= SEVERAL
        };
        plain && stands(place) && enough && common.told(place) >= TELLING
    };
    places.iter().map(told).collect()
}

/// Whether the document stands behind the claim.
fn stands(place: &Place) -> bool {
    matches!(place.stance, Stance::Asserted | Stance::Endorsed)
}

/// How many places of words these are, each counted once whatever the number of lists that know it.
fn apart(spans: impl Iterator<Item = Span>) -> usize {
    let mut spans: Vec<Span> = spans.collect();
    spans.sort_unstable_by_key(|span| (span.start(), span.end()));
    let mut end = 0;
    let mut count = 0;
    for span in spans {
        if span.start() >= end {
            count += 1;
        }
        end = end.max(span.end());
    }
    count
}

#[cfg(test)]
mod tests {
    use super::{Common, back, set_among, spelt_out};
    use crate::claims::place::Place;
    use crate::finding::{Stance, Verdict};
    use crate::rulebook::{Rule, Rulebook};
    use crate::span::Span;
    use rustc_hash::FxHashSet;

    /// A claim of the rule at `rule` among those of chapter 4, in the sentence `at`, resting on `told` places of words.
    fn place(book: &Rulebook, rule: usize, at: usize, wordings: usize, told: usize) -> Place {
        let rules = book.rules().iter().enumerate();
        let mut ours = rules.filter(|(_, rule)| of_wire(rule));
        let rule = ours.nth(rule).expect("so many rules").0;
        let own = book
            .lexicon()
            .id("quantum.rite")
            .expect("a list of one rule");
        let marks = (0..told).map(|word| (Span::new(word * 9, word * 9 + 5), own));
        Place {
            rule,
            main: at,
            stance: Stance::Asserted,
            span: Span::new(0, 5),
            sentences: vec![at],
            marks: marks.collect(),
            wordings,
            voiced: FxHashSet::default(),
            voice: None,
            doubted: false,
            backed: 0,
            among: false,
            one_more: false,
            left: false,
        }
    }

    fn of_wire(rule: &Rule) -> bool {
        rule.verdict == Verdict::NoBasis
    }

    /// How many wordings the first of `places` is spared.
    fn spared(book: &Rulebook, mut places: Vec<Place>) -> usize {
        back(book, &Common::new(book), of_wire, &mut places);
        places.first().expect("a place").backed
    }

    #[test]
    fn claims_that_are_spelt_out_speak_for_another() {
        let book = Rulebook::builtin();
        let few = |told| place(&book, 0, 0, 1, told);
        let (one, two) = (|| place(&book, 1, 4, 3, 3), || place(&book, 2, 8, 3, 3));
        assert_eq!(spared(&book, vec![few(4)]), 0, "nothing beside it");
        assert_eq!(spared(&book, vec![few(4), one()]), 1, "one beside it");
        assert_eq!(spared(&book, vec![few(3), one()]), 0, "resting on less");
        assert_eq!(
            spared(&book, vec![few(3), one(), two()]),
            1,
            "two beside it"
        );
        assert_eq!(spared(&book, vec![few(4), one(), two()]), 2, "both");
        let faint = place(&book, 1, 4, 2, 3);
        assert_eq!(spared(&book, vec![few(4), faint]), 0, "said in few itself");
        let twice = |rule, at| place(&book, rule, at, 2, 4);
        let among = vec![twice(0, 0), twice(1, 4), twice(2, 8)];
        assert_eq!(spared(&book, among), 1, "among others said in few");
        let once = vec![few(4), twice(1, 4), twice(2, 8)];
        assert_eq!(spared(&book, once), 0, "said once");
    }

    #[test]
    fn a_document_that_denies_or_asks_spares_nothing() {
        let book = Rulebook::builtin();
        for stance in [Stance::Denied, Stance::Asked] {
            let mut other = place(&book, 3, 12, 3, 3);
            other.stance = stance;
            let places = vec![place(&book, 0, 0, 2, 4), place(&book, 1, 4, 3, 3), other];
            assert_eq!(spared(&book, places), 0, "{stance:?}");
        }
    }

    #[test]
    fn words_of_another_claim_are_spared_nothing() {
        let book = Rulebook::builtin();
        let places = vec![place(&book, 0, 4, 2, 4), place(&book, 1, 4, 3, 3)];
        assert_eq!(spared(&book, places), 0, "in its sentence");
    }

    #[test]
    fn what_is_spelt_out_wants_no_word_of_sound() {
        let book = Rulebook::builtin();
        let common = Common::new(&book);
        let (two, three) = (place(&book, 0, 0, 2, 4), || place(&book, 0, 0, 3, 4));
        assert_eq!(spelt_out(&common, &[two], true), [false], "in two wordings");
        assert_eq!(spelt_out(&common, &[three()], true), [true], "in three");
        assert_eq!(
            spelt_out(&common, &[three()], false),
            [false],
            "where sound is spoken of"
        );
        let beside = || [place(&book, 1, 4, 1, 2), place(&book, 2, 8, 1, 2)];
        let four = place(&book, 0, 0, 4, 4);
        let [one, other] = beside();
        let told = spelt_out(&common, &[four, one, other], false);
        assert_eq!(told, [true, false, false], "in four, beside two others");
        let [mut denied, _] = beside();
        denied.stance = Stance::Denied;
        assert_eq!(
            spelt_out(&common, &[three(), denied], true),
            [false, false],
            "beside a denial"
        );
        let few = place(&book, 0, 0, 3, 3);
        assert_eq!(
            spelt_out(&common, &[few], true),
            [false],
            "resting on little"
        );
    }

    /// Which of `places` stand among others, where the words of each weigh what stands beside it.
    fn among(book: &Rulebook, places: Vec<(Place, usize)>) -> Vec<bool> {
        let (mut places, weights): (Vec<Place>, Vec<usize>) = places.into_iter().unzip();
        let by_sentence: Vec<(usize, usize)> =
            places.iter().map(|place| place.main).zip(weights).collect();
        let weight = |place: &Place| {
            let own = by_sentence.iter().find(|(at, _)| *at == place.main);
            own.map_or(0, |(_, weight)| *weight)
        };
        set_among(book, weight, |_| true, &mut places);
        places.iter().map(|place| place.among).collect()
    }

    #[test]
    fn a_claim_stands_among_others_that_are_made_in_full() {
        let book = Rulebook::builtin();
        let few = || (place(&book, 0, 0, 3, 3), 5);
        let full = || (place(&book, 1, 4, 3, 3), 20);
        assert_eq!(among(&book, vec![few()]), [false], "nothing beside it");
        assert_eq!(
            among(&book, vec![few(), full()]),
            [true, false],
            "one beside it"
        );
        let once = (place(&book, 1, 4, 1, 3), 20);
        assert_eq!(
            among(&book, vec![few(), once]),
            [false, false],
            "said in one way"
        );
        let light = (place(&book, 1, 4, 3, 3), 2);
        assert_eq!(
            among(&book, vec![few(), light]),
            [false, false],
            "that weighs little"
        );
        let mut denied = (place(&book, 2, 8, 3, 3), 20);
        denied.0.stance = Stance::Denied;
        assert_eq!(
            among(&book, vec![few(), full(), denied]),
            [false, false, false],
            "beside a denial"
        );
        let mut there = full();
        there.0.sentences.push(0);
        assert_eq!(
            among(&book, vec![few(), there]),
            [false, false],
            "in the sentence of a heavier one"
        );
    }

    /// Whether the first of `places` is one more of several claims.
    fn one_more(book: &Rulebook, mut places: Vec<Place>) -> bool {
        set_among(
            book,
            |place| 5 + 8 * usize::from(place.rule > 0),
            |_| true,
            &mut places,
        );
        places.first().expect("a place").one_more
    }

    #[test]
    fn one_more_stands_apart_from_several_in_full() {
        let book = Rulebook::builtin();
        let few = || place(&book, 0, 0, 1, 3);
        let full = |rule, at| place(&book, rule, at, 3, 3);
        assert!(one_more(&book, vec![few(), full(1, 4), full(2, 8)]));
        assert!(!one_more(&book, vec![few(), full(1, 4)]), "beside one");
        assert!(
            !one_more(&book, vec![few(), full(1, 1), full(2, 8)]),
            "right before another"
        );
        let mut denied = full(3, 12);
        denied.stance = Stance::Denied;
        let mut other = full(4, 16);
        other.stance = Stance::Denied;
        assert!(
            !one_more(&book, vec![few(), full(1, 4), full(2, 8), denied, other]),
            "among denials"
        );
    }

    #[test]
    fn what_is_denied_elsewhere_is_meant_among_several_in_full() {
        let book = Rulebook::builtin();
        let doubted = |others: Vec<Place>| {
            let mut own = place(&book, 0, 0, 3, 4);
            own.doubted = true;
            let mut places = vec![own];
            places.extend(others);
            set_among(&book, |_| 20, |_| true, &mut places);
            places.first().expect("a place").doubted
        };
        let full = |rule, at| place(&book, rule, at, 3, 3);
        assert!(doubted(vec![full(1, 4)]), "beside one");
        assert!(!doubted(vec![full(1, 4), full(2, 8)]), "beside two");
    }

    #[test]
    fn a_cue_that_leaves_several_wordings_denies_none() {
        let book = Rulebook::builtin();
        let voiced = |weight: usize, wordings: &[usize], others: Vec<Place>| {
            let mut own = place(&book, 0, 0, 2, 4);
            own.stance = Stance::Denied;
            own.voiced = wordings.iter().copied().collect();
            own.voice = Some(Stance::Asserted);
            let mut places = vec![own];
            places.extend(others);
            let first = |place: &Place| place.main == 0;
            set_among(
                &book,
                |place| if first(place) { weight } else { 20 },
                |_| true,
                &mut places,
            );
            places.first().expect("a place").stance
        };
        let full = || vec![place(&book, 1, 4, 3, 3)];
        assert_eq!(voiced(20, &[1, 2], full()), Stance::Asserted);
        assert_eq!(voiced(20, &[1], full()), Stance::Denied, "one wording");
        assert_eq!(
            voiced(10, &[1, 2], full()),
            Stance::Denied,
            "of less weight"
        );
        assert_eq!(voiced(20, &[1, 2], Vec::new()), Stance::Denied, "by itself");
        let mut other = place(&book, 2, 8, 3, 3);
        other.stance = Stance::Denied;
        let doubted = full().into_iter().chain([other]).collect();
        assert_eq!(
            voiced(20, &[1, 2], doubted),
            Stance::Denied,
            "beside a denial"
        );
    }

    #[test]
    fn words_that_any_text_on_cables_has_count_for_little() {
        let book = Rulebook::builtin();
        let mut few = place(&book, 0, 0, 1, 4);
        let shared = book
            .lexicon()
            .id("care.cable")
            .expect("a list of many rules");
        for (_, concept) in few.marks.iter_mut().skip(1) {
            *concept = shared;
        }
        let places = vec![few, place(&book, 1, 4, 3, 3), place(&book, 2, 8, 3, 3)];
        assert_eq!(spared(&book, places), 0, "one of its own");
    }
}
