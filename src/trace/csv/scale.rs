//! What the numbers of a time column mean.

use super::heading::Column;
use crate::estimation::quantile::median;

/// Day 25,569 of a spreadsheet is 1970-01-01: day 1 is 1900-01-01 and 1900 is taken for a leap year.
pub(super) const SERIAL_1970: f64 = 25_569.0;
/// The last serial day that is read, the end of the year 2200.
pub(super) const SERIAL_LAST: f64 = 109_939.0;
/// Seconds from 1970 to the end of 2200.
pub(super) const EPOCH_LAST_S: f64 = (SERIAL_LAST - SERIAL_1970) * 86_400.0;
/// Numbers of seconds from here on count from 1970: as elapsed time they were three years.
pub(super) const EPOCH_FIRST_S: f64 = 1e8;

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::csv::layout::Layout;
    use crate::trace::csv::role::Role;

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
