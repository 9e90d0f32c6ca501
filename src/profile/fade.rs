//! Whether the reps of a set became slower.

use crate::measured::{Measured, Z95};
use crate::plan::Category;
use crate::review::{PlanReview, SetReview};

/// How the peak speeds of one set changed from rep to rep; the percentage decrement stands beside it in the review.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fade {
    /// Block, from 1.
    pub block: usize,
    /// Set, from 1.
    pub set: usize,
    /// Like-for-like reps that it rests on.
    pub reps: usize,
    /// Change of peak speed a rep, m/s.
    pub slope_m_s: Measured,
}

impl Fade {
    /// Whether the interval of the slope lies to one side of 0.
    #[must_use]
    pub(crate) fn is_clear(&self) -> bool {
        !self.slope_m_s.holds(0.0)
    }

    /// What can be said of the set.
    #[must_use]
    pub fn in_words(&self) -> &'static str {
        if self.slope_m_s.high < 0.0 {
            "slower from rep to rep"
        } else if self.slope_m_s.low > 0.0 {
            "faster from rep to rep"
        } else {
            "no clear fade"
        }
    }
}

/// Fewest reps with a slope; two always lie on a line.
const LEAST_REPS: usize = 3;

/// The sets of runs whose reps were run in full. The peak of a game, or of work with the ball or to warm up, is whatever its
/// run of the day was; that it is lower next time is no fading.
pub(super) fn of(review: &PlanReview) -> Vec<Fade> {
    let sets = review
        .blocks
        .iter()
        .filter(|b| {
            use Category::{Resistance, Speed, Strength};
            matches!(b.category, Speed | Resistance | Strength)
        })
        .flat_map(|b| b.sets.iter().map(|s| (b.index, s)));
    sets.filter_map(|(block, set)| {
        let peaks = like_for_like(set);
        Some(Fade {
            block,
            set: set.index,
            reps: peaks.len(),
            slope_m_s: slope(&peaks)?,
        })
    })
    .collect()
}

/// Number and peak speed of each rep run in full, as the decrement takes them.
fn like_for_like(set: &SetReview) -> Vec<(f64, Measured)> {
    set.reps
        .iter()
        .filter(|r| r.verdict.is_in_full())
        .filter_map(|r| r.peak_speed_m_s.map(|peak| (r.index as f64, peak)))
        .collect()
}

/// Slope of values over numbers, such as reps or days, by weighted least squares; `None` below three.
///
/// # Definition
/// Weights are one over the squared standard deviations that the intervals stand for. The half-width is the larger of what
/// the receiver leaves open, `1.96 / sqrt(Sxx)`, and of what the values' own scatter about the line does, Student's t for
/// n - 2 times the standard error.
///
/// # Units
/// Those of the values, for each 1 of the numbers.
///
/// # References
/// Weighted least squares: any textbook. Student's t: Student (1908), Biometrika 6:1.
pub(crate) fn slope(values: &[(f64, Measured)]) -> Option<Measured> {
    const LEAST_SD: f64 = 1e-6;
    if values.len() < LEAST_REPS {
        return None;
    }
    let weighted: Vec<(f64, f64, f64)> = values
        .iter()
        .map(|(x, y)| {
            (
                *x,
                y.value,
                (y.width() / (2.0 * Z95)).max(LEAST_SD).powi(-2),
            )
        })
        .collect();
    let total: f64 = weighted.iter().map(|(_, _, w)| w).sum();
    let mean_x = weighted.iter().map(|(x, _, w)| w * x).sum::<f64>() / total;
    let mean_y = weighted.iter().map(|(_, y, w)| w * y).sum::<f64>() / total;
    let sxx: f64 = weighted
        .iter()
        .map(|(x, _, w)| w * (x - mean_x).powi(2))
        .sum();
    let sxy: f64 = weighted
        .iter()
        .map(|(x, y, w)| w * (x - mean_x) * (y - mean_y))
        .sum();
    let slope = sxy / sxx;
    let freedom = values.len() - 2;
    let left: f64 = weighted
        .iter()
        .map(|(x, y, w)| w * (y - mean_y - slope * (x - mean_x)).powi(2))
        .sum();
    let by_receiver = Z95 / sxx.sqrt();
    let by_scatter = t95(freedom) * (left / freedom as f64 / sxx).sqrt();
    let half = by_receiver.max(by_scatter);
    (slope.is_finite() && half.is_finite())
        .then(|| Measured::within(slope, slope - half, slope + half))
}

/// The two-sided 95 % point of Student's t.
///
/// # References
/// Fisher and Yates, Statistical Tables; from 11 on the first terms of the expansion about the normal distribution
/// (Abramowitz and Stegun, 26.7.5), right to 0.001.
fn t95(freedom: usize) -> f64 {
    const TABLE: [f64; 10] = [
        12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
    ];
    if let Some(&t) = freedom.checked_sub(1).and_then(|k| TABLE.get(k)) {
        return t;
    }
    let n = freedom.max(1) as f64;
    let z = Z95;
    let first = (z.powi(3) + z) / 4.0;
    let second = (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0;
    let third = (3.0 * z.powi(7) + 19.0 * z.powi(5) + 17.0 * z.powi(3) - 15.0 * z) / 384.0;
    z + first / n + second / n.powi(2) + third / n.powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn speeds(values: &[f64], sd: f64) -> Vec<(f64, Measured)> {
        (1..)
            .map(f64::from)
            .zip(values.iter().map(|&v| Measured::normal(v, sd)))
            .collect()
    }

    /// Six speeds by hand: mean 8.0833, Sxy = -2.15, Sxx = 17.5, slope -0.122857; what is left 0.024190 makes a standard
    /// error of sqrt(0.024190 / 4 / 17.5) = 0.018590, times 2.776.
    #[test]
    fn six_speeds_by_hand() {
        let values = [8.4, 8.3, 8.1, 8.0, 7.9, 7.8];
        let found = slope(&speeds(&values, 0.001)).expect("six");
        let mean = values.iter().sum::<f64>() / 6.0;
        let line = (1..)
            .map(f64::from)
            .zip(values)
            .map(|(x, y)| (x - 3.5) * (y - mean))
            .sum::<f64>()
            / 17.5;
        let left: f64 = (1..)
            .map(f64::from)
            .zip(values)
            .map(|(x, y)| (y - mean - line * (x - 3.5)).powi(2))
            .sum();
        assert!((line + 0.122_857).abs() < 1e-6);
        assert!((found.value - line).abs() < 1e-9);
        assert!((found.high - found.value - 2.776 * (left / 4.0 / 17.5).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn a_poor_receiver_leaves_the_fade_unclear() {
        let fade = |sd: f64| Fade {
            block: 1,
            set: 1,
            reps: 6,
            slope_m_s: slope(&speeds(&[8.4, 8.3, 8.1, 8.0, 7.9, 7.8], sd)).expect("six"),
        };
        assert_eq!(fade(0.05).in_words(), "slower from rep to rep");
        assert_eq!(fade(0.4).in_words(), "no clear fade");
    }

    #[test]
    fn two_reps_have_no_slope() {
        assert_eq!(slope(&speeds(&[8.0, 7.0], 0.1)), None);
    }

    /// Student's t: Fisher and Yates, Statistical Tables: 2.201 for 11, 2.086 for 20, 2.000 for 60.
    #[test]
    fn students_t() {
        for (freedom, t) in [(11, 2.201), (20, 2.086), (60, 2.000)] {
            assert!((t95(freedom) - t).abs() < 0.001, "{}", t95(freedom));
        }
    }
}
