//! Bests, as one JSON document, `repledger/best/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`SCHEMA`]. `null` is "not known", never 0.

use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, interval, pretty, to_thousandth};
use crate::progress::{self, Outcome};

/// The name and version of the shape.
pub const NAME: &str = "repledger/best/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("best.schema.json");

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

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    athletes: Vec<Best<'a>>,
}

#[derive(Serialize)]
struct Best<'a> {
    athlete: &'a str,
    top_speed_m_s: Option<Record>,
    curve_top_speed_m_s: Option<Record>,
    splits: Vec<Split>,
    mark_m_s: Option<Record>,
    smallest_gain_m_s: Option<f64>,
    history: Vec<Point>,
}

#[derive(Serialize)]
struct Record {
    id: i64,
    date: String,
    rate_hz: f64,
    measured: Option<Interval>,
}

#[derive(Serialize)]
struct Split {
    distance_m: f64,
    time_s: Record,
}

#[derive(Serialize)]
struct Point {
    top_speed_m_s: Record,
    difference_m_s: Option<Interval>,
    smallest_m_s: Option<f64>,
    outcome: &'static str,
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
            outcome: match point.outcome {
                Outcome::NotTried => "not_tried",
                Outcome::First => "first",
                Outcome::Gain { .. } => "gain",
                Outcome::WithinError => "within_error",
                Outcome::Below => "below",
                Outcome::NoMaximalSprint => "no_maximal_sprint",
            },
            confirmed: match point.outcome {
                Outcome::Gain { confirmed } => Some(confirmed),
                _ => None,
            },
        }
    }
}
