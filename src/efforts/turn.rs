//! Turns: changes of direction at running speed.

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};
use std::ops::Range;

use crate::efforts::measure;
use crate::efforts::threshold::Stretch;
use crate::efforts::{Effort, Kind, Thresholds};
use crate::estimation::length;
use crate::motion::{Motion, Sample};

/// Angles closer than this are equal when the sharper of two turns is chosen; then the quicker one wins.
const SAME_ANGLE_RAD: f64 = PI / 60.0;

/// Finds the turns of a session, in time order, none touching another.
///
/// ## What it finds
/// Cuts and turns about, as at the lines of a shuttle run. A bend that takes longer is none, nor is turning while walking.
///
/// ## Definition
/// Course over ground changes by [`Thresholds::turn_deg`] (90 degrees) or more within [`Thresholds::turn_within_s`]
/// (1.6 s), with speed at or above [`Thresholds::turn_speed_m_s`] (2 m/s) at both ends of that time; in between the player
/// may come to a stop. Of overlapping candidates the one with the largest change counts, of equal ones the quickest.
/// Change is the angle between the courses at the two ends, so it never exceeds 180 degrees.
///
/// ## Units
/// Angles in degrees, left (anticlockwise) positive; speed in m/s, time in s.
///
/// ## Example
/// East at 4 m/s, braking at 6 m/s2 to a stop, then west at the same rate: course changes by 180 degrees, and 2 m/s
/// before and after lie 0.67 s apart. One turn.
///
/// ## References
/// 90 degrees, 1.6 s and 2 m/s: common practice, no source. Counts depend on the method: the same 64 matches gave 15 or 111
/// changes of direction per player (Callaway, Ellis and Williams 2026, Sci Med Football, in press).
pub(super) fn turns(motion: &Motion, thresholds: &Thresholds) -> Vec<Effort> {
    motion
        .runs
        .iter()
        .flat_map(|run| apart(candidates(&motion.samples, run, thresholds)))
        .map(|turn| {
            let stretch = Stretch {
                start_s: motion.samples[turn.window.start].time_s,
                end_s: motion.samples[turn.window.end - 1].time_s,
                window: turn.window,
                near_threshold: false,
            };
            Effort {
                turn_deg: Some(turn.angle_rad.to_degrees()),
                ..measure::effort(motion, Kind::Turn, stretch)
            }
        })
        .collect()
}

/// A possible turn.
#[derive(Clone, Debug)]
struct Turn {
    window: Range<usize>,
    /// Left positive, in (-pi, pi].
    angle_rad: f64,
}

/// For each sample that a turn may start from, the sharpest and then quickest turn from there; in order of their starts.
fn candidates(samples: &[Sample], run: &Range<usize>, thresholds: &Thresholds) -> Vec<Turn> {
    let courses: Vec<(f64, Option<f64>)> = samples[run.clone()]
        .iter()
        .map(|s| (s.time_s, course_rad(s, thresholds.turn_speed_m_s)))
        .collect();
    // A window of exactly sixteen steps of 0.1 s must not fail by the last bit.
    let within_s = thresholds.turn_within_s + 1e-6;
    let least_rad = thresholds.turn_deg.to_radians() - 1e-9;
    let hardly_rad = least_rad - 1e-9;
    let mut found = Vec::new();
    for (start, &(start_s, before)) in courses.iter().enumerate() {
        let Some(before) = before else { continue };
        let mut best: Option<Turn> = None;
        for (end, &(end_s, after)) in courses.iter().enumerate().skip(start + 1) {
            if end_s - start_s > within_s {
                break;
            }
            let Some(after) = after else { continue };
            // Most courses hardly differ, which is seen before the difference is wrapped.
            if (after - before).abs() < hardly_rad {
                continue;
            }
            let angle_rad = wrapped(after - before);
            let best_rad = best
                .as_ref()
                .map_or(0.0, |turn| turn.angle_rad.abs() + SAME_ANGLE_RAD);
            if angle_rad.abs() >= least_rad && angle_rad.abs() > best_rad {
                best = Some(Turn {
                    window: run.start + start..run.start + end + 1,
                    angle_rad,
                });
            }
        }
        found.extend(best);
    }
    found
}

/// Picks the turns to keep: the sharpest first, then what does not touch it.
fn apart(candidates: Vec<Turn>) -> Vec<Turn> {
    let steps = |turn: &Turn| (turn.angle_rad.abs() / SAME_ANGLE_RAD).round() as i64;
    let mut by_merit = candidates;
    by_merit.sort_by_key(|turn| (-steps(turn), turn.window.len(), turn.window.start));
    // By start, so that only the neighbours can touch.
    let mut kept: BTreeMap<usize, Turn> = BTreeMap::new();
    for turn in by_merit {
        let before = kept.range(..turn.window.start).next_back();
        let clear_before = before.is_none_or(|(_, last)| last.window.end <= turn.window.start);
        let after = kept.range(turn.window.start..).next();
        let clear_after = after.is_none_or(|(&start, _)| turn.window.end <= start);
        if clear_before && clear_after {
            kept.insert(turn.window.start, turn);
        }
    }
    kept.into_values().collect()
}

/// Course, anticlockwise from east, of a sample that is fast enough for it to mean something.
fn course_rad(sample: &Sample, least_m_s: f64) -> Option<f64> {
    // Position and receiver may disagree while one of them lags; a course needs some speed in the positions too.
    let from_position = length(sample.vx_m_s, sample.vy_m_s);
    let fast =
        sample.speed_m_s >= least_m_s && from_position >= least_m_s / 2.0 && from_position > 0.0;
    (fast && !sample.bridged).then(|| sample.vy_m_s.atan2(sample.vx_m_s))
}

/// The difference of two courses, in (-pi, pi]; it lies within a whole turn to either side already.
fn wrapped(angle_rad: f64) -> f64 {
    let turned = if angle_rad < 0.0 {
        angle_rad + TAU
    } else {
        angle_rad
    };
    if turned > PI { turned - TAU } else { turned }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::of_samples;

    /// A motion at 10 Hz from its velocity over time.
    fn moving(seconds: f64, velocity: impl Fn(f64) -> [f64; 2]) -> Motion {
        let samples = (0..=(seconds * 10.0).round() as usize)
            .map(|i| {
                let time_s = i as f64 / 10.0;
                let [vx_m_s, vy_m_s] = velocity(time_s);
                Sample {
                    time_s,
                    vx_m_s,
                    vy_m_s,
                    speed_m_s: vx_m_s.hypot(vy_m_s),
                    ..Sample::default()
                }
            })
            .collect();
        of_samples(samples, 10.0)
    }

    fn angles(motion: &Motion) -> Vec<i64> {
        turns(motion, &Thresholds::default())
            .iter()
            .map(|turn| turn.turn_deg.expect("a turn has an angle").round() as i64)
            .collect()
    }

    #[test]
    fn the_example_of_the_documentation() {
        let motion = moving(6.0, |t| [(4.0 - 6.0 * (t - 2.0).max(0.0)).max(-4.0), 0.0]);
        let [turn] = &turns(&motion, &Thresholds::default())[..] else {
            panic!("one turn expected");
        };
        assert!((turn.turn_deg.expect("a turn has an angle").abs() - 180.0).abs() < 1e-9);
        // The last sample at 2 m/s or more before and the first after.
        assert!((turn.start_s - 2.3).abs() < 1e-9 && (turn.end_s - 3.0).abs() < 1e-9);
    }

    #[test]
    fn left_is_positive_and_right_is_negative() {
        let quarter = |sign: f64| {
            moving(4.0, move |t| {
                let angle = sign * 95_f64.to_radians() * (t - 2.0).clamp(0.0, 0.5) / 0.5;
                [4.0 * angle.cos(), 4.0 * angle.sin()]
            })
        };
        assert_eq!(angles(&quarter(1.0)), [95]);
        assert_eq!(angles(&quarter(-1.0)), [-95]);
    }

    #[test]
    fn gentle_slow_and_long_changes_are_none() {
        let swerve = |degrees: f64, takes_s: f64, speed: f64| {
            moving(10.0, move |t| {
                let angle = degrees.to_radians() * ((t - 2.0) / takes_s).clamp(0.0, 1.0);
                [speed * angle.cos(), speed * angle.sin()]
            })
        };
        assert!(angles(&swerve(80.0, 0.5, 4.0)).is_empty());
        assert!(angles(&swerve(90.0, 3.0, 4.0)).is_empty());
        assert!(angles(&swerve(120.0, 0.5, 1.5)).is_empty());
        assert_eq!(angles(&swerve(120.0, 0.5, 2.5)), [120]);
    }

    #[test]
    fn each_line_of_a_shuttle_is_one_turn() {
        // Back and forth on a triangle wave of velocity clipped at 3 m/s: a turn every 3 s.
        let motion = moving(12.0, |t| {
            let phase = (t / 6.0).rem_euclid(1.0);
            let wave = 1.0 - 4.0 * (phase - 0.5).abs();
            [(12.0 * wave).clamp(-3.0, 3.0), 0.1]
        });
        assert_eq!(angles(&motion).len(), 4);
    }
}
