//! Sentences without an end, of which the hits are kept by concept as well. Knows hits and no text.

use crate::lexicon::Hit;

/// With more hits than these a sentence is long: a cell of a whole page. To look at fewer one by one is as quick.
pub(super) const LONG: usize = 512;

/// The places of hits in the order of their concepts.
pub(super) fn places(found: &[Hit]) -> Box<[u32]> {
    // The place stands in the low half of a number, which is sorted sooner than a pair.
    let keyed = (0_u32..).zip(found);
    let mut keyed: Vec<u64> = keyed
        .map(|(place, hit)| u64::from(hit.concept.0) << 32 | u64::from(place))
        .collect();
    keyed.sort_unstable();
    let place = |key: u64| u32::try_from(key & u64::from(u32::MAX)).unwrap_or(u32::MAX);
    keyed.into_iter().map(place).collect()
}
