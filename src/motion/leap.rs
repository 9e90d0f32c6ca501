//! Finds where positions leap: a step that neither the one before nor the one after bears out.
//!
//! A reflected signal moves a fix by ten metres and the next ones with it. The smoother makes a fast second of it, which no
//! standard deviation of its own gives away. A runner's steps of a second each differ from the mean of their neighbours by his change
//! of acceleration, 3 m at most where he stops from a sprint; a leap differs by all of itself.

use crate::track::Point;

/// A step this far from the mean of its neighbours is no runner's, m.
const LEAST_M: f64 = 4.5;
/// Steps longer than this hide too much motion to be judged by, and to judge others, s.
const LONGEST_S: f64 = 4.5;

/// The middles of the steps that are leaps, or lie beside a large one, s, in order.
pub(super) fn times_s(runs: &[&[Point]]) -> Vec<f64> {
    let mut found = Vec::new();
    for points in runs {
        for four in points.windows(4) {
            let steps = [
                step(&four[0], &four[1]),
                step(&four[1], &four[2]),
                step(&four[2], &four[3]),
            ];
            let [Some(before), Some(here), Some(after)] = steps else {
                continue;
            };
            let lasts_s = four[2].time_s - four[1].time_s;
            let off = |axis: usize| here[axis] - f64::midpoint(before[axis], after[axis]);
            if off(0).hypot(off(1)) * lasts_s > LEAST_M {
                found.push(f64::midpoint(four[1].time_s, four[2].time_s));
            }
        }
    }
    found
}

/// The velocity from one point to the next, m/s.
fn step(a: &Point, b: &Point) -> Option<[f64; 2]> {
    let lasts_s = b.time_s - a.time_s;
    let (from, to) = (a.position_m()?, b.position_m()?);
    (0.0 < lasts_s && lasts_s <= LONGEST_S)
        .then(|| [(to[0] - from[0]) / lasts_s, (to[1] - from[1]) / lasts_s])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(places_m: &[[f64; 2]]) -> Vec<Point> {
        (0_u32..)
            .zip(places_m)
            .map(|(fix, &at_m)| Point::new(f64::from(fix), Some(at_m), None))
            .collect()
    }

    #[test]
    fn a_step_aside_that_stays_is_a_leap() {
        let mut places: Vec<[f64; 2]> = (0..20).map(|k| [f64::from(k) * 2.0, 0.0]).collect();
        for place in &mut places[10..] {
            place[1] += 11.0;
        }
        // Its neighbours differ from the mean of theirs by half of it.
        assert_eq!(times_s(&[&points(&places)]), [8.5, 9.5, 10.5]);
        for place in &mut places[10..] {
            place[1] -= 5.0;
        }
        assert_eq!(times_s(&[&points(&places)]), [9.5]);
    }

    #[test]
    fn a_sprint_a_stop_and_a_turn_at_a_line_are_none() {
        let mut at_m = 0.0;
        let steps = [
            0.0, 3.2, 6.3, 7.8, 8.4, 8.5, 4.0, 0.0, 0.0, -3.0, -5.5, -6.0, 0.5, 5.0, 6.0,
        ];
        let places: Vec<[f64; 2]> = steps
            .iter()
            .map(|step| {
                at_m += step;
                [at_m, 0.0]
            })
            .collect();
        assert!(times_s(&[&points(&places)]).is_empty());
    }
}
