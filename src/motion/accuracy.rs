//! What device and model add to the smoother's own standard deviations.
//!
//! The smoother knows how far its state may be off when its model holds. It does not know how a device filters, how a
//! stride ripples, or how far a slow receiver's path cuts corners. These figures were read off simulated sessions with
//! receivers of all kinds (`cargo bench --bench accuracy` repeats it); they are no property of any one device.

use crate::motion::{Motion, SpeedFrom};

/// How far the answers of a motion may be off, as multiples of the smoother's own standard deviations and beyond them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Accuracy {
    /// How far the truth lies below a peak, at most, in 95 % intervals of the smoother.
    pub(super) peak_below: f64,
    /// How far above: more, since filters cut peaks.
    pub(super) peak_above: f64,
    /// Standard deviation of what the device does to a peak, as a share of it.
    pub(super) peak_share: f64,
    /// Standard deviation of a distance as a share of it.
    pub(super) distance_share: f64,
    /// Standard deviation of each end of a distance, m.
    pub(super) distance_end_m: f64,
}

impl Accuracy {
    /// The figures for the receiver of a motion.
    pub(super) fn of(motion: &Motion) -> Self {
        let receiver = motion.speed_from == SpeedFrom::Receiver;
        match (motion.rate_hz, receiver) {
            (hz, true) if hz >= 4.0 => FAST_SPEED,
            (hz, false) if hz >= 4.0 => FAST_POSITION,
            (_, true) => SLOW_SPEED,
            _ if motion.irregular => SPARSE,
            _ => SLOW_POSITION,
        }
    }
}

const FAST_SPEED: Accuracy = Accuracy {
    peak_below: 0.6,
    peak_above: 1.0,
    peak_share: 0.005,
    distance_share: 0.0045,
    distance_end_m: 0.5,
};
const FAST_POSITION: Accuracy = Accuracy {
    peak_below: 0.6,
    peak_above: 0.7,
    peak_share: 0.008,
    distance_share: 0.008,
    distance_end_m: 0.4,
};
const SLOW_SPEED: Accuracy = Accuracy {
    peak_below: 1.0,
    peak_above: 1.5,
    peak_share: 0.02,
    distance_share: 0.03,
    distance_end_m: 1.5,
};
const SLOW_POSITION: Accuracy = Accuracy {
    peak_below: 1.05,
    peak_above: 1.75,
    peak_share: 0.03,
    distance_share: 0.055,
    distance_end_m: 1.7,
};
const SPARSE: Accuracy = Accuracy {
    peak_below: 0.6,
    peak_above: 1.9,
    peak_share: 0.06,
    distance_share: 0.1,
    distance_end_m: 4.0,
};
