//! Smooths positions: place and velocity along east and north.

use crate::estimation::{adjoint, kinematic, length};
use crate::motion::device::Lag;
use crate::motion::noise::Bounds;
use crate::motion::smoothed::{self, How, Smoothed};
use crate::motion::smoothing::Model;
use crate::motion::timebase::Timebase;
use crate::motion::{FAST_HZ, LEAST_LAG_S, receiver_speed};
use crate::track::{Point, Rate};

/// Time constant of the acceleration for fast receivers, s.
const FADE_FAST_S: f64 = 0.6;
/// Time constant of the acceleration for slow ones, s.
const FADE_SLOW_S: f64 = 1.0;
/// Bounds for the spectral density of the process noise of slow receivers, m2/s5: a watch, with a fix every second without
/// fail, a phone, which loses some, and fixes so far apart that the motion between them is hardly seen.
const DENSITY_WATCH: (f64, f64) = (1.5, 50.0);
const DENSITY_PHONE: (f64, f64) = (1.0, 50.0);
const DENSITY_SPARSE: (f64, f64) = (8.0, 20.0);
/// The time constant of a device's filter where the fixes lie too far apart to tell it, s.
const LAG_SPARSE_S: f64 = 0.9;
/// Bounds for fast receivers, m2/s5: players accelerate at 0.2 to 5 m/s2 in the mean.
const DENSITY_FAST: (f64, f64) = (0.13, 80.0);
/// Bounds for the variance of a position, m2: receivers are off by 1 cm to 5 m.
const VARIANCE: (f64, f64) = (1e-4, 25.0);
/// A receiver that misses its fixes more often than twice an hour, at a fix a second, is a phone: as a share of them.
const LOST_SHARE: f64 = 6e-4;
/// Rounds of adaptation, slow and fast receivers.
const ADAPTATIONS_SLOW: usize = 4;
const ADAPTATIONS_FAST: usize = 1;

/// What the smoother says of a node.
type State<'a, const N: usize> = adjoint::Smoothed<'a, N, 2>;

/// Place and velocity at one node, with the standard deviation of the place along one axis.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Planar {
    pub(super) position_m: [f64; 2],
    pub(super) velocity_m_s: [f64; 2],
    pub(super) position_sd_m: f64,
    pub(super) pace: Pace,
}

/// What positions say of speed and acceleration, with standard deviations along one axis.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Pace {
    pub(super) acceleration_m_s2: [f64; 2],
    pub(super) velocity_sd_m_s: f64,
    pub(super) acceleration_sd_m_s2: f64,
}

impl Planar {
    /// Of the numbers that the smoother made of a node; no pace where none was asked for.
    pub(super) fn of(numbers: &[f64]) -> Option<Self> {
        let [x, y, vx, vy, position_sd_m, pace @ ..] = numbers else {
            return None;
        };
        let pace = match pace {
            [ax, ay, velocity_sd_m_s, acceleration_sd_m_s2] => Pace {
                acceleration_m_s2: [*ax, *ay],
                velocity_sd_m_s: *velocity_sd_m_s,
                acceleration_sd_m_s2: *acceleration_sd_m_s2,
            },
            _ => Pace::default(),
        };
        Some(Self {
            position_m: [*x, *y],
            velocity_m_s: [*vx, *vy],
            position_sd_m: *position_sd_m,
            pace,
        })
    }
}

/// Smooths the positions of each run; `lag` is the filter of a slow device.
pub(super) fn smooth(runs: &[(&[Point], Timebase)], rate: Rate, lag: Option<Lag>) -> Vec<Smoothed> {
    let bounds = |density| Bounds {
        density,
        variance: VARIANCE,
    };
    if rate.hz < FAST_HZ {
        let density = if rate.irregular {
            DENSITY_SPARSE
        } else if loses_fixes(runs, rate.hz) {
            DENSITY_PHONE
        } else {
            DENSITY_WATCH
        };
        let model = |lag_s: f64| Model {
            process: kinematic::lagged_singer(lag_s.max(LEAST_LAG_S), FADE_SLOW_S),
            fade_s: FADE_SLOW_S,
            observed_components: 2,
            has_velocity: true,
        };
        let lag = lag.unwrap_or(Lag::known(LAG_SPARSE_S));
        smooth_by(
            runs,
            &How {
                model: model(lag.mean_s),
                others: Some(lag.ends_s(LEAST_LAG_S).map(model)),
                bounds: bounds(density),
                adaptations: ADAPTATIONS_SLOW,
            },
        )
    } else {
        let model = Model {
            process: kinematic::singer(FADE_FAST_S),
            fade_s: FADE_FAST_S,
            observed_components: 1,
            has_velocity: true,
        };
        smooth_by(
            runs,
            &How {
                model,
                others: None,
                bounds: bounds(DENSITY_FAST),
                adaptations: ADAPTATIONS_FAST,
            },
        )
    }
}

/// Whether fixes are missing here and there: phones lose some, watches hardly any.
pub(super) fn loses_fixes(runs: &[(&[Point], Timebase)], rate_hz: f64) -> bool {
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

/// Place, velocity and acceleration are the last three components of every model.
fn smooth_by<const N: usize>(runs: &[(&[Point], Timebase)], how: &How<N>) -> Vec<Smoothed> {
    let sd = |s: &State<'_, N>, component| s.variance(component).max(0.0).sqrt();
    let place = |s: &State<'_, N>| {
        let ([x, y], [vx, vy]) = (s.mean(N - 3), s.mean(N - 2));
        [x, y, vx, vy, sd(s, N - 3)]
    };
    let speed_m_s = |s: &State<'_, N>| {
        let [vx, vy] = s.mean(N - 2);
        length(vx, vy)
    };
    // Where the receiver's own speed is taken, the positions are not asked for it.
    if runs
        .iter()
        .all(|(points, _)| receiver_speed::is_enough(points))
    {
        let how = How {
            others: None,
            ..*how
        };
        return smoothed::each(runs, &how, Point::position_m, place, speed_m_s);
    }
    let whole = |s: &State<'_, N>| {
        let ([x, y, vx, vy, position_sd], [ax, ay]) = (place(s), s.mean(N - 1));
        let (velocity_sd, acceleration_sd) = (sd(s, N - 2), sd(s, N - 1));
        [
            x,
            y,
            vx,
            vy,
            position_sd,
            ax,
            ay,
            velocity_sd,
            acceleration_sd,
        ]
    };
    smoothed::each(runs, how, Point::position_m, whole, speed_m_s)
}
