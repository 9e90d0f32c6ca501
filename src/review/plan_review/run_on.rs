//! Sets whose reps run on: one bout a set, its reps counted inside, all sets of a block together.

use std::collections::HashMap;

use crate::bouts::Bout;
use crate::estimation::quantile::midpoint;
use crate::plan::{Block, Dose};
use crate::review::count::{self, Count};
use crate::review::expect::Guess;
use crate::review::items::Item;
use crate::review::plan_review::desk::{Desk, blank};
use crate::review::tally::{self, Seen, Tally, Trust};
use crate::review::{Reason, RepReview, Verdict, cost, verdict};

/// How well a player keeps the time of reps that run on, and how well the plan tells the pace of others, as standard
/// deviations of logarithms.
const TIMED_SD: f64 = 0.06;
const LEAST_PACE_SD: f64 = 0.25;
/// This share of the time up to where he stood, or of the way and of the peak of a rep, is another one, perhaps.
const ANOTHER: f64 = 0.6;
/// Turns of a set may be hidden once this much of a rep's time was not recorded.
const HIDDEN_REPS: f64 = 0.4;

/// What is told of a set that was found.
pub(super) struct Told {
    count: Option<Count>,
    tally: Tally,
}

impl Told {
    /// When each rep that was seen ended, s: at its turns where these suit the tally, else in even parts.
    fn ends_s(&self, start_s: f64, end_s: f64) -> Vec<f64> {
        let reps = self.tally.middle();
        match &self.count {
            Some(count) if (-0.1..0.9).contains(&(count.reps - reps as f64)) => {
                count.ends_s.clone()
            }
            _ => {
                let each_s = (end_s - start_s) / reps.max(1) as f64;
                (1..=reps)
                    .map(|rep| start_s + rep as f64 * each_s)
                    .collect()
            }
        }
    }

    /// Whether a rep was begun and left, going by the turns.
    fn begun(&self, rep: usize) -> bool {
        let counted = self.count.as_ref().map_or(0.0, |count| count.reps);
        rep == self.tally.middle() && (0.3..0.75).contains(&(counted - rep as f64))
    }
}

impl Desk<'_> {
    /// What is told of each set of a block whose reps run on, as far as it was found.
    pub(crate) fn told(&self, index: usize, block: &Block) -> HashMap<usize, Told> {
        let Dose::Reps { reps, work, .. } = block.dose else {
            return HashMap::new();
        };
        if !block.runs_on() {
            return HashMap::new();
        }
        let found: Vec<(usize, usize, &Bout)> = (0..block.sets() as usize)
            .filter_map(|set| {
                let item = *self.index.get(&(index, set, 0))?;
                Some((set, item, self.bout(item)?))
            })
            .collect();
        let Some(&(_, first, _)) = found.first() else {
            return HashMap::new();
        };
        let motion = self.evidence.motion;
        let timed_s = work.seconds();
        let rep_s = |item: &Item| item.work.value / item.reps.max(1) as f64;
        // Where some of a set was not recorded, its turns and its way are missing with it.
        let whole =
            |item: &Item, bout: &Bout| bout.bridged * bout.stop_run_s() < HIDDEN_REPS * rep_s(item);
        let counts: Vec<Option<Count>> = (found.iter())
            .map(|&(_, k, bout)| {
                // Timed reps without rest leave no mark between them: the clock counts.
                let item = &self.matching.items[k];
                (timed_s.is_none() && whole(item, bout))
                    .then(|| count::by_turns(motion, block, item, bout, cost::end_s(item, bout)))
                    .flatten()
            })
            .collect();
        let seen: Vec<Seen> = (found.iter().zip(&counts))
            .map(|(&(_, k, bout), count)| {
                let item = &self.matching.items[k];
                let end_s = cost::end_s(item, bout);
                let way_m = motion.distance(motion.window(bout.start_s, end_s)).value;
                let rep_m = (item.distance_m)
                    .filter(|_| whole(item, bout))
                    .map(|m| m / item.reps.max(1) as f64);
                Seen {
                    time_s: (end_s - bout.start_s).max(0.1),
                    turned: count.as_ref().map(|count| count.reps),
                    by_way: rep_m.filter(|m| *m > 0.0).map(|m| (way_m / m).max(0.01)),
                }
            })
            .collect();
        let each = timed_s.map_or_else(
            || {
                let item = &self.matching.items[first];
                Guess::new(rep_s(item), item.work.sd.max(LEAST_PACE_SD))
            },
            |s| Guess::new(s, TIMED_SD),
        );
        let tallies = tally::tallies(&seen, reps as usize, each, &Trust::of(motion));
        (found.into_iter().zip(counts).zip(tallies))
            .map(|(((set, ..), count), tally)| (set, Told { count, tally }))
            .collect()
    }

    /// Whether a rep beyond those that were counted in a bout, which ends at `end_s`, may be there after all: as a part that is as good as
    /// one, in one that is as long as two, or after the last.
    fn may_have_more(
        &self,
        bout: &Bout,
        end_s: f64,
        (rep, counted): (usize, usize),
        ends_s: &[f64],
    ) -> bool {
        let starts_s = std::iter::once(&bout.start_s).chain(ends_s);
        let ways_m: Vec<f64> = (starts_s.zip(ends_s))
            .map(|(&from_s, &to_s)| self.way_m(from_s, to_s))
            .collect();
        let counted_m: Vec<f64> = ways_m.iter().copied().take(counted).collect();
        let Some(usual_m) = midpoint(counted_m.clone()) else {
            return false;
        };
        let parts = counted_m.iter().sum::<f64>() / usual_m.max(0.1);
        (ways_m.get(rep)).is_some_and(|way_m| *way_m >= ANOTHER * usual_m)
            || parts >= rep as f64 + ANOTHER
            || rep == counted && self.runs_on_after(bout, end_s, rep)
    }

    /// Whether he ran on for another rep, or most of one, after those that were counted in a bout.
    fn runs_on_after(&self, bout: &Bout, end_s: f64, reps: usize) -> bool {
        let motion = self.evidence.motion;
        let each_s = (end_s - bout.start_s) / reps.max(1) as f64;
        let (counted, after) = ((bout.start_s, end_s), (end_s, end_s + each_s));
        let way_m = |(from_s, to_s): (f64, f64)| self.way_m(from_s, to_s);
        let peak_m_s = |(from_s, to_s)| motion.peak_speed(motion.window(from_s, to_s)).value;
        bout.stop_s - end_s >= ANOTHER * each_s
            || way_m(after) >= ANOTHER * way_m(counted) / reps.max(1) as f64
                && peak_m_s(after) >= ANOTHER * peak_m_s(counted)
    }

    /// A set whose reps run on: one bout, its reps counted inside. That it ended early is said of that bout alone: where it may have been
    /// another, nobody is accused.
    pub(crate) fn run_on(
        &self,
        item: Option<usize>,
        block: &Block,
        reps: usize,
        told: Option<&Told>,
    ) -> Vec<RepReview> {
        let mut list: Vec<RepReview> = (0..reps).map(|rep| blank(rep, block)).collect();
        let Some(k) = item else {
            return list;
        };
        let odds = self.matching.odds[k];
        let item = &self.matching.items[k];
        let Some((bout, told)) = self.bout(k).zip(told) else {
            for rep in &mut list {
                self.absent(k, block, rep);
            }
            return list;
        };
        let end_s = cost::end_s(item, bout);
        let found = 1.0 - odds.missing;
        let ends_s = told.ends_s(bout.start_s, end_s);
        let cut_off = self.at_gap((bout.start_s, bout.stop_s));
        let mut start_s = bout.start_s;
        for (rep, out) in list.iter_mut().enumerate() {
            let seen = told.tally.seen(rep + 1);
            let ended = told.tally.ended_before(rep + 1);
            if let Some(&rep_end_s) = ends_s.get(rep) {
                self.fill(out, start_s, rep_end_s, block);
                start_s = rep_end_s;
            }
            let begun = told.begun(rep);
            let (verdict, probability) = if found < verdict::GRANT {
                out.why = Some(Reason::SetOpen);
                (Verdict::Unresolved, None)
            } else if seen >= verdict::GRANT {
                (verdict::with_speed(Verdict::Done, out.reached), Some(seen))
            } else if ended * odds.here >= self.tolerances.accuse
                && !cut_off
                && !self.may_have_more(bout, end_s, (rep, told.tally.middle()), &ends_s)
            {
                let reps = told.tally.middle();
                if begun {
                    out.why = Some(Reason::Left { reps });
                    (Verdict::Short, Some(ended))
                } else {
                    out.why = Some(Reason::SetEnded { reps });
                    (Verdict::Missed, Some(ended))
                }
            } else {
                out.why = Some(Reason::CountOpen {
                    reps: told.tally.middle(),
                });
                (Verdict::Unresolved, None)
            };
            out.verdict = verdict;
            out.probability = probability.map(|p| (p * found).clamp(0.0, 1.0));
            if out.verdict == Verdict::Slow {
                out.why = Some(Reason::Slow);
            }
        }
        list
    }
}
