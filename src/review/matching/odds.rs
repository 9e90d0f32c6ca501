//! What all accounts say together: how sure each statement of the one that is told is, and how many reps of a set were done.

use std::collections::{BTreeMap, HashMap};

use super::Matching;
use super::account::{same, settled, told};
use super::hypothesis::Hypothesis;
use crate::bouts::Bout;
use crate::review::chain::Fate;
use crate::review::cost::{self, Quality};
use crate::review::items::{Item, Kind};
use crate::review::sums::log_sum;
use crate::review::{Tolerances, verdict};

/// How far a rep counts as done of which the recording can show nothing.
const UNSEEN: f64 = 0.5;
/// What is held against a player counts only so far: in so many of a hundred sessions something happened that no account here
/// foresees, and then all accounts agree on what is wrong.
pub(in crate::review) const FORESEEN: f64 = 0.94;
/// Reps that are each in full as good as surely may be short of a whole number by this in all.
const WHOLE: f64 = 0.05;
/// Of a stretch that the recording cut, less than this share says nothing of the rest.
const NOT_RECORDED: f64 = 0.06;

/// How likely it is that an item was done, cut short or left out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::review) struct Odds {
    /// Done in full.
    pub done: f64,
    /// Begun and cut short.
    pub short: f64,
    /// Left out, or not recorded.
    pub missing: f64,
    /// Done where the account that is told has it.
    pub here: f64,
    /// As many of its set left out as the account that is told says.
    pub count: f64,
    /// Left out, or not recorded, by the plan alone: before the session taught what is usual in it.
    pub at_first: f64,
}

impl Odds {
    /// That it was not done in full, cut short or left out.
    pub(crate) fn not_in_full(&self) -> f64 {
        self.short + self.missing
    }
}

/// The likeliest order's account, with the odds of each of its statements over all orders.
pub(super) fn conclude(
    tried: &[Hypothesis],
    best: usize,
    candidates: &[Bout],
    quality: &Quality,
    tolerances: &Tolerances,
) -> Matching {
    let chosen = &tried[best];
    let items = &chosen.schedule.items;
    let fates = chosen
        .drawn
        .get(told(&chosen.drawn, candidates))
        .cloned()
        .unwrap_or_else(|| vec![Fate::Missing; items.len()]);
    let fates = settled(fates, &chosen.drawn, candidates);
    let mut odds: Vec<Odds> = (chosen.at_first.iter())
        .map(|&at_first| Odds {
            at_first,
            ..Odds::default()
        })
        .collect();
    let weights: Vec<f64> = tried
        .iter()
        .map(|h| (h.weight - chosen.weight).exp())
        .collect();
    let all: f64 = weights.iter().sum();
    let left_out = |fates: &[Fate], at: &dyn Fn(usize) -> usize| -> Vec<usize> {
        let mut counts = vec![0; items.len()];
        let mut k = 0;
        while k < items.len() {
            let end = (k..items.len())
                .find(|&n| (items[n].block, items[n].set) != (items[k].block, items[k].set))
                .unwrap_or(items.len());
            let gone = (k..end)
                .filter(|&n| items[n].kind != Kind::Extra)
                .filter(|&n| fates[at(n)].is_left_out())
                .count();
            counts[k..end].fill(gone);
            k = end;
        }
        counts
    };
    let said = left_out(&fates, &|k| k);
    let full = |item: &Item, fate: &Fate| full(item, fate, candidates, quality, tolerances);
    for (hypothesis, weight) in tried.iter().zip(&weights) {
        let share = weight / all / hypothesis.drawn.len().max(1) as f64;
        if share < 1e-7 {
            continue;
        }
        let places = places(items, &hypothesis.schedule.items);
        for drawn in &hypothesis.drawn {
            let counts = left_out(drawn, &|k| places[k]);
            for (k, odds) in odds.iter_mut().enumerate() {
                let fate = &drawn[places[k]];
                let item = &hypothesis.schedule.items[places[k]];
                match full(item, fate) {
                    None => odds.missing += FORESEEN * share,
                    Some(full) => {
                        odds.done += full * share;
                        odds.short += FORESEEN * (1.0 - full) * share;
                    }
                }
                odds.here += f64::from(u8::from(same(fate, &fates[k], candidates))) * share;
                let alike = f64::from(u8::from(counts[k] == said[k]));
                odds.count += FORESEEN * alike * share;
            }
        }
    }
    let done = done(tried, &weights, full);
    Matching {
        items: items.clone(),
        fates,
        odds,
        done: done.of_sets,
        done_of_block: done.of_blocks,
        reordered: (chosen.swaps > 0).then(|| chosen.order.clone()),
        gain: log_sum(&tried.iter().map(|h| h.weight).collect::<Vec<_>>()) + chosen.surprise
            - chosen.nothing,
    }
}

/// How many items of each set and of each block were done: all but one account in 40 have so many or more, the middle one, so many
/// or less.
struct Done {
    of_sets: HashMap<(usize, usize), [f64; 3]>,
    of_blocks: HashMap<usize, [f64; 3]>,
}

/// That in all accounts, hypotheses by their weight.
fn done(tried: &[Hypothesis], weights: &[f64], full: impl Fn(&Item, &Fate) -> Option<f64>) -> Done {
    // By set, a count and a weight an account; the accounts stand in one order for all sets, and these in theirs.
    let mut of_sets: BTreeMap<(usize, usize), Vec<(f64, f64)>> = BTreeMap::new();
    for (hypothesis, weight) in tried.iter().zip(weights).filter(|(_, w)| **w > 1e-5) {
        let draws = hypothesis.drawn.len();
        let mut own: BTreeMap<(usize, usize), Vec<f64>> = BTreeMap::new();
        for (k, item) in hypothesis.schedule.items.iter().enumerate() {
            if item.kind == Kind::Extra {
                continue;
            }
            let of_set = own
                .entry((item.block, item.set))
                .or_insert_with(|| vec![0.0; draws]);
            for (count, fates) in of_set.iter_mut().zip(&hypothesis.drawn) {
                *count += full(item, &fates[k]).unwrap_or(0.0);
            }
        }
        for (set, of_set) in own {
            let weighed = of_set.into_iter().map(|count| (count, *weight));
            of_sets.entry(set).or_default().extend(weighed);
        }
    }
    let mut of_blocks: BTreeMap<usize, Vec<(f64, f64)>> = BTreeMap::new();
    for (&(block, _), of_set) in &of_sets {
        match of_blocks.get_mut(&block) {
            None => {
                of_blocks.insert(block, of_set.clone());
            }
            Some(of_block) => {
                for (all, one) in of_block.iter_mut().zip(of_set) {
                    all.0 += one.0;
                }
            }
        }
    }
    Done {
        of_sets: (of_sets.into_iter())
            .map(|(set, counts)| (set, bounds(counts)))
            .collect(),
        of_blocks: (of_blocks.into_iter())
            .map(|(block, counts)| (block, bounds(counts)))
            .collect(),
    }
}

/// Of counts with a weight each: the 2.5th, the 50th and the 97.5th of a hundred, as whole numbers.
fn bounds(mut counts: Vec<(f64, f64)>) -> [f64; 3] {
    counts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = counts.iter().map(|c| c.1).sum();
    let at = |share: f64| {
        let mut sum = 0.0;
        let reached = counts.iter().find(|c| {
            sum += c.1;
            sum >= share * all
        });
        reached.or(counts.last()).map_or(0.0, |c| c.0)
    };
    [
        (at(0.025) + WHOLE).floor(),
        at(0.5).round(),
        (at(0.975) - WHOLE).ceil(),
    ]
}

/// Where the items of one order stand in another.
fn places(items: &[Item], other: &[Item]) -> Vec<usize> {
    let mut firsts = HashMap::new();
    for (k, item) in other.iter().enumerate() {
        firsts.entry(item.block).or_insert(k);
    }
    let mut within = HashMap::new();
    items
        .iter()
        .map(|item| {
            let n = within.entry(item.block).or_insert(0_usize);
            let place = firsts.get(&item.block).copied().unwrap_or(0) + *n;
            *n += 1;
            place.min(other.len().saturating_sub(1))
        })
        .collect()
}

/// How likely an item was done in full by what became of it; `None` where it was not done.
fn full(
    item: &Item,
    fate: &Fate,
    candidates: &[Bout],
    quality: &Quality,
    tolerances: &Tolerances,
) -> Option<f64> {
    match *fate {
        Fate::Missing | Fate::Unrecorded => None,
        // Nothing is known of it; neither word is said.
        Fate::Hidden => Some(UNSEEN),
        Fate::Bout(candidate) => {
            let bout = candidates.get(candidate)?;
            if item.reps > 1 {
                return Some(1.0);
            }
            let time_s = cost::end_s(item, bout) - bout.start_s;
            let (share, sd) = cost::work_share(item, bout, time_s, quality);
            let otherwise = cost::otherwise_full(item, bout, share, quality);
            Some(verdict::full(share, sd, otherwise, tolerances))
        }
        Fate::Stretch(start_s, end_s, true) if end_s - start_s < NOT_RECORDED * item.work.value => {
            None
        }
        Fate::Stretch(start_s, end_s, cut) => {
            let share = (end_s - start_s) / item.work.value.max(1.0);
            Some(f64::from(u8::from(!cut && share >= 0.85 || share >= 0.95)))
        }
    }
}
