//! Rests: between the reps of a set, and after sets and blocks to whatever work of the plan came next.

use crate::measured::Measured;
use crate::plan::{Block, Category, Plan, Rest};
use crate::review::items::Kind;
use crate::review::plan_review::desk::Desk;
use crate::review::{BlockReview, RepReview, RestVerdict, cost, rest};

/// Of a rest longer than this in a gap of the recording nobody can say whether it was kept, s.
const LONGEST_HIDDEN_S: f64 = 3.0;

impl Desk<'_> {
    /// The rests between the reps of a set, the one before an extra rep included.
    pub(crate) fn rests(
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
            let late_s = self.late_s((index, set, k));
            let rest_s = rest::between(start_s - end_s, [end_sd_s, start_sd_s], late_s);
            reps[k].rest_s = Some(rest_s);
            if k + 1 < count && skipped == 0 {
                reps[k].rest_verdict = self.judge_rest((end_s, start_s), rest_s, planned_s);
            }
            if let (Some(at_end), Some(at_start)) =
                (reps[k].heart_rate_end_bpm, self.heart_rate(start_s))
            {
                reps[k].heart_rate_drop_bpm = Some(at_end - at_start);
            }
        }
    }

    /// The rests after sets and blocks: to whatever work of the plan came next in time.
    pub(crate) fn rests_after(&self, plan: &Plan, blocks: &mut [BlockReview]) {
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
                    let rest_s = rest::between(start_s - end_s, edges, late_s);
                    set.rest_after_s = Some(rest_s);
                    set.rest_after_verdict = planned_s.and_then(|planned_s| {
                        self.judge_rest((end_s, start_s.max(end_s)), rest_s, Some(planned_s))
                    });
                }
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
    pub(crate) fn late_s(&self, rep: (usize, usize, usize)) -> f64 {
        let item = self.index.get(&rep).copied();
        item.filter(|&k| {
            let item = &self.matching.items[k];
            item.timed && (item.shuttle.is_some() || item.category == Category::Strength)
        })
        .and_then(|k| self.bout(k))
        .map_or(0.0, |bout| bout.stop_s - bout.end_s)
    }

    /// The verdict on the rest from an end of work to a start; none where a gap hides part of it, or its interval leaves it open.
    fn judge_rest(
        &self,
        (end_s, start_s): (f64, f64),
        rest_s: Measured,
        planned_s: Option<f64>,
    ) -> Option<RestVerdict> {
        let interval_s = 1.0 / self.evidence.motion.rate_hz.max(0.1);
        let hidden_s: f64 = self
            .gaps((end_s, start_s))
            .iter()
            .map(|gap| (gap.end_s.min(start_s) - gap.start_s.max(end_s)).max(0.0))
            .sum();
        let hidden = planned_s.is_some() && hidden_s > LONGEST_HIDDEN_S;
        if hidden {
            return None;
        }
        rest::verdict(rest_s, planned_s, self.tolerances, interval_s)
    }
}
