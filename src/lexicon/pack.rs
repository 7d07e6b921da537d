//! A compiled lexicon as bytes and back, so that the built-in word lists need not be compiled at each start.

use super::{ConceptId, Edge, Lexicon, lists::Lists, words::Words};

/// Appends numbers and words.
struct Writer(Vec<u8>);

impl Writer {
    fn number(&mut self, number: usize) {
        let number = u32::try_from(number).unwrap_or(u32::MAX);
        self.0.extend(number.to_le_bytes());
    }

    fn numbers(&mut self, numbers: impl ExactSizeIterator<Item = u32>) {
        self.number(numbers.len());
        for number in numbers {
            self.0.extend(number.to_le_bytes());
        }
    }

    fn text(&mut self, text: &str) {
        self.number(text.len());
        self.0.extend(text.as_bytes());
    }

    fn words(&mut self, words: &Words) {
        self.text(&words.letters);
        let flat: Vec<u32> = words.entries.iter().flatten().copied().collect();
        self.numbers(flat.into_iter());
        self.numbers(words.slots.iter().copied());
    }
}

/// Takes them back in the same order.
struct Reader<'b>(&'b [u8]);

impl<'b> Reader<'b> {
    fn bytes(&mut self, length: usize) -> Option<&'b [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    fn number(&mut self) -> Option<usize> {
        let bytes = self.bytes(4)?;
        Some(u32::from_le_bytes(bytes.try_into().ok()?) as usize)
    }

    fn numbers(&mut self) -> Option<Vec<u32>> {
        let length = self.number()?.checked_mul(4)?;
        let (numbers, _) = self.bytes(length)?.as_chunks::<4>();
        Some(
            numbers
                .iter()
                .map(|bytes| u32::from_le_bytes(*bytes))
                .collect(),
        )
    }

    fn text(&mut self) -> Option<&'b str> {
        let length = self.number()?;
        std::str::from_utf8(self.bytes(length)?).ok()
    }

    fn words(&mut self) -> Option<Words> {
        let letters = self.text()?.to_owned();
        let entries = self.numbers()?;
        let slots = self.numbers()?;
        let (entries, _) = entries.as_chunks::<3>();
        Some(Words {
            letters,
            entries: entries.to_vec(),
            slots,
        })
    }
}

impl Lexicon {
    /// The lexicon as bytes.
    #[must_use]
    pub fn pack(&self) -> Vec<u8> {
        let mut out = Writer(Vec::new());
        out.text(&self.names.join("\n"));
        out.words(&self.words);
        out.words(&self.stems);
        out.numbers(self.stem_lengths.iter().copied());
        out.numbers(self.number.iter().copied());
        out.numbers(self.roots.iter().copied());
        out.numbers(self.edge_starts.iter().copied());
        let edges: Vec<u32> = self
            .edges
            .iter()
            .flat_map(|edge| [edge.symbol, u32::from(edge.gap), edge.next])
            .collect();
        out.numbers(edges.into_iter());
        out.numbers(self.end_starts.iter().copied());
        out.numbers(self.ends.iter().map(|id| u32::from(id.0)));
        out.text(&self.lists.names.join("\n"));
        out.words(&self.lists.words);
        for numbers in [
            &self.lists.starts,
            &self.lists.order,
            &self.lists.of_starts,
            &self.lists.of,
        ] {
            out.numbers(numbers.iter().copied());
        }
        out.0
    }

    /// The lexicon that was packed into `bytes`; nothing when they are not what [`Lexicon::pack`] wrote.
    #[must_use]
    pub fn unpack(bytes: &[u8]) -> Option<Self> {
        let mut from = Reader(bytes);
        let names = from.text()?;
        let names: Vec<String> = names.lines().map(str::to_owned).collect();
        let by_name = names
            .iter()
            .enumerate()
            .map(|(index, name)| Some((name.clone(), ConceptId(u16::try_from(index).ok()?))))
            .collect::<Option<_>>()?;
        let words = from.words()?;
        let stems = from.words()?;
        let stem_lengths = from.numbers()?;
        let number = from.numbers()?.first().copied();
        let roots = from.numbers()?;
        let edge_starts = from.numbers()?;
        let steps = from.numbers()?;
        let (steps, _) = steps.as_chunks::<3>();
        let mut edges = Vec::with_capacity(steps.len());
        for &[symbol, gap, next] in steps {
            edges.push(Edge {
                symbol,
                gap: u8::try_from(gap).ok()?,
                next,
            });
        }
        let end_starts = from.numbers()?;
        let ends = from
            .numbers()?
            .into_iter()
            .map(|id| Some(ConceptId(u16::try_from(id).ok()?)))
            .collect::<Option<_>>()?;
        let lists = Lists {
            names: from.text()?.lines().map(str::to_owned).collect(),
            words: from.words()?,
            starts: from.numbers()?,
            order: from.numbers()?,
            of_starts: from.numbers()?,
            of: from.numbers()?,
        };
        Some(Self {
            names,
            by_name,
            words,
            stems,
            stem_lengths,
            number,
            roots,
            edge_starts,
            edges,
            end_starts,
            ends,
            lists,
        })
    }
}
