//! What the items of a plan share: the candidates that a block's reps may be, the looks of a category, the kernels of a time.

use std::rc::Rc;

use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::chain::Work;
use crate::review::cost::{self, Quality};
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind};
use crate::review::kernel::Kernel;
use crate::review::look::Look;
use crate::review::sums::Sums;

/// A run that goes on about as fast outside its edges costs up to twice this an edge.
const CONTRAST: f64 = 1.2;

/// The look of a run tells no more than this, however long it is: its seconds follow each other alike.
const MOST_SEEN: f64 = 13.0;
/// Against a long one it tells no more than this: who is slow is slow in all of it.
const MOST_AGAINST: f64 = 3.0;
const LONG_RUN_S: f64 = 30.0;

/// A candidate as an item.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pairing {
    pub candidate: u32,
    pub from: u32,
    pub to: u32,
    /// Odds, as part of the largest of the item's pairings.
    pub weight: f64,
}

/// The candidates that an item may be, in order of their end.
#[derive(Debug, Default)]
pub(super) struct Pairings {
    pub list: Vec<Pairing>,
    /// Logarithm of what the weight 1 stands for.
    pub scale: f64,
}

/// What items share: pairings of a block, looks of a category, kernels of a time.
pub(super) struct Known<'a> {
    candidates: &'a [Bout],
    quality: &'a Quality,
    look: &'a Look,
    pairings: Vec<(Item, Rc<Pairings>)>,
    runs: Vec<(Category, Rc<Sums>)>,
    /// By how long they are planned to take, s.
    stretches: Vec<((Category, f64), Rc<Sums>)>,
    rests: Vec<(Guess, Rc<Kernel>)>,
    passed: Vec<(Guess, Rc<Kernel>)>,
    works: Vec<(Guess, Rc<Kernel>)>,
    hidden: Vec<((Guess, f64), Rc<Kernel>)>,
}

/// What was made of a key, or what is made of it now; the last few keys come again and again.
fn shared<K: PartialEq, V>(list: &mut Vec<(K, Rc<V>)>, key: K, make: impl FnOnce() -> V) -> Rc<V> {
    if let Some((_, value)) = list.iter().rev().find(|(k, _)| *k == key) {
        return Rc::clone(value);
    }
    let value = Rc::new(make());
    list.push((key, Rc::clone(&value)));
    value
}

impl<'a> Known<'a> {
    pub(crate) fn new(candidates: &'a [Bout], quality: &'a Quality, look: &'a Look) -> Self {
        Self {
            candidates,
            quality,
            look,
            pairings: Vec::new(),
            runs: Vec::new(),
            stretches: Vec::new(),
            rests: Vec::new(),
            passed: Vec::new(),
            works: Vec::new(),
            hidden: Vec::new(),
        }
    }

    pub(crate) fn rest(&mut self, expected: Guess) -> Rc<Kernel> {
        let look = self.look;
        shared(&mut self.rests, expected, || {
            Kernel::rest(expected, look.tick_s, look.ticks)
        })
    }

    pub(crate) fn passed(&mut self, expected: Guess) -> Rc<Kernel> {
        let look = self.look;
        shared(&mut self.passed, expected, || {
            Kernel::passed(expected, look.tick_s, look.ticks)
        })
    }

    pub(crate) fn work(&mut self, item: &Item) -> Work {
        let look = self.look;
        if item.kind == Kind::Stretch {
            return Work::Stretch {
                kernel: shared(&mut self.works, item.work, || {
                    Kernel::work(item.work, look.tick_s, look.ticks)
                }),
                look: shared(
                    &mut self.stretches,
                    (item.category, item.work.value),
                    || look.stretch(item.category, item.work.value),
                ),
            };
        }
        let hides_for_s = (item.kind == Kind::Bout)
            .then(|| self.quality.hides_for_s(item))
            .flatten();
        let hidden = hides_for_s.map(|longest_s| {
            shared(&mut self.hidden, (item.work, longest_s), || {
                Kernel::hidden(item.work, longest_s, (look.tick_s, look.ticks))
            })
        });
        let alike = |other: &Item| {
            let model = |i: &Item| (i.block, i.kind, i.work, i.distance_m, i.peak);
            model(other) == model(item)
        };
        if let Some((_, known)) = self.pairings.iter().rev().find(|(i, _)| alike(i)) {
            return Work::Bout {
                pairings: Rc::clone(known),
                hidden,
            };
        }
        let run = shared(&mut self.runs, item.category, || look.run(item.category));
        let pairings = Rc::new(pairings(item, self.candidates, self.quality, look, &run));
        self.pairings.push((item.clone(), Rc::clone(&pairings)));
        Work::Bout { pairings, hidden }
    }
}

fn pairings(
    item: &Item,
    candidates: &[Bout],
    quality: &Quality,
    look: &Look,
    run: &Sums,
) -> Pairings {
    let mut list: Vec<Pairing> = Vec::new();
    for (candidate, bout) in candidates.iter().enumerate() {
        let Some(cost) = cost::pair(item, bout, quality) else {
            continue;
        };
        let end_s = cost::end_s(item, bout);
        let seen = look.at(run.all(), end_s) - look.at(run.all(), bout.start_s);
        let is_long = end_s - bout.start_s > LONG_RUN_S;
        let most = if seen < 0.0 && is_long {
            MOST_AGAINST
        } else {
            MOST_SEEN
        };
        let seen = most * seen / (most + seen.abs());
        // Filtered shuttles are no faster than the walk to them: their rhythm shows what their pace cannot.
        let by_pace = 1.0 - cost::evenness(item, bout);
        let seen = seen.max(by_pace * seen);
        let (from, to) = (look.tick(bout.start_s), look.tick(end_s));
        // A rep comes out of rest and ends in it; a piece of a longer run does neither.
        let within = look.mean_speed(bout.start_s, end_s).max(0.5);
        let outside = [
            look.mean_speed(bout.start_s - 4.0, bout.start_s - 1.0),
            look.mean_speed(bout.stop_s + 1.0, bout.stop_s + 4.0),
        ];
        let seen = seen
            - outside
                .iter()
                .map(|v| CONTRAST * ((v / within - 0.5) / 0.2).clamp(0.0, 2.0))
                .sum::<f64>();
        list.push(Pairing {
            candidate: candidate as u32,
            from: from as u32,
            to: to.max(from) as u32,
            weight: seen - cost,
        });
    }
    list.sort_by_key(|p| (p.to, p.from));
    let scale = list
        .iter()
        .map(|p| p.weight)
        .fold(f64::NEG_INFINITY, f64::max);
    for pair in &mut list {
        pair.weight = (pair.weight - scale).exp();
    }
    Pairings { list, scale }
}
