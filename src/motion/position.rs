//! Smooths positions: place and velocity along east and north.

use nalgebra::SMatrix;

use crate::estimation::kinematic;
use crate::motion::noise::{self, Bounds};
use crate::motion::receiver_speed;
use crate::motion::smoothing::{Model, Prepared, Series};
use crate::motion::timebase::Timebase;
use crate::track::{Point, Rate};

/// Below this rate a device's own filter shapes what is seen, and the model carries it.
const FILTERED_BELOW_HZ: f64 = 4.0;
/// Time constant of the acceleration for fast receivers, s.
const FADE_FAST_S: f64 = 0.6;
/// Time constant of the acceleration for slow ones, s.
const FADE_SLOW_S: f64 = 1.0;
/// What is assumed of a slow device: the time constant of its own filter, s, which its recording does not show well
/// enough to be found, and bounds for the spectral density of the process noise, m2/s5.
#[derive(Clone, Copy, Debug)]
struct Device {
    lag_s: f64,
    density: (f64, f64),
}

/// A watch: a fix every second without fail, smoothed by the device for about as long.
const WATCH: Device = Device {
    lag_s: 1.1,
    density: (1.5, 50.0),
};
/// A phone: a fix every second when it can, with less of a filter.
const PHONE: Device = Device {
    lag_s: 0.8,
    density: (1.0, 50.0),
};
/// Fixes so far apart that the motion between them is hardly seen, and its noise level least of all.
const SPARSE: Device = Device {
    lag_s: 0.9,
    density: (8.0, 20.0),
};
/// Bounds for fast receivers, m2/s5: players accelerate at 0.2 to 5 m/s2 in the mean.
const DENSITY_FAST: (f64, f64) = (0.13, 80.0);
/// Bounds for the variance of a position, m2: receivers are off by 1 cm to 5 m.
const VARIANCE: (f64, f64) = (1e-4, 25.0);
/// A receiver that misses more than this share of its fixes is a phone.
const LOST_SHARE: f64 = 1e-3;
/// Rounds of adaptation, slow and fast receivers.
const ADAPTATIONS_SLOW: usize = 4;
const ADAPTATIONS_FAST: usize = 1;

/// Place and velocity at one node, with standard deviations along one axis.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Planar {
    pub(super) position_m: [f64; 2],
    pub(super) velocity_m_s: [f64; 2],
    pub(super) acceleration_m_s2: [f64; 2],
    pub(super) position_sd_m: f64,
    pub(super) velocity_sd_m_s: f64,
    pub(super) acceleration_sd_m_s2: f64,
}

/// For each run the state at each node; empty where the run has no position.
pub(super) fn smooth(runs: &[(&[Point], Timebase)], rate: Rate) -> Vec<Vec<Planar>> {
    let series: Vec<Series<2>> = runs
        .iter()
        .map(|(points, base)| series(points, base))
        .collect();
    if rate.hz < FILTERED_BELOW_HZ {
        let device = if rate.irregular {
            SPARSE
        } else if loses_fixes(runs, rate.hz) {
            PHONE
        } else {
            WATCH
        };
        let model = Model {
            process: kinematic::lagged_singer(device.lag_s * lag_share(rate), FADE_SLOW_S),
            fade_s: FADE_SLOW_S,
            observed_components: 2,
            has_velocity: true,
        };
        smooth_by(&series, model, device.density, ADAPTATIONS_SLOW)
    } else {
        let model = Model {
            process: kinematic::singer(FADE_FAST_S),
            fade_s: FADE_FAST_S,
            observed_components: 1,
            has_velocity: true,
        };
        smooth_by(&series, model, DENSITY_FAST, ADAPTATIONS_FAST)
    }
}

/// A device filters for about as long as it waits between fixes: the share of the lag at a fix a second for others.
fn lag_share(rate: Rate) -> f64 {
    if rate.irregular {
        1.0
    } else {
        receiver_speed::lag_share(rate.hz)
    }
}

/// Whether fixes are missing here and there: phones lose some, watches hardly any.
fn loses_fixes(runs: &[(&[Point], Timebase)], rate_hz: f64) -> bool {
    let limit_s = 1.6 / rate_hz;
    let intervals: usize = runs.iter().map(|(points, _)| points.len()).sum();
    let long = |points: &[Point]| {
        points
            .windows(2)
            .filter(|w| w[1].time_s - w[0].time_s > limit_s)
            .count()
    };
    let missing: usize =
        runs.iter().map(|(points, _)| long(points)).sum::<usize>() + runs.len().saturating_sub(1);
    missing as f64 > LOST_SHARE * intervals as f64
}

fn series(points: &[Point], base: &Timebase) -> Series<2> {
    let mut observed = vec![None; base.nodes_s.len()];
    for (point, node) in points.iter().zip(&base.node_of_point) {
        observed[*node] = point
            .position_m
            .map(|p| SMatrix::<f64, 1, 2>::new(p[0], p[1]));
    }
    Series {
        times_s: base.nodes_s.clone(),
        observed,
    }
}

fn smooth_by<const N: usize>(
    series: &[Series<2>],
    model: Model<N>,
    density: (f64, f64),
    adaptations: usize,
) -> Vec<Vec<Planar>> {
    let noise = noise::estimate(
        series,
        model,
        Bounds {
            density,
            variance: VARIANCE,
        },
    );
    series
        .iter()
        .map(|one| {
            if one.observed.iter().all(Option::is_none) {
                return Vec::new();
            }
            let states = Prepared::new(one, model).smooth(noise, adaptations);
            let row = |i: usize, m: &SMatrix<f64, N, 2>| [m[(i, 0)], m[(i, 1)]];
            let sd = |i: usize, c: &SMatrix<f64, N, N>| c[(i, i)].max(0.0).sqrt();
            states
                .iter()
                .map(|s| Planar {
                    position_m: row(N - 3, &s.mean),
                    velocity_m_s: row(N - 2, &s.mean),
                    acceleration_m_s2: row(N - 1, &s.mean),
                    position_sd_m: sd(N - 3, &s.covariance),
                    velocity_sd_m_s: sd(N - 2, &s.covariance),
                    acceleration_sd_m_s2: sd(N - 1, &s.covariance),
                })
                .collect()
        })
        .collect()
}
