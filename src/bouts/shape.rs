//! Shape: where a bout went, along which line, and how often it turned round.

use crate::estimation::quantile::{MAD_TO_SD, median};
use crate::motion::Sample;

/// A turn counts when the way back from it is at least this share of the bout's extent.
const HYSTERESIS: f64 = 0.35;
/// No turn is counted on a way back shorter than this, m: the drift of a receiver is not a turn.
const SHORTEST_LEG_M: f64 = 1.2;

/// The shape of a bout on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Place of the start, m.
    pub start_m: [f64; 2],
    /// Place of the stop, m.
    pub stop_m: [f64; 2],
    /// The middle between both extremes along the axis, m.
    pub middle_m: [f64; 2],
    /// Unit vector along the principal axis; its sign points from the start to the far end.
    pub axis: [f64; 2],
    /// Extent along the axis, m.
    pub extent_m: f64,
    /// Extent across the axis, m.
    pub width_m: f64,
    /// Where along the axis each turn was, m from the start, in order.
    pub turns_m: Vec<f64>,
    /// Sample index of each turn within the bout.
    pub turns_at: Vec<usize>,
    /// Where along the axis the stop was, m from the start.
    pub stop_along_m: f64,
    /// How unevenly he went to and fro: the usual deviation of the logarithms of the times from turn to turn, or that of the ways
    /// between them, whichever is larger; `None` below four turns.
    pub uneven: Option<f64>,
}

impl Shape {
    /// Straight distance from start to stop, m.
    #[must_use]
    pub(crate) fn net_m(&self) -> f64 {
        distance(self.start_m, self.stop_m)
    }

    /// How many times the bout turned round.
    #[must_use]
    pub fn reversals(&self) -> usize {
        self.turns_m.len()
    }

    /// Index of the sample of this shape's stretch where he is over the line that ends his last leg, where he ran on beyond it by `past_m`
    /// and more: the place of the start on a way back, the farthest turn on a way out.
    pub(super) fn line_at(&self, samples: &[Sample], past_m: f64) -> Option<usize> {
        let (&turn_m, &turn_at) = (self.turns_m.last()?, self.turns_at.last()?);
        let is_home = self.stop_along_m < turn_m;
        let line_m = if is_home {
            0.0
        } else {
            let farthest = self.turns_m.iter().copied().reduce(f64::max);
            farthest.filter(|_| self.turns_m.len() > 1)?
        };
        let beyond = |along_m: f64| {
            if is_home {
                line_m - along_m
            } else {
                along_m - line_m
            }
        };
        if beyond(self.stop_along_m) < past_m {
            return None;
        }
        let along = |s: &Sample| {
            (s.x_m - self.start_m[0]) * self.axis[0] + (s.y_m - self.start_m[1]) * self.axis[1]
        };
        let way = samples.iter().enumerate().skip(turn_at);
        way.map(|(k, s)| (k, beyond(along(s))))
            .find(|(_, by)| *by >= 0.0)
            .map(|(k, _)| k)
    }

    /// The length of each leg along the axis, from turn to turn, m.
    #[must_use]
    pub(crate) fn legs_m(&self) -> Vec<f64> {
        let mut at = 0.0;
        self.turns_m
            .iter()
            .chain(std::iter::once(&self.stop_along_m))
            .map(|&turn| {
                let leg = (turn - at).abs();
                at = turn;
                leg
            })
            .collect()
    }
}

/// The straight distance between two places, m.
pub(crate) fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The shape of a stretch of samples, which must not be empty.
pub(super) fn shape(samples: &[Sample]) -> Shape {
    let n = samples.len().max(1) as f64;
    let (mx, my) = (
        samples.iter().map(|s| s.x_m).sum::<f64>() / n,
        samples.iter().map(|s| s.y_m).sum::<f64>() / n,
    );
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for s in samples {
        let (dx, dy) = (s.x_m - mx, s.y_m - my);
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    // The angle of the larger eigenvector of a symmetric 2 x 2 matrix.
    let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
    let mut axis = [angle.cos(), angle.sin()];
    let place = |s: Option<&Sample>| s.map_or([mx, my], |s| [s.x_m, s.y_m]);
    let (start_m, stop_m) = (place(samples.first()), place(samples.last()));
    let mut along: Vec<f64> = samples
        .iter()
        .map(|s| (s.x_m - start_m[0]) * axis[0] + (s.y_m - start_m[1]) * axis[1])
        .collect();
    let (mut low, mut high) = range(along.iter().copied());
    if -low > high {
        axis = [-axis[0], -axis[1]];
        for a in &mut along {
            *a = -*a;
        }
        (low, high) = (-high, -low);
    }
    let (left, right) = range(
        samples
            .iter()
            .map(|s| (s.y_m - start_m[1]) * axis[0] - (s.x_m - start_m[0]) * axis[1]),
    );
    let extent_m = high - low;
    let turns_at = turns(&along, (HYSTERESIS * extent_m).max(SHORTEST_LEG_M));
    let turns_m: Vec<f64> = turns_at.iter().map(|&k| along[k]).collect();
    let (mid_along, mid_across) = (0.5 * (low + high), 0.5 * (left + right));
    Shape {
        start_m,
        stop_m,
        middle_m: [
            start_m[0] + mid_along * axis[0] - mid_across * axis[1],
            start_m[1] + mid_along * axis[1] + mid_across * axis[0],
        ],
        axis,
        extent_m,
        width_m: right - left,
        uneven: uneven(samples, &turns_at, &turns_m),
        turns_m,
        turns_at,
        stop_along_m: along.last().copied().unwrap_or(0.0),
    }
}

/// Legs between so many turns tell a rhythm.
const FEWEST_TURNS: usize = 4;

/// See [`Shape::uneven`].
fn uneven(samples: &[Sample], turns_at: &[usize], turns_m: &[f64]) -> Option<f64> {
    if turns_m.len() < FEWEST_TURNS {
        return None;
    }
    let times = turns_at
        .windows(2)
        .map(|two| samples[two[1]].time_s - samples[two[0]].time_s);
    let ways = turns_m.windows(2).map(|two| (two[1] - two[0]).abs());
    Some(spread(times).max(spread(ways)))
}

/// How far apart the logarithms of positive values usually lie, as a standard deviation: from the median of their distances to their
/// median, which one odd leg does not move.
fn spread(values: impl Iterator<Item = f64>) -> f64 {
    let logs: Vec<f64> = values.map(|v| v.max(0.1).ln()).collect();
    let middle = median(logs.clone()).unwrap_or(0.0);
    let apart = logs.iter().map(|log| (log - middle).abs()).collect();
    MAD_TO_SD * median(apart).unwrap_or(0.0)
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
        (low.min(v), high.max(v))
    });
    if low <= high { (low, high) } else { (0.0, 0.0) }
}

/// Indices of the turning points of a zigzag: extremes from which the series came back by `hysteresis` or more.
///
/// The first and last points are no turns.
fn turns(along: &[f64], hysteresis: f64) -> Vec<usize> {
    let mut turns = Vec::new();
    let Some(&first) = along.first() else {
        return turns;
    };
    let (mut low, mut high) = ((0, first), (0, first));
    // +1 on the way out, -1 on the way back, 0 before the first leg is known.
    let mut way = 0;
    for (k, &a) in along.iter().enumerate() {
        if a > high.1 {
            high = (k, a);
        }
        if a < low.1 {
            low = (k, a);
        }
        if way >= 0 && high.1 - a >= hysteresis {
            if high.0 > 0 {
                turns.push(high.0);
            }
            way = -1;
            low = (k, a);
        } else if way <= 0 && a - low.1 >= hysteresis {
            if low.0 > 0 && way < 0 {
                turns.push(low.0);
            }
            way = 1;
            high = (k, a);
        }
    }
    turns
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(along: &[f64]) -> Vec<Sample> {
        along
            .iter()
            .map(|&a| Sample {
                x_m: 3.0 + 0.6 * a,
                y_m: -1.0 + 0.8 * a,
                ..Sample::default()
            })
            .collect()
    }

    #[test]
    fn a_straight_run_has_no_turns_and_its_length_as_extent() {
        let along: Vec<f64> = (0..=40).map(f64::from).collect();
        let shape = shape(&line(&along));
        assert!((shape.extent_m - 40.0).abs() < 1e-9);
        assert!((shape.net_m() - 40.0).abs() < 1e-9);
        assert_eq!(shape.reversals(), 0);
        assert!((shape.axis[0] - 0.6).abs() < 1e-9 && (shape.axis[1] - 0.8).abs() < 1e-9);
        assert_eq!(shape.legs_m().len(), 1);
    }

    #[test]
    fn two_and_a_half_ways_there_and_back_have_four_turns() {
        // 9 m out, home, out, home, 4.5 m out: 5 legs.
        let mut along = Vec::new();
        for leg in 0..4 {
            let from = if leg % 2 == 0 { 0.0 } else { 9.0 };
            let sign = if leg % 2 == 0 { 1.0 } else { -1.0 };
            along.extend((0..18).map(|k| from + sign * 0.5 * f64::from(k)));
        }
        along.extend((0..=9).map(|k| 0.5 * f64::from(k)));
        let shape = shape(&line(&along));
        assert_eq!(shape.reversals(), 4);
        assert!((shape.extent_m - 9.0).abs() < 1e-9);
        let legs = shape.legs_m();
        assert_eq!(legs.len(), 5);
        assert!((legs[4] - 4.5).abs() < 1e-9);
    }

    #[test]
    fn standing_with_drift_has_no_turns() {
        let along: Vec<f64> = (0..100).map(|k| 0.5 * (f64::from(k) * 0.3).sin()).collect();
        assert_eq!(shape(&line(&along)).reversals(), 0);
    }

    /// Who runs on over the line of his start is done where he crosses it; who stops at it is done where he stops.
    #[test]
    fn a_way_back_ends_at_the_line_of_its_start() {
        let to = |stop: i32| -> Vec<Sample> {
            line(
                &(0..=20)
                    .chain((stop..20).rev())
                    .map(f64::from)
                    .collect::<Vec<_>>(),
            )
        };
        let over = to(-5);
        assert_eq!(shape(&over).line_at(&over, 1.0), Some(40));
        let at = to(0);
        assert_eq!(shape(&at).line_at(&at, 1.0), None);
    }
}
