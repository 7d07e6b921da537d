//! Capitalised words that are the name of a firm, a group, a fair or a place in a forum, and of no cable.

use crate::facts::terms::Terms;
use crate::lexicon::Token;
use crate::span::Span;

/// Whether a name of two words and more ends as those of firms do: “Pellworth Radio”.
pub(super) fn firm(terms: &Terms<'_>, text: &str, name: Span, words: usize) -> bool {
    let last = name.of(text).rsplit(' ').next().unwrap_or("");
    words > 1 && terms.lists.name_firm.has(&last.to_lowercase())
}

/// Whether a name that ends before token `at` is that of a group: “the Lower Wexcombe gramophone society”.
pub(super) fn group(terms: &Terms<'_>, text: &str, tokens: &[Token], at: usize) -> bool {
    let kind = tokens.get(at).map_or("", |token| token.span.of(text));
    tokens.get(at + 1).is_some_and(|next| {
        terms.lists.name_group.has(next.span.of(text))
            && kind.bytes().all(|letter| letter.is_ascii_lowercase())
    })
}

/// Whether a name goes on behind “&” and ends as those of firms and fairs do: “Midford Sound & Picture Week”.
pub(super) fn first_of_two(terms: &Terms<'_>, text: &str, name: Span) -> bool {
    let after = text.get(name.end()..).unwrap_or("");
    let Some(after) = after.strip_prefix(" & ") else {
        return false;
    };
    let capitals = after
        .split([' ', '\n'])
        .take_while(|word| word.starts_with(char::is_uppercase));
    capitals.last().is_some_and(|last| {
        let last = last.trim_end_matches(|sign: char| !sign.is_alphanumeric());
        let last = last.to_lowercase();
        terms.lists.name_firm.has(&last) || terms.lists.name_place_behind.has(&last)
    })
}

/// Whether a name is a step of a trail: “Home Builders > Wires and plugs”.
pub(super) fn trail(text: &str, name: Span) -> bool {
    let after = text.get(name.end()..).unwrap_or("").trim_start_matches(' ');
    let ahead = text.get(..name.start()).unwrap_or("");
    let before = ahead.trim_end_matches(' ');
    after.starts_with(['>', '»', '›'])
        || before.ends_with(['»', '›'])
        || before.ends_with('>') && !before.ends_with("\n>")
}
