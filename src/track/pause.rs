//! Tells the silences of a device that pauses by itself while its wearer stands from those of which nothing is known.
//!
//! One silence that begins slowly and ends where it began may hide anything that came back. A device that does so thirty
//! times, and hardly ever otherwise, has a habit: it stops writing when he stands.

use crate::note::Note;
use crate::track::{Gap, Pause, Point, apart_m};

/// A silence is longer than so many usual intervals...
const INTERVALS: f64 = 3.0;
/// ... and than this, s.
const LEAST_S: f64 = 2.0;
/// Devices pause below this, m/s; walking is faster.
const SLOW_M_S: f64 = 1.2;
/// Without a speed of the receiver, that of the last so many seconds counts, s.
const SPEED_OVER_S: f64 = 3.0;
/// One place is one within the error of a receiver, m...
const APART_M: f64 = 4.0;
/// ... that drifts while he stands, m/s, up to as much again...
const DRIFT_M_S: f64 = 1.0 / 30.0;
/// ... and what he covers before the device wakes: so long at the speed it then has, s.
const WAKING_S: f64 = 1.5;
/// A longer silence is no rest, whatever it looks like, s.
const LONGEST_S: f64 = 1800.0;
/// From this share of all silences on it is the device's habit: by the rule of succession, after six without an exception.
const SURE: f64 = 0.85;
/// Nobody slows down or sets off faster than this, m/s2...
const MOST_CHANGE_M_S2: f64 = 4.0;
/// ... or, where he runs off at all, much slower.
const LEAST_CHANGE_M_S2: f64 = 1.0;
/// Standard deviation of the distance between two fixes of a standing receiver, m.
const PLACE_SD_M: f64 = 1.0;

/// Parts silences into gaps and pauses; both in order of time. Short silences that are no pauses are bridged as they were.
///
/// ## Definition
/// A silence is any gap, and any time between two fixes of more than [`INTERVALS`] usual ones and [`LEAST_S`]. It looks like
/// standing where the speed before it is below [`SLOW_M_S`] and the place after it the one before, within the receiver's
/// error and what he covers before the device wakes. Of n silences of which k look so, each of those was standing with
/// k / (n + 1): Laplace's rule of succession, for the k - 1 others.
pub(super) fn part(points: &mut [Point], gaps: Vec<Gap>, usual_s: f64) -> (Vec<Gap>, Vec<Pause>) {
    let least_s = LEAST_S.max(INTERVALS * usual_s);
    let silent: Vec<usize> = (1..points.len())
        .filter(|&k| points[k].after_gap || points[k].time_s - points[k - 1].time_s > least_s)
        .collect();
    let looks: Vec<Option<Pause>> = silent.iter().map(|&k| standing(points, k)).collect();
    let alike = looks.iter().flatten().count();
    let habit = alike as f64 / (silent.len() + 1) as f64;
    let is_habit = habit >= SURE;
    let mut gaps = gaps.into_iter();
    let mut pauses = Vec::new();
    let mut unknown = Vec::new();
    for (k, look) in silent.into_iter().zip(looks) {
        let gap = if points[k].after_gap {
            gaps.next()
        } else {
            None
        };
        let look = look.map(|pause| Pause {
            standing: habit,
            ..pause
        });
        match (look, gap) {
            (Some(pause), _) if is_habit => {
                pauses.push(pause);
                points[k].after_gap = true;
            }
            (look, Some(gap)) => unknown.push(Gap {
                standing: look.map_or(0.0, |pause| pause.standing),
                ..gap
            }),
            _ => {}
        }
    }
    (unknown, pauses)
}

/// What is said of the pauses.
pub(super) fn note(pauses: &[Pause]) -> Option<Note> {
    let total_s: f64 = pauses.iter().map(|p| p.end_s - p.start_s).sum();
    (!pauses.is_empty()).then_some(Note::Pauses {
        count: pauses.len(),
        total_s,
    })
}

/// The silence before a point as a pause, where it looks like one.
fn standing(points: &[Point], after: usize) -> Option<Pause> {
    let (earlier, later) = points.split_at_checked(after)?;
    let (last, first) = (earlier.last()?, later.first()?);
    let lasts_s = first.time_s - last.time_s;
    let (before_m_s, after_m_s) = (
        speed(last, earlier.iter().rev()),
        speed(first, later.iter()),
    );
    if lasts_s > LONGEST_S || before_m_s > SLOW_M_S {
        return None;
    }
    let apart_m = match (last.position_m(), first.position_m()) {
        (Some(a), Some(b)) => apart_m(a, b),
        _ => 0.0,
    };
    let drift_m = (DRIFT_M_S * lasts_s).min(APART_M);
    if apart_m > APART_M + drift_m + WAKING_S * after_m_s {
        return None;
    }
    // He sets off evenly: from the distance that is covered already, within what anybody can do.
    let (soonest_s, latest_s) = (after_m_s / MOST_CHANGE_M_S2, after_m_s / LEAST_CHANGE_M_S2);
    let stopping_s = (before_m_s / MOST_CHANGE_M_S2 * 2.0).min(lasts_s / 2.0);
    let under_way_s = (2.0 * apart_m / after_m_s.max(0.1))
        .clamp(soonest_s, latest_s)
        .min(lasts_s - stopping_s);
    let by_place_s = 2.0 * PLACE_SD_M / after_m_s.max(0.1);
    Some(Pause {
        start_s: last.time_s,
        end_s: first.time_s,
        still_from_s: last.time_s + stopping_s,
        still_to_s: first.time_s - under_way_s,
        still_to_sd_s: by_place_s.min((latest_s - soonest_s) / 12_f64.sqrt()),
        standing: 0.0,
    })
}

/// The speed at a point that stands beside a silence: the receiver's, else by the points on its own side, nearest first.
fn speed<'a>(at: &Point, side: impl Iterator<Item = &'a Point>) -> f64 {
    if let Some(speed) = at.speed_m_s() {
        return speed;
    }
    let mut fastest = 0.0;
    let Some(here) = at.position_m() else {
        return fastest;
    };
    let mut reached = at;
    for point in side.skip(1) {
        if (point.time_s - at.time_s).abs() > SPEED_OVER_S || parted(reached, point) {
            break;
        }
        if let Some(there) = point.position_m() {
            let way_m = apart_m(here, there);
            fastest = way_m / (point.time_s - at.time_s).abs().max(1e-3);
            reached = point;
        }
    }
    fastest
}

/// Whether a silence lies between two neighbours.
fn parted(a: &Point, b: &Point) -> bool {
    let later = if a.time_s < b.time_s { b } else { a };
    later.after_gap
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A run of 20 m from 0, a fix a second, that begins at `start_s` and is `away_m` off.
    fn run(start_s: f64, away_m: f64) -> Vec<Point> {
        let speeds = [2.0, 4.0, 5.0, 5.0, 3.0, 1.0, 0.3];
        let mut x_m = away_m + 1.0;
        speeds
            .iter()
            .enumerate()
            .map(|(k, &speed)| {
                x_m += speed;
                let mut point = Point::new(start_s + k as f64, Some([x_m, 0.0]), Some(speed));
                point.after_gap = k == 0;
                point
            })
            .collect()
    }

    /// Runs that each begin where the one before ended, 30 s apart, but for those that are `far`.
    fn parts(runs: usize, far: &[usize]) -> (Vec<Gap>, Vec<Pause>) {
        let mut points: Vec<Point> = Vec::new();
        let mut gaps = Vec::new();
        for k in 0..runs {
            let at_m = points
                .last()
                .and_then(Point::position_m)
                .map_or(0.0, |p| p[0]);
            let at_m = at_m + if far.contains(&k) { 40.0 } else { 0.0 };
            let next = run(37.0 * k as f64, at_m);
            if let Some(last) = points.last() {
                gaps.push(Gap {
                    start_s: last.time_s,
                    end_s: next[0].time_s,
                    standing: 0.0,
                });
            }
            points.extend(next);
        }
        part(&mut points, gaps, 1.0)
    }

    #[test]
    fn a_habit_is_a_pause_and_a_single_silence_is_none() {
        let (gaps, pauses) = parts(9, &[]);
        assert_eq!((gaps.len(), pauses.len()), (0, 8));
        assert!((pauses[0].standing - 8.0 / 9.0).abs() < 1e-9);
        // The device woke at 2 m/s, 3 m from where he stood: he had been under way for 2 * 3 m / 2 m/s at most 2 s.
        assert!((pauses[0].end_s - pauses[0].still_to_s - 2.0).abs() < 1e-9);
        let (gaps, pauses) = parts(2, &[]);
        assert_eq!((gaps.len(), pauses.len()), (1, 0));
        assert!((gaps[0].standing - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_silence_that_ends_elsewhere_stays_a_gap() {
        let (gaps, pauses) = parts(14, &[5]);
        assert_eq!((gaps.len(), pauses.len()), (1, 12));
        assert!(gaps[0].standing.abs() < 1e-9);
    }

    #[test]
    fn silences_of_every_kind_are_no_habit() {
        let (gaps, pauses) = parts(12, &[2, 4, 6, 8, 10]);
        assert_eq!((gaps.len(), pauses.len()), (11, 0));
    }
}
