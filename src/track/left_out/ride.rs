//! Rides: where the way gained on the best runner adds up, with the slower riding around it.

use std::ops::Range;

use super::cells::{Recording, Step, VEHICLE_M_S, Way};
use super::{ARRIVED_M_S, FAR_M, HALT_S, RIDE_CELLS, STRAY_CELLS, count};
use crate::track::apart_m;

/// Speed that a good footballer could hold for ever...
const HELD_M_S: f64 = 4.8;
/// ... and how far he may get ahead of it: by both, 400 m in 46 s, 1 km in 2:51, 3 km in 9:47.
const AHEAD_M: f64 = 180.0;
/// Faster than anybody runs over a cell for so many cells: the world record over 200 m took 19.2 s.
const VEHICLE_CELLS: usize = 5;
/// The ends of a ride by bicycle lie apart at least this share of its way.
const ONE_WAY: f64 = 0.4;
/// Faster than this, far from the ground, the ride goes on, m/s...
const RIDING_M_S: f64 = 4.5;
/// ... where it gets away at that speed for so many cells.
const RIDING_CELLS: usize = 6;
/// How long it takes to roll to a stop after the last fast cell, s.
const ROLLING_S: f64 = 60.0;

impl Recording {
    /// Where the way gained on the best runner adds up to more than he can get ahead, as steps.
    pub(super) fn seeds(&self) -> Vec<Range<usize>> {
        let ahead_m = |step: &Step| step.way_m - HELD_M_S * step.lasts_s;
        let mut seeds = self.gains(AHEAD_M, |k| (ahead_m(&self.steps[k]), false));
        seeds.retain(|seed| self.is_vehicle(seed) || self.goes_one_way(seed));
        seeds
    }

    /// Where a gain adds up to more than `least_m`, as steps from where it begins to where it is the most; it begins anew where it
    /// is lost. `gained` gives the metres of a step, and whether all is lost there.
    pub(super) fn gains(
        &self,
        least_m: f64,
        mut gained: impl FnMut(usize) -> (f64, bool),
    ) -> Vec<Range<usize>> {
        let mut found = Vec::new();
        let (mut from, mut to, mut ahead_m, mut most_m) = (0, 0, 0.0_f64, 0.0_f64);
        for k in 0..self.steps.len() {
            let (gained_m, broken) = gained(k);
            ahead_m += gained_m;
            if ahead_m > most_m {
                (most_m, to) = (ahead_m, k + 1);
            }
            let lost = broken || ahead_m <= 0.0;
            if (lost || k + 1 == self.steps.len()) && most_m > least_m {
                found.push(from..to);
            }
            if lost {
                (from, ahead_m, most_m) = (k + 1, 0.0, 0.0);
            }
        }
        found
    }

    /// Seeds with the slower riding around and between them, as steps.
    pub(super) fn rides(
        &self,
        seeds: &[Range<usize>],
        ground: Option<[f64; 2]>,
    ) -> Vec<Range<usize>> {
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

    /// A vehicle, or a ride by bicycle: far from the ground, with all running on one side of it.
    pub(super) fn is_no_run(
        &self,
        ride: &Range<usize>,
        running: &[usize],
        ground: Option<[f64; 2]>,
    ) -> bool {
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
    pub(super) fn with_beyond(
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
}
