//! Turns: changes of direction at running speed.

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};
use std::ops::Range;

use crate::efforts::measure;
use crate::efforts::probability::{self, Candidate};
use crate::efforts::threshold::Stretch;
use crate::efforts::{Effort, Kind, Thresholds};
use crate::estimation::halving::highest;
use crate::estimation::length;
use crate::measured::{Measured, Z95};
use crate::motion::{Motion, Sample};

/// Angles closer than this are equal when the sharper of two turns is chosen; then the quicker one wins.
const SAME_ANGLE_RAD: f64 = PI / 60.0;
/// So many samples are looked at together before they are looked at one by one.
const CHUNK: usize = 8;
/// What meets a rule with speed and angle this much lower was nearly a turn.
const NEARLY: f64 = 0.85;
/// No least speed is looked for beyond so many times the rule's.
const MOST: f64 = 2.5;
/// Halvings of that search.
const HALVINGS: usize = 8;
/// Standard deviation of what a receiver's filter does to a speed before and after a turn, as a share of it, and to a course.
const SPEED_SHARE: f64 = 0.05;
const COURSE_SD_RAD: f64 = 0.07;
/// A receiver rounds turns off: what reads as lying on the rule lay above it by so many standard deviations.
const ROUNDED: f64 = 0.35;
/// Share of the variance that all turns of a session have in common: a filter cuts all alike.
const ALIKE: f64 = 0.4;

/// Finds the turns of a session, in time order, none touching another.
///
/// ## What it finds
/// Cuts and turns about, as at the lines of a shuttle run. A bend that takes longer is none, nor is turning while walking.
///
/// ## Definition
/// Course over ground changes by [`Thresholds::turn_deg`] (90 degrees) or more within [`Thresholds::turn_within_s`]
/// (1.6 s), with speed at or above [`Thresholds::turn_speed_m_s`] (2 m/s) at both ends of that time; in between the player
/// may come to a stop. Of overlapping candidates the one with the largest change counts, of equal ones the quickest.
/// Change is the angle between the courses at the two ends, so it never exceeds 180 degrees. How many there were is told by
/// what lies near the rule on either side of it, each with the probability that it was a turn.
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
pub(super) fn turns(motion: &Motion, thresholds: &Thresholds) -> (Vec<Effort>, Measured) {
    let rule = Rule::of(thresholds);
    let (mut angles_rad, mut found) = (Vec::new(), Vec::new());
    for run in &motion.runs {
        for part in parts(&motion.samples, run, rule) {
            for (angle_rad, odds) in in_part(motion, &part, rule) {
                angles_rad.push(angle_rad);
                found.push(odds);
            }
        }
    }
    let count = probability::count_alike(&found, ALIKE);
    let listed = (angles_rad.into_iter().zip(found))
        .filter(|(_, odds)| odds.probability() >= probability::LISTED)
        .map(|(angle_rad, odds)| Effort {
            turn_deg: Some(angle_rad.to_degrees()),
            ..measure::effort(motion, Kind::Turn, odds)
        })
        .collect();
    (listed, count)
}

/// What makes a change of course a turn.
#[derive(Clone, Copy, Debug)]
struct Rule {
    /// Least speed at both ends, m/s.
    least_m_s: f64,
    /// Least change of course.
    least_rad: f64,
    /// Longest time for it, s.
    within_s: f64,
}

impl Rule {
    fn of(thresholds: &Thresholds) -> Self {
        Self {
            least_m_s: thresholds.turn_speed_m_s,
            // Thresholds that are met exactly must not fail by the last bit.
            least_rad: thresholds.turn_deg.to_radians() - 1e-9,
            within_s: thresholds.turn_within_s + 1e-6,
        }
    }

    /// The rule by which turns are looked for that may have been one.
    fn nearly(self) -> Self {
        Self {
            least_m_s: NEARLY * self.least_m_s,
            least_rad: NEARLY * self.least_rad,
            ..self
        }
    }
}

/// A possible turn.
#[derive(Clone, Debug)]
struct Turn {
    window: Range<usize>,
    /// Left positive, in (-pi, pi].
    angle_rad: f64,
}

/// The parts of a run in which there is anything like a turn, in order; every turn lies within one.
fn parts(samples: &[Sample], run: &Range<usize>, rule: Rule) -> Vec<Range<usize>> {
    let mut parts: Vec<Range<usize>> = Vec::new();
    for turn in candidates(samples, run, rule.nearly()) {
        // A turn from the same start may end later than the sharpest does.
        let latest_s = samples[turn.window.start].time_s + rule.within_s;
        let beyond = samples[turn.window.end..run.end].iter();
        let end = turn.window.end + beyond.take_while(|s| s.time_s <= latest_s).count();
        match parts.last_mut() {
            Some(last) if turn.window.start < last.end => last.end = last.end.max(end),
            _ => parts.push(turn.window.start..end),
        }
    }
    parts
}

/// The angle of each turn of a part, and of what was nearly one, in time order and with how likely it counts.
fn in_part(motion: &Motion, part: &Range<usize>, rule: Rule) -> Vec<(f64, Candidate)> {
    let samples = &motion.samples;
    let turns = apart(candidates(samples, part, rule));
    let touches = |nearly: &Turn| {
        let window = &nearly.window;
        let touch = |t: &Turn| t.window.start < window.end && window.start < t.window.end;
        turns.iter().any(touch)
    };
    let nearly = apart(candidates(samples, part, rule.nearly()));
    let mut all: Vec<(Turn, bool)> = (nearly.into_iter().filter(|n| !touches(n)))
        .map(|turn| (turn, false))
        .chain(turns.iter().map(|turn| (turn.clone(), true)))
        .collect();
    all.sort_by_key(|(turn, _)| turn.window.start);
    let reach = motion.samples_in(rule.within_s);
    let around = |k: usize| {
        let window = &all[k].0.window;
        let from = k.checked_sub(1).map_or(part.start, |k| all[k].0.window.end);
        let to = all.get(k + 1).map_or(part.end, |next| next.0.window.start);
        from.max(window.start.saturating_sub(reach))..to.min(window.end + reach)
    };
    (0..all.len())
        .filter_map(|k| {
            let (turn, counts) = &all[k];
            let z = odds(motion, turn, &around(k), rule, *counts)? + ROUNDED;
            let stretch = Stretch {
                start_s: samples[turn.window.start].time_s,
                end_s: samples[turn.window.end - 1].time_s,
                window: turn.window.clone(),
                near_threshold: z.abs() < Z95,
            };
            Some((turn.angle_rad, Candidate::at(stretch, z)))
        })
        .collect()
}

/// How far a turn, or what was nearly one, lies from the rule, in standard deviations; below 0 for what is none. `None` for what
/// misses it by too much.
///
/// # Definition
/// The highest least speed by which there would be a turn, held against the rule's, and the sharpest change of course there is,
/// held against the rule's: what is nearer decides.
fn odds(
    motion: &Motion,
    turn: &Turn,
    around: &Range<usize>,
    rule: Rule,
    counts: bool,
) -> Option<f64> {
    let samples = &motion.samples;
    let turns_at = |least_m_s: f64| {
        let rule = Rule { least_m_s, ..rule };
        !candidates(samples, around, rule).is_empty()
    };
    let sd_m_s = (samples[turn.window.start].speed_sd_m_s)
        .hypot(samples[turn.window.end - 1].speed_sd_m_s)
        .hypot(SPEED_SHARE * rule.least_m_s);
    let sd_rad = (sd_m_s / rule.least_m_s).hypot(COURSE_SD_RAD);
    let sharpest = |rule: Rule| {
        let angles = candidates(samples, around, rule).into_iter();
        angles.map(|t| t.angle_rad.abs()).fold(0.0, f64::max)
    };
    let between = if counts {
        (rule.least_m_s, MOST * rule.least_m_s)
    } else if turns_at(rule.nearly().least_m_s) {
        (rule.nearly().least_m_s, rule.least_m_s)
    } else {
        let least_rad = rule.nearly().least_rad;
        let angle_rad = sharpest(Rule { least_rad, ..rule });
        return (angle_rad > 0.0).then(|| (angle_rad - rule.least_rad) / sd_rad);
    };
    let by_speed = (highest(between, HALVINGS, turns_at) - rule.least_m_s) / sd_m_s;
    if counts {
        Some(by_speed.min((sharpest(rule) - rule.least_rad) / sd_rad))
    } else {
        Some(by_speed)
    }
}

/// For each sample that a turn may start from, the sharpest and then quickest turn from there; in order of their starts.
fn candidates(samples: &[Sample], run: &Range<usize>, rule: Rule) -> Vec<Turn> {
    let courses: Vec<(f64, Option<f64>)> = samples[run.clone()]
        .iter()
        .map(|s| (s.time_s, course_rad(s, rule.least_m_s)))
        .collect();
    let Rule {
        least_rad,
        within_s,
        ..
    } = rule;
    let hardly_rad = least_rad - 1e-9;
    let extremes: Vec<(f64, f64)> = courses.chunks(CHUNK).map(extremes_rad).collect();
    let mut found = Vec::new();
    let mut until = 0;
    for (start, &(start_s, before)) in courses.iter().enumerate() {
        let Some(before) = before else { continue };
        while courses
            .get(until)
            .is_some_and(|(end_s, _)| end_s - start_s <= within_s)
        {
            until += 1;
        }
        // Most courses hardly differ from any that follow, which is seen of a whole chunk at once.
        let chunks = &extremes[start / CHUNK..until.div_ceil(CHUNK)];
        let differs = |&(least, most): &(f64, f64)| {
            most - before >= hardly_rad || before - least >= hardly_rad
        };
        if !chunks.iter().any(differs) {
            continue;
        }
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

/// The lowest and the highest course of some samples; none lies between where none has one.
fn extremes_rad(courses: &[(f64, Option<f64>)]) -> (f64, f64) {
    let known = courses.iter().filter_map(|(_, course)| *course);
    known.fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(least, most), course| (least.min(course), most.max(course)),
    )
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
    if sample.speed_m_s < least_m_s || sample.bridged {
        return None;
    }
    // Position and receiver may disagree while one of them lags; a course needs some speed in the positions too.
    let from_position = length(sample.vx_m_s, sample.vy_m_s);
    let fast = from_position >= least_m_s / 2.0 && from_position > 0.0;
    fast.then(|| sample.vy_m_s.atan2(sample.vx_m_s))
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
            .0
            .iter()
            .map(|turn| turn.turn_deg.expect("a turn has an angle").round() as i64)
            .collect()
    }

    #[test]
    fn the_example_of_the_documentation() {
        let motion = moving(6.0, |t| [(4.0 - 6.0 * (t - 2.0).max(0.0)).max(-4.0), 0.0]);
        let [turn] = &turns(&motion, &Thresholds::default()).0[..] else {
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

    /// East, then after `turn` degrees within half a second on at the same speed, five times over, known to 0.1 m/s.
    fn five(turn: f64, speed: f64) -> (Vec<Effort>, Measured) {
        let mut motion = moving(50.0, move |t| {
            let angle = turn.to_radians() * ((t % 10.0 - 5.0) / 0.5).clamp(0.0, 1.0);
            [speed * angle.cos(), speed * angle.sin()]
        });
        // Each begins anew, in another run.
        motion.runs = (0..5).map(|k| k * 100..(k + 1) * 100).collect();
        for sample in &mut motion.samples {
            sample.speed_sd_m_s = 0.1;
        }
        turns(&motion, &Thresholds::default())
    }

    #[test]
    fn what_lies_clear_of_the_rule_is_counted_for_sure() {
        let (found, count) = five(150.0, 4.0);
        assert_eq!(found.len(), 5);
        assert!(
            found
                .iter()
                .all(|turn| turn.probability > 0.99 && !turn.near_threshold)
        );
        assert!(count.low > 4.5 && count.high < 5.5, "{count:?}");
        let (found, count) = five(60.0, 4.0);
        assert!(found.is_empty() && count.high < 0.5, "{count:?}");
    }

    #[test]
    fn what_lies_near_the_rule_counts_in_part_on_either_side() {
        // By its angle, and by its speed.
        for ((turn, speed), (more, faster)) in
            [((86.0, 4.0), (94.0, 4.0)), ((120.0, 1.9), (120.0, 2.1))]
        {
            let (below, above) = (five(turn, speed).1, five(more, faster).1);
            assert!(
                below.value > 0.5 && above.value < 4.95,
                "{below:?} {above:?}"
            );
            assert!(below.value < above.value && below.low < 5.0 && above.high >= 5.0);
        }
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
