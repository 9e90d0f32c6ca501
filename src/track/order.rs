//! Puts fixes in strictly increasing time.

use crate::estimation::quantile::median;
use crate::note::Note;
use crate::track::{Draft, Tally};

/// A clock that falls back by more than this was set anew; shorter steps back are fixes written late.
const CLOCK_SET_S: f64 = 60.0;

/// Most fixes that a receiver writes in a second; local positioning systems reach 100.
const MOST_IN_A_SECOND: f64 = 100.0;

/// Sorts by time, spreads fixes that share a whole second over it, and sets later fixes of equal times aside.
pub(super) fn arrange(drafts: Vec<Draft>, tally: &mut Tally, notes: &mut Vec<Note>) -> Vec<Draft> {
    let mut drafts = without_clock_resets(drafts, tally);
    let late = drafts
        .windows(2)
        .filter(|w| w[1].time_s < w[0].time_s)
        .count();
    if late > 0 {
        notes.push(Note::OutOfOrder { fixes: late });
        drafts.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    }
    if spread_whole_seconds(&mut drafts) {
        notes.push(Note::WholeSeconds);
    }
    let mut last_s = f64::NEG_INFINITY;
    drafts.retain(|d| {
        let later = d.time_s > last_s;
        if later {
            last_s = d.time_s;
        } else {
            tally.add("same time as another fix", d.line);
        }
        later
    });
    drafts
}

/// Sets aside what was written after the clock fell back, until it is later than before again.
///
/// Where most of a segment runs backwards its fixes are merely written last to first, and sorting is the cure.
fn without_clock_resets(drafts: Vec<Draft>, tally: &mut Tally) -> Vec<Draft> {
    let mut latest_s = f64::NEG_INFINITY;
    let steady = drafts.iter().all(|draft| {
        latest_s = latest_s.max(draft.time_s);
        draft.time_s >= latest_s - CLOCK_SET_S
    });
    // Of nearly all recordings nothing goes, and nothing need be copied.
    if steady {
        return drafts;
    }
    let mut kept = Vec::with_capacity(drafts.len());
    for segment in drafts.chunk_by(|a, b| a.segment == b.segment) {
        let back = segment
            .windows(2)
            .filter(|w| w[1].time_s < w[0].time_s)
            .count();
        if 2 * back > segment.len() {
            kept.extend_from_slice(segment);
            continue;
        }
        let mut latest_s = f64::NEG_INFINITY;
        for draft in segment {
            if draft.time_s < latest_s - CLOCK_SET_S {
                tally.add("the clock fell back by more than a minute", draft.line);
                continue;
            }
            latest_s = latest_s.max(draft.time_s);
            kept.push(*draft);
        }
    }
    kept
}

/// Spreads fixes that share a whole second evenly over that second; says whether it did.
///
/// Only when it is the clock's habit: all times whole, and at least a third of the fixes share theirs with the fix
/// before and differ from it.
fn spread_whole_seconds(drafts: &mut [Draft]) -> bool {
    let differs =
        |w: &[Draft]| w[0].position_m != w[1].position_m || w[0].speed_m_s != w[1].speed_m_s;
    let shared = drafts
        .windows(2)
        .filter(|w| w[0].time_s == w[1].time_s && differs(w))
        .count();
    let whole = drafts.iter().all(|d| d.time_s.fract() == 0.0);
    if !whole || drafts.len() < 6 || 3 * shared < drafts.len() {
        return false;
    }
    let counts: Vec<f64> = drafts
        .chunk_by(|a, b| a.time_s == b.time_s)
        .map(|second| second.len() as f64)
        .collect();
    // One instant alone tells no rate, and no receiver writes more often than this.
    if counts.len() < 2 || counts.iter().any(|&n| n > MOST_IN_A_SECOND) {
        return false;
    }
    let Some(usual) = median(counts) else {
        return false;
    };
    let last_second_s = drafts[drafts.len() - 1].time_s;
    for second in drafts.chunk_by_mut(|a, b| a.time_s == b.time_s) {
        // A first or last second that was cut off keeps the usual spacing instead of being stretched.
        let apart_s = 1.0 / (second.len() as f64).max(usual);
        let late = second[0].time_s < last_second_s && (second.len() as f64) < usual;
        let shift = if late {
            usual - second.len() as f64
        } else {
            0.0
        };
        for (k, draft) in second.iter_mut().enumerate() {
            draft.time_s += (k as f64 + shift) * apart_s;
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_instant_is_not_spread_over_a_second() {
        assert_eq!(arranged(&[5.0; 20]), (vec![5.0], 19));
        let crowd: Vec<f64> = (0..900).map(|i| f64::from(i / 300)).collect();
        assert_eq!(arranged(&crowd), (vec![0.0, 1.0, 2.0], 897));
    }

    fn arranged(times: &[f64]) -> (Vec<f64>, usize) {
        let mut tally = Tally::new(&[]);
        let drafts: Vec<Draft> = times
            .iter()
            .enumerate()
            .map(|(i, t)| Draft::east(*t, i as f64))
            .collect();
        let times = arrange(drafts, &mut tally, &mut Vec::new())
            .iter()
            .map(|d| d.time_s)
            .collect();
        (times, tally.finish().iter().map(|s| s.count).sum())
    }

    #[test]
    fn late_fixes_are_sorted_and_doubles_set_aside() {
        assert_eq!(
            arranged(&[0.0, 1.0, 3.0, 2.0, 3.0, 4.0]),
            (vec![0.0, 1.0, 2.0, 3.0, 4.0], 1)
        );
    }

    #[test]
    fn written_last_to_first() {
        assert_eq!(
            arranged(&[300.0, 200.0, 100.0, 0.0]),
            (vec![0.0, 100.0, 200.0, 300.0], 0)
        );
    }

    #[test]
    fn after_the_clock_fell_back() {
        let (times, aside) = arranged(&[0.0, 1.0, 2.0, 3600.0, 3601.0, 5.0, 6.0, 3602.0]);
        assert_eq!((times.len(), aside), (6, 2));
    }

    #[test]
    fn whole_seconds_with_several_fixes() {
        let (times, aside) =
            arranged(&[7.0, 7.0, 8.0, 8.0, 8.0, 8.0, 9.0, 9.0, 9.0, 9.0, 10.0, 10.0]);
        assert_eq!(aside, 0);
        assert_eq!(
            times,
            [
                7.5, 7.75, 8.0, 8.25, 8.5, 8.75, 9.0, 9.25, 9.5, 9.75, 10.0, 10.25
            ]
        );
    }
}
