//! Metals that are named for all cables at once, beside those that cables have of their own.

use super::Reader;
use crate::facts::types::{Cable, Fact};
use crate::sheet::BlockKind;
use crate::span::Span;
use rustc_hash::FxHashSet;

/// Stretches that stand apart from one another, in which others are looked up.
struct Apart(Vec<Span>);

impl Apart {
    fn new(spans: impl Iterator<Item = Span>) -> Self {
        let mut spans: Vec<Span> = spans.collect();
        spans.sort_unstable();
        Self(spans)
    }

    /// The one that holds a span.
    fn around(&self, span: Span) -> Option<Span> {
        let after = (self.0).partition_point(|known| known.start() <= span.start());
        let known = *self.0.get(after.checked_sub(1)?)?;
        known.contains(span).then_some(known)
    }
}

impl Reader<'_> {
    /// A metal named for all cables at once gives way to the one that a cable has of its own; two such metals say nothing of
    /// any ("copper-clad aluminium needs two sizes more" under a table of copper).
    pub(super) fn general_metals(&mut self) {
        let cables = self
            .facts
            .cables
            .iter()
            .filter(|cable| !cable.metals.is_empty())
            .count();
        if cables < 2 {
            return;
        }
        let in_lines = self.lines.len() >= 2;
        let all = self.facts.cables.iter().flat_map(|cable| &cable.metals);
        let mut places: Vec<Span> = Vec::with_capacity(all.clone().count());
        places.extend(all.map(|metal| metal.span));
        places.sort_unstable();
        let shared = places.chunk_by(|one, other| one == other);
        let shared = shared.filter(|same| same.len() == cables);
        let shared: FxHashSet<Span> = shared.filter_map(|same| same.first().copied()).collect();
        drop(places);
        // "Copper-clad aluminium needs half as much area again": said of the metal, and of no row.
        let text = self.sheet.flow.text();
        let of_the_metal = |metal: &Fact<&'static str>| {
            const NEEDS: [&str; 5] = ["needs", "need", "requires", "wants", "takes"];
            let behind = text.get(metal.span.end()..).unwrap_or("");
            let mut next = behind.split_whitespace().take(2);
            shared.contains(&metal.span) && next.any(|word| NEEDS.contains(&word))
        };
        if in_lines {
            for cable in &mut self.facts.cables {
                cable.metals.retain(|metal| !of_the_metal(metal));
            }
        }
        let general = |metal: &Fact<&'static str>| shared.contains(&metal.span);
        // Side by side in running text, what is said of all gives way to what a cable has of its own.
        if !in_lines && !self.comparative {
            return;
        }
        if !in_lines {
            let named = |cable: &Cable| cable.metals.iter().any(|metal| !general(metal));
            if self.facts.cables.iter().all(named) {
                for cable in &mut self.facts.cables {
                    let own = cable.metals.iter().find(|metal| !general(metal));
                    let own = own.map(|metal| metal.value);
                    let agrees = |metal: &Fact<&'static str>| Some(&metal.value) == own.as_ref();
                    cable
                        .metals
                        .retain(|metal| !general(metal) || agrees(metal));
                }
            }
            return;
        }
        // The head of a table speaks of its rows; remarks elsewhere do not.
        let heads = Apart::new(
            (self.sheet.blocks.iter())
                .filter(|block| matches!(block.kind(), BlockKind::Cell { row: 0, .. }))
                .map(|block| block.span),
        );
        // "Copper of like resistance" is no metal of the rows.
        let likens = |head: Span| {
            let words = head.of(self.sheet.flow.text()).to_lowercase();
            let mut words = words.split(|letter: char| !letter.is_alphabetic());
            words.any(|word| self.terms.lists.head_likened.has(word))
        };
        let headed = |metal: &Fact<&'static str>| heads.around(metal.span);
        // Each cable has a metal of all; it is looked at once.
        let mut seen: FxHashSet<(Span, &'static str)> = FxHashSet::default();
        let all: Vec<&Fact<&'static str>> = self
            .facts
            .cables
            .iter()
            .flat_map(|cable| &cable.metals)
            .filter(|metal| general(metal))
            .filter(|metal| seen.insert((metal.span, metal.value)))
            .filter(|metal| !headed(metal).is_some_and(likens))
            .collect();
        let agree = |metals: &[&Fact<&'static str>]| {
            metals.windows(2).all(|pair| pair[0].value == pair[1].value)
        };
        let in_head: Vec<&Fact<&'static str>> = all
            .iter()
            .copied()
            .filter(|metal| headed(metal).is_some())
            .collect();
        let keep: FxHashSet<Span> = if agree(&all) {
            all.iter().map(|metal| metal.span).collect()
        } else if let Some(told) = self.told_of_conductors(&all) {
            told.into_iter().collect()
        } else if !in_head.is_empty() && agree(&in_head) {
            in_head.iter().map(|metal| metal.span).collect()
        } else {
            FxHashSet::default()
        };
        for cable in &mut self.facts.cables {
            let own = cable.metals.iter().any(|metal| !general(metal));
            cable
                .metals
                .retain(|metal| !general(metal) || (!own && keep.contains(&metal.span)));
        }
    }

    /// Of metals that a document names of everything, the one that its conductors are said to be: “The conductors are of clad
    /// aluminium”, beside remarks on copper.
    fn told_of_conductors(&self, all: &[&Fact<&'static str>]) -> Option<Vec<Span>> {
        const REACH: usize = 32;
        const KEYS: [&str; 4] = ["conductor", "conductors", "metal", "material"];
        let text = self.sheet.flow.text();
        // "Conductor: copper-clad aluminium".
        let keyed = |metal: &Fact<&'static str>| {
            let blocks = &self.sheet.blocks;
            let after = blocks.partition_point(|block| block.span.start() <= metal.span.start());
            let own = after.checked_sub(1).and_then(|at| blocks.get(at));
            own.and_then(|block| block.key()).is_some_and(|key| {
                let key = key.of(text).trim().to_lowercase();
                KEYS.contains(&key.as_str())
            })
        };
        let told = |metal: &&&Fact<&'static str>| {
            let from = text.ceil_char_boundary(metal.span.start().saturating_sub(REACH));
            let ahead = Span::new(from.min(metal.span.start()), metal.span.start())
                .of(text)
                .to_lowercase();
            let mut words = ahead
                .split(|letter: char| !letter.is_alphabetic())
                .filter(|word| !word.is_empty())
                .rev();
            let list = self.terms.lists.conductor_is;
            let verbs = words.clone().take_while(|word| list.has(word)).count();
            keyed(metal)
                || verbs > 0
                    && words
                        .nth(verbs)
                        .is_some_and(|word| matches!(word, "conductor" | "conductors"))
        };
        let strong: Vec<&&Fact<&'static str>> = all.iter().filter(told).collect();
        let first = strong.first()?;
        let agree = strong.iter().all(|metal| metal.value == first.value);
        agree.then(|| {
            let same = all.iter().filter(|metal| metal.value == first.value);
            same.map(|metal| metal.span).collect()
        })
    }
}
