//! Blocks to facts: the cables described, the test set-up, comparisons with their outcome. Knows nothing of rules.
//!
//! A fact that cannot be given to one cable with certainty belongs to none.

mod types;

pub use types::*;
