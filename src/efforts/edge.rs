//! What is not known of how long the speed lay above an edge between two bands.

use crate::estimation::normal::{below, density};
use crate::measured::Z95;
use crate::motion::{BandAccuracy, Motion, Sample};

/// Farther than this from an edge, in standard deviations, a speed lies on its side for sure.
const SURE: f64 = 4.0;
/// Noise makes no less than this of a speed, m/s: readings are rounded.
const LEAST_SD_M_S: f64 = 1e-3;
/// Up to so much above the speed of walking, slow motion and a standing player's noise look alike, m/s.
const SLOW_M_S: f64 = 0.3;

/// How far the time and the way above one speed may be off, by cause; a standard deviation each.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Edge {
    /// The speed, m/s.
    at_m_s: f64,
    /// By noise: the variance of the time, s2.
    noise_s2: f64,
    /// By all speeds being off alike: of the time, s; more where they are higher.
    alike_s: f64,
    /// By the device's lag: of the time, s, and of the way, m; more or less where it is longer.
    lag_s: f64,
    lag_m: f64,
}

/// How far the time in a band may be off, s, and the way, m; half a 95 % interval each.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Half {
    pub(super) time_s: f64,
    pub(super) way_m: f64,
}

impl Edge {
    /// The edge at a speed of a motion.
    ///
    /// # Definition
    /// A speed v, known with a standard deviation s, lies above an edge e with the probability p = Φ((v - e) / s). The variance of the
    /// time above it is the sum of p (1 - p) over time and over the time within which noise repeats itself. All speeds being
    /// higher by a share adds that share of e times the density of time at e, the sum of φ((v - e) / s) / s over time.
    /// A longer or shorter lag of the device gives other speeds, whose time above e is counted. Who stands with a probability counts
    /// by the rest of it.
    ///
    /// # Units
    /// Speeds in m/s, times in s, ways in m.
    pub(super) fn of(motion: &Motion, accuracy: &BandAccuracy, at_m_s: f64) -> Self {
        let mut edge = Self {
            at_m_s,
            ..Self::default()
        };
        let mut density_s2_m = 0.0;
        // Nothing is slower than standing still.
        let runs = if at_m_s > 0.0 { &motion.runs[..] } else { &[] };
        for run in runs {
            for sample in &motion.samples[run.clone()] {
                let sd = sample.speed_sd_m_s.max(LEAST_SD_M_S);
                let off = sample.speed_m_s - at_m_s;
                if off.abs() > SURE * sd {
                    continue;
                }
                let z = off / sd;
                let weight_s = (1.0 - sample.standing) * motion.step_s;
                let above = below(z);
                edge.noise_s2 += above * (1.0 - above) * weight_s * accuracy.repeats_s;
                density_s2_m += density(z) / sd * weight_s;
            }
        }
        edge.alike_s = density_s2_m * at_m_s * accuracy.share;
        let [shorter, longer] = &motion.doubts.otherwise_m_s;
        let (less, more) = (
            above(motion, shorter, at_m_s),
            above(motion, longer, at_m_s),
        );
        edge.lag_s = (more.0 - less.0) / 2.0;
        edge.lag_m = (more.1 - less.1) / 2.0;
        edge
    }

    /// How far the time and the way from this edge to the next may be off, where so much was moved there, m.
    pub(super) fn until(&self, next: Option<&Self>, way_m: f64, share: f64) -> Half {
        let none = Self::default();
        let next = next.unwrap_or(&none);
        let apart = |of: fn(&Self) -> f64| of(self) - of(next);
        let alike_m = apart(|e| e.at_m_s * e.alike_s) + share * way_m;
        let noise_m2 = |e: &Self| e.at_m_s * e.at_m_s * e.noise_s2;
        let time_s2 = self.noise_s2 + next.noise_s2;
        let way_m2 = noise_m2(self) + noise_m2(next);
        Half {
            time_s: Z95 * length3(time_s2, apart(|e| e.alike_s), apart(|e| e.lag_s)),
            way_m: Z95 * length3(way_m2, alike_m, apart(|e| e.lag_m)),
        }
    }
}

/// The root of a square and of two numbers squared.
fn length3(square: f64, b: f64, c: f64) -> f64 {
    (square + b * b + c * c).sqrt()
}

/// Time, s, and way, m, above a speed, were the speeds these; none where they are not in doubt.
fn above(motion: &Motion, speeds_m_s: &[f64], at_m_s: f64) -> (f64, f64) {
    let (mut time_s, mut way_m) = (0.0, 0.0);
    for (sample, &speed_m_s) in motion.samples.iter().zip(speeds_m_s) {
        if speed_m_s >= at_m_s {
            let weight_s = (1.0 - sample.standing) * motion.step_s;
            time_s += weight_s;
            way_m += weight_s * speed_m_s;
        }
    }
    (time_s, way_m)
}

/// For how long a player moved, or seemed to, hardly faster than one who stands, s.
pub(super) fn hardly_moved_s(motion: &Motion, walk_m_s: f64) -> f64 {
    let slow = |s: &&Sample| (walk_m_s..walk_m_s + SLOW_M_S).contains(&s.speed_m_s);
    let moving = motion.samples.iter().filter(slow);
    moving.map(|s| 1.0 - s.standing).sum::<f64>() * motion.step_s
}
