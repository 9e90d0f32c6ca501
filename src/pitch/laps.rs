//! Finds a pitch by the laps around its lines, where nobody said how large it is.

use std::f64::consts::PI;

use geo::{ConvexHull, MultiPoint, Point};

use crate::estimation::length;
use crate::motion::Motion;
use crate::pitch::{Pitch, Size, Source};

/// Laps belong to the warm-up, s from the start.
const WITHIN_S: f64 = 20.0 * 60.0;
/// How often the way so far is looked at, s: what follows the laps is no part of them.
const LOOK_EVERY_S: f64 = 30.0;
/// Jogging, m/s.
const JOG_M_S: (f64, f64) = (1.8, 4.5);
/// Lengths and widths of pitches, m: from seven a side up to the largest that Law 1 allows.
const LENGTHS_M: (f64, f64) = (45.0, 122.0);
const WIDTHS_M: (f64, f64) = (28.0, 92.0);
/// A pitch is longer than wide by a quarter at least, else its long side cannot be told.
const LEAST_RATIO: f64 = 1.2;
/// So near to a side a place lies on it, m.
const ON_SIDE_M: f64 = 4.0;
/// Of the places, this share lies on the sides; of the way around, this share was run.
const LEAST_ON: f64 = 0.8;
const LEAST_ROUND: f64 = 0.9;
/// Least laps.
const LEAST_LAPS: f64 = 1.8;
/// The way around is looked at in pieces of this length, m.
const PIECE_M: f64 = 8.0;
/// How far beside the lines laps are run, one standard deviation, m.
const BESIDE_M: f64 = 1.5;

/// The pitch that laps were run around; `None` where none were.
///
/// # Definition
/// The smallest rectangle around the places jogged at so far, looked at twice a minute for 20 minutes, is a pitch when its sides have the lengths of
/// one, most of those places lie on them, and all of the way round was run about twice. Laps are run on the lines, give or
/// take 1.5 m, which is what size, centre and direction are uncertain by.
///
/// # References
/// Freeman and Shapira (1975), Commun ACM 18:409: the smallest rectangle has a side along the convex hull.
#[must_use]
pub fn laps(motion: &Motion) -> Option<Pitch> {
    if !motion.has_position {
        return None;
    }
    let mut jogged = Jogged::default();
    let mut found = None;
    let mut look_s = LOOK_EVERY_S;
    let mut last_s = f64::NEG_INFINITY;
    for sample in motion.samples.iter().filter(|s| !s.bridged) {
        if sample.time_s > look_s {
            found = jogged.around().or(found);
            look_s += LOOK_EVERY_S;
        }
        if sample.time_s > WITHIN_S {
            break;
        }
        let jogs = (JOG_M_S.0..=JOG_M_S.1).contains(&sample.speed_m_s);
        if jogs && sample.x_m.is_finite() && sample.y_m.is_finite() {
            jogged.way_m += sample.speed_m_s * motion.step_s;
            if sample.time_s - last_s >= 1.0 {
                jogged.places.push(Point::new(sample.x_m, sample.y_m));
                last_s = sample.time_s;
            }
        }
    }
    jogged.around().or(found)
}

/// Where he jogged so far, and how far.
#[derive(Default)]
struct Jogged {
    way_m: f64,
    places: Vec<Point<f64>>,
    /// The convex hull of the first places, anticlockwise, and of how many.
    hull: Vec<Point<f64>>,
    hulled: usize,
}

impl Jogged {
    /// The pitch that all of it goes around.
    fn around(&mut self) -> Option<Pitch> {
        // What lay inside the hull before lies inside of it now.
        let mut outer = std::mem::take(&mut self.hull);
        outer.extend(self.places.iter().skip(self.hulled));
        let hull = MultiPoint::new(outer).convex_hull();
        self.hull = hull.exterior().points().skip(1).collect();
        self.hulled = self.places.len();
        let Rectangle {
            centre_m,
            way,
            along_m,
            across_m,
        } = smallest_rectangle(&self.hull)?;
        let long = if along_m >= across_m {
            way
        } else {
            [-way[1], way[0]]
        };
        let size = Size {
            length_m: along_m.max(across_m),
            width_m: along_m.min(across_m),
        };
        let within = |m: f64, (from, to): (f64, f64)| (from..=to).contains(&m);
        if !within(size.length_m, LENGTHS_M)
            || !within(size.width_m, WIDTHS_M)
            || size.length_m < LEAST_RATIO * size.width_m
            || self.way_m < LEAST_LAPS * 2.0 * (size.length_m + size.width_m)
        {
            return None;
        }
        let pitch = Pitch {
            size,
            centre_m,
            turn_rad: long[1].atan2(long[0]).rem_euclid(PI),
            centre_sd_m: BESIDE_M,
            turn_sd_rad: 2.0 * BESIDE_M / size.length_m,
            source: Source::Laps,
        };
        goes_round(&pitch, &self.places).then_some(pitch)
    }
}

/// A rectangle with its sides along a unit vector and across it, m.
struct Rectangle {
    centre_m: [f64; 2],
    way: [f64; 2],
    along_m: f64,
    across_m: f64,
}

/// The rectangle of the least area around a convex hull that goes anticlockwise; `None` around less than three places.
///
/// # References
/// Freeman and Shapira (1975), Commun ACM 18:409: it has a side along the hull. Toussaint (1983), Proc IEEE MELECON, A10.02: as that side goes
/// round the hull, so do the places that the other three touch, and each goes round once.
fn smallest_rectangle(hull: &[Point<f64>]) -> Option<Rectangle> {
    if hull.len() < 3 {
        return None;
    }
    let place = |k: usize| hull[k % hull.len()];
    let mut smallest: Option<Rectangle> = None;
    let (mut right, mut far, mut left) = (1, 1, 1);
    for k in 0..hull.len() {
        let side = place(k + 1) - place(k);
        let length_m = length(side.x(), side.y());
        if length_m <= 0.0 {
            continue;
        }
        let way = [side.x() / length_m, side.y() / length_m];
        let along = |p: Point<f64>| p.x() * way[0] + p.y() * way[1];
        let across = |p: Point<f64>| p.y() * way[0] - p.x() * way[1];
        let climb = |from: usize, height: &dyn Fn(Point<f64>) -> f64| {
            let top = |k: &usize| height(place(k + 1)) < height(place(*k));
            (from..from + hull.len()).find(top).unwrap_or(from)
        };
        right = climb(right.max(k + 1), &along);
        far = climb(far.max(right), &across);
        left = climb(left.max(far), &|p| -along(p));
        let (from, to) = (along(place(left)), along(place(right)));
        let (near, beyond) = (across(place(k)), across(place(far)));
        let (along_m, across_m) = (to - from, beyond - near);
        if smallest
            .as_ref()
            .is_none_or(|s| along_m * across_m < s.along_m * s.across_m)
        {
            let (x, y) = (f64::midpoint(from, to), f64::midpoint(near, beyond));
            smallest = Some(Rectangle {
                centre_m: [x * way[0] - y * way[1], x * way[1] + y * way[0]],
                way,
                along_m,
                across_m,
            });
        }
    }
    smallest
}

/// Whether the places lie on the sides and go all the way round.
fn goes_round(pitch: &Pitch, places: &[Point<f64>]) -> bool {
    let (length, width) = (pitch.size.length_m, pitch.size.width_m);
    let pieces = (2.0 * (length + width) / PIECE_M).ceil() as usize;
    let mut seen = vec![false; pieces];
    let mut on = 0;
    for place in places {
        let [along, across] = pitch.to_pitch([place.x(), place.y()]);
        let (x, y) = (along + length / 2.0, across + width / 2.0);
        let sides = [
            (y.abs(), x),
            ((length - x).abs(), length + y),
            ((width - y).abs(), 2.0 * length + width - x),
            (x.abs(), 2.0 * (length + width) - y),
        ];
        let Some((off, way)) = sides.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)) else {
            continue;
        };
        if off <= ON_SIDE_M {
            on += 1;
            if let Some(piece) = seen.get_mut((way.max(0.0) / PIECE_M) as usize) {
                *piece = true;
            }
        }
    }
    let round = seen.iter().filter(|s| **s).count() as f64;
    f64::from(on) >= LEAST_ON * places.len() as f64 && round >= LEAST_ROUND * pieces as f64
}

#[cfg(test)]
mod tests {
    use geo::{Area, MinimumRotatedRect};

    use super::*;
    use crate::motion::Sample;
    use crate::pitch::made;
    use crate::simulation::Rng;

    /// Samples a second at 2.6 m/s along a closed way through these corners, give or take half a metre, turned by 0.5 rad.
    fn around(corners: &[[f64; 2]], seconds: usize) -> Motion {
        let mut rng = Rng::stream(9, 1);
        let side = |k: usize| {
            let (from, to) = (corners[k], corners[(k + 1) % corners.len()]);
            (from, [to[0] - from[0], to[1] - from[1]])
        };
        let (sin, cos) = 0.5_f64.sin_cos();
        let (mut k, mut done) = (0, 0.0);
        let samples: Vec<Sample> = (0..seconds)
            .map(|second| {
                done += 2.6;
                let mut length = side(k).1[0].hypot(side(k).1[1]);
                while done > length {
                    done -= length;
                    k = (k + 1) % corners.len();
                    length = side(k).1[0].hypot(side(k).1[1]);
                }
                let (from, way) = side(k);
                let x = from[0] + way[0] * done / length + 0.5 * rng.normal();
                let y = from[1] + way[1] * done / length + 0.5 * rng.normal();
                Sample {
                    time_s: second as f64,
                    x_m: cos * x - sin * y,
                    y_m: sin * x + cos * y,
                    speed_m_s: 2.6,
                    ..Sample::default()
                }
            })
            .collect();
        made::motion(samples)
    }

    const FIELD: [[f64; 2]; 4] = [[-50.0, -32.0], [50.0, -32.0], [50.0, 32.0], [-50.0, 32.0]];

    /// The least rectangle as the library of geometry finds it, which turns the whole hull for each of its sides.
    #[test]
    fn the_smallest_rectangle_is_that_of_the_library() {
        let mut rng = Rng::stream(5, 5);
        for count in 3..60_usize {
            let places: Vec<Point<f64>> = (0..count)
                .map(|_| Point::new(50.0 * rng.normal(), 20.0 * rng.normal() + 7.0))
                .collect();
            let hull = MultiPoint::new(places).convex_hull();
            let points: Vec<Point<f64>> = hull.exterior().points().skip(1).collect();
            let found = smallest_rectangle(&points).expect("three places and more");
            let library = hull.minimum_rotated_rect().expect("three places and more");
            let area = library.unsigned_area();
            assert!((found.along_m * found.across_m / area - 1.0).abs() < 1e-9);
            let corner = |k: usize| library.exterior().0[k];
            let middle = (corner(0) + corner(2)) / 2.0;
            let [x, y] = found.centre_m;
            assert!((x - middle.x).abs() < 1e-6 && (y - middle.y).abs() < 1e-6);
        }
        assert!(smallest_rectangle(&[Point::new(1.0, 2.0); 2]).is_none());
    }

    #[test]
    fn two_laps_tell_size_and_place() {
        let found = laps(&around(&FIELD, 270)).expect("two laps");
        // Half a metre of scatter to both sides widens the rectangle by a metre or three.
        assert!((found.size.length_m - 102.0).abs() < 3.0, "{found:?}");
        assert!((found.size.width_m - 66.0).abs() < 3.0, "{found:?}");
        assert!((found.turn_rad - 0.5).abs() < 0.03, "{found:?}");
        assert!(
            found.centre_m[0].hypot(found.centre_m[1]) < 2.0,
            "{found:?}"
        );
    }

    #[test]
    fn other_ways_are_no_laps() {
        // One lap, a triangle, a running track far too long, and there and back.
        assert!(laps(&around(&FIELD, 130)).is_none());
        assert!(laps(&around(&[FIELD[0], FIELD[1], FIELD[2]], 400)).is_none());
        assert!(
            laps(&around(
                &[[0.0, 0.0], [180.0, 0.0], [180.0, 60.0], [0.0, 60.0]],
                500
            ))
            .is_none()
        );
        assert!(laps(&around(&[FIELD[0], FIELD[1]], 300)).is_none());
    }
}
