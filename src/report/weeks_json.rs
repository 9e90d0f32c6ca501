//! Weeks after each other, as one JSON document, `repledger/weeks/1`.
//!
//! The shape is defined here and in `totals_json.rs` and nowhere else. Every field is described in [`SCHEMA`]. `null` is "not
//! known", never 0.

use jiff::civil::Date;
use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, interval, pretty, to_thousandth};
use super::totals_json::Totals;
use crate::progress::{self, Quantity, Verdict};

/// The name and version of the shape.
pub const NAME: &str = "repledger/weeks/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("weeks.schema.json");

/// Writes the weeks of one athlete or of several, seen on `today`, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(trends: &[progress::Trend<'_>], today: Date) -> Result<String, serde_json::Error> {
    pretty(&Document {
        schema: NAME,
        today: today.to_string(),
        athletes: trends.iter().map(Athlete::of).collect(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    today: String,
    athletes: Vec<Athlete<'a>>,
}

#[derive(Serialize)]
struct Athlete<'a> {
    athlete: &'a str,
    weeks: Vec<Week>,
}

#[derive(Serialize)]
struct Week {
    #[serde(rename = "week")]
    number: String,
    monday: Option<String>,
    over: bool,
    totals: Totals,
    steps: Vec<Step>,
}

#[derive(Serialize)]
struct Step {
    quantity: &'static str,
    from: String,
    difference: Option<Interval>,
    scatter: Option<f64>,
    verdict: &'static str,
}

impl<'a> Athlete<'a> {
    fn of(trend: &progress::Trend<'a>) -> Self {
        let week = |row: &progress::WeekRow| Week {
            number: row.week.to_string(),
            monday: row.week.monday().map(|monday| monday.to_string()),
            over: !row.running,
            totals: Totals::of(&row.totals),
            steps: row.steps.iter().map(Step::of).collect(),
        };
        Self {
            athlete: trend.athlete,
            weeks: trend.weeks.iter().map(week).collect(),
        }
    }
}

impl Step {
    fn of(step: &progress::Step) -> Self {
        Self {
            quantity: key(step.quantity),
            from: step.from.to_string(),
            difference: interval(step.difference, QUANTITY_DECIMALS),
            scatter: step.scatter.map(to_thousandth),
            verdict: verdict(step.verdict),
        }
    }
}

/// A quantity with its unit.
pub(super) fn key(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Minutes => "minutes",
        Quantity::Distance => "distance_m",
        Quantity::HighSpeed => "high_speed_m",
        Quantity::Sprint => "sprint_m",
        Quantity::Load => "load",
        Quantity::TopSpeed => "top_speed_m_s",
        Quantity::NearMaximal => "near_maximal",
        Quantity::RepsDone => "reps_done_percent",
        Quantity::HeartLoad => "heart_load",
    }
}

/// What can be said of a step.
pub(super) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Up => "up",
        Verdict::Down => "down",
        Verdict::NotClear => "not_clear",
        Verdict::TooFewWeeks => "too_few_weeks",
    }
}
