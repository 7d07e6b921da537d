//! What the walk notes for each quantity, each sentence and each cable, in little room: a dense document has a great many of them.

use super::read::Owner;
use super::types::narrow;
use crate::sheet::Sentence;
use crate::span::Span;
use rustc_hash::FxHashMap;
use std::ops::Range;

/// An owner for each of many places, as a number: nobody, all, or one entry, whose number it holds; few have two, and a place keeps
/// which two they are.
#[derive(Debug, Clone)]
pub(super) struct Owners {
    twos: Vec<(usize, usize)>,
    known: FxHashMap<(usize, usize), u32>,
    places: Vec<u32>,
}

impl Owners {
    const NOBODY: u32 = 0;
    const ALL: u32 = 1;
    /// Numbers from here on are of entries and, every other one, of two of them.
    const ENTRIES: u32 = 2;

    /// Nobody at so many places.
    pub(super) fn nobody(places: usize) -> Self {
        Self {
            twos: Vec::new(),
            known: FxHashMap::default(),
            places: vec![Self::NOBODY; places],
        }
    }

    fn number(&mut self, owner: Owner) -> u32 {
        // One that does not fit would need more entries than a document has bytes.
        let numbered = |number: usize| u32::try_from(number).unwrap_or(0) * 2 + Self::ENTRIES;
        match owner {
            Owner::Nobody => Self::NOBODY,
            Owner::All => Self::ALL,
            Owner::One(entry) => numbered(entry),
            Owner::Two(one, two) => {
                let twos = &mut self.twos;
                *self.known.entry((one, two)).or_insert_with(|| {
                    twos.push((one, two));
                    numbered(twos.len() - 1) + 1
                })
            }
        }
    }

    fn owner(twos: &[(usize, usize)], number: u32) -> Owner {
        match number {
            Self::NOBODY => Owner::Nobody,
            Self::ALL => Owner::All,
            _ => {
                let place = ((number - Self::ENTRIES) / 2) as usize;
                if number.is_multiple_of(2) {
                    Owner::One(place)
                } else {
                    let (one, two) = twos[place];
                    Owner::Two(one, two)
                }
            }
        }
    }

    pub(super) fn set(&mut self, place: usize, owner: Owner) {
        let number = self.number(owner);
        self.places[place] = number;
    }

    pub(super) fn push(&mut self, owner: Owner) {
        let number = self.number(owner);
        self.places.push(number);
    }

    pub(super) fn len(&self) -> usize {
        self.places.len()
    }

    /// Whether two places have the same owner.
    pub(super) fn alike(&self, one: usize, other: usize) -> bool {
        self.places[one] == self.places[other]
    }

    pub(super) fn at(&self, place: usize) -> Owner {
        Self::owner(&self.twos, self.places[place])
    }

    pub(super) fn get(&self, place: usize) -> Option<Owner> {
        let number = *self.places.get(place)?;
        Some(Self::owner(&self.twos, number))
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = Owner> + Clone {
        let places = self.places.iter();
        places.map(|&number| Self::owner(&self.twos, number))
    }

    fn last(&self) -> Option<Owner> {
        self.get(self.places.len().checked_sub(1)?)
    }
}

/// What mentions mean, by sentence: most have none, and in records whole sentences are mentions.
#[derive(Debug, Clone)]
pub(super) struct Mentioned<'s> {
    sentences: &'s [Sentence],
    /// Of each sentence [`Mentioned::NONE`], the number of an owner whom it means as a whole, or the place of its mentions.
    told: Vec<u32>,
    /// Where the mentions of each place end.
    ends: Vec<u32>,
    spans: Vec<Span>,
    owners: Owners,
    /// Those of sentences to which some were added later.
    more: FxHashMap<usize, Vec<(Span, Owner)>>,
}

/// The mentions of one sentence.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mentions<'m> {
    spans: &'m [Span],
    /// For each span, the number of the owner that it means.
    numbers: &'m [u32],
    twos: &'m [(usize, usize)],
    /// The sentence as a whole, where it is the only one.
    whole: Option<(Span, Owner)>,
    /// All of them, where some were added later.
    more: &'m [(Span, Owner)],
}

impl<'m> Mentions<'m> {
    /// Whether there is none.
    pub(super) fn is_empty(self) -> bool {
        self.spans.is_empty() && self.whole.is_none() && self.more.is_empty()
    }

    /// Each with what it means.
    pub(super) fn iter(self) -> impl DoubleEndedIterator<Item = (Span, Owner)> + Clone + 'm {
        let owners = self.numbers.iter();
        let owners = owners.map(move |&number| Owners::owner(self.twos, number));
        let kept = self.spans.iter().copied().zip(owners);
        kept.chain(self.whole).chain(self.more.iter().copied())
    }
}

impl<'s> Mentioned<'s> {
    const NONE: u32 = u32::MAX;
    /// A sentence that is a mention as a whole.
    const WHOLE: u32 = 1 << 31;

    /// None of any of these.
    pub(super) fn of_none(sentences: &'s [Sentence]) -> Self {
        Self {
            sentences,
            told: Vec::new(),
            ends: Vec::new(),
            spans: Vec::new(),
            owners: Owners::nobody(0),
            more: FxHashMap::default(),
        }
    }

    /// Adds those of the next sentence.
    pub(super) fn push(&mut self, mentions: impl IntoIterator<Item = (Span, Owner)>) {
        let before = self.spans.len();
        for (span, owner) in mentions {
            self.spans.push(span);
            self.owners.push(owner);
        }
        if self.spans.len() == before {
            self.told.push(Self::NONE);
            return;
        }
        let place = u32::try_from(self.ends.len()).unwrap_or(Self::NONE);
        self.told.push(place);
        self.ends
            .push(u32::try_from(self.spans.len()).unwrap_or(u32::MAX));
    }

    /// Notes that the next sentence as a whole means somebody.
    pub(super) fn push_whole(&mut self, owner: Owner) {
        let number = self.owners.number(owner);
        if number < Self::WHOLE - 1 {
            self.told.push(Self::WHOLE | number);
        } else {
            let span = self.sentences[self.told.len()].span;
            self.push([(span, owner)]);
        }
    }

    /// Adds one to a sentence that has been told.
    pub(super) fn add(&mut self, sentence: usize, span: Span, owner: Owner) {
        let mut list = match self.more.remove(&sentence) {
            Some(list) => list,
            None => self.of(sentence).iter().collect(),
        };
        list.push((span, owner));
        self.more.insert(sentence, list);
    }

    /// Makes room for so many sentences.
    pub(super) fn reserve(&mut self, sentences: usize) {
        self.told.reserve_exact(sentences);
    }

    /// Gives back the room that no mention takes.
    pub(super) fn shrink(&mut self) {
        self.told.shrink_to_fit();
        self.ends.shrink_to_fit();
        self.spans.shrink_to_fit();
        self.owners.places.shrink_to_fit();
    }

    /// Those of a sentence that has been told.
    pub(super) fn of(&self, sentence: usize) -> Mentions<'_> {
        let mut mentions = Mentions {
            spans: &[],
            numbers: &[],
            twos: &self.owners.twos,
            whole: None,
            more: &[],
        };
        if !self.more.is_empty()
            && let Some(list) = self.more.get(&sentence)
        {
            mentions.more = list;
            return mentions;
        }
        match self.told[sentence] {
            Self::NONE => {}
            told if told & Self::WHOLE != 0 => {
                let owner = Owners::owner(&self.owners.twos, told & !Self::WHOLE);
                mentions.whole = Some((self.sentences[sentence].span, owner));
            }
            place => {
                let place = place as usize;
                let start = place.checked_sub(1).map_or(0, |before| self.ends[before]);
                let range = start as usize..self.ends[place] as usize;
                mentions.spans = &self.spans[range.clone()];
                mentions.numbers = &self.owners.places[range];
            }
        }
        mentions
    }

    pub(super) fn get(&self, sentence: usize) -> Option<Mentions<'_>> {
        (sentence < self.told.len()).then(|| self.of(sentence))
    }

    /// Those of all sentences in order.
    pub(super) fn iter(&self) -> impl Iterator<Item = Mentions<'_>> {
        self.within(0..self.told.len())
    }

    /// Those of some sentences, as far as these are told.
    pub(super) fn within(&self, sentences: Range<usize>) -> impl Iterator<Item = Mentions<'_>> {
        sentences.map_while(|sentence| self.get(sentence))
    }
}

/// Adds to a list that mostly has one or two: a list that grows by itself begins with room for four.
pub(super) fn push_close<T>(list: &mut Vec<T>, value: T) {
    if list.len() < 4 {
        list.reserve_exact(1);
    }
    list.push(value);
}

/// An owner for each of many places, where most have that of the place before.
#[derive(Debug, Clone)]
pub(super) struct Runs {
    /// From which place on each owner is, in order.
    starts: Vec<u32>,
    owners: Owners,
    places: usize,
}

impl Runs {
    /// Those of no place.
    pub(super) fn of_none() -> Self {
        Self {
            starts: Vec::new(),
            owners: Owners::nobody(0),
            places: 0,
        }
    }

    /// Adds the owner of the next place.
    pub(super) fn push(&mut self, owner: Owner) {
        if self.owners.last() != Some(owner) {
            self.starts.push(narrow(self.places));
            self.owners.push(owner);
        }
        self.places += 1;
    }

    /// That of a place.
    pub(super) fn get(&self, place: usize) -> Option<Owner> {
        if place >= self.places {
            return None;
        }
        let after = self
            .starts
            .partition_point(|&start| start as usize <= place);
        self.owners.get(after.checked_sub(1)?)
    }
}

/// A number for some of many places, where those that have one lie in stretches.
#[derive(Debug, Clone, Default)]
pub(super) struct Stretches(Vec<Stretch>);

/// Places that have one number.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    start: u32,
    end: u32,
    number: u32,
}

impl Stretches {
    /// The first stretch that ends behind a place.
    fn at(&self, place: u32) -> usize {
        match self.0.last() {
            Some(last) if last.end > place => {
                self.0.partition_point(|stretch| stretch.end <= place)
            }
            _ => self.0.len(),
        }
    }

    /// Gives a place its number.
    pub(super) fn insert(&mut self, place: usize, number: usize) {
        let (place, number) = (narrow(place), narrow(number));
        let mut at = self.at(place);
        if let Some(&held) = self.0.get(at)
            && held.start <= place
        {
            // What another stretch holds is taken from it.
            if held.number == number {
                return;
            }
            let ahead = (held.start < place).then_some(Stretch { end: place, ..held });
            let behind = (place + 1 < held.end).then_some(Stretch {
                start: place + 1,
                ..held
            });
            self.0.splice(at..=at, ahead.into_iter().chain(behind));
            at += usize::from(ahead.is_some());
        }
        match at.checked_sub(1).and_then(|before| self.0.get_mut(before)) {
            Some(before) if before.end == place && before.number == number => before.end += 1,
            _ => self.0.insert(
                at,
                Stretch {
                    start: place,
                    end: place + 1,
                    number,
                },
            ),
        }
    }

    /// The number of a place.
    pub(super) fn get(&self, place: usize) -> Option<usize> {
        let stretch = self.0.get(self.at(narrow(place)))?;
        (stretch.start as usize <= place).then_some(stretch.number as usize)
    }

    /// All numbers.
    pub(super) fn numbers(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().map(|stretch| stretch.number as usize)
    }
}

/// A number for some of many places that lie side by side; the others have none.
#[derive(Debug, Clone, Default)]
pub(super) struct Places(Vec<u32>);

impl Places {
    const NONE: u32 = u32::MAX;

    /// Gives a place its number.
    pub(super) fn insert(&mut self, place: usize, number: usize) {
        if self.0.len() <= place {
            self.0.resize(place + 1, Self::NONE);
        }
        self.0[place] = u32::try_from(number).unwrap_or(Self::NONE);
    }

    /// The number of a place.
    pub(super) fn get(&self, place: usize) -> Option<usize> {
        let number = *self.0.get(place)?;
        (number != Self::NONE).then_some(number as usize)
    }
}

/// Numbers by entry of the roster, in their order.
#[derive(Debug, Clone, Default)]
pub(super) struct ByEntry {
    ends: Vec<u32>,
    all: Vec<u32>,
}

impl ByEntry {
    /// The numbers of each of so many `entries`, from pairs of an entry and a number.
    pub(super) fn new(entries: usize, pairs: impl Iterator<Item = (usize, usize)> + Clone) -> Self {
        // Counted, summed up, and put where those before leave off.
        let mut ends = vec![0_u32; entries];
        let known = pairs.filter(|&(entry, _)| entry < entries);
        for (entry, _) in known.clone() {
            ends[entry] += 1;
        }
        let mut sum = 0;
        for end in &mut ends {
            let count = *end;
            *end = sum;
            sum += count;
        }
        let mut all = vec![0; sum as usize];
        for (entry, number) in known {
            all[ends[entry] as usize] = u32::try_from(number).unwrap_or(u32::MAX);
            ends[entry] += 1;
        }
        Self { ends, all }
    }

    /// The numbers of an entry.
    pub(super) fn of(
        &self,
        entry: usize,
    ) -> impl ExactSizeIterator<Item = usize> + DoubleEndedIterator + Clone + '_ {
        let own = self.ends.get(entry).map_or(&[][..], |&end| {
            let start = entry.checked_sub(1).map_or(0, |before| self.ends[before]);
            &self.all[start as usize..end as usize]
        });
        own.iter().map(|&number| number as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn owners_stay_where_they_are_put() {
        let mut owners = Owners::nobody(3);
        owners.set(1, Owner::Two(4, 2));
        owners.push(Owner::All);
        owners.set(0, Owner::Two(4, 2));
        owners.set(1, Owner::One(4));
        let told: Vec<Owner> = owners.iter().collect();
        let wanted = [Owner::Two(4, 2), Owner::One(4), Owner::Nobody, Owner::All];
        assert_eq!(told, wanted);
        assert_eq!((owners.at(1), owners.len()), (wanted[1], 4));
        owners.push(Owner::Two(4, 2));
        assert!(owners.alike(0, 4) && !owners.alike(0, 1));
        owners.places.pop();
        assert_eq!((owners.get(3), owners.get(4)), (Some(Owner::All), None));
    }

    #[test]
    fn mentions_stay_with_their_sentences() {
        let at = |start| (Span::new(start, start + 1), Owner::One(start));
        let sentence = |start| Sentence::new(Span::new(start, start + 5), 0);
        let sentences = [sentence(0), sentence(10), sentence(20), sentence(30)];
        let mut mentioned = Mentioned::of_none(&sentences);
        mentioned.push([]);
        mentioned.push([at(1), at(2)]);
        mentioned.push([at(3)]);
        mentioned.push_whole(Owner::Two(7, 2));
        let whole = (sentences[3].span, Owner::Two(7, 2));
        assert_eq!(mentioned.of(3).iter().collect::<Vec<_>>(), [whole]);
        mentioned.add(3, Span::new(31, 32), Owner::All);
        mentioned.add(1, Span::new(9, 10), Owner::One(9));
        mentioned.add(0, Span::new(8, 9), Owner::One(8));
        let all: Vec<Vec<usize>> = mentioned
            .iter()
            .map(|list| list.iter().map(|(span, _)| span.start()).collect())
            .collect();
        assert_eq!(all, [vec![8], vec![1, 2, 9], vec![3], vec![30, 31]]);
        assert_eq!(mentioned.within(2..7).count(), 2);
        assert!(mentioned.get(4).is_none() && !mentioned.of(0).is_empty());
        let last = mentioned.of(1).iter().next_back();
        assert_eq!(last, Some((Span::new(9, 10), Owner::One(9))));
    }

    #[test]
    fn places_without_a_number_have_none() {
        let mut places = Places::default();
        places.insert(3, 7);
        places.insert(1, 0);
        places.insert(3, 8);
        let told: Vec<Option<usize>> = (0..5).map(|place| places.get(place)).collect();
        assert_eq!(told, [None, Some(0), None, Some(8), None]);
    }

    #[test]
    fn stretches_give_what_was_given_last() {
        let (mut stretches, mut plain) = (Stretches::default(), [None; 40]);
        let mut dice = 5_usize;
        for step in 0..400 {
            dice = dice * 1_103 % 40_009;
            let (place, number) = match step {
                0..20 => (step, step / 7),
                _ => (dice % 40, dice / 40 % 4),
            };
            stretches.insert(place, number);
            plain[place] = Some(number);
            let told: Vec<Option<usize>> = (0..40).map(|place| stretches.get(place)).collect();
            assert_eq!(told, plain);
        }
        assert!(stretches.numbers().all(|number| number < 4));
        assert_eq!(
            (stretches.get(40), Stretches::default().get(0)),
            (None, None)
        );
    }

    #[test]
    fn runs_have_the_owner_of_the_place_before() {
        let owners = [Owner::One(3), Owner::One(3), Owner::Nobody, Owner::One(3)];
        let mut runs = Runs::of_none();
        for owner in owners {
            runs.push(owner);
        }
        let told: Vec<Option<Owner>> = (0..5).map(|place| runs.get(place)).collect();
        let wanted: Vec<Option<Owner>> = owners.map(Some).into_iter().chain([None]).collect();
        assert_eq!((told, runs.owners.len()), (wanted, 3));
    }

    #[test]
    fn numbers_lie_with_their_entries() {
        let pairs = [(2, 10), (0, 11), (2, 12), (7, 13), (0, 14)];
        let lists = ByEntry::new(4, pairs.into_iter());
        let of = |entry| lists.of(entry).collect::<Vec<_>>();
        assert_eq!((of(0), of(2)), (vec![11, 14], vec![10, 12]));
        assert!([1, 3, 7].into_iter().all(|entry| of(entry).is_empty()));
    }
}
