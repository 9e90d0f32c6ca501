//! Weighted least squares for the sprint curve: mathematics only.

use crate::estimation::matrix::{Square, applied, inverse};
use crate::profile::Curve;

/// A speed at a time.
#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_field_names, reason = "each ends in its unit")]
pub(super) struct Reading {
    pub(super) time_s: f64,
    pub(super) speed_m_s: f64,
    pub(super) sd_m_s: f64,
}

/// What is believed before: mean and standard deviation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Prior {
    pub(super) vmax_m_s: (f64, f64),
    pub(super) tau_s: (f64, f64),
}

/// The best curve and how sure it is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub(super) curve: Curve,
    /// Start of the movement, s.
    pub(super) start_s: f64,
    /// Of vmax, tau and the start, in this order.
    pub(super) covariance: Square<3>,
    /// Root mean square of what the curve leaves, m/s.
    pub(super) rms_m_s: f64,
}

/// Rounds of the search; a sprint takes about six.
const ROUNDS: usize = 60;
/// The search has arrived when a round gains less than this share.
const ARRIVED: f64 = 1e-9;
/// Damping that no step survives: the search is stuck.
const MOST_DAMPING: f64 = 1e8;
/// Where vmax, m/s, and tau, s, may lie; wider than people are.
const VMAX_M_S: (f64, f64) = (2.0, 16.0);
const TAU_S: (f64, f64) = (0.2, 5.0);

/// Fits vmax, tau and the start to readings by the method of Levenberg and Marquardt; `None` where it does not settle.
///
/// # Definition
/// Least `information * sum (r / sd)^2` plus the prior's misfits, where `information` is the share of readings that are
/// independent: neighbours on a smoothed path repeat each other. The covariance is the inverse of the normal matrix. A
/// filter's lag that may remain moves all three together by `d = (J'WJ)^-1 J'W (late - prompt)`; `d d'` is added.
///
/// # Units
/// m/s and s.
///
/// # References
/// Levenberg (1944), Quart Appl Math 2:164; Marquardt (1963), J Soc Ind Appl Math 11:431.
pub(super) fn fit(
    readings: &[Reading],
    information: f64,
    prior: Option<Prior>,
    lag_sd_s: f64,
) -> Option<Found> {
    let mut at = first_guess(readings)?;
    let problem = Problem {
        readings,
        information,
        prior,
    };
    let mut cost = problem.cost(&at);
    let mut damping = 1e-3;
    let mut settled = false;
    for _ in 0..ROUNDS {
        let (normal, gradient) = problem.linear(&at, |_| None);
        let mut damped = normal;
        for (i, row) in damped.iter_mut().enumerate() {
            row[i] *= 1.0 + damping;
        }
        let step = applied(&inverse(&damped)?, &gradient);
        let next = bounded(std::array::from_fn(|i| at[i] + step[i]));
        let next_cost = problem.cost(&next);
        if next_cost.is_finite() && next_cost <= cost {
            settled = cost - next_cost <= ARRIVED * (cost + ARRIVED);
            (at, cost) = (next, next_cost);
            damping = (damping / 10.0).max(1e-12);
            if settled {
                break;
            }
        } else {
            damping *= 10.0;
            if damping > MOST_DAMPING {
                settled = true;
                break;
            }
        }
    }
    let inside = |x: f64, (low, high): (f64, f64)| low < x && x < high;
    if !settled || !inside(at[0], VMAX_M_S) || !inside(at[1], TAU_S) {
        return None;
    }
    let curve = curve(&at);
    let late = |time_s: f64| {
        let prompt = curve.speed_m_s(time_s - at[2]);
        Some(curve.lagged_speed_m_s(time_s - at[2], lag_sd_s) - prompt)
    };
    let (normal, by_lag) = problem.linear(&at, late);
    let inverse = inverse(&normal)?;
    let moved = applied(&inverse, &by_lag);
    let squares: f64 = readings
        .iter()
        .map(|r| (r.speed_m_s - model(&at, r.time_s)).powi(2))
        .sum();
    let covariance: Square<3> =
        std::array::from_fn(|i| std::array::from_fn(|j| inverse[i][j] + moved[i] * moved[j]));
    let finite = covariance.as_flattened().iter().all(|c| c.is_finite());
    finite.then_some(Found {
        curve,
        start_s: at[2],
        covariance,
        rms_m_s: (squares / readings.len() as f64).sqrt(),
    })
}

struct Problem<'a> {
    readings: &'a [Reading],
    information: f64,
    prior: Option<Prior>,
}

impl Problem<'_> {
    fn cost(&self, at: &[f64; 3]) -> f64 {
        let misfit: f64 = self
            .readings
            .iter()
            .map(|r| ((r.speed_m_s - model(at, r.time_s)) / r.sd_m_s).powi(2))
            .sum();
        let believed = self.prior.map_or(0.0, |p| {
            ((at[0] - p.vmax_m_s.0) / p.vmax_m_s.1).powi(2)
                + ((at[1] - p.tau_s.0) / p.tau_s.1).powi(2)
        });
        self.information * misfit + believed
    }

    /// The normal matrix, and its right side for the residuals, or for what `instead` says of each time.
    fn linear(&self, at: &[f64; 3], instead: impl Fn(f64) -> Option<f64>) -> (Square<3>, [f64; 3]) {
        let mut normal = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        let mut replaced = false;
        for reading in self.readings {
            let slope = slopes(at, reading.time_s);
            let weight = self.information / (reading.sd_m_s * reading.sd_m_s);
            let other = instead(reading.time_s);
            replaced |= other.is_some();
            let off = other.unwrap_or(reading.speed_m_s - model(at, reading.time_s));
            for i in 0..3 {
                right[i] += weight * off * slope[i];
                for j in 0..3 {
                    normal[i][j] += weight * slope[i] * slope[j];
                }
            }
        }
        if let Some(prior) = self.prior {
            for (i, (mean, sd)) in [prior.vmax_m_s, prior.tau_s].into_iter().enumerate() {
                let weight = 1.0 / (sd * sd);
                normal[i][i] += weight;
                if !replaced {
                    right[i] += weight * (mean - at[i]);
                }
            }
        }
        (normal, right)
    }
}

fn curve(at: &[f64; 3]) -> Curve {
    Curve {
        vmax_m_s: at[0],
        tau_s: at[1],
    }
}

fn model(at: &[f64; 3], time_s: f64) -> f64 {
    curve(at).speed_m_s(time_s - at[2])
}

/// Derivatives of the speed by vmax, tau and the start.
fn slopes(at: &[f64; 3], time_s: f64) -> [f64; 3] {
    let since_s = time_s - at[2];
    if since_s <= 0.0 {
        return [0.0; 3];
    }
    let left = (-since_s / at[1]).exp();
    let steepness = at[0] * left / at[1];
    [1.0 - left, -steepness * since_s / at[1], -steepness]
}

fn bounded(mut at: [f64; 3]) -> [f64; 3] {
    at[0] = at[0].clamp(VMAX_M_S.0, VMAX_M_S.1);
    at[1] = at[1].clamp(TAU_S.0, TAU_S.1);
    at
}

/// A usual sprint that ends at the fastest reading and passes through the first.
fn first_guess(readings: &[Reading]) -> Option<[f64; 3]> {
    const BEYOND: f64 = 1.03;
    let tau_s = Curve::PRIOR.tau_s;
    if readings.len() < 4 {
        return None;
    }
    let first = readings.first()?;
    let vmax = BEYOND * readings.iter().map(|r| r.speed_m_s).fold(0.0, f64::max);
    let share = (first.speed_m_s / vmax).clamp(0.0, 0.9);
    let guess = [vmax, tau_s, first.time_s + tau_s * (-share).ln_1p()];
    guess.iter().all(|x| x.is_finite()).then(|| bounded(guess))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(curve: Curve, start_s: f64, noise: impl Fn(usize) -> f64) -> Vec<Reading> {
        (0..50)
            .map(|k| {
                let time_s = 0.3 + k as f64 * 0.1;
                Reading {
                    time_s: start_s + time_s,
                    speed_m_s: curve.speed_m_s(time_s) + noise(k),
                    sd_m_s: 0.1,
                }
            })
            .collect()
    }

    #[test]
    fn an_exact_sprint_is_found_exactly() {
        let curve = Curve {
            vmax_m_s: 9.1,
            tau_s: 1.15,
        };
        let found = fit(&readings(curve, 40.0, |_| 0.0), 1.0, None, 0.0).expect("it settles");
        assert!(
            (found.curve.vmax_m_s - 9.1).abs() < 1e-6 && (found.curve.tau_s - 1.15).abs() < 1e-6
        );
        assert!((found.start_s - 40.0).abs() < 1e-6 && found.rms_m_s < 1e-6);
    }

    /// Fits to readings with one error of 0.1 m/s each must scatter as the covariance says.
    #[test]
    fn the_scatter_is_what_the_covariance_says() {
        let curve = Curve {
            vmax_m_s: 8.0,
            tau_s: 1.0,
        };
        let mut rng = crate::simulation::Rng::stream(1, 1);
        let (mut squares, n) = ([0.0; 2], 400);
        let mut told = [0.0; 2];
        for _ in 0..n {
            let noise: Vec<f64> = (0..50).map(|_| 0.1 * rng.normal()).collect();
            let found =
                fit(&readings(curve, 5.0, |k| noise[k]), 1.0, None, 0.0).expect("it settles");
            squares[0] += (found.curve.vmax_m_s - 8.0).powi(2);
            squares[1] += (found.curve.tau_s - 1.0).powi(2);
            told[0] += found.covariance[0][0];
            told[1] += found.covariance[1][1];
        }
        for i in 0..2 {
            // The mean of 400 squares is known to 7 %, one standard deviation.
            assert!(
                (squares[i] / told[i] - 1.0).abs() < 0.25,
                "{}",
                squares[i] / told[i]
            );
        }
    }

    #[test]
    fn a_lag_that_may_remain_widens_the_time_constant() {
        let curve = Curve {
            vmax_m_s: 9.0,
            tau_s: 1.1,
        };
        let sd = |lag_s: f64| {
            let found = fit(&readings(curve, 0.0, |_| 0.0), 1.0, None, lag_s).expect("it settles");
            (found.covariance[1][1].sqrt(), found.covariance[2][2].sqrt())
        };
        assert!(sd(0.2).0 > sd(0.0).0 && sd(0.2).1 > 0.1 && sd(0.0).1 < 0.1);
    }

    #[test]
    fn nothing_is_made_of_nothing() {
        assert!(fit(&[], 1.0, None, 0.0).is_none());
        let still: Vec<Reading> = (0..20)
            .map(|k| Reading {
                time_s: f64::from(k),
                speed_m_s: 0.0,
                sd_m_s: 0.1,
            })
            .collect();
        assert!(fit(&still, 1.0, None, 0.0).is_none());
    }
}
