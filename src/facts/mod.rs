//! Blocks to facts: the cables described, the test set-up, comparisons with their outcome. Knows nothing of rules.
//!
//! A fact that cannot be given to one cable with certainty belongs to none.

pub mod bound;
mod bundles;
mod comparison;
mod context;
mod count;
mod described;
mod kind;
mod offers;
mod procedure;
mod read;
mod roles;
mod roster;
mod score;
mod terms;
mod types;
mod uses;
mod verdict;

pub use read::read;

pub use types::*;
