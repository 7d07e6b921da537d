//! One walk over the sheet that gives each fact to the cable it belongs to.
//!
//! The state of the walk and the order of its steps stand here, with what several steps ask of it. Each file below is one step
//! and fills its own part of the state; which step comes first is decided here alone.

mod alike;
mod beside;
mod clause;
mod depths;
mod direct;
mod figures;
mod footnotes;
mod general;
mod lined;
mod nobodys;
mod numbered;
mod pairs;
mod plated;
mod points;
mod printed;
mod records;
mod resolve;
mod rivals;
mod rows_alike;
mod segments;
mod setting;
mod shared;
mod short;
mod strands;
mod strangers;
mod tables;
mod thickness;
mod variants;
mod walk;
mod way;
mod words;

pub(super) use clause::clause_at;
use tables::TableLine;
pub(super) use walk::follows;

use super::context::Around;
use super::kept::{ByEntry, Mentioned, Owners, Runs, Stretches};
use super::roles::{Role, role};
use super::roster::{Roster, Told, is_size};
use super::terms::{Lists, Terms};
use super::types::{Cable, Fact, Facts, Reading, narrow};
use super::{bound, bundles, comparison, offers, procedure, rises, score, stated, uses};
use crate::lexicon::{Hits, Lexicon};
use crate::sheet::{BlockKind, Kind, Quantity, Sheet};
use crate::span::Span;
use rustc_hash::{FxHashMap, FxHashSet};

/// Whom a fact is given to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Owner {
    /// That entry of the roster.
    One(usize),
    /// Two entries and no more.
    Two(usize, usize),
    /// Every entry.
    All,
    /// Nobody can tell.
    Nobody,
}

impl Owner {
    /// Whether it is that entry by name, alone or with another.
    fn includes(self, entry: usize) -> bool {
        match self {
            Owner::One(one) => one == entry,
            Owner::Two(one, two) => one == entry || two == entry,
            Owner::All | Owner::Nobody => false,
        }
    }
}

/// The state of the walk.
pub(super) struct Reader<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) hits: &'a Hits,
    pub(super) terms: Terms<'a>,
    pub(super) roster: Roster,
    /// Whether "our own" is another than the one cable with a name.
    ours_apart: bool,
    /// The cable that is called no more than "one", beside "the other".
    the_one: Option<usize>,
    /// Sentence of each quantity.
    sentences: Vec<u32>,
    /// The first quantity of each sentence or behind it.
    firsts: Vec<u32>,
    /// Role of each quantity.
    pub(super) roles: Vec<Role>,
    /// Owner of each quantity.
    pub(super) owners: Owners,
    /// Entry of a table cell: by table, row and column.
    lines: Vec<TableLine>,
    /// The same by table and by place in it.
    line_at: FxHashMap<(usize, usize), usize>,
    /// Entries that are lines.
    in_lines: lined::InLines,
    /// How many lines of each table are entries.
    cables_in: FxHashMap<usize, usize>,
    /// Entry of each block of a record.
    record_at: Stretches,
    /// The cable that another is said to be like, by the sentence that says so; none where the other has no entry.
    likes: FxHashMap<usize, Option<usize>>,
    /// Which values bear the mark of which footnote.
    footnotes: footnotes::Footnotes,
    /// Who shares what is told of one, and who is left out of what is told of all.
    shared: shared::Shared,
    /// Blocks that name a class of IEC 60228, in order.
    classes: Vec<(usize, (u8, Span))>,
    /// Copies that facts about all cables may still make.
    spread: std::cell::Cell<usize>,
    /// Whether running text sets cables side by side, so that words such as `ours` and `both` mean one of them.
    pub(super) comparative: bool,
    /// Sizes of any wire, of no cable of the document, with the figures that stand beside them and what these are.
    of_any: Vec<(usize, Vec<(usize, Role)>)>,
    /// Numbers that the document denies, with their sentence.
    denied: Vec<(usize, f64)>,
    /// Whether its resistances are of the loop or of one conductor, where it says so for all.
    pub(super) basis: Option<(Reading, Span)>,
    /// Mentions of each sentence, resolved to entries.
    pub(super) resolved: Mentioned<'a>,
    /// The area of the size by which a cable is called, m².
    pub(super) sized: FxHashMap<usize, f64>,
    /// Whom each sentence goes on to speak of, as those before it leave it.
    pub(super) focus: Runs,
    pub(super) facts: Facts,
}

/// Reads the facts of a sheet.
#[must_use]
pub fn read(sheet: &Sheet, lexicon: &Lexicon, hits: &Hits) -> Facts {
    let lists = Lists::new(lexicon);
    let terms = Terms::new(lexicon, &lists);
    let sentence_of: Vec<u32> = sheet
        .quantities
        .iter()
        .map(|quantity| narrow(sentence_at(sheet, quantity.span.start())))
        .collect();
    let places = |fits: &dyn Fn(&Quantity) -> bool| -> Vec<(usize, Span)> {
        let all = sheet.quantities.iter().zip(&sentence_of);
        all.filter(|(quantity, _)| fits(quantity))
            .map(|(quantity, &sentence)| (sentence as usize, quantity.span))
            .collect()
    };
    let sizes = places(&|quantity| is_size(quantity.kind));
    let measures = places(&|quantity| quantity.kind == Kind::ResistancePerLength);
    let lengths = places(&|quantity| {
        let long = |metres| metres > 0.3;
        quantity.kind == Kind::Length && quantity.si().is_some_and(long)
    });
    let told = Told {
        sizes: &sizes,
        lengths: &lengths,
        measures: &measures,
    };
    let roster = Roster::read(sheet, hits, &terms, told);
    drop((sizes, lengths, measures));
    let first_in = (0..=sheet.sentences.len())
        .map(|sentence| narrow(sentence_of.partition_point(|&at| (at as usize) < sentence)))
        .collect();
    let roles = sheet
        .quantities
        .iter()
        .zip(&sentence_of)
        .map(|(quantity, &sentence)| {
            role(
                quantity,
                &Around::new(sheet, hits, sentence as usize, quantity.span),
                &terms,
            )
        })
        .collect();
    let mut reader = Reader {
        sheet,
        hits,
        terms,
        roster,
        ours_apart: false,
        the_one: None,
        sentences: sentence_of,
        firsts: first_in,
        roles,
        owners: Owners::nobody(sheet.quantities.len()),
        lines: Vec::new(),
        line_at: FxHashMap::default(),
        in_lines: lined::InLines::default(),
        cables_in: FxHashMap::default(),
        record_at: Stretches::default(),
        likes: FxHashMap::default(),
        footnotes: footnotes::Footnotes::default(),
        shared: shared::Shared::default(),
        classes: sheet
            .blocks
            .iter()
            .enumerate()
            .filter_map(|(at, block)| Some((at, figures::class_in(sheet.flow.text(), block.span)?)))
            .collect(),
        spread: std::cell::Cell::new(bound::SPREAD),
        comparative: false,
        of_any: Vec::new(),
        denied: Vec::new(),
        basis: None,
        resolved: Mentioned::of_none(&sheet.sentences),
        sized: FxHashMap::default(),
        focus: Runs::of_none(),
        facts: Facts::default(),
    };
    reader.rises_in_a_row();
    reader.set_strands_apart();
    reader.reels_in_a_row();
    reader.columns_of_one();
    reader.leave_denied_sizes();
    reader.line_impedances();
    reader.tables();
    reader.dittos();
    reader.find_footnotes();
    reader.describe();
    reader.depths();
    reader.comparative = reader.is_comparative();
    reader.denied = reader.denied_numbers();
    reader.basis = reader.declared_basis();
    bundles::read(&mut reader);
    reader.former_and_latter();
    reader.lists_of_sizes();
    reader.points();
    reader.sizes_of_any();
    reader.numbers_of_names();
    reader.strangers();
    let later = reader.ordinals();
    reader.one_and_other();
    if later.is_some() || reader.the_one.is_some() {
        reader.comparative |= reader.hits.anywhere(reader.terms.strong);
    }
    reader.ours_apart = reader.own_is_another();
    reader.walk();
    reader.resolved.shrink();
    if let Some(later) = later {
        reader.before_ordinals(later);
    }
    reader.cables();
    // Nothing more is given to whom a sentence goes on to speak of.
    reader.focus = Runs::of_none();
    uses::read(&mut reader);
    offers::read(&mut reader);
    rises::read(&mut reader);
    bundles::read_called(&mut reader);
    stated::read(&mut reader);
    bound::bound(&mut reader.facts, reader.spread.get() == 0);
    procedure::read(&mut reader);
    score::read(&mut reader);
    comparison::read(&mut reader);
    reader.unclaimed();
    reader.facts
}

pub(super) fn sentence_at(sheet: &Sheet, offset: usize) -> usize {
    sheet
        .sentences
        .partition_point(|sentence| sentence.span.start() <= offset)
        .saturating_sub(1)
}

impl Reader<'_> {
    pub(super) fn text(&self) -> &str {
        self.sheet.flow.text()
    }

    /// Whether a sentence is so long that it is none: what stands far apart in it says nothing of each other.
    pub(super) fn endless(&self, sentence: usize) -> bool {
        const LONGEST: usize = 6_000;
        self.sheet.sentences[sentence].span.len() > LONGEST
    }

    /// Indices of the quantities of a sentence.
    pub(super) fn in_sentence(&self, sentence: usize) -> std::ops::Range<usize> {
        let first = |sentence: usize| self.firsts.get(sentence).map_or(0, |&first| first as usize);
        first(sentence)..first(sentence + 1)
    }

    /// The first quantity of a sentence or behind it.
    fn first_in(&self, sentence: usize) -> usize {
        self.firsts[sentence] as usize
    }

    /// Sentence of a quantity.
    pub(super) fn sentence_of(&self, quantity: usize) -> usize {
        self.sentences[quantity] as usize
    }

    /// Sentences of all quantities.
    pub(super) fn sentences_of(&self) -> impl Iterator<Item = usize> + '_ {
        self.sentences.iter().map(|&sentence| sentence as usize)
    }

    /// The words of a sentence ahead of a span, in small letters and in one line, no more than so many bytes.
    pub(super) fn ahead(&self, sentence: usize, span: Span, most: usize) -> String {
        let words = self.as_written_ahead(sentence, span, most);
        words.to_lowercase().replace('\n', " ")
    }

    /// The same as they are written.
    pub(super) fn as_written_ahead(&self, sentence: usize, span: Span, most: usize) -> &str {
        let start = self.sheet.sentences[sentence].span.start();
        let from = start.max(span.start().saturating_sub(most));
        let from = self.text().ceil_char_boundary(from).min(span.start());
        Span::new(from, span.start()).of(self.text())
    }

    /// The words around a span of a sentence.
    pub(super) fn around(&self, sentence: usize, span: Span) -> Around<'_> {
        Around::new(self.sheet, self.hits, sentence, span)
    }

    /// Puts all facts to their cables.
    fn cables(&mut self) {
        let entries = self.roster.entries.len();
        if entries == 0 {
            self.roster.add("", false);
        }
        self.by_thickness();
        self.conflict();
        self.complement();
        // What two conductors make together belongs to the cable whose conductors they are.
        for index in 0..self.owners.len() {
            if self.roles[index] != Role::CombinedSize || self.owners.at(index) != Owner::Nobody {
                continue;
            }
            let each = self
                .in_sentence(self.sentence_of(index))
                .find(|&other| other < index && self.roles[other] == Role::Size);
            if let Some(each) = each {
                self.owners.set(index, self.owners.at(each));
            }
        }
        let sole = self.sole();
        if let Some(sole) = sole {
            self.give_to_sole(sole);
        }
        self.footnotes();
        self.sizes_by_name();
        self.split_variants();
        self.size_over_rows();
        self.leave_to_nobody();
        self.size_references();
        self.figures_beside_sizes();
        self.told_in_full();
        self.told_of_any();
        self.sizes_by_number();
        self.join_namesakes();
        let entries = self.roster.all_found();
        self.facts.cables = entries
            .map(|(name, named)| Cable {
                name,
                named,
                ..Cable::default()
            })
            .collect();
        self.mentions();
        self.quantities();
        self.common_constants();
        self.strands_of_fields();
        self.loop_and_half();
        self.words(sole);
        self.general_metals();
        self.alike();
        self.leave_what_is_wrong();
        let setup = &mut self.facts.setup;
        setup.drives.shrink_to_fit();
        setup.loads.shrink_to_fit();
        for cable in 0..self.facts.cables.len() {
            self.parallel(cable);
        }
        self.classes_of_all();
    }

    /// Gives each cable the words that name it.
    fn mentions(&mut self) {
        let named = || {
            let all = self.resolved.iter().flat_map(|resolved| resolved.iter());
            all.filter_map(|(span, owner)| match owner {
                Owner::One(entry) => Some((entry, span)),
                _ => None,
            })
        };
        // Counted first, so that those of each cable lie side by side.
        let mut ends = vec![0_usize; self.facts.cables.len()];
        for (entry, _) in named() {
            ends[entry] += 1;
        }
        let mut sum = 0;
        for end in &mut ends {
            (*end, sum) = (sum, sum + *end);
        }
        let mut all = vec![Span::default(); sum];
        for (entry, span) in named() {
            all[ends[entry]] = span;
            ends[entry] += 1;
        }
        let mut start = 0;
        for (cable, end) in self.facts.cables.iter_mut().zip(ends) {
            cable.mentions = all[start..end].iter().copied().collect();
            start = end;
        }
    }

    pub(super) fn block_of(&self, quantity: usize) -> usize {
        self.sheet.sentences[self.sentence_of(quantity)].block()
    }

    /// Those quantities of each entry that `fit`.
    pub(super) fn by_entry(&self, fit: impl Fn(usize) -> bool + Copy) -> ByEntry {
        let owners = self.owners.iter().enumerate();
        let owners = owners.filter(move |&(index, _)| fit(index));
        let pairs = owners.flat_map(|(index, owner)| {
            let entries = match owner {
                Owner::One(entry) => [Some(entry), None],
                Owner::Two(first, second) => [Some(first), Some(second)],
                _ => [None, None],
            };
            entries
                .into_iter()
                .flatten()
                .map(move |entry| (entry, index))
        });
        ByEntry::new(self.roster.entries.len(), pairs)
    }

    /// Those sentences in cells of the table lines of each entry that `fit`.
    pub(super) fn cells_by_entry(&self, fit: impl Fn(usize) -> bool + Copy) -> ByEntry {
        let pairs = (0..self.sheet.sentences.len())
            .filter_map(|sentence| Some((self.line_of(sentence)?, sentence)))
            .filter(move |&(_, sentence)| fit(sentence));
        ByEntry::new(self.roster.entries.len(), pairs)
    }

    /// By quantity, whether it tells of another wire than the only cable there is: "two leads, 2.5 mm²" beside bell wire of
    /// 22 gauge, or the bell wire of last year beside them.
    fn of_another(&self, sole: usize, nameless: bool) -> Vec<bool> {
        /// So many sizes of its own tell what it is.
        const OWN: usize = 32;
        let size = |index: usize| {
            (self.roles[index] == Role::Size)
                .then(|| self.sheet.quantities[index].si())
                .flatten()
        };
        if nameless {
            let own: Vec<f64> = (0..self.owners.len())
                .filter(|&index| self.owners.at(index) == Owner::One(sole))
                .filter_map(size)
                .take(OWN)
                .collect();
            let apart = |area| own.iter().all(|&own| ratio(Some(area), Some(own)) > 1.3);
            return (0..self.owners.len())
                .map(|index| !own.is_empty() && size(index).is_some_and(apart))
                .collect();
        }
        let told: Vec<bool> = (0..self.owners.len())
            .map(|index| {
                let sentence = self.sentence_of(index);
                self.of_nameless(sentence) || self.of_somebody(sentence)
            })
            .collect();
        let elsewhere = (0..self.owners.len()).any(|index| !told[index] && size(index).is_some());
        told.into_iter().map(|told| told && elsewhere).collect()
    }

    /// Whether a sentence of running text speaks of wire that is nobody's product.
    fn of_nameless(&self, sentence: usize) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item)
            && self.hits.saying(sentence, self.terms.theirs).any(|hit| {
                let words = hit.span.of(self.text()).to_lowercase();
                self.terms.lists.side_nameless.within(&words)
            })
    }

    /// Whether a sentence of running text that names no cable tells what another person has: “my friend has 2.5 mm² flex”.
    fn of_somebody(&self, sentence: usize) -> bool {
        /// Words at the start in which the person is named.
        const WORDS: usize = 3;
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        let told = matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item);
        let words = self.sheet.sentences[sentence].span.of(self.text());
        let mut first = words
            .split(|letter: char| !letter.is_alphabetic())
            .filter(|word| !word.is_empty())
            .take(WORDS);
        let owners = self.terms.lists.person_whose;
        let whose = first
            .next()
            .is_some_and(|word| owners.has(&word.to_lowercase()));
        told && whose
            && first.any(|word| self.terms.lists.name_office.has(&word.to_lowercase()))
            && self.resolved.of(sentence).is_empty()
    }

    /// Whether a sentence speaks of two in so many words.
    fn of_both(&self, sentence: usize) -> bool {
        self.hits
            .saying(sentence, self.terms.both)
            .any(|hit| hit.span.of(self.text()).to_lowercase().starts_with("both"))
    }

    /// Cables that an owner stands for.
    pub(super) fn cables_of(&self, owner: Owner) -> Vec<usize> {
        match owner {
            Owner::One(entry) => vec![entry],
            Owner::Two(first, second) => vec![first, second],
            Owner::All => {
                // A fact about all is copied to each, and so costs as many steps as there are cables.
                let cables = self.facts.cables.len();
                let left = self.spread.get().checked_sub(cables);
                self.spread.set(left.unwrap_or(0));
                left.map_or_else(Vec::new, |_| (0..cables).collect())
            }
            Owner::Nobody => Vec::new(),
        }
    }

    fn unclaimed(&mut self) {
        let sizes = self.facts.cables.iter().flat_map(|cable| &cable.sizes);
        let sizes: FxHashSet<usize> = sizes.map(|size| size.quantity as usize).collect();
        self.facts.unclaimed = (0..self.sheet.quantities.len())
            .filter(|index| !sizes.contains(index))
            .filter(|&index| {
                let owned = self.owners.at(index) != Owner::Nobody
                    && !matches!(self.roles[index], Role::Aside | Role::Percent | Role::Level);
                let setup = matches!(
                    self.roles[index],
                    Role::Load
                        | Role::Frequency
                        | Role::Power
                        | Role::Voltage
                        | Role::Current
                        | Role::Score
                        | Role::Temperature
                );
                !owned && !setup
            })
            .map(narrow)
            .collect();
        self.facts.unclaimed.shrink_to_fit();
    }
}

fn ratio(a: Option<f64>, b: Option<f64>) -> f64 {
    match (a, b) {
        (Some(a), Some(b)) if a > 0.0 && b > 0.0 => (a / b).max(b / a),
        _ => 1.0,
    }
}

pub(super) fn fact<T>(value: T, span: Span, quantity: usize) -> Fact<T> {
    Fact::measured(value, span, quantity)
}

/// A count without a fraction, when it is one.
pub(super) fn whole(value: f64) -> Option<u32> {
    (0.0..=4.0e9).contains(&value).then(|| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the range was checked"
        )]
        let count = value.round() as u32;
        count
    })
}

/// The quantity as a plain number.
pub(super) fn number(quantity: &Quantity) -> Option<f64> {
    quantity.number.get()
}
