//! What a player may have reached where no fix was written.
//!
//! The smoother draws the calmest motion that leads from one edge of a hole to the other, and its standard deviations are those of small
//! errors around it: a sprint of 3 s may lie whole in a hole of 5, and there and back in one at whose edges he stood at the same place.
//! How fast he was in between is bounded by the speeds at the edges, by how fast players speed up and brake, by how long it took, and by
//! how far apart the edges are: whoever goes farther than that must come back.
//!
//! ## References
//! Speeding up towards a limit: Furusawa, Hill and Parkinson (1927), Proc R Soc B 102:29. How fast: di Prampero et al. (2005), J Exp Biol
//! 208:2809, 6.4 m/s2 at an all-out start (from memory). Braking: Harper, Carling and Kiely (2019), Sports Med 49:1923, who count as hard
//! what is harder than 3 m/s2 (from memory).

use std::ops::Range;

use crate::estimation::halving::highest;
use crate::motion::Motion;

/// Acceleration at a start from rest, m/s2: seven tenths of all that is possible, since few runs begin all-out.
const START_M_S2: f64 = 4.5;
/// Braking, m/s2.
const BRAKE_M_S2: f64 = 3.0;
/// How far the straight way between the edges may be off, m.
const EDGES_OFF_M: f64 = 1.0;
/// Halvings of the search for the highest speed: to a ten-thousandth of a metre a second.
const HALVINGS: usize = 17;

/// What no fix shows of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Unseen {
    /// Its share of the window's samples, above 0.
    pub(super) share: f64,
    /// The highest speed that may have been reached there, m/s.
    pub(super) reach_m_s: f64,
}

/// What no fix shows of a window, for players who tend to `limit_m_s` in a long sprint; `None` where fixes lie near all of it.
pub(super) fn of(motion: &Motion, window: Range<usize>, limit_m_s: f64) -> Option<Unseen> {
    let samples = motion.samples.get(window.clone())?;
    let count = samples.iter().filter(|s| s.bridged).count();
    if count == 0 {
        return None;
    }
    let mut reach_m_s = 0.0_f64;
    let mut at = window.start;
    while at < window.end {
        if !motion.samples[at].bridged {
            at += 1;
            continue;
        }
        let (from, to) = edges(motion, at);
        let (a, b) = (&motion.samples[from], &motion.samples[to]);
        let hole = Hole {
            lasts_s: b.time_s - a.time_s,
            straight_m: if motion.has_position {
                (b.x_m - a.x_m).hypot(b.y_m - a.y_m)
            } else {
                f64::INFINITY
            },
            from_m_s: a.speed_m_s,
            to_m_s: b.speed_m_s,
        };
        let since_s = |k: usize| motion.samples[k].time_s - a.time_s;
        let inside_s = (
            since_s(from.max(window.start)),
            since_s(to.min(window.end - 1)),
        );
        reach_m_s = reach_m_s.max(hole.reach_m_s(inside_s, limit_m_s));
        at = to + 1;
    }
    Some(Unseen {
        share: count as f64 / samples.len() as f64,
        reach_m_s,
    })
}

/// The samples on either side of the hole around one, in its run: measured ones, but where the run begins or ends with it.
fn edges(motion: &Motion, at: usize) -> (usize, usize) {
    let run = motion.runs.partition_point(|run| run.end <= at);
    let run = motion.runs.get(run).cloned().unwrap_or(at..at + 1);
    let measured = |k: &usize| !motion.samples[*k].bridged;
    let before = (run.start..at).rev().find(measured).unwrap_or(run.start);
    let after = (at..run.end).find(measured).unwrap_or(run.end - 1);
    (before, after)
}

/// A time without fixes, and what is known at its edges.
#[derive(Clone, Copy, Debug)]
struct Hole {
    lasts_s: f64,
    /// The straight way from one edge to the other, m; infinite where it is not known.
    straight_m: f64,
    from_m_s: f64,
    to_m_s: f64,
}

impl Hole {
    /// The highest speed that may have been reached in the part between two times since its beginning, m/s.
    fn reach_m_s(self, (since_s, until_s): (f64, f64), limit_m_s: f64) -> f64 {
        let tau_s = limit_m_s / START_M_S2;
        let peak_m_s = self.peak_m_s(limit_m_s);
        let risen_m_s = |after_s: f64| {
            let short = (limit_m_s - self.from_m_s).max(0.0) * (-after_s / tau_s).exp();
            self.from_m_s.max(limit_m_s - short)
        };
        let to_brake_m_s = |after_s: f64| self.to_m_s + BRAKE_M_S2 * (self.lasts_s - after_s);
        // He speeds up before the peak and brakes after it; the part may hold but one of the two.
        let most_m_s = if risen_m_s(since_s) >= to_brake_m_s(since_s) {
            to_brake_m_s(since_s)
        } else if risen_m_s(until_s) <= to_brake_m_s(until_s) {
            risen_m_s(until_s)
        } else {
            f64::INFINITY
        };
        peak_m_s.min(most_m_s)
    }

    /// The highest speed from which he is at the other edge in time, m/s.
    fn peak_m_s(self, limit_m_s: f64) -> f64 {
        let low = self.from_m_s.max(self.to_m_s);
        if low >= limit_m_s {
            return low;
        }
        highest((low, limit_m_s), HALVINGS, |peak_m_s| {
            self.takes_s(peak_m_s, limit_m_s) <= self.lasts_s
        })
    }

    /// The least time from one edge to the other with such a peak in between, s.
    fn takes_s(self, peak_m_s: f64, limit_m_s: f64) -> f64 {
        let tau_s = limit_m_s / START_M_S2;
        let rise_s = tau_s * ((limit_m_s - self.from_m_s) / (limit_m_s - peak_m_s)).ln();
        let rise_m = limit_m_s * rise_s - (peak_m_s - self.from_m_s) * tau_s;
        let brake_m = |to_m_s: f64| (peak_m_s.powi(2) - to_m_s.powi(2)) / (2.0 * BRAKE_M_S2);
        let straight_m = self.straight_m + EDGES_OFF_M;
        if rise_m + brake_m(self.to_m_s) <= straight_m {
            return rise_s + (peak_m_s - self.to_m_s) / BRAKE_M_S2;
        }
        // He stops and comes back, half of it speeding up and half braking or, at the edge, not yet.
        let back_m = (rise_m + brake_m(0.0) - straight_m).max(0.0);
        rise_s + peak_m_s / BRAKE_M_S2 + 2.0 * (back_m / BRAKE_M_S2).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Sample, SpeedFrom};

    const LIMIT_M_S: f64 = 9.0;

    fn peak_m_s(lasts_s: f64, straight_m: f64, from_m_s: f64, to_m_s: f64) -> f64 {
        let hole = Hole {
            lasts_s,
            straight_m,
            from_m_s,
            to_m_s,
        };
        hole.reach_m_s((0.0, lasts_s), LIMIT_M_S)
    }

    /// From rest the mono-exponential sprint with tau = 9 / 4.5 = 2 s: after 2 s 9 (1 - 1 / e) = 5.689 m/s, 2 · 9 / e = 6.622 m from the
    /// start; braking at 3 m/s2 takes 1.896 s and 5.394 m.
    #[test]
    fn a_straight_run_from_rest_to_rest_is_bounded_by_time_and_by_way() {
        let peak = peak_m_s(3.8964, 100.0, 0.0, 0.0);
        assert!((peak - 5.6891).abs() < 1e-3, "{peak}");
        let by_way = peak_m_s(60.0, 6.6218 + 5.3943 - EDGES_OFF_M, 0.0, 0.0);
        assert!(by_way > LIMIT_M_S - 0.2, "{by_way}");
    }

    /// There and back takes longer than straight on: back are 12.016 - 1 m, 2 (11.016 / 3)^0.5 = 3.833 s.
    #[test]
    fn who_is_back_where_he_was_had_to_turn() {
        let peak = peak_m_s(3.8964 + 3.8326, 0.0, 0.0, 0.0);
        assert!((peak - 5.6891).abs() < 1e-3, "{peak}");
        assert!(peak_m_s(5.0, 0.0, 0.0, 0.0) < peak_m_s(5.0, 20.0, 0.0, 0.0));
    }

    #[test]
    fn more_time_allows_more_and_none_is_below_the_edges_or_above_the_limit() {
        let mut before = 0.0;
        for tenths in 10..200_u32 {
            let peak = peak_m_s(f64::from(tenths) / 10.0, 5.0, 3.0, 1.0);
            assert!(
                peak >= before && (3.0..=LIMIT_M_S).contains(&peak),
                "{peak}"
            );
            before = peak;
        }
        assert!((peak_m_s(5.0, 50.0, 11.0, 2.0) - 11.0).abs() < 1e-9);
        let unknown = peak_m_s(3.8964, f64::INFINITY, 0.0, 0.0);
        assert!((unknown - 5.6891).abs() < 1e-3, "{unknown}");
    }

    /// A hole from second 10 to second 15 at whose edges he stood.
    fn holed() -> Motion {
        let samples = (0..30_u32)
            .map(|k| Sample {
                time_s: f64::from(k),
                bridged: (11..15).contains(&k),
                ..Sample::default()
            })
            .collect();
        Motion::of_run(samples, 1.0, SpeedFrom::Position)
    }

    #[test]
    fn only_what_lies_in_the_window_counts() {
        let motion = holed();
        assert_eq!(of(&motion, 0..11, LIMIT_M_S), None);
        assert_eq!(of(&motion, 15..30, LIMIT_M_S), None);
        assert_eq!(of(&motion, 20..20, LIMIT_M_S), None);
        let whole = of(&motion, 5..20, LIMIT_M_S).unwrap();
        assert!((whole.share - 4.0 / 15.0).abs() < 1e-9);
        assert!((whole.reach_m_s - peak_m_s(5.0, 0.0, 0.0, 0.0)).abs() < 1e-9);
        // Half a second after the edge he is at 9 (1 - exp(-1 / 4)) at most, a second before the other at 3.
        let hole = Hole {
            lasts_s: 5.0,
            straight_m: 50.0,
            from_m_s: 0.0,
            to_m_s: 0.0,
        };
        let begun = hole.reach_m_s((0.0, 0.5), LIMIT_M_S);
        assert!((begun - 1.9908).abs() < 1e-3, "{begun}");
        let ending = of(&motion, 14..30, LIMIT_M_S).unwrap();
        assert!((ending.reach_m_s - BRAKE_M_S2).abs() < 1e-9);
    }

    #[test]
    fn a_run_that_begins_or_ends_in_a_hole_has_its_own_ends_for_edges() {
        let mut motion = holed();
        motion.runs = vec![0..13, 13..30];
        assert_eq!(edges(&motion, 11), (10, 12));
        assert_eq!(edges(&motion, 14), (13, 15));
        assert!(of(&motion, 0..30, LIMIT_M_S).is_some());
    }
}
