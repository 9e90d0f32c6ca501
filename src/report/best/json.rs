//! Bests, as one JSON document, `repledger/best/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`schema()`]. `null` is "not known", never 0.

use schemars::JsonSchema;
use serde::Serialize;

use crate::progress::{self, Outcome};
use crate::report::parts::{Interval, QUANTITY_DECIMALS, interval, pretty, to_thousandth};
use crate::report::schema;
use crate::report::words::word_for;

/// The name and version of the shape.
pub const NAME: &str = "repledger/best/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

/// Writes the bests of one athlete or of several, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(bests: &[progress::Best<'_>]) -> Result<String, serde_json::Error> {
    pretty(&Document {
        schema: NAME,
        athletes: bests.iter().map(Best::of).collect(),
    })
}

/// Bests so far. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// One athlete or several.
    athletes: Vec<Best<'a>>,
}

/// An athlete.
#[derive(Serialize, JsonSchema)]
struct Best<'a> {
    /// Whose; empty where nobody is named.
    athlete: &'a str,
    /// The top speed whose interval begins the highest, m/s.
    top_speed_m_s: Option<Record>,
    /// The same of the curve of a session's best sprint, m/s.
    curve_top_speed_m_s: Option<Record>,
    /// Best times by distance.
    splits: Vec<Split>,
    /// The mark that stands: the last real gain, or the first recording with a sprint from rest, m/s.
    mark_m_s: Option<Record>,
    /// How far above the mark a recording as exact as the latest must lie to be a real gain, m/s.
    smallest_gain_m_s: Option<f64>,
    /// Top speeds in time order.
    history: Vec<Point>,
}

/// A best, with where it comes from.
#[derive(Serialize, JsonSchema)]
struct Record {
    /// The number of its entry in the diary.
    id: i64,
    /// Its day. As YYYY-MM-DD.
    date: String,
    /// Fixes a second of its recording.
    #[schemars(range(min = 0))]
    rate_hz: f64,
    /// Its value.
    #[schemars(with = "Interval")]
    measured: Option<Interval>,
}

/// A distance.
#[derive(Serialize, JsonSchema)]
struct Split {
    /// m.
    #[schemars(range(min = 0))]
    distance_m: f64,
    /// The time whose interval ends the lowest, from the first movement, s.
    time_s: Record,
}

/// A recording.
#[derive(Serialize, JsonSchema)]
struct Point {
    /// Its top speed, m/s.
    top_speed_m_s: Record,
    /// From the mark before it; null for the first.
    difference_m_s: Option<Interval>,
    /// Smallest change that the two intervals let one tell, m/s.
    #[schemars(range(min = 0))]
    smallest_m_s: Option<f64>,
    /// `gain` where the intervals cannot explain the rise; `not_tried` before the first recording with a sprint from
    /// rest, which is `first`; `no_maximal_sprint` where the recording is slower, its plan asked for no sprint and
    /// none came within 90 % of the mark.
    #[schemars(extend("enum" = OUTCOMES))]
    outcome: &'static str,
    /// Of a gain: whether a later recording lies clearly above the same mark.
    confirmed: Option<bool>,
}

impl<'a> Best<'a> {
    fn of(best: &progress::Best<'a>) -> Self {
        Self {
            athlete: best.athlete,
            top_speed_m_s: best.top_speed_m_s.map(Record::of),
            curve_top_speed_m_s: best.curve_top_m_s.map(Record::of),
            splits: (best.splits.iter())
                .map(|&(distance_m, record)| Split {
                    distance_m: to_thousandth(distance_m),
                    time_s: Record::of(record),
                })
                .collect(),
            mark_m_s: best.mark_m_s.map(Record::of),
            smallest_gain_m_s: best.smallest_gain_m_s.map(to_thousandth),
            history: best.history.iter().map(Point::of).collect(),
        }
    }
}

impl Record {
    fn of(record: progress::Record) -> Self {
        Self {
            id: record.id,
            date: record.date.to_string(),
            rate_hz: to_thousandth(record.rate_hz),
            measured: interval(record.value, QUANTITY_DECIMALS),
        }
    }
}

impl Point {
    fn of(point: &progress::Point) -> Self {
        Self {
            top_speed_m_s: Record::of(point.record),
            difference_m_s: (point.change)
                .and_then(|change| interval(change.difference, QUANTITY_DECIMALS)),
            smallest_m_s: point.change.map(|change| to_thousandth(change.smallest)),
            outcome: outcome(point.outcome),
            confirmed: match point.outcome {
                Outcome::Gain { confirmed } => Some(confirmed),
                _ => None,
            },
        }
    }
}

word_for! {
    /// The word for what a session says of the best.
    outcome(Outcome) in OUTCOMES {
        Outcome::NotTried => "not_tried",
        Outcome::First => "first",
        Outcome::Gain { .. } => "gain",
        Outcome::WithinError => "within_error",
        Outcome::Below => "below",
        Outcome::NoMaximalSprint => "no_maximal_sprint",
    }
}
