//! Blocks to facts: the cables described, the test set-up, comparisons with their outcome. Knows nothing of rules.
//!
//! A fact that cannot be given to one cable with certainty belongs to none.
//!
//! Words lie in `rules/words-facts.yaml`, as concepts and as lists (`terms`). In these files stand signs and closed classes alone:
//! articles, pronouns, forms of `to be`, `and` and its like, `instead of`. They belong to the grammar of a sentence, are few, and
//! are never added to.

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
mod voices;

pub use read::read;

pub use types::*;
