//! Sums over sessions, as the JSON of weeks, bests and squads has them.

use schemars::JsonSchema;
use serde::Serialize;

use crate::progress;
use crate::report::parts::{Counts, Interval, QUANTITY_DECIMALS, maybe, to_thousandth};

/// What several sessions come to.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Totals {
    /// Sessions; days of rest are none.
    sessions: usize,
    /// How long they lasted, s.
    #[schemars(range(min = 0))]
    duration_s: f64,
    /// How many of them were recorded.
    recorded: usize,
    /// Fixes a second of the slowest recording; null without one.
    #[schemars(range(min = 0))]
    slowest_rate_hz: Option<f64>,
    /// Fixes a second of the fastest recording; null without one.
    #[schemars(range(min = 0))]
    fastest_rate_hz: Option<f64>,
    /// Distance, m; errors of sessions are taken as independent and added as squares. null without a recording.
    distance_m: Option<Interval>,
    /// Distance at or above `high_speed_from_m_s`, sprints included, m.
    #[schemars(range(min = 0))]
    high_speed_m: Option<f64>,
    /// Distance at or above `sprint_from_m_s`, m.
    #[schemars(range(min = 0))]
    sprint_m: Option<f64>,
    /// Sprints.
    sprints: Option<usize>,
    /// The threshold of high-speed running, m/s; null where sessions differ or none was recorded.
    high_speed_from_m_s: Option<f64>,
    /// The threshold of sprinting, m/s; null where sessions differ or none was recorded.
    sprint_from_m_s: Option<f64>,
    /// Runs at or above 90 % of the athlete's own top speed, by their best value; null where that is not known.
    near_maximal: Option<usize>,
    /// Those of them whose whole interval lies there.
    near_maximal_sure: Option<usize>,
    /// The top speed whose interval begins the highest, m/s.
    top_speed_m_s: Option<Interval>,
    /// Sessions with an RPE.
    rated: usize,
    /// RPE times minutes, summed over the rated sessions; null without one.
    #[schemars(range(min = 0))]
    load: Option<f64>,
    /// How many of the sessions have a load by heart rate.
    by_heart: usize,
    /// Load by heart rate, Edwards' or Banister's as the diary says of the athlete, summed over those; never part of
    /// `load`.
    #[schemars(range(min = 0))]
    heart_load: Option<f64>,
    /// Reps of the plans by verdict; null without a plan.
    reps: Option<Counts>,
    /// Rests of the plans; null without a plan.
    rests: Option<Rests>,
}

/// Rests of the plans.
#[derive(Serialize, JsonSchema)]
struct Rests {
    /// Kept.
    kept: usize,
    /// Judged.
    judged: usize,
}

impl Totals {
    pub(in crate::report) fn of(totals: &progress::Totals) -> Self {
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
