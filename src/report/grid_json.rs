//! A squad by week, as one JSON document, `repledger/grid/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`SCHEMA`]. `null` is "not known", never 0; `state` says
//! why.

use jiff::civil::Date;
use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, interval, pretty};
use super::weeks_json::{key, verdict};
use crate::progress;

/// The name and version of the shape.
pub const NAME: &str = "repledger/grid/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("grid.schema.json");

/// Writes the grid, seen on `today`, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(grid: &progress::Grid<'_>, today: Date) -> Result<String, serde_json::Error> {
    pretty(&Document {
        schema: NAME,
        today: today.to_string(),
        of: key(grid.of),
        weeks: (grid.weeks.iter())
            .map(|week| Week {
                number: week.to_string(),
                monday: week.monday().map(|monday| monday.to_string()),
                over: grid.running.is_none_or(|running| *week < running),
            })
            .collect(),
        athletes: (grid.lines.iter())
            .map(|line| Line {
                athlete: line.athlete,
                cells: line.cells.iter().map(Cell::of).collect(),
                all: Cell::of(&line.all),
            })
            .collect(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    today: String,
    of: &'static str,
    weeks: Vec<Week>,
    athletes: Vec<Line<'a>>,
}

#[derive(Serialize)]
struct Week {
    #[serde(rename = "week")]
    number: String,
    monday: Option<String>,
    over: bool,
}

#[derive(Serialize)]
struct Line<'a> {
    athlete: &'a str,
    cells: Vec<Cell>,
    all: Cell,
}

#[derive(Serialize)]
struct Cell {
    state: &'static str,
    value: Option<Interval>,
    least: bool,
    reps_done: Option<usize>,
    reps_planned: Option<usize>,
    from: Option<String>,
    difference: Option<Interval>,
    verdict: Option<&'static str>,
}

impl Cell {
    fn of(cell: &progress::Cell) -> Self {
        let known = cell.known();
        let step = known.and_then(|known| known.step);
        Self {
            state: match cell {
                progress::Cell::Before => "before",
                progress::Cell::Nothing => "nothing",
                progress::Cell::Unknown => "not_known",
                progress::Cell::Known(_) => "known",
            },
            value: known.and_then(|known| interval(known.value, QUANTITY_DECIMALS)),
            least: known.is_some_and(|known| known.least),
            reps_done: known.and_then(|known| Some(known.reps?.0)),
            reps_planned: known.and_then(|known| Some(known.reps?.1)),
            from: step.map(|step| step.from.to_string()),
            difference: step.and_then(|step| interval(step.difference, QUANTITY_DECIMALS)),
            verdict: step.map(|step| verdict(step.verdict)),
        }
    }
}
