//! Longer runs that no bout shows, and that yet may have been run: at hardly more than a walk, or to and fro with a turn every few steps.

use crate::bouts::Bout;
use crate::estimation::quantile::midpoint;
use crate::plan::Category;
use crate::review::doubt::SPARE;
use crate::review::items::Item;
use crate::review::matching::Matching;
use crate::review::passed::is_vague;
use crate::review::plan_review::desk::Desk;
use crate::review::verdict;

/// Nobody walks so fast for long, m/s: at about 2 m/s walking turns into running. Common knowledge of gait, from memory: Hreljac (1993),
/// Med Sci Sports Exerc 25:1158.
const TROT_M_S: f64 = 1.8;
/// The speed is looked at over so long, s.
const OVER_S: f64 = 5.0;
/// Runs of so long, s, may be trotted.
const LEAST_RUN_S: f64 = 20.0;
/// A run that no bout shows goes so much of the way of those that were found, in so many times their time.
const AS_FAR: f64 = 0.75;
const LONGER: f64 = 1.15;
/// Half of the time that is missing may be all of it, by somebody slow.
const HALF: f64 = 0.5;

impl Desk<'_> {
    /// Whether half as many runs as are missing of an item's block may be among what no bout shows, between the blocks before and after it: of
    /// a block of which nothing was found, whether he trotted for half as long as all of it takes.
    pub(crate) fn trotted(&self, item: usize) -> bool {
        let own = &self.matching.items[item];
        if own.category != Category::Resistance || own.work.value < LEAST_RUN_S {
            return false;
        }
        let found: Vec<&Bout> = (self.block_of(item)).filter_map(|k| self.bout(k)).collect();
        if found.is_empty() {
            return self.trotted_s(self.room_s(own)) >= HALF * self.work_of_block_s(item);
        }
        let missing = (self.block_of(item))
            .filter(|&k| self.matching.fates[k].is_left_out())
            .count();
        self.ways_as_far(own, &found) as f64 >= SPARE * missing as f64
    }

    /// How often he went as far as a run that was found goes, in hardly more than its time, where nothing else of the block was found.
    fn ways_as_far(&self, own: &Item, found: &[&Bout]) -> usize {
        let middle = |of: fn(&Bout) -> f64| midpoint(found.iter().map(|b| of(b)).collect());
        let (Some(way_m), Some(run_s)) = (middle(|b| b.path_to_end_m), middle(Bout::run_s)) else {
            return 0;
        };
        let (from_s, to_s) = self.room_s(own);
        let long_s = LONGER * run_s;
        let (mut at_s, mut count) = (from_s, 0);
        while at_s + long_s <= to_s {
            let end_s = at_s + long_s;
            let in_way = found.iter().find(|b| b.start_s < end_s && at_s < b.end_s);
            if let Some(bout) = in_way {
                at_s = bout.end_s;
            } else if self.way_m(at_s, end_s) >= AS_FAR * way_m {
                count += 1;
                at_s = end_s;
            } else {
                at_s += OVER_S;
            }
        }
        count
    }

    /// How long he trotted between two times, s.
    fn trotted_s(&self, (from_s, to_s): (f64, f64)) -> f64 {
        let steps = ((to_s - from_s) / OVER_S).max(0.0) as usize;
        let trots = |step: &usize| {
            let at_s = from_s + *step as f64 * OVER_S;
            self.way_m(at_s, at_s + OVER_S) >= TROT_M_S * OVER_S
        };
        (0..steps).filter(trots).count() as f64 * OVER_S
    }

    /// The time between the blocks before and after an item's, s: calm work that may have been elsewhere bounds nothing.
    fn room_s(&self, own: &Item) -> (f64, f64) {
        let Matching { items, odds, .. } = &self.matching;
        self.room_of_block_s(own, |k| {
            !is_vague(&items[k]) || odds[k].done >= verdict::GRANT
        })
    }
}
