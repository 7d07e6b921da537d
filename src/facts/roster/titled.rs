//! Names that stand over what they name or in front of it: a point over points that give a size, keys that come again under one
//! property after the other, and names with a size right behind them. Knows blocks and where sizes stand.

use super::{Roster, is_size};
use crate::facts::terms::Terms;
use crate::lexicon::tokenize;
use crate::sheet::{Block, BlockKind, Kind, Sheet};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// Most cables that are found in one of these ways.
const MOST: usize = 40;
/// What stands between two names that are set against each other.
const OPPOSED: &[&str] = &[" vs ", " vs. ", " v ", " v. ", " versus ", " against "];

impl Roster {
    /// `- Calder` over `    - 12 AWG`, and below it `- Dunmore` over `    - 14 AWG`.
    pub(super) fn find_points(&mut self, sheet: &Sheet, terms: &Terms<'_>) {
        const POINT: u8 = 7;
        let text = sheet.flow.text();
        let mut sized: Vec<usize> = Vec::new();
        for block in &sheet.blocks {
            let Some(title) = block.section() else {
                continue;
            };
            let point = sheet.blocks.get(title).is_some_and(
                |title| matches!(title.kind(), BlockKind::Heading { level } if level >= POINT),
            );
            if point && sized.last() != Some(&title) && holds_size(sheet, block.span) {
                sized.push(title);
            }
            if sized.len() > MOST {
                return;
            }
        }
        let names: Vec<&str> = sized
            .iter()
            .map(|&title| sheet.blocks[title].span.of(text).trim())
            .collect();
        self.add_distinct(&names, terms);
    }

    /// `Gauge` over `Calder: 12 AWG` and `Dunmore: 14 AWG`, `Length` over the same two: the keys are what the things are called.
    pub(super) fn find_under_properties(&mut self, sheet: &Sheet, terms: &Terms<'_>) {
        let text = sheet.flow.text();
        let mut under: Vec<(&str, FxHashSet<usize>, bool)> = Vec::new();
        let mut place: FxHashMap<String, usize> = FxHashMap::default();
        let (mut titles, mut title) = (None, None);
        for (index, block) in sheet.blocks.iter().enumerate() {
            let Some(key) = block.key() else { continue };
            // Most have the same titles as the one before.
            let own = [block.lead(), block.section()];
            if titles != Some(own) {
                title = property_over(sheet, terms, index);
                titles = Some(own);
            }
            let Some(title) = title else {
                continue;
            };
            let name = key.of(text).trim();
            let at = *place.entry(name.to_lowercase()).or_insert_with(|| {
                under.push((name, FxHashSet::default(), false));
                under.len() - 1
            });
            if let Some((_, titles, sized)) = under.get_mut(at) {
                titles.insert(title);
                *sized |= holds_size(sheet, block.span);
            }
            if under.len() > MOST {
                return;
            }
        }
        let names: Vec<&str> = under
            .iter()
            .filter(|(_, titles, sized)| *sized && titles.len() >= 2)
            .map(|(name, ..)| *name)
            .collect();
        self.add_distinct(&names, terms);
    }

    /// “BOUT 2. Hestia Nocturne vs Pardew Stage”: a heading that sets two names against each other, or a sentence that does no more,
    /// where sizes are told behind it: “The Moorhen Four against the Brixley. 4 mm² copper in both.”
    pub(super) fn find_opposed<'s>(&mut self, sheet: &'s Sheet, terms: &Terms<'_>) {
        const WORDS: usize = 3;
        /// Bytes of a sentence that only sets two against each other.
        const BARE: usize = 70;
        let text = sheet.flow.text();
        let mut names: Vec<&str> = Vec::new();
        for block in &sheet.blocks {
            let heading = matches!(block.kind(), BlockKind::Heading { .. });
            if !heading && !matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item) {
                continue;
            }
            for at in block.sentences() {
                let Some(title) = sheet.sentences.get(at).map(|title| title.span.of(text)) else {
                    continue;
                };
                if !heading && (title.len() > BARE || !sized_behind(sheet, block, at)) {
                    continue;
                }
                let sides = OPPOSED.iter().find_map(|word| title.split_once(word));
                let Some((first, second)) = sides else {
                    continue;
                };
                let name = |words: &&str| {
                    let mut each = words.split_whitespace();
                    (1..=WORDS).contains(&each.clone().count())
                        && each.all(|word| word.starts_with(char::is_uppercase))
                        && !is_property(terms, &words.to_lowercase())
                        && !terms.lists.name_common.has(&words.to_lowercase())
                };
                let first = first
                    .rsplit([':', '.', '–', '—'])
                    .next()
                    .unwrap_or(first)
                    .trim();
                let second = second
                    .split([':', '.', ',', '–', '—', '('])
                    .next()
                    .unwrap_or(second)
                    .trim();
                let bare = |words: &'s str| {
                    let article = words.strip_prefix("The ").or(words.strip_prefix("the "));
                    article.unwrap_or(words)
                };
                let (first, second) = (bare(first), bare(second));
                if name(&first) && name(&second) && first != second {
                    names.extend([first, second]);
                }
            }
            if names.len() > MOST {
                return;
            }
        }
        let own: Vec<usize> = names.iter().map(|name| self.add(name, false)).collect();
        for (name, place) in names.iter().zip(own) {
            self.also(place, name);
            if let Some((first, _)) = name.split_once(' ')
                && first.len() > 2
                && names
                    .iter()
                    .filter(|other| other.split(' ').next() == Some(first))
                    .count()
                    == 1
            {
                self.alias_unless_shared(place, &format!("={first}"));
            }
        }
    }

    /// Adds two names or more that are names of things.
    fn add_distinct(&mut self, names: &[&str], terms: &Terms<'_>) {
        const WORDS: usize = 4;
        let own = |name: &&&str| {
            let plain = name.trim_end_matches(':').to_lowercase();
            name.starts_with(char::is_uppercase)
                && name.split_whitespace().count() <= WORDS
                && !is_property(terms, &plain)
                && !terms.lists.name_common.has(&plain)
        };
        let known: FxHashSet<&str> = names.iter().copied().collect();
        if names.len() >= 2 && known.len() == names.len() && names.iter().all(|name| own(&name)) {
            for name in names {
                self.add(name.trim_end_matches(':'), false);
            }
        }
    }
}

/// Whether one of the two sentences behind another, in its block, tells a size.
fn sized_behind(sheet: &Sheet, block: &Block, at: usize) -> bool {
    const BEHIND: usize = 2;
    let end = block.sentences().end.min(at + 1 + BEHIND);
    (at + 1..end)
        .filter_map(|next| sheet.sentences.get(next))
        .any(|next| holds_size(sheet, next.span))
}

/// Whether words name what is measured or a part of a cable, and no cable.
pub(in crate::facts) fn is_property(terms: &Terms<'_>, lower: &str) -> bool {
    terms.lists.name_property.has(lower)
        || lower
            .split([' ', '-'])
            .any(|word| terms.lists.name_property.has(word))
}

/// The block over a block that names a property: its heading, or what introduces it.
pub(in crate::facts) fn property_over(
    sheet: &Sheet,
    terms: &Terms<'_>,
    block: usize,
) -> Option<usize> {
    let own = sheet.blocks.get(block)?;
    [own.lead(), own.section()]
        .into_iter()
        .flatten()
        .find(|&title| {
            sheet.blocks.get(title).is_some_and(|title| {
                let words = title.span.of(sheet.flow.text()).trim();
                let words = words.trim_end_matches(':').to_lowercase();
                words.split_whitespace().count() <= 4 && is_property(terms, &words)
            })
        })
}

fn holds_size(sheet: &Sheet, span: Span) -> bool {
    within(sheet, span).any(is_size)
}

/// Kinds of the quantities in a span.
fn within(sheet: &Sheet, span: Span) -> impl Iterator<Item = Kind> + '_ {
    let from = sheet
        .quantities
        .partition_point(|quantity| quantity.span.start() < span.start());
    (sheet.quantities.iter().skip(from))
        .take_while(move |quantity| quantity.span.end() <= span.end())
        .map(|quantity| quantity.kind)
}

/// Whether a size or a length stands right behind a name as what it is: “Calder (12 AWG)”, “Calder, 12 AWG, 5 m”, and inside a
/// sentence “Calder 12 AWG”. `first` says that the name begins the
/// sentence; `against` are the words that set two things side by side.
pub(super) fn framed(
    text: &str,
    name: Span,
    (first, sentence): (bool, Span),
    values: &[(usize, Span)],
    against: &[Span],
) -> bool {
    const GAP: usize = 5;
    let next = values.partition_point(|(_, value)| value.start() < name.end());
    let Some(&(_, value)) = values
        .get(next)
        .filter(|(_, value)| value.start() - name.end() <= GAP)
    else {
        return false;
    };
    let between = Span::new(name.end(), value.start()).of(text);
    let sign = between.trim_matches([' ', '*', '_']);
    if sign == "(" {
        return true;
    }
    if !matches!(sign, "" | "," | "-" | "–" | "—" | ":") {
        return false;
    }
    // "Today, 12 AWG is enough": where a sentence goes on behind the value, its first word is no name.
    let after = Span::new(value.end(), sentence.end().max(value.end())).of(text);
    let listed = after.trim().is_empty()
        || (against.iter()).any(|word| word.start().checked_sub(value.end()) == Some(1))
        || after.starts_with([',', ';', ')', '/'])
        || [" -", " –", " —"]
            .iter()
            .any(|sign| after.starts_with(sign));
    !first || (listed && !name.of(text).ends_with("ly"))
}

/// Names behind the places of a set-up: “Left: Calder, 3 m. Right: Dunmore, 6 m.”
#[derive(Debug, Default)]
pub(super) struct Sided {
    /// Places, in small letters, and the name that stands behind each.
    found: Vec<(String, String)>,
}

impl Sided {
    /// Keeps a name that stands right behind the word for a place and a colon, with a value of its own behind it. `key` is the
    /// key of the block that the sentence stands in, `values` are places of its sizes and of its lengths. Where the key is the word
    /// for the place, its whole block tells of what is named: “First set   Calder, a grey figure-eight. On the card: 2.5 mm²”.
    pub(super) fn see(
        &mut self,
        text: &str,
        terms: &Terms<'_>,
        (block, sentence): (&Block, Span),
        name: Span,
        values: [&[(usize, Span)]; 2],
    ) {
        const WORDS: usize = 3;
        if self.found.len() > MOST {
            return;
        }
        let key = block.key();
        let from = key
            .filter(|key| key.start() >= sentence.start() && key.end() <= name.start())
            .map_or(sentence.start(), |key| key.start());
        let ahead = Span::new(from, name.start().max(from)).of(text).trim_end();
        let keyed = key.is_some_and(|key| {
            let key = key.of(text).trim();
            ahead.strip_suffix([':', '=']).unwrap_or(ahead).trim() == key
        });
        let place = ahead.strip_suffix([':', '=', '–', '—']);
        let Some(place) = place.or_else(|| keyed.then_some(ahead)) else {
            return;
        };
        let place = place
            .trim_matches(|sign: char| !sign.is_alphanumeric())
            .to_lowercase();
        let words: Vec<&str> = place.split_whitespace().collect();
        let sides = words.iter().any(|word| terms.lists.side_place.has(word));
        let valued = values.iter().any(|values| {
            let next = values.partition_point(|(_, value)| value.start() < name.end());
            values.get(next).is_some_and(|(_, value)| {
                let own = keyed && value.end() <= block.span.end();
                own || value.start() - name.end() <= 40
                    && !Span::new(name.end(), value.start())
                        .of(text)
                        .contains(['.', ';', ':'])
            })
        });
        if sides && words.len() <= WORDS && valued {
            self.found.push((place, name.of(text).to_owned()));
        }
    }

    /// The names, where there are two and more with a place of its own each.
    pub(super) fn names(self) -> Vec<String> {
        let places: FxHashSet<&String> = self.found.iter().map(|(place, _)| place).collect();
        let names: FxHashSet<&String> = self.found.iter().map(|(_, name)| name).collect();
        if places.len() < 2 || places.len() != names.len() {
            return Vec::new();
        }
        let mut seen = FxHashSet::default();
        (self.found.iter())
            .map(|(_, name)| name.clone())
            .filter(|name| seen.insert(name.clone()))
            .collect()
    }
}

/// Leaves out what is written in small letters somewhere: a noun or a verb, and no name.
pub(super) fn leave_common(sheet: &Sheet, framed: &mut FxHashSet<String>) {
    let text = sheet.flow.text();
    let mut lower: FxHashMap<String, String> = framed
        .iter()
        .map(|name| (name.to_lowercase(), name.clone()))
        .collect();
    let mut tokens = Vec::new();
    for sentence in &sheet.sentences {
        tokenize(text, sentence.span, &mut tokens);
        for token in &tokens {
            let word = token.span.of(text);
            if let Some(name) = lower.remove(word) {
                framed.remove(&name);
            }
        }
    }
}
