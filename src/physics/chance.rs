//! How often guessing alone reaches a score.

use statrs::function::beta::checked_beta_reg;

/// Probability that guessing gives `correct` or more right answers in `trials`, each with `chance`: the exact upper tail of the
/// binomial distribution, one-sided.
///
/// P(X ≥ k) = I_p(k, n − k + 1), the regularised incomplete beta function (NIST DLMF 8.17.5). 1 for no right answer, 0 for more
/// than there were trials. `None` when `chance` is not above 0 and below 1.
///
/// ```
/// use claimgauge::physics::chance;
/// // Three of three in a test of two: one chance in eight, by counting.
/// let lucky = chance::tail(3, 3, 0.5).expect("a chance between 0 and 1");
/// assert!((lucky - 0.125).abs() < 1.0e-12);
/// assert_eq!(chance::tail(3, 3, 1.0), None);
/// ```
#[must_use]
pub fn tail(correct: u32, trials: u32, chance: f64) -> Option<f64> {
    if !(chance > 0.0 && chance < 1.0) {
        return None;
    }
    if correct == 0 {
        return Some(1.0);
    }
    if correct > trials {
        return Some(0.0);
    }
    checked_beta_reg(
        f64::from(correct),
        f64::from(trials - correct) + 1.0,
        chance,
    )
    .ok()
}

/// The lowest score that guessing reaches with probability `level` or less; `None` when not even a full score does, or as in [`tail`].
#[must_use]
pub fn least_score(trials: u32, chance: f64, level: f64) -> Option<u32> {
    // The tail falls as the score rises: find the border by halving.
    let (mut low, mut high) = (0, trials);
    if tail(trials, trials, chance)? > level {
        return None;
    }
    while low < high {
        let middle = u32::midpoint(low, high);
        if tail(middle, trials, chance)? <= level {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Some(low)
}

/// Probability that at least one of `listeners` guessing listeners does what one does with probability `single`.
#[must_use]
pub fn best_of(listeners: u32, single: f64) -> f64 {
    -(f64::from(listeners) * (-single).ln_1p()).exp_m1()
}
