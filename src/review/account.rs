//! The account of a session: what is told of its totals, its blocks, sets, reps and rests, and how sure it is.

use crate::efforts::Band;
use crate::measured::Measured;
use crate::note::Note;
use crate::plan::Category;
use crate::review::{Reason, TopSpeed};

/// The account of a session.
#[derive(Clone, Debug)]
pub struct Review {
    /// Totals of the whole recording.
    pub totals: Totals,
    /// The plan held against the motion, if there was a plan.
    pub plan: Option<PlanReview>,
    /// What the reader must know to trust the numbers.
    pub notes: Vec<Note>,
}

/// Totals of a session.
#[derive(Clone, Debug)]
pub struct Totals {
    /// Distance moved, m.
    pub distance_m: Measured,
    /// Highest speed, m/s.
    pub top_speed_m_s: Option<Measured>,
    /// Time and distance by speed.
    pub bands: Vec<Band>,
}

/// The plan held against the motion. Times are seconds from the session's start.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanReview {
    /// In the order of the plan.
    pub blocks: Vec<BlockReview>,
    /// Work that the plan does not explain.
    pub unplanned: Vec<Unplanned>,
    /// Whether the plan explains the recording.
    pub fits: Fits,
    /// Reps by verdict.
    pub counts: Counts,
    /// The top speed that shares are taken of, m/s, and where it comes from.
    pub top_speed: Option<TopSpeed>,
}

/// Whether a plan explains a recording better than no plan does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fits {
    /// It does.
    Yes,
    /// It does, but more than half of it is probably not in the recording.
    Partly,
    /// It does not: nothing is said of its reps.
    No,
}

impl Fits {
    /// What must be read before all else where it does not, as a note of the review.
    #[must_use]
    pub(crate) fn doubt(self) -> Option<Note> {
        match self {
            Self::Yes => None,
            Self::Partly => Some(Note::MuchNotInRecording),
            Self::No => Some(Note::NotThisPlan),
        }
    }
}

/// One block of the plan, reviewed.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockReview {
    /// From 1.
    pub index: usize,
    /// Category of the planned block.
    pub category: Category,
    /// Name of the planned block.
    pub name: Option<String>,
    /// With the ball at the foot.
    pub with_ball: bool,
    /// Whether the block was done.
    pub verdict: BlockVerdict,
    /// Start of its first work, s.
    pub start_s: Option<f64>,
    /// End of its last work, s.
    pub end_s: Option<f64>,
    /// How many reps of all its sets were done, also where it is open of which set; `None` where the plan does not fit.
    pub reps_done: Option<Measured>,
    /// The sets in order.
    pub sets: Vec<SetReview>,
}

/// One set, reviewed.
#[derive(Clone, Debug, PartialEq)]
pub struct SetReview {
    /// From 1.
    pub index: usize,
    /// Rest from the end of this set's work to the next set, or to the next block after the last set, s.
    pub rest_after_s: Option<Measured>,
    /// What the plan asked for, s.
    pub rest_after_planned_s: Option<f64>,
    /// Verdict on that rest.
    pub rest_after_verdict: Option<RestVerdict>,
    /// How many reps were done, also where it is open which; `None` where the plan does not fit.
    pub reps_done: Option<Measured>,
    /// The reps in order.
    pub reps: Vec<RepReview>,
    /// How much the reps faded from first to last: percentage decrement of peak speed (Glaister et al. 2008), only of
    /// three or more like-for-like reps.
    pub decrement_percent: Option<f64>,
}

/// One rep, reviewed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RepReview {
    /// From 1.
    pub index: usize,
    /// Whether it was done.
    pub verdict: Verdict,
    /// Probability that the verdict is right, 0 to 1; `None` where there is none or nothing is known of it.
    pub probability: Option<f64>,
    /// Why, where it is not simply done.
    pub why: Option<Reason>,
    /// Start of work, s.
    pub start_s: Option<f64>,
    /// End of work, s.
    pub end_s: Option<f64>,
    /// Time of work with its interval, s.
    pub work_s: Option<Measured>,
    /// Planned time of work, s.
    pub work_planned_s: Option<f64>,
    /// Distance run, m.
    pub distance_m: Option<Measured>,
    /// Planned distance, m.
    pub distance_planned_m: Option<f64>,
    /// Highest speed, m/s.
    pub peak_speed_m_s: Option<Measured>,
    /// Highest speed as a share of top speed.
    pub of_top_speed: Option<Measured>,
    /// Whether the speed asked for was reached; `None` when no speed was asked for.
    pub reached: Option<Reached>,
    /// Rest from the end of this rep to the start of the next of the set, s; `None` after the last.
    pub rest_s: Option<Measured>,
    /// Planned rest, s; `None` when the plan leaves it free.
    pub rest_planned_s: Option<f64>,
    /// Verdict on the rest.
    pub rest_verdict: Option<RestVerdict>,
    /// Heart rate at the end of work, beats a minute.
    pub heart_rate_end_bpm: Option<f64>,
    /// Drop of the heart rate from the end of work to the start of the next, beats a minute.
    pub heart_rate_drop_bpm: Option<f64>,
}

impl RepReview {
    /// Leaves it open, and says why.
    pub(super) fn leave_open(&mut self, why: Reason) {
        (self.verdict, self.why) = (Verdict::Unresolved, Some(why));
    }

    /// A rep of which nothing is known but its verdict.
    #[must_use]
    pub fn new(index: usize, verdict: Verdict) -> Self {
        Self {
            index,
            verdict,
            ..Self::default()
        }
    }
}

/// Verdict on a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BlockVerdict {
    /// All reps done.
    Done,
    /// Started, but not all of it done.
    Short,
    /// Not in the recording.
    Missed,
    /// The recording cannot tell.
    Unresolved,
}

/// Verdict on a rep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Work within tolerance of the plan.
    Done,
    /// Started and cut off.
    Short,
    /// Run in full below the speed asked for.
    Slow,
    /// Not in the recording.
    Missed,
    /// The recording cannot tell.
    #[default]
    Unresolved,
}

impl Verdict {
    /// Whether the rep was run to its end, at the speed asked for or below it.
    #[must_use]
    pub(crate) fn is_in_full(self) -> bool {
        matches!(self, Self::Done | Self::Slow)
    }
}

/// Whether the speed asked for was reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reached {
    /// The whole interval lies at or above the mark.
    Yes,
    /// The whole interval lies below the mark.
    No,
    /// The interval lies across the mark.
    Unclear,
}

/// Verdict on a rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RestVerdict {
    /// Within tolerance of the plan.
    Kept,
    /// Longer than planned.
    Long,
    /// Shorter than planned.
    Short,
    /// Self-paced; not judged.
    Free,
}

/// Work that the plan does not explain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unplanned {
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Distance, m.
    pub distance_m: Measured,
    /// Highest speed, m/s.
    pub peak_speed_m_s: Measured,
}

/// Reps by verdict; a continuous block counts as one rep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Reps in the plan.
    pub planned: usize,
    /// Done.
    pub done: usize,
    /// Cut off.
    pub short: usize,
    /// Below the speed asked for.
    pub slow: usize,
    /// Not in the recording.
    pub missed: usize,
    /// The recording cannot tell.
    pub unresolved: usize,
}
