//! Holds the plan against the motion, and sums up the session.

pub use crate::efforts::Band;
pub use reason::{Planned, Reason};
pub(crate) use top_speed::top_speed;

mod chain;
mod cost;
mod count;
mod doubt;
mod expect;
mod items;
mod kernel;
mod learn;
mod look;
pub(crate) mod mark;
mod matching;
mod note;
mod plan_review;
mod reason;
mod rest;
mod row;
mod sums;
mod tally;
mod top_speed;
mod totals;
mod unplanned;
mod verdict;

use jiff::civil::Date;

use crate::bouts::Bouts;
use crate::efforts::{Efforts, Thresholds};
use crate::measured::Measured;
use crate::motion::Motion;
use crate::note::Note;
use crate::plan::{Category, Plan};
use crate::track::Track;

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

/// The top speed that `of_top_speed` and `at 95%` refer to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TopSpeed {
    /// m/s, with its interval (exact when given).
    pub speed_m_s: Measured,
    /// Who says so.
    pub source: TopSpeedSource,
}

impl TopSpeed {
    /// A share of it as a mark for runs, m/s. The best of the same session has no interval here: what it is wrong by, its own
    /// peaks are wrong by as well.
    #[must_use]
    fn mark(&self, share: f64) -> Measured {
        match self.source {
            TopSpeedSource::Session => exactly(share * self.speed_m_s.value),
            _ => self.speed_m_s.scaled(share),
        }
    }

    /// The share that a speed is of it, with the intervals of both.
    #[must_use]
    fn share(&self, speed_m_s: Measured) -> Measured {
        let (speed, top) = (speed_m_s, self.speed_m_s);
        let top_m_s = top.value.max(0.1);
        let share = speed.value / top_m_s;
        let relative = (speed.width() / speed.value.max(0.1)).hypot(top.width() / top_m_s) / 2.0;
        Measured::within(share, share * (1.0 - relative), share * (1.0 + relative)).at_least(0.0)
    }
}

/// What is known exactly.
fn exactly(value: f64) -> Measured {
    Measured::within(value, value, value)
}

/// Where a top speed comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TopSpeedSource {
    /// The plan's `top speed`.
    Plan,
    /// The settings.
    Settings,
    /// The athlete's best of an earlier day, as the diary knows it.
    Diary {
        /// When it was measured; `None` where days are not to be told.
        date: Option<Date>,
    },
    /// The best of this session.
    Session,
}

/// The best that an athlete ran on an earlier day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EarlierTop {
    /// m/s.
    pub speed_m_s: Measured,
    /// When it was measured; `None` where days are not to be told.
    pub date: Option<Date>,
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

/// How far a rep or a rest may lie from the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    /// A timed rep is done from this share of its planned time on.
    pub work_share: f64,
    /// A rep is said to be missed, short or slow from this probability on: to accuse a player of what he did is worse than to
    /// leave it open.
    pub accuse: f64,
    /// A rest is kept within this share of the plan, or `rest_s`, whichever is more.
    pub rest_share: f64,
    /// Least tolerance of a rest, s; one interval between fixes is added.
    pub rest_s: f64,
    /// Top speed of the athlete, m/s, used when the plan gives none.
    pub top_speed_m_s: Option<f64>,
    /// The athlete's best of an earlier day, used when neither gives one and this session's is not higher.
    pub earlier_top: Option<EarlierTop>,
    /// The share of top speed that `speed` reps must reach when the plan does not say.
    pub speed_share: f64,
}

impl Default for Tolerances {
    fn default() -> Self {
        Self {
            work_share: 0.85,
            accuse: 0.9,
            rest_share: 0.15,
            rest_s: 3.0,
            top_speed_m_s: None,
            earlier_top: None,
            speed_share: 0.95,
        }
    }
}

/// What was found in a recording, before any plan is held against it.
#[derive(Clone, Copy, Debug)]
pub struct Evidence<'a> {
    /// The cleaned recording.
    pub track: &'a Track,
    /// The smoothed motion.
    pub motion: &'a Motion,
    /// Efforts found in the motion.
    pub efforts: &'a Efforts,
    /// Work and rest found in the motion.
    pub bouts: &'a Bouts,
    /// What counted as an effort.
    pub thresholds: &'a Thresholds,
}

/// Sums up the session and holds the plan against it.
#[must_use]
pub fn assess(evidence: &Evidence<'_>, plan: Option<&Plan>, tolerances: &Tolerances) -> Review {
    let mut notes = note::write(evidence);
    let reviewed = plan.map(|plan| plan_review::review(evidence, plan, tolerances, &mut notes));
    if let (Some(plan), Some(reviewed)) = (plan, &reviewed) {
        notes.extend(note::on_the_plan(evidence, plan, reviewed));
    }
    Review {
        totals: totals::sum(evidence),
        plan: reviewed,
        notes,
    }
}
