//! Sessions held beside each other as one JSON document, `repledger/comparison/1`.
//!
//! The shape is defined here and nowhere else; every field is described in [`SCHEMA`].

use serde::Serialize;

use super::parts::{
    Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, TIME_DECIMALS, maybe, pretty, quantity, rounded,
    time,
};
use super::words;
use crate::comparison::{Comparison, Difference, Drill, RepRow, Row, Side, Value, Verdict, When};
use crate::review::RepReview;

/// The name and version of the shape.
pub const NAME: &str = "repledger/comparison/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("comparison.schema.json");

/// Writes the comparison, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(comparison: &Comparison) -> Result<String, serde_json::Error> {
    pretty(&Document::of(comparison))
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    sessions: Vec<SessionPart<'a>>,
    quantities: Vec<RowPart>,
    drills: Vec<DrillPart<'a>>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct SessionPart<'a> {
    name: &'a str,
    start: Option<String>,
    date: Option<String>,
    title: Option<&'a str>,
    athlete: Option<&'a str>,
    duration_s: Option<f64>,
    rate_hz: Option<f64>,
    speed_from: Option<&'static str>,
    high_speed_from_m_s: Option<f64>,
    sprint_from_m_s: Option<f64>,
    sums_only: bool,
}

#[derive(Serialize)]
struct RowPart {
    name: String,
    unit: Option<&'static str>,
    values: Vec<Option<ValuePart>>,
    differences: Vec<Option<DifferencePart>>,
}

#[derive(Serialize)]
struct ValuePart {
    known: &'static str,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    part: Option<usize>,
    of: Option<usize>,
}

#[derive(Serialize)]
struct DifferencePart {
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    smallest: Option<f64>,
    verdict: Option<&'static str>,
}

#[derive(Serialize)]
struct DrillPart<'a> {
    category: &'static str,
    name: Option<&'a str>,
    with_ball: bool,
    blocks: &'a [Option<usize>],
    like_for_like: &'a [bool],
    quantities: Vec<RowPart>,
    reps: Vec<RepRowPart>,
}

#[derive(Serialize)]
struct RepRowPart {
    set: usize,
    rep: usize,
    sessions: Vec<Option<RepPart>>,
    peak_speed_differences: Vec<Option<DifferencePart>>,
}

#[derive(Serialize)]
struct RepPart {
    verdict: &'static str,
    start_s: Option<f64>,
    work_s: Option<Interval>,
    peak_speed_m_s: Option<Interval>,
    rest_s: Option<Interval>,
    rest_verdict: Option<&'static str>,
}

impl<'a> Document<'a> {
    fn of(comparison: &'a Comparison) -> Self {
        Self {
            schema: NAME,
            sessions: comparison.sides.iter().map(SessionPart::of).collect(),
            quantities: comparison.rows.iter().map(RowPart::of).collect(),
            drills: comparison.drills.iter().map(DrillPart::of).collect(),
            notes: &comparison.notes,
        }
    }
}

impl<'a> SessionPart<'a> {
    fn of(side: &'a Side) -> Self {
        let (start, date) = match side.when {
            When::Start(clock) => (clock.text(), None),
            When::Day(date) => (None, Some(date.to_string())),
        };
        let [high, sprint] = side.recorded.thresholds_m_s;
        Self {
            name: &side.name,
            start,
            date,
            title: side.title.as_deref(),
            athlete: side.athlete.as_deref(),
            duration_s: time(side.duration_s),
            rate_hz: quantity(side.receiver.rate_hz),
            speed_from: side.receiver.speed_from.map(words::speed_from),
            high_speed_from_m_s: quantity(high),
            sprint_from_m_s: quantity(sprint),
            sums_only: side.rules.is_none(),
        }
    }
}

impl RowPart {
    fn of(row: &Row) -> Self {
        let unit = row.quantity.unit();
        Self {
            name: row.quantity.name(),
            unit: (!unit.is_empty()).then_some(unit),
            values: row.values.iter().map(|v| v.map(ValuePart::of)).collect(),
            differences: differences(&row.differences),
        }
    }
}

impl ValuePart {
    fn of(value: Value) -> Self {
        let plain = |known, value| Self {
            known,
            value,
            low: None,
            high: None,
            part: None,
            of: None,
        };
        match value {
            Value::Measured(m) => Self {
                low: rounded(m.low, SHARE_DECIMALS),
                high: rounded(m.high, SHARE_DECIMALS),
                ..plain("measured", rounded(m.value, SHARE_DECIMALS))
            },
            Value::Summed(sum) => plain("summed", quantity(sum)),
            Value::Counted(n) => plain("counted", Some(n as f64)),
            Value::Share { part, of } => Self {
                part: Some(part),
                of: Some(of),
                ..plain(
                    "counted",
                    value.share().and_then(|s| rounded(s, SHARE_DECIMALS)),
                )
            },
        }
    }
}

fn differences(list: &[Option<Difference>]) -> Vec<Option<DifferencePart>> {
    list.iter()
        .map(|d| d.as_ref().map(DifferencePart::of))
        .collect()
}

impl DifferencePart {
    fn of(difference: &Difference) -> Self {
        let round = |value| rounded(value, SHARE_DECIMALS);
        let (low, high, smallest) = match difference {
            Difference::Judged(change) => (
                round(change.difference.low),
                round(change.difference.high),
                round(change.smallest),
            ),
            Difference::Plain(_) => (None, None, None),
        };
        Self {
            value: round(difference.value()),
            low,
            high,
            smallest,
            verdict: difference.verdict().map(|verdict| match verdict {
                Verdict::More => "more",
                Verdict::Less => "less",
                Verdict::NoClearChange => "no_clear_change",
            }),
        }
    }
}

impl<'a> DrillPart<'a> {
    fn of(drill: &'a Drill) -> Self {
        Self {
            category: drill.category.word(),
            name: drill.name.as_deref(),
            with_ball: drill.with_ball,
            blocks: &drill.blocks,
            like_for_like: &drill.like_for_like,
            quantities: drill.rows.iter().map(RowPart::of).collect(),
            reps: drill.reps.iter().map(RepRowPart::of).collect(),
        }
    }
}

impl RepRowPart {
    fn of(row: &RepRow) -> Self {
        Self {
            set: row.set,
            rep: row.rep,
            sessions: row
                .reps
                .iter()
                .map(|r| r.as_ref().map(RepPart::of))
                .collect(),
            peak_speed_differences: differences(&row.peak_differences),
        }
    }
}

impl RepPart {
    fn of(rep: &RepReview) -> Self {
        Self {
            verdict: words::verdict(rep.verdict),
            start_s: rep.start_s.and_then(time),
            work_s: maybe(rep.work_s, TIME_DECIMALS),
            peak_speed_m_s: maybe(rep.peak_speed_m_s, QUANTITY_DECIMALS),
            rest_s: maybe(rep.rest_s, TIME_DECIMALS),
            rest_verdict: rep.rest_verdict.map(words::rest_verdict),
        }
    }
}
