//! Decelerations: braking hard.

use crate::efforts::measure::{self, BRAKING};
use crate::efforts::threshold::Rule;
use crate::efforts::{Effort, Kind, Thresholds};
use crate::measured::Measured;
use crate::motion::Motion;

/// Finds the decelerations of a session, in time order, none touching another.
///
/// ## What it finds
/// Hard stops and the braking before a turn.
///
/// ## Definition
/// Rate of change of speed, below 1 Hz as the motion gives it, at or below minus [`Thresholds::deceleration_m_s2`] (3.0
/// m/s2) for [`Thresholds::acceleration_dwell_s`] (0.5 s) or longer; dips of up to [`Thresholds::bridge_s`] (0.5 s) do not
/// end it. The peak is the most negative rate, so it is written with its sign.
///
/// ## Units
/// Acceleration in m/s2, time in s.
///
/// ## Example
/// From 6 m/s to rest at an even 4 m/s2: one deceleration of 1.5 s with a peak of -4 m/s2.
///
/// ## References
/// As for accelerations: common practice; Harper, Carling and Kiely (2019), Sports Med 49:1923,
/// 10.1007/s40279-019-01170-1.
pub(super) fn decelerations(motion: &Motion, thresholds: &Thresholds) -> (Vec<Effort>, Measured) {
    let rule = Rule {
        from: thresholds.deceleration_m_s2,
        dwell_s: thresholds.acceleration_dwell_s,
        bridge_s: thresholds.bridge_s,
    };
    measure::efforts(motion, Kind::Deceleration, BRAKING, rule)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::with_acceleration;

    #[test]
    fn the_example_of_the_documentation() {
        let motion = with_acceleration(5.0, 10.0, |t| match t {
            t if t < 2.0 => 3.0,
            t if t < 3.5 => -4.0,
            _ => 0.0,
        });
        let [stop] = &decelerations(&motion, &Thresholds::default()).0[..] else {
            panic!("one deceleration expected");
        };
        assert!(
            (stop.duration_s() - 1.5).abs() < 0.1,
            "{}",
            stop.duration_s()
        );
        assert!((stop.peak_acceleration_m_s2.expect("at 10 Hz").value + 4.0).abs() < 1e-9);
    }
}
