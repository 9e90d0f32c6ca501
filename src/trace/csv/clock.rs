//! The time column: what its numbers and words mean is settled once, from many rows, then each row is read.

use super::compact::{self, Glued};
use super::heading::Column;
use super::layout::Layout;
use super::role::Role;
use super::rows::Row;
use super::unit::with_unit;
use crate::estimation::quantile::median;
use crate::trace::defect::Reason;
use crate::trace::error::excerpt;
use crate::trace::number;
use crate::trace::time::{self, DAY_NS, Fault, Moment, NANO};
use crate::trace::{DateOrder, Error};

/// Day 25,569 of a spreadsheet is 1970-01-01: day 1 is 1900-01-01 and 1900 is taken for a leap year.
const SERIAL_1970: f64 = 25_569.0;
/// The last serial day that is read, the end of the year 2200.
const SERIAL_LAST: f64 = 109_939.0;
/// Seconds from 1970 to the end of 2200.
const EPOCH_LAST_S: f64 = (SERIAL_LAST - SERIAL_1970) * 86_400.0;
/// Numbers of seconds from here on count from 1970: as elapsed time they were three years.
const EPOCH_FIRST_S: f64 = 1e8;

/// What a number in the time column means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Scale {
    /// Time since 1970 UTC, seconds in one.
    Epoch(f64),
    /// Days since 1899-12-30, as spreadsheets count.
    Serial,
    /// A share of a day.
    DayShare,
    /// Time since the start, seconds in one.
    Elapsed(f64),
}

/// Settles what the numbers of a time column mean.
///
/// ## Definition
/// Magnitude tells time since 1970 (10^8 s is 1973) from time elapsed, and seconds from milliseconds, microseconds and
/// nanoseconds. Among smaller numbers the median step tells: days pass by less than 0.0002 (17 s) from fix to fix, seconds
/// by more; serial days lie between 20,000 (1954) and 80,000 (2119). Steps of 20 and more in whole numbers are milliseconds,
/// since no receiver that writes every 20 s or less often is of use here. A unit in the header goes before all this.
pub(super) fn scale(values: &[f64], column: Column) -> Scale {
    let magnitude = middle(values.iter().map(|v| v.abs()));
    let named = column.unit_named.then_some(column.factor);
    if let Some(factor) = named {
        let s = magnitude * factor;
        if factor > 3600.0 && (20_000.0..80_000.0).contains(&magnitude) {
            return Scale::Serial;
        }
        if s < EPOCH_FIRST_S {
            return Scale::Elapsed(factor);
        }
        if s < EPOCH_LAST_S {
            return Scale::Epoch(factor);
        }
    }
    for (factor, least) in [
        (1e-9, 1e17),
        (1e-6, 1e14),
        (1e-3, 1e11),
        (1.0, EPOCH_FIRST_S),
    ] {
        if magnitude >= least {
            return Scale::Epoch(factor);
        }
    }
    let step = middle(values.windows(2).filter_map(|pair| match pair {
        [a, b] if b > a => Some(b - a),
        _ => None,
    }));
    if 0.0 < step && step < 2e-4 {
        if (20_000.0..80_000.0).contains(&magnitude) {
            return Scale::Serial;
        }
        if magnitude <= 1.0 {
            return Scale::DayShare;
        }
    }
    if step >= 20.0 && values.iter().all(|v| v.fract() == 0.0) {
        return Scale::Elapsed(1e-3);
    }
    Scale::Elapsed(1.0)
}

/// The middle value; 0 of none.
fn middle(values: impl Iterator<Item = f64>) -> f64 {
    median(values.filter(|v| v.is_finite()).collect()).unwrap_or(0.0)
}

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

/// A cell that says it holds nothing.
pub(super) fn is_blank(cell: &str) -> bool {
    cell.is_empty()
        || matches!(cell, "-" | "--" | "---")
        || ["na", "n/a", "null", "none"]
            .iter()
            .any(|word| cell.eq_ignore_ascii_case(word))
}

/// What the rows of a table show about its times.
#[derive(Debug, Default)]
pub(super) struct Sample {
    /// The numbers in the time column, from the first rows.
    numbers: Vec<f64>,
    /// The order of day and month that some date shows.
    order: Option<DateOrder>,
    /// The first date that does not show it.
    unclear: Option<(u64, String)>,
    glued: Digits,
}

/// Cells of twelve or fourteen digits, which may be a date and a time of day run together.
#[derive(Debug, Default)]
struct Digits {
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

    fn order(&self, layout: &Layout, told: Option<DateOrder>) -> Option<Glued> {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn column(named: Option<f64>) -> Column {
        let header = match named {
            None => "time",
            Some(1.0) => "time_s",
            Some(1e-3) => "time_ms",
            Some(_) => "time (days)",
        };
        Layout::of_header([header, "speed"].into_iter(), 1)
            .get(Role::Time)
            .expect("a time column")
    }

    fn check(values: &[f64], named: Option<f64>, expected: Scale) {
        assert_eq!(scale(values, column(named)), expected, "{values:?}");
    }

    #[test]
    fn magnitude_tells_epoch_and_unit() {
        check(&[1.778e9, 1.778e9 + 0.1], None, Scale::Epoch(1.0));
        check(&[1.778e12, 1.778e12 + 100.0], None, Scale::Epoch(1e-3));
        check(&[1.778e15], None, Scale::Epoch(1e-6));
        check(&[1.778e18], None, Scale::Epoch(1e-9));
        check(&[1.778e12], Some(1.0), Scale::Epoch(1e-3));
        check(&[1.778e12], Some(1e-3), Scale::Epoch(1e-3));
    }

    #[test]
    fn steps_tell_days_and_milliseconds() {
        check(&[0.0, 0.1, 0.2], None, Scale::Elapsed(1.0));
        check(&[40_000.0, 40_000.1, 40_000.2], None, Scale::Elapsed(1.0));
        check(&[46_154.7, 46_154.700_001_2], None, Scale::Serial);
        check(&[0.729_166_7, 0.729_167_9], None, Scale::DayShare);
        check(&[0.0, 100.0, 200.0], None, Scale::Elapsed(1e-3));
        check(&[0.0, 100.0, 200.0], Some(1.0), Scale::Elapsed(1.0));
        check(&[0.0, 5.0], Some(1e-3), Scale::Elapsed(1e-3));
        check(&[46_154.0], Some(86_400.0), Scale::Serial);
        check(&[], None, Scale::Elapsed(1.0));
        check(&[f64::NAN, f64::INFINITY, 1.0], None, Scale::Elapsed(1.0));
    }
}
