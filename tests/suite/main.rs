//! All integration tests, linked once.

mod borders;
mod browser;
mod by_themselves;
mod checks;
mod claims;
mod command_line;
mod facts;
mod foreign_rules;
mod hostile;
mod hygiene;
mod labelled;
mod laid_out;
mod layout;
mod nasty;
mod note;
mod packages;
mod physics;
mod physics_commands;
mod physics_properties;
mod quantities;
mod readme;
mod records;
mod samples;
mod stood_behind;
mod told;
mod told_apart;
