//! What is said of each effort: its distance and its peaks.

use crate::efforts::probability::{self, Candidate};
use crate::efforts::threshold::{Quantity, Rule};
use crate::efforts::{Effort, Kind};
use crate::measured::Measured;
use crate::motion::Motion;

/// Fast runs get rarer by a factor e over so much, m/s: of those that exact receivers saw, in simulated worlds and in another simulator's
/// alike, five to seven times fewer reached 8.5 to 9 m/s than 5.5 to 6.
const RARER_M_S: f64 = 1.5;

/// Speed, for sprints and high-speed runs.
pub(super) const SPEED: Quantity = Quantity {
    value: |sample| sample.speed_m_s,
    sd: |sample| sample.speed_sd_m_s,
    rarer_over: RARER_M_S,
};

/// Acceleration, for accelerations.
pub(super) const SPEEDING_UP: Quantity = Quantity {
    value: |sample| sample.acceleration_m_s2,
    sd: |sample| sample.acceleration_sd_m_s2,
    rarer_over: f64::INFINITY,
};

/// Hard braking is no rarer than soft, m/s2: it gets more common by a factor e over so much.
const BRAKING_RARER_M_S2: f64 = -1.5;

/// Acceleration with its sign turned, for decelerations.
pub(super) const BRAKING: Quantity = Quantity {
    value: |sample| -sample.acceleration_m_s2,
    sd: |sample| sample.acceleration_sd_m_s2,
    rarer_over: BRAKING_RARER_M_S2,
};

/// The efforts of one kind, a stretch at or above a threshold each that is hardly less likely than not; and how many there were.
pub(super) fn efforts(
    motion: &Motion,
    kind: Kind,
    quantity: Quantity,
    rule: Rule,
) -> (Vec<Effort>, Measured) {
    let mut candidates = probability::candidates(motion, quantity, rule, |window| match kind {
        Kind::Acceleration => motion.peak_acceleration(window),
        Kind::Deceleration => motion.peak_deceleration(window).turned(),
        // What may have been reached where no fix was written says nothing of a level that was held.
        _ => motion.peak_seen(window),
    });
    if matches!(kind, Kind::Sprint | Kind::HighSpeedRun) {
        candidates.retain(|candidate| motion.may_be_run(candidate.stretch.window.clone()));
    }
    let count = probability::count(motion, &candidates);
    let list = candidates
        .into_iter()
        .filter(|candidate| candidate.probability() >= probability::LISTED)
        .map(|candidate| effort(motion, kind, candidate))
        .collect();
    (list, count)
}

/// The effort of a stretch.
pub(super) fn effort(motion: &Motion, kind: Kind, candidate: Candidate) -> Effort {
    let probability = candidate.probability();
    let stretch = candidate.stretch;
    let window = stretch.window;
    let distance_m = motion.distance(window.clone()).value
        + edge_m(
            motion,
            window.start.checked_sub(1),
            window.start,
            stretch.start_s,
        )
        + edge_m(motion, Some(window.end), window.end - 1, stretch.end_s);
    let peak_acceleration_m_s2 = match kind {
        Kind::Deceleration => motion.peak_deceleration(window.clone()),
        _ => motion.peak_acceleration(window.clone()),
    };
    Effort {
        kind,
        start_s: stretch.start_s,
        end_s: stretch.end_s,
        distance_m,
        peak_speed_m_s: motion.peak_speed(window.clone()),
        peak_acceleration_m_s2: Some(peak_acceleration_m_s2),
        turn_deg: None,
        near_threshold: stretch.near_threshold,
        probability,
        window,
    }
}

/// Distance between the crossing at `time_s` and the sample `inside` next to it; `outside` is the sample beyond.
fn edge_m(motion: &Motion, outside: Option<usize>, inside: usize, time_s: f64) -> f64 {
    let a = &motion.samples[inside];
    let part_s = (time_s - a.time_s).abs();
    let Some(b) = outside.and_then(|index| motion.samples.get(index)) else {
        return 0.0;
    };
    let step_s = (b.time_s - a.time_s).abs();
    if part_s == 0.0 || part_s > step_s {
        return 0.0;
    }
    let at_crossing = a.speed_m_s + (b.speed_m_s - a.speed_m_s) * part_s / step_s;
    part_s * f64::midpoint(a.speed_m_s, at_crossing)
}

/// Motions made by hand for the tests of the detectors.
#[cfg(test)]
pub(super) mod hand_made {
    use crate::motion::{Motion, Sample, SpeedFrom};

    /// A motion of one run from its samples.
    pub(in crate::efforts) fn of_samples(samples: Vec<Sample>, rate_hz: f64) -> Motion {
        Motion::of_run(samples, rate_hz, SpeedFrom::Receiver)
    }

    /// Straight east with these speeds, ten a second.
    pub(in crate::efforts) fn at_10_hz(speeds: &[f64]) -> Motion {
        sampled((speeds.len() as f64 - 1.0) / 10.0, 10.0, |t| {
            speeds[(t * 10.0).round() as usize]
        })
    }

    /// Straight east with the speed given over time.
    pub(in crate::efforts) fn sampled(
        seconds: f64,
        rate_hz: f64,
        speed: impl Fn(f64) -> f64,
    ) -> Motion {
        let count = (seconds * rate_hz).round() as usize + 1;
        let mut samples: Vec<Sample> = Vec::with_capacity(count);
        for index in 0..count {
            let time_s = index as f64 / rate_hz;
            let before = samples.last().copied().unwrap_or_default();
            let speed_m_s = speed(time_s);
            let step_m = f64::midpoint(before.speed_m_s, speed_m_s) * (time_s - before.time_s);
            samples.push(Sample {
                time_s,
                x_m: before.x_m + step_m,
                travel_m: before.travel_m + step_m,
                vx_m_s: speed_m_s,
                speed_m_s,
                ..Sample::default()
            });
        }
        of_samples(samples, rate_hz)
    }

    /// Straight east from rest with the acceleration given over time.
    pub(in crate::efforts) fn with_acceleration(
        seconds: f64,
        rate_hz: f64,
        a: impl Fn(f64) -> f64,
    ) -> Motion {
        let steps = |t: f64| (t * rate_hz).round() as usize;
        let speed = |t: f64| {
            (0..steps(t))
                .map(|i| a(i as f64 / rate_hz) / rate_hz)
                .sum::<f64>()
                .max(0.0)
        };
        let mut motion = sampled(seconds, rate_hz, speed);
        for sample in &mut motion.samples {
            sample.acceleration_m_s2 = a(sample.time_s);
        }
        motion
    }

    /// Straight east, the speed rising evenly from 0 to 8 m/s in 4 s and falling evenly to 0 in 4 s.
    pub(in crate::efforts) fn up_and_down() -> Motion {
        sampled(8.0, 10.0, |t| ramp(4.0 - (t - 4.0).abs(), 0.0, 2.0))
    }

    /// Speed after `t` seconds at an even rate, not below rest.
    pub(in crate::efforts) fn ramp(t: f64, from: f64, rate: f64) -> f64 {
        (from + rate * t).max(0.0)
    }
}
