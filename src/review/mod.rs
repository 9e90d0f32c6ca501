//! Holds the plan against the motion, and sums up the session.
//!
//! # Words
//!
//! - *Bout*: one spell of work in the motion, with start, end, peak and shape, found without the plan.
//! - *Candidate*: a bout that an item may have been; candidates overlap, and the plan decides between them.
//! - *Item*: what one bout or stretch can be: a rep, a set that runs on, a continuous block.
//! - *Stretch*: a span of time in which continuous or intermittent work was done: a game, juggling, a warm-up.
//! - *Look*: how much more a second looks like one kind of work, or rest, than like anything else.
//! - *Kernel*: how likely each duration of a work or a rest is, in ticks.
//! - *Fate*: what became of an item: done by a bout or stretch, left out, hidden, or not recorded.
//! - *Account*: one fate for every item, which together tell the whole session.
//! - *Chain*: the model that weighs all accounts at once, and draws each as often as it is likely.
//!
//! # One example
//!
//! `resistance 3 x 12 s, rest 30 s`, of which the second rep was left out while its time passed. Each step is told in its module:
//!
//! 1. `items`: three reps of 12 s and 30 s of rest between them, and one more that may have been done.
//! 2. [`crate::bouts`]: candidates from 60.0 to 70.8 s and from 144.1 to 154.8 s, where braking began.
//! 3. `cost`: each costs a rep less than -1 nats: its time is about that of the plan.
//! 4. `look`, `kernel` and `chain`: 73 s between them is a rest, the time of a rep and a rest, not one long rest.
//! 5. `matching`: all accounts drawn have the first and the third rep, so the second is missing with 0.94.
//! 6. `verdict` and `plan_review`: 0.94 is above [`Tolerances::accuse`], so that rep is missed, and the others are done.

pub use crate::efforts::Band;
pub use account::{
    BlockReview, BlockVerdict, Counts, Fits, PlanReview, Reached, RepReview, RestVerdict, Review,
    SetReview, Totals, Unplanned, Verdict,
};
pub use reason::{Planned, Reason};
pub(crate) use top_speed::top_speed;
pub use top_speed::{EarlierTop, TopSpeed, TopSpeedSource};

mod account;
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
mod passed;
mod plan_review;
mod reason;
mod rest;
mod row;
mod sums;
mod taken;
mod tally;
mod top_speed;
mod totals;
mod unplanned;
mod verdict;

use crate::bouts::Bouts;
use crate::efforts::{Efforts, Thresholds};
use crate::motion::Motion;
use crate::plan::Plan;
use crate::track::Track;
use top_speed::exactly;

/// How far a rep or a rest may lie from the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    /// A timed rep is done from this share of its planned time on.
    pub work_share: f64,
    /// A rep is said to be missed, short or slow from this probability on: to accuse a player of what he did is worse than to
    /// leave it open. Less will do for a rep of a set of which half was found.
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
