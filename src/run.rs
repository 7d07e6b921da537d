//! The way of a document from its text to what is found in it. The one place that knows all steps.

use crate::checks;
use crate::claims::{Claim, Engine};
use crate::facts::{self, Facts};
use crate::finding::{self, Finding, Verdict};
use crate::input::Source;
use crate::lexicon::Hits;
use crate::rulebook::Rulebook;
use crate::sheet::{self, Sheet};
use std::time::{Duration, Instant};

/// Bounds of one audit; reaching one is said in [`Audit::remarks`].
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Most findings kept of one document, confirmations counted apart.
    pub findings: usize,
    /// Time after which the remaining steps of a document are left out.
    pub time: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            findings: 1000,
            time: Duration::from_secs(120),
        }
    }
}

/// All that came out of one document.
#[derive(Debug, Default)]
pub struct Audit {
    /// Layout and quantities.
    pub sheet: Sheet,
    /// Cables, set-up, comparisons.
    pub facts: Facts,
    /// Claims with their stance.
    pub claims: Vec<Claim>,
    /// What does not hold.
    pub findings: Vec<Finding>,
    /// What was recomputed and agrees.
    pub confirmed: Vec<Finding>,
    /// Limits that were reached and what was left out for them.
    pub remarks: Vec<String>,
}

/// Audits documents with one rulebook. What can be prepared from it is prepared once.
pub struct Auditor<'b> {
    rulebook: &'b Rulebook,
    claims: Engine<'b>,
    limits: Limits,
}

impl<'b> Auditor<'b> {
    /// Prepares audits.
    #[must_use]
    pub fn new(rulebook: &'b Rulebook, limits: Limits) -> Self {
        Self {
            rulebook,
            claims: Engine::new(rulebook),
            limits,
        }
    }

    /// The rules that it audits with.
    #[must_use]
    pub fn rulebook(&self) -> &'b Rulebook {
        self.rulebook
    }

    /// Audits one document.
    ///
    /// ```
    /// use claimgauge::{input::Source, rulebook::Rulebook, run::{Auditor, Limits}};
    /// let rules = Rulebook::builtin();
    /// let auditor = Auditor::new(&rules, Limits::default());
    /// let source = Source::decode("card.txt", b"Conductor: 14 AWG copper, 8.3 mohm/m")?;
    /// let audit = auditor.audit(&source);
    /// assert!(audit.findings.is_empty() && audit.confirmed.len() == 1);
    /// # Ok::<(), claimgauge::input::Refusal>(())
    /// ```
    #[must_use]
    pub fn audit(&self, source: &Source) -> Audit {
        let start = Instant::now();
        let mut audit = Audit {
            sheet: sheet::read(source.text()),
            ..Audit::default()
        };
        let late = || start.elapsed() > self.limits.time;
        if late() {
            audit.out_of_time(&self.limits, "cables, claims and checks");
            return audit;
        }
        if audit.sheet.limited {
            audit.remarks.push(format!(
                "the document has more blocks than the limit of {}; its end is read as one paragraph",
                sheet::MOST_BLOCKS
            ));
        }
        if audit.sheet.cut {
            audit.remarks.push(format!(
                "a table has more cells than the limit of {}; what follows is read as a table of its own",
                sheet::MOST_CELLS
            ));
        }
        if audit.sheet.full {
            audit.remarks.push(format!(
                "the document has more quantities than the limit of {}; those behind are not read",
                sheet::MOST_QUANTITIES
            ));
        }
        let sheet = &audit.sheet;
        let lexicon = self.rulebook.lexicon();
        let sentences = sheet.sentences.iter().map(|sentence| sentence.span);
        let asked = facts::asked(lexicon);
        let hits = Hits::read_asked(lexicon, sheet.flow.text(), sentences, &asked);
        audit.facts = facts::read(sheet, lexicon, &hits);
        audit.remarks.append(&mut audit.facts.limited);
        if late() {
            audit.out_of_time(&self.limits, "claims and checks");
            return audit;
        }
        let names = || audit.facts.names(sheet);
        let heard = self.claims.hear(sheet, &hits, audit.facts.kind, names);
        audit.claims = heard.claims;
        if late() {
            audit.out_of_time(&self.limits, "checks");
            return audit;
        }
        drop(hits);
        let (reached, known) = (checks::Reached::default(), checks::Known::default());
        let context = checks::Context {
            text: audit.sheet.flow.text(),
            sheet: &audit.sheet,
            facts: &audit.facts,
            claims: &audit.claims,
            rebutted: &heard.rebutted,
            rulebook: self.rulebook,
            reached: &reached,
            known: &known,
        };
        // Claims that a check judges by the numbers make no finding by their words alone.
        let worded: Vec<Claim> = audit
            .claims
            .iter()
            .filter(|claim| !checks::JUDGED.contains(&claim.rule.as_str()))
            .filter(|claim| !checks::answered(&context, claim))
            .cloned()
            .collect();
        let (said, left_out) = checks::run_all(&context, self.limits.findings);
        audit.findings = self.claims.findings(&audit.sheet, &worded);
        checks::show_arrival(&context, &mut audit.findings);
        audit.remarks.extend(reached.lines());
        for finding in said {
            if finding.verdict == Verdict::Confirmed {
                audit.confirmed.push(finding);
            } else {
                audit.findings.push(finding);
            }
        }
        audit.keep_of(self.limits.findings, left_out);
        audit
    }
}

impl Audit {
    fn out_of_time(&mut self, limits: &Limits, left_out: &str) {
        self.remarks.push(format!(
            "reading took longer than the limit of {} s; {left_out} are left out",
            limits.time.as_secs()
        ));
    }

    /// Puts findings in the order of the document and keeps at most `most` of them, the weightiest first to stay.
    pub fn keep(&mut self, most: usize) {
        self.keep_of(most, 0);
    }

    /// As [`Self::keep`], when `confirmed_before` confirmations are already left out.
    fn keep_of(&mut self, most: usize, confirmed_before: usize) {
        for (list, what, before) in [
            (&mut self.findings, "findings", 0),
            (&mut self.confirmed, "confirmations", confirmed_before),
        ] {
            let left_out = before + finding::keep(list, most);
            if left_out > 0 {
                self.remarks.push(format!(
                    "{} {what}, more than the limit of {most}; the lightest and last {left_out} are left out",
                    list.len() + left_out,
                ));
            }
        }
    }
}
