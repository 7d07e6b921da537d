//! The odds that a passage makes a claim, and that the document stands behind it.
//!
//! What `matching` and `stance` say is yes or no: word lists meet or do not, a cue reaches or does not. Real texts lie between. Two logistic
//! regressions weigh what is there. The first gives each sentence the log-odds that it makes the claim of a rule, from the word lists that are
//! said in it and round it (`features`). The second takes what stands out as a passage, with what `matching` and `stance` found there and
//! what the document does besides, and gives the log-odds that it is the document's own claim. The weights (`rules/odds.tsv`) were fitted to
//! labelled documents by `tests/scripts/odds.py`. A rule that has none, such as a house's own, is judged by its words and cues alone.

mod features;
mod table;
mod values;

use super::{Claim, SHORT, tell};
use crate::facts::DocumentKind;
use crate::finding::Stance;
use crate::lexicon::{ConceptId, Hits};
use crate::rulebook::Rulebook;
use crate::sheet::{BlockKind, Sheet};
use features::{Known, Reading, Stances};
use rustc_hash::FxHashMap;
use std::ops::RangeInclusive;
use table::Table;
use values::{of_claims, of_passage};

/// A sentence stands out for a rule from these log-odds on: three in ten.
const STANDS_OUT: f32 = -0.85;
/// Log-odds below this say no more than that.
const LEAST: f32 = -4.0;
/// Log-odds above this say no more than that.
const MOST: f32 = 8.0;
/// Sentences on either side of a passage that tell what is spoken of there.
const ROUND: usize = 3;
/// So many claims denied, and more than are made, show a document that takes them apart.
const MANY: usize = 4;
/// Of so many sentences at least a share is told: of two sentences one is no half of a text.
const FEW: usize = 12;

/// Lists of stance whose share in a document tells what it is about.
const SHARES: [(&str, &str); 14] = [
    ("share stance.deny.heading", "stance.deny.heading"),
    ("share stance.deny.back", "stance.deny.back"),
    ("share stance.deny.all", "stance.deny.all"),
    ("share stance.deny.next", "stance.deny.next"),
    ("share stance.deny.rest", "stance.deny.rest"),
    ("share stance.deny.clause", "stance.deny.clause"),
    ("share stance.report", "stance.report"),
    ("share stance.ask", "stance.ask"),
    ("share stance.own", "stance.own"),
    ("share stance.release", "stance.release"),
    ("share stance.affirm", "stance.affirm"),
    ("share stance.deny.title", "stance.deny.title"),
    ("share stance.task", "stance.task"),
    ("share stance.fact", "stance.fact"),
];

/// The weights for the word lists of a rulebook.
#[derive(Debug)]
pub(super) struct Odds {
    table: Table,
    known: Known,
    /// By rule of the table, its place in the rulebook.
    rules: Vec<Option<usize>>,
    shares: Vec<(&'static str, Option<ConceptId>)>,
}

/// A document as words and cues have it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Document<'d> {
    pub(super) sheet: &'d Sheet,
    pub(super) hits: &'d Hits,
    pub(super) kind: DocumentKind,
    pub(super) claims: &'d [Claim],
}

/// A passage that may make a claim, with what is weighed.
#[derive(Debug, Clone)]
pub struct Passage {
    /// Id of the rule.
    pub rule: String,
    /// Its sentences, by index.
    pub sentences: Vec<usize>,
    /// What is weighed, by name, where that is asked for.
    pub values: Vec<(&'static str, f64)>,
    /// The log-odds that the document stands behind it.
    pub odds: f64,
    /// The claims of the rule there, by place in the list that was given.
    claims: Vec<usize>,
    /// Place of the rule in the rulebook.
    number: usize,
    /// Whether words and cues alone tell somebody of it.
    full: bool,
    /// Whether words and cues know nearly as much: in a few sentences, in a field or a cell, round which nothing is told of it, and
    /// where the author agrees in so many words.
    plain: bool,
}

/// What is weighed in a document, for fitting weights to it.
#[derive(Debug, Clone, Default)]
pub struct Weighed {
    /// By sentence, the names of its features.
    pub sentences: Vec<Vec<String>>,
    /// The passages that may make a claim.
    pub passages: Vec<Passage>,
}

/// Log-odds of a sentence for a rule of the table.
type Standing = (u32, f32);

impl Odds {
    pub(super) fn new(book: &Rulebook) -> Self {
        let lexicon = book.lexicon();
        let table = Table::new(lexicon);
        let number = |id: &String| book.rules().iter().position(|rule| rule.id == *id);
        Self {
            rules: table.rules.iter().map(number).collect(),
            known: Known::new(lexicon),
            shares: SHARES.map(|(name, list)| (name, lexicon.id(list))).to_vec(),
            table,
        }
    }

    /// What is weighed of a document; with `whole`, all its sentences are one passage.
    pub(super) fn weighed(&self, book: &Rulebook, document: &Document<'_>, whole: bool) -> Weighed {
        let reading = self.reading(document);
        let count = document.sheet.sentences.len();
        let names = |core: RangeInclusive<usize>| {
            let mut names = Vec::new();
            let lexicon = book.lexicon();
            let common = reading.document().iter();
            names.extend(common.map(|feature| feature.name(lexicon)));
            reading.visit(core, |feature| names.push(feature.name(lexicon)));
            names.sort_unstable();
            names.dedup();
            names
        };
        let sentences = match count.checked_sub(1) {
            Some(last) if whole => vec![names(0..=last)],
            _ => (0..count).map(|at| names(at..=at)).collect(),
        };
        Weighed {
            sentences,
            passages: self.passages(book, document, true),
        }
    }

    fn reading<'d>(&'d self, document: &Document<'d>) -> Reading<'d> {
        Reading::new(document, &self.known)
    }

    /// Log-odds of each sentence for each rule for which it does not say next to nothing, by rule and in order.
    fn stand(&self, reading: &Reading<'_>, hits: &Hits, count: usize) -> Vec<Vec<Standing>> {
        let mut standing = vec![Vec::new(); self.table.rules.len()];
        let mut seen = vec![usize::MAX; self.table.rows()];
        let mut usual = self.table.usual.clone();
        for row in (reading.document().iter()).filter_map(|&own| self.table.row(own)) {
            self.table.add(row, &mut usual);
        }
        let mut odds = usual.clone();
        for at in 0..count {
            if hits.of(at).is_empty() {
                continue;
            }
            odds.copy_from_slice(&usual);
            reading.visit(at..=at, |feature| {
                let Some(row) = self.table.row(feature) else {
                    return;
                };
                if let Some(mark) = seen.get_mut(row)
                    && std::mem::replace(mark, at) == at
                {
                    return;
                }
                self.table.add(row, &mut odds);
            });
            for (list, &odds) in standing.iter_mut().zip(&odds) {
                if odds > LEAST {
                    list.push((u32::try_from(at).unwrap_or(u32::MAX), odds.min(MOST)));
                }
            }
        }
        standing
    }

    /// The passages that stand out for a rule, and those of claims that are made by their words and cues; `with_values` keeps what is
    /// weighed of each.
    pub(super) fn passages(
        &self,
        book: &Rulebook,
        document: &Document<'_>,
        with_values: bool,
    ) -> Vec<Passage> {
        let &Document {
            sheet,
            hits,
            claims,
            ..
        } = document;
        let reading = self.reading(document);
        let count = sheet.sentences.len();
        let standing = self.stand(&reading, hits, count);
        let common = self.of_document(document);
        let best: Vec<f32> = (standing.iter())
            .map(|list| list.iter().map(|&(_, odds)| odds).fold(LEAST, f32::max))
            .collect();
        // By sentence, the two best rules.
        let mut tops: Vec<[(u16, f32); 2]> = vec![[(u16::MAX, LEAST); 2]; count];
        for (rule, list) in (0_u16..).zip(&standing) {
            for &(at, odds) in list {
                if let Some([first, second]) = tops.get_mut(at as usize) {
                    if odds > first.1 {
                        *second = *first;
                        *first = (rule, odds);
                    } else if odds > second.1 {
                        *second = (rule, odds);
                    }
                }
            }
        }
        let doubting = tell::denies_more_than_it_claims(claims.iter());
        let mut of_rule: FxHashMap<&str, Vec<usize>> = FxHashMap::default();
        for (at, claim) in claims.iter().enumerate() {
            of_rule.entry(claim.rule.as_str()).or_default().push(at);
        }
        let mut passages = Vec::new();
        for (rule, list) in standing.iter().enumerate() {
            let Some(number) = self.rules.get(rule).copied().flatten() else {
                continue;
            };
            let Some(own) = book.rules().get(number) else {
                continue;
            };
            let here = of_rule.get(own.id.as_str()).map_or(&[][..], Vec::as_slice);
            // By sentence, the claims of the rule that stand there.
            let mut told: FxHashMap<usize, Vec<usize>> = FxHashMap::default();
            for &at in here {
                for &sentence in claims.get(at).map_or(&[][..], |claim| &claim.sentences) {
                    told.entry(sentence).or_default().push(at);
                }
            }
            let loud = |claim: &Claim| tell::is_loud(own, claim, sheet, doubting);
            let full = here.iter().filter_map(|&at| claims.get(at));
            let full = full.filter(|claim| loud(claim));
            let full = full.flat_map(|claim| claim.sentences.iter().copied());
            let runs = runs(sheet, list, full);
            let others = |least: f32| {
                let other = |&(at, &odds): &(usize, &f32)| at != rule && odds > least;
                best.iter().enumerate().filter(other).count()
            };
            let (sure, likely) = (others(2.2), others(0.0));
            for run in runs {
                let odds_at = |at: usize| {
                    let found = list.binary_search_by_key(&at, |&(at, _)| at as usize);
                    found.map_or(LEAST, |found| list[found].1)
                };
                let odds = || run.iter().map(|&at| odds_at(at));
                let most = odds().fold(LEAST, f32::max);
                let main = run.iter().copied().find(|&at| odds_at(at) >= most);
                let rival = (run.iter().filter_map(|&at| tops.get(at)).flatten())
                    .filter(|(other, _)| usize::from(*other) != rule)
                    .map(|&(_, odds)| odds)
                    .fold(LEAST, f32::max);
                let near = self.near(&run, &tops);
                let beside = with_neighbours(sheet, &run);
                let found = beside.iter().filter_map(|at| told.get(at)).flatten();
                let mut found: Vec<usize> = found.copied().collect();
                found.sort_unstable();
                found.dedup();
                let there: Vec<(usize, &Claim)> = (found.into_iter())
                    .filter_map(|at| Some((at, claims.get(at)?)))
                    .collect();
                let mut values = common.clone();
                let sum: f64 = odds().map(chance).sum();
                values.extend(of_passage(f64::from(most), sum.ln(), run.len()));
                values.extend([
                    ("short of the best", f64::from(odds_of(&best, rule) - most)),
                    ("other rule here", f64::from(rival - most)),
                    (
                        "weaker than another rule here",
                        f64::from((rival - most).min(0.0)),
                    ),
                    ("other rules, sure", number_of(sure)),
                    ("other rules, likely", number_of(likely)),
                    ("other rules, log", number_of(1 + sure).ln()),
                    ("spoken of around", near),
                ]);
                let is_loud = there.iter().any(|(_, claim)| loud(claim));
                values.extend(of_claims(own, &there, sheet, is_loud, f64::from(most)));
                let block = main.and_then(|at| sheet.sentences.get(at));
                let block = block.and_then(|own| sheet.blocks.get(own.block()));
                let in_field = block.is_some_and(|block| {
                    matches!(block.kind(), BlockKind::Field | BlockKind::Cell { .. })
                });
                let weighed = values.iter();
                let weighed = weighed.map(|(name, value)| value * self.table.passage(name));
                let endorsed = |(_, claim): &(usize, &Claim)| claim.stance == Stance::Endorsed;
                passages.push(Passage {
                    rule: own.id.clone(),
                    sentences: run,
                    odds: self.table.passage("usual") + weighed.sum::<f64>(),
                    full: is_loud,
                    plain: count < SHORT || in_field || there.iter().any(endorsed),
                    claims: there.into_iter().map(|(at, _)| at).collect(),
                    number,
                    values: if with_values { values } else { Vec::new() },
                });
            }
        }
        passages
    }

    /// The mean chance of the sentences round a passage to make any claim.
    fn near(&self, run: &[usize], tops: &[[(u16, f32); 2]]) -> f64 {
        let (Some(&first), Some(&last)) = (run.first(), run.last()) else {
            return 0.0;
        };
        let around = first.saturating_sub(ROUND)..(last + ROUND + 1).min(tops.len());
        let (mut sum, mut count) = (0.0, 0_usize);
        for at in around
            .filter(|at| run.binary_search(at).is_err())
            .take(4 * ROUND)
        {
            sum += tops.get(at).map_or(0.0, |tops| chance(tops[0].1));
            count += 1;
        }
        sum / number_of(count.max(1))
    }

    /// What holds for the whole document.
    fn of_document(&self, document: &Document<'_>) -> Vec<(&'static str, f64)> {
        let &Document {
            sheet,
            hits,
            kind,
            claims,
        } = document;
        let count = sheet.sentences.len();
        let own = stances(claims);
        let sells = matches!(kind, DocumentKind::Sheet | DocumentKind::Range);
        let (made, denied) = (number_of(own.made), number_of(own.denied));
        let mut values = vec![
            ("sentences, log", number_of(count.max(1)).ln()),
            ("short", truth(count < SHORT)),
            ("sheet", truth(sells)),
            ("comparison", truth(kind == DocumentKind::Comparison)),
            ("made", made.min(5.0)),
            ("made, none", truth(own.made == 0)),
            ("made, few", made.min(3.0)),
            ("made, log", (1.0 + made).ln()),
            ("denied", denied.min(20.0)),
            ("denied, none", truth(own.denied == 0)),
            ("denied, few", denied.min(3.0)),
            ("denied, log", (1.0 + denied).ln()),
            ("denied to made", denied.min(20.0) / (1.0 + made)),
            ("asked, log", number_of(1 + own.asked).ln()),
            ("reported", number_of(own.reported).min(10.0)),
        ];
        let share = |list: ConceptId| {
            let say = (0..count).filter(|&at| hits.say(at, list)).count();
            number_of(say) / number_of(count.max(FEW))
        };
        values.extend(self.shares.iter().map(|&(name, list)| {
            let said = list.filter(|&list| hits.anywhere(list));
            (name, said.map_or(0.0, share))
        }));
        values
    }

    /// Lets the odds decide which claims of a document, which may be `short`, stand, and adds those that words and cues did not find.
    pub(super) fn decide(
        &self,
        passages: Vec<Passage>,
        short: bool,
        claims: &mut Vec<Claim>,
        mut word: impl FnMut(&Passage) -> Option<Claim>,
    ) {
        let own = stances(claims);
        let takes_apart = own.denied >= MANY && own.denied > own.made;
        for passage in passages {
            let stands = passage.odds > self.table.passage(passage.least());
            let mut told = false;
            for &at in &passage.claims {
                let Some(claim) = claims.get_mut(at) else {
                    continue;
                };
                let made = matches!(claim.stance, Stance::Asserted | Stance::Endorsed);
                // What is a note by its words alone stays one, for the reason that they give.
                if made && (stands || passage.full) {
                    claim.stands = Some(stands);
                }
                told |= made;
            }
            if !stands || told {
                continue;
            }
            let silenced = passage.claims.first().and_then(|&at| claims.get_mut(at));
            // In a few sentences a cue leaves little else to go by, and who takes apart one claim after the other means what he denies.
            if silenced.is_some() && (short || takes_apart) {
                continue;
            }
            if let Some(claim) = silenced {
                claim.stance = Stance::Asserted;
                claim.stands = Some(true);
            } else if let Some(claim) = word(&passage) {
                claims.push(claim);
            }
        }
    }
}

impl Passage {
    /// Place of the rule in the rulebook.
    pub(super) fn number(&self) -> usize {
        self.number
    }

    /// The name of the log-odds that it must have: what words and cues find is kept sooner than what they do not find is added.
    fn least(&self) -> &'static str {
        match (self.full, self.plain) {
            (true, false) => "keep",
            (false, false) => "add",
            (true, true) => "keep, short",
            (false, true) => "add, short",
        }
    }
}

/// Sentences side by side in a block that stand out, or that a claim is `told` in.
fn runs(sheet: &Sheet, list: &[Standing], told: impl Iterator<Item = usize>) -> Vec<Vec<usize>> {
    let standing = list.iter().filter(|&&(_, odds)| odds > STANDS_OUT);
    let mut all: Vec<usize> = standing.map(|&(at, _)| at as usize).chain(told).collect();
    all.sort_unstable();
    all.dedup();
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for at in all {
        match runs.last_mut() {
            Some(run)
                if run
                    .last()
                    .is_some_and(|&last| last + 1 == at && same_block(sheet, last, at)) =>
            {
                run.push(at);
            }
            _ => runs.push(vec![at]),
        }
    }
    runs
}

fn same_block(sheet: &Sheet, one: usize, other: usize) -> bool {
    let block = |at: usize| sheet.sentences.get(at).map(|own| own.block());
    block(one).is_some() && block(one) == block(other)
}

/// The sentences of a passage and those of its block right beside it.
fn with_neighbours(sheet: &Sheet, run: &[usize]) -> Vec<usize> {
    let (Some(&first), Some(&last)) = (run.first(), run.last()) else {
        return Vec::new();
    };
    let before = first
        .checked_sub(1)
        .filter(|&at| same_block(sheet, at, first));
    let behind = Some(last + 1).filter(|&at| same_block(sheet, at, last));
    let own = run.iter().copied();
    before.into_iter().chain(own).chain(behind).collect()
}

fn stances(claims: &[Claim]) -> Stances {
    let count = |stance: Stance| claims.iter().filter(|claim| claim.stance == stance).count();
    Stances {
        made: count(Stance::Asserted) + count(Stance::Endorsed),
        denied: count(Stance::Denied),
        asked: count(Stance::Asked),
        reported: count(Stance::Reported),
    }
}

fn odds_of(all: &[f32], at: usize) -> f32 {
    all.get(at).copied().unwrap_or(LEAST)
}

fn chance(odds: f32) -> f64 {
    1.0 / (1.0 + (-f64::from(odds)).exp())
}

fn truth(holds: bool) -> f64 {
    f64::from(u8::from(holds))
}

fn number_of(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::Odds;
    use crate::claims::Engine;
    use crate::facts;
    use crate::finding::Stance;
    use crate::lexicon::Hits;
    use crate::rulebook::Rulebook;
    use crate::sheet;

    /// A page of a shop, with a sentence in its midst.
    fn page(own: &str) -> String {
        format!(
            "From the workshop\n\nWe wind every speaker cable by hand, and each of them spends three days in liquid nitrogen before it \
             leaves us. The copper comes out settled, and the violins lose their edge. {own} Two hundred hours of play do the rest: \
             until then the bass is tight and the voices are small, and after that the stage opens. Mind the arrows on the jacket, \
             since the wire sounds freer in the way that it was drawn. You will hear it in the first bar. Ask for a pair on loan."
        )
    }

    #[test]
    fn every_value_of_a_passage_has_a_weight_and_every_weight_a_value() {
        let book = Rulebook::builtin();
        let engine = Engine::new(&book);
        let sheet = sheet::read(&page(""));
        let spans = sheet.sentences.iter().map(|sentence| sentence.span);
        let asked = facts::asked(book.lexicon());
        let hits = Hits::read_asked(book.lexicon(), sheet.flow.text(), spans, &asked);
        let known = facts::read(&sheet, book.lexicon(), &hits);
        let names = || known.names(&sheet);
        let weighed = engine.weighed(&sheet, &hits, known.kind, names, false);
        let passage = weighed.passages.first().expect("a passage stands out");
        let odds = Odds::new(&book);
        let mut told: Vec<&str> = passage.values.iter().map(|&(name, _)| name).collect();
        told.sort_unstable();
        let limits = ["usual", "keep", "add", "keep, short", "add, short"];
        let mut weights: Vec<&str> = odds.table.passage_names().collect();
        weights.retain(|name| !limits.contains(name));
        weights.sort_unstable();
        assert_eq!(told, weights);
        assert_eq!(weighed.sentences.len(), sheet.sentences.len());
    }

    #[test]
    fn the_odds_decide_where_words_and_cues_do_not() {
        let book = Rulebook::builtin();
        let engine = Engine::new(&book);
        let claims = |text: &str| {
            let sheet = sheet::read(text);
            let spans = sheet.sentences.iter().map(|sentence| sentence.span);
            let hits = Hits::read(book.lexicon(), sheet.flow.text(), spans);
            engine.claims(&sheet, &hits, facts::DocumentKind::Article)
        };
        let made = claims(&page("Nothing else is done to it."));
        for rule in ["deep-freezing", "run-in", "wire-direction"] {
            let stands = |claim: &crate::claims::Claim| {
                claim.rule == rule && claim.stance == Stance::Asserted && claim.stands == Some(true)
            };
            assert!(made.iter().any(stands), "{rule}: {made:?}");
        }
        let lesson = page("").replace("From the workshop", "Ten statements of which none is true")
            + " None of this is so. Cold leaves copper as it was, no wire settles by playing, and it has no direction. We measured all of it.";
        let quiet = claims(&lesson);
        let loud = quiet.iter().filter(|claim| claim.stands == Some(true));
        assert!(loud.count() < made.len(), "{quiet:?}");
    }
}
