//! Finds what is no session: the way there or home by car or bicycle with the watch running, and a watch that lies forgotten.
//!
//! No single sign is enough. A sprint is fast and a jog to the pitch goes one way; what nobody runs is *long and* fast. So
//! the recording is looked at in cells of a few seconds, by the median of each, and a ride is where the way gained on the best
//! runner adds up. A car is faster than anybody for many seconds and may come at any time; a bicycle is told from a run only
//! by where it lies, so it counts only before or after all running, far from the ground and mostly one way. Who rides slowly, or
//! halts at every other corner, gains little in one go; there all that is gained on the way counts together, halts aside, if he
//! neither turns about nor falls into a run's pace between. What lies beyond a ride, without running, belongs to it.

mod cells;
mod lying;
mod ride;
#[cfg(test)]
mod tests;
mod travel;

use std::ops::Range;

use crate::track::{Draft, LeftOut, Reason, apart_m};
use cells::{Recording, Way};

/// A ride is at least so long, cells.
const RIDE_CELLS: usize = 8;
/// Who moves slower than this has arrived, m/s.
const ARRIVED_M_S: f64 = 1.0;
/// The longest halt within a ride, s.
const HALT_S: f64 = 240.0;
/// This far from the middle of the running one is not on the ground any more, m: the longest pitch has 75 m to its corners.
const FAR_M: f64 = 150.0;
/// So many cells of running are a session.
const SESSION_CELLS: usize = 12;
/// More running than this beyond a ride is a session of its own, cells.
const STRAY_CELLS: usize = 6;
/// Over this time a speed is that of a moment, s.
const LOCAL_S: f64 = 2.0;

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
    let recording = Recording::of(drafts);
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

/// How many of some increasing numbers lie in a range.
fn count(numbers: &[usize], range: &Range<usize>) -> usize {
    let before = |end: usize| numbers.partition_point(|&k| k < end);
    before(range.end).saturating_sub(before(range.start))
}
