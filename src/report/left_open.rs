//! Sets and blocks of which it can be told how many reps were done, and not which.

use super::layout::count;
use crate::measured::Measured;
use crate::review::{BlockReview, PlanReview, RepReview, SetReview, Verdict};

/// What is told once of a block and its sets, instead of reps one by one.
pub(super) struct Told {
    /// The sentences.
    pub sentences: Vec<String>,
    /// By set, whether its open reps are told by one of them.
    pub sets: Vec<bool>,
}

/// What is told once of a block: of all its sets together, or of those for which there is something to say.
pub(super) fn told(block: &BlockReview) -> Told {
    if let Some(sentence) = of_block(block) {
        return Told {
            sentences: vec![sentence],
            sets: vec![true; block.sets.len()],
        };
    }
    let each = block.sets.iter().map(|set| sentence(block, set));
    let each: Vec<Option<String>> = each.collect();
    Told {
        sets: each.iter().map(Option::is_some).collect(),
        sentences: each.into_iter().flatten().collect(),
    }
}

/// What stands above the reps that are not simply done: of one that is unresolved nobody knows that it was not done.
pub(super) fn heading(plan: &PlanReview) -> &'static str {
    match plan.counts.unresolved {
        0 => "Not done",
        open if open + plan.counts.done == plan.counts.planned => "Unresolved",
        _ => "Not done, or unresolved",
    }
}

/// What is said once of such a set, instead of a reason a rep: "5 of the 6 reps were done; which one was left out cannot be
/// told". `None` where no rep is open, or the number says no more than the reps do.
fn sentence(block: &BlockReview, set: &SetReview) -> Option<String> {
    let reps = set.reps.len();
    let open = set
        .reps
        .iter()
        .filter(|r| r.verdict == Verdict::Unresolved)
        .count();
    let [value, low, high] = whole(set.reps_done?);
    let missing = reps.checked_sub(value)?;
    if open < 2 || reps < 2 || high - low >= open || missing == 0 {
        return None;
    }
    let of = if block.sets.len() > 1 {
        format!("the {} of set {}", count(reps, "rep", "reps"), set.index)
    } else {
        format!("the {}", count(reps, "rep", "reps"))
    };
    let done = |rep: &&RepReview| matches!(rep.verdict, Verdict::Done | Verdict::Slow);
    let told = set.reps.iter().filter(done).count();
    Some(if low == high && low == told {
        format!("{value} of {of} were done; the other {missing} were cut short or left out")
    } else if low == told && open < reps {
        let most = high - low;
        format!("{low} to {high} of {of} were done: at most {most} of the {open} marked ?")
    } else if low == high && missing == 1 {
        format!("{value} of {of} were done; which one was left out cannot be told")
    } else if low == high {
        format!("{value} of {of} were done; which {missing} were not cannot be told")
    } else {
        format!("{low} to {high} of {of} were done; which cannot be told")
    })
}

/// The same of a block of which it is open in which of its sets the reps were done: "6 of the 12 reps were done; in which of the sets
/// cannot be told". `None` where its number says no more than those of its sets.
fn of_block(block: &BlockReview) -> Option<String> {
    let is_open = |r: &&RepReview| r.verdict == Verdict::Unresolved;
    let open = |set: &&SetReview| set.reps.iter().any(|r| is_open(&r));
    let of_sets: Vec<[usize; 3]> = (block.sets.iter().filter(open))
        .filter_map(|set| set.reps_done.map(whole))
        .collect();
    let reps: usize = block.sets.iter().map(|set| set.reps.len()).sum();
    let [value, low, high] = whole(block.reps_done?);
    let by_sets: usize = of_sets.iter().map(|[_, low, high]| high - low).sum();
    if of_sets.len() < 2 || 2 * (high - low) > by_sets || value == reps {
        return None;
    }
    let number = if low == high {
        value.to_string()
    } else {
        format!("{low} to {high}")
    };
    Some(format!(
        "{number} of the {} were done; in which of the sets cannot be told",
        count(reps, "rep", "reps")
    ))
}

fn whole(number: Measured) -> [usize; 3] {
    [number.value, number.low, number.high].map(|n| n.round().max(0.0) as usize)
}

#[cfg(test)]
mod tests {
    use super::{of_block, sentence};
    use crate::measured::Measured;
    use crate::plan::Category;
    use crate::review::{BlockReview, BlockVerdict, RepReview, SetReview, Verdict};

    /// Verdicts of a set, and how many of its reps were done: value, low, high.
    type Said<'a> = (&'a [Verdict], (f64, f64, f64));

    fn block(sets: &[Said<'_>]) -> BlockReview {
        BlockReview {
            index: 4,
            category: Category::Resistance,
            name: None,
            with_ball: false,
            verdict: BlockVerdict::Unresolved,
            start_s: None,
            end_s: None,
            reps_done: None,
            sets: (1..)
                .zip(sets)
                .map(|(index, (verdicts, done))| set(index, verdicts, *done))
                .collect(),
        }
    }

    fn set(index: usize, verdicts: &[Verdict], (value, low, high): (f64, f64, f64)) -> SetReview {
        SetReview {
            index,
            rest_after_s: None,
            rest_after_planned_s: None,
            rest_after_verdict: None,
            reps_done: Some(Measured { value, low, high }),
            reps: (1..)
                .zip(verdicts)
                .map(|(i, &v)| RepReview::new(i, v))
                .collect(),
            decrement_percent: None,
        }
    }

    fn said(verdicts: &[Verdict], done: (f64, f64, f64)) -> Option<String> {
        let block = block(&[(verdicts, done)]);
        sentence(&block, &block.sets[0])
    }

    /// Two alike sets, one of which was done: twelve reps are open, and six of them are known to be done.
    #[test]
    fn of_alike_sets_the_number_is_said() {
        let open = (&[Verdict::Unresolved; 6][..], (0.0, 0.0, 6.0));
        let mut two = block(&[open, open]);
        assert_eq!(of_block(&two), None);
        two.reps_done = Some(Measured {
            value: 6.0,
            low: 6.0,
            high: 6.0,
        });
        assert_eq!(
            of_block(&two).as_deref(),
            Some("6 of the 12 reps were done; in which of the sets cannot be told")
        );
        two.reps_done = Some(Measured {
            value: 6.0,
            low: 0.0,
            high: 12.0,
        });
        assert_eq!(of_block(&two), None);
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
        // Where the reps marked as done are all that were, the others are known not to be.
        assert_eq!(
            said(&open, (3.0, 3.0, 3.0)).as_deref(),
            Some("3 of the 6 reps were done; the other 3 were cut short or left out")
        );
        assert_eq!(
            said(&open, (3.0, 3.0, 4.0)).as_deref(),
            Some("3 to 4 of the 6 reps were done: at most 1 of the 3 marked ?")
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
