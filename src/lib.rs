//! claimgauge audits plain-text loudspeaker-cable literature: it reads spec sheets, comparison tests and articles,
//! recomputes the physics, and reports what does not hold beside what it could confirm.

pub mod checks;
pub mod claims;
pub mod cli;
pub mod facts;
pub mod finding;
pub mod input;
pub mod ledger;
pub mod lexicon;
pub mod physics;
pub mod report;
pub mod rulebook;
pub mod run;
pub mod sheet;
pub mod span;
pub mod units;
