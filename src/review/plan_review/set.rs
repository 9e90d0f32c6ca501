//! Blocks and their sets: the reps as each kind of work has them, then what holds of every rep.

use crate::measured::Measured;
use crate::plan::{Block, Dose, Rest};
use crate::review::items::Kind;
use crate::review::matching::Odds;
use crate::review::plan_review::desk::Desk;
use crate::review::plan_review::run_on::Told;
use crate::review::{
    BlockReview, BlockVerdict, Fits, Reason, RepReview, SetReview, Verdict, verdict,
};

impl Desk<'_> {
    pub(crate) fn block(&self, index: usize, block: &Block) -> BlockReview {
        // What no recording shows has no reps to judge.
        let count = if block.is_recorded() { block.sets() } else { 0 };
        let told = self.told(index, block);
        let sets: Vec<SetReview> = (0..count as usize)
            .map(|set| self.set(index, set, block, told.get(&set)))
            .collect();
        let reps = || sets.iter().flat_map(|s| &s.reps);
        let least = |a: f64, b: f64| a.min(b);
        BlockReview {
            index: index + 1,
            category: block.category,
            name: block.name.clone(),
            with_ball: block.with_ball,
            verdict: if block.is_recorded() {
                verdict::of_block(reps())
            } else {
                BlockVerdict::Unresolved
            },
            start_s: reps().filter_map(|r| r.start_s).reduce(least),
            end_s: reps().filter_map(|r| r.end_s).reduce(f64::max),
            reps_done: self.block_reps_done(index, block, &sets),
            sets,
        }
    }

    fn set(&self, index: usize, set: usize, block: &Block, told: Option<&Told>) -> SetReview {
        let item_of = |rep| self.index.get(&(index, set, rep)).copied();
        let mut reps = match block.dose {
            Dose::Continuous { .. } => vec![self.stretch(0, item_of(0), block)],
            _ if item_of(0).is_some_and(|k| self.matching.items[k].kind == Kind::Stretch) => {
                let reps = block.reps() as usize;
                if block.runs_on() {
                    self.run_on_stretch(item_of(0), block, reps)
                } else {
                    (0..reps)
                        .map(|rep| self.stretch(rep, item_of(rep), block))
                        .collect()
                }
            }
            Dose::Reps { reps, .. } if block.runs_on() => {
                self.run_on(item_of(0), block, reps as usize, told)
            }
            Dose::Reps { reps, .. } => (0..reps as usize)
                .map(|rep| self.rep(rep, item_of(rep), &block.of_rep(set, rep)))
                .collect(),
        };
        for (rep, out) in reps.iter_mut().enumerate() {
            let item = item_of(rep).or_else(|| item_of(0));
            if self.fits == Fits::No && out.verdict != Verdict::Unresolved {
                out.leave_open(Reason::NotThisPlan);
            }
            if let Some(interval_s) = item.and_then(|k| self.too_sparse(k))
                && out.verdict != Verdict::Done
                && !(out.verdict == Verdict::Missed
                    && item.is_some_and(|k| self.without_time[k].is_some()))
            {
                out.leave_open(Reason::TooSparse {
                    apart_s: interval_s,
                });
            }
            let late_s = self.late_s((index, set, rep));
            out.work_s = out.work_s.map(|work_s| work_s.reaching(0.0, late_s));
            let odds = item.and_then(|k| self.matching.odds.get(k)).copied();
            let self_paced = block.rest == Rest::WalkBack;
            out.probability = match out.probability {
                counted @ Some(_) if out.verdict != Verdict::Unresolved => counted,
                _ => odds.and_then(|o| probability(out.verdict, o, self_paced)),
            };
        }
        if !block.runs_on() {
            self.rests(
                block,
                (index, set),
                &mut reps,
                item_of(block.reps() as usize),
            );
        }
        SetReview {
            index: set + 1,
            rest_after_s: None,
            rest_after_planned_s: None,
            rest_after_verdict: None,
            decrement_percent: decrement(&reps),
            reps_done: self.reps_done((index, set), block, &reps),
            reps,
        }
    }

    /// How many reps of a set were done: where it is open which, it may be known how many.
    fn reps_done(
        &self,
        set: (usize, usize),
        block: &Block,
        reps: &[RepReview],
    ) -> Option<Measured> {
        let of = |verdict| reps.iter().filter(|r| r.verdict == verdict).count() as f64;
        let said = of(Verdict::Done) + of(Verdict::Slow);
        if self.fits == Fits::No {
            return None;
        }
        if block.runs_on() {
            return Some(Measured::within(said, said, said + of(Verdict::Unresolved)));
        }
        let [low, value, high] = *self.matching.done.get(&set)?;
        // What was said rep by rep is no less sure than the count.
        let least = low.min(said);
        let most = (high + let_off(reps)).clamp(said, said + of(Verdict::Unresolved));
        Some(Measured::within(value.clamp(least, most), least, most))
    }

    /// How many reps of a block were done: of alike sets it may be open which was done, and yet be known how many.
    fn block_reps_done(&self, index: usize, block: &Block, sets: &[SetReview]) -> Option<Measured> {
        let each: Vec<Measured> = sets
            .iter()
            .map(|set| set.reps_done)
            .collect::<Option<_>>()?;
        let sum = |of: fn(&Measured) -> f64| each.iter().map(of).sum::<f64>();
        let [low, value, high] = *self.matching.done_of_block.get(&index)?;
        let (least, most) = (sum(|m| m.low), sum(|m| m.high));
        let of_sets = || sets.iter().map(|set| let_off(&set.reps));
        if !block.runs_on() {
            let high = high + of_sets().sum::<f64>();
            let low = low.max(least);
            let high = high.min(most).max(low);
            return Some(Measured::within(value.clamp(low, high), low, high));
        }
        // So many sets were done, whichever they were: of reps at least those of as many sets that were seen to have the fewest.
        let mut seen: Vec<f64> = each
            .iter()
            .map(|m| m.low)
            .filter(|low| *low > 0.0)
            .collect();
        seen.sort_by(f64::total_cmp);
        let at_least = seen.iter().take(low as usize).sum::<f64>().max(least);
        let high = high + of_sets().filter(|reps| *reps > 0.0).count() as f64;
        let at_most = (high * f64::from(block.reps())).min(most).max(at_least);
        let value = sum(|m| m.value).clamp(at_least, at_most);
        Some(Measured::within(value, at_least, at_most))
    }
}

/// How many reps are let off: the accounts may have them as left out, but what was not seen, or was done at another time, may be they.
fn let_off(reps: &[RepReview]) -> f64 {
    let is_let_off = |r: &&RepReview| {
        matches!(
            r.why,
            Some(
                Reason::Gap
                    | Reason::OtherTime
                    | Reason::ShortWay
                    | Reason::AlikeDone
                    | Reason::TooSparse { .. }
            )
        )
    };
    reps.iter().filter(is_let_off).count() as f64
}

/// The probability of a verdict; `None` where nothing was said.
fn probability(verdict: Verdict, odds: Odds, self_paced: bool) -> Option<f64> {
    let probability = match verdict {
        Verdict::Done | Verdict::Slow => odds.done,
        Verdict::Short => odds.short,
        // Counted inside a set that was found: as sure as the set.
        Verdict::Missed if odds.missing < 0.5 && !self_paced => 1.0 - odds.missing,
        // Of self-paced reps the number is told, and names follow in order.
        Verdict::Missed if self_paced => odds.missing.max(odds.count),
        Verdict::Missed => odds.missing,
        Verdict::Unresolved => return None,
    };
    Some(probability.clamp(0.0, 1.0))
}

/// Percentage decrement of the peak speeds of a set.
///
/// ## Definition
/// `100 (1 - sum v / (n best))` over the reps done in full, at least three.
///
/// ## References
/// Glaister et al. (2008), J Strength Cond Res 22:1597, turned to speeds, of which more is better.
fn decrement(reps: &[RepReview]) -> Option<f64> {
    let speeds: Vec<f64> = reps
        .iter()
        .filter(|r| matches!(r.verdict, Verdict::Done | Verdict::Slow))
        .filter_map(|r| r.peak_speed_m_s.map(|p| p.value))
        .collect();
    let best = speeds.iter().copied().fold(0.0, f64::max);
    (speeds.len() >= 3 && best > 0.0)
        .then(|| 100.0 * (1.0 - speeds.iter().sum::<f64>() / (speeds.len() as f64 * best)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rep that a gap may hide may have been done; one of which nothing is left to doubt was not.
    #[test]
    fn what_is_let_off_may_have_been_done() {
        let rep = |why| RepReview {
            why: Some(why),
            ..RepReview::new(1, Verdict::Unresolved)
        };
        let reps = [
            rep(Reason::Gap),
            rep(Reason::OtherTime),
            rep(Reason::TooSparse { apart_s: 4.0 }),
            rep(Reason::DoneOpen),
            rep(Reason::NotThere),
        ];
        assert!((let_off(&reps) - 3.0).abs() < 1e-9);
    }

    /// 8.4, 8.3, 8.1, 8.0, 7.9, 7.8 m/s fade by 3.770 %, computed from the formula of Glaister et al. (2008).
    #[test]
    fn the_decrement_of_six_speeds() {
        let reps: Vec<RepReview> = [8.4, 8.3, 8.1, 8.0, 7.9, 7.8]
            .iter()
            .map(|&v| RepReview {
                peak_speed_m_s: Some(Measured::normal(v, 0.1)),
                ..RepReview::new(1, Verdict::Done)
            })
            .collect();
        assert!((decrement(&reps).unwrap_or_default() - 3.770).abs() < 0.001);
        assert_eq!(decrement(&reps[..2]), None);
    }
}
