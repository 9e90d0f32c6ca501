//! Matching: what became of each item of the plan, over the whole session at once, with several orders of its blocks.
//!
//! The [chain](crate::review::chain) of each order gives its weight and accounts drawn as often as they are likely. The first
//! accounts teach what the session's own times, speeds and places are (`learn`), and the chain is made again.
//! Of the accounts drawn, the one that agrees best with all others is told; how sure each of its statements is, is the
//! share of the others that agree.

use std::collections::HashMap;

use rayon::prelude::*;

use crate::bouts::{Bout, Bouts};
use crate::motion::Motion;
use crate::plan::Plan;
use crate::review::chain::{self, Chain, Fate, Memory};
use crate::review::cost::{self, Quality};
use crate::review::items::{self, Item, Kind, Schedule};
use crate::review::learn;
use crate::review::look::Look;
use crate::review::{Tolerances, verdict};

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
    /// The blocks in the order in which they were done, if that is not the order of the plan.
    pub reordered: Option<Vec<usize>>,
    /// Logarithm of how much likelier the recording is with the plan than without.
    pub gain: f64,
}

/// How likely it is that an item was done, cut short or left out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Odds {
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
}

impl Odds {
    /// That it was not done in full, cut short or left out.
    pub(crate) fn not_in_full(&self) -> f64 {
        self.short + self.missing
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

/// Accounts drawn of each order.
const DRAWS: usize = 160;
/// Cost of two neighbouring blocks changing places: 1 session in 150 for each pair.
const SWAP: f64 = 5.0;
/// A block of which more than this share is probably left out may have changed places.
const LOST: f64 = 0.25;
/// How many changes of order one session may have.
const MOST_SWAPS: usize = 3;
/// How many times what a matching taught is used to match again.
const ROUNDS: usize = 2;
/// How many accounts of one order may teach.
const TEACHERS: usize = 3;
/// Two stretches of time are the same work from this overlap on.
const SAME: f64 = 0.5;

/// How far a rep counts as done of which the recording can show nothing.
const UNSEEN: f64 = 0.5;

/// What is held against a player counts only so far: in so many of a hundred sessions something happened that no account here
/// foresees, and then all accounts agree on what is wrong.
const FORESEEN: f64 = 0.94;

/// Of a stretch that the recording cut, less than this share says nothing of the rest.
const NOT_RECORDED: f64 = 0.06;

/// One order of the blocks, matched.
struct Hypothesis {
    order: Vec<usize>,
    schedule: Schedule,
    drawn: Vec<Vec<Fate>>,
    /// Logarithm of its weight, order included, and that of no plan at all.
    weight: f64,
    nothing: f64,
    swaps: usize,
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
    let weigh = |order: Vec<usize>, swaps: usize| {
        let fresh = || items::schedule(plan, &order, top_speed_m_s);
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
        let untaught = fresh();
        let (first, ..) = read(&untaught, DRAWS);
        teachers(&untaught.items, &first, candidates)
            .into_iter()
            .map(|teacher| {
                let mut schedule = taught_by(teacher);
                for _ in 1..ROUNDS {
                    let (drawn, ..) = read(&schedule, DRAWS / 4);
                    schedule = taught_by(&drawn[told(&drawn, candidates)]);
                }
                let (drawn, evidence, nothing) = read(&schedule, DRAWS);
                Hypothesis {
                    order: order.clone(),
                    schedule,
                    drawn,
                    weight: evidence - SWAP * swaps as f64,
                    nothing,
                    swaps,
                }
            })
            .collect::<Vec<_>>()
    };
    let mut tried = weigh((0..plan.blocks.len()).collect(), 0);
    let mut best = likeliest(&tried);
    for _ in 0..MOST_SWAPS {
        let known = &tried[best];
        let lost = lost(known, plan.blocks.len());
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
        let swaps = known.swaps + 1;
        let weighed: Vec<Vec<Hypothesis>> = (others.into_par_iter())
            .map(|other| weigh(other, swaps))
            .collect();
        tried.extend(weighed.into_iter().flatten());
        let before = std::mem::replace(&mut best, likeliest(&tried));
        if best == before {
            break;
        }
    }
    conclude(&tried, best, candidates, &quality, tolerances)
}

/// The hypothesis of the largest weight.
fn likeliest(tried: &[Hypothesis]) -> usize {
    (0..tried.len())
        .max_by(|a, b| tried[*a].weight.total_cmp(&tried[*b].weight))
        .unwrap_or(0)
}

/// Sets that are left out, and the accounts drawn that leave out just these.
type Group = (Vec<(usize, usize)>, Vec<usize>);

/// The accounts that teach: of the accounts drawn, those that leave out the same sets stand together, and the one of each
/// that agrees best with its own teaches. What a wrong account teaches makes it look right; so others may teach as well.
fn teachers<'d>(items: &[Item], drawn: &'d [Vec<Fate>], candidates: &[Bout]) -> Vec<&'d [Fate]> {
    let left_out = |fates: &[Fate]| -> Vec<(usize, usize)> {
        let mut sets: Vec<(usize, usize)> = Vec::new();
        let mut there = None;
        for (item, fate) in items.iter().zip(fates) {
            let set = (item.block, item.set);
            let gone = matches!(fate, Fate::Missing | Fate::Unrecorded);
            if !gone {
                there = Some(set);
                if sets.last() == Some(&set) {
                    sets.pop();
                }
            } else if there != Some(set) && sets.last() != Some(&set) {
                sets.push(set);
            }
        }
        sets
    };
    let mut groups: Vec<Group> = Vec::new();
    for (n, fates) in drawn.iter().enumerate() {
        let sets = left_out(fates);
        match groups.iter_mut().find(|(known, _)| *known == sets) {
            Some((_, group)) => group.push(n),
            None => groups.push((sets, vec![n])),
        }
    }
    groups.sort_by_key(|(_, group)| std::cmp::Reverse(group.len()));
    groups.truncate(TEACHERS);
    groups
        .into_iter()
        .map(|(_, group)| {
            let own: Vec<Vec<Fate>> = group.iter().map(|&n| drawn[n].clone()).collect();
            drawn[group[told(&own, candidates)]].as_slice()
        })
        .collect()
}

/// Draws accounts. The chances are the same each time, so that a session is always read alike.
fn draw(chain: &Chain<'_>, items: &[Item], draws: usize) -> Vec<Vec<Fate>> {
    let endings = chain.drawable();
    let mut memory = Memory::default();
    (0..draws as u64)
        .map(|n| {
            // Each account has chances of its own, so that the last digit of one changes no other.
            // splitmix64 (Steele, Lea, Flood 2014, 10.1145/2660193.2660195).
            let mut state = n << 32;
            let mut chance = || {
                state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
                let mut z = state;
                z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
                z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
                ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
            };
            let mut fates = chain.draw(&endings, &mut memory, &mut chance);
            close_up(items, &mut fates);
            fates
        })
        .collect()
}

/// Who leaves a rep out and does one more at the end has left none out: those behind it close up, and the rest was long.
fn close_up(items: &[Item], fates: &mut [Fate]) {
    for extra in (0..items.len()).filter(|&k| items[k].kind == Kind::Extra) {
        let set = (items[extra].block, items[extra].set);
        let first = (0..extra)
            .rev()
            .take_while(|&k| (items[k].block, items[k].set) == set)
            .last();
        let Some(first) = first.filter(|_| matches!(fates[extra], Fate::Bout(_))) else {
            continue;
        };
        if let Some(out) = (first..extra).rev().find(|&k| fates[k] == Fate::Missing) {
            fates[out..=extra].rotate_left(1);
        }
    }
}

/// When an item's work was, s.
fn span_s(fate: &Fate, candidates: &[Bout]) -> Option<(f64, f64)> {
    match *fate {
        Fate::Missing | Fate::Unrecorded | Fate::Hidden => None,
        Fate::Bout(candidate) => candidates.get(candidate).map(|b| (b.start_s, b.stop_s)),
        Fate::Stretch(start_s, end_s, _) => Some((start_s, end_s)),
    }
}

/// Whether two fates of an item are the same work.
fn same(a: &Fate, b: &Fate, candidates: &[Bout]) -> bool {
    if a == b {
        return true;
    }
    match (span_s(a, candidates), span_s(b, candidates)) {
        (None, None) => (*a == Fate::Hidden) == (*b == Fate::Hidden),
        (Some(a), Some(b)) => {
            let both = a.1.min(b.1) - a.0.max(b.0);
            both > SAME * (a.1.max(b.1) - a.0.min(b.0))
        }
        _ => false,
    }
}

/// The account that agrees best with all that were drawn.
fn told(drawn: &[Vec<Fate>], candidates: &[Bout]) -> usize {
    let items = drawn.first().map_or(0, Vec::len);
    let mut agreement = vec![0.0; drawn.len()];
    for k in 0..items {
        // Few different fates are drawn of an item: each is held against the others once.
        let mut kinds: Vec<(Fate, usize)> = Vec::new();
        let of: Vec<usize> = drawn
            .iter()
            .map(|fates| {
                let fate = fates[k];
                let known = kinds.iter().position(|(f, _)| *f == fate);
                let known = known.unwrap_or_else(|| {
                    kinds.push((fate, 0));
                    kinds.len() - 1
                });
                kinds[known].1 += 1;
                known
            })
            .collect();
        let agree: Vec<f64> = kinds
            .iter()
            .map(|(fate, own)| {
                let others: usize = kinds
                    .iter()
                    .filter(|(f, _)| same(f, fate, candidates))
                    .map(|(_, n)| n)
                    .sum();
                // The very same edges count a little, so that of alike accounts the middle one is told.
                others as f64 + 0.1 * *own as f64
            })
            .collect();
        for (agreement, kind) in agreement.iter_mut().zip(of) {
            *agreement += agree[kind];
        }
    }
    (0..drawn.len())
        .max_by(|a, b| agreement[*a].total_cmp(&agreement[*b]))
        .unwrap_or(0)
}

/// Whether more than a part of the reps of each block are probably left out.
fn lost(hypothesis: &Hypothesis, blocks: usize) -> Vec<bool> {
    let (mut planned, mut missing) = (vec![0.0; blocks], vec![0.0; blocks]);
    for (k, item) in hypothesis.schedule.items.iter().enumerate() {
        if item.kind == Kind::Extra {
            continue;
        }
        let gone = (hypothesis.drawn.iter())
            .filter(|fates| matches!(fates[k], Fate::Missing | Fate::Unrecorded))
            .count();
        planned[item.block] += 1.0;
        missing[item.block] += gone as f64 / hypothesis.drawn.len().max(1) as f64;
    }
    planned
        .iter()
        .zip(&missing)
        .map(|(planned, missing)| *missing > LOST * planned)
        .collect()
}

/// The likeliest order's account, with the odds of each of its statements over all orders.
fn conclude(
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
    let mut odds = vec![Odds::default(); items.len()];
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
                .filter(|&n| matches!(fates[at(n)], Fate::Missing | Fate::Unrecorded))
                .count();
            counts[k..end].fill(gone);
            k = end;
        }
        counts
    };
    let said = left_out(&fates, &|k| k);
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
                match full(item, fate, candidates, quality, tolerances) {
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
    Matching {
        items: items.clone(),
        fates,
        odds,
        done: done(tried, &weights, candidates, quality, tolerances),
        reordered: (chosen.swaps > 0).then(|| chosen.order.clone()),
        gain: chain::log_sum(&tried.iter().map(|h| h.weight).collect::<Vec<_>>()) - chosen.nothing,
    }
}

/// How many reps of each set were done in all accounts, hypotheses by their weight.
fn done(
    tried: &[Hypothesis],
    weights: &[f64],
    candidates: &[Bout],
    quality: &Quality,
    tolerances: &Tolerances,
) -> HashMap<(usize, usize), [f64; 3]> {
    let mut counts: HashMap<(usize, usize), Vec<(f64, f64)>> = HashMap::new();
    for (hypothesis, weight) in tried.iter().zip(weights).filter(|(_, w)| **w > 1e-5) {
        let draws = hypothesis.drawn.len();
        let mut own: HashMap<(usize, usize), Vec<f64>> = HashMap::new();
        for (k, item) in hypothesis.schedule.items.iter().enumerate() {
            if item.kind == Kind::Extra {
                continue;
            }
            let of_set = own
                .entry((item.block, item.set))
                .or_insert_with(|| vec![0.0; draws]);
            for (count, fates) in of_set.iter_mut().zip(&hypothesis.drawn) {
                let full = full(item, &fates[k], candidates, quality, tolerances);
                *count += full.unwrap_or(0.0);
            }
        }
        for (set, of_set) in own {
            let weighed = of_set.into_iter().map(|count| (count, *weight));
            counts.entry(set).or_default().extend(weighed);
        }
    }
    counts
        .into_iter()
        .map(|(set, mut of_set)| {
            of_set.sort_by(|a, b| a.0.total_cmp(&b.0));
            let all: f64 = of_set.iter().map(|c| c.1).sum();
            let at = |share: f64| {
                let mut sum = 0.0;
                let reached = of_set.iter().find(|c| {
                    sum += c.1;
                    sum >= share * all
                });
                reached.or(of_set.last()).map_or(0.0, |c| c.0)
            };
            let bounds = [at(0.025).floor(), at(0.5).round(), at(0.975).ceil()];
            (set, bounds)
        })
        .collect()
}

/// The account that is told with the borders of its stretches in the middle of where the accounts drawn have them.
fn settled(mut fates: Vec<Fate>, drawn: &[Vec<Fate>], candidates: &[Bout]) -> Vec<Fate> {
    let mut free_from_s = f64::NEG_INFINITY;
    for k in 0..fates.len() {
        if let Fate::Stretch(_, _, cut) = fates[k] {
            let alike = drawn.iter().map(|d| &d[k]);
            let spans: Vec<(f64, f64)> = alike
                .filter(|fate| same(fate, &fates[k], candidates))
                .filter_map(|fate| span_s(fate, candidates))
                .collect();
            let starts: Vec<f64> = spans.iter().map(|s| s.0).collect();
            let ends: Vec<f64> = spans.iter().map(|s| s.1).collect();
            let start_s = learn::median(&starts).max(free_from_s);
            fates[k] = Fate::Stretch(start_s, learn::median(&ends).max(start_s), cut);
        }
        if let Some((_, end_s)) = span_s(&fates[k], candidates) {
            free_from_s = free_from_s.max(end_s);
        }
    }
    fates
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
            Some(verdict::full(share, sd, tolerances))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Sample, SpeedFrom};

    /// A session of runs between standing, at 10 Hz: each from so many seconds for so many, along a line at 5 m/s.
    fn session(runs: &[(f64, f64)], length_s: f64) -> Motion {
        let mut x_m = 0.0;
        let samples = (0..(10.0 * length_s) as usize)
            .map(|k| {
                let time_s = k as f64 / 10.0;
                let speed_m_s = runs
                    .iter()
                    .map(|(from_s, run_s)| {
                        let in_s = time_s - from_s;
                        let left_s = from_s + run_s - time_s;
                        (4.0 * in_s.min(left_s)).clamp(0.0, 5.0)
                    })
                    .fold(0.0, f64::max);
                x_m += 0.1 * speed_m_s;
                Sample {
                    time_s,
                    x_m,
                    vx_m_s: speed_m_s,
                    speed_m_s,
                    ..Sample::default()
                }
            })
            .collect();
        let mut motion = Motion::of_run(samples, 10.0, SpeedFrom::Both);
        for k in 1..motion.samples.len() {
            motion.samples[k].acceleration_m_s2 =
                10.0 * (motion.samples[k].speed_m_s - motion.samples[k - 1].speed_m_s);
        }
        motion
    }

    fn matched(plan: &str, runs: &[(f64, f64)], length_s: f64) -> Matching {
        let plan = crate::plan::parse(plan).expect("a plan");
        let motion = session(runs, length_s);
        let bouts = crate::bouts::find(&motion, &crate::bouts::Rules::default());
        matching(
            &plan,
            &motion,
            &bouts,
            cost::quality(&motion),
            (0.0, length_s),
            None,
            &Tolerances::default(),
        )
    }

    fn reps(matching: &Matching) -> Vec<Odds> {
        let all = matching.items.iter().zip(&matching.odds);
        all.filter(|(item, _)| item.kind != Kind::Extra)
            .map(|(_, odds)| *odds)
            .collect()
    }

    #[test]
    fn reps_done_as_planned_are_surely_done() {
        let runs: Vec<(f64, f64)> = (0..4).map(|k| (60.0 + 42.0 * f64::from(k), 12.0)).collect();
        let matching = matched("resistance 4 x 12 s, rest 30 s", &runs, 300.0);
        for odds in reps(&matching) {
            assert!(odds.done > 0.95 && odds.here > 0.95, "{odds:?}");
        }
        assert!(matching.reordered.is_none());
        let [_, done, most] = matching.done[&(0, 0)];
        assert_eq!([done, most], [4.0; 2]);
    }

    /// Where its time passed a rep was left out in the middle; where it did not, at the end.
    #[test]
    fn the_rests_tell_which_rep_was_left_out() {
        let plan = "resistance 4 x 12 s, rest 30 s, then 2 min\nresistance 2 x 30 s, rest 60 s";
        let after = [(380.0, 30.0), (470.0, 30.0)];
        let middle = [&[(60.0, 12.0), (144.0, 12.0), (186.0, 12.0)][..], &after].concat();
        let odds = reps(&matched(plan, &middle, 560.0));
        assert!(odds[1].missing > 0.8 && odds[3].done > 0.8, "{odds:?}");
        let after = [(276.0, 30.0), (366.0, 30.0)];
        let end = [&[(60.0, 12.0), (102.0, 12.0), (144.0, 12.0)][..], &after].concat();
        let odds = reps(&matched(plan, &end, 460.0));
        assert!(odds[3].missing > 0.8 && odds[1].done > 0.8, "{odds:?}");
    }

    /// Two alike blocks of one rep and one run: it is one of them, and as likely the one as the other within a factor of a few.
    #[test]
    fn what_cannot_be_told_is_left_open() {
        let plan = "resistance 1 x 12 s, rest 30 s\nresistance 1 x 12 s, rest 30 s";
        let odds = reps(&matched(plan, &[(100.0, 12.0)], 220.0));
        let found = odds[0].done + odds[1].done;
        assert!((found - 1.0).abs() < 0.1, "{odds:?}");
        assert!(odds.iter().all(|o| o.missing < 0.9), "{odds:?}");
    }

    /// A game is one rep, however often he stands, walks and bursts in it.
    #[test]
    fn a_game_holds_its_bursts() {
        let burst = |game: f64| (0..6).map(move |k| (game + 10.0 * f64::from(k), 7.0));
        let runs: Vec<(f64, f64)> = [60.0, 210.0, 360.0].into_iter().flat_map(burst).collect();
        let matching = matched("game \"3 v 3\", 3 x 60 s, rest 90 s", &runs, 480.0);
        for (fate, start_s) in matching.fates.iter().zip([60.0, 210.0, 360.0]) {
            let Fate::Stretch(from_s, to_s, false) = *fate else {
                panic!("{fate:?}");
            };
            let both = to_s.min(start_s + 60.0) - from_s.max(start_s);
            assert!(both > 40.0, "{fate:?}");
        }
    }

    #[test]
    fn a_plan_of_another_session_gains_little() {
        let runs: Vec<(f64, f64)> = (0..4).map(|k| (60.0 + 42.0 * f64::from(k), 12.0)).collect();
        let right = matched("resistance 4 x 12 s, rest 30 s", &runs, 300.0);
        let wrong = matched("speed 4 x 60 m, rest 2 min", &runs, 300.0);
        assert!(
            right.gain > wrong.gain + 10.0,
            "{} {}",
            right.gain,
            wrong.gain
        );
    }
}
