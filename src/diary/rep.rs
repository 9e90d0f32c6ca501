//! What the diary keeps of a rep and of a rest, each with its columns.

use crate::diary::columns::{Table, field};
use crate::measured::Measured;
use crate::review::{Reason, RepReview, RestVerdict};

/// One rep, reviewed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rep {
    /// From 1.
    pub set: usize,
    /// Why, in words, where it was not simply done.
    pub why: Option<String>,
    /// What the review says of it. What is not kept is not known: the kind of reason, how sure its verdict is, its heart
    /// rate, and its rest, which is one of the block's.
    pub review: RepReview,
}

/// A rest that was seen or planned.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rest {
    /// From 1.
    pub set: usize,
    /// After which rep, from 1; `None` after the whole set.
    pub after_rep: Option<usize>,
    /// s; without an interval after a set.
    pub rest_s: Option<f64>,
    /// Its interval, s.
    pub interval_s: Option<[f64; 2]>,
    /// s.
    pub planned_s: Option<f64>,
    /// Whether it was kept.
    pub verdict: Option<RestVerdict>,
}

impl Rep {
    /// What is kept of a rep of a set; `words` says why.
    pub(super) fn of(set: usize, review: &RepReview, words: fn(&Reason) -> String) -> Self {
        let why = review.why.as_ref().map(words);
        let review = RepReview {
            why: None,
            probability: None,
            rest_s: None,
            rest_planned_s: None,
            rest_verdict: None,
            heart_rate_end_bpm: None,
            heart_rate_drop_bpm: None,
            ..review.clone()
        };
        Self { set, why, review }
    }
}

impl Rest {
    /// What is kept of a rest after a rep of a set, or after all of it; nothing where it was neither seen nor planned.
    pub(super) fn of(
        (set, after_rep): (usize, Option<usize>),
        rest_s: Option<Measured>,
        planned_s: Option<f64>,
        verdict: Option<RestVerdict>,
    ) -> Option<Self> {
        (rest_s.is_some() || planned_s.is_some()).then(|| Self {
            set,
            after_rep,
            rest_s: rest_s.map(|rest| rest.value),
            interval_s: rest_s.map(|rest| [rest.low, rest.high]),
            planned_s,
            verdict,
        })
    }
}

/// The table of reps.
pub(super) const REPS: Table<Rep> = Table {
    name: "rep",
    keys: &["session_id", "block"],
    order: "set_no, rep",
    fields: &[
        field!(set in "set_no"),
        field!(review.index in "rep"),
        field!(review.verdict in "verdict"; or "verdict"),
        field!(why in "why"),
        field!(review.start_s in "start_ms"),
        field!(review.end_s in "end_ms"),
        field!(review.work_s in "work_ms", "work_low_ms", "work_high_ms"),
        field!(review.work_planned_s in "work_planned_ms"),
        field!(review.distance_m in "distance_mm", "distance_low_mm", "distance_high_mm"),
        field!(review.distance_planned_m in "distance_planned_mm"),
        field!(review.peak_speed_m_s in "peak_mm_s", "peak_low_mm_s", "peak_high_mm_s"),
        field!(review.of_top_speed in "of_top_thousandths", "of_top_low_thousandths", "of_top_high_thousandths"),
        field!(review.reached in "reached"),
    ],
    blank: Rep::default,
};

/// The table of rests.
pub(super) const RESTS: Table<Rest> = Table {
    name: "rest",
    keys: &["session_id", "block"],
    order: "set_no, rep = 0, rep",
    fields: &[
        field!(set in "set_no"),
        field!(after_rep in "rep"),
        field!(rest_s in "rest_ms"),
        field!(interval_s in "rest_low_ms", "rest_high_ms"),
        field!(planned_s in "planned_ms"),
        field!(verdict in "verdict"),
    ],
    blank: Rest::default,
};
