//! The words around a quantity: which concept stands nearest, within the sentence and in the field key or table header
//! that the quantity stands under.

use crate::lexicon::{ConceptId, Hit, Hits, List};
use crate::sheet::{self, BlockKind, Sheet};
use crate::span::Span;

/// What a clause border between a word and a quantity costs, in bytes.
pub(super) const BORDER_COST: usize = 40;
/// Distance given to words of a field key or a table header.
const KEY_DISTANCE: usize = 12;

/// The words around one quantity.
pub(super) struct Around<'a> {
    sheet: &'a Sheet,
    hits: &'a Hits,
    /// Sentence it stands in.
    pub(super) sentence: usize,
    span: Span,
    /// Sentences of the keys and headers that speak for it.
    keys: Vec<usize>,
}

impl<'a> Around<'a> {
    pub(super) fn new(sheet: &'a Sheet, hits: &'a Hits, sentence: usize, span: Span) -> Self {
        Self {
            sheet,
            hits,
            sentence,
            span,
            keys: key_sentences(sheet, sentence),
        }
    }

    /// Distance to the nearest saying of `concept`: in bytes within the sentence, with a charge for every clause border
    /// between; a key or header counts as near.
    pub(super) fn distance(&self, concept: ConceptId) -> Option<usize> {
        self.nearest(concept).map(|(distance, _)| distance)
    }

    /// As [`Self::distance`], with the words.
    pub(super) fn nearest(&self, concept: ConceptId) -> Option<(usize, Span)> {
        let inside = self.closest(self.hits.saying(self.sentence, concept));
        let keys = self.key_hits(concept);
        let keys = keys.map(|hit| (KEY_DISTANCE, hit.span));
        inside
            .into_iter()
            .chain(keys)
            .min_by_key(|(distance, _)| *distance)
    }

    /// The distance to words for a total. Those that lead to a size behind them are none of what stands ahead: “four of 16 AWG, which
    /// adds up to 10 AWG”.
    pub(super) fn total(&self, concept: ConceptId) -> Option<usize> {
        const LEADS: [&str; 3] = [" to", " a", " an"];
        let text = self.sheet.flow.text();
        let own = self.hits.saying(self.sentence, concept).filter(|hit| {
            let ahead = hit.span.end() <= self.span.start();
            ahead || !LEADS.iter().any(|lead| hit.span.of(text).ends_with(lead))
        });
        let own = self.closest(own).map(|(distance, _)| distance);
        let keyed = self.key_hits(concept).next().map(|_| KEY_DISTANCE);
        own.into_iter().chain(keyed).min()
    }

    /// Whether words of its sentence are part of what says `concept`.
    pub(super) fn within(&self, words: Span, concept: ConceptId) -> bool {
        self.hits
            .saying(self.sentence, concept)
            .any(|hit| hit.span.contains(words))
    }

    /// Where a key or a header says `concept`. Of a field to which several sentences belong the key alone counts, and not the
    /// rest of the first sentence.
    fn key_hits(&self, concept: ConceptId) -> impl Iterator<Item = Hit> {
        let own = self.own_key();
        let keys = self
            .keys
            .iter()
            .flat_map(move |&key| self.hits.saying(key, concept));
        keys.filter(move |hit| own.is_none_or(|own| own.contains(hit.span)))
    }

    /// As [`Self::distance`], without keys and headers.
    pub(super) fn inside(&self, concept: ConceptId) -> Option<usize> {
        self.closest(self.hits.saying(self.sentence, concept))
            .map(|(distance, _)| distance)
    }

    /// The nearest of the hits, and of equally near ones the first. Borders are counted only for those that could be it: a
    /// sentence may say a thing hundreds of times.
    fn closest(&self, hits: impl Iterator<Item = Hit> + Clone) -> Option<(usize, Span)> {
        let first = hits.clone().min_by_key(|hit| self.least(hit.span))?;
        let most = self.gap(first.span);
        hits.filter(|hit| self.least(hit.span) <= most)
            .map(|hit| (self.gap(hit.span), hit.span))
            .min_by_key(|(distance, _)| *distance)
    }

    /// Whether `concept` is said within `reach`.
    pub(super) fn near(&self, concept: ConceptId, reach: usize) -> bool {
        self.distance(concept)
            .is_some_and(|distance| distance <= reach)
    }

    /// Whether its sentence, or a key or header, names a frequency.
    pub(super) fn has_frequency(&self) -> bool {
        std::iter::once(&self.sentence)
            .chain(&self.keys)
            .any(|&sentence| self.frequency_in(sentence))
    }

    /// Whether its sentence gives a frequency, or names the upper end of the audio band.
    pub(super) fn at_frequency(&self, top: ConceptId) -> bool {
        self.has_frequency() || self.says(top)
    }

    /// Whether the caption of the table that it stands in says `concept`.
    pub(super) fn captioned(&self, concept: ConceptId) -> bool {
        caption_sentences(self.sheet, self.sentence)
            .into_iter()
            .any(|sentence| self.hits.say(sentence, concept))
    }

    /// Whether one of the sentences right before it, in the same block, says `concept`.
    pub(super) fn recalled(&self, concept: ConceptId) -> bool {
        const BEFORE: usize = 3;
        let block = |sentence: usize| self.sheet.sentences.get(sentence).map(|at| at.block());
        (self.sentence.saturating_sub(BEFORE)..self.sentence)
            .filter(|&near| block(near) == block(self.sentence))
            .any(|near| self.hits.say(near, concept))
    }

    /// Whether the sentence says `concept` before the quantity, or right behind it with nothing that it could be said of: “sixty
    /// per cent more.”, and not “sixty per cent more detail”.
    pub(super) fn closes(&self, concept: ConceptId) -> bool {
        let text = self.sheet.flow.text();
        let ends = |word: Span| {
            let rest = text.get(word.end()..).unwrap_or("").trim_start();
            rest.chars()
                .next()
                .is_none_or(|next| !next.is_alphanumeric())
                || rest.starts_with("than ")
        };
        self.hits
            .saying(self.sentence, concept)
            .any(|hit| hit.span.end() <= self.span.start() || ends(hit.span))
    }

    /// Whether what its sentence is about is `subject`, and the words right before the quantity say that this amounts to it: “The
    /// difference between the two, at 10 m, comes to a hundredth of an ohm.”
    pub(super) fn amounts_to(&self, subject: ConceptId, comes: ConceptId) -> bool {
        /// The last word at which what a sentence is about begins.
        const SUBJECT: usize = 3;
        /// Most bytes between what it comes to and the quantity.
        const CLOSE: usize = 24;
        let near = self.hits.saying(self.sentence, comes).any(|hit| {
            let gap = self.span.start().checked_sub(hit.span.end());
            gap.is_some_and(|gap| gap <= CLOSE)
        });
        near && (self.hits.saying(self.sentence, subject))
            .any(|hit| hit.first <= SUBJECT && hit.span.end() <= self.span.start())
    }

    /// Whether the sentence right before it is a label of a few words that says `concept`, or a question or a request that does:
    /// “Low loss. Just 0.06 dB”, “Please give the attenuation. 0.2 dB”.
    pub(super) fn introduced(&self, concept: ConceptId) -> bool {
        const LABEL: usize = 3;
        let text = self.sheet.flow.text();
        let Some(before) = self.sentence.checked_sub(1) else {
            return false;
        };
        let (Some(own), Some(ahead)) = (
            self.sheet.sentences.get(self.sentence),
            self.sheet.sentences.get(before),
        ) else {
            return false;
        };
        let words = ahead.span.of(text);
        let label = own.block() == ahead.block() && words.split_whitespace().count() <= LABEL;
        let lower = words.to_lowercase();
        let asked = words
            .trim_end()
            .trim_end_matches(['"', '”', '’'])
            .ends_with('?')
            || lower.contains("please ");
        (label || asked) && self.hits.say(before, concept)
    }

    /// Whether its sentence says little beside the figures.
    pub(super) fn brief(&self) -> bool {
        const WORDS: usize = 12;
        let sentence = self.sheet.sentences.get(self.sentence);
        let text = self.sheet.flow.text();
        sentence.is_some_and(|at| at.span.of(text).split_whitespace().count() <= WORDS)
    }

    /// Whether the sentence right before it in its section, which is no cell of a table, tells one resistance.
    pub(super) fn after_resistance(&self) -> bool {
        let Some(before) = self.sentence.checked_sub(1) else {
            return false;
        };
        let block = |sentence: usize| &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        let (own, other) = (block(self.sentence), block(before));
        let cell = |block: &sheet::Block| matches!(block.kind(), BlockKind::Cell { .. });
        if own.section() != other.section() || cell(own) || cell(other) {
            return false;
        }
        let span = self.sheet.sentences[before].span;
        let all = &self.sheet.quantities;
        let first = all.partition_point(|quantity| quantity.span.start() < span.start());
        let mut ohms = all[first..]
            .iter()
            .take_while(|quantity| quantity.span.start() < span.end())
            .filter(|quantity| {
                matches!(
                    quantity.kind,
                    sheet::Kind::ResistancePerLength | sheet::Kind::Resistance
                )
            });
        ohms.next().is_some() && ohms.next().is_none()
    }

    /// Whether words say that a length is a diameter, and nothing of what.
    pub(super) fn is_diameter(&self, words: Span) -> bool {
        let words = words.of(self.sheet.flow.text()).to_lowercase();
        words.starts_with("diam") || words == "dia"
    }

    /// Whether its sentence goes on to another figure in ohms.
    pub(super) fn another_behind(&self) -> bool {
        let Some(sentence) = self.sheet.sentences.get(self.sentence) else {
            return false;
        };
        let all = &self.sheet.quantities;
        let first = all.partition_point(|quantity| quantity.span.start() < self.span.end());
        all[first..]
            .iter()
            .take_while(|quantity| quantity.span.start() < sentence.span.end())
            .any(|quantity| {
                matches!(
                    quantity.kind,
                    sheet::Kind::Resistance | sheet::Kind::Impedance
                )
            })
    }

    fn frequency_in(&self, sentence: usize) -> bool {
        let Some(sentence) = self.sheet.sentences.get(sentence) else {
            return false;
        };
        let first = self
            .sheet
            .quantities
            .partition_point(|quantity| quantity.span.start() < sentence.span.start());
        self.sheet.quantities[first..]
            .iter()
            .take_while(|quantity| quantity.span.start() < sentence.span.end())
            .any(|quantity| quantity.kind == crate::sheet::Kind::Frequency)
    }

    /// Whether the text goes on with one of `starts` right after the quantity.
    pub(super) fn followed_by(&self, starts: &[&str]) -> bool {
        let after = self.sheet.flow.text().get(self.span.end()..).unwrap_or("");
        starts.iter().any(|start| after.starts_with(start))
    }

    /// Whether a few words behind the quantity say only what would be.
    pub(super) fn supposed_behind(&self) -> bool {
        const REACH: usize = 40;
        let after = self.sheet.flow.text().get(self.span.end()..).unwrap_or("");
        let after = after
            .get(..after.floor_char_boundary(REACH))
            .unwrap_or(after);
        let clause = after.split(['.', ',', ';', ':']).next().unwrap_or("");
        clause.contains(" would ")
    }

    /// Whether the words right behind say what a thing of that size has: “the 14 AWG has”, “a 2.5 mm² pair does”.
    pub(super) fn owns_behind(&self) -> bool {
        const WORDS: usize = 3;
        const OWNS: [&str; 9] = [
            "has", "have", "had", "does", "did", "is", "shows", "loses", "costs",
        ];
        let after = self.sheet.flow.text().get(self.span.end()..).unwrap_or("");
        let clause = after.split(['.', ',', ';', ':']).next().unwrap_or("");
        let mut words = clause.split_whitespace().take(WORDS);
        words.any(|word| OWNS.contains(&word))
    }

    /// Whether a question offers the quantity beside another of its kind: “What are they, 4 ohm or 8?”, “is it a four or an eight ohm pair?”
    pub(super) fn one_of_two_asked(&self) -> bool {
        const NUMBERS: [&str; 5] = ["two", "four", "six", "eight", "sixteen"];
        const ARTICLES: [&str; 3] = ["a", "an", "the"];
        let Some(sentence) = self.sheet.sentences.get(self.sentence) else {
            return false;
        };
        let text = self.sheet.flow.text();
        let asks = sentence
            .span
            .of(text)
            .trim_end_matches([' ', '"', '”', '’', ')']);
        if !asks.ends_with('?') {
            return false;
        }
        let number = |word: &str| {
            let word = word
                .trim_matches(|sign: char| !sign.is_alphanumeric())
                .to_lowercase();
            word.starts_with(|sign: char| sign.is_ascii_digit()) || NUMBERS.contains(&word.as_str())
        };
        let plain = |word: &&str| {
            !ARTICLES
                .iter()
                .any(|article| word.eq_ignore_ascii_case(article))
        };
        let behind = text.get(self.span.end()..sentence.span.end()).unwrap_or("");
        let mut behind = behind.split_whitespace().filter(plain);
        if behind.next() == Some("or") && behind.next().is_some_and(number) {
            return true;
        }
        let ahead = text
            .get(sentence.span.start()..self.span.start())
            .unwrap_or("");
        let mut ahead = ahead.split_whitespace().rev().filter(plain);
        // The unit may stand behind the first number as well.
        ahead.next() == Some("or") && ahead.take(2).any(number)
    }

    /// Whether the quantity is written with one of `starts` at its beginning.
    pub(super) fn begins(&self, starts: &[&str]) -> bool {
        let own = self.span.of(self.sheet.flow.text());
        starts.iter().any(|start| own.starts_with(start))
    }

    /// Whether one of `ends` stands right before the quantity.
    pub(super) fn led_by(&self, ends: &[&str]) -> bool {
        let before = self
            .sheet
            .flow
            .text()
            .get(..self.span.start())
            .unwrap_or("");
        ends.iter().any(|end| before.ends_with(end))
    }

    /// Distance to the nearest saying of `concept` before the quantity in its sentence, or in a key.
    pub(super) fn nearest_before(&self, concept: ConceptId) -> Option<usize> {
        let before = self
            .hits
            .saying(self.sentence, concept)
            .filter(|hit| hit.span.end() <= self.span.start());
        let keyed = self.keyed(concept).then_some(KEY_DISTANCE);
        let before = self.closest(before).map(|(distance, _)| distance);
        before.into_iter().chain(keyed).min()
    }

    /// Whether `concept` is said right ahead, with nothing but a colon between: “Quantity: 150 m”.
    pub(super) fn right_behind(&self, concept: ConceptId) -> bool {
        let text = self.sheet.flow.text();
        (self.hits.saying(self.sentence, concept))
            .filter(|hit| hit.span.end() <= self.span.start())
            .any(|hit| {
                let between = Span::new(hit.span.end(), self.span.start()).of(text).trim();
                matches!(between, "" | ":" | "=")
            })
    }

    /// Whether a key or a header says `concept`.
    pub(super) fn keyed(&self, concept: ConceptId) -> bool {
        self.key_hits(concept).next().is_some()
            || self.own_key().is_some_and(|key| {
                self.hits
                    .saying(self.sentence, concept)
                    .any(|hit| key.contains(hit.span))
            })
    }

    /// Whether the key of its field is one of `words`, in a document that says `concept` somewhere.
    pub(super) fn keyed_by(&self, words: List<'_>, concept: ConceptId) -> bool {
        self.own_key().is_some_and(|key| {
            let key = key.of(self.sheet.flow.text()).trim();
            words.has(&key.to_lowercase())
        }) && self.hits.anywhere(concept)
    }

    /// The key of the field that the quantity stands in.
    fn own_key(&self) -> Option<Span> {
        let sentence = self.sheet.sentences.get(self.sentence)?;
        self.sheet.blocks.get(sentence.block())?.key()
    }

    /// Whether the sentence or its keys say `concept` anywhere.
    pub(super) fn says(&self, concept: ConceptId) -> bool {
        self.nearest(concept).is_some()
    }

    /// The distance to words of the sentence.
    fn gap(&self, words: Span) -> usize {
        self.apart(words).map_or_else(
            |near| near,
            |between| between.len() + BORDER_COST * borders(between.of(self.sheet.flow.text())),
        )
    }

    /// The least that the distance can be, whatever stands between.
    fn least(&self, words: Span) -> usize {
        self.apart(words)
            .map_or_else(|near| near, |between| between.len())
    }

    /// What stands between the quantity and words of the sentence; a fixed distance for those of its key and its own.
    fn apart(&self, words: Span) -> Result<Span, usize> {
        if let Some(key) = self.own_key()
            && key.contains(words)
        {
            return Err(KEY_DISTANCE);
        }
        if words.end() <= self.span.start() {
            Ok(Span::new(words.end(), self.span.start()))
        } else if self.span.end() <= words.start() {
            Ok(Span::new(self.span.end(), words.start()))
        } else {
            Err(0)
        }
    }
}

/// Longest block above a table that is taken for its caption.
const CAPTION: usize = 160;

/// Sentences of the words right above the table of a cell.
pub(super) fn caption_sentences(sheet: &Sheet, sentence: usize) -> Vec<usize> {
    let block = sheet
        .sentences
        .get(sentence)
        .and_then(|sentence| sheet.blocks.get(sentence.block()));
    let Some((block, BlockKind::Cell { table, .. })) = block.map(|block| (block, block.kind()))
    else {
        return Vec::new();
    };
    let before = sheet
        .tables
        .get(table as usize)
        .and_then(|table| table.cells.iter().flatten().flatten().next())
        .and_then(|first| first.checked_sub(1))
        .filter(|&before| {
            sheet.blocks.get(before).is_some_and(|block| {
                matches!(
                    block.kind(),
                    BlockKind::Heading { .. } | BlockKind::Paragraph
                ) && block.span.len() <= CAPTION
            })
        });
    let mut captions: Vec<usize> = Vec::new();
    for caption in [block.lead().filter(|&lead| Some(lead) != before), before]
        .into_iter()
        .flatten()
    {
        let sentences = sheet.blocks.get(caption).map(|block| block.sentences());
        captions.extend(sentences.into_iter().flatten());
    }
    captions
}

/// Sentences of the notes below a table whose mark the row of a cell bears: `3)` in its last column, `Loss *` as its name.
pub(super) fn note_sentences(sheet: &Sheet, sentence: usize) -> Vec<usize> {
    /// How many blocks below a table may be its notes.
    const NOTES: usize = 16;
    /// How many cells of a row are looked at for a mark.
    const CELLS: usize = 24;
    let text = sheet.flow.text();
    let block = sheet
        .sentences
        .get(sentence)
        .and_then(|sentence| sheet.blocks.get(sentence.block()));
    let Some(BlockKind::Cell { table, row, .. }) = block.map(|block| block.kind()) else {
        return Vec::new();
    };
    let [table, row] = [table, row].map(|place| place as usize);
    let Some(cells) = sheet.tables.get(table).map(|table| &table.cells) else {
        return Vec::new();
    };
    let marks: Vec<&str> = cells
        .get(row)
        .into_iter()
        .flatten()
        .take(CELLS)
        .flatten()
        .filter_map(|&cell| sheet.blocks.get(cell))
        .flat_map(|cell| cell.span.of(text).split_whitespace())
        .map(|word| word.trim_end_matches(','))
        .filter(|word| sheet::is_note_mark(word))
        .collect();
    let Some(last) = cells.last().and_then(|row| row.iter().flatten().max()) else {
        return Vec::new();
    };
    let below = sheet.blocks.get(last + 1..).unwrap_or(&[]);
    let mut notes = Vec::new();
    for note in below.iter().take(NOTES).filter(|_| !marks.is_empty()) {
        let from = note.span.start().saturating_sub(6);
        let ahead = text.get(from..note.span.start()).unwrap_or("");
        let ahead = ahead.rsplit('\n').next().unwrap_or("").trim_start();
        let begins = |mark: &str| {
            ahead.starts_with(mark) || ahead.is_empty() && note.span.of(text).starts_with(mark)
        };
        if marks.iter().any(|mark| begins(mark)) {
            notes.extend(note.sentences());
        }
    }
    notes
}

/// Number of clause borders in `text`.
pub(super) fn borders(text: &str) -> usize {
    let marks = text
        .matches([',', ';', ':', '(', ')', '—', '–', '|'])
        .count();
    marks
        + usize::from(text.contains(" and "))
        + usize::from(text.contains(" but "))
        + usize::from(text.contains(" while "))
}

/// Sentences of the header cells (column and row) and of the field key that speak for the sentence.
pub(super) fn key_sentences(sheet: &Sheet, sentence: usize) -> Vec<usize> {
    let mut keys = Vec::new();
    let Some(block) = sheet
        .sentences
        .get(sentence)
        .and_then(|sentence| sheet.blocks.get(sentence.block()))
    else {
        return keys;
    };
    if let BlockKind::Cell { table, row, column } = block.kind() {
        let [table, row, column] = [table, row, column].map(|place| place as usize);
        let Some(table) = sheet.tables.get(table) else {
            return keys;
        };
        let mut add = |row: usize, column: usize| {
            let cell = table
                .cells
                .get(row)
                .and_then(|cells| cells.get(column))
                .copied()
                .flatten();
            if let Some(block) = cell.and_then(|index| sheet.blocks.get(index)) {
                keys.extend(block.sentences());
            }
        };
        if table.header_row && row > 0 {
            add(0, column);
        }
        if table.header_column && column > 0 {
            add(row, 0);
        }
        let over = table.over.get(column).copied().flatten();
        if let Some(block) = over.and_then(|index| sheet.blocks.get(index)) {
            keys.extend(block.sentences().filter(|&at| at != sentence));
        }
    } else if let Some(first) = block.key().map(|_| block.sentences().start) {
        // Later sentences of a field stand under its key as well.
        if first != sentence {
            keys.push(first);
        }
    }
    keys
}
