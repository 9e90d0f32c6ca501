//! The desk: everything that is needed to write down what became of an item, and the times and speeds of its work.

use std::collections::HashMap;

use crate::bouts::Bout;
use crate::measured::Measured;
use crate::plan::{Block, Target};
use crate::review::cost::Quality;
use crate::review::doubt::Doubts;
use crate::review::items::{Item, Kind};
use crate::review::matching::Matching;
use crate::review::passed::is_vague;
use crate::review::unplanned::Left;
use crate::review::{Evidence, Fits, RepReview, Tolerances, TopSpeed, Verdict, mark, rest};

/// Everything needed to write down the reps.
pub(super) struct Desk<'a> {
    pub evidence: &'a Evidence<'a>,
    pub tolerances: &'a Tolerances,
    pub quality: Quality,
    pub top_speed: Option<TopSpeed>,
    pub span_s: (f64, f64),
    /// From block, set and rep (from 0) to the item.
    pub index: HashMap<(usize, usize, usize), usize>,
    pub matching: Matching,
    /// For each item when the work found before it ended, and when that found after it begins.
    pub around: Vec<(Option<f64>, Option<f64>)>,
    pub fits: Fits,
    pub doubts: Doubts,
    pub left: Left<'a>,
    /// For each item how sure it is that there was no time for it; `None` where there may have been.
    pub without_time: Vec<Option<f64>>,
}

impl Desk<'_> {
    pub(crate) fn bout(&self, item: usize) -> Option<&Bout> {
        (self.matching).bout(item, &self.evidence.bouts.candidates)
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

    /// Whether no work of the block of an item was found.
    pub(crate) fn none_found(&self, item: usize) -> bool {
        (self.block_of(item)).all(|k| !self.matching.fates[k].is_found())
    }

    /// The item before one of which work was found.
    pub(crate) fn found_before(&self, item: usize) -> Option<usize> {
        (0..item).rev().find(|&k| self.matching.fates[k].is_found())
    }

    /// The time that the work of the block of an item takes, s.
    pub(crate) fn work_of_block_s(&self, item: usize) -> f64 {
        (self.block_of(item))
            .map(|k| self.matching.items[k].work.value)
            .sum()
    }

    /// When the work found before the set of an item ended, and when that found after it begins.
    pub(crate) fn around_set(&self, item: usize) -> (Option<f64>, Option<f64>) {
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

    /// The way between two times, m.
    pub(crate) fn way_m(&self, from_s: f64, to_s: f64) -> f64 {
        let motion = self.evidence.motion;
        motion.distance(motion.window(from_s, to_s)).value
    }

    /// When what was found of an item began and ended, s.
    pub(crate) fn span_of(&self, item: usize) -> Option<(f64, f64)> {
        self.matching.fates[item].span_s(&self.evidence.bouts.candidates)
    }

    /// The time between the work of other blocks before and after an item's, s, as far as it `bounds` anything.
    pub(crate) fn room_of_block_s(&self, own: &Item, bounds: impl Fn(usize) -> bool) -> (f64, f64) {
        let items = &self.matching.items;
        let own_at = items.iter().position(|i| i.block == own.block);
        let own_at = own_at.unwrap_or_default();
        let bounds = |k: &usize| items[*k].block != own.block && bounds(*k);
        let span_s = |k: usize| self.span_of(k);
        let before = (0..own_at).rev().filter(bounds).find_map(span_s);
        let after = (own_at..items.len()).filter(bounds).find_map(span_s);
        (
            before.map_or(self.span_s.0, |s| s.1),
            after.map_or(self.span_s.1, |s| s.0),
        )
    }

    /// The same where calm work bounds nothing: that is found wherever it has room, and turning work may lie under it.
    pub(crate) fn room_with_calm_work_s(&self, item: usize) -> (f64, f64) {
        let items = &self.matching.items;
        self.room_of_block_s(&items[item], |k| !is_vague(&items[k]))
    }

    /// When a stretch began and ended, s.
    pub(crate) fn place(&self, item: usize) -> Option<(f64, f64)> {
        self.matching.place(item)
    }

    /// Times, distance and speed of a stretch of work.
    pub(crate) fn fill(&self, out: &mut RepReview, start_s: f64, end_s: f64, block: &Block) {
        let motion = self.evidence.motion;
        let window = motion.window(start_s, end_s);
        let peak = motion.peak_speed(window.clone());
        out.start_s = Some(start_s);
        out.end_s = Some(end_s);
        out.work_s = Some(rest::measured(end_s - start_s, self.quality.edge_sd_s));
        out.distance_m = Some(motion.distance(window));
        out.peak_speed_m_s = Some(peak);
        out.of_top_speed = self.top_speed.map(|top| top.share(peak));
        out.reached = self.mark_m_s(block).map(|mark| mark::reached(peak, mark));
        out.heart_rate_end_bpm = self.heart_rate(end_s);
    }

    /// The speed asked for, m/s.
    fn mark_m_s(&self, block: &Block) -> Option<Measured> {
        match block.target? {
            Target::Speed(v) => Some(Measured::within(v, v, v)),
            Target::ShareOfTop(share) => self.top_speed.map(|top| top.mark(share)),
        }
    }

    pub(crate) fn heart_rate(&self, time_s: f64) -> Option<f64> {
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
}

/// A rep of which nothing is known but what was planned.
pub(super) fn blank(rep: usize, block: &Block) -> RepReview {
    RepReview {
        work_planned_s: block.work_s(),
        distance_planned_m: block.rep_distance_m(),
        ..RepReview::new(rep + 1, Verdict::Missed)
    }
}
