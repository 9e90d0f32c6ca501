//! Whether a speed asked for was reached: how likely by each run, and what the runs of a block say together.
//!
//! A peak has an interval, a mark has none. One rep near the mark often cannot be told; several near it still say how many
//! reached it at least, since they are unlikely to have failed all at once.

use crate::efforts;
use crate::estimation::normal;
use crate::measured::{Measured, Z95};
use crate::plan::{Plan, Target};
use crate::review::{
    Fits, PlanReview, Reached, RepReview, Tolerances, TopSpeed, TopSpeedSource, Verdict, exactly,
};

/// What a block says is at least so many with this probability.
const SURE: f64 = 0.95;

/// One run held against the mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Run {
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
pub(crate) struct Marks {
    /// The block, from 1; `None` for the sprints of a session without a plan.
    pub block: Option<usize>,
    /// The speed asked for, m/s; exact unless it is a share of a top speed that was measured on another day.
    pub mark_m_s: Measured,
    /// That as a share of top speed, where it was asked for so.
    pub share: Option<f64>,
    /// The top speed that it is a share of.
    pub top_speed: Option<TopSpeed>,
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
    pub(crate) fn count(&self, reached: Reached) -> usize {
        self.runs.iter().filter(|r| r.reached == reached).count()
    }

    /// The fastest.
    #[must_use]
    pub(crate) fn best(&self) -> Option<&Run> {
        self.runs
            .iter()
            .max_by(|a, b| a.peak_m_s.value.total_cmp(&b.peak_m_s.value))
    }

    fn of(block: Option<usize>, asked: Asked, runs: Vec<Run>) -> Self {
        let peaks: Vec<Measured> = runs.iter().map(|run| run.peak_m_s).collect();
        let (at_least, one) = together(&peaks, asked.mark_m_s);
        Self {
            block,
            mark_m_s: asked.mark_m_s,
            share: asked.share,
            top_speed: asked.top_speed,
            planned: runs.len(),
            runs,
            at_least,
            one,
        }
    }
}

/// What was asked for.
#[derive(Clone, Copy)]
struct Asked {
    mark_m_s: Measured,
    share: Option<f64>,
    top_speed: Option<TopSpeed>,
}

impl Asked {
    fn share(share: f64, top: TopSpeed) -> Self {
        Self {
            mark_m_s: top.mark(share),
            share: Some(share),
            top_speed: Some(top),
        }
    }
}

impl RepReview {
    /// Whether it was done, and the recording leaves open whether at the speed asked for.
    #[must_use]
    pub(crate) fn is_speed_open(&self) -> bool {
        self.verdict == Verdict::Done && self.reached == Some(Reached::Unclear)
    }
}

/// The blocks of a plan that asked for a speed, in their order; none where the plan does not fit the recording.
#[must_use]
pub(crate) fn asked(plan: &Plan, review: &PlanReview) -> Vec<Marks> {
    if review.fits == Fits::No {
        return Vec::new();
    }
    let blocks = review.blocks.iter().filter_map(|block| {
        let planned = plan.blocks.get(block.index.checked_sub(1)?)?;
        let asked = match planned.target? {
            Target::Speed(v) => Asked {
                mark_m_s: exactly(v),
                share: None,
                top_speed: None,
            },
            Target::ShareOfTop(share) => Asked::share(share, review.top_speed?),
        };
        let mut owed = 0;
        let mut runs = Vec::new();
        for (s, set) in block.sets.iter().enumerate() {
            for (r, rep) in set.reps.iter().enumerate() {
                if planned.of_rep(s, r).target.is_some() {
                    owed += 1;
                    runs.extend(run(set.index, rep, asked.mark_m_s));
                }
            }
        }
        let mut marks = Marks::of(Some(block.index), asked, runs);
        marks.planned = owed;
        Some(marks)
    });
    blocks.collect()
}

fn run(set: usize, rep: &RepReview, mark_m_s: Measured) -> Option<Run> {
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

/// The sprints of a session without a plan, starts in s and peaks in m/s, held against a share of the top speed that settings or diary
/// know; of that of the session, `best_m_s`, where it is above the diary's. `None` where nobody knows one.
#[must_use]
pub(crate) fn sprints(
    found: impl Iterator<Item = (f64, Measured)>,
    best_m_s: Option<Measured>,
    tolerances: &Tolerances,
) -> Option<Marks> {
    let top = super::top_speed(None, tolerances, best_m_s)
        .filter(|top| top.source != TopSpeedSource::Session || tolerances.earlier_top.is_some())?;
    let asked = Asked::share(tolerances.speed_share, top);
    let runs = (1..)
        .zip(found)
        .map(|(index, (start_s, peak_m_s))| Run {
            set: None,
            index,
            start_s,
            peak_m_s,
            of_top_speed: Some(if top.speed_m_s.width() > 0.0 {
                top.share(peak_m_s)
            } else {
                peak_m_s.scaled(1.0 / top.speed_m_s.value)
            }),
            reached: reached(peak_m_s, asked.mark_m_s),
            probability: probability(peak_m_s, asked.mark_m_s),
        })
        .collect();
    Some(Marks::of(None, asked, runs))
}

/// Whether a speed asked for was reached, from its interval and that of the mark.
pub(super) fn reached(peak_m_s: Measured, mark_m_s: Measured) -> Reached {
    let above = above(peak_m_s, mark_m_s);
    if above.low >= 0.0 {
        Reached::Yes
    } else if above.high < 0.0 {
        Reached::No
    } else {
        Reached::Unclear
    }
}

/// How far a peak lies above a mark, m/s, with the intervals of both, which are independent of each other.
pub(super) fn above(peak_m_s: Measured, mark_m_s: Measured) -> Measured {
    let value = peak_m_s.value - mark_m_s.value;
    let below = (peak_m_s.value - peak_m_s.low).hypot(mark_m_s.high - mark_m_s.value);
    let over = (peak_m_s.high - peak_m_s.value).hypot(mark_m_s.value - mark_m_s.low);
    if mark_m_s.width() > 0.0 {
        Measured::within(value, value - below, value + over)
    } else {
        // To the last bit, so that who is at the mark is.
        Measured::within(
            value,
            peak_m_s.low - mark_m_s.value,
            peak_m_s.high - mark_m_s.value,
        )
    }
}

/// Probability that a peak was at or above a mark.
///
/// ## Definition
/// `1 - Phi((mark - value) / sd)`: a normal distribution on either side of the value, half of it each, with the standard deviation
/// of that side, its half-width over 1.96, the mark's own with it. At the ends of the interval it is 0.975 and 0.025, as `reached` takes them.
///
/// ## Units
/// Speeds in m/s; a probability, 0 to 1.
#[must_use]
pub(crate) fn probability(peak_m_s: Measured, mark_m_s: Measured) -> f64 {
    let above = above(peak_m_s, mark_m_s);
    let half = if above.value > 0.0 {
        above.value - above.low
    } else {
        above.high - above.value
    };
    if half > 0.0 {
        normal::below(above.value * Z95 / half).clamp(0.0, 1.0)
    } else {
        f64::from(u8::from(above.value >= 0.0))
    }
}

/// How many of the runs reached the mark at least, with 95 %, and the probability that any did.
///
/// ## Definition
/// The number is the sum of independent trials with a probability each (Poisson-binomial). What a mark is wrong by, it is wrong by for
/// all of them: the sum is mixed over three points of its normal distribution (Gauss and Hermite's rule). What all peaks of a session
/// are wrong by together, as the scale of a receiver, is not in it.
///
/// ## References
/// Wang (1993), On the number of successes in independent trials, Statistica Sinica 3:295.
fn together(peaks_m_s: &[Measured], mark_m_s: Measured) -> (usize, f64) {
    let mut numbers = vec![0.0; peaks_m_s.len() + 1];
    let sd = |half: f64| 3.0_f64.sqrt() * half / Z95;
    let (below, above) = (
        mark_m_s.value - mark_m_s.low,
        mark_m_s.high - mark_m_s.value,
    );
    let points = [
        (mark_m_s.value, 2.0 / 3.0),
        (mark_m_s.value - sd(below), 1.0 / 6.0),
        (mark_m_s.value + sd(above), 1.0 / 6.0),
    ];
    let known = [(mark_m_s.value, 1.0)];
    let points: &[(f64, f64)] = if mark_m_s.width() > 0.0 {
        &points
    } else {
        &known
    };
    for &(mark_m_s, weight) in points {
        let chances = (peaks_m_s.iter()).map(|peak| probability(*peak, exactly(mark_m_s)));
        for (sum, chance) in numbers.iter_mut().zip(efforts::successes(chances)) {
            *sum += weight * chance;
        }
    }
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

    /// Of peaks that reach a mark with these probabilities: standard normal ones around it.
    fn of_chances(chances: &[f64]) -> (usize, f64) {
        let peaks: Vec<Measured> = (chances.iter())
            .map(|chance| {
                // The quantile by halving.
                let (mut low, mut high) = (-9.0, 9.0);
                while high - low > 1e-13 {
                    let middle = 0.5 * (low + high);
                    if normal::below(middle) < *chance {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                Measured::within(low, low - Z95, low + Z95)
            })
            .collect();
        together(&peaks, exactly(0.0))
    }

    /// Of .9, .8 and .7 none is .1 x .2 x .3 = .006, one .092, two .398, three .504: at least one with .994, two with .902.
    #[test]
    fn three_chances_worked_by_hand() {
        let (at_least, one) = of_chances(&[0.9, 0.8, 0.7]);
        assert_eq!(at_least, 1);
        assert!((one - 0.994).abs() < 1e-9, "{one}");
    }

    /// Five of .9: four or five with .3281 + .5905 = .9185, three or more with .9914.
    #[test]
    fn five_that_cannot_be_told_alone_say_three_together() {
        assert_eq!(of_chances(&[0.9; 5]).0, 3);
        assert_eq!(of_chances(&[0.5; 5]).0, 1);
        assert_eq!(of_chances(&[]), (0, 0.0));
    }

    /// Twelve peaks 0.1 above a mark that may be 0.3 off: one by one it is even odds and better for each, but where the mark truly
    /// lies higher all of them missed it.
    #[test]
    fn what_a_mark_is_wrong_by_it_is_wrong_by_for_all() {
        let peaks = [Measured::within(8.1, 8.0, 8.2); 12];
        let sharp = together(&peaks, exactly(8.0));
        let blunt = together(&peaks, Measured::within(8.0, 7.7, 8.3));
        assert_eq!(sharp.0, 11);
        assert_eq!(blunt.0, 0, "{blunt:?}");
        assert!(blunt.1 < 0.9, "{blunt:?}");
    }

    /// Phi(1) = 0.8413 (Abramowitz and Stegun, table 26.1), and the ends of the interval.
    #[test]
    fn each_side_of_a_peak_has_its_own_width() {
        let peak = Measured::within(8.0, 8.0 - 0.1 * Z95, 8.0 + 0.3 * Z95);
        let at = |mark_m_s| probability(peak, exactly(mark_m_s));
        assert!((at(7.9) - 0.8413).abs() < 1e-4);
        assert!((at(8.3) - 0.1587).abs() < 1e-4);
        assert!((at(peak.low) - 0.975).abs() < 1e-4);
        assert!((at(peak.high) - 0.025).abs() < 1e-4);
        assert!((at(8.0) - 0.5).abs() < 1e-6);
        // Standard deviations of 0.1 above the mark and of 0.1 of the mark itself: Phi(1 / sqrt 2) = 0.7602.
        let measured = Measured::normal(7.9, 0.1);
        assert!((probability(peak, measured) - 0.7602).abs() < 1e-4);
    }

    #[test]
    fn what_is_known_exactly_is_reached_or_not() {
        let exact = Measured::within(8.0, 8.0, 8.0);
        let at = |mark_m_s| probability(exact, exactly(mark_m_s)) > 0.5;
        assert!(at(8.0) && at(7.9) && !at(8.1));
    }

    #[test]
    fn the_interval_decides_whether_a_speed_was_reached() {
        let peak = Measured::within(8.0, 7.8, 8.2);
        let exact = |mark_m_s| reached(peak, Measured::within(mark_m_s, mark_m_s, mark_m_s));
        assert_eq!(exact(7.8), Reached::Yes);
        assert_eq!(exact(8.0), Reached::Unclear);
        assert_eq!(exact(8.3), Reached::No);
    }

    /// Half-widths of 0.2 and 0.15 make one of 0.25.
    #[test]
    fn a_mark_that_was_measured_leaves_more_open() {
        let peak = Measured::within(8.0, 7.8, 8.2);
        let measured = |mark_m_s| {
            reached(
                peak,
                Measured::within(mark_m_s, mark_m_s - 0.15, mark_m_s + 0.15),
            )
        };
        assert_eq!(measured(7.78), Reached::Unclear);
        assert_eq!(measured(7.74), Reached::Yes);
        assert_eq!(measured(8.24), Reached::Unclear);
        assert_eq!(measured(8.26), Reached::No);
    }
}
