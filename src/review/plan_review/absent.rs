//! A rep paired with nothing: missed, or left open where something else may explain it.
//!
//! In the example of [`crate::review`] nothing does: no gap between 70.8 and 144.1 s, no other work there, and it is missing with 0.94.

use crate::bouts::Bout;
use crate::estimation::quantile::midpoint;
use crate::plan::{Block, Rest};
use crate::review::doubt::{SPARE, may_hold};
use crate::review::items::{Item, Kind};
use crate::review::matching::Matching;
use crate::review::plan_review::desk::Desk;
use crate::review::{Reason, RepReview, Verdict, cost};

/// An account that taught what is usual in a session looks right by it: unless a rep was so likely left out before, nobody says so.
/// Of those below, half had been done, on simulated sessions.
const LEAST_AT_FIRST: f64 = 0.8;
/// Where half of a set was found or more, the odds against a rep of it need be only so good, as a share of what they must be elsewhere.
/// Of those let in by it seven of eight had not been done.
const IN_SET: f64 = 4.0 / 9.0;
/// Work that goes on for longer than this is hardly overlooked, s: by receivers that write a fix a second and more, and by those that write
/// fewer or lose some. Of reps of such sets with even odds or better 98 of 100 had not been done.
const OVERLOOKED_S: f64 = 5.0;
const OVERLOOKED_PATCHY_S: f64 = 12.0;
/// A bout at this cost or less would do for a rep.
const WOULD_FIT: f64 = -2.0;
/// What stands under another block less surely than this may be none of it.
const SURELY_ANOTHER: f64 = 0.75;
/// What is found less surely than this is hardly shown.
const HARDLY_SHOWN: f64 = 0.8;
/// A recording ends in work that stops so shortly before its end, s.
const AT_END_S: f64 = 3.0;
/// So much of the peak that is expected does for that.
const AT_END_SHARE: f64 = 0.5;
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
            let least = self.least_missing(item);
            odds.missing >= least && odds.at_first >= LEAST_AT_FIRST.min(least)
        };
        let (before, after) = self.around[item];
        let from_s = before.unwrap_or(self.span_s.0);
        let to_s = after.unwrap_or(self.span_s.1);
        let between = if self_paced {
            self.around_set(item)
        } else {
            (before, after)
        };
        let hidden = self.hides(item, between);
        let decides = !sure || hidden || self.quality.hides_way(&self.matching.items[item]);
        let no_time = self.without_time[item].filter(|_| decides);
        if hidden && no_time.is_none() {
            out.leave_open(Reason::Gap);
        } else if !sure && no_time.is_none() {
            out.leave_open(if odds.not_in_full() >= self.tolerances.accuse {
                Reason::NotInFull
            } else {
                Reason::DoneOpen
            });
        } else if self.would_fit(item, (from_s, to_s))
            || self.is_spare_in_set(item)
            || self.is_spare_in_block(item)
            || self.worked_between(item)
            || self.play_elsewhere(item, self.matching.items[item].work.value)
        {
            out.leave_open(Reason::OtherTime);
        } else if self.may_be_another_block(item) {
            out.leave_open(Reason::WhichOpen);
        } else if self.hardly_shown(item) || self.goes_on_at_end(item) || self.trotted(item) {
            out.leave_open(Reason::DoneOpen);
        } else if let Some(doubt) = (self.doubts)
            .about(&self.matching.items[item], &self.quality)
            .filter(|doubt| no_time.is_none() || *doubt != Reason::ShortWay)
        {
            out.leave_open(doubt);
        } else {
            out.verdict = Verdict::Missed;
            let why = match (before, after) {
                (Some(_), None) => Reason::NotToTheEnd,
                (None, Some(_)) => Reason::BeginsLater,
                _ => Reason::NotThere,
            };
            out.why = Some(why);
            out.probability = no_time.map(|no_time| no_time.max(odds.missing));
        }
    }

    /// Whether what was found of a block is hardly told from standing about by a receiver of few fixes: then more of it may not be told at all.
    fn hardly_shown(&self, item: usize) -> bool {
        let own = &self.matching.items[item];
        let sure = (self.block_of(item))
            .filter(|&k| self.matching.fates[k].is_found())
            .map(|k| 1.0 - self.matching.odds[k].missing)
            .collect();
        own.reps == 1
            && self.quality.loses_turns()
            && midpoint(sure).is_some_and(|sure| sure < HARDLY_SHOWN)
    }

    /// Whether half as many bouts as the block of an item has reps, none of which was found, stand under other blocks, not for sure, and
    /// would do for it: one of two alike blocks may be read as the other.
    fn may_be_another_block(&self, item: usize) -> bool {
        let own = &self.matching.items[item];
        let all: Vec<usize> = self.block_of(item).collect();
        let Matching {
            items, fates, odds, ..
        } = &self.matching;
        if own.kind != Kind::Bout || all.iter().any(|&k| fates[k].is_found()) {
            return false;
        }
        let others = (0..items.len())
            .filter(|&k| items[k].block != own.block && odds[k].done < SURELY_ANOTHER)
            .filter_map(|k| self.bout(k))
            .filter(|b| self.would_do(item, b));
        others.count() as f64 >= SPARE * all.len() as f64
    }

    /// Whether nothing of the plan comes after an item's place, and the recording ends in work that nothing explains: its beginning, perhaps.
    fn goes_on_at_end(&self, item: usize) -> bool {
        let (from_s, None) = self.around[item] else {
            return false;
        };
        let first = (0..item).rev().find(|&k| self.matching.fates[k].is_found());
        let of = |k: usize| (self.matching.items[k].block, self.matching.items[k].set);
        let is_next = first.is_none_or(|k| {
            (k + 1..item).all(|k| of(k) == of(item) || self.matching.items[k].kind == Kind::Extra)
        });
        is_next
            && (self.left.bouts.last()).is_some_and(|b| {
                b.peak_m_s >= AT_END_SHARE * self.matching.items[item].peak.value
                    && b.start_s >= from_s.unwrap_or(self.span_s.0)
                    && b.stop_s >= self.span_s.1 - AT_END_S
            })
    }

    /// From which probability on an item is said to be missing.
    fn least_missing(&self, item: usize) -> f64 {
        let found = |&k: &usize| self.matching.fates[k].is_found();
        least_missing(
            self.tolerances.accuse,
            (
                self.set_of(item).filter(found).count(),
                self.set_of(item).count(),
            ),
            self.matching.items[item].work.value,
            self.evidence.motion.doubts.loses_fixes || self.quality.hides_s > 0.0,
        )
    }

    /// The items of the set of one, the planned ones.
    pub(crate) fn set_of(&self, item: usize) -> impl Iterator<Item = usize> + Clone {
        let items = &self.matching.items;
        let of = (items[item].block, items[item].set);
        (0..items.len())
            .filter(move |&k| (items[k].block, items[k].set) == of)
            .filter(|&k| items[k].kind != Kind::Extra)
    }

    /// The items of the block of one, the planned ones.
    pub(crate) fn block_of(&self, item: usize) -> impl Iterator<Item = usize> {
        let items = &self.matching.items;
        let block = items[item].block;
        (0..items.len()).filter(move |&k| items[k].block == block && items[k].kind != Kind::Extra)
    }

    /// Whether nothing was recorded for so long between two times that an item's work may lie there. Where none of its block was found,
    /// half of the block must have room there: hardly anyone does one rep of many, and that while nothing is recorded.
    ///
    /// Before the first work and after the last it takes room for half of the set, too: much else is not recorded there.
    fn hides(&self, item: usize, (before, after): (Option<f64>, Option<f64>)) -> bool {
        let (from_s, to_s) = (
            before.unwrap_or(self.span_s.0),
            after.unwrap_or(self.span_s.1),
        );
        let Item {
            work, rest_after, ..
        } = &self.matching.items[item];
        let (from_s, to_s) = (from_s - 1.0, to_s + 1.0);
        let gaps = self.gaps((from_s, to_s)).iter();
        let left_out = self.evidence.track.left_out.iter();
        let unseen_s = (gaps.map(|g| (g.start_s, g.end_s)))
            .chain(left_out.map(|l| (l.start_s, l.end_s)))
            .filter(|(start_s, end_s)| from_s <= *start_s && *end_s <= to_s)
            .chain(self.bridged_s((from_s, to_s)))
            .map(|(start_s, end_s)| end_s - start_s);
        let room = room(unseen_s, work.value, rest_after.value);
        let open = before.is_none() || after.is_none();
        let left_out = |k: &usize| self.matching.fates[*k].is_left_out();
        let of_set = if open {
            self.set_of(item).filter(left_out).count()
        } else {
            0
        };
        let least = self.absent_with(item).max(of_set);
        room >= 1.0 && room >= ROOM_OF_BLOCK * least as f64
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
        let of = (items[item].block, items[item].set);
        self.around_all(|other| (other.block, other.set) == of)
    }

    /// When the work found before the block of an item ended, and when that found after it begins, but for a rep more than planned.
    pub(crate) fn around_block(&self, item: usize) -> (Option<f64>, Option<f64>) {
        let block = self.matching.items[item].block;
        self.around_all(|other| other.block == block && other.kind != Kind::Extra)
    }

    fn around_all(&self, of: impl Fn(&Item) -> bool) -> (Option<f64>, Option<f64>) {
        let items = &self.matching.items;
        let (first, last) = (items.iter().position(&of), items.iter().rposition(&of));
        (
            first.and_then(|k| self.around[k].0),
            last.and_then(|k| self.around[k].1),
        )
    }

    /// Whether work that the plan does not explain, between what was found before and after an item, would do for it.
    fn would_fit(&self, item: usize, (from_s, to_s): (f64, f64)) -> bool {
        let candidates = &self.evidence.bouts.candidates;
        // They stand in order of their stop.
        let first = candidates.partition_point(|c| c.stop_s <= from_s);
        candidates[first..]
            .iter()
            .take_while(|c| c.stop_s <= to_s + 1.0)
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
        let list = &self.evidence.bouts.list;
        let first = list.partition_point(|b| b.start_s < from_s);
        (list[first..].iter())
            .take_while(|b| b.start_s < to_s)
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

/// From which probability on a rep is said to be missing of whose set so many of so many were found, when others are from `accuse` on;
/// `patchy` receivers have few fixes or lose some.
///
/// That half of its set was found says that the set was read rightly, and then the odds hold as they stand: what takes most of a set with
/// it may be misread as a whole. Long work cannot hide between two steps to the ball, so that even odds will do for it.
fn least_missing(accuse: f64, (found, all): (usize, usize), work_s: f64, patchy: bool) -> f64 {
    if 2 * found < all {
        return accuse;
    }
    let (overlooked_s, in_set) = if patchy {
        (OVERLOOKED_PATCHY_S, 1.0)
    } else {
        (OVERLOOKED_S, IN_SET)
    };
    let long = (overlooked_s / work_s).powi(2);
    let odds = accuse / (1.0 - accuse);
    let needed = (odds * long.min(in_set)).max(1.0);
    accuse.min(needed / (1.0 + needed))
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
    use super::{least_missing, room};

    /// A rep has room where half of it was not recorded, others where they and the rests between them were not.
    #[test]
    fn reps_have_room_in_what_was_not_recorded() {
        let room = |unseen_s: &[f64]| room(unseen_s.iter().copied(), 20.0, 15.0);
        assert!(room(&[9.0, 3.0]) < 1.0);
        assert!((room(&[10.0]) - 1.0).abs() < 1e-9);
        assert!((room(&[54.0]) - 1.0).abs() < 1e-9 && (room(&[55.0]) - 2.0).abs() < 1e-9);
        assert!((room(&[12.0, 90.0, 9.0]) - 4.0).abs() < 1e-9);
    }

    /// Odds of nine to one: as 0.8 in a set found by half, as 0.5 where the work is three times what is overlooked, and as ever where
    /// less of the set was found.
    #[test]
    fn less_is_needed_against_one_rep_of_a_set_that_was_done() {
        let least = |found, work_s| least_missing(0.9, (found, 4), work_s, false);
        let is = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(is(least(1, 60.0), 0.9) && is(least(2, 4.0), 0.8) && is(least(2, 15.0), 0.5));
        assert!(is(least(3, 10.0), 2.25 / 3.25));
        assert!(is(least_missing(0.9, (3, 4), 4.0, true), 0.9));
        assert!(is(least_missing(0.9, (3, 4), 24.0, true), 2.25 / 3.25));
        // Who accuses at even odds or less is asked for no more.
        assert!(is(least_missing(0.4, (3, 4), 24.0, false), 0.4));
    }
}
