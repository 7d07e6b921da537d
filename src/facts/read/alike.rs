//! Cables that are described by another one: “As LK 2250, however tinned”, “same build, 12 m”. What they are not told to have of
//! their own is the other's. Knows mentions, blocks and the cables as they are told.

use super::{Owner, Reader};
use crate::facts::types::{Cable, FigureKind};
use crate::span::Span;

/// Bytes between the words for a likeness and the name behind them.
const GAP: usize = 6;
/// Most likenesses of a document.
const MOST: usize = 64;

impl Reader<'_> {
    /// Gives cables what they have in common with the one that they are told to be like.
    pub(super) fn alike(&mut self) {
        if self.likes.is_empty() && !self.hits.anywhere(self.terms.like_before) {
            return;
        }
        let mut found: Vec<(usize, usize)> = Vec::new();
        // The cable of the block at hand, and the one before it.
        let (mut current, mut before): (Option<usize>, Option<usize>) = (None, None);
        for sentence in 0..self.sheet.sentences.len() {
            let own = self.described_at(sentence);
            if let Some(own) = own
                && current != Some(own)
            {
                before = current;
                current = Some(own);
            }
            let Some(own) = own else { continue };
            let other = (self.likes.get(&sentence).copied().flatten())
                .or_else(|| self.like_before_at(sentence).then_some(before).flatten());
            if let Some(other) = other.filter(|&other| other != own) {
                found.push((own, other));
            }
            if found.len() > MOST {
                return;
            }
        }
        for (own, other) in found {
            if let Some(like) = self.facts.cables.get(other).cloned()
                && let Some(cable) = self.facts.cables.get_mut(own)
            {
                take_over(cable, &like);
            }
        }
    }

    /// The cable that the place of a sentence is about: its record or line, the heading over it, or what it names first.
    fn described_at(&self, sentence: usize) -> Option<usize> {
        let at = self.sheet.sentences[sentence].block();
        let block = self.sheet.blocks.get(at)?;
        let of_section = || {
            let section = self.sheet.blocks.get(block.section()?)?;
            let mut named = self
                .resolved
                .within(section.sentences())
                .flat_map(|own| own.iter());
            match (named.next(), named.next()) {
                (Some((_, Owner::One(entry))), None) => Some(entry),
                _ => None,
            }
        };
        let first_named = || {
            let mut named = self
                .resolved
                .within(block.sentences())
                .flat_map(|own| own.iter());
            named.next().and_then(|(_, owner)| match owner {
                Owner::One(entry) => Some(entry),
                _ => None,
            })
        };
        self.line_entry(at)
            .or_else(|| self.record_at.get(at))
            .or_else(of_section)
            .or_else(first_named)
    }

    /// Takes out of the mentions of a sentence the cable that its own is only said to be like, and keeps it: “As LK 2250, however
    /// 4 mm²” goes on about another.
    pub(super) fn leave_likeness(
        &mut self,
        sentence: usize,
        resolved: &mut Vec<(Span, Owner)>,
        focus: Owner,
    ) {
        if !self.hits.say(sentence, self.terms.like_another) {
            return;
        }
        let likened = |span: Span| {
            (self.hits.saying(sentence, self.terms.like_another))
                .filter(|hit| self.opens(sentence, hit.span))
                .any(|hit| span.start() >= hit.span.end() && span.start() - hit.span.end() <= GAP)
        };
        let place = (0..resolved.len()).find(|&place| {
            let (span, owner) = resolved[place];
            let before = resolved[..place]
                .iter()
                .map(|&(_, owner)| owner)
                .next_back();
            let own = before.unwrap_or(focus);
            matches!((owner, own), (Owner::One(other), Owner::One(own)) if own != other)
                && likened(span)
        });
        if let Some(place) = place
            && let (_, Owner::One(other)) = resolved.remove(place)
        {
            self.likes.insert(sentence, Some(other));
            return;
        }
        // "LS-15B  As LS-15 but tinned": what follows is told of one that has no entry.
        let unlisted =
            (0..resolved.len()).find(|&place| likened_by_name(self, sentence, resolved[place].0));
        if let Some(place) = unlisted {
            resolved[place].1 = Owner::Nobody;
            self.likes.insert(sentence, None);
        }
    }

    /// Whether a sentence tells of a cable by what another has, and that one has no entry of its own.
    pub(super) fn tells_of_unlisted(&self, sentence: usize) -> bool {
        self.likes.get(&sentence) == Some(&None)
    }

    /// Whether a sentence says that its cable is like the one before.
    fn like_before_at(&self, sentence: usize) -> bool {
        self.hits
            .saying(sentence, self.terms.like_before)
            .any(|hit| self.opens(sentence, hit.span))
    }

    /// Whether words begin a sentence, or what a comma or a bracket sets off.
    fn opens(&self, sentence: usize, words: Span) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        let start = self.sheet.sentences[sentence].span.start();
        let ahead = Span::new(start, words.start().max(start)).of(self.text());
        let ahead = ahead.trim_end();
        let keyed = block
            .key()
            .is_some_and(|key| key.end() + 2 >= words.start());
        let article = ahead.strip_suffix("the").map_or(ahead, str::trim_end);
        keyed || article.is_empty() || article.ends_with([',', ';', ':', '(', '–', '—', '-'])
    }
}

/// Whether a sentence begins with a code that names nothing known, says that it is as the cable of `words`, and goes on with what it has
/// unlike that: “LS-15B  As LS-15 but with a core of aluminium”.
fn likened_by_name(reader: &Reader<'_>, sentence: usize, words: Span) -> bool {
    const VERBS: [&str; 3] = ["is", "are", "the"];
    const UNLIKE: [&str; 6] = ["but", "except", "save", "however", "though", "only"];
    let text = reader.text();
    let whole = reader.sheet.sentences[sentence].span;
    let like = (reader.hits.saying(sentence, reader.terms.like_another))
        .find(|hit| words.start() >= hit.span.end() && words.start() - hit.span.end() <= GAP);
    let Some(like) = like else { return false };
    let ahead = Span::new(whole.start(), like.span.start().max(whole.start())).of(text);
    let mut named = ahead
        .split(|sign: char| sign.is_whitespace() || matches!(sign, ':' | ','))
        .filter(|word| !word.is_empty() && !VERBS.contains(&word.to_lowercase().as_str()));
    let code = |word: &str| {
        word.starts_with(char::is_uppercase) && word.bytes().any(|byte| byte.is_ascii_digit())
    };
    let one = named.next().is_some_and(code) && named.next().is_none();
    let behind = Span::new(words.end(), whole.end().max(words.end())).of(text);
    let next = behind
        .trim_start_matches([',', ' ', ';'])
        .split(|letter: char| !letter.is_alphabetic())
        .next();
    one && next.is_some_and(|next| UNLIKE.contains(&next))
}

/// Fills what `cable` is not told to have with what `like` has; a length is its own.
fn take_over(cable: &mut Cable, like: &Cable) {
    if cable.metals.is_empty() {
        cable.metals.clone_from(&like.metals);
    }
    let besides = like.besides.as_deref();
    if let Some(other) = besides {
        let own = cable.besides();
        own.tinned = own.tinned.or(other.tinned);
        own.class = own.class.or(other.class);
        if own.build.is_empty() {
            own.build.clone_from(&other.build);
        }
        if own.listings.is_empty() {
            own.listings.clone_from(&other.listings);
        }
    }
    if cable.sizes.is_empty() {
        cable.sizes.clone_from(&like.sizes);
        cable.conductors = cable.conductors.or(like.conductors);
        if let Some(parallel) = besides.and_then(|other| other.parallel) {
            cable.besides().parallel = Some(parallel);
        }
        let per_length = |kind| {
            matches!(
                kind,
                FigureKind::ResistancePerLength
                    | FigureKind::InductancePerLength
                    | FigureKind::CapacitancePerLength
            )
        };
        if !cable.figures.iter().any(|figure| per_length(figure.kind)) {
            let figures = like.figures.iter().filter(|figure| per_length(figure.kind));
            cable.figures.extend(figures.cloned());
        }
    }
}
