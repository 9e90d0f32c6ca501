//! Work that would do for a rep that was paired with nothing, and lies elsewhere: explained by nothing, by a rep more than planned, or by
//! another block, not for sure.

use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::cost;
use crate::review::doubt::{SPARE, may_hold};
use crate::review::items::Kind;
use crate::review::matching::Matching;
use crate::review::plan_review::desk::Desk;

/// A bout at this cost or less would do for a rep.
const WOULD_FIT: f64 = -2.0;
/// What stands under another block less surely than this may be none of it.
const SURELY_ANOTHER: f64 = 0.75;

impl Desk<'_> {
    /// Whether work that the plan does not explain may be an item: between what was found before and after it, s, or among the reps of its set
    /// or its block.
    pub(crate) fn is_spare(&self, item: usize, between_s: (f64, f64)) -> bool {
        self.would_fit(item, between_s)
            || self.is_spare_in_set(item)
            || self.is_spare_in_block(item)
    }

    /// Whether half as many bouts as the block of an item has reps, none of which was found, would do for it and lie under calm work, which is
    /// found wherever it has room: turning work at a phone looks hardly more than a jog.
    pub(crate) fn may_be_under_calm_work(&self, item: usize) -> bool {
        let own = &self.matching.items[item];
        if own.category != Category::Strength || !self.none_found(item) {
            return false;
        }
        let room_s = self.room_with_calm_work_s(item);
        let mut free_from_s = room_s.0;
        let one_after_another = self.evidence.bouts.stopping_within(room_s).filter(|c| {
            let fits = c.start_s >= free_from_s && self.would_do(item, c);
            free_from_s = if fits { c.stop_s } else { free_from_s };
            fits
        });
        one_after_another.count() as f64 >= SPARE * self.block_of(item).count() as f64
    }

    /// Whether half as many bouts as the block of an item has reps, none of which was found, stand under other blocks, not for sure, and
    /// would do for it: one of two alike blocks may be read as the other.
    pub(crate) fn may_be_another_block(&self, item: usize) -> bool {
        let Matching { items, odds, .. } = &self.matching;
        let own = &items[item];
        if own.kind != Kind::Bout || !self.none_found(item) {
            return false;
        }
        let others = (0..items.len())
            .filter(|&k| items[k].block != own.block && odds[k].done < SURELY_ANOTHER)
            .filter_map(|k| self.bout(k))
            .filter(|b| self.would_do(item, b));
        others.count() as f64 >= SPARE * self.block_of(item).count() as f64
    }

    /// Whether work that the plan does not explain, between what was found before and after an item, would do for it.
    fn would_fit(&self, item: usize, (from_s, to_s): (f64, f64)) -> bool {
        (self.evidence.bouts.stopping_within((from_s, to_s + 1.0)))
            .filter(|c| c.start_s >= from_s - 1.0)
            .any(|c| self.would_do(item, c))
    }

    /// Whether there lies as much work among the reps of the set of an item, which the plan does not explain and which would do for it, as
    /// is missing of the set: whoever rested as he liked may have left out nothing.
    fn is_spare_in_set(&self, item: usize) -> bool {
        let of_set: Vec<usize> = self.set_of(item).collect();
        let (missing, taken) = self.told_of(&of_set);
        let Some((&(from_s, _), &(_, to_s))) = taken.first().zip(taken.last()) else {
            return false;
        };
        missing > 0 && self.spare(item, &taken, (from_s, to_s)) >= missing
    }

    /// Whether half as much work as is missing of the block of an item lies about between the blocks before and after it, which the plan
    /// does not explain and which would do for it: who rests otherwise between sets than planned has his sets read one rep off.
    fn is_spare_in_block(&self, item: usize) -> bool {
        let (missing, taken) = self.told_of(&self.block_of(item).collect::<Vec<usize>>());
        let Some((&(from_s, _), &(_, to_s))) = taken.first().zip(taken.last()) else {
            return false;
        };
        let (before, after) = self.around_block(item);
        let room = (before.unwrap_or(from_s), after.unwrap_or(to_s));
        let spare = self.spare(item, &taken, room) + self.extras_that_may_be(item);
        missing > 0 && spare as f64 >= SPARE * missing as f64
    }

    /// How many reps more than planned of the block before an item's may be reps of it, where the receiver hardly tells them apart.
    fn extras_that_may_be(&self, item: usize) -> usize {
        let Matching { items, fates, .. } = &self.matching;
        let own = &items[item];
        let first = items.iter().position(|i| i.block == own.block);
        let Some(first) = first.filter(|_| self.quality.loses_turns()) else {
            return 0;
        };
        (0..first)
            .rev()
            .take_while(|&k| items[k].kind == Kind::Extra || !fates[k].is_found())
            .filter_map(|k| self.bout(k))
            .filter(|b| may_hold(own, b))
            .count()
    }

    /// How many of some items are left out, and the times of those that were found, s.
    fn told_of(&self, items: &[usize]) -> (usize, Vec<(f64, f64)>) {
        let fates = || items.iter().map(|&k| &self.matching.fates[k]);
        let candidates = &self.evidence.bouts.candidates;
        (
            fates().filter(|fate| fate.is_left_out()).count(),
            fates().filter_map(|fate| fate.span_s(candidates)).collect(),
        )
    }

    /// How many bouts that begin between two times are none of those taken, s, and would do for an item.
    fn spare(&self, item: usize, taken: &[(f64, f64)], (from_s, to_s): (f64, f64)) -> usize {
        (self.evidence.bouts.starting_within((from_s, to_s)))
            .filter(|b| {
                (taken.iter()).all(|(from_s, to_s)| b.stop_s <= *from_s || *to_s <= b.start_s)
            })
            .filter(|b| self.would_do(item, b) || may_hold(&self.matching.items[item], b))
            .count()
    }

    /// Whether a bout is so like an item that nobody should say that it was left out while the plan does not explain the bout.
    fn would_do(&self, item: usize, bout: &Bout) -> bool {
        let item = &self.matching.items[item];
        let leapt = self.evidence.motion.leaps_within(bout.start_s, bout.stop_s);
        cost::resembles(item, bout, leapt)
            || cost::pair(item, bout, &self.quality).is_some_and(|cost| cost < WOULD_FIT)
    }
}
