//! All integration tests, linked once.

mod claims;
mod command_line;
mod hygiene;
mod labelled;
mod nasty;
mod physics;
mod quantities;
