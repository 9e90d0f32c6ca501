//! A squad by week, as one JSON document, `repledger/grid/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`schema()`]. `null` is "not known", never 0; `state` says
//! why.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use crate::progress;
use crate::report::parts::{Interval, QUANTITY_DECIMALS, interval, pretty};
use crate::report::schema;
use crate::report::weeks::json::{KEYS, VERDICTS, key, verdict};
use crate::report::words::word_for;

/// The name and version of the shape.
pub const NAME: &str = "repledger/grid/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

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

/// A squad by week: one quantity, a line an athlete, a cell a week. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// The day it is looked at from. As YYYY-MM-DD.
    today: String,
    /// The quantity, with its unit; `near_maximal` counts runs, `load` is RPE x minutes.
    #[schemars(extend("enum" = KEYS))]
    of: &'static str,
    /// The weeks of the cells, in order and without a hole.
    weeks: Vec<Week>,
    /// The athletes, in the order asked for.
    athletes: Vec<Line<'a>>,
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
}

/// An athlete.
#[derive(Serialize, JsonSchema)]
struct Line<'a> {
    /// Whose; empty where nobody is named.
    athlete: &'a str,
    /// A cell a week.
    cells: Vec<Cell>,
    /// All the weeks: the sum, of top speed the best, of reps the share of all.
    all: Cell,
}

/// What is known of a week, or of all.
#[derive(Serialize, JsonSchema)]
struct Cell {
    /// `before` the first entry, `nothing` noted, sessions of which it is `not_known`, or `known`; only `known` has a
    /// value.
    #[schemars(extend("enum" = STATES))]
    state: &'static str,
    /// The value.
    value: Option<Interval>,
    /// Whether sessions are missing in the sum.
    least: bool,
    /// Reps done, where the quantity is about them.
    reps_done: Option<usize>,
    /// Reps planned, where the quantity is about them.
    reps_planned: Option<usize>,
    /// The week that it is compared with.
    from: Option<String>,
    /// The later less the earlier.
    difference: Option<Interval>,
    /// `up` and `down` where the step lies beyond both intervals and beyond the athlete's scatter.
    #[schemars(extend("enum" = VERDICTS))]
    verdict: Option<&'static str>,
}

impl Cell {
    fn of(cell: &progress::Cell) -> Self {
        let known = cell.known();
        let step = known.and_then(|known| known.step);
        Self {
            state: state(cell),
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

word_for! {
    /// The word for what is known of a week.
    state(&progress::Cell) in STATES {
        progress::Cell::Before => "before",
        progress::Cell::Nothing => "nothing",
        progress::Cell::Unknown => "not_known",
        progress::Cell::Known(_) => "known",
    }
}
