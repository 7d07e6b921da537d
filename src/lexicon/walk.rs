//! The walk over the words of one sentence: which entries of the word lists stand there.

use super::{
    ConceptId, Edge, Hit, LONG_GAP, Lexicon, MANY_EDGES, Many, NO_NODE, NodeId, Symbol, Token,
    part, tokenize, tokens,
};
use crate::pack::number;
use crate::span::Span;
use rustc_hash::FxHashMap;
use std::ops::Range;

/// Distinct words that a [`Memory`] keeps before it starts afresh.
const MEMORY_LIMIT: usize = 50_000;

/// What a walk over one document remembers: what each word stands for.
#[derive(Debug, Default)]
pub struct Memory {
    /// Words as they are written, with their places in `words`.
    known: FxHashMap<Box<str>, u32>,
    words: Vec<Word>,
    /// The symbols of all words.
    symbols: Vec<Symbol>,
    /// Where entries begin with each of those symbols.
    starts: Vec<Option<Start>>,
    /// What is known of nodes with many edges.
    many: FxHashMap<NodeId, Near>,
    /// For such a node and a symbol, which of its edges have it.
    edges_of: FxHashMap<(NodeId, Symbol), (u32, u32)>,
    lower: String,
    tokens: Vec<Token>,
    /// The words of the sentence, by their places in `words`.
    sentence: Vec<u32>,
    /// Which tokens a comma or its like parts from the one before.
    parted: Vec<bool>,
    /// For each word of the sentence, what may follow it in an entry.
    ahead: Vec<Near>,
}

/// What a word stands for.
#[derive(Debug, Clone, Copy)]
struct Word {
    /// Where its symbols stand among those of all words.
    first: u32,
    count: u32,
    /// One bit for many symbols.
    bits: u64,
    /// Of the lists that are asked for, those that it is an entry of.
    listed: u16,
}

impl Word {
    fn range(self) -> Range<usize> {
        self.first as usize..(self.first + self.count) as usize
    }
}

/// Where entries begin with a symbol.
#[derive(Debug, Clone, Copy)]
struct Start {
    node: NodeId,
    /// Whether the word alone is an entry.
    ends: bool,
    edges: Near,
}

/// Which symbols the next word has, and the next few; many symbols share a bit. The same of the edges of a node: those that lead
/// to the next word alone, and those that lead further.
#[derive(Debug, Clone, Copy, Default)]
struct Near {
    next: u64,
    few: u64,
}

impl Near {
    fn bit(symbol: Symbol) -> u64 {
        // The high bits of a product mix all of its digits (multiplicative hashing; the golden ratio in 32 bits).
        1 << (symbol.wrapping_mul(0x9E37_79B9) >> 26)
    }

    fn of_edges(edges: &[[u8; 6]]) -> Self {
        let mut all = Self::default();
        for edge in edges.iter().map(Edge::of) {
            let bits = if edge.gap() == 0 {
                &mut all.next
            } else {
                &mut all.few
            };
            *bits |= Self::bit(edge.symbol);
        }
        all
    }

    fn may_hold(self, symbol: Symbol, gap: usize) -> bool {
        let near = if gap == 0 { self.next } else { self.few };
        near & Self::bit(symbol) != 0
    }

    /// Whether an edge may lead to a word.
    fn meets(self, ahead: Self) -> bool {
        self.next & ahead.next != 0 || self.few & ahead.few != 0
    }
}

impl Memory {
    /// Fills `ahead` for the words of the sentence.
    fn look_ahead(&mut self) {
        self.ahead.clear();
        self.ahead.resize(self.sentence.len(), Near::default());
        for at in 1..self.sentence.len() {
            let bits = self.words[self.sentence[at] as usize].bits;
            // "a run, in feet" is no running in.
            if !self.parted[at] {
                self.ahead[at - 1].next = bits;
            }
            for before in &mut self.ahead[at.saturating_sub(1 + usize::from(LONG_GAP))..at] {
                before.few |= bits;
            }
        }
    }

    fn symbols_at(&self, at: usize) -> &[Symbol] {
        let word = self.words[self.sentence[at] as usize];
        &self.symbols[word.range()]
    }

    /// Forgets the words before a sentence when they are too many.
    fn forget(&mut self) {
        if self.words.len() >= MEMORY_LIMIT {
            self.known.clear();
            self.words.clear();
            self.symbols.clear();
            self.starts.clear();
        }
        if self.edges_of.len() >= MEMORY_LIMIT {
            self.edges_of.clear();
        }
    }
}

impl Lexicon {
    /// Appends to `hits` every place in `sentence` of `text` where a concept is said, in order of the first word.
    pub fn find(&self, text: &str, sentence: Span, memory: &mut Memory, hits: &mut Vec<Hit>) {
        self.find_asked(text, sentence, memory, hits, &[]);
    }

    /// As [`Self::find`]; and of the lists with the numbers `asked` those that a word of the sentence is an entry of, a bit each.
    pub(super) fn find_asked(
        &self,
        text: &str,
        sentence: Span,
        memory: &mut Memory,
        hits: &mut Vec<Hit>,
        asked: &[u32],
    ) -> u16 {
        memory.forget();
        let mut tokens = std::mem::take(&mut memory.tokens);
        tokenize(text, sentence, &mut tokens);
        memory.sentence.clear();
        memory.parted.clear();
        let mut listed = 0;
        let mut end = sentence.start();
        for token in &tokens {
            let written = token.span.of(text);
            let place = match memory.known.get(written) {
                Some(&known) => known,
                None => self.learn(token, text, memory, asked),
            };
            listed |= memory.words[place as usize].listed;
            memory.sentence.push(place);
            let between = text.as_bytes().get(end..token.span.start()).unwrap_or(&[]);
            memory.parted.push(
                between != b" "
                    && between
                        .iter()
                        .any(|sign| matches!(sign, b',' | b';' | b'|' | b'(' | b')')),
            );
            end = token.span.end();
        }
        memory.look_ahead();
        for first in 0..tokens.len() {
            let word = memory.words[memory.sentence[first] as usize];
            for place in word.range() {
                let Some(start) = memory.starts[place] else {
                    continue;
                };
                let goes_on = start.edges.meets(memory.ahead[first]);
                if goes_on || start.ends {
                    let seen = hits.len();
                    self.follow(start.node, first, first, &tokens, memory, seen, hits);
                }
            }
        }
        memory.tokens = tokens;
        listed
    }

    #[allow(
        clippy::too_many_arguments,
        reason = "a step of a walk carries where it stands"
    )]
    fn follow(
        &self,
        node: NodeId,
        first: usize,
        last: usize,
        tokens: &[Token],
        memory: &mut Memory,
        seen: usize,
        hits: &mut Vec<Hit>,
    ) {
        for &concept in part(&self.ends, &self.end_starts, node) {
            let concept = ConceptId(u16::from_le_bytes(concept));
            let span = tokens[first].span.join(tokens[last].span);
            let hit = Hit {
                concept,
                span,
                first,
                last,
            };
            if !hits[seen..].contains(&hit) {
                hits.push(hit);
            }
        }
        let edges = part(&self.edges, &self.edge_starts, node);
        if edges.len() >= MANY_EDGES {
            for (edge, at) in self.near(node, edges, last, memory) {
                self.follow(
                    Edge::of(&edges[edge]).next(),
                    first,
                    at,
                    tokens,
                    memory,
                    seen,
                    hits,
                );
            }
            return;
        }
        for edge in edges.iter().map(Edge::of) {
            // Most edges lead to no word that is near.
            let (symbol, gap) = (edge.symbol, edge.gap());
            if !memory.ahead[last].may_hold(symbol, gap) {
                continue;
            }
            for at in last + 1..(last + 2 + gap).min(tokens.len()) {
                if memory.symbols_at(at).contains(&symbol) {
                    self.follow(edge.next(), first, at, tokens, memory, seen, hits);
                    break;
                }
            }
        }
    }

    /// The edges of a node with many that lead to a word behind `last`, in order, each with the first such word.
    fn near(
        &self,
        node: NodeId,
        edges: &[[u8; 6]],
        last: usize,
        memory: &mut Memory,
    ) -> Vec<(usize, usize)> {
        let bits = *memory
            .many
            .entry(node)
            .or_insert_with(|| Near::of_edges(edges));
        let order = self.by_symbol(node, edges.len());
        let mut found = Vec::new();
        for at in last + 1..(last + 2 + usize::from(LONG_GAP)).min(memory.sentence.len()) {
            let between = at - last - 1;
            let bits = if between == 0 {
                bits.next | bits.few
            } else {
                bits.few
            };
            let word = memory.words[memory.sentence[at] as usize];
            if bits & word.bits == 0 {
                continue;
            }
            for place in word.range() {
                let symbol = memory.symbols[place];
                if bits & Near::bit(symbol) == 0 {
                    continue;
                }
                let (from, to) = *memory
                    .edges_of
                    .entry((node, symbol))
                    .or_insert_with(|| with_symbol(order, edges, symbol));
                for &edge in order.get(from as usize..to as usize).unwrap_or(&[]) {
                    let edge = u32::from_le_bytes(edge) as usize;
                    let gap = Edge::of(&edges[edge]).gap();
                    // "A run, in feet" is no running in.
                    if between <= gap && (gap > 0 || !memory.parted[at]) {
                        found.push((edge, at));
                    }
                }
            }
        }
        found.sort_unstable();
        found.dedup_by_key(|(edge, _)| *edge);
        found
    }

    /// The places of the edges of a node with many, by symbol.
    fn by_symbol(&self, node: NodeId, count: usize) -> &[[u8; 4]] {
        let many = self
            .many
            .binary_search_by_key(&node, |many| Many::of(many).node);
        let start = many.ok().and_then(|at| self.many.get(at));
        let start = start.map_or(0, |many| Many::of(many).start as usize);
        self.by_symbol.get(start..start + count).unwrap_or(&[])
    }

    /// Looks a word up that was not met before, and returns its place.
    fn learn(&self, token: &Token, text: &str, memory: &mut Memory, asked: &[u32]) -> u32 {
        let written = token.span.of(text);
        let count = |length: usize| u32::try_from(length).unwrap_or(u32::MAX);
        let first = memory.symbols.len();
        let mut lower = std::mem::take(&mut memory.lower);
        lower.clear();
        token.write_lower(text, &mut lower);
        // Of the words that are looked up only those of a certain spelling have capitals.
        let spelled = written
            .bytes()
            .any(|byte| byte.is_ascii_uppercase())
            .then(|| self.words.get(written))
            .flatten();
        if let Some(symbol) = spelled {
            memory.symbols.push(symbol);
        } else {
            memory.symbols.extend(self.words.get(&lower));
            for &length in &*self.stem_lengths {
                let stem = lower.get(..u32::from_le_bytes(length) as usize);
                memory
                    .symbols
                    .extend(stem.and_then(|stem| self.stems.get(stem)));
            }
            if let (Some(number), true) = (self.number, tokens::is_number(&lower)) {
                memory.symbols.push(number);
            }
        }
        let mut listed = 0;
        if !asked.is_empty() {
            let whole = written.to_lowercase();
            for (bit, &list) in asked.iter().enumerate() {
                if self.lists.has(list, &lower) || self.lists.has(list, &whole) {
                    listed |= 1 << bit;
                }
            }
        }
        memory.lower = lower;
        let symbols = &memory.symbols[first..];
        let bits = symbols.iter().fold(0, |all, &one| all | Near::bit(one));
        memory
            .starts
            .extend(symbols.iter().map(|&symbol| self.start(symbol)));
        let place = count(memory.words.len());
        memory.words.push(Word {
            first: count(first),
            count: count(symbols.len()),
            bits,
            listed,
        });
        memory.known.insert(written.into(), place);
        place
    }

    fn start(&self, symbol: Symbol) -> Option<Start> {
        let node = number(&self.roots, symbol as usize);
        let node = node.filter(|&node| node != NO_NODE)?;
        Some(Start {
            node,
            ends: !part(&self.ends, &self.end_starts, node).is_empty(),
            edges: Near::of_edges(part(&self.edges, &self.edge_starts, node)),
        })
    }
}

/// Which of the edges in their order by symbol have that one.
fn with_symbol(order: &[[u8; 4]], edges: &[[u8; 6]], symbol: Symbol) -> (u32, u32) {
    let symbol_of = |place: &[u8; 4]| {
        let edge = edges.get(u32::from_le_bytes(*place) as usize);
        edge.map_or(0, |edge| Edge::of(edge).symbol)
    };
    let from = order.partition_point(|place| symbol_of(place) < symbol);
    let to = order.partition_point(|place| symbol_of(place) <= symbol);
    let count = |place: usize| u32::try_from(place).unwrap_or(u32::MAX);
    (count(from), count(to))
}
