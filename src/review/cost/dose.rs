//! How much of the planned work a bout makes up, and what that costs a rep run in full and one cut short.

use super::bell::either;
use super::legs::leg_s;
use super::quality::Quality;
use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::items::{Ends, Item, Shuttle};

/// Work cut short: 1 in 25 reps.
pub(super) const SHORT: f64 = 3.2;
/// Shares of the planned work at which a rep is cut short.
const SHORT_FROM: f64 = 0.40;
const SHORT_TO: f64 = 0.82;
/// When the time of a shuttle is up, the leg he is on may be run out, gently, for about so long, s.
const RUN_OUT_S: f64 = 1.0;
/// The shares at which work is found that was shown only in part, as a logarithm.
const PART_RANGE: f64 = 1.1;
/// Who sprints through his line brakes so long after it at most, s, and so often does.
const THROUGH_S: f64 = 0.8;
const THROUGH: f64 = 0.15;
/// So often does a player stand on the line of a run in the end, and so near to it, as a logarithm of its way.
pub(in crate::review) const STOPS: f64 = 0.15;
const STOPS_SD: f64 = 0.05;
/// Work of any other length.
const WORK_FLOOR: f64 = 12.0;
/// A count of turns unlike the plan's.
const RUN_ON_FLOOR: f64 = 3.5;
/// Turns this much farther apart than those that are not seen may still be lost.
const LOST_TURNS: f64 = 1.7;
/// None is where the legs make up so much of what the time does.
const LEGS_SEEN: f64 = 0.95;
/// What turns so often goes to and fro.
const TURNS_ABOUT: usize = 2;
/// The part of a way that may be left when the time of a timed shuttle is up.
const WAY_LEFT: f64 = 0.5;

/// When an item's work ends in a bout, s: for a way there and back at its line, where he may stop or run on, else where braking begins; where
/// he stops for who stands on his line.
pub(in crate::review) fn end_s(item: &Item, bout: &Bout) -> f64 {
    if item.ends == Ends::AtStop {
        bout.stop_s
    } else if item.to_line {
        bout.line_s
    } else {
        bout.end_s
    }
}

/// The share of the planned work that a bout makes up, with the standard deviation of its logarithm.
///
/// By time where the plan gives a time; by length on the ground where it gives a length and positions are known.
pub(in crate::review) fn work_share(
    item: &Item,
    bout: &Bout,
    time_s: f64,
    quality: &Quality,
) -> (f64, f64) {
    let quality = &quality.of(bout);
    let by_way = by_way(item, bout, time_s, quality);
    share_of(item, bout, time_s, quality, by_way)
}

/// The same with what is known of the bout itself, by its way or by its time.
pub(super) fn share_of(
    item: &Item,
    bout: &Bout,
    time_s: f64,
    quality: &Quality,
    by_way: bool,
) -> (f64, f64) {
    if by_way
        && let Some(share) = by_legs(item, bout, quality)
        && let Some(planned_m) = item.distance_m
    {
        let sd = 0.03_f64.hypot(quality.length_sd_m / planned_m);
        return (share, sd);
    }
    let expected_s = item.work.value.max(0.1);
    let sd = item.work.sd.hypot(quality.edge_sd_s * 1.4 / expected_s);
    let Some(shuttle) = item.shuttle.filter(|_| item.timed) else {
        let time_s = if item.timed && turned_about(item, bout) {
            (bout.stop_s - bout.start_s).clamp(time_s, expected_s.max(time_s))
        } else {
            time_s
        };
        return (time_s / expected_s, sd);
    };
    if time_s > expected_s {
        return (time_s / expected_s, sd.hypot(RUN_OUT_S / expected_s));
    }
    // Nobody begins a way that he cannot run before the time is up: he stops at the line.
    let to_stop_s = (bout.stop_s - bout.start_s).clamp(time_s, expected_s);
    let way_s = leg_s(shuttle.leg_m).min(expected_s);
    (
        to_stop_s / expected_s,
        sd.hypot(WAY_LEFT * way_s / expected_s),
    )
}

/// Whether a bout of work that the plan gives no way for went to and fro: when its time is nearly up at a turn, he stops there.
fn turned_about(item: &Item, bout: &Bout) -> bool {
    item.category == Category::Strength
        && bout
            .shape
            .as_ref()
            .is_some_and(|s| s.reversals() >= TURNS_ABOUT)
}

/// Whether the way of a bout tells how much of an item was run, and not its time alone.
pub(super) fn by_way(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> bool {
    !item.timed && item.distance_m.is_some() && !by_time(item, bout, time_s, quality)
}

/// Whether only the time tells how much of a set was run: its turns are too close to count its legs, or so close that some may be lost, and
/// the legs that are seen make up less of it than the time does.
fn by_time(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> bool {
    let hidden_s = quality.hides_turns_for_s(item);
    let legs_are_lost = || {
        let by_time = (time_s / item.work.value.max(0.1)).min(1.0);
        by_legs(item, bout, quality).is_none_or(|share| share < LEGS_SEEN * by_time)
    };
    item.reps > 1 && (time_s < hidden_s || time_s < LOST_TURNS * hidden_s && legs_are_lost())
}

/// The share of the planned length that a bout covered; `None` without one.
fn by_legs(item: &Item, bout: &Bout, quality: &Quality) -> Option<f64> {
    let length_m = covered_m(item, bout, quality)?;
    Some(length_m / (item.distance_m? * item.length_bias))
}

/// The length that a bout covered, in the sense of the plan, m: there and back by the legs between turns, else straight.
///
/// Filtered positions cut the corner at a turn, so a path's own length falls short; the legs are counted in full lengths
/// of the way, and only the last by its own length.
fn covered_m(item: &Item, bout: &Bout, quality: &Quality) -> Option<f64> {
    let shape = bout.shape.as_ref()?;
    match item.shuttle {
        Some(Shuttle { leg_m, legs }) => {
            let seen_m = shape.legs_m();
            let full = seen_m.len().saturating_sub(1) as f64;
            let last = seen_m.last().copied().unwrap_or(0.0) / leg_m;
            let last = if last > 0.7 { 1.0 } else { last };
            let legs_m = (full + last) * leg_m;
            // A turn that was not seen leaves no legs, but no receiver of so many fixes makes the path longer by a way, nor does one by
            // its own speed.
            let path_m = if item.reps > 1 {
                0.0
            } else if !quality.loses_turns() {
                bout.path_m
            } else if quality.has_speed {
                bout.path_to_end_m
            } else {
                0.0
            };
            Some(legs_m.max(path_m.min(legs.unwrap_or(0.0) * leg_m)))
        }
        None => item.distance_m.map(|_| item.straight_way_m(bout)),
    }
}

/// The cost of a share of the planned work for a rep run in full.
pub(in crate::review) fn full_cost(share: f64, sd: f64) -> f64 {
    let z = share.max(1e-3).ln() / sd;
    0.5 * z * z
}

/// The cost of a share of the planned work for a rep cut short: even over the shares at which reps are cut, its edges as
/// soft as the measure is.
pub(in crate::review) fn short_cost(share: f64, sd: f64) -> f64 {
    let share = share.max(1e-3);
    let outside = (SHORT_FROM / share)
        .ln()
        .max((share / SHORT_TO).ln())
        .max(0.0)
        / sd;
    SHORT + 0.5 * outside * outside
}

/// The cost of a share of the planned work for a rep run in full that is shown only in part by a receiver which does so this often.
pub(super) fn part_cost(share: f64, in_part: f64) -> f64 {
    if share < 1.0 {
        PART_RANGE.ln() - in_part.ln()
    } else {
        f64::INFINITY
    }
}

/// The cost of a share of the planned length for a sprint that he runs through its line: a bout ends where he brakes.
fn through_cost(item: &Item, share: f64, sd: f64) -> f64 {
    let Some(planned_m) = item
        .straight_m()
        .filter(|_| item.category == Category::Speed)
    else {
        return f64::INFINITY;
    };
    let most = (THROUGH_S * item.peak.value / planned_m).ln_1p();
    let over = share.max(1e-3).ln();
    let outside = (-over).max(over - most).max(0.0) / sd;
    most.ln() - THROUGH.ln() + 0.5 * outside * outside
}

/// The cost of a run in full of who stands on his line in the end, so that he brakes for it long before: his way to the stop is that of the
/// plan. Once a block has taught what he does, nothing is open.
fn stopped_cost(item: &Item, bout: &Bout, quality: &Quality) -> f64 {
    let Some(planned_m) = item.straight_m().filter(|_| item.ends == Ends::Open) else {
        return f64::INFINITY;
    };
    let sd = STOPS_SD.hypot(quality.length_sd_m / planned_m);
    let share = bout.path_m / (planned_m * item.length_bias);
    full_cost(share, sd) + sd.ln() - STOPS.ln()
}

/// The cost of a share of the planned work for a rep run in full, in another way than that the bout shows it so.
pub(in crate::review) fn otherwise_full(
    item: &Item,
    bout: &Bout,
    share: f64,
    quality: &Quality,
) -> f64 {
    either(
        part_cost(share, quality.shows_in_part(item)),
        stopped_cost(item, bout, quality),
    )
}

/// The costs of a share of the planned work, for a rep run in full, or of a length that nothing explains, and for one cut short.
pub(super) struct Dose {
    pub full: f64,
    pub short: f64,
}

pub(super) fn dose(item: &Item, bout: &Bout, share: f64, sd: f64, quality: &Quality) -> Dose {
    // Turns of a set that runs on are counted wrongly now and then; a run is as long as it is.
    let floor = if item.reps > 1 {
        RUN_ON_FLOOR
    } else {
        WORK_FLOOR
    };
    let floor = floor
        .min(otherwise_full(item, bout, share, quality))
        .min(through_cost(item, share, sd));
    Dose {
        full: either(full_cost(share, sd) + sd.ln(), floor),
        short: short_cost(share, sd),
    }
}
