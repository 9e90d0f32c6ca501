//! Counting reps inside a bout: by its turning points, or by its time.

use crate::bouts::Bout;
use crate::motion::Motion;
use crate::plan::{Block, Work};
use crate::review::items::Item;

/// Fewest fixes a leg for its turns to be trusted without looking further: two fixes make a line, three a turn.
const FIXES_A_LEG: f64 = 3.0;
/// A leg counts in full from this share of its length on: the last is braked to a stand.
const FULL_LEG: f64 = 0.6;

/// Turns may be hidden once this much of a leg's time was not recorded.
const HIDDEN_LEGS: f64 = 0.8;

/// The reps counted inside a bout.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Count {
    /// How many reps were run, with a fraction for one that was broken off.
    pub reps: f64,
    /// Whether the recording carries the count.
    pub sure: bool,
    /// End of each rep, seconds from the session's start.
    pub ends_s: Vec<f64>,
}

/// Counts the reps of a set that runs on.
pub(super) fn count(motion: &Motion, block: &Block, item: &Item, bout: &Bout, end_s: f64) -> Count {
    let run_s = (end_s - bout.start_s).max(0.1);
    if let Some(each_s) = rep_s(block) {
        // Timed reps without rest leave no mark between them: the clock counts.
        let reps = run_s / each_s;
        return Count {
            reps,
            sure: true,
            ends_s: (1..=reps.ceil() as usize)
                .map(|k| (bout.start_s + k as f64 * each_s).min(end_s))
                .collect(),
        };
    }
    by_turns(motion, block, item, bout, end_s)
}

/// Time of one rep, where the plan gives it.
fn rep_s(block: &Block) -> Option<f64> {
    match block.dose {
        crate::plan::Dose::Reps {
            work: Work::Duration(s),
            ..
        } => Some(s),
        _ => None,
    }
}

fn by_turns(motion: &Motion, block: &Block, item: &Item, bout: &Bout, end_s: f64) -> Count {
    let planned = item.reps as f64;
    let Some(shape) = &bout.shape else {
        return Count {
            reps: planned,
            sure: false,
            ends_s: Vec::new(),
        };
    };
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
    let fixes_a_leg = (end_s - bout.start_s) * motion.rate_hz / legs.max(1.0);
    // Turns are clear when each leg came out as long as the way is.
    let clear = legs_m
        .iter()
        .take(legs_m.len().saturating_sub(1))
        .all(|l| (0.55..1.6).contains(&(l / leg_m)));
    let hidden_s = bout.bridged * bout.stop_run_s();
    let leg_s = (end_s - bout.start_s) / legs.max(1.0);
    let sure = !motion.irregular
        && (fixes_a_leg >= FIXES_A_LEG || clear)
        && hidden_s < HIDDEN_LEGS * leg_s;
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
    Count { reps, sure, ends_s }
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
