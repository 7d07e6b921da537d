//! Scores out of a number of trials.

use super::*;

impl<'t> Reader<'t, '_> {
    pub(super) fn trials(&mut self, pos: usize, clause: &'t str) -> Option<usize> {
        let mut numbers = Vec::with_capacity(2);
        let mut reversed = false;
        let mut wordy = false;
        // "two times in five" says how often.
        let mut idiom = false;
        for pair in parse(Rule::trials_entry, clause)? {
            let parts = if pair.as_rule() == Rule::trials_reversed {
                reversed = true;
                pair.into_inner().collect()
            } else {
                vec![pair]
            };
            for part in parts {
                let end = pos + part.as_span().end();
                match part.as_rule() {
                    Rule::number => {
                        let inner = part.into_inner().next()?;
                        numbers.push((self.value(inner.as_rule(), inner.as_str())?, end));
                    }
                    Rule::out_of => {
                        let words = part.as_str().trim();
                        wordy = words_of(words).count() > 1;
                        let second = words_of(words).next().unwrap_or("");
                        if second.eq_ignore_ascii_case("in") {
                            return None;
                        }
                        idiom = words_of(words)
                            .next_back()
                            .is_some_and(|word| word.eq_ignore_ascii_case("in"));
                    }
                    _ => {}
                }
            }
        }
        let [(first, _), (second, end)] = numbers[..] else {
            return None;
        };
        let (mut score, mut trials) = (first.count()?, second.count()?);
        if reversed {
            // "Out of 16 trials, 12", "16 trials, 12 correct".
            let out_of = last_word(self.before(pos)).is_some_and(|(rest, word, _)| {
                word.eq_ignore_ascii_case("of")
                    && last_word(rest).is_some_and(|(_, word, _)| word.eq_ignore_ascii_case("out"))
            });
            let tried = next_word(&self.text[numbers[0].1..]).is_some_and(|word| {
                one_of!(word, "trials tries rounds goes attempts presentations")
            }) && next_word(self.behind(end))
                .is_some_and(|word| one_of!(word, "correct correctly right hits identified were"));
            if !(out_of || tried) {
                return None;
            }
            std::mem::swap(&mut score, &mut trials);
        }
        if idiom && first.words {
            return None;
        }
        if score > trials || !(3..=100_000).contains(&trials) {
            return None;
        }
        if self.char_at(end).is_some_and(|c| c.is_alphanumeric())
            || self
                .char_at(end)
                .is_some_and(|c| matches!(c, '.' | ',' | '/' | '%'))
                && self.text[end + 1..self.span.end()].starts_with(|c: char| c.is_ascii_digit())
        {
            return None;
        }
        let left = self.before(pos);
        let hinted = self.trial_hints(pos, end);
        let counted = |word: &str| {
            is_label(word) && !one_of!(word, "test trial run side")
                || one_of!(
                    word,
                    "part sheet disc slide week card volume day rated rating",
                )
        };
        if last_word(left).is_some_and(|(_, word, gap)| gap.len() <= 2 && counted(word)) {
            return None;
        }
        let right = self.behind(end);
        let next = right
            .trim_start_matches(is_blank)
            .starts_with(|c: char| c.is_alphanumeric())
            .then(|| next_word(right))
            .flatten();
        // “Where have these been all my life”  4 out of 5: what a buyer rates.
        let rated = matches!(trials, 5 | 10)
            && !hinted
            && next.is_none()
            && left.trim_end().ends_with(['"', '”', '’', '\'', '»']);
        let alone = trials == 5 && !hinted && next.is_none() && left.trim().is_empty();
        if rated || alone {
            return None;
        }
        let fair = match next {
            None => {
                hinted
                    || wordy
                    || self.out.last().is_some_and(|q| q.kind == Kind::Trials && q.span.start() >= self.span.start())
                    || score * 3 >= trials
                        && (!first.words || trials > 5)
                        && last_word(left).is_none_or(|(_, word, gap)| {
                            gap.contains(':')
                                || one_of!(word, "in on got was were is had has scored hit with only named made at by just and but managed reached")
                        })
            }
            Some(word) => {
                hint(word).has(Hints::TRIALS)
                    || one_of!(
                        word,
                        "times tests runs rounds people customers listeners panellists jurors attempts tries members subjects participants sessions cards occasions passes hands judges readers visitors guests friends experts engineers audiophiles said went came answers comparisons switches swaps calls were was got could or",
                    )
                    || (hinted || trials >= 8 && !first.words || wordy && trials >= 8)
                        && (hinted
                            && !one_of!(
                                word,
                                "models reels shops cores conductors stars cables pages",
                            )
                            || one_of!(
                                word,
                                "the and with but for in on at to is by as when that which he she they we it this",
                            ))
            }
        };
        if !fair || first.words && score == 1 && !hinted {
            return None;
        }
        self.push_trials(pos, end, score, trials);
        Some(end)
    }

    pub(super) fn push_trials(&mut self, start: usize, end: usize, score: u32, trials: u32) {
        if self.taken(start) {
            return;
        }
        self.out.push(
            Quantity {
                kind: Kind::Trials,
                number: f64::from(trials).into(),
                symbol: Symbol::default(),
                si_unit: Si::One,
                span: Span::new(start, end),
                bound: Bound::Exact,
                range: None,
                more: More {
                    rare: Rare {
                        score: Some(f64::from(score)),
                        ..Rare::default()
                    }
                    .kept(),
                    ..More::default()
                }
                .kept(),
            }
            .with_si(None),
        );
        self.floor = end;
    }

    pub(super) fn trial_hints(&self, start: usize, end: usize) -> bool {
        self.context
            .hints
            .with(self.context.section)
            .has(Hints::TRIALS)
            || words_of(self.before(start)).any(|word| hint(word).has(Hints::TRIALS))
            || words_of(self.behind(end))
                .take(5)
                .any(|word| hint(word).has(Hints::TRIALS))
    }
}
