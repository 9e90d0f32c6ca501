//! Counting reps inside a bout by its turning points.

use crate::bouts::Bout;
use crate::motion::Motion;
use crate::plan::Block;
use crate::review::items::Item;

/// A leg counts in full from this share of its length on: the last is braked to a stand.
const FULL_LEG: f64 = 0.6;

/// The reps counted inside a bout.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Count {
    /// How many reps were run, with a fraction for one that was broken off.
    pub reps: f64,
    /// End of each rep, seconds from the session's start.
    pub ends_s: Vec<f64>,
}

/// Counts the reps of a set that runs on, from there-and-back turns; `None` where the bout has no shape.
pub(super) fn by_turns(
    motion: &Motion,
    block: &Block,
    item: &Item,
    bout: &Bout,
    end_s: f64,
) -> Option<Count> {
    let shape = bout.shape.as_ref()?;
    let legs_m = shape.legs_m();
    let leg_m = item
        .shuttle
        .map_or_else(|| typical(&legs_m), |shuttle| shuttle.leg_m);
    let last = legs_m.last().copied().unwrap_or(0.0);
    let full = legs_m.len().saturating_sub(1) as f64;
    let legs = full
        + if last >= FULL_LEG * leg_m {
            1.0
        } else {
            last / leg_m
        };
    let per_rep = legs_per_rep(block, item, legs);
    let reps = legs / per_rep;
    let turn_s = |turn: usize| {
        shape
            .turns_at
            .get(turn)
            .and_then(|&k| motion.samples.get(bout.window.start + k))
            .map(|s| s.time_s)
    };
    let ends_s = (1..=reps.ceil() as usize)
        .map(|rep| {
            let turn = (rep as f64 * per_rep).round() as usize;
            turn_s(turn.wrapping_sub(1)).unwrap_or(end_s).min(end_s)
        })
        .collect();
    Some(Count { reps, ends_s })
}

/// How many legs make a rep: as the plan says; where it gives no length, one or two, whichever suits the planned count.
fn legs_per_rep(block: &Block, item: &Item, legs: f64) -> f64 {
    if let Some(shuttle) = item.shuttle
        && let Some(planned) = shuttle.legs
    {
        return (planned / item.reps as f64).max(0.5);
    }
    if block.there_and_back {
        return 2.0;
    }
    let off = |per_rep: f64| (legs / (per_rep * item.reps as f64)).max(1e-3).ln().abs();
    if off(2.0) <= off(1.0) { 2.0 } else { 1.0 }
}

fn typical(legs_m: &[f64]) -> f64 {
    super::learn::median(legs_m).max(0.5)
}
