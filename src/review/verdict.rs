//! Verdicts: what a pairing, or the lack of one, says of a planned rep.

use crate::measured::Measured;
use crate::review::cost::{self, Quality};
use crate::review::items::Item;
use crate::review::{BlockVerdict, Reached, RepReview, Tolerances, Verdict};

/// A statement is made when it is at least this probable; below, the rep is unresolved.
pub(super) const SURE: f64 = 0.55;
/// Where the measure of work is no better than this (sd of its logarithm), how often reps are cut short is weighed in.
const SHARP: f64 = 0.1;
/// Log-odds within this of even leave done or short open.
const OPEN: f64 = 0.8;

/// Done, short, or unresolved, from the share of the planned work and the standard deviation of its logarithm.
pub(super) fn of_share(share: f64, sd: f64, tolerances: &Tolerances) -> Verdict {
    let share = share * 0.85 / tolerances.work_share.clamp(0.05, 1.0);
    if sd <= SHARP {
        return if share >= 0.85 {
            Verdict::Done
        } else {
            Verdict::Short
        };
    }
    let odds = cost::short_cost(share, sd) - cost::full_cost(share.min(1.0), sd);
    if odds > OPEN {
        Verdict::Done
    } else if odds < -OPEN {
        Verdict::Short
    } else {
        Verdict::Unresolved
    }
}

/// Whether a speed asked for was reached, from its interval.
pub(super) fn reached(peak_m_s: Measured, mark_m_s: f64) -> Reached {
    if peak_m_s.low >= mark_m_s {
        Reached::Yes
    } else if peak_m_s.high < mark_m_s {
        Reached::No
    } else {
        Reached::Unclear
    }
}

/// Done becomes slow when the speed asked for was not reached.
pub(super) fn with_speed(verdict: Verdict, reached: Option<Reached>) -> Verdict {
    match (verdict, reached) {
        (Verdict::Done, Some(Reached::No)) => Verdict::Slow,
        (verdict, _) => verdict,
    }
}

/// The share of a rep's own work that was measured, in words.
pub(super) fn short_of(item: &Item, share: f64, quality: &Quality) -> String {
    let planned = if item.timed || item.distance_m.is_none() || !quality.has_position {
        format!("{:.1} s", item.work.value)
    } else {
        format!("{:.0} m", item.distance_m.unwrap_or_default())
    };
    format!("cut off after {:.0} % of {planned}", 100.0 * share)
}

/// The verdict on a block from those on its reps.
pub(super) fn of_block<'a>(reps: impl Iterator<Item = &'a RepReview>) -> BlockVerdict {
    let (mut all, mut full, mut missed, mut open) = (0, 0, 0, 0);
    for rep in reps {
        all += 1;
        match rep.verdict {
            Verdict::Done | Verdict::Slow => full += 1,
            Verdict::Missed => missed += 1,
            Verdict::Unresolved => open += 1,
            Verdict::Short => {}
        }
    }
    if missed == all {
        BlockVerdict::Missed
    } else if full == all {
        BlockVerdict::Done
    } else if full + open == all || open + missed == all {
        BlockVerdict::Unresolved
    } else {
        BlockVerdict::Short
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sharp_measure_is_held_to_the_tolerance() {
        let tolerances = Tolerances::default();
        assert_eq!(of_share(0.86, 0.06, &tolerances), Verdict::Done);
        assert_eq!(of_share(0.84, 0.06, &tolerances), Verdict::Short);
        let strict = Tolerances {
            work_share: 0.95,
            ..tolerances
        };
        assert_eq!(of_share(0.94, 0.06, &strict), Verdict::Short);
    }

    #[test]
    fn a_blunt_measure_leaves_the_middle_open() {
        let tolerances = Tolerances::default();
        assert_eq!(of_share(1.0, 0.25, &tolerances), Verdict::Done);
        assert_eq!(of_share(0.3, 0.25, &tolerances), Verdict::Short);
        let open = (30..100)
            .map(|percent| of_share(f64::from(percent) / 100.0, 0.25, &tolerances))
            .filter(|v| *v == Verdict::Unresolved)
            .count();
        assert!(open > 3, "{open}");
    }

    #[test]
    fn the_interval_decides_whether_a_speed_was_reached() {
        let peak = Measured::within(8.0, 7.8, 8.2);
        assert_eq!(reached(peak, 7.8), Reached::Yes);
        assert_eq!(reached(peak, 8.0), Reached::Unclear);
        assert_eq!(reached(peak, 8.3), Reached::No);
    }
}
