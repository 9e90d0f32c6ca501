//! Weeks around a match, as one JSON document, `repledger/week/1`.
//!
//! The shape is defined here and in `parts/totals.rs` and nowhere else. Every field is described in [`schema()`]. `null` is "not
//! known", never 0.

use schemars::JsonSchema;
use serde::Serialize;

use crate::diary::Activity;
use crate::progress;
use crate::report::parts::totals::Totals;
use crate::report::parts::{Interval, QUANTITY_DECIMALS, maybe, pretty, to_thousandth};
use crate::report::schema;

/// The name and version of the shape.
pub const NAME: &str = "repledger/week/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

/// Writes the week of one athlete or of several, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(weeks: &[progress::Week<'_>]) -> Result<String, serde_json::Error> {
    pretty(&Document {
        schema: NAME,
        athletes: weeks.iter().map(Week::of).collect(),
    })
}

/// Weeks around a match. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// One athlete or several, in the order asked for.
    athletes: Vec<Week<'a>>,
}

/// The week of an athlete.
#[derive(Serialize, JsonSchema)]
struct Week<'a> {
    /// Whose; empty where nobody is named.
    athlete: &'a str,
    /// The week of ISO 8601, as 2026-W20.
    #[serde(rename = "week")]
    number: String,
    /// The day it is looked at from. As YYYY-MM-DD.
    today: String,
    /// Whether its last day is past.
    over: bool,
    /// The next match on `today` or after it.
    next_match: Option<Match<'a>>,
    /// The athlete's top speed as far as recordings up to the end of the week tell, m/s.
    own_top_speed_m_s: Option<Interval>,
    /// All days together.
    totals: Totals,
    /// Mean over sample standard deviation of the seven daily loads, a day without a session counted as 0 (Foster
    /// 1998); null before the week is over, where a session was not rated, or where all days are alike.
    monotony: Option<f64>,
    /// Sum of the daily loads times monotony.
    strain: Option<f64>,
    /// From Monday on.
    days: Vec<Day<'a>>,
    /// What common practice would do otherwise.
    remarks: Vec<Remark>,
}

/// A match.
#[derive(Serialize, JsonSchema)]
struct Match<'a> {
    /// Its day. As YYYY-MM-DD.
    date: String,
    /// The other side, or what was written.
    label: Option<&'a str>,
}

/// A day.
#[derive(Serialize, JsonSchema)]
struct Day<'a> {
    /// Which. As YYYY-MM-DD.
    date: String,
    /// Its place around the match, as MD-2, MD or MD+1; null where no match is near.
    place: Option<String>,
    /// The same as a number: negative before the match.
    days_from_match: Option<i32>,
    /// The other side of the day's match, or what was written.
    match_label: Option<&'a str>,
    /// Whether a match is on this day.
    #[serde(rename = "is_match_day")]
    is_match: bool,
    /// The day's sessions together.
    totals: Totals,
    /// What was done or noted.
    sessions: Vec<Session<'a>>,
    /// Plans for the day.
    planned: Vec<Planned<'a>>,
}

/// A session or a note.
#[derive(Serialize, JsonSchema)]
struct Session<'a> {
    /// Its number in the diary.
    id: i64,
    /// What was done.
    #[schemars(extend("enum" = Activity::ALL.map(Activity::word)))]
    activity: &'static str,
    /// From the plan, the recording or the note.
    title: Option<&'a str>,
    /// Rating of perceived exertion, 0 to 10.
    #[schemars(range(min = 0))]
    rpe: Option<f64>,
    /// What was written beside it.
    note: Option<&'a str>,
    /// What it comes to; a day of rest comes to nothing.
    totals: Totals,
}

/// A plan.
#[derive(Serialize, JsonSchema)]
struct Planned<'a> {
    /// Its number in the diary.
    id: i64,
    /// Its title.
    title: Option<&'a str>,
    /// Whether a session of the day answers it.
    done: bool,
}

/// A remark.
#[derive(Serialize, JsonSchema)]
struct Remark {
    /// The day it is about; null where it is about the week. As YYYY-MM-DD.
    date: Option<String>,
    /// What is seen.
    text: String,
    /// Why it may matter.
    reason: &'static str,
    /// Who says so.
    source: &'static str,
}

impl<'a> Week<'a> {
    fn of(week: &'a progress::Week<'a>) -> Self {
        let own_top = week.own_top_m_s.map(|top| top.value);
        Self {
            athlete: week.athlete,
            number: week.week.to_string(),
            today: week.today.to_string(),
            over: week.is_over(),
            next_match: week.next_match.map(|m| Match {
                date: m.date.to_string(),
                label: m.label,
            }),
            own_top_speed_m_s: maybe(week.own_top_m_s, QUANTITY_DECIMALS),
            totals: Totals::of(&week.totals),
            monotony: week.monotony.and_then(|m| m.monotony).map(to_thousandth),
            strain: week.monotony.and_then(|m| m.strain).map(to_thousandth),
            days: week.days.iter().map(|day| Day::of(day, own_top)).collect(),
            remarks: progress::remarks(week)
                .into_iter()
                .map(|remark| Remark {
                    date: remark.date.map(|date| date.to_string()),
                    text: remark.text,
                    reason: remark.reason,
                    source: remark.source,
                })
                .collect(),
        }
    }
}

impl<'a> Day<'a> {
    fn of(day: &'a progress::Day<'a>, own_top_m_s: Option<f64>) -> Self {
        Self {
            date: day.date.to_string(),
            place: day.place.map(|place| place.to_string()),
            days_from_match: day.place.map(|place| place.days),
            match_label: day.match_day.and_then(|m| m.label),
            is_match: day.match_day.is_some(),
            totals: Totals::of(&day.totals),
            sessions: (day.entries.iter())
                .map(|entry| Session {
                    id: entry.id,
                    activity: entry.activity.word(),
                    title: entry.title.as_deref(),
                    rpe: entry.rpe,
                    note: entry.note.as_deref(),
                    totals: Totals::of(&progress::Totals::of([*entry], own_top_m_s)),
                })
                .collect(),
            planned: (day.planned.iter())
                .map(|plan| Planned {
                    id: plan.planned.id,
                    title: plan.planned.title.as_deref(),
                    done: plan.done,
                })
                .collect(),
        }
    }
}
