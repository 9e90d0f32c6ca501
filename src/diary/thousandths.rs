//! Numbers as the tables hold them: whole thousandths.

use crate::diary::Error;
use rusqlite::Row;

use crate::measured::Measured;

/// The largest number that is kept; beyond it nothing of a session lies.
const MOST: f64 = 1e12;

/// A number in thousandths, rounded; nothing where it is not finite.
pub(super) fn of(value: f64) -> Option<i64> {
    let thousandths = (value * 1000.0).round();
    (thousandths.abs() <= MOST).then_some(thousandths as i64)
}

/// The same of a number that may not be known.
pub(super) fn of_some(value: Option<f64>) -> Option<i64> {
    value.and_then(of)
}

/// A count as the tables hold it.
pub(super) fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// Back to the unit.
pub(super) fn back(thousandths: i64) -> f64 {
    thousandths as f64 / 1000.0
}

/// A number in tenths, rounded, where so few digits are kept.
pub(super) fn tenths(value: f64) -> i64 {
    (value * 10.0).round() as i64
}

/// Tenths back to the unit.
pub(super) fn of_tenths(tenths: i64) -> f64 {
    tenths as f64 / 10.0
}

/// Value, low and high; all or nothing.
pub(super) fn of_measured(measured: Option<Measured>) -> [Option<i64>; 3] {
    let Some(m) = measured else { return [None; 3] };
    match (of(m.value), of(m.low), of(m.high)) {
        (Some(value), Some(low), Some(high)) => [Some(value), Some(low), Some(high)],
        _ => [None; 3],
    }
}

/// The three numbers back as a measured one.
pub(super) fn measured([value, low, high]: [i64; 3]) -> Measured {
    Measured::within(back(value), back(low), back(high))
}

/// The measured number in the column `first` and the two after it.
pub(super) fn read(row: &Row<'_>, first: usize) -> rusqlite::Result<Option<Measured>> {
    let three: [Option<i64>; 3] = [row.get(first)?, row.get(first + 1)?, row.get(first + 2)?];
    Ok(match three {
        [Some(value), Some(low), Some(high)] => Some(measured([value, low, high])),
        _ => None,
    })
}

/// Several numbers as they are kept in one column.
pub(super) fn json(value: &impl serde::Serialize) -> Result<String, Error> {
    serde_json::to_string(value).map_err(|error| Error::Database(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_finite_is_not_known() {
        assert_eq!(of(f64::NAN), None);
        assert_eq!(of(f64::INFINITY), None);
        assert_eq!(of(8.4126), Some(8413));
        assert_eq!(
            of_measured(Some(Measured {
                value: 1.0,
                low: 0.5,
                high: f64::NAN
            })),
            [None; 3]
        );
    }

    #[test]
    fn an_interval_stays_around_its_value() {
        let three = of_measured(Some(Measured::within(1.000_4, 1.000_3, 1.000_6)));
        assert_eq!(three, [Some(1000), Some(1000), Some(1001)]);
        assert_eq!(
            measured([1000, 1000, 1001]),
            Measured::within(1.0, 1.0, 1.001)
        );
    }
}
