//! What a stretch of motion says, with its interval.

use std::ops::Range;

use crate::measured::{Measured, Z95};
use crate::motion::accuracy::Accuracy;
use crate::motion::{Motion, Sample, SpeedFrom};

/// A smoothed speed that changes faster than this was not run: fast starts reach it for a moment, at 10 Hz only.
const MOST_CHANGE_M_S2: f64 = 4.5;
/// How near the peak such a change casts doubt on it, s.
const CHANGE_WITHIN_S: f64 = 1.6;

/// A peak lasts as long as the speed stays above this share of it.
const NEAR: f64 = 0.8;
/// What fades by a factor e over some time has faded to less than a last bit after this many times as long.
const FADED: f64 = 40.0;
/// How near a peak a turn robs a filtered velocity of speed, s.
const TURN_WITHIN_S: f64 = 4.0;
/// A path is straight when its ends lie at least this share of its length apart.
const STRAIGHT: f64 = 0.9;

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
        let speed = |k: &usize| self.samples[*k].speed_m_s;
        let window = window.start..window.end.min(self.samples.len());
        let Some(at) = window.max_by(|a, b| speed(a).total_cmp(&speed(b))) else {
            return Measured::normal(0.0, 0.0);
        };
        let Sample {
            speed_m_s: value,
            speed_sd_m_s: sd,
            ..
        } = self.samples[at];
        let accuracy = Accuracy::of(self);
        let brief = (-self.time_near_s(at, FADED * accuracy.brief_s) / accuracy.brief_s).exp();
        let half = |times: f64| Z95 * (times * sd).hypot(accuracy.peak_share * value);
        let below = half(accuracy.peak_below) + accuracy.brief_below * brief * value;
        let mut above = half(accuracy.peak_above) + accuracy.brief_above * brief * value;
        if accuracy.turned_above > 0.0 && self.turns_near(at) {
            above += accuracy.turned_above * value;
        }
        Measured::within(value, value - below, value + above).at_least(0.0)
    }

    /// How long the speed around a sample stays above [`NEAR`] of its own, s; no farther than `most_s` to each side.
    fn time_near_s(&self, at: usize, most_s: f64) -> f64 {
        let level = NEAR * self.samples[at].speed_m_s;
        let reach = (most_s / self.step_s) as usize;
        let fast = |s: &&Sample| s.speed_m_s > level;
        let before = self.samples[..at].iter().rev().take(reach);
        let after = self.samples[at + 1..].iter().take(reach);
        let count = before.take_while(fast).count() + after.take_while(fast).count();
        count as f64 * self.step_s
    }

    /// Whether the path within [`TURN_WITHIN_S`] of a sample is no straight line.
    fn turns_near(&self, at: usize) -> bool {
        let reach = (TURN_WITHIN_S / self.step_s) as usize;
        let around = &self.samples[at.saturating_sub(reach)..(at + reach).min(self.samples.len())];
        let (Some(first), Some(last)) = (around.first(), around.last()) else {
            return false;
        };
        let straight_m = (last.x_m - first.x_m).hypot(last.y_m - first.y_m);
        straight_m < STRAIGHT * (last.travel_m - first.travel_m)
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
        let half = |share: f64| Z95 * (share * distance_m).hypot(ends_m);
        Measured::within(
            distance_m,
            distance_m - half(accuracy.distance_share),
            distance_m + half(accuracy.distance_share_above),
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
