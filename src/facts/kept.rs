//! What the walk notes for each quantity, each sentence and each cable, in little room: a dense document has a great many of them.

use super::read::Owner;
use crate::span::Span;
use rustc_hash::FxHashMap;
use std::ops::{Index, Range};

/// An owner for each of many places. There are few different ones, and a place keeps which of them it is.
#[derive(Debug, Clone)]
pub(super) struct Owners {
    different: Vec<Owner>,
    known: FxHashMap<Owner, u32>,
    places: Vec<u32>,
}

impl Owners {
    /// Nobody at so many places.
    pub(super) fn nobody(places: usize) -> Self {
        Self {
            different: vec![Owner::Nobody],
            known: std::iter::once((Owner::Nobody, 0)).collect(),
            places: vec![0; places],
        }
    }

    fn number(&mut self, owner: Owner) -> u32 {
        // An index that does not fit would need more quantities than a document has bytes.
        let next = u32::try_from(self.different.len()).unwrap_or(0);
        let different = &mut self.different;
        *self.known.entry(owner).or_insert_with(|| {
            different.push(owner);
            next
        })
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

    pub(super) fn get(&self, place: usize) -> Option<&Owner> {
        let number = self.places.get(place)?;
        self.different.get(*number as usize)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Owner> + Clone {
        self.places
            .iter()
            .map(|&number| &self.different[number as usize])
    }
}

impl Index<usize> for Owners {
    type Output = Owner;

    fn index(&self, place: usize) -> &Owner {
        &self.different[self.places[place] as usize]
    }
}

/// What mentions mean, by sentence: most have none.
#[derive(Debug, Clone, Default)]
pub(super) struct Mentioned {
    /// Where those of each sentence end.
    ends: Vec<u32>,
    all: Vec<(Span, Owner)>,
    /// Those of sentences to which some were added later.
    more: FxHashMap<usize, Vec<(Span, Owner)>>,
}

impl Mentioned {
    /// Adds those of the next sentence.
    pub(super) fn push(&mut self, mentions: impl IntoIterator<Item = (Span, Owner)>) {
        self.all.extend(mentions);
        self.ends
            .push(u32::try_from(self.all.len()).unwrap_or(u32::MAX));
    }

    /// Adds one to a sentence that has been told.
    pub(super) fn add(&mut self, sentence: usize, span: Span, owner: Owner) {
        let mut list = match self.more.remove(&sentence) {
            Some(list) => list,
            None => self[sentence].to_vec(),
        };
        list.push((span, owner));
        self.more.insert(sentence, list);
    }

    pub(super) fn get(&self, sentence: usize) -> Option<&[(Span, Owner)]> {
        (sentence < self.ends.len()).then(|| &self[sentence])
    }

    /// Those of all sentences in order.
    pub(super) fn iter(&self) -> impl Iterator<Item = &[(Span, Owner)]> {
        self.within(0..self.ends.len())
    }

    /// Those of some sentences, as far as these are told.
    pub(super) fn within(&self, sentences: Range<usize>) -> impl Iterator<Item = &[(Span, Owner)]> {
        sentences.map_while(|sentence| self.get(sentence))
    }
}

impl Index<usize> for Mentioned {
    type Output = [(Span, Owner)];

    fn index(&self, sentence: usize) -> &Self::Output {
        if !self.more.is_empty()
            && let Some(list) = self.more.get(&sentence)
        {
            return list;
        }
        let start = sentence
            .checked_sub(1)
            .map_or(0, |before| self.ends[before]);
        &self.all[start as usize..self.ends[sentence] as usize]
    }
}

/// Numbers by entry of the roster, in their order.
#[derive(Debug, Clone, Default)]
pub(super) struct ByEntry {
    ends: Vec<u32>,
    all: Vec<usize>,
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
            all[ends[entry] as usize] = number;
            ends[entry] += 1;
        }
        Self { ends, all }
    }

    /// The numbers of an entry.
    pub(super) fn of(&self, entry: usize) -> &[usize] {
        let Some(&end) = self.ends.get(entry) else {
            return &[];
        };
        let start = entry.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.all[start as usize..end as usize]
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
        let told: Vec<Owner> = owners.iter().copied().collect();
        let wanted = [Owner::Two(4, 2), Owner::One(4), Owner::Nobody, Owner::All];
        assert_eq!(told, wanted);
        assert_eq!((owners[1], owners.len()), (wanted[1], 4));
        assert_eq!((owners.get(3), owners.get(4)), (Some(&Owner::All), None));
    }

    #[test]
    fn mentions_stay_with_their_sentences() {
        let at = |start| (Span::new(start, start + 1), Owner::One(start));
        let mut mentioned = Mentioned::default();
        mentioned.push([]);
        mentioned.push([at(1), at(2)]);
        mentioned.push([at(3)]);
        mentioned.add(1, Span::new(9, 10), Owner::One(9));
        mentioned.add(0, Span::new(8, 9), Owner::One(8));
        let all: Vec<Vec<usize>> = mentioned
            .iter()
            .map(|list| list.iter().map(|(span, _)| span.start()).collect())
            .collect();
        assert_eq!(all, [vec![8], vec![1, 2, 9], vec![3]]);
        assert_eq!(mentioned.within(2..7).count(), 1);
        assert_eq!(mentioned.get(3), None);
    }

    #[test]
    fn numbers_lie_with_their_entries() {
        let pairs = [(2, 10), (0, 11), (2, 12), (7, 13), (0, 14)];
        let lists = ByEntry::new(4, pairs.into_iter());
        assert_eq!(lists.of(0), [11, 14]);
        assert_eq!(lists.of(2), [10, 12]);
        assert!(lists.of(1).is_empty() && lists.of(3).is_empty() && lists.of(7).is_empty());
    }
}
