//! Values as bytes and back, for what the build prepares: in the order in which they are written, without names, so that
//! reading is little more than copying.

#![allow(dead_code, reason = "the build script writes, the program reads")]

/// What can be written as bytes and read back.
pub(crate) trait Pack: Sized {
    /// Appends the value.
    fn pack(&self, out: &mut Writer);

    /// Takes the value back; nothing when the bytes are not what [`Pack::pack`] wrote.
    fn unpack(from: &mut Reader<'_>) -> Option<Self>;
}

/// Appends values.
#[derive(Debug, Default)]
pub(crate) struct Writer(pub(crate) Vec<u8>);

impl Writer {
    /// A length; those that are written here fit into 32 bits.
    pub(crate) fn length(&mut self, length: usize) {
        let length = u32::try_from(length).unwrap_or(u32::MAX);
        self.0.extend(length.to_le_bytes());
    }

    /// Many numbers at once.
    pub(crate) fn numbers(&mut self, numbers: impl ExactSizeIterator<Item = u32>) {
        self.length(numbers.len());
        for number in numbers {
            self.0.extend(number.to_le_bytes());
        }
    }
}

/// Takes them back in the same order.
#[derive(Debug)]
pub(crate) struct Reader<'b>(pub(crate) &'b [u8]);

impl<'b> Reader<'b> {
    fn bytes(&mut self, length: usize) -> Option<&'b [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    /// A length.
    pub(crate) fn length(&mut self) -> Option<usize> {
        let bytes = self.bytes(4)?;
        Some(u32::from_le_bytes(bytes.try_into().ok()?) as usize)
    }

    /// What was written with [`Writer::numbers`], in chunks of so many bytes.
    #[inline]
    fn chunks<const N: usize>(&mut self) -> Option<&'b [[u8; N]]> {
        let length = self.length()?.checked_mul(4)?;
        Some(self.bytes(length)?.as_chunks().0)
    }

    /// Many numbers at once, each made into what it stands for.
    #[inline]
    pub(crate) fn numbers<T>(&mut self, make: impl Fn(u32) -> T) -> Option<Vec<T>> {
        let chunks = self.chunks()?.iter();
        Some(
            chunks
                .map(|bytes: &[u8; 4]| make(u32::from_le_bytes(*bytes)))
                .collect(),
        )
    }

    /// The same for two numbers each.
    #[inline]
    pub(crate) fn pairs<T>(&mut self, make: impl Fn(u32, u32) -> T) -> Option<Vec<T>> {
        let chunks = self.chunks()?.iter();
        Some(
            chunks
                .map(|&[a, b, c, d, e, f, g, h]: &[u8; 8]| {
                    make(
                        u32::from_le_bytes([a, b, c, d]),
                        u32::from_le_bytes([e, f, g, h]),
                    )
                })
                .collect(),
        )
    }

    /// The same for three numbers each.
    #[inline]
    pub(crate) fn triples<T>(&mut self, make: impl Fn(u32, u32, u32) -> T) -> Option<Vec<T>> {
        let chunks = self.chunks()?.iter();
        Some(
            chunks
                .map(|&[a, b, c, d, e, f, g, h, i, j, k, l]: &[u8; 12]| {
                    make(
                        u32::from_le_bytes([a, b, c, d]),
                        u32::from_le_bytes([e, f, g, h]),
                        u32::from_le_bytes([i, j, k, l]),
                    )
                })
                .collect(),
        )
    }

    /// Words that stay where they are.
    pub(crate) fn text(&mut self) -> Option<&'b str> {
        let length = self.length()?;
        std::str::from_utf8(self.bytes(length)?).ok()
    }
}

impl Pack for String {
    fn pack(&self, out: &mut Writer) {
        out.length(self.len());
        out.0.extend(self.as_bytes());
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        from.text().map(str::to_owned)
    }
}

impl Pack for bool {
    fn pack(&self, out: &mut Writer) {
        out.0.push(u8::from(*self));
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        Some(from.bytes(1)? != [0])
    }
}

impl Pack for f64 {
    fn pack(&self, out: &mut Writer) {
        out.0.extend(self.to_le_bytes());
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        Some(Self::from_le_bytes(from.bytes(8)?.try_into().ok()?))
    }
}

impl Pack for usize {
    fn pack(&self, out: &mut Writer) {
        out.length(*self);
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        from.length()
    }
}

impl<T: Pack> Pack for Option<T> {
    fn pack(&self, out: &mut Writer) {
        self.is_some().pack(out);
        if let Some(value) = self {
            value.pack(out);
        }
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        if bool::unpack(from)? {
            Some(Some(T::unpack(from)?))
        } else {
            Some(None)
        }
    }
}

impl<T: Pack> Pack for Vec<T> {
    fn pack(&self, out: &mut Writer) {
        out.length(self.len());
        for value in self {
            value.pack(out);
        }
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        let length = from.length()?;
        // No value takes less than a byte, so a wrong length reserves no more than there is.
        let mut values = Self::with_capacity(length.min(from.0.len()));
        for _ in 0..length {
            values.push(T::unpack(from)?);
        }
        Some(values)
    }
}

impl<A: Pack, B: Pack> Pack for (A, B) {
    fn pack(&self, out: &mut Writer) {
        self.0.pack(out);
        self.1.pack(out);
    }

    fn unpack(from: &mut Reader<'_>) -> Option<Self> {
        Some((A::unpack(from)?, B::unpack(from)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_come_back_and_cut_bytes_give_nothing() {
        type Value = (Vec<(String, Option<f64>)>, (Option<usize>, bool));
        let value: Value = (
            vec![("lead".to_owned(), Some(1.5)), (String::new(), None)],
            (Some(7), true),
        );
        let mut out = Writer::default();
        value.pack(&mut out);
        let bytes = out.0;
        let mut from = Reader(&bytes);
        assert_eq!(Value::unpack(&mut from), Some(value));
        assert!(from.0.is_empty());
        for end in 0..bytes.len() {
            assert_eq!(Value::unpack(&mut Reader(&bytes[..end])), None, "{end}");
        }
        assert_eq!(Vec::<bool>::unpack(&mut Reader(&[255; 4])), None);
    }

    #[test]
    fn numbers_come_back_alone_and_in_groups() {
        let mut out = Writer::default();
        out.numbers([1, 2, u32::MAX, 4].into_iter());
        let same = Reader(&out.0).numbers(|number| number);
        assert_eq!(same, Some(vec![1, 2, u32::MAX, 4]));
        let pairs = Reader(&out.0).pairs(|one, two| [one, two]);
        assert_eq!(pairs, Some(vec![[1, 2], [u32::MAX, 4]]));
        let mut out = Writer::default();
        out.numbers([1, 2, u32::MAX].into_iter());
        let triples = Reader(&out.0).triples(|one, two, three| [one, two, three]);
        assert_eq!(triples, Some(vec![[1, 2, u32::MAX]]));
    }
}
