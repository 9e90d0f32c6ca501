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
    /// The regular grid, from the first point to the last: where it begins, how far apart its times are, and how many there are.
    first_s: f64,
    step_s: f64,
    grid_times: usize,
}

impl Timebase {
    /// The times for `points`, which hold no gap, with the grid `step_s` apart.
    pub(super) fn new(points: &[Point], step_s: f64) -> Self {
        let mut base = Self {
            nodes_s: Vec::with_capacity(points.len()),
            first_s: 0.0,
            step_s,
            grid_times: 0,
        };
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return base;
        };
        let steps = (((last.time_s - first.time_s + SAME_S) / step_s) as usize).min(MOST_SAMPLES);
        (base.first_s, base.grid_times) = (first.time_s, steps + 1);
        let nodes_s = &mut base.nodes_s;
        let mut grid_s = grid(base.first_s, step_s, base.grid_times).peekable();
        let mut before_s = first.time_s;
        for point in points {
            let sparse = point.time_s - before_s > 1.5 * step_s;
            while let Some(time_s) = grid_s.next_if(|time_s| *time_s < point.time_s - SAME_S) {
                if sparse && time_s > before_s + SAME_S {
                    nodes_s.push(time_s);
                }
            }
            nodes_s.push(point.time_s);
            before_s = point.time_s;
        }
        base
    }

    /// The points of the run, each with its node.
    pub(super) fn with_nodes<'a>(
        &'a self,
        points: &'a [Point],
    ) -> impl Iterator<Item = (&'a Point, usize)> {
        let mut node = 0;
        points.iter().map(move |point| {
            while self.nodes_s[node] < point.time_s {
                node += 1;
            }
            (point, node)
        })
    }

    /// The times of the regular grid, s.
    pub(super) fn grid_s(&self) -> impl ExactSizeIterator<Item = f64> + use<> {
        grid(self.first_s, self.step_s, self.grid_times)
    }

    /// For each grid time the node at or before it, and the share of the way to the next node.
    pub(super) fn places(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        let mut node = 0;
        self.grid_s().map(move |t| {
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

/// So many times from the first on, s.
fn grid(first_s: f64, step_s: f64, times: usize) -> impl ExactSizeIterator<Item = f64> {
    (0..times).map(move |k| first_s + k as f64 * step_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(times: &[f64]) -> Vec<Point> {
        times
            .iter()
            .map(|&time_s| Point::new(time_s, None, None))
            .collect()
    }

    #[test]
    fn a_slow_receiver_gets_nodes_between_its_fixes() {
        let points = points(&[0.0, 1.0, 2.1]);
        let base = Timebase::new(&points, 0.2);
        let nodes: Vec<usize> = base.with_nodes(&points).map(|(_, node)| node).collect();
        assert_eq!(nodes, [0, 5, 11]);
        assert_eq!(base.grid_s().len(), 11);
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
