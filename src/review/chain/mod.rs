//! The chain: one semi-Markov model of the whole session.
//!
//! Every item of the plan, be it a sprint of 10 m, a set that runs on, a game of four minutes or a warm-up, is a segment in
//! one chain, in the order given: work, then rest as planned or *anything else* at a price, then the next. Work of a run
//! is one of the candidates of [`crate::bouts`], with its exact edges, at the odds of [`crate::review::cost`]; intermittent work (a
//! game, juggling, a warm-up) is a stretch of the grid, of about the planned time. Reps may be left out in the middle of a
//! set, while their time passes, or at its end; sets and blocks may be left out; one rep more may be done; the recording may begin or
//! end anywhere in it.
//!
//! The forward sums of this chain (Rabiner 1989, Proc IEEE 77:257, 10.1109/5.18626; with explicit durations, Yu 2010,
//! Artificial Intelligence 174:215, 10.1016/j.artint.2009.11.011) give the weight of all accounts of the
//! recording together. Accounts drawn backwards from it, each as often as it is likely, say how sure anything is: that a rep
//! was done, by which stretch, how many of a set there were.
//!
//! States, each with its weight at every tick of [`Look`]: *ready* for an item, an item *ended*, a set ended, a block
//! ended.

mod draw;
mod known;

use std::rc::Rc;

use crate::bouts::Bout;
pub(super) use crate::review::chain::draw::Memory;
use crate::review::chain::draw::State;
use crate::review::chain::known::{Known, Pairings};
use crate::review::cost::Quality;
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind, Schedule};
use crate::review::kernel::Kernel;
use crate::review::look::Look;
use crate::review::row::{self, Beam, Row, Sheet};
use crate::review::sums::{Sums, log_sum};

/// A rep left out in the middle of its set, while its time passes.
const LEFT_OUT: f64 = 3.5;
/// How well that time is known at best, as the standard deviation of its logarithm.
const LEAST_PASSED_SD: f64 = 0.16;
/// More for the first of the set.
const LEFT_OUT_FIRST: f64 = 2.5;
/// The same while no time passes.
const LEFT_OUT_AT_ONCE: f64 = 8.0;
/// The last reps of a set left out: the first of them, and each further.
const LEFT_AT_END: f64 = 4.0;
const LEFT_AT_END_MORE: f64 = 0.7;
/// A set left out; the last sets of a block left out, the first of them and each further.
const SET_LEFT_OUT: f64 = 5.0;
const SETS_LEFT_AT_END: f64 = 5.0;
const SETS_LEFT_AT_END_MORE: f64 = 1.5;
/// A block left out.
const BLOCK_LEFT_OUT: f64 = 5.0;
/// The recording began when some of the plan was done, or ended before its end.
const CUT: f64 = 5.0;
/// Each block more of which nothing was recorded since it began so late.
const BEGAN_LATE: f64 = 1.5;
/// What came before such a beginning, or after such an end, costs so much a second beyond the first few.
const CUT_A_SECOND: f64 = 0.05;
const CUT_FREE_S: f64 = 25.0;
/// The same before a rep more than planned, which it must hardly stand for.
const ELSE_BEFORE_EXTRA: f64 = 14.0;
/// A stretch of which less than this was recorded is not looked for, s.
const SHORTEST_CUT_S: f64 = 15.0;
/// Nobody looks for a cut longer than this from an item, s: it costs more than anything.
const LONGEST_CUT_S: f64 = 600.0;
/// Anything else instead of rest: within a set, between sets, between blocks.
const ELSE_IN_SET: f64 = 9.0;
const ELSE_BETWEEN_SETS: f64 = 7.0;
const ELSE_BETWEEN_BLOCKS: f64 = 5.5;
/// Time before the first and after the last item costs so much a second beyond the first minute.
const IDLE_A_SECOND: f64 = 0.002;
const IDLE_FREE_S: f64 = 60.0;
/// A rep that the recording cannot show, where it may be so.
const HIDDEN: f64 = 4.0;

/// How an item's work is found.
enum Work {
    /// By a candidate; short work of which a slow receiver shows nothing, by its time alone.
    Bout {
        pairings: Rc<Pairings>,
        hidden: Option<Rc<Kernel>>,
    },
    Stretch {
        kernel: Rc<Kernel>,
        look: Rc<Sums>,
    },
}

/// How the time before an item passes.
struct Pass {
    rest: Rc<Kernel>,
    other: f64,
}

/// A set of the schedule: its items, the one more than planned included.
#[derive(Clone, Debug)]
struct Set {
    items: std::ops::Range<usize>,
    block: usize,
}

/// What became of an item in one account of the session.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Fate {
    /// Left out.
    Missing,
    /// Not recorded: the recording began after it or ended before.
    Unrecorded,
    /// Perhaps done where the recording cannot show it.
    Hidden,
    /// Done by a candidate.
    Bout(usize),
    /// Done between two times, s; the flag says that the recording cut it.
    Stretch(f64, f64, bool),
}

impl Fate {
    /// Whether its work was found.
    pub(crate) fn is_found(&self) -> bool {
        matches!(self, Self::Bout(_) | Self::Stretch(..))
    }

    /// From the start of its work to the standstill after it, s; `None` where none was found.
    pub(crate) fn span_s(&self, candidates: &[Bout]) -> Option<(f64, f64)> {
        match *self {
            Self::Missing | Self::Unrecorded | Self::Hidden => None,
            Self::Bout(candidate) => candidates.get(candidate).map(|b| (b.start_s, b.stop_s)),
            Self::Stretch(start_s, end_s, _) => Some((start_s, end_s)),
        }
    }

    /// Whether it was left out, or is not in the recording.
    pub(crate) fn is_left_out(&self) -> bool {
        matches!(self, Self::Missing | Self::Unrecorded)
    }
}

/// All accounts of a session, with their weights.
pub(super) struct Chain<'a> {
    items: &'a [Item],
    look: &'a Look,
    works: Vec<Work>,
    passes: Vec<Option<Pass>>,
    /// What passes while a rep is left out, by item.
    left_out: Vec<Option<Rc<Kernel>>>,
    sets: Vec<Set>,
    /// By block in the order of the schedule, its sets.
    blocks: Vec<std::ops::Range<usize>>,
    /// What accounts have reached so far, tick by tick.
    beam: Beam,
    ready: Vec<Row>,
    ended: Vec<Row>,
    set_ended: Vec<Row>,
    block_ended: Vec<Row>,
    /// The ways in which the recording may end, with the logarithms of their weights.
    endings: Vec<(State, usize, f64)>,
    /// Logarithm of the weight of all accounts together.
    pub evidence: f64,
    /// The same of the account that explains nothing by the plan.
    pub nothing: f64,
}

impl<'a> Chain<'a> {
    /// Sums over all accounts.
    pub(crate) fn new(
        schedule: &'a Schedule,
        candidates: &[Bout],
        quality: &Quality,
        look: &'a Look,
    ) -> Self {
        let items = &schedule.items;
        let (sets, blocks) = sets(items);
        let mut known = Known::new(candidates, quality, look);
        let works: Vec<Work> = items.iter().map(|item| known.work(item)).collect();
        let mut chain = Self {
            items,
            look,
            works,
            passes: (0..items.len()).map(|_| None).collect(),
            left_out: vec![None; items.len()],
            beam: Beam::new(look.ticks),
            ready: Vec::with_capacity(items.len()),
            ended: Vec::with_capacity(items.len()),
            set_ended: Vec::with_capacity(sets.len()),
            block_ended: Vec::with_capacity(blocks.len()),
            sets,
            blocks,
            endings: Vec::new(),
            evidence: f64::NEG_INFINITY,
            nothing: f64::NEG_INFINITY,
        };
        for block in 0..chain.blocks.len() {
            chain.forward(block, &mut known);
        }
        chain.close();
        chain
    }

    fn ticks(&self) -> usize {
        self.look.ticks
    }

    fn forward(&mut self, block: usize, known: &mut Known<'_>) {
        let ticks = self.ticks();
        for set in self.blocks[block].clone() {
            for k in self.sets[set].items.clone() {
                self.plan_pass(k, block, set, known);
                let ready = self.ready_sheet(k, block, set);
                self.ready.push(ready.into_row(&mut self.beam));
                let ended = self.ended_sheet(k);
                self.ended.push(ended.into_row(&mut self.beam));
            }
            let mut sheet = Sheet::new(ticks);
            for (k, cost) in self.set_parts(set) {
                sheet.add_row(&self.ended[k], -cost);
            }
            self.set_ended.push(sheet.into_row(&mut self.beam));
        }
        let mut sheet = Sheet::new(ticks);
        for (set, cost) in self.block_parts(block) {
            sheet.add_row(&self.set_ended[set], -cost);
        }
        self.block_ended.push(sheet.into_row(&mut self.beam));
    }

    /// The ways in which a set may end: the item it ends with, and what that costs.
    fn set_parts(&self, set: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let items = self.sets[set].items.clone();
        let reps = (items.clone())
            .filter(|&k| self.items[k].kind != Kind::Extra)
            .count();
        let first = items.start;
        items.map(move |k| {
            let left = (reps + first).saturating_sub(k + 1);
            let cost = if left == 0 {
                0.0
            } else {
                LEFT_AT_END + LEFT_AT_END_MORE * (left - 1) as f64
            };
            (k, cost)
        })
    }

    /// The ways in which a block may end: the set it ends with, and what that costs.
    fn block_parts(&self, block: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let sets = self.blocks[block].clone();
        let end = sets.end;
        sets.map(move |set| {
            let left = end - set - 1;
            let cost = if left == 0 {
                0.0
            } else {
                SETS_LEFT_AT_END + SETS_LEFT_AT_END_MORE * (left - 1) as f64
            };
            (set, cost)
        })
    }

    /// Settles how the time before an item passes.
    fn plan_pass(&mut self, k: usize, block: usize, set: usize, known: &mut Known<'_>) {
        let first_of_set = k == self.sets[set].items.start;
        let first_of_block = first_of_set && set == self.blocks[block].start;
        if first_of_block && block == 0 {
            return;
        }
        // The rest before an item is that after the planned item before it, or in its set.
        let (rest, other) = if first_of_block {
            (
                self.last_planned(self.blocks[block].start - 1),
                ELSE_BETWEEN_BLOCKS,
            )
        } else if first_of_set {
            (self.last_planned(set - 1), ELSE_BETWEEN_SETS)
        } else if self.items[k].kind == Kind::Extra {
            let before = self.items[..k - 1].last();
            let in_set = before.filter(|i| !i.last_of_set && i.block == self.items[k].block);
            (
                in_set.map_or(self.items[k - 1].rest_after, |i| i.rest_after),
                ELSE_BEFORE_EXTRA,
            )
        } else {
            (self.items[k - 1].rest_after, ELSE_IN_SET)
        };
        // Before the first item of all any time may pass: there is none that tells.
        if !first_of_set && k > 1 && self.items[k].kind != Kind::Extra {
            let before = &self.items[k - 1];
            // The rest before it is behind him; its own time passes, and the rest after it.
            let passed = Guess::new(rest.value + before.work.value, rest.sd.max(LEAST_PASSED_SD));
            self.left_out[k] = Some(known.passed(passed));
        }
        self.passes[k] = Some(Pass {
            rest: known.rest(rest),
            other,
        });
    }

    /// The rest after the last planned item of a set.
    fn last_planned(&self, set: usize) -> Guess {
        let items = &self.items[self.sets[set].items.clone()];
        items.last().map_or(Guess::new(60.0, 0.8), |i| i.rest_after)
    }

    /// What the time before the first item costs.
    fn idle(&self, ticks: usize) -> f64 {
        let s = ticks as f64 * self.look.tick_s;
        IDLE_A_SECOND * (s - IDLE_FREE_S).max(0.0)
    }

    /// What a recording costs that was cut so many ticks from an item.
    fn cut(&self, ticks: usize) -> f64 {
        let s = ticks as f64 * self.look.tick_s;
        CUT + CUT_A_SECOND * (s - CUT_FREE_S).max(0.0)
    }

    /// What a recording costs that began after the items before one, and so many ticks before it.
    fn began_late(&self, k: usize, block: usize, ticks: usize) -> f64 {
        let first = k == self.sets[self.blocks[block].start].items.start;
        let blocks = block + usize::from(!first);
        BEGAN_LATE * blocks.saturating_sub(1) as f64 + self.cut(ticks)
    }

    /// Where weight passes from into being ready for an item, time passing.
    fn source(&self, k: usize, block: usize, set: usize) -> Option<(&Row, State)> {
        if k > self.sets[set].items.start {
            Some((&self.ended[k - 1], State::Ended(k - 1)))
        } else if set > self.blocks[block].start {
            Some((&self.set_ended[set - 1], State::SetEnded(set - 1)))
        } else if block > 0 {
            Some((&self.block_ended[block - 1], State::BlockEnded(block - 1)))
        } else {
            None
        }
    }

    /// The item from being ready for which one may be ready for this at once, what is between being left out, and its cost.
    fn shortcut(&self, k: usize, block: usize, set: usize) -> Option<(usize, f64)> {
        if self.items[k].kind == Kind::Extra {
            None
        } else if k > self.sets[set].items.start {
            Some((k - 1, LEFT_OUT_AT_ONCE))
        } else if set > self.blocks[block].start {
            Some((self.sets[set - 1].items.start, SET_LEFT_OUT))
        } else if block > 0 {
            let before = self.blocks[block - 1].start;
            Some((self.sets[before].items.start, BLOCK_LEFT_OUT))
        } else {
            None
        }
    }

    /// What it costs to leave out the rep before an item while its time passes: hardly anyone leaves out the first.
    fn left_out_cost(&self, k: usize, set: usize) -> f64 {
        let first = k == self.sets[set].items.start + 1;
        LEFT_OUT + if first { LEFT_OUT_FIRST } else { 0.0 }
    }

    fn ready_sheet(&self, k: usize, block: usize, set: usize) -> Sheet {
        let ticks = self.ticks();
        let mut sheet = Sheet::new(ticks);
        if k == 0 {
            for t in 0..=ticks {
                sheet.add(t, (-self.idle(t)).exp(), 0.0);
            }
            return sheet;
        }
        if let (Some((from, _)), Some(pass)) = (self.source(k, block, set), &self.passes[k]) {
            row::spend(from, 0.0, &pass.rest, &self.look.rest, &mut sheet);
            row::linger(from, -pass.other, &self.look.decay, &mut sheet);
        }
        if let Some(kernel) = &self.left_out[k] {
            let cost = self.left_out_cost(k, set);
            row::spend(
                &self.ready[k - 1],
                -cost,
                kernel,
                &self.look.rest,
                &mut sheet,
            );
        }
        if let Some((from, cost)) = self.shortcut(k, block, set) {
            sheet.add_row(&self.ready[from], -cost);
        }
        if self.items[k].kind != Kind::Extra {
            for t in 0..=ticks {
                sheet.add(t, (-self.began_late(k, block, t)).exp(), 0.0);
            }
        }
        sheet
    }

    fn ended_sheet(&self, k: usize) -> Sheet {
        let mut sheet = Sheet::new(self.ticks());
        let ready = &self.ready[k];
        match &self.works[k] {
            Work::Bout { pairings, hidden } => {
                for pair in &pairings.list {
                    let (from, to) = (pair.from as usize, pair.to as usize);
                    let scale = ready.scale(from);
                    let weight = ready.part(from, scale) * pair.weight;
                    sheet.add(to, weight, scale + pairings.scale);
                }
                if let Some(kernel) = hidden {
                    row::spend(ready, -HIDDEN, kernel, &self.look.fast, &mut sheet);
                }
            }
            Work::Stretch { kernel, look } => {
                row::spend(ready, 0.0, kernel, look, &mut sheet);
                self.cut_back(k, kernel, look, &mut sheet);
                self.cut_front(k, kernel, look, &mut sheet);
            }
        }
        sheet
    }

    /// The longest time that a stretch which the recording cut may be there for, in ticks.
    fn longest_cut(&self, k: usize) -> usize {
        ((self.items[k].work.value / self.look.tick_s) as usize).min(self.ticks())
    }

    /// Stretches that go on when the recording ends.
    fn cut_back(&self, k: usize, kernel: &Kernel, look: &Sums, sheet: &mut Sheet) {
        let ticks = self.ticks();
        let longest = self.longest_cut(k).min(kernel.longest());
        let shortest = (SHORTEST_CUT_S / self.look.tick_s) as usize;
        let ready = &self.ready[k];
        let looks = look.back(ticks).enumerate().take(longest + 1);
        for (d, looks) in looks.skip(shortest) {
            let scale = ready.scale(ticks - d);
            let weight = ready.part(ticks - d, scale) * looks;
            sheet.add(ticks, weight, scale - CUT);
        }
    }

    /// Stretches that were under way when the recording began.
    fn cut_front(&self, k: usize, kernel: &Kernel, look: &Sums, sheet: &mut Sheet) {
        let longest = self.longest_cut(k).min(kernel.longest());
        let shortest = (SHORTEST_CUT_S / self.look.tick_s) as usize;
        for d in shortest..=longest {
            sheet.add(d, 1.0, look.at(d) - CUT);
        }
    }

    /// The ways in which a recording may end, with their weights.
    fn endings(&self) -> Vec<(State, usize, f64)> {
        let ticks = self.ticks();
        let mut endings = Vec::new();
        let mut add = |state: State, row: &Row, from: usize, cost: &dyn Fn(usize) -> f64| {
            for t in from..=ticks {
                let weight = row.log(t);
                if weight > f64::NEG_INFINITY {
                    endings.push((state, t, weight - cost(ticks - t)));
                }
            }
        };
        if let Some(last) = self.block_ended.len().checked_sub(1) {
            add(State::BlockEnded(last), &self.block_ended[last], 0, &|t| {
                self.idle(t)
            });
            // The last blocks left out: from the end of any block before.
            for block in 0..last {
                let left = (last - block) as f64 * BLOCK_LEFT_OUT;
                add(
                    State::BlockEnded(block),
                    &self.block_ended[block],
                    0,
                    &|t| left + self.idle(t),
                );
            }
            // What ended long before the end is no recording cut off.
            let early = ticks.saturating_sub((LONGEST_CUT_S / self.look.tick_s) as usize);
            for k in 0..self.items.len() {
                add(State::Ended(k), &self.ended[k], early, &|t| self.cut(t));
            }
        }
        endings
    }

    fn close(&mut self) {
        let blocks = self.blocks.len() as f64;
        self.nothing = -blocks * BLOCK_LEFT_OUT - self.idle(self.ticks());
        let endings = self.endings();
        let all: Vec<f64> = endings
            .iter()
            .map(|(.., w)| *w)
            .chain([self.nothing])
            .collect();
        self.evidence = log_sum(&all);
        self.endings = endings;
    }
}

/// The sets and blocks of the items, in order.
fn sets(items: &[Item]) -> (Vec<Set>, Vec<std::ops::Range<usize>>) {
    let mut sets: Vec<Set> = Vec::new();
    let mut blocks: Vec<std::ops::Range<usize>> = Vec::new();
    for (k, item) in items.iter().enumerate() {
        let same_block = sets.last().is_some_and(|s| s.block == item.block);
        let same_set = same_block && k > 0 && items[k - 1].set == item.set;
        if same_set {
            if let Some(set) = sets.last_mut() {
                set.items.end = k + 1;
            }
            continue;
        }
        sets.push(Set {
            items: k..k + 1,
            block: item.block,
        });
        match blocks.last_mut() {
            Some(block) if same_block => block.end = sets.len(),
            _ => blocks.push(sets.len() - 1..sets.len()),
        }
    }
    (sets, blocks)
}
