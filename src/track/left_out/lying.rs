//! A watch that lies still at an end of the recording.

use std::ops::Range;

use super::cells::{Recording, Way};
use super::{ARRIVED_M_S, FAR_M};

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

impl Recording {
    /// To where, or from where, a watch lies still at the start or the end of the recording.
    pub(super) fn lying(&self, way: Way) -> usize {
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
    pub(super) fn lies(&self, cells: &Range<usize>, ground: Option<[f64; 2]>) -> bool {
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
}
