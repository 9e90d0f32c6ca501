//! Finds what is no session: the way there or home by car or bicycle with the watch running, and a watch that lies forgotten.
//!
//! No single sign is enough. A sprint is fast and a jog to the pitch goes one way; what nobody runs is *long and* fast. So
//! the recording is looked at in cells of a few seconds, by the median of each, and a ride is where the way gained on the best
//! runner adds up. A car is faster than anybody for many seconds and may come at any time; a bicycle is told from a run only
//! by where it lies, so it counts only before or after all running, far from the ground and mostly one way. Who rides slowly, or
//! halts at every other corner, gains little in one go; there all that is gained on the way counts together, halts aside, if he
//! neither turns about nor falls into a run's pace between. What lies beyond a ride, without running, belongs to it.

use std::ops::Range;

use crate::estimation::quantile::median;
use crate::track::{Draft, LeftOut, Reason};

/// Length of a cell, s: longer than a reflection that lasts, shorter than any ride.
const CELL_S: f64 = 5.0;
/// Speed that a good footballer could hold for ever...
const HELD_M_S: f64 = 4.8;
/// ... and how far he may get ahead of it: by both, 400 m in 46 s, 1 km in 2:51, 3 km in 9:47.
const AHEAD_M: f64 = 180.0;
/// Faster than this over a cell nobody runs...
const VEHICLE_M_S: f64 = 10.5;
/// ... for so many cells: the world record over 200 m took 19.2 s.
const VEHICLE_CELLS: usize = 5;
/// A ride by bicycle is at least so long, cells...
const RIDE_CELLS: usize = 8;
/// ... and its ends lie apart at least this share of its way.
const ONE_WAY: f64 = 0.4;
/// On a way whose halts are passed over a footballer is ahead of this pace (1 km in 3:53)...
const TRAVELLED_M_S: f64 = 4.3;
/// ... by no more than this: by both, 1 km in 3:24, 2 km in 7:17, 5 km in 18:55.
const TRAVELLED_M: f64 = 120.0;
/// Its ends lie apart at least this share of its way...
const TRAVELLED_ONE_WAY: f64 = 0.6;
/// ... and hardly more than this share of its moving is at the pace of a jog: between halt and ride it is for moments only...
const JOGGED_SHARE: f64 = 0.15;
const JOGGED_M_S: Range<f64> = RUNNING_M_S..3.6;
/// A faster step is a leap of the receiver, m/s.
const LEAP_M_S: f64 = 60.0;
/// Who moves slower than this has arrived, m/s.
const ARRIVED_M_S: f64 = 1.0;
/// Faster than this, far from the ground, the ride goes on, m/s...
const RIDING_M_S: f64 = 4.5;
/// ... where it gets away at that speed for so many cells.
const RIDING_CELLS: usize = 6;
/// How long it takes to roll to a stop after the last fast cell, s.
const ROLLING_S: f64 = 60.0;
/// The longest halt within a ride, s.
const HALT_S: f64 = 240.0;
/// This far from the middle of the running one is not on the ground any more, m: the longest pitch has 75 m to its corners.
const FAR_M: f64 = 150.0;
/// From this speed on a cell is running, m/s...
const RUNNING_M_S: f64 = 2.2;
/// ... and so many of them are a session.
const SESSION_CELLS: usize = 12;
/// More running than this beyond a ride is a session of its own, cells.
const STRAY_CELLS: usize = 6;
/// A watch that lies still gets no further than this, m...
const LYING_M: f64 = 40.0;
/// ... stirs in hardly a cell, by so many metres within it or so many a second to the next...
const STIRS_M: f64 = 2.0;
const STIRS_M_S: f64 = 1.2;
/// ... but for this share of them, in which the receiver errs...
const STIRRING_SHARE: f64 = 0.04;
/// ... for at least so long away from the ground, s...
const LYING_S: f64 = 900.0;
/// ... and for so long on it, s: talks and stretching are shorter.
const LYING_HERE_S: f64 = 2400.0;

/// Over this time a speed is that of a moment, s.
const LOCAL_S: f64 = 2.0;

/// A few seconds of the recording.
#[derive(Clone, Copy, Debug)]
struct Cell {
    /// The first of its drafts.
    from: usize,
    /// Mean time of its drafts, s.
    time_s: f64,
    /// Median place, m.
    at_m: Option<[f64; 2]>,
    /// How far its farthest draft is from there, m.
    spread_m: f64,
    /// Median speed of the receiver, m/s.
    speed_m_s: Option<f64>,
}

/// The step from one cell to the next.
#[derive(Clone, Copy, Debug)]
struct Step {
    lasts_s: f64,
    way_m: f64,
}

impl Step {
    fn speed_m_s(self) -> f64 {
        self.way_m / self.lasts_s
    }
}

/// A stretch of cells with why it is left out.
#[derive(Clone, Debug)]
struct Stretch {
    cells: Range<usize>,
    reason: Reason,
}

impl Stretch {
    fn lying(cells: Range<usize>) -> Self {
        Self {
            cells,
            reason: Reason::LyingStill,
        }
    }
}

/// What is left out, in order of time: the drafts of each, with times from the first draft that stays.
pub(super) fn find(drafts: &[Draft]) -> Vec<(Range<usize>, LeftOut)> {
    let cells = cells(drafts);
    let steps: Vec<Step> = cells.windows(2).map(|w| step(&w[0], &w[1])).collect();
    let recording = Recording { cells, steps };
    let mut found: Vec<(Stretch, Range<usize>)> = Vec::new();
    for stretch in recording.stretches() {
        let mut range = recording.drafts(&stretch, drafts);
        if let Some((before, taken)) = found.last() {
            let touches = before.cells.end == stretch.cells.start;
            range.start = if touches {
                taken.end
            } else {
                range.start.max(taken.end)
            };
        }
        if !range.is_empty() {
            found.push((stretch, range));
        }
    }
    let mut first_kept = 0;
    for (_, range) in &found {
        if range.start == first_kept {
            first_kept = range.end;
        }
    }
    let Some(start_s) = drafts.get(first_kept).map(|d| d.time_s) else {
        return Vec::new();
    };
    found
        .into_iter()
        .filter_map(|(stretch, range)| {
            let (first, next) = (
                drafts.get(range.start)?,
                drafts.get(range.end).or(drafts.last())?,
            );
            // What a watch that lies still says of its way is its error.
            let moved = stretch.reason == Reason::OnTheWay;
            let left_out = LeftOut {
                reason: stretch.reason,
                start_s: first.time_s - start_s,
                end_s: next.time_s - start_s,
                distance_m: if moved {
                    recording.way_m(&stretch.cells)
                } else {
                    0.0
                },
                top_speed_m_s: if moved {
                    recording.top_m_s(&stretch.cells)
                } else {
                    0.0
                },
            };
            Some((range, left_out))
        })
        .collect()
}

/// The drafts by cells; a cell without any does not exist.
fn cells(drafts: &[Draft]) -> Vec<Cell> {
    let Some(start_s) = drafts.first().map(|d| d.time_s) else {
        return Vec::new();
    };
    let number = |draft: &Draft| ((draft.time_s - start_s) / CELL_S) as u64;
    let mut from = 0;
    let mut cells = Vec::new();
    for chunk in drafts.chunk_by(|a, b| number(a) == number(b)) {
        let column = |axis: usize| {
            let places = chunk.iter().filter_map(|d| d.position_m);
            median(places.map(|p| p[axis]).collect())
        };
        let at_m = column(0).zip(column(1)).map(|(x, y)| [x, y]);
        let places = chunk.iter().filter_map(|d| d.position_m);
        let spread_m = at_m.map_or(0.0, |at_m| {
            places.map(|p| apart_m(p, at_m)).fold(0.0, f64::max)
        });
        cells.push(Cell {
            from,
            spread_m,
            time_s: chunk.iter().map(|d| d.time_s).sum::<f64>() / chunk.len() as f64,
            at_m,
            speed_m_s: median(chunk.iter().filter_map(|d| d.speed_m_s).collect()),
        });
        from += chunk.len();
    }
    cells
}

/// By place where both have one, else by the receiver's speed. A leap is no way.
fn step(a: &Cell, b: &Cell) -> Step {
    let lasts_s = (b.time_s - a.time_s).max(1e-3);
    let way_m = match (a.at_m, b.at_m) {
        (Some(from), Some(to)) => apart_m(from, to),
        _ => match (a.speed_m_s, b.speed_m_s) {
            (Some(v), Some(w)) => f64::midpoint(v, w) * lasts_s,
            _ => 0.0,
        },
    };
    let leapt = way_m > LEAP_M_S * lasts_s;
    Step {
        lasts_s,
        way_m: if leapt { 0.0 } else { way_m },
    }
}

fn apart_m(a: [f64; 2], b: [f64; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

/// How many of some increasing numbers lie in a range.
fn count(numbers: &[usize], range: &Range<usize>) -> usize {
    let before = |end: usize| numbers.partition_point(|&k| k < end);
    before(range.end).saturating_sub(before(range.start))
}

/// Which way along the recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Onward,
    Backward,
}

/// The recording in cells, with the steps between them: `steps[k]` leads from cell k to the next.
struct Recording {
    cells: Vec<Cell>,
    steps: Vec<Step>,
}

impl Recording {
    /// All that is left out, in order, none touching another but at its end.
    fn stretches(&self) -> Vec<Stretch> {
        let seeds = self.seeds();
        let ground = self.middle(&self.running(&seeds));
        let seeds = self.with_travels(seeds, ground);
        let ground = self.middle(&self.running(&seeds));
        let rides = self.rides(&seeds, ground);
        let running = self.running(&rides);
        // Without a session beside it, a ride is what the recording is about.
        if running.len() < SESSION_CELLS {
            return Vec::new();
        }
        let mut stretches: Vec<Stretch> = rides
            .iter()
            .filter(|ride| self.is_no_run(ride, &running, ground))
            .map(|ride| Stretch {
                cells: self.with_beyond(ride, &running, ground),
                reason: Reason::OnTheWay,
            })
            .collect();
        let lies_to = self.lying(Way::Onward);
        if self.lies(&(0..lies_to), ground)
            && stretches.first().is_none_or(|s| lies_to < s.cells.end)
        {
            if let Some(first) = stretches.first_mut() {
                first.cells.start = first.cells.start.max(lies_to);
            }
            stretches.insert(0, Stretch::lying(0..lies_to));
        }
        let all = self.cells.len();
        let lies_from = self.lying(Way::Backward);
        if self.lies(&(lies_from..all), ground)
            && stretches.last().is_none_or(|s| s.cells.start < lies_from)
        {
            if let Some(last) = stretches.last_mut() {
                last.cells.end = last.cells.end.min(lies_from);
            }
            stretches.push(Stretch::lying(lies_from..all));
        }
        stretches
    }

    /// The steps in which somebody runs, outside of stretches that are in order.
    fn running(&self, outside: &[Range<usize>]) -> Vec<usize> {
        let mut outside = outside.iter().peekable();
        let mut running = Vec::new();
        for (k, step) in self.steps.iter().enumerate() {
            while outside.next_if(|range| range.end <= k).is_some() {}
            let taken = outside.peek().is_some_and(|range| range.contains(&k));
            if !taken && (RUNNING_M_S..VEHICLE_M_S).contains(&step.speed_m_s()) {
                running.push(k);
            }
        }
        running
    }

    /// Where the running was: the median place.
    fn middle(&self, running: &[usize]) -> Option<[f64; 2]> {
        let column = |axis: usize| {
            let places = running.iter().filter_map(|&k| self.cells[k].at_m);
            median(places.map(|p| p[axis]).collect())
        };
        column(0).zip(column(1)).map(|(x, y)| [x, y])
    }

    /// How far a cell is from the ground, m; 0 where nobody knows.
    fn off_m(&self, cell: usize, ground: Option<[f64; 2]>) -> f64 {
        match (self.cells.get(cell).and_then(|c| c.at_m), ground) {
            (Some(here), Some(ground)) => apart_m(here, ground),
            _ => 0.0,
        }
    }

    /// Where the way gained on the best runner adds up to more than he can get ahead, as steps.
    fn seeds(&self) -> Vec<Range<usize>> {
        let mut seeds = Vec::new();
        let (mut from, mut to, mut ahead_m, mut most_m) = (0, 0, 0.0_f64, 0.0_f64);
        for (k, step) in self.steps.iter().enumerate() {
            ahead_m += step.way_m - HELD_M_S * step.lasts_s;
            if ahead_m > most_m {
                (most_m, to) = (ahead_m, k + 1);
            }
            let over = ahead_m <= 0.0 || k + 1 == self.steps.len();
            if over && most_m > AHEAD_M {
                seeds.push(from..to);
            }
            if ahead_m <= 0.0 {
                (from, ahead_m, most_m) = (k + 1, 0.0, 0.0);
            }
        }
        seeds.retain(|seed| self.is_vehicle(seed) || self.goes_one_way(seed));
        seeds
    }

    /// The seeds, with slow rides to the ground or home from it that none of them covers, in order.
    fn with_travels(
        &self,
        seeds: Vec<Range<usize>>,
        ground: Option<[f64; 2]>,
    ) -> Vec<Range<usize>> {
        if ground.is_none() {
            return seeds;
        }
        let running = self.running(&seeds);
        let travels = self.travels().into_iter();
        let travels = travels.map(|travel| self.off_the_ground(travel, ground));
        let travels = travels.filter(|travel| {
            let is_covered =
                |seed: &Range<usize>| seed.start <= travel.start && travel.end <= seed.end;
            !seeds.iter().any(is_covered) && self.is_travel(travel, &running, ground)
        });
        let mut all: Vec<Range<usize>> = Vec::new();
        let mut both: Vec<Range<usize>> = travels.chain(seeds.iter().cloned()).collect();
        both.sort_by_key(|seed| seed.start);
        for seed in both {
            match all.last_mut() {
                Some(last) if seed.start < last.end => last.end = last.end.max(seed.end),
                _ => all.push(seed),
            }
        }
        all
    }

    /// Where the way gained on a runner adds up, halts and what leads into and out of them aside, as steps.
    fn travels(&self) -> Vec<Range<usize>> {
        let mut travels = Vec::new();
        let (mut from, mut to, mut ahead_m, mut most_m) = (0, 0, 0.0_f64, 0.0_f64);
        let mut halted_s = 0.0;
        for (k, step) in self.steps.iter().enumerate() {
            ahead_m += self.gained_m(k);
            if self.halts(k) {
                halted_s += step.lasts_s;
            } else {
                halted_s = 0.0;
            }
            if ahead_m > most_m {
                (most_m, to) = (ahead_m, k + 1);
            }
            let lost = ahead_m <= 0.0 || halted_s > HALT_S;
            if (lost || k + 1 == self.steps.len()) && most_m > TRAVELLED_M {
                travels.push(from..to);
            }
            if lost {
                (from, ahead_m, most_m, halted_s) = (k + 1, 0.0, 0.0, 0.0);
            }
        }
        travels
    }

    /// Whether somebody stands over a step.
    fn halts(&self, step: usize) -> bool {
        let speed = self.steps.get(step).map(|s| s.speed_m_s());
        speed.is_some_and(|v| v < ARRIVED_M_S)
    }

    /// The way gained on a runner over a step, m; beside a halt nothing is lost.
    fn gained_m(&self, step: usize) -> f64 {
        let gained_m = |s: &Step| s.way_m - TRAVELLED_M_S * s.lasts_s;
        let gained_m = self.steps.get(step).map_or(0.0, gained_m);
        if self.halts(step) {
            0.0
        } else if self.halts(step + 1) || step > 0 && self.halts(step - 1) {
            gained_m.max(0.0)
        } else {
            gained_m
        }
    }

    /// The steps of a way that lie far from the ground: what was run there is no part of it.
    fn off_the_ground(&self, steps: Range<usize>, ground: Option<[f64; 2]>) -> Range<usize> {
        let near = |cell: &usize| self.off_m(*cell, ground) <= FAR_M;
        let mut cells = steps.start..=steps.end;
        if self.off_m(steps.start, ground) > self.off_m(steps.end, ground) {
            steps.start..cells.find(near).unwrap_or(steps.end)
        } else {
            cells.rev().find(near).unwrap_or(steps.start)..steps.end
        }
    }

    /// Whether it leads one way, to the ground or from it, with all running at its other end and no jogging between.
    fn is_travel(&self, steps: &Range<usize>, running: &[usize], ground: Option<[f64; 2]>) -> bool {
        let (Some(from), Some(to)) = (self.cells[steps.start].at_m, self.cells[steps.end].at_m)
        else {
            return false;
        };
        let one_way = apart_m(from, to) >= TRAVELLED_ONE_WAY * self.way_m(steps);
        let offs_m = (
            self.off_m(steps.start, ground),
            self.off_m(steps.end, ground),
        );
        let all = self.steps.len();
        let (beyond, far) = if offs_m.0 > offs_m.1 {
            (0..steps.start, offs_m.0)
        } else {
            (steps.end..all, offs_m.1)
        };
        let of_ride = |speed: &f64| *speed >= ARRIVED_M_S;
        let moving: Vec<f64> = self.steps[steps.clone()]
            .iter()
            .map(|s| s.speed_m_s())
            .filter(of_ride)
            .collect();
        let jogged = moving.iter().filter(|v| JOGGED_M_S.contains(v)).count();
        let gained_m: f64 = steps.clone().map(|k| self.gained_m(k)).sum();
        one_way
            && gained_m > TRAVELLED_M
            && steps.len() >= RIDE_CELLS
            && far > 2.0 * FAR_M
            && count(running, &beyond) <= STRAY_CELLS
            && jogged as f64 <= JOGGED_SHARE * moving.len() as f64
    }

    /// Whether it is faster than anybody for long enough.
    fn is_vehicle(&self, steps: &Range<usize>) -> bool {
        let fast = |s: &&Step| s.speed_m_s() >= VEHICLE_M_S;
        self.steps[steps.clone()].iter().filter(fast).count() >= VEHICLE_CELLS
    }

    fn goes_one_way(&self, steps: &Range<usize>) -> bool {
        match (self.cells[steps.start].at_m, self.cells[steps.end].at_m) {
            (Some(from), Some(to)) => {
                steps.len() >= RIDE_CELLS && apart_m(from, to) >= ONE_WAY * self.way_m(steps)
            }
            _ => false,
        }
    }

    /// Seeds with the slower riding around and between them, as steps.
    fn rides(&self, seeds: &[Range<usize>], ground: Option<[f64; 2]>) -> Vec<Range<usize>> {
        let mut rides: Vec<Range<usize>> = Vec::new();
        for seed in seeds {
            let before = rides.last().map_or(0, |last| last.end);
            if seed.end <= before {
                continue;
            }
            let start = self
                .end_of_ride(seed.start, Way::Backward, ground)
                .max(before);
            let end = self.end_of_ride(seed.end, Way::Onward, ground);
            match rides.last_mut() {
                Some(last) if self.time_s(start) - self.time_s(last.end) <= HALT_S => {
                    last.end = end;
                }
                _ => rides.push(start..end),
            }
        }
        rides
    }

    /// The cell where a ride that is fast at a cell comes to its end, halts passed over.
    fn end_of_ride(&self, at: usize, way: Way, ground: Option<[f64; 2]>) -> usize {
        let mut at = at;
        loop {
            let stop = self.stop(at, way, ground);
            let goes_on = self
                .steps_from(stop, way)
                .take_while(|&k| (self.time_s(k) - self.time_s(stop)).abs() <= HALT_S);
            let mut goes_on =
                goes_on.filter(|&k| self.rides_on(k) && self.off_m(k, ground) > FAR_M);
            let Some(again) = goes_on.next() else {
                return stop;
            };
            at = match way {
                Way::Onward => again + 1,
                Way::Backward => again,
            };
        }
    }

    /// Whether it gets as far from a step on as a ride does, and no run of a drill.
    fn rides_on(&self, step: usize) -> bool {
        let before = step.saturating_sub(RIDING_CELLS / 2);
        let after = (before + RIDING_CELLS).min(self.steps.len());
        let lasts_s = self.time_s(after) - self.time_s(before);
        match (self.cells[before].at_m, self.cells[after].at_m) {
            (Some(from), Some(to)) => apart_m(from, to) >= RIDING_M_S * lasts_s,
            _ => false,
        }
    }

    /// Where it first stands, else where it is slowest soon after it was fast.
    fn stop(&self, at: usize, way: Way, ground: Option<[f64; 2]>) -> usize {
        let mut fast_s = self.time_s(at);
        let mut slowest = (f64::INFINITY, at);
        for k in self.steps_from(at, way) {
            let speed = self.steps[k].speed_m_s();
            let (here, next) = match way {
                Way::Onward => (k, k + 1),
                Way::Backward => (k + 1, k),
            };
            if speed < ARRIVED_M_S {
                return here;
            }
            if speed >= RIDING_M_S {
                // On the ground somebody runs who was slower before.
                if slowest.0.is_finite() && self.off_m(k, ground) <= FAR_M {
                    return slowest.1;
                }
                fast_s = self.time_s(next);
                slowest = (f64::INFINITY, next);
            } else if (self.time_s(here) - fast_s).abs() > ROLLING_S {
                return slowest.1;
            } else if speed < slowest.0 {
                slowest = (speed, here);
            }
        }
        match way {
            Way::Onward => self.steps.len(),
            Way::Backward => 0,
        }
    }

    /// The steps from a cell on, or back.
    fn steps_from(&self, at: usize, way: Way) -> Box<dyn Iterator<Item = usize>> {
        match way {
            Way::Onward => Box::new(at..self.steps.len()),
            Way::Backward => Box::new((0..at).rev()),
        }
    }

    /// A vehicle, or a ride by bicycle: far from the ground, with all running on one side of it.
    fn is_no_run(&self, ride: &Range<usize>, running: &[usize], ground: Option<[f64; 2]>) -> bool {
        let all = self.steps.len();
        let at_an_end = [0..ride.start, ride.end..all]
            .iter()
            .any(|beyond| count(running, beyond) <= STRAY_CELLS);
        let far = [ride.start, ride.end]
            .iter()
            .any(|&cell| self.off_m(cell, ground) > 2.0 * FAR_M);
        self.is_vehicle(ride) || at_an_end && far
    }

    /// The cells of a ride, with what lies beyond it where that is far from the ground and nobody ran there.
    fn with_beyond(
        &self,
        ride: &Range<usize>,
        running: &[usize],
        ground: Option<[f64; 2]>,
    ) -> Range<usize> {
        let all = self.steps.len();
        let idle = |steps: Range<usize>| {
            count(running, &steps) <= STRAY_CELLS
                && steps.clone().all(|k| self.off_m(k, ground) > FAR_M)
        };
        let start = if idle(0..ride.start) { 0 } else { ride.start };
        // The last cell has no step of its own.
        let end = if idle(ride.end + 1..all) && self.off_m(all, ground) > FAR_M || ride.end == all {
            all + 1
        } else {
            ride.end
        };
        start..end
    }

    /// To where, or from where, a watch lies still at the start or the end of the recording.
    fn lying(&self, way: Way) -> usize {
        let all = self.cells.len();
        let near_s = |k: usize| match way {
            Way::Onward => self.time_s(k) - self.time_s(0),
            Way::Backward => self.time_s(all.saturating_sub(1)) - self.time_s(k),
        };
        let order: Box<dyn Iterator<Item = usize>> = match way {
            Way::Onward => Box::new(0..all),
            Way::Backward => Box::new((0..all).rev()),
        };
        let outermost: Vec<usize> = order.collect();
        let sample = outermost.iter().take_while(|&&k| near_s(k) <= LYING_S);
        let sample: Vec<usize> = sample.copied().collect();
        let place = self.middle(&sample);
        let lies = |&&k: &&usize| {
            let speed = self.cells[k].speed_m_s.unwrap_or(0.0);
            self.off_m(k, place) <= LYING_M && speed < ARRIVED_M_S
        };
        let still = outermost.iter().take_while(lies).count();
        match way {
            Way::Onward => still,
            Way::Backward => all - still,
        }
    }

    /// Whether it lies still there, at an end of the recording: long, and longer on the ground than away from it.
    fn lies(&self, cells: &Range<usize>, ground: Option<[f64; 2]>) -> bool {
        if cells.len() < 2 {
            return false;
        }
        let last = cells.end - 1;
        let lasts_s = self.time_s(last) - self.time_s(cells.start);
        let middle = self.off_m(cells.start + cells.len() / 2, ground);
        let least_s = if middle > FAR_M {
            LYING_S
        } else {
            LYING_HERE_S
        };
        let stirs =
            |&k: &usize| self.cells[k].spread_m > STIRS_M || self.steps[k].speed_m_s() > STIRS_M_S;
        let stirring = (cells.start..last).filter(stirs).count();
        lasts_s >= least_s && stirring as f64 <= STIRRING_SHARE * cells.len() as f64
    }

    /// The time of a cell, s; that of the last for the end.
    fn time_s(&self, cell: usize) -> f64 {
        let last = self.cells.len().saturating_sub(1);
        self.cells.get(cell.min(last)).map_or(0.0, |c| c.time_s)
    }

    /// The way from the first to the end of some steps, m.
    fn way_m(&self, steps: &Range<usize>) -> f64 {
        let end = steps.end.min(self.steps.len());
        let start = steps.start.min(end);
        self.steps[start..end].iter().map(|s| s.way_m).sum()
    }

    /// The highest speed from cell to cell, m/s; the receiver's where it wrote one.
    fn top_m_s(&self, cells: &Range<usize>) -> f64 {
        let end = cells.end.min(self.cells.len());
        let by_receiver = self.cells[cells.start..end]
            .iter()
            .filter_map(|c| c.speed_m_s);
        let end = cells.end.min(self.steps.len());
        let by_place = self.steps[cells.start.min(end)..end].iter();
        by_receiver
            .reduce(f64::max)
            .unwrap_or_else(|| by_place.map(|s| s.speed_m_s()).fold(0.0, f64::max))
    }

    /// The drafts of a stretch: of a ride, to the fix at which he sets off or has arrived.
    fn drafts(&self, stretch: &Stretch, drafts: &[Draft]) -> Range<usize> {
        let Stretch { cells, reason } = stretch;
        let from_of = |k: usize| self.cells.get(k).map_or(drafts.len(), |c| c.from);
        let whole = from_of(cells.start)..from_of(cells.end);
        if *reason == Reason::LyingStill {
            return whole;
        }
        let still = |&k: &usize| local_speed(drafts, k).is_some_and(|v| v < ARRIVED_M_S);
        let start = if cells.start == 0 {
            0
        } else {
            let around = from_of(cells.start - 1)..from_of(cells.start + 2);
            around.rev().find(still).map_or(whole.start, |k| k + 1)
        };
        let end = if cells.end >= self.cells.len() {
            drafts.len()
        } else {
            let mut around = from_of(cells.end.saturating_sub(1))..from_of(cells.end + 2);
            around.find(still).unwrap_or(from_of(cells.end + 1))
        };
        start..end.max(start)
    }
}

/// The speed at a draft, m/s: the receiver's, else over the next seconds.
fn local_speed(drafts: &[Draft], k: usize) -> Option<f64> {
    let here = drafts.get(k)?;
    here.speed_m_s.or_else(|| {
        let later = drafts[k..]
            .iter()
            .find(|d| d.time_s >= here.time_s + LOCAL_S)?;
        let way_m = apart_m(here.position_m?, later.position_m?);
        Some(way_m / (later.time_s - here.time_s))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A recording with a fix a second, made leg by leg.
    #[derive(Clone, Default)]
    struct Made {
        drafts: Vec<Draft>,
        at_m: [f64; 2],
    }

    impl Made {
        /// So many seconds at a speed, in a direction in degrees from the first axis.
        fn leg(mut self, seconds: usize, speed_m_s: f64, direction_deg: f64) -> Self {
            let (sin, cos) = direction_deg.to_radians().sin_cos();
            for _ in 0..seconds {
                self.at_m[0] += speed_m_s * cos;
                self.at_m[1] += speed_m_s * sin;
                self.drafts.push(Draft {
                    time_s: self.drafts.len() as f64,
                    position_m: Some(self.at_m),
                    ..Draft::default()
                });
            }
            self
        }

        /// Twenty minutes on a pitch: runs of 60 m, sprints among them, and walking back.
        fn session(self) -> Self {
            (0..20).fold(self, |made, k| {
                let (seconds, speed) = if k % 4 == 0 { (7, 8.5) } else { (12, 5.0) };
                made.leg(seconds, speed, 0.0).leg(40, 1.5, 180.0)
            })
        }

        /// By car with a halt, or by bicycle.
        fn car(self, away_deg: f64) -> Self {
            self.leg(10, 0.0, 0.0)
                .leg(60, 13.0, away_deg)
                .leg(40, 0.0, 0.0)
                .leg(80, 12.0, away_deg + 40.0)
                .leg(10, 0.0, 0.0)
        }

        fn bicycle(self, away_deg: f64) -> Self {
            self.leg(10, 0.0, 0.0)
                .leg(240, 6.8, away_deg)
                .leg(10, 0.0, 0.0)
        }

        /// By bicycle at a leisurely speed, a little faster and slower in turn, with a halt at every other corner.
        fn slow_bicycle(self, away_deg: f64, speed_m_s: f64) -> Self {
            let ridden = (0..8).fold(self.leg(10, 0.0, 0.0), |made, k: u32| {
                let turn_deg = 12.0 * f64::from(k % 3) - 12.0;
                let made = made
                    .leg(3, 0.5 * speed_m_s, away_deg + turn_deg)
                    .leg(22, 1.06 * speed_m_s, away_deg + turn_deg)
                    .leg(22, 0.97 * speed_m_s, away_deg + turn_deg)
                    .leg(3, 0.4 * speed_m_s, away_deg + turn_deg);
                made.leg(if k.is_multiple_of(2) { 25 } else { 0 }, 0.0, 0.0)
            });
            ridden.leg(10, 0.0, 0.0)
        }

        /// What is left out: why, and from which second to which of the session.
        fn left_out(&self) -> Vec<(Reason, f64, f64)> {
            let found = find(&self.drafts);
            found
                .iter()
                .map(|(_, l)| (l.reason, l.start_s, l.end_s))
                .collect()
        }
    }

    const CAR_S: f64 = 200.0;
    const BICYCLE_S: f64 = 260.0;

    #[test]
    fn a_session_of_sprints_and_laps_around_the_block_stays_whole() {
        let made = Made::default();
        assert!(made.clone().session().left_out().is_empty());
        // A jog of a kilometre there, a lap around the block at 5 m/s, and the best run over 400 m of a good runner.
        let jog = made.leg(360, 2.8, 90.0).session();
        let block = (0..4).fold(jog, |made, k| made.leg(60, 5.0, 90.0 * f64::from(k)));
        let hard = block.leg(55, 7.2, 45.0).session().leg(300, 3.2, 20.0);
        assert_eq!(hard.left_out(), []);
    }

    #[test]
    fn the_way_there_and_home_by_car_is_left_out_to_the_second() {
        let both = Made::default().car(200.0).session();
        let start_s = both.drafts.len() as f64 - CAR_S;
        let found = both.car(20.0).left_out();
        assert_eq!(found.len(), 2, "{found:?}");
        let (reason, from_s, to_s) = found[0];
        assert_eq!(reason, Reason::OnTheWay);
        // He has arrived when the car stands, 10 s before the session.
        assert!((from_s + 190.0).abs() <= 2.0 && to_s == 0.0, "{found:?}");
        let (_, from_s, _) = found[1];
        assert!((from_s - (start_s + 20.0)).abs() <= 2.0, "{found:?}");
    }

    #[test]
    fn a_bicycle_is_left_out_before_and_after_and_a_run_between_is_none() {
        let there = Made::default().bicycle(130.0).session();
        let home = there.clone().bicycle(-50.0);
        assert_eq!(home.left_out().len(), 2);
        let found = there.left_out();
        assert!(
            (found[0].2 - found[0].1 - BICYCLE_S).abs() < 15.0,
            "{found:?}"
        );
        // At 20 km/h, with a halt.
        let slow = Made::default()
            .leg(200, 5.6, 130.0)
            .leg(20, 0.0, 0.0)
            .leg(240, 5.6, 170.0)
            .leg(10, 0.0, 0.0)
            .session();
        assert_eq!(slow.left_out().len(), 1);
        // The same speed between two halves of a session, there and back, may be a runner's.
        let between = Made::default()
            .session()
            .leg(240, 6.8, 90.0)
            .leg(240, 6.8, -90.0)
            .session();
        assert_eq!(between.left_out(), []);
    }

    #[test]
    fn a_slow_bicycle_with_halts_is_left_out_and_whoever_runs_so_far_is_not() {
        for speed_m_s in [5.2, 5.6, 6.5] {
            let there = Made::default().slow_bicycle(130.0, speed_m_s).session();
            let lasts_s = there.drafts.len() as f64 - Made::default().session().drafts.len() as f64;
            let found = there.left_out();
            assert_eq!(found.len(), 1, "{speed_m_s}");
            let (reason, from_s, to_s) = found[0];
            assert_eq!(reason, Reason::OnTheWay);
            assert!(
                (to_s - from_s - lasts_s).abs() < 35.0,
                "{found:?} {lasts_s}"
            );
            let home = there.slow_bicycle(-50.0, speed_m_s).left_out();
            assert_eq!(home.len(), 2, "{home:?}");
        }
        // A run of 1.5 km there at 3:55 the kilometre with waits at lights, and the same home.
        let run = |made: Made| made.slow_bicycle(130.0, 4.2);
        assert_eq!(run(run(Made::default()).session()).left_out(), []);
        // A fast kilometre away from the ground and back, in one piece or three.
        let hard = |made: Made, away_deg: f64| made.leg(65, 5.2, away_deg).leg(60, 0.0, 0.0);
        let made = Made::default().session();
        let made = (0..3).fold(made, |made, _| hard(hard(made, 90.0), -90.0));
        assert_eq!(made.left_out(), []);
        // Jogging between two fast stretches is no ride.
        let mixed = (0..5).fold(Made::default(), |made, _| {
            made.leg(50, 5.4, 130.0).leg(25, 3.0, 130.0)
        });
        assert_eq!(mixed.session().left_out(), []);
    }

    #[test]
    fn a_drive_between_two_halves_is_left_out_and_parts_them() {
        let made = Made::default().session().car(90.0).car(-130.0).session();
        let found = made.left_out();
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0].1 > 0.0 && found[0].2 - found[0].1 > 300.0,
            "{found:?}"
        );
    }

    #[test]
    fn a_watch_forgotten_at_home_is_left_out_and_a_rest_is_not() {
        let walk = Made::default().session().leg(300, 1.4, 90.0);
        let found = walk.clone().leg(1800, 0.0, 0.0).left_out();
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].0, Reason::LyingStill);
        assert!(found[0].2 - found[0].1 > 1700.0);
        assert_eq!(walk.leg(600, 0.0, 0.0).left_out(), []);
        assert_eq!(Made::default().session().leg(1500, 0.0, 0.0).left_out(), []);
    }

    #[test]
    fn an_hour_of_short_shuttles_with_long_rests_is_no_forgotten_watch() {
        let shuttles = (0..60).fold(Made::default().session(), |made, _| {
            made.leg(2, 3.0, 0.0).leg(2, 3.0, 180.0).leg(56, 0.0, 0.0)
        });
        assert_eq!(shuttles.left_out(), []);
    }

    #[test]
    fn a_drive_home_and_an_hour_on_a_shelf_are_told_apart() {
        let made = Made::default().session().car(90.0).leg(3600, 0.0, 0.0);
        let found = made.left_out();
        let reasons: Vec<Reason> = found.iter().map(|f| f.0).collect();
        assert_eq!(reasons, [Reason::OnTheWay, Reason::LyingStill], "{found:?}");
        assert!((found[0].2 - found[1].1).abs() < 1e-9);
    }

    #[test]
    fn without_a_session_nothing_is_left_out() {
        assert_eq!(Made::default().car(10.0).car(50.0).left_out(), []);
        assert_eq!(Made::default().leg(4000, 0.0, 0.0).left_out(), []);
        assert!(find(&[]).is_empty());
    }

    #[test]
    fn a_leap_of_the_receiver_is_no_ride() {
        let mut made = Made::default().session();
        for draft in &mut made.drafts[400..430] {
            draft.position_m = draft.position_m.map(|p| [p[0] + 400.0, p[1]]);
        }
        assert_eq!(made.left_out(), []);
    }
}
