//! How far the player moved: the sum of movement, with standing told from walking.
//!
//! Where the receiver gives speed, its plain integral is the best distance: smoothing adds nothing to an integral, and
//! a device's own filter takes nothing from it. Positions wander while a player stands, so a sum of their steps needs
//! a test of stillness.

use crate::motion::receiver_speed::without_noise_floor;
use crate::motion::timebase::Timebase;
use crate::motion::{Motion, Sample};
use crate::track::Point;

/// Movement below this is not counted, m/s.
const LEAST_SPEED_M_S: f64 = 0.2;
/// A player is still when he gets nowhere over this time, s.
const STILL_OVER_S: f64 = 8.0;

/// What standing looks like in positions that wander.
#[derive(Clone, Copy, Debug)]
struct Stillness {
    /// Slower than this in a straight line over [`STILL_OVER_S`], m/s...
    net_m_s: f64,
    /// ... and than this in the mean over half that time, m/s.
    mean_m_s: f64,
}

/// Fast receivers wander slowly.
const FAST: Stillness = Stillness {
    net_m_s: 0.15,
    mean_m_s: 0.25,
};
/// Watches and phones wander more.
const SLOW: Stillness = Stillness {
    net_m_s: 0.25,
    mean_m_s: 0.4,
};

/// Fills in the distance moved since the first sample. `lag_s` is how late the receiver's speed is.
pub(super) fn sum(motion: &mut Motion, runs: &[(&[Point], Timebase)], lag_s: f64) {
    let stillness = if motion.rate_hz < 4.0 { SLOW } else { FAST };
    let mut travelled_m = 0.0;
    for (window, (points, _)) in motion.runs.clone().into_iter().zip(runs) {
        let samples = &mut motion.samples[window];
        let speeds = points.iter().filter(|p| p.speed_m_s.is_some()).count();
        // One in two is enough to integrate; the smoother takes the receiver's speed on the same terms.
        let steps_m = if 2 * speeds >= points.len() && speeds > 1 {
            by_receiver(samples, points, lag_s)
        } else {
            by_position(samples, motion.step_s, stillness)
        };
        for (sample, step_m) in samples.iter_mut().zip(steps_m) {
            travelled_m += step_m;
            sample.travel_m = travelled_m;
        }
    }
}

/// Distance from each sample's predecessor, by the trapezium rule over the receiver's speeds.
///
/// The sum is read `lag_s` later than the sample: what the receiver's filter delays belongs to the moment before.
fn by_receiver(samples: &[Sample], points: &[Point], lag_s: f64) -> Vec<f64> {
    let known: Vec<(f64, f64)> = points
        .iter()
        .filter_map(|p| p.speed_m_s.map(|v| (p.time_s, without_noise_floor(v))))
        .collect();
    let mut summed = Vec::with_capacity(known.len());
    let mut total = 0.0;
    for (k, (time_s, speed)) in known.iter().enumerate() {
        if k > 0 {
            let (before_s, before) = known[k - 1];
            if speed.max(before) > LEAST_SPEED_M_S {
                total += f64::midpoint(before, *speed) * (time_s - before_s);
            }
        }
        summed.push(total);
    }
    let mut at = 0;
    let mut last = 0.0;
    samples
        .iter()
        .map(|sample| {
            while at + 1 < known.len() && known[at + 1].0 <= sample.time_s + lag_s {
                at += 1;
            }
            let here = match known.get(at + 1) {
                Some(after) => {
                    let share = ((sample.time_s + lag_s - known[at].0) / (after.0 - known[at].0))
                        .clamp(0.0, 1.0);
                    summed[at] + (summed[at + 1] - summed[at]) * share
                }
                None => total,
            };
            let step = here - last;
            last = here;
            step
        })
        .collect()
}

/// Distance from each sample's predecessor, by the smoothed speed where the player is not still.
fn by_position(samples: &[Sample], step_s: f64, stillness: Stillness) -> Vec<f64> {
    let still = stillness.of(samples, step_s);
    let mut steps_m = vec![0.0; samples.len()];
    for k in 1..samples.len() {
        let speed = f64::midpoint(expected_speed(&samples[k - 1]), expected_speed(&samples[k]));
        if !(still[k - 1] && still[k]) && speed > LEAST_SPEED_M_S {
            steps_m[k] = speed * step_s;
        }
    }
    steps_m
}

/// The mean length of a velocity known with an error: the longer, the less is known of it, since between far fixes the
/// path bends in ways that the smoothed one does not show.
fn expected_speed(sample: &Sample) -> f64 {
    sample.speed_m_s.hypot(sample.speed_sd_m_s)
}

impl Stillness {
    /// For each sample whether the player stands still there.
    fn of(self, samples: &[Sample], step_s: f64) -> Vec<bool> {
        let half = ((STILL_OVER_S / 2.0 / step_s) as usize).max(1);
        let quarter = (half / 2).max(1);
        let mut sums = Vec::with_capacity(samples.len() + 1);
        sums.push(0.0);
        for (k, sample) in samples.iter().enumerate() {
            sums.push(sums[k] + sample.speed_m_s);
        }
        let last = samples.len().saturating_sub(1);
        (0..samples.len())
            .map(|k| {
                let (from, to) = (k.saturating_sub(half), (k + half).min(last));
                let (a, b) = (&samples[from], &samples[to]);
                let net =
                    (b.x_m - a.x_m).hypot(b.y_m - a.y_m) / ((to - from).max(1) as f64 * step_s);
                let (near, far) = (k.saturating_sub(quarter), (k + quarter).min(last) + 1);
                let mean = (sums[far] - sums[near]) / (far - near) as f64;
                net < self.net_m_s && mean < self.mean_m_s
            })
            .collect()
    }
}
