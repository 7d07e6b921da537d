//! Which sentences are neighbours, and what a sentence is about.
//!
//! Sentences of one block are neighbours; so are a list item and the sentence that introduces the list, a section's first
//! sentence and its heading, the cells of a row with the heads of their columns, and an answer with its question.

use crate::lexicon::{ConceptId, Hit, Hits, Lexicon, List};
use crate::rulebook::Topic;
use crate::sheet::{Block, BlockKind, Sheet};
use crate::span::Span;
use std::cell::{LazyCell, OnceCell};

/// The neighbourhood of every block.
#[derive(Debug)]
pub(super) struct Passages<'d> {
    pub(super) sheet: &'d Sheet,
    pub(super) hits: &'d Hits,
    /// Word lists of what is a cable and of what is another thing.
    cable: Option<ConceptId>,
    /// What can be nothing but a cable.
    lead: Option<Said>,
    /// What speaks of reproduced sound and of nothing else.
    audio: Option<Said>,
    other: Option<ConceptId>,
    /// What speaks of sound.
    sound: [Option<ConceptId>; 2],
    /// Whether a cable is named anywhere.
    named: bool,
    /// Whether the document is about cables for other work, and names no loudspeaker.
    elsewhere: bool,
    /// A cable by name, as rules ask for it.
    /// Words of how a thing looks or feels.
    look: Option<ConceptId>,
    /// Where each of them begins, in order, with its last word: a sentence without an end has a great many.
    looks: Vec<(usize, usize)>,
    /// Effects on the sound.
    pub(super) effects: Vec<ConceptId>,
    /// What stands before the names of people.
    titles: List<'d>,
    care: Option<ConceptId>,
    /// The same with the pronouns that stand for it.
    pronoun: Option<ConceptId>,
    /// By sentence: whether a cable is what was spoken of last, so that “they” tells of it; found when first asked for.
    spoken_of: OnceCell<Vec<bool>>,
}

/// A concept, and by block whether it is said there, found when first asked for.
#[derive(Debug)]
struct Said {
    list: ConceptId,
    blocks: OnceCell<Vec<bool>>,
}

/// Word lists of effects on the sound.
const EFFECTS: &[&str] = &["sound.any", "sound.better", "sound.harm", "sound.felt"];

/// Most sentences before its own that a claim is looked for in; a row may have thousands of cells.
const REACH: usize = 4;

/// For how many sentences a cable stays what is spoken of when nothing else is named.
const LASTING: usize = 4;

/// By sentence, whether a cable is what was spoken of last: in it, shortly before it with nothing else named since, or in its
/// heading.
fn spoken_of(
    sheet: &Sheet,
    hits: &Hits,
    lead: Option<ConceptId>,
    other: Option<ConceptId>,
) -> Vec<bool> {
    let says = |at: usize, list: Option<ConceptId>| list.is_some_and(|list| hits.say(at, list));
    let mut list = Vec::with_capacity(sheet.sentences.len());
    let (mut section, mut left) = (None, 0_usize);
    for (at, sentence) in sheet.sentences.iter().enumerate() {
        let under = sheet
            .blocks
            .get(sentence.block())
            .and_then(|block| block.section());
        if under != section {
            section = under;
            left = 0;
        }
        let headed = || {
            let head = under.and_then(|head| sheet.blocks.get(head));
            head.is_some_and(|head| head.sentences().any(|at| says(at, lead)))
        };
        if says(at, lead) {
            left = LASTING;
        } else if says(at, other) {
            left = 0;
        } else {
            left = left.saturating_sub(1);
        }
        list.push(left > 0 || headed() && !says(at, other));
    }
    list
}

/// Whether a block answers the one before it: another voice has just asked something.
fn answers(sheet: &Sheet, asks: usize, answer: usize) -> bool {
    let (Some(asks), Some(answer)) = (sheet.blocks.get(asks), sheet.blocks.get(answer)) else {
        return false;
    };
    let text = sheet.flow.text();
    let voice = |block: &Block| block.speaker().map(|speaker| speaker.of(text));
    asks.span
        .of(text)
        .trim_end_matches(|letter: char| letter.is_whitespace() || matches!(letter, '"' | '”'))
        .ends_with('?')
        && voice(asks).is_some()
        && voice(answer).is_some()
        && voice(asks) != voice(answer)
}

impl<'d> Passages<'d> {
    pub(super) fn new(sheet: &'d Sheet, hits: &'d Hits, lexicon: &'d Lexicon) -> Self {
        let says = |list: &str| lexicon.id(list).is_some_and(|list| hits.anywhere(list));
        let said = |list: &str| {
            Some(Said {
                list: lexicon.id(list)?,
                blocks: OnceCell::new(),
            })
        };
        let look = lexicon.id("look.any");
        let looks = look.into_iter().flat_map(|look| hits.saying_anywhere(look));
        let mut looks: Vec<(usize, usize)> =
            looks.map(|hit| (hit.span.start(), hit.last)).collect();
        looks.sort_unstable();
        Self {
            sheet,
            hits,
            looks,
            effects: EFFECTS.iter().filter_map(|name| lexicon.id(name)).collect(),
            titles: lexicon.list("name.title"),
            elsewhere: says("topic.other.cable") && !says("topic.speaker") || says("topic.auction"),
            cable: lexicon.id("topic.cable"),
            care: lexicon.id("care.cable"),
            look,
            pronoun: lexicon.id("thing.wire"),
            spoken_of: OnceCell::new(),
            lead: said("topic.lead"),
            audio: said("topic.audio"),
            other: lexicon.id("topic.other"),
            sound: ["topic.sound", "effect.heard"].map(|list| lexicon.id(list)),
            named: lexicon
                .id("topic.cable")
                .is_none_or(|cable| hits.anywhere(cable)),
        }
    }

    /// The last sentence of a block.
    fn last(&self, block: usize) -> Option<usize> {
        let range = self.sheet.blocks.get(block)?.sentences();
        range.end.checked_sub(1).filter(|last| *last >= range.start)
    }

    /// The sentences before those of a block (its heading, its lead, the head of its column and the cells beside it), in order. They are
    /// found anew for whoever asks: few blocks have a claim in them.
    fn before(&self, index: usize) -> Vec<usize> {
        let sheet = self.sheet;
        let mut list = Vec::new();
        let Some(block) = sheet.blocks.get(index) else {
            return list;
        };
        match block.kind() {
            BlockKind::Cell { table, row, column } => {
                let [table, row, column] = [table, row, column].map(|place| place as usize);
                if let Some(table) = sheet.tables.get(table) {
                    let last = |cell: &Option<usize>| cell.and_then(|cell| self.last(cell));
                    if table.header_row && row > 0 {
                        let head = table.cells.first().and_then(|cells| cells.get(column));
                        list.extend(head.and_then(last));
                    }
                    let beside = table.cells.get(row).map_or(&[][..], Vec::as_slice);
                    let beside = beside.get(..column).unwrap_or(beside);
                    let near = list.len();
                    list.extend(beside.iter().rev().filter_map(last).take(REACH));
                    list[near..].reverse();
                }
            }
            BlockKind::Heading { .. } => {}
            _ => {
                let first = || block.section().filter(|section| section + 1 == index);
                let over = block.lead().or_else(first);
                list.extend(over.and_then(|over| self.last(over)));
                let asks = index.checked_sub(1);
                let asks = asks.filter(|&asks| answers(sheet, asks, index));
                list.extend(asks.and_then(|asks| self.last(asks)));
            }
        }
        list
    }

    /// The sentence that follows those of a heading.
    fn after(&self, index: usize) -> Option<usize> {
        let blocks = &self.sheet.blocks;
        let heads = matches!(blocks.get(index)?.kind(), BlockKind::Heading { .. });
        let next = blocks.get(index + 1).filter(|_| heads)?;
        let own = next.sentences();
        (next.section() == Some(index) && !own.is_empty()).then_some(own.start)
    }

    /// The sentences round `sentence`, each with its distance, up to `reach` away on either side; the nearest first.
    pub(super) fn around(&self, sentence: usize, reach: usize) -> Vec<(usize, isize)> {
        let mut list = vec![(sentence, 0)];
        let (Some(own), true) = (self.sheet.sentences.get(sentence), reach > 0) else {
            return list;
        };
        let Some(block) = self.sheet.blocks.get(own.block()) else {
            return list;
        };
        let before = LazyCell::new(|| self.before(own.block()));
        for step in 1..=reach {
            let distance = isize::try_from(step).unwrap_or(isize::MAX);
            let inside = sentence.saturating_sub(block.sentences().start);
            if step <= inside {
                list.push((sentence - step, -distance));
            } else {
                let back = before.len().checked_sub(step - inside);
                if let Some(&at) = back.and_then(|back| before.get(back)) {
                    list.push((at, -distance));
                }
            }
            if sentence + step < block.sentences().end {
                list.push((sentence + step, distance));
            } else if sentence + step == block.sentences().end
                && let Some(next) = self.after(own.block())
            {
                list.push((next, distance));
            }
        }
        list
    }

    /// Whether the sentences with the hits of a claim can be about that topic. The words of the claim itself name no other
    /// thing (“tape eraser”).
    pub(super) fn fit(&self, topic: Topic, sentences: &[usize], claim: &[(usize, Hit)]) -> bool {
        if topic == Topic::Any {
            return true;
        }
        let Some(cable) = self.cable else {
            return true;
        };
        if sentences.iter().any(|&at| self.hits.say(at, cable)) {
            return true;
        }
        let speaks = || {
            sentences.iter().any(|&at| {
                self.sound
                    .iter()
                    .flatten()
                    .any(|list| self.hits.say(at, *list))
            })
        };
        if topic == Topic::Named && !self.named && !speaks() {
            return false;
        }
        let Some(other) = self.other else {
            return true;
        };
        !sentences.iter().any(|&at| {
            self.hits.saying(at, other).any(|hit| {
                !claim
                    .iter()
                    .any(|(_, part)| self.covers(at, part.concept, hit))
            })
        })
    }

    /// Whether words of a rule are met by what is spoken of: they ask for a cable, and one is the subject of the sentence.
    pub(super) fn understood(&self, sentence: usize, concepts: &[ConceptId]) -> bool {
        self.care.is_some_and(|care| concepts.contains(&care))
            && self
                .pronoun
                .is_some_and(|list| self.hits.say(sentence, list))
            && self.cable_spoken_of(sentence)
    }

    /// Whether a cable is what was spoken of last.
    fn cable_spoken_of(&self, sentence: usize) -> bool {
        let list = self.spoken_of.get_or_init(|| {
            let lead = self.lead.as_ref().map(|lead| lead.list);
            spoken_of(self.sheet, self.hits, lead, self.other)
        });
        list.get(sentence).copied().unwrap_or(false)
    }

    /// Whether the document is about cables for other work than that of a loudspeaker.
    pub(super) fn elsewhere(&self) -> bool {
        self.elsewhere
    }

    /// Whether one of the sentences names a cable, or a cable was spoken of last.
    pub(super) fn speak_of_cable(&self, sentences: &[usize]) -> bool {
        let lead = self.lead.as_ref().map(|lead| lead.list);
        let names = |at: usize| {
            let mut lists = [self.cable, lead].into_iter().flatten();
            lists.any(|list| self.hits.say(at, list))
        };
        (sentences.iter()).any(|&at| names(at) || self.cable_spoken_of(at))
    }

    /// Whether a sentence is the heading with which the document begins.
    pub(super) fn is_title(&self, sentence: usize) -> bool {
        let block = self.sheet.sentences.get(sentence).map(|own| own.block());
        let title = self.sheet.blocks.first();
        block == Some(0)
            && title.is_some_and(|title| matches!(title.kind(), BlockKind::Heading { .. }))
    }

    /// The running text.
    pub(super) fn text(&self) -> &str {
        self.sheet.flow.text()
    }

    /// Share of the paragraphs and entries that speak of reproduced sound, from 0 to 1.
    pub(super) fn share_of_audio(&self) -> f64 {
        const RUNNING: usize = 4;
        let Some(audio) = &self.audio else {
            return 1.0;
        };
        let text = self.sheet.flow.text();
        let (mut said, mut all) = (0_u32, 0_u32);
        for (block, says) in self.sheet.blocks.iter().zip(self.by_block(audio)) {
            let words = block.span.of(text).split_whitespace();
            if words.take(RUNNING).count() == RUNNING {
                all += 1;
                said += u32::from(*says);
            }
        }
        f64::from(said) / f64::from(all.max(1))
    }

    /// Whether a cable is named where the sentences stand: in their blocks, in what introduces them, or in their heading.
    pub(super) fn name_a_lead(&self, sentences: &[usize]) -> bool {
        self.name(self.lead.as_ref(), sentences)
    }

    /// Whether reproduced sound is spoken of where the sentences stand.
    pub(super) fn name_audio(&self, sentences: &[usize]) -> bool {
        self.name(self.audio.as_ref(), sentences)
    }

    /// By block, whether a concept is said there.
    fn by_block<'s>(&self, said: &'s Said) -> &'s [bool] {
        said.blocks.get_or_init(|| {
            let says = |block: &Block| block.sentences().any(|at| self.hits.say(at, said.list));
            self.sheet.blocks.iter().map(says).collect()
        })
    }

    fn name(&self, said: Option<&Said>, sentences: &[usize]) -> bool {
        let Some(said) = said else {
            return true;
        };
        let blocks = self.by_block(said);
        let says = |index: usize| blocks.get(index).copied().unwrap_or(false);
        sentences.iter().any(|&at| {
            let Some(own) = self.sheet.sentences.get(at) else {
                return false;
            };
            let above = self.sheet.blocks.get(own.block());
            let above = above.map(|block| [block.lead(), block.section()]);
            says(own.block())
                || (self.before(own.block()).into_iter()).any(|at| self.hits.say(at, said.list))
                || above.into_iter().flatten().flatten().any(says)
        })
    }

    /// Whether a concept is said in the sentence by words that hold those of the hit.
    fn covers(&self, sentence: usize, concept: ConceptId, hit: Hit) -> bool {
        self.hits
            .saying(sentence, concept)
            .any(|other| other.span.contains(hit.span))
    }

    /// Whether any of the concepts is said in one of the sentences.
    pub(super) fn say_any(&self, sentences: &[usize], concepts: &[ConceptId]) -> bool {
        !concepts.is_empty()
            && sentences
                .iter()
                .any(|&at| self.hits.saying_any(at, concepts).next().is_some())
    }

    /// Hits of one sentence for any of the concepts.
    pub(super) fn hits_of<'p>(
        &'p self,
        sentence: usize,
        concepts: &'p [ConceptId],
    ) -> impl Iterator<Item = Hit> + 'p {
        self.hits
            .saying_any(sentence, concepts)
            .filter(move |hit| !self.looks(sentence, *hit))
    }

    /// Whether a word with a capital stands behind a title, or behind a title and a first name.
    fn names_person(&self, span: Span) -> bool {
        /// Bytes in which both are looked for.
        const AHEAD: usize = 32;
        let text = self.sheet.flow.text();
        let capital = |word: &str| word.starts_with(|letter: char| letter.is_ascii_uppercase());
        if !capital(span.of(text)) {
            return false;
        }
        let from = text.floor_char_boundary(span.start().saturating_sub(AHEAD));
        let ahead = Span::new(from, span.start()).of(text);
        if !ahead.ends_with(' ') {
            return false;
        }
        let mut words = ahead.split_whitespace().rev();
        let title = |word: &str| {
            let word = word.trim_start_matches(|sign: char| !sign.is_alphabetic());
            capital(word)
                && self
                    .titles
                    .has(&word.trim_end_matches('.').to_ascii_lowercase())
        };
        words
            .next()
            .is_some_and(|first| title(first) || capital(first) && words.next().is_some_and(title))
    }

    /// Whether a word is that of a look, a touch or a price, and of no sound: “smooth black jacket”, “warm red PVC”, “a sweet price”.
    /// Or of a person's name: “Dr Strand on skin effect”.
    pub(super) fn looks(&self, sentence: usize, hit: Hit) -> bool {
        if self.names_person(hit.span) {
            return true;
        }
        if !(self.look).is_some_and(|look| self.hits.may_say(sentence, &[look])) {
            return false;
        }
        let start = hit.span.start();
        let from = self
            .looks
            .partition_point(|&look| look < (start, hit.last + 1));
        self.looks.get(from).is_some_and(|&(at, _)| at == start)
    }
}
