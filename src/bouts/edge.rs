//! Edges: where exactly a bout starts, where its braking begins and where it stops.

use std::ops::Range;

use crate::motion::{Motion, Sample};

/// The share of the rise from rest to running at which a start or stop is set.
const FOOT: f64 = 0.08;
/// How far outside a stretch of activity its foot may lie, s.
const REACH_S: f64 = 2.5;
/// The last leg of a shuttle reaches at least this share of the peak,
const LAST_LEG: f64 = 0.35;
/// and more than this, m/s.
const FASTER_THAN_WALKING_M_S: f64 = 1.7;
/// Braking is slowing by more than this, m/s2.
const BRAKE_M_S2: f64 = 0.9;

/// Braking from below this share of the peak has another before it,
const RUN_OUT: f64 = 0.75;
/// from this share of the peak.
const CREST: f64 = 0.9;

/// Who walks into a rep goes on at about one speed, m/s, for so long, s, slower than this share of his height. Only many fixes a second
/// tell such a walk from the foot of a smoothed slope.
const WALKS_M_S: std::ops::Range<f64> = 0.5..2.0;
const WALKS_S: f64 = 0.6;
const WALKS_SHARE: f64 = 0.3;
const EVEN_M_S: f64 = 0.2;
const FINE_HZ: f64 = 4.0;

/// Sample indices of a bout's edges: `start <= end <= stop`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Edges {
    /// Where the player leaves rest.
    pub start: usize,
    /// Where he starts to brake.
    pub end: usize,
    /// Where he has come to rest.
    pub stop: usize,
}

/// The edges of the bout in a stretch of activity; `None` when nothing in it rises above its surroundings.
///
/// ## Definition
/// The start is where speed, on its way up from the lowest value just before, has made 8 % of the rise to the first
/// height; the stop is its mirror image. Standing and walking are both rest by this, and a walk into the rep is none of it.
/// The end lies at the top of the last slope on which speed falls by more than 0.9 m/s2.
///
/// ## References
/// Common practice, no source: a start is found at 5 to 10 % of the peak.
///
/// Who runs out past the line slows down twice, first from his height and then to a stand. Which of the two was the end of
/// work is for the plan to say: where the first lies far above the last, it is given as well.
pub(super) fn edges(motion: &Motion, span: &Range<usize>) -> Vec<Edges> {
    let Some(last) = last_braking(motion, span) else {
        return Vec::new();
    };
    let speed = |k: usize| motion.samples[k].speed_m_s;
    let peak = peak_m_s(&motion.samples[last.start..=last.stop]);
    if speed(last.end) > RUN_OUT * peak {
        return vec![last];
    }
    let crest = (last.start..=last.stop)
        .rev()
        .find(|&k| speed(k) >= CREST * peak)
        .unwrap_or(last.end);
    let first = Edges {
        end: crest,
        ..last.clone()
    };
    vec![last, first]
}

fn last_braking(motion: &Motion, span: &Range<usize>) -> Option<Edges> {
    let run = motion.runs.partition_point(|run| run.end <= span.start);
    let run = motion.runs.get(run).filter(|run| run.start <= span.start)?;
    let reach = motion.samples_in(REACH_S);
    let speed = |k: usize| motion.samples[k].speed_m_s;
    let (first, last) = (
        span.start.max(run.start),
        span.end.min(run.end).checked_sub(1)?,
    );
    if first >= last {
        return None;
    }
    let peak = peak_m_s(&motion.samples[first..=last]);
    let low_before = first.saturating_sub(reach).max(run.start);
    let high_after = (last + reach).min(run.end - 1);

    // The first height: the first local maximum above half of the peak.
    let climb = (first..=last).find(|&k| speed(k) >= 0.5 * peak)?;
    let mut top = climb;
    while top < last && speed(top + 1) >= speed(top) {
        top += 1;
    }
    let walks = (motion.rate_hz >= FINE_HZ).then(|| motion.samples_in(WALKS_S));
    let start = foot((low_before..=top).rev(), speed, walks)?;
    // The last height: the last local maximum faster than walking; the last leg of a timed shuttle is often cut off.
    let fast = (LAST_LEG * peak)
        .max(FASTER_THAN_WALKING_M_S)
        .min(0.5 * peak);
    let fall = (first..=last).rev().find(|&k| speed(k) >= fast)?;
    let mut crest = fall;
    while crest > top && speed(crest - 1) >= speed(crest) {
        crest -= 1;
    }
    let stop = foot(crest.max(top)..=high_after, speed, None)?;
    if stop <= start {
        return None;
    }
    Some(Edges {
        start,
        end: brake(motion, start, crest, stop),
        stop,
    })
}

/// The highest speed of a stretch of samples, m/s.
pub(super) fn peak_m_s(samples: &[Sample]) -> f64 {
    samples.iter().map(|s| s.speed_m_s).fold(0.0, f64::max)
}

/// Walks from a height outwards and down to where 8 % of the fall are left; at an even walk for so many samples, if that is asked for, the
/// fall ends.
fn foot(
    outwards: impl Iterator<Item = usize>,
    speed: impl Fn(usize) -> f64,
    walks: Option<usize>,
) -> Option<usize> {
    let mut walk = outwards.peekable();
    let height = speed(*walk.peek()?);
    let mut trail: Vec<usize> = Vec::new();
    let mut lowest = height;
    for k in walk {
        // The next rise is no longer this bout's slope.
        if speed(k) > lowest + 0.25 * (height - lowest).max(0.6) && lowest < 0.6 * height {
            break;
        }
        lowest = lowest.min(speed(k));
        trail.push(k);
        if let Some(walks) = walks
            && lowest < WALKS_SHARE * height
            && WALKS_M_S.contains(&lowest)
            && let Some(&before) = trail.get(trail.len().wrapping_sub(walks + 1))
            && (speed(before) - speed(k)).abs() < EVEN_M_S
        {
            break;
        }
    }
    let level = lowest + FOOT * (height - lowest);
    trail.into_iter().find(|&k| speed(k) <= level)
}

/// Goes back from the stop up the last slope to where it is flatter than braking.
fn brake(motion: &Motion, start: usize, crest: usize, stop: usize) -> usize {
    let samples = &motion.samples;
    let steep = |k: usize| samples[k].acceleration_m_s2 <= -BRAKE_M_S2;
    // From the stop to the slope, then up the slope.
    let low = crest.max(start);
    let Some(mut k) = (low..=stop).rev().find(|&k| steep(k)) else {
        return stop;
    };
    while k > low && steep(k - 1) {
        k -= 1;
    }
    k
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::SpeedFrom;

    /// Standing, 2 s of walking at 1 m/s or none, and a sprint from 4.0 s on, by tenths of a second.
    fn sprint(walks: bool, rate_hz: f64) -> Motion {
        let samples = (0..120).map(|k| {
            let time_s = f64::from(k) / 10.0;
            let walk_m_s: f64 = if walks && (2.0..4.4).contains(&time_s) {
                1.0
            } else {
                0.0
            };
            let run_m_s = (3.0 * (time_s - 4.0).min(9.0 - time_s)).clamp(0.0, 7.0);
            Sample {
                time_s,
                speed_m_s: walk_m_s.max(run_m_s),
                ..Sample::default()
            }
        });
        let mut motion = Motion::of_run(samples.collect(), 10.0, SpeedFrom::Both);
        motion.rate_hz = rate_hz;
        motion
    }

    #[test]
    fn a_walk_into_a_sprint_is_none_of_it() {
        let start_s = |motion: &Motion| {
            let found = edges(motion, &(42..88));
            motion.samples[found[0].start].time_s
        };
        assert!((start_s(&sprint(false, 10.0)) - 4.15).abs() < 0.11);
        assert!((start_s(&sprint(true, 10.0)) - 4.4).abs() < 0.16);
        // Few fixes smooth every start into such a walk.
        assert!(start_s(&sprint(true, 1.0)) < 2.1);
    }
}
