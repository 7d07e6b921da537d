//! Phrases for pieces of gear: a noun with its article, what kind it is of, and its power, impedance or voltage. Knows one sentence
//! at a time, and no side.

use super::given::Key;
use crate::facts::context::borders;
use crate::facts::read::Reader;
use crate::facts::roles::Role;
use crate::lexicon::{List, Token};
use crate::sheet::Kind;
use crate::span::Span;

/// Words of a piece of gear before its noun.
const AHEAD: usize = 7;

/// What a piece of gear is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Family {
    Amplifier,
    Speaker,
    Lamp,
    Supply,
}

/// Kinds that exclude each other: the place in its group, from one.
pub(in super::super) type Kinds = [u8; 4];

/// One phrase for a piece of gear.
#[derive(Debug, Clone)]
pub(in super::super) struct Piece {
    pub(in super::super) family: Family,
    pub(in super::super) span: Span,
    /// Its noun.
    pub(in super::super) noun: Span,
    pub(in super::super) sentence: usize,
    pub(in super::super) kinds: Kinds,
    /// Its power, impedance or voltage.
    pub(in super::super) value: Option<usize>,
    /// Whether a word of connection stands before it.
    pub(in super::super) linked: bool,
    /// Said to be one for all.
    pub(in super::super) shared: bool,
    pub(in super::super) side: Vec<Key>,
    pub(in super::super) named: Span,
}

/// The phrases for gear in a sentence.
pub(in super::super) fn pieces_of(
    reader: &Reader<'_>,
    sentence: usize,
    tokens: &[Token],
    words: &[String],
) -> Vec<Piece> {
    let lists = reader.terms.lists;
    let text = reader.text();
    let mut found: Vec<Piece> = Vec::new();
    let nouns = [
        (Family::Amplifier, lists.gear_amplifier),
        (Family::Speaker, lists.gear_speaker),
        (Family::Lamp, lists.gear_lamp),
        (Family::Supply, lists.gear_supply),
    ];
    for at in 0..tokens.len() {
        let mut family = nouns
            .iter()
            .find(|(_, list)| list.has(&words[at]) || joined(*list, words, at).is_some())
            .map(|(family, _)| *family);
        let start = first_word(text, tokens, words, at, reader);
        let before = &words[start..at];
        // "The transistor job", "a valve affair": what stands for an amplifier behind its kind.
        if family.is_none()
            && lists.gear_stand_in.has(&words[at])
            && (0..before.len()).any(|place| {
                [lists.gear_valve, lists.gear_transistor, lists.gear_mono]
                    .iter()
                    .any(|list| list.has(&before[place]) || joined(*list, before, place).is_some())
            })
        {
            family = Some(Family::Amplifier);
        }
        let Some(family) = family else { continue };
        let last = nouns
            .iter()
            .find_map(|(_, list)| joined(*list, words, at))
            .map_or(at, |count| at + count - 1);
        // "Amplifier terminals", "valve amplifier": the last of several nouns is what it is.
        let beside = |next: usize| {
            tokens.get(next).is_some_and(|next| {
                matches!(
                    Span::new(tokens[last].span.end(), next.span.start()).of(text),
                    " " | "-"
                )
            })
        };
        if beside(last + 1)
            && (nouns.iter().any(|(_, list)| {
                list.has(&words[last + 1]) || joined(*list, words, last + 1).is_some()
            }) || (lists.gear_part.has(&words[last + 1])
                // "Where the tall floorstanders stand."
                && !(start > 0 && words[start - 1] == "where"))
                || lists.gear_cable.has(&words[last + 1]))
        {
            continue;
        }
        if words[at].ends_with("'s") || words[at].ends_with("’s") {
            continue;
        }
        let whole = tokens[start].span.join(tokens[last].span);
        let kinds = kinds(reader, &words[start..=last], family);
        // "A pair of small two-ways".
        let mut opens = start;
        if opens >= 2 && words[opens - 1] == "of" && lists.gear_set.has(&words[opens - 2]) {
            opens -= 2;
            if opens > 0
                && (lists.described_determiner.has(&words[opens - 1])
                    || lists.gear_determiner.has(&words[opens - 1]))
            {
                opens -= 1;
            }
        }
        let link = opens.checked_sub(1).is_some_and(|before| {
            let fits =
                Span::new(tokens[before].span.end(), tokens[opens].span.start()).of(text) == " ";
            // "The lamp was a 50 W capsule."
            let equated = lists.gear_be.has(&words[before])
                && found.last().is_some_and(|piece| {
                    piece.family == family
                        && Some(piece.noun) == before.checked_sub(1).map(|at| tokens[at].span)
                });
            // "It ended in a 20 W capsule."
            let ended =
                before > 0 && words[before] == "in" && lists.gear_ended.has(&words[before - 1]);
            fits && (lists.gear_link.has(&words[before]) || equated || ended)
        });
        // "The big single-ended amplifier" is not one for all.
        let compound = |place: usize| {
            tokens.get(place + 1).is_some_and(|next| {
                Span::new(tokens[place].span.end(), next.span.start()).of(text) == "-"
            })
        };
        let shared =
            (start..at).any(|place| lists.gear_same.has(&words[place]) && !compound(place));
        found.push(Piece {
            family,
            span: whole,
            noun: tokens[at].span.join(tokens[last].span),
            sentence,
            kinds,
            value: None,
            linked: link,
            shared,
            side: Vec::new(),
            named: whole,
        });
    }
    values(reader, sentence, &mut found);
    found
}

/// “Theirs gets the 60 W lamp. Ours gets the 100 W.”: a value behind a word of connection, and no noun behind it.
pub(super) fn elided(
    reader: &Reader<'_>,
    sentence: usize,
    tokens: &[Token],
    words: &[String],
    before: &[Piece],
    here: &mut Vec<Piece>,
) {
    /// Sentences between the noun and the value without one.
    const BEFORE: usize = 3;
    let lists = reader.terms.lists;
    let text = reader.text();
    for index in reader.in_sentence(sentence) {
        let span = reader.sheet.quantities[index].span;
        if here.iter().any(|piece| piece.value == Some(index)) {
            continue;
        }
        let Some(noun) = before.iter().rev().find(|piece| {
            let own = match piece.family {
                Family::Amplifier | Family::Lamp => Role::Power,
                Family::Speaker => Role::Load,
                Family::Supply => Role::Voltage,
            };
            own == reader.roles[index] && piece.sentence + BEFORE >= sentence
        }) else {
            continue;
        };
        let Some(at) = tokens
            .iter()
            .position(|token| token.span.start() >= span.start())
        else {
            continue;
        };
        // "Was given one of 21 W."
        let one = at >= 3 && words[at - 1] == "of" && words[at - 2] == "one";
        let led = at >= 2
            && (lists.gear_determiner.has(&words[at - 1]) || one)
            && lists.gear_link.has(&words[at - if one { 3 } else { 2 }]);
        let rest = text.get(span.end()..).unwrap_or("");
        let ends =
            rest.is_empty() || rest.starts_with(['.', ',', ';', '\n']) || rest.starts_with(" one");
        if led && ends {
            here.push(Piece {
                family: noun.family,
                span: tokens[at - 1].span.join(span),
                noun: span,
                sentence,
                kinds: [0; 4],
                value: Some(index),
                linked: true,
                shared: false,
                side: Vec::new(),
                named: span,
            });
        }
    }
    here.sort_by_key(|piece| piece.span.start());
}

/// Whether a word and those behind it make an entry of several words joined by hyphens.
fn joined(list: List<'_>, words: &[String], at: usize) -> Option<usize> {
    (2..=3).rev().find(|&count| {
        words
            .get(at..at + count)
            .is_some_and(|words| list.has(&words.join("-")))
    })
}

/// The first word of a phrase that ends in the noun at a place: behind the nearest word that leads into it.
fn first_word(
    text: &str,
    tokens: &[Token],
    words: &[String],
    noun: usize,
    reader: &Reader<'_>,
) -> usize {
    let lists = reader.terms.lists;
    let mut start = noun;
    while start > 0 && noun - start < AHEAD {
        let before = start - 1;
        let between = Span::new(tokens[before].span.end(), tokens[start].span.start()).of(text);
        if !matches!(between, " " | "-" | " “" | " \"" | "\n")
            || between != "-" && lists.gear_border.has(&words[before])
        {
            break;
        }
        start = before;
        let hyphen = start > 0
            && Span::new(tokens[start - 1].span.end(), tokens[start].span.start()).of(text) == "-";
        if !hyphen
            && (lists.described_determiner.has(&words[start])
                || lists.gear_determiner.has(&words[start]))
        {
            break;
        }
    }
    start
}

/// What kinds the words for a piece of gear say it to be of.
fn kinds(reader: &Reader<'_>, words: &[String], family: Family) -> Kinds {
    let lists = reader.terms.lists;
    let groups: [&[List<'_>]; 4] = match family {
        Family::Amplifier => [
            &[lists.gear_valve, lists.gear_transistor],
            &[lists.gear_combined, lists.gear_mono],
            &[lists.gear_big, lists.gear_little],
            &[lists.gear_old, lists.gear_new],
        ],
        Family::Speaker => [
            &[lists.gear_floor, lists.gear_shelf],
            &[],
            &[lists.gear_big, lists.gear_little],
            &[lists.gear_old, lists.gear_new],
        ],
        Family::Supply => [&[lists.gear_battery, lists.gear_mains], &[], &[], &[]],
        Family::Lamp => [&[]; 4],
    };
    groups.map(|group| {
        let of = |list: &List<'_>| {
            (0..words.len()).any(|at| list.has(&words[at]) || joined(*list, words, at).is_some())
        };
        let mut known = group.iter().enumerate().filter(|(_, list)| of(list));
        match (known.next(), known.next()) {
            (Some((place, _)), None) => u8::try_from(place + 1).unwrap_or(0),
            _ => 0,
        }
    })
}

/// Gives each power, impedance and voltage of a sentence to the piece of gear that stands next to it.
fn values(reader: &Reader<'_>, sentence: usize, pieces: &mut [Piece]) {
    /// Bytes between a piece of gear and its value.
    const NEAR: usize = 40;
    let text = reader.text();
    for index in reader.in_sentence(sentence) {
        let of: &[Family] = match reader.roles[index] {
            Role::Power => &[Family::Amplifier, Family::Lamp],
            Role::Load => &[Family::Speaker],
            // "Small 8 Ω two-ways."
            _ if matches!(
                reader.sheet.quantities[index].kind,
                Kind::Impedance | Kind::Resistance
            ) && pieces.iter().any(|piece| {
                piece.family == Family::Speaker
                    && piece.span.overlaps(reader.sheet.quantities[index].span)
            }) =>
            {
                &[Family::Speaker]
            }
            Role::Voltage => &[Family::Supply],
            _ => continue,
        };
        let span = reader.sheet.quantities[index].span;
        let cost = |piece: &Piece| {
            if piece.span.overlaps(span) {
                return 0;
            }
            let between = if piece.span.end() <= span.start() {
                Span::new(piece.span.end(), span.start())
            } else {
                Span::new(span.end(), piece.span.start())
            };
            // What stands before a noun apart from its phrase is of another.
            let ahead = 20 * usize::from(span.end() <= piece.span.start());
            between.len() + 8 * borders(between.of(text)) + ahead
        };
        let nearest = pieces
            .iter_mut()
            .filter(|piece| of.contains(&piece.family))
            .min_by_key(|piece| cost(piece));
        if let Some(piece) = nearest.filter(|piece| cost(piece) <= NEAR)
            && piece.value.is_none()
        {
            // "90 W into 4 Ω" and 50 W into 8 Ω may be of one amplifier.
            let rated = text
                .get(span.end()..)
                .is_some_and(|rest| rest.starts_with(" into") || rest.starts_with(" at "));
            piece.value = (!rated || piece.family != Family::Amplifier).then_some(index);
        }
    }
}
