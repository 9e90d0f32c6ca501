//! To and fro: stretches in which he goes one way and back, again and again, by the rhythm of their turns.
//!
//! A receiver that filters its places takes most of the speed out of short shuttles: what is left is no busier than walking, rises
//! above a level here and dips below it there, and no level holds a set of twelve together. Its rhythm is plain all the same: legs of
//! about the same time and length, each against the one before. Such chains of legs are stretches that may be bouts, whatever their
//! activity.
//!
//! Where there are many fixes levels hold a set together, but hold more than the set where he jogs off from its last line, or jogs to the
//! first and does not stop: there the rhythm tells where the set begins and ends.

use std::ops::Range;

use crate::estimation::length;
use crate::motion::{Motion, Sample};

/// Between two legs the pace falls below this share of the slower one's height.
const DIP: f64 = 0.7;
/// A leg begins and ends at this share of its height.
const FOOT: f64 = 0.15;
/// Legs take so long, at least and at most, s, and are at least so long, m.
const LEG_S: (f64, f64) = (1.0, 12.0);
const SHORTEST_LEG_M: f64 = 1.2;
/// A leg goes against the one before: the cosine of the angle between them is at most this.
const AGAINST: f64 = -0.7;
/// Between two legs of a set he stands no longer than this, s.
const STANDS_S: f64 = 2.0;
/// Neighbouring legs differ by no more than this in time and in length, as a ratio.
const ALIKE: f64 = 1.8;
/// From so many fixes a second on levels of activity hold every set together, Hz.
const PLAIN_HZ: f64 = 2.0;
/// So many legs make a rhythm.
const FEWEST_LEGS: usize = 5;
/// So many do where levels of activity hold them together with something else.
const FEWEST_PLAIN_LEGS: usize = 3;
/// What begins this soon after the last leg is not parted from it by any level of activity, s.
const GOES_ON_S: f64 = 0.6;

/// The way between two moments of turning.
#[derive(Clone, Copy, Debug)]
struct Leg {
    from: usize,
    to: usize,
    start_s: f64,
    time_s: f64,
    way_m: [f64; 2],
    length_m: f64,
}

/// Every chain of legs, as windows of samples. Its first and its last leg may have been a walk into place, and the leg before or after
/// it may have been one of it, begun from further off: each chain is there with and without these. Of many fixes, those chains only that
/// something else runs into, or goes on from.
pub(super) fn spans(motion: &Motion) -> Vec<Range<usize>> {
    let mut spans = Vec::new();
    if !motion.has_position {
        return spans;
    }
    let plain = motion.rate_hz >= PLAIN_HZ;
    for run in &motion.runs {
        let legs = legs(&motion.samples, run.clone());
        let goes_on = |before: Option<&Leg>, leg: Option<&Leg>| {
            let two = before.zip(leg);
            two.is_some_and(|(a, b)| stands_s(a, b) <= GOES_ON_S)
        };
        let mut first = 0;
        for chain in legs.chunk_by(follows) {
            let end = first + chain.len();
            if plain {
                let before = first.checked_sub(1).and_then(|k| legs.get(k));
                let is_part =
                    goes_on(before, chain.first()) || goes_on(chain.last(), legs.get(end));
                if is_part && chain.len() >= FEWEST_PLAIN_LEGS {
                    spans.push(legs[first].from..legs[end - 1].to + 1);
                }
            } else if chain.len() >= FEWEST_LEGS {
                let back = |a: usize, b: usize| {
                    let two = legs.get(a).zip(legs.get(b));
                    two.is_some_and(|(a, b)| a.is_leg() && b.is_leg() && is_against(a, b))
                };
                let before = first - usize::from(first > 0 && back(first - 1, first));
                let after = end + usize::from(back(end - 1, end));
                for from in before..=first + 1 {
                    spans.extend((end - 1..=after).map(|to| legs[from].from..legs[to - 1].to + 1));
                }
            }
            first = end;
        }
    }
    spans
}

/// The legs of a run: about each height of the pace of its places, from where it rises to where it falls again.
fn legs(samples: &[Sample], run: Range<usize>) -> Vec<Leg> {
    let pace = |k: usize| length(samples[k].vx_m_s, samples[k].vy_m_s);
    let heights = heights(run.clone(), pace);
    (heights.iter().enumerate())
        .map(|(n, &high)| {
            // He may stand before a leg, and after it, for long: it reaches no further than its foot.
            let standing = |k: &usize| pace(*k) <= FOOT * pace(high);
            let lowest = |mut within: Range<usize>, otherwise: usize| {
                within.next().map_or(otherwise, |first| {
                    within.fold(first, |low, k| if pace(k) < pace(low) { k } else { low })
                })
            };
            let before = n.checked_sub(1).map_or(run.start, |n| heights[n]);
            let after = heights.get(n + 1).map_or(run.end, |&k| k);
            let from = (before..high).rev().find(standing);
            let to = (high + 1..after).find(standing);
            let from = from.unwrap_or_else(|| lowest(before..high, high));
            let to = to.unwrap_or_else(|| lowest(high + 1..after, high));
            let (a, b) = (&samples[from], &samples[to]);
            let way_m = [b.x_m - a.x_m, b.y_m - a.y_m];
            Leg {
                from,
                to,
                start_s: a.time_s,
                time_s: b.time_s - a.time_s,
                way_m,
                length_m: way_m[0].hypot(way_m[1]),
            }
        })
        .collect()
}

/// Where a pace is highest between two dips, each of them well below it.
fn heights(run: Range<usize>, pace: impl Fn(usize) -> f64) -> Vec<usize> {
    let (mut heights, mut low, mut high) = (Vec::new(), run.start, run.start);
    let mut rising = true;
    for k in run {
        if rising {
            if pace(k) >= pace(high) {
                high = k;
            } else if pace(k) < DIP * pace(high) {
                heights.push(high);
                (rising, low) = (false, k);
            }
        } else if pace(k) <= pace(low) {
            low = k;
        } else if pace(low) < DIP * pace(k) {
            (rising, high) = (true, k);
        }
    }
    heights
}

impl Leg {
    /// Whether it is as long as a leg, in time and in way.
    fn is_leg(&self) -> bool {
        (LEG_S.0..=LEG_S.1).contains(&self.time_s) && self.length_m >= SHORTEST_LEG_M
    }
}

/// How long he stands between two legs, s.
fn stands_s(before: &Leg, leg: &Leg) -> f64 {
    leg.start_s - before.start_s - before.time_s
}

/// Whether a leg goes against the one before it, with hardly a stop between.
fn is_against(before: &Leg, leg: &Leg) -> bool {
    let dot = before.way_m[0] * leg.way_m[0] + before.way_m[1] * leg.way_m[1];
    stands_s(before, leg) <= STANDS_S && dot <= AGAINST * before.length_m * leg.length_m
}

/// Whether a leg goes back the way of the one before it, in about the same time.
fn follows(before: &Leg, leg: &Leg) -> bool {
    let alike = |a: f64, b: f64| a.max(b) <= ALIKE * a.min(b);
    before.is_leg()
        && leg.is_leg()
        && alike(before.time_s, leg.time_s)
        && alike(before.length_m, leg.length_m)
        && is_against(before, leg)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::SpeedFrom;

    /// A walk of 1 m/s along a line, and after it so many legs of so many seconds at a mean of 1 m/s, eased at each turn; at 5 Hz, from a
    /// receiver of 1 Hz.
    fn motion(legs: &[f64]) -> Motion {
        const STEP_S: f64 = 0.2;
        let mut speeds: Vec<f64> = vec![-1.0; 100];
        speeds.extend([0.0; 10]);
        for (k, &leg_s) in legs.iter().enumerate() {
            let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
            let steps = (leg_s / STEP_S).round() as usize;
            speeds.extend((0..steps).map(|n| {
                let at = std::f64::consts::PI * (n as f64 + 0.5) / steps as f64;
                sign * at.sin() * std::f64::consts::FRAC_PI_2
            }));
        }
        speeds.extend([0.0; 10]);
        let mut x_m = 0.0;
        let samples = (speeds.iter().enumerate())
            .map(|(k, &vx_m_s)| {
                x_m += STEP_S * vx_m_s;
                Sample {
                    time_s: STEP_S * k as f64,
                    x_m,
                    vx_m_s,
                    speed_m_s: vx_m_s.abs(),
                    ..Sample::default()
                }
            })
            .collect();
        Motion::of_run(samples, 1.0, SpeedFrom::Position)
    }

    fn longest_s(motion: &Motion) -> Option<(f64, f64)> {
        let time_s = |k: usize| motion.samples[k].time_s;
        spans(motion)
            .iter()
            .map(|span| (time_s(span.start), time_s(span.end - 1)))
            .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
    }

    /// Twelve legs of 3 s, no faster than walking: no level of activity holds them, their rhythm does.
    #[test]
    fn a_set_no_faster_than_walking_is_found_by_its_rhythm() {
        let (from_s, to_s) = longest_s(&motion(&[3.0; 12])).expect("a chain");
        assert!(
            (from_s - 21.0).abs() <= 1.5 && (to_s - 58.0).abs() <= 1.5,
            "{from_s} {to_s}"
        );
    }

    #[test]
    fn wandering_about_has_none() {
        assert_eq!(
            longest_s(&motion(&[3.0, 9.0, 2.0, 7.0, 3.0, 11.0, 2.0, 8.0])),
            None
        );
        assert_eq!(longest_s(&motion(&[3.0; 3])), None);
    }

    /// What a receiver of many fixes shows needs no rhythm to be found.
    #[test]
    fn many_fixes_need_none() {
        let mut motion = motion(&[3.0; 12]);
        motion.rate_hz = 10.0;
        assert!(spans(&motion).is_empty());
    }

    /// Unless he jogs off from the last line at once: no level parts that from the set.
    #[test]
    fn a_set_that_he_jogs_off_from_ends_with_its_rhythm() {
        let mut motion = motion(&[[3.0; 8].as_slice(), &[9.0]].concat());
        motion.rate_hz = 10.0;
        let (from_s, to_s) = longest_s(&motion).expect("a chain");
        assert!((from_s - 22.0).abs() <= 0.6, "{from_s}");
        assert!((to_s - 46.0).abs() <= 0.6, "{to_s}");
    }

    /// Or jogs to the first line and turns there.
    #[test]
    fn a_set_that_he_jogs_into_begins_with_its_rhythm() {
        let mut motion = motion(&[[9.0].as_slice(), &[3.0; 8]].concat());
        motion.rate_hz = 10.0;
        let (from_s, to_s) = longest_s(&motion).expect("a chain");
        assert!((from_s - 31.0).abs() <= 0.6, "{from_s}");
        assert!((to_s - 55.0).abs() <= 0.6, "{to_s}");
    }
}
