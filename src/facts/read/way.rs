//! Which way a resistance counts, there and back or one conductor, by the words around it. Knows roles of quantities, and not whose
//! they are.

use super::Reader;
use crate::facts::roles::Role;
use crate::facts::types::{FigureKind, Reading};
use crate::sheet::{BlockKind, Kind};
use crate::span::Span;

impl Reader<'_> {
    /// Loop or one conductor, where the document says in one place which of the two its resistances are of: a field
    /// (`ohm_basis: one conductor`) or a note (“resistance column = there and back”). Two that differ tell nothing.
    pub(super) fn declared_basis(&self) -> Option<(Reading, Span)> {
        const REACH: usize = 90;
        let terms = self.terms;
        let mut declared = None;
        for (sentence, words) in self.sheet.sentences.iter().enumerate() {
            let whole = words.span;
            if !self.hits.may_say(sentence, &[terms.figure_basis])
                || whole.of(self.text()).trim_end().ends_with('?')
                || self.in_sentence(sentence).any(|index| {
                    matches!(
                        self.roles[index],
                        Role::Figure(FigureKind::Resistance | FigureKind::ResistancePerLength)
                    )
                })
            {
                continue;
            }
            let Some(basis) = self.hits.saying(sentence, terms.figure_basis).next() else {
                continue;
            };
            let said = |concept| {
                let near = |span: Span| {
                    span.start() >= basis.span.start() && span.start() <= basis.span.end() + REACH
                };
                self.hits
                    .saying(sentence, concept)
                    .map(|hit| hit.span)
                    .find(|&span| near(span))
            };
            let found = match (said(terms.r_loop), said(terms.r_single)) {
                (Some(span), None) => (Reading::Loop, span),
                (None, Some(span)) => (Reading::Single, span),
                _ => continue,
            };
            match declared {
                None => declared = Some(found),
                Some((reading, _)) if reading == found.0 => {}
                Some(_) => return None,
            }
        }
        declared
    }

    /// Which way the resistance `index` of a sentence counts, with the words that say so.
    pub(super) fn reading(&self, sentence: usize, index: usize) -> (Reading, Option<Span>) {
        let quantity = &self.sheet.quantities[index];
        let around = self.around(sentence, quantity.span);
        let loop_ = around
            .nearest(self.terms.r_loop)
            .filter(|(_, words)| !self.tells_length(sentence, quantity.span, *words))
            .filter(|(_, words)| !self.of_the_next(sentence, index, *words))
            .filter(|(_, words)| !self.right_behind_another(sentence, index, *words));
        let single = around
            .nearest(self.terms.r_single)
            .filter(|(_, words)| !self.of_the_metal(sentence, *words))
            .filter(|(_, words)| !self.of_the_next(sentence, index, *words))
            .filter(|(_, words)| !self.right_behind_another(sentence, index, *words));
        let (reading, reading_span) = match (loop_, single) {
            (Some((a, span)), Some((b, _))) if a <= b && a < 80 => (Reading::Loop, Some(span)),
            (_, Some((b, span))) if b < 80 => (Reading::Single, Some(span)),
            (Some((a, span)), None) if a < 80 => (Reading::Loop, Some(span)),
            _ => (Reading::Unsaid, None),
        };
        let (reading, reading_span) = match (reading, self.way_ahead(sentence, index)) {
            (Reading::Unsaid, Some((reading, span))) => (reading, Some(span)),
            _ => (reading, reading_span),
        };
        let (reading, reading_span) = match (reading, self.way_beside(sentence)) {
            (Reading::Unsaid, Some((reading, span))) => (reading, Some(span)),
            _ => (reading, reading_span),
        };
        let (reading, reading_span) = match (reading, self.way_behind(sentence, index)) {
            (Reading::Unsaid, Some((reading, span))) => (reading, Some(span)),
            _ => (reading, reading_span),
        };
        let (reading, reading_span) = match (reading, self.way_after(sentence, index)) {
            (Reading::Unsaid, Some((reading, span))) => (reading, Some(span)),
            _ => (reading, reading_span),
        };
        match (reading, self.basis) {
            (Reading::Unsaid, Some((reading, span))) => (reading, Some(span)),
            _ => (reading, reading_span),
        }
    }

    /// “1.6 ohms per 1000 ft. That is for the loop”: which way the next sentence says that the last resistance counts.
    fn way_behind(&self, sentence: usize, index: usize) -> Option<(Reading, Span)> {
        /// Bytes of the next sentence in which it says so.
        const BEGIN: usize = 40;
        const POINTS: [&str; 7] = ["that", "this", "these", "those", "it", "they", "both"];
        const VERBS: [&str; 5] = ["is", "are", "was", "were", "counts"];
        let next = sentence + 1;
        let words = self.sheet.sentences.get(next)?;
        if words.block() != self.sheet.sentences[sentence].block() {
            return None;
        }
        let resistance = |other: &usize| {
            matches!(
                self.roles[*other],
                Role::Figure(FigureKind::Resistance | FigureKind::ResistancePerLength)
            )
        };
        let last = self.in_sentence(sentence).filter(resistance).last() == Some(index);
        let mut first = words.span.of(self.text()).split_whitespace();
        let told = |list: &[&str], word: Option<&str>| {
            word.is_some_and(|word| list.contains(&word.to_lowercase().as_str()))
        };
        let points = told(&POINTS, first.next()) && told(&VERBS, first.next());
        if !last || !points || self.in_sentence(next).any(|other| resistance(&other)) {
            return None;
        }
        let said = |concept| {
            let mut hits = self.hits.saying(next, concept).map(|hit| hit.span);
            hits.find(|span| span.start() <= words.span.start() + BEGIN)
        };
        match (said(self.terms.r_loop), said(self.terms.r_single)) {
            (Some(span), None) => Some((Reading::Loop, span)),
            (None, Some(span)) => Some((Reading::Single, span)),
            _ => None,
        }
    }

    /// “Loop resistance (far end shorted, there and back): 0.083 Ω”: which way a sentence speaks of that begins with it, for its first
    /// resistance.
    fn way_ahead(&self, sentence: usize, index: usize) -> Option<(Reading, Span)> {
        /// Bytes before the words with which a sentence begins, and behind them in which a resistance is named.
        const BEGIN: usize = 4;
        const BEHIND: usize = 14;
        const NAMES: [&str; 3] = ["resistance", "widerstand", "dcr"];
        let words = self.sheet.sentences[sentence].span;
        let resistance = |other: &usize| {
            matches!(
                self.roles[*other],
                Role::Figure(FigureKind::Resistance | FigureKind::ResistancePerLength)
            )
        };
        let first = self.in_sentence(sentence).find(resistance) == Some(index);
        let begins = |concept| {
            let mut hits = self.hits.saying(sentence, concept).map(|hit| hit.span);
            // "There and back that is 14 m, about 0.1 Ω" is told of the way and of no resistance yet.
            let named = |span: &Span| {
                let to = self
                    .text()
                    .floor_char_boundary((span.end() + BEHIND).min(words.end()));
                let told = Span::new(span.start(), to.max(span.end())).of(self.text());
                let told = told.to_lowercase();
                NAMES.iter().any(|name| told.contains(name))
            };
            hits.find(|span| span.start() <= words.start() + BEGIN && named(span))
        };
        let (loop_, single) = (self.terms.r_loop, self.terms.r_single);
        let says = |concept| self.hits.say(sentence, concept);
        match (begins(loop_), begins(single)) {
            (Some(span), None) if first && !says(single) => Some((Reading::Loop, span)),
            (None, Some(span)) if first && !says(loop_) => Some((Reading::Single, span)),
            _ => None,
        }
    }

    /// `8.2 ohm/1000 ft, single`: what is left of its sentence says which way the resistance counts, and nothing else.
    fn way_after(&self, sentence: usize, index: usize) -> Option<(Reading, Span)> {
        let words = self.sheet.sentences[sentence].span;
        let from = self.sheet.quantities[index].span.end();
        let rest = Span::new(from, words.end().max(from));
        let told = rest.of(self.text()).to_lowercase();
        let told = told.trim_matches(|sign: char| !sign.is_alphanumeric());
        let lists = self.terms.lists;
        let one = lists.way_single.has(told).then_some(Reading::Single);
        let both = lists.way_loop.has(told).then_some(Reading::Loop);
        Some((one.or(both)?, rest))
    }

    /// `8.4 | loop` in a row: a cell that says which way the one resistance of its row counts, and nothing else.
    fn way_beside(&self, sentence: usize) -> Option<(Reading, Span)> {
        const CELLS: usize = 24;
        let block = self.sheet.sentences[sentence].block();
        let BlockKind::Cell { table, row, .. } = self.sheet.blocks[block].kind() else {
            return None;
        };
        let row = self
            .sheet
            .tables
            .get(table as usize)?
            .cells
            .get(row as usize)?;
        let cells: Vec<usize> = row.iter().take(CELLS).flatten().copied().collect();
        let resistances = (cells.iter())
            .flat_map(|&cell| self.sheet.blocks[cell].sentences())
            .flat_map(|at| self.in_sentence(at))
            .filter(|&index| {
                matches!(
                    self.roles[index],
                    Role::Figure(FigureKind::Resistance | FigureKind::ResistancePerLength)
                )
            });
        let lists = self.terms.lists;
        let mut found = cells.iter().filter_map(|&cell| {
            let span = self.sheet.blocks[cell].span;
            let words = span.of(self.text()).trim().to_lowercase();
            let one = lists.way_single.has(&words).then_some(Reading::Single);
            let both = lists.way_loop.has(&words).then_some(Reading::Loop);
            Some((one.or(both)?, span))
        });
        let way = found.next()?;
        (resistances.count() == 1 && found.next().is_none()).then_some(way)
    }

    /// Whether words for the loop say of a length that it is there and back: "73 m of copper there and back, at 12 mΩ a metre", "out
    /// and back that's 40 feet, call it 0.16 Ω".
    fn tells_length(&self, sentence: usize, figure: Span, words: Span) -> bool {
        const REACH: usize = 24;
        /// Bytes of what joins the words to a length behind them.
        const JOINED: usize = 12;
        const PAUSES: [char; 5] = [',', ';', ':', '(', '.'];
        let between = |from: usize, to: usize| Span::new(from, to.max(from)).of(self.text());
        let paused = |from: usize| {
            let behind = between(from, figure.start()).trim_start();
            // "14 m of copper, about 0.1 Ω".
            let behind = behind.strip_prefix("of ").map_or(behind, |of| {
                of.trim_start_matches(|letter: char| letter.is_alphabetic())
            });
            behind.starts_with([',', ';'])
        };
        // "It is 1.59 Ω per 1000 ft, you have 24 ft of it there and back".
        let set_off = || {
            self.in_sentence(sentence).any(|other| {
                let other = &self.sheet.quantities[other];
                let length = other.span;
                other.kind == Kind::Length
                    && figure.end() <= length.start()
                    && length.end() <= words.start()
                    && words.start() - length.end() <= REACH
                    && between(figure.end(), length.start()).contains([',', ';', ':'])
                    && !between(length.end(), words.start()).contains(PAUSES)
            })
        };
        if words.start() >= figure.end() {
            return set_off();
        }
        words.end() <= figure.start()
            && self.in_sentence(sentence).any(|other| {
                let other = &self.sheet.quantities[other];
                let length = other.span;
                let behind = || {
                    length.end() <= words.start()
                        && words.start() - length.end() <= REACH
                        && !between(length.end(), words.start())
                            .trim_end_matches([',', ' '])
                            .contains(PAUSES)
                        && paused(words.end())
                };
                let ahead = || {
                    words.end() <= length.start()
                        && length.end() <= figure.start()
                        && length.start() - words.end() <= JOINED
                        && !between(words.end(), length.start()).contains(PAUSES)
                        && paused(length.end())
                };
                other.kind == Kind::Length && (behind() || ahead())
            })
    }

    /// Whether words for the loop or for one way, past a comma, stand by the next resistance: “at most 3.3 Ω/km, so the loop stays under
    /// 0.093 Ω”.
    fn of_the_next(&self, sentence: usize, index: usize, words: Span) -> bool {
        let figure = self.sheet.quantities[index].span;
        let pauses = |from: usize, to: usize| {
            Span::new(from, to.max(from))
                .of(self.text())
                .contains([',', ';', ':', '('])
        };
        words.start() >= figure.end()
            && pauses(figure.end(), words.start())
            && self.in_sentence(sentence).any(|other| {
                let next = self.sheet.quantities[other].span;
                let resistance = matches!(
                    self.roles[other],
                    Role::Figure(FigureKind::Resistance | FigureKind::ResistancePerLength)
                );
                let ahead = || next.start() >= words.end() && !pauses(words.end(), next.start());
                // "3.30 Ω/km at the worst: 33 mΩ there and back".
                let behind = || {
                    next.start() >= figure.end()
                        && next.end() <= words.start()
                        && Span::new(figure.end(), next.start())
                            .of(self.text())
                            .contains([':', ';'])
                        && !pauses(next.end(), words.start())
                };
                resistance && (ahead() || behind())
            })
    }

    /// Whether words for the loop or for one way stand right behind another resistance: “3.30 Ω/km: 33 mΩ there and back”.
    fn right_behind_another(&self, sentence: usize, index: usize, words: Span) -> bool {
        const NEAR: usize = 3;
        let figure = self.sheet.quantities[index].span;
        self.in_sentence(sentence).any(|other| {
            let next = self.sheet.quantities[other].span;
            let resistance = matches!(
                self.roles[other],
                Role::Figure(FigureKind::Resistance | FigureKind::ResistancePerLength)
            );
            resistance
                && next.start() >= figure.end()
                && next.end() <= words.start()
                && words.start() - next.end() <= NEAR
        })
    }

    /// Whether words for one way say how much metal there is: "with 4 mm² of copper each way".
    fn of_the_metal(&self, sentence: usize, words: Span) -> bool {
        const NEAR: usize = 2;
        words.of(self.text()).to_lowercase().ends_with("way")
            && self.hits.saying(sentence, self.terms.copper).any(|metal| {
                metal.span.end() <= words.start() && words.start() - metal.span.end() <= NEAR
            })
    }

    /// “Ready cut, 15 m of 16 AWG twin. Loop resistance 0.4 Ω”: the one run of the sentences before, where the next says of the loop or
    /// of one conductor what it has.
    pub(super) fn run_before(&self, index: usize) -> Option<usize> {
        const BEFORE: usize = 2;
        let sentence = self.sentence_of(index);
        let total = self.roles[index] == Role::Figure(FigureKind::Resistance);
        if !total || self.way_ahead(sentence, index).is_none() {
            return None;
        }
        let block = &self.sheet.blocks[self.sheet.sentences[sentence].block()];
        let from = block.sentences().start.max(sentence.saturating_sub(BEFORE));
        let mut runs = (from..sentence)
            .flat_map(|at| self.in_sentence(at))
            .filter(|&other| self.roles[other] == Role::Run);
        let run = runs.next()?;
        let same = self.owners.at(run) == self.owners.at(index);
        (same && runs.next().is_none()).then_some(run)
    }
}
