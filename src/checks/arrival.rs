//! The working of a claim on arrival times: how long the lengths of this document take, and how far apart the ends of the audio band
//! can come. The claim itself is found by its words.

use super::Context;
use super::said::Work;
use crate::facts::Fact;
use crate::finding::Finding;
use crate::units::Metre;

const ID: &str = "arrival-time";
/// Velocity of light in a vacuum, m/s (SI, exact).
const LIGHT: f64 = 299_792_458.0;

/// Gives each finding on arrival times its working.
pub fn show(context: &Context<'_>, findings: &mut [Finding]) {
    for finding in findings.iter_mut().filter(|finding| finding.rule == ID) {
        finding.working = work(context).steps();
    }
}

/// Delay and spread over the longest cable of the document, or over the length of an example.
fn work(context: &Context<'_>) -> Work {
    const NANO: f64 = 1.0e9;
    let lengths = context.facts.cables.iter().flat_map(|cable| &cable.lengths);
    let longest: Option<&Fact<Metre>> =
        lengths.max_by(|one, other| one.value.0.total_cmp(&other.value.0));
    let (work, metres) = match longest {
        Some(length) => (
            Work::default().quoted(context, "ℓ", length.value.0, "m", length.span),
            length.value.0,
        ),
        None => (
            Work::default().usual(context, "ℓ", "length", "m"),
            context.default("length"),
        ),
    };
    let permittivity = context.default("permittivity");
    let per_metre = permittivity.sqrt() / LIGHT * NANO;
    let spread = metres * context.threshold(ID, "spread_ns_per_m");
    let heard = context.threshold(ID, "heard_ns");
    work.usual(context, "ε_r", "permittivity", "")
        .computed("t′", "√ε_r / c, delay of a metre", per_metre, "ns/m")
        .computed("t", "ℓ · t′, delay of the whole", metres * per_metre, "ns")
        .threshold(context, "Δt′", ID, "spread_ns_per_m", "ns/m")
        .computed(
            "Δt",
            "ℓ · Δt′, between 100 Hz and 10 kHz at the most",
            spread,
            "ns",
        )
        .threshold(context, "t_heard", ID, "heard_ns", "ns")
        .computed(
            "t_heard / Δt",
            "what is heard over what there is",
            heard / spread,
            "",
        )
}
