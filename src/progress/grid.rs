//! A squad by week: athletes down, weeks across, one quantity.

use crate::measured::Measured;
use crate::progress::iso_week::IsoWeek;
use crate::progress::squad::Row;
use crate::progress::totals::Totals;
use crate::progress::trend::{Quantity, Step, WeekRow};
use crate::units::SpeedUnit;

/// One quantity of a squad over some weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid<'a> {
    /// Which.
    pub of: Quantity,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
    /// The weeks, in order and without a hole.
    pub weeks: Vec<IsoWeek>,
    /// The week that is not over, if one of them is not.
    pub running: Option<IsoWeek>,
    /// The athletes in the order asked for.
    pub lines: Vec<Line<'a>>,
}

/// An athlete.
#[derive(Clone, Debug, PartialEq)]
pub struct Line<'a> {
    /// Who.
    pub athlete: &'a str,
    /// A cell a week.
    pub cells: Vec<Cell>,
    /// What all the weeks come to: the sum, of top speed the best, of reps the share of all.
    pub all: Cell,
}

/// What is known of a week. The first three are gaps, and none of them is zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// The athlete's first entry is later.
    Before,
    /// Nothing was noted.
    Nothing,
    /// Sessions were noted, of which the quantity is not known: not recorded, not rated, without a plan.
    Unknown,
    /// The value is known; zero is one.
    Known(Known),
}

/// A value that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// The value, with an interval where there is one.
    pub value: Measured,
    /// Whether sessions are missing in it, so that it is the least that it can be.
    pub least: bool,
    /// Reps done and planned, where it is about them.
    pub reps: Option<(usize, usize)>,
    /// The step from the last week in which it was known.
    pub step: Option<Step>,
}

impl Cell {
    /// The value, where it is known.
    #[must_use]
    pub fn known(&self) -> Option<&Known> {
        match self {
            Self::Known(known) => Some(known),
            Self::Before | Self::Nothing | Self::Unknown => None,
        }
    }
}

/// The grid of a squad over the weeks `from` to `to`, both included; `running` is the week of the day it is looked at from.
///
/// # Definition
/// Rows come from [`squad`](super::squad()) over the same span and keep their order. A step is clear as
/// [`trend`](super::trend()) says; a load in which a session was not rated is shown as the least it can be and compared with none.
#[must_use]
pub fn grid<'a>(
    rows: &[Row<'a>],
    (from, to): (IsoWeek, IsoWeek),
    running: IsoWeek,
    of: Quantity,
) -> Grid<'a> {
    // A diary that begins in March has nothing to say of February.
    let first = rows.iter().filter_map(|row| row.first).min();
    let mut weeks = vec![first.map_or(from, |first| first.clamp(from, to.max(from)))];
    while let Some(next) = weeks.last().and_then(|week| week.later(1))
        && next <= to
    {
        weeks.push(next);
    }
    let line = |row: &Row<'a>| {
        let mut known = row.by_week.iter().peekable();
        let cell = |&week: &IsoWeek| match known.next_if(|row| row.week == week) {
            Some(row) => of_week(of, row),
            // A future week has no row, nor has one before the first entry.
            None if row.first.is_some_and(|first| first <= week) => Cell::Nothing,
            None => Cell::Before,
        };
        Line {
            athlete: row.athlete,
            cells: weeks.iter().map(cell).collect(),
            all: of_totals(of, &row.totals, None),
        }
    };
    Grid {
        of,
        speeds: rows
            .first()
            .map_or_else(SpeedUnit::default, |row| row.speeds),
        lines: rows.iter().map(line).collect(),
        running: weeks.contains(&running).then_some(running),
        weeks,
    }
}

fn of_week(of: Quantity, row: &WeekRow) -> Cell {
    of_totals(of, &row.totals, row.step(of).copied())
}

fn of_totals(of: Quantity, totals: &Totals, step: Option<Step>) -> Cell {
    if totals.sessions == 0 {
        return Cell::Nothing;
    }
    // What is summed up without a session of which it is not known is still worth a look.
    let partial = match of {
        Quantity::Load => totals.load,
        _ => None,
    };
    let value = of.of(totals);
    let least = value.is_none();
    match value.or_else(|| partial.map(|load| Measured::within(load, load, load))) {
        None => Cell::Unknown,
        Some(value) => Cell::Known(Known {
            value,
            least,
            reps: (totals.counts)
                .filter(|_| of == Quantity::RepsDone)
                .map(|counts| (counts.done, counts.planned)),
            step,
        }),
    }
}
