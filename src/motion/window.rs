//! What a stretch of motion says, with its interval.

use std::ops::Range;

use crate::measured::{Measured, Z95};
use crate::motion::accuracy::Accuracy;
use crate::motion::{Motion, Sample, SpeedFrom};

/// A smoothed speed that changes faster than this was not run: fast starts reach it for a moment, at 10 Hz only.
const MOST_CHANGE_M_S2: f64 = 4.5;
/// How near the peak such a change casts doubt on it, s.
const CHANGE_WITHIN_S: f64 = 1.6;

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
        let sd = peak
            .speed_sd_m_s
            .hypot(accuracy.peak_share * peak.speed_m_s);
        let half = Z95 * sd;
        let value = peak.speed_m_s;
        Measured::within(
            value,
            value - accuracy.peak_below * half,
            value + accuracy.peak_above * half,
        )
        .at_least(0.0)
    }

    /// The top speed of the whole motion, m/s; `None` where nothing was measured.
    ///
    /// Where speed comes from positions a second or more apart, the highest of many thousand values is the likeliest to be
    /// wrong; there the peak is taken where the speed less its standard deviation is highest, and no jump lies near.
    #[must_use]
    pub fn top_speed(&self) -> Option<Measured> {
        // One measured sample is no motion.
        self.samples.iter().filter(|s| !s.bridged).nth(1)?;
        if self.trusted() {
            return Some(self.peak_speed(0..self.samples.len()));
        }
        let supported = |s: &Sample| s.speed_m_s - s.speed_sd_m_s;
        let best = self
            .samples
            .iter()
            .enumerate()
            .filter(|(k, s)| !s.bridged && self.believable(*k))
            .max_by(|a, b| supported(a.1).total_cmp(&supported(b.1)))?;
        Some(self.peak_speed(best.0..best.0 + 1))
    }

    /// Whether single wild fixes cannot make a peak: many a second outvote them, and the receiver's speed has none.
    fn trusted(&self) -> bool {
        self.rate_hz >= 4.0 || self.speed_from == SpeedFrom::Receiver
    }

    /// Whether the speed around a sample changes no faster than a runner's can; a jump of positions does.
    fn believable(&self, at: usize) -> bool {
        let reach = (CHANGE_WITHIN_S / self.step_s) as usize;

        self.samples[at.saturating_sub(reach)..(at + reach).min(self.samples.len())]
            .iter()
            .all(|s| s.acceleration_m_s2.abs() <= MOST_CHANGE_M_S2)
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
