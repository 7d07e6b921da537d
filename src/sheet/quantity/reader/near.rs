//! What stands near a bare number and says what it is: a gauge that was given before, a size that it makes up, a word for wire.

use super::*;

impl Reader<'_, '_> {
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
        const REACH: usize = 60;
        const OFF: f64 = 0.12;
        let Some(strands) = count.number.count() else {
            return false;
        };
        let strand = gauge::circle(Metre(size.number.value * 1e-3)).0;
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
