//! Rule files as bytes and back, so that the built-in ones need not be parsed at each start.

use super::raw::{Alternative, Cell, File, Pairs, Rule, Source};
use crate::pack::{Pack, Reader, Writer, packed};

packed!(File {
    rules,
    concepts,
    lists,
    sources,
    tables,
});

packed!(Source {
    id,
    text,
    confirmed,
});

packed!(Rule {
    id,
    chapter,
    verdict,
    level,
    title,
    says,
    physics,
    fair,
    evidence,
    help,
    message,
    sources,
    thresholds,
    alternatives,
    unless,
    unless_near,
    unless_document,
    absent,
    yields_to,
    fires,
    quiet,
});

packed!(Alternative {
    all,
    sentences,
    ordered,
    brief,
    distance,
    unless,
    unless_near,
    unless_clause,
    unless_document,
    topic,
    regex,
});

impl<T: Pack> Pack for Pairs<T> {
    fn pack(&self, out: &mut Writer) {
        self.0.pack(out);
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        Vec::unpack(from).map(Self)
    }
}

impl Pack for Cell {
    fn pack(&self, out: &mut Writer) {
        match self {
            Self::Number(value) => (0_usize, *value).pack(out),
            Self::Text(text) => {
                out.length(1);
                text.pack(out);
            }
            Self::List(list) => {
                out.length(2);
                list.pack(out);
            }
        }
    }

    fn unpack(from: &mut Reader) -> Option<Self> {
        Some(match from.length()? {
            0 => Self::Number(f64::unpack(from)?),
            1 => Self::Text(Pack::unpack(from)?),
            2 => Self::List(Vec::unpack(from)?),
            _ => return None,
        })
    }
}
