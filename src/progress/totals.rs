//! What several sessions come to together.

use crate::diary::{Activity, Entry, Recorded};
use crate::measured::Measured;
use crate::progress::load::session_load;
use crate::progress::trimp::heart_load;
use crate::review::Counts;

/// From this share of the athlete's own top speed on, a run was near-maximal.
pub const NEAR_MAXIMAL: f64 = 0.9;

/// The sums over some sessions. What nothing is known of is `None`: metres without a recording, load without a rating.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Totals {
    /// Sessions; days of rest are none.
    pub sessions: usize,
    /// How long they lasted, s.
    pub duration_s: f64,
    /// How many of them were recorded.
    pub recorded: usize,
    /// Fixes a second of the slowest and of the fastest recording.
    pub rates_hz: Option<[f64; 2]>,
    /// Distance of the recorded ones, m.
    pub distance_m: Option<Measured>,
    /// Distance at or above the threshold of high-speed running, sprints included, m.
    pub high_speed_m: Option<f64>,
    /// Distance at or above the threshold of sprinting, m.
    pub sprint_m: Option<f64>,
    /// Sprints.
    pub sprints: Option<usize>,
    /// From which speed on these two counted, m/s; `None` where sessions differ or none was recorded.
    pub thresholds_m_s: Option<[f64; 2]>,
    /// Runs at or above [`NEAR_MAXIMAL`] of the athlete's own top speed.
    pub near_maximal: Option<usize>,
    /// Those of them whose whole interval lies there.
    pub near_maximal_sure: Option<usize>,
    /// The top speed that was reached for sure the highest: the one with the highest lower end, m/s.
    pub top_speed_m_s: Option<Measured>,
    /// Sessions with a rating of how hard they felt.
    pub rated: usize,
    /// Load of the rated ones, rating times minutes.
    pub load: Option<f64>,
    /// Sessions of which the load by heart rate is known.
    pub by_heart: usize,
    /// Their load by heart rate; it stands beside `load` and is never added to it.
    pub heart_load: Option<f64>,
    /// Reps of the plans, by verdict.
    pub counts: Option<Counts>,
    /// Rests that were kept, and that were judged.
    pub rests: Option<[usize; 2]>,
}

impl Totals {
    /// Sums up sessions of one athlete, whose own top speed is given where it is known, m/s.
    ///
    /// # Definition
    /// The errors of the distances are taken as independent from session to session, so half-widths add as squares; what
    /// a receiver gets wrong the same way every time does not average out and is not in the interval. A session's load is
    /// its rating times its minutes ([`session_load`]).
    #[must_use]
    pub fn of<'a>(entries: impl IntoIterator<Item = &'a Entry>, own_top_m_s: Option<f64>) -> Self {
        let mut totals = Self::default();
        let mut mixed = false;
        for entry in entries.into_iter().filter(|e| e.activity != Activity::Rest) {
            totals.sessions += 1;
            totals.duration_s += entry.duration_s;
            if let Some(load) = load_of(entry) {
                totals.rated += 1;
                *totals.load.get_or_insert(0.0) += load;
            }
            if let Some(recorded) = &entry.recorded {
                let first = totals.recorded == 0;
                totals.add(recorded, own_top_m_s);
                let edges = Some(recorded.thresholds_m_s);
                mixed |= !first && totals.thresholds_m_s != edges;
                totals.thresholds_m_s = edges;
            }
        }
        if mixed {
            totals.thresholds_m_s = None;
        }
        totals
    }

    fn add(&mut self, recorded: &Recorded, own_top_m_s: Option<f64>) {
        self.recorded += 1;
        let [slow, fast] = self.rates_hz.unwrap_or([recorded.rate_hz; 2]);
        self.rates_hz = Some([slow.min(recorded.rate_hz), fast.max(recorded.rate_hz)]);
        self.distance_m = Some(match self.distance_m {
            Some(sum) => sum_of(sum, recorded.distance_m),
            None => recorded.distance_m,
        });
        let [high, sprint] = recorded.fast_m;
        *self.high_speed_m.get_or_insert(0.0) += high;
        *self.sprint_m.get_or_insert(0.0) += sprint;
        *self.sprints.get_or_insert(0) += recorded.sprints;
        if let Some(top) = own_top_m_s {
            let mark = NEAR_MAXIMAL * top;
            let peaks = || recorded.peaks_m_s.iter();
            *self.near_maximal.get_or_insert(0) += peaks().filter(|p| p.value >= mark).count();
            *self.near_maximal_sure.get_or_insert(0) += peaks().filter(|p| p.low >= mark).count();
        }
        self.top_speed_m_s = surest(self.top_speed_m_s, recorded.top_speed_m_s);
        if let Some(load) = recorded.heart.as_ref().and_then(heart_load) {
            self.by_heart += 1;
            *self.heart_load.get_or_insert(0.0) += load;
        }
        if let Some(counts) = recorded.counts {
            let sum = self.counts.get_or_insert_default();
            sum.planned += counts.planned;
            sum.done += counts.done;
            sum.short += counts.short;
            sum.slow += counts.slow;
            sum.missed += counts.missed;
            sum.unresolved += counts.unresolved;
            let [kept, judged] = self.rests.get_or_insert([0, 0]);
            *kept += recorded.rests[0];
            *judged += recorded.rests[1];
        }
    }

    /// Whether the load tells of every session.
    #[must_use]
    pub fn all_rated(&self) -> bool {
        self.rated == self.sessions
    }

    /// Minutes of all sessions.
    #[must_use]
    pub(crate) fn minutes(&self) -> f64 {
        self.duration_s / 60.0
    }
}

/// The load of a session, where it was rated; a day of rest has none.
pub(super) fn load_of(entry: &Entry) -> Option<f64> {
    (entry.activity != Activity::Rest)
        .then_some(entry.rpe)
        .flatten()
        .map(|rpe| session_load(rpe, entry.duration_s))
}

/// Two sums with independent errors, made one.
pub(crate) fn sum_of(a: Measured, b: Measured) -> Measured {
    let value = a.value + b.value;
    let below = (a.value - a.low).hypot(b.value - b.low);
    let above = (a.high - a.value).hypot(b.high - b.value);
    Measured::within(value, value - below, value + above)
}

/// Of two speeds the one that was reached for sure: the higher lower end. A poor recording with a wide interval so cannot
/// become the best by its error.
pub(crate) fn surest(a: Option<Measured>, b: Option<Measured>) -> Option<Measured> {
    match (a, b) {
        (Some(a), Some(b)) if b.low > a.low => Some(b),
        (None, b) => b,
        (a, _) => a,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn independent_errors_add_as_squares() {
        let sum = sum_of(
            Measured::within(5000.0, 4970.0, 5040.0),
            Measured::within(3000.0, 2960.0, 3030.0),
        );
        assert_eq!((sum.value, sum.low, sum.high), (8000.0, 7950.0, 8050.0));
    }

    #[test]
    fn a_poor_recording_is_not_the_best_by_its_error() {
        let good = Measured::within(8.4, 8.3, 8.5);
        let poor = Measured::within(8.9, 7.9, 9.9);
        assert_eq!(surest(Some(good), Some(poor)), Some(good));
        assert_eq!(surest(None, Some(poor)), Some(poor));
        assert_eq!(surest(Some(good), None), Some(good));
    }
}
