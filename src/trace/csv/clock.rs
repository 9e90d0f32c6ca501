//! The time column: what its numbers (`scale`) and words mean is settled once, from many rows (`sample`), then each row is read.

use super::compact::{self, Glued};
use super::heading::Column;
use super::layout::Layout;
use super::role::Role;
use super::rows::{Row, is_blank};
use super::sample::Sample;
use super::scale::{EPOCH_FIRST_S, EPOCH_LAST_S, SERIAL_1970, SERIAL_LAST, Scale, scale};
use super::unit::with_unit;
use crate::trace::DateOrder;
use crate::trace::defect::Reason;
use crate::trace::number;
use crate::trace::time::{self, DAY_NS, Fault, Moment, NANO};

/// Reads the time of each row in turn.
#[derive(Debug)]
pub(super) struct Times {
    column: Column,
    date: Option<Column>,
    scale: Scale,
    order: Option<DateOrder>,
    /// The order of the digits, where date and time of day are run together.
    glued: Option<Glued>,
    /// Days that a clock without a date has passed midnight, in nanoseconds, and its last time.
    days_ns: i64,
    last_ns: Option<i64>,
}

impl Times {
    /// The times of a layout, settled from what its rows show.
    pub(super) fn settle(
        layout: &Layout,
        sample: &Sample,
        order: Option<DateOrder>,
    ) -> Option<Self> {
        let column = layout.get(Role::Time)?;
        Some(Self {
            column,
            date: layout.get(Role::Date),
            scale: scale(&sample.numbers, column),
            order: order.or(sample.order).or_else(|| day_first(layout)),
            glued: sample.glued.order(layout, order),
            days_ns: 0,
            last_ns: None,
        })
    }

    /// Whether the numbers are taken for milliseconds by their steps alone.
    pub(super) fn guessed_milliseconds(&self) -> bool {
        self.scale == Scale::Elapsed(1e-3) && !self.column.unit_named
    }

    /// The time of a row.
    pub(super) fn read(&mut self, row: &Row<'_>) -> Result<Moment, Reason> {
        let cell = row.get(self.column.index);
        let day = self.date.map(|c| row.get(c.index));
        let date = match day {
            Some(cell) if !cell.is_empty() => Some(self.date(cell)?),
            _ => None,
        };
        if is_blank(cell) {
            return Err(Reason::NoTime);
        }
        if let Some(order) = self.glued {
            let written = order.read(cell).ok_or(Reason::BadTime)?;
            return match time::date_time(&written, None).map_err(reason)? {
                Moment::Local(ns) => Ok(self.zoned(ns)),
                other => Ok(other),
            };
        }
        // Beside a date of six digits alone, a time of six is one as well.
        if day.is_some_and(|day| compact::date(day).is_some())
            && let Some(written) = compact::clock(cell)
            && let Ok((ns, zone)) = time::clock(&written)
        {
            return Ok(self.clock(ns, zone, date));
        }
        if let Some(written) = compact::date_time(cell) {
            return match time::date_time(&written, self.order).map_err(reason)? {
                Moment::Local(ns) => Ok(self.zoned(ns)),
                other => Ok(other),
            };
        }
        if let Some(value) = number::parse(cell) {
            return self.number(value, date);
        }
        if let Ok((ns, zone)) = time::clock(cell) {
            return Ok(self.clock(ns, zone, date));
        }
        if let Some(s) = with_unit(Role::Time, cell) {
            return if s < EPOCH_FIRST_S {
                Ok(Moment::Elapsed(s))
            } else if s < EPOCH_LAST_S {
                Ok(Moment::Utc(nanoseconds(s, 1.0)))
            } else {
                Err(Reason::TimeOutOfRange)
            };
        }
        let moment = time::date_time(cell, self.order).map_err(reason)?;
        Ok(match moment {
            Moment::Local(ns) if self.column.utc => Moment::Utc(ns),
            other => other,
        })
    }

    /// Start of the day that a date cell names, nanoseconds from 1970.
    fn date(&self, cell: &str) -> Result<i64, Reason> {
        if let Some(written) = compact::date(cell) {
            return time::date(&written, self.order).map_err(reason);
        }
        match number::parse(cell) {
            Some(days) if (SERIAL_1970..SERIAL_LAST).contains(&days) => {
                Ok((days - SERIAL_1970).floor() as i64 * DAY_NS)
            }
            _ => time::date(cell, self.order).map_err(reason),
        }
    }

    fn number(&self, value: f64, date: Option<i64>) -> Result<Moment, Reason> {
        let in_range = |ok: bool| ok.then_some(()).ok_or(Reason::TimeOutOfRange);
        Ok(match self.scale {
            Scale::Epoch(factor) => {
                let s = value * factor;
                in_range((0.0..EPOCH_LAST_S).contains(&s))?;
                Moment::Utc(nanoseconds(s, factor))
            }
            Scale::Serial => {
                in_range((SERIAL_1970..SERIAL_LAST).contains(&value))?;
                self.zoned(nanoseconds((value - SERIAL_1970) * 86_400.0, 1.0))
            }
            Scale::DayShare => {
                in_range((0.0..=1.0).contains(&value))?;
                let s = value * 86_400.0;
                match date {
                    Some(day_ns) => self.zoned(day_ns + nanoseconds(s, 1.0)),
                    None => Moment::Elapsed((s * 1e6).round() / 1e6),
                }
            }
            Scale::Elapsed(factor) => {
                in_range(value.is_finite())?;
                Moment::Elapsed(value * factor)
            }
        })
    }

    fn clock(&mut self, ns: i64, zone: Option<i64>, date: Option<i64>) -> Moment {
        match (date, zone) {
            (Some(day_ns), Some(offset_ns)) => Moment::Utc(day_ns + ns - offset_ns),
            (Some(day_ns), None) => self.zoned(day_ns + ns),
            (None, _) => {
                // Back by more than half a day is midnight passed.
                if self.last_ns.is_some_and(|last| last - ns > DAY_NS / 2) {
                    self.days_ns += DAY_NS;
                }
                self.last_ns = Some(ns);
                Moment::Elapsed((self.days_ns + ns) as f64 / NANO as f64)
            }
        }
    }

    fn zoned(&self, ns: i64) -> Moment {
        if self.column.utc {
            Moment::Utc(ns)
        } else {
            Moment::Local(ns)
        }
    }
}

/// The order that the header names.
fn day_first(layout: &Layout) -> Option<DateOrder> {
    let named = |role| layout.get(role).is_some_and(|column| column.is_day_first());
    (named(Role::Date) || named(Role::Time)).then_some(DateOrder::DayMonthYear)
}

/// Nanoseconds of a number of seconds, to the last digit that a double of this size holds; finer digits are not in it.
fn nanoseconds(s: f64, factor: f64) -> i64 {
    if factor < 1e-6 {
        (s * 1e9).round() as i64
    } else {
        (s * 1e6).round() as i64 * 1000
    }
}

fn reason(fault: Fault) -> Reason {
    match fault {
        Fault::Range => Reason::TimeOutOfRange,
        Fault::Form | Fault::Order => Reason::BadTime,
    }
}
