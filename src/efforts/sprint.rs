//! Sprints: running at or above the sprint threshold.

use crate::efforts::measure::{self, SPEED};
use crate::efforts::threshold::Rule;
use crate::efforts::{Effort, Kind, Thresholds};
use crate::measured::Measured;
use crate::motion::Motion;

/// Finds the sprints of a session, in time order, none touching another.
///
/// ## What it finds
/// Running as fast as the player does in a match when it counts. A rep of a speed block may hold one, or none when
/// the threshold was not reached for long enough.
///
/// ## Definition
/// Speed at or above the sprint band (7.0 m/s) for [`Thresholds::sprint_dwell_s`] (1.0 s) or longer; dips of up to
/// [`Thresholds::bridge_s`] (0.5 s) do not end it. Speed is the smoothed speed, without the ripple of the steps.
/// Whether an effort at 6.9 or 7.1 m/s counts is decided by less than the error of most receivers; such efforts are
/// marked [`Effort::near_threshold`].
///
/// ## Units
/// Speed in m/s, time in s.
///
/// ## Example
/// Speed rises evenly from 0 to 8 m/s in 4 s and falls evenly to 0 in 4 s: it is at or above 7 m/s from 3.5 to 4.5 s,
/// which is 1.0 s, and so a sprint.
///
/// ## References
/// 7.0 m/s: Bradley et al. (2009), J Sports Sci 27:159, 10.1080/02640410802512775; there is no consensus (Gualtieri et al.
/// 2023, Front Sports Act Living, 10.3389/fspor.2023.1116293). 1 s: Varley et al. (2017), Int J Sports Physiol Perform,
/// 10.1123/ijspp.2016-0534. Bridging: common practice, no source.
pub(super) fn sprints(motion: &Motion, thresholds: &Thresholds) -> (Vec<Effort>, Measured) {
    let rule = Rule {
        from: thresholds.bands.sprint_m_s,
        dwell_s: thresholds.sprint_dwell_s,
        bridge_s: thresholds.bridge_s,
    };
    measure::efforts(motion, Kind::Sprint, SPEED, rule)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::{ramp, sampled, up_and_down};

    #[test]
    fn the_example_of_the_documentation() {
        let motion = up_and_down();
        let [sprint] = &sprints(&motion, &Thresholds::default()).0[..] else {
            panic!("one sprint expected");
        };
        assert!((sprint.start_s - 3.5).abs() < 1e-9 && (sprint.end_s - 4.5).abs() < 1e-9);
        // Two halves of 0.5 s at a mean of 7.5 m/s.
        assert!((sprint.distance_m - 7.5).abs() < 1e-9);
        assert!((sprint.peak_speed_m_s.value - 8.0).abs() < 1e-9);
    }

    /// v(t) = vmax (1 - exp(-t / tau)) is at 7 m/s when t = -tau ln(1 - 7 / vmax): Furusawa, Hill and Parkinson (1927),
    /// Proc R Soc B 102:29. For 9.0 m/s and 1.1 s that is 1.6545 s.
    #[test]
    fn a_mono_exponential_sprint_starts_when_the_formula_says() {
        let (top, tau, stop_s) = (9.0, 1.1, 5.0);
        let speed = |t: f64| top * (1.0 - (-t / tau).exp());
        let motion = sampled(8.0, 10.0, |t| {
            if t < stop_s {
                speed(t)
            } else {
                ramp(t - stop_s, speed(stop_s), -4.0)
            }
        });
        let [sprint] = &sprints(&motion, &Thresholds::default()).0[..] else {
            panic!("one sprint expected");
        };
        let start_s = -tau * (1.0_f64 - 7.0 / top).ln();
        let end_s = stop_s + (speed(stop_s) - 7.0) / 4.0;
        // A chord of 0.1 s lies at most dt^2 |a'| / 8 = 0.002 m/s below the curve, which costs 0.001 s at 1.8 m/s2.
        assert!(
            (sprint.start_s - start_s).abs() < 0.002,
            "{} for {start_s}",
            sprint.start_s
        );
        // The corner at the start of braking lies on a sample, so the way down is exact.
        assert!((sprint.end_s - end_s).abs() < 1e-9);
        let covered = |t: f64| top * (t - tau * (1.0 - (-t / tau).exp()));
        let braking = (speed(stop_s).powi(2) - 49.0) / 8.0;
        let distance = covered(stop_s) - covered(start_s) + braking;
        assert!(
            (sprint.distance_m - distance).abs() < 0.02,
            "{} for {distance}",
            sprint.distance_m
        );
    }
}
