//! Matching: what became of each item of the plan, over the whole session at once, with several orders of its blocks.
//!
//! The [chain](crate::review::chain) of each order gives its weight and accounts drawn as often as they are likely. The first
//! accounts teach what the session's own times, speeds and places are (`learn`), and the chain is made again.
//! Where they leave anything out, the chain is made of loosely kept rests as well: rests of half and of twice their time, held to the
//! plan, make reps left out and whole blocks, and then the wrong account teaches.
//! Of the accounts drawn, the one that agrees best with all others is told; how sure each of its statements is, is the
//! share of the others that agree. What was learnt from an account makes that account look right: that a rep was left out is
//! therefore held against the first accounts as well (`Odds::at_first`), and one order against another by how surprising what they teach
//! is (`learn::surprise`).
//!
//! In the example of [`crate::review`] that account is: the first candidate, left out, the second candidate, no rep more. All 160
//! accounts say so, and what is held against a player counts for 0.94 of it at most; the plan is worth 13 nats over none.

mod account;
mod hypothesis;
mod odds;
mod teach;

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::bouts::{Bout, Bouts};
use crate::motion::Motion;
use crate::plan::Plan;
use crate::review::Tolerances;
use crate::review::chain::{Chain, Fate};
use crate::review::cost::Quality;
use crate::review::items::{self, Item, Schedule};
use crate::review::learn;
use crate::review::look::Look;
use account::{draw, told};
use hypothesis::{Hypothesis, Keeping, leaves_out, left_out, likeliest, lost};
use odds::conclude;
use teach::teachers;

pub(super) use odds::{FORESEEN, Odds};

/// Accounts drawn of each order.
const DRAWS: usize = 160;
/// Cost of two neighbouring blocks changing places: 1 session in 150 for each pair.
const SWAP: f64 = 5.0;
/// How many changes of order one session may have.
const MOST_SWAPS: usize = 3;
/// How many times what a matching taught is used to match again.
const ROUNDS: usize = 2;

/// What each item of the plan was.
#[derive(Clone, Debug)]
pub(super) struct Matching {
    /// The items in the order done, with what was learnt of each block.
    pub items: Vec<Item>,
    /// What became of each item, in the account that is told.
    pub fates: Vec<Fate>,
    /// How likely that is of each item.
    pub odds: Vec<Odds>,
    /// By block and set, how many reps were done: all but one account in 40 have so many or more, the middle one, so many or less.
    pub done: HashMap<(usize, usize), [f64; 3]>,
    /// The same of each block; of sets whose reps run on, how many sets.
    pub done_of_block: HashMap<usize, [f64; 3]>,
    /// The blocks in the order in which they were done, if that is not the order of the plan.
    pub reordered: Option<Vec<usize>>,
    /// Logarithm of how much likelier the recording is with the plan than without.
    pub gain: f64,
}

#[cfg(test)]
impl Matching {
    /// An account without odds, in the order of the plan, for tests.
    pub(crate) fn told(items: Vec<Item>, fates: Vec<Fate>) -> Self {
        Self {
            items,
            fates,
            odds: Vec::new(),
            done: HashMap::new(),
            done_of_block: HashMap::new(),
            reordered: None,
            gain: 0.0,
        }
    }
}

impl Matching {
    /// The candidate by which an item was done.
    pub(crate) fn bout<'b>(&self, item: usize, candidates: &'b [Bout]) -> Option<&'b Bout> {
        match self.fates.get(item)? {
            Fate::Bout(candidate) => candidates.get(*candidate),
            _ => None,
        }
    }

    /// The times between which an item that is no bout was done, s.
    pub(crate) fn place(&self, item: usize) -> Option<(f64, f64)> {
        match *self.fates.get(item)? {
            Fate::Stretch(start_s, end_s, _) => Some((start_s, end_s)),
            _ => None,
        }
    }
}

/// Matches the plan.
pub(super) fn matching(
    plan: &Plan,
    motion: &Motion,
    bouts: &Bouts,
    quality: Quality,
    span_s: (f64, f64),
    top_speed_m_s: Option<f64>,
    tolerances: &Tolerances,
) -> Matching {
    let look = Look::new(motion, span_s);
    let candidates = &bouts.candidates;
    let weigh = |order: &[usize], swaps: usize, keeping: Keeping| {
        let fresh = || items::schedule(plan, order, top_speed_m_s);
        let taught_by = |account: &[Fate]| {
            let path: Vec<(usize, usize)> = (account.iter().enumerate())
                .filter_map(|(k, fate)| match fate {
                    Fate::Bout(candidate) => Some((k, *candidate)),
                    _ => None,
                })
                .collect();
            learn::learn(fresh(), &path, candidates, &quality)
        };
        let read = |schedule: &Schedule, draws: usize| {
            let chain = Chain::new(schedule, candidates, &quality, &look);
            let drawn = draw(&chain, &schedule.items, draws);
            (drawn, chain.evidence, chain.nothing)
        };
        let mut untaught = fresh();
        if keeping == Keeping::Loose {
            untaught.items.iter_mut().for_each(learn::loosen);
        }
        let (first, ..) = read(&untaught, DRAWS);
        let at_first: Arc<[f64]> = (0..untaught.items.len())
            .map(|k| left_out(&first, k))
            .collect();
        let expected_m_s: Arc<[f64]> = untaught.items.iter().map(|i| i.peak.value).collect();
        teachers(&untaught.items, &first, candidates)
            .into_iter()
            .map(|teacher| {
                let mut schedule = taught_by(teacher);
                for _ in 1..ROUNDS {
                    let (drawn, ..) = read(&schedule, DRAWS / 4);
                    schedule = taught_by(&drawn[told(&drawn, candidates)]);
                }
                let (drawn, evidence, nothing) = read(&schedule, DRAWS);
                let surprise = learn::surprise(&untaught.items, &schedule.items);
                Hypothesis {
                    order: order.to_vec(),
                    schedule,
                    at_first: Arc::clone(&at_first),
                    expected_m_s: Arc::clone(&expected_m_s),
                    drawn,
                    weight: evidence - SWAP * swaps as f64 - keeping.cost() - surprise,
                    nothing,
                    surprise,
                    swaps,
                    keeping,
                }
            })
            .collect::<Vec<_>>()
    };
    let order: Vec<usize> = (0..plan.blocks.len()).collect();
    let mut tried = weigh(&order, 0, Keeping::AsPlanned);
    if leaves_out(&tried[likeliest(&tried)]) {
        tried.extend(weigh(&order, 0, Keeping::Loose));
    }
    let mut best = likeliest(&tried);
    for _ in 0..MOST_SWAPS {
        let known = &tried[best];
        let lost = lost(known, plan.blocks.len(), candidates);
        let others: Vec<Vec<usize>> = (1..known.order.len())
            .filter(|&k| lost[known.order[k - 1]] || lost[known.order[k]])
            .filter(|&k| {
                let [a, b] = [k - 1, k].map(|k| &plan.blocks[known.order[k]]);
                !a.is_interchangeable(b)
            })
            .map(|k| {
                let mut other = known.order.clone();
                other.swap(k - 1, k);
                other
            })
            .filter(|other| tried.iter().all(|h| h.order != *other))
            .collect();
        let (swaps, keeping) = (known.swaps + 1, known.keeping);
        let weighed: Vec<Vec<Hypothesis>> = (others.into_par_iter())
            .map(|other| weigh(&other, swaps, keeping))
            .collect();
        tried.extend(weighed.into_iter().flatten());
        let before = std::mem::replace(&mut best, likeliest(&tried));
        if best == before {
            break;
        }
    }
    conclude(&tried, best, candidates, &quality, tolerances)
}

#[cfg(test)]
mod tests;
