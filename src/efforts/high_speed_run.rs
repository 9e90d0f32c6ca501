//! High-speed runs: running at or above the high-speed threshold, sprints included.

use crate::efforts::measure::{self, SPEED};
use crate::efforts::threshold::Rule;
use crate::efforts::{Effort, Kind, Thresholds};
use crate::measured::Measured;
use crate::motion::Motion;

/// Finds the high-speed runs of a session, in time order, none touching another.
///
/// ## What it finds
/// Running faster than an endurance pace. A run that speeds up to a sprint and slows down again is one high-speed run
/// with a sprint inside, not two runs around it; the bands, not the efforts, share out time and distance.
///
/// ## Definition
/// Speed at or above the high-speed band (5.5 m/s) for [`Thresholds::high_speed_dwell_s`] (1.0 s) or longer; dips of up
/// to [`Thresholds::bridge_s`] (0.5 s) do not end it.
///
/// ## Units
/// Speed in m/s, time in s.
///
/// ## Example
/// Speed rises evenly from 0 to 8 m/s in 4 s and falls evenly to 0 in 4 s: one high-speed run from 2.75 to 5.25 s, which
/// holds the sprint from 3.5 to 4.5 s.
///
/// ## References
/// 5.5 m/s: Bradley et al. (2009), J Sports Sci 27:159, 10.1080/02640410802512775. 1 s: Varley et al. (2017), Int J
/// Sports Physiol Perform, 10.1123/ijspp.2016-0534. Bridging: common practice, no source.
pub(super) fn high_speed_runs(motion: &Motion, thresholds: &Thresholds) -> (Vec<Effort>, Measured) {
    let rule = Rule {
        from: thresholds.bands.high_speed_m_s,
        dwell_s: thresholds.high_speed_dwell_s,
        bridge_s: thresholds.bridge_s,
    };
    measure::efforts(motion, Kind::HighSpeedRun, SPEED, rule)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::up_and_down;

    #[test]
    fn the_example_of_the_documentation() {
        let motion = up_and_down();
        let [run] = &high_speed_runs(&motion, &Thresholds::default()).0[..] else {
            panic!("one high-speed run expected");
        };
        assert!((run.start_s - 2.75).abs() < 1e-9 && (run.end_s - 5.25).abs() < 1e-9);
    }
}
