//! Lines to blocks: one reader goes from line to line, asks what begins there, and adds the blocks of it.
//!
//! What a line can be is told in the modules below: a heading, running text or a field, somebody's turn to speak; tables have a
//! module of their own beside this one.

mod answers;
mod heading;
mod hung;
mod join;
mod labels;
mod look;
mod pages;
mod paragraph;
mod positions;
mod series;
mod times;
mod titles;
mod voices;

use super::clean::{self, Clean};
use super::flow::Flow;
use super::lines::{self, BAR, COLON, EQUALS, Edge, GAP, LEADER, Line};
use super::marks::{self, MarkKind};
use super::{Block, BlockKind, Sentence, Sheet, columns, inline, records, sentence, table};
use crate::span::Span;
use look::is_spaced;
use std::cell::Cell;
use std::ops::Range;
use voices::Turn;

/// Most blocks that are told apart; what comes after them is running text.
pub const MOST_BLOCKS: usize = 1_000_000;

/// What a block is besides its words.
#[derive(Default, Clone, Copy)]
pub(super) struct About {
    key: Option<Span>,
    quoted: bool,
    speaker: Option<Span>,
}

/// The list, quotation or group of fields that is being read, and the block that introduces it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Group {
    Items,
    Fields,
    Quotation,
    Table(u32),
}

pub(super) struct Reader<'t> {
    pub(super) clean: &'t Clean<'t>,
    pub(super) text: &'t str,
    pub(super) lines: Vec<Line>,
    pub(super) sheet: Sheet,
    flow: Flow,
    /// Headings that are open, with their levels.
    headings: Vec<(u8, usize)>,
    group: Option<(Group, Option<usize>)>,
    /// Indent of the words of the last item.
    item_indent: Option<usize>,
    /// The points of lists that are titles of the points below them: their indents and levels.
    points: Vec<(u16, u8)>,
    speaker: Option<Turn>,
    scratch: Vec<Span>,
    keys: Cell<[Option<KeptKey>; 2]>,
    /// Column that most lines of running text reach, those of columns side by side where such are being read.
    measure: usize,
    /// The same for the whole page.
    page_measure: usize,
    /// The chunk that is being read or one right above it holds dot leaders, so that one dot may be one too.
    led: bool,
    /// The lines above a key that begins with them.
    key_above: Range<usize>,
    /// The field of those read at once under which others may be set deeper, with its line.
    pair_over: Option<(usize, usize)>,
    /// Blocks that hold the name of a letter's author, in order.
    signatures: Vec<usize>,
    /// Names that take turns to speak.
    voices: Vec<String>,
    /// Blocks that stand below a blank or a drawn line, in order.
    apart: Vec<usize>,
    /// Lines before this one are no names and values in two columns.
    pub(super) unpaired: usize,
    /// One past the last line of those that were no table, and with how many of them as the first one.
    pub(super) no_table: (usize, usize),
    /// How many headings were open above the columns that are being read.
    above_columns: usize,
}

/// Where a line stands, and its key.
type KeptKey = ((usize, usize), Option<marks::Key>);

/// Reads decoded text that has been cleaned.
pub(super) fn read(clean: &Clean<'_>) -> Sheet {
    let text = clean.text();
    let scanned = columns::beside_heads(text, lines::scan(text));
    let scanned = columns::fields(text, scanned);
    let scanned = inline::sides(text, inline::answers(text, scanned));
    let scanned = inline::unfold(text, scanned);
    let lines = columns::unfold(
        text,
        pages::running_heads(text, pages::unframed(text, scanned)),
    );
    let lines = series::unfold(text, lines);
    let measure = pages::measure(text, &lines);
    let mut reader = Reader {
        clean,
        text,
        lines,
        sheet: Sheet::default(),
        flow: Flow::with_capacity(text.len()),
        headings: Vec::new(),
        group: None,
        item_indent: None,
        points: Vec::new(),
        speaker: None,
        scratch: Vec::new(),
        keys: Cell::new([None; 2]),
        measure,
        page_measure: measure,
        led: false,
        key_above: 0..0,
        pair_over: None,
        signatures: Vec::new(),
        voices: Vec::new(),
        apart: Vec::new(),
        unpaired: 0,
        no_table: (0, 0),
        above_columns: 0,
    };
    reader.leave_out_times();
    reader.find_voices();
    reader.run();
    reader.sign();
    reader.leave_set_speech();
    reader.find_answers();
    reader.find_hung();
    let mut sheet = reader.sheet;
    sheet.blocks.shrink_to_fit();
    sheet.sentences.shrink_to_fit();
    sheet.flow = reader.flow;
    records::find(&mut sheet, &reader.apart);
    sheet
}

/// A cell of so many bytes is running text.
const TOLD: usize = 100;

impl<'t> Reader<'t> {
    fn run(&mut self) {
        let mut at = 0;
        while at < self.lines.len() {
            if self.sheet.blocks.len() >= MOST_BLOCKS {
                self.sheet.limited = true;
                let rest = at..self.lines.len();
                self.paragraph(rest, About::default());
                return;
            }
            let mut end = self.chunk_end(at);
            if self.heads_over_blank(at, end) {
                end = self.chunk_end(end);
            }
            self.apart.push(self.sheet.blocks.len());
            self.pass_edge(at);
            // Another setting reads keys in another way.
            self.keys.set([None; 2]);
            // The lines of a form may stand in several groups.
            self.led = (at.saturating_sub(20)..end.min(at + 40)).any(|line| {
                self.line(line).is_some_and(|line| line.has(LEADER))
                    && marks::leader(self.words(line), false).is_some()
            });
            let mut here = at;
            // The paragraph or the field under which lines may be set deeper, and its first line.
            let mut over = (self.sheet.blocks.len(), at);
            while here < end {
                if self.sheet.blocks.len() >= MOST_BLOCKS {
                    break;
                }
                let before = self.sheet.blocks.len();
                self.pair_over = None;
                let next = self.step(here, at, end);
                let kind = self.sheet.blocks.get(before).map(Block::kind);
                let heads = matches!(kind, Some(BlockKind::Paragraph | BlockKind::Field));
                if heads && !self.is_deeper(over.1, here) {
                    over = (before, here);
                }
                self.note_deeper(over, before, here);
                here = next.max(here + 1);
            }
            // A table may go on behind a blank line.
            at = here;
        }
    }

    /// Ends the sections that were begun in columns where the text goes on below them.
    fn pass_edge(&mut self, at: usize) {
        match self.line(at).map(|line| line.edge) {
            Some(Edge::In) => {
                self.above_columns = self.headings.len();
                let below = self.lines.get(at..).unwrap_or(&[]);
                let end = below.iter().position(|line| line.edge == Edge::Out);
                let columns = below.get(..end.unwrap_or(below.len())).unwrap_or(&[]);
                self.measure = pages::measure(self.text, columns);
            }
            Some(Edge::Out) => {
                self.headings.truncate(self.above_columns);
                self.measure = self.page_measure;
            }
            Some(Edge::No) | None => {}
        }
    }

    /// Notes that the block to come begins with the mark of a footnote.
    fn note_mark(&mut self, mark: &str) {
        const MOST: usize = 64;
        if self.sheet.marked.len() < MOST {
            let mark = mark.trim_end_matches([')', '.', ':']);
            self.sheet
                .marked
                .push((self.sheet.blocks.len(), mark.into()));
        }
    }

    /// Notes the fields from block `first` on, which begin in line `at`, if they are set deeper below the paragraph or the field `over`.
    fn note_deeper(&mut self, over: (usize, usize), first: usize, at: usize) {
        let kind = |at: usize| self.sheet.blocks.get(at).map(Block::kind);
        if first <= over.0
            || !matches!(kind(over.0), Some(BlockKind::Paragraph | BlockKind::Field))
            || !self.is_deeper(over.1, at)
        {
            return;
        }
        let noted = self.sheet.deeper.last().map_or(0, |&(field, _)| field + 1);
        let fields: Vec<usize> = (first.max(noted)..self.sheet.blocks.len())
            .filter(|&field| kind(field) == Some(BlockKind::Field))
            .collect();
        let ties = fields.into_iter().map(|field| (field, over.0));
        self.sheet.deeper.extend(ties);
    }

    /// Notes the same of fields that are read at once, of which block `field` begins at `start`: `Article 7704   2 x 4 mm²` over
    /// `  resistance   4.66 Ω/km`.
    pub(super) fn note_deeper_at(&mut self, field: usize, start: usize) {
        let behind = self.lines.partition_point(|line| line.start() <= start);
        let Some(line) = behind.checked_sub(1) else {
            return;
        };
        match self.pair_over {
            Some((head, above)) if head < field && self.is_deeper(above, line) => {
                self.sheet.deeper.push((field, head));
            }
            _ => self.pair_over = Some((field, line)),
        }
    }

    /// Whether line `at` is set deeper than line `over`.
    fn is_deeper(&self, over: usize, at: usize) -> bool {
        const DEEPER: usize = 2;
        let indent = |at| self.line(at).map_or(0, |line| usize::from(line.indent));
        indent(at) >= indent(over) + DEEPER
    }

    pub(super) fn line(&self, at: usize) -> Option<&Line> {
        self.lines.get(at)
    }

    pub(super) fn words(&self, at: usize) -> &'t str {
        self.lines.get(at).map_or("", |line| line.of(self.text))
    }

    /// One past the last line before a blank line, a new page or another depth of quotation.
    pub(super) fn chunk_end(&self, at: usize) -> usize {
        let quote = self.line(at).map_or(0, |line| line.quote);
        let mut end = at + 1;
        while let Some(line) = self.line(end) {
            if line.blank > 0 || line.page || line.quote != quote {
                break;
            }
            end += 1;
        }
        end
    }

    /// Reads the block that begins at line `at` of the chunk `start..end` and gives the line after it.
    fn step(&mut self, at: usize, start: usize, end: usize) -> usize {
        let Some(&line) = self.line(at) else {
            return end;
        };
        let words = self.words(at);
        self.leave_points(line.indent);
        if marks::is_rule(words) {
            // A box begins with a drawn line.
            if words.starts_with(['+', '┌', '╔', '┏', '|']) && at + 1 < end {
                return self.bar_table(at, end).unwrap_or(at + 1);
            }
            self.apart.push(self.sheet.blocks.len());
            return at + 1;
        }
        if line.has(BAR)
            && let Some(next) = self.bar_table(at, end)
        {
            return next;
        }
        if let Some(next) = self.separated_table(at, end) {
            return next;
        }
        if line.has(GAP)
            && let Some(next) = self.position(at, end)
        {
            return next;
        }
        if line.has(GAP)
            && (!is_spaced(words) || self.heads_over(at, end))
            && !self.recorded(words)
            && let Some(next) = self.gap_table(at, end)
        {
            return next;
        }
        if let Some(next) = self.heading(at, start, end, line, words) {
            return next;
        }
        if let Some(next) = self.marked(at, start, end) {
            return next;
        }
        if line.has(GAP)
            && !self.recorded(words)
            && let Some(next) = self.pairs(at, start, end)
        {
            return next;
        }
        self.text_block(at, end)
    }

    /// A list item, an answer or a stretch of a recording.
    fn marked(&mut self, at: usize, start: usize, end: usize) -> Option<usize> {
        let words = self.words(at);
        let &line = self.line(at)?;
        let mark = marks::mark(words)?;
        if mark.kind == MarkKind::Voice && self.in_series(at, start, end) {
            return None;
        }
        if at == start
            && let MarkKind::Bullet('-' | '–' | '—') = mark.kind
            && line.quote == 0
            && end - start == 1
            && line.indent >= 30
        {
            return None;
        }
        let next = self.paragraph_end(at, end);
        let words_indent = usize::from(line.indent)
            + words
                .get(..mark.len)
                .map_or(mark.len, |before| before.chars().count());
        let content = line.part(self.text, line.start() + mark.len..line.end(), words_indent);
        if let MarkKind::Bullet(_) | MarkKind::Number(_) = mark.kind
            && let Some(title) = self.over_points(at, next, end, &content)
        {
            self.title_of_points(title, line.indent);
            self.item_indent = Some(words_indent);
            return Some(next);
        }
        let mut parts: Vec<Line> = Vec::with_capacity(next - at);
        parts.push(content);
        parts.extend(self.lines.get(at + 1..next).unwrap_or(&[]));
        let marker = line.start()..line.start() + mark.len;
        if let MarkKind::Bullet(sign) = mark.kind
            && (marks::is_note(sign) || matches!(sign, '*' | '+'))
        {
            self.note_mark(words.get(..mark.len).unwrap_or("").trim());
        }
        match mark.kind {
            MarkKind::Bullet(sign) if marks::is_note(sign) => {
                let about = About {
                    speaker: self.current_speaker(&parts),
                    ..About::default()
                };
                self.block(BlockKind::Paragraph, about, true, |reader| {
                    reader.push_lines(&parts);
                    None
                });
            }
            MarkKind::Bullet(_) => {
                self.item(&parts, None);
            }
            MarkKind::Number(_) => {
                self.item(&parts, Some(marker));
            }
            MarkKind::Time | MarkKind::Voice => {
                self.turn(&parts, marker, mark.kind == MarkKind::Voice);
            }
        }
        self.item_indent = Some(words_indent);
        Some(next)
    }

    fn item(&mut self, parts: &[Line], marker: Option<Range<usize>>) {
        let key = parts.first().and_then(|line| self.key_of(line));
        let speaker = self.current_speaker(parts);
        let about = About {
            quoted: parts.first().is_some_and(|line| line.quote > 0),
            speaker,
            key: None,
        };
        self.block(BlockKind::Item, about, true, |reader| {
            if let Some(marker) = marker {
                reader.clean.push(&mut reader.flow, marker);
            }
            Some(reader.push_keyed(parts, key))
        });
    }

    /// Adds a block whose words `fill` appends; it gives where the first sentence begins and the key, if there is one.
    pub(super) fn block(
        &mut self,
        kind: BlockKind,
        about: About,
        split: bool,
        fill: impl FnOnce(&mut Self) -> Option<(usize, Option<Span>)>,
    ) -> Option<usize> {
        let index = self.sheet.blocks.len();
        if !self.flow.text().is_empty() {
            let at = self.flow.end_of_source();
            self.flow.push_as("\n", at, 0);
        }
        let start = self.flow.text().len();
        let filled = fill(self);
        let end = self.flow.text().len();
        if start == end {
            return None;
        }
        let (from, key) = filled.unwrap_or((start, None));
        let first = self.sheet.sentences.len();
        let span = Span::new(start, end);
        // A cell of a diary or a job book holds running text.
        let told = matches!(kind, BlockKind::Cell { .. }) && span.len() >= TOLD;
        if split || told {
            let mut spans = std::mem::take(&mut self.scratch);
            spans.clear();
            sentence::split(self.flow.text(), Span::new(from, end), &mut spans);
            self.sheet
                .sentences
                .extend(spans.iter().map(|&span| Sentence::new(span, index)));
            self.scratch = spans;
        } else {
            self.sheet.sentences.push(Sentence::new(span, index));
        }
        let lead = self.lead(kind, about.quoted, index);
        let section = self.headings.last().map(|(_, heading)| *heading);
        let sentences = first..self.sheet.sentences.len();
        let mut block = Block::new(kind, span, sentences)
            .tied(section, lead)
            .keyed(key.or(about.key));
        block.quote(about.quoted);
        block.spoken_by(about.speaker);
        self.sheet.blocks.push(block);
        Some(index)
    }

    /// The block that introduces the list or quotation to which block `index` belongs.
    fn lead(&mut self, kind: BlockKind, quoted: bool, index: usize) -> Option<usize> {
        let group = match kind {
            BlockKind::Heading { .. } => None,
            BlockKind::Item => Some(Group::Items),
            BlockKind::Field => Some(Group::Fields),
            BlockKind::Cell { table, .. } => Some(Group::Table(table)),
            BlockKind::Paragraph => quoted.then_some(Group::Quotation),
        };
        let Some(group) = group else {
            self.group = None;
            return None;
        };
        if let Some((open, lead)) = self.group
            && open == group
        {
            return lead;
        }
        let lead = index.checked_sub(1).filter(|before| {
            self.sheet.blocks.get(*before).is_some_and(|block| {
                let words = block.span.of(self.flow.text());
                matches!(
                    block.kind(),
                    BlockKind::Heading { .. } | BlockKind::Paragraph
                ) && (words.ends_with(':')
                    || (matches!(group, Group::Table(_)) && !words.ends_with('.'))
                    || (matches!(block.kind(), BlockKind::Heading { .. })
                        && group != Group::Quotation))
            })
        });
        self.group = Some((group, lead));
        lead
    }

    /// A cell of a table, with the unit that stands elsewhere in the table, if any.
    pub(super) fn cell(
        &mut self,
        kind: BlockKind,
        parts: &[Range<usize>],
        unit: &[Range<usize>],
    ) -> Option<usize> {
        self.block(kind, About::default(), false, |reader| {
            reader.push_parts(parts, unit);
            None
        })
    }

    /// A head that stands over several columns.
    pub(super) fn caption(&mut self, parts: &[Range<usize>]) -> Option<usize> {
        self.block(BlockKind::Paragraph, About::default(), true, |reader| {
            reader.push_parts(parts, &[]);
            None
        })
    }

    fn push_parts(&mut self, parts: &[Range<usize>], unit: &[Range<usize>]) {
        let mut before: Option<&Range<usize>> = None;
        for (index, range) in parts.iter().chain(unit).enumerate() {
            if let Some(before) = before {
                let sign = if index == parts.len() { ", " } else { " " };
                self.clean.push_as(
                    &mut self.flow,
                    sign,
                    before.end..range.start.max(before.end),
                );
            }
            self.push_words(range.clone(), true);
            before = Some(range);
        }
    }
}
