//! Lines that a label begins: `Specimen A` over what is told of it, `Sample A - Calder` above `Sample B - Dunmore`. Knows the nouns that
//! letters and numbers label.

use super::Reader;
use super::lines::{BAR, LEADER, Line};
use crate::sheet::words::WORDS;

/// Nouns of the list that label nothing by themselves.
const NONE: &[&str] = &["than", "over", "letter"];

/// The noun and the label with which a line begins, and what stands behind them.
fn labelled(words: &str) -> Option<(&str, &str, &str)> {
    const LONGEST: usize = 12;
    let (noun, rest) = words.split_once(' ')?;
    let fits = noun.len() <= LONGEST && noun.starts_with(char::is_uppercase);
    let lower = fits.then(|| noun.to_lowercase())?;
    if !WORDS.letter_labelled.has(&lower) || NONE.contains(&lower.as_str()) {
        return None;
    }
    let end = rest.find(|sign: char| !sign.is_alphanumeric());
    let (label, behind) = rest.split_at_checked(end.unwrap_or(rest.len()))?;
    let letter = label.len() == 1 && label.starts_with(|sign: char| sign.is_ascii_uppercase());
    let number = label.len() <= 2 && label.bytes().all(|sign| sign.is_ascii_digit());
    let roman = label.len() <= 4 && label.bytes().all(|sign| b"IVX".contains(&sign));
    // "Sample 2.5", "Lead 12 AWG"
    let whole = !behind
        .trim_start_matches('.')
        .starts_with(char::is_alphanumeric);
    (!label.is_empty() && (letter || number || roman) && whole).then_some((noun, label, behind))
}

/// What parts a label from the name behind it.
fn sign_of(behind: &str) -> Option<char> {
    let behind = behind.trim_start();
    let sign = behind.chars().next()?;
    matches!(sign, ',' | ':' | '.' | '=' | '-' | '–' | '—').then_some(sign)
}

impl Reader<'_> {
    /// The title that line `at` is, where that is a label with lines below it that tell of what it labels. One that does not begin
    /// its chunk has another one above it.
    pub(super) fn label_title(&self, at: usize, first: bool, end: usize) -> Option<Line> {
        const WORDS_BEHIND: usize = 4;
        const ABOVE: usize = 40;
        let line = self.line(at).filter(|_| at + 1 < end)?;
        let words = line.of(self.text);
        let (noun, _, behind) = labelled(words).filter(|_| !line.has(BAR | LEADER))?;
        let plain = !behind.contains(|sign: char| sign.is_ascii_digit());
        let rest = behind.trim();
        let told = match sign_of(rest) {
            None => rest.is_empty() || rest.starts_with('(') && rest.ends_with(')'),
            Some(':') => rest.len() == 1,
            Some('=') => false,
            Some(_) => rest.split_whitespace().count() <= WORDS_BEHIND && !rest.ends_with(','),
        };
        let kin = |other: usize| labelled(self.words(other)).is_some_and(|own| own.0 == noun);
        if !told || !plain || kin(at + 1) {
            return None;
        }
        let again = || {
            (at.saturating_sub(ABOVE)..at)
                .rev()
                .take_while(|&above| self.line(above + 1).is_some_and(|line| line.blank == 0))
                .any(kin)
        };
        let until = line.start() + words.trim_end_matches([':', ' ']).len();
        (first || again())
            .then(|| line.part(self.text, line.start()..until, usize::from(line.indent)))
    }

    /// Whether two lines begin with labels of one kind and go on behind the same sign: each is a line of its own.
    pub(super) fn labelled_alike(&self, one: usize, other: usize) -> bool {
        let (Some(first), Some(second)) = (labelled(self.words(one)), labelled(self.words(other)))
        else {
            return false;
        };
        let sign = sign_of(first.2);
        first.0 == second.0 && first.1 != second.1 && sign.is_some() && sign == sign_of(second.2)
    }
}
