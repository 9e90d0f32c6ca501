//! A rep that is a bout or a stretch of its own.

use crate::bouts::Bout;
use crate::measured::Measured;
use crate::plan::{Block, Category};
use crate::review::chain::Fate;
use crate::review::items::Kind;
use crate::review::matching::Matching;
use crate::review::plan_review::desk::{Desk, blank};
use crate::review::{Reason, RepReview, Verdict, cost, rest, verdict};

/// Where this share of what is missing of a stretch has room beside it, the rest may have been there.
const ROOM: f64 = 0.6;
/// A rep lies far before the next when it is so many times the rest of the plan, and so much longer, s.
const FAR: f64 = 3.0;
const FAR_S: f64 = 120.0;

impl Desk<'_> {
    /// A rep that is a bout of its own.
    pub(crate) fn rep(&self, rep: usize, item: Option<usize>, block: &Block) -> RepReview {
        let mut out = blank(rep, block);
        let Some(k) = item else {
            return out;
        };
        let odds = self.matching.odds[k];
        let item = &self.matching.items[k];
        let Some(bout) = self.bout(k) else {
            self.absent(k, block, &mut out);
            return out;
        };
        let end_s = cost::end_s(item, bout);
        self.fill(&mut out, bout.start_s, end_s, block);
        let (share, _) = cost::work_share(item, bout, end_s - bout.start_s, &self.quality);
        if odds.done >= verdict::GRANT {
            out.verdict = verdict::with_speed(Verdict::Done, out.reached);
            out.why = (out.verdict == Verdict::Slow).then_some(Reason::Slow);
            if out.verdict == Verdict::Slow
                && (out.peak_speed_m_s)
                    .is_some_and(|peak| self.doubts.faster_elsewhere(item, peak.high))
            {
                out.leave_open(Reason::OtherTime);
            }
        } else if odds.short >= self.tolerances.accuse {
            if self.may_be_full(k, bout) {
                out.leave_open(Reason::FullOpen);
            } else {
                out.verdict = Verdict::Short;
                out.why = Some(verdict::short_of(item, share, &self.quality));
            }
        } else if odds.not_in_full() >= self.tolerances.accuse {
            out.leave_open(Reason::NotInFull);
        } else if odds.short > odds.missing {
            out.leave_open(Reason::FullOpen);
        } else {
            out.leave_open(Reason::WhichOpen);
        }
        out
    }

    /// Whether a bout that looks cut short may have been run in full, for all that the recording shows.
    fn may_be_full(&self, k: usize, bout: &Bout) -> bool {
        self.at_gap((bout.start_s, bout.stop_s))
            || self.quality.hides_way(&self.matching.items[k])
            || 1.0 - self.full_after_all(k, bout) < self.tolerances.accuse
    }

    /// A continuous block, or a rep of intermittent work.
    pub(crate) fn stretch(&self, rep: usize, item: Option<usize>, block: &Block) -> RepReview {
        let mut out = blank(rep, block);
        let Some(k) = item else {
            return out;
        };
        let odds = self.matching.odds[k];
        let Some((start_s, end_s)) = self.place(k) else {
            self.absent(k, block, &mut out);
            return out;
        };
        self.fill(&mut out, start_s, end_s, block);
        let planned_s = self.matching.items[k].work.value;
        let share = (end_s - start_s) / planned_s;
        let sd_s = rest::stretch_sd_s(planned_s);
        out.work_s = Some(Measured::normal(end_s - start_s, sd_s).at_least(0.0));
        let missing_s = planned_s - (end_s - start_s);
        let timed = self.matching.items[k].timed;
        if odds.done >= verdict::GRANT || (!timed && 1.0 - odds.missing >= verdict::GRANT) {
            out.verdict = verdict::with_speed(Verdict::Done, out.reached);
        } else if odds.short >= self.tolerances.accuse
            && self.shows_end(k, (start_s, end_s))
            && !self.at_gap((start_s, end_s))
            && !self.at_pause((start_s, end_s))
            && !self.play_elsewhere(k, missing_s)
            && !self.goes_on(k, (start_s, end_s), missing_s)
        {
            out.verdict = Verdict::Short;
            out.why = Some(Reason::PartOfTime { share });
        } else {
            out.leave_open(Reason::PlaceOpen);
        }
        out
    }

    /// Whether the recording shows that a stretch that was shorter than planned was no longer.
    fn shows_end(&self, k: usize, (start_s, end_s): (f64, f64)) -> bool {
        let item = &self.matching.items[k];
        let cut = matches!(self.matching.fates[k], Fate::Stretch(.., true));
        let missing_s = item.work.value - (end_s - start_s);
        shows_end(
            item.category,
            cut,
            missing_s,
            self.free_s(k, (start_s, end_s)),
        )
    }

    /// How long nothing of the plan is beside a stretch, beyond the rests that were planned there, s.
    fn free_s(&self, k: usize, (start_s, end_s): (f64, f64)) -> f64 {
        let (before, after) = (self.around[k].0, self.firm_after(k));
        let rest_s = |k: Option<usize>| {
            k.and_then(|k| self.matching.items.get(k))
                .map_or(0.0, |i| i.rest_after.value)
        };
        let before_s = before.map_or(start_s - self.span_s.0, |last_s| {
            start_s - last_s - rest_s(k.checked_sub(1))
        });
        let after_s = after.map_or(self.span_s.1 - end_s, |next_s| {
            next_s - end_s - rest_s(Some(k))
        });
        before_s.max(0.0) + after_s.max(0.0)
    }

    /// When the work after an item begins, s: but for intermittent work that may be elsewhere, and for a rep that lies far before the
    /// others of its set and may be none of them.
    fn firm_after(&self, k: usize) -> Option<f64> {
        let Matching {
            items, fates, odds, ..
        } = &self.matching;
        let is_firm = |j: &usize| {
            fates[*j].is_found()
                && (items[*j].kind != Kind::Stretch || odds[*j].done >= verdict::GRANT)
        };
        let mut found = (k + 1..items.len()).filter(is_firm);
        let (first, second) = (found.next()?, found.next());
        let (starts_s, ends_s) = self.span_of(first)?;
        let rest_s = items[first].rest_after.value;
        let far_s = (FAR * rest_s).max(rest_s + FAR_S);
        let of = |j: usize| (items[j].block, items[j].set);
        let next_s = second
            .filter(|second| of(first) == of(*second))
            .and_then(|second| self.span_of(second))
            .map(|(next_s, _)| next_s)
            .filter(|next_s| next_s - ends_s > far_s);
        Some(next_s.unwrap_or(starts_s))
    }

    /// Counted reps of intermittent work in one stretch: together they were done or not.
    pub(crate) fn run_on_stretch(
        &self,
        item: Option<usize>,
        block: &Block,
        reps: usize,
    ) -> Vec<RepReview> {
        let whole = self.stretch(0, item, block);
        let Some((start_s, end_s)) = whole.start_s.zip(whole.end_s) else {
            return (0..reps)
                .map(|rep| RepReview {
                    verdict: whole.verdict,
                    why: whole.why,
                    ..blank(rep, block)
                })
                .collect();
        };
        let each_s = (end_s - start_s) / reps.max(1) as f64;
        (0..reps)
            .map(|rep| {
                let mut out = blank(rep, block);
                let from_s = start_s + rep as f64 * each_s;
                self.fill(&mut out, from_s, from_s + each_s, block);
                out.verdict = whole.verdict;
                out.why = whole.why;
                out
            })
            .collect()
    }
}

/// Whether it can be told that a stretch was so much shorter than planned, s, with so much free beside it, s. Work with the ball may look
/// like standing about: only where the recording cut it is its end known. So may the stretching of a warm-up, for which there is room.
/// Play is fast up to its end.
fn shows_end(category: Category, cut: bool, missing_s: f64, free_s: f64) -> bool {
    match category {
        Category::Game => true,
        Category::Technical => cut,
        _ => free_s < ROOM * missing_s,
    }
}

#[cfg(test)]
mod tests {
    use super::shows_end;
    use crate::plan::Category::{Game, Technical, WarmUp};

    #[test]
    fn what_is_missing_may_have_been_where_there_is_room_for_it() {
        assert!(shows_end(WarmUp, false, 400.0, 60.0) && !shows_end(WarmUp, false, 400.0, 300.0));
        assert!(!shows_end(Technical, false, 400.0, 0.0) && shows_end(Technical, true, 400.0, 0.0));
        assert!(shows_end(Game, false, 100.0, 200.0));
    }
}
