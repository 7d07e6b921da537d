//! All integration tests, linked once.

mod claims;
mod hygiene;
mod labelled;
mod physics;
mod quantities;
