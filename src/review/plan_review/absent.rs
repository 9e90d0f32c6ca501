//! A rep paired with nothing: missed, or left open where something else may explain it.
//!
//! In the example of [`crate::review`] nothing does: no gap between 70.8 and 144.1 s, no other work there, and it is missing with 0.94.

use crate::plan::{Block, Rest};
use crate::review::items::Item;
use crate::review::plan_review::desk::Desk;
use crate::review::{Reason, RepReview, Verdict, cost};

/// An account that taught what is usual in a session looks right by it: unless a rep was so likely left out before, nobody says so.
/// Of those below, half had been done, on simulated sessions.
const LEAST_AT_FIRST: f64 = 0.8;
/// A bout at this cost or less would do for a rep.
const WOULD_FIT: f64 = -2.0;

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

    /// Whether nothing was recorded for so long between two times that an item's work may lie there.
    fn hides(&self, item: usize, (from_s, to_s): (f64, f64)) -> bool {
        let work_s = self.matching.items[item].work.value;
        let (from_s, to_s) = (from_s - 1.0, to_s + 1.0);
        self.gaps((from_s, to_s))
            .iter()
            .any(|g| from_s <= g.start_s && g.end_s <= to_s && g.end_s - g.start_s >= 0.5 * work_s)
            || (self.evidence.track.left_out.iter()).any(|l| from_s <= l.start_s && l.end_s <= to_s)
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
