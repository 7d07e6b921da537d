//! What several findings look up in the facts of the whole document, put together once: a long document has thousands of findings, and
//! each that walked all cables by itself would make the cost grow with the square of the length.

use super::Context;
use crate::facts::{Blinding, DifferenceOf};
use crate::sheet::{BlockKind, Kind, Quantity};
use crate::span::Span;
use rustc_hash::FxHashSet;
use std::cell::OnceCell;

/// The indices; each is made when a check first asks for it.
#[derive(Debug, Clone, Default)]
pub struct Known {
    knew: OnceCell<Vec<Knew>>,
    knowing: OnceCell<Vec<usize>>,
    addressed: OnceCell<Vec<usize>>,
    doubted: OnceCell<Vec<usize>>,
    preferred: OnceCell<Vec<usize>>,
    levels: OnceCell<Vec<usize>>,
    parts: OnceCell<Vec<usize>>,
    sizes: OnceCell<Vec<Placed>>,
    cables: OnceCell<Vec<(Span, usize)>>,
    joined: OnceCell<FxHashSet<Span>>,
    nameless: OnceCell<bool>,
    areas: OnceCell<(f64, f64)>,
    metals: OnceCell<Vec<&'static str>>,
    returns: OnceCell<Vec<(Span, f64)>>,
    rivals: OnceCell<super::comparison::rival::Rivals>,
}

/// What is said of who knew which cable was playing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Knew {
    /// The sentence.
    pub(super) sentence: usize,
    /// Whether they knew.
    pub(super) sighted: bool,
    /// Whether it is told to those who knew.
    pub(super) addressed: bool,
}

/// A size of a cable.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// Its words.
    pub(super) span: Span,
    /// Where the words that end last among this and all that begin before it end.
    ends: usize,
    /// Index of the cable.
    pub(super) cable: usize,
    /// Index of the size among those of the cable.
    pub(super) size: usize,
}

impl<'a> Context<'a> {
    /// All that is said of who knew, by sentence.
    pub(super) fn knew(&self) -> &'a [Knew] {
        self.known.knew.get_or_init(|| {
            let setup = &self.facts.setup;
            let addressed: FxHashSet<Span> = setup.addressed.iter().copied().collect();
            let knew = setup.knew.iter().filter_map(|fact| {
                Some(Knew {
                    sentence: self.sentence(fact.span)?,
                    sighted: fact.value == Blinding::Sighted,
                    addressed: addressed.contains(&fact.span),
                })
            });
            let mut knew: Vec<Knew> = knew.collect();
            knew.sort_unstable();
            knew
        })
    }

    /// The sentences of these words, in order.
    fn sentences(&self, words: impl Iterator<Item = Span>) -> Vec<usize> {
        let mut all: Vec<usize> = words.filter_map(|span| self.sentence(span)).collect();
        all.sort_unstable();
        all
    }

    /// Sentences that say who knew, or that nobody did.
    pub(super) fn sentences_on_knowing(&self) -> &'a [usize] {
        let told = || self.knew().iter().map(|knew| knew.sentence).collect();
        self.known.knowing.get_or_init(told)
    }

    /// Sentences in which those who knew are told that they did.
    pub(super) fn addressed(&self) -> &'a [usize] {
        let told = || self.sentences(self.facts.setup.addressed.iter().copied());
        self.known.addressed.get_or_init(told)
    }

    /// Sentences that put in doubt who knew.
    pub(super) fn doubted(&self) -> &'a [usize] {
        let told = || self.sentences(self.facts.setup.doubted.iter().copied());
        self.known.doubted.get_or_init(told)
    }

    /// Sentences that tell what was liked better.
    pub(super) fn preferred(&self) -> &'a [usize] {
        let told = || self.sentences(self.facts.setup.preferred.iter().copied());
        self.known.preferred.get_or_init(told)
    }

    /// Which part of the document a sentence stands in: under which head, or in which round, session or evening of several.
    pub(super) fn part(&self, sentence: usize) -> usize {
        let opens = self.known.parts.get_or_init(|| {
            let blocks = self.sheet.blocks.iter();
            let opening = blocks.filter(|block| {
                matches!(block.kind(), BlockKind::Heading { .. }) || self.counts_a_part(block.span)
            });
            opening.map(|block| block.sentences().start).collect()
        });
        opens.partition_point(|&opens| opens <= sentence)
    }

    /// Whether words begin with the number of a part: “Session two”, “In the second round”.
    fn counts_a_part(&self, words: Span) -> bool {
        /// Words within which it is told, and bytes that they take at most.
        const WORDS: usize = 6;
        const BYTES: usize = 80;
        let text = words.of(self.text);
        let end = (0..=BYTES.min(text.len()))
            .rev()
            .find(|&at| text.is_char_boundary(at));
        let head = text.get(..end.unwrap_or(0)).unwrap_or("");
        let plain = |word: &str| {
            let word = word.trim_matches(|letter: char| !letter.is_alphanumeric());
            word.to_lowercase()
        };
        let first: Vec<String> = head.split_whitespace().take(WORDS).map(plain).collect();
        let (nouns, numbers) = (self.list("part.noun"), self.list("part.number"));
        let number = |word: &String| numbers.has(word) || word.parse::<u8>().is_ok();
        (first.windows(2)).any(|pair| {
            (nouns.has(&pair[0]) && number(&pair[1])) || (number(&pair[0]) && nouns.has(&pair[1]))
        })
    }

    /// Sentences that give a difference of level as an outcome.
    pub(super) fn level_differences(&self) -> &'a [usize] {
        self.known.levels.get_or_init(|| {
            let outcomes = self.facts.comparisons.iter();
            let stated = outcomes
                .filter_map(|comparison| comparison.outcome.as_ref())
                .flat_map(|outcome| &outcome.difference)
                .filter(|difference| difference.of == DifferenceOf::Level)
                .map(|difference| difference.span);
            self.sentences(stated)
        })
    }

    /// Sizes of all cables, by where they begin.
    pub(super) fn sizes(&self) -> &'a [Placed] {
        self.known.sizes.get_or_init(|| {
            let of_cable = self.cables().flat_map(|(index, cable)| {
                let sizes = cable.sizes.iter().enumerate();
                sizes.map(move |(size, own)| Placed {
                    span: own.span,
                    ends: own.span.end(),
                    cable: index,
                    size,
                })
            });
            let mut sizes: Vec<Placed> = of_cable.collect();
            sizes.sort_unstable_by_key(|size| (size.span, size.cable, size.size));
            let mut ends = 0;
            for size in &mut sizes {
                ends = size.ends.max(ends);
                size.ends = ends;
            }
            sizes
        })
    }

    /// Sizes of all cables that begin within `reach` bytes of a place.
    pub(super) fn sizes_near(&self, place: usize, reach: usize) -> &'a [Placed] {
        let sizes = self.sizes();
        let first = sizes.partition_point(|size| size.span.start() + reach < place);
        let near = &sizes[first..];
        let last = near.partition_point(|size| size.span.start() <= place + reach);
        &near[..last]
    }

    /// Whether words share a byte with those of a size.
    pub(super) fn on_size(&self, words: Span) -> bool {
        let sizes = self.sizes();
        let before = sizes.partition_point(|size| size.span.start() < words.end());
        let last = before.checked_sub(1).and_then(|last| sizes.get(last));
        last.is_some_and(|last| words.start() < last.ends)
    }

    /// Words that mean a cable or give a size of it, with the index of the cable, by where they begin.
    pub(super) fn of_cables(&self) -> &'a [(Span, usize)] {
        self.known.cables.get_or_init(|| {
            let words = self.cables().flat_map(|(index, cable)| {
                let sizes = cable.sizes.iter().map(|size| size.span);
                let all = cable.mentions.iter().chain(sizes);
                all.map(move |span| (span, index))
            });
            let mut words: Vec<(Span, usize)> = words.collect();
            words.sort_unstable();
            words
        })
    }

    /// Whether words are the outcome of sides that one sentence joins.
    pub(super) fn joins(&self, words: Span) -> bool {
        let joined = self.known.joined.get_or_init(|| {
            let contrasts = self.facts.contrasts.iter();
            let joined = contrasts.filter(|one| one.joined);
            joined.filter_map(|one| one.outcome).collect()
        });
        joined.contains(&words)
    }

    /// Whether no side of a comparison has a name.
    pub(super) fn nameless_sides(&self) -> bool {
        *self.known.nameless.get_or_init(|| {
            let mut sides = self.facts.comparisons.iter().flat_map(|one| &one.sides);
            sides.all(|side| {
                let cable = self.facts.cables.get(side.cable);
                cable.is_some_and(|cable| !cable.named)
            })
        })
    }

    /// The least and the greatest area of the document, in m².
    pub(super) fn areas(&self) -> (f64, f64) {
        *self.known.areas.get_or_init(|| {
            let sizes = self.facts.cables.iter().flat_map(|cable| &cable.sizes);
            sizes.fold((f64::MAX, 0.0), |(least, most), size| {
                (least.min(size.area.0), f64::max(most, size.area.0))
            })
        })
    }

    /// Copper, and the first few metals that are told of cables.
    pub(super) fn metals(&self) -> &'a [&'static str] {
        const MOST: usize = 4;
        self.known.metals.get_or_init(|| {
            let mut keys = vec!["copper"];
            let all = self.facts.cables.iter().flat_map(|cable| &cable.metals);
            for fact in all {
                if keys.len() >= MOST {
                    break;
                }
                if !keys.contains(&fact.value) {
                    keys.push(fact.value);
                }
            }
            keys
        })
    }

    /// The first sections whose words `chosen` takes for those by which the current comes back, each with its area in m².
    pub(super) fn returns(&self, most: usize, chosen: impl Fn(Span) -> bool) -> &'a [(Span, f64)] {
        self.known.returns.get_or_init(|| {
            let sized = |quantity: &&Quantity| {
                matches!(quantity.kind, Kind::Gauge | Kind::Area | Kind::Strands)
            };
            let all = self.sheet.quantities.iter().filter(sized);
            all.filter_map(|quantity| {
                let area = quantity.si().filter(|&si| si > 0.0)?;
                chosen(quantity.span).then_some((quantity.span, area))
            })
            .take(most)
            .collect()
        })
    }

    /// What is known of cables that are called a rival.
    pub(super) fn rivals(&self) -> &'a super::comparison::rival::Rivals {
        let read = || super::comparison::rival::Rivals::read(self);
        self.known.rivals.get_or_init(read)
    }
}

/// Whether a sentence of `ordered` is one of `own`, both in order.
pub(super) fn any_of(ordered: &[usize], own: &[usize]) -> bool {
    own.iter().any(|at| ordered.binary_search(at).is_ok())
}

/// Whether a sentence of `ordered` lies within `reach` of one of `own`.
pub(super) fn any_near(ordered: &[usize], own: &[usize], reach: usize) -> bool {
    own.iter().any(|&at| {
        let first = ordered.partition_point(|&other| other + reach < at);
        ordered.get(first).is_some_and(|&other| other <= at + reach)
    })
}
