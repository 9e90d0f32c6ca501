//! Smooths the receiver's own speed, which comes from the Doppler shift and is far better than differenced positions.

use crate::estimation::kinematic;
use crate::motion::device::Lag;
use crate::motion::noise::Bounds;
use crate::motion::smoothed::{self, How, Smoothed};
use crate::motion::smoothing::Model;
use crate::motion::timebase::Timebase;
use crate::motion::{FAST_HZ, LEAST_LAG_S};
use crate::track::Point;

/// What is assumed of a receiver's speed.
#[derive(Clone, Copy, Debug)]
struct Device {
    /// Time constant of its own filter, s.
    lag_s: f64,
    /// Time constant of the player's acceleration, s.
    fade_s: f64,
    /// Bounds for the standard deviation of a reading, m/s.
    sd_m_s: (f64, f64),
    /// Rounds of adaptation.
    adaptations: usize,
}

/// Fast receivers lag by 0.1 to 0.3 s; the ripple of each step passes their filter and counts as noise.
const FAST: Device = Device {
    lag_s: 0.12,
    fade_s: 0.6,
    sd_m_s: (0.16, 0.16),
    adaptations: 2,
};
/// Watches filter for about a second, which leaves no ripple and little noise.
const SLOW: Device = Device {
    lag_s: 0.9,
    fade_s: 1.0,
    sd_m_s: (0.07, 0.07),
    adaptations: 4,
};

/// Bounds for the spectral density of the process noise, m2/s5.
const DENSITY: (f64, f64) = (0.5, 80.0);
/// Noise of the receiver's speed along one axis, which a standing receiver reads as speed, m/s.
const AXIS_SD_M_S: f64 = 0.06;

/// A run's speed is the receiver's when it wrote one with at least this share of its fixes.
const ENOUGH_SPEEDS: f64 = 0.5;

/// Speed at one node.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Along {
    pub(super) speed_m_s: f64,
    pub(super) acceleration_m_s2: f64,
    pub(super) speed_sd_m_s: f64,
    pub(super) acceleration_sd_m_s2: f64,
}

impl Along {
    /// Of the numbers that the smoother made of a node.
    pub(super) fn of(numbers: &[f64]) -> Option<Self> {
        let &[
            speed_m_s,
            acceleration_m_s2,
            speed_sd_m_s,
            acceleration_sd_m_s2,
        ] = numbers
        else {
            return None;
        };
        Some(Self {
            speed_m_s,
            acceleration_m_s2,
            speed_sd_m_s,
            acceleration_sd_m_s2,
        })
    }
}

/// Whether so many points of a run have the receiver's own speed that it is taken for that of the run.
pub(super) fn is_enough(points: &[Point]) -> bool {
    let speeds = points.iter().filter(|p| p.speed_m_s().is_some()).count();
    speeds > 0 && speeds as f64 >= ENOUGH_SPEEDS * points.len() as f64
}

/// Smooths the speeds of each run; `lag` is how late the readings are.
pub(super) fn smooth(runs: &[(&[Point], Timebase)], rate_hz: f64, lag: Lag) -> Vec<Smoothed> {
    let device = usual_device(rate_hz);
    let model = |lag_s: f64| Model {
        process: kinematic::lagged_fading_acceleration(lag_s.max(LEAST_LAG_S), device.fade_s),
        fade_s: device.fade_s,
        observed_components: 2,
        has_velocity: false,
    };
    let slow = rate_hz < FAST_HZ;
    let (low, high) = device.sd_m_s;
    let how = How {
        model: model(lag.mean_s),
        others: slow.then(|| lag.ends_s(LEAST_LAG_S).map(model)),
        bounds: Bounds {
            density: DENSITY,
            variance: (low * low, high * high),
        },
        adaptations: device.adaptations,
    };
    smoothed::each(
        runs,
        &how,
        |point| point.speed_m_s().map(|v| [without_noise_floor(v)]),
        |s| {
            let sd = |component| s.variance(component).max(0.0).sqrt();
            [s.mean(1)[0].max(0.0), s.mean(2)[0], sd(1), sd(2)]
        },
        |s| s.mean(1)[0].max(0.0),
    )
}

fn usual_device(rate_hz: f64) -> Device {
    if rate_hz < FAST_HZ { SLOW } else { FAST }
}

/// How late a receiver of this rate usually writes its speed, s; for those whose recording does not tell.
pub(super) fn prior_lag_s(rate_hz: f64) -> f64 {
    usual_device(rate_hz).lag_s * lag_share(rate_hz)
}

/// The share of the lag at a fix a second that a receiver of another rate has: those that write more often filter less.
/// From 4 Hz on other figures stand.
pub(super) fn lag_share(rate_hz: f64) -> f64 {
    if (1.0..FAST_HZ).contains(&rate_hz) {
        rate_hz.powf(-0.8)
    } else {
        1.0
    }
}

/// A speed read from noisy velocity is never 0: the part that noise alone adds is taken off.
pub(super) fn without_noise_floor(speed_m_s: f64) -> f64 {
    (speed_m_s * speed_m_s - 2.0 * AXIS_SD_M_S * AXIS_SD_M_S)
        .max(0.0)
        .sqrt()
}
