//! A list that most often holds one thing or none: of those a dense document has one for each of its sentences.

use std::ops::Deref;

/// Things in their order, a single one without room of its own.
#[derive(Debug, Clone)]
pub(super) enum Few<T> {
    /// One.
    One(T),
    /// Any other number.
    Any(Vec<T>),
}

impl<T> Deref for Few<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        match self {
            Self::One(one) => std::slice::from_ref(one),
            Self::Any(any) => any,
        }
    }
}

impl<'f, T> IntoIterator for &'f Few<T> {
    type Item = &'f T;
    type IntoIter = std::slice::Iter<'f, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<T> From<Vec<T>> for Few<T> {
    fn from(mut list: Vec<T>) -> Self {
        match list.pop() {
            Some(one) if list.is_empty() => Self::One(one),
            last => {
                list.extend(last);
                Self::Any(list)
            }
        }
    }
}

impl<T> Few<T> {
    /// Adds a thing at the end.
    pub(super) fn push(&mut self, next: T) {
        let mut list = match std::mem::replace(self, Self::Any(Vec::new())) {
            Self::One(one) => vec![one],
            Self::Any(any) => any,
        };
        list.push(next);
        *self = Self::from(list);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_keep_their_order_however_many_there_are() {
        let mut few = Few::from(Vec::new());
        for count in 0..5 {
            assert_eq!(few[..], (0..count).collect::<Vec<_>>()[..]);
            few.push(count);
        }
        assert!(matches!(Few::from(vec![1]), Few::One(1)));
        assert_eq!(Few::from(vec![1, 2, 3])[..], [1, 2, 3]);
    }
}
