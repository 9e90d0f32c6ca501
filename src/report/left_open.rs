//! Sets of which it can be told how many reps were done, and not which.

use super::layout::count;
use crate::review::{BlockReview, SetReview, Verdict};

/// What is said once of such a set, instead of a reason a rep: "5 of the 6 reps were done; which one was left out cannot be
/// told". `None` where no rep is open, or the number says no more than the reps do.
pub(super) fn sentence(block: &BlockReview, set: &SetReview) -> Option<String> {
    let reps = set.reps.len();
    let open = set
        .reps
        .iter()
        .filter(|r| r.verdict == Verdict::Unresolved)
        .count();
    let done = set.reps_done?;
    let [value, low, high] = [done.value, done.low, done.high].map(|n| n.round().max(0.0) as usize);
    let missing = reps.checked_sub(value)?;
    if open < 2 || reps < 2 || high - low >= open || missing == 0 {
        return None;
    }
    let of = if block.sets.len() > 1 {
        format!("the {} of set {}", count(reps, "rep", "reps"), set.index)
    } else {
        format!("the {}", count(reps, "rep", "reps"))
    };
    Some(if low == high && missing == 1 {
        format!("{value} of {of} were done; which one was left out cannot be told")
    } else if low == high {
        format!("{value} of {of} were done; which {missing} were not cannot be told")
    } else {
        format!("{low} to {high} of {of} were done; which cannot be told")
    })
}

#[cfg(test)]
mod tests {
    use super::sentence;
    use crate::measured::Measured;
    use crate::plan::Category;
    use crate::review::{BlockReview, BlockVerdict, RepReview, SetReview, Verdict};

    fn said(verdicts: &[Verdict], (value, low, high): (f64, f64, f64)) -> Option<String> {
        let set = SetReview {
            index: 1,
            rest_after_s: None,
            rest_after_planned_s: None,
            rest_after_verdict: None,
            reps_done: Some(Measured { value, low, high }),
            reps: (1..)
                .zip(verdicts)
                .map(|(i, &v)| RepReview::new(i, v))
                .collect(),
            decrement_percent: None,
        };
        let block = BlockReview {
            index: 4,
            category: Category::Resistance,
            name: None,
            with_ball: false,
            verdict: BlockVerdict::Unresolved,
            start_s: None,
            end_s: None,
            sets: vec![set.clone()],
        };
        sentence(&block, &set)
    }

    #[test]
    fn a_number_that_is_known_is_said_once() {
        use Verdict::{Done, Unresolved};
        let open = [Done, Done, Unresolved, Unresolved, Unresolved, Done];
        assert_eq!(
            said(&open, (5.0, 5.0, 5.0)).as_deref(),
            Some("5 of the 6 reps were done; which one was left out cannot be told")
        );
        assert_eq!(
            said(&open, (4.0, 4.0, 4.0)).as_deref(),
            Some("4 of the 6 reps were done; which 2 were not cannot be told")
        );
        assert_eq!(
            said(&open, (5.0, 4.0, 5.0)).as_deref(),
            Some("4 to 5 of the 6 reps were done; which cannot be told")
        );
    }

    #[test]
    fn a_number_that_tells_nothing_more_is_not_said() {
        use Verdict::{Done, Unresolved};
        assert_eq!(said(&[Unresolved; 6], (3.0, 0.0, 6.0)), None);
        assert_eq!(said(&[Done, Done, Done], (3.0, 3.0, 3.0)), None);
        assert_eq!(said(&[Done, Unresolved, Done], (2.0, 2.0, 3.0)), None);
    }
}
