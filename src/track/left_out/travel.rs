//! Slow rides: who halts at every other corner gains little in one go, so all that is gained on the way counts together.

use std::ops::Range;

use super::cells::{RUNNING_M_S, Recording, Step};
use super::{ARRIVED_M_S, FAR_M, HALT_S, RIDE_CELLS, STRAY_CELLS, count};
use crate::track::apart_m;

/// On a way whose halts are passed over a footballer is ahead of this pace (1 km in 3:53)...
const TRAVELLED_M_S: f64 = 4.3;
/// ... by no more than this: by both, 1 km in 3:24, 2 km in 7:17, 5 km in 18:55.
const TRAVELLED_M: f64 = 120.0;
/// Its ends lie apart at least this share of its way...
const TRAVELLED_ONE_WAY: f64 = 0.6;
/// ... and hardly more than this share of its moving is at the pace of a jog: between halt and ride it is for moments only...
const JOGGED_SHARE: f64 = 0.15;
const JOGGED_M_S: Range<f64> = RUNNING_M_S..3.6;

impl Recording {
    /// The seeds, with slow rides to the ground or home from it that none of them covers, in order.
    pub(super) fn with_travels(
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
        let mut halted_s = 0.0;
        self.gains(TRAVELLED_M, |k| {
            halted_s = if self.halts(k) {
                halted_s + self.steps[k].lasts_s
            } else {
                0.0
            };
            (self.gained_m(k), halted_s > HALT_S)
        })
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
}
