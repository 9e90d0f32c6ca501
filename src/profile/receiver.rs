//! What a kind of receiver leaves open about a sprint's curve.
//!
//! The smoother's standard deviations do not know how far neighbouring samples repeat each other, what a filter does at
//! the corners of a sprint, or how well its lag was undone. These figures were read off simulated sprints over receivers of
//! all kinds (`cargo test --test integration profile -- --nocapture` prints how often the intervals hold the truth); they
//! are no property of any one device.

use crate::motion::{FAST_HZ, Motion, SpeedFrom};

/// How the samples of a motion are to be taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Receiver {
    /// Time over which the errors of the smoothed speed repeat each other, s; short, since the ripple of the steps, which the
    /// smoother counts as error, averages out over a step.
    pub(super) correlation_s: f64,
    /// Standard deviation that ripple and model add to each sample, m/s.
    pub(super) speed_sd_m_s: f64,
    /// Time at the end of the rise that the filters round off, s.
    pub(super) edge_s: f64,
    /// Speed below which they round the start, m/s.
    pub(super) from_m_s: f64,
    /// Standard deviation of the lag that may remain, s.
    pub(super) lag_sd_s: f64,
    /// Standard deviation that device and model add to vmax, as a share of it.
    pub(super) vmax_share: f64,
    /// The same for tau, s.
    pub(super) tau_sd_s: f64,
    /// Standard deviation that the device adds to the time of a distance, s: how it rounds the start off.
    pub(super) split_sd_s: f64,
    /// The same for the start of the movement, s: a reading may stand for the whole interval before it.
    pub(super) start_sd_s: f64,
    /// Standard deviation that the device adds to force and power, as a share of them, upwards: a filter rounds the start off, where
    /// the force is highest.
    pub(super) force_above_share: f64,
    /// Most misfit of a sprint's curve, as a share of vmax.
    pub(super) misfit_share: f64,
    /// Whether what is believed before must help.
    pub(super) sparse: bool,
}

/// Fewest fixes a second from which a sprint is fitted; a median of rounded intervals may come out a little low.
const LEAST_RATE_HZ: f64 = 0.95;

impl Receiver {
    /// Of the receiver of a motion; `None` where it writes too seldom.
    pub(super) fn of(motion: &Motion) -> Option<Self> {
        let by_receiver = motion.speed_from == SpeedFrom::Receiver;
        if motion.rate_hz < LEAST_RATE_HZ {
            None
        } else if motion.rate_hz < FAST_HZ {
            let usual = if by_receiver {
                SLOW_SPEED
            } else {
                SLOW_POSITION
            };
            let speed = motion.doubts.device.and_then(|device| device.speed);
            let told = speed.filter(|_| by_receiver);
            // Where the recording leaves more of the lag open than usual, so does the curve.
            let told_sd_s = told.map_or(0.0, |lag| lag.sd_s);
            Some(Self {
                lag_sd_s: usual.lag_sd_s.max(told_sd_s),
                ..usual
            })
        } else {
            Some(if by_receiver {
                FAST_SPEED
            } else {
                FAST_POSITION
            })
        }
    }
}

const FAST_SPEED: Receiver = Receiver {
    correlation_s: 0.15,
    speed_sd_m_s: 0.05,
    edge_s: 0.2,
    from_m_s: 2.0,
    lag_sd_s: 0.05,
    vmax_share: 0.002,
    tau_sd_s: 0.015,
    split_sd_s: 0.0,
    force_above_share: 0.0,
    start_sd_s: 0.05,
    misfit_share: 0.03,
    sparse: false,
};
const FAST_POSITION: Receiver = Receiver {
    correlation_s: 0.1,
    vmax_share: 0.001,
    tau_sd_s: 0.017,
    split_sd_s: 0.007,
    ..FAST_SPEED
};
const SLOW_SPEED: Receiver = Receiver {
    correlation_s: 0.7,
    speed_sd_m_s: 0.1,
    edge_s: 0.5,
    from_m_s: 2.5,
    lag_sd_s: 0.2,
    vmax_share: 0.005,
    tau_sd_s: 0.17,
    split_sd_s: 0.1,
    force_above_share: 0.1,
    start_sd_s: 0.15,
    misfit_share: 0.05,
    sparse: true,
};
const SLOW_POSITION: Receiver = Receiver { ..SLOW_SPEED };
