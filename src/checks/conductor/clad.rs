//! Copper-clad aluminium that is also called pure or solid copper: it has 62 to 68 % IACS (ASTM B566), so it is no copper gauge for gauge.
//!
//! The word "copper" alone beside the cladding proves nothing; it must be called pure, solid or all copper, and not in a sentence that
//! sets the two apart.

use super::super::bench::{Bench, CLAD, COPPER};
use super::super::format::three;
use super::super::said::{Said, Stage, Work};
use super::super::{Context, Nearness};
use crate::span::Span;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "clad-as-copper";

/// Signs that end a clause.
const BORDERS: [char; 5] = [',', ';', ':', '(', '.'];

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    // Where the words of one sentence say so (or deny it), the claim is judged as such.
    if context.claims.iter().any(|claim| claim.rule == ID) {
        return Vec::new();
    }
    Bench::all(context)
        .filter_map(|bench| judge(context, &bench))
        .collect()
}

fn judge(context: &Context<'_>, bench: &Bench<'_>) -> Option<Said> {
    let metals = &bench.cable.metals;
    let named = |key: &'static str| metals.iter().filter(move |fact| fact.value == key);
    // In a document of several cables the two must stand together: one of them may be of another cable.
    let together = |a: Span, b: Span| {
        context.facts.cables.len() == 1 || context.nearness(a, b) <= Nearness::Entries
    };
    // "We sell both", "the clad one has more resistance for its size", "coax for aerials".
    let apart = |span: Span| {
        let told = &context.facts.clad_apart;
        let at = told.partition_point(|sentence| sentence.end() <= span.start());
        told.get(at).is_some_and(|sentence| sentence.contains(span))
    };
    let (clad, called) = named(CLAD)
        .filter(|clad| !apart(clad.span))
        .find_map(|clad| {
            let called = named(COPPER).find(|fact| {
                named(CLAD).all(|clad| !clad.span.overlaps(fact.span))
                    && together(clad.span, fact.span)
                    && !apart(fact.span)
                    && whole(context, fact.span)
            })?;
            Some((clad, called))
        })?;
    let work = Work::default()
        .threshold(context, "σ_low", ID, "iacs_low", "% IACS")
        .threshold(context, "σ_high", ID, "iacs_high", "% IACS")
        .computed(
            "A/A_Cu",
            "100 / σ_high",
            100.0 / context.threshold(ID, "iacs_high"),
            "",
        )
        .computed(
            "A/A_Cu",
            "100 / σ_low",
            100.0 / context.threshold(ID, "iacs_low"),
            "",
        );
    let low = context.threshold(ID, "iacs_low");
    let high = context.threshold(ID, "iacs_high");
    Some(
        Said::finding(context, ID)
            .of(bench.index, Stage::Apart)
            .message(format!(
                "The conductor is named as copper-clad aluminium (“{}”) and also as copper (“{}”). Clad aluminium has {} to {} % of the \
                 conductivity of copper, so it needs {} to {} times the area for the same resistance.",
                context.quote(clad.span),
                context.quote(called.span),
                three(low),
                three(high),
                three(100.0 / high),
                three(100.0 / low),
            ))
            .help("Ask the maker which of the two it is, and for the resistance per metre at 20 °C; compare clad wire with copper two gauges thinner.")
            .mark(called.span, "called copper")
            .mark(clad.span, "named as copper-clad aluminium")
            .working(work),
    )
}

/// Whether the words call the whole wire copper, in a sentence that does not set it apart from something else.
fn whole(context: &Context<'_>, span: Span) -> bool {
    let Some(index) = context.sentence(span) else {
        return false;
    };
    let sentence = context.sheet.sentences[index];
    let text = sentence.span.of(context.text).to_lowercase();
    let words = |text: &str| -> Vec<String> {
        text.split(|letter: char| !letter.is_alphanumeric() && letter != '\'' && letter != '’')
            .map(str::to_owned)
            .collect()
    };
    // "Pure copper conductors, no filler metals" sets nothing apart: a sentence that names one metal is heard by the clause.
    let metals = context.facts.cables.iter().flat_map(|cable| &cable.metals);
    let other = metals
        .filter(|metal| sentence.span.contains(metal.span))
        .any(|metal| metal.value != COPPER);
    let at = span.start().saturating_sub(sentence.span.start());
    let clause = if other || text.len() != sentence.span.len() {
        text.as_str()
    } else {
        let start = text
            .get(..at)
            .and_then(|ahead| ahead.rfind(BORDERS))
            .map_or(0, |border| border + 1);
        let end = text
            .get(at..)
            .and_then(|behind| behind.find(BORDERS))
            .map_or(text.len(), |border| at + border);
        text.get(start..end).unwrap_or(&text)
    };
    let (sets_apart, negates) = (context.list("metal.apart"), context.list("metal.negated"));
    let apart = words(clause)
        .iter()
        .any(|word| sets_apart.has(word) || negates.ends(word));
    if apart || text.trim_end().ends_with('?') {
        return false;
    }
    // The words before, up to a clause border, and the words themselves.
    let start = span.start().saturating_sub(sentence.span.start());
    let before = sentence
        .span
        .of(context.text)
        .get(..start)
        .unwrap_or("")
        .to_lowercase();
    let near: String = before
        .rsplit([',', ';', ':', '(', '.'])
        .next()
        .unwrap_or("")
        .to_owned();
    // "All copper does": what is said of the metal as such.
    let general = sentence.span.of(context.text).get(start + span.len()..);
    let general = general.and_then(|behind| behind.split_whitespace().next());
    let verb = general.map(|word| word.trim_end_matches([',', '.', ';', ':']));
    if near.trim() == "all" && matches!(verb, Some("does" | "is" | "has")) {
        return false;
    }
    let near = near.split_whitespace().rev().take(3).collect::<Vec<_>>();
    let own = span.of(context.text).to_lowercase();
    let whole = context.list("metal.whole");
    whole.within(&own) || near.iter().any(|word| whole.has(word))
}
