//! Puts what the smoothers found on the regular grid.

use crate::estimation::butterworth::Butterworth;
use crate::estimation::length;
use crate::motion::nodes::States;
use crate::motion::position::Planar;
use crate::motion::receiver_speed::{self, Along};
use crate::motion::smoothed::Smoothed;
use crate::motion::timebase::Timebase;
use crate::motion::{Doubts, Motion, Sample, SpeedFrom, signs};
use crate::track::{Point, Track};

/// The ripple of single steps lies above this; a player's speed, as coaches mean it, below, Hz.
const SPEED_CUTOFF_HZ: f64 = 2.0;
/// Accelerations are changes of speed slower than this, Hz.
const ACCELERATION_CUTOFF_HZ: f64 = 1.0;
/// A heart rate stands for so long, s.
const HEART_RATE_HOLDS_S: f64 = 5.0;
/// A sample is bridged when its nearest fixes lie further apart than this many usual intervals...
const BRIDGED_INTERVALS: f64 = 2.5;
/// ... and further than this, s.
const BRIDGED_S: f64 = 1.2;

/// The samples of all runs, without accelerations and distances. What was smoothed goes as soon as they hold it: no moment of a review
/// needs more memory.
pub(super) fn motion(
    track: &Track,
    runs: &[(&[Point], Timebase)],
    planar: Vec<Smoothed>,
    along: Vec<Smoothed>,
    step_s: f64,
) -> Motion {
    let has_position = planar.iter().any(|p| !p.states.is_empty());
    let total = runs.iter().map(|(_, base)| base.grid_s().len()).sum();
    let mut samples = Vec::with_capacity(total);
    let mut windows = Vec::with_capacity(runs.len());
    let mut otherwise_m_s: [Vec<f64>; 2] = Default::default();
    let mut from_receiver = 0;
    for ((points, base), (by_place, by_speed)) in runs.iter().zip(planar.into_iter().zip(along)) {
        let (planar, along) = (&by_place.states, &by_speed.states);
        let start = samples.len();
        let receiver = planar.is_empty() || receiver_speed::is_enough(points);
        let receiver = receiver && !along.is_empty();
        samples.extend(
            base.places()
                .zip(base.grid_s())
                .map(|((node, share), time_s)| {
                    let mut sample = Sample {
                        time_s,
                        ..Sample::default()
                    };
                    place(&mut sample, planar, node, share);
                    if receiver {
                        speed_of_receiver(&mut sample, along, node, share);
                    }
                    sample
                }),
        );
        let others = if receiver {
            &by_speed.otherwise_m_s
        } else {
            &by_place.otherwise_m_s
        };
        for (all, one) in otherwise_m_s.iter_mut().zip(others) {
            all.extend(on_grid(one, base));
        }
        drop((by_place, by_speed));
        mark_bridged(&mut samples[start..], points, track.rate.hz);
        add_heart_rate(&mut samples[start..], points);
        if receiver {
            from_receiver += samples.len() - start;
        }
        windows.push(start..samples.len());
    }
    let speed_from = match from_receiver {
        0 => SpeedFrom::Position,
        n if n == samples.len() => SpeedFrom::Receiver,
        _ => SpeedFrom::Both,
    };
    let mut motion = Motion {
        samples,
        runs: windows,
        step_s,
        speed_from,
        doubts: Doubts {
            otherwise_m_s,
            ..Doubts::default()
        },
        has_position,
        rate_hz: track.rate.hz,
        irregular: track.rate.irregular,
        signs: signs::of(track),
    };
    without_ripple(&mut motion);
    motion
}

/// Values at the nodes, at the times of the grid; none where there are none.
fn on_grid<'a>(values: &'a States, base: &'a Timebase) -> impl Iterator<Item = f64> + 'a {
    let value = |node| values.get(node)?.first();
    base.places().filter_map(move |(node, share)| {
        let here = value(node)?;
        let next = value(node + 1).unwrap_or(here);
        Some(here + (next - here) * share)
    })
}

/// Position, velocity and the speed that follows from it.
fn place(sample: &mut Sample, planar: &States, node: usize, share: f64) {
    let at = |node| planar.get(node).and_then(Planar::of);
    let Some(a) = at(node) else { return };
    let b = at(node + 1).unwrap_or(a);
    let mix = |from: f64, to: f64| from + (to - from) * share;
    sample.x_m = mix(a.position_m[0], b.position_m[0]);
    sample.y_m = mix(a.position_m[1], b.position_m[1]);
    sample.vx_m_s = mix(a.velocity_m_s[0], b.velocity_m_s[0]);
    sample.vy_m_s = mix(a.velocity_m_s[1], b.velocity_m_s[1]);
    sample.position_sd_m = mix(a.position_sd_m, b.position_sd_m);
    sample.speed_m_s = length(sample.vx_m_s, sample.vy_m_s);
    let (a, b) = (a.pace, b.pace);
    sample.speed_sd_m_s = mix(a.velocity_sd_m_s, b.velocity_sd_m_s);
    // The rate of change of the length of the velocity: the acceleration's part along it.
    let ax = mix(a.acceleration_m_s2[0], b.acceleration_m_s2[0]);
    let ay = mix(a.acceleration_m_s2[1], b.acceleration_m_s2[1]);
    sample.acceleration_m_s2 = if sample.speed_m_s > 0.1 {
        (ax * sample.vx_m_s + ay * sample.vy_m_s) / sample.speed_m_s
    } else {
        length(ax, ay)
    };
    sample.acceleration_sd_m_s2 = mix(a.acceleration_sd_m_s2, b.acceleration_sd_m_s2);
}

fn speed_of_receiver(sample: &mut Sample, along: &States, node: usize, share: f64) {
    let at = |node| along.get(node).and_then(Along::of);
    let Some(a) = at(node) else { return };
    let b = at(node + 1).unwrap_or(a);
    let mix = |from: f64, to: f64| from + (to - from) * share;
    sample.speed_m_s = mix(a.speed_m_s, b.speed_m_s);
    sample.acceleration_m_s2 = mix(a.acceleration_m_s2, b.acceleration_m_s2);
    sample.speed_sd_m_s = mix(a.speed_sd_m_s, b.speed_sd_m_s);
    sample.acceleration_sd_m_s2 = mix(a.acceleration_sd_m_s2, b.acceleration_sd_m_s2);
}

/// Marks samples with no fix near, and widens nothing: the smoother already did.
fn mark_bridged(samples: &mut [Sample], points: &[Point], rate_hz: f64) {
    let limit_s = (BRIDGED_INTERVALS / rate_hz).max(BRIDGED_S);
    let mut next = 0;
    for sample in samples {
        while next < points.len() && points[next].time_s < sample.time_s {
            next += 1;
        }
        let (Some(after), Some(before)) = (points.get(next), points.get(next.wrapping_sub(1)))
        else {
            continue;
        };
        sample.bridged = after.time_s - before.time_s > limit_s;
    }
}

/// The heart rate of the nearest fix that carries one.
fn add_heart_rate(samples: &mut [Sample], points: &[Point]) {
    let rates = || (points.iter()).filter_map(|p| Some((p.time_s, p.heart_rate_bpm()?)));
    let (mut here, mut later) = (rates().next(), rates().skip(1));
    let mut next = later.next();
    for sample in samples {
        let away_s = |(time_s, _): (f64, f64)| (time_s - sample.time_s).abs();
        while let (Some(known), Some(other)) = (here, next)
            && away_s(other) <= away_s(known)
        {
            (here, next) = (next, later.next());
        }
        let held = here.filter(|known| away_s(*known) <= HEART_RATE_HOLDS_S);
        sample.heart_rate_bpm = held.map(|(_, rate_bpm)| rate_bpm as f32);
    }
}

/// Takes the ripple of single steps out of the speed, where the sampling can carry it at all.
fn without_ripple(motion: &mut Motion) {
    let Some(filter) = Butterworth::low_pass(SPEED_CUTOFF_HZ, 1.0 / motion.step_s, 2) else {
        return;
    };
    for run in motion.runs.clone() {
        let samples = &mut motion.samples[run.clone()];
        let speeds = speeds_below(&filter, samples);
        for (sample, speed) in samples.iter_mut().zip(speeds) {
            sample.speed_m_s = speed.max(0.0);
        }
        for other in &mut motion.doubts.otherwise_m_s {
            if let Some(speeds) = other.get_mut(run.clone()) {
                let smooth = filter.filtfilt(speeds);
                speeds.copy_from_slice(&smooth);
            }
        }
    }
}

/// The speeds of a run, m/s, without what the filter stops.
fn speeds_below(filter: &Butterworth, samples: &[Sample]) -> Vec<f64> {
    let speeds: Vec<f64> = samples.iter().map(|s| s.speed_m_s).collect();
    filter.filtfilt(&speeds)
}

/// Accelerations as the rate of change of speed below 1 Hz; slow receivers keep the smoother's own.
pub(super) fn accelerations(motion: &mut Motion) {
    if motion.rate_hz < 4.0 {
        return;
    }
    let Some(filter) = Butterworth::low_pass(ACCELERATION_CUTOFF_HZ, 1.0 / motion.step_s, 2) else {
        return;
    };
    for run in motion.runs.clone() {
        let samples = &mut motion.samples[run];
        let smooth = speeds_below(&filter, samples);
        let last = smooth.len().saturating_sub(1);
        for (k, sample) in samples.iter_mut().enumerate() {
            let (from, to) = (k.saturating_sub(1), (k + 1).min(last));
            let span_s = (to - from) as f64 * motion.step_s;
            sample.acceleration_m_s2 = if span_s > 0.0 {
                (smooth[to] - smooth[from]) / span_s
            } else {
                0.0
            };
            // Smoothing over about a second averages the error of the momentary acceleration.
            sample.acceleration_sd_m_s2 *= 0.5;
        }
    }
}
