//! What the first rows of a table show about its times: numbers, the order of day and month, dates run together with clocks.

use super::compact::{self, Glued};
use super::layout::Layout;
use super::role::Role;
use super::rows::{Row, is_blank};
use crate::trace::error::excerpt;
use crate::trace::number;
use crate::trace::time::{self, Fault};
use crate::trace::{DateOrder, Error};

/// What the rows of a table show about its times.
#[derive(Debug, Default)]
pub(super) struct Sample {
    /// The numbers in the time column, from the first rows.
    pub(super) numbers: Vec<f64>,
    /// The order of day and month that some date shows.
    pub(super) order: Option<DateOrder>,
    /// The first date that does not show it.
    unclear: Option<(u64, String)>,
    pub(super) glued: Digits,
}

/// Cells of twelve or fourteen digits, which may be a date and a time of day run together.
#[derive(Debug, Default)]
pub(super) struct Digits {
    /// Orders in which every cell so far is a time; `None` before the first cell.
    possible: Option<Vec<Glued>>,
    first: Option<(u64, String)>,
}

impl Digits {
    fn look(&mut self, cell: &str, line: u64) {
        let mut possible = self.possible.take().unwrap_or_else(|| Glued::ALL.to_vec());
        possible.retain(|order| order.read(cell).is_some());
        self.possible = Some(possible);
        if self.first.is_none() {
            self.first = Some((line, excerpt(cell, 40)));
        }
    }

    /// The orders that the header, or else the user, leaves open.
    fn open(&self, layout: &Layout, told: Option<DateOrder>) -> Vec<Glued> {
        let possible = self.possible.clone().unwrap_or_default();
        let Some(column) = layout.get(Role::Time).filter(|_| possible.len() > 1) else {
            return possible;
        };
        let meant = match told {
            _ if column.order == Some(Glued::Ymd) => Glued::Ymd,
            Some(DateOrder::DayMonthYear) => Glued::Dmy,
            Some(DateOrder::MonthDayYear) => Glued::Mdy,
            None if column.is_day_first() => Glued::Dmy,
            None => return possible,
        };
        possible
            .into_iter()
            .filter(|order| *order == meant)
            .collect()
    }

    /// The one order that is left, where there is one.
    pub(super) fn order(&self, layout: &Layout, told: Option<DateOrder>) -> Option<Glued> {
        match self.open(layout, told).as_slice() {
            [only] => Some(*only),
            _ => None,
        }
    }
}

impl Sample {
    /// Rows whose numbers are looked at.
    const NUMBERS: usize = 2000;

    /// Looks at one more row; `false` once another row can tell nothing new.
    pub(super) fn look(&mut self, layout: &Layout, row: &Row<'_>, line: u64) -> bool {
        let mut dated = false;
        for role in [Role::Time, Role::Date] {
            let Some(column) = layout.get(role) else {
                continue;
            };
            let cell = row.get(column.index);
            if role == Role::Time && !column.unit_named && !is_blank(cell) {
                self.glued.look(cell, line);
            }
            let packed = match role {
                Role::Date => compact::date(cell),
                _ => compact::date_time(cell),
            };
            if let Some(written) = packed {
                self.order = self.order.or_else(|| compact::order(&written));
                // A year of four digits comes first, and leaves nothing open.
                if self.order.is_none() && !column.is_day_first() && written.contains('/') {
                    dated = true;
                    if self.unclear.is_none() {
                        self.unclear = Some((line, excerpt(cell, 40)));
                    }
                }
                continue;
            }
            if let Some(value) = number::parse(cell) {
                if role == Role::Time && self.numbers.len() < Self::NUMBERS {
                    self.numbers.push(value);
                }
                continue;
            }
            if self.order.is_none() {
                self.order = time::order_shown(cell);
            }
            let alone = if role == Role::Date {
                time::date(cell, None).err()
            } else {
                time::date_time(cell, None).err()
            };
            if alone == Some(Fault::Order) {
                dated = true;
                if self.unclear.is_none() {
                    self.unclear = Some((line, excerpt(cell, 40)));
                }
            }
        }
        // Only dates whose order is still open are followed to the end of the table.
        dated && self.order.is_none() || self.numbers.len() < Self::NUMBERS
    }

    /// The error that a table of dates without a sure order gives.
    pub(super) fn check(&self, layout: &Layout, order: Option<DateOrder>) -> Result<(), Error> {
        let possible = self.glued.possible.as_deref().unwrap_or_default();
        if let Some((line, time)) = &self.glued.first
            && !possible.is_empty()
            && self.glued.order(layout, order).is_none()
        {
            let mut readings: Vec<String> = (possible.iter())
                .filter_map(|order| order.read(time))
                .collect();
            readings.dedup();
            return Err(Error::GluedTime {
                line: *line,
                time: time.clone(),
                readings,
            });
        }
        match &self.unclear {
            Some((line, date)) if order.or(self.order).is_none() => Err(Error::DateOrder {
                line: *line,
                date: date.clone(),
            }),
            _ => Ok(()),
        }
    }
}
