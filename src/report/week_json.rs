//! Weeks around a match, as one JSON document, `repledger/week/1`.
//!
//! The shape is defined here and in `totals_json.rs` and nowhere else. Every field is described in [`SCHEMA`]. `null` is "not
//! known", never 0.

use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, maybe, pretty, to_thousandth};
use super::totals_json::Totals;
use crate::progress;

/// The name and version of the shape.
pub const NAME: &str = "repledger/week/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("week.schema.json");

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

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    athletes: Vec<Week<'a>>,
}

#[derive(Serialize)]
struct Week<'a> {
    athlete: &'a str,
    #[serde(rename = "week")]
    number: String,
    today: String,
    over: bool,
    next_match: Option<Match<'a>>,
    own_top_speed_m_s: Option<Interval>,
    totals: Totals,
    monotony: Option<f64>,
    strain: Option<f64>,
    days: Vec<Day<'a>>,
    remarks: Vec<Remark>,
}

#[derive(Serialize)]
struct Match<'a> {
    date: String,
    label: Option<&'a str>,
}

#[derive(Serialize)]
struct Day<'a> {
    date: String,
    place: Option<String>,
    days_from_match: Option<i32>,
    match_label: Option<&'a str>,
    #[serde(rename = "is_match_day")]
    is_match: bool,
    totals: Totals,
    sessions: Vec<Session<'a>>,
    planned: Vec<Planned<'a>>,
}

#[derive(Serialize)]
struct Session<'a> {
    id: i64,
    activity: &'static str,
    title: Option<&'a str>,
    rpe: Option<f64>,
    note: Option<&'a str>,
    totals: Totals,
}

#[derive(Serialize)]
struct Planned<'a> {
    id: i64,
    title: Option<&'a str>,
    done: bool,
}

#[derive(Serialize)]
struct Remark {
    date: Option<String>,
    text: String,
    reason: &'static str,
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
