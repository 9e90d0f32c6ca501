//! Whether a speed asked for was reached: how likely by each run, and what the runs of a block say together.
//!
//! A peak has an interval, a mark has none. One rep near the mark often cannot be told; several near it still say how many
//! reached it at least, since they are unlikely to have failed all at once.

use crate::efforts::{self, Kind};
use crate::measured::{Measured, Z95};
use crate::plan::{Plan, Target};
use crate::review::{Fits, PlanReview, Reached, RepReview, Tolerances, Verdict, verdict};

/// What a block says is at least so many with this probability.
const SURE: f64 = 0.95;

/// One run held against the mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Set, from 1; `None` without a plan.
    pub set: Option<usize>,
    /// Rep of the set, or sprint of the session, from 1.
    pub index: usize,
    /// Start, s.
    pub start_s: f64,
    /// Its highest speed, m/s.
    pub peak_m_s: Measured,
    /// That as a share of top speed, where one is known.
    pub of_top_speed: Option<Measured>,
    /// What can be said of it alone.
    pub reached: Reached,
    /// Probability that it was at or above the mark.
    pub probability: f64,
}

/// The runs of a block, or the sprints of a session, held against one mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// The block, from 1; `None` for the sprints of a session without a plan.
    pub block: Option<usize>,
    /// The speed asked for, m/s.
    pub mark_m_s: f64,
    /// That as a share of top speed, where it was asked for so.
    pub share: Option<f64>,
    /// Runs that owed it, found or not.
    pub planned: usize,
    /// Those found.
    pub runs: Vec<Run>,
    /// How many reached it with a probability of 95 %, from all of them together.
    pub at_least: usize,
    /// Probability that at least one did.
    pub one: f64,
}

impl Marks {
    /// How many of the runs are so.
    #[must_use]
    pub fn count(&self, reached: Reached) -> usize {
        self.runs.iter().filter(|r| r.reached == reached).count()
    }

    /// The fastest.
    #[must_use]
    pub fn best(&self) -> Option<&Run> {
        self.runs
            .iter()
            .max_by(|a, b| a.peak_m_s.value.total_cmp(&b.peak_m_s.value))
    }

    fn of(block: Option<usize>, mark_m_s: f64, share: Option<f64>, runs: Vec<Run>) -> Self {
        let (at_least, one) = together(runs.iter().map(|r| r.probability));
        Self {
            block,
            mark_m_s,
            share,
            planned: runs.len(),
            runs,
            at_least,
            one,
        }
    }
}

impl RepReview {
    /// Whether it was done, and the recording leaves open whether at the speed asked for.
    #[must_use]
    pub fn is_speed_open(&self) -> bool {
        self.verdict == Verdict::Done && self.reached == Some(Reached::Unclear)
    }
}

/// The blocks of a plan that asked for a speed, in their order; none where the plan does not fit the recording.
#[must_use]
pub fn asked(plan: &Plan, review: &PlanReview) -> Vec<Marks> {
    if review.fits == Fits::No {
        return Vec::new();
    }
    let blocks = review.blocks.iter().filter_map(|block| {
        let planned = plan.blocks.get(block.index.checked_sub(1)?)?;
        let (mark_m_s, share) = match planned.target? {
            Target::Speed(v) => (v, None),
            Target::ShareOfTop(share) => (share * review.top_speed?.speed_m_s.value, Some(share)),
        };
        let mut owed = 0;
        let mut runs = Vec::new();
        for (s, set) in block.sets.iter().enumerate() {
            for (r, rep) in set.reps.iter().enumerate() {
                if planned.of_rep(s, r).target.is_some() {
                    owed += 1;
                    runs.extend(run(set.index, rep, mark_m_s));
                }
            }
        }
        let mut marks = Marks::of(Some(block.index), mark_m_s, share, runs);
        marks.planned = owed;
        Some(marks)
    });
    blocks.collect()
}

fn run(set: usize, rep: &RepReview, mark_m_s: f64) -> Option<Run> {
    let peak_m_s = rep.peak_speed_m_s.filter(Measured::is_finite)?;
    Some(Run {
        set: Some(set),
        index: rep.index,
        start_s: rep.start_s?,
        peak_m_s,
        of_top_speed: rep.of_top_speed,
        reached: rep.reached?,
        probability: probability(peak_m_s, mark_m_s),
    })
}

/// The sprints of a session without a plan, held against a share of the top speed of the settings; `None` where they give none.
#[must_use]
pub fn sprints(efforts: &efforts::Efforts, tolerances: &Tolerances) -> Option<Marks> {
    let top_m_s = tolerances
        .top_speed_m_s
        .filter(|v| v.is_finite() && *v > 0.0)?;
    let mark_m_s = tolerances.speed_share * top_m_s;
    let found = efforts.list.iter().filter(|e| e.kind == Kind::Sprint);
    let runs = (1..)
        .zip(found)
        .map(|(index, effort)| {
            let peak_m_s = effort.peak_speed_m_s;
            Run {
                set: None,
                index,
                start_s: effort.start_s,
                peak_m_s,
                of_top_speed: Some(peak_m_s.scaled(1.0 / top_m_s)),
                reached: verdict::reached(peak_m_s, mark_m_s),
                probability: probability(peak_m_s, mark_m_s),
            }
        })
        .collect();
    Some(Marks::of(
        None,
        mark_m_s,
        Some(tolerances.speed_share),
        runs,
    ))
}

/// Probability that a peak was at or above a mark.
///
/// ## Definition
/// `1 - Phi((mark - value) / sd)`: a normal distribution on either side of the value, half of it each, with the standard deviation
/// of that side, its half-width over 1.96. At the ends of the interval it is 0.975 and 0.025, as `reached` takes them.
///
/// ## Units
/// Speeds in m/s; a probability, 0 to 1.
#[must_use]
pub fn probability(peak_m_s: Measured, mark_m_s: f64) -> f64 {
    let by = mark_m_s - peak_m_s.value;
    let half = if by < 0.0 {
        peak_m_s.value - peak_m_s.low
    } else {
        peak_m_s.high - peak_m_s.value
    };
    if half > 0.0 {
        efforts::normal_below(-by * Z95 / half).clamp(0.0, 1.0)
    } else {
        f64::from(u8::from(by <= 0.0))
    }
}

/// How many of the runs reached the mark at least, with 95 %, and the probability that any did.
///
/// ## Definition
/// The number is the sum of independent trials with a probability each (Poisson-binomial). What all peaks of a session are wrong
/// by together, as the scale of a receiver, is not in it.
///
/// ## References
/// Wang (1993), On the number of successes in independent trials, Statistica Sinica 3:295.
fn together(probabilities: impl Iterator<Item = f64>) -> (usize, f64) {
    let numbers = efforts::successes(probabilities);
    let mut so_many_or_more = 0.0;
    for (number, probability) in numbers.iter().enumerate().rev() {
        so_many_or_more += probability;
        if so_many_or_more >= SURE {
            return (number, 1.0 - numbers.first().copied().unwrap_or(1.0));
        }
    }
    (0, 1.0 - numbers.first().copied().unwrap_or(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of .9, .8 and .7 none is .1 x .2 x .3 = .006, one .092, two .398, three .504: at least one with .994, two with .902.
    #[test]
    fn three_chances_worked_by_hand() {
        let (at_least, one) = together([0.9, 0.8, 0.7].into_iter());
        assert_eq!(at_least, 1);
        assert!((one - 0.994).abs() < 1e-9, "{one}");
    }

    /// Five of .9: four or five with .3281 + .5905 = .9185, three or more with .9914.
    #[test]
    fn five_that_cannot_be_told_alone_say_three_together() {
        assert_eq!(together([0.9; 5].into_iter()).0, 3);
        assert_eq!(together([0.5; 5].into_iter()).0, 1);
        assert_eq!(together(std::iter::empty()), (0, 0.0));
    }

    /// Phi(1) = 0.8413 (Abramowitz and Stegun, table 26.1), and the ends of the interval.
    #[test]
    fn each_side_of_a_peak_has_its_own_width() {
        let peak = Measured::within(8.0, 8.0 - 0.1 * Z95, 8.0 + 0.3 * Z95);
        assert!((probability(peak, 7.9) - 0.8413).abs() < 1e-4);
        assert!((probability(peak, 8.3) - 0.1587).abs() < 1e-4);
        assert!((probability(peak, peak.low) - 0.975).abs() < 1e-4);
        assert!((probability(peak, peak.high) - 0.025).abs() < 1e-4);
        assert!((probability(peak, 8.0) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn what_is_known_exactly_is_reached_or_not() {
        let exact = Measured::within(8.0, 8.0, 8.0);
        let at = |mark_m_s| probability(exact, mark_m_s) > 0.5;
        assert!(at(8.0) && at(7.9) && !at(8.1));
    }
}
