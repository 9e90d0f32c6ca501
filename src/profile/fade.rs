//! Whether the reps of a set became slower.

use crate::measured::Measured;
use crate::plan::Category;
use crate::profile::slope;
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

#[cfg(test)]
mod tests {
    use super::Fade;
    use crate::measured::Measured;
    use crate::profile::slope;

    #[test]
    fn a_poor_receiver_leaves_the_fade_unclear() {
        let fade = |sd: f64| Fade {
            block: 1,
            set: 1,
            reps: 6,
            slope_m_s: slope(
                &((1..).map(f64::from))
                    .zip([8.4, 8.3, 8.1, 8.0, 7.9, 7.8])
                    .map(|(rep, speed)| (rep, Measured::normal(speed, sd)))
                    .collect::<Vec<_>>(),
            )
            .expect("six"),
        };
        assert_eq!(fade(0.05).in_words(), "slower from rep to rep");
        assert_eq!(fade(0.4).in_words(), "no clear fade");
    }
}
