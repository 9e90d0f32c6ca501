//! How well the positions of a receiver agree with its own speed.

use crate::estimation::length;
use crate::motion::{Motion, SpeedFrom};

/// Below this, by both accounts, two ways are not compared: standing still is a way for noise, m/s.
const MOVING_M_S: f64 = 1.0;
/// Least way to compare, m.
const LEAST_WAY_M: f64 = 300.0;

/// The way of the smoothed positions as a share of that of the receiver's speed; `None` where one of the two is not there, or
/// too little was run.
pub(super) fn of_ways(motion: &Motion) -> Option<f64> {
    if motion.speed_from != SpeedFrom::Receiver || !motion.has_position {
        return None;
    }
    let (mut by_place, mut by_speed) = (0.0, 0.0);
    for sample in motion.samples.iter().filter(|s| !s.bridged) {
        let speed = length(sample.vx_m_s, sample.vy_m_s);
        if speed.min(sample.speed_m_s) > MOVING_M_S {
            by_place += speed * motion.step_s;
            by_speed += sample.speed_m_s * motion.step_s;
        }
    }
    (by_speed > LEAST_WAY_M).then(|| by_place / by_speed)
}
