//! What may have been run across the gaps of a recording, of which nothing is counted.

use std::ops::Range;

use crate::motion::{Motion, Sample};

/// How far the straight way across a gap must exceed the error of its ends to count, in standard deviations of one.
const CLEAR_OF_ERROR: f64 = 2.0;

/// What is moved in a gap beyond the straight way across it, m/s, up to so long a time, s: after that, most have stopped.
const AMBLES_M_S: f64 = 0.2;
const AMBLES_S: f64 = 120.0;

/// The straight ways across all gaps before each run, with what is moved about meanwhile, m; nothing where there is no gap, or no
/// position.
pub(super) fn before_each_run_m(motion: &Motion) -> Vec<f64> {
    if motion.runs.len() < 2 || !motion.has_position {
        return Vec::new();
    }
    let ends = |run: &Range<usize>| {
        let samples = motion.samples.get(run.clone())?;
        samples.first().zip(samples.last())
    };
    let mut total_m = 0.0;
    let mut before: Option<&Sample> = None;
    motion
        .runs
        .iter()
        .map(|run| {
            if let Some((first, last)) = ends(run) {
                if let Some(from) = before {
                    let way_m = (first.x_m - from.x_m).hypot(first.y_m - from.y_m);
                    let error_m = CLEAR_OF_ERROR * first.position_sd_m.max(from.position_sd_m);
                    let ambles_s = (first.time_s - from.time_s).clamp(0.0, AMBLES_S);
                    total_m += (way_m - error_m).max(0.0) + AMBLES_M_S * ambles_s;
                }
                before = Some(last);
            }
            total_m
        })
        .collect()
}
