//! Finds work and rest in the motion, without the plan.
//!
//! A bout is told from rest by its *activity*, which holds shuttles at a mean of 1.5 m/s apart from walking at 1.4 m/s
//! (`activity`). No single level of activity divides work from rest in all of a session: walking is rest in a sprint
//! block, and jogging is work in a warm-up. So stretches above several levels, and their unions over short dips, are all
//! kept as candidates (`candidate`), as are shuttles with a last leg cut off (`cut_leg`), and, where a receiver writes few
//! fixes, stretches that go to and fro in an even rhythm (`to_and_fro`); each is given a precise start and end (`edge`) and
//! a [`Shape`]. The matching chooses among the candidates with the plan in hand; without a plan, [`Bouts::list`] holds the
//! finest set of bouts that do not overlap (`work`).

use std::ops::Range;

use crate::motion::Motion;

mod activity;
mod candidate;
mod cut_leg;
mod edge;
mod shape;
mod to_and_fro;
mod work;

pub use shape::Shape;
pub(crate) use shape::distance;

/// The bouts of a session.
#[derive(Clone, Debug, Default)]
pub struct Bouts {
    /// The finest set of bouts of which no two overlap, in order of start: the account without a plan.
    pub list: Vec<Bout>,
    /// Every stretch that may be a bout, in order of end; they overlap, and the matching chooses among them.
    pub candidates: Vec<Bout>,
}

impl Bouts {
    /// The bouts of the finest set that begin between two times, s, in order of start.
    pub(crate) fn starting_within(
        &self,
        (from_s, to_s): (f64, f64),
    ) -> impl Iterator<Item = &Bout> {
        let first = self.list.partition_point(|b| b.start_s < from_s);
        (self.list[first..].iter()).take_while(move |b| b.start_s < to_s)
    }

    /// The candidates that come to a stop after one time and up to another, s, in order of their stop.
    pub(crate) fn stopping_within(
        &self,
        (from_s, to_s): (f64, f64),
    ) -> impl Iterator<Item = &Bout> {
        let first = self.candidates.partition_point(|c| c.stop_s <= from_s);
        (self.candidates[first..].iter()).take_while(move |c| c.stop_s <= to_s)
    }
}

/// A stretch of work between two stretches of rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Bout {
    /// Start of work, seconds from the session's start.
    pub start_s: f64,
    /// End of work, seconds from the session's start: where braking begins.
    pub end_s: f64,
    /// Where the player has come to rest, seconds from the session's start: the end of work at a line he stops at.
    pub stop_s: f64,
    /// Where he is over the line that ends his last leg, seconds from the session's start: before the stop where he ran on beyond it.
    pub line_s: f64,
    /// The samples of the motion from start to stop.
    pub window: Range<usize>,
    /// Highest speed, m/s.
    pub peak_m_s: f64,
    /// Length of the path from start to stop, m.
    pub path_m: f64,
    /// Length of the path from start to end, m.
    pub path_to_end_m: f64,
    /// Mean activity from start to stop, m/s.
    pub activity_m_s: f64,
    /// Where it went; `None` without positions.
    pub shape: Option<Shape>,
    /// The share of its time in which no fix lies near.
    pub bridged: f64,
}

#[cfg(test)]
impl Bout {
    /// A run without a shape, for tests: how long it is and how far it goes, up to the braking and to the stop.
    pub(crate) fn run(
        start_s: f64,
        (run_s, run_m): (f64, f64),
        (stop_s, stop_m): (f64, f64),
        peak_m_s: f64,
    ) -> Self {
        Self {
            start_s,
            end_s: start_s + run_s,
            stop_s: start_s + stop_s,
            line_s: start_s + run_s,
            window: 0..0,
            peak_m_s,
            path_m: stop_m,
            path_to_end_m: run_m,
            activity_m_s: stop_m / stop_s,
            shape: None,
            bridged: 0.0,
        }
    }
}

impl Bout {
    /// Time of work up to the braking, s.
    #[must_use]
    pub fn run_s(&self) -> f64 {
        self.end_s - self.start_s
    }

    /// Time of work up to the standstill, s.
    #[must_use]
    pub fn stop_run_s(&self) -> f64 {
        self.stop_s - self.start_s
    }
}

/// How bouts are found.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    /// Window of the activity's mean, s. Long enough to bridge the standstill of a turn, shorter than any rest.
    pub mean_s: f64,
    /// The weight of acceleration in the activity, s: 2 m/s2 count as much as 1 m/s.
    pub acceleration_s: f64,
    /// The lowest level of activity that can be work, m/s; brisk walking stays below.
    pub lowest_m_s: f64,
    /// The ratio of each level to the one below.
    pub ratio: f64,
    /// How many levels at most.
    pub levels: usize,
    /// Shortest stretch above a level that is kept, s.
    pub shortest_s: f64,
    /// Stretches at one level are joined over dips up to this long, s: the standstill of a turn at 1 Hz.
    pub join_s: f64,
    /// Two neighbouring stretches are also joined over dips up to this long, s.
    pub join_pair_s: f64,
    /// At levels up to `slow_m_s`, any number is also joined over dips up to this long, s: careful shuttles are hardly
    /// faster than walking, and slow at every turn.
    pub join_slow_s: f64,
    /// The same over dips up to this long, s: a filtered watch hides whole legs of short shuttles.
    pub join_slowest_s: f64,
    /// See `join_slow_s`, m/s.
    pub slow_m_s: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            mean_s: 1.5,
            acceleration_s: 0.5,
            lowest_m_s: 1.6,
            ratio: 1.2,
            levels: 7,
            shortest_s: 0.8,
            join_s: 2.0,
            join_pair_s: 2.6,
            join_slow_s: 3.6,
            join_slowest_s: 6.0,
            slow_m_s: 2.0,
        }
    }
}

/// Finds the bouts of a session and everything that may be one.
#[must_use]
pub fn find(motion: &Motion, rules: &Rules) -> Bouts {
    let activity = activity::activity(motion, rules);
    let levels = activity::levels(&activity, rules);
    let mut spans = candidate::spans(motion, &activity, &levels, rules);
    spans.extend(to_and_fro::spans(motion));
    let candidates = candidate::bouts(motion, &activity, &spans);
    let list = work::finest(&candidates);
    Bouts { list, candidates }
}
