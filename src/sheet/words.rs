//! The words by which the layout of a page is told, from `rules/words-layout.yaml`, compiled by the build. They belong to pages and
//! not to rules, so they are the same for every rulebook. Knows nothing of what is done with them.

use crate::lexicon::{Lexicon, lists};
use crate::pack::{Pack, Reader};
use std::sync::LazyLock;

lists! {
    /// The lists of `rules/words-layout.yaml`.
    pub(super) struct Words;
    head_plain = "head.plain",
    head_property = "head.property",
    head_value = "head.value",
    head_aside = "head.aside",
    head_sign = "head.sign",
    when_end = "when.end",
    when_start = "when.start",
    hyphen_first = "hyphen.first",
    hyphen_second = "hyphen.second",
    hyphen_ending = "hyphen.ending",
    voice_label = "voice.label",
    voice_answer = "voice.answer",
    voice_wrote = "voice.wrote",
    voice_said = "voice.said",
    voice_editor = "voice.editor",
    letter_closing = "letter.closing",
    letter_address = "letter.address",
    letter_editor = "letter.editor",
    letter_reply = "letter.reply",
    letter_title = "letter.title",
    page_word = "page.word",
    entry_part = "entry.part",
    letter_labelled = "letter.labelled",
    sentence_start = "sentence.start",
    abbreviation_never_ends = "abbreviation.never_ends",
    abbreviation_before_number = "abbreviation.before_number",
    abbreviation_before_term = "abbreviation.before_term",
    abbreviation_may_end = "abbreviation.may_end",
    sentence_short_end = "sentence.short_end",
    key_clause_word = "key.clause_word",
    key_shortened = "key.shortened",
}

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| {
    let mut built = Reader {
        bytes: include_bytes!(concat!(env!("OUT_DIR"), "/layout.bin")),
        words: include_str!(concat!(env!("OUT_DIR"), "/layout.txt")),
    };
    Lexicon::unpack(&mut built).unwrap_or_default()
});

/// The words by which layout is told.
pub(super) static WORDS: LazyLock<Words<'static>> = LazyLock::new(|| Words::new(&LEXICON));

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_list_of_the_layout_is_there() {
        for name in Words::NAMES {
            assert!(LEXICON.has_list(name), "no list is called {name}");
            assert!(
                LEXICON.list(name).entries().next().is_some(),
                "{name} is empty"
            );
        }
    }
}
