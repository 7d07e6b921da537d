//! Entries of word lists to a trie over words.

use super::lists::Lists;
use super::{
    ConceptId, Edge, LONG_GAP, Lexicon, MANY_EDGES, Many, NO_NODE, NodeId, SHORT_GAP, Symbol,
};
use rustc_hash::FxHashMap;
use std::borrow::Cow;

/// Why an entry of a word list cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadEntry {
    /// It holds no word, or none beside a `|`.
    Empty,
    /// A gap stands first, last or beside another gap.
    LooseGap,
    /// A stem of fewer than two letters before the `*`, or a `*` inside a word.
    ShortStem(String),
    /// More concepts than can be numbered.
    TooMany,
    /// More ways to say it than can be followed.
    TooManyWays,
    /// All entries together give too many ways to go on.
    TooManyNodes,
}

impl std::fmt::Display for BadEntry {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Empty => write!(out, "the entry holds no word"),
            Self::LooseGap => write!(out, "a gap must stand between two words"),
            Self::ShortStem(word) => write!(
                out,
                "“{word}”: a stem needs two letters or more before one * at its end"
            ),
            Self::TooMany => write!(out, "there are more concepts than can be numbered"),
            Self::TooManyWays => write!(
                out,
                "the words to choose from give more than {MOST_WAYS} ways to say it"
            ),
            Self::TooManyNodes => write!(
                out,
                "the word lists together give more than {MOST_NODES} beginnings of things to say"
            ),
        }
    }
}

impl std::error::Error for BadEntry {}

/// Most ways to say one entry, as its words to choose from multiply.
const MOST_WAYS: usize = 4_096;

/// Most nodes of the trie before nodes that go on alike are made one: a hundred million would fill the machine.
const MOST_NODES: usize = 1_200_000;

/// Most words and stems: their numbers have room beside the edges that lead on.
const MOST_SYMBOLS: usize = 1_000_000;

/// A node of the trie while entries are being added.
#[derive(Debug, Default, PartialEq, Eq, Hash)]
struct Node {
    edges: Vec<Edge>,
    ends: Vec<ConceptId>,
}

fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

/// Collects entries and compiles them.
#[derive(Debug, Default)]
pub struct Builder {
    lexicon: Lexicon,
    nodes: Vec<Node>,
    lists: Vec<(String, Vec<String>)>,
}

impl Builder {
    /// Number of the concept called `name`, made when it is new.
    ///
    /// # Errors
    /// When there are more concepts than can be numbered.
    pub fn concept(&mut self, name: &str) -> Result<ConceptId, BadEntry> {
        if let Some(id) = self.lexicon.id(name) {
            return Ok(id);
        }
        let id = u16::try_from(self.lexicon.len()).map_err(|_| BadEntry::TooMany)?;
        self.lexicon.names.get_or_insert(name, u32::from(id));
        Ok(ConceptId(id))
    }

    /// Adds an entry to the concept called `name`.
    ///
    /// # Errors
    /// When the entry is malformed.
    pub fn add(&mut self, name: &str, entry: &str) -> Result<(), BadEntry> {
        let id = self.concept(name)?;
        let entry = entry.replace(['’', 'ʼ'], "'");
        let mut parts: Vec<(Vec<Symbol>, u8)> = Vec::new();
        let mut gap = 0;
        let mut ways: usize = 1;
        for part in entry
            .split(|letter: char| letter.is_whitespace() || letter == '-')
            .filter(|part| !part.is_empty())
        {
            let wide = match part {
                ".." => SHORT_GAP,
                "..." => LONG_GAP,
                _ => 0,
            };
            if wide > 0 {
                if gap > 0 || parts.is_empty() {
                    return Err(BadEntry::LooseGap);
                }
                gap = wide;
                continue;
            }
            ways = ways.saturating_mul(part.split('|').count());
            if ways > MOST_WAYS {
                return Err(BadEntry::TooManyWays);
            }
            if self.nodes.len() > MOST_NODES || self.lexicon.roots.len() > MOST_SYMBOLS {
                return Err(BadEntry::TooManyNodes);
            }
            let symbols: Result<Vec<Symbol>, BadEntry> =
                part.split('|').map(|word| self.symbol(word)).collect();
            parts.push((symbols?, gap));
            gap = 0;
        }
        if gap > 0 {
            return Err(BadEntry::LooseGap);
        }
        let Some(((first, _), rest)) = parts.split_first() else {
            return Err(BadEntry::Empty);
        };
        let mut nodes: Vec<NodeId> = first.iter().map(|symbol| self.root(*symbol)).collect();
        for (symbols, gap) in rest {
            nodes = nodes
                .iter()
                .flat_map(|node| symbols.iter().map(move |symbol| (*node, *symbol)))
                .map(|(node, symbol)| self.edge(node, symbol, *gap))
                .collect();
        }
        for node in nodes {
            let ends = &mut self.nodes[node as usize].ends;
            if !ends.contains(&id) {
                ends.push(id);
            }
        }
        Ok(())
    }

    /// Adds an entry to the list called `name`, in which it will be looked up as it is written.
    ///
    /// # Errors
    /// When the entry is empty.
    pub fn list(&mut self, name: &str, entry: &str) -> Result<(), BadEntry> {
        if entry.is_empty() {
            return Err(BadEntry::Empty);
        }
        match self.lists.iter_mut().find(|(known, _)| known == name) {
            Some((_, entries)) => entries.push(entry.to_owned()),
            None => self.lists.push((name.to_owned(), vec![entry.to_owned()])),
        }
        Ok(())
    }

    /// The compiled lexicon.
    ///
    /// Words to choose from multiply: `a|b c|d` gives a node for each pair. Nodes that go on alike are made one here. Every
    /// edge leads to a node that was made later, so in reverse order what follows a node is settled before the node itself.
    ///
    /// ```
    /// use claimgauge::{lexicon::{Builder, Hits}, span::Span};
    /// let mut builder = Builder::default();
    /// builder.add("cold", "liquid nitrogen")?;
    /// builder.add("cold", "freez*")?;
    /// let lexicon = builder.build();
    /// let text = "Freezing a wire in liquid nitrogen";
    /// let hits = Hits::read(&lexicon, text, [Span::new(0, text.len())]);
    /// assert_eq!(hits.of(0).len(), 2);
    /// # Ok::<(), claimgauge::lexicon::BadEntry>(())
    /// ```
    #[must_use]
    pub fn build(mut self) -> Lexicon {
        let lexicon = &mut self.lexicon;
        lexicon.lists = Lists::new(&self.lists);
        lexicon
            .stem_lengths
            .to_mut()
            .sort_unstable_by_key(|&length| u32::from_le_bytes(length));
        let (mut edge_starts, mut end_starts) = (Vec::new(), Vec::new());
        let (mut edges, mut by_symbol, mut ends) = (Vec::new(), Vec::new(), Vec::new());
        let mut many = Vec::new();
        let bytes = |length: usize| count(length).to_le_bytes();
        let mut settled: Vec<NodeId> = vec![NO_NODE; self.nodes.len()];
        let mut known: FxHashMap<Node, NodeId> = FxHashMap::default();
        for (at, mut node) in std::mem::take(&mut self.nodes)
            .into_iter()
            .enumerate()
            .rev()
        {
            for edge in &mut node.edges {
                *edge = edge.leading_to(settled[edge.next() as usize]);
            }
            let fresh = NodeId::try_from(known.len()).unwrap_or(NO_NODE);
            settled[at] = *known.entry(node).or_insert_with_key(|node| {
                edge_starts.push(bytes(edges.len()));
                edges.extend(node.edges.iter().map(|edge| edge.bytes()));
                if node.edges.len() >= MANY_EDGES {
                    let start = count(by_symbol.len());
                    many.push(Many { node: fresh, start }.bytes());
                    let mut places: Vec<u32> = (0..count(node.edges.len())).collect();
                    places.sort_by_key(|&place| node.edges[place as usize].symbol);
                    by_symbol.extend(places.into_iter().map(u32::to_le_bytes));
                }
                end_starts.push(bytes(ends.len()));
                ends.extend(node.ends.iter().map(|id| id.0.to_le_bytes()));
                fresh
            });
        }
        edge_starts.push(bytes(edges.len()));
        end_starts.push(bytes(ends.len()));
        for root in lexicon.roots.to_mut() {
            let node = u32::from_le_bytes(*root);
            if node != NO_NODE {
                *root = settled[node as usize].to_le_bytes();
            }
        }
        lexicon.edge_starts = Cow::Owned(edge_starts);
        lexicon.edges = Cow::Owned(edges);
        lexicon.by_symbol = Cow::Owned(by_symbol);
        lexicon.many = Cow::Owned(many);
        lexicon.end_starts = Cow::Owned(end_starts);
        lexicon.ends = Cow::Owned(ends);
        self.lexicon
    }

    fn next_symbol(&self) -> Symbol {
        Symbol::try_from(self.lexicon.roots.len()).unwrap_or(Symbol::MAX)
    }

    fn symbol(&mut self, word: &str) -> Result<Symbol, BadEntry> {
        // `=Cca` keeps its capitals, all else is looked up in small letters.
        let spelled = word
            .strip_prefix('=')
            .filter(|word| word.contains(char::is_uppercase) && !word.contains('*'));
        let word = &spelled.map_or_else(|| word.to_lowercase(), str::to_owned);
        if word.is_empty() {
            return Err(BadEntry::Empty);
        }
        let fresh = self.next_symbol();
        let lexicon = &mut self.lexicon;
        let symbol = if word == "<n>" {
            *lexicon.number.get_or_insert(fresh)
        } else if let Some(stem) = word.strip_suffix('*') {
            if stem.chars().count() < 2 || stem.contains('*') {
                return Err(BadEntry::ShortStem(word.to_owned()));
            }
            let length = count(stem.len()).to_le_bytes();
            if !lexicon.stem_lengths.contains(&length) {
                lexicon.stem_lengths.to_mut().push(length);
            }
            lexicon.stems.get_or_insert(stem, fresh)
        } else if word.contains('*') {
            return Err(BadEntry::ShortStem(word.to_owned()));
        } else {
            let word = word.strip_suffix("'s").unwrap_or(word);
            lexicon.words.get_or_insert(word, fresh)
        };
        if symbol == fresh {
            lexicon.roots.to_mut().push(NO_NODE.to_le_bytes());
        }
        Ok(symbol)
    }

    fn node(&mut self) -> NodeId {
        let id = NodeId::try_from(self.nodes.len()).unwrap_or(NodeId::MAX);
        self.nodes.push(Node::default());
        id
    }

    fn root(&mut self, symbol: Symbol) -> NodeId {
        let known = u32::from_le_bytes(self.lexicon.roots[symbol as usize]);
        if known != NO_NODE {
            return known;
        }
        let node = self.node();
        self.lexicon.roots.to_mut()[symbol as usize] = node.to_le_bytes();
        node
    }

    fn edge(&mut self, from: NodeId, symbol: Symbol, gap: u8) -> NodeId {
        let known = self.nodes[from as usize]
            .edges
            .iter()
            .find(|edge| edge.symbol == symbol && edge.gap() == usize::from(gap));
        if let Some(edge) = known {
            return edge.next();
        }
        let next = self.node();
        self.nodes[from as usize]
            .edges
            .push(Edge::new(symbol, gap, next));
        next
    }
}
