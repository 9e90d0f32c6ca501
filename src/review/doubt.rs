//! What speaks for a rep of which nothing was found: something else explains why, so that nobody may say it was left out.
//!
//! By block, since it is the same for all of its reps: an alike block was done, which may have been this one; much work of its category
//! lies about that nothing of the plan explains, so that all of it may be read one block off; the time that it takes passed; sets that
//! run on lie about in pieces; the receiver hardly shows work on so short a way, and did not show most of it.

use crate::bouts::{Bout, Bouts};
use crate::plan::{Category, Plan};
use crate::review::Reason;
use crate::review::chain::Fate;
use crate::review::cost::{self, Quality};
use crate::review::items::{Item, Kind};
use crate::review::matching::Matching;
use crate::review::passed::{is_moved, time_passed};
use crate::review::taken::Taken;
use crate::review::unplanned::Left;

/// So much of the time of a set that runs on, found in pieces, would do for it: where the receiver may lose turns, and where it does
/// not.
const IN_PIECES: f64 = 0.5;
const WHOLE: f64 = 0.85;
/// Slower bouts than this are no work worth a line: jogging to a ball, m/s.
pub(super) const WORK_M_S: f64 = 4.0;
/// Pieces are at least so fast, or this share of the peak that is expected.
const PIECE_SHARE: f64 = 0.6;
/// Of a block that is gone nobody says that it was left out while so much work of its category, as a share of its reps, is explained by
/// nothing: of 28 such blocks, of seven simulated sessions, seven were what stood under the name of the next one.
pub(super) const SPARE: f64 = 0.5;
/// A bout goes as far as a rep whose way, or time, differs by less than this, as a logarithm: distances are paced out.
const AS_FAR: f64 = 0.2;
/// A bout that holds a sprint reaches this share of the peak expected, and is so many times as long at most.
const SPRINT: f64 = 0.85;
const LONGEST: f64 = 2.5;
/// Who jogs what he should run still reaches this share of it.
const JOG: f64 = 0.45;

/// Less than one rep in so many is hardly anything of a block.
const HARDLY: usize = 4;

/// What speaks for the reps of a block.
#[derive(Clone, Debug, Default)]
struct Doubt {
    /// How many items it has, and how many of them were found.
    all: usize,
    found: usize,
    /// Hardly anything of it was found, and an alike block was done beside it.
    twin: bool,
    /// Work among its sets that the plan does not explain, s.
    pieces_s: f64,
    /// Bouts anywhere that the plan does not explain and that are like a rep of its category.
    spare: usize,
    /// It is gone, and its time passed where it should have been.
    passed: bool,
    /// Where a speed is asked for: the peaks of bouts anywhere that the plan does not explain and that go as far as a rep, m/s.
    spare_peaks_m_s: Vec<f64>,
}

impl Doubt {
    /// Whether hardly anything of it was found: a rep here and there may be other work.
    fn is_gone(&self) -> bool {
        HARDLY * self.found < self.all
    }

    /// Whether so many bouts are enough of its reps for it to be they.
    fn may_be(&self, bouts: usize) -> bool {
        bouts as f64 >= SPARE * self.all as f64
    }
}

/// What speaks for the reps of each block of a plan.
#[derive(Clone, Debug)]
pub(super) struct Doubts(Vec<Doubt>);

impl Doubts {
    /// Looks at all blocks. `around` has for each item when the work before it ended and when that after it begins, s; `left` what the
    /// plan does not explain; the recording ends at `until_s`.
    pub(crate) fn of(
        plan: &Plan,
        matching: &Matching,
        bouts: &Bouts,
        around: &[(Option<f64>, Option<f64>)],
        left: &Left<'_>,
        until_s: f64,
    ) -> Self {
        let items = &matching.items;
        let mut blocks = vec![Doubt::default(); plan.blocks.len()];
        for (item, fate) in items.iter().zip(&matching.fates) {
            if item.kind != Kind::Extra {
                blocks[item.block].all += 1;
                blocks[item.block].found += usize::from(fate.is_found());
            }
        }
        let mut first = 0;
        while let Some(item) = items.get(first) {
            let of_block = |other: &Item| other.block == item.block;
            let end = first + items[first..].iter().take_while(|i| of_block(i)).count();
            let block = &mut blocks[item.block];
            if item.reps > 1 && block.found < block.all {
                let (from_s, to_s) = (around[first].0, around[end - 1].1);
                let window_s = (from_s.unwrap_or(f64::MIN), to_s.unwrap_or(f64::MAX));
                let taken = matching.fates[first..end].iter().filter_map(|f| match f {
                    Fate::Bout(candidate) => bouts.candidates.get(*candidate),
                    _ => None,
                });
                block.pieces_s = free_s(bouts, window_s, taken, item);
            }
            first = end;
        }
        let mut doubts = Self(blocks);
        doubts.find_twins(plan);
        doubts.find_spares(plan, matching, bouts, left);
        let gone: Vec<bool> = doubts.0.iter().map(Doubt::is_gone).collect();
        let left_s: Vec<f64> = left.work().map(|b| b.start_s).collect();
        let passed = time_passed(matching, &bouts.candidates, &left_s, until_s, &gone);
        for (block, passed) in doubts.0.iter_mut().zip(passed) {
            block.passed = passed;
        }
        doubts
    }

    /// Of two alike blocks with hardly anything found between them and one of them gone, either may be the one that was done.
    fn find_twins(&mut self, plan: &Plan) {
        let count = self.0.len();
        let before = self.nearest_found(0..count);
        let after = self.nearest_found((0..count).rev());
        for block in 0..count {
            let twin = |other: &usize| {
                let done = &self.0[*other];
                2 * done.found > done.all && plan.blocks[*other].is_alike(&plan.blocks[block])
            };
            let beside = [before[block], after[block]];
            self.0[block].twin = self.0[block].is_gone() && beside.iter().flatten().any(twin);
        }
    }

    /// What lies about unexplained that is like the reps of each block that is gone, or that has a speed to reach.
    fn find_spares(&mut self, plan: &Plan, matching: &Matching, bouts: &Bouts, left: &Left<'_>) {
        let asks = |block: usize| plan.blocks[block].target.is_some();
        if !(0..self.0.len()).any(|block| self.0[block].is_gone() || asks(block)) {
            return;
        }
        // What was moved to where it fits explains none of a block that is gone.
        let free_beside = |block: usize| {
            matching.reordered.as_ref().map(|_| {
                let explains = |i: &Item| !is_moved(matching, i, block);
                Taken::by(matching, &bouts.candidates, explains).left_of(&bouts.list)
            })
        };
        // One of each block stands for all.
        let mut models: Vec<&Item> = Vec::new();
        for item in matching.items.iter().filter(|i| i.kind == Kind::Bout) {
            if models.last().is_none_or(|m| m.block != item.block) {
                models.push(item);
            }
        }
        for own in models.iter().filter(|own| own.reps == 1) {
            let block = &mut self.0[own.block];
            if block.is_gone() {
                let alike = models.iter().filter(|m| m.category == own.category);
                let is_like = |b: &&&Bout| alike.clone().any(|m| may_hold(m, b));
                let beside = free_beside(own.block);
                let free = beside.as_ref().unwrap_or(&left.bouts).iter();
                block.spare = free.chain(&left.calm_sprints).filter(is_like).count();
            } else if asks(own.block) {
                let far = left.bouts.iter().filter(|b| goes_as_far(own, b));
                block.spare_peaks_m_s = far.map(|b| b.peak_m_s).collect();
            }
        }
    }

    /// Whether half as many bouts as a block has reps went as far, faster than this, m/s, and are explained by nothing: what stands in their
    /// place may be other work.
    pub(crate) fn faster_elsewhere(&self, item: &Item, speed_m_s: f64) -> bool {
        self.0.get(item.block).is_some_and(|block| {
            let faster = block.spare_peaks_m_s.iter().filter(|p| **p > speed_m_s);
            block.may_be(faster.count())
        })
    }

    /// For each block the last in an order before it of which more than hardly anything was found.
    fn nearest_found(&self, order: impl Iterator<Item = usize>) -> Vec<Option<usize>> {
        let mut nearest = vec![None; self.0.len()];
        let mut last = None;
        for block in order {
            nearest[block] = last;
            if !self.0[block].is_gone() {
                last = Some(block);
            }
        }
        nearest
    }

    /// Why nobody can say that an item was left out; `None` where nothing speaks for it.
    pub(crate) fn about(&self, item: &Item, quality: &Quality) -> Option<Reason> {
        let block = self.0.get(item.block)?;
        let enough = if quality.loses_turns() {
            IN_PIECES
        } else {
            WHOLE
        };
        if block.twin {
            Some(Reason::AlikeDone)
        } else if block.may_be(block.spare)
            || item.reps > 1 && block.pieces_s >= enough * item.work.value
        {
            Some(Reason::OtherTime)
        } else if block.passed {
            Some(Reason::TimePassed)
        } else if quality.hides_way(item) && 2 * block.found < block.all {
            Some(Reason::ShortWay)
        } else {
            None
        }
    }
}

/// Whether a bout is like a rep, is a sprint that somebody walked into or jogged on out of where one is asked for, or goes as far as a run,
/// at whatever pace.
pub(super) fn may_hold(item: &Item, bout: &Bout) -> bool {
    let time_s = cost::end_s(item, bout) - bout.start_s;
    let is_sprint = item.category == Category::Speed
        && bout.peak_m_s >= SPRINT * item.peak.value
        && time_s > (-AS_FAR).exp() * item.work.value
        && time_s < LONGEST * item.work.value;
    let is_run = item.category == Category::Resistance
        && item.straight_m().is_some()
        && goes_as_far(item, bout)
        && bout.peak_m_s >= JOG * item.peak.value;
    cost::resembles(item, bout, false) || item.reps == 1 && (is_sprint || is_run)
}

/// Whether a bout goes as far as a rep, or as long where the plan gives a time.
fn goes_as_far(item: &Item, bout: &Bout) -> bool {
    let times = match item.straight_m() {
        Some(metres) => item.straight_way_m(bout) / metres,
        None => (cost::end_s(item, bout) - bout.start_s) / item.work.value,
    };
    times.max(0.01).ln().abs() < AS_FAR
}

/// How long work went on within a time, s, that is none of the bouts that are taken and fast enough for a piece of an item.
fn free_s<'b>(
    bouts: &Bouts,
    (from_s, to_s): (f64, f64),
    taken: impl Iterator<Item = &'b Bout>,
    item: &Item,
) -> f64 {
    let slowest_m_s = WORK_M_S.min(PIECE_SHARE * item.peak.value);
    // Both stand in order of their start.
    let mut taken = taken.peekable();
    let mut sum_s = 0.0;
    for bout in bouts.starting_within((from_s, to_s)) {
        while taken.next_if(|t| t.stop_s <= bout.start_s).is_some() {}
        let apart = taken.peek().is_none_or(|t| bout.stop_s <= t.start_s);
        if apart && bout.stop_s <= to_s && bout.peak_m_s >= slowest_m_s {
            sum_s += bout.stop_run_s();
        }
    }
    sum_s
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Motion, SpeedFrom};
    use crate::review::items;

    /// A sprint of 15 m.
    fn sprint(start_s: f64) -> Bout {
        Bout::run(start_s, (3.0, 15.0), (5.0, 22.0), 6.5)
    }

    /// Two blocks of four sprints of which the first is gone, with so many more behind the second: what speaks for the first, and whether
    /// the second was faster elsewhere than 6 m/s.
    fn told(more: u32) -> (Option<Reason>, bool) {
        let plan =
            crate::plan::parse("speed 4 x 15 m, rest 30 s\nspeed 4 x 15 m at 6 m/s, rest 60 s")
                .expect("a plan");
        let items = items::schedule(&plan, &[0, 1], None).items;
        let list: Vec<Bout> = (0..4 + more).map(|k| sprint(40.0 * f64::from(k))).collect();
        let mut found = 0..4;
        let fates = (items.iter())
            .map(|item| match item.kind {
                Kind::Bout if item.block == 1 => found.next().map_or(Fate::Missing, Fate::Bout),
                _ => Fate::Missing,
            })
            .collect();
        let matching = Matching::told(items.clone(), fates);
        let bouts = Bouts {
            candidates: list.clone(),
            list,
        };
        let quality = cost::quality(&Motion::of_run(Vec::new(), 10.0, SpeedFrom::Both));
        let around = vec![(None, None); items.len()];
        let taken = Taken::of(&matching, &bouts.candidates);
        let left = Left {
            bouts: taken.left_of(&bouts.list),
            ..Left::default()
        };
        let doubts = Doubts::of(&plan, &matching, &bouts, &around, &left, 400.0);
        let second = items.iter().find(|i| i.block == 1).expect("a block");
        assert!(!doubts.faster_elsewhere(second, 7.0));
        (
            doubts.about(&items[0], &quality),
            doubts.faster_elsewhere(second, 6.0),
        )
    }

    /// A block may stand under the name of the next where half as much work as it has is left over, and what was slow in a block may be
    /// none of it where half as much was fast enough.
    #[test]
    fn nothing_is_held_against_a_block_while_its_work_is_left_over() {
        assert_eq!(told(0), (None, false));
        assert_eq!(told(1), (None, false));
        assert_eq!(told(2), (Some(Reason::OtherTime), true));
    }
}
