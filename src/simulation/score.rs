//! A review held against the truth: what was told of each rep, and whether the intervals hold what happened.
//!
//! The truth is that of a simulated session or of any other whose reps are known ([`Expected`]). All that is counted is
//! counted here: the bench of accuracy, [`outlook`](crate::simulation::outlook) and tests add up the same [`Tally`].

use std::ops::Add;

use crate::measured::Measured;
use crate::motion::Motion;
use crate::review::{PlanReview, Reached, RepReview, SetReview, Verdict};
use crate::session::Session;
use crate::simulation::truth::{Outcome, Rep, Run, Truth};
use crate::trace::Clock;

/// From times of an account to times of the truth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clocks {
    /// Seconds to add to a time of the account.
    pub add_s: f64,
    /// How late the device's own filter writes everything, s; that lag is no error and is taken out of `add_s`.
    pub lag_s: f64,
}

/// A planned rep with what became of it, and with all that may rightly be said of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// What became of it.
    pub rep: Rep,
    /// Verdicts that are right: the true one, and those that nobody can be blamed for.
    pub accepted: Vec<Verdict>,
}

/// A measured value beside the truth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Value less truth.
    pub error: f64,
    /// Width of the 95 % interval.
    pub width: f64,
    /// Whether the interval holds the truth.
    pub holds: bool,
}

/// One set of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct SetScore {
    /// Block, from 1.
    pub block: usize,
    /// Its reps; of self-paced ones those that were run come first.
    pub reps: Vec<RepScore>,
    /// Whether the stretch from first to last rep was found where it was; `None` when none of it was run.
    pub seen: Option<bool>,
    /// Told less true rest to the next set of the block, s.
    pub rest_error_s: Option<f64>,
}

/// One rep of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct RepScore {
    /// What truly became of it.
    pub truth: Rep,
    /// Verdicts that are right.
    pub accepted: Vec<Verdict>,
    /// What was told of it.
    pub verdict: Verdict,
    /// How probable that was said to be.
    pub probability: Option<f64>,
    /// Whether the speed asked for was reached, as told.
    pub reached: Option<Reached>,
    /// Whether a stretch of the recording was given for it.
    pub given: bool,
    /// Whether that stretch is the right one: it shares half of the two together.
    pub matched: bool,
    /// Time of work, s, of a matched rep.
    pub work: Option<Held>,
    /// Distance, m, of a matched rep.
    pub distance: Option<Held>,
    /// Highest speed, m/s, of a matched rep.
    pub peak: Option<Held>,
    /// Rest after it, s, of a matched rep.
    pub rest: Option<Held>,
}

/// How long after the first fix of the file a session begins, s: what is left out before it counts below 0.
#[must_use]
pub fn before(session: &Session) -> f64 {
    let starts = session.track.left_out.iter().map(|l| -l.start_s);
    starts.fold(0.0, f64::max)
}

impl Clocks {
    /// The clocks of a session and its truth.
    #[must_use]
    pub fn of(session: &Session, truth: &Truth) -> Self {
        let shift_s = match session.track.start {
            Clock::Utc(start) => start.duration_since(truth.start).as_secs_f64(),
            _ => before(session),
        };
        let lag_s = lag(&session.motion, truth, shift_s);
        Self {
            add_s: shift_s - lag_s,
            lag_s,
        }
    }

    /// A stretch of the account in times of the truth, where both ends are known.
    fn span(self, start_s: Option<f64>, end_s: Option<f64>) -> Option<(f64, f64)> {
        Some((start_s? + self.add_s, end_s? + self.add_s))
    }

    /// How much of both together a stretch of the truth shares with one of the account, whose times may be as late as the
    /// device, half as late or not late at all: the account cannot know.
    fn shared(self, truth: (f64, f64), told: (f64, f64)) -> f64 {
        let late = [0.0, 0.5 * self.lag_s, self.lag_s];
        (late.into_iter())
            .map(|late_s| shared_of_both(truth, (told.0 + late_s, told.1 + late_s)))
            .fold(0.0, f64::max)
    }
}

impl Expected {
    /// What may be said of each rep of a simulated session.
    #[must_use]
    pub fn of(truth: &Truth) -> Vec<Self> {
        (truth.reps.iter())
            .map(|&rep| Self {
                rep,
                accepted: accepted(&rep),
            })
            .collect()
    }
}

/// A speed so near to the one asked for, as a share, may be called either.
const NEAR_MARK: f64 = 0.01;
/// A rep that the recording cuts off, of which it holds more than this, may be called done.
const NEARLY_WHOLE: f64 = 0.85;

/// What may be said of a rep: of one cut off by the recording also that it cannot be told.
fn accepted(rep: &Rep) -> Vec<Verdict> {
    let truly = verdict(rep.outcome);
    let mut accepted = vec![truly];
    let mut also = |other: Verdict| {
        if !accepted.contains(&other) {
            accepted.push(other);
        }
    };
    if rep.run.is_some() && rep.visible < 0.99 {
        also(Verdict::Unresolved);
        if rep.visible > NEARLY_WHOLE {
            also(Verdict::Done);
        }
    }
    if let (Some(run), Some(mark_m_s)) = (rep.run, rep.mark_m_s)
        && matches!(rep.outcome, Outcome::Done | Outcome::Slow)
        && (run.peak_speed_m_s / mark_m_s - 1.0).abs() < NEAR_MARK
    {
        also(Verdict::Done);
        also(Verdict::Slow);
    }
    if rep.by_feel && matches!(rep.outcome, Outcome::Done | Outcome::Short) {
        also(Verdict::Done);
        also(Verdict::Short);
        also(Verdict::Unresolved);
    }
    accepted
}

impl Held {
    /// A measured value held against the truth.
    #[must_use]
    pub fn of(measured: Measured, truth: f64) -> Self {
        Self {
            error: measured.value - truth,
            width: measured.width(),
            holds: measured.holds(truth),
        }
    }
}

impl RepScore {
    /// Whether the rep was judged at all.
    #[must_use]
    pub fn resolved(&self) -> bool {
        self.verdict != Verdict::Unresolved
    }

    /// Whether it was judged, and rightly.
    #[must_use]
    pub fn right(&self) -> bool {
        self.resolved() && self.accepted.contains(&self.verdict)
    }

    /// Whether nothing is wrong about it: it was judged rightly, or left open where the recording cannot tell.
    #[must_use]
    fn fair(&self) -> bool {
        self.accepted.contains(&self.verdict)
    }

    /// Whether it was done and yet called missed, short or slow.
    #[must_use]
    fn accused(&self) -> bool {
        self.truly_done() && self.named() && !self.right()
    }

    /// Whether it was truly done.
    #[must_use]
    pub(crate) fn truly_done(&self) -> bool {
        self.truth.outcome == Outcome::Done
    }

    /// Whether it was named as not done.
    #[must_use]
    pub fn named(&self) -> bool {
        matches!(
            self.verdict,
            Verdict::Short | Verdict::Slow | Verdict::Missed
        )
    }

    /// Whether the answer on the speed asked for is true; `None` without a clear answer.
    #[must_use]
    pub(crate) fn reached_right(&self) -> Option<bool> {
        let told = match self.reached? {
            Reached::Yes => true,
            Reached::No => false,
            Reached::Unclear => return None,
        };
        let truly = self.truth.run?.peak_speed_m_s >= self.truth.mark_m_s?;
        Some(told == truly)
    }

    fn of(expected: &Expected, told: &RepReview, clocks: Clocks) -> Self {
        let truth = expected.rep;
        let span = clocks.span(told.start_s, told.end_s);
        let run = (truth.run)
            .filter(|r| span.is_some_and(|s| clocks.shared((r.start_s, r.end_s), s) >= 0.5));
        let held = |measured: Option<Measured>, truly: fn(&Run) -> f64| {
            Some(Held::of(measured?, truly(run.as_ref()?)))
        };
        let rest = || {
            run?;
            Some(Held::of(told.rest_s?, truth.rest_s?))
        };
        Self {
            truth,
            accepted: expected.accepted.clone(),
            verdict: told.verdict,
            probability: told.probability,
            reached: told.reached,
            given: span.is_some(),
            matched: run.is_some(),
            work: held(told.work_s, |r| r.end_s - r.start_s),
            distance: held(told.distance_m, |r| r.distance_m),
            peak: held(told.peak_speed_m_s, |r| r.peak_speed_m_s),
            rest: rest(),
        }
    }

    /// A rep of which nothing was told.
    #[must_use]
    fn untold(expected: &Expected) -> Self {
        Self {
            truth: expected.rep,
            accepted: expected.accepted.clone(),
            verdict: Verdict::Unresolved,
            probability: None,
            reached: None,
            given: false,
            matched: false,
            work: None,
            distance: None,
            peak: None,
            rest: None,
        }
    }
}

/// Counts over the reps of one session or of many.
///
/// A rep is *accused* that was done and is called missed, short or slow. Of reps not done only those count of which but one
/// verdict is right.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Reps planned.
    pub planned: usize,
    /// Reps that got a verdict.
    pub resolved: usize,
    /// Verdicts that were right.
    pub right: usize,
    /// Reps truly done.
    pub done: usize,
    /// Of those, reps accused.
    pub accused: usize,
    /// Reps truly not done.
    pub not_done: usize,
    /// Of those, reps with the right verdict.
    pub not_done_right: usize,
    /// Reps called missed, short or slow.
    pub named: usize,
    /// Of those, reps called so rightly.
    pub named_right: usize,
    /// Reps left open that the recording could have told.
    pub open: usize,
}

impl Add for Tally {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            planned: self.planned + other.planned,
            resolved: self.resolved + other.resolved,
            right: self.right + other.right,
            done: self.done + other.done,
            accused: self.accused + other.accused,
            not_done: self.not_done + other.not_done,
            not_done_right: self.not_done_right + other.not_done_right,
            named: self.named + other.named,
            named_right: self.named_right + other.named_right,
            open: self.open + other.open,
        }
    }
}

impl Tally {
    /// Adds a rep.
    fn count(&mut self, rep: &RepScore) {
        let alone = rep.accepted.len() == 1;
        self.planned += 1;
        self.resolved += usize::from(rep.resolved());
        self.right += usize::from(rep.right());
        self.done += usize::from(rep.truly_done());
        self.accused += usize::from(rep.accused());
        self.not_done += usize::from(!rep.truly_done() && alone);
        self.not_done_right += usize::from(!rep.truly_done() && alone && rep.right());
        self.named += usize::from(rep.named());
        self.named_right += usize::from(rep.named() && rep.right());
        self.open += usize::from(!rep.resolved() && !rep.fair());
    }

    /// The reps of one session.
    #[must_use]
    pub fn of(sets: &[SetScore]) -> Self {
        let mut tally = Self::default();
        for rep in sets.iter().flat_map(|s| &s.reps) {
            tally.count(rep);
        }
        tally
    }

    /// Verdicts that were wrong.
    #[must_use]
    pub fn wrong(&self) -> usize {
        self.resolved - self.right
    }

    /// Whether every rep of a session was judged rightly.
    #[must_use]
    pub fn all_right(&self) -> bool {
        self.wrong() == 0 && self.open == 0
    }

    /// Whether the account of a session collapsed: 30 % of its reps are wrong and not said to be unsure.
    #[must_use]
    pub fn collapsed(&self) -> bool {
        self.wrong() as f64 >= 0.3 * self.planned.max(1) as f64
    }
}

/// Holds each set of a review against what became of the reps.
#[must_use]
pub fn sets(expected: &[Expected], review: &PlanReview, clocks: Clocks) -> Vec<SetScore> {
    let mut scores = Vec::new();
    for block in &review.blocks {
        for told in &block.sets {
            let reps = of_set(expected, block.index, told.index);
            let rest_s = reps.iter().rev().find_map(|r| r.rep.rest_after_set_s);
            scores.push(SetScore {
                block: block.index,
                seen: seen(&reps, told, clocks),
                rest_error_s: told
                    .rest_after_s
                    .zip(rest_s.filter(|_| told.index < block.sets.len()))
                    .map(|(told, true_s)| told.value - true_s),
                reps: pair(&reps, told)
                    .into_iter()
                    .map(|(truth, told)| RepScore::of(truth, told, clocks))
                    .collect(),
            });
        }
    }
    scores
}

/// The sets of a session that gave no account: nothing was told and nothing seen.
#[must_use]
pub fn untold(expected: &[Expected]) -> Vec<SetScore> {
    (expected.chunk_by(|a, b| (a.rep.block, a.rep.set) == (b.rep.block, b.rep.set)))
        .map(|reps| SetScore {
            block: reps.first().map_or(0, |r| r.rep.block),
            seen: reps.iter().any(|r| r.rep.run.is_some()).then_some(false),
            rest_error_s: None,
            reps: reps.iter().map(RepScore::untold).collect(),
        })
        .collect()
}

fn of_set(expected: &[Expected], block: usize, set: usize) -> Vec<&Expected> {
    (expected.iter())
        .filter(|r| r.rep.block == block && r.rep.set == set)
        .collect()
}

/// Whether the whole set was found where it was, its reps counted or not.
fn seen(truth: &[&Expected], told: &SetReview, clocks: Clocks) -> Option<bool> {
    let runs = || truth.iter().filter_map(|r| r.rep.run);
    let start_s = runs().map(|r| r.start_s).reduce(f64::min)?;
    let end_s = runs().map(|r| r.end_s).reduce(f64::max)?;
    let spans = || (told.reps.iter()).filter_map(|r| clocks.span(r.start_s, r.end_s));
    let told_start_s = spans().map(|s| s.0).reduce(f64::min);
    let told_end_s = spans().map(|s| s.1).reduce(f64::max);
    let found = told_start_s.zip(told_end_s);
    Some(found.is_some_and(|found| clocks.shared((start_s, end_s), found) >= 0.5))
}

/// Pairs the reps of a set with what was told of them: by number, or, where nobody can see which of them was left out and
/// the number of those run agrees, in order.
fn pair<'a>(truth: &[&'a Expected], told: &'a SetReview) -> Vec<(&'a Expected, &'a RepReview)> {
    let was_run = |r: &&Expected| r.rep.run.is_some();
    let ran: Vec<&Expected> = truth.iter().copied().filter(was_run).collect();
    let given: Vec<&RepReview> = told.reps.iter().filter(|r| r.start_s.is_some()).collect();
    let order_only = truth.iter().any(|r| r.rep.order_only);
    if order_only && ran.len() == given.len() {
        let not_run = truth.iter().copied().filter(|r| !was_run(r));
        let not_given = told.reps.iter().filter(|r| r.start_s.is_none());
        return ran
            .into_iter()
            .zip(given)
            .chain(not_run.zip(not_given))
            .collect();
    }
    let by_number = |truth: &&'a Expected| {
        let index = truth.rep.rep.checked_sub(1)?;
        Some((*truth, told.reps.get(index)?))
    };
    truth.iter().filter_map(by_number).collect()
}

fn verdict(outcome: Outcome) -> Verdict {
    match outcome {
        Outcome::Done => Verdict::Done,
        Outcome::Short => Verdict::Short,
        Outcome::Slow => Verdict::Slow,
        Outcome::Missed => Verdict::Missed,
    }
}

/// Seconds that two stretches share.
#[must_use]
pub fn shared_s(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.1.min(b.1) - a.0.max(b.0)).max(0.0)
}

/// Intersection over union.
fn shared_of_both(a: (f64, f64), b: (f64, f64)) -> f64 {
    let both = shared_s(a, b);
    let either = (a.1 - a.0) + (b.1 - b.0) - both;
    if either > 0.0 { both / either } else { 0.0 }
}

/// How late the motion is against the truth: the delay of the best correlation of speeds, -0.5 to 2.5 s.
fn lag(motion: &Motion, truth: &Truth, shift_s: f64) -> f64 {
    let at = |time_s: f64| {
        let index = (time_s / Truth::STEP_S).round();
        (index >= 0.0)
            .then(|| truth.speed_m_s.get(index as usize).copied())
            .flatten()
    };
    let cost = |late_s: f64| {
        let (mut sum, mut n) = (0.0, 0.0_f64);
        for sample in motion.samples.iter().step_by(2).filter(|s| !s.bridged) {
            if let Some(v) = at(sample.time_s + shift_s - late_s) {
                sum += (sample.speed_m_s - v).powi(2);
                n += 1.0;
            }
        }
        sum / n.max(1.0)
    };
    let tries = (-10..=50).map(|i| f64::from(i) * 0.05);
    tries
        .map(|late_s| (late_s, cost(late_s)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(0.0, |best| best.0)
}

#[cfg(test)]
mod tests {
    use super::shared_of_both;

    #[test]
    fn what_two_stretches_share_is_counted_once() {
        // By hand: of 0 to 10 and 5 to 15 a third of the 15 s is common.
        assert!((shared_of_both((0.0, 10.0), (5.0, 15.0)) - 1.0 / 3.0).abs() < 1e-12);
        assert!(shared_of_both((0.0, 1.0), (2.0, 3.0)).abs() < 1e-12);
        assert!(shared_of_both((1.0, 1.0), (1.0, 1.0)).abs() < 1e-12);
    }
}
