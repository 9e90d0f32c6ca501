//! What device and model add to the smoother's own standard deviations.
//!
//! The smoother knows how far its state may be off when its model holds. It does not know how a device filters, how a
//! stride ripples, or how far a slow receiver's path cuts corners. These figures were read off simulated sessions with
//! receivers of all kinds (`cargo bench --bench accuracy` repeats it); they are no property of any one device. Each set of them is about
//! the one with the lowest interval score (width, and 2 / 0.05 of what the truth lies outside), which is lowest where an interval
//! holds 95 % and is as narrow as may be.
//!
//! ## References
//! Gneiting and Raftery (2007), Strictly proper scoring rules, prediction, and estimation, J Am Stat Assoc 102:359, 6.2 (from memory).

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
    /// How far the time in a band of speed may be off.
    pub(super) bands: BandAccuracy,
}

/// How far the time and the way in a band of speed may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BandAccuracy {
    /// How long the noise of a speed repeats itself, s: so long a time near an edge is off alike.
    pub(crate) repeats_s: f64,
    /// Standard deviation of what all speeds are off by alike, as a share of them.
    pub(crate) share: f64,
    /// Of the time spent hardly above standing, how much may have been stood beyond its probability, and how much of it that was
    /// taken for standing may have been walked.
    pub(crate) stood: f64,
    pub(crate) walked: f64,
}

impl Accuracy {
    /// The figures for the receiver of a motion.
    pub(super) fn of(motion: &Motion) -> Self {
        let receiver = motion.speed_from == SpeedFrom::Receiver;
        match (motion.rate_hz, receiver) {
            (hz, true) if hz >= 4.0 => {
                let shown = motion.doubts.witness.speed_noise_m_s;
                FAST_SPEED.of_noise(shown.filter(|noise_m_s| *noise_m_s > 0.0))
            }
            (hz, false) if hz >= 4.0 && motion.signs.by_satellite => FAST_SATELLITE,
            (hz, false) if hz >= 4.0 => FAST_POSITION,
            (_, true) if may_be_vector(motion) => SLOW_VECTOR,
            (_, true) => SLOW_SPEED,
            _ if motion.irregular => SPARSE,
            _ if motion.doubts.loses_fixes => LOSING,
            _ => SLOW_POSITION,
        }
    }

    /// The same for a receiver whose speed is so noisy while he stands, along one axis: what noise does to a peak grows with it, and
    /// what is taken off a way for it with its square.
    fn of_noise(self, noise_m_s: Option<f64>) -> Self {
        let Some(noise_m_s) = noise_m_s else {
            return self;
        };
        let times = (noise_m_s / USUAL_NOISE_M_S).clamp(LEAST_NOISE, MOST_NOISE);
        let way = 1.0_f64.hypot(NOISE_IN_WAY * times * times) / 1.0_f64.hypot(NOISE_IN_WAY);
        Self {
            peak_below: self.peak_below * times,
            peak_above: self.peak_above * times,
            distance_share: self.distance_share * way,
            distance_share_above: self.distance_share_above * way,
            ..self
        }
    }
}

/// Noise of a fast receiver's speed that the figures stand for, m/s, and how far from it they are carried, as multiples of it.
const USUAL_NOISE_M_S: f64 = 0.1;
const LEAST_NOISE: f64 = 0.6;
const MOST_NOISE: f64 = 1.6;
/// What the noise adds to what a way is off by, beside all else.
const NOISE_IN_WAY: f64 = 0.36;

/// Whether a slow receiver's speed may have been filtered as a vector: it was filtered, and its positions no more than it.
pub(super) fn may_be_vector(motion: &Motion) -> bool {
    let lag = motion.doubts.device.and_then(|device| device.speed);
    let filtered = lag.is_none_or(|lag| lag.none < 0.5);
    filtered && motion.signs.path_share.is_none_or(|s| s > CUT_SHORT)
}

/// Positions whose path falls short of the speed's integral by this share or less were filtered no more than the speed.
const CUT_SHORT: f64 = 0.987;

const FAST_SPEED: Accuracy = Accuracy {
    peak_below: 0.6,
    peak_above: 0.47,
    device_share: 1.0,
    peak_share: 0.005,
    brief_below: 0.0,
    brief_above: 0.09,
    brief_s: 1.0,
    turned_above: 0.0,
    distance_share: 0.002,
    distance_share_above: 0.004,
    distance_end_m: 0.6,
    bands: BandAccuracy {
        repeats_s: 0.4,
        share: 0.007,
        stood: 0.6,
        walked: 0.7,
    },
};
/// A filter, where there is one, cuts corners and peaks, so that the truth lies farther above than below.
const FAST_POSITION: Accuracy = Accuracy {
    peak_below: 0.82,
    peak_above: 0.44,
    device_share: 1.0,
    peak_share: 0.004,
    brief_below: 0.0,
    brief_above: 0.12,
    brief_s: 1.0,
    turned_above: 0.0,
    distance_share: 0.001_7,
    distance_share_above: 0.005,
    distance_end_m: 0.5,
    bands: BandAccuracy {
        repeats_s: 0.4,
        share: 0.007,
        stood: 0.5,
        walked: 0.4,
    },
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
    bands: BandAccuracy {
        repeats_s: 1.0,
        share: 0.03,
        stood: 1.2,
        walked: 0.4,
    },
};
/// How far the speed may be off by a factor is a matter of the recording (`scale`), beside this.
const SLOW_SPEED: Accuracy = Accuracy {
    peak_below: 0.65,
    peak_above: 0.3,
    device_share: 0.6,
    peak_share: 0.018,
    brief_below: 0.0,
    brief_above: 0.19,
    brief_s: 1.4,
    turned_above: 0.0,
    distance_share: 0.003_5,
    distance_share_above: 0.003_5,
    distance_end_m: 1.5,
    bands: BandAccuracy {
        repeats_s: 2.0,
        share: 0.035,
        stood: 1.0,
        walked: 0.8,
    },
};
/// A speed that was filtered as a vector loses in every turn what nothing brings back.
const SLOW_VECTOR: Accuracy = Accuracy {
    peak_below: 1.0,
    peak_above: 1.0,
    brief_below: 0.05,
    turned_above: 0.1,
    ..SLOW_SPEED
};
const SLOW_POSITION: Accuracy = Accuracy {
    peak_below: 1.0,
    peak_above: 0.2,
    device_share: 0.68,
    peak_share: 0.019,
    brief_below: 0.0,
    brief_above: 0.035,
    brief_s: 1.4,
    turned_above: 0.0,
    distance_share: 0.03,
    distance_share_above: 0.021,
    distance_end_m: 1.7,
    bands: BandAccuracy {
        repeats_s: 3.0,
        share: 0.045,
        stood: 1.3,
        walked: 0.5,
    },
};
/// A phone jumps and loses fixes; what its peaks are off by was not said by the smoother.
const LOSING: Accuracy = Accuracy {
    peak_below: 1.0,
    peak_above: 0.75,
    device_share: 0.35,
    peak_share: 0.023,
    brief_above: 0.28,
    distance_share: 0.012,
    distance_share_above: 0.012,
    bands: BandAccuracy {
        repeats_s: 4.0,
        share: 0.07,
        stood: 1.8,
        walked: 0.4,
    },
    ..SLOW_POSITION
};
const SPARSE: Accuracy = Accuracy {
    peak_below: 0.9,
    peak_above: 0.85,
    device_share: 0.1,
    peak_share: 0.01,
    brief_below: 0.14,
    brief_above: 0.2,
    brief_s: 3.0,
    turned_above: 0.0,
    distance_share: 0.012,
    distance_share_above: 0.052,
    distance_end_m: 4.0,
    bands: BandAccuracy {
        repeats_s: 5.0,
        share: 0.05,
        stood: 1.4,
        walked: 0.3,
    },
};
