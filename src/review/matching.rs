//! Matching: which bout is which planned rep, over the whole session at once, with several hypotheses kept to the end.

use std::collections::HashMap;

use rayon::prelude::*;

use crate::bouts::Bouts;
use crate::plan::Plan;
use crate::review::alignment::{Lattice, Node};
use crate::review::ambiguity::{self, Posterior};
use crate::review::cost::Quality;
use crate::review::items::{self, Item, Kind, Schedule};
use crate::review::learn;
use crate::review::session_problem::SessionProblem;

/// What each item of the plan was paired with.
#[derive(Clone, Debug)]
pub(super) struct Matching {
    /// The items in the order done, with what was learnt of each block.
    pub items: Vec<Item>,
    /// For each item the candidate it was paired with.
    pub pairs: Vec<Option<usize>>,
    /// For each item the probability of what `pairs` says of it, over all alignments and orders of blocks.
    pub sure: Vec<f64>,
    /// The blocks in the order in which they were done, if that is not the order of the plan.
    pub reordered: Option<Vec<usize>>,
}

/// Cost of two neighbouring blocks changing places: 1 session in 150 for each pair.
const SWAP: f64 = 5.0;
/// Other orders are tried for blocks whose account in order is this dear.
const TROUBLE: f64 = 5.0;
/// How many changes of order one session may have.
const MOST_SWAPS: usize = 3;
/// How many times what a matching taught is used to match again.
const ROUNDS: usize = 2;

/// Pairings dearer than the best account by more than this are not looked at again once something was learnt.
const SLACK: f64 = 25.0;

/// One order of the blocks, matched.
struct Hypothesis {
    order: Vec<usize>,
    schedule: Schedule,
    lattice: Lattice,
    /// For each candidate the items worth pairing with it.
    promising: Vec<Vec<usize>>,
    posterior: Posterior,
    /// Cost of the hypothesis as a whole: evidence and order.
    cost: f64,
    swaps: usize,
}

/// Pairs the plan with the bouts.
pub(super) fn matching(
    plan: &Plan,
    bouts: &Bouts,
    quality: Quality,
    span_s: (f64, f64),
    top_speed_m_s: Option<f64>,
) -> Matching {
    let weigh = |order: Vec<usize>, swaps: usize, alike: Option<&Hypothesis>| {
        let mut schedule = items::schedule(plan, &order, top_speed_m_s);
        let lay = |schedule: &Schedule, promising| {
            Lattice::new(&SessionProblem::new(
                schedule, bouts, quality, span_s, promising,
            ))
        };
        let worth = alike.map(|known| known.promising_in(&schedule));
        let mut lattice = lay(&schedule, worth);
        let promising = lattice.promising(bouts.candidates.len(), SLACK);
        for _ in 0..ROUNDS {
            let fresh = items::schedule(plan, &order, top_speed_m_s);
            schedule = learn::learn(fresh, &lattice.best().0, &bouts.candidates, &quality);
            lattice = lay(&schedule, Some(promising.clone()));
        }
        let posterior = ambiguity::posterior(&lattice);
        Hypothesis {
            cost: posterior.evidence + SWAP * swaps as f64,
            order,
            schedule,
            lattice,
            promising,
            posterior,
            swaps,
        }
    };
    let mut tried = vec![weigh((0..plan.blocks.len()).collect(), 0, None)];
    let mut best = 0;
    for _ in 0..MOST_SWAPS {
        let known = &tried[best];
        let path = known.lattice.best().0;
        let trouble = trouble(known, &path, plan.blocks.len());
        let lost = lost(&known.schedule, &path, plan.blocks.len());
        let others: Vec<(Vec<usize>, bool)> = (1..known.order.len())
            .map(|k| (k, [known.order[k - 1], known.order[k]]))
            .filter(|(_, [a, b])| trouble[*a] + trouble[*b] >= TROUBLE)
            .map(|(k, [a, b])| {
                let mut other = known.order.clone();
                other.swap(k - 1, k);
                (other, lost[a] || lost[b])
            })
            .filter(|(other, _)| tried.iter().all(|h| h.order != *other))
            .collect();
        // Where the reps of both blocks were found, another order may move what lies between them, but pairs them alike.
        let weighed: Vec<Hypothesis> = others
            .into_par_iter()
            .map(|(other, lost)| weigh(other, known.swaps + 1, (!lost).then_some(known)))
            .collect();
        let mut improved = false;
        for hypothesis in weighed {
            if hypothesis.cost < tried[best].cost {
                best = tried.len();
                improved = true;
            }
            tried.push(hypothesis);
        }
        if !improved {
            break;
        }
    }
    conclude(&tried, best, bouts)
}

impl Hypothesis {
    /// The items worth pairing with each candidate, as they lie in another order of the blocks.
    fn promising_in(&self, other: &Schedule) -> Vec<Vec<usize>> {
        let (here, there) = (firsts(&self.schedule), firsts(other));
        let moved = |item: &usize| {
            let block = self.schedule.items[*item].block;
            there[block] + (item - here[block])
        };
        let mut promising: Vec<Vec<usize>> = self
            .promising
            .iter()
            .map(|items| items.iter().map(moved).collect())
            .collect();
        for items in &mut promising {
            items.sort_unstable();
        }
        promising
    }
}

/// The first item of each block.
fn firsts(schedule: &Schedule) -> Vec<usize> {
    let mut firsts = Vec::new();
    for (k, item) in schedule.items.iter().enumerate().rev() {
        if firsts.len() <= item.block {
            firsts.resize(item.block + 1, 0);
        }
        firsts[item.block] = k;
    }
    firsts
}

/// Whether more than a quarter of the reps of each block are not on a path.
fn lost(schedule: &Schedule, path: &[Node], blocks: usize) -> Vec<bool> {
    let (mut planned, mut found) = (vec![0; blocks], vec![0; blocks]);
    let count = |counts: &mut Vec<usize>, item: &Item| {
        counts[item.block] += usize::from(item.kind == Kind::Bout);
    };
    for item in &schedule.items {
        count(&mut planned, item);
    }
    for node in path {
        count(&mut found, &schedule.items[node.item]);
    }
    let share = planned.iter().zip(&found);
    share
        .map(|(planned, found)| 4 * found < 3 * planned)
        .collect()
}

/// How dear the account of each block is, by what is missing from it and by steps that fit badly.
fn trouble(hypothesis: &Hypothesis, path: &[Node], blocks: usize) -> Vec<f64> {
    let mut trouble = vec![0.0; blocks];
    let items = &hypothesis.schedule.items;
    let mut found = vec![false; items.len()];
    for node in path {
        found[node.item] = true;
    }
    for (item, found) in items.iter().zip(&found) {
        if item.kind == Kind::Bout && !found {
            trouble[item.block] += 2.0;
        }
    }
    for pair in path.windows(2) {
        let (Some(from), Some(to)) = (position(hypothesis, pair[0]), position(hypothesis, pair[1]))
        else {
            continue;
        };
        let step = hypothesis
            .lattice
            .steps_into(to)
            .iter()
            .find(|(f, _)| *f as usize == from)
            .map_or(0.0, |&(_, cost)| f64::from(cost));
        if step > 3.0 {
            for item in &items[pair[0].item..=pair[1].item] {
                if item.kind != Kind::Extra
                    && (item.block != items[pair[0].item].block || pair[0].item + 1 == pair[1].item)
                {
                    trouble[item.block] = f64::max(trouble[item.block], step);
                }
            }
        }
    }
    // What lies before the first and after the last pairing has no step of its own.
    let (first, last) = match (path.first(), path.last()) {
        (Some(first), Some(last)) => (first.item, last.item),
        _ => (items.len(), items.len()),
    };
    for (k, item) in items.iter().enumerate() {
        if item.kind == Kind::Stretch && (k < first || k > last) {
            trouble[item.block] += 2.5;
        }
    }
    trouble
}

fn position(hypothesis: &Hypothesis, node: Node) -> Option<usize> {
    let place = |n: &Node| (n.candidate, n.item);
    hypothesis
        .lattice
        .nodes
        .binary_search_by_key(&place(&node), place)
        .ok()
}

/// The likeliest order's best path, with the probability of each of its statements over all orders.
fn conclude(tried: &[Hypothesis], best: usize, bouts: &Bouts) -> Matching {
    let chosen = &tried[best];
    let items = &chosen.schedule.items;
    let mut pairs = vec![None; items.len()];
    for node in chosen.lattice.best().0 {
        pairs[node.item] = Some(node.candidate);
    }
    let weights: Vec<f64> = tried.iter().map(|h| (chosen.cost - h.cost).exp()).collect();
    let total: f64 = weights.iter().sum();
    let mut sure = vec![0.0; items.len()];
    for (hypothesis, weight) in tried.iter().zip(&weights) {
        if weight / total < 1e-4 {
            continue;
        }
        let agree = agreement(hypothesis, items, &pairs, bouts);
        for (sum, share) in sure.iter_mut().zip(agree) {
            *sum += weight / total * share;
        }
    }
    Matching {
        items: items.clone(),
        pairs,
        sure,
        reordered: (chosen.swaps > 0).then(|| chosen.order.clone()),
    }
}

/// How far one hypothesis agrees with what is said of each item.
///
/// Reps of a block are alike: that a bout is one of them, and how many of them are missing, may be sure even where which
/// one of them it is cannot be told; then they are named in the order kept. So a pairing is as sure as its bout being any
/// rep of the block, and a rep missing is as sure as the number that is missing from its block, or as its own absence.
fn agreement(
    hypothesis: &Hypothesis,
    items: &[Item],
    pairs: &[Option<usize>],
    bouts: &Bouts,
) -> Vec<f64> {
    let blocks = items.iter().map(|i| i.block + 1).max().unwrap_or(0);
    // Each block's items that were paired, with the candidate of each.
    let mut said_of: Vec<Vec<(usize, usize)>> = vec![Vec::new(); blocks];
    for (k, item) in items.iter().enumerate() {
        if let Some(said) = pairs[k] {
            said_of[item.block].push((k, said));
        }
    }
    let index: HashMap<(usize, usize, usize), usize> = items
        .iter()
        .enumerate()
        .map(|(k, i)| ((i.block, i.set, i.rep), k))
        .collect();
    let mut same = vec![0.0; items.len()];
    let mut paired = vec![0.0; items.len()];
    let mut found = vec![0.0; blocks];
    for (node, weight) in hypothesis
        .lattice
        .nodes
        .iter()
        .zip(&hypothesis.posterior.nodes)
    {
        if *weight < 1e-9 {
            continue;
        }
        let item = &hypothesis.schedule.items[node.item];
        if item.kind == Kind::Bout {
            found[item.block] += weight;
        }
        if let Some(&k) = index.get(&(item.block, item.set, item.rep)) {
            paired[k] += weight;
        }
        let b = &bouts.candidates[node.candidate];
        // What was said follows in time, so those that may share time with it stand together.
        let said_of = &said_of[item.block];
        let near = said_of.partition_point(|&(_, said)| bouts.candidates[said].stop_s <= b.start_s);
        for &(k, said) in &said_of[near..] {
            let a = &bouts.candidates[said];
            if a.start_s >= b.stop_s {
                break;
            }
            let both = a.stop_s.min(b.stop_s) - a.start_s.max(b.start_s);
            if both > 0.5 * a.stop_run_s().max(b.stop_run_s()) {
                same[k] += weight;
            }
        }
    }
    let mut said = vec![0.0; blocks];
    for (k, item) in items.iter().enumerate() {
        if item.kind == Kind::Bout && pairs[k].is_some() {
            said[item.block] += 1.0;
        }
    }
    (0..items.len())
        .map(|k| {
            let block = items[k].block;
            if pairs[k].is_some() {
                same[k].min(1.0)
            } else {
                (1.0 - (said[block] - found[block]).abs()).max(1.0 - paired[k])
            }
        })
        .collect()
}
