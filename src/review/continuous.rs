//! Continuous blocks: placed between the reps around them, by how long they last and how they look.
//!
//! A warm-up or a game is no bout; it is a stretch of the session. Between two matched reps the stretches of the plan
//! come in order with rests around them: a semi-Markov chain on a grid of 2 s, solved by dynamic programming. Durations
//! carry more than the look (juggling looks like standing), so the look has a low weight.

use std::ops::Range;

use crate::bouts::Bout;
use crate::motion::Motion;
use crate::plan::Category;
use crate::review::cost;
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind};

/// The grid, s.
const GRID_S: f64 = 2.0;
/// The weight of the look of one grid step: neighbouring steps look alike, so they are not independent evidence.
const LOOK: f64 = 0.08;
/// A continuous block cut short while the recording ran on: rare, its end is on the clock.
const CUT: f64 = 8.0;
/// Durations vary by this share, and by so many seconds.
const DURATION_SHARE: f64 = 0.05;
const DURATION_S: f64 = 4.0;
/// A duration unlike the plan.
const DURATION_FLOOR: f64 = 12.0;
/// Less of a stretch than this share is none.
const LEAST_SHARE: f64 = 0.1;
/// Longest stretch that is placed on the grid, in steps; beyond, the grid is made coarser.
const MOST_STEPS: usize = 1500;
/// Speeds that part standing, walking, jogging, running and running fast, m/s.
const CLASSES_M_S: [f64; 4] = [0.5, 1.8, 3.2, 5.0];

/// Where a stretch was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// How much of its time each kind of stretch spends standing, walking, jogging, running, running fast.
///
/// Common practice, no source.
fn look(category: Option<Category>) -> [f64; 5] {
    match category {
        None | Some(Category::Gym) => [0.46, 0.44, 0.07, 0.02, 0.01],
        Some(Category::WarmUp) => [0.18, 0.22, 0.50, 0.07, 0.03],
        Some(Category::Technical) => [0.36, 0.47, 0.14, 0.02, 0.01],
        Some(Category::Game) => [0.20, 0.37, 0.24, 0.12, 0.07],
        Some(Category::CoolDown) => [0.20, 0.22, 0.54, 0.03, 0.01],
        Some(Category::Strength | Category::Resistance | Category::Speed) => {
            [0.03, 0.06, 0.45, 0.41, 0.05]
        }
    }
}

/// Places every stretch; `None` for what was left out, and for what is no stretch.
pub(super) fn place(
    motion: &Motion,
    items: &[Item],
    pairs: &[Option<usize>],
    candidates: &[Bout],
    span_s: (f64, f64),
) -> Vec<Option<Place>> {
    let mut places = vec![None; items.len()];
    let mut from = 0;
    while from < items.len() {
        let Some(next) = (from..items.len()).find(|&k| items[k].kind == Kind::Stretch) else {
            break;
        };
        let before = (0..next).rev().find_map(|k| pairs[k].map(|c| (k, c)));
        let after = (next..items.len()).find_map(|k| pairs[k].map(|c| (k, c)));
        let until = after.map_or(items.len(), |(k, _)| k);
        let stretches: Vec<usize> = (next..until)
            .filter(|&k| items[k].kind == Kind::Stretch)
            .collect();
        let room = Room {
            start_s: before.map_or(span_s.0, |(k, c)| cost::end_s(&items[k], &candidates[c])),
            end_s: after.map_or(span_s.1, |(_, c)| candidates[c].start_s),
            lead: before.map(|(k, _)| items[k].rest_after),
            bounded: after.is_some(),
        };
        let list: Vec<&Item> = stretches.iter().map(|&k| &items[k]).collect();
        for (k, place) in stretches.iter().zip(room.place(motion, &list)) {
            places[*k] = place;
        }
        from = until.max(next + 1);
    }
    places
}

/// The time between two matched reps, or between one and an end of the recording.
struct Room {
    start_s: f64,
    end_s: f64,
    /// The rest expected after the rep before; `None` at the start of the recording.
    lead: Option<Guess>,
    /// Whether a rep follows; else the recording ends.
    bounded: bool,
}

/// Where a best account came from.
#[derive(Clone, Copy, Debug, PartialEq)]
enum From {
    Nowhere,
    /// The stretch before was left out.
    Skipped,
    /// It lay in these grid steps.
    Placed(usize, usize),
}

impl Room {
    fn place(&self, motion: &Motion, items: &[&Item]) -> Vec<Option<Place>> {
        let length_s = self.end_s - self.start_s;
        if items.is_empty() || length_s < GRID_S {
            return vec![None; items.len()];
        }
        let grid_s = GRID_S.max(length_s / MOST_STEPS as f64);
        let steps = (length_s / grid_s).floor() as usize;
        let classes = classes(motion, self.start_s, grid_s, steps);
        // best[k][t]: stretches before k are dealt with, and the step t is the first that may hold stretch k.
        let mut best = vec![vec![f64::INFINITY; steps + 1]; items.len() + 1];
        let mut from = vec![vec![From::Nowhere; steps + 1]; items.len() + 1];
        for (t, cost) in best[0].iter_mut().enumerate() {
            *cost = self.lead_cost(t as f64 * grid_s);
        }
        for (k, item) in items.iter().enumerate() {
            let (row, next) = {
                let (a, b) = best.split_at_mut(k + 1);
                (&a[k], &mut b[0])
            };
            let sums = look_sums(&classes, item.category);
            let last = k + 1 == items.len();
            let rests: Vec<f64> = (0..=steps)
                .map(|t| self.rest_cost(item, last, t as f64 * grid_s))
                .collect();
            // The best end of stretch k at each step, with its start.
            let mut ends = vec![(f64::INFINITY, 0); steps + 1];
            let durations: Vec<f64> = (0..=steps)
                .map(|n| duration_cost(item.work.value, n as f64 * grid_s))
                .collect();
            let longest = ((1.35 * item.work.value / grid_s).ceil() as usize).max(1);
            for s in 0..steps {
                if row[s] == f64::INFINITY {
                    continue;
                }
                for e in s + 1..=steps.min(s + longest) {
                    let mut duration = durations[e - s];
                    let cut_front = s == 0 && self.lead.is_none();
                    let cut_back = e == steps && !self.bounded && last;
                    if (cut_front || cut_back) && (e - s) as f64 * grid_s < item.work.value {
                        duration = duration.min(cost::CUT_RECORDING);
                    }
                    let cost = row[s] + duration - (sums[e] - sums[s]);
                    if cost < ends[e].0 {
                        ends[e] = (cost, s);
                    }
                }
            }
            for t in 0..=steps {
                let skipped = row[t] + cost::MISSING_STRETCH;
                if skipped < next[t] {
                    next[t] = skipped;
                    from[k + 1][t] = From::Skipped;
                }
                for e in 1..=t {
                    let cost = ends[e].0 + rests[t - e];
                    if cost < next[t] {
                        next[t] = cost;
                        from[k + 1][t] = From::Placed(ends[e].1, e);
                    }
                }
                if last && t < steps {
                    // Only the account of all the room matters.
                    next[t] = f64::INFINITY;
                }
            }
        }
        let mut places = vec![None; items.len()];
        let mut t = steps;
        for k in (0..items.len()).rev() {
            match from[k + 1][t] {
                From::Placed(s, e)
                    if (e - s) as f64 * grid_s < LEAST_SHARE * items[k].work.value =>
                {
                    t = s;
                }
                From::Placed(s, e) => {
                    places[k] = Some(Place {
                        start_s: self.start_s + s as f64 * grid_s,
                        end_s: self.start_s + e as f64 * grid_s,
                    });
                    t = s;
                }
                From::Skipped | From::Nowhere => {}
            }
        }
        places
    }

    /// The cost of so much rest before the first stretch.
    fn lead_cost(&self, rest_s: f64) -> f64 {
        self.lead
            .map_or_else(|| idle_cost(rest_s), |lead| rest(lead, rest_s))
    }

    /// The cost of so much rest after a stretch.
    fn rest_cost(&self, item: &Item, last: bool, rest_s: f64) -> f64 {
        if last && !self.bounded {
            idle_cost(rest_s)
        } else {
            rest(item.rest_after, rest_s)
        }
    }
}

/// Rest before the first and after the last of the session: up to a minute is usual.
fn idle_cost(rest_s: f64) -> f64 {
    cost::bell((rest_s - 40.0).max(0.0) / 60.0, 5.0)
}

fn rest(expected: Guess, rest_s: f64) -> f64 {
    let sd = expected.sd.hypot(GRID_S / expected.value);
    cost::bell((rest_s.max(1.0) / expected.value).ln() / sd, 4.0)
}

fn duration_cost(planned_s: f64, seen_s: f64) -> f64 {
    let sd = DURATION_SHARE * planned_s + DURATION_S;
    let cost = cost::bell((seen_s - planned_s) / sd, DURATION_FLOOR);
    let share = seen_s / planned_s;
    if 0.4 < share && share < 0.85 {
        cost.min(CUT)
    } else {
        cost
    }
}

/// The class of speed of each grid step; `None` where nothing was recorded.
fn classes(motion: &Motion, start_s: f64, grid_s: f64, steps: usize) -> Vec<Option<usize>> {
    let mut k = motion.samples.partition_point(|s| s.time_s < start_s);
    (0..steps)
        .map(|step| {
            let end_s = start_s + (step + 1) as f64 * grid_s;
            let window: Range<usize> = {
                let from = k;
                while motion.samples.get(k).is_some_and(|s| s.time_s < end_s) {
                    k += 1;
                }
                from..k
            };
            let samples = &motion.samples[window];
            let seen: Vec<f64> = samples
                .iter()
                .filter(|s| !s.bridged)
                .map(|s| s.speed_m_s)
                .collect();
            (!seen.is_empty()).then(|| {
                let mean = seen.iter().sum::<f64>() / seen.len() as f64;
                CLASSES_M_S.iter().filter(|&&edge| mean >= edge).count()
            })
        })
        .collect()
}

/// Sums, up to each step, of how much more the step looks like the category than like rest.
fn look_sums(classes: &[Option<usize>], category: Category) -> Vec<f64> {
    let (work, rest) = (look(Some(category)), look(None));
    let mut sum = 0.0;
    let mut sums = vec![0.0];
    for class in classes {
        if let Some(c) = *class {
            sum += LOOK * (work[c] / rest[c]).ln();
        }
        sums.push(sum);
    }
    sums
}
