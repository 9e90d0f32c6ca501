//! Drills as one JSON document, `repledger/drills/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`schema()`]. `null` is "not known", never 0.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::Category;
use crate::progress::{self, Gauge, Outcome};
use crate::report::parts::{Interval, QUANTITY_DECIMALS, maybe, pretty};
use crate::report::schema;
use crate::report::words::word_for;

/// The name and version of the shape.
pub const NAME: &str = "repledger/drills/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

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

/// Drills of a diary, each time that each was done. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// The drills, the most done first.
    drills: Vec<Drill<'a>>,
}

/// A drill: what agrees in category, ball, name and the work of a rep.
#[derive(Serialize, JsonSchema)]
struct Drill<'a> {
    /// Its name, as it was written first; null where no plan names it.
    name: Option<&'a str>,
    /// Its category, as in a plan.
    #[schemars(extend("enum" = Category::ALL.map(Category::word)))]
    category: &'static str,
    /// With the ball at the foot.
    with_ball: bool,
    /// What one rep asks for, in words.
    rep: String,
    /// The field of a time that it is judged by; of `work_s` less is better.
    #[schemars(extend("enum" = GAUGES))]
    judged_by: &'static str,
    /// Who did it, in alphabetical order; nobody is ranked.
    athletes: Vec<Athlete<'a>>,
}

/// An athlete.
#[derive(Serialize, JsonSchema)]
struct Athlete<'a> {
    /// Whose; empty where nobody is named.
    #[serde(rename = "athlete")]
    name: &'a str,
    /// The entry of the diary with the surest best.
    best_session: Option<i64>,
    /// Athletes whose best is clearly less good, all pairs judged together (Bonferroni).
    clearly_better_than: Vec<&'a str>,
    /// The change of what it is judged by in four weeks, over all times together; null for fewer than four, for fewer than three
    /// weeks from the first to the last, and where receivers of different kinds recorded them.
    change_in_four_weeks: Option<Interval>,
    /// Each session that did it, in order of days.
    times: Vec<Time>,
}

/// The drill in one session; measured values are of reps run in full.
#[derive(Serialize, JsonSchema)]
struct Time {
    /// The entry of the diary.
    session: i64,
    /// The day. As YYYY-MM-DD.
    date: String,
    /// Fixes a second of the recording.
    rate_hz: f64,
    /// Reps done.
    reps_done: usize,
    /// Reps planned.
    reps_planned: usize,
    /// The best peak speed of a rep, m/s.
    peak_m_s: Option<Interval>,
    /// The mean time of a rep, s.
    work_s: Option<Interval>,
    /// The mean distance of a rep, m.
    distance_m: Option<Interval>,
    /// Against the mark, which is the first time and then each clear gain; null where the value is not known.
    #[schemars(extend("enum" = OUTCOMES))]
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
                change_in_four_weeks: maybe(
                    drill.tendency(standing.athlete).map(|c| c.four_weeks),
                    QUANTITY_DECIMALS,
                ),
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
            judged_by: gauge(drill.gauge()),
            athletes: drill.standings().into_iter().map(athlete).collect(),
        }
    }
}

impl Time {
    fn of(time: &progress::Time, against: Option<Outcome>) -> Self {
        Self {
            session: time.id,
            date: time.date.to_string(),
            rate_hz: time.rate_hz,
            reps_done: time.reps[0],
            reps_planned: time.reps[1],
            peak_m_s: maybe(time.peak_m_s, QUANTITY_DECIMALS),
            work_s: maybe(time.work_s, QUANTITY_DECIMALS),
            distance_m: maybe(time.distance_m, QUANTITY_DECIMALS),
            outcome: against.map(outcome),
        }
    }
}

word_for! {
    /// The field by which a drill is judged.
    gauge(Gauge) in GAUGES {
        Gauge::Peak => "peak_m_s",
        Gauge::Time => "work_s",
        Gauge::Distance => "distance_m",
    }
}

word_for! {
    /// The word for what a session says against those before.
    outcome(Outcome) in OUTCOMES {
        Outcome::NotTried => "not_tried",
        Outcome::First => "first",
        Outcome::Gain { confirmed: true } => "confirmed_gain",
        Outcome::Gain { confirmed: false } => "gain",
        Outcome::WithinError => "within_error",
        Outcome::Below => "below",
        Outcome::NoMaximalSprint => "no_maximal_sprint",
    }
}
