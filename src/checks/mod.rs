//! Facts and rulebook to findings with their working; one file a computed check, in a folder for each chapter.
//!
//! Every check is a pure function of the [`Context`]. What it says about the numbers of one cable goes through
//! `cascade` afterwards, so that one cause gives one finding at its root. Knows nothing of how findings are shown.

mod arrival;
pub use arrival::show as show_arrival;
mod answers;
mod bench;
mod cascade;
mod elsewhere;
pub mod format;
mod known;
mod said;
mod sides;
mod worked;

pub use known::Known;
pub use said::{Said, Stage, Work};

use crate::claims::Claim;
use crate::facts::{Cable, DocumentKind, Fact, Facts};
use crate::finding::{self, Finding, Level, Verdict};
use crate::lexicon::List;
use crate::rulebook::Rulebook;
use crate::sheet::{BlockKind, Sheet};
use crate::span::Span;
use std::cell::Cell;
use std::ops::Range;

/// What a check gets.
#[derive(Clone, Copy)]
pub struct Context<'a> {
    /// The running text, in whose offsets all spans are.
    pub text: &'a str,
    /// The layout of the document.
    pub sheet: &'a Sheet,
    /// What the document says.
    pub facts: &'a Facts,
    /// What it claims in words. Checks judge those of [`JUDGED`] by the numbers.
    pub claims: &'a [Claim],
    /// Quotations, and quantities that it reports or asks about, that it then denies; in reading order.
    pub rebutted: &'a [Span],
    /// Rules with their thresholds.
    pub rulebook: &'a Rulebook,
    /// Where a check notes that it reached a limit.
    pub reached: &'a Reached,
    /// What several findings look up, put together once.
    pub known: &'a Known,
}

/// Limits that checks have reached.
#[derive(Debug, Clone, Default)]
pub struct Reached {
    /// Figures with more than [`CONDITIONS`] combinations of conditions.
    conditions: Cell<usize>,
    /// More than twice [`NEIGHBOURS`] statements of one kind.
    statements: Cell<usize>,
    /// More than [`LOADS`] different loads.
    loads: Cell<bool>,
    /// The first words of the last confirmation that is kept, once there are as many as are to be kept.
    last_kept: Cell<Option<Span>>,
}

impl Reached {
    /// A line for each limit that was reached.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        let (conditions, statements) = (self.conditions.get(), self.statements.get());
        if conditions > 0 {
            let figures = if conditions == 1 { "figure" } else { "figures" };
            lines.push(format!(
                "{conditions} {figures} could hold under more than the limit of {CONDITIONS} combinations of conditions, \
                 and could not be judged"
            ));
        }
        if statements > 0 {
            lines.push(format!(
                "{statements} statements of one kind are more than the limit of {}; beside a figure only the nearest are looked at",
                2 * NEIGHBOURS
            ));
        }
        if self.loads.get() {
            lines.push(format!(
                "more loads are stated than the limit of {LOADS}; the rest are left out"
            ));
        }
        lines
    }

    /// Whether a figure has too many conditions to be judged, which is noted.
    fn too_many(&self, conditions: usize) -> bool {
        let many = conditions > CONDITIONS;
        if many {
            self.conditions.set(self.conditions.get() + 1);
        }
        many
    }
}

impl<'a> Context<'a> {
    /// The quoted words, white space evened out.
    #[must_use]
    pub fn quote(&self, span: Span) -> String {
        span.of(self.text)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// A threshold of a rule; NaN, with which no comparison holds, when there is none of that name.
    #[must_use]
    pub fn threshold(&self, rule: &str, name: &str) -> f64 {
        self.rulebook
            .rule(rule)
            .map_or(f64::NAN, |rule| rule.threshold(name))
    }

    /// A value of the table of defaults, which stands for what a document leaves open.
    #[must_use]
    pub fn default(&self, name: &str) -> f64 {
        self.rulebook.usual(name).unwrap_or(f64::NAN)
    }

    /// A list of words of the rulebook; an empty one when there is none of that name.
    #[must_use]
    pub fn list(&self, name: &str) -> List<'a> {
        self.rulebook.lexicon().list(name)
    }

    /// Index of the sentence that holds the words.
    #[must_use]
    pub fn sentence(&self, span: Span) -> Option<usize> {
        let sentences = &self.sheet.sentences;
        let after = sentences.partition_point(|sentence| sentence.span.start() <= span.start());
        (0..after)
            .rev()
            .take(4)
            .find(|&index| sentences[index].span.contains(span))
    }

    /// Index of the block that holds the words.
    #[must_use]
    pub fn block(&self, span: Span) -> Option<usize> {
        self.sentence(span)
            .map(|index| self.sheet.sentences[index].block())
    }

    /// Whether words stand in a cell of a table.
    fn in_cell(&self, span: Span) -> bool {
        let block = self.block(span).and_then(|at| self.sheet.blocks.get(at));
        block.is_some_and(|block| matches!(block.kind(), BlockKind::Cell { .. }))
    }

    /// How near two statements stand.
    #[must_use]
    pub fn nearness(&self, a: Span, b: Span) -> Nearness {
        let (Some(one), Some(other)) = (self.sentence(a), self.sentence(b)) else {
            return Nearness::Apart;
        };
        let block = |sentence: usize| self.sheet.sentences[sentence].block();
        let (one_block, other_block) = (block(one), block(other));
        let row = |block: usize| match self.sheet.blocks.get(block).map(|block| block.kind()) {
            Some(BlockKind::Cell { table, row, .. }) => Some((table, row)),
            _ => None,
        };
        let column = |block: usize| match self.sheet.blocks.get(block).map(|block| block.kind()) {
            Some(BlockKind::Cell { table, column, .. }) => Some((table, column)),
            _ => None,
        };
        let same = |a: Option<(u32, u32)>, b| a.is_some() && a == b;
        let entry = |block: usize| {
            self.sheet.blocks.get(block).is_some_and(|block| {
                block.key().is_some()
                    || matches!(block.kind(), BlockKind::Field | BlockKind::Heading { .. })
            })
        };
        let under = |block: usize| {
            let own = self.sheet.blocks.get(block)?;
            match own.kind() {
                BlockKind::Heading { .. } => Some(block),
                _ => own.section(),
            }
        };
        if one == other {
            Nearness::Sentence
        } else if same(row(one_block), row(other_block))
            || same(column(one_block), column(other_block))
        {
            Nearness::Line
        } else if one_block == other_block {
            Nearness::Block
        } else if entry(one_block) && entry(other_block) && under(one_block) == under(other_block) {
            Nearness::Entries
        } else {
            Nearness::Apart
        }
    }

    /// Which of `count` statements are looked at: of very many only those round the one at `middle`, which the report says.
    fn window(&self, count: usize, middle: usize) -> Range<usize> {
        if count <= 2 * NEIGHBOURS {
            return 0..count;
        }
        let statements = &self.reached.statements;
        statements.set(statements.get().max(count));
        middle.saturating_sub(NEIGHBOURS)..(middle + NEIGHBOURS).min(count)
    }

    /// Of several conditions those that stand nearest to the words that they may belong to.
    #[must_use]
    pub fn nearest<T: Copy + PartialEq>(&self, all: &[Fact<T>], anchor: Span) -> Vec<Fact<T>> {
        // Of very many only those round the words are looked at.
        let middle = all.partition_point(|fact| fact.span.start() < anchor.start());
        let near = all[self.window(all.len(), middle)]
            .iter()
            .map(|fact| (self.nearness(fact.span, anchor), fact))
            .collect::<Vec<_>>();
        let best = near.iter().map(|(nearness, _)| *nearness).min();
        let mut chosen: Vec<Fact<T>> = Vec::new();
        for (nearness, fact) in near {
            // The same value said twice is one condition.
            if Some(nearness) == best && !chosen.iter().any(|known| known.value == fact.value) {
                chosen.push(*fact);
            }
        }
        chosen
    }

    /// Cables with their indices.
    pub fn cables(&self) -> impl Iterator<Item = (usize, &'a Cable)> {
        self.facts.cables.iter().enumerate()
    }

    /// What to call a cable in the middle of a sentence.
    #[must_use]
    pub fn cable_name(&self, index: usize) -> String {
        match self.facts.cables.get(index) {
            Some(cable) if !cable.name.trim().is_empty() && self.facts.cables.len() > 1 => {
                cable.name.split_whitespace().collect::<Vec<_>>().join(" ")
            }
            _ => "the cable".to_owned(),
        }
    }
}

/// Most different loudspeaker loads for which a use is worked out.
const LOADS: usize = 32;

/// Statements looked at on either side when there are very many.
const NEIGHBOURS: usize = 48;

/// Most combinations of conditions under which one figure is judged; one that could hold under more is left alone.
pub const CONDITIONS: usize = 512;

/// How near two statements stand in the layout, nearest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nearness {
    /// One sentence, one cell.
    Sentence,
    /// One row or one column of a table.
    Line,
    /// One block.
    Block,
    /// Fields or headings of one section.
    Entries,
    /// Anything else.
    Apart,
}

/// A registered check.
pub struct Entry {
    /// Its path, for example `line::loss`.
    pub name: &'static str,
    /// Ids of the rules that it may report.
    pub rules: &'static [&'static str],
    /// The check: it hands over one thing that it says after the other, so that nobody has to keep them all.
    pub run: fn(&Context<'_>, &mut dyn FnMut(Said)),
}

macro_rules! checks {
    ($($(#[$doc:meta])* $chapter:ident { $($name:ident),* $(,)? })*) => {
        $(
            $(#[$doc])*
            mod $chapter {
                $(pub(super) mod $name;)*
            }
        )*

        /// All computed checks, in the order in which they run.
        pub const ALL: &[Entry] = &[
            $($(Entry {
                name: concat!(stringify!($chapter), "::", stringify!($name)),
                rules: $chapter::$name::RULES,
                run: |context, hear| $chapter::$name::run(context).into_iter().map(Said::from).for_each(hear),
            },)*)*
        ];
    };
}

checks! {
    /// The metal and its size.
    conductor { gauge_area, resistance, bundle_gauge, conductivity, clad }
    /// Resistance, inductance, capacitance and frequency.
    line { faster_than_light, line_constants, loss, damping, skin_effect, skin_depth, skin_trade_off }
    /// Like for like.
    comparison { drive, gauge, length, levels, load, contrast, metal, outcome, rival, sighted, trials }
    /// Thick enough for the job.
    fitness { loss_budget, damping_guide }
    /// Where somebody could be hurt.
    safety { overheating }
    /// What a judgement needs.
    disclosure { gauge, metal, conditions }
}

/// Rules whose words are found as claims and judged by a check; claims of theirs make no finding by themselves.
pub const JUDGED: &[&str] = &["skin-trade-off"];

/// Whether the facts of the whole document answer what a claim says in words: then it makes no finding.
#[must_use]
pub fn answered(context: &Context<'_>, claim: &Claim) -> bool {
    comparison::levels::measured(context, claim)
        || comparison::levels::unheard(context, claim)
        || comparison::levels::counted(context, claim)
        || comparison::sighted::doubted(context, claim)
        || comparison::rival::sized(context, claim)
        || answers::told(context, claim)
}

/// So many confirmations are kept at least before the lightest of them are left out.
const SORTED: usize = 256;

/// Runs every check and folds what has one cause. Of confirmations only `most` are kept, and how many more there were is told
/// beside: a long document has many, and none is the cause of another finding.
#[must_use]
pub fn run_all(context: &Context<'_>, most: usize) -> (Vec<Finding>, usize) {
    let mut said: Vec<Said> = Vec::new();
    let mut confirmed: Vec<Finding> = Vec::new();
    let mut left_out = 0;
    let keep = |confirmed: &mut Vec<Finding>| {
        let left_out = finding::keep(confirmed, most);
        let last = confirmed.last().and_then(|last| last.marks.first());
        context.reached.last_kept.set(last.map(|mark| mark.span));
        left_out
    };
    for entry in ALL {
        (entry.run)(context, &mut |one| {
            let one = soften(context, one);
            if one.finding.verdict == Verdict::Confirmed && one.follows.is_none() {
                // It rests on words behind those of all that are kept.
                let last = context.reached.last_kept.get();
                if let (Some(last), Some(mark)) = (last, one.finding.marks.first())
                    && mark.span > last
                {
                    left_out += 1;
                    return;
                }
                confirmed.push(cascade::closed(one.finding));
                // A few more than are kept: what stands behind them is told apart from then on.
                if confirmed.len() > most.saturating_add(SORTED) {
                    left_out += keep(&mut confirmed);
                }
            } else {
                said.push(one);
            }
        });
        if confirmed.len() > most {
            left_out += keep(&mut confirmed);
        }
    }
    let mut findings = cascade::fold(said);
    cascade::unfounded(&findings, &mut confirmed);
    findings.append(&mut confirmed);
    (findings, left_out)
}

/// Most sentences between two statements in running text that are taken to be of one cable without a name.
const TOGETHER: usize = 8;

/// In a quiz, a report or a glossary what is said of a cable without a name here and there need not be said of one cable: what
/// rests on it is a note, and the reader is asked to look.
fn soften(context: &Context<'_>, mut said: Said) -> Said {
    let heavy = said.finding.level.is_some_and(|level| level > Level::Note);
    if !heavy {
        return said;
    }
    let why = if rebutted(context, &said) {
        "The document seems to take this up in order to deny it, so read the passage first. "
    } else if asked(context, &said) {
        "The passage asks about this figure, so read it first. "
    } else if neighbours(context, &said) {
        "The sizes are told as neighbours of another, so read the sentence first. "
    } else if parted(context, &said) {
        "What this rests on stands far apart, and no name joins it, so read the passages first. "
    } else if elsewhere::explained(context, &said) {
        "Another size in the document would agree with the figure, so read first which of them it is of. "
    } else if worked::explained(context, &said) {
        "The passage gives the figure by a sum, or by another size, length or load of its own, so read it first. "
    } else {
        return said;
    };
    said.finding.level = Some(Level::Note);
    said.finding.message.insert_str(0, why);
    said
}

/// Whether the figure that is contradicted stands in a question: “Is it possible that 2.5 mm² has only 5.5 mΩ per metre?”
fn asked(context: &Context<'_>, said: &Said) -> bool {
    let mark = said.finding.marks.first();
    said.finding.verdict == Verdict::Contradicted
        && mark
            .and_then(|mark| context.sentence(mark.span))
            .is_some_and(|at| {
                let words = context.sheet.sentences[at].span.of(context.text);
                words
                    .trim_end_matches(['"', '”', '’', ')', ' '])
                    .ends_with('?')
            })
}

/// Whether two sizes that are held against each other are those between which a third one lies: “2.5 mm² lies between 14 AWG (2.08)
/// and 13 AWG (2.62)”.
fn neighbours(context: &Context<'_>, said: &Said) -> bool {
    const RULE: &str = "gauge-area-mismatch";
    let places: Vec<_> = said
        .finding
        .marks
        .iter()
        .take(2)
        .map(|mark| context.sentence(mark.span))
        .collect();
    let &[Some(one), other] = places.as_slice() else {
        return false;
    };
    let words = context.sheet.sentences[one].span.of(context.text);
    said.finding.rule == RULE && other == Some(one) && words.contains(" between ")
}

/// Whether one of the first words that a finding about one cable is marked by is a figure that the document itself denies.
fn rebutted(context: &Context<'_>, said: &Said) -> bool {
    let denied = |span: &Span| {
        let after = context
            .rebutted
            .partition_point(|words| words.start() <= span.start());
        after
            .checked_sub(1)
            .and_then(|at| context.rebutted.get(at))
            .is_some_and(|words| words.overlaps(*span))
    };
    // Whether a score is offered as proof or called none is read with the score: “Nobody does that by guessing.”
    said.finding.verdict == Verdict::Contradicted
        && said.finding.rule != comparison::trials::RULE
        && said
            .finding
            .marks
            .first()
            .is_some_and(|mark| denied(&mark.span))
}

/// Whether what a contradiction or an inequality rests on stands far apart, and no name joins it.
fn parted(context: &Context<'_>, said: &Said) -> bool {
    let told = matches!(
        context.facts.kind,
        DocumentKind::Article | DocumentKind::Comparison
    );
    let nameless = match said.cable.and_then(|at| context.facts.cables.get(at)) {
        Some(cable) => !cable.named && told,
        None => said.finding.verdict == Verdict::Unequal && told && context.nameless_sides(),
    };
    let joined = || {
        let mut marks = said.finding.marks.iter();
        marks.any(|mark| context.joins(mark.span))
    };
    if !nameless || joined() || listed(context, said) {
        return false;
    }
    let marks = said.finding.marks.iter();
    let mut places: Vec<usize> = marks
        .filter_map(|mark| context.sentence(mark.span))
        .collect();
    places.sort_unstable();
    places.windows(2).any(|pair| pair[1] - pair[0] > TOGETHER) && !one_size(context, said)
}

/// Whether a finding sets the title of a listing, which measures what is sold, against an entry further down: “16 AWG wire, 100 ft, pure
/// copper” and `Conductor  CCA`.
fn listed(context: &Context<'_>, said: &Said) -> bool {
    let blocks = &context.sheet.blocks;
    let Some(title) = blocks.first().filter(|_| context.facts.cables.len() == 1) else {
        return false;
    };
    let places = |place: Span| {
        said.finding
            .marks
            .iter()
            .any(|mark| place.contains(mark.span))
    };
    let quantities = context.sheet.quantities.iter();
    let measured = quantities
        .take_while(|quantity| title.span.contains(quantity.span))
        .count()
        >= 2;
    let entry = || {
        said.finding.marks.iter().any(|mark| {
            let block = context.block(mark.span).and_then(|at| blocks.get(at));
            block.is_some_and(|block| block.key().is_some())
        })
    };
    measured && places(title.span) && entry()
}

/// Whether a finding rests on a size, and the document knows no other, so that whatever it tells is told of that.
fn one_size(context: &Context<'_>, said: &Said) -> bool {
    const ALIKE: f64 = 1.12;
    let (least, most) = context.areas();
    let mut marks = said.finding.marks.iter();
    most > 0.0 && most / least <= ALIKE && marks.any(|mark| context.on_size(mark.span))
}

#[cfg(test)]
mod tests;
