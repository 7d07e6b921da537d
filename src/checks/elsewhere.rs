//! Figures that another cable of the document explains: what stands in running text far from the size that it was held to, and fits
//! another size of the document, may well be that one's.

use super::{Context, Nearness, Said};
use crate::facts::{Cable, Figure, FigureKind, Reading, Size};
use crate::finding::Verdict;
use crate::physics::{IACS, conductor};
use crate::units::SquareMetre;

/// How far a figure may lie off what another size gives, as a share.
const ALIKE: f64 = 0.08;
/// How much more than the plain value of a metric size the greatest resistance may be that IEC 60228 allows it.
const NOMINAL: f64 = 0.2;
/// Most cables that are asked for a length.
const ASKED: usize = 64;
/// Most sizes, lengths and loads that are looked at.
const MOST: usize = 24;

/// Whether what a finding holds against one cable agrees with another, and nothing ties the figure to the first.
pub(super) fn explained(context: &Context<'_>, said: &Said) -> bool {
    if said.finding.verdict != Verdict::Contradicted {
        return false;
    }
    let Some((index, cable, figure)) = said.judged(context) else {
        return false;
    };
    let marked = |span| said.finding.marks.iter().any(|mark| mark.span == span);
    // "In most rooms 2.5 mm² would do as well": the same cable has a size that agrees.
    let sentence = context.sentence(figure.span);
    let beside = |size: &Size| marked(size.span) && context.sentence(size.span) == sentence;
    let mut own = cable.sizes.iter().take(MOST);
    let resistance = matches!(
        figure.kind,
        FigureKind::Resistance | FigureKind::ResistancePerLength
    );
    if resistance
        && !own.clone().any(beside)
        && own.any(|size| {
            !marked(size.span) && fits(context, cable, std::slice::from_ref(size), figure)
        })
    {
        return true;
    }
    if second(context, cable, figure) {
        return true;
    }
    // “At 25 feet the pair has 0.13 ohms. Beyond that I would buy 12 gauge.”
    let put_forward =
        |size: &Size| size.proposed && marked(size.span) && figure.span.end() <= size.span.start();
    if resistance && cable.sizes.iter().any(put_forward) {
        return true;
    }
    // "5 m loop 0.07 Ω on 2.5 mm²", whatever the size of the row above.
    let beside = || {
        let others = context.cables().filter(|(other, _)| *other != index);
        others.take(MOST).any(|(_, other)| {
            let mut sizes = other.sizes.iter().take(MOST);
            sizes.any(|size| {
                context.sentence(size.span) == sentence
                    && fits(context, other, std::slice::from_ref(size), figure)
            })
        })
    };
    if sentence.is_some() && beside() {
        return true;
    }
    if tied(context, cable, figure) {
        return false;
    }
    let mut others = context
        .cables()
        .filter(|(other, _)| *other != index)
        .map(|(_, other)| other)
        .take(MOST);
    others.any(|other| fits(context, other, &other.sizes, figure))
}

/// Whether the same sentence gives another figure of the kind that agrees with a size of the cable, so that this one is of something else:
/// “0.052 Ω at DC and 0.071 Ω at the top”.
fn second(context: &Context<'_>, cable: &Cable, figure: &Figure) -> bool {
    let sentence = context.sentence(figure.span);
    let near = |other: &&Figure| {
        other.kind == figure.kind
            && other.span != figure.span
            && sentence.is_some()
            && context.sentence(other.span) == sentence
    };
    cable
        .figures
        .iter()
        .take(2 * MOST)
        .filter(near)
        .any(|other| fits(context, cable, &cable.sizes, other))
}

/// Whether a figure stands with a size of the cable, or with its name.
fn tied(context: &Context<'_>, cable: &Cable, figure: &Figure) -> bool {
    let near = |span| context.nearness(span, figure.span) < Nearness::Apart;
    let sentence = context.sentence(figure.span);
    // "Call it 0.16 Ω. If that bothers you, get 14 AWG": a size that comes up behind a figure is not yet that of the figure.
    let later = |span| context.sentence(span) > sentence && !context.in_cell(span);
    let heading = || {
        let block = context.sheet.blocks.get(context.block(figure.span)?)?;
        // The title of all tells nothing.
        let section = block.section().filter(|&section| section > 0)?;
        Some(context.sheet.blocks.get(section)?.span)
    };
    // A section under the cable's name.
    let headed = heading().is_some_and(|heading| {
        let mut mentions = cable.mentions.iter();
        cable.named && mentions.any(|mention| heading.contains(mention))
    });
    headed
        || (cable.sizes.iter().take(MOST)).any(|size| near(size.span) && !later(size.span))
        || cable
            .mentions
            .iter()
            .any(|mention| context.sentence(mention) == sentence)
}

/// Whether one of these sizes of the cable, in copper, gives the figure.
fn fits(context: &Context<'_>, cable: &Cable, sizes: &[Size], figure: &Figure) -> bool {
    let parallel = f64::from(cable.parallel.map_or(1, |count| count.value));
    // A sum with the greatest value of the standard is as good as one with the nominal area.
    let resistance = matches!(
        figure.kind,
        FigureKind::Resistance | FigureKind::ResistancePerLength
    );
    let metric = sizes.iter().any(|size| size.awg.is_none());
    let most = if metric && (resistance || cable.class.is_some()) {
        NOMINAL
    } else {
        ALIKE
    };
    let near = |value: f64| (-ALIKE..=most).contains(&(figure.value / value - 1.0));
    let lengths = || {
        let own = figure.length.map(|length| length.value.0);
        // Of a long list of cables only the first are asked, and none where the figure has a length of its own.
        let asked = if own.is_some() { 0 } else { ASKED };
        let known = context.facts.cables.iter().take(asked);
        let known = known.flat_map(|cable| &cable.lengths);
        own.into_iter()
            .chain(known.map(|length| length.value.0).take(MOST))
    };
    let loads = || {
        let shared = context.facts.setup.loads.iter();
        shared
            .filter_map(|load| Some(load.value.impedance?.0))
            .take(MOST)
    };
    let ways: &[f64] = match figure.reading {
        Reading::Loop => &[2.0],
        Reading::Single => &[1.0],
        Reading::Unsaid => &[1.0, 2.0],
    };
    let one = |area: SquareMetre| conductor::resistance_per_metre(IACS, area, 1.0).0 / parallel;
    let mut areas = sizes.iter().map(|size| one(size.area)).take(MOST);
    areas.any(|single| match figure.kind {
        FigureKind::ResistancePerLength => ways.iter().any(|way| near(single * way)),
        FigureKind::Resistance => {
            lengths().any(|length| ways.iter().any(|way| near(single * way * length)))
        }
        FigureKind::DampingFactor => lengths().any(|length| {
            loads().any(|load| near(figure.value * figure.value * 2.0 * single * length / load))
        }),
        FigureKind::Loss => lengths().any(|length| {
            loads().any(|load| near(20.0 * (1.0 + 2.0 * single * length / load).log10()))
        }),
        _ => false,
    })
}
