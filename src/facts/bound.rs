//! How much is held of one cable, so that the cost of a document stays in step with its length whatever it says.
//!
//! A cable to which dozens of different sizes or lengths are given is one that was not told apart from others; judging its figures would
//! hold them against sizes that are not theirs, so they are left unjudged and the report says so.

use super::types::{Cable, Facts};

/// Most sizes, and most lengths, with which the figures of a cable are judged.
pub const SIZES: usize = 48;
/// Most figures of one cable that are judged.
pub const FIGURES: usize = 128;
/// Most uses of one cable that are judged.
pub const USES: usize = 48;
/// Most copies that facts about all cables make.
pub const SPREAD: usize = 200_000;
/// Different sizes by which a size without a name finds its cable.
pub(super) const SIZES_KNOWN: usize = 1_000;
/// Most neighbours that are looked at from either end of a list.
const REACH: usize = 128;

/// The entries of a list, or those at both of its ends when it is long.
pub(super) fn ends<T>(list: &[T]) -> impl Iterator<Item = &T> {
    let head = list.len().min(REACH);
    let tail = list.len().saturating_sub(REACH).max(head);
    list[..head].iter().chain(&list[tail..])
}

/// Holds every cable to the limits and writes down which were reached.
pub(super) fn bound(facts: &mut Facts, spread: bool) {
    let mut limited = Vec::new();
    if spread {
        limited.push(format!(
            "what is said of all cables at once is given to no more than {SPREAD} in all; the rest is left out"
        ));
    }
    for cable in &mut facts.cables {
        hold(cable, &mut limited);
    }
    // A document of thousands of such cables says it once or twice.
    let more = limited.len().saturating_sub(8);
    limited.truncate(8);
    if more > 0 {
        limited.push(format!("{more} more cables reach such a limit"));
    }
    facts.limited = limited;
}

fn hold(cable: &mut Cable, limited: &mut Vec<String>) {
    let name = if cable.name.is_empty() {
        "the cable".to_owned()
    } else {
        format!("\u{201c}{}\u{201d}", cable.name)
    };
    distinct(&mut cable.sizes, |a, b| {
        a.of == b.of
            && a.notation == b.notation
            && a.loose == b.loose
            && a.conductors == b.conductors
            && a.strands == b.strands
            && a.area == b.area
    });
    distinct(&mut cable.lengths, |a, b| a.value == b.value);
    distinct(&mut cable.metals, |a, b| a.value == b.value);
    if let Some(besides) = &mut cable.besides {
        distinct(&mut besides.plating, |a, b| a.value == b.value);
        distinct(&mut besides.build, |a, b| a.value == b.value);
    }
    if cable.sizes.len() > SIZES || cable.lengths.len() > SIZES {
        limited.push(format!(
            "{name} is given {} sizes and {} lengths, more than the limit of {SIZES}; its figures are not judged",
            cable.sizes.len(),
            cable.lengths.len()
        ));
        cable.sizes.truncate(SIZES);
        cable.lengths.truncate(SIZES);
        cable.figures.clear();
        if let Some(besides) = &mut cable.besides {
            besides.uses.clear();
        }
    }
    for (count, most, what) in [
        (cable.figures.len(), FIGURES, "figures"),
        (cable.uses.len(), USES, "uses"),
    ] {
        if count > most {
            limited.push(format!(
                "{name} is given {count} {what}; those after the first {most} are not judged"
            ));
        }
    }
    cable.figures.truncate(FIGURES);
    if let Some(besides) = &mut cable.besides {
        besides.uses.truncate(USES);
    }
}

/// Keeps the first of equal entries when there are more than the checks take.
fn distinct<T>(list: &mut Vec<T>, same: impl Fn(&T, &T) -> bool) {
    if list.len() <= SIZES {
        return;
    }
    let mut kept: Vec<T> = Vec::new();
    for entry in list.drain(..) {
        // Beyond twice the limit it no longer matters which they are.
        if kept.len() <= 2 * SIZES && !kept.iter().any(|known| same(known, &entry)) {
            kept.push(entry);
        }
    }
    *list = kept;
}
