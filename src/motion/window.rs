//! What a stretch of motion says, with its interval.

use std::ops::Range;

use crate::measured::Measured;
use crate::motion::accuracy::Accuracy;
use crate::motion::{Motion, Sample};

impl Motion {
    /// The samples from `start_s` to `end_s`, both in seconds from the session's start; empty where there are none.
    #[must_use]
    pub fn window(&self, start_s: f64, end_s: f64) -> Range<usize> {
        let slack_s = self.step_s * 0.01;
        let from = self
            .samples
            .partition_point(|s| s.time_s < start_s - slack_s);
        let to = self
            .samples
            .partition_point(|s| s.time_s <= end_s + slack_s);
        from..to.max(from)
    }

    /// The highest speed of a window, m/s; 0 for an empty one.
    #[must_use]
    pub fn peak_speed(&self, window: Range<usize>) -> Measured {
        let Some(peak) = self.highest(window, |s| s.speed_m_s) else {
            return Measured::normal(0.0, 0.0);
        };
        let accuracy = Accuracy::of(self);
        let sd = (accuracy.peak_inflation * peak.speed_sd_m_s)
            .hypot(accuracy.peak_share * peak.speed_m_s);
        Measured::normal(peak.speed_m_s, sd).at_least(0.0)
    }

    /// The largest acceleration of a window, m/s2.
    #[must_use]
    pub fn peak_acceleration(&self, window: Range<usize>) -> Measured {
        self.highest(window, |s| s.acceleration_m_s2)
            .map_or(Measured::normal(0.0, 0.0), |s| {
                Measured::normal(s.acceleration_m_s2, s.acceleration_sd_m_s2)
            })
    }

    /// The hardest braking of a window: its most negative acceleration, m/s2.
    #[must_use]
    pub fn peak_deceleration(&self, window: Range<usize>) -> Measured {
        self.highest(window, |s| -s.acceleration_m_s2)
            .map_or(Measured::normal(0.0, 0.0), |s| {
                Measured::normal(s.acceleration_m_s2, s.acceleration_sd_m_s2)
            })
    }

    /// The distance moved within a window, m.
    #[must_use]
    pub fn distance(&self, window: Range<usize>) -> Measured {
        let (Some(first), Some(last)) = (
            self.samples.get(window.start),
            self.samples.get(window.end.wrapping_sub(1)),
        ) else {
            return Measured::normal(0.0, 0.0);
        };
        let distance_m = (last.travel_m - first.travel_m).max(0.0);
        let accuracy = Accuracy::of(self);
        let ends_m = accuracy.distance_end_m * std::f64::consts::SQRT_2;
        Measured::normal(
            distance_m,
            (accuracy.distance_share * distance_m).hypot(ends_m),
        )
        .at_least(0.0)
    }

    fn highest(&self, window: Range<usize>, value: impl Fn(&Sample) -> f64) -> Option<&Sample> {
        self.samples
            .get(window)?
            .iter()
            .max_by(|a, b| value(a).total_cmp(&value(b)))
    }
}
