//! Figures that are told of something else than the cable that a document names: ahead of its name, denied, or each of one of
//! several that a sentence lists.

use super::{Owner, Reader, clause_at};
use crate::facts::roles::Role;
use crate::facts::types::{Figure, FigureKind, Reading};
use crate::facts::voices;
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;

impl Reader<'_> {
    /// “Most people use 18 AWG. The Larch is 12 AWG”: a size that running text tells before it names its only cable is not that of
    /// the cable where another is told right beside the name.
    pub(super) fn leave_sizes_ahead(&mut self, sole: usize) {
        /// Sentences before the name in which something else is told of first.
        const NEAR: usize = 3;
        /// Bytes of an opening bracket between a name and its size.
        const BRACKET: usize = 3;
        // Set side by side, what came before it may be its rival.
        if self.comparative {
            return;
        }
        let text = self.text();
        let named: Vec<Span> = (0..self.sheet.sentences.len())
            .flat_map(|at| self.resolved.of(at).iter())
            .filter(|(_, owner)| *owner == Owner::One(sole))
            .map(|(span, _)| span)
            .collect();
        let Some(first) = named.first().map(|span| span.start()) else {
            return;
        };
        let first_in = super::sentence_at(self.sheet, first);
        let sizes: Vec<usize> = (0..self.roles.len())
            .filter(|&index| self.roles[index] == Role::Size)
            .collect();
        let beside = |index: usize| {
            let whole = self.sheet.sentences[self.sentence_of(index)].span;
            let clause = clause_at(text, whole, self.sheet.quantities[index].span);
            let after = named.partition_point(|span| span.start() < clause.start());
            // "Our Larch (12 AWG)".
            let start = self.sheet.quantities[index].span.start();
            let last = named.partition_point(|span| span.end() <= start);
            let last = last.checked_sub(1).and_then(|at| named.get(at));
            let bracket = last.is_some_and(|span| start - span.end() <= BRACKET);
            bracket || named.get(after).is_some_and(|span| clause.contains(*span))
        };
        let ahead: Vec<usize> = sizes
            .iter()
            .copied()
            .filter(|&index| {
                let start = self.sheet.quantities[index].span.start();
                let near = self.sentence_of(index) + NEAR >= first_in;
                start < first && near && self.prose(self.sentence_of(index)) && !beside(index)
            })
            .collect();
        if ahead.is_empty() || !sizes.iter().any(|index| beside(*index)) {
            return;
        }
        for index in ahead {
            self.roles[index] = Role::Aside;
            // "For 50 ft: 12 AWG": so is the length that goes with it.
            for other in self.in_sentence(self.sentence_of(index)) {
                if self.roles[other] == Role::Run
                    && self.sheet.quantities[other].span.start() < first
                {
                    self.roles[other] = Role::Aside;
                }
            }
        }
    }

    /// Sizes and lengths that a sentence denies or puts into the past: “not 12 AWG but 14 AWG”, “used to be 14 AWG”, “Is it 12 AWG?
    /// No”.
    pub(super) fn leave_denied_sizes(&mut self) {
        /// Bytes before a size in which it is denied.
        const AHEAD: usize = 24;
        let text = self.text();
        let denied: Vec<usize> = (0..self.roles.len())
            .filter(|&index| matches!(self.roles[index], Role::Size | Role::Run))
            .filter(|&index| {
                let own = self.sheet.quantities[index].span;
                let sentence = self.sentence_of(index);
                let from = self.sheet.sentences[sentence].span.start();
                let from = text.ceil_char_boundary(from.max(own.start().saturating_sub(AHEAD)));
                let before = Span::new(from.min(own.start()), own.start())
                    .of(text)
                    .to_lowercase();
                self.terms.lists.size_not.ends(&before) || self.answered_no(sentence)
            })
            .collect();
        let corrected: Vec<usize> = (0..self.roles.len())
            .filter(|&index| matches!(self.roles[index], Role::Size | Role::Run))
            .filter_map(|index| self.corrected_by(index))
            .collect();
        for index in denied.into_iter().chain(corrected) {
            self.roles[index] = Role::Aside;
        }
    }

    /// The one value told before that a later one takes back: “not 14 but 12 AWG”, “not 8 m, as printed, but 10 m”.
    fn corrected_by(&self, index: usize) -> Option<usize> {
        /// Bytes before a value in which another is denied.
        const AHEAD: usize = 48;
        let own = &self.sheet.quantities[index];
        let sentence = self.sheet.sentences[self.sentence_of(index)].span;
        let ahead = self.ahead(self.sentence_of(index), own.span, AHEAD);
        let words: Vec<&str> = ahead
            .split(|sign: char| !sign.is_alphanumeric() && !matches!(sign, '.' | ','))
            .map(|word| word.trim_matches(['.', ',']))
            .filter(|word| !word.is_empty())
            .collect();
        let but = words.iter().rposition(|word| *word == "but")?;
        let plain = |word: &&str| matches!(*word, "a" | "an" | "of" | "the");
        if !words.get(but + 1..)?.iter().all(plain) {
            return None;
        }
        let not = words.get(..but)?.iter().rposition(|word| *word == "not")?;
        let denied = words.get(not + 1..but)?.iter().find(|word| !plain(word))?;
        let denied: f64 = denied.replace(',', ".").parse().ok()?;
        let mut told = (0..index).filter(|&other| {
            let other = &self.sheet.quantities[other];
            other.kind == own.kind
                && other.unit() == own.unit()
                && other.span.end() <= sentence.start()
                && super::number(other).is_some_and(|value| (value - denied).abs() < 1e-9)
        });
        match (told.next(), told.next()) {
            (Some(one), None) => Some(one),
            _ => None,
        }
    }

    /// Whether a sentence is a question that the next one answers with no.
    fn answered_no(&self, sentence: usize) -> bool {
        let words = |at: usize| {
            let sentence = self.sheet.sentences.get(at);
            sentence.map_or("", |sentence| sentence.span.of(self.text()).trim())
        };
        let next = words(sentence + 1);
        let first = next.split(|letter: char| !letter.is_alphabetic()).next();
        self.prose(sentence)
            && words(sentence).ends_with('?')
            && first.is_some_and(|first| first.eq_ignore_ascii_case("no"))
    }

    /// “The Larch and the Alder are 3 m and 5 m long respectively”: as many values of one role as cables are named, each of its own.
    pub(super) fn respectively(&mut self, sentence: usize) {
        let text = self.text();
        let whole = self.sheet.sentences[sentence].span;
        let lists = self.terms.lists;
        if self.endless(sentence) {
            return;
        }
        let named = if self.theirs_in_order(sentence) {
            self.named_in(sentence - 1)
        } else if lists.told_in_order.within(whole.of(text)) || self.listed_in_order(sentence) {
            self.named_in(sentence)
        } else {
            return;
        };
        if named.len() < 2 {
            return;
        }
        let all: Vec<usize> = self.in_sentence(sentence).collect();
        let mut done: Vec<Role> = Vec::new();
        for &index in &all {
            let role = self.roles[index];
            if done.contains(&role) {
                continue;
            }
            done.push(role);
            let alike: Vec<usize> = all
                .iter()
                .copied()
                .filter(|&other| self.roles[other] == role)
                .collect();
            if alike.len() == named.len() {
                for (&value, &entry) in alike.iter().zip(&named) {
                    self.owners.set(value, Owner::One(entry));
                }
            }
        }
    }

    /// The cables that a sentence names, each once, in the order in which it does.
    fn named_in(&self, sentence: usize) -> Vec<usize> {
        let mut named: Vec<usize> = Vec::new();
        for (_, owner) in self.resolved.of(sentence).iter() {
            let entries = match owner {
                Owner::One(entry) => [Some(entry), None],
                Owner::Two(one, two) => [Some(one), Some(two)],
                Owner::All | Owner::Nobody => [None, None],
            };
            for entry in entries.into_iter().flatten() {
                if !named.contains(&entry) {
                    named.push(entry);
                }
            }
        }
        named
    }

    /// Whether two stretches of words are neighbours in a list.
    fn listed(&self, first: Span, second: Span) -> bool {
        let between = Span::new(first.end(), second.start().max(first.end())).of(self.text());
        let between = between.trim().trim_end_matches("the").trim_end();
        matches!(between, "," | "and" | ", and" | "&")
    }

    /// Whether values are a list of one role, of which none is a range.
    fn values_listed(&self, values: &[usize]) -> bool {
        values.windows(2).all(|pair| {
            let [one, two] = [pair[0], pair[1]].map(|at| &self.sheet.quantities[at]);
            self.roles[pair[0]] == self.roles[pair[1]]
                && one.range_number().is_none()
                && two.range_number().is_none()
                && self.listed(one.span, two.span)
        })
    }

    /// “Wren and Plover are of copper. Their gauges are 12 and 16”: a sentence of theirs with a list of as many values as the sentence
    /// before it names cables.
    fn theirs_in_order(&self, sentence: usize) -> bool {
        let words = self.sheet.sentences[sentence]
            .span
            .of(self.text())
            .trim_start();
        let first = words.split(' ').next().unwrap_or("");
        if !first.eq_ignore_ascii_case("their") || sentence == 0 {
            return false;
        }
        let before = &self.sheet.sentences[sentence - 1];
        let values: Vec<usize> = self.in_sentence(sentence).collect();
        let role = |at: usize| self.roles[at];
        let count = (values.iter())
            .take_while(|&&at| values.first().is_some_and(|&first| role(first) == role(at)))
            .count();
        count >= 2
            && before.block() == self.sheet.sentences[sentence].block()
            && self.values_listed(&values[..count])
            && self.named_in(sentence - 1).len() == count
    }

    /// “A, B and C are 12, 14 and 16 AWG”: a list of cables, a verb, and a list of as many values of one role.
    fn listed_in_order(&self, sentence: usize) -> bool {
        /// Bytes between the names and the values.
        const VERB: usize = 24;
        const VERBS: &[&str] = &["are", "were", "measure", "measured", "run", "ran"];
        let text = self.text();
        let mut names: Vec<(Span, usize)> = Vec::new();
        for (span, owner) in self.resolved.of(sentence).iter() {
            match owner {
                Owner::One(entry) => names.push((span, entry)),
                // "A and B" may stand for two at once.
                Owner::Two(_, entry) => names.push((span, entry)),
                Owner::All | Owner::Nobody => return false,
            }
        }
        let values: Vec<usize> = self.in_sentence(sentence).collect();
        let quantity = |place: usize| values.get(place).map(|&at| &self.sheet.quantities[at]);
        let (Some(&(last, _)), Some(first)) = (names.last(), quantity(0)) else {
            return false;
        };
        let role = self.roles[values[0]];
        let alike = values.iter().take_while(|&&at| self.roles[at] == role);
        let count = alike.count();
        let between = Span::new(last.end(), first.span.start().max(last.end())).of(text);
        let verb = between.trim_start().split(' ').next().unwrap_or("");
        count >= 2
            && count == names.len()
            && last.end() <= first.span.start()
            && between.len() <= VERB
            && VERBS.contains(&verb)
            && (names.windows(2)).all(|pair| self.listed(pair[0].0, pair[1].0))
            && self.values_listed(&values[..count])
    }

    /// “It starts at 5.2 mΩ/m. With its 35 % it ends at 7.0 mΩ/m”: a resistance that another of the cable comes to with the percentage
    /// beside it is worked out from that one, and none that was measured on a bridge.
    fn leave_raised(&mut self) {
        const FEW: usize = 8;
        const CLOSE: f64 = 0.02;
        let sheet = self.sheet;
        let firsts = &self.firsts;
        let percents = |sentence: usize| {
            let first = |at: usize| firsts.get(at).map_or(0, |&first| first as usize);
            (first(sentence)..first(sentence + 1))
                .take(FEW)
                .map(|index| &sheet.quantities[index])
                .filter(|own| own.kind == Kind::Percent)
                .filter_map(|own| own.number.get())
        };
        for cable in &mut self.facts.cables {
            let mut raised: Vec<usize> = Vec::new();
            for at in 1..cable.figures.len() {
                let own = &cable.figures[at];
                let resistance = matches!(
                    own.kind,
                    FigureKind::Resistance | FigureKind::ResistancePerLength
                );
                let sentence = self.sentences[own.quantity as usize] as usize;
                let worked_out = |base: &Figure| {
                    let ratio = own.value / base.value;
                    let near = |percent: f64| (ratio / (1.0 + percent / 100.0) - 1.0).abs() < CLOSE;
                    base.kind == own.kind && ratio > 1.0 && percents(sentence).any(near)
                };
                if resistance
                    && cable.figures[at.saturating_sub(FEW)..at]
                        .iter()
                        .any(worked_out)
                {
                    raised.push(at);
                }
            }
            let mut raised = raised.into_iter().peekable();
            let mut at = 0;
            cable.figures.retain(|_| {
                at += 1;
                raised.next_if_eq(&(at - 1)).is_none()
            });
        }
    }

    /// “10.4 mΩ/m loop, 5.2 mΩ/m”: of two resistances of one sentence that the same word is near, the half is that of one conductor.
    pub(super) fn loop_and_half(&mut self) {
        const FEW: usize = 8;
        let twice = 1.96..=2.04;
        let sentences = &self.sentences;
        for cable in &mut self.facts.cables {
            let figures = &mut cable.figures;
            for at in 1..figures.len() {
                for other_at in at.saturating_sub(FEW)..at {
                    let (one, two) = (&figures[other_at], &figures[at]);
                    let beside = one.kind == two.kind
                        && sentences[one.quantity as usize] == sentences[two.quantity as usize];
                    let alike = beside
                        && one.reading == two.reading
                        && one.reading_span == two.reading_span;
                    // "5.2 mΩ/m (10.4 mΩ/m loop)": the words are of the one that they stand right behind.
                    let other = beside && one.reading == Reading::Unsaid;
                    let (small, large) = if one.value < two.value {
                        (other_at, at)
                    } else {
                        (at, other_at)
                    };
                    let ratio = figures[large].value / figures[small].value;
                    match figures[at].reading {
                        Reading::Loop if other && small == other_at && twice.contains(&ratio) => {
                            figures[small].reading = Reading::Single;
                        }
                        Reading::Loop if alike && twice.contains(&ratio) => {
                            figures[small].reading = Reading::Single;
                        }
                        Reading::Single if alike && twice.contains(&ratio) => {
                            figures[large].reading = Reading::Loop;
                        }
                        _ => {}
                    }
                }
            }
        }
        self.leave_raised();
    }

    fn prose(&self, sentence: usize) -> bool {
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        matches!(block.kind(), BlockKind::Paragraph | BlockKind::Item)
    }

    /// With one cable alone there is nobody else whom a fact could belong to.
    pub(super) fn sole(&self) -> Option<usize> {
        /// So many letters make a page of them.
        const LETTERS: usize = 3;
        let named = self.roster.named();
        match (named.as_slice(), self.roster.entries.len()) {
            // Of what one letter tells another knows nothing.
            _ if voices::letters(self) >= LETTERS => None,
            ([one], _) => Some(*one),
            ([], 1) => Some(0),
            // A page that offers one cable and puts it above others of no name.
            ([], 2) => self.roster.ours_beside_rival(),
            _ => None,
        }
    }

    /// Gives the one cable what is nobody's.
    pub(super) fn give_to_sole(&mut self, sole: usize) {
        self.leave_sizes_ahead(sole);
        // Of a page that names nobody it has the fields, and not all that is told.
        let of_page = self.roster.named().is_empty() && self.roster.entries.len() > 1;
        if of_page && !self.one_size() {
            return;
        }
        // "Both pairs are 14 AWG", and elsewhere some bell wire: it is none of the two.
        let apart = self.roster.entries[sole].nameless;
        let another = self.of_another(sole, apart);
        for (index, &another) in another.iter().enumerate() {
            if of_page && self.prose(self.sentence_of(index)) {
                continue;
            }
            let shared = self.owners.at(index) == Owner::All && self.roster.entries.len() == 1;
            if another && self.owners.at(index) == Owner::Nobody {
                continue;
            }
            if shared && apart && self.of_both(self.sentence_of(index)) {
                self.owners.set(index, Owner::Nobody);
            } else if shared || self.owners.at(index) == Owner::Nobody {
                self.owners.set(index, Owner::One(sole));
            }
        }
    }

    /// Whether all sizes of a document are the same one.
    fn one_size(&self) -> bool {
        let sizes = (0..self.roles.len()).filter(|&index| self.roles[index] == Role::Size);
        let mut areas = sizes.map(|index| self.sheet.quantities[index].si());
        let Some(first) = areas.next() else {
            return true;
        };
        areas.all(|area| super::ratio(first, area) < super::setting::ALIKE)
    }
}
