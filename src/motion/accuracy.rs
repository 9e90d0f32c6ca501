//! What device and model add to the smoother's own standard deviations.
//!
//! The smoother knows how far its state may be off when its model holds. It does not know how a device filters, how a
//! stride ripples, or how far a slow receiver's path cuts corners. These figures were read off simulated sessions with
//! receivers of all kinds (`cargo bench --bench accuracy` repeats it); they are no property of any one device.

use crate::motion::{Motion, SpeedFrom};

/// How far the answers of a motion may be off, as multiples of the smoother's own standard deviations and beyond them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Accuracy {
    /// What the smoother's standard deviation of a peak is multiplied by: how far the truth lies below.
    pub(super) peak_below: f64,
    /// The same for how far above.
    pub(super) peak_above: f64,
    /// What remains of the lag's own spread in a peak, as a share of it: errors of lag and of noise are not independent.
    pub(super) device_share: f64,
    /// Standard deviation of what the device does to a peak, as a share of it.
    pub(super) peak_share: f64,
    /// How much farther below the truth of a brief peak may lie, as a share of it; it fades with the time spent near it.
    pub(super) brief_below: f64,
    /// The same for how far above: more, since filters cut peaks.
    pub(super) brief_above: f64,
    /// The time near a peak over which that fades by a factor e, s.
    pub(super) brief_s: f64,
    /// How much farther above the truth of a peak between turns may lie, as a share of it.
    pub(super) turned_above: f64,
    /// Standard deviation of a distance as a share of it: how far the truth lies below.
    pub(super) distance_share: f64,
    /// The same for how far above: filters cut corners.
    pub(super) distance_share_above: f64,
    /// Standard deviation of each end of a distance, m.
    pub(super) distance_end_m: f64,
}

impl Accuracy {
    /// The figures for the receiver of a motion.
    pub(super) fn of(motion: &Motion) -> Self {
        let receiver = motion.speed_from == SpeedFrom::Receiver;
        // Only a filter can have been one of the vector.
        let lag = motion.doubts.device.and_then(|device| device.speed);
        let speed_filtered = lag.is_none_or(|lag| lag.none < 0.5);
        match (motion.rate_hz, receiver) {
            (hz, true) if hz >= 4.0 => FAST_SPEED,
            (hz, false) if hz >= 4.0 && motion.signs.by_satellite => FAST_SATELLITE,
            (hz, false) if hz >= 4.0 => FAST_POSITION,
            (_, true)
                if speed_filtered && motion.signs.path_share.is_none_or(|s| s > CUT_SHORT) =>
            {
                SLOW_VECTOR
            }
            (_, true) => SLOW_SPEED,
            _ if motion.irregular => SPARSE,
            _ if motion.doubts.loses_fixes => LOSING,
            _ => SLOW_POSITION,
        }
    }
}

/// Positions whose path falls short of the speed's integral by this share or less were filtered no more than the speed.
const CUT_SHORT: f64 = 0.987;

const FAST_SPEED: Accuracy = Accuracy {
    peak_below: 0.42,
    peak_above: 0.85,
    device_share: 1.0,
    peak_share: 0.005,
    brief_below: 0.0,
    brief_above: 0.03,
    brief_s: 1.0,
    turned_above: 0.0,
    distance_share: 0.006,
    distance_share_above: 0.006,
    distance_end_m: 0.6,
};
const FAST_POSITION: Accuracy = Accuracy {
    peak_below: 0.6,
    peak_above: 0.7,
    device_share: 1.0,
    peak_share: 0.008,
    brief_below: 0.0,
    brief_above: 0.01,
    brief_s: 1.0,
    turned_above: 0.0,
    distance_share: 0.004,
    distance_share_above: 0.004,
    distance_end_m: 0.5,
};
/// Satellites drift by metres a minute, which a system at the pitch does not.
const FAST_SATELLITE: Accuracy = Accuracy {
    peak_below: 1.0,
    peak_above: 1.2,
    device_share: 1.0,
    peak_share: 0.015,
    brief_below: 0.05,
    brief_above: 0.15,
    brief_s: 1.0,
    turned_above: 0.0,
    distance_share: 0.03,
    distance_share_above: 0.03,
    distance_end_m: 1.0,
};
const SLOW_SPEED: Accuracy = Accuracy {
    peak_below: 0.51,
    peak_above: 0.51,
    device_share: 0.85,
    peak_share: 0.017,
    brief_below: 0.042,
    brief_above: 0.1,
    brief_s: 1.4,
    turned_above: 0.0,
    distance_share: 0.009,
    distance_share_above: 0.009,
    distance_end_m: 1.5,
};
/// A speed that was filtered as a vector loses in every turn what nothing brings back.
const SLOW_VECTOR: Accuracy = Accuracy {
    turned_above: 0.25,
    distance_share: 0.015,
    distance_share_above: 0.05,
    ..SLOW_SPEED
};
const SLOW_POSITION: Accuracy = Accuracy {
    peak_below: 0.4,
    peak_above: 0.4,
    device_share: 0.8,
    peak_share: 0.024,
    brief_below: 0.065,
    brief_above: 0.12,
    brief_s: 1.4,
    turned_above: 0.0,
    distance_share: 0.03,
    distance_share_above: 0.03,
    distance_end_m: 1.7,
};
/// A phone jumps and loses fixes; what its peaks are off by was not said by the smoother.
const LOSING: Accuracy = Accuracy {
    peak_below: 0.5,
    peak_above: 0.5,
    device_share: 1.0,
    peak_share: 0.03,
    brief_below: 0.08,
    brief_above: 0.15,
    distance_share: 0.04,
    distance_share_above: 0.04,
    ..SLOW_POSITION
};
const SPARSE: Accuracy = Accuracy {
    peak_below: 0.51,
    peak_above: 0.51,
    device_share: 0.85,
    peak_share: 0.05,
    brief_below: 0.13,
    brief_above: 0.64,
    brief_s: 3.0,
    turned_above: 0.0,
    distance_share: 0.05,
    distance_share_above: 0.05,
    distance_end_m: 4.0,
};
