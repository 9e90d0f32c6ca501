//! What fell short of the plan or lies beside it, in sentences: reps that are not done, rests that were not kept, unplanned work.
//!
//! The account shows some of them, the page all.

use super::layout::{clock, ends, short, thousands};
use super::{left_open, reason, words};
use crate::figure::VERDICTS;
use crate::measured::Measured;
use crate::review::{
    BlockReview, Counts, PlanReview, RepReview, RestVerdict, SetReview, Unplanned, Verdict,
};
use crate::units::SpeedUnit;

/// A block or a set of it.
#[derive(Clone, Copy)]
pub(super) struct Place<'a> {
    pub block: &'a BlockReview,
    pub set: &'a SetReview,
}

impl Place<'_> {
    /// `4 channel runs, set 2`, with the block as it is called.
    pub(super) fn text(self, name: &str) -> String {
        if self.block.sets.len() > 1 {
            format!("{} {name}, set {}", self.block.index, self.set.index)
        } else {
            format!("{} {name}", self.block.index)
        }
    }
}

/// Every set of the plan in its order.
pub(super) fn sets(plan: &PlanReview) -> impl Iterator<Item = Place<'_>> {
    (plan.blocks.iter()).flat_map(|block| block.sets.iter().map(move |set| Place { block, set }))
}

/// Neighbours of a set that are not simply done, with one story.
pub(super) struct Fell<'a> {
    pub place: Place<'a>,
    pub first: &'a RepReview,
    last: &'a RepReview,
    pub reps: usize,
}

impl Fell<'_> {
    /// `4 channel runs, set 2, reps 2 to 3: missed: not in the recording`
    pub(super) fn text(&self, name: &str) -> String {
        let place = self.place.text(name);
        let verdict = words::verdict(self.first.verdict);
        let reps = match (self.first.index, self.last.index) {
            _ if self.place.set.reps.len() == 1 => String::new(),
            (first, last) if first == last => format!(", rep {first}"),
            (first, last) => format!(", reps {first} to {last}"),
        };
        match why(self.first) {
            Some(why) => format!("{place}{reps}: {verdict}: {why}"),
            None => format!("{place}{reps}: {verdict}"),
        }
    }
}

/// Why a rep is not simply done.
fn why(rep: &RepReview) -> Option<String> {
    rep.why.as_ref().map(reason::text)
}

/// What is told once of a block, each with its block, and the reps that are told one by one.
pub(super) fn not_done(plan: &PlanReview) -> (Vec<(&BlockReview, String)>, Vec<Fell<'_>>) {
    let (mut once, mut each) = (Vec::new(), Vec::new());
    for block in &plan.blocks {
        let told = left_open::told(block);
        once.extend(told.sentences.into_iter().map(|said| (block, said)));
        for (set, told_once) in block.sets.iter().zip(told.sets) {
            let alike = |a: &RepReview, b: &RepReview| a.verdict == b.verdict && why(a) == why(b);
            for run in set.reps.chunk_by(alike) {
                if let (Some(first), Some(last)) = (run.first(), run.last())
                    && first.verdict != Verdict::Done
                    && !(first.verdict == Verdict::Unresolved && told_once)
                {
                    each.push(Fell {
                        place: Place { block, set },
                        first,
                        last,
                        reps: run.len(),
                    });
                }
            }
        }
    }
    (once, each)
}

/// A rest that was not kept.
pub(super) struct Broken<'a> {
    pub place: Place<'a>,
    /// The rep that it lies behind; without one it lies behind the set.
    rep: Option<usize>,
    was_s: Measured,
    planned_s: f64,
}

impl Broken<'_> {
    /// How far from the plan, the same for half and for double.
    pub(super) fn distance(&self) -> f64 {
        let ratio = self.was_s.value.max(1.0) / self.planned_s.max(1.0);
        ratio.ln().abs()
    }

    /// `4 channel runs, after rep 3: 31 s (30 to 33) for 25 s`
    pub(super) fn text(&self, name: &str) -> String {
        let after = match self.rep {
            Some(rep) => format!("rep {rep}"),
            None if self.place.set.index == self.place.block.sets.len() => "the block".to_owned(),
            None => "the set".to_owned(),
        };
        format!(
            "{}, after {after}: {:.0} s ({:.0} to {:.0}) for {} s",
            self.place.text(name),
            self.was_s.value,
            self.was_s.low,
            self.was_s.high,
            short(self.planned_s, 0)
        )
    }
}

/// The rests that were not kept, between reps, after sets and after blocks, in the order of the plan.
pub(super) fn broken_rests(plan: &PlanReview) -> Vec<Broken<'_>> {
    let is_broken = |verdict| matches!(verdict, Some(RestVerdict::Long | RestVerdict::Short));
    let mut broken = Vec::new();
    for place in sets(plan) {
        let between = place.set.reps.iter().map(|rep| {
            let index = Some(rep.index);
            (index, rep.rest_verdict, rep.rest_s, rep.rest_planned_s)
        });
        let set = place.set;
        let after = (
            None,
            set.rest_after_verdict,
            set.rest_after_s,
            set.rest_after_planned_s,
        );
        for (rep, verdict, was_s, planned_s) in between.chain([after]) {
            if is_broken(verdict)
                && let (Some(was_s), Some(planned_s)) = (was_s, planned_s)
            {
                broken.push(Broken {
                    place,
                    rep,
                    was_s,
                    planned_s,
                });
            }
        }
    }
    broken
}

/// The rests farthest from the plan, so many of them, in its order.
pub(super) fn farthest<'a, 'b>(broken: &'b [Broken<'a>], most: usize) -> Vec<&'b Broken<'a>> {
    let mut order: Vec<(usize, &Broken<'_>)> = broken.iter().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| b.distance().total_cmp(&a.distance()));
    order.truncate(most);
    order.sort_by_key(|(index, _)| *index);
    order.into_iter().map(|(_, rest)| rest).collect()
}

/// `Rests not kept: 2 too long, 1 too short`
pub(super) fn rests_heading(broken: &[Broken<'_>]) -> String {
    let long = broken
        .iter()
        .filter(|b| b.was_s.value > b.planned_s)
        .count();
    let brief = broken.len() - long;
    format!("Rests not kept: {long} too long, {brief} too short")
}

/// Work that the plan does not explain.
pub(super) fn unplanned(work: &Unplanned, speeds: SpeedUnit) -> String {
    format!(
        "at {} for {}: {} m ({}), peak {} ({})",
        clock(work.start_s),
        clock(work.end_s - work.start_s),
        thousands(work.distance_m.value),
        ends(work.distance_m, thousands),
        speeds.text(work.peak_speed_m_s.value, 2),
        speeds.ends(work.peak_speed_m_s)
    )
}

/// How many reps have this verdict.
pub(super) fn number(counts: &Counts, verdict: Verdict) -> usize {
    match verdict {
        Verdict::Done => counts.done,
        Verdict::Short => counts.short,
        Verdict::Slow => counts.slow,
        Verdict::Missed => counts.missed,
        Verdict::Unresolved => counts.unresolved,
    }
}

/// `25 of 27 reps done, 1 short, 1 unresolved`: the whole plan, and each of the other verdicts that a rep has, with its number.
pub(super) fn headline(counts: &Counts) -> (String, Vec<(Verdict, String)>) {
    let planned = super::layout::count(counts.planned, "rep", "reps");
    let all = if counts.planned == 0 {
        "The plan has no reps to look for".to_owned()
    } else if counts.done == counts.planned {
        format!("All {planned} done")
    } else {
        format!("{} of {planned} done", counts.done)
    };
    let others = VERDICTS.into_iter().skip(1).filter_map(|verdict| {
        let reps = number(counts, verdict);
        (reps > 0).then(|| (verdict, format!("{reps} {}", words::verdict(verdict))))
    });
    (all, others.collect())
}

/// The same in one line.
pub(super) fn headline_text(counts: &Counts) -> String {
    let (mut line, others) = headline(counts);
    for (_, other) in others {
        line += ", ";
        line += &other;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::{broken_rests, farthest, not_done, rests_heading};
    use crate::measured::Measured;
    use crate::report::terminal::made::review;
    use crate::review::{PlanReview, RestVerdict, Verdict};

    /// Four reps, of which two were left out, with the rests behind them.
    fn plan(rests_s: [f64; 3]) -> PlanReview {
        use Verdict::{Done, Missed};
        let mut plan = review(&[Done, Missed, Missed, Done]);
        for (rep, rest_s) in plan.blocks[0].sets[0].reps.iter_mut().zip(rests_s) {
            rep.rest_s = Some(Measured::within(rest_s, rest_s - 1.0, rest_s + 1.0));
            rep.rest_planned_s = Some(40.0);
            rep.rest_verdict = Some(match rest_s {
                short if short < 35.0 => RestVerdict::Short,
                long if long > 45.0 => RestVerdict::Long,
                _ => RestVerdict::Kept,
            });
        }
        plan
    }

    #[test]
    fn neighbours_with_one_story_are_told_together() {
        let plan = plan([40.0; 3]);
        let (once, each) = not_done(&plan);
        assert!(once.is_empty());
        let told: Vec<String> = each.iter().map(|fell| fell.text("halfway")).collect();
        assert_eq!(told, ["1 halfway, reps 2 to 3: missed"]);
        assert_eq!(each[0].reps, 2);
    }

    #[test]
    fn the_rests_farthest_from_the_plan_stand_in_its_order() {
        let plan = plan([30.0, 90.0, 10.0]);
        let broken = broken_rests(&plan);
        assert_eq!(
            rests_heading(&broken),
            "Rests not kept: 1 too long, 2 too short"
        );
        let told: Vec<String> = farthest(&broken, 2)
            .iter()
            .map(|rest| rest.text("halfway"))
            .collect();
        assert_eq!(
            told,
            [
                "1 halfway, after rep 2: 90 s (89 to 91) for 40 s",
                "1 halfway, after rep 3: 10 s (9 to 11) for 40 s",
            ]
        );
    }
}
