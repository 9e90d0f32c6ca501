//! How far a slow receiver's own speed is off by a factor, told from its positions.
//!
//! A receiver may write its speed a few per cent short, or lose some where it filters the vector and the player turns. The way of
//! its positions is no measure of that by itself: noise makes it longer, filters shorter. But how far the two disagree, with what
//! is known of either, leaves a distribution of the factor: its mean mends the way, and what it leaves open is part of the
//! interval, which so spans both accounts where they differ.
//!
//! ## Definition
//! The speed's way times (1 + u) is the true one, and the way of the positions is that of the speed times (1 + d), so that
//! p = d - u is what the positions are off by. A priori u is nothing to speak of, or anything from -1 to 6 %, or, of a speed that was
//! filtered as a vector, 1 to 12 %, and then the positions were cut as well. p is small as a rule, and now and then is not. The distribution of u
//! given d is summed over a grid.
//!
//! ## References
//! Bayes' rule. The shares were read off simulated receivers with and without such errors (`cargo bench --bench accuracy`); that
//! phones write walking speeds some 5 % short, and paths some 3 % long, was measured beside a wheel.

/// What remains likely of u: the true way is that of the speed times (1 + u).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Scale {
    /// Its mean.
    pub(super) mean: f64,
    /// The ends of its 95 % interval.
    pub(super) low: f64,
    pub(super) high: f64,
}

/// The grid of u.
const FROM: f64 = -0.03;
const STEP: f64 = 0.002_5;
const COUNT: usize = 73;
/// A speed that is right is so within this standard deviation.
const RIGHT_SD: f64 = 0.002;
/// Where it is not, u lies between these, all alike.
const WRONG: (f64, f64) = (-0.01, 0.06);
/// The same where the speed was filtered as a vector.
const VECTOR: (f64, f64) = (0.01, 0.12);
/// How likely the speed is wrong; and, where it may be filtered as a vector, wrong and filtered so.
const WRONG_SHARE: f64 = 0.18;
const VECTOR_SHARES: (f64, f64) = (0.25, 0.2);
/// What the positions are off by: the mean and the standard deviation, and those of the share that is off by more.
const USUAL: (f64, f64) = (0.002, 0.012);
const ASTRAY: (f64, f64, f64) = (0.0, 0.045, 0.12);
/// A filter that takes u from the speed as a vector leaves the positions this much longer, as a share of u, within so much.
const CUT_LESS: (f64, f64) = (0.35, 0.012);

impl Scale {
    /// What remains likely where the way of the positions is `agreement` times that of the speed; `vector` says whether the
    /// speed may have been filtered as one. Where there is nothing to compare, nothing is mended and all stays open.
    pub(super) fn told(agreement: Option<f64>, vector: bool) -> Self {
        let (wrong, as_vector) = if vector {
            VECTOR_SHARES
        } else {
            (WRONG_SHARE, 0.0)
        };
        let right_sum: f64 = (0..COUNT).map(|k| normal(at(k), RIGHT_SD)).sum();
        let weights: [f64; COUNT] = std::array::from_fn(|k| {
            let u = at(k);
            let right = (1.0 - wrong - as_vector) * normal(u, RIGHT_SD) / right_sum;
            let (usual, cut) = agreement.map_or((1.0, 1.0), |agreement| {
                let apart = agreement - 1.0;
                (
                    off_by(apart - u),
                    normal(apart - CUT_LESS.0 * u, CUT_LESS.1),
                )
            });
            (right + wrong * even(u, WRONG)) * usual + as_vector * even(u, VECTOR) * cut
        });
        let total: f64 = weights.iter().sum();
        if total <= f64::MIN_POSITIVE {
            // Two accounts that have nothing to do with each other.
            return Self::told(None, vector);
        }
        let mean = match agreement {
            Some(_) => (0..COUNT).map(|k| weights[k] * at(k)).sum::<f64>() / total,
            None => 0.0,
        };
        let quantile = |share: f64| {
            let mut sum = 0.0;
            let found = weights.iter().position(|weight| {
                sum += weight / total;
                sum >= share
            });
            at(found.unwrap_or(COUNT - 1))
        };
        Self {
            mean,
            low: quantile(0.025).min(mean),
            high: quantile(0.975).max(mean),
        }
    }

    /// How far the truth may lie below and above the way that was mended by the mean, as a share of it.
    pub(super) fn open(self) -> (f64, f64) {
        (self.mean - self.low, self.high - self.mean)
    }
}

/// A value of u on the grid.
fn at(k: usize) -> f64 {
    FROM + STEP * k as f64
}

/// A normal density, up to a factor.
fn normal(off: f64, sd: f64) -> f64 {
    (-0.5 * (off / sd) * (off / sd)).exp() / sd
}

/// How likely the positions are off by so much, up to the same factor.
fn off_by(p: f64) -> f64 {
    let (mean, sd, share) = ASTRAY;
    (1.0 - share) * normal(p - USUAL.0, USUAL.1) + share * normal(p - mean, sd)
}

/// The share of a step of the grid in an even distribution.
fn even(u: f64, (from, to): (f64, f64)) -> f64 {
    let within = (from - 1e-9..=to + 1e-9).contains(&u);
    if within {
        STEP / (to - from + STEP)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_accounts_that_agree_leave_the_speed_as_it_is() {
        let told = Scale::told(Some(1.0), false);
        assert!(told.mean.abs() < 0.002, "{told:?}");
        assert!(told.high - told.low < 0.03, "{told:?}");
    }

    #[test]
    fn a_speed_that_is_short_is_mended_in_part_and_the_interval_spans_both() {
        // As of receivers whose speed is 3 % short.
        let told = Scale::told(Some(1.034), false);
        assert!((0.01..0.034).contains(&told.mean), "{told:?}");
        assert!(told.low <= 0.0 && told.high >= 0.034, "{told:?}");
        // One whose positions were cut by a filter, as most that fall short.
        let told = Scale::told(Some(0.95), false);
        assert!(told.mean.abs() < 0.006, "{told:?}");
    }

    #[test]
    fn a_speed_that_may_be_filtered_as_a_vector_may_have_lost_more_than_the_positions_show() {
        let (plain, vector) = (
            Scale::told(Some(1.03), false),
            Scale::told(Some(1.03), true),
        );
        assert!(vector.mean > plain.mean && vector.high > 0.06, "{vector:?}");
    }

    #[test]
    fn without_positions_nothing_is_mended_and_all_stays_open() {
        let told = Scale::told(None, false);
        assert!(told.mean == 0.0 && told.high > 0.02, "{told:?}");
        assert!(Scale::told(None, true).high > 0.08);
    }

    #[test]
    fn whatever_is_written_gives_numbers_in_order() {
        for agreement in [0.0, 0.5, 0.9, 1.1, 1.5, 100.0] {
            for vector in [false, true] {
                let Scale { mean, low, high } = Scale::told(Some(agreement), vector);
                assert!(
                    low <= mean && mean <= high && mean.abs() < 0.2,
                    "{agreement}"
                );
            }
        }
    }
}
