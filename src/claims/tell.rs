//! A claim as a finding: its level, and what is said of it.

use super::{Claim, Engine, SHORT, silent};
use crate::finding::{Finding, Level, Mark, Stance, Verdict};
use crate::rulebook::{Chapter, Rule};
use crate::sheet::Sheet;

impl Engine<'_> {
    /// Findings for the claims that are asserted or endorsed, and notes for those that are reported.
    #[must_use]
    pub fn findings(&self, sheet: &Sheet, claims: &[Claim]) -> Vec<Finding> {
        let safety = |claim: &Claim| {
            let rule = self.book.rule(&claim.rule);
            rule.is_some_and(|rule| rule.chapter == Chapter::Safety)
        };
        let doubting = denies_more_than_it_claims(claims.iter());
        // Who takes apart what is said of sound warns of no fire.
        let careful = denies_more_than_it_claims(claims.iter().filter(|claim| safety(claim)));
        claims
            .iter()
            .filter(|claim| !silent(claim.stance))
            .filter_map(|claim| {
                let rule = self.book.rule(&claim.rule)?;
                if is_chance(rule, claim, sheet) {
                    return None;
                }
                let doubting = if safety(claim) { careful } else { doubting };
                Some(finding(rule, claim, sheet, doubting))
            })
            .collect()
    }
}

/// Whether a document takes more claims apart than it makes: what it then seems to claim is, as a rule, a step of its own
/// argument, and a reader should look before anybody is told. One that denies nothing, and whose words are only left out for what
/// they do not say, takes none apart.
pub(super) fn denies_more_than_it_claims<'c>(
    claims: impl Iterator<Item = &'c Claim> + Clone,
) -> bool {
    let count = |wanted: &[Stance]| {
        claims
            .clone()
            .filter(|claim| wanted.contains(&claim.stance))
            .count()
    };
    let denies = |claim: &Claim| claim.stance == Stance::Denied && !claim.left;
    claims.clone().any(denies)
        && count(&[Stance::Denied]) > count(&[Stance::Asserted, Stance::Endorsed])
}

/// A rule with at least so many ways to say its claim meets a real one in more than one of them, even in a few sentences.
const MANY_WAYS: usize = 4;
/// So many ways a document of some length says what it means in; words of other matters meet by chance in one or two.
pub(super) const ENOUGH_WAYS: usize = 3;
/// The figure of a rule that says how much the words of its claim must weigh.
const WEIGHT: &str = "weight";
/// The same in a few sentences, where there is little room for words; a rule that has none asks for no weight there.
const SHORT_WEIGHT: &str = "weight_short";

/// Whether a claim rests on so little that a reader should look before anybody is told: it is said in one way of many, or, in a
/// document of some length, in words that weigh less than its rule asks for.
#[must_use]
pub fn is_faint(rule: &Rule, claim: &Claim, sheet: &Sheet) -> bool {
    if let Some(stands) = claim.stands {
        return !stands;
    }
    let short = sheet.sentences.len() < SHORT;
    let once = match rule.verdict {
        Verdict::NoBasis => claim.wordings < 2,
        Verdict::Unstated => claim.wordings < 2 && !short,
        _ => false,
    };
    let light = if short {
        weighs(claim.weight) < rule.threshold(SHORT_WEIGHT)
    } else {
        !weighs_enough(rule, claim.weight)
    };
    !claim.one_more && (once && rule.alternatives.len() >= MANY_WAYS || light)
}

/// Words that weigh by so much less than a rule asks for, in one way of many, meet by chance.
const CHANCE: f64 = 4.0;

/// Whether a claim of a document of some length is told in one way of many, and in words so light that nobody is helped by a note.
pub(super) fn is_chance(rule: &Rule, claim: &Claim, sheet: &Sheet) -> bool {
    rule.verdict == Verdict::NoBasis
        && claim.stands != Some(true)
        && claim.wordings < 2
        && rule.alternatives.len() >= MANY_WAYS
        && sheet.sentences.len() >= SHORT
        && weighs(claim.weight) + CHANCE <= rule.threshold(WEIGHT)
}

/// Whether words of that weight are as many as the rule asks for in a document of some length; a rule may ask for none.
pub(super) fn weighs_enough(rule: &Rule, weight: usize) -> bool {
    rule.threshold(WEIGHT).is_nan() || carries(rule, weight)
}

/// Whether the rule asks for a weight, and words of that weight are as many.
pub(super) fn carries(rule: &Rule, weight: usize) -> bool {
    weighs(weight) >= rule.threshold(WEIGHT)
}

/// A weight as thresholds are given.
fn weighs(weight: usize) -> f64 {
    f64::from(u32::try_from(weight).unwrap_or(u32::MAX))
}

/// Whether words and cues alone tell that a claim is made, so well that somebody is told.
pub(super) fn is_loud(rule: &Rule, claim: &Claim, sheet: &Sheet, doubting: bool) -> bool {
    matches!(claim.stance, Stance::Asserted | Stance::Endorsed)
        && !doubting
        && !claim.doubted
        && !is_faint(rule, claim, sheet)
        && !is_chance(rule, claim, sheet)
}

pub(super) fn finding(rule: &Rule, claim: &Claim, sheet: &Sheet, doubting: bool) -> Finding {
    let faint = is_faint(rule, claim, sheet);
    let stands = claim.stands == Some(true);
    let (doubting, doubted) = (doubting && !stands, claim.doubted && !stands);
    let level = if claim.stance == Stance::Reported && rule.chapter != Chapter::Safety {
        Level::Note
    } else if claim.stance == Stance::Reported || faint || doubting || doubted {
        rule.level.min(Level::Note)
    } else {
        rule.level
    };
    let quote = quotation(claim, sheet);
    let said = match claim.stance {
        Stance::Reported => "Reported here as somebody else's words. ",
        _ if claim.stands == Some(false) => {
            "The words around it leave open whether the document stands behind it, so read the passage first. "
        }
        _ if faint => "Heard in few words of its own, so read the passage first. ",
        _ if doubted => "The document denies such a claim elsewhere, so read the passage first. ",
        _ if doubting => {
            "The document denies more such claims than it makes, so read the passage first. "
        }
        _ => "",
    };
    let template = if rule.message.is_empty() {
        format!("“{{quote}}”: {}", rule.says)
    } else {
        rule.message.to_string()
    };
    let mut marks = vec![Mark {
        span: claim.span,
        label: rule.title.to_string(),
    }];
    marks.extend(
        claim
            .marks
            .iter()
            .filter(|(span, _)| !claim.span.contains(*span))
            .map(|(span, label)| Mark {
                span: *span,
                label: label.clone(),
            }),
    );
    let mut help = rule.help.to_string();
    if !rule.fair.is_empty() {
        help.push_str(" A fair statement nearby: ");
        help.push_str(&rule.fair);
    }
    if !rule.evidence.is_empty() {
        help.push_str(" What would change the verdict: ");
        help.push_str(&rule.evidence);
    }
    Finding {
        rule: rule.id.clone(),
        verdict: rule.verdict,
        level: Some(level),
        stance: claim.stance,
        message: format!("{said}{}", template.replace("{quote}", &quote)),
        help,
        marks,
        working: Vec::new(),
        sources: rule.sources.clone(),
    }
}

/// Longest quotation in a message, in characters.
const QUOTE_LIMIT: usize = 160;
/// So many characters of its first and its last sentence are quoted with a claim, so that it is not cut within a thought.
const ROUND_LIMIT: usize = 90;

/// The words of a claim with what completes its sentences, in the limits; what is cut is marked.
fn quotation(claim: &Claim, sheet: &Sheet) -> String {
    let text = sheet.flow.text();
    let tidy = |from: usize, to: usize| {
        let words: Vec<&str> = text
            .get(from..to)
            .unwrap_or("")
            .split_whitespace()
            .collect();
        words.join(" ")
    };
    let length = |words: &str| words.chars().count();
    let (start, end) = (claim.span.start(), claim.span.end());
    let around = |at: usize| {
        let after = sheet.sentences.partition_point(|one| one.span.end() < at);
        sheet.sentences.get(after).map(|one| one.span)
    };
    let before = around(start).map_or(String::new(), |first| tidy(first.start(), start));
    let behind = around(end).map_or(String::new(), |last| tidy(end, last.end()));
    let mut quote = tidy(start, end);
    if length(&quote) > QUOTE_LIMIT {
        quote = quote.chars().take(QUOTE_LIMIT).collect();
        if let Some(at) = quote.rfind(' ') {
            quote.truncate(at);
        }
        quote.push('…');
    } else if !behind.is_empty() && !is_end(&behind) {
        if length(&behind) > ROUND_LIMIT {
            quote.push('…');
        } else {
            let blank = text[end..].starts_with(char::is_whitespace);
            quote.push_str(if blank { " " } else { "" });
            quote.push_str(behind.trim_end_matches(is_stop));
        }
    }
    if before.is_empty() || length(&before) > ROUND_LIMIT {
        return format!("{}{quote}", if before.is_empty() { "" } else { "…" });
    }
    let blank = text[..start].ends_with(char::is_whitespace);
    format!("{before}{}{quote}", if blank { " " } else { "" })
}

/// Whether words hold nothing but the signs that end a sentence.
fn is_end(words: &str) -> bool {
    words.chars().all(is_stop)
}

/// Whether a sign ends a sentence, or what is said in it.
fn is_stop(sign: char) -> bool {
    matches!(sign, '.' | '"' | '”' | '’' | '\'' | ')' | ']') || sign.is_whitespace()
}

#[cfg(test)]
impl Claim {
    /// A claim of one sentence in two wordings, for tests.
    pub(crate) fn of(rule: &str, stance: Stance, span: crate::span::Span) -> Self {
        Self {
            rule: rule.to_owned(),
            stance,
            span,
            sentences: vec![0],
            marks: Vec::new(),
            wordings: 2,
            doubted: false,
            weight: 9,
            one_more: false,
            left: false,
            stands: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::denies_more_than_it_claims;
    use crate::claims::Claim;
    use crate::finding::Stance;
    use crate::span::Span;

    fn claim(stance: Stance, left: bool) -> Claim {
        Claim {
            left,
            ..Claim::of("run-in", stance, Span::default())
        }
    }

    #[test]
    fn what_is_only_left_out_denies_nothing() {
        let left = claim(Stance::Denied, true);
        let denied = claim(Stance::Denied, false);
        let made = claim(Stance::Asserted, false);
        let doubts = |claims: &[&Claim]| denies_more_than_it_claims(claims.iter().copied());
        assert!(!doubts(&[&left, &left, &made]));
        assert!(doubts(&[&left, &denied, &made]));
        assert!(doubts(&[&denied, &denied, &made]));
        assert!(!doubts(&[&denied, &made]));
    }
}
