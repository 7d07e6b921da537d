//! A difference that is told of cables without saying which is which.

use super::types::{Cable, Difference, Fact, Load};

/// A difference between cables that are not told apart, with what bounds it.
#[derive(Debug, Clone)]
pub struct Gain {
    /// As stated.
    pub difference: Difference,
    /// The thinnest size and the longest run of the passage.
    pub cable: Cable,
    /// The lowest load of the passage.
    pub load: Fact<Load>,
    /// Somebody says right behind it what made it.
    pub credited: bool,
}
