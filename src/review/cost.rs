//! Costs of a matching: negative log-likelihoods, each relative to its peak and with a floor.
//!
//! Every clue is capped: one that is far off may be a departure from the plan that is not modelled, and must not outweigh
//! all others together. The numbers are odds of what players do, in nats (`-ln p`), set from how often each is expected;
//! none is fitted to a recording.

use crate::bouts::Bout;
use crate::motion::Motion;
use crate::plan::Category;
use crate::review::items::{Item, Kind, Shuttle};

/// A rep more than planned.
pub(super) const EXTRA: f64 = 4.0;
/// Work cut short: 1 in 25 reps.
const SHORT: f64 = 3.2;
/// Shares of the planned work at which a rep is cut short.
const SHORT_FROM: f64 = 0.40;
const SHORT_TO: f64 = 0.82;
/// When the time of a shuttle is up, the leg he is on may be run out, gently, for about so long, s.
const RUN_OUT_S: f64 = 1.0;
/// Work of any other length.
const WORK_FLOOR: f64 = 12.0;
/// A count of turns unlike the plan's.
const RUN_ON_FLOOR: f64 = 3.5;
/// Work that takes longer than expected by so many standard deviations is none of it.
const LONGEST: f64 = 2.5;
/// Less than this share of the planned work is none of it, and so is more than that.
const LEAST_SHARE: f64 = 0.3;
const MOST_SHARE: f64 = 1.4;
/// A peak speed unlike any expected.
const PEAK_FLOOR: f64 = 4.0;
/// A place far from the reps before; laps have no place in common.
const PLACE_FLOOR: f64 = 3.5;
/// What a bout in the place of the rep before earns: of all the pitch, it is just there.
const SAME_PLACE: f64 = -1.5;
/// A shuttle whose length is off, or a straight run that turned round.
const SHAPE_FLOOR: f64 = 4.0;
/// Who walks into a rep or jogs on out of it changes its peak, shape and place all at once: together they cost no more.
const MOST_UNLIKE: f64 = 5.0;
/// A pairing dearer than this is not considered.
const DEAREST_PAIR: f64 = 16.0;

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
    /// Work shorter than this may lie between two fixes and not be seen, s.
    pub hides_s: f64,
    /// Turns closer to each other than this, one after another, may be smoothed away, s.
    pub hides_turns_s: f64,
    /// Whether positions are known.
    pub has_position: bool,
}

impl Quality {
    /// How long work such as an item's may go on and not be seen, s: it is short, or a set of turns close to each other;
    /// `None` where it is never so quick.
    pub fn hides_for_s(&self, item: &Item) -> Option<f64> {
        let turns_s = self.hides_turns_for_s(item);
        let longest_s = turns_s.max(self.hides_s * item.reps as f64);
        let quickest_s = item.work.value * (-QUICKEST * item.work.sd).exp();
        (quickest_s < longest_s).then_some(longest_s)
    }

    /// How quick the turns of an item have to be, one after another, to be smoothed away: the time of all of them, s.
    fn hides_turns_for_s(&self, item: &Item) -> f64 {
        let Some(shuttle) = item.shuttle else {
            return 0.0;
        };
        let legs = match shuttle.legs {
            Some(legs) if item.reps > 1 => legs,
            Some(_) => 0.0,
            None => item.work.value / leg_s(shuttle.leg_m),
        };
        self.hides_turns_s * legs
    }

    /// Whether a single rep there and back is so short that this receiver hardly tells it from standing about.
    pub fn hides_way(&self, item: &Item) -> bool {
        let leg_m = item.shuttle.map_or(f64::INFINITY, |s| s.leg_m);
        item.reps == 1 && self.hides_turns_s > 0.0 && leg_m < SHORTEST_WAY * self.length_sd_m
    }
}

/// A pace quicker than expected by more standard deviations than this is not looked for.
const QUICKEST: f64 = 1.5;

/// A way shorter than so many standard deviations of a length is lost in them.
const SHORTEST_WAY: f64 = 3.0;

/// Work of fewer fixes than this may be smoothed away.
const HIDING_FIXES: f64 = 4.0;

/// Legs of fewer fixes than this leave hardly more than a trace of walking about.
const HIDING_TURNS: f64 = 3.5;

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
        hides_s: if motion.irregular || motion.rate_hz < 0.8 {
            HIDING_FIXES / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
        hides_turns_s: if motion.irregular || motion.rate_hz < 2.0 {
            HIDING_TURNS / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
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
    let (share, sd) = work_share(item, bout, time_s, quality);
    if share < LEAST_SHARE || share > MOST_SHARE.max((3.2 * sd).exp()) {
        return None;
    }
    let long = (time_s / item.work.value).ln() / item.work.sd.max(0.12);
    if long > LONGEST {
        return None;
    }
    let mut cost = work(item, (share, sd), time_s, quality);
    if item.kind == Kind::Extra {
        cost += EXTRA;
    }
    if cost > DEAREST_PAIR {
        return None;
    }
    let peak_sd = item.peak.sd.hypot(quality.peak_sd_m_s);
    let unlike = bell((bout.peak_m_s - item.peak.value) / peak_sd, PEAK_FLOOR)
        + shape(item, bout, time_s, quality)
        + place(item, bout, quality);
    cost += unlike.min(MOST_UNLIKE);
    (cost <= DEAREST_PAIR).then_some(cost)
}

/// The share of the planned work that a bout makes up, with the standard deviation of its logarithm.
///
/// By time where the plan gives a time; by length on the ground where it gives a length and positions are known.
pub(super) fn work_share(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> (f64, f64) {
    if !item.timed
        && !by_time(item, time_s, quality)
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

/// Whether only the time tells how much of a set was run: its turns are too close to count its legs.
fn by_time(item: &Item, time_s: f64, quality: &Quality) -> bool {
    item.reps > 1 && time_s < quality.hides_turns_for_s(item)
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

/// The cost of a time of work, and of the share of the planned work that it makes up, with the standard deviation of its
/// logarithm ([`work_share`]).
fn work(item: &Item, (share, sd): (f64, f64), time_s: f64, quality: &Quality) -> f64 {
    let z = share.max(1e-3).ln() / sd;
    let full = 0.5 * z * z + sd.ln();
    // Turns of a set that runs on are counted wrongly now and then; a run is as long as it is.
    let floor = if item.reps > 1 {
        RUN_ON_FLOOR
    } else {
        WORK_FLOOR
    };
    let mut cost = either(either(full, short_cost(share, sd)), floor);
    if !item.timed && item.distance_m.is_some() && !by_time(item, time_s, quality) {
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
            let expected = legs.unwrap_or(time_s / leg_s(leg_m));
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

/// About how long a leg takes, s: at 2.5 m/s with its turn.
fn leg_s(leg_m: f64) -> f64 {
    (leg_m / 2.5).max(1.5)
}

/// The cost of the place of a rep, given where the others of its block were: the reps of a set share a lane.
fn place(item: &Item, bout: &Bout, quality: &Quality) -> f64 {
    let (Some(usual), Some(shape)) = (item.place_m, &bout.shape) else {
        return 0.0;
    };
    let apart = crate::bouts::distance(usual, shape.middle_m);
    let sd = quality.place_sd_m.hypot(0.1 * shape.extent_m);
    SAME_PLACE + bell(apart / sd, PLACE_FLOOR)
}
