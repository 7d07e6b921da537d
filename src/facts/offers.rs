//! Uses that a passage of running text offers: a size, a run and a load (or a power) that stand together, and words that
//! recommend them. Whose cable it is does not matter: the figures of the passage are judged by themselves.

mod answers;
mod entries;
mod power;

use super::Besides;
use super::read::{Owner, Reader, fact};
use super::roles::Role;
use super::roster::is_size;
use super::terms::Terms;
use super::types::{Cable, Fact, FigureKind, Load, LoadKind, Use};
use super::uses::is_way;
use super::voices;
use crate::lexicon::ConceptId;
use crate::sheet::{Block, BlockKind, Sentence};
use crate::span::Span;
use crate::units::{Metre, Ohm, Watt};
use rustc_hash::FxHashMap;
use std::cell::OnceCell;
use std::ops::Range;

/// Most bytes of a passage.
const LONGEST: usize = 1_200;

/// Most metals that are told apart.
const MOST_METALS: usize = 16;

/// Two values that differ by no more are one, in two notations.
const ALIKE: f64 = 1.12;

/// Reads the passages.
pub(super) fn read(reader: &mut Reader<'_>) {
    let mut offers: Vec<Cable> = Vec::new();
    let whole = Whole::default();
    let blocks = 0..reader.sheet.blocks.len();
    let passages = blocks.filter_map(|block| passage(reader, &whole, block));
    let entries = entries::read(reader, &whole);
    let answers = answers::read(reader, &whole);
    let powers = power::read(reader, &whole);
    for mut offer in passages.chain(entries).chain(answers).chain(powers) {
        offer
            .besides()
            .uses
            .retain(|used| !placed_elsewhere(reader, used));
        if offer.uses.is_empty() {
            continue;
        }
        let length = |cable: &Cable| cable.uses.first().and_then(|used| used.length);
        let power = |cable: &Cable| cable.uses.first().and_then(|used| used.power);
        let known = offers
            .iter()
            .any(|other| length(other) == length(&offer) && power(other) == power(&offer));
        if !known {
            offers.push(offer);
        }
    }
    for offer in &offers {
        run_of_cable(reader, offer);
    }
    reader.facts.offers = offers;
    reader.facts.clad_apart = clad_apart(reader);
}

/// A cable of which no length is told has the run that it is offered for: “it is 10 m to the hall. Our 16 AWG will do. You lose 0.1 dB”.
fn run_of_cable(reader: &mut Reader<'_>, offer: &Cable) {
    let length = offer.uses.first().and_then(|used| used.length);
    let size = offer.sizes.first().map(|size| size.quantity as usize);
    let (Some(length), Some(size)) = (length, size) else {
        return;
    };
    if let Owner::One(cable) = reader.owners.at(size)
        && let Some(cable) = reader.facts.cables.get_mut(cable)
        && cable.lengths.is_empty()
    {
        cable.lengths.push(length);
    }
}

/// Sentences that set clad wire and copper apart: “in solid copper and in CCA. The second has more resistance”.
fn clad_apart(reader: &Reader<'_>) -> Vec<Span> {
    let terms = &reader.terms;
    let sentences = &reader.sheet.sentences;
    let apart = [terms.clad_two, terms.clad_legit];
    let says = |at: usize| reader.hits.saying_any(at, &apart).next().is_some();
    let next = |at: usize| {
        let beside = sentences.get(at + 1).map(Sentence::block) == Some(sentences[at].block());
        beside && reader.hits.say(at + 1, terms.clad_legit)
    };
    (0..sentences.len())
        .filter(|&at| says(at) || next(at))
        .map(|at| sentences[at].span)
        .collect()
}

/// Where the length and the power of a use stand.
type Told = (Option<Span>, Option<Span>);

/// What passages ask of the whole document, looked for once.
#[derive(Default)]
struct Whole {
    /// Its one size and its one load.
    only: OnceCell<(Option<usize>, Option<usize>)>,
    /// Metals of its cables, in order.
    metals: OnceCell<Vec<Fact<&'static str>>>,
    /// Of the cables that have a use, by where its length and its power stand, the least area of each in order, and the least of the
    /// greatest areas of it and of those behind it, m².
    uses: OnceCell<FxHashMap<Told, Vec<(f64, f64)>>>,
}

impl Whole {
    fn metals(&self, reader: &Reader<'_>) -> &[Fact<&'static str>] {
        self.metals.get_or_init(|| {
            let cables = reader.facts.cables.iter();
            let mut all: Vec<Fact<&'static str>> =
                cables.flat_map(|cable| &cable.metals).cloned().collect();
            all.sort_by_key(|fact| (fact.span.start(), fact.span.end()));
            all.dedup_by_key(|fact| fact.span);
            all
        })
    }

    fn having(&self, reader: &Reader<'_>, wanted: &Use) -> &[(f64, f64)] {
        let key = |used: &Use| {
            (
                used.length.map(|fact| fact.span),
                used.power.map(|fact| fact.span),
            )
        };
        let uses = self.uses.get_or_init(|| {
            let mut uses: FxHashMap<_, Vec<(f64, f64)>> = FxHashMap::default();
            for cable in &reader.facts.cables {
                let areas = || cable.sizes.iter().map(|size| size.area.0);
                let (least, most) = (areas().reduce(f64::min), areas().reduce(f64::max));
                let (Some(least), Some(most), false) = (least, most, areas().any(f64::is_nan))
                else {
                    continue;
                };
                for used in &cable.uses {
                    uses.entry(key(used)).or_default().push((least, most));
                }
            }
            for areas in uses.values_mut() {
                areas.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
                let mut last = f64::INFINITY;
                for (_, most) in areas.iter_mut().rev() {
                    last = last.min(*most);
                    *most = last;
                }
            }
            uses
        });
        uses.get(&key(wanted)).map_or(&[], Vec::as_slice)
    }

    fn of(&self, reader: &Reader<'_>) -> (Option<usize>, Option<usize>) {
        *self.only.get_or_init(|| {
            let everything = found(reader, &(0..reader.sheet.sentences.len()));
            (
                one(reader, &everything.sizes),
                one(reader, &everything.loads),
            )
        })
    }
}

/// What stands in a passage: the quantities of each role.
struct Found {
    sizes: Vec<usize>,
    runs: Vec<usize>,
    loads: Vec<usize>,
    powers: Vec<usize>,
}

fn found(reader: &Reader<'_>, sentences: &Range<usize>) -> Found {
    let quantities: Vec<usize> = sentences
        .clone()
        .flat_map(|sentence| reader.in_sentence(sentence))
        .collect();
    let of = |role: Role| {
        quantities
            .iter()
            .copied()
            .filter(|&index| reader.roles[index] == role)
            .collect::<Vec<_>>()
    };
    Found {
        sizes: of(Role::Size)
            .into_iter()
            .filter(|&index| is_size(reader.sheet.quantities[index].kind))
            .chain(of(Role::SolidDiameter))
            .collect(),
        runs: outside_brackets(reader, of(Role::Run)),
        loads: of(Role::Load)
            .into_iter()
            .filter(|&index| reader.load_kind(index) == LoadKind::Loudspeaker)
            .collect(),
        powers: of(Role::Power),
    }
}

/// Runs without those in brackets, where others stand outside: "twenty metres … (mine is only two)".
fn outside_brackets(reader: &Reader<'_>, runs: Vec<usize>) -> Vec<usize> {
    let outside = |index: &usize| {
        let sentence = reader.sheet.sentences[reader.sentence_of(*index)].span;
        let start = reader.sheet.quantities[*index].span.start();
        let ahead = Span::new(sentence.start(), start).of(reader.text());
        ahead.matches('(').count() <= ahead.matches(')').count()
    };
    if runs.iter().any(outside) {
        runs.into_iter().filter(outside).collect()
    } else {
        runs
    }
}

/// The one size of these, when they all say the same.
pub(super) fn one_size(reader: &Reader<'_>, sizes: &[usize]) -> Option<usize> {
    one(reader, sizes)
}

/// The one value of these quantities, when they all say the same.
pub(super) fn one_value(reader: &Reader<'_>, quantities: &[usize]) -> Option<usize> {
    one(reader, quantities)
}

/// The one value of these quantities, when they all say the same.
fn one(reader: &Reader<'_>, quantities: &[usize]) -> Option<usize> {
    let value = |index: usize| match reader.roles[index] {
        Role::SolidDiameter => area(reader, index),
        _ => reader.sheet.quantities[index].si().unwrap_or(f64::NAN),
    };
    let (&first, rest) = quantities.split_first()?;
    rest.iter()
        .all(|&other| (1.0 / ALIKE..=ALIKE).contains(&(value(other) / value(first))))
        .then_some(first)
}

/// Metal area of a size or of a solid wire of that diameter, m².
pub(super) fn area(reader: &Reader<'_>, size: usize) -> f64 {
    reader.size(size).map_or(f64::NAN, |size| size.area.0)
}

fn is_prose(kind: BlockKind) -> bool {
    matches!(kind, BlockKind::Paragraph | BlockKind::Item)
}

/// The use that the passage around a block offers.
fn passage(reader: &Reader<'_>, whole: &Whole, block: usize) -> Option<Cable> {
    let sheet = reader.sheet;
    let own = &sheet.blocks[block];
    // Who asks in a letter that is quoted offers nothing.
    let asks = own.quoted() && own.span.of(reader.text()).trim_end().ends_with('?');
    if !is_prose(own.kind())
        || own.quoted() && own.speaker().is_some()
        || asks
        || own.span.len() > LONGEST
    {
        return None;
    }
    let inside = found(reader, &own.sentences());
    // The passage must begin with a run or a power and one more of what is needed.
    let begun = usize::from(!inside.sizes.is_empty()) + usize::from(!inside.loads.is_empty());
    if (inside.runs.is_empty() && inside.powers.is_empty()) || begun == 0 {
        return None;
    }
    let next = sheet
        .blocks
        .get(block + 1)
        .filter(|next| is_prose(next.kind()) && next.section() == own.section())
        .filter(|next| next.kind() != BlockKind::Item && !headed(reader, next))
        .map_or(0..0, |next| next.sentences());
    let size = match one(reader, &inside.sizes) {
        Some(size) => size,
        None if inside.sizes.is_empty() => {
            whole.of(reader).0.or_else(|| the_same(reader, block))?
        }
        None => return None,
    };
    let load = match one(reader, &inside.loads) {
        Some(load) => load,
        None if inside.loads.is_empty() && !inside.sizes.is_empty() => {
            let load = whole.of(reader).1?;
            voices::converse(reader, block, reader.block_of(load)).then_some(load)?
        }
        None => return None,
    };
    let run = one(reader, &inside.runs);
    let power = one(reader, &inside.powers);
    let span = own.span;
    let use_of = |length, power| Use {
        length,
        load: Some(load_fact(reader, load)),
        power,
        span,
    };
    let says = |sentences: &Range<usize>, concept: ConceptId| {
        let mut sentences = sentences.clone();
        sentences.any(|at| {
            let text = sheet.sentences[at].span.of(reader.text());
            reader.hits.say(at, concept) && !text.trim_end().ends_with('?')
        })
    };
    let terms = &reader.terms;
    let refused = [terms.offer_not, terms.use_refused, terms.use_task]
        .into_iter()
        .any(|concept| {
            refuses(reader, &own.sentences(), concept) || refers(reader, &next, concept)
        });
    let example = inside.powers.is_empty() && says(&own.sentences(), terms.offer_example);
    if refused || example || entries::lines(reader, &own.sentences()) {
        return None;
    }
    let complete = !inside.sizes.is_empty() && !inside.runs.is_empty() && !inside.loads.is_empty();
    let recommended = says(&own.sentences(), terms.use_told)
        || says(&next, terms.use_told)
        || says(&own.sentences(), terms.offer)
        || complete && priced(reader, block);
    let mut uses = Vec::new();
    if let (Some(run), true) = (run, recommended) {
        let length = value(reader, run).map(|(metres, span)| fact(Metre(metres), span, run));
        uses.push(use_of(length, None));
    }
    let carried = recommended || says(&own.sentences(), terms.carry);
    if let (Some(power), true) = (power, carried) {
        let watts = value(reader, power).map(|(watts, span)| fact(Watt(watts), span, power));
        uses.push(use_of(None, watts));
    }
    // What the walk has given to a cable of that size is judged there.
    uses.retain(|used| !known(reader, whole, used, size));
    let size = reader.size(size).filter(|size| !size.loose)?;
    (!uses.is_empty()).then(|| Cable {
        metals: metals(reader, whole, own.span),
        conductors: None,
        sizes: vec![size],
        besides: Some(Box::new(Besides {
            uses,
            ..Besides::default()
        })),
        ..Cable::default()
    })
}

/// A cable with no more than the size of a passage and what it is offered for, unless the document has that use already.
fn offered(
    reader: &Reader<'_>,
    whole: &Whole,
    size: usize,
    mut uses: Vec<Use>,
    passage: Span,
) -> Option<Cable> {
    uses.retain(|used| !known(reader, whole, used, size));
    let own = reader.size(size).filter(|own| !own.loose)?;
    (!uses.is_empty()).then(|| Cable {
        metals: metals(reader, whole, passage),
        sizes: vec![own],
        besides: Some(Box::new(Besides {
            uses,
            ..Besides::default()
        })),
        ..Cable::default()
    })
}

/// “For 8 ohm boxes ten feet away”: whether the load of a use is told with a run of its own.
fn placed_elsewhere(reader: &Reader<'_>, used: &Use) -> bool {
    let (Some(length), Some(load)) = (used.length, used.load) else {
        return false;
    };
    let sentences = &reader.sheet.sentences;
    let after = sentences.partition_point(|at| at.span.start() <= load.span.start());
    let beside = reader.in_sentence(after.saturating_sub(1));
    let mut far = beside.filter(|&index| is_way(reader, index)).peekable();
    far.peek().is_some() && far.all(|index| reader.sheet.quantities[index].span != length.span)
}

/// What takes an offer back, or makes the size of its conductors another.
fn refusals(terms: &Terms<'_>) -> [ConceptId; 5] {
    [
        terms.offer_not,
        terms.use_refused,
        terms.use_task,
        terms.parallel,
        terms.bundle_join,
    ]
}

/// Whether one of these sentences says `concept`, and not within words of the contrary: “the 18 AWG doesn't mind”.
fn refuses(reader: &Reader<'_>, sentences: &Range<usize>, concept: ConceptId) -> bool {
    let terms = &reader.terms;
    sentences.clone().any(|at| {
        let text = sheet_words(reader, at);
        let within = |span: Span| {
            let wider = |other| reader.hits.saying(at, other);
            wider(terms.carry)
                .chain(wider(terms.use_told))
                .any(|told| told.span.contains(span) && told.span.len() > span.len())
        };
        let mut said = reader.hits.saying(at, concept);
        !text.trim_end().ends_with('?')
            && said.any(|hit| !within(hit.span) && !tells_small_loss(reader, at, hit.span))
    })
}

/// Whether words belong to a loss that is stated and said to be next to nothing: “you lose 0.05 dB in it” takes no offer back.
fn tells_small_loss(reader: &Reader<'_>, at: usize, words: Span) -> bool {
    /// Highest loss that is no reason against a use, dB.
    const SMALL: f64 = 0.15;
    let mut losses = reader.hits.saying(at, reader.terms.loss);
    let small = |index: usize| {
        let loss = reader.roles[index] == Role::Figure(FigureKind::Loss);
        loss && reader.sheet.quantities[index]
            .si()
            .is_some_and(|loss| loss <= SMALL)
    };
    losses.any(|hit| hit.span.overlaps(words)) && reader.in_sentence(at).any(small)
}

fn sheet_words<'r>(reader: &'r Reader<'_>, sentence: usize) -> &'r str {
    reader.sheet.sentences[sentence].span.of(reader.text())
}

/// Whether the document is headed as an offer, or says before `block` that what it recommends stands below.
fn priced(reader: &Reader<'_>, block: usize) -> bool {
    /// Blocks in which a document says what it is.
    const HEAD: usize = 4;
    const BELOW: &[&str] = &["below", "follow", "listed here"];
    let blocks = &reader.sheet.blocks;
    let says = |at: &Block, concept| {
        at.sentences()
            .clone()
            .any(|sentence| reader.hits.say(sentence, concept))
    };
    let headed = blocks
        .iter()
        .take(HEAD.min(block))
        .any(|head| says(head, reader.terms.offer_paper));
    let announced = |at: &Block| {
        at.sentences().any(|sentence| {
            let words = reader.sheet.sentences[sentence].span.of(reader.text());
            reader.hits.say(sentence, reader.terms.offer)
                && BELOW
                    .iter()
                    .any(|below| words.to_lowercase().contains(below))
        })
    };
    headed || blocks.iter().take(HEAD.min(block) * 2).any(announced)
}

/// Whether a block begins with a head of its own: "Pergola.", "THE BONUS."
fn headed(reader: &Reader<'_>, block: &Block) -> bool {
    const WORDS: usize = 3;
    reader
        .sheet
        .sentences
        .get(block.sentences().start)
        .is_some_and(|first| {
            let words = first.span.of(reader.text());
            block.sentences().len() > 1
                && words.ends_with(['.', ':'])
                && words.split_whitespace().count() <= WORDS
                && !words
                    .split_whitespace()
                    .skip(1)
                    .any(|word| word.starts_with(char::is_lowercase) && word.len() > 3)
        })
}

/// Whether the passage behind goes on about the use and says `concept` of it: at its start, and not where it speaks of another
/// cable.
fn refers(reader: &Reader<'_>, next: &Range<usize>, concept: ConceptId) -> bool {
    const POINTING: &[&str] = &["this", "that", "these", "those", "it", "such"];
    const FIRST: usize = 2;
    next.clone().take(FIRST).any(|at| {
        let text = reader.sheet.sentences[at].span.of(reader.text());
        let points = || {
            text.split(|letter: char| !letter.is_alphanumeric())
                .any(|word| POINTING.contains(&word.to_lowercase().as_str()))
        };
        let another = reader.hits.say(at, reader.terms.cable) && !points();
        let mut said = reader.hits.saying(at, concept);
        let says = said.any(|hit| !tells_small_loss(reader, at, hit.span));
        says && !another && !text.trim_end().ends_with('?')
    })
}

/// The size in the block before, where the passage speaks of the same cable: "down that same light twin".
fn the_same(reader: &Reader<'_>, block: usize) -> Option<usize> {
    const SAME: &[&str] = &["that same ", "the same ", "this same ", "the very same "];
    let sheet = reader.sheet;
    let own = &sheet.blocks[block];
    let words = own.span.of(reader.text()).to_lowercase();
    let before = sheet.blocks.get(block.checked_sub(1)?)?;
    let same = is_prose(before.kind())
        && before.section() == own.section()
        && SAME.iter().any(|same| words.contains(same));
    one(reader, &found(reader, &before.sentences()).sizes).filter(|_| same)
}

fn value(reader: &Reader<'_>, index: usize) -> Option<(f64, Span)> {
    let quantity = &reader.sheet.quantities[index];
    Some((quantity.si()?, quantity.span))
}

fn load_fact(reader: &Reader<'_>, index: usize) -> Fact<Load> {
    let quantity = &reader.sheet.quantities[index];
    let load = Load {
        impedance: quantity.si().map(Ohm),
        kind: LoadKind::Loudspeaker,
        lamp_power: None,
    };
    fact(load, quantity.span, index)
}

/// Whether a cable of this size has this use already.
fn known(reader: &Reader<'_>, whole: &Whole, wanted: &Use, size: usize) -> bool {
    let area = area(reader, size);
    let areas = whole.having(reader, wanted);
    let first = areas.partition_point(|(least, _)| least / area < 1.0 / ALIKE);
    areas
        .get(first)
        .is_some_and(|(_, most)| most / area <= ALIKE)
}

/// Metals named in the passage, or those of the document when it names the same ones for all its cables.
fn metals(reader: &Reader<'_>, whole: &Whole, passage: Span) -> Vec<Fact<&'static str>> {
    let all = whole.metals(reader);
    let from = all.partition_point(|fact| fact.span.start() < passage.start());
    let near: Vec<Fact<&'static str>> = all[from..]
        .iter()
        .take_while(|fact| fact.span.start() < passage.end())
        .filter(|fact| passage.contains(fact.span))
        .cloned()
        .collect();
    if !near.is_empty() {
        return near;
    }
    // One of each is enough to tell whether they are the same.
    let mut known: Vec<Fact<&'static str>> = Vec::new();
    for fact in all {
        if known.len() > MOST_METALS {
            break;
        }
        if !known.iter().any(|other| other.value == fact.value) {
            known.push(*fact);
        }
    }
    known
}
