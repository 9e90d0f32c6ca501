//! How much later the receiver's speed is than the speed of its positions.

use crate::track::{Point, apart_m};

/// Sought from here to there, s, coarsely and then closely.
const FROM_S: f64 = -2.0;
const TO_S: f64 = 1.5;
const COARSE_S: f64 = 0.25;
const FINE_S: f64 = 0.05;
/// Below this, by both accounts, nothing is told, m/s.
const MOVING_M_S: f64 = 1.0;
/// A misfit counts up to this, m/s.
const MOST_M_S: f64 = 2.0;
/// Fewest readings to judge by.
const LEAST: usize = 40;
/// Of two first-order lags that differ so far, the shift that fits best is this share of the difference: a lag also flattens.
const SHOWN: f64 = 0.7;
const SD_S: f64 = 0.08;
const OTHER: f64 = 0.05;
/// This share of devices write their speed later than they measured it, by about so much, s, on top of what their filter takes.
const DELAYED: f64 = 0.35;
const DELAY_S: f64 = 0.5;

/// The shift, s; positive when the speed is later. `None` where too little was run.
pub(super) fn of_speed(runs: &[&[Point]]) -> Option<f64> {
    let tracks: Vec<Track> = runs.iter().map(|points| Track::new(points)).collect();
    let best = |from_s: f64, to_s: f64, by_s: f64| {
        let steps = ((to_s - from_s) / by_s).round() as usize;
        (0..=steps)
            .map(|k| from_s + k as f64 * by_s)
            .filter_map(|late_s| Some((late_s, misfit(&tracks, late_s)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(late_s, _)| late_s)
    };
    let coarse_s = best(FROM_S, TO_S, COARSE_S)?;
    best(coarse_s - COARSE_S, coarse_s + COARSE_S, FINE_S)
}

/// The log-weight of a shift for two lags that differ by `apart_s`.
pub(super) fn log_weight(shift_s: f64, apart_s: f64) -> f64 {
    let late_s = shift_s - SHOWN * apart_s;
    let bell = |sd_s: f64| (-0.5 * (late_s / sd_s) * (late_s / sd_s)).exp() / sd_s;
    let filtered = bell(SD_S);
    // A speed that is only written later is not flattened.
    let delayed = if late_s > 0.0 {
        2.0 * bell(DELAY_S)
    } else {
        0.0
    };
    ((1.0 - DELAYED - OTHER) * filtered + DELAYED * delayed + OTHER).ln()
}

struct Track {
    /// Middle of each step, s, and its speed, m/s.
    steps: Vec<(f64, f64)>,
    /// Time and speed of each reading.
    readings: Vec<(f64, f64)>,
}

impl Track {
    fn new(points: &[Point]) -> Self {
        let steps = points
            .windows(2)
            .filter_map(|pair| {
                let (a, b) = (pair[0].position_m()?, pair[1].position_m()?);
                let dt_s = (pair[1].time_s - pair[0].time_s).max(1e-3);
                let speed = apart_m(a, b) / dt_s;
                Some((f64::midpoint(pair[0].time_s, pair[1].time_s), speed))
            })
            .collect();
        let readings = points
            .iter()
            .filter_map(|p| p.speed_m_s().map(|v| (p.time_s, v)))
            .collect();
        Self { steps, readings }
    }
}

fn misfit(tracks: &[Track], late_s: f64) -> Option<f64> {
    let (mut sum, mut count) = (0.0, 0_usize);
    for Track { steps, readings } in tracks {
        let mut at = 0;
        for (time_s, reading) in readings {
            let then_s = time_s - late_s;
            while at + 1 < steps.len() && steps[at + 1].0 <= then_s {
                at += 1;
            }
            let (Some(a), Some(b)) = (steps.get(at), steps.get(at + 1)) else {
                break;
            };
            if then_s < a.0 || b.0 - a.0 > 2.0 {
                continue;
            }
            let speed = a.1 + (b.1 - a.1) * (then_s - a.0) / (b.0 - a.0);
            if reading.max(speed) > MOVING_M_S {
                sum += (reading - speed).abs().min(MOST_M_S).powi(2);
                count += 1;
            }
        }
    }
    (count >= LEAST).then(|| sum / count as f64)
}
