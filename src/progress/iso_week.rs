//! Weeks of the calendar: Monday first, week 1 holds 4 January.

use std::fmt;

use jiff::ToSpan;
use jiff::civil::{Date, ISOWeekDate, Weekday};

/// A week of ISO 8601.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct IsoWeek {
    /// Its year, which around New Year is not always that of the day.
    pub year: i16,
    /// Its number, 1 to 53.
    pub week: i8,
}

impl IsoWeek {
    /// The week that a day lies in.
    ///
    /// # Examples
    /// ```
    /// use repledger::progress::IsoWeek;
    ///
    /// let week = IsoWeek::of(jiff::civil::date(2027, 1, 1));
    /// assert_eq!(week.to_string(), "2026-W53");
    /// ```
    ///
    /// # References
    /// ISO 8601-1:2019, 5.2.3: weeks begin on Monday, and the first of a year is the one with its first Thursday.
    #[must_use]
    pub fn of(date: Date) -> Self {
        let date = date.iso_week_date();
        Self {
            year: date.year(),
            week: date.week(),
        }
    }

    /// Reads `2026-W20`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (year, week) = text.split_once("-W").or_else(|| text.split_once("-w"))?;
        if year.len() != 4 || week.len() != 2 {
            return None;
        }
        let found =
            ISOWeekDate::new(year.parse().ok()?, week.parse().ok()?, Weekday::Monday).ok()?;
        Some(Self {
            year: found.year(),
            week: found.week(),
        })
    }

    /// Its Monday; `None` past the ends of the calendar.
    #[must_use]
    pub fn monday(self) -> Option<Date> {
        Some(
            ISOWeekDate::new(self.year, self.week, Weekday::Monday)
                .ok()?
                .date(),
        )
    }

    /// Its days from Monday on; fewer than seven only at the ends of the calendar.
    #[must_use]
    pub fn days(self) -> Vec<Date> {
        let Some(monday) = self.monday() else {
            return Vec::new();
        };
        (0..7i64)
            .filter_map(|days| monday.checked_add(days.days()).ok())
            .collect()
    }

    /// The week that lies `weeks` later, or earlier where negative.
    #[must_use]
    pub fn later(self, weeks: i64) -> Option<Self> {
        let monday = self.monday()?;
        Some(Self::of(
            monday.checked_add(weeks.checked_mul(7)?.days()).ok()?,
        ))
    }
}

impl fmt::Display for IsoWeek {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-W{:02}", self.year, self.week)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// The dates around New Year, worked out from the rule of ISO 8601.
    #[test]
    fn days_around_new_year_lie_in_their_week() {
        for (day, week) in [
            (date(2020, 12, 31), "2020-W53"),
            (date(2021, 1, 1), "2020-W53"),
            (date(2024, 12, 30), "2025-W01"),
            (date(2026, 1, 1), "2026-W01"),
            (date(2026, 5, 16), "2026-W20"),
            (date(2027, 1, 1), "2026-W53"),
        ] {
            assert_eq!(IsoWeek::of(day).to_string(), week, "{day}");
            assert_eq!(IsoWeek::parse(week), Some(IsoWeek::of(day)));
        }
    }

    #[test]
    fn a_week_has_its_seven_days_and_neighbours() {
        let week = IsoWeek {
            year: 2026,
            week: 20,
        };
        let days = week.days();
        assert_eq!(
            (days.len(), days[0], days[6]),
            (7, date(2026, 5, 11), date(2026, 5, 17))
        );
        assert_eq!(
            week.later(-20).map(|w| w.to_string()),
            Some("2025-W52".to_owned())
        );
        assert_eq!(week.later(i64::MAX), None);
    }

    #[test]
    fn what_is_no_week_is_not_read() {
        for text in [
            "2026-W54", "2025-W53", "2026-20", "W20", "2026-W2", "2026-W00", "",
        ] {
            assert_eq!(IsoWeek::parse(text), None, "{text}");
        }
    }
}
