//! Sums over sessions, as the JSON of weeks, bests and squads has them.

use serde::Serialize;

use crate::measured;
use crate::progress;

/// A value with its 95 % interval.
#[derive(Serialize)]
pub(super) struct Measured {
    value: f64,
    low: f64,
    high: f64,
}

impl From<measured::Measured> for Measured {
    fn from(m: measured::Measured) -> Self {
        Self {
            value: to_thousandth(m.value),
            low: to_thousandth(m.low),
            high: to_thousandth(m.high),
        }
    }
}

/// What several sessions come to.
#[derive(Serialize)]
pub(super) struct Totals {
    sessions: usize,
    duration_s: f64,
    recorded: usize,
    slowest_rate_hz: Option<f64>,
    fastest_rate_hz: Option<f64>,
    distance_m: Option<Measured>,
    high_speed_m: Option<f64>,
    sprint_m: Option<f64>,
    sprints: Option<usize>,
    high_speed_from_m_s: Option<f64>,
    sprint_from_m_s: Option<f64>,
    near_maximal: Option<usize>,
    near_maximal_sure: Option<usize>,
    top_speed_m_s: Option<Measured>,
    rated: usize,
    load: Option<f64>,
    reps: Option<Reps>,
    rests: Option<Rests>,
}

#[derive(Serialize)]
struct Reps {
    planned: usize,
    done: usize,
    short: usize,
    slow: usize,
    missed: usize,
    unresolved: usize,
}

#[derive(Serialize)]
struct Rests {
    kept: usize,
    judged: usize,
}

impl Totals {
    pub(super) fn of(totals: &progress::Totals) -> Self {
        Self {
            sessions: totals.sessions,
            duration_s: to_thousandth(totals.duration_s),
            recorded: totals.recorded,
            slowest_rate_hz: totals.rates_hz.map(|[slow, _]| to_thousandth(slow)),
            fastest_rate_hz: totals.rates_hz.map(|[_, fast]| to_thousandth(fast)),
            distance_m: totals.distance_m.map(Measured::from),
            high_speed_m: totals.high_speed_m.map(to_thousandth),
            sprint_m: totals.sprint_m.map(to_thousandth),
            sprints: totals.sprints,
            high_speed_from_m_s: totals.thresholds_m_s.map(|[high, _]| high),
            sprint_from_m_s: totals.thresholds_m_s.map(|[_, sprint]| sprint),
            near_maximal: totals.near_maximal,
            near_maximal_sure: totals.near_maximal_sure,
            top_speed_m_s: totals.top_speed_m_s.map(Measured::from),
            rated: totals.rated,
            load: totals.load.map(to_thousandth),
            reps: totals.counts.map(|c| Reps {
                planned: c.planned,
                done: c.done,
                short: c.short,
                slow: c.slow,
                missed: c.missed,
                unresolved: c.unresolved,
            }),
            rests: totals.rests.map(|[kept, judged]| Rests { kept, judged }),
        }
    }
}

/// Kept to a thousandth, finer than any receiver.
pub(super) fn to_thousandth(value: f64) -> f64 {
    // Adding 0 turns a negative zero into zero.
    (value * 1e3).round() / 1e3 + 0.0
}
