//! Blocks to facts: the cables described, the test set-up, comparisons with their outcome. Knows nothing of rules.
//!
//! A fact that cannot be given to one cable with certainty belongs to none.
//!
//! Words lie in `rules/words-facts.yaml`, as concepts and as lists (`terms`). In these files stand signs and closed classes alone:
//! articles, pronouns, forms of `to be`, `and` and its like, `instead of`. They belong to the grammar of a sentence, are few, and
//! are never added to.

mod besides;
pub mod bound;
mod bundles;
mod comparison;
mod conditions;
mod context;
mod count;
mod described;
mod fact;
mod gain;
mod kept;
mod kind;
mod names;
mod offers;
mod procedure;
mod read;
mod rises;
mod roles;
mod roster;
mod score;
mod spans;
mod stated;
mod terms;
mod types;
mod uses;
mod verdict;
mod voices;

pub use read::read;

use crate::lexicon::{Lexicon, List};

/// Lists whose words a sentence has to have before some of the facts are looked for in it. Whoever walks the text may ask for them.
#[must_use]
pub fn asked(lexicon: &Lexicon) -> Vec<List<'_>> {
    let lists = terms::Lists::new(lexicon);
    vec![
        lists.name_label,
        lists.contrast_alone,
        lists.contrast_noun,
        lists.contrast_place,
        lists.count_word,
        lists.count_tens,
        lists.count_hundred,
        lists.score_trial,
        lists.score_times,
    ]
}

pub use besides::Besides;
pub use conditions::{Conditions, Seldom};
pub use gain::Gain;
pub use names::Names;
pub use spans::Spans;
pub use types::*;
