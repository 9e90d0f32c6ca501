//! Costs of a matching: negative log-likelihoods, each relative to its peak and with a floor.
//!
//! Every clue is capped: one that is far off may be a departure from the plan that is not modelled, and must not outweigh
//! all others together. The numbers are odds of what players do, in nats (`-ln p`), set from how often each is expected;
//! none is fitted to a recording.

use crate::bouts::Bout;
use crate::motion::Motion;
use crate::plan::Category;
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind, Shuttle};

/// What a matched bout earns: how much likelier a bout of this time, speed and place is as the planned rep than as one
/// that happens to be there. Without it, leaving out a whole set is cheaper than explaining it.
pub(super) const MATCH: f64 = -4.0;
/// A rep left out: about 1 in 70.
pub(super) const MISSING_REP: f64 = 4.2;
/// Every further rep of the same set left out; they come together.
pub(super) const MISSING_MORE: f64 = 2.5;
/// The most that missing reps of one set cost: a whole set or its end left out.
pub(super) const MISSING_SET: f64 = 7.0;
/// Another set of the same block left out.
pub(super) const MISSING_SET_MORE: f64 = 3.0;
/// The most that missing reps of one block cost.
pub(super) const MISSING_BLOCK: f64 = 11.0;
/// A continuous block left out.
pub(super) const MISSING_STRETCH: f64 = 4.5;
/// A rep more than planned.
pub(super) const EXTRA: f64 = 4.0;
/// The recording started late or stopped early.
pub(super) const CUT_RECORDING: f64 = 3.5;
/// Work cut short: 1 in 25 reps.
const SHORT: f64 = 3.2;
/// Shares of the planned work at which a rep is cut short.
const SHORT_FROM: f64 = 0.40;
const SHORT_TO: f64 = 0.82;
/// When the time of a shuttle is up, the leg he is on may be run out, gently, for about so long, s.
const RUN_OUT_S: f64 = 1.0;
/// Work of any other length.
const WORK_FLOOR: f64 = 7.5;
/// A peak speed unlike any expected.
const PEAK_FLOOR: f64 = 4.0;
/// A rest far off the plan: one in 50 is, by a drink, a ball fetched, a talk; `exp(-4)`.
const GAP_FLOOR_LIKELIHOOD: f64 = 0.018_315_638_888_734_18;
/// Several ways together can make a gap a little likelier than its likeliest way, by this at most.
pub(super) const GAP_GAIN: f64 = 0.5;
/// Stops and starts that meet or overlap count as so far apart, s.
const LEAST_GAP_S: f64 = 0.2;
/// A place far from the reps before; laps have no place in common.
const PLACE_FLOOR: f64 = 3.5;
/// What a bout in the place of the rep before earns: of all the pitch, it is just there.
const SAME_PLACE: f64 = -1.5;
/// The most that [`place`] takes off a cost.
pub(super) const PLACE_GAIN: f64 = 1.6;
/// A shuttle whose length is off, or a straight run that turned round.
const SHAPE_FLOOR: f64 = 4.0;
/// A pairing dearer than this is not considered.
pub(super) const DEAREST_PAIR: f64 = 7.5;

/// What the recording can carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Quality {
    /// Standard deviation of a start or an end, s.
    pub edge_sd_s: f64,
    /// Standard deviation of a length on the ground between two moments of a bout, m.
    pub length_sd_m: f64,
    /// Standard deviation of the drift of a place between two reps, m.
    pub place_sd_m: f64,
    /// Standard deviation of a peak speed, m/s.
    pub peak_sd_m_s: f64,
    /// Whether positions are known.
    pub has_position: bool,
}

/// What a motion can carry, by its rate.
pub(super) fn quality(motion: &Motion) -> Quality {
    let (edge_sd_s, length_sd_m, place_sd_m, peak_sd_m_s) = if motion.irregular {
        (1.2, 3.0, 5.0, 0.8)
    } else if motion.rate_hz < 2.0 {
        (0.5, 1.5, 4.0, 0.4)
    } else if motion.rate_hz < 7.0 {
        (0.25, 0.8, 3.0, 0.15)
    } else {
        (0.2, 0.8, 3.0, 0.15)
    };
    Quality {
        edge_sd_s,
        length_sd_m,
        place_sd_m,
        peak_sd_m_s,
        has_position: motion.has_position,
    }
}

/// `-ln` of a mixture of a bell of unit height and a floor, for a deviation in standard deviations.
pub(super) fn bell(z: f64, floor: f64) -> f64 {
    // Beyond, the exponential adds nothing, and is slow to say so.
    let z = z.abs().min(9.0);
    -((-0.5 * z * z).exp() + (-floor).exp()).ln()
}

/// `-ln` of the sum of the likelihoods behind two costs.
fn either(a: f64, b: f64) -> f64 {
    let low = a.min(b);
    low - ((low - a).exp() + (low - b).exp()).ln()
}

/// When an item's work ends in a bout, s: at the stop for a line he stops at, else where braking begins.
pub(super) fn end_s(item: &Item, bout: &Bout) -> f64 {
    if item.stops { bout.stop_s } else { bout.end_s }
}

/// The cost of an item being done by a bout; `None` when it cannot be.
pub(super) fn pair(item: &Item, bout: &Bout, quality: &Quality) -> Option<f64> {
    if item.kind == Kind::Stretch {
        return None;
    }
    let time_s = end_s(item, bout) - bout.start_s;
    if time_s <= 0.3 {
        return None;
    }
    let mut cost = MATCH;
    if item.kind == Kind::Extra {
        cost += EXTRA;
    }
    cost += work(item, bout, time_s, quality);
    if cost > DEAREST_PAIR {
        return None;
    }
    let peak_sd = item.peak.sd.hypot(quality.peak_sd_m_s);
    cost += bell((bout.peak_m_s - item.peak.value) / peak_sd, PEAK_FLOOR);
    cost += shape(item, bout, time_s, quality);
    (cost <= DEAREST_PAIR).then_some(cost)
}

/// The share of the planned work that a bout makes up, with the standard deviation of its logarithm.
///
/// By time where the plan gives a time; by length on the ground where it gives a length and positions are known.
pub(super) fn work_share(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> (f64, f64) {
    if !item.timed
        && let Some(length_m) = covered_m(item, bout)
        && let Some(planned_m) = item.distance_m
    {
        let sd = 0.03_f64.hypot(quality.length_sd_m / planned_m);
        return (length_m / (planned_m * item.length_bias), sd);
    }
    let expected_s = item.work.value.max(0.1);
    let sd = item.work.sd.hypot(quality.edge_sd_s * 1.4 / expected_s);
    let over = item.timed && item.shuttle.is_some() && time_s > expected_s;
    let sd = if over {
        sd.hypot(RUN_OUT_S / expected_s)
    } else {
        sd
    };
    (time_s / expected_s, sd)
}

/// The length that a bout covered, in the sense of the plan, m: there and back by the legs between turns, else straight.
///
/// Filtered positions cut the corner at a turn, so a path's own length falls short; the legs are counted in full lengths
/// of the way, and only the last by its own length.
pub(super) fn covered_m(item: &Item, bout: &Bout) -> Option<f64> {
    let shape = bout.shape.as_ref()?;
    match item.shuttle {
        Some(Shuttle { leg_m, .. }) => {
            let legs = shape.legs_m();
            let full = legs.len().saturating_sub(1) as f64;
            let last = legs.last().copied().unwrap_or(0.0) / leg_m;
            let last = if last > 0.7 { 1.0 } else { last };
            Some((full + last) * leg_m)
        }
        None => item.distance_m.map(|_| bout.path_to_end_m),
    }
}

/// The cost of a share of the planned work for a rep run in full.
pub(super) fn full_cost(share: f64, sd: f64) -> f64 {
    let z = share.max(1e-3).ln() / sd;
    0.5 * z * z
}

/// The cost of a share of the planned work for a rep cut short: even over the shares at which reps are cut, its edges as
/// soft as the measure is.
pub(super) fn short_cost(share: f64, sd: f64) -> f64 {
    let share = share.max(1e-3);
    let outside = (SHORT_FROM / share)
        .ln()
        .max((share / SHORT_TO).ln())
        .max(0.0)
        / sd;
    SHORT + 0.5 * outside * outside
}

fn work(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> f64 {
    let (share, sd) = work_share(item, bout, time_s, quality);
    let full = bell(share.max(1e-3).ln() / sd, WORK_FLOOR);
    let mut cost = either(full, short_cost(share, sd));
    if !item.timed && item.distance_m.is_some() {
        // The time must suit the length, at whatever share of it.
        let expected_s = item.work.value * share.clamp(0.3, 1.5);
        let sd = item.work.sd.hypot(quality.edge_sd_s / expected_s);
        cost += bell((time_s / expected_s).ln() / sd, PEAK_FLOOR);
    }
    cost
}

fn shape(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> f64 {
    let Some(shape) = &bout.shape else {
        return 0.0;
    };
    match item.shuttle {
        Some(Shuttle { leg_m, legs }) => {
            let sd = 0.1_f64.hypot(quality.length_sd_m / leg_m);
            let extent = bell((shape.extent_m / leg_m).max(1e-3).ln() / sd, SHAPE_FLOOR);
            let expected = legs.unwrap_or(time_s / (leg_m / 2.5).max(1.5));
            let turned = if expected >= 1.8 && shape.reversals() == 0 {
                SHAPE_FLOOR
            } else {
                0.0
            };
            extent + turned
        }
        None if item.category == Category::Speed => {
            let straight = shape.net_m() / bout.path_m.max(0.1);
            bell((1.0 - straight).max(0.0) / 0.12, SHAPE_FLOOR)
        }
        None => 0.0,
    }
}

/// The cost of the place of a rep, given that of the one before in its block: the reps of a set share a lane.
pub(super) fn place(same_set: bool, before: &Bout, bout: &Bout, quality: &Quality) -> f64 {
    let (Some(a), Some(b)) = (&before.shape, &bout.shape) else {
        return 0.0;
    };
    let apart = (a.middle_m[0] - b.middle_m[0]).hypot(a.middle_m[1] - b.middle_m[1]);
    let sd = quality.place_sd_m.hypot(0.1 * b.extent_m);
    let all = if same_set { 1.0 } else { 0.5 };
    all * (SAME_PLACE + bell(apart / sd, PLACE_FLOOR))
}

/// One way in which the time between two matched items may have passed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Gap {
    /// Likeliest time, s.
    pub expected: Guess,
    /// Cost of this way.
    pub cost: f64,
    /// What the sum over ways needs, worked out once: the way's own likelihood, the logarithm of the time, and one over
    /// its standard deviation.
    likelihood: f64,
    ln_expected: f64,
    per_sd: f64,
}

impl Gap {
    /// A way that takes about so long.
    pub fn new(expected: Guess, cost: f64, quality: &Quality) -> Self {
        let sd = expected.sd.hypot(1.4 * quality.edge_sd_s / expected.value);
        Self {
            expected,
            cost,
            likelihood: (-cost).exp(),
            ln_expected: expected.value.ln(),
            per_sd: 1.0 / sd,
        }
    }
}

/// All ways in which the time between two matched items may have passed.
#[derive(Clone, Debug)]
pub(super) struct Gaps {
    ways: Vec<Gap>,
    /// The shortest and the longest gap, s, within [`USUAL`] standard deviations of some way.
    usual_s: (f64, f64),
    /// A gap outside costs no less than this.
    unusual: f64,
}

/// Gaps so many standard deviations off cost nearly as much as any.
const USUAL: f64 = 3.0;

impl Gaps {
    pub fn new(ways: Vec<Gap>) -> Self {
        let end_s = |way: &Gap, sign: f64| (way.ln_expected + sign * USUAL / way.per_sd).exp();
        let from_s = ways.iter().map(|w| end_s(w, -1.0)).reduce(f64::min);
        let to_s = ways.iter().map(|w| end_s(w, 1.0)).reduce(f64::max);
        let all: f64 = ways.iter().map(|w| w.likelihood).sum();
        let bell = (-0.5 * USUAL * USUAL).exp();
        Self {
            ways,
            usual_s: (from_s.unwrap_or(0.0), to_s.unwrap_or(0.0)),
            unusual: -(1e-30 + all * (bell + GAP_FLOOR_LIKELIHOOD)).ln(),
        }
    }

    /// The longest of the times expected, s.
    pub fn longest_s(&self) -> f64 {
        let times_s = self.ways.iter().map(|way| way.expected.value);
        times_s.fold(0.0, f64::max)
    }

    /// What a gap of so many seconds costs at least, told by one look.
    pub fn least(&self, gap_s: f64) -> f64 {
        let gap_s = gap_s.max(LEAST_GAP_S);
        if gap_s < self.usual_s.0 || gap_s > self.usual_s.1 {
            self.unusual
        } else {
            -GAP_GAIN
        }
    }

    /// What a gap of so many seconds costs.
    pub fn cost(&self, gap_s: f64) -> f64 {
        let ln_gap = gap_s.max(LEAST_GAP_S).ln();
        let mut likelihood = 1e-30;
        for way in &self.ways {
            let z = (ln_gap - way.ln_expected) * way.per_sd;
            let bell = if z.abs() < 5.0 {
                (-0.5 * z * z).exp()
            } else {
                0.0
            };
            likelihood += way.likelihood * (bell + GAP_FLOOR_LIKELIHOOD);
        }
        -likelihood.ln()
    }
}

/// The cost of a bout that nothing in the plan explains: a jog to fetch a ball is common, a sprint is not, and nobody runs
/// for minutes for no reason.
pub(super) fn stray(bout: &Bout) -> f64 {
    let by_speed = (0.3 + 0.95 * (bout.peak_m_s - 2.5)).clamp(0.3, 4.5);
    by_speed + (0.03 * (bout.run_s() - 8.0)).clamp(0.0, 4.0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// What one look tells is a bound: nothing that it leaves out could have cost less.
        #[test]
        fn a_gap_costs_no_less_than_one_look_tells(
            times in proptest::collection::vec((1.0..900.0_f64, 0.05..0.8_f64), 1..5),
            gap_s in 0.0..2000.0_f64,
        ) {
            let quality = Quality { edge_sd_s: 0.2, length_sd_m: 1.0, place_sd_m: 3.0, peak_sd_m_s: 0.2, has_position: true };
            let way = |(k, &(time_s, sd)): (usize, &(f64, f64))| Gap::new(Guess::new(time_s, sd), 1.5 * k as f64, &quality);
            let gaps = Gaps::new(times.iter().enumerate().map(way).collect());
            prop_assert!(gaps.least(gap_s) <= gaps.cost(gap_s) + 1e-9);
        }
    }
}
