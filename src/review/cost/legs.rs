//! The legs of a way there and back: how many, how long, and how evenly they go.

use crate::bouts::{Bout, Shape};
use crate::review::items::{Item, Shuttle};

/// How unevenly legs go, as a deviation of logarithms: in a set, and in anything else that turns about. Counted over simulated sessions
/// whose truth is known.
const EVEN: (f64, f64) = (0.10, 0.35);
/// What each leg of a set speaks for it, and all of them at most.
const EVEN_LEG: f64 = 0.4;
const MOST_EVEN: f64 = 5.0;
/// A set of fewer legs has no rhythm.
const FEWEST_LEGS: f64 = 5.0;

/// How evenly a bout goes to and fro as a set of turns does, from 0 to 1; 0 for an item that is no such set.
pub(in crate::review) fn evenness(item: &Item, bout: &Bout) -> f64 {
    let (Some(shuttle), Some(shape)) = (item.shuttle, &bout.shape) else {
        return 0.0;
    };
    match shape.uneven {
        Some(uneven) if expected_legs(item, shuttle) >= FEWEST_LEGS => {
            ((EVEN.1 / uneven.max(EVEN.0)).ln() / (EVEN.1 / EVEN.0).ln()).max(0.0)
        }
        _ => 0.0,
    }
}

/// What the rhythm of a bout's legs speaks for a set of so many: little else goes to and fro evenly.
pub(super) fn rhythm(item: &Item, bout: &Bout) -> f64 {
    let turns = bout.shape.as_ref().map_or(0, Shape::reversals);
    let legs = turns.saturating_sub(1) as f64;
    (EVEN_LEG * legs * evenness(item, bout)).min(MOST_EVEN)
}

/// The legs of an item in full: as the plan counts them, else as many as its time lasts for.
pub(super) fn expected_legs(item: &Item, shuttle: Shuttle) -> f64 {
    let by_time = || item.work.value / leg_s(shuttle.leg_m);
    shuttle.legs.unwrap_or_else(by_time)
}

/// About how long a leg takes, s: at 2.5 m/s with its turn.
pub(super) fn leg_s(leg_m: f64) -> f64 {
    (leg_m / 2.5).max(1.5)
}
