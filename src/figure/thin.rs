//! Thins a long series to what the pixels can show: its least and greatest value in each column.

use crate::measured::Z95;
use crate::motion::Sample;

/// One point of a series with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Point {
    /// Time, s.
    pub(super) time_s: f64,
    /// The value.
    pub(super) value: f64,
    /// Lower end of its interval.
    pub(super) low: f64,
    /// Upper end of its interval.
    pub(super) high: f64,
    /// Bridged, not measured.
    pub(super) bridged: bool,
}

impl Point {
    /// The speeds of samples with their 95 % intervals, times counted from `start_s`.
    pub(super) fn of_speed(samples: &[Sample], start_s: f64) -> impl Iterator<Item = Self> {
        let known = samples.iter().filter(|s| s.speed_m_s.is_finite());
        known.map(move |s| Self {
            time_s: s.time_s - start_s,
            value: s.speed_m_s,
            low: s.speed_m_s - Z95 * s.speed_sd_m_s,
            high: s.speed_m_s + Z95 * s.speed_sd_m_s,
            bridged: s.bridged,
        })
    }
}

/// A line without a break, all of it measured or all of it bridged.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Stretch {
    /// Bridged, not measured.
    pub(super) bridged: bool,
    /// Time and value.
    pub(super) line: Vec<(f64, f64)>,
    /// Time and upper end of the interval.
    pub(super) upper: Vec<(f64, f64)>,
    /// Time and lower end of the interval.
    pub(super) lower: Vec<(f64, f64)>,
}

impl Stretch {
    /// The outline of the band, once around.
    pub(super) fn band(&self) -> Vec<(f64, f64)> {
        let mut outline = self.upper.clone();
        outline.extend(self.lower.iter().rev());
        outline
    }
}

/// The points of one unbroken run as stretches in columns `column_s` wide.
///
/// ## Definition
/// Where a column holds more than two points, its least and greatest value are kept in the order of their times, and the
/// band spans from the least lower to the greatest upper end: a peak or an interval is never thinned away. A column is
/// bridged when all its points are. Neighbouring stretches share a point, so that no break appears that is none.
pub(super) fn stretches(points: &[Point], column_s: f64) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    let column = |p: &Point| (p.time_s / column_s).floor();
    for group in points.chunk_by(|a, b| column(a) == column(b)) {
        let bridged = group.iter().all(|p| p.bridged);
        let thinned = thin(group);
        match stretches.last_mut() {
            Some(last) if last.bridged == bridged => {}
            Some(last) => {
                // The line goes on to the first point of the next stretch.
                let mut next = Stretch {
                    bridged,
                    ..Stretch::default()
                };
                if let (Some(l), Some(u), Some(d)) =
                    (last.line.last(), last.upper.last(), last.lower.last())
                {
                    next.line.push(*l);
                    next.upper.push(*u);
                    next.lower.push(*d);
                }
                stretches.push(next);
            }
            None => stretches.push(Stretch {
                bridged,
                ..Stretch::default()
            }),
        }
        if let Some(last) = stretches.last_mut() {
            for p in &thinned {
                last.line.push((p.time_s, p.value));
            }
            if let (true, [first, .., end]) = (group.len() > 2, group) {
                let middle_s = 0.5 * (first.time_s + end.time_s);
                let low = group.iter().map(|p| p.low).fold(f64::INFINITY, f64::min);
                let high = group
                    .iter()
                    .map(|p| p.high)
                    .fold(f64::NEG_INFINITY, f64::max);
                last.upper.push((middle_s, high));
                last.lower.push((middle_s, low));
            } else {
                for p in group {
                    last.upper.push((p.time_s, p.high));
                    last.lower.push((p.time_s, p.low));
                }
            }
        }
    }
    stretches
}

/// The least and the greatest of a column in the order of their times, or all of a column of one or two.
fn thin(group: &[Point]) -> Vec<Point> {
    if group.len() <= 2 {
        return group.to_vec();
    }
    let least = group.iter().min_by(|a, b| a.value.total_cmp(&b.value));
    let greatest = group.iter().max_by(|a, b| a.value.total_cmp(&b.value));
    match (least, greatest) {
        (Some(a), Some(b)) if a.time_s <= b.time_s => vec![*a, *b],
        (Some(a), Some(b)) => vec![*b, *a],
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::{Point, stretches};

    fn point(i: usize, value: f64, bridged: bool) -> Point {
        Point {
            time_s: i as f64 * 0.1,
            value,
            low: value - 0.1,
            high: value + 0.1,
            bridged,
        }
    }

    #[test]
    fn no_peak_is_thinned_away() {
        let points: Vec<Point> = (0..1000)
            .map(|i| point(i, if i == 437 { 9.0 } else { (i % 7) as f64 * 0.3 }, false))
            .collect();
        let thinned = stretches(&points, 5.0);
        assert_eq!(thinned.len(), 1);
        assert!(thinned[0].line.len() <= 2 * 21, "{}", thinned[0].line.len());
        assert!(thinned[0].line.iter().any(|p| (p.1 - 9.0).abs() < 1e-12));
        assert!(thinned[0].upper.iter().any(|p| (p.1 - 9.1).abs() < 1e-12));
        assert!(thinned[0].line.windows(2).all(|w| w[0].0 <= w[1].0));
    }

    #[test]
    fn a_bridged_piece_is_a_stretch_of_its_own_joined_to_its_neighbours() {
        let points: Vec<Point> = (0..300)
            .map(|i| point(i, 1.0, (100..200).contains(&i)))
            .collect();
        let parts = stretches(&points, 1.0);
        assert_eq!(
            parts.iter().map(|s| s.bridged).collect::<Vec<_>>(),
            [false, true, false]
        );
        assert_eq!(parts[0].line.last(), parts[1].line.first());
        assert_eq!(parts[1].line.last(), parts[2].line.first());
    }
}
