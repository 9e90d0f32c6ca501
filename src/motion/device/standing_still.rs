//! How the steps of a standing receiver follow each other.

use super::COUNT;
use crate::track::Point;

/// Over so many steps to either side the player gets nowhere: slower than this in a straight line, m/s...
const REACH: usize = 7;
const NET_M_S: f64 = 0.25;
/// ... than this from fix to fix in the mean, m/s...
const STEP_M_S: f64 = 1.0;
/// ... and than this at most within so many steps, m/s.
const MOST_M_S: f64 = 1.5;
const NEAR: usize = 3;
/// Steps last about a second.
const LASTS_S: std::ops::Range<f64> = 0.7..1.4;
/// Fewest pairs of steps to judge by.
const LEAST: usize = 60;
/// Correlation of neighbouring steps for each time constant, where the noise passes the device's filter.
const EXPECTED: [f64; COUNT] = [-0.3, -0.25, -0.1, 0.1, 0.3, 0.45, 0.55, 0.6, 0.65];
const SD: f64 = 0.15;
/// Noise added after the filter turns back whatever the filter, and slow noise goes on without one: the mean, the standard
/// deviation and the share of recordings of each.
const AFTER: (f64, f64, f64) = (-0.3, 0.2, 0.35);
const SLOW: (f64, f64, f64) = (0.3, 0.25, 0.15);
const FILTERED_SHARE: f64 = 0.6;
const OTHER: f64 = 0.05;

pub(super) fn log_weights(runs: &[&[Point]]) -> [f64; COUNT] {
    let Some(correlation) = correlation(runs) else {
        return [0.0; COUNT];
    };
    let density = |mean: f64, sd: f64| {
        let off = (correlation - mean) / sd;
        (-0.5 * off * off).exp() / sd
    };
    let any = density(AFTER.0, AFTER.1) * AFTER.2 + density(SLOW.0, SLOW.1) * SLOW.2 + OTHER;
    EXPECTED.map(|mean| (FILTERED_SHARE * density(mean, SD) + any).ln())
}

/// The correlation of neighbouring steps at rest; `None` where there is too little of it.
fn correlation(runs: &[&[Point]]) -> Option<f64> {
    let (mut product, mut square, mut count) = (0.0, 0.0, 0_usize);
    for points in runs {
        let steps: Vec<Option<[f64; 2]>> = points
            .windows(2)
            .map(|pair| {
                let dt_s = pair[1].time_s - pair[0].time_s;
                let (a, b) = (pair[0].position_m()?, pair[1].position_m()?);
                LASTS_S
                    .contains(&dt_s)
                    .then(|| [(b[0] - a[0]) / dt_s, (b[1] - a[1]) / dt_s])
            })
            .collect();
        let still = still(&steps);
        for k in 1..steps.len() {
            if let (true, true, Some(a), Some(b)) = (still[k - 1], still[k], steps[k - 1], steps[k])
            {
                product += a[0] * b[0] + a[1] * b[1];
                square += b[0] * b[0] + b[1] * b[1];
                count += 1;
            }
        }
    }
    (count >= LEAST && square > 0.0).then(|| product / square)
}

fn still(steps: &[Option<[f64; 2]>]) -> Vec<bool> {
    let mut sums = Vec::with_capacity(steps.len() + 1);
    sums.push([0.0; 3]);
    for step in steps {
        let [x, y] = step.unwrap_or_default();
        let [sx, sy, sl]: [f64; 3] = sums[sums.len() - 1];
        sums.push([sx + x, sy + y, sl + x.hypot(y)]);
    }
    let quiet = |k: usize| {
        let near = &steps[k.saturating_sub(NEAR)..(k + NEAR + 1).min(steps.len())];
        near.iter()
            .all(|s| s.is_none_or(|[x, y]| x.hypot(y) < MOST_M_S))
    };
    (0..steps.len())
        .map(|k| {
            let (from, to) = (k.saturating_sub(REACH), (k + REACH + 1).min(steps.len()));
            let n = (to - from) as f64;
            let mean: [f64; 3] = std::array::from_fn(|i| (sums[to][i] - sums[from][i]) / n);
            mean[0].hypot(mean[1]) < NET_M_S && mean[2] < STEP_M_S && quiet(k)
        })
        .collect()
}
