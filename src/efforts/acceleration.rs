//! Accelerations: speeding up hard.

use crate::efforts::measure::{self, SPEEDING_UP};
use crate::efforts::threshold::Rule;
use crate::efforts::{Effort, Kind, Thresholds};
use crate::measured::Measured;
use crate::motion::Motion;

/// Finds the accelerations of a session, in time order, none touching another.
///
/// ## What it finds
/// Hard starts and bursts, whatever speed they lead to.
///
/// ## Definition
/// Rate of change of speed, below 1 Hz as the motion gives it, at or above [`Thresholds::acceleration_m_s2`] (3.0 m/s2)
/// for [`Thresholds::acceleration_dwell_s`] (0.5 s) or longer; dips of up to [`Thresholds::bridge_s`] (0.5 s) do not end
/// it. Counts fall steeply as the least duration grows, so they compare only under the same settings.
///
/// ## Units
/// Acceleration in m/s2, time in s.
///
/// ## Example
/// From rest at an even 4 m/s2 for 1 s: one acceleration of 1 s that ends at 4 m/s.
///
/// ## References
/// 3 m/s2 and 0.5 s: common practice; Harper, Carling and Kiely (2019), Sports Med 49:1923, 10.1007/s40279-019-01170-1,
/// use 2.5 and 3.5 m/s2. On the least duration: Varley et al. (2017), Int J Sports Physiol Perform,
/// 10.1123/ijspp.2016-0534.
pub(super) fn accelerations(motion: &Motion, thresholds: &Thresholds) -> (Vec<Effort>, Measured) {
    let rule = Rule {
        from: thresholds.acceleration_m_s2,
        dwell_s: thresholds.acceleration_dwell_s,
        bridge_s: thresholds.bridge_s,
    };
    measure::efforts(motion, Kind::Acceleration, SPEEDING_UP, rule)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::with_acceleration;

    #[test]
    fn the_example_of_the_documentation() {
        let motion = with_acceleration(
            4.0,
            10.0,
            |t| if (1.0..=2.0).contains(&t) { 4.0 } else { 0.0 },
        );
        let [burst] = &accelerations(&motion, &Thresholds::default()).0[..] else {
            panic!("one acceleration expected");
        };
        // The step from 0 to 4 m/s2 within 0.1 s crosses 3 m/s2 a quarter of a step before the first full sample.
        assert!(
            (burst.duration_s() - 1.05).abs() < 1e-6,
            "{}",
            burst.duration_s()
        );
        assert!((burst.peak_acceleration_m_s2.expect("at 10 Hz").value - 4.0).abs() < 1e-9);
    }

    #[test]
    fn too_short_or_too_weak_is_none() {
        let weak = with_acceleration(
            4.0,
            10.0,
            |t| if (1.0..=2.0).contains(&t) { 2.9 } else { 0.0 },
        );
        let short = with_acceleration(
            4.0,
            10.0,
            |t| if (1.0..1.35).contains(&t) { 4.0 } else { 0.0 },
        );
        assert!(accelerations(&weak, &Thresholds::default()).0.is_empty());
        assert!(accelerations(&short, &Thresholds::default()).0.is_empty());
    }
}
