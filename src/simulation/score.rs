//! A review held against the truth: what was told of each rep, and whether the intervals hold what happened.

use crate::measured::Measured;
use crate::motion::Motion;
use crate::plan::{Plan, Rest};
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
    /// Told less true rest after the set, s.
    pub rest_error_s: Option<f64>,
}

/// One rep of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct RepScore {
    /// What truly became of it.
    pub truth: Rep,
    /// What was told of it.
    pub verdict: Verdict,
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

impl Clocks {
    /// The clocks of a session and its truth.
    #[must_use]
    pub fn of(session: &Session, truth: &Truth) -> Self {
        let shift_s = match session.track.start {
            Clock::Utc(start) => start.duration_since(truth.start).as_secs_f64(),
            _ => 0.0,
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

    /// Whether the verdict is the true one.
    #[must_use]
    pub fn right(&self) -> bool {
        self.verdict == verdict(self.truth.outcome)
    }

    /// Whether it was truly done.
    #[must_use]
    pub fn truly_done(&self) -> bool {
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
    pub fn reached_right(&self) -> Option<bool> {
        let told = match self.reached? {
            Reached::Yes => true,
            Reached::No => false,
            Reached::Unclear => return None,
        };
        let truly = self.truth.run?.peak_speed_m_s >= self.truth.mark_m_s?;
        Some(told == truly)
    }

    fn of(truth: &Rep, told: &RepReview, clocks: Clocks) -> Self {
        let span = clocks.span(told.start_s, told.end_s);
        let run = matched(truth.run, span);
        let held = |measured: Option<Measured>, truly: fn(&Run) -> f64| {
            Some(Held::of(measured?, truly(run.as_ref()?)))
        };
        let rest = || {
            run?;
            Some(Held::of(told.rest_s?, truth.rest_s?))
        };
        Self {
            truth: *truth,
            verdict: told.verdict,
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
    pub fn untold(truth: &Rep) -> Self {
        Self {
            truth: *truth,
            verdict: Verdict::Unresolved,
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

/// The run where the stretch told of is the one that was run.
fn matched(run: Option<Run>, span: Option<(f64, f64)>) -> Option<Run> {
    run.filter(|r| span.is_some_and(|s| shared_of_both((r.start_s, r.end_s), s) >= 0.5))
}

/// Holds each set of a review against the truth.
#[must_use]
pub fn sets(plan: &Plan, truth: &Truth, review: &PlanReview, clocks: Clocks) -> Vec<SetScore> {
    let mut scores = Vec::new();
    for (block, planned) in review.blocks.iter().zip(&plan.blocks) {
        for told in &block.sets {
            let reps = of_set(truth, block.index, told.index);
            let pairs = pair(&reps, told, planned.rest == Rest::WalkBack);
            let rest_s = reps.iter().rev().find_map(|r| r.rest_after_set_s);
            scores.push(SetScore {
                block: block.index,
                seen: seen(&reps, told, clocks),
                rest_error_s: told
                    .rest_after_s
                    .zip(rest_s)
                    .map(|(told, true_s)| told - true_s),
                reps: pairs
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
pub fn untold(plan: &Plan, truth: &Truth) -> Vec<SetScore> {
    let mut scores = Vec::new();
    for (index, block) in (1..).zip(&plan.blocks) {
        for set in 1..=block.sets() as usize {
            let reps = of_set(truth, index, set);
            scores.push(SetScore {
                block: index,
                seen: reps.iter().any(|r| r.run.is_some()).then_some(false),
                rest_error_s: None,
                reps: reps.into_iter().map(RepScore::untold).collect(),
            });
        }
    }
    scores
}

fn of_set(truth: &Truth, block: usize, set: usize) -> Vec<&Rep> {
    (truth.reps.iter())
        .filter(|r| r.block == block && r.set == set)
        .collect()
}

/// Whether the whole set was found where it was, its reps counted or not.
fn seen(truth: &[&Rep], told: &SetReview, clocks: Clocks) -> Option<bool> {
    let runs = || truth.iter().filter_map(|r| r.run);
    let start_s = runs().map(|r| r.start_s).reduce(f64::min)?;
    let end_s = runs().map(|r| r.end_s).reduce(f64::max)?;
    let spans = || (told.reps.iter()).filter_map(|r| clocks.span(r.start_s, r.end_s));
    let told_start_s = spans().map(|s| s.0).reduce(f64::min);
    let told_end_s = spans().map(|s| s.1).reduce(f64::max);
    let found = told_start_s.zip(told_end_s);
    Some(found.is_some_and(|found| shared_of_both((start_s, end_s), found) >= 0.5))
}

/// Pairs the reps of a set with what was told of them: by number, or, where rests are self-paced and the number of
/// those run agrees, in order: which of them was left out nobody can see.
fn pair<'a>(
    truth: &[&'a Rep],
    told: &'a SetReview,
    self_paced: bool,
) -> Vec<(&'a Rep, &'a RepReview)> {
    let ran: Vec<&Rep> = truth.iter().copied().filter(|r| r.run.is_some()).collect();
    let given: Vec<&RepReview> = told.reps.iter().filter(|r| r.start_s.is_some()).collect();
    if self_paced && ran.len() == given.len() {
        let not_run = truth.iter().copied().filter(|r| r.run.is_none());
        let not_given = told.reps.iter().filter(|r| r.start_s.is_none());
        return ran
            .into_iter()
            .zip(given)
            .chain(not_run.zip(not_given))
            .collect();
    }
    truth.iter().copied().zip(&told.reps).collect()
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
