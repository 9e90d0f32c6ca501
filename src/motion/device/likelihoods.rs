//! How likely the fixes of some parts are for each time constant, with the best noise levels for each.

use super::{COUNT, TIMES_S};
use crate::estimation::kinematic;
use crate::motion::series::Series;
use crate::motion::smoothing::{Model, Noise, Prepared};
use crate::track::Point;

/// Spectral densities of the process noise of a player who runs, m2/s5. Smaller ones would leave the sprints to a filter
/// that is not there.
const DENSITIES: [f64; 2] = [3.0, 8.0];
/// Variances of a position, m2, and of a speed, m2/s2.
const POSITIONS: [f64; 5] = [0.0025, 0.01, 0.04, 0.15, 0.5];
const SPEEDS: [f64; 4] = [0.0009, 0.0049, 0.0144, 0.04];
/// Time constant of the acceleration, s.
const FADE_S: f64 = 1.0;
/// The first of each part say nothing yet.
const SETTLING: usize = 3;
/// Times are taken to this, s: clocks that jitter must not make every step a new one.
const TO_S: f64 = 0.05;

pub(super) fn of_position(parts: &[&[Point]], share: f64) -> [f64; COUNT] {
    let series: Vec<Series<'_, 2>> = parts
        .iter()
        .map(|part| series(part, Point::position_m))
        .collect();
    each(&series, &POSITIONS, |lag_s| Model {
        process: kinematic::lagged_singer(lag_s * share, FADE_S),
        fade_s: FADE_S,
        observed_components: 2,
        has_velocity: true,
    })
}

pub(super) fn of_speed(parts: &[&[Point]], share: f64) -> [f64; COUNT] {
    let series: Vec<Series<'_, 1>> = parts
        .iter()
        .map(|part| series(part, |p| p.speed_m_s().map(|v| [v])))
        .collect();
    each(&series, &SPEEDS, |lag_s| Model {
        process: kinematic::lagged_fading_acceleration(lag_s * share, FADE_S),
        fade_s: FADE_S,
        observed_components: 2,
        has_velocity: false,
    })
}

fn series<const M: usize>(
    part: &[Point],
    read: impl Fn(&Point) -> Option<[f64; M]>,
) -> Series<'static, M> {
    let mut series = Series::default();
    for point in part {
        if let Some(observed) = read(point) {
            series.push((point.time_s / TO_S).round() * TO_S, observed);
        }
    }
    series
}

/// The best log-likelihood of each time constant over the noise levels. The variance is sought uphill from that of the
/// constant before.
fn each<const N: usize, const M: usize>(
    series: &[Series<'_, M>],
    variances: &[f64],
    model: impl Fn(f64) -> Model<N>,
) -> [f64; COUNT] {
    let mut at = variances.len() / 2;
    TIMES_S.map(|lag_s| {
        let prepared: Vec<Prepared<'_, N, M>> = series
            .iter()
            .map(|one| Prepared::new(one, model(lag_s)))
            .collect();
        let of = |variance: f64| {
            DENSITIES
                .map(|density| {
                    let noise = Noise { density, variance };
                    prepared
                        .iter()
                        .map(|p| p.log_likelihood_after(noise, SETTLING))
                        .sum::<f64>()
                })
                .into_iter()
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let mut best = of(variances[at]);
        for down in [true, false] {
            loop {
                let next = if down { at.wrapping_sub(1) } else { at + 1 };
                let Some(value) = variances.get(next).map(|&v| of(v)) else {
                    break;
                };
                if value <= best {
                    break;
                }
                (best, at) = (value, next);
            }
        }
        best
    })
}
