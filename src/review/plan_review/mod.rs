//! The plan's blocks, sets and reps with what became of each: every planned rep appears, whatever was found.
//!
//! The matching is laid on a `desk`, whether it `fits` is asked, and each `set` is written down: a `rep` of its own, reps that
//! `run_on`, one that is `absent`, may be work that is `spare`, or had `no_time`, all with what the recording has `hidden`, intermittent work with the `play` elsewhere, runs
//! with what was `trot`ted, reps with the `series` that two of them may be part of; the `rests` come last.

mod absent;
mod desk;
mod fits;
mod hidden;
mod no_time;
mod on_line;
mod play;
mod rep;
mod rests;
mod run_on;
mod series;
mod set;
mod spare;
mod trot;
mod ways;

use crate::bouts::Bout;
use crate::note::Note;
use crate::plan::Plan;
use crate::review::chain::Fate;
use crate::review::cost;
use crate::review::doubt::Doubts;
use crate::review::matching::{self, Matching};
use crate::review::plan_review::desk::Desk;
use crate::review::taken::Taken;
use crate::review::unplanned::Left;
use crate::review::{
    BlockReview, Counts, Evidence, Fits, PlanReview, Tolerances, TopSpeedSource, Verdict, unplanned,
};

/// Holds a plan against the evidence.
pub(super) fn review(
    evidence: &Evidence<'_>,
    plan: &Plan,
    tolerances: &Tolerances,
    notes: &mut Vec<Note>,
) -> PlanReview {
    let motion = evidence.motion;
    let span_s = match (motion.samples.first(), motion.samples.last()) {
        (Some(first), Some(last)) => (first.time_s, last.time_s),
        _ => (0.0, 0.0),
    };
    let best_m_s = evidence.motion.top_speed();
    let top_speed = super::top_speed(plan.header.top_speed_m_s, tolerances, best_m_s);
    let quality = cost::quality(motion);
    let known = top_speed
        .filter(|t| t.source != TopSpeedSource::Session)
        .map(|t| t.speed_m_s.value);
    let mut matching = matching::matching(
        plan,
        motion,
        evidence.bouts,
        quality,
        span_s,
        known,
        tolerances,
    );
    on_line::grant_by_habit(&mut matching, &evidence.bouts.candidates);
    let around = around(&matching, &evidence.bouts.candidates);
    let fits = fits::fits(&matching);
    let taken = Taken::of(&matching, &evidence.bouts.candidates);
    let left = Left::of(evidence, &matching, &taken);
    let doubts = Doubts::of(plan, &matching, evidence.bouts, &around, &left, span_s.1);
    let without_time = no_time::without_time(
        &matching,
        &evidence.bouts.candidates,
        span_s.1,
        tolerances.accuse,
        &quality,
    );
    let desk = Desk {
        evidence,
        tolerances,
        quality,
        top_speed,
        span_s,
        index: matching
            .items
            .iter()
            .enumerate()
            .map(|(k, item)| ((item.block, item.set, item.rep), k))
            .collect(),
        matching,
        around,
        fits,
        doubts,
        left,
        without_time,
    };
    let mut blocks: Vec<BlockReview> = plan
        .blocks
        .iter()
        .enumerate()
        .map(|(index, block)| desk.block(index, block))
        .collect();
    desk.rests_after(plan, &mut blocks);
    let counts = counts(&blocks);
    if let Some(order) = &desk.matching.reordered {
        notes.push(Note::OtherOrder {
            blocks: order.iter().map(|b| b + 1).collect(),
        });
    }
    let fits = if fits == Fits::Yes {
        fits::fits_by(&counts)
    } else {
        fits
    };
    if let Some(doubt) = fits.doubt() {
        notes.insert(0, doubt);
    }
    if counts.unresolved > 0 && fits != Fits::No {
        notes.push(Note::Unresolved {
            reps: counts.unresolved,
            planned: counts.planned,
        });
    }
    PlanReview {
        unplanned: unplanned::list(evidence, &desk.matching, &taken, &desk.left),
        fits,
        blocks,
        counts,
        top_speed,
    }
}

/// For each item when the nearest work before it ended and when the nearest after it begins, s, in the order of the items.
fn around(matching: &Matching, candidates: &[Bout]) -> Vec<(Option<f64>, Option<f64>)> {
    let span = |k: usize| match matching.fates[k] {
        Fate::Bout(c) => {
            let bout = candidates.get(c)?;
            Some((bout.start_s, cost::end_s(&matching.items[k], bout)))
        }
        Fate::Stretch(start_s, end_s, _) => Some((start_s, end_s)),
        Fate::Missing | Fate::Unrecorded | Fate::Hidden => None,
    };
    let mut around = vec![(None, None); matching.items.len()];
    let mut before = None;
    for (k, sides) in around.iter_mut().enumerate() {
        sides.0 = before;
        before = span(k).map(|s| s.1).or(before);
    }
    let mut after = None;
    for (k, sides) in around.iter_mut().enumerate().rev() {
        sides.1 = after;
        after = span(k).map(|s| s.0).or(after);
    }
    around
}

fn counts(blocks: &[BlockReview]) -> Counts {
    let mut counts = Counts::default();
    for rep in blocks.iter().flat_map(|b| &b.sets).flat_map(|s| &s.reps) {
        counts.planned += 1;
        *match rep.verdict {
            Verdict::Done => &mut counts.done,
            Verdict::Short => &mut counts.short,
            Verdict::Slow => &mut counts.slow,
            Verdict::Missed => &mut counts.missed,
            Verdict::Unresolved => &mut counts.unresolved,
        } += 1;
    }
    counts
}
