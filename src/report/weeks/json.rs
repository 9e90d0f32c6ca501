//! Weeks after each other, as one JSON document, `repledger/weeks/1`.
//!
//! The shape is defined here and in `parts/totals.rs` and nowhere else. Every field is described in [`schema()`]. `null` is "not
//! known", never 0.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::progress::{self, Quantity, Verdict};
use crate::report::parts::totals::Totals;
use crate::report::parts::{Interval, QUANTITY_DECIMALS, interval, pretty, to_thousandth};
use crate::report::schema;
use crate::report::words::word_for;

/// The name and version of the shape.
pub const NAME: &str = "repledger/weeks/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

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

/// Weeks after each other. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// The day they are looked at from. As YYYY-MM-DD.
    today: String,
    /// One athlete or several, in the order asked for.
    athletes: Vec<Athlete<'a>>,
}

/// An athlete.
#[derive(Serialize, JsonSchema)]
struct Athlete<'a> {
    /// Whose; empty where nobody is named.
    athlete: &'a str,
    /// In order, without a hole.
    weeks: Vec<Week>,
}

/// A week.
#[derive(Serialize, JsonSchema)]
struct Week {
    /// The week of ISO 8601, as 2026-W20.
    #[serde(rename = "week")]
    number: String,
    /// Its first day. As YYYY-MM-DD.
    monday: Option<String>,
    /// Whether it is over; a week that is not is compared with none.
    over: bool,
    /// What it comes to.
    totals: Totals,
    /// Steps to it from the weeks before.
    steps: Vec<Step>,
}

/// The step of a quantity from the last week in which it was known.
#[derive(Serialize, JsonSchema)]
struct Step {
    /// What, with its unit.
    #[schemars(extend("enum" = Quantity::ALL.map(key)))]
    quantity: &'static str,
    /// The week it is compared with.
    from: String,
    /// The later less the earlier.
    #[schemars(with = "Interval")]
    difference: Option<Interval>,
    /// Smallest step that stands out from this athlete's other weeks; null where there are too few.
    #[schemars(range(min = 0))]
    scatter: Option<f64>,
    /// `up` and `down` where the step lies beyond both intervals and beyond the scatter.
    #[schemars(extend("enum" = VERDICTS))]
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

word_for! {
    /// A quantity with its unit.
    pub(in crate::report) key(Quantity) in KEYS {
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

word_for! {
    /// What can be said of a step.
    pub(in crate::report) verdict(Verdict) in VERDICTS {
        Verdict::Up => "up",
        Verdict::Down => "down",
        Verdict::NotClear => "not_clear",
        Verdict::TooFewWeeks => "too_few_weeks",
    }
}
