//! Claims in words that figures of the document answer: a share that two figures beside it give, the better metal named above, and a
//! delay that is stated as a plain figure.

use super::Context;
use crate::claims::Claim;
use crate::sheet::{Kind, Quantity, Value};
use crate::span::Span;

const SHARE: &str = "percent-without-quantity";
const CONDUCTS: &str = "conductivity-above-metal";
const ARRIVES: &str = "arrival-time";
/// Sentences before a claim in which what answers it may stand.
const BEFORE: usize = 4;
/// Most quantities that are looked at.
const MOST: usize = 64;

/// Whether a claim is answered in one of these ways.
pub(super) fn told(context: &Context<'_>, claim: &Claim) -> bool {
    match claim.rule.as_str() {
        SHARE => shares(context, claim).any(|share| worked_out(context, claim, share)),
        CONDUCTS => of_silver(context, claim),
        ARRIVES => delayed(context, claim),
        _ => false,
    }
}

/// The place and the words of the passage up to the end of the sentence of a claim.
fn passage(context: &Context<'_>, claim: &Claim) -> Option<(Span, Span)> {
    let at = context.sentence(claim.span)?;
    let own = context.sheet.sentences[at].span;
    let first = context.sheet.sentences[at.saturating_sub(BEFORE)].span;
    Some((own, first.join(own)))
}

/// Quantities that stand in a place.
fn within<'c>(context: &Context<'c>, place: Span) -> impl Iterator<Item = &'c Quantity> + use<'c> {
    let all = &context.sheet.quantities;
    let from = all.partition_point(|quantity| quantity.span.start() < place.start());
    let all = all.get(from..).unwrap_or_default().iter();
    all.take_while(move |quantity| quantity.span.end() <= place.end())
        .take(MOST)
}

/// The percentages in the sentence of a claim.
fn shares<'c>(context: &Context<'c>, claim: &Claim) -> impl Iterator<Item = f64> + use<'c> {
    let own = context
        .sentence(claim.span)
        .map(|at| context.sheet.sentences[at].span);
    let found = own.map(|own| within(context, own));
    let found = found.into_iter().flatten();
    let shares = found.filter(|quantity| quantity.kind == Kind::Percent);
    shares.filter_map(|quantity| match quantity.value() {
        Value::Number(share) => Some(share),
        Value::Text(_) => None,
    })
}

/// “20.7 mΩ/m against 22.0. It is six per cent better”: whether two figures of one kind right before differ by that share.
fn worked_out(context: &Context<'_>, claim: &Claim, share: f64) -> bool {
    /// How far a share may be rounded, in points.
    const ROUNDED: f64 = 0.7;
    /// Least share that tells two figures apart.
    const LEAST: f64 = 1.0;
    let Some((_, passage)) = passage(context, claim).filter(|_| share >= LEAST) else {
        return false;
    };
    let told = within(context, passage)
        .filter(|quantity| !matches!(quantity.kind, Kind::Percent | Kind::Length | Kind::Trials));
    let told: Vec<(Kind, f64)> = told.filter_map(|one| Some((one.kind, one.si()?))).collect();
    told.iter().enumerate().any(|(at, &(kind, one))| {
        told[at + 1..].iter().any(|&(other, two)| {
            let near = |part: f64| ((part - 1.0).abs() * 100.0 - share).abs() <= ROUNDED;
            kind == other && (near(one / two) || near(two / one))
        })
    })
}

/// “A bar of silver. It conducts six per cent better than copper”: whether the passage names silver and the share is one that it has.
fn of_silver(context: &Context<'_>, claim: &Claim) -> bool {
    let most = context.threshold(CONDUCTS, "silver_iacs") - 100.0;
    let (silver, copper) = (context.list("metal.best"), context.list("metal.next"));
    let Some((own, passage)) = passage(context, claim) else {
        return false;
    };
    let named = |place: Span| {
        let words = place
            .of(context.text)
            .split(|letter: char| !letter.is_alphabetic());
        words.map(str::to_lowercase)
    };
    let mut before = named(own).skip_while(|word| word != "than");
    let plain = before.nth(1).is_some_and(|word| copper.has(&word));
    let mut shares = shares(context, claim).peekable();
    plain
        && shares.peek().is_some()
        && shares.all(|share| share <= most)
        && named(passage).any(|word| silver.has(&word))
}

/// “7 ns per metre … Treble and bass come out together”: whether the document gives the delay as a figure and the sentence says that
/// everything arrives as one, of no other cable.
fn delayed(context: &Context<'_>, claim: &Claim) -> bool {
    let Some((own, _)) = passage(context, claim) else {
        return false;
    };
    let (together, others) = (context.list("time.together"), context.list("time.others"));
    let words = own.of(context.text).to_lowercase();
    let plain = together.within(&words) && !others.within(&words);
    let mut all = context.sheet.quantities.iter().take(MOST);
    plain && all.any(|quantity| quantity.kind == Kind::DelayPerLength)
}
