//! A rep paired with nothing: missed, or left open where something else may explain it.
//!
//! In the example of [`crate::review`] nothing does: no gap between 70.8 and 144.1 s, no other work there, and it is missing with 0.94.

use crate::estimation::quantile::midpoint;
use crate::plan::{Block, Rest};
use crate::review::items::Kind;
use crate::review::plan_review::desk::Desk;
use crate::review::{Reason, RepReview, Verdict};

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
/// What is found less surely than this is hardly shown.
const HARDLY_SHOWN: f64 = 0.8;
/// A recording ends in work that stops so shortly before its end, s.
const AT_END_S: f64 = 3.0;
/// So much of the peak that is expected does for that.
const AT_END_SHARE: f64 = 0.5;
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
        } else if self.is_spare(item, (from_s, to_s))
            || self.worked_between(item)
            || self.play_elsewhere(item, self.matching.items[item].work.value)
        {
            out.leave_open(Reason::OtherTime);
        } else if self.may_be_another_block(item) {
            out.leave_open(Reason::WhichOpen);
        } else if self.hardly_shown(item)
            || self.goes_on_at_end(item)
            || self.trotted(item)
            || self.shuttled(item)
            || self.may_be_under_calm_work(item)
        {
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

    /// Whether nothing of the plan comes after an item's place, and the recording ends in work that nothing explains: its beginning, perhaps.
    fn goes_on_at_end(&self, item: usize) -> bool {
        let (from_s, None) = self.around[item] else {
            return false;
        };
        let of = |k: usize| (self.matching.items[k].block, self.matching.items[k].set);
        let is_next = self.found_before(item).is_none_or(|k| {
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

#[cfg(test)]
mod tests {
    use super::least_missing;

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
