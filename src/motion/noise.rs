//! The noise levels of a recording, found from the recording itself.

use crate::motion::series::Series;
use crate::motion::smoothing::{Model, Noise, Prepared};

/// Enough observations to know the levels well; more would only cost time.
const ENOUGH: usize = 2400;
/// They are taken from so many places spread over the recording.
const PLACES: usize = 4;

/// Bounds within which the levels are sought.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    /// Spectral density of the process noise.
    pub(super) density: (f64, f64),
    /// Variance of an observation; equal ends fix it.
    pub(super) variance: (f64, f64),
}

/// The levels under which the recording is most likely, by a pattern search in their logarithms.
pub(super) fn estimate<const N: usize, const M: usize>(
    series: &[Series<'_, M>],
    model: Model<N>,
    bounds: Bounds,
) -> Noise {
    let parts = excerpts(series);
    let prepared: Vec<Prepared<'_, N, M>> = parts
        .iter()
        .map(|part| Prepared::new(part, model))
        .collect();
    let likelihood = |noise: Noise| {
        prepared
            .iter()
            .map(|p| p.log_likelihood(noise))
            .sum::<f64>()
    };
    let middle = |(low, high): (f64, f64)| (low * high).sqrt();
    let mut best = Noise {
        density: middle(bounds.density),
        variance: middle(bounds.variance),
    };
    if prepared.is_empty() {
        return best;
    }
    let mut best_likelihood = likelihood(best);
    let mut factor = 6.0_f64;
    while factor > 1.15 {
        let mut moved = false;
        for (by_density, by_variance) in [
            (factor, 1.0),
            (1.0 / factor, 1.0),
            (1.0, factor),
            (1.0, 1.0 / factor),
        ] {
            let trial = Noise {
                density: (best.density * by_density).clamp(bounds.density.0, bounds.density.1),
                variance: (best.variance * by_variance).clamp(bounds.variance.0, bounds.variance.1),
            };
            if trial == best {
                continue;
            }
            let trial_likelihood = likelihood(trial);
            if trial_likelihood > best_likelihood {
                (best, best_likelihood, moved) = (trial, trial_likelihood, true);
            }
        }
        if !moved {
            factor = factor.sqrt();
        }
    }
    best
}

/// The whole of short recordings, stretches from several places of long ones; only observed nodes.
fn excerpts<const M: usize>(series: &[Series<'_, M>]) -> Vec<Series<'static, M>> {
    let total: usize = series.iter().map(|s| s.all_observed().count()).sum();
    let each = ENOUGH / PLACES;
    let mut parts = Vec::new();
    let mut seen = 0;
    for one in series {
        let mut part = Series::default();
        for (time_s, observed) in one.all_observed() {
            // Place k begins at the k-th quarter of all observations.
            let offset = seen % total.div_ceil(PLACES).max(1);
            if total <= ENOUGH || offset < each {
                part.push(time_s, *observed);
            } else if !part.times_s().is_empty() {
                parts.push(std::mem::take(&mut part));
            }
            seen += 1;
        }
        if part.times_s().len() > 2 {
            parts.push(part);
        }
    }
    parts
}
