//! The times at which the motion is estimated: the fixes, and a regular grid between and on them.

use std::ops::Range;

use crate::motion::FAST_HZ;
use crate::track::{Point, Track};

/// Sample spacing for fast receivers, s.
const FINE_STEP_S: f64 = 0.1;
/// Sample spacing for all others, s.
const COARSE_STEP_S: f64 = 0.2;
/// Two times closer than this are one.
const SAME_S: f64 = 1e-3;
/// No run has more samples than this; longer silences than any training would be needed.
const MOST_SAMPLES: usize = 50_000_000;

/// The spacing of samples for a receiver, s.
pub(super) fn step_s(rate_hz: f64) -> f64 {
    if rate_hz >= FAST_HZ {
        FINE_STEP_S
    } else {
        COARSE_STEP_S
    }
}

/// The points of a track between gaps.
pub(super) fn runs(track: &Track) -> Vec<Range<usize>> {
    let mut runs = Vec::new();
    let mut start = 0;
    for (i, point) in track.points.iter().enumerate() {
        if point.after_gap && i > start {
            runs.push(start..i);
            start = i;
        }
    }
    if start < track.points.len() {
        runs.push(start..track.points.len());
    }
    runs
}

/// The times of one run.
#[derive(Clone, Debug)]
pub(super) struct Timebase {
    /// Where a state is estimated: each point, and grid times where points lie far apart. Increasing.
    pub(super) nodes_s: Vec<f64>,
    /// For each point of the run its node.
    pub(super) node_of_point: Vec<usize>,
    /// The regular grid, increasing, from the first point to the last.
    pub(super) grid_s: Vec<f64>,
}

impl Timebase {
    /// The times for `points`, which hold no gap, with the grid `step_s` apart.
    pub(super) fn new(points: &[Point], step_s: f64) -> Self {
        let mut nodes_s = Vec::with_capacity(points.len() * 2);
        let mut node_of_point = Vec::with_capacity(points.len());
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return Self {
                nodes_s,
                node_of_point,
                grid_s: Vec::new(),
            };
        };
        let steps = (((last.time_s - first.time_s + SAME_S) / step_s) as usize).min(MOST_SAMPLES);
        let grid_s: Vec<f64> = (0..=steps)
            .map(|k| first.time_s + k as f64 * step_s)
            .collect();
        let mut next_grid = 0;
        for (i, point) in points.iter().enumerate() {
            let before_s = if i == 0 {
                point.time_s
            } else {
                points[i - 1].time_s
            };
            let sparse = point.time_s - before_s > 1.5 * step_s;
            while next_grid < grid_s.len() && grid_s[next_grid] < point.time_s - SAME_S {
                if sparse && grid_s[next_grid] > before_s + SAME_S {
                    nodes_s.push(grid_s[next_grid]);
                }
                next_grid += 1;
            }
            node_of_point.push(nodes_s.len());
            nodes_s.push(point.time_s);
        }
        Self {
            nodes_s,
            node_of_point,
            grid_s,
        }
    }

    /// For each grid time the node at or before it, and the share of the way to the next node.
    pub(super) fn places(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        let mut node = 0;
        self.grid_s.iter().map(move |&t| {
            while node + 1 < self.nodes_s.len() && self.nodes_s[node + 1] <= t + SAME_S {
                node += 1;
            }
            match self.nodes_s.get(node + 1) {
                Some(next) => {
                    let here = self.nodes_s[node];
                    (node, ((t - here) / (next - here)).clamp(0.0, 1.0))
                }
                None => (node, 0.0),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(times: &[f64]) -> Vec<Point> {
        times
            .iter()
            .map(|&time_s| Point {
                time_s,
                position_m: None,
                speed_m_s: None,
                heart_rate_bpm: None,
                after_gap: false,
                fix: 0,
            })
            .collect()
    }

    #[test]
    fn a_slow_receiver_gets_nodes_between_its_fixes() {
        let base = Timebase::new(&points(&[0.0, 1.0, 2.1]), 0.2);
        assert_eq!(base.node_of_point, [0, 5, 11]);
        assert_eq!(base.grid_s.len(), 11);
        assert!(base.nodes_s.windows(2).all(|w| w[1] > w[0]));
    }

    #[test]
    fn a_fast_receiver_needs_none() {
        let base = Timebase::new(&points(&[0.0, 0.1, 0.2, 0.3]), 0.1);
        assert_eq!(base.nodes_s.len(), 4);
        assert_eq!(
            base.places().map(|(n, _)| n).collect::<Vec<_>>(),
            [0, 1, 2, 3]
        );
    }
}
