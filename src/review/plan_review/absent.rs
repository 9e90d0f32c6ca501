//! A rep paired with nothing: missed, or left open where something else may explain it.
//!
//! In the example of [`crate::review`] nothing does: no gap between 70.8 and 144.1 s, no other work there, and it is missing with 0.94.

use crate::plan::{Block, Rest};
use crate::review::items::{Item, Kind};
use crate::review::matching::Matching;
use crate::review::plan_review::desk::Desk;
use crate::review::{Reason, RepReview, Verdict, cost};

/// An account that taught what is usual in a session looks right by it: unless a rep was so likely left out before, nobody says so.
/// Of those below, half had been done, on simulated sessions.
const LEAST_AT_FIRST: f64 = 0.8;
/// A bout at this cost or less would do for a rep.
const WOULD_FIT: f64 = -2.0;
/// What was not recorded hides work of which it is this share.
const UNSEEN: f64 = 0.5;
/// Where nothing of a block was found, this share of its reps must have room in what was not recorded.
const ROOM_OF_BLOCK: f64 = 0.5;

impl Desk<'_> {
    /// A rep paired with nothing: missed, or hidden where nothing was recorded.
    pub(crate) fn absent(&self, item: usize, block: &Block, out: &mut RepReview) {
        let odds = self.matching.odds[item];
        // Which of a set was left out is told by its rests; where they are free the number is all there is to tell.
        let self_paced = block.rest == Rest::WalkBack;
        let sure = if self_paced {
            odds.missing.max(odds.count) >= self.tolerances.accuse
        } else {
            odds.missing >= self.tolerances.accuse && odds.at_first >= LEAST_AT_FIRST
        };
        let (before, after) = self.around[item];
        let from_s = before.unwrap_or(self.span_s.0);
        let to_s = after.unwrap_or(self.span_s.1);
        let between = if self_paced {
            self.around_set(item)
        } else {
            (before, after)
        };
        let hidden =
            matches!(between, (Some(from_s), Some(to_s)) if self.hides(item, (from_s, to_s)));
        if hidden {
            out.leave_open(Reason::Gap);
        } else if !sure {
            out.leave_open(if odds.not_in_full() >= self.tolerances.accuse {
                Reason::NotInFull
            } else {
                Reason::DoneOpen
            });
        } else if self.would_fit(item, (from_s, to_s)) {
            out.leave_open(Reason::OtherTime);
        } else if let Some(doubt) = self.doubts.about(&self.matching.items[item], &self.quality) {
            out.leave_open(doubt);
        } else {
            out.verdict = Verdict::Missed;
            let why = match (before, after) {
                (Some(_), None) => Reason::NotToTheEnd,
                (None, Some(_)) => Reason::BeginsLater,
                _ => Reason::NotThere,
            };
            out.why = Some(why);
        }
    }

    /// Whether nothing was recorded for so long between two times that an item's work may lie there. Where none of its block was found,
    /// half of the block must have room there: hardly anyone does one rep of many, and that while nothing is recorded.
    fn hides(&self, item: usize, (from_s, to_s): (f64, f64)) -> bool {
        let Item {
            work, rest_after, ..
        } = &self.matching.items[item];
        let (from_s, to_s) = (from_s - 1.0, to_s + 1.0);
        let gaps = self.gaps((from_s, to_s)).iter();
        let left_out = self.evidence.track.left_out.iter();
        let unseen_s = (gaps.map(|g| (g.start_s, g.end_s)))
            .chain(left_out.map(|l| (l.start_s, l.end_s)))
            .filter(|(start_s, end_s)| from_s <= *start_s && *end_s <= to_s)
            .map(|(start_s, end_s)| end_s - start_s);
        let room = room(unseen_s, work.value, rest_after.value);
        room >= 1.0 && room >= ROOM_OF_BLOCK * self.absent_with(item) as f64
    }

    /// How many items the block of one has, if none of them was found; else 0.
    fn absent_with(&self, item: usize) -> usize {
        let Matching { items, fates, .. } = &self.matching;
        let block = (items.iter().zip(fates))
            .filter(|(i, _)| i.block == items[item].block && i.kind != Kind::Extra);
        if block.clone().any(|(_, fate)| !fate.is_left_out()) {
            return 0;
        }
        block.count()
    }

    /// When the work found before the set of an item ended, and when that found after it begins.
    fn around_set(&self, item: usize) -> (Option<f64>, Option<f64>) {
        let items = &self.matching.items;
        let of_set =
            |other: &Item| (other.block, other.set) == (items[item].block, items[item].set);
        let (first, last) = (
            items.iter().position(of_set),
            items.iter().rposition(of_set),
        );
        (
            first.and_then(|k| self.around[k].0),
            last.and_then(|k| self.around[k].1),
        )
    }

    /// Whether work that the plan does not explain, between what was found before and after an item, would do for it.
    fn would_fit(&self, item: usize, (from_s, to_s): (f64, f64)) -> bool {
        let item = &self.matching.items[item];
        let candidates = &self.evidence.bouts.candidates;
        // They stand in order of their stop.
        let first = candidates.partition_point(|c| c.stop_s <= from_s);
        candidates[first..]
            .iter()
            .take_while(|c| c.stop_s <= to_s + 1.0)
            .filter(|c| c.start_s >= from_s - 1.0)
            .any(|c| {
                let leapt = self.evidence.motion.leaps_within(c.start_s, c.stop_s);
                cost::resembles(item, c, leapt)
                    || cost::pair(item, c, &self.quality).is_some_and(|cost| cost < WOULD_FIT)
            })
    }
}

/// How many reps of a time, s, have room in stretches that were not recorded, s, with rests between them, s.
fn room(unseen_s: impl Iterator<Item = f64>, work_s: f64, rest_s: f64) -> f64 {
    unseen_s
        .filter(|unseen_s| *unseen_s >= UNSEEN * work_s)
        .map(|unseen_s| ((unseen_s + rest_s) / (work_s + rest_s)).floor().max(1.0))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::room;

    /// A rep has room where half of it was not recorded, others where they and the rests between them were not.
    #[test]
    fn reps_have_room_in_what_was_not_recorded() {
        let room = |unseen_s: &[f64]| room(unseen_s.iter().copied(), 20.0, 15.0);
        assert!(room(&[9.0, 3.0]) < 1.0);
        assert!((room(&[10.0]) - 1.0).abs() < 1e-9);
        assert!((room(&[54.0]) - 1.0).abs() < 1e-9 && (room(&[55.0]) - 2.0).abs() < 1e-9);
        assert!((room(&[12.0, 90.0, 9.0]) - 4.0).abs() < 1e-9);
    }
}
