//! How late the receiver's own speed is: its lag behind the positions of the same recording.
//!
//! Receivers smooth their speed, and what is smoothed comes late and flat: a lag of 0.2 s takes a tenth off a short burst
//! of acceleration. Fast receivers write positions that show when the player truly sped up, so the recording itself
//! tells the lag, and the smoother can undo it. Where both are late alike nothing shows, and a prior stands.

use crate::estimation::{collected, length};
use crate::motion::FAST_HZ;
use crate::motion::nodes::States;
use crate::motion::position::Planar;
use crate::motion::smoothed::Smoothed;
use crate::motion::timebase::Timebase;
use crate::track::Point;

/// Longest lag that is looked for, s.
const MOST_S: f64 = 0.8;
/// Spacing of the first search, s.
const COARSE_S: f64 = 0.1;
/// How closely the best lag is found, s.
const FINE_S: f64 = 0.01;
/// Below this speed, by both accounts, a reading says nothing of the lag, m/s.
const MOVING_M_S: f64 = 1.0;
/// A misfit counts in full up to this, m/s; a jump must not decide.
const MOST_MISFIT_M_S: f64 = 0.9;
/// Fewest readings in motion to judge by.
const LEAST_READINGS: usize = 300;
/// By how much the lag must lower the misfit to be believed, as a share of it.
const LEAST_GAIN: f64 = 0.02;

/// The time constant of a first-order lag of the receiver's speed behind the speed of its positions, s; `None` when the
/// recording does not tell.
///
/// # Definition
/// The lag whose output, y' = (u - y) / lag with u the length of the smoothed velocity, lies nearest to the receiver's
/// readings, in the mean square with large misfits capped. Half an interval between fixes is taken off: a reading may
/// stand for the whole interval before it, which makes it late without making it flat, and to undo that as a lag would
/// exaggerate every burst.
pub(super) fn of_receiver_speed(
    runs: &[(&[Point], Timebase)],
    planar: &[Smoothed],
    rate_hz: f64,
) -> Option<f64> {
    // What slower ones filter alike tells nothing by its difference.
    if rate_hz < FAST_HZ {
        return None;
    }
    let stretches: Vec<Stretch> = runs
        .iter()
        .zip(planar)
        .filter_map(|((points, base), planar)| Stretch::new(points, base, &planar.states))
        .collect();
    let misfit = |lag_s: f64| misfit(&stretches, lag_s);
    let without = misfit(0.0)?;
    let coarse_s = coarse_s(&misfit, without);
    let (best_s, best) = narrowed(&misfit, coarse_s);
    // A lag at the end of the search is no minimum.
    let told = best < (1.0 - LEAST_GAIN) * without && best_s < MOST_S;
    told.then(|| (best_s - 0.5 / rate_hz).max(0.0))
}

/// The best of the coarse lags, given the misfit of none. Once it has risen twice it only rises: a lag fits worse the farther it
/// lies from the true one.
fn coarse_s(misfit: &impl Fn(f64) -> Option<f64>, without: f64) -> f64 {
    let steps = (MOST_S / COARSE_S).round() as usize;
    let (mut best, mut before, mut risen) = ((0.0, without), without, 0);
    for lag_s in (1..=steps).map(|k| k as f64 * COARSE_S) {
        let Some(now) = misfit(lag_s) else { continue };
        if now < best.1 {
            best = (lag_s, now);
        }
        risen = if now > before { risen + 1 } else { 0 };
        before = now;
        if risen > 1 {
            break;
        }
    }
    best.0
}

/// Golden-section search between the neighbours of the best coarse lag.
fn narrowed(misfit: &impl Fn(f64) -> Option<f64>, coarse_s: f64) -> (f64, f64) {
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let at = |lag_s: f64| misfit(lag_s).unwrap_or(f64::INFINITY);
    let (mut low, mut high) = ((coarse_s - COARSE_S).max(0.0), coarse_s + COARSE_S);
    let lower = |low: f64, high: f64| high - golden * (high - low);
    let upper = |low: f64, high: f64| low + golden * (high - low);
    let (mut a, mut b) = (lower(low, high), upper(low, high));
    let (mut at_a, mut at_b) = (at(a), at(b));
    // By the golden section one of two places of a round is one of the next.
    while high - low > FINE_S {
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = lower(low, high);
            at_a = at(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = upper(low, high);
            at_b = at(b);
        }
    }
    let middle = f64::midpoint(low, high);
    (middle, at(middle))
}

/// The speed of the positions over one run, and what the receiver said meanwhile.
struct Stretch {
    /// Time since the node before, s, and speed at the node, m/s.
    nodes: Vec<(f64, f64)>,
    /// The receiver's speed at each node that is a fix with one, m/s.
    readings: Vec<Option<f64>>,
}

impl Stretch {
    fn new(points: &[Point], base: &Timebase, planar: &States) -> Option<Self> {
        if planar.is_empty() || planar.len() != base.nodes_s.len() {
            return None;
        }
        let mut readings = vec![None; planar.len()];
        for (point, node) in base.with_nodes(points) {
            readings[node] = point.speed_m_s();
        }
        let mut before_s = base.nodes_s[0];
        let states = planar.iter().filter_map(Planar::of);
        let nodes = collected(base.nodes_s.iter().zip(states).map(|(&time_s, state)| {
            let dt_s = time_s - before_s;
            before_s = time_s;
            let [vx, vy] = state.velocity_m_s;
            (dt_s, length(vx, vy))
        }));
        Some(Self { nodes, readings })
    }
}

/// Mean squared misfit, capped, of the readings to the lagged speed; `None` with too few readings in motion.
fn misfit(stretches: &[Stretch], lag_s: f64) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0_usize);
    for stretch in stretches {
        let mut input = stretch.nodes[0].1;
        let mut output = input;
        let mut known = (0.0, 0.0);
        for (&(dt_s, speed), reading) in stretch.nodes.iter().zip(&stretch.readings) {
            if dt_s > 0.0 && lag_s > 0.0 {
                // Intervals repeat, so the last decay is kept.
                if (known.0 - dt_s).abs() > 1e-9 {
                    known = (dt_s, (-dt_s / lag_s).exp());
                }
                // Exact for an input that runs in a straight line between nodes.
                let behind = (speed - input) / dt_s * lag_s;
                output = speed - behind + (output - input + behind) * known.1;
            } else {
                output = speed;
            }
            input = speed;
            if let Some(reading) = reading
                && reading.max(output) > MOVING_M_S
            {
                sum += (reading - output).abs().min(MOST_MISFIT_M_S).powi(2);
                count += 1;
            }
        }
    }
    (count >= LEAST_READINGS).then(|| sum / count as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs of a sine between 1 and 7 m/s, and a receiver that follows them late by `lag_s`, at 10 Hz.
    fn late_by(lag_s: f64, seconds: usize) -> Option<f64> {
        let omega = 0.9;
        let true_speed = |t: f64| 4.0 + 3.0 * (omega * t).sin();
        // The steady answer of a first-order lag to a sine: weaker, and later by the angle atan(omega lag).
        let answer = |t: f64| {
            let u = omega * lag_s;
            4.0 + 3.0 / (1.0 + u * u).sqrt() * (omega * t - u.atan()).sin()
        };
        let points: Vec<Point> = (0..seconds * 10)
            .map(|k| {
                let time_s = k as f64 / 10.0;
                Point::new(time_s, None, Some(answer(time_s)))
            })
            .collect();
        let base = Timebase::new(&points, 0.1);
        let states: Vec<[f64; 5]> = (base.nodes_s.iter())
            .map(|&t| [0.0, 0.0, 0.6 * true_speed(t), -0.8 * true_speed(t), 0.0])
            .collect();
        let smoothed = Smoothed {
            states: States::of(&states),
            ..Smoothed::default()
        };
        of_receiver_speed(&[(&points, base)], &[smoothed], 10.0)
    }

    #[test]
    fn the_lag_of_a_first_order_receiver_is_found() {
        for lag_s in [0.1, 0.2, 0.35, 0.6] {
            let found_s = late_by(lag_s, 120).expect("two minutes tell");
            // Less half an interval of 0.1 s.
            assert!(
                (found_s + 0.05 - lag_s).abs() < 0.01,
                "{found_s} for {lag_s}"
            );
        }
    }

    #[test]
    fn none_is_found_where_there_is_none_or_too_little_to_tell() {
        assert_eq!(late_by(0.0, 120), None);
        assert_eq!(late_by(0.3, 10), None);
        assert_eq!(of_receiver_speed(&[], &[], 10.0), None);
    }
}
