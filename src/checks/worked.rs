//! Figures that running text works out before the reader's eyes, or that go with another size, length or load of the same passage: a
//! letter, a lesson or a report takes up one example after another, and which of them a figure is of is a matter of reading.

use super::{Context, Said};
use crate::facts::{Cable, Figure, FigureKind, Reading};
use crate::finding::Verdict;
use crate::physics::iec60228::{self, Class};
use crate::physics::{IACS, Range, conductor, metal};
use crate::sheet::{BlockKind, Kind, Quantity};
use crate::span::Span;
use crate::units::{Celsius, SquareMetre};

/// Tells of the very size that it marks.
const CONFUSED: &str = "loop-single-confusion";
/// Sentences before and behind a figure that are of its passage.
const PASSAGE: usize = 5;
/// How far a figure may lie off what a size gives, as a share.
const ALIKE: f64 = 0.04;
/// How far a sum may be off what is written, as a share, whatever its digits.
const ROUNDED: f64 = 0.02;
/// Most sizes, lengths and loads of a passage that are looked at.
const MOST: usize = 12;
/// Shortest length that is taken for a run, in metres.
const SHORTEST: f64 = 0.3;
/// Least that a load has, in ohms.
const LOAD: f64 = 1.5;
/// How much more than plain copper strands may have, by lay and tolerance, as a share.
const FEWER: f64 = 0.1;
/// How far the resistance of a braid may lie off that of its section, as a share.
const BRAID: f64 = 0.1;
/// Longest entry that tells of one thing, in bytes.
const FIELD: usize = 80;
/// Longest key that is the number of a paragraph.
const NUMBER: usize = 4;
/// Most that a sum puts together.
const TERMS: usize = 6;

/// Whether what a finding holds against a figure of running text is answered by the passage it stands in.
pub(super) fn explained(context: &Context<'_>, said: &Said) -> bool {
    if said.finding.verdict != Verdict::Contradicted || said.finding.rule == CONFUSED {
        return false;
    }
    let marked = |span| said.finding.marks.iter().any(|mark| mark.span == span);
    let Some((_, cable, figure)) = said.judged(context) else {
        return false;
    };
    let Some(sentence) = context.sentence(figure.span) else {
        return false;
    };
    let block = context.sheet.sentences[sentence].block();
    let told = context.sheet.blocks.get(block).is_some_and(|block| {
        let numbered = block.key().is_none_or(|key| key.len() <= NUMBER);
        let plain = !matches!(block.kind(), BlockKind::Cell { .. } | BlockKind::Field) && numbered;
        plain || !sums(context.sheet.sentences[sentence].span, context.text, &[]).is_empty()
    });
    if shown(context, figure, sentence) || coaxial(context, cable, figure) {
        return true;
    }
    if !told {
        return false;
    }
    let called = |span: Span| cable.named && context.sentence(span) == Some(sentence);
    let entry = is_entry(context, cable, block, marked);
    let own = entry || cable.mentions.iter().any(called);
    let far = |span: Span| context.sentence(span).map(|at| at.abs_diff(sentence));
    let sizes = cable.sizes.iter().filter(|size| marked(size.span));
    // What stands further off than the size that the figure was held to is not nearer to it.
    let reach = sizes.filter_map(|size| far(size.span)).min();
    let told_of = Told {
        figure,
        metal: sole_metal(context, cable, block, marked),
        hot: said_of_it_alone(context, figure, sentence),
    };
    let passage = Passage::new(
        context,
        sentence,
        reach.unwrap_or(PASSAGE),
        own.then_some(cable),
        entry,
        &told_of,
    );
    passage.gives(figure)
}

/// A figure with what its passage leaves no choice of.
struct Told<'c> {
    figure: &'c Figure,
    /// The one metal that the document knows, told in the block of the figure.
    metal: Option<&'static str>,
    /// Whether the temperature that it was held to can be of no other figure.
    hot: bool,
}

/// The metal that a figure was held to, where it stands in the block of the figure and the document tells of no other.
fn sole_metal(
    context: &Context<'_>,
    cable: &Cable,
    block: usize,
    marked: impl Fn(Span) -> bool,
) -> Option<&'static str> {
    let metal = cable
        .metals
        .iter()
        .take(MOST)
        .find(|metal| marked(metal.span) && context.block(metal.span) == Some(block))?;
    let mut all = context.facts.cables.iter().flat_map(|cable| &cable.metals);
    all.all(|other| other.value == metal.value)
        .then_some(metal.value)
}

/// Whether the temperature of a figure stands right behind it, and in its sentence no other resistance.
fn said_of_it_alone(context: &Context<'_>, figure: &Figure, sentence: usize) -> bool {
    /// Bytes between: “per conductor at”.
    const NEAR: usize = 40;
    let whole = context.sheet.sentences[sentence].span;
    let beside = figure.temperature.is_some_and(|temperature| {
        let (end, start) = (figure.span.end(), temperature.span.start());
        let between = context.text.get(end..start).unwrap_or(",");
        between.len() <= NEAR && !between.contains([',', ';', ':', '(', ')', '.'])
    });
    let mut others = within(&context.sheet.quantities, whole)
        .filter(|quantity| quantity.span != figure.span)
        .take(MOST);
    beside && others.all(|quantity| quantity.kind != Kind::Resistance)
}

/// Whether a block is the entry of one cable: it begins with its name, holds the size that the figure was held to, and names no
/// other cable. What other entries say is none of its.
fn is_entry(
    context: &Context<'_>,
    cable: &Cable,
    block: usize,
    marked: impl Fn(Span) -> bool,
) -> bool {
    /// Bytes of a number before the name.
    const LEAD: usize = 8;
    let Some(whole) = context.sheet.blocks.get(block).map(|block| block.span) else {
        return false;
    };
    let opens = cable
        .mentions
        .iter()
        .any(|mention| whole.contains(mention) && mention.start() <= whole.start() + LEAD);
    let sized = (cable.sizes.iter()).any(|size| marked(size.span) && whole.contains(size.span));
    let alone = || {
        let mut others = context
            .facts
            .cables
            .iter()
            .filter(|other| !std::ptr::eq(*other, cable));
        !others.any(|other| other.mentions.iter().any(|mention| whole.contains(mention)))
    };
    cable.named && opens && sized && alone()
}

/// Whether the sentence shows the sum whose result the figure is: “22 x 2 x 4.95 = 218 mΩ”.
fn shown(context: &Context<'_>, figure: &Figure, sentence: usize) -> bool {
    let all = &context.sheet.quantities;
    let own = all.get(figure.quantity as usize);
    let Some(result) = own.and_then(|own| own.number.get()) else {
        return false;
    };
    let whole = context.sheet.sentences[sentence].span;
    let before = Span::new(whole.start(), figure.span.start().max(whole.start()));
    // “2 x 2.5 mm²” is a size and no sum.
    let sizes: Vec<Span> = within(all, before)
        .filter(|quantity| is_size(quantity))
        .map(|quantity| quantity.span)
        .collect();
    if shared(context, before) {
        return true;
    }
    let close = |value: f64| {
        [1.0, 1.0e3, 1.0e-3]
            .into_iter()
            .any(|unit| (value.abs() * unit / result.abs() - 1.0).abs() <= ROUNDED)
    };
    sums(before, context.text, &sizes).into_iter().any(close)
}

/// Whether a figure is that of a conductor of the cable and of a braid or screen of another section by which the current comes back.
fn coaxial(context: &Context<'_>, cable: &Cable, figure: &Figure) -> bool {
    if figure.reading == Reading::Single {
        return false;
    }
    let per_metre = match (figure.kind, figure.length) {
        (FigureKind::ResistancePerLength, _) => figure.value,
        (FigureKind::Resistance, Some(length)) => figure.value / length.value.0,
        _ => return false,
    };
    let words = context.list("size.return");
    let returns = |span: Span| {
        let Some(block) = context
            .block(span)
            .and_then(|at| context.sheet.blocks.get(at))
        else {
            return false;
        };
        let text = block
            .key()
            .map_or("", |key| key.of(context.text))
            .to_lowercase();
        let told = block.span.of(context.text).to_lowercase();
        words.within(&text) || (block.span.len() < FIELD && words.within(&told))
    };
    let one = |area: SquareMetre| conductor::resistance_per_metre(IACS, area, 1.0).0;
    let outer = context.returns(MOST, returns).iter();
    outer.copied().any(|(span, area)| {
        let back = one(SquareMetre(area));
        cable.sizes.iter().take(MOST).any(|size| {
            let both = one(size.area) + back;
            size.span != span && (per_metre / both - 1.0).abs() <= BRAID
        })
    })
}

/// Whether the words right before a figure take a part of another: “they come to 43 mΩ, and a third of that is 14 mΩ”.
fn shared(context: &Context<'_>, before: Span) -> bool {
    const NEAR: usize = 6;
    let (share, whole) = (context.list("figure.share"), context.list("figure.whole"));
    let words = before.of(context.text).to_lowercase();
    let last: Vec<&str> = words.split_whitespace().rev().take(NEAR).collect();
    let said = |list: crate::lexicon::List<'_>| {
        last.iter()
            .any(|word| list.has(word.trim_matches(|letter: char| !letter.is_alphanumeric())))
    };
    said(share) && said(whole)
}

/// What each sum of a stretch comes to: numbers with signs between them, and units beside the numbers.
fn sums(stretch: Span, text: &str, sizes: &[Span]) -> Vec<f64> {
    let mut made = Vec::new();
    let mut value: Option<f64> = None;
    let mut sign: Option<char> = None;
    let mut terms = 0;
    let words = stretch.of(text);
    let mut at = stretch.start();
    for word in words.split_inclusive(char::is_whitespace) {
        let place = Span::new(at, at + word.trim_end().len());
        at += word.len();
        let bare = word
            .trim()
            .trim_matches(|c: char| matches!(c, '(' | ')' | ',' | ';'));
        if bare.is_empty() {
            continue;
        }
        if let Some(found) = operator(bare) {
            sign = value.map(|_| found);
            continue;
        }
        let number = bare
            .trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '²' | '.' | '%' | ':'))
            .replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|_| !sizes.iter().any(|size| size.overlaps(place)));
        match (number, sign, value) {
            (Some(next), Some(sign), Some(before)) if terms < TERMS => {
                let after = match sign {
                    '/' if next != 0.0 => before / next,
                    '+' => before + next,
                    '-' => before - next,
                    '/' => before,
                    _ => before * next,
                };
                made.push(after);
                terms += 1;
                value = Some(after);
            }
            (Some(next), _, _) => {
                value = Some(next);
                terms = 0;
            }
            // A unit may stand between a number and the sign behind it.
            (None, None, Some(_)) if bare.chars().count() <= 3 => continue,
            (None, ..) => value = None,
        }
        sign = None;
    }
    made
}

/// The sign between two numbers of a sum.
fn operator(word: &str) -> Option<char> {
    Some(match word {
        "x" | "X" | "×" | "·" | "*" | "∙" | "times" => 'x',
        "/" | "÷" => '/',
        "+" | "plus" => '+',
        "-" | "−" | "minus" => '-',
        _ => return None,
    })
}

fn is_size(quantity: &Quantity) -> bool {
    matches!(quantity.kind, Kind::Gauge | Kind::Area | Kind::Strands)
}

fn within(all: &[Quantity], span: Span) -> impl Iterator<Item = &Quantity> {
    let first = all.partition_point(|quantity| quantity.span.start() < span.start());
    all[first..]
        .iter()
        .take_while(move |quantity| quantity.span.start() < span.end())
}

/// What stands round a figure.
struct Passage {
    /// Resistance of one conductor of each size, the least and the most that it is told with, Ω/m.
    singles: Vec<Range<f64>>,
    lengths: Vec<f64>,
    loads: Vec<f64>,
    /// Resistances with the place that they stand in.
    ohms: Vec<(Span, f64)>,
}

impl Passage {
    /// `reach` is how far off other sizes may stand, and `only` the cable whose name the sentence says; in an `entry` of its own it
    /// is of its own metals.
    fn new(
        context: &Context<'_>,
        sentence: usize,
        reach: usize,
        only: Option<&Cable>,
        entry: bool,
        told: &Told<'_>,
    ) -> Self {
        let sentences = &context.sheet.sentences;
        let round = |reach: usize| {
            let last = (sentence + reach).min(sentences.len().saturating_sub(1));
            Span::new(
                sentences[sentence.saturating_sub(reach)].span.start(),
                sentences[last].span.end(),
            )
        };
        let (span, own) = (round(PASSAGE), round(0));
        let block = context.sheet.blocks.get(sentences[sentence].block());
        let block = block.map_or(own, |block| block.span);
        let all = || within(&context.sheet.quantities, span);
        // What the sentence says itself comes before what stands round it.
        let chosen = |kinds: fn(&Quantity) -> bool, reach: usize| {
            let wide = || all().filter(move |quantity| kinds(quantity));
            let inside = |span: Span| wide().any(|quantity| span.contains(quantity.span));
            let span = [own, block]
                .into_iter()
                .take(if reach < PASSAGE { 1 } else { 2 })
                .find(|span| inside(*span))
                .unwrap_or(round(reach));
            wide()
                .filter(move |quantity| span.contains(quantity.span))
                .filter(|quantity| quantity.si().is_some_and(|si| si > 0.0))
                .take(MOST)
        };
        let mut made = Self {
            singles: Vec::new(),
            lengths: Vec::new(),
            loads: Vec::new(),
            ohms: Vec::new(),
        };
        let parallel = context.list("size.doubled");
        let doubled = own
            .of(context.text)
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| parallel.has(&word.to_lowercase()));
        let reach = reach.clamp(1, PASSAGE);
        let known = || {
            told.metal
                .map_or_else(|| context.metals().to_vec(), |sole| vec![sole])
        };
        let warm = told.figure.temperature.filter(|_| told.hot);
        let warm = warm.map_or(conductor::REFERENCE, |stated| stated.value);
        if let Some(cable) = only {
            let metals = cable.metals.iter().map(|metal| metal.value);
            let metals: Vec<&str> = if entry && !cable.metals.is_empty() {
                metals.take(MOST).collect()
            } else {
                known()
            };
            let sizes = cable.sizes.iter().take(MOST);
            for quantity in
                sizes.filter_map(|size| context.sheet.quantities.get(size.quantity as usize))
            {
                made.size(&metals, quantity, doubled, warm);
            }
        } else {
            let metals: Vec<&str> = known();
            for quantity in chosen(is_size, reach) {
                made.size(&metals, quantity, doubled, warm);
            }
        }
        let long = |quantity: &Quantity| {
            quantity.kind == Kind::Length && quantity.si().is_some_and(|si| si >= SHORTEST)
        };
        let ohms = |quantity: &Quantity| {
            matches!(quantity.kind, Kind::Impedance | Kind::Resistance)
                && quantity.si().is_some_and(|si| si > 0.0)
        };
        let load = |quantity: &Quantity| {
            matches!(quantity.kind, Kind::Impedance | Kind::Resistance)
                && quantity.si().is_some_and(|si| si >= LOAD)
        };
        made.lengths = match only {
            Some(cable) if !all().any(|one| own.contains(one.span) && long(one)) => {
                let known = cable.lengths.iter().take(MOST);
                known.map(|length| length.value.0).collect()
            }
            _ => chosen(long, PASSAGE).filter_map(|one| one.si()).collect(),
        };
        made.loads = chosen(load, PASSAGE).filter_map(|one| one.si()).collect();
        if only.is_none() {
            let ohms = all().filter(|quantity| ohms(quantity)).take(MOST);
            made.ohms = ohms.filter_map(|one| Some((one.span, one.si()?))).collect();
        }
        made
    }

    /// `warm` is the temperature of the figure.
    fn size(&mut self, metals: &[&str], quantity: &Quantity, doubled: bool, warm: Celsius) {
        let area = SquareMetre(quantity.si().unwrap_or(0.0));
        if area.0 <= 0.0 {
            return;
        }
        for &key in metals {
            let Some(known) = metal(key) else { continue };
            let of = |resistivity| conductor::resistance_per_metre(resistivity, area, 1.0).0;
            let (a, b) = (of(known.best), of(known.worst));
            let mut range = Range {
                low: a.min(b) * (1.0 - ALIKE),
                high: a.max(b) * (1.0 + ALIKE),
            };
            // Strands of a nominal section may be fewer than it takes.
            if quantity.kind == Kind::Strands {
                range.high *= 1.0 + FEWER;
            }
            if key == "copper"
                && quantity.kind == Kind::Area
                && let Some(most) = iec60228::maximum(area, Class::Flexible, false)
            {
                range.high = range.high.max(most.0 * 1.005);
            }
            let factor = conductor::temperature_factor(known.alpha20, warm);
            range.low *= factor;
            range.high *= factor;
            self.singles.push(range);
            if doubled || quantity.conductors.is_some_and(|count| count >= 4) {
                self.singles.push(Range {
                    low: range.low / 2.0,
                    high: range.high / 2.0,
                });
            }
        }
    }

    /// Whether something of the passage gives the figure.
    fn gives(&self, figure: &Figure) -> bool {
        let ways: &[f64] = match figure.reading {
            Reading::Loop => &[2.0],
            Reading::Single => &[1.0],
            Reading::Unsaid => &[1.0, 2.0],
        };
        let holds = |range: &Range<f64>, value: f64| (range.low..=range.high).contains(&value);
        let loops = || {
            let runs = self
                .singles
                .iter()
                .flat_map(|one| self.lengths.iter().map(move |length| (one, length)));
            let from_sizes = runs.map(|(one, length)| Range {
                low: one.low * 2.0 * length,
                high: one.high * 2.0 * length,
            });
            from_sizes.chain(self.ohms.iter().map(|(_, ohms)| Range {
                low: ohms * (1.0 - ROUNDED),
                high: ohms * (1.0 + ROUNDED),
            }))
        };
        match figure.kind {
            FigureKind::ResistancePerLength => self
                .singles
                .iter()
                .any(|one| ways.iter().any(|way| holds(one, figure.value / way))),
            FigureKind::Resistance => {
                self.singles.iter().any(|one| {
                    self.lengths.iter().any(|length| {
                        ways.iter()
                            .any(|way| holds(one, figure.value / way / length))
                    })
                }) || self.unlike(figure)
                    || self.adds_up(figure)
            }
            FigureKind::Loss => loops().any(|ohms| {
                self.loads.iter().any(|load| {
                    let of = |ohms: f64| 20.0 * (1.0 + ohms / load).log10();
                    let half = 0.006;
                    (of(ohms.low) - half..=of(ohms.high) + half).contains(&figure.value.abs())
                })
            }),
            FigureKind::DampingFactor => loops().any(|ohms| {
                self.loads.iter().any(|load| {
                    (load / ohms.high..=load / ohms.low * (1.0 + ROUNDED)).contains(&figure.value)
                })
            }),
            _ => false,
        }
    }

    /// Whether two conductors of unlike sizes, one for each way, give the figure: “inner 1.0 mm², braid 2.2 mm²”.
    fn unlike(&self, figure: &Figure) -> bool {
        if figure.reading == Reading::Single {
            return false;
        }
        let pairs = self.singles.iter().enumerate().flat_map(|(index, one)| {
            let others = self.singles.iter().skip(index + 1);
            others.map(move |other| (one.low + other.low, one.high + other.high))
        });
        pairs.into_iter().any(|(low, high)| {
            self.lengths
                .iter()
                .any(|length| (low..=high).contains(&(figure.value / length)))
        })
    }

    /// Whether two other resistances of the passage are the figure together, or differ by it.
    fn adds_up(&self, figure: &Figure) -> bool {
        let others = || self.ohms.iter().filter(|(span, _)| *span != figure.span);
        others().enumerate().any(|(index, (_, a))| {
            others().skip(index + 1).any(|(_, b)| {
                let close = |value: f64| (value / figure.value - 1.0).abs() <= ROUNDED;
                close(a + b) || close((a - b).abs())
            })
        })
    }
}
