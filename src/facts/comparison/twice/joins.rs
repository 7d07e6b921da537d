//! Whether a sentence joins several conductors to one. Knows no sides.

use crate::facts::count;
use crate::facts::read::Reader;
use crate::lexicon::{Token, tokenize};

/// Whether a sentence joins several conductors to one: “2.5 mm² for each pole” is a size by itself, and “two of 14 AWG for each pole”
/// is none.
pub(in super::super) fn joins(reader: &Reader<'_>, sentence: usize) -> bool {
    let lists = reader.terms.lists;
    let text = reader.text();
    let mut joined = false;
    for hit in reader.hits.saying(sentence, reader.terms.parallel) {
        joined = true;
        if !lists.parallel_pole.has(&hit.span.of(text).to_lowercase()) {
            return true;
        }
    }
    if !joined || reader.endless(sentence) {
        return joined;
    }
    let mut tokens: Vec<Token> = Vec::new();
    tokenize(text, reader.sheet.sentences[sentence].span, &mut tokens);
    tokens.iter().any(|token| {
        let word = token.span.of(text).to_lowercase();
        let many = count::small(&reader.terms, &word).is_some_and(|count| count > 1)
            || word.parse().is_ok_and(|count: u32| count > 1);
        let amount = |index: usize| reader.sheet.quantities[index].span.overlaps(token.span);
        many && !reader.in_sentence(sentence).any(amount)
    })
}
