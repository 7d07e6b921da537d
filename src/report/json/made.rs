//! Parts of a report of which a dense document has a great many: each is worked out when it is written.

use super::{Cable, Fact, Quantity};
use crate::report::understood::{Group, Row};
use crate::report::view::{Measure, View};
use serde::{Serialize, Serializer};

/// The quantities of a document, each worked out when it is written.
pub struct Quantities<'a>(pub(super) &'a View<'a>);

impl std::fmt::Debug for Quantities<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{} quantities", self.0.quantity_count)
    }
}

impl Serialize for Quantities<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        struct One(Measure);
        impl Serialize for One {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                Quantity::from(&self.0).serialize(serializer)
            }
        }
        serializer.collect_seq(self.0.quantities().map(One))
    }
}

/// The cables of a document, each worked out when it is written.
pub struct Cables<'a>(pub(super) &'a View<'a>);

impl std::fmt::Debug for Cables<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{} cables", self.0.facts.cables.len())
    }
}

impl Serialize for Cables<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        struct One(Group);
        impl Serialize for One {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                Cable::from(&self.0).serialize(serializer)
            }
        }
        serializer.collect_seq(self.0.cables().map(One))
    }
}

/// The set-up of a document, each row worked out when it is written.
pub struct Setup<'a>(pub(super) &'a View<'a>);

impl std::fmt::Debug for Setup<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("the set-up")
    }
}

impl Serialize for Setup<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        struct One(Row);
        impl Serialize for One {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                Fact::from(&self.0).serialize(serializer)
            }
        }
        serializer.collect_seq(self.0.setup_rows().map(One))
    }
}
