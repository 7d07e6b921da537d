//! All integration tests, linked once.

mod claims;
mod hygiene;
mod physics;
mod quantities;
