//! A cable that is said to be beaten and of which the document gives neither name nor size, wherever the two are told.

use super::super::{Context, Said};
use crate::claims::Claim;
use crate::facts::Cable;
use crate::finding::Stance;
use crate::sheet::Kind;
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

pub(in crate::checks) const RULES: &[&str] = &[RULE];
const RULE: &str = "rival-unspecified";
/// Name of the cable that something is put above.
const RIVAL: &str = "the rival";
/// Sentences between the size of both and what is said of one.
const NEAR: usize = 10;

pub(in crate::checks) fn run(context: &Context<'_>) -> Vec<Said> {
    // What the words of one passage say together is found there; what is denied or asked there is not claimed here.
    let claimed = |claim: &Claim| claim.rule == RULE && !size_beside(context, claim);
    if context.claims.iter().any(claimed) {
        return Vec::new();
    }
    let Some(rivalry) = context.facts.rivalry else {
        return Vec::new();
    };
    let message = format!(
        "“{}” puts something above “{}”, of which the document gives no conductor size, so nothing can be recomputed.",
        context.quote(rivalry.outcome),
        context.quote(rivalry.rival),
    );
    vec![
        Said::finding(context, RULE)
            .message(message)
            .mark(rivalry.outcome, "the outcome")
            .mark(rivalry.rival, "no size is given"),
    ]
}

/// What is known of cables that are called a rival, for all claims of a document.
#[derive(Debug, Clone, Default)]
pub(in crate::checks) struct Rivals {
    rivals: Vec<Rival>,
    /// Whether a comparison has two sides of known size.
    compared: bool,
}

#[derive(Debug, Clone, Default)]
struct Rival {
    /// Whether it has a size that is not loose.
    sized: bool,
    /// Its mentions and their places among all of them, by where they begin.
    mentions: Vec<(Span, usize)>,
    /// Of mentions in a sentence that gives its size, the words with their places.
    with_size: FxHashMap<String, Vec<Span>>,
    /// Mentions of what has been told of, each with the end of the one that ends last so far.
    known: Vec<(Span, usize)>,
    /// Sentences that give its size of it and of another cable.
    of_both: Vec<usize>,
}

impl Rivals {
    pub(in crate::checks) fn read(context: &Context<'_>) -> Self {
        let rivals = context.facts.cables.iter().filter(|one| one.name == RIVAL);
        Self {
            rivals: rivals.map(|cable| Rival::read(context, cable)).collect(),
            compared: context.facts.comparisons.iter().any(|comparison| {
                let sized = comparison.sides.iter().filter(|side| {
                    let cable = context.facts.cables.get(side.cable);
                    cable.is_some_and(|cable| cable.effective_area().is_some())
                });
                sized.count() >= 2
            }),
        }
    }
}

impl Rival {
    fn read(context: &Context<'_>, cable: &Cable) -> Self {
        let words = |span| context.quote(span).to_lowercase();
        let sizes = || cable.sizes.iter().filter(|size| !size.loose);
        let mut made = Self {
            sized: sizes().next().is_some(),
            ..Self::default()
        };
        // Most rivals have no size, and are then mentioned as often as one likes.
        if made.sized {
            let told: FxHashSet<usize> = sizes()
                .filter_map(|size| context.sentence(size.span))
                .collect();
            for there in cable.mentions.iter() {
                if (context.sentence(there)).is_some_and(|at| told.contains(&at)) {
                    made.with_size.entry(words(there)).or_default().push(there);
                }
            }
            let mentions = cable.mentions.iter();
            made.mentions = mentions.zip(0..).collect();
            made.mentions.sort_unstable();
        }
        if !cable.sizes.is_empty() {
            // "The plain cable" is one that has been told of, "a generic wire" is not.
            let known = |here: &Span| {
                let ahead = context.text.get(..here.start()).unwrap_or("").trim_end();
                words(*here).starts_with("the ") || ahead.ends_with("the") || ahead.ends_with("The")
            };
            let mentions = cable.mentions.iter().filter(known);
            made.known = mentions.map(|span| (span, span.end())).collect();
            made.known.sort_unstable();
            let mut last = 0;
            for (_, end) in &mut made.known {
                last = last.max(*end);
                *end = last;
            }
            let told_of_both = |span: Span| {
                let at = context.sentence(span)?;
                let sentence = context.sheet.sentences[at].span.of(context.text);
                sentence
                    .split(|letter: char| !letter.is_alphabetic())
                    .any(|word| ["both", "each", "all"].contains(&word.to_lowercase().as_str()))
                    .then_some(at)
            };
            let another = |span: Span| {
                let mut same = context.sizes_near(span.start(), 0).iter();
                same.any(|size| {
                    let other = context.facts.cables.get(size.cable);
                    size.span == span
                        && other.is_some_and(|other| {
                            let told = other.sizes.get(size.size);
                            other.name != RIVAL && told.is_some_and(|told| !told.loose)
                        })
                })
            };
            let own = cable.sizes.iter().map(|size| size.span);
            made.of_both = own
                .filter(|&span| another(span))
                .filter_map(told_of_both)
                .collect();
            made.of_both.sort_unstable();
        }
        made
    }

    /// "Better than the bell wire", of which a list above gives the size.
    fn named(&self, context: &Context<'_>, claim: Span) -> bool {
        let first = self
            .mentions
            .partition_point(|(span, _)| span.start() < claim.start());
        let within = self.mentions[first..]
            .iter()
            .take_while(|(span, _)| span.start() <= claim.end())
            .filter(|(span, _)| claim.contains(*span));
        let Some(&(here, _)) = within.min_by_key(|(_, place)| *place) else {
            return false;
        };
        let called = context.quote(here).to_lowercase();
        self.with_size
            .get(&called)
            .is_some_and(|there| there.iter().any(|&there| there != here))
    }

    /// "Two lengths, both 2.5 mm²": the rival has the size that is told of it and of another in one breath.
    fn shared(&self, context: &Context<'_>, claim: Span) -> bool {
        let before = self
            .known
            .partition_point(|(span, _)| span.start() < claim.end());
        let last = before.checked_sub(1).and_then(|last| self.known.get(last));
        let met = last.is_some_and(|&(_, end)| claim.start() < end);
        met && context.sentence(claim).is_some_and(|claimed| {
            let from = self.of_both.partition_point(|&at| at + NEAR < claimed);
            self.of_both.get(from).is_some_and(|&at| at <= claimed)
        })
    }
}

/// Whether what a claim calls the old one, or one's own, is a side of a test of which the document gives every size.
pub(in crate::checks) fn sized(context: &Context<'_>, claim: &Claim) -> bool {
    if claim.rule != RULE {
        return false;
    }
    let known = context.list("rival.known");
    let pointed = || {
        context
            .quote(claim.span)
            .to_lowercase()
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| known.has(word))
    };
    let all = context.rivals();
    let told =
        |rival: &Rival| rival.named(context, claim.span) || rival.shared(context, claim.span);
    all.rivals.iter().any(told)
        || (all.compared && pointed())
        || size_beside(context, claim)
        || sized_by_words(context, claim)
}

/// Whether a size stands beside a claim that may be one of the rival: any but one that is told of a cable with a name, or that stands
/// ahead of “than” in the sentence whose rival stands behind it: “the Teal, 4 mm², sounds better than ordinary cable”.
fn size_beside(context: &Context<'_>, claim: &Claim) -> bool {
    /// So many sizes are looked at: a claim that goes on and on is told by its beginning.
    const SIZES: usize = 64;
    let Some((&first, &last)) = claim
        .sentences
        .iter()
        .min()
        .zip(claim.sentences.iter().max())
    else {
        return false;
    };
    let sentences = &context.sheet.sentences;
    let block = |at: usize| sentences.get(at).map(|one| one.block());
    let from = first.saturating_sub(1);
    let from = if block(from) == block(first) {
        from
    } else {
        first
    };
    let to = if block(last + 1) == block(last) {
        last + 1
    } else {
        last
    };
    let (Some(start), Some(end)) = (sentences.get(from), sentences.get(to)) else {
        return false;
    };
    let (start, end) = (start.span.start(), end.span.end());
    let quantities = &context.sheet.quantities;
    let near = quantities.partition_point(|quantity| quantity.span.start() < start);
    let near = quantities[near..]
        .iter()
        .take_while(|quantity| quantity.span.start() < end);
    let mut sizes = near
        .filter(|near| matches!(near.kind, Kind::Area | Kind::Gauge | Kind::Strands))
        .take(SIZES);
    // What is denied beside a size of whichever is no word against rivals.
    let denied = claim.stance == Stance::Denied;
    sizes.any(|size| {
        denied || !(of_a_name(context, size.span) || ahead_of_than(context, claim, size.span))
    })
}

/// Whether a size is told of a cable with a name of its own, and of no other.
fn of_a_name(context: &Context<'_>, size: Span) -> bool {
    /// More mentions are not looked through for each size: then it may be the rival's.
    const MENTIONS: usize = 256;
    let mut owners = (context.sizes_near(size.start(), 0).iter())
        .filter_map(|placed| context.facts.cables.get(placed.cable))
        .peekable();
    let named = |cable: &Cable| {
        cable.name.starts_with(char::is_uppercase)
            && cable.mentions.len() <= MENTIONS
            && cable.mentions.iter().any(|span| {
                context.sentence(span) == context.sentence(size) && span.end() <= size.start()
            })
    };
    owners.peek().is_some() && owners.all(named)
}

/// Whether a size stands ahead of “than” in its sentence, and words of the claim behind it.
fn ahead_of_than(context: &Context<'_>, claim: &Claim, size: Span) -> bool {
    let Some(sentence) = context
        .sentence(size)
        .and_then(|at| context.sheet.sentences.get(at))
    else {
        return false;
    };
    let end = sentence.span.end().max(size.end());
    let behind = Span::new(size.end(), end).of(context.text);
    let Some(than) = behind.find(" than ").map(|at| size.end() + at) else {
        return false;
    };
    let marked = |inside: Span| claim.marks.iter().any(|(span, _)| inside.contains(*span));
    // What is put above the other stands between the two, and the other behind.
    marked(Span::new(than, end)) && !marked(Span::new(sentence.span.start(), size.start()))
}

/// Whether the words for the rival stand right before a size elsewhere: “Test set: … Ordinary cable 2 × 0.75 mm², 10 m”.
fn sized_by_words(context: &Context<'_>, claim: &Claim) -> bool {
    /// Bytes between the words and their size.
    const BETWEEN: usize = 12;
    /// So many sizes are looked at.
    const SIZES: usize = 256;
    let names: Vec<String> = claim
        .marks
        .iter()
        .map(|(span, _)| context.quote(*span).to_lowercase())
        .filter(|words| words.contains(' '))
        .collect();
    let sizes = context
        .sheet
        .quantities
        .iter()
        .filter(|quantity| matches!(quantity.kind, Kind::Area | Kind::Gauge | Kind::Strands));
    sizes.take(SIZES).any(|size| {
        let start = size.span.start();
        let before = |words: &String| {
            let from = start.saturating_sub(words.len() + BETWEEN);
            let from = context.text.ceil_char_boundary(from).min(start);
            let ahead = Span::new(from, start).of(context.text).to_lowercase();
            ahead
                .find(words.as_str())
                .is_some_and(|at| !ahead[at..].contains(['.', ';', ',']))
        };
        names.iter().any(before)
    })
}
