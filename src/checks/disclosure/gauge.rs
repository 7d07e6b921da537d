//! A spec sheet without any conductor size: nothing about its resistance can be judged.

use super::super::Context;
use super::super::said::Said;
use crate::facts::DocumentKind;
use crate::sheet::Kind;

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "gauge-unstated";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    let sheet = context.facts.kind == DocumentKind::Sheet && !context.facts.cables.is_empty();
    let sized = context
        .facts
        .cables
        .iter()
        .any(|cable| !cable.sizes.is_empty())
        || context
            .sheet
            .quantities
            .iter()
            .any(|quantity| matches!(quantity.kind, Kind::Gauge | Kind::Area | Kind::Strands));
    if !sheet || sized {
        return Vec::new();
    }
    let named = context
        .facts
        .cables
        .iter()
        .find_map(|cable| cable.mentions.first());
    vec![
        Said::finding(context, ID)
            .message("The sheet gives no conductor size: neither a gauge, nor an area, nor strands with their diameter.")
            .help("Ask for the gauge or the area of one conductor, and for its resistance per metre at 20 °C.")
            .mark_some(named, "the cable"),
    ]
}
