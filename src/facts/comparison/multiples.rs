//! Words for how many times as bright a lamp is. Knows no side and no sentence.

use crate::facts::read::Reader;

/// Which pairs of letters stand in a sentence, some of them under one bit: words of which one pair is missing need not be
/// searched for.
struct Pairs([u64; 16]);

impl Pairs {
    fn of(text: &str) -> Self {
        let mut pairs = Self([0; 16]);
        for pair in text.as_bytes().windows(2) {
            let (word, bit) = Self::bit(pair);
            pairs.0[word] |= bit;
        }
        pairs
    }

    /// Letters of ASCII differ in their low five bits.
    fn bit(pair: &[u8]) -> (usize, u64) {
        let place = pair
            .iter()
            .fold(0, |place, byte| place << 5 | usize::from(byte & 31));
        (place >> 6, 1 << (place & 63))
    }

    fn may_hold(&self, words: &str) -> bool {
        words.as_bytes().windows(2).all(|pair| {
            let (word, bit) = Self::bit(pair);
            self.0[word] & bit != 0
        })
    }

    /// Whether all pairs of `other` are among these.
    fn hold(&self, other: &Self) -> bool {
        (self.0.iter().zip(&other.0)).all(|(own, asked)| own & asked == *asked)
    }
}

/// Words for multiples of brightness, with what each comes to.
pub(super) struct Multiples<'t> {
    words: Vec<(&'t str, f64)>,
    /// The pairs of letters that all of them have: most sentences lack one.
    shared: Pairs,
}

impl<'t> Multiples<'t> {
    pub(super) fn new(reader: &Reader<'t>) -> Self {
        let lists = reader.terms.lists;
        let words: Vec<(&str, f64)> = [
            (lists.multiple_double, 2.0),
            (lists.multiple_treble, 3.0),
            (lists.multiple_half_more, 1.5),
            (lists.multiple_third_more, 4.0 / 3.0),
            (lists.multiple_quarter_more, 1.25),
            (lists.multiple_fourfold, 4.0),
            (lists.multiple_tenfold, 10.0),
        ]
        .into_iter()
        .flat_map(|(list, value)| list.entries().map(move |words| (words, value)))
        .collect();
        let mut shared = Pairs([u64::MAX; 16]);
        for (words, _) in &words {
            let own = Pairs::of(words);
            (shared.0.iter_mut().zip(own.0)).for_each(|(all, own)| *all &= own);
        }
        Self { words, shared }
    }

    /// The longest of them that `text` has, with its place and what it comes to.
    pub(super) fn told(&self, text: &str) -> Option<(usize, &'t str, f64)> {
        // Pairs of ASCII are the same in capitals.
        if text.is_ascii() && !Pairs::of(text).hold(&self.shared) {
            return None;
        }
        let text = text.to_lowercase();
        let pairs = Pairs::of(&text);
        (self.words.iter())
            .filter(|(words, _)| pairs.may_hold(words))
            .filter_map(|&(words, value)| Some((text.find(words)?, words, value)))
            .max_by_key(|(_, words, _)| words.len())
    }
}
