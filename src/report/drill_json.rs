//! Drills as one JSON document, `repledger/drills/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`SCHEMA`]. `null` is "not known", never 0.

use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, maybe, pretty};
use crate::progress::{self, Gauge, Outcome};

/// The name and version of the shape.
pub const NAME: &str = "repledger/drills/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("drills.schema.json");

/// Writes drills with all their times, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(drills: &[progress::Drill]) -> Result<String, serde_json::Error> {
    pretty(&Document {
        schema: NAME,
        drills: drills.iter().map(Drill::of).collect(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    drills: Vec<Drill<'a>>,
}

#[derive(Serialize)]
struct Drill<'a> {
    name: Option<&'a str>,
    category: &'static str,
    with_ball: bool,
    rep: String,
    judged_by: &'static str,
    athletes: Vec<Athlete<'a>>,
}

#[derive(Serialize)]
struct Athlete<'a> {
    #[serde(rename = "athlete")]
    name: &'a str,
    best_session: Option<i64>,
    clearly_better_than: Vec<&'a str>,
    times: Vec<Time>,
}

#[derive(Serialize)]
struct Time {
    session: i64,
    date: String,
    rate_hz: f64,
    reps_done: usize,
    reps_planned: usize,
    peak_m_s: Option<Interval>,
    work_s: Option<Interval>,
    distance_m: Option<Interval>,
    outcome: Option<&'static str>,
}

impl<'a> Drill<'a> {
    fn of(drill: &'a progress::Drill) -> Self {
        let athlete = |standing: progress::Standing<'a>| {
            let against = drill.over_time(standing.athlete);
            let own = (drill.times.iter()).filter(|time| time.athlete == standing.athlete);
            Athlete {
                name: standing.athlete,
                best_session: standing.best.map(|(time, _)| time.id),
                clearly_better_than: standing.clearly_above,
                times: own
                    .map(|time| {
                        let found = against.iter().find(|a| a.time.id == time.id);
                        Time::of(time, found.map(|a| a.outcome))
                    })
                    .collect(),
            }
        };
        Self {
            name: drill.name.as_deref(),
            category: drill.category.word(),
            with_ball: drill.with_ball,
            rep: drill.rep(),
            judged_by: match drill.gauge() {
                Gauge::Peak => "peak_m_s",
                Gauge::Time => "work_s",
                Gauge::Distance => "distance_m",
            },
            athletes: drill.standings().into_iter().map(athlete).collect(),
        }
    }
}

impl Time {
    fn of(time: &progress::Time, outcome: Option<Outcome>) -> Self {
        Self {
            session: time.id,
            date: time.date.to_string(),
            rate_hz: time.rate_hz,
            reps_done: time.reps[0],
            reps_planned: time.reps[1],
            peak_m_s: maybe(time.peak_m_s, QUANTITY_DECIMALS),
            work_s: maybe(time.work_s, QUANTITY_DECIMALS),
            distance_m: maybe(time.distance_m, QUANTITY_DECIMALS),
            outcome: outcome.map(|outcome| match outcome {
                Outcome::NotTried => "not_tried",
                Outcome::First => "first",
                Outcome::Gain { confirmed: true } => "confirmed_gain",
                Outcome::Gain { confirmed: false } => "gain",
                Outcome::WithinError => "within_error",
                Outcome::Below => "below",
                Outcome::NoMaximalSprint => "no_maximal_sprint",
            }),
        }
    }
}
