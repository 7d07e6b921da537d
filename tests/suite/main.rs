//! All integration tests, linked once.

mod hygiene;
