//! What stands near a bare number and says what it is: a gauge that was given before, a size that it makes up, a word for wire.

use super::*;

impl<'t> Reader<'t, '_> {
    /// `thirty feet of number 14`, and any number for a wire where the document gave one so before; `at` is where the mark begins.
    pub(super) fn numbered_before(&self, at: usize, chain: &Chain) -> bool {
        let [only] = chain.members.as_slice() else {
            return false;
        };
        let size = only
            .number
            .count()
            .is_some_and(|count| (6..=30).contains(&count));
        let Some((rest, word, gap)) = last_word(self.before(at)).filter(|_| size) else {
            return false;
        };
        if !gap.chars().all(is_blank) {
            return false;
        }
        let measured = one_of!(word, "of")
            && last_word(rest).is_some_and(|(_, word, gap)| {
                gap.chars().all(is_blank)
                    && one_of!(
                        word,
                        "feet foot ft metres meters metre m yards yard roll reel reels spool coil length run"
                    )
            });
        let again = one_of!(word, "of and or a has is the with in to than")
            && self.said_before(|quantity| {
                let said = quantity.span.of(self.text);
                quantity.span.end() <= at && said.starts_with(['n', 'N'])
            });
        measured || again
    }

    /// `the gauge of the wire is 14`, `gauges of 12 and 16`, `gauge: 14 on mine and 16 on his`.
    pub(super) fn told_gauge(&mut self, chain: &Chain) -> Option<usize> {
        let first = chain.members.first()?;
        let size = |member: &Member| {
            (member.number.count()).is_some_and(|count| (4..=40).contains(&count))
        };
        if !chain.members.iter().all(size) || !self.ends_told(chain.members.last()?.end) {
            return None;
        }
        (self.behind_gauge(first.start) || self.goes_on_from_gauge(first.start))
            .then(|| self.with_lead(chain, Unit::AWG, first.start))
            .flatten()
    }

    /// “One set measures three metres, the other came in five”: a number that is said of a length as that before was, whose unit it has.
    pub(super) fn length_told(&mut self, pos: usize, clause: &'t str) -> Option<usize> {
        /// Bytes from the one to the other.
        const REACH: usize = 160;
        /// Quantities among which the length before is looked for.
        const KNOWN: usize = 3;
        /// Most metres or feet of a length that is told so.
        const MOST: f64 = 60.0;
        let mut known = self.out.iter().rev().take(KNOWN);
        let last = known.find(|quantity| quantity.kind == Kind::Length)?;
        let run = last.si().is_some_and(|metres| metres >= 0.5);
        let near = last.span.end() <= pos && pos - last.span.end() <= REACH;
        let unit = match last.unit() {
            "m" => Unit::METRE,
            "ft" => Unit::FOOT,
            _ => return None,
        };
        if !run || !near || !self.behind_length(pos) || !self.chain_at(pos, clause) {
            return None;
        }
        let chain = std::mem::take(&mut self.chain);
        let told = match chain.members.as_slice() {
            [only] => chain.unit.is_none() && only.number.value <= MOST && self.ends_told(only.end),
            _ => false,
        };
        let next = told
            .then(|| self.with_unit(&chain, unit, chain.end))
            .flatten();
        self.chain = chain;
        next
    }

    /// Whether the words before a number say of something how long it is: “nothing shorter than”, “came in”, “cut to”.
    fn behind_length(&self, start: usize) -> bool {
        let Some((rest, word, gap)) = last_word(self.before(start)) else {
            return false;
        };
        let Some((_, before, between)) = last_word(rest) else {
            return false;
        };
        let close = gap.chars().all(is_blank) && between.chars().all(is_blank);
        close
            && (one_of!(word, "than") && one_of!(before, "shorter longer")
                || one_of!(word, "in")
                    && one_of!(before, "came come comes sold supplied delivered sent")
                || one_of!(word, "to") && one_of!(before, "cut ran run runs trimmed shortened")
                || one_of!(word, "measures measured"))
    }

    /// Whether what stands behind a number counts nothing by it.
    fn ends_told(&self, end: usize) -> bool {
        let behind = self.behind(end).trim_start_matches(is_blank);
        behind.is_empty()
            || behind.starts_with([',', '.', ';', ')', '!', '?', ':'])
                && !behind.get(1..).is_some_and(|next| {
                    next.starts_with(|sign: char| sign.is_ascii_digit())
                })
            || next_word(behind).is_some_and(|word| {
                one_of!(
                    word,
                    "and or on for respectively as but while whereas with against throughout each both all too either"
                )
            })
    }

    /// Whether the number at `start` is what a gauge is said to be.
    fn behind_gauge(&self, start: usize) -> bool {
        /// Words from the gauge to its number.
        const REACH: usize = 8;
        let mut rest = self.left_of(start);
        let mut gap_before = "";
        for place in 0..REACH {
            let Some((ahead, word, gap)) = last_word(rest) else {
                return false;
            };
            let named = one_of!(word, "gauge gauges gage gages guage guages");
            let joined = if place == 0 {
                gap.chars().all(is_blank)
                    && (one_of!(word, "gauges gages")
                        || one_of!(
                            word,
                            "is are was were of about around roughly nominally exactly"
                        ))
                    || named && matches!(gap.trim(), "," | ":" | "=" | "–" | "—")
            } else {
                !gap.contains(['.', '!', '?', ';', ':', '(', ')'])
                    && !word.starts_with(|sign: char| sign.is_ascii_digit())
            };
            if !joined {
                return false;
            }
            if named {
                let other = last_word(ahead).is_some_and(|(_, word, gap)| {
                    gap.chars().all(is_blank)
                        && one_of!(
                            word,
                            "pressure track loading feeler strain narrow standard rain fuel oil tyre tire vacuum depth bore model railway height"
                        )
                });
                // "the gauge on the boiler was 12": of that gauge it is told where it is.
                let placed = gap_before.chars().all(is_blank)
                    && next_word(
                        self.text
                            .get(start - (self.left_of(start).len() - rest.len())..start)
                            .unwrap_or(""),
                    )
                    .is_some_and(|word| {
                        one_of!(word, "on at in reads reading read showed shows said says")
                    });
                return !other && !placed;
            }
            gap_before = gap;
            rest = ahead;
        }
        false
    }

    /// Whether a gauge that was told without its unit stands right before, and this number behind “and”: “14 on mine and 16 on his”.
    fn goes_on_from_gauge(&self, start: usize) -> bool {
        /// Bytes from the one to the other.
        const REACH: usize = 40;
        let Some((_, word, gap)) = last_word(self.left_of(start)) else {
            return false;
        };
        gap.chars().all(is_blank)
            && one_of!(word, "and or against but")
            && self.out.last().is_some_and(|quantity| {
                quantity.kind == Kind::Gauge
                    && quantity.span.end() <= start
                    && start - quantity.span.end() <= REACH
                    && (quantity.span.of(self.text).bytes()).all(|byte| byte.is_ascii_digit())
            })
    }

    /// Whether one of the last gauges of the document is such.
    pub(super) fn said_before(&self, such: impl Fn(&Quantity) -> bool) -> bool {
        self.out
            .iter()
            .rev()
            .take(100)
            .any(|quantity| quantity.kind == Kind::Gauge && such(quantity))
    }

    /// Whether so many strands of so many millimetres make up the size that stands right before: `2.5 mm² (50 x 0.25)`.
    pub(super) fn makes_up(&self, count: &Member, size: &Member) -> bool {
        let strand = gauge::circle(Metre(size.number.value * 1e-3)).0;
        self.comes_to(count, strand)
    }

    /// The same of strands of a gauge: `14 AWG   41/30`.
    pub(super) fn makes_up_of_gauge(&self, count: &Member, number: u32) -> bool {
        self.comes_to(count, gauge::awg_area(f64::from(number)).0)
    }

    /// Whether so many strands of so many square metres make up the size that stands right before.
    fn comes_to(&self, count: &Member, strand: f64) -> bool {
        const REACH: usize = 60;
        const OFF: f64 = 0.12;
        let Some(strands) = count.number.count() else {
            return false;
        };
        let area = f64::from(strands) * strand;
        self.out.iter().rev().take(3).any(|quantity| {
            matches!(quantity.kind, Kind::Area | Kind::Gauge)
                && quantity.span.end() <= count.start
                && count.start - quantity.span.end() <= REACH
                && quantity
                    .si()
                    .is_some_and(|own| (area / own - 1.0).abs() <= OFF)
        })
    }

    /// A wire word among the next three words.
    pub(super) fn wire_ahead(&self, chain: &Chain) -> bool {
        let Some(last) = chain.members.last() else {
            return false;
        };
        let text = self.behind(last.end);
        let to = text
            .find([',', ';', '.', '?', '!', '('])
            .unwrap_or(text.len());
        words_of(&text[..to]).take(4).any(wire_word)
    }

    /// A word of the trade in the neighbourhood.
    pub(super) fn wire_near(&self, start: usize, end: usize) -> bool {
        words_of(self.before(start))
            .chain(words_of(self.behind(end)))
            .any(wire_word)
    }

    /// Whether two numbers tell how a match or a vote went: "the cable club won 14-4". "They won a 14-4 cable" has a noun right behind.
    pub(super) fn scores(&self, start: usize, end: usize) -> bool {
        let score = |word: &str| {
            one_of!(
                word,
                "won win wins winning winners beat beats beaten beating lost lose loses losing defeat defeats defeated score scores scored scoring match game games league cup tournament vote votes voted voting ballot poll majority decision half-time innings"
            )
        };
        let linked = |word: &&str| {
            !one_of!(
                *word,
                "on at in against over to by for from with and after before while when as but or of the a an this last"
            )
        };
        let behind = self.behind(end);
        let told = words_of(self.before(start))
            .chain(words_of(behind))
            .any(score);
        told && !words_of(behind).take_while(linked).take(4).any(wire_word)
    }
}
