//! Smooths the receiver's own speed, which comes from the Doppler shift and is far better than differenced positions.

use nalgebra::SMatrix;

use crate::estimation::kinematic;
use crate::motion::device::Lag;
use crate::motion::noise::{self, Bounds};
use crate::motion::smoothing::{Model, Prepared, Series};
use crate::motion::timebase::Timebase;
use crate::track::Point;

/// Below this rate the device's own filter leaves no ripple and little noise.
const FILTERED_BELOW_HZ: f64 = 4.0;

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

/// A shorter lag is as good as this one, s; none at all would be another model.
const LEAST_LAG_S: f64 = 0.02;
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

/// Speed at one node.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Along {
    pub(super) speed_m_s: f64,
    pub(super) acceleration_m_s2: f64,
    pub(super) speed_sd_m_s: f64,
    pub(super) acceleration_sd_m_s2: f64,
}

/// What was found of one run; all empty where it has no speed.
#[derive(Clone, Debug, Default)]
pub(super) struct Smoothed {
    /// The state at each node.
    pub(super) states: Vec<Along>,
    /// The speed at each node if the lag were one standard deviation shorter and longer, m/s; for slow receivers.
    pub(super) otherwise_m_s: [Vec<f64>; 2],
}

/// Smooths the speeds of each run; `lag` is how late the readings are.
pub(super) fn smooth(runs: &[(&[Point], Timebase)], rate_hz: f64, lag: Lag) -> Vec<Smoothed> {
    let series: Vec<Series<1>> = runs
        .iter()
        .map(|(points, base)| series(points, base))
        .collect();
    let device = usual_device(rate_hz);
    let model = |lag_s: f64| Model {
        process: kinematic::lagged_fading_acceleration(lag_s.max(LEAST_LAG_S), device.fade_s),
        fade_s: device.fade_s,
        observed_components: 2,
        has_velocity: false,
    };
    let slow = rate_hz < FILTERED_BELOW_HZ;
    let others = slow.then(|| lag.ends_s(LEAST_LAG_S).map(model));
    smooth_by(&series, model(lag.mean_s), others, device)
}

fn usual_device(rate_hz: f64) -> Device {
    if rate_hz < FILTERED_BELOW_HZ {
        SLOW
    } else {
        FAST
    }
}

/// How late a receiver of this rate usually writes its speed, s; for those whose recording does not tell.
pub(super) fn prior_lag_s(rate_hz: f64) -> f64 {
    usual_device(rate_hz).lag_s * lag_share(rate_hz)
}

/// The share of the lag at a fix a second that a receiver of another rate has: those that write more often filter less.
/// From 4 Hz on other figures stand.
pub(super) fn lag_share(rate_hz: f64) -> f64 {
    if (1.0..FILTERED_BELOW_HZ).contains(&rate_hz) {
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

fn series(points: &[Point], base: &Timebase) -> Series<1> {
    let mut observed = vec![None; base.nodes_s.len()];
    for (point, node) in points.iter().zip(&base.node_of_point) {
        observed[*node] = point
            .speed_m_s
            .map(|v| SMatrix::<f64, 1, 1>::new(without_noise_floor(v)));
    }
    Series {
        times_s: base.nodes_s.clone(),
        observed,
    }
}

fn smooth_by<const N: usize>(
    series: &[Series<1>],
    model: Model<N>,
    others: Option<[Model<N>; 2]>,
    device: Device,
) -> Vec<Smoothed> {
    let (low, high) = device.sd_m_s;
    let noise = noise::estimate(
        series,
        model,
        Bounds {
            density: DENSITY,
            variance: (low * low, high * high),
        },
    );
    series
        .iter()
        .map(|one| {
            if one.observed.iter().all(Option::is_none) {
                return Smoothed::default();
            }
            let (states, levels) = Prepared::new(one, model).smooth(noise, device.adaptations);
            let otherwise_m_s = others.map_or_else(Default::default, |models| {
                models.map(|model| {
                    let states = Prepared::new(one, model).smooth_at(&levels);
                    states.iter().map(|s| s.mean[N - 2].max(0.0)).collect()
                })
            });
            let states = states
                .iter()
                .map(|s| Along {
                    speed_m_s: s.mean[N - 2].max(0.0),
                    acceleration_m_s2: s.mean[N - 1],
                    speed_sd_m_s: s.covariance[(N - 2, N - 2)].max(0.0).sqrt(),
                    acceleration_sd_m_s2: s.covariance[(N - 1, N - 1)].max(0.0).sqrt(),
                })
                .collect();
            Smoothed {
                states,
                otherwise_m_s,
            }
        })
        .collect()
}
