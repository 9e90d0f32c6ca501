//! Sums over sessions, as the JSON of weeks, bests and squads has them.

use serde::Serialize;

use super::parts::{Counts, Interval, QUANTITY_DECIMALS, maybe, to_thousandth};
use crate::progress;

/// What several sessions come to.
#[derive(Serialize)]
pub(super) struct Totals {
    sessions: usize,
    duration_s: f64,
    recorded: usize,
    slowest_rate_hz: Option<f64>,
    fastest_rate_hz: Option<f64>,
    distance_m: Option<Interval>,
    high_speed_m: Option<f64>,
    sprint_m: Option<f64>,
    sprints: Option<usize>,
    high_speed_from_m_s: Option<f64>,
    sprint_from_m_s: Option<f64>,
    near_maximal: Option<usize>,
    near_maximal_sure: Option<usize>,
    top_speed_m_s: Option<Interval>,
    rated: usize,
    load: Option<f64>,
    by_heart: usize,
    heart_load: Option<f64>,
    reps: Option<Counts>,
    rests: Option<Rests>,
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
            distance_m: maybe(totals.distance_m, QUANTITY_DECIMALS),
            high_speed_m: totals.high_speed_m.map(to_thousandth),
            sprint_m: totals.sprint_m.map(to_thousandth),
            sprints: totals.sprints,
            high_speed_from_m_s: totals.thresholds_m_s.map(|[high, _]| high),
            sprint_from_m_s: totals.thresholds_m_s.map(|[_, sprint]| sprint),
            near_maximal: totals.near_maximal,
            near_maximal_sure: totals.near_maximal_sure,
            top_speed_m_s: maybe(totals.top_speed_m_s, QUANTITY_DECIMALS),
            rated: totals.rated,
            load: totals.load.map(to_thousandth),
            by_heart: totals.by_heart,
            heart_load: totals.heart_load.map(to_thousandth),
            reps: totals.counts.map(Counts::of),
            rests: totals.rests.map(|[kept, judged]| Rests { kept, judged }),
        }
    }
}
