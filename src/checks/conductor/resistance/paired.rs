//! Resistances of one cable of which one is twice the other, or the same told of both: one conductor and the loop.

use super::*;

/// “One conductor has 8.29 mΩ/m. Loop: 10 m at 8.29 mΩ/m”: whether the same figure is told of the other of the two elsewhere.
pub(super) fn told_both_ways(bench: &Bench<'_>, figure: &Figure) -> bool {
    bench.figures(figure.kind).any(|known| {
        known.span != figure.span
            && known.reading != Reading::Unsaid
            && known.reading != figure.reading
            && figure.reading != Reading::Unsaid
            && (known.value / figure.value - 1.0).abs() < 1.0e-3
    })
}

/// Whether the document gives both figures, one twice the other, so that which of the two is which was only a matter of reading. Where
/// both say what they are and the loop has twice the other, it was not.
pub(super) fn paired(context: &Context<'_>, bench: &Bench<'_>, figure: &Figure) -> bool {
    told_with(context, bench, figure).is_none() && twice(context, bench, figure).next().is_some()
}

/// The figure of one conductor that goes with that of the loop, or the other way round, where the document says of both what they are.
pub(super) fn told_with<'c>(
    context: &Context<'_>,
    bench: &Bench<'c>,
    figure: &Figure,
) -> Option<&'c Figure> {
    let larger = |a: &Figure, b: &Figure| per_metre(a) > per_metre(b);
    twice(context, bench, figure).find(|other| match (figure.reading, other.reading) {
        (Reading::Loop, Reading::Single) => larger(figure, other),
        (Reading::Single, Reading::Loop) => larger(other, figure),
        _ => false,
    })
}

/// Other figures of the cable of which one is twice the other.
fn twice<'c>(
    context: &Context<'_>,
    bench: &Bench<'c>,
    figure: &Figure,
) -> impl Iterator<Item = &'c Figure> {
    let tolerance = context.threshold(CONFUSED, "tolerance");
    let own = per_metre(figure);
    let span = figure.span;
    let kinds = [FigureKind::ResistancePerLength, FigureKind::Resistance];
    kinds
        .into_iter()
        .flat_map(|kind| bench.figures(kind))
        .filter(move |other| {
            let ratio = own
                .zip(per_metre(other))
                .map(|(own, other)| (other / own).max(own / other));
            other.span != span && ratio.is_some_and(|ratio| (ratio / 2.0 - 1.0).abs() <= tolerance)
        })
}
