//! A recording in cells of a few seconds, with the steps between them.

use std::ops::Range;

use crate::estimation::quantile::median;
use crate::track::Draft;
use crate::track::apart_m;

/// Length of a cell, s: longer than a reflection that lasts, shorter than any ride.
const CELL_S: f64 = 5.0;
/// A faster step is a leap of the receiver, m/s.
const LEAP_M_S: f64 = 60.0;
/// From this speed on a cell is running, m/s...
pub(super) const RUNNING_M_S: f64 = 2.2;
/// ... and faster than this nobody runs over a cell.
pub(super) const VEHICLE_M_S: f64 = 10.5;

/// A few seconds of the recording.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cell {
    /// The first of its drafts.
    pub(super) from: usize,
    /// Mean time of its drafts, s.
    pub(super) time_s: f64,
    /// Median place, m.
    pub(super) at_m: Option<[f64; 2]>,
    /// How far its farthest draft is from there, m.
    pub(super) spread_m: f64,
    /// Median speed of the receiver, m/s.
    pub(super) speed_m_s: Option<f64>,
}

/// The step from one cell to the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub(super) lasts_s: f64,
    pub(super) way_m: f64,
}

impl Step {
    pub(super) fn speed_m_s(self) -> f64 {
        self.way_m / self.lasts_s
    }
}

/// Which way along the recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    Onward,
    Backward,
}

/// The recording in cells, with the steps between them: `steps[k]` leads from cell k to the next.
pub(super) struct Recording {
    pub(super) cells: Vec<Cell>,
    pub(super) steps: Vec<Step>,
}

impl Recording {
    /// What was recorded, in cells.
    pub(super) fn of(drafts: &[Draft]) -> Self {
        let cells = cells(drafts);
        let steps = cells.windows(2).map(|w| step(&w[0], &w[1])).collect();
        Self { cells, steps }
    }

    /// The steps in which somebody runs, outside of stretches that are in order.
    pub(super) fn running(&self, outside: &[Range<usize>]) -> Vec<usize> {
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
    pub(super) fn middle(&self, running: &[usize]) -> Option<[f64; 2]> {
        let column = |axis: usize| {
            let places = running.iter().filter_map(|&k| self.cells[k].at_m);
            median(places.map(|p| p[axis]).collect())
        };
        column(0).zip(column(1)).map(|(x, y)| [x, y])
    }

    /// How far a cell is from the ground, m; 0 where nobody knows.
    pub(super) fn off_m(&self, cell: usize, ground: Option<[f64; 2]>) -> f64 {
        match (self.cells.get(cell).and_then(|c| c.at_m), ground) {
            (Some(here), Some(ground)) => apart_m(here, ground),
            _ => 0.0,
        }
    }

    /// The steps from a cell on, or back.
    pub(super) fn steps_from(&self, at: usize, way: Way) -> Box<dyn Iterator<Item = usize>> {
        match way {
            Way::Onward => Box::new(at..self.steps.len()),
            Way::Backward => Box::new((0..at).rev()),
        }
    }

    /// The time of a cell, s; that of the last for the end.
    pub(super) fn time_s(&self, cell: usize) -> f64 {
        let last = self.cells.len().saturating_sub(1);
        self.cells.get(cell.min(last)).map_or(0.0, |c| c.time_s)
    }

    /// The way from the first to the end of some steps, m.
    pub(super) fn way_m(&self, steps: &Range<usize>) -> f64 {
        let end = steps.end.min(self.steps.len());
        let start = steps.start.min(end);
        self.steps[start..end].iter().map(|s| s.way_m).sum()
    }

    /// The highest speed from cell to cell, m/s; the receiver's where it wrote one.
    pub(super) fn top_m_s(&self, cells: &Range<usize>) -> f64 {
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
