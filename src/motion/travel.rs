//! How far the player moved: the sum of movement, with standing told from walking.
//!
//! Where the receiver gives speed, its integral is the best distance: smoothing adds nothing to an integral, and
//! a device's own filter takes nothing from it. What its noise adds is taken off, and standing is zero with its
//! probability (`standing`). Positions wander while a player stands, so a sum of their steps needs a test of stillness.

use crate::estimation::length;
use crate::motion::standing;
use crate::motion::timebase::Timebase;
use crate::motion::{FAST_HZ, Motion, Sample};
use crate::track::Point;

/// Slower than this, positions of a fix a second wander, m/s.
const LEAST_SPEED_M_S: f64 = 0.2;
/// The variance by which the way of an unfiltered receiver bends between its fixes, beyond what the smoother knows of, as a
/// share of that: people turn more than the motion that is fitted to a fix a second.
const UNFILTERED_BENDS: f64 = 1.5;
/// The same of a receiver that loses fixes, filtered or not: their errors are less like each other than the smoother takes
/// them for, so that it irons out more.
const LOSING_BENDS: f64 = 1.0;
/// At this speed half of that counts, m/s: who hardly moves has no course to turn from.
const HALF_BENT_M_S: f64 = 0.5;
/// Below this, shifting of weight, sway and noise are as much as the way, m/s.
const SLOW_M_S: f64 = 1.0;
/// The receiver's readings closer than this repeat each other's noise, s.
const READINGS_REPEAT_S: f64 = 0.5;
/// A leap of the positions makes a way this long before and after it, s.
const LEAP_WITHIN_S: f64 = 2.0;
/// The same for the smoothed speed of positions, fast and slow receivers.
const FAST_REPEAT_S: f64 = 1.0;
const SLOW_REPEAT_S: f64 = 2.0;

/// Fills in the distance moved since the first sample. `lag_s` is how late the receiver's speed is, `noise` the variance of
/// that speed along one axis, m2/s2.
#[allow(
    clippy::too_many_lines,
    reason = "one pass over the samples sums the way and each doubt of it"
)]
pub(super) fn sum(motion: &mut Motion, runs: &[(&[Point], Timebase)], lag_s: f64, noise: f64) {
    let repeats_s = if motion.rate_hz < FAST_HZ {
        SLOW_REPEAT_S
    } else {
        FAST_REPEAT_S
    };
    let smoothed: Vec<Vec<(f64, f64)>> = motion
        .runs
        .iter()
        .zip(runs)
        .map(|(window, (points, _))| {
            if by_readings(points) {
                return Vec::new();
            }
            let samples = motion.samples[window.clone()].iter();
            samples.map(|s| (s.time_s, s.speed_m_s)).collect()
        })
        .collect();
    let usual = standing::USUAL_SD_M_S * standing::USUAL_SD_M_S;
    let smoothed_noise = standing::noise_variance(&smoothed).unwrap_or(usual);
    // Between fixes a second apart the path bends in ways that the smoothed one does not show, by what is not known of the
    // velocity. With fixes farther apart that is known too badly to be added.
    let bends = motion.rate_hz < FAST_HZ && !motion.irregular;
    let position = motion.doubts.device.and_then(|device| device.position);
    let unfiltered = position.map_or(0.0, |lag| lag.none);
    let losing = if motion.doubts.loses_fixes {
        LOSING_BENDS
    } else {
        0.0
    };
    // What the positions say of a slow receiver's speed.
    let mended = motion.doubts.scale.map_or(1.0, |scale| 1.0 + scale.mean);
    let (mut travelled_m, mut unsupported_m, mut bent_m) = (0.0, 0.0, 0.0);
    let mut bridged_way_m = Vec::with_capacity(motion.samples.len());
    let mut bent_way_m = Vec::new();
    let fast = motion.rate_hz >= FAST_HZ;
    let mut slowly_m = 0.0;
    let mut slow_way_m = Vec::new();
    let mut leaps_s = motion.doubts.leaps_s.iter().peekable();
    let leapt = !motion.doubts.leaps_s.is_empty();
    let [shorter, longer] = &motion.doubts.otherwise_m_s;
    let (mut lag_m, mut leapt_m) = (0.0, 0.0);
    let (mut lag_way_m, mut leapt_way_m) = (Vec::new(), Vec::new());
    let windows = motion.runs.clone().into_iter().zip(runs).zip(smoothed);
    for ((window, (points, _)), known) in windows {
        let first = window.start;
        let samples = &mut motion.samples[window];
        let read = by_readings(points);
        let (steps_m, bent_steps_m) = if read {
            let mut steps_m = by_receiver(samples, points, lag_s, noise);
            for step_m in &mut steps_m {
                *step_m *= mended;
            }
            (steps_m, Vec::new())
        } else {
            let bend = |s: &Sample| {
                if bends {
                    bend_m_s(s, unfiltered, losing)
                } else {
                    0.0
                }
            };
            let bends_m_s: Vec<f64> = samples.iter().map(bend).collect();
            let standing = standing::probabilities(&known, smoothed_noise, repeats_s);
            for (sample, standing) in samples.iter_mut().zip(&standing) {
                sample.standing = *standing;
            }
            by_position(&known, &standing, &bends_m_s, motion.step_s, smoothed_noise)
        };
        for (k, (sample, step_m)) in samples.iter_mut().zip(steps_m).enumerate() {
            travelled_m += step_m;
            sample.travel_m = travelled_m;
            if bends {
                bent_m += bent_steps_m.get(k).copied().unwrap_or(0.0);
                bent_way_m.push(bent_m);
            }
            if sample.bridged {
                unsupported_m += step_m;
            }
            if fast {
                if sample.speed_m_s < SLOW_M_S {
                    slowly_m += step_m;
                }
                slow_way_m.push(slowly_m);
            }
            bridged_way_m.push(unsupported_m);
            if let (false, Some(less), Some(more)) =
                (read, shorter.get(first + k), longer.get(first + k))
                && sample.speed_m_s > SLOW_M_S
            {
                lag_m += (more - less) / 2.0 * motion.step_s;
            }
            if !shorter.is_empty() {
                lag_way_m.push(lag_m);
            }
            if leapt {
                let (from_s, to_s) = (sample.time_s - LEAP_WITHIN_S, sample.time_s + LEAP_WITHIN_S);
                while leaps_s.next_if(|&&leap_s| leap_s < from_s).is_some() {}
                if leaps_s.peek().is_some_and(|&&leap_s| leap_s <= to_s) {
                    leapt_m += step_m;
                }
                leapt_way_m.push(leapt_m);
            }
        }
    }
    if unsupported_m > 0.0 {
        motion.doubts.bridged_way_m = bridged_way_m;
    }
    if lag_m != 0.0 {
        motion.doubts.lag_way_m = lag_way_m;
    }
    if leapt_m > 0.0 {
        motion.doubts.leapt_way_m = leapt_way_m;
    }
    if bent_m > 0.0 {
        motion.doubts.bent_way_m = bent_way_m;
    }
    motion.doubts.slow_way_m = slow_way_m;
}

/// The part of the velocity across the course that no fix shows, m/s: what the smoother does not know, and, of a player who moves,
/// more; a filter has taken the bends, and the noise, out of the fixes already.
fn bend_m_s(sample: &Sample, unfiltered: f64, losing: f64) -> f64 {
    let unknown = sample.speed_sd_m_s * sample.speed_sd_m_s;
    let energy = sample.speed_m_s * sample.speed_m_s;
    let moves = energy / (energy + HALF_BENT_M_S * HALF_BENT_M_S);
    (unknown * (1.0 + UNFILTERED_BENDS * unfiltered * moves) * (1.0 + losing)).sqrt()
}

/// Whether enough points carry a speed: one in two is enough to integrate, and the smoother takes it on the same terms.
fn by_readings(points: &[Point]) -> bool {
    let speeds = points.iter().filter(|p| p.speed_m_s().is_some()).count();
    2 * speeds >= points.len() && speeds > 1
}

/// Distance from each sample's predecessor, by the trapezium rule over the receiver's speeds; and fills in the probability that
/// the player stands.
///
/// The sum is read `lag_s` later than the sample: what the receiver's filter delays belongs to the moment before.
fn by_receiver(samples: &mut [Sample], points: &[Point], lag_s: f64, noise: f64) -> Vec<f64> {
    let mut known = standing::readings(points);
    let standing = standing::probabilities(&known, noise, READINGS_REPEAT_S);
    for ((_, speed), standing) in known.iter_mut().zip(&standing) {
        *speed = standing::without_noise(*speed, *standing, noise);
    }
    // From a reading to the next.
    let step_m = |k: usize| {
        let ((from_s, from), (to_s, to)) = (known[k], known[k + 1]);
        f64::midpoint(from, to) * (to_s - from_s)
    };
    let (mut at, mut way_m) = (0, 0.0);
    let mut last_m = 0.0;
    samples
        .iter_mut()
        .map(|sample| {
            while at + 1 < known.len() && known[at + 1].0 <= sample.time_s + lag_s {
                way_m += step_m(at);
                at += 1;
            }
            sample.standing = standing.get(at).copied().unwrap_or(0.0);
            let here_m = match known.get(at + 1) {
                Some(after) => {
                    let share = ((sample.time_s + lag_s - known[at].0) / (after.0 - known[at].0))
                        .clamp(0.0, 1.0);
                    let next_m = way_m + step_m(at);
                    way_m + (next_m - way_m) * share
                }
                None => way_m,
            };
            let step = here_m - last_m;
            last_m = here_m;
            step
        })
        .collect()
}

/// Distance from each sample's predecessor, by the smoothed speed: less its own noise, and zero with the probability of
/// standing; and how much of it are bends that no fix shows.
///
/// The mean length of a velocity known with a standard deviation along each axis is longer than that of its mean: the root
/// of both squares, nearly (Rice).
fn by_position(
    known: &[(f64, f64)],
    standing: &[f64],
    bends_m_s: &[f64],
    step_s: f64,
    noise: f64,
) -> (Vec<f64>, Vec<f64>) {
    let speeds: Vec<(f64, f64)> = standing
        .iter()
        .zip(known.iter().zip(bends_m_s))
        .map(|(&standing, ((_, speed), bend))| {
            let counts = *bend == 0.0 || *speed > LEAST_SPEED_M_S;
            let moving = standing::without_noise(length(*speed, *bend), standing, noise);
            let straight = if *bend > 0.0 {
                standing::without_noise(*speed, standing, noise)
            } else {
                moving
            };
            if counts {
                (moving, moving - straight)
            } else {
                (0.0, 0.0)
            }
        })
        .collect();
    let steps_m = |part: fn(&(f64, f64)) -> f64| {
        let between = |pair: &[(f64, f64)]| f64::midpoint(part(&pair[0]), part(&pair[1])) * step_s;
        let first = (!speeds.is_empty()).then_some(0.0);
        (first.into_iter())
            .chain(speeds.windows(2).map(between))
            .collect()
    };
    (steps_m(|s| s.0), steps_m(|s| s.1))
}
