//! What device and model add to the smoother's own standard deviations.
//!
//! The smoother knows how far its state may be off when its model holds. It does not know how a device filters, how a
//! stride ripples, or how far a slow receiver's path cuts corners. These figures were read off simulated sessions with
//! receivers of all kinds (`cargo bench --bench accuracy` repeats it); they are no property of any one device.

use crate::motion::{Motion, SpeedFrom};

/// How far the answers of a motion may be off beyond the smoother's own standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Accuracy {
    /// Multiplies the smoother's standard deviation of a peak speed.
    pub(super) peak_inflation: f64,
    /// Standard deviation of what the device and the model do to a peak, as a share of it.
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
            (hz, true) if hz >= 4.0 => Self {
                peak_inflation: 1.0,
                peak_share: 0.005,
                distance_share: 0.004,
                distance_end_m: 0.4,
            },
            (hz, false) if hz >= 4.0 => Self {
                peak_inflation: 1.0,
                peak_share: 0.008,
                distance_share: 0.01,
                distance_end_m: 0.4,
            },
            (_, true) => Self {
                peak_inflation: 1.0,
                peak_share: 0.02,
                distance_share: 0.01,
                distance_end_m: 1.0,
            },
            _ if motion.irregular => Self {
                peak_inflation: 1.0,
                peak_share: 0.06,
                distance_share: 0.05,
                distance_end_m: 3.0,
            },
            _ => Self {
                peak_inflation: 1.0,
                peak_share: 0.03,
                distance_share: 0.03,
                distance_end_m: 2.0,
            },
        }
    }
}
