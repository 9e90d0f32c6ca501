//! What lies between two items that follow each other, all of it missing: what that costs, and how long it may have taken.
//!
//! It is built up item by item from one side, so that the items before each item, which are many, are walked once and not
//! once for each pair.

use crate::plan::Category;
use crate::review::cost::{self, Gap, Quality};
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind};

/// Up to so many stretches each may have been left out or not; of more, all or none.
const MOST_APART: usize = 3;

/// Items in a row.
#[derive(Clone, Debug)]
pub(super) struct Between {
    ways: Vec<Way>,
    stretches: usize,
    reps: bool,
    stray_share: f64,
    missing: Missing,
}

impl Between {
    /// No item at all.
    pub fn nothing() -> Self {
        Self {
            ways: [true, false].map(Way::of).to_vec(),
            stretches: 0,
            reps: false,
            stray_share: 1.0,
            missing: Missing::default(),
        }
    }

    /// Adds the item before all others.
    pub fn push_front(&mut self, item: &Item) {
        self.push(item, Passing::push_front);
        if item.kind == Kind::Bout {
            self.missing.push_front(item);
        }
    }

    /// Adds the item after all others.
    pub fn push_back(&mut self, item: &Item) {
        self.push(item, Passing::push_back);
        if item.kind == Kind::Bout {
            self.missing.push_back(item);
        }
    }

    fn push(&mut self, item: &Item, onto: fn(&mut Passing, &Item, bool)) {
        match item.kind {
            Kind::Extra => {}
            Kind::Bout => {
                self.reps = true;
                for way in &mut self.ways {
                    onto(&mut way.passing, item, way.reps_elapse);
                }
            }
            Kind::Stretch => {
                self.stretches += 1;
                self.stray_share = self.stray_share.min(stray_share(item));
                if self.stretches > MOST_APART {
                    self.ways.retain(|way| !(way.kept && way.left_out));
                } else {
                    let left_out = self.ways.iter().cloned().map(|way| Way {
                        left_out: true,
                        ..way
                    });
                    let kept = self
                        .ways
                        .iter()
                        .cloned()
                        .map(|way| Way { kept: true, ..way });
                    self.ways = kept.chain(left_out).collect();
                }
                let half = self.ways.len() / 2;
                let apart = self.stretches <= MOST_APART;
                for (k, way) in self.ways.iter_mut().enumerate() {
                    let elapses = if apart { k < half } else { way.kept };
                    if !elapses {
                        way.cost += cost::MISSING_STRETCH;
                    }
                    onto(&mut way.passing, item, elapses);
                }
            }
        }
    }

    /// The price of the items missing, sets and blocks at a time.
    pub fn missing(&self) -> f64 {
        self.missing.price()
    }

    /// What a stray bout costs there: nothing in a game, little in a warm-up.
    ///
    /// Where reps are missing as well, a bout is more likely one of them than part of the game.
    pub fn stray_weight(&self) -> f64 {
        self.stray_share.max(if self.reps { 0.6 } else { 0.0 })
    }

    /// Whether it holds nothing that would have taken time.
    pub fn is_empty(&self) -> bool {
        !self.reps && self.stretches == 0
    }

    /// The ways in which the time may have passed, after a rest of `pending`: what lies between took its time, or was left
    /// out with its time.
    pub fn ways(&self, pending: Option<Guess>, quality: &Quality) -> Vec<Gap> {
        self.ways
            .iter()
            .filter(|way| way.reps_elapse || self.reps)
            .map(|way| {
                let cost = way.cost + if way.reps_elapse { 0.0 } else { 1.0 };
                Gap::new(way.passing.clone().after(pending), cost, quality)
            })
            .collect()
    }
}

/// What a bout inside a stretch costs, as a share of a stray bout's cost.
pub(super) fn stray_share(stretch: &Item) -> f64 {
    match stretch.category {
        Category::Game => 0.0,
        Category::WarmUp | Category::CoolDown => 0.1,
        _ => 0.5,
    }
}

/// One way in which the time passed.
#[derive(Clone, Debug)]
struct Way {
    /// Whether reps took their time.
    reps_elapse: bool,
    /// Whether some stretch took its time, and whether some was left out with it.
    kept: bool,
    left_out: bool,
    cost: f64,
    passing: Passing,
}

impl Way {
    fn of(reps_elapse: bool) -> Self {
        Self {
            reps_elapse,
            kept: false,
            left_out: false,
            cost: 0.0,
            passing: Passing::default(),
        }
    }
}

/// The time of items in a row.
///
/// Walking along the plan, each thing that took place adds the rest before it and its own time; one left out with its
/// time merges the rests on both sides into the longer of the two.
#[derive(Clone, Debug, Default)]
struct Passing {
    /// The rest before the first thing that took place, as far as it is known.
    lead: Option<Guess>,
    /// From the first thing that took place to the last, with its variance, and the rest after it.
    core: Option<(f64, f64, Guess)>,
}

impl Passing {
    fn push_back(&mut self, item: &Item, elapses: bool) {
        let mut add = Sum::default();
        match (&mut self.core, elapses) {
            (None, true) => {
                add.add(item.work);
                self.core = Some((add.total, add.variance, item.rest_after));
            }
            (Some((total, variance, rest)), true) => {
                add.add(*rest);
                add.add(item.work);
                *total += add.total;
                *variance += add.variance;
                *rest = item.rest_after;
            }
            (None, false) => self.lead = longer(self.lead, Some(item.rest_after)),
            (Some((_, _, rest)), false) => {
                *rest = longer(Some(*rest), Some(item.rest_after)).unwrap_or(*rest);
            }
        }
    }

    fn push_front(&mut self, item: &Item, elapses: bool) {
        let rest = longer(Some(item.rest_after), self.lead).unwrap_or(item.rest_after);
        if !elapses {
            self.lead = Some(rest);
            return;
        }
        let mut add = Sum::default();
        add.add(item.work);
        match &mut self.core {
            None => self.core = Some((add.total, add.variance, rest)),
            Some((total, variance, _)) => {
                add.add(rest);
                *total += add.total;
                *variance += add.variance;
            }
        }
        self.lead = None;
    }

    /// The time of it all, the rest before it included.
    fn after(self, pending: Option<Guess>) -> Guess {
        let mut sum = Sum::default();
        if let Some(rest) = longer(pending, self.lead) {
            sum.add(rest);
        }
        if let Some((total, variance, rest)) = self.core {
            sum.total += total;
            sum.variance += variance;
            sum.add(rest);
        }
        let total = sum.total.max(1.0);
        Guess::new(total, (sum.variance.sqrt() / total).max(0.05))
    }
}

/// The longer of two rests, the earlier of equal ones.
fn longer(earlier: Option<Guess>, later: Option<Guess>) -> Option<Guess> {
    match (earlier, later) {
        (Some(a), Some(b)) if a.value < b.value => Some(b),
        (a, b) => a.or(b),
    }
}

/// Times that add up.
#[derive(Default)]
struct Sum {
    total: f64,
    variance: f64,
}

impl Sum {
    fn add(&mut self, guess: Guess) {
        self.total += guess.value;
        self.variance += (guess.value * guess.sd.min(1.0)).powi(2);
    }
}

/// The price of reps missing. A stretch is priced where the ways of a gap are told apart.
#[derive(Clone, Copy, Debug, Default)]
struct Missing {
    /// What the blocks cost that are behind.
    others: f64,
    /// The block and set at hand, with the reps missing from the set.
    block: usize,
    set: usize,
    reps: usize,
    /// The cost of the first set of the block, where that is behind; a further one costs less.
    first: Option<f64>,
    /// The cost of the further sets that are behind.
    more: f64,
}

impl Missing {
    fn push_front(&mut self, item: &Item) {
        if self.goes_on(item) && item.set != self.set {
            self.more += set_cost(self.reps).min(cost::MISSING_SET_MORE);
            self.reps = 0;
        }
        self.count(item);
    }

    fn push_back(&mut self, item: &Item) {
        if self.goes_on(item) && item.set != self.set {
            let cost = set_cost(self.reps);
            match self.first {
                None => self.first = Some(cost),
                Some(_) => self.more += cost.min(cost::MISSING_SET_MORE),
            }
            self.reps = 0;
        }
        self.count(item);
    }

    /// Whether an item belongs to the block at hand; else that is behind from now on.
    fn goes_on(&mut self, item: &Item) -> bool {
        let goes_on = self.reps > 0 && item.block == self.block;
        if !goes_on {
            *self = Self {
                others: self.price(),
                ..Self::default()
            };
        }
        goes_on
    }

    fn count(&mut self, item: &Item) {
        (self.block, self.set) = (item.block, item.set);
        self.reps += 1;
    }

    fn price(&self) -> f64 {
        if self.reps == 0 {
            return self.others;
        }
        let here = set_cost(self.reps);
        let block = match self.first {
            Some(first) => first + self.more + here.min(cost::MISSING_SET_MORE),
            None => here + self.more,
        };
        self.others + block.min(cost::MISSING_BLOCK)
    }
}

/// The price of so many reps missing from one set.
fn set_cost(reps: usize) -> f64 {
    (cost::MISSING_REP + cost::MISSING_MORE * (reps - 1) as f64).min(cost::MISSING_SET)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::plan;
    use crate::review::items;

    const PLAN: &str = "warm-up 10 min\nresistance 3 x 2 x 12 s, rest 25 s, 90 s between sets, then 2 min\ngame 12 min\n\
        technical 6 min\nspeed 4 x 20 m, rest walk back\ncool-down 5 min\ntechnical 3 min\nresistance 2 x 30 s, rest 60 s\n";

    /// The time and cost of each way, one item after another.
    fn by_walking(
        between: &[Item],
        pending: Option<Guess>,
        skipped: &[bool],
        reps_elapse: bool,
    ) -> (f64, f64) {
        let (mut rest, mut total, mut stretch) = (pending, 0.0, 0);
        let mut cost = if reps_elapse { 0.0 } else { 1.0 };
        for item in between.iter().filter(|item| item.kind != Kind::Extra) {
            let elapses = match item.kind {
                Kind::Stretch => {
                    stretch += 1;
                    !skipped[stretch - 1]
                }
                _ => reps_elapse,
            };
            if elapses {
                total += rest.map_or(0.0, |r| r.value) + item.work.value;
                rest = Some(item.rest_after);
            } else {
                cost += if item.kind == Kind::Stretch {
                    cost::MISSING_STRETCH
                } else {
                    0.0
                };
                rest = longer(rest, Some(item.rest_after));
            }
        }
        (f64::max(total + rest.map_or(0.0, |r| r.value), 1.0), cost)
    }

    proptest! {
        /// Built up from either side, it is what walking along it gives.
        #[test]
        fn both_sides_give_what_walking_gives(from in 0..22_usize, length in 0..22_usize, pending in proptest::option::of(1.0..300.0_f64)) {
            let plan = plan::parse(PLAN).expect("the plan is sound");
            let order: Vec<usize> = (0..plan.blocks.len()).collect();
            let items = items::schedule(&plan, &order, None).items;
            let between = &items[from.min(items.len())..(from + length).min(items.len())];
            let pending = pending.map(|s| Guess::new(s, 0.2));
            let quality = Quality { edge_sd_s: 0.2, length_sd_m: 1.0, place_sd_m: 3.0, peak_sd_m_s: 0.2, has_position: true };
            let (mut front, mut back) = (Between::nothing(), Between::nothing());
            for item in between {
                back.push_back(item);
            }
            for item in between.iter().rev() {
                front.push_front(item);
            }
            prop_assert!((front.missing() - back.missing()).abs() < 1e-9);

            let stretches = between.iter().filter(|i| i.kind == Kind::Stretch).count();
            let masks: Vec<Vec<bool>> = if stretches <= MOST_APART {
                (0..1_u32 << stretches).map(|mask| (0..stretches).map(|k| mask >> k & 1 == 1).collect()).collect()
            } else {
                vec![vec![false; stretches], vec![true; stretches]]
            };
            let reps = between.iter().any(|i| i.kind == Kind::Bout);
            let mut walked: Vec<(f64, f64)> = masks
                .iter()
                .flat_map(|mask| [true, false].map(|elapse| (mask, elapse)))
                .filter(|(_, elapse)| reps || *elapse)
                .map(|(mask, elapse)| by_walking(between, pending, mask, elapse))
                .collect();
            // Equal times may differ in their last digit.
            let order = |a: &(f64, f64), b: &(f64, f64)| {
                let time = |way: &(f64, f64)| (way.0 * 1e3).round();
                time(a).total_cmp(&time(b)).then(a.1.total_cmp(&b.1))
            };
            walked.sort_by(order);
            for side in [&front, &back] {
                let mut ways: Vec<(f64, f64)> = side.ways(pending, &quality).iter().map(|w| (w.expected.value, w.cost)).collect();
                ways.sort_by(order);
                prop_assert_eq!(ways.len(), walked.len());
                for (way, walked) in ways.iter().zip(&walked) {
                    prop_assert!((way.0 - walked.0).abs() < 1e-6 && (way.1 - walked.1).abs() < 1e-9, "{:?} {:?}", way, walked);
                }
            }
        }
    }

    /// By hand: two reps of a set cost 4.2 + 2.5; a further set of the block 3; a whole block 11 at most.
    #[test]
    fn what_is_missing_costs_less_together() {
        let plan = plan::parse("resistance 9 x 2 x 12 s, rest 25 s, 90 s between sets\n")
            .expect("the plan is sound");
        let items = items::schedule(&plan, &[0], None).items;
        let price = |count: usize| {
            let mut between = Between::nothing();
            for item in &items[..count] {
                between.push_back(item);
            }
            between.missing()
        };
        assert!((price(1) - 4.2).abs() < 1e-12);
        assert!((price(3) - 6.7).abs() < 1e-12);
        assert!((price(5) - 9.7).abs() < 1e-12);
        assert!((price(27) - 11.0).abs() < 1e-12);
    }
}
