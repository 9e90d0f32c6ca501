//! The times that the plan explains, and whether a bout is none of them.

use crate::bouts::Bout;
use crate::review::items::{Item, Kind};
use crate::review::matching::Matching;

/// A long jog that holds a rep is no news, nor is a short bout inside a continuous block: both overlap by more than this share.
const APART: f64 = 0.3;

/// The times that the plan explains, s, in order of start, and the latest end up to each.
pub(super) struct Taken {
    times_s: Vec<(f64, f64)>,
    until_s: Vec<f64>,
}

impl Taken {
    pub(crate) fn of(matching: &Matching, candidates: &[Bout]) -> Self {
        Self::by(matching, candidates, |_| true)
    }

    /// The times that some of the items explain.
    pub(crate) fn by(
        matching: &Matching,
        candidates: &[Bout],
        explains: impl Fn(&Item) -> bool,
    ) -> Self {
        let mut times_s: Vec<(f64, f64)> = (0..matching.items.len())
            .filter(|&k| matching.items[k].kind != Kind::Extra && explains(&matching.items[k]))
            .filter_map(|k| matching.fates[k].span_s(candidates))
            .collect();
        times_s.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut latest_s = f64::NEG_INFINITY;
        let until_s = (times_s.iter())
            .map(|&(_, to)| {
                latest_s = latest_s.max(to);
                latest_s
            })
            .collect();
        Self { times_s, until_s }
    }

    /// Those that may touch a bout: in time they follow each other but for places that overlap a little.
    pub(crate) fn about(&self, bout: &Bout) -> &[(f64, f64)] {
        let first = self.until_s.partition_point(|&until| until < bout.start_s);
        let last = self.times_s.partition_point(|t| t.0 <= bout.stop_s);
        self.times_s.get(first..last).unwrap_or_default()
    }

    /// The bouts of a list that are none of them.
    pub(crate) fn left_of<'b>(&self, list: &'b [Bout]) -> Vec<&'b Bout> {
        list.iter().filter(|b| self.leaves(b)).collect()
    }

    /// Whether a bout is none of them.
    pub(crate) fn leaves(&self, bout: &Bout) -> bool {
        self.about(bout).iter().all(|&(from, to)| {
            let both = bout.stop_s.min(to) - bout.start_s.max(from);
            both < APART * bout.stop_run_s().min(to - from)
        })
    }
}
