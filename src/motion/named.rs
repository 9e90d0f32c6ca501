//! Named filters, for those who must report one: they replace the smoothed values, not the intervals.

use crate::estimation::butterworth::Butterworth;
use crate::estimation::savitzky_golay;
use crate::motion::timebase::Timebase;
use crate::motion::{Method, Motion, SpeedFrom};
use crate::track::Point;

/// Smooths a column of values.
type Filter = Box<dyn Fn(&[f64]) -> Vec<f64>>;

/// Order of the local polynomial.
const DEGREE: usize = 2;

/// Replaces position, velocity and speed by those of the named filter, run over the fixes laid on the regular grid by
/// straight lines.
///
/// Standard deviations stay those of the Kalman smoother: a named filter has none of its own.
pub(super) fn apply(motion: &mut Motion, runs: &[(&[Point], Timebase)], method: Method) {
    let rate_hz = 1.0 / motion.step_s;
    let filter: Filter = match method {
        Method::Kalman => return,
        Method::SavitzkyGolay { window_s } => {
            let half_width = ((window_s * rate_hz / 2.0).round() as usize).max(1);
            Box::new(move |values| savitzky_golay::filter(values, half_width, DEGREE, 0, 1.0))
        }
        Method::Butterworth { cutoff_hz } => {
            let Some(low_pass) = Butterworth::low_pass(cutoff_hz, rate_hz, 2) else {
                return;
            };
            Box::new(move |values| low_pass.filtfilt(values))
        }
    };
    motion.doubts.otherwise_m_s = Default::default();
    for (window, (points, base)) in motion.runs.clone().into_iter().zip(runs) {
        let samples = &mut motion.samples[window];
        let column = |read: fn(&Point) -> Option<f64>| filter(&on_grid(points, base, read));
        let (x, y) = (
            column(|p| p.position_m().map(|q| q[0])),
            column(|p| p.position_m().map(|q| q[1])),
        );
        let (vx, vy) = (slopes(&x, motion.step_s), slopes(&y, motion.step_s));
        for (k, sample) in samples.iter_mut().enumerate().take(x.len()) {
            (sample.x_m, sample.y_m, sample.vx_m_s, sample.vy_m_s) = (x[k], y[k], vx[k], vy[k]);
        }
        let speed = if motion.speed_from == SpeedFrom::Position {
            Vec::new()
        } else {
            column(Point::speed_m_s)
        };
        for (k, sample) in samples.iter_mut().enumerate() {
            let from_position = sample.vx_m_s.hypot(sample.vy_m_s);
            sample.speed_m_s = speed.get(k).map_or(from_position, |v| v.max(0.0));
        }
    }
}

/// The values that some points carry, on the grid by straight lines; empty where no point carries one.
fn on_grid(points: &[Point], base: &Timebase, read: fn(&Point) -> Option<f64>) -> Vec<f64> {
    let known: Vec<(f64, f64)> = points
        .iter()
        .filter_map(|p| read(p).map(|v| (p.time_s, v)))
        .collect();
    let (Some(first), Some(last)) = (known.first(), known.last()) else {
        return Vec::new();
    };
    let mut at = 0;
    base.grid_s()
        .map(|t| {
            while at + 1 < known.len() && known[at + 1].0 <= t {
                at += 1;
            }
            match known.get(at + 1) {
                _ if t <= first.0 => first.1,
                None => last.1,
                Some(after) => {
                    let before = known[at];
                    before.1 + (after.1 - before.1) * (t - before.0) / (after.0 - before.0)
                }
            }
        })
        .collect()
}

/// Central differences; one-sided at the ends.
fn slopes(values: &[f64], step_s: f64) -> Vec<f64> {
    let last = values.len().saturating_sub(1);
    (0..values.len())
        .map(|k| {
            let (from, to) = (k.saturating_sub(1), (k + 1).min(last));
            if to > from {
                (values[to] - values[from]) / ((to - from) as f64 * step_s)
            } else {
                0.0
            }
        })
        .collect()
}
