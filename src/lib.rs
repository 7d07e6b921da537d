//! claimgauge audits plain-text loudspeaker-cable literature: it reads spec sheets, comparison tests and articles,
//! recomputes the physics, and reports what does not hold beside what it could confirm.
//!
//! A text is audited in five lines:
//!
//! ```
//! use claimgauge::{input::Source, rulebook::Rulebook, run::{Auditor, Limits}};
//!
//! let rules = Rulebook::builtin();
//! let source = Source::decode("sheet.txt", "Conductor: 14 AWG copper\nCross-section: 6 mm² per conductor\n".as_bytes())?;
//! let audit = Auditor::new(&rules, Limits::default()).audit(&source);
//! for finding in &audit.findings {
//!     println!("{}: {}", finding.rule, finding.message);
//! }
//! assert_eq!(audit.findings[0].rule, "gauge-area-mismatch");
//! # Ok::<(), claimgauge::input::Refusal>(())
//! ```
//!
//! The modules stand in the order of the way of a document: [`input`], [`sheet`], [`lexicon`], [`facts`], [`claims`] and
//! [`checks`] (with [`physics`] and [`rulebook`]), [`report`]; [`run`] is the one place that knows all of them. Any of them
//! can be used by itself; [`physics`] knows nothing of documents at all.

pub mod checks;
pub mod claims;
pub mod cli;
pub mod facts;
pub mod finding;
pub mod gauge;
pub mod input;
pub mod ledger;
pub mod lexicon;
mod pack;
pub mod physics;
pub mod report;
pub mod rulebook;
pub mod run;
pub mod sheet;
pub mod span;
pub mod units;
