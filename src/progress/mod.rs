//! What a diary shows over time: a week around its match, weeks beside each other, the best so far, a squad.
//!
//! Everything here is a pure function of what the diary keeps and of the day it is looked at from. A [`Log`] is the
//! diary's part; [`week()`] sums up seven days and [`remarks()`] says what common practice would do otherwise;
//! [`trend()`] puts weeks after each other and [`best()`] the bests; [`squad()`] puts athletes beside each other,
//! and [`grid()`] a squad's weeks.

mod best;
mod drill;
mod grid;
mod iso_week;
mod load;
mod log;
mod match_week;
mod remarks;
mod squad;
mod totals;
mod trend;
mod trimp;
mod week;

pub use best::{Best, Outcome, Point, Record, best};
pub use drill::{Against, Drill, Gauge, Standing, Tendency, Time, drills};
pub use grid::{Cell, Grid, Known, Line, grid};
pub use iso_week::IsoWeek;
pub use load::{Monotony, session_load};
pub use log::{Log, athletes};
pub(crate) use match_week::MatchWeek;
pub use match_week::{Match, Place};
pub use remarks::{Remark, remarks};
pub use squad::{Row, Sort, squad};
pub use totals::{NEAR_MAXIMAL, Totals};
pub(crate) use totals::{sum_of, surest};
pub use trend::{Quantity, Step, Trend, Verdict, WeekRow, trend};
pub(crate) use trimp::heart_load;
pub use trimp::{Banister, banister};
pub use week::{Day, PlannedDay, Week, week};
