//! Values as bytes and back, for what the build prepares: in the order in which they are written, without names, so that
//! reading is little more than copying. Words stand apart from all else, so that the compiler has seen that they are UTF-8,
//! and neither they nor long rows of numbers are copied: they stay where the program has them.

#![allow(dead_code, reason = "the build script writes, the program reads")]

use std::borrow::Cow;

/// Numbers of so many bytes each, the low byte first: made here, or where the build has left them.
pub(crate) type Row<const N: usize> = Cow<'static, [[u8; N]]>;

/// The number of 32 bits at a place.
#[inline]
pub(crate) fn number(row: &[[u8; 4]], at: usize) -> Option<u32> {
    row.get(at).map(|&bytes| u32::from_le_bytes(bytes))
}

/// What can be written as bytes and read back.
pub(crate) trait Pack: Sized {
    /// Appends the value.
    fn pack(&self, out: &mut Writer);

    /// Takes the value back; nothing when the bytes are not what [`Pack::pack`] wrote.
    fn unpack(from: &mut Reader) -> Option<Self>;
}

/// All fields of a type, in the order in which they are written.
macro_rules! packed {
    ($type:ident { $($field:ident),* $(,)? }) => {
        impl $crate::pack::Pack for $type {
            fn pack(&self, out: &mut Writer) {
                let Self { $($field),* } = self;
                $($field.pack(out);)*
            }

            fn unpack(from: &mut Reader) -> Option<Self> {
                Some(Self { $($field: $crate::pack::Pack::unpack(from)?),* })
            }
        }
    };
}
pub(crate) use packed;

/// Appends values.
#[derive(Debug, Default)]
pub(crate) struct Writer {
    /// All but the words.
    pub(crate) bytes: Vec<u8>,
    /// The words, one after the other.
    pub(crate) words: String,
}

impl Writer {
    /// A length; those that are written here fit into 32 bits.
    pub(crate) fn length(&mut self, length: usize) {
        let length = u32::try_from(length).unwrap_or(u32::MAX);
        self.bytes.extend(length.to_le_bytes());
    }

    fn text(&mut self, text: &str) {
        self.length(text.len());
        self.words.push_str(text);
    }
}

/// Takes them back in the same order.
#[derive(Debug)]
pub(crate) struct Reader {
    /// All but the words.
    pub(crate) bytes: &'static [u8],
    /// The words.
    pub(crate) words: &'static str,
}

impl Reader {
    fn bytes(&mut self, length: usize) -> Option<&'static [u8]> {
        let (taken, rest) = self.bytes.split_at_checked(length)?;
        self.bytes = rest;
        Some(taken)
    }

    /// A length.
    pub(crate) fn length(&mut self) -> Option<usize> {
        let bytes = self.bytes(4)?;
        Some(u32::from_le_bytes(bytes.try_into().ok()?) as usize)
    }

    /// Words that stay where they are.
    pub(crate) fn text(&mut self) -> Option<&'static str> {
        let length = self.length()?;
        let (taken, rest) = self.words.split_at_checked(length)?;
        self.words = rest;
        Some(taken)
    }
}

impl<const N: usize> Pack for Row<N> {
    fn pack(&self, out: &mut Writer) {
        out.length(self.len());
        out.bytes.extend(self.as_flattened());
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        let length = from.length()?.checked_mul(N)?;
        Some(Cow::Borrowed(from.bytes(length)?.as_chunks().0))
    }
}

impl Pack for Cow<'static, str> {
    fn pack(&self, out: &mut Writer) {
        out.text(self);
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        from.text().map(Cow::Borrowed)
    }
}

impl Pack for String {
    fn pack(&self, out: &mut Writer) {
        out.text(self);
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        from.text().map(str::to_owned)
    }
}

impl Pack for bool {
    fn pack(&self, out: &mut Writer) {
        out.bytes.push(u8::from(*self));
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        Some(from.bytes(1)? != [0])
    }
}

impl Pack for f64 {
    fn pack(&self, out: &mut Writer) {
        out.bytes.extend(self.to_le_bytes());
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        Some(Self::from_le_bytes(from.bytes(8)?.try_into().ok()?))
    }
}

impl Pack for usize {
    fn pack(&self, out: &mut Writer) {
        out.length(*self);
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
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

    fn unpack(from: &mut Reader) -> Option<Self> {
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

    fn unpack(from: &mut Reader) -> Option<Self> {
        let length = from.length()?;
        // No value takes less than a byte, so a wrong length reserves no more than there is.
        let mut values = Self::with_capacity(length.min(from.bytes.len()));
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

    fn unpack(from: &mut Reader) -> Option<Self> {
        Some((A::unpack(from)?, B::unpack(from)?))
    }
}

impl Pack for u32 {
    fn pack(&self, out: &mut Writer) {
        out.bytes.extend(self.to_le_bytes());
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        Some(Self::from_le_bytes(from.bytes(4)?.try_into().ok()?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(value: &impl Pack) -> Reader {
        let mut out = Writer::default();
        value.pack(&mut out);
        Reader {
            bytes: out.bytes.leak(),
            words: out.words.leak(),
        }
    }

    #[test]
    fn values_come_back_and_cut_bytes_give_nothing() {
        type Value = (
            Vec<(String, Option<f64>)>,
            ((Cow<'static, str>, Option<u32>), (Option<usize>, bool)),
        );
        let value: Value = (
            vec![("lead".to_owned(), Some(1.5)), (String::new(), None)],
            ((Cow::Borrowed("Ω"), Some(4)), (Some(7), true)),
        );
        let Reader { bytes, words } = written(&value);
        let mut from = Reader { bytes, words };
        assert_eq!(Value::unpack(&mut from), Some(value));
        assert!(from.bytes.is_empty() && from.words.is_empty());
        for end in 0..bytes.len() {
            let cut = &mut Reader {
                bytes: &bytes[..end],
                words,
            };
            assert_eq!(Value::unpack(cut), None, "{end}");
        }
        for end in 0..words.len() {
            let words = words.get(..end).unwrap_or("");
            assert_eq!(Value::unpack(&mut Reader { bytes, words }), None, "{end}");
        }
        let long = &mut Reader {
            bytes: &[255; 4],
            words: "",
        };
        assert_eq!(Vec::<bool>::unpack(long), None);
    }

    #[test]
    fn rows_come_back_without_a_copy() {
        let row: Row<8> = Cow::Owned(vec![[1; 8], [2, 0, 0, 0, 255, 255, 255, 255]]);
        let back = Row::<8>::unpack(&mut written(&row));
        assert_eq!(back.as_deref(), Some(&*row));
        assert!(matches!(back, Some(Cow::Borrowed(_))));
        let numbers: Row<4> = Cow::Owned(vec![7_u32.to_le_bytes(), u32::MAX.to_le_bytes()]);
        assert_eq!(number(&numbers, 0), Some(7));
        assert_eq!(number(&numbers, 1), Some(u32::MAX));
        assert_eq!(number(&numbers, 2), None);
        assert_eq!(Row::<8>::unpack(&mut written(&numbers)), None);
    }
}
