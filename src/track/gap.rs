//! Finds the usual rate of a recording and its silences.

use crate::track::{Draft, Gap, Point, Rate, Rules};

/// A recording is irregular when more than this share of its intervals is far from the usual one.
const IRREGULAR_SHARE: f64 = 0.2;

/// The usual rate: 1 over the median interval.
pub(super) fn rate(drafts: &[Draft]) -> Rate {
    let mut intervals_s: Vec<f64> = drafts
        .windows(2)
        .map(|w| w[1].time_s - w[0].time_s)
        .collect();
    if intervals_s.is_empty() {
        return Rate {
            hz: 0.0,
            irregular: true,
        };
    }
    let half = intervals_s.len() / 2;
    let usual_s = *intervals_s.select_nth_unstable_by(half, f64::total_cmp).1;
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

/// Points from the session's start, and the gaps between them.
pub(super) fn split(drafts: &[Draft], start_s: f64, rules: &Rules) -> (Vec<Point>, Vec<Gap>) {
    let mut gaps = Vec::new();
    let mut points = Vec::with_capacity(drafts.len());
    let mut before: Option<&Draft> = None;
    for draft in drafts {
        let gap = before
            .filter(|b| b.segment != draft.segment || draft.time_s - b.time_s > rules.bridge_s);
        if let Some(b) = gap {
            gaps.push(Gap {
                start_s: b.time_s - start_s,
                end_s: draft.time_s - start_s,
            });
        }
        points.push(Point {
            time_s: draft.time_s - start_s,
            position_m: draft.position_m,
            speed_m_s: draft.speed_m_s,
            heart_rate_bpm: draft.heart_rate_bpm,
            after_gap: gap.is_some(),
            fix: draft.fix,
        });
        before = Some(draft);
    }
    (points, gaps)
}
