//! The plan's blocks, sets and reps with what became of each: every planned rep appears, whatever was found.

use std::collections::HashMap;
use std::ops::Range;

use crate::bouts::Bout;
use crate::measured::Measured;
use crate::note::Note;
use crate::plan::{Block, Category, Dose, Plan, Rest, Target, Work};
use crate::review::chain::Fate;
use crate::review::cost::{self, Quality};
use crate::review::count::{self, Count};
use crate::review::doubt::Doubts;
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind};
use crate::review::matching::{self, Matching, Odds};
use crate::review::tally::{self, Seen, Tally, Trust};
use crate::review::{
    BlockReview, Counts, Evidence, Fits, PlanReview, Reason, RepReview, RestVerdict, SetReview,
    Tolerances, TopSpeed, TopSpeedSource, Verdict, rest, unplanned, verdict,
};
use crate::track::Gap;

/// Of a rest longer than this in a gap of the recording nobody can say whether it was kept, s.
const LONGEST_HIDDEN_S: f64 = 3.0;
/// How well a player keeps the time of reps that run on, and how well the plan tells the pace of others, as standard
/// deviations of logarithms.
const TIMED_SD: f64 = 0.06;
const LEAST_PACE_SD: f64 = 0.25;
/// Turns of a set may be hidden once this much of a rep's time was not recorded.
const HIDDEN_REPS: f64 = 0.4;
/// With fixes further apart than this, nothing is said against work of fewer fixes than can show it, s.
const SPARSE_S: f64 = 2.5;

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
    let matching = matching::matching(
        plan,
        motion,
        evidence.bouts,
        quality,
        span_s,
        known,
        tolerances,
    );
    let around = around(&matching, &evidence.bouts.candidates);
    let fits = fits(&matching);
    let doubts = Doubts::of(plan, &matching, evidence.bouts, &around);
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
        fits_by(&counts)
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
        unplanned: unplanned::list(evidence, &desk.matching),
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

/// A plan that explains less than this of the recording, in nats a planned item, fits it weakly; where most of it is missing
/// as well it is another session's. Plans of other sessions reach 4 in the middle with two thirds missing, the right ones 9
/// with hardly anything.
const WEAK: f64 = 3.5;
const MOST_MISSING: f64 = 0.6;
/// With more than this share missing a plan fits only in part.
const MUCH_MISSING: f64 = 0.45;

/// Of a session that ended early at least this share of its time was begun, and hardly anything of it left out.
const LEAST_BEGUN: f64 = 0.15;
const LITTLE_MISSING: f64 = 0.3;

/// The items up to the last one of which anything was found.
fn before_the_end<'a>(matching: &Matching, items: &'a [usize]) -> &'a [usize] {
    let found = |k: &usize| matches!(matching.fates[*k], Fate::Bout(_) | Fate::Stretch(..));
    let end = items.iter().rposition(found).map_or(0, |last| last + 1);
    &items[..end]
}

/// A plan of which fewer reps than this share were done, and more than the other left out or cut short, is hardly this session's, even
/// where slower work stands in its place.
const FEW_DONE: f64 = 1.0 / 3.0;
const SOME_MISSING: f64 = 1.0 / 6.0;

/// The same by what was said of its reps.
fn fits_by(counts: &Counts) -> Fits {
    let planned = counts.planned.max(1) as f64;
    let done = (counts.done + counts.unresolved) as f64 / planned;
    let gone = (counts.missed + counts.short) as f64 / planned;
    if done < FEW_DONE && gone > SOME_MISSING {
        Fits::Partly
    } else {
        Fits::Yes
    }
}

/// Whether the plan explains the recording better than no plan does.
fn fits(matching: &Matching) -> Fits {
    let planned = |k: &usize| matching.items[*k].kind != Kind::Extra;
    let items: Vec<usize> = (0..matching.items.len()).filter(planned).collect();
    let missing = |items: &[usize]| {
        let sum: f64 = items.iter().map(|&k| matching.odds[k].missing).sum();
        sum / items.len().max(1) as f64
    };
    let gain = |items: &[usize]| matching.gain / items.len().max(1) as f64;
    if items.is_empty() {
        return Fits::Yes;
    }
    if gain(&items) < WEAK && missing(&items) > MOST_MISSING {
        // Who stopped early did as planned up to there.
        let begun = before_the_end(matching, &items);
        let planned_s = |items: &[usize]| -> f64 {
            let of =
                |k: &usize| matching.items[*k].work.value + matching.items[*k].rest_after.value;
            items.iter().map(of).sum()
        };
        let is_begun = planned_s(begun) >= LEAST_BEGUN * planned_s(&items)
            && gain(begun) >= WEAK
            && missing(begun) < LITTLE_MISSING;
        return if is_begun { Fits::Partly } else { Fits::No };
    }
    if missing(&items) > MUCH_MISSING {
        Fits::Partly
    } else {
        Fits::Yes
    }
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

/// Everything needed to write down the reps.
struct Desk<'a> {
    evidence: &'a Evidence<'a>,
    tolerances: &'a Tolerances,
    quality: Quality,
    top_speed: Option<TopSpeed>,
    span_s: (f64, f64),
    /// From block, set and rep (from 0) to the item.
    index: HashMap<(usize, usize, usize), usize>,
    matching: Matching,
    /// For each item when the work found before it ended, and when that found after it begins.
    around: Vec<(Option<f64>, Option<f64>)>,
    fits: Fits,
    doubts: Doubts,
}

/// What is told of a set that was found.
struct Told {
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
    fn bout(&self, item: usize) -> Option<&Bout> {
        (self.matching).bout(item, &self.evidence.bouts.candidates)
    }

    fn place(&self, item: usize) -> Option<(f64, f64)> {
        self.matching.place(item)
    }

    fn block(&self, index: usize, block: &Block) -> BlockReview {
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
                crate::review::BlockVerdict::Unresolved
            },
            start_s: reps().filter_map(|r| r.start_s).reduce(least),
            end_s: reps().filter_map(|r| r.end_s).reduce(f64::max),
            sets,
        }
    }

    /// What is told of each set of a block whose reps run on, as far as it was found.
    fn told(&self, index: usize, block: &Block) -> HashMap<usize, Told> {
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
        let timed_s = match work {
            Work::Duration(s) => Some(s),
            _ => None,
        };
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
                out.verdict = Verdict::Unresolved;
                out.why = Some(Reason::NotThisPlan);
            }
            if let Some(interval_s) = item.and_then(|k| self.too_sparse(k))
                && out.verdict != Verdict::Done
            {
                out.verdict = Verdict::Unresolved;
                out.why = Some(Reason::TooSparse {
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
        let most = high.max(said);
        Some(Measured::within(value.clamp(least, most), least, most))
    }

    /// A rep that is a bout of its own.
    fn rep(&self, rep: usize, item: Option<usize>, block: &Block) -> RepReview {
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
        } else if odds.short >= self.tolerances.accuse
            && !self.at_gap((bout.start_s, bout.stop_s))
            && 1.0 - self.full_if_woken_late(k, bout) >= self.tolerances.accuse
        {
            out.verdict = Verdict::Short;
        } else {
            out.verdict = Verdict::Unresolved;
        }
        match out.verdict {
            Verdict::Short => out.why = Some(verdict::short_of(item, share, &self.quality)),
            Verdict::Unresolved => {
                let why = if odds.not_in_full() >= self.tolerances.accuse {
                    Reason::NotInFull
                } else if odds.short > odds.missing {
                    Reason::FullOpen
                } else {
                    Reason::WhichOpen
                };
                out.why = Some(why);
            }
            Verdict::Slow => out.why = Some(Reason::Slow),
            _ => {}
        }
        out
    }

    /// The time between fixes, s, where an item's reps are too short to be shown by them.
    fn too_sparse(&self, item: usize) -> Option<f64> {
        let interval_s = 1.0 / self.evidence.motion.rate_hz.max(0.01);
        let item = self.matching.items.get(item)?;
        let rep_s = item.work.value / item.reps.max(1) as f64;
        (interval_s > SPARSE_S && rep_s < self.quality.hides_s).then_some(interval_s)
    }

    /// How likely a bout was run in full, when the device that paused before it may have woken late.
    fn full_if_woken_late(&self, item: usize, bout: &Bout) -> f64 {
        let Some(late_s) = (self.evidence.track.pauses.iter())
            .filter(|p| {
                p.start_s <= bout.start_s + GAP_EDGE_S && bout.start_s <= p.end_s + GAP_EDGE_S
            })
            .map(|p| p.still_to_sd_s)
            .reduce(f64::max)
        else {
            return 0.0;
        };
        let item = &self.matching.items[item];
        let time_s = cost::end_s(item, bout) - bout.start_s;
        let (share, sd) = cost::work_share(item, bout, time_s, &self.quality);
        let sd = sd.hypot(late_s / time_s.max(0.5));
        verdict::full(share, sd, self.tolerances)
    }

    /// Whether a gap, or a stretch left out, cuts work off: what lies there may be more of it.
    fn at_gap(&self, (start_s, end_s): (f64, f64)) -> bool {
        let near = |from_s: f64, to_s: f64| {
            (from_s - end_s).abs() <= GAP_EDGE_S || (start_s - to_s).abs() <= GAP_EDGE_S
        };
        let around = (start_s - GAP_EDGE_S, end_s + GAP_EDGE_S);
        self.gaps(around).iter().any(|g| near(g.start_s, g.end_s))
            || (self.evidence.track.left_out.iter()).any(|l| near(l.start_s, l.end_s))
    }

    /// Whether a device that pauses by itself paused at the beginning or the end of a stretch: it may have gone on standing.
    fn at_pause(&self, (start_s, end_s): (f64, f64)) -> bool {
        self.evidence.track.pauses.iter().any(|p| {
            let touches = |t: f64| p.start_s - GAP_EDGE_S <= t && t <= p.end_s + GAP_EDGE_S;
            touches(start_s) || touches(end_s)
        })
    }

    /// The gaps that touch a stretch of time.
    fn gaps(&self, (from_s, to_s): (f64, f64)) -> &[Gap] {
        let gaps = &self.evidence.track.gaps;
        let first = gaps.partition_point(|gap| gap.end_s < from_s);
        let last = gaps.partition_point(|gap| gap.start_s <= to_s);
        gaps.get(first..last).unwrap_or_default()
    }

    /// A set whose reps run on: one bout, its reps counted inside.
    fn run_on(
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
            } else if ended >= self.tolerances.accuse && !cut_off {
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

    /// A continuous block, or a rep of intermittent work.
    fn stretch(&self, rep: usize, item: Option<usize>, block: &Block) -> RepReview {
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
        let timed = self.matching.items[k].timed;
        if odds.done >= verdict::GRANT || (!timed && 1.0 - odds.missing >= verdict::GRANT) {
            out.verdict = verdict::with_speed(Verdict::Done, out.reached);
        } else if odds.short >= self.tolerances.accuse
            && !self.at_gap((start_s, end_s))
            && !self.at_pause((start_s, end_s))
        {
            out.verdict = Verdict::Short;
            out.why = Some(Reason::PartOfTime { share });
        } else {
            out.verdict = Verdict::Unresolved;
            out.why = Some(Reason::PlaceOpen);
        }
        out
    }

    /// Counted reps of intermittent work in one stretch: together they were done or not.
    fn run_on_stretch(&self, item: Option<usize>, block: &Block, reps: usize) -> Vec<RepReview> {
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

    /// A rep paired with nothing: missed, or hidden where nothing was recorded.
    fn absent(&self, item: usize, block: &Block, out: &mut RepReview) {
        let odds = self.matching.odds[item];
        // Which of a set was left out is told by its rests; where they are free the number is all there is to tell.
        let self_paced = block.rest == Rest::WalkBack;
        let (before, after) = self.around[item];
        let from_s = before.unwrap_or(self.span_s.0);
        let to_s = after.unwrap_or(self.span_s.1);
        let hidden = || {
            let work_s = self.matching.items[item].work.value;
            self.gaps((from_s - 1.0, to_s + 1.0)).iter().any(|g| {
                g.start_s >= from_s - 1.0
                    && g.end_s <= to_s + 1.0
                    && g.end_s - g.start_s >= 0.5 * work_s
            }) || (self.evidence.track.left_out.iter())
                .any(|l| from_s - 1.0 <= l.start_s && l.end_s <= to_s + 1.0)
        };
        if before.is_some() && after.is_some() && hidden() {
            out.verdict = Verdict::Unresolved;
            out.why = Some(Reason::Gap);
        } else if odds.missing < self.tolerances.accuse
            && (!self_paced || odds.count < self.tolerances.accuse)
        {
            out.verdict = Verdict::Unresolved;
            let not_in_full = odds.not_in_full() >= self.tolerances.accuse;
            out.why = Some(if not_in_full {
                Reason::NotInFull
            } else {
                Reason::DoneOpen
            });
        } else if self.would_fit(item, (from_s, to_s)) {
            out.verdict = Verdict::Unresolved;
            out.why = Some(Reason::OtherTime);
        } else if let Some(doubt) = self.doubts.about(&self.matching.items[item], &self.quality) {
            out.verdict = Verdict::Unresolved;
            out.why = Some(doubt);
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
                cost::resembles(item, c)
                    || cost::pair(item, c, &self.quality).is_some_and(|cost| cost < WOULD_FIT)
            })
    }

    /// Times, distance and speed of a stretch of work.
    fn fill(&self, out: &mut RepReview, start_s: f64, end_s: f64, block: &Block) {
        let motion = self.evidence.motion;
        let window: Range<usize> = motion.window(start_s, end_s);
        let peak = motion.peak_speed(window.clone());
        out.start_s = Some(start_s);
        out.end_s = Some(end_s);
        out.work_s = Some(rest::measured(end_s - start_s, self.quality.edge_sd_s));
        out.distance_m = Some(motion.distance(window));
        out.peak_speed_m_s = Some(peak);
        out.of_top_speed = self.top_speed.map(|top| top.share(peak));
        out.reached = self
            .mark_m_s(block)
            .map(|mark| verdict::reached(peak, mark));
        out.heart_rate_end_bpm = self.heart_rate(end_s);
    }

    /// The speed asked for, m/s.
    fn mark_m_s(&self, block: &Block) -> Option<Measured> {
        match block.target? {
            Target::Speed(v) => Some(Measured::within(v, v, v)),
            Target::ShareOfTop(share) => self.top_speed.map(|top| top.mark(share)),
        }
    }

    fn heart_rate(&self, time_s: f64) -> Option<f64> {
        let motion = self.evidence.motion;
        motion
            .window(time_s - 2.0, time_s + 2.0)
            .filter_map(|k| motion.samples.get(k))
            .min_by(|a, b| {
                (a.time_s - time_s)
                    .abs()
                    .total_cmp(&(b.time_s - time_s).abs())
            })
            .and_then(|s| s.heart_rate_bpm)
            .map(f64::from)
    }

    /// The rests between the reps of a set, the one before an extra rep included.
    fn rests(
        &self,
        block: &Block,
        (index, set): (usize, usize),
        reps: &mut [RepReview],
        extra: Option<usize>,
    ) {
        let [start_sd_s, end_sd_s] = self.edges_sd_s((index, set));
        let planned_s = match block.rest {
            Rest::Timed(s) => Some(s),
            Rest::RunOn | Rest::WalkBack => None,
        };
        let extra_start_s = extra.and_then(|k| self.bout(k)).map(|b| b.start_s);
        let count = reps.len();
        for k in 0..count {
            if k + 1 < count {
                reps[k].rest_planned_s = planned_s;
            }
            let Some(end_s) = reps[k].end_s else { continue };
            let next = (k + 1..count).find_map(|n| reps[n].start_s.map(|s| (n, s)));
            let (skipped, start_s) = match (next, extra_start_s) {
                (Some((n, s)), _) => (n - k - 1, s),
                (None, Some(s)) => (count - k - 1, s),
                (None, None) => continue,
            };
            let rest_s = start_s - end_s;
            let late_s = self.late_s((index, set, k));
            reps[k].rest_s = Some(rest::between(rest_s, [end_sd_s, start_sd_s], late_s));
            if k + 1 < count && skipped == 0 {
                reps[k].rest_verdict = self.judge_rest((end_s, start_s), planned_s);
            }
            if let (Some(at_end), Some(at_start)) =
                (reps[k].heart_rate_end_bpm, self.heart_rate(start_s))
            {
                reps[k].heart_rate_drop_bpm = Some(at_end - at_start);
            }
        }
    }

    /// How well the start and the end of the work of a set (of a block, both from 0) are known, s.
    fn edges_sd_s(&self, (block, set): (usize, usize)) -> [f64; 2] {
        let item = self.index.get(&(block, set, 0));
        match item.map(|&k| &self.matching.items[k]) {
            Some(item) if item.kind == Kind::Stretch => {
                rest::of_stretch_sd_s(item.category, item.work.value)
            }
            _ => [rest::of_rep_sd_s(self.quality.edge_sd_s); 2],
        }
    }

    /// How much later than told the work of a rep (block, set and rep from 0) may have ended, s: a shuttle whose time is up is over where
    /// he brakes, or at the line that he still runs out to.
    fn late_s(&self, rep: (usize, usize, usize)) -> f64 {
        let item = self.index.get(&rep).copied();
        item.filter(|&k| {
            let item = &self.matching.items[k];
            item.timed && (item.shuttle.is_some() || item.category == Category::Strength)
        })
        .and_then(|k| self.bout(k))
        .map_or(0.0, |bout| bout.stop_s - bout.end_s)
    }

    /// The verdict on the rest from an end of work to a start; none where a gap hides part of it.
    fn judge_rest(
        &self,
        (end_s, start_s): (f64, f64),
        planned_s: Option<f64>,
    ) -> Option<RestVerdict> {
        let interval_s = 1.0 / self.evidence.motion.rate_hz.max(0.1);
        let hidden_s: f64 = self
            .gaps((end_s, start_s))
            .iter()
            .map(|gap| (gap.end_s.min(start_s) - gap.start_s.max(end_s)).max(0.0))
            .sum();
        let hidden = planned_s.is_some() && hidden_s > LONGEST_HIDDEN_S;
        (!hidden).then(|| rest::verdict(start_s - end_s, planned_s, self.tolerances, interval_s))
    }

    /// The rests after sets and blocks: to whatever work of the plan came next in time.
    fn rests_after(&self, plan: &Plan, blocks: &mut [BlockReview]) {
        // Each with how well it is known.
        let mut starts: Vec<(f64, f64)> = Vec::new();
        for (b, block) in blocks.iter().enumerate() {
            for (s, set) in block.sets.iter().enumerate() {
                let first = set.reps.iter().filter_map(|r| r.start_s).reduce(f64::min);
                starts.extend(first.map(|start_s| (start_s, self.edges_sd_s((b, s))[0])));
            }
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (b, (block, review)) in plan.blocks.iter().zip(blocks).enumerate() {
            let sets = review.sets.len();
            for (s, set) in review.sets.iter_mut().enumerate() {
                let last = s + 1 == sets;
                let planned_s = if last {
                    block.then_s
                } else {
                    block.between_sets_s
                };
                set.rest_after_planned_s = planned_s;
                let extra = self
                    .index
                    .get(&(b, s, set.reps.len()))
                    .and_then(|&k| Some(cost::end_s(&self.matching.items[k], self.bout(k)?)));
                let end_s = set
                    .reps
                    .iter()
                    .filter_map(|r| r.end_s)
                    .chain(extra)
                    .reduce(f64::max);
                let Some(end_s) = end_s else { continue };
                let next = starts.partition_point(|&(t, _)| t < end_s - 0.5);
                if let Some(&(start_s, start_sd_s)) = starts.get(next) {
                    let edges = [self.edges_sd_s((b, s))[1], start_sd_s];
                    let late_s = self.late_s((b, s, set.reps.len().saturating_sub(1)));
                    set.rest_after_s = Some(rest::between(start_s - end_s, edges, late_s));
                    set.rest_after_verdict = planned_s
                        .and_then(|p| self.judge_rest((end_s, start_s.max(end_s)), Some(p)));
                }
            }
        }
    }
}

/// A bout at this cost or less would do for a rep.
const WOULD_FIT: f64 = -2.0;
/// A bout ends at a gap when it stops so near to it, s.
const GAP_EDGE_S: f64 = 1.5;

/// A rep of which nothing is known but what was planned.
fn blank(rep: usize, block: &Block) -> RepReview {
    RepReview {
        work_planned_s: block.work_s(),
        distance_planned_m: block.rep_distance_m(),
        ..RepReview::new(rep + 1, Verdict::Missed)
    }
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
