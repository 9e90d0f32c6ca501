//! Accounts drawn from a chain, backwards from the end of the recording, each as often as it is likely.

use std::collections::HashMap;

use crate::review::chain::known::{Pairing, Pairings};
use crate::review::chain::{CUT, Chain, Fate, HIDDEN, SHORTEST_CUT_S, Work};
use crate::review::items::Kind;
use crate::review::kernel::Kernel;
use crate::review::row::Row;
use crate::review::sums::Sums;

/// Weights of single components smaller than this part are not looked for.
const NOTHING: f64 = 1e-30;

/// A state to go back from.
#[derive(Clone, Copy, Debug)]
pub(super) enum State {
    Ready(usize),
    Ended(usize),
    SetEnded(usize),
    BlockEnded(usize),
    Begin,
}

/// The ways in which a tick was come to, with their weights: of one kind up to `first`, of another up to `second`.
#[derive(Debug)]
struct Ways {
    weights: Vec<f64>,
    first: usize,
    second: usize,
}

/// What was weighed for earlier accounts: most of them pass through the same ticks.
#[derive(Debug, Default)]
pub(in crate::review) struct Memory {
    work: HashMap<(usize, usize), Ways>,
    rest: HashMap<(usize, usize), Ways>,
}

impl Chain<'_> {
    /// Draws an account, as often as it is likely.
    pub(crate) fn draw(
        &self,
        endings: &Endings,
        memory: &mut Memory,
        chance: &mut impl FnMut() -> f64,
    ) -> Vec<Fate> {
        let mut fates = vec![Fate::Missing; self.items.len()];
        let Some((mut state, mut tick)) = endings.pick(chance()) else {
            return fates;
        };
        // What comes after an early end was not recorded.
        if let State::Ended(k) = state {
            fates[k + 1..].fill(Fate::Unrecorded);
        }
        loop {
            match state {
                State::Begin => return fates,
                State::BlockEnded(block) => {
                    let parts: Vec<(usize, f64)> = self.block_parts(block).collect();
                    let scale = self.block_ended[block].scale(tick);
                    let weights: Vec<f64> = (parts.iter())
                        .map(|(set, cost)| self.set_ended[*set].part(tick, scale) * (-cost).exp())
                        .collect();
                    let Some(k) = pick(&weights, chance()) else {
                        return fates;
                    };
                    state = State::SetEnded(parts[k].0);
                }
                State::SetEnded(set) => {
                    let parts: Vec<(usize, f64)> = self.set_parts(set).collect();
                    let scale = self.set_ended[set].scale(tick);
                    let weights: Vec<f64> = (parts.iter())
                        .map(|(k, cost)| self.ended[*k].part(tick, scale) * (-cost).exp())
                        .collect();
                    let Some(k) = pick(&weights, chance()) else {
                        return fates;
                    };
                    state = State::Ended(parts[k].0);
                }
                State::Ended(k) => {
                    let (fate, from) = self.back_through_work(k, tick, memory, chance);
                    fates[k] = fate;
                    let Some(from) = from else {
                        fates[..k].fill(Fate::Unrecorded);
                        return fates;
                    };
                    tick = from;
                    state = State::Ready(k);
                }
                State::Ready(k) => {
                    let (before, at) = self.back_through_rest(k, tick, memory, chance);
                    if matches!(before, State::Begin) && k > 0 {
                        fates[..k].fill(Fate::Unrecorded);
                    }
                    state = before;
                    tick = at;
                }
            }
        }
    }

    /// What an item that ended at a tick was, and when it began; `None` if before the recording did.
    fn back_through_work(
        &self,
        k: usize,
        tick: usize,
        memory: &mut Memory,
        chance: &mut impl FnMut() -> f64,
    ) -> (Fate, Option<usize>) {
        let ways = (memory.work.entry((k, tick))).or_insert_with(|| self.ways_of_work(k, tick));
        let picked = pick(&ways.weights, chance());
        match &self.works[k] {
            Work::Bout { pairings, .. } => match picked {
                Some(n) if n >= ways.first => (Fate::Hidden, Some(tick - (n - ways.first))),
                Some(n) => {
                    let pair = ended_at(pairings, tick)[n];
                    (
                        Fate::Bout(pair.candidate as usize),
                        Some(pair.from as usize),
                    )
                }
                None => (Fate::Missing, Some(tick)),
            },
            Work::Stretch { .. } => {
                let stretch = |from: usize, cut| {
                    Fate::Stretch(self.look.time_s(from), self.look.time_s(tick), cut)
                };
                match picked {
                    Some(d) if d < ways.first => (stretch(tick - d, false), Some(tick - d)),
                    Some(n) if n < ways.second => {
                        let d = n - ways.first;
                        (stretch(tick - d, true), Some(tick - d))
                    }
                    Some(_) => (stretch(0, true), None),
                    None => (Fate::Missing, Some(tick)),
                }
            }
        }
    }

    /// Candidates and hidden work, or stretches in full, those that ran on at the end and one that had begun before.
    fn ways_of_work(&self, k: usize, tick: usize) -> Ways {
        let ready = &self.ready[k];
        let scale = self.ended[k].scale(tick);
        match &self.works[k] {
            Work::Bout { pairings, hidden } => {
                let mut weights: Vec<f64> = (ended_at(pairings, tick).iter())
                    .map(|p| ready.part(p.from as usize, scale - pairings.scale) * p.weight)
                    .collect();
                let first = weights.len();
                if let Some(kernel) = hidden {
                    let scale = scale + HIDDEN;
                    back(ready, kernel, &self.look.fast, (tick, scale), &mut weights);
                }
                let second = weights.len();
                Ways {
                    weights,
                    first,
                    second,
                }
            }
            Work::Stretch { kernel, look } => {
                let mut weights = Vec::new();
                back(ready, kernel, look, (tick, scale), &mut weights);
                let first = weights.len();
                let within = self.longest_cut(k).min(kernel.longest());
                let shortest = (SHORTEST_CUT_S / self.look.tick_s) as usize;
                if tick == self.ticks() {
                    let looks = look.back(tick).enumerate().take(within + 1);
                    weights.extend(looks.map(|(d, looks)| {
                        let runs_on = f64::from(u8::from(shortest <= d));
                        runs_on * ready.part(tick - d, scale + CUT) * looks
                    }));
                }
                let second = weights.len();
                if shortest <= tick && tick <= within {
                    let begun = look.at(tick) - CUT - scale;
                    weights.push(begun.clamp(-600.0, 600.0).exp());
                }
                Ways {
                    weights,
                    first,
                    second,
                }
            }
        }
    }

    /// How the time before being ready for an item passed: from which state, and when.
    fn back_through_rest(
        &self,
        k: usize,
        tick: usize,
        memory: &mut Memory,
        chance: &mut impl FnMut() -> f64,
    ) -> (State, usize) {
        if k == 0 {
            return (State::Begin, 0);
        }
        let set = self.sets.partition_point(|s| s.items.end <= k);
        let block = self.blocks.partition_point(|b| b.end <= set);
        let scale = self.ready[k].scale(tick);
        let shortcut = self.shortcut(k, block, set);
        let source = self.source(k, block, set);
        let ways = (memory.rest.entry((k, tick)))
            .or_insert_with(|| self.ways_of_rest(k, tick, (block, set)));
        // Anything else makes up what is left of the weight; it is gone through only where it was drawn.
        let seen: f64 = ways.weights.iter().sum();
        let other = (self.ready[k].part(tick, scale) - seen).max(0.0);
        let drawn = chance() * (seen + other);
        if drawn > seen
            && let (Some((from, state)), Some(pass)) = (source, &self.passes[k])
        {
            let mut left = 1.0;
            let weights: Vec<f64> = (from.back(tick, scale + pass.other))
                .zip(self.look.decay[..=tick].iter().rev())
                .map(|(weight, decay)| {
                    let weight = weight * left;
                    left *= decay;
                    weight
                })
                .collect();
            if let Some(d) = pick(&weights, chance()) {
                return (state, tick - d);
            }
        }
        let picked = pick(&ways.weights, drawn / seen.max(NOTHING));
        match (picked, source, shortcut) {
            (Some(n), Some((_, state)), _) if n < ways.first => (state, tick - n),
            (Some(n), _, _) if n < ways.second => (State::Ready(k - 1), tick - (n - ways.first)),
            (Some(n), _, Some((from, _))) if n == ways.second => (State::Ready(from), tick),
            _ => (State::Begin, 0),
        }
    }

    /// Rests as planned, those while a rep was left out, and a set or block left out at once or the recording's beginning.
    fn ways_of_rest(&self, k: usize, tick: usize, (block, set): (usize, usize)) -> Ways {
        let scale = self.ready[k].scale(tick);
        let rest = &self.look.rest;
        let mut weights = Vec::new();
        if let (Some((from, _)), Some(pass)) = (self.source(k, block, set), &self.passes[k]) {
            back(from, &pass.rest, rest, (tick, scale), &mut weights);
        }
        let first = weights.len();
        if let Some(kernel) = &self.left_out[k] {
            let from = &self.ready[k - 1];
            let scale = scale + self.left_out_cost(k, set);
            back(from, kernel, rest, (tick, scale), &mut weights);
        }
        let second = weights.len();
        weights.push(self.shortcut(k, block, set).map_or(0.0, |(from, cost)| {
            self.ready[from].part(tick, scale) * (-cost).exp()
        }));
        weights.push(if self.items[k].kind == Kind::Extra {
            0.0
        } else {
            let late = self.began_late(k, block, tick);
            (-late - scale).clamp(-600.0, 600.0).exp()
        });
        Ways {
            weights,
            first,
            second,
        }
    }

    /// The endings of the recording to draw from.
    pub(crate) fn drawable(&self) -> Endings {
        let weights = self.endings.iter().map(|(.., w)| *w);
        let most = weights.fold(self.nothing, f64::max);
        let mut sum = 0.0;
        let mut endings = Endings {
            ends: Vec::new(),
            up_to: Vec::new(),
            nothing: (self.nothing - most).exp(),
        };
        for &(state, tick, weight) in self.endings.iter().filter(|(.., w)| *w > most - 30.0) {
            sum += (weight - most).exp();
            endings.ends.push((state, tick));
            endings.up_to.push(sum);
        }
        endings
    }
}

/// The endings of a recording, to be drawn from.
pub(in crate::review) struct Endings {
    ends: Vec<(State, usize)>,
    up_to: Vec<f64>,
    nothing: f64,
}

impl Endings {
    fn pick(&self, chance: f64) -> Option<(State, usize)> {
        let all = self.up_to.last().copied().unwrap_or(0.0) + self.nothing;
        let k = self.up_to.partition_point(|&up_to| up_to <= chance * all);
        self.ends.get(k).copied()
    }
}

/// The pairings that end at a tick.
fn ended_at(pairings: &Pairings, tick: usize) -> &[Pairing] {
    let low = pairings.list.partition_point(|p| (p.to as usize) < tick);
    let high = pairings.list.partition_point(|p| p.to as usize <= tick);
    &pairings.list[low..high]
}

/// The weights with which work or rest that ended at a tick began 0, 1, 2 … ticks before it, as parts of `exp(scale)`.
fn back(from: &Row, kernel: &Kernel, look: &Sums, (tick, scale): (usize, f64), out: &mut Vec<f64>) {
    let durations = std::iter::repeat_n(0.0, kernel.from).chain(kernel.weights.iter().copied());
    out.extend(
        (from.back(tick, scale).zip(look.back(tick)).zip(durations))
            .map(|((weight, looks), duration)| weight * duration * looks),
    );
}

/// One of several weights, `chance` of the way through their sum; `None` where all are nothing.
fn pick(weights: &[f64], chance: f64) -> Option<usize> {
    let all: f64 = weights.iter().sum();
    if all <= 0.0 || !all.is_finite() {
        return None;
    }
    let mut left = chance.clamp(0.0, 1.0) * all;
    let mut last = None;
    for (k, &weight) in weights.iter().enumerate() {
        if weight > 0.0 {
            last = Some(k);
            if left < weight {
                break;
            }
            left -= weight;
        }
    }
    last
}
