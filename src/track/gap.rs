//! Finds the usual rate of a recording and its silences.

use crate::estimation::quantile::of_rank;
use crate::track::{Draft, Gap, Point, Rate, Rules, apart_m};

/// A recording is irregular when more than this share of its intervals is far from the usual one.
const IRREGULAR_SHARE: f64 = 0.2;

/// A silence of up to so many usual intervals is none: of a receiver that writes every 10 s, one fix may be lost.
const BRIDGED_INTERVALS: f64 = 2.5;

/// With fixes further apart than this there is no motion between them, s.
const LONGEST_INTERVAL_S: f64 = 20.0;

/// A place that changes by more than this and the fastest run together has leapt, m; errors of receivers are smaller.
const LEAP_M: f64 = 30.0;

/// The usual rate: 1 over the median interval.
pub(super) fn rate(drafts: &[Draft]) -> Rate {
    let mut intervals_s: Vec<f64> = drafts
        .windows(2)
        .map(|w| w[1].time_s - w[0].time_s)
        .collect();
    let half = intervals_s.len() / 2;
    let Some(usual_s) = of_rank(&mut intervals_s, half) else {
        return Rate {
            hz: 0.0,
            irregular: true,
        };
    };
    let odd = intervals_s
        .iter()
        .filter(|dt| !(0.6 * usual_s..=1.6 * usual_s).contains(*dt))
        .count();
    let irregular = odd as f64 > IRREGULAR_SHARE * intervals_s.len() as f64;
    // Of an irregular recording the mean says more than the median: half of it may be far slower.
    let interval_s = if irregular {
        let bridged: Vec<f64> = intervals_s
            .iter()
            .copied()
            .filter(|dt| *dt <= 20.0 * usual_s)
            .collect();
        bridged.iter().sum::<f64>() / bridged.len() as f64
    } else {
        usual_s
    };
    Rate {
        hz: 1.0 / interval_s,
        irregular,
    }
}

/// Whether the place changes by more than anybody runs, and stays changed: what was undone is set aside before. Two
/// recordings in one file do that; the way between them is nobody's.
fn leaps(before: &Draft, draft: &Draft, rules: &Rules) -> bool {
    let (Some(from_m), Some(to_m)) = (before.position_m, draft.position_m) else {
        return false;
    };
    let apart_m = apart_m(from_m, to_m);
    apart_m > LEAP_M + rules.max_speed_m_s * (draft.time_s - before.time_s)
}

/// Points from the session's start, and the gaps between them.
pub(super) fn split(
    drafts: &[Draft],
    start_s: f64,
    rate: Rate,
    rules: &Rules,
) -> (Vec<Point>, Vec<Gap>) {
    let bridge_s = rules.bridge_s.max(if rate.hz > 1.0 / LONGEST_INTERVAL_S {
        BRIDGED_INTERVALS / rate.hz
    } else {
        0.0
    });
    let mut gaps = Vec::new();
    let mut points = Vec::with_capacity(drafts.len());
    let mut before: Option<&Draft> = None;
    for draft in drafts {
        let gap = before.filter(|b| {
            b.segment != draft.segment
                || draft.time_s - b.time_s > bridge_s
                || leaps(b, draft, rules)
        });
        if let Some(b) = gap {
            gaps.push(Gap {
                start_s: b.time_s - start_s,
                end_s: draft.time_s - start_s,
                standing: 0.0,
            });
        }
        let time_s = draft.time_s - start_s;
        let mut point = Point::new(time_s, draft.position_m, draft.speed_m_s)
            .with_heart_rate(draft.heart_rate_bpm);
        (point.after_gap, point.fix) = (gap.is_some(), draft.fix);
        points.push(point);
        before = Some(draft);
    }
    (points, gaps)
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUAL: Rate = Rate {
        hz: 1.0,
        irregular: false,
    };

    fn east((time_s, x_m): (f64, f64)) -> Draft {
        Draft::east(time_s, x_m)
    }

    #[test]
    fn a_leap_that_stays_is_a_gap_and_a_fast_run_is_none() {
        let rules = Rules::default();
        let leap = [(0.0, 0.0), (1.0, 5.0), (2.0, 1005.0), (3.0, 1010.0)].map(east);
        let (points, gaps) = split(&leap, 0.0, USUAL, &rules);
        assert_eq!(
            gaps,
            [Gap {
                start_s: 1.0,
                end_s: 2.0,
                standing: 0.0
            }]
        );
        assert!(points[2].after_gap && !points[3].after_gap);
        let run = [(0.0, 0.0), (1.0, 12.0), (2.0, 24.0), (5.0, 60.0)].map(east);
        assert!(split(&run, 0.0, USUAL, &rules).1.is_empty());
    }

    #[test]
    fn the_usual_interval_is_no_gap_however_long() {
        let walk: Vec<Draft> = (0..40)
            .map(|k| east((15.0 * f64::from(k), f64::from(k))))
            .collect();
        let rate = rate(&walk);
        assert!(split(&walk, 0.0, rate, &Rules::default()).1.is_empty());
        let lost: Vec<Draft> = [&walk[..10], &walk[20..]].concat();
        assert_eq!(split(&lost, 0.0, rate, &Rules::default()).1.len(), 1);
    }
}
