//! Labels and tellings that give away nothing of what is playing. Knows one sentence at a time.

use crate::facts::read::Reader;
use crate::span::Span;

/// “Six ohms by the label”: a label is where an amount was read.
pub(super) fn read_off(reader: &Reader<'_>, sentence: usize, made: Span) -> bool {
    reader.in_sentence(sentence).any(|index| {
        let end = reader.sheet.quantities[index].span.end();
        end < made.start()
            && reader.terms.lists.seen_read.has(
                Span::new(end, made.start())
                    .of(reader.text())
                    .trim_matches([' ', ',', '('])
                    .to_lowercase()
                    .as_str(),
            )
    })
}

/// “The green thread told the user which was which”: who handles a wire is no listener.
pub(super) fn told_a_user(reader: &Reader<'_>, sentence: usize, made: Span) -> bool {
    reader.hits.may_list(sentence, reader.terms.lists.told_user)
        && made
            .of(reader.text())
            .split(|letter: char| !letter.is_alphabetic())
            .any(|word| reader.terms.lists.told_user.has(&word.to_lowercase()))
}
