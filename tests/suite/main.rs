//! All integration tests, linked once.

mod claims;
mod hygiene;
mod plain;
mod quantities;
mod physics;
mod plain;
