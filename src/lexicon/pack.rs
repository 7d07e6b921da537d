//! A compiled lexicon as bytes and back, so that the built-in word lists need not be compiled at each start.

use super::{Lexicon, lists::Lists, words::Words};
use crate::pack::{Reader, Writer, packed};

packed!(Words {
    letters,
    entries,
    slots,
});

packed!(Lists {
    names,
    words,
    starts,
    order,
    of_starts,
    of,
});

packed!(Lexicon {
    names,
    words,
    stems,
    stem_lengths,
    number,
    roots,
    edge_starts,
    edges,
    by_symbol,
    many,
    end_starts,
    ends,
    lists,
});
