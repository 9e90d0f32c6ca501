//! Verdicts: what a pairing, or the lack of one, says of a planned rep.
//!
//! In the example of [`crate::review`] the shares of 0.90 and 0.89 are reps in full with 0.99, so both are done.

use crate::review::cost::{self, Quality};
use crate::review::items::Item;
use crate::review::sums;
use crate::review::{BlockVerdict, Planned, Reached, Reason, RepReview, Tolerances, Verdict};

/// A rep is said to be done from this probability on.
pub(super) const GRANT: f64 = 0.6;

/// How likely a rep was run in full, from the share of the planned work and the standard deviation of its logarithm; that it was run in
/// full `otherwise` costs so much.
pub(super) fn full(share: f64, sd: f64, otherwise: f64, tolerances: &Tolerances) -> f64 {
    let share = share * 0.85 / tolerances.work_share.clamp(0.05, 1.0);
    let whole = cost::full_cost(share.min(1.0), sd) + sd.ln();
    let full = -sums::log_sum(&[-whole, -otherwise]);
    let odds = full - cost::short_cost(share, sd);
    1.0 / (1.0 + odds.clamp(-50.0, 50.0).exp())
}

/// Done becomes slow when the speed asked for was not reached.
pub(super) fn with_speed(verdict: Verdict, reached: Option<Reached>) -> Verdict {
    match (verdict, reached) {
        (Verdict::Done, Some(Reached::No)) => Verdict::Slow,
        (verdict, _) => verdict,
    }
}

/// The share of a rep's own work that was measured.
pub(super) fn short_of(item: &Item, share: f64, quality: &Quality) -> Reason {
    let timed = item.timed || !quality.has_position;
    let planned = match item.distance_m {
        Some(distance_m) if !timed => Planned::Distance(distance_m),
        _ => Planned::Time(item.work.value),
    };
    Reason::CutOff { share, planned }
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
    fn a_sharp_measure_tells_full_from_short() {
        let tolerances = Tolerances::default();
        assert!(full(0.92, 0.06, f64::INFINITY, &tolerances) > 0.99);
        assert!(full(0.75, 0.06, f64::INFINITY, &tolerances) < 0.05);
        let strict = Tolerances {
            work_share: 0.95,
            ..tolerances
        };
        assert!(full(0.86, 0.06, f64::INFINITY, &strict) < 0.1);
    }

    #[test]
    fn a_blunt_measure_leaves_the_middle_open() {
        let tolerances = Tolerances::default();
        let open = (30..100)
            .map(|percent| full(f64::from(percent) / 100.0, 0.25, f64::INFINITY, &tolerances))
            .filter(|full| (1.0 - tolerances.accuse..GRANT).contains(full))
            .count();
        assert!(open > 3, "{open}");
    }
}
